"""TRUSTED: decides whether a certificate shows what it states.  Standard library only; one route.

A certificate holds a straight-line program (the bench steps that a claim needs,
as arithmetic), the drawn example, the claim as numbers that must be zero or
positive, and for every line its value.  Nothing in it is believed:

  1. Each line's value is multiplied out against its operands.  A value lives in
     a tower over Q or Q(letters): Σ c_S·Π_{i∈S} g_i with g_i² = radicand_i, over
     one denominator.  Equal normal forms are equal numbers, whether or not the
     tower is a field; only that direction is used.
  2. What a line divides by, or takes the root of, must keep off zero at the
     drawn example, shown by an enclosure.  So must the numbers that picked one
     of two crossings, and each reading's distance from its tie.  These are the
     statement's conditions; the checker lists them itself.
  3. The claim.  "proved": each zero has normal form 0, each positive is > 0.
     "refuted": an enclosure keeps some zero off 0, or some positive below 0.

What is shown: for every choice of letters that can be reached from the drawn
one while no condition becomes zero, the claim holds; without letters, it holds
(or fails) for the numbers written.  A positive is shown over letters only if it
is itself a condition.
"""

from __future__ import annotations

import hashlib
import json
import sys
from fractions import Fraction
from math import isqrt
from typing import Any

BITS = (96, 256, 1024, 8192)
LARGEST = 20_000_000


class Rejected(Exception):
    """The certificate does not show what it states; the message says where and why."""


def digest(certificate: dict[str, Any]) -> str:
    """Return the SHA-256 of a certificate's canonical text, its own digest left out."""
    rest = {key: value for key, value in certificate.items() if key != "digest"}
    return hashlib.sha256(json.dumps(rest, sort_keys=True, separators=(",", ":"), ensure_ascii=True).encode()).hexdigest()


# A polynomial in the letters is {exponents: integer}; a value is ({mask of roots: polynomial}, denominator).
Polynomial = dict[tuple[int, ...], int]
Value = tuple[dict[int, Polynomial], Polynomial]


def _times(a: Polynomial, b: Polynomial) -> Polynomial:
    result: Polynomial = {}
    for e, x in a.items():
        for f, y in b.items():
            key = tuple(map(int.__add__, e, f))
            result[key] = result.get(key, 0) + x * y
    return {key: x for key, x in result.items() if x}


def _plus(a: Polynomial, b: Polynomial) -> Polynomial:
    result = dict(a)
    for key, x in b.items():
        result[key] = result.get(key, 0) + x
    return {key: x for key, x in result.items() if x}


class Checker:
    """Walks one certificate; `statement()` returns what it shows, or raises `Rejected`."""

    def __init__(self, certificate: dict[str, Any]) -> None:
        self.certificate = certificate
        self.letters = [str(letter["name"]) for letter in certificate["letters"]]
        self.example = [Fraction(letter["drawn"]) for letter in certificate["letters"]]
        self.one: Polynomial = {(0,) * len(self.letters): 1}
        self.zero: Value = ({}, self.one)
        self.radicands: list[Value] = []
        self.values: list[Value] = []
        self.conditions: list[tuple[str, int]] = []
        self._roots: dict[int, list[tuple[int, int]]] = {bits: [] for bits in BITS}

    # --- values ---------------------------------------------------------------------------------

    def number(self, fraction: Fraction) -> Value:
        n, d = fraction.numerator, fraction.denominator
        key = (0,) * len(self.letters)
        return ({0: {key: n}} if n else {}, {key: d})

    def plus(self, a: Value, b: Value, sign: int = 1) -> Value:
        if a[1] == b[1]:
            left, right, below = self.one, self.one, a[1]
        else:
            left, right, below = b[1], a[1], _times(a[1], b[1])
        terms = {mask: _times(p, left) for mask, p in a[0].items()}
        for mask, p in b[0].items():
            q = _times(p, right) if sign > 0 else {key: -x for key, x in _times(p, right).items()}
            terms[mask] = _plus(terms.get(mask, {}), q)
        return {mask: p for mask, p in terms.items() if p}, below

    def times(self, a: Value, b: Value) -> Value:
        below = _times(a[1], b[1])
        flat: dict[int, Polynomial] = {}
        folded: list[Value] = []
        for m, p in a[0].items():
            for n, q in b[0].items():
                product, common = _times(p, q), m & n
                if not common:
                    flat[m | n] = _plus(flat.get(m | n, {}), product)
                    continue
                term: Value = ({m ^ n: product}, below)
                for root, radicand in enumerate(self.radicands):
                    if common >> root & 1:
                        term = self.times(term, radicand)
                folded.append(term)
        result: Value = ({mask: p for mask, p in flat.items() if p}, below)
        for term in folded:
            result = self.plus(result, term)
        return result

    def equal(self, a: Value, b: Value) -> bool:
        return not self.plus(a, b, -1)[0]

    # --- enclosures at the drawn example ----------------------------------------------------------

    def at_example(self, p: Polynomial) -> Fraction:
        total = Fraction(0)
        for exponents, x in p.items():
            term = Fraction(x)
            for power, drawn in zip(exponents, self.example, strict=True):
                term *= drawn**power
            total += term
        return total

    def enclosure(self, value: Value, bits: int) -> tuple[int, int]:
        """Return whole numbers (low, high) around value·2^bits."""
        below = self.at_example(value[1])
        if below == 0:
            raise Rejected("a denominator is zero at the drawn example")
        low = high = 0
        for mask, p in value[0].items():
            part = self.at_example(p) / below
            term = (part.numerator << bits) // part.denominator, -((-part.numerator << bits) // part.denominator)
            for root, (a, b) in enumerate(self._roots[bits]):
                if mask >> root & 1:
                    ends = term[0] * a, term[0] * b, term[1] * a, term[1] * b
                    term = min(ends) >> bits, -(-max(ends) >> bits)
            low, high = low + term[0], high + term[1]
        return low, high

    def sign(self, value: Value) -> int:
        """Return +1 or -1 where an enclosure shows it, else 0."""
        for bits in BITS:
            low, high = self.enclosure(value, bits)
            if low > 0 or high < 0:
                return 1 if low > 0 else -1
        return 0

    def adjoin(self, radicand: Value) -> None:
        """Take in g with g² = radicand, g > 0 at the drawn example; only identities and enclosures of it are used."""
        where = f"root {len(self.radicands)}"
        self.must_hold(self.sign(radicand) > 0, where, "no enclosure shows that what is under it is positive")
        for bits in BITS:
            low, high = self.enclosure(radicand, bits)
            self._roots[bits].append((isqrt(max(low, 0) << bits), isqrt(max(high, 0) << bits) + 1))
        self.conditions.append(("root", len(self.radicands)))
        self.radicands.append(radicand)

    # --- reading the certificate ------------------------------------------------------------------

    def polynomial(self, written: Any, where: str) -> Polynomial:
        result: Polynomial = {}
        for exponents, coefficient in written:
            key = tuple(exponents)
            whole = type(coefficient) is str and all(type(e) is int and 0 <= e < 1000 for e in key)
            if not whole or len(key) != len(self.letters) or key in result or int(coefficient) == 0:
                raise Rejected(f"{where}: not a polynomial in {len(self.letters)} letters")
            result[key] = int(coefficient)
        return result

    def value(self, written: Any, where: str) -> Value:
        terms = {}
        for mask, p in written["terms"]:
            if type(mask) is not int or not 0 <= mask < 1 << len(self.radicands) or mask in terms:
                raise Rejected(f"{where}: a value speaks of a root that is not there yet")
            terms[mask] = self.polynomial(p, where)
        below = self.polynomial(written["over"], where)
        if not below or self.at_example(below) == 0:
            raise Rejected(f"{where}: a value's denominator is zero at the drawn example")
        if any(sum(key) for key in below):
            self.conditions.append(("denominator", len(self.values)))
        return {mask: p for mask, p in terms.items() if p}, below

    def operand(self, index: Any, where: str) -> Value:
        if type(index) is not int or not 0 <= index < len(self.values):
            raise Rejected(f"{where}: works on a line that has not come yet")
        return self.values[index]

    def must_hold(self, truth: bool, where: str, sentence: str) -> None:
        if not truth:
            raise Rejected(f"{where}: {sentence}")

    def line(self, line: dict[str, Any]) -> None:
        """Check one line and take its value."""
        here = len(self.values)
        where, op = f"line {here}", line["op"]
        of = [self.operand(index, where) for index in line.get("of", ())]
        if op == "number":
            self.values.append(self.number(Fraction(line["with"])))
            return
        if op == "letter":
            place = self.letters.index(line["with"]) if line["with"] in self.letters else -1
            self.must_hold(place >= 0, where, "a letter that is not declared")
            self.values.append(({0: {tuple(int(k == place) for k in range(len(self.letters))): 1}}, self.one))
            return
        value = self.value(line["value"], where)
        if op == "add":
            self.must_hold(self.equal(value, self.plus(of[0], of[1])), where, "the sum is not that")
        elif op == "sub":
            self.must_hold(self.equal(value, self.plus(of[0], of[1], -1)), where, "the difference is not that")
        elif op == "mul":
            self.must_hold(self.equal(value, self.times(of[0], of[1])), where, "the product is not that")
        elif op == "div":
            self.must_hold(self.sign(of[1]) != 0, where, "no enclosure keeps the divisor off zero")
            self.must_hold(self.equal(self.times(value, of[1]), of[0]), where, "the quotient is not that")
            self.conditions.append(("divisor", here))
        elif op == "sqrt":
            self.must_hold(self.equal(self.times(value, value), of[0]), where, "squared, it is not what is under the root")
            if value[0]:
                self.must_hold(self.sign(value) > 0, where, "no enclosure shows that the root is positive")
                self.conditions.append(("radicand", here))
        elif op in ("reading", "hole"):
            self.reading(value, of[0], op, line["with"], where)
            self.conditions.append((op, here))
        else:
            raise Rejected(f"{where}: `{op}` is no operation")
        self.values.append(value)

    def reading(self, value: Value, read: Value, op: str, of: Any, where: str) -> None:
        """Check that `value` is the nearest graduation, or the nearest hole, and not a tie."""
        ticks = [tick for tick in value[0] if tick]
        constant = not ticks and all(not any(key) for p in (*value[0].values(), value[1]) for key in p)
        self.must_hold(constant, where, "a reading must be a number")
        at = self.at_example(value[0].get(0, {})) / self.at_example(value[1])
        if op == "reading":
            step = Fraction(of)
            self.must_hold(step > 0 and (at / step).denominator == 1, where, "a reading must be on a graduation")
            limits = [at - step / 2, at + step / 2]
        else:
            holes = sorted(Fraction(hole) for hole in of)
            self.must_hold(at in holes, where, "the template has no such hole")
            limits = [(at + hole) / 2 for hole in holes if hole != at]
        for limit in limits:
            side = self.sign(self.plus(read, self.number(limit), -1))
            self.must_hold(side != 0 and (side > 0) == (limit < at), where, "another graduation or hole is as near")

    # --- the whole --------------------------------------------------------------------------------

    def statement(self) -> str:
        """Return in words what the certificate shows; `Rejected` where it shows nothing."""
        certificate = self.certificate
        self.must_hold(certificate["format"] == 1, "format", "this checker reads format 1")
        self.must_hold(certificate["digest"] == digest(certificate), "digest", "the text was altered after it was made")
        self.must_hold(len(set(self.letters)) == len(self.letters), "letters", "two letters of one name")
        for number, written in enumerate(certificate["roots"]):
            self.adjoin(self.value(written, f"root {number}"))
        for line in certificate["lines"]:
            self.line(line)
        for index, sign in certificate["sides"]:
            value = self.operand(index, "sides")
            held = self.sign(value) == sign if sign else not value[0]
            self.must_hold(held, "sides", f"line {index} does not have the sign that a branch rests on")
            if sign:
                self.conditions.append(("side", index))
        listed = [(str(kind), index) for kind, index in certificate["conditions"]]
        self.must_hold(listed == self.conditions, "conditions", "the list is not the one that the lines give")
        zeros = [self.operand(index, "claim") for index in certificate["zeros"]]
        positives = [self.operand(index, "claim") for index in certificate["positives"]]
        self.must_hold(bool(zeros or positives), "claim", "it claims nothing")
        if certificate["verdict"] == "refuted":
            self.must_hold(not self.letters, "claim", "a refutation is for one choice, without letters")
            failed = any(self.sign(zero) for zero in zeros) or any(self.sign(one) < 0 or not one[0] for one in positives)
            self.must_hold(failed, "claim", "no enclosure shows that it fails")
            return f"refuted for the numbers written: {certificate['claim']}"
        self.must_hold(certificate["verdict"] == "proved", "claim", "a certificate is for `proved` or `refuted`")
        self.must_hold(all(not zero[0] for zero in zeros), "claim", "a number that should be zero is not")
        relied = {self.certificate["lines"][i]["of"][-1] if k in ("divisor", "radicand") else i for k, i in self.conditions if k != "denominator"}
        for index, one in zip(certificate["positives"], positives, strict=True):
            self.must_hold(self.sign(one) > 0, "claim", "a number that should be positive is not")
            self.must_hold(not self.letters or index in relied, "claim", "a positive number is no condition: it may change sign")
        scope = "every choice that the conditions allow" if self.letters else "the numbers written"
        return f"proved for {scope}: {certificate['claim']}"


def check(certificate: dict[str, Any]) -> str:
    """Return what a certificate shows, in words; raise `Rejected` with the reason where it shows nothing."""
    try:
        return Checker(certificate).statement()
    except (KeyError, TypeError, ValueError, IndexError, AttributeError, ZeroDivisionError, RecursionError) as broken:
        raise Rejected(f"the file is not a certificate: {type(broken).__name__} {broken}") from None


def main(arguments: list[str]) -> int:
    """Check the files named; 0 where all are accepted, 1 where one is rejected, 2 where one can not be read."""
    worst = 0 if arguments else 2
    for name in arguments:
        try:
            with open(name, encoding="utf-8") as file:
                text = file.read(LARGEST + 1)
            if len(text) > LARGEST:
                raise Rejected(f"the file is over {LARGEST} characters")
            print(f"{name}: accepted: {check(json.loads(text))}")
        except Rejected as reason:
            print(f"{name}: REJECTED: {reason}")
            worst = max(worst, 1)
        except (OSError, ValueError, RecursionError) as reason:
            print(f"{name}: can not be read: {reason}")
            worst = 2
    return worst


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
