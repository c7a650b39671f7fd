"""Where two cut strands meet, exactly; and where two lie on each other.

A strand is a straight or a round piece with known ends.  No new root is
adjoined where it can be helped: a mark known to lie on both gives the other
meeting by reflection, and a meeting that an enclosure shows to lie beyond the
ends is not worked out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from construct.chips.predicates import Box, on_arc, on_segment, same, same_circle, side
from construct.geometry import Circle, Line, Point, cross, dot, foot, inside, meet, square_distance, towards
from construct.number_systems import NotANumber, Number
from construct.number_systems._balls import enclosed
from construct.number_systems.interval import IntervalSystem

_BITS = 128
"""Precision at which a meeting is looked at before it is worked out."""


class Overlap(Exception):
    """Two strands share more than single marks."""


@dataclass(slots=True)
class Strand:
    """A part of a piece that is straight or an arc; arcs run counterclockwise.

    circle: None where straight.  start, finish: None where it is a whole circle.
    marks: numbers of the vertices found on it so far.
    """

    piece: int
    thing: int
    circle: Circle | None
    start: Point | None
    finish: Point | None
    curved: bool
    box: Box
    marks: list[int] = field(default_factory=list)

    @property
    def line(self) -> Line:
        """The line it lies on, where straight."""
        assert self.start is not None and self.finish is not None
        return Line(self.start.x, self.start.y, *towards(self.start, self.finish))


def holds(exact: Any, strand: Strand, point: Point) -> bool:
    """Tell whether a mark of the strand's line or circle lies on the strand, ends included."""
    if strand.circle is not None:
        return on_arc(exact, strand.start, point, strand.finish)
    assert strand.start is not None and strand.finish is not None
    return on_segment(exact, strand.start, point, strand.finish)


def carries(exact: Any, strand: Strand, point: Point) -> bool:
    """Tell whether a mark lies on the strand's line or circle, ends not looked at."""
    if strand.circle is not None:
        return exact.sign(inside(point, strand.circle)) == 0
    assert strand.start is not None and strand.finish is not None
    return side(exact, strand.start, strand.finish, point) == 0


def meetings(exact: Any, a: Strand, b: Strand, known: Sequence[Point]) -> list[Point]:
    """Return the marks that lie on both strands; `Overlap` where they share more than marks.

    known: marks that lie on both of their lines or circles, found already.
    """
    if a.circle is None and b.circle is None:
        return _straight(exact, a, b)
    if a.circle is None:
        return meetings(exact, b, a, known)
    if b.circle is not None and same(exact, a.circle.centre, b.circle.centre):
        if same_circle(exact, a.circle, b.circle):
            _refuse_overlap(exact, a, b)
            return [point for point in (b.start, b.finish) if point is not None and holds(exact, a, point)]
        return []
    if known:
        found = [*known]
        if len(found) == 1:
            found.append(_other(a.circle, b, known[0]))
    else:
        found = _worked_out(exact, a, b)
    return [point for point in found if holds(exact, a, point) and holds(exact, b, point)]


def _straight(exact: Any, a: Strand, b: Strand) -> list[Point]:
    assert a.start is not None and a.finish is not None and b.start is not None and b.finish is not None
    way, other, gap = towards(a.start, a.finish), towards(b.start, b.finish), towards(a.start, b.start)
    turn = cross(way, other)
    sense = exact.sign(turn)
    if sense == 0:
        if exact.sign(cross(way, gap)) == 0:
            first, last, length = dot(gap, way), dot(towards(a.start, b.finish), way), dot(way, way)
            if exact.sign(last - first) < 0:
                first, last = last, first
            if exact.sign(last) > 0 and exact.sign(length - first) > 0:
                raise Overlap
            # end to end: the marks are there already, as ends of both
        return []
    part, share = cross(gap, other), cross(gap, way)
    signs = [exact.sign(one) * sense for one in (part, turn - part, share, turn - share)]
    if min(signs) < 0:
        return []
    for sign, end in zip(signs, (a.start, a.finish, b.start, b.finish), strict=True):
        if sign == 0:
            return [end]
    at = part / turn
    return [Point(a.start.x + way[0] * at, a.start.y + way[1] * at)]


def _refuse_overlap(exact: Any, a: Strand, b: Strand) -> None:
    """Raise `Overlap` where two arcs of one circle share more than their ends."""
    if a.start is None or a.finish is None or b.start is None or b.finish is None:
        raise Overlap
    for one, other in ((a, b), (b, a)):
        for point in (other.start, other.finish):
            if side(exact, one.start, point, one.finish) > 0:  # type: ignore[arg-type]
                raise Overlap
    if same(exact, a.start, b.start):
        raise Overlap


def _other(circle: Circle, strand: Strand, known: Point) -> Point:
    """Return the second meeting, the mirror image of the first: over the centres' line, or over the foot."""
    if strand.circle is None:
        axis = foot(circle.centre, strand.line)
    else:
        centre = circle.centre
        axis = foot(known, Line(centre.x, centre.y, *towards(centre, strand.circle.centre)))
    return Point(axis.x * 2 - known.x, axis.y * 2 - known.y)


def _worked_out(exact: Any, a: Strand, b: Strand) -> list[Point]:
    """Return the meetings of a circle with a line or another circle, by a new root where they may be on both strands."""
    circle, other = a.circle, b.circle
    assert circle is not None
    if other is None:
        line = b.line
        off = cross((line.dx, line.dy), (circle.centre.x - line.x, circle.centre.y - line.y))
        radicand = circle.square * dot((line.dx, line.dy), (line.dx, line.dy)) - off * off
        touch = foot(circle.centre, line)
        first: Any = line
    else:
        length = square_distance(circle.centre, other.centre)
        part = (length + circle.square - other.square) / (length * 2)
        radicand = circle.square / length - part * part
        way = towards(circle.centre, other.centre)
        touch = Point(circle.centre.x + way[0] * part, circle.centre.y + way[1] * part)
        first = other
    reach = exact.sign(radicand)
    if reach < 0:
        return []
    if reach == 0:
        return [touch]
    return [meet(exact, first, circle, way) for way in (-1, 1) if _may_meet(exact, a, b, way)]


def _may_meet(exact: Any, a: Strand, b: Strand, way: int) -> bool:
    """Tell whether an enclosure leaves it open that meeting `way` lies on both strands; costs no root."""
    number = IntervalSystem(bits=_BITS)
    first: Any = _enclosed_circle(exact, b.circle) if b.circle is not None else _enclosed_line(exact, b.line)
    try:
        point = meet(number, first, _enclosed_circle(exact, a.circle), way)
    except NotANumber:
        return True
    for strand in (a, b):
        if strand.start is None or strand.finish is None:
            continue
        start, finish = (enclosed_point(exact, end, _BITS) for end in (strand.start, strand.finish))
        if strand.circle is not None:
            tests: tuple[Number, ...] = (cross(towards(start, point), towards(start, finish)),)
        else:
            along = towards(start, finish)
            part = dot(towards(start, point), along)
            tests = (part, dot(along, along) - part)
        if any(number.sign(test) == -1 for test in tests):
            return False
    return True


def _enclosed_circle(exact: Any, circle: Circle | None) -> Circle:
    assert circle is not None
    return Circle(enclosed_point(exact, circle.centre, _BITS), enclosed(exact, circle.square, _BITS))


def _enclosed_line(exact: Any, line: Line) -> Line:
    x, y, dx, dy = (enclosed(exact, one, _BITS) for one in (line.x, line.y, line.dx, line.dy))
    return Line(x, y, dx, dy)


def enclosed_point(exact: Any, point: Point, bits: int) -> Point:
    """Return a mark over the interval system."""
    return Point(enclosed(exact, point.x, bits), enclosed(exact, point.y, bits))
