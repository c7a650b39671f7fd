"""How near a chip comes to the edge of the wood: an *enclosure*, below 0 where it runs over the edge."""

from __future__ import annotations

import heapq
import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from construct.chips.edge_balls import BITS, EdgeBalls, Pair, place_ball
from construct.chips.spans import Flat, Span, farthest
from construct.geometry import Board, Circle, Edge, Oval
from construct.number_systems._balls import Ball, ball, ends, pi, point_ball, working_at

OVAL_MM = Fraction(1, 1000)
"""How wide the enclosure is for an oval plate."""


def margin(exact: Any, edge: Edge, edges: Sequence[EdgeBalls]) -> Span | None:
    """Return how much wood is left between a chip and the edge of the blank, where it is least; None on paper."""
    if edge is None:
        return None
    if isinstance(edge, Circle):
        span = farthest(edges, place_ball(exact, edge.centre))
        square = ball(exact, edge.square, BITS)
        with working_at(BITS):
            low, high = ends(square.sqrt() - point_ball(span.lower).union(point_ball(span.upper)))
            centre = place_ball(exact, edge.centre)
            return Span(low, high, span.start, _outwards(centre, span.start, float(square.sqrt().mid())))
    if isinstance(edge, Board):
        return _board(exact, edge, edges)
    return _oval(exact, edge, edges)


def _outwards(centre: Pair, place: Flat, reach: float) -> Flat:
    x, y = float(centre[0].mid()), float(centre[1].mid())
    far = math.dist((x, y), place) or 1.0
    return x + (place[0] - x) * reach / far, y + (place[1] - y) * reach / far


def _board(exact: Any, board: Board, edges: Sequence[EdgeBalls]) -> Span:
    across, along = ball(exact, board.across, BITS), ball(exact, board.along, BITS)
    found: list[tuple[Ball, Flat, Flat]] = []
    with working_at(BITS):
        for edge in edges:
            for x, y in (edge.start, edge.finish, *_extremes(edge)):
                flat = float(x.mid()), float(y.mid())
                width, height = float(across.mid()), float(along.mid())
                found += [(across - x, flat, (width, flat[1])), (across + x, flat, (-width, flat[1])),
                          (along - y, flat, (flat[0], height)), (along + y, flat, (flat[0], -height))]  # fmt: skip
        least = found[0][0]
        for gap, _, _ in found:
            least = least.min(gap)
        low, high = ends(least)
    _, start, finish = min(found, key=lambda row: float(row[0].mid()))
    return Span(low, high, start, finish)


def _extremes(edge: EdgeBalls) -> list[Pair]:
    """Return the places where an arc reaches farthest along or across the grain.

    One that may lie just beyond an end is no farther out than that end by more than its ball.
    """
    if edge.centre is None or edge.radius is None:
        return []
    x, y = edge.centre
    ways = ((1, 0), (0, 1), (-1, 0), (0, -1))
    return [(x + edge.radius * dx, y + edge.radius * dy) for dx, dy in ways if edge.covers(Ball(dx), Ball(dy)) is not False]


@dataclass(frozen=True, slots=True)
class _Part:
    """A part of the oval's edge, by the angle of its parameter."""

    middle: Fraction
    half: Fraction


def _oval(exact: Any, oval: Oval, edges: Sequence[EdgeBalls]) -> Span:
    """Cover the oval's edge with short pieces: nothing on one is nearer than its middle less its half-length."""
    across, along = ball(exact, oval.across, BITS), ball(exact, oval.along, BITS)
    with working_at(BITS):
        longest = across.max(along)
        enough = point_ball(OVAL_MM)
        best: tuple[Ball, Flat, Flat] | None = None
        waiting: list[tuple[float, int, Ball, _Part]] = []
        count = 0
        parts = [_Part(Fraction(2 * n + 1, 64), Fraction(1, 64)) for n in range(32)]
        while True:
            for part in parts:
                turn = pi(BITS) * 2 * point_ball(part.middle)
                x, y = across * turn.cos(), along * turn.sin()
                far, foot = _from_edges(edges, x, y)
                if best is None or far.upper() < best[0]:
                    best = far.upper(), foot, (float(x.mid()), float(y.mid()))
                count += 1
                bound = (far - longest * pi(BITS) * 2 * point_ball(part.half)).lower()
                heapq.heappush(waiting, (float(bound.mid()), count, bound, part))
            _, _, bound, part = heapq.heappop(waiting)
            assert best is not None
            if bound + enough >= best[0] or count > _MOST_PARTS:
                low, high = ends(bound)[0], ends(best[0])[1]
                if not _all_inside(edges, across, along):
                    # over the edge: how near its boundary comes says no more than that the margin is gone
                    low, high = -high, Fraction(0)
                return Span(low, high, best[1], best[2])
            quarter = part.half / 2
            parts = [_Part(part.middle - quarter, quarter), _Part(part.middle + quarter, quarter)]


_MOST_PARTS = 20_000


def _from_edges(edges: Sequence[EdgeBalls], x: Ball, y: Ball) -> tuple[Ball, Flat]:
    nears = [edge.nearest(x, y) for edge in edges]
    found = min(nears, key=lambda near: float(near.far.mid()))
    far = found.far
    for near in nears:
        far = far.min(near.far)
    away = found.away or (Ball(0), Ball(0))
    return far, (float((x - found.far * away[0]).mid()), float((y - found.far * away[1]).mid()))


def _all_inside(edges: Sequence[EdgeBalls], across: Ball, along: Ball) -> bool:
    """Tell whether every end of the edges certainly lies inside the oval."""
    return all(bool((x / across) ** 2 + (y / along) ** 2 < 1) for edge in edges for x, y in (edge.start, edge.finish))
