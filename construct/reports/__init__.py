"""The contract of a report: one file a format, made from a `Study` and nothing else.

A report file holds `NAME`, `NOTE` (one line) and either `files(study, view)`, which
returns what it puts into the report's folder: contents by file name; or `page(study, view)`,
which returns one thing to print, for a command of its own.  Reports read the study and compute
nothing about the layout: they turn numbers into words and pictures.  They print nothing; `cli.py` does.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import ModuleType

from construct.registry import plugins
from construct.study import Study


@dataclass(frozen=True, slots=True)
class View:
    """How somebody wants a report shown.

    units: "mm" or "in", for people; records for machines are always in mm.
    recipe: the recipe as the user named it, for "what to do next"; "" where it came without a name.
    folder: where the report's files go; "" where none are written.
    """

    units: str = "mm"
    recipe: str = ""
    folder: str = ""


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


def error_files(study: Study, view: View) -> dict[str, bytes]:
    """Return everything that goes into the folder of `construct errors`: contents by file name; loads the drawing library too."""
    from construct.reports import error_figures, record, summary

    texts = {"errors.json": record.text(record.errors(study)), "errors.txt": summary.errors(study, view).encode()}
    return texts | error_figures.files(study, view)
