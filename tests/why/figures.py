"""Random figures for the rules of the why: premises solved numerically from random starts, by definitions of their own.

A second opinion: nothing here uses the project's geometry.  A rule's letters become
unknown numbers (a mark two, a line an angle and an offset, a circle three); Newton's
method with least-norm steps drives the premises' residuals to nothing, for thousands of
figures at once.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np

from construct.proofs.why.patterns import Pattern, Rule, Seen, Slot

SOLVED = 1e-13
STEPS = 34
ENOUGH = 0.9
Array = Any


class Letters:
    """Where each letter's numbers stand in a row of unknowns."""

    def __init__(self, patterns: Iterable[Pattern], seen: Iterable[Seen]) -> None:
        slots = [slot for part in (*patterns, *seen) for slot in part.slots]
        names = sorted({letter for slot in slots for letter in (*slot.letters, *(slot.inner.letters if slot.inner else ()))})
        if any("q" in pattern.label for pattern in patterns):
            names.append("q")
        self.at: dict[str, int] = {}
        self.size = 0
        for name in dict.fromkeys(names):
            self.at[name] = self.size
            self.size += 2 if name.isupper() or name not in "cdeq" else 3 if name in "cde" else 1

    @property
    def marks(self) -> list[str]:
        """The letters that are marks."""
        return [name for name in self.at if name.isupper()]

    def start(self, count: int, random: np.random.Generator) -> Array:
        """Return random unknowns, one row a figure."""
        rows = random.normal(size=(count, self.size))
        for name, at in self.at.items():
            if name in "cde":
                rows[:, at + 2] = random.uniform(0.4, 1.6, count)
            elif name == "q":
                rows[:, at] = random.uniform(0.3, 2.5, count)
            elif name.islower():
                rows[:, at] = random.uniform(0, 2 * np.pi, count)
        return rows


class Figures:
    """Rows of unknowns read as marks (complex numbers), lines and circles."""

    def __init__(self, letters: Letters, rows: Array) -> None:
        self.letters, self.rows = letters, rows

    def mark(self, name: str) -> Array:
        at = self.letters.at[name]
        return self.rows[:, at] + 1j * self.rows[:, at + 1]

    def line(self, slot: Slot) -> tuple[Array, Array]:
        """Return a mark on a line and its unit direction."""
        if slot.kind == "pair":
            a, b = (self.mark(name) for name in slot.letters)
            return a, (b - a) / (np.abs(b - a) + 1e-300)
        at = self.letters.at[slot.letters[0]]
        way = np.exp(1j * self.rows[:, at])
        return way * 1j * self.rows[:, at + 1], way

    def circle(self, slot: Slot) -> tuple[Array, Array]:
        """Return a circle's middle and radius."""
        if slot.kind == "across":
            a, b = (self.mark(name) for name in slot.letters)
            return (a + b) / 2, np.abs(a - b) / 2
        at = self.letters.at[slot.letters[0]]
        return self.rows[:, at] + 1j * self.rows[:, at + 1], self.rows[:, at + 2]

    def length(self, slot: Slot) -> Array:
        if slot.kind == "between":
            a, b = (self.mark(name) for name in slot.letters)
            return np.abs(a - b)
        assert slot.inner is not None
        if slot.kind == "radius":
            return self.circle(slot.inner)[1]
        at, way = self.line(slot.inner)
        return np.abs(((self.mark(slot.letters[0]) - at) * way.conj()).imag)

    def angle(self, slot: Slot) -> Array:
        if slot.kind == "turn":
            return np.full(len(self.rows), 2 * np.pi)
        a, o, b = (self.mark(name) for name in slot.letters)
        return np.abs(np.angle((a - o) * (b - o).conj()))

    def label(self, text: str) -> Array:
        q = self.rows[:, self.letters.at["q"]] if "q" in text else None
        if q is None:
            top, _, bottom = text.partition("/")
            return float(top) / float(bottom or 1)
        return {"q": q, "q/(1+q)": q / (1 + q), "1/(1+q)": 1 / (1 + q)}[text]


def is_round(slot: Slot) -> bool:
    return slot.kind == "across" or (slot.kind == "curve" and slot.letters[0] in "cde")


def residuals(pattern: Pattern, see: Figures) -> list[Array]:
    """Return numbers that are nothing exactly where a figure fits a pattern."""
    slots = pattern.slots
    match pattern.relation:
        case "on":
            mark = see.mark(slots[0].letters[0])
            if is_round(slots[1]):
                middle, radius = see.circle(slots[1])
                return [np.abs(mark - middle) - radius]
            at, way = see.line(slots[1])
            return [((mark - at) * way.conj()).imag]
        case "middle":
            off = see.mark(slots[0].letters[0]) - see.circle(slots[1])[0]
            return [off.real, off.imag]
        case "equal":
            return [see.length(slots[0]) - see.label(pattern.label) * see.length(slots[1])]
        case "direction":
            turn = see.line(slots[0])[1] * see.line(slots[1])[1].conj()
            return [turn.real if "square" in pattern.text else turn.imag]
        case "angle":
            return [see.angle(slots[0]) - see.label(pattern.label) * see.angle(slots[1])]
        case "turn":
            (o, b), (_, a) = (slot.letters for slot in slots)
            turn = (see.mark(b) - see.mark(o)) * (see.mark(a) - see.mark(o)).conj() * np.exp(-2j * np.pi * see.label(pattern.label))
            return [np.angle(turn)]
        case "halves":
            m, a, b = (see.mark(slot.letters[0]) for slot in slots)
            return [(m - (a + b) / 2).real, (m - (a + b) / 2).imag]
        case "is":
            off = see.mark(slots[0].letters[0]) - see.mark(slots[1].letters[0])
            return [off.real, off.imag]
        case "touches":
            middle, radius = see.circle(slots[1])
            if is_round(slots[0]):
                other, size = see.circle(slots[0])
                apart = np.abs(middle - other)
                miss = np.minimum(np.abs(apart - radius - size), np.abs(apart - np.abs(radius - size)))
            else:
                at, way = see.line(slots[0])
                miss = np.abs(((middle - at) * way.conj()).imag) - radius
            found = [miss]
            if len(slots) == 3:
                for curve in slots[:2]:
                    found += residuals(Pattern("on", (slots[2], curve), "", ""), see)
            return found
        case "splits":
            at, way = see.line(slots[0])
            a, o, b = (see.mark(slot.letters[0]) for slot in slots[1:])
            # the ray to one mark, mirrored in the line, is the ray to the other
            return [((o - at) * way.conj()).imag, np.angle((a - o) * (b - o) * way.conj() ** 2)]
        case "balance":
            h, a, b, d = (see.mark(slot.letters[0]) for slot in slots)
            return [np.abs(h - b) ** 2 - np.abs(h - d) ** 2 - np.abs(a - b) ** 2 + np.abs(a - d) ** 2]
        case "product":
            one, other, first, second = (see.length(slot) for slot in slots)
            return [one * other - first * second]
    raise ValueError(pattern.relation)


def margin(seen: Seen, see: Figures) -> Array:
    """Return how plainly a figure shows what a rule reads off it: over nothing where it does."""
    if seen.how == "crosses":
        one, other = (see.line(slot)[1] for slot in seen.slots)
        return np.abs((one * other.conj()).imag)
    marks = [see.mark(slot.letters[0]) for slot in seen.slots]

    def left(a: Array, b: Array, p: Array) -> Array:
        return ((p - a) * (b - a).conj()).imag

    match seen.how:
        case "apart":
            return np.abs(marks[0] - marks[1])
        case "corner":
            return np.abs(left(*marks))
        case "between":
            return -((marks[1] - marks[0]) * (marks[2] - marks[0]).conj()).real
        case "beyond":
            return ((marks[1] - marks[0]) * (marks[2] - marks[0]).conj()).real
        case "beside" | "across":
            p, q, a, b = marks
            return left(a, b, p) * left(a, b, q) * (1 if seen.how == "beside" else -1)
        case "within":
            p, a, o, b = marks
            return np.minimum(left(o, a, p) * left(o, a, b), left(o, b, p) * left(o, b, a))
    raise ValueError(seen.how)


def solved(
    given: Sequence[Pattern], letters: Letters, count: int, random: np.random.Generator, *, together: Sequence[tuple[str, str]] = ()
) -> Array:
    """Return random figures that fit the premises; `together` are pairs of marks that shall fall on one place."""
    rows = letters.start(count, random)
    if not given and not together:
        return rows

    def off(rows: Array) -> Array:
        see = Figures(letters, rows)
        found = [one for pattern in given for one in residuals(pattern, see)]
        for a, b in together:
            gap = see.mark(a) - see.mark(b)
            found += [gap.real, gap.imag]
        return np.stack(found, axis=1)

    with np.errstate(all="ignore"):
        for _ in range(STEPS):
            now = off(rows)
            if (np.abs(now).max(axis=1) < SOLVED).mean() > ENOUGH:
                break
            slopes = np.empty((*now.shape, letters.size))
            for place in range(letters.size):
                moved = rows.copy()
                moved[:, place] += 1e-6
                back = rows.copy()
                back[:, place] -= 1e-6
                slopes[:, :, place] = (off(moved) - off(back)) / 2e-6
            slopes = np.nan_to_num(slopes)
            square = slopes @ slopes.transpose(0, 2, 1) + 1e-12 * np.eye(now.shape[1])
            step = (slopes.transpose(0, 2, 1) @ np.linalg.solve(square, np.nan_to_num(now)[:, :, None]))[:, :, 0]
            long = np.maximum(1, np.abs(step).max(axis=1, keepdims=True))
            rows = rows - step / long
        ends = np.abs(off(rows)).max(axis=1)
        good = (ends < SOLVED) & (np.abs(rows).max(axis=1) < 30)
    rows = rows[good]
    for name, at in letters.at.items():
        if name in "cde":
            rows = rows[rows[:, at + 2] > 0.02]
        elif name == "q":
            rows = rows[rows[:, at] > 0.02]
    return rows


def shown(rule_seen: Sequence[Seen], letters: Letters, rows: Array, room: float) -> Array:
    """Return the figures that plainly show all that is read off."""
    see = Figures(letters, rows)
    keep = np.ones(len(rows), dtype=bool)
    for seen in rule_seen:
        keep &= margin(seen, see) > room
    return rows[keep]


def worst(rule: Rule, letters: Letters, rows: Array) -> Array:
    """Return how far each figure is from fitting the conclusions."""
    see = Figures(letters, rows)
    return np.stack([np.abs(one) for then in rule.then for one in residuals(then, see)], axis=1).max(axis=1)
