"""Laws of the worst case within limits: never too small, met where first order is all, and honest where there is no bound."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from construct.errors.analysis import analyse
from construct.errors.measurands import make_formula, touching_steps
from construct.errors.propagation import propagate
from construct.errors.worst_case import NO_BOUND, _Corners, _measured, limit_of
from construct.number_systems import Source
from construct.study import study

ARCS = """recipe Two arcs
paper
bench ordinary
given A, B, 100 mm apart
reach : opening, 51 mm by ruler
a : arc about A, opening reach
b : arc about B, opening reach
X, Y : marks where a meets b
"""
SET = "compass set by ruler"


def arcs(half_mm: float) -> Any:
    """The recipe's errors with the setting alone off, every value up to `half_mm` equally likely."""
    whole = study(ARCS)
    sources = {name: replace(source, u=0.0) for name, source in whole.settled.plan.settings.sources.items()}
    sources[SET] = Source(SET, half_mm / math.sqrt(3), shape="rectangular")
    plan = replace(whole.settled.plan, settings=replace(whole.settled.plan.settings, sources=sources))
    return analyse(replace(whole.settled, plan=plan), None, whole.exact, trials=0)


def worst_of(errors: Any, name: str) -> Any:
    return next(one for one in errors.worst.marks if one.name == name)


def test_limits_of_sources() -> None:
    """A rectangular source is limited by its half width, u·√3; a normal one by 2.5 u."""
    assert 0.6 == pytest.approx(limit_of(Source("a", 0.6 / math.sqrt(3), shape="rectangular")))
    assert 0.5 == pytest.approx(limit_of(Source("b", 0.2)))


def test_a_mark_by_ruler_by_hand() -> None:
    """A mark set off by ruler (u 0.15 mm each way) lies at most 2.5·0.15·√2 mm off; both figures say so."""
    errors = study("halve-a-length", way="ruler")
    found = analyse(errors.settled, None, errors.exact, trials=0)
    one = worst_of(found, "M")
    assert 0.375 * math.sqrt(2) == pytest.approx(one.corner_mm, rel=1e-9)
    assert one.corner_mm <= one.most_mm <= 1.001 * one.corner_mm / math.cos(math.pi / 32)


def test_the_centre_by_hand() -> None:
    """Two finder lines off by a ≤ 0.625 mm and turned by t ≤ 0.5 deg cross at most a·√2/(1 − t) from the centre."""
    whole = study("find-the-centre")
    one = worst_of(analyse(whole.settled, None, whole.exact, trials=0), "C")
    true = 0.625 * math.sqrt(2) / (1 - math.radians(0.5))
    assert 0.625 * math.sqrt(2) <= one.corner_mm <= true + 1e-9
    assert true <= one.most_mm <= 1.01 * true


def test_arcs_that_cross_flat_by_hand() -> None:
    """Arcs of 51 ± 0.2 mm about marks 100 mm apart cross at √(r² − 50²): 10.05 mm up, down to 8.98 mm; first order says 1.01 mm."""
    one = worst_of(arcs(0.2), "X")
    true = math.sqrt(51**2 - 50**2) - math.sqrt(50.8**2 - 50**2)
    assert true > 0.2 * 51 / math.sqrt(51**2 - 50**2)
    assert true == pytest.approx(one.corner_mm, rel=1e-9)
    assert true <= one.most_mm <= 1.1 * true


def test_arcs_that_may_miss_have_no_bound() -> None:
    """Off by 1.5 mm, arcs of 51 mm do not reach each other: no bound, and the corner at which they miss is counted."""
    one = worst_of(arcs(1.5), "X")
    assert math.isnan(one.most_mm) and NO_BOUND == one.note
    assert one.missed > 0


@pytest.mark.parametrize(("recipe", "way", "level"), [
    ("clock-dial", "compass", "beginner"), ("clock-dial", "ruler", "ordinary"), ("six-petals", None, "beginner"),
    ("seven-round-a-rim", None, "ordinary"), ("square-in-a-circle", None, "ordinary"),
])  # fmt: skip
def test_nothing_inside_the_limits_is_worse(recipe: str, way: str | None, level: str) -> None:
    """Of 600 layouts drawn at random within the limits, half of them at corners, none lies farther off than is said."""
    whole = study(recipe, way=way) if way else study(recipe)
    found = analyse(whole.settled, whole.carving, whole.exact, bench=level, trials=0)
    from construct.errors.analysis import at_bench

    settled = at_bench(whole.settled, level)
    formula, _ = make_formula(settled, whole.carving, whole.exact)
    formula = replace(formula, without=frozenset(touching_steps(settled, whole.exact)))
    inputs = propagate(formula).inputs
    random = np.random.default_rng(7)
    trials = 600
    table = {}
    for one in inputs:
        spread = random.uniform(-1, 1, trials)
        spread[: trials // 2] = random.choice((-1.0, 1.0), trials // 2)
        table[one.key] = spread * limit_of(one.source)
    with np.errstate(all="ignore"):
        rows = [
            np.full(trials, np.nan) if one is None else np.broadcast_to(one, (trials,))
            for one in _measured(formula, _Corners(table, trials))
        ]
    drawn = propagate(formula).estimates
    count = len(formula.marks)
    tightest = []
    for place, one in enumerate(found.worst.marks):
        off = np.hypot(rows[2 * place] - drawn[2 * place], rows[2 * place + 1] - drawn[2 * place + 1])
        if not math.isnan(one.most_mm):
            assert not np.isnan(off).any()
            assert off.max() <= one.most_mm + 1e-9
            assert one.corner_mm <= one.most_mm + 1e-9
            tightest.append(one.most_mm / max(one.corner_mm, 1e-12))
    for one, row in zip(found.worst.edges, rows[2 * count :], strict=True):
        if not math.isnan(one.most_mm):
            assert np.abs(row).max() <= one.most_mm + 1e-9
            assert one.corner_mm <= one.most_mm + 1e-9
    assert min(tightest) < 1.05


def test_an_exact_bench_has_no_worst_case() -> None:
    """Where nothing can be off there is nothing to say."""
    text = "recipe R\npaper\nbench ordinary\ngiven A, B, 100 mm apart\nclaim A B is 100 mm\n"
    whole = study(text)
    assert analyse(whole.settled, None, whole.exact, trials=0).worst is None
