"""The bench card as a PDF: two columns under a picture, in the largest print that keeps it to one page.

Print is never smaller than 8 points; what does not fit then goes on to another page, and the foot says so.
Large print, 18 points, has one column, ragged right, as it is read best (common practice, no source).
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from functools import partial
from xml.sax.saxutils import escape

from reportlab.lib.styles import ParagraphStyle  # type: ignore[import-untyped]
from reportlab.pdfgen.canvas import Canvas  # type: ignore[import-untyped]
from reportlab.platypus import BaseDocTemplate, Frame, FrameBreak, KeepTogether, NextPageTemplate, PageTemplate, Paragraph  # type: ignore[import-untyped]

from construct.phrasebook import say
from construct.reports import _words as words
from construct.reports._card_lines import Card, Line
from construct.reports._card_picture import Picture
from construct.reports._ink import BOLD, FONT, MAKER, MM, fitting, load_fonts
from construct.reports._tiles import MARGIN_MM, Paper
from construct.study import Study

SIZES = (10.0, 9.5, 9.0, 8.5, 8.0)
"""Sizes of print that are tried, in points, the largest first."""

LARGE = 18.0
LEFT_MM = 15.0
"""Room at the left for a clip or a pin; a card is no drawing to be filed."""

FOOT_MM, GUTTER_MM = 6.0, 6.0
HANG = 2.0
"""How far an action's words stand in from its number, as a multiple of the print's size."""

PICTURES = (78.0, 66.0, 56.0, 48.0)
"""Widths of the picture that are tried, in mm, the largest first; in large print it is as wide as the page allows."""

LARGE_PICTURE = 130.0


def draw(study: Study, made: Card, paper: Paper, *, large: bool) -> bytes:
    """Return a card as a PDF."""
    load_fonts()
    if large:
        pictures = {LARGE_PICTURE: Picture(study, LARGE_PICTURE, LARGE)}
        sizes: tuple[float, ...] = (LARGE,)
    else:
        pictures = {width: Picture(study, width, SIZES[-1]) for width in PICTURES}
        sizes = SIZES
    # few pages first, then large print, then a large picture: a smaller picture hurts nobody's eyes
    least = min(pictures)
    fewest = _built(study, made, paper, sizes[-1], pictures[least], 0)[1]
    size = next(size for size in sizes if size == sizes[-1] or _built(study, made, paper, size, pictures[least], 0)[1] == fewest)
    for width in sorted(pictures, reverse=True):
        content, count = _built(study, made, paper, size, pictures[width], fewest)
        if count == fewest:
            return content
    raise RuntimeError("the least picture takes as many pages as itself")


def _built(study: Study, made: Card, paper: Paper, size: float, picture: Picture, count: int) -> tuple[bytes, int]:
    """Return a card in one size of print, and how many pages it takes; count: what its foot says of that."""
    title = words.plain(study.plan.title) or say("card.untitled")
    large = size == LARGE
    width, height = (paper.width - LEFT_MM - MARGIN_MM) * MM, (paper.height - 2 * MARGIN_MM - FOOT_MM) * MM
    left, bottom = LEFT_MM * MM, (MARGIN_MM + FOOT_MM) * MM
    tall = picture.height_mm * MM + 4
    frame = partial(Frame, leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0)
    half = (width - GUTTER_MM * MM) / 2
    begin = list(_flow(made.begin, size))
    if large:
        first = [frame(left, bottom, width, height - tall)]
        later = [frame(left, bottom, width, height)]
        beside = (left, bottom + height - picture.height_mm * MM)
    else:
        room = width - picture.width_mm * MM - GUTTER_MM * MM
        top = max(tall, sum(_height(one, room) for one in begin) + 2)
        under = height - top
        columns = (left, left + half + GUTTER_MM * MM)
        first = [frame(left, bottom + under, room, top), *(frame(x, bottom, half, under) for x in columns)]
        later = [frame(x, bottom, half, height) for x in columns]
        beside = (left + width - picture.width_mm * MM, bottom + height - picture.height_mm * MM)
    held = io.BytesIO()
    document = BaseDocTemplate(held, pagesize=(paper.width * MM, paper.height * MM), title=title, author="", creator=MAKER,
                               subject=say("card.subject"), invariant=1, initialFontName=FONT)  # fmt: skip
    foot = partial(_foot, title=title, count=count, size=max(SIZES[-1], size if large else 0), left=left, right=left + width)

    def first_page(canvas: Canvas, _: object) -> None:
        picture.draw(canvas, beside)
        foot(canvas)

    document.addPageTemplates([
        PageTemplate("first", first, onPage=first_page), PageTemplate("later", later, onPage=lambda canvas, _: foot(canvas)),
    ])  # fmt: skip
    flow: list[object] = [NextPageTemplate("later"), *begin]
    if not large:
        flow.append(FrameBreak())
    for stage in made.stages:
        flow += _kept(list(_flow(stage, size)))
    flow += _flow(made.end, size)
    document.build(flow)
    return held.getvalue(), int(document.page)


def _height(paragraph: Paragraph, width: float) -> float:
    return float(paragraph.wrap(width, 10_000)[1]) + float(paragraph.getSpaceBefore() + paragraph.getSpaceAfter())


def _kept(flow: Sequence[Paragraph]) -> Iterator[object]:
    """Keep a heading with what follows it."""
    yield KeepTogether(list(flow[:3]))
    yield from flow[3:]


def _foot(canvas: Canvas, *, title: str, count: int, size: float, left: float, right: float) -> None:
    y = MARGIN_MM * MM
    canvas.setFont(FONT, size)
    page = say("card.page", number=canvas.getPageNumber(), count=count)
    canvas.drawRightString(right, y, page)
    canvas.drawString(left, y, fitting(title, size, (right - left) / MM - 3 * size))


def _flow(lines: Sequence[Line], size: float) -> Iterator[Paragraph]:
    """Yield lines as paragraphs; every word is escaped, for markup in a recipe is none here."""
    for line in lines:
        kind = line.kind
        text = escape(line.text)
        indent = 1.3 * size * line.depth
        style = ParagraphStyle(kind, fontName=FONT, fontSize=size, leading=1.15 * size, alignment=0, splitLongWords=1)
        bullet = None
        match kind:
            case "title":
                style = ParagraphStyle(kind, parent=style, fontName=BOLD, fontSize=1.5 * size, leading=1.75 * size, spaceAfter=0.15 * size)
            case "stage":
                style = ParagraphStyle(kind, parent=style, fontName=BOLD, fontSize=1.08 * size, leading=1.3 * size, spaceBefore=0.55 * size,
                                       spaceAfter=0.1 * size)  # fmt: skip
            case "act":
                style = ParagraphStyle(kind, parent=style, leftIndent=HANG * size + indent, bulletIndent=0)
                bullet = line.head
                if line.mark:
                    text += f" <b>[{escape(line.mark)}]</b>"
                if line.tail:
                    text += f" — <b>{escape(line.tail)}</b>"
            case "turn":
                style = ParagraphStyle(kind, parent=style, leftIndent=HANG * size + indent)
            case "measure":
                style = ParagraphStyle(kind, parent=style, leftIndent=HANG * size, backColor="#EDEDED", borderPadding=(0.5, 0, 1, 2),
                                       spaceBefore=0.12 * size, spaceAfter=0.22 * size)  # fmt: skip
                text = f"<b>{escape(line.head)}</b> {text}"
            case "caution":
                style = ParagraphStyle(kind, parent=style, leftIndent=1.0 * size, spaceBefore=0.5 * size if line.head else 0)
                text = f"<b>{escape(line.head)}</b> {text}" if line.head else text
                bullet = "–"
            case _:
                style = ParagraphStyle(kind, parent=style, spaceBefore=0.3 * size)
                text = f"<b>{escape(line.head)}</b> {text}" if line.head else text
        style.bulletFontName, style.bulletFontSize = (BOLD, style.fontSize) if kind == "act" else (FONT, style.fontSize)
        yield Paragraph(text, style, bulletText=bullet)
