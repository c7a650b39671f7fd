"""Reads the lines of a PDF page from its content stream (ISO 32000-1, 8.4 and 8.5), in mm of paper.

A ruler for the tests of printed pages.
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pypdf import PageObject, PdfReader
from pypdf.generic import ContentStream

POINT_MM = 25.4 / 72  # a PDF's unit is 1/72 in (ISO 32000-1, 8.3.2.3), an inch is 25.4 mm exactly

Place = tuple[float, float]
Matrix = tuple[float, float, float, float, float, float]


@dataclass(frozen=True)
class Stroke:
    """A stroked path: its straight parts, its Bézier parts (four places each), width and dashes; all in mm."""

    straight: tuple[tuple[Place, Place], ...]
    bent: tuple[tuple[Place, Place, Place, Place], ...]
    width: float
    dashes: tuple[float, ...]


def pages(pdf: bytes) -> list[PageObject]:
    """Return a PDF's pages."""
    return list(PdfReader(io.BytesIO(pdf)).pages)


def size(page: PageObject) -> Place:
    """Return a page's width and height in mm."""
    return float(page.mediabox.width) * POINT_MM, float(page.mediabox.height) * POINT_MM


def strokes(page: PageObject) -> list[Stroke]:
    """Return every stroked path of a page."""
    return list(_strokes(page))


def _strokes(page: PageObject) -> Iterator[Stroke]:
    matrix: Matrix = (1, 0, 0, 1, 0, 0)
    width, dashes = 1.0, ()
    kept: list[tuple[Matrix, float, tuple[float, ...]]] = []
    straight: list[tuple[Place, Place]] = []
    bent: list[tuple[Place, Place, Place, Place]] = []
    first = now = (0.0, 0.0)
    for operands, operator in ContentStream(page["/Contents"], page.pdf).operations:
        values = [float(one) for one in operands if isinstance(one, (int, float))]
        match operator:
            case b"q":
                kept.append((matrix, width, dashes))
            case b"Q":
                matrix, width, dashes = kept.pop()
            case b"cm":
                matrix = _times(tuple(values), matrix)  # type: ignore[arg-type]
            case b"w":
                width = values[0] * POINT_MM
            case b"d":
                dashes = tuple(float(one) * POINT_MM for one in operands[0])
            case b"m":
                first = now = _at(matrix, values)
            case b"l":
                straight.append((now, _at(matrix, values)))
                now = straight[-1][1]
            case b"c":
                bent.append((now, _at(matrix, values[:2]), _at(matrix, values[2:4]), _at(matrix, values[4:])))
                now = bent[-1][3]
            case b"h":
                if math.dist(now, first) > 1e-9:
                    straight.append((now, first))
                now = first
            case b"S" | b"s" | b"B" | b"B*" | b"b" | b"b*":
                yield Stroke(tuple(straight), tuple(bent), width, dashes)
                straight, bent = [], []
            case b"f" | b"f*" | b"F" | b"n":
                straight, bent = [], []


def _times(a: Matrix, b: Matrix) -> Matrix:
    return (a[0] * b[0] + a[1] * b[2], a[0] * b[1] + a[1] * b[3], a[2] * b[0] + a[3] * b[2], a[2] * b[1] + a[3] * b[3],
            a[4] * b[0] + a[5] * b[2] + b[4], a[4] * b[1] + a[5] * b[3] + b[5])  # fmt: skip


def _at(matrix: Matrix, at: Sequence[float]) -> Place:
    x, y = at
    return (x * matrix[0] + y * matrix[2] + matrix[4]) * POINT_MM, (x * matrix[1] + y * matrix[3] + matrix[5]) * POINT_MM


def along(bent: tuple[Place, Place, Place, Place], count: int = 32) -> list[Place]:
    """Return places along a Bézier curve, by its Bernstein form."""
    found = []
    for n in range(count + 1):
        t = n / count
        weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
        found.append((sum(w * p[0] for w, p in zip(weights, bent, strict=True)), sum(w * p[1] for w, p in zip(weights, bent, strict=True))))
    return found


def rounds(page: PageObject, width: float) -> list[tuple[Place, float, float]]:
    """Return every closed round stroke of a line width: its middle, and its least and largest radius, in mm."""
    found = []
    for stroke in strokes(page):
        if abs(stroke.width - width) < 1e-3 and stroke.bent and math.dist(stroke.bent[0][0], stroke.bent[-1][3]) < 1e-3:
            places = [place for one in stroke.bent for place in along(one)]
            xs, ys = zip(*places, strict=True)
            middle = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
            reaches = [math.dist(middle, place) for place in places]
            found.append((middle, min(reaches), max(reaches)))
    return found


def fonts(page: PageObject) -> dict[str, bool]:
    """Return the fonts that a page names, and whether each lies in the file."""
    found = {}
    for font in page["/Resources"].get("/Font", {}).values():
        described = font.get_object().get("/FontDescriptor")
        file = described is not None and any(f"/FontFile{kind}" in described.get_object() for kind in ("", "2", "3"))
        found[str(font.get_object()["/BaseFont"])] = file
    return found
