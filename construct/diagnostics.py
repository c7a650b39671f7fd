"""A user's mistake as a value: where it is, what is wrong in bench words, what would be right.

Every stage collects its diagnostics and goes on as far as it can; a stage that
has any ends the way through with `Mistakes`.  A user's mistake is never a
traceback.  What one says stands with all other words, under `[diagnostic]`, by
its code.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from construct import phrasebook

MOST_SPOTS = 4
"""Places on the wood that one diagnostic spells out."""


@dataclass(frozen=True, slots=True)
class Span:
    """A place in a recipe's text.

    line: 1-based line of the first character.
    column: 1-based column of the first character.
    width: how many characters the place covers on that line (at least 1).
    source: the file or name the text came from, as the user wrote it; "" for plain text.
    """

    line: int
    column: int
    width: int = 1
    source: str = ""


@dataclass(frozen=True, slots=True)
class Spot:
    """A place on the wood that a mistake points at: an *estimate*, for eyes alone.

    x_mm, y_mm: from the middle of the blank, or from the place (0, 0) on paper.
    says: what is there, such as "here the cut ends".
    """

    x_mm: float
    y_mm: float
    says: str


@dataclass(frozen=True, slots=True)
class Diagnostic:
    """One mistake.

    code: a stable short code; the letter is the stage (T text, P plan, R replay, C command).
    message: what is wrong, in bench words.
    hint: what would be right; may be empty.
    span: where; None where the mistake has no place in a recipe.
    text: the whole source line that `span` points into, "" if unknown.
    warning: True where the recipe still stands.
    spots: where on the wood, for what is wrong with the drawing and not with the words.
    """

    code: str
    message: str
    hint: str = ""
    span: Span | None = None
    text: str = ""
    warning: bool = False
    spots: tuple[Spot, ...] = ()

    def __str__(self) -> str:
        return show(self)


class Wrong(Exception):
    """A mistake in one statement, for whoever reads statements to note, and to go on with the next.

    key: its code, or where the code has several wordings, the code and which: "P103", "P103.round".
    span: where, if elsewhere than the statement itself.
    values: what the wording's names stand for.
    """

    def __init__(self, key: str, span: Span | None = None, /, **values: object) -> None:
        self.code, self.message, self.hint = worded(key, values)
        self.span = span
        super().__init__(self.message)


class Mistakes(Exception):
    """Raised at the end of a stage that found mistakes; carries them all."""

    def __init__(self, diagnostics: tuple[Diagnostic, ...]) -> None:
        super().__init__("\n\n".join(str(one) for one in diagnostics))
        self.diagnostics = diagnostics


def diagnostic(key: str, span: Span | None = None, text: str = "", /, *, warning: bool = False, **values: object) -> Diagnostic:
    """Return a diagnostic by its key, as in `Wrong`; `text` is the source line that `span` points into."""
    return Diagnostic(*worded(key, values), span, text, warning)


def worded(key: str, values: Mapping[str, object]) -> tuple[str, str, str]:
    """Return the code, message and hint of a diagnostic's key; a wording without a message of its own has its code's."""
    code = key.partition(".")[0]
    own = phrasebook.found(f"diagnostic.{key}.message") is not None
    message = phrasebook.tell(f"diagnostic.{key if own else code}.message", **values)
    hint = f"diagnostic.{key}.hint"
    return code, message, phrasebook.tell(hint, **values) if phrasebook.found(hint) is not None else ""


def once_each(found: Sequence[Diagnostic]) -> tuple[Diagnostic, ...]:
    """Return the diagnostics with those of one place and kind, from several turns of a round or uses of a method, said once."""
    kept: dict[tuple[object, ...], Diagnostic] = {}
    more: dict[tuple[object, ...], int] = {}
    for one in found:
        key = (one.code, one.span) if one.span is not None else (one,)
        more[key] = more.get(key, -1) + 1
        kept.setdefault(key, one)
    return tuple(
        replace(one, message=phrasebook.say("where.again", message=one.message, count=more[key])) if more[key] else one
        for key, one in kept.items()
    )


def show(diagnostic: Diagnostic) -> str:
    """Return the diagnostic as people read it: place first, then the line with a caret, then the hint."""
    span = diagnostic.span
    if span is None:
        head = f"{diagnostic.code}: {diagnostic.message}"
        return f"{head}\n   {diagnostic.hint}" if diagnostic.hint else head
    source = f"{span.source}:" if span.source else ""
    lines = [f"{source}{span.line}:{span.column}: {diagnostic.code}: {diagnostic.message}"]
    if diagnostic.text:
        text, column = _window(diagnostic.text.replace("\t", " "), span.column)
        margin = f"{span.line:>5} | "
        width = max(1, min(span.width, len(text) - column + 1))
        lines.append(margin + text)
        lines.append(" " * (len(margin) - 2) + "| " + " " * (column - 1) + "^" * width)
    if diagnostic.hint:
        lines.append(f"   {diagnostic.hint}")
    lines += [f"   {spot.says}" for spot in diagnostic.spots[:MOST_SPOTS]]
    if len(diagnostic.spots) > MOST_SPOTS:
        lines.append("   " + phrasebook.say("where.more", count=len(diagnostic.spots) - MOST_SPOTS))
    return "\n".join(lines)


def _window(text: str, column: int, width: int = 100) -> tuple[str, int]:
    """Return the part of a long line that holds `column`, and the column within it."""
    printable = "".join(c if c.isprintable() else "·" for c in text)
    if len(printable) <= width:
        return printable, column
    start = max(0, column - width // 2)
    part = printable[start : start + width]
    if start:
        part = "…" + part[1:]
    if start + width < len(printable):
        part = part[:-1] + "…"
    return part, column - start
