"""The whole budget as tables of text: every mark, every station of every cut edge, every row; nothing trimmed.

First order on the left, the trials' column beside it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from construct.phrasebook import say
from construct.reports import View, _worst_case
from construct.reports import _error_words as hand
from construct.reports import _words as words

if TYPE_CHECKING:
    from construct.errors import Errors, Row
    from construct.errors.budget import EdgeBudget, MarkBudget, Trials
    from construct.errors.first_step import Sensitivity

NAME = 16


def tables(errors: Errors, view: View) -> list[list[str]]:
    """Return all tables, a block each."""
    blocks = [_marks(errors, view.units), _edges(errors, view.units), _costs(errors, view.units), _movements(errors, view.units)]
    blocks += [_closed_forms(errors, view.units), _worst_case.table(errors, view)]
    blocks += [_mark(mark, errors, view.units) for mark in errors.marks]
    blocks += [_edge(edge, errors, view.units) for edge in errors.edges]
    return [block for block in blocks if block]


def _named(name: str, rest: str) -> list[str]:
    """Return a row that begins with a name; one that is too long for its column gets a line of its own."""
    name = words.plain(name)
    return [f"  {name:<{NAME}}{rest}"] if len(name) < NAME else [*words.wrapped(name, "  "), f"  {'':<{NAME}}{rest}"]


def _head(key: str) -> str:
    """Return the word at the head of a column."""
    return say(f"tables.column.{key}")


def _agrees(agrees: bool | None) -> str:
    return hand.NONE if agrees is None else say("tables.yes" if agrees else "tables.no")


def _marks(errors: Errors, units: str) -> list[str]:
    if not errors.marks:
        return []
    head = f"{_head('line'):>4} {'u':>7} {'u_x':>7} {'u_y':>7} {'r':>6} {_head('ellipse'):>19} {_head('deg'):>6}  {_beside_head()}"
    lines = words.wrapped(say("tables.marks", units=units), rest="  ")
    lines.append(f"  {'':<{NAME}}{head}")
    for mark in errors.marks:
        oval = mark.ellipse
        halves = hand.NONE
        if oval is not None:
            halves = say("tables.halves", longer=hand.cell(oval.longer_mm, units), shorter=hand.cell(oval.shorter_mm, units))
        turned = hand.NONE if oval is None or oval.longer_mm - oval.shorter_mm < 1e-6 * oval.longer_mm else f"{oval.direction_deg:.0f}"
        figures = " ".join(f"{hand.cell(u, units):>7}" for u in (mark.u_mm, mark.u_x_mm, mark.u_y_mm))
        trials, agree = _beside(mark.trials, units)
        lines += _named(mark.name, f"{mark.line:>4} {figures} {_r(mark.r):>6} {halves:>19} {turned:>6}  {trials:>8} {agree:>5}")
    return lines


def _beside_head() -> str:
    return f"{_head('trials'):>8} {_head('agree'):>5}"


def _r(value: float) -> str:
    return hand.NONE if math.isnan(value) else f"{value + 0.0:.2f}".replace("-0.00", "0.00").replace("-", "−")


def _beside(trials: Trials | None, units: str) -> tuple[str, str]:
    return (hand.NONE, hand.NONE) if trials is None else (hand.cell(trials.u_mm, units), _agrees(trials.agrees))


def _edges(errors: Errors, units: str) -> list[str]:
    if not errors.edges:
        return []
    lines = words.wrapped(say("tables.edges", units=units, u=hand.cell(errors.knife_u_mm, units)), rest="  ")
    heads = f"{_head('edge'):>4} {_head('place'):<7} {'u':>7} {_head('knife'):>7} {'U':>7}  {_beside_head()}  {_head('chips')}"
    lines.append(f"  {'':<{NAME}}{heads}")
    for edge in errors.edges:
        chips = say("tables.groove") if edge.groove else words.listed(map(str, edge.chips))
        for station in edge.stations:
            both = hand.with_knife(station, errors)
            figures = " ".join(f"{hand.cell(u, units):>7}" for u in (station.u_mm, both, hand.expanded(both)))
            trials, agree = _beside(station.trials, units)
            lines += _named(edge.name, f"{edge.number:>4} {_where(station.where):<7} {figures}  {trials:>8} {agree:>5}  {chips}")
    return lines


def _where(station: str) -> str:
    return say(f"tables.where.{station}")


def _row(source: str, step: str, line: int, figures: str) -> Iterator[str]:
    yield from _named(step, f"{line or '':>4} {figures}  {hand.source(source)}")


def _costs(errors: Errors, units: str) -> list[str]:
    every = hand.costs(errors)
    if not every:
        return []
    lines = words.wrapped(say("tables.costs", units=units), rest="  ")
    for cost in every:
        lines += _row(say("tables.in_all"), cost.step, cost.line, f"{hand.cell(cost.rms_mm, units):>7} {hand.share(cost.share):>8}")
        for row in cost.rows:
            lines += _row(row.source, "", row.line, f"{hand.cell(row.u_mm, units):>7} {'':>8}")
    return lines


def _movements(errors: Errors, units: str) -> list[str]:
    moved = errors.movement
    if moved is None:
        return []
    lines = words.wrapped(say("tables.movement", what=hand.over(moved.of), units=units), rest="  ")
    heads = " ".join(f"{_head(key):>7}" for key in ("all", "shift", "size", "rest"))
    lines.append(f"  {'':<{NAME}}{_head('line'):>4} {heads}  {_head('unequal')}")
    for part in (*moved.headings, *moved.steps):
        split = part.split
        figures = " ".join(f"{hand.cell(_least(u), units):>7}" for u in (split.all_mm, split.rigid_mm, split.scale_mm, split.rest_mm))
        unequal = ", ".join(hand.cell(_least(one.unequal_mm), units) for one in part.unequal)
        lines += _named(part.step, f"{part.line:>4} {figures}  {unequal}".rstrip())
    for number, group in enumerate(moved.groups, 1):
        lines += words.wrapped(say("tables.unequal", number=number, chips=words.numbered(sorted(group.chips))), "  ", "    ")
    return lines


def _least(value: float) -> float:
    """Return a figure with rounding of the floats taken for nothing: these are differences of larger ones."""
    return 0.0 if value < 1e-12 else value


def _closed_forms(errors: Errors, units: str) -> list[str]:
    first = errors.first_step
    every = (*first.marks, *first.edges)
    if not every:
        return []
    zeros = words.counted(first.unmoved, "other")
    lines = words.wrapped(say("tables.closed", title=words.plain(first.title), others=zeros), rest="  ")
    for one in every:
        lines += _sensitivity(one, units)
    return lines + [line for note in first.notes for line in words.wrapped(say("screen.mind", said=f"{note}."), "  ", "    ")]


def _sensitivity(one: Sensitivity, units: str) -> list[str]:
    where = say("tables.at_edge", edge=one.edge, where=_where(one.what)) if one.edge is not None else one.what
    source = f"{hand.source(one.source)} {one.part}" if one.part else hand.source(one.source)
    exact, value = hand.sensitivity(one, units)
    unit = say("tables.per", units=units, each="deg" if one.unit.endswith("deg") else units)
    figures = f"{words.decimal(float(f'{value:.4g}'))} {unit}"
    by = say("tables.exact", exact=exact, figures=figures) if exact else f"{figures} ({_guarantee(one.guarantee)})"
    said = say("tables.sensitivity", name=words.plain(one.name), where=where, step=words.plain(one.step), source=source, by=by)
    return words.wrapped(said, "  ", "    ")


def _guarantee(word: str) -> str:
    return say("tables.first_order") if word == "first order" else word


# --- one budget a block --------------------------------------------------------------------------


def _mark(mark: MarkBudget, errors: Errors, units: str) -> list[str]:
    place = f"({hand.cell(mark.x_mm, units)}, {hand.cell(mark.y_mm, units)})"
    lines = words.wrapped(say("tables.mark", name=words.plain(mark.name), line=mark.line, place=place, units=units), rest="  ")
    if mark.note:
        lines += words.wrapped(mark.note, "  ")
    else:
        (xx, xy), (_, yy) = mark.covariance_mm2
        square = words.INCHES["mm2"][1] if units == "in" else 1.0
        parts = [f"{part / square + 0.0:.5g}".replace("-", "−") for part in (xx, xy, yy)]
        untouched = say("tables.untouched", count=mark.untouched, inputs=len(errors.inputs))
        u, nu = hand.cell(mark.u_mm, units), hand.degrees(mark.nu)
        about = say("tables.mark_u", u=u, units=units, xx=parts[0], xy=parts[1], yy=parts[2], nu=nu)
        lines += words.wrapped(f"{about}; {untouched}", "  ", "    ")
    if mark.trials is not None:
        lines += words.wrapped(_trials_of(mark.trials, ("x", "y"), units), "  ", "    ")
    if mark.rows:
        lines.append(f"  {_head('step'):<{NAME}}{_head('line'):>4} {'u':>7} {_head('part'):>8}  {_head('source')}")
    for row in mark.rows:
        lines += _row(row.source, row.step, row.line, f"{hand.cell(row.u_mm, units):>7} {hand.share(row.share):>8}")
    for by, pairs in (("source", mark.by_source), ("step", mark.by_step)):
        if pairs:
            text = "; ".join(f"{_by(name, by)} {hand.cell(u, units)}" for name, u in pairs)
            lines += words.wrapped(say(f"tables.by.{by}", parts=text), "  ", "    ")
    return lines


def _by(name: str, kind: str) -> str:
    return hand.source(name) if kind == "source" else words.plain(name)


def _trials_of(trials: Trials, names: Sequence[str], units: str) -> str:
    each = [say("tables.from_to", name=name, low=hand.cell(low, units), high=hand.cell(high, units))
            for name, low, high in zip(names, trials.low_mm, trials.high_mm, strict=True)]  # fmt: skip
    agrees = say({True: "tables.agrees", False: "tables.agrees_not", None: "tables.agrees_none"}[trials.agrees])
    return say("tables.trials", u=hand.cell(trials.u_mm, units), units=units, where=words.listed(each), agrees=agrees)


def _edge(edge: EdgeBudget, errors: Errors, units: str) -> list[str]:
    """Return an edge's three budgets side by side: a row for each step and source, a column for each station."""
    what = say("tables.groove") if edge.groove else say("tables.chip", chips=words.listed(map(str, edge.chips)))
    long = f"{hand.cell(edge.length_mm, units)} {units}"
    lines = words.wrapped(say("tables.edge", number=edge.number, name=words.plain(edge.name), what=what, length=long), rest="  ")
    stations = edge.stations
    wheres = " ".join(f"{_where(one.where):>7}" for one in stations)
    lines.append(f"  {_head('step'):<{NAME}}{_head('line'):>4} {wheres}  {_head('source')}")
    lines += _row(say("tables.in_all_u"), "", 0, " ".join(f"{hand.cell(one.u_mm, units):>7}" for one in stations))
    merged: dict[tuple[str, str], tuple[int, dict[int, float]]] = {}
    for number, one in enumerate(stations):
        for row in one.rows:
            merged.setdefault((row.step, row.source), (row.line, {}))[1][number] = row.u_mm
    for (step, source), (line, by) in sorted(merged.items(), key=lambda item: -math.fsum(u * u for u in item[1][1].values())):
        lines += _row(source, step, line, " ".join(f"{hand.cell(by.get(number, 0.0), units):>7}" for number in range(len(stations))))
    for one in stations:
        if one.note:
            lines += words.wrapped(f"{_where(one.where)}: {one.note}", "  ", "    ")
        if one.trials is not None:
            untouched = say("tables.untouched", count=one.untouched, inputs=len(errors.inputs))
            trials = _trials_of(one.trials, (say("tables.it"),), units)
            lines += words.wrapped(f"{_where(one.where)}: {trials}; ν {hand.degrees(one.nu)}; {untouched}", "  ", "    ")
    by_source, by_step = _gathered(edge, "source"), _gathered(edge, "step")
    for kind, pairs in (("source", by_source), ("step", by_step)):
        if pairs:
            text = "; ".join(f"{_by(name, kind)} {' '.join(hand.cell(u, units) for u in us)}" for name, us in pairs)
            lines += words.wrapped(say(f"tables.by.{kind}", parts=text), "  ", "    ")
    return lines


def _gathered(edge: EdgeBudget, by: str) -> list[tuple[str, list[float]]]:
    """Return for each source or step its part at the three stations, rows added in quadrature."""
    squares: dict[str, list[float]] = {}
    for number, one in enumerate(edge.stations):
        for row in one.rows:
            squares.setdefault(_key(row, by), [0.0] * len(edge.stations))[number] += row.u_mm**2
    return sorted(((name, [math.sqrt(part) for part in parts]) for name, parts in squares.items()), key=lambda one: -max(one[1]))


def _key(row: Row, by: str) -> str:
    return row.source if by == "source" else row.step
