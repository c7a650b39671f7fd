"""French curve and eye: what they aim at."""

from __future__ import annotations

from fractions import Fraction

import pytest

PAPER = "recipe Trial\npaper\n"
# X Y is 50 mm; g runs to the right through X; O lies straight above Y, P straight above X
CURVE = PAPER + (
    "given X, Y, O, P, G at (0, 0), (30, 40), (30, 90), (0, 20), (7, 0) mm\n"
    "step S\n"
    "  g : line through X and G\n"
    "  z : line through O and Y\n"
)
THIRD = Fraction(50, 3)


@pytest.mark.parametrize(
    ("words", "second", "third"),
    [
        ("leaving along g, arriving toward O", (THIRD, 0), (30, 40 - THIRD)),
        # z runs downward, and that is how the curve arrives
        ("leaving along g, arriving along z", (THIRD, 0), (30, 40 + THIRD)),
        ("leaving toward P, arriving toward O", (0, THIRD), (30, 40 - THIRD)),
        ("leaving toward P, arriving along z", (0, THIRD), (30, 40 + THIRD)),
    ],
)
def test_a_french_curve_is_hermite_interpolation(lay, words: str, second: tuple, third: tuple) -> None:
    """Cubic Hermite interpolation with tangents as long as the chord: Bernstein controls a third of it along (any textbook of curves)."""
    laid = lay(CURVE + f"  e : curve by french curve from X to Y, {words}\n")
    for expected, actual in zip(((0, 0), second, third, (30, 40)), laid["e"].controls, strict=True):
        laid.equal(expected[0], actual.x)
        laid.equal(expected[1], actual.y)


def test_a_line_drawn_backward_is_left_forward(lay) -> None:
    """Of a line's two senses the one that leads toward the far end is meant."""
    laid = lay(CURVE + "  b : line through G and X\n  e : curve by french curve from X to Y, leaving along b, arriving toward O\n")
    laid.equal(THIRD, laid["e"].controls[1].x)


def test_a_line_square_to_the_way_leads_nowhere(mistakes) -> None:
    """Where neither sense of a line leads toward the far end, none can be chosen."""
    (wrong,) = mistakes(
        PAPER + "given X, Y, G at (0, 0), (0, 40), (7, 0) mm\n"
        "step S\n"
        "  g : line through X and G\n"
        "  e : curve by french curve from X to Y, leaving along g, arriving toward G\n"
    )
    assert ("R203", 6) == (wrong.code, wrong.span.line)


def test_a_flipped_curve(lay) -> None:
    """Flipped over the line y = x every control has its coordinates swapped."""
    laid = lay(
        CURVE + "  e : curve by french curve from X to Y, leaving along g, arriving toward O\n"
        "  a : arc about X, 10 mm by ruler\n  U : mark 10 mm from X toward P, by ruler\n  b : line square to g at G, by square\n"
        "  V : mark 7 mm from G along b, nearest P, by ruler\n  v : line through X and V\n  f : e flipped over v, by french curve\n"
    )
    for ahead, back in zip(laid["e"].controls, laid["f"].controls, strict=True):
        laid.equal(ahead.x, back.y)
        laid.equal(ahead.y, back.x)


def test_the_eye_aims_at_the_middle(lay) -> None:
    """The eye aims at the true middle and the true width; what it misses is a bench error."""
    laid = lay(
        PAPER + "given A, B, D at (0, 0), (7, 3), (0, 9) mm\nstep S\n  M : mark between A and B, by eye\n  s : line through A and D\n"
        "  u : line parallel to s, 4 mm away on the B side, by eye\n"
        "  v : line parallel to s, 4 mm away, away from B, by eye\n"
        "  w : curve from A to B, by eye\n"
    )
    laid.at("M", (Fraction(7, 2), Fraction(3, 2)))
    laid.passes("u", (4, 0))
    laid.passes("v", (-4, 0))
    laid.directed("u", (0, 1))
    controls = laid["w"].controls
    laid.equal(Fraction(7, 3), controls[1].x)
    laid.equal(Fraction(2), controls[2].y)
