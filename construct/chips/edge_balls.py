"""Edges as balls: how far a place is from an edge, and where the nearest place of the edge lies.

A straight edge, an arc or a whole circle is turned into balls once; every
distance asked of it is then an *enclosure*.  Where balls do not settle whether
a foot lies on an edge or just beyond its end, both answers are covered.
Nothing here compares floats.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from construct.chips import ChipEdge
from construct.chips.boxes import arc_box, estimate, segment_box
from construct.chips.predicates import Box, counterclockwise
from construct.geometry import Point, cross, towards
from construct.number_systems._balls import Ball, ball, working_at

BITS = 96
"""At plate sizes these balls are narrower than 10⁻²⁴ mm."""

Pair = tuple[Ball, Ball]


@dataclass(frozen=True, slots=True)
class Nearest:
    """How a place lies to an edge.

    far: the distance in mm (*enclosure*).
    away: the way from the nearest place of the edge to the place, of length 1; None where it is not known.
    along: True where the nearest place certainly is a foot, not an end of the edge.
    reach: a ball whose upper end no distance exceeds; `away` belongs to it.
    """

    far: Ball
    away: Pair | None
    along: bool
    reach: Ball


@dataclass(frozen=True, slots=True)
class EdgeBalls:
    """An edge as balls, at `BITS`.

    edge: what it is.  start, finish: its ends.  box: certainly holds it.
    way, length: of a straight edge its direction, of length 1, and its length; else None.
    centre, radius: of an arc; else None.
    first, last: from the centre to the ends, counterclockwise; None for whole circles and straight edges.
    short: +1 for an arc under half a turn, 0 for half a turn, -1 for more (decided exactly).
    """

    edge: ChipEdge
    start: Pair
    finish: Pair
    box: Box
    way: Pair | None = None
    length: Ball | None = None
    centre: Pair | None = None
    radius: Ball | None = None
    first: Pair | None = None
    last: Pair | None = None
    short: int = 0

    # Called at the precision `BITS`, by the functions of this folder that set it.

    def nearest(self, x: Ball, y: Ball) -> Nearest:
        """Return how a place lies to this edge."""
        return self._from_straight(x, y) if self.centre is None else self._from_arc(x, y)

    def _from_straight(self, x: Ball, y: Ball) -> Nearest:
        assert self.way is not None and self.length is not None
        (tx, ty), (ax, ay) = self.way, self.start
        dx, dy = x - ax, y - ay
        part = dx * tx + dy * ty
        before, beyond = part < 0, part > self.length
        off = tx * dy - ty * dx
        if part >= 0 and part <= self.length:
            away = (-ty, tx) if off > 0 else (ty, -tx) if off < 0 else None
            return Nearest(abs(off), away, True, abs(off))
        end = self._from_ends(x, y, (self.start,) if before else (self.finish,) if beyond else (self.start, self.finish))
        if before or beyond:
            return end
        return Nearest(abs(off).union(end.far), end.away, False, end.reach)

    def _from_arc(self, x: Ball, y: Ball) -> Nearest:
        assert self.centre is not None and self.radius is not None
        dx, dy = x - self.centre[0], y - self.centre[1]
        out = size(dx, dy)
        covered = self.covers(dx, dy)
        off = out - self.radius
        if covered and out > 0:
            unit = dx / out, dy / out
            away = unit if off > 0 else (-unit[0], -unit[1]) if off < 0 else None
            return Nearest(abs(off), away, True, abs(off))
        if not out > 0:  # the middle of the circle, or all but
            end = self._from_ends(x, y, (self.start,))
            return Nearest(abs(off).union(end.far), None, False, end.reach)
        end = self._from_ends(x, y, (self.start, self.finish))
        if covered is None:
            return Nearest(abs(off).union(end.far), end.away, False, end.reach)
        return end

    def _from_ends(self, x: Ball, y: Ball, ends: Sequence[Pair]) -> Nearest:
        found = None
        for px, py in ends:
            dx, dy = x - px, y - py
            far = size(dx, dy)
            away = (dx / far, dy / far) if far > 0 else None
            if found is None:
                found = Nearest(far, away, False, far)
            else:
                nearer = far < found.reach
                found = Nearest(far.min(found.far), away if nearer else found.away, False, far if nearer else found.reach)
        assert found is not None
        return found

    def covers(self, dx: Ball, dy: Ball, room: Ball | int = 0) -> bool | None:
        """Tell whether an arc has a place in this direction from its centre; None where that is open.

        room: True only where it also has one for every place up to `room` mm from there.
        """
        if self.first is None or self.last is None or self.radius is None:
            return True
        (fx, fy), (lx, ly) = self.first, self.last
        after, before = fx * dy - fy * dx, dx * ly - dy * lx
        doubt = self.radius * room
        if self.short > 0:
            if after >= doubt and before >= doubt:
                return True
            return False if after < 0 or before < 0 else None
        if self.short == 0:
            return True if after >= doubt else False if after < 0 else None
        # more than half a turn: everything but the directions strictly between the last end and the first
        if after >= doubt or before >= doubt:
            return True
        return False if after < 0 and before < 0 else None

    def stays(self, x: Ball, y: Ball, room: Ball) -> bool:
        """Tell whether the foot certainly stays on this edge, and the place on its side, for all places up to `room` mm from (x, y)."""
        if self.centre is None:
            assert self.way is not None and self.length is not None
            (tx, ty), (ax, ay) = self.way, self.start
            dx, dy = x - ax, y - ay
            part = dx * tx + dy * ty
            return bool(part >= room and self.length - part >= room and abs(tx * dy - ty * dx) >= room)
        assert self.radius is not None
        dx, dy = x - self.centre[0], y - self.centre[1]
        out = size(dx, dy)
        return bool(out > room and abs(out - self.radius) >= room and self.covers(dx, dy, room))

    def outside(self, x: Ball, y: Ball) -> bool:
        """Tell whether a place certainly lies outside this arc's circle; False for straight edges."""
        if self.centre is None or self.radius is None:
            return False
        dx, dy = x - self.centre[0], y - self.centre[1]
        return bool(dx * dx + dy * dy > self.radius * self.radius)


def edge_balls(exact: Any, edge: ChipEdge) -> EdgeBalls:
    """Return an edge as balls; only whether an arc is under half a turn is decided, exactly."""
    start, finish = place_ball(exact, edge.start), place_ball(exact, edge.finish)
    flat = estimate(exact, edge.start), estimate(exact, edge.finish)
    if edge.circle is None:
        with working_at(BITS):
            dx, dy = finish[0] - start[0], finish[1] - start[1]
            length = size(dx, dy)
            return EdgeBalls(edge, start, finish, segment_box(*flat), way=(dx / length, dy / length), length=length)
    centre = place_ball(exact, edge.circle.centre)
    square = ball(exact, edge.circle.square, BITS)
    with working_at(BITS):
        radius = square.sqrt()
        if edge.whole:
            return EdgeBalls(edge, start, finish, arc_box(exact, edge.circle, None, None), centre=centre, radius=radius)
    box = arc_box(exact, edge.circle, *(flat if edge.sense >= 0 else flat[::-1]))
    one, two = counterclockwise(edge)
    short = exact.sign(cross(towards(edge.circle.centre, one), towards(edge.circle.centre, two)))
    ends = (start, finish) if edge.sense >= 0 else (finish, start)
    with working_at(BITS):
        first, last = ((end[0] - centre[0], end[1] - centre[1]) for end in ends)
    return EdgeBalls(edge, start, finish, box, centre=centre, radius=radius, first=first, last=last, short=short)


def place_ball(exact: Any, point: Point) -> Pair:
    """Return a mark as balls."""
    return ball(exact, point.x, BITS), ball(exact, point.y, BITS)


def size(dx: Ball, dy: Ball) -> Ball:
    """Return the length of a way; a way that may be nothing has a ball that holds 0."""
    square = dx * dx + dy * dy
    return square.sqrt() if square > 0 else Ball(0).union(abs(dx) + abs(dy))
