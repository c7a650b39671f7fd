"""What a teacher hands out, as facts: settings on the user's ruler, what to measure after each stage, what to mend.

It stands above the errors, because how far off a measuring may be is followed through the
layout, and below the reports, which only put these records into words.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Setting:
    """A length that an action sets or reads.

    use: "ruler" (set off or set by ruler), "reading" (read off marks), "compass" (how far it opens when it is set
        by what is drawn), "hand" (a free choice as drawn), "template" (a hole), "eye".
    nearest: the graduation or hole nearest to it, in mm; decided exactly.  tie: the next larger one is just as near.
    on: True where it lies on that graduation, *exact*.
    fraction: the length itself where it is a fraction of a mm, else None.  value_mm: it as a float.
    """

    use: str
    nearest: Fraction
    tie: bool
    on: bool
    fraction: Fraction | None
    value_mm: float


@dataclass(frozen=True, slots=True)
class Act:
    """One action of the recipe, however often a round repeats it.

    line: in the recipe, 0 where unknown.  depth: how deep it stands in rounds and methods.
    names, words: as the recipe has them.  count: how often it is done.
    settings: each different one, in order.  bounds: what a free choice must be over or under: (word, setting).
    carved: "cut" or "groove" where the knife follows what it makes, "" where it is construction only.
    """

    line: int
    depth: int
    names: str
    words: str
    count: int
    settings: tuple[Setting, ...]
    bounds: tuple[tuple[str, Setting], ...]
    carved: str


@dataclass(frozen=True, slots=True)
class Turn:
    """A line that begins a round ("around", "row") or a method ("method"): what for, for which letters or names, how often."""

    kind: str
    depth: int
    items: str
    letters: str
    count: int


@dataclass(frozen=True, slots=True)
class Culprit:
    """An action from which a part of what a measuring is off comes, in the mean: its names, line and share 0…1 (*first order*)."""

    names: str
    line: int
    share: float


@dataclass(frozen=True, slots=True)
class Measuring:
    """Something to measure, and how far off it may be.

    how: what to do, the end of a key of the phrasebook.  things: names that its sentence fills in.
    expected: what the ruler should read, None where nothing is read.
    count: how many lengths are compared.  line: of the claim that it tries, 0 where it tries none.
    verdict: of that claim, "" without one.  off_mm: where the claim is false or only within something, by how much the
        drawing itself is off, in mm; 0 else.
    unit: "mm", or "mm in 100 mm" for directions.
    within: (level of hand, U) pairs: 19 times in 20 all of its comparisons are no more off than U mm, reading
        included; *first order*, a normal distribution, never too small for several comparisons together (Bonferroni).
        Empty where there is no first-order budget.
    culprits: where it comes from, the largest first.
    """

    how: str
    things: tuple[str, ...]
    expected: Setting | None
    count: int
    line: int
    verdict: str
    off_mm: float
    unit: str
    within: tuple[tuple[str, float], ...]
    culprits: tuple[Culprit, ...]


@dataclass(frozen=True, slots=True)
class Stage:
    """What stands under one `step` of a recipe: its rows in order, then what to measure before going on."""

    title: str
    rows: tuple[Act | Turn, ...]
    measurings: tuple[Measuring, ...]


@dataclass(frozen=True, slots=True)
class Bench:
    """A recipe made ready for the bench.

    graduation: of the ruler that settings are rounded to, in mm.  own: True where the recipe's own ruler has it.
    stages: in order.  opens_mm: the widest that a compass must open, 0 where none is used.
    holes: sizes of template holes that are used, in mm.
    level: of the hand that `Measuring.within` names first.
    """

    graduation: Fraction
    own: bool
    stages: tuple[Stage, ...]
    opens_mm: float
    holes: tuple[Fraction, ...]
    level: str
