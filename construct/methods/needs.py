"""What a plan asks of the bench: which tools, and how many compasses left set at once.

Only the plan's own words are counted here; nothing is measured.
"""

from __future__ import annotations

from collections.abc import Iterator

from construct.language.phrases import slots
from construct.plan import Plan, PlannedLength, Step
from construct.tools import tools

SAME_TOOL = {"opening": "compass"}
PENCIL = "pencil"
NO_TOOL = (PENCIL, "eye")


def tools_needed(plan: Plan) -> tuple[str, ...]:
    """Return the tools on the bench in the order of first use; the pencil is not counted among them."""
    owners = {id(phrase): str(tool.NAME) for tool in tools().values() for phrase in tool.PHRASES}
    needed: dict[str, None] = {}
    for step in plan.steps:
        owner = owners.get(id(step.phrase), "")
        if owner and owner not in NO_TOOL:
            needed[SAME_TOOL.get(owner, owner)] = None
        if owner not in NO_TOOL and _ruled(step):
            needed["ruler"] = None
    return tuple(needed)


def by_eye(plan: Plan) -> bool:
    """Return True where some step is left to the eye."""
    return any("by eye" in step.phrase.text for step in plan.steps)


def _ruled(step: Step) -> bool:
    """Return True where a step sets off or reads a length by the ruler."""
    return any(isinstance(argument, PlannedLength) for argument in step.arguments)


def left_set(plan: Plan) -> tuple[int, tuple[str, ...]]:
    """Return how many settings must be kept at once at the worst, and the names of those with a name.

    A setting is kept from the step that makes it to the last one that swings or walks it.
    """
    last: dict[int, int] = {}
    for step in plan.steps:
        for index in _settings_used(step):
            last[index] = step.number
    kept: list[tuple[int, int, int]] = []
    for step in plan.steps:
        for index in step.outputs:
            if index in last:
                kept.append((step.number, last[index], index))
            elif step.phrase.option("opens"):
                kept.append((step.number, step.number, index))
    worst: list[int] = []
    for start, _, _ in kept:
        now = [index for first, end, index in kept if first <= start <= end]
        if len(now) > len(worst):
            worst = now
    names = tuple(plan.things[index].name for index in worst if not plan.step(plan.things[index].step).hidden)
    return len(worst), names


def _settings_used(step: Step) -> Iterator[int]:
    readings = [slot for slot in slots(step.phrase) if slot.reads not in ("picks", "bound")]
    for slot, argument in zip(readings, step.arguments, strict=False):
        if slot.reads == "setting" and isinstance(argument, int):
            yield argument
