"""Chips that are alike: one motion of the plane, mirror allowed, carries one onto the other, exactly.

A candidate motion comes from matching two corners with two; it stands only if
it carries every edge of every walk onto an edge, each coordinate exactly.
Marks where a walk does not turn a corner do not count: a neighbour's cut that
ends on a straight edge changes no shape.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from construct.chips import Chip, ChipEdge, Outline
from construct.chips.angles import angle_sum_sign
from construct.chips.boxes import shade
from construct.chips.measures import area
from construct.chips.misfit import misfit
from construct.chips.predicates import same, simplified
from construct.geometry import Point, cross, dot, square_distance, towards
from construct.number_systems import Number

__all__ = ["Motion", "alike", "alike_in_area", "groups", "misfit", "moved"]


@dataclass(frozen=True, slots=True)
class Motion:
    """(x, y) → turned by the angle of (cosine, sine), then shifted; where `mirror`, x becomes −x before that.

    All numbers are *exact*; cosine² + sine² = 1.  The mirror line is the grain's.
    """

    cosine: Number
    sine: Number
    shift_x: Number
    shift_y: Number
    mirror: bool


def moved(motion: Motion, point: Point) -> Point:
    """Return where a motion carries a mark."""
    x = -point.x if motion.mirror else point.x
    return Point(
        motion.cosine * x - motion.sine * point.y + motion.shift_x,
        motion.sine * x + motion.cosine * point.y + motion.shift_y,
    )


def alike(exact: Any, a: Chip, b: Chip) -> Motion | None:
    """Return a motion that carries `a` onto `b`, without a mirror if there is one; None if there is none.  *Exact*.

    Cost: a few exact zero tests a corner for each pair of corners that floats leave possible.
    """
    return _motion(exact, _ready(exact, a), _ready(exact, b))


def _ready(exact: Any, chip: Chip) -> list[_Walk]:
    return [_Walk(exact, walk) for walk in chip.walks]


def _motion(exact: Any, first: list[_Walk], second: list[_Walk]) -> Motion | None:
    if sorted(walk.size for walk in first) != sorted(walk.size for walk in second) or first[0].size != second[0].size:
        return None
    for mirror in (False, True):
        for motion in _candidates(exact, first, second, mirror):
            if _carries_all(exact, motion, first, second):
                return motion
    return None


def groups(exact: Any, chips: Sequence[Chip]) -> tuple[tuple[int, ...], ...]:
    """Return the positions of the chips in groups of alike ones, in the order of their firsts."""
    found: list[list[int]] = []
    ready = [_ready(exact, chip) for chip in chips]
    for position, walks in enumerate(ready):
        for group in found:
            if _motion(exact, ready[group[0]], walks) is not None:
                group.append(position)
                break
        else:
            found.append([position])
    return tuple(tuple(group) for group in found)


def alike_in_area(exact: Any, a: Chip, b: Chip) -> bool | None:
    """Tell whether two areas are equal: True and False are *exact*.

    True where the difference cancels by exact relations (and where the chips are alike), False
    where an enclosure excludes zero, None where neither is found.
    """
    if alike(exact, a, b) is not None:
        return True
    one, two = area(exact, a), area(exact, b)
    terms = [(arc.square, arc.cosine, arc.sine) for arc in one.arcs]
    terms += [(-arc.square, arc.cosine, arc.sine) for arc in two.arcs]
    sign = angle_sum_sign(exact, (one.algebraic - two.algebraic) * 2, terms)
    return None if sign is None else sign == 0


# --- walks as they are compared ----------------------------------------------------------------


class _Walk:
    """A walk made ready for comparison.

    edges: without idle marks.  size: how many; 0 for a whole circle.
    floats: squares of radius and chord of each edge, for leaving out what certainly differs.
    """

    def __init__(self, exact: Any, walk: Outline) -> None:
        self.edges = simplified(exact, walk)
        self.size = 0 if self.edges[0].whole else len(self.edges)
        self.floats = [
            (
                exact.to_float(square_distance(edge.start, edge.finish)) if self.size else 0.0,
                0.0 if edge.circle is None else exact.to_float(edge.circle.square) * edge.sense,
            )
            for edge in self.edges
        ]
        # the corner before to the corner after, squared: tells shapes with equal sides apart
        marks = [edge.start for edge in self.edges]
        across = zip((marks[-1], *marks[:-1]), (*marks[1:], marks[0]), strict=True)
        self.across = [exact.to_float(square_distance(a, b)) for a, b in across] if self.size > 2 else []

    def edge(self, position: int, backwards: bool) -> tuple[Point, Point, ChipEdge]:
        """Return start, finish and edge at a position; walked backwards, from the last edge's end on."""
        edge = self.edges[(-1 - position if backwards else position) % len(self.edges)]
        return (edge.finish, edge.start, edge) if backwards else (edge.start, edge.finish, edge)

    def may_match(self, other: _Walk, offset: int, mirror: bool) -> bool:
        """Tell whether floats leave it open that each edge, backwards where mirrored, matches the other's from `offset` on."""
        n = self.size
        for position in range(n):
            mine = self.floats[(-1 - position if mirror else position) % n]
            theirs = other.floats[(position + offset) % n]
            if any(_differ(x, y) for x, y in zip(mine, theirs, strict=True)):
                return False
            if n > 2 and _differ(self.across[-position % n if mirror else position], other.across[(position + offset) % n]):
                return False
        return True


def _differ(x: float, y: float) -> bool:
    """Tell whether two numbers certainly differ: their floats are right to 2⁻⁵² and differ by far more."""
    return abs(x - y) > 16 * shade(max(abs(x), abs(y)))


def _candidates(exact: Any, first: list[_Walk], second: list[_Walk], mirror: bool) -> Iterator[Motion]:
    """Yield motions of which one must carry `first` onto `second` if any does."""
    for number, walk in enumerate(first):
        if walk.size:
            start, finish, _ = walk.edge(0, mirror)
            for other in second[:1] if number == 0 else second[1:]:
                if other.size != walk.size:
                    continue
                for offset in range(walk.size):
                    if walk.may_match(other, offset, mirror):
                        to_start, to_finish, _ = other.edge(offset, False)
                        yield from _carrying(exact, (start, finish), (to_start, to_finish), mirror)
            return
    # whole circles only: a second centre fixes the turn
    centres, others = ([walk.edges[0].circle.centre for walk in walks] for walks in (first, second))  # type: ignore[union-attr]
    for centre in centres[1:]:
        if exact.sign(square_distance(centres[0], centre)) > 0:
            for goal in others[1:]:
                yield from _carrying(exact, (centres[0], centre), (others[0], goal), mirror)
            return
    one, zero = exact.rational(1), exact.rational(0)
    x, y = (-centres[0].x if mirror else centres[0].x), centres[0].y
    yield Motion(one, zero, others[0].x - x, others[0].y - y, mirror)


def _carrying(exact: Any, marks: tuple[Point, Point], to: tuple[Point, Point], mirror: bool) -> Iterator[Motion]:
    """Yield the motion that carries two marks to two others, if their distances are equal."""
    start, finish = (Point(-mark.x, mark.y) if mirror else mark for mark in marks)
    way, goal = towards(start, finish), towards(*to)
    square = dot(way, way)
    if exact.sign(square - dot(goal, goal)) != 0:
        return
    cosine, sine = dot(way, goal) / square, cross(way, goal) / square
    x = to[0].x - (cosine * start.x - sine * start.y)
    y = to[0].y - (sine * start.x + cosine * start.y)
    yield Motion(cosine, sine, x, y, mirror)


def _carries_all(exact: Any, motion: Motion, first: list[_Walk], second: list[_Walk]) -> bool:
    if not _carries(exact, motion, first[0], second[0]):
        return False
    left = list(second[1:])
    for walk in first[1:]:
        match = next((other for other in left if _carries(exact, motion, walk, other)), None)
        if match is None:
            return False
        left.remove(match)
    return True


def _carries(exact: Any, motion: Motion, walk: _Walk, other: _Walk) -> bool:
    """Tell whether a motion carries one walk onto another, edge by edge, exactly."""
    if walk.size != other.size:
        return False
    if walk.size == 0:
        mine, theirs = walk.edges[0].circle, other.edges[0].circle
        assert mine is not None and theirs is not None
        return exact.sign(mine.square - theirs.square) == 0 and same(exact, moved(motion, mine.centre), theirs.centre)
    ready = [walk.edge(position, motion.mirror) for position in range(walk.size)]
    starts = [moved(motion, start) for start, _, _ in ready]
    for offset in range(walk.size):
        if not walk.may_match(other, offset, motion.mirror):
            continue
        if all(_same_edge(exact, motion, starts[i], ready[i][2], other.edge(i + offset, False)) for i in range(walk.size)):
            return True
    return False


def _same_edge(exact: Any, motion: Motion, start: Point, edge: ChipEdge, other: tuple[Point, Point, ChipEdge]) -> bool:
    """Tell whether a moved edge is another one, given that the next start is looked at as well.

    Walked backwards and mirrored, an arc keeps its sense.
    """
    theirs = other[2]
    if edge.sense != theirs.sense or not same(exact, start, other[0]):
        return False
    if edge.circle is None or theirs.circle is None:
        return edge.circle is theirs.circle
    return same(exact, moved(motion, edge.circle.centre), theirs.circle.centre)
