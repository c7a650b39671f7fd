"""Exact constructible numbers: proofs and closed forms.

A value is an element of a tower of real quadratic extensions of the rational
numbers.  Every answer here is *exact* or an *enclosure*; no float ever enters.
A question too large for the limits ends in `LimitMet`, never in a guess.

For a certificate: `value.tree` is a `flint.fmpq` or a `Surd`, whose `free`,
`factor` and `root` mean free + factor·√(root.radicand); `root.radicand` is such
a tree again, over earlier roots; `system.tower.roots` lists them as adjoined.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

from flint import fmpq

from construct.number_systems import NotANumber, Rational, Source, Tie
from construct.number_systems._closed_form import print_briefly, print_element
from construct.number_systems._decimals import print_decimal, rounded
from construct.number_systems._for_sympy import to_sympy
from construct.number_systems._rational_base import RationalBase
from construct.number_systems._surds import Raw, Surd, over_limit
from construct.number_systems._tower import NegativeRadicandError, Tower
from construct.phrasebook import say

_new = object.__new__

MAX_BITS = 1 << 16
"""No coefficient of a value may be larger than this, in bits."""


class Exact:
    """A value: `tree` says what it is, and + - * / and unary - work exactly.

    It has no truth value and no order, and `==` between values is identity, for
    equal numbers may be written differently: ask `ExactSystem.equal` or `sign`.
    """

    __slots__ = ("tree",)

    tree: Raw

    def __repr__(self) -> str:
        return f"Exact({print_briefly(self.tree)})"

    # The hottest lines of an exact replay: written out, not shared.

    def __add__(self, other: Any) -> Exact:
        result = _new(Exact)
        kind = other.__class__
        if kind is Exact:
            result.tree = self.tree + other.tree
        else:
            result.tree = self.tree + (other if kind is int else _raw(other))
        return result

    __radd__ = __add__

    def __sub__(self, other: Any) -> Exact:
        result = _new(Exact)
        kind = other.__class__
        if kind is Exact:
            result.tree = self.tree - other.tree
        else:
            result.tree = self.tree - (other if kind is int else _raw(other))
        return result

    def __rsub__(self, other: Any) -> Exact:
        result = _new(Exact)
        result.tree = (other if other.__class__ is int else _raw(other)) - self.tree
        return result

    def __mul__(self, other: Any) -> Exact:
        kind = other.__class__
        if kind is Exact:
            tree = self.tree * other.tree
            # Only products of values double in size; both factors are within the limit here.
            if tree.height_bits() > MAX_BITS:
                raise over_limit(tree.height_bits(), MAX_BITS)
        else:
            tree = self.tree * (other if kind is int else _raw(other))
        result = _new(Exact)
        result.tree = tree
        return result

    __rmul__ = __mul__

    def __truediv__(self, other: Any) -> Exact:
        kind = other.__class__
        divisor = other.tree if kind is Exact else other if kind is int else _raw(other)
        if divisor.__class__ is Surd:
            root = divisor.root
            if root.nested and root.tower.is_zero(divisor):
                raise NotANumber(say("no_number.by_zero"))
        elif not divisor:
            raise NotANumber(say("no_number.by_zero"))
        tree = self.tree / divisor
        if tree.height_bits() > MAX_BITS:
            raise over_limit(tree.height_bits(), MAX_BITS)
        result = _new(Exact)
        result.tree = tree
        return result

    def __rtruediv__(self, other: Any) -> Exact:
        dividend = _new(Exact)
        dividend.tree = fmpq(other) if other.__class__ is int else _raw(other)
        return dividend / self

    def __neg__(self) -> Exact:
        result = _new(Exact)
        result.tree = -self.tree
        return result

    def __pos__(self) -> Exact:
        return self

    def __bool__(self) -> bool:
        raise TypeError("an exact value has no truth value: ask the number system for its sign")

    def _refuse_order(self, other: object) -> bool:
        raise TypeError("exact values are not compared by operators: ask the number system for a sign")

    __lt__ = __le__ = __gt__ = __ge__ = _refuse_order

    def __eq__(self, other: object) -> bool:
        if isinstance(other, int | float | Fraction):
            raise TypeError("an exact value is compared with a number by the number system only")
        return self is other

    __hash__ = object.__hash__


def _raw(value: Any) -> Raw:
    """What `value`, not an `Exact`, is in a tree; `TypeError` for a float and all else."""
    if isinstance(value, int | Fraction) and not isinstance(value, bool):
        return fmpq(value.numerator, value.denominator)
    if isinstance(value, float):
        raise TypeError(_NO_FLOAT)
    raise TypeError(f"an exact value does not combine with {type(value).__name__}")


_NO_FLOAT = "a float can not enter an exact value: write it as an int or a Fraction"


class ExactSystem:
    """Numbers are `Exact` values of one tower; signs, zeros and readings are *exact*.

    max_roots: how many square roots may be adjoined in one replay.
    max_bits: how large a coefficient may become beside a root, in bits.
    max_work: steps of arithmetic beside roots that one question may take; very roughly a
        hundred thousand a second.  After eight such questions the allowance shrinks.
    tested_roots: connected nested roots up to which a new radicand is tested for being
        a square already; the test may take 2 to this power steps.  Beyond it a
        redundant root may be adjoined, which costs time but no truth.
    factor_bits: integers up to this size are factored completely.
    drawn: values of free choices by name, instead of those that the recipe says; where it is given,
        a free angle is one such number too (see `Bench.free_direction`).
    """

    name = "exact"
    has_errors = False

    def __init__(
        self,
        *,
        max_roots: int = 96,
        max_bits: int = MAX_BITS,
        max_work: int = 250_000,
        tested_roots: int = 8,
        factor_bits: int = 64,
        drawn: Mapping[str, Fraction] | None = None,
    ) -> None:
        self.has_letters = drawn is not None
        self._drawn = drawn or {}
        self.base = RationalBase(factor_bits=factor_bits)
        self.tower = Tower(
            self.base,
            max_roots=max_roots,
            max_bits=max_bits,
            max_work=max_work,
            tested_roots=tested_roots,
        )

    # The contract

    def rational(self, value: Rational) -> Exact:
        """The number `value`; `TypeError` for a float."""
        result = _new(Exact)
        result.tree = self.base.number(value if value.__class__ is int else _checked(value))
        return result

    def letter(self, name: str, drawn: Rational) -> Exact:
        """The drawn value of a free choice: this system proves things for it alone."""
        return self.rational(self._drawn.get(name, drawn))

    def sqrt(self, value: Exact | Rational) -> Exact:
        """The root that is not negative; `NotANumber` for a negative number."""
        tree = self._tree(value)
        result = _new(Exact)
        try:
            result.tree = self.tower.sqrt(tree)
        except NegativeRadicandError:
            about = self.to_float(value)
            raise NotANumber(say("no_number.negative_root", about=about), about) from None
        return result

    def error(self, key: tuple[object, ...], source: Source) -> Exact:
        """Zero: an exact replay has no bench errors."""
        return self.rational(0)

    def reading(self, value: Exact | Rational, graduation: Rational) -> Exact:
        """The nearest multiple of `graduation`, *exact*; `Tie` where two are equally near."""
        step = Fraction(_checked(graduation))
        if step <= 0:
            raise ValueError("a graduation is more than 0")
        count = self._floor(self._tree(value) / fmpq(step.numerator, step.denominator) + fmpq(1, 2))
        if count.__class__ is Fraction:
            raise Tie((count - 1) * step, count * step)
        return self.rational(count * step)

    def hole(self, value: Exact | Rational, holes: Sequence[Rational]) -> Exact:
        """The nearest of `holes` (sorted, rising), *exact*; `Tie` where two are equally near."""
        if not holes:
            raise ValueError("a template needs at least one hole")
        tree = self._tree(value)
        first, last = 0, len(holes) - 1
        while first < last:
            place = (first + last) // 2
            below, above = Fraction(_checked(holes[place])), Fraction(_checked(holes[place + 1]))
            middle = (below + above) / 2
            side = self._sign(tree - fmpq(middle.numerator, middle.denominator))
            if side < 0:
                last = place
            elif side > 0 or below == above:
                first = place + 1
            else:
                raise Tie(below, above)
        return self.rational(_checked(holes[first]))

    def sign(self, value: Exact | Rational) -> int:
        """-1, 0 or +1, *exact*."""
        return self._sign(self._tree(value))

    def to_float(self, value: Exact | Rational) -> float:
        """The float nearest to `value`, or its neighbour; infinite where floats end."""
        tree = self._tree(value)
        if self._sign(tree) == 0:
            return 0.0
        if tree.__class__ is not Surd:
            return _nearest_float(self.base.fraction(tree))
        bits = 128
        while True:
            ball = self.tower.ball(tree, bits)
            if ball.rel_accuracy_bits() >= 64:
                return float(ball.mid())
            bits *= 2

    # For claims and for people

    def equal(self, one: Exact | Rational, other: Exact | Rational) -> bool:
        """Whether the two are the same number, *exact*."""
        self.tower.refill()
        return self.tower.is_zero(self._tree(one) - self._tree(other))

    def is_rational(self, value: Exact | Rational) -> Fraction | None:
        """The fraction that `value` is, or None where it is irrational.

        Where a root was adjoined on trust (see `tower.independent`), None may
        also stand for a fraction with a denominator beyond 2⁶⁰.
        """
        tree = self._tree(value)
        if tree.__class__ is not Surd:
            return self.base.fraction(tree)
        if self.tower.independent:
            return None
        self.tower.refill()
        lower, upper = _bounds(self.tower.ball(tree, 256))
        candidate = _simplest_between(lower, upper)
        if candidate.denominator < 1 << 60 and self._is_fraction(tree, candidate):
            return candidate
        return None

    def enclosure(self, value: Exact | Rational, digits: int) -> tuple[Fraction, Fraction]:
        """(lower, upper) around `value`, at most 10^-digits apart: a rigorous *enclosure*."""
        tree = self._tree(value)
        if tree.__class__ is not Surd:
            fraction = self.base.fraction(tree)
            return fraction, fraction
        finer = 10 ** (digits + 1)
        bits = 64 + 4 * max(digits, 0)
        while True:
            lower, upper = _bounds(self.tower.ball(tree, bits))
            if (upper - lower) * finer <= 1:
                return Fraction(math.floor(lower * finer), finer), Fraction(math.ceil(upper * finer), finer)
            bits *= 2

    def decimal(self, value: Exact | Rational, figures: int = 4) -> str:
        """`value` correctly rounded to `figures` significant figures, an exact half to even."""
        if figures < 1:
            raise ValueError("a decimal has at least one figure")
        tree = self._tree(value)
        if self._sign(tree) == 0:
            return "0"
        if tree.__class__ is not Surd:
            return print_decimal(rounded(self.base.fraction(tree), figures), figures)
        bits = 64 + 4 * figures
        while True:
            lower, upper = _bounds(self.tower.ball(tree, bits))
            if lower > 0 or upper < 0:
                low, high = rounded(lower, figures), rounded(upper, figures)
                if low == high:
                    return print_decimal(low, figures)
                if self._is_fraction(tree, (low + high) / 2):
                    return print_decimal(rounded((low + high) / 2, figures), figures)
            bits *= 2

    def closed_form(self, value: Exact | Rational) -> str:
        """`value` as a person writes it, *exact*: (1 + √5)/2, 453·√2/5, √(10 + 2·√5)/4."""
        self.tower.refill()
        return print_element(self._tree(value))

    def to_sympy(self, value: Exact | Rational) -> Any:
        """`value` as a sympy expression, *exact*, for notebooks; loads sympy."""
        return to_sympy(self._tree(value))

    # Inside

    def _tree(self, value: Exact | Rational) -> Raw:
        if value.__class__ is Exact:
            return value.tree
        return self.base.number(_checked(value))

    def _sign(self, tree: Raw) -> int:
        self.tower.refill()
        return self.tower.sign(tree)

    def _is_fraction(self, tree: Raw, fraction: Fraction) -> bool:
        return self.tower.is_zero(tree - fmpq(fraction.numerator, fraction.denominator))

    def _floor(self, tree: Raw) -> int | Fraction:
        """The whole number below `tree`; as a Fraction where `tree` equals it."""
        self.tower.refill()
        if tree.__class__ is not Surd:
            fraction = self.base.fraction(tree)
            return fraction if fraction.denominator == 1 else math.floor(fraction)
        bits = 64
        while True:
            lower, upper = _bounds(self.tower.ball(tree, bits))
            floor = math.floor(upper)
            if lower > floor:
                return floor
            if upper - lower < 1 and self._is_fraction(tree, Fraction(floor)):
                return Fraction(floor)
            bits *= 2


def _checked(value: Any) -> Rational:
    """`value` where it is an int or a Fraction; `TypeError` otherwise."""
    if value.__class__ is int or value.__class__ is Fraction:
        return value
    if isinstance(value, float):
        raise TypeError(_NO_FLOAT)
    if isinstance(value, int | Fraction) and not isinstance(value, bool):
        return Fraction(value)
    raise TypeError(f"an exact number comes from an int or a Fraction, not from {type(value).__name__}")


def _bounds(ball: Any) -> tuple[Fraction, Fraction]:
    """The ends of a ball, without rounding."""
    middle, radius = (
        Fraction(int(mantissa)) * Fraction(2) ** int(exponent) for mantissa, exponent in (ball.mid().man_exp(), ball.rad().man_exp())
    )
    return middle - radius, middle + radius


def _nearest_float(fraction: Fraction) -> float:
    try:
        return float(fraction)
    except OverflowError:
        return math.inf if fraction > 0 else -math.inf


def _simplest_between(lower: Fraction, upper: Fraction) -> Fraction:
    """The fraction with the smallest denominator in [lower, upper], by continued fractions."""
    whole = math.ceil(lower)
    if whole <= upper:
        return Fraction(whole)
    whole -= 1
    return whole + 1 / _simplest_between(1 / (upper - whole), 1 / (lower - whole))


SYSTEM = ExactSystem
