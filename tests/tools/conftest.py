"""Lays a recipe out over exact numbers and looks at single things of it, without claims or chips."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from functools import cache
from typing import Any

import pytest

from construct import tools
from construct.diagnostics import Diagnostic, Mistakes
from construct.language.parser import parse
from construct.number_systems.exact import ExactSystem
from construct.plan import Plan
from construct.plan.planner import make_plan
from construct.replay import settle


@cache
def _phrases() -> tuple[Any, ...]:
    return tools.phrases()


class Laid:
    """A recipe laid out exactly.

    Expected places are written by hand as functions of a root: `lambda sqrt: (50, sqrt(3) * 50)`.
    """

    def __init__(self, text: str, way: str | None = None) -> None:
        self.exact = ExactSystem()
        plan: Plan = make_plan(parse(text, actions=_phrases(), claims=(), source="trial"), way=way)
        self.settled = settle(plan, self.exact)
        self.plan = self.settled.plan

    def __getitem__(self, name: str) -> Any:
        return self.settled.values[self.plan.index(name)]

    def root(self, value: Any) -> Any:
        """Return the root of a number."""
        return self.exact.sqrt(value if not isinstance(value, int | Fraction) else Fraction(value))

    def number(self, expected: Any) -> Any:
        """Return an expected number, a fraction or a function of the root, over exact numbers."""
        return expected(self.root) if callable(expected) else expected

    def equal(self, expected: Any, actual: Any) -> None:
        """Demand that two numbers are the same, exactly."""
        wanted = self.number(expected)
        shown = wanted if isinstance(wanted, int | Fraction) else self.exact.closed_form(wanted)
        assert self.exact.equal(wanted, actual), f"expected {shown}, got {self.exact.closed_form(actual)}"

    def at(self, name: str, expected: Any) -> None:
        """Demand that a mark lies at a place, exactly."""
        x, y = self.number(expected)
        self.equal(x, self[name].x)
        self.equal(y, self[name].y)

    def directed(self, name: str, expected: Any) -> None:
        """Demand that a line runs along a direction, in its sense; any length."""
        dx, dy = self.number(expected)
        line = self[name]
        self.equal(0, line.dx * dy - line.dy * dx)
        assert self.exact.sign(line.dx * dx + line.dy * dy) == 1, "the line runs the other way"

    def passes(self, name: str, expected: Any) -> None:
        """Demand that a line passes a place, exactly."""
        x, y = self.number(expected)
        line = self[name]
        self.equal(0, (line.x - x) * line.dy - (line.y - y) * line.dx)

    def swings(self, name: str, square: Any, centre: Any = None) -> None:
        """Demand the square of a circle's radius or of an opening, and where the needle stands."""
        self.equal(square, self[name].square)
        if centre is not None:
            x, y = self.number(centre)
            self.equal(x, self[name].centre.x)
            self.equal(y, self[name].centre.y)


@pytest.fixture
def lay() -> Callable[..., Laid]:
    """Lay out a recipe's text."""
    return Laid


@pytest.fixture
def mistakes() -> Callable[[str], Sequence[Diagnostic]]:
    """Return what is wrong with a recipe's text, in order; none where it can be laid out."""

    def find(text: str) -> Sequence[Diagnostic]:
        try:
            Laid(text)
        except Mistakes as wrong:
            return wrong.diagnostics
        return ()

    return find
