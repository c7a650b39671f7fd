"""The record for machines: JSON, format 1, lengths in mm, keys in a fixed order, no number that is not one.

Every part is what the command of its name gives.  A part that was not asked for,
or that this version does not compute, is there, empty, and says so in its `note`.
"""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from typing import Any

from construct.claims import Finding, Verdict
from construct.diagnostics import Diagnostic
from construct.plan import Plan
from construct.proofs.why import Why
from construct.reports import View, _chip_record, _error_record, _why
from construct.reports import _bench_needs as needs
from construct.reports import _words as words
from construct.study import OtherWay, Study

NAME = "record"
NOTE = "the report for machines, as JSON"
FORMAT = 1

LAID_OUT = 3
"""Levels of a record that are written an entry a line."""


def files(study: Study, view: View) -> dict[str, bytes]:
    """Return the record as `report.json`; a folder with it in is known as a report of ours."""
    return {"report.json": text(report(study))}


def text(record: dict[str, Any]) -> bytes:
    """Return a record as JSON in UTF-8 (RFC 8259); `ValueError` if a number in it is not one."""
    return (_laid_out(record, LAID_OUT) + "\n").encode()


def _laid_out(value: Any, levels: int, indent: str = "") -> str:
    """Return a value as JSON, its first few levels an entry a line; what lies deeper stands on one line, which is quick to write."""
    if levels == 0 or not value or not isinstance(value, (dict, list)):
        return json.dumps(value, ensure_ascii=False, allow_nan=False)
    inner = indent + "  "
    if isinstance(value, dict):
        rows = [f"{inner}{json.dumps(key, ensure_ascii=False)}: {_laid_out(one, levels - 1, inner)}" for key, one in value.items()]
    else:
        rows = [inner + _laid_out(one, levels - 1, inner) for one in value]
    first, last = "{}" if isinstance(value, dict) else "[]"
    return "\n".join([first, ",\n".join(rows), f"{indent}{last}"])


def prove(study: Study, whys: Sequence[Why] = ()) -> dict[str, Any]:
    """Return claims and verdicts, with what they are about, and why they hold where that is given."""
    plan = study.plan
    return {
        "format": FORMAT,
        "command": "prove",
        "recipe": plan.source,
        "title": words.plain(plan.title),
        "plate": _plate(plan),
        "bench": {"level": plan.settings.level, "graduation_mm": _float(plan.settings.graduation)},
        "way": study.way,
        "ways": list(plan.ways),
        "holds": study.holds,
        "claims": [
            {
                **_claim(proof.verdict),
                "certificate": {"checked": proof.certificate is not None, "missing": proof.missing},
                **({"why": _why.record(whys[place])} if whys else {}),
            }
            for place, proof in enumerate(study.proofs)
        ],
        "not_worked_out": diagnostics(study.settled.beyond)["diagnostics"],
        "warnings": diagnostics(plan.warnings)["diagnostics"],
        "choices": dict(needs.choices(plan, "mm")),
        "notes": [{"mark": plan.things[index].name, "came_out": word} for index, word in study.settled.notes],
        "other_ways": [_other_way(other) for other in study.others],
    }


def report(study: Study) -> dict[str, Any]:
    """Return everything that is known: claims, bench, errors and chips."""
    count, names = needs.left_set(study.plan)
    return {
        **prove(study),
        "command": "report",
        "indifferent": [
            {"line": verdict.line, "text": verdict.text, "says": says}
            for verdict, says in zip(study.verdicts, study.indifferent, strict=False)
            if says
        ],
        "tools": list(needs.tools_needed(study.plan)),
        "compasses": {"at_once": count, "openings": list(names)},
        "errors": errors(study),
        "chips": _chip_record.chips(study),
    }


def errors(study: Study) -> dict[str, Any]:
    """Return what the hand's errors do; the same object whether it stands alone or in a report."""
    return _error_record.errors(study, FORMAT)


def diagnostics(found: Sequence[Diagnostic]) -> dict[str, Any]:
    """Return what is wrong with a recipe or a command."""
    return {"format": FORMAT, "diagnostics": [_diagnostic(one) for one in found]}


def _diagnostic(one: Diagnostic) -> dict[str, Any]:
    span = one.span
    return {
        "code": one.code,
        "line": span.line if span else None,
        "column": span.column if span else None,
        "message": one.message,
        "hint": one.hint,
        "warning": one.warning,
        "spots": [{"x_mm": spot.x_mm, "y_mm": spot.y_mm, "guarantee": "estimate", "says": spot.says} for spot in one.spots],
    }


def _claim(verdict: Verdict) -> dict[str, Any]:
    choices = dict(verdict.choices)
    return {
        "line": verdict.line,
        "text": verdict.text,
        "way": verdict.way,
        "verdict": verdict.verdict,
        "scope": verdict.scope,
        "conditions": list(verdict.conditions),
        "gap": None if verdict.finding is None else _gap(verdict.finding, choices),
        "reason": verdict.reason,
        "choices": choices,
    }


def _gap(finding: Finding, choices: dict[str, str]) -> dict[str, Any]:
    return {
        "exact": finding.exact,
        "value": _float(finding.value),
        "figures": finding.figures,
        "unit": finding.unit,
        "guarantee": finding.guarantee,
        "choices": choices,
    }


def _other_way(other: OtherWay) -> dict[str, Any]:
    return {
        "way": other.way,
        "holds": not other.mistakes and all(verdict.holds for verdict in other.verdicts),
        "claims": [_claim(verdict) for verdict in other.verdicts],
        "diagnostics": [_diagnostic(one) for one in other.mistakes],
    }


def _plate(plan: Plan) -> dict[str, Any]:
    blank = plan.blank
    return {
        "form": blank.form,
        "width_mm": None if blank.width is None else _float(blank.width.mm),
        "height_mm": None if blank.height is None else _float(blank.height.mm),
        "any_size": blank.free,
        "longer_along_grain_mm": _float(plan.settings.oval),
        "thickness_mm": None if blank.thickness is None else _float(blank.thickness.mm),
        "wood": blank.wood,
    }


def _float(value: Any) -> float | None:
    """Return a number as JSON can hold it."""
    number = float(value)
    return number if math.isfinite(number) else None
