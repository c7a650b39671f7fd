"""Lemoine's count of a construction: simplicity and exactitude, from the recipe's own actions.

E. Lemoine, Géométrographie (1902).  R1: the ruler's edge put on a given mark; R2: the line
drawn.  C1: a compass point put on a given mark; C2: on any place of a line; C3: the circle
drawn.  Simplicity S counts all, exactitude E only R1, C1 and C2: what a hand can place badly.
A mark set down anywhere costs nothing until it is used a second time.  One compass is
taken for granted: where a recipe uses a setting again after another, the count sets it anew.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from construct.plan import Plan, Step
from construct.tools import compass, opening, pencil, straightedge, tool_of

SUBSCRIPTS = {1: "₁", 2: "₂", 3: "₃"}

_LINES = (straightedge.through, straightedge.between)
_ARCS = (compass.arc_between, compass.arc_the_long_way)
_FREE_MARKS = (pencil.anywhere, pencil.outside_circle)
_MARKS = (pencil.crossing, pencil.crossings, pencil.contact, pencil.row)
_ANYWHERE, _ON_LINE = "anywhere", "on a line"


@dataclass(frozen=True, slots=True)
class LemoineCount:
    """How often each of Lemoine's five operations is done: l1·R1 + l2·R2 + m1·C1 + m2·C2 + m3·C3."""

    l1: int
    l2: int
    m1: int
    m2: int
    m3: int

    @property
    def simplicity(self) -> int:
        """S, all operations."""
        return self.l1 + self.l2 + self.m1 + self.m2 + self.m3

    @property
    def exactitude(self) -> int:
        """E, what is placed; S − E is what is drawn."""
        return self.l1 + self.m1 + self.m2

    @property
    def symbol(self) -> str:
        """The count as it is written: "2R₁ + R₂ + 2C₁ + 2C₃"."""
        parts = (("R", 1, self.l1), ("R", 2, self.l2), ("C", 1, self.m1), ("C", 2, self.m2), ("C", 3, self.m3))
        return " + ".join(f"{count if count > 1 else ''}{letter}{SUBSCRIPTS[number]}" for letter, number, count in parts if count) or "0"


@dataclass(frozen=True, slots=True)
class NoCount:
    """Why Lemoine's count says nothing here: the first action that is none of his.

    tool: the bench name of its tool.  action: in bench words.
    """

    tool: str
    action: str


def lemoine(plan: Plan, only: Collection[int] | None = None) -> LemoineCount | NoCount:
    """Return Lemoine's count of a plan.

    only: numbers of the steps that count; all where None.  The others are taken as done already.
    """
    counter = _Counter(plan)
    for step in plan.steps:
        counter.counting = only is None or step.number in only
        wrong = counter.take(step)
        if wrong is not None and counter.counting:
            return wrong
    return LemoineCount(counter.l1, counter.l2, counter.m1, counter.m2, counter.m3)


class _Counter:
    """Walks the steps, and remembers what a compass remembers.

    fresh: marks set down anywhere and not used yet, by how.  needle: where the needle stands since the last setting.
    held: the setting that the compass has.  settings: what each opening or circle was set by.
    swung: a circle drawn at each free setting, from which it can be taken again.
    """

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.counting = True
        self.l1 = self.l2 = self.m1 = self.m2 = self.m3 = 0
        self.fresh: dict[int, str] = {}
        self.needle: int | None = None
        self.held: int | None = None
        self.settings: dict[int, int] = {}
        self.free: set[int] = set()
        self.swung: set[int] = set()

    def take(self, step: Step) -> NoCount | None:
        """Count one step; say why not where it is none of Lemoine's operations."""
        make, things = step.phrase.make, step.arguments
        if make in _LINES:
            self._edge_on(things[0])
            self._edge_on(things[1])
            self._line_drawn()
        elif make is straightedge.anyhow:
            self._edge_on(things[0])
            self._line_drawn()
        elif make is compass.through or make in _ARCS:
            self._point_on(things[0])
            self._point_on(things[1])
            self._circle_drawn()
            self._set(step.outputs[0], step.outputs[0])
        elif make is compass.at_setting:
            self._swing(step)
        elif make is opening.to_marks:
            self._point_on(things[0])
            self._point_on(things[1])
            self._set(step.outputs[0], step.outputs[0])
            self.needle = things[0] if isinstance(things[0], int) else None
        elif make is opening.free:
            self._set(step.outputs[0], step.outputs[0])
            self.free.add(step.outputs[0])
        elif make in _FREE_MARKS:
            self.fresh[step.outputs[0]] = _ANYWHERE
        elif make is pencil.on_drawn:
            self.fresh[step.outputs[0]] = _ON_LINE
        elif make not in _MARKS and (tool := tool_of(step.phrase)):
            return NoCount(_named(step, tool), step.text)
        return None

    def _edge_on(self, mark: object) -> None:
        # an edge through a place that does not matter is no care at all
        if self.fresh.pop(mark, None) is None and self.counting:  # type: ignore[call-overload]
            self.l1 += 1

    def _line_drawn(self) -> None:
        self.l2 += self.counting

    def _point_on(self, mark: object) -> None:
        how = self.fresh.pop(mark, None)  # type: ignore[call-overload]
        if self.counting:
            self.m1 += how is None
            self.m2 += how == _ON_LINE

    def _circle_drawn(self) -> None:
        self.m3 += self.counting

    def _set(self, thing: int, setting: int) -> None:
        self.settings[thing] = self.held = setting
        self.needle = None

    def _swing(self, step: Step) -> None:
        centre, thing = step.arguments[0], step.arguments[1]
        assert isinstance(thing, int)
        setting = self.settings.get(thing, thing)
        if setting != self.held and self.counting and (setting not in self.free or setting in self.swung):
            # taken again: a free one from a circle drawn with it, needle in its middle, pencil anywhere on it
            self.m1 += 1 if setting in self.free else 2
            self.m2 += setting in self.free
        if self.needle is None or self.needle != centre:
            self._point_on(centre)
        self._circle_drawn()
        self.swung.add(setting)
        self._set(step.outputs[0], setting)


def _named(step: Step, tool: str) -> str:
    """Return the tool that stands in the way: a compass set by ruler needs a ruler."""
    return "ruler" if step.phrase.make in (opening.by_ruler, compass.inside_edge) else tool
