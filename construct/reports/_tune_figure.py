"""A picture of how flat the best is: u against each free choice, what is as good, what is drawn, what is best.

Lines, hatching and marks say the same as colour.  Figures are *first order*.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from construct.phrasebook import say
from construct.reports import View
from construct.reports import _words as words
from construct.reports._tune_screen import about, amount, good_range, setting
from construct.reports.figure import DARK_BLUE, INK, SHEET_WIDTH, VERMILION, drawing_rules, rendered
from construct.study import Study

if TYPE_CHECKING:
    from construct.methods.tuned_choices import TunedChoice, Tuning

MOST_PANELS = 8
PANEL = 150.0
HEAD, FOOT = 58.0, 34.0
"""Heights in points."""

TALLEST = 2.5
"""A panel shows u up to so many times the least: beyond, the curve runs out of it."""

GOOD = "#D9ECF7"


def files(study: Study, tuning: Tuning, view: View) -> dict[str, bytes]:
    """Return the picture as `tune.svg` and `tune.png`; none where no choice was moved."""
    shown = tuning.choices[:MOST_PANELS]
    if not shown:
        return {}
    title = say("tune.picture.title", title=words.plain(study.plan.title) or say("figure.untitled"))
    with drawing_rules():
        figure = _draw(study, tuning, view, title, shown)
        return rendered(figure, "tune", title, " ".join([title + ".", *(_in_words(study, one, view) for one in shown)]))


def _in_words(study: Study, choice: TunedChoice, view: View) -> str:
    best = setting(study, choice, choice.setting, view.units)
    return f"{words.plain(choice.coordinate.names)}: {best}. {good_range(study, choice, view.units)}"


def _draw(study: Study, tuning: Tuning, view: View, title: str, shown: tuple[TunedChoice, ...]) -> Figure:
    height = HEAD + FOOT + PANEL * len(shown)
    figure = Figure(figsize=(SHEET_WIDTH / 72, height / 72), dpi=72, facecolor="white")
    FigureCanvasAgg(figure)
    figure.text(26 / SHEET_WIDTH, 1 - 20 / height, title, fontsize=12, weight="bold", color=INK, va="baseline", parse_math=False)
    measured = say("tune.picture.under", about=about(tuning).replace("`", ""), level=tuning.level)
    figure.text(26 / SHEET_WIDTH, 1 - 35 / height, measured, fontsize=8.5, color=INK, va="baseline", parse_math=False)
    for number, choice in enumerate(shown):
        top = 1 - (HEAD + PANEL * number) / height
        axes = figure.add_axes(
            (62 / SHEET_WIDTH, top - (PANEL - 40) / height, (SHEET_WIDTH - 62 - 30) / SHEET_WIDTH, (PANEL - 56) / height)
        )
        _panel(axes, study, tuning, choice, view)
    for place, (kind, text) in enumerate((("good", "tune.picture.good"), ("drawn", "tune.picture.drawn"), ("best", "tune.picture.best"))):
        _sample(figure, height, 62 + 150 * place, kind, say(text))
    return figure


def _scaled(choice: TunedChoice, value: float, units: str) -> float:
    return value / float(words.MM_PER_INCH) if units == "in" and choice.coordinate.unit == "mm" else value


def _panel(axes: Axes, study: Study, tuning: Tuning, choice: TunedChoice, view: View) -> None:
    per = float(words.MM_PER_INCH) if view.units == "in" else 1.0
    known = [(value, u) for value, u in choice.curve if math.isfinite(u)]
    least = min([tuning.u_best_mm, *(u for _, u in known)])
    top = min(TALLEST * least, max([tuning.u_drawn_mm, tuning.u_mm, *(u for _, u in known)]) * 1.06)
    xs = [_scaled(choice, value, view.units) for value, _ in choice.curve]
    ys = [u / per if math.isfinite(u) else math.nan for _, u in choice.curve]
    low, high = (_scaled(choice, value, view.units) for value in choice.as_good)
    axes.axvspan(low, high, facecolor=GOOD, edgecolor=DARK_BLUE, hatch="////", linewidth=0, alpha=1, zorder=1)
    axes.plot(xs, ys, color=INK, linewidth=1.4, zorder=3)
    drawn = _scaled(choice, choice.coordinate.value, view.units)
    best = _scaled(choice, choice.setting, view.units)
    axes.axvline(drawn, color=VERMILION, linewidth=1.1, linestyle=(0, (5, 3)), zorder=4)
    axes.plot([best], [tuning.u_mm / per], marker="o", markersize=7, markerfacecolor="white", markeredgecolor=DARK_BLUE, markeredgewidth=1.8,
              linestyle="none", zorder=5)  # fmt: skip
    axes.set_ylim(0, top * 1.05 / per)
    edge = 0.02 * (xs[-1] - xs[0]) or 1.0
    axes.set_xlim(min(xs[0], drawn) - edge, max(xs[-1], drawn) + edge)
    unit = choice.coordinate.unit if choice.coordinate.unit == "deg" else view.units
    if unit == "deg":
        axes.xaxis.set_major_formatter(lambda value, _: f"{value % 360:g}")
    name = words.plain(choice.coordinate.names)
    head = say("tune.picture.panel", name=name if len(name) < 40 else name[:39] + "…",
               setting=setting(study, choice, choice.setting, view.units).replace("`", ""), u=amount(tuning.u_mm, view.units))  # fmt: skip
    axes.set_title(head, fontsize=9, loc="left", color=INK, parse_math=False)
    axes.set_xlabel(unit, fontsize=8, loc="right", labelpad=1)
    axes.set_ylabel(f"u, {view.units}", fontsize=8)
    axes.tick_params(labelsize=8)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)


def _sample(figure: Figure, height: float, x: float, kind: str, text: str) -> None:
    axes = figure.add_axes((x / SHEET_WIDTH, 10 / height, 26 / SHEET_WIDTH, 10 / height))
    axes.set_axis_off()
    axes.set_xlim(0, 1)
    axes.set_ylim(0, 1)
    if kind == "good":
        axes.axvspan(0, 1, facecolor=GOOD, edgecolor=DARK_BLUE, hatch="////", linewidth=0)
    elif kind == "drawn":
        axes.plot([0, 1], [0.5, 0.5], color=VERMILION, linewidth=1.1, linestyle=(0, (5, 3)))
    else:
        axes.plot(
            [0.5], [0.5], marker="o", markersize=7, markerfacecolor="white", markeredgecolor=DARK_BLUE, markeredgewidth=1.8, clip_on=False
        )
    figure.text((x + 32) / SHEET_WIDTH, 12 / height, text, fontsize=8, color=INK, va="baseline")
