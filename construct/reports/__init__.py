"""The contract of a report: one file a format, made from a `Study` and nothing else.

A report file holds `NAME`, `NOTE` (one line) and either `files(study, view)`, which
returns what it puts into the report's folder: contents by file name; or `page(study, view)`,
which returns one thing to print, for a command of its own.  Reports read the study and compute
nothing about the layout: they turn numbers into words and pictures.  They print nothing; `cli.py` does.
"""

from __future__ import annotations

import shlex
from dataclasses import dataclass
from types import ModuleType
from typing import TYPE_CHECKING

from construct.registry import plugins
from construct.study import Fitted, Study

if TYPE_CHECKING:
    from construct.methods.tuned_choices import Tuning

if TYPE_CHECKING:
    from construct.methods.contenders import Comparison


@dataclass(frozen=True, slots=True)
class View:
    """How somebody wants a report shown.

    units: "mm" or "in", for people; records for machines are always in mm.
    recipe: the recipe as the user named it, for "what to do next"; "" where it came without a name.
    folder: where the report's files go; "" where none are written.
    way: the way that was asked for; "" where none was.
    """

    units: str = "mm"
    recipe: str = ""
    folder: str = ""
    way: str = ""

    @property
    def again(self) -> str:
        """What stands after a command to look at the same layout again, ready to be typed; "RECIPE" where it has no name."""
        from construct.phrasebook import say
        from construct.reports._words import plain

        name = shlex.quote(plain(self.recipe)) if self.recipe else say("next.recipe")
        return f"{name} --way {shlex.quote(plain(self.way))}" if self.way else name


def reports() -> dict[str, ModuleType]:
    """Return the report files by name; loads the drawing library too."""
    return plugins(__name__)


def folder_files(study: Study, view: View) -> dict[str, bytes]:
    """Return everything that goes into a report's folder: contents by file name."""
    contents: dict[str, bytes] = {}
    for report in reports().values():
        if hasattr(report, "files"):
            contents |= report.files(study, view)
    return contents


def chip_files(study: Study, view: View) -> dict[str, bytes]:
    """Return everything that goes into the folder of `construct chips`: contents by file name; loads the drawing library too."""
    from construct.reports import _chip_record, _chip_table, chip_figure, record

    texts = {"chips.json": record.text(_chip_record.chips(study)), "chips.txt": _chip_table.text(study, view, whole=True).encode()}
    return texts | chip_figure.files(study, view)


def error_files(study: Study, view: View) -> dict[str, bytes]:
    """Return everything that goes into the folder of `construct errors`: contents by file name; loads the drawing library too."""
    from construct.reports import error_figures, record, summary

    texts = {"errors.json": record.text(record.errors(study)), "errors.txt": summary.errors(study, view).encode()}
    return texts | error_figures.files(study, view)


def compare_files(found: Comparison, view: View) -> dict[str, bytes]:
    """Return everything that goes into the folder of `construct compare`: contents by file name; loads the drawing library too."""
    from construct.reports import _compare_figure, _compare_record, _compare_screen, record

    texts = {"compare.json": record.text(_compare_record.comparison(found)), "compare.txt": _compare_screen.screen(found, view).encode()}
    return texts | _compare_figure.files(found, view)


def tune_files(study: Study, tuning: Tuning, view: View) -> dict[str, bytes]:
    """Return everything that goes into the folder of `construct tune`: contents by file name; loads the drawing library too."""
    from construct.reports import _tune_figure, _tune_record, _tune_screen, record

    texts = {"tune.json": record.text(_tune_record.record(study, tuning)), "tune.txt": _tune_screen.screen(study, tuning, view).encode()}
    return texts | _tune_figure.files(study, tuning, view)


def fit_files(fitted: Fitted, view: View) -> dict[str, bytes]:
    """Return everything that goes into the folder of `construct fit`: contents by file name; loads the drawing library too."""
    from construct.reports import _fit_record, _fit_screen, figure, record

    made = {
        "fit.json": record.text(_fit_record.record(fitted)),
        "fit.txt": _fit_screen.screen(fitted, view).encode(),
        "fitted.recipe": fitted.fit.text.encode(),
    }
    for name, study in (("before", fitted.before), ("after", fitted.after)):
        made |= {file.replace("picture", name): content for file, content in figure.files(study, view).items()}
    return made
