"""What tuning found: the records that reports read. Lengths in mm, angles in deg; each figure with its guarantee word."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from construct.methods.choices import Coordinate
from construct.methods.trial import Stopped

AS_GOOD = Fraction(105, 100)
"""What counts as as good as the best: within 5 % of its u."""

MARKS, CUTS = "marks", "cuts"


@dataclass(frozen=True, slots=True)
class TunedChoice:
    """One free choice and its best setting; all values in mm or deg, as `coordinate.unit` says.

    coordinate: which, and where it is drawn.  best: the least found.  setting: that, rounded to what a hand sets.
    as_good: (low, high) within which u stays within 5 % of the best, the other choices at their settings.
    allowed: (low, high) that bench, wood and claims allow from there.  low_stop, high_stop: what forbids more, None for nothing.
    held: the stop that the best setting lies against, None where it lies free.
    moves: True where what is measured moves with it (only where it was asked for by name).
    curve: (value, u in mm) across what is allowed, the others at their settings (*first order*); u infinite where there is none.
    """

    coordinate: Coordinate
    best: float
    setting: float
    as_good: tuple[float, float]
    allowed: tuple[float, float]
    low_stop: Stopped | None
    high_stop: Stopped | None
    held: Stopped | None
    moves: bool
    curve: tuple[tuple[float, float], ...]

    @property
    def whole(self) -> bool:
        """True where every allowed setting is as good as the best."""
        slack = 1e-6 * max(1.0, self.allowed[1] - self.allowed[0])
        return self.as_good[0] <= self.allowed[0] + slack and self.as_good[1] >= self.allowed[1] - slack


@dataclass(frozen=True, slots=True)
class KeptChoice:
    """A free choice that was not moved. why: "pattern" (it moves what is measured), "idle" (it does not reach it), "pinned" (no other is allowed)."""

    names: str
    line: int
    why: str


@dataclass(frozen=True, slots=True)
class OtherCrossing:
    """A crossing whose other one would do as well. u_mm: with the one the words mean; other_u_mm: with the other (*first order*).

    taken: True where the other one is better, and everything else here rests on it.
    """

    name: str
    line: int
    words: str
    u_mm: float
    other_u_mm: float
    taken: bool


@dataclass(frozen=True, slots=True)
class CrossingAngle:
    """How two drawn things cross at a mark, 0…90 deg, before and after (*estimate*)."""

    name: str
    line: int
    before_deg: float
    after_deg: float


@dataclass(frozen=True, slots=True)
class Tuning:
    """What was found. u's are in mm, *first order*, root mean square over what is measured.

    about: "marks" or "cuts" (all cut edges, by length).  marks: their names, in order; empty for cuts.
    asked: True where the marks were named by the user.  level: the bench's.
    u_drawn_mm: as the recipe draws its choices.  u_best_mm: the least found.  u_mm: at the rounded settings.
    tried: settings that were tried.
    """

    about: str
    marks: tuple[str, ...]
    asked: bool
    level: str
    u_drawn_mm: float
    u_best_mm: float
    u_mm: float
    choices: tuple[TunedChoice, ...]
    crossings: tuple[OtherCrossing, ...]
    angles: tuple[CrossingAngle, ...]
    kept: tuple[KeptChoice, ...]
    tried: int

    @property
    def drawn_is_as_good(self) -> bool:
        """True where what the recipe draws is within 5 % of the best found."""
        return self.u_drawn_mm <= float(AS_GOOD) * self.u_best_mm
