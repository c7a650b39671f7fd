"""The small finished picture on a bench card: the layout with the chips' numbers, and which way the grain runs."""

from __future__ import annotations

from typing import Any

from construct.phrasebook import say
from construct.reports._ink import ASCENT, CHIP, DESCENT, FONT, MM, bent, width_mm
from construct.reports._labels import Wish, place
from construct.reports._pen import Place, dotted, inner_places
from construct.reports._shapes import Shapes, Stroke, shapes
from construct.study import Study

STRONG = ("edge", "cut")
WIDTHS = {"edge": 0.35, "cut": 0.35, "groove": 0.25}
THIN_MM = 0.13
"""Line widths of ISO 128-2 for a drawing that is made smaller: the two narrowest of the series for construction and grooves."""

LIGHT = 0.45
"""Grey of construction: the cuts must stand out, and a printer still draws it as a line."""

OUTLINED, FILLED = 1, 0
"""How letters are drawn (ISO 32000-1, table 106): numbers get a white rim, since some stand across an edge."""

RINGS = (0.0, 1.5, 3.0, 5.0, 8.0, 12.0)


class Picture:
    """A picture of a stated width, in mm on paper; print: size of its letters in points."""

    def __init__(self, study: Study, wide: float, print_size: float) -> None:
        self.study, self.print = study, print_size
        self.shapes: Shapes = shapes(study)
        left, bottom, right, top = self.shapes.frame
        self.room = 1.4 * print_size / MM if study.plan.blank.form != "paper" else 0.0
        self.scale = (wide - self.room) / max(right - left, top - bottom)
        self.width_mm = (right - left) * self.scale + self.room
        self.height_mm = (top - bottom) * self.scale
        self.numbers = self._numbers()

    def draw(self, canvas: Any, corner: Place) -> None:
        """Draw it with its lower left corner at a place in points."""
        canvas.saveState()
        canvas.translate(*corner)
        for region in self.shapes.regions:
            path = canvas.beginPath()
            for outline in region:
                run = [self._at(at) for at in outline]
                path.moveTo(*run[0])
                for at in run[1:]:
                    path.lineTo(*at)
                path.close()
            canvas.setFillColor(CHIP)
            canvas.drawPath(path, stroke=0, fill=1, fillMode=0)
        for kind in ("line", "circle", "arc", "curve", "finder", "groove", "cut", "edge"):
            for stroke in self.shapes.strokes:
                if stroke.kind == kind:
                    self._stroke(canvas, stroke)
        canvas.setFillGray(0)
        canvas.setFont(FONT, self.print)
        canvas.setStrokeGray(1)
        canvas.setDash([])
        canvas.setLineWidth(1.4)
        for mode in (OUTLINED, FILLED):
            for (x, y), text in self.numbers:
                canvas.drawString(x, y, text, mode=mode)
        if self.room:
            self._grain(canvas)
        canvas.restoreState()

    def _at(self, at: Place) -> Place:
        left, bottom, _, _ = self.shapes.frame
        return (at[0] - left) * self.scale * MM, (at[1] - bottom) * self.scale * MM

    def _stroke(self, canvas: Any, stroke: Stroke) -> None:
        canvas.setLineWidth(WIDTHS.get(stroke.kind, THIN_MM) * MM)
        canvas.setStrokeGray(0 if stroke.kind in WIDTHS else LIGHT)
        canvas.setDash([2.2, 1.2] if stroke.kind == "groove" else [])
        path = canvas.beginPath()
        if stroke.sweep is not None:
            places = [self._at(at) for at in bent(stroke.sweep)]
            path.moveTo(*places[0])
            for n in range(1, len(places), 3):
                path.curveTo(*(part for at in places[n : n + 3] for part in at))
        else:
            run = [self._at(at) for at in stroke.run]
            path.moveTo(*run[0])
            for at in run[1:]:
                path.lineTo(*at)
        canvas.drawPath(path)

    def _numbers(self) -> list[tuple[Place, str]]:
        """Return the chips' numbers that have a place, where they stand."""
        carving = self.study.carving
        if carving is None:
            return []
        size = self.print
        wishes = []
        for chip, region in zip(carving.chips, self.shapes.regions, strict=True):
            text = str(chip.number)
            anchors = inner_places([self._at(at) for at in region[0]])
            wishes.append(Wish(text, width_mm(text, size) * MM, (ASCENT - 0.05) * size, anchors, RINGS, leads=False, pull=2.0, clear=0.4))
        edges = [point for stroke in self.shapes.strokes if stroke.kind in STRONG
                 for point in dotted([self._at(at) for at in stroke.run])]  # fmt: skip
        frame = (-1.0, -1.0, self.width_mm * MM + 1, self.height_mm * MM + 1)
        # a number may stand across its own chip's edge where no place is clear: then edges are only better not covered
        put = place(wishes, frame, [], edges, [])
        return [((one.box[0], one.box[1]), wishes[one.wish].text) for one in put]

    def _grain(self, canvas: Any) -> None:
        x = (self.width_mm - 1.0) * MM
        middle, half = self.height_mm * MM / 2, 14.0
        said = say("card.grain")
        half = max(half, width_mm(said, self.print) * MM / 2 + 6)
        canvas.setStrokeGray(0)
        canvas.setDash([])
        canvas.setLineWidth(0.25 * MM)
        canvas.line(x, middle - half, x, middle + half)
        for tip, way in ((middle + half, 1), (middle - half, -1)):
            path = canvas.beginPath()
            path.moveTo(x, tip)
            path.lineTo(x - 2, tip - 5 * way)
            path.lineTo(x + 2, tip - 5 * way)
            path.close()
            canvas.drawPath(path, stroke=0, fill=1)
        canvas.saveState()
        canvas.translate(x - DESCENT * self.print - 2, middle)
        canvas.rotate(90)
        canvas.drawCentredString(0, 0, said)
        canvas.restoreState()
