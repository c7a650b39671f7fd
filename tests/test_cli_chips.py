"""`construct chips` at the command line: exit codes, what goes where, and what bad input is told."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from construct import cli
from construct.reports import _folder

PAPER = """recipe Chips
paper
given A, B, 100 mm apart
step S
  a : circle about A, through B
  b : circle about B, through A
"""
GOOD = f"{PAPER}carve\n  knife 65 deg\n  cut a inside b\n  cut b inside a\n"
LOW = "  knife 20 deg on a, other walls upright\n"
BAD = {
    "no carve": (PAPER, "C601"),
    "open cut": (f"{PAPER}carve\n  cut a inside b\n", "C411"),
    "twice": (f"{PAPER}carve\n  cut a\n  cut a inside b\n", "C410"),
    "no angle": (f"{PAPER}carve\n  knife 90 deg\n  cut a\n", "C430"),
    "two angles": (f"{PAPER}carve\n{LOW}{LOW.replace('20', '30')}  cut a\n", "C431"),
    "half a phrase": (f"{PAPER}carve\n  knife 20 deg on a, other walls\n  cut a\n", "T107"),
}  # fmt: skip


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[Any, str, str]:
    with pytest.raises(SystemExit) as left:
        cli.main(["chips", *arguments])
    out, err = capsys.readouterr()
    assert "Traceback" not in out + err
    return left.value.code, out, err


def written(folder: Path, text: str) -> str:
    path = folder / "some.recipe"
    path.write_text(text, encoding="utf-8")
    return str(path)


def test_text_and_record(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """The table on standard output, or the record with the keys that are promised; exit code 0."""
    name = written(tmp_path, GOOD)
    code, out, err = run(capsys, name)
    assert (0, "") == (code, err)
    assert "1 chip of 1 kind" in out
    code, out, _ = run(capsys, name, "--json")
    (chip,) = json.loads(out)["chips"]
    assert 0 == code
    assert chip["widest_mm"] == pytest.approx(100, abs=1e-5)
    assert "20000·π/3 − 5000·√3" == chip["area"]["exact"]


def test_a_folder(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """-o writes four files, twice in a row too, and nothing into a folder that is somebody else's."""
    name, out = written(tmp_path, GOOD), tmp_path / "out"
    for _ in range(2):
        assert 0 == run(capsys, name, "-o", str(out))[0]
        assert _folder.CHIP_NAMES - _folder.WHERE_NAMES == {path.name for path in out.iterdir()}
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "letter.txt").write_text("dear")
    code, _, err = run(capsys, name, "-o", str(tmp_path / "mine"))
    assert 2 == code and "C514" in err
    assert ["letter.txt"] == [path.name for path in (tmp_path / "mine").iterdir()]


@pytest.mark.parametrize("name", BAD)
def test_bad_input(capsys: pytest.CaptureFixture[str], tmp_path: Path, name: str) -> None:
    """Bad input ends with code 2 and its diagnostic, as text and as JSON; a folder holds at most where it lies."""
    text, code = BAD[name]
    recipe = written(tmp_path, text)
    left, out, err = run(capsys, recipe, "-o", str(tmp_path / "out"))
    assert (2, "") == (left, out) and code in err
    left, out, _ = run(capsys, recipe, "--json")
    assert 2 == left and code in [one["code"] for one in json.loads(out)["diagnostics"]]
    assert {path.name for path in (tmp_path / "out").glob("*")} <= _folder.WHERE_NAMES
