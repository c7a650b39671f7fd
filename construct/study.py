"""One way through: a recipe's text becomes a `Study`, the record that every report reads.

This is the only file that knows the order of the stages.  Nothing flows back.

    text → Recipe → Plan → settled (exact) → values, chips, verdicts → Study → its errors, where asked for
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache, partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from construct import claims, tools
from construct.chips import BeyondReach, Carving
from construct.chips.subdivision import carve, carve_so_far
from construct.claims import Verdict
from construct.claims._verdict import decide
from construct.diagnostics import Diagnostic, Mistakes, diagnostic
from construct.geometry import to_floats
from construct.language.parser import decode, parse, parse_methods
from construct.language.syntax import Method, Phrase, Recipe
from construct.number_systems import LimitMet
from construct.number_systems.exact import ExactSystem
from construct.patience import GivenUp, watched
from construct.phrasebook import say
from construct.plan import Plan, things_of
from construct.plan.planner import make_plan
from construct.proofs.indifferent import indifferent
from construct.proofs.prover import Proof, prove
from construct.proofs.scope import ELSEWHERE, laid_out_elsewhere, widen
from construct.proofs.why import Why
from construct.proofs.why import explain as _explain
from construct.replay import Settled, settle
from construct.shelf import beside, find, read

if TYPE_CHECKING:
    from construct.chips.cutting_plan import CuttingPlan
    from construct.chips.survey import Survey
    from construct.errors import Errors
    from construct.errors.chip_errors import ChipErrors
    from construct.methods.borders import Border
    from construct.methods.contenders import Comparison
    from construct.methods.fitting import Fit
    from construct.methods.tuned_choices import Tuning
    from construct.teaching import Bench

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
    indifferent: for each verdict which written numbers do not matter, "" where nothing is said; empty where that was
        not asked for (see `with_indifferent`).
    cutting: an order of cuts, None where nothing is carved or it was not asked for (see `with_cutting_plan`).
    chip_errors: what the hand's errors do to the chips, None where that was not asked for (see `with_chip_errors`).
    survey: what is measured about the chips, None where that was not asked for (see `with_survey`) or nothing is carved.
    methods: those that the recipe's `use` lines bring in.
    elsewhere: the layout at another choice, for each claim that only the choice drawn makes true; by the claim's line.
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
    indifferent: tuple[str, ...] = ()
    elsewhere: tuple[tuple[int, Study], ...] = ()
    cutting: CuttingPlan | None = None
    survey: Survey | None = None
    chip_errors: ChipErrors | None = None
    methods: tuple[Method, ...] = ()

    @property
    def holds(self) -> bool:
        """True where every claim holds."""
        return all(verdict.holds for verdict in self.verdicts)

    @property
    def values(self) -> tuple[Any, ...]:
        """What each thing is over the exact system, by index."""
        return self.settled.values


class MistakesInCuts(Mistakes):
    """Raised where a recipe can be laid out but not carved as it says; `layout()` is the study as far as it goes."""

    def __init__(self, diagnostics: tuple[Diagnostic, ...], layout: Callable[[], Study]) -> None:
        super().__init__(diagnostics)
        self.layout = layout


@dataclass(frozen=True, slots=True)
class OtherWay:
    """How another way of the same recipe fares: its verdicts, or what is wrong with it."""

    way: str
    verdicts: tuple[Verdict, ...]
    mistakes: tuple[Diagnostic, ...] = ()


@dataclass(frozen=True, slots=True)
class Fitted:
    """A recipe fitted to another plate, and both studied.

    fit: the new text and what became of each length.  before, after: the studies, claims in the same order.
    """

    fit: Fit
    before: Study
    after: Study


def study(source: str | Path, *, way: str | None = None, others: bool = True, patience: float | None = None) -> Study:
    """Return the study of a recipe.

    source: a recipe's text (anything with a line break in it), a file, or the name of a shipped recipe.
    way: the way to take; the first of each group where None.  others: look at the other ways too.
    patience: seconds after which a step, the chips or a claim is given up, and said to be; for ever where None.
    Raises `Mistakes` with every diagnostic of the stage that found some.
    """
    recipe, methods = load(source)
    main = _one_way(recipe, methods, way, patience)
    rest = [name for name in main.plan.ways if name != main.way] if others else []
    if not rest:
        return main
    return replace(main, others=tuple(_other_way(recipe, methods, name, patience) for name in rest))


def with_indifferent(study: Study) -> Study:
    """Return the study with its `indifferent` filled in: which written numbers each proved claim does without."""
    return replace(study, indifferent=indifferent(study.settled, study.verdicts))


def with_errors(
    study: Study,
    *,
    bench: str | None = None,
    trials: int | str | None = None,
    seed: int | None = None,
    at: str | None = None,
    worst: bool = False,
    processes: int = 1,
    progress: Callable[[int, int], None] | None = None,
) -> Study:
    """Return the study with its `errors` filled in: budgets by *first order*, and trials beside them (*estimates*).

    bench: a level of hand ("careful", "ordinary", "beginner") instead of the recipe's own.
    trials: how many, 0 for first order alone, `STABLE` for as many as it takes; a usual number where None.
    seed: draws the same trials again; a fixed one where None.
    worst: the worst case within the sources' limits too (*enclosure*), which takes longest.
    at: a step's heading, or the name of something made, whose errors are followed in closed form; the first heading where None.
    processes: how many share the trials.  progress: called with (trials done, trials in all).
    Cost: under a second for a full plate.  Raises `Mistakes` where bench, trials, seed or `at` make no sense.
    """
    # here, so that whoever only proves never loads the arrays
    from construct.errors import analyse, analysis

    count = analysis.TRIALS if trials is None else None if trials == STABLE else trials
    if isinstance(count, str):
        raise Mistakes((diagnostic("C532.number", trials=trials, stable=STABLE),))
    errors = analyse(
        study.settled, study.carving, study.exact, bench=bench, trials=count, seed=analysis.SEED if seed is None else seed,
        at=at, worst=worst, processes=processes, progress=progress,
    )  # fmt: skip
    return replace(study, errors=errors)


def with_cutting_plan(study: Study, *, hand: str = "right", first: str = "hard") -> Study:
    """Return the study with its `cutting` filled in: an order of cuts by the trade's rules (*judgement*).

    hand: "right" or "left".  first: "hard" chips while fresh, or the "rosette" before its border.
    Raises `Mistakes` where they are neither.  Without a carving the study comes back as it is.
    """
    if study.carving is None:
        return study
    # here, as whatever only some commands need: whoever only proves does not wait for it
    from construct.chips.cutting_plan import make_cutting_plan

    return replace(study, cutting=make_cutting_plan(study.settled, study.carving, study.exact, hand=hand, first=first))


def with_chip_errors(
    study: Study,
    *,
    bench: str | None = None,
    trials: int | str | None = None,
    seed: int | None = None,
    processes: int = 1,
    progress: Callable[[int, int], None] | None = None,
) -> Study:
    """Return the study with its `survey` and its `chip_errors` filled in: how sure each chip's width, depth, area and land are.

    Options as in `with_errors`.  Without a carving the study comes back as it is.
    Cost: about a second for a full plate.  Raises `Mistakes` where bench, trials or seed make no sense.
    """
    if study.carving is None:
        return study
    from construct.errors import analysis, chip_errors

    count = chip_errors.TRIALS if trials is None else None if trials == STABLE else trials
    if isinstance(count, str):
        raise Mistakes((diagnostic("C532.number", trials=trials, stable=STABLE),))
    seed = analysis.SEED if seed is None else seed
    analysis.check(study.plan, bench, count, seed, None)
    study = with_survey(study)
    assert study.survey is not None and study.carving is not None
    found = chip_errors.analyse_chips(
        analysis.at_bench(study.settled, bench), study.carving, study.exact, study.survey,
        trials=count, seed=seed, processes=processes, progress=progress,
    )  # fmt: skip
    return replace(study, chip_errors=found)


def with_survey(study: Study) -> Study:
    """Return the study with its chips measured; as it is where nothing is carved.

    Cost: some tens of milliseconds for each kind of chip.  Raises `Mistakes` where a chip is too large or too thin to measure.
    """
    if study.carving is None or study.survey is not None:
        return study
    from construct.chips.survey import survey

    try:
        return replace(study, survey=survey(study.settled, study.carving, study.exact))
    except LimitMet as limit:
        raise Mistakes((diagnostic("C610", reason=limit.reason),)) from None


def compare(
    *sources: str | Path,
    ways: Sequence[str] = (),
    claim: str | None = None,
    bench: str | None = None,
    trials: int | None = None,
    seed: int | None = None,
    patience: float | None = None,
) -> Comparison:
    """Return ways side by side: all ways of the recipes, weighed on a claim that every one of them makes.

    sources: as for `study`.  ways: these alone, by name; all where none are named.  claim: words of the claim, where they share several.
    bench: the level of hand that the order is followed for.  trials, seed: as in `with_errors`.  patience: as in `study`.
    A way that can not be done is left out, and told.  Cost: about a second a way.  Raises `Mistakes` where nothing can be compared.
    """
    # here, so that whoever only proves never loads the arrays
    from construct.methods import comparison
    from construct.methods.contenders import Contender

    contenders: list[Contender] = []
    left_out: list[tuple[str, tuple[Diagnostic, ...]]] = []
    for label, recipe, methods, way in _wanted(_ways_of(sources), ways):
        try:
            one = _one_way(recipe, methods, way, patience)
        except Mistakes as wrong:
            left_out.append((label, wrong.diagnostics))
            continue
        if any(one.plan.things[index].kind != "chip" for index in one.settled.missing):
            left_out.append((label, one.settled.beyond))
            continue
        contenders.append(Contender(label, one.settled, one.exact, one.carving, one.drawn, one.verdicts))
    return comparison.compare(
        contenders, claim=claim, bench=bench, trials=comparison.TRIALS if trials is None else trials,
        seed=comparison.SEED if seed is None else seed, left_out=tuple(left_out),
    )  # fmt: skip


_Way = tuple[str, Recipe, tuple[Method, ...], str | None]


def _wanted(every: list[_Way], ways: Sequence[str]) -> list[_Way]:
    """Return the ways that are named, by label or by the way's own name; all where none are."""
    unknown = [name for name in ways if not any(name in (label, way) for label, _, _, way in every)]
    if unknown:
        labels = ", ".join(f"`{label}`" for label, _, _, _ in every)
        raise Mistakes(tuple(diagnostic("C704", name=name, labels=labels) for name in unknown))
    return [one for one in every if not ways or one[0] in ways or one[3] in ways]


def _ways_of(sources: Sequence[str | Path]) -> list[_Way]:
    """Return every way of some recipes with a label of its own: the way's name, with the recipe's where there are several."""
    found: list[_Way] = []
    for source in sources:
        recipe, methods = load(source)
        ways: Sequence[str | None] = make_plan(recipe, methods=methods).ways or (None,)
        name = Path(recipe.source).stem or recipe.title or "recipe"
        for way in ways:
            label = name if way is None else way if len(sources) == 1 else f"{name}, {way}"
            taken = sum(one[0] == label or one[0].startswith(f"{label} (") for one in found)
            found.append((f"{label} ({taken + 1})" if taken else label, recipe, methods, way))
    return found


def tuned(study: Study, *, at: Sequence[str] = (), bench: str | None = None, units: str = "mm") -> Tuning:
    """Return the best settings of a study's free choices: openings, hooks, which of two crossings.

    at: the marks that matter; all cut edges where none are named.  bench: a level of hand instead of the recipe's own.
    units: "mm" or "in": settings are rounded to what a ruler in these units shows.
    u is *first order*; the least is an *estimate*; what is allowed is decided exactly.  Raises `Mistakes`.
    """
    from construct.methods.graduations import coarse
    from construct.methods.tuning import tune

    ruler = coarse(study.plan.settings.graduation, units)
    return tune(study.settled, study.carving, study.exact, at=at, bench=bench, ruler=ruler)


def fitted(
    source: str | Path,
    *,
    plate: str,
    way: str | None = None,
    ruler: str | None = None,
    keep: Sequence[str] = (),
    scale: Sequence[str] = (),
    patience: float | None = None,
) -> Fitted:
    """Return a recipe fitted to another plate, with what snapping its lengths to the ruler does to the claims.

    source, way, patience: as in `study`.  plate: "10 in across".  ruler: another graduation than the bench's, such as "1/32 in".
    keep, scale: lengths that stay or grow otherwise than by rule: "margin", "template", "knife", "claims", "allowances",
    "picture" or "line 12".  Raises `Mistakes`, also those of the fitted recipe where it can not be laid out.
    """
    from construct.methods.fitting import fit

    recipe, methods = load(source)
    before = _one_way(recipe, methods, way, patience)
    made = fit(recipe, methods, before.plan.settings, plate=plate, ruler=ruler, keep=keep, scale=scale)
    actions, said = _phrases()
    there = parse(made.text, actions=actions, claims=said, source=f"{recipe.source or 'recipe'}, fitted")
    return Fitted(made, before, _one_way(there, methods, way, patience))


def border(
    across: str, *, unit: str | None = None, count: int | None = None, width: str | None = None, ruler: str | None = None, units: str = "mm"
) -> Border:
    """Return how a border of some unit, or some count of them, goes round a circle.

    across, unit, width: lengths such as "230 mm"; a bare number is in `units`.  ruler: its graduation; 0.5 mm or 1/32 in where None.
    Raises `Mistakes` where they make no border.
    """
    from construct.methods import borders
    from construct.methods.fitting import read_length

    def length(text: str | None, option: str) -> Fraction | None:
        return None if text is None else read_length(text, option=option, unit=units)[0]

    graduation = length(ruler or ("1/32 in" if units == "in" else "0.5 mm"), "--ruler")
    diameter = length(across, "--across")
    assert graduation is not None and diameter is not None
    return borders.border(diameter, unit=length(unit, "--unit"), count=count, width=length(width, "--width"), graduation=graduation)


def at_the_bench(study: Study, *, graduation: Fraction | None = None, bench: str | None = None) -> Bench:
    """Return a study's stages for the bench: settings on the user's ruler, what to measure after each, and what to mend.

    graduation: of the user's ruler in mm, the recipe's own where None.  bench: a level of hand instead of the recipe's.
    Cost: under a second for a full plate.  Raises `Mistakes` where there is no such level.
    """
    # here, so that whoever only proves never loads the arrays
    from construct.errors.analysis import unknown_level
    from construct.teaching.stages import make_ready

    wrong = unknown_level(bench)
    if wrong is not None:
        raise Mistakes((wrong,))
    return make_ready(study.recipe, study.methods, study.settled, study.carving, study.exact, study.drawn, study.verdicts,
                      graduation=graduation, bench=bench)  # fmt: skip


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
            raise Mistakes((diagnostic("C505", use.span),))
        file = beside(path, use.path)
        methods += parse_methods(decode(read(file), use.path), actions=actions, claims=said, source=use.path)
    return recipe, tuple(methods)


@cache
def _phrases() -> tuple[tuple[Phrase, ...], tuple[Phrase, ...]]:
    return tools.phrases(), claims.phrases()


_Place = tuple[str, int]
"""What may take too long: a step by its number, the chips, or a claim by its place."""


def _one_way(recipe: Recipe, methods: Sequence[Method], way: str | None, patience: float | None) -> Study:
    plan = make_plan(recipe, way=way, methods=methods)
    given_up: dict[_Place, str] = {}
    proofs = None if patience is None else _patiently(plan, given_up, patience)
    exact = ExactSystem()
    settled = _settled(plan, exact, given_up)
    try:
        settled, carving = _carved(settled, exact, given_up)
    except Mistakes as wrong:
        raise MistakesInCuts(wrong.diagnostics, partial(_uncarved, recipe, settled, exact)) from None
    if proofs is None:
        proofs = _proved(settled, carving, exact, given_up)
    verdicts = tuple(proof.verdict for proof in proofs)
    drawn = to_floats(exact, settled.values)
    elsewhere = tuple(_elsewhere(recipe, settled, verdicts))
    return Study(recipe, settled.plan, settled, exact, drawn, verdicts, carving, settled.plan.way, proofs=proofs, elsewhere=elsewhere,
                 methods=tuple(methods))  # fmt: skip


def _elsewhere(recipe: Recipe, settled: Settled, verdicts: Sequence[Verdict]) -> Iterator[tuple[int, Study]]:
    """Yield the layout at the choice that breaks each claim which holds for the drawn one alone."""
    for claim, verdict in zip(settled.plan.claims, verdicts, strict=True):
        found = laid_out_elsewhere(settled.plan, claim, verdict) if verdict.reason == say(ELSEWHERE) else None
        if found is not None:
            there, exact = found
            yield verdict.line, Study(recipe, there.plan, there, exact, to_floats(exact, there.values), (verdict,), None, there.plan.way)


def _uncarved(recipe: Recipe, settled: Settled, exact: ExactSystem) -> Study:
    """Return the study of a layout whose cuts hold mistakes: no claim is looked at, and regions have no names."""
    drawn = to_floats(exact, settled.values)
    return Study(recipe, settled.plan, settled, exact, drawn, (), carve_so_far(settled, exact), settled.plan.way)


def _silent(_: _Place) -> None:
    pass


def _patiently(plan: Plan, given_up: dict[_Place, str], patience: float) -> tuple[Proof, ...] | None:
    """Return the proofs, None where there are mistakes; what takes too long is left out, joins `given_up`, and all else is done again."""

    def work(begin: Callable[[Hashable], None]) -> tuple[Proof, ...] | None:
        exact = ExactSystem()
        try:
            settled, carving = _carved(_settled(plan, exact, given_up, begin), exact, given_up, begin)
            return _proved(settled, carving, exact, given_up, begin)
        except Mistakes:
            return None

    while True:
        found = watched(work, patience)
        if not isinstance(found, GivenUp):
            return found  # type: ignore[no-any-return]
        assert isinstance(found.at, tuple) and found.at not in given_up
        given_up[found.at] = say("verdict.too_long", seconds=f"{patience:g}")


def _settled(plan: Plan, exact: ExactSystem, given_up: Mapping[_Place, str], begin: Callable[[_Place], None] = _silent) -> Settled:
    """Return the layout over exact numbers; what is too deep to work out is missing in it."""
    return settle(plan, exact, watch=lambda step: begin(("step", step.number)), partial=True, given_up=_of_kind("step", given_up))


def _carved(
    settled: Settled, exact: ExactSystem, given_up: Mapping[_Place, str], begin: Callable[[_Place], None] = _silent
) -> tuple[Settled, Carving | None]:
    """Return a layout with its chips; where these are too deep to work out they are missing in it too."""
    plan = settled.plan
    chips = {index for index, thing in enumerate(plan.things) if thing.kind == "chip"}
    about = {index for line in plan.carving for argument in line.arguments for index in things_of(argument)}
    if about & settled.missing:
        return replace(settled, missing=settled.missing | chips), None
    begin(("chips", 0))
    try:
        if given_up.get(("chips", 0)):
            raise BeyondReach((diagnostic("C440.given_up", reason=given_up["chips", 0]),))
        return settled, carve(settled, exact)
    except BeyondReach as beyond:
        return replace(settled, missing=settled.missing | chips, beyond=settled.beyond + beyond.diagnostics), None


def _proved(
    settled: Settled,
    carving: Carving | None,
    exact: ExactSystem,
    given_up: Mapping[_Place, str],
    begin: Callable[[_Place], None] = _silent,
) -> tuple[Proof, ...]:
    def watch(place: int) -> None:
        begin(("claim", place))

    here = decide(settled, exact, carving, watch=watch, given_up=_of_kind("claim", given_up))
    return prove(settled, widen(settled, exact, carving, here, watch=watch), here, watch=watch)


def _of_kind(kind: str, given_up: Mapping[_Place, str]) -> dict[int, str]:
    return {number: reason for (one, number), reason in given_up.items() if one == kind}


def _other_way(recipe: Recipe, methods: Sequence[Method], way: str, patience: float | None) -> OtherWay:
    try:
        # of another way the verdicts alone are shown: the process that may be stopped has them, and nothing is worked out twice
        proofs = None if patience is None else _patiently(make_plan(recipe, way=way, methods=methods), {}, patience)
        verdicts = _one_way(recipe, methods, way, None).verdicts if proofs is None else tuple(proof.verdict for proof in proofs)
    except Mistakes as wrong:
        return OtherWay(way, (), wrong.diagnostics)
    return OtherWay(way, verdicts)
