"""The straight-line program that a replay is: every operation written down, none carried out.

What a certificate is about.  Equal lines are written once.  A trace answers no
question about its numbers; `evaluate` runs it in another system.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from construct.number_systems import NumberSystem, Rational, Source


@dataclass(frozen=True, slots=True)
class TraceLine:
    """One operation. op: "rational", "letter", "add", "sub", "mul", "div", "sqrt", "reading" or "hole".

    operands: the lines it works on, by index.  constant: what else it needs: a fraction, a letter's
    name and drawn value, a graduation, or the holes.
    """

    op: str
    operands: tuple[int, ...]
    constant: Any = None


class Traced:
    """A number of a trace: the index of its line."""

    __slots__ = ("index", "system")

    def __init__(self, system: TraceSystem, index: int) -> None:
        self.system = system
        self.index = index

    def _with(self, op: str, other: Any, *, swapped: bool = False) -> Traced:
        if not isinstance(other, Traced):
            if not isinstance(other, int):
                return NotImplemented
            other = self.system.rational(other)
        pair = (other.index, self.index) if swapped else (self.index, other.index)
        return self.system.line(op, pair)

    def __add__(self, other: Any) -> Traced:
        return self._with("add", other)

    def __radd__(self, other: Any) -> Traced:
        return self._with("add", other, swapped=True)

    def __sub__(self, other: Any) -> Traced:
        return self._with("sub", other)

    def __rsub__(self, other: Any) -> Traced:
        return self._with("sub", other, swapped=True)

    def __mul__(self, other: Any) -> Traced:
        return self._with("mul", other)

    def __rmul__(self, other: Any) -> Traced:
        return self._with("mul", other, swapped=True)

    def __truediv__(self, other: Any) -> Traced:
        return self._with("div", other)

    def __rtruediv__(self, other: Any) -> Traced:
        return self._with("div", other, swapped=True)

    def __neg__(self) -> Traced:
        return self.system.rational(0)._with("sub", self)

    def __bool__(self) -> bool:
        raise TypeError("a traced number has no truth value")


class TraceSystem:
    """Writes down what is asked of it."""

    name = "trace"
    has_errors = False

    def __init__(self) -> None:
        self.lines: list[TraceLine] = []
        self._known: dict[TraceLine, int] = {}

    def line(self, op: str, operands: tuple[int, ...], constant: Any = None) -> Traced:
        """Write one line, or find it again."""
        line = TraceLine(op, operands, constant)
        index = self._known.get(line)
        if index is None:
            index = self._known[line] = len(self.lines)
            self.lines.append(line)
        return Traced(self, index)

    def rational(self, value: Rational) -> Traced:
        """A constant; `TypeError` for a float."""
        if isinstance(value, float):
            raise TypeError("a float can not enter a trace: write it as an int or a Fraction")
        return self.line("rational", (), Fraction(value))

    def letter(self, name: str, drawn: Rational) -> Traced:
        """A free choice, with its drawn value."""
        return self.line("letter", (), (name, Fraction(drawn)))

    def sqrt(self, value: Traced) -> Traced:
        """The root of a line."""
        return self.line("sqrt", (value.index,))

    def error(self, key: tuple[object, ...], source: Source) -> Traced:
        """Zero: a proof is about the ideal drawing."""
        return self.rational(0)

    def reading(self, value: Traced, graduation: Rational) -> Traced:
        """A ruler's reading of a line."""
        return self.line("reading", (value.index,), Fraction(graduation))

    def hole(self, value: Traced, holes: Sequence[Rational]) -> Traced:
        """The nearest hole to a line."""
        return self.line("hole", (value.index,), tuple(Fraction(hole) for hole in holes))

    def sign(self, value: Traced) -> None:
        """A trace knows no signs."""
        return

    def to_float(self, value: Traced) -> float:
        """A trace has no values: not a number."""
        return float("nan")


def evaluate(lines: Sequence[TraceLine], numbers: NumberSystem) -> list[Any]:
    """Return the value of every line over another system."""
    values: list[Any] = []
    for line in lines:
        operands = [values[index] for index in line.operands]
        match line.op:
            case "rational":
                values.append(numbers.rational(line.constant))
            case "letter":
                values.append(numbers.letter(*line.constant))
            case "add":
                values.append(operands[0] + operands[1])
            case "sub":
                values.append(operands[0] - operands[1])
            case "mul":
                values.append(operands[0] * operands[1])
            case "div":
                values.append(operands[0] / operands[1])
            case "sqrt":
                values.append(numbers.sqrt(operands[0]))
            case "reading":
                values.append(numbers.reading(operands[0], line.constant))
            case "hole":
                values.append(numbers.hole(operands[0], line.constant))
            case _:
                raise ValueError(f"no such line: {line.op}")
    return values


SYSTEM = TraceSystem
