"""A ruler, or a template, used on lengths that may be anything near: the rounding as a spread, not as an offset.

At one written length a ruler's rounding is a fixed, known miss.  Advice for a range of lengths
can not rest on such luck: there a reading may lie anywhere between two graduations, and the
rounding is one more error, rectangular and a graduation wide, u = 0.29 graduations (JCGM 100, F.2.2.1).
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Sequence
from typing import Any

from construct.number_systems import Number, Rational, Source
from construct.number_systems.exact import ExactSystem
from construct.number_systems.first_order import Dual, FirstOrderSystem

ROUNDING = "rounding to a graduation"
SIZES = "rounding to a template's hole"
SPREAD = 1 / math.sqrt(12)
"""u of a rectangular distribution one unit wide."""


class AnyLengthSystem(FirstOrderSystem):
    """First order where each reading and each hole has its rounding as an error of its own."""

    def __init__(self, **options: Any) -> None:
        super().__init__(**options)
        self._count = 0

    def reading(self, value: Dual, graduation: Rational) -> Dual:
        """What is read, unrounded, and the rounding's error."""
        return value + self._rounding(ROUNDING, float(graduation))

    def hole(self, value: Dual, holes: Sequence[Rational]) -> Dual:
        """The size that is asked for, and the error of taking the nearest hole; what the hand misses in asking is no part of it."""
        place = min(max(bisect_left([float(hole) for hole in holes], value.value), 1), len(holes) - 1)
        return Dual(value.value) + self._rounding(SIZES, float(holes[place] - holes[place - 1]))

    def _rounding(self, name: str, width: float) -> Dual:
        self._count += 1
        source = Source(name, width * SPREAD, shape="rectangular", basis="half of the finest division, JCGM 100, F.2.2.1")
        return self.error((name, name, self._count), source)


class UnroundedSystem(ExactSystem):
    """Exact numbers with a ruler that reads any length: no tie, and no luck, at any size of plate."""

    def reading(self, value: Number, graduation: Rational) -> Number:
        """The length itself."""
        return value

    def hole(self, value: Number, holes: Sequence[Rational]) -> Number:
        """The size itself."""
        return value
