"""What is measured: every mark's place, and how far every cut edge lies off, as one formula over any numbers.

A cut edge's displacement is taken square to it, of the drawn thing that the knife
follows, at the edge's start, middle and finish: for a circle outwards,
r − |X − C|; for a line to its left, −cross(d, X − p)/|d|; for a french curve by
its control marks, at the parameter nearest the station.  X is the station's place
without errors.  The knife's own entry is no part of it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import numpy as np

from construct.chips import Carving, Chip, ChipEdge
from construct.errors import Place
from construct.geometry import Circle, Curve, Line, Point, cross, radius, square_distance
from construct.number_systems import NotANumber, Number, NumberSystem
from construct.number_systems.first_order import Dual, FirstOrderSystem
from construct.number_systems.samples import SampleSystem
from construct.phrasebook import say
from construct.plan import Plan, Step
from construct.replay import Settled, asked_of_picks, replay_around

WHERE = ("start", "middle", "finish")
SIMPSON = (1 / 6, 4 / 6, 1 / 6)
"""Weights of start, middle and finish for a mean along an edge."""

MOST_NAMES = 4
"""Names of one step that are said one by one."""


@dataclass(frozen=True, slots=True)
class Station:
    """A place on a cut edge.

    where: "start", "middle" or "finish".  x, y: its place without errors, as fractions equal to floats in mm.
    normal: unit vector of a positive displacement (*estimate*).
    part: for a curve, its parameter 0…1 there; else None.
    """

    where: str
    x: Fraction
    y: Fraction
    normal: tuple[float, float]
    part: Fraction | None = None


@dataclass(frozen=True, slots=True)
class CutEdge:
    """A cut edge between two corners, or a groove.

    thing: the drawn thing's index in the plan.  number: of the edge, in the order of chips, from 0.
    sides: for each chip it bounds, the chip's number and +1 where a positive displacement makes that chip
        larger, else -1.  groove: True for a line cut by itself.  length_mm: *estimate*.
    """

    number: int
    thing: int
    sides: tuple[tuple[int, int], ...]
    groove: bool
    length_mm: float
    stations: tuple[Station, ...]


@dataclass(frozen=True, slots=True)
class ExactEdge:
    """The exact corners behind a `CutEdge`, kept apart because only closed forms need them.

    turn: +1 where a round edge runs counterclockwise from start to finish, -1 clockwise, 0 straight or curved.
    """

    carrier: Line | Circle | Curve
    start: Point
    finish: Point
    turn: int


@dataclass(frozen=True, slots=True)
class LayoutFormula:
    """The formula of a settled plan: x and y of each mark, then each edge's three displacements, in mm.

    marks: the marks' indices in the plan.  edges: the cut edges, in order.
    without: steps that have no value in the system at hand (see `touching_steps`); what needs them is None.
    """

    plan: Plan
    marks: tuple[int, ...]
    edges: tuple[CutEdge, ...]
    without: frozenset[int] = frozenset()

    def __call__(self, numbers: NumberSystem) -> Sequence[Number | None]:
        values, _ = replay_around(self.plan, numbers, without=self.without)
        results: list[Number | None] = []
        for index in self.marks:
            mark = values[index]
            results += (None, None) if mark is None else (mark.x, mark.y)
        for edge in self.edges:
            carrier = values[edge.thing]
            for station in edge.stations:
                if carrier is None:
                    results.append(None)
                    continue
                place = Point(numbers.rational(station.x), numbers.rational(station.y))
                results.append(displacement(numbers, carrier, place, station))
        if isinstance(numbers, SampleSystem) and numbers.has_errors:
            judge(self.plan, numbers, values)
        return results

    def of_mark(self, index: int) -> slice:
        """Return where a mark's x and y stand among the measurands."""
        place = self.marks.index(index)
        return slice(2 * place, 2 * place + 2)

    def of_edge(self, number: int) -> slice:
        """Return where an edge's three displacements stand among the measurands."""
        first = 2 * len(self.marks) + 3 * number
        return slice(first, first + 3)

    @property
    def pairs(self) -> tuple[tuple[int, int], ...]:
        """The measurands whose covariance is wanted: each mark's x with its y."""
        return tuple((2 * place, 2 * place + 1) for place in range(len(self.marks)))


def judge(plan: Plan, numbers: SampleSystem, values: Sequence[Any]) -> None:
    """Give up the trials in which a crossing no longer fits the recipe's words."""
    for step, words, number, wanted in asked_of_picks(plan, numbers, values):
        off = np.sign(number) == -wanted
        if np.any(off):
            label = say("hand.lost.no_longer", line=step.span.line, name=step_name(plan, step), which=words)
            numbers.lost.append((label, np.broadcast_to(off, (numbers.trials,))))
    trials = numbers.trials
    # it must not hold the system: the cycle would keep a whole chunk's arrays alive
    numbers.explain = lambda: list(_first_losses(plan, values, trials))


def displacement(numbers: NumberSystem, carrier: Line | Circle | Curve, place: Point, station: Station) -> Number:
    """Return how far a carrier lies off `place`, square to it, in mm; see the module's text for its sign."""
    if isinstance(carrier, Circle):
        # over exact numbers both roots are one and the same, so neither is adjoined twice
        return radius(numbers, carrier) - numbers.sqrt(square_distance(place, carrier.centre))
    if isinstance(carrier, Line):
        way = carrier.dx, carrier.dy
        off = cross(way, (place.x - carrier.x, place.y - carrier.y))
        return -off / numbers.sqrt(way[0] * way[0] + way[1] * way[1])
    assert station.part is not None
    nx, ny = (numbers.rational(Fraction(one)) for one in station.normal)
    x, y = _on_curve(numbers, carrier, station.part)
    return (x - place.x) * nx + (y - place.y) * ny


def _on_curve(numbers: NumberSystem, curve: Curve, part: Fraction) -> tuple[Number, Number]:
    rest = 1 - part
    weights = [numbers.rational(w) for w in (rest**3, 3 * rest**2 * part, 3 * rest * part**2, part**3)]
    x = y = numbers.rational(0)
    for weight, mark in zip(weights, curve.controls, strict=True):
        x, y = x + mark.x * weight, y + mark.y * weight
    return x, y


def lifted(numbers: NumberSystem, place: Point) -> Point:
    """Return an exact place as a constant of a first-order system over the same exact numbers."""
    assert isinstance(numbers, FirstOrderSystem)
    return Point(Dual(place.x), Dual(place.y))


# --- the layout's formula ----------------------------------------------------------------------


def make_formula(settled: Settled, carving: Carving | None, exact: Any) -> tuple[LayoutFormula, tuple[ExactEdge, ...]]:
    """Return the formula of a settled plan and the exact corners of its edges, in the same order."""
    plan = settled.plan
    marks = tuple(index for index, thing in enumerate(plan.things) if thing.kind == "mark" and isinstance(settled.values[index], Point))
    found: dict[tuple[Any, ...], tuple[ChipEdge, dict[int, int]]] = {}
    for chip in (*carving.chips, *carving.left) if carving is not None else ():
        for edge in _edges_of(chip):
            ends = sorted((_spot(exact, edge.start), _spot(exact, edge.finish)))
            bulge = edge.sense * (1 if ends[0] == _spot(exact, edge.start) else -1)
            key = (edge.piece, *ends, bulge)
            _, sides = found.setdefault(key, (edge, {}))
            if chip.number:
                sides[chip.number] = _grows(exact, settled, edge)
    cuts: list[CutEdge] = []
    corners: list[ExactEdge] = []
    for edge, sides in found.values():
        for part in _halved(exact, edge):
            _add(exact, settled, part, tuple(sorted(sides.items())), False, cuts, corners)
    for groove in carving.grooves if carving is not None else ():
        piece = groove.piece
        round_ = piece.geometry if isinstance(piece.geometry, Circle) else None
        start = piece.start if piece.start is not None else (_grain_end(exact, round_) if round_ is not None else None)
        if start is None or (piece.finish is None and round_ is None):
            continue
        edge = ChipEdge(start, piece.finish or start, round_, 1 if round_ is not None else 0, -1, piece.thing)
        for part in _halved(exact, edge):
            _add(exact, settled, part, (), True, cuts, corners)
    return LayoutFormula(plan, marks, tuple(cuts)), tuple(corners)


def touching_steps(settled: Settled, exact: Any) -> dict[int, NotANumber | None]:
    """Return the steps that have no first-order budget, decided exactly, with the reason (None: it rests on one that has none).

    Two things that just touch have no derivative there; over floats that would not be seen.
    """
    _, reasons = replay_around(settled.plan, _Depending(exact))
    return reasons


class _Depending(FirstOrderSystem):
    """Exact numbers that only remember whether they depend on an error."""

    def __init__(self, exact: Any) -> None:
        super().__init__(base=exact)

    def error(self, key: tuple[object, ...], source: Any) -> Dual:
        """Zero, with a gradient that stands for any."""
        return Dual(self._zero, _ANY)


class _Any:
    """A gradient whose size does not matter: whatever is done to it, it stays."""

    def _self(self, *_: object) -> _Any:
        return self

    __add__ = __radd__ = __sub__ = __rsub__ = __mul__ = __rmul__ = __truediv__ = __neg__ = _self


_ANY = _Any()


def step_name(plan: Plan, step: Step) -> str:
    """Return what people call a step: what it makes; for a setting said inside an action, what that action makes."""
    if not step.hidden:
        return _called([plan.things[index].name for index in step.outputs])
    for later in plan.steps:
        if later.number > step.number and step.outputs[0] in later.arguments:
            return say("hand.setting_for", name=step_name(plan, later))
    return step.key


def _called(names: Sequence[str]) -> str:
    """Return the names that one step makes; of many the first and the last, as a walk round a border has dozens."""
    return ", ".join(names) if len(names) <= MOST_NAMES else f"{names[0]} to {names[-1]}"


def layout_places(formula: LayoutFormula, estimates: Sequence[float]) -> tuple[Place, ...]:
    """Return every measurand's name and unit-free description, in order."""
    places = []
    for index in formula.marks:
        name = formula.plan.things[index].name
        places += [Place(name, "x"), Place(name, "y")]
    for edge in formula.edges:
        places += [Place(formula.plan.things[edge.thing].name, one.where, edge.number) for one in edge.stations]
    return tuple(places)


def _first_losses(plan: Plan, values: Sequence[Any], trials: int) -> Any:
    """Say for lost trials which step had no value first, as (sentence, mask) pairs."""
    before = np.zeros(trials, dtype=bool)
    for step in plan.steps:
        lost = np.zeros(trials, dtype=bool)
        for index in step.outputs:
            thing = values[index]
            if isinstance(thing, Point):
                lost |= ~np.isfinite(thing.x + thing.y)
            elif isinstance(thing, Line):
                lost |= ~np.isfinite(thing.x + thing.y + thing.dx + thing.dy)
            elif isinstance(thing, Circle):
                lost |= ~np.isfinite(thing.square + thing.centre.x + thing.centre.y)
        new = lost & ~before
        if new.any():
            yield say("hand.lost.not_made", line=step.span.line, name=step_name(plan, step)), new
        before |= lost


# --- edges ---------------------------------------------------------------------------------------


def _edges_of(chip: Chip) -> list[ChipEdge]:
    return [edge for walk in chip.walks for edge in walk]


def _spot(exact: Any, point: Point) -> tuple[float, float]:
    return round(exact.to_float(point.x), 7), round(exact.to_float(point.y), 7)


def _floats(exact: Any, point: Point) -> tuple[float, float]:
    return exact.to_float(point.x), exact.to_float(point.y)


def _grain_end(exact: Any, circle: Circle) -> Point:
    zero = exact.rational(0)
    return Point(circle.centre.x + zero, circle.centre.y + radius(exact, circle))


def _halved(exact: Any, edge: ChipEdge) -> list[ChipEdge]:
    """Return an edge as it is, a whole circle as two halves."""
    if not (edge.whole and edge.circle is not None):
        return [edge]
    centre = edge.circle.centre
    top = _grain_end(exact, edge.circle)
    foot = Point(centre.x * 2 - top.x, centre.y * 2 - top.y)
    return [ChipEdge(a, b, edge.circle, edge.sense, edge.piece, edge.thing) for a, b in ((top, foot), (foot, top))]


def _grows(exact: Any, settled: Settled, edge: ChipEdge) -> int:
    """Return +1 where the chip at the left of an edge grows with a positive displacement (*estimate*, for bookkeeping)."""
    if edge.circle is not None:
        return edge.sense
    carrier = settled.values[edge.thing]
    (ax, ay), (bx, by) = _floats(exact, edge.start), _floats(exact, edge.finish)
    if isinstance(carrier, Line):
        dx, dy = exact.to_float(carrier.dx), exact.to_float(carrier.dy)
    else:
        (px, py), (qx, qy) = _floats(exact, carrier.controls[0]), _floats(exact, carrier.controls[3])
        dx, dy = qx - px, qy - py
    # along the carrier the chip lies to its left, so a carrier that moves to its left makes it smaller
    return -1 if dx * (bx - ax) + dy * (by - ay) > 0 else 1


def _add(
    exact: Any,
    settled: Settled,
    edge: ChipEdge,
    sides: tuple[tuple[int, int], ...],
    groove: bool,
    cuts: list[CutEdge],
    corners: list[ExactEdge],
) -> None:
    carrier = settled.values[edge.thing]
    (ax, ay), (bx, by) = _floats(exact, edge.start), _floats(exact, edge.finish)
    if edge.circle is not None:
        cx, cy = _floats(exact, edge.circle.centre)
        reach = math.sqrt(exact.to_float(edge.circle.square))
        first = math.atan2(ay - cy, ax - cx)
        turn = (math.atan2(by - cy, bx - cx) - first) * edge.sense % math.tau
        length = reach * turn
        angles = [first, first + edge.sense * turn / 2, first + edge.sense * turn]
        normals = [(math.cos(angle), math.sin(angle)) for angle in angles]
        stations = [_station(where, cx + reach * n[0], cy + reach * n[1], n) for where, n in zip(WHERE, normals, strict=True)]
    elif isinstance(carrier, Line):
        length = math.hypot(bx - ax, by - ay)
        dx, dy = exact.to_float(carrier.dx), exact.to_float(carrier.dy)
        scale = math.hypot(dx, dy)
        normal = (-dy / scale, dx / scale)
        stations = [_station(WHERE[k], ax + (bx - ax) * k / 2, ay + (by - ay) * k / 2, normal) for k in range(3)]
    else:
        length = math.hypot(bx - ax, by - ay)
        stations = [_on_curve_at(exact, carrier, WHERE[k], ax + (bx - ax) * k / 2, ay + (by - ay) * k / 2) for k in range(3)]
    cuts.append(CutEdge(len(cuts), edge.thing, sides, groove, length, tuple(stations)))
    corners.append(ExactEdge(carrier, edge.start, edge.finish, edge.sense))


def _station(where: str, x: float, y: float, normal: tuple[float, float], part: Fraction | None = None) -> Station:
    return Station(where, Fraction(x), Fraction(y), normal, part)


def _on_curve_at(exact: Any, curve: Curve, where: str, x: float, y: float) -> Station:
    """Return the station of a curve nearest to a place on its chord (*estimate*)."""
    marks = np.array([_floats(exact, mark) for mark in curve.controls])
    part = np.linspace(0.0, 1.0, 1025)[:, None]
    along = (1 - part) ** 3 * marks[0] + 3 * (1 - part) ** 2 * part * marks[1] + 3 * (1 - part) * part**2 * marks[2] + part**3 * marks[3]
    best = int(np.argmin(np.hypot(along[:, 0] - x, along[:, 1] - y)))
    step = along[min(best + 1, 1024)] - along[max(best - 1, 0)]
    scale = float(np.hypot(*step))
    x, y = along[best].tolist()
    return _station(where, x, y, (-float(step[1]) / scale, float(step[0]) / scale), Fraction(best, 1024))
