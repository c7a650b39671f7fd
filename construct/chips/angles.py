"""Exact relations between arcs' angles: parts of a turn, sums that cancel.

An angle is given by its cosine and sine in the tower and lies in (0, 2π].  That
p/q of a turn is meant is proved by the q-th power of cosine + i·sine being 1,
with an enclosure that tells which p; a sum of angles with whole coefficients
likewise.  By Baker's theorem (A. Baker, Mathematika 13 (1966); from memory)
areas that agree must agree through such relations.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from construct.number_systems import LimitMet, Number
from construct.number_systems._balls import Ball, ball, certain_sign, ends, pi, turned, working_at

LARGEST_DENOMINATOR = 240
"""Parts of a turn are looked for up to this denominator."""

MOST_TIMES = 64
"""Whole coefficients of angles that are tried for an exact relation."""

_LOOK_BITS = 128
_MOST_BITS = 4096

Term = tuple[Number, Number, Number]
"""A weight, and the cosine and sine of an angle in (0, 2π]."""


def part_of_turn(exact: Any, cosine: Number, sine: Number) -> Fraction | None:
    """Return the part of a turn that an angle in (0, 2π] is proved to be; None where none is found.

    An enclosure picks the one fraction that is possible up to `LARGEST_DENOMINATOR`; it stands only
    if the power is exactly 1.
    """
    low, high = ends(_in_turns(exact, cosine, sine))
    guess = ((low + high) / 2).limit_denominator(LARGEST_DENOMINATOR)
    if not low <= guess <= high:
        return None
    return guess if _is_one(exact, _power(exact, (cosine, sine), guess.denominator)) else None


def _in_turns(exact: Any, cosine: Number, sine: Number) -> Ball:
    angle = turned(exact, cosine, sine, _LOOK_BITS)
    with working_at(_LOOK_BITS):
        return angle / (pi(_LOOK_BITS) * 2)


def angle_sum_sign(exact: Any, free: Number, terms: Sequence[Term]) -> int | None:
    """Return the sign of free + Σ weight·angle: 0 only by exact relations, ±1 by an enclosure, None where neither is found."""

    def sized(bits: int) -> Ball:
        total = ball(exact, free, bits)
        for weight, cosine, sine in terms:
            angle, times = turned(exact, cosine, sine, bits), ball(exact, weight, bits)
            with working_at(bits):
                total = total + times * angle
        return total

    found = certain_sign(sized, 256)
    if found is not None:
        return found
    try:
        if exact.sign(free) == 0 and all(_cancels(exact, one) for one in _by_ratio(exact, terms)):
            return 0
    except LimitMet:
        pass
    return certain_sign(sized, _MOST_BITS)


def _by_ratio(exact: Any, terms: Sequence[Term]) -> list[list[tuple[Fraction, Number, Number]]]:
    """Return the terms in classes whose weights are rational multiples of the class's first; weights become these."""
    classes: list[tuple[Number, list[tuple[Fraction, Number, Number]]]] = []
    for weight, cosine, sine in terms:
        for unit, members in classes:
            ratio = exact.is_rational(weight / unit)
            if ratio is not None:
                members.append((ratio, cosine, sine))
                break
        else:
            classes.append((weight, [(Fraction(1), cosine, sine)]))
    return [members for _, members in classes]


def _cancels(exact: Any, terms: Sequence[tuple[Fraction, Number, Number]]) -> bool:
    """Tell whether Σ ratio·angle is proved to be zero.

    Rational parts of a turn are added up as such.  Of the rest, times their common denominator,
    the product of powers must be 1, and an enclosure tells how many turns the sum then is.
    """
    turns = Fraction(0)
    rest: list[list[Any]] = []
    for ratio, cosine, sine in terms:
        part = part_of_turn(exact, cosine, sine)
        if part is not None:
            turns += ratio * part
            continue
        for one in rest:
            if exact.sign(one[1] - cosine) == 0 and exact.sign(one[2] - sine) == 0:
                one[0] += ratio
                break
        else:
            rest.append([ratio, cosine, sine])
    rest = [one for one in rest if one[0]]
    if not rest:
        return turns == 0
    scale = math.lcm(*(ratio.denominator for ratio, _, _ in rest))
    if any(abs(ratio * scale) > MOST_TIMES for ratio, _, _ in rest):
        return False
    product = exact.rational(1), exact.rational(0)
    total = Ball(0)
    for ratio, cosine, sine in rest:
        times = int(ratio * scale)
        turned_back = cosine, sine if times > 0 else -sine
        product = _times(product, _power(exact, turned_back, abs(times)))
        share = _in_turns(exact, cosine, sine)
        with working_at(_LOOK_BITS):
            total = total + share * times
    # what the rest must come to, in turns, if the whole is to be zero
    wanted = -turns * scale
    low, high = ends(total)
    if not low <= wanted <= high:
        return False
    return _is_one(exact, _power(exact, product, wanted.denominator)) and high - low < Fraction(1, 4 * wanted.denominator)


def _times(a: tuple[Number, Number], b: tuple[Number, Number]) -> tuple[Number, Number]:
    return a[0] * b[0] - a[1] * b[1], a[0] * b[1] + a[1] * b[0]


def _power(exact: Any, base: tuple[Number, Number], times: int) -> tuple[Number, Number]:
    result = exact.rational(1), exact.rational(0)
    while times:
        if times & 1:
            result = _times(result, base)
        base = _times(base, base) if times > 1 else base
        times >>= 1
    return result


def _is_one(exact: Any, number: tuple[Number, Number]) -> bool:
    return exact.sign(number[1]) == 0 and exact.sign(number[0] - 1) == 0
