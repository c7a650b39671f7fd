"""A border round a circle, on a screen: the counts worth a look, the chord to set, and by how much the walk then misses its start."""

from __future__ import annotations

from typing import TYPE_CHECKING

from construct.phrasebook import say
from construct.reports import _words as words

if TYPE_CHECKING:
    from construct.methods.borders import Border, BorderCount

IN_PLACES, MM_PLACES = 4, 3


def screen(border: Border, units: str) -> str:
    """Return the border as text."""
    blocks = [_head(border, units), _table(border, units), _take(border, units), _inner(border, units), words.wrapped(say("border.foot"))]
    return "\n\n".join("\n".join(lines) for lines in blocks if lines) + "\n"


def _number(mm: float, units: str, *, signed: bool = False) -> str:
    places = IN_PLACES if units == "in" else MM_PLACES
    value = mm / float(words.MM_PER_INCH) if units == "in" else mm
    shown = f"{value:{'+' if signed else ''}.{places}f}"
    # what rounds to nothing has no sign
    return shown.replace("-", "−") if float(shown) else shown.lstrip("+-")


def _head(border: Border, units: str) -> list[str]:
    across = words.length(border.across_mm, units)
    if border.unit_mm is None:
        return words.wrapped(say("border.head.count", across=across, count=border.best.count))
    return words.wrapped(say("border.head.unit", across=across, unit=words.length(border.unit_mm, units), raw=f"{border.raw:.2f}"))


def _table(border: Border, units: str) -> list[str]:
    heads = ("count", "how", "unit", "left", "chord", "set", "gap")
    rows = [tuple(say(f"border.table.{head}", unit=units) for head in heads)]
    for one in border.counts:
        rows.append((
            str(one.count), how(one), _number(one.unit_mm, units), "" if one.spread_mm is None else _number(one.spread_mm, units, signed=True),
            _number(one.chord_mm, units), words.length(one.setting_mm, units), _number(one.gap_mm, units, signed=True),
        ))  # fmt: skip
    wide = [max(len(row[column]) for row in rows) for column in range(len(heads))]
    return [
        "  ".join(cell.ljust(wide[column]) if column == 1 else cell.rjust(wide[column]) for column, cell in enumerate(row)).rstrip()
        for row in rows
    ]


def how(one: BorderCount) -> str:
    """Return how a bench divides a circle so, in few words."""
    if one.how == "trial" and one.stages[0] > 2:
        return say("border.how.stages", built=one.stages[0], each=one.stages[1])
    return say({"construction": "border.how.construction", "long construction": "border.how.long", "trial": "border.how.trial"}[one.how])


def _take(border: Border, units: str) -> list[str]:
    one = border.best
    said = [say("border.take.count" if border.unit_mm is not None else "border.take.chord", count=one.count, chord=_length(one.chord_mm, units),
                setting=words.length(one.setting_mm, units))]  # fmt: skip
    gap = _length(abs(one.gap_mm), units)
    if abs(one.gap_mm) < 0.005:
        said.append(say("border.take.closes"))
    else:
        said.append(say("border.take.over" if one.gap_mm > 0 else "border.take.short", gap=gap, count=one.count,
                        step=_length(abs(one.correction_mm), units)))  # fmt: skip
    if one.stages[0] > 2:
        key = "border.take.built" if one.stages[1] == 1 else "border.take.stages"
        said.append(say(key, built=one.stages[0], each=one.stages[1]))
    if one.by_arc_mm is not None:
        said.append(say("border.take.arc", arc=_length(one.unit_mm, units), over=_length(one.by_arc_mm, units)))
    return [line for text in said for line in words.wrapped(text)]


def _length(mm: float, units: str) -> str:
    return f"{_number(mm, units)} {units}"


def _inner(border: Border, units: str) -> list[str]:
    if border.width_mm is None:
        return []
    unit = border.best.unit_mm
    return words.wrapped(say(
        "border.width", width=words.length(border.width_mm, units), inner=_length(unit * float(border.inner), units),
        outer=_length(unit * float(border.outer), units), more=f"{float(border.ratio - 1):.0%}".replace("%", " %"),
    ))  # fmt: skip
