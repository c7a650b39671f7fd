"""`construct report`: the main job."""

from __future__ import annotations

from pathlib import Path

from construct.commands._answer import Answer, outcome
from construct.commands._options import AS_JSON, RECIPE, UNITS, WAIT, WAY, folder
from construct.commands._spoken import command
from construct.commands._study import showing_where, study_of, view_of, with_errors


@command(RECIPE, WAY, UNITS, AS_JSON, WAIT, folder("help.report.folder"))
def report(recipe: str, way: str | None, units: str, as_json: bool, patience: float, folder: Path | None) -> Answer:
    """Tell all that is known about a layout."""
    from construct import study as studies
    from construct.reports import _folder, folder_files, record, summary

    view = view_of(recipe, units, folder, way=way)
    if folder is not None:
        _folder.check(folder, _folder.NAMES)
    with showing_where(folder, view):
        study = with_errors(studies.with_survey(studies.with_indifferent(study_of(recipe, way, patience=patience, others=True))))
    if folder is not None:
        _folder.write(folder, folder_files(study, view))
    return Answer(record.report(study) if as_json else summary.report(study, view), outcome(study))
