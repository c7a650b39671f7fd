"""What is explained and how: the classical propositions behind the shipped recipes, and whys that vanish."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

import pytest

from construct.number_systems.exact import ExactSystem
from construct.plan.planner import make_plan
from construct.proofs.why.because import angle
from construct.proofs.why.derivation import Derivations
from construct.proofs.why.rules import BY_KEY
from construct.proofs.why.telling import Unchecked, check, everything
from construct.replay import settle
from construct.study import load, study, why

from ..theorems.conftest import NAMES, text_of
from ..theorems.test_altered import DRAWN, ELSE
from .conftest import ROOT, derived, explained

# The proposition that a classical proof rests on (Heath's numbering; from memory), for each thing a teacher is asked.
CLASSICAL = (
    ("halve-two-marks", "M is halfway between A and B", "Euclid I.10"),
    ("halve-two-marks", "k is square to s", "I.8"),
    ("quarters-of-a-plate", "g and k quarter rim", "I.8"),
    ("centre-by-right-angle", "C is the centre of the plate", "III.31"),
    ("angle-in-a-half-circle", "a is square to b", "Euclid III.31"),
    ("centre-by-two-hooks", "C is the centre of the plate", "III.17"),
    ("centre-by-two-hooks", "C is on f", "Euclid I.8"),
    ("six-steps", "A7 is A", "I.32"),
    ("six-steps", "A, A2, A3, A4, A5 and A6 are evenly spaced round rim", "I.1"),
    ("square-in-a-square", "K1, K2, K3 and K4 make a square", "VI.2"),
    ("petals-that-touch", "pB touches pR", "III.12"),
    ("petals-that-touch", "pR touches pT", "III.12"),
    ("halve-an-angle", "angle D O P equals angle P O E", "Euclid I.8"),
    ("tangents-from-a-mark", "g touches c", "Euclid III.16"),
    ("two-chords-that-cross", "X P times X Q equals X R times X S", "III.35"),
    ("two-lines-from-outside", "P Q times P R equals P T times P T", "III.36"),
    ("angles-on-one-chord", "angle A V B equals angle A W B", "III.21"),
    ("medians", "S is on m", "VI.32"),
    ("middles-of-four-sides", "kl is parallel to nm", "VI.2"),
    ("heights", "H is on m", "I.47"),
    ("feet-in-line", "X, Y and Z are in line", "III.22"),
    ("line-of-three-middles", "H, S and O are in line", "VI.32"),
    ("circle-of-nine-marks", "K, L, M, FA, FB, FD, UA, UB and UD are on one circle", "III.31"),
    ("circle-in-a-triangle", "c touches bd", "I.26"),
    ("parallel-by-compass", "k is parallel to s", "I.27"),
)

BEYOND = {"four-marks-on-a-circle", "six-marks-on-a-circle", "three-tents", "two-rows-of-three", "two-triangles-in-view"}
"""Theorems for which no short derivation is known here: Ptolemy, Pascal, Napoleon, Pappus, Desargues."""


@pytest.mark.parametrize(("name", "claim", "source"), CLASSICAL, ids=[f"{one[0]}-{one[2]}" for one in CLASSICAL])
def test_the_classical_reason_is_given(name: str, claim: str, source: str) -> None:
    """The derivation of each claim uses the proposition that the classical proof uses."""
    assert any(source in step.proposition for step in explained(name)[claim].steps)


def test_the_twelve_hours_are_even() -> None:
    """Six from each of two ends, a quarter turn apart: equal-sided triangles (I.1, IV.15) and a right angle."""
    whys = explained("twelve-from-two-lines")
    (even,) = whys.values()
    assert {"equal-sided", "even-round"} <= {step.rule for step in even.steps}


def test_most_theorems_are_explained() -> None:
    """Every claim of the bank's theorems has its steps, but those of five theorems beyond short derivations; those say so."""
    for name in set(NAMES) - {"three-tents"}:
        for one in explained(name).values():
            assert (name in BEYOND) == (not one.steps), (name, one.claim)
            assert bool(one.steps) != bool(one.missing)


ALTERED = [one for one in (*ELSE, *DRAWN) if one[0] not in BEYOND and one[0] != "circle-of-nine-marks"]


@pytest.mark.parametrize(("name", "edits", "words"), ALTERED)
def test_an_altered_recipe_loses_its_why(name: str, edits: tuple[tuple[str, str], ...], words: str) -> None:
    """A claim that an altered action makes false, here or for other choices, is not derived: nobody has to look at the verdict."""
    assert derived(text_of(name, *edits))[words] is False


def test_steps_are_well_formed() -> None:
    """Numbers run from 1, steps use earlier ones, and what they point at is drawn."""
    for name in ("clock-dial", "halve-a-side", "quarters-of-a-plate", "square-in-a-square", "line-of-three-middles"):
        path = next(path for path in ROOT.rglob("*.recipe") if path.stem == name)
        recipe, methods = load(path)
        things = {thing.name for thing in make_plan(recipe, methods=methods).things}
        lines = len(path.read_text(encoding="utf-8").splitlines())
        for one in explained(name).values():
            assert [step.number for step in one.steps] == list(range(1, len(one.steps) + 1))
            for step in one.steps:
                assert all(0 < use < step.number for use in step.uses)
                assert things.issuperset(step.things)
                assert all(0 < line <= lines for line in step.lines)
                assert not re.search(r"[{}]", step.sentence)
                assert step.rule not in BY_KEY or step.proposition == BY_KEY[step.rule].source
            used = {use for step in one.steps for use in step.uses}
            proved = {step.number for step in one.steps if step.rule != "as drawn"}
            assert not one.steps or proved - used == {len(one.steps)}, (name, one.claim)


def test_a_claim_that_fails_has_no_why() -> None:
    """By the ruler the half is off, and there is nothing to explain; by the compass there is."""
    ruler, compass = (explained("halve-a-side", way)["M is halfway between L and T"] for way in ("ruler", "compass"))
    assert not ruler.steps and "not proved" in ruler.missing
    assert compass.steps


@pytest.mark.parametrize("bench", ["oval 0.8 mm across the grain", "finder blade off 1 mm"])
def test_the_finder_explains_nothing_on_an_oval_plate(bench: str) -> None:
    """On a plate that is not round, or with a blade that is off, no line of the finder is said to pass the middle."""
    assert not any(derived(text_of("centre-by-two-hooks", ("bench  ordinary", f"bench  ordinary, {bench}"))).values())


def test_a_false_step_is_not_told() -> None:
    """Alter any fact inside a derivation and the exact check refuses all of it."""
    recipe, methods = load(ROOT / "theorems" / "halve-an-angle.recipe")
    exact = ExactSystem()
    settled = settle(make_plan(recipe, methods=methods), exact)
    derivations = Derivations(settled, exact)
    found = derivations.find(settled.plan.claims[1])
    assert found is not None
    check(found[0], derivations.exact)
    o, b, d, p = (settled.plan.index(name) for name in "OBDP")
    lies = 0
    for because in everything(found[0]):
        match because.fact:
            case ("angle", *_):
                lie: tuple[object, ...] = ("angle", angle(b, o, d), angle(d, o, p), Fraction(1))
            case ("on", mark, curve):
                lie = "on", o if mark == p else p, curve
            case ("equal", one, other, part):
                lie = "equal", one, other, part * 2
            case ("middle", _, circle):
                lie = "middle", b, circle
            case _:
                continue
        lies += 1
        with pytest.raises(Unchecked):
            check(replace(because, fact=lie), derivations.exact)
    assert lies > 10


def test_hostile_names_stay_names() -> None:
    """A name is never read as a pattern, whatever it looks like."""
    text = (ROOT / "theorems" / "halve-two-marks.recipe").read_text(encoding="utf-8").replace("Q", "links").replace(" M", " fact")
    whys = why(study(text))
    assert all(one.steps for one in whys)
    assert any("fact is halfway between A and B" in step.sentence for one in whys for step in one.steps)
