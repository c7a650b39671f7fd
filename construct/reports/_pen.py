"""Runs of a pen, in mm: arcs, lines and curves over floats, cut where they leave the wood.

All numbers are *estimates* for the eye; nothing is decided about the layout here.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from construct.geometry import Board, Circle, Curve, Line, Oval

Place = tuple[float, float]
Run = tuple[Place, ...]
Frame = tuple[float, float, float, float]
"""Left, bottom, right, top."""

STEP_RAD = math.radians(1.5)
SLACK = 1e-6
"""How far, as a part of its size, something may lie off the wood and still count as on its edge."""


@dataclass(frozen=True, slots=True)
class Window:
    """The wood, or the sheet on paper: its middle, half its width and height, round or square."""

    x: float
    y: float
    across: float
    along: float
    round: bool

    def holds(self, place: Place) -> bool:
        """Tell whether a place lies on it."""
        x, y = (place[0] - self.x) / self.across, (place[1] - self.y) / self.along
        return x * x + y * y <= 1 + SLACK if self.round else max(abs(x), abs(y)) <= 1 + SLACK

    @property
    def frame(self) -> Frame:
        """The box round it."""
        return self.x - self.across, self.y - self.along, self.x + self.across, self.y + self.along

    @property
    def outline(self) -> Run:
        """Its edge as a closed run."""
        if self.round:
            turns = (n * math.tau / 240 for n in range(241))
            return tuple((self.x + self.across * math.cos(turn), self.y + self.along * math.sin(turn)) for turn in turns)
        left, bottom, right, top = self.frame
        return (left, bottom), (right, bottom), (right, top), (left, top), (left, bottom)


def window_of(edge: Circle | Oval | Board) -> Window:
    """Return the window of a blank's edge."""
    if isinstance(edge, Circle):
        reach = math.sqrt(edge.square)
        return Window(edge.centre.x, edge.centre.y, reach, reach, True)
    return Window(0.0, 0.0, edge.across, edge.along, isinstance(edge, Oval))


def around(places: Iterable[Place]) -> Frame:
    """Return the box round some places."""
    xs, ys = zip(*places, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


@dataclass(frozen=True, slots=True)
class Sweep:
    """A part of a circle: centre, radius, first angle and signed sweep, both in rad."""

    x: float
    y: float
    reach: float
    first: float
    sweep: float

    def at(self, part: float) -> Place:
        """Return the place after `part` of the sweep."""
        angle = self.first + self.sweep * part
        return self.x + self.reach * math.cos(angle), self.y + self.reach * math.sin(angle)

    @property
    def run(self) -> Run:
        """The whole of it as a run."""
        count = self._count
        return tuple(self.at(n / count) for n in range(count + 1))

    @property
    def _count(self) -> int:
        return max(8, math.ceil(abs(self.sweep) / STEP_RAD))

    def inside(self, window: Window) -> list[Run]:
        """Return the runs of it that lie in a window, cut where it leaves."""
        count = self._count
        runs = []
        for low, high in self._parts(window):
            grid = [n / count for n in range(math.ceil(low * count - SLACK), math.floor(high * count + SLACK) + 1)]
            runs.append(tuple(self.at(part) for part in dict.fromkeys([low, *grid, high])))
        return runs

    def within(self, window: Window) -> list[Sweep]:
        """Return the parts of it that lie in a window, in the order of `inside`."""
        return [replace(self, first=self.first + self.sweep * low, sweep=self.sweep * (high - low)) for low, high in self._parts(window)]

    def _parts(self, window: Window) -> list[tuple[float, float]]:
        count = self._count
        there = [window.holds(self.at(n / count)) for n in range(count + 1)]
        firsts = [n for n in range(count + 1) if there[n] and (n == 0 or not there[n - 1])]
        lasts = [n for n in range(count + 1) if there[n] and (n == count or not there[n + 1])]
        parts = [
            (0.0 if first == 0 else self._leaves(first / count, (first - 1) / count, window),
             1.0 if last == count else self._leaves(last / count, (last + 1) / count, window))
            for first, last in zip(firsts, lasts, strict=True)
        ]  # fmt: skip
        return [(low, high) for low, high in parts if low < high]

    def _leaves(self, within: float, without: float, window: Window) -> float:
        for _ in range(30):
            half = (within + without) / 2
            within, without = (half, without) if window.holds(self.at(half)) else (within, half)
        return within


def whole(circle: Circle) -> Sweep:
    """Return a circle all round, from the top."""
    return Sweep(circle.centre.x, circle.centre.y, math.sqrt(circle.square), math.pi / 2, math.tau)


def ended(circle: Circle) -> Sweep:
    """Return an arc with ends."""
    assert circle.start is not None and circle.finish is not None
    first, last = (math.atan2(end.y - circle.centre.y, end.x - circle.centre.x) for end in (circle.start, circle.finish))
    sweep = (last - first + math.pi) % math.tau - math.pi
    if circle.turn < 0:
        sweep -= math.copysign(math.tau, sweep)
    return Sweep(circle.centre.x, circle.centre.y, math.sqrt(circle.square), first, sweep)


def between(centre: Place, start: Place, finish: Place, sense: int) -> Sweep:
    """Return the arc from one place to another, counterclockwise for `sense` +1, clockwise for -1."""
    first, last = (math.atan2(y - centre[1], x - centre[0]) for x, y in (start, finish))
    sweep = (last - first) * sense % math.tau or math.tau
    return Sweep(*centre, math.dist(centre, start), first, sweep * sense)


def short(circle: Circle, marks: Iterable[Place], degrees: float, least_mm: float) -> list[Sweep]:
    """Return short pieces of a circle either side of some marks, overlapping ones joined."""
    full = whole(circle)
    half = min(max(math.radians(degrees), least_mm / full.reach), math.pi)
    angles = sorted({round(math.atan2(y - full.y, x - full.x) % math.tau, 9) for x, y in marks})
    pieces: list[tuple[float, float]] = []
    for angle in angles:
        if pieces and angle - half <= pieces[-1][1]:
            pieces[-1] = pieces[-1][0], angle + half
        else:
            pieces.append((angle - half, angle + half))
    if sum(last - first for first, last in pieces) >= math.tau:
        return [full]
    return [Sweep(full.x, full.y, full.reach, first, last - first) for first, last in pieces]


def clipped(line: Line, window: Window) -> Run:
    """Return the part of a line in a window, and between its ends where it has them; empty where there is none."""
    x, y = (line.x - window.x) / window.across, (line.y - window.y) / window.along
    dx, dy = line.dx / window.across, line.dy / window.along
    low, high = -math.inf, math.inf
    if window.round:
        a, b, c = dx * dx + dy * dy, x * dx + y * dy, x * x + y * y - 1
        radicand = b * b - a * c
        if radicand <= 0:
            return ()
        low, high = (-b - math.sqrt(radicand)) / a, (-b + math.sqrt(radicand)) / a
    else:
        for at, way in ((x, dx), (y, dy)):
            if abs(way) > 1e-12 * (abs(dx) + abs(dy)):
                first, last = sorted(((-1 - at) / way, (1 - at) / way))
                low, high = max(low, first), min(high, last)
            elif abs(at) > 1 + SLACK:
                return ()
    square = line.dx**2 + line.dy**2
    for end, is_start in ((line.start, True), (line.finish, False)):
        if end is not None:
            part = ((end.x - line.x) * line.dx + (end.y - line.y) * line.dy) / square
            low, high = (max(low, part), high) if is_start else (low, min(high, part))
    if low >= high:
        return ()
    return tuple((line.x + line.dx * part, line.y + line.dy * part) for part in (low, high))


def curve_run(curve: Curve) -> Run:
    """Return a french curve as a run."""
    p, q, r, s = ((c.x, c.y) for c in curve.controls)
    run = []
    for n in range(49):
        t = n / 48
        a, b, c, d = (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3
        run.append((a * p[0] + b * q[0] + c * r[0] + d * s[0], a * p[1] + b * q[1] + c * r[1] + d * s[1]))
    return tuple(run)


def dotted(run: Sequence[Place]) -> list[Place]:
    """Return points along a run, one unit apart at most."""
    points: list[Place] = []
    for (ax, ay), (bx, by) in pairwise(run):
        count = max(1, math.ceil(math.dist((ax, ay), (bx, by))))
        points += [(ax + (bx - ax) * n / count, ay + (by - ay) * n / count) for n in range(count)]
    return [*points, run[-1]]


def inner_places(outline: Sequence[Place]) -> tuple[Place, ...]:
    """Return places for a number in an outline: its middle, then half-way to its edge."""
    x, y = middle = _middle(outline)
    step = max(1, len(outline) // 8)
    return (middle, *(((x + ax) / 2, (y + ay) / 2) for ax, ay in outline[::step]))


def _middle(outline: Sequence[Place]) -> Place:
    """Return the centroid of an outline (shoelace formula)."""
    x0, y0 = outline[0]
    area = x = y = 0.0
    for (ax, ay), (bx, by) in zip(outline, [*outline[1:], outline[0]], strict=True):
        turn = (ax - x0) * (by - y0) - (bx - x0) * (ay - y0)
        area += turn
        x += turn * (ax + bx - 2 * x0)
        y += turn * (ay + by - 2 * y0)
    return (x0 + x / (3 * area), y0 + y / (3 * area)) if area else outline[0]
