"""By how much two chips are not alike: an *estimate* for people, never for a decision.

Definition: corners and middles of edges of one chip are matched in order with
those of the other, from every corner on and also mirrored; for each matching
the motion that fits best in least squares is taken (in closed form); the misfit
is the largest distance that is left, in the matching where it is smallest.
Outlines with different numbers of corners are matched by marks at equal steps
along them.  Worked in fractions of 60 digits, so that a misfit of 10⁻³⁰ mm shows.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from construct.chips import Chip, ChipEdge, Outline
from construct.chips.predicates import simplified
from construct.geometry import Point

_DIGITS = 60
_UNIT = 10**_DIGITS
_STEPS = 48

Spot = tuple[Fraction, Fraction]
Flat = tuple[float, float]


def misfit(exact: Any, a: Chip, b: Chip) -> float:
    """Return how far two chips' outlines are from alike, in mm (*estimate*); see the file's head for the definition."""
    one, two = (simplified(exact, chip.outline) for chip in (a, b))
    if len(one) == len(two):
        first, second = _marks(exact, one), _marks(exact, two)
        step = 2
    else:
        first, second = _evenly(exact, one), _evenly(exact, two)
        step = 1
    backwards = [(-x, y) for x, y in reversed(first)]
    if step == 2:  # corners and middles: begin with a corner again
        backwards = [backwards[-1], *backwards[:-1]]
    best: Fraction | None = None
    for marks in (first, backwards):
        for offset in range(0, len(second), step):
            left = _left_over(marks, [*second[offset:], *second[:offset]])
            best = left if best is None or left < best else best
    assert best is not None
    return math.sqrt(best) if best > Fraction(1, 10 ** (2 * _DIGITS - 20)) else 0.0


def _left_over(marks: Sequence[Spot], goals: Sequence[Spot]) -> Fraction:
    """Return the largest squared distance after the best motion in least squares (a turn about the means)."""
    n = len(marks)
    mean, goal = (_mean(spots) for spots in (marks, goals))
    moved = [((x - mean[0]), (y - mean[1])) for x, y in marks]
    fixed = [((x - goal[0]), (y - goal[1])) for x, y in goals]
    cosine = sum((moved[i][0] * fixed[i][0] + moved[i][1] * fixed[i][1] for i in range(n)), Fraction(0))
    sine = sum((moved[i][0] * fixed[i][1] - moved[i][1] * fixed[i][0] for i in range(n)), Fraction(0))
    length = _root(cosine * cosine + sine * sine)
    cosine, sine = (cosine / length, sine / length) if length else (Fraction(1), Fraction(0))
    cosine, sine = _short(cosine), _short(sine)
    return max((cosine * x - sine * y - u) ** 2 + (sine * x + cosine * y - v) ** 2 for (x, y), (u, v) in zip(moved, fixed, strict=True))


def _mean(spots: Sequence[Spot]) -> Spot:
    return _short(sum((x for x, _ in spots), Fraction(0)) / len(spots)), _short(sum((y for _, y in spots), Fraction(0)) / len(spots))


def _short(value: Fraction) -> Fraction:
    return Fraction(round(value * _UNIT), _UNIT)


def _root(square: Fraction) -> Fraction:
    return Fraction(math.isqrt(int(square * _UNIT * _UNIT)), _UNIT) if square > 0 else Fraction(0)


def _number(exact: Any, value: Any) -> Fraction:
    low, high = exact.enclosure(value, _DIGITS)
    return _short((low + high) / 2)


def _spot(exact: Any, point: Point) -> Spot:
    return _number(exact, point.x), _number(exact, point.y)


def _flat(exact: Any, point: Point) -> Flat:
    x, y = _spot(exact, point)
    return float(x), float(y)


def _marks(exact: Any, walk: Outline) -> list[Spot]:
    """Return every corner, each with the middle of the edge after it."""
    found = []
    for edge in walk:
        found += [_spot(exact, edge.start), _middle(exact, edge)]
    return found


def _middle(exact: Any, edge: ChipEdge) -> Spot:
    (ax, ay), (bx, by) = _spot(exact, edge.start), _spot(exact, edge.finish)
    if edge.circle is None:
        return (ax + bx) / 2, (ay + by) / 2
    cx, cy = _spot(exact, edge.circle.centre)
    if edge.whole:
        return 2 * cx - ax, 2 * cy - ay
    # the middle lies square to the chord, to its right where counterclockwise
    dx, dy = (by - ay) * edge.sense, (ax - bx) * edge.sense
    part = _root(_number(exact, edge.circle.square)) / _root(dx * dx + dy * dy)
    return _short(cx + dx * part), _short(cy + dy * part)


def _evenly(exact: Any, walk: Outline) -> list[Spot]:
    """Return marks at equal steps along a walk, from its first corner on."""
    pieces: list[tuple[float, Flat, Flat, Flat | None, float]] = []
    for edge in walk:
        a, b = (_flat(exact, end) for end in (edge.start, edge.finish))
        if edge.circle is None:
            pieces.append((math.dist(a, b), a, b, None, 0.0))
            continue
        c = _flat(exact, edge.circle.centre)
        angle = math.atan2(b[1] - c[1], b[0] - c[0]) - math.atan2(a[1] - c[1], a[0] - c[0])
        angle = edge.sense * (math.tau if edge.whole else (edge.sense * angle) % math.tau)
        pieces.append((math.dist(a, c) * abs(angle), a, b, c, angle))
    step = sum(piece[0] for piece in pieces) / _STEPS
    found: list[Spot] = []
    at = 0.0
    for length, a, b, centre, angle in pieces:
        while at < length and len(found) < _STEPS:
            part = at / length
            if centre is None:
                spot = a[0] + (b[0] - a[0]) * part, a[1] + (b[1] - a[1]) * part
            else:
                u, v, w = a[0] - centre[0], a[1] - centre[1], angle * part
                spot = centre[0] + u * math.cos(w) - v * math.sin(w), centre[1] + u * math.sin(w) + v * math.cos(w)
            found.append((Fraction(spot[0]), Fraction(spot[1])))
            at += step
        at -= length
    return found + [found[0]] * (_STEPS - len(found))
