"""One other setting of a plan's free choices, tried: whether the bench and the claims allow it, and the u that it gives.

What is allowed is decided exactly: the trial is settled as a recipe with that
setting would be, and every claim that held must hold.  The u is *first order*.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from construct.claims import Senseless, Verdict
from construct.claims._slice import slice_of
from construct.claims._verdict import decide
from construct.diagnostics import Mistakes
from construct.errors.budget import edge_weights
from construct.errors.measurands import LayoutFormula
from construct.errors.propagation import propagate
from construct.geometry import Circle, Curve, Line, Point, cross
from construct.number_systems import LimitMet, NotANumber, Tie
from construct.number_systems.exact import ExactSystem
from construct.phrasebook import say
from construct.plan import Plan, Step, needs, things_of
from construct.replay import Settled, settle
from construct.replay.settle import Drawn

OWN_BOUND = "R224"
"""The code of the diagnostic that a free choice breaks its own bound."""

STOPPED = (LimitMet, NotANumber, Tie, Senseless)


@dataclass(frozen=True, slots=True)
class Stopped:
    """Why a setting is not allowed: in bench words, and the line of the recipe that says so (0 for none).

    own_bound: True where it is the choice's own `over …` or `under …` that forbids it.
    """

    why: str
    line: int
    own_bound: bool = False


def upstream(plan: Plan, things: Iterable[int]) -> set[int]:
    """Return the numbers of the steps that some things come from."""
    numbered = {step.number: step for step in plan.steps}
    waiting, seen, found = list(things), set(), set()
    while waiting:
        index = waiting.pop()
        number = plan.things[index].step
        if index in seen or number < 0:
            continue
        seen.add(index)
        found.add(number)
        waiting += needs(numbered[number])
    return found


def downstream(plan: Plan, numbers: Collection[int]) -> set[int]:
    """Return the numbers of some steps and of all that rest on what they make."""
    found = set(numbers)
    touched = {index for step in plan.steps if step.number in found for index in step.outputs}
    for step in plan.steps:
        if step.number not in found and touched.intersection(needs(step)):
            found.add(step.number)
            touched.update(step.outputs)
    return found


def cut_things(plan: Plan) -> set[int]:
    """Return what the carve lines speak of: the drawn things that are cut, and the marks that they end at."""
    named = {index for line in plan.carving for argument in line.arguments for index in things_of(argument)}
    return {index for index in named if plan.things[index].kind in ("mark", "line", "circle", "curve")}


class Trials:
    """Tries settings of some free choices, on the part of the plan that they reach or that is measured."""

    def __init__(
        self, settled: Settled, formula: LayoutFormula, verdicts: Sequence[Verdict], choices: Collection[int], watched: Collection[int]
    ) -> None:
        """Take the plan apart.

        formula: what is measured.  verdicts: on all claims as drawn, in order.  choices: numbers of the steps whose choice is moved.
        watched: things that are measured, or cut.
        """
        plan = settled.plan
        reached = downstream(plan, choices)
        wanted = {index for step in plan.steps if step.number in reached for index in step.outputs} | set(watched)
        numbers = upstream(plan, wanted)
        claims = []
        for claim, verdict in zip(plan.claims, verdicts, strict=True):
            mine = slice_of(plan, claim)
            about_chips = any(plan.things[index].kind == "chip" for argument in claim.arguments for index in things_of(argument))
            if verdict.holds and not about_chips and any(step.number in reached for step in mine):
                claims.append(claim)
                numbers.update(step.number for step in mine)
        self.plan = replace(plan, steps=tuple(step for step in plan.steps if step.number in numbers), claims=tuple(claims), carving=())
        self.formula = formula
        self.tried = 0

    def settled(self, drawn: Mapping[str, Drawn], turned: Collection[int] = ()) -> Settled | Stopped:
        """Return the plan settled at some drawn examples, or why it may not be."""
        self.tried += 1
        exact = ExactSystem()
        try:
            there = settle(self.plan, exact, choices=drawn, turned=turned)
            for verdict in decide(there, exact):
                if not verdict.holds:
                    return Stopped(say("tune.held.claim", claim=verdict.text), verdict.line)
        except Mistakes as wrong:
            first = wrong.diagnostics[0]
            return Stopped(first.message, 0 if first.span is None else first.span.line, first.code == OWN_BOUND)
        except STOPPED as none:
            return Stopped(getattr(none, "reason", "") or getattr(none, "message", "") or str(none), 0)
        return there

    def u_mm(self, drawn: Mapping[str, Drawn], turned: Collection[int] = ()) -> float:
        """Return u at what is measured, in mm (*first order*); infinite where the setting is not allowed."""
        there = self.settled(drawn, turned)
        return math.inf if isinstance(there, Stopped) else self.u_of(there)

    def u_of(self, there: Settled) -> float:
        """Return u at what is measured of a settled trial, in mm (*first order*)."""
        return spread(replace(self.formula, plan=there.plan))


def spread(formula: LayoutFormula) -> float:
    """Return the root mean square of u in mm (*first order*): over the marks, or over the cut edges by length; infinite where there is none."""
    try:
        propagation = propagate(formula)
    except NotANumber:
        return math.inf
    squares = (propagation.contributions**2).sum(axis=1)
    if formula.edges:
        places, weights = edge_weights(formula, propagation)
        mean = float(weights @ squares[places]) if places else math.nan
    else:
        mean = float(squares.sum()) / max(len(formula.marks), 1)
    return math.sqrt(mean) if math.isfinite(mean) else math.inf


def unmoved(
    plan: Plan, first: Mapping[str, Drawn], second: Mapping[str, Drawn], things: Iterable[int], *, turned: Collection[int] = ()
) -> set[int] | None:
    """Return which things lie exactly where they lay when choices are drawn otherwise; None where the second is not allowed.

    A line is the same line whichever marks on it it was laid to.
    """
    # one system for both, so that their numbers can be compared
    exact = ExactSystem()
    try:
        one = settle(plan, exact, choices=first)
        other = settle(plan, exact, choices=second, turned=turned)
        return {index for index in things if _same(exact, one.values[index], other.values[index])}
    except (*STOPPED, Mistakes):
        return None


def _same(exact: Any, one: Any, other: Any) -> bool:
    zeros: list[Any] = []
    match one, other:
        case Point(), Point():
            zeros = [one.x - other.x, one.y - other.y]
        case Line(), Line():
            way = one.dx, one.dy
            zeros = [cross(way, (other.dx, other.dy)), cross(way, (other.x - one.x, other.y - one.y))]
        case Circle(), Circle():
            zeros = [one.centre.x - other.centre.x, one.centre.y - other.centre.y, one.square - other.square]
        case Curve(), Curve():
            zeros = [part for a, b in zip(one.controls, other.controls, strict=True) for part in (a.x - b.x, a.y - b.y)]
        case _:
            return False
    return all(exact.sign(zero) == 0 for zero in zeros)


def crossing_steps(plan: Plan, numbers: Collection[int]) -> list[Step]:
    """Return those of some steps that mark where two drawn things cross."""
    return [step for step in plan.steps if step.number in numbers and step.phrase.option("meets")]
