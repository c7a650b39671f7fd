"""Where a value over letters can vanish: its irreducible factors, and its zeros where it has one letter.

A value with roots in it vanishes only where its norm does; the norm, taken root
by root, is a fraction of polynomials, and flint factors those.  Sizes are
looked at first, because a call into the C library can not be stopped.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from flint import fmpz_poly

from construct.number_systems._balls import ends, working_at
from construct.number_systems._quotients import Quotient
from construct.number_systems._surds import Surd
from construct.number_systems.letters import Lettered, LettersSystem

MAX_TERMS = 80
"""Longer polynomials are not factored."""

MAX_DEGREE = 40
"""Nor those of a higher degree in all."""

_BITS = 128

Factor = tuple[tuple[tuple[int, ...], int], ...]
"""An irreducible polynomial as its sorted terms, its sign made one."""


def has_roots(value: Lettered) -> bool:
    """Tell whether a root with letters in it stands in the value."""
    return value.tree.__class__ is Surd


def factors(value: Lettered) -> frozenset[Factor] | None:
    """Return irreducible polynomials, at least one of which is zero or has no value wherever the value is zero or has none.

    For a value without roots these are its very factors, above and below; for one with roots, those of its
    norm.  None where they would be too large to find.
    """
    tree = _norm(value)
    if tree.__class__ is not Quotient:
        return frozenset()
    found: set[Factor] = set()
    for polynomial in (tree.above, tree.below):
        if len(polynomial) > MAX_TERMS or sum(polynomial.degrees()) > MAX_DEGREE:
            return None
        for factor, _ in polynomial.factor()[1]:
            found.add(_written(factor))
    return frozenset(found)


def zeros(system: LettersSystem, value: Lettered) -> list[tuple[Fraction, Fraction]] | None:
    """Return *enclosures* of all places of its one letter where the value can be zero or have none, rising; None where not found."""
    if len(system.letters_of(value)) != 1:
        return None
    tree = _norm(value)
    if tree.__class__ is not Quotient:
        return []
    found = []
    for polynomial in (tree.above, tree.below):
        terms = {sum(exponents): int(coefficient) for exponents, coefficient in polynomial.to_dict().items()}
        degree = max(terms)
        if degree > MAX_DEGREE:
            return None
        line = fmpz_poly([terms.get(power, 0) for power in range(degree + 1)])
        if degree:
            with working_at(_BITS):
                found += [ends(root.real) for root, _ in line.complex_roots() if root.imag == 0 or root.imag.contains(0)]
    return sorted(found)


def _norm(value: Lettered) -> Any:
    tree = value.tree
    while tree.__class__ is Surd:
        tree = tree.norm()
    return tree


def _written(polynomial: Any) -> Factor:
    terms = sorted((tuple(int(e) for e in exponents), int(x)) for exponents, x in polynomial.to_dict().items())
    sign = 1 if terms[-1][1] > 0 else -1
    return tuple((_trimmed(exponents), x * sign) for exponents, x in terms)


def _trimmed(exponents: tuple[int, ...]) -> tuple[int, ...]:
    """Return exponents without the room kept for letters that may still come."""
    end = len(exponents)
    while end and not exponents[end - 1]:
        end -= 1
    return exponents[:end]


