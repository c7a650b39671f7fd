"""Laws of values with gradients: the rules of differentiation, over floats and over exact numbers."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import pytest

from construct.number_systems import NotANumber, Source
from construct.number_systems.exact import ExactSystem
from construct.number_systems.first_order import Dual, FirstOrderSystem

KEYS = (("s", "x", ""), ("s", "y", ""))
SOURCE = Source("pencil", 0.1)


def inputs(base: Any = None, x: Fraction = Fraction(3), y: Fraction = Fraction(4)) -> tuple[FirstOrderSystem, Dual, Dual]:
    system = FirstOrderSystem(base=base, errors=KEYS)
    ex, ey = (system.error(key, SOURCE) for key in KEYS)
    return system, system.rational(x) + ex, system.rational(y) + ey


def test_rules_of_differentiation() -> None:
    """Sum, difference, product, quotient and root at (3, 4), each worked by hand from the rules."""
    system, x, y = inputs()
    cases: list[tuple[Dual, float, tuple[float, float]]] = [
        (x + y, 7, (1, 1)),
        (x - y, -1, (1, -1)),
        (x * y, 12, (4, 3)),
        (x / y, 0.75, (1 / 4, -3 / 16)),
        (-x, -3, (-1, 0)),
        (x + 2, 5, (1, 0)),
        (2 + x, 5, (1, 0)),
        (x - 2, 1, (1, 0)),
        (2 - x, -1, (-1, 0)),
        (x * 2, 6, (2, 0)),
        (2 * x, 6, (2, 0)),
        (x / 2, 1.5, (0.5, 0)),
        (6 / x, 2, (-2 / 3, 0)),
        (system.sqrt(x * x + y * y), 5, (0.6, 0.8)),
        (x - x, 0, (0, 0)),
        (system.rational(5) - y, 1, (0, -1)),
        (system.rational(8) / y, 2, (0, -0.5)),
        (system.rational(5) * x, 15, (5, 0)),
        (x * system.rational(5), 15, (5, 0)),
        (x / system.rational(2), 1.5, (0.5, 0)),
        (x + system.rational(2), 5, (1, 0)),
        (system.rational(2) + x, 5, (1, 0)),
        (x - system.rational(2), 1, (1, 0)),
    ]
    for number, value, gradient in cases:
        assert value == pytest.approx(number.value)
        assert gradient == pytest.approx(tuple(number.grad))


def test_exact_derivatives() -> None:
    """Over exact numbers derivatives are closed forms: d√(x² + y²) at (1, 1) is (√2/2, √2/2)."""
    exact = ExactSystem()
    system, x, y = inputs(exact, Fraction(1), Fraction(1))
    length = system.sqrt(x * x + y * y)
    assert "√2" == exact.closed_form(length.value)
    assert ["√2/2", "√2/2"] == [exact.closed_form(one) for one in length.grad]


def test_constants_have_no_gradient() -> None:
    """What depends on no error, and on no error that is asked for, has no gradient; each is noted all the same."""
    system, x, _ = inputs()
    other = system.error(("s", "z", ""), SOURCE)
    assert other.grad is None and 0.0 == other.value
    assert system.rational(2).grad is None
    assert system.letter("reach", Fraction(130)).grad is None
    assert (system.sqrt(system.rational(2)) * 3).grad is None
    assert [*KEYS, ("s", "z", "")] == list(system.noted)
    assert (1.0, 0.0) == tuple((x + other).grad)


def test_root_of_zero() -> None:
    """A root of zero that depends on an error has no derivative; one that does not is just zero."""
    for base in (None, ExactSystem()):
        system, x, _ = inputs(base)
        with pytest.raises(NotANumber, match="no first-order budget here"):
            system.sqrt(x - 3)
        assert 0 == system.to_float(system.sqrt(system.rational(0)))
        with pytest.raises(NotANumber):
            system.sqrt(x - 4)


def test_readings_and_holes() -> None:
    """A reading has sensitivity one and its exact offset; a hole is a fixed size."""
    system, x, _ = inputs(x=Fraction(32, 10))
    reading = system.reading(x * 2, 1)
    assert 6.0 == reading.value
    assert (2.0, 0.0) == tuple(reading.grad)
    hole = system.hole(x, [Fraction(2), Fraction(3), Fraction(4)])
    assert 3.0 == hole.value and hole.grad is None


def test_no_truth_value() -> None:
    """Questions go through `sign`."""
    system, x, y = inputs()
    with pytest.raises(TypeError, match="sign"):
        bool(x)
    assert [-1, 1, 0] == [system.sign(one) for one in (x - y, y, x - x)]
    assert math.isclose(3.0, system.to_float(x))
