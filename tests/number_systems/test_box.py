"""Laws of numbers over a box: what is given out holds every value that the box holds, and is as narrow as first order where that is all."""

from __future__ import annotations

import math
import random
from fractions import Fraction
from typing import Any

import mpmath
import pytest

from construct.number_systems import NotANumber, Source
from construct.number_systems._box import BoxSystem

ANY = Source("any", 1.0)


def a_program(chance: random.Random, inputs: list[Any], root: Any) -> Any:
    """Return a number that some random operations make of the inputs; the same random numbers make the same program."""
    have = list(inputs)
    for _ in range(chance.randint(3, 14)):
        a, b = chance.choice(have), chance.choice(have)
        match chance.randrange(6):
            case 0:
                have.append(a + b)
            case 1:
                have.append(a - b)
            case 2:
                have.append(a * b)
            case 3:
                have.append(a / (b * b + 2))
            case 4:
                have.append(root(a * a + 3))
            case 5:
                have.append(a * chance.randint(-5, 5) + chance.randint(-3, 3))
    return have[-1]


@pytest.mark.parametrize("seed", range(60))
def test_every_value_in_the_box_is_held(seed: int) -> None:
    """At random places and at corners of the box the value, at 40 digits by mpmath, is inside what the box gives out."""
    half = {"a": 0.3, "b": 0.05, "c": 1e-3}
    middle = {"a": 1.25, "b": -2.0, "c": 0.5}
    system = BoxSystem(half, middle=middle)
    low, high = a_program(random.Random(seed), [system.error(key, ANY) for key in half], system.sqrt).range
    places = random.Random(1000 + seed)
    with mpmath.workdps(40):
        for number in range(40):
            draw = (lambda: places.choice((-1, 1))) if number % 2 else (lambda: places.uniform(-1, 1))
            inputs = [mpmath.mpf(middle[key]) + mpmath.mpf(draw()) * half[key] for key in half]
            value = a_program(random.Random(seed), inputs, mpmath.sqrt)
            assert mpmath.mpf(low) <= value <= mpmath.mpf(high)


def test_first_order_alone_is_met_exactly() -> None:
    """Of 2a − 3b + 1 over |a| ≤ 1, |b| ≤ 2 the ends are −7 and 9; what is added and taken away falls out."""
    system = BoxSystem({"a": 1.0, "b": 2.0})
    a, b = system.error("a", ANY), system.error("b", ANY)
    low, high = (a * 2 - b * 3 + 1).range
    assert [-7.0, 9.0] == pytest.approx([low, high], abs=1e-12)
    product = a * b
    low, high = (product + a - product).range
    assert [-1.0, 1.0] == pytest.approx([low, high], abs=1e-12)


def test_a_square_is_never_negative() -> None:
    """a² over |a| ≤ 1 lies between 0 and 1, not between −1 and 1."""
    a = BoxSystem({"a": 1.0}).error("a", ANY)
    low, high = (a * a).range
    assert [0.0, 1.0] == pytest.approx([low, high], abs=1e-12)


def test_what_has_no_value_somewhere_is_refused() -> None:
    """A root of what may be negative and a division by what may be nothing have no bound; constants that are rounding have."""
    system = BoxSystem({"a": 1.0})
    a = system.error("a", ANY)
    with pytest.raises(NotANumber):
        system.sqrt(a + Fraction(1, 2))
    with pytest.raises(NotANumber):
        system.rational(1) / a
    third = system.rational(Fraction(1, 3))
    low, high = system.sqrt(third - third).range
    assert low <= 0.0 <= high < 1e-7


def test_a_reading_holds_every_graduation_it_may_fall_on() -> None:
    """10.2 ± 0.5 read to whole mm is 10 or 11; 10.2 ± 0.1 is 10 and nothing else."""
    wide, narrow = BoxSystem({"a": 0.5}), BoxSystem({"a": 0.1})
    low, high = wide.reading(wide.error("a", ANY) + Fraction(51, 5), 1).range
    assert low <= 10 and 11 <= high <= 11 + 1e-9
    assert (10.0, 10.0) == pytest.approx(narrow.reading(narrow.error("a", ANY) + Fraction(51, 5), 1).range, abs=1e-12)
    low, high = wide.hole(wide.error("a", ANY) + Fraction(51, 5), [Fraction(9), Fraction(10), Fraction(11)]).range
    assert low <= 10 and 11 <= high
    assert math.isfinite(high)
