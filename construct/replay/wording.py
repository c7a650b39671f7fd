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
    if "division by zero" in none.reason:
        return "this can not be laid: two of the things it starts from are one and the same, or lie where they may not"
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
            return f"their needles stand {apart:.4g} mm apart and the openings are {radii[0]:.4g} and {radii[1]:.4g} mm: they miss by {gap:.3g} mm; equal openings over {apart / 2:.4g} mm would reach"
        return f"one circle lies inside the other, {radii[1] - radii[0] - apart:.3g} mm from it at the nearest"
    if len(circles) == 1 and len(lines) == 1:
        off = numbers.to_float(square_distance(circles[0].centre, foot(circles[0].centre, lines[0]))) ** 0.5
        reach = numbers.to_float(circles[0].square) ** 0.5
        return f"the line passes {off:.4g} mm from the needle and the opening is {reach:.4g} mm: they miss by {off - reach:.3g} mm"
    return ""
