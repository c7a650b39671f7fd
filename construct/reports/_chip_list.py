"""The chips of a study as lines of a list: number, name, area, and which are alike.

Area and likeness are exact results of `construct.chips`; here they are only put in words.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal

from construct.chips import isometry, measures
from construct.study import Study

DIGITS = 12
"""Decimals of the enclosure that an area's value is the middle of."""

LONGEST = 120
"""A closed form longer than this is no help to anybody."""


@dataclass(frozen=True, slots=True)
class ChipLine:
    """One chip.

    exact: its area's closed form in mm², "" where none is short or there is none; value: the area as a float.
    guarantee: "exact" with a closed form; "enclosure" without one: `low` and `high`, mm² in decimals, hold it;
    "estimate" where chords stand in for a french curve.
    group: equal for chips that are alike.
    """

    number: int
    name: str
    exact: str
    value: float
    guarantee: str
    group: int
    low: str = ""
    high: str = ""


def chip_lines(study: Study) -> tuple[ChipLine, ...]:
    """Return the chips of a study, by number; empty without a carving."""
    if study.carving is None:
        return ()
    exact, chips = study.exact, study.carving.chips
    if study.survey is not None:
        rows = [(one.chip, one.group, one.area, one.area_mm2) for one in study.survey.chips]
    else:
        group_of = {position: number for number, group in enumerate(isometry.groups(exact, chips)) for position in group}
        areas = [measures.area(exact, chip) for chip in chips]
        rows = [(chip, group_of[n], areas[n], measures.area_enclosure(exact, areas[n], DIGITS)) for n, chip in enumerate(chips)]
    lines = []
    for chip, group, area, (low, high) in rows:
        curved = any(edge.curved for walk in chip.walks for edge in walk)
        closed = "" if curved else measures.area_text(exact, area, longest=LONGEST)
        guarantee = "estimate" if curved else "exact" if closed else "enclosure"
        lines.append(ChipLine(chip.number, chip.name, closed, float((low + high) / 2), guarantee, group,
                              _decimals(math.floor(low * 10**DIGITS)), _decimals(math.ceil(high * 10**DIGITS))))  # fmt: skip
    return tuple(lines)


def _decimals(scaled: int) -> str:
    return str(Decimal(scaled).scaleb(-DIGITS))
