"""One screen on the hand's errors: is it right, how far off, which step deserves the care, what the first step does.

The same few lines stand at the head of `construct report` and of `construct errors`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from construct.reports import View
from construct.reports import _error_words as say
from construct.reports import _words as words
from construct.study import Study

if TYPE_CHECKING:
    from construct.errors import Errors
    from construct.errors.movement import AlikeGroup, StepMovement

RIGHT, FAR, CARE, FIRST = "Is it right?", "How far off?", "Which step?", "First step?"
LABEL = 14
DEAREST = 3
RANKED = 10
MOST_SENTENCES = 2


def short(study: Study, view: View, tally: str) -> list[str]:
    """Return the four answers, 14 lines at most for a plain recipe; empty where errors were not asked for.

    tally: how the claims fare, in a sentence.
    """
    errors = study.errors
    if errors is None:
        return []
    lines = words.wrapped(f"In short, at a bench of level `{errors.level}` (first order; {say.FIGURES_SAID}):", rest="  ")
    lines += _answer(RIGHT, tally)
    if not errors.inputs:
        return [*lines, *_answer(FAR, "No step here makes an error of the hand.")]
    lines += _answer(FAR, _how_far(study, errors, view.units))
    lines += _answer(CARE, _which_step(errors, view.units))
    lines += _answer(FIRST, _first_step(errors, view.units))
    return lines


def _answer(label: str, text: str) -> list[str]:
    return words.wrapped(text, f"  {label:<{LABEL}}", " " * (LABEL + 2)) if text else []


def _how_far(study: Study, errors: Errors, units: str) -> str:
    reaches: dict[str, list[str]] = {}
    for mark in say.matter(study.plan, errors):
        reaches.setdefault(say.amount(say.mark_reach(mark), units), []).append(f"`{words.plain(mark.name)}`")
    said = []
    marks = "; ".join(f"{words.listed(names)} {reach}" for reach, names in reaches.items())
    if marks:
        said.append(f"{say.OFTEN} no farther than: {marks}.")
    worst = say.worst_station(errors)
    if worst is not None:
        edge, station = worst
        most = say.expanded(say.with_knife(station, errors))
        said.append(
            f"Cut edges, with the knife's entry: {say.amount(say.expanded(math.hypot(say.whole_edges_u(errors), errors.knife_u_mm)), units)} "
            f"as a rule, {say.amount(most, units)} at `{words.plain(edge.name)}`: {say.band(most)} (judgement)."
        )
        shift = errors.movement.total.rigid_share if errors.movement is not None else 0.0
        if shift >= 0.5:
            said.append(f"{say.whole_share(shift)} of it (of its mean square) moves the pattern as a whole, which shows at the margin only.")
    elif marks:
        most = max((say.mark_reach(mark) for mark in say.matter(study.plan, errors)), default=0.0)
        said.append(f"At worst {say.band(most)} (judgement)." if not math.isnan(most) else "")
    return " ".join(part for part in said if part)


def _which_step(errors: Errors, units: str) -> str:
    if not errors.costs or math.isnan(errors.costs[0].rms_mm) or errors.costs[0].rms_mm == 0:
        return _by_mark(errors, units)
    each = [
        f"`{words.plain(cost.step)}` (line {cost.line}) {say.whole_share(cost.share)}, most by {say.chief(cost.rows)}"
        for cost in errors.costs[:DEAREST] if cost.rms_mm > 0
    ]  # fmt: skip
    headings: dict[str, float] = {}
    for cost in errors.costs:
        headings[cost.heading] = headings.get(cost.heading, 0.0) + cost.share
    dearest = max(headings, key=lambda one: headings[one])
    all_of_it = f" “{words.plain(dearest)}” makes {say.whole_share(headings[dearest])} in all." if dearest else ""
    return f"Of what the cut edges are off (of its mean square): {'; '.join(each)}.{all_of_it}"


def _by_mark(errors: Errors, units: str) -> str:
    known = [mark for mark in errors.marks if mark.rows]
    if not known:
        return "No mark has a first-order budget here: look at the trials in the tables."
    worst = max(known, key=lambda mark: mark.u_mm)
    lines = {row.step: row.line for row in worst.rows}
    each = [f"`{words.plain(step)}` (line {lines[step]}) {say.amount(u, units)}" for step, u in worst.by_step[:DEAREST]]
    return f"At `{words.plain(worst.name)}`, the least sure mark (u {say.amount(worst.u_mm, units)}): {', '.join(each)}."


def _first_step(errors: Errors, units: str) -> str:
    first = errors.first_step
    said = []
    part = say.first_part(errors)
    title = words.plain(first.title)
    if part is not None and errors.movement is not None and errors.movement.groups:
        most = max(range(len(errors.movement.groups)), key=lambda n: part.unequal[n].all_mm)
        group = errors.movement.groups[most]
        said.append(f"“{title}”: {say.alike_called(group.names)} {say.fate(part.unequal[most], units)}.")
    elif part is not None and errors.movement is not None:
        said.append(_moved(title, part, errors.movement.of, units))
    said += [f"{text[:1].upper()}{text[1:]}." for text in map(say.told, say.telling(errors)[:MOST_SENTENCES])]
    if not said:
        said.append(f"“{title}” moves nothing that is marked or cut." if title else "")
    return " ".join(said)


def _moved(title: str, part: StepMovement, of: str, units: str) -> str:
    return (f"“{title}” puts the {of} off by about {say.amount(part.split.all_mm, units)}, "
            f"{say.whole_share(part.split.rigid_share)} of it (of its mean square) as a shift or turn of the whole.")  # fmt: skip


# --- the rest of the screen ---------------------------------------------------------------------


def ranking(errors: Errors, view: View) -> list[str]:
    """Return the steps by what they cost, the dearest first."""
    if not errors.costs:
        return []
    lines = ["Steps by what they cost at the cut edges (u, root mean square along them; part of the mean square):"]
    for cost in errors.costs[:RANKED]:
        rows = ", ".join(f"{row.source} {say.amount(row.u_mm, view.units)}" for row in cost.rows)
        text = f"`{words.plain(cost.step)}`, line {cost.line}: {rows or 'nothing'}"
        lines += words.wrapped(text, f"  {say.cell(cost.rms_mm, view.units):>7} {view.units} {say.share(cost.share):>7}  ", " " * 22)
    more = len(errors.costs) - RANKED
    return [*lines, f"  and {words.counted(more, 'step')} more, in the tables"] if more > 0 else lines


def movement(errors: Errors, view: View) -> list[str]:
    """Return what moves, what resizes, and what makes chips unequal."""
    moved = errors.movement
    if moved is None:
        return words.wrapped("What moves and what distorts: three marks at least are needed to tell.", rest="  ")
    total = moved.total
    lines = words.wrapped(
        f"What moves and what distorts, over the {moved.of} (first order; parts add as squares): "
        f"{say.amount(total.all_mm, view.units)} in all: shift and turn {say.amount(total.rigid_mm, view.units)}, "
        f"size {say.amount(total.scale_mm, view.units)}, the rest {say.amount(total.rest_mm, view.units)}.", rest="  ")  # fmt: skip
    lines += [line for text in moved.sentences for line in words.wrapped(words.plain(text), "  - ", "    ")]
    for group in moved.groups:
        lines += words.wrapped(f"In all, {_in_all(group, view.units)}.", "  - ", "    ")
    return lines


def _in_all(group: AlikeGroup, units: str) -> str:
    return f"{say.alike_called(group.names)} {say.fate(group.total, units)}: {say.band(say.expanded(group.total.unequal_mm))} (judgement)"


def sureness(errors: Errors) -> list[str]:
    """Return what kind of figures these are: guarantee, trials, seed, lost trials, ν, judgement; then the warnings."""
    if errors.trials:
        ran = f"{errors.trials} trials, seed {errors.seed}, {errors.lost or 'none'} lost: estimates"
        rest = {True: "; they came to rest within the numerical tolerance", False: "; they did NOT come to rest"}.get(errors.stable, "")  # type: ignore[arg-type]
    else:
        ran, rest = "no trials were run", ""
    judged = sum(one.source.basis == "judgement" for one in errors.inputs)
    basis = f"{judged} of {words.counted(len(errors.inputs), 'input quantity', 'input quantities')} rest on judgement"
    said = [
        f"Budgets are first order; beside them {ran}{rest}. {basis}; {say.BANDS_SAID}.",
        "u is a standard uncertainty. U = 1.96 u for one direction, and the ellipse (k = 2.4477) for a mark, are what is not "
        f"exceeded {say.OFTEN}.",
        *(f"{note[:1].upper()}{note[1:]}." for note in errors.notes),
    ]
    lines = [line for text in said for line in words.wrapped(text)]
    return lines + warnings(errors)


def warnings(errors: Errors) -> list[str]:
    """Return what to mind, each in a sentence with its line."""
    lines = []
    for one in errors.warnings:
        where = f"line {one.span.line}: " if one.span is not None else ""
        hint = f" ({one.hint})" if one.hint else ""
        lines += words.wrapped(words.plain(f"{where}{one.message}{hint}."), "Mind: ", "  ")
    return lines


def warned(errors: Errors, most: int = 2) -> Sequence[str]:
    """Return the first few warnings in a line each, for a report."""
    lines = warnings(errors)
    return lines if len(errors.warnings) <= most else [f"Mind: {words.counted(len(errors.warnings), 'warning')} on these figures, all told by `construct errors`."]
