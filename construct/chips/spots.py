"""Where on the wood a mistake in the cuts lies, for the words and the picture that go with a diagnostic.

All numbers here are *estimates* for eyes alone: they say where to look, and
decide nothing.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Any

from construct.chips import ChipEdge, Outline, Piece
from construct.chips.boxes import estimate
from construct.diagnostics import Spot
from construct.geometry import Circle, Curve, Point
from construct.phrasebook import say
from construct.plan import Plan

Place = tuple[float, float]

STEPS = 32
"""Chords that an arc is looked at as."""

LEAST = 0.5
"""Nearer to the middle than so many mm, a side is not said."""

LEVELS = (0.5, 0.37, 0.63, 0.25, 0.75, 0.12, 0.88)
"""Heights in a region, as parts of the whole, at which its widest stretch is looked for."""


def spot_of(exact: Any, plan: Plan, mark: Point, what: str) -> Spot:
    """Return a mark as a spot; `what` is the phrasebook's key for what is there."""
    return spot_at(plan, estimate(exact, mark), what)


def spot_of_end(exact: Any, plan: Plan, mark: Point, others: Sequence[Piece]) -> Spot:
    """Return an end that meets nothing as a spot, with the nearest of the other cuts."""
    place = estimate(exact, mark)
    nearest = min(((_gap(exact, place, other), other.thing) for other in others), default=None)
    if nearest is None:
        return spot_at(plan, place, "ends_here")
    return spot_at(plan, place, "ends_near", mm=f"{nearest[0]:.2g}", name=plan.things[nearest[1]].name)


def spot_along(exact: Any, plan: Plan, piece: Piece, what: str) -> Spot:
    """Return the middle of a cut."""
    return spot_at(plan, _along(_run(exact, piece)), what)


def spot_in(exact: Any, plan: Plan, walks: Sequence[Outline], what: str) -> Spot:
    """Return a place well inside a region: the middle of a long level stretch in it."""
    runs = [[place for edge in walk for place in _edge_run(exact, edge)] for walk in walks]
    low, high = (pick(place[1] for place in runs[0]) for pick in (min, max))
    best = (-1.0, runs[0][0])
    for level in LEVELS:
        y = low + (high - low) * level
        xs = sorted(x for run in runs for x in _crossings(run, y))
        for left, right in zip(xs[::2], xs[1::2], strict=False):
            best = max(best, (right - left, ((left + right) / 2, y)))
    return spot_at(plan, best[1], what)


def spot_shared(exact: Any, plan: Plan, one: Piece, other: Piece, what: str) -> Spot:
    """Return the middle of a stretch that two cuts share: of the places of one that lie on the other, the middle one."""
    first, second = _run(exact, one), _run(exact, other)
    shared = [place for place in _steps(first) if _off(place, second) < 0.2 * _step(second)]
    shared = shared or [place for place in _steps(second) if _off(place, first) < 0.2 * _step(first)]
    return spot_at(plan, _along(shared or first), what)


def spot_at(plan: Plan, place: Place, what: str, **filled: str) -> Spot:
    """Return a place as a spot; `what` is the phrasebook's key for what is there, `filled` what its sentence needs."""
    x, y = place
    if plan.blank.form == "paper":
        there = say("where.on_paper", x=_number(x), y=_number(y))
    else:
        sides = []
        if abs(x) >= LEAST:
            sides.append(say("where.right" if x > 0 else "where.left", mm=_number(abs(x))))
        if abs(y) >= LEAST:
            sides.append(say("where.above" if y > 0 else "where.below", mm=_number(abs(y))))
        there = say("where.from_the_middle", sides=say("where.and").join(sides)) if sides else say("where.in_the_middle")
    return Spot(x, y, say("where.spot", there=there, what=say(f"where.{what}", **filled)))


def _number(value: float) -> str:
    return f"{value:.0f}" if abs(value) >= 20 else f"{value:.1f}".removesuffix(".0")


def _gap(exact: Any, place: Place, piece: Piece) -> float:
    """Return how far a place lies from a cut, in mm."""
    if not isinstance(piece.geometry, Circle):
        return _off(place, _run(exact, piece))
    (x, y), reach = estimate(exact, piece.geometry.centre), math.sqrt(exact.to_float(piece.geometry.square))
    if piece.start is None or piece.finish is None:
        return abs(math.dist(place, (x, y)) - reach)
    start, finish = estimate(exact, piece.start), estimate(exact, piece.finish)
    first = math.atan2(start[1] - y, start[0] - x)
    swept, at = ((math.atan2(end[1] - y, end[0] - x) - first) % math.tau for end in (finish, place))
    return abs(math.dist(place, (x, y)) - reach) if at <= swept else min(math.dist(place, start), math.dist(place, finish))


# --- runs -------------------------------------------------------------------------------------


def _run(exact: Any, piece: Piece) -> list[Place]:
    if isinstance(piece.geometry, Curve):
        a, b, c, d = (estimate(exact, control) for control in piece.geometry.controls)
        return [_on_curve((a, b, c, d), n / STEPS) for n in range(STEPS + 1)]
    ends = [None if end is None else estimate(exact, end) for end in (piece.start, piece.finish)]
    if isinstance(piece.geometry, Circle):
        return _arc(exact, piece.geometry, ends[0], ends[1], 1)
    return [end for end in ends if end is not None]


def _edge_run(exact: Any, edge: ChipEdge) -> list[Place]:
    start, finish = estimate(exact, edge.start), estimate(exact, edge.finish)
    if edge.circle is None:
        return [start]
    return _arc(exact, edge.circle, start, None if edge.whole else finish, edge.sense)[:-1]


def _arc(exact: Any, circle: Circle, start: Place | None, finish: Place | None, sense: int) -> list[Place]:
    """Return places along an arc; all round where an end is missing."""
    x, y = estimate(exact, circle.centre)
    reach = math.sqrt(exact.to_float(circle.square))
    first = math.atan2(start[1] - y, start[0] - x) if start else 0.0
    swept = math.tau if finish is None else (sense * (math.atan2(finish[1] - y, finish[0] - x) - first)) % math.tau
    turns = (first + sense * swept * n / STEPS for n in range(STEPS + 1))
    return [(x + reach * math.cos(turn), y + reach * math.sin(turn)) for turn in turns]


def _on_curve(controls: tuple[Place, Place, Place, Place], part: float) -> Place:
    left = 1 - part
    weights = (left**3, 3 * left * left * part, 3 * left * part * part, part**3)
    x, y = (sum(weight * control[i] for weight, control in zip(weights, controls, strict=True)) for i in (0, 1))
    return x, y


def _along(run: Sequence[Place]) -> Place:
    middle = len(run) // 2
    return run[middle] if len(run) % 2 else ((run[middle - 1][0] + run[middle][0]) / 2, (run[middle - 1][1] + run[middle][1]) / 2)


def _steps(run: Sequence[Place]) -> Iterator[Place]:
    """Yield the places of a run, and those at equal steps along a straight one."""
    if len(run) > 2:
        yield from run
        return
    (ax, ay), (bx, by) = run
    yield from ((ax + (bx - ax) * n / STEPS, ay + (by - ay) * n / STEPS) for n in range(STEPS + 1))


def _step(run: Sequence[Place]) -> float:
    """Return about how long a step along a run is."""
    return max(math.dist(run[0], place) for place in run) / STEPS


def _off(place: Place, run: Sequence[Place]) -> float:
    """Return how far a place lies from a run."""
    least = math.inf
    for (ax, ay), (bx, by) in pairwise(run):
        dx, dy = bx - ax, by - ay
        length = dx * dx + dy * dy
        part = min(1.0, max(0.0, ((place[0] - ax) * dx + (place[1] - ay) * dy) / length)) if length else 0.0
        least = min(least, math.dist(place, (ax + part * dx, ay + part * dy)))
    return least


def _crossings(run: Sequence[Place], y: float) -> Iterator[float]:
    """Yield where a closed run crosses a level."""
    for (ax, ay), (bx, by) in pairwise([*run, run[0]]):
        if (ay > y) != (by > y):
            yield ax + (y - ay) / (by - ay) * (bx - ax)
