"""Where a mistake in the cuts lies: its spots on the wood, cuts that leave the wood, sides of lines, grooves by circles."""

from __future__ import annotations

import math
import re
from typing import Any

import pytest

from construct.chips.measures import area, area_text
from construct.chips.subdivision import carve_so_far
from construct.diagnostics import MOST_SPOTS, Diagnostic, Mistakes, show

SQUARE = """recipe Square
paper
given A at (0, 0) mm, B at (60, 0) mm, D at (60, 40) mm, E at (0, 40) mm, M at (30, 20) mm, N at (60, 39) mm, F at (90, 0) mm
step Sides
  a : line from A to B
  b : line from B to D
  n : line from B to N
  d : line from D to E
  e : line from E to A
  x : line from A to D
  y : line from A to M
  f : line from A to F
  c : circle about M, 15 mm by ruler
carve
"""

PLATE = """recipe Plate
plate round, 100 mm across
step Middle
  g : line by centre finder, along the grain
  h : line by centre finder, across the grain
  C : mark where g meets h
  ring : circle about C, 40 mm by ruler
  S, N : marks where g meets ring
  W, E : marks where h meets ring
  t : circle about N, 12 mm by ruler
  P, Q : marks where t meets ring
  near : circle about N, 10 mm by ruler
carve
"""


FRAMED = SQUARE.replace("carve", "  w : circle about M, 40 mm by ruler\ncarve") + "  cut a\n  cut b\n  cut d\n  cut e\n"


def wrong(carved: Any, text: str) -> tuple[Diagnostic, ...]:
    with pytest.raises(Mistakes) as caught:
        carved(text)
    return caught.value.diagnostics


def places(one: Diagnostic) -> list[tuple[float, float]]:
    return [(spot.x_mm, spot.y_mm) for spot in one.spots]


# --- spots --------------------------------------------------------------------------------------


def test_a_gap_is_shown_at_the_loose_ends(carved: Any) -> None:
    """A side that ends 1 mm short of the corner: each loose end is a spot, with the cut it misses and by how much."""
    found = {one.text.strip(): one for one in wrong(carved, f"{SQUARE}  cut a\n  cut n\n  cut d\n  cut e\n")}
    assert {"cut a", "cut n", "cut d", "cut e"} == set(found)
    assert {"C411"} == {one.code for one in found.values()}
    assert [(60.0, 39.0)] == places(found["cut n"])
    assert "here the cut ends, 1 mm from `d`" in found["cut n"].spots[0].says
    assert [(60.0, 40.0)] == places(found["cut d"])
    # a side that hangs together at both ends is shown by its middle
    assert [(30.0, 0.0)] == places(found["cut a"])


@pytest.mark.parametrize(
    ("lines", "place"),
    [
        ("cut a\n cut f", (30, 0)),
        ("cut f\n cut a", (30, 0)),
        ("cut x\n cut y", (15, 10)),
        ("cut c\n cut c", None),
        ("cut c\n cut c inside q", (30, 5)),
    ],
)
def test_an_overlap_is_shown_on_what_is_shared(carved: Any, lines: str, place: tuple[float, float] | None) -> None:
    """The spot of two cuts on each other lies on both: the middle of what they share, however it is cut."""
    text = SQUARE.replace("carve\n", "  q : circle about A, 25 mm by ruler\ncarve\n")
    (one,) = wrong(carved, f"{text} {lines}\n")
    assert "C410" == one.code
    ((x, y),) = places(one)
    if place is None or "q" in lines:
        assert 15 == pytest.approx(math.hypot(x - 30, y - 20), abs=0.1)
    else:
        assert place == pytest.approx((x, y), abs=1.5)
    if "q" in lines:  # and in the circle that it was cut by
        assert math.hypot(x, y) < 25.1


def test_a_name_for_two_is_shown_in_both(carved: Any) -> None:
    """Both chips that a name fits get a spot inside: one on each side of the diagonal."""
    (one,) = wrong(carved, f"{FRAMED}  cut x\n  k : chip inside w\n")
    assert "C421" == one.code
    assert "2 chips lie inside `w`" == one.message
    sides = {math.copysign(1, 60 * y - 40 * x) for x, y in places(one)}
    assert {-1.0, 1.0} == sides
    assert all(0 < x < 60 and 0 < y < 40 for x, y in places(one))


def test_a_spot_lies_in_a_ring_not_in_its_hole(carved: Any) -> None:
    """A region with a hole is shown in itself: beside the circle that is cut out of it."""
    (one,) = wrong(carved, f"{FRAMED}  cut c\n  k : chip inside w\n")
    hole, ring = sorted(places(one), key=lambda place: math.dist(place, (30, 20)))
    assert math.dist(hole, (30, 20)) < 15 < math.dist(ring, (30, 20))


def test_a_name_for_none_is_shown_at_its_marks(carved: Any) -> None:
    """Where no chip has the corners, the marks named are the places to look at."""
    (one,) = wrong(carved, f"{SQUARE}  cut c\n  k : chip with corners A, B\n")
    assert ("C420", [(0.0, 0.0), (60.0, 0.0)]) == (one.code, places(one))
    (one,) = wrong(carved, f"{SQUARE}  cut c\n  k : chip that holds A\n")
    assert ("C420", [(0.0, 0.0)]) == (one.code, places(one))
    assert "at about (0, 0) mm: this mark was looked at" == one.spots[0].says


def test_turns_of_a_round_are_one_mistake(carved: Any) -> None:
    """The same mistake in every turn of a round is told once, with a spot for each turn."""
    text = SQUARE + "  cut a\n  cut b\n  cut d\n  cut e\n  cut x\n  around B, D, E as p\n    k.p : chip that holds p\n  end\n"
    (one,) = wrong(carved, text)
    assert [(60.0, 0.0), (60.0, 40.0), (0.0, 40.0)] == places(one)
    assert one.message.endswith("; the same in 2 more turns of its round")
    assert one.text.strip() == "k.p : chip that holds p"


def test_places_are_told_from_the_middle(carved: Any) -> None:
    """On wood a place is said by right, left, above and below; a long list is cut short."""
    (one,) = wrong(carved, f"{PLATE}  cut ring\n  k : chip that holds E\n")
    assert "about 40 mm to the right of the middle: the mark lies on a cut" == one.spots[0].says
    (one,) = wrong(carved, f"{PLATE}  cut ring\n  k : chip with corners C\n")
    assert "in the middle: this mark was looked at" == one.spots[0].says
    (one,) = wrong(carved, f"{PLATE}  cut ring\n  k : chip that holds S\n")
    assert "about 40 mm below the middle: the mark lies on a cut" == one.spots[0].says
    many = Diagnostic("C411", "so", span=one.span, spots=one.spots * 9)
    assert MOST_SPOTS + 1 == len(re.findall(r"^   \S", show(many), re.M))
    assert show(many).endswith(f"… and {len(many.spots) - MOST_SPOTS} more such places")


def test_what_stands_can_still_be_drawn(carved: Any) -> None:
    """With mistakes in it a carving keeps its cuts, and the regions that were found, for the picture."""
    from construct import claims, tools
    from construct.language.parser import parse
    from construct.number_systems.exact import ExactSystem
    from construct.plan.planner import make_plan
    from construct.replay import settle

    exact = ExactSystem()
    for lines, cuts, regions in (("cut a\n cut c\n k : chip that holds A", 2, 1), ("cut c\n cut a from A to M", 1, 0), ("cut c", 1, 1)):
        settled = settle(make_plan(parse(f"{SQUARE} {lines}\n", actions=tools.phrases(), claims=claims.phrases())), exact)
        so_far = carve_so_far(settled, exact)
        assert so_far is not None
        # an idle cut stops the names, not the regions
        assert (cuts, regions) == (len(so_far.pieces), len(so_far.chips))


# --- off the wood -------------------------------------------------------------------------------


OFF = ("cut t", "cut t outside ring", "cut t from P to Q, the long way", "groove t", "groove t outside ring, 1 mm wide")


@pytest.mark.parametrize("lines", OFF)
def test_a_cut_off_the_wood(carved: Any, lines: str) -> None:
    """A circle of 12 mm about a mark 10 mm inside the edge leaves the wood, and is shown where."""
    (one,) = wrong(carved, f"{PLATE}  cut ring\n  {lines}\n")
    assert "C413" == one.code
    ((x, y),) = places(one)
    assert math.hypot(x, y) > 50


@pytest.mark.parametrize("lines", ["cut t inside ring", "cut near", "cut near outside ring", "groove near"])
def test_a_cut_that_just_stays_on_the_wood(carved: Any, lines: str) -> None:
    """What lies on the wood, the edge touched included, is cut: 10 mm about a mark 10 mm inside the edge."""
    assert carved(f"{PLATE}  cut ring\n  {lines}\n").carving.chips


@pytest.mark.parametrize(("radius", "leaves"), [("20 mm", False), ("20.1 mm", True)])
def test_a_board_ends_too(carved: Any, radius: str, leaves: bool) -> None:
    """On a board 100 by 40 mm a circle about the middle may have 20 mm, and no more."""
    text = f"""recipe Board
board 100 mm by 40 mm
step S
  d : line from SW to NE
  e : line from SE to NW
  C : mark where d meets e
  c : circle about C, {radius} by ruler
carve
  cut c
"""
    if not leaves:
        assert ["400·π"] == [area_text(told.exact, area(told.exact, told.carving.chips[0])) for told in [carved(text)]]
        return
    (one,) = wrong(carved, text)
    assert "C413" == one.code


def test_an_oval_plate_ends_too(carved: Any) -> None:
    """On a plate 0.8 mm oval a circle that would just touch a round one of the longer diameter leaves the wood."""
    text = PLATE.replace("step Middle", "bench oval 0.8 mm across the grain\nstep Middle", 1)
    (one,) = wrong(carved, text.replace("near : circle about N, 10 mm", "near : circle about N, 13 mm") + "  cut near\n")
    assert "C413" == one.code
    assert carved(text.replace("near : circle about N, 10 mm", "near : circle about N, 8 mm") + "  cut near\n").carving.chips


# --- sides and grooves --------------------------------------------------------------------------

HALVED = f"{PLATE}  cut ring\n  cut g from S to N\n  cut h from W to E\n"


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("inside ring, on the E side of g", None),
        ("with corners C, N, E", "400·π"),
        ("with corners C, N, E, on the E side of g", "400·π"),
        ("with corners C, N, E, on the E side of S N", "400·π"),
        ("with corners C, N, E, on the W side of g", "none"),
    ],
)
def test_the_side_of_a_line(carved: Any, words: str, expected: str | None) -> None:
    """A chip is kept where all of it lies on the mark's side: two quarters are on the right, and one has these corners."""
    text = f"{HALVED}  k : chip {words}\n"
    if expected is None:
        (one,) = wrong(carved, text)
        assert ("C421", "2 chips lie inside `ring`, on the `E` side of `g`") == (one.code, one.message)
    elif expected == "none":
        (one,) = wrong(carved, text)
        assert ("C420", "no chip has the corners `C`, `N`, `E`, on the `W` side of `g`") == (one.code, one.message)
    else:
        told = carved(text)
        assert expected == area_text(told.exact, area(told.exact, told.chip("k")))


@pytest.mark.parametrize(("mark", "sign"), [("E", 1), ("W", -1)])
def test_halves_of_a_lens(carved: Any, mark: str, sign: int) -> None:
    """Two halves with the same two corners are told apart by their side: each is r²(π/3 − √3/4), and lies where it is said."""
    told = carved(f"""recipe Lens
paper
given A at (-30, 0) mm, B at (30, 0) mm, W at (-1, 0) mm, E at (1, 0) mm
step S
  a : circle about A, through B
  b : circle about B, through A
  P, Q : marks where a meets b
  m : line from P to Q
carve
  cut a inside b
  cut b inside a
  cut m
  k : chip with corners P, Q, on the {mark} side of m
""")
    chip = told.chip("k")
    assert "1200·π − 900·√3" == area_text(told.exact, area(told.exact, chip))
    (arc,) = [edge for edge in chip.outline if edge.circle is not None]
    # the right half is bounded by the circle about the left mark
    assert -30 * sign == told.exact.to_float(arc.circle.centre.x)


@pytest.mark.parametrize(
    ("words", "message"),
    [
        ("on the C side of g", "the mark `C` lies on `g`: it tells no side"),
        ("on the E side of ring", "`ring` is no line: it has no sides"),
        ("on the E side of N N", "the marks `N` `N` are one: no line runs through them"),
    ],
)
def test_what_is_no_side(carved: Any, words: str, message: str) -> None:
    """A mark on the line, a circle, a mark twice: none of them has sides."""
    (one,) = wrong(carved, f"{HALVED}  k : chip with corners C, N, E, {words}\n")
    assert ("C425", message) == (one.code, one.message)


def test_a_chip_that_the_line_runs_through_is_on_no_side(carved: Any) -> None:
    """An arc that reaches across between its ends counts: a segment that bulges over a line is on neither side of it."""
    text = """recipe Bulge
paper
given O at (0, 0) mm, A at (-6, 8) mm, B at (6, 8) mm, U at (0, 50) mm, V at (0, -50) mm, K at (-30, 9) mm, L at (30, 9) mm
step S
  c : circle about O, through A
  s : line from A to B
  k : line from K to L
carve
  cut c from A to B
  cut s
  x : chip with corners A, B, on the V side of k
"""
    (one,) = wrong(carved, text)
    assert "C420" == one.code
    # at a height of 10 mm the line only touches the arc
    assert carved(text.replace("(-30, 9)", "(-30, 10)").replace("(30, 9)", "(30, 10)")).chip("x")


def test_grooves_by_circles(carved: Any) -> None:
    """A groove takes `inside` and `outside` as a cut does, with a width or without one."""
    told = carved(f"{PLATE}  cut ring\n  groove g inside ring, 1.5 mm wide\n  groove near outside ring\n")
    first, second = told.carving.grooves
    assert 1.5 == float(first.width_mm)
    assert second.width_mm is None
    ends = sorted(told.exact.to_float(end.y) for end in (first.piece.start, first.piece.finish))
    assert [-40, 40] == ends
