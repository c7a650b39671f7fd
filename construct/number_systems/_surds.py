"""Elements of a tower of real quadratic extensions, and their ring arithmetic.

An element is *raw*: either an element of the base field (a `flint.fmpq`, or
whatever the base's file uses; never a Python int) or a `Surd`, free + factor·root, whose two parts
are raw and lie strictly below `root`.  Nothing here decides a sign or a zero;
a formal zero factor is dropped, so sums that cancel fall back by themselves.
Base elements need + - * / unary -, `bool`, and `height_bits()`.
"""

from __future__ import annotations

from typing import Any

from construct.number_systems import LimitMet
from construct.phrasebook import say

Raw = Any
"""An element of the base field or a `Surd`."""

_new = object.__new__

_LARGE_BITS = 512
"""From this height on a product of base elements costs noticeably more than a small one."""


class Root:
    """One adjoined square root: the positive root of `radicand`.

    order: place in the tower; a root lies above every root its radicand uses.
    radicand: raw, certainly positive, never a square of the base.
    nested: False where the radicand lies in the base field.
    support: every root that is needed to write this one, itself included.
    balls: enclosures by precision in bits; a cache.
    tower: the `Tower` it belongs to.
    """

    __slots__ = ("balls", "nested", "order", "radicand", "support", "tower")

    def __init__(self, order: int, radicand: Raw, nested: bool, tower: Any) -> None:
        self.order = order
        self.radicand = radicand
        self.nested = nested
        self.tower = tower
        self.support = frozenset({self}) | support(radicand)
        self.balls: dict[int, Any] = {}

    def __repr__(self) -> str:
        return f"Root({self.order}, {self.radicand!r})"


class Surd:
    """free + factor·root, with `factor` not formally zero.

    free, factor: raw, below `root`.
    root: the highest `Root` in the element.
    ball: (precision in bits, enclosure) of the last one asked for; may be unset.
    """

    __slots__ = ("ball", "factor", "free", "root")

    ball: tuple[int, Any]
    free: Raw
    factor: Raw
    root: Root

    def __repr__(self) -> str:
        return f"Surd({self.free!r}, {self.factor!r}, root={self.root.order})"

    def height_bits(self) -> int:
        """The size of one coefficient, as a sample of them all."""
        return self.factor.height_bits()

    def __neg__(self) -> Surd:
        result = _new(Surd)
        result.free = -self.free
        result.factor = -self.factor
        result.root = self.root
        return result

    def __add__(self, other: Raw) -> Raw:
        if other.__class__ is Surd:
            root = self.root
            above = other.root
            if root is above:
                factor = self.factor + other.factor
                free = self.free + other.free
                if not factor:
                    return free
            elif root.order > above.order:
                free = self.free + other
                factor = self.factor
            else:
                _same_tower(root, above)
                free = self + other.free
                factor = other.factor
                root = above
        else:
            root = self.root
            free = self.free + other
            factor = self.factor
        result = _new(Surd)
        result.free = free
        result.factor = factor
        result.root = root
        return result

    def __radd__(self, other: Raw) -> Raw:
        result = _new(Surd)
        result.free = self.free + other
        result.factor = self.factor
        result.root = self.root
        return result

    def __sub__(self, other: Raw) -> Raw:
        if other.__class__ is Surd:
            root = self.root
            above = other.root
            if root is above:
                factor = self.factor - other.factor
                free = self.free - other.free
                if not factor:
                    return free
            elif root.order > above.order:
                free = self.free - other
                factor = self.factor
            else:
                _same_tower(root, above)
                free = self - other.free
                factor = -other.factor
                root = above
        else:
            root = self.root
            free = self.free - other
            factor = self.factor
        result = _new(Surd)
        result.free = free
        result.factor = factor
        result.root = root
        return result

    def __rsub__(self, other: Raw) -> Raw:
        result = _new(Surd)
        result.free = other - self.free
        result.factor = -self.factor
        result.root = self.root
        return result

    def __mul__(self, other: Raw) -> Raw:
        free = self.free
        factor = self.factor
        root = self.root
        if other.__class__ is Surd:
            above = other.root
            if root is above:
                if other is self:
                    return self.squared()
                product = factor * other.factor * root.radicand
                if product.__class__ is Surd:
                    root.tower.spend(1)
                else:
                    bits = product.height_bits()
                    if bits > _LARGE_BITS:
                        root.tower.spend_bits(bits)
                if free:
                    if other.free:
                        factor = free * other.factor + factor * other.free
                        free = free * other.free + product
                    else:
                        factor = free * other.factor
                        free = product
                elif other.free:
                    factor = factor * other.free
                    free = product
                else:
                    return product
            elif root.order > above.order:
                if free:
                    free = free * other
                factor = factor * other
            else:
                _same_tower(root, above)
                free = other.free
                if free:
                    free = self * free
                factor = self * other.factor
                root = above
        else:
            if not other:
                return other * self.zero()
            free = free * other
            factor = factor * other
        if not factor:
            return free
        result = _new(Surd)
        result.free = free
        result.factor = factor
        result.root = root
        return result

    __rmul__ = __mul__

    def squared(self) -> Raw:
        """This element times itself, with one product fewer."""
        free = self.free
        factor = self.factor
        root = self.root
        square = factor * factor * root.radicand
        if square.__class__ is Surd:
            root.tower.spend(1)
        else:
            bits = square.height_bits()
            if bits > _LARGE_BITS:
                root.tower.spend_bits(bits)
        if not free:
            return square
        twice = free * factor
        return surd(free * free + square, twice + twice, root)

    def zero(self) -> Raw:
        """The zero of the base field."""
        return self.root.tower.base.zero

    def over(self, divisor: Raw) -> Surd:
        """This element divided by a base element that is not zero."""
        # Never through 1 / divisor: of a Python int that would be a float.
        result = _new(Surd)
        result.free = self.free / divisor
        result.factor = self.factor / divisor
        result.root = self.root
        return result

    def __truediv__(self, divisor: Raw) -> Raw:
        if divisor.__class__ is not Surd:
            return self.over(divisor)
        if self.root is not divisor.root or not divisor.free:
            return self * divisor.reciprocal()
        norm = divisor.norm()
        if norm.__class__ is not Surd and norm:
            dividend = self * divisor.conjugate()
            return dividend.over(norm) if dividend.__class__ is Surd else dividend / norm
        return self * divisor.reciprocal()

    def __rtruediv__(self, dividend: Raw) -> Raw:
        return self.reciprocal() * dividend

    def norm(self) -> Raw:
        """free² − factor²·radicand, which lies below the root."""
        return self.free * self.free - self.factor * self.factor * self.root.radicand

    def reciprocal(self) -> Raw:
        """1 over this element, which the caller knows is not zero."""
        free = self.free
        factor = self.factor
        root = self.root
        if not free:
            factor = factor * root.radicand
            return surd(free, factor.reciprocal() if factor.__class__ is Surd else 1 / factor, root)
        norm = self.norm()
        if norm.__class__ is not Surd and norm:
            return surd(free / norm, -(factor / norm), root)
        if root.tower.is_zero(norm):
            # The root was redundant: free − factor·root is 0, so this element is 2·free.
            free = free + free
            return free.reciprocal() if free.__class__ is Surd else 1 / free
        norm = norm.reciprocal()
        return surd(free * norm, -(factor * norm), root)

    def conjugate(self) -> Surd:
        """free − factor·root."""
        return surd(self.free, -self.factor, self.root)


def surd(free: Raw, factor: Raw, root: Root) -> Raw:
    """free + factor·root, or `free` itself where the factor is formally zero."""
    if not factor:
        return free
    result = _new(Surd)
    result.free = free
    result.factor = factor
    result.root = root
    return result


def support(element: Raw) -> frozenset[Root]:
    """Every root that is needed to write `element`."""
    found: frozenset[Root] = frozenset()
    while element.__class__ is Surd:
        found |= element.root.support | support(element.factor)
        element = element.free
    return found


def coefficients(element: Raw) -> list[Raw]:
    """The base elements that `element` is written with, zeros included."""
    found: list[Raw] = []
    while element.__class__ is Surd:
        found += coefficients(element.factor)
        element = element.free
    found.append(element)
    return found


def _same_tower(root: Root, other: Root) -> None:
    if root.order == other.order:
        raise ValueError("numbers of two different replays were mixed")


def over_limit(bits: int, limit: int) -> LimitMet:
    """The limit that a coefficient of `bits` bits has met."""
    return LimitMet(say("limit.bits", bits=bits, limit=limit))
