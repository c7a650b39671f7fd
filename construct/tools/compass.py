"""The compass: circles and arcs about a mark, at a setting that it keeps.

Its errors: the point is put a little off its mark; each way of setting it has
an error of its own (see also `opening.py`).  A compass left set keeps one and
the same error, because the setting is made once and used by value.
"""

from __future__ import annotations

from collections.abc import Sequence

from construct.geometry import (
    Board,
    Circle,
    Line,
    Opening,
    Point,
    along,
    beyond_ends,
    cross,
    distance,
    foot,
    inside,
    meet,
    radius,
    square_distance,
    towards,
)
from construct.language.syntax import Phrase
from construct.number_systems import NotANumber, Number
from construct.phrasebook import say
from construct.tools import Bench, Limit, limit

NAME = "compass"
NOTE = "a needle and a pencil at a set opening"
POINT = "compass point at a mark"
TO_MARKS = "compass set to two marks"
MARK = "mark by ruler"
CLASS = "ruler within its class"
ERRORS = (POINT, TO_MARKS, MARK, CLASS)


def at_setting(bench: Bench, centre: Point, setting: Opening | Circle) -> Circle:
    """Swing the setting about a mark."""
    return Circle(bench.placed(centre, POINT), setting.square, setting.radius)


def through(bench: Bench, centre: Point, point: Point) -> Circle:
    """Put the needle in one mark and open to the other."""
    reached = bench.placed(point, TO_MARKS)
    return Circle(bench.placed(centre, POINT), square_distance(centre, reached))


def inside_edge(bench: Bench, centre: Point, margin: Number, line: Line) -> Circle:
    """Set a mark in from the edge along the first drawn line through the centre, and open to it.

    The line's own forward end is taken; elsewhere on an oval or off-centre plate the margin differs.
    """
    if isinstance(bench.edge, Board):
        raise NotANumber(say("no_number.board_edge"))
    assert bench.edge is not None
    end = meet(bench.number, line, bench.edge, 1)
    out = distance(bench.number, centre, end)
    reach = out - margin
    if bench.number.has_errors:
        # a margin that the ruler makes too wide leaves less
        reach = reach + bench.error(MARK) - bench.throughout(CLASS) + bench.error(TO_MARKS)
    return Circle(bench.placed(centre, POINT), reach * reach, reach)


def touching(bench: Bench, centre: Point, other: Circle | Line) -> Circle:
    """Open until the pencil just touches: the nearest contact."""
    return _touch(bench, centre, other, 1)


def touching_from_outside(bench: Bench, centre: Point, other: Circle) -> Circle:
    """Open until the two circles touch with neither inside the other."""
    return _touch(bench, centre, other, 1)


def touching_from_inside(bench: Bench, centre: Point, other: Circle, side: int) -> Circle:
    """Open until one of the two circles touches the other from inside it.

    About a mark inside the other circle that is the near contact; about a mark outside it, the
    far one, and the other circle ends up inside.
    """
    return _touch(bench, centre, other, side)


def the_inner_one(bench: Bench, made: Circle, centre: Point, other: Circle, *, side: int) -> Sequence[Number]:
    """Near contact for a mark inside, far contact for a mark outside."""
    return [inside(centre, other) * side]


def lies_outside(bench: Bench, made: Circle, centre: Point, other: Circle) -> Sequence[tuple[Number, Limit]]:
    """Only about a mark outside can a circle touch from outside."""
    return [(-inside(centre, other), limit("inside_circle")), *touches_what_is_drawn(bench, made, centre, other)]


def touches_what_is_drawn(bench: Bench, made: Circle, centre: Point, other: Circle | Line, *_: object) -> Sequence[tuple[Number, Limit]]:
    """The contact must not lie beyond where the other one ends; about a circle's own centre there is none."""
    if isinstance(other, Line):
        contact = foot(centre, other)
    else:
        # where two circles touch, the power of either centre's way is split at the common chord
        way = towards(centre, other.centre)
        length = way[0] * way[0] + way[1] * way[1]
        contact = along(centre, way, (length + made.square - other.square) / (length * 2))
    return [*((number, limit("touch_end")) for number in beyond_ends(contact, other)), *within_reach(bench, made)]


def _touch(bench: Bench, centre: Point, other: Circle | Line, way: int) -> Circle:
    """Return the circle about `centre` touching `other`; `way` +1 the near contact, -1 the far one."""
    needle = bench.placed(centre, POINT)
    if isinstance(other, Line):
        square = square_distance(centre, foot(centre, other))
        if not bench.number.has_errors:
            return Circle(needle, square)
        reach = bench.sqrt(square) + bench.error(TO_MARKS)
        return Circle(needle, reach * reach, reach)
    reach = distance(bench.number, centre, other.centre) - radius(bench.number, other) * way
    if bench.number.has_errors:
        reach = reach + bench.error(TO_MARKS)
    return Circle(needle, reach * reach)


def arc_between(bench: Bench, centre: Point, start: Point, finish: Point) -> Circle:
    """Put the needle in a mark and draw from one mark to another, the short way."""
    reached = bench.placed(start, TO_MARKS)
    return Circle(bench.placed(centre, POINT), square_distance(centre, reached), None, start, finish, 1)


def arc_the_long_way(bench: Bench, centre: Point, start: Point, finish: Point) -> Circle:
    """The same, the long way round."""
    reached = bench.placed(start, TO_MARKS)
    return Circle(bench.placed(centre, POINT), square_distance(centre, reached), None, start, finish, -1)


def within_reach(bench: Bench, made: Circle, *_: object) -> Sequence[tuple[Number, Limit]]:
    """The compass opens only so far."""
    reach = bench.rational(bench.settings.compass_reach)
    return [(reach * reach - made.square, limit("compass", reach=bench.settings.compass_reach))]


def reaches_inside(bench: Bench, made: Circle, centre: Point, margin: Number, line: Line) -> Sequence[tuple[Number, Limit]]:
    """The margin must leave a circle, and the mark a place on the plate."""
    assert made.radius is not None
    limits = [
        (margin, limit("margin")),
        (made.radius, limit("margin_left")),
    ]
    if isinstance(bench.edge, Circle):
        limits.append((inside(centre, bench.edge), limit("margin_centre")))
    return [*limits, *within_reach(bench, made)]


def both_ends_at_one_opening(bench: Bench, made: Circle, centre: Point, start: Point, finish: Point) -> Sequence[tuple[Number, Limit]]:
    """An arc from one mark to another needs both equally far from the needle."""
    difference = square_distance(centre, start) - square_distance(centre, finish)
    return [(difference, limit("arc_ends")), (-difference, limit("arc_ends")), *within_reach(bench, made)]


def not_half_a_turn(bench: Bench, made: Circle, centre: Point, start: Point, finish: Point) -> Sequence[tuple[Number, Limit]]:
    """Between the two ends of a diameter neither way round is the short one."""
    return [(cross(towards(start, finish), towards(start, centre)), limit("half_turn"))]


def _phrases() -> tuple[Phrase, ...]:
    opens = ("opens", True)
    half = ("apart", not_half_a_turn)
    made = []
    for word in ("circle", "arc"):
        made += [
            Phrase(f"{word} about <O mark>, through <A mark>", through, "circle",
                   note="opened from the needle's mark to the other", extra=(opens, ("limits", within_reach))),
            Phrase(f"{word} about <O mark>, <setting>", at_setting, "circle",
                   note="swung at a setting", extra=(("limits", within_reach),)),
        ]  # fmt: skip
    made += [
        Phrase("circle about <O mark>, <w length> inside the edge", inside_edge, "circle",
               note="a mark is set in from the edge on the first line through the centre, and the compass opened to it",
               extra=(opens, ("line", "first through the centre"), ("limits", reaches_inside))),
        Phrase("circle about <D mark>, touching <a line|circle>", touching, "circle",
               note="opened until the pencil just touches", extra=(opens, ("touches", True), ("limits", touches_what_is_drawn))),
        Phrase("circle about <D mark>, touching <a circle>, from outside", touching_from_outside, "circle",
               note="neither circle inside the other", extra=(opens, ("touches", True), ("limits", lies_outside))),
        Phrase("circle about <D mark>, touching <a circle>, from inside", touching_from_inside, "circle", sides=1,
               note="one circle inside the other",
               extra=(opens, ("touches", True), ("fits", the_inner_one), ("limits", touches_what_is_drawn))),
        Phrase("arc about <B mark>, from <O mark> to <A mark>", arc_between, "circle",
               note="ends at both marks, the short way", extra=(opens, ("limits", both_ends_at_one_opening), half)),
        Phrase("arc about <B mark>, from <O mark> to <A mark>, the long way", arc_the_long_way, "circle",
               note="ends at both marks, the long way round", extra=(opens, ("limits", both_ends_at_one_opening), half)),
    ]  # fmt: skip
    return tuple(made)


PHRASES = _phrases()
