"""One way through: a recipe's text becomes a `Study`, the record that every report reads.

This is the only file that knows the order of the stages.  Nothing flows back.

    text → Recipe → Plan → settled (exact) → values, chips, verdicts → Study → its errors, where asked for
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from construct import claims, tools
from construct.chips import Carving
from construct.chips.subdivision import carve
from construct.claims import Verdict
from construct.claims._verdict import decide
from construct.diagnostics import Diagnostic, Mistakes
from construct.geometry import to_floats
from construct.language.parser import decode, parse, parse_methods
from construct.language.syntax import Method, Phrase, Recipe
from construct.number_systems.exact import ExactSystem
from construct.plan import Plan
from construct.plan.planner import make_plan
from construct.proofs.prover import Proof, prove
from construct.proofs.scope import widen
from construct.proofs.why import Why
from construct.proofs.why import explain as _explain
from construct.replay import Settled, settle
from construct.shelf import beside, find, read

if TYPE_CHECKING:
    from construct.errors import Errors

STABLE = "stable"
"""As a number of trials: as many as it takes until the results are stable (JCGM 101, 7.9)."""


@dataclass(frozen=True, slots=True)
class Study:
    """All that is known about one way through a recipe.

    recipe: the text's records.  plan: settled: every side and free choice filled in.
    settled: exact values by index, the signs relied on, where each of two marks came out.
    drawn: the same values as floats, for pictures; by index.
    verdicts: one for each claim, in order.  carving: cut lines and chips, None without `carve`.
    exact: the number system the exact values belong to.
    others: the same recipe by its other ways; empty inside those, and where they were not asked for.
    way: the way taken, None where the recipe has none.
    errors: what the hand's errors do, None where that was not asked for (see `with_errors`).
    proofs: one for each verdict: the certificate that the checker accepted, or why there is none.
    """

    recipe: Recipe
    plan: Plan
    settled: Settled
    exact: ExactSystem
    drawn: tuple[Any, ...]
    verdicts: tuple[Verdict, ...]
    carving: Carving | None
    way: str | None
    others: tuple[OtherWay, ...] = ()
    errors: Errors | None = None
    proofs: tuple[Proof, ...] = ()

    @property
    def holds(self) -> bool:
        """True where every claim holds."""
        return all(verdict.holds for verdict in self.verdicts)

    @property
    def values(self) -> tuple[Any, ...]:
        """What each thing is over the exact system, by index."""
        return self.settled.values


@dataclass(frozen=True, slots=True)
class OtherWay:
    """How another way of the same recipe fares: its verdicts, or what is wrong with it."""

    way: str
    verdicts: tuple[Verdict, ...]
    mistakes: tuple[Diagnostic, ...] = ()


def study(source: str | Path, *, way: str | None = None, others: bool = True) -> Study:
    """Return the study of a recipe.

    source: a recipe's text (anything with a line break in it), a file, or the name of a shipped recipe.
    way: the way to take; the first of each group where None.  others: look at the other ways too.
    Raises `Mistakes` with every diagnostic of the stage that found some.
    """
    recipe, methods = load(source)
    main = _one_way(recipe, methods, way)
    rest = [name for name in main.plan.ways if name != main.way] if others else []
    if not rest:
        return main
    return Study(
        main.recipe, main.plan, main.settled, main.exact, main.drawn, main.verdicts, main.carving, main.way,
        tuple(_other_way(recipe, methods, name) for name in rest), proofs=main.proofs,
    )  # fmt: skip


def with_errors(
    study: Study,
    *,
    bench: str | None = None,
    trials: int | str | None = None,
    seed: int | None = None,
    at: str | None = None,
    processes: int = 1,
    progress: Callable[[int, int], None] | None = None,
) -> Study:
    """Return the study with its `errors` filled in: budgets by *first order*, and trials beside them (*estimates*).

    bench: a level of hand ("careful", "ordinary", "beginner") instead of the recipe's own.
    trials: how many, 0 for first order alone, `STABLE` for as many as it takes; a usual number where None.
    seed: draws the same trials again; a fixed one where None.
    at: a step's heading, or the name of something made, whose errors are followed in closed form; the first heading where None.
    processes: how many share the trials.  progress: called with (trials done, trials in all).
    Cost: under a second for a full plate.  Raises `Mistakes` where bench, trials, seed or `at` make no sense.
    """
    # here, so that whoever only proves never loads the arrays
    from construct.errors import analyse, analysis

    count = analysis.TRIALS if trials is None else None if trials == STABLE else trials
    if isinstance(count, str):
        raise Mistakes((Diagnostic("C532", f"`{trials}` is no number of trials", f"say a whole number, or `{STABLE}`"),))
    errors = analyse(
        study.settled, study.carving, study.exact, bench=bench, trials=count, seed=analysis.SEED if seed is None else seed,
        at=at, processes=processes, progress=progress,
    )  # fmt: skip
    return replace(study, errors=errors)


def why(study: Study) -> tuple[Why, ...]:
    """Return why each claim holds, one for each verdict, in plain numbered steps or the reason why there are none."""
    return _explain(study.settled, study.exact, study.verdicts)


def load(source: str | Path) -> tuple[Recipe, tuple[Method, ...]]:
    """Return a recipe and the methods that its `use` lines bring in."""
    if isinstance(source, str) and "\n" in source:
        text, path, name = source, None, ""
    else:
        path = find(str(source))
        name = str(source)
        text = decode(read(path), name)
    actions, said = _phrases()
    recipe = parse(text, actions=actions, claims=said, source=name)
    methods: list[Method] = []
    for use in recipe.uses:
        if path is None:
            raise Mistakes((Diagnostic("C505", "`use` needs a recipe in a file: there is nothing beside a bare text", "save the recipe first", use.span),))
        file = beside(path, use.path)
        methods += parse_methods(decode(read(file), use.path), actions=actions, claims=said, source=use.path)
    return recipe, tuple(methods)


@cache
def _phrases() -> tuple[tuple[Phrase, ...], tuple[Phrase, ...]]:
    return tools.phrases(), claims.phrases()


def _one_way(recipe: Recipe, methods: Sequence[Method], way: str | None) -> Study:
    plan = make_plan(recipe, way=way, methods=methods)
    exact = ExactSystem()
    settled = settle(plan, exact)
    carving = carve(settled, exact)
    proofs = prove(settled, widen(settled, exact, carving, decide(settled, exact, carving)))
    verdicts = tuple(proof.verdict for proof in proofs)
    drawn = to_floats(exact, settled.values)
    return Study(recipe, settled.plan, settled, exact, drawn, verdicts, carving, settled.plan.way, proofs=proofs)


def _other_way(recipe: Recipe, methods: Sequence[Method], way: str) -> OtherWay:
    try:
        other = _one_way(recipe, methods, way)
    except Mistakes as wrong:
        return OtherWay(way, (), wrong.diagnostics)
    return OtherWay(way, other.verdicts)
