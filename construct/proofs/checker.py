"""TRUSTED: decides whether a certificate shows what it states.  Standard library only; one route.

A certificate holds a straight-line program (the bench steps that a claim needs,
as arithmetic), the drawn choice of each letter, the signs that branches rest on,
and the claim as numbers that must be zero, positive or not negative.

  1. A value is terms / below: whole-number polynomials in the letters and in
     roots g with g² = radicand (earlier terms).  Each line is worked out here; a
     value that the file gives is multiplied out against the operands and must be
     equal.  Terms that cancel to nothing are zero, whether or not the roots are
     independent; only that direction is used.
  2. Signs are those at the drawn choice, shown by enclosures.  Whatever is divided
     by or stands under a root, what picked a branch, and a reading's distance from
     its ties must keep off zero: the conditions.  They are listed here from the
     lines; the file's list is compared, never believed.
  3. "proved", "within": each zero cancels, each positive is > 0, each not-negative
     ≥ 0, and keeps that sign: it is a condition, or has terms of one sign, or the
     file gives an identity, value · factor = (terms of one sign) · conditions.
     "refuted": an enclosure shows that one of them fails.

Shown: for every choice that can be reached from the drawn one while no condition
becomes zero, the claim holds; without letters, for the numbers written.  For all
over that open, connected set every line is an analytic function, and these have no
divisors of zero: terms = below·line and value² = radicand hold throughout, a root
keeps its drawn sign, and `below`, not zero as a polynomial, may be cancelled.
The claim's words are a label: `construct audit --recipe` compares the program.
"""

from __future__ import annotations

import hashlib
import json
import re
import sys
from fractions import Fraction
from math import ceil, floor, gcd, isqrt
from typing import Any

Terms = dict[int, int]
"""{key: coefficient}: a key has a bit for each root, and above them SLOT bits for each letter's power."""
Value = tuple[Terms, Terms]
ONE: Terms = {0: 1}
SLOT, HIGHEST_POWER, PRECISIONS = 32, 1 << 12, (64, 192, 768, 4096)
CHARACTERS, WORK, DIGITS, DRAWN_DIGITS, BITS, ROOTS, LETTERS = 20_000_000, 30_000_000, 4000, 100, 200_000, 200, 100
ARITY = {"number": 0, "letter": 0, "add": 2, "sub": 2, "mul": 2, "div": 2, "sqrt": 1, "reading": 1, "hole": 1}


class Rejected(Exception):
    """The certificate does not show what it states; the message says where and why."""


class TooLarge(Rejected):
    """The certificate is beyond what this checker takes on."""


def must(truth: bool, where: str, sentence: str, kind: type[Rejected] = Rejected) -> None:
    if not truth:
        raise kind(f"{where}: {sentence}")


def digest(certificate: dict[str, Any]) -> str:
    """Return the SHA-256 of a certificate's canonical text, its own digest left out."""
    rest = {key: value for key, value in certificate.items() if key != "digest"}
    return hashlib.sha256(json.dumps(rest, sort_keys=True, separators=(",", ":")).encode()).hexdigest()


def fraction(written: Any, where: str) -> Fraction:
    must(type(written) is str and re.fullmatch(r"-?[0-9]+(/0*[1-9][0-9]*)?", written) is not None, where, "not a fraction in quotes")
    must(len(written) <= DIGITS, where, f"a number of more than {DIGITS} digits", TooLarge)
    return Fraction(written)


def number(at: Fraction) -> Value:
    return {0: at.numerator} if at else {}, {0: at.denominator}


def cleaned(terms: Terms) -> Terms:
    return {key: x for key, x in terms.items() if x}


class Checker:
    """Walks one certificate; `statement()` returns what it shows, or raises `Rejected`."""

    def __init__(self, certificate: dict[str, Any]) -> None:
        self.certificate = certificate
        self.names: list[str] = [name for name, _ in certificate["letters"]]
        self.drawn = [fraction(drawn, "letters") for _, drawn in certificate["letters"]]
        self.count = len(certificate["roots"])
        must(self.count <= ROOTS and len(self.names) <= LETTERS, "roots", "too many roots or letters", TooLarge)
        must(all(len(str(drawn)) <= DRAWN_DIGITS for drawn in self.drawn), "letters", "drawn with too many digits", TooLarge)
        self.all_roots = (1 << self.count) - 1
        self.too_high = sum((1 << SLOT) - HIGHEST_POWER << self.count + SLOT * place for place in range(len(self.names)))
        self.varying = ~self.all_roots  # the letters; roots that a letter stands under join them
        self.radicands: list[Terms] = []
        self.values: list[Value] = []
        self.conditions: list[list[Any]] = []
        self.relied: list[Value] = []
        self.known: dict[tuple[int, int], tuple[int, int]] = {}
        self.work = 0

    def spend(self, work: int) -> None:
        self.work += work
        must(self.work <= WORK, "work", "it takes too long to check", TooLarge)

    # --- arithmetic -----------------------------------------------------------------------------

    def times(self, a: Terms, b: Terms) -> Terms:
        """Multiply out; g² becomes its radicand, which holds earlier roots only, so this ends."""
        if b == ONE:
            return a
        bits = max(map(int.bit_length, a.values()), default=0) + max(map(int.bit_length, b.values()), default=0)
        must(bits <= BITS, "work", f"a number of more than {BITS} bits", TooLarge)
        self.spend(len(a) * len(b) * (1 + (bits >> 8)))
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
        must(not any(map(self.too_high.__and__, result)), "work", "a letter's power grows too high", TooLarge)
        return cleaned(result)

    def plus(self, a: Value, b: Value, sign: int = 1) -> Value:
        (top, below), (other, under) = a, b
        if below != under:
            top, other, below = self.times(top, under), self.times(other, below), self.times(below, under)
        return cleaned(top | {key: top.get(key, 0) + sign * x for key, x in other.items()}), below

    def product(self, a: Value, b: Value) -> Value:
        return self.times(a[0], b[0]), self.times(a[1], b[1])

    def equal(self, a: Value, b: Value) -> bool:
        return not self.plus(a, b, -1)[0]

    def shortened(self, value: Value) -> Value:
        """Divide both parts by the whole numbers that divide them."""
        common = gcd(*value[0].values(), *value[1].values()) if value[1] != ONE else 1
        return value if common == 1 else ({k: x // common for k, x in value[0].items()}, {k: x // common for k, x in value[1].items()})

    # --- signs at the drawn choice, and where they can change -----------------------------------

    def powers(self, key: int) -> list[int]:
        return [key >> self.count + SLOT * place & (1 << SLOT) - 1 for place in range(len(self.names))]

    def monomial(self, key: int, bits: int) -> tuple[int, int]:
        """Return whole numbers around (the roots and letters of a key) · 2^bits."""
        if (key, bits) not in self.known:
            ends = []
            for root in range(self.count):
                if key >> root & 1:
                    below, above = self.enclosure(self.radicands[root], bits)
                    ends.append((isqrt(max(below, 0) << bits), isqrt(max(above, 0) << bits) + 1))
            for drawn, power in zip(self.drawn, self.powers(key), strict=True):
                ends += [(floor(drawn * (1 << bits)), ceil(drawn * (1 << bits)))] * power
            self.spend((1 + len(ends)) * (1 + bits // 64))
            low = high = 1 << bits
            for a, b in ends:
                corners = low * a, low * b, high * a, high * b
                low, high = min(corners) >> bits, -(-max(corners) >> bits)
            self.known[key, bits] = low, high
        return self.known[key, bits]

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
            ends = (self.enclosure(terms, bits) for bits in PRECISIONS)
            sign *= next((1 if low > 0 else -1 for low, high in ends if low > 0 or high < 0), 0) if terms else 0
        return sign

    def varies(self, value: Value) -> bool:
        return any(any(map(self.varying.__and__, terms)) for terms in value)

    def rely(self, kind: str, place: int, *values: Value) -> None:
        """List a condition; what holds no letter can not become zero."""
        if any(self.varies(value) for value in values):
            self.conditions.append([kind, place])
            self.relied += values

    def one_sign(self, terms: Terms) -> bool:
        """Tell whether all terms have one sign wherever the conditions hold, and one of them is never zero."""
        # a condition that is a single term keeps its letters off zero
        single = [self.powers(key) for top, below in self.relied if len(top) == 1 and list(below) == [0] for key in top]
        off_zero = [any(powers[place] for powers in single) for place in range(len(self.names))]
        signs, never_zero = set(), False
        for key, x in terms.items():
            powers = list(zip(self.powers(key), self.drawn, off_zero, strict=True))
            if any(power % 2 and not off for power, _, off in powers):
                return False
            signs.add((x < 0) ^ (sum(power for power, drawn, _ in powers if drawn < 0) % 2 == 1))
            never_zero |= all(off or not power for power, _, off in powers)
        return never_zero and len(signs) == 1

    def keeps_sign(self, index: int) -> bool:
        """Tell whether a line has its drawn sign wherever the conditions hold."""
        value = self.values[index]
        if not self.varies(value) or value in self.relied or all(map(self.one_sign, value)):
            return True
        for line, factor, terms, places in self.certificate.get("kept", []):
            if line == index:
                right = self.terms(terms, "kept"), ONE
                must(self.one_sign(right[0]), "kept", "its terms have not one sign")
                for place in places:
                    must(type(place) is int and 0 <= place < len(self.relied), "kept", "no such condition")
                    right = self.product(right, self.relied[place])
                must(self.equal(self.product(value, (self.terms(factor, "kept"), ONE)), right), "kept", "the two sides are not equal")
                return True
        return False

    # --- reading the certificate ----------------------------------------------------------------

    def terms(self, written: Any, where: str) -> Terms:
        result: Terms = {}
        for coefficient, roots, powers in written:
            key, x = 0, fraction(coefficient, where)
            for root in roots:
                must(type(root) is int and 0 <= root < len(self.radicands), where, "a root that is not there yet")
                key |= 1 << root
            for letter, power in powers:
                must(type(letter) is int and 0 <= letter < len(self.names), where, "a letter that is not declared")
                must(type(power) is int and 0 < power < HIGHEST_POWER and not self.powers(key)[letter], where, "not a power")
                key |= power << self.count + SLOT * letter
            must(key not in result and x != 0 and x.denominator == 1, where, "a term is nothing, or no whole number, or is written twice")
            result[key] = x.numerator
        return result

    def operand(self, index: Any, where: str) -> Value:
        must(type(index) is int and 0 <= index < len(self.values), where, "it works on a line that has not come")
        return self.values[index]

    def line(self, line: dict[str, Any]) -> Value:
        """Check one line and return its value."""
        here, op, given = len(self.values), line["op"], None
        where = f"line {here}"
        must(op in ARITY and len(line["of"]) == ARITY[op], where, "no such operation, or not so many operands")
        of = [self.operand(index, where) for index in line["of"]]
        if "is" in line:
            top, below = (self.terms(part, where) for part in line["is"])
            must(bool(below) and not any(map(self.all_roots.__and__, below)), where, "a denominator is nothing, or holds a root")
            given = self.shortened((top, below))
        if op == "number":
            value = number(fraction(line["with"], where))
        elif op == "letter":
            must(line["with"] in self.names, where, "a letter that is not declared")
            value = {1 << self.count + SLOT * self.names.index(line["with"]): 1}, ONE
        elif op in ("add", "sub"):
            value = self.plus(of[0], of[1], 1 if op == "add" else -1)
        elif op == "mul":
            value = self.product(of[0], of[1])
        else:
            must(given is not None, where, "its value must be given")
            value = given  # type: ignore[assignment]
            if op == "div":
                must(self.sign(of[1]) != 0, where, "no enclosure keeps the divisor off zero")
                must(self.equal(self.product(value, of[1]), of[0]), where, "the quotient is not that")
                self.rely("divisor", here, of[1])
            elif op == "sqrt":
                must(self.equal(self.product(value, value), of[0]), where, "squared, it is not what is under the root")
                must(not value[0] or self.sign(value) > 0, where, "no enclosure shows that the root is positive")
                self.rely("radicand", here, *((of[0], value) if value[0] else ()))
            else:
                self.rely(op, here, *self.ties(value, of[0], op, line["with"], where))
        must(given is None or self.equal(given, value), where, "its value is not that")
        return given or self.shortened(value)

    def ties(self, value: Value, read: Value, op: str, steps: Any, where: str) -> list[Value]:
        """Check that `value` is the nearest graduation, or hole; return how far what is read is from each tie."""
        at = Fraction(value[0].get(0, 0), value[1].get(0, 1))
        must(self.equal(value, number(at)), where, "what is read must be a number")
        if op == "hole":
            near = [fraction(hole, where) for hole in steps]
            must(at in near, where, "the template has no such hole")
        else:
            step = fraction(steps, where)
            must(step != 0 and (at / step).denominator == 1, where, "it is not on a graduation")
            near = [at - step, at + step]
        limits = [(at + other) / 2 for other in near if other != at]
        found = [self.plus(read, number(limit), -1) for limit in limits]
        nearer = all(self.sign(tie) == (1 if limit < at else -1) for limit, tie in zip(limits, found, strict=True))
        must(nearer, where, "another graduation or hole is as near")
        return found

    def statement(self) -> str:
        certificate, verdict = self.certificate, self.certificate["verdict"]
        must(type(certificate["format"]) is int and certificate["format"] == 1, "format", "this checker reads format 1")
        must(certificate["digest"] == digest(certificate), "digest", "the text was altered after it was made")
        named = all(type(name) is str for name in self.names) and len({*self.names}) == len(self.names)
        must(named, "letters", "two of one name, or no name")
        must(certificate["scope"] == ("every" if self.names else "here"), "scope", "`every` is for letters, and letters for `every`")
        for place, written in enumerate(certificate["roots"]):
            radicand = self.terms(written, f"root {place}")
            must(self.sign((radicand, ONE)) > 0, f"root {place}", "no enclosure shows that what is under it is positive")
            self.rely("root", place, (radicand, ONE))
            self.varying |= self.varies((radicand, ONE)) << place
            self.radicands.append(radicand)
        for line in certificate["lines"]:
            self.values.append(self.line(line))
        for index, sign in certificate["sides"]:
            value = self.operand(index, "sides")
            held = self.sign(value) == sign if sign else not value[0]
            must(type(sign) is int and held, "sides", f"line {index} does not have the sign that a branch rests on")
            self.rely("side", index, *((value,) if sign else ()))
        must(certificate["conditions"] == self.conditions, "conditions", "the list is not the one that the lines give")
        kinds = ("zeros", "positives", "not_negatives")
        zeros, positives, rest = ({one: self.operand(one, "claim") for one in certificate[kind]} for kind in kinds)
        must(bool(zeros or positives or rest), "claim", "it claims nothing")
        if verdict == "refuted":
            must(not self.names, "claim", "a refutation is for one choice, without letters")
            fails = any(map(self.sign, zeros.values())) or any(self.sign(one) < 0 or not one[0] for one in positives.values())
            must(fails or any(self.sign(one) < 0 for one in rest.values()), "claim", "no enclosure shows that it fails")
            return f"refuted for the numbers written: {certificate['claim']}"
        must(verdict in ("proved", "within"), "claim", "a certificate says `proved`, `within` or `refuted`")
        must(not any(terms for terms, _ in zeros.values()), "claim", "a number that should be zero is not")
        for index, value in (positives | {index: one for index, one in rest.items() if one[0]}).items():
            must(self.sign(value) > 0, "claim", "a number that should be positive is not")
            must(self.keeps_sign(index), "claim", "a positive number may change its sign for other choices")
        return f"{verdict} for {'every choice that the conditions allow' if self.names else 'the numbers written'}: {certificate['claim']}"


def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    must(len(dict(pairs)) == len(pairs), "text", "one key twice")
    return dict(pairs)


def check(text: str) -> str:
    """Return what a certificate's text shows, in words; raise `Rejected` with the reason where it shows nothing."""
    must(len(text) <= CHARACTERS, "text", f"it is over {CHARACTERS} characters", TooLarge)
    try:
        return Checker(json.loads(text, object_pairs_hook=once)).statement()
    except (KeyError, TypeError, ValueError, IndexError, AttributeError, ArithmeticError, RecursionError, MemoryError) as broken:
        raise Rejected(f"this is not a certificate: {type(broken).__name__}: {broken}") from None


def main(names: list[str]) -> int:
    """Check the files named; 0 where all are accepted, 1 where one is rejected, 2 where one can not be read."""
    worst = 0 if names else 2
    for name in names:
        try:
            with open(name, encoding="utf-8") as file:
                found, said = 0, f"accepted: {check(file.read(CHARACTERS + 1))}"
        except Rejected as reason:
            found, said = 1, f"REJECTED: {reason}"
        except (OSError, ValueError) as reason:
            found, said = 2, f"can not be read: {reason}"
        print(f"{name}: {said}")
        worst = max(worst, found)
    return worst


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
