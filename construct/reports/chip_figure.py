"""The numbered picture of the chips: how deep each will be, by tone; what goes too deep, hatched.

Tones go from light to dark with depth, so they read in grey; hatching, a dashed
circle and numbers say the rest, never colour alone.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from matplotlib.lines import Line2D
from matplotlib.patches import Circle as Round
from matplotlib.patches import PathPatch
from matplotlib.path import Path

from construct.chips.survey import ChipSurvey, Survey
from construct.phrasebook import say
from construct.reports import View
from construct.reports import _chip_words as told
from construct.reports import _words as words
from construct.reports._labels import Place, Wish, place
from construct.reports.figure import INK, MM, NARROW, PENS, WOOD, Look, Sheet, dotted, drawing_rules, rendered
from construct.study import Study

NAME = "chip_figure"
NOTE = "the chips with their numbers, shaded by depth"

TONES = ("#F6EFDF", "#E6D2A6", "#CBAA68", "#AD8544")
"""Light to dark, by depth; each is plainly darker in grey than the one before (a test measures it)."""

STEPS = (0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0)
INCH_STEPS = tuple(25.4 * part for part in (1 / 64, 1 / 32, 1 / 16, 3 / 32, 1 / 8, 3 / 16, 1 / 4, 3 / 8, 1 / 2))

MANY = 400
"""Chips from which on circles are left out: they would be dots."""

DRAWN = ("edge", "cut", "groove")


def files(study: Study, view: View) -> dict[str, bytes]:
    """Return `chips.svg` and `chips.png`; nothing for a study whose chips were not measured."""
    if study.survey is None or not study.survey.chips:
        return {}
    title = say("chips.title", title=words.plain(study.plan.title) or say("figure.untitled"))
    with drawing_rules():
        sheet = ChipSheet(study, view.units)
        return rendered(sheet.figure, "chips", title, sheet.in_words())


class ChipSheet(Sheet):
    """The plate with nothing on it but cuts, grooves and chips."""

    def __init__(self, study: Study, units: str) -> None:
        assert study.survey is not None
        self.found: Survey = study.survey
        self.by_depth = any(one.depth is not None for one in self.found.chips)
        self.step = _step(max(self._measure_of(one) for one in self.found.chips), units)
        super().__init__(study, units)

    def _measure_of(self, one: ChipSurvey) -> float:
        """Return what a chip's tone shows, in mm: its depth, or its width where no depth is known."""
        if self.by_depth:
            return 0.0 if one.depth is None else max(one.depth.middle, 0.0)
        return max(float(sum(one.width_mm)) / 2, 0.0)

    def _tone(self, one: ChipSurvey) -> int:
        return min(math.ceil(round(self._measure_of(one) / self.step, 6)) - 1, len(TONES) - 1) if self._measure_of(one) > 0 else 0

    def _too_deep(self, one: ChipSurvey) -> bool:
        limit = self.found.limits.deepest_mm
        return one.depth is not None and limit is not None and one.depth.lower > limit

    def title(self) -> str:
        """What stands above the drawing."""
        return say("chips.title", title=words.plain(self.study.plan.title) or say("figure.untitled"))

    def in_words(self) -> str:
        """Return the picture in words, for those who do not see it."""
        parts = [f"{words.blank(self.study.plan, self.units)}."]
        for number, group in enumerate(self.found.groups):
            first = self.found.chips[group[0]]
            numbers = words.numbered([self.found.chips[position].chip.number for position in group])
            deep = "" if first.depth is None else say("chips.deep", depth=told.length(first.depth.middle, self.units))
            parts.append(say("chips.picture", kind=told.kind(number), numbers=numbers, count=len(group),
                             width=told.length(sum(first.width_mm) / 2, self.units), deep=deep))  # fmt: skip
        return " ".join(parts)

    # --- drawing --------------------------------------------------------------------------------

    def _wood(self) -> None:
        if self.shapes.blank:
            self.axes.fill(*zip(*self._run(self.shapes.blank), strict=True), color=WOOD, zorder=0, linewidth=0)
        for one, region in zip(self.found.chips, self.shapes.regions, strict=True):
            places: list[Place] = []
            codes: list[int] = []
            for walk in region:
                points = self._run(walk)
                places += [*points, points[0]]
                codes += [int(Path.MOVETO), *[int(Path.LINETO)] * (len(points) - 1), int(Path.CLOSEPOLY)]
            self.axes.add_artist(self._patch(Path(places, codes), one))

    def _patch(self, path: Path, one: ChipSurvey) -> PathPatch:
        deep = self._too_deep(one)
        return PathPatch(path, facecolor=TONES[self._tone(one)], edgecolor=INK, linewidth=0,
                         hatch="////" if deep else None, zorder=1)  # fmt: skip

    def _strokes(self) -> None:
        for stroke in self.shapes.strokes:
            if stroke.kind in DRAWN:
                pen = PENS[stroke.kind]
                xs, ys = zip(*self._run(stroke.run), strict=True)
                colour, width = (INK, 0.35 * MM) if stroke.kind == "cut" else (pen.colour, pen.width)
                self.axes.add_artist(Line2D(xs, ys, color=colour, linewidth=width, linestyle=pen.dashes, zorder=pen.rank))
        if len(self.found.chips) <= MANY:
            for one in self.found.chips:
                x, y = self._at((float(one.widest.centre[0]), float(one.widest.centre[1])))
                self.axes.add_artist(Round((x, y), one.widest.middle * self.scale, fill=False, edgecolor=INK, linewidth=0.8 * NARROW,
                                           linestyle=(0, (4, 2)), zorder=3))  # fmt: skip

    def _names(self) -> None:
        """Only the chips are named, by number; a number that finds no room is counted below."""
        rows: list[tuple[Wish, Look]] = []
        for one in self.found.chips:
            at = self._at((float(one.widest.centre[0]), float(one.widest.centre[1])))
            reach = one.widest.middle * self.scale
            size = max(6.0, min(9.0, reach * 0.9))
            text = str(one.chip.number)
            width, height, _ = self._measure(text, size, "normal")
            spots = tuple((at[0] + dx * reach / 2, at[1] + dy * reach / 2) for dx, dy in ((0, 0), (0, 1), (0, -1), (1, 0), (-1, 0)))
            rows.append((Wish(text, width, height, spots, (0.0, 2.0, 5.0, 9.0, 14.0, 20.0), pull=4.0, clear=0.8), (size, INK, "normal")))
        strong = [point for stroke in self.shapes.strokes if stroke.kind in DRAWN for point in dotted(self._run(stroke.run))]
        placed = place([wish for wish, _ in rows], self.area, strong, [], self.taken)
        for put in placed:
            self._name(put, rows[put.wish][0], *rows[put.wish][1])
        self.said_left_out = len(rows) - len(placed)

    # --- below the drawing ----------------------------------------------------------------------

    def _legend(self) -> list[tuple[str, str]]:
        rows = []
        what = say("chips.legend.depth" if self.by_depth else "chips.legend.width")
        for tone in sorted({self._tone(one) for one in self.found.chips}):
            per = 25.4 if self.units == "in" else 1.0
            low, high = (words.decimal(self.step * n / per) for n in (tone, tone + 1))
            rows.append((f"tone {tone}", say("chips.legend.tone", low=low, high=f"{high} {self.units}", what=what)))
        limit = self.found.limits.deepest_mm
        if limit is not None and any(map(self._too_deep, self.found.chips)):
            rows.append(("deep", say("chips.legend.too_deep", limit=told.limit(limit, self.units))))
        if len(self.found.chips) <= MANY:
            rows.append(("circle", say("chips.legend.circle")))
        rows.append(("cut", say("chips.legend.cut")))
        if any(stroke.kind == "groove" for stroke in self.shapes.strokes):
            rows.append(("groove", say("figure.line.groove")))
        return rows

    def _sample(self, kind: str, x: float, y: float) -> None:
        corners = ([x, x + 28, x + 28, x], [y - 4, y - 4, y + 4, y + 4])
        if kind.startswith("tone"):
            self.axes.fill(*corners, facecolor=TONES[int(kind.split()[1])], edgecolor=INK, linewidth=0.4)
        elif kind == "deep":
            self.axes.fill(*corners, facecolor="white", edgecolor=INK, linewidth=0.4, hatch="////")
        elif kind == "circle":
            self.axes.add_artist(Round((x + 14, y), 4.5, fill=False, edgecolor=INK, linewidth=0.8 * NARROW, linestyle=(0, (4, 2))))
        elif kind == "cut":
            self.axes.add_artist(Line2D([x, x + 28], [y, y], color=INK, linewidth=0.35 * MM))
        else:
            super()._sample(kind, x, y)


def _step(most: float, units: str) -> float:
    """Return how many mm a tone stands for, so that the tones reach the deepest chip."""
    steps: Sequence[float] = INCH_STEPS if units == "in" else STEPS
    return next((step for step in steps if step * len(TONES) >= most), most / len(TONES) or 1.0)
