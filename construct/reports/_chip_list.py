"""The chips of a study as lines of a list: number, name, area, and which are alike.

Area and likeness are exact results of `construct.chips`; here they are only put in words.
"""

from __future__ import annotations

from dataclasses import dataclass

from construct.chips import isometry, measures
from construct.study import Study

DIGITS = 12
"""Decimals of the enclosure that an area's value is the middle of."""

LONGEST = 60
"""A closed form longer than this is no help to anybody."""


@dataclass(frozen=True, slots=True)
class ChipLine:
    """One chip. exact: its area's closed form in mm², "" where none is short; value: to a float; group: equal for chips alike."""

    number: int
    name: str
    exact: str
    value: float
    group: int


def chip_lines(study: Study) -> tuple[ChipLine, ...]:
    """Return the chips of a study, by number; empty without a carving."""
    if study.carving is None:
        return ()
    exact, chips = study.exact, study.carving.chips
    group_of = {position: number for number, group in enumerate(isometry.groups(exact, chips)) for position in group}
    lines = []
    for position, chip in enumerate(chips):
        area = measures.area(exact, chip)
        low, high = measures.area_enclosure(exact, area, DIGITS)
        closed = measures.area_text(exact, area, longest=LONGEST)
        lines.append(ChipLine(chip.number, chip.name, closed, float((low + high) / 2), group_of[position]))
    return tuple(lines)
