"""How figures of the hand's errors are said: u and U apart, bands of what an eye sees, which marks matter.

u is a standard uncertainty; U = k·u is what 19 times in 20 is not exceeded
(JCGM 100, 6.2; JCGM 102, 6.5 for the ellipse of a mark).  Nothing is computed here that
the records do not hold but for that factor.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from construct.phrasebook import found, say
from construct.plan import Plan
from construct.reports import _words as words
from construct.study import Study

if TYPE_CHECKING:
    from construct.errors import Errors, Row
    from construct.errors.budget import EdgeBudget, MarkBudget, StationBudget, StepCost
    from construct.errors.first_step import Sensitivity
    from construct.errors.movement import StepMovement, Unequal

BANDS = (0.25, 0.5, 1.0, math.inf)
"""What an eye sees changes at so many mm; [hand.band] says how.  Judgement, common practice, no source."""

MOST_MATTER = 8
LONGEST = 32
"""A closed form longer than this stands in the table, not in a sentence."""

NONE = "—"

NOT_COUNTED = ("wood", "class", "holes", "leg", "pencil", "template")
"""What no figure holds, by keys under [hand.not_counted]."""

NOT_WITHOUT_CHIPS = ("knife", "chips")
"""What the figures do not hold where the chips' own were not asked for."""


def not_counted(study: Study) -> tuple[str, ...]:
    """Return what no figure of a study holds."""
    without = () if study.chip_errors is not None or study.carving is None else NOT_WITHOUT_CHIPS
    return tuple(say(f"hand.not_counted.{one}") for one in (*NOT_COUNTED, *without))


def step(name: str) -> str:
    """Return a step as it is called; the knife, which is no step of a recipe, has its words under [step]."""
    key = f"step.{name}"
    return say(key) if found(key) is not None else words.plain(name)


def source(name: str) -> str:
    """Return what a kind of error is called, which the phrasebook has under [source]; one that it does not know stays."""
    key = f"source.{name}"
    return say(key) if found(key) is not None else words.plain(name)


def band(u_mm: float) -> str:
    """Return what an eye sees of a displacement in mm."""
    return say(f"hand.band.{seen(u_mm)}")


def seen(u_mm: float) -> int:
    """Return which of the `BANDS` a displacement in mm falls in."""
    return next(number for number, most in enumerate(BANDS) if u_mm < most)


def expanded(u_mm: float) -> float:
    """Return U = 1.96·u in mm, for one direction (normal distribution, ν infinite)."""
    from construct.errors.budget import NORMAL_K

    return NORMAL_K * u_mm


def mark_u(mark: MarkBudget) -> float:
    """Return a mark's u in mm: first order, or the trials' where there is none; NaN without both."""
    return mark.trials.u_mm if mark.note and mark.trials is not None else mark.u_mm


def mark_reach(mark: MarkBudget) -> float:
    """Return how far off a mark lies at most, 19 times in 20, in mm: its ellipse's longer half, or the trials' interval; 0 for none."""
    if mark.ellipse is not None:
        return mark.ellipse.longer_mm
    if mark.note and mark.trials is not None:
        return math.hypot(*(max(mark_at - low, high - mark_at) for mark_at, low, high in
                            zip((mark.x_mm, mark.y_mm), mark.trials.low_mm, mark.trials.high_mm, strict=True)))  # fmt: skip
    return math.nan if mark.note else 0.0


def station_u(station: StationBudget) -> float:
    """Return a station's u in mm without the knife: first order, or the trials' where there is none."""
    return station.trials.u_mm if station.note and station.trials is not None else station.u_mm


def matter(plan: Plan, errors: Errors) -> tuple[MarkBudget, ...]:
    """Return the marks that matter: those with a plain name that a claim names, else all with a plain name; a few at most."""
    named = {index for claim in plan.claims for argument in claim.arguments
             for index in (argument if isinstance(argument, tuple) else (argument,)) if isinstance(index, int)}  # fmt: skip
    plain = [mark for mark in errors.marks if words.is_plain(mark.name)]
    some = [mark for mark in plain if mark.index in named] or plain or list(errors.marks)
    return tuple(some[:MOST_MATTER])


def cut_edges(errors: Errors) -> tuple[EdgeBudget, ...]:
    """Return the edges of chips, without grooves."""
    return tuple(edge for edge in errors.edges if not edge.groove)


def over(of: str) -> str:
    """Return over what a movement is looked at, "cut edges" or "marks", in words."""
    return say("hand.over.edges" if of == "cut edges" else "hand.over.marks")


def whole_edges_u(errors: Errors) -> float:
    """Return the root mean square of u over all cut edges in mm; NaN where nothing is cut."""
    if errors.movement is not None and errors.movement.of == "cut edges":
        return errors.movement.total.all_mm
    return math.nan


def worst_station(errors: Errors) -> tuple[EdgeBudget, StationBudget] | None:
    """Return where a cut edge is least sure; None where nothing is cut, or nothing is known."""
    places = [(edge, one) for edge in cut_edges(errors) for one in edge.stations if not math.isnan(station_u(one))]
    return max(places, key=lambda pair: station_u(pair[1])) if places else None


def costs(errors: Errors) -> tuple[StepCost, ...]:
    """Return the steps by what they cost at the cut edges, the knife's entry as a row of its own; all shares are of one total."""
    from construct.errors import Row
    from construct.errors.budget import StepCost

    if not errors.costs:
        return ()
    total = math.fsum(cost.rms_mm**2 for cost in errors.costs) + errors.knife_u_mm**2
    if not total > 0:
        return errors.costs
    found = [replace(cost, share=cost.rms_mm**2 / total) for cost in errors.costs]
    if errors.knife_u_mm:
        part = errors.knife_u_mm**2 / total
        knife = step("the knife")
        row = Row("entry against the line", knife, 0, errors.knife_u_mm, part)
        found.append(StepCost(knife, "", 0, errors.knife_u_mm, part, (row,)))
    return tuple(sorted(found, key=lambda cost: -cost.rms_mm))


def at_line(line: int) -> str:
    """Return ", line 11", or nothing for what stands in no line."""
    return say("hand.at_line", line=line) if line else ""


def with_knife(station: StationBudget, errors: Errors) -> float:
    """Return a station's u in mm with the knife's entry added."""
    return math.hypot(station_u(station), errors.knife_u_mm)


def alike_called(names: Sequence[str]) -> str:
    """Return what a group of alike chips is called: "the 12 leaf chips", "the 4 alike chips"."""
    heads = {name.split(".")[0] for name in names}
    head = heads.pop() if len(heads) == 1 else ""
    return say("hand.alike_named", count=len(names), name=words.plain(head)) if head else say("hand.alike", count=len(names))


def fate(part: Unequal, units: str) -> str:
    """Return what happens to alike chips: how far each shifts, what all share, and whether they stay equal."""
    from construct.errors.movement import NOTHING_MM, UNSEEN_MM

    said = []
    if part.own_mm >= NOTHING_MM:
        said.append(say("hand.fate.shift", u=amount(part.own_mm, units)))
    if part.common_mm >= NOTHING_MM:
        said.append(say("hand.fate.change", u=amount(part.common_mm, units)))
    if part.unequal_mm < NOTHING_MM:
        said.append(say("hand.fate.equal"))
    elif part.unequal_mm < UNSEEN_MM:
        said.append(say("hand.fate.unseen", u=amount(part.unequal_mm, units)))
    else:
        said.append(say("hand.fate.unequal", u=amount(part.unequal_mm, units)))
    return words.listed(said)


def first_part(errors: Errors) -> StepMovement | None:
    """Return what the step that is followed moves and distorts; None where that is not known."""
    if errors.movement is None:
        return None
    title = errors.first_step.title
    every = (*errors.movement.headings, *errors.movement.steps)
    return next((one for one in every if title in (one.step, one.heading) and one.split.all_mm > 0 and one.step == title), None)


def telling(errors: Errors, chips: Sequence[int] = ()) -> list[Sensitivity]:
    """Return, for each error of the step that is followed, where it tells most: short closed forms first, the largest first.

    chips: only edges of these chips, where any of those is moved.
    """
    theirs = {edge.number for edge in errors.edges if set(edge.chips) & set(chips)}
    some = [one for one in errors.first_step.edges if one.edge in theirs] or errors.first_step.edges or errors.first_step.marks
    groups: dict[tuple[str, str, str], list[Sensitivity]] = {}
    for one in some:
        groups.setdefault((one.step, one.source, one.part), []).append(one)
    best = []
    for members in groups.values():
        short = [one for one in members if one.exact is not None and len(one.exact) <= LONGEST] or members
        # of two alike but for their sign, the one without it reads better
        best.append(max(short, key=lambda one: (round(abs(one.value), 9), one.value)))
    return sorted(best, key=lambda one: -abs(one.value))


def told(one: Sensitivity, units: str, *, paper: bool = False) -> str:
    """Return one sensitivity as a sentence: "1 mm at `g` (…) moves the edge `c.T` by √2/2 mm, about 0.71 mm, at its start"."""
    each = "deg" if one.unit.endswith("deg") else units
    exact, value = sensitivity(one, units)
    figures = words.decimal(float(f"{value:.3g}"))
    if not exact or exact != one.exact or len(exact) > 2 * LONGEST:  # a closed form over 25.4 is for the table
        by = words.about(f"{figures} {units}")
    elif words.fraction_of(exact) is not None and words.fraction_of(exact) == words.fraction_of(figures):
        by = f"{exact} {units}"
    else:
        by = f"{exact} {units}, {words.about(f'{figures} {units}')}"
    way = _which_way(one, paper)
    key = "hand.told.mark" if one.edge is None else "hand.told.edge"
    who = f"{source(one.source)}, {one.part}" if one.part else source(one.source)
    return say(key, each=each, step=words.plain(one.step), source=who, name=words.plain(one.name), by=by, way=way)


def _which_way(one: Sensitivity, paper: bool) -> str:
    """Return which way a mark is moved, or where along an edge; paper has no grain, so there it is the page."""
    if one.edge is not None:
        return say(f"hand.told.at.{one.what}")
    return say(f"hand.told.page.{one.what}" if paper else f"hand.told.grain.{one.what}")


def sensitivity(one: Sensitivity, units: str) -> tuple[str, float]:
    """Return a sensitivity's closed form, "" where there is none, and its value; of a length for a degree in the user's units."""
    exact, inches = one.exact or "", units == "in" and one.unit.endswith("deg")
    return (words.in_inches(exact, "mm"), one.value / float(words.MM_PER_INCH)) if inches else (exact, one.value)


# --- figures ------------------------------------------------------------------------------------


def two_figures(value: float) -> str:
    """Return a number to two significant figures, plainly written; a dash for none."""
    if math.isnan(value):
        return NONE
    if abs(value) < 5e-5:
        return "<0.0001" if value else "0"
    decimals = max(0, 1 - math.floor(math.log10(abs(float(f"{value:.1e}")))))
    return f"{value:.{decimals}f}".replace("-", "−")


def amount(mm: float, units: str) -> str:
    """Return a length to two significant figures in the user's units: "0.61 mm", "0.024 in"."""
    return f"{two_figures(_in(mm, units))} {units}"


def cell(mm: float, units: str) -> str:
    """Return a length for a table, without its unit: three decimals of a mm, four of an inch."""
    value = _in(mm, units)
    if math.isnan(value):
        return NONE
    decimals = 4 if units == "in" else 3
    if value and abs(value) < 0.5 * 10**-decimals:
        return f"<{10**-decimals:.{decimals}f}"
    return f"{value:.{decimals}f}".replace("-", "−")


def _in(mm: float, units: str) -> float:
    return mm / float(words.MM_PER_INCH) if units == "in" else mm


def share(part: float) -> str:
    """Return a part of the whole as a percentage; never nothing for something."""
    if math.isnan(part):
        return NONE
    return "<0.1 %" if 0 < part < 0.0005 else f"{100 * part:.1f} %"


def whole_share(part: float) -> str:
    """Return a part of the whole in whole per cent, for a sentence."""
    return say("hand.under", share="1 %") if 0 < part < 0.005 else f"{100 * part:.0f} %"


def chief(rows: Sequence[Row]) -> str:
    """Return the source that costs most among some rows."""
    return max(rows, key=lambda row: row.u_mm).source if rows else ""


def degrees(nu: float) -> str:
    """Return degrees of freedom in words."""
    return NONE if math.isnan(nu) else say("hand.infinite") if math.isinf(nu) else f"{nu:.1f}"
