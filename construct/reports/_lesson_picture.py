"""The pictures of a lesson: small SVG, each thing drawn once in a store and shown by reference in every step.

How a thing looks in a picture (this step's, an earlier one's) is the style
sheet's affair; here it gets its place and its kind.  Numbers are in units of the
picture, its y running down, with one decimal: a twentieth of a narrow line.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from construct.phrasebook import say
from construct.reports import _words as words
from construct.reports._lesson_described import finished_words, step_words
from construct.reports._lesson_names import DETAIL, LARGE, Label, Names, Sheet, detail_sheet, number
from construct.reports._lesson_steps import Act, LessonStep
from construct.reports._pen import Run, Sweep
from construct.reports._shapes import Shapes, Stroke, shapes
from construct.study import Study

WIDTH = 480.0
TALLEST = 560.0
MARGIN = 26.0
ARROW = (12.0, 47.0, 82.0)
"""The grain arrow's top, middle and foot."""

RINGS = ((24, "wide", 3.4), (48, "middling", 2.8), (math.inf, "narrow", 2.2))
"""A ring's name and radius, where there are up to so many marks."""

DETAIL_RING = 3.4


@dataclass(frozen=True, slots=True)
class Use:
    """Something from the store in a picture. of: its id.  how: "earlier" or "fresh".  act: the action's number, 0 for none."""

    of: str
    how: str
    act: int = 0


@dataclass(frozen=True, slots=True)
class Detail:
    """A part of a step's picture, several times as large.

    x, y: where the picture's corner comes to lie in it.  labels: its names; large: the same in large print.
    """

    title: str
    size: str
    times: int
    x: str
    y: str
    labels: tuple[Label, ...]
    large: tuple[Label, ...]


@dataclass(frozen=True, slots=True)
class Picture:
    """One picture: what it shows, and the same in words.

    labels: its names; large: the same in large print.  detail: None where it shows everything well enough itself.
    """

    title: str
    description: str
    uses: tuple[Use, ...]
    labels: tuple[Label, ...]
    large: tuple[Label, ...]
    detail: Detail | None = None


@dataclass(frozen=True, slots=True)
class Drawn:
    """An element of the store: a path's data, or a ring's place. kind: a stroke's, "mark", "chip", "wood" or "sheet"."""

    kind: str
    path: str = ""
    at: tuple[str, str] = ("", "")


@dataclass(frozen=True, slots=True)
class Group:
    """What one action draws, under an id that pictures refer to."""

    name: str
    drawn: tuple[Drawn, ...]


@dataclass(frozen=True, slots=True)
class Pictures:
    """All pictures of a lesson: their common size, the store, one picture a step, and the finished layout.

    rings: how wide marks are drawn; ring: their radius, for readers without that style.
    grain: the arrow's x, and its top, middle and foot; None where there is no grain.
    """

    width: str
    height: str
    rings: str
    ring: str
    grain: tuple[str, str, str, str] | None
    store: tuple[Group, ...]
    steps: tuple[Picture, ...]
    finished: Picture


def pictures(study: Study, steps: Sequence[LessonStep]) -> Pictures:
    """Return the pictures of a lesson's steps."""
    return _Pictures(study, steps).all()


@dataclass(slots=True)
class _Pictures:
    study: Study
    steps: Sequence[LessonStep]
    shapes: Shapes = field(init=False)
    sheet: Sheet = field(init=False)
    names: tuple[Names, Names] = field(init=False)
    drawn: dict[str, tuple[Drawn, ...]] = field(init=False)

    def __post_init__(self) -> None:
        self.shapes = shapes(self.study)
        left, bottom, right, top = self.shapes.frame
        scale = min((WIDTH - 2 * MARGIN) / (right - left), (TALLEST - 2 * MARGIN) / (top - bottom))
        self.sheet = Sheet(self.shapes.frame, WIDTH, (top - bottom) * scale + 2 * MARGIN, scale, right=16.0)
        self.names = self._names(self.sheet, self._ring()[1])
        acts = [(step, act) for step in self.steps for act in step.acts]
        self.drawn = {_name(step, act): drawn for step, act in acts if (drawn := self._drawn(step, act))}

    def _names(self, sheet: Sheet, ring: float) -> tuple[Names, Names]:
        """Return the names as usual, and in large print."""
        return Names(self.study, self.shapes, sheet, ring), Names(self.study, self.shapes, sheet, ring, LARGE)

    def _ring(self) -> tuple[str, float]:
        return next((name, radius) for most, name, radius in RINGS if len(self.shapes.spots) <= most)

    def all(self) -> Pictures:
        made = tuple(self._step(at) for at in range(len(self.steps)))
        top, middle, foot = map(number, ARROW)
        grain = None if self.study.plan.blank.form == "paper" else (number(WIDTH - 9), top, middle, foot)
        rings, ring = self._ring()
        return Pictures(number(WIDTH), number(self.sheet.height), rings, number(ring), grain, self._store(), made, self._finished())

    # --- the store ------------------------------------------------------------------------------

    def _store(self) -> tuple[Group, ...]:
        wood = Drawn("wood" if self.shapes.blank else "sheet", self._path(self.shapes.blank or self._paper(), None, close=True))
        groups = [Group("wood", (wood,)), *(Group(name, drawn) for name, drawn in self.drawn.items())]
        if self.shapes.regions:
            paths = ["".join(self._path(walk, None, close=True) for walk in region) for region in self.shapes.regions]
            groups.append(Group("chips", tuple(Drawn("chip", path) for path in paths)))
        return tuple(groups)

    def _paper(self) -> Run:
        left, bottom, right, top = self.shapes.frame
        return (left, bottom), (right, bottom), (right, top), (left, top)

    def _drawn(self, step: LessonStep, act: Act) -> tuple[Drawn, ...]:
        strokes = [Drawn(stroke.kind, self._path(stroke.run, stroke.sweep)) for stroke in self._strokes(step, act)]
        rings = [Drawn("mark", at=self.sheet.xy(spot.at)) for spot in self.shapes.spots if spot.of[0] in act.things]
        return (*strokes, *rings)

    def _strokes(self, step: LessonStep, act: Act) -> list[Stroke]:
        if step.carves:
            return [stroke for stroke in self.shapes.strokes if stroke.kind in ("cut", "groove") and stroke.of in act.cuts]
        return [stroke for stroke in self.shapes.strokes if stroke.kind not in ("cut", "groove", "edge") and stroke.of in act.things]

    def _path(self, run: Run, sweep: Sweep | None, *, close: bool = False) -> str:
        if sweep is not None:
            return self._round(sweep)
        return "M" + "L".join(" ".join(self.sheet.xy(at)) for at in run) + ("Z" if close else "")

    def _round(self, sweep: Sweep) -> str:
        """Return a part of a circle as arcs of half a turn at most: each then has one meaning."""
        radius = number(sweep.reach * self.sheet.scale)
        count = max(1, math.ceil(abs(sweep.sweep) / math.pi - 1e-9))
        turn = 0 if sweep.sweep > 0 else 1  # the picture's y runs down
        ends = [" ".join(self.sheet.xy(sweep.at(n / count))) for n in range(count + 1)]
        return f"M{ends[0]}" + "".join(f"A{radius} {radius} 0 0 {turn} {end}" for end in ends[1:])

    # --- one picture ----------------------------------------------------------------------------

    def _step(self, at: int) -> Picture:
        step = self.steps[at]
        uses = [Use("wood", "wood")]
        if step.carves and self.shapes.regions:
            uses.append(Use("chips", "fresh"))
        for one in self.steps[: at + 1]:
            mine = one is step
            uses += [Use(_name(one, act), "fresh" if mine else "earlier", act.number if mine else 0)
                     for act in one.acts if _name(one, act) in self.drawn]  # fmt: skip
        title = say("lesson.picture.title", number=step.number, title=words.plain(step.title))
        labels = [tuple(names.of_chips() if step.carves else names.of_step(self.steps, at)) for names in self.names]
        described = step_words(self.study, self.shapes, self.steps, at)
        return Picture(title, described, tuple(uses), *labels, self._detail(at))

    def _detail(self, at: int) -> Detail | None:
        step = self.steps[at]
        found = detail_sheet(self.shapes, step, self.sheet)
        if found is None:
            return None
        sheet, times = found
        left, bottom, right, top = sheet.frame
        x, y = self.sheet.at(((left + right) / 2, (bottom + top) / 2))
        labels = [tuple(names.of_step(self.steps, at, first_turn=True)) for names in self._names(sheet, DETAIL_RING)]
        corner = number(DETAIL / 2 - x * times), number(DETAIL / 2 - (self.sheet.height - y) * times)
        title = say("lesson.picture.detail", number=step.number, times=times)
        return Detail(title, number(DETAIL), times, *corner, *labels)

    def _finished(self) -> Picture:
        carved = any(step.carves for step in self.steps)
        uses = [Use("wood", "wood")]
        if self.shapes.regions:
            uses.append(Use("chips", "fresh"))
        for step in self.steps:
            how = "fresh" if step.carves or not carved else "earlier"
            uses += [Use(_name(step, act), how) for act in step.acts if _name(step, act) in self.drawn]
        described = finished_words(self.study, self.steps)
        numbers = [tuple(names.of_chips()) for names in self.names]
        return Picture(say("lesson.picture.finished"), described, tuple(uses), *numbers)


def _name(step: LessonStep, act: Act) -> str:
    return f"draw-{step.number}-{act.number}"
