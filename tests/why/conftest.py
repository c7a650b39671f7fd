"""Recipes explained, each once."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from construct.chips.subdivision import carve
from construct.claims._verdict import decide
from construct.number_systems.exact import ExactSystem
from construct.plan.planner import make_plan
from construct.proofs.why import Why, explain
from construct.proofs.why.derivation import Derivations
from construct.replay import settle
from construct.study import load

ROOT = Path(__file__).parents[2] / "recipes"


@cache
def explained(name: str, way: str | None = None) -> dict[str, Why]:
    """Return the whys of a shipped recipe by their claim; verdicts are for the numbers drawn."""
    path = next(path for path in ROOT.rglob("*.recipe") if path.stem == name)
    recipe, methods = load(path)
    exact = ExactSystem()
    settled = settle(make_plan(recipe, methods=methods, way=way), exact)
    verdicts = decide(settled, exact, carve(settled, exact))
    return {one.claim: one for one in explain(settled, exact, verdicts)}


def derived(text: str, way: str | None = None) -> dict[str, bool]:
    """Tell which claims of a text are derived, whatever their verdict: nobody has looked at whether they hold."""
    recipe, methods = load(text)
    exact = ExactSystem()
    settled = settle(make_plan(recipe, methods=methods, way=way), exact)
    derivations = Derivations(settled, exact)
    return {claim.text: derivations.find(claim) is not None for claim in settled.plan.claims}
