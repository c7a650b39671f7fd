"""The hand's errors as text: four answers on one screen, then every figure; u and U apart, judgement said."""

from __future__ import annotations

import math
import re

import pytest

from construct.phrasebook import say as phrase
from construct.reports import View, summary
from construct.reports import _error_screen as screen
from construct.reports import _error_words as say
from construct.study import Study, study, with_errors

NAMES = ("demo", "demo by ruler", "paper", "board", "open", "oval", "crowded", "hardly")


def one(text: str) -> str:
    """Return text on one line."""
    return " ".join(text.split())


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("name", NAMES)
def test_no_line_is_too_wide(measured: dict[str, Study], name: str, units: str) -> None:
    """No line of report or tables has over 100 columns, and none ends in a space."""
    for text in (summary.report(measured[name], View(units, name)), summary.errors(measured[name], View(units, name))):
        assert [line for line in text.splitlines() if len(line) > 100 or line != line.rstrip()] == []


@pytest.mark.parametrize("name", NAMES)
def test_four_answers_on_one_screen(measured: dict[str, Study], name: str) -> None:
    """Is it right, how far off, which step, what the first step does: in this order, in at most 17 lines, at the head of both."""
    for text in (summary.report(measured[name], View(recipe="R")), summary.errors(measured[name], View(recipe="R"))):
        (block,) = (block.splitlines() for block in text.split("\n\n") if block.startswith("In short"))
        labels = [phrase(key) for key in (screen.RIGHT, screen.FAR, screen.CARE, screen.FIRST)]
        places = [number for number, line in enumerate(block) for label in labels
                  if line.strip().startswith(label)]  # fmt: skip
        assert 4 == len(places)
        assert places == sorted(places)
        assert text.index("In short") < 500
        answers = [line for line in block if line.startswith(("  Is", "  How", "  Which", "  First", " " * 16))]
        assert len(answers) <= 16  # and a line above them


def test_the_demo_in_short(measured: dict[str, Study]) -> None:
    """The finder costs most and leaves the leaves equal; C lies within 2.4477·0.25 mm = 0.61 mm (two lines, u 0.25 mm each, by hand)."""
    text = one("\n".join(screen.short(measured["demo"], View(), "Yes.")))
    assert "`C` 0.61 mm" in text
    assert re.search(r"To keep the chips alike: `.* To keep the pattern centred: `[gh]` \(line 1[12]\) \d+ %, `[gh]`", text)
    assert re.search(r"“Find the centre”: the 12 leaf chips shift or turn by u 0\.\d+ mm each, .* and stay equal to one another", text)
    assert "√" in text
    assert "judgement" in text
    assert "first order" in text


def test_what_the_figures_are_is_said(measured: dict[str, Study]) -> None:
    """Seed, trials, lost trials, infinite ν, judgement and both guarantees stand on the screen of `errors`."""
    text = one(summary.errors(measured["demo"], View(), whole=False))
    for said in ("first order", "4000 trials, seed 11, none lost: estimates", "ν is taken as infinite", "judgement", "U = 1.96 u",
                 "19 times in 20"):  # fmt: skip
        assert said in text


def test_lost_trials_are_told(measured: dict[str, Study]) -> None:
    """Where arcs may miss each other the lost trials are counted on the screen, with their reason, and in the report too."""
    found = measured["hardly"].errors
    assert found is not None
    assert 0 < found.lost < found.trials
    text = one(summary.errors(measured["hardly"], View(), whole=False))
    assert f"{found.lost} lost" in text
    assert f"{found.lost} of 4000 trials could not be finished" in text
    assert "Mind: " in summary.report(measured["hardly"], View())


@pytest.mark.parametrize("name", ["demo", "board", "paper"])
def test_nothing_is_trimmed(measured: dict[str, Study], name: str) -> None:
    """Each mark has a block with as many rows as its budget, each edge one with every step and source of its three stations."""
    found = measured[name].errors
    assert found is not None
    blocks = summary.errors(measured[name], View()).split("\n\n")
    marks = [block.splitlines() for block in blocks if block.startswith("Mark ")]
    edges = [block.splitlines() for block in blocks if block.startswith("Edge ")]
    assert (len(found.marks), len(found.edges)) == (len(marks), len(edges))
    for mark, lines in zip(found.marks, marks, strict=True):
        assert len(mark.rows) == sum(line.endswith(tuple(f"  {row.source}" for row in mark.rows)) and " %" in line for line in lines)
    for edge, lines in zip(found.edges, edges, strict=True):
        wanted = {(row.step, row.source) for station in edge.stations for row in station.rows}
        table = lines[: next((n for n, line in enumerate(lines) if line.strip().startswith(("by ", "start:"))), len(lines))]
        assert len(wanted) == sum(line.endswith(tuple(f"  {source}" for _, source in wanted)) for line in table)


def test_another_unit(measured: dict[str, Study]) -> None:
    """0.612 mm is 0.0241 in (1 in = 25.4 mm, exactly)."""
    text = summary.errors(measured["demo"], View("in"))
    (row,) = (line for line in text.splitlines() if line.startswith("  C   ") and " by " in line and "exact" not in line)
    assert "0.0241 by 0.0241" in row


@pytest.mark.parametrize(
    ("mm", "said"),
    [(0.0, "too little"), (0.2499, "too little"), (0.25, "only you"), (0.49, "only you"), (0.5, "a student"), (0.99, "a student"),
     (1.0, "anyone"), (50.0, "anyone")],
)  # fmt: skip
def test_bands(mm: float, said: str) -> None:
    """Under 0.25 mm nobody sees it, to 0.5 you, to 1 a student, over that anyone (judgement; common practice, no source)."""
    assert said in say.band(mm)


def test_expanded() -> None:
    """U is 1.960 u for 95 % and ν infinite (JCGM 100:2008, table G.2; from memory)."""
    assert pytest.approx(1.960, abs=0.0005) == say.expanded(1.0)


@pytest.mark.parametrize(
    ("value", "said"),
    [(0.6119, "0.61"), (1.36, "1.4"), (0.0962, "0.096"), (0.0996, "0.10"), (12.34, "12"), (123.4, "123"), (0.0, "0"), (1e-17, "<0.0001"),
     (math.nan, "—"), (0.996, "1.0"), (-0.5, "−0.50")],
)  # fmt: skip
def test_two_figures(value: float, said: str) -> None:
    """A figure for a sentence has two significant figures and no exponent; something is never shown as nothing."""
    assert said == say.two_figures(value)


def test_shares_and_cells_never_hide_something() -> None:
    """A part that is not nothing is never shown as 0."""
    assert ("<0.1 %", "0.0 %", "under 1 %") == (say.share(1e-9), say.share(0.0), say.whole_share(1e-9))
    assert ("<0.001", "0.000", "<0.0001") == (say.cell(1e-9, "mm"), say.cell(0.0, "mm"), say.cell(1e-9, "in"))


def test_an_errorless_layout() -> None:
    """A layout in which no step makes an error says so, and shows no table of nothing."""
    text = "recipe Nothing by hand\npaper\ngiven A, B, 100 mm apart\nstep S\n  claim A B is 100 mm\n"
    shown = one(summary.errors(with_errors(study(text)), View()))
    assert "No step here makes an error of the hand." in shown


def test_conditions_are_told_once(measured: dict[str, Study]) -> None:
    """Where several claims rest on the same conditions the later ones point to the line that told them."""
    text = summary.claims(measured["demo"], View())
    full = {tuple(verdict.conditions) for verdict in measured["demo"].verdicts if verdict.conditions}
    said = one(text)
    for conditions in full:
        assert 1 == said.count(f"as long as {conditions[0]}")


def test_the_worst_case_is_a_table_of_its_own(measured: dict[str, Study]) -> None:
    """It says what each figure is worth and what it rests on, and one that has no bound says that; it stands under --all alone."""
    view = View("mm", "demo")
    text = " ".join(summary.errors(measured["demo"], view).split())
    assert "Worst case within limits" in text and "an enclosure" in text and "2.5 u of any other (judgement)" in text
    assert "Worst case within limits" not in summary.errors(measured["demo"], view, whole=False)
    assert "no bound found" in summary.errors(measured["open"], view)
