"""The chips under the hand's errors, as tables and as a record: how sure width, depth, area and land are.

Every figure comes from `study.chip_errors`; U = 1.96 u is the only thing worked out here.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from construct.phrasebook import say
from construct.reports import View
from construct.reports import _error_words as figures
from construct.reports import _words as words
from construct.reports._chip_words import kind
from construct.study import Study

if TYPE_CHECKING:
    from construct.errors import Row
    from construct.errors.chip_errors import AlikeSpread, Chance, ChipErrors, ChipFigures, Figure, LandFigures, Spread

NAME = 12
MOST_ROWS = 3
MOST_LOST = 2

MOST_KINDS = 6
"""Kinds that are told of on the first screen."""

MEASURES = ("width", "depth", "area")


def table(study: Study, view: View) -> list[str]:
    """Return every chip's figures, the lands, how unequal alike chips become, and what costs most; nothing where not asked for."""
    found = study.chip_errors
    if found is None:
        return []
    lines = _head(study, found, view)
    lines += [_row(found, None, view), *(_row(found, chip, view) for chip in found.chips)]
    lines += _marked(found)
    if found.lands:
        lines += words.wrapped(say("chip_errors.lands", units=view.units), rest="  ")
        lines += [line for land in found.lands for line in _land(found, land, view)]
    lines += [line for group in found.alike for line in words.wrapped(_unequal(group, found, view), "  ", "    ")]
    lines += words.wrapped(_too_deep(found), "  ", "    ") if _too_deep(found) else []
    lines += _closing(found) + _costs(found)
    for number, why in found.missing:
        lines += words.wrapped(say("chip_errors.missing", chip=number, why=why), "  ", "    ")
    return lines


def short(study: Study, view: View) -> list[str]:
    """Return how sure each kind of chip is, and how unequal its chips become; nothing where it was not asked for."""
    found, survey = study.chip_errors, study.survey
    if found is None or survey is None:
        return []
    basis = say("chip_errors.short_ran", trials=found.trials, seed=found.seed) if found.trials else say("chip_errors.short_first")
    lines = words.wrapped(say("chip_errors.short", level=found.level, basis=basis), rest="  ")
    have = {chip.number: chip for chip in found.chips}
    for number, group in enumerate(survey.groups[:MOST_KINDS]):
        chips = [have[one] for one in (survey.chips[place].chip.number for place in group) if one in have]
        if chips:
            lines += words.wrapped(_kind(chips, kind(number), view), "  ", "     ")
    lines += [line for one in found.alike[:MOST_KINDS] for line in words.wrapped(_unequal(one, found, view), "  - ", "    ")]
    worst = [land for land in found.lands if land.under is not None and land.under.share > 0]
    if worst and found.land_mm is not None:
        land = max(worst, key=lambda one: _sharing(one.under))
        assert land.under is not None
        said = say("chip_errors.least_land", first=land.chips[0], second=land.chips[1], limit=figures.amount(found.land_mm, view.units),
                   chance=_chance(land.under, found))  # fmt: skip
        lines += words.wrapped(said, "  - ", "    ")
    told = [_too_deep(found), _lost(found), *(say("chip_errors.missing", chip=number, why=why) for number, why in found.missing[:1])]
    return lines + [line for one in told if one for line in words.wrapped(words.plain(one), "  - ", "    ")]


def _kind(chips: Sequence[ChipFigures], letter: str, view: View) -> str:
    said = []
    for what in MEASURES:
        some: list[Figure] = [figure for chip in chips if (figure := getattr(chip, what)) is not None]
        ends = [_ends(figure) for figure in some]
        known = [one for one in ends if not math.isnan(one[0])]
        if not known:
            continue
        scale = "area" if what == "area" else "length"
        low, high = min(one[0] for one in known), max(one[1] for one in known)
        value, low_said, high_said = (_cell(one, scale, view.units) for one in (some[0].value, low, high))
        units = f"{view.units}²" if what == "area" else view.units
        said.append(say(f"chip_errors.measure.{what}", value=value, low=low_said, high=high_said, units=units))
    return say("chip_errors.kind", kind=letter, measures="; ".join(said))


def _ends(figure: Figure) -> tuple[float, float]:
    """Return between which figures it lies 19 times in 20: of the trials where there are any, else by first order."""
    return (figure.low, figure.high) if figure.trials is None else (figure.trials.low, figure.trials.high)


def _head(study: Study, found: ChipErrors, view: View) -> list[str]:
    angle = words.decimal(float(f"{math.degrees(found.angle.u):.3g}"))
    told = [
        say("chip_errors.knife", entry=figures.amount(found.entry.u, view.units), angle=angle),
        say("chip_errors.judged") if "judgement" in (found.entry.basis, found.angle.basis) else "",
        say("chip_errors.ran", trials=found.trials, seed=found.seed) if found.trials else say("chip_errors.not_run"),
        "" if found.stable is None else say("chip_errors.at_rest" if found.stable else "chip_errors.not_at_rest"),
        _lost(found),
        "" if any(chip.depth is not None for chip in found.chips) else say("chip_errors.angle_none"),
    ]
    level = found.level
    lines = words.wrapped(say("chip_errors.head", level=level), rest="  ")
    return lines + [line for one in told if one for line in words.wrapped(words.plain(one), "  - ", "    ")] + [""]


def _lost(found: ChipErrors) -> str:
    if not found.lost:
        return ""
    told = [say("chip_errors.lost_one", count=count, what=what) for what, count in found.lost_where[:MOST_LOST]]
    rest = sum(count for _, count in found.lost_where[MOST_LOST:])
    told += [say("chip_errors.lost_more", count=rest)] if rest else []
    return say("chip_errors.lost", count=found.lost, what="; ".join(told))


# --- the table ----------------------------------------------------------------------------------


def _row(found: ChipErrors, chip: ChipFigures | None, view: View) -> str:
    """Return a chip's row, or for None the heads."""
    number = say("chip_errors.column.chip") if chip is None else str(chip.number)
    cells = [f"{number:>5}", " "]
    name = say("chip_errors.column.name") if chip is None else words.plain(chip.name)
    cells.append(f"{name if len(name) <= NAME else name[: NAME - 1] + '…':<{NAME}}")
    for what in MEASURES:
        if what == "depth" and all(one.depth is None for one in found.chips):
            continue
        between = 12 if what == "area" else 11
        scale = "area" if what == "area" else "length"
        if chip is None:
            units = f"{view.units}²" if what == "area" else view.units
            heads = say(f"chip_errors.what.{what}"), say("chip_errors.column.u"), say("chip_errors.column.trials")
            cells.append(f"{heads[0]:>5} {heads[1]:>5} {f'{heads[2]} {units}':>{between}}")
            continue
        figure = {"width": chip.width, "depth": chip.depth, "area": chip.area}[what]
        if figure is None:
            cells.append(f"{figures.NONE:>5} {figures.NONE:>5} {figures.NONE:>{between}}")
            continue
        interval = figures.NONE if figure.trials is None else _between(figure, scale, view.units)
        value, u = (_cell(one, scale, view.units) for one in (figure.value, figures.expanded(figure.u)))
        cells.append(f"{value:>5} {u:>5} {interval:>{between}}")
    marks = "" if chip is None else "".join(mark for mark, shown in _marks(chip).items() if shown)
    return " ".join([*cells, marks]).rstrip()


def _between(figure: Figure, scale: str, units: str) -> str:
    assert figure.trials is not None
    return f"{_cell(figure.trials.low, scale, units)}–{_cell(figure.trials.high, scale, units)}"


def _cell(mm: float, scale: str, units: str) -> str:
    """Return a length to a hundredth of a mm (a thousandth of an inch), an area to 3 figures."""
    if math.isnan(mm):
        return figures.NONE
    if scale == "area":
        return words.decimal(float(f"{_squared(mm, units):.3g}"))
    return (f"{mm / float(words.MM_PER_INCH):.3f}" if units == "in" else f"{mm:.2f}").replace("-", "−")


def _squared(mm2: float, units: str) -> float:
    return mm2 / float(words.MM_PER_INCH) ** 2 if units == "in" else mm2


def _marks(chip: ChipFigures) -> dict[str, bool]:
    some = [figure for figure in (chip.width, chip.depth, chip.area) if figure is not None]
    return {
        "*": bool(chip.width.note),
        "!": any(one.trials is not None and one.trials.agrees is False for one in some),
        "~": chip.another is not None and chip.another.share > 0,
    }


def _marked(found: ChipErrors) -> list[str]:
    marked = [_marks(chip) for chip in found.chips]
    told = []
    if any(one["*"] for one in marked):
        told.append(say("chip_errors.held"))
    if any(one["!"] for one in marked):
        told.append(say("chip_errors.differ"))
    most = max((chip for chip in found.chips if chip.another is not None), key=lambda chip: _sharing(chip.another), default=None)
    if most is not None and most.another is not None and most.another.share > 0:
        told.append(say("chip_errors.another", chip=most.number, share=figures.share(most.another.share)))
    return [line for one in told for line in words.wrapped(one, "  ", "    ")]


def _sharing(one: Chance | None) -> float:
    return 0.0 if one is None else one.share


# --- lands, alike chips, costs --------------------------------------------------------------------


def _land(found: ChipErrors, land: LandFigures, view: View) -> list[str]:
    first, second = land.chips
    figure = land.land
    told = [say("chip_errors.land_row", first=first, second=second, land=_cell(figure.value, "length", view.units))]
    if not math.isnan(figure.u):
        told.append(say("chip_errors.land_u", expanded=_cell(figures.expanded(figure.u), "length", view.units)))
    if figure.trials is not None:
        told.append(say("chip_errors.land_trials", interval=_between(figure, "length", view.units)))
    if land.under is not None and found.land_mm is not None:
        told.append(say("chip_errors.under", limit=figures.amount(found.land_mm, view.units), chance=_chance(land.under, found)))
    if land.gone is not None and land.gone.share > 0:
        told.append(say("chip_errors.gone", chance=_chance(land.gone, found)))
    said = "; ".join(told)
    return words.wrapped(said, "  ", "    ")


def _chance(one: Chance, found: ChipErrors) -> str:
    if one.share == 0:
        return say("chip_errors.never", trials=found.trials - found.lost)
    # as many decimals as it takes to show that the share itself is known no better than that
    share, low, high = (figures.share(part) for part in (one.share, one.low, one.high))
    if low == high:
        share, low, high = (f"{figures.two_figures(100 * part)} %" for part in (one.share, one.low, one.high))
    return say("chip_errors.chance", share=share, low=low, high=high)


def _unequal(group: AlikeSpread, found: ChipErrors, view: View) -> str:
    names = [found.chip(number).name for number in group.chips]
    # names that begin alike tell more than numbers
    who = say("chip_errors.alike", count=len(group.chips), chips=words.numbered(group.chips))
    if all(names) and len({name.split(".")[0] for name in names}) == 1:
        called = figures.alike_called(names)
        who = called[:1].upper() + called[1:]
    if math.isnan(group.width.range_mean):
        return say("chip_errors.unequal_first", who=who, width=figures.amount(group.width.u, view.units))
    depth = ""
    if group.depth is not None:
        depth = say("chip_errors.unequal_depth", depth=figures.amount(group.depth.range_mean, view.units),
                    most=figures.amount(group.depth.range_high, view.units))  # fmt: skip
    area = found.chip(group.chips[0]).area.value
    depth += say("chip_errors.unequal_area", share=figures.whole_share(group.area.range_high / area)) if area > 0 else ""
    return say("chip_errors.unequal", who=who, width=figures.amount(group.width.range_mean, view.units),
               most=figures.amount(group.width.range_high, view.units), depth=depth)  # fmt: skip


def _too_deep(found: ChipErrors) -> str:
    """Return how often the chip most in danger comes too deep, and whether any goes through the wood; "" where neither is known."""
    some = [chip for chip in found.chips if chip.deeper is not None and chip.deeper.share > 0]
    if not some:
        return ""
    deep = max(some, key=lambda chip: _sharing(chip.deeper))
    assert deep.deeper is not None
    said = say("chip_errors.too_deep", chip=deep.number, chance=_chance(deep.deeper, found))
    through = max(found.chips, key=lambda chip: _sharing(chip.through))
    if through.through is not None and through.through.share > 0:
        said += " " + say("chip_errors.through", chip=through.number, chance=_chance(through.through, found))
    return said


def _closing(found: ChipErrors) -> list[str]:
    some = [chip for chip in found.chips if chip.closes is not None and chip.closes.share > 0]
    return [
        line
        for chip in some
        if chip.closes is not None
        for line in words.wrapped(say("chip_errors.closes", chip=chip.number, chance=_chance(chip.closes, found)), "  ", "    ")
    ]


def _costs(found: ChipErrors) -> list[str]:
    """Return what costs most at the chip whose figure is least sure, for each measure."""
    lines = []
    for what in MEASURES:
        some = [(chip, figure) for chip in found.chips if (figure := getattr(chip, what)) is not None and figure.rows and figure.u > 0]
        if not some:
            continue
        chip, figure = max(some, key=lambda one: one[1].u)
        rows = words.listed(_cost(row) for row in figure.rows[:MOST_ROWS])
        said = say("chip_errors.costs", what=say(f"chip_errors.what.{what}"), chip=chip.number, rows=rows)
        lines += words.wrapped(words.plain(said), "  ", "    ")
    return lines


def _cost(row: Row) -> str:
    line = say("chip_errors.line", line=row.line) if row.line else ""
    step, source, share = figures.step(row.step), figures.source(row.source), figures.whole_share(row.share)
    return say("chip_errors.costs_row", step=step, source=source, line=line, share=share)


# --- the record ---------------------------------------------------------------------------------


def record(study: Study) -> dict[str, Any]:
    """Return everything for machines, in mm and mm²; no figure is left out, and none that is not a number is in."""
    found = study.chip_errors
    if found is None:
        return {"chips": [], "lands": [], "alike": [], "seed": None, "trials": 0, "note": say("chip_errors.none")}
    return {
        "bench": found.level,
        "seed": found.seed,
        "trials": found.trials,
        "lost": found.lost,
        "lost_where": [{"what": what, "count": count} for what, count in found.lost_where],
        "stable": found.stable,
        "guarantee": {"figures": "first order", "monte_carlo": "estimate"},
        "knife": {
            "entry_u_mm": found.entry.u,
            "entry": "anew at each cut",
            "angle_u_deg": math.degrees(found.angle.u),
            "angle": "anew at each chip, the same for all its walls",
            "basis": [found.entry.basis, found.angle.basis],
        },
        "chips": [_chip_record(chip) for chip in found.chips],
        "lands": [_land_record(land) for land in found.lands],
        "alike": [_spread_records(group) for group in found.alike],
        "missing": [{"chip": number, "why": why} for number, why in found.missing],
    }


def _chip_record(chip: ChipFigures) -> dict[str, Any]:
    return {
        "name": chip.name or str(chip.number),
        "number": chip.number,
        "width": _figure_record(chip.width, "mm"),
        "depth": None if chip.depth is None else _figure_record(chip.depth, "mm"),
        "area": _figure_record(chip.area, "mm2"),
        "closes": _chance_record(chip.closes),
        "another_wall": _chance_record(chip.another),
        "deeper_than_limit": _chance_record(chip.deeper),
        "through_the_wood": _chance_record(chip.through),
    }


def _figure_record(figure: Figure, unit: str) -> dict[str, Any]:
    trials = figure.trials
    return {
        f"value_{unit}": _number(figure.value),
        f"u_{unit}": _number(figure.u),
        "k": 1.96,
        f"expanded_{unit}": _number(figures.expanded(figure.u)),
        "interval": {"coverage": 0.95, f"low_{unit}": _number(figure.low), f"high_{unit}": _number(figure.high)},
        "rows": [
            {"source": row.source, "step": row.step, "line": row.line or None, f"u_{unit}": row.u_mm, "share": row.share}
            for row in figure.rows
        ],
        "guarantee": "first order",
        "note": figure.note,
        "monte_carlo": None if trials is None else {
            f"mean_{unit}": _number(trials.mean),
            f"u_{unit}": _number(trials.u),
            "interval": {"coverage": 0.95, f"low_{unit}": _number(trials.low), f"high_{unit}": _number(trials.high)},
            "agrees": trials.agrees,
        },
    }  # fmt: skip


def _land_record(land: LandFigures) -> dict[str, Any]:
    under, gone = _chance_record(land.under), _chance_record(land.gone)
    return {"chips": list(land.chips), "land": _figure_record(land.land, "mm"), "under_limit": under, "gone": gone}


def _chance_record(one: Chance | None) -> dict[str, Any] | None:
    return None if one is None else {"share": one.share, "low": one.low, "high": one.high, "guarantee": "estimate"}


def _spread_records(group: AlikeSpread) -> dict[str, Any]:
    def told(one: Spread | None, unit: str) -> dict[str, Any] | None:
        if one is None:
            return None
        pairs: Sequence[tuple[str, float]] = (
            ("u", one.u), ("deviation", one.deviation), ("range_mean", one.range_mean), ("range_high", one.range_high),
        )  # fmt: skip
        return {f"{name}_{unit}": _number(value) for name, value in pairs}

    return {
        "chips": list(group.chips), "width": told(group.width, "mm"), "depth": told(group.depth, "mm"), "area": told(group.area, "mm2"),
    }  # fmt: skip


def _number(value: float) -> float | None:
    return float(value) if math.isfinite(value) else None
