"""The bench card: the recipe on one page, with settings for the user's ruler and what to measure after each stage.

As text for the screen, or as a PDF to pin up.  `construct card` writes it; it is no part of `construct report`'s folder.
"""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path

from construct.diagnostics import Mistakes, diagnostic
from construct.phrasebook import say
from construct.reports import View, _one_file
from construct.reports import _words as words
from construct.reports._card_lines import Line, card
from construct.reports._tiles import paper_of
from construct.study import Study
from construct.teaching import Bench

NAME = "card"
NOTE = "the recipe for the bench, on one page"
PAPER = "A4"

MARKER = "Card made by construct."
"""The last line of a card that is text, by which a file of ours is known."""

PDF_MARKER = b"/Creator (construct"

RULERS = {"mm": Fraction(1, 2), "in": Fraction(254, 320)}
"""Graduations taken where the recipe's ruler is of the other kind, in mm: 0.5 mm and 1/32 in. Judgement: what a bench has."""

LARGEST_GRADUATION = Fraction(26)
_LENGTH = re.compile(r"\s*(\d{1,4}(?:\.\d{1,4})?|\d{1,4}/\d{1,4})\s*(mm|in)\s*", re.ASCII)

_PAGE = re.compile(rb"/Type\s*/Page\b(?!s)")


def check(file: Path | None, paper: str = PAPER) -> None:
    """Raise `Mistakes` where no card can be written there, or there is no such paper."""
    paper_of(paper)
    if file is not None:
        _one_file.check(file, (".pdf", ".txt"), (MARKER.encode() if file.suffix.lower() == ".txt" else PDF_MARKER,))


def units(ruler: str | None, study: Study) -> str:
    """Return the units of a card where none are asked for: those of the ruler at hand, which is what a setting is read on."""
    found = None if ruler is None else _LENGTH.fullmatch(ruler)
    return found[2] if found else words.units_of(study.plan)


def graduation(ruler: str | None, units: str, own: Fraction) -> Fraction:
    """Return the graduation in mm that a card is rounded to.

    ruler: as the user names it, "0.5 mm" or "1/32 in"; None for the recipe's own, or one of `RULERS` where that is
        of the other kind than the user's units.
    """
    if ruler is None:
        return own if words.graduation(own).endswith(units) else RULERS[units]
    found = _LENGTH.fullmatch(ruler)
    try:
        mm = Fraction(found[1]) * (words.MM_PER_INCH if found[2] == "in" else 1) if found else Fraction(0)
    except ZeroDivisionError:
        mm = Fraction(0)
    if not Fraction(1, 20) <= mm <= LARGEST_GRADUATION:
        raise Mistakes((diagnostic("C810", ruler=ruler[:40]),))
    return mm


def text(study: Study, bench: Bench, view: View) -> str:
    """Return the card as text for the screen."""
    made = card(study, bench, view.units)
    lines = [*_texts(made.begin)]
    for stage in made.stages:
        lines += ["", *_texts(stage)]
    return "\n".join([*lines, "", *_texts(made.end), MARKER]) + "\n"


def _texts(some: tuple[Line, ...]) -> list[str]:
    return [line for one in some for line in _text(one)]


def _text(line: Line) -> list[str]:
    indent = "  " * line.depth
    match line.kind:
        case "act":
            head = f"  {line.head:>3}  {indent}"
            mark = f"  [{line.mark}]" if line.mark else ""
            said = words.wrapped(f"{line.text}{mark}", head, " " * (len(head) + 2))
            return said + (words.wrapped(f"= {line.tail}", " " * (len(head) + 2)) if line.tail else [])
        case "turn":
            return words.wrapped(line.text, f"       {indent}", f"         {indent}")
        case "stage":
            return words.wrapped(line.text.upper())
        case "measure":
            return words.wrapped(f"{line.head} {line.text}", "    > ", "      ")
        case "caution":
            return [*([line.head] if line.head else []), *words.wrapped(line.text, "  - ", "    ")]
    return words.wrapped(f"{line.head} {line.text}".strip(), rest="  ")


def page(study: Study, bench: Bench, view: View, *, paper: str = PAPER, large: bool = False) -> bytes:
    """Return the card as a PDF: one page where print of 8 points suffices; large print, 18 points, runs over pages.

    paper: a name of `_tiles.PAPERS`.  Raises `Mistakes` for another.
    """
    # here, so that a card on the screen never loads what draws it
    from construct.reports._card_drawing import draw

    return draw(study, card(study, bench, view.units), paper_of(paper), large=large)


def written(file: Path, study: Study, bench: Bench, view: View, *, paper: str = PAPER, large: bool = False) -> bytes:
    """Return what goes into a file: text or a PDF, by the ending of its name."""
    if file.suffix.lower() == ".txt":
        return text(study, bench, view).encode()
    return page(study, bench, view, paper=paper, large=large)


def pages(content: bytes) -> int | None:
    """Return how many pages a card has, None where it is text."""
    return len(_PAGE.findall(content)) if content.startswith(b"%PDF") else None


def told(file: Path, content: bytes) -> str:
    """Return what was written."""
    count = pages(content)
    if count is None:
        return f"{words.plain(str(file))}\n"
    return "\n".join(words.wrapped(say("card.written", file=words.plain(str(file)), pages=say("card.pages", count=count)))) + "\n"
