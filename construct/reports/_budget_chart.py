"""The budget as bars: a bar a step, the dearest first, its pieces by source; nothing is left out, small steps stand together.

A bar's length is a part of the mean square, because that is what adds up.
Pieces differ in tone and hatching as well as in colour.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.patches import Rectangle

from construct.phrasebook import say
from construct.reports import _error_words as hand
from construct.reports import _words as words
from construct.reports.figure import INK, MARGIN, SHEET_WIDTH
from construct.study import Study

if TYPE_CHECKING:
    from construct.errors import Errors, Row

MOST_STEPS = 11
MOST_SOURCES = 8
ROW, BAR = 27.0, 15.0
LABELS = 150.0
FIGURES = 92.0
"""Room for names at the left and figures at the right, in points."""

LOOKS = (
    ("#0B4A73", ""), ("#F3B54A", "///"), ("#A9D7EE", ""), ("#C4571B", "..."), ("#DDF0E6", "\\\\\\"),
    ("#2E8B6B", ""), ("#EFC4DA", "xxx"), ("#7A7A7A", "---"),
)  # fmt: skip
OTHERS = ("#FFFFFF", "+++")
OTHER = ""
"""Colours from the palette of Okabe and Ito, made lighter and darker by turns so that they stay apart in grey."""


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar: its name and where it comes from, its part of the mean square, u in mm, and parts by source."""

    name: str
    under: str
    share: float
    u_mm: float
    pieces: tuple[tuple[str, float], ...]


def bars(errors: Errors) -> tuple[str, tuple[Bar, ...]]:
    """Return what the bars are about, and the bars; none where no step has a budget."""
    if errors.costs and errors.costs[0].rms_mm > 0:
        costs = hand.costs(errors)
        total = math.fsum(cost.rms_mm**2 for cost in costs)
        every = [_bar(cost.step, cost.heading, cost.line, cost.rows, total) for cost in costs if cost.rms_mm > 0]
        return say("figure.budget.at_edges"), _together(every, total)
    known = [mark for mark in errors.marks if mark.rows]
    if not known:
        return "", ()
    worst = max(known, key=lambda mark: mark.u_mm)
    total = math.fsum(row.u_mm**2 for row in worst.rows)
    every = [_bar(step, "", next(row.line for row in worst.rows if row.step == step),
                  [row for row in worst.rows if row.step == step], total) for step, _ in worst.by_step]  # fmt: skip
    return say("figure.budget.at_mark", name=words.plain(worst.name)), _together(every, total)


def _bar(step: str, heading: str, line: int, rows: Sequence[Row], total: float) -> Bar:
    pieces = tuple((row.source, row.u_mm**2 / total) for row in rows)
    where = say("figure.budget.line", line=line) if line else ""
    under = ", ".join(part for part in (where, words.plain(heading)) if part) or say("figure.budget.no_step")
    return Bar(words.plain(step), under, math.fsum(part for _, part in pieces), math.sqrt(math.fsum(row.u_mm**2 for row in rows)), pieces)


def _together(every: Sequence[Bar], total: float) -> tuple[Bar, ...]:
    """Return the dearest bars, and one for all the others together."""
    if len(every) <= MOST_STEPS + 1:
        return tuple(every)
    rest = every[MOST_STEPS:]
    parts: dict[str, list[float]] = {}
    for bar in rest:
        for source, part in bar.pieces:
            parts.setdefault(source, []).append(part)
    pieces = sorted(((source, math.fsum(some)) for source, some in parts.items()), key=lambda one: -one[1])
    share = math.fsum(part for _, part in pieces)
    dearest = max(bar.share for bar in rest)
    under = say("figure.budget.together", share=f"{100 * dearest:.1f} %")
    last = Bar(say("figure.budget.others", count=len(rest)), under, share, math.sqrt(share * total), tuple(pieces))
    return (*every[:MOST_STEPS], last)


def sources(rows: Sequence[Bar]) -> list[str]:
    """Return the sources by what they cost in all, the dearest first."""
    parts: dict[str, float] = {}
    for bar in rows:
        for source, part in bar.pieces:
            parts[source] = parts.get(source, 0.0) + part
    return sorted(parts, key=lambda one: -parts[one])


def look_of(source: str, order: Sequence[str]) -> tuple[str, str]:
    """Return a source's colour and hatching; the cheapest of many share one."""
    number = order.index(source)
    return LOOKS[number] if number < MOST_SOURCES else OTHERS


def basis(errors: Errors, way: str | None) -> str:
    """Return what the figures of a picture rest on."""
    judged = any(one.source.basis == "judgement" for one in errors.inputs)
    said = say("figure.basis.judgement" if judged else "figure.basis.said", level=errors.level)
    return f"{say('figure.way', way=way)}; {said}" if way else said


def chart_words(errors: Errors, units: str) -> str:
    """Return the chart in words."""
    about, rows = bars(errors)
    each = "; ".join(f"{bar.name} {hand.share(bar.share)}, u {hand.amount(bar.u_mm, units)}" for bar in rows)
    return say("figure.budget.words", about=about, each=each)


def chart(study: Study, units: str) -> Figure | None:
    """Return the chart, 72 dots an inch, one unit of its axes a point; None where there is nothing to show."""
    assert study.errors is not None
    about, rows = bars(study.errors)
    if not rows:
        return None
    return _Chart(study, study.errors, units, about, rows).figure


class _Chart:
    def __init__(self, study: Study, errors: Errors, units: str, about: str, rows: Sequence[Bar]) -> None:
        self.order = sources(rows)
        named = [*self.order[:MOST_SOURCES], *([OTHER] if len(self.order) > MOST_SOURCES else [])]
        below = 16 * math.ceil(len(named) / 2) + 8
        height = 77 + ROW * len(rows) + below
        self.figure = Figure(figsize=(SHEET_WIDTH / 72, height / 72), dpi=72, facecolor="white")
        self.renderer = FigureCanvasAgg(self.figure).get_renderer()
        self.axes = self.figure.add_axes((0, 0, 1, 1))
        self.axes.set_axis_off()
        self.axes.set_xlim(0, SHEET_WIDTH)
        self.axes.set_ylim(0, height)
        title = say("figure.about.budget", title=words.plain(study.plan.title) or say("figure.untitled"))
        self._text(MARGIN, height - 20, self._fitted(title, SHEET_WIDTH - 2 * MARGIN, 13, "bold"), 13, weight="bold")
        for line, text in enumerate((say("figure.budget.note", about=about), basis(errors, study.way))):
            self._text(MARGIN, height - 35 - 11 * line, text, 8.5)
        longest = max(bar.share for bar in rows)
        for number, bar in enumerate(rows):
            self._bar(bar, height - 73 - ROW * number, longest, units)
        for number, source in enumerate(named):
            self._sample(source, MARGIN + (number % 2) * (SHEET_WIDTH - 2 * MARGIN) / 2, below - 6 - 16 * (number // 2))

    def _text(self, x: float, y: float, text: str, size: float, *, align: str = "left", weight: str = "normal", colour: str = INK) -> None:
        self.axes.text(x, y, text, fontsize=size, ha=align, va="baseline", weight=weight, color=colour, parse_math=False, zorder=5)

    def _fitted(self, text: str, room: float, size: float, weight: str = "normal") -> str:
        """Return as much of a text as there is room for."""
        kept = text
        while len(kept) > 1 and self._wide(kept + ("…" if kept != text else ""), size, weight) > room:
            kept = kept[:-1]
        return kept if kept == text else f"{kept.rstrip()}…"

    def _wide(self, text: str, size: float, weight: str) -> float:
        width, _, _ = self.renderer.get_text_width_height_descent(text, FontProperties(size=size, weight=weight), False)
        return float(width)

    def _bar(self, bar: Bar, y: float, longest: float, units: str) -> None:
        self._text(MARGIN, y + 5.5, self._fitted(bar.name, LABELS - 8, 9, "bold"), 9, weight="bold")
        self._text(MARGIN, y - 4, self._fitted(bar.under, LABELS - 8, 7), 7, colour="#444444")
        x = MARGIN + LABELS
        scale = (SHEET_WIDTH - MARGIN - FIGURES - x) / longest
        merged: dict[tuple[str, str], float] = {}
        for source, part in sorted(bar.pieces, key=lambda one: self.order.index(one[0])):
            look = look_of(source, self.order)
            merged[look] = merged.get(look, 0.0) + part
        for (colour, hatch), part in merged.items():
            piece = Rectangle((x, y - 3), part * scale, BAR, facecolor=colour, edgecolor=INK, hatch=hatch, linewidth=0.5, zorder=2)
            self.axes.add_artist(piece)
            x += part * scale
        self._text(x + 6, y + 1, f"{hand.whole_share(bar.share)}   u {hand.amount(bar.u_mm, units)}", 8.5)

    def _sample(self, source: str, x: float, y: float) -> None:
        colour, hatch = OTHERS if source not in self.order else look_of(source, self.order)
        self.axes.add_artist(Rectangle((x, y - 2), 28, 10, facecolor=colour, edgecolor=INK, hatch=hatch, linewidth=0.5))
        self._text(x + 34, y, say("figure.budget.other_sources") if source == OTHER else hand.source(source), 8)
