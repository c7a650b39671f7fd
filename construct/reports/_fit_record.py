"""A fitted recipe, or a border, for machines: JSON, format 1, lengths in mm."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from construct.study import Fitted

if TYPE_CHECKING:
    from construct.claims import Verdict
    from construct.methods.borders import Border, BorderCount

FORMAT = 1


def record(fitted: Fitted) -> dict[str, Any]:
    """Return the fit: factor, lengths, claims before and after, the new text."""
    fit = fitted.fit
    return {
        "format": FORMAT,
        "command": "fit",
        "recipe": fitted.before.plan.source,
        "title": fitted.before.plan.title,
        "way": fitted.before.way,
        "plate_mm": float(fit.plate_mm),
        "was_mm": float(fit.was_mm),
        "factor": {"exact": str(fit.factor), "value": float(fit.factor)},
        "margin_mm": None if fit.margin_mm is None else float(fit.margin_mm),
        "ruler_mm": float(fit.graduation_mm),
        "lengths": [
            {"line": one.written.span.line, "column": one.written.span.column, "role": one.written.role, "was": one.written.text,
             "was_mm": float(one.written.mm), "scaled": {"exact": str(one.scaled_mm), "value": float(one.scaled_mm)}, "now": one.text,
             "now_mm": float(one.mm), "off": {"exact": str(one.off_mm), "value": float(one.off_mm)}, "kept": one.kept, "on_ruler": one.on_ruler}
            for one in fit.lengths
        ],
        "claims": [{"line": now.line, "text": now.text, "before": _verdict(was), "after": _verdict(now)}
                   for was, now in zip(fitted.before.verdicts, fitted.after.verdicts, strict=True)],
        "chips": None if fitted.before.carving is None or fitted.after.carving is None
        else {"before": len(fitted.before.carving.chips), "after": len(fitted.after.carving.chips)},
        "outside": list(fit.outside),
        "text": fit.text,
    }  # fmt: skip


def _verdict(verdict: Verdict) -> dict[str, Any]:
    finding = verdict.finding
    gap = (
        None if finding is None else {"exact": finding.exact, "value": finding.value, "unit": finding.unit, "guarantee": finding.guarantee}
    )
    return {"verdict": verdict.verdict, "gap": gap}


def border(found: Border) -> dict[str, Any]:
    """Return a border: the counts worth a look, and the one to take."""
    return {
        "format": FORMAT,
        "command": "fit",
        "border": {
            "across_mm": float(found.across_mm),
            "unit_mm": None if found.unit_mm is None else float(found.unit_mm),
            "raw": found.raw,
            "ruler_mm": float(found.graduation_mm),
            "take": found.best.count,
            "counts": [_count(one) for one in found.counts],
            "width_mm": None if found.width_mm is None else float(found.width_mm),
            "outer_over_inner": None if found.width_mm is None else {"exact": str(found.ratio), "value": float(found.ratio)},
            "guarantee": "enclosure",
        },
    }


def _count(one: BorderCount) -> dict[str, Any]:
    return {
        "count": one.count,
        "how": one.how,
        "constructed": one.stages[0],
        "each_into": one.stages[1],
        "family": one.family,
        "easy": one.easy,
        "unit_mm": one.unit_mm,
        "spread_mm": one.spread_mm,
        "chord_mm": one.chord_mm,
        "setting_mm": float(one.setting_mm),
        "gap_mm": one.gap_mm,
        "open_by_mm": one.correction_mm,
        "gap_by_arc_mm": one.by_arc_mm,
    }
