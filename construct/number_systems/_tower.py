"""The tower of real quadratic extensions: which roots exist, signs, zeros, new roots.

A sign or a zero is never guessed.  An enclosure that excludes zero settles a
sign; an exact test settles a zero even where an adjoined root already lay in
the field.  The square test is norm descent: x = a + b·√d with b ≠ 0 is a square
in F(√d) exactly when a² − b²d is the square of some n in F and (a + n)/2 or
(a − n)/2 is a square in F; an x of F is one exactly when x or x·d is one in F.
(H. Cohen, A Course in Computational Algebraic Number Theory; from memory.)
"""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any, Protocol

from flint import ctx

from construct.number_systems import LimitMet
from construct.number_systems._surds import (
    Raw,
    Root,
    Surd,
    coefficients,
    over_limit,
    support,
    surd,
)
from construct.phrasebook import say

_FIRST_BITS = (64, 128, 256)
"""Precisions tried before a possible zero is settled by the exact test."""


class BaseField(Protocol):
    """What a base field offers to the tower; a second base is one more file.

    Its elements support + - * / among themselves and with `int`, unary -, `bool`
    (formally not zero) and `height_bits()`, their size in bits.
    """

    zero: Any
    one: Any

    def ball(self, element: Any) -> Any:
        """An enclosure (`arb`) at the current working precision."""

    def sign(self, element: Any) -> int:
        """-1, 0 or +1, *exact*."""

    def key(self, element: Any) -> Hashable:
        """What identifies the element."""

    def content(self, coefficients: list[Any]) -> Any:
        """The positive element to divide these by, so that they become whole and coprime."""

    def square_part(self, element: Any) -> tuple[Any, Any]:
        """(outside, rest) of a positive element outside²·rest."""

    def known_root(self, element: Any, allowed: int) -> Raw | None:
        """A root, of either sign, over the base and the allowed enrolled roots; else None, which proves there is none."""

    def reduce(self, element: Any) -> tuple[Any, Any | None, Raw]:
        """(outside, radicand, known): a root of a positive element is outside·√radicand·known; radicand None for 1."""

    def enrol(self, radicand: Any, root: Root) -> None:
        """A root of `radicand` is adjoined; `reduce` never gives a radicand that is a product of enrolled ones and a square.

        Enrolled roots are therefore independent: `Tower.is_zero` relies on it.
        """


class NegativeRadicandError(ArithmeticError):
    """A root was asked of a raw element that is certainly negative."""


class Tower:
    """The roots adjoined so far in one replay, over one base field.

    base: the base field, such as `RationalBase`.
    roots: every `Root`, in the order in which they were made.
    independent: True while no root was adjoined on trust.  Then an element is
        zero only if it is written as 0, and rational only if it is written so.
    max_roots, max_bits, max_work, tested_roots: see `ExactSystem`.
    """

    def __init__(self, base: BaseField, *, max_roots: int, max_bits: int, max_work: int, tested_roots: int) -> None:
        self.base = base
        self.max_roots = max_roots
        self.max_bits = max_bits
        self.max_work = max_work
        self.tested_roots = tested_roots
        self.roots: list[Root] = []
        self.independent = True
        self._nested: tuple[Root, ...] = ()
        self._memo: dict[object, Raw] = {}
        self._work = self._allowed = max_work
        self._total = _QUESTIONS * max_work
        self._testing = False

    # Limits

    def refill(self) -> None:
        """Give the next question a fresh allowance of work, a small one once much has been spent."""
        self._total -= self._allowed - self._work
        self._allowed = max(min(self.max_work, self._total), self.max_work // 50)
        self._work = self._allowed

    def spend(self, units: int) -> None:
        """Account for work about to be done; `LimitMet` when the allowance is used up."""
        self._work -= units
        if self._work < 0:
            if not self._testing:
                self.refill()
            raise LimitMet(say("limit.steps"))

    def spend_bits(self, bits: int) -> None:
        """Account for one product of base elements of `bits` bits."""
        if bits > self.max_bits:
            raise over_limit(bits, self.max_bits)
        self.spend(bits >> 8)

    # Enclosures, signs, zeros

    def ball(self, element: Raw, bits: int) -> Any:
        """An enclosure of `element` from arithmetic at `bits` bits."""
        before = ctx.prec
        ctx.prec = bits
        try:
            return self._ball(element, bits)
        finally:
            ctx.prec = before

    def _ball(self, element: Raw, bits: int) -> Any:
        if element.__class__ is not Surd:
            return self.base.ball(element)
        kept = getattr(element, "ball", None)
        if kept is not None and kept[0] == bits:
            return kept[1]
        root = element.root
        height = root.balls.get(bits)
        if height is None:
            height = self._root_ball(root, bits)
        ball = self._ball(element.factor, bits) * height
        if element.free:
            ball = ball + self._ball(element.free, bits)
        element.ball = (bits, ball)
        return ball

    def _root_ball(self, root: Root, bits: int) -> Any:
        inner = bits
        while True:
            radicand = self.ball(root.radicand, inner)
            if radicand > 0:
                break
            # The radicand is known to be positive: some precision shows it.
            inner *= 2
            self.spend(inner >> 6)
        root.balls[bits] = height = radicand.sqrt()
        return height

    def sign(self, element: Raw) -> int:
        """-1, 0 or +1: *exact*."""
        if element.__class__ is not Surd:
            return self.base.sign(element)
        for bits in _FIRST_BITS:
            ball = self.ball(element, bits)
            if ball > 0:
                return 1
            if ball < 0:
                return -1
        if self.is_zero(element):
            return 0
        while True:
            bits *= 2
            self.spend(bits >> 6)
            ball = self.ball(element, bits)
            if ball > 0:
                return 1
            if ball < 0:
                return -1

    def is_zero(self, element: Raw) -> bool:
        """Whether `element` is 0: *exact*, also where a root is redundant."""
        if element.__class__ is not Surd:
            return not element
        if not element.root.nested:
            # Roots over the base are independent (see the base's file): this is written uniquely.
            return False
        for bits in _FIRST_BITS:
            if self.ball(element, bits) != 0:
                return False
        return self._vanishes(element)

    def _vanishes(self, element: Surd) -> bool:
        if self.is_zero(element.factor):
            return self.is_zero(element.free)
        norm = element.norm()
        if not self.is_zero(norm):
            return False
        # factor·root is not 0, so element and conjugate differ: exactly one of them is 0.
        conjugate = element.conjugate()
        bits = _FIRST_BITS[0]
        while True:
            if self.ball(conjugate, bits) != 0:
                return True
            if self.ball(element, bits) != 0:
                return False
            bits *= 2
            self.spend(bits >> 6)

    # Roots

    def element(self, root: Root) -> Surd:
        """The element that is `root` itself."""
        return surd(self.base.zero, self.base.one, root)

    def sqrt(self, element: Raw) -> Raw:
        """The root of `element` that is not negative; `NegativeRadicandError` if there is none."""
        self.refill()
        key = self.key(element)
        found = self._memo.get(key)
        if found is None:
            sign = self.sign(element)
            if sign < 0:
                raise NegativeRadicandError
            found = self._root(element) if sign else self.base.zero
            self._memo[key] = found
        return found

    def _root(self, element: Raw) -> Raw:
        """The positive root of an element that is known to be positive."""
        return self._surd_root(element) if element.__class__ is Surd else self._base_root(element)

    def key(self, element: Raw) -> object:
        """What identifies the way `element` is written."""
        if element.__class__ is Surd:
            return element.root.order, self.key(element.free), self.key(element.factor)
        return self.base.key(element)

    def _base_root(self, element: Raw) -> Raw:
        # Among few roots division is cheaper than factoring; among many it would cost more with each.
        found = self.base.known_root(element, _ALL if len(self.roots) < _FEW_ROOTS else 0)
        if found is not None:
            return found
        if element.height_bits() > self.max_bits:
            raise over_limit(element.height_bits(), self.max_bits)
        outside, radicand, known = self.base.reduce(element)
        if radicand is None:
            return known * outside
        found, complete = self._tested_root(radicand)
        if found is not None:
            return self._positive(found) * outside
        root = self._adjoin(radicand, nested=False, complete=complete)
        self.base.enrol(radicand, root)
        return surd(self.base.zero, outside, root)

    def _surd_root(self, element: Surd) -> Raw:
        scale = self.base.content(coefficients(element))
        outside, square_class = self.base.square_part(scale)
        radicand = element.over(scale) * square_class
        key = ("radicand", self.key(radicand))
        found = self._memo.get(key)
        if found is None:
            found, complete = self._tested_root(radicand)
            if found is None and not any(root.nested for root in radicand.root.support):
                found = self._denested(radicand)
            if found is not None:
                found = self._positive(found)
            else:
                root = self._adjoin(radicand, nested=True, complete=complete)
                self._nested = (*self._nested, root)
                found = self.element(root)
            self._memo[key] = found
        return found * outside

    def _positive(self, element: Raw) -> Raw:
        return element if self.sign(element) > 0 else -element

    def _adjoin(self, radicand: Raw, *, nested: bool, complete: bool) -> Root:
        if len(self.roots) >= self.max_roots:
            raise LimitMet(say("limit.roots", most=self.max_roots))
        order = _ABOVE_BASE_ROOTS + len(self._nested) if nested else len(self.roots) - len(self._nested)
        root = Root(order, radicand, nested, self)
        self.roots.append(root)
        self.independent = self.independent and complete
        return root

    def _tested_root(self, radicand: Raw) -> tuple[Raw | None, bool]:
        """A root of `radicand` in the tower, of either sign; and whether None proves there is none.

        The test may use a tenth of an allowance; then the root is adjoined on trust.
        """
        tested, complete = self._roots_to_test(radicand)
        if tested is None:
            return None, False
        share = self.max_work // 10
        kept = self._work
        self._work = share
        self._testing = True
        try:
            return self._root_within(radicand, tested, _ALL), complete
        except LimitMet:
            return None, False
        finally:
            self._testing = False
            self._work += kept - share

    def _roots_to_test(self, radicand: Raw) -> tuple[tuple[Root, ...] | None, bool]:
        """The nested roots that the square test of `radicand` goes through, and whether these are all.

        Testing is exponential in their number.  Where there are many, only those are
        taken that share a root with the radicand, directly or through others; where
        even its own are too many, there is no test.
        """
        nested = self._nested
        if len(nested) <= min(_ALWAYS_TESTED, self.tested_roots):
            return nested, True
        own = support(radicand)
        connected = own
        grown = True
        while grown:
            grown = False
            for root in nested:
                if root not in connected and root.support & connected:
                    connected |= root.support
                    grown = True
        chosen = tuple(root for root in nested if root in connected)
        if len(chosen) > self.tested_roots:
            chosen = tuple(root for root in nested if root in own)
            if len(chosen) > self.tested_roots:
                return None, False
        return chosen, len(chosen) == len(nested)

    def _root_within(self, element: Raw, tested: tuple[Root, ...], allowed: int) -> Raw | None:
        """A root of `element`, of either sign, over the allowed base roots and `tested`; else None.

        The tested roots are rising and hold every nested root of `element`.
        allowed: the base roots, as the bits of a mask by order; `_ALL` for all.
        Among base roots no branching is needed: a square of their field is a
        base element r times the square of something written with the roots up
        to the highest of its own, r a product of radicands above.  So the norm
        has its root strictly below, and the half may use the roots above too.
        """
        below = tested
        norm_allowed = allowed
        if tested:
            top = tested[-1]
            below = tested[:-1]
            if element.__class__ is not Surd or element.root is not top:
                self.spend(1)
                found = self._root_within(element, below, allowed)
                if found is not None:
                    return found
                found = self._root_within(element * top.radicand, below, allowed)
                if found is None:
                    return None
                return found * surd(self.base.zero, 1 / top.radicand, top)
        elif element.__class__ is Surd:
            top = element.root
            norm_allowed = allowed & ((1 << top.order) - 1)
            allowed = allowed & ~(1 << top.order)
        else:
            return self.base.known_root(element, allowed)
        free = element.free
        factor = element.factor
        norm = self._root_within(element.norm(), below, norm_allowed)
        if norm is None:
            return None
        for half in ((free + norm) / 2, (free - norm) / 2):
            found = self._root_within(half, below, allowed)
            if found is not None and not self.is_zero(found):
                return found + factor / (found + found) * self.element(top)
        return None

    def _denested(self, element: Surd) -> Raw | None:
        """A root of `element`, adjoining roots of base elements only; else None.

        All roots of `element` are over the base.  The norm must be a square already, so one new
        root is enough: √(3 + √5) is (√10 + √2)/2.
        """
        free = element.free
        factor = element.factor
        top = element.root
        norm = self._root_within(element.norm(), (), (1 << top.order) - 1)
        if norm is None:
            return None
        half = (free + self._positive(norm)) / 2
        if self.sign(half) <= 0:
            return None
        found = self._denested(half) if half.__class__ is Surd else self._base_root(half)
        if found is None or self.is_zero(found):
            return None
        return found + factor / (found + found) * self.element(top)


_ABOVE_BASE_ROOTS = 1 << 40
"""Added to the order of nested roots: all roots over the base come below all nested ones."""

_ALWAYS_TESTED = 5
"""Up to this many nested roots a square test goes through all of them, connected or not."""

_FEW_ROOTS = 16
"""Below this many roots a base radicand is divided by the known atoms before it is factored."""

_QUESTIONS = 8
"""So many questions may use up their whole allowance; then each gets a fiftieth."""

_ALL = -1
"""The mask that allows every base root."""
