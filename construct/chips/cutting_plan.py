"""An order of cuts by the trade's rules, with the grain at every stroke, for a right or a left hand.

All of it is advice: nothing here is proved, and nothing proved rests on it.  Each
rule says where it comes from; a left hand's plan is the right hand's plan of the
mirrored plate.  Which chips share a wall or a mark is decided exactly, the rest
are *estimates*.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from construct.chips import Carving
from construct.chips.isometry import groups
from construct.chips.strokes import HAND, Going, goings_of, lie
from construct.chips.walls import TIED, Spot, Wall, mean_width_mm, spot, to_grain, walls_of
from construct.diagnostics import Diagnostic, Mistakes
from construct.geometry import Point
from construct.number_systems import LimitMet
from construct.replay import Settled

HANDS = ("right", "left")
FIRSTS = ("hard", "rosette")

COMMON = "common practice, no source"
JUDGED = "judgement"

RULES = {
    "hard": COMMON, "rosette": COMMON, "next_to": COMMON, "crescent": COMMON, "across_first": COMMON, "both_ends": COMMON,
    "round": COMMON, "gang": COMMON, "centre": COMMON, "hold_back": COMMON, "stagger": COMMON, "thin": COMMON, "wrist": COMMON,
    "fibres": COMMON, "lifted": JUDGED, "hand": JUDGED,
}  # fmt: skip
"""Every rule by its key, with where it comes from; its words are in the phrasebook under `plan.rule`."""

ROW = 6
"""So many alike chips round the plate are a row, cut in turns: judgement."""

ROSETTE = 3
"""So many points in one mark are a rosette."""

POINT_DEG = 90.0
"""A corner up to here is a point that can break off where it meets others: judgement."""

THIN_DEG = 25.0
"""A corner under this is a long thin one: judgement."""


@dataclass(frozen=True, slots=True)
class End:
    """Where a stroke begins or ends.

    kind: "mark", "crossing" of two drawn things, or within a wall: "with" or "across" the grain, its "middle", or "part" way.
    things: the mark's index in the plan, or the indices of the things that cross.  x, y: in mm (*estimate*).
    """

    kind: str
    things: tuple[int, ...]
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Stroke:
    """One cut of the knife.

    number: its place in the plan, from 1.  chip: the chip's number.  wall: its number among the chip's walls.
    thing: index of the drawn thing that it follows.
    start, finish: where it begins and ends.  clock: its direction in hours at start, middle and end, 0 < hour ≤ 12;
        12 is the way the grain points.
    grain_deg: angle to the grain at start, middle and end, 0…90.  grain: "with", "slant" or "across" on the whole.
    grip: "pull" (chip to the right of the stroke for a right hand) or "push".
    lifted: the share of its length on which it goes against the fibres.
    rules: keys of `RULES` that put it here or that it should heed.
    """

    number: int
    chip: int
    wall: int
    thing: int
    start: End
    finish: End
    clock: tuple[float, float, float]
    grain_deg: tuple[float, float, float]
    grain: str
    grip: str
    lifted: float
    rules: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Round:
    """Chips that are cut as one piece of work.

    kind: "rosette" (points in one mark), "row" (alike round the plate, wall by wall) or "chip".
    chips: their numbers in the order of cutting.
    """

    kind: str
    chips: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class CuttingPlan:
    """An order of cuts (*judgement* throughout).

    hand: "right" or "left".  first: what comes first: "hard" chips while fresh, or the "rosette".
    rounds: the chips in order.  strokes: every cut in order; together they cut each wall of each chip once.
    grooves: how many lines are left to be cut by themselves, after the chips.
    """

    hand: str
    first: str
    rounds: tuple[Round, ...]
    strokes: tuple[Stroke, ...]
    grooves: int

    @property
    def rules(self) -> tuple[str, ...]:
        """Keys of the rules that some stroke heeds, and of the one that orders the rounds, in the order of `RULES`."""
        used = {key for stroke in self.strokes for key in stroke.rules} | {self.first}
        return tuple(key for key in RULES if key in used)


def make_cutting_plan(settled: Settled, carving: Carving, exact: Any, *, hand: str = "right", first: str = "hard") -> CuttingPlan:
    """Return an order of cuts for a carving.

    hand: "right" or "left".  first: "hard" chips while fresh, or the "rosette" before its border.
    Raises `Mistakes` where they are neither.
    """
    wrongs = []
    if hand not in HANDS:
        wrongs.append(Diagnostic("C660", f"`{hand}` is no hand", "say `right` or `left`"))
    if first not in FIRSTS:
        wrongs.append(Diagnostic("C661", f"`{first}` is nothing that could be cut first", "say `hard` or `rosette`"))
    if wrongs:
        raise Mistakes(tuple(wrongs))
    return _Planner(settled, carving, exact, hand, first).plan()


class _Planner:
    """Everything in it is as a right hand sees it; `_stroke` turns it back for a left one."""

    def __init__(self, settled: Settled, carving: Carving, exact: Any, hand: str, first: str) -> None:
        self.settled, self.carving, self.exact = settled, carving, exact
        self.hand, self.first = hand, first
        self.mirrored = hand == "left"
        self.walls = walls_of(exact, carving.chips, mirrored=self.mirrored)
        self.middles = {number: _middle(walls) for number, walls in self.walls.items()}
        self.corners = {number: _corners(walls) for number, walls in self.walls.items()}
        self.advice = self._points()
        self.marks = self._marks()
        self.done: set[int] = set()
        self.strokes: list[Stroke] = []

    def plan(self) -> CuttingPlan:
        rounds = []
        for kind, chips in self._in_order(self._rounds()):
            if kind == "row" and self._gang(chips):
                rounds.append(Round("row", chips))
                continue
            chips = self._turned(chips) if kind == "rosette" else chips
            for number in chips:
                self._chip(number)
                self.done.add(number)
            if kind == "rosette" and lie(self._wall_of(self.strokes[-1]).steepness) == "with":
                self.strokes[-1] = replace(self.strokes[-1], rules=("round", *self.strokes[-1].rules))
            rounds += [Round(kind, chips)] if kind == "rosette" else [Round("chip", (number,)) for number in chips]
        return CuttingPlan(self.hand, self.first, tuple(rounds), tuple(self.strokes), len(self.carving.grooves))

    def _wall_of(self, stroke: Stroke) -> Wall:
        return self.walls[stroke.chip][stroke.wall]

    # --- which chips belong together -------------------------------------------------------------

    def _rounds(self) -> list[tuple[str, tuple[int, ...]]]:
        found: list[tuple[str, tuple[int, ...]]] = []
        free = set(self.walls)
        meeting = sorted(self._meetings().items(), key=lambda one: (-len(one[1]), *_key(one[0])))
        for centre, chips in meeting:
            mine = [number for number in chips if number in free]
            if len(mine) >= ROSETTE:
                found.append(("rosette", self._clockwise(mine, centre)))
                free -= set(mine)
        for group in self._alike():
            rows: dict[Any, list[int]] = defaultdict(list)
            for number in group:
                if number in free:
                    rows[self._in_row(number)].append(number)
            for row in rows.values():
                if len(row) >= ROW:
                    found.append(("row", self._clockwise(row, (0.0, 0.0))))
                    free -= set(row)
        return found + [("chip", (number,)) for number in free]

    def _alike(self) -> list[list[int]]:
        chips = self.carving.chips
        try:
            return [[chips[place].number for place in group] for group in groups(self.exact, chips)]
        except LimitMet:
            return []

    def _meetings(self) -> dict[Spot, list[int]]:
        """Return the marks in which points of at least `ROSETTE` chips meet, with the chips."""
        meeting: dict[Spot, list[int]] = defaultdict(list)
        for number, corners in self.corners.items():
            for place, angle in corners.items():
                if angle <= POINT_DEG + 1e-6:
                    meeting[place].append(number)
        return {place: chips for place, chips in meeting.items() if len(chips) >= ROSETTE}

    def _clockwise(self, chips: Sequence[int], centre: Spot) -> tuple[int, ...]:
        return tuple(sorted(chips, key=lambda number: _clock_angle(centre, self.middles[number])))

    def _in_row(self, number: int) -> Any:
        """Return the same for chips that a turn about the plate's middle carries onto each other."""
        return round(math.hypot(*self.middles[number]), 3), tuple(sorted(self._slot(wall) for wall in self.walls[number]))

    def _slot(self, wall: Wall) -> tuple[float, float]:
        """Return where a wall lies in its chip, seen from the plate's middle: outwards, and clockwise."""
        x, y = self.middles[wall.chip]
        out = math.hypot(x, y) or 1.0
        wx, wy = wall.middle[0] - x, wall.middle[1] - y
        return round((wx * x + wy * y) / out, 3) + 0.0, round((wx * y - wy * x) / out, 3) + 0.0

    def _in_order(self, rounds: list[tuple[str, tuple[int, ...]]]) -> list[tuple[str, tuple[int, ...]]]:
        def order(one: tuple[str, tuple[int, ...]]) -> tuple[Any, ...]:
            kind, chips = one
            widest = max(round(mean_width_mm(self.exact, self.walls[number]), 4) for number in chips)
            inner = min(_key(self.middles[number]) for number in chips)
            return (-widest, *inner) if self.first == "hard" else (kind != "rosette", *inner)

        return sorted(rounds, key=order)

    # --- chip by chip ----------------------------------------------------------------------------

    def _chip(self, number: int) -> None:
        for wall, why in self._walls_in_order(number, self.done):
            self._cut(wall, why)

    def _walls_in_order(self, number: int, done: set[int]) -> list[tuple[Wall, tuple[str, ...]]]:
        """Return a chip's walls in the order of cutting, each with the rules that put it there."""
        walls = self.walls[number]
        crescent = len(walls) == 2 and {wall.sense for wall in walls} == {1, -1}

        def order(wall: Wall) -> tuple[Any, ...]:
            hollow = crescent and wall.sense < 0
            return not wall.neighbours & done, not hollow, -wall.steepness, _clock_angle(self.middles[number], wall.middle)

        found = []
        ordered = sorted(walls, key=order)
        for place, wall in enumerate(ordered):
            why = ["next_to"] if wall.neighbours & done else []
            if crescent and wall.sense < 0:
                why.append("crescent")
            after = ordered[place + 1] if place + 1 < len(ordered) else None
            if not why and after is not None and lie(wall.steepness) != lie(after.steepness):
                why.append("across_first")
            found.append((wall, tuple(why)))
        return found

    def _turned(self, chips: tuple[int, ...]) -> tuple[int, ...]:
        """Return a rosette's chips begun where its last cut runs most with the grain."""

        def last_cut(begin: int) -> tuple[float, int]:
            last = chips[begin - 1]
            others = self.done | (set(chips) - {last})
            return self._walls_in_order(last, others)[-1][0].steepness, begin

        begin = min(range(len(chips)), key=last_cut)
        return (*chips[begin:], *chips[:begin])

    # --- in turns --------------------------------------------------------------------------------

    def _gang(self, chips: tuple[int, ...]) -> bool:
        """Cut a row wall by wall; False, with nothing cut, where that would leave a wall next to a carved chip for later."""
        slots: dict[tuple[float, float], list[Wall]] = defaultdict(list)
        for number in chips:
            for wall in self.walls[number]:
                slots[self._slot(wall)].append(wall)
        if any(len(walls) != len(chips) for walls in slots.values()):
            return False
        row = set(chips)

        def order(slot: tuple[float, float]) -> tuple[Any, ...]:
            walls = slots[slot]
            hollow = len(slots) == 2 and {walls[0].sense, *(one[0].sense for one in slots.values())} == {1, -1} and walls[0].sense < 0
            beside, inside = (any(wall.neighbours & some for wall in walls) for some in (self.done, row))
            return not beside, not inside, not hollow, -math.fsum(wall.steepness for wall in walls), slot

        turns = sorted(slots, key=order)
        # the chips come free in the last turn: a wall between two of the row must be cut before it
        if any(wall.neighbours & row for wall in slots[turns[-1]]):
            return False
        for number in chips:
            beside = [bool(next(wall for wall in slots[turn] if wall.chip == number).neighbours & self.done) for turn in turns]
            if beside != sorted(beside, reverse=True):
                return False
        for turn in turns:
            for wall in slots[turn]:
                self._cut(wall, ("next_to", "gang") if wall.neighbours & self.done else ("gang",))
        self.done |= row
        return True

    # --- strokes ---------------------------------------------------------------------------------

    def _cut(self, wall: Wall, why: tuple[str, ...]) -> None:
        # first all strokes of the grip that the hand likes
        for going in sorted(goings_of(wall), key=lambda one: (one.way != HAND, one.start)):
            self.strokes.append(self._stroke(wall, going, why))

    def _stroke(self, wall: Wall, going: Going, why: tuple[str, ...]) -> Stroke:
        parts = going.start, (going.first + going.last) / 2, going.finish
        headings = [wall.heading(part) + (math.pi if going.way < 0 else 0.0) for part in parts]
        angles = tuple(round(to_grain(one), 6) for one in headings)
        whole = (angles[0] + 4 * angles[1] + angles[2]) / 6
        rules = [*why, *going.rules]
        rules += [rule for part in (going.start, going.finish) for rule in self._at_corner(wall, part)]
        rules += ["lifted"] if going.lifted > 0 else []
        rules += ["wrist"] if lie(whole) == "across" else []
        return Stroke(
            number=len(self.strokes) + 1,
            chip=wall.chip,
            wall=wall.number,
            thing=wall.thing,
            start=self._end(wall, going.start),
            finish=self._end(wall, going.finish),
            clock=tuple(self._hour(one) for one in headings),  # type: ignore[arg-type]
            grain_deg=angles,  # type: ignore[arg-type]
            grain=lie(whole),
            grip="pull" if going.way == HAND else "push",
            lifted=going.lifted,
            rules=tuple(dict.fromkeys(rules)),
        )

    def _hour(self, heading: float) -> float:
        hour = round((90 - math.degrees(heading)) / 30 % 12, 6)
        hour = 12 - hour if self.mirrored else hour
        return hour if 0 < hour < 12 else 12.0

    def _at_corner(self, wall: Wall, part: float) -> tuple[str, ...]:
        place = _corner_at(wall, part)
        if place is None:
            return ()
        thin = ("thin",) if self.corners[wall.chip].get(place, 180.0) < THIN_DEG else ()
        return (*self.advice.get((wall.chip, place), ()), *thin)

    def _end(self, wall: Wall, part: float) -> End:
        place = _corner_at(wall, part)
        if place is None:
            angle = wall.to_grain(part)
            x, y = self._unmirrored(wall.start if wall.closed and part in (0.0, 1.0) else _along(wall, part))
            kind = "with" if angle < 1e-6 else "across" if angle > 90 - 1e-6 else "middle" if abs(part - 0.5) < TIED else "part"
            return End(kind, (), x, y)
        x, y = self._unmirrored(place)
        mark = self.marks.get((x, y))
        if mark is not None:
            return End("mark", (mark,), x, y)
        other = wall.before if part == 0 else wall.after
        return End("crossing", (wall.thing, other) if other is not None else (wall.thing,), x, y)

    def _unmirrored(self, place: Spot) -> Spot:
        return (-place[0] + 0.0, place[1]) if self.mirrored else place

    def _marks(self) -> dict[Spot, int]:
        """Return the marks of the plan by their places: the first with a plain name, else the first."""
        found: dict[Spot, int] = {}
        things, values = self.settled.plan.things, self.settled.values
        for plain in (True, False):
            for index, thing in enumerate(things):
                if isinstance(values[index], Point) and ("." not in thing.name) == plain:
                    found.setdefault(spot(self.exact, values[index]), index)
        return found

    def _points(self) -> dict[tuple[int, Spot], tuple[str, ...]]:
        """Return for each point that meets others what to heed there: one reaches the mark, the others are held back in turn."""
        found: dict[tuple[int, Spot], tuple[str, ...]] = {}
        for centre, chips in self._meetings().items():
            ring = self._clockwise(chips, centre)
            begin = min(range(len(ring)), key=lambda place: (self._off_grain(centre, ring[place]), place))
            for place, number in enumerate((*ring[begin:], *ring[:begin])):
                found[number, centre] = ("centre",) if place == 0 else ("hold_back", "stagger") if place % 2 else ("hold_back",)
        return found

    def _off_grain(self, centre: Spot, number: int) -> float:
        x, y = self.middles[number]
        return round(to_grain(math.atan2(y - centre[1], x - centre[0])), 6)


def _key(place: Spot) -> tuple[float, float]:
    """Return what orders places from the plate's middle outwards, then clockwise from the way the grain points."""
    return round(math.hypot(*place), 4), _clock_angle((0.0, 0.0), place)


def _clock_angle(centre: Spot, place: Spot) -> float:
    """Return the angle from the way the grain points, clockwise, 0…360 deg."""
    return round(math.degrees(math.atan2(place[0] - centre[0], place[1] - centre[1])) % 360, 5) % 360


def _middle(walls: Sequence[Wall]) -> Spot:
    """Return a place in the middle of a chip's walls, in mm."""
    whole = math.fsum(wall.length_mm for wall in walls)
    spots = [[(wall.start[axis] + 4 * wall.middle[axis] + wall.finish[axis]) / 6 * wall.length_mm for wall in walls] for axis in (0, 1)]
    x, y = (math.fsum(some) / whole for some in spots)
    return x, y


def _corners(walls: Sequence[Wall]) -> dict[Spot, float]:
    """Return the inner angle at each corner of a chip in deg, the sharpest where several meet."""
    found: dict[Spot, float] = {}
    for wall in walls:
        for after in walls:
            if not wall.closed and after.start == wall.finish and after.before == wall.thing:
                turn = math.degrees(after.heading(0.0) - wall.heading(1.0)) % 360
                inner = (180 - turn) % 360
                # a cusp comes out as 0 or, by rounding, as a shade under 360
                inner = 0.0 if inner > 360 - 1e-6 else inner
                found[wall.finish] = min(found.get(wall.finish, 360.0), inner)
    return found


def _corner_at(wall: Wall, part: float) -> Spot | None:
    if wall.closed or 0.0 < part < 1.0:
        return None
    return wall.start if part == 0.0 else wall.finish


def _along(wall: Wall, part: float) -> Spot:
    """Return the place at a part of a wall, in mm: what its middle is for half, else by following its bends."""
    if part == 0.5:
        return wall.middle
    x, y = wall.start
    for bend in wall.bends:
        last = min(bend.last, part)
        if last <= bend.first:
            break
        length = (last - bend.first) * wall.length_mm
        turn = (bend.end_heading - bend.heading) * (last - bend.first) / (bend.last - bend.first)
        # a chord lies half-way between the directions at its ends
        chord = length if not turn else length * math.sin(turn / 2) / (turn / 2)
        x, y = x + chord * math.cos(bend.heading + turn / 2), y + chord * math.sin(bend.heading + turn / 2)
    return x, y
