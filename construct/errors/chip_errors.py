"""What the hand's errors do to the chips: width, depth, area and land of each, and how unequal alike ones come out.

*First order* beside trials (*estimates*).  The knife's entry is one error a cut,
its angle one a chip: see `KNIFE_SAID`.  Trials that can not be finished are
counted with what happened in them, and are in no other figure.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

import numpy as np

from construct.chips import Carving
from construct.chips.survey import Survey
from construct.errors import Row
from construct.errors.budget import NO_FIRST_ORDER, NORMAL_K, Grouping, agrees
from construct.errors.chip_formula import ANGLE, ENTRY, PER_CHIP, ChipFormula, ChipModel
from construct.errors.chip_models import LOOSE, make_lands, make_models
from construct.errors.measurands import touching_steps
from construct.errors.monte_carlo import MonteCarlo, run
from construct.errors.propagation import TANGENT_SLACK, Propagation, propagate
from construct.number_systems import Source
from construct.number_systems.float import FloatSystem
from construct.phrasebook import say
from construct.replay import Settled, replay_around

TRIALS = 20_480
"""Trials where none are asked for: they settle two digits of most figures, in a second for a full plate."""

MOST = 1_000_000
"""Trials that are run at most until the figures rest: about a minute of a full plate."""

SEED = 20_250_101

MANY_HOLD = "hand.many_hold"


@dataclass(frozen=True, slots=True)
class Chance:
    """How often something happens, from trials (*estimate*).

    share: 0…1.  low, high: its 95 % interval by Wilson's score; with none among n trials still up to about 4/n.
    """

    share: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class FigureTrials:
    """The Monte Carlo column (*estimate*): mean, u, ends of the 95 % coverage interval; agrees: see `budget.agrees`."""

    mean: float
    u: float
    low: float
    high: float
    agrees: bool | None


@dataclass(frozen=True, slots=True)
class Figure:
    """One measurand of a chip, in mm (areas in mm²).

    value: as drawn.  u: standard uncertainty (*first order*), NaN where `note` says why there is none.
    low, high: the 95 % coverage interval value ± 1.96 u (*first order*).
    rows: by source and step, the largest first; in quadrature u.  trials: None where none were run.
    """

    value: float
    u: float
    low: float
    high: float
    rows: tuple[Row, ...]
    note: str
    trials: FigureTrials | None


@dataclass(frozen=True, slots=True)
class ChipFigures:
    """One chip: its number and name; depth is None where no knife angle is said.

    closes: the chance that nothing is left of its width.  another: the chance that a wall which does not hold the widest
    circle in the drawing comes to cut into it: there the width is given too large.  deeper: that it comes deeper than
    the survey's limit; through: than the wood is thick.  None without trials, or where there is nothing to go by.
    """

    number: int
    name: str
    width: Figure
    depth: Figure | None
    area: Figure
    closes: Chance | None
    another: Chance | None
    deeper: Chance | None
    through: Chance | None


@dataclass(frozen=True, slots=True)
class LandFigures:
    """The land between two chips, by number.

    under: the chance that it falls under the least land wanted; gone: that nothing is left of it.
    """

    chips: tuple[int, int]
    land: Figure
    under: Chance | None
    gone: Chance | None


@dataclass(frozen=True, slots=True)
class Spread:
    """How unequal alike chips come out in one plate; in mm or mm².

    u: root mean square of the standard deviation over the chips (*first order*): what all share drops out.
    deviation: its mean over the trials; range_high: what the largest less the smallest does not exceed in 95 % of them,
        one-sided (*estimates*).
    """

    u: float
    deviation: float
    range_mean: float
    range_high: float


@dataclass(frozen=True, slots=True)
class AlikeSpread:
    """Chips that are alike, by number, and how unequal they come out; depth None where it is not followed."""

    chips: tuple[int, ...]
    width: Spread
    depth: Spread | None
    area: Spread


@dataclass(frozen=True, slots=True)
class ChipErrors:
    """The chips' errors for one way through a recipe.

    level: the bench's.  seed, trials, lost, lost_where: of the Monte Carlo; 0 trials where none were run.
    stable: whether an adaptive run came to rest within its numerical tolerance (JCGM 101, 7.9.4); None where the number was given.
    chips, lands, alike: the figures.  missing: chips that could not be followed, with why, by number.
    entry, angle: the knife's two sources.  land_mm: the least land wanted.
    """

    level: str
    seed: int
    trials: int
    lost: int
    lost_where: tuple[tuple[str, int], ...]
    stable: bool | None
    chips: tuple[ChipFigures, ...]
    lands: tuple[LandFigures, ...]
    alike: tuple[AlikeSpread, ...]
    missing: tuple[tuple[int, str], ...]
    entry: Source
    angle: Source
    land_mm: float | None

    def chip(self, number: int) -> ChipFigures:
        """Return a chip's figures by number; `KeyError` if there are none."""
        for one in self.chips:
            if one.number == number:
                return one
        raise KeyError(number)


def analyse_chips(
    settled: Settled,
    carving: Carving,
    exact: Any,
    survey: Survey,
    *,
    trials: int | None = TRIALS,
    seed: int = SEED,
    processes: int = 1,
    progress: Callable[[int, int], None] | None = None,
) -> ChipErrors:
    """Follow the bench's errors to the chips of a settled layout; its settings are the bench's.

    survey: of the same carving: its widest places and lands are what is followed.
    trials: how many; 0 for first order alone, None until the results are stable.
    """
    plan = settled.plan
    sources = plan.settings.sources
    entry, angle = (sources.get(name, Source(name, 0.0)) for name in (ENTRY, ANGLE))
    models, missing = make_models(settled, carving, exact, survey)
    shift = survey.limits.shift_mm
    models = _followed(settled, models, missing, entry, angle, shift)
    place_of = {model.number: place for place, model in enumerate(models)}
    same = [tuple(place_of[carving.chips[one].number] for one in group if carving.chips[one].number in place_of) for group in survey.groups]
    formula = ChipFormula(
        plan=plan,
        chips=models,
        lands=make_lands(carving, exact, models, survey.lands),
        alike=tuple(group for group in same if len(group) > 1),
        entry=entry,
        angle=angle,
        shift_mm=shift,
        land_mm=_float(survey.limits.land_mm),
        deepest_mm=_float(survey.limits.deepest_mm),
        thickness_mm=_float(survey.limits.thickness_mm),
    )
    first = propagate(replace(formula, without=frozenset(touching_steps(settled, exact))))
    drawn = None
    if trials != 0 and models and any(one.source.u for one in first.inputs):
        intervals = [*range(formula.first_land + len(formula.lands)), *range(formula.spreads, formula.size)]
        drawn = run(formula, trials=trials, seed=seed, pairs=(), intervals=intervals, most=MOST, processes=processes, progress=progress)
    return _Reader(formula, survey, first, drawn).errors(seed, missing)


def _followed(
    settled: Settled, models: Sequence[ChipModel], missing: dict[int, str], entry: Source, angle: Source, shift: Fraction
) -> tuple[ChipModel, ...]:
    """Return the models whose figures the drawing itself gives; the others go into `missing`."""
    formula = ChipFormula(settled.plan, tuple(models), (), (), entry, angle, shift)
    values, _ = replay_around(settled.plan, FloatSystem(tangent_slack=TANGENT_SLACK, errors={}))
    kept = tuple(model for model in models if formula.can_follow(values, model))
    missing.update({model.number: say(LOOSE) for model in models if model not in kept})
    return kept


def _float(limit: Fraction | None) -> float | None:
    return None if limit is None else float(limit)


class _Reader:
    def __init__(self, formula: ChipFormula, survey: Survey, first: Propagation, drawn: MonteCarlo | None) -> None:
        self.formula, self.first, self.drawn = formula, first, drawn
        self.survey = {one.chip.number: one for one in survey.chips}
        self.lands = {(one.first, one.second): one.middle for one in survey.lands}
        self.grouping = Grouping(formula.plan, first)
        self.squares = self.grouping.gathered(first.contributions**2)

    def errors(self, seed: int, missing: Mapping[int, str]) -> ChipErrors:
        formula, drawn = self.formula, self.drawn
        count, lands = len(formula.chips), len(formula.lands)
        under, gone = formula.first_land + lands, formula.first_land + 2 * lands
        chips = []
        for place, model in enumerate(formula.chips):
            width, depth, area = range(*formula.of_chip(place).indices(formula.size))
            closes, another, deeper, through = (self._chance(formula.first_closing + part * count + place) for part in range(4))
            one = self.survey[model.number]
            chips.append(
                ChipFigures(
                    number=model.number,
                    name=one.chip.name,
                    width=self._figure(width, float(sum(one.width_mm) / 2), MANY_HOLD),
                    depth=self._figure(depth, one.depth.middle, MANY_HOLD) if one.depth is not None and model.tangents else None,
                    area=self._figure(area, float(sum(one.area_mm2) / 2)),
                    closes=closes,
                    another=another,
                    deeper=deeper,
                    through=through,
                )
            )
        between = []
        for place, land in enumerate(formula.lands):
            pair = formula.chips[land.chips[0]].number, formula.chips[land.chips[1]].number
            figure = self._figure(formula.first_land + place, self.lands[pair])
            between.append(LandFigures(pair, figure, self._chance(under + place), self._chance(gone + place)))
        return ChipErrors(
            level=formula.plan.settings.level,
            seed=seed,
            trials=0 if drawn is None else drawn.trials,
            lost=0 if drawn is None else drawn.lost,
            lost_where=() if drawn is None else drawn.lost_where,
            stable=None if drawn is None else drawn.stable,
            chips=tuple(chips),
            lands=tuple(between),
            alike=tuple(self._alike(number, group) for number, group in enumerate(formula.alike)),
            missing=tuple(sorted(missing.items())),
            entry=formula.entry,
            angle=formula.angle,
            land_mm=formula.land_mm,
        )

    def _figure(self, place: int, surveyed: float, why: str = NO_FIRST_ORDER) -> Figure:
        value, variances = float(self.first.estimates[place]), self.squares[place]
        nan = math.nan
        drawn = self.drawn
        if math.isnan(value) or np.isnan(variances).any():
            trials = None if drawn is None else self._trials(place, nan, nan)
            return Figure(surveyed, nan, nan, nan, (), say(why), trials)
        u = math.sqrt(float(variances.sum()))
        trials = None if drawn is None else self._trials(place, value, u)
        return Figure(value, u, value - NORMAL_K * u, value + NORMAL_K * u, self.grouping.rows(variances), "", trials)

    def _trials(self, place: int, value: float, u: float) -> FigureTrials | None:
        drawn = self.drawn
        assert drawn is not None
        low, high = float(drawn.low[place]), float(drawn.high[place])
        return FigureTrials(float(drawn.estimates[place]), float(drawn.u[place]), low, high, agrees(value, u, low, high, drawn.kept))

    def _chance(self, place: int) -> Chance | None:
        """Return how often an indicator was 1; None without trials, or where it has no value."""
        drawn = self.drawn
        if drawn is None or drawn.kept < 2 or math.isnan(drawn.estimates[place]):
            return None
        return chance(float(drawn.estimates[place]), drawn.kept)

    def _alike(self, number: int, group: tuple[int, ...]) -> AlikeSpread:
        width, depth, area = (self._spread(number, group, what) for what in range(PER_CHIP))
        chips = tuple(self.formula.chips[place].number for place in group)
        followed = all(self.formula.chips[place].tangents for place in group)
        return AlikeSpread(chips, width, depth if followed else None, area)

    def _spread(self, number: int, group: tuple[int, ...], what: int) -> Spread:
        rows = self.first.contributions[[PER_CHIP * place + what for place in group]]
        u = math.sqrt(float(((rows - rows.mean(axis=0)) ** 2).sum()) / (len(group) - 1))
        place = self.formula.spreads + 2 * (PER_CHIP * number + what)
        drawn = self.drawn
        if drawn is None:
            return Spread(u, math.nan, math.nan, math.nan)
        return Spread(u, float(drawn.estimates[place]), float(drawn.estimates[place + 1]), float(drawn.top[place + 1]))


def chance(share: float, trials: int) -> Chance:
    """Return a share of so many trials with its 95 % interval by Wilson's score (E. B. Wilson, J. Am. Stat. Assoc. 22 (1927) 209-212)."""
    square = NORMAL_K**2
    middle = (share + square / (2 * trials)) / (1 + square / trials)
    half = NORMAL_K / (1 + square / trials) * math.sqrt(share * (1 - share) / trials + square / (4 * trials**2))
    return Chance(share, max(0.0, middle - half), min(1.0, middle + half))
