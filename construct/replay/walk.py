"""A settled plan walked over any number system: one straight pass, no decision."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from fractions import Fraction
from typing import Any

from construct.geometry import (
    Board,
    Circle,
    Edge,
    Line,
    Oval,
    Point,
    distance,
    foot,
    inside,
    left_of,
    meeting_sides,
    nearer,
    on_blank,
)
from construct.number_systems import NotANumber, Number, NumberSystem
from construct.plan import EDGE, Argument, Plan, PlannedLength, Step, needs, things_of
from construct.replay.wording import said_of
from construct.tools import Bench

DRAWN_PLATE = Fraction(240)
"""How large the picture shows a plate of open size where the recipe does not say, in mm."""


def blank_edge(numbers: NumberSystem, plan: Plan) -> Edge:
    """Return the blank's edge over a number system; None for paper."""
    blank = plan.blank
    if blank.form == "paper":
        return None
    half = DRAWN_PLATE / 2 if blank.width is None else blank.width.mm / 2
    if blank.form == "board" and blank.height is not None:
        return Board(numbers.rational(half), numbers.rational(blank.height.mm / 2))
    across = numbers.letter("plate", half) if blank.free else numbers.rational(half)
    oval = plan.settings.oval
    if oval:
        # the size written is across the grain before the wood moved; along the grain it keeps it
        return Oval(across - numbers.rational(oval / 2), across)
    zero = numbers.rational(0)
    return Circle(Point(zero, zero), across * across, across)


def length_value(numbers: NumberSystem, length: PlannedLength, values: Sequence[Any]) -> Number:
    """Return a planned length as a number, in mm."""
    match length.op:
        case "mm":
            return numbers.rational(length.value)
        case "thing":
            return values[length.things[0]]
        case "distance":
            start, finish = (values[index] for index in length.things)
            return distance(numbers, start, finish if isinstance(finish, Point) else foot(start, finish))
        case "part":
            return length_value(numbers, length.parts[0], values) * numbers.rational(length.value)
    first, second = (length_value(numbers, part, values) for part in length.parts)
    return first + second if length.value > 0 else first - second


def argument_value(numbers: NumberSystem, argument: Argument, values: Sequence[Any]) -> Any:
    """Return what a step's argument is over a number system."""
    kind = type(argument)
    if kind is int:
        return values[argument]  # type: ignore[index]
    if kind is PlannedLength:
        return length_value(numbers, argument, values)  # type: ignore[arg-type]
    if kind is tuple:
        return tuple(values[index] for index in argument)  # type: ignore[union-attr]
    return argument


def replay(plan: Plan, numbers: NumberSystem) -> tuple[Any, ...]:
    """Return what each thing of a settled plan is over `numbers`, by index; linear in the steps."""
    values: list[Any] = [None] * len(plan.things)
    values[EDGE] = blank_edge(numbers, plan)
    for step in plan.steps:
        put(step, make(step, plan, numbers, values, step.side), values)
    return tuple(values)


def replay_around(
    plan: Plan,
    numbers: NumberSystem,
    *,
    without: Collection[int] = (),
    watch: Callable[[Step, Sequence[Any]], None] | None = None,
) -> tuple[tuple[Any, ...], dict[int, NotANumber | None]]:
    """Replay what has a value, and pass over the rest.

    without: numbers of steps to pass over from the start.  watch: called after each step that was done.
    Returns the values, None for what has none, and why each step passed over has none, by its number
    (None where it only needs what another would have made).
    """
    values: list[Any] = [None] * len(plan.things)
    values[EDGE] = blank_edge(numbers, plan)
    missing: set[int] = set()
    reasons: dict[int, NotANumber | None] = {}
    for step in plan.steps:
        reason = None
        if step.number not in without and not (missing and missing.intersection(needs_to_settle(step))):
            try:
                made = make(step, plan, numbers, values, step.side)
            except NotANumber as none:
                reason = none
            else:
                put(step, made, values)
                if watch is not None:
                    watch(step, values)
                continue
        missing.update(step.outputs)
        reasons[step.number] = reason
    return tuple(values), reasons


def asked_of_picks(plan: Plan, numbers: NumberSystem, values: Sequence[Any]) -> Iterator[tuple[Step, str, Number, int]]:
    """Ask of each picked crossing whether it still fits the recipe's words, over any number system.

    Yields the step, the words, a number, and the sign that the number must have.  Where two crossings
    are told apart by a distance, the crossing is asked against the one that was not picked; words that had
    nothing to decide between (`Step.idle`) are not asked.
    """
    for step in plan.steps:
        if not step.picks or values[step.outputs[0]] is None:
            continue
        phrase = step.phrase
        things = [argument_value(numbers, argument, values) for argument in step.arguments]
        if phrase.option("meets") and len(meeting_sides(things[0], things[1])) != 2:
            continue
        bench = Bench(numbers, plan.settings, values[EDGE], step.key, step.drawn)
        shows = phrase.option("shows")
        points = []
        for side in (step.side, -step.side):
            made = values[step.outputs[0]] if side == step.side else make(step, plan, numbers, list(values), side)
            points.append(shows(bench, made, *things) if shows else made)
        if not isinstance(points[0], Point):
            continue
        for pick in step.picks:
            if pick.how in step.idle:
                continue
            about = [values[index] for index in pick.things]
            words = said_of(plan, pick)
            if pick.how == "side":
                line = about[1] if len(about) == 2 else Line(about[1].x, about[1].y, about[2].x - about[1].x, about[2].y - about[1].y)
                yield step, words, left_of(points[0], line) * left_of(about[0], line), 1
            elif pick.how in ("inside", "outside"):
                asked = (inside(points[0], about[0]),) if isinstance(about[0], Circle) else on_blank(points[0], about[0])
                for number in asked:
                    yield step, words, number, 1 if pick.how == "inside" else -1
            else:
                yield step, words, nearer(points[0], points[1], about[0]), 1 if pick.how == "nearest" else -1


def put(step: Step, made: Any, values: list[Any]) -> None:
    """Enter what a step made under the things that it makes."""
    if len(step.outputs) == 1:
        values[step.outputs[0]] = made[0] if step.phrase.many == 0 else made
    else:
        for index, one in zip(step.outputs, made, strict=True):
            values[index] = one


def make(step: Step, plan: Plan, numbers: NumberSystem, values: list[Any], side: int) -> Any:
    """Return what one step makes, with the side given."""
    phrase = step.phrase
    bench = Bench(numbers, plan.settings, values[EDGE], step.key, step.drawn)
    things = [argument_value(numbers, argument, values) for argument in step.arguments]
    if phrase.many == 0:
        if phrase.sides:
            return phrase.make(bench, *things, side, count=len(step.outputs))
        return phrase.make(bench, *things, count=len(step.outputs))
    if phrase.sides or side:
        return phrase.make(bench, *things, side)
    return phrase.make(bench, *things)


def needs_to_settle(step: Step) -> set[int]:
    """Return the indices of everything a step uses, also what its drawn example is told by."""
    needed = set(needs(step))
    if step.say is not None and isinstance(step.say.value, PlannedLength):
        needed.update(things_of(step.say.value))
    return needed

