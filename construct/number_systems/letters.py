"""Exact numbers over free choices: proofs for every choice in a region, not for the drawn one alone.

A value is an element of a tower of square roots over the rational functions of
the choices, beside its exact number at the drawn example.  Two values are equal
where their difference is zero identically.  What held at the drawn example and
could change elsewhere is kept in `relied`: an identity found here holds for
every choice that can be reached from the drawn one by changing the choices
continuously while none of these becomes zero.  No float ever enters.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from flint import fmpq

from construct.number_systems import NotANumber, Rational, Source
from construct.number_systems._letter_base import LetterBase, OnEdge
from construct.number_systems._letter_form import print_lettered
from construct.number_systems._quotients import Quotient
from construct.number_systems._surds import Raw, Root, Surd, over_limit
from construct.number_systems._tower import Tower
from construct.number_systems.exact import MAX_BITS, Exact, ExactSystem
from construct.phrasebook import say

_new = object.__new__


@dataclass(frozen=True, slots=True)
class Relied:
    """A sign at the drawn example that values of this replay stand on.

    kind: "radicand" (under a root that was taken), "denominator", "root sign" (the root of what is a
        square for every choice, or a product of known roots: which of its two signs is meant),
        "reading" and "hole" (how far the measured length is from where another would be taken), or
        "side", which whoever settles adds.
    value: the number.  sign: its sign at the drawn example, -1 or +1.
    """

    kind: str
    value: Lettered
    sign: int


class Lettered:
    """A value: `tree` over the letters, and `drawn`, the `Exact` that it is at the drawn example.

    + - * / and unary - work exactly; it has no truth value and no order.
    system: the `LettersSystem` of its replay.
    history: the operation that made it and what it was made from: ("+", a, b), ("√", a), ("letter", name);
        empty for a number, and for a root in the form that was found for it.
    """

    __slots__ = ("drawn", "history", "system", "tree")

    drawn: Exact
    history: tuple[Any, ...]
    system: LettersSystem
    tree: Raw

    def __repr__(self) -> str:
        return f"Lettered({self.system.closed_form(self, longest=200)})"

    def __add__(self, other: Any) -> Lettered:
        if other.__class__ is Lettered:
            return _made(self.tree + other.tree, self.drawn + other.drawn, self.system, ("+", self, other))
        return _made(self.tree + _raw(other), self.drawn + other, self.system, ("+", self, other))

    __radd__ = __add__

    def __sub__(self, other: Any) -> Lettered:
        if other.__class__ is Lettered:
            return _made(self.tree - other.tree, self.drawn - other.drawn, self.system, ("-", self, other))
        return _made(self.tree - _raw(other), self.drawn - other, self.system, ("-", self, other))

    def __rsub__(self, other: Any) -> Lettered:
        return _made(_raw(other) - self.tree, other - self.drawn, self.system, ("-", other, self))

    def __mul__(self, other: Any) -> Lettered:
        if other.__class__ is Lettered:
            return _made(_checked(self.tree * other.tree), self.drawn * other.drawn, self.system, ("*", self, other))
        return _made(self.tree * _raw(other), self.drawn * other, self.system, ("*", self, other))

    __rmul__ = __mul__

    def __truediv__(self, other: Any) -> Lettered:
        if other.__class__ is Lettered:
            # NotANumber where the divisor vanishes at the drawn example: then nothing was drawn at all
            drawn = self.drawn / other.drawn
            if other.tree.__class__ is not fmpq:
                self.system._rely_on_denominator(other)
            return _made(_checked(self.tree / other.tree), drawn, self.system, ("/", self, other))
        drawn = self.drawn / other
        return _made(self.tree / _raw(other), drawn, self.system, ("/", self, other))

    def __rtruediv__(self, other: Any) -> Lettered:
        return self.system.rational(other) / self

    def __neg__(self) -> Lettered:
        return _made(-self.tree, -self.drawn, self.system, ("-", 0, self))

    def __pos__(self) -> Lettered:
        return self

    def __bool__(self) -> bool:
        raise TypeError("a value over letters has no truth value: ask the number system for its sign")

    def _refuse_order(self, other: object) -> bool:
        raise TypeError("values over letters are not compared by operators: ask the number system for a sign")

    __lt__ = __le__ = __gt__ = __ge__ = _refuse_order

    def __eq__(self, other: object) -> bool:
        if isinstance(other, int | float | Fraction):
            raise TypeError("a value over letters is compared with a number by the number system only")
        return self is other

    __hash__ = object.__hash__


def _made(tree: Raw, drawn: Exact, system: LettersSystem, history: tuple[Any, ...] = ()) -> Lettered:
    made = _new(Lettered)
    made.history = history
    made.tree = tree
    made.drawn = drawn
    made.system = system
    return made


def _raw(value: Any) -> fmpq:
    if isinstance(value, int | Fraction) and not isinstance(value, bool):
        return fmpq(value.numerator, value.denominator)
    if isinstance(value, float):
        raise TypeError("a float can not enter an exact value: write it as an int or a Fraction")
    raise TypeError(f"a value over letters does not combine with {type(value).__name__}")


def _checked(tree: Raw) -> Raw:
    if tree.height_bits() > MAX_BITS:
        raise over_limit(tree.height_bits(), MAX_BITS)
    return tree


class LetterTower(Tower):
    """A tower over `LetterBase`; its signs are those at the drawn example, `OnEdge` where that has none."""

    def __init__(self, base: LetterBase, example: ExactSystem, **limits: int) -> None:
        super().__init__(base, **limits)
        self._letters = base
        self._example = example.tower
        self._drawn: dict[Root, Raw] = {}
        self._lettered: dict[Root, bool] = {}

    def drawn(self, element: Raw) -> Raw:
        """What `element` is at the drawn example, in the tower of the example; `OnEdge` where its parts have no value."""
        if element.__class__ is not Surd:
            return self._letters.here(element)
        root = element.root
        height = self._drawn.get(root)
        if height is None:
            height = self._drawn[root] = self._example.sqrt(self.drawn(root.radicand))
        return self.drawn(element.free) + self.drawn(element.factor) * height

    def has_letters(self, element: Raw) -> bool:
        """Whether a letter stands in `element`, or under a root of it."""
        while element.__class__ is Surd:
            root = element.root
            found = self._lettered.get(root)
            if found is None:
                found = self._lettered[root] = self.has_letters(root.radicand)
            if found or self.has_letters(element.factor):
                return True
            element = element.free
        return element.__class__ is Quotient

    def sign(self, element: Raw) -> int:
        """0 where `element` is zero for every choice, else its sign at the drawn example: *exact*; `OnEdge` where that is 0."""
        if element.__class__ is not Surd:
            return self.base.sign(element)
        ball = self.ball(element, 64)
        if ball > 0:
            return 1
        if ball < 0:
            return -1
        if self.is_zero(element):
            return 0
        sign = self._example.sign(self.drawn(element))
        if not sign:
            raise OnEdge
        return sign

    def is_zero(self, element: Raw) -> bool:
        """Whether `element` is 0 for every choice: *exact*."""
        if element.__class__ is Surd and self.independent:
            return False
        return super().is_zero(element)

    def _base_root(self, element: Raw) -> Raw:
        known = len(self.roots)
        found = super()._base_root(element)
        # a new root comes positive; of a root made of known ones the base knows no sign
        return found if len(self.roots) > known else self._positive(found)

    def _denested(self, element: Surd) -> Raw | None:
        try:
            return super()._denested(element)
        except OnEdge:
            # nested it is no less true
            return None


class LettersSystem:
    """Numbers are `Lettered`: exact over every free choice, with their exact value at the drawn example.

    example: the system of the drawn example, an `ExactSystem`.
    relied: what the values stand on, in the order in which it was met, each sign once.
    edges: values whose sign was asked for, that are not always zero, but are at the drawn example.
    max_roots, max_bits, max_work, tested_roots, factor_bits: see `ExactSystem`.
    """

    name = "letters"
    has_errors = False
    has_letters = True

    def __init__(
        self,
        *,
        max_roots: int = 96,
        max_bits: int = MAX_BITS,
        max_work: int = 50_000,
        tested_roots: int = 8,
        factor_bits: int = 64,
        drawn: Mapping[str, Fraction] | None = None,
    ) -> None:
        self.example = ExactSystem(max_roots=max_roots, max_bits=max_bits, tested_roots=tested_roots, factor_bits=factor_bits)
        self.base = LetterBase(factor_bits=factor_bits)
        self.tower = LetterTower(
            self.base, self.example, max_roots=max_roots, max_bits=max_bits, max_work=max_work, tested_roots=tested_roots
        )
        self.relied: list[Relied] = []
        self.edges: list[Lettered] = []
        self._choices = drawn or {}
        self._letters: dict[str, Lettered] = {}
        self._memo: dict[object, Lettered] = {}
        self._denominators: set[object] = set()

    # The contract

    def rational(self, value: Rational) -> Lettered:
        """The number `value`; `TypeError` for a float."""
        drawn = self.example.rational(value)
        return _made(drawn.tree, drawn, self)

    def letter(self, name: str, drawn: Rational) -> Lettered:
        """The free choice called `name`: the same each time it is asked for; `ValueError` where it is drawn elsewhere."""
        drawn = self._choices.get(name, Fraction(drawn))
        found = self._letters.get(name)
        if found is None:
            found = self._letters[name] = _made(
                self.base.letter(name, drawn), self.example.rational(drawn), self, ("letter", name)
            )
        elif self._fraction(found.drawn) != drawn:
            raise ValueError(f"the choice {name} is drawn in two places")
        return found

    def sqrt(self, value: Lettered | Rational) -> Lettered:
        """The root that is not negative at the drawn example.

        `NotANumber` where `value` is negative there; `OnEdge` where it is 0 there, but not for every choice.
        """
        value = self._value(value)
        drawn = self.example.sqrt(value.drawn)
        tree = value.tree
        if tree.__class__ is fmpq and drawn.tree.__class__ is fmpq:
            return _made(drawn.tree, drawn, self)
        key = self.tower.key(tree)
        found = self._memo.get(key)
        if found is None:
            found = self._memo[key] = _made(self._root(value), drawn, self, ("√", value))
        return found

    def _root(self, value: Lettered) -> Raw:
        self.tower.refill()
        if self.example.sign(value.drawn) == 0:
            if self.tower.is_zero(value.tree):
                return self.base.zero
            self.edges.append(value)
            raise OnEdge
        known = len(self.tower.roots)
        tree = self.tower._root(value.tree)
        if self.tower.has_letters(value.tree):
            self.relied.append(Relied("radicand", value, 1))
            if len(self.tower.roots) == known and self.tower.has_letters(tree):
                self.relied.append(Relied("root sign", _made(tree, self.example.sqrt(value.drawn), self), 1))
        return tree

    def error(self, key: tuple[object, ...], source: Source) -> Lettered:
        """Zero: a proof is about the ideal drawing."""
        return self.rational(0)

    def reading(self, value: Lettered | Rational, graduation: Rational) -> Lettered:
        """The multiple of `graduation` nearest at the drawn example, a rational number; `Tie` where two are equally near."""
        value = self._value(value)
        read = self.rational(self._fraction(self.example.reading(value.drawn, graduation)))
        half = Fraction(graduation) / 2
        self._rely_on_range("reading", value, read - half, read + half)
        return read

    def hole(self, value: Lettered | Rational, holes: Sequence[Rational]) -> Lettered:
        """The hole nearest at the drawn example, a rational number; `Tie` where two are equally near."""
        value = self._value(value)
        size = self._fraction(self.example.hole(value.drawn, holes))
        sizes = sorted({Fraction(hole) for hole in holes})
        place = sizes.index(size)
        lower = self.rational((sizes[place - 1] + size) / 2) if place else None
        upper = self.rational((size + sizes[place + 1]) / 2) if place + 1 < len(sizes) else None
        self._rely_on_range("hole", value, lower, upper)
        return self.rational(size)

    def sign(self, value: Lettered | Rational) -> int | None:
        """0 where `value` is zero for every choice, else its sign at the drawn example: *exact*.

        None, and `value` joins `edges`, where it is zero at the drawn example but not for every choice.
        """
        if not isinstance(value, Lettered):
            return self.example.sign(value)
        sign = self.example.sign(value.drawn)
        if sign or not value.tree:
            return sign
        self.tower.refill()
        if self.tower.is_zero(value.tree):
            return 0
        self.edges.append(value)
        return None

    def to_float(self, value: Lettered | Rational) -> float:
        """The float nearest to the value at the drawn example, or its neighbour."""
        return self.example.to_float(self.here(value))

    # For claims and for people

    def here(self, value: Lettered | Rational) -> Exact:
        """The value at the drawn example, an `Exact` of `example`."""
        return self._value(value).drawn

    def equal(self, one: Lettered | Rational, other: Lettered | Rational) -> bool:
        """Whether the two are the same number for every choice, *exact*."""
        difference = self._value(one) - self._value(other)
        if self.example.sign(difference.drawn):
            return False
        self.tower.refill()
        return self.tower.is_zero(difference.tree)

    def drawn_choices(self) -> dict[str, Fraction]:
        """The value of each letter in the drawn example, by name."""
        return {name: self._fraction(value.drawn) for name, value in self._letters.items()}

    def letters_of(self, value: Lettered | Rational) -> tuple[str, ...]:
        """The names of the free choices that `value` is written with, in the order in which they were made."""
        places: set[int] = set()
        seen: set[Root] = set()
        self._collect(self._value(value).tree, places, seen)
        return tuple(self.base.letters[place] for place in sorted(places))

    def closed_form(self, value: Lettered | Rational, *, longest: int = 100_000) -> str:
        """`value` as a person writes it, letters by their names: *exact*; "…" where it would be longer than `longest`."""
        return print_lettered(self._value(value).tree, self.base.letters, longest)

    def evaluate(self, value: Lettered, choices: Mapping[str, Rational], exact: ExactSystem | None = None) -> Exact:
        """Return what `value` is for other choices; see `evaluate_all`."""
        return self.evaluate_all((value,), choices, exact)[0]

    def evaluate_all(
        self, values: Iterable[Lettered], choices: Mapping[str, Rational], exact: ExactSystem | None = None
    ) -> list[Exact]:
        """Return what `values` are for other choices (those not named stay as drawn), over `exact` or a fresh system: *exact*.

        Each is worked out again, step by step, as a replay would, so this is right beyond the region
        of `relied` too; only readings and holes stay the drawn ones. A "root sign" of `relied` is the
        found form itself, whose sign tells one side of the region from the other.
        `NotANumber` where one has no value there.
        """
        exact = exact or ExactSystem()
        there = {name: Fraction(choices.get(name, drawn)) for name, drawn in self.drawn_choices().items()}
        known: dict[int, Exact] = {}
        results = []
        for value in values:
            pending = [value]
            while pending:
                one = pending[-1]
                if id(one) in known:
                    pending.pop()
                    continue
                parts = [part for part in one.history if part.__class__ is Lettered and id(part) not in known]
                if parts:
                    pending += parts
                    continue
                known[id(one)] = self._again(one, there, known, exact)
                pending.pop()
            results.append(known[id(value)])
        return results

    def _again(self, value: Lettered, there: dict[str, Fraction], known: dict[int, Exact], exact: ExactSystem) -> Exact:
        """Do the last operation of a value's history, its parts being known."""
        if not value.history:
            return self._form_at(value.tree, there, exact)
        op = value.history[0]
        if op == "letter":
            return exact.rational(there[value.history[1]])
        a, *rest = (known[id(part)] if part.__class__ is Lettered else exact.rational(part) for part in value.history[1:])
        match op:
            case "√":
                return exact.sqrt(a)
            case "+":
                return a + rest[0]
            case "-":
                return a - rest[0]
            case "*":
                return a * rest[0]
        return a / rest[0]

    def _form_at(self, tree: Raw, there: dict[str, Fraction], exact: ExactSystem) -> Exact:
        """What a form is for other choices, its roots taken positive."""
        values = [fmpq(choice.numerator, choice.denominator) for choice in there.values()]
        known: dict[str, fmpq] = {}
        heights: dict[Root, Exact] = {}

        def at(part: Raw) -> Exact:
            if part.__class__ is Surd:
                if part.root not in heights:
                    heights[part.root] = exact.sqrt(at(part.root.radicand))
                return at(part.free) + at(part.factor) * heights[part.root]
            if part.__class__ is Quotient:
                below = self.base.polynomial_at(part.below, values, known)
                if not below:
                    raise NotANumber(say("no_number.by_zero"))
                part = self.base.polynomial_at(part.above, values, known) / below
            return exact.rational(Fraction(int(part.p), int(part.q)))

        return at(tree)

    # Inside

    def _value(self, value: Lettered | Rational) -> Lettered:
        return value if isinstance(value, Lettered) else self.rational(value)

    def _fraction(self, value: Exact) -> Fraction:
        return self.example.base.fraction(value.tree)

    def _collect(self, tree: Raw, places: set[int], seen: set[Root]) -> None:
        while tree.__class__ is Surd:
            if tree.root not in seen:
                seen.add(tree.root)
                self._collect(tree.root.radicand, places, seen)
            self._collect(tree.factor, places, seen)
            tree = tree.free
        if tree.__class__ is Quotient:
            for polynomial in (tree.above, tree.below):
                places.update(place for place, degree in enumerate(polynomial.degrees()) if degree)

    def _rely_on_denominator(self, value: Lettered) -> None:
        if not self.tower.has_letters(value.tree):
            return
        key = self.tower.key(value.tree)
        if key not in self._denominators:
            self._denominators.add(key)
            self.relied.append(Relied("denominator", value, self.example.sign(value.drawn)))

    def _rely_on_range(self, kind: str, value: Lettered, lower: Lettered | None, upper: Lettered | None) -> None:
        if not self.tower.has_letters(value.tree):
            return
        if lower is not None:
            self.relied.append(Relied(kind, value - lower, 1))
        if upper is not None:
            self.relied.append(Relied(kind, upper - value, 1))


SYSTEM = LettersSystem
