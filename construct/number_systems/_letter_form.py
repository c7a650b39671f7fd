"""How a value over letters is written for people: (R² − r²)/(2·R), √(u² − 3).

Printing only: what is printed equals the element exactly, term by term.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from construct.number_systems._quotients import Quotient
from construct.number_systems._surds import Raw, Root, Surd

_RAISED = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")


class _TooLong(Exception):
    pass


def print_lettered(element: Raw, names: Sequence[str], longest: int) -> str:
    """`element` as a closed form, or "…" where that is longer than `longest` characters."""
    try:
        return _Printer(names, longest).write(element)
    except _TooLong:
        return "…"


class _Printer:
    def __init__(self, names: Sequence[str], longest: int) -> None:
        self._names = names
        self._longest = longest
        self._roots: dict[Root, str] = {}

    def write(self, element: Raw) -> str:
        text = ""
        for coefficient, roots in self._terms(element, ()):
            term = self._term(coefficient, [self._root(root) for root in reversed(roots)])
            if not text:
                text = term
            elif term.startswith("−"):
                text += f" − {term[1:]}"
            else:
                text += f" + {term}"
            if len(text) > self._longest:
                raise _TooLong
        return text or "0"

    def _terms(self, element: Raw, roots: tuple[Root, ...]) -> Any:
        if element.__class__ is Surd:
            yield from self._terms(element.free, roots)
            yield from self._terms(element.factor, (*roots, element.root))
        elif element:
            yield element, roots

    def _root(self, root: Root) -> str:
        if root not in self._roots:
            inside = self.write(root.radicand)
            self._roots[root] = f"√{inside}" if inside.isalnum() else f"√({inside})"
        return self._roots[root]

    def _term(self, coefficient: Any, roots: list[str]) -> str:
        if coefficient.__class__ is Quotient:
            top = coefficient.above
            simple = len(top) == 1 or (not roots and coefficient.whole)
            negative = top.leading_coefficient() < 0 and (len(top) == 1 or not simple)
            above, below = self._sum(-top if negative else top), self._sum(coefficient.below)
            if not simple:
                above = f"({above})"
        else:
            above, below = str(abs(coefficient.p)), str(coefficient.q)
            negative = coefficient.p < 0
        sign = "−" if negative else ""
        body = "·".join(([above] if above != "1" or not roots else []) + roots)
        if below == "1":
            return sign + body
        return f"{sign}{body}/{below}" if below.isalnum() else f"{sign}{body}/({below})"

    def _sum(self, polynomial: Any) -> str:
        text = ""
        for exponents, coefficient in polynomial.terms():
            parts = [
                name if exponent == 1 else name + str(exponent).translate(_RAISED)
                for name, exponent in zip(self._names, exponents, strict=False)
                if exponent
            ]
            size = str(abs(int(coefficient)))
            if size != "1" or not parts:
                parts.insert(0, size)
            term = "·".join(parts)
            if text:
                text += f" − {term}" if coefficient < 0 else f" + {term}"
            else:
                text = f"−{term}" if coefficient < 0 else term
            if len(text) > self._longest:
                raise _TooLong
        return text
