"""Rules that look right and are not, on plates of any size: refuted, by the amounts that are published.

Half of a unit of the last printed digit is the tolerance wherever a number is printed.
"""

from __future__ import annotations

from cmath import exp
from math import asin, atan, degrees, pi, radians, sin, sqrt, tan

import pytest

from .conftest import Looked, looked

PLATE = """\
recipe  {title}
plate  round, anything across, say 240 mm
bench  ordinary
step The middle and the rim
  g : line by centre finder, along the grain
  h : line by centre finder, across the grain
  O : mark where g meets h
  r : opening, anything, say 60 mm
  rim : circle about O, opening r
"""


def off(outcome: Looked, words: str) -> float:
    """Return by how much a claim fails; it must be refuted where drawn, for no free choice helps it."""
    found = outcome.claim(words)
    assert ("refuted", "") == (found.verdict, found.reason)
    assert found.finding is not None
    return found.finding.value


@pytest.mark.parametrize("whole", (36, 60, 90, 120, 150))
def test_an_angle_is_not_trisected_by_thirds_of_its_chord(whole: int) -> None:
    """Seen from the corner the middle third of a chord is 2·arctan(tan(w/2)/3), more than a third of w: from first principles."""
    text = PLATE.format(title="Thirds of the chord") + (
        "  A', A : marks where g meets rim\n"
        "  W, E : marks where h meets rim\n"
        f"  c : line by centre finder, at {whole} deg to the grain\n"
        "  B : mark where c meets rim, on the E side of g\n"
        "  D1, D2 : marks dividing A B, by dividers\n"
        "  claim angle D1 O D2 is 1/3 of angle A O B\n"
        "  claim angle A O D1 is 1/3 of angle A O B\n"
    )
    outcome = looked(text)
    middle = 2 * degrees(atan(tan(radians(whole / 2)) / 3))
    assert middle - whole / 3 == pytest.approx(off(outcome, "angle D1 O D2 is 1/3 of angle A O B"), rel=1e-12)
    assert (whole - middle) / 2 - whole / 3 == pytest.approx(off(outcome, "angle A O D1 is 1/3 of angle A O B"), rel=1e-12)


PENTAGON = """\
recipe  Five by one opening
paper
given  A at (0, 0) mm
given  B anywhere, say at (40, 9) mm
step S
  r : opening, from A to B
  a : circle about A, opening r
  b : circle about B, opening r
  C, D : marks where a meets b
  d : circle about D, opening r
  m : line through C and D
  E : mark where m meets d, nearest C
  F : mark where a meets d, other than B
  G : mark where b meets d, other than A
  fe : line through F and E
  ge : line through G and E
  H : mark where fe meets b, farthest from F
  I : mark where ge meets a, farthest from G
  i : circle about I, opening r
  h : circle about H, opening r
  K : mark where i meets h, farthest from E
"""


def test_a_pentagon_with_one_opening_anywhere() -> None:
    """Dürer 1525, by R. A. Simon (MAA Convergence): sides equal for every two marks, base angle 108°21′58″, never 108°."""
    words = ("angle I A B is 108 deg", "angle B H K is 108 deg", "angle H K I is 108 deg")
    outcome = looked(PENTAGON + "".join(f"  claim {one}\n" for one in (*words, "A I equals A B", "B H equals A B", "I A equals B H")))
    assert {("proved", "every")} == {(one.verdict, one.scope) for one in outcome.verdicts if one.text not in words}
    for one, printed in zip(words, (108.3661201625615, 107.0378259215941, 109.1921078316888), strict=True):
        assert printed - 108 == pytest.approx(off(outcome, one), abs=5e-13)
    # the article's own print, to the second of arc
    assert 108 + 21 / 60 + 58 / 3600 == pytest.approx(108 + off(outcome, words[0]), abs=0.5 / 3600)


def test_a_heptagon_by_half_the_triangles_side() -> None:
    """Heron: half the side of the inscribed triangle. The central angle is short by 0.110758882061 deg on every plate."""
    outcome = looked(
        PLATE.format(title="Seven by half the triangle's side") + "  A, A' : marks where g meets rim\n"
        "  a : arc about A, opening r\n"
        "  B, D : marks where a meets rim\n"
        "  k : line through B and D\n"
        "  M : mark where g meets k\n"
        "  side : opening, from M to B\n"
        "  p1 to p7 : marks stepped from A round rim, opening side\n"
        "  claim A, p1 to p6 make a regular figure\n"
        "  claim angle A O p1 is 1/7 of a turn\n"
        "  claim M B is 1/2 of B D\n"
    )
    assert -0.110758882061 == pytest.approx(off(outcome, "angle A O p1 is 1/7 of a turn"), abs=5e-13)
    assert ("proved", "every") == (outcome.claim("M B is 1/2 of B D").verdict, outcome.claim("M B is 1/2 of B D").scope)
    figure = next(one for one in outcome.verdicts if "regular" in one.text)
    assert "refuted" == figure.verdict and figure.finding is not None
    # six steps of 2·arcsin(√3/4), and the true figure about the corners' own middle from the first corner
    corners = [60 * exp(2j * k * asin(sqrt(3) / 4)) for k in range(7)]
    centre = sum(corners) / 7
    worst = max(abs(corner - centre - (corners[0] - centre) * exp(2j * pi * k / 7)) for k, corner in enumerate(corners))
    assert worst == pytest.approx(figure.finding.value, rel=1e-12)


# n, error in degrees of the rule by the second division and of its variant, from the project's table of published rules
SECOND = ((5, -0.046546629414), (7, 0.089650837149), (8, 0.18737144442), (10, 0.35581086295))
VARIANT = ((5, -0.6338661445), (7, -0.30528633211), (8, -0.18737144442), (10, -0.057648588207))


def any_number(n: int) -> str:
    """Return the layout of both rules, on a plate of any size."""
    return (
        PLATE.format(title="Any number of parts") + "  A, B : marks where h meets rim\n"
        "  a : arc about A, through B\n"
        "  b : arc about B, through A\n"
        "  V, W : marks where a meets b\n"
        f"  d1 to d{n - 1} : marks dividing A B, by dividers\n"
    )


@pytest.mark.parametrize(("n", "error"), SECOND)
def test_any_number_of_parts_by_the_second_division(n: int, error: float) -> None:
    """The ray from V through the second of n divisions does not cut off 1/n of the rim, for n = 5, 7, 8, 10 (arXiv:1507.07970)."""
    outcome = looked(
        any_number(n)
        + f"  ray : line through V and d2\n  E : mark where ray meets rim, farthest from V\n  claim angle A O E is 1/{n} of a turn\n"
    )
    digits = len(str(error).split(".")[1])
    assert error == pytest.approx(off(outcome, f"angle A O E is 1/{n} of a turn"), abs=0.5 * 10.0**-digits)


@pytest.mark.parametrize(("n", "error"), VARIANT)
def test_any_number_of_parts_by_the_variant(n: int, error: float) -> None:
    """Tempier's variant: the ray through the mark two n-th parts from the middle, counted from the radius that is square."""
    outcome = looked(
        any_number(n)
        # two n-th parts of A B to the right of the middle: for odd n that is no division, so the middle is stepped off
        + "  c : circle about O, opening from A to d2\n  D : mark where h meets c, nearest B\n"
        "  ray : line through V and D\n  E : mark where ray meets rim, farthest from V\n"
        "  S : mark where g meets rim, nearest W\n"
        f"  claim angle S O E is 1/{n} of a turn\n"
    )
    digits = len(str(error).split(".")[1])
    assert error == pytest.approx(off(outcome, f"angle S O E is 1/{n} of a turn"), abs=0.5 * 10.0**-digits)


@pytest.mark.parametrize("n", (7, 9, 11))
def test_no_layout_gives_these_figures(n: int) -> None:
    """Gauss and Wantzel: no opening steps round in 7, 9 or 11. A chord read off the table to a tenth of a mm closes nowhere."""
    chord = round(2 * 60 * sin(pi / n), 1)
    outcome = looked(
        PLATE.format(title="Stepped by a chord from a table")
        + f"  A, A' : marks where g meets rim\n  s : opening, {chord} mm by ruler\n"
        + f"  p1 to p{n - 1} : marks stepped from A round rim, opening s\n"
        f"  claim A, p1 to p{n - 1} make a regular figure\n"
        f"  claim angle A O p1 is 1/{n} of a turn\n"
    )
    wanted = degrees(2 * asin(chord / 120)) - 360 / n
    assert wanted == pytest.approx(off(outcome, f"angle A O p1 is 1/{n} of a turn"), rel=1e-9)
    assert "refuted" == outcome.verdicts[0].verdict
