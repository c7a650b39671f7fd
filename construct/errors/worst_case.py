"""Worst case within stated limits: how far off a mark or a cut edge can lie when every error stays inside its own.

No chance is in it: each source has a limit, and all of them may be met at once.
Two figures stand side by side: an *enclosure*, first order and a bound for all
beyond it over the whole box, never too small and perhaps loose; and the worst
corner of the box that was found (an *estimate*: a place the layout really can come
to).  Where a slope has no bound the box is split, up to a limit, and then it is said.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from construct.errors.measurands import LayoutFormula, displacement
from construct.errors.propagation import Propagation
from construct.geometry import Point
from construct.number_systems import NotANumber, Number, NumberSystem, Source
from construct.number_systems._box import Boxed, BoxSystem
from construct.number_systems.samples import SampleSystem
from construct.replay import replay_around

Array = NDArray[np.float64]

NORMAL_LIMIT = 2.5
"""The limit of a normal source in standard uncertainties: judgement (the trade's "max", about 2.5 s)."""

Key = tuple[Any, ...]

Box = tuple[dict[Key, float], dict[Key, float]]
"""Middle and half width in each error, by key; an error without a middle has it at 0."""

SPLITS = 2
"""How often a box is halved where a slope has no bound: 4 boxes at most."""

DIRECTIONS = 32
"""In how many directions a mark is bounded, and its worst corner looked for."""

AT_ONCE = 4096
"""Corners that are replayed together."""

NO_BOUND = "no bound found: within the limits two things may miss each other, or cross too flat to tell"


@dataclass(frozen=True, slots=True)
class Worst:
    """How far off one mark, or one place on a cut edge, can lie.

    name: of the mark, or of the drawn thing that the edge follows.  edge: the edge's number, None for a mark.
    where: "" for a mark, else "start", "middle" or "finish".
    most_mm: what is never exceeded (*enclosure*): a mark's distance from its drawn place, an edge's displacement square
        to itself without the knife; NaN where `note` says why there is none.
    corner_mm: the worst corner found (*estimate*); NaN where none could be drawn.  missed: corners tried that could not be drawn.
    """

    name: str
    edge: int | None
    where: str
    most_mm: float
    corner_mm: float
    missed: int
    note: str = ""


@dataclass(frozen=True, slots=True)
class WorstCase:
    """The worst case of a layout.

    limits: each source's name, limit in mm (rad) and unit, by name.  boxes: how many the limits were split into.
    knife_mm: the limit of the knife's entry, which comes on top at every edge.
    """

    limits: tuple[tuple[str, float, str], ...]
    boxes: int
    knife_mm: float
    marks: tuple[Worst, ...]
    edges: tuple[Worst, ...]


def limit_of(source: Source) -> float:
    """Return how large an error of this source is allowed to be, in its own unit."""
    return source.u * (math.sqrt(3) if source.shape == "rectangular" else NORMAL_LIMIT)


def find_worst_case(formula: LayoutFormula, propagation: Propagation, knife: Source | None) -> WorstCase:
    """Return the worst case of every mark and cut edge.  Cost: one replay over intervals a box, one over the corners."""
    # moved outwards: the root is rounded
    half = {one.key: math.nextafter(limit_of(one.source), math.inf) for one in propagation.inputs}
    found, boxes = enclosures(formula, half, propagation)
    corners = _corners(formula, propagation)
    marks, edges = [], []
    count = len(formula.marks)
    for place, index in enumerate(formula.marks):
        marks.append(_worst(formula.plan.things[index].name, None, "", found[place], corners[place]))
    stations = [(edge, station) for edge in formula.edges for station in edge.stations]
    for (edge, station), one, corner in zip(stations, found[count:], corners[count:], strict=True):
        edges.append(_worst(formula.plan.things[edge.thing].name, edge.number, station.where, one, corner))
    limits = {one.source.name: (one.source.name, limit_of(one.source), one.source.unit) for one in propagation.inputs}
    return WorstCase(tuple(limits.values()), boxes, 0.0 if knife is None else limit_of(knife), tuple(marks), tuple(edges))


def _worst(name: str, edge: int | None, where: str, most: float | None, corner: tuple[float, int]) -> Worst:
    return Worst(name, edge, where, math.nan if most is None else most, *corner, note=NO_BOUND if most is None else "")


# --- enclosures ----------------------------------------------------------------------------------


def enclosures(formula: LayoutFormula, half: Mapping[Key, float], propagation: Propagation) -> tuple[list[float | None], int]:
    """Return how far off each mark, then each station, lies at most over the box, None without a bound, and how many boxes it took."""
    boxes: list[Box] = [({}, dict(half))]
    found = _over(formula, boxes[0], propagation.estimates)
    slopes = _by_place(formula, propagation.sensitivity)
    cost = slopes * np.array([half[one.key] for one in propagation.inputs])
    # what no box however small would bound (two things that just touch) is not worth splitting for
    hopeless = np.any(np.isnan(slopes), axis=1).tolist()
    for _ in range(SPLITS):
        unbounded = [place for place, one in enumerate(found) if one is None and not hopeless[place]]
        if not unbounded or not propagation.inputs:
            break
        dearest = int(np.argmax(cost[unbounded].sum(axis=0)))
        cost[:, dearest] /= 2
        boxes = [part for box in boxes for part in _halves(box, propagation.inputs[dearest].key)]
        every = [_over(formula, box, propagation.estimates) for box in boxes]
        for place in unbounded:
            parts = [one[place] for one in every]
            found[place] = None if None in parts else max(part for part in parts if part is not None)
    return found, len(boxes)


def _by_place(formula: LayoutFormula, slopes: Array) -> Array:
    """Return how strongly each input moves each mark or station, shape (places, inputs)."""
    count = 2 * len(formula.marks)
    return np.concatenate([np.hypot(slopes[0:count:2], slopes[1:count:2]), np.abs(slopes[count:])])


def _halves(box: Box, key: Key) -> Iterator[Box]:
    middle, half = box
    part = half[key] / 2
    for sign in (-1, 1):
        # the two overlap by a rounding: never a gap
        yield {**middle, key: middle.get(key, 0.0) + sign * part}, {**half, key: math.nextafter(part, math.inf) * (1 + 2.0**-50)}


def _over(formula: LayoutFormula, box: Box, estimates: Array) -> list[float | None]:
    """Return how far off every mark and station lies at most in one box; None without a bound."""
    middle, half = box
    system = BoxSystem(half, middle=middle)
    found = _measured(formula, system)
    count = 2 * len(formula.marks)
    drawn = [None if math.isnan(one) else system.constant(float(one)) for one in estimates[:count]]
    most: list[float | None] = []
    for x, y, at_x, at_y in zip(found[0:count:2], found[1:count:2], drawn[0::2], drawn[1::2], strict=True):
        most.append(None if x is None or y is None or at_x is None or at_y is None else _farthest(x - at_x, y - at_y))
    return most + [None if one is None else max(map(abs, one.range)) for one in found[count:]]


def _farthest(x: Boxed, y: Boxed) -> float:
    """Return how far (x, y) can lie from nothing: no farther than its reach in some directions, and a little for those between."""
    corner = math.hypot(*(max(map(abs, one.range)) for one in (x, y)))
    reaches: list[float] = []
    for turn in range(DIRECTIONS // 2):
        angle = math.tau * turn / DIRECTIONS
        along = x * x.system.constant(math.cos(angle)) + y * x.system.constant(math.sin(angle))
        reaches += map(abs, along.range)
    return min(corner, max(reaches) / math.cos(math.pi / DIRECTIONS)) * (1 + 1e-12)


def _measured(formula: LayoutFormula, numbers: NumberSystem) -> list[Number | None]:
    """Return the measurands as `LayoutFormula` has them, None also for an edge whose own place has no value."""
    values, _ = replay_around(formula.plan, numbers, without=formula.without)
    results: list[Number | None] = []
    for index in formula.marks:
        mark = values[index]
        results += (None, None) if mark is None else (mark.x, mark.y)
    for edge in formula.edges:
        carrier = values[edge.thing]
        for station in edge.stations:
            place = Point(numbers.rational(station.x), numbers.rational(station.y))
            try:
                results.append(None if carrier is None else displacement(numbers, carrier, place, station))
            except NotANumber:
                results.append(None)
    return results


# --- corners -------------------------------------------------------------------------------------


class _Corners(SampleSystem):
    """Samples that are not drawn: one entry a corner."""

    def __init__(self, table: Mapping[Key, Array], trials: int) -> None:
        super().__init__(trials=trials, seed=0, errors=True)
        self._table = table

    def error(self, key: tuple[object, ...], source: Source) -> Any:
        """The error's value at each corner."""
        return self._table.get(key, np.float64(0))


def _corners(formula: LayoutFormula, propagation: Propagation) -> list[tuple[float, int]]:
    """Return for each mark, then each station, how far off its worst corner lies, and how many corners could not be drawn."""
    half = np.array([limit_of(one.source) for one in propagation.inputs])
    slopes = propagation.sensitivity
    wanted: list[tuple[int, Array]] = []
    marks = len(formula.marks)
    for place in range(marks):
        for turn in range(DIRECTIONS):
            angle = math.tau * turn / DIRECTIONS
            wanted.append((place, math.cos(angle) * slopes[2 * place] + math.sin(angle) * slopes[2 * place + 1]))
    for place in range(2 * marks, len(slopes)):
        wanted += [(place - marks, slopes[place]), (place - marks, -slopes[place])]
    worst = [math.nan] * (marks + len(slopes) - 2 * marks)
    missed = [0] * len(worst)
    for first in range(0, len(wanted), AT_ONCE):
        some = wanted[first : first + AT_ONCE]
        # slopes that are rounding and no more have no sign worth following
        rows = np.array([np.where(np.abs(slope) > 1e-12, np.sign(slope), 0.0) * half for _, slope in some])
        table = {one.key: rows[:, number] for number, one in enumerate(propagation.inputs)}
        with np.errstate(all="ignore"):
            found = _measured(formula, _Corners(table, len(some)))
        for row, (place, _) in enumerate(some):
            off = _off(found, place, row, marks, propagation.estimates)
            if math.isnan(off):
                missed[place] += 1
            else:
                worst[place] = off if math.isnan(worst[place]) else max(worst[place], off)
    return list(zip(worst, missed, strict=True))


def _off(found: Sequence[Any], place: int, row: int, marks: int, estimates: Array) -> float:
    """Return how far off the corner `row` puts a mark, or a station."""

    def at(number: int) -> float:
        one = found[number]
        return math.nan if one is None else float(np.broadcast_to(one, (row + 1,) if np.ndim(one) == 0 else np.shape(one))[row])

    if place < marks:
        return math.hypot(at(2 * place) - float(estimates[2 * place]), at(2 * place + 1) - float(estimates[2 * place + 1]))
    return abs(at(place + marks))
