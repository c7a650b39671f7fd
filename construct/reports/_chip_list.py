"""The chips of a study as lines of a list: number, name, area, and which are alike.

Area and likeness are exact results of `construct.chips`; here they are only put in words.
"""

from __future__ import annotations

from dataclasses import dataclass

from construct.chips import measures
from construct.study import Study

DIGITS = 12
"""Decimals of the enclosure that an area's value is the middle of."""


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
    lines = []
    for chip in study.carving.chips:
        low, high = measures.area_enclosure(study.exact, measures.area(study.exact, chip), DIGITS)
        lines.append(ChipLine(chip.number, chip.name, "", float((low + high) / 2), chip.number))
    return tuple(lines)
