"""`O is the centre of the plate` and `O is the centre of rim`."""

from __future__ import annotations

from construct.claims import Gap, Senseless, Statement, World
from construct.geometry import Circle, Point, square_distance
from construct.language.syntax import Phrase

NAME = "centre"
NOTE = "a mark is the middle of the blank or of a circle"


def of_plate(world: World, mark: Point) -> Statement:
    """The mark is the blank's true middle, which no tool may use: for a board, where its diagonals cross."""
    if world.edge is None:
        raise Senseless("no_centre")
    return Statement(
        zeros=(mark.x, mark.y),
        gap=lambda: Gap(mark.x * mark.x + mark.y * mark.y, squared=True),
    )


def of_circle(world: World, mark: Point, rim: Circle) -> Statement:
    """The mark and the circle's middle are one; an arc's middle is its circle's."""
    return Statement(
        zeros=(mark.x - rim.centre.x, mark.y - rim.centre.y),
        gap=lambda: Gap(square_distance(mark, rim.centre), squared=True),
    )


PHRASES = (
    Phrase("<O mark> is the centre of the plate", of_plate, note="gap: distance to the middle"),
    Phrase("<O mark> is the centre of <rim circle>", of_circle, note="gap: distance to the circle's middle"),
)
