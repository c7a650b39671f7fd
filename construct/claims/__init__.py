"""The contract of a claim: one file a kind; each says which numbers must be zero, and which positive.

A claim file holds `NAME`, `NOTE` and `PHRASES`.  A phrase's `make(world, *things)`
returns a `Statement`; `things` come in the order of the slots: drawn things, a
length in mm, an angle as a `Fraction` of a turn, a `Ratio` as written.  The
statement's `zeros` and `positives` are polynomial in what the drawing holds
wherever that is possible, so that deciding it adjoins no root; the gap may need
one, and is asked for only when the claim fails.

Extras that a phrase may carry:
  least   how many names a list needs at least
  within  what a `within` may be: some of "mm", "deg", "part" (default "mm")
  sense   what keeps the signs that `make` asks for as they are: bench words, to be read after "as long as"
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from types import ModuleType
from typing import Any

from construct.diagnostics import worded
from construct.geometry import Edge
from construct.language.syntax import Phrase, Ratio
from construct.number_systems import LimitMet, NotANumber, Number, NumberSystem
from construct.phrasebook import say
from construct.registry import plugins


@dataclass(frozen=True, slots=True)
class World:
    """What a claim sees: the numbers and the blank's edge (its middle is the origin)."""

    numbers: NumberSystem
    edge: Edge


@dataclass(frozen=True, slots=True)
class Gap:
    """By how much a claim fails: a number with its unit ("mm", "mm2" or "1").

    squared: True where the gap is the root of `value`, in the unit given; the root is taken last.
    """

    value: Number
    unit: str = "mm"
    squared: bool = False


@dataclass(frozen=True, slots=True)
class TurnedGap:
    """A distance in mm to a corner that no construction gives.

    Its square is plain - 2·(along·cos t + across·sin t), where t is `turns` of a full turn.
    """

    plain: Number
    along: Number
    across: Number
    turns: Fraction


@dataclass(frozen=True, slots=True)
class PiGap:
    """`plain` less `ratio` times `of`, in mm, where the ratio holds pi; the right side is `ratio` times `of`."""

    plain: Number
    ratio: Ratio
    of: Number


@dataclass(frozen=True, slots=True)
class Part:
    """`times` the angle from the +x axis to (x, y), which lies in (-180, 180] deg."""

    times: Fraction
    x: Number
    y: Number


@dataclass(frozen=True, slots=True)
class AngleGap:
    """By how much an angle is off: the sum of its parts and of `turns` of a full turn.

    mm: what the angle makes where it is compared with lengths, None where it never is.
    """

    parts: tuple[Part, ...]
    turns: Fraction = Fraction(0)
    mm: Number | None = None


@dataclass(frozen=True, slots=True)
class BoundedGap:
    """A gap known by enclosures, or by an estimate where the claim itself was decided exactly without it.

    bounds: digits -> (lower, upper), at most 10^-digits apart.  exact: its closed form, "" where there is none.
    guarantee: "enclosure" or "estimate".
    within: (tolerance, unit) -> whether it is at most that, None where it can not be told.
    """

    bounds: Callable[[int], tuple[Fraction, Fraction]]
    unit: str
    exact: str = ""
    guarantee: str = "enclosure"
    within: Callable[[Fraction, str], bool | None] | None = None


@dataclass(frozen=True, slots=True)
class Farthest:
    """The largest of several gaps, all in mm; only sizes count."""

    gaps: tuple[Gap | TurnedGap, ...]


AnyGap = Gap | TurnedGap | PiGap | AngleGap | BoundedGap | Farthest


@dataclass(frozen=True, slots=True)
class Statement:
    """What a claim says: every one of `zeros` is zero and every one of `positives` is positive.

    not_negatives: numbers that must be ≥ 0.
    gap: the size of the failure as `language.md` defines it for the kind; called only on failure;
        may raise `NoGap`.
    right: the right side of an equality, for `within 0.5 %`; None where there is none.
    other: for what no number of the tower can say (an angle that no construction gives, a pi): a test
        that must hold too; it returns True, False or None for "can not be told".
    only_within: where the claim has a sense only with `within`, how V301 words it, "" else.
    """

    zeros: tuple[Number, ...] = ()
    positives: tuple[Number, ...] = ()
    not_negatives: tuple[Number, ...] = ()
    gap: Callable[[], AnyGap] | None = None
    right: Callable[[], Number] | None = None
    other: Callable[[], bool | None] | None = None
    only_within: str = ""


class NoGap(Exception):
    """The claim is false, and in a way that has no size; `reason` says which, in bench words."""

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason


class Senseless(Exception):
    """The claim makes no sense for these things, though each is of a right kind; `key` is its wording under V301."""

    def __init__(self, key: str, /, **values: object) -> None:
        _, self.message, self.hint = worded(f"V301.{key}", values)
        super().__init__(self.message)


@dataclass(frozen=True, slots=True)
class Finding:
    """How far a claim fails.

    exact: the closed form, "" where there is none short enough to read.
    value: the number to float precision, signed left less right; figures: it to 4 significant figures.
    unit: "mm", "deg", "mm2" or "1".
    guarantee: "exact", "enclosure" where the figures come from a rigorous enclosure, or "estimate"
        (how far two chips are from alike, which decides nothing).
    """

    exact: str
    value: float
    figures: str
    unit: str
    guarantee: str = "exact"


@dataclass(frozen=True, slots=True)
class Verdict:
    """The answer to one claim.

    verdict: "proved", "refuted", "within" or "undecided".
    scope: "every" (for every choice) or "here" (for the numbers written).
    conditions: in bench words, each to be read after "as long as".
    finding: how far off, None where it holds exactly.
    reason: why it is undecided, or why a refuted claim has no finding; "" else.
    choices: the free choices that the claim touches, with what is drawn: ("reach", "130 mm").
    """

    line: int
    text: str
    way: str | None
    verdict: str
    scope: str
    conditions: tuple[str, ...]
    finding: Finding | None
    reason: str = ""
    choices: tuple[tuple[str, str], ...] = ()

    @property
    def holds(self) -> bool:
        """True where nothing stands against the claim: proved, or within what it allows."""
        return self.verdict in ("proved", "within")


def claims() -> dict[str, ModuleType]:
    """Return the claim files by name."""
    return plugins(__name__)


def phrases() -> tuple[Phrase, ...]:
    """Return every phrase of every claim."""
    return tuple(phrase for claim in claims().values() for phrase in claim.PHRASES)


def ratio_value(numbers: NumberSystem, ratio: Ratio, pi: Number | None = None) -> Number:
    """Return a ratio as written over a number system; `Senseless` where it has no value there.

    pi: the system's pi, where it has one; exact numbers have none.
    """
    parts = [ratio_value(numbers, part, pi) for part in ratio.parts]
    try:
        match ratio.op:
            case "number":
                assert ratio.value is not None
                return numbers.rational(ratio.value)
            case "neg":
                return -parts[0]
            case "+":
                return parts[0] + parts[1]
            case "-":
                return parts[0] - parts[1]
            case "*":
                return parts[0] * parts[1]
            case "/":
                return parts[0] / parts[1]
            case "sqrt":
                return numbers.sqrt(parts[0])
    except NotANumber as none:
        raise Senseless("no_value", reason=none.reason) from none
    if pi is None:
        raise Senseless("pi")
    return pi


def holds_pi(ratio: Ratio) -> bool:
    """Tell whether `pi` is written in a ratio."""
    return ratio.op == "pi" or any(holds_pi(part) for part in ratio.parts)


def sign(numbers: NumberSystem, number: Number) -> int:
    """Return -1, 0 or +1; `LimitMet` where the system can not tell."""
    found = numbers.sign(number)
    if found is None:
        raise LimitMet(say("limit.sign"))
    return found


def size(numbers: NumberSystem, number: Number) -> Number:
    """Return a number without its sign."""
    return -number if sign(numbers, number) < 0 else number


Things = Sequence[Any]
