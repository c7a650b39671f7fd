"""The rational numbers as the base field of a tower, with their square classes.

A square class of Q is a squarefree integer.  Which products of adjoined
radicands are squares is linear algebra over two elements on their prime
factors.  Integers too large to factor are split by common divisors alone, which
decides the same question: pairwise coprime integers, none a square, have a
square product only if every exponent is even.
"""

from __future__ import annotations

from fractions import Fraction

from flint import arb, fmpq, fmpz

from construct.number_systems import Rational
from construct.number_systems._surds import Raw, Root


class RationalBase:
    """Q through `flint.fmpq`.

    factor_bits: integers up to this size are factored completely; larger ones
        only by small primes, since a call into the C library can not be stopped.
    """

    zero = fmpq(0)
    one = fmpq(1)

    def __init__(self, *, factor_bits: int = 64) -> None:
        self.factor_bits = factor_bits
        self._members: list[tuple[fmpz, Root]] = []
        self._atoms: list[fmpz] = []
        self._bit: dict[int, int] = {}
        self._has_hard_atom = False
        self._echelon: dict[int, tuple[int, int]] = {}
        self._squarefree: dict[int, tuple[fmpz, list[fmpz]]] = {}

    def number(self, value: Rational) -> fmpq:
        """`value` as an element of the base."""
        if value.__class__ is int:
            return fmpq(value)
        return fmpq(value.numerator, value.denominator)

    def ball(self, element: fmpq) -> arb:
        """An enclosure of `element` at the current working precision."""
        return arb(element)

    def sign(self, element: fmpq) -> int:
        """-1, 0 or +1."""
        if not element:
            return 0
        return 1 if element.p > 0 else -1

    def key(self, element: fmpq) -> tuple[int, int]:
        """What a memo keeps `element` under."""
        return int(element.p), int(element.q)

    def fraction(self, element: fmpq) -> Fraction:
        """`element` as a standard library fraction."""
        return Fraction(int(element.p), int(element.q))

    def content(self, coefficients: list[fmpq]) -> fmpq:
        """The positive rational that makes the coefficients integers without a common divisor."""
        below = fmpz(1)
        above = fmpz(0)
        for coefficient in coefficients:
            if coefficient:
                below = below.lcm(coefficient.q)
        for coefficient in coefficients:
            if coefficient:
                above = above.gcd(coefficient.p * (below // coefficient.q))
        return fmpq(above, below)

    def square_part(self, element: fmpq) -> tuple[fmpq, fmpq]:
        """(outside, class): element = outside²·class, the class an integer without known squares."""
        outside, atoms = self._split(element)
        product = fmpz(1)
        for atom in atoms:
            product *= atom
        return outside, fmpq(product)

    def known_root(self, element: fmpq, allowed: int) -> Raw | None:
        """A root of `element` over the base and the allowed roots, without factoring; else None.

        allowed: the roots that may be used, as the bits of a mask in the order enrolled.
        The roots are independent, so at most one product of them will do.
        """
        above, below = element.p, element.q
        if above <= 0:
            return None if element else element
        number = above * below
        if number.is_square():
            return fmpq(number.isqrt(), below)
        if not self._members or not allowed:
            return None
        mask, rest = self._parities(number)
        if not rest.is_square():
            if not self._has_hard_atom or all(atom.gcd(rest) == 1 for atom in self._atoms):
                return None
            self._insert_atom(rest)
            mask, rest = self._parities(number)
        chosen = self._combination(mask)
        if chosen is None or chosen & ~allowed:
            return None
        return self._product(number, chosen) / below

    def reduce(self, element: fmpq) -> tuple[fmpq, Raw | None, Raw]:
        """(outside, radicand, known): the root of a positive `element` is outside·√radicand·known.

        The radicand is None where the adjoined roots suffice.
        """
        outside, atoms = self._split(element)
        if not atoms:
            return outside, None, self.one
        number = fmpz(1)
        for atom in atoms:
            number *= atom
        for atom in atoms:
            self._insert_atom(atom)
        if self._has_hard_atom:
            mask, _ = self._parities(number)
        else:
            mask = sum(1 << self._bit[int(atom)] for atom in atoms)
        chosen = self._combination(mask)
        if chosen is None:
            return outside, fmpq(number), self.one
        return outside, None, self._product(number, chosen)

    def enrol(self, radicand: fmpq, root: Root) -> None:
        """Remember that `radicand`, as `reduce` gave it, now has the root `root`."""
        self._members.append((radicand.p, root))
        self._extend_echelon(len(self._members) - 1)

    def _split(self, element: fmpq) -> tuple[fmpq, list[fmpz]]:
        above_square, above_atoms = self._squarefree_part(element.p)
        below_square, below_atoms = self._squarefree_part(element.q)
        below = below_square
        for atom in below_atoms:
            below *= atom
        return fmpq(above_square, below), above_atoms + below_atoms

    def _squarefree_part(self, number: fmpz) -> tuple[fmpz, list[fmpz]]:
        if number == 1:
            return number, []
        small = int(number)
        found = self._squarefree.get(small)
        if found is None:
            found = self._squarefree[small] = self._factor(number)
        return found

    def _factor(self, number: fmpz) -> tuple[fmpz, list[fmpz]]:
        if number.is_square():
            return number.isqrt(), []
        easy = number.bit_length() <= self.factor_bits
        square = fmpz(1)
        atoms = []
        for prime, exponent in number.factor() if easy else self._small_factors(number):
            prime = fmpz(prime)
            square *= prime ** (exponent // 2)
            if exponent % 2:
                if prime.is_square():
                    square *= prime.isqrt()
                else:
                    atoms.append(prime)
        return square, atoms

    def _small_factors(self, number: fmpz) -> list[tuple[fmpz, int]]:
        """The primes below 2¹⁰ that divide `number`, and what is left, factored if now small."""
        factors = []
        for prime in _SMALL_PRIMES:
            if number % prime == 0:
                exponent = 0
                while number % prime == 0:
                    number //= prime
                    exponent += 1
                factors.append((fmpz(prime), exponent))
        if number.bit_length() <= self.factor_bits:
            return factors + list(number.factor())
        return [*factors, (number, 1)]

    def _parities(self, number: fmpz) -> tuple[int, fmpz]:
        """Which atoms divide `number` an odd number of times, and what is left without any atom."""
        mask = 0
        for place, atom in enumerate(self._atoms):
            quotient, remainder = divmod(number, atom)
            if not remainder:
                odd = False
                while not remainder:
                    number = quotient
                    odd = not odd
                    quotient, remainder = divmod(number, atom)
                if odd:
                    mask |= 1 << place
        return mask, number

    def _insert_atom(self, number: fmpz) -> None:
        """Keep the atoms pairwise coprime and free of squares, with `number` a product of them."""
        prime = number.bit_length() <= self.factor_bits
        if prime and not self._has_hard_atom:
            # Both are primes: coprime unless equal.
            place = int(number)
            if place not in self._bit:
                self._bit[place] = len(self._atoms)
                self._atoms.append(number)
            return
        if not prime:
            self._has_hard_atom = True
        atoms = self._atoms
        split = False
        pending = [number]
        while pending:
            new = pending.pop()
            while new > 1 and new.is_square():
                new = new.isqrt()
            if new == 1 or new in atoms:
                continue
            for place, atom in enumerate(atoms):
                common = atom.gcd(new)
                if common != 1:
                    split = True
                    del atoms[place]
                    pending += [common, atom // common, new // common]
                    break
            else:
                atoms.append(new)
        self._bit = {int(atom): place for place, atom in enumerate(atoms)}
        if split:
            self._echelon.clear()
            for place in range(len(self._members)):
                self._extend_echelon(place)

    def _extend_echelon(self, place: int) -> None:
        mask, _ = self._parities(self._members[place][0])
        chosen = 1 << place
        while mask:
            row = self._echelon.get(mask.bit_length())
            if row is None:
                self._echelon[mask.bit_length()] = (mask, chosen)
                return
            mask ^= row[0]
            chosen ^= row[1]

    def _combination(self, mask: int) -> int | None:
        """The members whose product has the parities `mask`, as bits; None if no product has."""
        chosen = 0
        while mask:
            row = self._echelon.get(mask.bit_length())
            if row is None:
                return None
            mask ^= row[0]
            chosen ^= row[1]
        return chosen

    def _product(self, number: fmpz, chosen: int) -> Raw:
        """√number, which is a rational multiple of the product of the chosen roots."""
        radicands = fmpz(1)
        product: Raw = self.one
        for place, (radicand, root) in enumerate(self._members):
            if chosen >> place & 1:
                radicands *= radicand
                product = product * root.tower.element(root)
        return product * fmpq((number * radicands).isqrt(), radicands)


_SMALL_PRIMES = tuple(
    number for number in range(2, 1024) if all(number % divisor for divisor in range(2, number) if divisor * divisor <= number)
)
