"""The free choices of a plan as numbers that can be moved: openings, hooks, marks set down anywhere.

A free choice has one coordinate (a length, an angle, a place along a line) or
two (a place on the blank).  Floats are used to look for a better choice and for
nothing else: what is tried is always a fraction, and is settled exactly.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from construct.geometry import Line
from construct.plan import Plan, Step
from construct.replay import Settled
from construct.replay.settle import Drawn

LENGTH, ANGLE, ALONG, ACROSS, UP = "length", "angle", "along", "across", "up"

FINENESS = 1000
"""Lengths are tried to a thousandth of a millimetre; half tangents of angles to fractions over at most this."""

GIVEN = "given anywhere"
"""The phrase of marks that the figure starts from: where they lie is no choice of the hand's."""


@dataclass(frozen=True, slots=True)
class Coordinate:
    """One number of one free choice.

    key: the step's.  number: the step's number.  names: what the step makes, in bench words.  line: in the recipe.
    kind: "length" (of an opening, mm), "angle" (deg, clockwise), "along" (of a line, mm from where it starts),
        "across" or "up" (of a place, mm from the middle).
    towards: what an angle is counted from, "" for the grain.
    value: as drawn, in mm or deg (*estimate*: it only starts a search).
    scale: mm in one unit of the drawn fraction; 1 but for places along a line.
    """

    key: str
    number: int
    names: str
    line: int
    kind: str
    towards: str
    value: float
    scale: float = 1.0

    @property
    def unit(self) -> str:
        """The unit of `value`: "mm" or "deg"."""
        return "deg" if self.kind == ANGLE else "mm"


def coordinates(settled: Settled, to_float: object) -> tuple[Coordinate, ...]:
    """Return every coordinate of every free choice of the hand's, in the order of the steps.

    to_float: turns an exact number into a float.
    """
    found: list[Coordinate] = []
    for step in settled.plan.steps:
        if step.drawn is not None and step.phrase.option("free") and step.phrase.text != GIVEN:
            found += _of_step(settled, step, to_float)
    return tuple(found)


def _of_step(settled: Settled, step: Step, to_float: object) -> list[Coordinate]:
    plan = settled.plan
    names = " and ".join(plan.things[index].name for index in step.outputs)
    towards = "" if step.say is None or step.say.towards is None else plan.things[step.say.towards].name
    free, drawn = step.phrase.option("free"), step.drawn

    def made(kind: str, value: float, scale: float = 1.0) -> Coordinate:
        return Coordinate(step.key, step.number, names, step.span.line, kind, towards if kind == ANGLE else "", value, scale)

    if free == "place":
        assert isinstance(drawn, tuple)
        return [made(kind, float(part)) for kind, part in zip((ACROSS, UP), drawn, strict=True)]
    if free == "length":
        assert isinstance(drawn, Fraction)
        return [made(LENGTH, float(drawn))]
    line = settled.values[step.arguments[0]] if free == "on" else None  # type: ignore[index]
    if isinstance(line, Line):
        assert isinstance(drawn, Fraction) and callable(to_float)
        whole = math.hypot(to_float(line.dx), to_float(line.dy))
        return [made(ALONG, float(drawn) * whole, whole)]
    turns = float(drawn) if isinstance(drawn, Fraction) else math.atan(float(drawn[0])) / math.pi  # type: ignore[index]
    return [made(ANGLE, turns * 360 % 360)]


def drawn_choices(plan: Plan) -> dict[str, Drawn]:
    """Return every drawn example of a settled plan, by the key of its step."""
    return {step.key: step.drawn for step in plan.steps if step.drawn is not None}


def moved(drawn: Mapping[str, Drawn], every: Sequence[Coordinate], place: int, value: float) -> dict[str, Drawn]:
    """Return drawn examples with one coordinate moved to a value in mm or deg."""
    one = every[place]
    changed = dict(drawn)
    if one.kind == ANGLE:
        changed[one.key] = angle_drawn(value)
    elif one.kind in (ACROSS, UP):
        x, y = drawn[one.key]  # type: ignore[misc]
        new = _fraction(value)
        changed[one.key] = (new, y) if one.kind == ACROSS else (x, new)
    elif one.kind == ALONG:
        # parts of a long line must be finer than its millimetres
        changed[one.key] = Fraction(round(value / one.scale * 10_000_000), 10_000_000)
    else:
        changed[one.key] = _fraction(value)
    return changed


def angle_drawn(degrees: float) -> Drawn:
    """Return an angle as the tangent of its half, a simple fraction, or as half a turn where that has none.

    A rational half tangent gives a rational direction, so a trial adjoins no root; the angle is
    met to a few thousandths of a degree.
    """
    turns = degrees / 360 % 1
    if abs(turns - 0.5) < 1e-4:
        return Fraction(1, 2)
    return (Fraction(math.tan(turns * math.pi)).limit_denominator(FINENESS),)


def _fraction(value: float) -> Fraction:
    return Fraction(round(value * FINENESS), FINENESS)
