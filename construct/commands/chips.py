"""`construct chips`: the chips, how sure they are, and an order of cuts."""

from __future__ import annotations

from pathlib import Path

from construct.commands._answer import Answer
from construct.commands._options import AS_JSON, BENCH, RECIPE, SEED, TRIALS, UNITS, WAIT, WAY, folder, numbers
from construct.commands._spoken import command, option
from construct.commands._study import showing_where, study_of, view_of, whole, with_chip_errors
from construct.diagnostics import Diagnostic, Mistakes
from construct.phrasebook import say

EVERY = option("--all", "every", is_flag=True, help="help.chips.all")
HAND = option("--hand", metavar="HAND", default="right", show_default=True, help="help.chips.hand")
FIRST = option("--first", metavar="WHAT", default="hard", show_default=True, help="help.chips.first")


@command(RECIPE, WAY, EVERY, HAND, FIRST, BENCH, TRIALS, SEED, UNITS, AS_JSON, WAIT, folder("help.chips.folder"))
def chips(
    recipe: str, way: str | None, every: bool, hand: str, first: str, bench: str | None, trials: str | None, seed: str | None, units: str,
    as_json: bool, patience: float, folder: Path | None,
) -> Answer:  # fmt: skip
    """Tell about the chips."""
    from construct import study as studies
    from construct.reports import _chip_record, _chip_table, _folder, chip_files

    count, start = numbers(trials, seed)
    view = view_of(recipe, units, folder, way=way)
    if folder is not None:
        _folder.check(folder, _folder.CHIP_NAMES)
    with showing_where(folder, view):
        study = studies.with_cutting_plan(whole(study_of(recipe, way, patience=patience)), hand=hand, first=first)
    if study.carving is None:
        raise Mistakes((Diagnostic("C601", say("command.no_chips"), say("command.carve")),))
    study = with_chip_errors(study, bench=bench, trials=count, seed=start)
    if folder is not None:
        _folder.write(folder, chip_files(study, view), _folder.CHIP_NAMES)
    return Answer(_chip_record.chips(study) if as_json else _chip_table.text(study, view, whole=every))
