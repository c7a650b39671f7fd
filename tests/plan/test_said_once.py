"""Laws of mistakes told well: once each, at their own place, and with what would help."""

from __future__ import annotations

import pytest

from construct.diagnostics import Diagnostic, Mistakes, Span, once_each
from construct.study import study

HEAD = """recipe H
plate round, 240 mm across
bench ordinary
g : line by centre finder, along the grain
h : line by centre finder, across the grain
C : mark where g meets h
rim : circle about C, 12 mm inside the edge
B, T : marks where g meets rim
"""


def _wrong(text: str) -> tuple[Diagnostic, ...]:
    with pytest.raises(Mistakes) as caught:
        study(HEAD + text)
    return caught.value.diagnostics


def test_a_mistake_in_a_round_is_said_once() -> None:
    """A name that is missing in each turn is one mistake, and says how often."""
    (one,) = _wrong("around B, T, C as p\n  k.p : line through p and zz\nend\n")
    assert ("P103", 10) == (one.code, one.span.line if one.span else 0)
    assert "no mark called `zz` has been made; the same in 2 more turns or uses" == one.message


def test_two_mistakes_in_one_turn_stay_two() -> None:
    """Only what has the same place and kind is taken together, and what has no place never is."""
    here, there = Span(3, 1), Span(3, 9)
    found = [Diagnostic("P103", "a", span=here), Diagnostic("P103", "b", span=there), Diagnostic("P104", "c", span=here)]
    assert tuple(found) == once_each(found)
    placeless = [Diagnostic("P100", "a"), Diagnostic("P100", "b")]
    assert tuple(placeless) == once_each(placeless)


@pytest.mark.parametrize(
    ("claim", "under"),
    [
        ("claim C is on g within 2", "within 2"),
        ("claim C is on g within 2 deg", "within 2 deg"),
        ("  claim C is on g within 3 %", "within 3 %"),
    ],
)
def test_a_wrong_within_is_shown_at_its_place(claim: str, under: str) -> None:
    """P118 underlines `within` and what follows, not the whole claim."""
    (one,) = _wrong(claim)
    assert one.code == "P118" and one.span is not None
    assert under == claim[one.span.column - 1 : one.span.column - 1 + one.span.width]


def test_an_opening_over_half_stays_on_the_wood() -> None:
    """Two arcs about the ends of a diameter, opened as the program draws "over half" of it, meet on the plate."""
    text = "r : opening, anything over half of B T\nu : arc about B, opening r\nv : arc about T, opening r\nX, Y : marks where u meets v\n"
    whole = study(HEAD + text + "claim X is on h\n")
    X = whole.drawn[whole.plan.index("X")]
    # B and T are 108 mm from the middle; opened to 7/5 of that the arcs meet √(1.4² − 1)·108 mm = 105.8 mm from it
    assert pytest.approx(108 * (1.4**2 - 1) ** 0.5) == abs(X.x)


def test_a_mark_off_the_wood_names_the_opening_that_nobody_said() -> None:
    """Where a drawn opening was the program's own choice, the hint says which line may say another."""
    text = "r : opening, anything over B T\nu : arc about B, opening r\nv : arc about T, opening r\nX, Y : marks where u meets v\n"
    (one,) = _wrong(text)
    assert ("R213", 12) == (one.code, one.span.line if one.span else 0)
    assert "line 9 does not say how far `r` is opened, and 233 mm was tried" in one.hint
    (other,) = _wrong("u : circle about B, 250 mm by ruler\nv : circle about T, 250 mm by ruler\nX, Y : marks where u meets v\n")
    assert "R213" == other.code and "smaller" in other.hint


@pytest.mark.parametrize(("line", "hint"), [
    ("P : intersection of g and h", "`mark where g meets h`"),
    ("P : midpoint of B and T", "`mark halfway from A to B, by ruler`"),
    ("P : centre of rim", "the mark that its needle stood in"),
])  # fmt: skip
def test_a_method_by_a_word_of_habit_is_answered(line: str, hint: str) -> None:
    """Who asks for a method that the language has as a phrase is told the phrase."""
    (one,) = _wrong(line)
    assert "P120" == one.code and hint in one.hint


def test_half_a_circle_to_cut_names_its_ends() -> None:
    """The hint writes the two cut lines out, with the marks' own names."""
    (one,) = _wrong("carve\ncut rim from B to T\n")
    assert "C406" == one.code
    assert "`cut rim from B to M`" in one.hint and "`cut rim from M to T`" in one.hint


def test_an_unknown_wood_is_minded() -> None:
    """A wood without figures of movement stands, with a warning that names those that have some."""
    known = study("recipe H\nplate round, 240 mm across, Basswood\ng : line by centre finder, along the grain\n")
    unknown = study("recipe H\nplate round, 240 mm across, zebrawood\ng : line by centre finder, along the grain\n")
    assert () == known.plan.warnings
    (one,) = unknown.plan.warnings
    assert one.warning and "P148" == one.code and "zebrawood" in one.message and "basswood" in one.hint
