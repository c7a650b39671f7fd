"""Records of ways compared side by side: who contends, what each was found to be, where the order turns over.

A method has a systematic miss (exact), what the hand adds (*first order*, and
*estimates* beside it), and a price in moves.  Everything here is worked out from
settled plans; nothing is printed.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from construct.chips import Carving
from construct.claims import Verdict
from construct.diagnostics import Diagnostic
from construct.methods.lemoine import LemoineCount, NoCount
from construct.methods.moves import ToolMoves
from construct.plan import PlannedClaim
from construct.replay import Settled

LENGTH, GRADUATION, HAND = "length", "graduation", "hand"
"""What the order is followed along."""


@dataclass(frozen=True, slots=True)
class Contender:
    """One way to be compared: its label, and what is known of it from its study."""

    label: str
    settled: Settled
    exact: Any
    carving: Carving | None
    drawn: tuple[Any, ...]
    verdicts: tuple[Verdict, ...]


@dataclass(frozen=True, slots=True)
class Size:
    """The length that a claim is about.

    kind: "between" two marks, "across" a circle, or "plate".  names: of those marks or that circle.  mm: *estimate* of it.
    """

    kind: str
    names: tuple[str, ...]
    mm: float


@dataclass(frozen=True, slots=True)
class TrialFigures:
    """What the trials of one way gave.

    trials, lost: run, and lost because something could not be drawn or a crossing was not the one meant.
    part: number of the part that is worst, the one whose reach is largest; the next three are about it.
    mean_mm: size of its mean miss.  u_mm: standard uncertainty, root of the sum over its numbers.
    reach_mm: not exceeded 19 times in 20.  all_mm: what no part exceeds, 19 times in 20.
    """

    trials: int
    lost: int
    part: int
    mean_mm: float
    u_mm: float
    reach_mm: float
    all_mm: float


@dataclass(frozen=True, slots=True)
class HandFigures:
    """What a hand of one level makes of a claim's worst part.

    part: its name, "" where the claim is of no mark.  offset_mm: what the method misses there by itself (*estimate* of an exact size).
    u_mm: standard uncertainty by the hand alone.  rounding_mm: u of a reading's rounding over lengths of about this size.
    reach_mm: not exceeded 19 times in 20, the offset at the length drawn kept in (see `reaches.reach`).  All *first order*.
    trials: the same by trials (*estimates*); None where none could be run.
    place_u_mm: u of the claim's first mark on the plate, with everything that came before; NaN where there is none.
    """

    level: str
    part: str
    offset_mm: float
    u_mm: float
    rounding_mm: float
    reach_mm: float
    trials: TrialFigures | None
    place_u_mm: float

    @property
    def best_mm(self) -> float:
        """The reach to believe: the trials' where there are any."""
        return self.reach_mm if self.trials is None else self.trials.reach_mm


@dataclass(frozen=True, slots=True)
class Method:
    """One way, weighed.

    verdict: on the claim that is compared.  aims: what eye or trial must hit for it, to be read after "as long as".
    hands: one a level, empty where the claim misses by no length.
    moves: of the steps that are this way's own.  all_moves: how many the whole layout takes.
    lemoine, tools: of its own steps.  compasses: how many stay set at once, in the whole layout.
    """

    label: str
    verdict: Verdict
    aims: tuple[str, ...]
    hands: tuple[HandFigures, ...]
    moves: tuple[ToolMoves, ...]
    all_moves: int
    lemoine: LemoineCount | NoCount
    tools: tuple[str, ...]
    compasses: int

    @property
    def own_moves(self) -> int:
        """All moves of its own steps."""
        return sum(one.total for one in self.moves)

    def hand(self, level: str) -> HandFigures | None:
        """Return the figures of a level."""
        return next((one for one in self.hands if one.level == level), None)


@dataclass(frozen=True, slots=True)
class Turnover:
    """Where another method comes first.

    at: in the scan's unit.  under, over: numbers of the methods that are first below and above.
    ends: "under" where the one below can not be done any more from there on, "over" where the one above can only from there on, "" else.
    """

    at: float
    under: int
    over: int
    ends: str


@dataclass(frozen=True, slots=True)
class Scan:
    """Every method's reach along one thing that may differ from bench to bench (*first order*; rounding as a spread).

    by: `LENGTH` (mm), `GRADUATION` (mm) or `HAND` (times the level's errors).  here: where the recipe stands.
    at: the places looked at, rising.  reaches: a row a method, in mm; infinite where it can not be done there.
    turnovers: where the order turns, rising.
    """

    by: str
    here: float
    at: tuple[float, ...]
    reaches: tuple[tuple[float, ...], ...]
    turnovers: tuple[Turnover, ...]


@dataclass(frozen=True, slots=True)
class Comparison:
    """Ways side by side.

    titles: of the recipes, each once.  graduation: of the first one's ruler, exact, in mm.
    claim: as the first way words it.  size: the length it is about.  level: of the hand that the scans are for.
    seed, trials: of the trials, for each way and level.  scans: empty where the claim misses by no length.
    others: texts of the other claims that all ways make.  left_out: ways that can not be done, with why.
    same_plate: False where the recipes' plates or rulers differ.  judged: True where the bench's figures are judgement.
    """

    titles: tuple[str, ...]
    graduation: Fraction
    claim: PlannedClaim
    size: Size
    level: str
    seed: int
    trials: int
    methods: tuple[Method, ...]
    scans: tuple[Scan, ...]
    others: tuple[str, ...]
    left_out: tuple[tuple[str, tuple[Diagnostic, ...]], ...]
    same_plate: bool
    judged: bool

    def best(self, level: str) -> int | None:
        """Return the number of the method that misses least with a hand of this level; None where nothing was measured."""
        reaches = [one.best_mm if (one := method.hand(level)) is not None else float("inf") for method in self.methods]
        least = min(reaches)
        return reaches.index(least) if least < float("inf") else None

    def scan(self, by: str) -> Scan | None:
        """Return the scan along one thing."""
        return next((one for one in self.scans if one.by == by), None)
