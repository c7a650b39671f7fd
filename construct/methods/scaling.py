"""A settled layout at another size: every written length times one factor, angles and the bench as they are."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from construct.geometry import Point
from construct.language.syntax import Angle, Blank, Measure, Phrase
from construct.plan import Argument, Plan, PlannedClaim, PlannedLength, PlannedSay, Step
from construct.tools import Bench

Drawn = Fraction | tuple[Fraction, ...]


def scaled(plan: Plan, factor: Fraction) -> tuple[Plan, Mapping[str, Drawn]]:
    """Return a settled plan at `factor` times its size, and its free choices at that size, both to be settled anew.

    The wood's thickness stays, and so does everything on the bench but how much the plate has turned oval.
    """
    larger = replace(
        plan,
        blank=_blank(plan.blank, factor),
        settings=replace(plan.settings, oval=plan.settings.oval * factor),
        steps=tuple(_step(step, factor) for step in plan.steps),
        claims=tuple(_claim(claim, factor) for claim in plan.claims),
    )
    return larger, {step.key: _drawn(step, factor) for step in plan.steps if step.drawn is not None}


def _blank(blank: Blank, factor: Fraction) -> Blank:
    return replace(blank, width=_measure(blank.width, factor), height=_measure(blank.height, factor))


def _measure(measure: Measure | None, factor: Fraction) -> Measure | None:
    return None if measure is None else replace(measure, mm=measure.mm * factor)


def _step(step: Step, factor: Fraction) -> Step:
    bound = step.bound
    return replace(
        step,
        phrase=_given(step.phrase, factor) if step.phrase.text == "given" else step.phrase,
        arguments=tuple(_argument(one, factor) for one in step.arguments),
        bound=bound if bound is None or bound.length is None else replace(bound, length=_length(bound.length, factor)),
        say=_say(step.say, factor),
    )


def _given(phrase: Phrase, factor: Fraction) -> Phrase:
    def make(bench: Bench) -> Point:
        place = phrase.make(bench)
        return Point(place.x * bench.rational(factor), place.y * bench.rational(factor))

    return replace(phrase, make=make)


def _argument(argument: Argument, factor: Fraction) -> Argument:
    return _length(argument, factor) if isinstance(argument, PlannedLength) else argument


def _length(length: PlannedLength, factor: Fraction) -> PlannedLength:
    if length.op == "mm":
        return replace(length, value=length.value * factor)
    return replace(length, parts=tuple(_length(part, factor) for part in length.parts))


def _say(say: PlannedSay | None, factor: Fraction) -> PlannedSay | None:
    if say is None or isinstance(say.value, Angle):
        return say
    if isinstance(say.value, PlannedLength):
        return replace(say, value=_length(say.value, factor))
    x, y = say.value
    return replace(say, value=(x * factor, y * factor))


def _claim(claim: PlannedClaim, factor: Fraction) -> PlannedClaim:
    return replace(claim, arguments=tuple(_argument(one, factor) for one in claim.arguments))


def _drawn(step: Step, factor: Fraction) -> Drawn:
    """Return a free choice at the new size: lengths and places grow, angles and parts of a line stay."""
    drawn = step.drawn
    assert drawn is not None
    kind = step.phrase.option("free")
    if kind == "length":
        assert isinstance(drawn, Fraction)
        return drawn * factor
    if kind == "place":
        assert isinstance(drawn, tuple)
        return tuple(one * factor for one in drawn)
    return drawn
