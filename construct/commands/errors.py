"""`construct errors`: how far off a hand will be."""

from __future__ import annotations

from pathlib import Path

from construct.commands._answer import Answer
from construct.commands._options import AS_JSON, BENCH, RECIPE, SEED, TRIALS, UNITS, WAIT, WAY, folder, numbers
from construct.commands._spoken import command, option
from construct.commands._study import left_out, showing_where, study_of, view_of, with_chip_errors, with_errors

AT = option("--at", metavar="NAME", help="help.errors.at")
WHOLE = option("--all", "whole", is_flag=True, help="help.errors.all")


@command(RECIPE, WAY, BENCH, TRIALS, SEED, AT, WHOLE, UNITS, AS_JSON, WAIT, folder("help.errors.folder"))
def errors(
    recipe: str, way: str | None, bench: str | None, trials: str | None, seed: str | None, at: str | None, whole: bool, units: str,
    as_json: bool, patience: float, folder: Path | None,
) -> Answer:  # fmt: skip
    """Tell what the hand's errors do."""
    from construct.reports import _folder, error_files, record, summary

    count, start = numbers(trials, seed)
    view = view_of(recipe, units, folder, way=way)
    if folder is not None:
        _folder.check(folder, _folder.ERROR_NAMES)
    with showing_where(folder, view):
        study = with_errors(study_of(recipe, way, patience=patience), bench=bench, trials=count, seed=start, at=at, worst=True)
        # the chips' trials are their own usual number: each costs many times one of the layout's
        study = with_chip_errors(study, bench=bench, trials=0 if count == 0 else None, seed=start)
    if folder is not None:
        _folder.write(folder, error_files(study, view), _folder.ERROR_NAMES)
    return Answer(record.errors(study) if as_json else summary.errors(study, view, whole=whole), aside=left_out(study))
