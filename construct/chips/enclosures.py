"""Enclosures for chips: boxes from floats, and areas and angles by ball arithmetic.

Everything given out here is an *enclosure*, or a float that is labelled an
*estimate*.  The only file of the package that knows how exact values turn into
balls; arcs' angles leave the tower, so their sizes are known in no other way.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction
from typing import Any

from flint import arb, ctx

from construct.chips.predicates import Box
from construct.geometry import Circle, Point
from construct.number_systems import LimitMet, Number
from construct.number_systems.interval import Enclosure

Ball = arb
"""A number known to lie in it; sums and products of balls round outwards, at the precision of `working_at`."""

working_at = ctx.workprec
"""`with working_at(bits):` sets the precision of what is worked out inside."""

MOST_BITS = 1 << 14
"""No enclosure is asked for at a higher precision."""

_SHADE = 2.0**-24
"""Boxes are this part of the largest coordinate wider than need be: a float errs by 2⁻⁵² of it."""


def ball(exact: Any, number: Number, bits: int) -> Ball:
    """Return a ball around an exact number."""
    return exact.tower.ball(number.tree, bits)


def enclosed(exact: Any, number: Number, bits: int) -> Enclosure:
    """Return an exact number as a value of the interval system."""
    return Enclosure(ball(exact, number, bits), bits)


def enclosed_point(exact: Any, point: Point, bits: int) -> Point:
    """Return a mark over the interval system."""
    return Point(enclosed(exact, point.x, bits), enclosed(exact, point.y, bits))


def narrowed(exact: Any, make: Callable[[int], Ball], digits: int) -> tuple[Fraction, Fraction]:
    """Return (lower, upper) of what `make` encloses at some bits, at most 10^-digits apart (*enclosure*)."""
    bits = 64 + 4 * max(digits, 0)
    finer = 10 ** max(digits, 0)
    while bits <= MOST_BITS:
        lower, upper = ends(make(bits))
        if (upper - lower) * finer <= 1:
            return lower, upper
        bits *= 2
    raise LimitMet("an enclosure would need too many figures")


def certain_sign(make: Callable[[int], Ball], most_bits: int = MOST_BITS) -> int | None:
    """Return the sign of what `make` encloses, or None where so many bits do not settle it."""
    bits = 64
    while bits <= most_bits:
        found = make(bits)
        if found > 0:
            return 1
        if found < 0:
            return -1
        bits *= 2
    return None


def ends(found: Ball) -> tuple[Fraction, Fraction]:
    """Return the ends of a ball, without rounding."""
    if not found.is_finite():
        raise LimitMet("an enclosure has no ends")
    middle, radius = (
        Fraction(int(mantissa)) * Fraction(2) ** int(exponent)
        for mantissa, exponent in (found.mid().man_exp(), found.rad().man_exp())
    )
    return middle - radius, middle + radius


def pi(bits: int) -> Ball:
    """Return a ball around π."""
    with working_at(bits):
        return arb.pi()


def turned(exact: Any, cosine: Number, sine: Number, bits: int) -> Ball:
    """Return a ball around the angle in (0, 2π] whose cosine and sine are proportional to these; 2π for the direction +x.

    Which side of the +x axis the direction lies on is decided exactly.
    """
    above = exact.sign(sine)
    if above == 0:
        with working_at(bits):
            return arb.pi() * 2 if exact.sign(cosine) > 0 else arb.pi()
    y, x = ball(exact, sine, bits), ball(exact, cosine, bits)
    with working_at(bits):
        # the quarter-turn minus arctan x/y has no cut where y is not zero
        if not (y > 0 or y < 0):
            return arb(0, 7)
        angle = arb.pi() / 2 - (x / y).atan()
        return angle if above > 0 else angle + arb.pi()


# --- boxes: floats only ever say "certainly apart" ---------------------------------------------


def shade(magnitude: float) -> float:
    """Return by how much boxes of things up to `magnitude` mm from the origin are widened."""
    if not math.isfinite(magnitude):
        raise LimitMet("a coordinate is too large to carve")
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
