"""Largest circles of figures whose radius is known, and laws that hold for every chip.

Classical figures name their proposition; closed forms of "values.md 7" were worked out apart from the code.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest
import shapely

from construct.chips.widest import Widest, widest

WIDTH = Fraction(1, 10**6)


def holds(found: Widest, radius: float) -> bool:
    """Tell whether an enclosure is as narrow as promised and holds a radius that is known to 15 figures."""
    return found.upper - found.lower <= WIDTH and found.lower - Fraction(1, 10**12) <= Fraction(radius) <= found.upper + Fraction(1, 10**12)


def test_circle_in_a_triangle(wood: Any) -> None:
    """The circle in the triangle with sides 13, 14 and 15 has radius 4 (Euclid IV.4; area 84 over half the sides' sum 21)."""
    wood.loop(wood.mark(0, 0), wood.mark(14, 0), wood.mark(5, 12))
    (chip,) = wood.chips()
    assert holds(widest(wood.exact, chip), 4.0)


@pytest.mark.parametrize("radius", [10, 25, 50])
def test_petal_and_vesica(wood: Any, radius: int) -> None:
    """Two circles through one another's centres: a vesica, as wide as the radius; a rosette's petal is (2 − √3)r wide (values.md 7)."""
    wood.ring(wood.circle(0, 0, radius))
    wood.ring(wood.circle(radius, 0, radius))
    middle = next(chip for chip in wood.chips() if len({edge.sense for edge in chip.outline}) == 1 and len(chip.outline) == 2)
    assert holds(widest(wood.exact, middle), radius / 2)


def test_a_petal(wood: Any) -> None:
    """A petal of the six-petal rosette is (2 − √3)r wide at its belly (values.md 7)."""
    height = wood.root(3) * 25
    wood.ring(wood.circle(0, 0, 50))
    wood.ring(wood.circle(height * 2, 0, 50))
    petal = next(chip for chip in wood.chips() if {edge.sense for edge in chip.outline} == {1})
    assert holds(widest(wood.exact, petal), 25 * (2 - math.sqrt(3)))


def test_between_three_equal_circles(wood: Any) -> None:
    """Between three circles of radius 1 that touch lies one of radius 2/√3 − 1 (values.md 7)."""
    for x, y in ((-1, 0), (1, 0), (0, wood.root(3))):
        wood.ring(wood.circle(x, y, 1))
    gap = next(chip for chip in wood.chips() if not chip.outline[0].whole and {edge.sense for edge in chip.outline} == {-1})
    assert holds(widest(wood.exact, gap), 2 / math.sqrt(3) - 1)


@pytest.mark.parametrize(("a", "b"), [(2, 1), (1, 1), (3, 2)])
def test_circle_in_an_arbelos(wood: Any, a: int, b: int) -> None:
    """The circle between three half circles on one line has radius ab(a + b)/(a² + ab + b²) (Archimedes, Lemmas 6; from memory)."""
    left, middle, right = wood.mark(-2 * a, 0), wood.mark(0, 0), wood.mark(2 * b, 0)
    wood.arc(wood.circle(b - a, 0, a + b), right, left)
    wood.arc(wood.circle(-a, 0, a), middle, left)
    wood.arc(wood.circle(b, 0, b), right, middle)
    (chip,) = wood.chips()
    assert holds(widest(wood.exact, chip), a * b * (a + b) / (a * a + a * b + b * b))


def test_rings_and_bands(wood: Any) -> None:
    """Where the widest place is a whole line of places (a ring, a band), half the width comes out all the same."""
    wood.ring(wood.circle(0, 0, 50))
    wood.ring(wood.circle(0, 0, 42))
    wood.loop(wood.mark(100, 0), wood.mark(400, 0), wood.mark(400, 7), wood.mark(100, 7))
    assert sorted(widest(wood.exact, chip).middle for chip in wood.chips()) == pytest.approx([3.5, 4.0, 42.0], abs=1e-6)


def test_ring_off_centre(wood: Any) -> None:
    """A ring between circles 50 and 42 whose centres are 5 apart is 13 wide on one side."""
    wood.ring(wood.circle(0, 0, 50))
    wood.ring(wood.circle(0, 5, 42))
    ring = next(chip for chip in wood.chips() if chip.holes)
    assert holds(widest(wood.exact, ring), 6.5)


def test_half_a_disc(wood: Any) -> None:
    """Half a disc of radius 8 holds a circle of radius 4."""
    a, b = wood.mark(8, 0), wood.mark(-8, 0)
    wood.arc(wood.circle(0, 0, 8), a, b)
    wood.straight(a, b)
    (chip,) = wood.chips()
    assert holds(widest(wood.exact, chip), 4.0)


def test_a_cusp(wood: Any) -> None:
    """Inside a circle of radius 2 and outside one of radius 1 that touches it inside, the widest circle has radius 1."""
    wood.ring(wood.circle(0, 0, 2))
    wood.ring(wood.circle(1, 0, 1))
    moon = next(chip for chip in wood.chips() if any(edge.sense < 0 for walk in chip.walks for edge in walk))
    assert holds(widest(wood.exact, moon), 1.0)


# --- laws ---------------------------------------------------------------------------------------


def test_against_shapely(arrangements: Any, polygon: Any) -> None:
    """shapely finds the same radius, to what its polygons and its tolerance allow; and no place inside lies farther from the edge."""
    seen = 0
    draw = random.Random(3)
    for wood in arrangements(seed=1, count=8):
        for chip in wood.chips():
            found = widest(wood.exact, chip)
            assert found.upper - found.lower <= WIDTH
            shape = polygon(wood.exact, chip)
            assert shapely.maximum_inscribed_circle(shape, tolerance=1e-3).length == pytest.approx(found.middle, abs=0.01)
            left, bottom, right, top = shape.bounds
            for _ in range(20):
                place = shapely.Point(draw.uniform(left, right), draw.uniform(bottom, top))
                if shape.contains(place):
                    # a polygon's edges lie inside its arcs by at most 0.01 mm here
                    assert shape.boundary.distance(place) <= float(found.upper) + 0.01
            seen += 1
    assert seen > 40


def test_turned_and_enlarged(fresh: Callable[[], Any]) -> None:
    """Turned by the angle of (3/5, 4/5) and enlarged three times, a chip's radius is three times as large."""

    def cut(scale: int, cosine: Fraction, sine: Fraction) -> Widest:
        wood = fresh()
        marks = [(0, 0), (17, 1), (23, 9), (8, 12), (5, 5)]
        wood.loop(*(wood.mark(scale * (cosine * x - sine * y), scale * (sine * x + cosine * y)) for x, y in marks))
        (chip,) = wood.chips()
        return widest(wood.exact, chip)

    one, three = cut(1, Fraction(1), Fraction(0)), cut(3, Fraction(3, 5), Fraction(4, 5))
    assert 3 * one.lower <= three.upper and three.lower <= 3 * one.upper


def test_contacts_balance(arrangements: Any) -> None:
    """The contacts hold the circle: weights are not negative, add to 1, and their inward ways add to nothing; each is a radius away."""
    for wood in arrangements(seed=2, count=6):
        for chip in wood.chips():
            found = widest(wood.exact, chip)
            assert found.contacts and found.bases
            weights = [touch.weight for touch in found.contacts]
            assert min(weights) >= 0 and sum(weights) == pytest.approx(1)
            for axis in (0, 1):
                assert sum(touch.weight * touch.inward[axis] for touch in found.contacts) == pytest.approx(0, abs=2e-4)
            for touch in found.contacts:
                assert touch.distance == pytest.approx(found.middle, rel=2e-5)
                edge = chip.walks[touch.walk][touch.edge]
                assert touch.thing == edge.thing


@pytest.mark.parametrize("moved", [0, 1, 2])
def test_moving_an_edge(fresh: Callable[[], Any], moved: int) -> None:
    """Where one side of a triangle moves outward by a little, the radius grows by its weight times that, to first order."""
    little = Fraction(1, 10**3)
    normals = ((0, -1), (Fraction(4, 5), Fraction(3, 5)), (Fraction(-12, 13), Fraction(5, 13)))
    offsets = [Fraction(0), Fraction(56, 5), Fraction(0)]  # sides of the triangle (0, 0), (14, 0), (5, 12)

    def radius(shift: Fraction) -> Widest:
        rows = [(n, c + (shift if k == moved else 0)) for k, (n, c) in enumerate(zip(normals, offsets, strict=True))]
        wood = fresh()
        marks = []
        for (a, p), (b, q) in zip((rows[2], *rows[:2]), rows, strict=True):
            whole = a[0] * b[1] - a[1] * b[0]
            marks.append(wood.mark(Fraction(p * b[1] - q * a[1]) / whole, Fraction(a[0] * q - b[0] * p) / whole))
        wood.loop(*marks)
        (chip,) = wood.chips()
        return widest(wood.exact, chip, digits=9)

    drawn, after = radius(Fraction(0)), radius(little)
    touch = next(one for one in drawn.contacts if one.inward == pytest.approx([-float(part) for part in normals[moved]]))
    assert float((after.lower - drawn.lower) / little) == pytest.approx(touch.weight, abs=1e-5)
