"""The hand's errors for machines: what `construct errors --json` prints, and the errors part of a report's record.

Lengths in mm, angles in degrees where the key says so; no figure is left out, and none that is not a number is in.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from construct.diagnostics import Diagnostic
from construct.phrasebook import say
from construct.reports import _chip_errors, _distance, _worst_case
from construct.reports import _error_words as hand
from construct.study import Study

if TYPE_CHECKING:
    from construct.errors import Errors, InputQuantity, Row
    from construct.errors.budget import EdgeBudget, MarkBudget, StationBudget, StepCost, Trials
    from construct.errors.first_step import Sensitivity
    from construct.errors.movement import Movement, Split, StepMovement, Unequal


def errors(study: Study, form: int) -> dict[str, Any]:
    """Return everything that is known of the hand's errors; results are empty where they were not asked for."""
    found = study.errors
    if found is None:
        return {"format": form, "command": "errors", "results": [], "seed": None, "trials": 0, "note": say("hand.not_asked")}
    return {
        "format": form,
        "command": "errors",
        "results": [_mark(mark) for mark in found.marks],
        "seed": found.seed,
        "trials": found.trials,
        "lost": found.lost,
        "lost_where": [{"what": what, "count": count} for what, count in found.lost_where],
        "stable": found.stable,
        "bench": found.level,
        "way": study.way,
        "guarantee": {"results": "first order", "edges": "first order", "movement": "first order", "monte_carlo": "estimate"},
        "edges": [_edge(edge, found) for edge in found.edges],
        "steps": [_cost(cost) for cost in hand.costs(found)],
        "first_step": _first_step(found),
        "movement": None if found.movement is None else _movement(found.movement),
        "distance": _distance.record(found),
        "worst_case": _worst_case.record(found),
        "knife_u_mm": found.knife_u_mm,
        "inputs": [_input(one) for one in found.inputs],
        "bands": [
            {"under_mm": _number(most), "says": say(f"hand.band.{number}"), "basis": "judgement"} for number, most in enumerate(hand.BANDS)
        ],
        "warnings": [_warning(one) for one in found.warnings],
        "chips": _chip_errors.record(study),
        "not_counted": list(hand.not_counted(study)),
        "notes": [*found.notes, say("hand.figures"), say("hand.bands")],
    }


def _mark(mark: MarkBudget) -> dict[str, Any]:
    oval = mark.ellipse
    return {
        "name": mark.name,
        "line": mark.line,
        "u_mm": _number(mark.u_mm),
        "rows": _rows(mark.rows),
        "x_mm": _number(mark.x_mm),
        "y_mm": _number(mark.y_mm),
        "u_x_mm": _number(mark.u_x_mm),
        "u_y_mm": _number(mark.u_y_mm),
        "r": _number(mark.r),
        "covariance_mm2": [[_number(one) for one in row] for row in mark.covariance_mm2],
        "nu": _nu(mark.nu),
        "ellipse": None if oval is None else {
            "coverage": 0.95, "longer_mm": oval.longer_mm, "shorter_mm": oval.shorter_mm, "direction_deg": oval.direction_deg,
        },
        "by_source": _gathered(mark.by_source, "source"),
        "by_step": _gathered(mark.by_step, "step"),
        "untouched": mark.untouched,
        "guarantee": "first order",
        "note": mark.note,
        "monte_carlo": _trials(mark.trials, ("x", "y")),
    }  # fmt: skip


def _edge(edge: EdgeBudget, found: Errors) -> dict[str, Any]:
    return {
        "name": edge.name,
        "number": edge.number,
        "chips": list(edge.chips),
        "groove": edge.groove,
        "length_mm": _number(edge.length_mm),
        "rms_mm": _number(edge.rms_mm),
        "stations": [_station(one, found) for one in edge.stations],
    }


def _station(one: StationBudget, found: Errors) -> dict[str, Any]:
    return {
        "where": one.where,
        "x_mm": _number(one.x_mm),
        "y_mm": _number(one.y_mm),
        "normal": [_number(part) for part in one.normal],
        "u_mm": _number(one.u_mm),
        "u_with_knife_mm": _number(hand.with_knife(one, found)),
        "k": 1.96,
        "expanded_mm": _number(hand.expanded(one.u_mm)),
        "expanded_with_knife_mm": _number(hand.expanded(hand.with_knife(one, found))),
        "rows": _rows(one.rows),
        "untouched": one.untouched,
        "nu": _nu(one.nu),
        "note": one.note,
        "monte_carlo": _trials(one.trials, ("displacement",)),
    }


def _trials(trials: Trials | None, names: Sequence[str]) -> dict[str, Any] | None:
    if trials is None:
        return None
    intervals = {
        name: {"low_mm": _number(low), "high_mm": _number(high)}
        for name, low, high in zip(names, trials.low_mm, trials.high_mm, strict=True)
    }
    both = {"u_x_mm": _number(trials.u_x_mm), "u_y_mm": _number(trials.u_y_mm), "r": _number(trials.r)} if len(names) > 1 else {}
    return {"u_mm": _number(trials.u_mm), **both, "interval": {"coverage": 0.95, **intervals}, "agrees": trials.agrees}


def _rows(rows: Sequence[Row]) -> list[dict[str, Any]]:
    return [{"source": row.source, "step": row.step, "line": row.line or None, "u_mm": row.u_mm, "share": row.share} for row in rows]


def _gathered(pairs: Sequence[tuple[str, float]], by: str) -> list[dict[str, Any]]:
    return [{by: name, "u_mm": u} for name, u in pairs]


def _cost(cost: StepCost) -> dict[str, Any]:
    return {
        "step": cost.step,
        "heading": cost.heading,
        "line": cost.line or None,
        "rms_mm": _number(cost.rms_mm),
        "share": _number(cost.share),
        "rows": _rows(cost.rows),
    }


def _first_step(found: Errors) -> dict[str, Any]:
    first = found.first_step
    return {
        "title": first.title,
        "marks": [_sensitivity(one) for one in first.marks],
        "edges": [_sensitivity(one) for one in first.edges],
        "unmoved": first.unmoved,
        "notes": list(first.notes),
    }


def _sensitivity(one: Sensitivity) -> dict[str, Any]:
    return {
        "name": one.name,
        "edge": one.edge,
        "what": one.what,
        "step": one.step,
        "source": one.source,
        "part": one.part,
        "unit": one.unit,
        "exact": one.exact,
        "value": _number(one.value),
        "guarantee": one.guarantee,
    }


def _movement(movement: Movement) -> dict[str, Any]:
    return {
        "of": movement.of,
        "total": _split(movement.total),
        "steps": [_part(one) for one in movement.steps],
        "headings": [_part(one) for one in movement.headings],
        "alike": [{"chips": list(one.chips), "names": list(one.names), **_unequal(one.total)} for one in movement.groups],
        "sentences": list(movement.sentences),
    }


def _part(one: StepMovement) -> dict[str, Any]:
    unequal = [_unequal(part) for part in one.unequal]
    return {"step": one.step, "heading": one.heading, "line": one.line, **_split(one.split), "alike": unequal}


def _split(one: Split) -> dict[str, Any]:
    return {"all_mm": one.all_mm, "rigid_mm": one.rigid_mm, "scale_mm": one.scale_mm, "rest_mm": one.rest_mm, "shift_mm": one.shift_mm}


def _unequal(one: Unequal) -> dict[str, Any]:
    return {"all_mm": one.all_mm, "own_mm": one.own_mm, "common_mm": one.common_mm, "unequal_mm": one.unequal_mm}


def _input(one: InputQuantity) -> dict[str, Any]:
    source = one.source
    angle = source.unit == "rad"
    return {
        "step": one.step,
        "source": source.name,
        "shape": source.shape,
        "u_mm": None if angle else _number(source.u),
        "u_deg": _number(math.degrees(source.u)) if angle else None,
        "basis": source.basis,
    }


def _warning(one: Diagnostic) -> dict[str, Any]:
    line = one.span.line if one.span is not None else None
    return {"code": one.code, "line": line, "message": one.message, "hint": one.hint}


def _nu(nu: float) -> float | str | None:
    """Return degrees of freedom; JSON knows no infinity, so it is a word."""
    return "infinite" if math.isinf(nu) else _number(nu)


def _number(value: float) -> float | None:
    return float(value) if math.isfinite(value) else None
