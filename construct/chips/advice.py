"""What a carver would say to the figures: *judgement*, kept apart from what is measured.

Each piece of advice has a key, the chips it is about, figures, and what it rests
on; the words are in the phrasebook.  An enclosure that reaches over a limit on
both sides counts as within it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from construct.chips import Carving
from construct.chips.depth import depth, steepest_deg, wall_turns
from construct.chips.rules import rules
from construct.chips.splits import Division, divisions, halved_reach

if TYPE_CHECKING:
    from construct.chips.survey import ChipSurvey, Survey

JUDGEMENT, PRACTICE, SAID = "judgement", "common practice, no source", "the recipe"
"""What advice rests on."""

Figure = float | Fraction | None


@dataclass(frozen=True, slots=True)
class Advice:
    """One piece of advice.

    key: which sentence of the phrasebook.  chips: the chips' numbers it is about; empty where it is about all.
    figures: by name, those ending in `_mm` in mm, in `_deg` in degrees, else counts.  basis: what it rests on.
    remedies: what to do about it, each real practice.  division: how to divide the first of the chips, where that is advised.
    """

    key: str
    chips: tuple[int, ...]
    figures: dict[str, Figure]
    basis: str
    remedies: tuple[Advice, ...] = ()
    division: Division | None = None


def advised(exact: Any, carving: Carving, found: Survey) -> tuple[Advice, ...]:
    """Return all advice on a survey: what can not be carved first, then by kind, each kind by number."""
    return (*_on_the_whole(found), *_on_size(exact, carving, found), *_on_points(found), *_on_land(found), *_on_the_edge(found))


def _on_the_whole(found: Survey) -> Iterator[Advice]:
    said = found.limits
    if any(one.depth is None for one in found.chips):
        silent = tuple(one.chip.number for one in found.chips if one.depth is None)
        yield Advice("no_knife", () if len(silent) == len(found.chips) else silent, {}, SAID)
    elif said.thickness_mm is None and said.deepest_mm is None:
        yield Advice("no_thickness", (), {}, SAID)
    if said.thickness_mm is not None and said.deepest_mm is not None and said.deepest_mm >= said.thickness_mm:
        yield Advice("deepest_too_deep", (), {"limit_mm": said.deepest_mm, "thickness_mm": said.thickness_mm}, SAID)
    ridged = any(one.kind == "ridge" for one in found.lands)
    if ridged and said.stand != "on":
        yield Advice("ridge_flat" if said.stand == "inside" else "ridge_lost", (), {"line_mm": said.line_mm}, JUDGEMENT)


# --- how wide and how deep ----------------------------------------------------------------------


def _on_size(exact: Any, carving: Carving, found: Survey) -> Iterator[Advice]:
    for members in _together(found.chips):
        numbers = tuple(one.chip.number for one in members)
        first = members[0]
        if first.width_mm[1] <= 0:
            yield Advice("closed", numbers, {"line_mm": found.limits.line_mm}, JUDGEMENT)
            continue
        told = _size_told(first, numbers, found)
        if told is not None:
            yield Advice(told.key, told.chips, told.figures, told.basis, *_remedies(exact, carving, first, found))


def _together(chips: Sequence[ChipSurvey]) -> list[list[ChipSurvey]]:
    """Return chips that are alike and cut at the same angles."""
    rows: dict[object, list[ChipSurvey]] = {}
    for one in chips:
        rows.setdefault((one.group, None if one.depth is None else (one.depth.walls, round(one.depth.middle, 6))), []).append(one)
    return list(rows.values())


def _size_told(one: ChipSurvey, numbers: tuple[int, ...], found: Survey) -> Advice | None:
    """Return the strongest thing to say about a chip's size."""
    said, wood = found.limits, rules()
    width = (one.width_mm[0] + one.width_mm[1]) / 2
    if one.depth is not None:
        deep = (one.depth.lower + one.depth.upper) / 2
        if said.thickness_mm is not None and one.depth.lower >= said.thickness_mm:
            return Advice("through", numbers, {"depth_mm": deep, "thickness_mm": said.thickness_mm}, SAID)
        if said.deepest_mm is not None and one.depth.lower > said.deepest_mm:
            figures: dict[str, Figure] = {"depth_mm": deep, "limit_mm": said.deepest_mm}
            return Advice(f"deep_{said.deepest_basis}", numbers, figures, SAID if said.deepest_basis == "said" else PRACTICE)
    if one.width_mm[0] > wood.relieve_to_mm:
        return Advice("very_wide", numbers, {"width_mm": width, "limit_mm": wood.relieve_to_mm}, JUDGEMENT)
    if one.width_mm[0] > wood.comfortable_mm:
        return Advice("wide", numbers, {"width_mm": width, "limit_mm": wood.comfortable_mm}, JUDGEMENT)
    return None


def _remedies(exact: Any, carving: Carving, one: ChipSurvey, found: Survey) -> tuple[tuple[Advice, ...], Division | None]:
    """Return what to do about a chip that is too large: a lower angle, a division, stages; all are real practice."""
    said, wood = found.limits, rules()
    numbers = (one.chip.number,)
    remedies = []
    too_deep = one.depth is not None and said.deepest_mm is not None and one.depth.lower > said.deepest_mm
    reach = one.widest.upper + said.shift_mm
    if too_deep and one.depth is not None and one.depth.walls == "even" and said.deepest_mm is not None:
        remedies.append(Advice("lower_angle", numbers, {"angle_deg": steepest_deg(said.deepest_mm, reach)}, PRACTICE))
    division = None
    if too_deep or one.width_mm[0] > wood.relieve_to_mm:
        division = next(iter(divisions(exact, one.chip, one.corners, one.widest)), None)
        remedies.append(_divided(exact, carving, one, division, found))
    if one.width_mm[0] > wood.comfortable_mm:
        remedies.append(Advice("stages", numbers, {}, PRACTICE))
    return tuple(remedies), division


def _divided(exact: Any, carving: Carving, one: ChipSurvey, division: Division | None, found: Survey) -> Advice:
    said = found.limits
    if division is None:
        deep = one.depth.middle / 2 if one.depth is not None and one.depth.walls == "even" else None
        return Advice("divide_floor", (one.chip.number,), {"width_mm": 2 * halved_reach(one.widest), "depth_mm": deep}, PRACTICE)
    depths = []
    for walks, part in zip(division.parts, division.widths, strict=True):
        turns = wall_turns(carving, walks)
        if turns is not None:
            depths.append(depth(exact, walks, turns, part, shift_mm=said.shift_mm))
    deepest = max(depths, key=lambda each: each.middle, default=None)
    width = division.widest.lower + division.widest.upper + 2 * said.shift_mm
    fits = width <= rules().relieve_to_mm and (deepest is None or said.deepest_mm is None or deepest.upper <= said.deepest_mm)
    figures: dict[str, Figure] = {"parts": len(division.parts), "width_mm": width, "depth_mm": None if deepest is None else deepest.middle}
    return Advice(f"divide_{division.kind}" + ("" if fits else "_short"), (one.chip.number,), figures, PRACTICE, division=division)


# --- points, land, margin -----------------------------------------------------------------------


def _on_points(found: Survey) -> Iterator[Advice]:
    wood = rules()
    for group in found.groups:
        members = [found.chips[position] for position in group]
        sharp = [corner.angle_deg for corner in members[0].corners if corner.angle_deg[1] < wood.long_point_deg]
        if sharp:
            angle = min((low + high) / 2 for low, high in sharp)
            yield Advice("long_point", tuple(one.chip.number for one in members), {"angle_deg": angle}, PRACTICE)
    if found.points:
        sharpest = min((low + high) / 2 for low, high in (one.angle_deg for one in found.points))
        numbers = sorted({number for one in found.points for number in one.chips})
        figures: dict[str, Figure] = {"count": len(found.points), "angle_deg": sharpest, "limit_deg": wood.frail_point_deg}
        yield Advice("frail_point", tuple(numbers), figures, JUDGEMENT)


def _on_land(found: Survey) -> Iterator[Advice]:
    said = found.limits.land_mm
    limit = rules().frail_land_mm if said is None else said
    key, basis = ("frail_land", PRACTICE) if said is None else ("narrow_land", SAID)
    narrow = [one for one in found.lands if one.kind == "land" and one.upper < limit]
    if narrow:
        numbers = sorted({number for one in narrow for number in (one.first, one.second)})
        least = min(narrow, key=lambda one: one.middle)
        yield Advice(key, tuple(numbers), {"count": len(narrow), "land_mm": least.middle, "limit_mm": limit}, basis)
    met = sorted({one.chip for one in found.grooves if one.kind == "meets"})
    if met:
        yield Advice("groove_meets", tuple(met), {}, JUDGEMENT)
    close = [one for one in found.grooves if one.kind == "land" and one.upper < limit]
    if close:
        figures: dict[str, Figure] = {"land_mm": min(one.middle for one in close), "limit_mm": limit}
        yield Advice(f"{key}_groove", tuple(sorted({one.chip for one in close})), figures, basis)


def _on_the_edge(found: Survey) -> Iterator[Advice]:
    limit = found.limits.land_mm or rules().frail_land_mm
    for key, over in (("over_edge", True), ("near_edge", False)):
        rows = [(one.chip.number, one.margin) for one in found.chips if one.margin is not None and (one.margin.upper <= 0) == over]
        rows = [(number, left) for number, left in rows if left.upper < limit]
        if rows:
            least = min(left.middle for _, left in rows)
            figures: dict[str, Figure] = {"margin_mm": abs(least), "limit_mm": limit}
            yield Advice(key, tuple(number for number, _ in rows), figures, JUDGEMENT if found.limits.land_mm is None or over else SAID)
