"""The ruler: it rounds, and says so when it can not."""

from __future__ import annotations

from fractions import Fraction

import pytest

PAPER = "recipe Trial\npaper\n"
# D lies 10√2 = 14.142… mm from A
MARKS = PAPER + "given A, B, D at (0, 0), (100, 0), (10, 10) mm\nstep S\n"


@pytest.mark.parametrize(
    ("graduated", "expected"),
    [("1 mm", 14), ("0.5 mm", 14), ("0.1 mm", Fraction("14.1")), ("1/16 in", Fraction(9) * Fraction("25.4") / 16)],
)
def test_a_reading_is_the_nearest_graduation(lay, graduated: str, expected: Fraction) -> None:
    """10√2 = 14.142… mm; in sixteenths of an inch it is 8.908 of them, so 9."""
    laid = lay(MARKS.replace("paper\n", f"paper\nbench ruler graduated {graduated}\n") + "  w : length from A to D, by ruler\n")
    laid.equal(expected, laid["w"])


def test_half_a_reading_is_set_off_between_graduations(lay) -> None:
    """√2·90.6 mm reads 128; 64 mm are set off: the 8 in plate (common practice, no source)."""
    # L and T stand 90.6 mm from the middle, square to each other
    laid = lay(
        PAPER + "given L, T at (-90.6, 0), (0, 90.6) mm\n"
        "step S\n"
        "  w : length from L to T, by ruler\n"
        "  M : mark halfway from L to T, by ruler\n"
    )
    laid.equal(128, laid["w"])
    laid.at("M", lambda sqrt: (sqrt(2) * 32 - Fraction("90.6"), sqrt(2) * 32))


def test_half_a_millimetre_ruler_on_the_clock_dial(lay) -> None:
    """108.65 mm on half millimetres reads 108.5 and marks 54.25: short of the middle by 3/40 mm (a carver's own sum)."""
    laid = lay(
        PAPER + "bench ruler graduated 0.5 mm\ngiven C, T at (0, 0), (0, 108.65) mm\nstep S\n  M : mark halfway from C to T, by ruler\n"
    )
    laid.at("M", (0, Fraction("54.25")))
    laid.equal(Fraction(3, 40), Fraction("108.65") / 2 - laid["M"].y)


def test_a_tie_is_said(mistakes) -> None:
    """2.5 mm on whole millimetres: the hand could read 2 or 3."""
    for line in ("w : length from A to B, by ruler", "w : mark halfway from A to B, by ruler"):
        (wrong,) = mistakes(PAPER + f"given A, B at (0, 0), (2.5, 0) mm\nstep S\n  {line}\n")
        assert ("R208", 5) == (wrong.code, wrong.span.line)
        assert "between 2 mm and 3 mm" in wrong.message


def test_a_tie_is_seen_through_a_root(mistakes) -> None:
    """(3/2, 2) mm is 5/2 mm long: a tie that stands in no coordinate."""
    (wrong,) = mistakes(PAPER + "given A, B at (0, 0), (1.5, 2) mm\nstep S\n  w : length from A to B, by ruler\n")
    assert "R208" == wrong.code


@pytest.mark.parametrize(
    ("length", "expected"),
    [
        ("15 mm", 15),
        ("w", 14),
        ("half of w", 7),
        ("1/3 of w", Fraction(14, 3)),
        ("w less 5 mm", 9),
        ("w and 5 mm", 19),
        ("half of w and 2 mm", 9),
    ],
)
def test_lengths(lay, length: str, expected: Fraction) -> None:
    """Wherever a length stands so may a reading (14 mm here), a part of it, and more or less of it."""
    laid = lay(MARKS + f"  w : length from A to D, by ruler\n  M : mark {length} from A toward B, by ruler\n")
    laid.at("M", (expected, 0))


def test_along_a_line_on_the_side_that_is_said(lay) -> None:
    """15 mm from A along k, on either side of it."""
    laid = lay(
        MARKS + "  k : line through A and D\n"
        "  M : mark 15 mm from A along k, away from D, by ruler\n"
        "  N : mark 15 mm from A along k, nearest D, by ruler\n"
    )
    laid.at("M", lambda sqrt: (-sqrt(2) * 15 / 2, -sqrt(2) * 15 / 2))
    laid.at("N", lambda sqrt: (sqrt(2) * 15 / 2, sqrt(2) * 15 / 2))


def test_outside_and_inside_a_circle(lay) -> None:
    """7 mm outside a circle of 40 mm: 47 mm out; inside: 33 mm."""
    laid = lay(
        MARKS + "  k : line through A and B\n"
        "  c : circle about A, 40 mm by ruler\n"
        "  M : mark 7 mm outside c, along k, nearest B, by ruler\n"
        "  N : mark 7 mm outside c, along k, away from B, by ruler\n  P : mark 7 mm inside c, along k, nearest B, by ruler\n"
    )
    laid.at("M", (47, 0))
    laid.at("N", (-47, 0))
    laid.at("P", (33, 0))


def test_running_marks(lay) -> None:
    """Every 8 mm from A: 8, 16, 24; as many as names."""
    laid = lay(MARKS + "  p1 to p3 : marks every 8 mm from A toward B, by ruler\n")
    for n in (1, 2, 3):
        laid.at(f"p{n}", (8 * n, 0))


def test_parallels(lay) -> None:
    """4 mm from A B (drawn to the right) on D's side is 4 mm above; away from D is 4 mm below."""
    laid = lay(
        MARKS + "  s : line through A and B\n"
        "  u : line parallel to s, 4 mm away on the D side, by ruler\n"
        "  v : line parallel to s, 4 mm away, away from D, by ruler\n"
    )
    for name, y in (("u", 4), ("v", -4)):
        laid.passes(name, (0, y))
        laid.directed(name, (1, 0))


def test_a_parallel_on_the_side_of_a_mark_on_the_line(mistakes) -> None:
    """A mark on the line shows no side."""
    (wrong,) = mistakes(MARKS + "  s : line through A and B\n  u : line parallel to s, 4 mm away on the B side, by ruler\n")
    assert ("R203", 6) == (wrong.code, wrong.span.line)


def test_a_ruler_is_so_long(lay, mistakes) -> None:
    """A ruler to 150 mm spans 150 mm and no more."""
    bench = PAPER + "bench ruler to 150 mm\ngiven A, B, 150 mm apart\ngiven D, E at (-76, 9), (75, 9) mm\nstep S\n"
    laid = lay(bench + "  w : length from A to B, by ruler\n")
    laid.equal(150, laid["w"])
    for line in ("w : length from D to E, by ruler", "M : mark halfway from D to E, by ruler", "M : mark 151 mm from A toward B, by ruler"):
        (wrong,) = mistakes(bench + f"  {line}\n")
        assert ("R212", 7) == (wrong.code, wrong.span.line)
        assert "150 mm" in wrong.message


def test_less_than_nothing_can_not_be_set_off(mistakes) -> None:
    """14 mm less 20 mm."""
    (wrong,) = mistakes(MARKS + "  w : length from A to D, by ruler\n  M : mark w less 20 mm from A toward B, by ruler\n")
    assert ("R212", 6) == (wrong.code, wrong.span.line)
    assert "less than nothing" in wrong.message


def test_a_length_between_two_marks_must_be_read_first(mistakes) -> None:
    """`opening, half of A B by ruler` hides a reading: it has to be said."""
    found = mistakes(MARKS + "  M : mark half of A from A toward B, by ruler\n")
    assert found
    assert ("P104", 5, 20) == (found[0].code, found[0].span.line, found[0].span.column)


def test_a_mark_off_the_wood(mistakes) -> None:
    """60 mm from the middle on a plate of 100 mm."""
    (wrong,) = mistakes(
        "recipe Trial\n"
        "plate round, 100 mm across\n"
        "step S\n"
        "  g : line by centre finder, along the grain\n"
        "  h : line by centre finder, across the grain\n"
        "  C : mark where g meets h\n  B, T : marks where g meets edge\n  M : mark 60 mm from C toward T, by ruler\n"
    )
    assert ("R213", 8, 3) == (wrong.code, wrong.span.line, wrong.span.column)
    assert "`M` would fall off the wood" in wrong.message


def test_the_edge_itself_is_wood(lay) -> None:
    """50 mm from the middle on a plate of 100 mm: on the edge, and allowed."""
    laid = lay(
        "recipe Trial\n"
        "plate round, 100 mm across\n"
        "step S\n"
        "  g : line by centre finder, along the grain\n"
        "  h : line by centre finder, across the grain\n"
        "  C : mark where g meets h\n  B, T : marks where g meets edge\n  M : mark 50 mm from C toward T, by ruler\n"
    )
    laid.at("M", (0, 50))
    laid.at("B", (0, -50))
