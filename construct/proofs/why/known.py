"""What is known so far: every fact with why, and questions that pass along what joins two things.

Lines are known by their marks: a line through two marks that both lie on another
is that line.  Nothing here looks at coordinates but to tell marks apart
(`apart`), which is an open condition of the drawing and is said as one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction
from itertools import combinations

from construct.proofs.why.because import Because, Fact, Term, pair
from construct.proofs.why.links import HALF_TURNS, RATIOS, TURNS, Links

LINKED = {"same": TURNS, "equal": RATIOS, "direction": HALF_TURNS, "angle": RATIOS, "turn": TURNS}
"""The relations that are passed on, each with what its labels are."""

ROUND = ("circle", "across")


class Known:
    """Facts with why they hold.

    apart: tells whether two marks are different ones in the drawing.
    links: the relations that are passed on.  on: the marks known on each line and circle.
    """

    def __init__(self, apart: Callable[[int, int], bool], bits: dict[Fact, int] | None = None) -> None:
        """bits: the steps of proof counted so far, shared between searches whose facts are used together."""
        self.apart = apart
        self.links = {name: Links(group) for name, group in LINKED.items()}
        self.on: dict[Term, dict[int, Because]] = {}
        self.curves_of: dict[int, set[Term]] = {}
        self.ends_at: dict[int, set[Term]] = {}
        self.angles_at: dict[tuple[int, ...], set[Term]] = {}
        self.tables: dict[str, dict[tuple[Term, ...], Because]] = {}
        self._through: dict[Term, Term] = {}
        self._names: dict[Term, Term] = {}
        self.versions: dict[str, int] = {}
        self._bits: dict[Fact, int] = {} if bits is None else bits
        self.refused: list[Because] = []

    # --- entering -----------------------------------------------------------------------------------

    def bit(self, fact: Fact) -> int:
        """Return the bit that stands for telling a fact."""
        return 1 << self._bits.setdefault(fact, len(self._bits))

    def changed(self, *relations: str) -> None:
        """Count a change to what is known of some relations."""
        for name in relations:
            self.versions[name] = self.versions.get(name, 0) + 1

    def enter(self, because: Because) -> None:
        """Enter a fact; one that goes against what is known is kept apart, and never used."""
        name, *terms = because.fact
        self.changed(name)
        if name == "on":
            mark, curve = terms
            self._put_on(mark, curve, because)
        elif name == "same":
            for term in terms:
                self.meet(term)
            if self.links["same"].relation(*terms) is None:
                self._merge(terms[0], terms[1], because)
        elif name in LINKED:
            one, other = terms[:2]
            label = terms[2] if len(terms) > 2 else Fraction(0)
            for term in (one, other):
                self.meet(term)
            if not self.links[name].join(one, other, label, because):
                self.refused.append(because)
        else:
            self.tables.setdefault(name, {}).setdefault(tuple(terms), because)
            for term in terms:
                self.meet(term)

    def meet(self, term: Term) -> None:
        """Make a term known that facts speak of."""
        if isinstance(term, int):
            return
        if term[0] == "between":
            for mark in term[1:]:
                self.ends_at.setdefault(mark, set()).add(term)
            self.links["equal"].add(term)
        elif term[0] == "angle":
            for key in ((term[1],), (term[1], term[2]), (term[1], term[3])):
                self.angles_at.setdefault(key, set()).add(term)
        elif term[0] in ("line", "pair", "across", "circle"):
            self._curve(term)
        elif term[0] == "radius":
            self._curve(term[1])

    def _curve(self, curve: Term) -> None:
        if curve in self.on:
            return
        self.on[curve] = {}
        self.changed("on")
        self.links["same"].add(curve)
        if curve[0] in ("pair", "across"):
            for mark in curve[1:]:
                self._put_on(mark, curve, Because(("on", mark, curve), "named"))
        if curve[0] in ("line", "pair"):
            self.links["direction"].add(curve)

    def _put_on(self, mark: int, curve: Term, because: Because) -> None:
        self._curve(curve)
        if mark in self.marks_on(curve):
            return
        self.on[curve][mark] = because
        for one in self.links["same"].alike(curve):
            self.curves_of.setdefault(mark, set()).add(one)
        if curve[0] not in ROUND:
            for other in list(self.marks_on(curve)):
                if other != mark and self.apart(mark, other):
                    self._two_marks(mark, other, curve)

    def _two_marks(self, a: int, b: int, curve: Term) -> None:
        """Two different marks lie on one line only: Euclid's first postulate."""
        first = self._through.setdefault(pair(a, b), curve)
        if self.links["same"].relation(first, curve) is not None:
            return
        premises = tuple(self.because(("on", mark, line)) for line in (first, curve) for mark in (a, b))
        because = Because(("same", first, curve), "two marks", premises, {"A": a, "B": b}, mask=_together(premises))
        self._merge(first, curve, because)

    def _merge(self, first: Term, curve: Term, because: Because) -> None:
        before = [set(self.marks_on(one)) for one in (first, curve)]
        self._names.clear()
        self.changed("same", "on", "direction", "touches", "middle")
        self.links["same"].join(first, curve, Fraction(0), because)
        if first[0] not in ROUND:
            self.links["direction"].join(first, curve, Fraction(0), because)
        curves = self.links["same"].alike(first)
        for mark in before[0] | before[1]:
            self.curves_of.setdefault(mark, set()).update(curves)
        if first[0] not in ROUND:
            for a in before[0] - before[1]:
                for b in before[1] - before[0]:
                    if self.apart(a, b):
                        self._two_marks(a, b, first)

    def join_circles(self) -> bool:
        """Three different marks lie on one circle only (Euclid III.10): join circles that share three; True where some did."""
        joined = False
        circles = [curve for curve in self.on if curve[0] in ROUND]
        for one, other in combinations(circles, 2):
            if self.links["same"].relation(one, other) is not None:
                continue
            shared = sorted(self.marks_on(one).keys() & self.marks_on(other).keys())
            for three in combinations(shared, 3):
                if all(self.apart(a, b) for a, b in combinations(three, 2)):
                    premises = tuple(self.because(("on", mark, circle)) for circle in (one, other) for mark in three)
                    fact = ("same", one, other)
                    mask = _together(premises) | self.bit(plain(fact))
                    bound = dict(zip("ABD", three, strict=True)) | {"c": one, "d": other}
                    self._merge(one, other, Because(fact, "three-marks", premises, bound, mask=mask, told=True))
                    joined = True
                    break
        return joined

    # --- asking -------------------------------------------------------------------------------------

    def speaks_of(self, curve: Term) -> bool:
        """Tell whether anything is known of a line or circle under any name; makes it known under this one if so."""
        if curve in self.on:
            return True
        if curve[0] != "pair" or curve not in self._through:
            return False
        self._curve(curve)
        return True

    def line(self, a: int, b: int) -> Term:
        """Return the line through two marks, made known."""
        line = pair(a, b)
        self._curve(line)
        return line

    def marks_on(self, curve: Term) -> dict[int, Term]:
        """Return the marks known on a line or circle, each with the curve of that name that it is known on."""
        return {mark: one for one in self.links["same"].alike(curve) for mark in self.on.get(one, ())}

    def name_of(self, curve: Term) -> Term:
        """Return the one curve that stands for all that are the same: a drawn one before others."""
        if curve not in self._names:
            alike = self.links["same"].alike(curve) or [curve]
            best = min(alike, key=lambda one: (one[0] in ("pair", "across"), one[1:]))
            self._names |= dict.fromkeys(alike, best)
        return self._names[curve]

    def curves(self, *, round_: bool) -> list[Term]:
        """Return the lines, or the circles, that are known, one for each that are the same."""
        return [
            self.name_of(members[0]) for members in self.links["same"].classes() if (members[0][0] in ROUND) == round_
        ]

    def has(self, fact: Fact) -> bool:
        """Tell whether a fact is known."""
        name, *terms = fact
        if name == "on":
            return terms[0] in self.marks_on(terms[1])
        if name in LINKED:
            for term in terms[:2]:
                self.meet(term)
            return self.links[name].relation(terms[0], terms[1]) == (terms[2] if len(terms) > 2 else Fraction(0))
        return tuple(terms) in self.tables.get(name, {})

    def because(self, fact: Fact) -> Because:
        """Return why a known fact holds; what is passed on becomes one link, or a chain of several."""
        name, *terms = fact
        if name == "on":
            mark, curve = terms
            if mark in self.on.get(curve, ()):
                return self.on[curve][mark]
            found = min(
                (self._moved(mark, one, curve) for one in self.links["same"].alike(curve) if mark in self.on.get(one, ())),
                key=lambda because: because.cost,
            )
            return found
        if name not in LINKED:
            return self.tables[name][tuple(terms)]
        for term in terms[:2]:
            self.meet(term)
        joins = self.links[name].chain(terms[0], terms[1])
        if len(joins) == 1:
            return joins[0][2]
        premises = tuple(because for _, _, because in joins)
        mask = _together(premises)
        told = name not in ("same", "turn") and sum(because.fact[0] != "same" for because in premises) > 1
        if told:
            mask |= self.bit(plain(fact))
        return Because(fact, "chain", premises, mask=mask, told=told, links=(terms[0], *(node for _, node, _ in joins)))

    def _moved(self, mark: int, one: Term, curve: Term) -> Because:
        premises = self.on[one][mark], self.because(("same", one, curve))
        return Because(("on", mark, curve), "same line", premises, mask=_together(premises))

    def rows(self, name: str) -> Iterator[tuple[Term, ...]]:
        """Yield the terms of every fact of a relation that is not passed on."""
        yield from list(self.tables.get(name, ()))


def _together(premises: tuple[Because, ...]) -> int:
    mask = 0
    for because in premises:
        mask |= because.mask
    return mask


def plain(fact: Fact) -> Fact:
    """Return a passed-on fact without its direction, so that both ways of saying it are weighed together."""
    if fact[0] in LINKED and repr(fact[2]) < repr(fact[1]):
        return fact[0], fact[2], fact[1]
    return fact[:3] if fact[0] in LINKED else fact
