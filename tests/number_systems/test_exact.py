"""Laws of the exact number system, against published values and two other libraries' algorithms."""

from __future__ import annotations

import math
import subprocess
import sys
import time
from decimal import Decimal, localcontext
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import sympy
from flint import ctx
from flint.types import _gr
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from construct.number_systems import LimitMet, NotANumber, Source, Tie
from construct.number_systems.exact import Exact, ExactSystem
from construct.number_systems.float import FloatSystem


def repeatable(examples: int) -> settings:
    """The same examples in every run."""
    return settings(max_examples=examples, derandomize=True, deadline=None, database=None, suppress_health_check=[HealthCheck.too_slow])


# FLINT's algebraic numbers: minimal polynomials and isolated roots, no towers.
ORACLE = _gr.gr_real_qqbar_ctx.new()


# Published values


def test_zero_of_nested_roots() -> None:
    """√2 + √3 − √(5 + 2√6) is 0. Classical; and whatever order the roots are made in."""
    for order in ((2, 3, 6), (6, 2, 3), (6, 3, 2)):
        exact = ExactSystem()
        for radicand in order:
            exact.sqrt(radicand)
        gap = exact.sqrt(2) + exact.sqrt(3) - exact.sqrt(5 + 2 * exact.sqrt(6))
        assert 0 == exact.sign(gap)
        assert 2 == len(exact.tower.roots)


def test_small_sum_of_roots_is_not_zero() -> None:
    """√10 + √11 − √5 − √18 = 1.93785904704338e−4 (The Open Problems Project, Problem 33)."""
    exact = ExactSystem()
    gap = exact.sqrt(10) + exact.sqrt(11) - exact.sqrt(5) - exact.sqrt(18)
    assert 1 == exact.sign(gap)
    assert "0.000193785904704338" == exact.decimal(gap, 15)


def test_gauss_seventeen() -> None:
    """16·cos(2π/17) by radicals (Gauss, Disquisitiones) is a root of the minimal polynomial of cos(2π/17)."""
    exact = ExactSystem()
    root = exact.sqrt
    long = root(17)
    first = root(34 - 2 * long)
    cosine = (long - 1 + first + 2 * root(17 + 3 * long - first - 2 * root(34 + 2 * long))) / 16
    value = exact.rational(0)
    for coefficient in (256, 128, -448, -192, 240, 80, -40, -8, 1):
        value = value * cosine + coefficient
    assert 0 == exact.sign(value)
    assert "0.932472229404355804573115891822" == exact.decimal(cosine, 30)
    # Its square is no root: the polynomial is not satisfied by everything.
    other = exact.rational(0)
    for coefficient in (256, 128, -448, -192, 240, 80, -40, -8, 1):
        other = other * cosine * cosine + coefficient
    assert 0 != exact.sign(other)


def test_pentagon() -> None:
    """Sines and cosines of 72° and 144° (Euclid IV.11) satisfy their polynomials and print as books print them."""
    exact = ExactSystem()
    cos72 = (exact.sqrt(5) - 1) / 4
    sin72 = exact.sqrt(1 - cos72 * cos72)
    cos144 = 2 * cos72 * cos72 - 1
    sin144 = exact.sqrt(1 - cos144 * cos144)
    assert exact.equal(4 * cos72 * cos72 + 2 * cos72, 1)
    assert exact.equal(4 * cos144 * cos144 + 2 * cos144, 1)
    assert exact.equal(sin144, 2 * sin72 * cos72)
    assert 2 == len(exact.tower.roots)
    assert "√(10 + 2·√5)/4" == exact.closed_form(sin72)
    assert "√(10 − 2·√5)/4" == exact.closed_form(sin144)
    assert "0.30901699437494742410" == exact.decimal(cos72, 20)
    assert "0.95105651629515357212" == exact.decimal(sin72, 20)
    assert "-0.80901699437494742410" == exact.decimal(cos144, 20)
    assert "0.58778525229247312917" == exact.decimal(sin144, 20)
    assert "1.1755705045849462583" == exact.decimal(exact.sqrt((5 - exact.sqrt(5)) / 2), 20)


@pytest.mark.parametrize("sides", [8, 16, 32, 64])
def test_star_closes(sides: int) -> None:
    """Turning by 2π/n brings a point home after n turns, not before, and all n chords are alike."""
    exact = ExactSystem()
    cosine, sine, parts = exact.rational(0), exact.rational(1), 4
    while parts < sides:
        cosine, sine, parts = exact.sqrt((1 + cosine) / 2), exact.sqrt((1 - cosine) / 2), 2 * parts
    x, y = exact.rational(1), exact.rational(0)
    chords = []
    for turn in range(1, sides + 1):
        u, v = x * cosine - y * sine, x * sine + y * cosine
        chords.append(exact.sqrt((u - x) * (u - x) + (v - y) * (v - y)))
        x, y = u, v
        assert (turn == sides) == exact.equal(x, 1)
    assert all(exact.equal(chords[0], chord) for chord in chords)
    assert math.isclose(2 * math.sin(math.pi / sides), exact.to_float(chords[0]), rel_tol=1e-15)


@pytest.mark.parametrize(
    ("build", "polynomial"),
    [
        (lambda root: root(2 + root(2)) / 2, "8*x**4 - 8*x**2 + 1"),
        (lambda root: (root(6) + root(2)) / 4, "16*x**4 - 16*x**2 + 1"),
        (lambda root: root(2) + root(3) + root(5), "x**8 - 40*x**6 + 352*x**4 - 960*x**2 + 576"),
    ],
)
def test_minimal_polynomials(build: Any, polynomial: str) -> None:
    """cos 22.5°, cos 15° and √2 + √3 + √5 are roots of their polynomials (classical; from memory)."""
    exact = ExactSystem()
    unknown = sympy.Symbol("x")
    value = build(exact.sqrt)
    result = exact.rational(0)
    for coefficient in sympy.Poly(polynomial, unknown).all_coeffs():
        result = result * value + int(coefficient)
    assert 0 == exact.sign(result)
    shifted = exact.rational(0)
    for coefficient in sympy.Poly(polynomial, unknown).all_coeffs():
        shifted = shifted * (value + Fraction(1, 10**20)) + int(coefficient)
    assert 0 != exact.sign(shifted)


# Against other libraries


@pytest.mark.parametrize("tested_roots", [8, 0], ids=["square test", "roots on trust"])
@repeatable(150)
@given(st.data())
def test_verdicts_are_those_of_algebraic_numbers(tested_roots: int, data: st.DataObject) -> None:
    """Every sign in a random nest of roots with planted squares is FLINT's, with or without a square test.

    Where no root was taken on trust, equal numbers are moreover written alike.
    """
    exact = ExactSystem(tested_roots=tested_roots)
    start = data.draw(st.lists(st.fractions(-6, 6, max_denominator=4), min_size=2, max_size=3))
    pairs = [(exact.rational(value), ORACLE(value.numerator) / ORACLE(value.denominator)) for value in start]
    new_roots = 0
    for _ in range(data.draw(st.integers(3, 9))):
        (one, known_one), (two, known_two) = data.draw(st.sampled_from(pairs)), data.draw(st.sampled_from(pairs))
        kind = data.draw(st.sampled_from(["+", "-", "*", "/", "root", "square", "planted"]))
        whole = data.draw(st.integers(1, 5))
        if kind == "+":
            pairs.append((one + two, known_one + known_two))
        elif kind == "-":
            pairs.append((one - two, known_one - known_two))
        elif kind == "*":
            pairs.append((one * two, known_one * known_two))
        elif kind == "/":
            if known_two.is_zero():
                with pytest.raises(NotANumber):
                    one / two
            else:
                pairs.append((one / two, known_one / known_two))
        elif kind == "square":
            pairs.append((exact.sqrt(one * one), (known_one * known_one).sqrt()))
        elif kind == "planted":
            value, known = one + whole * two, known_one + ORACLE(whole) * known_two
            pairs.append((exact.sqrt(value * value * 2), (known * known * ORACLE(2)).sqrt()))
        elif new_roots < 3:
            value, known = one + whole, known_one + ORACLE(whole)
            if ORACLE.lt(known, ORACLE(0)):
                with pytest.raises(NotANumber):
                    exact.sqrt(value)
            else:
                new_roots += 1
                pairs.append((exact.sqrt(value), known.sqrt()))
    for index, (one, known_one) in enumerate(pairs):
        assert ORACLE.cmp(known_one, ORACLE(0)) == exact.sign(one)
        for two, known_two in pairs[:index]:
            assert (known_one == known_two) == exact.equal(one, two)
            assert ORACLE.cmp(known_one, known_two) == exact.sign(one - two)
            if exact.tower.independent:
                assert (known_one == known_two) == (exact.tower.key(one.tree) == exact.tower.key(two.tree))


@repeatable(12)
@given(st.lists(st.integers(1, 12), min_size=3, max_size=3), st.integers(-3, 3))
def test_roots_satisfy_sympys_minimal_polynomial(whole: list[int], shift: int) -> None:
    """A nest of two roots is a root of the polynomial that sympy finds, and its neighbour is not."""
    exact = ExactSystem()
    inner, outer, rest = whole
    value = exact.sqrt(outer + exact.sqrt(inner)) + exact.sqrt(rest) * shift
    symbol = sympy.Symbol("x")
    written = sympy.sqrt(outer + sympy.sqrt(inner)) + sympy.sqrt(rest) * shift
    coefficients = sympy.Poly(sympy.minimal_polynomial(written, symbol), symbol).all_coeffs()
    for offset in (Fraction(0), Fraction(1, 10**18)):
        result = exact.rational(0)
        for coefficient in coefficients:
            result = result * (value + offset) + int(coefficient)
        assert (offset == 0) == exact.equal(result, 0)


# Zeros, near misses, redundant roots


@pytest.mark.parametrize("digits", [15, 16, 17, 20, 60, 400])
def test_near_misses_are_told_apart(digits: int) -> None:
    """Numbers that agree to any number of digits are different, and their order is right."""
    exact = ExactSystem()
    small = Fraction(1, 10**digits)
    same = exact.sqrt(2) + exact.sqrt(3)
    close = exact.sqrt(5 + 2 * exact.sqrt(6) + small)
    assert not exact.equal(same, close)
    assert -1 == exact.sign(same - close)
    assert 1 == exact.sign(same + small - close)


@pytest.mark.parametrize("tested_roots", [8, 0])
def test_redundant_roots_do_not_harm(tested_roots: int) -> None:
    """Where a root already lay in the field, zeros, signs and quotients stay right."""
    exact = ExactSystem(tested_roots=tested_roots)
    nested = exact.sqrt(3 + exact.sqrt(2))
    inner = 7 - 2 * nested
    again = exact.sqrt(inner * inner)
    assert (tested_roots == 0) == (len(exact.tower.roots) > 2)
    assert (tested_roots != 0) == exact.tower.independent
    for zero in (again - inner, (again - inner) * nested, again * again - inner * inner):
        assert 0 == exact.sign(zero)
        assert "0" == exact.decimal(zero)
        assert 0.0 == exact.to_float(zero)
        assert Fraction(0) == exact.is_rational(zero)
        with pytest.raises(NotANumber, match="division by zero"):
            1 / zero
        assert 0 == exact.sign(exact.sqrt(zero))
    # A factor that is 0 though it is not written so must not hide what stands beside it.
    hidden = (again - inner) * exact.sqrt(11 + exact.sqrt(7))
    small = Fraction(1, 10**400)
    assert (1, 0, -1) == (exact.sign(hidden + small), exact.sign(hidden), exact.sign(hidden - small))
    assert not exact.equal(hidden, small)
    assert 1 == exact.sign(again + inner)
    assert exact.equal(1, (again + inner) * (1 / (again + inner)))
    assert exact.equal(1, (again + inner) / (2 * inner))
    assert Fraction(5) == exact.is_rational(again - inner + 5)
    assert Fraction(3) == Fraction(exact.decimal(exact.reading(again - inner + 3, 1)))
    with pytest.raises(Tie):
        exact.reading(again - inner + Fraction(5, 2), 1)
    assert "2.2" == exact.decimal(again - inner + Fraction(9, 4), 2)


@pytest.mark.parametrize(
    ("free", "factor"),
    [(Fraction(3), Fraction(2)), (Fraction(-1), Fraction(2)), (Fraction(5), Fraction(-1)), (Fraction(1, 3), Fraction(1, 7))],
)
@pytest.mark.parametrize("plus", [2, 5, 7])
@pytest.mark.parametrize("times", [1, 2, 3, 6])
def test_hidden_squares_are_found(free: Fraction, factor: Fraction, plus: int, times: int) -> None:
    """√(k·(a + b·g)²) needs no new root, for both signs of the norm's root and for k a known radicand."""
    exact = ExactSystem()
    generator = exact.sqrt(plus + exact.sqrt(2))
    exact.sqrt(3)
    for value in (free + factor * exact.sqrt(2), free + factor * generator, free + exact.sqrt(3) * generator * factor):
        before = len(exact.tower.roots)
        root = exact.sqrt(value * value * times)
        assert before == len(exact.tower.roots)
        assert 1 == exact.sign(root)
        assert exact.equal(root * root, value * value * times)
        root = exact.sqrt(value * value * (plus + exact.sqrt(2)))
        assert before == len(exact.tower.roots)
        assert exact.equal(root * root, value * value * (plus + exact.sqrt(2)))


def test_rational_roots_share_their_primes() -> None:
    """√6 adds nothing to √2 and √3, nor √3 to √2 and √6, nor √(10/21) to √6, √35."""
    exact = ExactSystem()
    exact.sqrt(6), exact.sqrt(35), exact.sqrt(Fraction(10, 21)), exact.sqrt(210)
    assert 3 >= len(exact.tower.roots)
    exact = ExactSystem()
    exact.sqrt(2), exact.sqrt(6), exact.sqrt(3), exact.sqrt(Fraction(8, 3)), exact.sqrt(54)
    assert 2 == len(exact.tower.roots)
    assert exact.equal(exact.sqrt(6), exact.sqrt(2) * exact.sqrt(3))


def test_integers_too_large_to_factor() -> None:
    """Roots of products of large primes are related by common divisors, without factoring."""
    primes = [sympy.nextprime(10**40), sympy.nextprime(10**41), sympy.nextprime(10**42)]
    one, two, three = (int(prime) for prime in primes)
    exact = ExactSystem()
    started = time.perf_counter()
    first, second, third = exact.sqrt(one * two), exact.sqrt(two * three), exact.sqrt(one * three)
    assert exact.equal(first * second, two * third)
    assert 2 == len(exact.tower.roots)
    assert exact.equal(exact.sqrt(Fraction(one, three)) * three, third)
    assert exact.equal(exact.sqrt(two) * exact.sqrt(one), first)
    assert 3 == len(exact.tower.roots)
    assert exact.equal(exact.sqrt(one * one * three), one * exact.sqrt(three))
    assert not exact.equal(exact.sqrt(one * two + 1), first)
    assert 2.0 > time.perf_counter() - started


@repeatable(60)
@given(st.lists(st.tuples(*[st.integers(0, 3)] * 5), min_size=2, max_size=7), st.sampled_from([3, 64]))
def test_base_roots_are_as_many_as_independent(exponents: list[tuple[int, ...]], factor_bits: int) -> None:
    """As many roots are adjoined as the radicands have rank over two elements, primes known or not.

    The rank is counted here from the exponents of the primes; with three bits no prime is known.
    """
    exact = ExactSystem(factor_bits=factor_bits)
    radicands = [math.prod(prime**power for prime, power in zip((1031, 1033, 1039, 1049, 7), row, strict=True)) for row in exponents]
    total = exact.rational(3)
    for radicand in radicands:
        total = total + exact.sqrt(radicand)
    rows: list[int] = []
    for row in exponents:
        mask = sum(power % 2 << place for place, power in enumerate(row))
        for known in rows:
            mask = min(mask, mask ^ known)
        if mask:
            rows.append(mask)
    assert len(rows) == len(exact.tower.roots)
    again = exact.sqrt(total * total * radicands[0])
    assert exact.equal(total * exact.sqrt(radicands[0]), again)
    assert len(rows) == len(exact.tower.roots)


# Laws of a field


@repeatable(60)
@given(st.lists(st.lists(st.fractions(-9, 9, max_denominator=9), min_size=6, max_size=6), min_size=3, max_size=3), st.booleans())
def test_laws_of_a_field(rows: list[list[Fraction]], on_trust: bool) -> None:
    """Commutative, associative, distributive; 0, 1, opposites and inverses."""
    exact = ExactSystem(tested_roots=0 if on_trust else 8)
    two, three = exact.sqrt(2), exact.sqrt(3)
    nest = exact.sqrt(4 + two)
    a, b, c = (r[0] + r[1] * two + r[2] * three + nest * (r[3] + r[4] * two + r[5] * three) for r in rows)
    assert exact.equal(a + b, b + a)
    assert exact.equal(a * b, b * a)
    assert exact.equal((a + b) + c, a + (b + c))
    assert exact.equal((a * b) * c, a * (b * c))
    assert exact.equal(a * (b + c), a * b + a * c)
    assert exact.equal(a - b, -(b - a))
    assert exact.equal(a * a, a * (a + 0))
    assert 0 == exact.sign(a - a)
    assert exact.sign(a * b) == exact.sign(a) * exact.sign(b)
    if exact.sign(b) != 0:
        assert exact.equal(1, b * (1 / b))
        assert exact.equal(a, a / b * b)
        assert exact.equal(a / b, a * (1 / b))
        root = exact.sqrt(b * b)
        assert exact.equal(root, b * exact.sign(b))


@repeatable(60)
@given(st.fractions(-50, 50, max_denominator=30), st.fractions(-50, 50, max_denominator=30), st.integers(-9, 9))
def test_rational_arithmetic_is_that_of_fractions(one: Fraction, two: Fraction, whole: int) -> None:
    """Over rationals the standard library's fractions give the same answers."""
    exact = ExactSystem()
    a, b = exact.rational(one), exact.letter("opening", two)
    assert one + two == exact.is_rational(a + b)
    assert one - two == exact.is_rational(a - b)
    assert one * two == exact.is_rational(a * b)
    assert whole - one == exact.is_rational(whole - a)
    assert two * whole == exact.is_rational(b * whole)
    assert one + two == exact.is_rational(two + a)
    assert (one > two) - (one < two) == exact.sign(a - b)
    if two:
        assert one / two == exact.is_rational(a / b)
        assert whole / two == exact.is_rational(whole / b)
    assert abs(one) == exact.is_rational(exact.sqrt(a * a))
    assert float(one) == exact.to_float(a)


# What is refused


def test_floats_never_enter() -> None:
    """A float is refused with a sentence, by every door."""
    exact = ExactSystem()
    root = exact.sqrt(2)
    for attempt in (
        lambda: exact.rational(0.5),
        lambda: exact.letter("reach", 0.5),
        lambda: exact.sqrt(2.0),
        lambda: root + 0.5,
        lambda: 0.5 * root,
        lambda: root / 2.0,
        lambda: 1.0 - root,
        lambda: exact.reading(root, 0.5),
        lambda: exact.hole(root, [1.0, 2.0]),
    ):
        with pytest.raises(TypeError, match="a float can not enter an exact value"):
            attempt()
    for other in (True, "1", None):
        with pytest.raises(TypeError):
            exact.rational(other)


def test_no_truth_value_and_no_order() -> None:
    """Questions go through the system: bool, order and == with a number raise; == between values is identity."""
    exact = ExactSystem()
    root = exact.sqrt(2)
    for attempt in (lambda: bool(root), lambda: root < 2, lambda: root >= root, lambda: root == 2, lambda: root != Fraction(1)):
        with pytest.raises(TypeError):
            attempt()
    assert root == root
    assert root != exact.sqrt(2) + 0
    assert root is not None and root != None  # noqa: E711


def test_division_by_zero_and_negative_roots() -> None:
    """An exact zero divisor and a negative radicand, however small, are no numbers; the distance is told."""
    exact = ExactSystem()
    zero = exact.sqrt(2) * exact.sqrt(3) - exact.sqrt(6)
    for divisor in (0, zero, exact.rational(0), exact.sqrt(8) - 2 * exact.sqrt(2)):
        with pytest.raises(NotANumber, match="division by zero"):
            exact.rational(1) / divisor
    with pytest.raises(NotANumber) as caught:
        exact.sqrt(exact.sqrt(2) - 2)
    assert math.isclose(math.sqrt(2) - 2, caught.value.distance, rel_tol=1e-12)
    with pytest.raises(NotANumber):
        exact.sqrt(exact.sqrt(2) + exact.sqrt(3) - exact.sqrt(5 + 2 * exact.sqrt(6) + Fraction(1, 10**50)))
    assert Fraction(0) == exact.is_rational(exact.sqrt(zero))


def test_values_of_two_replays_do_not_mix() -> None:
    """Roots of two systems are not confused with one another."""
    one, two = ExactSystem(), ExactSystem()
    with pytest.raises(ValueError, match="two different replays"):
        one.sqrt(2) + two.sqrt(3)


# Limits


def test_free_openings_are_linear_in_their_number() -> None:
    """Each free opening adds one root, cancels exactly, and costs no more than the one before."""

    def replay(openings: int) -> float:
        started = time.perf_counter()
        exact = ExactSystem()
        roots = [exact.sqrt(Fraction(int(sympy.prime(200 + k)), 4)) for k in range(openings)]
        total = exact.rational(7)
        for root in roots:
            total = total + root
        for root in roots:
            total = total - root
            total = total + (root * root) * 4 - (2 * root) * (2 * root)
        assert Fraction(7) == exact.is_rational(total)
        assert openings == len(exact.tower.roots)
        return time.perf_counter() - started

    replay(20)
    # Doubling doubles: 2 to the power of the number would be a million times more.
    assert 20 * min(replay(10) for _ in range(3)) > min(replay(40) for _ in range(3))


def test_deep_nests_end_in_a_limit() -> None:
    """Dense nests of roots, repeated squaring and too many roots meet a limit in a few seconds."""
    exact = ExactSystem(max_work=20_000)
    started = time.perf_counter()
    with pytest.raises(LimitMet):
        value = exact.sqrt(2)
        for step in range(20):
            value = exact.sqrt(value * value * Fraction(1, 3) + value + step + 2)
            exact.sign(1 / (value + 1) - value * value)
    assert 1 == exact.sign(exact.sqrt(2) - 1), "a small question is answered after a limit was met"
    for start in (Fraction(3, 7), exact.sqrt(3) + Fraction(1, 7)):
        with pytest.raises(LimitMet):
            value = exact.rational(1) * start
            for _ in range(80):
                value = value * value
    with pytest.raises(LimitMet, match="independent roots"):
        for whole in range(2, 1000):
            exact.sqrt(whole)
    assert 10.0 > time.perf_counter() - started


# Printing, readings, holes


@pytest.mark.parametrize(
    ("expected", "build"),
    [
        ("0", lambda e: e.sqrt(2) - e.sqrt(2)),
        ("3/40", lambda e: e.rational(Fraction(3, 40))),
        ("−7", lambda e: e.rational(-7)),
        ("453·√2/5", lambda e: Fraction(453, 5) * e.sqrt(2)),
        ("√2/2", lambda e: 1 / e.sqrt(2)),
        ("−√3", lambda e: -e.sqrt(3)),
        ("(1 + √5)/2", lambda e: (1 + e.sqrt(5)) / 2),
        ("(−1 + √5)/4", lambda e: (e.sqrt(5) - 1) / 4),
        ("4·√3", lambda e: e.sqrt(48)),
        ("2 − √3", lambda e: e.sqrt(7 - 4 * e.sqrt(3))),
        ("√2 + √3", lambda e: e.sqrt(5 + 2 * e.sqrt(6))),
        ("√(10 + 2·√5)/4", lambda e: e.sqrt(10 + 2 * e.sqrt(5)) / 4),
        ("√(10 + 2·√5)/4", lambda e: e.sqrt((5 + e.sqrt(5)) / 8)),
        ("√(2 + √2)/2", lambda e: e.sqrt((1 + e.sqrt(Fraction(1, 2))) / 2)),
        ("√(2 − √2)", lambda e: e.sqrt(2) / e.sqrt(2 + e.sqrt(2))),
        ("(3 + √(2 + √2))/2", lambda e: (e.sqrt(2 + e.sqrt(2)) + 3) / 2),
    ],
)
def test_closed_forms_read_as_a_person_writes(expected: str, build: Any) -> None:
    """Rational part first, one common denominator, simple nests opened."""
    exact = ExactSystem()
    assert expected == exact.closed_form(build(exact))


@repeatable(60)
@given(st.lists(st.fractions(-20, 20, max_denominator=12), min_size=6, max_size=6))
def test_closed_forms_equal_their_values(parts: list[Fraction]) -> None:
    """Read by an evaluator written here, with 40 digits, a closed form is the value."""
    exact = ExactSystem()
    two, six, nest = exact.sqrt(2), exact.sqrt(6), exact.sqrt(3 + exact.sqrt(2))
    value = parts[0] + parts[1] * two + parts[2] * six + nest * (parts[3] + parts[4] * two + parts[5] * six)
    with localcontext() as context:
        context.prec = 60
        lower, upper = exact.enclosure(value, 40)
        middle = Decimal((lower + upper).numerator) / Decimal(2 * (lower + upper).denominator)
        assert abs(evaluate(exact.closed_form(value)) - middle) < Decimal(10) ** -36


def evaluate(text: str) -> Decimal:
    """The value of a closed form: sums of products, quotients, roots and brackets."""
    place = 0

    def total() -> Decimal:
        nonlocal place
        result = Decimal(0)
        sign = 1
        if text[place] == "−":
            sign, place = -1, place + 1
        while True:
            result += sign * product()
            if text[place : place + 3] not in (" + ", " − "):
                return result
            sign = 1 if text[place + 1] == "+" else -1
            place += 3

    def product() -> Decimal:
        nonlocal place
        result = atom()
        while text[place : place + 1] in ("·", "/") and place < len(text):
            operator, place = text[place], place + 1
            result = result * atom() if operator == "·" else result / atom()
        return result

    def atom() -> Decimal:
        nonlocal place
        if text[place] == "√":
            place += 1
            return atom().sqrt()
        if text[place] == "(":
            place += 1
            result = total()
            assert text[place] == ")"
            place += 1
            return result
        start = place
        while place < len(text) and text[place].isdigit():
            place += 1
        return Decimal(text[start:place])

    result = total()
    assert place == len(text)
    return result


@pytest.mark.parametrize(
    ("expected", "value", "figures"),
    [
        ("3.142", Fraction(314159, 100000), 4),
        ("0.1250", Fraction(1, 8), 4),
        ("0.12", Fraction(1, 8), 2),
        ("0.38", Fraction(3, 8), 2),
        ("10.00", Fraction(99996, 10000), 4),
        ("-0.0000012", Fraction(-12, 10**7), 2),
        ("1.2e-7", Fraction(12, 10**8), 2),
        ("123500", Fraction(123456), 4),
        ("1.235e20", Fraction(123456) * 10**15, 4),
        ("0", Fraction(0), 4),
        ("7", Fraction(7), 1),
        ("1.00e-9000", Fraction(1, 10**9000), 3),
        ("9.99e8999", Fraction(999 * 10**8997), 3),
    ],
)
def test_decimals_of_fractions(expected: str, value: Fraction, figures: int) -> None:
    """Significant figures, an exact half to even; the expected texts are worked by hand."""
    exact = ExactSystem()
    assert expected == exact.decimal(value, figures)


def test_decimals_of_roots() -> None:
    """√2, √3, √5 and the golden number to 50 figures, as the standard library's decimal gives them."""
    exact = ExactSystem()
    with localcontext() as context:
        context.prec = 50
        for radicand in (2, 3, 5):
            assert str(Decimal(radicand).sqrt()) == exact.decimal(exact.sqrt(radicand), 50)
    # Almost a tie: the roundings of both sides differ although 30 digits agree.
    close = exact.sqrt(Fraction(9, 4) + Fraction(1, 10**40)) + exact.sqrt(2) - exact.sqrt(2)
    assert "2" == exact.decimal(close, 1)
    assert "1" == exact.decimal(exact.sqrt(Fraction(9, 4) - Fraction(1, 10**40)), 1)


@repeatable(50)
@given(st.fractions(-99, 99, max_denominator=50), st.integers(2, 300), st.integers(0, 40))
def test_enclosures_hold_the_value(free: Fraction, radicand: int, digits: int) -> None:
    """An enclosure is as narrow as asked and holds the number, by the integer square root."""
    exact = ExactSystem()
    lower, upper = exact.enclosure(free + exact.sqrt(radicand), digits)
    assert Fraction(1, 10**digits) >= upper - lower
    assert (lower - free) ** 2 <= radicand <= (upper - free) ** 2


@repeatable(80)
@given(st.integers(-40, 40), st.integers(0, 200), st.sampled_from([Fraction(1), Fraction(1, 2), Fraction(1, 10), Fraction(3, 4)]))
def test_readings_are_nearest(whole: int, radicand: int, graduation: Fraction) -> None:
    """A reading is a multiple within half a graduation; half-way is a tie that names both."""
    exact = ExactSystem()
    value = Fraction(whole, 4) + exact.sqrt(radicand)
    try:
        reading = exact.is_rational(exact.reading(value, graduation))
    except Tie as tie:
        assert graduation == tie.upper - tie.lower
        assert exact.equal(value, (tie.lower + tie.upper) / 2)
    else:
        assert 0 == (reading / graduation).denominator - 1
        assert 1 == exact.sign(reading + graduation / 2 - value)
        assert 1 == exact.sign(value - reading + graduation / 2)


def test_holes_are_nearest() -> None:
    """The nearest hole by exact comparison, at both ends and a hair beside the middle."""
    exact = ExactSystem()
    holes = [Fraction(1), Fraction(2), Fraction(7, 2), Fraction(7, 2), Fraction(5)]
    hair = Fraction(1, 10**30)
    for value, expected in ((-3, 1), (99, 5), (Fraction(3, 2) - hair, 1), (Fraction(3, 2) + hair, 2), (Fraction(7, 2), Fraction(7, 2))):
        assert expected == exact.is_rational(exact.hole(value, holes))
    root = exact.sqrt(2)
    assert 2 == exact.is_rational(exact.hole(root + hair + Fraction(3, 2) - root, holes))
    with pytest.raises(Tie) as caught:
        exact.hole(root + Fraction(3, 2) - root, holes)
    assert (1, 2) == (caught.value.lower, caught.value.upper)
    with pytest.raises(ValueError, match="at least one hole"):
        exact.hole(root, [])


@repeatable(80)
@given(st.integers(1, 10**9), st.integers(-(10**15), 10**15), st.integers(0, 60))
def test_floats_are_nearest(radicand: int, whole: int, shift: int) -> None:
    """The float is within 1e-16 of the value, relatively, even where terms cancel."""
    exact = ExactSystem()
    value = exact.sqrt(radicand) - math.isqrt(radicand) + Fraction(whole, 10**shift)
    with localcontext() as context:
        context.prec = 120
        known = Decimal(radicand).sqrt() - math.isqrt(radicand) + Decimal(whole) / Decimal(10) ** shift
        if known:
            assert abs(Decimal(exact.to_float(value)) / known - 1) <= Decimal("1.2e-16")
        else:
            assert 0.0 == exact.to_float(value)


def test_precision_is_left_alone() -> None:
    """The process's working precision is as before, whatever was asked."""
    before = ctx.prec
    exact = ExactSystem()
    exact.decimal(exact.sqrt(2 + exact.sqrt(3)), 500)
    assert not exact.equal(exact.sqrt(2), Fraction(141421356237309504880, 10**20))
    assert before == ctx.prec


def test_bench_errors_are_zero() -> None:
    """An exact replay has no errors."""
    exact = ExactSystem()
    assert not exact.has_errors
    assert 0 == exact.sign(exact.error(("arc", 1), Source("compass setting", 0.2)))


def test_a_tree_says_what_its_value_is() -> None:
    """A certificate can rebuild a value from its tree over plain floats."""
    exact = ExactSystem()
    value = (exact.sqrt(2 + exact.sqrt(3) / 7) - Fraction(3, 7)) * exact.sqrt(5)
    plain = FloatSystem()

    def rebuilt(tree: Any) -> float:
        if not hasattr(tree, "root"):
            return int(tree.p) / int(tree.q)
        assert tree.root in exact.tower.roots
        return rebuilt(tree.free) + rebuilt(tree.factor) * plain.sqrt(rebuilt(tree.root.radicand))

    assert isinstance(value, Exact)
    assert math.isclose(exact.to_float(value), rebuilt(value.tree), rel_tol=1e-14)


def test_neither_sympy_nor_numpy_at_run_time() -> None:
    """Proving, signing and printing closed forms load neither sympy nor numpy."""
    program = (
        "import sys; from construct.number_systems.exact import SYSTEM; e = SYSTEM(); "
        "v = e.sqrt(2 + e.sqrt(2)) / 3; e.sign(v - 1); e.decimal(v); e.closed_form(v); "
        "print(sorted({'sympy', 'numpy', 'matplotlib'} & set(sys.modules)))"
    )
    root = Path(__file__).parents[2]
    done = subprocess.run([sys.executable, "-c", program], cwd=root, capture_output=True, text=True, check=True)
    assert "[]" == done.stdout.strip()
