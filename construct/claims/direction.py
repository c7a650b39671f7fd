"""`k is square to g` and `k is parallel to g` (the same line included)."""

from __future__ import annotations

from construct.claims import Statement, World
from construct.claims._turns import half_angle
from construct.geometry import Line, cross, dot
from construct.language.syntax import Phrase

NAME = "direction"
NOTE = "two lines are square or parallel to each other"


def square(world: World, k: Line, g: Line) -> Statement:
    """The lines' directions have scalar product zero."""
    along, across = dot((k.dx, k.dy), (g.dx, g.dy)), cross((k.dx, k.dy), (g.dx, g.dy))
    # the double angle is measured: a right angle either way round reads as half a turn
    return Statement(
        zeros=(along,),
        gap=lambda: half_angle(world.numbers, across * across - along * along, along * across * 2),
    )


def parallel(world: World, k: Line, g: Line) -> Statement:
    """The lines' directions have vector product zero."""
    along, across = dot((k.dx, k.dy), (g.dx, g.dy)), cross((k.dx, k.dy), (g.dx, g.dy))
    return Statement(
        zeros=(across,),
        gap=lambda: half_angle(world.numbers, along * along - across * across, along * across * 2),
    )


PHRASES = (
    Phrase("<k line> is square to <g line>", square, note="gap: the angle", extra=(("within", ("deg",)),)),
    Phrase("<k line> is parallel to <g line>", parallel, note="gap: the angle", extra=(("within", ("deg",)),)),
)
