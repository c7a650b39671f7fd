"""What holds the largest circle of a chip where it is: its contacts and their weights, by floats (*estimates*)."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from construct.chips import Outline
from construct.chips.edge_floats import EdgeFloats, Flat, weightings

STEPS = 80
NEAREST = 7
BALANCED = 1e-4
"""Weights hold a circle where what is left over of its inward ways is under this."""


@dataclass(frozen=True, slots=True)
class Contact:
    """Where a largest circle touches an edge (*estimate*).

    walk, edge: the edge is `chip.walks[walk][edge]`.  thing: the drawn thing that it follows, by index in the plan.
    place: the nearest place of the edge.  inward: from there to the circle's centre, of length 1.
    distance: between the two, in mm.  slope: what distances from this edge are multiplied by.
    weight: its share in holding the circle; over all contacts they add to 1.
    """

    walk: int
    edge: int
    thing: int
    place: Flat
    inward: Flat
    distance: float
    slope: float
    weight: float


def refined(edges: Sequence[EdgeFloats], x: float, y: float) -> Flat:
    """Return a place near one inside where the smallest of slope × distance is as large as a climb finds it.

    Each step goes to the best place of the planes that the nearest walls are here, within a square that
    shrinks where they mislead.
    """
    rows = _rows(edges, x, y)
    step = 0.6 * min(row[1] for row in rows)
    for _ in range(STEPS):
        level = min(row[0] for row in rows)
        planes = sorted(rows)[:NEAREST]
        best = _best_step([(value - level, gx, gy) for value, _, gx, gy in planes], step)
        if best is None:
            return x, y
        hope, dx, dy = best
        there = _rows(edges, x + dx, y + dy)
        gain = min(row[0] for row in there) - level
        if gain > 0:
            x, y, rows = x + dx, y + dy, there
            step = min(step, 0.6 * min(row[1] for row in rows))
        if gain < 0.5 * hope:
            step *= 0.3
        elif gain > 0.9 * hope:
            step = min(2 * step, 0.6 * min(row[1] for row in rows))
        if step < 1e-9 or hope < 1e-13:
            break
    return x, y


def starts(edges: Sequence[EdgeFloats], inward: Sequence[Flat], most: int = 24) -> list[Flat]:
    """Return the middles of circles that touch an edge in its middle and reach across to the next wall, largest first.

    inward: for each edge the way into the chip at its middle, of length 1.
    """
    found = []
    for edge, (nx, ny) in list(zip(edges, inward, strict=True))[:most]:
        x, y = edge.halfway
        low, high = 0.0, max(math.dist(edge.start, other.start) for other in edges) + 2 * edge.radius + math.dist(edge.start, edge.finish)
        for _ in range(50):
            t = (low + high) / 2
            place = x + t * nx, y + t * ny
            clear = min(math.dist(place, other.nearest(*place)) for other in edges)
            low, high = (t, high) if clear >= t * (1 - 1e-9) else (low, t)
        found.append((low, x + low * nx, y + low * ny))
    return [(x, y) for _, x, y in sorted(found, reverse=True)]


def _rows(edges: Sequence[EdgeFloats], x: float, y: float) -> list[tuple[float, float, float, float]]:
    """Return slope × distance, distance, and how the first changes along x and y, for each edge."""
    rows = []
    for edge in edges:
        px, py = edge.nearest(x, y)
        far = math.hypot(x - px, y - py)
        unit = (x - px) / far if far else 0.0, (y - py) / far if far else 0.0
        rows.append((edge.slope * (far + edge.shift), far, edge.slope * unit[0], edge.slope * unit[1]))
    return rows


def _best_step(planes: Sequence[tuple[float, float, float]], size: float) -> tuple[float, float, float] | None:
    """Return (height, dx, dy): where in a square the lowest of some planes is highest."""
    # t ≤ v + gx·dx + gy·dy for every plane, and dx, dy within ±size: the best place is a corner of all that
    walls = [(1.0, -gx, -gy, v) for v, gx, gy in planes]
    walls += [(0.0, 1.0, 0.0, size), (0.0, -1.0, 0.0, size), (0.0, 0.0, 1.0, size), (0.0, 0.0, -1.0, size)]
    best: tuple[float, float, float] | None = None
    for a, b, c in combinations(walls, 3):
        spot = _meeting(a, b, c)
        if spot is None or (best is not None and spot[0] <= best[0]):
            continue
        t, dx, dy = spot
        slack = 1e-12 * (1 + abs(t))
        if all(k * t + m * dx + n * dy <= limit + slack for k, m, n, limit in walls):
            best = spot
    return best


def _meeting(
    a: tuple[float, float, float, float], b: tuple[float, float, float, float], c: tuple[float, float, float, float]
) -> tuple[float, float, float] | None:
    """Return where three planes of (t, dx, dy) meet; None where they meet nowhere or everywhere (Cramer's rule)."""
    bc = [b[i] * c[j] - b[j] * c[i] for i, j in ((1, 2), (2, 0), (0, 1))]
    whole = a[0] * bc[0] + a[1] * bc[1] + a[2] * bc[2]
    if abs(whole) < 1e-12:
        return None
    ca = [c[i] * a[j] - c[j] * a[i] for i, j in ((1, 2), (2, 0), (0, 1))]
    ab = [a[i] * b[j] - a[j] * b[i] for i, j in ((1, 2), (2, 0), (0, 1))]
    t, dx, dy = ((a[3] * bc[i] + b[3] * ca[i] + c[3] * ab[i]) / whole for i in range(3))
    return t, dx, dy


def contacts(
    edges: Sequence[EdgeFloats], walks: Sequence[Outline], centre: Flat, close: float
) -> tuple[tuple[Contact, ...], tuple[tuple[float, ...], ...]]:
    """Return the contacts of the circle about a centre, and the weights that hold it with as few as can be.

    close: the part of the depth within which an edge counts as touched.  An end that two edges share is touched once.
    """
    rows = _rows(edges, *centre)
    level = min(row[0] for row in rows)
    touched: list[tuple[EdgeFloats, Flat, float]] = []
    for edge, row in zip(edges, rows, strict=True):
        if row[0] > level + abs(level) * close:
            continue
        for place in _places(edge, centre):
            if all(math.dist(place, other) > 1e-6 for _, other, _ in touched):
                touched.append((edge, place, row[1]))
    inward = [((centre[0] - x) / far, (centre[1] - y) / far) for _, (x, y), far in touched]
    ways = [(edge.slope * x, edge.slope * y) for (edge, _, _), (x, y) in zip(touched, inward, strict=True)]
    bases = []
    for weights in weightings(ways):
        left = [sum(weight * ways[n][axis] for weight, n in weights) for axis in (0, 1)]
        if math.hypot(*left) < BALANCED * max(edge.slope for edge, _, _ in touched):
            base = [0.0] * len(touched)
            for weight, n in weights:
                base[n] = weight
            bases.append(tuple(base))
    mean = [sum(base[n] for base in bases) / len(bases) for n in range(len(touched))] if bases else [1 / len(touched)] * len(touched)
    found = tuple(
        Contact(edge.walk, edge.position, walks[edge.walk][edge.position].thing, place, way, far, edge.slope, weight)
        for (edge, place, far), way, weight in zip(touched, inward, mean, strict=True)
    )
    return found, tuple(bases)


def _places(edge: EdgeFloats, centre: Flat) -> tuple[Flat, ...]:
    """Return where an edge is touched: in its nearest place, but three where the circle's centre is the arc's own."""
    if edge.centre is None or edge.span <= math.pi or math.dist(edge.centre, centre) > 1e-4 * edge.radius:
        return (edge.nearest(*centre),)
    step = math.tau / 3 if edge.span >= math.tau else edge.span / 2
    return tuple(edge.at(edge.first + step * number) for number in range(3))
