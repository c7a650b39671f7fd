"""`construct compare`: ways side by side."""

from __future__ import annotations

from pathlib import Path

import click

from construct.commands._answer import Answer
from construct.commands._options import AS_JSON, BENCH, SEED, TRIALS, UNITS, WAIT, folder, numbers
from construct.commands._spoken import command, option
from construct.commands._study import STANDARD_INPUT, source
from construct.diagnostics import Diagnostic, Mistakes
from construct.phrasebook import say

RECIPES = click.argument("recipes", metavar="RECIPE...", nargs=-1, required=True)
WAYS = option("--way", "ways", metavar="NAME", multiple=True, help="help.compare.way")
CLAIM = option("--claim", metavar="WORDS", help="help.compare.claim")


@command(RECIPES, WAYS, CLAIM, BENCH, TRIALS, SEED, UNITS, AS_JSON, WAIT, folder("help.compare.folder"))
def compare(
    recipes: tuple[str, ...], ways: tuple[str, ...], claim: str | None, bench: str | None, trials: str | None, seed: str | None, units: str,
    as_json: bool, patience: float, folder: Path | None,
) -> Answer:  # fmt: skip
    """Tell which way is better for what."""
    from construct import study
    from construct.reports import View, _compare_record, _compare_screen, _folder, compare_files

    count, start = numbers(trials, seed)
    if isinstance(count, str):
        raise Mistakes((Diagnostic("C532", say("command.one_way", stable=study.STABLE), say("command.each_way")),))
    view = View(units, "\n".join(recipes) if STANDARD_INPUT not in recipes else "", str(folder or ""))
    if folder is not None:
        _folder.check(folder, _folder.COMPARE_NAMES)
    sources = [source(one) for one in recipes]
    found = study.compare(*sources, ways=ways, claim=claim, bench=bench, trials=count, seed=start, patience=patience)
    if folder is not None:
        _folder.write(folder, compare_files(found, view), _folder.COMPARE_NAMES)
    return Answer(_compare_record.comparison(found) if as_json else _compare_screen.screen(found, view))
