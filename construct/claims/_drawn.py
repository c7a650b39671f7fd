"""How far a mark is from a line or a circle as drawn, its ends included.

Only the size of a failure is worked out here; whether a claim holds is decided
without it.
"""

from __future__ import annotations

from typing import Any

from construct.claims import Gap, Senseless, sign, size
from construct.geometry import (
    Circle,
    Line,
    Point,
    along,
    beyond_ends,
    cross,
    foot,
    radius,
    square_distance,
    towards,
)
from construct.number_systems import Number


def is_past_ends(numbers: Any, point: Point, thing: Line | Circle) -> bool:
    """Tell whether a mark on the line or circle of `thing` lies beyond where that ends."""
    return any(sign(numbers, number) < 0 for number in beyond_ends(point, thing))


def gap_to_drawn(numbers: Any, point: Point, thing: Line | Circle) -> Gap:
    """Return the distance from a mark to the nearest place of what is drawn, in mm."""
    if isinstance(thing, Line):
        nearest = foot(point, thing)
        if is_past_ends(numbers, nearest, thing):
            return gap_to_end(numbers, point, thing)
        return Gap(square_distance(point, nearest), squared=True)
    reach = radius(numbers, thing)
    off = square_distance(point, thing.centre)
    if thing.turn and sign(numbers, off) != 0:
        # the place on the circle in the direction of the mark
        way = towards(thing.centre, point)
        nearest = along(thing.centre, way, reach / numbers.sqrt(off))
        if is_past_ends(numbers, nearest, thing):
            return gap_to_end(numbers, point, thing)
    return Gap(size(numbers, numbers.sqrt(off) - reach))


def gap_to_end(numbers: Any, point: Point, thing: Line | Circle) -> Gap:
    """Return the distance from a mark to the nearer end of a line or arc, in mm."""
    squares = [square_distance(point, end) for end in (thing.start, thing.finish) if end is not None]
    if len(squares) == 2 and sign(numbers, squares[1] - squares[0]) < 0:
        squares.reverse()
    return Gap(squares[0], squared=True)


def refuse_half_turn(numbers: Any, thing: Line | Circle) -> None:
    """Raise `Senseless` for an arc of half a turn: its short way and its long way are equally long."""
    if isinstance(thing, Circle) and thing.turn and thing.start is not None and thing.finish is not None:
        chord: tuple[Number, Number] = towards(thing.start, thing.finish)
        if sign(numbers, cross(chord, towards(thing.start, thing.centre))) == 0:
            raise Senseless("half_circle")
