"""The measurement model of the chips: width, depth and area of each, and the lands, as one formula over any numbers.

The layout's errors come in through the drawn things, as everywhere.  Two
sources are the knife's own: its entry, anew for each cut (each wall of each
chip), and its angle, anew for each chip and the same for all its walls.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

import numpy as np

from construct.errors.chip_geometry import (
    Carrier,
    Held,
    HeldCircle,
    Side,
    Touch,
    Vertex,
    carrier,
    circle_between,
    foot_of,
    inwards,
    swept,
    tangent_of,
    vertex_point,
)
from construct.errors.measurands import judge
from construct.geometry import Circle, Point, cross, radius
from construct.number_systems import NotANumber, Number, NumberSystem, Source
from construct.number_systems.float import FloatSystem
from construct.number_systems.samples import SampleSystem
from construct.phrasebook import say
from construct.plan import Plan
from construct.replay import replay_around

ENTRY = "knife entry against the line"
ANGLE = "knife angle"
KNIFE = "the knife"
"""The step that both are of."""

SURE = 1e-9


@dataclass(frozen=True, slots=True)
class ChipModel:
    """One chip.

    number: the chip's.  sides: its edges, walk by walk.  walks: positions of each walk's vertices, in order; the side
        behind vertex i is `vertices[i].after`.
    spans: for each round side the drawn angle it sweeps, in rad; 0 for a straight one.
    widest: the largest circle in it.  deepest: the place where its walls, each at its own angle, are deepest; None
        where all fall alike, and the widest place is the deepest.
    tangents: of the knife's angle at each side; empty where the recipe says no angle.
    upright: where the other walls stand upright, the side that slopes and the vertex that lies farthest from it; else None.
    others: sides that do not hold the widest circle, and could come to.
    """

    number: int
    sides: tuple[Side, ...]
    vertices: tuple[Vertex, ...]
    walks: tuple[tuple[int, ...], ...]
    spans: tuple[float, ...]
    widest: HeldCircle
    deepest: HeldCircle | None
    tangents: tuple[float, ...]
    upright: tuple[int, int] | None
    others: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class LandModel:
    """The land between two chips, by their positions among the models; `between`: the circle that just fits across it."""

    chips: tuple[int, int]
    between: HeldCircle


PER_CHIP = 3
"""Measurands of a chip: width, depth, area."""


@dataclass(frozen=True, slots=True)
class ChipFormula:
    """The formula of all chips: width, depth, area of each, then each land, then what only trials can tell.

    plan: settled.  chips, lands: the models.  alike: positions of chips that are alike, by group.
    entry, angle: the knife's errors.  shift_mm: how far out of the chip each edge is cut beside its drawn line.
    land_mm: the least land wanted.  deepest_mm: how deep a chip may go; thickness_mm: of the wood.  None where not known.
    without: steps that have no value in the system at hand.
    """

    plan: Plan
    chips: tuple[ChipModel, ...]
    lands: tuple[LandModel, ...]
    alike: tuple[tuple[int, ...], ...]
    entry: Source
    angle: Source
    shift_mm: Fraction = Fraction(0)
    land_mm: float | None = None
    deepest_mm: float | None = None
    thickness_mm: float | None = None
    without: frozenset[int] = frozenset()

    def __call__(self, numbers: NumberSystem) -> Sequence[Number | None]:
        values, _ = replay_around(self.plan, numbers, without=self.without)
        shapes = [_Shape(numbers, self, model, values) for model in self.chips]
        results = [one for shape in shapes for one in (shape.width(), shape.depth(), shape.area())]
        lands = [_land(numbers, shapes, model) for model in self.lands]
        results += lands
        if not isinstance(numbers, SampleSystem):
            return results + [None] * (self.size - len(results))
        results += [None if land is None or self.land_mm is None else _share(land < self.land_mm) for land in lands]
        results += [None if land is None else _share(land <= 0) for land in lands]
        results += [None if one is None else _share(one <= 0) for one in results[0 : PER_CHIP * len(shapes) : PER_CHIP]]
        results += [shape.another_wall() for shape in shapes]
        depths = results[1 : PER_CHIP * len(shapes) : PER_CHIP]
        for limit in (self.deepest_mm, self.thickness_mm):
            results += [None if one is None or limit is None else _share(one > limit) for one in depths]
        for group in self.alike:
            for what in range(PER_CHIP):
                some = [results[PER_CHIP * place + what] for place in group]
                results += (None, None) if any(one is None for one in some) else _unequal(some)
        judge(self.plan, numbers, values)
        numbers.lost += [loss for shape in shapes for loss in shape.losses()]
        return results

    @property
    def size(self) -> int:
        """How many measurands there are."""
        return self.spreads + 2 * PER_CHIP * len(self.alike)

    def of_chip(self, place: int) -> slice:
        """Return where a chip's width, depth and area stand."""
        return slice(PER_CHIP * place, PER_CHIP * (place + 1))

    def can_follow(self, values: Sequence[Any], model: ChipModel) -> bool:
        """Tell whether the drawing, as floats, gives a chip's figures: a few shapes are held so loosely that it does not."""
        shape = _Shape(FloatSystem(errors={}), self, model, values)
        try:
            figures = shape.width(), shape.depth(), shape.area()
        except (ArithmeticError, NotANumber):
            return False
        return all(one is None or math.isfinite(one) for one in figures)

    @property
    def first_land(self) -> int:
        """Where the lands begin; behind them come the chances that each is under its limit, and that it is gone."""
        return PER_CHIP * len(self.chips)

    @property
    def first_closing(self) -> int:
        """Where the chances begin that a chip closes.

        Behind them those that another wall comes to hold its widest circle, that it is deeper than allowed, that it goes through.
        """
        return self.first_land + 3 * len(self.lands)

    @property
    def spreads(self) -> int:
        """Where the spreads begin: for each group, of width, depth and area, standard deviation and range within a trial."""
        return self.first_closing + 4 * len(self.chips)


def _share(mask: Any) -> Any:
    return np.asarray(mask, dtype=np.float64)


def _unequal(some: Sequence[Any]) -> tuple[Any, Any]:
    """Return standard deviation (n − 1) and range over alike chips, in each trial."""
    rows = np.stack(np.broadcast_arrays(*some))
    return rows.std(axis=0, ddof=1), rows.max(axis=0) - rows.min(axis=0)


class _Shape:
    """A chip over some numbers."""

    def __init__(self, numbers: NumberSystem, formula: ChipFormula, model: ChipModel, values: Sequence[Any]) -> None:
        self.numbers, self.model = numbers, model
        walls = sorted({side.wall for side in model.sides})
        beside = numbers.rational(formula.shift_mm)
        entries = {wall: numbers.error((KNIFE, ENTRY, (model.number, wall)), formula.entry) + beside for wall in walls}
        self.angle = numbers.error((KNIFE, ANGLE, model.number), formula.angle)
        self.known = all(values[side.thing] is not None for side in model.sides)
        self.carriers: list[Carrier] = []
        self.vertices: dict[int, Point | None] = {}
        self.missed: list[tuple[str, Any]] = []
        if self.known:
            self.carriers = [carrier(numbers, values[side.thing], side, entries[side.wall]) for side in model.sides]

    def width(self) -> Number | None:
        """Return the widest circle's diameter."""
        value = self._held(self.model.widest, None)[0]
        return None if value is None else value * 2

    def depth(self) -> Number | None:
        """Return how deep the walls meet.  Where all fall alike, that is half the width times the tangent."""
        if not self.model.tangents or not self.known:
            return None
        slopes: dict[float, Number] = {}
        for steep in self.model.tangents:
            if steep not in slopes:
                slopes[steep] = tangent_of(self.numbers, steep, self.angle)
        if isinstance(self.numbers, SampleSystem):
            upright = np.any([np.asarray(one) <= 0 for one in slopes.values()], axis=0)
            if np.any(upright):
                self.missed.append((say("hand.lost.upright", chip=self.model.number), upright))
        if self.model.upright is not None:
            side, vertex = self.model.upright
            point = self._ends(vertex)[0]
            far = inwards(self.numbers, self.carriers[side], self.model.sides[side].sense, point)[0]
            return far * slopes[self.model.tangents[side]]
        if self.model.deepest is None:
            value = self._held(self.model.widest, None)[0]
            return None if value is None else value * slopes[self.model.tangents[0]]
        return self._held(self.model.deepest, [slopes[steep] for steep in self.model.tangents])[0]

    def area(self) -> Number | None:
        """Return the area by Green's theorem, over the places where neighbouring walls really meet."""
        if not self.known:
            return None
        numbers, model = self.numbers, self.model
        twice = numbers.rational(0)
        try:
            for walk in model.walks:
                twice = twice + self._twice_round(walk)
        except NotANumber:
            return None
        return twice / 2

    def _twice_round(self, walk: Sequence[int]) -> Number:
        numbers, model = self.numbers, self.model
        twice = numbers.rational(0)
        joints = [self._ends(number) for number in walk]
        for (came, goes), (arrives, _), number in zip(joints, (*joints[1:], joints[0]), walk, strict=True):
            vertex = model.vertices[number]
            side, what = model.sides[vertex.after], self.carriers[vertex.after]
            # where two walls miss each other by a shade, a straight way joins them
            twice = twice + cross((came.x, came.y), (goes.x, goes.y))
            twice = twice + cross((goes.x, goes.y), (arrives.x, arrives.y))
            if isinstance(what, Circle):
                twice = twice + self._cap(what, side.sense, model.spans[vertex.after], goes, arrives)
        return twice

    def _cap(self, circle: Circle, sense: int, span: float, start: Point, finish: Point) -> Number:
        """Return twice the area between an arc and its chord, minus where it is hollow: r²(φ − sin φ)."""
        numbers = self.numbers
        if span > math.tau - SURE:
            return circle.square * numbers.rational(Fraction(math.tau)) * sense
        angle = swept(numbers, circle, start, finish, sense, span)
        a = start.x - circle.centre.x, start.y - circle.centre.y
        b = finish.x - circle.centre.x, finish.y - circle.centre.y
        return (circle.square * angle - cross(a, b) * sense) * sense

    def _ends(self, number: int) -> tuple[Point, Point]:
        """Return where the side before a vertex ends and the one after it begins."""
        vertex = self.model.vertices[number]
        point = self._vertex(number)
        if point is not None:
            return point, point
        place = Point(self.numbers.rational(vertex.x), self.numbers.rational(vertex.y))
        first, last = (
            foot_of(self.numbers, self.carriers[side], self.model.sides[side].sense, place) for side in (vertex.before, vertex.after)
        )
        return first, last

    def _vertex(self, number: int) -> Point | None:
        if number not in self.vertices:
            vertex = self.model.vertices[number]
            point = vertex_point(self.numbers, vertex, self.carriers[vertex.before], self.carriers[vertex.after])
            self.vertices[number] = point
            if point is not None and isinstance(self.numbers, SampleSystem):
                gone = ~np.isfinite(point.x + point.y)
                if np.any(gone):
                    self.missed.append((say("hand.lost.open", chip=self.model.number), gone))
        return self.vertices[number]

    def losses(self) -> Iterable[tuple[str, Any]]:
        """Return what happened in trials that this chip loses."""
        trials = getattr(self.numbers, "trials", 1)
        return [(label, np.broadcast_to(mask, (trials,))) for label, mask in self.missed]

    # --- circles -------------------------------------------------------------------------------

    def touched(self, touch: Touch, slope: Number) -> Held:
        """Return what holds a circle, over these numbers."""
        if touch.side is not None:
            return Held(self.carriers[touch.side], self.model.sides[touch.side].sense, slope, -1 if touch.outside else 1)
        assert touch.vertex is not None
        point = self._vertex(touch.vertex)
        # away from a vertex a distance grows, whichever side the circle is on
        return Held(self._ends(touch.vertex)[0] if point is None else point, 1, slope, 1)

    def _slope(self, touch: Touch, slopes: Sequence[Number] | None) -> Number:
        if slopes is None:
            return self.numbers.rational(1)
        if touch.side is not None:
            return slopes[touch.side]
        assert touch.vertex is not None
        return slopes[self.model.vertices[touch.vertex].after]

    def _held(self, held: HeldCircle, slopes: Sequence[Number] | None) -> tuple[Number | None, Point | None]:
        """Return slope × radius of a circle that walls hold, and its centre where one set of walls holds it."""
        if not self.known:
            return None, None
        if held.own is not None:
            assert held.own.side is not None
            circle = self.carriers[held.own.side]
            assert isinstance(circle, Circle)
            return radius(self.numbers, circle) * self._slope(held.own, slopes), circle.centre
        found = []
        for base in held.bases:
            parts = [self.touched(touch, self._slope(touch, slopes)) for touch in base.touches]
            found.append(circle_between(self.numbers, parts, (held.x, held.y), base.along))
        return least(self.numbers, [value for value, _ in found]), found[0][1] if len(found) == 1 else None

    def another_wall(self) -> Any:
        """Return 1 in each trial in which a wall that does not hold the widest circle would cut into it, else 0."""
        if not self.model.others:
            return None
        value, centre = self._held(self.model.widest, None)
        if value is None or centre is None:
            return None
        nearest = [inwards(self.numbers, self.carriers[one], self.model.sides[one].sense, centre)[0] for one in self.model.others]
        return _share(np.any([np.asarray(one < value) for one in nearest], axis=0))


def least(numbers: NumberSystem, found: Sequence[Number]) -> Number | None:
    """Return the smallest of some numbers in each trial; for several over other systems None: which is the least decides the slope."""
    if len(found) == 1:
        return found[0]
    if isinstance(numbers, SampleSystem):
        return np.minimum.reduce([np.asarray(one) for one in found])
    return None


def _land(numbers: NumberSystem, shapes: Sequence[_Shape], model: LandModel) -> Number | None:
    if not all(shapes[place].known for place in model.chips):
        return None
    one = numbers.rational(1)
    found = []
    for base in model.between.bases:
        parts = [shapes[touch.chip].touched(replace(touch, outside=True), one) for touch in base.touches]
        found.append(circle_between(numbers, parts, (model.between.x, model.between.y), base.along)[0] * 2)
    return least(numbers, found)
