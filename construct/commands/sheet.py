"""`construct sheet`: the layout at true size, to print."""

from __future__ import annotations

from pathlib import Path

from construct.commands._answer import Answer
from construct.commands._options import AS_JSON, PAPER, PATH, RECIPE, UNITS, WAIT, WAY
from construct.commands._spoken import command, option
from construct.commands._study import study_of, view_of, whole

FILE = option("-o", "file", metavar="FILE", type=PATH, required=True, help="help.sheet.file")


@command(RECIPE, WAY, FILE, PAPER, UNITS, AS_JSON, WAIT)
def sheet(recipe: str, way: str | None, file: Path, paper: str, units: str, as_json: bool, patience: float) -> Answer:
    """Write the layout at true size."""
    from construct.reports import _one_file, _print_record
    from construct.reports import sheet as report

    report.check(file, paper)
    study = whole(study_of(recipe, way, patience=patience))
    _one_file.write(file, report.page(study, view_of(recipe, units), paper=paper))
    return Answer(_print_record.sheet(study, file, paper) if as_json else report.told(study, file, paper))
