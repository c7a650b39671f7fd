"""What a plan leaves free, in words; what it asks of the bench is worked out in `methods.needs`."""

from __future__ import annotations

from fractions import Fraction

from construct.language.syntax import Angle
from construct.methods.needs import PENCIL, by_eye, left_set, tools_needed
from construct.phrasebook import say
from construct.plan import Plan, Step
from construct.reports import _words as words

__all__ = ["PENCIL", "by_eye", "choices", "left_set", "tools_needed"]


def choices(plan: Plan, units: str) -> tuple[tuple[str, str], ...]:
    """Return every free choice with what the picture shows of it: ("reach", "130 mm")."""
    found = []
    if plan.blank.free and plan.blank.width is not None:
        found.append(("plate", say("choice.across", length=words.length(plan.blank.width.mm, units))))
    for step in plan.steps:
        if step.phrase.option("free") and step.drawn is not None:
            said = _said(step, str(step.phrase.option("free")), units)
            if said:
                found.append((step.key, said))
    return tuple(found)


def _said(step: Step, kind: str, units: str) -> str:
    drawn = step.drawn
    if step.say is not None and isinstance(step.say.value, Angle):
        return step.say.value.text
    if kind == "length" and isinstance(drawn, Fraction):
        return words.length(drawn, units)
    if kind == "place" and isinstance(drawn, tuple) and len(drawn) == 2:
        scale = words.MM_PER_INCH if units == "in" else 1
        return f"({', '.join(words.decimal(one / scale) for one in drawn)}) {units}"
    if kind == "direction" and isinstance(drawn, Fraction):
        return f"{words.decimal(drawn * 360)} deg"
    # the rest is where the hand happens to go, on a line or round a circle: the picture shows it
    return say("choice.picture")
