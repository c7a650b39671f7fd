"""Lemoine's count against the definitions of 1888–1902, and against counts made from them by hand.

Definitions: E. Lemoine, Géométrographie (1902), as given in the CRC Concise Encyclopedia of Mathematics: R1, R2,
C1, C2, C3; S their sum, E = R1 + C1 + C2.  The counts below were made by hand from these definitions;
those marked LEMOINE are remembered as his own totals (from memory, not seen in print).
"""

from __future__ import annotations

import pytest

from construct import claims, tools
from construct.language.parser import parse
from construct.methods.lemoine import LemoineCount, NoCount, lemoine
from construct.number_systems.exact import ExactSystem
from construct.plan import Plan
from construct.plan.planner import make_plan
from construct.replay import settle

HEAD = "recipe Trial\npaper\n"
TWO = "given A, B, 60 mm apart\n"
THREE = "given A at (0, 0) mm, B at (60, 0) mm, D at (20, 40) mm\n"
LEMOINE = True

ROWS = {
    "line through two marks": (TWO, "l : line through A and B", (2, 1, 0, 0, 0), LEMOINE),
    "circle, any opening": (TWO, "r : opening, anything, say 30 mm\nc : circle about A, opening r", (0, 0, 1, 0, 1), LEMOINE),
    "circle through a mark": (TWO, "c : circle about A, through B", (0, 0, 2, 0, 1), LEMOINE),
    "circle, radius taken elsewhere": (THREE, "c : circle about A, opening from B to D", (0, 0, 3, 0, 1), LEMOINE),
    "halving square, one opening": (
        TWO,
        "r : opening, anything over half of A B, say 40 mm\na : circle about A, opening r\nb : circle about B, opening r\n"
        "X, Y : marks where a meets b\nm : line through X and Y",
        (2, 1, 2, 0, 2), LEMOINE,
    ),
    "halving square, opening kept from the first circle": (
        TWO,
        "a : circle about A, through B\nb : circle about B, same opening\nX, Y : marks where a meets b\nm : line through X and Y",
        (2, 1, 3, 0, 2), not LEMOINE,
    ),
    "halving a drawn angle": (
        "given A at (0, 0) mm, B at (60, 0) mm, D at (20, 40) mm\n",
        "g : line from A to B\nk : line from A to D\nr : opening, anything, say 20 mm\nc : circle about A, opening r\n"
        "P : mark where c meets g\nQ : mark where c meets k\np : circle about P, opening r\nq : circle about Q, opening r\n"
        "E : mark where p meets q, farthest from A\nm : line through A and E",
        # the two lines are there already: their count, 4R1 + 2R2, is taken off below
        (2, 1, 3, 0, 3), LEMOINE,
    ),
    "square at a mark on a line (Euclid I.11)": (
        "given A at (0, 0) mm, B at (60, 0) mm\n",
        "g : line through A and B\nr : opening, anything, say 20 mm\nc : circle about A, opening r\nP, Q : marks where c meets g\n"
        "s : opening, anything, say 30 mm\np : circle about P, opening s\nq : circle about Q, opening s\n"
        "E, F : marks where p meets q\nm : line through A and E",
        (2, 1, 3, 0, 3), not LEMOINE,
    ),
    "square at a mark, by the half circle": (
        "given A at (0, 0) mm, B at (60, 0) mm\n",
        "g : line through A and B\nO : mark anywhere, say at (20, 30) mm\nc : circle about O, through A\n"
        "P : mark where c meets g, other than A\nd : line through P and O\nQ : mark where d meets c, other than P\nm : line through A and Q",
        (4, 2, 1, 0, 1), LEMOINE,
    ),
    "square from a mark beside a line, two circles from the line": (
        THREE,
        "g : line through A and B\nP : mark anywhere on g, say 10 mm\nQ : mark anywhere on g, say 50 mm\n"
        "p : circle about P, through D\nq : circle about Q, through D\nE : mark where p meets q, other than D\nm : line through D and E",
        (2, 1, 2, 2, 2), not LEMOINE,
    ),
    "parallel through a mark, by a rhombus": (
        THREE,
        "g : line through A and B\nr : opening, anything, say 50 mm\nc : circle about D, opening r\nP : mark where c meets g, nearest B\n"
        "p : circle about P, opening r\nQ : mark where p meets g, farthest from A\nq : circle about Q, opening r\n"
        "E : mark where q meets c, other than P\nm : line through D and E",
        (2, 1, 3, 0, 3), LEMOINE,
    ),
    "middle of the circle through three marks": (
        THREE,
        "r : opening, anything, say 50 mm\na : circle about A, opening r\nb : circle about B, opening r\nd : circle about D, opening r\n"
        "X, Y : marks where a meets b\nV, W : marks where b meets d\nm : line through X and Y\nn : line through V and W\nO : mark where m meets n",
        (4, 2, 3, 0, 3), not LEMOINE,
    ),
    "circle through three marks": (
        THREE,
        "r : opening, anything, say 50 mm\na : circle about A, opening r\nb : circle about B, opening r\nd : circle about D, opening r\n"
        "X, Y : marks where a meets b\nV, W : marks where b meets d\nm : line through X and Y\nn : line through V and W\nO : mark where m meets n\n"
        "c : circle about O, through A",
        (4, 2, 5, 0, 4), not LEMOINE,
    ),
    "middle of a drawn circle": (
        TWO,
        "rim : circle about A, through B\nP : mark anywhere on rim, say 40 deg to the grain\nr : opening, anything, say 50 mm\n"
        "p : circle about P, opening r\nQ, R : marks where p meets rim\nq : circle about Q, opening r\ns : circle about R, opening r\n"
        "E, F : marks where p meets q\nG, H : marks where p meets s\nm : line through E and F\nn : line through G and H\nO : mark where m meets n",
        (4, 2, 2, 1, 3), not LEMOINE,
    ),
}  # fmt: skip
GIVEN_FIRST = {
    "halving a drawn angle": ("g", "k"), "square at a mark on a line (Euclid I.11)": ("g",), "square at a mark, by the half circle": ("g",),
    "square from a mark beside a line, two circles from the line": ("g",), "parallel through a mark, by a rhombus": ("g",),
    "middle of a drawn circle": ("rim",),
}  # fmt: skip
"""What a construction finds drawn already; it is drawn first here, and not counted."""


def laid(given: str, steps: str) -> Plan:
    text = f"{HEAD}{given}step Do it\n" + "".join(f"  {line}\n" for line in steps.splitlines())
    return settle(make_plan(parse(text, actions=tools.phrases(), claims=claims.phrases(), source="trial")), ExactSystem()).plan


def counted(name: str) -> LemoineCount | NoCount:
    given, steps, _, _ = ROWS[name]
    plan = laid(given, steps)
    there = GIVEN_FIRST.get(name, ())
    return lemoine(plan, {step.number for step in plan.steps if plan.things[step.outputs[0]].name not in there})


@pytest.mark.parametrize("name", ROWS)
def test_counts_made_by_hand(name: str) -> None:
    """A recipe's own actions give the symbol that the definitions give by hand; S and E follow, and S − E is what is drawn."""
    l1, l2, m1, m2, m3 = ROWS[name][2]
    found = counted(name)
    assert LemoineCount(l1, l2, m1, m2, m3) == found
    assert (l1 + l2 + m1 + m2 + m3, l1 + m1 + m2) == (found.simplicity, found.exactitude)
    assert l2 + m3 == found.simplicity - found.exactitude


@pytest.mark.parametrize(
    ("name", "simplicity", "exactitude"),
    [("halving square, one opening", 7, 4), ("halving a drawn angle", 9, 5), ("square at a mark, by the half circle", 8, 5),
     ("parallel through a mark, by a rhombus", 9, 5), ("circle through three marks", 15, 9), ("middle of a drawn circle", 12, 7)],
)  # fmt: skip
def test_totals(name: str, simplicity: int, exactitude: int) -> None:
    """The totals as they stand in the table of counts."""
    found = counted(name)
    assert (simplicity, exactitude) == (found.simplicity, found.exactitude)


def test_the_symbol() -> None:
    """Written in Lemoine's order, ones left out, nothing for what is not done."""
    assert "2R₁ + R₂ + 2C₁ + 2C₃" == LemoineCount(2, 1, 2, 0, 2).symbol
    assert "0" == LemoineCount(0, 0, 0, 0, 0).symbol


def test_a_kept_opening_saves_the_setting_and_another_between_costs_it_again() -> None:
    """One compass: set from A to B and swung about A, where the needle stands; set from D to A; then the first setting again, two marks more."""
    kept = laid(THREE, "a : circle about A, through B\nb : circle about B, same opening")
    lost = laid(THREE, "r : opening, from A to B\na : circle about A, opening r\nd : circle about D, through A\nb : circle about B, opening r")
    assert LemoineCount(0, 0, 3, 0, 2) == lemoine(kept)
    assert LemoineCount(0, 0, 2 + 2 + 3, 0, 3) == lemoine(lost)


def test_a_free_opening_is_taken_again_from_a_circle_drawn_with_it() -> None:
    """Needle in that circle's middle, C1, pencil anywhere on it, C2."""
    plan = laid(THREE, "r : opening, anything, say 30 mm\na : circle about A, opening r\nd : circle about D, through A\nb : circle about B, opening r")
    assert LemoineCount(0, 0, 1 + 2 + 2, 1, 3) == lemoine(plan)


@pytest.mark.parametrize(
    ("steps", "tool"),
    [("M : mark halfway from A to B, by ruler", "ruler"), ("M : mark between A and B, by eye", "eye"),
     ("c : circle about A, 40 mm by ruler", "ruler"), ("M : marks dividing A B, by dividers", "dividers")],
)  # fmt: skip
def test_other_tools_have_no_count(steps: str, tool: str) -> None:
    """Lemoine's operations know a plain straightedge and a compass, and nothing else."""
    found = lemoine(laid(TWO, steps))
    assert isinstance(found, NoCount)
    assert tool == found.tool
