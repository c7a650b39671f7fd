"""Laws of the lesson's sentences: every phrase has one, nothing that fills it is left out, and lengths are what the ruler can read."""

from __future__ import annotations

import string
from fractions import Fraction

import pytest

from construct import claims, tools
from construct.language.phrases import slots
from construct.language.syntax import Phrase
from construct.phrasebook import sentences
from construct.reports import _lesson_words as lesson_words
from construct.study import Study, study

DO, CHECK = "lesson.do.", "lesson.check."
PLATE = """recipe Settings
plate round, 240 mm across
bench ordinary, ruler graduated 0.5 mm
step S
  g : line by centre finder, along the grain
  h : line by centre finder, across the grain
  C : mark where g meets h
  rim : circle about C, 25.4 mm by ruler
  B, T : marks where g meets rim
  L, R : marks where h meets rim
  a : arc about B, opening from B to L
  A1, A2 : marks where a meets rim
  b : arc about T, same opening
  D, E : marks where a meets b
  w : length from B to L, by ruler
  M : mark 1/3 of w from B toward L, by ruler
  N : mark halfway from C to T, by ruler
  reach : opening, anything over half of B T, say 30 mm
"""


def _filled(sentence: object) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(str(sentence)) if name}


@pytest.mark.parametrize("phrase", tools.phrases(), ids=lambda phrase: phrase.text)
def test_every_tool_phrase_says_what_the_hand_does(phrase: Phrase):
    """A tool's phrase has a sentence that names all that it starts from, and what comes of it."""
    sentence = sentences("en")[f"{DO}{phrase.text}"]
    kept = {"setting": "with_", "picks": "which"}
    wanted = {kept.get(slot.reads, slot.name) for slot in slots(phrase) if slot.reads not in ("say", "bound")}
    assert wanted | {"made"} == _filled(sentence)


@pytest.mark.parametrize("phrase", claims.phrases(), ids=lambda phrase: phrase.text)
def test_every_claim_says_how_it_is_checked(phrase: Phrase):
    """A claim's phrase has a sentence for the bench that names all that it speaks of."""
    assert {slot.name for slot in slots(phrase)} == _filled(sentences("en")[f"{CHECK}{phrase.text}"])


@pytest.fixture(scope="module")
def settings() -> Study:
    """A layout with every kind of setting."""
    return study(PLATE)


def _of(found: Study, name: str, units: str) -> tuple[str, str]:
    step = next(one for one in found.plan.steps if one.key == name)
    return lesson_words.hand(found, step, units), lesson_words.setting(found, step, units)


def test_an_inch_is_an_inch(settings: Study):
    """25.4 mm is 1 in exactly (the international inch, 1959): so it is said without "about" in either unit."""
    assert "compass 1 in." == _of(settings, "rim", "in")[1]
    assert "on the ruler" in _of(settings, "rim", "in")[0]
    assert "1 in" in _of(settings, "rim", "in")[0]


def test_a_length_between_graduations_is_said_to_be_about(settings: Study):
    """√2·25.4 mm is 35.921 mm (√2 = 1.41421…, any table): 36 mm on a 0.5 mm ruler, and 1 13/32 in on one in thirty-seconds."""
    said = "compass from `B` to `L`: about 36 mm on a 0.5 mm ruler. Set it from the marks; the ruler only checks."
    assert said == _of(settings, "a", "mm")[1]
    assert "about 1 13/32 in on a 1/32 in ruler" in _of(settings, "a", "in")[1]


def test_what_lies_half_way_between_graduations_is_said(settings: Study):
    """Half of the reading 25.5 mm (25.4 mm to the nearest half millimetre) is 12.75 mm, which the eye sets between two graduations."""
    assert "12.75 mm from `C`." == _of(settings, "N", "mm")[1]


def test_a_compass_taken_up_again_is_not_set_anew(settings: Study):
    """`same opening` says that the compass stays as it is; an opening from marks says between which."""
    assert "the compass set from `B` to `L`" in _of(settings, "a", "mm")[0]
    assert "the compass as it stands" in _of(settings, "b", "mm")[0]


def test_a_free_choice_says_what_else_would_do(settings: Study):
    """The picture's 30 mm is one of many: the sentence says which."""
    assert "30 mm here; anything over half of the distance from `B` to `T` will do." == _of(settings, "reach", "mm")[1]


@pytest.mark.parametrize(
    ("mm", "said"),
    [("12", "12 mm (about 15/32 in)"), ("6.35", "1/4 in"), ("241.3", "9 1/2 in"), ("1", "1 mm (about 1/32 in)")],
)
def test_a_written_length_is_not_rounded_and_called_the_same(settings: Study, mm: str, said: str):
    """What an inch rule does not have keeps its millimetres, and the nearest graduation is said to be "about"."""
    assert said == lesson_words.written(settings.plan, Fraction(mm), "in")
    assert f"{mm} mm" == lesson_words.written(settings.plan, Fraction(mm), "mm")
