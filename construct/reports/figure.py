"""The picture of a layout: SVG and PNG of one drawing, from the study's floats.

Line kinds and widths follow ISO 128-2 (narrow and wide lines in the ratio 1 to
2 and more, long-dash-dot for centre lines); colours start from the published
palette of Okabe and Ito and never carry a meaning alone: width, dashes and tone
say the same.  Only this file and the pictures of errors that are drawn on its
sheet load matplotlib.
"""

from __future__ import annotations

import io
import math
import textwrap
import warnings
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Literal
from xml.sax.saxutils import escape

import matplotlib as mpl
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.lines import Line2D
from matplotlib.patches import PathPatch
from matplotlib.path import Path
from matplotlib.patheffects import withStroke

from construct.phrasebook import say
from construct.reports import View
from construct.reports import _words as words
from construct.reports._labels import Place, Put, Wish, place
from construct.reports._pen import dotted, inner_places
from construct.reports._shapes import shapes
from construct.study import Study

NAME = "figure"
NOTE = "a picture of the layout, to look at and to print"

MM = 72 / 25.4
"""Points in a millimetre of paper."""

SHEET_WIDTH = 180 * MM
TALLEST = 175 * MM
MARGIN = 26.0
DOTS_PER_INCH = 200

NARROW, WIDE, WIDEST = 0.25 * MM, 0.6 * MM, 0.7 * MM
INK, BLUE, DARK_BLUE, VERMILION, GREEN, BROWN, CHIP, WOOD = (
    "#000000", "#3F93C4", "#00507E", "#D55E00", "#007A58", "#6B2E00", "#F5DCA6", "#FFFEFA",
)  # fmt: skip

Dashes = tuple[float, tuple[float, ...]] | Literal["solid"]
Style = Literal["normal", "italic"]
Look = tuple[float, str, Style]
"""Size in points, colour, style."""

LONG_DASH_DOT: Dashes = (0, (14, 3, 1.5, 3))


@dataclass(frozen=True, slots=True)
class Pen:
    """How a kind of line is drawn. rank: what lies on top.  says: its key under [figure.line]."""

    colour: str
    width: float
    dashes: Dashes
    rank: int
    says: str


PENS = {
    "edge": Pen(INK, WIDEST, "solid", 4, "edge"),
    "line": Pen(BLUE, NARROW, "solid", 2, "construction"),
    "circle": Pen(BLUE, NARROW, "solid", 2, "construction"),
    "arc": Pen(BLUE, NARROW, "solid", 2, "construction"),
    "finder": Pen(DARK_BLUE, NARROW, LONG_DASH_DOT, 2, "finder"),
    "curve": Pen(DARK_BLUE, 0.35 * MM, "solid", 2, "curve"),
    "cut": Pen(VERMILION, WIDE, "solid", 5, "cut"),
    "groove": Pen(GREEN, WIDE, (0, (3.5, 1.6)), 5, "groove"),
}
STRONG = ("edge", "cut", "groove")

MANY_MARKS = 24
MANY_CHIPS = 60
BARS = (("50 mm", 50.0, "2 in", 50.8), ("10 mm", 10.0, "1/2 in", 12.7), ("1 mm", 1.0, "1/16 in", 1.5875))
LARGE_BARS = ("500 mm", 500.0, "20 in", 508.0)


def files(study: Study, view: View) -> dict[str, bytes]:
    """Return the picture twice: `picture.svg` and `picture.png`."""
    return figures(study, units=view.units)


def figures(study: Study, *, units: str = "mm") -> dict[str, bytes]:
    """Return the picture of a study: contents by file name."""
    with drawing_rules():
        title = words.plain(study.plan.title) or say("figure.untitled")
        return rendered(drawing(study, units=units), "picture", title, description(study, units))


@contextmanager
def drawing_rules() -> Iterator[None]:
    """Draw the same bytes each time, and any script in a title without a warning."""
    with warnings.catch_warnings(), mpl.rc_context(
        {"svg.hashsalt": "construct", "svg.fonttype": "path", "path.simplify": False, "hatch.linewidth": 0.6}
    ):
        warnings.filterwarnings("ignore", message="Glyph .* missing from")  # a title may be in any script
        yield


def rendered(figure: Figure, name: str, title: str, text: str) -> dict[str, bytes]:
    """Return a drawing as SVG and PNG by file name; `text` is the picture in words."""
    png, svg = io.BytesIO(), io.BytesIO()
    FigureCanvasAgg(figure).print_figure(png, format="png", dpi=DOTS_PER_INCH, metadata={"Software": None, "Title": title},
                                           pil_kwargs={"compress_level": 3})  # fmt: skip
    FigureCanvasSVG(figure).print_figure(svg, format="svg", metadata={"Date": None, "Creator": None, "Title": title})
    return {f"{name}.svg": _described(svg.getvalue(), text), f"{name}.png": png.getvalue()}


def description(study: Study, units: str = "mm") -> str:
    """Return the picture in words, for those who do not see it."""
    plan, carving = study.plan, study.carving
    marks = sum(thing.kind == "mark" for thing in plan.things)
    drawn = sum(thing.kind in ("line", "circle", "curve") for thing in plan.things)
    blank = words.blank(plan, units)
    parts = [
        f"{blank}." if plan.blank.form == "paper" else say("figure.words", blank=blank),
        f"{words.counted(drawn, 'drawn')}, {words.counted(marks, 'mark')}.",
    ]
    if carving is not None:
        parts.append(f"{words.counted(len(carving.chips), 'chip')}, {words.counted(len(carving.grooves), 'groove')}.")
    return " ".join(parts)


def _described(svg: bytes, text: str) -> bytes:
    """Return the picture with a description beside its title, for screen readers."""
    head, end, rest = svg.decode().partition("</title>")
    head = head.replace("<svg ", '<svg role="img" aria-labelledby="picture-title picture-words" ', 1)
    head = head.replace("<title>", '<title id="picture-title">', 1)
    return f'{head}{end}\n <desc id="picture-words">{escape(text)}</desc>{rest}'.encode()


# --- the sheet ----------------------------------------------------------------------------------


def drawing(study: Study, *, units: str = "mm") -> Figure:
    """Return the drawing as a matplotlib figure, 72 dots an inch, one unit of its axes a point."""
    return Sheet(study, units).figure


class Sheet:
    """A sheet with the plate on it, drawn as it is made; other pictures of the plate draw other things on it."""

    def __init__(self, study: Study, units: str) -> None:
        self.study = study
        self.units = units
        self.shapes = shapes(study)
        left, bottom, right, top = self.shapes.frame
        room = SHEET_WIDTH - 2 * MARGIN
        # wood is shown at most three times its size; a drawing on paper fills the sheet
        most = math.inf if study.plan.blank.form == "paper" else 3 * MM
        self.scale = min(room / (right - left), TALLEST / (top - bottom), most)
        self.said_left_out = 0
        self.bars = self._bars()
        self.legend = self._legend()
        title = textwrap.wrap(self.title(), 62)
        below = 16 * math.ceil(len(self.legend) / 3) + 44
        above = 18 * len(title) + 26
        tall = (top - bottom) * self.scale
        height = above + tall + 2 * MARGIN + below
        self.area = (3.0, below, SHEET_WIDTH - 3, below + tall + 2 * MARGIN)
        self.origin = SHEET_WIDTH / 2 - (left + right) / 2 * self.scale, below + MARGIN - bottom * self.scale
        self.figure = Figure(figsize=(SHEET_WIDTH / 72, height / 72), dpi=72, facecolor="white")
        self.renderer = FigureCanvasAgg(self.figure).get_renderer()
        self.axes = self.figure.add_axes((0, 0, 1, 1))
        self.axes.set_axis_off()
        self.axes.set_xlim(0, SHEET_WIDTH)
        self.axes.set_ylim(0, height)
        self.taken: list[tuple[float, float, float, float]] = []
        self.under_title = height - 20 - 18 * len(title) + 3
        self._title(title, height)
        self._wood()
        self._strokes()
        self._grain()
        self._names()
        self._foot(below)

    def _at(self, at: Place) -> Place:
        return self.origin[0] + at[0] * self.scale, self.origin[1] + at[1] * self.scale

    def _run(self, run: Iterable[Place]) -> list[Place]:
        return [self._at(at) for at in run]

    def _text(self, x: float, y: float, text: str, size: float, *, name: str = "", align: str = "left", weight: str = "normal",
              colour: str = INK, style: Style = "normal") -> None:  # fmt: skip
        self.axes.text(x, y, text, fontsize=size, ha=align, va="baseline", weight=weight, color=colour, style=style,
                       parse_math=False, zorder=10, gid=name or None,
                       path_effects=[withStroke(linewidth=1.6, foreground="white")] if name else None)  # fmt: skip

    def _title(self, lines: Sequence[str], height: float) -> None:
        for number, line in enumerate(lines):
            self._text(MARGIN, height - 20 - 18 * number, line, 14, weight="bold")
        self._text(MARGIN, self.under_title, self.subtitle(), 8.5)

    def title(self) -> str:
        """What stands above the drawing."""
        return words.plain(self.study.plan.title) or say("figure.untitled")

    def subtitle(self) -> str:
        """What stands in the line under the title."""
        way = f"  ·  {say('figure.way', way=self.study.way)}" if self.study.way else ""
        return f"{words.blank(self.study.plan, self.units)}{way}"

    def _wood(self) -> None:
        if self.shapes.blank:
            self.axes.fill(*zip(*self._run(self.shapes.blank), strict=True), color=WOOD, zorder=0, linewidth=0)
        for region in self.shapes.regions:
            places: list[Place] = []
            codes: list[int] = []
            for walk in region:
                points = self._run(walk)
                places += [*points, points[0]]
                codes += [int(Path.MOVETO), *[int(Path.LINETO)] * (len(points) - 1), int(Path.CLOSEPOLY)]
            self.axes.add_artist(PathPatch(Path(places, codes), facecolor=CHIP, linewidth=0, zorder=1))

    def _strokes(self) -> None:
        for stroke in self.shapes.strokes:
            pen = PENS[stroke.kind]
            xs, ys = zip(*self._run(stroke.run), strict=True)
            self.axes.add_artist(Line2D(xs, ys, color=pen.colour, linewidth=pen.width, linestyle=pen.dashes, zorder=pen.rank,
                                      solid_capstyle="round", solid_joinstyle="round"))  # fmt: skip

    def _grain(self) -> None:
        if self.study.plan.blank.form == "paper":
            return
        x, top = SHEET_WIDTH - 12, self.area[3] - MARGIN + 10
        for tip in (top, top - 58):
            self._arrow(x, top - 29, tip)
        self.taken.append((x - 12, top - 60, x + 6, top + 2))
        self.axes.text(x - 8, top - 29, say("figure.grain"), fontsize=7.5, ha="center", va="center", rotation=90, zorder=10)

    def _arrow(self, x: float, foot: float, tip: float) -> None:
        back = tip - math.copysign(5, tip - foot)
        self.axes.add_artist(Line2D([x, x], [foot, tip], color=INK, linewidth=NARROW))
        self.axes.fill([x, x - 2, x + 2], [tip, back, back], color=INK, linewidth=0)

    def _ring(self, x: float, y: float, radius: float) -> None:
        self.axes.add_artist(Line2D([x], [y], marker="o", markersize=2 * radius, markerfacecolor="white", markeredgecolor=INK,
                                  markeredgewidth=0.6, linestyle="none", zorder=7))  # fmt: skip

    # --- names ----------------------------------------------------------------------------------

    def _names(self) -> None:
        shown = self.shapes
        count = len(shown.spots)
        size, radius = (8.0, 1.7) if count <= MANY_MARKS else (7.0, 1.3) if count <= 2 * MANY_MARKS else (7.0, 1.0)
        marks = [self._at(spot.at) for spot in shown.spots]
        for x, y in marks:
            self._ring(x, y, radius)
            self.taken.append((x - radius - 0.4, y - radius - 0.4, x + radius + 0.4, y + radius + 0.4))
        wishes, looks, left_out = self._wishes(marks, size, radius)
        strong = [point for stroke in shown.strokes if stroke.kind in STRONG for point in dotted(self._run(stroke.run))]
        light = [point for stroke in shown.strokes if stroke.kind not in STRONG for point in dotted(self._run(stroke.run))]
        placed = place(wishes, self.area, strong, light, self.taken)
        for put in placed:
            self._name(put, wishes[put.wish], *looks[put.wish])
        self.said_left_out = left_out + len(wishes) - len(placed)

    def _wishes(self, marks: Sequence[Place], size: float, radius: float) -> tuple[list[Wish], list[Look], int]:
        """Return the names that want a place, by rank; how each looks; and how many were not even tried."""
        rows: list[tuple[Wish, Look]] = []
        later: list[tuple[Wish, Look]] = []
        left_out = 0
        few = sum(not any(map(words.is_plain, spot.names)) for spot in self.shapes.spots) <= MANY_MARKS - len(self.shapes.spots) // 4
        rings = (radius + 1.6, 5.0, 8.0, 12.0, 17.0, 23.0, 30.0, 38.0)
        for spot, at in zip(self.shapes.spots, marks, strict=True):
            plain = [name for name in spot.names if words.is_plain(name)]
            names = plain if plain or not few else list(spot.names)
            left_out += len(spot.names) - len(names)
            if names:
                look: Look = (size, INK, "normal") if plain else (size - 1.5, INK, "normal")
                (rows if plain else later).append((self._wish(", ".join(names), look, (at,), rings), look))
        for tag in self.shapes.tags:
            if not words.is_plain(tag.name):
                left_out += 1
                continue
            slanted: Look = (size - 0.5, DARK_BLUE, "italic")
            rows.append((self._wish(tag.name, slanted, tuple(self._run(tag.anchors)), (1.6, 3.0, 5.0, 7.0), leads=False), slanted))
        rows += later + self._chip_wishes(size - 1.5)
        return [wish for wish, _ in rows], [look for _, look in rows], left_out

    def _chip_wishes(self, size: float) -> list[tuple[Wish, Look]]:
        carving = self.study.carving
        if carving is None or len(carving.chips) > MANY_CHIPS:
            return []
        rows = []
        for chip, region in zip(carving.chips, self.shapes.regions, strict=True):
            outline = self._run(region[0])
            look: Look = (size, BROWN, "normal")
            text = chip.name if words.is_plain(chip.name) and chip.name else str(chip.number)
            width, height, _ = self._measure(text, look[0], look[2])
            rows.append((Wish(text, width, height, inner_places(outline), (0.0, 2.0, 4.0, 9.0, 13.0, 18.0), pull=4.0, clear=1.2), look))
        return rows

    def _wish(
        self, text: str, look: Look, anchors: tuple[Place, ...], rings: tuple[float, ...], *, leads: bool = True
    ) -> Wish:
        text = text if len(text) <= 24 else text[:23] + "…"
        width, height, _ = self._measure(text, look[0], look[2])
        return Wish(text, width, height, anchors, rings, leads)

    def _measure(self, text: str, size: float, style: Style) -> tuple[float, float, float]:
        """Return width, height and descent of a text's ink, in points."""
        width, height, descent = self.renderer.get_text_width_height_descent(text, FontProperties(size=size, style=style), False)
        return width, height, descent

    def _name(self, put: Put, wish: Wish, size: float, colour: str, style: Style) -> None:
        _, _, descent = self._measure(wish.text, size, style)
        self._text(put.box[0], put.box[1] + descent, wish.text, size, name="name", colour=colour, style=style)
        if put.leader is not None:
            xs, ys = zip(*put.leader, strict=True)
            self.axes.add_artist(Line2D(xs, ys, color=INK, linewidth=0.4, zorder=6))

    # --- below the drawing ----------------------------------------------------------------------

    def _legend(self) -> list[tuple[str, str]]:
        """Return (kind of sample, words) for what the picture holds."""
        kinds = {stroke.kind for stroke in self.shapes.strokes}
        rows = [(kind, say(f"figure.line.{pen.says}")) for kind, pen in PENS.items() if kind in kinds]
        rows = list({says: (kind, says) for kind, says in reversed(rows)}.values())[::-1]
        if self.shapes.regions:
            rows.append(("chip", say("figure.chip")))
        rows.append(("mark", say("figure.mark")))
        return rows

    def _foot(self, below: float) -> None:
        column = (SHEET_WIDTH - 2 * MARGIN) / 3
        for number, (kind, says) in enumerate(self.legend):
            x, y = MARGIN + column * (number % 3), below - 10 - 16 * (number // 3)
            self._sample(kind, x, y + 2.6)
            self._text(x + 34, y, says, 7.5)
        x = MARGIN
        for text, length in self.bars:
            x += self._bar(x, 16, length, text) + 26
        if self.said_left_out:
            note = say("figure.left_out", names=words.counted(self.said_left_out, "name"))
            free = SHEET_WIDTH - MARGIN - self._measure(note, 7.5, "normal")[0]
            self._text(SHEET_WIDTH - MARGIN, 13.4 if x < free else 29.0, note, 7.5, align="right")

    def _sample(self, kind: str, x: float, y: float) -> None:
        if kind == "mark":
            self._ring(x + 14, y, 1.7)
        elif kind == "chip":
            self.axes.fill([x, x + 28, x + 28, x], [y - 4, y - 4, y + 4, y + 4], color=CHIP, linewidth=0)
        else:
            pen = PENS[kind]
            self.axes.add_artist(Line2D([x, x + 28], [y, y], color=pen.colour, linewidth=pen.width, linestyle=pen.dashes))

    def _bars(self) -> list[tuple[str, float]]:
        """Return the two scale bars that fit: 50 mm and 2 in wherever they do."""
        room = (SHEET_WIDTH - 2 * MARGIN - 30) / 2
        first, mm, second, inch = next((row for row in BARS if row[3] * self.scale <= room), BARS[-1])
        if mm * self.scale < 8:
            first, mm, second, inch = LARGE_BARS
        rows = [(first, mm * self.scale), (second, inch * self.scale)]
        return [row for row in rows if row[1] <= room]

    def _bar(self, x: float, y: float, length: float, text: str) -> float:
        for start, finish in (((x, y), (x + length, y)), ((x, y - 3), (x, y + 3)), ((x + length, y - 3), (x + length, y + 3))):
            self.axes.add_artist(Line2D(*zip(start, finish, strict=True), color=INK, linewidth=0.5 * MM, solid_capstyle="butt"))
        self._text(x + length + 5, y - 2.6, text, 8)
        return length + 5 + self._measure(text, 8, "normal")[0]
