"""The centre finder: a V whose two legs touch the plate's edge, and a blade that halves the V.

The line comes from the two contacts on the edge that is there, round or oval;
that it passes the centre of a round plate is a result, never put in.  For a
closed edge with support function h the legs lie on n·X = h(n), so the bisector
of the V is (n₁ − n₂)·X = h(n₁) − h(n₂).
"""

from __future__ import annotations

from fractions import Fraction

from construct.geometry import Circle, Line, Oval, direction
from construct.language.syntax import Phrase
from construct.number_systems import NotANumber, Number
from construct.phrasebook import say
from construct.tools import Bench, clockwise

NAME = "centre finder"
NOTE = "a V held against the edge, and a blade that halves the V"
SIDEWAYS = "centre finder sideways"
ANGLE = "centre finder angle"
ERRORS = (SIDEWAYS, ANGLE)


def _line(bench: Bench, u: tuple[Number, Number]) -> Line:
    """Return the blade's line; `u` is the unit direction from the V's corner into the plate."""
    cosine, sine = direction(bench.number, bench.settings.finder_angle / 2)
    left = -u[1], u[0]
    legs = []
    for side in (1, -1):
        # outward normal of a leg: the direction of the blade turned by 90 deg and half the V
        normal = left[0] * cosine * side - u[0] * sine, left[1] * cosine * side - u[1] * sine
        legs.append(_support(bench, normal))
    off = (legs[0] - legs[1]) / (cosine * 2) + bench.rational(bench.settings.finder_offset)
    if bench.number.has_errors:
        off = off + bench.error(SIDEWAYS)
        turn = bench.error(ANGLE)
        return Line(left[0] * off, left[1] * off, u[0] + left[0] * turn, u[1] + left[1] * turn)
    return Line(left[0] * off, left[1] * off, u[0], u[1])


def _support(bench: Bench, normal: tuple[Number, Number]) -> Number:
    """Return how far out a straight leg with this unit normal touches the edge, in mm."""
    edge = bench.edge
    x, y = normal
    if isinstance(edge, Circle):
        return edge.centre.x * x + edge.centre.y * y + bench.sqrt(edge.square * (x * x + y * y))
    if isinstance(edge, Oval):
        return bench.sqrt(edge.across * edge.across * x * x + edge.along * edge.along * y * y)
    raise NotANumber(say("no_number.finder_edge"))


def along_grain(bench: Bench) -> Line:
    """The blade lies along the grain, the V at the lower edge."""
    return _line(bench, (bench.rational(0), bench.rational(1)))


def across_grain(bench: Bench) -> Line:
    """The blade lies across the grain, the V at the left edge."""
    return _line(bench, (bench.rational(1), bench.rational(0)))


def at_angle(bench: Bench, turns: Fraction) -> Line:
    """The blade lies along the grain turned clockwise by an angle."""
    return _line(bench, clockwise((bench.rational(0), bench.rational(1)), direction(bench.number, turns)))


def anywhere(bench: Bench, towards: Line | None = None) -> Line:
    """The V is hooked on the edge wherever the hand likes."""
    way = (bench.rational(0), bench.rational(1)) if towards is None else (towards.dx, towards.dy)
    if towards is not None:
        scale = bench.sqrt(way[0] * way[0] + way[1] * way[1])
        way = way[0] / scale, way[1] / scale
    return _line(bench, clockwise(way, bench.free_direction()))


PHRASES = (
    Phrase("line by centre finder, along the grain", along_grain, "line", note="V at the lower edge, draw up the blade"),
    Phrase("line by centre finder, across the grain", across_grain, "line", note="V at the left edge, draw along the blade"),
    Phrase("line by centre finder, at <a angle> to the grain", at_angle, "line", note="the grain turned clockwise by the angle"),
    Phrase(
        "line by centre finder, anywhere<say>",
        anywhere,
        "line",
        note="hooked on the edge anywhere",
        extra=(("free", "direction"), ("default", Fraction(1, 12))),
    ),
)
