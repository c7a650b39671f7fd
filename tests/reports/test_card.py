"""The bench card: every action with its setting, what was rounded is said, one page in print that can be read."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest
from pypdf import PdfReader
from pypdf.generic import ContentStream

from construct import cli
from construct.diagnostics import Mistakes
from construct.phrasebook import ENGLISH, sentences
from construct.reports import View, card
from construct.shelf import shipped
from construct.study import Study, at_the_bench, study
from construct.teaching import Bench
from construct.teaching.measures import MEASURES
from tests.reports.measured_pdf import fonts, pages

QUARTER = """recipe Quarter inch
plate round, 200 mm across
bench ordinary, ruler graduated 0.5 mm
step Find
  g : line by centre finder, along the grain
  h : line by centre finder, across the grain
  C : mark where g meets h
  c : circle about C, 1/4 in by ruler
  d : circle about C, 12 mm by ruler
"""

HOSTILE = """recipe <para><b>bold</b> &lt; <img src="file:///etc/passwd"/> {0} %s 木
plate round, 200 mm across
step <font size="99">big</font> & <br/>
  g : line by centre finder, along the grain
"""


@cache
def ready(name: str, way: str | None = None, graduation: Fraction | None = None) -> tuple[Study, Bench]:
    """Return a study and its bench."""
    found = study(name, way=way)
    return found, at_the_bench(found, graduation=graduation)


def said(text: str) -> str:
    """Return a text on one line."""
    return " ".join(text.split())


def printed(pdf: bytes) -> str:
    """Return a PDF's words on one line."""
    return said(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages))


def sizes(pdf: bytes) -> set[float]:
    """Return the sizes of print that words of a PDF are set in, in points."""
    found = set()
    for page in pages(pdf):
        size = 0.0
        for operands, operator in ContentStream(page["/Contents"], page.pdf).operations:
            if operator == b"Tf":
                size = float(operands[1])
            elif operator in (b"Tj", b"TJ") and any(str(one).strip() for one in operands):
                found.add(round(size, 2))
    return found


@pytest.mark.parametrize(("paper", "units"), [("A4", "mm"), ("A4", "in"), ("letter", "mm"), ("letter", "in")])
def test_the_dial_is_one_page(paper: str, units: str) -> None:
    """The largest recipe that is shipped fits one page on either paper in either unit, in print of 8 points and more."""
    found, _ = ready("clock-dial")
    graduation = card.graduation(None, units, found.plan.settings.graduation)
    pdf = card.page(*ready("clock-dial", None, graduation), View(units), paper=paper)
    assert 1 == len(pages(pdf))
    assert min(sizes(pdf)) >= 8
    assert all(fonts(pages(pdf)[0]).values())


@pytest.mark.parametrize("name", shipped())
def test_every_action_is_on_paper_and_on_the_screen(name: str) -> None:
    """Each action's words, each heading and each setting stands on both."""
    found, bench = ready(name)
    on_screen, on_paper = said(card.text(found, bench, View())), printed(card.page(found, bench, View()))
    for stage in bench.stages:
        assert stage.title.upper() in on_screen and stage.title in on_paper
        for row in stage.rows:
            if hasattr(row, "words"):
                words = row.words if row.words.startswith("given") else f"{row.names} : {row.words}"
                assert words in on_screen
                assert words in on_paper
    assert on_paper.count("Measure:") == on_screen.count("Measure:") == sum(len(stage.measurings) for stage in bench.stages)


def test_large_print_is_large() -> None:
    """18 points and more, and all of it is there, on as many pages as it takes."""
    pdf = card.page(*ready("find-the-centre"), View(), large=True)
    assert min(sizes(pdf)) >= 18
    assert "page 1 of" in printed(pdf)


def test_rounding_is_said() -> None:
    """1/4 in is 6.35 mm, exact: a 0.5 mm ruler reads 6.5, a 1/64 in ruler has it; 12 mm is 15/32 in only nearly."""
    (millimetres, inches) = (said(card.text(*ready(QUARTER, None, mm), View(units)))
                             for mm, units in ((Fraction(1, 2), "mm"), (Fraction(254, 640), "in")))  # fmt: skip
    assert "c : circle about C, 1/4 in by ruler = set 6.5 mm (exactly 6.35 mm)" in millimetres
    assert "d : circle about C, 12 mm by ruler > Measure" in millimetres
    assert "c : circle about C, 1/4 in by ruler 5 d : circle" in inches  # the next action follows: nothing is added
    assert "set 15/32 in (nearly 0.472 in)" in inches  # 12 / 25.4 = 0.4724, · 64 = 30.2


def test_no_rounded_length_stands_alone() -> None:
    """Wherever a length was rounded, the length itself stands behind it; where none was, no bracket does."""
    found, bench = ready("clock-dial")
    text = said(card.text(found, bench, View()))
    assert "108.5 mm (exactly 108.65 mm)" in text  # (241.3 - 24) / 2
    # half a graduation more or less than what is drawn: none of these is a length of the dial
    after = re.findall(r" (?:108\.5|96\.5|115\.5|54\.5|217\.5|153\.5|6\.5) mm( \(\w+)?", text)
    assert len(after) > 8
    assert {" (exactly", " (nearly"} == set(after)


def test_both_units_of_the_plate() -> None:
    """A plate's size is given in mm and in inches, whichever was written."""
    assert "241.3 mm (9 1/2 in) across" in said(card.text(*ready("clock-dial"), View()))
    assert "200 mm across; in inches about 7.874 in" in said(card.text(*ready(QUARTER), View()))


def test_a_false_claim_is_told() -> None:
    """By ruler the dial's M is off by the method itself, and the card says so where it is measured, and at its head."""
    text = said(card.text(*ready("clock-dial", "ruler"), View()))
    assert "one claim of this recipe is not shown to hold" in text
    assert "the method itself is off by 0.15 mm" in text
    # half of 108.5 lies between two marks of a 0.5 mm ruler, and which is taken is the hand's choice
    assert "reads 108.5 mm (exactly 108.65 mm); set 54 mm or the mark above it, both as near (exactly 54.25 mm)" in text


def test_what_a_claim_allows_is_not_called_false() -> None:
    """A gap that the claim allows is told as one, and a claim that nobody could settle as not settled."""
    allowed = QUARTER + "  B, T : marks where g meets d\n  claim B T is 24.1 mm within 0.2 mm\n"
    words = said(card.text(*ready(allowed), View()))
    assert "The method itself is off by 0.10 mm, which the claim allows." in words
    assert "false" not in words
    found, bench = ready(allowed)
    (last,) = bench.stages
    opened = replace(bench, stages=(replace(last, measurings=tuple(replace(one, verdict="undecided") for one in last.measurings)),))
    assert "whether this claim holds is not settled" in said(card.text(found, opened, View()))


def test_markup_in_a_recipe_is_words() -> None:
    """What looks like markup, a pattern or a file is printed as it stands."""
    found, bench = ready(HOSTILE)
    for text in (printed(card.page(found, bench, View())), said(card.text(found, bench, View()))):
        assert '<para><b>bold</b> &lt; <img src="file:///etc/passwd"/> {0} %s' in text
    assert '<font size="99">big</font> & <br/>' in printed(card.page(found, bench, View()))


def test_every_kind_of_blank(studies: dict[str, Study]) -> None:
    """A card comes of paper, a board, a plate of open size, an oval; a crowded one takes pages and says how many."""
    for name in ("paper", "board", "open", "oval", "crowded"):
        pdf = card.page(studies[name], at_the_bench(studies[name]), View())
        assert f"page {len(pages(pdf))} of {len(pages(pdf))}" in printed(pdf)


def test_every_measuring_has_its_sentence() -> None:
    """For whatever is measured there are words."""
    keys = sentences(ENGLISH)
    for text in (Path(card.__file__).parent.parent / "teaching").glob("*.py"):
        for how in re.findall(r'Offs\("(\w+)"', text.read_text(encoding="utf-8")):
            assert f"card.measure.{how}" in keys
    assert len(MEASURES) > 20


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[object, str, str]:
    """Return exit code, output and errors of one command."""
    with pytest.raises(SystemExit) as left:
        cli.main(list(arguments))
    out, err = capsys.readouterr()
    assert "Traceback" not in out + err
    return left.value.code, out, err


def test_the_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """On the screen by itself; into a text or a PDF by the file's ending; a second run replaces its own file."""
    code, screen, _ = run(capsys, "card", "find-the-centre", "--ruler", "1/64 in", "--units", "in", "--bench", "careful")
    assert 0 == code and "1/64 in marks" in screen and "level “careful”" in said(screen)
    for name in ("c.txt", "c.pdf", "c.pdf"):
        code, out, err = run(capsys, "card", "find-the-centre", "-o", str(tmp_path / name))
        assert (0, "") == (code, err)
        assert name in said(out)
    assert {"c.txt", "c.pdf"} == {path.name for path in tmp_path.iterdir()}
    code, _, _ = run(capsys, "card", "find-the-centre", "-o", str(tmp_path / "c.txt"))
    assert 0 == code


@pytest.mark.parametrize(
    ("arguments", "code"),
    [(["--paper", "foolscap"], "C801"), (["-o", "card.doc"], "C803"), (["-o", "none/card.pdf"], "C804"), (["--ruler", "fine"], "C810"),
     (["--ruler", "1/0 in"], "C810"), (["--ruler", "0 mm"], "C810"), (["--ruler", "1 m"], "C810"), (["--ruler", "99 in"], "C810"),
     (["--bench", "shaky"], "C530"), (["--way", "none"], "P"), (["-o", "mine.txt"], "C806")],
)  # fmt: skip
def test_what_makes_no_card(
    arguments: list[str], code: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A wrong option is a diagnostic with its code, and nothing is written."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "mine.txt").write_text("my own notes\n")
    left, out, err = run(capsys, "card", "find-the-centre", *arguments)
    assert (2, "") == (left, out)
    assert err.startswith(code)
    assert ["mine.txt"] == [path.name for path in tmp_path.iterdir()]
    assert "my own notes\n" == (tmp_path / "mine.txt").read_text()


def test_a_ruler_of_the_other_kind() -> None:
    """In inches a metric recipe is read on 1/32 in, in mm an inch recipe on 0.5 mm; a ruler of the same kind stays."""
    assert Fraction(254, 320) == card.graduation(None, "in", Fraction(1, 2))
    assert Fraction(1, 2) == card.graduation(None, "mm", Fraction(254, 640))
    assert Fraction(1) == card.graduation(None, "mm", Fraction(1))
    with pytest.raises(Mistakes):
        card.graduation("a cubit", "mm", Fraction(1))


INCHES = """recipe In inches
plate round, 8 in across
bench ordinary, ruler graduated 1/32 in
g : line by centre finder, along the grain
h : line by centre finder, across the grain
C : mark where g meets h
ring : circle about C, 2 1/2 in by ruler
N, S : marks where g meets ring
M : mark halfway from C to N, by ruler
k : arc about M, through S
"""


def test_a_card_speaks_as_the_ruler_does(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Whoever works in inches and asks for nothing gets inches, on the ruler of the recipe; `--units` and `--ruler` are obeyed."""
    file = tmp_path / "inches.recipe"
    file.write_text(INCHES, encoding="utf-8")
    _, out, _ = run(capsys, "card", str(file))
    assert "ruler marked every 1/32 in" in said(out) and "set 1 1/4 in" in said(out)
    assert "was proved for marks" not in said(out)
    _, out, _ = run(capsys, "card", str(file), "--units", "mm")
    assert "ruler marked every 0.5 mm" in said(out)
    _, out, _ = run(capsys, "card", "six-petals", "--ruler", "1/16 in")
    assert "ruler marked every 1/16 in" in said(out)


def test_a_layout_without_headings(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A line that somebody draws is not said to be given; and what rounding does not show is not said to be rounded."""
    file = tmp_path / "plain.recipe"
    file.write_text(INCHES.replace("1/32 in", "0.5 mm").replace("2 1/2 in by", "40 mm by"), encoding="utf-8")
    _, out, _ = run(capsys, "card", str(file))
    assert "THE LAYOUT" in out and "WHAT IS GIVEN" not in out
    assert not re.search(r"(\S+ mm) \((?:nearly|exactly) \1\)", said(out))
