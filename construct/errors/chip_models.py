"""A carving → the models that the chips' errors need: sides, vertices, and what holds each widest and deepest place.

The widest places come certified from `chips.widest`; how errors move them rests on
their contacts, which are *estimates*.  Nothing decided here says what is true.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import numpy as np

from construct.chips import Carving, Chip, ChipEdge
from construct.chips.contacts import Contact, contacts
from construct.chips.edge_floats import edge_floats
from construct.chips.isometry import alike
from construct.chips.walls import walls_of
from construct.chips.widest import CLOSE, Widest, widest
from construct.errors.chip_formula import ChipModel, LandModel
from construct.errors.chip_geometry import Base, HeldCircle, Side, Touch, Vertex
from construct.geometry import Circle, Curve, Line, Point, meet, meeting_sides, to_floats
from construct.number_systems import LimitMet, NotANumber
from construct.number_systems._balls import Ball
from construct.number_systems.float import FloatSystem
from construct.replay import Settled

Flat = tuple[float, float]

SQUARE = 1e-5
"""A way counts as square to a wall, and two directions as one, up to this sine."""

SPOT_MM = 1e-5

LOOSE = "what holds its widest place could not be followed"


@dataclass(frozen=True, slots=True)
class Gap:
    """A land between two chips, by their positions in the carving, and the two nearest places (*estimates*, mm)."""

    chips: tuple[int, int]
    start: Flat
    finish: Flat


def make_models(
    settled: Settled, carving: Carving, exact: Any, groups: Sequence[Sequence[int]], found: dict[int, Widest] | None = None
) -> tuple[tuple[ChipModel, ...], dict[int, str]]:
    """Return a model for each chip whose errors can be followed, and for the others why not, by number.

    groups: positions of chips that are alike.  found: widest places that are known already, by the chip's position.
    """
    walls = walls_of(exact, carving.chips)
    models: dict[int, ChipModel] = {}
    missing: dict[int, str] = {}
    for group in groups:
        known: list[tuple[Chip, Widest, Widest | None]] = []
        for position in group:
            chip = carving.chips[position]
            angles = _angles(carving, chip)
            try:
                wide = (found or {}).get(position) or _like(exact, chip, known, 0)
                even = len({turns for turns in angles if turns is not None}) <= 1
                deep = None if even or None in angles else _like(exact, chip, known, 1, angles)
                known.append((chip, wide, deep))
                models[position] = _model(settled, exact, chip, walls[chip.number], wide, deep, angles)
            except (LimitMet, _Loose) as limit:
                missing[chip.number] = str(limit)
    return tuple(models[position] for position in sorted(models)), missing


class _Loose(Exception):
    """Nothing that was found holds a circle."""


def _angles(carving: Carving, chip: Chip) -> list[Fraction | None]:
    """Return the knife's angle at each edge in turns; None where the recipe says none, or where other walls stand upright."""
    if any(getattr(one, "others_upright", False) for one in carving.knife):
        return [None for walk in chip.walks for _ in walk]
    special = {one.thing: one.turns for one in carving.knife if one.thing is not None}
    usual = next((one.turns for one in carving.knife if one.thing is None), None)
    return [special.get(edge.thing, usual) for walk in chip.walks for edge in walk]


def _like(
    exact: Any, chip: Chip, known: Sequence[tuple[Chip, Widest, Widest | None]], which: int, angles: Sequence[Fraction | None] = ()
) -> Widest:
    """Return a chip's widest (0) or deepest (1) place: found anew, or carried over from a chip that is alike."""
    slopes = [math.tan(math.tau * turns) for turns in angles if turns is not None] or [1.0 for walk in chip.walks for _ in walk]
    for other, *places in known:
        place = places[which]
        motion = alike(exact, other, chip) if place is not None else None
        if motion is not None and place is not None:
            x, y = (float(part) for part in place.centre)
            x = -x if motion.mirror else x
            c, s, dx, dy = (exact.to_float(part) for part in (motion.cosine, motion.sine, motion.shift_x, motion.shift_y))
            centre = c * x - s * y + dx, s * x + c * y + dy
            touched, bases = contacts(edge_floats(exact, chip.walks, slopes), chip.walks, centre, CLOSE)
            return Widest(place.lower, place.upper, (Fraction(centre[0]), Fraction(centre[1])), touched, bases)
    return widest(exact, chip, slopes=None if not angles else [_ball(slope) for slope in slopes])


def _ball(slope: float) -> Ball:
    return Ball(slope)


# --- one chip -----------------------------------------------------------------------------------


def _model(
    settled: Settled, exact: Any, chip: Chip, walls: Sequence[Any], wide: Widest, deep: Widest | None, angles: Sequence[Fraction | None]
) -> ChipModel:
    wall_of = {id(edge): wall.number for wall in walls for edge in wall.edges}
    edges = [edge for walk in chip.walks for edge in walk]
    sides = tuple(_side(settled, exact, edge, wall_of[id(edge)]) for edge in edges)
    drawn = [_drawn(exact, edge, side) for edge, side in zip(edges, sides, strict=True)]
    vertices: list[Vertex] = []
    walks = []
    first = 0
    for walk in chip.walks:
        count = len(walk)
        walks.append(tuple(range(first, first + count)))
        for place in range(count):
            before, after = first + (place - 1) % count, first + place
            vertices.append(_vertex(exact, edges, drawn, before, after))
        first += count
    starts = [0, *np.cumsum([len(walk) for walk in chip.walks])[:-1].tolist()]
    build = _Builder(exact, edges, vertices, starts)
    held = build.circle(wide)
    touching = {touch.side for base in held.bases for touch in base.touches} | ({held.own.side} if held.own is not None else set())
    others = build.could_hold(wide, touching)
    tangents = () if None in angles else tuple(math.tan(math.tau * turns) for turns in angles if turns is not None)
    return ChipModel(
        number=chip.number,
        sides=sides,
        vertices=tuple(vertices),
        walks=tuple(walks),
        spans=tuple(_span(exact, edge) for edge in edges),
        widest=held,
        deepest=None if deep is None else build.circle(deep),
        tangents=tangents,
        others=others,
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
            raise _Loose(LOOSE)
        return HeldCircle(x, y, tuple(bases))

    def _own(self, some: Sequence[Contact], centre: Flat) -> Touch | None:
        """Return the touch of a round wall that goes all about the circle: the circle is the wall's own."""
        for one in some:
            place = self.starts[one.walk] + one.edge
            circle = self.edges[place].circle
            if circle is not None and math.dist(_flat(self.exact, circle.centre), centre) < SPOT_MM:
                return Touch(0, place, None)
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
        raise _Loose(LOOSE)

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


def make_lands(carving: Carving, exact: Any, models: Sequence[ChipModel], gaps: Sequence[Gap]) -> tuple[LandModel, ...]:
    """Return a model of each land whose two chips are followed."""
    places = {model.number: place for place, model in enumerate(models)}
    found = []
    for gap in gaps:
        chips = [carving.chips[position] for position in gap.chips]
        if not all(chip.number in places for chip in chips):
            continue
        way = gap.finish[0] - gap.start[0], gap.finish[1] - gap.start[1]
        length = math.hypot(*way)
        if length < SPOT_MM:
            continue
        unit = way[0] / length, way[1] / length
        touches = []
        builders = []
        for chip, at in zip(chips, (gap.start, gap.finish), strict=True):
            place = places[chip.number]
            edges = [edge for walk in chip.walks for edge in walk]
            builder = _Builder(exact, edges, models[place].vertices, [])
            edge = min(range(len(edges)), key=lambda one, edges=edges, at=at: _off(exact, edges[one], at))
            touches.append(builder.touch(edge, at, unit, place, outside=True))
            builders.append(builder)
        base = tuple(touches)
        x, y = (Fraction((a + b) / 2) for a, b in zip(gap.start, gap.finish, strict=True))
        straight = all(
            touch.side is not None and builder.edges[touch.side].circle is None for touch, builder in zip(base, builders, strict=True)
        )
        found.append(LandModel((base[0].chip, base[1].chip), HeldCircle(x, y, (Base(base, (-unit[1], unit[0]) if straight else None),))))
    return tuple(found)


def _off(exact: Any, edge: ChipEdge, at: Flat) -> float:
    """Return how far a place lies off an edge, in mm."""
    one = edge_floats(exact, ((edge,),), [1.0])[0]
    return math.dist(one.nearest(*at), at)
