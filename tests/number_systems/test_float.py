"""Laws of the plain float system."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from construct.number_systems import NotANumber, Source
from construct.number_systems.float import FloatSystem


def test_values_are_plain_floats() -> None:
    """Numbers and letters enter as the nearest float; 1/3 as IEEE 754 has it."""
    plain = FloatSystem()
    assert 0.3333333333333333 == plain.rational(Fraction(1, 3))
    assert 140.0 == plain.letter("reach", 140)
    assert float is type(plain.rational(7))
    assert 2.5 == plain.to_float(plain.rational(Fraction(5, 2)))


def test_roots() -> None:
    """√2 to 16 digits (OEIS A002193, from memory); a negative radicand is refused and its size told."""
    plain = FloatSystem()
    assert math.isclose(1.41421356237309504880, plain.sqrt(2.0), rel_tol=1e-15)
    assert 0.0 == plain.sqrt(0.0)
    with pytest.raises(NotANumber) as caught:
        plain.sqrt(-1e-12)
    assert -1e-12 == caught.value.distance
    with pytest.raises(NotANumber):
        plain.sqrt(math.nan)


def test_tangent_slack() -> None:
    """A picture may take a radicand that rounding made negative for a tangency, no further."""
    plain = FloatSystem(tangent_slack=1e-9)
    assert 0.0 == plain.sqrt(-1e-10)
    with pytest.raises(NotANumber):
        plain.sqrt(-1e-8)


@pytest.mark.parametrize(
    ("expected", "value", "graduation"),
    [
        (90.5, 90.6, Fraction(1, 2)),
        (91.0, 90.8, Fraction(1, 2)),
        (-3.0, -2.7, 1),
        (2.3, 2.3456, Fraction(1, 10)),
        (25.4, 25.0, Fraction(127, 5)),
    ],
)
def test_readings(expected: float, value: float, graduation: Fraction) -> None:
    """A reading is the nearest multiple of the graduation; worked by hand."""
    assert expected == FloatSystem().reading(value, graduation)


@pytest.mark.parametrize(("expected", "value"), [(1.0, -5.0), (1.0, 1.4), (2.0, 1.6), (3.5, 3.4), (3.5, 99.0), (2.0, 2.0)])
def test_holes(expected: float, value: float) -> None:
    """The nearest hole, also beyond both ends; worked by hand."""
    assert expected == FloatSystem().hole(value, [1, 2, Fraction(7, 2)])


def test_a_template_without_holes() -> None:
    """There is no nearest hole among none."""
    with pytest.raises(ValueError, match="at least one hole"):
        FloatSystem().hole(1.0, [])


def test_signs_and_errors() -> None:
    """Signs are those of the float, none for NaN; an error is zero."""
    plain = FloatSystem()
    assert (1, 0, -1, None) == tuple(plain.sign(value) for value in (0.1, -0.0, -3.0, math.nan))
    assert 0.0 == plain.error(("arc", 1), Source("compass setting", 0.2))
    assert not plain.has_errors
