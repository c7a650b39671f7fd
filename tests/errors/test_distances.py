"""The distance of two marks: by hand, and by all that both have in common."""

from __future__ import annotations

import math

import pytest

from construct.diagnostics import Mistakes
from construct.errors import Errors
from construct.errors.distances import DistanceBudget
from construct.reports import View, record, summary
from construct.study import Study, study, with_errors

TWICE = """recipe Twice the same
paper
bench ordinary, ruler graduated 0.5 mm
given A, B, 100 mm apart
M : mark halfway from A to B, by ruler
N : mark halfway from A to B, by ruler
"""


def between(errors: Errors | None) -> DistanceBudget:
    assert errors is not None and errors.distance is not None
    return errors.distance


@pytest.fixture(scope="module")
def dial() -> Study:
    return study("clock-dial")


def test_across_the_rim_by_hand(dial: Study) -> None:
    """B T is twice the rim's radius: the finder's 0.25 mm, a mark's 0.15 and a setting's 0.15, each twice; nothing that moves the rim."""
    one = between(with_errors(dial, at="B T", trials=8192, seed=4).errors)
    by_hand = 2 * math.sqrt(0.25**2 + 0.15**2 + 0.15**2)
    assert by_hand == pytest.approx(one.u_mm, rel=1e-6)
    assert 1.96 * by_hand == pytest.approx(one.expanded_mm, rel=1e-4)
    assert one.u_mm == pytest.approx(math.sqrt(math.fsum(row.u_mm**2 for row in one.rows)), rel=1e-12)
    assert one.trials is not None and one.trials.agrees
    assert by_hand == pytest.approx(one.trials.u_mm, rel=4 / math.sqrt(2 * 8192))
    # at the limits, 2.5 u each, the three errors come to 2·2.5·(0.25 + 0.15 + 0.15); the finder's turning adds a little
    assert one.within_mm is not None
    low, high = one.within_mm
    assert 217.3 + 2.75 <= high <= 217.3 + 2.9 and 217.3 - 2.9 <= low <= 217.3 - 2.75


def test_what_both_have_in_common_falls_out(dial: Study) -> None:
    """A tick lies 4.5 mm from the mark the template is put to: only its centring, 0.20 mm, counts, and not the layout's 0.8 mm."""
    one = between(with_errors(dial, at="n.B out.B", trials=0).errors)
    assert 4.5 == pytest.approx(one.distance_mm)
    assert [0.20] == pytest.approx([row.u_mm for row in one.rows if row.share > 1e-6])
    assert one.apart_mm > 0.7
    assert one.trials is None


def test_an_hour_by_a_script_from_first_principles(dial: Study) -> None:
    """T to behind.R: 0.447 mm by 200 000 trials of a script that shares no line with this program (its own geometry, numpy's normals)."""
    one = between(with_errors(dial, at="T behind.R", trials=0).errors)
    assert 0.447 == pytest.approx(one.u_mm, abs=0.003)


def test_marks_that_fall_together_have_trials_alone() -> None:
    """Two marks set off alike differ by N(0, 0.15·√2) each way: no first order; the mean distance is Rayleigh's, σ·√(π/2)."""
    one = between(with_errors(study(TWICE), at="M N", trials=40_000, seed=2).errors)
    assert math.isnan(one.u_mm) and one.note
    assert one.trials is not None and one.trials.agrees is None
    sigma = 0.15 * math.sqrt(2)
    assert sigma * math.sqrt(math.pi / 2) == pytest.approx(one.trials.mean_mm, rel=0.01)
    assert sigma * math.sqrt(-2 * math.log(0.025)) == pytest.approx(one.trials.high_mm, rel=0.02)


def test_it_is_told_and_recorded(dial: Study) -> None:
    """Screen and record hold it; the closed forms stay those of the first heading."""
    found = with_errors(dial, at="B T", trials=4096, seed=4)
    text = " ".join(summary.errors(found, View("mm", "clock-dial"), whole=False).split())
    assert "From `B` to `T`, drawn 217.300 mm" in text and "k = 1.96" in text and "4096 trials" in text
    made = record.errors(found)
    assert ["B", "T"] == made["distance"]["names"]
    assert "Find the centre" == made["first_step"]["title"]
    assert record.errors(with_errors(dial, trials=0))["distance"] is None


@pytest.mark.parametrize("words", ["B B", "B g", "B T L", "B nobody"])
def test_what_is_no_pair_of_marks_is_refused(dial: Study, words: str) -> None:
    """One mark twice, a line, three marks, a mark that is not there."""
    with pytest.raises(Mistakes) as caught:
        with_errors(dial, at=words, trials=0)
    assert "C531" == caught.value.diagnostics[0].code
