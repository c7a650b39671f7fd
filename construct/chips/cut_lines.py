"""`cut` and `groove` lines → the pieces that the knife follows, with exact ends.

Drawn lines without ends run to the edge of the blank; arcs without ends are
whole circles.  A french curve is cut whole.  What a line can not mean becomes a
`Wrong` with its hint.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from construct import diagnostics
from construct.chips import Piece
from construct.chips.predicates import on_arc, on_segment, same, same_circle, side, within
from construct.chips.spots import spot_along, spot_of
from construct.diagnostics import Spot
from construct.geometry import (
    Board,
    Circle,
    Curve,
    Line,
    Oval,
    Point,
    board_side,
    cross,
    dot,
    inside,
    left_of,
    meet,
    square_distance,
    towards,
)
from construct.number_systems import NotANumber
from construct.phrasebook import say
from construct.plan import EDGE, PlannedCarving
from construct.replay import Settled


class Wrong(diagnostics.Wrong):
    """A mistake in one line after `carve`; `spots` say where on the wood."""

    def __init__(self, key: str, /, *spots: Spot, **values: object) -> None:
        super().__init__(key, **values)
        self.spots = spots


@dataclass(frozen=True, slots=True)
class _Stretch:
    """A part of a line or a circle; counterclockwise where round; without ends where a whole circle."""

    start: Point | None
    finish: Point | None


def pieces_of(settled: Settled, exact: Any, number: int) -> list[Piece]:
    """Return the pieces of one `cut` or `groove` line; `Wrong` where it means none."""
    return _Reader(settled, exact).pieces(settled.plan.carving[number], number)


class _Reader:
    def __init__(self, settled: Settled, exact: Any) -> None:
        self.settled = settled
        self.exact = exact

    def name(self, index: int) -> str:
        return self.settled.plan.things[index].name

    def pieces(self, line: PlannedCarving, number: int) -> list[Piece]:
        index = line.arguments[0]
        assert isinstance(index, int)
        thing = self.settled.values[index]
        if isinstance(thing, Curve):
            return [self._curve(line, index, thing, number)]
        if index == EDGE or not isinstance(thing, Line | Circle):
            what = say("kind.the.edge") if index == EDGE else say(f"kind.a.{self.settled.plan.things[index].kind}")
            raise Wrong("C401", name=self.name(index), what=what)
        if "from" in line.words:
            stretches = [self._from_to(line, index, thing)]
        else:
            stretches = [self._whole(index, thing)]
            for word in ("inside", "outside"):
                if word in line.words:
                    stretches = self._clipped(line, index, thing, stretches[0], word, number)
        return [Piece(index, number, thing, one.start, one.finish) for one in stretches]

    def _spot(self, mark: Point, what: str) -> Spot:
        return spot_of(self.exact, self.settled.plan, mark, what)

    def _among(self, point: Point, marks: Iterable[Point]) -> bool:
        return any(same(self.exact, point, mark) for mark in marks)

    # --- whole things --------------------------------------------------------------------------

    def _curve(self, line: PlannedCarving, index: int, curve: Curve, number: int) -> Piece:
        ends = curve.controls[0], curve.controls[3]
        if line.words and line.words[0] == "from":
            named = [self.settled.values[one] for one in line.arguments[1:3]]  # type: ignore[index]
            if not all(isinstance(mark, Point) and any(same(self.exact, mark, end) for end in ends) for mark in named):
                raise Wrong("C408.ends", name=self.name(index))
        elif "inside" in line.words or "outside" in line.words:
            raise Wrong("C408.clipped", name=self.name(index))
        return Piece(index, number, curve, *ends)

    def _whole(self, index: int, thing: Line | Circle) -> _Stretch:
        if isinstance(thing, Circle):
            if not thing.turn or thing.start is None or thing.finish is None:
                return _Stretch(None, None)
            way = self._turns(thing, thing.start, thing.finish) * thing.turn
            if way == 0:
                raise Wrong("C406.half_turn", name=self.name(index))
            return _Stretch(thing.start, thing.finish) if way > 0 else _Stretch(thing.finish, thing.start)
        if thing.start is not None and thing.finish is not None:
            return _Stretch(thing.start, thing.finish)
        return self._to_the_edge(index, thing)

    def _turns(self, circle: Circle, a: Point, b: Point) -> int:
        """Return +1 where the short way from `a` to `b` is counterclockwise, -1 where it is not, 0 for half a turn."""
        return self.exact.sign(cross(towards(circle.centre, a), towards(circle.centre, b)))

    def _to_the_edge(self, index: int, line: Line) -> _Stretch:
        edge = self.settled.values[EDGE]
        name = self.name(index)
        if edge is None:
            raise Wrong("C403", name=name)
        try:
            if isinstance(edge, Board):
                return self._across_board(line, edge)
            first, last = (meet(self.exact, line, edge, way) for way in (-1, 1))
        except NotANumber:
            raise Wrong("C404.off_the_wood", name=name) from None
        if same(self.exact, first, last):
            raise Wrong("C404.only_touches", name=name)
        return _Stretch(first, last)

    def _across_board(self, line: Line, board: Board) -> _Stretch:
        found: list[Point] = []
        for number in range(4):
            along = board_side(board, number)
            if self.exact.sign(cross((line.dx, line.dy), (along.dx, along.dy))) == 0:
                continue
            point = meet(self.exact, line, along, 0)
            assert along.start is not None and along.finish is not None
            if on_segment(self.exact, along.start, point, along.finish) and not self._among(point, found):
                found.append(point)
        if len(found) < 2:
            raise NotANumber(say("no_number.passes_by"))
        if self.exact.sign(dot(towards(found[0], found[1]), (line.dx, line.dy))) < 0:
            found.reverse()
        return _Stretch(found[0], found[1])

    # --- from … to … ---------------------------------------------------------------------------

    def _from_to(self, line: PlannedCarving, index: int, thing: Line | Circle) -> _Stretch:
        name = self.name(index)
        ends = []
        for one in line.arguments[1:3]:
            assert isinstance(one, int)
            mark = self.settled.values[one]
            if not isinstance(mark, Point):
                raise Wrong("C402.no_mark", mark=self.name(one))
            off = left_of(mark, thing) if isinstance(thing, Line) else inside(mark, thing)
            if self.exact.sign(off) != 0:
                raise Wrong("C402", self._spot(mark, "off_the_line"), mark=self.name(one), name=name, off=self._off(mark, thing))
            ends.append(mark)
        start, finish = ends
        if same(self.exact, start, finish):
            raise Wrong("C406.no_way", name=name)
        if isinstance(thing, Line):
            if "the long way" in line.words:
                raise Wrong("C406.straight", name=name)
            whole = thing.start, thing.finish
            if whole[0] is not None and whole[1] is not None:
                for mark, one in zip(ends, line.arguments[1:3], strict=True):
                    if not on_segment(self.exact, whole[0], mark, whole[1]):
                        raise Wrong("C407.beyond", self._spot(mark, "beyond_the_end"), mark=self.name(one), name=name)
            return _Stretch(start, finish)
        return self._arc_from_to(line, index, thing, start, finish)

    def _arc_from_to(self, line: PlannedCarving, index: int, circle: Circle, start: Point, finish: Point) -> _Stretch:
        name = self.name(index)
        ways = _Stretch(start, finish), _Stretch(finish, start)
        short = self._turns(circle, start, finish)
        whole = self._whole(index, circle)
        drawn = [self._lies_in(one, whole) for one in ways]
        if not any(drawn):
            there = tuple(self._spot(mark, "asked_to") for mark in (start, finish))
            raise Wrong("C407", *there, name=name)
        long_way = "the long way" in line.words
        if short == 0:
            if all(drawn):
                raise Wrong("C406.two_ways", name=name, start=self.name(line.arguments[1]), finish=self.name(line.arguments[2]))
            return ways[drawn.index(True)]
        wanted = 0 if (short > 0) != long_way else 1
        if drawn[wanted]:
            return ways[wanted]
        if long_way:
            raise Wrong("C407.long_way", name=name)
        return ways[1 - wanted]

    def _lies_in(self, part: _Stretch, whole: _Stretch) -> bool:
        """Tell whether one arc of a circle lies in another."""
        if whole.start is None or whole.finish is None:
            return True
        assert part.start is not None and part.finish is not None
        if not all(on_arc(self.exact, whole.start, end, whole.finish) for end in (part.start, part.finish)):
            return False
        if same(self.exact, part.start, whole.start) or same(self.exact, part.finish, whole.finish):
            return True
        return side(self.exact, whole.start, part.start, part.finish) > 0

    def _off(self, mark: Point, thing: Line | Circle) -> float:
        if isinstance(thing, Line):
            return abs(self.exact.to_float(left_of(mark, thing))) / self.exact.to_float(thing.dx * thing.dx + thing.dy * thing.dy) ** 0.5
        out = self.exact.to_float(square_distance(mark, thing.centre)) ** 0.5
        return abs(out - self.exact.to_float(thing.square) ** 0.5)

    # --- inside, outside -----------------------------------------------------------------------

    def _clipped(
        self, line: PlannedCarving, index: int, thing: Line | Circle, whole: _Stretch, word: str, number: int
    ) -> list[_Stretch]:
        other = line.arguments[1]
        assert isinstance(other, int)
        bound = self.settled.values[other]
        name, bound_name = self.name(index), self.name(other)
        if not isinstance(bound, Circle):
            if isinstance(bound, Board | Oval):
                raise Wrong("C405.not_round", word=word, bound_name=bound_name)
            raise Wrong("C405", bound_name=bound_name)
        if isinstance(thing, Circle):
            if same_circle(self.exact, thing, bound):
                raise Wrong("C404.one_circle", name=name, bound_name=bound_name)
            kept = self._arcs(thing, bound, whole, word == "inside")
        else:
            kept = self._parts(thing, bound, whole, word == "inside")
        if not kept:
            there = spot_along(self.exact, self.settled.plan, Piece(index, number, thing, whole.start, whole.finish), "this_is_meant")
            raise Wrong(f"C404.{word}", there, name=name, bound_name=bound_name)
        return kept

    def _arcs(self, circle: Circle, bound: Circle, whole: _Stretch, inner: bool) -> list[_Stretch]:
        """Return the arcs of a circle inside (or outside) another.

        Facing the other centre from one's own, the part inside runs from the right crossing over the front to the left one.
        """
        crossings = self._crossings(circle, bound)
        if crossings is None:
            is_inside = within(self.exact, circle, bound)
            return [whole] if is_inside == inner else []
        left, right = crossings
        wanted = _Stretch(right, left) if inner else _Stretch(left, right)
        if whole.start is None or whole.finish is None:
            return [wanted]
        marks = [whole.start]
        for one in crossings:
            if on_arc(self.exact, whole.start, one, whole.finish) and not self._among(one, (whole.start, whole.finish)):
                marks.append(one)
        if len(marks) == 3 and side(self.exact, marks[0], marks[1], marks[2]) < 0:
            marks[1], marks[2] = marks[2], marks[1]
        marks.append(whole.finish)
        parts = [_Stretch(a, b) for a, b in pairwise(marks)]
        return [part for part in parts if self._starts_in(part, wanted)]

    def _starts_in(self, part: _Stretch, wanted: _Stretch) -> bool:
        """Tell whether an arc that no end of `wanted` divides lies in it: it starts there, and not in its last mark."""
        assert part.start is not None and wanted.start is not None and wanted.finish is not None
        return on_arc(self.exact, wanted.start, part.start, wanted.finish) and not same(self.exact, part.start, wanted.finish)

    def _crossings(self, circle: Circle, bound: Circle) -> tuple[Point, Point] | None:
        """Return the left and the right crossing as seen from `circle`'s centre, None where they do not cross."""
        if same(self.exact, circle.centre, bound.centre):
            return None
        try:
            left, right = (meet(self.exact, circle, bound, way) for way in (-1, 1))
        except NotANumber:
            return None
        return None if same(self.exact, left, right) else (left, right)

    def _parts(self, line: Line, bound: Circle, whole: _Stretch, inner: bool) -> list[_Stretch]:
        """Return the parts of a straight stretch inside (or outside) a circle: each is told by its middle."""
        assert whole.start is not None and whole.finish is not None
        marks = [whole.start]
        way = towards(whole.start, whole.finish)
        straight = Line(whole.start.x, whole.start.y, *way)
        try:
            found = [meet(self.exact, straight, bound, one) for one in (-1, 1)]
        except NotANumber:
            found = []
        for point in found:
            if on_segment(self.exact, whole.start, point, whole.finish) and not self._among(point, (*marks, whole.finish)):
                marks.append(point)
        marks.append(whole.finish)
        kept = []
        for a, b in pairwise(marks):
            middle = Point((a.x + b.x) / 2, (a.y + b.y) / 2)
            if (self.exact.sign(inside(middle, bound)) > 0) == inner:
                kept.append(_Stretch(a, b))
        return kept
