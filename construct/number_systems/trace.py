"""The straight-line program that a replay is: every operation written down.

What a certificate is about.  Equal lines are written once; `evaluate` runs them
in another system.  By itself a trace answers no question about its numbers.
With a twin, another system that carries every operation out beside it, it
answers as the twin does and writes down each sign that was asked for: those
are what the program's branches rest on.
"""

from __future__ import annotations

import operator
from collections.abc import Callable, Sequence
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
    """A number of a trace: the index of its line, and its value in the twin system (None without one)."""

    __slots__ = ("index", "system", "twin")

    def __init__(self, system: TraceSystem, index: int, twin: Any) -> None:
        self.system = system
        self.index = index
        self.twin = twin

    def _with(self, op: str, other: Any, *, swapped: bool = False) -> Traced:
        if not isinstance(other, Traced):
            if not isinstance(other, int):
                return NotImplemented
            other = self.system.rational(other)
        first, second = (other, self) if swapped else (self, other)
        return self.system.operation(op, first, second)

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


_WORK = {"add": operator.add, "sub": operator.sub, "mul": operator.mul, "div": operator.truediv}


class TraceSystem:
    """Writes down what is asked of it.

    twin: another system that carries the operations out; None to write only.
    lines: the program.  values: the twin's value of each line.
    sides: for each line whose sign was asked for, that sign, in the order of asking.
    asked: the same with every repetition; whoever reads it may empty it.
    has_letters: whether the twin keeps free choices open (see `Bench.free_direction`).
    """

    name = "trace"
    has_errors = False

    def __init__(self, *, twin: NumberSystem | None = None) -> None:
        self.twin = twin
        self.lines: list[TraceLine] = []
        self.values: list[Any] = []
        self.sides: dict[int, int] = {}
        self.asked: list[int] = []
        self.has_letters = bool(getattr(twin, "has_letters", False))
        self._known: dict[TraceLine, int] = {}

    def _write(self, line: TraceLine, work: Callable[[NumberSystem], Any]) -> Traced:
        """Write one line, or find it again."""
        index = self._known.get(line)
        if index is None:
            # the twin first: what it refuses is not written
            value = None if self.twin is None else work(self.twin)
            index = self._known[line] = len(self.lines)
            self.lines.append(line)
            self.values.append(value)
        return Traced(self, index, self.values[index])

    def operation(self, op: str, first: Traced, second: Traced) -> Traced:
        """Write a sum, difference, product or quotient."""
        return self._write(TraceLine(op, (first.index, second.index)), lambda _: _WORK[op](first.twin, second.twin))

    def rational(self, value: Rational) -> Traced:
        """A constant; `TypeError` for a float."""
        if isinstance(value, float):
            raise TypeError("a float can not enter a trace: write it as an int or a Fraction")
        return self._write(TraceLine("rational", (), Fraction(value)), lambda twin: twin.rational(value))

    def letter(self, name: str, drawn: Rational) -> Traced:
        """A free choice, with its drawn value."""
        return self._write(TraceLine("letter", (), (name, Fraction(drawn))), lambda twin: twin.letter(name, drawn))

    def sqrt(self, value: Traced) -> Traced:
        """The root of a line."""
        return self._write(TraceLine("sqrt", (value.index,)), lambda twin: twin.sqrt(value.twin))

    def error(self, key: tuple[object, ...], source: Source) -> Traced:
        """Zero: a proof is about the ideal drawing."""
        return self.rational(0)

    def reading(self, value: Traced, graduation: Rational) -> Traced:
        """A ruler's reading of a line."""
        line = TraceLine("reading", (value.index,), Fraction(graduation))
        return self._write(line, lambda twin: twin.reading(value.twin, graduation))

    def hole(self, value: Traced, holes: Sequence[Rational]) -> Traced:
        """The nearest hole to a line."""
        line = TraceLine("hole", (value.index,), tuple(Fraction(hole) for hole in holes))
        return self._write(line, lambda twin: twin.hole(value.twin, holes))

    def sign(self, value: Traced) -> int | None:
        """The twin's sign, written down; None without a twin."""
        sign = None if self.twin is None else self.twin.sign(value.twin)
        if sign is not None:
            self.sides.setdefault(value.index, sign)
            self.asked.append(value.index)
        return sign

    def is_rational(self, value: Traced) -> Fraction | None:
        """The fraction that a line is, None where it is none or the twin can not tell."""
        told = getattr(self.twin, "is_rational", None)
        return None if told is None else told(value.twin)

    def to_float(self, value: Traced) -> float:
        """The twin's value; not a number without a twin."""
        return float("nan") if self.twin is None else float(self.twin.to_float(value.twin))


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
