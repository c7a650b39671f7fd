"""Why a number keeps its sign: an identity that the checker multiplies out.

value · factor = a product of conditions.  Conditions are never zero, so the value
is not either, and what is never zero on a connected set keeps its sign.  Found
through irreducible factors and norms; nothing here is trusted, and not finding
one shows nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import prod
from typing import Any

from construct.number_systems import LimitMet
from construct.number_systems._letter_zeros import Factor, factored, norm_degree
from construct.number_systems._quotients import Quotient
from construct.number_systems._surds import Raw, Surd
from construct.proofs.kept_signs import is_definite

MOST_ROOTED = 24
"""So many conditions with roots are multiplied with each other, to find factors of their norms."""

MOST_CLEARED = 12
"""So many times a denominator is cleared by one more condition."""

MOST_BITS = 4000
"""Conditions that are larger are not tried as divisors."""

NEVER: Factor = ()
"""Stands for the factors of what is too large to factor, which may become zero."""


@dataclass(frozen=True, slots=True)
class Identity:
    """value · factor = the product of some conditions, each by its place in their list, repeated where it is a power.

    factor: raw; its denominators are never zero: all their terms have one sign.
    """

    factor: Raw
    conditions: tuple[int, ...]


def keeping(value: Raw, conditions: Sequence[Raw]) -> Identity | None:
    """Return an identity that keeps a value off zero wherever the conditions are; None where none is found.

    value, conditions: elements of one tower over letters, not zero at the drawn choice.
    """
    try:
        return _Search(conditions).identity(value)
    except LimitMet:
        return None


class _Search:
    """What some conditions keep off zero, by irreducible factors."""

    def __init__(self, conditions: Sequence[Raw]) -> None:
        self.conditions = conditions
        self.rooted = [place for place, one in enumerate(conditions) if one.__class__ is Surd and one.height_bits() <= MOST_BITS]
        self.by_factor: dict[Factor, tuple[int, ...]] = {}
        for place, one in enumerate(conditions):
            self._note(one, (place,))
        self.paired = False

    def _note(self, product: Raw, places: tuple[int, ...]) -> None:
        if product.__class__ is Quotient:
            for factor in factored(product.above) or {}:
                self.by_factor.setdefault(factor, places)

    def identity(self, value: Raw) -> Identity | None:
        """Return the identity of a value, None where none is found."""
        places = self._places(value)
        if places is None:
            return None
        factor = self._product(places) / value
        for _ in range(MOST_CLEARED):
            poles = _poles(factor)
            if not poles:
                return self._shortened(factor, places)
            more = self._of_factors(dict.fromkeys(poles, 1))
            if not more:
                return None
            places += more
            factor = factor * self._product(more)
        return None

    def _shortened(self, factor: Raw, places: Sequence[int]) -> Identity:
        """Leave out each condition that the identity does without: what is shorter is sooner checked."""
        kept = sorted(places)
        for place in sorted(places, reverse=True):
            less = factor / self.conditions[place]
            if not _poles(less):
                factor = less
                kept.remove(place)
        return Identity(factor, tuple(kept))

    def _product(self, places: Iterable[int]) -> Raw:
        return prod((self.conditions[place] for place in places), start=1)

    def _places(self, value: Raw) -> list[int] | None:
        """Return conditions whose product the value divides, as far as its denominators allow; None where none are found."""
        if value.__class__ is Quotient:
            parts = factored(value.above)
            return None if parts is None else self._of_factors({part: power for part, power in parts.items() if not is_definite(part)})
        if value.__class__ is not Surd:
            return [] if value else None
        norm = value.norm()
        # a norm of zero is that of a root that was none
        found = self._places(norm) if norm else None
        if found is None:
            found = self._divided(value)
        return self._divided(value * value) if found is None else found

    def _of_factors(self, parts: dict[Factor, int]) -> list[int] | None:
        if not self.paired and not parts.keys() <= self.by_factor.keys():
            self._pair()
        found: list[int] = []
        for part, power in parts.items():
            if part not in self.by_factor:
                return None
            found += self.by_factor[part] * power
        return found

    def _pair(self) -> None:
        """Look for two conditions whose product has no root in it."""
        self.paired = True
        rooted = self.rooted[:MOST_ROOTED]
        for at, first in enumerate(rooted):
            for second in rooted[at:]:
                one, other = self.conditions[first], self.conditions[second]
                if one.root is other.root:
                    self._note(one * other, (first, second))

    def _divided(self, rest: Raw) -> list[int] | None:
        """Divide out conditions with roots while the norm falls, until the rest is known."""
        weight, found = norm_degree(rest), []
        # the latest first: what a claim asks for is made of what it states
        for place in reversed(self.rooted):
            while weight:
                try:
                    lighter = rest / self.conditions[place]
                    degree = norm_degree(lighter)
                except LimitMet:
                    break
                if degree >= weight:
                    break
                rest, weight = lighter, degree
                found.append(place)
                if rest.__class__ is not Surd:
                    more = self._places(rest)
                    if more is not None:
                        return found + more
        return None


def _poles(tree: Raw) -> set[Factor]:
    """Return the irreducible factors of a tree's denominators that may become zero."""
    found: set[Factor] = set()
    for below in _denominators(tree):
        parts = factored(below)
        found |= {NEVER} if parts is None else {part for part in parts if not is_definite(part)}
    return found


def _denominators(tree: Raw) -> list[Any]:
    if tree.__class__ is Surd:
        return _denominators(tree.free) + _denominators(tree.factor)
    return [tree.below] if tree.__class__ is Quotient and not tree.whole else []
