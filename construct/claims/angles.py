"""Claims on angles: `angle A O B is 45 deg`, `equals angle …`, `is 1/3 of angle …`, `is over`, `is under`.

`angle A O B` has its corner in the middle and lies between 0 and 180 deg.  Two
lines make two angles, which together are 180 deg; `angle between g and k` is
the smaller one where the claim says up to 90 deg, and the larger one beyond.
"""

from __future__ import annotations

from fractions import Fraction

from construct.claims import AngleGap, Part, Senseless, Statement, World, holds_pi, ratio_value, sign, size
from construct.claims._turns import angle_sign
from construct.geometry import Line, Point, cross, direction, dot, is_constructible, towards
from construct.language.syntax import Phrase, Ratio
from construct.number_systems import Number
from construct.number_systems.exact import ExactSystem

NAME = "angles"
NOTE = "angles are of a size, equal, or a part of each other"

HALF = Fraction(1, 2)
_Way = tuple[Number, Number]


def _angle(world: World, a: Point, corner: Point, b: Point) -> _Way:
    """Return (x, y), y ≥ 0, whose direction from +x is the angle at the corner."""
    one, other = towards(corner, a), towards(corner, b)
    for way in (one, other):
        if sign(world.numbers, dot(way, way)) == 0:
            raise Senseless("on_the_corner")
    return dot(one, other), size(world.numbers, cross(one, other))


def _is(world: World, way: _Way, turns: Fraction) -> Statement:
    """State that a direction is `turns` of a turn from +x."""
    gap = AngleGap((Part(Fraction(1), *way),), -turns)
    if not is_constructible(turns):
        return Statement(other=lambda: angle_sign(world.numbers, gap) == 0, gap=lambda: gap)
    target = direction(world.numbers, turns)
    return Statement(zeros=(cross(target, way),), positives=(dot(target, way),), gap=lambda: gap)


def _allowed(turns: Fraction) -> None:
    if not 0 <= turns <= HALF:
        raise Senseless("angle_too_large")


def is_size(world: World, a: Point, corner: Point, b: Point, turns: Fraction) -> Statement:
    """The angle is of a size; one that no construction gives is decided by its cosine's polynomial."""
    _allowed(turns)
    return _is(world, _angle(world, a, corner, b), turns)


def between_lines(world: World, g: Line, k: Line, turns: Fraction) -> Statement:
    """Two drawn lines make an angle, whichever way they run."""
    _allowed(turns)
    one, other = (g.dx, g.dy), (k.dx, k.dy)
    along, across = size(world.numbers, dot(one, other)), size(world.numbers, cross(one, other))
    return _is(world, (along if turns <= HALF / 2 else -along, across), turns)


def equals(world: World, a: Point, o: Point, b: Point, d: Point, p: Point, e: Point) -> Statement:
    """Two angles are equal."""
    one, other = _angle(world, a, o, b), _angle(world, d, p, e)
    return Statement(
        zeros=(cross(one, other),),
        positives=(dot(one, other),),
        gap=lambda: AngleGap((Part(Fraction(1), *one), Part(Fraction(-1), *other))),
    )


def is_part(world: World, a: Point, o: Point, b: Point, ratio: Ratio, d: Point, p: Point, e: Point) -> Statement:
    """The first angle is so many times the second; the product of directions decides it, and an enclosure the turn."""
    plain = ExactSystem()  # a written ratio is a plain number, whatever the drawing's numbers are
    times = None if holds_pi(ratio) else plain.is_rational(ratio_value(plain, ratio))
    if times is None:
        raise Senseless("angle_ratio")
    if times < 0:
        raise Senseless("angle_below_nothing")
    gap = AngleGap((Part(Fraction(1), *_angle(world, a, o, b)), Part(-times, *_angle(world, d, p, e))))
    return Statement(other=lambda: angle_sign(world.numbers, gap) == 0, gap=lambda: gap)


def over(world: World, a: Point, o: Point, b: Point, turns: Fraction) -> Statement:
    """The angle is more than a size; the gap is by how much not."""
    return _compared(world, _angle(world, a, o, b), turns, 1)


def under(world: World, a: Point, o: Point, b: Point, turns: Fraction) -> Statement:
    """The angle is less than a size; the gap is by how much not."""
    return _compared(world, _angle(world, a, o, b), turns, -1)


def _compared(world: World, way: _Way, turns: Fraction, side: int) -> Statement:
    _allowed(turns)
    gap = AngleGap((Part(Fraction(-side), *way),), turns * side)
    if 0 < turns < HALF and is_constructible(turns):
        # both lie between 0 and 180 deg, and are not those two: the sine of their difference has its sign
        return Statement(positives=(cross(direction(world.numbers, turns), way) * side,), gap=lambda: gap)
    return Statement(other=lambda: angle_sign(world.numbers, gap) < 0, gap=lambda: gap)


_DEG = ("within", ("deg",))
_SENSE = ("sense", "angle")
_EXTRA = (_DEG, _SENSE)
_ANGLE = "angle <A mark> <O mark> <B mark>"
PHRASES = (
    Phrase(f"{_ANGLE} is <a angle>", is_size, note="gap: left less right", extra=_EXTRA),
    Phrase(f"{_ANGLE} equals angle <D mark> <P mark> <E mark>", equals, note="gap: left less right", extra=_EXTRA),
    Phrase(f"{_ANGLE} is <r ratio> of angle <D mark> <P mark> <E mark>", is_part, note="gap: left less right", extra=_EXTRA),
    Phrase(f"{_ANGLE} is over <a angle>", over, note="gap: by how much not", extra=_EXTRA),
    Phrase(f"{_ANGLE} is under <a angle>", under, note="gap: by how much not", extra=_EXTRA),
    Phrase("angle between <g line> and <k line> is <a angle>", between_lines, note="gap: left less right",
           extra=(_DEG, ("sense", "lines"))),
)  # fmt: skip
