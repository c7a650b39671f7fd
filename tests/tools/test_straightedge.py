"""The straightedge: lines through marks, between marks, against circles."""

from __future__ import annotations

from fractions import Fraction

PAPER = "recipe Trial\npaper\n"


def test_through_two_marks_runs_from_the_first_to_the_second(lay) -> None:
    """A line's direction is from its first-named mark to its second, and it has no ends."""
    laid = lay(PAPER + "given A, B at (1, 2), (4, 6) mm\nstep S\n  g : line through A and B\n")
    laid.directed("g", (3, 4))
    laid.passes("g", (1, 2))
    assert (None, None) == (laid["g"].start, laid["g"].finish)


def test_from_one_mark_to_another_has_ends(lay, mistakes) -> None:
    """A line that ends at its marks meets nothing beyond them."""
    text = PAPER + (
        "given A, B, D, E at (0, 0), (4, 0), (6, -1), (6, 1) mm\n"
        "step S\n"
        "  g : line {} A {} B\n"
        "  h : line through D and E\n"
        "  M : mark where g meets h\n"
    )
    laid = lay(text.format("through", "and"))
    laid.at("M", (6, 0))
    (wrong,) = mistakes(text.format("from", "to"))
    assert ("R202", 7, 3) == (wrong.code, wrong.span.line, wrong.span.column)


def test_an_end_itself_is_still_on_the_line(lay) -> None:
    """A line from A to B meets what passes B."""
    laid = lay(
        PAPER + "given A, B, D at (0, 0), (4, 0), (4, 3) mm\n"
        "step S\n"
        "  g : line from A to B\n"
        "  h : line through D and B\n"
        "  M : mark where g meets h\n"
    )
    laid.at("M", (4, 0))


def test_touching_lines_touch_where_euclid_has_them(lay) -> None:
    """Euclid III.17: from (13, 0) to the circle of radius 5 about (0, 0) the tangents touch at (25/13, ±60/13)."""
    laid = lay(
        PAPER + "given O, A, U at (0, 0), (13, 0), (0, 9) mm\nstep S\n  c : circle about O, 5 mm by ruler\n  g : line through O and A\n"
        "  u : line through A, touching c, on the U side of g\n  d : line through A, touching c, away from U\n"
        "  P : mark where u touches c\n  Q : mark where c touches d\n"
    )
    laid.at("P", (Fraction(25, 13), Fraction(60, 13)))
    laid.at("Q", (Fraction(25, 13), Fraction(-60, 13)))
    # the length of each tangent is 12
    laid.equal(144, (laid["P"].x - 13) * (laid["P"].x - 13) + laid["P"].y * laid["P"].y)
    laid.directed("u", (Fraction(25, 13) - 13, Fraction(60, 13)))


def test_no_line_through_a_mark_inside_touches(mistakes) -> None:
    """A mark inside a circle has no tangent."""
    (wrong,) = mistakes(
        PAPER + "given O, A, U at (0, 0), (3, 0), (0, 9) mm\n"
        "step S\n"
        "  c : circle about O, 5 mm by ruler\n"
        "  u : line through A, touching c, nearest U\n"
    )
    assert ("R201", 6) == (wrong.code, wrong.span.line)
    assert "inside the circle" in wrong.message


def test_meets_on_a_touching_pair_offers_touches(mistakes) -> None:
    """What was made to touch is marked by `touches`: a hand can not see where it meets."""
    (wrong,) = mistakes(
        PAPER + "given O, A, U at (0, 0), (13, 0), (0, 9) mm\nstep S\n  c : circle about O, 5 mm by ruler\n"
        "  u : line through A, touching c, nearest U\n  P : mark where u meets c\n"
    )
    assert ("P115", 7) == (wrong.code, wrong.span.line)
    assert "mark where u touches c" in wrong.hint


def test_anyhow_through_a_mark(lay) -> None:
    """`say 90 deg to g` with g to the right: a quarter clockwise is downward; the line passes its mark."""
    laid = lay(
        PAPER + "given A, B at (3, 1), (5, 1) mm\n"
        "step S\n"
        "  g : line through A and B\n"
        "  s : line anyhow through B, say 90 deg to g\n"
        "  z : line anyhow through A\n"
    )
    laid.directed("s", (0, -1))
    laid.passes("s", (5, 1))
    laid.passes("z", (3, 1))
    laid.directed("z", lambda sqrt: (1, sqrt(3)))  # the picture's 30 deg to the grain


def test_one_mark_gives_no_line(mistakes) -> None:
    """Two marks that fall together guide no straightedge."""
    (wrong,) = mistakes(PAPER + "given A, B at (1, 1), (1, 1) mm\nstep S\n  g : line through A and B\n")
    assert ("R214", 5, 3) == (wrong.code, wrong.span.line, wrong.span.column)


def test_parallel_lines_never_meet(mistakes) -> None:
    """Euclid, definition 23: parallels meet nowhere."""
    (wrong,) = mistakes(
        PAPER + "given A, B, D, E at (0, 0), (4, 0), (0, 1), (4, 1) mm\n"
        "step S\n"
        "  g : line through A and B\n"
        "  h : line through D and E\n"
        "  M : mark where g meets h\n"
    )
    assert "R201" == wrong.code
    assert "never meet" in wrong.message
