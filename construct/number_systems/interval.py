"""Rigorous enclosures from a ball-arithmetic library: every value holds the exact one.

Every result is an *enclosure*, at whatever precision.  What a ball can not
settle stays open: a sign is then None, and a root or a quotient is refused.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from flint import arb, ctx, fmpq

from construct.number_systems import NotANumber, Rational, Source
from construct.phrasebook import say


class Enclosure:
    """A value: `ball` is an `arb` that holds the exact number; + - * / round outwards.

    It has no truth value and no order, and `==` is identity.
    """

    __slots__ = ("ball", "bits")

    def __init__(self, ball: arb, bits: int) -> None:
        self.ball = ball
        self.bits = bits

    def __repr__(self) -> str:
        return f"Enclosure({self.ball!r})"

    def __add__(self, other: Any) -> Enclosure:
        with ctx.workprec(self.bits):
            return Enclosure(self.ball + _ball(other), self.bits)

    __radd__ = __add__

    def __sub__(self, other: Any) -> Enclosure:
        with ctx.workprec(self.bits):
            return Enclosure(self.ball - _ball(other), self.bits)

    def __rsub__(self, other: Any) -> Enclosure:
        with ctx.workprec(self.bits):
            return Enclosure(_ball(other) - self.ball, self.bits)

    def __mul__(self, other: Any) -> Enclosure:
        with ctx.workprec(self.bits):
            return Enclosure(self.ball * _ball(other), self.bits)

    __rmul__ = __mul__

    def __truediv__(self, other: Any) -> Enclosure:
        with ctx.workprec(self.bits):
            return _quotient(self.ball, _ball(other), self.bits)

    def __rtruediv__(self, other: Any) -> Enclosure:
        with ctx.workprec(self.bits):
            return _quotient(_ball(other), self.ball, self.bits)

    def __neg__(self) -> Enclosure:
        # the library rounds a negative to its current precision as well
        with ctx.workprec(self.bits):
            return Enclosure(-self.ball, self.bits)

    def __bool__(self) -> bool:
        raise TypeError("an enclosure has no truth value: ask the number system for its sign")


class IntervalSystem:
    """Numbers are `Enclosure` values (*enclosure*).

    bits: working precision of every operation.
    """

    name = "interval"
    has_errors = False

    def __init__(self, *, bits: int = 128) -> None:
        self.bits = bits

    def rational(self, value: Rational) -> Enclosure:
        """A ball around `value`."""
        with ctx.workprec(self.bits):
            return Enclosure(_ball(value), self.bits)

    def letter(self, name: str, drawn: Rational) -> Enclosure:
        """A ball around the drawn value of a free choice."""
        return self.rational(drawn)

    def sqrt(self, value: Enclosure) -> Enclosure:
        """The root of `value`; `NotANumber` unless the whole ball is not negative."""
        with ctx.workprec(self.bits):
            if value.ball >= 0:
                return Enclosure(value.ball.sqrt(), self.bits)
        about = self.to_float(value)
        raise NotANumber(say("no_number.is_negative" if value.ball < 0 else "no_number.may_be_negative", about=about), about)

    def error(self, key: tuple[object, ...], source: Source) -> Enclosure:
        """Zero: this system replays a bench without errors."""
        return self.rational(0)

    def reading(self, value: Enclosure, graduation: Rational) -> Enclosure:
        """A ball around every reading that is possible."""
        step = Fraction(graduation)
        lower, upper = self.bounds(value)
        # Both ends rounded outwards at a tie, where the hand could take either.
        return self._around(math.ceil(lower / step - Fraction(1, 2)) * step, math.floor(upper / step + Fraction(1, 2)) * step)

    def hole(self, value: Enclosure, holes: Sequence[Rational]) -> Enclosure:
        """A ball around every hole that may be the nearest."""
        if not holes:
            raise ValueError("a template needs at least one hole")
        lower, upper = self.bounds(value)
        near_lower = min(holes, key=lambda hole: (abs(Fraction(hole) - lower), hole))
        near_upper = min(holes, key=lambda hole: (abs(Fraction(hole) - upper), -hole))
        return self._around(Fraction(near_lower), Fraction(near_upper))

    def sign(self, value: Enclosure) -> int | None:
        """The sign where the ball settles it, else None."""
        if value.ball > 0:
            return 1
        if value.ball < 0:
            return -1
        return 0 if value.ball.is_zero() else None

    def to_float(self, value: Enclosure) -> float:
        """The middle of the ball (*estimate*)."""
        return float(value.ball.mid())

    def bounds(self, value: Enclosure) -> tuple[Fraction, Fraction]:
        """(lower, upper) ends of the ball, without rounding (*enclosure*)."""
        if not value.ball.is_finite():
            raise NotANumber(say("no_number.no_ends"))
        middle, radius = (
            Fraction(int(mantissa)) * Fraction(2) ** int(exponent)
            for mantissa, exponent in (value.ball.mid().man_exp(), value.ball.rad().man_exp())
        )
        return middle - radius, middle + radius

    def _around(self, first: Fraction, last: Fraction) -> Enclosure:
        with ctx.workprec(self.bits):
            return Enclosure(_ball(first).union(_ball(last)), self.bits)


def _ball(value: Any) -> arb:
    if value.__class__ is Enclosure:
        return value.ball
    if isinstance(value, int | Fraction) and not isinstance(value, bool):
        return arb(fmpq(value.numerator, value.denominator))
    raise TypeError(f"an enclosure does not combine with {type(value).__name__}")


def _quotient(dividend: arb, divisor: arb, bits: int) -> Enclosure:
    if divisor.contains(0):
        raise NotANumber(say("no_number.is_zero" if divisor.is_zero() else "no_number.may_be_zero"))
    return Enclosure(dividend / divisor, bits)


SYSTEM = IntervalSystem
