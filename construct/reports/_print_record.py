"""What is printed or handed out, for machines: JSON, format 1, lengths in mm; the file that was written, and the card's facts."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from construct.reports import _words as words
from construct.reports._lesson_steps import lesson_steps
from construct.reports._shapes import shapes
from construct.reports._tiles import paper_of, tile
from construct.study import Study
from construct.teaching import Act, Bench, Measuring, Setting, Stage, Turn

FORMAT = 1


def sheet(study: Study, file: Path, paper: str) -> dict[str, Any]:
    """Return the sheets that were written: how many, and how they lie."""
    tiling = tile(shapes(study).frame, paper_of(paper))
    return {
        **_head("sheet", study, file, len(tiling.tiles)),
        "paper": {"name": paper_of(paper).name, "width_mm": tiling.width, "height_mm": tiling.height},
        "rows": tiling.rows,
        "columns": tiling.columns,
    }


def lesson(study: Study, file: Path) -> dict[str, Any]:
    """Return the page that was written: its steps and actions, whose hand, and whether all holds."""
    steps = lesson_steps(study, "mm")
    return {
        **_head("lesson", study, file, 1),
        "holds": study.holds,
        "bench": None if study.errors is None else study.errors.level,
        "steps": len(steps),
        "actions": sum(len(step.acts) for step in steps),
    }


def card(study: Study, bench: Bench, file: Path | None, pages: int | None) -> dict[str, Any]:
    """Return the card: settings on the ruler, and what to measure after each stage.

    file: null where none was written.  pages: null where what was written has none.
    """
    return {
        **_head("card", study, file, pages),
        "bench": bench.level,
        "ruler_mm": float(bench.graduation),
        "opens_mm": bench.opens_mm,
        "holes_mm": [float(hole) for hole in bench.holes],
        "stages": [_stage(stage) for stage in bench.stages],
    }


def _head(command: str, study: Study, file: Path | None, pages: int | None) -> dict[str, Any]:
    plan = study.plan
    return {
        "format": FORMAT,
        "command": command,
        "recipe": plan.source,
        "title": words.plain(plan.title),
        "way": study.way,
        "file": None if file is None else str(file),
        "pages": pages,
    }


def _stage(stage: Stage) -> dict[str, Any]:
    return {
        "title": words.plain(stage.title),
        "rows": [_act(row) if isinstance(row, Act) else _turn(row) for row in stage.rows],
        "measure": [_measuring(one) for one in stage.measurings],
    }


def _act(act: Act) -> dict[str, Any]:
    return {
        "kind": "action",
        "line": act.line or None,
        "depth": act.depth,
        "names": act.names,
        "words": act.words,
        "times": act.count,
        "settings": [_setting(one) for one in act.settings],
        "bounds": [{"word": word, **_setting(setting)} for word, setting in act.bounds],
        "carved": act.carved or None,
    }


def _turn(turn: Turn) -> dict[str, Any]:
    return {"kind": turn.kind, "depth": turn.depth, "items": turn.items, "letters": turn.letters, "times": turn.count}


def _setting(setting: Setting) -> dict[str, Any]:
    return {
        "use": setting.use,
        "on_ruler_mm": float(setting.nearest),
        "on_a_graduation": setting.on,
        "exact_mm": None if setting.fraction is None else str(setting.fraction),
        "value_mm": setting.value_mm,
    }


def _measuring(one: Measuring) -> dict[str, Any]:
    return {
        "how": one.how,
        "things": list(one.things),
        "expected": None if one.expected is None else _setting(one.expected),
        "count": one.count,
        "line": one.line or None,
        "verdict": one.verdict or None,
        "drawing_off_mm": one.off_mm,
        "within": [{"level": level, "U": value, "unit": one.unit, "guarantee": "first order"} for level, value in one.within],
        "culprits": [{"names": culprit.names, "line": culprit.line, "share": culprit.share} for culprit in one.culprits],
    }
