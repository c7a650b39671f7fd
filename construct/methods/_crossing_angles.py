"""How squarely drawn things cross, before and after: what people look at to judge a mark. *Estimates*, which decide nothing."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from typing import Any

from construct.geometry import Circle, Line, Point
from construct.methods.trial import crossing_steps
from construct.methods.tuned_choices import CrossingAngle
from construct.number_systems.float import FloatSystem
from construct.plan import Step
from construct.replay import Settled, replay_around

HARDLY = 0.5
"""deg: a change of less is not told."""


def changed_angles(before: Settled, after: Settled, numbers: Collection[int]) -> tuple[CrossingAngle, ...]:
    """Return the crossings marked by some steps whose angle is not the same after as before."""
    plan = before.plan
    first, second = (replay_around(there.plan, FloatSystem(tangent_slack=1e-9))[0] for there in (before, after))
    found = []
    for step in crossing_steps(plan, numbers):
        was, now = _angle(first, step), _angle(second, step)
        if was is not None and now is not None and abs(was - now) > HARDLY:
            found.append(CrossingAngle(" and ".join(plan.things[index].name for index in step.outputs), step.span.line, was, now))
    return tuple(found)


def _angle(values: Sequence[Any], step: Step) -> float | None:
    """Return the angle at which two things cross at the first mark of a step, 0…90 deg (*estimate*)."""
    mark = values[step.outputs[0]]
    ways = []
    for index in step.arguments[:2]:
        thing = values[index] if isinstance(index, int) else None
        if isinstance(thing, Line):
            ways.append((thing.dx, thing.dy))
        elif isinstance(thing, Circle) and isinstance(mark, Point):
            ways.append((mark.y - thing.centre.y, thing.centre.x - mark.x))
    if len(ways) != 2:
        return None
    (a, b), (c, d) = ways
    return math.degrees(math.atan2(abs(a * d - b * c), abs(a * c + b * d)))
