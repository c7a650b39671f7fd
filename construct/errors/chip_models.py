"""A carving → the models that the chips' errors need: sides, vertices, and what holds each widest and deepest place.

The widest places come certified from `chips.widest`; how errors move them rests on
their contacts, which are *estimates*.  Nothing decided here says what is true.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction
from typing import Any

import numpy as np

from construct.chips import Carving, ChipEdge
from construct.chips.contacts import Contact
from construct.chips.depth import UPRIGHT
from construct.chips.edge_floats import edge_floats
from construct.chips.land import Land
from construct.chips.survey import ChipSurvey, Survey
from construct.chips.walls import Wall, walls_of
from construct.chips.widest import Widest, widest
from construct.errors.chip_formula import ChipModel, LandModel
from construct.errors.chip_geometry import Base, HeldCircle, Side, Touch, Vertex
from construct.geometry import Circle, Curve, Line, Point, meet, meeting_sides, to_floats
from construct.number_systems import LimitMet, NotANumber
from construct.number_systems._balls import Ball
from construct.number_systems.float import FloatSystem
from construct.phrasebook import say
from construct.replay import Settled

Flat = tuple[float, float]

SQUARE = 1e-5
"""A way counts as square to a wall, and two directions as one, up to this sine."""

SPOT_MM = 1e-5

LOOSE = "hand.loose"


class _Loose(Exception):
    """Nothing that was found holds a circle."""


def make_models(settled: Settled, carving: Carving, exact: Any, survey: Survey) -> tuple[tuple[ChipModel, ...], dict[int, str]]:
    """Return a model for each chip whose errors can be followed, and for the others why not, by number."""
    walls = walls_of(exact, carving.chips)
    models: list[ChipModel] = []
    missing: dict[int, str] = {}
    for one in survey.chips:
        try:
            models.append(_model(settled, exact, one, walls[one.chip.number]))
        except (LimitMet, _Loose) as limit:
            missing[one.chip.number] = str(limit)
    return tuple(models), missing


def _deepest(exact: Any, one: ChipSurvey) -> Widest | None:
    """Return the place where uneven walls are deepest; None where the widest place is the deepest."""
    if one.depth is None or one.depth.walls != "uneven":
        return None
    slopes = [_ball(math.tan(math.tau * turns)) for turns in one.depth.turns]
    return widest(exact, one.chip, slopes=slopes)


def _ball(slope: float) -> Ball:
    return Ball(slope)


# --- one chip -----------------------------------------------------------------------------------


def _model(settled: Settled, exact: Any, one: ChipSurvey, walls: Sequence[Wall]) -> ChipModel:
    chip = one.chip
    wall_of = {id(edge): wall.number for wall in walls for edge in wall.edges}
    edges = [edge for walk in chip.walks for edge in walk]
    sides = tuple(_side(settled, exact, edge, wall_of[id(edge)]) for edge in edges)
    drawn = [_drawn(exact, edge, side) for edge, side in zip(edges, sides, strict=True)]
    vertices: list[Vertex] = []
    walks = []
    starts = []
    for walk in chip.walks:
        first, count = len(vertices), len(walk)
        starts.append(first)
        walks.append(tuple(range(first, first + count)))
        vertices += [_vertex(exact, edges, drawn, first + (place - 1) % count, first + place) for place in range(count)]
    build = _Builder(exact, edges, vertices, starts)
    held = build.circle(one.widest)
    touching = {touch.side for base in held.bases for touch in base.touches} | ({held.own.side} if held.own is not None else set())
    deep = _deepest(exact, one)
    tangents: tuple[float, ...] = ()
    upright = None
    if one.depth is not None:
        # an upright wall has no tangent, and none is asked for
        tangents = tuple(0.0 if turns == UPRIGHT else math.tan(math.tau * turns) for turns in one.depth.turns)
        if one.depth.walls == "upright":
            upright = build.corner(one.depth.turns, one.depth.place)
            tangents = () if upright is None else tangents
    return ChipModel(
        number=chip.number,
        sides=sides,
        vertices=tuple(vertices),
        walks=tuple(walks),
        spans=tuple(_span(exact, edge) for edge in edges),
        widest=held,
        deepest=None if deep is None else build.circle(deep),
        tangents=tangents,
        upright=upright,
        others=build.could_hold(one.widest, touching),
    )


def _side(settled: Settled, exact: Any, edge: ChipEdge, wall: int) -> Side:
    thing = settled.values[edge.thing]
    if edge.circle is not None:
        return Side(edge.thing, edge.sense, wall)
    (ax, ay), (bx, by) = _flat(exact, edge.start), _flat(exact, edge.finish)
    if isinstance(thing, Curve):
        a, b = (_part(exact, thing, spot) for spot in ((ax, ay), (bx, by)))
        return Side(edge.thing, 1, wall, (a, b))
    dx, dy = exact.to_float(thing.dx), exact.to_float(thing.dy)
    return Side(edge.thing, 1 if dx * (bx - ax) + dy * (by - ay) > 0 else -1, wall)


def _part(exact: Any, curve: Curve, spot: Flat) -> Fraction:
    """Return the parameter of the place of a curve nearest to a spot, to 1/4096."""
    marks = np.array([_flat(exact, mark) for mark in curve.controls])
    part = np.linspace(0.0, 1.0, 4097)[:, None]
    along = (1 - part) ** 3 * marks[0] + 3 * (1 - part) ** 2 * part * marks[1] + 3 * (1 - part) * part**2 * marks[2] + part**3 * marks[3]
    return Fraction(int(np.argmin(np.hypot(along[:, 0] - spot[0], along[:, 1] - spot[1]))), 4096)


def _drawn(exact: Any, edge: ChipEdge, side: Side) -> Circle | Line:
    """Return what an edge follows, as floats, running the way that the drawn thing does."""
    if edge.circle is not None:
        circle = to_floats(exact, edge.circle)
        assert isinstance(circle, Circle)
        return circle
    (ax, ay), (bx, by) = _flat(exact, edge.start), _flat(exact, edge.finish)
    if side.sense < 0:
        # which of two meetings is the first one goes by the drawn line's own direction
        (ax, ay), (bx, by) = (bx, by), (ax, ay)
    return Line(ax, ay, bx - ax, by - ay)


def _vertex(exact: Any, edges: Sequence[ChipEdge], drawn: Sequence[Circle | Line], before: int, after: int) -> Vertex:
    """The meeting whose drawn place is the vertex; none where the two go on in one line, touch, or are parts of one thing."""
    x, y = _flat(exact, edges[after].start)
    one, two = drawn[before], drawn[after]
    side = None
    came, goes = _way(drawn[before], edges[before].sense, (x, y)), _way(drawn[after], edges[after].sense, (x, y))
    if before != after and edges[before].thing != edges[after].thing and abs(came[0] * goes[1] - came[1] * goes[0]) > SQUARE:
        floats = FloatSystem()
        for choice in meeting_sides(one, two):
            try:
                point = meet(floats, one, two, choice)
            except NotANumber:
                continue
            if math.dist((point.x, point.y), (x, y)) < SPOT_MM:
                side = choice
    return Vertex(before, after, Fraction(x), Fraction(y), side)


def _way(drawn: Circle | Line, sense: int, at: Flat) -> Flat:
    if isinstance(drawn, Line):
        length = math.hypot(drawn.dx, drawn.dy)
        return drawn.dx / length, drawn.dy / length
    dx, dy = at[0] - drawn.centre.x, at[1] - drawn.centre.y
    length = math.hypot(dx, dy)
    return -dy / length * sense, dx / length * sense


def _span(exact: Any, edge: ChipEdge) -> float:
    if edge.circle is None:
        return 0.0
    if edge.whole:
        return math.tau
    cx, cy = _flat(exact, edge.circle.centre)
    (ax, ay), (bx, by) = _flat(exact, edge.start), _flat(exact, edge.finish)
    return (math.atan2(by - cy, bx - cx) - math.atan2(ay - cy, ax - cx)) * edge.sense % math.tau


def _flat(exact: Any, point: Point) -> Flat:
    return exact.to_float(point.x), exact.to_float(point.y)


# --- what holds a circle ------------------------------------------------------------------------


class _Builder:
    def __init__(self, exact: Any, edges: Sequence[ChipEdge], vertices: Sequence[Vertex], starts: Sequence[int]) -> None:
        self.exact, self.edges, self.vertices, self.starts = exact, edges, vertices, starts

    def circle(self, found: Widest) -> HeldCircle:
        x, y = found.centre
        touches = [self.touch(self.starts[one.walk] + one.edge, one.place, one.inward) for one in found.contacts]
        own = self._own(found.contacts, (float(x), float(y)))
        if own is not None:
            return HeldCircle(x, y, (), own=own)
        bases = []
        for weights in found.bases:
            base = tuple(touch for touch, weight in zip(touches, weights, strict=True) if weight > 1e-9)
            if len(base) in (2, 3):
                bases.append(Base(base, self.beside(base) if len(base) == 2 else None))
        if not bases:
            raise _Loose(say(LOOSE))
        return HeldCircle(x, y, tuple(bases))

    def _own(self, some: Sequence[Contact], centre: Flat) -> Touch | None:
        """Return the touch of a round wall that goes all about the circle: the circle is the wall's own."""
        for one in some:
            place = self.starts[one.walk] + one.edge
            circle = self.edges[place].circle
            if circle is not None and math.dist(_flat(self.exact, circle.centre), centre) < SPOT_MM:
                return Touch(0, place, None)
        return None

    def corner(self, turns: Sequence[Fraction], place: Flat) -> tuple[int, int] | None:
        """Return the side that slopes among upright walls and the vertex at a place; None where there is no such one."""
        sloping = [number for number, one in enumerate(turns) if one != UPRIGHT]
        if len({self.edges[number].thing for number in sloping}) != 1:
            return None
        for number, vertex in enumerate(self.vertices):
            if math.dist((float(vertex.x), float(vertex.y)), place) < SPOT_MM:
                return sloping[0], number
        return None

    def beside(self, base: Sequence[Touch]) -> tuple[float, float] | None:
        """Return the direction along two straight walls side by side; None for any others."""
        ways = []
        for touch in base:
            if touch.side is None or self.edges[touch.side].circle is not None:
                return None
            (ax, ay), (bx, by) = (_flat(self.exact, end) for end in (self.edges[touch.side].start, self.edges[touch.side].finish))
            ways.append(((bx - ax) / math.dist((ax, ay), (bx, by)), (by - ay) / math.dist((ax, ay), (bx, by))))
        return ways[0]

    def touch(self, place: int, at: Flat, way: Flat, chip: int = 0, outside: bool = False) -> Touch:
        """Return what touches: the side where the way is square to it, else the vertex there."""
        edge = self.edges[place]
        drawn: Circle | Line
        if edge.circle is not None:
            drawn = to_floats(self.exact, edge.circle)
        else:
            (ax, ay), (bx, by) = _flat(self.exact, edge.start), _flat(self.exact, edge.finish)
            drawn = Line(ax, ay, bx - ax, by - ay)
        along = _way(drawn, edge.sense, at)
        if abs(along[0] * way[0] + along[1] * way[1]) < 1e-4:
            return Touch(chip, place, None, outside)
        for number, vertex in enumerate(self.vertices):
            if math.dist((float(vertex.x), float(vertex.y)), at) < SPOT_MM and place in (vertex.before, vertex.after):
                return Touch(chip, None, number, outside)
        raise _Loose(say(LOOSE))

    def could_hold(self, found: Widest, touching: set[int | None]) -> tuple[int, ...]:
        """Return the sides that do not hold the widest circle but whose whole line or circle leaves it room now."""
        x, y = (float(part) for part in found.centre)
        some = []
        for place, edge in enumerate(self.edges):
            if place in touching or edge.curved:
                continue
            if edge.circle is not None:
                circle = to_floats(self.exact, edge.circle)
                inside = (circle.radius - math.dist((circle.centre.x, circle.centre.y), (x, y))) * edge.sense
            else:
                (ax, ay), (bx, by) = _flat(self.exact, edge.start), _flat(self.exact, edge.finish)
                inside = ((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / math.dist((ax, ay), (bx, by))
            if inside > found.middle + SPOT_MM:
                some.append(place)
        return tuple(some)


# --- lands --------------------------------------------------------------------------------------


def make_lands(carving: Carving, exact: Any, models: Sequence[ChipModel], lands: Sequence[Land]) -> tuple[LandModel, ...]:
    """Return a model of each land (no ridge and no point) whose two chips are followed."""
    places = {model.number: place for place, model in enumerate(models)}
    chips = {chip.number: chip for chip in carving.chips}
    found = []
    for land in lands:
        if land.kind != "land" or land.start is None or land.finish is None or not {land.first, land.second} <= places.keys():
            continue
        start, finish = land.start, land.finish
        length = math.dist(start, finish)
        way = (finish[0] - start[0]) / length, (finish[1] - start[1]) / length
        touches, straight = [], True
        try:
            for number, at in ((land.first, start), (land.second, finish)):
                edges = [edge for walk in chips[number].walks for edge in walk]
                build = _Builder(exact, edges, models[places[number]].vertices, [])
                nearest = min(range(len(edges)), key=[_off(exact, edge, at) for edge in edges].__getitem__)
                touch = build.touch(nearest, at, way, places[number], outside=True)
                straight = straight and touch.side is not None and edges[touch.side].circle is None
                touches.append(touch)
        except _Loose:
            continue
        x, y = (Fraction((a + b) / 2) for a, b in zip(start, finish, strict=True))
        base = Base(tuple(touches), (-way[1], way[0]) if straight else None)
        found.append(LandModel((places[land.first], places[land.second]), HeldCircle(x, y, (base,))))
    return tuple(found)


def _off(exact: Any, edge: ChipEdge, at: Flat) -> float:
    """Return how far a place lies off an edge, in mm."""
    one = edge_floats(exact, ((edge,),), [1.0])[0]
    return math.dist(one.nearest(*at), at)
