"""The lengths written in a recipe: which are the pattern's and grow with it, which are the hand's and stay, and the text with them changed.

Only the lengths themselves are replaced in the text: names, comments and the
user's own spacing stay as they are.  Exact fractions throughout.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from construct.diagnostics import Span
from construct.language import syntax as s
from construct.language.phrases import slots

INSET, PATTERN, TEMPLATE, PICTURE, CLAIM, KNIFE, ALLOWANCE = "inset", "pattern", "template", "picture", "claim", "knife", "allowance"

GROWS = frozenset({INSET, PATTERN, TEMPLATE, PICTURE, CLAIM})
"""The roles that grow with the pattern unless the user says otherwise; the outermost inset, the margin, stays."""


@dataclass(frozen=True, slots=True)
class WrittenLength:
    """A length as written.

    role: "inset" (from the edge), "pattern" (set by ruler), "template" (a hole), "picture" (what the drawing shows of a free
        choice, and its bound), "claim" (stated), "knife" (groove, land, depth), "allowance" (`within …`).
    mm: exact.  text: as written.  span: where.  said: the line it stands in, without its comment.
    """

    role: str
    mm: Fraction
    text: str
    span: Span
    said: str


@dataclass(frozen=True, slots=True)
class WrittenPlace:
    """A place as written, such as `(30, 70)` before its `mm`: coordinates from the middle of the blank, in mm."""

    x: Fraction
    y: Fraction
    span: Span


def lengths(recipe: s.Recipe) -> tuple[WrittenLength, ...]:
    """Return every length of a recipe's statements and of its own methods, in the order of the text; blank and bench are not among them."""
    found = [
        WrittenLength(role, one.mm, one.text, one.span, _said(recipe, one.span))
        for role, one in _walk((*recipe.methods, *recipe.statements))
    ]
    return tuple(sorted(found, key=lambda one: (one.span.line, one.span.column)))


def places(recipe: s.Recipe) -> tuple[WrittenPlace, ...]:
    """Return every place of a recipe, given or said."""
    from construct.plan.ratios import fraction

    told = [place for given in recipe.given for place in given.places]
    told += [filling.value for action in _actions((*recipe.methods, *recipe.statements)) for filling in action.fillings
             if isinstance(filling, s.Say) and isinstance(filling.value, s.Place)]  # fmt: skip
    return tuple(WrittenPlace(fraction(one.x), fraction(one.y), one.span) for one in told)


def _said(recipe: s.Recipe, span: Span) -> str:
    return " ".join(recipe.lines[span.line - 1].split("#")[0].split()) if 0 < span.line <= len(recipe.lines) else ""


def _blocks(statements: Iterable[s.Statement]) -> Iterator[s.Statement]:
    """Yield every statement, those inside rounds, ways and methods too."""
    for statement in statements:
        yield statement
        if isinstance(statement, s.Ways):
            for way in statement.ways:
                yield from _blocks(way.block)
        elif isinstance(statement, s.Round | s.Method):
            yield from _blocks(statement.block)


def _actions(statements: Iterable[s.Statement]) -> Iterator[s.Action]:
    for statement in _blocks(statements):
        if isinstance(statement, s.Action):
            yield statement


def _walk(statements: Iterable[s.Statement]) -> Iterator[tuple[str, s.Measure]]:
    for statement in _blocks(statements):
        match statement:
            case s.Action(phrase=phrase):
                own = (
                    INSET if phrase.option("line") == "first through the centre" else TEMPLATE if "by template" in phrase.text else PATTERN
                )
                for slot, filling in zip(slots(phrase), statement.fillings, strict=True):
                    role = PICTURE if slot.reads in ("say", "bound") else own
                    for one in _measures(filling):
                        # what is only a part of an inset is no distance from the edge by itself
                        yield (PATTERN if role == INSET and not isinstance(filling, s.Measure) else role), one
            case s.ClaimLine():
                for filling in statement.fillings:
                    yield from ((CLAIM, one) for one in _measures(filling))
                yield from ((ALLOWANCE, one) for one in _measures(statement.within))
            case s.CarveLine():
                for filling in statement.parts:
                    yield from ((KNIFE, one) for one in _measures(filling))


def _measures(filling: Any) -> Iterator[s.Measure]:
    match filling:
        case s.Measure():
            yield filling
        case s.Part(of=of):
            yield from _measures(of)
        case s.Combined(first=first, second=second):
            yield from _measures(first)
            yield from _measures(second)
        case s.Setting(parts=parts):
            for part in parts:
                yield from _measures(part)
        case s.Bound(length=length):
            yield from _measures(length)
        case s.Say(value=value):
            yield from _measures(value)


def replaced(lines: Sequence[str], changes: Iterable[tuple[Span, str]]) -> str:
    """Return the text with what stands at some places replaced."""
    changed = list(lines)
    # from the right, so that the places to the left stay where they are
    for span, text in sorted(changes, key=lambda change: (change[0].line, -change[0].column)):
        line = changed[span.line - 1]
        changed[span.line - 1] = line[: span.column - 1] + text + line[span.column - 1 + span.width :]
    return "\n".join(changed) + "\n"
