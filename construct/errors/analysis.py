"""One bench's errors followed through one settled layout: the record that reports read.

First order beside Monte Carlo, budgets, what the first step does, what moves and
what distorts.  Nothing is printed here and nothing is left for a report to compute.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from construct.chips import Carving
from construct.chips.isometry import groups
from construct.diagnostics import Diagnostic, Mistakes, Span, diagnostic
from construct.errors import InputQuantity
from construct.errors.budget import (
    NO_LIMIT,
    SOME_LIMIT,
    U_MM,
    EdgeBudget,
    MarkBudget,
    StepCost,
    edge_budgets,
    mark_budgets,
    step_costs,
)
from construct.errors.distances import DistanceBudget, find_distance, pair_of
from construct.errors.first_step import FirstStep, keys_of, sensitivities
from construct.errors.measurands import LayoutFormula, make_formula, step_name, touching_steps
from construct.errors.monte_carlo import MonteCarlo, run
from construct.errors.movement import Movement, find_movement
from construct.errors.propagation import TANGENT_SLACK, Propagation, propagate
from construct.errors.worst_case import WorstCase, find_worst_case
from construct.geometry import Point
from construct.number_systems import LimitMet, Number, Rational
from construct.number_systems.first_order import Dual, FirstOrderSystem
from construct.number_systems.float import FloatSystem
from construct.phrasebook import say
from construct.plan import Plan, Step
from construct.replay import Settled, replay_around
from construct.tools._settings import LEVELS, at_level

TRIALS = 40_960
"""Trials where none are asked for: enough for two digits of most figures, in a quarter of a second."""

SEED = 20_250_101
"""Seed where none is given; it is always told."""

KNIFE = "knife entry against the line"


@dataclass(frozen=True, slots=True)
class Errors:
    """Bench errors of one way through a recipe.

    level: the bench's.  seed, trials: of the Monte Carlo; 0 trials where none were run.
    lost, lost_where: trials lost, and by what happened first.  stable: see `MonteCarlo`.
    inputs: every error that the layout makes, with its standard uncertainty and where that comes from.
    marks, edges: budgets (*first order*), each with its Monte Carlo column (*estimate*).
    costs: steps by what they cost at the cut edges; empty without cut edges.
    first_step: closed forms (*exact*) for the recipe's first heading or the step asked for.
    movement: what moves and what distorts; None for fewer than three marks.
    worst: how far off at most when each error stays within its limit; None where it was not asked for.
    distance: of the two marks that were asked for; None where none were.
    knife_u_mm: u of the knife's entry against the line, which is in no budget here but in `u_with_knife_mm`.
    warnings: diagnostics that the layout survives.  notes: sentences that belong under every table of these figures.
    """

    level: str
    seed: int
    trials: int
    lost: int
    lost_where: tuple[tuple[str, int], ...]
    stable: bool | None
    inputs: tuple[InputQuantity, ...]
    marks: tuple[MarkBudget, ...]
    edges: tuple[EdgeBudget, ...]
    costs: tuple[StepCost, ...]
    first_step: FirstStep
    movement: Movement | None
    worst: WorstCase | None
    distance: DistanceBudget | None
    knife_u_mm: float
    warnings: tuple[Diagnostic, ...]
    notes: tuple[str, ...]

    def mark(self, name: str) -> MarkBudget:
        """Return a mark's budget by name; `KeyError` if there is none."""
        for one in self.marks:
            if one.name == name:
                return one
        raise KeyError(name)


def analyse(
    settled: Settled,
    carving: Carving | None,
    exact: Any,
    *,
    bench: str | None = None,
    trials: int | None = TRIALS,
    seed: int = SEED,
    at: str | None = None,
    processes: int = 1,
    progress: Callable[[int, int], None] | None = None,
    degrees: Mapping[str, float] | None = None,
    worst: bool = True,
) -> Errors:
    """Follow the bench's errors through a settled layout.

    bench: another level ("careful", "ordinary", "beginner"); what the recipe sets itself stays.
    trials: how many; 0 for first order alone, None until the results are stable (JCGM 101, 7.9).
    at: a step's heading or the name of what a step makes, instead of the first heading; or two marks, as in "B T", whose
        distance is then followed as well.
    degrees: degrees of freedom of sources that were measured, by name; all others count as infinite.
    worst: whether the worst case within limits is wanted as well.
    Raises `Mistakes` where `bench`, `at`, `trials` or `seed` make no sense.
    """
    check(settled.plan, bench, trials, seed, at)
    settled = at_bench(settled, bench)
    plan = settled.plan
    whole, corners = make_formula(settled, carving, exact)
    touching = touching_steps(settled, exact)
    formula = replace(whole, without=frozenset(touching))
    propagation = propagate(formula)
    inputs = _all_inputs(whole, propagation)
    # a bench whose every error is nothing needs no trials
    drawn = None
    if trials != 0 and inputs:
        drawn = run(whole, trials=trials, seed=seed, pairs=whole.pairs, processes=processes, progress=progress)
    known = degrees or {}
    knife = plan.settings.sources[KNIFE].u if KNIFE in plan.settings.sources else 0.0

    def spot(point: Point) -> tuple[float, float]:
        return exact.to_float(point.x), exact.to_float(point.y)

    places = [spot(settled.values[index]) for index in whole.marks]
    pair = None if at is None else pair_of(plan, at)
    distance = None
    if pair is not None:
        ends = [places[whole.marks.index(index)] for index in pair]
        at, distance = None, find_distance(whole, formula.without, pair, ends, trials=trials, seed=seed, degrees=known)
    marks = mark_budgets(formula, propagation, places, drawn, known)
    edges = edge_budgets(formula, propagation, knife, drawn, known)
    title, mine = keys_of(plan, inputs, at)
    alike, notes = _alike(carving, exact)
    return Errors(
        level=plan.settings.level,
        seed=seed,
        trials=0 if drawn is None else drawn.trials,
        lost=0 if drawn is None else drawn.lost,
        lost_where=() if drawn is None else drawn.lost_where,
        stable=None if drawn is None else drawn.stable,
        inputs=tuple(inputs),
        marks=marks,
        edges=edges,
        costs=step_costs(formula, propagation),
        first_step=sensitivities(formula, corners, exact, mine, title),
        movement=find_movement(formula, propagation, carving, alike, spot),
        worst=find_worst_case(formula, propagation, plan.settings.sources.get(KNIFE)) if worst and inputs else None,
        distance=distance,
        knife_u_mm=knife,
        warnings=(
            *_touching_warnings(plan, touching),
            *_reading_warnings(formula, propagation),
            *_trial_warnings(plan, marks, edges, drawn),
        ),
        notes=(say(U_MM), say(SOME_LIMIT if known else NO_LIMIT), *notes),
    )


def unknown_level(bench: str | None) -> Diagnostic | None:
    """Return what is wrong with a bench's name; None for a level of hand, or where none is named."""
    if bench is None or bench in LEVELS:
        return None
    return diagnostic("C530", bench=bench, levels=f"{', '.join(LEVELS[:-1])} {say('list.or')} {LEVELS[-1]}")


def at_bench(settled: Settled, bench: str | None) -> Settled:
    """Return a settled layout at another level of hand; as it is for None."""
    if bench is None:
        return settled
    return replace(settled, plan=replace(settled.plan, settings=at_level(settled.plan.settings, bench)))


def check(plan: Plan, bench: str | None, trials: int | None, seed: int, at: str | None) -> None:
    """Raise `Mistakes` for options that make no sense."""
    wrongs = []
    wrong = unknown_level(bench)
    if wrong is not None:
        wrongs.append(wrong)
    if at is not None and at not in plan.headings and at not in (thing.name for thing in plan.things) and pair_of(plan, at) is None:
        wrongs.append(diagnostic("C531", at=at))
    if trials is not None and (trials < 0 or trials == 1):
        wrongs.append(diagnostic("C532.spread", trials=trials))
    if seed < 0:
        wrongs.append(diagnostic("C533"))
    if wrongs:
        raise Mistakes(tuple(wrongs))


def _all_inputs(whole: LayoutFormula, propagation: Propagation) -> list[InputQuantity]:
    """Return every error of the layout, also those of steps without a first-order budget."""
    if not whole.plan.steps:
        return []
    noting = FloatSystem(tangent_slack=TANGENT_SLACK, errors={})
    replay_around(whole.plan, noting)
    have = {one.key: one for one in propagation.inputs}
    return [have.get(key, InputQuantity(key, source)) for key, source in noting.noted.items()]


def _alike(carving: Carving | None, exact: Any) -> tuple[list[list[Any]], tuple[str, ...]]:
    if carving is None:
        return [], ()
    try:
        return [[carving.chips[one] for one in group] for group in groups(exact, carving.chips)], ()
    except LimitMet as limit:
        return [], (say("hand.alike_unsettled", limit=limit.reason),)


# --- warnings -------------------------------------------------------------------------------------


def _warning(plan: Plan, key: str, span: Span | None = None, /, **values: object) -> Diagnostic:
    text = plan.lines[span.line - 1] if span is not None and 0 < span.line <= len(plan.lines) else ""
    return diagnostic(key, span, text, warning=True, **values)


def _touching_warnings(plan: Plan, touching: Mapping[int, Any]) -> list[Diagnostic]:
    return [
        _warning(plan, "R301", step.span, step=step_name(plan, step), reason=touching[step.number].reason)
        for step in plan.steps
        if touching.get(step.number) is not None
    ]


class _Reader(FirstOrderSystem):
    """First order that remembers what was read, and at which graduation."""

    def __init__(self, keys: Sequence[Any]) -> None:
        super().__init__(base=FloatSystem(tangent_slack=TANGENT_SLACK), errors=keys)
        self.read: list[tuple[Dual, Rational]] = []

    def reading(self, value: Dual, graduation: Rational) -> Dual:
        """The reading, remembered."""
        self.read.append((value, graduation))
        return super().reading(value, graduation)


def _reading_warnings(formula: LayoutFormula, propagation: Propagation) -> list[Diagnostic]:
    """Warn of readings of lengths that vary so much that the rounding is no fixed offset any more."""
    plan = formula.plan
    if not any("ruler" in step.phrase.text for step in plan.steps):
        return []
    reader = _Reader([one.key for one in propagation.inputs])
    u = propagation.u
    found: list[Diagnostic] = []

    def watch(step: Step, values: Sequence[Number]) -> None:
        for value, graduation in reader.read:
            spread = 0.0 if value.grad is None else math.hypot(*(value.grad * u))
            if spread > float(graduation) / 4:
                found.append(_warning(plan, "R302", step.span, spread=spread, graduation=float(graduation)))
        reader.read.clear()

    replay_around(plan, reader, without=formula.without, watch=watch)
    return found


def _trial_warnings(plan: Plan, marks: Sequence[MarkBudget], edges: Sequence[EdgeBudget], drawn: MonteCarlo | None) -> list[Diagnostic]:
    if drawn is None:
        return []
    found = []
    if drawn.lost:
        where = "; ".join(say("trials.lost", count=count, what=what) for what, count in drawn.lost_where)
        found.append(_warning(plan, "R303", lost=drawn.lost, trials=drawn.trials, where=where))
    if drawn.stable is False:
        found.append(_warning(plan, "R304", trials=drawn.trials))
    differ = [one.name for one in marks if one.trials is not None and one.trials.agrees is False]
    differ += [f"{edge.name} ({station.where})" for edge in edges for station in edge.stations
               if station.trials is not None and station.trials.agrees is False]  # fmt: skip
    if differ:
        found.append(_warning(plan, "R305", places=", ".join(dict.fromkeys(differ))))
    return found
