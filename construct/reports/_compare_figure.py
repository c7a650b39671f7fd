"""The picture of a comparison: each way's reach along length, ruler and hand, a panel each, and where the order turns.

Ways differ in dashes and carry their names at the line; colour only helps.
"""

from __future__ import annotations

import math
from typing import Any

from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.ticker import FixedLocator, FuncFormatter, NullLocator

from construct.methods.contenders import GRADUATION, HAND, LENGTH, Comparison, Scan
from construct.phrasebook import say
from construct.reports import View
from construct.reports import _compare_words as told
from construct.reports import _error_words as figures
from construct.reports import _words as words
from construct.reports.figure import BLUE, BROWN, DARK_BLUE, GREEN, INK, MARGIN, SHEET_WIDTH, VERMILION, Dashes, drawing_rules, rendered

PANEL = 150.0
GAP = 54.0
HEAD = 74.0
NAMES = 96.0
LEFT = 46.0
"""Heights and widths in points."""

LOOKS: tuple[tuple[str, Dashes, float], ...] = (
    (DARK_BLUE, "solid", 1.6), (VERMILION, (0, (6, 2)), 1.6), (GREEN, (0, (1.5, 1.5)), 1.8), (BROWN, (0, (8, 2, 1.5, 2)), 1.6),
    (BLUE, (0, (3, 1.2)), 1.6), (INK, (0, (10, 3)), 1.2),
)  # fmt: skip
STEPS = (1.0, 2.0, 5.0)


def files(found: Comparison, view: View) -> dict[str, bytes]:
    """Return the picture as SVG and PNG; nothing where the claim misses by no length."""
    if not found.scans:
        return {}
    with drawing_rules():
        title = words.plain(found.titles[0]) or say("compare.picture.untitled")
        return rendered(drawing(found, view.units), "compare", title, in_words(found, view.units))


def in_words(found: Comparison, units: str) -> str:
    """Return the picture in words."""
    ways = words.listed(told.named(one) for one in found.methods)
    return " ".join(say("compare.picture.words", by=scan.by, ways=ways, said=told.scan_told(found, scan, units)) for scan in found.scans)


def drawing(found: Comparison, units: str) -> Figure:
    """Return the drawing, 72 dots an inch."""
    height = HEAD + len(found.scans) * (PANEL + GAP)
    figure = Figure(figsize=(SHEET_WIDTH / 72, height / 72), dpi=72, facecolor="white")
    FigureCanvasAgg(figure)
    title = say("compare.picture.title", title=words.plain(found.titles[0]) or say("figure.untitled"))
    under = say("compare.picture.under", hand=told.hand(found.level))
    figure.text(MARGIN / SHEET_WIDTH, 1 - 22 / height, _short(title, 66), fontsize=12, weight="bold", parse_math=False)
    figure.text(MARGIN / SHEET_WIDTH, 1 - 37 / height, f"“{_short(words.plain(found.claim.text), 90)}”", fontsize=8.5, parse_math=False)
    figure.text(MARGIN / SHEET_WIDTH, 1 - 49 / height, under, fontsize=7.5, color="#444444")
    for number, scan in enumerate(found.scans):
        bottom = height - HEAD - (number + 1) * PANEL - number * GAP
        box = (LEFT + MARGIN / 2) / SHEET_WIDTH, bottom / height, (SHEET_WIDTH - LEFT - NAMES - MARGIN) / SHEET_WIDTH, PANEL / height
        _panel(figure.add_axes(box), found, scan, units)
    return figure


def _short(text: str, most: int) -> str:
    return text if len(text) <= most else f"{text[: most - 1]}…"


def _panel(axes: Any, found: Comparison, scan: Scan, units: str) -> None:
    unit = 1.0 if scan.by == HAND else figures._in(1.0, units)
    low, high = told.allowed(scan)
    top = figures._in(max(value for row in scan.reaches for value in row if math.isfinite(value)), units) * 1.12
    axes.set_xscale("log")
    axes.set_xlim(low * unit, high * unit)
    axes.set_ylim(0, top)
    _ticks(axes, low * unit, high * unit)
    axes.tick_params(labelsize=7.5, width=0.5, length=3)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    for side in ("left", "bottom"):
        axes.spines[side].set_linewidth(0.6)
    labels = {
        LENGTH: say("compare.picture.length", of=told.measured(found), units=units),
        GRADUATION: say("compare.picture.graduation", units=units),
        HAND: say("compare.picture.hand"),
    }
    axes.set_xlabel(_short(labels[scan.by], 70), fontsize=8, parse_math=False)
    axes.set_ylabel(say("compare.picture.reach", units=units), fontsize=8)
    ends = []
    for number, row in enumerate(scan.reaches):
        colour, dashes, width = LOOKS[number % len(LOOKS)]
        run = [(at * unit, figures._in(value, units)) for at, value in zip(scan.at, row, strict=True) if math.isfinite(value)]
        if run:
            axes.plot(*zip(*run, strict=True), color=colour, linestyle=dashes, linewidth=width, zorder=3, clip_on=False)
            ends.append((run[-1][1], run[-1][0], number))
    _names(axes, found, ends, high * unit, top)
    for turn in scan.turnovers:
        axes.axvline(turn.at * unit, color=INK, linewidth=0.6, linestyle=(0, (2, 2)), zorder=1)
        at = figures.two_figures(turn.at) if scan.by == HAND else figures.amount(turn.at, units)
        axes.annotate(at, (turn.at * unit, top), xytext=(0, 2), textcoords="offset points", fontsize=7.5, ha="center", va="bottom",
                      annotation_clip=False)  # fmt: skip
    if low <= scan.here <= high:
        axes.plot([scan.here * unit], [0], marker="^", color=INK, markersize=5, clip_on=False, zorder=4)
        axes.annotate(say("compare.picture.here"), (scan.here * unit, 0), xytext=(5, 3), textcoords="offset points", fontsize=7,
                      color="#444444")  # fmt: skip


def _ticks(axes: Any, low: float, high: float) -> None:
    places = [step * 10.0**power for power in range(-4, 6) for step in STEPS if low * 0.999 <= step * 10.0**power <= high * 1.001]
    axes.xaxis.set_major_locator(FixedLocator(places))
    axes.xaxis.set_minor_locator(NullLocator())
    axes.xaxis.set_major_formatter(FuncFormatter(lambda value, _: f"{value:g}"))


def _names(axes: Any, found: Comparison, ends: list[tuple[float, float, int]], right: float, top: float) -> None:
    """Put each way's name at the end of its line, moved apart where lines end together."""
    room = top * 10 / PANEL
    last = -math.inf
    for height, at, number in sorted(ends):
        last = max(height, last + room)
        colour = LOOKS[number % len(LOOKS)][0]
        axes.annotate(
            _short(told.named(found.methods[number]), 20), (at, height), xytext=(right * 1.04, last), textcoords="data", fontsize=8,
            color=colour, va="center", annotation_clip=False, parse_math=False,
            arrowprops={"arrowstyle": "-", "color": colour, "linewidth": 0.5, "shrinkA": 0, "shrinkB": 1},
        )  # fmt: skip
