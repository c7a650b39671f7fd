"""The picture that goes with mistakes in the cuts: the layout as far as it was understood, a ring round each place.

Each ring bears the recipe's line.  It comes with a record of the mistakes, so
that a later report may take the folder over.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from matplotlib.lines import Line2D

from construct.diagnostics import Diagnostic, Spot
from construct.phrasebook import say
from construct.reports import View, record
from construct.reports._labels import Place
from construct.reports.figure import INK, Sheet, drawing_rules, rendered
from construct.study import Study

RING = 13.0
"""Radius of a ring, in points."""

TEXT = 9.0
"""Size of what stands beside a ring, in points."""

TAGS = 24
"""So many rings are labelled; more would only hide the drawing."""

Box = tuple[float, float, float, float]


def files(layout: Study, wrong: Sequence[Diagnostic], view: View) -> dict[str, bytes]:
    """Return `where.svg`, `where.png` and `mistakes.json`; the first two only where a mistake has a place."""
    contents = {"mistakes.json": record.text({"command": "mistakes", **record.diagnostics(wrong)})}
    spots = [(one, spot) for one in wrong for spot in one.spots]
    if spots:
        told = say("where.figure.picture", count=len(spots), places=" ".join(f"{_label(one)}: {spot.says}." for one, spot in spots))
        with drawing_rules():
            contents |= rendered(_Where(layout, view.units, spots).figure, "where", say("where.figure.title"), told)
    return contents


def _label(one: Diagnostic) -> str:
    return say("where.figure.label", line=one.span.line if one.span is not None else "?")


class _Where(Sheet):
    """The plate with rings on it, and beside each, where there is room, the recipe's line."""

    def __init__(self, layout: Study, units: str, spots: Sequence[tuple[Diagnostic, Spot]]) -> None:
        super().__init__(layout, units)
        rings = [self._on_sheet(self._at((spot.x_mm, spot.y_mm))) for _, spot in spots]
        taken = [(x - RING, y - RING, x + RING, y + RING) for x, y in rings]
        for at in rings:
            self._mark(at)
        for (one, _), at in zip(spots[:TAGS], rings, strict=False):
            taken.append(self._tag(at, _label(one), taken))

    def title(self) -> str:
        return say("where.figure.title")

    def subtitle(self) -> str:
        return say("where.figure.subtitle")

    def _on_sheet(self, at: Place) -> Place:
        """Return a place, or the nearest to it that leaves room for a ring: what is off the wood may be off the sheet."""
        left, bottom, right, top = self.area
        x, y = (min(max(value, low + RING), high - RING) for value, low, high in zip(at, (left, bottom), (right, top), strict=True))
        return x, y

    def _mark(self, at: Place) -> None:
        # light under dark, so that a ring shows on lines and on wood alike
        for colour, width in (("white", 4.5), (INK, 2.2)):
            self.axes.add_artist(Line2D([at[0]], [at[1]], marker="o", markersize=2 * RING, markerfacecolor="none", markeredgecolor=colour,
                                      markeredgewidth=width, linestyle="none", zorder=8))  # fmt: skip

    def _tag(self, at: Place, text: str, taken: Sequence[Box]) -> Box:
        """Write text beside a ring, on the side where it covers the least; return its box."""
        width, height, descent = self._measure(text, TEXT, "normal")
        boxes = []
        for eighth in range(8):
            dx, dy = math.cos(eighth * math.pi / 4), math.sin(eighth * math.pi / 4)
            x = at[0] + dx * (RING + 4 + width / 2) - width / 2
            y = at[1] + dy * (RING + 4 + height / 2) - height / 2
            boxes.append((x, y, x + width, y + height))
        left, bottom, right, top = self.area
        best = min(boxes, key=lambda box: sum(_shared(box, other) for other in taken) - _shared(box, (left, bottom, right, top)))
        self._text(best[0], best[1] + descent, text, TEXT, name="where", colour=INK)
        return best


def _shared(a: Box, b: Box) -> float:
    """Return the area that two boxes share."""
    return max(0.0, min(a[2], b[2]) - max(a[0], b[0])) * max(0.0, min(a[3], b[3]) - max(a[1], b[1]))
