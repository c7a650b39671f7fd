"""A second opinion on a certificate: its own program worked out with mpmath at 60 digits, by none of our code.

mpmath is a general library for numbers of many digits (its documentation: mpmath.org).
"""

from __future__ import annotations

import json
import random
from collections.abc import Mapping
from fractions import Fraction
from functools import cache
from typing import Any

from mpmath import mp, mpf, workdps

DIGITS = 60
NEAR = mpf(10) ** -35


class NoValue(Exception):
    """The program has no value at this choice, or no certain one."""


def _number(text: str) -> Any:
    fraction = Fraction(text)
    return mpf(fraction.numerator) / mpf(fraction.denominator)


def values(certificate: Mapping[str, Any], choice: Mapping[str, Any]) -> list[Any]:
    """Return each line's value at a choice, from its operation alone."""
    found: list[Any] = []
    for line in certificate["lines"]:
        of = [found[index] for index in line["of"]]
        match line["op"]:
            case "number":
                found.append(_number(line["with"]))
            case "letter":
                found.append(choice[line["with"]])
            case "add":
                found.append(of[0] + of[1])
            case "sub":
                found.append(of[0] - of[1])
            case "mul":
                found.append(of[0] * of[1])
            case "div":
                if abs(of[1]) < NEAR:
                    raise NoValue
                found.append(of[0] / of[1])
            case "sqrt":
                if of[0] < -NEAR:
                    raise NoValue
                found.append(mp.sqrt(of[0]) if abs(of[0]) > NEAR else mpf(0))
            case "reading":
                step = _number(line["with"])
                found.append(mp.nint(of[0] / step) * step)
            case "hole":
                found.append(min((_number(hole) for hole in line["with"]), key=lambda hole: abs(hole - of[0])))
    return found


def _kept(certificate: Mapping[str, Any], found: list[Any]) -> list[Any]:
    """Return what must keep off zero on the way to another choice: divisors, radicands, sides."""
    kept = [line["of"][-1] for line in certificate["lines"] if line["op"] in ("div", "sqrt")]
    return [found[index] for index in kept + [index for index, sign in certificate["sides"] if sign]]


def _signs(certificate: Mapping[str, Any], found: list[Any]) -> list[int]:
    return [0 if abs(value) < NEAR else 1 if value > 0 else -1 for value in _kept(certificate, found)]


def _read(certificate: Mapping[str, Any], found: list[Any]) -> list[Any]:
    return [value for line, value in zip(certificate["lines"], found, strict=True) if line["op"] in ("reading", "hole")]


def _holds(certificate: Mapping[str, Any], found: list[Any]) -> bool:
    return (
        all(abs(found[index]) < NEAR for index in certificate["zeros"])
        and all(found[index] > NEAR for index in certificate["positives"])
        and all(found[index] > -NEAR for index in certificate["not_negatives"])
    )


def _stopped(certificate: Mapping[str, Any], good: Mapping[str, Any], bad: Mapping[str, Any], here: list[Any]) -> bool:
    """Tell whether, where the claim turns false between two choices, something is zero that must not be.

    A square that is zero there has the same sign on both sides: steps from one choice to the next leap over it.
    """
    for _ in range(3 * DIGITS):
        middle = {name: (at + bad[name]) / 2 for name, at in good.items()}
        try:
            good, bad = (middle, bad) if _holds(certificate, values(certificate, middle)) else (good, middle)
        except NoValue:
            return True
    zero = mpf(10) ** -20
    drawn = _kept(certificate, here)
    return any(abs(there) < zero * abs(at) for there, at in zip(_kept(certificate, values(certificate, good)), drawn, strict=True) if at)


STATED = ("letters", "sides", "zeros", "positives", "not_negatives", "verdict")


def is_true(certificate: Mapping[str, Any], *, seed: int = 1) -> bool:
    """Tell whether what a certificate states is so, as far as many digits and many choices can show."""
    # what the file says of its lines beside their operations (values, conditions, identities, labels) states nothing
    lines = [[line["op"], line["of"], line.get("with")] for line in certificate["lines"]]
    return _is_true(json.dumps([lines, {part: certificate[part] for part in STATED}]), seed)


@cache
def _is_true(text: str, seed: int) -> bool:
    lines, parts = json.loads(text)
    certificate = {**parts, "lines": [{"op": op, "of": of, "with": constant} for op, of, constant in lines]}
    with workdps(DIGITS):
        drawn = {name: _number(text) for name, text in certificate["letters"]}
        try:
            here = values(certificate, drawn)
        except NoValue:
            return False
        sides = all(abs(here[index]) < NEAR if sign == 0 else here[index] * sign > 0 for index, sign in certificate["sides"])
        holds = _holds(certificate, here)
        if not sides or holds == (certificate["verdict"] == "refuted"):
            return False
        chance = random.Random(seed)
        for reach in (mpf("0.001"), mpf("0.05"), mpf("0.4"), mpf(3)) if drawn else ():
            other = {name: at * (1 + reach * mpf(chance.uniform(-1, 1))) + reach * mpf(chance.uniform(-1, 1)) for name, at in drawn.items()}
            last = drawn
            for part in range(1, 13):
                choice = {name: at + (other[name] - at) * part / 12 for name, at in drawn.items()}
                try:
                    found = values(certificate, choice)
                except NoValue:
                    break
                if _signs(certificate, found) != _signs(certificate, here) or _read(certificate, found) != _read(certificate, here):
                    break
                if not _holds(certificate, found):
                    if _stopped(certificate, last, choice, here):
                        break
                    return False
                last = choice
    return True
