"""Value and partial derivatives for every named error, over any other system.

Forward differentiation, one replay: over floats it gives a budget (*first
order*), over exact numbers closed-form sensitivities (*exact* derivatives).
A reading or a hole passes its derivative on: what rounding adds is a systematic
offset, the same in every trial.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from typing import Any

import numpy as np

from construct.number_systems import NotANumber, Number, NumberSystem, Rational, Source
from construct.number_systems.float import FloatSystem
from construct.phrasebook import say


class Dual:
    """A number with its gradient.

    value: a number of the base system.  grad: its partial derivatives, shape (errors,), per mm (per rad),
    or None where it depends on no error.
    """

    __slots__ = ("grad", "value")

    # numpy must leave mixed products to this class
    __array_ufunc__ = None

    def __init__(self, value: Number, grad: Any = None) -> None:
        self.value = value
        self.grad = grad

    def __add__(self, other: Any) -> Dual:
        if other.__class__ is not Dual:
            return Dual(self.value + other, self.grad)
        if other.grad is None:
            return Dual(self.value + other.value, self.grad)
        return Dual(self.value + other.value, other.grad if self.grad is None else self.grad + other.grad)

    __radd__ = __add__

    def __sub__(self, other: Any) -> Dual:
        if other.__class__ is not Dual:
            return Dual(self.value - other, self.grad)
        if other.grad is None:
            return Dual(self.value - other.value, self.grad)
        return Dual(self.value - other.value, -other.grad if self.grad is None else self.grad - other.grad)

    def __rsub__(self, other: Any) -> Dual:
        return Dual(other - self.value, None if self.grad is None else -self.grad)

    def __mul__(self, other: Any) -> Dual:
        if other.__class__ is not Dual:
            return Dual(self.value * other, None if self.grad is None else self.grad * other)
        a, b = self.grad, other.grad
        if a is None:
            grad = None if b is None else b * self.value
        else:
            grad = a * other.value if b is None else a * other.value + b * self.value
        return Dual(self.value * other.value, grad)

    __rmul__ = __mul__

    def __truediv__(self, other: Any) -> Dual:
        if other.__class__ is not Dual:
            return Dual(self.value / other, None if self.grad is None else self.grad / other)
        value = self.value / other.value
        a, b = self.grad, other.grad
        if b is None:
            return Dual(value, None if a is None else a / other.value)
        slope = -b * value if a is None else a - b * value
        return Dual(value, slope / other.value)

    def __rtruediv__(self, other: Any) -> Dual:
        value = other / self.value
        return Dual(value, None if self.grad is None else self.grad * -value / self.value)

    def __neg__(self) -> Dual:
        return Dual(-self.value, None if self.grad is None else -self.grad)

    def __bool__(self) -> bool:
        raise TypeError("a number with a gradient has no truth value: ask the number system for its sign")


class FirstOrderSystem:
    """Numbers are `Dual`s over `base`.

    errors: the keys to differentiate by, in the order of the gradient; others count as zero.
    noted: every error that the replay asked for, by key, whether differentiated or not.
    """

    name = "first_order"
    has_errors = True

    def __init__(self, *, base: NumberSystem | None = None, errors: Sequence[Hashable] = ()) -> None:
        self.base = FloatSystem() if base is None else base
        self._place = {key: place for place, key in enumerate(errors)}
        self._zero = self.base.rational(0)
        self._one = self.base.rational(1)
        self._plain = isinstance(self._one, float)
        self.noted: dict[tuple[object, ...], Source] = {}

    def rational(self, value: Rational) -> Dual:
        """A constant of the base system."""
        return Dual(self.base.rational(value))

    def letter(self, name: str, drawn: Rational) -> Dual:
        """A free choice of the base system."""
        return Dual(self.base.letter(name, drawn))

    def sqrt(self, value: Dual) -> Dual:
        """The root; `NotANumber` where it is zero and depends on an error: it has no derivative there."""
        root = self.base.sqrt(value.value)
        if value.grad is None:
            return Dual(root)
        if self.base.sign(root) == 0:
            raise NotANumber(say("no_number.just_touch"), 0.0)
        return Dual(root, value.grad / (root * 2))

    def error(self, key: tuple[object, ...], source: Source) -> Dual:
        """Zero, with derivative one by itself."""
        self.noted[key] = source
        place = self._place.get(key)
        if place is None:
            return Dual(self._zero)
        grad = np.zeros(len(self._place)) if self._plain else np.full(len(self._place), self._zero, dtype=object)
        grad[place] = self._one
        return Dual(self._zero, grad)

    def reading(self, value: Dual, graduation: Rational) -> Dual:
        """The reading; its sensitivity to what is read is one."""
        return Dual(self.base.reading(value.value, graduation), value.grad)

    def hole(self, value: Dual, holes: Sequence[Rational]) -> Dual:
        """The nearest hole: a fixed size, so it depends on no error."""
        return Dual(self.base.hole(value.value, holes))

    def sign(self, value: Dual) -> int | None:
        """The sign of the value."""
        return self.base.sign(value.value)

    def to_float(self, value: Dual) -> float:
        """The value as a float."""
        return float(self.base.to_float(value.value))


SYSTEM = FirstOrderSystem
