"""Surveys of whole carvings, and the advice on them: when each piece is given, and that it is not given else.

Figures of the trade are common practice, no source, unless a test names one.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest

from construct.chips.measures import corners
from construct.chips.splits import divisions
from construct.chips.survey import Survey
from construct.chips.widest import widest
from construct.diagnostics import Mistakes
from construct.study import Study, study, with_survey

ROSETTE = """recipe Six petals
plate round, 240 mm across{thick}
step Petals
  g : line by centre finder, along the grain
  h : line by centre finder, across the grain
  C : mark where g meets h
  rim : circle about C, {radius} mm by ruler
  A, D : marks where g meets rim
  a : arc about A, opening from C to A
  d : arc about D, same opening
  F, B : marks where a meets rim
  E, G : marks where d meets rim
  b : arc about B, same opening
  f : arc about F, same opening
  e : arc about E, same opening
  k : arc about G, same opening
carve
  around a, b, d, e, f, k as one
    cut one inside rim
  end
{lines}
"""



@pytest.fixture
def surveyed() -> Callable[..., tuple[Study, Survey]]:
    """A rosette's study and survey."""

    def made(*lines: str, radius: int = 50, thick: str = ", 15 mm thick") -> tuple[Study, Survey]:
        text = ROSETTE.format(radius=radius, thick=thick, lines="\n".join(f"  {line}" for line in lines))
        found = with_survey(study(text))
        assert found.survey is not None
        return found, found.survey

    return made


def keys(found: Survey) -> list[str]:
    return [one.key for one in found.advice]


def test_a_petal_is_too_wide(surveyed: Callable[..., tuple[Study, Survey]]) -> None:
    """A six-petal daisy of radius 50 mm: 13.4 mm belly, 14 mm deep at 65 deg; split along its axis 6.7 mm, 7.2 deep, 4.8 at 55."""
    study_made, found = surveyed("knife 65 deg")
    assert 6 == len(found.chips) and ((0, 1, 2, 3, 4, 5),) == found.groups
    for one in found.chips:
        assert float(sum(one.width_mm)) / 2 == pytest.approx(13.4, abs=0.05)
        assert one.length.middle == pytest.approx(50)
        assert one.depth is not None and one.depth.middle == pytest.approx(14, abs=0.5)
    (told,) = [one for one in found.advice if one.key == "deep_part"]
    assert (1, 2, 3, 4, 5, 6) == told.chips
    assert Fraction(15, 2) == told.figures["limit_mm"]
    (divided,) = [one for one in told.remedies if one.key == "divide_chord"]
    assert divided.figures["width_mm"] == pytest.approx(6.7, abs=0.05)
    assert divided.figures["depth_mm"] == pytest.approx(7.2, abs=0.05)
    assert 2 == divided.figures["parts"]
    (lower,) = [one for one in told.remedies if one.key == "lower_angle"]
    assert lower.figures["angle_deg"] == pytest.approx(math.degrees(math.atan(7.5 / (25 * (2 - math.sqrt(3))))), abs=0.1)
    _, shallower = surveyed("knife 55 deg", "deepest 5 mm")
    halved = next(one for told in shallower.advice for one in told.remedies if one.key == "divide_chord")
    assert halved.figures["depth_mm"] == pytest.approx(4.8, abs=0.05)
    assert study_made.carving is not None


def test_the_belly_of_a_small_rosette(surveyed: Callable[..., tuple[Study, Survey]]) -> None:
    """With a radius of 25 mm the belly is 6.7 mm: within half the thickness, but worth a relieving chip."""
    _, found = surveyed("knife 65 deg", radius=25)
    assert float(sum(found.chips[0].width_mm)) / 2 == pytest.approx(6.7, abs=0.05)
    assert ["wide"] == [key for key in keys(found) if key in ("wide", "very_wide", "deep_part", "through")]


def test_alike_chips_share_figures(surveyed: Callable[..., tuple[Study, Survey]]) -> None:
    """Each chip of a group has the figures of its first, and a largest circle in itself, as big as if measured alone."""
    made, found = surveyed("knife 65 deg")
    for one in found.chips:
        alone = widest(made.exact, one.chip)
        assert one.widest.lower <= alone.upper and alone.lower <= one.widest.upper
        x, y = (float(part) for part in one.widest.centre)
        assert math.hypot(x, y) == pytest.approx(25, abs=1e-4)
        for touch in one.widest.contacts:
            assert math.dist(touch.place, (x, y)) == pytest.approx(one.widest.middle, abs=1e-5)


def test_petals_meet_in_a_point(surveyed: Callable[..., tuple[Study, Survey]]) -> None:
    """All petals share the centre: every pair meets in a point there, and between neighbours the wood runs out to nothing."""
    _, found = surveyed("knife 65 deg")
    assert 15 == sum(one.kind == "point" for one in found.lands)
    assert (2, 3, 4, 5, 6) == found.neighbours(1, "point")
    at_centre = [one for one in found.points if math.hypot(*one.place) < 1e-9]
    assert 6 == len(at_centre)
    assert all((0, 0) == one.angle_deg for one in at_centre)
    assert "frail_point" in keys(found)


def test_background_cut_too(surveyed: Callable[..., tuple[Study, Survey]]) -> None:
    """With the rim cut, the six fields between share arcs with the petals: ridges of 50 deg at 65, and no frail wood is left."""
    _, found = surveyed("knife 65 deg", "cut rim")
    assert 2 == len(found.groups)
    ridges = [one for one in found.lands if one.kind == "ridge"]
    assert 12 == len(ridges)
    assert {Fraction(50, 360)} == {one.ridge_turns for one in ridges}
    assert () == found.points
    assert "long_point" in keys(found)  # a field ends at the centre between arcs that touch


@pytest.mark.parametrize(
    ("lines", "thick", "key"),
    [
        (("knife 65 deg",), ", 12 mm thick", "through"),
        (("knife 65 deg", "deepest 6 mm"), ", 15 mm thick", "deep_said"),
        (("knife 30 deg",), ", 15 mm thick", "very_wide"),
        ((), ", 15 mm thick", "no_knife"),
        (("knife 65 deg",), "", "no_thickness"),
        (("knife 65 deg", "deepest 20 mm"), ", 15 mm thick", "deepest_too_deep"),
        (("knife 65 deg", "cut inside", "cut rim"), ", 15 mm thick", "ridge_flat"),
        (("knife 65 deg", "cut outside", "cut rim"), ", 15 mm thick", "ridge_lost"),
        (("knife 65 deg", "groove g"), ", 15 mm thick", "groove_meets"),
    ],
)  # fmt: skip
def test_each_advice(surveyed: Callable[..., tuple[Study, Survey]], lines: tuple[str, ...], thick: str, key: str) -> None:
    """Each piece of advice is given where its reason holds, and not for a chip without it."""
    _, found = surveyed(*lines, thick=thick)
    assert key in keys(found)
    _, other = surveyed("knife 40 deg", "deepest 14 mm", radius=20)
    assert key not in keys(other)


def test_nothing_to_mind(surveyed: Callable[..., tuple[Study, Survey]]) -> None:
    """A chip of modest size, well inside thick wood, calls for no advice."""
    text = """recipe One lens
plate round, 200 mm across, 20 mm thick
step Lens
  g : line by centre finder, along the grain
  h : line by centre finder, across the grain
  C : mark where g meets h
  r : circle about C, 20 mm by ruler
  A, B : marks where g meets r
  s : circle about A, 5 mm by ruler
carve
  knife 60 deg
  cut r inside s
  cut s inside r
"""
    found = with_survey(study(text)).survey
    assert found is not None
    assert [] == keys(found)


@pytest.mark.parametrize(("stand", "change"), [("cut inside", -0.5), ("cut outside", 0.5), ("cut on the line", 0.0)])
def test_where_the_knife_stands(surveyed: Callable[..., tuple[Study, Survey]], stand: str, change: float) -> None:
    """Beside a pencil line 0.5 mm wide each chip is half a millimetre narrower or wider, and shallower or deeper with it."""
    _, on = surveyed("knife 65 deg")
    _, beside = surveyed("knife 65 deg", stand)
    for one, other in zip(on.chips, beside.chips, strict=True):
        assert float(sum(other.width_mm) - sum(one.width_mm)) / 2 == pytest.approx(change)
        assert one.depth is not None and other.depth is not None
        assert other.depth.middle - one.depth.middle == pytest.approx(change / 2 * math.tan(math.radians(65)), abs=1e-5)
        assert one.length == other.length


def test_spokes_of_a_triangle(wood: Any) -> None:
    """A three-corner chip divided from its middle to each corner: parts that fill it, the widest no wider than the whole."""
    wood.loop(wood.mark(0, 0), wood.mark(30, 0), wood.mark(15, wood.root(3) * 15))
    (chip,) = wood.chips()
    middle = widest(wood.exact, chip)
    (made,) = divisions(wood.exact, chip, corners(wood.exact, chip), middle)
    assert "spokes" == made.kind and 3 == len(made.parts)
    # three triangles of sides a, a/√3 and a/√3: a third of a²√3/4, over half their sides' sum (Euclid IV.4)
    side, leg = 30, 30 / math.sqrt(3)
    inradius = side * side / (4 * math.sqrt(3)) / (side / 2 + leg)
    assert [part.middle for part in made.widths] == pytest.approx([inradius] * 3, abs=1e-5)


def test_no_line_outside_a_chip(wood: Any) -> None:
    """A moon between two arcs has no straight line from corner to corner inside it: it is divided along its floor."""
    a, b = wood.mark(0, 5), wood.mark(0, -5)
    wood.arc(wood.through(0, 0, a), b, a)
    wood.arc(wood.through(-5, 0, a), b, a)
    (chip,) = wood.chips()
    assert () == divisions(wood.exact, chip, corners(wood.exact, chip), widest(wood.exact, chip))


def test_an_angle_for_nothing(surveyed: Callable[..., tuple[Study, Survey]]) -> None:
    """An angle for a line that no cut follows is a warning, not a mistake."""
    made, _ = surveyed("knife 65 deg and 55 deg on rim")
    assert made.carving is not None
    assert ["C434"] == [one.code for one in made.carving.warnings]


def test_upright_walls_in_a_recipe(surveyed: Callable[..., tuple[Study, Survey]]) -> None:
    """The fields between petals, rim laid low at 15 deg, arcs upright, are deepest at the centre: r·tan 15; petals keep 65."""
    _, found = surveyed("knife 65 deg", "knife 15 deg on rim, other walls upright", "cut rim")
    depths = {one.depth.walls: one.depth.middle for one in found.chips if one.depth is not None}
    assert depths["upright"] == pytest.approx(50 * math.tan(math.radians(15)))
    assert depths["even"] == pytest.approx(25 * (2 - math.sqrt(3)) * math.tan(math.radians(65)), abs=1e-5)


@pytest.mark.parametrize("line", ["knife 0 deg on rim, other walls upright", "knife 90 deg on rim, other walls upright"])
def test_no_angle_for_a_low_wall(surveyed: Callable[..., tuple[Study, Survey]], line: str) -> None:
    """A low wall needs an angle over 0 and under 90 deg."""
    with pytest.raises(Mistakes) as wrong:
        surveyed(line, "cut rim")
    assert ["C430"] == [one.code for one in wrong.value.diagnostics]
