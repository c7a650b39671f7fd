"""Sentences about crossings: what a pick says, how far two things are from meeting."""

from __future__ import annotations

from typing import Any

from construct.geometry import (
    Circle,
    Line,
    foot,
    square_distance,
)
from construct.number_systems import NotANumber, NumberSystem
from construct.phrasebook import say
from construct.plan import Plan, PlannedPick


def said_of(plan: Plan, pick: PlannedPick) -> str:
    names = [plan.things[index].name for index in pick.things]
    return {
        "nearest": f"nearest {names[0]}",
        "farthest": f"farthest from {names[0]}",
        "side": f"on the {names[0]} side of {' '.join(names[1:])}",
        "away": f"away from {names[0]}",
        "inside": f"inside {names[0]}",
        "outside": f"outside {names[0]}",
        "other": f"other than {names[0]}",
    }[pick.how]


def sentence_of(none: NotANumber) -> str:
    """Return why a step has no result, in bench words."""
    if none.reason == say("no_number.by_zero"):
        return say("no_number.laid")
    return none.reason


def reach_hint(numbers: NumberSystem, things: list[Any]) -> str:
    """Say how far apart two things are that do not meet, and what opening would reach."""
    circles = [thing for thing in things[:2] if isinstance(thing, Circle)]
    lines = [thing for thing in things[:2] if isinstance(thing, Line)]
    if len(circles) == 2:
        apart = numbers.to_float(square_distance(circles[0].centre, circles[1].centre)) ** 0.5
        radii = sorted(numbers.to_float(circle.square) ** 0.5 for circle in circles)
        if apart > sum(radii):
            gap = apart - sum(radii)
            return say("reach.apart", apart=apart, one=radii[0], other=radii[1], gap=gap, over=apart / 2)
        return say("reach.inside", gap=radii[1] - radii[0] - apart)
    if len(circles) == 1 and len(lines) == 1:
        off = numbers.to_float(square_distance(circles[0].centre, foot(circles[0].centre, lines[0]))) ** 0.5
        reach = numbers.to_float(circles[0].square) ** 0.5
        return say("reach.line", off=off, reach=reach, gap=off - reach)
    return ""
