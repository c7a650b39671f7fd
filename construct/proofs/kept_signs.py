"""Which numbers over letters can not become zero while the conditions of a proof hold.

A condition keeps a number off zero, and finite: every choice considered is
reached by steps that were all done.  Without roots, that holds for each of its
irreducible factors.  With roots it holds for the number as it is, not for its
norm: 1 + cos A may be kept where 1 - cos A is not; where both are, so is the
norm.  Everything here errs to one side: False means "not shown".
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Any

from construct.number_systems import LimitMet
from construct.number_systems._letter_zeros import Factor, factors, has_roots, norm_degree, real_zeros, zeros
from construct.number_systems.letters import Lettered, LettersSystem

MOST_ROOTED = 24
"""So many numbers with roots are multiplied with each other, to find norms that are kept."""

MOST_BITS = 4000
"""Products of larger numbers are not looked at."""


class KeptSigns:
    """The numbers that some conditions keep off zero, and what follows from them."""

    def __init__(self, system: LettersSystem, numbers: Iterable[Any]) -> None:
        self._system = system
        self._known: set[Factor] = set()
        self._rooted: list[Lettered] = []
        self._ranges: dict[int, tuple[Fraction | None, Fraction | None]] | None = None
        self._single: list[Lettered] = []
        self._multiplied = False
        for number in numbers:
            self._take(number)

    def _take(self, number: Any) -> None:
        if not isinstance(number, Lettered) or not self._system.letters_of(number):
            return
        if has_roots(number):
            if not any(number.tree == other.tree for other in self._rooted):
                self._rooted.append(number)
            return
        self._known |= factors(number.tree) or frozenset()
        if len(self._system.letters_of(number)) == 1:
            self._single.append(number)

    def and_also(self, numbers: Iterable[Any]) -> KeptSigns:
        """Return these together with some more."""
        more = KeptSigns(self._system, ())
        more._known, more._rooted, more._single = set(self._known), list(self._rooted), list(self._single)
        for number in numbers:
            more._take(number)
        return more

    def keeps(self, number: Any) -> bool:
        """Tell whether a number keeps its sign: it can not become zero while the kept ones do not."""
        if not isinstance(number, Lettered) or not self._system.letters_of(number):
            return True
        try:
            self._system.tower.refill()
            if self._covers(number.tree):
                return True
            if not self._rooted:
                return False
            self._multiply()
            return self._covers(number.tree) or self._is_product(number.tree)
        except LimitMet:
            return False

    def plainly_keeps(self, number: Any) -> bool:
        """Tell the same by the number's own factors alone, which is soon done."""
        return not isinstance(number, Lettered) or self._covers(number.tree)

    def _covers(self, tree: Any) -> bool:
        """Tell whether all that could make a tree zero is known never to be."""
        own = factors(tree)
        return own is not None and all(factor in self._known or self._never_zero(factor) for factor in own)

    def _multiply(self) -> None:
        """Look for two kept numbers whose product has no root in it: its factors are kept too."""
        if self._multiplied:
            return
        self._multiplied = True
        rooted = [number.tree for number in self._rooted if number.tree.height_bits() <= MOST_BITS][:MOST_ROOTED]
        for place, one in enumerate(rooted):
            for other in rooted[place:]:
                if one.root is other.root:
                    try:
                        product = one * other
                    except LimitMet:
                        continue
                    if not _is_rooted(product):
                        self._known |= factors(product) or frozenset()

    def _is_product(self, tree: Any) -> bool:
        """Tell whether a tree, or its square, is a product of kept numbers and of what is known never to be zero."""
        if tree.height_bits() > MOST_BITS:
            return False
        # the latest first: what a claim asks for is made of what it states
        rooted = [number.tree for number in reversed(self._rooted) if number.tree.height_bits() <= MOST_BITS]
        return self._divides(tree, rooted) or self._divides(tree * tree, rooted)

    def _divides(self, rest: Any, rooted: Sequence[Any]) -> bool:
        """Tell whether kept numbers can be divided out until only what is never zero is left."""
        weight = norm_degree(rest)
        for one in rooted:
            while weight:
                try:
                    lighter = rest / one
                    found = norm_degree(lighter)
                except LimitMet:
                    break
                if found >= weight:
                    break
                rest, weight = lighter, found
                if self._covers(rest):
                    return True
        return False

    # --- factors that are never zero -------------------------------------------------------------

    def _never_zero(self, factor: Factor) -> bool:
        if is_definite(factor):
            return True
        places = {place for exponents, _ in factor for place, exponent in enumerate(exponents) if exponent}
        if len(places) != 1:
            return False
        (place,) = places
        found = real_zeros({sum(exponents): x for exponents, x in factor})
        if found is None:
            return False
        lower, upper = self._range(place)
        return all((lower is not None and end <= lower) or (upper is not None and start >= upper) for start, end in found)

    def _range(self, place: int) -> tuple[Fraction | None, Fraction | None]:
        """Return what a letter stays over and under for certain."""
        if self._ranges is None:
            self._ranges = {}
            drawn = self._system.drawn_choices()
            for number in self._single:
                (letter,) = self._system.letters_of(number)
                self._narrow(self._system.base.letters.index(letter), zeros(self._system, number) or (), drawn[letter])
        return self._ranges.get(place, (None, None))

    def _narrow(self, place: int, found: Sequence[tuple[Fraction, Fraction]], drawn: Fraction) -> None:
        assert self._ranges is not None
        lower, upper = self._ranges.get(place, (None, None))
        for start, end in found:
            # the letter stays on its own side of the true end, which lies between `start` and `end`
            if end < drawn and (lower is None or start > lower):
                lower = start
            elif start > drawn and (upper is None or end < upper):
                upper = end
        self._ranges[place] = lower, upper


def is_definite(factor: Factor) -> bool:
    """Tell whether a polynomial is plainly never zero: a number, and even powers, all of one sign."""
    return any(not exponents for exponents, _ in factor) and all(
        x > 0 and not any(exponent % 2 for exponent in exponents) for exponents, x in factor
    )


def _is_rooted(tree: Any) -> bool:
    return hasattr(tree, "root")
