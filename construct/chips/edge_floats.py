"""Edges as floats: where a search looks and what pictures need; nothing here is relied on (*estimates*)."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any

from construct.chips import Outline
from construct.chips.boxes import estimate
from construct.chips.predicates import counterclockwise

Flat = tuple[float, float]


@dataclass(frozen=True, slots=True)
class EdgeFloats:
    """An edge as floats.

    walk, position: where it stands in the chip's walks.  slope, shift: what its distances are multiplied by, after this is added.
    start, finish: its ends.  centre, radius: of an arc, else None and 0.
    first, span: of an arc, the angle it starts at and how far it turns counterclockwise, in rad.
    """

    walk: int
    position: int
    slope: float
    shift: float
    start: Flat
    finish: Flat
    centre: Flat | None = None
    radius: float = 0.0
    first: float = 0.0
    span: float = 0.0

    def nearest(self, x: float, y: float) -> Flat:
        """Return the place of the edge that is nearest to a place."""
        if self.centre is None:
            dx, dy = self.finish[0] - self.start[0], self.finish[1] - self.start[1]
            part = ((x - self.start[0]) * dx + (y - self.start[1]) * dy) / (dx * dx + dy * dy)
            part = min(max(part, 0.0), 1.0)
            return self.start[0] + part * dx, self.start[1] + part * dy
        dx, dy = x - self.centre[0], y - self.centre[1]
        angle = math.atan2(dy, dx)
        if (angle - self.first) % math.tau <= self.span:
            return self.at(angle)
        return min((self.start, self.finish), key=lambda end: math.dist(end, (x, y)))

    def at(self, angle: float) -> Flat:
        """Return the place of an arc's circle at an angle."""
        assert self.centre is not None
        return self.centre[0] + self.radius * math.cos(angle), self.centre[1] + self.radius * math.sin(angle)

    @property
    def halfway(self) -> Flat:
        """The middle of the edge."""
        if self.centre is None:
            return (self.start[0] + self.finish[0]) / 2, (self.start[1] + self.finish[1]) / 2
        return self.at(self.first + self.span / 2)

    def corners(self) -> Iterator[Flat]:
        """Yield places whose box holds the edge."""
        yield self.start
        yield self.finish
        if self.centre is not None:
            for quarter in range(4):
                if (quarter * math.pi / 2 - self.first) % math.tau <= self.span:
                    yield self.at(quarter * math.pi / 2)


def edge_floats(exact: Any, walks: Sequence[Outline], slopes: Sequence[float], shift: float = 0.0) -> list[EdgeFloats]:
    """Return every edge of some walks, walk by walk."""
    found = []
    left = iter(slopes)
    for number, walk in enumerate(walks):
        for position, edge in enumerate(walk):
            start, finish = estimate(exact, edge.start), estimate(exact, edge.finish)
            if edge.circle is None:
                found.append(EdgeFloats(number, position, next(left), shift, start, finish))
                continue
            centre = estimate(exact, edge.circle.centre)
            radius = math.sqrt(exact.to_float(edge.circle.square))
            one, two = (estimate(exact, end) for end in counterclockwise(edge))
            first = math.atan2(one[1] - centre[1], one[0] - centre[0])
            span = math.tau if edge.whole else (math.atan2(two[1] - centre[1], two[0] - centre[0]) - first) % math.tau
            found.append(EdgeFloats(number, position, next(left), shift, start, finish, centre, radius, first, span))
    return found


Plane = tuple[float, float, float]
"""Height here, and its change along x and y."""

Weights = tuple[tuple[float, int], ...]
"""Weights, each with the position of what it weighs; they add to 1."""


def lowest(planes: Sequence[Plane], size: float) -> list[Weights]:
    """Return the best few weightings: those whose mean is lowest over a square of half-side `size`."""
    found: list[tuple[float, Weights]] = []
    for weights in weightings([(gx, gy) for _, gx, gy in planes]):
        level = sum(weight * planes[n][0] for weight, n in weights)
        gx, gy = (sum(weight * planes[n][axis] for weight, n in weights) for axis in (1, 2))
        found.append((level + (abs(gx) + abs(gy)) * size, weights))
    return [weights for _, weights in sorted(found)[:2]]


def weightings(slopes: Sequence[Flat]) -> Iterator[Weights]:
    """Yield weights over pairs and triples that bring the mean of some vectors to nothing, or near it for pairs."""
    for (i, (ax, ay)), (j, (bx, by)) in combinations(enumerate(slopes), 2):
        dx, dy = bx - ax, by - ay
        square = dx * dx + dy * dy
        if square > 0:
            part = -(ax * dx + ay * dy) / square  # the foot of the origin on the way from a to b
            if 0 < part < 1:
                yield (1 - part, i), (part, j)
    for (i, a), (j, b), (k, c) in combinations(enumerate(slopes), 3):
        one, two, three = _cross(b, c), _cross(c, a), _cross(a, b)
        total = one + two + three
        if (one > 0) == (two > 0) == (three > 0) and one * two * three != 0:
            yield (one / total, i), (two / total, j), (three / total, k)


def _cross(a: Flat, b: Flat) -> float:
    return a[0] * b[1] - a[1] * b[0]
