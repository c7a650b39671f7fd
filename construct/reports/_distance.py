"""The distance of two marks that was asked for with `--at "A B"`: how sure it is, and what it owes that to."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from construct.phrasebook import say
from construct.reports import View
from construct.reports import _error_words as figures
from construct.reports import _words as words

if TYPE_CHECKING:
    from construct.errors import Errors
    from construct.errors.distances import DistanceBudget

MOST_ROWS = 5
WORTH_NAMING = 0.001
"""A row with a smaller share of the variance is not told of here: judgement."""


def block(errors: Errors, view: View) -> list[str]:
    """Return what is known of the distance; nothing where none was asked for."""
    found = errors.distance
    if found is None:
        return []
    units = view.units
    first, second = (f"`{words.plain(name)}`" for name in found.names)
    lines = words.wrapped(
        say("distance.head", first=first, second=second, drawn=figures.cell(found.distance_mm, units), units=units), rest="  "
    )
    told = [found.note] if found.note else [_sure(found, units), _shared(found, units)]
    if found.trials is not None:
        told.append(_trials(found, units))
    if not found.note:
        told.append(_within(found, units))
    rows = [row for row in found.rows if row.share >= WORTH_NAMING][:MOST_ROWS]
    if rows:
        told.append(say("distance.from", rows="; ".join(_row(row, units) for row in rows)))
    return lines + [line for one in told if one for line in words.wrapped(words.plain(one), "  - ", "    ")]


def _sure(found: DistanceBudget, units: str) -> str:
    u, expanded = (figures.amount(one, units) for one in (found.u_mm, found.expanded_mm))
    return say("distance.sure", u=u, expanded=expanded, k=f"{found.k:.2f}", nu=figures.degrees(found.nu))


def _shared(found: DistanceBudget, units: str) -> str:
    if math.isclose(found.apart_mm, found.u_mm, rel_tol=1e-3, abs_tol=1e-6):
        return ""
    return say("distance.shared", apart=figures.amount(found.apart_mm, units))


def _trials(found: DistanceBudget, units: str) -> str:
    one = found.trials
    assert one is not None
    agrees = say(f"distance.agrees.{ {True: 'yes', False: 'no', None: 'none'}[one.agrees] }")
    low, high = (figures.cell(end, units) for end in (one.low_mm, one.high_mm))
    said = say("distance.trials", count=one.trials, u=figures.amount(one.u_mm, units), low=low, high=high, units=units, agrees=agrees)
    return said + (" " + say("distance.lost", count=one.lost) if one.lost else "")


def _within(found: DistanceBudget, units: str) -> str:
    if found.within_mm is None:
        return say("worst.why_none")
    low, high = (figures.cell(end, units) for end in found.within_mm)
    return say("distance.within", low=low, high=high, units=units)


def _row(row: Any, units: str) -> str:
    return say("distance.row", step=words.plain(row.step), source=figures.source(row.source), u=figures.amount(row.u_mm, units))


def record(errors: Errors) -> dict[str, Any] | None:
    """Return it for machines, in mm; None where none was asked for."""
    found = errors.distance
    if found is None:
        return None

    def number(value: float) -> float | None:
        return value if math.isfinite(value) else None

    one = found.trials
    return {
        "names": list(found.names),
        "distance_mm": found.distance_mm,
        "u_mm": number(found.u_mm),
        "k": found.k,
        "expanded_mm": number(found.expanded_mm),
        "u_if_independent_mm": number(found.apart_mm),
        "nu": "infinite" if math.isinf(found.nu) else number(found.nu),
        "untouched": found.untouched,
        "rows": [
            {"source": row.source, "step": row.step, "line": row.line or None, "u_mm": row.u_mm, "share": row.share} for row in found.rows
        ],
        "within_limits_mm": None if found.within_mm is None else list(found.within_mm),
        "guarantee": {"u_mm": "first order", "within_limits_mm": "enclosure", "monte_carlo": "estimate"},
        "note": found.note,
        "monte_carlo": None if one is None else {
            "trials": one.trials, "lost": one.lost, "mean_mm": number(one.mean_mm), "u_mm": number(one.u_mm),
            "interval": {"coverage": 0.95, "low_mm": number(one.low_mm), "high_mm": number(one.high_mm)}, "agrees": one.agrees,
        },
    }  # fmt: skip
