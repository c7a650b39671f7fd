"""Contenders → `Comparison`: the claim they share, and each one weighed on it."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations
from typing import Any

from construct.claims import centre, halfway
from construct.claims._slice import aims, slice_of
from construct.diagnostics import Diagnostic, Mistakes, diagnostic
from construct.errors import analyse
from construct.errors.analysis import unknown_level
from construct.geometry import Circle, Point
from construct.methods.contenders import Comparison, Contender, HandFigures, Method, Scan, Size
from construct.methods.lemoine import lemoine
from construct.methods.misses import Miss, miss_of
from construct.methods.moves import moves_of
from construct.methods.needs import left_set, tools_needed
from construct.methods.reaches import reach, worst
from construct.methods.scans import by_graduation, by_hand, by_length, offsets_drawn, spread
from construct.methods.trials import run_trials
from construct.number_systems import NotANumber
from construct.phrasebook import say
from construct.plan import Plan, PlannedClaim, Step, things_of
from construct.tools._settings import LEVELS, at_level

TRIALS = 40_960
SEED = 20_250_101

NO_MATTER = 1e-12
"""A variance of rounding below this, in mm², is arithmetic's own and no ruler's."""

Left = tuple[tuple[str, tuple[Diagnostic, ...]], ...]


def compare(
    contenders: Sequence[Contender],
    *,
    claim: str | None = None,
    bench: str | None = None,
    trials: int = TRIALS,
    seed: int = SEED,
    left_out: Left = (),
) -> Comparison:
    """Weigh contenders on a claim that all of them make.

    claim: words of the claim to compare, where they share several; the first that rests on what they do differently where None.
    bench: the level whose hand the scans are for; the first contender's own where None.
    trials, seed: of the trials for each contender and level.
    Raises `Mistakes` where there are not two contenders, no claim is shared, or the options make no sense.
    """
    _check(contenders, bench, trials, seed, left_out)
    shared = _shared(contenders)
    level = bench or contenders[0].settled.plan.settings.level
    number = _chosen(contenders, shared, claim)
    claims = [row[number] for row in shared]
    misses = [miss_of(one.settled.plan, mine, one.drawn) for one, mine in zip(contenders, claims, strict=True)]
    common = _common_steps([one.settled.plan for one in contenders])
    known = [one for one in misses if one is not None]
    measured = len(known) == len(contenders)
    methods = tuple(
        _method(one, mine, miss if measured else None, common, trials, seed)
        for one, mine, miss in zip(contenders, claims, misses, strict=True)
    )
    plans = [_at(one.settled.plan, level) for one in contenders]
    size = size_of(contenders[0], claims[0])
    return Comparison(
        titles=tuple(dict.fromkeys(one.title for one in plans)),
        graduation=plans[0].settings.graduation,
        claim=claims[0],
        size=size,
        level=level,
        seed=seed,
        trials=trials,
        methods=methods,
        scans=_scans(plans, known, size) if measured else (),
        others=tuple(one.text for place, one in enumerate(shared[0]) if place != number),
        left_out=left_out,
        same_plate=len({(_width(one), one.settings.graduation, one.settings.oval) for one in plans}) == 1,
        judged=any(source.basis == "judgement" for source in plans[0].settings.sources.values()),
    )


def _check(contenders: Sequence[Contender], bench: str | None, trials: int, seed: int, left_out: Left) -> None:
    wrongs: list[Diagnostic] = []
    if len(contenders) < 2:
        wrongs += [one for _, some in left_out for one in some]
        wrongs.append(diagnostic("C701.one", label=contenders[0].label) if contenders else diagnostic("C701.none"))
    wrong = unknown_level(bench)
    if wrong is not None:
        wrongs.append(wrong)
    if trials < 100:
        wrongs.append(diagnostic("C532.nineteen", trials=trials))
    if seed < 0:
        wrongs.append(diagnostic("C533"))
    if wrongs:
        raise Mistakes(tuple(wrongs))


# --- the claim ------------------------------------------------------------------------------------


def _meaning(plan: Plan, claim: PlannedClaim) -> tuple[Any, ...]:
    """Return what tells claims of different recipes apart: the phrase, and its things by name."""
    return claim.phrase.text, tuple(
        tuple(plan.things[index].name for index in things_of(argument)) or repr(argument) for argument in claim.arguments
    )


def _shared(contenders: Sequence[Contender]) -> list[list[PlannedClaim]]:
    """Return the claims that all contenders make, in one order for all."""
    tables = [{_meaning(one.settled.plan, claim): claim for claim in one.settled.plan.claims} for one in contenders]
    keys = [key for key in tables[0] if all(key in table for table in tables)]
    if not keys:
        each = "; ".join(
            say("compare.claims", way=one.label, claims="; ".join(f"“{claim.text}”" for claim in one.settled.plan.claims) or say("compare.nothing"))
            for one in contenders
        )
        raise Mistakes((diagnostic("C702.claims", each=each),))
    return [[table[key] for key in keys] for table in tables]


def _chosen(contenders: Sequence[Contender], shared: Sequence[Sequence[PlannedClaim]], words: str | None) -> int:
    """Return the number of the shared claim that is compared."""
    texts = [claim.text for claim in shared[0]]
    if words is not None:
        sought = " ".join(words.split()).lower()
        exact = [place for place, text in enumerate(texts) if text.lower() == sought]
        fits = exact or [place for place, text in enumerate(texts) if sought in text.lower()]
        if sought and len(fits) == 1:
            return fits[0]
        shared_texts = "; ".join(f"“{text}”" for text in texts)
        raise Mistakes((diagnostic("C703.several" if fits else "C703.none", words=words[:60], claims=shared_texts),))
    plans = [one.settled.plan for one in contenders]
    common = _common_steps(plans)
    own = [{step.number for step in _own(plan, common)} for plan in plans]
    measured = [
        place for place in range(len(texts))
        if all(miss_of(one.settled.plan, row[place], one.drawn) is not None for one, row in zip(contenders, shared, strict=True))
    ]  # fmt: skip
    # the first that rests on what the ways do differently: later ones rest on more besides
    argued = [
        place for place in measured
        if all(mine & {step.number for step in slice_of(plan, row[place])} for mine, plan, row in zip(own, plans, shared, strict=True))
    ]  # fmt: skip
    return argued[0] if argued else measured[-1] if measured else len(texts) - 1


def size_of(contender: Contender, claim: PlannedClaim) -> Size:
    """Return the length that a claim is about: between its marks, across its circle, or across the plate."""
    plan, drawn = contender.settled.plan, contender.drawn
    indices = [index for argument in claim.arguments for index in things_of(argument)]
    if claim.phrase.make is halfway.halfway:
        indices = indices[1:]
    circles = [index for index in indices if isinstance(drawn[index], Circle) and index]
    marks = [index for index in indices if isinstance(drawn[index], Point)]
    if circles:
        circle = drawn[circles[0]]
        return Size("across", (plan.things[circles[0]].name,), 2 * math.sqrt(circle.square))
    if len(marks) >= 2 and claim.phrase.make is not centre.of_plate:
        pairs = [(math.hypot(drawn[a].x - drawn[b].x, drawn[a].y - drawn[b].y), a, b) for a, b in combinations(marks, 2)]
        longest, a, b = max(pairs, key=lambda pair: pair[0])
        if longest > 0:
            return Size("between", (plan.things[a].name, plan.things[b].name), longest)
    return Size("plate", (), _width(plan) or 100.0)


def _width(plan: Plan) -> float:
    return 0.0 if plan.blank.width is None else float(plan.blank.width.mm)


# --- one contender --------------------------------------------------------------------------------


def _common_steps(plans: Sequence[Plan]) -> Counter[str]:
    """Return the actions that every plan takes, by their words, and how often at least."""
    common = Counter(step.text for step in plans[0].steps)
    for plan in plans[1:]:
        common &= Counter(step.text for step in plan.steps)
    return common


def _own(plan: Plan, common: Counter[str]) -> tuple[Step, ...]:
    left, own = Counter(common), []
    for step in plan.steps:
        if left[step.text] > 0:
            left[step.text] -= 1
        else:
            own.append(step)
    return tuple(own)


def _method(one: Contender, claim: PlannedClaim, miss: Miss | None, common: Counter[str], trials: int, seed: int) -> Method:
    plan = one.settled.plan
    verdict = one.verdicts[plan.claims.index(claim)]
    own = _own(plan, common)
    return Method(
        label=one.label,
        verdict=verdict,
        aims=aims(plan, slice_of(plan, claim)),
        hands=() if miss is None else tuple(_hand(one, miss, level, trials, seed) for level in LEVELS),
        moves=moves_of(own),
        all_moves=sum(part.total for part in moves_of(plan.steps)),
        lemoine=lemoine(plan, {step.number for step in own}),
        tools=tools_needed(replace(plan, steps=own)),
        compasses=left_set(plan)[0],
    )


def _at(plan: Plan, level: str) -> Plan:
    return plan if level == plan.settings.level else replace(plan, settings=at_level(plan.settings, level))


def _hand(one: Contender, miss: Miss, level: str, trials: int, seed: int) -> HandFigures:
    plan = _at(one.settled.plan, level)
    drawn = run_trials(plan, miss, trials=trials, seed=seed)
    place = math.nan
    first = miss.claim.arguments[0]
    if isinstance(first, int) and isinstance(one.drawn[first], Point):
        errors = analyse(one.settled, None, one.exact, bench=level, trials=0, worst=False)
        place = errors.mark(plan.things[first].name).u_mm
    try:
        offsets = offsets_drawn(plan, miss)
        _, hand, rounding = spread(plan, miss)
    except NotANumber:
        nan = math.nan
        part = 0 if drawn is None else drawn.part
        return HandFigures(level, miss.names[part], nan, nan, nan, nan, drawn, place)
    part = worst(offsets, hand)[0] if drawn is None else drawn.part
    return HandFigures(
        level=level,
        part=miss.names[part],
        offset_mm=math.hypot(*offsets[part]),
        u_mm=math.sqrt(float(hand[part].trace())),
        rounding_mm=math.sqrt(float(rounding[part].trace())) if float(rounding[part].trace()) > NO_MATTER else 0.0,
        reach_mm=reach(offsets[part], hand[part]),
        trials=drawn,
        place_u_mm=place,
    )


def _scans(plans: Sequence[Plan], misses: Sequence[Miss], size: Size) -> tuple[Scan, ...]:
    found = [by_length(plans, misses, size.mm), by_hand(plans, misses)]
    if any(_is_read(plan, miss) for plan, miss in zip(plans, misses, strict=True)):
        found.insert(1, by_graduation(plans, misses))
    return tuple(one for one in found if any(math.isfinite(value) for row in one.reaches for value in row))


def _is_read(plan: Plan, miss: Miss) -> bool:
    """Tell whether a ruler's graduation matters to a miss."""
    try:
        _, _, rounding = spread(plan, miss)
    except NotANumber:
        return False
    return any(float(one.trace()) > NO_MATTER for one in rounding)
