"""What a way costs the hand: how often a tool is placed, set, and drawn with.

One placing: a tool put to one mark, to one line or to the edge (a straightedge
at two marks: two).  One setting: a compass, dividers or a french curve brought
to what is asked.  One stroke: one line, arc, circle, curve, dash or dot.  A mark
where drawn lines cross is there already and costs nothing.  What trial and error
costs is judgement.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from construct.plan import Step
from construct.tools import (
    by_eye,
    centre_finder,
    circle_template,
    compass,
    dividers,
    french_curve,
    opening,
    pencil,
    ruler,
    square,
    straightedge,
)

TRIALS_OF_A_DIVISION = 2
"""Settings that a division by trial takes, each walked to its end.  Judgement: one to see how far off it is, one to mend it."""


@dataclass(frozen=True, slots=True)
class ToolMoves:
    """How often one tool is placed, set and drawn with."""

    tool: str
    placings: int
    settings: int
    strokes: int

    @property
    def total(self) -> int:
        """All of them."""
        return self.placings + self.settings + self.strokes


def _walk(count: int) -> tuple[ToolMoves, ...]:
    return (ToolMoves("dividers", count, 0, 0),)


def _division(count: int) -> tuple[ToolMoves, ...]:
    return (ToolMoves("dividers", TRIALS_OF_A_DIVISION * (count + 1), TRIALS_OF_A_DIVISION, 0),)


def _running(count: int) -> tuple[ToolMoves, ...]:
    return (ToolMoves("ruler", 1, 0, count),)


def _ticks(count: int) -> tuple[ToolMoves, ...]:
    return (ToolMoves("circle template", 1, 0, count),)


_LINE = (ToolMoves("straightedge", 2, 0, 1),)
_OPENED = (ToolMoves("compass", 1, 1, 1),)
_SET_OFF = (ToolMoves("ruler", 1, 0, 1),)
_SQUARE = (ToolMoves("square", 2, 0, 1),)
_CURVE = (ToolMoves("french curve", 2, 1, 1),)
_DOT = (ToolMoves("pencil", 0, 0, 1),)
_EYE = (ToolMoves("eye", 0, 0, 1),)
_NOTHING: tuple[ToolMoves, ...] = ()

_BY_MAKE: dict[Callable[..., Any], tuple[ToolMoves, ...]] = {
    **dict.fromkeys((straightedge.through, straightedge.between, straightedge.touching), _LINE),
    straightedge.anyhow: (ToolMoves("straightedge", 1, 0, 1),),
    compass.at_setting: (ToolMoves("compass", 1, 0, 1),),
    **dict.fromkeys(
        (compass.through, compass.touching, compass.touching_from_outside, compass.touching_from_inside,
         compass.arc_between, compass.arc_the_long_way), _OPENED,
    ),
    # a mark is set in from the edge first, then the compass opened to it
    compass.inside_edge: (*_SET_OFF, *_OPENED),
    **dict.fromkeys((opening.to_marks, opening.by_ruler, opening.free), (ToolMoves("compass", 0, 1, 0),)),
    ruler.length: (ToolMoves("ruler", 1, 0, 0),),
    # read, halve in the head, set off: the ruler lies as it lay
    **dict.fromkeys((ruler.halfway, ruler.from_toward, ruler.from_along, ruler.outside, ruler.inside), _SET_OFF),
    # two widths set off, and a line through the two dashes
    ruler.parallel: (ToolMoves("ruler", 4, 0, 3),),
    **dict.fromkeys(
        (centre_finder.along_grain, centre_finder.across_grain, centre_finder.at_angle, centre_finder.anywhere),
        (ToolMoves("centre finder", 1, 0, 1),),
    ),
    **dict.fromkeys((square.square_at, square.square_through, square.parallel_through), _SQUARE),
    square.legs: (ToolMoves("square", 1, 0, 2),),
    **dict.fromkeys((circle_template.about, circle_template.across), (ToolMoves("circle template", 1, 0, 1),)),
    **dict.fromkeys(
        (french_curve.along_toward, french_curve.along_along, french_curve.toward_toward, french_curve.toward_along, french_curve.mirrored),
        _CURVE,
    ),
    **dict.fromkeys((by_eye.between, by_eye.parallel, by_eye.curve), _EYE),
    **dict.fromkeys((pencil.crossing, pencil.crossings, pencil.contact, pencil.row), _NOTHING),
    **dict.fromkeys((pencil.on_drawn, pencil.outside_circle, pencil.anywhere), _DOT),
}  # fmt: skip
_BY_COUNT: dict[Callable[..., Any], Callable[[int], tuple[ToolMoves, ...]]] = {
    dividers.round_left: _walk,
    dividers.round_right: _walk,
    dividers.along_line: _walk,
    dividers.dividing: _division,
    ruler.every: _running,
    circle_template.ticks: _ticks,
}


def counts(step: Step) -> tuple[ToolMoves, ...]:
    """Return what one step costs; nothing for marks that are given."""
    counted = _BY_COUNT.get(step.phrase.make)
    return counted(len(step.outputs)) if counted is not None else _BY_MAKE.get(step.phrase.make, _NOTHING)


def knows(make: object) -> bool:
    """Tell whether the cost of a phrase's `make` is known."""
    return make in _BY_MAKE or make in _BY_COUNT


def moves_of(steps: Iterable[Step]) -> tuple[ToolMoves, ...]:
    """Return what some steps cost, a record a tool, in the order of first use."""
    found: dict[str, ToolMoves] = {}
    for step in steps:
        for one in counts(step):
            had = found.get(one.tool, ToolMoves(one.tool, 0, 0, 0))
            found[one.tool] = ToolMoves(
                one.tool, had.placings + one.placings, had.settings + one.settings, had.strokes + one.strokes
            )
    return tuple(found.values())
