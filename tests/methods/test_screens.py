"""`construct tune` and `construct fit` on the command line: what is said, what is written, and that bad input ends in a diagnostic."""

from __future__ import annotations

import io
import json
import sys
from pathlib import Path
from typing import Any

import pytest

from construct import cli
from construct.study import study

ARCS = """recipe Two arcs <b>&
paper
given A, B, 100 mm apart
r : opening, anything over half of A B, say 55 mm
a : arc about A, opening r
b : arc about B, opening r
P, Q : marks where a meets b
m : line through P and Q
"""


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    """Run a command in this process."""
    with pytest.raises(SystemExit) as left:
        cli.main(list(arguments))
    out, err = capsys.readouterr()
    assert "Traceback" not in out + err and "fault in construct" not in err
    return int(left.value.code or 0), out, err


@pytest.fixture
def arcs(tmp_path: Path) -> str:
    """A file with two arcs."""
    path = tmp_path / "arcs.recipe"
    path.write_text(ARCS, encoding="utf-8")
    return str(path)


def one_line(text: str) -> str:
    """Return text without its line breaks."""
    return " ".join(text.split())


def test_tune_says_what_to_set(capsys: pytest.CaptureFixture[str], arcs: str) -> None:
    """For arcs 100 mm apart: about 71 mm, anything from 62 to 84 mm as good, square crossing; and P moves."""
    code, out, _ = run(capsys, "tune", arcs, "--at", "P")
    said = one_line(out)
    assert 0 == code
    assert "`r` (line 4): open it to about 71 mm; drawn: 55 mm." in said
    assert "Anything from 62 mm to 84 mm is as good" in said
    # 2·arccos(50/55) = 49.2 deg; 2·arccos(50/71) = 90.5 deg
    assert "cross at 49 deg as drawn, at 90 deg then" in said
    assert "Mind: P moves with `r`" in said
    assert "Not under 51 mm: the recipe's own bound forbids it (line 4)." in said
    assert max(map(len, out.splitlines())) <= 96


def test_tune_in_inches(capsys: pytest.CaptureFixture[str], arcs: str) -> None:
    """70.7 mm is 2 25/32 in: on a ruler in sixteenths 2 13/16 in."""
    _, out, _ = run(capsys, "tune", arcs, "--at", "P", "--units", "in")
    assert "open it to about 2 13/16 in" in one_line(out)


def test_tune_for_machines_and_in_a_folder(capsys: pytest.CaptureFixture[str], arcs: str, tmp_path: Path) -> None:
    """The record holds what the screen says; the folder holds record, text and picture, and may be written again."""
    folder = tmp_path / "tuned"
    for _ in range(2):
        code, out, _ = run(capsys, "tune", arcs, "--at", "P", "--json", "-o", str(folder))
    record = json.loads(out)
    assert (0, 1, "tune") == (code, record["format"], record["command"])
    (choice,) = record["choices"]
    assert ("r", "length", "mm", 71.0, True) == (
        choice["name"],
        choice["kind"],
        choice["unit"],
        choice["setting"],
        choice["moves_what_is_measured"],
    )
    assert record["u_best_mm"] <= record["u_mm"] < record["u_drawn_mm"]
    assert {"tune.json", "tune.txt", "tune.svg", "tune.png"} == {path.name for path in folder.iterdir()}
    assert record == json.loads((folder / "tune.json").read_bytes())
    picture = (folder / "tune.svg").read_text(encoding="utf-8")
    assert "<b>" not in picture and "Anything from 62 mm to 84 mm" in picture


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (["tune", "halve-a-side"], "C701"),
        (["tune", "clock-dial", "--at", "nowhere"], "C700"),
        (["tune", "clock-dial", "--bench", "clumsy"], "C530"),
        (["tune", "no such recipe"], "C501"),
        (["tune", "find-the-centre", "--way", "finder"], "C702"),
        (["fit"], "C721"),
        (["fit", "clock-dial"], "C721"),
        (["fit", "--plate", "10 in"], "C721"),
        (["fit", "clock-dial", "--plate", "10"], "C710"),
        (["fit", "clock-dial", "--plate", "10 in", "--unit", "3 mm"], "C720"),
        (["fit", "clock-dial", "--border", "--across", "230 mm", "--unit", "10"], "C720"),
        (["fit", "--border", "--unit", "10"], "C721"),
        (["fit", "--border", "--across", "230", "--count", "many"], "C724"),
        (["fit", "--border", "--across", "230", "--count", "-5"], "C723"),
        (["fit", "find-the-centre", "--plate", "10 in", "--way", "none"], "P130"),
    ],
)
def test_bad_input(capsys: pytest.CaptureFixture[str], arguments: list[str], code: str) -> None:
    """Exit code 2 and a diagnostic, as text and as JSON."""
    left, out, err = run(capsys, *arguments)
    assert (2, "") == (left, out)
    assert code in err
    left, out, err = run(capsys, *arguments, "--json")
    assert (2, "", code) == (left, err, json.loads(out)["diagnostics"][0]["code"])


def test_fit_writes_a_recipe_that_runs(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """The written recipe is one, its claims are those told, and both pictures are there."""
    folder = tmp_path / "fitted"
    code, out, _ = run(capsys, "fit", "halve-a-side", "--plate", "10 in across", "-o", str(folder))
    said = one_line(out)
    assert 0 == code
    assert "From a plate 203.2 mm across to one 254 mm across." in said
    again = study(folder / "fitted.recipe")
    record: dict[str, Any] = json.loads((folder / "fit.json").read_bytes())
    assert [claim["after"]["verdict"] for claim in record["claims"]] == [verdict.verdict for verdict in again.verdicts]
    assert {"fitted.recipe", "fit.json", "fit.txt", "before.svg", "before.png", "after.svg", "after.png"} == {
        path.name for path in folder.iterdir()
    }
    # 127 − 11 = 116 mm; by ruler the side, 116·√2 = 164.05 mm, is read 164, and half of that misses its half by 58·√2 − 82 mm
    (halfway,) = [claim for claim in record["claims"] if "halfway" in claim["text"]]
    assert abs(58 * 2**0.5 - 82) == pytest.approx(abs(halfway["after"]["gap"]["value"]), abs=1e-9)


def test_fit_from_standard_input(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """`-` reads the recipe from standard input."""
    text = "recipe R\nplate round, 200 mm across\nstep S\n  g : line by centre finder, along the grain\n"
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(text.encode())))
    code, out, _ = run(capsys, "fit", "-", "--plate", "10 in", "--json")
    assert 0 == code
    assert "round, 10 in across" in json.loads(out)["text"]


def test_a_border_on_a_screen(capsys: pytest.CaptureFixture[str]) -> None:
    """Units of 10 mm round 230 mm: 72, chord 10.032 mm; the ruler's 10 mm stops 2.34 mm short; the arc is warned of."""
    code, out, _ = run(capsys, "fit", "--border", "--across", "230", "--unit", "10", "--width", "10")
    said = one_line(out)
    assert 0 == code
    assert "go round it 72.26 times" in said
    assert "Take 72" in said and "10.032 mm; the nearest on the ruler is 10 mm" in said
    assert "stops 2.339 mm short of its start after 72 steps" in said
    assert "construct 24 first and divide each space into 3 by trial" in said
    assert "Never set them to the arc" in said
    assert max(map(len, out.splitlines())) <= 96
    code, out, _ = run(capsys, "fit", "--border", "--across", "230", "--unit", "10", "--json")
    assert 72 == json.loads(out)["border"]["take"]


def test_a_dial_that_is_fitted(capsys: pytest.CaptureFixture[str]) -> None:
    """The table has a row for each written length, within the width of a screen."""
    _, out, _ = run(capsys, "fit", "clock-dial", "--plate", "8 in", "--ruler", "1/32 in", "--units", "in")
    assert 10 == sum(line.lstrip()[:2].isdigit() and " mm " in line for line in out.splitlines())
    assert "All 15 claims hold before and after" in one_line(out)
    assert max(map(len, out.splitlines())) <= 96


@pytest.mark.parametrize(
    ("command", "picture"),
    [
        (("tune", "ARCS", "--at", "P"), "tune.svg"),
        (("compare", "halve-a-length", "--trials", "100"), "compare.svg"),
        (("fit", "six-petals", "--plate", "9 in"), "fitted.recipe"),
    ],
)
def test_what_was_written_is_named(
    capsys: pytest.CaptureFixture[str], arcs: str, tmp_path: Path, command: tuple[str, ...], picture: str
) -> None:
    """After `-o` the screen says where to look, and the file is there."""
    folder = tmp_path / "out"
    _, out, _ = run(capsys, *(arcs if word == "ARCS" else word for word in command), "-o", str(folder))
    assert (folder / picture).is_file()
    last = " ".join(out.strip().split("\n\n")[-1].split())
    assert last.startswith("Next:") and f"{folder.name}/{picture}`" in last


def test_a_border_without_its_circle(capsys: pytest.CaptureFixture[str]) -> None:
    """What is missing is named, not an empty word quoted."""
    code, _, err = run(capsys, "fit", "--border", "--unit", "10")
    assert 2 == code
    assert "--across" in err and "`--across `" not in err
