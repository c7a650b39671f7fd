"""Chips under the hand's errors: closed forms, textbook formulas, trials against both."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from fractions import Fraction
from typing import Any

import numpy as np
import pytest
import shapely
from shapely.geometry import Point

from construct.chips.survey import Survey, survey
from construct.errors.chip_errors import ChipErrors, Figure, analyse_chips, chance
from construct.errors.chip_formula import ANGLE, ENTRY, KNIFE, ChipFormula
from construct.errors.chip_models import make_models
from construct.errors.propagation import propagate
from construct.number_systems import Source
from construct.number_systems.float import FloatSystem
from construct.number_systems.samples import SampleSystem
from construct.replay import replay_around

ROSETTE = """\
  g : line by centre finder, along the grain
  h : line by centre finder, across the grain
  C : mark where g meets h
  r : opening, 50 mm by ruler
  ring : circle about C, opening r
  p1, p4 : marks where g meets ring
  p2, p3 : marks stepped from p1 round ring, opening r
  p5, p6 : marks stepped from p4 round ring, opening r
  around p1 to p6 as p
    a.p : circle about p, opening r
  end
carve
  knife 65 deg
  around p1 to p6 as o, p, q
    cut a.o from C to p
    cut a.q from C to p
  end
"""

PAPER = "paper\n"


def triangle(knife: str = "knife 65 deg") -> str:
    """The triangle with sides 13, 14, 15: its inscribed circle has the radius 4 (Euclid IV.4)."""
    marks = "given A at (0, 0) mm\ngiven B at (14, 0) mm\ngiven D at (5, 12) mm\n"
    lines = "step Do it\n  a : line from B to D\n  b : line from D to A\n  c : line from A to B\n"
    return f"{PAPER}{marks}{lines}carve\n  {knife}\n  cut a\n  cut b\n  cut c\n"


def lens(apart: int, radius: int = 40) -> str:
    """Two circles of one radius, their centres so far apart: the chip between them is 2·radius − apart wide."""
    steps = f"step Do it\n  k : circle about O, {radius} mm by ruler\n  m : circle about P, {radius} mm by ruler\n"
    return f"{PAPER}given O at (0, 0) mm\ngiven P at ({apart}, 0) mm\n{steps}carve\n  knife 65 deg\n  cut k inside m\n  cut m inside k\n"


DISC = f"{PAPER}given O at (3, -2) mm\nstep Do it\n  k : circle about O, 4 mm by ruler\ncarve\n  knife 65 deg\n  cut k\n"


def alone(laid: Any, **only: float) -> Any:
    """A layout's settled plan whose only errors are those named (spaces as underscores), in mm or rad."""
    plan = laid.settled.plan
    names = {name.replace("_", " "): u for name, u in only.items()}
    sources = {name: replace(one, u=names.get(name, 0.0)) for name, one in plan.settings.sources.items()}
    return replace(laid.settled, plan=replace(plan, settings=replace(plan.settings, sources=sources)))


def surveyed(laid: Any) -> Survey:
    return survey(laid.settled, laid.carving, laid.exact)


def followed(laid: Any, settled: Any = None, **options: Any) -> ChipErrors:
    return analyse_chips(settled or laid.settled, laid.carving, laid.exact, surveyed(laid), **options)


def formula_of(laid: Any) -> ChipFormula:
    found = surveyed(laid)
    models, missing = make_models(laid.settled, laid.carving, laid.exact, found)
    assert {} == missing
    sources = laid.settled.plan.settings.sources
    return ChipFormula(laid.settled.plan, models, (), tuple(one for one in found.groups if len(one) > 1), sources[ENTRY], sources[ANGLE])


def u_of(figure: Figure, source: str) -> float:
    """The part of a figure's u that one source has."""
    return math.sqrt(math.fsum(row.u_mm**2 for row in figure.rows if row.source == source))


@pytest.fixture(scope="module")
def rosette(lay: Callable[..., Any]) -> Any:
    return lay(ROSETTE)


# --- closed forms --------------------------------------------------------------------------------


def test_a_petals_width_and_its_slope_by_the_radius(rosette: Any) -> None:
    """A petal of a six-petal rosette is (2 − √3)·r wide; all lengths are one opening, so its slope is 2 − √3 and its area's 2A/r."""
    formula = formula_of(rosette)
    propagation = propagate(formula)
    places = [place for place, one in enumerate(propagation.inputs) if one.source.name == "compass set by ruler"]
    assert 1 == len(places)
    for chip in range(6):
        width, depth, area = propagation.sensitivity[formula.of_chip(chip), places[0]]
        assert 50 * (2 - math.sqrt(3)) == pytest.approx(propagation.estimates[formula.of_chip(chip)][0], abs=1e-9)
        assert 2 - math.sqrt(3) == pytest.approx(width, rel=1e-9)
        assert (2 - math.sqrt(3)) / 2 * math.tan(math.radians(65)) == pytest.approx(depth, rel=1e-9)
        # two segments of a sixth of a turn: r²(π/3 − √3/2), so by r: 2r(π/3 − √3/2)
        assert 100 * (math.pi / 3 - math.sqrt(3) / 2) == pytest.approx(area, rel=1e-9)


def test_a_triangle_by_its_walls(lay: Callable[..., Any]) -> None:
    """Walls moved outwards by dᵢ change the inscribed radius by Σ aᵢdᵢ/(a + b + c) and the area by Σ aᵢdᵢ (Euclid I.41, IV.4)."""
    laid = lay("", head=triangle())
    found = followed(laid, alone(laid, knife_entry_against_the_line=0.2), trials=0).chips[0]
    sides = math.sqrt(13**2 + 14**2 + 15**2)
    assert 8 == pytest.approx(found.width.value, abs=1e-9)
    assert 84 == pytest.approx(found.area.value, abs=1e-9)
    assert 2 * 0.2 * sides / 42 == pytest.approx(found.width.u, rel=1e-9)
    assert 0.2 * sides == pytest.approx(found.area.u, rel=1e-9)
    assert 0.2 * sides / 42 * math.tan(math.radians(65)) == pytest.approx(found.depth.u, rel=1e-9)


def test_a_knife_a_degree_steeper(lay: Callable[..., Any]) -> None:
    """At 65 deg one degree more is 0.049 of the width deeper, so 0.4 mm on 8 mm, and 4 deg are 1.6 mm (d tan = sec²·da)."""
    laid = lay("", head=triangle())
    one = followed(laid, alone(laid, knife_angle=math.radians(1)), trials=0).chips[0].depth
    four = followed(laid, alone(laid, knife_angle=math.radians(4)), trials=0).chips[0].depth
    assert 0.049 * 8 == pytest.approx(one.u, abs=0.0005 * 8)
    assert 1.6 == pytest.approx(four.u, abs=0.05)
    assert 4 / math.cos(math.radians(65)) ** 2 * math.radians(4) == pytest.approx(four.u, rel=1e-9)
    assert 4 * math.tan(math.radians(65)) == pytest.approx(four.value, rel=1e-9)


def test_a_lens_and_a_disc_by_their_walls(lay: Callable[..., Any]) -> None:
    """A lens is R + R − d wide: each of its two cuts counts in full; a disc's one cut counts twice in its width, 2πR in its area."""
    two = lay("", head=lens(70))
    found = followed(two, alone(two, knife_entry_against_the_line=0.2), trials=0).chips[0]
    assert 10 == pytest.approx(found.width.value, abs=1e-9)
    assert math.sqrt(2) * 0.2 == pytest.approx(found.width.u, rel=1e-9)
    length = 2 * 40 * math.acos(35 / 40)
    assert math.sqrt(2) * 0.2 * length == pytest.approx(found.area.u, rel=1e-9)
    one = lay("", head=DISC)
    disc = followed(one, alone(one, knife_entry_against_the_line=0.2), trials=0).chips[0]
    assert 8 == pytest.approx(disc.width.value, abs=1e-12)
    assert 0.4 == pytest.approx(disc.width.u, rel=1e-9)
    assert math.tau * 4 * 0.2 == pytest.approx(disc.area.u, rel=1e-9)


def test_two_angles_move_the_floor(lay: Callable[..., Any]) -> None:
    """At 65 and 55 deg a long chip of width w is w·tanA·tanB/(tanA + tanB) deep: for 8 mm 6.9, not 8.6 (recomputed from the formula)."""
    laid = lay("", head=lens(72).replace("knife 65 deg", "knife 65 deg and 55 deg on m"))
    found = followed(laid, alone(laid, knife_entry_against_the_line=0.2), trials=0).chips[0]
    a, b = math.tan(math.radians(65)), math.tan(math.radians(55))
    assert 8 * a * b / (a + b) == pytest.approx(found.depth.value, abs=1e-6)
    assert 6.9 == pytest.approx(found.depth.value, abs=0.05)
    assert math.sqrt(2) * 0.2 * a * b / (a + b) == pytest.approx(found.depth.u, rel=1e-6)
    turned = followed(laid, alone(laid, knife_angle=math.radians(1)), trials=0).chips[0]
    # all walls of a chip at once: d(ab/(a+b)) = (b²a' + a²b')/(a+b)²
    slope = (b * b * (1 + a * a) + a * a * (1 + b * b)) / (a + b) ** 2
    assert 8 * slope * math.radians(1) == pytest.approx(turned.depth.u, rel=1e-6)


def test_a_leaf_by_french_curve(lay: Callable[..., Any]) -> None:
    """Chords of one curve are one cut: its entry moves the whole wall, so the area's u is √2·0.2 times the curve's length."""
    steps = ROSETTE.split("  r : opening")[0] + """\
  ring : circle about C, 60 mm by ruler
  T, B : marks where g meets ring
  L, R : marks where h meets ring
  e : curve by french curve from B to T, leaving toward L, arriving toward R
  f : e flipped over g, by french curve
carve
  cut e
  cut f
"""
    laid = lay(steps)
    found = followed(laid, alone(laid, knife_entry_against_the_line=0.2), trials=0).chips[0]
    controls = [(laid.exact.to_float(mark.x), laid.exact.to_float(mark.y)) for mark in laid.settled.values[laid.plan.index("e")].controls]
    part = np.linspace(0, 1, 20_001)[:, None]
    weights = [(1 - part) ** 3, 3 * (1 - part) ** 2 * part, 3 * (1 - part) * part**2, part**3]
    curve = sum(weight * np.array(mark) for weight, mark in zip(weights, controls, strict=True))
    length = float(np.hypot(*np.diff(curve, axis=0).T).sum())
    assert math.sqrt(2) * 0.2 * length == pytest.approx(found.area.u, rel=2e-3)
    assert {KNIFE} == {row.step for row in found.area.rows}


# --- one trial, worked out apart -----------------------------------------------------------------


def _half_planes(offsets: Mapping[int, float]) -> tuple[float, float]:
    """Width and area of the 13-14-15 triangle, each wall moved outwards, by its corners and 2·area/perimeter."""
    corners = [(0.0, 0.0), (14.0, 0.0), (5.0, 12.0)]
    lines = []
    for number in range(3):
        (ax, ay), (bx, by) = corners[number], corners[(number + 1) % 3]
        length = math.hypot(bx - ax, by - ay)
        nx, ny = (by - ay) / length, (ax - bx) / length  # outwards of a counterclockwise triangle
        lines.append((nx, ny, nx * ax + ny * ay + offsets[number]))
    moved = []
    for one, two in ((lines[2], lines[0]), (lines[0], lines[1]), (lines[1], lines[2])):
        scale = one[0] * two[1] - one[1] * two[0]
        moved.append(((one[2] * two[1] - one[1] * two[2]) / scale, (one[0] * two[2] - one[2] * two[0]) / scale))
    area = abs(sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(moved, (*moved[1:], moved[0]), strict=True))) / 2
    return 4 * area / sum(math.dist(a, b) for a, b in zip(moved, (*moved[1:], moved[0]), strict=True)), area


def test_large_errors_of_a_triangle_are_solved_and_not_only_to_first_order(lay: Callable[..., Any]) -> None:
    """With each wall off by millimetres, width and area are those of the moved triangle, and the depth that of the tilted knife."""
    laid = lay("", head=triangle())
    formula = formula_of(laid)
    by_wall = {wall: 0.7 * (-1) ** wall + 0.3 * wall for wall in range(3)}
    errors = {(KNIFE, ENTRY, (1, wall)): off for wall, off in by_wall.items()} | {(KNIFE, ANGLE, 1): 0.2}
    width, depth, area = formula(FloatSystem(errors=errors))[:3]
    names = ["c", "a", "b"]  # as the corners above run: A to B, B to D, D to A
    wall_of = {laid.plan.things[side.thing].name: side.wall for side in formula.chips[0].sides}
    expected = _half_planes({number: by_wall[wall_of[name]] for number, name in enumerate(names)})
    assert expected == pytest.approx((width, area), rel=1e-12)
    assert expected[0] / 2 * math.tan(math.radians(65) + 0.2) == pytest.approx(depth, rel=1e-6)


def test_large_errors_of_a_lens(lay: Callable[..., Any]) -> None:
    """With cuts off by millimetres a lens is R₁ + R₂ − d wide, and its area is that of two segments."""
    laid = lay("", head=lens(70))
    formula = formula_of(laid)
    first, second = 1.3, -2.1
    width, _, area = formula(FloatSystem(errors={(KNIFE, ENTRY, (1, 0)): first, (KNIFE, ENTRY, (1, 1)): second}))[:3]
    names = {side.wall: laid.plan.things[side.thing].name for side in formula.chips[0].sides}
    r, s = (40 + {0: first, 1: second}[wall] for wall in sorted(names, key=lambda wall: names[wall]))
    half = [math.acos((70**2 + a * a - b * b) / (140 * a)) for a, b in ((r, s), (s, r))]
    assert r + s - 70 == pytest.approx(width, rel=1e-9)
    assert sum(a * a * (t - math.sin(2 * t) / 2) for a, t in zip((r, s), half, strict=True)) == pytest.approx(area, rel=1e-5)


def test_a_petal_of_a_disturbed_layout(rosette: Any) -> None:
    """With the layout's own errors, a petal's width and area are those of two discs laid over each other, by shapely."""
    formula = formula_of(rosette)
    names = {thing.name: index for index, thing in enumerate(rosette.plan.things)}
    random = np.random.default_rng(12)
    for _ in range(3):
        keys = {one.key: float(random.normal(0, one.source.u)) for one in propagate(formula).inputs if one.step != KNIFE}
        figures = formula(FloatSystem(errors=keys))
        values, _ = replay_around(rosette.plan, FloatSystem(errors=keys))
        for place, model in enumerate(formula.chips):
            one, two = sorted({side.thing for side in model.sides})
            assert {one, two} <= set(names.values())
            circles = [values[each] for each in (one, two)]
            discs = [Point(each.centre.x, each.centre.y).buffer(math.sqrt(each.square), quad_segs=2048) for each in circles]
            petal = discs[0].intersection(discs[1])
            width, _, area = figures[formula.of_chip(place)]
            assert petal.area == pytest.approx(area, rel=1e-5)
            assert 2 * shapely.maximum_inscribed_circle(petal, tolerance=1e-4).length == pytest.approx(width, abs=1e-3)


# --- laws ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("which", ["rosette", "triangle", "lens"])
def test_slopes_are_those_of_central_differences(lay: Callable[..., Any], rosette: Any, which: str) -> None:
    """Every sensitivity of width, depth and area is the difference quotient of the same formula."""
    laid = {"rosette": rosette}.get(which) or lay("", head=triangle() if which == "triangle" else lens(70))
    formula = formula_of(laid)
    propagation = propagate(formula)
    step = 1e-4
    for place, one in enumerate(propagation.inputs[:: 3 if which == "rosette" else 1]):
        column = propagation.sensitivity[:, place * (3 if which == "rosette" else 1)]
        up, down = (formula(FloatSystem(errors={one.key: sign * step})) for sign in (1, -1))
        for figure in range(3 * len(formula.chips)):
            assert (up[figure] - down[figure]) / (2 * step) == pytest.approx(column[figure], abs=1e-4)


def test_trials_without_errors_give_the_drawing(rosette: Any) -> None:
    """In samples without errors every figure is the drawn one, and no chip closes or is held by another wall."""
    formula = formula_of(rosette)
    drawn = propagate(formula).estimates[:18]
    sampled = formula(SampleSystem(trials=3))
    assert [pytest.approx(np.full(3, one), rel=1e-12) for one in drawn] == [np.broadcast_to(one, (3,)) for one in sampled[:18]]
    assert 0 == sum(float(np.max(one)) for one in sampled[18:24])


@pytest.mark.parametrize("text", [triangle(), lens(70)])
def test_trials_agree_with_first_order_for_small_errors(lay: Callable[..., Any], text: str) -> None:
    """With errors of a hundredth of a hand's, mean and u of the trials are first order's, within four of their own scatter."""
    laid = lay("", head=text)
    plan = laid.settled.plan
    sources = {name: replace(one, u=one.u / 100) for name, one in plan.settings.sources.items()}
    settled = replace(laid.settled, plan=replace(plan, settings=replace(plan.settings, sources=sources)))
    trials = 20_000
    found = followed(laid, settled, trials=trials, seed=5).chips[0]
    assert found.depth is not None
    for one in (found.width, found.depth, found.area):
        assert one.trials is not None
        assert one.u == pytest.approx(one.trials.u, rel=4 / math.sqrt(2 * trials))
        assert one.value == pytest.approx(one.trials.mean, abs=4 * one.u / math.sqrt(trials))
        assert True is one.trials.agrees


def test_what_all_share_makes_no_chip_unequal(rosette: Any) -> None:
    """The one opening r makes all petals larger together: no spread; the knife's entry, new at each cut, spreads them by √2 of itself."""
    common = followed(rosette, alone(rosette, compass_set_by_ruler=0.2), trials=0)
    assert 0.2 * (2 - math.sqrt(3)) == pytest.approx(common.chips[0].width.u, rel=1e-9)
    assert 0 == pytest.approx(common.alike[0].width.u, abs=1e-12)
    own = followed(rosette, alone(rosette, knife_entry_against_the_line=0.2), trials=4096, seed=3)
    assert (1, 2, 3, 4, 5, 6) == own.alike[0].chips
    assert math.sqrt(2) * 0.2 == pytest.approx(own.alike[0].width.u, rel=1e-9)
    # the mean of s over samples of 6 is c₄(6) σ, c₄(6) = 0.9515 (tables of control charts)
    assert 0.9515 * math.sqrt(2) * 0.2 == pytest.approx(own.alike[0].width.deviation, rel=0.02)
    # and the mean range is d₂(6) σ, d₂(6) = 2.534 (the same tables)
    assert 2.534 * math.sqrt(2) * 0.2 == pytest.approx(own.alike[0].width.range_mean, rel=0.02)
    # which 19 samples in 20 do not exceed: 4.03 σ, the studentized range for 6 and infinitely many degrees (tables, upper 5 %)
    assert 4.03 * math.sqrt(2) * 0.2 == pytest.approx(own.alike[0].width.range_high, rel=0.03)


def test_a_chip_that_closes_is_counted(lay: Callable[..., Any]) -> None:
    """A lens 0.5 mm wide cut with an entry of u = 0.25 mm closes where N(0.5, √2·0.25) is under 0: 7.9 % of the trials, lost and told."""
    laid = lay("", head=lens(60, 30).replace("(60, 0)", "(119/2, 0)"))
    trials = 20_000
    found = followed(laid, alone(laid, knife_entry_against_the_line=0.25), trials=trials, seed=7)
    share = 0.5 * math.erfc(0.5 / (math.sqrt(2) * 0.25) / math.sqrt(2))
    assert found.lost == pytest.approx(share * trials, abs=4 * math.sqrt(share * (1 - share) * trials))
    assert 1 == len(found.lost_where)
    assert "chip 1 does not close" in found.lost_where[0][0]


def test_a_knife_past_upright_is_counted(lay: Callable[..., Any]) -> None:
    """A knife at 80 deg with u = 8 deg stands past upright where N(80, 8) is over 90: in 10.6 % of the trials."""
    laid = lay("", head=triangle("knife 80 deg"))
    trials = 20_000
    found = followed(laid, alone(laid, knife_angle=math.radians(8)), trials=trials, seed=9)
    share = 0.5 * math.erfc(10 / 8 / math.sqrt(2))
    assert found.lost == pytest.approx(share * trials, abs=4 * math.sqrt(share * (1 - share) * trials))
    assert "upright" in found.lost_where[0][0]


def test_a_square_has_trials_and_no_first_order(lay: Callable[..., Any]) -> None:
    """A square's widest circle is held twice over: no slope; the trials give the smaller of two strips, each N(9, √2·0.2)."""
    marks = "".join(f"given {name} at ({x}, {y}) mm\n" for name, x, y in (("A", 0, 0), ("B", 9, 0), ("D", 9, 9), ("E", 0, 9)))
    lines = "".join(f"  {a.lower()}{b.lower()} : line from {a} to {b}\n" for a, b in ("AB", "BD", "DE", "EA"))
    laid = lay("", head=f"{PAPER}{marks}step Do it\n{lines}carve\n  cut ab\n  cut bd\n  cut de\n  cut ea\n")
    found = followed(laid, alone(laid, knife_entry_against_the_line=0.2), trials=20_000, seed=2).chips[0]
    assert math.isnan(found.width.u)
    assert "Monte Carlo" in found.width.note
    assert found.depth is None
    assert found.width.trials is not None
    # the smaller of two independent normals: mean μ − σ/√π, u = σ√(1 − 1/π)
    sigma = math.sqrt(2) * 0.2
    assert 9 - sigma / math.sqrt(math.pi) == pytest.approx(found.width.trials.mean, abs=0.01)
    assert sigma * math.sqrt(1 - 1 / math.pi) == pytest.approx(found.width.trials.u, rel=0.03)
    assert 81 == pytest.approx(found.area.value, abs=1e-9)
    assert 0.2 * 9 * 2 == pytest.approx(found.area.u, rel=1e-9)


def test_the_land_between_two_rings(lay: Callable[..., Any]) -> None:
    """Two discs of 5 and 7 mm, 15 mm apart, leave 3 mm: each cut counts in full; under 2.5 mm it falls where N(3, √2·0.2) does."""
    rings = "step Do it\n  k : circle about O, 5 mm by ruler\n  m : circle about P, 7 mm by ruler\n"
    text = f"{PAPER}given O at (0, 0) mm\ngiven P at (9, 12) mm\n{rings}carve\n  knife 45 deg\n  land at least 2.5 mm\n  cut k\n  cut m\n"
    laid = lay("", head=text)
    trials = 20_000
    found = followed(laid, alone(laid, knife_entry_against_the_line=0.2), trials=trials, seed=4)
    (land,) = found.lands
    assert (1, 2) == tuple(sorted(land.chips))
    assert 3 == pytest.approx(land.land.value, abs=1e-6)
    assert math.sqrt(2) * 0.2 == pytest.approx(land.land.u, rel=1e-9)
    assert land.land.trials is not None and land.under is not None and land.gone is not None
    assert math.sqrt(2) * 0.2 == pytest.approx(land.land.trials.u, rel=4 / math.sqrt(2 * trials))
    share = 0.5 * math.erfc(0.5 / (math.sqrt(2) * 0.2) / math.sqrt(2))
    assert share == pytest.approx(land.under.share, abs=4 * math.sqrt(share * (1 - share) / trials))
    assert land.under.low < land.under.share < land.under.high
    assert 0 == land.gone.share


def test_a_land_at_a_corner(lay: Callable[..., Any]) -> None:
    """A triangle's corner of a right angle, 4 mm from a disc along its bisector, moves by √2 times what both its walls move."""
    marks = "given A at (0, 0) mm\ngiven B at (20, 0) mm\ngiven D at (0, 20) mm\ngiven O at (-10, -10) mm\n"
    lines = "step Do it\n  a : line from A to B\n  b : line from B to D\n  c : line from D to A\n  k : circle about O, 10 mm by ruler\n"
    laid = lay("", head=f"{PAPER}{marks}{lines}carve\n  cut a\n  cut b\n  cut c\n  cut k\n")
    found = followed(laid, alone(laid, knife_entry_against_the_line=0.2), trials=0)
    (land,) = found.lands
    assert 10 * math.sqrt(2) - 10 == pytest.approx(land.land.value, abs=1e-6)
    # each of the two walls moves the corner by e·√2 along itself, of which 1/√2 is along the land: √(1² + 1²)/√2·… = √(½ + ½ + 1)
    assert 0.2 * math.sqrt(0.5 + 0.5 + 1) == pytest.approx(land.land.u, rel=1e-6)


def test_a_knife_against_upright_walls(lay: Callable[..., Any]) -> None:
    """With two walls upright the corner between them is deepest: its distance from the third wall, times the tangent; du = h·sec²·da."""
    laid = lay("", head=triangle("knife 30 deg on c, other walls upright"))
    found = followed(laid, alone(laid, knife_angle=math.radians(1)), trials=0).chips[0].depth
    assert found is not None
    assert 12 * math.tan(math.radians(30)) == pytest.approx(found.value, abs=1e-5)
    assert 12 / math.cos(math.radians(30)) ** 2 * math.radians(1) == pytest.approx(found.u, rel=1e-9)


def test_cutting_outside_the_line_widens_and_changes_no_slope(lay: Callable[..., Any]) -> None:
    """A pencil line of 0.5 mm cut on its outside gives a chip 0.5 mm wider, as unsure as before; its area's u grows with its length."""
    on, out = (lay("", head=lens(70).replace("  knife", f"  cut {where}\n  knife")) for where in ("on the line", "outside"))
    one, two = (followed(laid, alone(laid, knife_entry_against_the_line=0.2), trials=0).chips[0] for laid in (on, out))
    assert one.width.value + 0.5 == pytest.approx(two.width.value, abs=1e-6)
    assert one.width.u == pytest.approx(two.width.u, rel=1e-9)
    length = 2 * 40.25 * math.acos(35 / 40.25)
    assert math.sqrt(2) * 0.2 * length == pytest.approx(two.area.u, rel=1e-6)


def test_another_wall_that_comes_to_hold_the_circle_is_counted(lay: Callable[..., Any]) -> None:
    """The 13-14-15 triangle, its corner A cut off just outside the circle: the fourth wall cuts in as often as linear algebra says.

    Centre and radius solve nᵢ·c − r = dᵢ + eᵢ for the three walls, so the fourth's distance less r is a weighted sum of four entries.
    """
    f, g = (Fraction(57, 200) * 13, Fraction(0)), (Fraction(57, 200) * 5, Fraction(57, 200) * 12)
    marks = f"given F at ({f[0]}, 0) mm\ngiven B at (14, 0) mm\ngiven D at (5, 12) mm\ngiven G at ({g[0]}, {g[1]}) mm\n"
    lines = "".join(f"  {a.lower()}{b.lower()} : line from {a} to {b}\n" for a, b in ("FB", "BD", "DG", "GF"))
    laid = lay("", head=f"{PAPER}{marks}step Do it\n{lines}carve\n  cut fb\n  cut bd\n  cut dg\n  cut gf\n")
    trials = 20_000
    found = followed(laid, alone(laid, knife_entry_against_the_line=0.2), trials=trials, seed=6).chips[0]
    inward = np.array([(0.0, 1.0), (-4 / 5, -3 / 5), (12 / 13, -5 / 13)])  # of AB, BD, DA
    solved = np.linalg.inv(np.column_stack([inward, -np.ones(3)]))  # (x, y, r) by how far each wall is moved inwards
    fourth = np.array([3.0, 2.0]) / math.sqrt(13)
    gap = (fourth @ (6.0, 4.0)) - fourth @ (float(f[0]), 0.0) - 4
    slopes = -(fourth @ solved[:2] - solved[2])
    share = 0.5 * math.erfc(gap / (0.2 * math.sqrt(1 + slopes @ slopes)) / math.sqrt(2))
    assert 8 == pytest.approx(found.width.value, abs=1e-6)
    assert 0.2 < share < 0.45
    assert found.another is not None
    assert share == pytest.approx(found.another.share, abs=4 * math.sqrt(share * (1 - share) / trials))


def test_trials_until_the_figures_rest(lay: Callable[..., Any]) -> None:
    """Asked for as many trials as it takes, a run ends by itself and says that its figures rest."""
    laid = lay("", head=triangle())
    found = followed(laid, trials=None, seed=1)
    assert found.stable is True
    assert 20_000 < found.trials < 1_000_000


def test_how_often_a_chip_comes_too_deep(lay: Callable[..., Any]) -> None:
    """Against a limit of 9 mm the triangle's chip of 4·tan 65 deg = 8.58 mm is too deep where the knife stands over arctan(9/4)."""
    laid = lay("", head=triangle("knife 65 deg\n  deepest 9 mm"))
    trials = 20_000
    found = followed(laid, alone(laid, knife_angle=math.radians(4)), trials=trials, seed=8).chips[0]
    over = (math.degrees(math.atan(9 / 4)) - 65) / 4
    share = 0.5 * math.erfc(over / math.sqrt(2))
    assert found.deeper is not None
    assert share == pytest.approx(found.deeper.share, abs=4 * math.sqrt(share * (1 - share) / trials))
    assert found.through is None


def test_rows_add_up(rosette: Any) -> None:
    """A figure's rows are in quadrature its u, each with its step and line; the knife is one of the steps."""
    found = followed(rosette, trials=0)
    for chip in found.chips:
        for figure in (chip.width, chip.depth, chip.area):
            assert figure is not None
            assert figure.u == pytest.approx(math.sqrt(math.fsum(row.u_mm**2 for row in figure.rows)), rel=1e-9)
            assert 1 == pytest.approx(math.fsum(row.share for row in figure.rows), rel=1e-9)
            assert {0} == {row.line for row in figure.rows if row.step == KNIFE}
            assert all(row.line > 0 for row in figure.rows if row.step != KNIFE)
    assert math.sqrt(2) * found.entry.u == pytest.approx(u_of(found.chips[0].width, ENTRY), rel=1e-9)
    assert 0 == u_of(found.chips[0].width, ANGLE)


@pytest.mark.parametrize(
    ("some", "trials", "low", "high"), [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718)]
)
def test_a_chances_interval_is_wilsons(some: int, trials: int, low: float, high: float) -> None:
    """The score intervals of R. G. Newcombe, Statistics in Medicine 17 (1998) 857-872, table I, method 3 (from memory)."""
    found = chance(some / trials, trials)
    assert (low, high) == (pytest.approx(found.low, abs=5e-5), pytest.approx(found.high, abs=5e-5))


def test_a_bench_without_errors_needs_no_trials(lay: Callable[..., Any]) -> None:
    """Where every source is nothing, u is 0 and no trial is run."""
    laid = lay("", head=triangle())
    found = followed(laid, alone(laid))
    assert (0, 0.0) == (found.trials, found.chips[0].width.u)


def test_the_knifes_sources_are_in_the_benchs_table() -> None:
    """The knife's two sources are in the bench's own table, in mm and in rad, and are judgement."""
    from construct.tools._settings import _sources

    sources: Mapping[str, Source] = _sources("ordinary", Fraction(1))
    assert (0.2, "mm", "judgement") == (sources[ENTRY].u, sources[ENTRY].unit, sources[ENTRY].basis)
    assert math.radians(4) == pytest.approx(sources[ANGLE].u)
    assert ("rad", "judgement") == (sources[ANGLE].unit, sources[ANGLE].basis)
