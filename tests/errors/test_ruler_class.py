"""One ruler does the whole job: what its marks are off by is one error, and falls out wherever two lengths are compared.

A class II ruler may be out by 0.3 + 0.2 mm between any two marks up to 1 m (Directive 2014/32/EU, Annex X): u = 0.5/√3 mm.
"""

from __future__ import annotations

import math

import pytest

from construct.reports import View, record, summary
from construct.study import at_the_bench, study, with_errors

HEAD = """recipe By one ruler
paper
bench ordinary, ruler graduated 0.5 mm, ruler class II
given A, B, 100 mm apart
"""
RULER = 0.5 / math.sqrt(3)
HAND = 0.15


def u_between(text: str, pair: str) -> float:
    errors = with_errors(study(HEAD + text), at=pair, trials=0).errors
    assert errors is not None and errors.distance is not None
    return errors.distance.u_mm


def test_a_length_set_off_has_it_whole() -> None:
    """20 mm set off from A: hand and ruler in quadrature, the ruler along itself only."""
    text = "M : mark 20 mm from A toward B, by ruler\n"
    assert math.hypot(HAND, RULER) == pytest.approx(u_between(text, "A M"))
    errors = with_errors(study(HEAD + text), trials=0).errors
    assert errors is not None
    assert [HAND, math.hypot(HAND, RULER)] == pytest.approx(sorted((errors.mark("M").u_x_mm, errors.mark("M").u_y_mm)))


def test_two_lengths_set_off_alike_stay_equal() -> None:
    """Between marks 20 and 60 mm from A the ruler falls out; what is left is the hand twice."""
    text = "M : mark 20 mm from A toward B, by ruler\nN : mark 60 mm from A toward B, by ruler\n"
    assert HAND * math.sqrt(2) == pytest.approx(u_between(text, "M N"))


def test_what_is_read_and_set_off_again_is_right() -> None:
    """A ruler that reads a length and sets it off again makes up for its own fault."""
    text = "w : length from A to B, by ruler\nD : mark w from B toward A, by ruler\n"
    errors = with_errors(study(HEAD + text.replace("D : mark w from B toward A", "D : mark w from A toward B")), trials=0).errors
    assert errors is not None
    assert [HAND, HAND] == pytest.approx([errors.mark("D").u_x_mm, errors.mark("D").u_y_mm])


def test_half_of_a_reading_has_half_of_it() -> None:
    """Read L − c, halve it, set off with c more: L/2 + c/2."""
    assert math.hypot(HAND, RULER / 2) == pytest.approx(u_between("M : mark halfway from A to B, by ruler\n", "A M"))


def test_trials_agree() -> None:
    """The trials draw one error for the ruler in each trial, too."""
    text = "M : mark 20 mm from A toward B, by ruler\nN : mark 60 mm from A toward B, by ruler\n"
    errors = with_errors(study(HEAD + text), at="M N", trials=20_000, seed=3).errors
    assert errors is not None and errors.distance is not None and errors.distance.trials is not None
    assert HAND * math.sqrt(2) == pytest.approx(errors.distance.trials.u_mm, rel=4 / math.sqrt(2 * 20_000))


def test_it_is_no_steps_and_told_without_a_line() -> None:
    """It stands in every budget under the ruler's name; the closed forms still follow the first step of the recipe."""
    text = "step Set off\n" + "".join(f"{name} : mark {mm} mm from A toward B, by ruler\n" for name, mm in (("M", 20), ("N", 60), ("K", 80)))
    errors = with_errors(study(HEAD + text), trials=0).errors
    assert errors is not None and errors.movement is not None
    assert ("the ruler", "ruler within its class", 0) in {(row.step, row.source, row.line) for row in errors.mark("M").rows}
    assert "Set off" == errors.first_step.title
    assert {"the ruler"} < {one.step for one in errors.movement.steps}


def test_nothing_that_reads_budgets_by_step_stumbles() -> None:
    """Screen, record, card and chips take an error that is of no step."""
    text = "step S\nM : mark halfway from A to B, by ruler\nclaim M is halfway between A and B\nclaim A M equals M B\n"
    whole = with_errors(study(HEAD + text), trials=0)
    assert "the ruler" in summary.errors(whole, View("mm", "x"))
    assert record.errors(whole)["results"]
    made = at_the_bench(whole)
    culprits = [one for stage in made.stages for measuring in stage.measurings for one in measuring.culprits]
    assert culprits and all(one.line for one in culprits)
