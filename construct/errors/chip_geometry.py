"""A chip's walls over any numbers: how far a place lies inside each, where two meet, the circle that walls hold.

What the knife follows is the drawn thing, shifted by the knife's own entry.  A
circle between walls is found by Newton's method from where it lies in the
drawing: over dual numbers that gives its exact derivatives, over samples the
circle of each trial.  Everything is an *estimate* or *first order*.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from construct.geometry import Circle, Curve, Line, Point, cross, meet, radius, square_distance
from construct.number_systems import Number, NumberSystem

STEPS = 4
"""Newton steps from the drawn place: each about doubles the right digits, and errors are small against the chips."""


@dataclass(frozen=True, slots=True)
class Side:
    """What one edge of a chip follows.

    thing: the drawn thing's index in the plan.
    sense: of an arc +1 where it bulges out of the chip, -1 where it is hollow; else +1 where the chip lies to the left
        of the line's own direction, -1 to its right.
    wall: number of the wall it is a part of: one cut, so one entry of the knife.
    parts: of a chord that stands in for a curve, the curve's parameters at its ends; else None.
    """

    thing: int
    sense: int
    wall: int
    parts: tuple[Fraction, Fraction] | None = None


@dataclass(frozen=True, slots=True)
class Vertex:
    """Where two sides of a chip join.

    before, after: positions among the chip's sides.  x, y: the drawn place, as fractions equal to floats in mm.
    side: which of two meetings it is (see `geometry.meet`); None where the sides go on in one line or touch: each then
        ends at its own foot of the drawn place.
    """

    before: int
    after: int
    x: Fraction
    y: Fraction
    side: int | None


@dataclass(frozen=True, slots=True)
class Touch:
    """What holds a circle: a side or a vertex of a chip, by position; outside: the circle lies outside the chip, in the land."""

    chip: int
    side: int | None
    vertex: int | None
    outside: bool = False


@dataclass(frozen=True, slots=True)
class Base:
    """Two or three touches that hold a circle by themselves.

    along: for two straight walls side by side, the direction along them, in which nothing holds it; else None.
    """

    touches: tuple[Touch, ...]
    along: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class HeldCircle:
    """A circle that walls hold.

    x, y: its drawn centre, as fractions equal to floats in mm.
    bases: each holds it by itself; the circle is the smallest of theirs.
    own: the touch whose own centre it has, where a round wall goes all about it; else None.
    """

    x: Fraction
    y: Fraction
    bases: tuple[Base, ...]
    own: Touch | None = None


Carrier = Circle | Line
"""What the knife follows over some numbers, its entry counted."""


def carrier(numbers: NumberSystem, thing: Any, side: Side, entry: Number) -> Carrier:
    """Return a side's drawn thing, shifted outwards from the chip by the knife's entry."""
    if isinstance(thing, Circle):
        reach = radius(numbers, thing) + entry * side.sense
        return Circle(thing.centre, reach * reach, reach)
    if isinstance(thing, Curve):
        assert side.parts is not None
        a, b = (on_curve(numbers, thing, part) for part in side.parts)
        thing = Line(a.x, a.y, b.x - a.x, b.y - a.y)
    length = numbers.sqrt(thing.dx * thing.dx + thing.dy * thing.dy)
    # the chip lies to the left where sense is +1, so outwards is to the right
    x, y = thing.dy / length * side.sense, -thing.dx / length * side.sense
    return Line(thing.x + x * entry, thing.y + y * entry, thing.dx, thing.dy)


def on_curve(numbers: NumberSystem, curve: Curve, part: Fraction) -> Point:
    """Return a place on a french curve by its parameter (Bernstein form)."""
    rest = 1 - part
    weights = [numbers.rational(w) for w in (rest**3, 3 * rest**2 * part, 3 * rest * part**2, part**3)]
    x = y = numbers.rational(0)
    for weight, mark in zip(weights, curve.controls, strict=True):
        x, y = x + mark.x * weight, y + mark.y * weight
    return Point(x, y)


def inwards(numbers: NumberSystem, what: Carrier | Point, sense: int, at: Point) -> tuple[Number, Number, Number]:
    """Return how far a place lies inside a wall (or from a vertex), in mm, and the unit vector in which that grows."""
    if isinstance(what, Line):
        length = numbers.sqrt(what.dx * what.dx + what.dy * what.dy)
        x, y = -what.dy / length * sense, what.dx / length * sense
        return (at.x - what.x) * x + (at.y - what.y) * y, x, y
    if isinstance(what, Point):
        far = numbers.sqrt(square_distance(what, at))
        return far, (at.x - what.x) / far, (at.y - what.y) / far
    far = numbers.sqrt(square_distance(what.centre, at))
    x, y = (what.centre.x - at.x) / far * sense, (what.centre.y - at.y) / far * sense
    return (radius(numbers, what) - far) * sense, x, y


def vertex_point(numbers: NumberSystem, vertex: Vertex, before: Carrier, after: Carrier) -> Point | None:
    """Return where two sides meet; None for a vertex that is no crossing.  Samples keep NaN where they miss each other."""
    if vertex.side is None:
        return None
    return meet(numbers, before, after, vertex.side)


def foot_of(numbers: NumberSystem, what: Carrier, sense: int, place: Point) -> Point:
    """Return the place of a carrier that is nearest to a place near it."""
    inside, x, y = inwards(numbers, what, sense, place)
    return Point(place.x - x * inside, place.y - y * inside)


@dataclass(frozen=True, slots=True)
class Held:
    """One thing that holds a circle: a carrier or a vertex, its sense, what its distances are multiplied by, and which way they count."""

    what: Carrier | Point
    sense: int
    slope: Number
    way: int


def circle_between(
    numbers: NumberSystem, held: Sequence[Held], start: tuple[Fraction, Fraction], along: tuple[float, float] | None
) -> tuple[Number, Point]:
    """Return the slope × distance that two or three walls have in common where they hold a circle, and its centre.

    Three walls: the place at which all three are alike.  Two: the place on the way straight from one to the other.
    """
    at = Point(numbers.rational(start[0]), numbers.rational(start[1]))
    value: Number = numbers.rational(0)
    for _ in range(STEPS):
        rows = []
        for one in held:
            inside, x, y = inwards(numbers, one.what, one.sense, at)
            slope = one.slope * one.way
            rows.append((slope * x, slope * y, slope * inside, x, y))
        (ax, ay, af, *_), (bx, by, bf, *_) = rows[:2]
        # subtracting one wall's row from another's leaves two unknowns, the step of the centre
        if len(held) == 3:
            cx, cy, cf, *_ = rows[2]
            last = cx - ax, cy - ay, af - cf
        elif along is not None:
            last = numbers.rational(Fraction(along[0])), numbers.rational(Fraction(along[1])), numbers.rational(0)
        else:
            last = _facing(numbers, held[:2], at, rows)
        first = bx - ax, by - ay, af - bf
        scale = first[0] * last[1] - first[1] * last[0]
        dx = (first[2] * last[1] - first[1] * last[2]) / scale
        dy = (first[0] * last[2] - first[2] * last[0]) / scale
        value = af + ax * dx + ay * dy
        at = Point(at.x + dx, at.y + dy)
    return value, at


def _facing(numbers: NumberSystem, held: Sequence[Held], at: Point, rows: Sequence[Any]) -> tuple[Number, Number, Number]:
    """Return the row that brings two walls' directions into one line: g₁ × g₂ = 0, and how it changes with the place."""
    (*_, ax, ay), (*_, bx, by) = rows
    (axx, axy, ayy), (bxx, bxy, byy) = (_bend(numbers, one, at) for one in held)
    # d(g₁ × g₂) along x and along y
    along_x = axx * by - axy * bx + ax * bxy - ay * bxx
    along_y = axy * by - ayy * bx + ax * byy - ay * bxy
    return along_x, along_y, -(ax * by - ay * bx)


def _bend(numbers: NumberSystem, one: Held, at: Point) -> tuple[Number, Number, Number]:
    """Return how the inward direction changes: its derivatives xx, xy, yy."""
    if isinstance(one.what, Line):
        zero = numbers.rational(0)
        return zero, zero, zero
    centre, sense = (one.what, -1) if isinstance(one.what, Point) else (one.what.centre, one.sense)
    dx, dy = at.x - centre.x, at.y - centre.y
    square = dx * dx + dy * dy
    cubed = square * numbers.sqrt(square) * -sense
    return dy * dy / cubed, -(dx * dy) / cubed, dx * dx / cubed


def swept(numbers: NumberSystem, circle: Circle, start: Point, finish: Point, sense: int, drawn: float) -> Number:
    """Return the angle in rad that an arc sweeps, near the drawn one.

    The difference's sine is small, and so its arcsine is a few terms of a series.
    """
    a = start.x - circle.centre.x, start.y - circle.centre.y
    b = finish.x - circle.centre.x, finish.y - circle.centre.y
    turned = cross(a, b) * sense / circle.square
    along = (a[0] * b[0] + a[1] * b[1]) / circle.square
    s = turned * numbers.rational(Fraction(math.cos(drawn))) - along * numbers.rational(Fraction(math.sin(drawn)))
    return numbers.rational(Fraction(drawn)) + arcsine(numbers, s)


def arcsine(numbers: NumberSystem, s: Number) -> Number:
    """Return arcsin of a small number by its series; off by under 1e-4 up to 0.5."""
    square = s * s
    third, fifth, seventh = (numbers.rational(one) for one in (Fraction(1, 6), Fraction(3, 40), Fraction(15, 336)))
    return s + s * square * (third + square * (fifth + square * seventh))


def tangent_of(numbers: NumberSystem, drawn: float, error: Number) -> Number:
    """Return tan(a + e) from the drawn angle's tangent and a small error e in rad: (tan a + tan e)/(1 − tan a·tan e)."""
    square = error * error
    third, fifth, seventh = (numbers.rational(one) for one in (Fraction(1, 3), Fraction(2, 15), Fraction(17, 315)))
    small = error + error * square * (third + square * (fifth + square * seventh))
    steep = numbers.rational(Fraction(drawn))
    return (steep + small) / (1 - steep * small)
