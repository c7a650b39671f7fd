"""A claim's miss as a measurand: its size is the claim's gap, and marks drawn alike shift together."""

from __future__ import annotations

import math

import pytest

from construct import claims, tools
from construct.claims._verdict import decide
from construct.geometry import to_floats
from construct.language.parser import parse
from construct.methods.misses import Miss, miss_of
from construct.methods.moves import knows, moves_of
from construct.number_systems.exact import ExactSystem
from construct.number_systems.float import FloatSystem
from construct.plan.planner import make_plan
from construct.replay import Settled, replay, settle

HEAD = """recipe Trial
paper
given A at (0, 0) mm, B at (60, 0) mm, D at (20, 40) mm, E at (31, 2) mm, F at (-3, 45) mm
step Do it
  g : line through A and B
  c : circle about A, through D
  e : arc about A, through D
"""
FALSE = (
    "E is halfway between A and B", "E is D", "E is on g", "E is on c", "E is the centre of c", "A B equals A D", "A B is 1/2 of A D",
    "A B is 61 mm", "A D and A E together equal A B", "A, D, E make a regular figure", "A, B, D, F make a square",
    "D, E, F are evenly spaced round c", "A, E, B are evenly spaced along g",
)  # fmt: skip


def settled(text: str) -> Settled:
    return settle(make_plan(parse(text, actions=tools.phrases(), claims=claims.phrases(), source="trial")), ExactSystem())


def with_miss(text: str) -> tuple[Settled, Miss]:
    found = settled(text)
    miss = miss_of(found.plan, found.plan.claims[0], to_floats(ExactSystem(), found.values))
    assert miss is not None
    return found, miss


@pytest.mark.parametrize("claim", FALSE)
def test_the_longest_part_is_the_gap(claim: str) -> None:
    """What a false claim misses by, worked out exactly, is the size of its miss over floats."""
    text = f"{HEAD}  claim {claim}\n"
    exact = ExactSystem()
    found = settle(make_plan(parse(text, actions=tools.phrases(), claims=claims.phrases(), source="trial")), exact)
    (verdict,) = decide(found, exact)
    assert "refuted" == verdict.verdict
    assert verdict.finding is not None
    miss = miss_of(found.plan, found.plan.claims[0], to_floats(exact, found.values))
    assert miss is not None
    numbers = FloatSystem()
    parts = miss.parts(numbers, replay(found.plan, numbers))
    assert len(miss.names) == len(miss.sizes) == len(parts)
    assert miss.sizes == tuple(len(part) for part in parts)
    assert abs(verdict.finding.value) == pytest.approx(max(math.hypot(*part) for part in parts), rel=1e-9)


@pytest.mark.parametrize("claim", ["g is square to g2", "A is inside c", "A, B, D are in line", "g is g2"])
def test_claims_that_miss_by_no_length_have_none(claim: str) -> None:
    """Angles, places and lines have no miss in mm here."""
    found = settled(f"{HEAD}  g2 : line through A and D\n  claim {claim}\n")
    assert miss_of(found.plan, found.plan.claims[0], to_floats(ExactSystem(), found.values)) is None


def test_every_phrase_of_every_tool_has_a_price() -> None:
    """No action is free by being forgotten."""
    assert [] == [phrase.text for phrase in tools.phrases() if not knows(phrase.make)]


@pytest.mark.parametrize(("steps", "price"), [
    ("l : line through A and D", {"straightedge": (2, 0, 1)}),
    ("k : circle about B, through D", {"compass": (1, 1, 1)}),
    ("r : opening, from A to D\n  k : circle about B, opening r\n  m : circle about D, opening r", {"compass": (2, 1, 2)}),
    ("M : mark halfway from A to B, by ruler", {"ruler": (1, 0, 1)}),
    ("M : mark where c meets g, nearest B", {}),
    ("m1, m2 : marks dividing A B, by dividers", {"dividers": (6, 2, 0)}),
])  # fmt: skip
def test_moves_counted_by_hand(steps: str, price: dict[str, tuple[int, int, int]]) -> None:
    """Counted on the fingers from what one placing, one setting and one stroke are said to be (common practice, no source)."""
    plan = settled(f"{HEAD}  {steps}\n").plan
    had = len(settled(HEAD).plan.steps)
    assert price == {one.tool: (one.placings, one.settings, one.strokes) for one in moves_of(plan.steps[had:])}
