"""How deep a chip becomes at its widest place, from the angles its walls are cut at: *enclosures*.

Each wall falls from its edge at its own angle, so below a place the floor lies at
the smallest of tan(angle) × distance over all edges, and the chip is deepest where
that is largest.  With one angle that is the middle of the largest circle; with two
the floor moves towards the steeper wall; where the other walls stand upright it is
the place farthest from the one that slopes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from construct.chips import Carving, Outline
from construct.chips.contacts import Contact
from construct.chips.edge_balls import BITS, edge_balls
from construct.chips.predicates import in_walks, on_walks, simplified
from construct.chips.spans import deepest_from
from construct.chips.widest import NO_SHIFT, Widest, widest
from construct.number_systems._balls import Ball, ends, pi, point_ball, working_at

UPRIGHT = Fraction(1, 4)
"""A wall that stands upright, as a part of a full turn."""


@dataclass(frozen=True, slots=True)
class Depth:
    """How deep a chip is where it is deepest.

    lower, upper: in mm (*enclosure*).  place: where (*estimate*).
    walls: "even" where all are cut at one angle, "uneven", or "upright" where some stand upright.
    turns: the angle of each edge's wall as a part of a full turn, walk by walk.
    contacts: for walls that are not even, the edges whose walls meet there (*estimate*); else empty.
    """

    lower: Fraction
    upper: Fraction
    place: tuple[float, float]
    walls: str
    turns: tuple[Fraction, ...]
    contacts: tuple[Contact, ...] = ()

    @property
    def middle(self) -> float:
        """The middle of the enclosure, for printing."""
        return float((self.lower + self.upper) / 2)


def wall_turns(carving: Carving, walks: Sequence[Outline]) -> tuple[Fraction, ...] | None:
    """Return the angle of each edge's wall, walk by walk; None where the recipe does not say all of them.

    Where a chip has an edge along the thing of an `other walls upright` line, its walls without an angle of their own stand upright.
    """
    own = {angle.thing: angle.turns for angle in carving.knife if angle.thing is not None}
    upright = {angle.thing for angle in carving.knife if angle.others_upright}
    edges = [edge for walk in walks for edge in walk]
    rest = next((angle.turns for angle in carving.knife if angle.thing is None), None)
    if any(edge.thing in upright for edge in edges):
        rest = UPRIGHT
    found = [own.get(edge.thing, rest) for edge in edges]
    return None if None in found else tuple(turns for turns in found if turns is not None)


def depth(exact: Any, walks: tuple[Outline, ...], turns: tuple[Fraction, ...], round_it: Widest, *, shift_mm: Fraction = NO_SHIFT) -> Depth:
    """Return how deep a chip becomes.

    turns: the angle of each wall, as `wall_turns` gives it.  round_it: its largest circle, as drawn.
    shift_mm: how far out of the chip each edge is cut beside the drawn one; upright walls are taken as drawn.
    """
    if UPRIGHT in turns:
        return _against_upright(exact, walks, turns)
    if len(set(turns)) == 1:
        with working_at(BITS):
            tangent = _tangent(turns[0])
            low, high = (ends(point_ball(one + shift_mm) * tangent) for one in (round_it.lower, round_it.upper))
        return Depth(low[0], high[1], _flat(round_it.centre), "even", turns)
    with working_at(BITS):
        slopes = [_tangent(one) for one in turns]
    found = widest(exact, walks, slopes=slopes, shift_mm=shift_mm)
    return Depth(found.lower, found.upper, _flat(found.centre), "uneven", turns, found.contacts)


def _against_upright(exact: Any, walks: tuple[Outline, ...], turns: tuple[Fraction, ...]) -> Depth:
    """The floor is the sloping wall alone; of several, none may lie deeper than the shallowest reaches."""
    edges = [edge for walk in walks for edge in walk]
    sloping = {edge.thing: one for edge, one in zip(edges, turns, strict=True) if one != UPRIGHT}
    joined = tuple(simplified(exact, walk) for walk in walks)
    every = [edge_balls(exact, edge) for walk in joined for edge in walk]
    reaches: list[tuple[Ball, tuple[float, float]]] = []
    for one in every:
        if one.edge.thing not in sloping:
            continue
        circle = one.edge.circle
        inside = circle is not None and not on_walks(exact, joined, circle.centre) and in_walks(exact, joined, circle.centre)
        span = deepest_from(every, one, inside)
        with working_at(BITS):
            reaches.append(((point_ball(span.lower).union(point_ball(span.upper))) * _tangent(sloping[one.edge.thing]), span.start))
    least, place = min(reaches, key=lambda row: float(row[0].mid()))
    low, high = ends(least)
    if len(reaches) > 1:
        low = Fraction(0)  # each wall's farthest place may lie under another's slope
    return Depth(low, high, place, "upright", turns)


def steepest_deg(limit_mm: Fraction, reach_mm: Fraction) -> float | None:
    """Return the steepest knife angle, in degrees, at which a chip of this largest radius is no deeper than a limit.

    Rounded down to a tenth of a degree; None where the chip has no width.
    """
    if reach_mm <= 0:
        return None
    with working_at(BITS):
        angle = (point_ball(limit_mm) / point_ball(reach_mm)).atan() * 180 / pi(BITS)
        return float(int(ends(angle)[0] * 10) / 10)


def _tangent(turns: Fraction) -> Ball:
    return (pi(BITS) * 2 * point_ball(turns)).tan()


def _flat(place: tuple[Fraction, Fraction]) -> tuple[float, float]:
    return float(place[0]), float(place[1])
