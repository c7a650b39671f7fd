"""A recipe made ready for the bench: its stages with their actions, and after each what to measure, how far off, and what to mend.

How far off a measuring may be is followed through the layout by first order (JCGM 100, 5), reading the
ruler included.  Where several lengths are compared, each is allowed so much that all of them
together keep within it 19 times in 20 (Bonferroni's inequality).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from statistics import NormalDist
from typing import Any

import numpy as np
from numpy.typing import NDArray

from construct.chips import Carving
from construct.claims import Verdict
from construct.errors.budget import Grouping
from construct.errors.measurands import touching_steps
from construct.errors.propagation import Propagation, propagate
from construct.geometry import Circle, radius
from construct.language.syntax import Method, Recipe
from construct.number_systems import LimitMet, NotANumber, Number, NumberSystem
from construct.plan import EDGE, Plan, PlannedClaim, Step
from construct.replay import Settled, argument_value, replay_around
from construct.teaching import Act, Bench, Culprit, Measuring, Setting, Stage
from construct.teaching.acts import Acts, names_by_line
from construct.teaching.measures import Offs, measure, still
from construct.teaching.rounding import settled as on_ruler
from construct.tools import Settings
from construct.tools._settings import LEVELS, at_level

Array = NDArray[np.float64]

READING = "mark by ruler"
"""The bench error that a reading of the ruler makes: as much as a mark set by it."""

PART = 0.05
"""What is left over, 1 time in 20."""

MOST_CIRCLES = 2
"""Finished circles measured across where a stage claims nothing."""

WORTH_NAMING = 0.15
MOST_CULPRITS = 2
"""An action with a smaller part in what is off is not worth doing again first: judgement."""


def make_ready(
    recipe: Recipe,
    methods: Sequence[Method],
    settled: Settled,
    carving: Carving | None,
    exact: Any,
    drawn: Sequence[Any],
    verdicts: Sequence[Verdict],
    *,
    graduation: Fraction | None = None,
    bench: str | None = None,
) -> Bench:
    """Return a recipe's stages for the bench.

    graduation: of the user's ruler in mm, the recipe's own where None.  bench: a level of hand instead of the recipe's.
    """
    plan = settled.plan
    settings = plan.settings if bench is None else at_level(plan.settings, bench)
    step = plan.settings.graduation if graduation is None else graduation
    acts = Acts(recipe, methods, settled, carving, exact, drawn, step)
    measurings = _Measurings(settled, exact, drawn, verdicts, settings, step)
    found = acts.stages()
    names = names_by_line([row for _, _, _, rows in found for row in rows])
    stages = tuple(Stage(title, tuple(rows), tuple(measurings.of(begin, end, names))) for title, begin, end, rows in found)
    every = [row for stage in stages for row in stage.rows if isinstance(row, Act)]
    circles = [math.sqrt(thing.square) for thing in drawn if isinstance(thing, Circle)]
    swung = [one.value_mm for row in every for one in row.settings if one.use in ("compass", "hand")]
    holes = {one.nearest for row in every for one in row.settings if one.use == "template"}
    return Bench(step, step == plan.settings.graduation, stages, max(swung, default=0.0) if circles else 0.0,
                 tuple(sorted(holes)), settings.level)  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Asked:
    """Measurings of one line of the recipe: claims as planned, or a step whose circle is measured across."""

    line: int
    claims: tuple[PlannedClaim, ...] = ()
    circle: int | None = None


class _Measurings:
    """Everything measured, with its figures, from one replay with gradients."""

    def __init__(
        self, settled: Settled, exact: Any, drawn: Sequence[Any], verdicts: Sequence[Verdict], settings: Settings, graduation: Fraction
    ) -> None:
        self.settled, self.exact, self.drawn, self.graduation = settled, exact, drawn, graduation
        self.plan: Plan = settled.plan
        self.settings = settings
        self.levels = _levels(settings)
        self.verdicts = {id(claim): verdict for claim, verdict in zip(self.plan.claims, verdicts, strict=True)}
        self.asked = _asked(self.plan, drawn)
        formula = _Formula(self.plan, self.asked, frozenset(touching_steps(settled, exact)))
        self.propagation: Propagation = propagate(formula)
        self.places = formula.places
        self.grouping = Grouping(self.plan, self.propagation)

    def of(self, begin: int, end: float, names: Mapping[int, str]) -> Iterator[Measuring]:
        """Yield what to measure between two lines of the recipe; circles only where nothing is claimed that a ruler measures."""
        mine = [one for one in self.asked if begin <= one.line < end]
        claimed = [found for one in mine if one.claims and (found := self._measuring(one, names)) is not None]
        yield from claimed
        if not claimed:
            circles = [one for one in mine if one.circle is not None]
            kept = {one.line: one for one in reversed(circles)}
            for one in sorted(kept.values(), key=lambda one: one.line)[:MOST_CIRCLES]:
                found = self._measuring(one, names)
                if found is not None:
                    yield found

    def _measuring(self, one: _Asked, names: Mapping[int, str]) -> Measuring | None:
        rows = self.places.get(one)
        found = self._exact(one)
        if rows is None or not found:
            return None
        first = found[0]
        verdict = self.verdicts[id(one.claims[0])].verdict if one.claims else ""
        off = float(np.nanmax(np.abs(self.propagation.estimates[rows]), initial=0.0)) if verdict not in ("proved", "") else 0.0
        within, culprits = self._figures(rows, first.read, names)
        if within and not any(most for _, most in within):
            # however badly it is drawn, this can not come out wrong
            return None
        expected = None if first.square is None else self._expected(first.square)
        return Measuring(first.how, _named(self.plan, one), expected, first.count, one.line, verdict, off,
                         "mm in 100 mm" if first.along else "mm", within, culprits)  # fmt: skip

    def _exact(self, one: _Asked) -> list[Offs]:
        """Return the measurings over exact numbers, for what the ruler should read."""
        try:
            return _measured(self.exact, one, self.settled.values)
        except (LimitMet, NotANumber):
            return []

    def _expected(self, square: Number) -> Setting:
        return on_ruler(self.exact, square, math.sqrt(max(self.exact.to_float(square), 0.0)), self.graduation, "reading")

    def _figures(self, rows: list[int], read: int, names: Mapping[int, str]) -> tuple[tuple[tuple[str, float], ...], tuple[Culprit, ...]]:
        if not rows or np.isnan(self.propagation.sensitivity[rows]).any():
            return (), ()
        k = NormalDist().inv_cdf(1 - PART / (2 * len(rows)))
        within = []
        for settings in self.levels:
            u = np.array([settings.sources[one.source.name].u for one in self.propagation.inputs])
            variances = ((self.propagation.sensitivity[rows] * u) ** 2).sum(axis=1) + read * settings.sources[READING].u ** 2
            within.append((settings.level, k * math.sqrt(float(variances.max()))))
        u = np.array([self.settings.sources[one.source.name].u for one in self.propagation.inputs])
        squares = (self.propagation.sensitivity[rows] * u) ** 2
        worst = squares[int(squares.sum(axis=1).argmax())]
        layout, reading = float(worst.sum()), read * self.settings.sources[READING].u ** 2
        return tuple(within), self._culprits(worst, layout / (layout + reading) if layout else 0.0, names)

    def _culprits(self, squares: Array, part: float, names: Mapping[int, str]) -> tuple[Culprit, ...]:
        """Return the actions from which most of it comes; where the errors are normal, a share of the variance is that in the mean.

        part: of the variance, what comes from the layout and not from reading the ruler.
        """
        shares: dict[int, float] = {}
        called: dict[int, str] = {}
        for row in self.grouping.rows(self.grouping.gathered(squares)):
            shares[row.line] = shares.get(row.line, 0.0) + row.share * part
            called.setdefault(row.line, row.step)
        best = sorted(shares.items(), key=lambda one: -one[1])[:MOST_CULPRITS]
        return tuple(Culprit(names.get(line, called[line]), line, share) for line, share in best if share >= WORTH_NAMING and line)


def _levels(settings: Settings) -> tuple[Settings, ...]:
    """Return the bench's own hand, and beside it a careful one; beside a careful one an ordinary."""
    other = LEVELS[0] if settings.level != LEVELS[0] else LEVELS[1]
    return settings, at_level(settings, other)


def _asked(plan: Plan, drawn: Sequence[Any]) -> list[_Asked]:
    """Return what is measured, a line of the recipe once; what stands in a method's own file is not."""
    by_line: dict[int, list[PlannedClaim]] = {}
    for claim in plan.claims:
        if claim.span.source == plan.source:
            by_line.setdefault(claim.span.line, []).append(claim)
    found = [_Asked(line, tuple(claims)) for line, claims in by_line.items()]
    for step in plan.steps:
        if step.span.source == plan.source and _is_whole(step, drawn):
            found.append(_Asked(step.span.line, circle=step.outputs[0]))
    return found


def _is_whole(step: Step, drawn: Sequence[Any]) -> bool:
    made = drawn[step.outputs[0]]
    return isinstance(made, Circle) and not made.turn and step.phrase.text.startswith("circle")


class _Formula:
    """Every off of every measuring, over any number system; `places` says which is whose once it has been called."""

    def __init__(self, plan: Plan, asked: Sequence[_Asked], without: frozenset[int]) -> None:
        self.plan, self.asked, self.without = plan, asked, without
        self.places: dict[_Asked, list[int]] = {}

    def __call__(self, numbers: NumberSystem) -> Sequence[Number | None]:
        values, _ = replay_around(self.plan, numbers, without=self.without)
        results: list[Number | None] = []
        for one in self.asked:
            try:
                offs = [off for found in _measured(numbers, one, values) for off in found.offs()]
            except NotANumber:
                # lengths of nothing have no first order
                continue
            self.places[one] = list(range(len(results), len(results) + len(offs)))
            results += offs
        return results


def _measured(numbers: NumberSystem, one: _Asked, values: Sequence[Any]) -> list[Offs]:
    """Return one line's measurings, several where a round claims anew each time; none where a bench has nothing to measure."""
    if one.circle is not None:
        circle = values[one.circle]
        return [] if circle is None else [Offs("across", lambda: (_grown(numbers, circle),), 1, circle.square * 4, 1)]
    found = []
    for claim in one.claims:
        things = [argument_value(numbers, argument, values) for argument in claim.arguments]
        if any(_missing(thing) for thing in things):
            return []
        made = measure(numbers, values[EDGE], claim.phrase.text, things)
        if made is None:
            return []
        found.append(made)
    return found


def _missing(thing: Any) -> bool:
    return thing is None or (isinstance(thing, tuple) and any(one is None for one in thing))


def _grown(numbers: NumberSystem, circle: Circle) -> Number:
    across = radius(numbers, circle) * 2
    return across - still(across)


def _named(plan: Plan, one: _Asked) -> tuple[str, ...]:
    """Return the names that a measuring's sentence fills in, a list of marks by its first and its last."""
    if one.circle is not None:
        return (plan.things[one.circle].name,)
    said = []
    for argument in one.claims[0].arguments:
        if isinstance(argument, int):
            said.append(plan.things[argument].name)
        elif isinstance(argument, tuple):
            names = [plan.things[index].name for index in argument]
            said.append(", ".join(names) if len(names) <= 4 else f"{names[0]}, {names[1]} … {names[-1]}")
    return tuple(said)
