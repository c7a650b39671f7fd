"""An order of cuts by the trade's rules, with the grain at every stroke, for a right or a left hand.

All of it is advice: nothing here is proved, and nothing proved rests on it.  Each
rule says where it comes from; a left hand's plan is the right hand's plan of the
mirrored plate.  Which chips share a wall or a mark is decided exactly, the rest
are *estimates*.
"""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass, replace
from typing import Any

from construct.chips import Carving
from construct.chips.isometry import groups
from construct.chips.rounds import Round, clock_angle, find_rounds, lay_out, outwards
from construct.chips.strokes import HAND, Going, goings_of, lie
from construct.chips.walls import Spot, Wall, mean_width_mm, spot, to_grain
from construct.diagnostics import Mistakes, diagnostic
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

TOLD_APART_MM = 1.0
"""Two ends are told apart as inner and outer where their distances from the plate's middle differ by so much: judgement."""

THIN_DEG = 25.0
"""A corner under this is a long thin one: judgement."""


@dataclass(frozen=True, slots=True)
class End:
    """Where a stroke begins or ends.

    kind: "mark", "crossing" of two drawn things, or within a wall: "with" or "across" the grain, its "middle", or "part" way.
    things: the mark's index in the plan, or the indices of the things that cross.  x, y: in mm (*estimate*).
    side: of a wall's two crossings the "inner" or the "outer" one, seen from the plate's middle; "" where neither is.
    hour: where on the plate's clock it lies, 0 < hour ≤ 12.
    """

    kind: str
    things: tuple[int, ...]
    x: float
    y: float
    side: str
    hour: float


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
        wrongs.append(diagnostic("C660", hand=hand))
    if first not in FIRSTS:
        wrongs.append(diagnostic("C661", first=first))
    if wrongs:
        raise Mistakes(tuple(wrongs))
    return _Planner(settled, carving, exact, hand, first).plan()


class _Planner:
    """Everything in it is as a right hand sees it; `_stroke` turns it back for a left one."""

    def __init__(self, settled: Settled, carving: Carving, exact: Any, hand: str, first: str) -> None:
        self.settled, self.carving, self.exact = settled, carving, exact
        self.hand, self.first = hand, first
        self.mirrored = hand == "left"
        self.layout = lay_out(exact, carving.chips, mirrored=self.mirrored)
        self.advice = self._points()
        self.marks = self._marks()
        self.done: set[int] = set()
        self.strokes: list[Stroke] = []

    def plan(self) -> CuttingPlan:
        rounds = []
        for one in self._in_order(find_rounds(self.layout, self._alike())):
            kind, chips = one.kind, one.chips
            if kind == "row" and self._gang(chips):
                rounds.append(one)
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
        return self.layout.walls[stroke.chip][stroke.wall]

    def _in_order(self, rounds: list[Round]) -> list[Round]:
        def order(one: Round) -> tuple[Any, ...]:
            widest = max(round(mean_width_mm(self.exact, self.layout.walls[number]), 4) for number in one.chips)
            inner = min(outwards(self.layout.middles[number]) for number in one.chips)
            return (-widest, *inner) if self.first == "hard" else (one.kind != "rosette", *inner)

        return sorted(rounds, key=order)

    def _alike(self) -> list[list[int]]:
        chips = self.carving.chips
        try:
            return [[chips[place].number for place in group] for group in groups(self.exact, chips)]
        except LimitMet:
            return []

    # --- chip by chip ----------------------------------------------------------------------------

    def _chip(self, number: int) -> None:
        for wall, why in self._walls_in_order(number, self.done):
            self._cut(wall, why)

    def _walls_in_order(self, number: int, done: set[int]) -> list[tuple[Wall, tuple[str, ...]]]:
        """Return a chip's walls in the order of cutting, each with the rules that put it there."""
        walls = self.layout.walls[number]
        crescent = len(walls) == 2 and {wall.sense for wall in walls} == {1, -1}

        def order(wall: Wall) -> tuple[Any, ...]:
            hollow = crescent and wall.sense < 0
            return not wall.neighbours & done, not hollow, -wall.steepness, clock_angle(self.layout.middles[number], wall.middle)

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
            for wall in self.layout.walls[number]:
                slots[self.layout.slot(wall)].append(wall)
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
        thin = ("thin",) if min(self.layout.corners[wall.chip].get(place, (180.0,))) < THIN_DEG else ()
        return (*self.advice.get((wall.chip, place), ()), *thin)

    def _end(self, wall: Wall, part: float) -> End:
        place = _corner_at(wall, part)
        if place is None:
            angle = wall.to_grain(part)
            x, y = self._unmirrored(wall.start if wall.closed and part in (0.0, 1.0) else _along(wall, part))
            even = len({bend.heading for bend in wall.bends} | {bend.end_heading for bend in wall.bends}) == 1
            kind = "middle" if even else "with" if angle < 1e-6 else "across" if angle > 90 - 1e-6 else "part"
            return End(kind, (), x, y, "", _on_clock(x, y))
        x, y = self._unmirrored(place)
        other = wall.finish if place == wall.start else wall.start
        further = math.hypot(*place) - math.hypot(*other)
        side = "" if abs(further) < TOLD_APART_MM else "outer" if further > 0 else "inner"
        mark = self.marks.get((x, y))
        if mark is not None:
            return End("mark", (mark,), x, y, side, _on_clock(x, y))
        meets = wall.before if part == 0 else wall.after
        return End("crossing", (wall.thing, meets) if meets is not None else (wall.thing,), x, y, side, _on_clock(x, y))

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
        for centre, chips in self.layout.meetings.items():
            ring = self.layout.clockwise(chips, centre)
            begin = min(range(len(ring)), key=lambda place: (self._off_grain(centre, ring[place]), place))
            for place, number in enumerate((*ring[begin:], *ring[:begin])):
                found[number, centre] = ("centre",) if place == 0 else ("hold_back", "stagger") if place % 2 else ("hold_back",)
        return found

    def _off_grain(self, centre: Spot, number: int) -> float:
        x, y = self.layout.middles[number]
        return round(to_grain(math.atan2(y - centre[1], x - centre[0])), 6)


def _on_clock(x: float, y: float) -> float:
    hour = round(clock_angle((0.0, 0.0), (x, y)) / 30, 6)
    return hour if hour else 12.0


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
