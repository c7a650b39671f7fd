"""Words for chips: kinds by letter, lengths as measured, advice as sentences."""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction
from string import ascii_uppercase
from typing import TYPE_CHECKING

from construct.geometry import Point
from construct.phrasebook import say
from construct.reports import _words as words
from construct.study import Study

if TYPE_CHECKING:
    # whoever only proves never loads what measures chips
    from construct.chips.advice import Advice
    from construct.chips.survey import ChipSurvey, Survey


def kind(group: int) -> str:
    """Return the letter of a kind of chip: A to Z, then AA and on."""
    before, last = divmod(group, 26)
    return (kind(before - 1) if before else "") + ascii_uppercase[last]


def figures(value: float | Fraction, units: str) -> str:
    """Return a measured length in mm as the number of a table: to 0.01 mm, or 0.001 in."""
    text = f"{float(value) / 25.4:.3f}" if units == "in" else f"{float(value):.2f}"
    return f"{0:.{3 if units == 'in' else 2}f}" if float(text) == 0 else text.replace("-", "−")


def bounded(ends: tuple[Fraction, Fraction], units: str) -> str:
    """Return an enclosure as the number of a table: one figure, or both ends where it is wider than the last one shown."""
    last = Fraction(254, 10) / 1000 if units == "in" else Fraction(1, 100)
    low, high = (figures(end, units) for end in ends)
    return f"{low}–{high}" if ends[1] - ends[0] > last else figures((ends[0] + ends[1]) / 2, units)


def length(value: float | Fraction, units: str) -> str:
    """Return a measured length in mm with its unit."""
    return f"{figures(value, units)} {units}"


def limit(value: Fraction, units: str) -> str:
    """Return a limit in mm as it would be said."""
    return words.length(value, units)


def degrees(value: float | Fraction) -> str:
    """Return an angle in degrees, to a tenth, trailing zero left out."""
    return f"{float(value):.1f}".removesuffix(".0")


def turns(value: Fraction) -> str:
    """Return an angle given as a part of a full turn in degrees."""
    return f"{words.decimal(value * 360)} deg"


def who(chips: Sequence[int], found: Survey) -> str:
    """Return which chips something is about: kinds where it is about whole kinds, else numbers."""
    if not chips or len(chips) == len(found.chips) > 1:
        return say("chips.who.all")
    told = set(chips)
    kinds = [number for number, group in enumerate(found.groups) if {found.chips[n].chip.number for n in group} <= told]
    if sum(len(found.groups[number]) for number in kinds) == len(told) and any(len(found.groups[number]) > 1 for number in kinds):
        return say("chips.who.kind" if len(kinds) == 1 else "chips.who.kinds", kinds=words.listed(kind(number) for number in kinds))
    return say("chips.who.chip" if len(chips) == 1 else "chips.who.chips", numbers=words.numbered(sorted(chips)))


def advice(study: Study, one: Advice, units: str, *, remedies: bool = True) -> str:
    """Return a piece of advice as a sentence, with what it rests on, and what helps unless that is left out."""
    found = study.survey
    assert found is not None
    text = " ".join((_sentence(study, one, found, units), say("chips.basis", basis=say(f"chips.basis_of.{one.basis}"))))
    if one.remedies and remedies:
        helps = "; ".join(_sentence(study, remedy, found, units) for remedy in one.remedies)
        deep = any(remedy.key == "lower_angle" for remedy in one.remedies)
        text += " " + say("chips.remedies" if deep else "chips.remedies_wide", remedies=helps)
    return text


def _sentence(study: Study, one: Advice, found: Survey, units: str) -> str:
    filled: dict[str, object] = {"who": who(one.chips, found), "corners": _corners(study, one), "deep": ""}
    for name, value in one.figures.items():
        if value is None:
            continue
        if name == "depth_mm":
            filled["deep"] = say("chips.deep", depth=length(value, units))
        if name.endswith("_mm"):
            exact = isinstance(value, Fraction) and name in ("limit_mm", "thickness_mm", "line_mm")
            filled[name] = limit(Fraction(value), units) if exact else length(value, units)
        else:
            filled[name] = f"{degrees(value)} deg" if name.endswith("_deg") else f"{value:.0f}" if isinstance(value, float) else value
    return say(f"chips.advice.{one.key}", **filled)


def _corners(study: Study, one: Advice) -> str:
    division = one.division
    if division is None or division.kind != "chord":
        return ""
    names = [name_at(study, corner) for corner in division.corners]
    return say("chips.from_to", chip=one.chips[0], first=names[0], last=names[1]) if all(names) else say("chips.corner_to_corner")


def name_at(study: Study, mark: Point) -> str:
    """Return the shortest name of a mark at a place; "" where none stands there."""
    x, y = study.exact.to_float(mark.x), study.exact.to_float(mark.y)
    names = [
        thing.name
        for thing, drawn in zip(study.plan.things, study.drawn, strict=True)
        if thing.kind == "mark" and isinstance(drawn, Point) and math.hypot(drawn.x - x, drawn.y - y) < 1e-7 and ":" not in thing.name
    ]
    return words.plain(min(names, key=lambda name: (not words.is_plain(name), len(name)), default=""))


def corners(one: ChipSurvey) -> str:
    """Return a chip's corners in a few words: "2 of 60", "60, 0, 60", "none"."""
    angles = [degrees((corner.angle_deg[0] + corner.angle_deg[1]) / 2) for corner in one.corners]
    if not angles:
        return say("chips.cell.no_corner")
    if len(set(angles)) == 1 and len(angles) > 1:
        return say("chips.cell.corners", count=len(angles), angle=angles[0])
    return ", ".join(angles[:6]) + (", …" if len(angles) > 6 else "")
