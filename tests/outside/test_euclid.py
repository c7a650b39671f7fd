"""Euclid's propositions as recipes: the claims hold, and the marks lie where the figures have them.

Numbering after T. L. Heath, The Thirteen Books of Euclid's Elements (statements from memory, very well
known); the coordinates of the test figures are computed from first principles.
"""

from __future__ import annotations

from fractions import Fraction

F = Fraction
PAPER = "recipe Euclid\npaper\n"


def test_i_1_equilateral_triangle(studied) -> None:
    """I.1: on A(0, 0), B(1, 0) the third corner is (1/2, ±√3/2)."""
    out = studied(
        PAPER + "given A, B at (0, 0), (1, 0) mm\nstep S\n  a : circle about A, through B\n  b : circle about B, through A\n"
        "  P, Q : marks where a meets b\n"
        "  claim A P equals A B\n"
        "  claim B P equals A B\n"
        "  claim angle A P B is 60 deg\n"
        "  claim A, B, P make a regular figure\n"
    )
    out.at("P", F(1, 2), lambda sqrt: sqrt(3) / 2)
    out.at("Q", F(1, 2), lambda sqrt: -sqrt(3) / 2)
    out.all_proved()


def test_i_9_bisect_an_angle(studied) -> None:
    """I.9: between (1, 0) and (3/5, 4/5) lies (2, 1)/√5."""
    out = studied(
        PAPER + "given O, A, B at (0, 0), (7, 0), (6, 8) mm\n"
        "step S\n"
        "  g : line through O and A\n"
        "  h : line through O and B\n"
        "  c : circle about O, 5 mm by ruler\n"
        "  D : mark where g meets c, nearest A\n"
        "  E : mark where h meets c, nearest B\n"
        "  d : arc about D, opening from D to E\n"
        "  e : arc about E, same opening\n"
        "  V : mark where d meets e, farthest from O\n"
        "  k : line from O to V\n"
        "  claim angle A O V equals angle V O B\n"
        "  claim angle A O V is half of angle A O B\n"
    )
    out.equal(0, out["k"].dx - out["k"].dy * 2)
    out.at("E", 3, 4)
    # the arcs' opening is D E = 2√5: V lies √15 beyond the middle (4, 2), along (2, 1)/√5
    out.at("V", lambda sqrt: 4 + 2 * sqrt(3), lambda sqrt: 2 + sqrt(3))
    out.all_proved()


def test_i_10_bisect_a_segment(studied) -> None:
    """I.10: the middle of (0, 0), (7, 3) is (7/2, 3/2)."""
    out = studied(
        PAPER + "given A, B at (0, 0), (7, 3) mm\n"
        "step S\n"
        "  a : circle about A, through B\n"
        "  b : circle about B, through A\n"
        "  P, Q : marks where a meets b\n"
        "  g : line through A and B\n"
        "  k : line through P and Q\n"
        "  M : mark where g meets k\n"
        "  claim M is halfway between A and B\n"
        "  claim k is square to g\n"
    )
    out.at("M", F(7, 2), F(3, 2))
    out.all_proved()


def test_i_11_square_at_a_mark(studied) -> None:
    """I.11: at (2, 1) on y = x/2 the square line runs along (-1, 2)."""
    out = studied(
        PAPER + "given G, H, P at (0, 0), (4, 2), (2, 1) mm\n"
        "step S\n"
        "  g : line through G and H\n"
        "  c : circle about P, 1 mm by ruler\n"
        "  D, E : marks where g meets c\n"
        "  d : arc about D, opening from D to E\n"
        "  e : arc about E, same opening\n"
        "  U, V : marks where d meets e\n"
        "  k : line through P and U\n"
        "  claim k is square to g\n"
        "  claim V is on k\n"
    )
    out.equal(0, out["k"].dx * 2 + out["k"].dy)
    assert 1 == out.exact.sign(out["k"].dy)
    out.all_proved()


def test_i_12_square_from_a_mark(studied) -> None:
    """I.12: from (1, 3) to y = 0 the foot is (1, 0); from (0, 5) to 3x + 4y = 0 it is (-12/5, 9/5), 4 away."""
    text = (
        PAPER + "given G, H, P at {} mm\n"
        "step S\n"
        "  g : line through G and H\n"
        "  r : opening, anything over P to g\n"
        "  c : circle about P, opening r\n"
        "  D, E : marks where g meets c\n"
        "  s : opening, from D to E\n"
        "  d : arc about D, opening s\n"
        "  e : arc about E, opening s\n"
        "  U, V : marks where d meets e\n"
        "  k : line through U and V\n"
        "  L : mark where k meets g\n"
        "  claim k is square to g\n  claim P is on k\n"
    )
    out = studied(text.format("(-4, 0), (4, 0), (1, 3)"))
    out.at("L", 1, 0)
    out.all_proved()
    out = studied(text.format("(-4, 3), (4, -3), (0, 5)") + "  claim P L is 4 mm\n")
    out.at("L", F(-12, 5), F(9, 5))
    out.all_proved()


def test_iii_1_centre_of_a_circle(studied) -> None:
    """III.1: the circle through (0, 0), (4, 0), (1, 3) has its centre at (2, 1) and the radius √5."""
    out = studied(
        PAPER + "given A, B, D at (0, 0), (4, 0), (1, 3) mm\n"
        "step S\n"
        "  a : arc about A, opening from A to B\n"
        "  b : arc about B, same opening\n"
        "  d : arc about D, same opening\n"
        "  P, Q : marks where a meets b\n"
        "  R, T : marks where a meets d\n"
        "  k : line through P and Q\n"
        "  m : line through R and T\n"
        "  C : mark where k meets m\n"
        "  c : circle about C, through A\n  claim C is the centre of c\n  claim B is on c\n  claim D is on c\n  claim C A equals C D\n"
    )
    out.at("C", 2, 1)
    out.equal(lambda sqrt: sqrt(5), out.length("C", "D"))
    out.all_proved()


# the triangle (0, 0), (14, 0), (5, 12) has the sides 14, 15, 13
TRIANGLE = (
    PAPER + "given A, B, D at (0, 0), (14, 0), (5, 12) mm\n"
    "step S\n"
    "  ab : line through A and B\n"
    "  ad : line through A and D\n"
    "  bd : line through B and D\n"
)


def test_iv_4_circle_in_a_triangle(studied) -> None:
    """IV.4: the circle in the triangle with the sides 13, 14, 15 stands about (6, 4) with the radius 4."""
    out = studied(
        TRIANGLE + "  a : circle about A, 5 mm by ruler\n"
        "  P : mark where a meets ab, nearest B\n"
        "  Q : mark where a meets ad, nearest D\n"
        "  p : arc about P, 5 mm by ruler\n"
        "  q : arc about Q, same opening\n"
        "  U : mark where p meets q, farthest from A\n"
        "  k : line through A and U\n"
        "  b : circle about B, 5 mm by ruler\n"
        "  R : mark where b meets ab, nearest A\n"
        "  T : mark where b meets bd, nearest D\n"
        "  r : arc about R, 5 mm by ruler\n"
        "  t : arc about T, same opening\n"
        "  V : mark where r meets t, farthest from B\n"
        "  m : line through B and V\n"
        "  I : mark where k meets m\n"
        "  i : circle about I, touching ab\n"
        "  X : mark where i touches ab\n"
        "  claim i touches ab\n"
        "  claim i touches ad\n"
        "  claim i touches bd\n"
        "  claim I X is 4 mm\n"
    )
    out.at("I", 6, 4)
    out.at("X", 6, 0)
    out.all_proved()


def test_iv_5_circle_about_a_triangle(studied) -> None:
    """IV.5: the circle about the same triangle stands about (7, 33/8) with the radius 65/8."""
    out = studied(
        TRIANGLE + "  r : opening, 14 mm by ruler\n"
        "  a : arc about A, opening r\n"
        "  b : arc about B, opening r\n"
        "  d : arc about D, opening r\n"
        "  P, Q : marks where a meets b\n"
        "  R, T : marks where b meets d\n"
        "  k : line through P and Q\n"
        "  m : line through R and T\n"
        "  C : mark where k meets m\n"
        "  c : circle about C, through A\n"
        "  claim B is on c\n"
        "  claim D is on c\n"
        "  claim C A is 8.125 mm\n"
    )
    out.at("C", 7, F(33, 8))
    out.equal(F(65, 8), out.length("C", "B"))
    out.all_proved()


CIRCLE = (
    PAPER + "given O, A at (0, 0), (1, 0) mm\n"
    "step S\n"
    "  c : circle about O, through A\n"
    "  g : line through O and A\n"
    "  D : mark where g meets c, other than A\n"
    "  a : arc about A, opening from A to D\n"
    "  d : arc about D, same opening\n"
    "  U, V : marks where a meets d\n"
    "  h : line through V and U\n"
    "  W, N : marks where h meets c\n"
)


def test_iv_6_square_in_a_circle(studied) -> None:
    """IV.6: the square in a circle of radius 1 has the side √2."""
    out = studied(
        CIRCLE + "  claim A, W, D, N make a square\n"
        "  claim g and h quarter c\n"
        "  claim O is on h\n"
        "  claim A, W, D, N are evenly spaced round c\n"
    )
    out.equal(lambda sqrt: sqrt(2), out.length("A", "N"))
    out.all_proved()


def test_iv_11_pentagon_in_a_circle(studied) -> None:
    """IV.11, by the construction handed down from Ptolemy: side √((5 − √5)/2), diagonal √((5 + √5)/2), first corner (cos 72°, ∓sin 72°)."""
    out = studied(
        CIRCLE + "  o : arc about O, opening from O to A\n"
        "  z : arc about A, same opening\n"
        "  X, Y : marks where o meets z\n"
        "  v : line through X and Y\n"
        "  M : mark where v meets g\n"
        "  m : arc about M, through N\n"
        "  E : mark where m meets g, nearest D\n"
        "  side : opening, from N to E\n"
        "  p1 to p4 : marks stepped from A round c, opening side\n"
        "  claim M is halfway between O and A\n"
        "  claim A, p1 to p4 make a regular figure\n"
        "  claim A, p1 to p4 are evenly spaced round c\n"
        "  claim angle A O p1 is 72 deg\n"
        "  claim angle p4 A p1 is 108 deg\n"
    )
    out.at("E", lambda sqrt: -(sqrt(5) - 1) / 2, 0)
    out.at("p1", lambda sqrt: (sqrt(5) - 1) / 4, lambda sqrt: -sqrt(10 + 2 * sqrt(5)) / 4)
    out.at("p2", lambda sqrt: -(sqrt(5) + 1) / 4, lambda sqrt: -sqrt(10 - 2 * sqrt(5)) / 4)
    out.equal(lambda sqrt: sqrt((5 - sqrt(5)) / 2), out.length("A", "p1"))
    out.equal(lambda sqrt: sqrt((5 + sqrt(5)) / 2), out.length("A", "p2"))
    out.prints("1.1755705045849462583", out.length("N", "E"))
    out.prints("1.9021130325903071442", out.length("p1", "p4"))
    # XIII.10: the squares on hexagon and decagon side together make the square on the pentagon side
    pentagon, decagon = out.length("N", "E"), out.length("O", "E")
    out.equal(0, pentagon * pentagon - decagon * decagon - 1)
    out.all_proved()


def test_iv_15_hexagon_in_a_circle(studied) -> None:
    """IV.15: the side of the hexagon is the radius."""
    out = studied(
        PAPER + "given O, A at (0, 0), (1, 0) mm\n"
        "step S\n"
        "  c : circle about O, through A\n"
        "  p1 to p6 : marks stepped from A round c, same opening\n"
        "  claim p6 is A\n  claim A, p1 to p5 make a regular figure\n  claim A p1 equals O A\n  claim A, O, p3 are in line\n"
    )
    out.at("p1", F(1, 2), lambda sqrt: -sqrt(3) / 2)
    out.equal(1, out.length("p4", "p5"))
    out.all_proved()


def test_iii_35_chords_through_a_mark(studied) -> None:
    """III.35: chords through (1/2, 0) of the circle of radius 1 have parts whose product is 3/4."""
    out = studied(
        PAPER + "given O, A, P, G at (0, 0), (1, 0), (1/2, 0), (3, 4) mm\n"
        "step S\n"
        "  c : circle about O, through A\n"
        "  g : line through O and P\n"
        "  h : line through P and G\n"
        "  U, V : marks where g meets c\n  X, Y : marks where h meets c\n  claim P U times P V equals P X times P Y\n"
    )
    out.equal(F(3, 4), out.length("P", "X") * out.length("P", "Y"))
    out.all_proved()


def test_iii_31_angle_in_a_half_circle(studied) -> None:
    """III.31: over (±1, 0) the angle at (3/5, 4/5) is right."""
    out = studied(
        PAPER + "given O, A, G at (0, 0), (1, 0), (3, 4) mm\n"
        "step S\n"
        "  c : circle about O, through A\n"
        "  g : line through O and A\n"
        "  D : mark where g meets c, other than A\n"
        "  h : line through O and G\n"
        "  P : mark where h meets c, nearest G\n  claim angle A P D is 90 deg\n"
    )
    out.at("P", F(3, 5), F(4, 5))
    out.all_proved()


def test_compass_alone_finds_the_middle(studied) -> None:
    """Mohr (1672): with the compass alone the middle of (0, 0), (1, 0); the arcs of 1 and 2 meet at (1/4, ±√15/4)."""
    out = studied(
        PAPER + "given A, B at (0, 0), (1, 0) mm\n"
        "step S\n"
        "  a : circle about A, through B\n"
        "  b : circle about B, same opening\n"
        "  p1 to p3 : marks stepped from A round b, opening from A to B\n"
        "  d : circle about p3, opening from p3 to A\n"
        "  X, Y : marks where a meets d\n"
        "  x : circle about X, opening from A to B\n"
        "  y : circle about Y, opening from A to B\n"
        "  M : mark where x meets y, other than A\n  claim M is halfway between A and B\n"
    )
    out.at("p3", 2, 0)
    out.at("X", F(1, 4), lambda sqrt: sqrt(15) / 4)
    out.at("M", F(1, 2), 0)
    out.all_proved()
