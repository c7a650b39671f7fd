"""The why as people and machines get it: `construct prove --why`."""

from __future__ import annotations

import json

from click.testing import CliRunner

from construct.cli import cli
from construct.proofs.why import drawn
from construct.tools import phrases


def _run(*arguments: str) -> str:
    done = CliRunner().invoke(cli, ["prove", *arguments], standalone_mode=False)
    assert done.exception is None
    return done.stdout


def test_steps_stand_below_their_claim() -> None:
    """The text has the steps in order below the claim, with proposition, lines, and what was seen; without the option it has none."""
    text = " ".join(_run("recipes/theorems/halve-two-marks.recipe", "--why").split())
    claim, first, last = (text.index(part) for part in ("M is halfway between A and B as long as", "Why: 1. a and b were swung at one", "2. P is as far from A"))
    assert claim < first < last
    assert "(Euclid I.10; from step 1; lines 10, 15, 16) Seen in the drawing: P, Q, A and B are different marks." in text
    assert "Why:" not in _run("recipes/theorems/halve-two-marks.recipe")


def test_a_claim_without_a_why_says_so() -> None:
    """Where no derivation is found the text says that the proof stands; where the claim fails, that there is nothing to explain."""
    assert "The proof by exact arithmetic stands" in " ".join(_run("recipes/theorems/two-rows-of-three.recipe", "--why").split())
    assert "this claim is not proved" in " ".join(_run("halve-a-side", "--why").split())


def test_the_record_has_the_same() -> None:
    """JSON: a claim's `why` holds the numbered steps, or why there are none; without the option there is no such key."""
    claims = json.loads(_run("halve-a-side", "--way", "compass", "--why", "--json"))["claims"]
    assert [8, 3, 2] == [len(claim["why"]["steps"]) for claim in claims]
    last = claims[-1]["why"]["steps"][-1]
    assert {"number", "sentence", "things", "rule", "proposition", "uses", "lines", "seen"} == set(last)
    assert ("halving-line-halves", "Euclid I.10", [1]) == (last["rule"], last["proposition"], last["uses"])
    assert {"X", "Y", "L", "T", "M"} <= set(last["things"])
    assert all("why" not in claim for claim in json.loads(_run("halve-a-side", "--json"))["claims"])


def test_only_phrases_of_the_tools_say_something() -> None:
    """What the why hears from the bench are phrases that a recipe can write."""
    assert drawn.phrases() <= {phrase.text for phrase in phrases()}
