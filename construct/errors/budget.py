"""Uncertainty budgets: what each source in each step costs at every mark and along every cut edge.

By the law of propagation (JCGM 100, 5.1; JCGM 102, 6.2): *first order*.  Nothing
is trimmed: an input has no row only where its sensitivity is exactly zero, and
how many those are is said.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from construct.errors import Row, effective_degrees
from construct.errors.measurands import SIMPSON, LayoutFormula, step_name
from construct.errors.monte_carlo import MonteCarlo, tolerance
from construct.errors.propagation import Propagation
from construct.phrasebook import say
from construct.plan import Plan

Array = NDArray[np.float64]

ELLIPSE_K = math.sqrt(-2 * math.log(0.05))
"""k of the 95 % ellipse of a bivariate normal distribution, 2.4477 (JCGM 102, 6.5.2)."""

NORMAL_K = 1.959963984540054
"""k of the 95 % interval of a normal distribution (JCGM 100, table G.2: 1.96)."""

NO_FIRST_ORDER = "hand.no_first_order"

U_MM = "hand.u"

SOME_LIMIT = "hand.some_limit"

NO_LIMIT = "hand.no_limit"


@dataclass(frozen=True, slots=True)
class Ellipse:
    """The 95 % coverage ellipse of a mark (*first order*; JCGM 102).

    longer_mm, shorter_mm: semi-axes, k·√eigenvalue.  direction_deg: of the longer one, from the grain clockwise, 0…180.
    """

    longer_mm: float
    shorter_mm: float
    direction_deg: float


@dataclass(frozen=True, slots=True)
class Trials:
    """The Monte Carlo column for one mark or station (*estimate*).

    u_x_mm, u_y_mm: of a mark; at a station u_x_mm is NaN and u_y_mm too.  u_mm: see `U_MM`; at a station the u of the displacement.
    r: correlation of a mark's x and y.  low_mm, high_mm: 95 % coverage interval: of x, y, or the displacement, in that order.
    agrees: whether first order's interval is within the numerical tolerance of these (JCGM 101, 8), given
        how far the trials scatter by themselves; None without first order.
    """

    u_x_mm: float
    u_y_mm: float
    u_mm: float
    r: float
    low_mm: tuple[float, ...]
    high_mm: tuple[float, ...]
    agrees: bool | None


@dataclass(frozen=True, slots=True)
class MarkBudget:
    """One mark.

    x_mm, y_mm: estimates, from the plate's middle; y runs along the grain.
    u_x_mm, u_y_mm, r: standard uncertainties and correlation; covariance_mm2: ((xx, xy), (yx, yy)).
    u_mm: √(u_x² + u_y²).  rows: by source and step, the largest first, in quadrature u_mm.
    by_source, by_step: the same, gathered.  untouched: inputs that do not reach it.
    nu: effective degrees of freedom.  ellipse: None where there is no spread.
    note: "" or why there is no first-order budget; its figures are then NaN.
    trials: the Monte Carlo column, None where no trials were run.
    """

    name: str
    index: int
    line: int
    x_mm: float
    y_mm: float
    u_x_mm: float
    u_y_mm: float
    r: float
    covariance_mm2: tuple[tuple[float, float], tuple[float, float]]
    u_mm: float
    rows: tuple[Row, ...]
    by_source: tuple[tuple[str, float], ...]
    by_step: tuple[tuple[str, float], ...]
    untouched: int
    nu: float
    ellipse: Ellipse | None
    note: str
    trials: Trials | None = None


@dataclass(frozen=True, slots=True)
class StationBudget:
    """A place on a cut edge: how far the edge lies off there, square to itself.

    where: "start", "middle", "finish".  x_mm, y_mm: the place without errors.
    normal: unit vector of a positive displacement.  u_mm: of the displacement; u_with_knife_mm: with the knife's entry added.
    Other fields as in `MarkBudget`.
    """

    where: str
    x_mm: float
    y_mm: float
    normal: tuple[float, float]
    u_mm: float
    u_with_knife_mm: float
    rows: tuple[Row, ...]
    untouched: int
    nu: float
    note: str
    trials: Trials | None = None


@dataclass(frozen=True, slots=True)
class EdgeBudget:
    """One cut edge (or groove): name of the drawn thing, the chips it bounds, and three stations.

    rms_mm: root mean square of u along the edge (Simpson's rule over the stations).  length_mm: *estimate*.
    """

    number: int
    name: str
    chips: tuple[int, ...]
    groove: bool
    length_mm: float
    rms_mm: float
    stations: tuple[StationBudget, ...]


@dataclass(frozen=True, slots=True)
class StepCost:
    """What a step costs at the edges: length-weighted root mean square over all cut edges.

    rows: by source, in quadrature rms_mm.  share: its part of the mean square over all steps.
    """

    step: str
    heading: str
    line: int
    rms_mm: float
    share: float
    rows: tuple[Row, ...]


class Grouping:
    """Inputs gathered by step and source; rows of one group add in quadrature."""

    def __init__(self, plan: Plan, propagation: Propagation) -> None:
        steps = {step.key: step for step in plan.steps}
        groups: dict[tuple[str, str], int] = {}
        places = np.array([groups.setdefault((one.step, one.source.name), len(groups)) for one in propagation.inputs], dtype=int)
        self.groups = list(groups)
        self._members = np.zeros((len(propagation.inputs), len(groups)))
        self._members[np.arange(len(propagation.inputs)), places] = 1.0
        self.lines = [steps[key].span.line if key in steps else 0 for key, _ in groups]
        self.names = [step_name(plan, steps[key]) if key in steps else key for key, _ in groups]
        self.headings = [steps[key].heading if key in steps else "" for key, _ in groups]

    def gathered(self, squares: Array) -> Array:
        """Return variances by group from variances by input, shape (…, groups)."""
        return squares @ self._members

    def rows(self, variances: Array) -> tuple[Row, ...]:
        """Return the rows of one budget, the largest first; groups without any effect have none."""
        total = float(variances.sum())
        order = [one for one in np.argsort(-variances, kind="stable").tolist() if variances[one] != 0]
        sizes = variances.tolist()
        return tuple(
            Row(self.groups[one][1], self.names[one], self.lines[one], math.sqrt(sizes[one]), sizes[one] / total) for one in order
        )

    def nu(self, variances: Array, degrees: Mapping[str, float]) -> float:
        """Return ν_eff over independent sources: what shares an estimated figure is combined first (JCGM 100, G.4)."""
        if not degrees:
            return math.inf
        return effective_degrees([(u, degrees.get(source, math.inf)) for source, u in gather(self.rows(variances), "source")])


def gather(rows: Sequence[Row], by: str) -> tuple[tuple[str, float], ...]:
    """Return rows summed in quadrature by "source" or "step", the largest first."""
    squares: dict[str, list[float]] = {}
    for row in rows:
        squares.setdefault(getattr(row, by), []).append(row.u_mm**2)
    return tuple(sorted(((name, math.sqrt(math.fsum(some))) for name, some in squares.items()), key=lambda one: -one[1]))


def ellipse(covariance: Array) -> Ellipse | None:
    """Return the 95 % ellipse of a 2×2 covariance in mm²; None where there is no spread at all."""
    values, vectors = np.linalg.eigh(covariance)
    if not values[1] > 0:
        return None
    x, y = vectors[:, 1]
    direction = math.degrees(math.atan2(x, y)) % 180.0
    shorter, longer = (ELLIPSE_K * math.sqrt(max(float(value), 0.0)) for value in values)
    return Ellipse(longer, shorter, direction)


def correlation(covariance: Array) -> float:
    """Return r of a 2×2 covariance; 0 where one of the two does not vary."""
    scale = math.sqrt(covariance[0, 0] * covariance[1, 1])
    return float(covariance[0, 1] / scale) if scale > 0 else 0.0


def mark_budgets(
    formula: LayoutFormula,
    propagation: Propagation,
    places: Sequence[tuple[float, float]],
    monte_carlo: MonteCarlo | None,
    degrees: Mapping[str, float],
) -> tuple[MarkBudget, ...]:
    """Return a budget for every mark; `places` are their exact places as floats, in mm."""
    plan = formula.plan
    grouping = Grouping(plan, propagation)
    signed = propagation.contributions
    squares = signed**2
    u = np.sqrt(squares.sum(axis=1))
    budgets = []
    for index, (x, y) in zip(formula.marks, places, strict=True):
        at = formula.of_mark(index)
        thing = plan.things[index]
        line = plan.step(thing.step).span.line if thing.step >= 0 else 0
        trials = None if monte_carlo is None else _mark_trials(at, propagation, u, monte_carlo)
        contributions = signed[at]
        nan = math.nan
        if np.isnan(contributions).any() or np.isnan(propagation.estimates[at]).any():
            budgets.append(MarkBudget(thing.name, index, line, x, y, nan, nan, nan, ((nan, nan), (nan, nan)), nan,
                                      (), (), (), 0, nan, None, say(NO_FIRST_ORDER), trials))  # fmt: skip
            continue
        covariance = contributions @ contributions.T
        variances = grouping.gathered(squares[at].sum(axis=0))
        rows = grouping.rows(variances)
        budgets.append(
            MarkBudget(
                name=thing.name,
                index=index,
                line=line,
                x_mm=x,
                y_mm=y,
                u_x_mm=math.sqrt(covariance[0, 0]),
                u_y_mm=math.sqrt(covariance[1, 1]),
                r=correlation(covariance),
                covariance_mm2=tuple(map(tuple, covariance.tolist())),  # type: ignore[arg-type]
                u_mm=math.sqrt(covariance[0, 0] + covariance[1, 1]),
                rows=rows,
                by_source=gather(rows, "source"),
                by_step=gather(rows, "step"),
                untouched=int((squares[at].sum(axis=0) == 0).sum()),
                nu=grouping.nu(variances, degrees),
                ellipse=ellipse(covariance),
                note="",
                trials=trials,
            )
        )
    return tuple(budgets)


def edge_budgets(
    formula: LayoutFormula, propagation: Propagation, knife_u_mm: float, monte_carlo: MonteCarlo | None, degrees: Mapping[str, float]
) -> tuple[EdgeBudget, ...]:
    """Return a budget for every cut edge; knife_u_mm: u of the knife's entry against the line."""
    plan = formula.plan
    grouping = Grouping(plan, propagation)
    contributions = propagation.contributions
    gathered = grouping.gathered(contributions**2)
    spread = np.sqrt(gathered.sum(axis=1))
    budgets = []
    for edge in formula.edges:
        stations = []
        for station, place in zip(edge.stations, range(*formula.of_edge(edge.number).indices(len(contributions))), strict=True):
            trials = None if monte_carlo is None else _station_trials(place, propagation, spread, monte_carlo)
            x, y = float(station.x), float(station.y)
            if np.isnan(contributions[place]).any() or math.isnan(propagation.estimates[place]):
                nan = math.nan
                stations.append(StationBudget(station.where, x, y, station.normal, nan, nan, (), 0, nan, say(NO_FIRST_ORDER), trials))
                continue
            variances = gathered[place]
            u = math.sqrt(float(variances.sum()))
            stations.append(
                StationBudget(
                    where=station.where,
                    x_mm=x,
                    y_mm=y,
                    normal=station.normal,
                    u_mm=u,
                    u_with_knife_mm=math.hypot(u, knife_u_mm),
                    rows=grouping.rows(variances),
                    untouched=int((contributions[place] == 0).sum()),
                    nu=grouping.nu(variances, degrees),
                    note="",
                    trials=trials,
                )
            )
        mean = math.fsum(weight * one.u_mm**2 for weight, one in zip(SIMPSON, stations, strict=True))
        chips = tuple(number for number, _ in edge.sides)
        name = plan.things[edge.thing].name
        budgets.append(EdgeBudget(edge.number, name, chips, edge.groove, edge.length_mm, math.sqrt(mean), tuple(stations)))
    return tuple(budgets)


def edge_weights(formula: LayoutFormula, propagation: Propagation) -> tuple[list[int], Array]:
    """Return the measurands at cut edges that have a budget, and their weights by length; grooves are no edges."""
    places: list[int] = []
    weights: list[float] = []
    for edge in formula.edges:
        if edge.groove:
            continue
        for place, weight in zip(range(*formula.of_edge(edge.number).indices(len(propagation.estimates))), SIMPSON, strict=True):
            if not math.isnan(propagation.estimates[place]):
                places.append(place)
                weights.append(weight * edge.length_mm)
    scale = math.fsum(weights)
    return places, np.array(weights) / scale if scale else np.array(weights)


def step_costs(formula: LayoutFormula, propagation: Propagation) -> tuple[StepCost, ...]:
    """Return the steps in order of what they cost at the cut edges, the dearest first; none without cut edges."""
    places, weights = edge_weights(formula, propagation)
    if not places:
        return ()
    grouping = Grouping(formula.plan, propagation)
    variances = weights @ grouping.gathered(propagation.contributions[places] ** 2)
    total = float(variances.sum())
    costs = []
    for key in dict.fromkeys(key for key, _ in grouping.groups):
        mine = np.array([one == key for one, _ in grouping.groups])
        variance = float(variances[mine].sum())
        place = int(np.flatnonzero(mine)[0])
        rows = grouping.rows(np.where(mine, variances, 0.0))
        costs.append(StepCost(grouping.names[place], grouping.headings[place], grouping.lines[place],
                              math.sqrt(variance), variance / total if total else 0.0, rows))  # fmt: skip
    return tuple(sorted(costs, key=lambda cost: -cost.rms_mm))


# --- beside the trials ---------------------------------------------------------------------------


def agrees(estimate: float, u: float, low: float, high: float, kept: int) -> bool | None:
    """Tell whether first order's 95 % interval agrees with the trials' (JCGM 101, 8.1); None where one is missing.

    The tolerance is δ for two digits of u, and on top three standard deviations of an end of the interval that
    so many trials give by themselves: without that, few trials would cry wolf.
    """
    delta = tolerance(u)
    if not all(map(math.isfinite, (estimate, delta, low, high))) or kept < 2:
        return None
    density = math.exp(-NORMAL_K**2 / 2) / math.sqrt(math.tau)
    scatter = math.sqrt(0.025 * 0.975 / kept) / density * u
    off = max(abs(estimate - NORMAL_K * u - low), abs(estimate + NORMAL_K * u - high))
    return off <= delta + 3 * scatter


def _agreement(place: int, propagation: Propagation, u: Array, monte_carlo: MonteCarlo) -> bool | None:
    low, high = float(monte_carlo.low[place]), float(monte_carlo.high[place])
    return agrees(float(propagation.estimates[place]), float(u[place]), low, high, monte_carlo.kept)


def _mark_trials(at: slice, propagation: Propagation, u: Array, monte_carlo: MonteCarlo) -> Trials:
    x, y = range(*at.indices(len(monte_carlo.u)))
    covariance = monte_carlo.covariance[at, at]
    both = [_agreement(place, propagation, u, monte_carlo) for place in (x, y)]
    known = [one for one in both if one is not None]
    return Trials(
        float(monte_carlo.u[x]),
        float(monte_carlo.u[y]),
        math.hypot(monte_carlo.u[x], monte_carlo.u[y]),
        correlation(covariance),
        (float(monte_carlo.low[x]), float(monte_carlo.low[y])),
        (float(monte_carlo.high[x]), float(monte_carlo.high[y])),
        all(known) if known else None,
    )


def _station_trials(place: int, propagation: Propagation, u: Array, monte_carlo: MonteCarlo) -> Trials:
    nan = math.nan
    low, high = float(monte_carlo.low[place]), float(monte_carlo.high[place])
    return Trials(nan, nan, float(monte_carlo.u[place]), nan, (low,), (high,), _agreement(place, propagation, u, monte_carlo))
