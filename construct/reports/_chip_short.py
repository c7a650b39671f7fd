"""The chips in the whole report: each kind with its size, and what to mind, in short."""

from __future__ import annotations

from collections.abc import Sequence

from construct.phrasebook import say
from construct.reports import View
from construct.reports import _chip_words as chip_words
from construct.reports import _words as words
from construct.reports._chip_list import ChipLine, chip_lines
from construct.study import Study

MOST_CHIPS = 12
MOST_ADVICE = 4
INDENT = " " * 11


def verdict(study: Study) -> str:
    """Return, behind a blank, whether the chips call for care; nothing where they were not measured."""
    if study.survey is None:
        return ""
    count = len(study.survey.advice)
    # no claim is about the wood's thickness: "yes" alone would send the knife through the plate
    through = sum(len(one.chips) for one in study.survey.advice if one.key == "through")
    first = f" {say('chips.right_through', count=through)}" if through else ""
    return f"{first} {say('chips.right_some', count=count) if count else say('chips.right_none')}"


def lines(study: Study, view: View) -> list[str]:
    """Return the chips part of the whole report."""
    if study.carving is None:
        return words.wrapped(say("chips.short.head", said=f"{say('chips.none')}."), rest="  ")
    each = chip_lines(study)
    unmeasured = "" if study.survey is not None else f"; {say('chips.unmeasured')}"
    counts = f"{words.counted(len(each), 'chip')}, {words.counted(len(study.carving.grooves), 'groove')}{unmeasured}."
    said = words.wrapped(say("chips.short.head", said=counts), rest="  ")
    same = _in_groups(each)
    for members in same[:MOST_CHIPS]:
        numbers = [line.number for line in members]
        name = f" ({words.plain(members[0].name)})" if members[0].name else ""
        who = say("chips.short.who", count=len(members), numbers=words.numbered(numbers), name=name)
        area = words.area(members[0].exact, members[0].value, view.units)
        if members[0].guarantee == "estimate":
            area += f" ({say('chips.chords')})"
        area += "" if len(members) == 1 else say("chips.short.each")
        said += words.wrapped(f"{chip_words.kind(members[0].group)}: {who}: {_size(study, numbers[0], view)}{area}", "  ", INDENT)
    if len(same) > MOST_CHIPS:
        said.append(f"  {say('chips.short.more', count=len(same) - MOST_CHIPS)}")
    for warning in study.carving.warnings:
        said += words.wrapped(say("chips.short.mind", text=f"{warning.message}. {warning.hint}"), "  ", INDENT)
    return said + _advice(study, view)


def _size(study: Study, number: int, view: View) -> str:
    """Return how large a chip is, in short; nothing where it was not measured."""
    if study.survey is None:
        return ""
    one = study.survey.chips[number - 1]
    deep = "" if one.depth is None else say("chips.deep", depth=chip_words.length(one.depth.middle, view.units))
    width, length = (chip_words.length(value, view.units) for value in (sum(one.width_mm) / 2, one.length.middle))
    return say("chips.short.size", width=width, length=length, deep=deep) + "; "


def _advice(study: Study, view: View) -> list[str]:
    """Return the advice on chips in short, and the command that says it all."""
    if study.survey is None:
        return []
    said = []
    for one in study.survey.advice[:MOST_ADVICE]:
        said += words.wrapped(say("chips.short.mind", text=chip_words.advice(study, one, view.units, remedies=False)), "  ", INDENT)
    more = len(study.survey.advice) - MOST_ADVICE
    key = "chips.short.see_more" if more > 0 else "chips.short.see"
    return said + words.wrapped(say(key, recipe=view.again, count=more), "  ", "  ")


def _in_groups(lines: Sequence[ChipLine]) -> list[list[ChipLine]]:
    groups: dict[object, list[ChipLine]] = {}
    for line in lines:
        groups.setdefault(line.group, []).append(line)
    return list(groups.values())
