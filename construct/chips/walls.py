"""A chip's walls, as the knife goes along them, and how each lies to the grain.

A wall is a run of edges along one drawn thing without a corner between.  Which
edges make a wall, and which chips share one, is decided exactly; angles, lengths
and places are *estimates*, which only advice rests on.  For a left hand
everything is mirrored in the grain's line, so one set of rules serves both hands.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from construct.chips import Chip, ChipEdge
from construct.chips.predicates import is_smooth
from construct.geometry import Point

QUARTER = math.pi / 2
TIED = 1e-9
"""Angles (rad) and parts closer than this are one: rounding of floats, far under what a hand can tell."""

Spot = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Bend:
    """A part of a wall, and how the direction along it turns.

    first, last: where it begins and ends, as parts 0…1 of the wall.
    heading, end_heading: the walk's direction there, rad counterclockwise from right; it turns evenly between.
    """

    first: float
    last: float
    heading: float
    end_heading: float


@dataclass(frozen=True, slots=True)
class Wall:
    """One wall of a chip; the walk along it keeps the chip to its left.

    chip: the chip's number.  number: of the wall in the chip's walks, from 0.
    thing: index of the drawn thing that it follows.  edges: in the order of the walk.
    before, after: what the walls at its two ends follow; None for a wall that closes on itself.
    neighbours: numbers of the chips that share an edge with it.
    start, finish, middle: places in mm (*estimate*).  length_mm: *estimate*.
    sense: +1 where it bulges out of the chip, -1 where it is hollow, 0 where it is straight or a curve.
    closed: True for a whole circle.
    bends: how its direction turns.
    """

    chip: int
    number: int
    thing: int
    edges: tuple[ChipEdge, ...]
    before: int | None
    after: int | None
    neighbours: frozenset[int]
    start: Spot
    finish: Spot
    middle: Spot
    length_mm: float
    sense: int
    closed: bool
    bends: tuple[Bend, ...]

    def heading(self, part: float) -> float:
        """Return the walk's direction at a part 0…1 of the wall, rad counterclockwise from right."""
        bend = next((one for one in self.bends if part <= one.last + TIED), self.bends[-1])
        share = (part - bend.first) / (bend.last - bend.first)
        return bend.heading + (bend.end_heading - bend.heading) * share

    def to_grain(self, part: float) -> float:
        """Return the angle between wall and grain at a part of the wall, 0…90 deg."""
        return to_grain(self.heading(part))

    @property
    def steepness(self) -> float:
        """How far the wall runs across the grain on the mean, 0…90 deg (Simpson's rule)."""
        return round((self.to_grain(0.0) + 4 * self.to_grain(0.5) + self.to_grain(1.0)) / 6, 6)


def to_grain(heading: float) -> float:
    """Return the angle between a direction and the grain, which runs up the page, 0…90 deg."""
    return math.degrees(math.acos(min(1.0, abs(math.sin(heading)))))


def fibres(heading: float) -> int:
    """Return +1 where a knife that goes on with the chip to its left presses the fibres down, -1 where it lifts them, 0 where neither.

    The fibre at the knife's tip runs along the grain.  Where it runs on into the chip, a split ahead of the edge
    ends in what is taken out; where it runs on into the wood that stays, the split tears the land.
    """
    turn = math.sin(2 * heading)
    return 0 if abs(turn) < TIED else 1 if turn > 0 else -1


def walls_of(exact: Any, chips: Sequence[Chip], *, mirrored: bool = False) -> dict[int, tuple[Wall, ...]]:
    """Return the walls of every chip by its number, each in the order of the chip's walks.

    mirrored: with x turned to −x, and each walk turned round so that the chip stays at its left.
    """
    sides: dict[Any, set[int]] = defaultdict(set)
    for chip in chips:
        for edge in (edge for walk in chip.walks for edge in walk):
            sides[_key(exact, edge)].add(chip.number)
    found = {}
    for chip in chips:
        walls: list[Wall] = []
        for walk in chip.walks:
            runs = _runs(exact, walk)
            for position, run in enumerate(runs):
                others = set().union(*(sides[_key(exact, edge)] for edge in run)) - {chip.number}
                ends = (runs[position - 1][-1].thing, runs[(position + 1) % len(runs)][0].thing)
                walls.append(_wall(exact, chip.number, len(walls), run, ends, frozenset(others), mirrored))
        found[chip.number] = tuple(walls)
    return found


def _runs(exact: Any, walk: Sequence[ChipEdge]) -> list[tuple[ChipEdge, ...]]:
    """Return a walk as runs of edges that follow one thing without a corner."""
    if len(walk) == 1:
        return [tuple(walk)]
    pairs = list(zip((walk[-1], *walk[:-1]), walk, strict=True))
    breaks = [place for place, (a, b) in enumerate(pairs) if a.thing != b.thing or not is_smooth(exact, a, b)]
    if not breaks:
        return [tuple(walk)]
    turned = [*walk[breaks[0] :], *walk[: breaks[0]]]
    cuts = [place - breaks[0] for place in breaks] + [len(walk)]
    return [tuple(turned[first:last]) for first, last in pairwise(cuts)]


def _key(exact: Any, edge: ChipEdge) -> tuple[Any, ...]:
    """Return the same for an edge seen from either side.  Vertices of one arrangement are one object, or far apart."""
    ends = sorted((spot(exact, edge.start), spot(exact, edge.finish)))
    bulge = edge.sense * (1 if ends[0] == spot(exact, edge.start) else -1)
    return (edge.piece, *ends, 1 if edge.whole else bulge)


def spot(exact: Any, point: Point) -> Spot:
    """Return a mark's place as rounded floats, in mm: a key for marks that are known to be one or far apart."""
    return round(exact.to_float(point.x), 7) + 0.0, round(exact.to_float(point.y), 7) + 0.0


def _wall(
    exact: Any, chip: int, number: int, run: tuple[ChipEdge, ...], ends: tuple[int, int], neighbours: frozenset[int], mirrored: bool
) -> Wall:
    first = run[0]
    closed = first.whole or (first.circle is not None and len(run) > 1 and spot(exact, first.start) == spot(exact, run[-1].finish))
    if first.circle is not None:
        path, bends, length, middle = _round(exact, run, closed)
    else:
        path, bends, length, middle = _straight(exact, run)
    before, after = (None, None) if closed else ends
    if mirrored:
        path = [(-x, y) for x, y in reversed(path)]
        middle = -middle[0], middle[1]
        # a walk turned round and mirrored: the direction h becomes −h
        bends = tuple(Bend(1 - one.last, 1 - one.first, -one.end_heading, -one.heading) for one in reversed(bends))
        before, after = after, before
    return Wall(chip, number, first.thing, run, before, after, neighbours, path[0], path[-1], middle, length, first.sense, closed, bends)


def _round(exact: Any, run: tuple[ChipEdge, ...], closed: bool) -> tuple[list[Spot], tuple[Bend, ...], float, Spot]:
    circle, sense = run[0].circle, run[0].sense
    assert circle is not None
    cx, cy = exact.to_float(circle.centre.x), exact.to_float(circle.centre.y)
    reach = math.sqrt(exact.to_float(circle.square))
    a, b = (spot(exact, end) for end in (run[0].start, run[-1].finish))
    if closed:
        # from the way the grain points, all round
        a = b = (cx, cy + reach)
        angle, turn = QUARTER, math.tau
    else:
        angle = math.atan2(a[1] - cy, a[0] - cx)
        turn = (math.atan2(b[1] - cy, b[0] - cx) - angle) * sense % math.tau
    belly = angle + sense * turn / 2
    path = [a, (cx + reach * math.cos(belly), cy + reach * math.sin(belly)), b]
    heading = angle + sense * QUARTER
    return path, (Bend(0.0, 1.0, heading, heading + sense * turn),), reach * turn, path[1]


def _straight(exact: Any, run: tuple[ChipEdge, ...]) -> tuple[list[Spot], tuple[Bend, ...], float, Spot]:
    """Of a straight wall, or of the chords that stand in for a french curve."""
    path = [spot(exact, run[0].start), *(spot(exact, edge.finish) for edge in run)]
    if not run[0].curved:
        path = [path[0], path[-1]]
    lengths = [math.dist(a, b) for a, b in pairwise(path)]
    whole = math.fsum(lengths)
    bends, done, middle = [], 0.0, path[0]
    for ((ax, ay), (bx, by)), length in zip(pairwise(path), lengths, strict=True):
        first, last = done / whole, (done + length) / whole
        heading = math.atan2(by - ay, bx - ax)
        bends.append(Bend(first, last, heading, heading))
        if first <= 0.5 <= last:
            share = (0.5 - first) / (last - first)
            middle = ax + (bx - ax) * share, ay + (by - ay) * share
        done += length
    return path, tuple(bends), whole, middle


def mean_width_mm(exact: Any, walls: Sequence[Wall]) -> float:
    """Return a chip's area over half the length round it, in mm (*estimate*): how wide it is on the mean."""
    twice = 0.0
    for edge in (edge for wall in walls for edge in wall.edges):
        (ax, ay), (bx, by) = spot(exact, edge.start), spot(exact, edge.finish)
        twice += ax * by - ay * bx
        if edge.circle is not None:
            square = exact.to_float(edge.circle.square)
            cx, cy = exact.to_float(edge.circle.centre.x), exact.to_float(edge.circle.centre.y)
            turn = math.tau if edge.whole else (math.atan2(by - cy, bx - cx) - math.atan2(ay - cy, ax - cx)) * edge.sense % math.tau
            twice += edge.sense * square * (turn - math.sin(turn))
    return twice / math.fsum(wall.length_mm for wall in walls)
