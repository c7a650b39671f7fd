"""Balls around exact numbers: how enclosures are made, and the angle of a direction among them.

Everything given out here is an *enclosure*, from flint's ball arithmetic.
Signs of coordinates come from the exact system, so no angle is ever asked for
where it jumps.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

from flint import arb, ctx, fmpq

from construct.number_systems import LimitMet, Number
from construct.number_systems.interval import Enclosure
from construct.phrasebook import say

Ball = arb
"""A number known to lie in it; sums and products of balls round outwards, at the precision of `working_at`."""

working_at = ctx.workprec
"""`with working_at(bits):` sets the precision of what is worked out inside."""

MOST_BITS = 1 << 14
"""No enclosure is asked for at a higher precision."""


def ball(exact: Any, number: Number, bits: int) -> Ball:
    """Return a ball around an exact number."""
    return exact.tower.ball(number.tree, bits)


def point_ball(value: Fraction) -> Ball:
    """Return a rational number as a ball, as narrow as the precision allows."""
    return arb(fmpq(value.numerator, value.denominator))


def no_limit() -> Ball:
    """Return what is above every number."""
    return arb("inf")


def enclosed(exact: Any, number: Number, bits: int) -> Enclosure:
    """Return an exact number as a value of the interval system."""
    return Enclosure(ball(exact, number, bits), bits)


def narrowed(exact: Any, make: Callable[[int], Ball], digits: int) -> tuple[Fraction, Fraction]:
    """Return (lower, upper) of what `make` encloses at some bits, at most 10^-digits apart (*enclosure*)."""
    bits = 64 + 4 * max(digits, 0)
    finer = 10 ** max(digits, 0)
    while bits <= MOST_BITS:
        lower, upper = ends(make(bits))
        if (upper - lower) * finer <= 1:
            return lower, upper
        bits *= 2
    raise LimitMet(say("limit.figures"))


def certain_sign(make: Callable[[int], Ball], most_bits: int = MOST_BITS) -> int | None:
    """Return the sign of what `make` encloses, or None where so many bits do not settle it."""
    bits = 64
    while bits <= most_bits:
        found = make(bits)
        if found > 0:
            return 1
        if found < 0:
            return -1
        bits *= 2
    return None


def ends(found: Ball) -> tuple[Fraction, Fraction]:
    """Return the ends of a ball, without rounding."""
    if not found.is_finite():
        raise LimitMet(say("limit.no_ends"))
    middle, radius = (
        Fraction(int(mantissa)) * Fraction(2) ** int(exponent) for mantissa, exponent in (found.mid().man_exp(), found.rad().man_exp())
    )
    return middle - radius, middle + radius


def pi(bits: int) -> Ball:
    """Return a ball around π."""
    with working_at(bits):
        return arb.pi()


def turned(exact: Any, cosine: Number, sine: Number, bits: int) -> Ball:
    """Return a ball around the angle in (0, 2π] whose cosine and sine are proportional to these; 2π for the direction +x.

    Which side of the +x axis the direction lies on is decided exactly.
    """
    above = exact.sign(sine)
    if above == 0:
        with working_at(bits):
            return arb.pi() * 2 if exact.sign(cosine) > 0 else arb.pi()
    y, x = ball(exact, sine, bits), ball(exact, cosine, bits)
    with working_at(bits):
        # the quarter-turn minus arctan x/y has no cut where y is not zero
        if not (y > 0 or y < 0):
            return arb(0, 7)
        angle = arb.pi() / 2 - (x / y).atan()
        return angle if above > 0 else angle + arb.pi()
