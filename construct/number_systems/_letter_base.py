"""Rational functions of free choices as the base field of a tower, with their square classes.

Signs and enclosures are those at the drawn example.  Which products of adjoined
radicands are squares is linear algebra over two elements, as it is over the
rational numbers: on pairwise coprime atoms, none a square, apart for whole
numbers and for primitive polynomials.  Atoms are split by common divisors as
new ones come, never factored, so that no large polynomial can make it hang.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flint import Ordering, arb, fmpq, fmpz, fmpz_mpoly_ctx

from construct.number_systems import LimitMet, Rational
from construct.number_systems._quotients import Quotient, common_divisor, exact_root, lifted, quotient, times
from construct.number_systems._rational_base import RationalBase
from construct.number_systems._surds import Raw, Root
from construct.phrasebook import say

_FEW_LETTERS = 8
"""So many letters fit where the exponents of a term fill one machine word; the room doubles as it is used up."""


class OnEdge(LimitMet):
    """The drawn example lies where an expression that is not always zero vanishes, or has no value."""

    def __init__(self) -> None:
        super().__init__(say("limit.on_edge"))


class LetterBase:
    """Q(letters): elements are `fmpq` or `Quotient`, over letters that come one by one.

    letters: their names as given.  drawn: their values in the drawn example.
    context: the polynomials that have room for them; another one when the room is used up.
    factor_bits: whole numbers up to this size are factored completely.
    """

    zero = fmpq(0)
    one = fmpq(1)

    def __init__(self, *, factor_bits: int = 64) -> None:
        self.factor_bits = factor_bits
        self.letters: list[str] = []
        self.drawn: list[fmpq] = []
        self._rational = RationalBase(factor_bits=factor_bits)
        self.context = self._room(_FEW_LETTERS)
        self._here: dict[str, fmpq] = {}
        self._members: list[tuple[Any, Root]] = []
        self._whole = _Atoms(_whole_root, _whole_divisor)
        self._polynomial = _Atoms(exact_root, common_divisor)
        self._echelon: dict[int, tuple[int, int]] = {}

    @staticmethod
    def _room(count: int) -> Any:
        return fmpz_mpoly_ctx.get([f"u{number}" for number in range(count)], Ordering.lex)

    def letter(self, name: str, drawn: Rational) -> Quotient:
        """A new indeterminate."""
        if len(self.letters) == self.context.nvars():
            self.context = self._room(2 * len(self.letters))
            self._members = [(number.project_to_context(self.context), root) for number, root in self._members]
            atoms = self._polynomial.atoms
            atoms[:] = [atom.project_to_context(self.context) for atom in atoms]
        self.letters.append(name)
        self.drawn.append(fmpq(drawn.numerator, drawn.denominator))
        return quotient(self.context.gen(len(self.letters) - 1), self.context.constant(1))

    def number(self, value: Rational) -> fmpq:
        """`value` as an element of the base."""
        return fmpq(value.numerator, value.denominator)

    # At the drawn example

    def here(self, element: Any) -> fmpq:
        """The value at the drawn example; `OnEdge` where there is none."""
        if element.__class__ is not Quotient:
            return element
        found = getattr(element, "here", None)
        if found is None:
            below = self.polynomial_here(element.below)
            if not below:
                raise OnEdge
            found = element.here = self.polynomial_here(element.above) / below
        return found

    def polynomial_here(self, polynomial: Any) -> fmpq:
        """A polynomial's value at the drawn example."""
        return self.polynomial_at(polynomial, self.drawn, self._here)

    def polynomial_at(self, polynomial: Any, values: list[fmpq], known: dict[str, fmpq]) -> fmpq:
        """A polynomial's value where the letters have these values; `known` remembers it."""
        key = str(polynomial)
        total = known.get(key)
        if total is None:
            total = fmpq(0)
            for exponents, coefficient in zip(polynomial.monoms(), polynomial.coeffs(), strict=True):
                term = fmpq(coefficient)
                for value, exponent in zip(values, exponents, strict=False):
                    if exponent == 1:
                        term *= value
                    elif exponent:
                        term *= value**exponent
                total += term
            known[key] = total
        return total

    def ball(self, element: Any) -> arb:
        """An enclosure of the value at the drawn example."""
        return arb(self.here(element))

    def sign(self, element: Any) -> int:
        """0 where it is always 0, else the sign at the drawn example; `OnEdge` where that is 0."""
        if not element:
            return 0
        number = self.here(element)
        if not number:
            raise OnEdge
        return 1 if number > 0 else -1

    # Square classes

    def key(self, element: Any) -> tuple[Any, ...]:
        """What a memo keeps `element` under."""
        if element.__class__ is Quotient:
            return str(element.above), str(element.below)
        return int(element.p), int(element.q)

    def content(self, coefficients: list[Any]) -> Any:
        """A positive element that makes the coefficients polynomials without a common divisor.

        Where that element has no sign at the drawn example, only whole numbers are taken out.
        """
        if all(coefficient.__class__ is fmpq for coefficient in coefficients):
            return self._rational.content(coefficients)
        above = self.context.constant(0)
        below = self.context.constant(1)
        for coefficient in coefficients:
            if coefficient:
                top, bottom = self._parts(coefficient)
                above = common_divisor(above, top)
                below = times(below, bottom / common_divisor(below, bottom))
        found = quotient(above, below)
        try:
            return found if self.sign(found) > 0 else -found
        except OnEdge:
            return fmpq(above.content(), below.content())

    def square_part(self, element: Any) -> tuple[Any, Any]:
        """(outside, class): a positive element = outside²·class, the class a polynomial without known squares."""
        if element.__class__ is not Quotient:
            return self._rational.square_part(element)
        outside, radicand = self._split(element, _Atoms(exact_root, common_divisor))
        return outside, quotient(radicand, self.context.constant(1))

    def known_root(self, element: Any, allowed: int) -> Raw | None:
        """A root of `element`, of either sign, over the base and the allowed roots, without factoring; else None."""
        if not element:
            return element
        above, below = self._parts(element)
        number = times(above, below)
        root = exact_root(number)
        if root is not None:
            return quotient(root, below)
        if not self._members or not allowed:
            return None
        chosen = self._chosen(number)
        if not chosen or chosen & ~allowed:
            return None
        return self._product(number, below, chosen)

    def reduce(self, element: Any) -> tuple[Any, Raw | None, Raw]:
        """(outside, radicand, known): the root of a positive `element` is outside·√radicand·known, known of either sign.

        The radicand is None where the adjoined roots suffice.
        """
        outside, radicand = self._split(element, self._polynomial)
        if radicand == 1:
            return outside, None, self.one
        one = self.context.constant(1)
        chosen = self._chosen(radicand)
        known = self._product(radicand, one, chosen) if chosen else None
        if known is None:
            return outside, quotient(radicand, one), self.one
        return outside, None, known

    def enrol(self, radicand: Any, root: Root) -> None:
        """Remember that `radicand`, as `reduce` gave it, now has the root `root`."""
        number, _ = self._parts(radicand)
        self._masks(number)
        self._members.append((number, root))
        self._refresh()
        self._extend_echelon(len(self._members) - 1)

    def _parts(self, element: Any) -> tuple[Any, Any]:
        constant = self.context.constant
        if element.__class__ is Quotient:
            lifted(element, self.context)
            return element.above, element.below
        return constant(element.p), constant(element.q)

    def _split(self, element: Any, atoms: _Atoms) -> tuple[Any, Any]:
        """(outside, radicand) of an element that is positive at the drawn example: both are positive there."""
        above, below = self._parts(element)
        content, primitive, negative = _primitive(times(above, below))
        atoms.insert_parts(primitive)
        outside, class_ = self._rational.square_part(fmpq(content))
        _, half, odd = atoms.exponents(primitive)
        root = self.context.constant(1) * outside.p
        radicand = self.context.constant(1) * class_.p
        for atom in half:
            root = times(root, atom)
        for atom in odd:
            radicand = times(radicand, atom)
        if negative:
            # element > 0 and element·below² = root²·radicand, so this sign makes the radicand positive
            radicand = -radicand
        found = quotient(root, below)
        return (found if self.sign(found) > 0 else -found), radicand

    def _chosen(self, number: Any) -> int:
        """The members whose product with `number` may be a square, as bits; 0 if no product is."""
        mask = self._masks(number)
        chosen = 0
        while mask:
            row = self._echelon.get(mask.bit_length())
            if row is None:
                return 0
            mask ^= row[0]
            chosen ^= row[1]
        return chosen

    def _masks(self, number: Any) -> int:
        """The parities of `number` at every atom; atoms are split or added until nothing of it is left."""
        content, primitive, _ = _primitive(number)
        whole = self._whole.mask(content)
        polynomial = self._polynomial.mask(primitive)
        self._refresh()
        return _spread(whole) | _spread(polynomial) << 1

    def _refresh(self) -> None:
        """Rebuild the linear algebra after atoms were split."""
        if self._whole.is_split or self._polynomial.is_split:
            self._whole.is_split = self._polynomial.is_split = False
            self._echelon.clear()
            for place in range(len(self._members)):
                self._extend_echelon(place)

    def _extend_echelon(self, place: int) -> None:
        mask = self._masks(self._members[place][0])
        chosen = 1 << place
        while mask:
            row = self._echelon.get(mask.bit_length())
            if row is None:
                self._echelon[mask.bit_length()] = (mask, chosen)
                return
            mask ^= row[0]
            chosen ^= row[1]

    def _product(self, number: Any, below: Any, chosen: int) -> Raw | None:
        """√number/below, of either sign, which is a multiple of the product of the chosen roots; None if it is not."""
        radicands = self.context.constant(1)
        product: Raw = self.one
        for place, (radicand, root) in enumerate(self._members):
            if chosen >> place & 1:
                radicands = times(radicands, radicand)
                product = product * root.tower.element(root)
        square = exact_root(times(number, radicands))
        if square is None:
            # the parities agree up to the sign: it is negative
            return None
        return product * quotient(square, times(radicands, below))


class _Atoms:
    """Pairwise coprime numbers, or polynomials with a positive leading coefficient, none of them a square.

    is_split: set where one was replaced by its parts, which moves the others.
    """

    def __init__(self, root: Callable[[Any], Any], divisor: Callable[[Any, Any], Any]) -> None:
        self.atoms: list[Any] = []
        self.is_split = False
        self._root = root
        self._divisor = divisor

    def exponents(self, number: Any) -> tuple[int, list[Any], list[Any]]:
        """(mask, half, odd) of a product of atoms: which are in it an odd number of times, and its square part."""
        mask, half, rest = self._divided(number)
        if rest != 1:
            root = self._root(rest)
            if root is None:
                # an atom that is not free of squares took too much of it
                self.insert(rest)
                return self.exponents(number)
            half.append(root)
        return mask, half, [atom for place, atom in enumerate(self.atoms) if mask >> place & 1]

    def mask(self, number: Any) -> int:
        """Which atoms are in a number an odd number of times, after it was made a product of atoms and a square."""
        for insert in (self._insert_parts, self.insert):
            mask, _, rest = self._divided(number)
            if rest == 1 or self._root(rest) is not None:
                return mask
            insert(rest)
        return self.mask(number)

    def _divided(self, number: Any) -> tuple[int, list[Any], Any]:
        mask = 0
        half = []
        for place, atom in enumerate(self.atoms):
            if number == 1:
                break
            quotient, remainder = divmod(number, atom)
            odd = False
            while not remainder:
                number = quotient
                if odd:
                    half.append(atom)
                odd = not odd
                quotient, remainder = divmod(number, atom)
            if odd:
                mask |= 1 << place
        return mask, half, number

    def insert_parts(self, polynomial: Any) -> None:
        """Insert what of a polynomial is not yet a product of atoms, apart where a derivative tells its squares."""
        _, _, rest = self._divided(polynomial)
        self._insert_parts(rest)

    def _insert_parts(self, rest: Any) -> None:
        """The same for what no atom divides.  An atom with a square in it would hide that square from every root."""
        pending = [rest]
        while pending:
            part = pending.pop()
            if part == 1 or (self._root(part) is not None and self._all_known(part)):
                continue
            degrees = [] if part.__class__ is fmpz else part.degrees()
            place = next((place for place, degree in enumerate(degrees) if degree), None)
            if place is not None and max(degrees) > 1:
                common = self._divisor(part, part.derivative(place))
                if common != 1:
                    pending += [common, part / common]
                    continue
            self.insert(part)

    def _all_known(self, square: Any) -> bool:
        """A square needs no atom of its own, unless it shares a part with one."""
        return all(self._divisor(atom, square) == 1 for atom in self.atoms)

    def insert(self, number: Any) -> None:
        """Make `number` a product of atoms and of squares."""
        pending = [number]
        while pending:
            new = pending.pop()
            while new != 1 and (root := self._root(new)) is not None:
                new = root
            if new == 1:
                continue
            for place, atom in enumerate(self.atoms):
                common = self._divisor(atom, new)
                if common != 1:
                    if common != atom:
                        self.is_split = True
                        del self.atoms[place]
                        pending += [common, atom // common, new // common]
                    else:
                        pending.append(new // common)
                    break
            else:
                self.atoms.append(new)


def _whole_root(number: fmpz) -> fmpz | None:
    return number.isqrt() if number > 0 and number.is_square() else None


def _whole_divisor(one: fmpz, other: fmpz) -> fmpz:
    return one.gcd(other)


def _spread(mask: int) -> int:
    """The bits of a mask at every second place."""
    spread = 0
    place = 0
    while mask:
        if mask & 1:
            spread |= 1 << 2 * place
        mask >>= 1
        place += 1
    return spread


def _primitive(number: Any) -> tuple[fmpz, Any, bool]:
    """(content, part, negative): a polynomial's whole divisor, the rest with a positive leading coefficient, and its sign."""
    content = number.content()
    if content != 1:
        number = number // content
    if number.leading_coefficient() < 0:
        return content, -number, True
    return content, number, False
