"""Attack: marks and contacts that lie beyond where a line or an arc ends (the language, section 5: "Ends").

Nothing meets or touches a thing beyond its ends; whoever writes such a line gets a diagnostic, not a mark in the air.
"""

from __future__ import annotations

import pytest

FOUR = "A, B, D, E at (0, 0), (100, 0), (150, 30), (0, 50)"
QUARTER = "A, B, D, E at (0, 0), (100, 0), (0, 100), (-50, -50)"
ARC = "a : arc about A, from B to D\n"


@pytest.mark.parametrize(
    ("given", "lines", "code"),
    [
        (FOUR, "s : line from A to B\nc : circle about D, touching s", "R212"),
        (QUARTER, ARC + "c : circle about E, touching a", "R212"),
        (QUARTER.replace("(-50, -50)", "(-30, 150)"), ARC + "c : circle about E, touching a, from outside", "R212"),
        (QUARTER.replace("(-50, -50)", "(30, 130)"), ARC + "c : circle about E, touching a, from inside", "R212"),
        (QUARTER.replace("(-50, -50)", "(-150, 50)"), ARC + "l : line through E, touching a, nearest D", "R212"),
        (FOUR, "s : line from A to B\nM : mark anywhere on s, say 150 mm", "R212"),
        (QUARTER, ARC + "M : mark anywhere on a, say 180 deg", "R212"),
        (QUARTER, "c : circle about A, through B\nk : line from A to E\nM : mark 7 mm outside c, along k, nearest E, by ruler", "R202"),
        (QUARTER, ARC + "k : line from A to E\nM : mark 7 mm inside a, along k, nearest E, by ruler", "R202"),
        (QUARTER, ARC + "M, N : marks stepped from B round a, 30 mm by ruler", "R212"),
        (FOUR, "s : line from A to B\nM, N : marks stepped from A along s, toward B, 60 mm by ruler", "R212"),
    ],
)
def test_nothing_is_set_beyond_an_end(on_paper, given: str, lines: str, code: str) -> None:
    """Each of these was laid out in the air beyond the end, without a word."""
    assert [code] == on_paper(given, lines).codes


@pytest.mark.parametrize(
    ("given", "lines"),
    [
        (FOUR, "s : line from A to B\nc : circle about B, 20 mm by ruler\nM : mark anywhere on s, say 100 mm\nclaim M is B"),
        (FOUR, "s : line from A to D\nc : circle about B, touching s\nM : mark where c touches s\nclaim M is on s"),
        (QUARTER, ARC + "M : mark anywhere on a, say 0 deg\nclaim M is D"),
        (QUARTER, ARC + "M, N : marks stepped from B round a, 30 mm by ruler, to the right\nclaim N is on a"),
        (QUARTER.replace("(-50, -50)", "(60, 80)"), ARC + "k : line from A to E\nM : mark 7 mm inside a, along k, by ruler\nclaim A M is 93 mm"),
    ],
)
def test_up_to_the_end_it_is_allowed(on_paper, given: str, lines: str) -> None:
    """The end itself still belongs; and where only one crossing is on what is drawn, no more need be said."""
    found = on_paper(given, lines)
    assert ([], ["proved"]) == (found.codes, found.verdicts)
