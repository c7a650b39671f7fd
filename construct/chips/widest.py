"""The widest place of a chip: the largest circle that lies in it, as an enclosure of stated width.

Floats look for a good centre and for weights; what is given out is certified by
balls.  From below: a rational centre, proved to be inside the chip, and its
distances from every edge.  From above: boxes that cover the chip, each with a
bound that holds for every place in it; a box is done with when its bound is no
higher than the answer's upper end.

With slopes the same search finds the deepest place: each wall falls at its own
angle, and the floor is where the lowest of the walls is deepest.

The contract for following errors is in `Widest`.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from construct.chips import Chip, Outline
from construct.chips.contacts import Contact, contacts, refined, starts
from construct.chips.edge_balls import BITS, EdgeBalls, Nearest, edge_balls, size
from construct.chips.edge_floats import EdgeFloats, Plane, edge_floats, lowest
from construct.chips.predicates import in_walks, on_walks
from construct.geometry import Point
from construct.number_systems import LimitMet
from construct.number_systems._balls import Ball, ends, no_limit, point_ball, working_at
from construct.phrasebook import say

MOST_STARTS = 1
"""Places that are climbed from before the boxes; a thin chip is found by these alone."""

MOST_BOXES = 5_000
"""A search stops after so many boxes; what it gives out then is as wide as it is, and still an enclosure."""

CLOSE = 1e-5
"""Parts of the depth within which walls count as touched; only contacts depend on it, never the enclosure."""

NO_SHIFT = Fraction(0)

GRID = 1 << 40
"""Centres are multiples of 1/GRID mm, so that they are exact."""


@dataclass(frozen=True, slots=True)
class Widest:
    """The largest of the smallest of slope × (distance + shift) over all edges; with neither the largest circle's radius.

    lower, upper: its ends in mm (*enclosure*).
    centre: a rational place, proved inside the chip, that reaches `lower`.
    contacts: the edges that hold it there (*estimate*).  Where edge i moves by the vector s at its contact's place, the
        value changes by −Σ weight·slope·(s · inward) (*first order*); weights add to 1.
    bases: the weights that do so with as few contacts as can be, each in the order of `contacts`.  Where there is more than
        one, the value changes by the least of them: it has no derivative, and `weight` is their mean.
    """

    lower: Fraction
    upper: Fraction
    centre: tuple[Fraction, Fraction]
    contacts: tuple[Contact, ...]
    bases: tuple[tuple[float, ...], ...]

    @property
    def middle(self) -> float:
        """The middle of the enclosure, for printing."""
        return float((self.lower + self.upper) / 2)


def widest(
    exact: Any, chip: Chip | tuple[Outline, ...], *, slopes: Sequence[Ball] | None = None, shift_mm: Fraction = NO_SHIFT, digits: int = 6
) -> Widest:  # fmt: skip
    """Return the largest inscribed circle of a chip, or its deepest place, to 10^-digits mm (*enclosure*).

    slopes: for each edge, walk by walk, how fast its wall falls (the tangent of the knife's angle); all 1 where None.
    shift_mm: how far out of the chip each edge is cut beside the drawn one (in, where negative).
    Cost: some tens of milliseconds a chip.
    """
    return _Search(exact, chip.walks if isinstance(chip, Chip) else chip, slopes, shift_mm, digits).found()


@dataclass(frozen=True, slots=True)
class _Box:
    """A square: its middle and half its side, as fractions of whole powers of two. inside: known to lie in the chip."""

    x: Fraction
    y: Fraction
    half: Fraction
    inside: bool


class _Search:
    def __init__(self, exact: Any, walks: tuple[Outline, ...], slopes: Sequence[Ball] | None, shift_mm: Fraction, digits: int) -> None:
        self.exact = exact
        self.walks = walks
        places = [(number, position) for number, walk in enumerate(walks) for position in range(len(walk))]
        self.edges: list[EdgeBalls] = [edge_balls(exact, walks[number][position]) for number, position in places]
        self.slopes = [point_ball(Fraction(1))] * len(places) if slopes is None else list(slopes)
        self.floats: list[EdgeFloats] = edge_floats(exact, walks, [float(slope.mid()) for slope in self.slopes], float(shift_mm))
        self.shift = point_ball(shift_mm)
        self.enough = point_ball(Fraction(1, 10**digits))
        self.lower: Ball | None = None
        self.best = -float("inf")
        self.centre = Fraction(0), Fraction(0)

    def found(self) -> Widest:
        with working_at(BITS):
            upper = self._covered()
            if self.lower is None:
                raise LimitMet(say("limit.thin_widest"))
            low, high = ends(self.lower)[0], ends(upper)[1]
        touched, bases = contacts(self.floats, self.walks, (float(self.centre[0]), float(self.centre[1])), CLOSE)
        return Widest(low, high, self.centre, touched, bases)

    # --- from above ----------------------------------------------------------------------------

    def _covered(self) -> Ball:
        """Return an upper end: no box that covers the chip holds a place with more."""
        for x, y in starts(self.floats, [self._inward(n) for n in range(len(self.edges))])[:MOST_STARTS]:
            self._climb(x, y)
        first = self._first_box()
        waiting: list[tuple[float, int, Ball, _Box]] = [(-float("inf"), 0, no_limit(), first)]
        done = -no_limit()
        count = 1
        while waiting:
            _, _, bound, box = waiting[0]
            if count > MOST_BOXES or (self.lower is not None and bound <= self.lower + self.enough):
                # the highest bound comes first, and a float only puts them in order: look at all that wait
                for _, _, other, _ in waiting:
                    done = done.max(other)
                break
            heapq.heappop(waiting)
            quarter = box.half / 2
            for dx in (-quarter, quarter):
                for dy in (-quarter, quarter):
                    part = _Box(box.x + dx, box.y + dy, quarter, box.inside)
                    judged = self._judged(part)
                    if judged is None:
                        continue
                    higher, part = judged
                    if self.lower is not None and higher <= self.lower + self.enough:
                        done = done.max(higher.upper())
                        continue
                    count += 1
                    heapq.heappush(waiting, (-float(higher.mid()), count, higher.upper(), part))
        return done if self.lower is None else done.max(self.lower.upper())

    def _inward(self, number: int) -> tuple[float, float]:
        """Return the way into the chip at the middle of an edge; the chip lies to the left of its edges (*estimate*)."""
        edge, flat = self.edges[number].edge, self.floats[number]
        x, y = flat.halfway
        if flat.centre is None:
            dx, dy = flat.finish[0] - flat.start[0], flat.finish[1] - flat.start[1]
            far = math.hypot(dx, dy)
            return -dy / far, dx / far
        return edge.sense * (flat.centre[0] - x) / flat.radius, edge.sense * (flat.centre[1] - y) / flat.radius

    def _first_box(self) -> _Box:
        xs, ys = zip(*(place for edge in self.floats for place in edge.corners()), strict=True)
        x, y = (Fraction(round((min(one) + max(one)) * 8), 16) for one in (xs, ys))
        half = Fraction(2)
        while half < max(max(xs) - min(xs), max(ys) - min(ys)) / 2 + 1:
            half *= 2
        return _Box(x, y, half, False)

    def _judged(self, box: _Box) -> tuple[Ball, _Box] | None:
        """Return a bound for every place of the chip in a box, and the box with what is known of it; None where it holds none."""
        x, y, half = point_ball(box.x), point_ball(box.y), point_ball(box.half)
        room = half * _ROOT_TWO
        near = [edge.nearest(x, y) for edge in self.edges]
        bound = None
        touches = False
        for nearest, slope in zip(near, self.slopes, strict=True):
            reaches = slope * (nearest.reach + room + self.shift)
            bound = reaches if bound is None else bound.min(reaches)
            touches = touches or not nearest.far > room
        assert bound is not None
        if self.lower is not None and bound <= self.lower + self.enough:
            return bound, box
        inside = box.inside
        if not touches and not inside:
            if not in_walks(self.exact, self.walks, self._point(box.x, box.y)):
                return None
            inside = True
        if inside and self._value(near) > self.best:
            self._climb(float(box.x), float(box.y))
        return bound.min(self._weighed(near, x, y, half, room)), _Box(box.x, box.y, box.half, inside)

    def _value(self, near: Sequence[Nearest]) -> float:
        return min(float(((nearest.far + self.shift) * slope).mid()) for nearest, slope in zip(near, self.slopes, strict=True))

    def _weighed(self, near: Sequence[Nearest], x: Ball, y: Ball, half: Ball, room: Ball) -> Ball:
        """Return a bound from weights: the smallest of some functions is at most any weighted mean of them.

        Each wall's depth is at most a plane plus a bend: its plane where the foot stays on the edge (a straight wall is
        a plane, one seen from inside its circle bends down), else a bend of room²/2·distance.
        """
        rows = []
        for number, (nearest, slope) in enumerate(zip(near, self.slopes, strict=True)):
            if nearest.away is not None and nearest.reach > 0:
                rows.append((float(((nearest.reach + self.shift) * slope).mid()), number))
        rows.sort()
        chosen = [number for _, number in rows[:_MOST_WEIGHED]]
        best = no_limit()
        side = float(half.mid())
        planes = {}
        for weights in lowest([self._flat_plane(near[number], self.slopes[number]) for number in chosen], side):
            level = gx = gy = Ball(0)
            for weight, position in weights:
                number = chosen[position]
                if number not in planes:
                    planes[number] = self._plane(number, near[number], x, y, room)
                height, (ax, ay) = planes[number]
                part = weight * self.slopes[number]
                level, gx, gy = level + part * (height + self.shift), gx + part * ax, gy + part * ay
            best = best.min(level + (abs(gx) + abs(gy)) * half)
            best = best.min(self._facing([chosen[position] for _, position in weights], x, y, room))
        return best

    def _flat_plane(self, nearest: Nearest, slope: Ball) -> Plane:
        assert nearest.away is not None
        height = (nearest.reach + self.shift) * slope
        return float(height.mid()), float((nearest.away[0] * slope).mid()), float((nearest.away[1] * slope).mid())

    def _plane(self, number: int, nearest: Nearest, x: Ball, y: Ball, room: Ball) -> tuple[Ball, tuple[Ball, Ball]]:
        edge = self.edges[number]
        assert nearest.away is not None
        if nearest.along and edge.stays(x, y, room):
            if not edge.outside(x, y):
                return nearest.far, nearest.away
            assert edge.radius is not None
            return nearest.far + room * room / ((nearest.far + edge.radius) * 2), nearest.away
        return nearest.reach + room * room / (nearest.reach * 2), nearest.away

    def _facing(self, numbers: Sequence[int], x: Ball, y: Ball, room: Ball) -> Ball:
        """Return a bound from two arcs, one bent round the box and one bent away from it: their gap is nowhere wider
        than the difference of the radii and the way between the centres."""
        if len(numbers) != 2:
            return no_limit()
        one, two = (self.edges[number] for number in numbers)
        if one.outside(x, y):
            one, two = two, one
            numbers = numbers[::-1]
        if one.centre is None or two.centre is None or one.outside(x, y) or not two.outside(x, y):
            return no_limit()
        if not (one.stays(x, y, room) and two.stays(x, y, room)):
            return no_limit()
        assert one.radius is not None and two.radius is not None
        dx, dy = one.centre[0] - two.centre[0], one.centre[1] - two.centre[1]
        gap = one.radius - two.radius + size(dx, dy) + self.shift * 2
        first, second = (self.slopes[number] for number in numbers)
        return first * second / (first + second) * gap

    # --- from below ----------------------------------------------------------------------------

    def _climb(self, x: float, y: float) -> None:
        """Look for the highest place near one that is inside, and take its value where it is proved to be inside."""
        x, y = refined(self.floats, x, y)
        centre = Fraction(round(x * GRID), GRID), Fraction(round(y * GRID), GRID)
        point = self._point(*centre)
        if on_walks(self.exact, self.walks, point) or not in_walks(self.exact, self.walks, point):
            return
        near = [edge.nearest(point_ball(centre[0]), point_ball(centre[1])) for edge in self.edges]
        value = None
        for nearest, slope in zip(near, self.slopes, strict=True):
            one = ((nearest.far + self.shift) * slope).lower()
            value = one if value is None else value.min(one)
        assert value is not None
        if self.lower is None or value > self.lower:
            self.lower, self.centre = value, centre
            self.best = float(value.mid()) + 1e-9

    def _point(self, x: Fraction, y: Fraction) -> Point:
        return Point(self.exact.rational(x), self.exact.rational(y))


_ROOT_TWO = point_ball(Fraction(141422, 100000))
"""A shade more than √2: half the diagonal of a square is at most this times half its side."""

_MOST_WEIGHED = 6

