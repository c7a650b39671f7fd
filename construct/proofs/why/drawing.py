"""The drawn example: what a fact comes to in it, and what is read off it (which side, which order).

Over exact numbers this settles whether a step of a derivation may be shown; over
floats it only steers the search.  Everything read off is an open condition, a
number that is positive: nothing that merely happens to coincide in the drawing is
ever taken from it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import Any

from construct.claims import AngleGap, Part, size
from construct.claims._turns import angle_sign, is_turn
from construct.geometry import (
    Circle,
    Line,
    Point,
    cross,
    dot,
    foot,
    left_of,
    line_through,
    middle,
    square_distance,
    towards,
)
from construct.number_systems import Number
from construct.proofs.why.because import GRAIN, TURN, Fact, Term

NEAR = 1e-7
"""How near to nothing a float counts as nothing while searching; what is shown is decided exactly."""


class Drawing:
    """What terms are, over the exact system or over floats.

    numbers: the system.  things: values by the plan's index.  hidden: marks that nobody drew, by their negative number.
    """

    def __init__(self, numbers: Any, things: Callable[[int], Any], hidden: Callable[[int], Point]) -> None:
        self.numbers = numbers
        self._things = things
        self._hidden = hidden

    def mark(self, mark: int) -> Point:
        """Return where a mark is."""
        return self._things(mark) if mark >= 0 else self._hidden(mark)

    def line(self, term: Term) -> Line:
        """Return a line, drawn or through two marks."""
        if term[0] == "line":
            line: Line = self._things(term[1])
            return line
        if term == GRAIN:
            zero = self.numbers.rational(0)
            return Line(zero, zero, zero, self.numbers.rational(1))
        a, b = self.mark(term[1]), self.mark(term[2])
        return line_through(Point(a.x, a.y), Point(b.x, b.y))

    def circle(self, term: Term) -> Circle:
        """Return a circle, drawn or with two marks for the ends of a diameter."""
        if term[0] == "circle":
            circle: Circle = self._things(term[1])
            return circle
        a, b = self.mark(term[1]), self.mark(term[2])
        centre = middle(a, b)
        return Circle(centre, square_distance(centre, a))

    def square(self, term: Term) -> Number:
        """Return a length squared, in mm²."""
        match term[0]:
            case "between":
                return square_distance(self.mark(term[1]), self.mark(term[2]))
            case "radius":
                return self.circle(term[1]).square
            case "setting":
                return self._things(term[1]).square
            case "mm":
                return self.numbers.rational(term[1] * term[1])
            case "reading":
                return self._things(term[1]) * self._things(term[1])
        at = self.mark(term[1])
        return square_distance(at, foot(at, self.line(term[2])))

    def way(self, term: Term) -> tuple[Number, Number]:
        """Return (x, y), y ≥ 0, whose direction from +x is the angle."""
        _, corner, a, b = term
        one, other = (towards(self.mark(corner), self.mark(mark)) for mark in (a, b))
        return dot(one, other), size(self.numbers, cross(one, other))

    def zeros(self, fact: Fact) -> Sequence[Number]:
        """Return the numbers that are zero exactly where a fact holds; angles are `turned`'s business."""
        match fact:
            case ("on", mark, curve):
                if curve[0] in ("circle", "across"):
                    circle = self.circle(curve)
                    return (circle.square - square_distance(self.mark(mark), circle.centre),)
                return (left_of(self.mark(mark), self.line(curve)),)
            case ("middle", mark, circle):
                return _apart(self.mark(mark), self.circle(circle).centre)
            case ("equal", one, other, part):
                part = self.numbers.rational(part)
                return (self.square(one) - self.square(other) * part * part,)
            case ("halves", mark, a, b):
                return _apart(self.mark(mark), middle(self.mark(a), self.mark(b)))
            case ("is", one, other):
                return _apart(self.mark(one), self.mark(other))
            case ("same", one, other):
                if one[0] in ("circle", "across"):
                    first, second = self.circle(one), self.circle(other)
                    return (*_apart(first.centre, second.centre), first.square - second.square)
                line, known = self.line(one), self.line(other)
                return cross((line.dx, line.dy), (known.dx, known.dy)), left_of(Point(line.x, line.y), known)
            case ("touches", curve, circle, *_):
                return (self._touch(curve, self.circle(circle)),)
            case ("balance", h, a, b, d):
                h, a, b, d = (self.mark(mark) for mark in (h, a, b, d))
                return (square_distance(h, b) - square_distance(h, d) - square_distance(a, b) + square_distance(a, d),)
            case ("product", one, other, first, second):
                return (self.square(one) * self.square(other) - self.square(first) * self.square(second),)
        raise ValueError(f"no such fact: {fact[0]}")

    def _touch(self, curve: Term, circle: Circle) -> Number:
        if curve[0] in ("line", "pair"):
            line = self.line(curve)
            off = left_of(circle.centre, line)
            return off * off - circle.square * (line.dx * line.dx + line.dy * line.dy)
        other = self.circle(curve)
        rest = square_distance(circle.centre, other.centre) - circle.square - other.square
        return rest * rest - circle.square * other.square * 4

    # --- what is read off ---------------------------------------------------------------------------

    def seen(self, how: str, terms: Sequence[Term]) -> Sequence[Number]:
        """Return numbers that are all positive exactly where the drawing shows it so."""
        if how == "crosses":
            one, other = (self.line(term) for term in terms)
            turn = cross((one.dx, one.dy), (other.dx, other.dy))
            return (turn * turn,)
        marks = [self.mark(term) for term in terms]
        match how:
            case "apart":
                return (square_distance(*marks),)
            case "corner":
                turn = _turn(*marks)
                return (turn * turn,)
            case "between":
                return (-dot(towards(marks[0], marks[1]), towards(marks[0], marks[2])),)
            case "beyond":
                return (dot(towards(marks[0], marks[1]), towards(marks[0], marks[2])),)
            case "beside":
                p, q, a, b = marks
                return (_turn(a, b, p) * _turn(a, b, q),)
            case "across":
                p, q, a, b = marks
                return (-_turn(a, b, p) * _turn(a, b, q),)
            case "left":
                corner, a, b = marks
                return (_turn(corner, a, b),)
            case "within":
                p, a, o, b = marks
                return _turn(o, a, p) * _turn(o, a, b), _turn(o, b, p) * _turn(o, b, a)
        raise ValueError(how)


def _turn(a: Point, b: Point, p: Point) -> Number:
    return cross(towards(a, b), towards(a, p))


def _apart(one: Point, other: Point) -> tuple[Number, Number]:
    return one.x - other.x, one.y - other.y


def holds(drawing: Drawing, fact: Fact) -> bool:
    """Tell whether a fact is true in the drawn example: *exact* over exact numbers; `LimitMet` where that is too much."""
    exact = drawing.numbers
    match fact:
        case ("direction", one, other, part):
            (ax, ay), (bx, by) = ((line.dx, line.dy) for line in (drawing.line(one), drawing.line(other)))
            x, y = bx * ax + by * ay, bx * ay - by * ax
            if part in (0, Fraction(1, 4)):
                return bool(exact.sign(x if part else y) == 0)
            return is_turn(exact, x * x - y * y, x * y * 2, part * 2)
        case ("angle", one, other, part):
            gap = AngleGap((Part(Fraction(1), *drawing.way(one)),), -part)
            if other != TURN:
                first, second = drawing.way(one), drawing.way(other)
                if part == 1:
                    return bool(exact.sign(cross(first, second)) == 0 and exact.sign(dot(first, second)) > 0)
                gap = AngleGap((Part(Fraction(1), *first), Part(-part, *second)))
            return angle_sign(exact, gap) == 0
        case ("turn", ("ray", o, a), ("ray", _, b), part):
            one, other = (towards(drawing.mark(o), drawing.mark(mark)) for mark in (b, a))
            return is_turn(exact, dot(one, other), cross(one, other), part)
        case ("splits", line, a, corner, b):
            return _splits(drawing, line, a, corner, b)
    return all(exact.sign(number) == 0 for number in drawing.zeros(fact))


def _splits(drawing: Drawing, line: Term, a: int, corner: int, b: int) -> bool:
    """Tell whether a line passes the corner and parts the angle in two equal ones."""
    exact, drawn, at = drawing.numbers, drawing.line(line), drawing.mark(corner)
    one, other = (towards(at, drawing.mark(mark)) for mark in (a, b))
    way = drawn.dx, drawn.dy
    first, second = (dot(way, one), cross(way, one)), (dot(way, other), -cross(way, other))
    # both on the side that the line points to, or both behind it: the same angle, mirrored
    return bool(exact.sign(left_of(at, drawn)) == 0 and exact.sign(cross(first, second)) == 0 and exact.sign(dot(first, second)) > 0)


def looks_true(drawing: Drawing, fact: Fact) -> bool:
    """Tell whether a fact looks true over floats: steers the search, decides nothing."""
    match fact:
        case ("direction", one, other, part):
            (ax, ay), (bx, by) = ((line.dx, line.dy) for line in (drawing.line(one), drawing.line(other)))
            return _near_turn(complex(bx * ax + by * ay, bx * ay - by * ax) ** 2, 2 * part)
        case ("angle", one, other, part):
            first = _turns(complex(*drawing.way(one)))
            return abs(first - float(part) * (1.0 if other == TURN else _turns(complex(*drawing.way(other))))) < NEAR
        case ("turn", ("ray", o, a), ("ray", _, b), part):
            one, other = (complex(*towards(drawing.mark(o), drawing.mark(mark))) for mark in (a, b))
            return _near_turn(one * other.conjugate(), part)
        case ("splits", *_):
            return True  # only ever drawn
    scale = {"on": 2, "equal": 2, "touches": 4, "balance": 2, "product": 4, "same": 2}.get(fact[0], 1)
    return all(abs(number) < NEAR * 100.0**scale for number in drawing.zeros(fact))


def _turns(way: complex) -> float:
    from cmath import phase, pi

    return phase(way) / (2 * pi)


def _near_turn(way: complex, part: Fraction) -> bool:
    off = _turns(way) - float(part)
    return abs(off - round(off)) < NEAR


def shows(drawing: Drawing, how: str, terms: Sequence[Term]) -> bool:
    """Tell whether the drawing shows something that is read off it: *exact* over exact numbers."""
    return all(drawing.numbers.sign(number) > 0 for number in drawing.seen(how, terms))


def seems(drawing: Drawing, how: str, terms: Sequence[Term]) -> bool:
    """Tell the same over floats, with some room: steers the search, decides nothing."""
    return all(number > NEAR for number in drawing.seen(how, terms))
