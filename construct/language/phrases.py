"""The notation of phrases: words, commas, and slots in angle brackets.

`line through <P mark>, touching <c circle><picks>` reads as the words and the
comma as they stand, a name called P, a name called c, and picks.  This file
turns a phrase's text into its pieces; what a slot reads in a recipe is laid
down in `grammar.py`.
"""

from __future__ import annotations

import re
from functools import cache

from construct.language.syntax import Phrase, Slot

Piece = str | Slot

KINDS = ("mark", "line", "circle", "curve", "opening", "reading", "row", "chip", "edge")
READINGS = ("length", "measure", "angle", "ratio", "setting", "picks", "say", "bound")
OPTIONAL = ("picks", "say")

_PIECE = re.compile(r"\s*(?:(?P<comma>,)|(?P<word>[A-Za-z]+)|<(?P<slot>[^<>]*)>)")


@cache
def pieces(text: str) -> tuple[Piece, ...]:
    """Return the pieces of a phrase's text: words, "," and slots.

    A text that is not in the notation is a fault of ours: `ValueError`.
    """
    found: list[Piece] = []
    place = 0
    while place < len(text):
        match = _PIECE.match(text, place)
        if match is None:
            raise ValueError(f"phrase {text!r}: not in the notation from {text[place:]!r} on")
        place = match.end()
        slot = match["slot"]
        found.append(match["comma"] or match["word"] or _slot(text, slot))
    if not found:
        raise ValueError("a phrase needs at least one word")
    return tuple(found)


def slots(phrase: Phrase) -> tuple[Slot, ...]:
    """Return the slots of a phrase in the order of its words: the order of `fillings`."""
    return tuple(piece for piece in pieces(phrase.text) if isinstance(piece, Slot))


@cache
def plain_words(text: str) -> frozenset[str]:
    """Return the plain words of a phrase's text."""
    return frozenset(piece for piece in pieces(text) if isinstance(piece, str) and piece != ",")


def _slot(text: str, inside: str) -> Slot:
    words = inside.split()
    if len(words) == 1 and words[0] in ("setting", "bound", *OPTIONAL):
        return Slot(name=words[0], reads=words[0])
    if len(words) == 2:
        name, what = words
        if what in READINGS:
            return Slot(name=name, reads=what)
        if what in ("things", "thing"):
            return Slot(name=name, reads="names" if what == "things" else "name")
        kinds = tuple(what.split("|"))
        if all(kind in KINDS for kind in kinds):
            return Slot(name=name, reads="name", kinds=kinds)
        singular = tuple(kind.removesuffix("s") for kind in kinds)
        if all(kind.endswith("s") for kind in kinds) and all(kind in KINDS for kind in singular):
            return Slot(name=name, reads="names", kinds=singular)
    raise ValueError(f"phrase {text!r}: unknown slot <{inside}>")
