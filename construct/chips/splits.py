"""How a chip that is too large can be divided by lines the bench can draw, and what the parts measure.

A line is offered only where it lies in the chip, which is decided exactly: the
chip's own edges and the line must make just the parts that are meant.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations
from typing import Any

from construct.chips import Chip, ChipEdge, Outline, Piece
from construct.chips.arrangement import Face, arrange
from construct.chips.measures import Corner
from construct.chips.predicates import counterclockwise, in_walks, on_walks
from construct.chips.widest import Widest, widest
from construct.geometry import Circle, Line, Point, towards
from construct.number_systems import LimitMet

DRAWN = -1
"""Stands for the thing of an edge along a dividing line, which is not drawn yet."""

MOST_CORNERS = 6
"""Chips with more corners have too many chords to try."""


@dataclass(frozen=True, slots=True)
class Division:
    """A way to divide a chip.

    kind: "chord" for a straight line from corner to corner, "spokes" for straight lines from the widest place to each corner.
    corners: the corners that the lines go to.
    parts: the walks of each part.  widths: the largest circle of each part, in the same order.
    """

    kind: str
    corners: tuple[Point, ...]
    parts: tuple[tuple[Outline, ...], ...]
    widths: tuple[Widest, ...]

    @property
    def widest(self) -> Widest:
        """The widest of the parts; floats only choose between them."""
        return max(self.widths, key=lambda one: one.middle)


def divisions(exact: Any, chip: Chip, corners: Sequence[Corner], middle: Widest) -> tuple[Division, ...]:
    """Return the ways to divide a chip without holes, the one with the narrowest parts first; none where no line fits.

    Cost: two widest places for each pair of corners.
    """
    if chip.holes or not 2 <= len(corners) <= MOST_CORNERS:
        return ()
    found = []
    try:
        found = list(_chords(exact, chip, corners))
        if len(corners) >= 3:
            found += _spokes(exact, chip, corners, middle)
    except LimitMet:
        return tuple(found)
    return tuple(sorted(found, key=lambda one: round(one.widest.middle, 6)))


def _chords(exact: Any, chip: Chip, corners: Sequence[Corner]) -> Iterator[Division]:
    for one, other in combinations(corners, 2):
        halfway = Point((one.point.x + other.point.x) / 2, (one.point.y + other.point.y) / 2)
        if not _lies_in(exact, chip, halfway):
            continue
        faces = _divided(exact, chip, [(one.point, other.point)])
        if len(faces) == 2:
            yield _division(exact, chip, "chord", (one.point, other.point), faces)


def _spokes(exact: Any, chip: Chip, corners: Sequence[Corner], middle: Widest) -> Iterator[Division]:
    hub = Point(exact.rational(middle.centre[0]), exact.rational(middle.centre[1]))
    if not _lies_in(exact, chip, hub):
        return
    faces = _divided(exact, chip, [(hub, corner.point) for corner in corners])
    if len(faces) == len(corners):
        yield _division(exact, chip, "spokes", tuple(corner.point for corner in corners), faces)


def _lies_in(exact: Any, chip: Chip, mark: Point) -> bool:
    return not on_walks(exact, chip.walks, mark) and in_walks(exact, chip.walks, mark)


def _divided(exact: Any, chip: Chip, lines: Sequence[tuple[Point, Point]]) -> tuple[Face, ...]:
    """Return the parts that lines make of a chip; none where they lie on its edges or stick out."""
    pieces = [_piece(number, edge) for number, edge in enumerate(chip.outline)]
    for a, b in lines:
        pieces.append(Piece(DRAWN, len(pieces), Line(a.x, a.y, *towards(a, b), start=a, finish=b), a, b))
    made = arrange(exact, pieces)
    return () if made.overlaps or any(made.idle) else made.faces


def _piece(number: int, edge: ChipEdge) -> Piece:
    if edge.circle is None:
        return Piece(edge.thing, number, Line(edge.start.x, edge.start.y, *towards(edge.start, edge.finish)), edge.start, edge.finish)
    start, finish = counterclockwise(edge)
    circle = Circle(edge.circle.centre, edge.circle.square, edge.circle.radius)
    return Piece(edge.thing, number, circle, None if edge.whole else start, None if edge.whole else finish)


def _division(exact: Any, chip: Chip, kind: str, marks: tuple[Point, ...], faces: Sequence[Face]) -> Division:
    parts = tuple(face.walks for face in faces)
    return Division(kind, marks, parts, tuple(widest(exact, walks) for walks in parts))


def halved_reach(middle: Widest) -> Fraction:
    """Return half a chip's largest radius: about what a line along its floor leaves to each side (*estimate*)."""
    return (middle.lower + middle.upper) / 4
