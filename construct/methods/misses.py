"""How far a claim is missed on the plate as it was drawn: the claim's own measurand, over any number system.

A claim says where something ought to be, seen from other drawn things; its miss
is the way from there to where the thing came out, so what shifts both alike is
no part of it.  A miss has parts, one a mark: (dx, dy), or (d,) where it is a
difference of lengths, all in mm.  Over exact numbers its size is the claim's gap.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from construct.claims import centre, halfway, holds_pi, identity, incidence, lengths, ratio_value, spacing
from construct.geometry import Circle, Line, Point, cross, distance, left_of, middle, radius, towards
from construct.language.syntax import Ratio
from construct.number_systems import Number, NumberSystem
from construct.plan import Plan, PlannedClaim
from construct.replay import argument_value

Part = tuple[Number, ...]
"""(dx, dy) or (d,), in mm."""


@dataclass(frozen=True, slots=True)
class Miss:
    """A claim's miss.

    claim: what it is about.  names: what each part is of, a mark's name or "".
    sizes: how many numbers each part has, 1 or 2.  turn: +1 or -1, which way round evenly spaced marks run, 0 for others.
    """

    claim: PlannedClaim
    names: tuple[str, ...]
    sizes: tuple[int, ...]
    turn: int = 0

    def parts(self, numbers: NumberSystem, values: Sequence[Any]) -> list[Part]:
        """Return the parts over a number system, from a replay's values."""
        things = [argument_value(numbers, argument, values) for argument in self.claim.arguments]
        if self.turn:
            return _SPACED[self.claim.phrase.make](numbers, self.turn, *things)
        return _PLAIN[self.claim.phrase.make](numbers, *things)

    def flat(self, numbers: NumberSystem, values: Sequence[Any]) -> list[Number]:
        """Return all numbers of the parts in a row."""
        return [number for part in self.parts(numbers, values) for number in part]


def miss_of(plan: Plan, claim: PlannedClaim, drawn: Sequence[Any]) -> Miss | None:
    """Return a claim's miss; None where the claim speaks of angles, areas or places, which miss by no length.

    drawn: the settled values as floats, by index; they say which way round evenly spaced marks run.
    """
    kinds = [plan.things[index].kind for index in claim.arguments if isinstance(index, int)]
    make = claim.phrase.make
    marks = claim.arguments[0]
    if make in _SPACED and isinstance(marks, tuple):
        names = tuple(plan.things[index].name for index in marks)
        first, second = (drawn[index] for index in marks[:2])
        middle_ = drawn[claim.arguments[1]].centre if make is spacing.round_rim else _common([drawn[index] for index in marks])  # type: ignore[index]
        turn = 1 if cross(towards(middle_, first), towards(middle_, second)) >= 0 else -1
        sizes = (1, *(2 for _ in names[1:])) if make is spacing.round_rim else tuple(2 for _ in names[1:])
        return Miss(claim, names if make is spacing.round_rim else names[1:], sizes, turn)
    if make is spacing.along_line and isinstance(marks, tuple):
        names = tuple(plan.things[index].name for index in marks)
        return Miss(claim, (*names[1:-1], *names), (*(2 for _ in names[1:-1]), *(1 for _ in names)))
    if make not in _PLAIN:
        return None
    if make is identity.same and set(kinds) != {"mark"}:
        return None
    if make is incidence.on and not (len(kinds) == 2 and kinds[1] in ("line", "circle")):
        return None
    if make is lengths.is_part and any(isinstance(one, Ratio) and holds_pi(one) for one in claim.arguments):
        return None
    name = plan.things[marks].name if isinstance(marks, int) and make not in _LENGTHS else ""
    return Miss(claim, (name,), (1 if make in _LENGTHS or make is incidence.on else 2,))


def _apart(mark: Point, true: Point) -> Part:
    return mark.x - true.x, mark.y - true.y


def _halfway(numbers: NumberSystem, mark: Point, a: Point, b: Point) -> list[Part]:
    return [_apart(mark, middle(a, b))]


def _of_plate(numbers: NumberSystem, mark: Point) -> list[Part]:
    return [(mark.x, mark.y)]


def _of_circle(numbers: NumberSystem, mark: Point, rim: Circle) -> list[Part]:
    return [_apart(mark, rim.centre)]


def _same(numbers: NumberSystem, one: Point, other: Point) -> list[Part]:
    return [_apart(one, other)]


def _on(numbers: NumberSystem, mark: Point, thing: Line | Circle) -> list[Part]:
    if isinstance(thing, Line):
        return [(left_of(mark, thing) / numbers.sqrt(thing.dx * thing.dx + thing.dy * thing.dy),)]
    return [(distance(numbers, mark, thing.centre) - radius(numbers, thing),)]


def _equals(numbers: NumberSystem, a: Point, b: Point, d: Point, e: Point) -> list[Part]:
    return [(distance(numbers, a, b) - distance(numbers, d, e),)]


def _is_part(numbers: NumberSystem, a: Point, b: Point, ratio: Ratio, d: Point, e: Point) -> list[Part]:
    return [(distance(numbers, a, b) - distance(numbers, d, e) * ratio_value(numbers, ratio),)]


def _is_long(numbers: NumberSystem, a: Point, b: Point, length: Number) -> list[Part]:
    return [(distance(numbers, a, b) - length,)]


def _together(numbers: NumberSystem, a: Point, b: Point, d: Point, e: Point, f: Point, g: Point) -> list[Part]:
    return [(distance(numbers, a, b) + distance(numbers, d, e) - distance(numbers, f, g),)]


def _common(marks: Sequence[Point]) -> Point:
    """Return the common middle of some marks."""
    x = sum((mark.x for mark in marks[1:]), marks[0].x) / len(marks)
    y = sum((mark.y for mark in marks[1:]), marks[0].y) / len(marks)
    return Point(x, y)


def _round_rim(numbers: NumberSystem, turn: int, marks: Sequence[Point], rim: Circle) -> list[Part]:
    off = distance(numbers, marks[0], rim.centre) - radius(numbers, rim)
    return [(off,), *_from_first(numbers, turn, marks, rim.centre)]


def _regular(numbers: NumberSystem, turn: int, marks: Sequence[Point]) -> list[Part]:
    return _from_first(numbers, turn, marks, _common(marks))


def _from_first(numbers: NumberSystem, turn: int, marks: Sequence[Point], centre_: Point) -> list[Part]:
    """Return how far each mark lies from where the first one, turned about the middle, would be."""
    way = towards(centre_, marks[0])
    parts = []
    for place, mark in enumerate(marks[1:], 1):
        angle = turn * math.tau * place / len(marks)
        c, s = (numbers.rational(Fraction(one)) for one in (math.cos(angle), math.sin(angle)))
        true = Point(centre_.x + way[0] * c - way[1] * s, centre_.y + way[0] * s + way[1] * c)
        parts.append(_apart(mark, true))
    return parts


def _along_line(numbers: NumberSystem, marks: Sequence[Point], line: Line) -> list[Part]:
    first, last, count = marks[0], marks[-1], len(marks) - 1
    parts: list[Part] = []
    for place, mark in enumerate(marks[1:-1], 1):
        part = numbers.rational(Fraction(place, count))
        parts.append(_apart(mark, Point(first.x + (last.x - first.x) * part, first.y + (last.y - first.y) * part)))
    return [*parts, *(part for mark in marks for part in _on(numbers, mark, line))]


_LENGTHS = (lengths.equals, lengths.is_part, lengths.is_long, lengths.together)
_PLAIN: dict[Callable[..., Any], Callable[..., list[Part]]] = {
    halfway.halfway: _halfway,
    centre.of_plate: _of_plate,
    centre.of_circle: _of_circle,
    identity.same: _same,
    incidence.on: _on,
    lengths.equals: _equals,
    lengths.is_part: _is_part,
    lengths.is_long: _is_long,
    lengths.together: _together,
    spacing.along_line: _along_line,
}
_SPACED: dict[Callable[..., Any], Callable[..., list[Part]]] = {
    spacing.round_rim: _round_rim,
    spacing.regular: _regular,
    spacing.square: _regular,
}
