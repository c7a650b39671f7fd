"""`leaf.B and leaf.T are alike` (congruent, mirrored or not) and `alike in area`.

Both are decided exactly by the chips' own geometry.  How far chips are from
alike is an estimate for people; it decides nothing but a tolerance, and that
only where it is far from it.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from construct.chips import Chip
from construct.chips.angles import angle_sum_sign
from construct.chips.isometry import alike as congruence
from construct.chips.isometry import alike_in_area as equal_areas
from construct.chips.isometry import misfit
from construct.chips.measures import Arc, Area, area, area_enclosure, area_text
from construct.claims import BoundedGap, NoGap, Senseless, Statement, World
from construct.language.syntax import Phrase
from construct.number_systems import LimitMet
from construct.phrasebook import say

NAME = "alike"
NOTE = "chips are congruent, or equal in area"

LONGEST = 90
"""A closed form of more characters is not shown."""

_MARGIN = Fraction(1, 10**9)
"""Nearer to a tolerance than this share of it, an estimate does not tell."""


def alike(world: World, chips: tuple[Chip | None, ...]) -> Statement:
    """Some motion carries the first chip onto each of the others."""
    first, *rest = _found(chips)
    exact: Any = world.numbers
    return Statement(
        other=lambda: all(congruence(exact, first, chip) is not None for chip in rest),
        gap=lambda: _worst_misfit(exact, first, rest),
    )


def _found(chips: Sequence[Chip | None]) -> list[Chip]:
    found = [chip for chip in chips if chip is not None]
    if len(found) < len(chips):
        raise Senseless("not_cut")
    return found


def _worst_misfit(exact: Any, first: Chip, rest: Sequence[Chip]) -> BoundedGap:
    size = Fraction(max(misfit(exact, first, chip) for chip in rest))
    if size == 0:
        raise NoGap(say("no_gap.chips"))

    def within(tolerance: Fraction, _unit: str) -> bool | None:
        return None if abs(size - tolerance) <= tolerance * _MARGIN else size < tolerance

    return BoundedGap(lambda digits: (size, size), "mm", guarantee="estimate", within=within)


def alike_in_area(world: World, chips: tuple[Chip | None, ...]) -> Statement:
    """The first chip's area equals each of the others'."""
    first, *rest = _found(chips)
    exact: Any = world.numbers
    return Statement(
        other=lambda: _all_equal(exact, first, rest),
        gap=lambda: _worst_difference(exact, first, rest),
    )


def _all_equal(exact: Any, first: Chip, rest: Sequence[Chip]) -> bool | None:
    told = [equal_areas(exact, first, chip) for chip in rest]
    return False if False in told else None if None in told else True


def _less(one: Area, other: Area, times: Fraction = Fraction(1), sign: int = 1) -> Area:
    """Return sign·(one - times·other) as one sum; an area only where it is positive."""
    scale = -sign * times
    arcs = [Arc(arc.square * sign, arc.cosine, arc.sine) for arc in one.arcs]
    arcs += [Arc(arc.square * scale.numerator / scale.denominator, arc.cosine, arc.sine) for arc in other.arcs]
    return Area(one.algebraic * sign + other.algebraic * scale.numerator / scale.denominator, tuple(arcs))


def _sign(exact: Any, sum_: Area) -> int | None:
    """Return the sign of a sum of areas: *exact*, None where it can not be told."""
    found: int | None = angle_sum_sign(exact, sum_.algebraic * 2, [(arc.square, arc.cosine, arc.sine) for arc in sum_.arcs])
    return found


def _size(exact: Any, difference: Area) -> Fraction:
    """Return about how large a difference is, to pick the largest: of two alike to 40 digits either will do."""
    lower, upper = area_enclosure(exact, difference, 40)
    return abs(lower + upper) / 2


def _worst_difference(exact: Any, first: Chip, rest: Sequence[Chip]) -> BoundedGap:
    """Return the first area less the one that differs most from it, in mm²."""
    own = area(exact, first)
    others = [area(exact, chip) for chip in rest]
    worst = max(others, key=lambda other: _size(exact, _less(own, other)))
    difference = _less(own, worst)
    try:
        text = area_text(exact, difference)
    except LimitMet:
        text = ""

    def within(share: Fraction, _unit: str) -> bool | None:
        signs = [
            _sign(exact, _less(own, other, 1 + share * side, side))
            for other in others
            for side in (1, -1)
        ]  # own ≤ (1 + share)·other, and (1 − share)·other ≤ own
        return False if 1 in signs else None if None in signs else True

    return BoundedGap(
        lambda digits: area_enclosure(exact, difference, digits),
        "mm2",
        f"{text} mm²" if text and len(text) <= LONGEST else "",
        within=within,
    )


PHRASES = (
    Phrase("<M chips> are alike", alike, note="congruent, mirrored or not; gap: largest distance after the best motion",
           extra=(("least", 2),)),
    Phrase("<M chips> are alike in area", alike_in_area, note="gap: the difference",
           extra=(("least", 2), ("within", ("part",)))),
)  # fmt: skip
