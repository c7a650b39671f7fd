"""Well-known layouts that look exact: those that are, proved; those that are not, refuted, by as much as is known."""

from __future__ import annotations

from fractions import Fraction

import pytest
import sympy

F = Fraction

# --- pentagon with one opening --------------------------------------------------------------------

PENTAGON = """recipe Pentagon with one opening
paper
given A, B at (0, 0), (1, 0) mm
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


def test_one_opening_pentagon_marks(studied) -> None:
    """A. Dürer, Underweysung der Messung (1525), steps as R. A. Simon gives them (MAA Convergence); coordinates from first principles."""
    out = studied(PENTAGON)
    out.at("E", F(1, 2), lambda sqrt: 1 - sqrt(3) / 2)
    out.at("F", F(-1, 2), lambda sqrt: -sqrt(3) / 2)
    out.equal(lambda sqrt: (1 + sqrt(3) + sqrt(6 * sqrt(3) - 4)) / 4, out["H"].x)
    out.equal(lambda sqrt: (3 - sqrt(3) + sqrt(6 * sqrt(3) - 4)) / 4, out["H"].y)
    out.prints("1.3150878974491474906", out["H"].x)
    out.prints("-0.3150878974491474906", out["I"].x)
    out.prints("1.5283998042463146819", out["K"].y)
    out.equal(F(1, 2), out["K"].x)
    for coefficients, actual in (((16, -16, 8, -20, 1), out["H"].x), ((16, -48, 56, -12, -11), out["H"].y)):
        value = out.exact.rational(0)
        for coefficient in coefficients:
            value = value * actual + coefficient
        assert out.exact.equal(0, value)


@pytest.mark.parametrize(
    ("angle", "printed"),
    [("I A B", "108.3661201625615"), ("A B H", "108.3661201625615"), ("B H K", "107.0378259215941"), ("H K I", "109.1921078316888")],
)
def test_one_opening_pentagon_is_not_regular(studied, angle: str, printed: str) -> None:
    """Equal sides, but the base angle is 108°21′58″ (the same article), not 108°: refuted, and by how much."""
    out = studied(PENTAGON + f"  claim angle {angle} is 108 deg\n")
    (verdict,) = out.study.verdicts
    assert "refuted" == verdict.verdict
    assert float(printed) - 108 == pytest.approx(verdict.finding.value, abs=1e-12)


def test_one_opening_pentagon_published_angle(studied) -> None:
    """108°21′58″ is printed to the second: the claim holds within half a second, and the one a second off does not."""
    # 108 + 21/60 + 58/3600 = 108.36611… deg of the turn; 390118/1296000 of a turn
    out = studied(
        PENTAGON + "  claim angle I A B is 390118/1296000 of a turn within 0.000139 deg\n"
        "  claim angle I A B is 390119/1296000 of a turn within 0.000139 deg\n"
    )
    assert ["within", "refuted"] == [one.verdict for one in out.study.verdicts]


def test_one_opening_pentagon_sides_are_equal(studied) -> None:
    """All five sides are the opening, exactly; the figure is still not regular, nor are its corners on one circle."""
    sides = ["B H", "H K", "K I", "I A"]
    out = studied(
        PENTAGON + "".join(f"  claim A B equals {side}\n" for side in sides) + "  claim A, B, H, K, I make a regular figure\n"
        "  claim A, B, H, K, I are on one circle\n"
    )
    assert ["proved"] * 4 + ["refuted"] * 2 == [one.verdict for one in out.study.verdicts]


# --- heptagon -------------------------------------------------------------------------------------

HEPTAGON = """recipe Seven by half the triangle's side
paper
given O, A at (0, 0), (100, 0) mm
step S
  rim : circle about O, through A
  a : arc about A, opening from A to O
  B, D : marks where a meets rim
  g : line through O and A
  k : line through B and D
  M : mark where g meets k
  side : opening, from M to B
  p1 to p7 : marks stepped from A round rim, opening side
"""


def test_heptagon_by_half_the_triangles_side(studied) -> None:
    """Heron, Abu l-Wafa, Dürer: the side is √3/2·R (short by 0.2 %); the central angle is 0.110758882061 deg too small."""
    out = studied(
        HEPTAGON + "  claim A, p1 to p6 make a regular figure\n  claim angle A O p1 is 1/7 of a turn\n  claim p7 is A\n"
        "  claim angle A O p1 is 1/7 of a turn within 0.111 deg\n  claim M is halfway between B and D\n"
    )
    out.equal(lambda sqrt: sqrt(3) * 50, out.length("A", "p1"))
    figure, angle, closes, near, half = out.study.verdicts
    assert ["refuted", "refuted", "refuted", "within", "proved"] == [one.verdict for one in (figure, angle, closes, near, half)]
    assert -0.110758882061 == pytest.approx(angle.finding.value, abs=5e-13)
    # the gap after seven steps, as a chord: 200·sin(half of 360 deg less seven central angles)
    gap = 200 * sympy.sin(sympy.pi - 7 * sympy.asin(sympy.sqrt(3) / 4))
    assert float(gap) == pytest.approx(closes.finding.value, rel=1e-12)


# --- any number of parts ----------------------------------------------------------------------------


def second_division(n: int) -> str:
    """Return the rule's recipe for n parts; the angle is that at O from A to E."""
    names = "d2" if n == 2 else f"d1 to d{n - 1}"
    return (
        "recipe Any number\n"
        "paper\n"
        "given A, B at (-1, 0), (1, 0) mm\n"
        "step S\n"
        "  a : arc about A, through B\n"
        "  b : arc about B, through A\n"
        "  V, W : marks where a meets b\n"
        f"  g : line through A and B\n"
        f"  k : line through V and W\n"
        f"  O : mark where g meets k\n"
        f"  rim : circle about O, through A\n"
        f"  {names} : marks dividing A B, by dividers\n"
        "  ray : line through V and d2\n  E : mark where ray meets rim, farthest from V\n"
    )


@pytest.mark.parametrize("n", (3, 4, 5, 6, 7, 8, 10, 12))
def test_any_number_of_parts_by_the_second_division(studied, table, n: int) -> None:
    """Exact for 3, 4 and 6 alone; elsewhere refuted by the tabulated error (shared/second-division-rule.csv)."""
    (row,) = [one for one in table("second-division-rule") if int(one["n"]) == n]
    out = studied(second_division(n) + f"  claim angle A O E is 1/{n} of a turn\n")
    (verdict,) = out.study.verdicts
    if n in (3, 4, 6):
        assert "proved" == verdict.verdict
        return
    assert "refuted" == verdict.verdict
    # half a unit of the last digit that the table has
    half = 0.5 * 10.0 ** -len(row["error_deg"].split(".")[1])
    assert float(row["error_deg"]) == pytest.approx(verdict.finding.value, abs=half)


# --- octagon from a square --------------------------------------------------------------------------

BOARD = (
    "recipe Octagon\n"
    "board {0} mm by {0} mm\n"
    "step S\n"
    "  s : line from SW to SE\n"
    "  e : line from SE to NE\n"
    "  n : line from NE to NW\n"
    "  w : line from NW to SW\n"
)
CORNERS = "S1, S2, E1, E2, N1, N2, W1, W2"


def test_octagon_by_half_the_diagonal(studied) -> None:
    """The joiner's octagon (read in a workshop source): arcs about each corner with half the diagonal. Exact, for every board."""
    text = BOARD.format(240) + (
        "  d : line through SW and NE\n  f : line through NW and SE\n  C : mark where d meets f\n  r : opening, from SW to C\n"
        "  sw : arc about SW, opening r\n  se : arc about SE, opening r\n  ne : arc about NE, opening r\n  nw : arc about NW, opening r\n"
        "  S1 : mark where s meets se\n  S2 : mark where s meets sw\n  E1 : mark where e meets ne\n  E2 : mark where e meets se\n"
        "  N1 : mark where n meets nw\n  N2 : mark where n meets ne\n  W1 : mark where w meets sw\n  W2 : mark where w meets nw\n"
        f"  claim {CORNERS} make a regular figure\n  claim S1 S2 equals S2 E1\n"
    )
    out = studied(text)
    # the cut is 1 - 1/√2 of the side, the octagon's side √2 - 1 of it
    out.equal(lambda sqrt: 240 * (1 - 1 / sqrt(2)), out.length("SW", "S1"))
    out.equal(lambda sqrt: 240 * (sqrt(2) - 1), out.length("S1", "S2"))
    out.prints("0.292893218813452476", out.length("SW", "S1") / 240)
    out.prints("0.414213562373095049", out.length("S2", "E1") / 240)
    out.all_proved()


@pytest.mark.parametrize(("a", "b"), [(7, 10), (5, 7), (12, 17), (29, 41), (2, 3)])
def test_octagon_by_whole_numbers(studied, table, a: int, b: int) -> None:
    """7-10-7 and its kin: every angle is exact, the sides are not equal; refuted by b − a·√2 exactly (shared/octagon-rules.csv)."""
    (row,) = [one for one in table("octagon-rules") if one["rule"] == f"{a}-{b}-{a}"]
    side = 2 * a + b
    marks = [
        ("S1", "SW", "SE"),
        ("S2", "SE", "SW"),
        ("E1", "SE", "NE"),
        ("E2", "NE", "SE"),
        ("N1", "NE", "NW"),
        ("N2", "NW", "NE"),
        ("W1", "NW", "SW"),
        ("W2", "SW", "NW"),
    ]
    lines = [f"  {name} : mark {a} mm from {start} toward {end}, by ruler\n" for name, start, end in marks]
    out = studied(
        BOARD.format(side) + "".join(lines) + f"  claim {CORNERS} make a regular figure\n"
        f"  claim S1 S2 equals S2 E1\n"
        f"  claim angle S1 S2 E1 is 135 deg\n"
        f"  claim S1 S2 equals S2 E1 within 7 %\n"
    )
    figure, sides, angle, near = out.study.verdicts
    assert ["refuted", "refuted", "proved", "within"] == [one.verdict for one in (figure, sides, angle, near)]
    exact = b - a * sympy.sqrt(2)
    assert float(exact) == pytest.approx(sides.finding.value, rel=1e-12)
    assert 0 == sympy.simplify(
        sympy.sympify(sides.finding.exact.removesuffix(" mm").replace("·", "*").replace("√2", "sqrt(2)").replace("−", "-")) - exact
    )
    ratio = out.length("S1", "S2") / out.length("S2", "E1")
    out.prints(row["flat_over_slant_percent"], (ratio - 1) * 100)
    root = out.exact.sqrt(out.exact.rational(2))
    out.prints(row["cut_error"], out.exact.rational(F(a, side)) - 1 + 1 / root)


# --- one opening twice the ruler's word -------------------------------------------------------------


def test_eight_inch_plate(studied) -> None:
    """8 in = 203.2 mm exactly (international yard and pound agreement, 1959): a rim 11 mm in has the radius 90.6 mm.

    Its square's side is 90.6·√2 mm, which a millimetre rule reads as 128 (common practice, no source).
    """
    out = studied(
        "recipe Eight inches\n"
        "plate round, 8 in across\n"
        "step S\n"
        "  g : line by centre finder, along the grain\n"
        "  h : line by centre finder, across the grain\n"
        "  C : mark where g meets h\n"
        "  rim : circle about C, 11 mm inside the edge\n"
        "  B, T : marks where g meets rim\n"
        "  L, R : marks where h meets rim\n"
        "  w : length from L to T, by ruler\n"
        "  M : mark halfway from L to T, by ruler\n  claim M is halfway between L and T\n  claim L M is 64 mm\n"
    )
    out.equal(lambda sqrt: sqrt(2) * F("90.6"), out.length("L", "T"))
    out.equal(128, out["w"])
    half, length = out.study.verdicts
    assert ["refuted", "proved"] == [half.verdict, length.verdict]
    # 45.3·√2 − 64 = 0.06387… mm
    assert float(sympy.Rational("45.3") * sympy.sqrt(2) - 64) == pytest.approx(half.finding.value, rel=1e-12)
