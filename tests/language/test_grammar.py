"""One sentence, one reading: the grammar held against a parser that finds every reading there is.

The yardstick is lark's Earley parser, which keeps all derivations; the parser
of the language is LALR(1), built from the same rules by another algorithm.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from random import Random
from typing import NamedTuple

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lark import Lark, Tree
from lark.exceptions import LarkError, UnexpectedInput

from construct.language.grammar import Grammar, assemble
from construct.language.phrases import pieces
from construct.language.sentences import Reader
from construct.language.syntax import Phrase, Slot
from construct.language.words import RESERVED, split
from construct.registry import plugins

SHAPES = {"LENGTH": "@l", "ANGLE": "@a", "PERCENT": "@p", "NUMBER": "@n", "PATH": "@f"}
FILLINGS = {
    "name": ("P", "leaf.B", "a.m.B", "x_1'", "edge"),
    "names": ("A", "A, B", "A and B", "A, B, and D", "A, B, D and E", "p1 to p16", "A, p1 to p3 and B", "p1 to p2, A"),
    "length": ("12 mm", "w", "half of w", "1/3 of w", "w less 5 mm", "w and 5 mm", "2/3 of w less 1/2 in and 2 mm"),
    "measure": ("7 15/16 in", "2.5 cm", "12mm"),
    "angle": ("45 deg", "7 1/2 deg", "3/17 of a turn"),
    "ratio": ("3/4", "half", "(1 + sqrt(5))/2", "2 * pi - 1", "-3", "0.5"),
    "setting": ("opening r", "opening from P to Q", "same opening", "40 mm by ruler", "half of w by ruler"),
    "picks": (", nearest B", ", on the B side of g", ", on the D side of A B, away from O", ", inside c, other than P"),
    "say": (", say 130 mm", ", say 2/3 of A B", ", say 30 deg to the grain", ", say 40 deg from the grain",
            ", say 35 deg to g", ", say 35 deg", ", say at (30, 70) mm", ", say A B less w", ", say P to g"),
    "bound": ("anything", "anything over half of A B", "anything over P to g", "anything under A B", "anything over w"),
}  # fmt: skip
WITHIN = ("", " within 0.2 mm", " within 0.5 %", " within 0.1 deg", " within 1/100", " within pi/100")
LINES = (
    "paper", "plate round, 240 mm across", "plate round, 9 1/2 in across, 15 mm thick, black walnut",
    "plate round, anything across, say 240 mm, lime", "board 300 mm by 200 mm, 20 mm thick",
    "given A, B, 100 mm apart", "given A, B, D anywhere, say at (0, 0), (90, 0), (30, 70) mm", "given A, B anywhere",
    "given A at (0, 0) mm, E at (1/2, 3) mm", "given A and B at (0, 0), (1, 1) in", "given A at (0, 0), B at (1, 1) cm",
    "bench ordinary, ruler graduated 0.5 mm, class II", "bench from my-bench.toml", "bench finder V 120 deg",
    "bench careful, compass set within 0.1 mm, template from 1 mm to 40 mm by 1 mm, pencil 0.5 mm",
    "bench moisture 9 % when turned, 12 % now, oval 0.8 mm across the grain", "moisture 9 % when turned, 12 % now",
    "p3 : l3", "M : halving of O and T", "p, q : halving of a to d", "method halving of A and B", "gives M, N",
    "method halving of A and B gives M", "method halving of A and B, gives M and N", "way compass", "end", "carve",
    "around A, B, D as p", "around dial as p, q", "around A, B and D in a row as p and q", "cut c.p inside c.q",
    "cut ring", "cut s from A to B", "cut z from X to Y, the long way", "cut c outside d", "cut on the line",
    "cut inside", "cut outside", "groove rim, 1.5 mm wide", "groove rim", "groove z from X to Y, the long way, 2 mm wide",
    "leaf.p : chip inside c.p and c.q", "leaf.p : chip that holds n.p", "leaf.p : chip with corners O, A, B",
    "a : chip inside c and d, outside e", "leave the chip that holds C", "knife 65 deg", "knife 65 deg and 55 deg on c.p",
    "knife 20 deg on c.p, other walls upright",
    "deepest 6 mm", "land at least 1 mm",
)  # fmt: skip


class EveryReading:
    """All readings of a line by the Earley parser; a word may be a phrase's word or a name wherever the rules let it."""

    def __init__(self, grammar: Grammar) -> None:
        rules: dict[str, list[str]] = {}
        for number, wording in enumerate(grammar.wordings):
            rules.setdefault(wording.origin, []).append(f"{' '.join(wording.symbols)} -> reading_{number}")
        lines = [f"{origin}: " + "\n | ".join(found) for origin, found in rules.items()]
        used = {symbol for wording in grammar.wordings for symbol in wording.symbols if symbol.isupper()}
        lines += [f"{name}: /{self._pattern(name, grammar.terminals[name])}/" for name in sorted(used)]
        self._lark = Lark("\n".join(lines), parser="earley", ambiguity="explicit", keep_all_tokens=True)

    @staticmethod
    def _pattern(name: str, text: str) -> str:
        if name == "NAME":
            return rf"(?!(?:{'|'.join(RESERVED - {'edge'})}) )[^\W\d_][\w'.]* "
        return f"{re.escape(SHAPES.get(name, text))} ".replace("/", r"\/")

    def count(self, text: str) -> int:
        """Return how many readings a line has: 0, 1, or 2 for more."""
        coded = "".join(f"{SHAPES.get(word.kind.upper(), word.text)} " for word in split(text, 1))
        try:
            tree = self._lark.parse(coded)
        except UnexpectedInput:
            return 0
        assert isinstance(tree, Tree)
        return 2 if any(node.data == "_ambig" for node in tree.iter_subtrees()) else 1


@pytest.fixture(scope="module")
def grammar(language) -> Grammar:
    return assemble([one.text for one in language.actions], [one.text for one in language.claims])


@pytest.fixture(scope="module")
def reader(language) -> Reader:
    return Reader(language.actions, language.claims)


@pytest.fixture(scope="module")
def readings(grammar) -> EveryReading:
    return EveryReading(grammar)


def _fill(phrase: Phrase, random: Random, names: tuple[str, ...] = ()) -> str:
    words = []
    for piece in pieces(phrase.text):
        if not isinstance(piece, Slot):
            words.append(piece)
            continue
        optional = piece.reads in ("picks", "say")
        if optional and random.random() < 0.3:
            continue
        text = random.choice(FILLINGS[piece.reads])
        if names:
            text = re.sub(r"\b[A-Zwrgcp]\b(?!')", lambda _: random.choice(names), text)
        words.append(text)
    return " ".join(words).replace(" ,", ",")


def _line(language, random: Random, names: tuple[str, ...] = ()) -> str:
    number = random.randrange(len(language.actions) + len(language.claims))
    if number < len(language.actions):
        made = random.choice(("M", "p1 to p4", "A, B")) if not names else random.choice(names)
        return f"{made} : {_fill(language.actions[number], random, names)}"
    claim = _fill(language.claims[number - len(language.actions)], random, names)
    return f"claim {claim}{random.choice(WITHIN)}"


class Language(NamedTuple):
    """The phrases of a language."""

    actions: tuple[Phrase, ...]
    claims: tuple[Phrase, ...]


def _each(language) -> Iterator[str]:
    """Yield every phrase with every filling of each of its slots at least once."""
    for phrases, before in ((language.actions, "M : "), (language.claims, "claim ")):
        for phrase in phrases:
            most = max((len(FILLINGS[one.reads]) for one in pieces(phrase.text) if isinstance(one, Slot)), default=1)
            for turn in range(most + 1):
                words = []
                for piece in pieces(phrase.text):
                    if not isinstance(piece, Slot):
                        words.append(piece)
                    elif turn < most or piece.reads not in ("picks", "say"):
                        words.append(FILLINGS[piece.reads][turn % len(FILLINGS[piece.reads])])
                yield before + " ".join(words).replace(" ,", ",")


def test_every_phrase_has_one_reading(language, readings):
    """Each phrase, with each way of filling each of its slots, has exactly one derivation."""
    wrong = [(text, found) for text in _each(language) if (found := readings.count(text)) != 1]
    assert [] == wrong


def test_every_shipped_phrase_has_one_reading():
    """The phrases of the tools and claims that are there, all together, have exactly one derivation each."""
    shipped = Language(
        *(
            tuple(phrase for module in plugins(package).values() for phrase in module.PHRASES)
            for package in ("construct.tools", "construct.claims")
        )
    )
    assert len(shipped.actions) > 40
    readings = EveryReading(assemble([one.text for one in shipped.actions], [one.text for one in shipped.claims]))
    assert [] == [(text, found) for text in _each(shipped) if (found := readings.count(text)) != 1]


def test_every_fixed_line_has_one_reading(readings):
    """The lines of the language that no tool brings have exactly one derivation each."""
    assert [] == [(text, found) for text in LINES if (found := readings.count(text)) != 1]


@settings(max_examples=150, deadline=None, derandomize=True)
@given(seed=st.integers(0, 2**32))
def test_random_sentences_have_one_reading(language, readings, seed):
    """A phrase filled at random, with any tolerance after a claim, has one derivation."""
    assert 1 == readings.count(_line(language, Random(seed)))


@settings(max_examples=150, deadline=None, derandomize=True)
@given(seed=st.integers(0, 2**32))
def test_names_that_are_phrase_words(language, readings, reader, bare, seed):
    """A line reads the same whatever its names are called, also if they are called `line`, `one`, `halfway` …

    `less` is left out: in `A less less B`, of marks A, B and less, it is the phrase's word first, by rule.
    """
    words = sorted(set(reader.grammar.words) - RESERVED - {"less"})
    random = Random(seed)
    plain = [f"n{number}" for number in range(12)]
    tricky = dict(zip(plain, random.sample(words, 12), strict=True))
    text = _line(language, random, tuple(plain))
    renamed = re.sub(r"\bn[0-9]+\b", lambda match: tricky[match[0]], text)
    assert 1 == readings.count(renamed)
    expected = reader.read(split(text, 1), frozenset())
    assert bare(expected, tricky) == bare(reader.read(split(renamed, 1), frozenset(words)))


def test_two_readings_are_seen(readings):
    """The yardstick is not blind: rules that read a line twice are reported as two readings."""
    twice = EveryReading(assemble(["line of <M marks>", "line of <A mark> and <B mark>"], ["<A mark> is one"]))
    assert 2 == twice.count("k : line of P and Q")


def test_a_conflict_is_refused(language):
    """Two phrases of one wording but for the slots' kinds can not be told apart, and building with them fails."""
    actions = [Phrase("line of <A mark>", make=str), Phrase("line of <k line>", make=str)]
    with pytest.raises(LarkError):
        Reader(actions, language.claims)
    with pytest.raises(ValueError, match="two phrases read"):
        Reader([actions[0], actions[0]], language.claims)
