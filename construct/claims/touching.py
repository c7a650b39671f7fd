"""`c touches k`: a circle touches a line or another circle, from outside or from inside.

What ends can only be touched before it ends.  A circle does not touch itself,
nor a circle that lies on it.
"""

from __future__ import annotations

from construct.claims import AnyGap, Gap, NoGap, Senseless, Statement, World, sign
from construct.claims._drawn import gap_to_end, is_past_ends, refuse_half_turn
from construct.geometry import (
    Circle,
    Line,
    Point,
    along,
    beyond_ends,
    dot,
    foot,
    left_of,
    radius,
    square_distance,
    towards,
)
from construct.language.syntax import Phrase
from construct.number_systems import Number
from construct.phrasebook import say

NAME = "touching"
NOTE = "a circle touches a line or a circle"


def touches(world: World, one: Circle | Line, other: Circle | Line) -> Statement:
    """The distance equals the radius, or the sum or difference of two."""
    for thing in (one, other):
        refuse_half_turn(world.numbers, thing)
    if isinstance(one, Circle) and isinstance(other, Circle):
        return _circles(world, one, other)
    if isinstance(one, Line) and isinstance(other, Circle):
        one, other = other, one
    if isinstance(one, Circle) and isinstance(other, Line):
        return _line(world, one, other)
    raise Senseless("two_lines")


def _line(world: World, circle: Circle, line: Line) -> Statement:
    contact = foot(circle.centre, line)
    way = line.dx, line.dy
    off = left_of(circle.centre, line)
    zero = off * off - circle.square * dot(way, way)
    return Statement(
        zeros=(zero,),
        not_negatives=(*beyond_ends(contact, line), *beyond_ends(contact, circle)),
        gap=lambda: _gap(
            world, zero, contact, (circle, line),
            [world.numbers.sqrt(square_distance(circle.centre, contact)) - radius(world.numbers, circle)],
        ),
    )  # fmt: skip


def _circles(world: World, one: Circle, other: Circle) -> Statement:
    numbers = world.numbers
    apart = square_distance(one.centre, other.centre)
    if sign(numbers, apart) == 0:
        return Statement(positives=(apart,), gap=lambda: _about_one_mark(world, one, other))
    rest = apart - one.square - other.square
    zero = rest * rest - one.square * other.square * 4
    # the foot of the common chord, where the chord has shrunk to the contact
    contact = along(one.centre, towards(one.centre, other.centre), (apart + one.square - other.square) / (apart * 2))
    return Statement(
        zeros=(zero,),
        positives=(apart,),
        not_negatives=(*beyond_ends(contact, one), *beyond_ends(contact, other)),
        gap=lambda: _gap(world, zero, contact, (one, other), _misses(world, one, other, apart)),
    )


def _misses(world: World, one: Circle, other: Circle, apart: Number) -> list[Number]:
    """Return the distance less the sum, and less the difference, of two radii."""
    numbers = world.numbers
    way, first, second = numbers.sqrt(apart), radius(numbers, one), radius(numbers, other)
    difference = first - second
    if sign(numbers, difference) < 0:
        difference = -difference
    return [way - first - second, way - difference]


def _about_one_mark(world: World, one: Circle, other: Circle) -> AnyGap:
    if sign(world.numbers, one.square - other.square) == 0:
        raise NoGap(say("no_gap.one_circle"))
    return Gap(_misses(world, one, other, world.numbers.rational(0))[1])


def _gap(
    world: World, zero: Number, contact: Point, things: tuple[Circle | Line, Circle | Line], misses: list[Number]
) -> AnyGap:
    """Return the miss that is smaller in size; where they would touch beyond an end, how far beyond."""
    numbers = world.numbers
    if sign(numbers, zero) == 0:
        ended = [gap_to_end(numbers, contact, thing) for thing in things if is_past_ends(numbers, contact, thing)]
        if len(ended) == 2 and sign(numbers, ended[1].value - ended[0].value) > 0:
            ended.reverse()
        return ended[0]
    best = misses[0]
    for miss in misses[1:]:
        if sign(numbers, best * best - miss * miss) > 0:
            best = miss
    return Gap(best)


PHRASES = (
    Phrase("<c line|circle> touches <k line|circle>", touches,
           note="gap: distance less radius, or less the sum or difference of the radii, the smaller",
           extra=(("sense", "middles"),)),
)  # fmt: skip
