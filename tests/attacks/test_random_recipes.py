"""Random recipes and random claims against trigonometry at 60 digits: no place, no verdict and no gap may differ.

The oracle (`second_opinion`) uses angles and complex numbers where the project uses chords and square roots.
"""

from __future__ import annotations

from typing import Any

import mpmath
import pytest
from mpmath import mpf

from construct.claims._verdict import decide
from construct.diagnostics import Mistakes
from construct.number_systems.exact import ExactSystem
from construct.plan.planner import make_plan
from construct.replay import settle
from construct.study import load
from tests.attacks.random_claims import Said, claim
from tests.attacks.random_recipes import Writer
from tests.attacks.second_opinion import DIGITS, Unclear

NEAR = mpf(10) ** -20


def written(seed: int, lines: int, claims: int) -> tuple[Writer, list[Said]]:
    """Return a random recipe and claims about it: true ones are looked for, false ones come by themselves."""
    writer = Writer(seed)
    writer.write(lines)
    said: list[Said] = []
    false = 0
    for _ in range(claims * 6):
        try:
            one = claim(writer)
        except (Unclear, IndexError):
            continue
        false += not one.true
        if one.true or false <= claims // 2:
            said.append(one)
        if len(said) == claims:
            break
    return writer, said


def within_a_hair(exact: ExactSystem, number: Any, expected: mpf) -> bool:
    """Tell whether an exact number is what the oracle has."""
    lower, upper = exact.enclosure(number, 30)
    middle = (lower + upper) / 2
    return abs(mpf(middle.numerator) / middle.denominator - expected) < NEAR


def differences(seed: int, lines: int, claims: int) -> tuple[list[str], int]:
    """Return all that differs, and how many claims were decided."""
    writer, said = written(seed, lines, claims)
    text = "\n".join([*writer.text, *(f"claim {one.words}" for one in said)]) + "\n"
    exact = ExactSystem()
    try:
        # for the numbers written alone: what other choices would make of a claim is not asked here
        settled = settle(make_plan(load(text)[0]), exact)
        verdicts = decide(settled, exact)
    except Mistakes as wrong:
        # what is too deep to work out exactly is said so; nothing else may stand against these lines
        return [f"{one.code} {one.message}: {one.text}" for one in wrong.diagnostics if one.code != "R209"], 0
    wrongs = []
    for name, place in writer.marks.items():
        mark = settled.values[settled.plan.index(name)]
        if not (within_a_hair(exact, mark.x, place.real) and within_a_hair(exact, mark.y, place.imag)):
            wrongs.append(f"{name} lies elsewhere: {mpmath.nstr(place, 8)}")
    for name, ring in writer.rings.items():
        if not within_a_hair(exact, settled.values[settled.plan.index(name)].square, ring.radius**2):
            wrongs.append(f"{name} is another circle: {mpmath.nstr(ring.radius, 8)}")
    for name, ray in writer.lines.items():
        line = settled.values[settled.plan.index(name)]
        way = complex(exact.to_float(line.dx), exact.to_float(line.dy))
        if abs(way / abs(way) - complex(ray.way)) > 1e-9:
            wrongs.append(f"{name} runs another way: {complex(ray.way)}")
    for one, verdict in zip(said, verdicts, strict=True):
        if verdict.verdict == "undecided":
            continue
        if ("proved" if one.true else "refuted") != verdict.verdict:
            wrongs.append(f"{verdict.verdict}: {one.words}")
        elif not one.true and one.gap is not None and verdict.finding is not None:
            gap = float(one.gap)
            if one.unit != verdict.finding.unit or abs(gap - verdict.finding.value) > 1e-9 * max(1.0, abs(gap)):
                wrongs.append(f"gap {verdict.finding.value} {verdict.finding.unit}, not {gap} {one.unit}: {one.words}")
    decided = sum(verdict.verdict != "undecided" for verdict in verdicts)
    return [f"seed {seed}: {wrong}" for wrong in wrongs], decided


@pytest.mark.parametrize("first", [0, 1000, 2000, 3000])
def test_random_recipes_against_trigonometry(first: int) -> None:
    """Every mark, circle, direction, verdict and gap is the one that angles and 60 digits give."""
    decided = 0
    with mpmath.workdps(DIGITS):
        for seed in range(first, first + 25):
            wrongs, claims = differences(seed, 26, 8)
            assert [] == wrongs
            decided += claims
    assert decided > 100
