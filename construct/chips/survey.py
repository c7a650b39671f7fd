"""Everything that is measured about a carving, in one record: the survey that reports and errors read.

Chips that are alike share their figures: each is worked out once a group.
Figures are *enclosures* unless their record says otherwise; what is advised is
judgement, and kept apart in `advice`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from construct.chips import Carving, Chip, isometry, measures
from construct.chips.advice import Advice, advised
from construct.chips.contacts import contacts
from construct.chips.depth import Depth, depth, wall_turns
from construct.chips.edge_floats import edge_floats
from construct.chips.isometry import Motion
from construct.chips.land import Bounded, GrooveLand, Land, WoodPoint, bounded, groove_lands, lands, wood_points
from construct.chips.limits import Limits, limits
from construct.chips.margin import margin
from construct.chips.measures import Area, Corner
from construct.chips.rules import rules
from construct.chips.spans import Span, longest
from construct.chips.widest import CLOSE, GRID, Widest, widest
from construct.plan import EDGE
from construct.replay import Settled

DIGITS = 6
AREA_DIGITS = 12
"""Decimals of the enclosures of lengths and areas, in mm and mm²."""

Ends = tuple[Fraction, Fraction]
"""(lower, upper) of an *enclosure*."""


@dataclass(frozen=True, slots=True)
class ChipSurvey:
    """What is measured about one chip.

    chip: what it is.  group: the same number for chips that are alike.
    area: *exact*; area_mm2, round_mm: its value, and the length of all its edges (*enclosures*).
    widest: the largest circle that lies in it, as drawn; its width is twice that.
    width_mm: its width as cut, with where the knife stands counted (*enclosure*); below 0 where nothing is left of it.
    length: the greatest distance between two of its places, as drawn.
    corners: with their angles.
    depth: where it is deepest, as cut; None where the recipe does not say all its walls' angles.
    margin: to the edge of the wood, as drawn; None on paper.
    curved: True where chords stand in for a french curve, so that figures are *estimates* within 0.02 mm of it.
    """

    chip: Chip
    group: int
    area: Area
    area_mm2: Ends
    round_mm: Ends
    widest: Widest
    width_mm: Ends
    length: Span
    corners: tuple[Corner, ...]
    depth: Depth | None
    margin: Span | None
    curved: bool


@dataclass(frozen=True, slots=True)
class Survey:
    """What is measured about a carving, and what is advised.

    chips: one for each chip, by number.  groups: positions of chips that are alike, by the first of each.
    lands: between chips that touch, or stand no farther apart than neighbours do; least by number.
    grooves: between chips and grooves.  points: sharp points of wood.
    limits: how deep a chip may go, how wide a land must be, where the knife stands.
    advice: *judgement*.
    """

    chips: tuple[ChipSurvey, ...]
    groups: tuple[tuple[int, ...], ...]
    lands: tuple[Land, ...]
    grooves: tuple[GrooveLand, ...]
    points: tuple[WoodPoint, ...]
    limits: Limits
    advice: tuple[Advice, ...]

    def least_land(self, number: int) -> Land | None:
        """Return the narrowest land of a chip that is more than a ridge or a point; None where no chip is near."""
        found = [one for one in self.lands if one.kind == "land" and number in (one.first, one.second)]
        return min(found, key=lambda one: one.middle, default=None)

    def neighbours(self, number: int, kind: str) -> tuple[int, ...]:
        """Return the numbers of the chips that meet a chip in a "ridge" or a "point"."""
        pairs = [(one.first, one.second) for one in self.lands if one.kind == kind and number in (one.first, one.second)]
        return tuple(sorted(b if a == number else a for a, b in pairs))


def survey(settled: Settled, carving: Carving, exact: Any) -> Survey:
    """Return the survey of a carving; `LimitMet` where something is too large to measure.

    Cost: some tens of milliseconds for each group of alike chips, and a millisecond for each pair of neighbours.
    """
    said = limits(settled.plan, carving)
    groups = isometry.groups(exact, carving.chips)
    ready = [bounded(exact, chip) for chip in carving.chips]
    edge = settled.values[EDGE]
    rows: list[ChipSurvey | None] = [None] * len(carving.chips)
    for number, group in enumerate(groups):
        first = _measured(exact, carving, ready[group[0]], number, said)
        for position in group:
            one = first if position == group[0] else _alike(exact, carving, first, ready[position], said)
            rows[position] = replace(one, margin=margin(exact, edge, ready[position].edges))
    chips = tuple(row for row in rows if row is not None)
    near = rules().neighbour_mm
    between = lands(carving, ready, within_mm=float(near), widened_mm=-2 * said.shift_mm)
    grooves = groove_lands(exact, carving.grooves, ready, within_mm=float(near), widened_mm=-said.shift_mm)
    points = wood_points(exact, carving.chips, under_deg=rules().frail_point_deg)
    found = Survey(chips, groups, between, grooves, points, said, ())
    return replace(found, advice=advised(exact, carving, found))


def _measured(exact: Any, carving: Carving, ready: Bounded, group: int, said: Limits) -> ChipSurvey:
    chip = ready.chip
    area = measures.area(exact, chip)
    round_it = widest(exact, chip, digits=DIGITS)
    return ChipSurvey(
        chip=chip,
        group=group,
        area=area,
        area_mm2=measures.area_enclosure(exact, area, AREA_DIGITS),
        round_mm=measures.perimeter_enclosure(exact, chip, DIGITS),
        widest=round_it,
        width_mm=(2 * (round_it.lower + said.shift_mm), 2 * (round_it.upper + said.shift_mm)),
        length=longest(ready.edges),
        corners=measures.corners(exact, chip, DIGITS),
        depth=_depth(exact, carving, chip, round_it, said),
        margin=None,
        curved=any(edge.curved for walk in chip.walks for edge in walk),
    )


def _depth(exact: Any, carving: Carving, chip: Chip, round_it: Widest, said: Limits) -> Depth | None:
    turns = wall_turns(carving, chip.walks)
    return None if turns is None else depth(exact, chip.walks, turns, round_it, shift_mm=said.shift_mm)


def _alike(exact: Any, carving: Carving, first: ChipSurvey, ready: Bounded, said: Limits) -> ChipSurvey:
    """Return the survey of a chip from that of one it is alike to: the same figures, in other places."""
    chip = ready.chip
    motion = isometry.alike(exact, first.chip, chip)
    assert motion is not None
    carry = _carrier(exact, motion)
    x, y = carry((float(first.widest.centre[0]), float(first.widest.centre[1])))
    floats = edge_floats(exact, chip.walks, [1.0] * len(ready.edges))
    touched, bases = contacts(floats, chip.walks, (x, y), CLOSE)
    centre = Fraction(round(x * GRID), GRID), Fraction(round(y * GRID), GRID)
    round_it = Widest(first.widest.lower, first.widest.upper, centre, touched, bases)
    span = first.length
    return replace(
        first,
        chip=chip,
        widest=round_it,
        length=Span(span.lower, span.upper, carry(span.start), carry(span.finish)),
        corners=measures.corners(exact, chip, DIGITS),
        depth=_depth(exact, carving, chip, round_it, said),
    )


def _carrier(exact: Any, motion: Motion) -> Any:
    cosine, sine, dx, dy = (exact.to_float(one) for one in (motion.cosine, motion.sine, motion.shift_x, motion.shift_y))

    def carry(place: tuple[float, float]) -> tuple[float, float]:
        x = -place[0] if motion.mirror else place[0]
        return cosine * x - sine * place[1] + dx, sine * x + cosine * place[1] + dy

    return carry


def thinnest(corners: Sequence[Corner]) -> Corner | None:
    """Return the corner with the smallest angle; None for a chip without corners."""
    return min(corners, key=lambda one: one.angle_deg[0], default=None)
