"""The pencil: which crossing is meant, and what happens where there is none."""

from __future__ import annotations

from fractions import Fraction

import pytest

PAPER = "recipe Trial\npaper\n"
# two circles of 50 mm about (-30, 0) and (30, 0) meet at (0, ±40)
TWO = PAPER + (
    "given A, B at (-30, 0), (30, 0) mm\n"
    "given U, D at (0, 70), (0, -9) mm\n"
    "step S\n"
    "  a : circle about A, 50 mm by ruler\n"
    "  b : circle about B, 50 mm by ruler\n"
)
LINE = PAPER + "given A, B at (-30, 0), (30, 0) mm\nstep S\n  g : line through {}\n  c : circle about A, 20 mm by ruler\n"


def test_two_circles_left_one_first(lay) -> None:
    """Standing at the first centre, facing the second: the left one first. From the left circle left is up."""
    laid = lay(TWO + "  P, Q : marks where a meets b\n  R, T : marks where b meets a\n")
    laid.at("P", (0, 40))
    laid.at("Q", (0, -40))
    laid.at("R", (0, -40))
    laid.at("T", (0, 40))
    notes = {laid.plan.things[index].name: word for index, word in laid.settled.notes}
    assert {"P": "left", "Q": "right", "R": "left", "T": "right"} == notes


@pytest.mark.parametrize(("line", "first"), [("A and B", -50), ("B and A", -10)])
@pytest.mark.parametrize("pair", ["g meets c", "c meets g"])
def test_circle_with_line_along_the_line(lay, line: str, first: int, pair: str) -> None:
    """Along the line, whichever is named first."""
    laid = lay(LINE.format(line) + f"  P, Q : marks where {pair}\n")
    laid.at("P", (first, 0))
    laid.at("Q", (-60 - first, 0))


@pytest.mark.parametrize(
    ("pick", "y"),
    [
        ("nearest U", 40), ("farthest from U", -40), ("on the U side of g", 40), ("on the D side of A B", -40), ("away from U", -40),
        ("inside far", 40), ("outside far", -40), ("other than P", -40), ("on the U side of g, nearest D", 40),
    ],
)  # fmt: skip
def test_every_way_to_pick(lay, pick: str, y: int) -> None:
    """Each pick alone, and a side before `nearest`, which is asked last."""
    laid = lay(
        TWO + f"  g : line through A and B\n"
        f"  far : circle about U, 60 mm by ruler\n"
        f"  P : mark where a meets b, nearest U\n"
        f"  M : mark where a meets b, {pick}\n"
    )
    laid.at("M", (0, y))


def test_lines_cross_once(lay) -> None:
    """y = x/2 and x = 3 cross at (3, 3/2)."""
    laid = lay(
        PAPER + "given A, B, D, E at (0, 0), (2, 1), (3, 0), (3, 1) mm\n"
        "step S\n"
        "  g : line through A and B\n"
        "  h : line through D and E\n"
        "  M : mark where g meets h\n"
    )
    laid.at("M", (3, Fraction(3, 2)))


def test_arcs_that_do_not_meet_say_how_far_apart(mistakes) -> None:
    """Needles 100 mm apart, openings of 40 and 45 mm: 15 mm short; equal openings over 50 mm would reach."""
    (wrong,) = mistakes(
        PAPER + "given A, B, 100 mm apart\n"
        "step S\n"
        "  a : arc about A, 40 mm by ruler\n"
        "  b : arc about B, 45 mm by ruler\n"
        "  P, Q : marks where a meets b\n"
    )
    assert ("R201", 7, 3) == (wrong.code, wrong.span.line, wrong.span.column)
    for words in ("100 mm apart", "40 and 45 mm", "miss by 15 mm", "over 50 mm would reach"):
        assert words in wrong.hint


def test_one_arc_that_does_not_meet_says_so_too(mistakes) -> None:
    """The same where one crossing is asked for."""
    (wrong,) = mistakes(
        PAPER + "given A, B, 100 mm apart\n"
        "step S\n"
        "  a : arc about A, 40 mm by ruler\n"
        "  b : arc about B, 45 mm by ruler\n"
        "  P : mark where a meets b, nearest A\n"
    )
    assert "R201" == wrong.code
    assert "miss by 15 mm" in wrong.hint


def test_a_circle_inside_another_says_by_how_much(mistakes) -> None:
    """Middles 10 mm apart, 40 and 10 mm: 20 mm from it at the nearest."""
    (wrong,) = mistakes(
        PAPER + "given A, B, 10 mm apart\n"
        "step S\n"
        "  a : arc about A, 40 mm by ruler\n"
        "  b : arc about B, 10 mm by ruler\n"
        "  P : mark where a meets b, nearest A\n"
    )
    assert "R201" == wrong.code
    assert "20 mm" in wrong.hint


def test_a_line_that_passes_a_circle_by(mistakes) -> None:
    """A line 30 mm from a needle set to 20 mm: 10 mm short."""
    (wrong,) = mistakes(
        PAPER + "given A, B, D at (0, 0), (9, 0), (4, 30) mm\n"
        "step S\n"
        "  g : line through A and B\n"
        "  c : circle about D, 20 mm by ruler\n"
        "  P, Q : marks where g meets c\n"
    )
    assert "R201" == wrong.code
    assert "10 mm" in wrong.hint


def test_circles_about_one_mark_never_meet(mistakes) -> None:
    """Euclid III.5: circles that meet are not about the same middle."""
    (wrong,) = mistakes(
        PAPER + "given A, B, 10 mm apart\n"
        "step S\n"
        "  a : arc about A, 40 mm by ruler\n"
        "  b : arc about A, 10 mm by ruler\n"
        "  P : mark where a meets b, nearest B\n"
    )
    assert "R201" == wrong.code
    assert "same mark" in wrong.message


def test_two_answers_equally_near(mistakes) -> None:
    """A lies as far from both crossings."""
    (wrong,) = mistakes(TWO + "  P : mark where a meets b, nearest A\n")
    assert ("R205", 8, 27) == (wrong.code, wrong.span.line, wrong.span.column)
    assert "equally far from A" in wrong.message


def test_away_from_a_mark_that_both_answer_alike(mistakes) -> None:
    """Away from a mark on the line between the needles: both are equally far."""
    (wrong,) = mistakes(TWO + "  P : mark where a meets b, away from A\n")
    assert ("R205", 8) == (wrong.code, wrong.span.line)


def test_which_one_is_not_said(mistakes) -> None:
    """Two crossings and no word which."""
    (wrong,) = mistakes(TWO + "  P : mark where a meets b\n")
    assert ("R206", 8, 3) == (wrong.code, wrong.span.line, wrong.span.column)


def test_no_crossing_fits_the_words(mistakes) -> None:
    """A circle round U of 20 mm holds neither (0, 40) nor (0, -40)."""
    (wrong,) = mistakes(TWO + "  f : circle about U, 20 mm by ruler\n  P : mark where a meets b, inside f\n")
    assert ("R204", 9, 27) == (wrong.code, wrong.span.line, wrong.span.column)


def test_other_than_a_mark_that_is_not_on_both(mistakes) -> None:
    """`other than P` needs P on both."""
    (wrong,) = mistakes(TWO + "  P : mark where a meets b, other than U\n")
    assert ("R207", 8, 27) == (wrong.code, wrong.span.line, wrong.span.column)


def test_two_marks_where_there_is_one(mistakes) -> None:
    """Two circles of 30 mm about marks 60 mm apart touch in one mark."""
    (wrong,) = mistakes(
        PAPER + "given A, B at (-30, 0), (30, 0) mm\n"
        "step S\n"
        "  a : circle about A, 30 mm by ruler\n"
        "  b : circle about B, 30 mm by ruler\n"
        "  P, Q : marks where a meets b\n"
    )
    assert ("R211", 7) == (wrong.code, wrong.span.line)


def test_one_mark_where_they_happen_to_touch(lay) -> None:
    """They happen to touch: one mark, and no word is needed which."""
    laid = lay(
        PAPER + "given A, B at (-30, 0), (30, 0) mm\n"
        "step S\n"
        "  a : circle about A, 30 mm by ruler\n"
        "  b : circle about B, 30 mm by ruler\n"
        "  P : mark where a meets b\n"
    )
    laid.at("P", (0, 0))


def test_touches_needs_what_was_made_to_touch(mistakes) -> None:
    """`touches` is for what was made to touch."""
    (wrong,) = mistakes(TWO + "  P : mark where a touches b\n")
    assert ("P116", 8) == (wrong.code, wrong.span.line)


def test_a_thing_does_not_meet_itself(mistakes) -> None:
    """A line and itself have no crossing."""
    (wrong,) = mistakes(TWO + "  P : mark where a meets a, nearest U\n")
    assert ("P114", 8) == (wrong.code, wrong.span.line)


def test_a_mark_used_before_it_is_made(mistakes) -> None:
    """What has not been made can not be used; the nearest name is offered."""
    (wrong,) = mistakes(TWO + "  P : mark where a meets b, nearest Z\n  Z : mark where a meets b, nearest U\n")
    assert ("P103", 8, 37) == (wrong.code, wrong.span.line, wrong.span.column)


# --- marks set down anywhere --------------------------------------------------------------------


def test_anywhere_on_a_line_a_circle_and_the_edge(lay) -> None:
    """On a line a length from its first mark; round a circle an angle clockwise from the grain or a line; on the edge likewise."""
    laid = lay(
        "recipe Trial\n"
        "plate round, 200 mm across\n"
        "step S\n"
        "  g : line by centre finder, along the grain\n"
        "  h : line by centre finder, across the grain\n"
        "  C : mark where g meets h\n  c : circle about C, 60 mm by ruler\n  P : mark anywhere on c, say 90 deg to the grain\n"
        "  Q : mark anywhere on c, say 90 deg to h\n"
        "  E : mark anywhere on edge, say 30 deg to the grain\n"
        "  k : line from C to P\n"
        "  M : mark anywhere on k, say 15 mm\n"
        "  N : mark anywhere on k, say 1/3 of C P\n"
    )
    laid.at("P", (60, 0))
    laid.at("Q", (0, -60))
    laid.at("E", lambda sqrt: (50, sqrt(3) * 50))
    laid.at("M", (15, 0))
    laid.at("N", (20, 0))


def test_anywhere_and_outside(lay, mistakes) -> None:
    """A place on the blank; outside a circle it must lie outside; off the wood it can not be."""
    plate = (
        "recipe Trial\nplate round, 200 mm across\nstep S\n  A : mark anywhere, say at (10, 20) mm\n  c : circle about A, 15 mm by ruler\n"
    )
    laid = lay(plate + "  P : mark anywhere outside c, say at (10, 36) mm\n")
    laid.at("A", (10, 20))
    laid.at("P", (10, 36))
    (wrong,) = mistakes(plate + "  P : mark anywhere outside c, say at (10, 30) mm\n")
    assert ("R212", 6) == (wrong.code, wrong.span.line)
    (wrong,) = mistakes(plate + "  P : mark anywhere, say at (80, 80) mm\n")
    assert ("R213", 6) == (wrong.code, wrong.span.line)


def test_a_second_name_is_the_same_mark(lay) -> None:
    """`Q : P` gives P a second name; nothing is made."""
    laid = lay(TWO + "  P : mark where a meets b, nearest U\n  Q : P\n  k : line from A to Q\n")
    laid.directed("k", (3, 4))


def test_a_row_of_marks_stands_for_its_marks(lay) -> None:
    """`dial : marks P, Q` names a row; a round goes over it."""
    laid = lay(
        TWO + "  P, Q : marks where a meets b\n  pair : marks P, Q\n  around pair as p\n    c.p : circle about p, 5 mm by ruler\n  end\n"
    )
    laid.swings("c.P", 25, (0, 40))
    laid.swings("c.Q", 25, (0, -40))


def test_lines_meet_the_edges_of_a_board(lay) -> None:
    """A board 300 by 200: a line through its middle along the grain leaves it at the top and the bottom, in the line's order."""
    board = (
        "recipe Trial\n"
        "board 300 mm by 200 mm\n"
        "step S\n"
        "  d : line through SW and NE\n"
        "  e : line through SE and NW\n"
        "  C : mark where d meets e\n"
        "  s : line through SW and NW\n"
        "  u : line parallel to s, through C, by square\n"
    )
    laid = lay(board + "  P, Q : marks where u meets edge\n  T : mark where u meets edge, nearest NE\n")
    laid.at("C", (0, 0))
    laid.at("NE", (150, 100))
    laid.at("P", (0, -100))
    laid.at("Q", (0, 100))
    laid.at("T", (0, 100))


def test_a_board_has_no_edge_to_go_round(mistakes) -> None:
    """On a board, `anywhere on edge` does not say which side, and nothing is equally far inside the edge all round."""
    board = (
        "recipe Trial\n"
        "board 300 mm by 200 mm\n"
        "step S\n"
        "  d : line through SW and NE\n"
        "  e : line through SE and NW\n"
        "  C : mark where d meets e\n"
    )
    for line in ("V : mark anywhere on edge, say 30 deg", "c : circle about C, 12 mm inside the edge"):
        (wrong,) = mistakes(board + f"  {line}\n")
        assert ("R201", 7, 3) == (wrong.code, wrong.span.line, wrong.span.column)


def test_anywhere_on_a_circle_without_a_word_where(lay) -> None:
    """The picture shows it near 40 deg to the grain; it lies on the circle exactly."""
    laid = lay(PAPER + "given A, B, 10 mm apart\nstep S\n  c : circle about A, through B\n  P : mark anywhere on c\n")
    x, y = laid["P"].x + 5, laid["P"].y
    laid.equal(100, x * x + y * y)


def test_paper_has_no_edge(mistakes) -> None:
    """There is nothing to meet round a sheet of paper; the mistake is said in those words, in methods too."""
    for text in (
        PAPER + "given A, B, 10 mm apart\nstep S\n  g : line through A and B\n  P : mark where g meets edge, nearest B\n",
        PAPER + "method m of A and B\n"
        "  g : line through A and B\n"
        "  P : mark where g meets edge, nearest B\n"
        "  gives P\n"
        "end\n"
        "given A, B, 10 mm apart\n"
        "step S\n"
        "  P : m of A and B\n",
        PAPER + "given A, B, 10 mm apart\n"
        "step S\n"
        "  a : arc about A, through B\n"
        "  b : arc about B, through A\n"
        "  P : mark where a meets b, inside edge\n",
    ):
        found = mistakes(text)
        assert ["P102"] == [one.code for one in found]
