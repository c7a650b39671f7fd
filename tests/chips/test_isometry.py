"""Congruence is decided exactly: true ones are found with their motion, false ones refused however near."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from construct.chips.isometry import alike, alike_in_area, groups, misfit, moved
from construct.chips.predicates import on_walks
from construct.geometry import Circle

LAW = settings(max_examples=40, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.function_scoped_fixture])
TINY = Fraction(1, 10**30)


def leaf(wood: Any, x: Any, y: Any, cosine: Any, sine: Any, *, mirror: bool = False, longer: Any = 0) -> None:
    """Cut a lopsided leaf, turned and shifted, so that only one motion carries it onto its like.

    Corners (0, 0), (8 + longer, 0) and (0, 6), the longest side bowed out as half of the circle on it (Thales).
    """

    def at(u: Any, v: Any) -> Any:
        u = -u if mirror else u
        return wood.mark(x + u * cosine - v * sine, y + u * sine + v * cosine)

    a, b, c = at(0, 0), at(8 + longer, 0), at(0, 6)
    wood.straight(a, b)
    wood.straight(a, c)
    circle = wood.through((b.x + c.x) / 2, (b.y + c.y) / 2, b)
    wood.arc(circle, *((c, b) if mirror else (b, c)))


def disc(wood: Any, x: int, square: int) -> Circle:
    """The circle with its centre at (x, 0) whose radius squared is given."""
    return Circle(wood.mark(x, 0), wood.number(square))


@LAW
@given(
    turn=st.sampled_from([(1, 0), (Fraction(3, 5), Fraction(4, 5)), (Fraction(-5, 13), Fraction(12, 13)), (0, -1)]),
    shift=st.tuples(st.integers(20, 60), st.integers(-60, 60)),
    mirror=st.booleans(),
)
def test_a_moved_leaf_is_alike(fresh: Callable[[], Any], turn: Any, shift: Any, mirror: bool) -> None:
    """A leaf turned, shifted or mirrored is alike; the motion says whether a mirror was needed and carries every corner over."""
    wood = fresh()
    leaf(wood, wood.number(0), wood.number(0), wood.number(1), wood.number(0))
    leaf(wood, wood.number(shift[0]), wood.number(shift[1]), *map(wood.number, turn), mirror=mirror)
    a, b = wood.chips()
    motion = alike(wood.exact, a, b)
    assert motion is not None
    assert mirror is motion.mirror
    assert 0 == wood.exact.sign(motion.cosine * motion.cosine + motion.sine * motion.sine - 1)
    for edge in a.outline:
        assert on_walks(wood.exact, b.walks, moved(motion, edge.start))
    assert 0 == misfit(wood.exact, a, b)
    assert alike_in_area(wood.exact, a, b) is True


def test_turned_by_a_third_of_a_turn(wood: Any) -> None:
    """A turn by 120 deg, irrational in both numbers, is found as cos −1/2 and sin √3/2 (values.md 7)."""
    half, root = wood.number(Fraction(-1, 2)), wood.root(3) / 2
    leaf(wood, wood.number(0), wood.number(0), wood.number(1), wood.number(0))
    leaf(wood, wood.number(50), wood.number(1), half, root)
    motion = alike(wood.exact, *wood.chips())
    assert motion is not None
    assert ["−1/2", "√3/2", "50", "1"] == [
        wood.exact.closed_form(one) for one in (motion.cosine, motion.sine, motion.shift_x, motion.shift_y)
    ]


@pytest.mark.parametrize("mirror", [False, True])
def test_a_false_alike_is_refused_at_ten_to_the_minus_thirty(wood: Any, mirror: bool) -> None:
    """A leaf 10⁻³⁰ mm longer is not alike, neither in shape nor in area, and the misfit is of that size."""
    leaf(wood, wood.number(0), wood.number(0), wood.number(1), wood.number(0))
    leaf(wood, wood.number(40), wood.number(0), wood.number(Fraction(3, 5)), wood.number(Fraction(4, 5)), mirror=mirror, longer=TINY)
    a, b = wood.chips()
    assert alike(wood.exact, a, b) is None
    assert alike_in_area(wood.exact, a, b) is False
    assert ((0,), (1,)) == groups(wood.exact, [a, b])
    assert 1e-31 < misfit(wood.exact, a, b) < 1e-30


def test_equal_sides_do_not_make_alike(wood: Any) -> None:
    """A square and a rhombus of one side differ (Euclid I.46, I def. 22); so do arcs of one chord, bowed in and out."""
    wood.loop(*(wood.mark(*one) for one in ((0, 0), (5, 0), (5, 5), (0, 5))))
    wood.loop(*(wood.mark(*one) for one in ((10, 0), (15, 0), (18, 4), (13, 4))))
    square, rhombus = wood.chips()
    assert alike(wood.exact, square, rhombus) is None
    assert alike_in_area(wood.exact, square, rhombus) is False
    assert 0.5 < misfit(wood.exact, square, rhombus) < 5

    bowed = type(wood)()
    for x, sense in ((0, 1), (20, -1)):
        a, b, c = bowed.mark(x, 0), bowed.mark(x + 6, 0), bowed.mark(x + 3, 9)
        bowed.straight(b, c)
        bowed.straight(c, a)
        bowed.arc(bowed.through(x + 3, 4 * sense, a), *((a, b) if sense > 0 else (b, a)))
    out, inwards = bowed.chips()
    assert alike(bowed.exact, out, inwards) is None


def test_the_short_and_the_long_way_differ(wood: Any) -> None:
    """A disc's two parts over one chord have the same chord and radius and are not alike."""
    a, b = wood.mark(4, 3), wood.mark(-4, 3)
    wood.ring(wood.circle(0, 0, 5))
    wood.straight(a, b)
    assert 2 == len(groups(wood.exact, wood.chips()))


def test_whole_circles_and_holes(wood: Any) -> None:
    """Discs are alike by their radius; with a hole, by where it sits."""
    for x, holes in ((0, (1,)), (20, (1,)), (40, (2,)), (60, ()), (80, ())):
        wood.ring(wood.circle(x, 0, 5))
        for off in holes:
            wood.ring(wood.circle(x, off, 2))
    chips = wood.chips()
    whole = [chip for chip in chips if chip.outline[0].circle is not None and wood.exact.sign(chip.outline[0].circle.square - 25) == 0]
    whole.sort(key=lambda chip: wood.exact.to_float(chip.outline[0].circle.centre.x))  # type: ignore[union-attr]
    assert ((0, 1), (2,), (3, 4)) == groups(wood.exact, whole)


def test_every_hole_counts(wood: Any) -> None:
    """Two holes of one size in a disc: with the second one somewhere else, or of another size, it is not alike."""
    for x, (off, r) in ((0, (-3, 1)), (20, (-3, 1)), (40, (Fraction(-5, 2), 1)), (60, (-3, Fraction(1, 2)))):
        wood.ring(wood.circle(x, 0, 5))
        wood.ring(wood.circle(x + 2, 0, 1))
        wood.ring(wood.circle(x + off, 0, r))
    rings = [chip for chip in wood.chips() if chip.holes]
    rings.sort(key=lambda chip: wood.exact.to_float(chip.outline[0].circle.centre.x))  # type: ignore[union-attr]
    assert ((0, 1), (2,), (3,)) == groups(wood.exact, rings)


def test_a_hole_turned_with_its_ring(wood: Any) -> None:
    """A square hole beside the middle of a disc: turned with the disc it is alike, moved alone it is not."""
    beside, turned, askew = ((1, 0), (2, 0), (2, 1), (1, 1)), ((0, 1), (0, 2), (-1, 2), (-1, 1)), ((1, 1), (2, 1), (2, 2), (1, 2))
    for x, corners in ((0, beside), (20, turned), (40, askew)):
        wood.ring(wood.circle(x, 0, 5))
        wood.loop(*(wood.mark(x + u, v) for u, v in corners))
    rings = [chip for chip in wood.chips() if chip.holes]
    rings.sort(key=lambda chip: wood.exact.to_float(chip.outline[0].circle.centre.x))  # type: ignore[union-attr]
    assert ((0, 1), (2,)) == groups(wood.exact, rings)


def test_marks_on_a_side_change_no_shape(wood: Any) -> None:
    """Squares are alike though a neighbour's cut ends on a side of one of them; they have no misfit."""
    wood.loop(*(wood.mark(*one) for one in ((0, 0), (4, 0), (4, 4), (0, 4))))
    wood.loop(*(wood.mark(*one) for one in ((20, 0), (24, 0), (24, 4), (20, 4))))
    wood.straight(wood.mark(4, 1), wood.mark(6, 2))
    wood.straight(wood.mark(6, 2), wood.mark(4, 3))
    first, second = (chip for chip in wood.chips() if len(chip.outline) != 3)
    assert {4, 6} == {len(first.outline), len(second.outline)}
    assert alike(wood.exact, first, second) is not None
    assert 0 == misfit(wood.exact, first, second)


def test_a_french_curve_and_its_flip_are_alike(wood: Any) -> None:
    """A curve flipped over a slanting line bounds a chip that is alike by a mirror; the chords are matched exactly."""
    spots = ((0, 0), (10, 17), (25, 20), (33, 0))
    wood.curve(*(wood.mark(*one) for one in spots))
    wood.straight(wood.mark(33, 0), wood.mark(0, 0))
    # flipped over the line through the origin with slope 1/2, then carried 100 mm up
    flip = [((3 * x + 4 * y) / Fraction(5), (4 * x - 3 * y) / Fraction(5) + 100) for x, y in spots]
    wood.curve(*(wood.mark(*one) for one in flip))
    wood.straight(wood.mark(*flip[3]), wood.mark(*flip[0]))
    motion = alike(wood.exact, *wood.chips())
    assert motion is not None
    assert motion.mirror


def test_areas_alike_without_being_alike(wood: Any) -> None:
    """A 2 × 9 and a 3 × 6 rectangle have one area, and a disc of 6π is refused."""
    wood.loop(*(wood.mark(*one) for one in ((0, 0), (2, 0), (2, 9), (0, 9))))
    wood.loop(*(wood.mark(*one) for one in ((10, 0), (13, 0), (13, 6), (10, 6))))
    wood.ring(disc(wood, 30, 6))
    chips = wood.chips()
    chips.sort(key=lambda chip: wood.exact.to_float(chip.outline[0].start.x))
    narrow, wide, whole = chips
    assert alike(wood.exact, narrow, wide) is None
    assert alike_in_area(wood.exact, narrow, wide) is True
    assert alike_in_area(wood.exact, narrow, whole) is False


def test_misfit_of_different_kinds(wood: Any) -> None:
    """Outlines with different numbers of corners have a misfit too: a square of side 10 in a disc of radius 5√2 misses by 5√2 − 5."""
    wood.loop(*(wood.mark(*one) for one in ((-5, -5), (5, -5), (5, 5), (-5, 5))))
    wood.ring(disc(wood, 40, 50))
    a, b = wood.chips()
    # marks at equal steps do not face each other squarely, so a little more is allowed
    assert 5 * 2**0.5 - 5 - 1e-9 <= misfit(wood.exact, a, b) <= 2.6
