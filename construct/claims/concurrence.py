"""`k, l, m meet in one mark`: three or more lines have one crossing, and reach it."""

from __future__ import annotations

from itertools import combinations

from construct.claims import AnyGap, Farthest, NoGap, Statement, World, sign
from construct.claims._drawn import gap_to_drawn
from construct.geometry import Line, beyond_ends, cross, left_of, meet
from construct.language.syntax import Phrase
from construct.phrasebook import say

NAME = "concurrence"
NOTE = "lines meet in one mark"


def meet_in_one(world: World, lines: tuple[Line, ...]) -> Statement:
    """All the others pass through the crossing of the first two that are not parallel.

    Parallel lines make every determinant of three lines zero, so two that cross are asked for.
    """
    numbers = world.numbers
    pair = next(
        (pair for pair in combinations(lines, 2) if sign(numbers, cross(_way(pair[0]), _way(pair[1]))) != 0), None
    )
    if pair is None:
        return Statement(positives=(numbers.rational(0),), gap=_never)
    crossing = meet(numbers, *pair, 0)
    turn = cross(_way(pair[0]), _way(pair[1]))
    return Statement(
        zeros=tuple(left_of(crossing, line) for line in lines if line is not pair[0] and line is not pair[1]),
        positives=(turn * turn,),
        not_negatives=tuple(number for line in lines for number in beyond_ends(crossing, line)),
        gap=lambda: Farthest(tuple(gap_to_drawn(numbers, crossing, line) for line in lines)),
    )


def _way(line: Line) -> tuple[object, object]:
    return line.dx, line.dy


def _never() -> AnyGap:
    raise NoGap(say("no_gap.parallel"))


PHRASES = (
    Phrase("<M lines> meet in one mark", meet_in_one, note="gap: distance of the third line from the crossing of the first two",
           extra=(("least", 3), ("sense", "cross"))),
)  # fmt: skip
