"""Values handed to sympy mean the same there."""

from __future__ import annotations

from fractions import Fraction

import sympy

from construct.number_systems.exact import ExactSystem


def test_the_pentagon_cosine() -> None:
    """(√5 − 1)/4 has sympy's minimal polynomial of cos 72°: 4x² + 2x − 1 (Euclid IV.11; computed by sympy)."""
    exact = ExactSystem()
    value = (exact.sqrt(5) - 1) / 4
    x = sympy.Symbol("x")
    assert sympy.minimal_polynomial(sympy.cos(2 * sympy.pi / 5), x) == sympy.minimal_polynomial(exact.to_sympy(value), x)


def test_nested_and_rational() -> None:
    """Roots in roots and plain fractions come across."""
    exact = ExactSystem()
    nested = exact.sqrt(exact.sqrt(5) * 2 + 10) / 4
    assert sympy.simplify(exact.to_sympy(nested) ** 2 - (10 + 2 * sympy.sqrt(5)) / 16) == 0
    assert sympy.Rational(3, 40) == exact.to_sympy(exact.rational(Fraction(3, 40)))
    assert sympy.Integer(2) == exact.to_sympy(2)
