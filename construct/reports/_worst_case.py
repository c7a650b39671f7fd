"""The worst case within stated limits, as a table and as a record: at most so far, and the worst corner found beside it."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from construct.phrasebook import say
from construct.reports import View
from construct.reports import _error_words as figures
from construct.reports import _words as words

if TYPE_CHECKING:
    from construct.errors import Errors
    from construct.errors.worst_case import Worst, WorstCase

NAME = 16


def table(errors: Errors, view: View) -> list[str]:
    """Return how far off every mark and cut edge lies at most, and at the worst corner found; nothing where it was not asked for."""
    found = errors.worst
    if found is None:
        return []
    lines = words.wrapped(say("worst.head", units=view.units), rest="  ")
    lines += words.wrapped(say("worst.limits"), "  ", "    ")
    lines += words.wrapped(say("worst.each", limits="; ".join(_limits(found, view.units))), "  ", "    ")
    if found.edges:
        lines += words.wrapped(say("worst.knife", limit=figures.amount(found.knife_mm, view.units)), "  ", "    ")
    if found.boxes > 1:
        lines += words.wrapped(say("worst.split", count=found.boxes), "  ", "    ")
    if any(one.note for one in (*found.marks, *found.edges)):
        lines += words.wrapped(say("worst.why_none"), "  ", "    ")
    most, corner = say("worst.column.most"), say("worst.column.corner")
    lines.append(f"  {'':<{NAME}}{'':7} {most:>9} {corner:>9}")
    for one in (*found.marks, *found.edges):
        lines += _row(one, view.units)
    return lines


def _limits(found: WorstCase, units: str) -> list[str]:
    return [
        say("worst.limit", source=figures.source(name), limit=f"{math.degrees(limit):.2g} deg" if unit == "rad" else figures.amount(limit, units))
        for name, limit, unit in found.limits
    ]


def _row(one: Worst, units: str) -> list[str]:
    name = words.plain(one.name if one.edge is None else say("worst.edge", name=one.name, number=one.edge))
    cells = f"{one.where:<7} {figures.cell(one.most_mm, units):>9} {figures.cell(one.corner_mm, units):>9}"
    told = [say("worst.no_bound")] if one.note else []
    told += [say("worst.missed", count=one.missed)] if one.missed else []
    rest = f"{cells}  {'; '.join(told)}".rstrip()
    return [f"  {name:<{NAME}}{rest}"] if len(name) < NAME else [*words.wrapped(name, "  "), f"  {'':<{NAME}}{rest}"]


def record(errors: Errors) -> dict[str, Any] | None:
    """Return it for machines, in mm; None where it was not asked for."""
    found = errors.worst
    if found is None:
        return None
    return {
        "guarantee": {"most_mm": "enclosure", "corner_mm": "estimate"},
        "limits": [
            {"source": name, "limit_deg" if unit == "rad" else "limit_mm": math.degrees(limit) if unit == "rad" else limit}
            for name, limit, unit in found.limits
        ],
        "basis": say("worst.limits"),
        "knife_mm": found.knife_mm,
        "boxes": found.boxes,
        "marks": [{"name": one.name, **_record(one)} for one in found.marks],
        "edges": [{"name": one.name, "number": one.edge, "where": one.where, **_record(one)} for one in found.edges],
    }


def _record(one: Worst) -> dict[str, Any]:
    def number(value: float) -> float | None:
        return value if math.isfinite(value) else None

    return {"most_mm": number(one.most_mm), "corner_mm": number(one.corner_mm), "corners_missed": one.missed, "note": one.note}
