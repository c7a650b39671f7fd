"""Laws of the budgets: rows add up, nothing is trimmed, and closed forms, first order and mishaps agree."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from construct.errors import Errors
from construct.errors.budget import NO_FIRST_ORDER, agrees
from construct.errors.propagation import propagate
from construct.number_systems.float import FloatSystem
from construct.phrasebook import say
from construct.replay import replay


def quadrature(rows: Any) -> float:
    return math.sqrt(math.fsum(row.u_mm**2 for row in rows))


def test_rows_add_in_quadrature(dial_errors: Errors) -> None:
    """Every budget's rows add in quadrature to its u, and their shares to one (JCGM 100, 5.1.2)."""
    stations = [station for edge in dial_errors.edges for station in edge.stations]
    assert len(dial_errors.marks) > 50 and len(stations) > 100
    for one in (*dial_errors.marks, *stations):
        assert one.u_mm == pytest.approx(quadrature(one.rows), rel=1e-12)
        assert 1.0 == pytest.approx(math.fsum(row.share for row in one.rows), rel=1e-12)
        assert sorted(one.rows, key=lambda row: -row.u_mm) == list(one.rows)
    for mark in dial_errors.marks:
        assert mark.u_mm == pytest.approx(math.hypot(mark.u_x_mm, mark.u_y_mm), rel=1e-12)
        for gathered in (mark.by_source, mark.by_step):
            assert mark.u_mm == pytest.approx(math.sqrt(math.fsum(u * u for _, u in gathered)), rel=1e-12)
        assert math.inf == mark.nu


def test_nothing_is_trimmed(dial: Any, dial_errors: Errors) -> None:
    """Every input that has any effect on a mark is in one of its rows; all others are counted."""
    formula = dial.formula()
    found = propagate(formula)
    for mark in dial_errors.marks:
        slopes = found.sensitivity[formula.of_mark(mark.index)].T
        reached = [(one.step, one.source.name) for one, c in zip(found.inputs, slopes, strict=True) if c.any()]
        assert len(set(reached)) == len(mark.rows)
        assert len(found.inputs) == mark.untouched + len(reached)


def test_centre_by_hand(dial_errors: Errors) -> None:
    """The centre is where two finder lines cross: u_x, u_y are the finder's own 0.25 mm and nothing else (the angle turns about it)."""
    centre = dial_errors.mark("C")
    assert [0.25, 0.25] == pytest.approx([centre.u_x_mm, centre.u_y_mm])
    assert 0.25 * math.sqrt(2) == pytest.approx(centre.u_mm)
    assert {("centre finder sideways", "g"), ("centre finder sideways", "h")} == {(row.source, row.step) for row in centre.rows}
    assert [11, 12] == sorted(row.line for row in centre.rows)
    assert centre.ellipse is not None
    assert 0.25 * 2.447746830681 == pytest.approx(centre.ellipse.longer_mm)


def test_rms_and_costs_of_edges(dial_errors: Errors) -> None:
    """The costs of all steps add in quadrature to the length-weighted rms over all cut edges; grooves are no edges."""
    edges = [edge for edge in dial_errors.edges if not edge.groove]
    length = math.fsum(edge.length_mm for edge in edges)
    rms = math.sqrt(math.fsum(edge.length_mm * edge.rms_mm**2 for edge in edges) / length)
    assert rms == pytest.approx(math.sqrt(math.fsum(cost.rms_mm**2 for cost in dial_errors.costs)), rel=1e-12)
    assert sorted((cost.rms_mm for cost in dial_errors.costs), reverse=True) == [cost.rms_mm for cost in dial_errors.costs]
    for cost in dial_errors.costs:
        assert cost.rms_mm == pytest.approx(quadrature(cost.rows), rel=1e-12, abs=1e-15)
    assert rms == pytest.approx(dial_errors.movement.total.all_mm, rel=1e-12)  # type: ignore[union-attr]


def test_knife_stands_beside_the_layout(dial_errors: Errors) -> None:
    """The knife's entry, 0.20 mm for an ordinary hand, is added in quadrature and only in its own column."""
    assert 0.20 == dial_errors.knife_u_mm
    for edge in dial_errors.edges:
        for station in edge.stations:
            assert math.hypot(station.u_mm, 0.20) == pytest.approx(station.u_with_knife_mm)
            assert "knife entry against the line" not in {row.source for row in station.rows}


def test_monte_carlo_stands_beside(dial_errors: Errors) -> None:
    """On the dial trials agree with first order everywhere; u within five standard deviations of what 8192 trials scatter by, and 1 %."""
    assert (8192, 11, 0) == (dial_errors.trials, dial_errors.seed, dial_errors.lost)
    for mark in dial_errors.marks:
        assert mark.trials is not None
        assert mark.trials.agrees is True
        assert mark.u_mm == pytest.approx(mark.trials.u_mm, rel=0.01 + 5 / math.sqrt(2 * 8192))


def test_disagreement_is_seen() -> None:
    """An interval off by more than δ and the trials' own scatter is told; one inside is not (JCGM 101, 8.1)."""
    # u = 1.0: δ = 0.05; a million trials scatter by 0.003 at an end
    assert agrees(0.0, 1.0, -1.96, 1.96, 10**6) is True
    assert agrees(0.0, 1.0, -1.93, 1.99, 10**6) is True
    assert agrees(0.0, 1.0, -1.86, 1.96, 10**6) is False
    # the same gap with a hundred trials may be chance
    assert agrees(0.0, 1.0, -1.86, 1.96, 100) is True
    assert agrees(0.0, 0.0, 0.0, 0.0, 10**6) is None


# --- edges of every kind ---------------------------------------------------------------------------

KINDS = """\
  g : line by centre finder, along the grain
  h : line by centre finder, across the grain
  C : mark where g meets h
  ring : circle about C, 70 mm inside the edge
  rim : circle about C, 20 mm inside the edge
  B, T : marks where g meets rim
  L, R : marks where h meets rim
  a : line from L to T
  b : line from T to R
  d : line from R to L
  D : mark 20 mm from T toward L, by ruler
  E : mark 20 mm from T toward R, by ruler
  c : curve by french curve from B to L, leaving toward R, arriving toward T
  e : line from L to B
carve
  cut ring
  cut a from L to T
  cut b from T to R
  cut d from R to L
  cut c
  cut e from B to L
"""


@pytest.fixture(scope="module")
def kinds(lay: Any) -> Any:
    return lay(KINDS)


def test_displacement_of_every_kind_of_edge(kinds: Any) -> None:
    """Circle, line and curve: with one error of 0.01 mm in place, each edge's displacement is the gap between the drawn thing
    and the station along its normal, measured on the disturbed drawing itself; 0 without errors."""
    formula = kinds.formula()
    plan = kinds.plan
    first = 2 * len(formula.marks)
    assert np.allclose(formula(FloatSystem())[first:], 0.0, atol=1e-9)
    keys = [("g", "centre finder sideways", ""), ("ring", "mark by ruler", ""), ("a", "pencil beside the straightedge", ("", "x"))]
    kinds_seen = set()
    for key in keys:
        system = FloatSystem(errors={key: 0.01})
        moved = formula(system)
        assert key in system.noted
        values = replay(plan, FloatSystem(errors={key: 0.01}))
        for edge in formula.edges:
            thing = values[edge.thing]
            kinds_seen.add(type(thing).__name__)
            for place, station in zip(range(*formula.of_edge(edge.number).indices(len(moved))), edge.stations, strict=True):
                x, y, (nx, ny) = float(station.x), float(station.y), station.normal
                if hasattr(thing, "square"):
                    cx, cy = x - thing.centre.x, y - thing.centre.y
                    # where the ray from the station along the normal meets the circle
                    half, rest = cx * nx + cy * ny, cx * cx + cy * cy - thing.square
                    gap = -half + math.sqrt(half * half - rest)
                elif hasattr(thing, "dx"):
                    gap = ((thing.x - x) * thing.dy - (thing.y - y) * thing.dx) / (nx * thing.dy - ny * thing.dx)
                else:
                    continue
                assert gap == pytest.approx(moved[place], abs=2e-6)
    assert {"Circle", "Line", "Curve"} == kinds_seen


def test_whole_circle_is_two_halves(kinds: Any) -> None:
    """A ring of radius 30 has two edges of 30π, each with stations a quarter turn apart; one chip within."""
    formula = kinds.formula()
    halves = [edge for edge in formula.edges if kinds.plan.things[edge.thing].name == "ring"]
    assert 2 == len(halves)
    for edge in halves:
        assert 30 * math.pi == pytest.approx(edge.length_mm)
        quarter = [edge.stations[0].normal[0] * edge.stations[1].normal[0] + edge.stations[0].normal[1] * edge.stations[1].normal[1]]
        assert [0.0] == pytest.approx(quarter, abs=1e-12)


def test_curve_moves_with_its_control_marks(kinds: Any) -> None:
    """A french curve's placing errors at its inner control marks reach its middle with Bernstein's weights 3/8 each: 3/8·u·√2."""
    found = kinds.analyse(trials=0)
    curve = [edge for edge in found.edges if edge.name == "c"]
    placing = [
        math.sqrt(math.fsum(row.u_mm**2 for row in station.rows if row.source == "french curve between matched marks"))
        for edge in curve
        for station in edge.stations
    ]
    u = kinds.plan.settings.sources["french curve between matched marks"].u
    # weights 3t(1−t)², 3t²(1−t): their root sum of squares is largest, 0.5303 = 3√2/8, in the middle
    assert 3 * math.sqrt(2) / 8 * u == pytest.approx(max(placing), rel=1e-3)
    assert 0.0 == pytest.approx(min(placing), abs=1e-12)


def test_touching_has_no_first_order_budget(lay: Any) -> None:
    """Two circles that just touch, not made to touch, have no derivative there: said so, the rest of the layout unharmed,
    and the trials, of which about half are lost, stand beside it."""
    text = """\
  A : mark anywhere, say at (-30, 0) mm
  B : mark anywhere, say at (30, 0) mm
  r : opening, 30 mm by ruler
  a : circle about A, opening r
  b : circle about B, opening r
  K : mark where a meets b
  k : line from A to K
  H : mark between A and B, by eye
"""
    found = lay(text).analyse(trials=8192, seed=3)
    touching = found.mark("K")
    assert say(NO_FIRST_ORDER) == touching.note
    assert math.isnan(touching.u_mm) and () == touching.rows
    assert touching.trials is not None and touching.trials.agrees is None and touching.trials.u_mm > 0.2
    assert "" == found.mark("H").note
    assert 0.25 == pytest.approx(found.mark("H").u_x_mm)
    assert 0.5 == pytest.approx(found.lost / 8192, abs=0.03)
    assert ["R301", "R303"] == [one.code for one in found.warnings]
    assert all(one.warning for one in found.warnings)
