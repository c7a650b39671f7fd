"""The why below each claim: numbered steps for people, and the same for machines."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from construct.phrasebook import say
from construct.proofs.why import Reason, Why
from construct.reports import _words as words


def lines(why: Why, indent: str) -> list[str]:
    """Return a why as text: each step with where it is from, what it rests on, and what it reads off the drawing."""
    if not why.steps:
        return words.wrapped(say("why.shown.none", missing=words.plain(why.missing)), indent, indent)
    rows = [indent + say("why.shown.title")]
    for step in why.steps:
        number = f"{indent}{step.number:>2}. "
        rows += words.wrapped(words.plain(f"{step.sentence}{_behind(step)}"), number, " " * len(number))
        if step.seen:
            seen = say("why.shown.seen", seen="; ".join(words.plain(one) for one in step.seen))
            rows += words.wrapped(seen, " " * len(number), " " * len(number))
    return rows


def _behind(step: Reason) -> str:
    """Return what stands behind a step, in brackets: the proposition, earlier steps, lines of the recipe."""
    said = [step.proposition] if step.proposition else []
    if step.uses:
        said.append(say("why.shown.uses", count=len(step.uses), steps=words.listed([str(use) for use in step.uses])))
    if step.lines:
        said.append(say("why.shown.lines", count=len(step.lines), lines=_ranges(step.lines)))
    return f" ({'; '.join(said)})" if said else ""


def _ranges(numbers: Sequence[int]) -> str:
    """Return line numbers with runs drawn together: "10, 12-15"."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(f"{run[0]}-{run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs)


def record(why: Why) -> dict[str, Any]:
    """Return a why for machines."""
    return {
        "steps": [
            {
                "number": step.number,
                "sentence": step.sentence,
                "things": list(step.things),
                "rule": step.rule,
                "proposition": step.proposition,
                "uses": list(step.uses),
                "lines": list(step.lines),
                "seen": list(step.seen),
            }
            for step in why.steps
        ],
        "missing": why.missing,
    }
