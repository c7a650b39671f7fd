"""Lengths on a user's ruler: the nearest graduation, decided exactly, and whether the length lies on it.

A length may come by its square, so that no root is adjoined to the tower for a mere reading.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from construct.number_systems import LimitMet, Number, Tie
from construct.teaching import Setting


def read(exact: Any, length: Number, graduation: Fraction, use: str) -> Setting:
    """Return a length in mm as it stands on a ruler."""
    tie = False
    try:
        nearest = exact.is_rational(exact.reading(length, graduation))
    except Tie as between:
        nearest, tie = between.lower, True
    fraction = exact.is_rational(length)
    return Setting(use, nearest, tie, not tie and exact.equal(length, nearest), fraction, exact.to_float(length))


def read_square(exact: Any, square: Number, graduation: Fraction, use: str) -> Setting:
    """Return a length in mm, given its square, as it stands on a ruler."""
    rational = exact.is_rational(square)
    root = None if rational is None else _root(rational)
    if root is not None:
        return read(exact, exact.rational(root), graduation, use)
    count = max(0, round(math.sqrt(exact.to_float(square)) / float(graduation)))
    # the float only guesses: which graduation is nearest is decided by the squares of the middles on either side
    while count and exact.sign(square - exact.rational(((count - Fraction(1, 2)) * graduation) ** 2)) < 0:
        count -= 1
    while exact.sign(square - exact.rational(((count + Fraction(1, 2)) * graduation) ** 2)) > 0:
        count += 1
    nearest = count * graduation
    return Setting(use, nearest, False, exact.equal(square, nearest * nearest), None, math.sqrt(exact.to_float(square)))


def hole(exact: Any, size: Number, holes: Sequence[Fraction]) -> Setting:
    """Return a size in mm as a template has it."""
    tie = False
    try:
        nearest = exact.is_rational(exact.hole(size, holes))
    except Tie as between:
        nearest, tie = between.lower, True
    return Setting("template", nearest, tie, not tie and exact.equal(size, nearest), exact.is_rational(size), exact.to_float(size))


def drawn_only(value_mm: float, graduation: Fraction, use: str) -> Setting:
    """Return a setting for a length that is too large to settle exactly: an *estimate*, said to lie on no graduation."""
    nearest = round(Fraction(value_mm) / graduation) * graduation
    return Setting(use, nearest, False, False, None, value_mm)


def settled(exact: Any, square: Number, value_mm: float, graduation: Fraction, use: str) -> Setting:
    """Return `read_square`, or an estimate where a limit is met."""
    try:
        return read_square(exact, square, graduation, use)
    except LimitMet:
        return drawn_only(value_mm, graduation, use)


def _root(fraction: Fraction) -> Fraction | None:
    """Return the root of a fraction where that is one too."""
    top, bottom = math.isqrt(fraction.numerator), math.isqrt(fraction.denominator)
    root = Fraction(top, bottom)
    return root if root * root == fraction else None
