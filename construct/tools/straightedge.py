"""The straightedge: a line through two marks, from one to the other, or laid against a circle.

Its errors: it is put to each mark a little off, and the pencil runs beside it.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from construct.geometry import (
    Circle,
    Line,
    Point,
    beyond_ends,
    line_through,
    square_distance,
    towards,
)
from construct.language.syntax import Phrase
from construct.number_systems import NotANumber, Number
from construct.phrasebook import say
from construct.tools import Bench, Limit, clockwise, limit

NAME = "straightedge"
NOTE = "a straight strip of wood or steel, no graduations used"
AT_MARK = "straightedge at a mark"
PENCIL = "pencil beside the straightedge"
ERRORS = (AT_MARK, PENCIL)


def _ruled(bench: Bench, a: Point, b: Point) -> tuple[Point, Point]:
    """Return where the pencil really passes two marks."""
    if not bench.number.has_errors:
        return a, b
    dx, dy = bench.shift(PENCIL)
    ends = (bench.placed(a, AT_MARK, 1), bench.placed(b, AT_MARK, 2))
    return Point(ends[0].x + dx, ends[0].y + dy), Point(ends[1].x + dx, ends[1].y + dy)


def through(bench: Bench, a: Point, b: Point) -> Line:
    """The edge is laid to both marks and the line drawn from edge to edge of the blank."""
    return line_through(*_ruled(bench, a, b))


def between(bench: Bench, a: Point, b: Point) -> Line:
    """The line ends at both marks."""
    a, b = _ruled(bench, a, b)
    dx, dy = towards(a, b)
    return Line(a.x, a.y, dx, dy, start=a, finish=b)


def touching(bench: Bench, point: Point, circle: Circle, side: int) -> Line:
    """The edge is laid to a mark and against a circle; from the mark, the contact lies `side` of the centre.

    With d the distance to the centre and t the length to the contact (Euclid III.17):
    t² = d² − r², and the contact is the centre's way turned by the angle whose cosine is t/d.
    """
    point = bench.placed(point, AT_MARK, 1)
    way = towards(point, circle.centre)
    square = square_distance(point, circle.centre)
    try:
        tangent = bench.sqrt((square - circle.square) * circle.square)
    except NotANumber as none:
        raise NotANumber(say("no_number.mark_inside"), none.distance) from none
    along: Number = square - circle.square
    x = (way[0] * along - way[1] * tangent * side) / square
    y = (way[1] * along + way[0] * tangent * side) / square
    if bench.number.has_errors:
        ex, ey = bench.shift(AT_MARK, 2)
        px, py = bench.shift(PENCIL)
        return Line(point.x + px, point.y + py, x + ex, y + ey)
    return Line(point.x, point.y, x, y)


def contact(bench: Bench, made: Line, *_: object) -> Point:
    """Return the mark by which a touching line is picked: where it touches."""
    return Point(made.x + made.dx, made.y + made.dy)


def touches_what_is_drawn(bench: Bench, made: Line, point: Point, circle: Circle) -> Sequence[tuple[Number, Limit]]:
    """The contact must not lie beyond where an arc ends."""
    return [(number, limit("touch_arc")) for number in beyond_ends(contact(bench, made), circle)]


def anyhow(bench: Bench, point: Point, from_line: Line | None = None) -> Line:
    """The edge is laid through one mark at whatever angle the hand likes."""
    way = (bench.rational(0), bench.rational(1)) if from_line is None else (from_line.dx, from_line.dy)
    dx, dy = clockwise(way, bench.free_direction())
    point = bench.placed(point, AT_MARK, 1)
    if bench.number.has_errors:
        px, py = bench.shift(PENCIL)
        point = Point(point.x + px, point.y + py)
    return Line(point.x, point.y, dx, dy)


PHRASES = (
    Phrase("line through <P mark> and <Q mark>", through, "line", note="runs to the edge both ways"),
    Phrase("line from <P mark> to <Q mark>", between, "line", note="ends at both marks"),
    Phrase(
        "line through <P mark>, touching <c circle><picks>",
        touching,
        "line",
        sides=1,
        note="laid against a circle, on the side that is said",
        extra=(("touches", True), ("shows", contact), ("limits", touches_what_is_drawn)),
    ),
    Phrase(
        "line anyhow through <A mark><say>",
        anyhow,
        "line",
        note="at any angle the hand likes",
        extra=(("free", "direction"), ("default", Fraction(1, 12))),
    ),
)
