"""What a claim rests on: the steps behind its things, the free choices and the aims among them."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from construct.language.syntax import Angle
from construct.phrasebook import say
from construct.plan import EDGE, Plan, PlannedClaim, PlannedLength, Step, needs, things_of


def slice_of(plan: Plan, claim: PlannedClaim) -> tuple[Step, ...]:
    """Return the steps that a claim's things come from, in order, through arguments, picks and bounds.

    A settled plan's `say` only picks the drawn example: it is not followed.
    """
    # a plan may itself be a slice: its steps keep their numbers
    numbered = {step.number: step for step in plan.steps}
    waiting = [index for argument in claim.arguments for index in things_of(argument)]
    seen: set[int] = set()
    found: set[int] = set()
    while waiting:
        index = waiting.pop()
        if index in seen:
            continue
        seen.add(index)
        number = plan.things[index].step
        if number < 0:
            waiting += _chip_things(plan, index)
            continue
        if number in found:
            continue
        found.add(number)
        waiting += needs(numbered[number])
    return tuple(step for step in plan.steps if step.number in found)


def _chip_things(plan: Plan, index: int) -> Iterator[int]:
    """Yield what a chip is bounded by: it is a face among all cut lines, so every carve line counts."""
    if index == EDGE or plan.things[index].kind != "chip":
        return
    for line in plan.carving:
        for argument in line.arguments:
            yield from things_of(argument)


def choices(plan: Plan, steps: tuple[Step, ...]) -> tuple[tuple[str, str], ...]:
    """Return the free choices among some steps, with what is drawn: ("reach", "130 mm")."""
    found: list[tuple[str, str]] = []
    if plan.blank.free and plan.blank.width is not None and steps:
        # whatever is laid out on a plate starts from its edge
        found.append(("plate", f"{_decimal(plan.blank.width.mm)} mm"))
    for step in steps:
        if step.phrase.option("free") and step.drawn is not None:
            names = ", ".join(plan.things[index].name for index in step.outputs)
            found.append((names, _drawn(plan, step)))
    return tuple(found)


def aims(plan: Plan, steps: tuple[Step, ...]) -> tuple[str, ...]:
    """Return the conditions of steps that hit only what they aim at: by eye, by trial."""
    found = []
    for step in steps:
        aim = step.phrase.option("aims")
        sentence = say(aim) if aim else None
        if sentence:
            names = ", ".join(plan.things[index].name for index in step.outputs)
            found.append(say("condition.aim", aim=sentence, line=step.span.line, names=names))
    return tuple(found)


def _drawn(plan: Plan, step: Step) -> str:
    """Return the drawn example of a free choice as it is said at the bench."""
    kind, drawn = step.phrase.option("free"), step.drawn
    if kind == "on":
        kind = "part" if plan.things[next(things_of(step.arguments[0]))].kind == "line" else "direction"
    if kind == "place":
        assert isinstance(drawn, tuple)
        return f"({', '.join(_decimal(one) for one in drawn)}) mm"
    if isinstance(drawn, tuple):
        # an angle that no construction gives is drawn beside it, by the tangent of its half
        said = step.say.value if step.say is not None else None
        return said.text if isinstance(said, Angle) else say("choice.tangent", value=drawn[0])
    assert isinstance(drawn, Fraction)
    if kind == "length":
        return f"{_decimal(drawn)} mm"
    if kind == "direction":
        return f"{_decimal(drawn * 360)} deg"
    said = step.say.value if step.say is not None else None
    if isinstance(said, PlannedLength) and said.op == "mm":
        return f"{_decimal(said.value)} mm"
    return say("choice.part", part=drawn)


def _decimal(value: Fraction) -> str:
    """Return a fraction as a decimal where it ends, else as it is."""
    left = value.denominator
    for prime in (2, 5):
        while left % prime == 0:
            left //= prime
    if left != 1:
        return str(value)
    whole, places = value, 0
    while whole.denominator != 1:
        whole, places = whole * 10, places + 1
    digits = str(abs(int(whole))).rjust(places + 1, "0")
    text = f"{digits[:-places]}.{digits[-places:]}" if places else digits
    return f"-{text}" if value < 0 else text
