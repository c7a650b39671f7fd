"""Best free choices for machines: JSON, format 1; lengths in mm, angles in deg."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from construct.study import Study

if TYPE_CHECKING:
    from construct.methods.trial import Stopped
    from construct.methods.tuned_choices import TunedChoice, Tuning

FORMAT = 1


def record(study: Study, tuning: Tuning) -> dict[str, Any]:
    """Return what was found."""
    return {
        "format": FORMAT,
        "command": "tune",
        "recipe": study.plan.source,
        "title": study.plan.title,
        "way": study.way,
        "bench": tuning.level,
        "measured": {"about": tuning.about, "marks": list(tuning.marks), "asked": tuning.asked},
        "u_drawn_mm": tuning.u_drawn_mm,
        "u_best_mm": tuning.u_best_mm,
        "u_mm": tuning.u_mm,
        "guarantee": {"u": "first order", "best": "estimate", "allowed": "exact"},
        "drawn_is_as_good": tuning.drawn_is_as_good,
        "choices": [_choice(choice) for choice in tuning.choices],
        "crossings": [{"name": one.name, "line": one.line, "words": one.words, "u_mm": one.u_mm, "other_u_mm": one.other_u_mm, "taken": one.taken}
                      for one in tuning.crossings],
        "angles": [{"name": one.name, "line": one.line, "before_deg": one.before_deg, "after_deg": one.after_deg} for one in tuning.angles],
        "kept": [{"name": one.names, "line": one.line, "why": one.why} for one in tuning.kept],
        "tried": tuning.tried,
    }  # fmt: skip


def _choice(choice: TunedChoice) -> dict[str, Any]:
    one = choice.coordinate
    return {
        "name": one.names,
        "line": one.line,
        "kind": one.kind,
        "unit": one.unit,
        "towards": one.towards or None,
        "drawn": one.value,
        "best": choice.best,
        "setting": choice.setting,
        "as_good": list(choice.as_good),
        "allowed": list(choice.allowed),
        "stops": [_stop(choice.low_stop), _stop(choice.high_stop)],
        "held": _stop(choice.held),
        "moves_what_is_measured": choice.moves,
        "curve": [[value, u if math.isfinite(u) else None] for value, u in choice.curve],
    }


def _stop(stop: Stopped | None) -> dict[str, Any] | None:
    return None if stop is None else {"why": stop.why, "line": stop.line or None}
