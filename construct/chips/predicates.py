"""Exact yes-or-no questions about edges, walks and circles: sides, order on a circle, winding.

Every answer is a sign of a number that is polynomial in the coordinates, so no
root is ever adjoined by asking.  Floats appear in boxes only, which are rounded
outwards by far more than a float's error: a box may say "certainly apart", and
never anything else.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from construct.chips import ChipEdge, Outline
from construct.geometry import Circle, Line, Point, cross, dot, inside, left_of, square_distance, towards
from construct.number_systems import Number

Box = tuple[float, float, float, float]
"""Left, bottom, right, top in mm: everything in question lies within (*enclosure*)."""


def same(exact: Any, a: Point, b: Point) -> bool:
    """Tell whether two marks are one."""
    return a is b or (exact.sign(a.x - b.x) == 0 and exact.sign(a.y - b.y) == 0)


def side(exact: Any, a: Point, b: Point, point: Point) -> int:
    """Return +1 where `point` lies to the left of the way from `a` to `b`, 0 on it, -1 to the right."""
    return exact.sign(cross(towards(a, b), towards(a, point)))


def on_arc(exact: Any, start: Point | None, point: Point, finish: Point | None) -> bool:
    """Tell whether a mark of a circle lies on the closed arc counterclockwise from `start` to `finish`.

    Three marks of a circle come in counterclockwise order exactly where they turn left.
    """
    return start is None or finish is None or side(exact, start, point, finish) >= 0


def on_segment(exact: Any, start: Point, point: Point, finish: Point) -> bool:
    """Tell whether a mark of the line through `start` and `finish` lies between them, ends included."""
    way = towards(start, finish)
    part = dot(towards(start, point), way)
    return exact.sign(part) >= 0 and exact.sign(dot(way, way) - part) >= 0


def on_edge(exact: Any, edge: ChipEdge, point: Point) -> bool:
    """Tell whether a mark lies on an edge, ends included."""
    if edge.circle is None:
        return side(exact, edge.start, edge.finish, point) == 0 and on_segment(exact, edge.start, point, edge.finish)
    if exact.sign(inside(point, edge.circle)) != 0:
        return False
    first, last = counterclockwise(edge)
    return edge.whole or on_arc(exact, first, point, last)


def counterclockwise(edge: ChipEdge) -> tuple[Point, Point]:
    """Return the ends of an arc in counterclockwise order."""
    return (edge.start, edge.finish) if edge.sense >= 0 else (edge.finish, edge.start)


def same_circle(exact: Any, a: Circle, b: Circle) -> bool:
    """Tell whether two circles are one, however they were drawn."""
    return a is b or (same(exact, a.centre, b.centre) and exact.sign(a.square - b.square) == 0)


def within(exact: Any, inner: Circle, outer: Circle) -> bool:
    """Tell whether the whole of `inner` lies in the closed disc of `outer`: d + r ≤ R, without a root.

    With s = R² + r² − d² it says R ≥ r, s ≥ 0 and s² ≥ 4R²r².
    """
    if exact.sign(outer.square - inner.square) < 0:
        return False
    return _far_apart(exact, outer.square + inner.square - square_distance(inner.centre, outer.centre), inner, outer)


def beside(exact: Any, a: Circle, b: Circle) -> bool:
    """Tell whether two discs have no inner mark in common: d ≥ R + r, without a root."""
    return _far_apart(exact, square_distance(a.centre, b.centre) - a.square - b.square, a, b)


def _far_apart(exact: Any, number: Number, a: Circle, b: Circle) -> bool:
    return exact.sign(number) >= 0 and exact.sign(number * number - a.square * b.square * 4) >= 0


def way_in_arc(exact: Any, circle: Circle, start: Point, finish: Point, way: tuple[Number, Number]) -> bool:
    """Tell whether the mark of `circle` that lies `way` from its centre is strictly inside the arc from `start` to `finish`."""
    first, last = towards(circle.centre, start), towards(circle.centre, finish)
    after, before = exact.sign(cross(first, way)), exact.sign(cross(way, last))
    if start is finish:
        return not (after == 0 and exact.sign(dot(first, way)) > 0)
    if exact.sign(cross(first, last)) > 0:
        return after > 0 and before > 0
    if exact.sign(cross(first, last)) == 0:  # half a turn
        return after > 0
    # the long way: not in the closed short arc from finish to start
    return not (before <= 0 and after <= 0)


def tangent(edge: ChipEdge, at: Point) -> tuple[Number, Number]:
    """Return the direction in which a walk runs along an edge at one of its ends; any length."""
    if edge.circle is None:
        return towards(edge.start, edge.finish)
    dx, dy = towards(edge.circle.centre, at)
    return -dy * edge.sense, dx * edge.sense


def bend_sign(exact: Any, one: tuple[int, Circle | None], two: tuple[int, Circle | None]) -> int:
    """Return the sign of one curvature less another; each is +1 left, -1 right, 0 straight, with its circle."""
    if one[0] != two[0] or one[1] is None or two[1] is None:
        return (one[0] > two[0]) - (one[0] < two[0])
    return one[0] * exact.sign(two[1].square - one[1].square)


# --- walks ------------------------------------------------------------------------------------


def is_smooth(exact: Any, before: ChipEdge, after: ChipEdge) -> bool:
    """Tell whether a walk goes on from one edge to the next without a corner."""
    if before.curved and after.curved and before.piece == after.piece:
        return True
    came, goes = tangent(before, before.finish), tangent(after, after.start)
    return exact.sign(cross(came, goes)) == 0 and exact.sign(dot(came, goes)) > 0


def true_corners(exact: Any, walk: Outline) -> list[Point]:
    """Return the marks at which a walk turns a corner."""
    return [edge.start for before, edge in zip((walk[-1], *walk[:-1]), walk, strict=True) if not is_smooth(exact, before, edge)]


def winding(exact: Any, walk: Outline, point: Point) -> int:
    """Return how often a walk goes round a mark that does not lie on it, counterclockwise.

    Each edge counts as its chord, plus the cap between chord and arc where the mark lies in
    it.  A mark in line with an end or on a chord counts as a mark a shade higher (and, where
    that is not enough, a shade further right): such a mark lies in the same region.
    """
    times = 0
    for edge in walk:
        a, b = edge.start, edge.finish
        if edge.whole:
            if exact.sign(inside(point, edge.circle)) > 0:  # type: ignore[arg-type]
                times += edge.sense
            continue
        low, high = exact.sign(point.y - a.y) >= 0, exact.sign(point.y - b.y) >= 0
        crosses = low != high
        capped = edge.circle is not None and exact.sign(inside(point, edge.circle)) > 0
        if not crosses and not capped:
            continue
        left = side(exact, a, b, point) or exact.sign(b.x - a.x) or exact.sign(a.y - b.y)
        if crosses and low and left > 0:
            times += 1
        elif crosses and high and left < 0:
            times -= 1
        if capped and left == -edge.sense:
            times += edge.sense
    return times


def on_walks(exact: Any, walks: Iterable[Outline], point: Point) -> bool:
    """Tell whether a mark lies on one of the edges."""
    return any(on_edge(exact, edge, point) for walk in walks for edge in walk)


def in_walks(exact: Any, walks: tuple[Outline, ...], point: Point) -> bool:
    """Tell whether a mark that lies on no edge is inside the first walk and in none of the holes."""
    return winding(exact, walks[0], point) != 0 and all(winding(exact, hole, point) == 0 for hole in walks[1:])


def walk_within(exact: Any, walk: Outline, circle: Circle) -> bool:
    """Tell whether all of a walk lies in the closed disc of a circle."""
    if any(exact.sign(inside(edge.start, circle)) < 0 for edge in walk):
        return False
    for edge in walk:
        if edge.circle is None or same_circle(exact, edge.circle, circle):
            continue
        farthest = towards(circle.centre, edge.circle.centre)
        if _reaches(exact, edge, farthest) and not within(exact, edge.circle, circle):
            return False
    return True


def walk_clear_of(exact: Any, walk: Outline, circle: Circle) -> bool:
    """Tell whether no edge of a walk enters the open disc of a circle."""
    if any(exact.sign(inside(edge.start, circle)) > 0 for edge in walk):
        return False
    for edge in walk:
        if edge.circle is None:
            way, out = towards(edge.start, edge.finish), towards(edge.start, circle.centre)
            part, length, off = dot(out, way), dot(way, way), cross(way, out)
            near = exact.sign(part) > 0 and exact.sign(length - part) > 0
            if near and exact.sign(circle.square * length - off * off) > 0:
                return False
        elif not same_circle(exact, edge.circle, circle):
            nearest = towards(edge.circle.centre, circle.centre)
            if _reaches(exact, edge, nearest) and not beside(exact, edge.circle, circle) and not within(exact, circle, edge.circle):
                return False
    return True


def walk_on_side(exact: Any, walk: Outline, line: Line, sign: int) -> bool:
    """Tell whether no edge of a walk lies across a line: all on its left (`sign` +1) or all on its right (-1), the line included."""
    if any(exact.sign(left_of(edge.start, line)) == -sign for edge in walk):
        return False
    across = line.dy * sign, -line.dx * sign
    for edge in walk:
        if edge.circle is None or not _reaches(exact, edge, across):
            continue
        off = left_of(edge.circle.centre, line)
        if exact.sign(off) != sign or exact.sign(off * off - edge.circle.square * dot(across, across)) < 0:
            return False
    return True


def _reaches(exact: Any, edge: ChipEdge, way: tuple[Number, Number]) -> bool:
    assert edge.circle is not None
    if edge.whole or exact.sign(dot(way, way)) == 0:
        return True
    return way_in_arc(exact, edge.circle, *counterclockwise(edge), way)


def simplified(exact: Any, walk: Outline) -> Outline:
    """Return a walk without the marks at which it goes on along the same line or circle."""
    edges = list(walk)
    position = 0
    while len(edges) > 1 and position < len(edges):
        following = (position + 1) % len(edges)
        one, two = edges[position], edges[following]
        if not _goes_on(exact, one, two):
            position += 1
            continue
        edges[position] = replace(one, finish=two.finish)
        del edges[following]
        if following == 0:
            break
    return tuple(edges)


def _goes_on(exact: Any, one: ChipEdge, two: ChipEdge) -> bool:
    if one.sense != two.sense or one.curved or two.curved:
        return False
    if one.circle is None:
        return is_smooth(exact, one, two)
    assert two.circle is not None
    return same_circle(exact, one.circle, two.circle)


# --- boxes ------------------------------------------------------------------------------------


def apart(a: Box, b: Box) -> bool:
    """Tell whether two boxes are certainly apart; False also where a float ran out."""
    return a[2] < b[0] or b[2] < a[0] or a[3] < b[1] or b[3] < a[1]


def box_round(boxes: Iterable[Box]) -> Box:
    """Return the box round some boxes."""
    lefts, bottoms, rights, tops = zip(*boxes, strict=True)
    return min(lefts), min(bottoms), max(rights), max(tops)
