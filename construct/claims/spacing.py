"""`… are evenly spaced round rim`, `along g`, `make a regular figure`, `make a square`.

One turn round, either way, and the next named is the next met: no star, no
doubling back.  Equal turns from mark to mark that close make some k/n of a
turn each; that k is 1 is a sign, not a guess: the cosine lies between two
rational numbers that keep k = 0 and k = 2 out.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from construct.claims import AnyGap, Farthest, Gap, NoGap, Senseless, Statement, TurnedGap, World, sign, size
from construct.claims._amounts import farthest, is_larger
from construct.claims._drawn import gap_to_drawn
from construct.geometry import (
    Circle,
    Line,
    Point,
    along,
    beyond_ends,
    cross,
    direction,
    dot,
    inside,
    is_constructible,
    left_of,
    radius,
    square_distance,
    towards,
)
from construct.language.syntax import Phrase
from construct.number_systems import LimitMet, Number
from construct.number_systems._angles import cosine
from construct.phrasebook import say

NAME = "spacing"
NOTE = "marks are evenly spaced, or the corners of a regular figure"

MOST_CORNERS = 2000
"""Finer spacings are not worked out exactly."""

_Way = tuple[Number, Number]


def round_rim(world: World, marks: tuple[Point, ...], rim: Circle) -> Statement:
    """The marks lie on the circle and each is one n-th of a turn from the one before; an arc stands for its circle."""
    ways = [towards(rim.centre, mark) for mark in marks]
    zeros, positives = _even_turns(world, ways, rim.square)
    return Statement(
        zeros=(*(inside(mark, rim) for mark in marks), *zeros),
        positives=positives,
        gap=lambda: _off_figure(world, ways, _off_rim(world, marks[0], rim)),
    )


def _off_rim(world: World, mark: Point, rim: Circle) -> Gap:
    # the exact figure begins at the first mark: if that one is off the circle, so is the figure
    off = world.numbers.sqrt(square_distance(mark, rim.centre)) - radius(world.numbers, rim)
    return Gap(size(world.numbers, off))


def regular(world: World, marks: tuple[Point, ...]) -> Statement:
    """Seen from their common middle, the marks are even turns apart and equally far."""
    ways = _from_middle(marks)
    first = dot(ways[0], ways[0])
    zeros, positives = _even_turns(world, ways, first)
    return Statement(
        zeros=(*(dot(way, way) - first for way in ways[1:]), *zeros),
        positives=positives,
        gap=lambda: _off_figure(world, ways, None),
    )


def square(world: World, marks: tuple[Point, ...]) -> Statement:
    """Four marks, named as one goes round, make a regular figure."""
    if len(marks) != 4:
        raise Senseless("four_corners", count=len(marks))
    return regular(world, marks)


def _from_middle(marks: Sequence[Point]) -> list[_Way]:
    count = len(marks)
    x = sum((mark.x for mark in marks[1:]), marks[0].x) / count
    y = sum((mark.y for mark in marks[1:]), marks[0].y) / count
    return [(mark.x - x, mark.y - y) for mark in marks]


def _even_turns(world: World, ways: Sequence[_Way], square: Number) -> tuple[tuple[Number, ...], tuple[Number, ...]]:
    """Return zeros and positives that say: each of `ways`, all of one length, is one n-th of a turn from the last.

    square: that length squared.
    """
    count = len(ways)
    if count > MOST_CORNERS:
        raise LimitMet(say("limit.corners", most=MOST_CORNERS))
    # asked for by name: marks that all fall together are what no figure is made of
    sign(world.numbers, square)
    following = [*ways[1:], ways[0]]
    dots = [dot(one, other) for one, other in zip(ways, following, strict=True)]
    crosses = [cross(one, other) for one, other in zip(ways, following, strict=True)]
    zeros = (*(one - dots[0] for one in dots[1:]), *(one - crosses[0] for one in crosses[1:]))
    # the cosine of k/n of a turn falls with k: halfway to the next k is a wall on either side of k = 1
    walls = [world.numbers.rational(_near_cosine(Fraction(part, 2 * count))) for part in (1, 3) if part <= count]
    positives = [square * walls[0] - dots[0]]
    if len(walls) > 1:
        positives.append(dots[0] - square * walls[1])
    return zeros, tuple(positives)


def _near_cosine(part: Fraction) -> Fraction:
    """Return a rational number within 2^-100 of the cosine: far nearer than any k/n to the wall's place."""
    lower, upper = cosine(part, 128)
    return (lower + upper) / 2


def _off_figure(world: World, ways: Sequence[_Way], besides: Gap | None) -> AnyGap:
    """Return the largest distance of a corner from the exact figure with the same middle and first corner.

    Of the two ways round the better one counts.
    """
    numbers = world.numbers
    if all(sign(numbers, cross(ways[0], way)) == 0 and sign(numbers, dot(ways[0], way)) >= 0 for way in ways[1:]) and (
        all(sign(numbers, dot(way, way) - dot(ways[0], ways[0])) == 0 for way in ways[1:])
    ):
        raise NoGap(say("no_gap.one_mark"))
    count = len(ways)
    worst = []
    for round_way in (1, -1):
        corners = [_corner(world, ways[0], ways[k], Fraction(k, count), round_way) for k in range(1, count)]
        worst.append(farthest(numbers, Farthest(tuple(corners))))
    best = worst[1] if is_larger(numbers, worst[0], worst[1]) else worst[0]
    return Farthest((best,) if besides is None else (best, besides))


def _corner(world: World, first: _Way, way: _Way, part: Fraction, round_way: int) -> Gap | TurnedGap:
    """Return the distance of one corner from where the first one, turned, would be."""
    if is_constructible(part):
        c, s = direction(world.numbers, part)
        s = s * round_way
        dx = way[0] - (first[0] * c - first[1] * s)
        dy = way[1] - (first[0] * s + first[1] * c)
        return Gap(dx * dx + dy * dy, squared=True)
    plain = dot(way, way) + dot(first, first)
    return TurnedGap(plain, dot(first, way), cross(first, way) * round_way, part)


def along_line(world: World, marks: tuple[Point, ...], line: Line) -> Statement:
    """The marks lie on the line, none beyond its ends, and all steps from mark to mark are the same."""
    steps = [towards(one, other) for one, other in pairwise(marks)]
    first = steps[0]
    zeros = [left_of(mark, line) for mark in marks]
    for step in steps[1:]:
        zeros += [step[0] - first[0], step[1] - first[1]]
    return Statement(
        zeros=tuple(zeros),
        positives=(dot(first, first),),
        not_negatives=tuple(number for mark in marks for number in beyond_ends(mark, line)),
        gap=lambda: _off_row(world, marks, line),
    )


def _off_row(world: World, marks: tuple[Point, ...], line: Line) -> AnyGap:
    """Return the largest distance of a mark from even steps between the outer two, or from the line."""
    numbers = world.numbers
    first, last, count = marks[0], marks[-1], len(marks) - 1
    way = towards(first, last)
    gaps = [gap_to_drawn(numbers, mark, line) for mark in marks]
    for place, mark in enumerate(marks[1:-1], 1):
        true = along(first, way, numbers.rational(Fraction(place, count)))
        gaps.append(Gap(square_distance(mark, true), squared=True))
    if all(sign(numbers, gap.value) == 0 for gap in gaps):
        raise NoGap(say("no_gap.one_mark"))
    return Farthest(tuple(gaps))


_FIGURE = "gap: largest distance of a corner from the best exact figure with the same centre and first corner"
_SENSE = ("sense", "together")
PHRASES = (
    Phrase("<M marks> are evenly spaced round <rim circle>", round_rim, note=_FIGURE, extra=(("least", 2), _SENSE)),
    Phrase("<M marks> are evenly spaced along <g line>", along_line,
           note="gap: largest distance of a mark from even steps between the outer two", extra=(("least", 3),)),
    Phrase("<M marks> make a regular figure", regular, note=_FIGURE, extra=(("least", 3), _SENSE)),
    Phrase("<M marks> make a square", square, note=_FIGURE, extra=(_SENSE,)),
)  # fmt: skip
