"""Arrangements with degenerate meetings planted in them, with roots among the coordinates: Euler, areas, shapely.

Everything runs through one mark: spokes, circles, circles that touch each other there, with rings about one of
the centres beside it.  shapely's polygons have that mark as a corner, so that they meet where the circles do.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction
from itertools import combinations, pairwise
from typing import Any

import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from construct.chips.measures import area, area_enclosure
from construct.geometry import Circle, Point

LAW = settings(max_examples=40, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.function_scoped_fixture])

ROOTS = (0, 2, 3, 5)
SMALL = st.integers(-3, 3)
PLACE = st.tuples(SMALL, SMALL)
AWAY = PLACE.filter(lambda place: place != (0, 0))
SHARES = st.sampled_from([Fraction(n, 4) for n in (-8, -3, 1, 2, 3, 6, 10)])
STEPS = 400


def shifted(wood: Any, root: int, place: tuple[int, int]) -> Point:
    """Return a whole-number place moved by (√root, √root / 2)."""
    by = wood.root(root) if root else wood.number(0)
    return Point(wood.number(place[0]) + by, wood.number(place[1]) + by / 2)


def spot(wood: Any, point: Point) -> tuple[float, float]:
    return wood.exact.to_float(point.x), wood.exact.to_float(point.y)


def fine(wood: Any, circle: Circle, start: Point) -> shapely.LineString:
    """Return a circle as a fine polygon with a corner at `start`."""
    (cx, cy), (x, y) = spot(wood, circle.centre), spot(wood, start)
    reach, first = math.hypot(x - cx, y - cy), math.atan2(y - cy, x - cx)
    turns = (first + math.tau * n / STEPS for n in range(1, STEPS))
    between = [(cx + reach * math.cos(turn), cy + reach * math.sin(turn)) for turn in turns]
    return shapely.LineString([(x, y), *between, (x, y)])


@LAW
@given(
    root=st.sampled_from(ROOTS),
    spokes=st.lists(AWAY, max_size=4, unique=True),
    centres=st.lists(AWAY, min_size=1, max_size=2, unique=True),
    touching=st.lists(SHARES, max_size=2, unique=True),
    rings=st.lists(AWAY, max_size=2, unique=True),
    joined=st.booleans(),
)
def test_all_through_one_mark(
    fresh: Callable[[], Any], root: int, spokes: Any, centres: Any, touching: Any, rings: Any, joined: bool
) -> None:
    """Euler's formula holds, no area is negative, and shapely closes in the same area (an estimate, to 0.2 mm²)."""
    wood = fresh()
    hub = shifted(wood, root, (0, 0))
    drawn = []
    circles = [wood.through(*(getattr(shifted(wood, root, at), side) for side in "xy"), hub) for at in centres]
    # a circle about a mark of the line from the first centre to the hub touches the first one there, inside or outside
    for share in touching:
        first = circles[0].centre
        ways = (first.x + (hub.x - first.x) * wood.number(share), first.y + (hub.y - first.y) * wood.number(share))
        circles.append(wood.through(*ways, hub))
    for circle in circles:
        wood.ring(circle)
        drawn.append(fine(wood, circle, hub))
    # rings about one centre, through other marks: concentric with the first circle, or the same circle again
    for at in rings:
        through = shifted(wood, root, at)
        ring = wood.through(circles[0].centre.x, circles[0].centre.y, through)
        if wood.exact.sign(ring.square) == 0:
            continue
        wood.ring(ring)
        drawn.append(fine(wood, ring, through))
    ends = [shifted(wood, root, at) for at in spokes]
    for end in ends:
        wood.straight(hub, end)
        drawn.append(shapely.LineString([spot(wood, hub), spot(wood, end)]))
    for a, b in pairwise(ends) if joined else ():
        wood.straight(a, b)
        drawn.append(shapely.LineString([spot(wood, a), spot(wood, b)]))
    found = wood.arrangement()
    if found.overlaps:
        one, other = found.overlaps[0]
        assert type(wood.pieces[one].geometry) is type(wood.pieces[other].geometry)
        return
    assert 1 + found.components == found.vertices - found.edges + len(found.faces) + 1
    bounds = [area_enclosure(wood.exact, area(wood.exact, face.walks), 12) for face in found.faces]
    assert all(low > 0 for low, _ in bounds)
    closed = shapely.unary_union([shapely.Polygon(line) for line in drawn if len(line.coords) > 2] + [
        shape for shape in shapely.polygonize([shapely.unary_union(drawn)]).geoms
    ])  # fmt: skip
    assert closed.area == pytest.approx(float(sum(low for low, _ in bounds)), abs=0.2)


@LAW
@given(root=st.sampled_from(ROOTS), corners=st.lists(AWAY, min_size=3, max_size=6, unique=True))
def test_a_fan_of_triangles_shares_edges(fresh: Callable[[], Any], root: int, corners: Any) -> None:
    """A fan of triangles round one mark, neighbours sharing a side: Euler, and shapely's areas, face by face (to 10⁻⁹)."""
    wood = fresh()
    hub = shifted(wood, root, (0, 0))
    around = sorted(corners, key=lambda at: math.atan2(at[1], at[0]))
    ends = [shifted(wood, root, at) for at in around]
    drawn = []
    for end in ends:
        wood.straight(hub, end)
        drawn.append([spot(wood, hub), spot(wood, end)])
    for a, b in zip(ends, (*ends[1:], ends[0]), strict=True):
        wood.straight(a, b)
        drawn.append([spot(wood, a), spot(wood, b)])
    found = wood.arrangement()
    # on the whole-number corners shapely tells exactly which sides lie on each other
    plain = [shapely.LineString([(0, 0), at]) for at in around]
    plain += [shapely.LineString([a, b]) for a, b in zip(around, (*around[1:], around[0]), strict=True)]
    lie_on = [(i, j) for i, j in combinations(range(len(plain)), 2) if plain[i].intersection(plain[j]).length > 0]
    assert lie_on == list(found.overlaps)
    if lie_on:
        return
    assert 1 + found.components == found.vertices - found.edges + len(found.faces) + 1
    mine = sorted(float(area_enclosure(wood.exact, area(wood.exact, face.walks), 12)[0]) for face in found.faces)
    theirs = sorted(shape.area for shape in shapely.polygonize([shapely.unary_union([shapely.LineString(line) for line in drawn])]).geoms)
    assert theirs == pytest.approx(mine, abs=1e-9)


@LAW
@given(radii=st.lists(st.integers(1, 9), min_size=2, max_size=5, unique=True), root=st.sampled_from(ROOTS), chord=st.booleans())
def test_rings_in_rings(fresh: Callable[[], Any], radii: Any, root: int, chord: bool) -> None:
    """Concentric rings: each face but the innermost has one hole, areas are π(R² − r²); a line through all halves every one."""
    wood = fresh()
    middle = shifted(wood, root, (0, 0))
    for r in radii:
        wood.ring(wood.circle(middle.x, middle.y, r))
    if chord:
        reach = wood.number(10)
        wood.straight(Point(middle.x - reach, middle.y), Point(middle.x + reach, middle.y))
    found = wood.arrangement()
    assert 1 + found.components == found.vertices - found.edges + len(found.faces) + 1
    squares = [r * r for r in sorted(radii)]
    rings = [b - a for a, b in zip([0, *squares], squares, strict=False)]
    wanted = sorted(math.pi * ring / (2 if chord else 1) for ring in rings for _ in range(2 if chord else 1))
    mine = sorted(float(area_enclosure(wood.exact, area(wood.exact, face.walks), 12)[0]) for face in found.faces)
    assert wanted == pytest.approx(mine, abs=1e-9)
    if not chord:
        assert [0] + [1] * (len(radii) - 1) == sorted(len(face.holes) for face in found.faces)
