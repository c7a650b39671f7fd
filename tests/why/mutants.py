"""Mutants of the shipped recipes: one action altered in its plan, every other word kept."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import Any

from construct.claims import World
from construct.diagnostics import Mistakes
from construct.number_systems import LimitMet, NotANumber, Tie
from construct.number_systems.exact import ExactSystem
from construct.number_systems.float import FloatSystem
from construct.plan import EDGE, Plan, PlannedClaim, PlannedPick, Step
from construct.plan.planner import make_plan
from construct.replay import Settled, argument_value, settle
from construct.study import load

ROOT = Path(__file__).parents[2] / "recipes"
RECIPES = tuple(sorted(ROOT.rglob("*.recipe")))
STOPPED = (Mistakes, LimitMet, NotANumber, Tie)
CHIPS = "chip"


@dataclass(frozen=True, slots=True)
class Mutant:
    """A plan with one action altered, and what was done to it."""

    what: str
    plan: Plan


def plan_of(path: Path, way: str | None = None) -> Plan:
    """Return a recipe's plan without its carving: marks and lines alone are altered here."""
    recipe, methods = load(path)
    plan = make_plan(recipe, methods=methods, way=way)
    kept = tuple(claim for claim in plan.claims if CHIPS not in claim.phrase.text)
    return replace(plan, carving=(), claims=kept)


def mutants(plan: Plan) -> Iterator[Mutant]:
    """Yield every mutant: another mark, line or opening for each that an action uses, the other side, the two marks swapped."""
    for place, step in enumerate(plan.steps):
        for what, altered in _altered(plan, step):
            steps = (*plan.steps[:place], altered, *plan.steps[place + 1 :])
            yield Mutant(f"line {step.span.line}: {what}", replace(plan, steps=steps))


def _altered(plan: Plan, step: Step) -> Iterator[tuple[str, Step]]:
    made = [index for other in plan.steps if other.number < step.number for index in other.outputs]
    for place, argument in enumerate(step.arguments):
        if isinstance(argument, int) and argument != EDGE:
            kinds = {"opening", "circle"} if plan.things[argument].kind == "opening" else {plan.things[argument].kind}
            others = [index for index in made if plan.things[index].kind in kinds and index != argument and index not in step.arguments]
            for other in others[-2:]:
                arguments = (*step.arguments[:place], other, *step.arguments[place + 1 :])
                yield f"{plan.things[other].name} for {plan.things[argument].name}", replace(step, arguments=arguments)
    if len(step.outputs) == 2:
        yield "its two marks swapped", replace(step, outputs=step.outputs[::-1])
    for place, pick in enumerate(step.picks):
        other = {"nearest": "farthest", "farthest": "nearest", "side": "away", "inside": "outside", "outside": "inside"}.get(pick.how)
        if other is not None and other != "away":
            picks = (*step.picks[:place], PlannedPick(other, pick.things, pick.text, pick.span), *step.picks[place + 1 :])
            yield f"{other} for {pick.how}", replace(step, picks=picks)


def settled(plan: Plan) -> tuple[Settled, ExactSystem] | None:
    """Return a mutant settled; None where a bench can not do it."""
    exact = ExactSystem()
    try:
        return settle(plan, exact), exact
    except STOPPED:
        return None


def near(plan: Plan, turn: int) -> Settled | None:
    """Return a settled plan with every free choice moved a little, over floats; None where that can not be drawn."""
    parts = (Fraction(101, 100), Fraction(99, 100), Fraction(1003, 1000))
    choices: dict[str, Any] = {}
    for place, step in enumerate(plan.steps):
        drawn = step.drawn
        if isinstance(drawn, tuple):
            choices[step.key] = tuple(one * parts[(place + turn + at) % 3] + Fraction(turn + at, 37) for at, one in enumerate(drawn))
            if len(drawn) == 1:
                choices[step.key] = (drawn[0] + Fraction(1 + place + turn, 500),)
        elif drawn is not None and step.phrase.option("free") in ("direction", "on"):
            choices[step.key] = drawn + Fraction(1 + (place * 7 + turn * 3) % 11, 48 * 256)
        elif drawn is not None:
            choices[step.key] = drawn * parts[(place + turn) % 3]
    try:
        return settle(plan, FloatSystem(), choices=choices)
    except STOPPED:
        return None


def is_near_true(near_by: Settled, claim: PlannedClaim) -> bool:
    """Tell whether a claim's numbers are nothing over floats, compared with the size of the plate."""
    numbers = FloatSystem()
    world = World(numbers, near_by.values[EDGE])
    things = [argument_value(numbers, argument, near_by.values) for argument in claim.arguments]
    statement = claim.phrase.make(world, *things)
    return all(abs(number) < 1e-3 for number in statement.zeros)
