"""Paper, and how a drawing at true size is cut into sheets that overlap: sizes and places in mm, nothing is drawn here.

Places on the wood are measured from its middle, y along the grain; places on a sheet from its lower left corner.
Sizes: ISO 216 for A4 and A3; US letter and ledger are 8 1/2 by 11 in and 11 by 17 in.
Margins: ISO 5457, 20 mm at the left, where sheets are filed, and 10 mm at the other sides (from memory).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from construct.diagnostics import Mistakes, diagnostic
from construct.reports._pen import Frame, Place

FILING_MM, MARGIN_MM = 20.0, 10.0

FOOT_MM = 30.0
"""A strip below the drawing on every sheet, for words and bars; the bars that stand up stand in the filing margin."""

CLEAR_MM = 4.0
"""Room round the drawing, so that no line lies on a sheet's end."""

OVERLAP_MM = 12.0
"""What two sheets side by side both show."""

MOST_SHEETS = 60
"""More sheets than this nobody tapes together: judgement."""

REGISTER_PLACES = (0.09, 0.36, 0.91)
"""Where along a seam the crosses stand, as parts of its length: far apart, so that they show a turn as well, and off the middle,
where the plate's own centre often lies."""


@dataclass(frozen=True, slots=True)
class Paper:
    """A size of paper in mm, standing up."""

    name: str
    width: float
    height: float


PAPERS = {paper.name: paper for paper in (
    Paper("A4", 210.0, 297.0), Paper("A3", 297.0, 420.0), Paper("letter", 215.9, 279.4), Paper("ledger", 279.4, 431.8),
)}  # fmt: skip


def paper_of(name: str) -> Paper:
    """Return a paper by its name, small letters or large; `Mistakes` for one that is not known."""
    for paper in PAPERS.values():
        if paper.name.lower() == name.strip().lower():
            return paper
    raise Mistakes((diagnostic("C801", name=name[:40], papers=", ".join(PAPERS)),))


@dataclass(frozen=True, slots=True)
class Tile:
    """One sheet of several. row, column: from 1, from the top left.  window: what it shows of the wood, in mm."""

    row: int
    column: int
    window: Frame


@dataclass(frozen=True, slots=True)
class Tiling:
    """A drawing cut into sheets.

    width, height: of a sheet in mm, as it lies.  rows, columns: how many.
    tiles: row by row.  register: places on the wood where crosses stand, in the middle of what two sheets both show.
    """

    width: float
    height: float
    rows: int
    columns: int
    tiles: tuple[Tile, ...]
    register: tuple[Place, ...]

    @property
    def corner(self) -> Place:
        """Where on a sheet its window's lower left corner lies, in mm."""
        return FILING_MM, MARGIN_MM + FOOT_MM


def tile(frame: Frame, paper: Paper) -> Tiling:
    """Return the fewest sheets that show a frame (mm on the wood) at true size, standing up or lying down.

    Raises `Mistakes` where that would be too many.
    """
    standing, lying = (_tiled(frame, *size) for size in ((paper.width, paper.height), (paper.height, paper.width)))
    best = lying if lying[0] * lying[1] < standing[0] * standing[1] else standing
    rows, columns, width, height = best
    if rows * columns > MOST_SHEETS:
        raise Mistakes((diagnostic("C802", sheets=rows * columns, paper=paper.name, most=MOST_SHEETS),))
    wide, tall = _window(width, height)
    left, bottom, right, top = frame
    first_x = (left + right) / 2 - (columns * wide - (columns - 1) * OVERLAP_MM) / 2
    first_y = (bottom + top) / 2 + (rows * tall - (rows - 1) * OVERLAP_MM) / 2
    lefts = [first_x + column * (wide - OVERLAP_MM) for column in range(columns)]
    tops = [first_y - row * (tall - OVERLAP_MM) for row in range(rows)]
    tiles = tuple(
        Tile(row + 1, column + 1, (x, y - tall, x + wide, y)) for row, y in enumerate(tops) for column, x in enumerate(lefts)
    )
    return Tiling(width, height, rows, columns, tiles, tuple(_register(lefts, tops, wide, tall)))


def _window(width: float, height: float) -> tuple[float, float]:
    """Return how wide and how tall a sheet's window is."""
    return width - FILING_MM - MARGIN_MM, height - 2 * MARGIN_MM - FOOT_MM


def _tiled(frame: Frame, width: float, height: float) -> tuple[int, int, float, float]:
    wide, tall = _window(width, height)
    left, bottom, right, top = frame
    return _count(top - bottom, tall), _count(right - left, wide), width, height


def _count(length: float, window: float) -> int:
    length += 2 * CLEAR_MM
    return 1 if length <= window else math.ceil((length - OVERLAP_MM) / (window - OVERLAP_MM))


def _register(lefts: list[float], tops: list[float], wide: float, tall: float) -> Iterator[Place]:
    """Yield the crosses: on each seam, in the middle of the overlap."""
    for _, x in pairwise(lefts):
        for top in tops:
            for part in REGISTER_PLACES:
                yield x + OVERLAP_MM / 2, top - tall * part
    for _, y in pairwise(tops):
        for left in lefts:
            for part in REGISTER_PLACES:
                yield left + wide * part, y - OVERLAP_MM / 2
