"""The grammar of one line, assembled from the fixed lines of the language and the phrases of tools and claims.

There is one grammar, LALR(1), and a line has one reading in it.  Two things
keep it so small: a comma and the word after it may be one terminal (so that
`, by ruler` and the next name of a list part at the comma), and lists and
lengths are built so that nothing needs deciding before it is read.

In the rules below `'word'` is the terminal of a word and `',word'` that of a
comma with the word after it.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import chain, product

from construct.language.phrases import OPTIONAL, Piece, pieces
from construct.language.syntax import Slot

# What may stand after `bench`, with the key that the wish gets.
BENCH_WISHES = (
    ("careful", "level"),
    ("ordinary", "level"),
    ("beginner", "level"),
    ("from <PATH>", "from"),
    ("compass set within <LENGTH>", "compass set within"),
    ("compass to <LENGTH>", "compass to"),
    ("ruler graduated <LENGTH>", "ruler graduated"),
    ("ruler to <LENGTH>", "ruler to"),
    ("ruler class <NAME>", "ruler class"),
    ("class <NAME>", "ruler class"),
    ("oval <LENGTH> across the grain", "oval across the grain"),
    ("pencil <LENGTH>", "pencil"),
    ("finder V <ANGLE>", "finder V"),
    ("finder blade off <LENGTH>", "finder blade off"),
    ("template from <LENGTH> to <LENGTH> by <LENGTH>", "template"),
    ("moisture <PERCENT> when turned , <PERCENT> now", "moisture"),
)

# One rule a paragraph.  `-> name` is the maker in `sentences.py` that a wording goes to; without it the rule's
# own name is, and a wording of a single part without a maker stands for that part.
_FIXED = """
start: 'claim' claim -> claimed
     | 'claim' claim 'within' gap -> claimed
     | names ':' action -> made
     | names ':' name -> alias
     | names ':' name 'of' names -> method_use
     | names ':' 'chip' which_chip -> chip
     | 'plate' 'round' ',' across -> plate
     | 'plate' 'round' ',' across blank_end -> plate
     | 'board' LENGTH 'by' LENGTH -> board
     | 'board' LENGTH 'by' LENGTH blank_end -> board
     | 'paper' -> paper
     | 'bench' wishes -> bench
     | 'moisture' PERCENT 'when' 'turned' ',' PERCENT 'now' -> moisture
     | 'given' given_marks -> given
     | 'method' name 'of' names -> method
     | 'method' name 'of' names 'gives' names -> method
     | 'method' name 'of' names ',gives' names -> method
     | 'gives' names -> gives
     | 'way' name -> way
     | 'around' names 'as' names -> around
     | 'around' names 'in' 'a' 'row' 'as' names -> around
     | 'end' -> end
     | 'carve' -> carve
     | 'cut' name -> cut
     | 'cut' name 'inside' name -> cut
     | 'cut' name 'outside' name -> cut
     | 'cut' name from_to -> cut
     | 'cut' 'on' 'the' 'line' -> stand
     | 'cut' 'inside' -> stand
     | 'cut' 'outside' -> stand
     | 'groove' name -> groove
     | 'groove' name ',' LENGTH 'wide' -> groove
     | 'groove' name 'inside' name -> groove
     | 'groove' name 'inside' name ',' LENGTH 'wide' -> groove
     | 'groove' name 'outside' name -> groove
     | 'groove' name 'outside' name ',' LENGTH 'wide' -> groove
     | 'groove' name from_to -> groove
     | 'groove' name from_to ',' LENGTH 'wide' -> groove
     | 'leave' 'the' 'chip' which_chip -> leave
     | 'knife' ANGLE -> knife
     | 'knife' ANGLE 'and' ANGLE 'on' name -> knife
     | 'knife' ANGLE 'on' name ',other' 'walls' 'upright' -> knife
     | 'deepest' LENGTH -> deepest
     | 'land' 'at' 'least' LENGTH -> land

across: LENGTH 'across' | 'anything' 'across' | 'anything' 'across' ',say' LENGTH

blank_end: ',' LENGTH 'thick' | ',' wood | ',' LENGTH 'thick' ',' wood

wood: NAME | wood NAME

wishes: wish -> wishes | wishes ',' wish

given_marks: name given_end | name ',' given_marks | name 'and' name given_end

given_end: ',' LENGTH 'apart'
     | 'anywhere'
     | 'anywhere' ',say' 'at' places unit
     | 'at' places unit
     | 'at' places unit ',' given_marks
     | 'at' places ',' given_marks

places: place -> places | places ',' place

place: '(' expression ',' expression ')'

unit: 'mm' | 'cm' | 'in'

from_to: 'from' name 'to' name | 'from' name 'to' name ',the' 'long' 'way'

which_chip: chip_place | chip_place chip_side -> which_chip

chip_place: 'inside' names -> chip_place
     | 'inside' names ',outside' names -> chip_place
     | 'that' 'holds' name -> chip_place
     | 'with' 'corners' names -> chip_place

chip_side: ',on' 'the' name 'side' 'of' name -> chip_side | ',on' 'the' name 'side' 'of' name name -> chip_side

name: NAME

names: name -> names_one
     | name more -> names_one
     | name 'to' name -> names_range
     | name 'to' name more -> names_range

more: ',' names | 'and' names | ',and' names

setting: 'opening' name -> setting_named
     | 'opening' 'from' name 'to' name -> setting_marks
     | 'same' 'opening' -> setting_same
     | length 'by' 'ruler' -> setting_ruler

length: part | length 'less' part -> combined | length 'and' part -> combined

part: atom | fraction 'of' part

atom: measure | name

measure: LENGTH

fraction: NUMBER | NUMBER '/' NUMBER | 'half'

reach: reach_part | reach 'less' reach_part -> combined | reach 'and' reach_part -> combined

reach_part: reach_atom | fraction 'of' reach_part -> part

reach_atom: measure | name | name name -> distance | name 'to' name -> distance

bound: 'anything' | 'anything' 'over' reach | 'anything' 'under' reach

say: ',say' reach
     | ',say' angle
     | ',say' angle 'to' name
     | ',say' angle 'to' 'the' 'grain'
     | ',say' angle 'from' 'the' 'grain'
     | ',say' 'at' place unit -> say_place

angle: ANGLE

picks: pick -> picks | picks pick

pick: ',nearest' name
     | ',farthest' 'from' name
     | ',away' 'from' name
     | ',inside' name
     | ',outside' name
     | ',other' 'than' name
     | ',on' 'the' name 'side' 'of' name
     | ',on' 'the' name 'side' 'of' name name

ratio: expression | 'half' -> ratio_half

expression: term | expression '+' term -> operation | expression '-' term -> operation

term: factor | term '*' factor -> operation | term '/' factor -> operation

factor: NUMBER -> ratio_number
     | 'pi' -> ratio_pi
     | 'sqrt' '(' expression ')' -> ratio_sqrt
     | '(' expression ')' -> ratio_brackets
     | '-' factor -> ratio_negative

gap: LENGTH | ANGLE | PERCENT | expression
"""

_SIGNS = {",": "COMMA", ":": "COLON", "(": "OPEN", ")": "CLOSE", "+": "PLUS", "-": "MINUS", "*": "STAR", "/": "SLASH"}
SHAPES = {
    "NAME": "a name",
    "NUMBER": "a number",
    "LENGTH": "a length",
    "ANGLE": "an angle",
    "PERCENT": "a percentage",
    "PATH": "a file",
    "$END": "the end of the line",
}


@dataclass(frozen=True, slots=True)
class Reading:
    """What one alternative of the grammar stands for.

    kind: "action" or "claim".
    index: which phrase of that kind, in the order given.
    slots: for every slot, whether it stands in this alternative, and what fills it if not; only picks (then none)
        and `say` (then None) may be left out.
    """

    kind: str
    index: int
    slots: tuple[tuple[bool, tuple[()] | None], ...]


@dataclass(frozen=True, slots=True)
class Wording:
    """One alternative of one rule.

    origin: the rule.
    symbols: rules and terminals, in order.
    maker: what makes the record of it; "" where the alternative stands for its single part.
    """

    origin: str
    symbols: tuple[str, ...]
    maker: str


@dataclass(frozen=True, slots=True)
class Grammar:
    """The assembled grammar.

    wordings: all alternatives of all rules; the first is of the rule that a line is.
    terminals: every terminal with its text: words as they are, a comma with its word as ", word", else a description.
    words: the terminal of each word.
    after_comma: the terminal of each word that may be one with the comma before it.
    readings: what the makers of phrases stand for.
    """

    wordings: tuple[Wording, ...]
    terminals: dict[str, str]
    words: dict[str, str]
    after_comma: dict[str, str]
    readings: dict[str, Reading]


def assemble(actions: Sequence[str], claims: Sequence[str]) -> Grammar:
    """Return the grammar of the language with these phrases; two phrases of one wording are a fault of ours."""
    for texts in (actions, claims):
        for text, times in Counter(texts).items():
            if times > 1:
                raise ValueError(f"two phrases read {text!r}")
    readings: dict[str, Reading] = {}
    found = _Terminals()
    line, *others = (list(_rule(rule, found)) for rule in _FIXED.strip().split("\n\n"))
    wordings = line
    for kind, texts in (("action", actions), ("claim", claims)):
        for maker, parts in _alternatives(kind, texts, readings):
            wordings.append(Wording(kind, tuple(found.symbol(one) for one in parts), maker))
    for number, (text, _) in enumerate(BENCH_WISHES):
        symbols = tuple(found.symbol(word[1:-1] if word[0] == "<" else f"'{word}'") for word in text.split())
        wordings.append(Wording("wish", symbols, f"wish_{number}"))
    wordings += chain.from_iterable(others)
    # Without a single claim, or a single action, the lines for them can not be read either.
    missing = {kind for kind, texts in (("action", actions), ("claim", claims)) if not texts}
    wordings = [wording for wording in wordings if missing.isdisjoint(wording.symbols)]
    return Grammar(tuple(wordings), found.terminals | SHAPES, found.words, found.after_comma, readings)


def _rule(text: str, found: _Terminals) -> Iterator[Wording]:
    """Yield the alternatives of one paragraph of the fixed rules."""
    origin, _, rest = text.partition(":")
    for alternative in re.split(r"\s\|\s", rest):
        parts, _, maker = alternative.partition("->")
        symbols = tuple(found.symbol(part) for part in parts.split())
        single = len(symbols) == 1 and symbols[0].islower()
        yield Wording(origin, symbols, maker.strip() or ("" if single else origin))


class _Terminals:
    """The terminals met while the rules are written out."""

    def __init__(self) -> None:
        self.terminals: dict[str, str] = {}
        self.words: dict[str, str] = {}
        self.after_comma: dict[str, str] = {}

    def symbol(self, text: str) -> str:
        """Return the grammar's symbol: what is quoted in the rules is a sign, a word, or a comma with a word."""
        if not text.startswith("'"):
            return text
        text = text[1:-1]
        if text in _SIGNS:
            self.terminals[_SIGNS[text]] = text
            return _SIGNS[text]
        word = text.removeprefix(",")
        # Upper and lower case differ in the language, and terminals know only one.
        name = word.upper() if word.islower() else f"{word}_CAPITAL".upper()
        if word == text:
            self.words[word] = f"W_{name}"
            self.terminals[f"W_{name}"] = word
            return f"W_{name}"
        self.after_comma[word] = f"C_{name}"
        self.terminals[f"C_{name}"] = f", {word}"
        return f"C_{name}"


def _alternatives(kind: str, texts: Sequence[str], readings: dict[str, Reading]) -> Iterator[tuple[str, list[str]]]:
    """Yield maker and symbols of each phrase, with and without what may be left out of it."""
    for index, text in enumerate(texts):
        found = pieces(text)
        optional = [place for place, piece in enumerate(found) if isinstance(piece, Slot) and piece.reads in OPTIONAL]
        for number, choice in enumerate(product((True, False), repeat=len(optional))):
            absent = {place for place, there in zip(optional, choice, strict=True) if not there}
            maker = f"{kind}_{index}_{number}"
            slots = tuple(
                (place not in absent, () if piece.reads == "picks" else None)
                for place, piece in enumerate(found)
                if isinstance(piece, Slot)
            )
            readings[maker] = Reading(kind, index, slots)
            yield maker, _symbols([piece for place, piece in enumerate(found) if place not in absent])


def _symbols(found: Sequence[Piece]) -> list[str]:
    """Return the symbols for the pieces of a phrase, a comma made one with a word after it."""
    symbols: list[str] = []
    for piece in found:
        if isinstance(piece, Slot):
            symbols.append(piece.reads)
        elif symbols and symbols[-1] == "','" and piece != ",":
            symbols[-1] = f"',{piece}'"
        else:
            symbols.append(f"'{piece}'")
    return symbols
