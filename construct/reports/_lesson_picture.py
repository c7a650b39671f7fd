"""The pictures of a lesson: small SVG, each thing drawn once in a store and shown by reference in every step.

How a thing looks in a picture (this step's, an earlier one's) is the style
sheet's affair; here it gets its place and its kind.  Numbers are in units of the
picture, its y running down, with one decimal: a twentieth of a narrow line.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from construct.phrasebook import say
from construct.reports import _words as words
from construct.reports._labels import Box, Put, Wish, place
from construct.reports._lesson_steps import Act, LessonStep
from construct.reports._pen import Place, Run, Sweep, dotted, inner_places
from construct.reports._shapes import Shapes, Spot, Stroke, Tag, shapes
from construct.study import Study

WIDTH = 480.0
TALLEST = 560.0
MARGIN = 26.0
RINGS_BY_MARKS = ((24, 3.4), (48, 2.8), (math.inf, 2.2))
"""A ring's radius, where there are up to so many marks."""

MARK_SIZE, LINE_SIZE, CHIP_SIZE = 14.0, 13.0, 10.5
WIDE = 0.62
"""A letter's mean width, as a part of its size: generous, since the reader's own typeface is not known."""

MOST_DESCRIBED = 14
MANY_CHIPS = 60
MANY_TURNS = 8
"""Marks made by one line of the recipe that are all named; of more, only the first turn's."""

FAR = 11.0
"""A name farther than this from its mark gets a leader line: nearer ones nobody mistakes."""

CHIP_RINGS = (0.0, 2.0, 4.0, 9.0, 13.0, 18.0)
FARTHER = (8.0, 12.0, 17.0, 23.0, 30.0)


@dataclass(frozen=True, slots=True)
class Use:
    """Something from the store in a picture. of: its id.  how: "earlier" or "fresh".  act: the action's number, 0 for none."""

    of: str
    how: str
    act: int = 0


@dataclass(frozen=True, slots=True)
class Label:
    """A name in a picture, about its middle. kind: "mark", "line" or "chip"; how and act as in `Use`; leader: a line to its mark."""

    text: str
    x: str
    y: str
    kind: str
    how: str
    act: int = 0
    leader: str = ""


@dataclass(frozen=True, slots=True)
class Picture:
    """One picture: what it shows, and the same in words."""

    title: str
    description: str
    uses: tuple[Use, ...]
    labels: tuple[Label, ...]


@dataclass(frozen=True, slots=True)
class Drawn:
    """An element of the store: a path's data, or a ring's place. kind: a stroke's, "mark", "chip" or "wood"."""

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

    ring: the radius of a mark's ring.  grain: the arrow's x, and its top, middle and foot; None where there is no grain.
    """

    width: str
    height: str
    ring: str
    grain: tuple[str, str, str, str] | None
    store: tuple[Group, ...]
    steps: tuple[Picture, ...]
    finished: Picture


def pictures(study: Study, steps: Sequence[LessonStep]) -> Pictures:
    """Return the pictures of a lesson's steps."""
    return _Pictures(study, steps).all()


@dataclass(frozen=True, slots=True)
class _Row:
    """A name that wants a place. key: the same in every picture.  act: the action that made it, 0 for an earlier step's."""

    wish: Wish
    kind: str
    key: tuple[str, int, str]
    act: int
    of: tuple[int, ...]


@dataclass(slots=True)
class _Pictures:
    study: Study
    steps: Sequence[LessonStep]
    shapes: Shapes = field(init=False)
    scale: float = field(init=False)
    height: float = field(init=False)
    ring: float = field(init=False)
    put: dict[tuple[str, int, str], Put] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.shapes = shapes(self.study)
        left, bottom, right, top = self.shapes.frame
        self.scale = min((WIDTH - 2 * MARGIN) / (right - left), (TALLEST - 2 * MARGIN) / (top - bottom))
        self.ring = next(radius for most, radius in RINGS_BY_MARKS if len(self.shapes.spots) <= most)
        self.height = (top - bottom) * self.scale + 2 * MARGIN

    def all(self) -> Pictures:
        made = tuple(self._step(number) for number in range(len(self.steps)))
        x = WIDTH - 9
        grain = None if self.study.plan.blank.form == "paper" else (_n(x), _n(12.0), _n(47.0), _n(82.0))
        return Pictures(_n(WIDTH), _n(self.height), _n(self.ring), grain, self._store(), made, self._finished())

    # --- places ---------------------------------------------------------------------------------

    def _at(self, at: Place) -> Place:
        """Return a place in the picture, its y still running up."""
        left, bottom, right, top = self.shapes.frame
        return WIDTH / 2 + (at[0] - (left + right) / 2) * self.scale, self.height / 2 + (at[1] - (bottom + top) / 2) * self.scale

    def _xy(self, at: Place) -> tuple[str, str]:
        x, y = self._at(at)
        return _n(x), _n(self.height - y)

    def _path(self, run: Run, sweep: Sweep | None, *, close: bool = False) -> str:
        if sweep is not None:
            return self._round(sweep)
        return "M" + "L".join(" ".join(self._xy(at)) for at in run) + ("Z" if close else "")

    def _round(self, sweep: Sweep) -> str:
        """Return a part of a circle as arcs of half a turn at most: each then has one meaning."""
        radius = _n(sweep.reach * self.scale)
        count = math.ceil(abs(sweep.sweep) / math.pi - 1e-9)
        turn = 0 if sweep.sweep > 0 else 1  # the picture's y runs down
        ends = [" ".join(self._xy(sweep.at(n / count))) for n in range(count + 1)]
        return f"M{ends[0]}" + "".join(f"A{radius} {radius} 0 0 {turn} {end}" for end in ends[1:])

    # --- the store ------------------------------------------------------------------------------

    def _store(self) -> tuple[Group, ...]:
        wood = [Drawn("wood" if self.shapes.blank else "sheet", self._path(self.shapes.blank or self._sheet(), None, close=True))]
        groups = [Group("wood", tuple(wood))]
        for step in self.steps:
            groups += [Group(_name(step, act), drawn) for act in step.acts if (drawn := self._drawn(step, act))]
        if self.shapes.regions:
            paths = ["".join(self._path(walk, None, close=True) for walk in region) for region in self.shapes.regions]
            groups.append(Group("chips", tuple(Drawn("chip", path) for path in paths)))
        return tuple(groups)

    def _sheet(self) -> Run:
        left, bottom, right, top = self.shapes.frame
        return (left, bottom), (right, bottom), (right, top), (left, top)

    def _drawn(self, step: LessonStep, act: Act) -> tuple[Drawn, ...]:
        strokes = [Drawn(stroke.kind, self._path(stroke.run, stroke.sweep)) for stroke in self._strokes(step, act)]
        rings = [Drawn("mark", at=self._xy(spot.at)) for spot in self.shapes.spots if spot.of[0] in act.things]
        return (*strokes, *rings)

    def _strokes(self, step: LessonStep, act: Act) -> list[Stroke]:
        if step.carves:
            return [stroke for stroke in self.shapes.strokes if stroke.kind in ("cut", "groove") and stroke.of in act.cuts]
        return [stroke for stroke in self.shapes.strokes if stroke.kind not in ("cut", "groove", "edge") and stroke.of in act.things]

    # --- one picture ----------------------------------------------------------------------------

    def _step(self, at: int) -> Picture:
        step = self.steps[at]
        uses = [Use("wood", "wood")]
        if step.carves and self.shapes.regions:
            uses.append(Use("chips", "fresh"))
        for one in self.steps[: at + 1]:
            how = "fresh" if one is step else "earlier"
            uses += [Use(_name(one, act), how, act.number if one is step else 0) for act in one.acts if self._drawn(one, act)]
        title = say("lesson.picture.title", number=step.number, title=step.title)
        labels = self._chip_numbers("fresh") if step.carves else self._labels(at)
        return Picture(title, self._words(at), tuple(uses), tuple(labels))

    def _finished(self) -> Picture:
        carved = any(step.carves for step in self.steps)
        uses = [Use("wood", "wood")]
        if self.shapes.regions:
            uses.append(Use("chips", "fresh"))
        for step in self.steps:
            how = "fresh" if step.carves or not carved else "earlier"
            uses += [Use(_name(step, act), how) for act in step.acts if self._drawn(step, act)]
        said = [self._blank(), *self._counts(self.steps)]
        return Picture(say("lesson.picture.finished"), " ".join(said), tuple(uses), tuple(self._chip_numbers("fresh")))

    def _labels(self, at: int) -> list[Label]:
        """Return the names in a step's picture; a name that has found its place keeps it in later ones."""
        step = self.steps[at]
        so_far = {index for one in self.steps[: at + 1] for index in one.things}
        act_of = {index: act.number for act in step.acts for index in act.things}
        shown = {index for act in step.acts for index in (act.things if len(act.things) <= MANY_TURNS else act.named)}
        used = {index for act in step.acts for index in act.uses}
        rows: list[_Row] = []
        for spot in self.shapes.spots:
            there = [index for index in spot.of if index in so_far]
            some = [index for index in there if index in shown | used or words.is_plain(self._called(index))]
            if some:
                rows.append(self._mark_row(spot, some, act_of))
        for tag in self.shapes.tags:
            if tag.of in shown or (tag.of in used and tag.of in so_far):
                rows.append(self._line_row(tag, act_of))
        rows.sort(key=lambda row: (row.act == 0, row.kind == "line"))
        self._find_places(rows, so_far)
        return [self._label(row, self.put[row.key]) for row in rows if row.key in self.put]

    def _called(self, index: int) -> str:
        return self.study.plan.things[index].name

    def _mark_row(self, spot: Spot, some: Sequence[int], act_of: dict[int, int]) -> _Row:
        text = ", ".join(dict.fromkeys(self._called(index) for index in some))
        wish = self._wish(text, MARK_SIZE, (spot.at,), (self.ring + 2.0, *FARTHER))
        return _Row(wish, "mark", ("mark", spot.of[0], text), act_of.get(some[-1], 0), tuple(some))

    def _line_row(self, tag: Tag, act_of: dict[int, int]) -> _Row:
        text = self._called(tag.of)
        wish = self._wish(text, LINE_SIZE, tag.anchors, (2.5, 5.0, 8.0), leads=False)
        return _Row(wish, "line", ("line", tag.of, text), act_of.get(tag.of, 0), (tag.of,))

    def _wish(self, text: str, size: float, anchors: Iterable[Place], rings: tuple[float, ...], *, leads: bool = True) -> Wish:
        width = max(1, len(text)) * size * WIDE
        return Wish(text, width, size * 0.8, tuple(self._at(at) for at in anchors), rings, leads)

    def _find_places(self, rows: Sequence[_Row], so_far: set[int]) -> None:
        """Find places for names that have none yet, clear of those that have."""
        fresh = [row for row in rows if row.key not in self.put]
        strong, light = self._points(so_far, {index for row in fresh for index in row.of})
        rings = [self._box(spot.at) for spot in self.shapes.spots if spot.of[0] in so_far]
        light += [self._at(spot.at) for spot in self.shapes.spots if spot.of[0] not in so_far] * 4
        kept = [self.put[row.key].box for row in rows if row.key in self.put]
        frame = (4.0, 4.0, WIDTH - 20, self.height - 4)
        for found in place([row.wish for row in fresh], frame, strong, light, [*rings, *kept]):
            self.put[fresh[found.wish].key] = found

    def _box(self, at: Place) -> Box:
        # smaller than the ring: a leader that starts in its middle must get out of it
        x, y = self._at(at)
        reach = 2.0
        return x - reach, y - reach, x + reach, y + reach

    def _points(self, so_far: set[int], fresh: set[int]) -> tuple[list[Place], list[Place]]:
        """Return points along the edge and this step's lines, which no name may cover, and along the others."""
        strong: list[Place] = []
        light: list[Place] = []
        for stroke in self.shapes.strokes:
            if stroke.kind in ("cut", "groove"):
                continue
            points = dotted([self._at(at) for at in stroke.run])
            (strong if stroke.kind == "edge" or stroke.of in fresh else light).extend(points)
        return strong, light

    def _label(self, row: _Row, found: Put) -> Label:
        left, bottom, right, _ = found.box
        text = row.wish.text
        leader = ""
        if found.leader is not None and math.dist(*found.leader) > FAR:
            (ax, ay), (bx, by) = found.leader
            part = (self.ring + 1) / math.dist(*found.leader)
            ax, ay = ax + (bx - ax) * part, ay + (by - ay) * part
            leader = f"M{_n(ax)} {_n(self.height - ay)}L{_n(bx)} {_n(self.height - by)}"
        shown = text if len(text) <= 30 else f"{text[:29]}…"
        how = "fresh" if row.act else "earlier"
        return Label(shown, _n((left + right) / 2), _n(self.height - bottom - 0.6), row.kind, how, row.act, leader)

    def _chip_numbers(self, how: str) -> list[Label]:
        carving = self.study.carving
        if carving is None or len(carving.chips) > MANY_CHIPS:
            return []
        wishes = []
        for chip, region in zip(carving.chips, self.shapes.regions, strict=True):
            text = str(chip.number)
            anchors = inner_places([self._at(at) for at in region[0]])
            wishes.append(Wish(text, len(text) * CHIP_SIZE * WIDE, CHIP_SIZE * 0.75, anchors, CHIP_RINGS, pull=4.0, clear=1.6))
        cuts = [stroke for stroke in self.shapes.strokes if stroke.kind in ("edge", "cut", "groove")]
        strong = [point for stroke in cuts for point in dotted([self._at(at) for at in stroke.run])]
        labels = []
        for put in place(wishes, (4.0, 4.0, WIDTH - 20, self.height - 4), strong, [], []):
            left, bottom, right, _ = put.box
            labels.append(Label(wishes[put.wish].text, _n((left + right) / 2), _n(self.height - bottom - 0.4), "chip", how))
        return labels

    # --- in words -------------------------------------------------------------------------------

    def _words(self, at: int) -> str:
        """Return a step's picture in words: what is new and where it lies, and how much is there already."""
        step = self.steps[at]
        new = self._cut_words() if step.carves else self._new(step)
        said = [self._blank()]
        said.append(say("lesson.picture.new", things=words.listed(new)) if new else say("lesson.picture.new_none"))
        return " ".join([*said, *self._counts(self.steps[:at])])

    def _blank(self) -> str:
        return say(f"lesson.picture.blank_{self.study.plan.blank.form}")

    def _counts(self, steps: Sequence[LessonStep]) -> list[str]:
        things = [self.study.plan.things[index] for step in steps for index in step.things]
        marks = sum(thing.kind == "mark" for thing in things)
        if not things:
            return []
        lines = say("lesson.picture.lines", count=len(things) - marks)
        return [say("lesson.picture.before", lines=lines, marks=say("lesson.picture.marks", count=marks))]

    def _new(self, step: LessonStep) -> list[str]:
        some = [index for act in step.acts for index in (act.things if len(act.things) <= MANY_TURNS else act.named)]
        said = [self._thing(index) for index in some[:MOST_DESCRIBED]]
        more = len(step.things) - len(said)
        return [*said, say("lesson.picture.more", count=more)] if more else said

    def _thing(self, index: int) -> str:
        name = words.plain(self._called(index))
        kind = self.study.plan.things[index].kind
        if kind == "mark":
            spot = next(spot for spot in self.shapes.spots if index in spot.of)
            return say("lesson.picture.mark", name=name, place=self._where(spot.at))
        mine = [stroke for stroke in self.shapes.strokes if stroke.of == index and stroke.kind not in ("cut", "groove")]
        if mine and mine[0].kind in ("line", "finder"):
            return say(f"lesson.picture.{_slope(mine[0].run)}", name=name)
        if mine and mine[0].kind == "circle" and mine[0].sweep is not None:
            percent = round(100 * 2 * mine[0].sweep.reach / (self.shapes.frame[2] - self.shapes.frame[0]))
            return say("lesson.picture.circle", name=name, percent=percent)
        return say("lesson.picture.curve" if kind == "curve" else "lesson.picture.arc", name=name)

    def _where(self, at: Place) -> str:
        """Return where a mark lies as on a clock face: its hour, and how far out."""
        left, bottom, right, top = self.shapes.frame
        x, y = (at[0] - (left + right) / 2) / (right - left) * 2, (at[1] - (bottom + top) / 2) / (top - bottom) * 2
        hour = round(math.atan2(x, y) / math.tau * 12) % 12 or 12
        out = math.hypot(x, y)
        if out < 0.02:
            return say("lesson.picture.middle")
        far = "inner" if out < 0.35 else "half" if out < 0.7 else "outer"
        return say(f"lesson.picture.{far}", hour=hour)

    def _cut_words(self) -> list[str]:
        carving = self.study.carving
        if carving is None:
            return []
        said = [say("lesson.picture.cuts", count=len(carving.pieces))] if carving.pieces else []
        said += [say("lesson.picture.grooves", count=len(carving.grooves))] if carving.grooves else []
        return [*said, say("lesson.picture.chips", count=len(carving.chips))] if carving.chips else said


def _name(step: LessonStep, act: Act) -> str:
    return f"draw-{step.number}-{act.number}"


def _slope(run: Run) -> str:
    """Return how a line runs, to the eye: within three degrees it is upright or level."""
    (ax, ay), (bx, by) = run[0], run[-1]
    angle = math.degrees(math.atan2(by - ay, bx - ax)) % 180
    if min(angle, 180 - angle) < 3:
        return "level"
    return "up" if abs(angle - 90) < 3 else "rising" if angle < 90 else "falling"


def _n(value: float) -> str:
    """Return a number with one decimal at most."""
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text
