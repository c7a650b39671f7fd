"""`g and k quarter rim`: both through its centre and reaching it, and square to each other."""

from __future__ import annotations

from dataclasses import replace

from construct.claims import AnyGap, Gap, Statement, World, sign
from construct.claims._turns import half_angle
from construct.geometry import Circle, Line, Point, ahead, cross, dot, foot, inside, left_of, radius, square_distance
from construct.language.syntax import Phrase
from construct.number_systems import Number

NAME = "quarters"
NOTE = "two lines part a circle into four equal quarters"


def quarter(world: World, g: Line, k: Line, rim: Circle) -> Statement:
    """Both lines pass through the centre and reach the circle both ways, at right angles; an arc stands for its circle."""
    reaches: list[Number] = []
    for line in (g, k):
        for end, side in ((line.start, 1), (line.finish, -1)):
            if end is not None:
                reaches += [-inside(end, rim), ahead(rim.centre, line, end) * side]
    return Statement(
        zeros=(left_of(rim.centre, g), left_of(rim.centre, k), dot((g.dx, g.dy), (k.dx, k.dy))),
        not_negatives=tuple(reaches),
        gap=lambda: _worst(world, g, k, rim),
    )


def _worst(world: World, g: Line, k: Line, rim: Circle) -> AnyGap:
    """Return the worst part: a line off the centre, an end short of the circle, or the angle.

    They are compared in mm; the angle by how far it leads off the true line at the circle.
    """
    numbers = world.numbers
    parts = [Gap(square_distance(rim.centre, foot(rim.centre, line)), squared=True) for line in (g, k)]
    for line in (g, k):
        for end, side in ((line.start, 1), (line.finish, -1)):
            short = None if end is None else _short(world, line, rim, end, side)
            if short is not None:
                parts.append(short)
    worst = parts[0]
    for part in parts[1:]:
        if sign(numbers, part.value - worst.value) > 0:
            worst = part
    along, across = dot((g.dx, g.dy), (k.dx, k.dy)), cross((g.dx, g.dy), (k.dx, k.dy))
    lengths = dot((g.dx, g.dy), (g.dx, g.dy)) * dot((k.dx, k.dy), (k.dx, k.dy))
    off = rim.square * along * along / lengths
    if sign(numbers, off - worst.value) <= 0:
        return worst
    return replace(half_angle(numbers, across * across - along * along, along * across * -2), mm=numbers.sqrt(off))


def _short(world: World, line: Line, rim: Circle, end: Point, side: int) -> Gap | None:
    """Return how far a line ends short of where it should leave the circle; None where it does not."""
    numbers = world.numbers
    past_centre = sign(numbers, ahead(rim.centre, line, end) * side) >= 0
    if past_centre and sign(numbers, inside(end, rim)) <= 0:
        return None
    reach = numbers.sqrt(square_distance(end, rim.centre))
    missing = radius(numbers, rim) - reach if past_centre else radius(numbers, rim) + reach
    return Gap(missing * missing, squared=True)


PHRASES = (
    Phrase("<g line> and <k line> quarter <rim circle>", quarter,
           note="gap: the worst of its parts", extra=(("within", ("mm", "deg")),)),
)  # fmt: skip
