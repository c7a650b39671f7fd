"""`M is halfway between A and B`."""

from __future__ import annotations

from construct.claims import Gap, Statement, World
from construct.geometry import Point, middle, square_distance
from construct.language.syntax import Phrase

NAME = "halfway"
NOTE = "a mark is the middle of two others"


def halfway(world: World, mark: Point, a: Point, b: Point) -> Statement:
    """The mark and the true middle are one."""
    true = middle(a, b)
    return Statement(
        zeros=(mark.x - true.x, mark.y - true.y),
        gap=lambda: Gap(square_distance(mark, true), squared=True),
    )


PHRASES = (Phrase("<M mark> is halfway between <A mark> and <B mark>", halfway, note="gap: distance to the middle"),)
