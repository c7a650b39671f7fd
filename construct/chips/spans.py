"""The longest way across a chip, and the shortest way from one boundary to another: *enclosures*.

Both are found among a few places: ends of edges, and places of arcs where the
way could be square to them.  A place that balls do not settle to lie on its
edge counts for the end of the enclosure that it might move, and for no other.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations_with_replacement

from construct.chips.edge_balls import BITS, EdgeBalls, Pair, size
from construct.chips.predicates import Box
from construct.number_systems import LimitMet
from construct.number_systems._balls import Ball, ends, working_at
from construct.phrasebook import say

Flat = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Span:
    """A way from place to place: (lower, upper) of its length in mm (*enclosure*), and where it runs (*estimates*)."""

    lower: Fraction
    upper: Fraction
    start: Flat
    finish: Flat

    @property
    def middle(self) -> float:
        """The middle of the enclosure, for printing."""
        return float((self.lower + self.upper) / 2)


@dataclass(frozen=True, slots=True)
class _Candidate:
    length: Ball
    certain: bool
    start: Pair
    finish: Pair


# --- longest ------------------------------------------------------------------------------------


def longest(edges: Sequence[EdgeBalls]) -> Span:
    """Return the greatest distance between two places of some edges."""
    with working_at(BITS):
        return _widened([one for a, b in combinations_with_replacement(edges, 2) for one in _far_pairs(a, b)])


def _far_pairs(a: EdgeBalls, b: EdgeBalls) -> Iterator[_Candidate]:
    for p in _ends(a):
        for q in _ends(b):
            yield _between(p, q, True)
    for one, other in ((a, b), (b, a)):
        if one.centre is not None:
            for q in _ends(other):
                yield from _beyond(one, q)
    if a.centre is None or b.centre is None or a.radius is None or b.radius is None:
        return
    if a is b:
        if a.short <= 0:  # half a turn and more, or a whole circle: it holds a diameter
            opposite = a.centre[0] * 2 - a.start[0], a.centre[1] * 2 - a.start[1]
            yield _between(a.start, opposite, True)
        return
    dx, dy = a.centre[0] - b.centre[0], a.centre[1] - b.centre[1]
    apart = size(dx, dy)
    if apart > 0:
        here, there = a.covers(dx, dy), b.covers(-dx, -dy)
        if here is not False and there is not False:
            p = a.centre[0] + a.radius * dx / apart, a.centre[1] + a.radius * dy / apart
            q = b.centre[0] - b.radius * dx / apart, b.centre[1] - b.radius * dy / apart
            yield _between(p, q, bool(here and there))


def _beyond(arc: EdgeBalls, q: Pair) -> Iterator[_Candidate]:
    """Yield the way from a place through an arc's centre to the arc."""
    assert arc.centre is not None and arc.radius is not None
    dx, dy = arc.centre[0] - q[0], arc.centre[1] - q[1]
    far = size(dx, dy)
    covered = arc.covers(dx, dy)
    if far > 0 and covered is not False:
        place = arc.centre[0] + arc.radius * dx / far, arc.centre[1] + arc.radius * dy / far
        yield _between(place, q, covered is True)


def farthest(edges: Sequence[EdgeBalls], place: Pair) -> Span:
    """Return the greatest distance of some edges from a place."""
    with working_at(BITS):
        found = [_between(p, place, True) for edge in edges for p in _ends(edge)]
        found += [one for edge in edges if edge.centre is not None for one in _beyond(edge, place)]
        return _widened(found)


def deepest_from(edges: Sequence[EdgeBalls], base: EdgeBalls, middle_inside: bool) -> Span:
    """Return how far a region's farthest place is from one of its edges.

    edges: all of the region's.  middle_inside: the circle's centre, where `base` is an arc, lies in the region.
    """
    with working_at(BITS):
        found = []
        for edge in edges:
            for place, certain in _square_places(edge, base, far=True):
                found.append(_Candidate(base.nearest(*place).far, certain, place, place))
        if middle_inside and base.centre is not None and base.radius is not None:
            found.append(_Candidate(base.radius, True, base.centre, base.centre))
        return _widened(found)


# --- shortest -----------------------------------------------------------------------------------


def shortest(edges: Sequence[EdgeBalls], others: Sequence[EdgeBalls]) -> Span:
    """Return the least distance between two boundaries that do not cross."""
    pairs = sorted(((boxes_apart(a.box, b.box), n, a, b) for n, (a, b) in enumerate((a, b) for a in edges for b in others)))
    best = math.inf
    found: list[_Candidate] = []
    with working_at(BITS):
        for apart, _, a, b in pairs:
            # boxes are wider than what they hold by far more than a float errs
            if apart > best:
                break
            for one, other, turned in ((a, b, False), (b, a, True)):
                for place, certain in _square_places(one, other):
                    near = other.nearest(*place)
                    there = place if near.away is None else (place[0] - near.far * near.away[0], place[1] - near.far * near.away[1])
                    start, finish = (there, place) if turned else (place, there)
                    found.append(_Candidate(near.far, certain, start, finish))
                    if certain:
                        best = min(best, float(near.far.mid()) + float(near.far.rad()) + 1e-9)
        return _widened(found, largest=False)


def _square_places(edge: EdgeBalls, other: EdgeBalls, far: bool = False) -> Iterator[tuple[Pair, bool]]:
    """Yield places of an edge where a shortest (or longest) way to another could end, and whether they certainly lie on it."""
    for place in _ends(edge):
        yield place, True
    if edge.centre is None or edge.radius is None:
        if far and other.centre is not None:
            yield from _foot(edge, other.centre)
        return
    ways = []
    if other.way is not None:
        ways.append((-other.way[1], other.way[0]))
        towards = [other.start, other.finish] if far else []
    else:
        assert other.centre is not None
        towards = [other.centre, *([other.start, other.finish] if far else [])]
    for x, y in towards:
        dx, dy = x - edge.centre[0], y - edge.centre[1]
        length = size(dx, dy)
        if length > 0:
            ways.append((dx / length, dy / length))
    for dx, dy in ways:
        for sense in (1, -1):
            covered = edge.covers(dx * sense, dy * sense)
            if covered is not False:
                yield (edge.centre[0] + edge.radius * dx * sense, edge.centre[1] + edge.radius * dy * sense), covered is True


def _foot(edge: EdgeBalls, place: Pair) -> Iterator[tuple[Pair, bool]]:
    assert edge.way is not None and edge.length is not None
    part = (place[0] - edge.start[0]) * edge.way[0] + (place[1] - edge.start[1]) * edge.way[1]
    if not (part < 0 or part > edge.length):
        yield (edge.start[0] + part * edge.way[0], edge.start[1] + part * edge.way[1]), bool(part >= 0 and part <= edge.length)


# --- all of them --------------------------------------------------------------------------------


def _ends(edge: EdgeBalls) -> tuple[Pair, ...]:
    return (edge.start,) if edge.edge.whole else (edge.start, edge.finish)


def _between(p: Pair, q: Pair, certain: bool) -> _Candidate:
    dx, dy = p[0] - q[0], p[1] - q[1]
    return _Candidate(size(dx, dy), certain, p, q)


def _widened(found: Iterable[_Candidate], *, largest: bool = True) -> Span:
    """Return the largest (or smallest) of some lengths; those that may not be there move one end only."""
    sure: Ball | None = None
    any_of: Ball | None = None
    best: _Candidate | None = None
    for one in found:
        length = one.length
        any_of = length if any_of is None else any_of.max(length) if largest else any_of.min(length)
        if one.certain:
            sure = length if sure is None else sure.max(length) if largest else sure.min(length)
            if best is None or (float(length.mid()) > float(best.length.mid())) == largest:
                best = one
    assert sure is not None and any_of is not None and best is not None
    one_end, other_end = ends(sure), ends(any_of)
    lower, upper = (one_end[0], other_end[1]) if largest else (other_end[0], one_end[1])
    if upper - lower > Fraction(1, 10**6):
        raise LimitMet(say("limit.way_figures"))
    return Span(lower, upper, _flat(best.start), _flat(best.finish))


def _flat(place: Pair) -> Flat:
    return float(place[0].mid()), float(place[1].mid())


def boxes_apart(a: Box, b: Box) -> float:
    """Return how far two boxes are from each other; what they hold is no nearer."""
    return math.hypot(max(a[0] - b[2], b[0] - a[2], 0.0), max(a[1] - b[3], b[1] - a[3], 0.0))
