"""The whole budget as tables of text: every mark, every station of every cut edge, every row; nothing trimmed.

First order on the left, the trials' column beside it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from construct.reports import View, _worst_case
from construct.reports import _error_words as say
from construct.reports import _words as words

if TYPE_CHECKING:
    from construct.errors import Errors, Row
    from construct.errors.budget import EdgeBudget, MarkBudget, Trials
    from construct.errors.first_step import Sensitivity

NAME = 16
AGREES = {True: "yes", False: "NO", None: say.NONE}


def tables(errors: Errors, view: View) -> list[list[str]]:
    """Return all tables, a block each."""
    blocks = [_marks(errors, view.units), _edges(errors, view.units), _costs(errors, view.units), _movements(errors, view.units)]
    blocks += [_closed_forms(errors), _worst_case.table(errors, view)]
    blocks += [_mark(mark, errors, view.units) for mark in errors.marks]
    blocks += [_edge(edge, errors, view.units) for edge in errors.edges]
    return [block for block in blocks if block]


def _named(name: str, rest: str) -> list[str]:
    """Return a row that begins with a name; one that is too long for its column gets a line of its own."""
    name = words.plain(name)
    return [f"  {name:<{NAME}}{rest}"] if len(name) < NAME else [*words.wrapped(name, "  "), f"  {'':<{NAME}}{rest}"]


def _marks(errors: Errors, units: str) -> list[str]:
    if not errors.marks:
        return []
    head = f"{'line':>4} {'u':>7} {'u_x':>7} {'u_y':>7} {'r':>6} {'ellipse, half axes':>19} {'at deg':>6}  {'trials u':>8} {'agree':>5}"
    about = f"Marks (in {units}; x across the grain, y along it; 95 % ellipse, its longer half from the grain clockwise):"
    lines = words.wrapped(about, rest="  ")
    lines.append(f"  {'':<{NAME}}{head}")
    for mark in errors.marks:
        oval = mark.ellipse
        halves = f"{say.cell(oval.longer_mm, units)} by {say.cell(oval.shorter_mm, units)}" if oval is not None else say.NONE
        turned = say.NONE if oval is None or oval.longer_mm - oval.shorter_mm < 1e-6 * oval.longer_mm else f"{oval.direction_deg:.0f}"
        figures = " ".join(f"{say.cell(u, units):>7}" for u in (mark.u_mm, mark.u_x_mm, mark.u_y_mm))
        trials, agree = _beside(mark.trials, units)
        lines += _named(mark.name, f"{mark.line:>4} {figures} {_r(mark.r):>6} {halves:>19} {turned:>6}  {trials:>8} {agree:>5}")
    return lines


def _r(value: float) -> str:
    return say.NONE if math.isnan(value) else f"{value + 0.0:.2f}".replace("-0.00", "0.00").replace("-", "−")


def _beside(trials: Trials | None, units: str) -> tuple[str, str]:
    return (say.NONE, say.NONE) if trials is None else (say.cell(trials.u_mm, units), AGREES[trials.agrees])


def _edges(errors: Errors, units: str) -> list[str]:
    if not errors.edges:
        return []
    knife = say.cell(errors.knife_u_mm, units)
    about = f"Cut edges, square to themselves (in {units}; knife: with its entry, u {knife}; U = 1.96 u with the knife):"
    lines = words.wrapped(about, rest="  ")
    lines.append(f"  {'':<{NAME}}{'edge':>4} {'place':<7} {'u':>7} {'knife':>7} {'U':>7}  {'trials u':>8} {'agree':>5}  chips")
    for edge in errors.edges:
        chips = "groove" if edge.groove else words.listed(map(str, edge.chips))
        for station in edge.stations:
            both = say.with_knife(station, errors)
            figures = " ".join(f"{say.cell(u, units):>7}" for u in (station.u_mm, both, say.expanded(both)))
            trials, agree = _beside(station.trials, units)
            lines += _named(edge.name, f"{edge.number:>4} {station.where:<7} {figures}  {trials:>8} {agree:>5}  {chips}")
    return lines


def _row(source: str, step: str, line: int, figures: str) -> Iterator[str]:
    yield from _named(step, f"{line or '':>4} {figures}  {words.plain(source)}")


def _costs(errors: Errors, units: str) -> list[str]:
    every = say.costs(errors)
    if not every:
        return []
    about = f"Every step by what it costs at the cut edges (u in {units}, root mean square; part of the mean square):"
    lines = words.wrapped(about, rest="  ")
    for cost in every:
        lines += _row("in all", cost.step, cost.line, f"{say.cell(cost.rms_mm, units):>7} {say.share(cost.share):>8}")
        for row in cost.rows:
            lines += _row(row.source, "", row.line, f"{say.cell(row.u_mm, units):>7} {'':>8}")
    return lines


def _movements(errors: Errors, units: str) -> list[str]:
    moved = errors.movement
    if moved is None:
        return []
    about = f"What each step moves and distorts, over the {moved.of} (root mean squares in {units}; unequal: of alike chips):"
    lines = words.wrapped(about, rest="  ")
    lines.append(f"  {'':<{NAME}}{'line':>4} {'all':>7} {'shift':>7} {'size':>7} {'rest':>7}  unequal")
    for part in (*moved.headings, *moved.steps):
        split = part.split
        figures = " ".join(f"{say.cell(_least(u), units):>7}" for u in (split.all_mm, split.rigid_mm, split.scale_mm, split.rest_mm))
        unequal = ", ".join(say.cell(_least(one.unequal_mm), units) for one in part.unequal)
        lines += _named(part.step, f"{part.line:>4} {figures}  {unequal}".rstrip())
    for number, group in enumerate(moved.groups, 1):
        lines += words.wrapped(f"unequal, figure {number}: chips {words.numbered(sorted(group.chips))}", "  ", "    ")
    return lines


def _least(value: float) -> float:
    """Return a figure with rounding of the floats taken for nothing: these are differences of larger ones."""
    return 0.0 if value < 1e-12 else value


def _closed_forms(errors: Errors) -> list[str]:
    first = errors.first_step
    every = (*first.marks, *first.edges)
    if not every:
        return []
    zeros = f"{words.counted(first.unmoved, 'other')} exactly nothing"
    head = f"What one unit of each error of “{words.plain(first.title)}” moves, in closed form ({zeros}):"
    lines = words.wrapped(head, rest="  ")
    for one in every:
        lines += _sensitivity(one)
    return lines + [line for note in first.notes for line in words.wrapped(f"Mind: {note}.", "  ", "    ")]


def _sensitivity(one: Sensitivity) -> list[str]:
    where = f"edge {one.edge} {one.what}" if one.edge is not None else one.what
    part = f" {one.part}" if one.part else ""
    figures = words.decimal(float(f"{one.value:.4g}"))
    by = f"{one.exact} (exact), {figures} {one.unit}" if one.exact is not None else f"{figures} {one.unit} ({one.guarantee})"
    return words.wrapped(f"{words.plain(one.name)} {where}, by `{words.plain(one.step)}` {one.source}{part}: {by}", "  ", "    ")


# --- one budget a block --------------------------------------------------------------------------


def _mark(mark: MarkBudget, errors: Errors, units: str) -> list[str]:
    place = f"({say.cell(mark.x_mm, units)}, {say.cell(mark.y_mm, units)})"
    lines = words.wrapped(f"{words.plain(mark.name)}, line {mark.line}, at {place} {units}", "Mark ", "  ")
    if mark.note:
        lines += words.wrapped(mark.note, "  ")
    else:
        (xx, xy), (_, yy) = mark.covariance_mm2
        covariance = f"covariance xx {xx:.5g}, xy {xy + 0.0:.5g}, yy {yy:.5g} mm²".replace("-", "−")
        untouched = f"{mark.untouched} of {len(errors.inputs)} inputs do not reach it"
        about = f"u {say.cell(mark.u_mm, units)} {units}; {covariance}; ν {say.degrees(mark.nu)}; {untouched}"
        lines += words.wrapped(about, "  ", "    ")
    if mark.trials is not None:
        lines += words.wrapped(_trials_of(mark.trials, ("x", "y"), units), "  ", "    ")
    if mark.rows:
        lines.append(f"  {'step':<{NAME}}{'line':>4} {'u':>7} {'part':>8}  source")
    for row in mark.rows:
        lines += _row(row.source, row.step, row.line, f"{say.cell(row.u_mm, units):>7} {say.share(row.share):>8}")
    for by, pairs in (("source", mark.by_source), ("step", mark.by_step)):
        if pairs:
            text = "; ".join(f"{words.plain(name)} {say.cell(u, units)}" for name, u in pairs)
            lines += words.wrapped(f"by {by}: {text}", "  ", "    ")
    return lines


def _trials_of(trials: Trials, names: Sequence[str], units: str) -> str:
    each = [f"{name} from {say.cell(low, units)} to {say.cell(high, units)}"
            for name, low, high in zip(names, trials.low_mm, trials.high_mm, strict=True)]  # fmt: skip
    agrees = {True: "first order agrees", False: "first order does NOT agree", None: "nothing to compare"}[trials.agrees]
    return f"trials: u {say.cell(trials.u_mm, units)} {units}; 95 % of them have {' and '.join(each)} {units}; {agrees}"


def _edge(edge: EdgeBudget, errors: Errors, units: str) -> list[str]:
    """Return an edge's three budgets side by side: a row for each step and source, a column for each station."""
    what = "groove" if edge.groove else f"chip {words.listed(map(str, edge.chips))}"
    head = f"{edge.number}, along {words.plain(edge.name)}, {what}, {say.cell(edge.length_mm, units)} {units} long"
    lines = words.wrapped(head, "Edge ", "  ")
    stations = edge.stations
    lines.append(f"  {'step':<{NAME}}{'line':>4} {' '.join(f'{one.where:>7}' for one in stations)}  source")
    lines += _row("in all (u)", "", 0, " ".join(f"{say.cell(one.u_mm, units):>7}" for one in stations))
    merged: dict[tuple[str, str], tuple[int, dict[int, float]]] = {}
    for number, one in enumerate(stations):
        for row in one.rows:
            merged.setdefault((row.step, row.source), (row.line, {}))[1][number] = row.u_mm
    for (step, source), (line, by) in sorted(merged.items(), key=lambda item: -math.fsum(u * u for u in item[1][1].values())):
        lines += _row(source, step, line, " ".join(f"{say.cell(by.get(number, 0.0), units):>7}" for number in range(len(stations))))
    for one in stations:
        if one.note:
            lines += words.wrapped(f"{one.where}: {one.note}", "  ", "    ")
        if one.trials is not None:
            lines += words.wrapped(f"{one.where}: {_trials_of(one.trials, ('it',), units)}; ν {say.degrees(one.nu)}; "
                                   f"{one.untouched} of {len(errors.inputs)} inputs do not reach it", "  ", "    ")  # fmt: skip
    by_source, by_step = _gathered(edge, "source"), _gathered(edge, "step")
    for kind, pairs in (("source", by_source), ("step", by_step)):
        if pairs:
            text = "; ".join(f"{words.plain(name)} {' '.join(say.cell(u, units) for u in us)}" for name, us in pairs)
            lines += words.wrapped(f"by {kind}: {text}", "  ", "    ")
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
