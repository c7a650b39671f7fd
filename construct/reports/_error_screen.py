"""One screen on the hand's errors: is it right, how far off, which step deserves the care, what the first step does.

The same few lines stand at the head of `construct report` and of `construct errors`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from construct.phrasebook import say
from construct.proofs.scope import ELSEWHERE
from construct.reports import View
from construct.reports import _error_words as hand
from construct.reports import _words as words
from construct.study import Study

if TYPE_CHECKING:
    from construct.errors import Errors
    from construct.errors.movement import AlikeGroup, StepMovement

RIGHT, FAR, CARE, FIRST = "screen.right", "screen.far", "screen.care", "screen.first"
"""What stands before the answers, by keys in the phrasebook."""

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
    head = say("screen.head", level=errors.level, basis=_basis(errors))
    lines = words.wrapped(head, rest="  ")
    lines += _answer(RIGHT, tally)
    if not errors.inputs:
        return [*lines, *_answer(FAR, say("screen.no_errors"))]
    lines += _answer(FAR, _how_far(study, errors, view.units))
    if errors.lost * 100 > errors.trials > 0:
        lines += _answer("", say("screen.lost", times=max(1, round(errors.trials / errors.lost)), what=errors.lost_where[0][0]))
    lines += _answer(CARE, _which_step(errors, view.units))
    lines += _answer(FIRST, _first_step(study, errors, view.units))
    return lines


def _answer(label: str, text: str) -> list[str]:
    return words.wrapped(text, f"  {say(label) if label else '':<{LABEL}}", " " * (LABEL + 2)) if text else []


def _basis(errors: Errors) -> str:
    """Return what the bench's figures rest on."""
    judged = sum(one.source.basis == "judgement" for one in errors.inputs)
    return say("screen.basis.all" if judged == len(errors.inputs) else "screen.basis.some" if judged else "screen.basis.none")


def _how_far(study: Study, errors: Errors, units: str) -> str:
    reaches: dict[str, list[str]] = {}
    every = hand.matter(study.plan, errors)
    some = [mark for mark in every if hand.mark_reach(mark) != 0] or every  # a given mark is where it is
    for mark in sorted(some, key=hand.mark_reach):
        reaches.setdefault(hand.amount(hand.mark_reach(mark), units), []).append(f"`{words.plain(mark.name)}`")
    marks = "; ".join(f"{words.listed(names)} {reach}" for reach, names in reaches.items())
    said = say("screen.within_each" if len(some) > 1 else "screen.within", marks=marks) if marks else ""
    said += _drawn_off(study, units)
    worst = hand.worst_station(errors)
    if worst is None:
        most = max((hand.mark_reach(mark) for mark in some), default=math.nan)
        return said if math.isnan(most) else f"{said} {say('screen.at_worst', band=hand.band(most))}"
    edge, station = worst
    most = hand.expanded(hand.with_knife(station, errors))
    whole = hand.expanded(math.hypot(hand.whole_edges_u(errors), errors.knife_u_mm))
    all_round = "" if math.isnan(whole) else say("screen.on_the_whole", amount=hand.amount(whole, units))
    said += " " + say("screen.edges", whole=all_round, worst=hand.amount(most, units), name=words.plain(edge.name))
    shift = errors.movement.total.rigid_share if errors.movement is not None and errors.movement.of == "cut edges" else 0.0
    scattered = math.hypot(hand.whole_edges_u(errors), errors.knife_u_mm)
    shift *= (hand.whole_edges_u(errors) / scattered) ** 2 if scattered > 0 else 0.0
    if shift >= SHIFTED:
        said += say("screen.shifted", share=hand.whole_share(shift))
    groups = errors.movement.groups if errors.movement is not None else ()
    margin = _margin(study, errors, units)
    if not groups:
        return f"{said}.{margin}" if margin else said + say("screen.band", band=hand.band(most))
    group = max(groups, key=lambda one: one.total.unequal_mm)
    unequal = hand.expanded(group.total.unequal_mm)
    called = hand.alike_called(group.names)
    called = called[:1].upper() + called[1:]
    apart = say("screen.unequal_drawn" if errors.knife_u_mm else "screen.unequal", chips=called, amount=hand.amount(unequal, units), band=hand.band(unequal))
    return f"{said}. {apart}{margin}"


def _margin(study: Study, errors: Errors, units: str) -> str:
    """Return by how much the margin comes out too wide one way and too narrow the other: the shift of the whole; paper has none."""
    if errors.movement is None or errors.movement.of != "cut edges" or study.plan.blank.form == "paper":
        return ""
    shift = hand.expanded(errors.movement.total.shift_mm)
    return " " + say("screen.margin", amount=hand.amount(shift, units), band=hand.band(shift))


def _drawn_off(study: Study, units: str) -> str:
    """Return by what the drawing itself is off: no scatter of the hand, and on top of it."""
    drawn = [verdict for verdict in study.verdicts if verdict.reason != say(ELSEWHERE)]
    off = [verdict for verdict in drawn if verdict.verdict in ("refuted", "within") and verdict.finding is not None]
    if not off:
        return ""
    first = off[0]
    assert first.finding is not None
    by = words.gap("", first.finding.figures, first.finding.value, first.finding.unit, units)
    more = say("screen.drawn_off_too", count=len(off) - 1) if len(off) > 1 else ""
    return " " + say("screen.drawn_off", claim=words.plain(first.text), by=by, more=more)


def _which_step(errors: Errors, units: str) -> str:
    costs = hand.costs(errors)
    if not costs or math.isnan(costs[0].rms_mm) or costs[0].rms_mm == 0:
        return _by_mark(errors, units)
    said = [*_for_alike(errors), *_for_centred(errors)]
    if said:
        return " ".join(said)
    each = [f"`{words.plain(cost.step)}` ({hand.whole_share(cost.share)}{hand.at_line(cost.line)})" for cost in costs[:DEAREST]]
    return say("screen.at_edges", steps=", ".join(each))


def _for_alike(errors: Errors) -> list[str]:
    """Return which steps deserve the care if alike chips are to stay alike: what moves all of them does not matter there."""
    if errors.movement is None or not errors.movement.groups:
        return []
    parts = [(sum(one.unequal_mm**2 for one in step.unequal), step) for step in errors.movement.steps]
    return _dearest("alike", parts)


def _for_centred(errors: Errors) -> list[str]:
    """Return which steps deserve the care if the pattern is to sit in the middle; a turn of it does not show on a round plate."""
    if errors.movement is None:
        return []
    return _dearest("centred", [(step.split.shift_mm**2, step) for step in errors.movement.steps])


def _dear(step: str, line: int, cost: str) -> str:
    """Return a step with what it costs, and its line; what a tool does throughout the job has none."""
    return say("screen.step" if line else "screen.throughout", step=words.plain(step), line=line, cost=cost)


def _dearest(aim: str, parts: Sequence[tuple[float, StepMovement]]) -> list[str]:
    whole = math.fsum(part for part, _ in parts)
    if whole <= 1e-12:
        return []
    some = sorted(parts, key=lambda one: -one[0])[:2]
    each = [_dear(step.step, step.line, hand.whole_share(part / whole)) for part, step in some if part > 0]
    return [say(f"screen.aim.{aim}", steps=", ".join(each))]


def _by_mark(errors: Errors, units: str) -> str:
    known = [mark for mark in errors.marks if mark.rows]
    if not known:
        return say("screen.no_budget")
    worst = max(known, key=lambda mark: mark.u_mm)
    lines = {row.step: row.line for row in worst.rows}
    each = [_dear(step, lines[step], hand.amount(u, units)) for step, u in worst.by_step[:DEAREST]]
    return say("screen.at_mark", name=words.plain(worst.name), u=hand.amount(worst.u_mm, units), steps=", ".join(each))


def _first_step(study: Study, errors: Errors, units: str) -> str:
    first, moved = errors.first_step, errors.movement
    part = hand.first_part(errors)
    title = words.plain(first.title)
    chips: tuple[int, ...] = ()
    said = []
    if part is not None and moved is not None and moved.groups:
        most = max(range(len(moved.groups)), key=lambda n: part.unequal[n].all_mm)
        group, fate = moved.groups[most], part.unequal[most]
        chips = group.chips
        said.append(say("screen.first_alike", title=title, chips=hand.alike_called(group.names), fate=hand.fate(fate, units)))
    elif part is not None and moved is not None:
        said.append(_moved(title, part, moved.of, units))
    paper = study.plan.blank.form == "paper"
    each = [hand.told(one, units, paper=paper) for one in hand.telling(errors, chips)[:MOST_SENTENCES]]
    if each:
        said.append(f"{'; '.join(each)}.")
    elif not said and title:
        said.append(say("screen.first_nothing", title=title))
    return " ".join(said)


def _moved(title: str, part: StepMovement, of: str, units: str) -> str:
    off, share = hand.amount(part.split.all_mm, units), hand.whole_share(part.split.rigid_share)
    return say("screen.first_moved", title=title, what=hand.over(of), amount=off, share=share)


# --- the rest of the screen ---------------------------------------------------------------------


def ranking(errors: Errors, view: View) -> list[str]:
    """Return the steps by what they cost, the dearest first."""
    every = hand.costs(errors)
    if not every:
        return []
    lines = words.wrapped(say("screen.ranking"), rest="  ")
    for cost in every[:RANKED]:
        rows = ", ".join(f"{hand.source(row.source)} {hand.amount(row.u_mm, view.units)}" for row in cost.rows)
        text = f"`{words.plain(cost.step)}`{hand.at_line(cost.line)}: {rows or say('screen.nothing')}"
        lines += words.wrapped(text, f"  {hand.cell(cost.rms_mm, view.units):>7} {view.units} {hand.share(cost.share):>7}  ", " " * 22)
    more = len(every) - RANKED
    return [*lines, f"  {say('screen.more_steps', steps=words.counted(more, 'step'))}"] if more > 0 else lines


def movement(errors: Errors, view: View) -> list[str]:
    """Return what moves, what resizes, and what makes chips unequal."""
    moved = errors.movement
    if moved is None:
        return words.wrapped(say("screen.movement_few"), rest="  ")
    total = moved.total
    whole, rigid, size, rest = (hand.amount(u, view.units) for u in (total.all_mm, total.rigid_mm, total.scale_mm, total.rest_mm))
    lines = words.wrapped(say("screen.movement", what=hand.over(moved.of), all=whole, rigid=rigid, size=size, rest=rest), rest="  ")
    lines += [line for text in moved.sentences for line in words.wrapped(words.plain(words.told(text, view.units)), "  - ", "    ")]
    for group in moved.groups:
        lines += words.wrapped(_in_all(group, view.units), "  - ", "    ")
    return lines


def _in_all(group: AlikeGroup, units: str) -> str:
    band = hand.band(hand.expanded(group.total.unequal_mm))
    return say("screen.in_all", chips=hand.alike_called(group.names), fate=hand.fate(group.total, units), band=band)


def sureness(study: Study, view: View) -> list[str]:
    """Return what kind of figures these are: guarantee, trials, seed, lost trials, ν, judgement; then the warnings."""
    errors = study.errors
    assert errors is not None
    if errors.trials:
        ran = say("screen.ran", trials=errors.trials, seed=errors.seed, lost=errors.lost or say("screen.none"))
        ran += "" if errors.stable is None else say("screen.rest" if errors.stable else "screen.no_rest")
    else:
        ran = say("screen.no_trials")
    judged = sum(one.source.basis == "judgement" for one in errors.inputs)
    inputs = words.counted(len(errors.inputs), "input")
    said = [say("screen.sure", ran=ran, count=judged, inputs=inputs, bands=say("hand.bands")), say("screen.u")]
    lines = [line for text in said for line in words.wrapped(text)]
    lines += [line for note in (*errors.notes, say("hand.figures")) for line in words.wrapped(f"{note}.", "  - ", "    ")]
    lines += words.wrapped(say("screen.not_counted", what="; ".join(hand.not_counted(study))), rest="  ")
    return lines + warnings(errors, view.units)


def warnings(errors: Errors, units: str) -> list[str]:
    """Return what to mind, each in a sentence with its line."""
    lines = []
    for one in errors.warnings:
        message, hint = words.told(one.message, units), words.told(one.hint, units)
        text = words.plain(f"{message} ({hint})." if hint else f"{message}.")
        mind = say("screen.mind", said=text) if one.span is None else say("screen.mind_line", line=one.span.line, said=text)
        lines += words.wrapped(mind, rest="  ")
    return lines


def warned(errors: Errors, units: str, most: int = 3) -> Sequence[str]:
    """Return the warnings for a report: in full where they are short, else how many there are."""
    lines = warnings(errors, units)
    if len(lines) <= most:
        return [f"  {line}" for line in lines]
    return words.wrapped(say("screen.warnings", warnings=words.counted(len(errors.warnings), "warning")), "  ")
