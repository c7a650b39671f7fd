"""What a claim asks the bench to measure: by its phrase, numbers that are all zero where claim and hand are right.

One formula over any number system each, as for the tools; nothing is compared.  A direction is
taken as mm off in 100 mm along, which is what a square or a straightedge shows.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from construct.claims import holds_pi, ratio_value
from construct.geometry import Circle, Line, Point, cross, distance, dot, foot, line_through, meet, radius, square_distance, towards
from construct.language.syntax import Ratio
from construct.number_systems import Number, NumberSystem
from construct.number_systems.first_order import Dual

ARM_MM = 100
"""How far along a line its direction is judged, in mm."""


@dataclass(frozen=True, slots=True)
class Offs:
    """What is measured at one place.

    how: the end of a phrasebook key.  offs: numbers, each zero where all is right, in mm.
    read: how many lengths of the ruler go into each of them.
    square: the square of what the ruler should read, None where nothing is read.  count: how many lengths are compared.
    along: True where the numbers are mm in 100 mm.
    """

    how: str
    offs: Callable[[], tuple[Number, ...]]
    read: int = 0
    square: Number | None = None
    count: int = 0
    along: bool = False


Measure = Callable[..., Offs | None]
"""(numbers, edge, *things) -> what to measure, None where there is nothing that a bench can measure."""


def measure(numbers: NumberSystem, edge: Any, phrase: str, things: Sequence[Any]) -> Offs | None:
    """Return what a claim's phrase asks to be measured; None for a claim that is looked at and not measured."""
    make = MEASURES.get(phrase)
    return None if make is None else make(numbers, edge, *things)


# --- lengths --------------------------------------------------------------------------------------


def _equal(numbers: NumberSystem, edge: Any, a: Point, b: Point, d: Point, e: Point) -> Offs:
    return Offs("equal", lambda: (distance(numbers, a, b) - distance(numbers, d, e),), 2, square_distance(d, e), 2)


def _part(numbers: NumberSystem, edge: Any, a: Point, b: Point, ratio: Ratio, d: Point, e: Point) -> Offs | None:
    if holds_pi(ratio):
        return None
    part = ratio_value(numbers, ratio)
    return Offs("part", lambda: (distance(numbers, a, b) - distance(numbers, d, e) * part,), 2, square_distance(a, b), 2)


def _is(numbers: NumberSystem, edge: Any, a: Point, b: Point, length: Number) -> Offs:
    return Offs("length", lambda: (distance(numbers, a, b) - length,), 1, length * length, 1)


def _together(numbers: NumberSystem, edge: Any, a: Point, b: Point, d: Point, e: Point, f: Point, g: Point) -> Offs:
    def offs() -> tuple[Number, ...]:
        return (distance(numbers, a, b) + distance(numbers, d, e) - distance(numbers, f, g),)

    return Offs("together", offs, 3, square_distance(f, g), 3)


def _halfway(numbers: NumberSystem, edge: Any, m: Point, a: Point, b: Point) -> Offs:
    return Offs("halfway", lambda: (distance(numbers, a, m) - distance(numbers, m, b),), 2, square_distance(a, m), 2)


def _angle(numbers: NumberSystem, edge: Any, a: Point, o: Point, b: Point, *_: Any) -> Offs:
    """An angle is measured by its chord, as on a drawn circle: the one length that moves with it."""
    return Offs("chord", lambda: (_moved(distance(numbers, a, b)),), 1, square_distance(a, b), 1)


def _two_angles(numbers: NumberSystem, edge: Any, a: Point, o: Point, b: Point, d: Point, p: Point, e: Point) -> Offs:
    return Offs("chords", lambda: (_moved(distance(numbers, a, b)), _moved(distance(numbers, d, e))), 1, square_distance(a, b), 2)


def still(number: Number) -> Number:
    """Return a number without its errors, where it carries their gradients: what it is as drawn."""
    return Dual(number.value) if isinstance(number, Dual) else number


def _moved(number: Number) -> Number:
    return number - still(number)


# --- spacing --------------------------------------------------------------------------------------


def _round(numbers: NumberSystem, edge: Any, marks: Sequence[Point], *_: Any) -> Offs:
    closed = [*marks, marks[0]] if len(marks) > 2 else list(marks)
    return _spaces(numbers, "spaces_round", closed)


def _along(numbers: NumberSystem, edge: Any, marks: Sequence[Point], *_: Any) -> Offs:
    return _spaces(numbers, "spaces", marks)


def _spaces(numbers: NumberSystem, how: str, marks: Sequence[Point]) -> Offs:
    return Offs(how, lambda: _differences(numbers, marks), 2, square_distance(marks[0], marks[1]), len(marks) - 1)


def _differences(numbers: NumberSystem, marks: Sequence[Point]) -> tuple[Number, ...]:
    """Return how much each distance from mark to mark is more than the next, the last more than the first."""
    spaces = [distance(numbers, a, b) for a, b in pairwise(marks)]
    return tuple(one - other for one, other in pairwise((*spaces, spaces[0]))) if len(spaces) > 1 else ()


def _square(numbers: NumberSystem, edge: Any, marks: Sequence[Point]) -> Offs:
    a, b, c, d = marks

    def offs() -> tuple[Number, ...]:
        return *_differences(numbers, (a, b, c, d, a)), distance(numbers, a, c) - distance(numbers, b, d)

    return Offs("sides_diagonals", offs, 2, square_distance(a, b), 4)


def _regular(numbers: NumberSystem, edge: Any, marks: Sequence[Point]) -> Offs:
    """A figure with equal sides may still be pressed flat: the lengths over one corner tell."""

    def offs() -> tuple[Number, ...]:
        over = [distance(numbers, one, other) for one, other in zip(marks, [*marks[2:], *marks[:2]], strict=True)]
        return *_differences(numbers, [*marks, marks[0]]), *(one - other for one, other in pairwise(over))

    return Offs("sides", offs, 2, square_distance(marks[0], marks[1]), len(marks))


def _quarters(numbers: NumberSystem, edge: Any, g: Line, k: Line, rim: Circle) -> Offs:
    ends = [meet(numbers, line, rim, side) for side in (-1, 1) for line in (g, k)]
    return Offs("quarters", lambda: _differences(numbers, [*ends, ends[0]]), 2, square_distance(ends[0], ends[1]), 4)


# --- places ---------------------------------------------------------------------------------------


def _centre(numbers: NumberSystem, edge: Any, o: Point, *_: Any) -> Offs:
    """From a mark to the edge both ways, along the grain and across it: twice what the mark is off."""
    return Offs("centre", lambda: (o.x * 2, o.y * 2), 2, None, 4)


def _centre_of(numbers: NumberSystem, edge: Any, o: Point, rim: Circle) -> Offs:
    x, y = towards(rim.centre, o)
    return Offs("centre_of", lambda: (x * 2, y * 2), 2, rim.square, 4)


def _on(numbers: NumberSystem, edge: Any, x: Point, k: Any) -> Offs | None:
    if isinstance(k, Line):
        return Offs("on", lambda: (_beside(numbers, x, k),))
    if isinstance(k, Circle):
        return Offs("on", lambda: (distance(numbers, x, k.centre) - radius(numbers, k),))
    return None


def _in_line(numbers: NumberSystem, edge: Any, marks: Sequence[Point]) -> Offs:
    return Offs("in_line", lambda: tuple(_beside(numbers, mark, line_through(marks[0], marks[-1])) for mark in marks[1:-1]))


def _same(numbers: NumberSystem, edge: Any, x: Any, y: Any) -> Offs | None:
    if isinstance(x, Point) and isinstance(y, Point):
        return Offs("same", lambda: towards(x, y))
    return None


def _meet(numbers: NumberSystem, edge: Any, lines: Sequence[Line]) -> Offs:
    return Offs("meet", lambda: tuple(_beside(numbers, meet(numbers, lines[0], lines[1], 1), line) for line in lines[2:]))


def _touches(numbers: NumberSystem, edge: Any, c: Any, k: Any) -> Offs | None:
    if isinstance(k, Circle) and isinstance(c, Line):
        c, k = k, c
    if isinstance(k, Line) and isinstance(c, Circle):
        return Offs("touches", lambda: (distance(numbers, c.centre, foot(c.centre, k)) - radius(numbers, c),))
    if isinstance(k, Circle) and isinstance(c, Circle):
        return Offs("touches", lambda: (_contact(numbers, c, k),))
    return None


def _contact(numbers: NumberSystem, c: Circle, k: Circle) -> Number:
    """Return how far two circles are from touching, by the contact that they are nearer to as drawn."""
    apart, one, other = distance(numbers, c.centre, k.centre), radius(numbers, c), radius(numbers, k)
    ways = (apart - one - other, apart - one + other, apart + one - other)
    return min(ways, key=lambda off: abs(float(numbers.to_float(off))))


def _beside(numbers: NumberSystem, mark: Point, line: Line) -> Number:
    """Return how far a mark lies to the left of a line, in mm."""
    way = line.dx, line.dy
    off = way[0] * (mark.y - line.y) - way[1] * (mark.x - line.x)
    return off / numbers.sqrt(dot(way, way))


# --- directions -----------------------------------------------------------------------------------


def _square_to(numbers: NumberSystem, edge: Any, k: Line, g: Line) -> Offs:
    return Offs("square", lambda: (dot(_unit(numbers, k), _unit(numbers, g)) * ARM_MM,), along=True)


def _parallel(numbers: NumberSystem, edge: Any, k: Line, g: Line) -> Offs:
    return Offs("parallel", lambda: (cross(_unit(numbers, k), _unit(numbers, g)) * ARM_MM,), along=True)


def _between(numbers: NumberSystem, edge: Any, g: Line, k: Line, *_: Any) -> Offs:
    """The angle's change, as an arc at 100 mm: d(sin)·cos − d(cos)·sin for the unit directions."""

    def offs() -> tuple[Number, ...]:
        sine, cosine = cross(_unit(numbers, g), _unit(numbers, k)), dot(_unit(numbers, g), _unit(numbers, k))
        return ((sine * still(cosine) - cosine * still(sine)) * ARM_MM,)

    return Offs("angle", offs, along=True)


def _unit(numbers: NumberSystem, line: Line) -> tuple[Number, Number]:
    length = numbers.sqrt(line.dx * line.dx + line.dy * line.dy)
    return line.dx / length, line.dy / length


MEASURES: dict[str, Measure] = {
    "<A mark> <B mark> equals <D mark> <E mark>": _equal,
    "<A mark> <B mark> is <r ratio> of <D mark> <E mark>": _part,
    "<A mark> <B mark> is <w measure>": _is,
    "<A mark> <B mark> and <D mark> <E mark> together equal <F mark> <G mark>": _together,
    "<M mark> is halfway between <A mark> and <B mark>": _halfway,
    "angle <A mark> <O mark> <B mark> is <a angle>": _angle,
    "angle <A mark> <O mark> <B mark> equals angle <D mark> <P mark> <E mark>": _two_angles,
    "<M marks> are evenly spaced round <rim circle>": _round,
    "<M marks> are evenly spaced along <g line>": _along,
    "<M marks> make a regular figure": _regular,
    "<M marks> make a square": _square,
    "<g line> and <k line> quarter <rim circle>": _quarters,
    "<O mark> is the centre of the plate": _centre,
    "<O mark> is the centre of <rim circle>": _centre_of,
    "<X mark> is on <k line|circle|edge>": _on,
    "<M marks> are in line": _in_line,
    "<X mark|line|circle> is <Y mark|line|circle>": _same,
    "<M lines> meet in one mark": _meet,
    "<c line|circle> touches <k line|circle>": _touches,
    "<k line> is square to <g line>": _square_to,
    "<k line> is parallel to <g line>": _parallel,
    "angle between <g line> and <k line> is <a angle>": _between,
}
"""What to measure, by the claim's phrase."""

LOOKED_AT = (
    "<M chips> are alike",
    "<M chips> are alike in area",
    "<M chip> is <r ratio> of <N chip> in area",
    "<M chips> together equal <N chips> in area",
    "angle <A mark> <O mark> <B mark> is <r ratio> of angle <D mark> <P mark> <E mark>",
    "angle <A mark> <O mark> <B mark> is over <a angle>",
    "angle <A mark> <O mark> <B mark> is under <a angle>",
    "<A mark> <B mark> is longer than <D mark> <E mark>",
    "<A mark> <B mark> is shorter than <D mark> <E mark>",
    "<M marks> are on one circle",
    "<A mark> <B mark> times <D mark> <E mark> equals <F mark> <G mark> times <H mark> <I mark>",
    "<X mark> is inside <c circle>",
    "<X mark> is outside <c circle>",
    "<X mark> is between <A mark> and <B mark>",
    "<X mark> is on the <D mark> side of <g line>",
    "<X mark> is on the <D mark> side of <A mark> <B mark>",
)
"""Claims that an eye sees at once, or that no ruler measures: they have no figure."""
