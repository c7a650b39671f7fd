"""Does a cut leave the wood?  Said only where a mark of the cut is shown to lie beyond the edge; exact.

On a round plate and on a board the answer is complete for lines and circles.
On an oval plate a circle is looked at by its ends, and by the circle round the
oval: what is said is true, but a leaving of a hair is passed over.  So it is
for a french curve, of which single marks are looked at.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from construct.chips import Piece
from construct.chips.arrangement import mark_on_curve
from construct.chips.boxes import arc_box, estimate
from construct.chips.predicates import way_in_arc, within
from construct.geometry import Board, Circle, Curve, Oval, Point, dot, on_blank, towards
from construct.number_systems import Number

Place = tuple[float, float]
Way = tuple[Number, Number]

CURVE_MARKS = 32
ROOM = 0.999
"""So much of the way from the middle to the edge a float may say "on the wood": it errs by far less than the rest."""


def leaves(exact: Any, edge: Circle | Oval | Board | None, piece: Piece) -> Place | None:
    """Return about where a cut lies beyond the edge of the wood (the place is an *estimate*); None where it does not, and on paper."""
    if edge is None or _well_within(exact, edge, piece):
        return None
    for mark in _marks(exact, piece):
        if any(exact.sign(number) < 0 for number in on_blank(mark, edge)):
            return estimate(exact, mark)
    if isinstance(piece.geometry, Circle):
        for way in _beyond(exact, edge, piece.geometry):
            if _is_cut(exact, piece, piece.geometry, way):
                return _farthest(exact, piece.geometry, way)
    return None


def _well_within(exact: Any, edge: Circle | Oval | Board, piece: Piece) -> bool:
    """Tell whether a box round a cut lies on the wood with room to spare: certainly so, where True; saves the exact tests."""
    if isinstance(piece.geometry, Curve):
        marks = [estimate(exact, control) for control in piece.geometry.controls]  # a curve lies among its controls
    elif isinstance(piece.geometry, Circle):
        ends = [None if end is None else estimate(exact, end) for end in (piece.start, piece.finish)]
        left, bottom, right, top = arc_box(exact, piece.geometry, *ends)
        marks = [(left, bottom), (left, top), (right, bottom), (right, top)]
    else:
        marks = [estimate(exact, end) for end in (piece.start, piece.finish) if end is not None]
    across, along = (edge.square, edge.square) if isinstance(edge, Circle) else (edge.across * edge.across, edge.along * edge.along)
    width, height = (math.sqrt(exact.to_float(square)) for square in (across, along))
    x, y = estimate(exact, edge.centre) if isinstance(edge, Circle) else (0.0, 0.0)
    if isinstance(edge, Board):
        return all(abs(u) < width * ROOM and abs(v) < height * ROOM for u, v in marks)
    return all(math.hypot((u - x) / width, (v - y) / height) < ROOM for u, v in marks)


def _marks(exact: Any, piece: Piece) -> Iterator[Point]:
    for end in (piece.start, piece.finish):
        if end is not None:
            yield end
    if isinstance(piece.geometry, Curve):
        for part in range(1, CURVE_MARKS):
            yield mark_on_curve(exact, piece.geometry, part, CURVE_MARKS)


def _beyond(exact: Any, edge: Circle | Oval | Board, circle: Circle) -> Iterator[Way]:
    """Yield the ways from a circle's centre in which its farthest mark lies beyond the edge; no root is adjoined."""
    zero, one = exact.rational(0), exact.rational(1)
    if isinstance(edge, Board):
        for way, reach in (((one, zero), edge.across), ((zero, one), edge.along)):
            for sense in (1, -1):
                room = reach - dot((circle.centre.x, circle.centre.y), way) * sense
                if exact.sign(room) < 0 or exact.sign(room * room - circle.square) < 0:
                    yield way[0] * sense, way[1] * sense
        return
    if isinstance(edge, Oval):
        longer = edge.along if exact.sign(edge.along - edge.across) > 0 else edge.across
        edge = Circle(Point(zero, zero), longer * longer)
    if not within(exact, circle, edge):
        yield towards(edge.centre, circle.centre)


def _is_cut(exact: Any, piece: Piece, circle: Circle, way: Way) -> bool:
    if piece.start is None or piece.finish is None or exact.sign(dot(way, way)) == 0:
        return True
    return way_in_arc(exact, circle, piece.start, piece.finish, way)


def _farthest(exact: Any, circle: Circle, way: Way) -> Place:
    x, y = estimate(exact, circle.centre)
    dx, dy = exact.to_float(way[0]), exact.to_float(way[1])
    reach, length = math.sqrt(exact.to_float(circle.square)), math.hypot(dx, dy)
    return (x + reach * dx / length, y + reach * dy / length) if length else (x + reach, y)
