"""`construct lesson`: what it writes, what it will not write over, how it ends."""

from __future__ import annotations

from pathlib import Path

import pytest

from construct import cli

FALSE = "recipe Not so\npaper\ngiven A, B, 100 mm apart\nstep S\n  k : line through A and B\n  claim A B is 99 mm\n"


def _run(*arguments: str) -> int:
    with pytest.raises(SystemExit) as left:
        cli.main(["lesson", *arguments])
    return int(str(left.value.code))


def test_it_writes_one_page_and_says_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    """The page is written whole, an earlier one is replaced, nothing else is left in the folder."""
    file = tmp_path / "lesson.html"
    for units in ("mm", "in"):
        assert _run("halve-a-side", "--way", "compass", "--units", units, "-o", str(file)) == 0
        said = " ".join(capsys.readouterr().out.split())
        assert "3 steps" in said and "no network" in said
        assert (f" {units} ".encode() in file.read_bytes()) and [file] == list(tmp_path.iterdir())


def test_a_claim_that_fails_ends_in_one(tmp_path: Path):
    """As with a report, the exit code is 1 where some claim does not hold; the page is written and says so."""
    (tmp_path / "r.recipe").write_text(FALSE, encoding="utf-8")
    assert _run(str(tmp_path / "r.recipe"), "-o", str(tmp_path / "r.html")) == 1
    assert b"Does not hold: off by 1 mm" in (tmp_path / "r.html").read_bytes()


@pytest.mark.parametrize("there", ["none of ours", ""])
def test_a_file_of_somebody_else_is_left_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str], there: str):
    """What was not written by this command is not written over; an empty file is nobody's."""
    file = tmp_path / "mine.html"
    file.write_text(there, encoding="utf-8")
    assert (2 if there else 0) == _run("halve-a-side", "--way", "compass", "-o", str(file))
    if there:
        assert "was not made by this command" in capsys.readouterr().err
        assert there == file.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (["halve-a-side"], "C520"),
        (["halve-a-side", "-o", "lesson.pdf"], "C803"),
        (["halve-a-side", "-o", "no/such/folder/lesson.html"], "C804"),
        (["no-such-recipe", "-o", "lesson.html"], "C501"),
        (["halve-a-side", "--bench", "drunk", "-o", "lesson.html"], "C530"),
        (["halve-a-side", "--way", "nose", "-o", "lesson.html"], "P130"),
    ],
)
def test_mistakes_are_told_and_nothing_is_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], arguments: list[str], code: str
):
    """A wrong name, place or option is a diagnostic with its number, and no file appears."""
    monkeypatch.chdir(tmp_path)
    assert _run(*arguments) == 2
    assert code in capsys.readouterr().err
    assert [] == list(tmp_path.iterdir())


def test_a_lesson_speaks_as_the_ruler_does(tmp_path: Path):
    """A recipe whose ruler is in inches is taught in inches, unless millimetres are asked for."""
    recipe, page = tmp_path / "inches.recipe", tmp_path / "lesson.html"
    recipe.write_text(
        "recipe R\nplate round, 8 in across\nbench ordinary, ruler graduated 1/32 in\n"
        "g : line by centre finder, along the grain\nh : line by centre finder, across the grain\n"
        "C : mark where g meets h\nring : circle about C, 2 1/2 in by ruler\n",
        encoding="utf-8",
    )
    assert 0 == _run(str(recipe), "-o", str(page))
    assert "2 1/2 in on the ruler" in page.read_text(encoding="utf-8")
    assert 0 == _run(str(recipe), "--units", "mm", "-o", str(page))
    assert "63.5 mm on the ruler" in page.read_text(encoding="utf-8")
