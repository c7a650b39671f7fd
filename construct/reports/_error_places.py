"""Errors as shapes in mm, ready for a pen: ellipses at marks and bands along edges, drawn larger by a stated factor.

Knows no drawing library.  All numbers are *estimates* for the eye.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from construct.geometry import Circle, Curve
from construct.reports import _error_words as hand
from construct.reports import _words as words
from construct.reports._pen import Place, Run, between, curve_run
from construct.study import Study

if TYPE_CHECKING:
    from construct.errors.budget import EdgeBudget, MarkBudget, StationBudget

FACTORS = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)
ELLIPSE_PART = 0.07
BAND_PART = 0.012
"""How large an ellipse's longer half, or half a band, may be drawn, as a part of the picture's width."""

MOST_MARKS = 24
STEPS = 16
"""Pieces of an edge between two of its stations."""


@dataclass(frozen=True, slots=True)
class Spread:
    """A mark's 95 % ellipse, drawn larger. reach_mm: the true longer half."""

    name: str
    at: Place
    outline: Run
    reach_mm: float


@dataclass(frozen=True, slots=True)
class Band:
    """Both sides of an edge, as far off as 19 times in 20 it is not farther, drawn larger.

    run: the edge itself.  most_mm: the largest true U along it, the knife's entry included.
    parts: the band's outlines, each with the number of what an eye sees there (see `BANDS`).
    """

    run: Run
    parts: tuple[tuple[int, Run], ...]
    most_mm: float
    groove: bool


def factor(most_mm: float, room_mm: float) -> int:
    """Return how many times larger to draw lengths of which the largest is `most_mm`, so that it fits in `room_mm`."""
    return max((one for one in FACTORS if one * most_mm <= room_mm), default=1)


def shown_marks(study: Study) -> tuple[MarkBudget, ...]:
    """Return the marks whose ellipses are drawn: those with a plain name, else all; a picture's worth at most."""
    assert study.errors is not None
    able = [mark for mark in study.errors.marks if mark.ellipse is not None]
    plain = [mark for mark in able if words.is_plain(mark.name)]
    return tuple((plain or able)[:MOST_MARKS])


def spreads(marks: Sequence[MarkBudget], times: float) -> list[Spread]:
    """Return the ellipses of some marks, `times` larger than they are."""
    made = []
    for mark in marks:
        oval = mark.ellipse
        assert oval is not None
        turn = math.radians(oval.direction_deg)
        # from the grain, which runs up the page, clockwise
        along, across = (math.sin(turn), math.cos(turn)), (math.cos(turn), -math.sin(turn))
        run = []
        for n in range(73):
            a, b = oval.longer_mm * times * math.cos(n * math.tau / 72), oval.shorter_mm * times * math.sin(n * math.tau / 72)
            run.append((mark.x_mm + a * along[0] + b * across[0], mark.y_mm + a * along[1] + b * across[1]))
        made.append(Spread(mark.name, (mark.x_mm, mark.y_mm), tuple(run), oval.longer_mm))
    return made


def half_widths(study: Study, edge: EdgeBudget) -> tuple[float, float, float] | None:
    """Return U with the knife's entry at an edge's three stations in mm; None where one is not known."""
    assert study.errors is not None
    some = [hand.expanded(hand.with_knife(one, study.errors)) for one in edge.stations]
    return None if any(map(math.isnan, some)) else (some[0], some[1], some[2])


def bands(study: Study, times: float) -> list[Band]:
    """Return the bands along all edges that have a budget, `times` wider than they are; between stations U runs evenly."""
    assert study.errors is not None
    made = []
    for edge in study.errors.edges:
        widths = half_widths(study, edge)
        if widths is None:
            continue
        run = _edge_run(study, edge)
        made.append(Band(run, tuple(_parts(run, widths, times)), max(widths), edge.groove))
    return made


def _parts(run: Run, widths: tuple[float, float, float], times: float) -> Iterable[tuple[int, Run]]:
    """Yield a band's outlines, cut where what an eye sees of it changes."""
    count = len(run) - 1
    sides: list[tuple[Place, Place]] = []
    seen: list[int] = []
    for n, (x, y) in enumerate(run):
        before, after = run[max(n - 1, 0)], run[min(n + 1, count)]
        length = math.dist(before, after) or 1.0
        width = _between(widths, n / count)
        across = -(after[1] - before[1]) / length * width * times, (after[0] - before[0]) / length * width * times
        sides.append(((x + across[0], y + across[1]), (x - across[0], y - across[1])))
        seen.append(hand.seen(width))
    first = 0
    for n in range(1, count + 1):
        if n == count or seen[n] != seen[first]:
            piece = sides[first : n + 1]
            yield seen[first], (*(left for left, _ in piece), *(right for _, right in reversed(piece)))
            first = n


def _between(widths: tuple[float, float, float], part: float) -> float:
    start, middle, finish = widths
    return start + (middle - start) * 2 * part if part < 0.5 else middle + (finish - middle) * (2 * part - 1)


def _edge_run(study: Study, edge: EdgeBudget) -> Run:
    """Return an edge as a run from start by its middle to its finish."""
    start, middle, finish = ((one.x_mm, one.y_mm) for one in edge.stations)
    thing = study.drawn[study.plan.index(edge.name)]
    if isinstance(thing, Curve):
        return _part_of(curve_run(thing), edge.stations)
    if not isinstance(thing, Circle):
        return tuple(_evenly(start, finish))
    turn = (middle[0] - start[0]) * (finish[1] - middle[1]) - (middle[1] - start[1]) * (finish[0] - middle[0])
    sense = 1 if turn > 0 else -1
    sweep = between((thing.centre.x, thing.centre.y), start, finish, sense)
    return tuple(sweep.at(n / (2 * STEPS)) for n in range(2 * STEPS + 1))


def _evenly(start: Place, finish: Place) -> Iterable[Place]:
    for n in range(2 * STEPS + 1):
        part = n / (2 * STEPS)
        yield start[0] + (finish[0] - start[0]) * part, start[1] + (finish[1] - start[1]) * part


def _part_of(run: Run, stations: Sequence[StationBudget]) -> Run:
    """Return the part of a curve's run between an edge's start and finish."""
    first, last = (min(range(len(run)), key=lambda n: math.dist(run[n], (one.x_mm, one.y_mm))) for one in (stations[0], stations[-1]))
    return run[first : last + 1] if first < last else tuple(reversed(run[last : first + 1])) if last < first else run
