"""Where names stand in a picture: no name covers another, a mark, or a strong line.

A greedy search over places round each anchor; names that had to move away get a
leader line.  Lengths are in points.  Nothing here is about the layout itself.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Box = tuple[float, float, float, float]
"""Left, bottom, right, top."""

Place = tuple[float, float]
ORDER = (2, 6, 14, 10, 0, 8, 4, 12, 1, 3, 5, 7, 9, 11, 13, 15)
DIRECTIONS = tuple((math.cos(n * math.tau / 16), math.sin(n * math.tau / 16)) for n in ORDER)
"""Sixteenths of a turn, up and to the right first."""

PADDING = 1.6
"""Room round a name, to other names."""

LEADER_FROM = 7.0
"""A name this far from its mark gets a leader line."""


@dataclass(frozen=True, slots=True)
class Wish:
    """A name that wants a place.

    width, height: of its box.  anchors: what it may stand beside.  rings: how far off it may stand, rising.
    leads: a leader line is drawn where it stands away.  pull: what a point of distance costs.
    clear: room to the middle of a strong line, which has a width itself.
    """

    text: str
    width: float
    height: float
    anchors: tuple[Place, ...]
    rings: tuple[float, ...]
    leads: bool = True
    pull: float = 0.6
    clear: float = 2.4


@dataclass(frozen=True, slots=True)
class Put:
    """A name that has a place: its box, and the leader line where it stands away."""

    wish: int
    box: Box
    leader: tuple[Place, Place] | None


def place(wishes: Sequence[Wish], frame: Box, strong: Sequence[Place], light: Sequence[Place], taken: Sequence[Box]) -> list[Put]:
    """Return a place for every wish that has one, in the order of the wishes, which is their rank.

    strong, light: points close together along lines that must not, or should not, be covered.
    taken: boxes that must stay free.
    """
    return _Search(frame, strong, light, taken).run(wishes)


class _Search:
    def __init__(self, frame: Box, strong: Sequence[Place], light: Sequence[Place], taken: Sequence[Box]) -> None:
        self.frame = frame
        self.strong = _sorted(strong)
        self.light = _sorted(light)
        self.taken = np.array(taken, dtype=float).reshape(-1, 4)
        self.marks = np.array([((box[0] + box[2]) / 2, (box[1] + box[3]) / 2) for box in taken], dtype=float).reshape(-1, 2)
        self.leaders = np.zeros((0, 2))

    def run(self, wishes: Sequence[Wish]) -> list[Put]:
        found = []
        for number, wish in enumerate(wishes):
            put = self._best(number, wish)
            if put is not None:
                found.append(put)
                self.taken = np.vstack([self.taken, put.box])
                if put.leader is not None:
                    self.leaders = np.vstack([self.leaders, _between(*put.leader)])
        return found

    def _best(self, number: int, wish: Wish) -> Put | None:
        best: tuple[float, Put] | None = None
        for rank, anchor in enumerate(wish.anchors):
            for ring in wish.rings:
                floor = ring * wish.pull + rank * 1.5
                if best is not None and best[0] <= floor:
                    break
                for order, way in enumerate(DIRECTIONS):
                    box = _beside(anchor, way, ring, wish.width, wish.height)
                    cost = self._cost(box, anchor, ring, wish)
                    if cost is None:
                        continue
                    cost += floor + order * 0.05
                    if best is None or cost < best[0]:
                        cost += 3.0 * self._nearer_marks(box, anchor)
                    if best is None or cost < best[0]:
                        leader = (anchor, _nearest(box, anchor)) if wish.leads and ring >= LEADER_FROM else None
                        best = cost, Put(number, box, leader)
        return None if best is None else best[1]

    def _cost(self, box: Box, anchor: Place, ring: float, wish: Wish) -> float | None:
        """Return how bad a place is, None where it is out of the question."""
        if not (self.frame[0] <= box[0] and self.frame[1] <= box[1] and box[2] <= self.frame[2] and box[3] <= self.frame[3]):
            return None
        wide = box[0] - PADDING, box[1] - PADDING, box[2] + PADDING, box[3] + PADDING
        clear = box[0] - wish.clear, box[1] - wish.clear, box[2] + wish.clear, box[3] + wish.clear
        if _overlaps(wide, self.taken) or _count(self.strong, clear) or _inside(self.leaders, wide):
            return None
        cost = 0.45 * _count(self.light, box)
        if wish.leads and ring >= LEADER_FROM:
            points = _between(anchor, _nearest(box, anchor))[3:]
            if _any_inside(points, self.taken):
                return None
            cost += 4.0
        return cost

    def _nearer_marks(self, box: Box, anchor: Place) -> int:
        """Return how many marks a name could be taken for: as near to it as the one it belongs to, or nearly."""
        x, y = self.marks[:, 0], self.marks[:, 1]
        off = np.hypot(np.clip(x, box[0], box[2]) - x, np.clip(y, box[1], box[3]) - y)
        others = np.hypot(x - anchor[0], y - anchor[1]) > 0.5
        return int(np.count_nonzero(others & (off < math.dist(_nearest(box, anchor), anchor) + 1.5)))


def _beside(anchor: Place, way: Place, ring: float, width: float, height: float) -> Box:
    """Return the box of the size whose nearest side or corner lies `ring` from the anchor in a direction; centred on it for 0."""
    half_w, half_h = width / 2, height / 2
    # in between the eight main directions a box slides along its side, so that it is never far from its mark
    out_x, out_y = (half_w * _pull(way[0]), half_h * _pull(way[1])) if ring else (0.0, 0.0)
    x, y = anchor[0] + way[0] * ring + out_x, anchor[1] + way[1] * ring + out_y
    return x - half_w, y - half_h, x + half_w, y + half_h


def _pull(part: float) -> float:
    return 0.0 if abs(part) < 0.1 else math.copysign(min(1.0, abs(part) * 1.6), part)


def _nearest(box: Box, place: Place) -> Place:
    return min(max(place[0], box[0]), box[2]), min(max(place[1], box[1]), box[3])


def _overlaps(a: Box, boxes: NDArray[np.float64]) -> bool:
    left, bottom, right, top = boxes.T
    return bool(((a[0] < right) & (left < a[2]) & (a[1] < top) & (bottom < a[3])).any())


def _any_inside(points: NDArray[np.float64], boxes: NDArray[np.float64]) -> bool:
    x, y = points[:, :1], points[:, 1:]
    left, bottom, right, top = boxes.T
    return bool(((x >= left) & (x <= right) & (y >= bottom) & (y <= top)).any())


def _between(a: Place, b: Place) -> NDArray[np.float64]:
    count = max(2, int(math.dist(a, b)))
    return np.linspace(a, b, count + 1)


def _sorted(points: Sequence[Place]) -> NDArray[np.float64]:
    """Return points as an array sorted by x, shape (points, 2), so that a strip of them is a slice."""
    array = np.array(points, dtype=float).reshape(-1, 2)
    return array[np.argsort(array[:, 0], kind="stable")]


def _count(points: NDArray[np.float64], box: Box) -> int:
    first, last = np.searchsorted(points[:, 0], (box[0], box[2]))
    ys = points[first:last, 1]
    return int(np.count_nonzero((ys >= box[1]) & (ys <= box[3])))


def _inside(points: NDArray[np.float64], box: Box) -> bool:
    x, y = points[:, 0], points[:, 1]
    return bool(((x >= box[0]) & (x <= box[2]) & (y >= box[1]) & (y <= box[3])).any())
