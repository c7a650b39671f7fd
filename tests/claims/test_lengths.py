"""Claims about distances: equal, a part, a size, together, products, longer, shorter; and their tolerances."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any

import pytest

from construct.claims import Senseless
from construct.diagnostics import Span
from construct.language.syntax import Ratio

EQUALS = "<A mark> <B mark> equals <D mark> <E mark>"
PART = "<A mark> <B mark> is <r ratio> of <D mark> <E mark>"
LONG = "<A mark> <B mark> is <w measure>"
TOGETHER = "<A mark> <B mark> and <D mark> <E mark> together equal <F mark> <G mark>"
PRODUCTS = "<A mark> <B mark> times <D mark> <E mark> equals <F mark> <G mark> times <H mark> <I mark>"
LONGER = "<A mark> <B mark> is longer than <D mark> <E mark>"
SHORTER = "<A mark> <B mark> is shorter than <D mark> <E mark>"
HERE = Span(1, 1)


def ratio(value: Any) -> Ratio:
    return Ratio("number", HERE, Fraction(value))


def root(value: Any) -> Ratio:
    return Ratio("sqrt", HERE, None, (ratio(value),))


PI = Ratio("pi", HERE)


def stretch(sheet: Any, length: Any) -> tuple[Any, Any]:
    """Return two marks so far apart."""
    return sheet.mark(0, 0), sheet.mark(length, 0)


def test_equal_lengths(sheet: Any) -> None:
    """3-4-5 (Euclid I.47): the hypotenuse equals 5; left less right is signed."""
    o, p = sheet.mark(0, 0), sheet.mark(3, 4)
    sheet.proved(EQUALS, o, p, *stretch(sheet, 5))
    sheet.refuted(EQUALS, o, p, *stretch(sheet, 6), exact="−1 mm", figures="-1.000")
    sheet.refuted(EQUALS, *stretch(sheet, 6), o, p, exact="1 mm", figures="1.000")
    sheet.refuted(EQUALS, o, sheet.mark(1, 1), *stretch(sheet, 1), exact="−1 + √2 mm", figures="0.4142")
    sheet.refuted(EQUALS, o, p, *stretch(sheet, f"5.{'0' * 40}1"))


def test_the_smallest_difference_of_four_roots_is_seen(sheet: Any) -> None:
    """√10 + √11 and √5 + √18 differ by 1.93785904704338e-4 (The Open Problems Project, problem 33)."""
    roots = [sheet.root(n) for n in (10, 11, 5, 18)]
    answer = sheet.refuted(TOGETHER, *stretch(sheet, roots[0]), *stretch(sheet, roots[1]), *stretch(sheet, roots[2] + roots[3]))
    assert answer.finding is not None
    assert "0.0001938" == answer.finding.figures
    assert abs(answer.finding.value - 1.93785904704338e-4) < 5e-19
    assert {"√10", "√11", "√5", "3·√2"} == set(re.findall(r"(?:3·)?√[0-9]+", answer.finding.exact))
    # √2 + √3 = √(5 + 2√6), the classical denesting
    nested = stretch(sheet, sheet.root(sheet.root(6) * 2 + 5))
    sheet.proved(TOGETHER, *stretch(sheet, sheet.root(2)), *stretch(sheet, sheet.root(3)), *nested)


def test_together_does_not_lose_a_sign(sheet: Any) -> None:
    """2 and 3 together are 5, but 5 and 3 together are not 2, nor 2 and 5 together 3, though squares can not tell."""
    two, three, five = (stretch(sheet, n) for n in (2, 3, 5))
    sheet.proved(TOGETHER, *two, *three, *five)
    sheet.refuted(TOGETHER, *five, *three, *two, exact="6 mm")
    sheet.refuted(TOGETHER, *two, *five, *three, exact="4 mm")
    sheet.refuted(TOGETHER, *two, *three, *stretch(sheet, f"5.{'0' * 30}1"))
    nothing = stretch(sheet, 0)
    sheet.proved(TOGETHER, *nothing, *nothing, *nothing)


def test_a_part_of_a_length(sheet: Any) -> None:
    """XIII.9: hexagon side and decagon side are in extreme and mean ratio; √2 of the side is the diagonal."""
    golden = (sheet.root(5) - 1) / 2
    part = Ratio("/", HERE, None, (Ratio("-", HERE, None, (root(5), ratio(1))), ratio(2)))
    sheet.proved(PART, *stretch(sheet, golden), part, *stretch(sheet, 1))
    sheet.proved(PART, sheet.mark(0, 0), sheet.mark(7, 7), root(2), *stretch(sheet, 7))
    sheet.refuted(PART, *stretch(sheet, 10), ratio("3/4"), *stretch(sheet, 12), exact="1 mm")
    sheet.refuted(PART, *stretch(sheet, 99), ratio("7/5"), *stretch(sheet, 70), exact="1 mm")
    sheet.proved(PART, *stretch(sheet, 0), ratio(0), *stretch(sheet, 3))


def test_a_negative_part_is_senseless(sheet: Any) -> None:
    """-1 of 5 mm is not 5 mm, though the squares agree."""
    with pytest.raises(Senseless):
        sheet.claim(PART, *stretch(sheet, 5), ratio(-1), *stretch(sheet, 5))


def test_a_ratio_without_a_value_is_senseless(sheet: Any) -> None:
    """A division by nothing and the root of a negative number are the user's mistake."""
    for wrong in (Ratio("/", HERE, None, (ratio(1), Ratio("-", HERE, None, (ratio(1), ratio(1))))), root(-2)):
        with pytest.raises(Senseless):
            sheet.claim(PART, *stretch(sheet, 5), wrong, *stretch(sheet, 5))


def test_a_length_in_mm(sheet: Any) -> None:
    """Decimals are exact: 3/40 mm is 0.075 mm."""
    sheet.proved(LONG, *stretch(sheet, "0.075"), sheet.number("3/40"))
    sheet.refuted(LONG, *stretch(sheet, "54.25"), sheet.number("54.325"), exact="−3/40 mm", figures="-0.07500")


def test_chords_through_one_mark(sheet: Any) -> None:
    """Chords through (1/2, 0) of the unit circle: the products of their parts are 3/4 (Euclid III.35, values recomputed)."""
    x = sheet.mark("1/2", 0)
    half = sheet.root("3/4")
    ends = (sheet.mark(1, 0), sheet.mark(-1, 0), sheet.mark("1/2", half), sheet.mark("1/2", -half))
    sheet.proved(PRODUCTS, x, ends[0], x, ends[1], x, ends[2], x, ends[3])
    answer = sheet.refuted(PRODUCTS, x, ends[0], x, ends[1], x, ends[2], x, ends[0], exact="(3 − √3)/4 mm²")
    assert answer.finding is not None and "mm2" == answer.finding.unit


def test_mean_proportional(sheet: Any) -> None:
    """6 is the mean proportional of 4 and 9 (Euclid VI.13)."""
    six = stretch(sheet, 6)
    sheet.proved(PRODUCTS, *six, *six, *stretch(sheet, 4), *stretch(sheet, 9))


def test_longer_and_shorter_are_strict(sheet: Any) -> None:
    """Equal lengths are neither; the gap is by how much not."""
    five, six = stretch(sheet, 5), stretch(sheet, 6)
    sheet.proved(LONGER, *six, *five)
    sheet.proved(SHORTER, *five, *six)
    sheet.refuted(LONGER, *five, *six, exact="1 mm")
    sheet.refuted(SHORTER, *six, *five, exact="1 mm")
    sheet.refuted(LONGER, *five, *five, exact="0 mm")
    sheet.refuted(SHORTER, *five, *five, exact="0 mm")
    sheet.proved(LONGER, *stretch(sheet, f"5.{'0' * 40}1"), *five)


@pytest.mark.parametrize(
    ("length", "verdict"),
    [("100.5", "within"), ("99.5", "within"), (f"100.5{'0' * 30}1", "refuted"), (f"99.4{'9' * 30}", "refuted"), ("100", "proved")],
)
def test_a_share_of_the_right_side(sheet: Any, length: str, verdict: str) -> None:
    """Within 0.5 % of 100 mm is up to exactly 0.5 mm either way; a gap of nothing is proved."""
    answer = sheet.claim(EQUALS, *stretch(sheet, length), *stretch(sheet, 100), within="1/200", unit="part")
    assert verdict == answer.verdict


def test_a_share_of_an_irrational_right_side(sheet: Any) -> None:
    """A length 1/100 over √2 mm is within 1 %, equality included, and not within a hair less."""
    root_two = sheet.root(2)
    left, right = stretch(sheet, root_two * 101 / 100), stretch(sheet, root_two)
    assert "within" == sheet.claim(EQUALS, *left, *right, within="1/100", unit="part").verdict
    assert "refuted" == sheet.claim(EQUALS, *left, *right, within="0.00999999999999999999999999", unit="part").verdict


def test_pi_needs_a_tolerance(sheet: Any) -> None:
    """A ratio with pi has a sense only within something."""
    with pytest.raises(Senseless):
        sheet.claim(PART, *stretch(sheet, 22), PI, *stretch(sheet, 7))


def test_archimedes_bounds_of_pi(sheet: Any) -> None:
    """22/7 is over pi by 0.0402 %, 223/71 under it by 0.0238 % (Archimedes, Measurement of a Circle, prop. 3)."""
    over = sheet.claim(PART, *stretch(sheet, 22), PI, *stretch(sheet, 7), within="0.000403", unit="part")
    assert ("within", "enclosure") == (over.verdict, over.finding.guarantee)
    assert over.finding.value > 0
    assert "refuted" == sheet.claim(PART, *stretch(sheet, 22), PI, *stretch(sheet, 7), within="0.000402", unit="part").verdict
    under = sheet.claim(PART, *stretch(sheet, 223), PI, *stretch(sheet, 71), within="0.000238", unit="part")
    assert "within" == under.verdict
    assert under.finding.value < 0
    # 7·pi = 21.991148575128552669… (from memory; math.pi·7 agrees to 15 digits)
    assert "0.008851" == over.finding.figures
    assert "refuted" == sheet.claim(PART, *stretch(sheet, 22), PI, *stretch(sheet, 7), within="0.008851", unit="mm").verdict
    assert "within" == sheet.claim(PART, *stretch(sheet, 22), PI, *stretch(sheet, 7), within="0.008852", unit="mm").verdict
