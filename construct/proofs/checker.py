"""TRUSTED: decides whether a certificate shows what it states.  Standard library only; one route.

A certificate holds a straight-line program (the bench steps that a claim needs,
as arithmetic), the drawn choice of each letter, the signs that branches rest on,
and the claim as numbers that must be zero, positive or not negative.

  1. A value is terms / below: whole-number polynomials in the letters and in
     roots g with g² = radicand (earlier terms).  Each line is worked out here; a
     value that the file gives for it is multiplied out against the operands and
     must be equal.  Terms that cancel to nothing are zero, whether or not the
     roots are independent; only that direction is used.
  2. Signs are those at the drawn choice, shown by enclosures.  Whatever is
     divided by or stands under a root, what picked a branch, and a reading's
     distance from its ties must keep off zero: the conditions.  They are listed
     here from the lines; the file's list is compared, never believed.
  3. The claim.  "proved", "within": each zero cancels, each positive is > 0, each
     not-negative ≥ 0.  "refuted": an enclosure shows that one of them fails.

What is shown: for every choice that can be reached from the drawn one while no
condition becomes zero, the claim holds; without letters, for the numbers written.
For there every line is an analytic function, and such functions on a connected
open set have no divisors of zero: terms = below·line and value² = radicand hold
all over it, a root keeps the sign it has when drawn, and `below`, not zero as a
polynomial, may be cancelled wherever else it vanishes.
The claim's words are a label: `construct audit --recipe` compares the program.
"""

from __future__ import annotations

import hashlib
import json
import re
import sys
from collections.abc import Iterable
from fractions import Fraction
from math import gcd, isqrt
from typing import Any

LARGEST = 20_000_000
"""Characters in a file; WORK: products of terms, weighted by size, in all; DIGITS: in a number written."""
WORK, DIGITS, DRAWN_DIGITS, BITS_OF_A_VALUE, MOST_ROOTS, MOST_LETTERS = 30_000_000, 4000, 100, 200_000, 200, 100
PRECISIONS = (64, 192, 768, 4096)
SLOT, HIGHEST_POWER = 32, 1 << 15

Terms = dict[int, int]
"""{key: coefficient}: a key has a bit for each root and above them a slot of 32 bits for each letter's power."""
Value = tuple[Terms, Terms]
ONE: Terms = {0: 1}
ARITY = {"number": 0, "letter": 0, "add": 2, "sub": 2, "mul": 2, "div": 2, "sqrt": 1, "reading": 1, "hole": 1}


class Rejected(Exception):
    """The certificate does not show what it states; the message says where and why."""


class TooLarge(Rejected):
    """The certificate is beyond what this checker takes on."""


def digest(certificate: dict[str, Any]) -> str:
    """Return the SHA-256 of a certificate's canonical text, its own digest left out."""
    rest = {key: value for key, value in certificate.items() if key != "digest"}
    return hashlib.sha256(json.dumps(rest, sort_keys=True, separators=(",", ":")).encode()).hexdigest()


def must(truth: bool, where: str, sentence: str) -> None:
    if not truth:
        raise Rejected(f"{where}: {sentence}")


def whole(written: Any, where: str) -> int:
    must(type(written) is str and re.fullmatch(r"-?[0-9]+", written) is not None, where, "not a whole number in quotes")
    if len(written) > DIGITS:
        raise TooLarge(f"{where}: a number of more than {DIGITS} digits")
    return int(written)


def fraction(written: Any, where: str) -> Fraction:
    must(type(written) is str, where, "not a fraction in quotes")
    above, _, below = written.partition("/")
    must("/" not in written or re.fullmatch(r"0*[1-9][0-9]*", below) is not None, where, "not a fraction")
    return Fraction(whole(above, where), whole(below or "1", where))


def size(terms: Terms) -> int:
    return max(map(int.bit_length, terms.values()), default=0)


class Checker:
    """Walks one certificate; `statement()` returns what it shows, or raises `Rejected`."""

    def __init__(self, certificate: dict[str, Any]) -> None:
        self.certificate = certificate
        self.names: list[str] = [name for name, _ in certificate["letters"]]
        self.drawn = [fraction(drawn, f"letter {name}") for name, drawn in certificate["letters"]]
        self.count = len(certificate["roots"])
        if self.count > MOST_ROOTS or len(self.names) > MOST_LETTERS or any(len(str(drawn)) > DRAWN_DIGITS for drawn in self.drawn):
            raise TooLarge("too many roots or letters, or a letter is drawn with too many digits")
        self.all_roots = (1 << self.count) - 1
        self.too_high = sum((1 << SLOT) - HIGHEST_POWER << self.count + SLOT * place for place in range(len(self.names)))
        self.varying = ~self.all_roots  # the roots that a letter stands under join it
        self.radicands: list[Terms] = []
        self.values: list[Value] = []
        self.conditions: list[list[Any]] = []
        self.relied: list[Value] = []
        self.known: dict[tuple[int, int], tuple[int, int]] = {}
        self.work = 0

    # --- terms ----------------------------------------------------------------------------------

    def spend(self, work: int) -> None:
        self.work += work
        if self.work > WORK:
            raise TooLarge("it takes too much work to check")

    def times(self, a: Terms, b: Terms) -> Terms:
        """Multiply out; g² becomes its radicand, which holds earlier roots only, so this ends."""
        if b == ONE or not a:
            return a
        self.spend(len(a) * len(b) * (1 + (size(a) + size(b) >> 8)))
        result: Terms = {}
        squares: dict[int, Terms] = {}
        for k, x in a.items():
            for m, y in b.items():
                common = k & m & self.all_roots
                into = squares.setdefault(common, {}) if common else result
                key = k + m - 2 * common
                into[key] = into.get(key, 0) + x * y
        for common, terms in squares.items():
            for root in range(self.count):
                if common >> root & 1:
                    terms = self.times(terms, self.radicands[root])
            for key, x in terms.items():
                result[key] = result.get(key, 0) + x
        if self.names and any(map(self.too_high.__and__, result)):
            raise TooLarge("a letter's power grows too high")
        return {key: x for key, x in result.items() if x}

    def plus(self, a: Value, b: Value, sign: int = 1) -> Value:
        (top, below), (other, under) = a, b
        if below != under:
            top, other, below = self.times(top, under), self.times(other, below), self.times(below, under)
        result = dict(top)
        for key, x in other.items():
            result[key] = result.get(key, 0) + sign * x
        return {key: x for key, x in result.items() if x}, below

    def product(self, a: Value, b: Value) -> Value:
        return self.times(a[0], b[0]), self.times(a[1], b[1])

    def equal(self, a: Value, b: Value) -> bool:
        return not self.plus(a, b, -1)[0]

    def shortened(self, value: Value) -> Value:
        """Divide both parts by the whole numbers that divide them."""
        top, below = value
        if below != ONE:
            common = gcd(*top.values(), *below.values())
            if common != 1:
                top, below = ({key: x // common for key, x in part.items()} for part in value)
        if size(top) > BITS_OF_A_VALUE or size(below) > BITS_OF_A_VALUE:
            raise TooLarge(f"a number of more than {BITS_OF_A_VALUE} bits")
        return top, below

    # --- signs at the drawn choice --------------------------------------------------------------

    def monomial(self, key: int, bits: int) -> tuple[int, int]:
        """Return whole numbers around (the roots and letters of a key) · 2^bits."""
        found = self.known.get((key, bits))
        if found is None:
            self.spend(1 + bits // 64)
            if not key:
                found = 1 << bits, 1 << bits
            elif key & self.all_roots:
                root = (key & self.all_roots).bit_length() - 1
                found = self.within(key - (1 << root), self.root_ends(root, bits), bits)
            else:
                place = (key.bit_length() - 1 - self.count) // SLOT
                scaled = self.drawn[place] * (1 << bits)
                found = self.within(key - (1 << self.count + SLOT * place), (scaled.__floor__(), scaled.__ceil__()), bits)
            self.known[key, bits] = found
        return found

    def within(self, rest: int, ends: tuple[int, int], bits: int) -> tuple[int, int]:
        low, high = self.monomial(rest, bits)
        corners = low * ends[0], low * ends[1], high * ends[0], high * ends[1]
        return min(corners) >> bits, -(-max(corners) >> bits)

    def root_ends(self, root: int, bits: int) -> tuple[int, int]:
        found = self.known.get((-1 - root, bits))
        if found is None:
            low, high = self.enclosure(self.radicands[root], bits)
            found = self.known[-1 - root, bits] = isqrt(max(low, 0) << bits), isqrt(max(high, 0) << bits) + 1
        return found

    def enclosure(self, terms: Terms, bits: int) -> tuple[int, int]:
        self.spend(len(terms) * (1 + bits // 64))
        low = high = 0
        for key, x in terms.items():
            a, b = self.monomial(key, bits)
            low, high = (low + x * a, high + x * b) if x > 0 else (low + x * b, high + x * a)
        return low, high

    def sign(self, value: Value) -> int:
        """Return +1 or -1 where enclosures show it, else 0."""
        self.spend(8)
        sign = 1
        for terms in value:
            for bits in PRECISIONS if terms else ():
                low, high = self.enclosure(terms, bits)
                if low > 0 or high < 0:
                    sign = sign if low > 0 else -sign
                    break
            else:
                return 0
        return sign

    # --- what may vary --------------------------------------------------------------------------

    def varies(self, value: Value) -> bool:
        return any(any(map(self.varying.__and__, terms)) for terms in value)

    def rely(self, kind: str, place: int, *values: Value) -> None:
        """List a condition; what holds no letter can not become zero."""
        if any(self.varies(value) for value in values):
            self.conditions.append([kind, place])
            self.relied += values

    def keeps_sign(self, value: Value) -> bool:
        """Tell whether it has the sign it has when drawn wherever the conditions hold."""
        nonzero = 0  # a condition that is a single term has no zero letter
        for terms, below in self.relied:
            if len(terms) == 1 and list(below) == [0]:
                nonzero |= sum(key for key in terms if not key & self.all_roots)
        letters = [place for place in range(len(self.names)) if nonzero >> self.count + SLOT * place & (1 << SLOT) - 1]
        return not self.varies(value) or value in self.relied or all(self.one_sign(terms, letters) for terms in value)

    def one_sign(self, terms: Terms, letters: list[int]) -> bool:
        """Tell whether all terms have one sign, the roots being positive and these letters never zero."""
        signs = set()
        for key, x in terms.items():
            powers = [key >> self.count + SLOT * place & (1 << SLOT) - 1 for place in range(len(self.names))]
            if any(power and place not in letters for place, power in enumerate(powers)):
                return False
            signs.add((x < 0) ^ (sum(power for power, drawn in zip(powers, self.drawn, strict=True) if drawn < 0) % 2 == 1))
        return len(signs) == 1

    # --- reading the certificate ----------------------------------------------------------------

    def terms(self, written: Any, where: str) -> Terms:
        result: Terms = {}
        for coefficient, roots, powers in written:
            key = 0
            for place, known, unit in [(root, len(self.radicands), 1) for root in roots] + [(letter, len(self.names), 0) for letter, _ in powers]:
                must(type(place) is int and 0 <= place < known, where, "a root or a letter that is not there yet")
                key |= unit << place
            for letter, power in powers:
                must(type(power) is int and 0 < power < HIGHEST_POWER, where, "not a power")
                key |= power << self.count + SLOT * letter
            must(key not in result and len({letter for letter, _ in powers}) == len(powers), where, "a term is written twice")
            result[key] = whole(coefficient, where)
            must(result[key] != 0, where, "a term is nothing")
        return result

    def given(self, written: Any, where: str) -> Value:
        terms, below = (self.terms(part, where) for part in written)
        must(bool(below) and not any(key & self.all_roots for key in below), where, "a denominator is nothing, or holds a root")
        return terms, below

    def number(self, number: Fraction) -> Value:
        return {0: number.numerator} if number else {}, {0: number.denominator}

    def operand(self, index: Any, where: str) -> Value:
        must(type(index) is int and 0 <= index < len(self.values), where, "it works on a line that has not come")
        return self.values[index]

    def line(self, line: dict[str, Any]) -> Value:
        """Check one line and return its value."""
        here = len(self.values)
        where, op = f"line {here}", line["op"]
        must(op in ARITY and len(line["of"]) == ARITY[op], where, "no such operation, or not so many operands")
        of = [self.operand(index, where) for index in line["of"]]
        given = self.given(line["is"], where) if "is" in line else None
        if op == "number":
            value = self.number(fraction(line["with"], where))
        elif op == "letter":
            must(line["with"] in self.names, where, "a letter that is not declared")
            value = {1 << self.count + SLOT * self.names.index(line["with"]): 1}, ONE
        elif op in ("add", "sub"):
            value = self.plus(of[0], of[1], 1 if op == "add" else -1)
        elif op == "mul":
            value = self.product(of[0], of[1])
        else:
            must(given is not None, where, "its value must be given")
            value = given
            if op == "div":
                must(self.sign(of[1]) != 0, where, "no enclosure keeps the divisor off zero")
                must(self.equal(self.product(value, of[1]), of[0]), where, "the quotient is not that")
                self.rely("divisor", here, of[1])
            elif op == "sqrt":
                must(self.equal(self.product(value, value), of[0]), where, "squared, it is not what is under the root")
                must(not value[0] or self.sign(value) > 0, where, "no enclosure shows that the root is positive")
                if value[0]:
                    self.rely("radicand", here, of[0], value)
            else:
                self.rely(op, here, *self.measured(value, of[0], op, line["with"], where))
        if given is not None:
            must(self.equal(given, value), where, "its value is not that")
            value = given
        return self.shortened(value)

    def measured(self, value: Value, read: Value, op: str, steps: Any, where: str) -> list[Value]:
        """Check that `value` is the nearest graduation, or hole, and return how far what is read is from each tie."""
        must(set(value[0]) | set(value[1]) == {0} or not value[0], where, "what is read must be a number")
        at = Fraction(value[0].get(0, 0), value[1].get(0, 1))
        if op == "reading":
            step = fraction(steps, where)
            must(step > 0 and (at / step).denominator == 1, where, "it is not on a graduation")
            limits = [at - step / 2, at + step / 2]
        else:
            holes = [fraction(hole, where) for hole in steps]
            must(at in holes, where, "the template has no such hole")
            limits = [(at + hole) / 2 for hole in holes if hole != at]
        ties = [self.plus(read, self.number(limit), -1) for limit in limits]
        for limit, tie in zip(limits, ties, strict=True):
            must(self.sign(tie) == (1 if limit < at else -1), where, "another graduation or hole is as near")
        return ties

    # --- the whole ------------------------------------------------------------------------------

    def statement(self) -> str:
        certificate, verdict = self.certificate, self.certificate["verdict"]
        must(certificate["format"] == 1 and type(certificate["format"]) is int, "format", "this checker reads format 1")
        must(certificate["digest"] == digest(certificate), "digest", "the text was altered after it was made")
        must(all(type(name) is str for name in self.names) and len(set(self.names)) == len(self.names), "letters", "two of one name, or no name")
        must(certificate["scope"] == ("every" if self.names else "here"), "scope", "`every` needs letters, and letters need `every`")
        for place, written in enumerate(certificate["roots"]):
            radicand = self.terms(written, f"root {place}"), ONE
            must(self.sign(radicand) > 0, f"root {place}", "no enclosure shows that what is under it is positive")
            self.rely("root", place, radicand)
            self.varying |= self.varies(radicand) << place
            self.radicands.append(radicand[0])
        for line in certificate["lines"]:
            self.values.append(self.line(line))
        for index, sign in certificate["sides"]:
            value, where = self.operand(index, "sides"), f"line {index}"
            must(type(sign) is int and abs(sign) <= 1, "sides", "not a sign")
            must(self.sign(value) == sign if sign else not value[0], where, "it does not have the sign that a branch rests on")
            if sign:
                self.rely("side", index, value)
        must(certificate["conditions"] == self.conditions, "conditions", "the list is not the one that the lines give")
        zeros, positives, rest = (
            [self.operand(index, "claim") for index in certificate[kind]] for kind in ("zeros", "positives", "not_negatives")
        )
        must(bool(zeros or positives or rest), "claim", "it claims nothing")
        if verdict == "refuted":
            must(not self.names, "claim", "a refutation is for one choice, without letters")
            fails = any(map(self.sign, zeros)) or any(self.sign(one) < 0 or not one[0] for one in positives) or any(self.sign(one) < 0 for one in rest)
            must(fails, "claim", "no enclosure shows that it fails")
            return f"refuted for the numbers written: {certificate['claim']}"
        must(verdict in ("proved", "within"), "claim", "a certificate says `proved`, `within` or `refuted`")
        must(not any(terms for terms, _ in zeros), "claim", "a number that should be zero is not")
        self.show_positive([*positives, *(one for one in rest if one[0])])
        return f"{verdict} for {'every choice that the conditions allow' if self.names else 'the numbers written'}: {certificate['claim']}"

    def show_positive(self, values: Iterable[Value]) -> None:
        for value in values:
            must(self.sign(value) > 0, "claim", "a number that should be positive is not")
            must(self.keeps_sign(value), "claim", "a positive number may change its sign for other choices")


def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    must(len(dict(pairs)) == len(pairs), "text", "one key twice")
    return dict(pairs)


def refuse(text: str) -> Any:
    raise Rejected(f"text: {text} is no number here")


def check(text: str) -> str:
    """Return what a certificate's text shows, in words; raise `Rejected` with the reason where it shows nothing."""
    if len(text) > LARGEST:
        raise TooLarge(f"the text is over {LARGEST} characters")
    try:
        return Checker(json.loads(text, object_pairs_hook=once, parse_float=refuse, parse_constant=refuse)).statement()
    except (KeyError, TypeError, ValueError, IndexError, AttributeError, RecursionError, MemoryError) as broken:
        raise Rejected(f"this is not a certificate: {type(broken).__name__}: {broken}") from None


def main(names: list[str]) -> int:
    """Check the files named; 0 where all are accepted, 1 where one is rejected, 2 where one can not be read."""
    worst = 0 if names else 2
    for name in names:
        try:
            with open(name, encoding="utf-8") as file:
                print(f"{name}: accepted: {check(file.read(LARGEST + 1))}")
        except Rejected as reason:
            print(f"{name}: REJECTED: {reason}")
            worst = max(worst, 1)
        except (OSError, ValueError) as reason:
            print(f"{name}: can not be read: {reason}")
            worst = 2
    return worst


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
