"""The planar subdivision that cut pieces make: vertices, edges, faces, with exact decisions.

Pieces are split where they meet, equal vertices merged, edges ordered round
each vertex by tangent and then by curvature, and the faces walked.  Edges with
the same face on both sides (a cut that sticks out, a bridge) bound nothing and
are left out of the faces.  Floats pick candidates only: a bucket to look for an
equal vertex in, or boxes that are certainly apart.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cmp_to_key
from itertools import pairwise
from typing import Any

from construct.chips import ChipEdge, Outline, Piece
from construct.chips.boxes import arc_box, estimate, segment_box, shade
from construct.chips.measures import orientation
from construct.chips.meetings import Overlap, Strand, carries, meetings
from construct.chips.predicates import Box, apart, bend_sign, box_round, same, side, winding
from construct.geometry import Circle, Curve, Point, cross, dot, radius, towards
from construct.number_systems import LimitMet
from construct.phrasebook import say

CURVE_TOLERANCE_MM = Fraction(1, 50)
"""A french curve enters as a chain of chords with exact ends on it, nowhere farther from it than this."""

MOST_CHORDS = 1000
"""A curve that needs more is larger than any plate."""


@dataclass(frozen=True, slots=True)
class Face:
    """A closed region: a walk round it and walks round its holes, and a box round it."""

    outline: Outline
    holes: tuple[Outline, ...]
    box: Box

    @property
    def walks(self) -> tuple[Outline, ...]:
        """The outline and the holes."""
        return (self.outline, *self.holes)


@dataclass(frozen=True, slots=True)
class Arrangement:
    """What the pieces make.

    vertices, edges, components: how many, for V − E + F = 1 + C with F = `len(faces)` + 1, the outside.
    faces: the bounded ones.
    idle: for each piece how many of its edges bound no face; uses: how many do.
    overlaps: pairs of pieces that lie on each other; if there are any, nothing else is worked out.
    loose: (piece, mark) for each end that meets nothing.
    """

    vertices: int
    edges: int
    components: int
    faces: tuple[Face, ...]
    idle: tuple[int, ...]
    uses: tuple[int, ...]
    overlaps: tuple[tuple[int, int], ...] = ()
    loose: tuple[tuple[int, Point], ...] = ()


def arrange(exact: Any, pieces: Sequence[Piece]) -> Arrangement:
    """Return the subdivision that the pieces make, every decision exact.

    Cost: pairs of pieces whose boxes meet, and a logarithm of the rest.
    """
    return _Arranger(exact, pieces).arrange()


@dataclass(slots=True)
class _Edge:
    first: int
    last: int
    strand: Strand
    box: Box


class _Arranger:
    def __init__(self, exact: Any, pieces: Sequence[Piece]) -> None:
        self.exact = exact
        self.pieces = pieces
        self.points: list[Point] = []
        self.floats: list[tuple[float, float]] = []
        self.buckets: dict[tuple[int, int], list[int]] = defaultdict(list)
        self.strands = [strand for number, piece in enumerate(pieces) for strand in strands(exact, number, piece)]
        self.cell = shade(max((abs(one) for strand in self.strands for one in strand.box), default=0.0))
        self.edges: list[_Edge] = []
        self.leaving: list[list[int]] = []

    def arrange(self) -> Arrangement:
        for strand in self.strands:
            for end in (strand.start, strand.finish):
                if end is not None:
                    self._enter(strand, end)
        overlaps = self._meet()
        if overlaps:
            return Arrangement(0, 0, 0, (), (), (), overlaps)
        for strand in self.strands:
            self._split(strand)
        self.leaving = [[] for _ in self.points]
        for number, edge in enumerate(self.edges):
            self.leaving[edge.first].append(2 * number)
            self.leaving[edge.last].append(2 * number + 1)
        every = set(range(len(self.edges)))
        components = len(set(self._components(every)))
        for vertex, leaving in enumerate(self.leaving):
            if len(leaving) > 2:
                self.leaving[vertex] = sorted(leaving, key=cmp_to_key(self._compare))
        walks, kept = self._bounding(every)
        idle, uses = [0] * len(self.pieces), [0] * len(self.pieces)
        for number, edge in enumerate(self.edges):
            (uses if number in kept else idle)[edge.strand.piece] += 1
        faces = self._faces(walks, kept)
        loose = tuple(
            (self.edges[leaving[0] >> 1].strand.piece, self.points[vertex])
            for vertex, leaving in enumerate(self.leaving)
            if len(leaving) == 1
        )
        return Arrangement(len(self.points), len(self.edges), components, faces, tuple(idle), tuple(uses), loose=loose)

    # --- vertices ------------------------------------------------------------------------------

    def _vertex(self, point: Point) -> int:
        """Return the number of the vertex that a mark is: a bucket names candidates, exact equality decides."""
        x, y = estimate(self.exact, point)
        column, row = math.floor(x / self.cell), math.floor(y / self.cell)
        for i in (column, column - 1, column + 1):
            for j in (row, row - 1, row + 1):
                for number in self.buckets.get((i, j), ()):
                    if same(self.exact, self.points[number], point):
                        return number
        self.points.append(point)
        self.floats.append((x, y))
        self.buckets[column, row].append(len(self.points) - 1)
        return len(self.points) - 1

    def _enter(self, strand: Strand, point: Point) -> None:
        number = self._vertex(point)
        if number not in strand.marks:
            strand.marks.append(number)

    # --- meetings ------------------------------------------------------------------------------

    def _meet(self) -> tuple[tuple[int, int], ...]:
        """Find all marks that two strands share; return the pairs of pieces that lie on each other."""
        overlaps: list[tuple[int, int]] = []
        active: list[Strand] = []
        for strand in sorted(self.strands, key=lambda one: one.box[0]):
            active = [one for one in active if one.box[2] >= strand.box[0]]
            for other in active:
                if apart(strand.box, other.box):
                    continue
                try:
                    found = meetings(self.exact, strand, other, self._known(strand, other))
                except Overlap:
                    pair = min(strand.piece, other.piece), max(strand.piece, other.piece)
                    if pair not in overlaps:
                        overlaps.append(pair)
                    continue
                for point in found:
                    self._enter(strand, point)
                    self._enter(other, point)
            active.append(strand)
        return tuple(sorted(overlaps))

    def _known(self, a: Strand, b: Strand) -> list[Point]:
        """Return the vertices found so far that lie on both strands' lines or circles."""
        if a.circle is None and b.circle is None:
            return []
        found = [number for number in a.marks if number in b.marks]
        for strand, other in ((a, b), (b, a)):
            for number in strand.marks:
                if number not in found and not apart(other.box, self._spot(number)) and carries(self.exact, other, self.points[number]):
                    found.append(number)
        return [self.points[number] for number in found]

    def _spot(self, number: int) -> Box:
        x, y = self.floats[number]
        return x - self.cell, y - self.cell, x + self.cell, y + self.cell

    # --- edges ---------------------------------------------------------------------------------

    def _split(self, strand: Strand) -> None:
        marks = strand.marks
        circle = strand.circle
        if circle is None:
            way = towards(strand.start, strand.finish)  # type: ignore[arg-type]
            order = self._sorted(marks[2:], lambda i, j: self.exact.sign(dot(towards(self.points[j], self.points[i]), way)))
            chain = [marks[0], *order, marks[1]]
        else:
            whole = strand.start is None
            if not marks:  # a lone circle: its edge starts where it is farthest right
                centre = circle.centre
                self._enter(strand, Point(centre.x + radius(self.exact, circle), centre.y))
            first = self.points[marks[0]]
            rest = marks[1:] if whole else marks[2:]
            order = self._sorted(rest, lambda i, j: -side(self.exact, first, self.points[i], self.points[j]))
            chain = [marks[0], *order, marks[0] if whole else marks[1]]
        for i, j in pairwise(chain):
            if circle is None:
                box = segment_box(self.floats[i], self.floats[j])
            elif len(chain) == 2:
                box = strand.box
            else:
                box = arc_box(self.exact, circle, self.floats[i], self.floats[j])
            self.edges.append(_Edge(i, j, strand, box))

    @staticmethod
    def _sorted(numbers: list[int], order: Callable[[int, int], int]) -> list[int]:
        return sorted(numbers, key=cmp_to_key(order))

    def _components(self, kept: set[int]) -> list[int]:
        """Return for each vertex a number of the component that the kept edges put it in."""
        root = list(range(len(self.points)))

        def find(vertex: int) -> int:
            while root[vertex] != vertex:
                root[vertex] = root[root[vertex]]
                vertex = root[vertex]
            return vertex

        for number in kept:
            a, b = find(self.edges[number].first), find(self.edges[number].last)
            root[max(a, b)] = min(a, b)
        return [find(vertex) for vertex in range(len(root))]

    # --- round a vertex ------------------------------------------------------------------------

    def _tail(self, half: int) -> int:
        edge = self.edges[half >> 1]
        return edge.last if half & 1 else edge.first

    def _leaves(self, half: int) -> tuple[Any, Any, int]:
        """Return the direction in which half an edge leaves its vertex, and +1 where it then bends left."""
        edge = self.edges[half >> 1]
        tail = self.points[self._tail(half)]
        circle = edge.strand.circle
        if circle is None:
            dx, dy = towards(tail, self.points[self._tail(half ^ 1)])
            return dx, dy, 0
        dx, dy = towards(circle.centre, tail)
        return (dy, -dx, -1) if half & 1 else (-dy, dx, 1)

    def _compare(self, one: int, two: int) -> int:
        """Order two half edges counterclockwise from the +x axis: by tangent, then by curvature, right bends first."""
        exact = self.exact
        ax, ay, a_bend = self._leaves(one)
        bx, by, b_bend = self._leaves(two)
        a_low, b_low = _lower_half(exact, ax, ay), _lower_half(exact, bx, by)
        if a_low != b_low:
            return a_low - b_low
        turn = exact.sign(cross((ax, ay), (bx, by)))
        if turn:
            return -turn
        a, b = self.edges[one >> 1].strand.circle, self.edges[two >> 1].strand.circle
        return bend_sign(exact, (a_bend, a), (b_bend, b))

    # --- faces ---------------------------------------------------------------------------------

    def _bounding(self, kept: set[int]) -> tuple[list[list[int]], set[int]]:
        """Return the walks and the edges that bound faces: those with different walks on their two sides."""
        while True:
            walks = self._walks(kept)
            of = {half: number for number, walk in enumerate(walks) for half in walk}
            bounding = {number for number in kept if of[2 * number] != of[2 * number + 1]}
            if len(bounding) == len(kept):
                return walks, kept
            kept = bounding

    def _walks(self, kept: set[int]) -> list[list[int]]:
        following: dict[int, int] = {}
        for leaving in self.leaving:
            there = [half for half in leaving if half >> 1 in kept]
            for position, half in enumerate(there):
                # the face to the left goes on along the next edge clockwise
                following[half ^ 1] = there[position - 1]
        walks = []
        left = set(following)
        for start in sorted(following):
            if start not in left:
                continue
            walk = [start]
            left.remove(start)
            while (half := following[walk[-1]]) != start:
                walk.append(half)
                left.remove(half)
            walks.append(walk)
        return walks

    def _faces(self, walks: list[list[int]], kept: set[int]) -> tuple[Face, ...]:
        component = self._components(kept)
        around: list[tuple[int, Outline, Box]] = []
        inner: list[tuple[int, Outline, Box]] = []
        for walk in walks:
            outline = tuple(self._chip_edge(half) for half in walk)
            box = box_round(self.edges[half >> 1].box for half in walk)
            turns = orientation(self.exact, outline)
            (around if turns > 0 else inner).append((component[self._tail(walk[0])], outline, box))
        holes: list[list[Outline]] = [[] for _ in around]
        for part, walk_round, box in inner:
            home = self._home(part, walk_round[0].start, box, around)
            if home is not None:
                holes[home].append(walk_round)
        return tuple(Face(outline, tuple(cut), box) for (_, outline, box), cut in zip(around, holes, strict=True))

    def _home(self, part: int, point: Point, box: Box, around: list[tuple[int, Outline, Box]]) -> int | None:
        """Return the innermost outline of another component round a mark, None where it lies outside all."""
        best: int | None = None
        for number, (other, outline, other_box) in enumerate(around):
            if other == part or apart(box, other_box) or winding(self.exact, outline, point) == 0:
                continue
            if best is None or winding(self.exact, around[best][1], outline[0].start) != 0:
                best = number
        return best

    def _chip_edge(self, half: int) -> ChipEdge:
        strand = self.edges[half >> 1].strand
        start, finish = self.points[self._tail(half)], self.points[self._tail(half ^ 1)]
        sense = 0 if strand.circle is None else -1 if half & 1 else 1
        return ChipEdge(start, finish, strand.circle, sense, strand.piece, strand.thing, strand.curved)


def _lower_half(exact: Any, x: Any, y: Any) -> int:
    sign = exact.sign(y)
    return int(sign < 0 or (sign == 0 and exact.sign(x) < 0))


# --- strands ----------------------------------------------------------------------------------


def strands(exact: Any, number: int, piece: Piece) -> list[Strand]:
    """Return a piece as strands: one, or the chords of a french curve."""
    if isinstance(piece.geometry, Curve):
        return _chords(exact, number, piece, piece.geometry)
    start, finish = piece.start, piece.finish
    ends = [None if end is None else estimate(exact, end) for end in (start, finish)]
    if isinstance(piece.geometry, Circle):
        return [Strand(number, piece.thing, piece.geometry, start, finish, False, arc_box(exact, piece.geometry, *ends))]
    assert ends[0] is not None and ends[1] is not None
    return [Strand(number, piece.thing, None, start, finish, False, segment_box(ends[0], ends[1]))]


def _chords(exact: Any, number: int, piece: Piece, curve: Curve) -> list[Strand]:
    """Return a french curve as chords with exact ends on it, within `CURVE_TOLERANCE_MM` of it.

    A cubic lies within |B''|/8·n⁻² of its n chords, and |B''| is at most six times the larger
    second difference of its control marks.  n is settled exactly, so that a curve and its mirror
    image get equal chords.
    """
    bends = []
    for a, b, c in zip(curve.controls, curve.controls[1:], curve.controls[2:], strict=False):
        x, y = a.x - b.x * 2 + c.x, a.y - b.y * 2 + c.y
        bends.append((x * x + y * y) * 9)
    count = max(1, math.floor(max((exact.to_float(bend) / 16) ** 0.25 for bend in bends) / float(CURVE_TOLERANCE_MM) ** 0.5) - 1)
    if count > MOST_CHORDS:
        raise LimitMet(say("limit.curve"))
    while any(exact.sign(bend - exact.rational(16 * CURVE_TOLERANCE_MM**2 * count**4)) > 0 for bend in bends):
        count += 1
    marks = [curve.controls[0], *(mark_on_curve(exact, curve, i, count) for i in range(1, count)), curve.controls[3]]
    return [Strand(number, piece.thing, None, a, b, True, segment_box(estimate(exact, a), estimate(exact, b))) for a, b in pairwise(marks)]


def mark_on_curve(exact: Any, curve: Curve, part: int, of: int) -> Point:
    """Return the mark at part/of of a curve's parameter."""
    t, u = part, of - part
    weights = (u * u * u, 3 * t * u * u, 3 * t * t * u, t * t * t)
    x = y = exact.rational(0)
    for weight, control in zip(weights, curve.controls, strict=True):
        x, y = x + control.x * weight, y + control.y * weight
    return Point(x / of**3, y / of**3)
