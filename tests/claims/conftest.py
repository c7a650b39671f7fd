"""A sheet of exact things to claim something about, put down by coordinates: no recipe is needed."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from construct import claims
from construct.claims import World
from construct.claims._verdict import Answer, judge
from construct.geometry import Circle, Edge, Line, Point, towards
from construct.number_systems.exact import ExactSystem


class Sheet:
    """Marks, lines and circles over exact numbers, and what a claim about them comes to."""

    def __init__(self, edge: Edge = None) -> None:
        self.exact = ExactSystem()
        self.edge = edge
        self.phrases = {phrase.text: phrase for phrase in claims.phrases()}

    def number(self, value: Any) -> Any:
        """Return an int, a fraction or a decimal text as an exact number."""
        return self.exact.rational(Fraction(value)) if isinstance(value, int | Fraction | str) else value

    def root(self, value: Any) -> Any:
        """Return the root of a number."""
        return self.exact.sqrt(self.number(value))

    def mark(self, x: Any, y: Any) -> Point:
        """Put down a mark."""
        return Point(self.number(x), self.number(y))

    def line(self, a: Point, b: Point) -> Line:
        """Draw the line through two marks."""
        return Line(a.x, a.y, *towards(a, b))

    def stretch(self, a: Point, b: Point) -> Line:
        """Draw the line from one mark to another, which ends there."""
        return Line(a.x, a.y, *towards(a, b), start=a, finish=b)

    def circle(self, centre: Point, radius: Any) -> Circle:
        """Swing a circle."""
        reach = self.number(radius)
        return Circle(centre, reach * reach)

    def arc(self, centre: Point, start: Point, finish: Point, turn: int = 1) -> Circle:
        """Swing an arc that ends; the short way, or with turn -1 the long way."""
        dx, dy = towards(centre, start)
        return Circle(centre, dx * dx + dy * dy, None, start, finish, turn)

    def claim(self, wording: str, *things: Any, within: Any = None, unit: str = "mm") -> Answer:
        """Return what a claim comes to; the wording is the phrase's text."""
        statement = self.phrases[wording].make(World(self.exact, self.edge), *things)
        return judge(self.exact, statement, None if within is None else Fraction(within), unit)

    def proved(self, wording: str, *things: Any) -> None:
        """Demand that a claim is proved."""
        answer = self.claim(wording, *things)
        assert ("proved", None) == (answer.verdict, answer.finding)

    def refuted(self, wording: str, *things: Any, exact: str | None = None, figures: str | None = None) -> Answer:
        """Demand that a claim is refuted, with this closed form and these figures of its gap."""
        answer = self.claim(wording, *things)
        assert answer.verdict == "refuted"
        if exact is not None:
            assert answer.finding is not None
            assert exact == answer.finding.exact
        if figures is not None:
            assert answer.finding is not None
            assert figures == answer.finding.figures
        return answer


@pytest.fixture
def sheet() -> Sheet:
    """Return an empty sheet of paper."""
    return Sheet()


@pytest.fixture
def on_blank() -> Any:
    """Return what makes a sheet on a blank with an edge."""
    return Sheet
