"""What the hand does, as sentences: a step or a claim of the plan becomes words in the user's units.

A tool's or a claim's phrase is the key of its sentence in the phrasebook.  Names
stand between backquotes, so that a page can set them apart.  Nothing is decided
here; figures are the study's, rounded to the user's ruler and said to be.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from fractions import Fraction

from construct.geometry import Circle, Opening, Point
from construct.language.phrases import slots
from construct.language.syntax import Angle, Ratio
from construct.phrasebook import found, say
from construct.plan import Argument, Plan, PlannedBound, PlannedClaim, PlannedLength, PlannedPick, Step
from construct.reports import _words as words
from construct.study import Study

FEW = 4
"""Names that are all said; of more, the first ones and how many more."""

FINEST = {"mm": Fraction(1, 2), "in": Fraction(254, 10) / 32}
"""A graduation in mm to round to, where the recipe's own ruler is graduated in the other unit."""

GIVEN = ("given", "given anywhere", "corner of the board")
"""What is there before any tool is used."""


def hand(study: Study, step: Step, units: str) -> str:
    """Return what the hand does in one step: "Put the needle in `B` and swing the arc `b`, …"."""
    plan = study.plan
    values: dict[str, object] = {}
    tools = step.phrase.text not in GIVEN
    readings = [slot for slot in slots(step.phrase) if slot.reads not in ("picks", "bound")] if tools else []
    for slot, argument in zip(readings, step.arguments, strict=False):
        values["with_" if slot.reads == "setting" else slot.name] = (
            _setting(plan, step, argument, units) if slot.reads == "setting" else argued(plan, argument, units)
        )
    values["bound"] = bound(plan, step.bound, units)
    values["which"] = "".join(f", {picked(plan, pick)}" for pick in step.picks)
    key = f"lesson.do.{step.phrase.text}"
    if found(key) is None:  # a tool that somebody has added
        return say("lesson.other.do", bench=words.plain(step.text))
    return say(key, made=named(plan, step.outputs), **values)


def check(plan: Plan, claim: PlannedClaim, units: str) -> str:
    """Return how a claim is checked at the bench."""
    readings = slots(claim.phrase)
    values = {slot.name: argued(plan, argument, units) for slot, argument in zip(readings, claim.arguments, strict=False)}
    key = f"lesson.check.{claim.phrase.text}"
    if found(key) is None:
        return say("lesson.other.check", claim=words.plain(claim.text))
    return say(key, **values)


def named(plan: Plan, indices: Iterable[int]) -> str:
    """Return things by name: "`B` and `T`"; of many, the first ones and how many more."""
    return some([plan.things[index].name for index in indices])


def some(names: Sequence[str]) -> str:
    """Return names set apart: "`B` and `T`"; of many, the first ones and how many more."""
    marked = [f"`{words.plain(name)}`" for name in names]
    if len(marked) <= FEW + 1:
        return words.listed(marked)
    return say("lesson.some_more", names=", ".join(marked[:FEW]), count=len(marked) - FEW)


def argued(plan: Plan, argument: Argument, units: str) -> str:
    """Return what fills a slot, in words."""
    match argument:
        case None:
            return ""
        case int():
            return named(plan, [argument])
        case tuple():
            return named(plan, argument)
        case PlannedLength():
            return length(plan, argument, units)
        case Fraction():
            return say("lesson.angle.degrees", degrees=words.decimal(argument * 360))
        case Ratio():
            return ratio(argument)


def length(plan: Plan, said: PlannedLength, units: str) -> str:
    """Return a length as the recipe means it: "12 mm", "half of the reading `w`"."""
    match said.op:
        case "mm":
            return written(plan, said.value, units)
        case "thing":
            return say("lesson.length.reading", name=named(plan, said.things))
        case "distance":
            start, finish = (named(plan, [index]) for index in said.things)
            return say("lesson.length.distance", start=start, finish=finish)
        case "part":
            of = length(plan, said.parts[0], units)
            return say("lesson.length.half", of=of) if said.value == Fraction(1, 2) else say("lesson.length.part", ratio=said.value, of=of)
    first, second = (length(plan, part, units) for part in said.parts)
    if said.value > 0:
        return say("lesson.length.more", first=first, second=second)
    return say("lesson.length.less", first=first, second=second)


def written(plan: Plan, mm: Fraction, units: str) -> str:
    """Return a written length in the user's units; one that their ruler does not have keeps its millimetres beside it."""
    if units == "mm" or (mm / words.MM_PER_INCH * 64).denominator == 1:
        return words.length(mm, units)
    step = graduation(plan, units)
    near = say("lesson.setting.near", amount=words.length(round(mm / step) * step, units))
    return say("lesson.length.converted", written=words.length(mm, "mm"), near=near)


def ratio(said: Ratio, *, inner: bool = False) -> str:
    """Return a ratio as written: "1/3", "(1 + √(5))/2"; inner: in brackets where it is one of several."""
    parts = [ratio(part, inner=True) for part in said.parts]
    match said.op:
        case "number":
            return str(said.value)
        case "pi":
            return "π"
        case "neg":
            return f"−{parts[0]}"
        case "sqrt":
            return f"√({ratio(said.parts[0])})"
    sign = {"-": " − ", "+": " + ", "*": "·"}.get(said.op, said.op)
    return f"({sign.join(parts)})" if inner else sign.join(parts)


def bound(plan: Plan, said: PlannedBound | None, units: str) -> str:
    """Return what a free length must obey: "anything over half of the distance `B` `T`"."""
    if said is None or said.length is None:
        return say("lesson.bound.any")
    return say(f"lesson.bound.{said.side}", length=length(plan, said.length, units))


def picked(plan: Plan, pick: PlannedPick) -> str:
    """Return which of two is meant: "the one nearest `B`"."""
    if pick.how == "side":
        line = words.listed(f"`{words.plain(plan.things[index].name)}`" for index in pick.things[1:])
        return say("lesson.pick.side", mark=named(plan, pick.things[:1]), line=line)
    return say(f"lesson.pick.{pick.how}", names=named(plan, pick.things))


# --- settings -----------------------------------------------------------------------------------


def _setting(plan: Plan, step: Step, argument: Argument, units: str) -> str:
    """Return how the compass is set in a step: set anew, a named opening, or as it stands."""
    assert isinstance(argument, int)
    thing = plan.things[argument]
    setter = plan.steps[thing.step]
    if setter.hidden and setter.number == step.number - 1:
        if len(setter.arguments) == 2:
            start, finish = (argued(plan, one, units) for one in setter.arguments)
            return say("lesson.held.marks", P=start, Q=finish)
        return say("lesson.held.ruler", w=argued(plan, setter.arguments[0], units))
    if thing.kind == "opening" and not setter.hidden:
        return say("lesson.held.named", r=named(plan, [argument]))
    return say("lesson.held.same")


def setting(study: Study, step: Step, units: str) -> str:
    """Return what a step is set to, in the user's units and rounded to their ruler; "" where nothing is set."""
    plan = study.plan
    made = study.values[step.outputs[0]] if step.outputs else None
    if step.phrase.option("free"):
        return _chosen(study, step, made, units)
    if isinstance(made, Circle) and "template" in step.phrase.text:
        return say("lesson.setting.hole", amount=on_ruler(study, made.square * 4, units, root=True))
    made = _opened(study, step) or made
    if isinstance(made, Circle | Opening):
        amount = on_ruler(study, made.square, units, root=True)
        setter = _set_from(plan, step)
        if setter is not None:
            start, finish = (argued(plan, one, units) for one in setter.arguments)
            return say("lesson.setting.from_marks", P=start, Q=finish, amount=amount)
        if step.phrase.option("opens") and step.phrase.option("sets") != "ruler":
            return say("lesson.setting.to_mark", amount=amount)
        return say("lesson.setting.radius", amount=amount)
    if isinstance(made, Point) and "by ruler" in step.phrase.text and len(step.outputs) == 1:
        starts = [one for one in step.arguments if isinstance(one, int) and isinstance(study.values[one], Point)]
        if starts and not _written(step):
            start = study.values[starts[0]]
            dx, dy = made.x - start.x, made.y - start.y
            return say("lesson.setting.set_off", amount=on_ruler(study, dx * dx + dy * dy, units, root=True), A=named(plan, starts[:1]))
    if plan.things[step.outputs[0]].kind == "reading":
        return on_ruler(study, made, units)
    return ""


def _opened(study: Study, step: Step) -> object:
    """Return the setting that a step takes up: an opening, or the circle that left the compass set; None where it takes up none."""
    readings = [slot for slot in slots(step.phrase) if slot.reads not in ("picks", "bound")]
    found = [argument for slot, argument in zip(readings, step.arguments, strict=False) if slot.reads == "setting"]
    return study.values[found[0]] if found and isinstance(found[0], int) else None


def _set_from(plan: Plan, step: Step) -> Step | None:
    """Return the step that set the compass from two marks, where this one makes use of it anew."""
    if step.phrase.option("sets") == "marks":
        return step
    before = plan.steps[step.number - 1] if step.number else None
    fresh = before is not None and before.hidden and before.outputs[0] in step.arguments
    return before if fresh and before is not None and before.phrase.option("sets") == "marks" else None


def _written(step: Step) -> bool:
    """Return True where the length set off stands in the step as written: saying it again tells nothing."""
    return any(isinstance(one, PlannedLength) and one.op == "mm" for one in step.arguments)


def _chosen(study: Study, step: Step, made: object, units: str) -> str:
    """Return what the picture shows of a free choice, and what else would do."""
    if isinstance(made, Opening):
        amount = on_ruler(study, made.square, units, root=True)
        if step.bound is None or step.bound.length is None:
            return say("lesson.setting.free_any", amount=amount)
        return say("lesson.setting.free", amount=amount, bound=bound(study.plan, step.bound, units))
    if step.say is not None and isinstance(step.say.value, Angle):
        towards = step.say.towards
        line = say("lesson.setting.grain") if towards is None else named(study.plan, [towards])
        return say("lesson.setting.angle", angle=argued(study.plan, step.say.value.turns, units), line=line)
    return say("lesson.setting.place")


def on_ruler(study: Study, number: object, units: str, *, root: bool = False) -> str:
    """Return an exact length, or the root of its square, to the nearest graduation of the user's ruler; "about" unless it is one."""
    exact = study.exact
    value = math.sqrt(exact.to_float(number)) if root else exact.to_float(number)
    step = graduation(study.plan, units)
    for part in (step, step / 2, step / 4):  # between graduations the eye still sets halves and quarters
        nearest = round(Fraction(value) / part) * part
        whole = exact.rational(nearest)
        if exact.sign((whole * whole if root else whole) - number) == 0:
            return words.length(nearest, units)
    amount = words.length(round(Fraction(value) / step) * step, units)
    return say("lesson.setting.about", amount=amount, graduation=words.length(step, units))


def graduation(plan: Plan, units: str) -> Fraction:
    """Return the graduation in mm that lengths are rounded to for people."""
    own = plan.settings.graduation
    metric = 100 % own.denominator == 0
    return own if metric == (units == "mm") else FINEST[units]

