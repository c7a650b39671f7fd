"""`X is inside c`, `outside c`, `between A and B`, `on the D side of g`: all strictly so.

A mark on the circle is neither inside nor outside, a mark on the line on
neither side, and A itself not between A and B.  Between is on the line from A
to B.  An arc stands for its circle, a line for all of it, beyond its ends too.
"""

from __future__ import annotations

from construct.claims import Gap, Senseless, Statement, World, sign
from construct.claims._drawn import gap_to_drawn
from construct.geometry import (
    Circle,
    Line,
    Point,
    cross,
    dot,
    foot,
    inside,
    left_of,
    line_through,
    radius,
    square_distance,
    towards,
)
from construct.language.syntax import Phrase
from construct.number_systems import Number

NAME = "places"
NOTE = "a mark lies inside, outside, between, or on one side"


def is_inside(world: World, mark: Point, circle: Circle) -> Statement:
    """The mark is nearer the centre than the circle."""
    return Statement(positives=(inside(mark, circle),), gap=lambda: Gap(_beyond(world, mark, circle)))


def is_outside(world: World, mark: Point, circle: Circle) -> Statement:
    """The mark is farther from the centre than the circle."""
    return Statement(positives=(-inside(mark, circle),), gap=lambda: Gap(-_beyond(world, mark, circle)))


def _beyond(world: World, mark: Point, circle: Circle) -> Number:
    numbers = world.numbers
    return numbers.sqrt(square_distance(mark, circle.centre)) - radius(numbers, circle)


def is_between(world: World, mark: Point, a: Point, b: Point) -> Statement:
    """The mark is on the line from A to B, past A and not yet at B."""
    whole = towards(a, b)
    return Statement(
        zeros=(cross(whole, towards(a, mark)),),
        positives=(dot(whole, towards(a, mark)), dot(whole, towards(mark, b))),
        gap=lambda: _off_stretch(world, mark, a, b),
    )


def _off_stretch(world: World, mark: Point, a: Point, b: Point) -> Gap:
    if sign(world.numbers, square_distance(a, b)) == 0:
        return Gap(square_distance(mark, a), squared=True)
    dx, dy = towards(a, b)
    return gap_to_drawn(world.numbers, mark, Line(a.x, a.y, dx, dy, start=a, finish=b))


def on_side(world: World, mark: Point, side: Point, line: Line) -> Statement:
    """The mark and the other one lie on the same side of the line."""
    which = left_of(side, line)
    if sign(world.numbers, which) == 0:
        raise Senseless("on_the_line")
    return Statement(
        positives=(left_of(mark, line) * which,),
        gap=lambda: Gap(square_distance(mark, foot(mark, line)), squared=True),
    )


def on_side_of_two(world: World, mark: Point, side: Point, a: Point, b: Point) -> Statement:
    """The same, the line said by two of its marks."""
    if sign(world.numbers, square_distance(a, b)) == 0:
        raise Senseless("one_mark")
    return on_side(world, mark, side, line_through(a, b))


_SENSE = (("sense", "side"),)
PHRASES = (
    Phrase("<X mark> is inside <c circle>", is_inside, note="gap: how far on the wrong side"),
    Phrase("<X mark> is outside <c circle>", is_outside, note="gap: how far on the wrong side"),
    Phrase("<X mark> is between <A mark> and <B mark>", is_between, note="gap: distance from the stretch between them"),
    Phrase("<X mark> is on the <D mark> side of <g line>", on_side, note="gap: how far on the wrong side", extra=_SENSE),
    Phrase("<X mark> is on the <D mark> side of <A mark> <B mark>", on_side_of_two, note="gap: how far on the wrong side", extra=_SENSE),
)
