"""A layout drawn on sheets at true size: the drawing, the bars that show it is true, crosses, and which sheet it is.

Everything is in mm; one mm on the wood is one mm on the paper.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from construct.geometry import Curve
from construct.phrasebook import say
from construct.plan import EDGE
from construct.reports import View
from construct.reports import _words as words
from construct.reports._ink import ASCENT, BOLD, FONT, GREY, MM, Ink, bent, fitting, width_mm
from construct.reports._pen import Frame, Place, Run, Sweep, curve_run, window_of
from construct.reports._shapes import Stroke, shapes
from construct.reports._sheet_names import MARK_MM, names
from construct.reports._tiles import FILING_MM, FOOT_MM, MARGIN_MM, Paper, Tile, Tiling, tile
from construct.study import Study

BARS = ((50.0, "50 mm"), (50.8, "2 in"))
TICK_MM = 1.5
SIDE_WORDS_MM = 1.0
CROSS_MM, CROSS_RING_MM = 4.0, 1.5
LARGE, SMALL, TINY = 11.0, 8.0, 6.5
ARROW_MM = 20.0
MAP_MM = 22.0
SAMPLE_MM = 14.0
LEGEND = (("edge", "edge"), ("cut", "cut"), ("groove", "groove"), ("line", "construction"), ("finder", "finder"))
"""Kinds of line in the order of the legend, and the last part of the key of what they are called."""

CONSTRUCTION = ("line", "circle", "arc", "curve")
ORDER = ("line", "circle", "arc", "curve", "finder", "groove", "cut", "edge")
"""Kinds from the lowest to what lies on top."""


def draw(study: Study, view: View, paper: Paper) -> bytes:
    """Return the sheets of a study as a PDF; `Mistakes` where they would be too many."""
    return _Sheets(study, view, paper).draw()


class _Sheets:
    def __init__(self, study: Study, view: View, paper: Paper) -> None:
        self.study, self.view, self.paper = study, view, paper
        self.shapes = shapes(study)
        self.tiling: Tiling = tile(self.shapes.frame, paper)
        self.title = words.plain(study.plan.title) or say("sheet.untitled")
        self.strokes = _by_precedence(self.shapes.strokes)
        # french curves by the places along them: a cut or a groove that follows one is drawn as true
        drawn = [thing for thing in study.drawn if isinstance(thing, Curve)]
        self.curves: dict[Run, list[Place]] = {curve_run(curve): [(mark.x, mark.y) for mark in curve.controls] for curve in drawn}
        crosses = [(x - CROSS_MM, y - CROSS_MM, x + CROSS_MM, y + CROSS_MM) for x, y in self.tiling.register]
        self.names, self.left_out = names(study, self.shapes, crosses)

    def draw(self) -> bytes:
        ink = Ink(self.tiling.width, self.tiling.height, self.title, say("sheet.subject", paper=self.paper.name))
        for number, one in enumerate(self.tiling.tiles, start=1):
            if number > 1:
                ink.next_page()
            self._window(ink, one)
            self._side(ink)
            self._foot(ink, one, number)
        return ink.done()

    # --- the drawing itself -------------------------------------------------------------------

    def _window(self, ink: Ink, one: Tile) -> None:
        left, bottom, right, top = one.window
        x, y = self.tiling.corner
        canvas = ink.canvas
        canvas.saveState()
        clip = canvas.beginPath()
        clip.rect(x * MM, y * MM, (right - left) * MM, (top - bottom) * MM)
        canvas.clipPath(clip, stroke=0, fill=0)
        canvas.translate((x - left) * MM, (y - bottom) * MM)
        for region in self.shapes.regions:
            ink.region(region)
        for kind in ORDER:
            for stroke in self.strokes:
                if stroke.kind == kind and _meets(stroke.run, one.window):
                    self._stroke(ink, stroke)
        for spot in self.shapes.spots:
            ink.dot(spot.at, MARK_MM)
        for name in self.names:
            if name.leader is not None:
                ink.line("register", name.leader)
            ink.text(name.at, name.text, name.size, font=name.font)
        self._register(ink)
        canvas.restoreState()

    def _stroke(self, ink: Ink, stroke: Stroke) -> None:
        if stroke.kind == "edge":
            self._edge(ink, stroke)
        elif stroke.sweep is not None:
            ink.sweep(stroke.kind, stroke.sweep)
        elif stroke.run in self.curves:
            ink.bezier(stroke.kind, self.curves[stroke.run])
        else:
            ink.line(stroke.kind, stroke.run)

    def _edge(self, ink: Ink, stroke: Stroke) -> None:
        window = window_of(self.study.drawn[EDGE])
        if not window.round:
            ink.line("edge", stroke.run)
            return
        # an oval is a circle stretched, and stretching a Bézier curve's places stretches the curve
        ring = bent(Sweep(0.0, 0.0, 1.0, math.pi / 2, math.tau))
        ink.bezier("edge", [(window.x + x * window.across, window.y + y * window.along) for x, y in ring], closed=True)

    def _register(self, ink: Ink) -> None:
        for number, (x, y) in enumerate(self.tiling.register, start=1):
            ink.line("register", [(x - CROSS_MM, y), (x + CROSS_MM, y)])
            ink.line("register", [(x, y - CROSS_MM), (x, y + CROSS_MM)])
            ink.sweep("register", Sweep(x, y, CROSS_RING_MM, 0.0, math.tau))
            ink.text((x + CROSS_RING_MM, y + CROSS_RING_MM), say("sheet.cross", number=number), TINY)

    # --- beside and below ---------------------------------------------------------------------

    def _side(self, ink: Ink) -> None:
        """Draw the bars that stand up, and the grain, in the filing margin and clear of where it is punched (12 mm in)."""
        x, y = FILING_MM - 2.5, MARGIN_MM + FOOT_MM
        for length, said in BARS:
            _bar(ink, (x, y), (x, y + length))
            ink.text((x - SIDE_WORDS_MM, y + length / 2), said, SMALL, align="middle", turned=True)
            y += length + 4
        if self.study.plan.blank.form != "paper":
            ink.line("bar", [(x, y + 2), (x, y + 2 + ARROW_MM)])
            for tip, way in ((y + ARROW_MM + 2, 1), (y + 2, -1)):
                ink.filled([(x, tip), (x - 1.1, tip - 3 * way), (x + 1.1, tip - 3 * way)])
            ink.text((x - SIDE_WORDS_MM, y + 2 + ARROW_MM / 2), say("sheet.grain"), SMALL, align="middle", turned=True)

    def _foot(self, ink: Ink, one: Tile, number: int) -> None:
        left, right = FILING_MM, self.tiling.width - MARGIN_MM
        x = left
        for length, said in BARS:
            _bar(ink, (x, MARGIN_MM + 2.5), (x + length, MARGIN_MM + 2.5))
            ink.text((x + length / 2, MARGIN_MM + 4.3), said, SMALL, align="middle")
            x += length + 6
        self._legend(ink, left, MARGIN_MM + 9.5)
        room = right - left - MAP_MM - 4
        lines = [(self.title, LARGE, BOLD), (self._blank(), SMALL, FONT), (say("sheet.scale"), SMALL, FONT),
                 (" ".join(self._more()), SMALL, FONT)]  # fmt: skip
        y = MARGIN_MM + FOOT_MM - 1
        for text, size, font in lines:
            y -= size * 1.25 / MM
            ink.text((left, y), fitting(text, size, room, font), size, font=font)
        self._which(ink, one, number, right)

    def _blank(self) -> str:
        way = say("sheet.way", way=self.study.way) if self.study.way else ""
        return f"{words.blank(self.study.plan, self.view.units)}{way}"

    def _more(self) -> Iterator[str]:
        if len(self.tiling.tiles) > 1:
            yield say("sheet.join")
        if self.left_out:
            yield say("sheet.left_out", count=self.left_out)

    def _legend(self, ink: Ink, x: float, y: float) -> None:
        kinds = {"line" if stroke.kind in CONSTRUCTION else stroke.kind for stroke in self.strokes}
        for kind, word in LEGEND:
            if kind in kinds:
                ink.line(kind, [(x, y + 0.9), (x + SAMPLE_MM, y + 0.9)])
                said = say(f"sheet.kind.{word}")
                ink.text((x + SAMPLE_MM + 1.5, y), said, SMALL)
                x += SAMPLE_MM + 1.5 + width_mm(said, SMALL) + 4

    def _which(self, ink: Ink, one: Tile, number: int, right: float) -> None:
        """Say which sheet this is: in words and on a small map of all of them."""
        rows, columns = self.tiling.rows, self.tiling.columns
        top = MARGIN_MM + FOOT_MM - 2
        said = say("sheet.number", number=number, count=len(self.tiling.tiles))
        ink.text((right, top - SMALL * ASCENT / MM), said, SMALL, align="right")
        if rows * columns == 1:
            return
        size = min(MAP_MM / columns, 16.0 / rows, 6.0)
        x0, y0 = right - size * columns, top - 4
        for row in range(rows):
            for column in range(columns):
                x, y = x0 + column * size, y0 - row * size
                box = [(x, y), (x + size, y), (x + size, y - size), (x, y - size), (x, y)]
                if (row + 1, column + 1) == (one.row, one.column):
                    ink.filled(box, GREY)
                ink.line("register", box)


def _by_precedence(strokes: Sequence[Stroke]) -> list[Stroke]:
    """Return the strokes without the construction lines that a cut or a groove follows from end to end.

    Where lines fall on one another the more important is drawn alone (ISO 128): a narrow line under it would fill its dashes.
    """
    over = {_way(stroke) for stroke in strokes if stroke.kind in ("cut", "groove")}
    return [stroke for stroke in strokes if stroke.kind not in CONSTRUCTION or _way(stroke) not in over]


def _way(stroke: Stroke) -> object:
    """Return what is equal for strokes that fall on one another, to a nanometre."""
    sweep = stroke.sweep
    if sweep is not None and abs(sweep.sweep) >= math.tau * (1 - 1e-9):
        return round(sweep.x, 6), round(sweep.y, 6), round(sweep.reach, 6)
    ends = frozenset((round(x, 6), round(y, 6)) for x, y in (stroke.run[0], stroke.run[-1]))
    middle = stroke.run[len(stroke.run) // 2] if len(stroke.run) > 2 else ()
    return ends, tuple(round(part, 6) for part in middle)


def _bar(ink: Ink, start: Place, finish: Place) -> None:
    """Draw a bar of a stated length between the middles of its end ticks."""
    ink.line("bar", [start, finish])
    across = (TICK_MM, 0.0) if start[0] == finish[0] else (0.0, TICK_MM)
    for x, y in (start, finish):
        ink.line("bar", [(x - across[0], y - across[1]), (x + across[0], y + across[1])])


def _meets(run: Sequence[Place], window: Frame) -> bool:
    """Tell whether the box round a run reaches into a window; what does not is left out of that sheet's file."""
    left, bottom, right, top = window
    return (min(x for x, _ in run) <= right and max(x for x, _ in run) >= left
            and min(y for _, y in run) <= top and max(y for _, y in run) >= bottom)  # fmt: skip
