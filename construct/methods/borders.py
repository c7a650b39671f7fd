"""Borders: how many units go round a circle, the chord to set, and what a rounded setting does by the time the walk closes.

A walk round a circle of diameter D with chord c turns by 2·asin(c/D) a step, so
after n steps it is D/2·(2n·asin(c/D) − 2π) past its start on the arc.  Chords and
closing gaps are *enclosures*, narrower than what is shown of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from construct.diagnostics import Mistakes, diagnostic
from construct.methods.graduations import snapped
from construct.number_systems import _balls as balls

BITS = 128
MOST = 2000
FAMILIES = (6, 8)
"""Counts of borders are multiples of these, as a rule of the trade (common practice, no source)."""

EASY = 3
"""A space is divided by trial into two or three with little ado, into more with much."""

NEAR = 1.1
"""A count that a bench divides easily is taken where it makes units at most a tenth larger or smaller: judgement."""

FERMAT = (3, 5, 17, 257, 65537)
"""The known Fermat primes: a circle can be divided into n by compass and straightedge where n is a power of two
times distinct ones of these (Gauss, Disquisitiones arithmeticae, art. 365-366; Wantzel 1837)."""

SHORT = (3, 5)
"""Those whose construction people do at a bench."""


@dataclass(frozen=True, slots=True)
class BorderCount:
    """One count round a layout circle; lengths in mm.

    count: units in all.  how: "construction", "long construction" (17 and more) or "trial".
    stages: the largest count that a bench constructs and that divides it, and into how many each of its spaces is then divided.
    family: True for a multiple of 6 or 8.  easy: True where, besides, no space is left to be divided into more than three.
    unit_mm: of the arc, for each.  spread_mm: what each unit got of the left-over, by the unit that was asked for; None without one.
    chord_mm: exactly to set.  setting_mm: that on the ruler.
    gap_mm: how far past its start the walk with that setting ends on the arc, short where negative.
    by_arc_mm: the same for dividers set to the arc in place of the chord; None where the arc is longer than the circle is across.
    """

    count: int
    how: str
    stages: tuple[int, int]
    family: bool
    easy: bool
    unit_mm: float
    spread_mm: float | None
    chord_mm: float
    setting_mm: Fraction
    gap_mm: float
    by_arc_mm: float | None

    @property
    def correction_mm(self) -> float:
        """How much wider the dividers must be opened so that the walk closes: gap over count, the other way."""
        return -self.gap_mm / self.count


@dataclass(frozen=True, slots=True)
class Border:
    """A border round a circle; lengths in mm.

    across_mm: diameter of the layout circle.  unit_mm: asked for, None where the count was.  raw: πD over unit.
    counts: those worth a look, rising.  best: of them the one to take.
    width_mm: of the border, the layout circle at its middle; None where not said.
    inner, outer: the unit inside and outside, as parts of the unit on the layout circle.  ratio: outer over inner.
    graduation_mm: of the ruler.
    """

    across_mm: Fraction
    unit_mm: Fraction | None
    raw: float
    counts: tuple[BorderCount, ...]
    best: BorderCount
    width_mm: Fraction | None
    inner: Fraction
    outer: Fraction
    ratio: Fraction
    graduation_mm: Fraction


def is_constructible(count: int) -> bool:
    """Tell whether a circle can be divided so by compass and straightedge (Gauss and Wantzel)."""
    return _without(count, FERMAT) == 1


def _without(count: int, primes: Sequence[int]) -> int:
    """Return a count with its twos, and each of some primes once, divided out."""
    for prime in primes:
        if count % prime == 0:
            count //= prime
    while count % 2 == 0:
        count //= 2
    return count


def chord_mm(across: Fraction, count: int) -> tuple[Fraction, Fraction]:
    """Return (lower, upper) around the chord of one of `count` equal parts, D·sin(π/n) (*enclosure*)."""
    with balls.working_at(BITS):
        return balls.ends(_ball(across) * (balls.pi(BITS) / count).sin())


def arc_mm(across: Fraction, count: int) -> tuple[Fraction, Fraction]:
    """Return (lower, upper) around the arc of one of `count` equal parts, πD/n (*enclosure*)."""
    with balls.working_at(BITS):
        return balls.ends(_ball(across) * balls.pi(BITS) / count)


def closing_gap_mm(across: Fraction, chord: Fraction, count: int) -> tuple[Fraction, Fraction]:
    """Return (lower, upper) around how far past its start a walk of `count` chords ends, on the arc (*enclosure*)."""
    if not 0 < chord <= across:
        raise Mistakes(
            (diagnostic("C723.chord"),)
        )
    with balls.working_at(BITS):
        return balls.ends(_ball(across) * ((_ball(chord / across)).asin() * count - balls.pi(BITS)))


def _ball(value: Fraction) -> balls.Ball:
    return balls.Ball(value.numerator) / value.denominator


def _middle(ends: tuple[Fraction, Fraction]) -> float:
    return float((ends[0] + ends[1]) / 2)


def border(
    across: Fraction, *, unit: Fraction | None = None, count: int | None = None, width: Fraction | None = None, graduation: Fraction
) -> Border:
    """Return the counts worth a look for a unit, or one count; all lengths in mm.

    Raises `Mistakes` where neither or both are said, or where they make no border.
    """
    if (unit is None) == (count is None):
        raise Mistakes(
            (diagnostic("C722"),)
        )
    if width is not None and width >= across:
        raise Mistakes((diagnostic("C723.wide"),))
    if count is not None:
        if not 3 <= count <= MOST:
            raise Mistakes((diagnostic("C723.count", most=MOST, count=count),))
        counts: list[int] = [count]
        raw = float(count)
    else:
        assert unit is not None
        raw = _middle(arc_mm(across, 1)) / float(unit)
        if not 3 <= raw <= MOST:
            raise Mistakes(
                (
                    diagnostic("C723.units", raw=raw, most=MOST),
                )
            )
        counts = _worth_a_look(raw)
    rows = tuple(_row(across, one, unit, graduation) for one in counts)
    half = width / across if width is not None else Fraction(0)
    return Border(across, unit, raw, rows, _best(rows, raw), width, 1 - half, 1 + half, (1 + half) / (1 - half), graduation)


def _worth_a_look(raw: float) -> list[int]:
    """Return the nearest counts, and the nearest below and above that a bench constructs or that the trade likes."""
    found = {max(3, int(raw)), max(3, int(raw) + 1)}
    for good in (lambda n: _how(n) == "construction", _is_easy, *(lambda n, by=by: n % by == 0 for by in FAMILIES)):
        found |= {
            next((n for n in range(max(3, int(raw)), 2, -1) if good(n)), 3),
            next(n for n in range(max(3, int(raw) + 1), 4 * MOST) if good(n)),
        }
    return sorted(found)


@cache
def _stages(count: int) -> tuple[int, int]:
    """Return the largest constructed count that divides this one, and into how many each of its spaces is then divided."""
    built = max(one for one in range(1, count + 1) if count % one == 0 and (one <= 2 or _how(one) == "construction"))
    return built, count // built


def _is_easy(count: int) -> bool:
    """Tell whether a count is of a family that suits borders, and leaves spaces that are halved or divided into three at most."""
    return any(count % by == 0 for by in FAMILIES) and _stages(count)[1] <= EASY


@cache
def _how(count: int) -> str:
    if _without(count, SHORT) == 1:
        return "construction"
    return "long construction" if is_constructible(count) else "trial"


def _best(rows: Sequence[BorderCount], raw: float) -> BorderCount:
    """Return the count to take: the nearest by ratio of those that a bench divides easily, where one is near; else the nearest."""

    def off(one: BorderCount) -> float:
        return max(one.count / raw, raw / one.count)

    near = min(rows, key=off)
    easy = [one for one in rows if one.easy and off(one) <= NEAR]
    return min(easy, key=off) if easy else near


def _row(across: Fraction, count: int, unit: Fraction | None, graduation: Fraction) -> BorderCount:
    chord, arc = _middle(chord_mm(across, count)), _middle(arc_mm(across, count))
    setting = min(snapped(Fraction(chord), graduation), across)
    return BorderCount(
        count=count,
        how=_how(count),
        stages=_stages(count),
        family=any(count % by == 0 for by in FAMILIES),
        easy=_is_easy(count),
        unit_mm=arc,
        spread_mm=None if unit is None else arc - float(unit),
        chord_mm=chord,
        setting_mm=setting,
        gap_mm=_middle(closing_gap_mm(across, setting, count)),
        by_arc_mm=_middle(closing_gap_mm(across, Fraction(arc), count)) if arc <= across else None,
    )
