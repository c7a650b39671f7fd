"""What a recipe says, as frozen records with their places: no names are resolved here.

The records know phrases only as values; which tool or claim a phrase belongs
to, and what its slots must be, is written in the tool's or the claim's file.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from construct.diagnostics import Span


@dataclass(frozen=True, slots=True)
class Slot:
    """A place in a phrase that a recipe fills.

    name: as the phrase's help shows it, such as "P".
    reads: what the grammar reads there: "name", "names", "length", "measure" (a written length), "ratio",
        "angle", "setting", "bound", "picks" or "say" (see `grammar.py`).
    kinds: for names, the kinds of thing that may stand there ("mark", "line", "circle", "curve",
        "opening", "reading", "row", "chip", "edge"); empty for the other readings.
    """

    name: str
    reads: str
    kinds: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Phrase:
    """One wording of the language, in the notation of `phrases.py`.

    text: the words with slots, such as "line through <P mark> and <Q mark>".
    make: what gives the phrase its meaning; its contract is set by the folder the phrase lives in.
    gives: the kind of thing made ("mark", "line", "circle", …); "" for claims and carve lines.
    many: how many things it makes: 1, 2, or 0 for as many as there are names.
    sides: how many two-way choices `make` leaves to the plan (0 or 1).
    note: one line for `construct tools`: what the hand does.
    extra: anything else that the folder's contract allows for, as keyword and value pairs.
    """

    text: str
    make: Callable[..., Any]
    gives: str = ""
    many: int = 1
    sides: int = 0
    note: str = ""
    extra: tuple[tuple[str, Any], ...] = ()

    def option(self, name: str, default: Any = None) -> Any:
        """Return the extra called `name`."""
        return dict(self.extra).get(name, default)


# --- what fills slots -------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Name:
    """A name as written, dots and all; `edge` is the blank's edge."""

    text: str
    span: Span


@dataclass(frozen=True, slots=True)
class Names:
    """A list of names; `p1 to p16` stands in it as a `NameRange`."""

    items: tuple[Name | NameRange, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class NameRange:
    """`p1 to p16`: first and last as written; the plan counts it out."""

    first: Name
    last: Name


@dataclass(frozen=True, slots=True)
class Measure:
    """A length with its unit: `mm` is exact; `text` is as written, such as "7 15/16 in"."""

    mm: Fraction
    text: str
    span: Span


@dataclass(frozen=True, slots=True)
class Distance:
    """`A B`: the distance of two marks (in bounds, `say` and claims); `P to g` likewise, to a line."""

    start: Name
    finish: Name
    span: Span


@dataclass(frozen=True, slots=True)
class Part:
    """`half of w`, `1/3 of w`, `2/3 of A B`."""

    ratio: Fraction
    of: Length
    span: Span


@dataclass(frozen=True, slots=True)
class Combined:
    """`w less 5 mm` (sign -1) or `w and 5 mm` (sign +1)."""

    first: Length
    sign: int
    second: Length
    span: Span


Length = Measure | Name | Distance | Part | Combined


@dataclass(frozen=True, slots=True)
class Angle:
    """An angle: `turns` is exact, as a part of a full turn; `text` as written."""

    turns: Fraction
    text: str
    span: Span


@dataclass(frozen=True, slots=True)
class Ratio:
    """A ratio: a number, `pi`, or an operation on ratios.

    op: "number", "pi", "+", "-", "*", "/", "neg" or "sqrt"; value only for "number".
    """

    op: str
    span: Span
    value: Fraction | None = None
    parts: tuple[Ratio, ...] = ()


@dataclass(frozen=True, slots=True)
class Place:
    """Coordinates `(30, 70)` in millimetres once the unit is known."""

    x: Ratio
    y: Ratio
    span: Span


@dataclass(frozen=True, slots=True)
class Setting:
    """How a compass is set in an action: the slot "setting".

    how: "named" (opening r), "marks" (opening from P to Q), "same" (same opening), "ruler" (40 mm by ruler).
    """

    how: str
    parts: tuple[Name | Length, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Bound:
    """`anything over half of A B`: side is "over", "under" or "" (anything at all)."""

    side: str
    length: Length | None
    span: Span


@dataclass(frozen=True, slots=True)
class Say:
    """What the picture shows of a free choice.

    value: a length, an angle, or a place.
    towards: for an angle, what it is measured from: a name, or None for the grain.
    """

    value: Length | Angle | Place
    towards: Name | None
    span: Span


@dataclass(frozen=True, slots=True)
class Pick:
    """One way of saying which of two: `nearest B`, `on the B side of g`, `inside rim`, …

    how: "nearest", "farthest", "side", "away", "inside", "outside", "other".
    names: what it speaks of; "side" has the mark, then the line's name or two marks.
    """

    how: str
    names: tuple[Name, ...]
    span: Span


Filling = Name | Names | Length | Angle | Ratio | Setting | Bound | Say | tuple[Pick, ...] | None


# --- statements -------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Blank:
    """What is laid out on.

    form: "round", "board" or "paper".
    width, height: across; for a round plate equal; None for paper.
    free: True where the size is left open ("anything across").
    thickness, wood: None and "" where left out.
    """

    form: str
    width: Measure | None
    height: Measure | None
    free: bool
    thickness: Measure | None
    wood: str
    span: Span


@dataclass(frozen=True, slots=True)
class BenchLine:
    """One wish about the bench: key words and value; `level` lines have key "level"."""

    key: str
    value: Measure | Angle | Fraction | str | tuple[Any, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Given:
    """Marks that are there from the start, each with its place.

    free: True for `anywhere`.  spread: `given A, B, 100 mm apart`; places is then empty.
    """

    names: tuple[Name, ...]
    places: tuple[Place, ...]
    free: bool
    spread: Measure | None
    span: Span


@dataclass(frozen=True, slots=True)
class Use:
    """`use methods/halving`."""

    path: str
    span: Span


@dataclass(frozen=True, slots=True)
class Heading:
    """`step Find the centre`."""

    title: str
    span: Span


@dataclass(frozen=True, slots=True)
class Action:
    """`names : thing`, where the thing is one of the tools' phrases."""

    names: Names
    phrase: Phrase
    fillings: tuple[Filling, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Alias:
    """`p3 : l3`, a second name for the same thing."""

    names: Names
    of: Name
    span: Span


@dataclass(frozen=True, slots=True)
class MethodUse:
    """`M : halving of O and T`."""

    names: Names
    method: Name
    arguments: Names
    span: Span


@dataclass(frozen=True, slots=True)
class ClaimLine:
    """`claim …`, one of the claims' phrases; `within` holds a length, an angle, or a fraction of the right side."""

    phrase: Phrase
    fillings: tuple[Filling, ...]
    within: Measure | Angle | Ratio | Fraction | None
    text: str
    span: Span


@dataclass(frozen=True, slots=True)
class Ways:
    """`way A … way B … end`."""

    ways: tuple[Way, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Way:
    """One way: its name and its block."""

    name: Name
    block: tuple[Statement, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Round:
    """`around A, B, D as p, q … end`; closed is False for `in a row`."""

    items: Names
    letters: tuple[Name, ...]
    closed: bool
    block: tuple[Statement, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Method:
    """`method halving of A and B … gives M … end`."""

    name: Name
    parameters: Names
    gives: Names
    block: tuple[Statement, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Carve:
    """`carve`: what follows says what the knife does."""

    span: Span


@dataclass(frozen=True, slots=True)
class CarveLine:
    """One line after `carve`, other than rounds and claims.

    how: "cut", "groove", "chip", "leave", "knife", "deepest", "land" or "stand" (cut on the line, inside, outside).
    names: the name a chip gets, else empty.
    parts: what the line speaks of, in the order of the words.
    words: the bare words that matter, such as ("inside",), ("from", "to", "the long way") or
        ("with corners", "on the side of"): then the last parts are a mark, and a line or its two marks.
    """

    how: str
    names: Names | None
    parts: tuple[Filling, ...]
    words: tuple[str, ...]
    span: Span


Statement = Heading | Action | Alias | MethodUse | ClaimLine | Ways | Round | Method | Carve | CarveLine


@dataclass(frozen=True, slots=True)
class Recipe:
    """A whole recipe.

    title: as written after `recipe`, "" if left out.  lines: the text's lines, for diagnostics.
    """

    title: str
    blank: Blank
    bench: tuple[BenchLine, ...]
    uses: tuple[Use, ...]
    methods: tuple[Method, ...]
    given: tuple[Given, ...]
    statements: tuple[Statement, ...]
    lines: tuple[str, ...]
    source: str
