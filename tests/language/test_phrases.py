"""The notation of phrases, and the splitting of lines into words."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from construct.language.phrases import pieces, plain_words, slots
from construct.language.syntax import Phrase, Slot
from construct.language.words import RESERVED, is_name, split


def test_pieces():
    """Words, commas and slots come out in order."""
    expected = ("line", "through", Slot("P", "name", ("mark",)), ",", "touching", Slot("c", "name", ("circle", "line")),
                Slot("picks", "picks"))  # fmt: skip
    assert expected == pieces("line through <P mark>, touching <c circle|line><picks>")
    assert {"line", "through", "touching"} == plain_words("line through <P mark>, touching <c circle|line><picks>")


def test_slots():
    """Each kind of slot reads what the notation says."""
    text = "a <M marks> <K lines|circles> <w length> <v measure> <a angle> <r ratio>, <setting>, <bound><say><T things>"
    assert (
        Slot("M", "names", ("mark",)), Slot("K", "names", ("line", "circle")), Slot("w", "length"), Slot("v", "measure"),
        Slot("a", "angle"), Slot("r", "ratio"), Slot("setting", "setting"), Slot("bound", "bound"), Slot("say", "say"),
        Slot("T", "names"),
    ) == slots(Phrase(text, make=print))  # fmt: skip


@pytest.mark.parametrize("text", ["", "line <P nail>", "line <P>", "line <P mark", "line; P", "line <P mark|lines>", "<a b c>"])
def test_what_is_not_in_the_notation(text):
    """A phrase that is not in the notation is refused when it is read."""
    with pytest.raises(ValueError):
        pieces(text)


@pytest.mark.parametrize(
    ("line", "kinds"),
    [
        ("9 1/2 in across", "length word"),
        ("p in line", "word word word"),
        ("7 15/16 in, 12mm", "length sign length"),
        ("2 inside", "number word"),
        ("3/17 of a turn", "angle"),
        ("3/17 of a turner", "number sign number word word word"),
        ("1/3 of w", "number sign number word word"),
        ("45deg 9%", "angle percent"),
        ("12 mmx", "number word"),
        ("12mmx", "bad"),
        ("1.2.3", "bad"),
        ("1e3 mm", "bad word"),
        (".5 mm", "bad word"),
        ("a.b.c' a. a..b", "word bad bad"),
        ("a.1", "bad"),
        ("x:y", "word sign word"),
        ("from my-bench.toml", "word path"),
        ('"a b.toml" # c', "path"),
        ("é ’", "word bad"),
    ],
)
def test_words(line, kinds):
    """A number and its unit are one word; what is no word is bad, and whole."""
    assert kinds == " ".join(word.kind for word in split(line, 1))


@given(st.text(alphabet=st.characters(exclude_characters="\n\r"), max_size=60))
def test_no_character_is_lost(line):
    """Words, blanks and a comment make up the whole line, in order and without gaps."""
    place = 0
    for word in split(line, 3):
        between = line[place : word.span.column - 1]
        assert "" == between.strip(" \t\u00a0")
        assert 3 == word.span.line
        place = word.span.column - 1 + word.span.width
    assert not line[place:].strip(" \t\u00a0") or line[place:].strip(" \t\u00a0").startswith("#")


def test_reserved_words():
    """A reserved word is no name, nor part of one; other words are."""
    assert not any(is_name(word) or is_name(f"a.{word}.b") for word in RESERVED)
    assert is_name("line") and is_name("a.m.B") and is_name("off")
