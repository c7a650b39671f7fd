"""Ink on paper: a PDF page to draw on in mm, with the line kinds of ISO 128 and fonts inside the file.

With the card, which sets text in columns, the only file that loads reportlab.  Lines are drawn black: a narrow coloured line comes out
of many printers as a row of dots, and width and dashes must carry the meaning anyway.
"""

from __future__ import annotations

import io
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import matplotlib
from reportlab.lib.colors import Color, HexColor  # type: ignore[import-untyped]
from reportlab.pdfbase import pdfmetrics  # type: ignore[import-untyped]
from reportlab.pdfbase.ttfonts import TTFont  # type: ignore[import-untyped]
from reportlab.pdfgen.canvas import Canvas  # type: ignore[import-untyped]

from construct.reports._pen import Place, Sweep

MM = 72 / 25.4
"""Points in a millimetre of paper."""

FONT, BOLD = "plain", "bold"
FACES = {FONT: "DejaVuSans.ttf", BOLD: "DejaVuSans-Bold.ttf"}
"""Free fonts that come with the drawing library, with most of the world's letters; they go into the file."""

ASCENT, DESCENT = 0.76, 0.24
"""How far letters of these fonts reach above and below their line, as parts of their size."""

MAKER = "construct"
"""What a file of ours says of who made it."""

LARGEST_TURN_RAD = math.pi / 4
"""How much of a circle one Bézier curve stands for: at an eighth it is off by under 5e-6 of the radius, at a quarter by 3e-4."""

GREY = Color(0.35, 0.35, 0.35)
CHIP = HexColor("#F5DCA6")


@dataclass(frozen=True, slots=True)
class LineKind:
    """A kind of line. number: in ISO 128-2, from memory.  width_mm; dashes: lengths as multiples of the width, drawn and left out."""

    number: str
    width_mm: float
    dashes: tuple[float, ...] = ()


NARROW_MM, MIDDLE_MM, WIDE_MM, WIDEST_MM = 0.25, 0.35, 0.5, 0.7
"""Line widths of ISO 128-2, each √2 times the one before."""

LONG_DASH_DOT = (24.0, 3.0, 0.5, 3.0)
DASHED = (12.0, 3.0)

KINDS = {
    "edge": LineKind("01", WIDEST_MM),
    "cut": LineKind("01.2", WIDE_MM),
    "groove": LineKind("02.2", WIDE_MM, DASHED),
    "line": LineKind("01.1", NARROW_MM),
    "circle": LineKind("01.1", NARROW_MM),
    "arc": LineKind("01.1", NARROW_MM),
    "curve": LineKind("01.1", NARROW_MM),
    "finder": LineKind("04.1", NARROW_MM, LONG_DASH_DOT),
    "bar": LineKind("01", MIDDLE_MM),
    "register": LineKind("01.1", NARROW_MM),
}


@cache
def load_fonts() -> None:
    """Make the fonts known, once."""
    folder = Path(matplotlib.get_data_path()) / "fonts" / "ttf"
    for name, file in FACES.items():
        pdfmetrics.registerFont(TTFont(name, str(folder / file)))
    pdfmetrics.registerFontFamily(FONT, normal=FONT, bold=BOLD, italic=FONT, boldItalic=BOLD)


def width_mm(text: str, size: float, font: str = FONT) -> float:
    """Return how wide a text of a size in points is, in mm."""
    load_fonts()
    return float(pdfmetrics.stringWidth(text, font, size)) / MM


def fitting(text: str, size: float, room_mm: float, font: str = FONT) -> str:
    """Return a text cut off, with a sign that it is, where it is wider than its room."""
    if width_mm(text, size, font) <= room_mm:
        return text
    while text and width_mm(f"{text}…", size, font) > room_mm:
        text = text[:-1]
    return f"{text.rstrip()}…"


class Ink:
    """Pages of one size, drawn on in mm from a page's lower left corner, at true size."""

    def __init__(self, width_mm: float, height_mm: float, title: str, subject: str) -> None:
        load_fonts()
        self._held = io.BytesIO()
        self.canvas = Canvas(self._held, pagesize=(width_mm * MM, height_mm * MM), invariant=1, pageCompression=1,
                             initialFontName=FONT)  # fmt: skip
        self.canvas.setTitle(title)
        self.canvas.setSubject(subject)
        self.canvas.setCreator(MAKER)
        self.canvas.setAuthor("")
        # a viewer that knows this does not offer to fit the page to the paper
        self.canvas.setViewerPreference("PrintScaling", "None")
        self.canvas.setViewerPreference("DisplayDocTitle", "true")
        self.canvas.setLineJoin(1)

    def next_page(self) -> None:
        """End this page and begin another."""
        self.canvas.showPage()
        self.canvas.setLineJoin(1)

    def done(self) -> bytes:
        """Return the file."""
        self.canvas.showPage()
        self.canvas.save()
        return self._held.getvalue()

    # --- lines --------------------------------------------------------------------------------

    def _use(self, kind: str) -> None:
        pen = KINDS[kind]
        self.canvas.setStrokeColor(Color(0, 0, 0))
        self.canvas.setLineWidth(pen.width_mm * MM)
        # with butt ends a dash is as long as the standard says, and a bar as long as its words
        self.canvas.setLineCap(0)
        self.canvas.setDash([part * pen.width_mm * MM for part in pen.dashes] or [])

    def line(self, kind: str, run: Sequence[Place]) -> None:
        """Draw straight from place to place."""
        self._use(kind)
        path = self.canvas.beginPath()
        path.moveTo(*_points(run[0]))
        for at in run[1:]:
            path.lineTo(*_points(at))
        self.canvas.drawPath(path)

    def sweep(self, kind: str, sweep: Sweep) -> None:
        """Draw an arc."""
        self.bezier(kind, bent(sweep), closed=abs(sweep.sweep) >= math.tau * (1 - 1e-12))

    def bezier(self, kind: str, places: Sequence[Place], *, closed: bool = False) -> None:
        """Draw cubic Bézier curves end to end: a start, then two control places and an end for each."""
        self._use(kind)
        path = self.canvas.beginPath()
        path.moveTo(*_points(places[0]))
        for n in range(1, len(places), 3):
            path.curveTo(*(part for at in places[n : n + 3] for part in _points(at)))
        if closed:
            path.close()
        self.canvas.drawPath(path)

    def region(self, outlines: Sequence[Sequence[Place]], colour: Color = CHIP) -> None:
        """Fill an outline but for its holes."""
        path = self.canvas.beginPath()
        for run in outlines:
            path.moveTo(*_points(run[0]))
            for at in run[1:]:
                path.lineTo(*_points(at))
            path.close()
        self.canvas.setFillColor(colour)
        self.canvas.drawPath(path, stroke=0, fill=1, fillMode=0)  # even-odd, so that holes stay open

    def dot(self, at: Place, radius_mm: float) -> None:
        """Draw a mark: a small ring, white inside, so that its place stays to be seen."""
        self._use("register")
        self.canvas.setFillColor(Color(1, 1, 1))
        self.canvas.circle(at[0] * MM, at[1] * MM, radius_mm * MM, stroke=1, fill=1)

    def filled(self, run: Sequence[Place], colour: Color | None = None) -> None:
        """Fill an outline, black where no colour is said."""
        self.region([run], Color(0, 0, 0) if colour is None else colour)

    # --- words --------------------------------------------------------------------------------

    def text(self, at: Place, text: str, size: float, *, font: str = FONT, align: str = "left", turned: bool = False) -> None:
        """Write a line of text, its size in points; `turned` writes up the page."""
        self.canvas.setFillColor(Color(0, 0, 0))
        self.canvas.setFont(font, size)
        x, y = _points(at)
        if turned:
            self.canvas.saveState()
            self.canvas.translate(x, y)
            self.canvas.rotate(90)
            x, y = 0.0, 0.0
        write = {"left": self.canvas.drawString, "right": self.canvas.drawRightString, "middle": self.canvas.drawCentredString}[align]
        write(x, y, text)
        if turned:
            self.canvas.restoreState()


def _points(at: Place) -> Place:
    return at[0] * MM, at[1] * MM


def bent(sweep: Sweep) -> list[Place]:
    """Return an arc as cubic Bézier curves: a start, then two control places and an end for each; off by under 5e-6 of its radius."""
    count = max(1, math.ceil(abs(sweep.sweep) / LARGEST_TURN_RAD - 1e-9))
    step = sweep.sweep / count
    pull = 4 / 3 * math.tan(step / 4) * sweep.reach
    places = [sweep.at(0.0)]
    for n in range(count):
        a, b = sweep.first + n * step, sweep.first + (n + 1) * step
        (ax, ay), (bx, by) = places[-1], sweep.at((n + 1) / count)
        places += [(ax - pull * math.sin(a), ay + pull * math.cos(a)), (bx + pull * math.sin(b), by - pull * math.cos(b)), (bx, by)]
    return places
