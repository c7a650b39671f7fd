"""Which chips are cut as one piece of work: points in one mark, rows round the plate, single chips.

What a rosette and a row are is judgement; a row's chips are exactly alike.  Places
are *estimates*, seen as a right hand sees them (see `walls`).
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from construct.chips import Chip
from construct.chips.walls import Spot, Wall, walls_of

ROW = 6
"""So many alike chips round the plate are a row, cut in turns: judgement."""

ROSETTE = 3
"""So many points in one mark are a rosette."""

POINT_DEG = 90.0
"""A corner up to here is a point that can break off where it meets others: judgement."""


@dataclass(frozen=True, slots=True)
class Round:
    """Chips that are cut as one piece of work.

    kind: "rosette" (points in one mark), "row" (alike round the plate, wall by wall) or "chip".
    chips: their numbers in the order of cutting.
    """

    kind: str
    chips: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Layout:
    """Walls, middles and corners of all chips, by the chips' numbers.

    middles: a place in the middle of each chip's walls, in mm.
    corners: for each chip its inner angles in deg by the corner's place; several where its walls come there more than once.
    meetings: the marks in which points of at least `ROSETTE` chips meet, with the chips.
    """

    walls: dict[int, tuple[Wall, ...]]
    middles: dict[int, Spot]
    corners: dict[int, dict[Spot, list[float]]]
    meetings: dict[Spot, list[int]]

    def clockwise(self, chips: Sequence[int], centre: Spot) -> tuple[int, ...]:
        """Return chips in clockwise order round a place, from the way the grain points on."""
        return tuple(sorted(chips, key=lambda number: clock_angle(centre, self.middles[number])))

    def slot(self, wall: Wall) -> tuple[float, float]:
        """Return where a wall lies in its chip, seen from the plate's middle: outwards, and clockwise, in mm."""
        x, y = self.middles[wall.chip]
        out = math.hypot(x, y) or 1.0
        wx, wy = wall.middle[0] - x, wall.middle[1] - y
        return round((wx * x + wy * y) / out, 3) + 0.0, round((wx * y - wy * x) / out, 3) + 0.0


def lay_out(exact: Any, chips: Sequence[Chip], *, mirrored: bool) -> Layout:
    """Return what a hand sees of the chips; mirrored for a left one."""
    walls = walls_of(exact, chips, mirrored=mirrored)
    corners = {number: _corners(some) for number, some in walls.items()}
    return Layout(walls, {number: _middle(some) for number, some in walls.items()}, corners, _meetings(corners))


def find_rounds(layout: Layout, alike: Sequence[Sequence[int]]) -> list[Round]:
    """Return all chips in rounds, in no order; alike: numbers of chips that are alike, by group."""
    found: list[Round] = []
    free = set(layout.walls)
    for centre, chips in sorted(layout.meetings.items(), key=lambda one: (-len(one[1]), *outwards(one[0]))):
        mine = [number for number in chips if number in free]
        if len(mine) >= ROSETTE:
            found.append(Round("rosette", layout.clockwise(mine, centre)))
            free -= set(mine)
    for group in alike:
        rows: dict[Any, list[int]] = defaultdict(list)
        for number in group:
            if number in free:
                # a turn about the plate's middle carries the chips of a row onto each other
                reach = round(math.hypot(*layout.middles[number]), 3)
                rows[reach, tuple(sorted(layout.slot(wall) for wall in layout.walls[number]))].append(number)
        for row in rows.values():
            if len(row) >= ROW:
                found.append(Round("row", layout.clockwise(row, (0.0, 0.0))))
                free -= set(row)
    return found + [Round("chip", (number,)) for number in sorted(free)]


def _meetings(corners: dict[int, dict[Spot, list[float]]]) -> dict[Spot, list[int]]:
    """What comes to a mark more than once is the ground between the points, not one of them."""
    meeting: dict[Spot, list[int]] = defaultdict(list)
    for number, mine in corners.items():
        for place, angles in mine.items():
            if len(angles) == 1 and angles[0] <= POINT_DEG + 1e-6:
                meeting[place].append(number)
    return {place: chips for place, chips in meeting.items() if len(chips) >= ROSETTE}


def outwards(place: Spot) -> tuple[float, float]:
    """Return what orders places from the plate's middle outwards, then clockwise from the way the grain points."""
    return round(math.hypot(*place), 4), clock_angle((0.0, 0.0), place)


def clock_angle(centre: Spot, place: Spot) -> float:
    """Return the angle from the way the grain points, clockwise, 0…360 deg."""
    return round(math.degrees(math.atan2(place[0] - centre[0], place[1] - centre[1])) % 360, 5) % 360


def _middle(walls: Sequence[Wall]) -> Spot:
    """Return a place in the middle of a chip's walls, in mm."""
    whole = math.fsum(wall.length_mm for wall in walls)
    spots = [[(wall.start[axis] + 4 * wall.middle[axis] + wall.finish[axis]) / 6 * wall.length_mm for wall in walls] for axis in (0, 1)]
    x, y = (math.fsum(some) / whole for some in spots)
    return x, y


def _corners(walls: Sequence[Wall]) -> dict[Spot, list[float]]:
    found: dict[Spot, list[float]] = {}
    for wall in walls:
        for after in walls:
            if not wall.closed and after.start == wall.finish and after.before == wall.thing:
                turn = math.degrees(after.heading(0.0) - wall.heading(1.0)) % 360
                inner = (180 - turn) % 360
                # a cusp comes out as 0 or, by rounding, as a shade under 360
                found.setdefault(wall.finish, []).append(0.0 if inner > 360 - 1e-6 else inner)
    return found
