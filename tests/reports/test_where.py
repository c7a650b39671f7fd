"""Mistakes in the cuts come with a picture of where: in the folder asked for, exit code 2, nothing half written."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any

import pytest

from construct import cli

BAD = """recipe Gap
plate round, 100 mm across
step S
  g : line by centre finder, along the grain
  h : line by centre finder, across the grain
  C : mark where g meets h
  ring : circle about C, 30 mm by ruler
  S, N : marks where g meets ring
  W, E : marks where h meets ring
  k : line from N to E
  M : mark 5 mm from E toward N, by ruler
carve
  cut g from C to N
  cut h from C to E
  cut k from N to M
"""
GOOD = BAD.replace("from N to M", "from N to E")
SVG = "{http://www.w3.org/2000/svg}"


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[Any, str, str]:
    with pytest.raises(SystemExit) as left:
        cli.main(list(arguments))
    return (left.value.code, *capsys.readouterr())


@pytest.fixture
def recipe(tmp_path: Path) -> Path:
    path = tmp_path / "gap.recipe"
    path.write_text(BAD, encoding="utf-8")
    return path


@pytest.mark.parametrize("command", ["report", "errors"])
def test_the_picture_is_written_although_the_recipe_is_wrong(capsys: Any, recipe: Path, tmp_path: Path, command: str) -> None:
    """Exit code 2, the mistakes on standard error with their places, and the picture in the folder asked for."""
    folder = tmp_path / "out"
    code, out, err = run(capsys, command, str(recipe), "-o", str(folder))
    assert (2, "") == (code, out)
    assert {"mistakes.json", "where.svg", "where.png"} == {path.name for path in folder.iterdir()}
    assert "here the cut ends, 5 mm from `h`" not in err  # the gap is measured square to the other cut
    assert "here the cut ends, 3.5 mm from `h`" in err
    assert "where.png" in err
    record = json.loads((folder / "mistakes.json").read_text(encoding="utf-8"))
    spots = [spot for one in record["diagnostics"] for spot in one["spots"]]
    assert ("mistakes", 1) == (record["command"], record["format"])
    # E is (30, 0), and 5 mm from it toward N is 30 − 5/√2
    assert any(spot["x_mm"] == pytest.approx(30 - 5 / 2**0.5) and spot["y_mm"] == pytest.approx(5 / 2**0.5) for spot in spots)
    assert {"estimate"} == {spot["guarantee"] for spot in spots}


def test_the_picture_says_in_words_what_it_rings(capsys: Any, recipe: Path, tmp_path: Path) -> None:
    """The SVG is well formed and its description names every place, for those who do not see it."""
    run(capsys, "report", str(recipe), "-o", str(tmp_path / "out"))
    root = ET.parse(tmp_path / "out" / "where.svg").getroot()
    (words,) = [one.text or "" for one in root.iter(f"{SVG}desc")]
    for line in (13, 14, 15):
        assert f"line {line}: " in words
    assert b"\x89PNG" == (tmp_path / "out" / "where.png").read_bytes()[:4]


def test_a_later_report_takes_the_folder_over(capsys: Any, recipe: Path, tmp_path: Path) -> None:
    """Once the recipe is right its report replaces the picture of where, and the other way round."""
    folder = tmp_path / "out"
    run(capsys, "report", str(recipe), "-o", str(folder))
    recipe.write_text(GOOD, encoding="utf-8")
    assert 0 == run(capsys, "report", str(recipe), "-o", str(folder))[0]
    assert "picture.svg" in {path.name for path in folder.iterdir()}
    assert "where.svg" not in {path.name for path in folder.iterdir()}
    recipe.write_text(BAD, encoding="utf-8")
    assert 2 == run(capsys, "report", str(recipe), "-o", str(folder))[0]
    assert "where.svg" in {path.name for path in folder.iterdir()}


def test_without_a_folder_nothing_is_written(capsys: Any, recipe: Path, tmp_path: Path) -> None:
    """`prove`, and `report` without -o, say it in words alone; `--json` has the places too."""
    before = sorted(tmp_path.iterdir())
    assert 2 == run(capsys, "report", str(recipe))[0]
    code, out, _ = run(capsys, "prove", str(recipe), "--json")
    assert 2 == code
    assert all(one["spots"] for one in json.loads(out)["diagnostics"])
    assert before == sorted(tmp_path.iterdir())


def test_mistakes_before_the_cuts_draw_nothing(capsys: Any, recipe: Path, tmp_path: Path) -> None:
    """What can not be laid out can not be drawn: the folder is not made."""
    recipe.write_text(BAD.replace("M : mark 5 mm", "M : mark 500 mm"), encoding="utf-8")
    assert 2 == run(capsys, "report", str(recipe), "-o", str(tmp_path / "out"))[0]
    assert not (tmp_path / "out").exists()


def test_a_strangers_folder_is_left_alone(capsys: Any, recipe: Path, tmp_path: Path) -> None:
    """A folder that holds other files gets no picture of where either."""
    folder = tmp_path / "mine"
    folder.mkdir()
    (folder / "letter.txt").write_text("dear", encoding="utf-8")
    code, _, err = run(capsys, "report", str(recipe), "-o", str(folder))
    assert (2, True) == (code, "C514" in err)
    assert ["letter.txt"] == [path.name for path in folder.iterdir()]
