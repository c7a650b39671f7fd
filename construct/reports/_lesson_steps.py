"""A study as a lesson: its steps in order, each with what the hand does, what to check, and how far off a hand is.

What a round or a method repeats is told once and named in full.  Everything is
read from the study; only the grouping is done here.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from construct.claims import Verdict
from construct.language.syntax import Carve
from construct.phrasebook import say
from construct.plan import Plan, PlannedCarving, Step, needs
from construct.reports import _error_words as errors_said
from construct.reports import _lesson_words as lesson_words
from construct.reports import _words as words
from construct.study import Study

if TYPE_CHECKING:
    from construct.errors import Errors
    from construct.errors.budget import MarkBudget
    from construct.proofs.why import Why

MANY_TURNS = 8
"""What one line of the recipe draws is all named in its picture up to so many; of more, only the first turn's."""

NOT_DRAWN = ("opening", "reading", "row", "chip")


@dataclass(frozen=True, slots=True)
class Act:
    """One line of the recipe, done once or in turns.

    number: from 1 on, within its step.  bench: as the recipe has it.  hand: what the hand does.
    more: what else is done likewise, "" where nothing.  setting: in the user's units, "" where nothing is set.
    cautions: sentences.  things: indices of what it draws; cuts: of its lines in `plan.carving`.
    named: of those things, the ones made by the first turn; uses: what that turn starts from.
    """

    number: int
    bench: str
    hand: str
    more: str = ""
    setting: str = ""
    cautions: tuple[str, ...] = ()
    things: tuple[int, ...] = ()
    cuts: tuple[int, ...] = ()
    named: tuple[int, ...] = ()
    uses: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Check:
    """One claim at its step: how to check it at the bench, its verdict in words, and why it holds, where that is known."""

    claim: str
    how: str
    verdict: str
    said: str
    why: Why | None = None


@dataclass(frozen=True, slots=True)
class LessonStep:
    """One step.

    number: from 1 on.  title: its heading.  acts, checks: in the recipe's order.
    far: how far off a hand is here, as sentences; empty where errors were not asked for.
    carves: True for the step in which the knife is planned.
    """

    number: int
    title: str
    acts: tuple[Act, ...]
    checks: tuple[Check, ...] = ()
    far: tuple[str, ...] = ()
    carves: bool = False

    @property
    def things(self) -> tuple[int, ...]:
        """Indices of everything that it draws."""
        return tuple(index for act in self.acts for index in act.things)

    @property
    def named(self) -> tuple[int, ...]:
        """Indices of what it draws and names in its picture: where a line of the recipe draws much in turns, only the first."""
        return tuple(index for act in self.acts for index in (act.things if len(act.things) <= MANY_TURNS else act.named))

    @property
    def cuts(self) -> tuple[int, ...]:
        """Indices of its lines in `plan.carving`."""
        return tuple(index for act in self.acts for index in act.cuts)


def lesson_steps(study: Study, units: str, whys: Sequence[Why] = ()) -> tuple[LessonStep, ...]:
    """Return the steps of a lesson, the carving last; whys: one for each verdict, or none at all."""
    plan = study.plan
    pages: list[tuple[str, list[Step]]] = []
    for step in plan.steps:
        title = step.heading or say("lesson.given" if step.phrase.text in lesson_words.GIVEN else "lesson.whole")
        if not pages or pages[-1][0] != title:
            pages.append((title, []))
        pages[-1][1].append(step)
    found = [LessonStep(number, title, _acts(study, steps, units)) for number, (title, steps) in enumerate(pages, 1)]
    if plan.carving:
        found.append(LessonStep(len(found) + 1, say("lesson.carve"), _cut_acts(plan), carves=True))
    checks = _checks(study, [[step.number for step in steps] for _, steps in pages], len(found), units, whys)
    return tuple(replace(step, checks=tuple(mine), far=_far(study, step, units)) for step, mine in zip(found, checks, strict=True))


# --- actions ------------------------------------------------------------------------------------


def _acts(study: Study, steps: Sequence[Step], units: str) -> tuple[Act, ...]:
    """Return what a step's lines do, the turns of a round together, settings said inside an action with it."""
    turns: dict[tuple[str, int], list[Step]] = {}
    for step in steps:
        if not step.hidden:
            use = step.key.rpartition(": ")[0]
            turns.setdefault((use, step.span.line), []).append(step)
    acts = []
    for number, ((use, _), members) in enumerate(turns.items(), 1):
        first, rest = members[0], members[1:]
        others = [study.plan.things[index].name for member in rest for index in member.outputs]
        acts.append(Act(
            number,
            _source_line(study.plan, first.span.line) if rest and not use else first.text,
            lesson_words.hand(study, first, units),
            say("lesson.of_round", others=lesson_words.some(others)) if others else "",
            lesson_words.setting(study, first, units),
            _cautions(first),
            things=_drawn(study.plan, members),
            named=_drawn(study.plan, members[:1]),
            uses=tuple(needs(first)),
        ))  # fmt: skip
    return tuple(acts)


def _drawn(plan: Plan, steps: Sequence[Step]) -> tuple[int, ...]:
    return tuple(index for step in steps for index in step.outputs if plan.things[index].kind not in NOT_DRAWN)


def _cautions(step: Step) -> tuple[str, ...]:
    text = step.phrase.text
    said = []
    if "by eye" in text:
        said.append(say("lesson.caution.eye"))
    if "by dividers" in text:
        said.append(say("lesson.caution.trial"))
    if "halfway" in text or text.startswith("length from"):
        said.append(say("lesson.caution.reading"))
    return tuple(said)


def _cut_acts(plan: Plan) -> tuple[Act, ...]:
    lines: dict[int, list[int]] = {}
    for index, one in enumerate(plan.carving):
        lines.setdefault(one.span.line, []).append(index)
    acts = []
    for number, (at, members) in enumerate(lines.items(), 1):
        first = plan.carving[members[0]]
        text = _source_line(plan, at) if len(members) > 1 else first.text
        more = say("lesson.of_round_cut", count=len(members)) if len(members) > 1 else ""
        acts.append(Act(number, text, _cut(first), more, cuts=tuple(members)))
    return tuple(acts)


def _cut(line: PlannedCarving) -> str:
    """Return what a carve line asks for; its own words say on what, after the one that opens it."""
    said = line.text.partition(":")[2].strip() if line.how == "chip" else line.text
    opening = "cut" if line.how == "stand" else line.how
    return say(f"lesson.carving.{line.how}", said=words.plain(said.removeprefix(opening).strip()), name=f"`{words.plain(line.name)}`")


def _source_line(plan: Plan, line: int) -> str:
    """Return a line as the recipe has it, with what goes on in the next ones, without its comment."""
    parts: list[str] = []
    for text in plan.lines[line - 1 :]:
        parts.append(text.split("#")[0].strip())
        if not parts[-1].endswith(","):
            break
    return " ".join(parts)


# --- claims -------------------------------------------------------------------------------------


def _checks(study: Study, numbers: Sequence[Sequence[int]], count: int, units: str, whys: Sequence[Why]) -> list[list[Check]]:
    """Return the checks of each step: a claim belongs where its line stands."""
    checks: list[list[Check]] = [[] for _ in range(max(count, 1))]
    before: dict[int, tuple[str, ...]] = {}
    carve = next((one.span.line for one in study.recipe.statements if isinstance(one, Carve)), None)
    for position, (claim, verdict) in enumerate(zip(study.plan.claims, study.verdicts, strict=True)):
        at = next((n for n, steps in enumerate(numbers) if claim.after - 1 in steps), 0)
        if carve is not None and claim.span.line > carve and claim.after == len(study.plan.steps):
            at = count - 1
        why = whys[position] if whys and verdict.verdict == "proved" else None
        told = verdict.conditions != () and before.get(at) == verdict.conditions
        before[at] = verdict.conditions
        how = lesson_words.check(study.plan, claim, units)
        checks[at].append(Check(verdict.text, how, verdict.verdict, verdict_said(verdict, units, told=told), why))
    return checks[:count]


def verdict_said(verdict: Verdict, units: str, *, told: bool = False) -> str:
    """Return a verdict as a sentence; told: its conditions have just been said."""
    if told and verdict.verdict == "proved":
        return say(f"lesson.verdict.{verdict.scope}_told")
    conditions = words.listed(words.told(one, units) for one in dict.fromkeys(verdict.conditions))
    finding = verdict.finding
    gap = "" if finding is None else words.gap(finding.exact, finding.figures, finding.value, finding.unit, units)
    match verdict.verdict:
        case "proved":
            key = f"{verdict.scope}_as" if conditions else verdict.scope
            return say(f"lesson.verdict.{key}", conditions=conditions)
        case "within":
            return say("lesson.verdict.within", gap=gap)
        case "undecided":
            return say("lesson.verdict.undecided", reason=verdict.reason)
    if gap:
        return say("lesson.verdict.refuted", gap=gap)
    return say("lesson.verdict.refuted_why", reason=verdict.reason) if verdict.reason else say("lesson.verdict.refuted_bare")


# --- how far off --------------------------------------------------------------------------------


def _far(study: Study, step: LessonStep, units: str) -> tuple[str, ...]:
    errors = study.errors
    if errors is None:
        return ()
    return _far_cuts(errors, units) if step.carves else _far_marks(errors, step, units)


def _far_cuts(errors: Errors, units: str) -> tuple[str, ...]:
    worst = errors_said.worst_station(errors)
    if worst is None:
        return ()
    edge, station = worst
    most = errors_said.expanded(errors_said.with_knife(station, errors))
    amount, name = errors_said.amount(most, units), f"`{words.plain(edge.name)}`"
    return (say("lesson.end.edges", most=amount, edge=name, band=errors_said.band(most)),)


def _far_marks(errors: Errors, step: LessonStep, units: str) -> tuple[str, ...]:
    """Return how far off the step's marks lie: each figure once, the marks of a round as a range."""
    known = {mark.index: mark for mark in errors.marks}
    said: list[str] = []
    alone: dict[str, list[MarkBudget]] = {}
    reaches: list[float] = []
    for act in step.acts:
        marks = [known[index] for index in act.things if index in known]
        rising = sorted(reach for mark in marks if not math.isnan(reach := errors_said.mark_reach(mark)))
        reaches += rising
        if len(marks) > lesson_words.FEW and rising and rising[-1] > 0:
            low, high = (errors_said.amount(one, units) for one in (rising[0], rising[-1]))
            names = lesson_words.some([mark.name for mark in marks])
            alike = say("lesson.far.marks", amount=high, names=names)
            said.append(say("lesson.far.range", low=low, high=high, names=names) if low != high else alike)
            continue
        for mark in marks:
            alone.setdefault(errors_said.amount(errors_said.mark_reach(mark), units), []).append(mark)
    said = [_far_alike(amount, marks) for amount, marks in sorted(alone.items(), key=lambda one: errors_said.mark_reach(one[1][0]))] + said
    if reaches and max(reaches) > 0:
        said.append(say("lesson.far.at_worst", band=errors_said.band(max(reaches))))
    return tuple(said) or (say("lesson.far.none"),)


def _far_alike(amount: str, marks: Sequence[MarkBudget]) -> str:
    names = lesson_words.some([mark.name for mark in marks])
    reach = errors_said.mark_reach(marks[0])
    if math.isnan(reach):
        return say("lesson.far.unknown", names=names)
    return say("lesson.far.marks", amount=amount, names=names) if reach else say("lesson.far.sure", names=names)
