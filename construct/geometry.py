"""Marks, lines, circles and where they meet, over any number system.

Constructions make things; predicates return "the number whose sign is the
answer".  Nothing here compares numbers or holds a float: which of two answers
is meant is a `side`, -1 for the first and +1 for the second in the order that
the language fixes (along the line; standing at the first circle's centre and
facing the second's, the left one first).

Lengths are in millimetres, the grain runs along +y, and the blank's middle is
the origin, which no tool may use.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from construct.number_systems import NotANumber, Number, NumberSystem
from construct.phrasebook import say


@dataclass(frozen=True, slots=True)
class Chord:
    """The common chord of two drawn things: a point on it and its direction, first mark to second."""

    x: Number
    y: Number
    dx: Number
    dy: Number


@dataclass(frozen=True, slots=True)
class Point:
    """A mark.

    chord, side: where the mark is one of the two crossings on a common chord, that chord and
    which end it is; two ends of one chord are joined without ever needing the root in them.
    """

    x: Number
    y: Number
    chord: Chord | None = None
    side: int = 0


@dataclass(frozen=True, slots=True)
class Line:
    """A line through (x, y) along (dx, dy), any length but zero; with ends where it has them."""

    x: Number
    y: Number
    dx: Number
    dy: Number
    start: Point | None = None
    finish: Point | None = None


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle, or an arc where it has ends.

    square: the radius squared.  radius: the radius where it came without a root, else None.
    turn: for an arc with ends +1 the short way, -1 the long way; 0 for a whole circle.
    """

    centre: Point
    square: Number
    radius: Number | None = None
    start: Point | None = None
    finish: Point | None = None
    turn: int = 0


@dataclass(frozen=True, slots=True)
class Opening:
    """A compass setting: the radius squared, and the radius where it came without a root."""

    square: Number
    radius: Number | None = None


@dataclass(frozen=True, slots=True)
class Curve:
    """A smooth curve: one cubic arc given by its four control marks (Bernstein form)."""

    controls: tuple[Point, Point, Point, Point]


@dataclass(frozen=True, slots=True)
class Oval:
    """The edge of a plate that is not round: half-lengths across the grain (x) and along it (y)."""

    across: Number
    along: Number


@dataclass(frozen=True, slots=True)
class Board:
    """The edge of a board: half its width (x) and half its height (y)."""

    across: Number
    along: Number


Edge = Circle | Oval | Board | None
Thing = Point | Line | Circle | Opening | Curve | Oval | Board


def cross(a: Any, b: Any) -> Number:
    """Return a × b of two (x, y) pairs: positive when b lies to the left of a."""
    return a[0] * b[1] - a[1] * b[0]


def dot(a: Any, b: Any) -> Number:
    """Return the scalar product of two (x, y) pairs."""
    return a[0] * b[0] + a[1] * b[1]


def towards(a: Point, b: Point) -> tuple[Number, Number]:
    """Return the way from `a` to `b` as a pair (dx, dy), in mm."""
    return b.x - a.x, b.y - a.y


def square_distance(a: Point, b: Point) -> Number:
    """Return the squared distance of two marks, in mm²."""
    way = towards(a, b)
    return dot(way, way)


def distance(numbers: NumberSystem, a: Point, b: Point) -> Number:
    """Return the distance of two marks, in mm."""
    return numbers.sqrt(square_distance(a, b))


def radius(numbers: NumberSystem, circle: Circle | Opening) -> Number:
    """Return the radius, taking the root only where it did not come without one."""
    return numbers.sqrt(circle.square) if circle.radius is None else circle.radius


# --- constructions ----------------------------------------------------------------------------


def line_through(a: Point, b: Point) -> Line:
    """Return the line from `a` to `b` and beyond."""
    if a.chord is not None and a.chord is b.chord and a.side != b.side:
        chord = a.chord
        return Line(chord.x, chord.y, chord.dx * b.side, chord.dy * b.side)
    dx, dy = towards(a, b)
    return Line(a.x, a.y, dx, dy)


def middle(a: Point, b: Point) -> Point:
    """Return the mark half-way between two."""
    return Point((a.x + b.x) / 2, (a.y + b.y) / 2)


def along(start: Point, way: tuple[Number, Number], part: Number) -> Point:
    """Return the mark that lies `part` of `way` from `start`."""
    return Point(start.x + way[0] * part, start.y + way[1] * part)


def foot(point: Point, line: Line) -> Point:
    """Return the foot of the perpendicular from a mark to a line."""
    way = line.dx, line.dy
    part = dot((point.x - line.x, point.y - line.y), way) / dot(way, way)
    return Point(line.x + line.dx * part, line.y + line.dy * part)


def square_to(line: Line, point: Point) -> Line:
    """Return the line through `point` square to `line`: `line` turned a quarter to the left."""
    return Line(point.x, point.y, -line.dy, line.dx)


def parallel(line: Line, point: Point) -> Line:
    """Return the parallel to `line` through `point`."""
    return Line(point.x, point.y, line.dx, line.dy)


def flipped(point: Point, line: Line) -> Point:
    """Return the mirror image of a mark in a line."""
    at = foot(point, line)
    return Point(at.x * 2 - point.x, at.y * 2 - point.y)


def direction(numbers: NumberSystem, turns: Fraction) -> tuple[Number, Number]:
    """Return (cos, sin) of `turns` of a full turn, by square roots alone.

    The denominator must be a power of two times distinct Fermat primes among 3, 5, 17
    (Gauss, Wantzel); `ValueError` else.
    """
    turns %= 1
    cosine, sine = numbers.rational(1), numbers.rational(0)
    left = turns.denominator
    for prime in (3, 5, 17):
        if left % prime == 0:
            left //= prime
            # the part of the turn that lives in this prime alone (partial fractions)
            rest = turns.denominator // prime
            share = turns.numerator * pow(rest, -1, prime) % prime
            c, s = _turned(numbers, *_first(numbers, prime), share)
            cosine, sine = cosine * c - sine * s, sine * c + cosine * s
    odd = turns.denominator // left
    share = turns.numerator * pow(odd, -1, left) % left if left > 1 else 0
    if left & (left - 1):
        raise ValueError(f"{turns} of a turn can not be constructed")
    c, s = _halvings(numbers, Fraction(share, left))
    return cosine * c - sine * s, sine * c + cosine * s


def is_constructible(turns: Fraction) -> bool:
    """Tell whether `direction` can give this angle."""
    left = turns.denominator
    for prime in (3, 5, 17):
        if left % prime == 0:
            left //= prime
    return left & (left - 1) == 0


def _turned(numbers: NumberSystem, c: Number, s: Number, times: int) -> tuple[Number, Number]:
    cosine, sine = numbers.rational(1), numbers.rational(0)
    for _ in range(times):
        cosine, sine = cosine * c - sine * s, sine * c + cosine * s
    return cosine, sine


def _first(numbers: NumberSystem, prime: int) -> tuple[Number, Number]:
    """Return (cos, sin) of one third, fifth (Euclid IV.11) or seventeenth (Gauss) of a turn."""
    one = numbers.rational(1)
    if prime == 3:
        return -one / 2, numbers.sqrt(numbers.rational(3)) / 2
    if prime == 5:
        root = numbers.sqrt(numbers.rational(5))
        return (root - 1) / 4, numbers.sqrt(root * 2 + 10) / 4
    root = numbers.sqrt(numbers.rational(17))
    lower = numbers.sqrt(34 - root * 2)
    upper = numbers.sqrt(34 + root * 2)
    cosine = (root - 1 + lower + numbers.sqrt(root * 3 + 17 - lower - upper * 2) * 2) / 16
    return cosine, numbers.sqrt(1 - cosine * cosine)


def _halvings(numbers: NumberSystem, turns: Fraction) -> tuple[Number, Number]:
    """Return (cos, sin) for a denominator that is a power of two."""
    eighths = turns * 8
    if eighths.denominator == 1:
        zero, one = numbers.rational(0), numbers.rational(1)
        half = numbers.sqrt(numbers.rational(2)) / 2 if eighths.numerator % 2 else zero
        return (
            (one, zero), (half, half), (zero, one), (-half, half),
            (-one, zero), (-half, -half), (zero, -one), (half, -half),
        )[eighths.numerator]  # fmt: skip
    c, _ = _halvings(numbers, turns * 2 % 1)
    half_c, half_s = numbers.sqrt((c + 1) / 2), numbers.sqrt((1 - c) / 2)
    return (half_c if turns < Fraction(1, 4) or turns > Fraction(3, 4) else -half_c), (
        half_s if turns < Fraction(1, 2) else -half_s
    )


# --- meetings ---------------------------------------------------------------------------------


def meeting_sides(first: Thing, second: Thing) -> tuple[int, ...]:
    """Return the sides that `meet` can be asked for: one for two lines, two as soon as one is round."""
    if isinstance(first, Board) or isinstance(second, Board):
        return 0, 1, 2, 3
    if isinstance(first, Line) and isinstance(second, Line):
        return (0,)
    return -1, 1


def meet(numbers: NumberSystem, first: Thing, second: Thing, side: int) -> Point:
    """Return where two drawn things meet; ends are not looked at here (see `beyond_ends`).

    Raises `NotANumber` where they do not meet.
    """
    if isinstance(first, Line):
        if isinstance(second, Line):
            return _meet_lines(first, second)
        if isinstance(second, Circle):
            return _meet_line_circle(numbers, first, second, side)
        if isinstance(second, Oval):
            return _meet_line_oval(numbers, first, second, side)
        return _meet_lines(first, board_side(second, side))
    if isinstance(second, Line):
        return meet(numbers, second, first, side)
    if isinstance(first, Circle) and isinstance(second, Circle):
        return _meet_circles(numbers, first, second, side)
    raise NotANumber(say("no_number.edge_lines"))


def board_side(board: Board, side: int) -> Line:
    """Return side 0…3 of a board: bottom, right, top, left, with their corners as ends."""
    w, h = board.across, board.along
    corners = [Point(-w, -h), Point(w, -h), Point(w, h), Point(-w, h)]
    a, b = corners[side], corners[(side + 1) % 4]
    return Line(a.x, a.y, *towards(a, b), start=a, finish=b)


def _meet_lines(g: Line, h: Line) -> Point:
    turn = cross((g.dx, g.dy), (h.dx, h.dy))
    gap = h.x - g.x, h.y - g.y
    try:
        part = cross(gap, (h.dx, h.dy)) / turn
    except NotANumber as none:
        raise NotANumber(say("no_number.parallel")) from none
    return Point(g.x + g.dx * part, g.y + g.dy * part)


def _meet_line_circle(numbers: NumberSystem, line: Line, circle: Circle, side: int) -> Point:
    way = line.dx, line.dy
    length = dot(way, way)
    to_centre = circle.centre.x - line.x, circle.centre.y - line.y
    part = dot(to_centre, way) / length
    chord = Chord(line.x + line.dx * part, line.y + line.dy * part, line.dx, line.dy)
    off = cross(way, to_centre)
    radicand = (circle.square * length - off * off) / (length * length)
    half = _root(numbers, radicand, "passes_circle")
    return Point(chord.x + line.dx * half * side, chord.y + line.dy * half * side, chord, side)


def _meet_circles(numbers: NumberSystem, a: Circle, b: Circle, side: int) -> Point:
    way = towards(a.centre, b.centre)
    length = dot(way, way)
    try:
        part = (length + a.square - b.square) / (length * 2)
    except NotANumber as none:
        raise NotANumber(say("no_number.same_centre")) from none
    # facing the second centre, the left mark comes first: from left to right
    chord = Chord(a.centre.x + way[0] * part, a.centre.y + way[1] * part, way[1], -way[0])
    radicand = a.square / length - part * part
    half = _root(numbers, radicand, "no_reach")
    return Point(chord.x + chord.dx * half * side, chord.y + chord.dy * half * side, chord, side)


def _meet_line_oval(numbers: NumberSystem, line: Line, oval: Oval, side: int) -> Point:
    across, along_grain = oval.across * oval.across, oval.along * oval.along
    a = along_grain * line.dx * line.dx + across * line.dy * line.dy
    b = along_grain * line.x * line.dx + across * line.y * line.dy
    c = along_grain * line.x * line.x + across * line.y * line.y - across * along_grain
    part = -b / a
    chord = Chord(line.x + line.dx * part, line.y + line.dy * part, line.dx, line.dy)
    half = _root(numbers, (b * b - a * c) / (a * a), "passes_plate")
    return Point(chord.x + line.dx * half * side, chord.y + line.dy * half * side, chord, side)


def _root(numbers: NumberSystem, radicand: Number, wording: str) -> Number:
    try:
        return numbers.sqrt(radicand)
    except NotANumber as none:
        raise NotANumber(say(f"no_number.{wording}"), none.distance) from none


# --- predicates: the sign of the returned number is the answer ---------------------------------


def left_of(point: Point, line: Line) -> Number:
    """Positive where `point` lies to the left of `line`, 0 on it."""
    return cross((line.dx, line.dy), (point.x - line.x, point.y - line.y))


def inside(point: Point, circle: Circle) -> Number:
    """Positive where `point` lies inside `circle`, 0 on it (mm²)."""
    return circle.square - square_distance(point, circle.centre)


def nearer(point: Point, other: Point, to: Point) -> Number:
    """Positive where `point` is nearer `to` than `other` is (mm²)."""
    return square_distance(other, to) - square_distance(point, to)


def ahead(point: Point, line: Line, of: Point) -> Number:
    """Positive where `point` comes later than `of` along `line`."""
    return dot((line.dx, line.dy), towards(of, point))


def beyond_ends(point: Point, thing: Thing) -> tuple[Number, ...]:
    """Return numbers that are all ≥ 0 exactly where `point`, known to lie on `thing`, is not beyond its ends."""
    if isinstance(thing, Line):
        checks = []
        if thing.start is not None:
            checks.append(ahead(point, thing, thing.start))
        if thing.finish is not None:
            checks.append(-ahead(point, thing, thing.finish))
        return tuple(checks)
    if isinstance(thing, Circle) and thing.turn and thing.start is not None and thing.finish is not None:
        chord = towards(thing.start, thing.finish)
        bulge = cross(chord, towards(thing.start, point)) * cross(chord, towards(thing.start, thing.centre))
        return (-bulge * thing.turn,)
    return ()


def on_blank(point: Point, edge: Edge) -> tuple[Number, ...]:
    """Return numbers that are all ≥ 0 exactly where `point` lies on the blank, the edge included."""
    if edge is None:
        return ()
    if isinstance(edge, Circle):
        return (inside(point, edge),)
    if isinstance(edge, Oval):
        a, b = edge.across, edge.along
        x, y = point.x * b, point.y * a
        return (a * a * b * b - x * x - y * y,)
    return edge.across - point.x, edge.across + point.x, edge.along - point.y, edge.along + point.y


# --- pictures -----------------------------------------------------------------------------------


def to_floats(numbers: NumberSystem, thing: Any) -> Any:
    """Return a thing with every number as a float, for pictures (*estimate*); a row becomes a tuple."""
    if thing is None:
        return None
    if isinstance(thing, tuple):
        return tuple(to_floats(numbers, one) for one in thing)
    to_float = numbers.to_float
    match thing:
        case Point():
            return Point(to_float(thing.x), to_float(thing.y))
        case Line():
            ends = to_floats(numbers, thing.start), to_floats(numbers, thing.finish)
            return Line(to_float(thing.x), to_float(thing.y), to_float(thing.dx), to_float(thing.dy), *ends)
        case Circle():
            square = to_float(thing.square)
            ends = to_floats(numbers, thing.start), to_floats(numbers, thing.finish)
            return Circle(to_floats(numbers, thing.centre), square, square**0.5, *ends, thing.turn)
        case Opening():
            square = to_float(thing.square)
            return Opening(square, square**0.5)
        case Curve():
            return Curve(to_floats(numbers, thing.controls))
        case Oval():
            return Oval(to_float(thing.across), to_float(thing.along))
        case Board():
            return Board(to_float(thing.across), to_float(thing.along))
    return to_float(thing)
