"""`construct fit`: a pattern for another plate, or a border for a circle."""

from __future__ import annotations

from pathlib import Path

import click

from construct.commands._answer import Answer
from construct.commands._options import AS_JSON, UNITS, WAIT, WAY, folder, whole
from construct.commands._spoken import command, option, shortened
from construct.commands._study import left_out, readable, view_of
from construct.diagnostics import Diagnostic, Mistakes
from construct.phrasebook import say

RECIPE = click.argument("recipe", required=False)
PLATE = option("--plate", metavar="SIZE", help="help.fit.plate")
RULER = option("--ruler", metavar="STEP", help="help.fit.ruler")
KEEP = option("--keep", metavar="WHAT", multiple=True, help="help.fit.keep")
SCALE = option("--scale", metavar="WHAT", multiple=True, help="help.fit.scale")
BORDER = option("--border", "border_too", is_flag=True, help="help.fit.border")
ACROSS = option("--across", metavar="SIZE", help="help.fit.across")
UNIT = option("--unit", metavar="SIZE", help="help.fit.unit")
COUNT = option("--count", metavar="N", help="help.fit.count")
WIDTH = option("--width", metavar="SIZE", help="help.fit.width")


@command(
    RECIPE, WAY, PLATE, RULER, KEEP, SCALE, BORDER, ACROSS, UNIT, COUNT, WIDTH, UNITS, AS_JSON, WAIT, folder("help.fit.folder")
)  # fmt: skip
def fit(
    recipe: str | None, way: str | None, plate: str | None, ruler: str | None, keep: tuple[str, ...], scale: tuple[str, ...],
    border_too: bool, across: str | None, unit: str | None, count: str | None, width: str | None, units: str, as_json: bool,
    patience: float, folder: Path | None,
) -> Answer:  # fmt: skip
    """Tell what fits."""
    of_borders: dict[str, object] = {"--across": across, "--unit": unit, "--count": count, "--width": width}
    of_recipes: dict[str, object] = {
        say("command.fit.recipe"): recipe, "--plate": plate, "--way": way, "-o": folder, "--keep": keep or None, "--scale": scale or None,
    }  # fmt: skip
    _check(border_too, of_recipes if border_too else of_borders)
    if border_too:
        if across is None:
            raise Mistakes((Diagnostic("C721", say("command.fit.circle"), say("command.fit.so")),))
        return _border(across, unit, count, width, ruler, units, as_json=as_json)
    if recipe is not None and plate is None:
        raise Mistakes((Diagnostic("C721", say("command.fit.plate"), say("command.fit.plate_so", recipe=recipe)),))
    if recipe is None or plate is None:
        raise Mistakes((Diagnostic("C721", say("command.fit.which"), say("command.fit.so")),))
    return _fitted(recipe, plate, way, ruler, keep, scale, units, folder, patience=patience, as_json=as_json)


def _check(border_too: bool, strangers: dict[str, object]) -> None:
    """Raise `Mistakes` where what `construct fit` was given does not belong together."""
    strange = [name for name, value in strangers.items() if value is not None]
    if strange:
        key = "command.fit.with_border" if border_too else "command.fit.without_border"
        raise Mistakes((Diagnostic("C720", say(key, count=len(strange), strange=", ".join(strange)), say("command.fit.so")),))


def _border(
    across: str, unit: str | None, count: str | None, width: str | None, ruler: str | None, units: str, *, as_json: bool
) -> Answer:  # fmt: skip
    from construct import study
    from construct.reports import _border_screen, _fit_record

    many = None if count is None else whole(count)
    if count is not None and many is None:
        raise Mistakes((Diagnostic("C724", say("command.fit.no_count", given=shortened(count)), say("command.fit.count_so")),))
    found = study.border(across, unit=unit, count=many, width=width, ruler=ruler, units=units)
    return Answer(_fit_record.border(found) if as_json else _border_screen.screen(found, units))


def _fitted(
    recipe: str, plate: str, way: str | None, ruler: str | None, keep: tuple[str, ...], scale: tuple[str, ...], units: str,
    folder: Path | None, *, patience: float, as_json: bool,
) -> Answer:  # fmt: skip
    from construct import study
    from construct.reports import _fit_record, _fit_screen, _folder

    view = view_of(recipe, units, folder)
    if folder is not None:
        _folder.check(folder, _folder.FIT_NAMES)
    fitted = readable(
        recipe,
        lambda source: study.fitted(source, plate=plate, way=way, ruler=ruler, keep=keep, scale=scale, patience=patience),
    )
    if folder is not None:
        from construct.reports import fit_files

        _folder.write(folder, fit_files(fitted, view), _folder.FIT_NAMES)
    shown = _fit_record.record(fitted) if as_json else _fit_screen.screen(fitted, view)
    return Answer(shown, aside=left_out(fitted.before, fitted.after))
