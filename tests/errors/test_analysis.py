"""The record that reports read: levels, seeds, warnings, and what is refused."""

from __future__ import annotations

import math
from typing import Any

import pytest

from construct.diagnostics import Mistakes
from construct.errors import Errors

LEVELS = {"careful": 0.15, "ordinary": 0.25, "beginner": 0.50}
"""The centre finder sideways, in mm, by level of hand: judgement, as `data/bench.toml` has it."""


@pytest.mark.parametrize(("level", "u"), LEVELS.items())
def test_another_bench(dial: Any, level: str, u: float) -> None:
    """`bench` takes another hand's figures; the centre's u_x is that hand's with the finder."""
    found = dial.analyse(trials=0, bench=level)
    assert level == found.level
    assert u == pytest.approx(found.mark("C").u_x_mm)


def test_what_the_recipe_sets_stays(lay: Any) -> None:
    """`compass set within 0.1 mm` is a rectangular error of u = 0.1/√3 (JCGM 100, 4.3.7) on any bench."""
    head = "plate round, 200 mm across\nbench ordinary, compass set within 0.1 mm\nstep Do it\n"
    found = lay("  r : opening, 40 mm by ruler\n", head).analyse(trials=0, bench="beginner")
    (one,) = found.inputs
    assert ("rectangular", "as the recipe says") == (one.source.shape, one.source.basis)
    assert 0.1 / math.sqrt(3) == pytest.approx(one.source.u)


def test_the_same_seed_gives_the_same_record(lay: Any) -> None:
    """One seed, one record; another seed, other trials and the same first order."""
    laid = lay("  g : line by centre finder, along the grain\n  h : line by centre finder, across the grain\n  C : mark where g meets h\n")
    first, again, other = (laid.analyse(trials=5000, seed=seed) for seed in (1, 1, 2))
    assert first == again
    assert first.marks != other.marks
    assert first.marks[0].rows == other.marks[0].rows


def test_no_trials(dial: Any) -> None:
    """With 0 trials there is first order alone."""
    found = dial.analyse(trials=0)
    assert (0, 0, None) == (found.trials, found.lost, found.stable)
    assert all(mark.trials is None for mark in found.marks)
    assert () == found.warnings


def test_adaptive_trials(lay: Any) -> None:
    """Without a number the trials run until they are stable, and the record says that they are."""
    laid = lay("  g : line by centre finder, along the grain\n  h : line by centre finder, across the grain\n  C : mark where g meets h\n")
    found = laid.analyse(trials=None, seed=4)
    assert found.stable is True
    # two digits of u = 0.25: δ = 0.005
    assert 0.25 == pytest.approx(found.mark("C").trials.u_x_mm, abs=0.005)


@pytest.mark.parametrize(
    ("options", "code", "word"),
    [
        ({"bench": "sloppy"}, "C530", "sloppy"),
        ({"at": "nowhere"}, "C531", "nowhere"),
        ({"trials": 1}, "C532", "1 trials"),
        ({"trials": -5}, "C532", "-5 trials"),
        ({"seed": -1}, "C533", "seed"),
    ],
)
def test_mistakes_are_diagnostics(dial: Any, options: dict[str, Any], code: str, word: str) -> None:
    """What makes no sense is a diagnostic, never a traceback."""
    with pytest.raises(Mistakes) as caught:
        dial.analyse(**options)
    (one,) = caught.value.diagnostics
    assert code == one.code and word in one.message


def test_a_reading_that_varies_is_told(lay_shipped: Any) -> None:
    """A length with u over a quarter graduation: the rounding is no fixed offset, and trials and first order part."""
    found: Errors = lay_shipped("halve-a-side", "ruler").analyse(trials=40_960, seed=5)
    codes = {one.code: one for one in found.warnings}
    assert {"R302", "R305"} == set(codes)
    assert "halfway from L to T" in codes["R302"].text
    assert "M" in codes["R305"].message
    assert found.mark("M").trials.agrees is False  # type: ignore[union-attr]
    assert found.mark("T").trials.agrees is True  # type: ignore[union-attr]


def test_a_steady_reading_is_not_told(lay: Any) -> None:
    """Two marks set down by hand have no error, so their distance reads the same every time; u of a mark by a 1 mm rule is 0.20 mm."""
    text = "  A : mark anywhere, say at (0, 0) mm\n  B : mark anywhere, say at (30.2, 0) mm\n  M : mark halfway from A to B, by ruler\n"
    found = lay(text).analyse(trials=2000, seed=6)
    assert () == found.warnings
    assert 0.20 == pytest.approx(found.mark("M").u_x_mm)


def test_an_empty_layout(lay: Any) -> None:
    """A recipe that makes no error at all has budgets of nothing and no trials."""
    found = lay("  A : mark anywhere, say at (0, 0) mm\n").analyse()
    assert (0, (), None) == (found.trials, found.inputs, found.movement)
    assert (0.0, (), None) == (found.mark("A").u_mm, found.mark("A").rows, found.mark("A").ellipse)


def test_every_phrase_has_a_budget(every: Any) -> None:
    """A layout with every phrase of every tool goes through, trials beside it, none lost."""
    found = every.analyse(trials=4096, seed=7)
    assert 0 == found.lost
    assert all(mark.note == "" for mark in found.marks)
    names = {mark.name for mark in found.marks}
    assert {"C", "K", "m1", "s6", "k4"} <= names


@pytest.mark.parametrize(
    "wish",
    [
        "compass set within -0.1 mm",
        "compass set within 0.1",
        "compass set within nan mm",
        "compass set within 0 mm",
        "ruler graduated -1 mm",
        "ruler graduated 0.5",
        "pencil 1e400 mm",
        "mallet 3 mm",
        "sloppy",
        "moisture 9 % when turned",
        "from nowhere.toml",
    ],
)
def test_bench_values_without_sense(lay: Any, wish: str) -> None:
    """A bench value that is negative, not a number, without a unit, or unknown is a diagnostic on its line."""
    with pytest.raises(Mistakes) as caught:
        lay("  A : mark anywhere, say at (0, 0) mm\n", f"plate round, 200 mm across\nbench ordinary, {wish}\nstep Do it\n")
    assert {2} == {one.span.line for one in caught.value.diagnostics if one.span is not None}
