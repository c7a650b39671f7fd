"""How sure the distance of two marks is: a measurand of its own, because what moves both marks alike leaves it as it is.

*First order* beside trials (*estimates*) and the worst case within limits (*enclosure*).
Where the two marks fall together as drawn a distance has no slope, and only the trials tell.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from construct.errors import Row
from construct.errors.budget import NO_FIRST_ORDER, NORMAL_K, Grouping, agrees
from construct.errors.measurands import LayoutFormula, judge
from construct.errors.monte_carlo import run
from construct.errors.propagation import propagate
from construct.errors.worst_case import limit_of
from construct.geometry import distance
from construct.number_systems import NotANumber, Number, NumberSystem
from construct.number_systems._box import BoxSystem
from construct.number_systems.samples import SampleSystem
from construct.plan import Plan
from construct.replay import replay_around


@dataclass(frozen=True, slots=True)
class DistanceTrials:
    """The Monte Carlo column (*estimate*): mean, u, ends of the 95 % coverage interval; agrees: see `budget.agrees`."""

    trials: int
    lost: int
    mean_mm: float
    u_mm: float
    low_mm: float
    high_mm: float
    agrees: bool | None


@dataclass(frozen=True, slots=True)
class DistanceBudget:
    """The distance of two marks.

    names: of the marks.  distance_mm: as drawn.  u_mm: standard uncertainty (*first order*), NaN where `note` says why there is none.
    k, expanded_mm: coverage factor for 95 % of a normal distribution, and U = k·u.
    apart_mm: what u would be if the two marks had nothing in common: the root of the squares of their u along the way.
    rows: by source and step, the largest first, in quadrature u_mm.  untouched: inputs that do not reach it.  nu: degrees of freedom.
    within_mm: between what it lies when every error is within its limit (*enclosure*); None without a bound.
    trials: None where none were run.
    """

    names: tuple[str, str]
    distance_mm: float
    u_mm: float
    k: float
    expanded_mm: float
    apart_mm: float
    rows: tuple[Row, ...]
    untouched: int
    nu: float
    within_mm: tuple[float, float] | None
    note: str
    trials: DistanceTrials | None


@dataclass(frozen=True, slots=True)
class _Formula:
    """The distance of two things of a layout, by index."""

    layout: LayoutFormula
    marks: tuple[int, int]

    def __call__(self, numbers: NumberSystem) -> Sequence[Number | None]:
        plan = self.layout.plan
        values, _ = replay_around(plan, numbers, without=self.layout.without)
        if isinstance(numbers, SampleSystem) and numbers.has_errors:
            judge(plan, numbers, values)
        first, second = (values[index] for index in self.marks)
        return [None if first is None or second is None else distance(numbers, first, second)]


def pair_of(plan: Plan, at: str) -> tuple[int, int] | None:
    """Return the two marks that words such as "B T" name, by index; None for anything else."""
    marks = {thing.name: index for index, thing in enumerate(plan.things) if thing.kind == "mark"}
    names = at.split()
    if at in plan.headings or len(names) != 2 or names[0] == names[1] or not all(name in marks for name in names):
        return None
    return marks[names[0]], marks[names[1]]


def find_distance(
    whole: LayoutFormula,
    without: frozenset[int],
    marks: tuple[int, int],
    places: Sequence[tuple[float, float]],
    *,
    trials: int | None,
    seed: int,
    degrees: Mapping[str, float],
) -> DistanceBudget:
    """Return the budget of a distance.

    without: steps that have no first order.  places: of the two marks as drawn, in mm.
    trials: how many; 0 for first order alone, None until the figures rest.
    """
    plan = whole.plan
    names = plan.things[marks[0]].name, plan.things[marks[1]].name
    drawn_mm = math.dist(*places)
    formula = _Formula(LayoutFormula(plan, whole.marks, (), without), marks)
    nan = math.nan
    rows: tuple[Row, ...] = ()
    within: tuple[float, float] | None = None
    u, untouched, nu, apart, note = nan, 0, nan, nan, NO_FIRST_ORDER
    try:
        found = propagate(formula)
    except NotANumber:
        found = None
    if found is not None and not math.isnan(found.estimates[0]):
        grouping = Grouping(plan, found)
        squares = found.contributions[0] ** 2
        variances = grouping.gathered(squares)
        u, rows, note = math.sqrt(float(squares.sum())), grouping.rows(variances), ""
        untouched, nu = int((squares == 0).sum()), grouping.nu(variances, degrees)
        apart = _apart(formula, places)
        within = _within(formula, {one.key: math.nextafter(limit_of(one.source), math.inf) for one in found.inputs})
    column = None
    if trials != 0 and (found is None or found.inputs):
        drawn = run(_Formula(LayoutFormula(plan, whole.marks, ()), marks), trials=trials, seed=seed, pairs=())
        low, high = float(drawn.low[0]), float(drawn.high[0])
        column = DistanceTrials(
            drawn.trials, drawn.lost, float(drawn.estimates[0]), float(drawn.u[0]), low, high, agrees(drawn_mm, u, low, high, drawn.kept)
        )
    return DistanceBudget(names, drawn_mm, u, NORMAL_K, NORMAL_K * u, apart, rows, untouched, nu, within, note, column)


def _apart(formula: _Formula, places: Sequence[tuple[float, float]]) -> float:
    """Return what u would be if the errors of the two marks were independent."""
    (ax, ay), (bx, by) = places
    scale = math.dist(*places)
    way = (bx - ax) / scale, (by - ay) / scale
    found = propagate(_Marks(formula))
    along = [found.contributions[row] * way[0] + found.contributions[row + 1] * way[1] for row in (0, 2)]
    return math.sqrt(float(sum((one**2).sum() for one in along)))


@dataclass(frozen=True, slots=True)
class _Marks:
    """Both marks' places."""

    distance: _Formula

    def __call__(self, numbers: NumberSystem) -> Sequence[Number | None]:
        values, _ = replay_around(self.distance.layout.plan, numbers, without=self.distance.layout.without)
        return [number for index in self.distance.marks for number in (values[index].x, values[index].y)]


def _within(formula: _Formula, half: Mapping[tuple[object, ...], float]) -> tuple[float, float] | None:
    try:
        (found,) = formula(BoxSystem(half))
    except NotANumber:
        return None
    return None if found is None else found.range
