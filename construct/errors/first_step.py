"""How one step's error moves marks and cut edges, in closed form: *exact* derivatives, nothing rounded.

The layout is replayed once in first order over exact numbers, with the errors of
that step alone.  By default it is the recipe's first heading: finding the centre.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from construct.errors import InputQuantity
from construct.errors.measurands import WHERE, CutEdge, ExactEdge, LayoutFormula, displacement, lifted, step_name
from construct.geometry import Circle, Curve, Line, Point, cross, dot, towards
from construct.number_systems import LimitMet, NotANumber, Number
from construct.number_systems.first_order import Dual, FirstOrderSystem
from construct.phrasebook import say
from construct.plan import Plan
from construct.replay import replay_around


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """How far one unit of one error moves a mark or an edge.

    name: of the mark, or of the drawn thing that the edge follows.  edge: the edge's number, None for a mark.
    what: "x" or "y" of a mark; "start", "middle" or "finish" of an edge, where the displacement is square to it.
    step, source: whose error.  part: tells the places of one source in one step apart, such as "x" and "y"; often "".
    unit: "mm per mm" or "mm per deg".  exact: closed form, None where a limit was met.  value: a float near it.
    guarantee: "exact", or "first order" where there is no closed form.
    """

    name: str
    edge: int | None
    what: str
    step: str
    source: str
    part: str
    unit: str
    exact: str | None
    value: float
    guarantee: str


@dataclass(frozen=True, slots=True)
class FirstStep:
    """What the first step's errors, or those of a step that was asked for, do.

    title: the heading or the name asked for.  marks, edges: sensitivities; those that are exactly zero are left
        out and counted in `unmoved`.  notes: what could not be had, and why.
    """

    title: str
    marks: tuple[Sensitivity, ...]
    edges: tuple[Sensitivity, ...]
    unmoved: int
    notes: tuple[str, ...] = ()

    def at(self, name: str) -> tuple[Sensitivity, ...]:
        """Return the sensitivities of the mark, or of the edges along the drawn thing, called `name`."""
        return tuple(one for one in (*self.marks, *self.edges) if one.name == name)


def keys_of(plan: Plan, inputs: Sequence[InputQuantity], at: str | None) -> tuple[str, list[InputQuantity]]:
    """Return a title and the inputs of the first heading's steps, or of the step that makes `at`.

    Raises `KeyError` where nothing is called `at`.
    """
    if at is None:
        order = {one.key: one for one in plan.steps}
        # what a tool does throughout the job is no step's
        steps = [order[one.step] for one in inputs if one.step in order]
        if not steps:
            return "", []
        first = steps[0]
        if not first.heading:
            return step_name(plan, first), [one for one in inputs if one.step == first.key]
        return first.heading, [one for one in inputs if one.step in order and order[one.step].heading == first.heading]
    if at in plan.headings:
        keys = {step.key for step in plan.steps if step.heading == at}
    else:
        maker = plan.things[plan.index(at)].step
        step = plan.step(maker) if maker >= 0 else None
        # a setting said inside the action is part of the same movement
        keys = set() if step is None else {step.key} | {
            plan.step(plan.things[one].step).key for one in step.arguments if isinstance(one, int) and plan.things[one].step >= 0
            and plan.step(plan.things[one].step).hidden
        }  # fmt: skip
    return at, [one for one in inputs if one.step in keys]


def sensitivities(
    formula: LayoutFormula, corners: Sequence[ExactEdge], exact: Any, inputs: Sequence[InputQuantity], title: str
) -> FirstStep:
    """Return closed forms for every mark and cut edge, by the errors given; milliseconds for a few errors."""
    if not inputs:
        return FirstStep(title, (), (), 0, (say("hand.first.none"),))
    plan = formula.plan
    keys = [one.key for one in inputs]
    system = FirstOrderSystem(base=exact, errors=keys)
    try:
        values, _ = replay_around(plan, system, without=formula.without)
    except LimitMet as limit:
        return FirstStep(title, (), (), 0, (say("hand.first.no_form", limit=limit.reason),))
    told = _Teller(plan, exact, inputs)
    marks: list[Sensitivity] = []
    for index in formula.marks:
        mark = values[index]
        if mark is not None:
            for what, number in (("x", mark.x), ("y", mark.y)):
                marks += told.all_of(plan.things[index].name, None, what, number)
    edges: list[Sensitivity] = []
    for edge, corner in zip(formula.edges, corners, strict=True):
        if values[edge.thing] is not None and not edge.groove:
            for number, what in enumerate(WHERE):
                edges += _at_station(told, system, exact, values[edge.thing], edge, corner, number, what)
    return FirstStep(title, tuple(marks), tuple(edges), told.zeros, tuple(dict.fromkeys(told.notes)))


def _at_station(
    told: _Teller, system: FirstOrderSystem, exact: Any, carrier: Any, edge: CutEdge, corner: ExactEdge, number: int, what: str
) -> list[Sensitivity]:
    name = told.plan.things[edge.thing].name
    try:
        if isinstance(carrier, Curve):
            # a station on a curve is a float's guess at the nearest parameter: no closed form is worth printing
            station = edge.stations[number]
            place = Point(system.rational(station.x), system.rational(station.y))
            some = told.all_of(name, edge.number, what, displacement(system, carrier, place, station))
            return [replace(one, exact=None, guarantee="first order") for one in some]
        place = lifted(system, _place(exact, corner, number))
        return told.all_of(name, edge.number, what, displacement(system, carrier, place, edge.stations[number]))
    except (LimitMet, NotANumber) as reason:
        told.notes.append(say("hand.first.no_form_along", name=name, limit=reason.reason))
        return []


def _place(exact: Any, corner: ExactEdge, number: int) -> Point:
    """Return an edge's exact start, middle or finish."""
    if number != 1:
        return corner.start if number == 0 else corner.finish
    if isinstance(corner.carrier, Line):
        return Point((corner.start.x + corner.finish.x) / 2, (corner.start.y + corner.finish.y) / 2)
    assert isinstance(corner.carrier, Circle)
    centre, square = corner.carrier.centre, corner.carrier.square
    first, last = towards(centre, corner.start), towards(centre, corner.finish)
    turn = exact.sign(cross(first, last))
    half = first[0] + last[0], first[1] + last[1]
    if turn == 0:
        # half a turn: a quarter on from the start, towards the side that the arc takes
        return Point(centre.x - first[1] * corner.turn, centre.y + first[0] * corner.turn)
    part = exact.sqrt(square / dot(half, half)) * (turn * corner.turn)
    return Point(centre.x + half[0] * part, centre.y + half[1] * part)


class _Teller:
    """Writes derivatives as sentences' parts, and counts those that are zero."""

    def __init__(self, plan: Plan, exact: Any, inputs: Sequence[InputQuantity]) -> None:
        self.plan = plan
        self.exact = exact
        self.inputs = inputs
        steps = {step.key: step for step in plan.steps}
        self.steps = [step_name(plan, steps[one.step]) for one in inputs]
        self.zeros = 0
        self.notes: list[str] = []

    def all_of(self, name: str, edge: int | None, what: str, number: Dual) -> list[Sensitivity]:
        """Return the sensitivities of one result that are not zero."""
        made = []
        for place, one in enumerate(self.inputs):
            slope = None if number.grad is None else number.grad[place]
            try:
                moves = slope is not None and self.exact.sign(slope) != 0
            except LimitMet as limit:
                self.notes.append(say("hand.first.no_form_here", limit=limit.reason))
                continue
            if not moves:
                self.zeros += 1
                continue
            text = self._text(slope)
            value = self.exact.to_float(slope)
            angle = one.source.unit == "rad"
            if angle:
                value = math.radians(value)
                text = None if text is None else _per_degree(text)
            unit = "mm per deg" if angle else "mm per mm"
            sure = "first order" if text is None else "exact"
            made.append(Sensitivity(name, edge, what, self.steps[place], one.source.name, _part(one), unit, text, value, sure))
        return made

    def _text(self, slope: Number) -> str | None:
        try:
            return str(self.exact.closed_form(slope))
        except LimitMet as limit:
            self.notes.append(say("hand.first.no_form_here", limit=limit.reason))
            return None


def _per_degree(text: str) -> str:
    if text == "1":
        return "π/180"
    if text == "−1":
        return "−π/180"
    return f"π/180·({text})" if not text.isdigit() else f"π/180·{text}"


def _part(one: InputQuantity) -> str:
    place = one.key[2] if len(one.key) > 2 else ""
    parts = place if isinstance(place, tuple) else (place,)
    return " ".join(str(part) for part in parts if part != "")
