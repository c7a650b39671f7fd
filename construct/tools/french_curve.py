"""The french curve: a smooth curve from mark to mark with the tangents that are asked for.

The one formula: a cubic arc in Bernstein form with controls X, X + ⅓c·s, Y − ⅓c·t, Y,
where c is the distance X Y and s, t are unit directions of leaving and arriving
(Hermite's interpolation with tangents as long as the chord).  It stands in for
the piece of the template that the hand finds; it is drawn, never claimed exact.
"""

from __future__ import annotations

from collections.abc import Sequence

from construct.geometry import (
    Curve,
    Line,
    Point,
    along,
    dot,
    flipped,
    square_distance,
    towards,
)
from construct.language.syntax import Phrase
from construct.number_systems import Number
from construct.tools import Bench

NAME = "french curve"
NOTE = "a curved template, turned until it fits the marks"
PLACING = "french curve between matched marks"
ERRORS = (PLACING,)


def _curve(bench: Bench, x: Point, y: Point, leave: tuple[Number, Number], arrive: tuple[Number, Number]) -> Curve:
    square = square_distance(x, y)
    out = bench.sqrt(square / dot(leave, leave)) / 3
    back = bench.sqrt(square / dot(arrive, arrive)) / 3
    second = bench.placed(along(x, leave, out), PLACING, 1)
    third = bench.placed(along(y, arrive, -back), PLACING, 2)
    return Curve((x, second, third, y))


def _sense(bench: Bench, line: Line, side: int) -> tuple[Number, Number]:
    return line.dx * side, line.dy * side


def along_toward(bench: Bench, x: Point, y: Point, line: Line, to: Point, side: int) -> Curve:
    """Leave along a line, arrive heading for a mark."""
    return _curve(bench, x, y, _sense(bench, line, side), towards(y, to))


def along_along(bench: Bench, x: Point, y: Point, line: Line, last: Line, side: int) -> Curve:
    """Leave along one line, arrive along another in that line's own direction."""
    return _curve(bench, x, y, _sense(bench, line, side), (last.dx, last.dy))


def toward_toward(bench: Bench, x: Point, y: Point, by: Point, to: Point) -> Curve:
    """Leave heading for one mark, arrive heading for another."""
    return _curve(bench, x, y, towards(x, by), towards(y, to))


def toward_along(bench: Bench, x: Point, y: Point, by: Point, last: Line) -> Curve:
    """Leave heading for a mark, arrive along a line in that line's own direction."""
    return _curve(bench, x, y, towards(x, by), (last.dx, last.dy))


def leaves_forward(bench: Bench, made: object, x: Point, y: Point, line: Line, *_: object, side: int) -> Sequence[Number]:
    """Of a line's two senses the one that leads toward the far end is meant."""
    return [dot(towards(x, y), (line.dx, line.dy)) * side]


def mirrored(bench: Bench, curve: Curve, line: Line) -> Curve:
    """Flip the template over a line and draw again."""
    first, second, third, last = (flipped(point, line) for point in curve.controls)
    return Curve((first, bench.placed(second, PLACING, 1), bench.placed(third, PLACING, 2), last))


FORWARD = (("fits", leaves_forward),)
PHRASES = (
    Phrase("curve by french curve from <X mark> to <Y mark>, leaving along <g line>, arriving toward <O mark>",
           along_toward, "curve", sides=1, note="leaves along a line, ends heading for a mark", extra=FORWARD),
    Phrase("curve by french curve from <X mark> to <Y mark>, leaving along <g line>, arriving along <z line>",
           along_along, "curve", sides=1, note="leaves along one line, ends along another", extra=FORWARD),
    Phrase("curve by french curve from <X mark> to <Y mark>, leaving toward <P mark>, arriving toward <O mark>",
           toward_toward, "curve", note="leaves heading for one mark, ends heading for another"),
    Phrase("curve by french curve from <X mark> to <Y mark>, leaving toward <P mark>, arriving along <z line>",
           toward_along, "curve", note="leaves heading for a mark, ends along a line"),
    Phrase("<e curve> flipped over <v line>, by french curve", mirrored, "curve", note="the template turned over a line"),
)  # fmt: skip
