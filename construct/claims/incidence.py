"""`X is on k`, `A, B, D are in line`, `A, B, D, E are on one circle`.

A mark beyond the end of a line or an arc is not on it.  Any two marks are in
line; so are three of which two are one.
"""

from __future__ import annotations

from itertools import combinations

from construct.claims import Farthest, Gap, NoGap, Senseless, Statement, World, sign, size
from construct.claims._drawn import gap_to_drawn, refuse_half_turn
from construct.geometry import (
    Board,
    Circle,
    Line,
    Oval,
    Point,
    beyond_ends,
    cross,
    foot,
    inside,
    left_of,
    line_through,
    on_blank,
    square_distance,
    towards,
)
from construct.language.syntax import Phrase
from construct.number_systems import Number
from construct.phrasebook import say

NAME = "incidence"
NOTE = "marks lie on what is drawn, in line, or on one circle"


def on(world: World, mark: Point, thing: Line | Circle | Oval | Board | None) -> Statement:
    """The mark lies on the line, the circle or the edge, and not beyond its ends."""
    numbers = world.numbers
    if thing is None:
        raise Senseless("no_edge")
    if isinstance(thing, Oval):
        # the nearest place of an oval has no construction: the gap is taken along the line to its middle
        return Statement(zeros=on_blank(mark, thing), gap=lambda: _to_oval(world, mark, thing))
    if isinstance(thing, Board):
        sides = on_blank(mark, thing)
        return Statement(
            zeros=(sides[0] * sides[1] * sides[2] * sides[3],),
            not_negatives=sides,
            gap=lambda: _to_board(world, mark, thing),
        )
    refuse_half_turn(numbers, thing)
    return Statement(
        zeros=(left_of(mark, thing) if isinstance(thing, Line) else inside(mark, thing),),
        not_negatives=beyond_ends(mark, thing),
        gap=lambda: gap_to_drawn(numbers, mark, thing),
    )


def _to_oval(world: World, mark: Point, edge: Oval) -> Gap:
    numbers = world.numbers
    off = mark.x * mark.x + mark.y * mark.y
    if sign(numbers, off) == 0:
        # the middle itself: the nearest places are the ends of the shorter axis
        return Gap(_smaller(world, edge.across, edge.along))
    x, y = mark.x * edge.along, mark.y * edge.across
    reach = edge.across * edge.along / numbers.sqrt(x * x + y * y)
    return Gap(size(numbers, numbers.sqrt(off) * (1 - reach)))


def _to_board(world: World, mark: Point, edge: Board) -> Gap:
    numbers = world.numbers
    sides = on_blank(mark, edge)
    outside = [side for side in sides if sign(numbers, side) < 0]
    if outside:
        # beside one side, or off a corner by both
        return Gap(sum((side * side for side in outside), numbers.rational(0)), squared=True)
    nearest = sides[0]
    for side in sides[1:]:
        nearest = _smaller(world, nearest, side)
    return Gap(nearest)


def _smaller(world: World, one: Number, other: Number) -> Number:
    return other if sign(world.numbers, other - one) < 0 else one


def in_line(world: World, marks: tuple[Point, ...]) -> Statement:
    """Seen from the first mark, all others lie along one direction."""
    first, *rest = marks
    ways = [towards(first, mark) for mark in rest]
    return Statement(
        zeros=tuple(cross(one, other) for one, other in combinations(ways, 2)),
        gap=lambda: _off_outer_two(world, marks),
    )


def _off_outer_two(world: World, marks: tuple[Point, ...]) -> Farthest:
    """Return how far the others are from the line of the two that are farthest apart."""
    outer, widest = (0, 1), world.numbers.rational(0)
    for pair in combinations(range(len(marks)), 2):
        wide = square_distance(marks[pair[0]], marks[pair[1]])
        if sign(world.numbers, wide - widest) > 0:
            outer, widest = pair, wide
    line = line_through(marks[outer[0]], marks[outer[1]])
    return Farthest(
        tuple(
            Gap(square_distance(mark, foot(mark, line)), squared=True)
            for place, mark in enumerate(marks)
            if place not in outer
        )
    )


def on_one_circle(world: World, marks: tuple[Point, ...]) -> Statement:
    """Every mark lies on the circle through the first three that are not in line."""
    three = _not_in_line(world, marks)
    if three is None:
        different = _different(world, marks)
        return Statement(other=lambda: different < 3, gap=_no_circle)
    a, b, d = three
    u, v = towards(a, b), towards(a, d)
    turn = cross(u, v)
    zeros = []
    for mark in marks:
        if mark is a or mark is b or mark is d:
            continue
        w = towards(a, mark)
        # the determinant of four marks on one circle, seen from the first
        zeros.append(_square(u) * cross(v, w) - _square(v) * cross(u, w) + _square(w) * turn)
    return Statement(
        zeros=tuple(zeros),
        positives=(turn * turn,),
        gap=lambda: _off_circle(world, marks, three),
    )


def _square(way: tuple[Number, Number]) -> Number:
    return way[0] * way[0] + way[1] * way[1]


def _not_in_line(world: World, marks: tuple[Point, ...]) -> tuple[Point, Point, Point] | None:
    for a, b, d in combinations(marks, 3):
        if sign(world.numbers, cross(towards(a, b), towards(a, d))) != 0:
            return a, b, d
    return None


def _different(world: World, marks: tuple[Point, ...]) -> int:
    found: list[Point] = []
    for mark in marks:
        if all(sign(world.numbers, square_distance(mark, other)) != 0 for other in found):
            found.append(mark)
    return len(found)


def _no_circle() -> Gap:
    raise NoGap(say("no_gap.in_line"))


def _off_circle(world: World, marks: tuple[Point, ...], three: tuple[Point, Point, Point]) -> Farthest:
    a, b, d = three
    u, v = towards(a, b), towards(a, d)
    twice = cross(u, v) * 2
    x = (v[1] * _square(u) - u[1] * _square(v)) / twice
    y = (u[0] * _square(v) - v[0] * _square(u)) / twice
    centre = Point(a.x + x, a.y + y)
    reach = world.numbers.sqrt(x * x + y * y)
    return Farthest(
        tuple(Gap(world.numbers.sqrt(square_distance(mark, centre)) - reach) for mark in marks if all(mark is not one for one in three))
    )


PHRASES = (
    Phrase("<X mark> is on <k line|circle|edge>", on, note="gap: distance to what is drawn"),
    Phrase("<M marks> are in line", in_line, note="gap: distance to the line of the outer two", extra=(("least", 3),)),
    Phrase("<M marks> are on one circle", on_one_circle, note="gap: distance from the circle of the first three",
           extra=(("least", 4), ("sense", "in_line"))),
)  # fmt: skip
