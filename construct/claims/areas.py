"""`left.B is 1/2 of petal.T in area` and `bay, left.B, right.B together equal lune in area`.

Areas are sums of numbers of the tower and of angles times them; two are equal
where the angles cancel by exact relations, else an enclosure or nothing decides.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from construct.chips import Chip
from construct.chips.angles import angle_sum_sign
from construct.chips.measures import Arc, Area, area, area_enclosure, area_text
from construct.claims import BoundedGap, Senseless, Statement, World, holds_pi, ratio_value
from construct.claims.alike import LONGEST
from construct.language.syntax import Phrase, Ratio
from construct.number_systems import LimitMet, Number

NAME = "areas"
NOTE = "chips are a part of another in area, or together equal others"

Share = tuple[Chip, Number]
"""A chip, and how often its area counts."""


def part_of(world: World, chip: Chip | None, ratio: Ratio, whole: Chip | None) -> Statement:
    """One chip's area is a given part of another's."""
    exact: Any = world.numbers
    if holds_pi(ratio):
        raise Senseless("area_pi")
    times = ratio_value(exact, ratio)
    if exact.sign(times) <= 0:
        raise Senseless("area_nothing")
    return _equal(exact, [(_there(chip), exact.rational(1))], [(_there(whole), times)])


def together(world: World, chips: tuple[Chip | None, ...], others: tuple[Chip | None, ...]) -> Statement:
    """Some chips' areas add up to those of others; a chip named twice on one side makes no sense."""
    exact: Any = world.numbers
    sides = []
    for side in (chips, others):
        found = [_there(chip) for chip in side]
        if len({id(chip) for chip in found}) < len(found):
            raise Senseless("chip_twice")
        sides.append([(chip, exact.rational(1)) for chip in found])
    return _equal(exact, *sides)


def _there(chip: Chip | None) -> Chip:
    if chip is None:
        raise Senseless("not_cut")
    return chip


def _equal(exact: Any, left: Sequence[Share], right: Sequence[Share]) -> Statement:
    difference = _sum(exact, left, right, exact.rational(1))

    def within(share: Fraction, _unit: str) -> bool | None:
        """left ≤ (1 + share)·right, and (1 − share)·right ≤ left."""
        over = _sign(exact, _sum(exact, left, right, exact.rational(1 + share)))
        under = _sign(exact, _sum(exact, left, right, exact.rational(1 - share)))
        if over == 1 or under == -1:
            return False
        return None if over is None or under is None else True

    def equal() -> bool | None:
        sign = _sign(exact, difference)
        return None if sign is None else sign == 0

    def gap() -> BoundedGap:
        try:
            text = area_text(exact, difference, longest=LONGEST)
        except LimitMet:
            text = ""
        return BoundedGap(lambda digits: area_enclosure(exact, difference, digits), "mm2", f"{text} mm²" if text else "", within=within)

    return Statement(other=equal, gap=gap)


def _sum(exact: Any, left: Sequence[Share], right: Sequence[Share], times: Number) -> Area:
    """Return Σ left − times·Σ right as one sum; it need not be positive."""
    total = exact.rational(0)
    arcs = []
    shares = [*left, *((chip, -(factor * times)) for chip, factor in right)]
    for chip, factor in shares:
        measured = area(exact, chip)
        total = total + measured.algebraic * factor
        arcs += [Arc(arc.square * factor, arc.cosine, arc.sine) for arc in measured.arcs]
    return Area(total, tuple(arcs))


def _sign(exact: Any, sum_: Area) -> int | None:
    found: int | None = angle_sum_sign(exact, sum_.algebraic * 2, [(arc.square, arc.cosine, arc.sine) for arc in sum_.arcs])
    return found


PHRASES = (
    Phrase("<M chip> is <r ratio> of <N chip> in area", part_of, note="gap: left less right, in mm²",
           extra=(("within", ("part",)),)),
    Phrase("<M chips> together equal <N chips> in area", together, note="gap: left less right, in mm²",
           extra=(("within", ("part",)),)),
)  # fmt: skip
