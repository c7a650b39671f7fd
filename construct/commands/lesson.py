"""`construct lesson`: a page that teaches the layout."""

from __future__ import annotations

from pathlib import Path

from construct.commands._answer import Answer, outcome
from construct.commands._options import AS_JSON, OWN_UNITS, PATH, RECIPE, WAIT, WAY
from construct.commands._spoken import command, option
from construct.commands._study import study_of, view_of, whole, with_errors

BENCH = option("--bench", metavar="LEVEL", default="careful", show_default=True, help="help.lesson.bench")
FILE = option("-o", "file", metavar="FILE", type=PATH, required=True, help="help.lesson.file")


@command(RECIPE, WAY, BENCH, OWN_UNITS, AS_JSON, WAIT, FILE)
def lesson(recipe: str, way: str | None, bench: str, units: str | None, as_json: bool, patience: float, file: Path) -> Answer:
    """Write the page."""
    from construct import study as studies
    from construct.reports import _lesson, _one_file, _print_record
    from construct.reports._words import units_of

    _one_file.check(file, _lesson.SUFFIXES, (_lesson.GENERATOR.encode(),))
    study = with_errors(whole(study_of(recipe, way, patience=patience)), bench=bench, trials=0)
    view = view_of(recipe, units or units_of(study.plan))
    _one_file.write(file, _lesson.page(study, view, studies.why(study)))
    return Answer(_print_record.lesson(study, file) if as_json else _lesson.told(study, view, file), outcome(study))
