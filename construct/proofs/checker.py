"""TRUSTED: decides whether a certificate shows what it states.  Standard library only; one route.

A certificate holds a straight-line program (the bench steps that a claim needs, as arithmetic), the drawn choice of each letter, the
signs that branches rest on, and the claim as lines that must be zero, positive or not negative.

  1. A value is terms / below: whole-number polynomials in the letters and in roots g with g² = radicand (earlier terms).  Each line is
     worked out here; a value that the file gives is multiplied out against the operands and must be equal.  Terms that cancel to
     nothing are zero, whether or not the roots are independent; only that direction is used.
  2. Signs are those at the drawn choice, shown by enclosures.  Whatever is divided by or stands under a root, what picked a branch, and a
     reading's distance from its ties must keep off zero: the conditions.  They are listed here; the file's list is compared, not believed.
  3. "proved", "within": each number is zero, > 0 or ≥ 0 as claimed, and what is not zero keeps its sign: it is a condition, or has terms
     of one sign, or the file gives an identity, value · factor = (terms of one sign) · conditions.  "refuted": one has another sign.

Shown: for every choice that can be reached from the drawn one while no condition becomes zero, the claim holds; without letters, for the
numbers written.  For all over that open, connected set every line is an analytic function, and these have no divisors of zero: terms =
below·line and value² = radicand hold throughout, a root keeps its drawn sign, and `below`, not zero as a polynomial, may be cancelled.
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
"""{key: coefficient}: a key has SLOT bits for the power of each letter, and above them of each root: the places."""
Value = tuple[Terms, Terms]
ONE: Terms = {0: 1}
SLOT, HIGHEST_POWER, PRECISIONS = 16, 1 << 12, (64, 192, 768, 4096)
CHARACTERS, WORK, DIGITS, PLACES = 5_000_000, 30_000_000, 4000, 100
OPERANDS = {"number": 0, "letter": 0, "add": 2, "sub": 2, "mul": 2, "div": 2, "sqrt": 1, "reading": 1, "hole": 1}
CLAIMED = {"zeros": (0,), "positives": (1,), "not_negatives": (0, 1)}


class Rejected(Exception):
    """The certificate does not show what it states; the message says where and why."""


class TooLarge(Rejected):
    """The certificate is beyond what this checker takes on."""


def must(truth: object, where: str, sentence: str, kind: type[Rejected] = Rejected) -> None:
    if not truth:
        raise kind(f"{where}: {sentence}")


def digest(certificate: dict[str, Any]) -> str:
    """Return the SHA-256 of a certificate's canonical text, its own digest left out."""
    rest = {key: value for key, value in certificate.items() if key != "digest"}
    return hashlib.sha256(json.dumps(rest, sort_keys=True, separators=(",", ":")).encode()).hexdigest()


def fraction(written: Any, where: str) -> Fraction:
    must(type(written) is str and re.fullmatch(r"-?[0-9]+(/0*[1-9][0-9]*)?", written), where, "not a fraction in quotes")
    must(len(written) <= DIGITS, where, f"a number of more than {DIGITS} digits", TooLarge)
    return Fraction(written)


def powers(key: int) -> list[tuple[int, int]]:
    """Return (place, power) of each letter and root in a key."""
    places = range(-(-key.bit_length() // SLOT))
    return [(place, power) for place in places if (power := key >> SLOT * place & (1 << SLOT) - 1)]


class Checker:
    """Walks one certificate; `statement()` returns what it shows, or raises `Rejected`."""

    def __init__(self, certificate: dict[str, Any]) -> None:
        self.certificate = certificate
        self.names = [name for name, _ in certificate["letters"]]
        self.drawn = [fraction(drawn, "letters") for _, drawn in certificate["letters"]]
        self.letters, places = len(self.names), len(self.names) + len(certificate["roots"])
        must(places <= PLACES, "roots", "too many roots and letters", TooLarge)
        self.first_root = 1 << SLOT * self.letters
        self.too_high = sum((1 << SLOT) - HIGHEST_POWER << SLOT * place for place in range(places))
        self.negative = sum(1 << SLOT * place for place in range(self.letters) if self.drawn[place] < 0)
        self.varying = self.may_vanish = self.first_root - 1  # the letters; roots that a letter stands under come to vary too
        self.radicands: list[Terms] = []
        self.values: list[Value] = []
        self.conditions: list[list[Any]] = []
        self.relied: list[Value] = []
        self.known: dict[tuple[int, int], tuple[int, int]] = {}
        self.work = 0

    def spend(self, count: int, *terms: Terms) -> None:
        """Count work on so many terms: the one budget of time and memory, longer numbers cost more."""
        bits = sum(max(map(int.bit_length, some.values()), default=0) for some in terms)
        self.work += count * (1 + (bits >> 8)) ** 2
        must(self.work <= WORK, "work", "it takes too long to check", TooLarge)

    def times(self, a: Terms, b: Terms) -> Terms:
        """Multiply out; g² becomes its radicand, which holds earlier roots only, so this ends."""
        if not a or b == ONE:
            return a
        self.spend(len(a) * len(b), a, b)
        result: Terms = {}
        for k, x in a.items():
            for m, y in b.items():
                result[k + m] = result.get(k + m, 0) + x * y
        must(not any(map(self.too_high.__and__, result)), "work", "a letter's power grows too high", TooLarge)
        for place, radicand in enumerate(self.radicands, self.letters):
            square = 2 << SLOT * place
            squared = {key - square: result.pop(key) for key in [*result] if key & square}
            for key, x in self.times(squared, radicand).items():
                result[key] = result.get(key, 0) + x
        return {key: x for key, x in result.items() if x}

    def plus(self, a: Value, b: Value, sign: int = 1) -> Value:
        (top, below), (other, under) = a, b
        if below != under:
            top, other, below = self.times(top, under), self.times(other, below), self.times(below, under)
        self.spend(len(top) + len(other), top, other)
        added = top | {key: top.get(key, 0) + sign * x for key, x in other.items()}
        return {key: x for key, x in added.items() if x}, below

    def product(self, a: Value, b: Value) -> Value:
        return self.times(a[0], b[0]), self.times(a[1], b[1])

    def equal(self, a: Value, b: Value) -> bool:
        return not self.plus(a, b, -1)[0]

    def near(self, place: int, bits: int) -> tuple[int, int]:
        """Return whole numbers around (a letter or root) · 2^bits."""
        if (place, bits) not in self.known:
            if place < self.letters:
                drawn = self.drawn[place] * (1 << bits)
                self.known[place, bits] = floor(drawn), ceil(drawn)
            else:
                low, high = self.enclosure(self.radicands[place - self.letters], bits)
                self.known[place, bits] = isqrt(max(low, 0) << bits), isqrt(max(high, 0) << bits) + 1
        return self.known[place, bits]

    def enclosure(self, terms: Terms, bits: int) -> tuple[int, int]:
        """Return whole numbers around (terms) · 2^bits."""
        self.spend(len(terms), terms)
        lowest = highest = 0
        for key, x in terms.items():
            low = high = x << bits
            for place, power in powers(key):
                for a, b in [self.near(place, bits)] * power:
                    self.spend(1, {0: low}, {0: a})
                    corners = low * a, low * b, high * a, high * b
                    low, high = min(corners) >> bits, -(-max(corners) >> bits)
            lowest, highest = lowest + low, highest + high
        return lowest, highest

    def sign(self, value: Value) -> int | None:
        """Return 0 where no term is left, +1 or -1 where enclosures show it, None where they show nothing."""
        if not value[0]:
            return 0
        for bits in PRECISIONS:
            (low, high), (lower, upper) = (self.enclosure(terms, bits) for terms in value)
            if (low > 0 or high < 0) and (lower > 0 or upper < 0):
                return 1 if (low > 0) == (lower > 0) else -1
        return None

    def varies(self, value: Value) -> bool:
        return any(key & self.varying for terms in value for key in terms)

    def rely(self, kind: str, place: int, *values: Value) -> None:
        """List a condition; what holds no letter can not become zero.  A condition of a single term keeps its letters off zero."""
        if any(map(self.varies, values)):
            self.conditions.append([kind, place])
            self.relied += values
            for key in [key for top, below in values if len(top) == 1 and list(below) == [0] for key in top]:
                self.may_vanish &= ~sum((1 << SLOT) - 1 << SLOT * place for place, _ in powers(key))

    def one_sign(self, terms: Terms) -> bool:
        """Tell whether all terms have one sign wherever the conditions hold, and one of them is never zero."""
        signs = {(x < 0) ^ (key & self.negative).bit_count() % 2 for key, x in terms.items()}
        loose = [key & self.may_vanish for key in terms]
        return len(signs) == 1 and not all(loose) and not any(power % 2 for key in loose for _, power in powers(key))

    def keeps_sign(self, index: int) -> bool:
        """Tell whether a line has its drawn sign wherever the conditions hold."""
        value, identities = self.values[index], self.certificate.get("kept", [])
        self.spend(len(self.relied) + len(identities))
        for factor, terms, places in (rest for line, *rest in identities if line == index):
            left, right = self.product(value, (self.terms(factor, "kept"), ONE)), (self.terms(terms, "kept"), ONE)
            must(self.one_sign(right[0]), "kept", "its terms have not one sign")
            for place in places:
                must(type(place) is int and 0 <= place < len(self.relied), "kept", "no such condition")
                right = self.product(right, self.relied[place])
            must(self.equal(left, right), "kept", "the two sides are not equal")
            return True
        return not self.varies(value) or value in self.relied or all(map(self.one_sign, value))

    def terms(self, written: Any, where: str) -> Terms:
        """Read [coefficient, [place, power] of each letter and root, in order] for each term."""
        result: Terms = {}
        for coefficient, *factors in written:
            key, x = 0, fraction(coefficient, where)
            for place, power in factors:
                there = type(place) is int and 0 <= place < self.letters + len(self.radicands) and not key >> SLOT * place
                must(there, where, "a letter or root that is not there yet, or out of order")
                must(type(power) is int and 0 < power < (HIGHEST_POWER if place < self.letters else 2), where, "not a power")
                key |= power << SLOT * place
            must(key not in result and x and x.denominator == 1, where, "a term is nothing, or no whole number, or is written twice")
            result[key] = x.numerator
        return result

    def operand(self, index: Any, where: str) -> Value:
        must(type(index) is int and 0 <= index < len(self.values), where, "it works on a line that has not come")
        return self.values[index]

    def line(self, line: dict[str, Any]) -> Value:
        """Check one line and return its value."""
        here, op = len(self.values), line["op"]
        where, given = f"line {here}", None
        of = [self.operand(index, where) for index in line["of"]]
        must(OPERANDS.get(op) == len(of), where, "no such operation, or not so many operands")
        if "is" in line:
            top, below = (self.terms(part, where) for part in line["is"])
            must(below and max(below) < self.first_root, where, "a denominator is nothing, or holds a root")
            value = given = top, below
        if op == "number":
            at = fraction(line["with"], where)
            value = {0: at.numerator} if at else {}, {0: at.denominator}
        elif op == "letter":
            must(line["with"] in self.names, where, "a letter that is not declared")
            value = {1 << SLOT * self.names.index(line["with"]): 1}, ONE
        elif op in ("add", "sub"):
            value = self.plus(of[0], of[1], 1 if op == "add" else -1)
        elif op == "mul":
            value = self.product(of[0], of[1])
        else:
            must(given, where, "its value must be given")
        must(not given or self.equal(given, value), where, "its value is not that")
        top, below = given or value
        self.spend(len(top) + len(below), top, below)
        common = gcd(*top.values(), *below.values())
        value = {key: x // common for key, x in top.items()}, {key: x // common for key, x in below.items()}
        if op == "div":
            must(self.sign(of[1]), where, "no enclosure keeps the divisor off zero")
            must(self.equal(self.product(value, of[1]), of[0]), where, "the quotient is not that")
            self.rely("divisor", here, of[1])
        elif op == "sqrt":
            must(self.equal(self.product(value, value), of[0]), where, "squared, it is not what is under the root")
            must(self.sign(value) in (0, 1), where, "no enclosure shows that the root is positive")
            self.rely("radicand", here, *((of[0], value) if top else ()))
        elif op in ("reading", "hole"):
            self.rely(op, here, *self.ties(value, of[0], op, line["with"], where))
        return value

    def ties(self, value: Value, read: Value, op: str, steps: Any, where: str) -> list[Value]:
        """Check that `value` is the nearest graduation, or hole; return how far what is read is from each tie."""
        must(value[0].keys() | value[1].keys() <= {0}, where, "what is read must be a number")
        at, found = Fraction(value[0].get(0, 0), value[1][0]), []
        if op == "hole":
            near = [fraction(hole, where) for hole in steps]
            must(type(steps) is list and at in near, where, "the template has no such hole")
        else:
            step = fraction(steps, where)
            must(step and (at / step).denominator == 1, where, "it is not on a graduation")
            near = [at - step, at + step]
        for tie in [(at + other) / 2 for other in near if other != at]:
            found.append(self.plus(read, ({0: tie.numerator} if tie else {}, {0: tie.denominator}), -1))
            must(self.sign(found[-1]) == (1 if tie < at else -1), where, "another graduation or hole is as near")
        return found

    def statement(self) -> str:
        told, names, verdict, claim = self.certificate, self.names, self.certificate["verdict"], self.certificate["claim"]
        must(type(told["format"]) is int and told["format"] == 2, "format", "this checker reads format 2")
        must(told["digest"] == digest(told), "digest", "the text was altered after it was made")
        must(type(claim) is str and claim.isprintable(), "claim", "its words are no line of print")
        must(all(type(name) is str for name in names) and len({*names}) == len(names), "letters", "two of one name, or no name")
        must(told["scope"] == ("every" if names else "here"), "scope", "`every` is for letters, and letters for `every`")
        for place, written in enumerate(told["roots"]):
            radicand = self.terms(written, f"root {place}"), ONE
            must(self.sign(radicand) == 1, f"root {place}", "no enclosure shows that what is under it is positive")
            self.rely("root", place, radicand)
            self.varying |= self.varies(radicand) << SLOT * (self.letters + place)
            self.radicands.append(radicand[0])
        for line in told["lines"]:
            self.values.append(self.line(line))
        for index, sign in told["sides"]:
            value = self.operand(index, "sides")
            must(type(sign) is int and self.sign(value) == sign, "sides", f"line {index} has not the sign that a branch rests on")
            self.rely("side", index, *((value,) if sign else ()))
        must(told["conditions"] == self.conditions, "conditions", "the list is not the one that the lines give")
        claimed = [(self.operand(index, "claim"), index, signs) for kind, signs in CLAIMED.items() for index in told[kind]]
        must(claimed, "claim", "it claims nothing")
        must(verdict in ("proved", "within", "refuted"), "claim", "a certificate says `proved`, `within` or `refuted`")
        if verdict == "refuted":
            must(not names, "claim", "a refutation is for one choice, without letters")
            must(any(self.sign(value) not in (*signs, None) for value, _, signs in claimed), "claim", "no enclosure shows that it fails")
        else:
            for value, index, signs in claimed:
                must(self.sign(value) in signs, "claim", "a number that should be zero, or positive, is not")
                must(not value[0] or self.keeps_sign(index), "claim", "a positive number may change its sign for other choices")
        return f"{verdict} for {'every choice that the conditions allow' if names else 'the numbers written'}: {claim}"


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


def main(files: list[str]) -> int:
    """Check the files named; 0 where all are accepted, 1 where one is rejected, 2 where one can not be read."""
    worst = 0 if files else 2
    for name in files:
        try:
            with open(name, encoding="utf-8") as file:
                code, said = 0, f"accepted: {check(file.read(CHARACTERS + 1))}"
        except Rejected as reason:
            code, said = 1, f"REJECTED: {reason}"
        except (OSError, ValueError) as reason:
            code, said = 2, f"can not be read: {reason}"
        print(f"{name}: {said}")
        worst = max(worst, code)
    return worst


if __name__ == "__main__":
    sys.stdout.reconfigure(errors="backslashreplace")  # type: ignore[union-attr]  # a console may not know the claim's letters
    sys.exit(main(sys.argv[1:]))
