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


def test_a_part_of_an_angle_beside_a_free_choice() -> None:
    """A ratio of angles is asked over letters too: that was a crash.

    The angle at the centre is twice that at the rim (Elements III.20), but on the shorter arc the one at
    the rim is the rest of two right angles (III.22): another choice of P breaks the claim.
    """
    text = (
        "recipe Inscribed\npaper\ngiven O, A, B at (0, 0), (50, 0), (0, 50) mm\nc : circle about O, through A\n"
        "P : mark anywhere on c, say 225 deg\nclaim angle A P B is 1/2 of angle A O B\n"
    )
    (verdict,) = study(text, others=False).verdicts
    assert ("refuted", "true only for the choice drawn") == (verdict.verdict, verdict.reason)
