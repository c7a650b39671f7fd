"""How far off a miss may lie 19 times in 20: one figure from what is systematic and what is random.

What is systematic is known and not taken off, because the hand at the bench
does not take it off either.  So it is kept inside: the reach is the R for which
a normal distribution about the systematic miss lies within R of no miss with
probability 0.95.  With nothing systematic that is 1.96·u for a difference of
lengths and 2.4477·u for a mark with equal u both ways.  (JCGM 100, F.2.4.5 is about
effects left uncorrected, from memory; |b| + U, a usual way out, is a ceiling of this.)
*First order*: u comes from sensitivities.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

COVERAGE = 0.95
BOTH_WAYS = 2.4478
"""No spread reaches farther past its offset than so many of its largest u: a normal distribution with equal u both ways."""

FLAT = 1e-6
"""A spread smaller than this part of the other one counts as none."""

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(120)


def reach(offset: Sequence[float], covariance: Array) -> float:
    """Return the radius about no miss that holds 95 % of a normal distribution, in mm.

    offset: the systematic miss, one or two numbers in mm.  covariance: of the same numbers, in mm².
    Cost: about 2 ms.
    """
    if len(offset) == 1:
        return _one(abs(float(offset[0])), math.sqrt(max(float(covariance[0, 0]), 0.0)))
    values, vectors = np.linalg.eigh(covariance)
    small, large = (math.sqrt(max(float(value), 0.0)) for value in values)
    across, along = (abs(float(vectors[:, place] @ np.asarray(offset, dtype=float))) for place in (0, 1))
    if not large > 0:
        return math.hypot(across, along)
    if small <= FLAT * large:
        return math.hypot(across, _one(along, large))
    return _solved(lambda radius: _inside(radius, along, large, across, small), math.hypot(across, along) + 6 * large)


def _one(offset: float, u: float) -> float:
    """Return R with P(|offset + u·Z| ≤ R) = 0.95."""
    if not u > 0:
        return offset
    scale = u * math.sqrt(2)
    return _solved(lambda radius: 0.5 * (math.erf((radius - offset) / scale) + math.erf((radius + offset) / scale)), offset + 6 * u)


def _inside(radius: float, along: float, large: float, across: float, small: float) -> float:
    """Return the probability of lying in a disc, by integrating chords square to the longer axis."""
    low, high = max(-radius, along - 9 * large), min(radius, along + 9 * large)
    if low >= high:
        return 0.0
    # x = R·sin t takes the edge of the disc out of the integrand
    first, last = math.asin(low / radius), math.asin(high / radius)
    t = 0.5 * (last - first) * _NODES + 0.5 * (last + first)
    x, half = radius * np.sin(t), radius * np.cos(t)
    density = np.exp(-0.5 * ((x - along) / large) ** 2) / (large * math.sqrt(math.tau))
    scale = small * math.sqrt(2)
    chord = np.array([0.5 * (math.erf((one - across) / scale) + math.erf((one + across) / scale)) for one in half.tolist()])
    return float(0.5 * (last - first) * np.sum(_WEIGHTS * density * chord * half))


def worst(offsets: Sequence[Sequence[float]], covariances: Sequence[Array]) -> tuple[int, float]:
    """Return which of several parts reaches farthest, and how far; parts that can not be it are not worked out."""
    ceilings = []
    for offset, covariance in zip(offsets, covariances, strict=True):
        large = math.sqrt(max(float(np.linalg.eigvalsh(covariance)[-1]), 0.0))
        ceilings.append(math.hypot(*offset) + BOTH_WAYS * large)
    part, found = 0, -1.0
    for number in sorted(range(len(offsets)), key=lambda one: -ceilings[one]):
        if ceilings[number] < found:
            break
        here = reach(offsets[number], covariances[number])
        if here > found:
            part, found = number, here
    return part, found


def _solved(probability: Callable[[float], float], most: float) -> float:
    """Return where a rising probability comes to 0.95, to a part in 10⁸: false position, each end's weight halved where it stays."""
    low, high = 0.0, most
    under, over = -COVERAGE, probability(high) - COVERAGE
    while high - low > 1e-8 * most:
        middle = min(max(high - over * (high - low) / (over - under), low + 2e-9 * most), high - 2e-9 * most)
        off = probability(middle) - COVERAGE
        if off < 0:
            low, under, over = middle, off, over / 2
        else:
            high, over, under = middle, off, under / 2
    return 0.5 * (low + high)
