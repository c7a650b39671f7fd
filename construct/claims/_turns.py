"""The sign of an angle gap, decided for certain: by enclosures, and at zero by exact numbers.

An angle is compared by rising enclosures; where they do not leave zero, whether
it *is* zero is asked of the product of the directions as complex numbers.
Nothing is ever rounded into an answer.
"""

from __future__ import annotations

from fractions import Fraction
from math import lcm
from typing import Any

from construct.claims import AngleGap, Part, size
from construct.geometry import direction, is_constructible
from construct.number_systems import LimitMet, Number
from construct.number_systems._angles import is_conjugate_cosine, turns
from construct.phrasebook import say

FIRST_BITS = 128
LAST_BITS = 1 << 14
MOST_FACTORS = 96
"""How many directions a product may have: more would only be asked for a ratio like 97/96."""


def angle_bounds(exact: Any, gap: AngleGap, bits: int) -> tuple[Fraction, Fraction]:
    """Return (lower, upper) around an angle gap, in turns (*enclosure*)."""
    lower = upper = gap.turns
    for part in gap.parts:
        ends = [end * part.times for end in turns(exact, part.x, part.y, bits)]
        lower, upper = lower + min(ends), upper + max(ends)
    return lower, upper


def angle_sign(exact: Any, gap: AngleGap, less: Fraction = Fraction(0)) -> int:
    """Return the sign of the gap less `less` turns: *exact*; `LimitMet` where it is too much to settle."""
    bits = FIRST_BITS
    asked = False
    while bits <= LAST_BITS:
        lower, upper = angle_bounds(exact, gap, bits)
        if lower > less:
            return 1
        if upper < less:
            return -1
        if lower == upper == less:
            return 0
        if bits >= 4 * FIRST_BITS and not asked:
            asked = True
            if _is_whole(exact, gap, less):
                # the gap, times the parts' common denominator, is a whole number of turns, and it is about 0
                return 0
        bits *= 2
    raise LimitMet(say("limit.two_angles"))


def half_angle(numbers: Any, x: Number, y: Number) -> AngleGap:
    """Return half of the angle from +x to (x, y), as a size: how far two lines are off, whichever way they run."""
    return AngleGap((Part(Fraction(1, 2), x, size(numbers, y)),))


def whole(gap: AngleGap) -> int:
    """Return the number that makes every part of the gap a whole multiple."""
    return lcm(1, *(part.times.denominator for part in gap.parts))


def product(exact: Any, gap: AngleGap) -> tuple[Number, Number]:
    """Return (x, y) whose direction is the parts' sum, times `whole(gap)`, up to whole turns."""
    x, y = exact.rational(1), exact.rational(0)
    times = whole(gap)
    if sum(abs(part.times * times) for part in gap.parts) > MOST_FACTORS:
        raise LimitMet(say("limit.many_angles", most=MOST_FACTORS))
    for part in gap.parts:
        count = int(part.times * times)
        step = part.y if count > 0 else -part.y
        for _ in range(abs(count)):
            x, y = x * part.x - y * step, x * step + y * part.x
    return x, y


def is_turn(exact: Any, x: Number, y: Number, part: Fraction) -> bool:
    """Tell whether (x, y) points along `part` of a turn, whole turns apart: *exact*.

    For a part that no construction gives no root is adjoined: the cosine of the double angle is put
    into the minimal polynomial of its cosine, and an enclosure tells the angle from its conjugates.
    """
    part %= 1
    if is_constructible(part):
        cosine, sine = direction(exact, part)
        return exact.sign(y * cosine - x * sine) == 0 and exact.sign(x * cosine + y * sine) > 0
    square = x * x
    n = (2 * part % 1).denominator
    if not is_conjugate_cosine(exact, (square * 2) / (square + y * y) - 1, n):
        return False
    # the angle is some j/(2n) of a turn: an enclosure narrower than half of that tells which
    bits = FIRST_BITS + n.bit_length()
    lower, upper = turns(exact, x, y, bits)
    near = (lower + upper) / 2 - part
    return abs(near - round(near)) < Fraction(1, 4 * n)


def _is_whole(exact: Any, gap: AngleGap, less: Fraction) -> bool:
    x, y = product(exact, gap)
    return is_turn(exact, x, y, (less - gap.turns) * whole(gap))
