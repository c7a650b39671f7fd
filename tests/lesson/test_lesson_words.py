"""Laws of the lesson's sentences: every phrase has one, nothing that fills it is left out, and lengths are what the ruler can read."""

from __future__ import annotations

import string
from dataclasses import replace
from fractions import Fraction

import pytest

from construct import claims, tools
from construct.language.phrases import slots
from construct.language.syntax import Phrase
from construct.phrasebook import sentences
from construct.reports import _lesson_words as lesson_words
from construct.reports._lesson_steps import lesson_steps
from construct.study import Study, study, with_errors

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
  p1, p2 : marks stepped from B round rim, opening reach
  z : circle by template about C, 16 mm across
  f : line by centre finder, anywhere, say 30 deg to the grain
  claim C M is (1 + sqrt(5))/2 of C N within 100 %
  claim C M is 1/3 of C N within 100 %
"""

MANY = """recipe Every phrase
plate round, 240 mm across, 15 mm thick, basswood
bench ordinary, ruler graduated 1/32 in
g : line by centre finder, along the grain
h : line by centre finder, across the grain
f : line by centre finder, at 45 deg to the grain
C : mark where g meets h
step Circles
  rim : circle about C, 12 mm inside the edge
  B, T : marks where g meets rim
  L, R : marks where h meets rim
  E : mark where f meets rim, nearest T
  E2 : mark where f meets rim, on the L side of g
  E3 : mark where f meets rim, other than E
  c : circle about C, 40 mm by ruler
  d : circle about T, touching c, from outside
  p1 to p6 : marks stepped from B round rim, opening from C to B
  q1, q2 : marks dividing C T, by dividers
  z : circle by template about C, 16 mm across
  n1, n2, n3, n4 : marks at the ticks of z, along g
  y : circle by template across q1 q2
  s : line square to g at q1, by square
  s2 : line parallel to g, 8 mm away on the L side, by ruler
  s3 : line parallel to g, 8 mm away, away from L, by eye
  w : length from C to T, by ruler
  M : mark half of w from C toward R, by ruler
  N : mark 1/3 of w less 5 mm from C along h, away from M, by ruler
  O : mark 7 mm outside c, along g, away from T, by ruler
  m1 to m3 : marks every 8 mm from C toward L, by ruler
  k : curve by french curve from L to T, leaving toward C, arriving toward C
  k2 : k flipped over g, by french curve
  t : line through T, touching c, on the R side of g
  a : arc about C, from L to T
  V : mark anywhere on edge, say 40 deg to the grain
  u, v : legs of a square cornered at V, anyhow
  X : mark between C and T, by eye
  claim C is the centre of the plate
  claim X is between C and T
  claim q1 q2 is 1/3 of C T
  claim angle T C R is 90 deg
  claim g, h and f meet in one mark
  claim T is on the R side of f
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


def test_dividers_and_template_are_set_too(settings: Study):
    """Walking takes up a setting, and a template's hole is one."""
    assert "compass 30 mm." == _of(settings, "p1", "mm")[1]
    assert "template hole 16 mm across." == _of(settings, "z", "mm")[1]
    assert "template hole about 5/8 in on a 1/32 in ruler across." == _of(settings, "z", "in")[1]


def test_a_free_angle_says_to_what(settings: Study):
    """An angle alone tells a hand nothing: it is to the grain, or to a line."""
    assert "30 degrees to the grain here; any other will do." == _of(settings, "f", "mm")[1]


def test_a_ratio_is_said_as_it_is_written(settings: Study):
    """No brackets more than it needs, and the root with its sign."""
    said = [lesson_words.check(settings.plan, claim, "mm") for claim in settings.plan.claims]
    assert "the first must be (1 + √(5))/2 times the second" in said[0]
    assert "the first must be 1/3 times the second" in said[1]


def test_a_tool_without_a_sentence_is_told_in_the_recipe_s_words(settings: Study):
    """A phrase that the phrasebook does not know is no fault: its line says what the hand does, a claim what to see."""
    step, claim = settings.plan.steps[0], settings.plan.claims[0]
    strange = replace(step, phrase=replace(step.phrase, text="line by a new tool"))
    assert "g : line by centre finder, along the grain." == lesson_words.hand(settings, strange, "mm")
    odd = replace(claim, phrase=replace(claim.phrase, text="a new claim"))
    assert f"See that it is so: {claim.text}." == lesson_words.check(settings.plan, odd, "mm")


@pytest.mark.parametrize("units", ["mm", "in"])
def test_sentences_are_whole(units: str):
    """With every tool in the hand: each sentence begins and ends as one, its names in pairs of backquotes, no gap left open."""
    steps = lesson_steps(with_errors(study(MANY), trials=0), units)
    said = [text for step in steps for act in step.acts for text in (act.hand, act.more, *act.cautions)]
    said += [text for step in steps for check in step.checks for text in (check.how, check.said)]
    said += [text for step in steps for text in step.far]
    assert len(said) > 90
    for text in filter(None, said):
        assert text[0].isupper() or text[0] in "`(", text
        assert text.endswith("."), text
        assert text.count("`") % 2 == 0 and "``" not in text, text
        assert not set("{}") & set(text) and "  " not in text and " ," not in text and "None" not in text, text
