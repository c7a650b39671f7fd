"""Laws of the planar subdivision: Euler's formula, areas that add up, degenerate meetings, thin cases."""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction
from itertools import pairwise
from typing import Any

import mpmath
import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from construct.chips import Chip
from construct.chips.arrangement import CURVE_TOLERANCE_MM
from construct.chips.measures import area, area_enclosure, area_text, corners
from construct.chips.predicates import in_walks, on_walks, walk_clear_of, walk_within
from construct.geometry import Circle

LAW = settings(max_examples=50, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.function_scoped_fixture])

# Whole and half numbers on a small board: tangencies, shared marks and triple crossings are common.
HALVES = st.integers(-6, 6).map(lambda n: Fraction(n, 2))
RINGS = st.lists(st.tuples(HALVES, HALVES, st.integers(1, 7).map(lambda n: Fraction(n, 2))), min_size=1, max_size=5, unique=True)
SPOTS = st.tuples(st.integers(-4, 4), st.integers(-4, 4))
STRAIGHTS = st.lists(st.tuples(SPOTS, SPOTS).filter(lambda ends: ends[0] != ends[1]), max_size=6)

# Arcs of circles of radius 5 from one of their twelve whole-number marks to another.
ON_FIVE = ((5, 0), (4, 3), (3, 4), (0, 5), (-3, 4), (-4, 3), (-5, 0), (-4, -3), (-3, -4), (0, -5), (3, -4), (4, -3))
PLACES = st.tuples(st.integers(-4, 4), st.integers(-4, 4))
ARCS = st.lists(st.tuples(PLACES, st.integers(0, 11), st.integers(1, 11)), max_size=6)


def lay_arcs(wood: Any, arcs: Any) -> list[shapely.LineString]:
    """Cut arcs counterclockwise from the mark numbered `first` on, so many marks far; return fine polygons of them."""
    drawn = []
    for (x, y), first, count in arcs:
        marks = [ON_FIVE[(first + i) % 12] for i in range(count + 1)]
        wood.arc(wood.circle(x, y, 5), *(wood.mark(x + u, y + v) for u, v in (marks[0], marks[-1])))
        # whole-number marks are vertices of the polygon, so that what ends in them on the circle meets it there too
        chain: list[tuple[float, float]] = []
        for (a, b), (c, d) in pairwise(marks):
            start, angle = math.atan2(b, a), (math.atan2(d, c) - math.atan2(b, a)) % math.tau
            turns = [start + angle * i / 100 for i in range(1, 100)]
            chain += [(x + a, y + b), *((x + 5 * math.cos(turn), y + 5 * math.sin(turn)) for turn in turns)]
        drawn.append(shapely.LineString([*chain, (x + marks[-1][0], y + marks[-1][1])]))
    return drawn


def euler(found: Any) -> None:
    """V − E + F = 1 + C, the outside counted among the faces (Euler 1758; Cauchy for C parts; from memory)."""
    assert 1 + found.components == found.vertices - found.edges + len(found.faces) + 1


@LAW
@given(rings=RINGS, straights=STRAIGHTS)
def test_euler_for_circles_and_straight_cuts(fresh: Callable[[], Any], rings: Any, straights: Any) -> None:
    """Euler's formula holds for every layout of whole circles and straight cuts that do not lie on each other."""
    wood = fresh()
    for x, y, r in rings:
        wood.ring(wood.circle(x, y, r))
    for a, b in straights:
        wood.straight(wood.mark(*a), wood.mark(*b))
    found = wood.arrangement()
    if found.overlaps:
        assert straights  # distinct circles never lie on each other
        return
    euler(found)


@LAW
@given(arcs=ARCS, straights=STRAIGHTS)
def test_arcs_and_straight_cuts(fresh: Callable[[], Any], arcs: Any, straights: Any) -> None:
    """Euler's formula holds with arcs that have ends, and shapely's polygonizer closes in the same area (to 0.1 mm²)."""
    wood = fresh()
    drawn = lay_arcs(wood, arcs)
    for a, b in straights:
        wood.straight(wood.mark(*a), wood.mark(*b))
        drawn.append(shapely.LineString([a, b]))
    found = wood.arrangement()
    if found.overlaps:
        assert len(drawn) > 1
        return
    euler(found)
    total = sum(float(sum(area_enclosure(wood.exact, area(wood.exact, face.walks), 8)) / 2) for face in found.faces)
    closed = shapely.polygonize([shapely.unary_union(drawn)]) if drawn else shapely.Polygon()
    assert shapely.area(closed).sum() == pytest.approx(total, abs=0.1)


@LAW
@given(rings=RINGS)
def test_areas_of_faces_add_up(fresh: Callable[[], Any], rings: Any) -> None:
    """Each face counted once for every disc it lies in, the areas come to Σ πr²: discs are tiled without gap or overlap."""
    wood = fresh()
    circles = [wood.circle(x, y, r) for x, y, r in rings]
    for circle in circles:
        wood.ring(circle)
    low = high = Fraction(0)
    for chip in wood.chips():
        inside = [walk_within(wood.exact, chip.outline, circle) for circle in circles]
        outside = [all(walk_clear_of(wood.exact, walk, circle) for walk in chip.walks) for circle in circles]
        # whole circles leave no face half in and half out; one that is around a disc is clear of it too
        assert all(a or b for a, b in zip(inside, outside, strict=True))
        bounds = area_enclosure(wood.exact, area(wood.exact, chip), 25)
        assert bounds[0] > 0
        low, high = low + bounds[0] * sum(inside), high + bounds[1] * sum(inside)
    with mpmath.workdps(50):
        wanted = Fraction(mpmath.nstr(mpmath.pi, 45)) * sum(r * r for _, _, r in rings)
    assert low - Fraction(1, 10**20) <= wanted <= high + Fraction(1, 10**20)


@LAW
@given(rings=RINGS, straights=STRAIGHTS)
def test_shapely_agrees(fresh: Callable[[], Any], rings: Any, straights: Any) -> None:
    """shapely's polygonizer, on 720-gons for circles, finds the same area closed in (an estimate, to 0.1 mm²).

    Sizes are put a little off, each by its own part, so that nothing just touches: a polygon would miss it.
    """
    wood = fresh()
    drawn = []
    for i, (x, y, r) in enumerate(rings):
        r += Fraction(i + 1, 37)
        wood.ring(wood.circle(x, y, r))
        drawn.append(shapely.Point(float(x), float(y)).buffer(float(r), quad_segs=180).exterior)
    for i, ends in enumerate(straights):
        off = [(x + Fraction(2 * i + k, 41), y + Fraction(k + 1, 43)) for k, (x, y) in enumerate(ends)]
        wood.straight(*(wood.mark(*one) for one in off))
        drawn.append(shapely.LineString([(float(x), float(y)) for x, y in off]))
    assert not wood.arrangement().overlaps
    closed = shapely.polygonize([shapely.unary_union(drawn)])
    total = sum(float(sum(area_enclosure(wood.exact, area(wood.exact, chip), 8)) / 2) for chip in wood.chips())
    assert total == pytest.approx(shapely.area(closed).sum(), abs=0.1)


def test_shapely_agrees_on_single_faces(wood: Any) -> None:
    """Each face of a layout with arcs, straights and a hole has the area that shapely finds for a fine polygon."""
    a, b = wood.mark(-4, 3), wood.mark(4, 3)
    wood.ring(wood.circle(0, 0, 5))
    wood.straight(a, b)
    wood.ring(wood.circle(0, -1, 2))
    wood.straight(wood.mark(0, 3), wood.mark(0, 5))
    sizes = sorted(float(area_enclosure(wood.exact, area(wood.exact, chip), 8)[0]) for chip in wood.chips())
    disc, inner = (shapely.Point(0, y).buffer(r, quad_segs=4000) for y, r in ((0, 5), (-1, 2)))
    cap = disc.intersection(shapely.box(-5, 3, 5, 5))
    expected = sorted([cap.area / 2, cap.area / 2, inner.area, disc.area - cap.area - inner.area])
    assert expected == pytest.approx(sizes, abs=1e-4)


# --- what is easily got wrong ------------------------------------------------------------------


def test_three_circles_through_one_mark(wood: Any) -> None:
    """Three circles of radius 5 with centres 5 from one mark cross in it as one vertex of six edges."""
    for x, y in ((3, 4), (-5, 0), (3, -4)):
        wood.ring(wood.circle(x, y, 5))
    found = wood.arrangement()
    assert (4, 9, 1) == (found.vertices, found.edges, found.components)
    euler(found)


def test_touching_from_inside_and_outside(wood: Any) -> None:
    """Three circles that touch in one mark, two of them inside one another: tangents alike, told apart by curvature."""
    for x, r in ((1, 1), (2, 2), (-3, 3)):
        wood.ring(wood.circle(x, 0, r))
    found = wood.arrangement()
    assert (1, 3, 1, 3) == (found.vertices, found.edges, found.components, len(found.faces))
    assert ["3·π", "9·π", "π"] == sorted(area_text(wood.exact, area(wood.exact, chip)) for chip in wood.chips())


def test_a_line_touching_a_circle(wood: Any) -> None:
    """A straight cut that touches a circle shares one mark with it and closes nothing there."""
    wood.ring(wood.circle(0, 0, 5))
    wood.straight(wood.mark(-10, 5), wood.mark(10, 5))
    found = wood.arrangement()
    assert (3, 3, 1, 1) == (found.vertices, found.edges, found.components, len(found.faces))
    assert ((1, 0), (0, 2)) == (found.uses, found.idle)


@pytest.mark.parametrize(("off", "faces"), [(0, 2), (Fraction(1, 10**30), 2), (-Fraction(1, 10**30), 3)])
def test_thinner_than_any_float(wood: Any, off: Fraction, faces: int) -> None:
    """Two circles whose centres are 2r apart touch; 10⁻³⁰ mm more and they are apart, less and they share a lens."""
    wood.ring(wood.circle(0, 0, 5))
    wood.ring(wood.circle(10 + off, 0, 5))
    found = wood.arrangement()
    assert faces == len(found.faces)
    euler(found)


def test_pieces_that_lie_on_each_other(wood: Any) -> None:
    """Overlap is seen on lines and on circles, exact to the last digit; end to end is no overlap."""
    a, b, c, d = (wood.mark(x, 0) for x in (0, 2, 3, 5))
    wood.straight(a, c)
    wood.straight(b, d)
    assert ((0, 1),) == wood.arrangement().overlaps
    ends = type(wood)()
    ends.straight(a, b)
    ends.straight(b, d)
    assert () == ends.arrangement().overlaps
    arcs = type(wood)()
    marks = [arcs.mark(5, 0), arcs.mark(3, 4), arcs.mark(-3, 4), arcs.mark(-5, 0)]
    arcs.arc(arcs.circle(0, 0, 5), marks[0], marks[2])
    arcs.arc(arcs.circle(0, 0, 5), marks[1], marks[3])
    arcs.arc(arcs.circle(0, 0, 5), marks[3], marks[0])
    assert ((0, 1),) == arcs.arrangement().overlaps


@pytest.mark.parametrize("order", [(9, 6, 3), (3, 6, 9), (6, 3, 9)])
def test_holes_and_what_is_in_them(wood: Any, order: tuple[int, ...]) -> None:
    """Rings in rings: each face has the next ring as its only hole, and a mark lies in exactly one of them."""
    for r in order:
        wood.ring(wood.circle(0, 0, r))
    wood.ring(wood.circle(20, 0, 4))
    faces = wood.arrangement().faces
    assert [0, 0, 1, 1] == sorted(len(face.holes) for face in faces)
    for face in faces:
        size = wood.exact.to_float(face.outline[0].circle.square) ** 0.5
        assert {3: [], 4: [], 6: [3], 9: [6]}[size] == [wood.exact.to_float(hole[0].circle.square) ** 0.5 for hole in face.holes]
    for x, home in ((0, 3), (4, 6), (8, 9), (20, 4)):
        mark = wood.mark(x, 0)
        found = [face for face in faces if in_walks(wood.exact, face.walks, mark)]
        assert [home] == [wood.exact.to_float(face.outline[0].circle.square) ** 0.5 for face in found]


def test_a_bridge_bounds_nothing(wood: Any) -> None:
    """A straight cut from an outer ring to an inner one has one face on both sides: the face keeps outline and hole."""
    wood.ring(wood.circle(0, 0, 5))
    wood.ring(wood.circle(0, 0, 2))
    wood.straight(wood.mark(2, 0), wood.mark(5, 0))
    found = wood.arrangement()
    euler(found)
    assert (2, 3, 1) == (found.vertices, found.edges, found.components)
    assert [0, 1] == sorted(len(face.holes) for face in found.faces)
    assert ((1, 1, 0), (0, 0, 1)) == (found.uses, found.idle)


@LAW
@given(spot=st.tuples(st.integers(-7, 7), st.integers(-7, 7)))
def test_winding_against_shapely(fresh: Callable[[], Any], spot: tuple[int, int]) -> None:
    """Whether a mark lies in a shape with a half-disc bite is what shapely says, also level with its corners."""
    wood = fresh()
    a, b, c, d, e, f = (wood.mark(*one) for one in ((-5, -5), (5, -5), (5, 5), (3, 5), (-3, 5), (-5, 5)))
    wood.straight(a, b)
    wood.straight(b, c)
    wood.straight(c, d)
    wood.arc(wood.circle(0, 5, 3), e, d)
    wood.straight(e, f)
    wood.straight(f, a)
    (face,) = wood.arrangement().faces
    bitten = shapely.box(-5, -5, 5, 5).difference(shapely.Point(0, 5).buffer(3, quad_segs=500))
    mark = wood.mark(*spot)
    if on_walks(wood.exact, face.walks, mark):
        assert bitten.boundary.distance(shapely.Point(*spot)) < 1e-3
    else:
        assert bitten.contains(shapely.Point(*spot)) is in_walks(wood.exact, face.walks, mark)


def test_winding_sees_caps_on_both_sides(wood: Any) -> None:
    """A mark on the chord of an arc, inside and outside the region, is told right (semicircle and long arc)."""
    a, b = wood.mark(-3, 0), wood.mark(3, 0)
    wood.arc(wood.circle(0, 4, 5), a, b)  # short, below the chord
    wood.arc(wood.circle(0, -4, 5), b, a)  # short, above it
    (lens,) = wood.arrangement().faces
    assert in_walks(wood.exact, lens.walks, wood.mark(0, 0))
    assert not in_walks(wood.exact, lens.walks, wood.mark(4, 0))
    assert not in_walks(wood.exact, lens.walks, wood.mark(-4, 0))
    far = type(wood)()
    a, b = far.mark(-3, 0), far.mark(3, 0)
    far.arc(far.circle(0, 4, 5), b, a)  # the long way over the top, (0, 9)
    far.arc(far.circle(0, -4, 5), b, a)  # the short way over (0, 1)
    (moon,) = far.arrangement().faces
    for x, y, expected in ((0, 0, False), (0, 5, True), (4, 4, True), (0, 10, False), (-6, 0, False), (0, Fraction(1, 2), False)):
        assert expected is in_walks(far.exact, moon.walks, far.mark(x, y))


def test_cusps_and_straight_corners(wood: Any) -> None:
    """Where two arcs touch, the inner angle is exactly 0 on one side and 360 deg on the other."""
    o = wood.mark(0, 0)
    wood.arc(wood.circle(0, 2, 2), o, wood.mark(2, 2))
    wood.arc(wood.circle(0, 5, 5), o, wood.mark(5, 5))
    wood.straight(wood.mark(2, 2), wood.mark(5, 5))
    (horn,) = wood.chips()
    angles = {corner.cusp: corner.angle_deg for corner in corners(wood.exact, horn) if corner.cusp}
    assert {True: (0, 0)} == angles
    sums = [corner.angle_deg for corner in corners(wood.exact, horn)]
    assert 3 == len(sums)


def test_angles_of_a_triangle(wood: Any) -> None:
    """The angles of a 3-4-5 triangle are arctan 3/4, arctan 4/3 and 90 deg; together 180 (Euclid I.32)."""
    wood.loop(wood.mark(0, 0), wood.mark(4, 0), wood.mark(4, 3))
    (chip,) = wood.chips()
    angles = sorted(corner.angle_deg for corner in corners(wood.exact, chip, 9))
    expected = [36.86989764584402, 53.13010235415598, 90.0]
    assert all(low <= Fraction(angle) + Fraction(1, 10**12) and Fraction(angle) - Fraction(1, 10**12) <= high
               for angle, (low, high) in zip(expected, angles, strict=True))  # fmt: skip


def test_a_mark_on_a_straight_side_is_no_corner(wood: Any) -> None:
    """Where a neighbour's cut ends on a straight side the walk has a vertex, but the chip no corner."""
    wood.loop(wood.mark(0, 0), wood.mark(4, 0), wood.mark(4, 4), wood.mark(0, 4))
    wood.loop(wood.mark(4, 1), wood.mark(6, 2), wood.mark(4, 3))
    found = wood.arrangement()
    # two sides lie on each other there
    assert ((1, 6),) == found.overlaps
    other = type(wood)()
    other.loop(other.mark(0, 0), other.mark(4, 0), other.mark(4, 4), other.mark(0, 4))
    other.straight(other.mark(4, 1), other.mark(6, 2))
    other.straight(other.mark(6, 2), other.mark(4, 3))
    square = max(other.chips(), key=lambda chip: len(chip.outline))
    assert 6 == len(square.outline)
    assert 4 == len(corners(other.exact, square))


def test_a_french_curve_enters_within_its_tolerance(wood: Any) -> None:
    """Chords have their ends exactly on the cubic and stray no farther from it than the stated tolerance (dense samples)."""
    spots = ((0, 0), (30, 40), (70, 40), (100, 0))
    wood.curve(*(wood.mark(*one) for one in spots))
    wood.straight(wood.mark(100, 0), wood.mark(0, 0))
    (chip,) = wood.chips()
    straight = next(i for i, edge in enumerate(chip.outline) if not edge.curved)
    chords = [*chip.outline[straight + 1 :], *chip.outline[:straight]]
    assert 2 == len(corners(wood.exact, chip))
    ends = [edge.start for edge in chords] + [chords[-1].finish]
    chain = shapely.LineString([(wood.exact.to_float(end.x), wood.exact.to_float(end.y)) for end in ends])
    worst = 0.0
    for i in range(1001):
        t = i / 1000
        weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
        at = [sum(w * spot[k] for w, spot in zip(weights, spots, strict=True)) for k in (0, 1)]
        worst = max(worst, chain.distance(shapely.Point(*at)))
    assert 0 < worst <= float(CURVE_TOLERANCE_MM)
    # the area under the cubic itself: ∫ y x' dt with x' = 90 + 60t − 60t², y = 120t(1 − t)
    with mpmath.workdps(20):
        under = float(mpmath.quad(lambda t: 120 * t * (1 - t) * (90 + 60 * t - 60 * t * t), [0, 1]))
    low, _ = area_enclosure(wood.exact, area(wood.exact, chip), 6)
    assert 0 < under - float(low) < float(CURVE_TOLERANCE_MM) * chain.length


def test_walks_keep_the_region_on_their_left(wood: Any) -> None:
    """Outlines run counterclockwise and holes clockwise, each edge starting where the one before ends."""
    wood.ring(wood.circle(0, 0, 9))
    wood.loop(wood.mark(-2, -2), wood.mark(2, -2), wood.mark(2, 2), wood.mark(-2, 2))
    for chip in wood.chips():
        for number, walk in enumerate(chip.walks):
            for before, after in pairwise((*walk, walk[0])):
                assert before.finish is after.start
            alone = Chip("", 0, walk)
            low, high = area_enclosure(wood.exact, area(wood.exact, alone), 6)
            assert (low > 0) if number == 0 else (high < 0)


def test_one_circle_drawn_twice_is_one(wood: Any) -> None:
    """Circles are compared by centre and radius squared, not by how they were made: 9 − 4√5 is (√5 − 2)²."""
    root = wood.root(5)
    first = Circle(wood.mark(0, 0), 9 - root * 4)
    second = Circle(wood.mark(0, 0), (root - 2) * (root - 2), root - 2)
    wood.ring(first)
    wood.ring(second)
    assert ((0, 1),) == wood.arrangement().overlaps
