"""Attack: widths and openings of nothing or less, circles that would touch themselves, marks that are not where the line says."""

from __future__ import annotations

import pytest

FOUR = "A, B, D, E at (0, 0), (100, 0), (150, 30), (0, 50)"
ROUND = "c : circle about A, 40 mm by ruler\n"
LINE = "g : line through A and B\n"


@pytest.mark.parametrize(
    ("lines", "code"),
    [
        # a width less than nothing came out on the other side than the line says
        (LINE + "w : length from A to E, by ruler\nl : line parallel to g, w less 70 mm away on the E side, by eye", "R212"),
        (LINE + "w : length from A to E, by ruler\nl : line parallel to g, w less 70 mm away, away from E, by eye", "R212"),
        # dividers set to nothing made one mark under several names
        (ROUND + "P, Q : marks where c meets g\nM, N : marks stepped from P round c, 0 mm by ruler", "R216"),
        ("r : opening, from A to A", "R216"),
        # about a circle's own centre "touching" was that circle itself
        ("k : circle about A, through B\nc : circle about A, touching k", "R201"),
        ("k : circle about A, through B\nc : circle about A, touching k, from inside", "R201"),
        # the mark does not lie on what it is set off along: the new mark did not either
        (LINE + "M : mark 10 mm from E along g, away from B, by ruler", "R212"),
        (LINE + "M, N : marks stepped from E along g, toward B, 20 mm by ruler", "R212"),
        (ROUND + "M, N : marks stepped from E round c, 20 mm by ruler", "R212"),
        # 50 mm inward on a circle 40 mm wide came out outside it
        ("c : circle about A, 20 mm by ruler\n" + LINE + "M : mark 50 mm inside c, along g, nearest B, by ruler", "R212"),
    ],
)
def test_what_can_not_be_set_is_a_diagnostic(on_paper, lines: str, code: str) -> None:
    """Each of these was laid out, and lay where no carver would have put it."""
    lines = lines if "meets g" not in lines else LINE + lines
    assert [code] == on_paper(FOUR, lines).codes


def test_a_margin_less_than_nothing(on_plate) -> None:
    """A circle `12 mm inside the edge` never lies outside the edge."""
    assert ["R212"] == on_plate("w : length from C to C, by ruler\nrim : circle about C, w less 8 mm inside the edge").codes


@pytest.mark.parametrize("angle", ["91 deg", "100 deg"])
def test_a_finder_whose_half_angle_can_not_be_constructed(outcome, angle: str) -> None:
    """The blade halves the V: half of 100 deg is no constructible angle (Gauss, Wantzel), and that was a crash."""
    assert ["P140"] == outcome(f"plate round, 200 mm across\nbench finder V {angle}\ng : line by centre finder, along the grain").codes


def test_a_finder_of_a_constructible_half_angle_still_finds_the_centre(outcome) -> None:
    """Half of 120 deg is 60 deg."""
    text = "plate round, 200 mm across\nbench finder V 120 deg\ng : line by centre finder, along the grain\nh : line by centre finder, across the grain\n"
    assert ["proved"] == outcome(text + "C : mark where g meets h\nclaim C is the centre of the plate").verdicts
