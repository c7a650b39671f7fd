"""Claims about a random recipe, each with its truth and its gap by `second_opinion`.

The gaps are those of the language's section 7; `None` where this file does not work one out.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import mpmath
from mpmath import mpf

from tests.attacks.random_recipes import Writer
from tests.attacks.second_opinion import (
    Ring,
    Unclear,
    ahead,
    angle,
    circle_of,
    exactly,
    left,
    lines_apart,
    meetings,
    off_drawn,
    off_figure,
    same,
    sign,
    through,
)


@dataclass(frozen=True)
class Said:
    """A claim: its words after `claim`, whether it is true, and its gap, signed left less right where it is a difference."""

    words: str
    true: bool
    gap: mpf | None = None
    unit: str = "mm"


def claim(w: Writer) -> Said:
    """Return one claim about what is there; `Unclear` where chance made none."""
    pick = w.random.choice
    m = [w.mark() for _ in range(8)]
    at = [w.marks[name] for name in m]
    kind = pick(("centre", "same", "on", "line", "circle", "inside", "between", "side", "halfway", "square", "parallel", "equal", "part", "long", "sum",
                 "product", "longer", "angle", "angles", "over", "lines", "touch", "meet", "spaced", "figure", "same line", "same circle"))  # fmt: skip
    match kind:
        case "centre":
            ring = w.ring()
            off = abs(at[0] - w.rings[ring].centre)
            return Said(f"{m[0]} is the centre of {ring}", sign(off) == 0, off)
        case "same":
            off = abs(at[0] - at[1])
            return Said(f"{m[0]} is {m[1]}", sign(off) == 0, off)
        case "on":
            name = pick([*w.lines, *w.rings])
            off = off_drawn(w.lines.get(name) or w.rings[name], at[0])
            return Said(f"{m[0]} is on {name}", sign(off) == 0, off)
        case "line":
            pairs = sorted(((abs(at[i] - at[j]), i, j) for i, j in ((0, 1), (0, 2), (1, 2))), reverse=True)
            if sign(pairs[0][0]) == 0:
                return Said(f"{m[0]}, {m[1]}, {m[2]} are in line", True)
            _, i, j = pairs[0]
            off = abs(left(through(at[i], at[j]), at[3 - i - j]))
            return Said(f"{m[0]}, {m[1]}, {m[2]} are in line", sign(off) == 0, off)
        case "circle":
            if sign(left(through(at[0], at[1]), at[2])) == 0:
                raise Unclear
            middle, reach = circle_of(*at[:3])
            off = abs(abs(at[3] - middle) - reach)
            return Said(f"{', '.join(m[:4])} are on one circle", sign(off) == 0, off)
        case "inside":
            ring, word = w.ring(), pick(("inside", "outside"))
            off = (abs(at[0] - w.rings[ring].centre) - w.rings[ring].radius) * (1 if word == "inside" else -1)
            return Said(f"{m[0]} is {word} {ring}", sign(off) < 0, off)
        case "between":
            stretch = through(at[1], at[2], ends=True)
            off = off_drawn(stretch, at[0])
            part = ahead(stretch, at[0])
            return Said(f"{m[0]} is between {m[1]} and {m[2]}", sign(off) == 0 and sign(part) > 0 and sign(abs(at[2] - at[1]) - part) > 0, off)
        case "side":
            line = w.drawn_line()
            by, off = (left(w.lines[line], place) for place in (at[1], at[0]))
            if sign(by) == 0:
                raise Unclear
            return Said(f"{m[0]} is on the {m[1]} side of {line}", sign(by) == sign(off), abs(off))
        case "halfway":
            off = abs(at[0] - (at[1] + at[2]) / 2)
            return Said(f"{m[0]} is halfway between {m[1]} and {m[2]}", sign(off) == 0, off)
        case "square" | "parallel":
            g, k = w.drawn_line(), w.drawn_line()
            off = lines_apart(w.lines[g], w.lines[k])
            off = (mpf(1) / 4 - off if kind == "square" else off) * 360
            return Said(f"{g} is {kind} to {k}", sign(off) == 0, off, "deg")
        case "equal":
            off = abs(at[0] - at[1]) - abs(at[2] - at[3])
            return Said(f"{m[0]} {m[1]} equals {m[2]} {m[3]}", sign(off) == 0, off)
        case "part":
            said, ratio = pick((("1/2", mpf(1) / 2), ("2", mpf(2)), ("sqrt(2)", mpmath.sqrt(2)), ("sqrt(3)/2", mpmath.sqrt(3) / 2), ("(sqrt(5) - 1)/2", mpmath.phi - 1)))
            off = abs(at[0] - at[1]) - ratio * abs(at[2] - at[3])
            return Said(f"{m[0]} {m[1]} is {said} of {m[2]} {m[3]}", sign(off) == 0, off)
        case "long":
            length = abs(at[0] - at[1])
            # the nearest thousandth: right where it comes out even; or a hair of 10^-20 mm beside an even one
            value = Fraction(int(mpmath.nint(length * 1000)), 1000) + pick((Fraction(0), Fraction(0), Fraction(1, 10**20)))
            off = length - exactly(value)
            if abs(off) < mpf(10) ** -30:
                off = mpf(0)
            return Said(f"{m[0]} {m[1]} is {_decimal(value)} mm", off == 0, off)
        case "sum":
            off = abs(at[0] - at[1]) + abs(at[2] - at[3]) - abs(at[4] - at[5])
            return Said(f"{m[0]} {m[1]} and {m[2]} {m[3]} together equal {m[4]} {m[5]}", sign(off) == 0, off)
        case "product":
            off = abs(at[0] - at[1]) * abs(at[2] - at[3]) - abs(at[4] - at[5]) * abs(at[6] - at[7])
            return Said(f"{m[0]} {m[1]} times {m[2]} {m[3]} equals {m[4]} {m[5]} times {m[6]} {m[7]}", sign(off) == 0, off, "mm2")
        case "longer":
            word = pick(("longer", "shorter"))
            off = (abs(at[2] - at[3]) - abs(at[0] - at[1])) * (1 if word == "longer" else -1)
            return Said(f"{m[0]} {m[1]} is {word} than {m[2]} {m[3]}", sign(off) < 0, off)
        case "angle":
            size = angle(at[0], at[1], at[2])
            degrees = int(mpmath.nint(size * 360))
            off = size * 360 - degrees
            return Said(f"angle {m[0]} {m[1]} {m[2]} is {degrees} deg", sign(off) == 0, off, "deg")
        case "angles":
            said, ratio = pick((("equals", 1), ("is 1/2 of", mpf(1) / 2), ("is 2 of", 2), ("is 1/3 of", mpf(1) / 3), ("is 3 of", 3)))
            off = (angle(at[0], at[1], at[2]) - ratio * angle(at[3], at[4], at[5])) * 360
            return Said(f"angle {m[0]} {m[1]} {m[2]} {said} angle {m[3]} {m[4]} {m[5]}", sign(off) == 0, off, "deg")
        case "over":
            size = angle(at[0], at[1], at[2]) * 360
            degrees, word = min(180, max(0, int(mpmath.nint(size)) + pick((-1, 0, 0, 1)))), pick(("over", "under"))
            off = (degrees - size) * (1 if word == "over" else -1)
            return Said(f"angle {m[0]} {m[1]} {m[2]} is {word} {degrees} deg", sign(off) < 0, off, "deg")
        case "lines":
            g, k = w.drawn_line(), w.drawn_line()
            size = lines_apart(w.lines[g], w.lines[k]) * 360
            degrees = int(mpmath.nint(size))
            if degrees < 90 and w.random.random() < 0.5:  # the larger of the two angles
                size, degrees = 180 - size, 180 - degrees
            off = size - degrees
            return Said(f"angle between {g} and {k} is {degrees} deg", sign(off) == 0, off, "deg")
        case "touch":
            ring, other = w.ring(), pick([*w.lines, *w.rings])
            return _touching(w, ring, other)
        case "meet":
            a, b, d = (w.drawn_line() for _ in range(3))
            (place,) = meetings(w.lines[a], w.lines[b])
            off = max(off_drawn(w.lines[one], place) for one in (a, b, d))
            return Said(f"{a}, {b}, {d} meet in one mark", sign(off) == 0, off)
        case "spaced":
            ring, many = w.ring(), pick((2, 3, 4))
            off = max(off_figure(w.rings[ring].centre, at[:many]), abs(abs(at[0] - w.rings[ring].centre) - w.rings[ring].radius))
            return Said(f"{', '.join(m[:many])} are evenly spaced round {ring}", sign(off) == 0, off)
        case "figure":
            many = pick((3, 4))
            if all(same(at[0], place) for place in at[1:many]):
                raise Unclear
            off = off_figure(sum(at[:many]) / many, at[:many])
            return Said(f"{', '.join(m[:many])} make a regular figure", sign(off) == 0, off)
        case "same line":
            g, k = w.drawn_line(), w.drawn_line()
            off = lines_apart(w.lines[g], w.lines[k]) * 360
            if sign(off) != 0:
                return Said(f"{g} is {k}", False, off, "deg")
            apart = abs(left(w.lines[g], w.lines[k].at))
            return Said(f"{g} is {k}", sign(apart) == 0, apart)
    one, other = w.ring(), w.ring()
    a, b = w.rings[one], w.rings[other]
    off = max(abs(a.centre - b.centre), abs(a.radius - b.radius))
    return Said(f"{one} is {other}", sign(off) == 0, off)


def _touching(w: Writer, name: str, other: str) -> Said:
    """A tangent is as far from the centre as the circle is wide (III.18); circles, the sum or difference of both (III.11, III.12)."""
    ring = w.rings[name]
    if other in w.lines:
        misses = [abs(left(w.lines[other], ring.centre)) - ring.radius]
        ended = w.lines[other].length is not None
    else:
        second: Ring = w.rings[other]
        apart = abs(ring.centre - second.centre)
        if sign(apart) == 0:
            raise Unclear
        misses = [apart - ring.radius - second.radius, apart - abs(ring.radius - second.radius)]
        ended = second.ends is not None
    if ended or ring.ends is not None:
        raise Unclear
    if len(misses) == 2 and sign(abs(misses[0]) - abs(misses[1])) == 0:
        raise Unclear  # one too far by as much as the other is too near
    off = min(misses, key=abs)
    return Said(f"{name} touches {other}", sign(off) == 0, off)


def _decimal(value: Fraction) -> str:
    return f"{value.numerator * 10**20 // value.denominator // 10**20}.{value.numerator * 10**20 // value.denominator % 10**20:020d}"
