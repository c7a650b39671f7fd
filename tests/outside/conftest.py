"""Studies a recipe and compares what comes out with numbers from outside, exactly and by a second computer algebra."""

from __future__ import annotations

import csv
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import sympy

from construct.claims import Verdict
from construct.study import study

SHARED = Path(__file__).parents[2] / "shared"


class Outcome:
    """A study of a recipe; expected numbers are functions of a root: `lambda sqrt: (sqrt(5) - 1) / 4`."""

    def __init__(self, text: str, way: str | None = None) -> None:
        self.study = study(text, way=way, others=False)
        self.exact = self.study.exact

    def __getitem__(self, name: str) -> Any:
        return self.study.values[self.study.plan.index(name)]

    def equal(self, expected: Any, actual: Any) -> None:
        """Demand the same number: exactly, and by sympy's own radicals to 40 digits inside our enclosure."""
        wanted, second = expected, expected
        if callable(expected):
            wanted = expected(lambda value: self.exact.sqrt(Fraction(value) if isinstance(value, int | Fraction) else value))
            second = expected(sympy.sqrt)
        assert self.exact.equal(wanted, actual), f"got {self.exact.closed_form(actual)}"
        lower, upper = self.exact.enclosure(actual, 30)
        opinion = Fraction(str(sympy.N(second, 60)))
        assert lower - Fraction(1, 10**50) <= opinion <= upper + Fraction(1, 10**50)

    def at(self, name: str, x: Any, y: Any) -> None:
        """Demand that a mark lies at a place, exactly."""
        self.equal(x, self[name].x)
        self.equal(y, self[name].y)

    def prints(self, expected: str, actual: Any) -> None:
        """Demand printed digits: no more than half a unit of the last one away."""
        digits = Decimal(expected)
        half = Fraction(Decimal(1).scaleb(digits.as_tuple().exponent)) / 2  # type: ignore[arg-type]
        lower, upper = self.exact.enclosure(actual, 40)
        assert abs(Fraction(digits) - lower) <= half
        assert abs(Fraction(digits) - upper) <= half

    def length(self, a: str, b: str) -> Any:
        """Return the distance of two marks."""
        dx, dy = self[a].x - self[b].x, self[a].y - self[b].y
        return self.exact.sqrt(dx * dx + dy * dy)

    def claim(self, words: str) -> Verdict:
        """Return the verdict on the claim with these words."""
        (found,) = [one for one in self.study.verdicts if one.text.removeprefix("claim ").strip() == words]
        return found

    def all_proved(self) -> None:
        """Demand that every claim is proved, and that there is one."""
        assert self.study.verdicts
        assert [] == [(one.text, one.verdict, one.reason, one.finding) for one in self.study.verdicts if one.verdict != "proved"]


@pytest.fixture
def studied() -> Callable[..., Outcome]:
    """Study a recipe's text."""
    return Outcome


@pytest.fixture
def table() -> Callable[[str], list[dict[str, str]]]:
    """Read one of the project's own reference tables."""

    def read(name: str) -> list[dict[str, str]]:
        lines = (SHARED / f"{name}.csv").read_text(encoding="utf-8").splitlines()
        return list(csv.DictReader(line for line in lines if not line.startswith("#")))

    return read
