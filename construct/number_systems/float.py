"""Plain floats: pictures, and the yardstick for speed.

Every result is an *estimate*.  Nothing that is proved may rest on this file,
and nothing here ever decides a two-way choice.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Mapping, Sequence
from fractions import Fraction

from construct.number_systems import NotANumber, Rational, Source
from construct.phrasebook import say


class FloatSystem:
    """Numbers are Python floats (*estimate*).

    tangent_slack: radicands from -tangent_slack to 0 count as 0.  Zero by
        default; a picture of a layout with tangent arcs may allow for rounding.
    errors: values of named errors, by key, in mm (rad); all others are zero.  For difference quotients
        and for single mishaps ("what if the finder was 1 mm off").
    noted: with `errors` given, every error that the replay asked for, by key.
    """

    name = "float"

    def __init__(self, *, tangent_slack: float = 0.0, errors: Mapping[tuple[object, ...], float] | None = None) -> None:
        self.tangent_slack = tangent_slack
        self.has_errors = errors is not None
        self.noted: dict[tuple[object, ...], Source] = {}
        self._errors = errors

    def rational(self, value: Rational) -> float:
        """The float nearest to `value`."""
        return float(value)

    def letter(self, name: str, drawn: Rational) -> float:
        """The drawn value of a free choice."""
        return float(drawn)

    def sqrt(self, value: float) -> float:
        """The root of `value`; `NotANumber` where it is negative or not a number."""
        if value >= 0.0:
            return math.sqrt(value)
        if value >= -self.tangent_slack:
            return 0.0
        raise NotANumber(say("no_number.negative_root", about=value), float(value))

    def error(self, key: tuple[object, ...], source: Source) -> float:
        """The value given to this error; zero where none is."""
        if self._errors is None:
            return 0.0
        self.noted[key] = source
        return self._errors.get(key, 0.0)

    def reading(self, value: float, graduation: Rational) -> float:
        """The nearest multiple of `graduation`; a float can not see an exact tie."""
        step = Fraction(graduation)
        return float(round(value / float(step)) * step)

    def hole(self, value: float, holes: Sequence[Rational]) -> float:
        """The nearest of `holes`, the smaller one where a float sees no difference."""
        if not holes:
            raise ValueError("a template needs at least one hole")
        place = bisect_left([float(hole) for hole in holes], value)
        around = holes[max(place - 1, 0) : place + 1]
        return float(min(around, key=lambda hole: abs(float(hole) - value)))

    def sign(self, value: float) -> int | None:
        """The sign of the float (*estimate*); None where it is not a number."""
        if value != value:
            return None
        return (value > 0.0) - (value < 0.0)

    def to_float(self, value: float) -> float:
        """The value itself."""
        return float(value)


SYSTEM = FloatSystem
