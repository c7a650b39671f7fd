"""A certificate written: lines of a trace, its twin's values as witnesses, the claim, a digest.

Nothing is decided here.  What is written may be wrong without harm: the checker
decides, and `Certificate` is made only from a text that it accepts.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import lcm
from typing import Any

from construct.number_systems._quotients import Quotient, common_divisor, lifted
from construct.number_systems._surds import Raw, Root, Surd
from construct.number_systems.trace import TraceLine, TraceSystem
from construct.proofs.checker import check, digest
from construct.proofs.sign_witness import keeping

Term = list[Any]


@dataclass(frozen=True, slots=True)
class Certificate:
    """A text that the checker accepts.

    text: JSON.  shows: what the checker says it shows.
    conditions: [kind, line of the trace] of each condition that is about a line.
    """

    text: str
    shows: str
    conditions: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class Heading:
    """What a certificate is called by, for people: the recipe, the claim as written, its line and way, the choices drawn."""

    recipe: str
    claim: str
    line: int
    way: str | None
    choices: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Numbers:
    """What a claim comes to: lines of a trace that must be zero, positive or not negative, and the signs it rests on."""

    zeros: tuple[int, ...]
    positives: tuple[int, ...]
    not_negatives: tuple[int, ...]
    sides: tuple[int, ...]


class Unwritable(Exception):
    """These values have no certificate that the checker reads."""


def certify(trace: TraceSystem, numbers: Numbers, verdict: str, heading: Heading) -> Certificate:
    """Return a certificate; `Rejected` where the checker does not accept it."""
    writer = Writer(trace, [*numbers.zeros, *numbers.positives, *numbers.not_negatives, *numbers.sides])
    place = writer.places
    body: dict[str, Any] = {
        "format": 2,
        "recipe": heading.recipe,
        "claim": heading.claim,
        "line": heading.line,
        "way": heading.way,
        "choices": [list(choice) for choice in heading.choices],
        "verdict": verdict,
        "scope": "every" if writer.letters else "here",
        "letters": [[name, str(drawn)] for name, drawn in writer.letters.items()],
        "roots": writer.radicands,
        "lines": writer.lines,
        "sides": [[place[index], trace.sides[index]] for index in numbers.sides],
        "zeros": [place[index] for index in numbers.zeros],
        "positives": [place[index] for index in numbers.positives],
        "not_negatives": [place[index] for index in numbers.not_negatives],
    }
    relied = list(writer.relied(numbers.sides))
    body["conditions"] = [[kind, place] for kind, place, _ in relied]
    kept = writer.kept([*numbers.positives, *numbers.not_negatives], [tree for _, _, trees in relied for tree in trees])
    if kept:
        body["kept"] = kept
    body["digest"] = digest(body)
    text = json.dumps(body, separators=(",", ":"))
    back = {new: old for old, new in place.items()}
    about = tuple((kind, back[new]) for kind, new in body["conditions"] if kind != "root")
    return Certificate(text, _accepted(text), about)


@lru_cache(maxsize=256)
def _accepted(text: str) -> str:
    """Return what the checker says; the ways of a recipe share most of their claims, letter by letter."""
    return check(text)


class Writer:
    """The part of a trace that some lines need, in the checker's words.

    places: the new number of each line kept.  lines, radicands: as the format has them.  letters: drawn values by name.
    """

    def __init__(self, trace: TraceSystem, wanted: Iterable[int]) -> None:
        self.trace = trace
        twin: Any = trace.twin
        self.base = twin.base
        self.lettered = bool(trace.has_letters)
        kept = _reachable(trace.lines, wanted)
        self.places = {old: new for new, old in enumerate(kept)}
        self.letters: dict[str, Fraction] = {}
        if self.lettered:
            used = {trace.lines[index].constant[0] for index in kept if trace.lines[index].op == "letter"}
            names, drawn = self.base.letters, self.base.drawn
            self.letters = {name: Fraction(int(at.p), int(at.q)) for name, at in zip(names, drawn, strict=True) if name in used}
        numbered = {name: place for place, name in enumerate(self.letters)}
        self.slots = [numbered.get(name) for name in self.base.letters] if self.lettered else []
        needed = [index for index in kept if self._needs_value(trace.lines[index])]
        roots: set[Root] = set()
        for index in needed:
            roots |= _support(trace.values[index].tree)
        order = [root for root in twin.tower.roots if root in roots]
        self.roots = {root: place for place, root in enumerate(order)}
        self.radicands = [self._whole(root.radicand) for root in order]
        shown = set(needed)
        self.lines = [self._line(index, index in shown) for index in kept]

    def varies(self, tree: Raw) -> bool:
        """Tell whether a letter stands in an element, or under its roots."""
        return self.lettered and bool(self.trace.twin.tower.has_letters(tree))  # type: ignore[union-attr]

    def relied(self, sides: Iterable[int]) -> Iterator[tuple[str, int, tuple[Raw, ...]]]:
        """Yield (kind, place, numbers that must keep off zero) of each condition, in the checker's order."""
        values = self.trace.values
        for root, place in self.roots.items():
            if self.varies(root.radicand):
                yield "root", place, (root.radicand,)
        for old, place in self.places.items():
            line = self.trace.lines[old]
            of = values[line.operands[-1]].tree if line.operands else None
            if line.op == "div" and self.varies(of):
                yield "divisor", place, (of,)
            elif line.op == "sqrt" and values[old].tree and self.varies(of):
                yield "radicand", place, (of, values[old].tree)
            elif line.op in ("reading", "hole") and self.varies(of):
                read, at = values[line.operands[0]], _fraction(values[old].tree)
                yield line.op, place, tuple((read - limit).tree for limit in _limits(line, at))
        for index in sides:
            if self.trace.sides[index] and self.varies(values[index].tree):
                yield "side", self.places[index], (values[index].tree,)

    def kept(self, wanted: Iterable[int], relied: Sequence[Raw]) -> list[list[Any]]:
        """Return [line, factor, terms, conditions] for each number whose sign an identity keeps: value · factor = terms · conditions."""
        found = []
        for index in dict.fromkeys(wanted):
            tree = self.trace.values[index].tree
            identity = keeping(tree, relied) if self.varies(tree) else None
            if identity is not None:
                factor, terms = self._value(identity.factor)
                found.append([self.places[index], factor, terms, list(identity.conditions)])
        return found

    def _needs_value(self, line: TraceLine) -> bool:
        """Tell whether the checker has to be told a line's value, or would work it out in longer fractions."""
        if line.op in ("div", "sqrt", "reading", "hole"):
            return True
        return self.lettered and any(_is_broken(self.trace.values[index].tree) for index in line.operands)

    def _line(self, index: int, shown: bool) -> dict[str, Any]:
        line = self.trace.lines[index]
        written: dict[str, Any] = {"op": line.op, "of": [self.places[operand] for operand in line.operands]}
        match line.op:
            case "rational":
                written |= {"op": "number", "with": str(line.constant)}
            case "letter" if self.lettered:
                written["with"] = line.constant[0]
            case "letter":
                written |= {"op": "number", "with": str(self.trace.twin.letter(*line.constant).tree)}  # type: ignore[union-attr]
            case "reading":
                written["with"] = str(line.constant)
            case "hole":
                written["with"] = [str(hole) for hole in line.constant]
        if shown:
            written["is"] = self._value(self.trace.values[index].tree)
        return written

    def _whole(self, radicand: Raw) -> list[Term]:
        terms, below = self._value(radicand)
        if below != [["1"]]:
            raise Unwritable("what is under a root is no polynomial")
        return terms

    def _value(self, tree: Raw) -> list[list[Term]]:
        """Return [terms, denominator]; a term is [whole number, [place, power] for each letter and root], roots after letters."""
        parts = _flat(tree)
        if not any(part.__class__ is Quotient for part, _ in parts):
            under = lcm(*(int(part.q) for part, _ in parts))
            return [
                [[str(int(part.p) * (under // int(part.q))), *self._places(roots)] for part, roots in parts],
                [[str(under)]],
            ]
        constant = self.base.context.constant
        pairs = []
        below = constant(1)
        for part, roots in parts:
            if part.__class__ is Quotient:
                lifted(part, self.base.context)
                pairs.append((part.above, part.below, roots))
            else:
                pairs.append((constant(part.p), constant(part.q), roots))
            below = below * (pairs[-1][1] / common_divisor(below, pairs[-1][1]))
        terms = [term for above, under, roots in pairs for term in self._polynomial(above * (below / under), roots)]
        return [terms, self._polynomial(below, ())]

    def _polynomial(self, polynomial: Any, roots: Sequence[Root]) -> list[Term]:
        under = self._places(roots)
        terms = []
        for powers, coefficient in zip(polynomial.monoms(), polynomial.coeffs(), strict=True):
            letters = []
            for place, power in enumerate(powers):
                if power:
                    slot = self.slots[place]
                    if slot is None:
                        raise Unwritable("a letter that no line of it names")
                    letters.append([slot, int(power)])
            terms.append([str(coefficient), *letters, *under])
        return terms

    def _places(self, roots: Sequence[Root]) -> list[list[int]]:
        return [[place, 1] for place in sorted(len(self.letters) + self.roots[root] for root in roots)]


def _fraction(number: Any) -> Fraction:
    """Return what was read, which is a plain number in every tower."""
    return Fraction(int(number.p), int(number.q))


def _limits(line: TraceLine, at: Fraction) -> list[Fraction]:
    """Return the numbers halfway between what is read and its neighbours, as the checker lists them."""
    near = line.constant if line.op == "hole" else (at - line.constant, at + line.constant)
    return [(at + other) / 2 for other in near if other != at]


def _reachable(lines: Sequence[TraceLine], wanted: Iterable[int]) -> list[int]:
    """Return the lines that some lines are made from, themselves too, rising."""
    waiting, found = list(wanted), set()
    while waiting:
        index = waiting.pop()
        if index not in found:
            found.add(index)
            waiting += lines[index].operands
    return sorted(found)


def _support(tree: Raw) -> frozenset[Root]:
    found: frozenset[Root] = frozenset()
    while tree.__class__ is Surd:
        found |= tree.root.support | _support(tree.factor)
        tree = tree.free
    return found


def _flat(tree: Raw) -> list[tuple[Any, tuple[Root, ...]]]:
    """Return an element as (coefficient, roots) for each of its terms; none for zero."""
    found: list[tuple[Any, tuple[Root, ...]]] = []
    while tree.__class__ is Surd:
        found += [(part, (*roots, tree.root)) for part, roots in _flat(tree.factor)]
        tree = tree.free
    return found + ([(tree, ())] if tree else [])


def _is_broken(tree: Raw) -> bool:
    """Tell whether a letter stands in a denominator of an element."""
    return any(part.__class__ is Quotient and not part.whole for part, _ in _flat(tree))
