"""The names in a lesson's pictures: which are shown in a step, and where each stands, the same place in every picture.

Also the detail: where what a step draws is small beside the plate, its first
turn is shown again, several times as large.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from construct.reports import _words as words
from construct.reports._labels import Box, Put, Wish, place
from construct.reports._lesson_steps import LessonStep
from construct.reports._pen import Frame, Place, around, dotted, inner_places
from construct.reports._shapes import Shapes, Spot, Stroke, Tag
from construct.study import Study

MARK_SIZE, LINE_SIZE, CHIP_SIZE = 14.0, 13.0, 10.5
LARGE = 1.4
"""How many times as large names are in large print; they are placed anew for it."""

WIDE = 0.62
"""A letter's mean width, as a part of its size: generous, since the reader's own typeface is not known."""

LONGEST = 30
MANY_CHIPS = 60
FAR = 11.0
"""A name farther than this from its mark gets a leader line: nearer ones nobody mistakes."""

CHIP_RINGS = (0.0, 2.0, 4.0, 9.0, 13.0, 18.0)
FARTHER = (8.0, 12.0, 17.0, 23.0, 30.0)
ALONG = (2.5, 5.0, 8.0)

DETAIL = 240.0
ROOM = 62.0
"""The detail's width, and how much of it is kept for names, in its own units."""

TIMES = (8, 5, 3)
"""How many times as large a detail may be."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """Where things come to lie in a picture: the box of wood that is shown, the picture's size, and its scale in units a mm.

    right: how much of its right side is kept free.
    """

    frame: Frame
    width: float
    height: float
    scale: float
    right: float = 0.0

    def at(self, at: Place) -> Place:
        """Return a place in the picture, its y still running up."""
        left, bottom, right, top = self.frame
        return self.width / 2 + (at[0] - (left + right) / 2) * self.scale, self.height / 2 + (at[1] - (bottom + top) / 2) * self.scale

    def xy(self, at: Place) -> tuple[str, str]:
        """Return a place as the picture writes it."""
        x, y = self.at(at)
        return number(x), number(self.height - y)

    @property
    def room(self) -> Box:
        """Where names may stand."""
        return 4.0, 4.0, self.width - 4 - self.right, self.height - 4


@dataclass(frozen=True, slots=True)
class Label:
    """A name in a picture, about its middle. kind: "mark", "line" or "chip"; how: "earlier" or "fresh"; act: that made it, 0 for none.

    leader: a line to its mark, "" where it stands beside it.
    """

    text: str
    x: str
    y: str
    kind: str
    how: str
    act: int = 0
    leader: str = ""


@dataclass(frozen=True, slots=True)
class _Row:
    """A name that wants a place. key: the same in every picture.  act: the action that made it, 0 for an earlier step's."""

    wish: Wish
    kind: str
    key: tuple[str, int, str]
    act: int
    of: tuple[int, ...]


@dataclass(slots=True)
class Names:
    """The names in pictures on one sheet; a name that has found its place keeps it in later pictures.

    ring: the radius of a mark's ring.  size: how many times as large as usual names are.
    """

    study: Study
    shapes: Shapes
    sheet: Sheet
    ring: float
    size: float = 1.0
    put: dict[tuple[str, int, str], Put] = field(default_factory=dict)

    def of_step(self, steps: Sequence[LessonStep], at: int, *, first_turn: bool = False) -> list[Label]:
        """Return the names in a step's picture; first_turn: only of what its first turns draw and start from."""
        step = steps[at]
        so_far = {index for one in steps[: at + 1] for index in one.things}
        act_of = {index: act.number for act in step.acts for index in act.things}
        shown = {index for act in step.acts for index in act.named} if first_turn else set(step.named)
        used = {index for act in step.acts for index in act.uses}
        rows: list[_Row] = []
        for spot in self.shapes.spots:
            there = [index for index in spot.of if index in so_far]
            plain = () if first_turn else (index for index in there if words.is_plain(self._called(index)))
            wanted = (shown | used).union(plain)
            if some := [index for index in there if index in wanted]:
                rows.append(self._mark_row(spot, some, act_of))
        for tag in self.shapes.tags:
            if tag.of in shown or (tag.of in used and tag.of in so_far):
                rows.append(self._line_row(tag, act_of))
        rows.sort(key=lambda row: (row.act == 0, row.kind == "line"))
        self._find_places(rows, so_far)
        return [self._label(row, self.put[row.key]) for row in rows if row.key in self.put]

    def of_chips(self) -> list[Label]:
        """Return the chips' numbers, in the chips where there is room."""
        carving = self.study.carving
        if carving is None or len(carving.chips) > MANY_CHIPS:
            return []
        wishes = []
        for chip, region in zip(carving.chips, self.shapes.regions, strict=True):
            text = str(chip.number)
            anchors = inner_places([self.sheet.at(at) for at in region[0]])
            size = CHIP_SIZE * self.size
            wishes.append(Wish(text, len(text) * size * WIDE, size * 0.75, anchors, CHIP_RINGS, pull=4.0, clear=1.6))
        cuts = [stroke for stroke in self.shapes.strokes if stroke.kind in ("edge", "cut", "groove")]
        labels = []
        for put in place(wishes, self.sheet.room, self._points(cuts), [], []):
            left, bottom, right, _ = put.box
            x, y = number((left + right) / 2), number(self.sheet.height - bottom - 0.4)
            labels.append(Label(wishes[put.wish].text, x, y, "chip", "fresh"))
        return labels

    def _called(self, index: int) -> str:
        return self.study.plan.things[index].name

    def _mark_row(self, spot: Spot, some: Sequence[int], act_of: dict[int, int]) -> _Row:
        text = ", ".join(dict.fromkeys(self._called(index) for index in some))
        wish = self._wish(text, MARK_SIZE, (spot.at,), (self.ring + 2.0, *FARTHER))
        return _Row(wish, "mark", ("mark", spot.of[0], text), act_of.get(some[-1], 0), tuple(some))

    def _line_row(self, tag: Tag, act_of: dict[int, int]) -> _Row:
        text = self._called(tag.of)
        wish = self._wish(text, LINE_SIZE, tag.anchors, ALONG, leads=False)
        return _Row(wish, "line", ("line", tag.of, text), act_of.get(tag.of, 0), (tag.of,))

    def _wish(self, text: str, size: float, anchors: Iterable[Place], rings: tuple[float, ...], *, leads: bool = True) -> Wish:
        size *= self.size
        width = max(1, len(text)) * size * WIDE
        return Wish(text, width, size * 0.8, tuple(self.sheet.at(at) for at in anchors), rings, leads)

    def _find_places(self, rows: Sequence[_Row], so_far: set[int]) -> None:
        """Find places for names that have none yet, clear of those that have."""
        fresh = [row for row in rows if row.key not in self.put]
        mine = {index for row in fresh for index in row.of}
        drawn = [stroke for stroke in self.shapes.strokes if stroke.kind not in ("cut", "groove")]
        strong = self._points(stroke for stroke in drawn if stroke.kind == "edge" or stroke.of in mine)
        light = self._points(stroke for stroke in drawn if stroke.kind != "edge" and stroke.of not in mine)
        # a mark that is made later may be covered, but would rather not
        light += [self.sheet.at(spot.at) for spot in self.shapes.spots if spot.of[0] not in so_far] * 4
        taken = [self._box(spot.at) for spot in self.shapes.spots if spot.of[0] in so_far]
        taken += [self.put[row.key].box for row in rows if row.key in self.put]
        for found in place([row.wish for row in fresh], self.sheet.room, strong, light, taken):
            self.put[fresh[found.wish].key] = found

    def _box(self, at: Place) -> Box:
        # smaller than the ring: a leader that starts in its middle must get out of it
        x, y = self.sheet.at(at)
        return x - 2.0, y - 2.0, x + 2.0, y + 2.0

    def _points(self, strokes: Iterable[Stroke]) -> list[Place]:
        width, height = self.sheet.width, self.sheet.height
        every = (point for stroke in strokes for point in dotted([self.sheet.at(at) for at in stroke.run]))
        return [point for point in every if 0 <= point[0] <= width and 0 <= point[1] <= height]

    def _label(self, row: _Row, found: Put) -> Label:
        left, bottom, right, _ = found.box
        text = row.wish.text
        leader = ""
        height = self.sheet.height
        if found.leader is not None and math.dist(*found.leader) > FAR:
            (ax, ay), (bx, by) = found.leader
            part = (self.ring + 1) / math.dist(*found.leader)
            ax, ay = ax + (bx - ax) * part, ay + (by - ay) * part
            leader = f"M{number(ax)} {number(height - ay)}L{number(bx)} {number(height - by)}"
        shown = text if len(text) <= LONGEST else f"{text[: LONGEST - 1]}…"
        how = "fresh" if row.act else "earlier"
        return Label(shown, number((left + right) / 2), number(height - bottom - 0.6), row.kind, how, row.act, leader)


def detail_sheet(shapes: Shapes, step: LessonStep, whole: Sheet) -> tuple[Sheet, int] | None:
    """Return the sheet of a step's detail and how many times as large it is; None where the step's own picture shows it well."""
    first = {index for act in step.acts for index in act.named}
    if step.carves or not first:
        return None
    places = [spot.at for spot in shapes.spots if first & set(spot.of)]
    places += [at for stroke in shapes.strokes if stroke.of in first and stroke.kind not in ("cut", "groove") for at in stroke.run]
    if not places:
        return None
    left, bottom, right, top = around(places)
    extent = max(right - left, top - bottom) * whole.scale
    times = next((times for times in TIMES if extent * times <= DETAIL - 2 * ROOM), None)
    if times is None or extent == 0:
        return None
    return Sheet((left, bottom, right, top), DETAIL, DETAIL, whole.scale * times), times


def number(value: float) -> str:
    """Return a number with one decimal at most."""
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text
