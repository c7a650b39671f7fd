"""From a command's RECIPE to its study, with what somebody who waits is shown meanwhile."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from construct.diagnostics import Diagnostic, Mistakes, show
from construct.phrasebook import say

if TYPE_CHECKING:
    from construct.reports import View
    from construct.study import Study

STANDARD_INPUT = "-"

LONG = 400_000
"""Trials from which on progress is shown: about four seconds of a full plate."""


def study_of(recipe: str, way: str | None, *, patience: float, others: bool = False) -> Study:
    """Return the study of a command's RECIPE; others: with its other ways."""
    from construct import study

    return readable(recipe, lambda source: study.study(source, way=way, others=others, patience=patience))


def whole(study: Study) -> Study:
    """Return a study of which nothing is left out; `Mistakes` for another: what is printed or tuned from a part would mislead."""
    if study.settled.beyond:
        raise Mistakes((*study.settled.beyond, Diagnostic("C536", say("command.not_whole"), say("command.whole_so"))))
    return study


def left_out(*studies: Study) -> str:
    """Return what is said beside an answer that leaves out what was not worked out; "" where nothing is."""
    beyond = [one for study in studies for one in study.settled.beyond]
    return "".join(f"{said}\n" for said in ([say("command.left_out"), *map(show, beyond)] if beyond else []))


def readable(recipe: str, use: Callable[[str | Path], Any]) -> Any:
    """Return what `use` makes of a command's RECIPE; `Mistakes` where it can not be read."""
    place = source(recipe)
    try:
        return use(place)
    except OSError as reason:
        why = (reason.strerror or say("command.no_reason")).lower()
        raise Mistakes((Diagnostic("C502", say("command.unreadable", recipe=recipe, why=why), say("command.readable")),)) from None


def source(recipe: str) -> str | Path:
    """Return where a RECIPE is: standard input's text, or a path, so that no name is ever taken for a recipe's text."""
    from construct.language.parser import decode
    from construct.shelf import LARGEST

    if recipe != STANDARD_INPUT:
        return Path(recipe)
    data = sys.stdin.buffer.read(LARGEST + 1) if sys.stdin is not None else b""
    return decode(data, say("command.standard_input")) + "\n"


def view_of(recipe: str, units: str, folder: Path | None = None, *, way: str | None = None) -> View:
    """Return how a command's user wants reports shown."""
    from construct.reports import View

    return View(units, "" if recipe == STANDARD_INPUT else recipe, str(folder or ""), way or "")


def with_errors(
    found: Study,
    *,
    bench: str | None = None,
    trials: int | str | None = None,
    seed: int | None = None,
    at: str | None = None,
    worst: bool = False,
) -> Study:
    """Return a study with its errors; long work shows its progress where somebody watches."""
    from construct import study

    with progress(trials) as told:
        return study.with_errors(found, bench=bench, trials=trials, seed=seed, at=at, worst=worst, progress=told)


def with_chip_errors(
    found: Study, *, bench: str | None = None, trials: int | str | None = None, seed: int | None = None
) -> Study:  # fmt: skip
    """Return a study with its chips' errors; long work shows its progress where somebody watches."""
    from construct import study

    with progress(trials) as told:
        return study.with_chip_errors(found, bench=bench, trials=trials, seed=seed, progress=told)


@contextmanager
def progress(trials: int | str | None) -> Iterator[Callable[[int, int], None] | None]:
    """Yield what a long run of trials calls now and then; None where it is short or standard error is no terminal."""
    long = isinstance(trials, str) or (trials is not None and trials >= LONG)
    if not long or not sys.stderr.isatty():
        yield None
        return
    with click.progressbar(length=100, label=say("command.trials"), file=sys.stderr) as bar:

        def told(done: int, total: int) -> None:
            bar.update(100 * done // total - bar.pos)

        yield told


@contextmanager
def showing_where(folder: Path | None, view: View) -> Iterator[None]:
    """Write a picture of where the cuts go wrong into a command's folder, if they do; the mistakes go on their way, with a note of it."""
    from construct.study import MistakesInCuts

    try:
        yield
    except MistakesInCuts as wrong:
        if folder is not None:
            from construct.reports import _folder, _where

            contents = _where.files(wrong.layout(), wrong.diagnostics, view)
            _folder.write(folder, contents, _folder.NAMES | _folder.ERROR_NAMES | _folder.CHIP_NAMES)
            if len(contents) > 1:
                wrong.add_note(say("where.figure.written", folder=folder))
        raise
