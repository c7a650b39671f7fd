"""The chips of a study as text: a table by kind, what each kind is, advice; then chip by chip.

What the hand's errors do to them and the cutting plan are blocks of their own files.
"""

from __future__ import annotations

from collections.abc import Sequence

from construct.chips.rules import rules
from construct.chips.survey import ChipSurvey, Survey
from construct.phrasebook import say
from construct.reports import View, _chip_errors, _cutting_plan
from construct.reports import _chip_words as told
from construct.reports import _words as words
from construct.reports._chip_list import chip_lines
from construct.study import Study

MOST_KINDS = 40
"""Kinds that are listed unless every one is asked for."""


def text(study: Study, view: View, *, whole: bool = False) -> str:
    """Return the report on the chips of a study that was surveyed."""
    return "\n\n".join("\n".join(block) for block in _blocks(study, view, whole) if block) + "\n"


def _blocks(study: Study, view: View, whole: bool) -> list[list[str]]:
    found = study.survey
    assert found is not None
    blocks = [
        _head(study, found, view),
        _table(study, found, view, whole),
        _kinds(study, found, view, whole),
        _chip_errors.short(study, view),
        _advice(study, found, view),
        _mind(study),
    ]
    if whole:
        blocks += [_each(found, view), _chip_errors.table(study, view), _cutting_plan.table(study, view)]
    else:
        blocks.append(_cutting_plan.short(study, view))
    return [*blocks, _next(view, whole)]


def _head(study: Study, found: Survey, view: View) -> list[str]:
    carving = study.carving
    assert carving is not None
    title = say("chips.title", title=words.plain(study.plan.title) or say("figure.untitled"))
    said = say(
        "chips.head",
        chips=words.counted(len(found.chips), "chip"),
        kinds=say("chips.kinds", count=len(found.groups)),
        grooves=f"; {words.counted(len(carving.grooves), 'groove')}" if carving.grooves else "",
        knife=_knife(study),
        stand=say(f"chips.stand.{found.limits.stand}", line=told.limit(found.limits.line_mm, view.units)),
        limits=_limits(found, view),
    )
    meaning = [say("chips.meaning")]
    if any(one.curved for one in found.chips):
        meaning.append(say("chips.meaning_curve"))
    if any(one.depth is not None and one.depth.walls == "upright" for one in found.chips):
        meaning.append(say("chips.meaning_upright"))
    return [title, *words.wrapped(f"{words.blank(study.plan, view.units)}."), *words.wrapped(said), "", *words.wrapped(" ".join(meaning))]


def _knife(study: Study) -> str:
    assert study.carving is not None
    said = []
    for angle in study.carving.knife:
        where = "one" if angle.thing is None else "upright" if angle.others_upright else "own"
        thing = "" if angle.thing is None else words.plain(study.plan.things[angle.thing].name)
        said.append(say(f"chips.knife.{where}", angle=told.turns(angle.turns), thing=thing))
    return words.listed(said) or say("chips.knife.none")


def _limits(found: Survey, view: View) -> str:
    said = found.limits
    if said.deepest_mm is None:
        parts = [say("chips.deepest.none")]
    else:
        parts = [say(f"chips.deepest.{said.deepest_basis}", limit=told.limit(said.deepest_mm, view.units))]
    if said.land_mm is not None:
        parts.append(say("chips.land", limit=told.limit(said.land_mm, view.units)))
    return " ".join(parts)


def _table(study: Study, found: Survey, view: View, whole: bool) -> list[str]:
    heads = ("kind", "count", "width", "length", "depth", "corners", "land", "edge", "see")
    rows = [tuple(say(f"chips.column.{head}") for head in heads)]
    for number, group in enumerate(found.groups if whole else found.groups[:MOST_KINDS]):
        members = [found.chips[position] for position in group]
        first = members[0]
        rows.append((
            told.kind(number) + ("*" if first.curved else ""), str(len(members)),
            told.bounded(first.width_mm, view.units), told.figures(first.length.middle, view.units),
            _depths(members, view), told.corners(first), _land(members, found, view), _edge(members, view), _see(members, found),
        ))  # fmt: skip
    below = say(f"chips.unit.{view.units}")
    ridges = sorted({land.ridge_turns for land in found.lands if land.ridge_turns is not None})
    if ridges:
        below += " " + say("chips.ridges", angles=words.listed(told.degrees(turns * 360) for turns in ridges))
    return [*aligned(rows), *words.wrapped(below)]


def _depths(members: Sequence[ChipSurvey], view: View) -> str:
    return " / ".join(sorted({_depth(one, view) for one in members}))


def _depth(one: ChipSurvey, view: View) -> str:
    return say("chips.cell.nothing") if one.depth is None else told.bounded((one.depth.lower, one.depth.upper), view.units)


def _land(members: Sequence[ChipSurvey], found: Survey, view: View) -> str:
    numbers = [one.chip.number for one in members]
    said = [say(f"chips.cell.{kind}") for kind in ("ridge", "point") if any(found.neighbours(number, kind) for number in numbers)]
    least = [land.middle for number in numbers if (land := found.least_land(number)) is not None]
    if least:
        said.append(told.figures(min(least), view.units))
    return ", ".join(said) or (_over(view) if len(found.chips) > 1 else say("chips.cell.nothing"))


def _over(view: View) -> str:
    return say("chips.cell.over", limit=told.figures(rules().neighbour_mm, view.units).removesuffix(".00"))


def _edge(members: Sequence[ChipSurvey], view: View) -> str:
    left = [one.margin.middle for one in members if one.margin is not None]
    return told.figures(min(left), view.units) if left else say("chips.cell.nothing")


def _see(members: Sequence[ChipSurvey], found: Survey) -> str:
    numbers = {one.chip.number for one in members}
    lines = [str(n) for n, one in enumerate(found.advice, start=1) if numbers & set(one.chips)]
    return ", ".join(lines) or say("chips.cell.nothing")


def aligned(rows: Sequence[Sequence[str]], words_in: tuple[int, ...] = (0, 5, 6, 8)) -> list[str]:
    """Return rows as lines with columns two blanks apart, numbers to the right; `words_in` are the columns that start at the left."""
    widths = [max(len(row[n]) for row in rows) for n in range(len(rows[0]))]
    lines = []
    for row in rows:
        cells = [cell.ljust(width) if n in words_in else cell.rjust(width) for n, (cell, width) in enumerate(zip(row, widths, strict=True))]
        lines.append(("  " + "  ".join(cells)).rstrip())
    return lines


def _kinds(study: Study, found: Survey, view: View, whole: bool) -> list[str]:
    areas = {line.number: line for line in chip_lines(study)}
    lines: list[str] = []
    for number, group in enumerate(found.groups if whole else found.groups[:MOST_KINDS]):
        first = found.chips[group[0]]
        names = [words.plain(found.chips[position].chip.name) for position in group]
        area = areas[first.chip.number]
        said = say(
            "chips.kind",
            kind=told.kind(number),
            count=len(group),
            numbers=words.numbered([found.chips[position].chip.number for position in group]),
            name=f" (`{names[0]}`{', …' if len(names) > 1 else ''})" if names[0] else "",
            area=words.area(area.exact, area.value, view.units) + (f" ({say('chips.chords')})" if first.curved else ""),
            round=told.length(sum(first.round_mm) / 2, view.units),
        )
        if first.depth is not None and first.depth.contacts:
            said += f"; {_floor(study, first, view)}"
        lines += words.wrapped(said, "  ", "      ")
    if not whole and len(found.groups) > MOST_KINDS:
        lines.append(f"  … {say('chips.kinds', count=len(found.groups) - MOST_KINDS)}")
    return lines


def _floor(study: Study, one: ChipSurvey, view: View) -> str:
    """Return where the floor of a chip with uneven walls lies."""
    assert one.depth is not None
    parts = [
        say("chips.floor_from", distance=told.length(touch.distance, view.units), thing=words.plain(study.plan.things[touch.thing].name))
        for touch in one.depth.contacts
    ]
    return say("chips.floor", distances=words.listed(parts))


def _advice(study: Study, found: Survey, view: View) -> list[str]:
    if not found.advice:
        return words.wrapped(say("chips.no_advice"))
    lines = [say("chips.advice_head")]
    for number, one in enumerate(found.advice, start=1):
        lines += words.wrapped(told.advice(study, one, view.units), f"{number:3}. ", "     ")
    return lines


def _mind(study: Study) -> list[str]:
    assert study.carving is not None
    said = [say("chips.short.mind", text=f"{one.message}. {one.hint}") for one in study.carving.warnings]
    return [line for one in said for line in words.wrapped(one, rest="  ")]


def _each(found: Survey, view: View) -> list[str]:
    rows = [tuple(say(f"chips.column.{head}") for head in ("chip", "name", "kind", "width", "depth", "ridges", "points", "land", "edge"))]
    nothing = say("chips.cell.nothing")
    for one in found.chips:
        number = one.chip.number
        land = found.least_land(number)
        other = None if land is None else land.second if land.first == number else land.first
        rows.append((
            str(number), words.plain(one.chip.name) or nothing, told.kind(one.group), told.bounded(one.width_mm, view.units),
            _depth(one, view),
            *(words.numbered(found.neighbours(number, kind)) or nothing for kind in ("ridge", "point")),
            nothing if land is None else say("chips.cell.to", land=told.figures(land.middle, view.units), chip=other),
            nothing if one.margin is None else told.figures(one.margin.middle, view.units),
        ))  # fmt: skip
    return [say("chips.each"), *aligned(rows, (1, 2, 5, 6, 7))]


def _next(view: View, whole: bool) -> list[str]:
    recipe = view.again
    said = [] if whole else [say("chips.next_all", recipe=recipe)]
    said.append(say("chips.next_look", folder=view.folder) if view.folder else say("chips.next_folder", recipe=recipe))
    return words.wrapped(say("chips.next", said="; ".join(said)), rest="  ")
