"""The contract of a number system: what a bench formula may ask of its numbers.

A tool writes its construction once, over a `NumberSystem` that it knows only
by this contract.  What the formula then yields (proofs, pictures, trials, a
certificate) depends on the system it is replayed in.  One system object serves
one replay.  A system never knows a tool, and tools never compare numbers:
two-way choices are settled once, by the exact replay of the drawn example.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Protocol

Number = Any
"""A value of one system; supports + - * / and unary - with its like and with `int`."""

Rational = int | Fraction
"""What enters every system without rounding.  A float never does."""


class NotANumber(ArithmeticError):
    """A formula has no value here: a root of a negative number or a division by zero.

    `reason` is the sentence that a diagnostic shows; `distance` is, where it
    helps, a float that says how negative the radicand was (an *estimate*).
    """

    def __init__(self, reason: str, distance: float | None = None) -> None:
        super().__init__(reason)
        self.reason = reason
        self.distance = distance


class LimitMet(ArithmeticError):
    """A question was too large to settle within the system's limits (size, time).

    `reason` says which limit; the caller adds the line and answers "undecided".
    """

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason


class Tie(ArithmeticError):
    """A reading or a hole lies exactly half-way between two: the hand could take either."""

    def __init__(self, lower: Fraction, upper: Fraction) -> None:
        super().__init__(f"half-way between {lower} and {upper}")
        self.lower = lower
        self.upper = upper


@dataclass(frozen=True, slots=True)
class Source:
    """A bench error: one input quantity of the budget (JCGM 100).

    name: in bench words, such as "compass setting".
    u: standard uncertainty, in mm (angles: in rad).
    shape: "normal" or "rectangular" (JCGM 101, 6.4).
    unit: "mm" or "rad".
    basis: where the figure comes from; "judgement" where it is ours.
    """

    name: str
    u: float
    shape: str = "normal"
    unit: str = "mm"
    basis: str = "judgement"


class NumberSystem(Protocol):
    """What every system offers.

    has_errors: False where every `error` is zero; formulas may then leave
    disturbances out altogether, so that proofs carry no dead terms.
    """

    name: str
    has_errors: bool

    def rational(self, value: Rational) -> Number:
        """The number `value`, without rounding where the system can hold it."""

    def letter(self, name: str, drawn: Rational) -> Number:
        """A free choice; `drawn` is what the recipe says for the picture."""

    def sqrt(self, value: Number) -> Number:
        """The root of `value`; `NotANumber` unless it is certainly not negative."""

    def error(self, key: tuple[object, ...], source: Source) -> Number:
        """The disturbance called `key`; within one replay the same key is the same error."""

    def reading(self, value: Number, graduation: Rational) -> Number:
        """`value` as read to the nearest multiple of `graduation`."""

    def hole(self, value: Number, holes: Sequence[Rational]) -> Number:
        """The nearest of `holes` (sorted, rising) to `value`."""

    def sign(self, value: Number) -> int | None:
        """-1, 0, +1, or None where the system can not tell."""

    def to_float(self, value: Number) -> Any:
        """`value` for pictures and printing: a float, or for samples their mean."""
