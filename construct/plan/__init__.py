"""Recipe → Plan: names known, kinds right, rounds and methods written out, lengths in exact millimetres.

A plan is a straight list of steps, each one use of a tool.  Which of two
crossings is meant is still open in it; `replay.settle` fills the sides in.
Nothing is computed here beyond millimetres: no number system is known.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from construct.diagnostics import Diagnostic, Span
from construct.language.syntax import Angle, Blank, Phrase, Ratio
from construct.tools import Settings

EDGE = 0
"""The index of the blank's edge among a plan's things."""


@dataclass(frozen=True, slots=True)
class PlannedLength:
    """A length whose names are resolved.

    op: "mm" (value), "thing" (a reading), "distance" (of a mark to a mark or line), "part" (value times
        the first part), "sum" (first part plus value times the second; value is +1 or -1).
    """

    op: str
    value: Fraction = Fraction(0)
    things: tuple[int, ...] = ()
    parts: tuple[PlannedLength, ...] = ()


@dataclass(frozen=True, slots=True)
class PlannedPick:
    """A pick with its names resolved to things."""

    how: str
    things: tuple[int, ...]
    text: str
    span: Span


@dataclass(frozen=True, slots=True)
class PlannedBound:
    """What a free length must obey: "over" or "under" a length, or "" for anything."""

    side: str
    length: PlannedLength | None


@dataclass(frozen=True, slots=True)
class PlannedSay:
    """What the picture shows of a free choice; `towards` is the thing an angle is measured from, or None."""

    value: PlannedLength | Angle | tuple[Fraction, Fraction]
    towards: int | None
    span: Span


Argument = int | tuple[int, ...] | PlannedLength | Fraction | Ratio | None
"""A thing by its index, a row of things, a length, an angle in turns, a ratio, or nothing."""


def things_of(argument: Argument) -> Iterator[int]:
    """Yield the indices of the things that an argument names, those inside a length too."""
    if isinstance(argument, int):
        yield argument
    elif isinstance(argument, tuple):
        yield from argument
    elif isinstance(argument, PlannedLength):
        yield from argument.things
        for part in argument.parts:
            yield from things_of(part)


@dataclass(frozen=True, slots=True)
class Thing:
    """Something that a step makes. name: as people call it; kind: "mark", "line", …; step: its maker, -1 for the edge."""

    name: str
    kind: str
    step: int


@dataclass(frozen=True, slots=True)
class Step:
    """One use of a tool.

    arguments: in the order of `phrase.make`'s parameters.  outputs: indices of what it makes.
    key: names the step's errors and free choices; one step, one hand movement.
    heading: the `step` title it stands under.  text: the action in bench words, names written out.
    side: 0 while open or where there is nothing to choose.
    picks, bound, say: what the recipe says about its choice.
    hidden: True where no name was given to what it makes (a setting said inside an action).
    drawn: the drawn example of its free choice, filled in by `settle`.
    idle: the kinds of picks that decided nothing where it was settled, since one crossing alone was left.
    """

    number: int
    phrase: Phrase
    arguments: tuple[Argument, ...]
    outputs: tuple[int, ...]
    key: str
    heading: str
    text: str
    span: Span
    side: int = 0
    picks: tuple[PlannedPick, ...] = ()
    bound: PlannedBound | None = None
    say: PlannedSay | None = None
    hidden: bool = False
    drawn: Fraction | tuple[Fraction, ...] | None = None
    idle: tuple[str, ...] = ()


def needs(step: Step) -> Iterator[int]:
    """Yield the indices of everything that a step's result depends on; `say` only picks the drawn example and is not among it."""
    for argument in step.arguments:
        yield from things_of(argument)
    for pick in step.picks:
        yield from pick.things
    if step.bound is not None and step.bound.length is not None:
        yield from things_of(step.bound.length)


@dataclass(frozen=True, slots=True)
class PlannedClaim:
    """A claim with its names resolved; `after` is how many steps are done when it is made."""

    phrase: Phrase
    arguments: tuple[Argument, ...]
    within: Fraction | Angle | PlannedLength | None
    within_text: str
    text: str
    span: Span
    after: int
    way: str | None


@dataclass(frozen=True, slots=True)
class PlannedCarving:
    """A line after `carve`, its names resolved; see `syntax.CarveLine` for `how`, `words`."""

    how: str
    name: str
    arguments: tuple[Argument, ...]
    words: tuple[str, ...]
    text: str
    span: Span


@dataclass(frozen=True, slots=True)
class Plan:
    """A checked recipe, for one way through it.

    things: everything made; index 0 is the blank's edge.
    touching: pairs of things that were made to touch.
    ways: the names of all ways in the recipe; way: the one planned, None where there are none.
    warnings: what to mind about the recipe, which stands all the same.
    """

    title: str
    blank: Blank
    settings: Settings
    things: tuple[Thing, ...]
    steps: tuple[Step, ...]
    claims: tuple[PlannedClaim, ...]
    carving: tuple[PlannedCarving, ...]
    touching: frozenset[frozenset[int]]
    ways: tuple[str, ...]
    way: str | None
    headings: tuple[str, ...]
    lines: tuple[str, ...]
    source: str
    warnings: tuple[Diagnostic, ...] = ()

    def step(self, number: int) -> Step:
        """Return the step of a number; `KeyError` where this plan, a slice perhaps, has none."""
        place = bisect_left(self.steps, number, key=lambda step: step.number)
        if place == len(self.steps) or self.steps[place].number != number:
            raise KeyError(number)
        return self.steps[place]

    def index(self, name: str) -> int:
        """Return the index of the thing called `name`; `KeyError` if there is none."""
        for position, thing in enumerate(self.things):
            if thing.name == name:
                return position
        raise KeyError(name)
