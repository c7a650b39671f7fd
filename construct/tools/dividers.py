"""Dividers: equal steps round a circle or along a line, and a length divided by trial.

The setting's error is common to all steps; each step's placing has its own.
"""

from __future__ import annotations

from collections.abc import Sequence

from construct.geometry import (
    Circle,
    Line,
    Opening,
    Point,
    ahead,
    along,
    beyond_ends,
    inside,
    left_of,
    meet,
    radius,
    towards,
)
from construct.language.syntax import Phrase
from construct.number_systems import Number
from construct.tools import Bench, Limit, limit

NAME = "dividers"
NOTE = "two points at a set opening, walked from mark to mark"
STEP = "divider step"
ERRORS = (STEP,)


def round_left(bench: Bench, start: Point, rim: Circle, setting: Opening | Circle, *, count: int) -> tuple[Point, ...]:
    """Walk round a circle, to the left as one faces its centre; the start is not counted."""
    return _round(bench, start, rim, setting, count, -1)


def round_right(bench: Bench, start: Point, rim: Circle, setting: Opening | Circle, *, count: int) -> tuple[Point, ...]:
    """Walk round a circle, to the right as one faces its centre."""
    return _round(bench, start, rim, setting, count, 1)


def _round(bench: Bench, start: Point, rim: Circle, setting: Opening | Circle, count: int, side: int) -> tuple[Point, ...]:
    marks = []
    at = start
    for n in range(count):
        step = Circle(at, setting.square, setting.radius)
        at = bench.placed(meet(bench.number, step, rim, side), STEP, n)
        marks.append(at)
    return tuple(marks)


def starts_on_the_circle(bench: Bench, made: tuple[Point, ...], start: Point, rim: Circle, setting: object) -> Sequence[tuple[Number, Limit]]:
    """The walk begins on the circle and never leaves what is drawn of it."""
    off, beside_it = inside(start, rim), limit("step_circle")
    ended = [(number, limit("arc_end")) for mark in (start, *made) for number in beyond_ends(mark, rim)]
    return [(off, beside_it), (-off, beside_it), *ended]


def along_line(
    bench: Bench, start: Point, line: Line, toward: Point, setting: Opening | Circle, side: int, *, count: int
) -> tuple[Point, ...]:
    """Walk along a line, toward a mark."""
    way = line.dx, line.dy
    part = radius(bench.number, setting) * side / bench.sqrt(way[0] * way[0] + way[1] * way[1])
    marks = []
    at = start
    for n in range(count):
        at = bench.placed(along(at, way, part), STEP, n)
        marks.append(at)
    return tuple(marks)


def toward_that_mark(
    bench: Bench, made: object, start: Point, line: Line, toward: Point, setting: object, *, side: int, count: int
) -> Sequence[Number]:
    """The way along the line that leads toward the mark."""
    return [ahead(toward, line, start) * side]


def starts_on_the_line(
    bench: Bench, made: tuple[Point, ...], start: Point, line: Line, toward: Point, setting: object
) -> Sequence[tuple[Number, Limit]]:
    """The walk begins on the line and never leaves what is drawn of it."""
    off, beside_it = left_of(start, line), limit("step_line")
    ended = [(number, limit("line_end")) for mark in (start, *made) for number in beyond_ends(mark, line)]
    return [(off, beside_it), (-off, beside_it), *ended]


def dividing(bench: Bench, a: Point, b: Point, *, count: int) -> tuple[Point, ...]:
    """Divide a length into equal parts by trial: as many marks between as there are names."""
    way = towards(a, b)
    return tuple(bench.placed(along(a, way, bench.rational(n) / (count + 1)), STEP, n) for n in range(1, count + 1))


PHRASES = (
    Phrase("marks stepped from <A mark> round <rim circle>, <setting>", round_left, "mark", many=0,
           note="to the left as one faces the centre; the start is not counted", extra=(("limits", starts_on_the_circle),)),
    Phrase("marks stepped from <A mark> round <rim circle>, <setting>, to the right", round_right, "mark", many=0,
           note="to the right as one faces the centre", extra=(("limits", starts_on_the_circle),)),
    Phrase("marks stepped from <A mark> along <t line>, toward <H mark>, <setting>", along_line, "mark", many=0, sides=1,
           note="along a line; the start is not counted", extra=(("fits", toward_that_mark), ("limits", starts_on_the_line))),
    Phrase("marks dividing <A mark> <B mark>, by dividers", dividing, "mark", many=0,
           note="trial and error; as many marks as names, evenly",
           extra=(("aims", "aims.dividers"),)),
)  # fmt: skip
