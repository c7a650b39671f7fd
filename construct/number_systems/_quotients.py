"""Fractions of polynomials in free choices, kept in lowest terms: the base elements of a tower over letters.

A base element is a `flint.fmpq` where it holds no letter, else a `Quotient`;
sums and products fall back to `fmpq` by themselves, so zero is always `fmpq(0)`.
Polynomials are `flint.fmpz_mpoly`; sizes are looked at before each call that
could take long, because a call into the C library can not be stopped.
"""

from __future__ import annotations

from typing import Any

from flint import fmpq, fmpz
from flint.utils.flint_exceptions import DomainError, IncompatibleContextError

from construct.number_systems import LimitMet
from construct.phrasebook import say

MAX_SQUARE = 100_000
"""No square root is taken of more terms: at most about 0.1 s (measured)."""

MAX_DIVISOR = 1_000_000
"""No common divisor is asked for where the numbers of terms have a larger product: at most about 0.1 s (measured)."""

MAX_PRODUCTS = 4_000_000
"""No product of polynomials takes more products of terms: at most about 0.1 s (measured)."""

_BITS_PER_TERM = 8
_ZERO = fmpq(0)
_new = object.__new__


class Quotient:
    """above / below: coprime, the leading coefficient of `below` positive, at least one letter in them.

    whole: True where `below` is 1.
    here: its value at the drawn example, once asked for; may be unset.
    """

    __slots__ = ("above", "below", "here", "whole")

    above: Any
    below: Any
    here: fmpq
    whole: bool

    def __repr__(self) -> str:
        return f"Quotient({self.above}, {self.below})"

    def height_bits(self) -> int:
        """Its size, on the scale of the bits of a rational number: eight for a term."""
        return (len(self.above) + len(self.below)) * _BITS_PER_TERM

    def __neg__(self) -> Quotient:
        return _quotient(-self.above, self.below, self.whole)

    def __add__(self, other: Any) -> Any:
        if other.__class__ is not Quotient:
            return self._plus(other)
        try:
            if self.whole and other.whole:
                return _found(self.above + other.above, self.below, True)
            return _sum(self.above, self.below, other.above, other.below)
        except IncompatibleContextError:
            one, two = aligned(self, other)
            return one + two

    __radd__ = __add__

    def __sub__(self, other: Any) -> Any:
        if other.__class__ is not Quotient:
            # of a surd, unary minus would be a second pass over all its parts
            return self._plus(-other) if isinstance(other, int | fmpq) else NotImplemented
        try:
            if self.whole and other.whole:
                return _found(self.above - other.above, self.below, True)
            return _sum(self.above, self.below, -other.above, other.below)
        except IncompatibleContextError:
            one, two = aligned(self, other)
            return one - two

    def __rsub__(self, other: Any) -> Any:
        return (-self)._plus(other)

    def __mul__(self, other: Any) -> Any:
        if other.__class__ is not Quotient:
            return self._times(other)
        try:
            return _product(self, other.above, other.below, other.whole)
        except IncompatibleContextError:
            one, two = aligned(self, other)
            return one * two

    __rmul__ = __mul__

    def __truediv__(self, other: Any) -> Any:
        if other.__class__ is not Quotient:
            if not isinstance(other, int | fmpq):
                return NotImplemented
            return self._times(1 / fmpq(other))
        try:
            return _product(self, *_turned_over(other.above, other.below))
        except IncompatibleContextError:
            one, two = aligned(self, other)
            return one / two

    def __rtruediv__(self, other: Any) -> Any:
        if not isinstance(other, int | fmpq):
            return NotImplemented
        return _quotient(*_turned_over(self.above, self.below))._times(other)

    def _plus(self, number: Any) -> Any:
        """The sum with a rational number."""
        if number.__class__ is int:
            top, bottom = fmpz(number), _ONE
        elif number.__class__ is fmpq:
            top, bottom = number.p, number.q
        else:
            return NotImplemented
        if not top:
            return self
        if bottom == 1:
            return _quotient(self.above + self.below * top, self.below, self.whole)
        common = self.below.content().gcd(bottom)
        if common == 1:
            return _quotient(self.above * bottom + self.below * top, self.below * bottom, False)
        below = _over(self.below, common)
        above = self.above * (bottom // common) + below * top
        below = below * bottom
        common = above.content().gcd(common)
        if common != 1:
            above, below = _over(above, common), _over(below, common)
        return _quotient(above, below, below == 1)

    def _times(self, number: Any) -> Any:
        """The product with a rational number."""
        if number.__class__ is int:
            top, bottom = fmpz(number), _ONE
        elif number.__class__ is fmpq:
            top, bottom = number.p, number.q
        else:
            return NotImplemented
        if not top:
            return _ZERO
        above, below, whole = self.above, self.below, self.whole
        if not whole and top != 1:
            common = below.content().gcd(top)
            if common != 1:
                top //= common
                below = _over(below, common)
                whole = below == 1
        if bottom != 1:
            common = above.content().gcd(bottom)
            if common != 1:
                bottom //= common
                above = _over(above, common)
            if bottom != 1:
                below = below * bottom
                whole = False
        return _quotient(above * top if top != 1 else above, below, whole)


_ONE = fmpz(1)


def aligned(one: Quotient, two: Quotient) -> tuple[Quotient, Quotient]:
    """The two over the polynomials in more letters of either."""
    first, second = one.above.context(), two.above.context()
    return (lifted(one, second), two) if first.nvars() < second.nvars() else (one, lifted(two, first))


def lifted(element: Any, context: Any) -> Any:
    """A base element over polynomials in more letters: the same number, written anew in its place, once and for all."""
    if element.__class__ is Quotient and element.above.context() is not context:
        element.above = element.above.project_to_context(context)
        element.below = element.below.project_to_context(context)
    return element


def quotient(above: Any, below: Any) -> Any:
    """above / below in lowest terms; `below` is not zero."""
    if not above:
        return _ZERO
    common = common_divisor(above, below)
    if common != 1:
        above, below = above / common, below / common
    if below.leading_coefficient() < 0:
        above, below = -above, -below
    return _found(above, below, below == 1)


def common_divisor(one: Any, other: Any) -> Any:
    """The greatest common divisor of two polynomials, leading coefficient positive; `LimitMet` where they are large."""
    if len(one) * len(other) > MAX_DIVISOR:
        raise LimitMet(say("limit.expression"))
    return one.gcd(other)


def exact_root(polynomial: Any) -> Any | None:
    """The polynomial whose square it is, of either sign, or None; `LimitMet` where it is large."""
    if polynomial.leading_coefficient() < 0:
        return None
    if len(polynomial) > MAX_SQUARE:
        raise LimitMet(say("limit.expression"))
    try:
        return polynomial.sqrt()
    except DomainError:
        return None


def times(one: Any, other: Any) -> Any:
    """The product of two polynomials; `LimitMet` where it would be large."""
    if len(one) * len(other) > MAX_PRODUCTS:
        raise LimitMet(say("limit.expression"))
    return one * other


def _quotient(above: Any, below: Any, whole: bool) -> Quotient:
    made = _new(Quotient)
    made.above = above
    made.below = below
    made.whole = whole
    return made


def _found(above: Any, below: Any, whole: bool) -> Any:
    """The quotient of coprime polynomials, or the rational number that it is."""
    if len(above) <= 1:
        if not above:
            return _ZERO
        if len(below) == 1 and above.is_constant() and below.is_constant():
            return fmpq(above.leading_coefficient(), below.leading_coefficient())
    return _quotient(above, below, whole)


def _over(polynomial: Any, number: fmpz) -> Any:
    return polynomial // number


def _turned_over(above: Any, below: Any) -> tuple[Any, Any, bool]:
    if above.leading_coefficient() < 0:
        return -below, -above, above == -1
    return below, above, above == 1


def _sum(a: Any, b: Any, c: Any, d: Any) -> Any:
    """a/b + c/d, with common divisors of the denominators alone (P. Henrici, J. ACM 3 (1956) 6-9; from memory)."""
    if b == d:
        above = a + c
        if not above:
            return _ZERO
        common = common_divisor(above, b)
        if common != 1:
            above, b = above / common, b / common
        return _found(above, b, b == 1)
    common = common_divisor(b, d)
    if common == 1:
        return _found(times(a, d) + times(c, b), times(b, d), False)
    b = b / common
    above = times(a, d / common) + times(c, b)
    if not above:
        return _ZERO
    rest = common_divisor(above, common)
    if rest != 1:
        above, d = above / rest, d / rest
    below = times(b, d)
    return _found(above, below, below == 1)


def _product(one: Quotient, c: Any, d: Any, whole: bool) -> Any:
    """one · c/d."""
    a, b = one.above, one.below
    if a is c and b is d:
        return _quotient(times(a, a), b if whole else times(b, b), whole)
    if not whole:
        common = common_divisor(a, d)
        if common != 1:
            a, d = a / common, d / common
    if not one.whole:
        common = common_divisor(b, c)
        if common != 1:
            b, c = b / common, c / common
    if one.whole:
        below = d
    elif whole:
        below = b
    else:
        below = times(b, d)
    return _found(times(a, c), below, below == 1)
