"""Ways across chips and the wood between them: against shapely, and on figures simple enough to work out by hand."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest

from construct.chips import Carving, Groove, KnifeAngle
from construct.chips.edge_balls import edge_balls
from construct.chips.land import bounded, groove_lands, lands, wood_points
from construct.chips.margin import margin
from construct.chips.spans import longest, shortest
from construct.geometry import Board, Circle, Oval


def carving(*angles: KnifeAngle) -> Carving:
    return Carving(angles, None, None, "on", (), (), (), ())


def ready(wood: Any) -> list[Any]:
    return [bounded(wood.exact, chip) for chip in wood.chips()]


def square(wood: Any, x: Any, y: Any, side: Any = 10) -> None:
    wood.loop(*(wood.mark(x + dx * side, y + dy * side) for dx, dy in ((0, 0), (1, 0), (1, 1), (0, 1))))


# --- spans --------------------------------------------------------------------------------------


def test_against_shapely(arrangements: Any, polygon: Any) -> None:
    """Lengths agree with the farthest corners of shapely's hull, and gaps with its distances, to what its polygons allow."""
    count = 0
    for wood in arrangements(seed=5, count=6):
        rows = [(polygon(wood.exact, one.chip), one.edges) for one in ready(wood)]
        for shape, edges in rows:
            hull = list(shape.convex_hull.exterior.coords)
            span = longest(edges)
            assert span.middle == pytest.approx(max(math.dist(a, b) for a in hull for b in hull), abs=0.01)
            assert math.dist(span.start, span.finish) == pytest.approx(span.middle)
        for (one, edges), (other, others) in itertools.combinations(rows, 2):
            span = shortest(edges, others)
            assert span.middle == pytest.approx(one.boundary.distance(other.boundary), abs=0.01)
            assert math.dist(span.start, span.finish) == pytest.approx(span.middle, abs=1e-6)
            count += 1
    assert count > 100


def test_lengths_in_closed_form(wood: Any) -> None:
    """A disc is its diameter long, a half disc too, a rosette's petal as long as the radius, a square its diagonal."""
    wood.ring(wood.circle(0, 0, 9))
    a, b = wood.mark(108, 0), wood.mark(92, 0)
    wood.arc(wood.circle(100, 0, 8), a, b)
    wood.straight(a, b)
    square(wood, 200, 0, 5)
    height = wood.root(3) * 25
    wood.ring(wood.circle(400, 0, 50))
    wood.ring(wood.circle(height * 2 + 400, 0, 50))
    found = sorted(longest(one.edges).middle for one in ready(wood))
    assert found[:4] == pytest.approx([5 * math.sqrt(2), 16, 18, 50])


# --- land ---------------------------------------------------------------------------------------


def test_ridge_point_and_land(wood: Any) -> None:
    """Squares that share a side make a ridge, those that share a corner a point, and those 3/2 mm apart land of exactly that."""
    wood.loop(wood.mark(0, 0), wood.mark(10, 0), wood.mark(10, 10), wood.mark(0, 10))
    wood.straight(wood.mark(5, 0), wood.mark(5, 10))
    wood.loop(wood.mark(10, 10), wood.mark(20, 10), wood.mark(20, 20), wood.mark(10, 20))
    square(wood, Fraction(23, 2), -5)
    found = lands(carving(KnifeAngle(Fraction(65, 360))), ready(wood), within_mm=3.0, widened_mm=Fraction(0))
    assert ["land", "point", "ridge"] == sorted(one.kind for one in found)
    (ridge,) = [one for one in found if one.kind == "ridge"]
    assert Fraction(50, 360) == ridge.ridge_turns
    (least,) = [one for one in found if one.kind == "land"]
    assert least.lower <= Fraction(3, 2) <= least.upper
    assert least.upper - least.lower < Fraction(1, 10**9)


@pytest.mark.parametrize(("angle", "ridge"), [(65, 50), (60, 60), (45, 90)])
def test_ridge_angles(wood: Any, angle: int, ridge: int) -> None:
    """A ridge has 180 deg less both walls: 50 at 65, 60 at 60, 90 at 45 (first principles)."""
    square(wood, 0, 0)
    wood.straight(wood.mark(5, 0), wood.mark(5, 10))
    (found,) = lands(carving(KnifeAngle(Fraction(angle, 360))), ready(wood), within_mm=1.0, widened_mm=Fraction(0))
    assert Fraction(ridge, 360) == found.ridge_turns


def test_far_chips_are_no_neighbours(wood: Any) -> None:
    """Chips farther apart than asked for are not listed; a wider land by where the knife stands is added."""
    square(wood, 0, 0)
    square(wood, 12, 0)
    square(wood, 40, 0)
    (found,) = lands(carving(), ready(wood), within_mm=5.0, widened_mm=Fraction(1, 2))
    assert (1, 2) == (found.first, found.second)
    assert found.lower <= Fraction(5, 2) <= found.upper
    assert found.ridge_turns is None


def test_grooves(wood: Any, fresh: Callable[[], Any]) -> None:
    """A groove 1 mm wide, 3 mm from a chip, leaves 2.5 mm; one through it, along its side, or inside it, meets it; one may end at it."""
    square(wood, 0, 0)
    grooves = fresh()
    grooves.straight(grooves.mark(13, -5), grooves.mark(13, 20))
    grooves.straight(grooves.mark(-5, 5), grooves.mark(20, 5))
    grooves.ring(grooves.circle(5, 5, 2))
    grooves.ring(grooves.circle(5, 5, 40))
    grooves.straight(grooves.mark(0, 2), grooves.mark(0, 8))
    grooves.straight(grooves.mark(10, 10), grooves.mark(20, 10))
    grooves.straight(grooves.mark(10, 4), grooves.mark(20, 30))
    grooves.straight(grooves.mark(0, 0), grooves.mark(10, 10))
    grooves.arc(grooves.circle(0, 0, 10), grooves.mark(10, 0), grooves.mark(0, 10))
    grooves.arc(grooves.circle(0, 0, 10), grooves.mark(0, 10), grooves.mark(10, 0))
    cut = [Groove(piece, Fraction(1)) for piece in grooves.pieces]
    rows = groove_lands(wood.exact, cut, ready(wood), within_mm=10.0, widened_mm=Fraction(0))
    assert ["land", "meets", "meets", "meets", "ends", "ends", "meets", "meets", "ends"] == [one.kind for one in rows]
    assert rows[0].lower <= Fraction(5, 2) <= rows[0].upper


# --- points of wood -----------------------------------------------------------------------------


def test_point_between_two_chips(wood: Any) -> None:
    """Between two chips that meet in a mark the wood runs to a point of the angle between their edges: arctan 1/5 here."""
    wood.loop(wood.mark(0, 0), wood.mark(10, 0), wood.mark(10, -10))
    wood.loop(wood.mark(0, 0), wood.mark(10, 2), wood.mark(8, 10))
    (found,) = wood_points(wood.exact, wood.chips(), under_deg=Fraction(30))
    assert float(found.angle_deg[0]) == pytest.approx(math.degrees(math.atan(0.2)), abs=1e-5)
    assert (0.0, 0.0) == found.place
    assert {1, 2} == set(found.chips)


def test_no_point_at_a_ridge(wood: Any) -> None:
    """Chips that share an edge leave no wood between them there; and a chip by itself folds round none."""
    square(wood, 0, 0)
    wood.straight(wood.mark(5, 0), wood.mark(5, 10))
    square(wood, 50, 50)
    assert () == wood_points(wood.exact, wood.chips(), under_deg=Fraction(30))


def test_a_chip_folded_round_a_point(wood: Any) -> None:
    """A chip with a notch of arctan 1/10 leaves a point of wood of that angle."""
    wood.loop(wood.mark(0, 0), wood.mark(20, 0), wood.mark(20, 9), wood.mark(10, 9), wood.mark(20, 10), wood.mark(20, 20), wood.mark(0, 20))
    (found,) = wood_points(wood.exact, wood.chips(), under_deg=Fraction(30))
    assert float(found.angle_deg[1]) == pytest.approx(math.degrees(math.atan(0.1)), abs=1e-5)


# --- margin -------------------------------------------------------------------------------------


def test_margins(wood: Any) -> None:
    """A disc of radius 10 about (20, 0) leaves 20 mm on a plate of radius 50 and 5 on a board 70 by 200; over the edge it is below 0."""
    wood.ring(wood.circle(20, 0, 10))
    (one,) = ready(wood)
    plate = Circle(wood.mark(0, 0), wood.number(2500), wood.number(50))
    found = margin(wood.exact, plate, one.edges)
    assert found is not None and found.lower <= 20 <= found.upper
    assert found.start == pytest.approx((30, 0)) and found.finish == pytest.approx((50, 0))
    board = margin(wood.exact, Board(wood.number(35), wood.number(100)), one.edges)
    assert board is not None and board.lower <= 5 <= board.upper
    small = margin(wood.exact, Circle(wood.mark(0, 0), wood.number(784)), one.edges)
    assert small is not None and small.lower <= -2 <= small.upper
    assert margin(wood.exact, None, one.edges) is None


def test_margin_on_an_oval(wood: Any) -> None:
    """On an oval plate the margin is an enclosure a thousandth wide; along the long half-axis it is what is left of that."""
    wood.ring(wood.circle(80, 0, 10))
    (one,) = ready(wood)
    found = margin(wood.exact, Oval(wood.number(100), wood.number(98)), one.edges)
    assert found is not None
    assert found.upper - found.lower <= Fraction(1, 1000)
    # the nearest place of the ellipse to (80, 0), by its parameter on a fine grid
    near = min(math.dist((100 * math.cos(t / 1e5), 98 * math.sin(t / 1e5)), (80, 0)) for t in range(0, 200000, 5))
    assert float(found.lower) - 1e-9 <= near - 10 <= float(found.upper) + 1e-6


def test_balls_hold_floats(arrangements: Any) -> None:
    """A distance by balls holds the distance by floats, to a float's error, from random places to every edge."""
    from construct.chips.edge_balls import BITS
    from construct.chips.edge_floats import edge_floats
    from construct.number_systems._balls import point_ball, working_at

    for wood in arrangements(seed=9, count=3):
        for chip in wood.chips():
            floats = edge_floats(wood.exact, chip.walks, [1.0] * sum(map(len, chip.walks)))
            edges = [edge_balls(wood.exact, edge) for walk in chip.walks for edge in walk]
            for edge, flat in zip(edges, floats, strict=True):
                for x, y in ((3, 4), (-17, 29), (50, -2)):
                    with working_at(BITS):
                        near = edge.nearest(point_ball(Fraction(x)), point_ball(Fraction(y)))
                        assert float(near.far.mid()) == pytest.approx(math.dist((x, y), flat.nearest(x, y)), abs=1e-9)
                        assert near.reach >= near.far or near.reach.overlaps(near.far)
