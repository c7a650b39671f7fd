"""Regular figures: what can be constructed comes out exactly, and what can not is never called proved.

Which n can be constructed: Gauss, Disquisitiones arithmeticae (1801), art. 365-366; Wantzel (1837) (from
memory, very well known): n is a power of two times different primes 3, 5, 17, 257, 65537.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
import sympy

from construct.diagnostics import Mistakes

F = Fraction
CONSTRUCTIBLE = (3, 4, 5, 6, 8, 10, 12, 15, 16, 17, 20, 24)
PLATE = (
    "recipe Parts\n"
    "plate round, 200 mm across\n"
    "step S\n"
    "  g : line by centre finder, along the grain\n"
    "  h : line by centre finder, across the grain\n"
    "  C : mark where g meets h\n"
    "  B, T : marks where g meets edge\n"
)


def chord(n: int) -> str:
    """Return a recipe whose marks T and Y stand 1/n of a turn apart on the edge."""
    return PLATE + (
        f"  f : line by centre finder, at 1/{n} of a turn to the grain\n"
        f"  X, Y : marks where f meets edge\n"
        f"  claim C is on f\n"
        f"  claim angle T C Y is 1/{n} of a turn\n"
    )


@pytest.mark.parametrize("n", CONSTRUCTIBLE)
def test_chords_agree_with_the_table(studied, table, n: int) -> None:
    """The chord of 1/n of a turn over the diameter, against four printed decimals and twelve computed ones (shared/chords.csv)."""
    (row,) = [one for one in table("chords") if int(one["n"]) == n]
    out = studied(chord(n))
    ratio = out.length("T", "Y") / 200
    if n not in (15, 17):  # the table's two misprints
        out.prints(row["published"], ratio)
    out.prints(row["computed"], ratio)
    out.all_proved()


@pytest.mark.parametrize("n", (15, 17))
def test_the_two_misprints_are_misprints(studied, table, n: int) -> None:
    """0.2070 for n = 15 and 0.1838 for n = 17 are more than half a unit away from sin(π/n)."""
    (row,) = [one for one in table("chords") if int(one["n"]) == n]
    ratio = studied(chord(n)).length("T", "Y") / 200
    off = sympy.Abs(sympy.Rational(row["published"]) - sympy.sin(sympy.pi / n))
    assert off > sympy.Rational(1, 20000)
    with pytest.raises(AssertionError):
        studied(chord(n)).prints(row["published"], ratio)


@pytest.mark.parametrize("n", [one for one in range(3, 25) if one not in CONSTRUCTIBLE])
def test_the_others_are_refused_as_angles(studied, n: int) -> None:
    """No line by the centre finder can be asked for at 1/n of a turn where no construction gives it."""
    with pytest.raises(Mistakes) as wrong:
        studied(chord(n))
    assert "P109" in {one.code for one in wrong.value.diagnostics}


@pytest.mark.parametrize("n", (5, 6, 8, 10, 12, 15, 16))
def test_a_stepped_chord_closes_into_a_regular_figure(studied, n: int) -> None:
    """The chord of 1/n of a turn, stepped n times, comes back to its start, and its marks make a regular figure."""
    last = n - 1
    out = studied(
        chord(n) + f"  rim : circle about C, through T\n  p1 to p{n} : marks stepped from T round rim, opening from T to Y\n"
        f"  claim p{n} is T\n"
        f"  claim p1 is Y\n"
        f"  claim T, p1 to p{last} make a regular figure\n"
        f"  claim T, p1 to p{last} are evenly spaced round rim\n"
    )
    out.all_proved()


# p/q of a turn near 1/n: 7/64 for 1/9, 3/32 for 1/11, 5/64 for 1/13, 9/64 for 1/7
NEAR = {7: F(9, 64), 9: F(7, 64), 11: F(3, 32), 13: F(5, 64), 14: F(9, 128), 18: F(7, 128), 19: F(7, 128), 21: F(3, 64)}


@pytest.mark.parametrize("n", sorted(NEAR))
def test_an_angle_that_no_construction_gives_is_refuted(studied, n: int) -> None:
    """An angle of 9/64 of a turn is not 1/7 of one: refuted, by 360·(9/64 − 1/7) deg; and so for 9, 11, 13, …"""
    near = NEAR[n]
    out = studied(
        PLATE + f"  f : line by centre finder, at {near.numerator}/{near.denominator} of a turn to the grain\n"
        f"  X, Y : marks where f meets edge\n"
        f"  claim angle T C Y is 1/{n} of a turn\n  claim angle T C Y is 1/{n} of a turn within 6 deg\n"
    )
    exactly, nearly = out.study.verdicts
    assert ["refuted", "within"] == [exactly.verdict, nearly.verdict]
    assert "deg" == exactly.finding.unit
    assert float(360 * (near - F(1, n))) == pytest.approx(exactly.finding.value, rel=1e-9)


@pytest.mark.parametrize("n", (7, 9, 11, 13))
def test_a_stepped_figure_that_no_construction_gives_is_refuted(studied, n: int) -> None:
    """n − 1 steps near 1/n of a turn: no regular figure, and each mark but the first is off; by at least what the last one is."""
    near = NEAR[n]
    out = studied(
        PLATE + f"  f : line by centre finder, at {near.numerator}/{near.denominator} of a turn to the grain\n"
        f"  X, Y : marks where f meets edge\n"
        f"  rim : circle about C, through T\n  p1 to p{n - 1} : marks stepped from T round rim, opening from T to Y, to the right\n"
        f"  claim T, p1 to p{n - 1} make a regular figure\n  claim T, p1 to p{n - 1} are evenly spaced round rim\n"
    )
    assert ["refuted", "refuted"] == [one.verdict for one in out.study.verdicts]
    # about the same middle and first corner the last mark is (n − 1) steps of the error away
    off = 200 * sympy.sin(sympy.pi * (n - 1) * abs(sympy.Rational(near.numerator, near.denominator) - sympy.Rational(1, n)))
    assert float(off) == pytest.approx(out.study.verdicts[1].finding.value, rel=1e-9)


# --- seventeen ----------------------------------------------------------------------------------

HALVING = """
method halving of A, V and B
  c : circle about V, through A
  v : line from V to B
  D : mark where v meets c
  a : arc about A, opening from A to D
  d : arc about D, same opening
  U, W : marks where a meets d
  k : line through U and W
  gives k
end
"""

SEVENTEEN = f"""recipe Seventeen parts
paper
{HALVING}
given O, A at (0, 0), (1, 0) mm

step The circle and its two diameters
  rim : circle about O, through A
  g : line through O and A
  Z : mark where g meets rim, other than A
  a : arc about A, opening from A to Z
  z : arc about Z, same opening
  U, V : marks where a meets z
  h : line through U and V
  S, N : marks where h meets rim

step A quarter of the upright radius
  n : arc about N, opening from N to O
  o : arc about O, same opening
  N1, N2 : marks where n meets o
  mid : line through N1 and N2
  H : mark where mid meets h
  p : arc about H, opening from H to O
  q : arc about O, same opening
  H1, H2 : marks where p meets q
  quarter : line through H1 and H2
  B : mark where quarter meets h

step A quarter of the angle O B A
  ba : line from B to A
  l : line through B and O
  r : circle about B, through A
  R : mark where l meets r, nearest S
  k : halving of A, B and R
  E1 : mark where k meets g
  r1 : circle about B, through E1
  R1 : mark where l meets r1, nearest S
  k1 : halving of E1, B and R1
  E : mark where k1 meets g

step Half a right angle from it
  be : line through B and E
  s : line square to be at B, by square
  r2 : circle about B, through E
  G : mark where s meets r2, nearest Z
  k2 : halving of E, B and G
  F : mark where k2 meets g

step The circle on A F
  af : arc about A, opening from A to F
  fa : arc about F, same opening
  F1, F2 : marks where af meets fa
  m : line through F1 and F2
  M : mark where m meets g
  thales : circle about M, through A
  K : mark where thales meets h, nearest N

step The feet
  e : circle about E, through K
  N5, N3 : marks where g meets e
  v3 : line square to g at N3, by square
  v5 : line square to g at N5, by square
  P3 : mark where v3 meets rim, nearest N
  P5 : mark where v5 meets rim, nearest N
"""


def test_seventeen_parts_to_twenty_digits(studied, table) -> None:
    """H. W. Richmond (1893), steps as J. H. Conway gave them: the marks to 20 digits.

    The corners are compared with shared/seventeen.csv; the marks of the way were computed from first principles.
    """
    out = studied(SEVENTEEN)
    out.at("B", 0, F(1, 4))
    out.prints("0.086037682852227701929", out["E"].x)
    out.prints("-0.12198209123162133118", out["F"].x)
    out.prints("0.34925934666322293168", out["K"].y)
    corners = {int(row["k"]): row for row in table("seventeen")}
    for k, mark in ((3, "P3"), (5, "P5")):
        out.prints(corners[k]["cos"], out[mark].x)
        out.prints(corners[k]["sin"], out[mark].y)


def test_the_feet_satisfy_the_minimal_polynomial(studied) -> None:
    """256x⁸ + 128x⁷ − 448x⁶ − 192x⁵ + 240x⁴ + 80x³ − 40x² − 8x + 1 vanishes exactly at both feet.

    The polynomial follows from Gauss's formula; sympy finds the same one.
    """
    coefficients = (256, 128, -448, -192, 240, 80, -40, -8, 1)
    x = sympy.Symbol("x")
    assert list(coefficients) == sympy.Poly(sympy.minimal_polynomial(sympy.cos(2 * sympy.pi / 17), x), x).all_coeffs()
    out = studied(SEVENTEEN)
    for foot in ("N3", "N5"):
        value = out.exact.rational(0)
        for coefficient in coefficients:
            value = value * out[foot].x + coefficient
        assert out.exact.equal(0, value)
    # and not at a mark of the way that is no corner's foot
    value = out.exact.rational(0)
    for coefficient in coefficients:
        value = value * out["E"].x + coefficient
    assert not out.exact.equal(0, value)


def test_the_corners_stand_where_claimed(studied) -> None:
    """The third and fifth corners: 3/17 and 5/17 of a turn from A."""
    out = studied(
        SEVENTEEN + "  claim angle A O P3 is 3/17 of a turn\n"
        "  claim angle A O P5 is 5/17 of a turn\n"
        "  claim angle P3 O P5 is 2/17 of a turn\n"
    )
    out.all_proved()


def test_all_seventeen_corners(studied, table) -> None:
    """The arc between the third and fifth corner halved and stepped round: a regular figure of 17, its side 0.36749903563314066315."""
    out = studied(
        SEVENTEEN + "step The other corners\n"
        "  x : arc about P3, opening from P3 to P5\n"
        "  y : arc about P5, same opening\n"
        "  X, Y : marks where x meets y\n"
        "  j : line through X and Y\n"
        "  P4 : mark where j meets rim, nearest P3\n"
        "  side : opening, from P3 to P4\n"
        "  c1 to c17 : marks stepped from A round rim, opening side, to the right\n"
        "  claim O is on j\n"
        "  claim c3 is P3\n"
        "  claim c17 is A\n"
        "  claim A, c1 to c16 make a regular figure\n"
        "  claim A, c1 to c16 are evenly spaced round rim\n"
    )
    out.prints("0.36749903563314066315", out.length("A", "c1"))
    for row in table("seventeen"):
        out.prints(row["cos"], out["c" + row["k"]].x)
        out.prints(row["sin"], out["c" + row["k"]].y)
    out.all_proved()


def test_one_step_altered_loses_the_claim(studied) -> None:
    """A third instead of a quarter of the upright radius: the corners are no corners."""
    text = SEVENTEEN.replace(
        "  p : arc about H, opening from H to O\n  q : arc about O, same opening\n",
        "  p : arc about H, opening from H to N\n  q : arc about N, same opening\n",
    )
    assert text != SEVENTEEN
    out = studied(text + "  claim angle A O P3 is 3/17 of a turn\n")
    assert "refuted" == out.study.verdicts[0].verdict
