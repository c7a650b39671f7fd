"""The pencil: marks where drawn things cross or touch, and marks set down anywhere.

A crossing is where the lines cross, so it makes no error of its own; what is
put to it later (a needle, a straightedge) does.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from construct.geometry import (
    Board,
    Circle,
    Line,
    Oval,
    Point,
    along,
    beyond_ends,
    foot,
    inside,
    meet,
    radius,
    towards,
)
from construct.language.syntax import Phrase
from construct.number_systems import NotANumber, Number
from construct.phrasebook import say
from construct.tools import Bench, Limit, clockwise, limit

NAME = "pencil"
NOTE = "marks a crossing, a contact, or a place"
ERRORS = ()

Drawn = Line | Circle | Oval | Board


def crossing(bench: Bench, first: Drawn, second: Drawn, side: int) -> Point:
    """Mark one crossing of two drawn things."""
    return meet(bench.number, first, second, side)


def crossings(bench: Bench, first: Drawn, second: Drawn, sides: int = 0) -> tuple[Point, Point]:
    """Mark both crossings, in the order that the language fixes; `sides` says which two sides of a board."""
    if isinstance(first, Board) or isinstance(second, Board):
        return meet(bench.number, first, second, (sides - 1) // 4), meet(bench.number, first, second, (sides - 1) % 4)
    one, other = meet(bench.number, first, second, -1), meet(bench.number, first, second, 1)
    # two ends of one chord: a line through them needs no root
    return one, replace(other, chord=one.chord)


def contact(bench: Bench, first: Line | Circle, second: Line | Circle) -> Point:
    """Mark where two things touch that were made to touch: on the line of centres, without a root of its own."""
    if isinstance(first, Line):
        assert isinstance(second, Circle)
        return foot(second.centre, first)
    if isinstance(second, Line):
        return foot(first.centre, second)
    # where two circles touch, the power of either centre's way is split at the common chord
    way = towards(first.centre, second.centre)
    length = way[0] * way[0] + way[1] * way[1]
    return along(first.centre, way, (length + first.square - second.square) / (length * 2))


def before_ends(bench: Bench, made: Point, *things: Line | Circle) -> Sequence[tuple[Number, Limit]]:
    """A contact must not lie beyond where a line or an arc ends."""
    return [(number, limit("touch_both")) for thing in things for number in beyond_ends(made, thing)]


def on_what_is_drawn(bench: Bench, made: Point, drawn: Drawn, *_: object) -> Sequence[tuple[Number, Limit]]:
    """A place on a line or an arc lies before its ends."""
    return [(number, limit("place")) for number in beyond_ends(made, drawn)]


def row(bench: Bench, marks: tuple[Point, ...]) -> tuple[Point, ...]:
    """Give a name to marks in a row."""
    return marks


def on_drawn(bench: Bench, drawn: Drawn, from_line: Line | None = None) -> Point:
    """Set a mark down anywhere on a line, on a circle, or on the plate's edge.

    On a line the free number is the part of the line's own length; on a circle it is the angle
    seen from the middle, clockwise from the grain or from another line.
    """
    if isinstance(drawn, Line):
        return along(Point(drawn.x, drawn.y), (drawn.dx, drawn.dy), bench.free_length())
    way = (bench.rational(0), bench.rational(1)) if from_line is None else (from_line.dx, from_line.dy)
    way = clockwise(way, bench.free_direction())
    if isinstance(drawn, Oval):
        return meet(bench.number, Line(bench.rational(0), bench.rational(0), *way), drawn, 1)
    if isinstance(drawn, Board):
        raise NotANumber(say("no_number.which_side"))
    reach = radius(bench.number, drawn)
    if from_line is not None:
        reach = reach / bench.sqrt(way[0] * way[0] + way[1] * way[1])
    return along(drawn.centre, way, reach)


def outside_circle(bench: Bench, circle: Circle, _towards: object = None) -> Point:
    """Set a mark down anywhere outside a circle."""
    return bench.free_place()


def anywhere(bench: Bench, _towards: object = None) -> Point:
    """Set a mark down anywhere on the blank."""
    return bench.free_place()


def is_outside(bench: Bench, made: Point, circle: Circle, *_: object) -> Sequence[tuple[Number, Limit]]:
    """The place must lie outside."""
    return [(-inside(made, circle), limit("place_outside"))]


PHRASES = (
    Phrase("mark where <u line|circle|edge> meets <v line|circle|edge><picks>", crossing, "mark", sides=1,
           note="one crossing; say which where there are two", extra=(("meets", True),)),
    Phrase("marks where <u line|circle|edge> meets <v line|circle|edge>", crossings, "mark", many=2,
           note="both crossings: along the line, or left one first as seen from the first circle's centre",
           extra=(("meets", True),)),
    Phrase("mark where <c line|circle> touches <a line|circle>", contact, "mark",
           note="the contact of two things that were made to touch", extra=(("contact", True), ("limits", before_ends))),
    Phrase("marks <M marks>", row, "row", note="a name for marks in a row"),
    Phrase("mark anywhere on <g line|circle|edge><say>", on_drawn, "mark",
           note="a free choice on a line, a circle or the edge", extra=(("free", "on"), ("default", Fraction(1, 9)), ("limits", on_what_is_drawn))),
    Phrase("mark anywhere outside <c circle><say>", outside_circle, "mark", note="a free choice outside a circle",
           extra=(("free", "place"), ("limits", is_outside))),
    Phrase("mark anywhere<say>", anywhere, "mark", note="a free choice on the blank", extra=(("free", "place"),)),
)  # fmt: skip
