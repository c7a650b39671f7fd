"""Claims about lines and circles together: touching, meeting in one mark, quartering a circle."""

from __future__ import annotations

from typing import Any

import pytest

from construct.claims import Senseless

TOUCH = "<c line|circle> touches <k line|circle>"
MEET = "<M lines> meet in one mark"
QUARTER = "<g line> and <k line> quarter <rim circle>"


def test_a_tangent_touches(sheet: Any) -> None:
    """From (13, 0) the tangents of the circle of 5 touch at (25/13, ±60/13) (Euclid III.17, values recomputed)."""
    c, away = sheet.circle(sheet.mark(0, 0), 5), sheet.mark(13, 0)
    for y in ("60/13", "-60/13"):
        k = sheet.line(away, sheet.mark("25/13", y))
        sheet.proved(TOUCH, c, k)
        sheet.proved(TOUCH, k, c)
    sheet.refuted(TOUCH, c, sheet.line(sheet.mark(0, 7), sheet.mark(1, 7)), exact="2 mm")
    sheet.refuted(TOUCH, c, sheet.line(sheet.mark(0, 3), sheet.mark(1, 3)), exact="−2 mm")
    sheet.refuted(TOUCH, c, sheet.line(sheet.mark(0, f"5.{'0' * 30}1"), sheet.mark(1, f"5.{'0' * 30}1")))


def test_a_line_that_ends_before_does_not_touch(sheet: Any) -> None:
    """Nothing touches beyond an end."""
    c = sheet.circle(sheet.mark(0, 0), 5)
    sheet.proved(TOUCH, c, sheet.stretch(sheet.mark(0, 5), sheet.mark(9, 5)))
    sheet.refuted(TOUCH, c, sheet.stretch(sheet.mark(3, 5), sheet.mark(9, 5)), exact="3 mm")
    low = sheet.arc(sheet.mark(0, 0), sheet.mark(-3, -4), sheet.mark(3, -4))
    sheet.refuted(TOUCH, low, sheet.line(sheet.mark(0, 5), sheet.mark(1, 5)), exact="3·√10 mm")
    sheet.proved(TOUCH, low, sheet.line(sheet.mark(0, -5), sheet.mark(1, -5)))


def test_circles_touch_from_outside_and_from_inside(sheet: Any) -> None:
    """The distance is the sum or the difference of the radii; the gap is the smaller miss."""
    c = sheet.circle(sheet.mark(0, 0), 5)
    sheet.proved(TOUCH, c, sheet.circle(sheet.mark(8, 0), 3))
    sheet.proved(TOUCH, c, sheet.circle(sheet.mark(2, 0), 3))
    sheet.proved(TOUCH, sheet.circle(sheet.mark(2, 0), 3), c)
    sheet.refuted(TOUCH, c, sheet.circle(sheet.mark(9, 0), 3), exact="1 mm")
    sheet.refuted(TOUCH, c, sheet.circle(sheet.mark(1, 0), 3), exact="−1 mm")
    sheet.refuted(TOUCH, c, sheet.circle(sheet.mark(7, 0), 3), exact="−1 mm")
    sheet.refuted(TOUCH, c, sheet.circle(sheet.mark(3, 0), 3), exact="1 mm")
    sheet.refuted(TOUCH, c, sheet.circle(sheet.mark(8, 0), f"3.{'0' * 30}1"))
    root = sheet.root(2)
    sheet.proved(TOUCH, sheet.circle(sheet.mark(0, 0), root), sheet.circle(sheet.mark(root * 3, 0), root * 2))


def test_a_circle_does_not_touch_itself(sheet: Any) -> None:
    """Distance 0 is the difference of equal radii, yet a circle lying on another does not touch it."""
    c = sheet.circle(sheet.mark(1, 2), 5)
    answer = sheet.refuted(TOUCH, c, sheet.circle(sheet.mark(1, 2), 5))
    assert answer.finding is None and "same circle" in answer.reason
    sheet.refuted(TOUCH, c, sheet.circle(sheet.mark(1, 2), 7), exact="−2 mm")


def test_lines_do_not_touch(sheet: Any) -> None:
    """Two lines cross or run side by side."""
    k = sheet.line(sheet.mark(0, 0), sheet.mark(1, 0))
    with pytest.raises(Senseless):
        sheet.claim(TOUCH, k, sheet.line(sheet.mark(0, 0), sheet.mark(0, 1)))


def test_the_medians_meet_in_one_mark(sheet: Any) -> None:
    """The medians of the triangle (0,0), (14,0), (5,12) meet (classical); a line beside misses by its distance."""
    a, b, d = sheet.mark(0, 0), sheet.mark(14, 0), sheet.mark(5, 12)
    medians = (
        sheet.line(a, sheet.mark("19/2", 6)),
        sheet.line(b, sheet.mark("5/2", 6)),
        sheet.line(d, sheet.mark(7, 0)),
    )
    sheet.proved(MEET, medians)
    sheet.refuted(MEET, (*medians[:2], sheet.line(sheet.mark(0, 7), sheet.mark(1, 7))), exact="3 mm")  # they meet at (19/3, 4)
    sheet.refuted(MEET, (*medians[:2], sheet.line(d, sheet.mark(f"7.{'0' * 30}1", 0))))


def test_the_bisectors_meet_in_the_incentre(sheet: Any) -> None:
    """The triangle of 13, 14, 15 has its incentre at (6, 4) (Euclid IV.4, values recomputed)."""
    middle = sheet.mark(6, 4)
    sheet.proved(MEET, tuple(sheet.line(corner, middle) for corner in (sheet.mark(0, 0), sheet.mark(14, 0), sheet.mark(5, 12))))


def test_parallel_lines_do_not_meet(sheet: Any) -> None:
    """Three parallel lines have a zero determinant, and no mark in common; nor is one line three times a mark."""
    level = [sheet.line(sheet.mark(0, y), sheet.mark(1, y)) for y in (0, 1, 3)]
    answer = sheet.refuted(MEET, tuple(level))
    assert answer.finding is None and "never meet" in answer.reason
    sheet.refuted(MEET, (level[0], level[0], level[0]))
    up = sheet.line(sheet.mark(2, 0), sheet.mark(2, 1))
    sheet.refuted(MEET, (level[0], level[1], up), exact="1 mm")
    sheet.proved(MEET, (level[0], level[0], up))


def test_lines_that_end_before_do_not_meet(sheet: Any) -> None:
    """Lines would meet at (0, 0); one ends 2 mm before."""
    o = sheet.mark(0, 0)
    full = [sheet.line(o, sheet.mark(x, y)) for x, y in ((1, 0), (0, 1))]
    sheet.proved(MEET, (*full, sheet.stretch(o, sheet.mark(5, 5))))
    sheet.refuted(MEET, (*full, sheet.stretch(sheet.mark(0, 2), sheet.mark(0, 5))), exact="2 mm")


def test_quarters(sheet: Any) -> None:
    """Through the centre and square: the worse part is the gap, in mm off the centre or in degrees."""
    o = sheet.mark(1, 1)
    rim = sheet.circle(o, 10)
    level, up = sheet.line(o, sheet.mark(2, 1)), sheet.line(o, sheet.mark(1, 2))
    sheet.proved(QUARTER, level, up, rim)
    sheet.proved(QUARTER, up, level, rim)
    sheet.refuted(QUARTER, level, sheet.line(sheet.mark(4, 0), sheet.mark(4, 1)), rim, exact="3 mm")
    answer = sheet.refuted(QUARTER, level, sheet.line(o, sheet.mark(5, 4)), rim, exact="arctan(4/3)", figures="53.13")
    assert answer.finding is not None and "deg" == answer.finding.unit
    sheet.refuted(QUARTER, level, level, rim, exact="90°")
    # 0.1 mm off the centre is worse than a direction of 1 in 1000, 0.01 mm off at the rim
    a, b = sheet.mark("1.1", 1), sheet.mark("1.101", 2)
    sheet.refuted(QUARTER, level, sheet.line(sheet.mark("1.5", 1), sheet.mark("1.501", 2)), rim, figures="0.5000")
    assert "within" == sheet.claim(QUARTER, level, sheet.line(a, b), rim, within="0.1").verdict
    assert "refuted" == sheet.claim(QUARTER, level, sheet.line(a, b), rim, within="0.09").verdict


def test_an_angle_off_in_quarters_may_be_allowed_for(sheet: Any) -> None:
    """A line 1 in 1000 off square leads 10/√(1000001)·… mm, just under 0.01 mm, off at a rim of 10 mm."""
    o = sheet.mark(0, 0)
    things = sheet.line(o, sheet.mark(1, 0)), sheet.line(o, sheet.mark(1, 1000)), sheet.circle(o, 10)
    assert "within" == sheet.claim(QUARTER, *things, within="0.01").verdict
    assert "refuted" == sheet.claim(QUARTER, *things, within="0.0099999").verdict
    assert "within" == sheet.claim(QUARTER, *things, within="0.0573", unit="deg").verdict  # arctan(1/1000) = 0.05729576°
    assert "refuted" == sheet.claim(QUARTER, *things, within="0.0572", unit="deg").verdict


def test_lines_that_end_inside_do_not_quarter(sheet: Any) -> None:
    """Both lines must reach the circle on both sides."""
    o = sheet.mark(0, 0)
    rim, up = sheet.circle(o, 10), sheet.line(o, sheet.mark(0, 1))
    sheet.proved(QUARTER, sheet.stretch(sheet.mark(-10, 0), sheet.mark(12, 0)), up, rim)
    sheet.refuted(QUARTER, sheet.stretch(sheet.mark(-10, 0), sheet.mark(8, 0)), up, rim, exact="2 mm")
    sheet.refuted(QUARTER, sheet.stretch(sheet.mark(3, 0), sheet.mark(12, 0)), up, rim, exact="13 mm")
