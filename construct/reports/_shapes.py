"""A study's drawn floats as strokes, regions, spots and tags in mm, ready for a pen; knows no drawing library.

Which arcs are drawn short and how large the sheet is are settled here.  All
numbers are *estimates* for the eye.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from construct.chips import Piece
from construct.geometry import Circle, Curve, Line, Point
from construct.plan import EDGE, Plan, Step
from construct.reports._pen import Frame, Place, Run, Sweep, Window, around, between, clipped, curve_run, ended, short, whole, window_of
from construct.study import Study

SHORT_DEG = 8.0
SHORT_MM = 6.0
"""How far an arc without ends is drawn either side of a mark made on it: the larger of the two."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """One run of the pen.

    kind: "edge", "line", "finder", "circle", "arc", "curve", "cut" or "groove".
    of: the index of the thing drawn; of a cut, that of its line in `plan.carving`; -1 for the edge.
    sweep: the same as a part of a circle, where it is one.
    """

    kind: str
    run: Run
    of: int = -1
    sweep: Sweep | None = None


@dataclass(frozen=True, slots=True)
class Spot:
    """A mark, with the names it goes by, and the indices of the marks that lie there."""

    names: tuple[str, ...]
    at: Place
    of: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Tag:
    """The name of something drawn, places on it where the name may stand, and its index."""

    name: str
    anchors: tuple[Place, ...]
    of: int = -1


@dataclass(frozen=True, slots=True)
class Shapes:
    """Everything in a picture.

    blank: the outline of the wood, empty on paper.  frame: the box round all that is drawn.
    regions: outlines of the chips, each with its holes.
    """

    blank: Run
    frame: Frame
    strokes: tuple[Stroke, ...]
    regions: tuple[tuple[Run, ...], ...]
    spots: tuple[Spot, ...]
    tags: tuple[Tag, ...]


def shapes(study: Study) -> Shapes:
    """Return what a picture of the study shows."""
    plan, drawn = study.plan, study.drawn
    spots = _spots(plan, drawn)
    marks = _marks_by_circle(plan, drawn)
    paper = drawn[EDGE] is None
    window = _sheet(plan, drawn, marks, [spot.at for spot in spots]) if paper else window_of(drawn[EDGE])
    strokes: list[Stroke] = [] if paper else [Stroke("edge", window.outline)]
    tags: list[Tag] = []
    for step in plan.steps:
        for index in step.outputs:
            made = _strokes_of(step, index, drawn[index], marks.get(index, ()), window)
            strokes += made
            if made and not step.hidden:
                tags.append(Tag(plan.things[index].name, _anchors(made), index))
    cuts, regions = _carved(study, window)
    return Shapes(() if paper else window.outline, window.frame, (*strokes, *cuts), regions, spots, tuple(tags))


def _spots(plan: Plan, drawn: Sequence[Any]) -> tuple[Spot, ...]:
    """Return the marks; those that fall on one another share a spot."""
    together: dict[tuple[int, int], list[int]] = {}
    for index, thing in enumerate(plan.things):
        point = drawn[index]
        if thing.kind == "mark" and isinstance(point, Point):
            x, y = round(point.x * 1e5), round(point.y * 1e5)
            near = next((key for dx in (0, -1, 1) for dy in (0, -1, 1) if (key := (x + dx, y + dy)) in together), (x, y))
            members = together.setdefault(near, [])
            if not any(plan.things[other].name == thing.name for other in members):
                members.append(index)
    return tuple(
        Spot(tuple(plan.things[index].name for index in members), (drawn[members[0]].x, drawn[members[0]].y), tuple(members))
        for members in together.values()
    )


def _anchors(strokes: Iterable[Stroke]) -> tuple[Place, ...]:
    """Return places for a name: a line's ends first, then along it; all round a circle."""
    places: list[Place] = []
    for stroke in strokes:
        run = stroke.run
        if stroke.kind in ("line", "finder"):
            (ax, ay), (bx, by) = run[0], run[-1]
            places += [(ax + (bx - ax) * part, ay + (by - ay) * part) for part in (1.0, 0.0, 0.85, 0.15, 0.7, 0.3, 0.6, 0.4)]
        else:
            count = min(len(run) - 1, 48)
            places += [run[n * (len(run) - 1) // count] for n in range(count + 1)]
    return tuple(places)


def _strokes_of(step: Step, index: int, made: object, marks: Sequence[Place], window: Window) -> list[Stroke]:
    if isinstance(made, Line):
        run = clipped(made, window)
        return [Stroke("finder" if "centre finder" in step.phrase.text else "line", run, index)] if run else []
    if isinstance(made, Curve):
        return [Stroke("curve", curve_run(made), index)]
    if not isinstance(made, Circle):
        return []
    kind, sweeps = "circle", [whole(made)]
    if made.turn:
        kind, sweeps = "arc", [ended(made)]
    elif step.phrase.text.startswith("arc") and marks:
        kind, sweeps = "arc", short(made, marks, SHORT_DEG, SHORT_MM)
    return [Stroke(kind, run, index, part) for sweep in sweeps
            for run, part in zip(sweep.inside(window), sweep.within(window), strict=True)]  # fmt: skip


def _marks_by_circle(plan: Plan, drawn: Sequence[Any]) -> dict[int, list[Place]]:
    """Return, for each circle, the marks that were made on it."""
    found: dict[int, list[Place]] = {}
    for step in plan.steps:
        points = [(drawn[index].x, drawn[index].y) for index in step.outputs if isinstance(drawn[index], Point)]
        for argument in step.arguments if points else ():
            circle = drawn[argument] if isinstance(argument, int) else None
            if isinstance(circle, Circle):
                centre, reach = (circle.centre.x, circle.centre.y), math.sqrt(circle.square)
                found.setdefault(argument, []).extend(  # type: ignore[arg-type]
                    point for point in points if abs(math.dist(point, centre) - reach) <= 1e-6 * reach
                )
    return found


def _sheet(plan: Plan, drawn: Sequence[Any], marks: dict[int, list[Place]], places: list[Place]) -> Window:
    """Return the part of the paper that is shown: all marks, whole circles and curves, and a margin."""
    places = list(places)
    for step in plan.steps:
        for index in step.outputs:
            made = drawn[index]
            if isinstance(made, Curve):
                places += curve_run(made)
            elif isinstance(made, Circle) and made.turn:
                places += ended(made).run
            elif isinstance(made, Circle) and not (step.phrase.text.startswith("arc") and marks.get(index)):
                places += whole(made).run
    left, bottom, right, top = around(places or [(-50.0, -50.0), (50.0, 50.0)])
    size = max(right - left, top - bottom) or 1.0
    across, along = (max((last - first) / 2, 0.2 * size) + 0.08 * size for first, last in ((left, right), (bottom, top)))
    return Window((left + right) / 2, (bottom + top) / 2, across, along, False)


def _carved(study: Study, window: Window) -> tuple[list[Stroke], tuple[tuple[Run, ...], ...]]:
    """Return the strokes of cuts and grooves, and the outlines of the chips."""
    carving = study.carving
    if carving is None:
        return [], ()
    to_float = study.exact.to_float

    def place(point: Point) -> Place:
        return to_float(point.x), to_float(point.y)

    def piece_stroke(kind: str, piece: Piece) -> Stroke:
        thing = study.drawn[piece.thing]
        ends = None if piece.start is None or piece.finish is None else (place(piece.start), place(piece.finish))
        run: Run
        sweep = None
        if isinstance(thing, Circle):
            middle = thing.centre.x, thing.centre.y
            sweep = whole(thing) if ends is None else between(middle, *ends, 1)
            run = sweep.run
        elif isinstance(thing, Line):
            run = clipped(thing, window) if ends is None else ends
        else:
            # a part of a french curve is not drawn apart from the whole: its chips' own edges follow it
            run = curve_run(thing)
        return Stroke(kind, run, piece.line, sweep)

    def walk_run(walk: Sequence[Any]) -> Run:
        run: list[Place] = []
        for edge in walk:
            start, finish = place(edge.start), place(edge.finish)
            run += between(place(edge.circle.centre), start, finish, edge.sense).run if edge.circle is not None else (start, finish)
        return tuple(run)

    strokes = [piece_stroke("cut", piece) for piece in carving.pieces]
    strokes += [piece_stroke("groove", groove.piece) for groove in carving.grooves]
    return [stroke for stroke in strokes if stroke.run], tuple(tuple(walk_run(walk) for walk in chip.walks) for chip in carving.chips)
