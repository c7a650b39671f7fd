"""Claims about where marks are: halfway, centre, on, in line, on one circle, the same, inside, between, on a side."""

from __future__ import annotations

from typing import Any

import pytest

from construct.claims import Senseless
from construct.geometry import Board, Circle, Oval

TINY = "0.0000000000000000000000000000001"  # 10^-31, beyond any float
HALFWAY = "<M mark> is halfway between <A mark> and <B mark>"
ON = "<X mark> is on <k line|circle|edge>"
IN_LINE = "<M marks> are in line"
ON_CIRCLE = "<M marks> are on one circle"
INSIDE, OUTSIDE = "<X mark> is inside <c circle>", "<X mark> is outside <c circle>"
BETWEEN = "<X mark> is between <A mark> and <B mark>"
SIDE = "<X mark> is on the <D mark> side of <g line>"
SIDE_OF_TWO = "<X mark> is on the <D mark> side of <A mark> <B mark>"
SAME = "<X mark|line|circle> is <Y mark|line|circle>"
CENTRE = "<O mark> is the centre of <rim circle>"
PLATE = "<O mark> is the centre of the plate"


def test_halfway_is_euclids_middle(sheet: Any) -> None:
    """(7/2, 3/2) halves (0, 0)-(7, 3) (Euclid I.10, values recomputed); a mark beside it does not."""
    a, b = sheet.mark(0, 0), sheet.mark(7, 3)
    sheet.proved(HALFWAY, sheet.mark("7/2", "3/2"), a, b)
    sheet.refuted(HALFWAY, sheet.mark("7/2", 2), a, b, exact="1/2 mm", figures="0.5000")
    sheet.refuted(HALFWAY, sheet.mark("9/2", "5/2"), a, b, exact="√2 mm", figures="1.414")
    sheet.refuted(HALFWAY, sheet.mark("3.50000000000000000000000000000000001", "3/2"), a, b)


def test_halfway_between_one_mark_and_itself(sheet: Any) -> None:
    """The middle of a mark and itself is that mark."""
    a = sheet.mark(2, 5)
    sheet.proved(HALFWAY, sheet.mark(2, 5), a, a)
    sheet.refuted(HALFWAY, sheet.mark(2, 6), a, a, exact="1 mm")


def test_centre_of_a_circle(sheet: Any) -> None:
    """(2, 1) is the centre of the circle through (0,0), (4,0), (1,3) (Euclid III.1, values recomputed)."""
    rim = Circle(sheet.mark(2, 1), sheet.number(5))
    sheet.proved(CENTRE, sheet.mark(2, 1), rim)
    sheet.refuted(CENTRE, sheet.mark(5, 5), rim, exact="5 mm")


def test_centre_of_the_plate_is_the_middle_of_any_blank(on_blank: Any) -> None:
    """The middle of a round plate, of an oval one and of a board; paper has none."""
    paper = on_blank()
    with pytest.raises(Senseless):
        paper.claim(PLATE, paper.mark(0, 0))
    hundred, ninety = paper.number(100), paper.number(90)
    for edge in (Circle(paper.mark(0, 0), hundred * hundred), Oval(ninety, hundred), Board(hundred, ninety)):
        plate = on_blank(edge)
        plate.proved(PLATE, plate.mark(0, 0))
        plate.refuted(PLATE, plate.mark(3, 4), exact="5 mm")
        plate.refuted(PLATE, plate.mark(0, TINY))


def test_on_a_line(sheet: Any) -> None:
    """(0, 5) is 4 from 3x + 4y = 0, its foot (-12/5, 9/5) (Euclid I.12, values recomputed)."""
    k = sheet.line(sheet.mark(0, 0), sheet.mark(4, -3))
    sheet.proved(ON, sheet.mark("-12/5", "9/5"), k)
    sheet.refuted(ON, sheet.mark(0, 5), k, exact="4 mm", figures="4.000")
    sheet.refuted(ON, sheet.mark("-12/5", f"1.8{'0' * 30}1"), k)


def test_beyond_the_end_of_a_line_is_not_on_it(sheet: Any) -> None:
    """A line from A to B ends there: both ends are on it, a mark beyond is not, by its distance from the end."""
    k = sheet.stretch(sheet.mark(0, 0), sheet.mark(10, 0))
    sheet.proved(ON, sheet.mark(10, 0), k)
    sheet.proved(ON, sheet.mark(0, 0), k)
    sheet.refuted(ON, sheet.mark(12, 0), k, exact="2 mm")
    sheet.refuted(ON, sheet.mark(-3, 4), k, exact="5 mm")
    sheet.refuted(ON, sheet.mark(f"10.{'0' * 40}1", 0), k)
    sheet.proved(ON, sheet.mark(12, 0), sheet.line(sheet.mark(0, 0), sheet.mark(10, 0)))


def test_on_a_circle_and_an_arc(sheet: Any) -> None:
    """An arc ends: its circle's other marks are not on it, the short way or the long way round."""
    o, east, north = sheet.mark(0, 0), sheet.mark(5, 0), sheet.mark(0, 5)
    sheet.proved(ON, sheet.mark(-3, 4), sheet.circle(o, 5))
    sheet.refuted(ON, sheet.mark(6, 8), sheet.circle(o, 5), exact="5 mm")
    sheet.refuted(ON, o, sheet.circle(o, 5), exact="5 mm")
    short, long = sheet.arc(o, east, north), sheet.arc(o, east, north, -1)
    sheet.proved(ON, sheet.mark(3, 4), short)
    sheet.proved(ON, east, short)
    sheet.refuted(ON, sheet.mark(3, 4), long, exact="√10 mm")  # nearer end (0, 5)
    sheet.proved(ON, sheet.mark(-3, 4), long)
    sheet.refuted(ON, sheet.mark(-3, 4), short, exact="√10 mm")
    sheet.refuted(ON, sheet.mark(6, 8), short, exact="5 mm")
    sheet.refuted(ON, sheet.mark(-6, 8), short, exact="3·√5 mm")  # to (0, 5): 6² + 3²
    sheet.refuted(ON, o, short, exact="5 mm")


def test_an_arc_of_half_a_turn_has_no_short_way(sheet: Any) -> None:
    """Which half is drawn can not be told, so nothing is proved on it."""
    with pytest.raises(Senseless):
        sheet.claim(ON, sheet.mark(0, 5), sheet.arc(sheet.mark(0, 0), sheet.mark(5, 0), sheet.mark(-5, 0)))


def test_on_the_edge(on_blank: Any) -> None:
    """On the edge of a board, of an oval plate; inside it and beside it is not."""
    sheet = on_blank()
    board = Board(sheet.number(30), sheet.number(20))
    sheet.proved(ON, sheet.mark(30, 7), board)
    sheet.proved(ON, sheet.mark(-30, 20), board)
    sheet.refuted(ON, sheet.mark(27, 0), board, exact="3 mm")
    sheet.refuted(ON, sheet.mark(33, 24), board, exact="5 mm")
    sheet.refuted(ON, sheet.mark(30, 24), board, exact="4 mm")  # on a side's line, beyond the corner
    oval = Oval(sheet.number(3), sheet.number(5))
    sheet.proved(ON, sheet.mark("9/5", 4), oval)
    sheet.refuted(ON, sheet.mark(0, 7), oval, exact="2 mm")
    with pytest.raises(Senseless):
        sheet.claim(ON, sheet.mark(0, 0), None)


def test_in_line(sheet: Any) -> None:
    """Marks of one line in any order; one off it by the distance to the line of the outer two."""
    a, b, d, e = sheet.mark(0, 0), sheet.mark(6, 8), sheet.mark(3, 4), sheet.mark("-3/2", -2)
    sheet.proved(IN_LINE, (a, b, d))
    sheet.proved(IN_LINE, (d, a, e, b))
    sheet.refuted(IN_LINE, (a, sheet.mark(5, 1), sheet.mark(10, 0)), exact="1 mm")
    sheet.refuted(IN_LINE, (sheet.mark(5, 1), sheet.mark(10, 0), a), exact="1 mm")
    sheet.refuted(IN_LINE, (a, b, sheet.mark(3, f"4.{'0' * 25}1")))


def test_in_line_with_one_mark_twice(sheet: Any) -> None:
    """Two marks are always in line, and naming one of them twice changes nothing; it hides no third either."""
    a, b = sheet.mark(0, 0), sheet.mark(5, 3)
    sheet.proved(IN_LINE, (a, sheet.mark(0, 0), b))
    sheet.proved(IN_LINE, (a, a, a))
    sheet.refuted(IN_LINE, (a, sheet.mark(0, 0), sheet.mark(10, 0), sheet.mark(5, 2)), exact="2 mm")


def test_on_one_circle(sheet: Any) -> None:
    """Four marks of a circle; one off it by its distance from the circle of the first three."""
    a, b, d = sheet.mark(5, 0), sheet.mark(0, 5), sheet.mark(-3, 4)
    sheet.proved(ON_CIRCLE, (a, b, d, sheet.mark(4, -3)))
    sheet.refuted(ON_CIRCLE, (a, b, d, sheet.mark(0, -8)), exact="3 mm")
    sheet.refuted(ON_CIRCLE, (a, b, d, sheet.mark(0, 0)), exact="5 mm")
    sheet.refuted(ON_CIRCLE, (a, b, d, sheet.mark(4, f"-3.{'0' * 25}1")))
    root = sheet.root(3)
    sheet.proved(ON_CIRCLE, (sheet.mark(2, 0), sheet.mark(1, root), sheet.mark(-1, root), sheet.mark(1, -root)))


def test_marks_in_line_are_on_no_circle(sheet: Any) -> None:
    """The determinant of four marks of one circle is zero for four marks in line too: no false proof comes of it."""
    marks = tuple(sheet.mark(x, 2 * x) for x in (0, 1, 3, 7))
    answer = sheet.refuted(ON_CIRCLE, marks)
    assert answer.finding is None and "in line" in answer.reason
    sheet.refuted(ON_CIRCLE, (*marks[:3], sheet.mark(0, 9)))
    sheet.refuted(ON_CIRCLE, (marks[0], sheet.mark(0, 0), *marks[1:3]))


def test_inside_and_outside_are_strict(sheet: Any) -> None:
    """A mark on the circle is neither; the gap is how far it lies on the wrong side."""
    c = sheet.circle(sheet.mark(1, 1), 5)
    on, within, beyond = sheet.mark(4, 5), sheet.mark(3, 3), sheet.mark(7, 9)
    sheet.proved(INSIDE, within, c)
    sheet.proved(OUTSIDE, beyond, c)
    sheet.refuted(INSIDE, on, c, exact="0 mm", figures="0")
    sheet.refuted(OUTSIDE, on, c, exact="0 mm", figures="0")
    sheet.refuted(INSIDE, beyond, c, exact="5 mm")
    sheet.refuted(OUTSIDE, within, c, exact="5 − 2·√2 mm")
    sheet.proved(INSIDE, sheet.mark(4, f"4.{'9' * 30}"), c)
    assert "within" == sheet.claim(INSIDE, sheet.mark(6, 1 + 0), sheet.circle(sheet.mark(1, 1), 4), within=1).verdict


def test_between_is_on_the_stretch_and_strict(sheet: Any) -> None:
    """Between A and B: on their line, past A, not yet at B."""
    a, b = sheet.mark(0, 0), sheet.mark(8, 6)
    sheet.proved(BETWEEN, sheet.mark(4, 3), a, b)
    sheet.refuted(BETWEEN, sheet.mark(12, 9), a, b, exact="5 mm")
    sheet.refuted(BETWEEN, a, a, b, exact="0 mm")
    sheet.refuted(BETWEEN, sheet.mark(4, f"3.{'0' * 30}1"), a, b)
    sheet.refuted(BETWEEN, sheet.mark(1, 7), a, b, exact="5 mm")  # foot (4, 3): 3² + 4²
    sheet.refuted(BETWEEN, sheet.mark(3, 4), a, a, exact="5 mm")


def test_sides(sheet: Any) -> None:
    """On the same side of a line as a mark, whichever way the line runs; on the line is on neither side."""
    a, b, d = sheet.mark(0, 0), sheet.mark(4, 3), sheet.mark(0, 1)
    for g in (sheet.line(a, b), sheet.line(b, a)):
        sheet.proved(SIDE, sheet.mark(-1, 5), d, g)
        sheet.refuted(SIDE, sheet.mark(5, 0), d, g, exact="3 mm")
        sheet.refuted(SIDE, sheet.mark(8, 6), d, g, exact="0 mm")
        with pytest.raises(Senseless):
            sheet.claim(SIDE, d, sheet.mark(-4, -3), g)
    sheet.proved(SIDE_OF_TWO, sheet.mark(-1, 5), d, a, b)
    with pytest.raises(Senseless):
        sheet.claim(SIDE_OF_TWO, d, b, a, sheet.mark(0, 0))


def test_the_same_mark_line_circle(sheet: Any) -> None:
    """Identity of marks, of lines whichever way they run, of circles; two kinds are never the same."""
    a, b = sheet.mark(0, 0), sheet.mark(4, 3)
    sheet.proved(SAME, b, sheet.mark(4, 3))
    sheet.refuted(SAME, a, b, exact="5 mm")
    k = sheet.line(a, b)
    sheet.proved(SAME, k, sheet.line(sheet.mark(8, 6), sheet.mark(-4, -3)))
    sheet.refuted(SAME, k, sheet.line(sheet.mark(0, 5), sheet.mark(4, 8)), exact="4 mm")
    angle = sheet.refuted(SAME, k, sheet.line(a, sheet.mark(1, 0)), exact="arctan(3/4)", figures="36.87")
    assert angle.finding is not None and "deg" == angle.finding.unit
    c = sheet.circle(a, 5)
    sheet.proved(SAME, c, sheet.circle(sheet.mark(0, 0), 5))
    sheet.refuted(SAME, c, sheet.circle(a, 7), exact="2 mm")
    sheet.refuted(SAME, c, sheet.circle(sheet.mark(0, 3), 7), exact="3 mm")
    with pytest.raises(Senseless):
        sheet.claim(SAME, a, k)


@pytest.mark.parametrize(("within", "verdict"), [("5", "within"), ("4.99999999999999999999999", "refuted"), ("5.1", "within")])
def test_within_counts_equality(sheet: Any, within: str, verdict: str) -> None:
    """A gap of exactly the tolerance is within it, one that is a hair larger is not."""
    assert verdict == sheet.claim(HALFWAY, sheet.mark(3, 4), sheet.mark(-1, 0), sheet.mark(1, 0), within=within).verdict
