"""`A B is longer than D E` and `A B is shorter than D E`: strictly so."""

from __future__ import annotations

from construct.claims import Gap, Statement, World
from construct.geometry import Point, distance, square_distance
from construct.language.syntax import Phrase

NAME = "comparisons"
NOTE = "one distance is longer or shorter than another"


def longer(world: World, a: Point, b: Point, d: Point, e: Point) -> Statement:
    """The first distance is more than the second, decided on their squares."""
    return Statement(
        positives=(square_distance(a, b) - square_distance(d, e),),
        gap=lambda: Gap(distance(world.numbers, d, e) - distance(world.numbers, a, b)),
        right=lambda: distance(world.numbers, d, e),
    )


def shorter(world: World, a: Point, b: Point, d: Point, e: Point) -> Statement:
    """The first distance is less than the second, decided on their squares."""
    return Statement(
        positives=(square_distance(d, e) - square_distance(a, b),),
        gap=lambda: Gap(distance(world.numbers, a, b) - distance(world.numbers, d, e)),
        right=lambda: distance(world.numbers, d, e),
    )


_LENGTH = ("within", ("mm", "part"))
PHRASES = (
    Phrase("<A mark> <B mark> is longer than <D mark> <E mark>", longer, note="gap: by how much not", extra=(_LENGTH,)),
    Phrase("<A mark> <B mark> is shorter than <D mark> <E mark>", shorter, note="gap: by how much not", extra=(_LENGTH,)),
)
