"""Small layouts for the chips' tests: put down by coordinates, or carved from a recipe's text."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from fractions import Fraction
from typing import Any

import pytest
from shapely.geometry import Polygon

from construct import claims, tools
from construct.chips import Carving, Chip, ChipEdge, Piece
from construct.chips.arrangement import Arrangement, arrange
from construct.chips.edge_floats import edge_floats
from construct.chips.subdivision import carve
from construct.geometry import Circle, Curve, Line, Point, square_distance, towards
from construct.language.parser import parse
from construct.number_systems.exact import ExactSystem
from construct.plan.planner import make_plan
from construct.replay import settle


class Wood:
    """Pieces cut by coordinates over one exact system, in mm."""

    def __init__(self) -> None:
        self.exact = ExactSystem()
        self.pieces: list[Piece] = []

    def number(self, value: Any) -> Any:
        return self.exact.rational(Fraction(value)) if isinstance(value, int | Fraction | str) else value

    def root(self, value: Any) -> Any:
        return self.exact.sqrt(self.number(value))

    def mark(self, x: Any, y: Any) -> Point:
        return Point(self.number(x), self.number(y))

    def circle(self, x: Any, y: Any, radius: Any) -> Circle:
        """The circle about (x, y); the radius may be an exact number."""
        reach = self.number(radius)
        return Circle(self.mark(x, y), reach * reach, reach)

    def ring(self, circle: Circle) -> None:
        """Cut a whole circle."""
        self._add(circle, None, None)

    def arc(self, circle: Circle, start: Point, finish: Point) -> None:
        """Cut counterclockwise from one mark of a circle to another."""
        self._add(circle, start, finish)

    def straight(self, a: Point, b: Point) -> None:
        """Cut from mark to mark."""
        self._add(Line(a.x, a.y, *towards(a, b), start=a, finish=b), a, b)

    def loop(self, *marks: Point) -> None:
        """Cut straight from mark to mark and back to the first."""
        for a, b in zip(marks, (*marks[1:], marks[0]), strict=True):
            self.straight(a, b)

    def curve(self, *controls: Point) -> None:
        """Cut along a french curve."""
        self._add(Curve(controls), controls[0], controls[3])  # type: ignore[arg-type]

    def _add(self, geometry: Any, start: Point | None, finish: Point | None) -> None:
        number = len(self.pieces)
        self.pieces.append(Piece(number + 1, number, geometry, start, finish))

    def arrangement(self) -> Arrangement:
        return arrange(self.exact, self.pieces)

    def chips(self) -> list[Chip]:
        """Return every closed region, numbered as found."""
        return [Chip("", number, face.outline, face.holes) for number, face in enumerate(self.arrangement().faces, start=1)]

    def through(self, x: Any, y: Any, mark: Point) -> Circle:
        """The circle about (x, y) through a mark: no root is needed."""
        centre = self.mark(x, y)
        return Circle(centre, square_distance(centre, mark))


@pytest.fixture
def wood() -> Wood:
    return Wood()


@pytest.fixture
def fresh() -> Callable[[], Wood]:
    """For tests that draw their inputs many times."""
    return Wood


class Carved:
    """A recipe carried as far as its chips."""

    def __init__(self, text: str) -> None:
        recipe = parse(text, actions=tools.phrases(), claims=claims.phrases())
        self.exact = ExactSystem()
        self.settled = settle(make_plan(recipe), self.exact)
        self.carving: Carving | None = carve(self.settled, self.exact)

    def chip(self, name: str) -> Chip:
        assert self.carving is not None
        return next(chip for chip in self.carving.chips if chip.name == name)


@pytest.fixture
def carved() -> Callable[[str], Carved]:
    return Carved


def places_on(exact: Any, edge: ChipEdge, count: int = 240) -> list[tuple[float, float]]:
    """Return places along an edge, its end left out."""
    (one,) = edge_floats(exact, ((edge,),), [1.0])
    if one.centre is None:
        return [one.start]
    angles = [one.first + one.span * n / count for n in range(count + 1)]
    return [one.at(angle) for angle in (angles[:-1] if edge.sense > 0 else angles[:0:-1])]


@pytest.fixture
def polygon() -> Callable[[Any, Chip], Polygon]:
    """A chip as shapely's polygon, its arcs as many short chords."""

    def made(exact: Any, chip: Chip) -> Polygon:
        walks = [[place for edge in walk for place in places_on(exact, edge)] for walk in chip.walks]
        return Polygon(walks[0], walks[1:])

    return made


@pytest.fixture
def arrangements() -> Callable[..., Iterator[Wood]]:
    """Pieces of wood with a few circles and lines cut across each, the same ones for a seed."""

    def made(*, seed: int, count: int) -> Iterator[Wood]:
        draw = random.Random(seed)
        for _ in range(count):
            wood = Wood()
            for _ in range(draw.randint(2, 4)):
                wood.ring(wood.circle(draw.randint(-30, 30), draw.randint(-30, 30), draw.randint(5, 40)))
            for _ in range(draw.randint(0, 2)):
                wood.straight(wood.mark(draw.randint(-60, 60), -70), wood.mark(draw.randint(-60, 60), 70))
            if not wood.arrangement().overlaps:
                yield wood

    return made
