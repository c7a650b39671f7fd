"""Pictures of the hand's errors: where each mark will lie, how far off each cut will be, which step deserves the care.

Drawn larger by a factor that is written on each picture.  Tone, hatching and
width say the same as colour.  Figures are *first order*, at the bench of the study.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from matplotlib.lines import Line2D
from matplotlib.patches import Polygon

from construct.phrasebook import say
from construct.reports import View
from construct.reports import _error_words as hand
from construct.reports import _words as words
from construct.reports._budget_chart import basis, chart, chart_words
from construct.reports._error_places import (
    BAND_PART,
    ELLIPSE_PART,
    Band,
    Spread,
    bands,
    factor,
    half_widths,
    shown_marks,
    spreads,
)
from construct.reports._labels import Place, Wish, place
from construct.reports.figure import (
    DARK_BLUE,
    INK,
    MANY_CHIPS,
    MARGIN,
    MM,
    NARROW,
    PENS,
    SHEET_WIDTH,
    WIDEST,
    Dashes,
    Look,
    Sheet,
    dotted,
    drawing_rules,
    rendered,
)
from construct.study import Study

if TYPE_CHECKING:
    from construct.errors import Errors

NAME = "error_figures"
NOTE = "pictures of the hand's errors: ellipses, bands, budget"

PALE, SPREAD = "#B4B4B4", "#9CCBE6"
TONES = ("#FFF6EA", "#FBDDB6", "#F0AE68", "#CE7128")
"""What an eye sees, by the bands of `_error_words`: light to dark."""


def files(study: Study, view: View) -> dict[str, bytes]:
    """Return the pictures that the study has figures for; none where errors were not asked for."""
    errors = study.errors
    if errors is None:
        return {}
    title = words.plain(study.plan.title) or say("figure.untitled")
    made: dict[str, bytes] = {}
    with drawing_rules():
        if shown_marks(study):
            ellipses = EllipseSheet(study, view.units)
            made |= rendered(ellipses.figure, "ellipses", _headed(title, "ellipses"), ellipses.in_words())
        if any(half_widths(study, edge) for edge in errors.edges):
            cuts = BandSheet(study, view.units)
            made |= rendered(cuts.figure, "bands", _headed(title, "bands"), cuts.in_words())
        drawn = chart(study, view.units)
        if drawn is not None:
            made |= rendered(drawn, "budget", _headed(title, "budget"), chart_words(errors, view.units))
    return made


def _headed(title: str, about: str) -> str:
    """Return a picture's title: the layout's, and what the picture shows of it."""
    return say(f"figure.about.{about}", title=title)


class ErrorSheet(Sheet):
    """The plate drawn pale, for something about errors to stand out on it."""

    times = 1
    about = ""

    def title(self) -> str:
        """What the picture is about, and the layout's title."""
        return _headed(words.plain(self.study.plan.title) or say("figure.untitled"), self.about)

    def subtitle(self) -> str:
        """Empty: the lines are written once the factor is known."""
        return ""

    def _note(self, text: str) -> None:
        """Write what the picture shows, and what its figures rest on, under the title."""
        for number, line in enumerate((text, basis(self.errors, self.study.way))):
            self._text(MARGIN, self.under_title - 11 * number, line, 8.5)
        self.taken.append((MARGIN, self.under_title - 14, SHEET_WIDTH - MARGIN, self.under_title + 10))

    @property
    def errors(self) -> Errors:
        """The errors of the study."""
        assert self.study.errors is not None
        return self.study.errors

    def _strokes(self) -> None:
        pale: list[Place] = []
        for stroke in self.shapes.strokes:
            if stroke.kind == "edge":
                self._line(self._run(stroke.run), INK, WIDEST, 4)
            else:
                # all in one artist, with gaps: hundreds of them take long
                pale += [*self._run(stroke.run), (math.nan, math.nan)]
        if pale:
            self._line(pale, PALE, NARROW, 1.5)

    def _line(self, run: Sequence[Place], colour: str, width: float, rank: float, dashes: Dashes = "solid") -> None:
        xs, ys = zip(*run, strict=True)
        self.axes.add_artist(Line2D(xs, ys, color=colour, linewidth=width, linestyle=dashes, zorder=rank))

    def _rim(self) -> list[Place]:
        """Return points along the edge of the wood, for names to keep off."""
        return [point for stroke in self.shapes.strokes if stroke.kind == "edge" for point in dotted(self._run(stroke.run))]

    def _fill(self, outline: Sequence[Place], colour: str, rank: float, *, line: str, width: float = 0.4) -> list[Place]:
        run = self._run(outline)
        self.axes.add_artist(Polygon(run, facecolor=colour, edgecolor=line, linewidth=width, zorder=rank))
        return run

    def _put(self, rows: Sequence[tuple[Wish, Look]], strong: Sequence[Place]) -> None:
        light = [point for stroke in self.shapes.strokes for point in dotted(self._run(stroke.run))]
        wishes = [wish for wish, _ in rows]
        placed = place(wishes, self.area, strong, light, self.taken)
        for put in placed:
            self._name(put, wishes[put.wish], *rows[put.wish][1])
        self.said_left_out = len(wishes) - len(placed)


class EllipseSheet(ErrorSheet):
    """Where the marks will lie: their 95 % ellipses."""

    about = "ellipses"

    def __init__(self, study: Study, units: str) -> None:
        self.marks = shown_marks(study)
        self.most = max(hand.mark_reach(mark) for mark in self.marks)
        super().__init__(study, units)

    def _strokes(self) -> None:
        super()._strokes()
        self.times = times = factor(self.most, ELLIPSE_PART * (self.shapes.frame[2] - self.shapes.frame[0]))
        self._note(say("figure.ellipses.note", times=times))

    def _names(self) -> None:
        strong: list[Place] = []
        rows: list[tuple[Wish, Look]] = []
        for one in sorted(spreads(self.marks, self.times), key=lambda spread: -spread.reach_mm):
            run = self._fill(one.outline, SPREAD, 3, line=DARK_BLUE, width=0.9)
            strong += dotted(run)
            rows.append(self._row(one, run))
            x, y = self._at(one.at)
            self._ring(x, y, 1.3)
            self.taken.append((x - 1.6, y - 1.6, x + 1.6, y + 1.6))
        self._put(rows, [*strong, *self._rim()])

    def _row(self, one: Spread, run: Sequence[Place]) -> tuple[Wish, Look]:
        look: Look = (7.5, INK, "normal")
        name = words.plain(one.name)
        text = f"{name if len(name) < 16 else name[:15] + '…'}  {hand.amount(one.reach_mm, self.units)}"
        width, height, _ = self._measure(text, look[0], look[2])
        return Wish(text, width, height, tuple(run[::6]), (3.0, 6.0, 10.0, 15.0, 22.0, 30.0), leads=False, clear=1.0), look

    def _legend(self) -> list[tuple[str, str]]:
        wood = [("edge", say("figure.line.edge"))] if any(stroke.kind == "edge" for stroke in self.shapes.strokes) else []
        return [*wood, ("pale", say("figure.layout")), ("spread", say("figure.ellipses.legend"))]

    def _sample(self, kind: str, x: float, y: float) -> None:
        if kind == "spread":
            self.axes.fill([x, x + 28, x + 28, x], [y - 4, y - 4, y + 4, y + 4], facecolor=SPREAD, edgecolor=DARK_BLUE, linewidth=0.9)
        else:
            colour, width = (INK, WIDEST) if kind == "edge" else (PALE, NARROW)
            self._line([(x, y), (x + 28, y)], colour, width, 2)

    def in_words(self) -> str:
        """Return the picture in words."""
        each = ", ".join(f"{words.plain(mark.name)} {hand.amount(hand.mark_reach(mark), self.units)}" for mark in self.marks)
        return say("figure.ellipses.words", times=self.times, each=each)


class BandSheet(ErrorSheet):
    """How far off the cuts will be: bands along them."""

    about = "bands"

    def __init__(self, study: Study, units: str) -> None:
        assert study.errors is not None
        self.most = max(max(widths) for edge in study.errors.edges if (widths := half_widths(study, edge)) is not None)
        self.bands: list[Band] = bands(study, 1.0)
        super().__init__(study, units)

    def _strokes(self) -> None:
        super()._strokes()
        self.times = factor(self.most, BAND_PART * (self.shapes.frame[2] - self.shapes.frame[0]))
        self._note(say("figure.bands.note", times=self.times))

    def _names(self) -> None:
        strong: list[Place] = []
        self.bands = bands(self.study, self.times)
        for one in sorted(self.bands, key=lambda band: (not band.groove, band.most_mm)):
            for seen, outline in one.parts:
                run = self._fill(outline, TONES[seen], 2 if one.groove else 3, line="none")
                strong += dotted([*run, run[0]])
        for dashed in (False, True):
            run = [at for one in self.bands if one.groove is dashed for at in (*self._run(one.run), (math.nan, math.nan))]
            if run:
                self._line(run, INK, 0.35 * MM, 4, PENS["groove"].dashes if dashed else "solid")
        self._put(self._rows(), [*strong, *self._rim()])

    def _rows(self) -> list[tuple[Wish, Look]]:
        """Return each chip's largest U, to stand beside it."""
        carving = self.study.carving
        if carving is None or len(carving.chips) > MANY_CHIPS:
            return []
        rows: list[tuple[Wish, Look]] = []
        for chip, region in zip(carving.chips, self.shapes.regions, strict=True):
            some = [max(widths) for edge in self.errors.edges if chip.number in edge.chips and (widths := half_widths(self.study, edge))]
            if some:
                look: Look = (7.0, INK, "normal")
                text = f"±{hand.two_figures(hand._in(max(some), self.units))}"
                width, height, _ = self._measure(text, look[0], look[2])
                outline = self._run(region[0])
                rows.append((Wish(text, width, height, tuple(outline[:: max(1, len(outline) // 16)]),
                                  (4.0, 7.0, 10.0, 14.0, 19.0, 25.0), leads=False, clear=1.0), look))  # fmt: skip
        return rows

    def _legend(self) -> list[tuple[str, str]]:
        seen = {number for one in self.bands for number, _ in one.parts}
        rows = [(f"tone {number}", say(f"hand.band.{number}")) for number in range(len(hand.BANDS)) if number in seen]
        kinds = [("cut", say("figure.bands.cut"))] if any(not one.groove for one in self.bands) else []
        kinds += [("groove", say("figure.bands.groove"))] if any(one.groove for one in self.bands) else []
        figures = [("figure", say(f"figure.bands.figure.{self.units}"))]
        return [*rows, *kinds, *figures]

    def _sample(self, kind: str, x: float, y: float) -> None:
        if kind.startswith("tone"):
            tone = TONES[int(kind[5:])]
            self.axes.fill([x, x + 28, x + 28, x], [y - 4, y - 4, y + 4, y + 4], facecolor=tone, edgecolor=INK, linewidth=0.3)
        elif kind == "figure":
            self._text(x + 14, y - 2.4, "±…", 7.5, align="center")
        else:
            dashes = PENS["groove"].dashes if kind == "groove" else "solid"
            self.axes.add_artist(Line2D([x, x + 28], [y, y], color=INK, linewidth=0.35 * MM, linestyle=dashes))

    def in_words(self) -> str:
        """Return the picture in words."""
        least = min(band.most_mm for band in self.bands)
        low, high = hand.amount(least, self.units), hand.amount(self.most, self.units)
        edges = words.counted(len(self.bands), "edge")
        return say("figure.bands.words", edges=edges, times=self.times, low=low, high=high, band=hand.band(self.most))
