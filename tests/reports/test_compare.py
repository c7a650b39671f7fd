"""What `construct compare` says: the sentence, the tables, the record, the picture, and what it does with mistakes."""

from __future__ import annotations

import json
import struct
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import pytest

from construct import cli
from construct.methods.contenders import Comparison
from construct.reports import View, _compare_figure, _compare_record, _compare_screen, record
from construct.reports import _compare_words as told
from construct.study import compare


@pytest.fixture(scope="module")
def halving() -> Comparison:
    return compare("halve-a-length", ways=("ruler", "compass"), trials=4096)


@pytest.fixture(scope="module")
def seven() -> Comparison:
    return compare("seven-round-a-rim", trials=2048)


def ran(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[object, str, str]:
    """Run a command in this process: exit code, standard output, standard error."""
    with pytest.raises(SystemExit) as left:
        cli.main(list(arguments))
    out, err = capsys.readouterr()
    assert "Traceback" not in out + err
    return left.value.code, out, err


def test_the_sentence_answers_the_argument(halving: Comparison) -> None:
    """One sentence: what is wrong on paper, by how much each hand is off, and what would turn the order."""
    said = told.sentence(halving, "mm")
    assert said.endswith(".")
    assert ". " not in said
    for part in ("`compass`", "`ruler` is off by 3/40 mm", "19 times in 20", "graduated finer than about 1.0 mm"):
        assert part in said


def test_the_sentence_names_the_length_where_the_order_turns(seven: Comparison) -> None:
    """A turnover by length that lies nearest to the recipe is the one told."""
    assert "mm across rim `triangle` is the better way, over it `thirteen`" in told.sentence(seven, "mm")


def test_the_screen_in_inches_has_no_millimetres_but_exact_ones(halving: Comparison) -> None:
    """With inches asked for, figures are in inches; the exact gap keeps its form beside them."""
    shown = _compare_screen.screen(halving, View("in", "halve-a-length"))
    assert "All figures in in." in " ".join(shown.split())
    assert "0.015 in" in shown
    assert "it is 4.28 in" in " ".join(shown.split())


def test_every_line_fits_the_screen(halving: Comparison, seven: Comparison) -> None:
    """No line is longer than the screen; the sentence stands before the tables."""
    for found in (halving, seven):
        shown = _compare_screen.screen(found, View())
        assert max(map(len, shown.splitlines())) <= 100
        assert shown.index("In one sentence") < shown.index("What it costs")


def test_what_could_not_be_settled_is_not_called_wrong(halving: Comparison) -> None:
    """Where no way is shown to be exact and one could not be settled, nobody says that none is."""
    open_one = replace(halving.methods[1], verdict=replace(halving.methods[1].verdict, verdict="undecided", finding=None))
    said = told.sentence(replace(halving, methods=(halving.methods[0], open_one)), "mm")
    assert "none is shown to be exact" in said
    assert "none is exact" not in said


def test_the_record(halving: Comparison) -> None:
    """The record is JSON, and says of each figure how sure it is."""
    kept = json.loads(record.text(_compare_record.comparison(halving)))
    assert ("compare", "M is halfway between L and T") == (kept["command"], kept["claim"])
    assert ["ruler", "compass"] == [way["way"] for way in kept["ways"]]
    ruler, compass = kept["ways"]
    assert ("3/40 mm", "exact") == (ruler["claim"]["gap"]["exact"], ruler["claim"]["gap"]["guarantee"])
    assert {"first order", "estimate"} == {compass["hands"][0][part]["guarantee"] for part in ("first_order", "trials")}
    assert ("2R₁ + R₂ + 2C₁ + 2C₃", 7, 4) == tuple(compass["lemoine"][key] for key in ("symbol", "simplicity", "exactitude"))
    assert (None, "ruler") == (ruler["lemoine"], ruler["no_lemoine"]["tool"])
    assert ["length", "graduation", "hand"] == [scan["by"] for scan in kept["scans"]]
    # where the bench does not allow a way there is no number
    assert None in kept["scans"][0]["reach95_mm"][1]["values"]


def test_the_picture(halving: Comparison) -> None:
    """SVG and PNG of one drawing, with the picture in words; no way is told by colour alone."""
    contents = _compare_figure.files(halving, View())
    root = ElementTree.fromstring(contents["compare.svg"])
    assert "ruler" in " ".join(text for one in root.iter() if one.tag.endswith("desc") for text in one.itertext())
    width, height = struct.unpack(">II", contents["compare.png"][16:24])
    assert width > 1000
    assert height > width
    assert len({dashes for _, dashes, _ in _compare_figure.LOOKS}) == len(_compare_figure.LOOKS)


def test_a_hostile_recipe_stays_text(tmp_path: Path) -> None:
    """Braces, dollar signs and control letters in a title are shown as they are, or not at all."""
    text = "recipe {level} $x^2$ \x1b[31m <b>\npaper\ngiven L, T, 40 mm apart\nstep S\n  way a\n    M : mark between L and T, by eye\n" \
        "  way b\n    M : mark halfway from L to T, by ruler\n  end\n  claim M is halfway between L and T\n"  # fmt: skip
    found = compare(text.replace("\x1b[31m ", ""), trials=1024)
    shown = _compare_screen.screen(found, View())
    assert "{level} $x^2$ <b>" in shown
    assert b"&lt;b&gt;" in _compare_figure.files(found, View())["compare.svg"]


# --- the command ----------------------------------------------------------------------------------


def test_the_command_writes_a_folder(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Picture, text and record are written together, and written anew over themselves."""
    folder = tmp_path / "out"
    for _ in range(2):
        code, out, _ = ran(capsys, "compare", "halve-a-length", "--way", "eye", "--way", "dividers", "--trials", "1000", "-o", str(folder))
        assert 0 == code
        assert "In one sentence" in out
        assert {"compare.json", "compare.txt", "compare.svg", "compare.png"} == {path.name for path in folder.iterdir()}


@pytest.mark.parametrize(("arguments", "code"), [
    (("compare",), "C520"),
    (("compare", "no-such"), "C501"),
    (("compare", "halve-a-length", "--way", "eye"), "C701"),
    (("compare", "halve-a-length", "seven-round-a-rim"), "C702"),
    (("compare", "halve-a-length", "--claim", "circle"), "C703"),
    (("compare", "halve-a-length", "--way", "saw"), "C704"),
    (("compare", "halve-a-length", "--trials", "stable"), "C532"),
    (("compare", "halve-a-length", "--trials", "5"), "C532"),
    (("compare", "halve-a-length", "--bench", "sloppy"), "C530"),
    (("compare", "halve-a-length", "-o", "/no/such/folder/x"), "C511"),
    (("compare", "/etc"), "C501"),
])  # fmt: skip
def test_wrong_commands(capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...], code: str) -> None:
    """Each mistake leaves with 2, says what is wrong on standard error and nothing on standard output."""
    left, out, err = ran(capsys, *arguments)
    assert (2, "") == (left, out)
    assert code in err
