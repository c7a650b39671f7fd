"""What is left standing between chips: land, ridges, points of wood, and the margin to the plate's edge.

Whether two chips share an edge or a mark is decided exactly, by the vertices of
the subdivision; how wide the land is between others is an *enclosure*.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from construct.chips import Carving, Chip, ChipEdge, Groove
from construct.chips.arrangement import strands
from construct.chips.depth import wall_turns
from construct.chips.edge_balls import EdgeBalls, edge_balls
from construct.chips.meetings import Overlap, Strand, meetings
from construct.chips.predicates import apart, box_round, counterclockwise, in_walks, is_smooth, on_edge, on_walks, same, tangent
from construct.chips.spans import boxes_apart, shortest
from construct.geometry import Circle, Point, cross, dot, middle, radius, towards
from construct.number_systems import Number
from construct.number_systems._balls import Ball, narrowed, pi, turned, working_at

Key = tuple[object, ...]


@dataclass(frozen=True, slots=True)
class Land:
    """What stands between two chips.

    first, second: the chips' numbers, the smaller first.
    kind: "ridge" where they share an edge, "point" where they share a mark and no edge, else "land" (*exact*).
    lower, upper: its width in mm where it is least, with where the knife stands counted (*enclosure*); 0 at ridges and points.
    start, finish: where it is least, on the first chip and on the second (*estimates*); None for a ridge.
    ridge_turns: the angle of the ridge as a part of a full turn, where both walls' angles are said; else None.
    """

    first: int
    second: int
    kind: str
    lower: Fraction
    upper: Fraction
    start: tuple[float, float] | None
    finish: tuple[float, float] | None
    ridge_turns: Fraction | None = None

    @property
    def middle(self) -> float:
        """The middle of the enclosure, for printing."""
        return float((self.lower + self.upper) / 2)


@dataclass(frozen=True, slots=True)
class GrooveLand:
    """What stands between a chip and a groove.

    chip: its number.  thing: the drawn thing that the groove follows.
    kind: "meets" where the groove's line runs into the chip or along its edge, "ends" where it only ends there, else "land" (*exact*).
    lower, upper: the land in mm, the groove's width counted where it is said (*enclosure*); both 0 where they touch.
    """

    chip: int
    thing: int
    kind: str
    lower: Fraction
    upper: Fraction

    @property
    def middle(self) -> float:
        """The middle of the enclosure, for printing."""
        return float((self.lower + self.upper) / 2)


@dataclass(frozen=True, slots=True)
class WoodPoint:
    """A point of wood left standing where chips meet at a mark, or where one chip folds round it.

    place: where (*estimate*).  chips: numbers of the chips on its two sides.
    angle_deg: (lower, upper) of its angle in degrees (*enclosure*); both 0 where its sides touch.
    """

    mark: Point
    place: tuple[float, float]
    chips: tuple[int, int]
    angle_deg: tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True)
class Bounded:
    """A chip with its edges as balls and a box round it."""

    chip: Chip
    edges: tuple[EdgeBalls, ...]
    box: tuple[float, float, float, float]


def bounded(exact: Any, chip: Chip) -> Bounded:
    """Return a chip made ready for measuring."""
    edges = tuple(edge_balls(exact, edge) for walk in chip.walks for edge in walk)
    return Bounded(chip, edges, box_round(edge.box for edge in edges))


# --- between chips ------------------------------------------------------------------------------


def lands(carving: Carving, chips: Sequence[Bounded], *, within_mm: float, widened_mm: Fraction) -> tuple[Land, ...]:
    """Return what stands between all chips that touch or whose land is no wider than `within_mm`.

    widened_mm: how much wider a land is cut than it is drawn (negative: narrower), by where the knife stands.
    """
    found = []
    keys = [{_key(edge.edge): n for n, edge in enumerate(one.edges)} for one in chips]
    marks = [{id(edge.edge.start) for edge in one.edges} for one in chips]
    turns = [wall_turns(carving, one.chip.walks) for one in chips]
    for second, other in enumerate(chips):
        for first, one in enumerate(chips[:second]):
            numbers = one.chip.number, other.chip.number
            nothing = Fraction(0), Fraction(0)
            if boxes_apart(one.box, other.box) > within_mm:
                continue
            shared = keys[first].keys() & keys[second].keys()
            if shared:
                angle = _ridge(turns[first], turns[second], keys[first], keys[second], shared)
                found.append(Land(*numbers, "ridge", *nothing, None, None, angle))
            elif marks[first] & marks[second]:
                mark = next(edge for edge in one.edges if id(edge.edge.start) in marks[second])
                place = float(mark.start[0].mid()), float(mark.start[1].mid())
                found.append(Land(*numbers, "point", *nothing, place, place))
            else:
                span = shortest(one.edges, other.edges)
                if span.lower <= within_mm:
                    found.append(Land(*numbers, "land", span.lower + widened_mm, span.upper + widened_mm, span.start, span.finish))
    return tuple(found)


def _key(edge: ChipEdge) -> Key:
    """Return what an edge is whichever chip it is looked at from."""
    ends = (id(edge.start), id(edge.finish))
    if edge.circle is None:
        return (edge.piece, *sorted(ends))
    return (edge.piece, *(ends if edge.sense > 0 else ends[::-1]))


def _ridge(
    one: tuple[Fraction, ...] | None, two: tuple[Fraction, ...] | None, first: dict[Key, int], second: dict[Key, int], shared: set[Key]
) -> Fraction | None:
    """Return the sharpest ridge's angle: half a turn less both walls' angles."""
    if one is None or two is None:
        return None
    return min(Fraction(1, 2) - one[first[key]] - two[second[key]] for key in shared)


# --- to grooves ---------------------------------------------------------------------------------


def groove_lands(
    exact: Any, grooves: Sequence[Groove], chips: Sequence[Bounded], *, within_mm: float, widened_mm: Fraction
) -> tuple[GrooveLand, ...]:
    """Return what stands between chips and grooves no farther apart than `within_mm`.

    widened_mm: how much wider the land is cut than it is drawn, on the chip's side.
    """
    found = []
    for groove in grooves:
        wider = widened_mm - (groove.width_mm or Fraction(0)) / 2
        parts = strands(exact, groove.piece.line, groove.piece)
        edges = [edge_balls(exact, _edge(exact, part)) for part in parts]
        box = box_round(edge.box for edge in edges)
        for one in chips:
            if boxes_apart(one.box, box) > within_mm:
                continue
            touching = {_touches(exact, one.chip, part) for part in parts} - {""}
            if touching:
                kind = "meets" if "meets" in touching else "ends"
                found.append(GrooveLand(one.chip.number, groove.piece.thing, kind, Fraction(0), Fraction(0)))
                continue
            span = shortest(one.edges, edges)
            if span.lower <= within_mm:
                found.append(GrooveLand(one.chip.number, groove.piece.thing, "land", span.lower + wider, span.upper + wider))
    return tuple(found)


def _edge(exact: Any, strand: Strand) -> ChipEdge:
    if strand.circle is None:
        assert strand.start is not None and strand.finish is not None
        return ChipEdge(strand.start, strand.finish, None, 0, strand.piece, strand.thing, strand.curved)
    if strand.start is None or strand.finish is None:
        start = _rightmost(exact, strand.circle)
        return ChipEdge(start, start, strand.circle, 1, strand.piece, strand.thing)
    return ChipEdge(strand.start, strand.finish, strand.circle, 1, strand.piece, strand.thing)


def _rightmost(exact: Any, circle: Circle) -> Point:
    """Return some mark of a whole circle to begin at."""
    return Point(circle.centre.x + radius(exact, circle), circle.centre.y)


def _touches(exact: Any, chip: Chip, strand: Strand) -> str:
    """Return "meets" where a strand runs into a chip or along its edge, "ends" where it only ends there, else "".

    A strand that meets no edge but in its ends lies wholly inside or wholly outside: one mark of it tells.
    """
    ends = [end for end in (strand.start, strand.finish) if end is not None]
    ended = False
    for walk in chip.walks:
        for edge in walk:
            other = _strand(exact, edge)
            if apart(other.box, strand.box):
                continue
            try:
                marks = meetings(exact, other, strand, ())
            except Overlap:
                return "meets"
            # two straight strands in one line that touch end to end have no meeting of their own
            ended = ended or any(on_edge(exact, edge, end) for end in ends)
            if any(not any(same(exact, mark, end) for end in ends) for mark in marks):
                return "meets"
    if _is_inside(exact, chip, _midway(exact, strand) if ended else ends[0] if ends else _rightmost(exact, _circle_of(strand))):
        return "meets"
    return "ends" if ended else ""


def _is_inside(exact: Any, chip: Chip, mark: Point) -> bool:
    return not on_walks(exact, chip.walks, mark) and in_walks(exact, chip.walks, mark)


def _circle_of(strand: Strand) -> Circle:
    assert strand.circle is not None
    return strand.circle


def _midway(exact: Any, strand: Strand) -> Point:
    """Return a mark of a strand between its ends; of an arc the middle, which may take a root."""
    assert strand.start is not None and strand.finish is not None
    half = middle(strand.start, strand.finish)
    if strand.circle is None:
        return half
    centre = strand.circle.centre
    dx, dy = towards(strand.start, strand.finish)
    out = exact.sqrt(strand.circle.square / dot((dx, dy), (dx, dy)))
    # arcs run counterclockwise: the middle lies square to the chord, on its right
    return Point(centre.x + dy * out, centre.y - dx * out)


def _strand(exact: Any, edge: ChipEdge) -> Strand:
    start, finish = (None, None) if edge.whole else counterclockwise(edge)
    return Strand(edge.piece, edge.thing, edge.circle, start, finish, edge.curved, edge_balls(exact, edge).box)


# --- points of wood -----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Sector:
    """The part of a mark's surroundings that a chip takes: counterclockwise from `after` to `before`."""

    chip: int
    before: ChipEdge
    after: ChipEdge
    first: float


def wood_points(exact: Any, chips: Sequence[Chip], *, under_deg: Fraction) -> tuple[WoodPoint, ...]:
    """Return the points of wood sharper than an angle, where chips leave them at a mark."""
    meeting: dict[int, list[_Sector]] = defaultdict(list)
    for chip in chips:
        for walk in chip.walks:
            for before, after in zip((walk[-1], *walk[:-1]), walk, strict=True):
                if not before.whole:
                    dx, dy = (exact.to_float(one) for one in tangent(after, after.start))
                    meeting[id(after.start)].append(_Sector(chip.number, before, after, math.atan2(dy, dx)))
    found = []
    for sectors in meeting.values():
        if len(sectors) == 1 and is_smooth(exact, sectors[0].before, sectors[0].after):
            continue
        sectors.sort(key=lambda one: one.first)
        for one, other in _gaps(sectors):
            angle = _opening(exact, one, other)
            if angle is not None and angle[0] < under_deg:
                mark = other.after.start
                place = exact.to_float(mark.x), exact.to_float(mark.y)
                found.append(WoodPoint(mark, place, (one.chip, other.chip), angle))
    return tuple(found)


def _gaps(sectors: Sequence[_Sector]) -> Iterator[tuple[_Sector, _Sector]]:
    """Yield the sectors on both sides of each gap that is wood; chips that share an edge leave none."""
    for one, other in zip(sectors, (*sectors[1:], sectors[0]), strict=True):
        if _key(one.before) != _key(other.after):
            yield one, other


def _opening(exact: Any, one: _Sector, other: _Sector) -> tuple[Fraction, Fraction] | None:
    """Return the angle in degrees from where one sector ends to where the next begins; None for all round."""
    came = tangent(one.before, one.before.finish)
    back = -came[0], -came[1]
    goes = tangent(other.after, other.after.start)
    cosine, sine = dot(back, goes), cross(back, goes)
    if exact.sign(sine) == 0 and exact.sign(cosine) > 0:
        return None if one is other else (Fraction(0), Fraction(0))
    return _degrees(exact, cosine, sine)


def _degrees(exact: Any, cosine: Number, sine: Number) -> tuple[Fraction, Fraction]:
    def degrees(bits: int) -> Ball:
        angle = turned(exact, cosine, sine, bits)
        with working_at(bits):
            return angle * 180 / pi(bits)

    return narrowed(exact, degrees, 6)
