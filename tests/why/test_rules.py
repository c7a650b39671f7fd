"""Each rule of the why on thousands of random figures, and what happens where a premise is left out."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from construct.phrasebook import ENGLISH, sentences
from construct.proofs.why.rules import RULES

from .figures import Letters, shown, solved, worst

ROOM = 0.02
TRUE = 1e-5
"""How far off a conclusion may be: what is left of rounding where a figure is nearly flat."""


ENOUGH, BATCHES = 2000, 16
NARROW = {(key, text) for key in ("right-between", "straight-across") for text in ("O middle of c", "A on c", "B on c")}
"""Premises that are there to keep the search narrow: a middle is only of interest for the marks on its circle."""


def _random(text: str) -> np.random.Generator:
    return np.random.default_rng(sum(text.encode()))


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.key)
def test_a_rule_holds_on_random_figures(rule):
    """Wherever the premises hold and the drawing shows what is read off it, the conclusion holds."""
    letters = Letters((*rule.given, *rule.then), rule.seen)
    random = _random(rule.key)
    rows = np.empty((0, letters.size))
    for _ in range(BATCHES):
        rows = np.concatenate([rows, shown(rule.seen, letters, solved(rule.given, letters, 4000, random), ROOM)])
        if len(rows) > ENOUGH:
            break
    assert len(rows) > ENOUGH, "too few figures to say anything"
    off = worst(rule, letters, rows)
    assert off.max() < TRUE, dict(zip(letters.at, rows[off.argmax()], strict=False))


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.key)
def test_a_rule_holds_where_marks_fall_together(rule):
    """Two letters may stand for one mark, unless the rule says that they may not."""
    letters = Letters((*rule.given, *rule.then), rule.seen)
    for pair in combinations(letters.marks, 2):
        rows = solved(rule.given, letters, 60, _random(rule.key + "".join(pair)), together=[pair])
        rows = shown(rule.seen, letters, rows, ROOM)
        with np.errstate(all="ignore"):
            off = worst(rule, letters, rows)
        assert not len(rows) or np.nan_to_num(off).max() < TRUE, (rule.key, pair)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.key)
def test_no_premise_is_idle(rule):
    """Leave any one premise out, and some figure breaks the conclusion: so the test above can fail."""
    letters = Letters((*rule.given, *rule.then), rule.seen)
    for place in range(len(rule.given)):
        if (rule.key, rule.given[place].text) in NARROW:
            continue
        given = rule.given[:place] + rule.given[place + 1 :]
        rows = shown(rule.seen, letters, solved(given, letters, 200, _random(rule.key)), ROOM)
        assert worst(rule, letters, rows).max(initial=0) > 0.01, rule.given[place].text


def test_every_rule_has_a_sentence_and_a_source():
    """A rule says where it is from, and its sentence fills only letters that the rule binds."""
    english = sentences(ENGLISH)
    assert len({rule.key for rule in RULES}) == len(RULES)
    for rule in RULES:
        assert rule.source and f"why.{rule.key}" in english
