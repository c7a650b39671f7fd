"""How an exact element is written for people: (1 + √5)/2, 453·√2/5, √(10 + 2·√5)/4.

Printing only: nothing is decided here, and what is printed equals the element
exactly.  The rational part comes first, then roots by size of radicand, then
nested roots, all over one common denominator.
"""

from __future__ import annotations

from flint import fmpq, fmpz

from construct.number_systems import LimitMet
from construct.number_systems._surds import Raw, Root, Surd, coefficients, support
from construct.phrasebook import say

_LONGEST = 100_000
"""No reader wants more characters than this; nested roots print exponentially long."""

_FEW = 32
"""Up to this many coefficients a factor before a nested root is taken inside it."""

_Term = tuple[fmpq, str]
"""A coefficient and what stands behind it; "" for the rational part."""


def print_element(element: Raw) -> str:
    """`element` as a closed form; `LimitMet` where it would be absurdly long."""
    return _Printer().write(element)


class _Printer:
    def __init__(self) -> None:
        self._roots: dict[Root, str] = {}

    def write(self, element: Raw) -> str:
        text = _join(self._terms(element))
        if len(text) > _LONGEST:
            raise LimitMet(say("limit.closed_form", most=_LONGEST))
        return text

    def _terms(self, element: Raw) -> list[_Term]:
        terms: list[_Term] = []
        groups = _split(element)
        for roots in sorted(groups, key=lambda roots: (len(roots), [root.order for root in roots])):
            flat = _flatten(groups[roots])
            spread = [(flat[number], self._product(number, roots)) for number in sorted(flat)]
            merged = self._merged(groups[roots], roots) if roots else None
            if merged is not None and len(_join([merged])) <= len(_join(spread)):
                terms.append(merged)
            else:
                terms += spread
        return terms

    def _product(self, number: int, roots: tuple[Root, ...]) -> str:
        parts = [f"√{number}"] if number != 1 else []
        return "·".join(parts + [self._root(root) for root in roots])

    def _root(self, root: Root) -> str:
        if root not in self._roots:
            self._roots[root] = f"√({self.write(root.radicand)})"
        return self._roots[root]

    def _merged(self, factor: Raw, roots: tuple[Root, ...]) -> _Term | None:
        """The product of `factor` and `roots` as one root of its square, where that is small."""
        tower = roots[0].tower
        square = factor * factor
        for root in roots:
            square = square * root.radicand
        parts = coefficients(square)
        if len(parts) > _FEW or max(part.height_bits() for part in parts) > tower.base.factor_bits:
            return None
        scale = tower.base.content(parts)
        outside, square_class = tower.base.square_part(scale)
        text = self.write(square * (square_class / scale))
        inside = f"√{text}" if text.isdigit() else f"√({text})"
        return outside if tower.sign(factor) > 0 else -outside, inside


def _split(element: Raw) -> dict[tuple[Root, ...], Raw]:
    """The part over base roots before each product of nested roots."""
    if element.__class__ is not Surd or not element.root.nested:
        return {(): element} if element or element.__class__ is Surd else {}
    groups = _split(element.free)
    for roots, part in _split(element.factor).items():
        groups[(*roots, element.root)] = part
    return groups


def _flatten(element: Raw) -> dict[int, fmpq]:
    """Coefficients by the number under the root; 1 for the rational part."""
    if element.__class__ is not Surd:
        return {1: element} if element else {}
    flat = _flatten(element.free)
    radicand = element.root.radicand.p
    for number, coefficient in _flatten(element.factor).items():
        common = fmpz(number).gcd(radicand)
        together = int(number * radicand // (common * common))
        total = flat.pop(together, fmpq(0)) + coefficient * common
        if total:
            flat[together] = total
    return flat


def _join(terms: list[_Term]) -> str:
    if not terms:
        return "0"
    below = fmpz(1)
    for coefficient, _ in terms:
        below = below.lcm(coefficient.q)
    text = ""
    for coefficient, body in terms:
        above = coefficient.p * (below // coefficient.q)
        size = abs(above)
        term = body if body and size == 1 else f"{size}·{body}" if body else str(size)
        if text:
            text += f" − {term}" if above < 0 else f" + {term}"
        else:
            text = f"−{term}" if above < 0 else term
    if below == 1:
        return text
    return f"({text})/{below}" if len(terms) > 1 else f"{text}/{below}"


def print_briefly(element: Raw) -> str:
    """`element` for a debugger: never long, never failing."""
    parts = coefficients(element)
    if len(parts) > _FEW or len(support(element)) > 3 or max(part.height_bits() for part in parts) > 256:
        return f"an element over {len(support(element))} roots"
    return print_element(element)
