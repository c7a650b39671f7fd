"""The compass: what it swings at which setting, what it can not reach, and the openings it is left at."""

from __future__ import annotations

from fractions import Fraction

import pytest

PAPER = "recipe Trial\npaper\n"
TWO = PAPER + "given A, B, 100 mm apart\nstep S\n"
PLATE = (
    "recipe Trial\nplate round, 200 mm across\nstep S\n  g : line by centre finder, along the grain\n"
    "  h : line by centre finder, across the grain\n  C : mark where g meets h\n"
)


@pytest.mark.parametrize("word", ["circle", "arc"])
def test_through_a_mark(lay, word: str) -> None:
    """Needle in A, opened to B: 100 mm."""
    lay(TWO + f"  a : {word} about A, through B\n").swings("a", 100 * 100, (-50, 0))


@pytest.mark.parametrize("word", ["circle", "arc"])
@pytest.mark.parametrize(
    ("setting", "reach"),
    [
        ("opening r", 70),
        ("40 mm by ruler", 40),
        ("1 1/2 in by ruler", Fraction("38.1")),
        ("opening from A to B", 100),
        ("same opening", 70),
    ],
)
def test_every_setting(lay, word: str, setting: str, reach: Fraction) -> None:
    """A named opening, a ruled one (an inch is 25.4 mm, international yard and pound agreement 1959), two marks, and the last one."""
    lay(TWO + f"  r : opening, 70 mm by ruler\n  a : {word} about B, {setting}\n").swings("a", reach * reach, (50, 0))


def test_same_opening_is_the_last_one_whatever_set_it(lay) -> None:
    """An opening named, then a circle through a mark: `same opening` is the circle's."""
    laid = lay(
        TWO + "  r : opening, 70 mm by ruler\n"
        "  a : circle about A, through B\n"
        "  b : circle about B, same opening\n"
        "  c : arc about B, 30 mm by ruler\n"
        "  d : arc about A, same opening\n"
    )
    laid.swings("b", 10000)
    laid.swings("d", 900)


def test_same_opening_in_a_way_looks_back_to_before_the_group(lay) -> None:
    """Each way finds the compass as the group found it."""
    text = TWO + (
        "  r : opening, 70 mm by ruler\n  way one\n    a : circle about A, through B\n    c : arc about B, 20 mm by ruler\n"
        "  way two\n    a : circle about A, same opening\n  end\n"
    )
    lay(text, way="two").swings("a", 4900)


def test_same_opening_after_ways_could_mean_either(mistakes) -> None:
    """After a group of ways that set the compass, `same opening` is not said well enough."""
    (wrong,) = mistakes(
        TWO + "  way one\n"
        "    a : circle about A, through B\n"
        "  way two\n"
        "    a : circle about A, 20 mm by ruler\n"
        "  end\n"
        "  b : arc about B, same opening\n"
    )
    assert ("P110", 10, 20) == (wrong.code, wrong.span.line, wrong.span.column)


def test_same_opening_before_any_is_nothing(mistakes) -> None:
    """A compass that was never set has no setting."""
    (wrong,) = mistakes(TWO + "  b : arc about B, same opening\n")
    assert ("P111", 5, 20) == (wrong.code, wrong.span.line, wrong.span.column)


def test_inside_the_edge(lay) -> None:
    """12 mm inside the edge of a 200 mm plate, about its middle: 88 mm."""
    lay(PLATE + "  rim : circle about C, 12 mm inside the edge\n").swings("rim", 88 * 88, (0, 0))


def test_inside_the_edge_is_set_along_the_first_line_through_the_centre(lay) -> None:
    """On an oval plate (201 across, 199 along) the first line, along the grain, has its end at 99.5: 87.5 mm."""
    text = PLATE.replace("200 mm across\n", "199 mm across\nbench oval 2 mm across the grain\n")
    lay(text + "  rim : circle about C, 12 mm inside the edge\n").swings("rim", Fraction("87.5") * Fraction("87.5"))


def test_inside_the_edge_needs_a_line_through_its_centre(mistakes) -> None:
    """Without a line there is nothing to measure in along."""
    (wrong,) = mistakes(
        "recipe Trial\n"
        "plate round, 200 mm across\n"
        "step S\n"
        "  C : mark anywhere, say at (1, 1) mm\n"
        "  rim : circle about C, 12 mm inside the edge\n"
    )
    assert ("P113", 5) == (wrong.code, wrong.span.line)


def test_a_margin_wider_than_the_plate_leaves_nothing(mistakes) -> None:
    """A margin of 120 mm on a radius of 100 mm."""
    (wrong,) = mistakes(PLATE + "  rim : circle about C, 120 mm inside the edge\n")
    assert ("R212", 7) == (wrong.code, wrong.span.line)


def test_touching_a_line_and_a_circle(lay) -> None:
    """About D, 12 mm from g: 12. About D, 13 mm from the middle of a circle of 5: 8 from outside, 18 from inside."""
    laid = lay(
        PAPER + "given O, A, D at (0, 0), (10, 0), (5, 12) mm\nstep S\n  g : line through O and A\n  c : circle about O, 5 mm by ruler\n"
        "  t : circle about D, touching g\n"
        "  n : circle about D, touching c\n"
        "  o : circle about D, touching c, from outside\n"
        "  i : circle about D, touching c, from inside\n"
        "  F : mark where t touches g\n  N : mark where n touches c\n  I : mark where c touches i\n"
    )
    laid.swings("t", 144, (5, 12))
    laid.swings("n", 64)
    laid.swings("o", 64)
    laid.swings("i", 324)
    laid.at("F", (5, 0))
    laid.at("N", (Fraction(25, 13), Fraction(60, 13)))
    laid.at("I", (Fraction(-25, 13), Fraction(-60, 13)))


def test_touching_from_within_a_circle(lay) -> None:
    """A mark 2 mm from the middle of a circle of 5 mm: the near touch is at 3 mm, and it lies beyond the mark."""
    laid = lay(
        PAPER + "given O, D at (0, 0), (2, 0) mm\n"
        "step S\n"
        "  c : circle about O, 5 mm by ruler\n"
        "  n : circle about D, touching c\n"
        "  N : mark where n touches c\n"
    )
    laid.swings("n", 9, (2, 0))
    laid.at("N", (5, 0))


def test_from_within_a_circle_touches_from_inside_alone(lay, mistakes) -> None:
    """About a mark inside a circle: from inside it touches at 3 mm, and nothing about it touches from outside."""
    text = PAPER + "given O, D at (0, 0), (2, 0) mm\nstep S\n  c : circle about O, 5 mm by ruler\n  n : circle about D, touching c, {}\n"
    lay(text.format("from inside")).swings("n", 9, (2, 0))
    (wrong,) = mistakes(text.format("from outside"))
    assert ("R212", 6) == (wrong.code, wrong.span.line)
    assert "inside that circle" in wrong.message


def test_touching_what_passes_the_needle_leaves_nothing(mistakes) -> None:
    """A mark on the line can not have a circle that touches the line."""
    (wrong,) = mistakes(TWO + "  g : line through A and B\n  c : circle about A, touching g\n")
    assert ("R215", 6) == (wrong.code, wrong.span.line)


def test_an_arc_between_two_marks_ends_there(lay, mistakes) -> None:
    """The short quarter from (5, 0) to (0, 5) meets the bisector at (5, 5)/√2 alone; the long one at the other end."""
    text = PAPER + (
        "given O, A, B, D at (0, 0), (5, 0), (0, 5), (1, 1) mm\n"
        "step S\n"
        "  z : arc about O, from A to B{}\n"
        "  g : line through O and D\n"
        "  M : mark where g meets z\n"
    )
    lay(text.format("")).at("M", lambda sqrt: (sqrt(Fraction(25, 2)), sqrt(Fraction(25, 2))))
    lay(text.format(", the long way")).at("M", lambda sqrt: (-sqrt(Fraction(25, 2)), -sqrt(Fraction(25, 2))))
    (wrong,) = mistakes(text.format("").replace("M : mark", "M, N : marks"))
    assert ("R202", 7) == (wrong.code, wrong.span.line)


def test_an_arc_needs_both_ends_at_one_opening(mistakes) -> None:
    """3 mm and 4 mm from the needle: one setting can not reach both."""
    (wrong,) = mistakes(PAPER + "given O, A, B at (0, 0), (3, 0), (0, 4) mm\nstep S\n  z : arc about O, from A to B\n")
    assert ("R212", 5, 3) == (wrong.code, wrong.span.line, wrong.span.column)
    assert "one setting can not reach both" in wrong.message


def test_the_compass_opens_so_far(lay, mistakes) -> None:
    """A compass to 180 mm: 180 mm it can, 181 mm it can not, nor two marks 200 mm apart."""
    bench = PAPER + "bench compass to 180 mm\ngiven A, B, 200 mm apart\nstep S\n"
    lay(bench + "  a : arc about A, 180 mm by ruler\n").swings("a", 180 * 180)
    for line in (
        "a : arc about A, 181 mm by ruler",
        "a : circle about A, through B",
        "r : opening, from A to B",
        "r : opening, anything, say 181 mm",
    ):
        (wrong,) = mistakes(bench + f"  {line}\n")
        assert ("R212", 6) == (wrong.code, wrong.span.line)
        assert "180 mm" in wrong.message


# --- openings -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("from A to B", 100),
        ("70 mm by ruler", 70),
        ("anything over half of A B, say 60 mm", 60),
        ("anything over half of A B, say 2/3 of A B", Fraction(200, 3)),
        ("anything over half of A B", 70),  # the picture's 7/5 of the bound: two such arcs cross all but square
        ("anything over D to g, say 31 mm", 31),
        ("anything under A B, say 99.5 mm", Fraction("99.5")),
        ("anything, say 33 mm", 33),
        ("anything over half of A B less 10 mm, say 41 mm", 41),
    ],
)
def test_openings(lay, words: str, expected: Fraction) -> None:
    """Every way to set a compass and keep it; D lies 30 mm from g."""
    laid = lay(
        PAPER + f"given A, B at (-50, 0), (50, 0) mm\ngiven D at (7, 30) mm\nstep S\n  g : line through A and B\n  r : opening, {words}\n"
    )
    laid.swings("r", expected * expected)


@pytest.mark.parametrize(
    ("words", "column"),
    [
        ("anything over half of A B, say 50 mm", 41),  # the bound itself is not over it
        ("anything under A B, say 100 mm", 34),
        ("anything over D to g, say 29.9 mm", 36),
    ],
)
def test_what_is_said_obeys_its_own_bound(mistakes, words: str, column: int) -> None:
    """`say` must obey its own bound; equal is not over."""
    (wrong,) = mistakes(
        PAPER + f"given A, B at (-50, 0), (50, 0) mm\ngiven D at (7, 30) mm\nstep S\n  g : line through A and B\n  r : opening, {words}\n"
    )
    assert ("R224", 7, column) == (wrong.code, wrong.span.line, wrong.span.column)


def test_an_opening_of_nothing(mistakes) -> None:
    """An opening is more than nothing."""
    (wrong,) = mistakes(TWO + "  r : opening, anything, say 0 mm\n")
    assert ("R225", 5) == (wrong.code, wrong.span.line)


def test_an_opening_less_than_nothing(mistakes) -> None:
    """100 mm less 101 mm can not be set on a ruler, named or not."""
    for line in ("r : opening, w less 101 mm by ruler", "a : arc about A, w less 101 mm by ruler"):
        (wrong,) = mistakes(TWO + f"  w : length from A to B, by ruler\n  {line}\n")
        assert ("R212", 6) == (wrong.code, wrong.span.line)
        assert "less than nothing" in wrong.message
