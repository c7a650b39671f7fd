"""Where a value over letters can vanish: its irreducible factors, and its zeros where it has one letter.

A value with roots in it vanishes only where its norm does, or where a
coefficient beside a root has a pole: (1 - √(1 - x²))/x is 0 at x = 0, and its
norm is 1.  The norm, taken root by root, is a fraction of polynomials, and
flint factors those.  Sizes are looked at first, because a call into the C
library can not be stopped.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from flint import fmpz_poly

from construct.number_systems._balls import ends, working_at
from construct.number_systems._quotients import Quotient
from construct.number_systems._surds import Raw, Surd
from construct.number_systems.letters import Lettered, LettersSystem

MAX_TERMS = 600
"""Longer polynomials are not factored."""

MAX_DEGREE = 60
"""Nor those of a higher degree in all."""

_BITS = 128

Factor = tuple[tuple[tuple[int, ...], int], ...]
"""An irreducible polynomial as its sorted terms, its sign made one."""


def has_roots(value: Lettered) -> bool:
    """Tell whether a root with letters in it stands in the value."""
    return value.tree.__class__ is Surd


def factors(tree: Raw) -> frozenset[Factor] | None:
    """Return irreducible polynomials, at least one of which is zero wherever the value of a tree is zero or has none.

    For a value without roots these are its very factors, above and below; for one with roots, those of its
    norm and of every denominator in it.  None where they would be too large to find.
    """
    found: set[Factor] = set()
    for polynomial in _polynomials(tree):
        parts = factored(polynomial)
        if parts is None:
            return None
        found |= parts.keys()
    return frozenset(found)


def factored(polynomial: Any) -> dict[Factor, int] | None:
    """Return a polynomial's irreducible factors with their powers; None where it is too large to factor."""
    if len(polynomial) > MAX_TERMS or sum(polynomial.degrees()) > MAX_DEGREE:
        return None
    content = polynomial.content()
    if content > 1:
        polynomial = polynomial // content
    try:
        parts = polynomial.factor()[1]
    except OverflowError:  # FLINT sorts the factors, by coefficients that must fit a machine's word
        return None
    return {_written(factor): int(power) for factor, power in parts}


def zeros(system: LettersSystem, value: Lettered) -> list[tuple[Fraction, Fraction]] | None:
    """Return *enclosures* of all places of its one letter where the value can be zero or have none, rising; None where not found."""
    if len(system.letters_of(value)) != 1:
        return None
    found = []
    for polynomial in _polynomials(value.tree):
        places = real_zeros({sum(exponents): int(coefficient) for exponents, coefficient in polynomial.to_dict().items()})
        if places is None:
            return None
        found += places
    return sorted(found)


def real_zeros(terms: Mapping[int, int]) -> list[tuple[Fraction, Fraction]] | None:
    """Return *enclosures* of all real zeros of a polynomial in one letter, given by its powers; None where it is too long."""
    degree = max(terms)
    if degree > MAX_DEGREE:
        return None
    if not degree:
        return []
    line = fmpz_poly([terms.get(power, 0) for power in range(degree + 1)])
    with working_at(_BITS):
        roots: Any = line.complex_roots()
        return [ends(root.real) for root, _ in roots if root.imag == 0 or root.imag.contains(0)]


def norm_degree(tree: Raw) -> int:
    """Return the degree of a tree's norm, above and below together: it falls where a factor is divided out."""
    return sum(polynomial.total_degree() for polynomial in _polynomials(tree))


def _polynomials(tree: Raw) -> list[Any]:
    """Return what must all keep off zero for the value to do so: of its norm above and below, and all denominators."""
    found: list[Any] = []
    _collect_poles(tree, found)
    while tree.__class__ is Surd:
        tree = tree.norm()
    if tree.__class__ is Quotient:
        _add(tree.above, found)
        _add(tree.below, found)
    return found


def _collect_poles(tree: Raw, found: list[Any]) -> None:
    while tree.__class__ is Surd:
        _collect_poles(tree.root.radicand, found)
        _collect_poles(tree.factor, found)
        tree = tree.free
    if tree.__class__ is Quotient and not tree.whole:
        _add(tree.below, found)


def _add(polynomial: Any, found: list[Any]) -> None:
    # flint's polynomials can not be hashed
    if polynomial not in found:
        found.append(polynomial)


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


