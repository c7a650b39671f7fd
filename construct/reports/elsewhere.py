"""Pictures of the choices that break a claim which only the choice drawn makes true: the layout as another hand may make it."""

from __future__ import annotations

from construct.phrasebook import say
from construct.reports import View, summary
from construct.reports import _words as words
from construct.reports.figure import Sheet, description, drawing_rules, rendered
from construct.study import Study

NAME = "elsewhere"
NOTE = "the layout at another choice, where that breaks a claim"

MOST = 3
"""So many claims that other choices break are drawn; the text tells of all."""


def files(study: Study, view: View) -> dict[str, bytes]:
    """Return `elsewhere-1.svg`, `elsewhere-1.png` and so on; nothing where no claim is so."""
    made: dict[str, bytes] = {}
    for number, (_, there) in enumerate(study.elsewhere[:MOST], 1):
        with drawing_rules():
            sheet = _Elsewhere(there, view.units)
            text = f"{sheet.subtitle()} {description(there, view.units)}"
            made |= rendered(sheet.figure, f"elsewhere-{number}", sheet.title(), text)
    return made


class _Elsewhere(Sheet):
    """The plate at another choice; its title is the claim, its second line the choice and how far off the claim is there."""

    def title(self) -> str:
        (verdict,) = self.study.verdicts
        return say("elsewhere.title", line=verdict.line, claim=words.plain(verdict.text))

    def subtitle(self) -> str:
        (verdict,) = self.study.verdicts
        return summary.elsewhere(verdict, View(self.units))
