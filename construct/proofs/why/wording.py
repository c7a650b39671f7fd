"""Names and facts in plain words: what a mark, a line, a length is called, and what a fact says."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Any

from construct.phrasebook import say
from construct.plan import EDGE, Plan
from construct.proofs.why.because import GRAIN, TURN, Fact, Term
from construct.proofs.why.drawn import MIDDLE
from construct.proofs.why.known import Known

_FREE = "OZYWUVN"
"""Letters that may name the plate's middle, which no recipe names before it is found."""


class Wording:
    """What terms are called in one derivation.

    known: which drawn line a line through two marks is.
    """

    def __init__(self, plan: Plan, known: Known) -> None:
        self._plan = plan
        self._known = known
        self._taken = {thing.name for thing in plan.things}
        self.names = set(self._taken)

    def mark(self, mark: int) -> str:
        """Return a mark's name; one that nobody drew gets a free one."""
        name = self._own(mark) if mark >= 0 else self._free(mark)
        self.names.add(name)
        return name

    def _free(self, mark: int) -> str:
        if mark == MIDDLE:
            return next((letter for letter in _FREE if letter not in self._taken), "O°")
        number, place = divmod(-mark - 2, 3)
        line = next(step.outputs[0] for step in self._plan.steps if step.number == number)
        name = f"{'EFV'[place]}.{self._own(line)}"
        return name if name not in self._taken else f"{name}°"

    def _own(self, index: int) -> str:
        """Return a thing's name; what a method made for itself is named after what it gives."""
        name = self._plan.things[index].name
        method, parted, own = name.rpartition(": ")
        return say("why.own", method=method, name=own) if parted else name

    def curve(self, curve: Term) -> str:
        """Return what a line or circle is called: its name, or the marks it goes through."""
        best = self._drawn(curve)
        if best is not None:
            return say("why.edge") if best[1] == EDGE else self._own(best[1])
        if curve == GRAIN:
            return say("why.grain")
        return say(f"why.undrawn_{curve[0]}", a=self.mark(curve[1]), b=self.mark(curve[2]))

    def _drawn(self, curve: Term) -> Term | None:
        """Return the drawn line or circle that a term is, by what the bench alone says of its marks."""
        if curve[0] in ("line", "circle"):
            return curve
        alike = [one for one in self._known.links["same"].alike(curve) if one[0] in ("line", "circle")]
        # a line that only a later step shows to be a drawn one is not called so before
        drawn = [one for one in alike if all(self._is_drawn_on(mark, one) for mark in curve[1:])]
        return min(drawn, key=lambda one: (": " in self._plan.things[one[1]].name, one[1]), default=None)

    def _is_drawn_on(self, mark: int, line: Term) -> bool:
        because = self._known.on[line].get(mark)
        return because is not None and because.rule == "drawn"

    def things(self, term: Term) -> Iterable[int]:
        """Yield the drawn things that a term speaks of, by index."""
        if isinstance(term, int):
            if term >= 0:
                yield term
        elif isinstance(term, tuple):
            match term:
                case ("line" | "circle" | "setting" | "reading", index):
                    yield index
                case ("pair" | "across", a, b):
                    drawn = self._drawn(term)
                    if drawn is not None:
                        yield drawn[1]
                    for mark in (a, b):
                        yield from self.things(mark)
                case _:
                    for part in term:
                        yield from self.things(part) if isinstance(part, (int, tuple)) else ()

    def length(self, term: Term) -> str:
        """Return what a length is called."""
        match term[0]:
            case "between":
                ends = sorted(term[1:], key=lambda mark: (mark != MIDDLE, mark >= 0, abs(mark)))
                return " ".join(self.mark(mark) for mark in ends)
            case "radius":
                return say("why.opening", circle=self.curve(term[1]))
            case "setting":
                thing = self._plan.things[term[1]]
                if thing.name.startswith("setting in line"):
                    step = next(step for step in self._plan.steps if step.number == thing.step)
                    return say("why.setting", line=step.span.line)
                return self._own(term[1])
            case "mm":
                return say("why.mm", value=_figure(term[1]))
            case "reading":
                return self._own(term[1])
        return say("why.distance", mark=self.mark(term[1]), line=self.curve(term[2]))

    def angle(self, term: Term) -> str:
        """Return what an angle is called."""
        _, corner, a, b = term
        return say("why.angle", a=self.mark(a), corner=self.mark(corner), b=self.mark(b))

    def fact(self, fact: Fact) -> str:
        """Return a fact as a clause, such as "k is square to g"."""
        match fact:
            case ("on", mark, curve):
                return say("why.fact.on", x=self.mark(mark), k=self.curve(curve))
            case ("middle", mark, circle):
                return say("why.fact.middle", o=self.mark(mark), c=self.curve(circle))
            case ("equal", one, other, part):
                if part == 1:
                    return say("why.fact.equal", one=self.length(one), other=self.length(other))
                if part > 1 and part.denominator != 1:
                    one, other, part = other, one, 1 / part
                return say("why.fact.part", one=self.length(one), other=self.length(other), part=_part(part))
            case ("direction", one, other, part):
                words = {Fraction(0): "parallel", Fraction(1, 4): "square"}.get(part)
                if words is None:
                    degrees = _figure(min(part, Fraction(1, 2) - part) * 360)
                    return say("why.fact.slanted", one=self.curve(one), other=self.curve(other), degrees=degrees)
                return say(f"why.fact.{words}", one=self.curve(one), other=self.curve(other))
            case ("angle", one, other, part):
                if one == TURN:
                    one, other, part = other, one, 1 / part
                if other == TURN:
                    return say("why.fact.degrees", angle=self.angle(one), degrees=_figure(part * 360))
                if part == 1:
                    return say("why.fact.equal", one=self.angle(one), other=self.angle(other))
                if part > 1 and part.denominator != 1:
                    one, other, part = other, one, 1 / part
                return say("why.fact.part", one=self.angle(one), other=self.angle(other), part=_part(part))
            case ("turn", ("ray", corner, b), ("ray", _, a), part):
                degrees = _figure(min(part, 1 - part) * 360)
                return say("why.fact.turn", a=self.mark(a), b=self.mark(b), o=self.mark(corner), degrees=degrees)
            case ("halves", mark, a, b):
                return say("why.fact.halves", m=self.mark(mark), a=self.mark(a), b=self.mark(b))
            case ("is", one, other):
                if MIDDLE in (one, other):
                    return say("why.fact.middle_of_plate", x=self.mark(other if one == MIDDLE else one))
                return say("why.fact.same", one=self.mark(one), other=self.mark(other))
            case ("same", one, other):
                return say("why.fact.same", one=self.curve(one), other=self.curve(other))
            case ("touches", curve, circle):
                return say("why.fact.touches", k=self.curve(curve), c=self.curve(circle))
            case ("touches", curve, circle, at):
                return say("why.fact.touches_at", k=self.curve(curve), c=self.curve(circle), t=self.mark(at))
            case ("splits", line, a, corner, b):
                return say("why.fact.splits", k=self.curve(line), angle=self.angle(("angle", corner, a, b)))
            case ("balance", h, a, b, d):
                marks = {"h": self.mark(h), "a": self.mark(a), "b": self.mark(b), "d": self.mark(d)}
                return say("why.fact.balance", **marks)
            case ("product", one, other, first, second):
                lengths = {"one": self.length(one), "other": self.length(other), "first": self.length(first), "second": self.length(second)}
                return say("why.fact.product", **lengths)
        return ""

    def slot(self, value: Any) -> str:
        """Return what fills a place in a sentence: a mark, a line or circle, a ratio, a list of them, or a number."""
        if isinstance(value, (bool, str)):
            return str(value)
        if isinstance(value, int):
            return self.mark(value)
        if isinstance(value, Fraction):
            return _figure(value)
        if value and isinstance(value[0], (int, tuple)):
            return listed(self.slot(one) for one in value)
        return self.curve(value)


def listed(texts: Iterable[str]) -> str:
    """Return texts as a list in words: "A, B and C"."""
    rows = list(texts)
    if len(rows) < 2:
        return "".join(rows)
    return f"{', '.join(rows[:-1])} {say('list.and')} {rows[-1]}"


def _part(part: Fraction) -> str:
    if part == Fraction(1, 2):
        return say("why.half")
    if part.denominator == 1:
        return say("why.times", count=part.numerator)
    return say("why.part", part=part)


def _figure(value: Fraction) -> str:
    return f"{value.numerator}" if value.denominator == 1 else f"{float(value):g}" if 1000 % value.denominator == 0 else str(value)
