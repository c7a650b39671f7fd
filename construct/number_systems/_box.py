"""Values over a whole box of errors: *enclosures*, first order with a remainder that bounds all beyond it.

A number is middle + slopes·(x − the box's middle) + remainder.  What an operation
leaves beyond first order is bounded over the box and becomes an unknown of its own,
as wide as that: so it falls out again where the same thing is added and taken away (affine
arithmetic: J. Stolfi, L. H. de Figueiredo, Self-Validated Numerical Methods and
Applications, 1997).  The remainder holds what is as small as rounding.  Underflow
is far below anything that a bench can mean.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

import numpy as np
from numpy.typing import NDArray

from construct.number_systems import NotANumber, Rational, Source

Array = NDArray[np.float64]
Ends = tuple[float, float]

OUT = 2.0**-50
"""Eight times the greatest relative error of one rounded operation: an operation here takes four at most."""

SMALL = 1e-9
"""What an operation leaves becomes an unknown from this part of its first order on; below it goes into the remainder."""


class Boxed:
    """A number over the box.

    middle: a float.  slopes: by the errors, then by the unknowns that there were when it was made, shape (up to slots,);
        None where the number depends on nothing.
    rest: ends of the remainder, holding zero.  reach: the most that the slopes come to, over the box.
    """

    __slots__ = ("middle", "reach", "rest", "slopes", "system")

    __array_ufunc__ = None

    def __init__(self, system: BoxSystem, middle: float, slopes: Array | None = None, rest: Ends = (0.0, 0.0), slack: float = 0.0) -> None:
        """slack: what the slopes and the middle may be off by through rounding, summed over the box."""
        self.system, self.middle, self.slopes = system, middle, slopes
        self.reach = 0.0 if slopes is None else system.reach(slopes)
        self.rest = _down(rest[0] - slack), _up(rest[1] + slack)

    @property
    def off(self) -> Ends:
        """Ends of what the number is away from its middle, anywhere in the box."""
        return _down(self.rest[0] - self.reach), _up(self.rest[1] + self.reach)

    @property
    def range(self) -> Ends:
        """Ends of the number, anywhere in the box."""
        off = self.off
        return _down(self.middle + off[0]), _up(self.middle + off[1])

    def __add__(self, other: Any) -> Boxed:
        other = self.system.lifted(other)
        slack = OUT * (abs(self.middle) + abs(other.middle) + self.reach + other.reach)
        return Boxed(self.system, self.middle + other.middle, _sum(self.slopes, other.slopes), _plus(self.rest, other.rest), slack)

    __radd__ = __add__

    def __sub__(self, other: Any) -> Boxed:
        return self + -self.system.lifted(other)

    def __rsub__(self, other: Any) -> Boxed:
        return self.system.lifted(other) + -self

    def __mul__(self, other: Any) -> Boxed:
        other = self.system.lifted(other)
        a, b = self.middle, other.middle
        slopes = _sum(_scaled(self.slopes, b), _scaled(other.slopes, a))
        # what is left of the product: a·rest of the other, b·rest of this one, and both ways off multiplied
        rest = _plus(_times((b, b), self.rest), _times((a, a), other.rest))
        slack = OUT * (abs(a * b) + abs(a) * other.reach + abs(b) * self.reach)
        return self.system.bent(a * b, slopes, rest, slack, self._off_times(other))

    __rmul__ = __mul__

    def _off_times(self, other: Boxed) -> Ends:
        """Return ends of the product of both ways off; by 4uv = (u + v)² − (u − v)² where that is narrower."""
        plain = _times(self.off, other.off)
        if self.slopes is None or other.slopes is None:
            return plain
        together = self.system.reach(_added(self.slopes, other.slopes)) * (1 + OUT)
        apart = 0.0 if self is other else self.system.reach(_added(self.slopes, -other.slopes)) * (1 + OUT)
        slack = OUT * (self.reach + other.reach)
        lines = -_up((apart + slack) ** 2 / 4) * (1 + OUT), _up((together + slack) ** 2 / 4) * (1 + OUT)
        slopes = (-self.reach, self.reach), (-other.reach, other.reach)
        rests = _plus(_plus(_times(slopes[0], other.rest), _times(slopes[1], self.rest)), _times(self.rest, other.rest))
        narrow = _plus(lines, rests)
        return max(plain[0], narrow[0]), min(plain[1], narrow[1])

    def __truediv__(self, other: Any) -> Boxed:
        other = self.system.lifted(other)
        if other.range[0] <= 0 <= other.range[1]:
            raise NotANumber("within the limits a divisor may be nothing")
        about = self.middle / other.middle
        # what both have in common falls out before anything is bounded
        left = self - other * self.system.constant(about)
        return left * _turned_over(other) + self.system.constant(about)

    def __rtruediv__(self, other: Any) -> Boxed:
        return self.system.lifted(other) / self

    def __neg__(self) -> Boxed:
        return Boxed(self.system, -self.middle, None if self.slopes is None else -self.slopes, (-self.rest[1], -self.rest[0]))

    def __bool__(self) -> bool:
        raise TypeError("a number over a box has no truth value")


class BoxSystem:
    """Numbers are `Boxed` (*enclosure*).

    half: half the box's width in each error, by key, in mm (rad); an error without an entry is nothing.
    middle: the box's middle; 0 where nothing is said.
    A reading or a hole that can fall on more than one graduation over the box becomes an unknown, as wide as that needs.
    """

    name = "box"
    has_errors = True

    def __init__(self, half: Mapping[Any, float], *, middle: Mapping[Any, float] | None = None) -> None:
        self._place = {key: place for place, key in enumerate(half)}
        self._middle = middle or {}
        self._half = np.array([*half.values(), *[0.0] * len(half)], dtype=np.float64)
        self._slots = len(half)

    def reach(self, slopes: Array) -> float:
        """Return the most that some slopes come to over the box; never too small."""
        return float(np.abs(slopes) @ self._half[: len(slopes)]) * (1 + len(slopes) * OUT)

    def bent(self, middle: float, slopes: Array | None, rest: Ends, slack: float, beyond: Ends) -> Boxed:
        """Return a number from its first order and the ends of what lies beyond that."""
        shift, half = (beyond[0] + beyond[1]) / 2, _up((beyond[1] - beyond[0]) / 2)
        made = Boxed(self, middle + shift, slopes, rest, slack + OUT * (abs(middle) + abs(shift) + half))
        if slopes is None or half <= SMALL * made.reach:
            return Boxed(self, made.middle, slopes, _plus(made.rest, (-half, half)))
        place = self._unknown(half)
        longer = np.zeros(place + 1)
        longer[: len(slopes)] = slopes
        longer[place] = 1.0
        return Boxed(self, made.middle, longer, made.rest)

    def _unknown(self, half: float) -> int:
        if self._slots == len(self._half):
            self._half = np.concatenate([self._half, np.zeros(max(64, len(self._half)))])
        self._half[self._slots] = half
        self._slots += 1
        return self._slots - 1

    def constant(self, value: float) -> Boxed:
        """A float, exactly."""
        return Boxed(self, value)

    def lifted(self, value: Any) -> Boxed:
        """Return a number of this system as it is, a rational one as a constant."""
        return value if value.__class__ is Boxed else self.rational(value)

    def rational(self, value: Rational) -> Boxed:
        """A constant: the nearest float, and what it is off by."""
        near = float(value)
        return Boxed(self, near, None, (0.0, 0.0), 0.0 if Fraction(near) == value else OUT * abs(near))

    def letter(self, name: str, drawn: Rational) -> Boxed:
        """The drawn value of a free choice."""
        return self.rational(drawn)

    def sqrt(self, value: Boxed) -> Boxed:
        """The root; `NotANumber` unless what depends on an error is above nothing all over the box."""
        low, high = value.range
        if value.slopes is None:
            if high < 0:
                raise NotANumber("a root was asked of a negative number", high)
            # a constant that may be a shade under nothing is rounding: the exact replay has seen that there is a root
            root = math.sqrt(max(value.middle, 0.0))
            return Boxed(self, root, None, (_down(math.sqrt(max(low, 0.0))) - root, _up(math.sqrt(high)) - root), OUT * root)
        if low < 0:
            raise NotANumber("within the limits two things may miss each other, or just touch", low)
        # a straight line of slope k between the ends: √x − kx is least at one of them, and nowhere over 1/(4k)
        ends = math.sqrt(low), math.sqrt(high)
        slope = 1 / (ends[0] + ends[1])
        beyond = min(ends[0] - slope * low, ends[1] - slope * high), 1 / (4 * slope)
        slack = OUT * (ends[1] + slope * (abs(value.middle) + high))
        return self.bent(slope * value.middle, _scaled(value.slopes, slope), _times((slope, slope), value.rest), slack, beyond)

    def error(self, key: tuple[object, ...], source: Source) -> Boxed:
        """The error, anywhere within its half-width of its middle."""
        place = self._place.get(key)
        return self.rational(0) if place is None else self._slot(place, self._middle.get(key, 0.0))

    def reading(self, value: Boxed, graduation: Rational) -> Boxed:
        """The reading; where several are possible, an error of its own about the one in the middle."""
        step = Fraction(graduation)

        def read(end: float) -> Fraction:
            return round(Fraction(end) / step) * step

        return self._stepped([read(end) for end in (value.middle, *value.range)])

    def hole(self, value: Boxed, holes: Sequence[Rational]) -> Boxed:
        """The nearest hole, in the same way."""

        def nearest(end: float) -> Fraction:
            return Fraction(min(holes, key=lambda hole: abs(hole - Fraction(end))))

        return self._stepped([nearest(end) for end in (value.middle, *value.range)])

    def sign(self, value: Boxed) -> int | None:
        """The sign all over the box; None where it is not the same."""
        low, high = value.range
        return 1 if low > 0 else -1 if high < 0 else None

    def to_float(self, value: Boxed) -> float:
        """The middle (*estimate*)."""
        return value.middle

    def _stepped(self, found: Sequence[Fraction]) -> Boxed:
        first, least, most = found
        if least == most:
            return self.rational(least)
        near = float(first)
        place = self._unknown(_up(float(max(first - least, most - first))))
        return self._slot(place, near, 0.0 if Fraction(near) == first else OUT * abs(near))

    def _slot(self, place: int, middle: float, slack: float = 0.0) -> Boxed:
        slopes = np.zeros(place + 1)
        slopes[place] = 1.0
        return Boxed(self, middle, slopes, (0.0, 0.0), slack)


def _turned_over(value: Boxed) -> Boxed:
    """Return 1/value, whose range does not hold zero."""
    low, high = value.range
    if high < 0:
        return -_turned_over(-value)
    # a straight line of slope −k: 1/x + kx is greatest at one of the ends, and nowhere under 2√k
    slope = 1 / (low * high)
    beyond = 2 * math.sqrt(slope), max(1 / low + slope * low, 1 / high + slope * high)
    slack = OUT * (beyond[1] + slope * abs(value.middle))
    return value.system.bent(-slope * value.middle, _scaled(value.slopes, -slope), _times((-slope, -slope), value.rest), slack, beyond)


# --- ends of intervals ---------------------------------------------------------------------------


def _down(value: float) -> float:
    return math.nextafter(value, -math.inf)


def _up(value: float) -> float:
    return math.nextafter(value, math.inf)


def _plus(a: Ends, b: Ends) -> Ends:
    return _down(a[0] + b[0]), _up(a[1] + b[1])


def _times(a: Ends, b: Ends) -> Ends:
    every = a[0] * b[0], a[0] * b[1], a[1] * b[0], a[1] * b[1]
    return _down(min(every)), _up(max(every))


def _sum(a: Array | None, b: Array | None) -> Array | None:
    if a is None or b is None:
        return b if a is None else a
    return _added(a, b)


def _added(a: Array, b: Array) -> Array:
    """Return slopes added; those of the shorter one are nothing where it ends."""
    if len(a) == len(b):
        return a + b
    short, long = (a, b) if len(a) < len(b) else (b, a)
    total = long.copy()
    total[: len(short)] += short
    return total


def _scaled(slopes: Array | None, by: float) -> Array | None:
    return None if slopes is None else slopes * by
