"""Depths: figures of the trade worked out from their formula, and the deepest place against a search by hand.

The formulas are first principles (a wall falls tan(angle) for each mm from its edge); the printed figures are
common practice, no source, each to the digits given.
"""

from __future__ import annotations

import math
import random
from fractions import Fraction
from typing import Any

import pytest

from construct.chips.depth import UPRIGHT, Depth, depth, steepest_deg, wall_turns
from construct.chips.edge_floats import edge_floats
from construct.chips.widest import widest


def turns(*degrees: int) -> tuple[Fraction, ...]:
    return tuple(Fraction(one, 360) for one in degrees)


def deep(wood: Any, *degrees: int, shift_mm: Fraction = Fraction(0)) -> Depth:
    (chip,) = wood.chips()
    return depth(wood.exact, chip.walks, turns(*degrees), widest(wood.exact, chip, digits=8), shift_mm=shift_mm)


def strip(wood: Any, width: Any) -> None:
    wood.loop(wood.mark(0, 0), wood.mark(60, 0), wood.mark(60, width), wood.mark(0, width))


@pytest.mark.parametrize(("angle", "part"), [(45, 0.50), (55, 0.71), (60, 0.87), (65, 1.07), (70, 1.37)])
def test_two_cut_chip(wood: Any, angle: int, part: float) -> None:
    """A two-cut chip is (w/2)·tan(angle) deep: 0.50 of its width at 45 deg to 1.37 at 70."""
    strip(wood, 10)
    assert deep(wood, *[angle] * 4).middle / 10 == pytest.approx(part, abs=0.005)


@pytest.mark.parametrize(("angle", "part"), [(45, 0.29), (55, 0.41), (60, 0.50), (65, 0.62)])
def test_three_corner_chip(wood: Any, angle: int, part: float) -> None:
    """An equal-sided three-corner chip is inradius·tan(angle) deep: 0.29 of its side at 45 deg to 0.62 at 65."""
    wood.loop(wood.mark(0, 0), wood.mark(10, 0), wood.mark(5, wood.root(3) * 5))
    assert deep(wood, *[angle] * 3).middle / 10 == pytest.approx(part, abs=0.005)


def test_two_angles(wood: Any) -> None:
    """8 mm wide, 65 against 55 deg: the floor lies 3.2 mm from the steep edge, 6.9 mm deep (not 4.0 and 8.6)."""
    strip(wood, 8)
    found = deep(wood, 65, 65, 55, 65)
    a, b = math.tan(math.radians(65)), math.tan(math.radians(55))
    assert found.middle == pytest.approx(8 * a * b / (a + b), abs=1e-6)
    assert found.middle == pytest.approx(6.9, abs=0.05)
    assert found.place[1] == pytest.approx(8 * b / (a + b), abs=1e-4)
    assert found.place[1] == pytest.approx(3.2, abs=0.05)
    assert "uneven" == found.walls
    steep = next(touch for touch in found.contacts if touch.place[1] == pytest.approx(0))
    assert steep.distance == pytest.approx(3.2, abs=0.05)
    assert 8.6 == pytest.approx(deep(wood, 65, 65, 65, 65).middle, abs=0.05)


def test_a_degree_more(wood: Any) -> None:
    """At 65 deg one degree more makes a chip 0.049 of its width deeper."""
    strip(wood, 8)
    assert (deep(wood, *[66] * 4).middle - deep(wood, *[64] * 4).middle) / 2 / 8 == pytest.approx(0.049, abs=0.0005)


@pytest.mark.parametrize(
    ("thickness", "angle", "width"),
    [("6", 65, 2.8), ("6", 60, 3.5), ("6", 45, 6.0), ("9.5", 65, 4.4), ("9.5", 60, 5.5), ("9.5", 45, 9.5), ("12.7", 65, 5.9),
     ("12.7", 60, 7.3), ("12.7", 45, 12.7), ("19", 65, 8.9), ("19", 60, 11.0), ("19", 45, 19.0)],
)  # fmt: skip
def test_widest_for_a_thickness(thickness: str, angle: int, width: float) -> None:
    """A chip of the printed width is half the thickness deep at the printed angle; the steepest angle allowed is that angle."""
    half = Fraction(thickness) / 2
    assert float(half) / math.tan(math.radians(angle)) * 2 == pytest.approx(width, abs=0.06)
    steepest = steepest_deg(half, half / Fraction(math.tan(math.radians(angle))))
    assert steepest is not None
    assert angle - 0.1001 <= steepest <= angle


def test_upright_walls(wood: Any) -> None:
    """Against two upright walls the third, laid low, is deepest in their corner: the height times the tangent."""
    wood.loop(wood.mark(0, 0), wood.mark(14, 0), wood.mark(5, 12))
    found = deep(wood, 20, 90, 90)
    assert found.middle == pytest.approx(12 * math.tan(math.radians(20)), abs=1e-9)
    assert found.place == pytest.approx((5, 12))
    assert "upright" == found.walls


def test_upright_against_an_arc(wood: Any) -> None:
    """Half a disc with its arc laid low and its straight wall upright is deepest at the middle of the straight wall: r·tan."""
    a, b = wood.mark(8, 0), wood.mark(-8, 0)
    wood.arc(wood.circle(0, 0, 8), a, b)
    wood.straight(a, b)
    (chip,) = wood.chips()
    angles = tuple(UPRIGHT if edge.circle is None else Fraction(20, 360) for edge in chip.outline)
    found = depth(wood.exact, chip.walks, angles, widest(wood.exact, chip))
    assert found.middle == pytest.approx(8 * math.tan(math.radians(20)), abs=1e-9)


def test_cut_beside_the_line(wood: Any) -> None:
    """Cut 0.25 mm inside each line, a strip 8 mm wide is as deep as one of 7.5."""
    strip(wood, 8)
    assert deep(wood, *[60] * 4, shift_mm=Fraction(-1, 4)).middle == pytest.approx(3.75 * math.sqrt(3), abs=1e-6)
    uneven = deep(wood, 60, 60, 45, 60, shift_mm=Fraction(-1, 4)).middle
    assert uneven == pytest.approx(7.5 * math.sqrt(3) / (math.sqrt(3) + 1), abs=1e-5)


def test_uneven_against_a_search(fresh: Any) -> None:
    """On random triangles and angles no place is deeper than the upper end, and a fine search comes near the lower end."""
    draw = random.Random(4)
    for _ in range(6):
        wood = fresh()
        fields = ((-30, -5), (-20, 0)), ((5, 30), (-20, 0)), ((-10, 10), (8, 30))
        marks = [(draw.randint(*across), draw.randint(*along)) for across, along in fields]
        wood.loop(*(wood.mark(*one) for one in marks))
        angles = [draw.randint(40, 75) for _ in range(3)]
        found = deep(wood, *angles)
        (chip,) = wood.chips()
        edges = edge_floats(wood.exact, chip.walks, [math.tan(math.radians(angle)) for angle in angles])
        best = 0.0
        for _ in range(4000):
            u, v = sorted((draw.random(), draw.random()))
            x, y = (marks[0][k] * u + marks[1][k] * (v - u) + marks[2][k] * (1 - v) for k in (0, 1))
            best = max(best, min(edge.slope * math.dist((x, y), edge.nearest(x, y)) for edge in edges))
        assert best <= float(found.upper) + 1e-9
        assert best >= 0.9 * float(found.lower)


LENS = """recipe A lens
paper
given A, B, 100 mm apart
step Two arcs
  a : circle about A, through B
  b : circle about B, through A
  X, Y : marks where a meets b
carve
  {knife}
  cut a inside b
  cut b inside a
"""


@pytest.mark.parametrize(
    ("knife", "expected"),
    [("knife 65 deg", [65, 65]), ("knife 65 deg and 55 deg on a", [55, 65]), ("knife 20 deg on a, other walls upright", [20, 90]),
     ("knife 65 deg\n  knife 20 deg on b, other walls upright", [20, 90]), ("deepest 6 mm", None)],
)  # fmt: skip
def test_angles_of_walls(carved: Any, knife: str, expected: list[int] | None) -> None:
    """Each wall has its own line's angle, else the general one; where a wall lies low, the others stand upright; else nothing is known."""
    told = carved(LENS.format(knife=knife))
    (chip,) = told.carving.chips
    found = wall_turns(told.carving, chip.walks)
    assert expected == (None if found is None else sorted(int(one * 360) for one in found))
