"""Inches everywhere where they are asked for: no millimetre is left but in what the recipe or a tool's maker wrote (1 in = 25.4 mm)."""

from __future__ import annotations

import html
import json
import pickle
import re
from fractions import Fraction

import pytest

from construct.phrasebook import Length, in_units, say, tell
from construct.reports import View, _catalogue, _chip_table, _compare_screen, _lesson, _tune_screen, card, record, summary
from construct.reports import _error_words as hand
from construct.shelf import find
from construct.study import Study, at_the_bench, compare, study, tuned, why, with_chip_errors, with_cutting_plan, with_errors

INCHES = View("in", "RECIPE")
WRITTEN = r"\d[\d./ ]* mm\b"
MADE = (r"graduated \d[\d.]* mm", r"every \d[\d.]* mm", r"\d[\d.]* mm pencil", r"hole \d[\d.]* mm")
"""How the makers of rulers, pencils and templates call them."""


def left(text: str, recipe: str) -> list[str]:
    """Return what still speaks of millimetres, each with some text before it."""
    text = " ".join(text.split())
    for made in MADE:
        text = re.sub(made, "", text)
    for written in sorted(set(re.findall(WRITTEN, recipe)), key=len, reverse=True):
        text = text.replace(written, "")
    return re.findall(r".{0,40}\bmm\b|.{0,40}mm²", text)


def test_a_millimetre_that_is_left_is_seen() -> None:
    """The search itself: written lengths and tools' names are let through, all else is found."""
    assert [] == left("12 mm inside the edge; ruler graduated 0.5 mm", "rim : circle about C, 12 mm inside the edge")
    assert 2 == len(left("u 0.61 mm and 13 mm²", "12 mm"))


@pytest.fixture(scope="module")
def dial() -> Study:
    """The demo with all that can be asked of it."""
    found = with_errors(study("clock-dial", others=True), trials=200, seed=3)
    return with_cutting_plan(with_chip_errors(found, trials=30, seed=3), hand="right", first="hard")


def test_screens_of_the_demo(dial: Study) -> None:
    """Report, claims, every table of errors, every chip, card."""
    recipe = find("clock-dial").read_text(encoding="utf-8")
    texts = [summary.report(dial, INCHES), summary.claims(dial, INCHES), summary.errors(dial, INCHES)]
    texts.append(_chip_table.text(dial, INCHES, whole=True))
    texts.append(card.text(dial, at_the_bench(dial, graduation=Fraction(254, 320)), INCHES))
    for text in texts:
        # a warning's own sentence knows no units
        for one in dial.errors.warnings if dial.errors is not None else ():
            text = text.replace(one.message, "")
        assert " in" in text
        assert [] == left(text, recipe)


def test_compare_tune_and_lesson() -> None:
    """Ways side by side, free choices, and the lesson's page, which says the plate's 8 in in the other unit too: 203.2 mm."""
    name = "halve-a-side"
    recipe = find(name).read_text(encoding="utf-8")
    compass = study(name, way="compass", others=False)
    page = _lesson.page(with_errors(compass, trials=0), INCHES, why(compass)).decode()
    page = re.sub(r"<(style|script)\b.*?</\1>", " ", page, flags=re.DOTALL)
    assert [] == left(_compare_screen.screen(compare(name, trials=100), INCHES), recipe)
    assert [] == left(_tune_screen.screen(compass, tuned(compass, at=("M",), units="in"), INCHES), recipe)
    assert [] == left(html.unescape(re.sub("<[^>]*>", " ", page)), f"{recipe} 203.2 mm")


@pytest.mark.parametrize("kind", ["paper", "board", "open", "oval"])
def test_small_layouts(measured: dict[str, Study], kind: str) -> None:
    """Refuted lengths, allowed gaps, chips' areas, places drawn anywhere, a plate that has moved."""
    found = measured[kind]
    for text in (summary.report(found, INCHES), summary.errors(found, INCHES)):
        assert [] == left(text, "\n".join(found.plan.lines))


def test_tools_in_inches() -> None:
    """Limits and bench errors; the phrases' examples of how a length is written stay."""
    text = _catalogue.tools_text(units="in", claims_too=False)
    assert [] == left(text.partition("Limits")[2], "")


def test_a_condition_is_said_in_both_units(dial: Study) -> None:
    """Half of B T is 108.65 mm by the recipe: over 108.65 mm / 25.4 = 4.2776 in, rounded to what is allowed; the record keeps mm."""
    report = " ".join(summary.claims(dial, INCHES).split())
    assert "reach is over 4.278 in" in report
    kept = json.loads(record.text(record.report(dial)))
    conditions = [one for claim in kept["claims"] for one in claim["conditions"] if one.startswith("reach is over")]
    assert conditions
    assert all(one.startswith("reach is over 108.65 mm") or one.startswith("reach is over 108.66 mm") for one in conditions)


@pytest.mark.parametrize(
    ("length", "units", "said"),
    [(Length(Fraction(254, 10)), "mm", "25.4 mm"), (Length(Fraction(254, 10)), "in", "1 in"), (Length(Fraction(100)), "in", "3.93701 in"),
     (Length(Fraction(100), 1), "in", "3.938 in"), (Length(Fraction(100), -1), "in", "3.937 in"),
     (Length(Fraction("1.001"), 1), "mm", "1.01 mm"),
     (Length(12.7, figures=2), "in", "0.5 in"), (Length(0.123456, figures=2), "mm", "0.12 mm")],
)  # fmt: skip
def test_lengths_inside_sentences(length: Length, units: str, said: str) -> None:
    """100 mm is 3.93700787… in: rounded up or down where a bound must not be passed."""
    assert said == length.text(units)


def test_a_told_sentence_keeps_its_lengths() -> None:
    """In mm it is a plain sentence; in inches each length in it, also in a sentence inside it, is said anew; it survives pickling."""
    inner = tell("scope.over", name="reach", length=Length(Fraction(254)), why="it fits")
    outer = tell("condition.not_stopped", line=4, limit=inner)
    assert "line 4 is not stopped by this: reach is over 254 mm (it fits)" == outer
    for one in (outer, pickle.loads(pickle.dumps(outer))):
        assert "line 4 is not stopped by this: reach is over 10 in (it fits)" == in_units(one, "in")
    assert say("scope.edge") == in_units(say("scope.edge"), "in")


def test_a_sensitivity_in_inches(measured: dict[str, Study]) -> None:
    """What a length does for a length is a pure number; what a degree does is a length, and is divided by 25.4."""
    errors = measured["demo"].errors
    assert errors is not None
    every = (*errors.first_step.marks, *errors.first_step.edges)
    for unit, divided in (("mm per mm", 1.0), ("mm per deg", 25.4)):
        one = next(one for one in every if one.unit == unit)
        assert pytest.approx(one.value / divided) == hand.sensitivity(one, "in")[1]
        assert one.value == hand.sensitivity(one, "mm")[1]
