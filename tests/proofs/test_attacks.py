"""Attacks: good certificates altered in every field; a false statement must never be accepted."""

from __future__ import annotations

import copy
import json
import random
from collections.abc import Iterator
from typing import Any

import pytest

from construct.proofs.checker import Rejected, check, digest
from tests.proofs.conftest import shipped
from tests.proofs.evaluation import is_true

OPERATIONS = ["number", "letter", "add", "sub", "mul", "div", "sqrt", "reading", "hole", "pow"]
OTHER_WORDS = {
    "proved": ["refuted", "within", "true"],
    "refuted": ["proved", "within"],
    "within": ["refuted", "proved"],
    "every": ["here"],
    "here": ["every"],
}

LONGEST = 24_000
"""Longer certificates say nothing of another kind: altering them hundreds of times would only take minutes."""


def _others(value: Any) -> list[Any]:
    """Return what a leaf of a certificate is changed to."""
    if isinstance(value, int):
        return [value + 1, value - 1, -value, 0, True, None, str(value), 10**30]
    if isinstance(value, str):
        found: list[Any] = [*OTHER_WORDS.get(value, []), *([op for op in OPERATIONS if op != value] if value in OPERATIONS else [])]
        if value.lstrip("-").replace("/", "").isdigit():
            above = int(value.partition("/")[0])
            found += [str(above + 1), str(above - 1), str(-above), "0", f"{value}0", "1/0", "1e9999999", "nan", above]
        return found or [value + "x"]
    return [0, "x"]


def _places(part: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    yield path
    if isinstance(part, dict | list):
        for key in part if isinstance(part, dict) else range(len(part)):
            yield from _places(part[key], (*path, key))


def _changes(certificate: dict[str, Any]) -> Iterator[tuple[tuple[Any, ...], str, Any]]:
    """Yield (path, what to do, with what) for every single alteration."""
    for path in _places(certificate):
        part: Any = certificate
        for key in path:
            part = part[key]
        if not path or path[0] == "digest":
            continue
        yield path, "drop", None
        if isinstance(part, list):
            for place in range(len(part) - 1):
                yield path, "swap", place
            if part:
                yield path, "repeat", None
                yield path, "set", []
        elif not isinstance(part, dict):
            for other in _others(part):
                yield path, "set", other


def _altered(certificate: dict[str, Any], path: tuple[Any, ...], what: str, to: Any) -> dict[str, Any]:
    """Return a certificate with one place changed; what is not on the way to it is shared."""
    changed: Any = copy.copy(certificate)
    holder = changed
    for key in path[:-1]:
        holder[key] = copy.copy(holder[key])
        holder = holder[key]
    last = path[-1]
    if what == "drop":
        del holder[last]
    elif what == "set":
        holder[last] = to
    elif what == "repeat":
        holder[last] = [*holder[last], holder[last][-1]]
    else:
        one = holder[last] = list(holder[last])
        one[to], one[to + 1] = one[to + 1], one[to]
    return changed


def _accepted(certificate: dict[str, Any]) -> bool:
    try:
        check(json.dumps(certificate))
    except Rejected:
        return False
    return True


def test_good_certificates_are_true_by_another_calculation() -> None:
    """What every good certificate states is so at 60 digits, at the drawn choice and at others that the conditions allow."""
    assert len(shipped()) > 20
    for certificate in shipped():
        assert is_true(certificate), certificate["claim"]


@pytest.mark.parametrize("part", range(4))
def test_no_altered_certificate_states_a_falsehood(part: int) -> None:
    """With the digest made anew, an altered certificate is rejected, or what it states is still true."""
    chance = random.Random(20 + part)
    tried = accepted = 0
    short = [one for one in shipped() if len(json.dumps(one)) <= LONGEST]
    for certificate in short[part::4]:
        changes = list(_changes(certificate))
        for path, what, to in chance.sample(changes, min(len(changes), 260)):
            changed = _altered(certificate, path, what, to)
            if changed == certificate and json.dumps(changed) == json.dumps(certificate):
                continue
            tried += 1
            changed["digest"] = digest(changed)
            if _accepted(changed):
                accepted += 1
                assert is_true(changed), (certificate["claim"], path, what, to)
    assert tried > 1000
    assert accepted < tried / 4


def test_every_alteration_of_a_small_certificate() -> None:
    """All single alterations of the smallest certificates of each verdict and scope, none left out."""
    tried = 0
    for verdict, scope in (("proved", "here"), ("proved", "every"), ("refuted", "here"), ("within", "here")):
        certificate = min(
            (one for one in shipped() if (one["verdict"], one["scope"]) == (verdict, scope)), key=lambda one: len(json.dumps(one))
        )
        for path, what, to in _changes(certificate):
            changed = _altered(certificate, path, what, to)
            changed["digest"] = digest(changed)
            tried += 1
            if _accepted(changed):
                assert is_true(changed), (certificate["claim"], path, what, to)
    assert tried > 2000


def test_an_altered_text_with_its_old_digest_is_rejected() -> None:
    """Whatever is altered, even a label, breaks the digest."""
    chance = random.Random(5)
    for certificate in shipped():
        changes = list(_changes(certificate))
        for path, what, to in chance.sample(changes, 25):
            changed = _altered(certificate, path, what, to)
            if json.dumps(changed) != json.dumps(certificate):
                assert not _accepted(changed), (certificate["claim"], path, what, to)


@pytest.mark.parametrize("bound, true", [("5/2", False), ("1", True)])
def test_the_other_calculation_can_tell(bound: str, true: bool) -> None:
    """As long as (u - 1)² is not zero, u drawn at 3 stays over 1, however large the step it is looked at in; but not over 5/2."""
    letter, one, other = ({"op": op, "of": [], "with": text} for op, text in (("letter", "u"), ("number", "1"), ("number", bound)))
    lines = [letter, one, {"op": "sub", "of": [0, 1]}, {"op": "mul", "of": [2, 2]}, other, {"op": "sub", "of": [0, 4]}]
    said = {"verdict": "proved", "letters": [["u", "3"]], "lines": lines, "sides": [[3, 1]], "zeros": [], "positives": [5]}
    assert true == is_true({**said, "not_negatives": []}, seed=3)


def test_claims_pointed_at_other_lines() -> None:
    """A claim about any other line of the program is accepted only where it is true of that line."""
    for certificate in sorted(shipped(), key=lambda one: len(one["lines"]))[:6]:
        for kind in ("zeros", "positives", "not_negatives"):
            for index in range(len(certificate["lines"])):
                changed = {**certificate, "zeros": [], "positives": [], "not_negatives": [], kind: [index]}
                changed["digest"] = digest(changed)
                if _accepted(changed):
                    assert is_true(changed), (certificate["claim"], kind, index)
