"""The chips of a study for machines: figures in mm with what guarantees them; advice apart, as judgement.

What the hand's errors do to them and the cutting plan are keys of their own, from their own files.
"""

from __future__ import annotations

import math
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from construct.phrasebook import say
from construct.reports import _chip_errors, _cutting_plan
from construct.reports import _chip_words as told
from construct.reports import _words as words
from construct.reports._chip_list import ChipLine, chip_lines
from construct.study import Study

if TYPE_CHECKING:
    # whoever only proves never loads what measures chips
    from construct.chips.advice import Advice
    from construct.chips.land import GrooveLand, Land, WoodPoint
    from construct.chips.measures import Corner
    from construct.chips.survey import ChipSurvey, Survey

FORMAT = 1


def chips(study: Study) -> dict[str, Any]:
    """Return what `construct chips` says; the same object whether it stands alone or in a report."""
    found = study.survey
    if found is None:
        return {"format": FORMAT, "command": "chips", "chips": _unmeasured(study),
                "note": say("chips.none" if study.carving is None else "chips.unmeasured")}  # fmt: skip
    areas = {line.number: line for line in chip_lines(study)}
    return {
        "format": FORMAT,
        "command": "chips",
        "chips": [_chip(study, one, areas[one.chip.number], found) for one in found.chips],
        "kinds": [
            {"kind": told.kind(number), "chips": [found.chips[position].chip.number for position in group]}
            for number, group in enumerate(found.groups)
        ],
        "lands": [_land(one) for one in found.lands],
        "grooves": [_groove(study, one) for one in found.grooves],
        "wood_points": [_point(one) for one in found.points],
        "limits": _limits(study, found),
        "advice": [_advice(study, one) for one in found.advice],
        "errors": _chip_errors.record(study),
        "cutting_plan": _cutting_plan.record(study),
        "note": say("chips.note"),
    }


def _chip(study: Study, one: ChipSurvey, area: ChipLine, found: Survey) -> dict[str, Any]:
    number = one.chip.number
    first = found.chips[found.groups[one.group][0]].chip
    guarantee = "estimate" if one.curved else "enclosure"
    land = found.least_land(number)
    return {
        "name": words.plain(one.chip.name) or str(number),
        "number": number,
        "alike": words.plain(first.name) or str(first.number),
        "kind": told.kind(one.group),
        "area": _area(area),
        "widest_mm": _middle(one.width_mm),
        "depth_mm": None if one.depth is None else one.depth.middle,
        "length_mm": one.length.middle,
        "round_mm": _middle(one.round_mm),
        "guarantee": guarantee,
        "width": {"low_mm": _below(one.width_mm[0]), "high_mm": _above(one.width_mm[1])},
        "largest_circle": {
            "radius_mm": one.widest.middle, "low_mm": _below(one.widest.lower), "high_mm": _above(one.widest.upper),
            "at_mm": [float(place) for place in one.widest.centre], "as": "drawn",
            "contacts": [{"along": words.plain(study.plan.things[touch.thing].name), "at_mm": list(touch.place), "weight": touch.weight}
                         for touch in one.widest.contacts],
        },
        "length": {"low_mm": _below(one.length.lower), "high_mm": _above(one.length.upper),
                   "from_mm": list(one.length.start), "to_mm": list(one.length.finish)},
        "depth": _depth(one),
        "corners": [_corner(study, corner) for corner in one.corners],
        "least_land_mm": None if land is None else land.middle,
        "ridge_with": list(found.neighbours(number, "ridge")),
        "point_with": list(found.neighbours(number, "point")),
        "to_edge_mm": None if one.margin is None else one.margin.middle,
    }  # fmt: skip


def _unmeasured(study: Study) -> list[dict[str, Any]]:
    """Return the chips with their areas alone."""
    lines = chip_lines(study)
    first = {line.group: line for line in reversed(lines)}
    return [
        {"name": words.plain(line.name) or str(line.number), "number": line.number, "area": _area(line),
         "widest_mm": None, "depth_mm": None, "alike": words.plain(first[line.group].name) or str(first[line.group].number)}
        for line in lines
    ]  # fmt: skip


def _area(line: ChipLine) -> dict[str, Any]:
    bounds = {"low": line.low, "high": line.high} if line.guarantee == "enclosure" else {}
    return {"exact": line.exact, "value": line.value, "unit": "mm2", "guarantee": line.guarantee, **bounds}


def _corner(study: Study, one: Corner) -> dict[str, Any]:
    return {
        "name": told.name_at(study, one.point),
        "at_mm": [study.exact.to_float(one.point.x), study.exact.to_float(one.point.y)],
        "angle_deg": _middle(one.angle_deg),
        "touching": one.cusp,
    }


def _depth(one: ChipSurvey) -> dict[str, Any] | None:
    if one.depth is None:
        return None
    return {
        "low_mm": _below(one.depth.lower),
        "high_mm": _above(one.depth.upper),
        "at_mm": list(one.depth.place),
        "walls": one.depth.walls,
        "angles_deg": [float(turns * 360) for turns in one.depth.turns],
    }


def _land(one: Land) -> dict[str, Any]:
    return {
        "chips": [one.first, one.second],
        "kind": one.kind,
        "land_mm": one.middle,
        "low_mm": _below(one.lower),
        "high_mm": _above(one.upper),
        "from_mm": None if one.start is None else list(one.start),
        "to_mm": None if one.finish is None else list(one.finish),
        "ridge_deg": None if one.ridge_turns is None else float(one.ridge_turns * 360),
    }


def _groove(study: Study, one: GrooveLand) -> dict[str, Any]:
    return {"chip": one.chip, "groove": words.plain(study.plan.things[one.thing].name), "kind": one.kind, "land_mm": one.middle}


def _point(one: WoodPoint) -> dict[str, Any]:
    return {"at_mm": list(one.place), "between": sorted(set(one.chips)), "angle_deg": _middle(one.angle_deg)}


def _limits(study: Study, found: Survey) -> dict[str, Any]:
    said = found.limits
    assert study.carving is not None
    return {
        "thickness_mm": _float(said.thickness_mm),
        "deepest_mm": _float(said.deepest_mm),
        "deepest_basis": said.deepest_basis,
        "land_mm": _float(said.land_mm),
        "stand": said.stand,
        "line_mm": float(said.line_mm),
        "knife": [
            {"angle_deg": float(angle.turns * 360), "along": _name(study, angle.thing), "others_upright": angle.others_upright}
            for angle in study.carving.knife
        ],
    }


def _advice(study: Study, one: Advice) -> dict[str, Any]:
    return {
        "key": one.key,
        "chips": list(one.chips),
        "text": told.advice(study, one, "mm"),
        "figures": _figures(one),
        "basis": one.basis,
        "remedies": [{"key": remedy.key, "figures": _figures(remedy)} for remedy in one.remedies],
    }


def _below(value: Fraction) -> float:
    """Return the largest float that is not above a number, so that an enclosure stays one."""
    near = float(value)
    return near if Fraction(near) <= value else math.nextafter(near, -math.inf)


def _above(value: Fraction) -> float:
    return -_below(-value)


def _figures(one: Advice) -> dict[str, float | None]:
    return {name: _float(value) for name, value in one.figures.items()}


def _name(study: Study, thing: int | None) -> str | None:
    return None if thing is None else words.plain(study.plan.things[thing].name)


def _middle(found: tuple[Fraction, Fraction]) -> float:
    return float((found[0] + found[1]) / 2)


def _float(value: float | Fraction | None) -> float | None:
    return None if value is None else float(value)
