"""An angle gap as a person writes it: 15/2°, arctan(3/4) − 45°, 90° − arctan(√2/2).

Printing only.  What is printed equals the gap exactly: a fraction of degrees is
shown where the direction is proved to be that part of a turn, an arctangent
otherwise, and "" where it would be too long to read.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from construct.claims import AngleGap, Part
from construct.claims._turns import angle_bounds, is_turn, product, whole
from construct.geometry import is_constructible
from construct.number_systems import Number
from construct.number_systems._angles import turns

LONGEST = 90
"""A closed form of more characters is not shown."""

_FINEST_PART = 1020
"""Directions are tried as parts of a turn down to 1/1020; every constructible one in use is among them."""

_BITS = 192


def angle_form(exact: Any, gap: AngleGap) -> tuple[Fraction | None, str]:
    """Return the degrees where they are a fraction, else None; and the closed form, "" where it is long.

    `LimitMet` where the exact numbers grow too large.
    """
    gap = AngleGap(tuple(_halved(exact, part) for part in gap.parts), gap.turns)
    count = whole(gap)
    x, y = product(exact, gap)
    lower, upper = turns(exact, x, y, _BITS)
    angle = (lower + upper) / 2
    # the parts' sum, `count` times, is that angle and whole turns beside it
    lower, upper = angle_bounds(exact, gap, _BITS)
    value = ((lower + upper) / 2 - gap.turns) * count
    beside = Fraction(round(value - angle))
    part = angle.limit_denominator(_FINEST_PART)
    if is_constructible(part) and is_turn(exact, x, y, part):
        degrees = ((part + beside) / count + gap.turns) * 360
        return degrees, degrees_text(degrees)
    tangent = y / x
    falling = exact.sign(tangent) < 0
    if exact.sign(x) < 0:
        beside += Fraction(-1 if exact.sign(y) < 0 else 1, 2)
    inside = str(exact.closed_form(-tangent if falling else tangent))
    if len(inside) > LONGEST:
        return None, ""
    body = f"arctan({inside})" if count == 1 else f"arctan({inside})/{count}"
    text = _sum(body, (beside / count + gap.turns) * 360, falling=falling)
    return None, text if len(text) <= LONGEST else ""


def degrees_text(degrees: Fraction) -> str:
    """Return a fraction of degrees as it is written: −15/2°."""
    return f"{'−' if degrees < 0 else ''}{abs(degrees)}°"


def _halved(exact: Any, part: Part) -> Part:
    """Return a half, a quarter, … of an angle as the angle of the halved direction."""
    times, x, y = part.times, part.x, part.y
    while times.denominator % 2 == 0:
        x, y = _half(exact, x, y)
        times *= 2
    return Part(times, x, y)


def _half(exact: Any, x: Number, y: Number) -> Sequence[Number]:
    if exact.sign(y) == 0 and exact.sign(x) < 0:
        return exact.rational(0), exact.rational(1)
    return exact.sqrt(x * x + y * y) + x, y


def _sum(body: str, degrees: Fraction, *, falling: bool) -> str:
    """Return ± the body and some degrees as one sum; a negative body stands after positive degrees."""
    if not degrees:
        return f"−{body}" if falling else body
    if falling and degrees > 0:
        return f"{degrees_text(degrees)} − {body}"
    sign = "−" if falling else ""
    return f"{sign}{body} {'−' if degrees < 0 else '+'} {degrees_text(abs(degrees))}"

