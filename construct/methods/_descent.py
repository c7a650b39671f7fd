"""The least of a function of a few numbers that must stay within what is allowed: moved all at once by throws, then one at a time.

Each is looked at over the whole stretch that it can be moved along from where
it is, little by little; then the best part of it more closely, by golden
section.  What is found is the least that was found, not a bound.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass

Values = tuple[float, ...]
GOLDEN = (math.sqrt(5) - 1) / 2
LOOKS = 17
"""Places looked at along a stretch before the closer look."""

CLOSER = 14
"""Golden sections of the closer look: to a thousandth of the stretch between two looks."""

HALVINGS = 14
SWEEPS = 6
ENOUGH = 0.002
"""A sweep that gains less than this part is the last."""

GROWTH = 1.6
WIDE, NARROW, THROWS_EACH, MOST_THROWS = 10.0, 0.05, 100, 500
"""Throws: the widest and narrowest spread, in mm or deg, how many for each number, and how many at most."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """How far one number can be moved with the others kept. low, high: the last values known to be allowed."""

    low: float
    high: float


def stretch(allowed: Callable[[float], bool], start: float, first: float, least: float, most: float) -> Stretch:
    """Return how far a number can be moved from `start`, both ways, by steps that grow from `first`, to `least` and `most` at most."""

    def end(way: int, last: float) -> float:
        good, step = start, first
        while True:
            at = start + way * step
            beyond = (at - last) * way >= 0
            at = last if beyond else at
            if not allowed(at):
                break
            good = at
            if beyond:
                return good
            step *= GROWTH
        bad = at
        for _ in range(HALVINGS):
            middle = (good + bad) / 2
            if allowed(middle):
                good = middle
            else:
                bad = middle
        return good

    return Stretch(end(-1, least), end(1, most))


def least_along(f: Callable[[float], float], ends: Stretch, start: float) -> tuple[float, float]:
    """Return (place, value) of the least found of f along a stretch; f is infinite where it has no value."""
    step = (ends.high - ends.low) / (LOOKS - 1)
    if step <= 0:
        return start, f(start)
    places = sorted({start, *(ends.low + step * number for number in range(LOOKS))})
    values = [f(place) for place in places]
    best = min(range(len(places)), key=values.__getitem__)
    low, high = places[max(best - 1, 0)], places[min(best + 1, len(places) - 1)]
    found = places[best], values[best]
    a, b = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
    fa, fb = f(a), f(b)
    for _ in range(CLOSER):
        if fa <= fb:
            high, b, fb = b, a, fa
            a = high - GOLDEN * (high - low)
            fa = f(a)
        else:
            low, a, fa = a, b, fb
            b = low + GOLDEN * (high - low)
            fb = f(b)
    return min(found, (a, fa), (b, fb), key=lambda pair: pair[1])


def descend(f: Callable[[Values], float], reach: Callable[[Values, int], Stretch], start: Sequence[float]) -> tuple[Values, float]:
    """Return (values, least) found from `start`.

    Each sweep moves all numbers at once by small throws, which do not get stuck in the corner where two
    conditions meet, and then one number at a time.
    """
    at = tuple(start)
    best = f(at)
    for _ in range(SWEEPS):
        had = best
        at, best = _thrown(f, at, best)
        for place in range(len(at)):

            def along(value: float, place: int = place, at: Values = at) -> float:
                return f((*at[:place], value, *at[place + 1 :]))

            value, found = least_along(along, reach(at, place), at[place])
            if found < best:
                at, best = (*at[:place], value, *at[place + 1 :]), found
        if best > had * (1 - ENOUGH):
            break
    return at, best


def _thrown(f: Callable[[Values], float], at: Values, best: float) -> tuple[Values, float]:
    """Return (values, least) after throws round the best so far, wider after a gain and narrower after none.

    The throws are always the same ones, so that a search can be done again.
    """
    if len(at) < 2:
        return at, best
    dice = random.Random(len(at))
    wide = WIDE
    for _ in range(min(THROWS_EACH * len(at), MOST_THROWS)):
        there = tuple(value + dice.gauss(0, wide) for value in at)
        found = f(there)
        # one gain in five keeps the width
        wide *= 1.22 if found < best else 0.95
        wide = min(max(wide, NARROW), WIDE)
        if found < best:
            at, best = there, found
    return at, best


def as_good(f: Callable[[float], float], ends: Stretch, start: float, most: float) -> Stretch:
    """Return the stretch round `start` in which f is at most `most`."""

    def good(value: float) -> bool:
        return f(value) <= most

    first = (ends.high - ends.low) / 64
    if first <= 0:
        return Stretch(start, start)
    return stretch(good, start, first, ends.low, ends.high)
