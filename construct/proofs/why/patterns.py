"""How a rule is written, and how it is matched against what is known.

Capital letters stand for marks, small ones for lines (g to n) and circles (c, d, e), q for a
ratio; two capitals are a line, or the length between two marks:

    P on k            O middle of c         M halves A B           X is Y
    A B = C D         A B = 1/2 C D         A B = q C D            also radius c, and P to k
    k square to A B   k parallel to l       k touches c at T       c touches k
    angle A O B = angle C P D               angle A O B = 1/6 turn
    turn A O B = q    line k splits A O B   balance H A of B D     A B times C D = E F times G H

What a rule reads off the drawing is written the same way; see `SEEN`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Any

from construct.proofs.why.because import TURN, Fact, Term
from construct.proofs.why.known import LINKED, ROUND, Known

Binding = dict[str, Any]

SEEN = {
    "apart": r"(?P<A>[A-Z]) apart from (?P<B>[A-Z])",
    "corner": r"(?P<A>[A-Z]) (?P<B>[A-Z]) (?P<C>[A-Z]) not in line",
    "between": r"(?P<A>[A-Z]) between (?P<B>[A-Z]) and (?P<C>[A-Z])",
    "beyond": r"(?P<A>[A-Z]) not between (?P<B>[A-Z]) and (?P<C>[A-Z])",
    "beside": r"(?P<A>[A-Z]) and (?P<B>[A-Z]) on one side of (?P<C>[A-Z]) (?P<D>[A-Z])",
    "across": r"(?P<A>[A-Z]) and (?P<B>[A-Z]) on two sides of (?P<C>[A-Z]) (?P<D>[A-Z])",
    "within": r"(?P<A>[A-Z]) within angle (?P<B>[A-Z]) (?P<C>[A-Z]) (?P<D>[A-Z])",
    "crosses": r"(?P<A>[a-z]|[A-Z] [A-Z]) crosses (?P<B>[a-z]|[A-Z] [A-Z])",
}
"""What may be read off the drawing; every one is an open condition."""

_LINE = r"[a-z]|[A-Z] [A-Z]"
_LENGTH = r"[A-Z] [A-Z]|radius [a-z]|[A-Z] to (?:[a-z]|[A-Z] [A-Z])"
_RATIO = r"(?:\d+(?:/\d+)?|q(?:/\(1\+q\))?|1/\(1\+q\)) "
_WORDINGS: tuple[tuple[str, str], ...] = (
    ("on", rf"(?P<m1>[A-Z]) on (?P<c2>{_LINE})"),
    ("on", r"(?P<m1>[A-Z]) on circle across (?P<a2>[A-Z] [A-Z])"),
    ("middle", r"(?P<m1>[A-Z]) middle of (?P<c2>[a-z])"),
    ("halves", r"(?P<m1>[A-Z]) halves (?P<m2>[A-Z]) (?P<m3>[A-Z])"),
    ("is", r"(?P<m1>[A-Z]) is (?P<m2>[A-Z])"),
    ("product", r"(?P<l1>[A-Z] [A-Z]) times (?P<l2>[A-Z] [A-Z]) = (?P<l3>[A-Z] [A-Z]) times (?P<l4>[A-Z] [A-Z])"),
    ("angle", rf"angle (?P<v1>[A-Z] [A-Z] [A-Z]) = (?P<q>{_RATIO})?(?:angle (?P<v2>[A-Z] [A-Z] [A-Z])|(?P<t2>turn))"),
    ("turn", rf"turn (?P<w1>[A-Z] [A-Z] [A-Z]) = (?P<q>{_RATIO.rstrip()})"),
    ("equal", rf"(?P<l1>{_LENGTH}) = (?P<q>{_RATIO})?(?P<l2>{_LENGTH})"),
    ("direction", rf"(?P<c1>{_LINE}) square to (?P<c2>{_LINE})"),
    ("direction", rf"(?P<c1>{_LINE}) parallel to (?P<c2>{_LINE})"),
    ("touches", r"(?P<c1>[a-z]) touches (?P<c2>[a-z]) at (?P<m3>[A-Z])"),
    ("touches", r"(?P<c1>[a-z]) touches (?P<c2>[a-z])"),
    ("splits", r"line (?P<c1>[a-z]) splits (?P<m2>[A-Z]) (?P<m3>[A-Z]) (?P<m4>[A-Z])"),
    ("balance", r"balance (?P<m1>[A-Z]) (?P<m2>[A-Z]) of (?P<m3>[A-Z]) (?P<m4>[A-Z])"),
)


@dataclass(frozen=True, slots=True)
class Slot:
    """A place in a pattern: what it takes, and the letters (or smaller slots) that it is made of.

    kind: "mark", "curve", "pair", "across", "between", "radius", "off", "angle", "ray" or "turn".
    """

    kind: str
    letters: tuple[str, ...]
    inner: Slot | None = None

    def term(self, bound: Binding) -> Term | None:
        """Return what it stands for; None while a letter is open."""
        letters = self.letters
        try:
            match self.kind:
                case "mark" | "curve":
                    return bound[letters[0]]
                case "pair" | "across" | "between":
                    a, b = bound[letters[0]], bound[letters[1]]
                    return (self.kind, a, b) if a < b else (self.kind, b, a)
                case "angle":
                    a, b = bound[letters[0]], bound[letters[2]]
                    return ("angle", bound[letters[1]], a, b) if a < b else ("angle", bound[letters[1]], b, a)
                case "ray":
                    return "ray", bound[letters[0]], bound[letters[1]]
                case "turn":
                    return TURN
        except KeyError:
            return None
        assert self.inner is not None
        curve = self.inner.term(bound)
        if curve is None or (letters and letters[0] not in bound):
            return None
        return ("radius", curve) if self.kind == "radius" else ("off", bound[letters[0]], curve)

    def fit(self, term: Term, bound: Binding, known: Known) -> Iterator[Binding]:
        """Yield every way to read a known term as this slot."""
        own = self.term(bound)
        if own is not None:
            if own == term:
                yield bound
            return
        if self.kind == "mark" or (self.kind == "curve" and (term[0] in ROUND) == (self.letters[0] in "cde")):
            yield {**bound, self.letters[0]: term}
        elif self.kind == "curve":
            return
        elif self.kind == "pair":
            marks = list(known.marks_on(term))
            yield from (two for a in marks for b in marks if a != b and known.apart(a, b) for two in _bind(bound, self.letters, (a, b)))
        elif isinstance(term, tuple) and term[0] == self.kind:
            if self.inner is not None:
                for more in _bind(bound, self.letters, term[1:-1]):
                    yield from self.inner.fit(term[-1], more, known)
                return
            if self.kind == "ray":
                yield from _bind(bound, self.letters, term[1:])
            elif self.kind == "angle":
                _, corner, a, b = term
                yield from _bind(bound, self.letters, (a, corner, b))
                yield from _bind(bound, self.letters, (b, corner, a))
            else:
                yield from _bind(bound, self.letters, term[1:])
                yield from _bind(bound, self.letters, term[:0:-1])

    def near(self, bound: Binding, known: Known) -> set[Term] | None:
        """Return the only known terms that it can still be, None where that is not told at once."""
        if self.kind == "between":
            ends = [bound[letter] for letter in self.letters if letter in bound]
            if ends:
                return known.ends_at.get(ends[0], set())
        if self.kind == "pair":
            ends = [bound[letter] for letter in self.letters if letter in bound]
            if ends:
                return {known.name_of(line) for line in known.curves_of.get(ends[0], ()) if line[0] not in ROUND}
        if self.kind == "angle" and self.letters[1] in bound:
            ends = [bound[letter] for letter in self.letters[::2] if letter in bound]
            return known.angles_at.get((bound[self.letters[1]], *ends[:1]), set())
        return None


def _bind(bound: Binding, letters: tuple[str, ...], marks: tuple[Term, ...]) -> Iterator[Binding]:
    more = dict(bound)
    for letter, mark in zip(letters, marks, strict=True):
        if more.setdefault(letter, mark) != mark:
            return
    yield more


@dataclass(frozen=True, slots=True)
class Pattern:
    """A fact with letters in it.

    relation: its name.  slots: in the order of the fact's terms.  label: the ratio or turn that it says,
    as written; "" where it says none.
    """

    relation: str
    slots: tuple[Slot, ...]
    label: str
    text: str

    def fact(self, bound: Binding) -> Fact:
        """Return the fact, every letter bound."""
        terms = [slot.term(bound) for slot in self.slots]
        if self.relation in LINKED:
            return self.relation, *terms, _value(self.label, bound)
        return canonical((self.relation, *terms))

    def matches(self, bound: Binding, known: Known) -> Iterator[Binding]:
        """Yield every way to read something known as this pattern."""
        if self.relation == "on":
            yield from self._on(bound, known)
        elif self.relation in LINKED:
            yield from self._linked(bound, known)
        elif all(slot.term(bound) is not None for slot in self.slots):
            if known.has(self.fact(bound)):
                yield bound
        else:
            for row in known.rows(self.relation):
                for terms in rewordings(self.relation, row):
                    if len(terms) == len(self.slots):
                        yield from self._fit(terms, bound, known)

    def _fit(self, terms: tuple[Term, ...], bound: Binding, known: Known) -> Iterator[Binding]:
        found = [bound]
        for slot, term in zip(self.slots, terms, strict=True):
            found = [more for one in found for more in slot.fit(term, one, known)]
        yield from found

    def _on(self, bound: Binding, known: Known) -> Iterator[Binding]:
        mark, curve = self.slots
        at, drawn = mark.term(bound), curve.term(bound)
        if drawn is not None:
            if not known.speaks_of(drawn):
                return
            marks = known.marks_on(drawn)
            for one in [at] if at is not None else list(marks):
                if one in marks:
                    yield from mark.fit(one, bound, known)
            return
        curves = known.curves(round_=is_round(curve))
        if at is not None:
            through = known.curves_of.get(at, set())
            curves = [one for one in curves if one in through]
        for one in curves:
            for more in curve.fit(one, bound, known):
                for here in list(known.marks_on(one)) if at is None else [at]:
                    yield from mark.fit(here, more, known)

    def _linked(self, bound: Binding, known: Known) -> Iterator[Binding]:
        links = known.links[self.relation]
        first, second = self.slots
        for one in self._readings(first, bound, known):
            for more in first.fit(one, bound, known) if first.term(bound) is None else [bound]:
                other = second.term(more)
                if other is not None:
                    if self.relation == "direction" and not known.speaks_of(other):
                        continue
                    yield from self._labelled(links.relation(one, other), more)
                    continue
                near = second.near(more, known)
                alike = links.alike(one)
                if self.relation == "direction":
                    alike = list({known.name_of(line): None for line in alike})
                for node in alike if near is None else [node for node in sorted(near) if links.relation(one, node) is not None]:
                    for last in second.fit(node, more, known):
                        yield from self._labelled(links.relation(one, node), last)

    def _readings(self, slot: Slot, bound: Binding, known: Known) -> list[Term]:
        own = slot.term(bound)
        if own is not None:
            return [] if self.relation == "direction" and not known.speaks_of(own) else [own]
        near = slot.near(bound, known)
        if near is not None:
            return sorted(near)
        links = known.links[self.relation]
        classes = [members for members in links.classes() if len(members) > 1]
        if self.relation == "direction":
            return [line for members in classes for line in {known.name_of(one): None for one in members}]
        return [one for members in classes for one in members]

    def _labelled(self, label: Fraction | None, bound: Binding) -> Iterator[Binding]:
        if label is None:
            return
        if self.label == "q" and "q" not in bound:
            yield {**bound, "q": label}
        elif label == _value(self.label, bound):
            yield bound


def is_round(slot: Slot) -> bool:
    """Tell whether a slot takes circles."""
    return slot.kind == "across" or (slot.kind == "curve" and slot.letters[0] in "cde")


def canonical(fact: Fact) -> Fact:
    """Return the one wording of a fact that can be said in several ways."""
    return fact[0], *min(rewordings(fact[0], fact[1:]), key=repr)


def rewordings(name: str, terms: tuple[Term, ...]) -> list[tuple[Term, ...]]:
    """Return every way to say the same with a relation's terms in another order."""
    match name, terms:
        case "halves", (m, a, b):
            return [(m, a, b), (m, b, a)]
        case "is", (a, b):
            return [(a, b), (b, a)]
        case "touches", (c, d, *at):
            return [(c, d, *at), (d, c, *at)] if c[0] in ROUND and d[0] in ROUND else [(c, d, *at)]
        case "splits", (k, a, o, b):
            return [(k, a, o, b), (k, b, o, a)]
        case "balance", (h, a, b, d):
            return [(h, a, b, d), (a, h, b, d), (h, a, d, b), (a, h, d, b), (b, d, h, a), (d, b, h, a), (b, d, a, h), (d, b, a, h)]
        case "product", (a, b, c, d):
            return [(*one, *two) for x, y in (((a, b), (c, d)), ((c, d), (a, b))) for one in (x, x[::-1]) for two in (y, y[::-1])]
    return [terms]


def _value(label: str, bound: Binding) -> Fraction:
    if "q" not in label:
        return _plain(label)
    ratio: Fraction = bound["q"]
    return ratio if label == "q" else (ratio if label.startswith("q") else 1) / (1 + ratio)


@cache
def _plain(label: str) -> Fraction:
    return Fraction(label or 0)


def read(text: str) -> Pattern:
    """Return a pattern from its wording; `ValueError` where it is none."""
    for relation, wording in _WORDINGS:
        found = re.fullmatch(wording, text)
        if found is None:
            continue
        slots = tuple(_slot(group, words) for group, words in found.groupdict().items() if group != "q" and words)
        label = (found.groupdict().get("q") or "").strip()
        if relation in ("equal", "angle") and not label:
            label = "1"
        if relation == "direction":
            label = "1/4" if "square" in text else "0"
        if relation == "turn":
            (turn,) = slots
            o, a, b = turn.letters[1], turn.letters[0], turn.letters[2]
            slots = Slot("ray", (o, b)), Slot("ray", (o, a))
        return Pattern(relation, slots, label, text)
    raise ValueError(text)


def _slot(group: str, words: str) -> Slot:
    letters = tuple(words.split())
    match group[0]:
        case "m":
            return Slot("mark", letters)
        case "c":
            return Slot("curve" if len(letters) == 1 else "pair", letters)
        case "a":
            return Slot("across", letters)
        case "v":
            return Slot("angle", letters)
        case "w":
            return Slot("rays", letters)
        case "t":
            return Slot("turn", ())
    if letters[0] == "radius":
        return Slot("radius", (), Slot("curve", letters[1:]))
    if letters[1] == "to":
        return Slot("off", letters[:1], _slot("c", " ".join(letters[2:])))
    return Slot("between", letters)


@dataclass(frozen=True, slots=True)
class Seen:
    """Something that a rule reads off the drawing; see `SEEN`."""

    how: str
    slots: tuple[Slot, ...]
    text: str

    def terms(self, bound: Binding) -> tuple[Term, ...] | None:
        """Return what it speaks of; None while a letter is open."""
        terms = tuple(slot.term(bound) for slot in self.slots)
        return None if None in terms else terms


def read_seen(text: str) -> Seen:
    """Return what is to be seen from its wording; `ValueError` where it is none."""
    for how, wording in SEEN.items():
        found = re.fullmatch(wording, text)
        if found is not None:
            group = "c" if how == "crosses" else "m"
            return Seen(how, tuple(_slot(group, words) for words in found.groups()), text)
    raise ValueError(text)


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule of the base.

    key: its name, and the key of its sentence.  source: the proposition it is from.
    given, then: patterns.  seen: what is read off the drawing.
    quiet: True where it only says the same in other words and needs no step of its own.
    either: pairs of letters that may be swapped without saying anything else; one order is tried.
    late: True where it is tried only when nothing else leads on, for it says much about anything.
    """

    key: str
    source: str
    given: tuple[Pattern, ...]
    seen: tuple[Seen, ...]
    then: tuple[Pattern, ...]
    quiet: bool = False
    either: tuple[tuple[str, str], ...] = ()
    late: bool = False


def rule(
    key: str, source: str, *, given: str, then: str, seen: str = "", quiet: bool = False, either: str = "", late: bool = False
) -> Rule:
    """Return a rule from its words; clauses are parted by semicolons."""
    return Rule(
        key,
        source,
        tuple(read(one) for one in _clauses(given)),
        tuple(read_seen(one) for one in _clauses(seen)),
        tuple(read(one) for one in _clauses(then)),
        quiet,
        tuple((one[0], one[1]) for one in either.split()),
        late,
    )


def _clauses(text: str) -> list[str]:
    return [one.strip() for one in " ".join(text.split()).split(";") if one.strip()]
