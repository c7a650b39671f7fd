"""Attack: two free choices whose letters have one name, so that what holds only when both are equal seems to hold always."""

from __future__ import annotations

import pytest

from construct.study import study

PLACE = """recipe Two choices
paper
given A, B, D at (0, 0), (0, 50), (50, 0) mm
P : mark anywhere, say at (10, 20) mm
P.x : opening, anything, say {} mm
g : line through A and D
u : circle about A, opening P.x
Q : mark where g meets u, nearest D
k : line square to g, through P, by square
claim Q is on k
"""
PLATE = """recipe An opening called plate
plate round, anything across, say 100 mm
g : line by centre finder, along the grain
h : line by centre finder, across the grain
C : mark where g meets h
plate : opening, anything, say {} mm
u : circle about C, opening plate
rim : circle about C, 0 mm inside the edge
claim u is rim
"""


@pytest.mark.parametrize(("text", "equal"), [(PLACE, 10), (PLATE, 50)])
def test_equal_by_luck_is_not_equal_for_every_choice(text: str, equal: int) -> None:
    """The opening is free, and so is the place or the plate: equal as drawn, but another opening breaks the claim."""
    (verdict,) = study(text.format(equal), others=False).verdicts
    assert "every" != verdict.scope
    (other,) = study(text.format(equal + 1), others=False).verdicts
    assert "refuted" == other.verdict
