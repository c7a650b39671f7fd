"""`carve` parts of recipes: what each cut form means, which chip a name means, and mistakes as diagnostics."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest

from construct.chips.isometry import groups
from construct.chips.measures import area, area_enclosure, area_text, corners
from construct.diagnostics import Mistakes

VESICA = """recipe Vesica
paper
given A at (0, 0) mm, B at (2, 0) mm, D at (1, 0) mm, E at (-1, 0) mm, F at (9, 0) mm
step Circles
  a : circle about A, through B
  b : circle about B, through A
  P, Q : marks where a meets b
  s : line from P to Q
  k : line through A and B
  f : circle about F, through B
  d : circle about A, through D
"""

TRIANGLE = """recipe Triangle
paper
given O at (0, 0) mm, A at (8, 0) mm, B at (0, 6) mm, M at (4, 0) mm, N at (1, 1) mm, Z at (4, 3) mm
step Sides
  g : line from O to A
  h : line from O to B
  k : line from A to B
  m : line from M to B
  w : circle about Z, through O
"""


def areas(told: Any) -> list[str]:
    """Return the closed forms of all chips' areas, sorted."""
    return sorted(area_text(told.exact, area(told.exact, chip)) for chip in told.carving.chips)


def codes(carved: Callable[[str], Any], text: str) -> list[str]:
    with pytest.raises(Mistakes) as caught:
        carved(text)
    for one in caught.value.diagnostics:
        assert one.span is not None
        assert one.text == text.splitlines()[one.span.line - 1]
        assert one.message
    return [one.code for one in caught.value.diagnostics]


# --- what is cut ------------------------------------------------------------------------------


def test_no_carve_part(carved: Any) -> None:
    """A recipe without `carve` has no carving."""
    assert carved(VESICA).carving is None


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        ("cut a inside b\n cut b inside a", ["8·π/3 − 2·√3"]),
        ("cut a outside b\n cut b inside a", ["4·π/3 + 2·√3"]),
        ("cut a", ["4·π"]),
        ("cut a\n cut b", ["4·π/3 + 2·√3", "4·π/3 + 2·√3", "8·π/3 − 2·√3"]),
        ("cut a from P to Q\n cut s", ["4·π/3 − √3"]),
        ("cut a from P to Q, the long way\n cut s", ["8·π/3 + √3"]),
        ("cut a from Q to P, the long way\n cut s from Q to P", ["8·π/3 + √3"]),
        ("cut s inside b\n cut a inside b", ["4·π/3 − √3"]),
    ],
)
def test_cut_forms(carved: Any, lines: str, expected: list[str]) -> None:
    """Each form cuts the part that its words say: lens, moon, whole, segment and the rest of the disc (r = 2 mm).

    The lens of Euclid I.1 has r²(2π/3 − √3/2), its half the segment of a third of a turn, r²(π/3 − √3/4).
    """
    assert expected == areas(carved(f"{VESICA}carve\n {lines}\n"))


def test_a_line_runs_to_the_edge_of_a_plate(carved: Any) -> None:
    """On a plate a line through two marks is cut from edge to edge; two square to each other quarter the rim's disc."""
    told = carved("""recipe Quarters
plate round, 100 mm across
step Lines
  g : line by centre finder, along the grain
  h : line by centre finder, across the grain
  C : mark where g meets h
  rim : circle about C, 10 mm inside the edge
carve
  cut rim
  cut g inside rim
  cut h
""")
    # h runs on beyond the rim and closes nothing there
    assert ["C412"] == [one.code for one in told.carving.warnings]
    assert ["400·π"] * 4 == areas(told)
    assert ((0, 1, 2, 3),) == groups(told.exact, told.carving.chips)
    # numbered as on a clock: the first from the grain on
    middles = [sum(told.exact.to_float(edge.start.x) for edge in chip.outline) for chip in told.carving.chips]
    assert [1, 1, -1, -1] == [1 if x > 0 else -1 for x in middles]


def test_a_line_runs_to_the_edge_of_a_board(carved: Any) -> None:
    """On a board a line is cut as far as the board goes: half diagonals over a 40 mm side of 40 by 30 close 300 mm²."""
    text = """recipe Board
board 40 mm by 30 mm
step Diagonals
  d : line through SW and NE
  e : line through SE and NW
  b : line from SW to SE
carve
  cut d
  cut e
  cut b
"""
    told = carved(text)
    assert ["300"] == areas(told)
    assert ["C412", "C412"] == [one.code for one in told.carving.warnings]


def test_drawn_arcs_end_where_they_are_drawn(carved: Any) -> None:
    """An arc drawn from mark to mark is cut as drawn."""
    told = carved("""recipe Arc
paper
given O at (0, 0) mm, A at (2, 0) mm, B at (0, 2) mm
step Arc
  z : arc about O, from A to B
  y : arc about O, from A to B, the long way
  g : line from O to A
  h : line from O to B
carve
  cut z
  cut g
  cut h
""")
    assert ["π"] == areas(told)
    again = carved("""recipe Arc
paper
given O at (0, 0) mm, A at (2, 0) mm, B at (0, 2) mm
step Arc
  y : arc about O, from A to B, the long way
  g : line from O to A
  h : line from O to B
carve
  cut y from B to A
  cut g
  cut h
""")
    assert ["3·π"] == areas(again)
    assert [270] == [round(float(c.angle_deg[0])) for c in corners(again.exact, again.carving.chips[0]) if c.angle_deg[0] > 180]


def test_drawn_arcs_are_cut_by_circles(carved: Any) -> None:
    """Of a drawn arc, `inside` and `outside` a circle keep their parts only, within its ends."""
    text = """recipe Arc
paper
given O at (0, 0) mm, A at (2, 0) mm, B at (0, 2) mm
step Arc
  z : arc about O, from A to B
  a : circle about A, through O
  P : mark where z meets a
  g : line from O to A
  h : line from O to B
  u : line from O to P
carve
"""
    part = carved(f"{text} cut z inside a\n cut g\n cut u\n")
    assert ["2·π/3"] == areas(part)
    rest = carved(f"{text} cut z outside a\n cut h\n cut u\n")
    assert ["π/3"] == areas(rest)


def test_grooves_are_no_edges(carved: Any) -> None:
    """A groove through a lens leaves it one chip, and keeps its width."""
    told = carved(f"{VESICA}carve\n cut a inside b\n cut b inside a\n groove s, 1.5 mm wide\n groove k from A to B\n")
    assert ["8·π/3 − 2·√3"] == areas(told)
    assert [Fraction(3, 2), None] == [groove.width_mm for groove in told.carving.grooves]
    assert 2 == len(told.carving.pieces)


def test_wishes(carved: Any) -> None:
    """Knife, land, depth and stand are kept as written."""
    told = carved(f"{VESICA}carve\n knife 65 deg and 55 deg on a\n land at least 1 mm\n deepest 6 mm\n cut inside\n cut a\n").carving
    assert [(Fraction(13, 72), None), (Fraction(11, 72), "a")] == [(one.turns, None if one.thing is None else "a") for one in told.knife]
    assert (1, 6, "inside") == (told.land_mm, told.deepest_mm, told.stand)


# --- which chip is meant ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("inside a and b", "8·π/3 − 2·√3"),
        ("inside a, outside b", "4·π/3 + 2·√3"),
        ("that holds D", "8·π/3 − 2·√3"),
        ("that holds E", "4·π/3 + 2·√3"),
    ],
)
def test_chips_by_circles_and_marks(carved: Any, words: str, expected: str) -> None:
    """A chip is named by circles around it, or by a mark in it; the others are chips without a name."""
    told = carved(f"{VESICA}carve\n cut a\n cut b\n x : chip {words}\n")
    assert expected == area_text(told.exact, area(told.exact, told.chip("x")))
    assert ["", "", "x"] == sorted(chip.name for chip in told.carving.chips)
    assert [1, 2, 3] == [chip.number for chip in told.carving.chips]
    thing = told.settled.plan.index("x")
    assert told.carving.chip(thing) is told.chip("x")


def test_chips_by_corners(carved: Any) -> None:
    """A chip is named by all its corners, a mark on a straight side counting as none."""
    told = carved(f"{TRIANGLE}carve\n cut g\n cut h\n cut k\n cut m\n x : chip with corners O, M, B\n y : chip with corners A, M and B\n")
    assert ["12", "12"] == [area_text(told.exact, area(told.exact, told.chip(name))) for name in "xy"]
    whole = carved(f"{TRIANGLE}carve\n cut g\n cut h\n cut k\n x : chip with corners O, A, B\n")
    assert "24" == area_text(whole.exact, area(whole.exact, whole.chip("x")))


def test_left_chips(carved: Any) -> None:
    """`leave` takes a region from the chips and keeps it among those left."""
    told = carved(f"{VESICA}carve\n cut a\n cut b\n leave the chip that holds D\n").carving
    assert (2, 1) == (len(told.chips), len(told.left))
    assert 0 == told.left[0].number


# --- mistakes ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        ("cut A", ["C401"]),
        ("cut a from P to D\n cut s", ["C402"]),
        ("cut a from P to s", ["C402"]),
        ("cut k", ["C403"]),
        ("cut f inside a", ["C404"]),
        ("cut a inside a", ["C404"]),
        ("cut a inside s", ["C405"]),
        ("cut a from P to P", ["C406"]),
        ("cut s from P to Q, the long way", ["C406"]),
        ("cut a\n cut a inside b", ["C410"]),
        ("cut s\n cut s", ["C410"]),
        ("cut s", ["C411"]),
        ("cut a inside b", ["C411"]),
        ("cut a\n x : chip inside f", ["C420"]),
        ("cut a\n x : chip that holds F", ["C420"]),
        ("cut a\n x : chip inside a, outside d", ["C420"]),
        ("cut a\n cut b\n x : chip inside a", ["C421"]),
        ("cut a\n x : chip that holds B", ["C422"]),
        ("cut a\n x : chip inside a\n y : chip that holds D", ["C423"]),
        ("cut a\n x : chip inside a\n leave the chip that holds D", ["C424"]),
        ("cut a\n leave the chip that holds D\n x : chip inside a", ["C424"]),
        ("cut a\n x : chip inside s", ["C425"]),
        ("cut a\n x : chip that holds s", ["C425"]),
        ("cut a\n knife 95 deg", ["C430"]),
        ("cut a\n knife 65 deg\n knife 60 deg", ["C431"]),
        ("cut a\n cut inside\n cut outside", ["C431"]),
        ("cut a\n land at least 1 mm\n land at least 2 mm", ["C431"]),
        ("cut A\n cut k\n cut f inside a", ["C401", "C403", "C404"]),
    ],
)
def test_mistakes(carved: Any, lines: str, expected: list[str]) -> None:
    """Each mistake becomes a diagnostic with its line, all of one stage together."""
    assert expected == codes(carved, f"{VESICA}carve\n {lines}\n")


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        ("cut w from A to B", ["C406"]),
        ("cut g\n cut h\n cut k\n x : chip with corners O, A, N", ["C420"]),
        ("cut g\n cut h\n cut k\n cut m\n x : chip with corners O, A, B", ["C420"]),
        ("cut g\n cut h\n cut k\n x : chip with corners O, B", ["C420"]),
        ("cut g\n cut h\n cut k\n x : chip that holds M", ["C422"]),
        ("cut g from O to M\n cut h\n cut k", ["C411", "C411", "C411"]),
        ("cut m from B to A", ["C402"]),
    ],
)
def test_mistakes_with_straight_sides(carved: Any, lines: str, expected: list[str]) -> None:
    """Half a turn without a side, corners that are none, marks on an edge, a gap in the outline."""
    assert expected == codes(carved, f"{TRIANGLE}carve\n {lines}\n")


def test_the_edge_is_no_cut(carved: Any) -> None:
    """The edge of a plate bounds the wood already; a circle on it is told so."""
    text = """recipe Edge
plate round, 100 mm across
step Lines
  g : line by centre finder, along the grain
carve
  cut edge
"""
    assert ["C401"] == codes(carved, text)


def test_a_cut_beyond_where_a_line_ends(carved: Any) -> None:
    """A line from mark to mark can not be cut beyond them."""
    text = TRIANGLE.replace("h : line from O to B", "h : line from M to O")
    assert ["C407"] == codes(carved, f"{text}carve\n cut h from O to A\n")


def test_curves_are_cut_whole(carved: Any) -> None:
    """A french curve is cut from end to end; a part of it is refused."""
    text = """recipe Curve
paper
given O at (0, 0) mm, A at (50, 0) mm, B at (25, 30) mm, C at (25, -30) mm
step Curve
  g : line from O to A
  e : curve by french curve from O to A, leaving toward B, arriving toward C
  c : circle about B, through O
carve
"""
    told = carved(f"{text}  cut e\n  cut g\n  x : chip with corners O, A\n")
    assert 100 < area_enclosure(told.exact, area(told.exact, told.chip("x")), 3)[0]
    assert ["C408"] == codes(carved, f"{text}  cut e inside c\n  cut g\n")
    assert ["C408"] == codes(carved, f"{text}  cut e from O to B\n  cut g\n")
    assert carved(f"{text}  cut e from A to O\n  cut g\n").carving.chips


def test_messages_are_in_bench_words(carved: Any) -> None:
    """A mark beside the line is told with its distance, and the line that an overlap lies on is named."""
    with pytest.raises(Mistakes, match=r"`D` is not on `a`: it lies 1 mm from it"):
        carved(f"{VESICA}carve\n cut a from P to D\n")
    with pytest.raises(Mistakes, match=r"lies on one already made, by `cut a` in line 13"):
        carved(f"{VESICA}carve\n cut a\n cut a inside b\n")
