"""`X is Y`: two marks, two lines or two circles are one and the same.

Lines are compared without their ends and whichever way they run, arcs as the
circles they belong to.
"""

from __future__ import annotations

from construct.claims import AnyGap, Farthest, Gap, Senseless, Statement, World, sign
from construct.claims._turns import half_angle
from construct.geometry import Circle, Line, Point, cross, dot, left_of, radius, square_distance
from construct.language.syntax import Phrase

NAME = "identity"
NOTE = "two marks, lines or circles are the same"


def same(world: World, one: Point | Line | Circle, other: Point | Line | Circle) -> Statement:
    """Both are of one kind, and nothing tells them apart."""
    if isinstance(one, Point) and isinstance(other, Point):
        return Statement(
            zeros=(one.x - other.x, one.y - other.y),
            gap=lambda: Gap(square_distance(one, other), squared=True),
        )
    if isinstance(one, Line) and isinstance(other, Line):
        return Statement(
            zeros=(cross((one.dx, one.dy), (other.dx, other.dy)), left_of(Point(one.x, one.y), other)),
            gap=lambda: _lines_apart(world, one, other),
        )
    if isinstance(one, Circle) and isinstance(other, Circle):
        centres = square_distance(one.centre, other.centre)
        return Statement(
            zeros=(one.centre.x - other.centre.x, one.centre.y - other.centre.y, one.square - other.square),
            gap=lambda: Farthest(
                (Gap(centres, squared=True), Gap(radius(world.numbers, one) - radius(world.numbers, other)))
            ),
        )
    raise Senseless("two_kinds")


def _lines_apart(world: World, one: Line, other: Line) -> AnyGap:
    """Return the angle of two lines, or how far apart they run side by side."""
    along, across = dot((one.dx, one.dy), (other.dx, other.dy)), cross((one.dx, one.dy), (other.dx, other.dy))
    if sign(world.numbers, across) != 0:
        return half_angle(world.numbers, along * along - across * across, along * across * 2)
    off = left_of(Point(one.x, one.y), other)
    return Gap(off * off / dot((other.dx, other.dy), (other.dx, other.dy)), squared=True)


PHRASES = (
    Phrase("<X mark|line|circle> is <Y mark|line|circle>", same,
           note="gap: distance (of lines that cross, the angle)", extra=(("within", ("mm", "deg")),)),
)  # fmt: skip
