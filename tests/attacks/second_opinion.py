"""A second opinion on where a recipe's things come out: angles and 60 digits, nothing of the project's own.

Every place is a complex number (millimetres; the grain runs up, along +i) and is worked out from what
the recipe's words mean, by other formulas than the project's.  Where each comes from stands beside it:
Euclid's *Elements* by book and proposition, or plane trigonometry as any school book has it.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import mpmath
from mpmath import mp, mpc, mpf

DIGITS = 60
ZERO = mpf(10) ** -38
"""Nearer than this is the same place: 60 digits leave room for what cancels."""
CLEAR = mpf(10) ** -12
"""Farther than this is certainly another place; whatever lies between the two is not asked."""


class Unclear(Exception):
    """Too near to call, or not there at all: the generator writes something else."""


@dataclass(frozen=True)
class Ray:
    """A line: a place on it, its direction as a unit, and where it ends, if it does."""

    at: mpc
    way: mpc
    length: mpf | None = None


@dataclass(frozen=True)
class Ring:
    """A circle, or an arc from one mark to another (`long` the long way round)."""

    centre: mpc
    radius: mpf
    ends: tuple[mpc, mpc] | None = None
    long: bool = False


def exactly(value: Fraction | int) -> mpf:
    """Return a written number."""
    return mpf(Fraction(value).numerator) / Fraction(value).denominator


def sign(value: mpf) -> int:
    """Return -1, 0 or 1; what is neither clearly nothing nor clearly something is not asked."""
    if abs(value) < ZERO:
        return 0
    if abs(value) < CLEAR:
        raise Unclear
    return 1 if value > 0 else -1


def same(a: mpc, b: mpc) -> bool:
    """Tell whether two places are one."""
    return sign(abs(a - b)) == 0


def unit(way: mpc) -> mpc:
    """Return the direction of a way."""
    if sign(abs(way)) == 0:
        raise Unclear
    return way / abs(way)


def left(ray: Ray, place: mpc) -> mpf:
    """Return how far to the left of a line a place lies: the imaginary part seen along it."""
    return ((place - ray.at) / ray.way).imag


def ahead(ray: Ray, place: mpc) -> mpf:
    """Return how far along a line a place lies."""
    return ((place - ray.at) / ray.way).real


def through(a: mpc, b: mpc, *, ends: bool = False) -> Ray:
    """Return the line from a to b and beyond, or ending there."""
    return Ray(a, unit(b - a), abs(b - a) if ends else None)


def turned(ray_way: mpc, turns: Fraction) -> mpc:
    """Return a direction turned clockwise by a part of a turn."""
    return ray_way * mpmath.expjpi(-2 * exactly(turns))


def foot(ray: Ray, place: mpc) -> mpc:
    """Return where the perpendicular from a place meets a line (Elements I.12)."""
    return ray.at + ray.way * ahead(ray, place)


def angle(a: mpc, corner: mpc, b: mpc) -> mpf:
    """Return the angle at a corner, in turns, 0 to 1/2."""
    return abs(mpmath.arg(unit(a - corner) / unit(b - corner))) / (2 * mp.pi)


# --- ends ---------------------------------------------------------------------------------------


def reaches(thing: Ray | Ring, place: mpc) -> bool:
    """Tell whether a place on a line or circle is not beyond where that ends."""
    if isinstance(thing, Ray):
        if thing.length is None:
            return True
        part = ahead(thing, place)
        return sign(part) >= 0 and sign(thing.length - part) >= 0
    if thing.ends is None:
        return True
    start, finish = (end - thing.centre for end in thing.ends)
    if same(place, thing.ends[0]) or same(place, thing.ends[1]):
        return True
    sweep = mpmath.arg(finish / start)  # the short way, between -pi and pi
    sign(mp.pi - abs(sweep))
    part = mpmath.arg((place - thing.centre) / start)
    on_short = sign(part) == sign(sweep) and sign(abs(sweep) - abs(part)) >= 0
    return on_short != thing.long


# --- meetings -----------------------------------------------------------------------------------


def meetings(one: Ray | Ring, other: Ray | Ring) -> list[mpc]:
    """Return where two things meet, ends not looked at, in the language's order.

    Two lines: by the sine rule.  A line and a circle: the foot of the centre, and half the chord by
    Pythagoras (Elements III.3, I.47).  Two circles: the triangle of centres and crossing, its angle by
    the law of cosines (Elements II.12, II.13); the left one first as one stands at the first centre.
    """
    if isinstance(one, Ray) and isinstance(other, Ray):
        between = (other.way / one.way).imag
        if sign(between) == 0:
            raise Unclear
        # across from `one`, the way to `other` shrinks by the sine of the angle between them
        return [other.at - other.way * left(one, other.at) / between]
    if isinstance(one, Ring) and isinstance(other, Ray):
        return meetings(other, one)
    if isinstance(one, Ray):
        assert isinstance(other, Ring)
        middle = foot(one, other.centre)
        room = other.radius**2 - abs(middle - other.centre) ** 2
        if sign(room) < 0:
            raise Unclear
        half = mpmath.sqrt(room) if sign(room) else mpf(0)
        return [middle - one.way * half, middle + one.way * half]
    assert isinstance(other, Ring)
    way = other.centre - one.centre
    apart = abs(way)
    if sign(apart) == 0:
        raise Unclear
    cosine = (apart**2 + one.radius**2 - other.radius**2) / (2 * apart * one.radius)
    side = sign(1 - abs(cosine))
    if side < 0:
        raise Unclear
    at = mpmath.acos(cosine) if side else (mpf(0) if cosine > 0 else mp.pi)
    return [one.centre + one.radius * unit(way) * mpmath.expj(at), one.centre + one.radius * unit(way) * mpmath.expj(-at)]


def tangents(place: mpc, ring: Ring) -> list[mpc]:
    """Return where the two lines from a place touch a circle.

    The angle at the place has the radius over the distance as its sine (Elements III.17, III.18).
    """
    apart = abs(ring.centre - place)
    if sign(apart - ring.radius) <= 0:
        raise Unclear
    at = mpmath.asin(ring.radius / apart)
    reach = mpmath.sqrt(apart**2 - ring.radius**2)
    return [place + reach * unit(ring.centre - place) * mpmath.expj(turn) for turn in (at, -at)]


# --- measures -----------------------------------------------------------------------------------


def circle_of(a: mpc, b: mpc, d: mpc) -> tuple[mpc, mpf]:
    """Return the middle and radius of the circle through three marks: where two perpendicular bisectors meet (IV.5)."""
    bisectors = [Ray((a + end) / 2, unit(end - a) * 1j) for end in (b, d)]
    (middle,) = meetings(*bisectors)
    return middle, abs(middle - a)


def off_drawn(thing: Ray | Ring, place: mpc) -> mpf:
    """Return the distance from a place to the nearest of a line or circle, its ends included."""
    if isinstance(thing, Ray):
        near = foot(thing, place)
        ends = [] if thing.length is None else [thing.at, thing.at + thing.way * thing.length]
    else:
        if sign(abs(place - thing.centre)) == 0:
            return thing.radius
        near = thing.centre + unit(place - thing.centre) * thing.radius
        ends = list(thing.ends or ())
    return abs(place - near) if reaches(thing, near) else min(abs(place - end) for end in ends)


def off_figure(middle: mpc, marks: list[mpc]) -> mpf:
    """Return the largest distance of a corner from the regular figure about a middle that begins at the first mark."""
    count = len(marks)
    worst = []
    for way in (1, -1):
        figure = [middle + (marks[0] - middle) * mpmath.expjpi(2 * way * mpf(k) / count) for k in range(count)]
        worst.append(max(abs(mark - corner) for mark, corner in zip(marks, figure, strict=True)))
    return min(worst)


def lines_apart(g: Ray, k: Ray) -> mpf:
    """Return the angle of two lines in turns, 0 to 1/4, whichever way they run."""
    at = abs(mpmath.arg(g.way / k.way)) / (2 * mp.pi)
    return min(at, mpf(1) / 2 - at)
