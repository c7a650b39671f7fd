"""A parallel at a width, as ruler and eye both draw it: two widths set off square to the line, and joined."""

from __future__ import annotations

from collections.abc import Sequence

from construct.geometry import Line, Point, left_of
from construct.number_systems import Number
from construct.tools import Bench, Limit, limit

APART = 100
"""How far apart the two widths are set off, in mm: judgement."""


def beside(bench: Bench, line: Line, width: Number, side: int, error: str) -> Line:
    """Return the parallel at `width` on `side` (+1 left); `error` names what each width misses by."""
    length = bench.sqrt(line.dx * line.dx + line.dy * line.dy)
    part = width * side / length
    x, y = line.x - line.dy * part, line.y + line.dx * part
    if not bench.number.has_errors:
        return Line(x, y, line.dx, line.dy)
    (ax, ay), (bx, by) = bench.shift(error, 1), bench.shift(error, 2)
    spread = bench.rational(APART) / length
    return Line(x + (ax + bx) / 2, y + (ay + by) / 2, line.dx * spread + bx - ax, line.dy * spread + by - ay)


def some_width(bench: Bench, made: Line, line: Line, width: Number, of: Point) -> Sequence[tuple[Number, Limit]]:
    """A width less than nothing would lie on the other side."""
    return [(width, limit("width"))]


def on_that_side(bench: Bench, made: Line, line: Line, width: Number, of: Point, *, side: int) -> Sequence[Number]:
    """The side of the mark that is named."""
    return [left_of(of, line) * side]


def on_other_side(bench: Bench, made: Line, line: Line, width: Number, of: Point, *, side: int) -> Sequence[Number]:
    """The side away from the mark that is named."""
    return [-left_of(of, line) * side]
