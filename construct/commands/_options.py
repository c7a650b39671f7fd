"""Options that several commands share, and what they may be."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from construct.commands._spoken import Seconds, Units, option, shortened
from construct.diagnostics import Diagnostic, Mistakes
from construct.phrasebook import say

MOST_TRIALS = 10_000_000
"""Trials that are run at most: more tell nothing about a hand."""

PATIENCE = 60.0
"""Seconds after which a step or a claim is given up, and said to be."""

PATH = click.Path(path_type=Path)

RECIPE = click.argument("recipe")
WAY = option("--way", metavar="NAME", help="help.way")
AS_JSON = option("--json", "as_json", is_flag=True, help="help.json")
UNITS = option("--units", type=Units(), default="mm", show_default=True, help="help.units")
OWN_UNITS = option("--units", type=Units(), help="help.own_units")
BENCH = option("--bench", metavar="LEVEL", help="help.bench")
TRIALS = option("--trials", metavar="N", help="help.trials")
SEED = option("--seed", metavar="S", help="help.seed")
PAPER = option("--paper", metavar="SIZE", default="A4", show_default=True, help="help.paper")
WAIT = option("--patience", type=Seconds(), default=f"{PATIENCE:g}", show_default=True, metavar="SECONDS", help="help.patience")


def folder(said: str, name: str = "-o") -> Callable[[Any], Any]:
    """Return the option that names a folder to write into; said: the key of its help."""
    return option(name, "folder", metavar="FOLDER", type=PATH, help=said)


def needs(name: str, other: str, command: str) -> Mistakes:
    """Return what is said of an option that does nothing without another."""
    return Mistakes((Diagnostic("C537", say("command.needs", name=name, other=other), say("command.help", path=f"construct {command}")),))


def numbers(trials: str | None, seed: str | None) -> tuple[int | str | None, int | None]:
    """Return the number of trials and the seed that a command asks for; `Mistakes` where they are none."""
    from construct.study import STABLE

    wrongs = []
    count: int | str | None = trials
    if trials is not None and trials != STABLE:
        count = whole(trials)
        if count is None or not 2 <= count <= MOST_TRIALS:
            hint = say("command.trials_so", most=MOST_TRIALS, stable=STABLE)
            wrongs.append(Diagnostic("C532", say("command.no_trials", given=shortened(trials)), hint))
    start = None if seed is None else whole(seed)
    if seed is not None and (start is None or start < 0):
        wrongs.append(Diagnostic("C533", say("command.no_seed", given=shortened(seed)), say("command.seed_so")))
    if wrongs:
        raise Mistakes(tuple(wrongs))
    return count, start


def whole(text: str) -> int | None:
    """Return a whole number of at most 18 figures, None for anything else."""
    figures = text.strip()
    digits = figures.removeprefix("-")
    return int(figures) if digits.isascii() and digits.isdigit() and len(digits) <= 18 else None
