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
SHIFTED = 0.5
"""A shift of the whole is told of from this part of the mean square on: judgement."""

RANKED = 10
MOST_SENTENCES = 2


def short(study: Study, view: View, tally: str) -> list[str]:
    """Return the four answers, 16 lines at most for a plain recipe; empty where errors were not asked for.

    tally: how the claims fare, in a sentence.
    """
    errors = study.errors
    if errors is None:
        return []
    head = f"In short, at a bench of level `{errors.level}` (first order; the bench's own figures: {_basis(errors)}):"
    lines = words.wrapped(head, rest="  ")
    lines += _answer(RIGHT, tally)
    if not errors.inputs:
        return [*lines, *_answer(FAR, "No step here makes an error of the hand.")]
    lines += _answer(FAR, _how_far(study, errors, view.units))
    if errors.lost * 100 > errors.trials > 0:
        lines += _answer("", f"1 time in {max(1, round(errors.trials / errors.lost))} it can not be drawn at all: {errors.lost_where[0][0]}.")
    lines += _answer(CARE, _which_step(errors, view.units))
    lines += _answer(FIRST, _first_step(study, errors, view.units))
    return lines


def _answer(label: str, text: str) -> list[str]:
    return words.wrapped(text, f"  {label:<{LABEL}}", " " * (LABEL + 2)) if text else []


def _basis(errors: Errors) -> str:
    """Return what the bench's figures rest on."""
    judged = sum(one.source.basis == "judgement" for one in errors.inputs)
    return "judgement" if judged == len(errors.inputs) else "partly judgement" if judged else "as the recipe says"


def _how_far(study: Study, errors: Errors, units: str) -> str:
    reaches: dict[str, list[str]] = {}
    every = say.matter(study.plan, errors)
    some = [mark for mark in every if say.mark_reach(mark) != 0] or every  # a given mark is where it is
    for mark in sorted(some, key=say.mark_reach):
        reaches.setdefault(say.amount(say.mark_reach(mark), units), []).append(f"`{words.plain(mark.name)}`")
    marks = "; ".join(f"{words.listed(names)} {reach}" for reach, names in reaches.items())
    each = ", each by itself" if len(some) > 1 else ""
    said = f"{say.OFTEN} within, round its drawn place{each}: {marks}." if marks else ""
    said += _drawn_off(study, units)
    worst = say.worst_station(errors)
    if worst is None:
        most = max((say.mark_reach(mark) for mark in some), default=math.nan)
        return said if math.isnan(most) else f"{said} At worst {say.band(most)} (judgement)."
    edge, station = worst
    most = say.expanded(say.with_knife(station, errors))
    whole = say.expanded(math.hypot(say.whole_edges_u(errors), errors.knife_u_mm))
    all_round = "" if math.isnan(whole) else f"{say.amount(whole, units)} on the whole, "
    said += f" Cut edges, with the knife's entry: {all_round}{say.amount(most, units)} at worst, along `{words.plain(edge.name)}`"
    shift = errors.movement.total.rigid_share if errors.movement is not None and errors.movement.of == "cut edges" else 0.0
    scattered = math.hypot(say.whole_edges_u(errors), errors.knife_u_mm)
    shift *= (say.whole_edges_u(errors) / scattered) ** 2 if scattered > 0 else 0.0
    if shift >= SHIFTED:
        said += f"; {say.whole_share(shift)} of the mean square is the whole pattern shifting or turning together"
    groups = errors.movement.groups if errors.movement is not None else ()
    margin = _margin(study, errors, units)
    if not groups:
        return f"{said}.{margin}" if margin else f"{said}: {say.band(most)} (judgement)."
    group = max(groups, key=lambda one: one.total.unequal_mm)
    unequal = say.expanded(group.total.unequal_mm)
    called = say.alike_called(group.names)
    called = called[:1].upper() + called[1:]
    apart = ", the knife left out" if errors.knife_u_mm else ""
    return f"{said}. {called} unequal by {say.amount(unequal, units)}{apart}: {say.band(unequal)} (judgement).{margin}"


def _margin(study: Study, errors: Errors, units: str) -> str:
    """Return by how much the margin comes out too wide one way and too narrow the other: the shift of the whole; paper has none."""
    if errors.movement is None or errors.movement.of != "cut edges" or study.plan.blank.form == "paper":
        return ""
    shift = say.expanded(errors.movement.total.shift_mm)
    return f" Margin too wide by {say.amount(shift, units)} at one side, and too narrow by that at the other: {say.band(shift)}."


def _drawn_off(study: Study, units: str) -> str:
    """Return by what the drawing itself is off: no scatter of the hand, and on top of it."""
    off = [verdict for verdict in study.verdicts if verdict.verdict in ("refuted", "within") and verdict.finding is not None]
    if not off:
        return ""
    first = off[0]
    assert first.finding is not None
    by = words.gap("", first.finding.figures, first.finding.value, first.finding.unit, units)
    more = f"; so are {len(off) - 1} more" if len(off) > 1 else ""
    return f" And the drawing itself is off there: “{words.plain(first.text)}” by {by}{more}."


def _which_step(errors: Errors, units: str) -> str:
    costs = say.costs(errors)
    if not costs or math.isnan(costs[0].rms_mm) or costs[0].rms_mm == 0:
        return _by_mark(errors, units)
    said = [*_for_alike(errors), *_for_centred(errors)]
    if said:
        return " ".join(said)
    each = [f"`{words.plain(cost.step)}` ({say.whole_share(cost.share)}{say.at_line(cost.line)})" for cost in costs[:DEAREST]]
    return f"At the cut edges: {', '.join(each)} of the mean square."


def _for_alike(errors: Errors) -> list[str]:
    """Return which steps deserve the care if alike chips are to stay alike: what moves all of them does not matter there."""
    if errors.movement is None or not errors.movement.groups:
        return []
    parts = [(sum(one.unequal_mm**2 for one in step.unequal), step) for step in errors.movement.steps]
    return _dearest("To keep the chips alike", parts)


def _for_centred(errors: Errors) -> list[str]:
    """Return which steps deserve the care if the pattern is to sit in the middle; a turn of it does not show on a round plate."""
    if errors.movement is None:
        return []
    return _dearest("To keep the pattern centred", [(step.split.shift_mm**2, step) for step in errors.movement.steps])


def _line(number: int) -> str:
    """Return " (line 11)", or nothing for what a tool does throughout the job."""
    return f" (line {number})" if number else ""


def _dearest(aim: str, parts: Sequence[tuple[float, StepMovement]]) -> list[str]:
    whole = math.fsum(part for part, _ in parts)
    if whole <= 1e-12:
        return []
    some = sorted(parts, key=lambda one: -one[0])[:2]
    each = [f"`{words.plain(step.step)}`{_line(step.line)} {say.whole_share(part / whole)}" for part, step in some if part > 0]
    return [f"{aim}: {', '.join(each)} of that mean square."]


def _by_mark(errors: Errors, units: str) -> str:
    known = [mark for mark in errors.marks if mark.rows]
    if not known:
        return "No mark has a first-order budget here: look at the trials in the tables."
    worst = max(known, key=lambda mark: mark.u_mm)
    lines = {row.step: row.line for row in worst.rows}
    each = [f"`{words.plain(step)}`{_line(lines[step])} {say.amount(u, units)}" for step, u in worst.by_step[:DEAREST]]
    return f"At `{words.plain(worst.name)}`, the least sure mark (u {say.amount(worst.u_mm, units)}): {', '.join(each)}."


def _first_step(study: Study, errors: Errors, units: str) -> str:
    first, moved = errors.first_step, errors.movement
    part = say.first_part(errors)
    title = words.plain(first.title)
    chips: tuple[int, ...] = ()
    said = []
    if part is not None and moved is not None and moved.groups:
        most = max(range(len(moved.groups)), key=lambda n: part.unequal[n].all_mm)
        group, fate = moved.groups[most], part.unequal[most]
        chips = group.chips
        said.append(f"“{title}”: {say.alike_called(group.names)} {say.fate(fate, units)}.")
    elif part is not None and moved is not None:
        said.append(_moved(title, part, moved.of, units))
    paper = study.plan.blank.form == "paper"
    each = [say.told(one, paper=paper) for one in say.telling(errors, chips)[:MOST_SENTENCES]]
    if each:
        said.append(f"{'; '.join(each)}.")
    elif not said and title:
        said.append(f"“{title}” moves nothing that is marked or cut.")
    return " ".join(said)


def _moved(title: str, part: StepMovement, of: str, units: str) -> str:
    return (f"“{title}” puts the {of} off by about {say.amount(part.split.all_mm, units)}, "
            f"{say.whole_share(part.split.rigid_share)} of it (of its mean square) as a shift or turn of the whole.")  # fmt: skip


# --- the rest of the screen ---------------------------------------------------------------------


def ranking(errors: Errors, view: View) -> list[str]:
    """Return the steps by what they cost, the dearest first."""
    every = say.costs(errors)
    if not every:
        return []
    lines = ["Steps by what they cost at the cut edges (u, root mean square along them; part of the mean square):"]
    for cost in every[:RANKED]:
        rows = ", ".join(f"{row.source} {say.amount(row.u_mm, view.units)}" for row in cost.rows)
        text = f"`{words.plain(cost.step)}`{say.at_line(cost.line)}: {rows or 'nothing'}"
        lines += words.wrapped(text, f"  {say.cell(cost.rms_mm, view.units):>7} {view.units} {say.share(cost.share):>7}  ", " " * 22)
    more = len(every) - RANKED
    return [*lines, f"  and {words.counted(more, 'step')} more, in the tables"] if more > 0 else lines


def movement(errors: Errors, view: View) -> list[str]:
    """Return what moves, what resizes, and what makes chips unequal."""
    moved = errors.movement
    if moved is None:
        return words.wrapped("What moves and what distorts: three marks at least are needed to tell.", rest="  ")
    total = moved.total
    lines = words.wrapped(
        f"What moves and what distorts, over the {moved.of} (u, first order; parts add as squares): "
        f"{say.amount(total.all_mm, view.units)} in all: shift and turn {say.amount(total.rigid_mm, view.units)}, "
        f"size {say.amount(total.scale_mm, view.units)}, the rest {say.amount(total.rest_mm, view.units)}.", rest="  ")  # fmt: skip
    lines += [line for text in moved.sentences for line in words.wrapped(words.plain(text), "  - ", "    ")]
    for group in moved.groups:
        lines += words.wrapped(f"In all, {_in_all(group, view.units)}.", "  - ", "    ")
    return lines


def _in_all(group: AlikeGroup, units: str) -> str:
    return f"{say.alike_called(group.names)} {say.fate(group.total, units)}: {say.band(say.expanded(group.total.unequal_mm))} (judgement)"


def sureness(study: Study) -> list[str]:
    """Return what kind of figures these are: guarantee, trials, seed, lost trials, ν, judgement; then the warnings."""
    errors = study.errors
    assert errors is not None
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
    ]
    lines = [line for text in said for line in words.wrapped(text)]
    lines += [line for note in (*errors.notes, say.FIGURES_SAID) for line in words.wrapped(f"{note}.", "  - ", "    ")]
    lines += words.wrapped(f"Not counted: {'; '.join(say.not_counted(study))}.", rest="  ")
    return lines + warnings(errors)


def warnings(errors: Errors) -> list[str]:
    """Return what to mind, each in a sentence with its line."""
    lines = []
    for one in errors.warnings:
        where = f"line {one.span.line}: " if one.span is not None else ""
        hint = f" ({one.hint})" if one.hint else ""
        lines += words.wrapped(words.plain(f"{where}{one.message}{hint}."), "Mind: ", "  ")
    return lines


def warned(errors: Errors, most: int = 3) -> Sequence[str]:
    """Return the warnings for a report: in full where they are short, else how many there are."""
    lines = warnings(errors)
    if len(lines) <= most:
        return [f"  {line}" for line in lines]
    return [f"  Mind: {words.counted(len(errors.warnings), 'warning')} on these figures; `construct errors` tells all."]
