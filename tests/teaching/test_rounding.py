"""Lengths on a user's ruler: the nearest graduation, and never called exact where it is not."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from construct.number_systems.exact import ExactSystem
from construct.teaching.rounding import hole, read, read_square

RULERS = st.sampled_from([Fraction(1, 2), Fraction(1), Fraction(254, 320), Fraction(254, 640)])
"""0.5 mm, 1 mm, 1/32 in and 1/64 in; an inch is 25.4 mm exactly."""


@given(length=st.fractions(0, 500, max_denominator=2000), graduation=RULERS)
def test_nearest_graduation(length: Fraction, graduation: Fraction) -> None:
    """No graduation is nearer; a tie is said; on the graduation means equal, and by its square it comes out the same."""
    exact = ExactSystem()
    found = read(exact, exact.rational(length), graduation, "ruler")
    off = abs(found.nearest - length)
    assert 0 == found.nearest % graduation
    assert off <= graduation / 2
    assert found.tie == (off == graduation / 2)
    assert found.on == (off == 0)
    assert length == found.fraction
    assert found == read_square(exact, exact.rational(length * length), graduation, "ruler")


@given(square=st.integers(1, 250_000), graduation=RULERS)
def test_roots(square: int, graduation: Fraction) -> None:
    """The graduation nearest to a root is told by whole numbers alone (`math.isqrt`), and no irrational length lies on one."""
    exact = ExactSystem()
    found = read_square(exact, exact.rational(square), graduation, "reading")
    count = found.nearest / graduation
    below, above = (count - Fraction(1, 2)) * graduation, (count + Fraction(1, 2)) * graduation
    assert max(below, Fraction(0)) ** 2 <= square <= above**2
    root = math.isqrt(square)
    assert (found.fraction is not None) == (root * root == square)
    assert not found.on or root * root == square


def test_a_quarter_inch_is_no_round_figure_in_mm() -> None:
    """1/4 in = 6.35 mm (exact): on a 0.5 mm ruler that is 6.5 mm, rounded; on 1/64 in it is exact."""
    exact = ExactSystem()
    quarter = exact.rational(Fraction(254, 40))
    on_mm = read(exact, quarter, Fraction(1, 2), "ruler")
    assert (Fraction(13, 2), False, Fraction(127, 20)) == (on_mm.nearest, on_mm.on, on_mm.fraction)
    assert read(exact, quarter, Fraction(254, 640), "ruler").on


@pytest.mark.parametrize(("wanted", "expected", "on"), [("9", "9", True), ("9.4", "9", False), ("9.6", "10", False)])
def test_holes(wanted: str, expected: str, on: bool) -> None:
    """A template has the hole that is nearest."""
    exact = ExactSystem()
    found = hole(exact, exact.rational(Fraction(wanted)), [Fraction(n) for n in range(1, 41)])
    assert (Fraction(expected), on) == (found.nearest, found.on)


def test_half_way_between_two_holes() -> None:
    """Either will do, and that is said."""
    exact = ExactSystem()
    found = hole(exact, exact.rational(Fraction("9.5")), [Fraction(9), Fraction(10)])
    assert (Fraction(9), True, False) == (found.nearest, found.tie, found.on)
