"""The ruler: reads to its graduations, and sets off what it reads.

A ruler rounds, in the exact replay too: a reading is the nearest graduation,
and half a reading is set off between graduations by eye.  So "halfway, by
ruler" is exact only by luck.  One ruler does the whole job, so what its own marks
are off by is one error, the same wherever it is used: it makes no two lengths unequal.
"""

from __future__ import annotations

from collections.abc import Sequence

from construct.geometry import (
    Circle,
    Line,
    Point,
    along,
    distance,
    left_of,
    meet,
    square_distance,
    towards,
)
from construct.geometry import inside as is_inside
from construct.language.syntax import Phrase
from construct.number_systems import Number
from construct.tools import Bench, Limit, limit
from construct.tools._parallel import beside, on_other_side, on_that_side

NAME = "ruler"
NOTE = "a straight edge with graduations"
MARK = "mark by ruler"
PENCIL = "pencil beside the straightedge"
CLASS = "ruler within its class"
ERRORS = (MARK, CLASS, PENCIL)


def _set(bench: Bench, point: Point, part: object = "") -> Point:
    """Return where a mark really falls that the ruler sets off."""
    return bench.placed(point, MARK, part)


def _true(bench: Bench, width: Number) -> Number:
    """Return how long what stands between two marks of the ruler really is."""
    return width + bench.throughout(CLASS) if bench.number.has_errors else width


def _read(bench: Bench, full: Number) -> Number:
    """Return what the ruler reads where something is `full` long."""
    return bench.reading(full - bench.throughout(CLASS) if bench.number.has_errors else full)


def length(bench: Bench, a: Point, b: Point) -> Number:
    """Read the distance of two marks to the nearest graduation, in mm."""
    return _read(bench, distance(bench.number, a, b))


def halfway(bench: Bench, a: Point, b: Point) -> Point:
    """Read a length, halve the reading, set the half off from the first mark."""
    full = distance(bench.number, a, b)
    part = _true(bench, _read(bench, full) / 2) / full if bench.number.has_errors else bench.reading(full) / (full * 2)
    return _set(bench, along(a, towards(a, b), part))


def from_toward(bench: Bench, width: Number, a: Point, b: Point) -> Point:
    """Set a length off from one mark toward another."""
    part = _true(bench, width) / distance(bench.number, a, b)
    return _set(bench, along(a, towards(a, b), part))


def from_along(bench: Bench, width: Number, a: Point, line: Line, side: int) -> Point:
    """Set a length off from a mark along a line."""
    way = line.dx, line.dy
    part = _true(bench, width) * side / bench.sqrt(way[0] * way[0] + way[1] * way[1])
    return _set(bench, along(a, way, part))


def outside(bench: Bench, width: Number, circle: Circle, line: Line, side: int) -> Point:
    """Set a length off along a line, outward from where it meets a circle."""
    return _off_circle(bench, width, circle, line, side, 1)


def inside(bench: Bench, width: Number, circle: Circle, line: Line, side: int) -> Point:
    """Set a length off along a line, inward from where it meets a circle."""
    return _off_circle(bench, width, circle, line, side, -1)


def _off_circle(bench: Bench, width: Number, circle: Circle, line: Line, side: int, out: int) -> Point:
    way = line.dx, line.dy
    start = meet(bench.number, line, circle, side)
    part = _true(bench, width) * (side * out) / bench.sqrt(way[0] * way[0] + way[1] * way[1])
    return _set(bench, along(start, way, part))


def from_crossing(bench: Bench, width: Number, circle: Circle, line: Line, *, side: int) -> Point:
    """Return where the width is set off from."""
    return meet(bench.number, line, circle, side)


def along_fits(bench: Bench, made: Point, width: Number, a: Point, line: Line) -> Sequence[tuple[Number, Limit]]:
    """What is set off must be on the ruler, and the ruler lies along the line only from a mark on it."""
    off, beside_it = left_of(a, line), limit("set_off_beside")
    return [(off, beside_it), (-off, beside_it), *width_fits(bench, made, width)]


def inside_fits(bench: Bench, made: Point, width: Number, circle: Circle, line: Line) -> Sequence[tuple[Number, Limit]]:
    """What is set off inward must not come out on the circle's far side."""
    return [(is_inside(made, circle), limit("circle_width")), *width_fits(bench, made, width)]


def every(bench: Bench, width: Number, a: Point, b: Point, *, count: int) -> tuple[Point, ...]:
    """Set a length off again and again from one mark toward another, without moving the ruler."""
    full = distance(bench.number, a, b)
    way = towards(a, b)
    return tuple(_set(bench, along(a, way, _true(bench, width * n) / full), n) for n in range(1, count + 1))


def parallel(bench: Bench, line: Line, width: Number, of: Point, side: int) -> Line:
    """Set a width off square from a line at two places, on the side that is said, and join."""
    if not bench.number.has_errors:
        return beside(bench, line, width, side, MARK)
    made = beside(bench, line, _true(bench, width), side, MARK)
    dx, dy = bench.shift(PENCIL)
    return Line(made.x + dx, made.y + dy, made.dx, made.dy)


def long_enough(bench: Bench, made: object, a: Point, b: Point) -> Sequence[tuple[Number, Limit]]:
    """The ruler must span both marks."""
    reach = bench.rational(bench.settings.ruler_length)
    return [(reach * reach - square_distance(a, b), limit("ruler", reach=bench.settings.ruler_length))]


def width_fits(bench: Bench, made: object, width: Number, *_: object) -> Sequence[tuple[Number, Limit]]:
    """What is set off must be on the ruler."""
    reach = bench.rational(bench.settings.ruler_length)
    return [
        (width, limit("set_off")),
        (reach - width, limit("ruler", reach=bench.settings.ruler_length)),
    ]


def parallel_fits(bench: Bench, made: object, line: Line, width: Number, of: Point) -> Sequence[tuple[Number, Limit]]:
    """The width of a parallel must be on the ruler."""
    return width_fits(bench, made, width)


def _set_off(text: str, make: object, note: str, limits: object = width_fits, sides: int = 0, extra: tuple[tuple[str, object], ...] = ()) -> Phrase:
    return Phrase(text, make, "mark", sides=sides, note=note, extra=(("limits", limits), *extra))  # type: ignore[arg-type]


STARTS = (("starts", from_crossing),)
PHRASES = (
    Phrase("length from <A mark> to <B mark>, by ruler", length, "reading",
           note="a reading to use again, to the nearest graduation", extra=(("limits", long_enough),)),
    Phrase("mark halfway from <A mark> to <B mark>, by ruler", halfway, "mark",
           note="half of what the ruler reads, set off from the first mark", extra=(("limits", long_enough),)),
    _set_off("mark <w length> from <A mark> toward <B mark>, by ruler", from_toward, "set off toward a mark"),
    _set_off("mark <w length> from <A mark> along <k line><picks>, by ruler", from_along, "set off along a line, on the side that is said", along_fits, 1),
    _set_off("mark <w length> outside <c circle>, along <k line><picks>, by ruler", outside, "set off outward from a circle", width_fits, 1, STARTS),
    _set_off("mark <w length> inside <c circle>, along <k line><picks>, by ruler", inside, "set off inward from a circle", inside_fits, 1, STARTS),
    Phrase("marks every <w length> from <A mark> toward <B mark>, by ruler", every, "mark", many=0,
           note="running marks, the ruler not moved", extra=(("limits", width_fits),)),
    Phrase("line parallel to <s line>, <w length> away on the <O mark> side, by ruler", parallel, "line", sides=1,
           note="two widths set off square to the line, and joined",
           extra=(("through", False), ("fits", on_that_side), ("limits", parallel_fits))),
    Phrase("line parallel to <s line>, <w length> away, away from <O mark>, by ruler", parallel, "line", sides=1,
           note="the same, on the other side from the mark",
           extra=(("through", False), ("fits", on_other_side), ("limits", parallel_fits))),
)  # fmt: skip
