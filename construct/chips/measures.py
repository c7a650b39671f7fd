"""What a chip measures: area, length round, corners and their angles.

An area is an element of the tower plus Σ (r²/2)·angle over its arcs (Green's
theorem: ½∮(x dy − y dx)); an arc's angle is a rational part of a turn where
that is proved, else an arccos.  Numbers given out are *exact* or an *enclosure*.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from construct.chips import Chip, ChipEdge, Outline
from construct.chips.angles import part_of_turn
from construct.chips.predicates import bend_sign, counterclockwise, is_smooth, tangent
from construct.geometry import Point, cross, dot, square_distance, towards
from construct.number_systems import LimitMet, Number
from construct.number_systems._balls import Ball, ball, certain_sign, narrowed, pi, turned, working_at
from construct.phrasebook import say

LONGEST_TEXT = 200
"""A closed form with more characters than this is for nobody to read."""


@dataclass(frozen=True, slots=True)
class Arc:
    """An arc's share in an area: `square`/2 times an angle in (0, 2π].

    square: ± the radius squared, in mm²; minus where the walk runs clockwise.
    cosine, sine: of the angle, as numbers of the tower; 1 and 0 stand for the full turn.
    """

    square: Number
    cosine: Number
    sine: Number


@dataclass(frozen=True, slots=True)
class Area:
    """An area in mm²: algebraic + Σ square/2 · angle over `arcs`; *exact*."""

    algebraic: Number
    arcs: tuple[Arc, ...]


@dataclass(frozen=True, slots=True)
class Corner:
    """A corner of a chip: a mark at which a walk round it turns.

    before, after: the edges that end and start in it.
    cusp: True where the two touch, so that the inner angle is exactly 0 or 360 deg.
    angle_deg: (lower, upper) of the inner angle in degrees (*enclosure*).
    """

    point: Point
    before: ChipEdge
    after: ChipEdge
    cusp: bool
    angle_deg: tuple[Fraction, Fraction]


# --- area -------------------------------------------------------------------------------------


def area(exact: Any, chip: Chip | tuple[Outline, ...]) -> Area:
    """Return the exact area of a chip, its holes taken out; no root is adjoined."""
    walks = _walks(chip)
    twice = exact.rational(0)
    arcs = []
    for edge in (edge for walk in walks for edge in walk):
        if edge.circle is None:
            twice = twice + cross((edge.start.x, edge.start.y), (edge.finish.x, edge.finish.y))
            continue
        centre, square = edge.circle.centre, edge.circle.square
        if not edge.whole:
            twice = twice + cross((centre.x, centre.y), towards(edge.start, edge.finish))
        arcs.append(Arc(square * edge.sense, *_angle_of(exact, edge)))
    return Area(twice / 2, tuple(arcs))


def _angle_of(exact: Any, edge: ChipEdge) -> tuple[Number, Number]:
    """Return cosine and sine of the angle that an arc spans about its centre."""
    assert edge.circle is not None
    if edge.whole:
        return exact.rational(1), exact.rational(0)
    first, last = (towards(edge.circle.centre, end) for end in counterclockwise(edge))
    return dot(first, last) / edge.circle.square, cross(first, last) / edge.circle.square


def area_enclosure(exact: Any, measured: Area, digits: int) -> tuple[Fraction, Fraction]:
    """Return (lower, upper) of an area in mm², at most 10^-digits apart (*enclosure*)."""
    return narrowed(exact, lambda bits: _area_ball(exact, measured, bits), digits)


def area_sign(exact: Any, measured: Area, most_bits: int) -> int | None:
    """Return the sign of an area, None where an enclosure of so many bits does not settle it."""
    return certain_sign(lambda bits: _area_ball(exact, measured, bits), most_bits)


def _area_ball(exact: Any, measured: Area, bits: int) -> Ball:
    total = ball(exact, measured.algebraic, bits)
    for arc in measured.arcs:
        angle, square = turned(exact, arc.cosine, arc.sine, bits), ball(exact, arc.square, bits)
        with working_at(bits):
            total = total + square * angle / 2
    return total


def orientation(exact: Any, walk: Outline) -> int:
    """Return +1 for a walk that runs counterclockwise, -1 for a clockwise one.

    By an enclosure of its area, which is not zero: edges with one face on both sides are left
    out before, so what a walk goes round is a region.
    """
    senses = {edge.sense for edge in walk}
    if len(walk) == 1:
        return walk[0].sense
    if len(walk) == 2 and len(senses) == 1 and 0 not in senses:
        return walk[0].sense  # two arcs that bend the same way
    found = area_sign(exact, area(exact, (walk,)), 1 << 14)
    if found is None:
        raise LimitMet(say("limit.thin_inside"))
    return found


# --- for people -------------------------------------------------------------------------------


def area_text(exact: Any, measured: Area, *, longest: int = LONGEST_TEXT) -> str:
    """Return an area as a closed form in mm², such as "2500·π/3 − 1250·√3"; "" where it is longer than `longest`.

    *Exact*: π stands where an angle is proved to be a part of a turn, arccos for the others.
    """
    times_pi = exact.rational(0)
    others: list[tuple[Number, Number]] = []  # a weight before the arccos of a number
    for arc in measured.arcs:
        part = part_of_turn(exact, arc.cosine, arc.sine)
        if part is not None:
            times_pi = times_pi + arc.square * part
            continue
        half = arc.square / 2
        if exact.sign(arc.sine) < 0:  # the angle is 2π less the arccos
            times_pi = times_pi + arc.square
            half = -half
        for position, (weight, cosine) in enumerate(others):
            if exact.sign(cosine - arc.cosine) == 0:
                others[position] = weight + half, cosine
                break
        else:
            others.append((half, arc.cosine))
    text = ""
    try:
        arccosines = [(weight, f"arccos({exact.closed_form(cosine)})") for weight, cosine in others]
        for number, behind in [(times_pi, "π"), *arccosines]:
            sign = exact.sign(number)
            if sign:
                term = _times_text(exact.closed_form(number if sign > 0 else -number), behind)
                text += (" + " if sign > 0 else " − ") + term if text else term if sign > 0 else f"−{term}"
        text = _plus_text(exact, text, measured.algebraic)
    except LimitMet:
        return ""
    return "" if len(text) > longest else text or "0"


def _plus_text(exact: Any, text: str, number: Number) -> str:
    """Return a sum so far and a closed form as one sum."""
    sign = exact.sign(number)
    if sign == 0:
        return text
    form = exact.closed_form(number)
    if not text:
        return form
    if text.startswith("−") and not form.startswith("−"):
        return f"{form} − {text[1:]}"  # what is there first, then what is taken away
    if form.startswith("−"):
        return f"{text} − {form[1:]}"
    if sign < 0 and form.startswith("("):
        return f"{text} − {exact.closed_form(-number)}"
    return f"{text} + {form}"


def _times_text(number: str, behind: str) -> str:
    """Return a positive closed form times what stands behind it."""
    body, slash, below = number.rpartition("/")
    if not (slash and below.isdigit() and _is_one_term(body)):
        body, slash, below = number, "", ""
        if not _is_one_term(body):
            body = f"({body})"
    return f"{behind if body == '1' else f'{body}·{behind}'}{slash}{below}"


def _is_one_term(text: str) -> bool:
    """Tell whether all sums in a text stand inside brackets."""
    depth = 0
    for position, letter in enumerate(text):
        depth += (letter == "(") - (letter == ")")
        if depth < 0 or (letter == " " and depth == 0 and text[position + 1] in "+−"):
            return False
    return depth == 0


# --- length round -----------------------------------------------------------------------------


def perimeter_enclosure(exact: Any, chip: Chip | tuple[Outline, ...], digits: int) -> tuple[Fraction, Fraction]:
    """Return (lower, upper) of the length of all edges in mm, at most 10^-digits apart (*enclosure*)."""
    parts: list[tuple[Number, tuple[Number, Number] | None]] = []
    for edge in (edge for walk in _walks(chip) for edge in walk):
        if edge.circle is None:
            parts.append((square_distance(edge.start, edge.finish), None))
        else:
            parts.append((edge.circle.square, _angle_of(exact, edge)))

    def size(bits: int) -> Ball:
        total = Ball(0)
        for square, angle in parts:
            length = ball(exact, square, bits)
            turn = None if angle is None else turned(exact, *angle, bits)
            with working_at(bits):
                total = total + (length.sqrt() if turn is None else length.sqrt() * turn)
        return total

    return narrowed(exact, size, digits)


def _walks(chip: Chip | tuple[Outline, ...]) -> tuple[Outline, ...]:
    return chip.walks if isinstance(chip, Chip) else chip


# --- corners ----------------------------------------------------------------------------------


def corners(exact: Any, chip: Chip | tuple[Outline, ...], digits: int = 6) -> tuple[Corner, ...]:
    """Return the corners of a chip, outline first, each with its inner angle to 10^-digits deg (*enclosure*)."""
    found = []
    for walk in _walks(chip):
        for before, after in zip((walk[-1], *walk[:-1]), walk, strict=True):
            if not is_smooth(exact, before, after):
                found.append(_corner(exact, before, after, digits))
    return tuple(found)


def _corner(exact: Any, before: ChipEdge, after: ChipEdge, digits: int) -> Corner:
    """The inside is what a hand turning counterclockwise sweeps from the edge that goes to the edge that came."""
    goes, came = tangent(after, after.start), tangent(before, before.finish)
    back = -came[0], -came[1]
    cosine, sine = dot(goes, back), cross(goes, back)
    if exact.sign(sine) == 0 and exact.sign(cosine) > 0:
        # looking out along both: the inside is nothing where the edge that goes bends more to the right
        bend = bend_sign(exact, (after.sense, after.circle), (-before.sense, before.circle))
        angle = Fraction(0 if bend < 0 else 360)
        return Corner(after.start, before, after, True, (angle, angle))

    def degrees(bits: int) -> Ball:
        angle = turned(exact, cosine, sine, bits)
        with working_at(bits):
            return angle * 180 / pi(bits)

    return Corner(after.start, before, after, False, narrowed(exact, degrees, digits))
