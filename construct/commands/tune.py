"""`construct tune`: the best free choices."""

from __future__ import annotations

from pathlib import Path

from construct.commands._answer import Answer
from construct.commands._options import AS_JSON, BENCH, RECIPE, UNITS, WAIT, WAY, folder
from construct.commands._spoken import command, option
from construct.commands._study import study_of, view_of, whole

MARKS = option("--at", "marks", metavar="NAME", multiple=True, help="help.tune.at")


@command(RECIPE, WAY, MARKS, BENCH, UNITS, AS_JSON, WAIT, folder("help.tune.folder"))
def tune(
    recipe: str, way: str | None, marks: tuple[str, ...], bench: str | None, units: str, as_json: bool, patience: float,
    folder: Path | None,
) -> Answer:  # fmt: skip
    """Tell the best free choices."""
    from construct import study as studies
    from construct.reports import _folder, _tune_record, _tune_screen

    view = view_of(recipe, units, folder, way=way)
    if folder is not None:
        _folder.check(folder, _folder.TUNE_NAMES)
    study = whole(study_of(recipe, way, patience=patience))
    tuning = studies.tuned(study, at=marks, bench=bench, units=units)
    if folder is not None:
        from construct.reports import tune_files

        _folder.write(folder, tune_files(study, tuning, view), _folder.TUNE_NAMES)
    return Answer(_tune_record.record(study, tuning) if as_json else _tune_screen.screen(study, tuning, view))
