"""Attack: lines that a carver reads in one way and the program in another."""

from __future__ import annotations

import pytest

FOUR = "A, B, D, E at (0, 0), (100, 0), (150, 30), (0, 50)"


def test_same_opening_after_a_named_one_is_that_one(on_paper) -> None:
    """`arc about A, opening r` and then `same opening`: r, although s was set later (the language, section 4)."""
    lines = "r : opening, from A to B\ns : opening, from A to E\nu : arc about A, opening r\nv : arc about B, same opening\n"
    found = on_paper(FOUR, lines + "P : mark where u meets v, nearest D\nclaim A P equals P B\nclaim A P equals A B")
    assert ([], ["proved", "proved"]) == (found.codes, found.verdicts)


@pytest.mark.parametrize("within", ["0.2", "-5", "(1 - 2)", "1/2"])
def test_within_a_bare_number_is_not_read_as_a_share(on_paper, within: str) -> None:
    """`within 0.2` was read as 20 %, and `within -5` as 500 %: a unit must be said."""
    assert ["P118"] == on_paper(FOUR, f"claim A B is 99 mm within {within}").codes


@pytest.mark.parametrize(("within", "verdict"), [("1 mm", "within"), ("0.99 mm", "refuted"), ("1/99 mm", "refuted"), ("2 %", "within"), ("1 %", "refuted")])
def test_within_with_its_unit(on_paper, within: str, verdict: str) -> None:
    """100 mm against 99 mm: 1 mm off, equality included; 1/99 is a little over 1 %."""
    assert [verdict] == on_paper(FOUR, f"claim A B is 99 mm within {within}").verdicts


CROSSING = "c : circle about A, 40 mm by ruler\ng : line through A and B\n"


@pytest.mark.parametrize("picks", ["on the B side of A E, away from B", "away from B, on the B side of A E"])
def test_picks_must_all_hold_in_either_order(on_paper, picks: str) -> None:
    """The crossing on B's side is not the one away from B; in one of the two orders it was taken."""
    assert ["R204"] == on_paper(FOUR, CROSSING + f"M : mark where g meets c, {picks}").codes


@pytest.mark.parametrize("picks", ["other than P, on the B side of A E", "on the B side of A E, other than P", "other than P, other than P"])
def test_a_pick_said_twice_over_is_no_mistake(on_paper, picks: str) -> None:
    """Another pick has ruled P out already: it is still one of the crossings."""
    lines = CROSSING + f"P, Q : marks where g meets c\nM : mark where g meets c, {picks}\nclaim M is Q"
    assert ["proved"] == on_paper(FOUR, lines).verdicts


def test_ticks_are_not_all_on_the_line_they_are_laid_along(on_plate) -> None:
    """The left tick lies beside g; its circle is measured in along the first line drawn through it, which is k, level: 85 mm."""
    lines = "z : circle by template about C, 20 mm across\nq1 to q4 : marks at the ticks of z, along g\nk : line through C and q2\n"
    found = on_plate(lines + "c : circle about q2, 5 mm inside the edge")
    assert 85.0 == found.number(found["c"].radius)


def test_the_line_an_angle_is_seen_from_does_not_hold_the_mark(on_plate) -> None:
    """V lies 90 deg round from g, on h's own place: no line is drawn through it yet."""
    lines = "c : circle about C, 50 mm by ruler\nV : mark anywhere on c, say 90 deg to g\nrim : circle about V, 5 mm inside the edge"
    assert ["P113"] == on_plate(lines).codes
