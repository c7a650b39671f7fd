"""Laws of enclosures: they hold the exact number, and what is open stays open."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from flint import ctx
from hypothesis import given, settings
from hypothesis import strategies as st

from construct.number_systems import NotANumber, Source
from construct.number_systems.exact import ExactSystem
from construct.number_systems.interval import IntervalSystem

FRACTIONS = st.fractions(-99, 99, max_denominator=40)


@settings(max_examples=80, derandomize=True, deadline=None, database=None)
@given(FRACTIONS, FRACTIONS, st.integers(2, 99), st.sampled_from([16, 64, 128]))
def test_enclosures_hold_the_fraction(one: Fraction, two: Fraction, whole: int, bits: int) -> None:
    """At any precision the ball holds what the standard library's fractions give."""
    interval = IntervalSystem(bits=bits)
    a, b = interval.rational(one), interval.letter("opening", two)
    cases = [(a + b, one + two), (a - b, one - two), (a * b, one * two), (whole - a, whole - one), (-a * whole, -one * whole)]
    if two:
        cases += [(a / b, one / two), (whole / b, whole / two)]
    for value, known in cases:
        lower, upper = interval.bounds(value)
        assert lower <= known <= upper
    lower, upper = interval.bounds(interval.sqrt(interval.rational(whole)))
    assert lower**2 <= whole <= upper**2
    assert upper - lower < Fraction(100, 2**bits)


@settings(max_examples=30, derandomize=True, deadline=None, database=None)
@given(st.lists(st.integers(1, 20), min_size=4, max_size=4))
def test_enclosures_hold_the_exact_value(whole: list[int]) -> None:
    """The same formula in both systems: the ball reaches into the exact system's enclosure."""
    results = []
    for system in (IntervalSystem(bits=40), ExactSystem()):
        nest = system.sqrt(system.sqrt(system.rational(whole[0])) + whole[1])
        results.append((system, nest * whole[2] / (system.sqrt(system.rational(whole[3])) + 1) - nest))
    (interval, ball), (exact, value) = results
    lower, upper = interval.bounds(ball)
    assert 1 != exact.sign(lower - value)
    assert -1 != exact.sign(upper - value)


def test_what_is_open_stays_open() -> None:
    """A ball around zero has no sign, no root and is no divisor; refused, not guessed."""
    interval = IntervalSystem()
    zero = interval.sqrt(interval.rational(2)) * interval.sqrt(interval.rational(3)) - interval.sqrt(interval.rational(6))
    assert None is interval.sign(zero)
    with pytest.raises(NotANumber, match="may be negative"):
        interval.sqrt(zero)
    with pytest.raises(NotANumber, match="may be zero"):
        1 / zero
    with pytest.raises(NotANumber, match="is zero"):
        interval.rational(1) / 0
    with pytest.raises(NotANumber, match="is negative") as caught:
        interval.sqrt(interval.rational(-2))
    assert -2.0 == caught.value.distance
    assert (1, 0, -1) == tuple(interval.sign(interval.rational(value)) for value in (3, 0, Fraction(-1, 7)))
    with pytest.raises(TypeError):
        bool(zero)
    with pytest.raises(TypeError, match="float"):
        zero + 0.5


def test_readings_are_the_hull() -> None:
    """Every multiple that may be the nearest one is inside; worked by hand."""
    interval = IntervalSystem()

    def around(lower: Fraction | int, upper: Fraction | int) -> tuple[Fraction, Fraction]:
        low, high = interval.rational(lower), interval.rational(upper)
        low.ball = low.ball.union(high.ball)
        return interval.bounds(interval.reading(low, Fraction(1, 2)))

    assert (Fraction(3), Fraction(3)) == interval.bounds(interval.reading(interval.rational(Fraction(31, 10)), Fraction(1, 2)))
    lower, upper = around(Fraction(5, 2) + Fraction(1, 5), Fraction(5, 2) + Fraction(3, 10))
    assert lower <= Fraction(5, 2) and 3 <= upper and upper - lower < Fraction(501, 1000)
    # An exact tie: the hand could take either.
    lower, upper = interval.bounds(interval.reading(interval.rational(Fraction(1, 4)), Fraction(1, 2)))
    assert lower <= 0 and Fraction(1, 2) <= upper


def test_holes_are_the_hull() -> None:
    """Every hole that may be the nearest one is inside; worked by hand."""
    interval = IntervalSystem()
    holes = [1, 2, Fraction(7, 2)]
    assert (2, 2) == interval.bounds(interval.hole(interval.rational(Fraction(17, 10)), holes))
    lower, upper = interval.bounds(interval.hole(interval.rational(Fraction(3, 2)), holes))
    assert lower <= 1 and 2 <= upper
    assert (Fraction(7, 2), Fraction(7, 2)) == interval.bounds(interval.hole(interval.rational(99), holes))
    with pytest.raises(ValueError, match="at least one hole"):
        interval.hole(interval.rational(1), [])


def test_precision_is_its_own() -> None:
    """A system's precision is not the process's, and it leaves that as it was."""
    before = ctx.prec
    wide, narrow = IntervalSystem(bits=20), IntervalSystem(bits=300)
    for interval in (wide, narrow):
        lower, upper = interval.bounds(interval.sqrt(interval.rational(2)))
        assert Fraction(1, 2 ** (interval.bits + 4)) < upper - lower < Fraction(1, 2 ** (interval.bits - 4))
    assert before == ctx.prec
    assert math.isclose(math.sqrt(2), narrow.to_float(narrow.sqrt(narrow.rational(2))), rel_tol=1e-15)


def test_errors_are_zero() -> None:
    """This system replays a bench without errors."""
    interval = IntervalSystem()
    assert 0 == interval.sign(interval.error(("arc", 1), Source("compass setting", 0.2)))
    assert not interval.has_errors
