"""Which written numbers do not matter: "true for any plate, and for any length in line 21".

The lengths written in a claim's own steps, and the plate's size, are replaced
by letters, as many together as still prove the claim: the plate first, then
from the top of the recipe down.  Numbers in the claim itself stay, and so does
what a ruler reads: its ties are among the conditions.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from construct.claims import Verdict
from construct.claims._slice import slice_of
from construct.number_systems import Rational
from construct.number_systems.letters import Lettered
from construct.phrasebook import say
from construct.plan import Plan, PlannedClaim, PlannedLength, Step
from construct.proofs.scope import AskedLetters, Over, holds_over, settle_over
from construct.replay import Settled

MOST_TRIED = 24
"""So many written numbers of one claim are tried one by one; the plate and the topmost come first."""

Place = tuple[int, int]
"""Where a length is written: its line, and the how-manieth it is there. (0, 0) is the plate's size."""

_PLATE: Place = (0, 0)


class _Written(Fraction):
    """A written length: the number that it is, and the place where it is written."""

    place: Place

    def __new__(cls, value: Fraction, place: Place) -> _Written:
        made = super().__new__(cls, value)
        made.place = place
        return made


class _WrittenLetters(AskedLetters):
    """Letters for written lengths too."""

    def rational(self, value: Rational) -> Lettered:
        """The number, or the letter that stands for where it is written."""
        if isinstance(value, _Written):
            line, order = value.place
            number = Fraction(value)
            return self.letter(f"length {order} in line {line}, {number} mm", number)
        return super().rational(value)


@dataclass(slots=True)
class _Slices:
    """The slices of one plan settled so far, each with some written numbers left open."""

    plan: Plan
    known: dict[tuple[tuple[int, ...], frozenset[Place]], Over | None]

    def holds(self, claim: PlannedClaim, steps: Sequence[Step], places: frozenset[Place]) -> bool:
        """Tell whether a claim is shown with the numbers at these places left open."""
        key = tuple(step.number for step in steps), places
        if key not in self.known:
            opened = tuple(_opened(step, places) if step.span.source == self.plan.source else step for step in steps)
            blank = replace(self.plan.blank, free=self.plan.blank.free or _PLATE in places)
            self.known[key] = settle_over(replace(self.plan, blank=blank), opened, _WrittenLetters())
        over = self.known[key]
        return over is not None and holds_over(self.plan, claim, over)

    def reads(self, steps: Sequence[Step], places: frozenset[Place]) -> tuple[str, ...]:
        """Return what must stay as it is read in a slice that was settled: rulers and templates round."""
        over = self.known[tuple(step.number for step in steps), places]
        kinds = {one.kind for one, _ in over.relied} if over is not None else set()
        return tuple(say(f"indifferent.still.{kind}") for kind in _READ if kind in kinds)


_READ = ("reading", "hole")


def indifferent(settled: Settled, verdicts: Sequence[Verdict]) -> tuple[str, ...]:
    """Return for each claim which written numbers do not matter, as a sentence; "" where nothing can be said.

    A claim that is not proved, or proved only for the choice drawn, or about chips, has none.
    Cost: as many settlings over letters as there are numbers; one where none matters.
    """
    plan = settled.plan
    slices = _Slices(plan, {})
    return tuple(
        _sentence(plan, claim, slices) if _is_open(plan, claim, verdict) else ""
        for claim, verdict in zip(plan.claims, verdicts, strict=True)
    )


def _is_open(plan: Plan, claim: PlannedClaim, verdict: Verdict) -> bool:
    if verdict.verdict != "proved" or (verdict.scope == "here" and verdict.choices):
        return False
    indices = [index for argument in claim.arguments for index in (argument if isinstance(argument, tuple) else (argument,))]
    return not any(isinstance(index, int) and plan.things[index].kind == "chip" for index in indices)


def _sentence(plan: Plan, claim: PlannedClaim, slices: _Slices) -> str:
    steps = slice_of(plan, claim)
    if not steps:
        return ""
    places = list(dict.fromkeys(written.place for step in steps if step.span.source == plan.source for written in _lengths(step)))
    places.sort()
    if plan.blank.form == "round" and plan.blank.width is not None and not plan.blank.free:
        places.insert(0, _PLATE)
    if not places:
        return ""
    kept = frozenset(places)
    if not slices.holds(claim, steps, kept):
        kept = frozenset()
        for place in places[:MOST_TRIED]:
            if slices.holds(claim, steps, kept | {place}):
                kept |= {place}
    return _said(kept, places, slices.reads(steps, kept)) if kept else ""


def _said(kept: frozenset[Place], places: Sequence[Place], reads: Sequence[str]) -> str:
    """Return the sentence for the numbers that do not matter; `reads` is what must stay as read."""
    parts = [say("indifferent.plate")] if _PLATE in kept else []
    lines = sorted({line for line, _ in kept - {_PLATE}})
    for line in lines:
        here = [order for number, order in places if number == line]
        ours = [order for order in here if (line, order) in kept]
        if len(here) == 1:
            parts.append(say("indifferent.length", line=line))
        elif ours == here:
            parts.append(say("indifferent.lengths", line=line))
        else:
            parts.append(say("indifferent.some", which=_and(map(_ordinal, ours)), line=line))
    listed = parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} {say('list.and')} {parts[-1]}"
    return say("indifferent.true", what=listed, conditions=_and((say("indifferent.still.laid"), *reads)))


def _and(words: Iterable[str]) -> str:
    return f" {say('list.and')} ".join(words)


def _ordinal(order: int) -> str:
    words = ("first", "second", "third")
    return say(f"indifferent.order.{words[order]}") if order < len(words) else say("indifferent.order.later", number=order + 1)


# --- where lengths are written ------------------------------------------------------------------


def _lengths(step: Step) -> Iterator[_Written]:
    """Yield the written lengths of a step, in order: in its arguments, then in the bound of its free choice."""
    opened = _opened(step, None)
    for argument in (*opened.arguments, None if opened.bound is None else opened.bound.length):
        if isinstance(argument, PlannedLength):
            yield from _inside(argument)


def _inside(length: PlannedLength) -> Iterator[_Written]:
    if isinstance(length.value, _Written):
        yield length.value
    for part in length.parts:
        yield from _inside(part)


def _opened(step: Step, places: frozenset[Place] | None) -> Step:
    """Return a step whose lengths at some places, or at all where None, know where they are written.

    In a round, or in a method used twice, one written length stands in several steps: it is one number.
    """
    count = 0

    def walk(argument: Any) -> Any:
        nonlocal count
        if not isinstance(argument, PlannedLength):
            return argument
        if argument.op == "mm":
            place = step.span.line, count
            count += 1
            return replace(argument, value=_Written(argument.value, place)) if places is None or place in places else argument
        return replace(argument, parts=tuple(walk(part) for part in argument.parts))

    arguments = tuple(walk(argument) for argument in step.arguments)
    bound = step.bound if step.bound is None else replace(step.bound, length=walk(step.bound.length))
    return replace(step, arguments=arguments, bound=bound)
