"""Angles by rigorous enclosures, and the numbers that belong to them: pi, cosines, their polynomials.

An angle is no element of the tower: it is enclosed, at whatever precision is
asked for.  Signs of coordinates are taken from the exact system, so an angle on
an axis is known without rounding.  Ball arithmetic and minimal polynomials come
from flint.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from flint import arb, ctx, fmpq, fmpz_poly

from construct.number_systems import LimitMet, NotANumber
from construct.number_systems import _balls as balls
from construct.number_systems.exact import ExactSystem
from construct.number_systems.interval import Enclosure
from construct.phrasebook import say

LARGEST_DENOMINATOR = 2000
"""Up to this n the minimal polynomial of cos 2πk/n is written down."""


def pi(bits: int) -> Enclosure:
    """Return pi as a value of `IntervalSystem` (*enclosure*)."""
    return Enclosure(balls.pi(bits), bits)


def turns(exact: ExactSystem, x: Any, y: Any, bits: int) -> tuple[Fraction, Fraction]:
    """Return (lower, upper) around the angle from the +x axis to (x, y), in turns (*enclosure*).

    It lies in (-1/2, 1/2].  `NotANumber` for (0, 0), which has no direction.
    """
    x_sign, y_sign = exact.sign(x), exact.sign(y)
    if y_sign == 0:
        if x_sign == 0:
            raise NotANumber(say("no_number.no_direction"))
        value = Fraction(0) if x_sign > 0 else Fraction(1, 2)
        return value, value
    if x_sign == 0:
        return Fraction(y_sign, 4), Fraction(y_sign, 4)
    inner = bits
    while True:
        angle = balls.turned(exact, x, y, inner)
        with ctx.workprec(inner):
            # `turned` counts from 0 to a whole turn; below the axis that is one turn too many
            part = angle / (2 * arb.pi()) - (1 if y_sign < 0 else 0)
        if angle.rad() < 1:
            return balls.ends(part)
        inner *= 2


def cosine(part: Fraction, bits: int) -> tuple[Fraction, Fraction]:
    """Return (lower, upper) around the cosine of `part` of a turn (*enclosure*)."""
    with ctx.workprec(bits):
        return balls.ends(arb.cos_pi_fmpq(fmpq(2 * part.numerator, part.denominator)))


def sine(part: Fraction, bits: int) -> tuple[Fraction, Fraction]:
    """Return (lower, upper) around the sine of `part` of a turn (*enclosure*)."""
    with ctx.workprec(bits):
        return balls.ends(arb.sin_pi_fmpq(fmpq(2 * part.numerator, part.denominator)))


def root(lower: Fraction, upper: Fraction, bits: int) -> tuple[Fraction, Fraction]:
    """Return (lower, upper) around the root of a number ≥ 0 that lies in [lower, upper] (*enclosure*)."""
    with ctx.workprec(bits):
        sides = [arb(fmpq(end.numerator, end.denominator)).sqrt() for end in (max(lower, Fraction(0)), upper)]
        return max(balls.ends(sides[0])[0], Fraction(0)), balls.ends(sides[1])[1]


def cosine_polynomial(n: int) -> Sequence[int]:
    """Return the coefficients of the minimal polynomial of 2·cos 2π/n, constant term first.

    It is monic with whole coefficients; its roots are 2·cos 2πk/n for k prime to n.
    `LimitMet` beyond `LARGEST_DENOMINATOR`.
    """
    if n > LARGEST_DENOMINATOR:
        raise LimitMet(say("limit.fine_angle", n=n))
    return [int(coefficient) for coefficient in fmpz_poly.cos_minpoly(n).coeffs()]


def is_conjugate_cosine(exact: ExactSystem, value: Any, n: int) -> bool:
    """Tell whether `value` is cos 2πk/n for some k prime to n: *exact*, adjoins no root."""
    total = exact.rational(0)
    double = value * 2
    for coefficient in reversed(cosine_polynomial(n)):
        total = total * double + coefficient
    return exact.sign(total) == 0
