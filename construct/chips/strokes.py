"""A wall → the strokes that cut it: where each starts and ends, which way it runs, and what that does to the fibres.

Written for a right hand: for a left one the walls come mirrored (see `walls`).
All of it is advice; its rules and where they come from are in `cutting_plan`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from construct.chips.walls import QUARTER, TIED, Wall, fibres, to_grain

WITH_DEG = 22.5
"""Up to here a wall runs with the grain: it is nearer to it than to half a right angle."""

ACROSS_DEG = 67.5
"""From here on it runs across; between the two on the slant."""

TRULY_DEG = 5.0
"""A straight wall this near to the grain is as good as parallel to the fibres, and this near to square as good as square: judgement."""

SMALLEST_PART = 1 / 8
"""A part of a wall shorter than this share of it gets no stroke of its own: judgement."""

HAND = -1
"""The way round a chip that a right hand likes: pulled, with the chip to the right of the stroke (clockwise)."""


@dataclass(frozen=True, slots=True)
class Going:
    """One stroke along a wall.

    first, last: the part 0…1 of the wall that it cuts, in the order of the walk.
    way: +1 where it goes with the walk, which keeps the chip to its left; -1 against it.
    lifted: the share of its length on which it goes against the fibres, 0…1.
    rules: keys of the rules that made it so.
    """

    first: float
    last: float
    way: int
    lifted: float
    rules: tuple[str, ...]

    @property
    def start(self) -> float:
        """The part of the wall at which the knife goes in."""
        return self.first if self.way > 0 else self.last

    @property
    def finish(self) -> float:
        """The part at which it comes out."""
        return self.last if self.way > 0 else self.first


@dataclass(slots=True)
class _Stretch:
    """A part of a wall in which the fibres want one way: `way` is +1, -1, or 0 for either; weak where it hardly matters."""

    first: float
    last: float
    way: int
    weak: bool

    @property
    def length(self) -> float:
        return self.last - self.first


def lie(degrees: float) -> str:
    """Return "with", "slant" or "across" for an angle to the grain."""
    return "with" if degrees <= WITH_DEG + TIED else "across" if degrees >= ACROSS_DEG - TIED else "slant"


def goings_of(wall: Wall) -> tuple[Going, ...]:
    """Return the strokes of a wall; together they cut each part of it once."""
    if len(wall.bends) == 1 and wall.bends[0].heading == wall.bends[0].end_heading:
        return _straight(wall)
    stretches = _joined(_stretches(wall), closed=wall.closed)
    if len(stretches) == 1:
        return (_going(wall, stretches[0], ("fibres",)),)
    found = []
    for number, one in enumerate(stretches):
        after = stretches[(number + 1) % len(stretches)] if wall.closed or number + 1 < len(stretches) else None
        before = stretches[number - 1] if wall.closed or number else None
        # in from both ends: this stroke and the one behind its finish run at each other
        ahead = after if one.way > 0 else before
        met = ahead is not None and ahead.way == -one.way
        found.append(_going(wall, one, ("both_ends" if met and wall.sense > 0 else "fibres",)))
    return tuple(found)


def _straight(wall: Wall) -> tuple[Going, ...]:
    heading = wall.bends[0].heading
    if to_grain(heading) <= TRULY_DEG:
        return Going(0.0, 0.5, 1, 0.0, ("both_ends",)), Going(0.5, 1.0, -1, 0.0, ("both_ends",))
    # square across, fibres are severed whichever way the knife goes
    way = 0 if to_grain(heading) >= 90 - TRULY_DEG else fibres(heading)
    return (Going(0.0, 1.0, way or HAND, 0.0, ("fibres" if way else "hand",)),)


def _stretches(wall: Wall) -> list[_Stretch]:
    """Return the wall in parts between the places where it runs straight along or square across the grain."""
    found: list[_Stretch] = []
    for bend in wall.bends:
        turn = bend.end_heading - bend.heading
        places = [0.0, 1.0]
        if turn:
            low, high = sorted((bend.heading, bend.end_heading))
            quarters = range(math.ceil((low + TIED) / QUARTER), math.floor((high - TIED) / QUARTER) + 1)
            places = sorted({0.0, 1.0, *((one * QUARTER - bend.heading) / turn for one in quarters)})
        for a, b in pairwise(places):
            first, last = (bend.first + (bend.last - bend.first) * part for part in (a, b))
            headings = [bend.heading + turn * part for part in (a, (a + b) / 2, b)]
            angles = [to_grain(one) for one in headings]
            weak = min(angles[0], angles[2]) >= ACROSS_DEG - TIED or (not turn and angles[1] <= TRULY_DEG)
            found.append(_Stretch(first, last, fibres(headings[1]), weak))
    return found


def _joined(stretches: list[_Stretch], *, closed: bool) -> list[_Stretch]:
    """Return fewer and longer stretches: a weak or short one goes the way of the longer of its neighbours."""
    _merge(stretches)
    while len(stretches) > 1 and not (closed and len(stretches) <= 4):
        small = [one for one in stretches if one.weak or one.way == 0 or one.length < SMALLEST_PART - TIED]
        if not small:
            break
        one = min(small, key=lambda some: (round(some.length, 9), not some.weak))
        place = stretches.index(one)
        beside = [stretches[near] for near in (place - 1, place + 1) if 0 <= near < len(stretches)]
        other = max(beside, key=lambda some: (not some.weak, round(some.length, 9), some.way == HAND))
        one.way, one.weak = other.way, other.weak
        _merge(stretches)
    if len(stretches) == 1:
        stretches[0].way = stretches[0].way or HAND
    return stretches


def _merge(stretches: list[_Stretch]) -> None:
    """Join neighbours that go the same way, in place."""
    place = 0
    while place + 1 < len(stretches):
        one, two = stretches[place], stretches[place + 1]
        if one.way == two.way:
            stretches[place : place + 2] = [_Stretch(one.first, two.last, one.way, one.weak and two.weak)]
        else:
            place += 1


def _going(wall: Wall, one: _Stretch, rules: tuple[str, ...]) -> Going:
    # across the grain a fibre is severed, not lifted: that is not worth a word
    against = math.fsum(
        part.length
        for part in _stretches(wall)
        if part.way == -one.way and not part.weak and one.first - TIED <= part.first and part.last <= one.last + TIED
    )
    return Going(one.first, one.last, one.way, round(against / one.length, 6), rules)
