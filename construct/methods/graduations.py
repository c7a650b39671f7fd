"""What a ruler can show: lengths snapped to its graduations, and written as a recipe writes them. Exact fractions throughout."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

INCH = Fraction(254, 10)
MM, IN = "mm", "in"

COARSE = {MM: Fraction(1), IN: INCH / 16}
"""A free choice is said no finer than this: "about 71 mm"."""


def coarse(graduation: Fraction, units: str) -> Fraction:
    """Return what a free choice is rounded to, in mm: the ruler's graduation, but no finer than a hand needs it."""
    step = COARSE[units]
    whole = graduation / step
    return graduation if whole.denominator == 1 and whole >= 1 else step


def snapped(mm: Fraction, graduation: Fraction) -> Fraction:
    """Return the graduation nearest to a length, the smaller of two that are equally near; never less than one."""
    whole = -((Fraction(1, 2) - mm / graduation) // 1)
    return max(whole, 1) * graduation


def nearest_hole(mm: Fraction, holes: Sequence[Fraction]) -> Fraction:
    """Return the template's hole nearest to a diameter, the smaller of two that are equally near."""
    return min(holes, key=lambda hole: (abs(hole - mm), hole))


def written(mm: Fraction, unit: str) -> str:
    """Return a length as a recipe writes it, exactly: "31.5 mm", "7 15/16 in", "101 1/3 mm"."""
    value = mm / INCH if unit == IN else mm
    whole, part = divmod(value, 1)
    decimal = _decimal(value)
    if unit == MM and decimal:
        return f"{decimal} mm"
    if part == 0:
        return f"{whole} {unit}"
    return f"{whole} {part} {unit}" if whole else f"{part} {unit}"


def _decimal(value: Fraction) -> str:
    """Return a decimal of at most four places, "" where there is none that is exact."""
    for places in range(5):
        scaled = value * 10**places
        if scaled.denominator == 1:
            digits = str(scaled.numerator).rjust(places + 1, "0")
            return f"{digits[:-places]}.{digits[-places:]}" if places else digits
    return ""
