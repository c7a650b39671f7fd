"""A gap as an amount: what it is compared with, what it reads as.

Every amount answers two questions for certain: its sign less a bound, and its
figures.  Lengths are elements of the tower; angles, corners that no
construction gives and numbers that hold pi are enclosures, made finer until
they tell.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

from construct.claims import AngleGap, AnyGap, BoundedGap, Farthest, Finding, Gap, PiGap, TurnedGap, ratio_value, size
from construct.claims._angle_text import LONGEST, angle_form
from construct.claims._turns import angle_bounds, angle_sign
from construct.number_systems import LimitMet, NotANumber, Number
from construct.number_systems._angles import cosine, pi, root, sine
from construct.number_systems.exact import ExactSystem
from construct.number_systems.interval import IntervalSystem
from construct.phrasebook import say

MOST_DIGITS = 640
"""So many digits are asked of an enclosure before it is said that it can not tell."""

_FIGURES = 4
_Bounds = tuple[Fraction, Fraction]


class ExactAmount:
    """An element of the tower."""

    def __init__(self, exact: Any, gap: Gap) -> None:
        self.exact = exact
        self.unit = gap.unit
        self.number: Number = exact.sqrt(gap.value) if gap.squared else gap.value

    def sign(self, bound: Fraction = Fraction(0)) -> int:
        """Return the sign of the amount less `bound`: *exact*."""
        return int(self.exact.sign(self.number - self.exact.rational(bound)))

    def within(self, bound: Number) -> bool:
        """Tell whether the amount is at most `bound`, an exact number, either way: *exact*."""
        sign = self.exact.sign
        return sign(bound - self.number) >= 0 and sign(bound + self.number) >= 0

    def finding(self) -> Finding:
        """Return the amount as people read it."""
        exact = self.exact
        return Finding(_form(exact, self.number, self.unit), exact.to_float(self.number), exact.decimal(self.number, _FIGURES), self.unit)


class BoundedAmount:
    """An amount known by enclosures; `bounds` takes digits."""

    def __init__(self, bounds: Callable[[int], _Bounds], unit: str, form: str = "", guarantee: str = "enclosure") -> None:
        self.bounds = bounds
        self.unit = unit
        self.form = form
        self.guarantee = guarantee

    def sign(self, bound: Fraction = Fraction(0)) -> int:
        """Return the sign of the amount less `bound`: by an enclosure that excludes it."""
        return _sign(lambda digits: _less(self.bounds(digits), (bound, bound)))

    def finding(self) -> Finding:
        """Return the amount as people read it."""
        lower, upper = self.bounds(40)
        value = float((lower + upper) / 2)
        return Finding(self.form, value, _figures(self.bounds), self.unit, "exact" if self.form else self.guarantee)


class AngleAmount:
    """An angle, in degrees."""

    unit = "deg"

    def __init__(self, exact: Any, gap: AngleGap) -> None:
        self.exact = exact
        self.gap = gap

    def sign(self, bound: Fraction = Fraction(0)) -> int:
        """Return the sign of the amount less `bound` degrees: *exact*."""
        return angle_sign(self.exact, self.gap, bound / 360)

    def bounds(self, digits: int) -> _Bounds:
        """Return (lower, upper) in degrees, at most 10^-digits apart (*enclosure*)."""
        bits = 64 + 4 * max(digits, 0)
        while True:
            lower, upper = angle_bounds(self.exact, self.gap, bits)
            if (upper - lower) * 360 * 10**digits <= 1:
                return lower * 360, upper * 360
            bits *= 2

    def finding(self) -> Finding:
        """Return the amount as people read it."""
        try:
            degrees, form = angle_form(self.exact, self.gap)
        except LimitMet:
            degrees, form = None, ""
        if degrees is None:
            return BoundedAmount(self.bounds, self.unit, form).finding()
        return Finding(form, float(degrees), _rounded(degrees), self.unit)


def amount(exact: Any, gap: AnyGap) -> ExactAmount | BoundedAmount | AngleAmount:
    """Return a gap as an amount."""
    match gap:
        case Gap():
            return ExactAmount(exact, gap)
        case AngleGap():
            return AngleAmount(exact, gap)
        case TurnedGap():
            return BoundedAmount(lambda digits: _turned(exact, gap, digits), "mm")
        case PiGap():
            return BoundedAmount(lambda digits: pi_bounds(exact, gap, Fraction(1), digits), "mm")
        case BoundedGap():
            return BoundedAmount(gap.bounds, gap.unit, gap.exact, gap.guarantee)
        case Farthest():
            found = amount(exact, farthest(exact, gap))
            if isinstance(found, ExactAmount):
                found.number = size(exact, found.number)
            return found
    raise TypeError(f"{type(gap).__name__} is no gap")


def farthest(exact: Any, gap: Farthest) -> Gap | TurnedGap:
    """Return the largest of several gaps; of two that nothing tells apart the first."""
    best: Gap | TurnedGap | None = None
    for one in gap.gaps:
        if best is None or is_larger(exact, one, best):
            best = one
    assert best is not None
    return best


def is_larger(exact: Any, one: Gap | TurnedGap, other: Gap | TurnedGap) -> bool:
    """Tell whether one gap is larger than another in size; False where nothing tells them apart."""
    if isinstance(one, Gap) and isinstance(other, Gap):
        # squares are compared, so that only the largest needs its root
        return bool(exact.sign(_square(one) - _square(other)) > 0)
    for digits in (20, 60):
        bounds = [_size(amount_bounds(exact, two, digits)) for two in (one, other)]
        if bounds[0][0] > bounds[1][1]:
            return True
        if bounds[0][1] < bounds[1][0]:
            return False
    return False


def amount_bounds(exact: Any, gap: Gap | TurnedGap, digits: int) -> _Bounds:
    """Return (lower, upper) of a gap in mm (*enclosure*)."""
    if isinstance(gap, TurnedGap):
        return _turned(exact, gap, digits)
    if gap.squared:
        lower, upper = exact.enclosure(gap.value, 2 * digits)
        return root(lower, upper, 64 + 8 * digits)
    bounds: _Bounds = exact.enclosure(gap.value, digits)
    return bounds


def pi_bounds(exact: Any, gap: PiGap, times: Fraction, digits: int) -> _Bounds:
    """Return (lower, upper) of `plain` less `times` the right side, in mm (*enclosure*)."""
    numbers = IntervalSystem(bits=64 + 8 * digits)
    try:
        ratio = numbers.bounds(ratio_value(numbers, gap.ratio, pi(numbers.bits)))
    except NotANumber as none:
        raise LimitMet(say("limit.pi_ratio")) from none
    right = _times(_times(ratio, exact.enclosure(gap.of, digits + 8)), (times, times))
    return _less(exact.enclosure(gap.plain, digits + 8), right)


def within_of_pi(exact: Any, gap: PiGap, part: Fraction) -> bool:
    """Tell whether the gap is at most `part` of its right side, which is not negative, either way."""
    over = _sign(lambda digits: pi_bounds(exact, gap, 1 + part, digits))
    under = _sign(lambda digits: pi_bounds(exact, gap, 1 - part, digits))
    return over <= 0 <= under


# --- enclosures -----------------------------------------------------------------------------------


def _turned(exact: Any, gap: TurnedGap, digits: int) -> _Bounds:
    """Return (lower, upper) of the distance to a corner that no construction gives, in mm."""
    finer = 2 * digits + 10
    along, across = (exact.enclosure(value, finer) for value in (gap.along, gap.across))
    turned = _plus(_times(along, cosine(gap.turns, 64 + 4 * finer)), _times(across, sine(gap.turns, 64 + 4 * finer)))
    lower, upper = _less(exact.enclosure(gap.plain, finer), (2 * turned[0], 2 * turned[1]))
    return root(lower, upper, 64 + 4 * finer)


def _sign(bounds: Callable[[int], _Bounds]) -> int:
    digits = 20
    while digits <= MOST_DIGITS:
        lower, upper = bounds(digits)
        if lower > 0:
            return 1
        if upper < 0:
            return -1
        if lower == upper == 0:
            return 0
        digits *= 2
    raise LimitMet(say("limit.digits", digits=MOST_DIGITS))


def _plus(one: _Bounds, other: _Bounds) -> _Bounds:
    return one[0] + other[0], one[1] + other[1]


def _less(one: _Bounds, other: _Bounds) -> _Bounds:
    return one[0] - other[1], one[1] - other[0]


def _times(one: _Bounds, other: _Bounds) -> _Bounds:
    products = [a * b for a in one for b in other]
    return min(products), max(products)


def _size(one: _Bounds) -> _Bounds:
    if one[0] >= 0:
        return one
    return (-one[1], -one[0]) if one[1] <= 0 else (Fraction(0), max(-one[0], one[1]))


def _square(gap: Gap) -> Number:
    return gap.value if gap.squared else gap.value * gap.value


# --- figures and closed forms ---------------------------------------------------------------------


def _figures(bounds: Callable[[int], _Bounds]) -> str:
    """Return an amount correctly rounded to 4 significant figures."""
    digits = 20
    while digits <= MOST_DIGITS:
        lower, upper = bounds(digits)
        if lower > 0 or upper < 0:
            low, high = (_rounded(end) for end in (lower, upper))
            if low == high:
                return low
        digits *= 2
    return _rounded((lower + upper) / 2)


def _rounded(value: Fraction) -> str:
    exact = ExactSystem()
    return exact.decimal(exact.rational(value), _FIGURES)


def _form(exact: Any, number: Number, unit: str) -> str:
    try:
        text = str(exact.closed_form(number))
    except LimitMet:
        return ""
    if len(text) > LONGEST:
        return ""
    return text if unit == "1" else f"{text} {_UNITS[unit]}"


_UNITS = {"mm": "mm", "mm2": "mm²"}
