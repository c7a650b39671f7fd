"""The sheet: the layout at true size on paper, on several sheets where the wood is larger than one.

A check sheet, to hold against the wood or to pin to it.  It is no part of `construct report`'s
folder, since it wants to know the paper; `construct sheet` writes it.
"""

from __future__ import annotations

from pathlib import Path

from construct.phrasebook import say
from construct.reports import View, _one_file
from construct.reports import _words as words
from construct.reports._shapes import shapes
from construct.reports._tiles import paper_of, tile
from construct.study import Study

NAME = "sheet"
NOTE = "the layout at true size, as a PDF to print"
PAPER = "A4"

MARKER = b"/Creator (construct"
"""What a PDF of ours holds."""


def check(file: Path, paper: str = PAPER) -> None:
    """Raise `Mistakes` where no sheet can be written there, or there is no such paper."""
    paper_of(paper)
    _one_file.check(file, (".pdf",), (MARKER,))


def page(study: Study, view: View, *, paper: str = PAPER) -> bytes:
    """Return the sheets as a PDF.

    paper: a name of `_tiles.PAPERS`.  Raises `Mistakes` for another, or where it would take too many sheets.
    """
    # here, so that a report without it never loads what draws it
    from construct.reports._sheet_drawing import draw

    return draw(study, view, paper_of(paper))


def told(study: Study, file: Path, paper: str = PAPER) -> str:
    """Return what was written, and what to do with it."""
    tiling = tile(shapes(study).frame, paper_of(paper))
    said = [say("sheet.written", file=words.plain(str(file)), count=len(tiling.tiles), paper=paper_of(paper).name)]
    said += [say("sheet.scale"), say("sheet.join")] if len(tiling.tiles) > 1 else [say("sheet.scale")]
    if study.plan.blank.form == "paper":
        said.append(say("sheet.on_paper"))
    return "\n".join(line for text in said for line in words.wrapped(text, rest="  ")) + "\n"
