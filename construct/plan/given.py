"""What is there before any tool is used: given marks and a board's corners, as phrases that no recipe can write."""

from __future__ import annotations

from fractions import Fraction
from functools import cache

from construct.geometry import Board, Point
from construct.language.syntax import Phrase
from construct.tools import Bench

CORNERS = {"SW": (-1, -1), "SE": (1, -1), "NE": (1, 1), "NW": (-1, 1)}


@cache
def free_phrase() -> Phrase:
    """Return the phrase of a mark given anywhere."""
    return Phrase("given anywhere", lambda bench, _towards: bench.free_place(), "mark", extra=(("free", "place"),))


def fixed_phrase(x: Fraction, y: Fraction) -> Phrase:
    """Return the phrase of a mark given at a place on paper, in mm."""
    return Phrase("given", lambda bench: Point(bench.rational(x), bench.rational(y)), "mark")


def corner_phrase(name: str) -> Phrase:
    """Return the phrase of a board's corner."""
    right, up = CORNERS[name]

    def corner(bench: Bench, board: Board) -> Point:
        return Point(board.across * right, board.along * up)

    return Phrase("corner of the board", corner, "mark")
