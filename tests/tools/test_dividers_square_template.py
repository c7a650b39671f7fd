"""Dividers, square and circle template."""

from __future__ import annotations

from fractions import Fraction

PAPER = "recipe Trial\npaper\n"


# --- dividers -----------------------------------------------------------------------------------


def test_six_radii_round_a_circle(lay) -> None:
    """Euclid IV.15: the radius steps six times round. From (5, 0), facing the middle, left is down."""
    laid = lay(
        PAPER + "given O, A at (0, 0), (5, 0) mm\n"
        "step S\n"
        "  c : circle about O, through A\n"
        "  p1 to p6 : marks stepped from A round c, same opening\n"
    )
    laid.at("p1", lambda sqrt: (Fraction(5, 2), -sqrt(3) * 5 / 2))
    laid.at("p3", (-5, 0))
    laid.at("p4", lambda sqrt: (-Fraction(5, 2), sqrt(3) * 5 / 2))
    laid.at("p6", (5, 0))


def test_stepping_to_the_right(lay) -> None:
    """The other way round: up from (5, 0)."""
    laid = lay(
        PAPER + "given O, A at (0, 0), (5, 0) mm\n"
        "step S\n"
        "  c : circle about O, through A\n"
        "  p, q : marks stepped from A round c, opening from O to A, to the right\n"
    )
    laid.at("p", lambda sqrt: (Fraction(5, 2), sqrt(3) * 5 / 2))
    laid.at("q", lambda sqrt: (-Fraction(5, 2), sqrt(3) * 5 / 2))


def test_stepping_along_a_line(lay) -> None:
    """Three steps of 7 mm toward H, whichever way the line was drawn."""
    laid = lay(
        PAPER + "given A, H at (0, 0), (-30, 0) mm\n"
        "step S\n"
        "  t : line through H and A\n"
        "  p1 to p3 : marks stepped from A along t, toward H, 7 mm by ruler\n"
    )
    for n in (1, 2, 3):
        laid.at(f"p{n}", (-7 * n, 0))


def test_dividing_by_trial(lay) -> None:
    """Three names divide a length into four."""
    laid = lay(PAPER + "given A, B at (0, 0), (8, 4) mm\nstep S\n  p, q, r : marks dividing A B, by dividers\n")
    laid.at("p", (2, 1))
    laid.at("q", (4, 2))
    laid.at("r", (6, 3))


def test_a_step_longer_than_the_circle_is_across(mistakes) -> None:
    """Steps of 11 mm do not fit into a circle 10 mm across."""
    (wrong,) = mistakes(
        PAPER + "given O, A at (0, 0), (5, 0) mm\n"
        "step S\n"
        "  c : circle about O, through A\n"
        "  p, q : marks stepped from A round c, 11 mm by ruler\n"
    )
    assert ("R201", 6) == (wrong.code, wrong.span.line)


# --- square -------------------------------------------------------------------------------------

SQUARE = PAPER + "given A, B, P at (0, 0), (4, 3), (1, 7) mm\nstep S\n  g : line through A and B\n"


def test_square_to_a_line_turns_it_a_quarter_to_the_left(lay) -> None:
    """(4, 3) turned a quarter to the left is (-3, 4); at B it passes B, through P it passes P."""
    laid = lay(
        SQUARE + "  s : line square to g at B, by square\n"
        "  t : line square to g, through P, by square\n"
        "  u : line parallel to g, through P, by square\n"
    )
    laid.directed("s", (-3, 4))
    laid.passes("s", (4, 3))
    laid.directed("t", (-3, 4))
    laid.passes("t", (1, 7))
    laid.directed("u", (4, 3))
    laid.passes("u", (1, 7))


def test_square_at_a_mark_beside_the_line(mistakes) -> None:
    """`at` needs a mark on the line."""
    (wrong,) = mistakes(SQUARE + "  s : line square to g at P, by square\n")
    assert ("R210", 6, 3) == (wrong.code, wrong.span.line, wrong.span.column)
    assert "through" in wrong.hint


def test_the_legs_of_a_square_meet_the_edge_across_the_middle(lay) -> None:
    """Euclid III.31: an angle in a half circle is right, so the legs of a square cornered on the rim span a diameter."""
    laid = lay(
        "recipe Trial\nplate round, 200 mm across\nstep S\n  V : mark anywhere on edge, say 30 deg to the grain\n"
        "  s, t : legs of a square cornered at V, anyhow, say 60 deg to the grain\n"
        "  P : mark where s meets edge, other than V\n  Q : mark where t meets edge, other than V\n"
    )
    laid.at("V", lambda sqrt: (50, sqrt(3) * 50))
    laid.directed("s", lambda sqrt: (sqrt(3), 1))
    laid.directed("t", lambda sqrt: (-1, sqrt(3)))
    p, q = laid["P"], laid["Q"]
    laid.equal(0, p.x + q.x)
    laid.equal(0, p.y + q.y)


# --- circle template ----------------------------------------------------------------------------


def test_the_nearest_hole(lay) -> None:
    """16.4 mm wanted, holes in whole millimetres: 16 mm."""
    laid = lay(PAPER + "given D at (3, 4) mm\nstep S\n  z : circle by template about D, 16.4 mm across\n")
    laid.swings("z", 64, (3, 4))


def test_a_hole_across_two_marks_misses_each_by_half_the_difference(lay) -> None:
    """10√2 = 14.14 mm: the 14 mm hole, set midway."""
    laid = lay(PAPER + "given A, B at (0, 0), (10, 10) mm\nstep S\n  z : circle by template across A B\n")
    laid.swings("z", 49, (5, 5))


def test_the_ticks_run_forward_left_back_right(lay) -> None:
    """Along a line that runs up: up, left, down, right."""
    laid = lay(
        PAPER + "given D, E at (3, 4), (3, 9) mm\n"
        "step S\n"
        "  k : line through D and E\n"
        "  z : circle by template about D, 16 mm across\n"
        "  q1 to q4 : marks at the ticks of z, along k\n"
    )
    for name, place in zip(("q1", "q2", "q3", "q4"), ((3, 12), (-5, 4), (3, -4), (11, 4)), strict=True):
        laid.at(name, place)


def test_a_size_half_way_between_two_holes(mistakes) -> None:
    """16.5 mm: 16 or 17?"""
    (wrong,) = mistakes(PAPER + "given D at (3, 4) mm\nstep S\n  z : circle by template about D, 16.5 mm across\n")
    assert ("R208", 5) == (wrong.code, wrong.span.line)


def test_a_hole_beyond_the_template(lay, mistakes) -> None:
    """Holes from 2 to 30 mm by 2: 31 mm is not there, 30 mm is; nor is 1/2 mm."""
    bench = PAPER + "bench template from 2 mm to 30 mm by 2 mm\ngiven D at (3, 4) mm\nstep S\n"
    lay(bench + "  z : circle by template about D, 30 mm across\n").swings("z", 225)
    for size in ("32 mm", "0.5 mm"):
        (wrong,) = mistakes(bench + f"  z : circle by template about D, {size} across\n")
        assert ("R212", 6) == (wrong.code, wrong.span.line)
        assert "2 mm to 30 mm" in wrong.message


def test_four_ticks_need_four_names(mistakes) -> None:
    """A template has four ticks."""
    (wrong,) = mistakes(
        PAPER + "given D, E at (3, 4), (3, 9) mm\n"
        "step S\n"
        "  k : line through D and E\n"
        "  z : circle by template about D, 16 mm across\n"
        "  q1 to q3 : marks at the ticks of z, along k\n"
    )
    assert ("P107", 7, 3) == (wrong.code, wrong.span.line, wrong.span.column)
