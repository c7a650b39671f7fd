"""The cutting plan as a table that a carver follows at the bench, and as a record.

Every figure comes from `study.cutting`; here it is put in words.
"""

from __future__ import annotations

from typing import Any

from construct.chips.cutting_plan import FIRSTS, HANDS, RULES, CuttingPlan, End, Round, Stroke
from construct.phrasebook import say
from construct.reports import View
from construct.reports import _words as words
from construct.study import Study

CAUTIONS = ("glove", "dry", "only", "saved")
MOST = {"along": 16, "start": 20, "finish": 20}
"""Columns wider than this break a row in two."""

COLUMNS = ("number", "chip", "along", "start", "finish", "toward", "grain", "grip", "why")


def short(study: Study, view: View) -> list[str]:
    """Return the plan in two lines, for a report; nothing where there is none."""
    plan = study.cutting
    if plan is None:
        return []
    pulled = sum(stroke.grip == "pull" for stroke in plan.strokes)
    lifted = sum(stroke.lifted > 0 for stroke in plan.strokes)
    said = say("plan.short", strokes=len(plan.strokes), hand=plan.hand, pulled=pulled, pushed=len(plan.strokes) - pulled,
               recipe=view.again)  # fmt: skip
    said += " " + say("plan.short_lifted", count=lifted) if lifted else ""
    return words.wrapped(said, rest="  ")


def table(study: Study, view: View) -> list[str]:
    """Return the whole plan: how to read it, every cut in order, why, cautions; nothing where there is none."""
    plan = study.cutting
    if plan is None:
        return []
    letters = {rule: chr(ord("a") + place) for place, rule in enumerate(plan.rules)}
    chips = sum(len(one.chips) for one in plan.rounds)
    lines = words.wrapped(say("plan.head", hand=plan.hand, strokes=len(plan.strokes), chips=chips), rest="  ")
    told = [say("plan.clock"), say("plan.pull", side=say(f"plan.side.{plan.hand}")), say("plan.push"), _first(plan), _other_hand(plan)]
    for one in told:
        lines += words.wrapped(one, "  - ", "    ")
    lines += _rows(study, plan, letters)
    if plan.grooves:
        lines += words.wrapped(say("plan.grooves", count=plan.grooves), "  ")
    lines.append(say("plan.why"))
    for rule, letter in letters.items():
        said = say("plan.reason", letter=letter, rule=say(f"plan.rule.{rule}"), basis=say(f"plan.basis.{RULES[rule]}"))
        lines += words.wrapped(said, "  ", "     ")
    lines.append(say("plan.caution.first"))
    for one in CAUTIONS:
        lines += words.wrapped(say(f"plan.caution.{one}"), "  - ", "    ")
    return lines


def record(study: Study) -> dict[str, Any]:
    """Return the plan for machines; places in mm, hours of the plate's clock, angles to the grain in deg."""
    plan = study.cutting
    if plan is None:
        return {"strokes": [], "note": say("plan.none")}
    return {
        "hand": plan.hand,
        "first": plan.first,
        "guarantee": "judgement",
        "rounds": [{"kind": one.kind, "chips": list(one.chips)} for one in plan.rounds],
        "strokes": [_stroke_record(study, stroke) for stroke in plan.strokes],
        "grooves": plan.grooves,
        "rules": [{"rule": rule, "says": say(f"plan.rule.{rule}"), "basis": RULES[rule]} for rule in plan.rules],
    }


def _stroke_record(study: Study, stroke: Stroke) -> dict[str, Any]:
    return {
        "number": stroke.number,
        "chip": stroke.chip,
        "name": _chip_name(study, stroke.chip),
        "wall": stroke.wall,
        "along": _name(study, stroke.thing),
        "from": _end_record(study, stroke.start),
        "to": _end_record(study, stroke.finish),
        "clock": list(stroke.clock),
        "grain_deg": list(stroke.grain_deg),
        "grain": stroke.grain,
        "grip": stroke.grip,
        "lifted": stroke.lifted,
        "rules": list(stroke.rules),
    }


def _end_record(study: Study, end: End) -> dict[str, Any]:
    return {"kind": end.kind, "names": [_name(study, index) for index in end.things], "x_mm": end.x, "y_mm": end.y,
            "side": end.side, "hour": end.hour}  # fmt: skip


def _name(study: Study, index: int) -> str:
    return words.plain(study.plan.things[index].name)


def _chip_name(study: Study, number: int) -> str:
    assert study.carving is not None
    return next((words.plain(chip.name) for chip in study.carving.chips if chip.number == number), "")


def _first(plan: CuttingPlan) -> str:
    rule = say(f"plan.rule.{plan.first}")
    other = next(one for one in FIRSTS if one != plan.first)
    return say("plan.first", rule=rule[:1].upper() + rule[1:], basis=say(f"plan.basis.{RULES[plan.first]}"), other=other)


def _other_hand(plan: CuttingPlan) -> str:
    return say("plan.other_hand", other=next(one for one in HANDS if one != plan.hand))


# --- the table ----------------------------------------------------------------------------------


def _rows(study: Study, plan: CuttingPlan, letters: dict[str, str]) -> list[str]:
    every = [_cells(study, stroke, letters) for stroke in plan.strokes]
    heads = {column: say(f"plan.column.{column}") for column in COLUMNS}
    widths = {
        column: max([len(heads[column]), *(len(cells[column]) for cells in every if len(cells[column]) <= MOST.get(column, 99))])
        for column in COLUMNS
    }
    lines = [_row(heads, widths)[0]]
    heading = {one.chips[0]: one for one in plan.rounds}
    told: set[int] = set()
    for stroke, cells in zip(plan.strokes, every, strict=True):
        one = heading.get(stroke.chip)
        if one is not None and stroke.chip not in told and one.kind != "chip":
            lines += words.wrapped(_round(one), "  ", "    ")
        told.add(stroke.chip)
        lines += _row(cells, widths)
    return lines


def _round(one: Round) -> str:
    # a row's numbers rise; a rosette's may start anywhere
    chips = words.listed(map(str, one.chips))
    return say(f"plan.{one.kind}", chips=chips)


def _cells(study: Study, stroke: Stroke, letters: dict[str, str]) -> dict[str, str]:
    grain = say(f"plan.grain.{stroke.grain}")
    return {
        "number": str(stroke.number),
        "chip": str(stroke.chip),
        "along": _name(study, stroke.thing),
        "start": _end(study, stroke, stroke.start),
        "finish": _end(study, stroke, stroke.finish),
        "toward": _toward(stroke),
        "grain": f"{grain} {_degrees(stroke)}",
        "grip": say(f"plan.grip.{stroke.grip}"),
        "why": "".join(sorted(letters[rule] for rule in stroke.rules)),
    }


def _row(cells: dict[str, str], widths: dict[str, int]) -> list[str]:
    """Return a row; where a name is too long for its column, what came before stands on a line of its own."""
    lines, row = [], "  "
    for column in COLUMNS:
        text, width = cells[column], widths[column]
        if len(text) > width:
            lines.append(f"{row}{text}")
            row = " " * (len(row) + width + 2)
        else:
            row += f"{text:>{width}}  " if column in ("number", "chip") else f"{text:<{width}}  "
    return [*lines, row.rstrip()]


def _end(study: Study, stroke: Stroke, end: End) -> str:
    if end.kind == "mark":
        return _name(study, end.things[0])
    if end.kind == "crossing":
        others = [index for index in end.things if index != stroke.thing]
        where = say(f"plan.{end.side}") if end.side else say("plan.at", hour=_hour(end.hour))
        return say("plan.crossing", other=_name(study, others[0]), where=where) if others else say("plan.crossing_alone", where=where)
    return say(f"plan.{end.kind}")


def _toward(stroke: Stroke) -> str:
    first, last = (_hour(one) for one in (stroke.clock[0], stroke.clock[2]))
    return first if first == last else f"{first} to {last}"


def _hour(hour: float) -> str:
    """Return an hour to the nearest half: "4", "4½"."""
    halves = round(hour * 2) % 24
    whole, half = divmod(halves, 2)
    return f"{whole or 12}{'½' if half else ''}"


def _degrees(stroke: Stroke) -> str:
    """Return the angles to the grain at start, middle and end; one where they are the same."""
    said = [f"{one:.0f}" for one in stroke.grain_deg]
    return said[0] if len(set(said)) == 1 else "/".join(said)
