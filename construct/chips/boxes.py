"""Boxes round edges, from floats: they only ever say "certainly apart" (*estimate*, widened beyond what a float errs by)."""

from __future__ import annotations

import math
from typing import Any

from construct.chips.predicates import Box
from construct.geometry import Circle, Point
from construct.number_systems import LimitMet
from construct.phrasebook import say

_SHADE = 2.0**-24
"""Boxes are this part of the largest coordinate wider than need be: a float errs by 2⁻⁵² of it."""


def shade(magnitude: float) -> float:
    """Return by how much boxes of things up to `magnitude` mm from the origin are widened."""
    if not math.isfinite(magnitude):
        raise LimitMet(say("limit.coordinate"))
    return _SHADE * (1.0 + magnitude)


def estimate(exact: Any, point: Point) -> tuple[float, float]:
    """Return a mark's coordinates as floats, right to their last figure (*estimate*)."""
    return exact.to_float(point.x), exact.to_float(point.y)


def segment_box(a: tuple[float, float], b: tuple[float, float]) -> Box:
    """Return the box round a straight edge."""
    extra = shade(max(map(abs, (*a, *b))))
    return min(a[0], b[0]) - extra, min(a[1], b[1]) - extra, max(a[0], b[0]) + extra, max(a[1], b[1]) + extra


def arc_box(exact: Any, circle: Circle, a: tuple[float, float] | None, b: tuple[float, float] | None) -> Box:
    """Return the box round the arc counterclockwise from `a` to `b`, or round the whole circle."""
    x, y = estimate(exact, circle.centre)
    radius = math.sqrt(exact.to_float(circle.square))
    extra = shade(abs(x) + abs(y) + radius)
    corners = [(x + radius, y), (x, y + radius), (x - radius, y), (x, y - radius)]
    if a is not None and b is not None:
        # an extreme that a float might put on the wrong side lies within the extra anyway, beside an end
        doubt = extra * radius
        corners = [c for c in corners if (c[0] - a[0]) * (b[1] - a[1]) - (c[1] - a[1]) * (b[0] - a[0]) >= -doubt]
        corners += [a, b]
    xs, ys = [c[0] for c in corners], [c[1] for c in corners]
    return min(xs) - extra, min(ys) - extra, max(xs) + extra, max(ys) + extra
