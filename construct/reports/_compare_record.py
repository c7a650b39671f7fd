"""The record of a comparison for machines: lengths in mm, every figure with its guarantee."""

from __future__ import annotations

import math
from typing import Any

from construct.methods.contenders import Comparison, HandFigures, Method, Scan
from construct.methods.lemoine import LemoineCount
from construct.reports import _compare_words as told
from construct.reports import _words as words
from construct.reports.record import _claim, _diagnostic

FORMAT = 1


def comparison(found: Comparison) -> dict[str, Any]:
    """Return a comparison as a record."""
    return {
        "format": FORMAT,
        "command": "compare",
        "titles": [words.plain(title) for title in found.titles],
        "claim": words.plain(found.claim.text),
        "size": {"kind": found.size.kind, "names": list(found.size.names), "mm": found.size.mm},
        "level": found.level,
        "graduation_mm": float(found.graduation),
        "answer": told.sentence(found, "mm"),
        "best": {
            level: None if (best := found.best(level)) is None else found.methods[best].label
            for level in ("careful", "ordinary", "beginner")
        },
        "seed": found.seed,
        "trials": found.trials,
        "ways": [_way(one) for one in found.methods],
        "scans": [_scan(found, one) for one in found.scans],
        "other_claims": [words.plain(text) for text in found.others],
        "left_out": [{"way": way, "diagnostics": [_diagnostic(one) for one in wrong]} for way, wrong in found.left_out],
        "same_plate": found.same_plate,
        "basis": "judgement" if found.judged else "as the recipe says",
    }


def _way(method: Method) -> dict[str, Any]:
    count = method.lemoine
    return {
        "way": words.plain(method.label),
        "claim": _claim(method.verdict),
        "aims": list(method.aims),
        "hands": [_hand(one) for one in method.hands],
        "moves": {
            "own": method.own_moves,
            "whole_layout": method.all_moves,
            "by_tool": [
                {"tool": one.tool, "placings": one.placings, "settings": one.settings, "strokes": one.strokes} for one in method.moves
            ],
        },
        "lemoine": {
            "simplicity": count.simplicity, "exactitude": count.exactitude, "symbol": count.symbol,
            "R1": count.l1, "R2": count.l2, "C1": count.m1, "C2": count.m2, "C3": count.m3,
        } if isinstance(count, LemoineCount) else None,
        "no_lemoine": None if isinstance(count, LemoineCount) else {"tool": count.tool, "action": words.plain(count.action)},
        "tools": list(method.tools),
        "compasses_at_once": method.compasses,
    }  # fmt: skip


def _hand(one: HandFigures) -> dict[str, Any]:
    trials = one.trials
    return {
        "level": one.level,
        "worst": one.part,
        "first_order": {
            "guarantee": "first order", "offset_mm": _float(one.offset_mm), "u_mm": _float(one.u_mm),
            "u_rounding_mm": _float(one.rounding_mm), "reach95_mm": _float(one.reach_mm),
        },
        "trials": None if trials is None else {
            "guarantee": "estimate", "trials": trials.trials, "lost": trials.lost, "mean_mm": trials.mean_mm, "u_mm": trials.u_mm,
            "reach95_mm": trials.reach_mm, "all_within95_mm": trials.all_mm,
        },
        "place_u_mm": _float(one.place_u_mm),
    }  # fmt: skip


def _scan(found: Comparison, scan: Scan) -> dict[str, Any]:
    return {
        "by": scan.by,
        "unit": "1" if scan.by == "hand" else "mm",
        "guarantee": "first order",
        "here": scan.here,
        "at": list(scan.at),
        "reach95_mm": [
            {"way": words.plain(one.label), "values": [_float(value) for value in row]}
            for one, row in zip(found.methods, scan.reaches, strict=True)
        ],
        "turnovers": [
            {"at": turn.at, "under": found.methods[turn.under].label, "over": found.methods[turn.over].label, "ends": turn.ends or None}
            for turn in scan.turnovers
        ],
    }


def _float(value: float) -> float | None:
    return value if math.isfinite(value) else None
