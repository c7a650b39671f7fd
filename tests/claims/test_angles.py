"""Claims about angles and directions: sizes, equal, a part, over, under, between lines, square, parallel."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import mpmath
import pytest

from construct.claims import Senseless, World, _turns
from construct.diagnostics import Span
from construct.language.syntax import Ratio
from construct.number_systems import LimitMet
from construct.number_systems._angles import cosine_polynomial, is_conjugate_cosine, turns
from construct.number_systems.exact import ExactSystem

SIZE = "angle <A mark> <O mark> <B mark> is <a angle>"
EQUAL = "angle <A mark> <O mark> <B mark> equals angle <D mark> <P mark> <E mark>"
PART = "angle <A mark> <O mark> <B mark> is <r ratio> of angle <D mark> <P mark> <E mark>"
OVER, UNDER = "angle <A mark> <O mark> <B mark> is over <a angle>", "angle <A mark> <O mark> <B mark> is under <a angle>"
LINES = "angle between <g line> and <k line> is <a angle>"
SQUARE, PARALLEL = "<k line> is square to <g line>", "<k line> is parallel to <g line>"


def deg(value: Any) -> Fraction:
    return Fraction(value) / 360


def ratio(value: Any) -> Ratio:
    return Ratio("number", Span(1, 1), Fraction(value))


def angle(sheet: Any, x: Any, y: Any) -> tuple[Any, Any, Any]:
    """Return three marks whose angle is that of (x, y) to the right."""
    return sheet.mark(7, 0), sheet.mark(0, 0), sheet.mark(x, y)


def test_sizes_in_the_tower(sheet: Any) -> None:
    """Half a right angle, the equilateral triangle (Euclid I.1), the pentagon's central angle (IV.11)."""
    sheet.proved(SIZE, *angle(sheet, 3, 3), deg(45))
    sheet.proved(SIZE, *angle(sheet, "1/2", sheet.root(3) / 2), deg(60))
    five = sheet.root(5)
    # (cos 72°, sin 72°) = ((√5 − 1)/4, √(10 + 2√5)/4)
    sheet.proved(SIZE, *angle(sheet, (five - 1) / 4, sheet.root(five * 2 + 10) / 4), deg(72))
    sheet.refuted(SIZE, *angle(sheet, (five - 1) / 4, sheet.root(five * 2 + 10) / 4), deg(75), exact="−3°", figures="-3.000")
    sheet.proved(SIZE, *angle(sheet, 3, -3), deg(45))
    sheet.refuted(SIZE, *angle(sheet, 3, f"3.{'0' * 40}1"), deg(45))


def test_the_other_branch_is_no_proof(sheet: Any) -> None:
    """135 deg has the tangent of -45 deg: a claim of 45 deg on it is false by 90 deg; flat angles are told apart."""
    sheet.refuted(SIZE, *angle(sheet, -3, 3), deg(45), exact="90°")
    sheet.refuted(SIZE, *angle(sheet, -3, 0), deg(0), exact="180°")
    sheet.refuted(SIZE, *angle(sheet, 3, 0), deg(180), exact="−180°")
    sheet.proved(SIZE, *angle(sheet, -3, 0), deg(180))
    sheet.proved(SIZE, *angle(sheet, 3, 0), deg(0))


def test_closed_forms_of_angles(sheet: Any) -> None:
    """arctan(3/4) is not 45 deg; what it is less 45 deg is written so. 36.869898°: the 3-4-5 triangle, from memory."""
    answer = sheet.refuted(SIZE, *angle(sheet, 4, 3), deg(45), exact="arctan(3/4) − 45°", figures="-8.130")
    assert answer.finding is not None and "deg" == answer.finding.unit
    sheet.refuted(SIZE, *angle(sheet, -4, 3), deg(90), exact="90° − arctan(3/4)", figures="53.13")
    sheet.refuted(SIZE, *angle(sheet, 4, 3), Fraction(3, 17), exact="arctan(3/4) − 1080/17°")


def test_an_angle_needs_a_corner_and_two_sides(sheet: Any) -> None:
    """A mark on the corner makes no angle; an angle of marks is never beyond 180 deg."""
    o, a = sheet.mark(0, 0), sheet.mark(1, 0)
    for marks in ((o, o, a), (a, o, sheet.mark(0, 0))):
        with pytest.raises(Senseless):
            sheet.claim(SIZE, *marks, deg(45))
    with pytest.raises(Senseless):
        sheet.claim(SIZE, *angle(sheet, 1, 1), deg(200))


@pytest.mark.parametrize(
    ("n", "coefficients"),
    [
        (5, (-1, 2, 4)),
        (7, (-1, -4, 4, 8)),
        (8, (-1, 0, 2)),
        (9, (1, -6, 0, 8)),
        (12, (-3, 0, 4)),
        (15, (1, 8, -16, -8, 16)),
        (17, (1, -8, -40, 80, 240, -192, -448, 128, 256)),
    ],
)
def test_minimal_polynomials_of_cosines(n: int, coefficients: tuple[int, ...]) -> None:
    """cos 2π/n has these minimal polynomials, constant term first (values recomputed; n = 17: Gauss, Disquisitiones)."""
    ours = [Fraction(one) * 2**power for power, one in enumerate(cosine_polynomial(n))]
    scale = Fraction(coefficients[-1]) / ours[-1]
    assert list(coefficients) == [one * scale for one in ours]


def test_conjugates_are_not_told_apart_by_the_polynomial_alone() -> None:
    """cos 72° and cos 144° have one polynomial; 40 deg beyond 1/2000 of a turn is a limit, not an answer."""
    exact = ExactSystem()
    root = exact.sqrt(5)
    assert is_conjugate_cosine(exact, (root - 1) / 4, 5)
    assert is_conjugate_cosine(exact, (-root - 1) / 4, 5)
    assert not is_conjugate_cosine(exact, root / 4, 5)
    with pytest.raises(LimitMet):
        cosine_polynomial(2001)


def test_an_enclosure_tells_an_angle_from_its_conjugates(monkeypatch: pytest.MonkeyPatch) -> None:
    """By the polynomial's route alone, 72 deg is 1/5 of a turn and not 2/5, nor the opposite direction."""
    monkeypatch.setattr(_turns, "is_constructible", lambda part: False)
    exact = ExactSystem()
    root = exact.sqrt(5)
    x, y = (root - 1) / 4, exact.sqrt(root * 2 + 10) / 4
    assert _turns.is_turn(exact, x, y, Fraction(1, 5))
    assert _turns.is_turn(exact, x, -y, Fraction(-1, 5))
    for part in (Fraction(2, 5), Fraction(4, 5), Fraction(7, 10), Fraction(1, 7)):
        assert not _turns.is_turn(exact, x, y, part)


def test_angles_that_no_construction_gives_are_refuted(sheet: Any) -> None:
    """40 deg and 2/7 of a turn are no angle of a drawing; near it the gap is an enclosure (arctan 0.8391 = 40.0000°)."""
    x, y = "0.7660444431189780352023926505554166739358324570803952458540", "0.6427876096865393263226434099072632680064012233870018990700"
    # cos 40°, sin 40° to 50 digits (recomputed): the drawing is near it, and not it
    near = sheet.claim(SIZE, *angle(sheet, x, y), deg(40))
    assert "refuted" == near.verdict
    assert near.finding is not None and 0 < abs(near.finding.value) < 1e-30
    sheet.refuted(SIZE, *angle(sheet, 1, 1), deg(40), exact="5°")
    sheet.refuted(SIZE, *angle(sheet, 1, 1), Fraction(2, 7))
    assert "within" == sheet.claim(SIZE, *angle(sheet, x, y), deg(40), within="0.1", unit="deg").verdict
    # 2001 is 3·23·29: too fine to write its polynomial down, yet an enclosure tells
    sheet.refuted(SIZE, *angle(sheet, 1, 1), Fraction(700, 2001))


def test_no_root_is_adjoined_for_such_an_angle(sheet: Any) -> None:
    """The tower does not grow when 40 deg is decided on a drawing over √3."""
    marks = angle(sheet, sheet.root(3), 2)
    before = len(sheet.exact.tower.roots)
    sheet.phrases[SIZE].make(World(sheet.exact, None), *marks, deg(40)).other()
    assert before == len(sheet.exact.tower.roots)


@pytest.mark.parametrize(
    ("target", "within", "verdict"),
    [
        (40, 5, "within"),
        (40, "4.99999999999999999999", "refuted"),
        (50, 5, "within"),
        ("44.9", "0.1", "within"),
        (60, 15, "within"),
        (45, 0, "proved"),
    ],
)
def test_within_a_tenth_of_a_degree_counts_equality(sheet: Any, target: Any, within: Any, verdict: str) -> None:
    """45 deg is exactly 5 deg from 40 and from 50: within 5 deg, not within a hair less."""
    assert verdict == sheet.claim(SIZE, *angle(sheet, 1, 1), deg(target), within=within, unit="deg").verdict


def test_equal_angles(sheet: Any) -> None:
    """A chord subtends equal angles on its arc (Euclid III.21); angles in the half circle are right (III.31)."""
    a, b = sheet.mark("3/5", "4/5"), sheet.mark("-3/5", "4/5")
    p, q = sheet.mark(0, -1), sheet.mark("5/13", "-12/13")
    sheet.proved(EQUAL, a, p, b, a, q, b)
    sheet.proved(SIZE, sheet.mark(1, 0), a, sheet.mark(-1, 0), deg(90))
    o = sheet.mark(0, 0)
    sheet.proved(PART, a, o, b, ratio(2), a, p, b)  # III.20
    sheet.proved(PART, a, p, b, ratio("1/2"), a, o, b)
    sheet.refuted(EQUAL, a, p, b, a, o, b, exact="−arctan(3/4)")
    # supplementary angles have one sine and must not be taken for equal
    sheet.refuted(EQUAL, *angle(sheet, 3, 4), *angle(sheet, -3, 4), exact="−arctan(24/7)", figures="-73.74")


def test_a_part_counts_turns(sheet: Any) -> None:
    """3·120° is a whole turn and so is 3·0°: a third of nothing is not 120 deg, though the directions agree."""
    third = angle(sheet, -1, sheet.root(3))
    nothing = angle(sheet, 1, 0)
    sheet.proved(PART, *third, ratio(2), *angle(sheet, 1, sheet.root(3)))
    sheet.proved(PART, *nothing, ratio(0), *third)
    sheet.refuted(PART, *third, ratio("1/3"), *nothing, exact="120°")
    sheet.refuted(PART, *nothing, ratio(3), *third, exact="−360°")
    # trisecting 60 deg has no construction: 20 deg is never a third of it
    near = sheet.mark("0.93969262078590838405410927732473146993620813426446", "0.34202014332566873304409961468225958076308336751416")
    sheet.refuted(PART, sheet.mark(7, 0), sheet.mark(0, 0), near, ratio("1/3"), *angle(sheet, 1, sheet.root(3)))


def test_a_part_of_an_angle_is_a_fraction(sheet: Any) -> None:
    """√2 times an angle, or a negative part, is no claim of the bench."""
    for wrong in (Ratio("sqrt", Span(1, 1), None, (ratio(2),)), ratio(-1), Ratio("pi", Span(1, 1))):
        with pytest.raises(Senseless):
            sheet.claim(PART, *angle(sheet, 1, 1), wrong, *angle(sheet, 1, 2))
    sheet.proved(PART, *angle(sheet, 1, 1), Ratio("sqrt", Span(1, 1), None, (ratio("1/4"),)), *angle(sheet, 0, 1))


def test_over_and_under_are_strict(sheet: Any) -> None:
    """The gap is by how much not; an angle of the size itself is neither over nor under."""
    sheet.proved(OVER, *angle(sheet, -1, 9), deg(90))
    sheet.proved(UNDER, *angle(sheet, 1, 9), deg(90))
    sheet.refuted(OVER, *angle(sheet, 0, 9), deg(90), exact="0°", figures="0")
    sheet.refuted(UNDER, *angle(sheet, 0, 9), deg(90), exact="0°")
    sheet.refuted(OVER, *angle(sheet, 1, 1), deg(60), exact="15°", figures="15.00")
    sheet.refuted(UNDER, *angle(sheet, 1, 1), deg(30), exact="15°")
    sheet.proved(OVER, *angle(sheet, -5, 0), deg(0))
    sheet.proved(UNDER, *angle(sheet, 5, 0), deg(180))
    sheet.refuted(OVER, *angle(sheet, 5, 0), deg(0))
    sheet.refuted(UNDER, *angle(sheet, -5, 0), deg(180))
    sheet.refuted(OVER, *angle(sheet, -5, 0), deg(180))
    sheet.proved(OVER, *angle(sheet, 1, 1), deg(40))
    sheet.proved(UNDER, *angle(sheet, 1, 1), deg(50))
    sheet.refuted(UNDER, *angle(sheet, 1, 1), deg(40), exact="5°")


def test_between_lines_has_no_direction(sheet: Any) -> None:
    """Two lines make an angle and its supplement, whichever way they run; the claim says which it means."""
    o = sheet.mark(0, 0)
    root = sheet.root(3)
    for x, y in ((1, root), (-1, -root)):
        for a in (4, -4):
            g, k = sheet.line(o, sheet.mark(a, 0)), sheet.line(o, sheet.mark(x, y))
            sheet.proved(LINES, g, k, deg(60))
            sheet.proved(LINES, k, g, deg(120))
            sheet.refuted(LINES, g, k, deg(45), exact="15°")
            sheet.refuted(LINES, g, k, deg(90), exact="−30°")
    sheet.proved(LINES, sheet.line(o, sheet.mark(1, 0)), sheet.line(sheet.mark(0, 3), sheet.mark(1, 3)), deg(0))


def test_square_and_parallel(sheet: Any) -> None:
    """At (2, 1) on y = x/2 the square runs (-1, 2) (I.11); through (1, 2) the parallel to 3x + 4y = 0 is 3x + 4y = 11 (I.31)."""
    g = sheet.line(sheet.mark(0, 0), sheet.mark(2, 1))
    sheet.proved(SQUARE, sheet.line(sheet.mark(2, 1), sheet.mark(1, 3)), g)
    sheet.proved(SQUARE, sheet.line(sheet.mark(1, 3), sheet.mark(2, 1)), g)
    sheet.refuted(SQUARE, sheet.line(sheet.mark(0, 0), sheet.mark(0, 1)), g, exact="arctan(1/2)", figures="26.57")
    k = sheet.line(sheet.mark(0, 0), sheet.mark(4, -3))
    sheet.proved(PARALLEL, sheet.line(sheet.mark(1, 2), sheet.mark("11/3", 0)), k)
    sheet.proved(PARALLEL, sheet.line(sheet.mark("11/3", 0), sheet.mark(1, 2)), k)
    sheet.proved(PARALLEL, k, k)
    sheet.refuted(PARALLEL, sheet.line(sheet.mark(0, 0), sheet.mark(1, 0)), k, exact="arctan(3/4)", figures="36.87")
    sheet.refuted(PARALLEL, sheet.line(sheet.mark(0, 0), sheet.mark(3, 4)), k, exact="90°")
    sheet.refuted(SQUARE, k, k, exact="90°")
    sheet.refuted(SQUARE, sheet.line(sheet.mark(0, 0), sheet.mark(f"0.{'0' * 40}1", 1)), sheet.line(sheet.mark(0, 0), sheet.mark(1, 0)))


def test_a_direction_is_enclosed_without_a_jump() -> None:
    """On the axes an angle is known without rounding; close to the jump at 180 deg the enclosure stays on its side."""
    exact = ExactSystem()
    number = exact.rational
    assert (Fraction(1, 2), Fraction(1, 2)) == turns(exact, number(-1), number(0), 64)
    assert (Fraction(-1, 4), Fraction(-1, 4)) == turns(exact, number(0), number(-2), 64)
    lower, upper = turns(exact, number(-1), number(Fraction(-1, 10**80)), 64)
    assert Fraction(-1, 2) - Fraction(1, 10**15) < lower < upper < Fraction(-499, 1000)
    with mpmath.workdps(80):
        outside = mpmath.atan2(3, 4) / (2 * mpmath.pi)
    lower, upper = turns(exact, number(4), number(3), 200)
    assert upper - lower < Fraction(1, 10**55)
    with mpmath.workdps(80):
        assert mpmath.mpf(lower.numerator) / lower.denominator <= outside <= mpmath.mpf(upper.numerator) / upper.denominator
