"""Claims about even spacing: round a circle, along a line, regular figures, squares."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import mpmath
import pytest

from construct.claims import Senseless
from construct.geometry import direction

ROUND = "<M marks> are evenly spaced round <rim circle>"
ALONG = "<M marks> are evenly spaced along <g line>"
REGULAR = "<M marks> make a regular figure"
SQUARE = "<M marks> make a square"


def corners(sheet: Any, n: int, order: Any = None, radius: int = 10) -> tuple[Any, ...]:
    """Return the corners of a regular figure about (0, 0), from the right, in an order."""
    found = []
    for k in range(n) if order is None else order:
        c, s = direction(sheet.exact, Fraction(k, n))
        found.append(sheet.mark(c * radius, s * radius))
    return tuple(found)


@pytest.mark.parametrize("n", [2, 3, 4, 5, 6, 8, 12, 15, 17])
def test_regular_figures_either_way_round(sheet: Any, n: int) -> None:
    """Whatever Gauss and Wantzel allow is evenly spaced, named to the left or to the right, from any corner on."""
    rim = sheet.circle(sheet.mark(0, 0), 10)
    marks = corners(sheet, n)
    for named in (marks, marks[::-1], (*marks[1:], marks[0])):
        sheet.proved(ROUND, named, rim)
        if n > 2:
            sheet.proved(REGULAR, named)


@pytest.mark.parametrize("order", [(0, 2, 4, 1, 3), (0, 1, 2, 4, 3), (0, 1, 2, 3, 3), (0, 0, 0, 0, 0), (0, 1, 0, 1, 0)])
def test_stars_and_doublings_are_no_even_spacing(sheet: Any, order: tuple[int, ...]) -> None:
    """The five-pointed star, a swap, a mark named twice: one turn round and next is next, or it is false."""
    rim = sheet.circle(sheet.mark(0, 0), 10)
    sheet.refuted(ROUND, corners(sheet, 5, order), rim)
    sheet.refuted(REGULAR, corners(sheet, 5, order))


def test_twice_round_is_not_once(sheet: Any) -> None:
    """A triangle named twice over is six marks, 120 deg apart; four marks that double back over two are none either."""
    rim = sheet.circle(sheet.mark(0, 0), 10)
    sheet.refuted(ROUND, corners(sheet, 3, (0, 1, 2, 0, 1, 2)), rim)
    sheet.refuted(ROUND, corners(sheet, 4, (0, 2, 0, 2)), rim)
    sheet.refuted(SQUARE, corners(sheet, 4, (0, 2, 1, 3)))
    sheet.refuted(ROUND, corners(sheet, 4, (0, 0)), rim)


def test_the_gap_is_the_worst_corner(sheet: Any) -> None:
    """One mark of four moved by 1 mm is off by 1 mm; with the first one moved the figure turns with it."""
    rim = sheet.circle(sheet.mark(0, 0), 10)
    good = corners(sheet, 4)
    sheet.refuted(ROUND, (*good[:3], sheet.mark(0, -9)), rim, exact="1 mm")
    sheet.refuted(ROUND, (*good[:2], sheet.mark(-6, 8), good[3]), rim, exact="4·√5 mm")  # from (-10, 0): 4² + 8²
    first = (sheet.mark(6, 8), *good[1:])
    sheet.refuted(ROUND, first, rim, exact="4·√5 mm")  # the figure from (6, 8) is (-8, 6), (-6, -8), (8, -6): each 2√10 or 4√5 off


def test_a_figure_off_the_circle_is_not_on_it(sheet: Any) -> None:
    """Even turns at 12 mm are not evenly spaced round a circle of 10 mm: off by 2 mm; nor on another centre."""
    rim = sheet.circle(sheet.mark(0, 0), 10)
    sheet.refuted(ROUND, corners(sheet, 6, radius=12), rim, exact="2 mm")
    sheet.refuted(ROUND, corners(sheet, 6), sheet.circle(sheet.mark(1, 0), 10))
    sheet.refuted(ROUND, (sheet.mark(10, 0), sheet.mark(0, 10)), rim, exact="10·√2 mm")


def test_the_heptagon_by_half_a_triangles_side(sheet: Any) -> None:
    """Heron's heptagon: seven steps of √3/2 of the radius fall short by 0.775312174426 deg, 1.3531646930 mm on 100 mm.

    The seventh corner, after six steps, is six sevenths of that angle off. Source of the rule: Heron, Abū l-Wafāʾ, Dürer;
    values recomputed.
    """
    root = sheet.root(3)
    c, s = sheet.number("5/8"), sheet.root("39/64")  # the chord √3/2 of a unit circle spans arccos(1 − 3/8)
    x, y, marks = sheet.number(100), sheet.number(0), []
    for _ in range(7):
        marks.append(sheet.mark(x, y))
        x, y = x * c - y * s, x * s + y * c
    assert sheet.exact.sign(root * root - 3) == 0
    answer = sheet.claim(ROUND, tuple(marks), sheet.circle(sheet.mark(0, 0), 100), within="1.2")
    assert ("within", "enclosure", "mm") == (answer.verdict, answer.finding.guarantee, answer.finding.unit)
    with mpmath.workdps(30):
        off = 200 * mpmath.sin(mpmath.radians(mpmath.mpf("0.775312174426") * 6 / 7) / 2)
        assert abs(off - answer.finding.value) < 2e-9
    assert "refuted" == sheet.claim(ROUND, tuple(marks), sheet.circle(sheet.mark(0, 0), 100), within="1.1").verdict
    assert "refuted" == sheet.claim(REGULAR, tuple(marks)).verdict


def test_a_regular_figure_has_equal_sides_and_equal_angles(sheet: Any) -> None:
    """A rhombus has equal sides, an oblong equal angles; neither is a square. I.46: (0,0), (1,0), (1,1), (0,1) is one."""
    sheet.proved(SQUARE, tuple(sheet.mark(x, y) for x, y in ((0, 0), (1, 0), (1, 1), (0, 1))))
    sheet.proved(SQUARE, tuple(sheet.mark(x, y) for x, y in ((1, 2), (4, 3), (3, 6), (0, 5))))
    sheet.refuted(SQUARE, tuple(sheet.mark(x, y) for x, y in ((0, 0), (5, 0), (8, 4), (3, 4))))
    sheet.refuted(SQUARE, tuple(sheet.mark(x, y) for x, y in ((2, 1), (-2, 1), (-2, -1), (2, -1))), exact="√2 mm")
    answer = sheet.refuted(SQUARE, (sheet.mark(1, 1),) * 4)
    assert answer.finding is None and "one and the same" in answer.reason
    for count in (3, 5):
        with pytest.raises(Senseless):
            sheet.claim(SQUARE, corners(sheet, 4)[:3] if count == 3 else corners(sheet, 5))


def test_duerers_pentagon_has_equal_sides_and_is_not_regular(sheet: Any) -> None:
    """Dürer's pentagon of one opening (Underweysung, 1525): all sides 1, angles 108°21′58″ at the base."""
    three = sheet.root(3)
    inner = sheet.root(three * 6 - 4)
    hx, hy = (three + 1 + inner) / 4, (inner + 3 - three) / 4
    a, b, h, i = sheet.mark(0, 0), sheet.mark(1, 0), sheet.mark(hx, hy), sheet.mark(1 - hx, hy)
    half = hx - sheet.number("1/2")
    k = sheet.mark("1/2", hy + sheet.root(1 - half * half))
    for one, other in ((b, h), (h, k), (k, i), (i, a)):
        sheet.proved("<A mark> <B mark> equals <D mark> <E mark>", a, b, one, other)
    sheet.refuted(REGULAR, (a, b, h, k, i))
    answer = sheet.claim("angle <A mark> <O mark> <B mark> is <a angle>", a, b, h, Fraction(108, 360))
    assert answer.finding is not None
    published = 21 + Fraction(58, 60)  # minutes over 108°, the seconds printed whole
    assert abs(answer.finding.value * 60 - float(published)) < 0.5 / 60


def test_along_a_line(sheet: Any) -> None:
    """Even steps on the line, one way; a doubling back, a bulge and a stretched step are not."""
    g = sheet.line(sheet.mark(0, 0), sheet.mark(4, 3))
    row = tuple(sheet.mark(4 * k, 3 * k) for k in (1, 2, 3, 4))
    sheet.proved(ALONG, row, g)
    sheet.proved(ALONG, row[::-1], g)
    sheet.refuted(ALONG, (row[0], row[1], row[3]), g, exact="5/2 mm")
    sheet.refuted(ALONG, (row[0], row[1], row[0]), g, exact="5 mm")
    sheet.refuted(ALONG, (row[0], sheet.mark(5, 10), row[2]), g, exact="5 mm")  # (8, 6) moved square to g by 5
    off = sheet.line(sheet.mark(0, 5), sheet.mark(4, 8))
    sheet.refuted(ALONG, row, off, exact="4 mm")
    answer = sheet.refuted(ALONG, (row[0],) * 3, g)
    assert answer.finding is None
    sheet.refuted(ALONG, row, sheet.stretch(sheet.mark(0, 0), row[2]), exact="5 mm")
    sheet.refuted(ALONG, (row[0], sheet.mark(8, f"6.{'0' * 30}1"), row[2]), g)
