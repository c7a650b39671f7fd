"""Mutants of the shipped recipes: whatever is altered, nothing false is ever derived.

The engine is not told any verdict here.  A part of all mutants is tried, another part of
them for each recipe; CONSTRUCT_EVERY_MUTANT=1 tries every one, which takes an hour.
"""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

import pytest

from construct.claims._verdict import decide
from construct.diagnostics import Mistakes
from construct.number_systems import LimitMet
from construct.plan import Plan, PlannedClaim, things_of
from construct.proofs.why import explain
from construct.proofs.why.derivation import Derivations
from construct.proofs.why.telling import Unchecked, check

from .mutants import RECIPES, Mutant, is_near_true, mutants, near, plan_of, settled

EVERY = os.environ.get("CONSTRUCT_EVERY_MUTANT") == "1"
SLOW = {
    "clock-dial", "three-tents", "circle-of-nine-marks", "twelve-from-two-lines", "square-in-a-square",
    "rim-of-triangles", "square-in-a-circle", "swirl", "six-petals", "interlaced",
}
"""Recipes of which no mutant is tried, unless every one is."""
STRIDE = 40


def _some(path: Path, found: list[Mutant]) -> list[Mutant]:
    if EVERY:
        return found
    start = sum(path.stem.encode())
    return [] if path.stem in SLOW or not found else found[start % min(STRIDE, len(found)) :: STRIDE]


def broken(mutant: Mutant) -> list[str]:
    """Return what is wrong with what is derived in a mutant."""
    drawn = settled(mutant.plan)
    if drawn is None:
        return []
    derivations = Derivations(*drawn)
    wrong = []
    for claim in drawn[0].plan.claims:
        found = derivations.find(claim)
        if found is None:
            continue
        try:
            check(found[0], derivations.exact)
        except Unchecked as unchecked:
            if not isinstance(unchecked.__cause__, LimitMet):
                wrong.append(f"{mutant.what}: {claim.text}: {unchecked}")
        for turn in range(2):
            beside = near(drawn[0].plan, turn)
            if beside is not None and not is_near_true(beside, claim):
                wrong.append(f"{mutant.what}: {claim.text}: not so beside the drawn choice")
    wrong += [f"{mutant.what}: {because.rule} gives {because.fact}" for because in derivations.false]
    return wrong + [f"{mutant.what}: goes against what is known: {because.fact}" for because in derivations.refused()]


@pytest.mark.parametrize("path", RECIPES, ids=[path.stem for path in RECIPES])
def test_nothing_false_is_derived_in_a_mutant(path: Path) -> None:
    """Every fact derived looks true where drawn; every claim derived is borne out exactly there, and beside it for other choices."""
    plan = plan_of(path)
    ways = [plan] if not plan.ways else [plan_of(path, way) for way in plan.ways]
    found = [mutant for one in ways for mutant in mutants(one)]
    assert [] == [wrong for mutant in _some(path, found) for wrong in broken(mutant)]


@pytest.mark.parametrize("path", RECIPES, ids=[path.stem for path in RECIPES])
def test_the_why_of_a_claim_made_false_vanishes(path: Path) -> None:
    """Every mutant of every shipped recipe: a claim that fails in it has no why to show, and says so."""
    for mutant in mutants(plan_of(path)):
        drawn = settled(mutant.plan)
        if drawn is None:
            continue
        try:
            verdicts = decide(replace(drawn[0], plan=replace(drawn[0].plan, claims=_about_marks(drawn[0].plan))), drawn[1])
        except Mistakes:
            continue  # a claim about what fell together makes no sense there
        for verdict in verdicts:
            if verdict.verdict == "refuted":
                (shown,) = explain(drawn[0], drawn[1], (verdict,))
                assert () == shown.steps, (mutant.what, verdict.text)
                assert shown.missing, (mutant.what, verdict.text)


def _about_marks(plan: Plan) -> tuple[PlannedClaim, ...]:
    """Return the claims that are not about chips: mutants are not carved."""
    return tuple(
        claim for claim in plan.claims if not any(plan.things[index].kind == "chip" for one in claim.arguments for index in things_of(one))
    )
