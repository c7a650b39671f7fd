"""`A B equals D E`, `is 3/4 of`, `is 96 mm`, `together equal`, `times … equals … times`.

All are decided on squared distances, without a root: a = b + c as
(a² − b² − c²)² = 4·b²·c² where a² − b² − c² ≥ 0, since lengths are not negative.
"""

from __future__ import annotations

from construct.claims import Gap, PiGap, Senseless, Statement, World, holds_pi, ratio_value, sign
from construct.geometry import Point, distance, square_distance
from construct.language.syntax import Phrase, Ratio
from construct.number_systems import Number

NAME = "lengths"
NOTE = "distances of marks are equal, a part of each other, or of a size"


def equals(world: World, a: Point, b: Point, d: Point, e: Point) -> Statement:
    """The two distances are equal."""
    numbers = world.numbers
    return Statement(
        zeros=(square_distance(a, b) - square_distance(d, e),),
        gap=lambda: Gap(distance(numbers, a, b) - distance(numbers, d, e)),
        right=lambda: distance(numbers, d, e),
    )


def is_part(world: World, a: Point, b: Point, ratio: Ratio, d: Point, e: Point) -> Statement:
    """The first distance is so many times the second."""
    numbers = world.numbers
    if holds_pi(ratio):
        return Statement(
            other=lambda: None,
            gap=lambda: PiGap(distance(numbers, a, b), ratio, distance(numbers, d, e)),
            only_within="only_within",
        )
    times = ratio_value(numbers, ratio)
    if sign(numbers, times) < 0:
        raise Senseless("length_below_nothing")
    return Statement(
        zeros=(square_distance(a, b) - square_distance(d, e) * times * times,),
        gap=lambda: Gap(distance(numbers, a, b) - distance(numbers, d, e) * times),
        right=lambda: distance(numbers, d, e) * times,
    )


def is_long(world: World, a: Point, b: Point, length: Number) -> Statement:
    """The distance is a length in mm."""
    return Statement(
        zeros=(square_distance(a, b) - length * length,),
        gap=lambda: Gap(distance(world.numbers, a, b) - length),
        right=lambda: length,
    )


def together(world: World, a: Point, b: Point, d: Point, e: Point, f: Point, g: Point) -> Statement:
    """The first two distances, laid end to end, make the third."""
    numbers = world.numbers
    one, other, whole = square_distance(a, b), square_distance(d, e), square_distance(f, g)
    twice = whole - one - other
    return Statement(
        zeros=(twice * twice - one * other * 4,),
        not_negatives=(twice,),
        gap=lambda: Gap(distance(numbers, a, b) + distance(numbers, d, e) - distance(numbers, f, g)),
        right=lambda: distance(numbers, f, g),
    )


def products(
    world: World, a: Point, b: Point, d: Point, e: Point, f: Point, g: Point, h: Point, i: Point
) -> Statement:
    """The rectangle of the first two distances equals that of the other two."""
    numbers = world.numbers
    left, right = square_distance(a, b) * square_distance(d, e), square_distance(f, g) * square_distance(h, i)
    return Statement(
        zeros=(left - right,),
        gap=lambda: Gap(numbers.sqrt(left) - numbers.sqrt(right), "mm2"),
        right=lambda: numbers.sqrt(right),
    )


_LENGTH = ("within", ("mm", "part"))
PHRASES = (
    Phrase("<A mark> <B mark> equals <D mark> <E mark>", equals, note="gap: left less right", extra=(_LENGTH,)),
    Phrase("<A mark> <B mark> is <r ratio> of <D mark> <E mark>", is_part, note="gap: left less right", extra=(_LENGTH,)),
    Phrase("<A mark> <B mark> is <w measure>", is_long, note="gap: left less right", extra=(_LENGTH,)),
    Phrase("<A mark> <B mark> and <D mark> <E mark> together equal <F mark> <G mark>", together,
           note="gap: left less right", extra=(_LENGTH,)),
    Phrase("<A mark> <B mark> times <D mark> <E mark> equals <F mark> <G mark> times <H mark> <I mark>", products,
           note="gap: left less right, in mm²", extra=(("within", ("part",)),)),
)  # fmt: skip
