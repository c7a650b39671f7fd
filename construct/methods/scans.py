"""Where the order of methods turns over: each one's reach along length, graduation and hand.

*First order*, with a reading's rounding as a spread (see `rounding`), so that no
figure rests on the luck of one length.  A turnover is found between two places of
a grid and closed in by halving; a method that leads only between two neighbours of the grid is not seen.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import numpy as np

from construct.diagnostics import Mistakes
from construct.errors.propagation import Array, propagate
from construct.methods.contenders import GRADUATION, HAND, LENGTH, Scan, Turnover
from construct.methods.misses import Miss
from construct.methods.reaches import worst
from construct.methods.rounding import ROUNDING, SIZES, AnyLengthSystem, UnroundedSystem
from construct.methods.scaling import scaled
from construct.number_systems import NotANumber
from construct.number_systems.first_order import FirstOrderSystem
from construct.plan import Plan
from construct.replay import replay, settle
from construct.tools import Settings
from construct.tools._settings import AS_SAID, at_level

IMPOSSIBLE = math.inf

SIZES_TRIED = tuple(Fraction(round(1000 * 2 ** (power / 4)), 1000) for power in range(-14, 11))
"""Factors on every written length: from a twelfth to nearly six times."""

GRADUATIONS = tuple(0.1 * 2 ** (power / 4) for power in range(21))
"""0.1 mm to 3.2 mm."""

HANDS = tuple(2 ** (power / 4) for power in range(-9, 10))
"""A fifth to nearly five times the level's errors."""

CLOSE = 1e-4
"""A turnover is closed in to this part of its place."""

EQUAL = 1e-6
"""Reaches this near to each other, as a part, are one: neither method leads."""


def by_length(plans: Sequence[Plan], misses: Sequence[Miss], here_mm: float) -> Scan:
    """Return the scan along the length that the claim is about; all written lengths grow together."""

    def made(number: int, at: float) -> float:
        return at_size(plans[number], misses[number], Fraction(at).limit_denominator(100_000))

    found = _scan(LENGTH, 1.0, [float(one) for one in SIZES_TRIED], len(plans), made)
    at = tuple(one * here_mm for one in found.at)
    turnovers = tuple(replace(one, at=one.at * here_mm) for one in found.turnovers)
    return replace(found, here=here_mm, at=at, turnovers=turnovers)


def at_size(plan: Plan, miss: Miss, factor: Fraction) -> float:
    """Return a method's reach at another size, in mm; `IMPOSSIBLE` where the bench does not allow it."""
    larger, choices = scaled(plan, factor)
    try:
        settled = settle(larger, UnroundedSystem(), choices=choices)
    except Mistakes:
        return IMPOSSIBLE
    # the claim's own written lengths have grown too
    claims = dict(zip(plan.claims, settled.plan.claims, strict=True))
    return reach_of(settled.plan, replace(miss, claim=claims[miss.claim]))


def by_graduation(plans: Sequence[Plan], misses: Sequence[Miss]) -> Scan:
    """Return the scan along the ruler's graduation."""
    benches = [plan.settings for plan in plans]

    def made(number: int, at: float) -> float:
        finer = at_level(replace(benches[number], graduation=Fraction(at).limit_denominator(10**6)), benches[number].level)
        return reach_of(replace(plans[number], settings=finer), misses[number])

    return _scan(GRADUATION, float(benches[0].graduation), GRADUATIONS, len(plans), made)


def by_hand(plans: Sequence[Plan], misses: Sequence[Miss]) -> Scan:
    """Return the scan along the hand: all its errors times one factor."""

    def made(number: int, at: float) -> float:
        plan = plans[number]
        return reach_of(replace(plan, settings=unsteadier(plan.settings, at)), misses[number])

    return _scan(HAND, 1.0, HANDS, len(plans), made)


def unsteadier(settings: Settings, factor: float) -> Settings:
    """Return a bench whose hand errs `factor` times as much; what the recipe sets itself stays."""
    sources = {
        name: source if source.basis.startswith(AS_SAID) else replace(source, u=source.u * factor)
        for name, source in settings.sources.items()
    }
    return replace(settings, sources=sources)


def reach_of(plan: Plan, miss: Miss) -> float:
    """Return the reach of a miss's worst part, readings' rounding as a spread, in mm."""
    try:
        offsets, hand, rounding = spread(plan, miss)
    except NotANumber:
        return IMPOSSIBLE
    return worst(offsets, [one + other for one, other in zip(hand, rounding, strict=True)])[1]


def spread(plan: Plan, miss: Miss) -> tuple[list[list[float]], list[Array], list[Array]]:
    """Return for each part: its systematic miss without rounding, and the covariances by the hand and by rounding, in mm and mm²."""
    found = propagate(lambda numbers: miss.flat(numbers, replay(plan, numbers)), system=AnyLengthSystem)
    rounded = np.array([one.source.name in (ROUNDING, SIZES) for one in found.inputs], dtype=bool)
    offsets, hand, rounding = [], [], []
    for part in _slices(miss):
        mine = found.contributions[part]
        offsets.append(found.estimates[part].tolist())
        hand.append(mine[:, ~rounded] @ mine[:, ~rounded].T)
        rounding.append(mine[:, rounded] @ mine[:, rounded].T)
    return offsets, hand, rounding


def offsets_drawn(plan: Plan, miss: Miss) -> list[list[float]]:
    """Return each part's systematic miss at the lengths drawn, rounding included, in mm (*estimate*)."""
    found = propagate(lambda numbers: miss.flat(numbers, replay(plan, numbers)), system=FirstOrderSystem)
    return [found.estimates[part].tolist() for part in _slices(miss)]


def _slices(miss: Miss) -> list[slice]:
    ends = np.cumsum(miss.sizes).tolist()
    return [slice(end - size, end) for end, size in zip(ends, miss.sizes, strict=True)]


def _scan(by: str, here: float, grid: Sequence[float], count: int, made: Callable[[int, float], float]) -> Scan:
    columns = {at: [made(number, at) for number in range(count)] for at in grid}
    for number in range(count):
        # where the bench begins or ceases to allow a way is a place of its own
        for low, high in pairwise(grid):
            if math.isinf(columns[low][number]) != math.isinf(columns[high][number]):
                for at in _halved(low, high, lambda at, n=number, at_low=low: math.isinf(made(n, at)) == math.isinf(columns[at_low][n])):  # type: ignore[misc]
                    columns.setdefault(at, [made(one, at) for one in range(count)])
    places = sorted(columns)
    turnovers = []
    leader: int | None = None
    for place, at in enumerate(places):
        ahead = _leader(columns[at], leader)
        if leader is not None and ahead is not None and ahead != leader:
            low, high = _halved(places[place - 1], at, lambda at, a=leader, b=ahead: made(a, at) <= made(b, at) * (1 + EQUAL))  # type: ignore[misc]
            for end in (low, high):
                columns.setdefault(end, [made(one, end) for one in range(count)])
            ends = "under" if math.isinf(columns[high][leader]) else "over" if math.isinf(columns[low][ahead]) else ""
            turnovers.append(Turnover(math.sqrt(low * high), leader, ahead, ends))
        leader = ahead if ahead is not None else leader
    places = sorted(columns)
    reaches = tuple(tuple(columns[at][number] for at in places) for number in range(count))
    return Scan(by, here, tuple(places), reaches, tuple(turnovers))


def _leader(reaches: Sequence[float], before: int | None) -> int | None:
    """Return the number of the least reach; of two that are one, the one that led before; None where nothing can be done."""
    least = min(reaches)
    if math.isinf(least):
        return None
    near = [number for number, one in enumerate(reaches) if one <= least * (1 + EQUAL)]
    return before if before in near else near[0]


def _halved(low: float, high: float, still: Callable[[float], bool]) -> tuple[float, float]:
    """Return two places near to each other between which something that is so at `low` and not at `high` ends."""
    while high - low > CLOSE * high:
        middle = math.sqrt(low * high)
        if still(middle):
            low = middle
        else:
            high = middle
    return low, high
