"""Fractions as decimals with significant figures, correctly rounded.  Integer arithmetic only."""

from __future__ import annotations

import math
from fractions import Fraction


def rounded(fraction: Fraction, figures: int) -> Fraction:
    """`fraction`, not 0, to so many significant figures, an exact half to even."""
    unit = Fraction(10) ** (_exponent(fraction) - figures + 1)
    return round(fraction / unit) * unit


def _exponent(fraction: Fraction) -> int:
    """The power of ten of the first figure."""
    size = abs(fraction)
    # From lengths in bits, at most one too large or too small; texts of long integers are refused by Python.
    exponent = math.floor((size.numerator.bit_length() - size.denominator.bit_length()) * math.log10(2))
    while size >= Fraction(10) ** (exponent + 1):
        exponent += 1
    while size < Fraction(10) ** exponent:
        exponent -= 1
    return exponent


def print_decimal(fraction: Fraction, figures: int) -> str:
    """A fraction that `rounded` gave, with all its figures."""
    exponent = _exponent(fraction)
    digits = str(int(abs(fraction) / Fraction(10) ** (exponent - figures + 1)))
    sign = "-" if fraction < 0 else ""
    if exponent < -6 or exponent > max(figures, 15):
        rest = f".{digits[1:]}" if figures > 1 else ""
        return f"{sign}{digits[0]}{rest}e{exponent}"
    if exponent < 0:
        return f"{sign}0.{'0' * (-exponent - 1)}{digits}"
    whole = digits[: exponent + 1].ljust(exponent + 1, "0")
    rest = digits[exponent + 1 :]
    return f"{sign}{whole}.{rest}" if rest else f"{sign}{whole}"
