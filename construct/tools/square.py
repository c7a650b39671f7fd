"""The square: a right angle to lay against a line.

Its errors: it is laid a little off the mark, it is a little out of square, and
the pencil runs beside it.
"""

from __future__ import annotations

from fractions import Fraction

from construct.geometry import Line, Point, parallel, square_to
from construct.language.syntax import Phrase
from construct.tools import Bench, clockwise

NAME = "square"
NOTE = "a right angle of wood or steel"
AT_MARK = "straightedge at a mark"
ANGLE = "square laid to a line"
PENCIL = "pencil beside the straightedge"
ERRORS = (AT_MARK, ANGLE, PENCIL)


def _laid(bench: Bench, line: Line) -> Line:
    """Return the line as the hand draws it: shifted at its mark and turned a little."""
    if not bench.number.has_errors:
        return line
    dx, dy = bench.shift(AT_MARK)
    px, py = bench.shift(PENCIL)
    turn = bench.error(ANGLE)
    return Line(line.x + dx + px, line.y + dy + py, line.dx - line.dy * turn, line.dy + line.dx * turn)


def square_at(bench: Bench, line: Line, point: Point) -> Line:
    """Square to a line at a mark on it: the line turned a quarter to the left."""
    return _laid(bench, square_to(line, point))


def square_through(bench: Bench, line: Line, point: Point) -> Line:
    """Square to a line through a mark beside it."""
    return _laid(bench, square_to(line, point))


def parallel_through(bench: Bench, line: Line, point: Point) -> Line:
    """Parallel to a line through a mark: the square slid along a straightedge."""
    return _laid(bench, parallel(line, point))


def legs(bench: Bench, corner: Point, from_line: Line | None = None) -> tuple[Line, Line]:
    """The square's two legs, its corner at a mark, turned anyhow: the second a quarter left of the first."""
    way = (bench.rational(0), bench.rational(1)) if from_line is None else (from_line.dx, from_line.dy)
    dx, dy = clockwise(way, bench.free_direction())
    first = Line(corner.x, corner.y, dx, dy)
    if not bench.number.has_errors:
        return first, square_to(first, corner)
    # both legs belong to one square: laid once, out of square once; the pencil runs along each
    ex, ey = bench.shift(AT_MARK)
    turn = bench.error(ANGLE)
    (ax, ay), (bx, by) = bench.shift(PENCIL, 1), bench.shift(PENCIL, 2)
    x, y = corner.x + ex, corner.y + ey
    second = square_to(first, corner)
    return (
        Line(x + ax, y + ay, dx, dy),
        Line(x + bx, y + by, second.dx - second.dy * turn, second.dy + second.dx * turn),
    )


PHRASES = (
    Phrase("line square to <g line> at <M mark>, by square", square_at, "line", note="at a mark on the line", extra=(("on", True),)),
    Phrase("line square to <g line>, through <P mark>, by square", square_through, "line", note="through a mark beside the line"),
    Phrase("line parallel to <k line>, through <P mark>, by square", parallel_through, "line", note="slid along a straightedge"),
    Phrase(
        "legs of a square cornered at <V mark>, anyhow<say>",
        legs,
        "line",
        many=2,
        note="turned as the hand likes; the second leg a quarter to the left",
        extra=(("free", "direction"), ("default", Fraction(1, 8))),
    ),
)
