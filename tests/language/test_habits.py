"""Laws of complaints about words of habit: whoever writes what others would say is told what this language says."""

from __future__ import annotations

import pytest

from construct.claims import phrases as claims
from construct.diagnostics import Mistakes
from construct.language.parser import parse
from construct.tools import phrases as actions

HEAD = """recipe H
plate round, 240 mm across
g : line by centre finder, along the grain
h : line by centre finder, across the grain
C : mark where g meets h
B, T : marks where g meets edge
"""


def _wrong(line: str) -> tuple[str, str, str]:
    """Return code, underlined text and hint of what is wrong with one line after the head."""
    with pytest.raises(Mistakes) as caught:
        parse(HEAD + line, actions=actions(), claims=claims())
    (one,) = caught.value.diagnostics
    assert one.span is not None and one.span.line == 7
    return one.code, line[one.span.column - 1 : one.span.column - 1 + one.span.width], one.hint


@pytest.mark.parametrize(
    ("line", "under", "hint"),
    [
        ("u : circle about C, opening 60 mm by ruler", "60 mm", "`circle about C, 60 mm by ruler`"),
        ("u : circle about C, opening 60 mm", "60 mm", "`circle about C, 60 mm by ruler`"),
        ("u : arc about B, opening anything over half of B T", "anything", "`r : opening, anything over half of B T`"),
        ("u : arc about B, anything over half of B T, say 130 mm", "anything", "and below it `arc about B, opening r`"),
        ("u : arc about B, r", "r", "write `arc about B, opening r`"),
        ("D : centre of the board", "centre", "`C : mark where g meets h`"),
        ("D : mark at the center of the plate", "center", "`C : mark where g meets h`"),
        ("k : line perpendicular to g through C", "perpendicular", "`line square to g, through P, by square`"),
        ("k : line through C perpendicular to g", "perpendicular", "`line square to g, through P, by square`"),
        ("claim g is perpendicular to h", "perpendicular", "`claim g is square to h`"),
        ("k : circle about C, radius 60 mm", "radius", "`circle about C, 60 mm by ruler`"),
        ("k : circle about C, diameter 60 mm", "diameter", "`circle by template about C, 20 mm across`"),
        ("k : line tangent to g through B", "tangent", "`line through P, touching c`"),
        ("claim B T is twice B C", "twice", "`A B is 2 of D E`"),
    ],
)
def test_a_habit_is_answered_in_the_languages_own_words(line: str, under: str, hint: str) -> None:
    """The place is the word of habit, and the hint holds what would be right."""
    code, place, said = _wrong(line)
    assert ("T106", under) == (code, place)
    assert hint in said


@pytest.mark.parametrize(
    "line",
    [
        "u : circle about C, 60 mm by ruler",
        "r : opening, anything over half of B T",
        "k : line square to g, through C, by square",
        "k : line square to g at C, by square",
        "claim g is square to h",
        "c : circle by template about C, 20 mm across",
        "claim B T is 2 of B C",
    ],
)
def test_what_the_hints_say_can_be_read(line: str) -> None:
    """The right words that the hints name are right: such lines have no mistake."""
    parse(HEAD + line, actions=actions(), claims=claims())


def test_a_word_of_habit_may_be_a_name() -> None:
    """Who names an opening `radius` is not corrected."""
    parse(HEAD + "radius : opening, from B to C\nk : circle about C, opening radius", actions=actions(), claims=claims())


def test_a_blank_that_can_not_be_read_is_not_missed_as_well() -> None:
    """A mistake in the blank's own line is one mistake, not two."""
    with pytest.raises(Mistakes) as caught:
        parse("recipe H\nplate round, 240 mm across, of lime\n", actions=actions(), claims=claims())
    assert ["T105"] == [one.code for one in caught.value.diagnostics]
