"""Every theorem of the bank is proved for every choice; whose theorem it is stands in the recipe, in trade words the title."""

from __future__ import annotations

import re
import time

import pytest

from construct.study import study

from .conftest import BANK, NAMES, looked, text_of


@pytest.mark.parametrize("name", NAMES)
def test_proved_for_every_choice(name: str) -> None:
    """A theorem holds wherever its marks are given: every claim proved, scope "every", each with conditions that say where."""
    outcome = looked(text_of(name))
    assert outcome.verdicts
    assert [] == [
        (one.text, one.verdict, one.scope, one.reason) for one in outcome.verdicts if (one.verdict, one.scope) != ("proved", "every")
    ]
    for one in outcome.verdicts:
        assert one.choices, one.text
        assert one.conditions, one.text
        assert all(words.strip() for words in one.conditions)
        # in bench words: no half-angle tangents, no field names, no bare polynomials
        assert [] == [words for words in one.conditions if re.search(r"\.t\b|\.x\b|\.y\b|radicand|denominator|√|²", words)]


@pytest.mark.parametrize("name", NAMES)
def test_the_certificate_agrees(name: str) -> None:
    """A whole study keeps the scope, and its certificates show as much by themselves."""
    outcome = study(BANK / f"{name}.recipe")
    assert {("proved", "every")} == {(one.verdict, one.scope) for one in outcome.verdicts}
    for proof in outcome.proofs:
        assert proof.certificate is not None, proof.missing
        assert "proved for every choice that the conditions allow" == proof.certificate.shows.partition(":")[0]


def test_the_bank_is_soon_done() -> None:
    """Looking at the whole bank over every choice takes seconds: a carver waits for it."""
    before = time.process_time()
    for name in NAMES:
        looked(text_of(name))
    assert time.process_time() - before < 20


def test_titles_and_sources() -> None:
    """Each recipe has a title in trade words of its own, and names its source with a number or a year, or an author."""
    titles = []
    for name in NAMES:
        text = text_of(name)
        titles.append(text.splitlines()[0].removeprefix("recipe").strip())
        comments = " ".join(line for line in text.splitlines() if line.startswith("#"))
        assert re.search(r"Euclid|Archimedes|Pappus|Ptolemy|Thales|\(1\d\d\d|Napoleon|Wallace|Varignon|Euler|1822|Bosse", comments), name
        assert not re.search(r"Euclid|Euler|Pascal|Simson|Napoleon|Ptolemy|theorem", titles[-1]), titles[-1]
    assert len(titles) == len(set(titles))
