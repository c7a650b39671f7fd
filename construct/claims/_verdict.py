"""A claim decided: statement, exact numbers, and from them the verdict with its gap.

A false claim must never come out proved, nor a true one refuted: zero is
decided exactly, a sign by an enclosure that excludes zero, and whatever can not
be settled is "undecided", with the reason.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from construct.chips import Carving
from construct.claims import BoundedGap, Finding, NoGap, PiGap, Senseless, Statement, Verdict, World, sign
from construct.claims._amounts import AngleAmount, BoundedAmount, ExactAmount, amount, within_of_pi
from construct.claims._slice import aims, choices, slice_of
from construct.diagnostics import Diagnostic, Mistakes
from construct.language.syntax import Angle
from construct.number_systems import LimitMet, NotANumber
from construct.phrasebook import say
from construct.plan import EDGE, PlannedClaim, PlannedLength, things_of
from construct.replay import Settled, argument_value


@dataclass(frozen=True, slots=True)
class Answer:
    """What a statement comes to: see `Verdict` for the fields."""

    verdict: str
    finding: Finding | None = None
    reason: str = ""


def decide(
    settled: Settled,
    exact: Any,
    carving: Carving | None = None,
    *,
    watch: Callable[[int], None] | None = None,
    given_up: Mapping[int, str] | None = None,
) -> tuple[Verdict, ...]:
    """Return the verdict on every claim of a settled plan, for the numbers written.

    carving: the chips, for claims about them.  A claim about what is missing is undecided.
    watch: called with the place of each claim before it is looked at.
    given_up: claims that are not even tried, by their place, with the reason.
    Raises `Mistakes` with every claim that makes no sense.
    """
    plan = settled.plan
    things = _with_chips(settled, carving)
    world = World(exact, settled.values[EDGE])
    verdicts: list[Verdict] = []
    wrongs: list[Diagnostic] = []
    for place, claim in enumerate(plan.claims):
        if watch is not None:
            watch(place)
        reason = (given_up or {}).get(place) or _not_there(settled, claim)
        if reason:
            verdicts.append(Verdict(claim.span.line, claim.text, claim.way, "undecided", "here", (), None, reason))
            continue
        try:
            answer = _answer(world, claim, things)
        except Senseless as wrong:
            wrongs.append(_diagnostic(settled, claim, "V301", wrong.message, wrong.hint))
            continue
        except NotANumber as none:
            wrongs.append(_diagnostic(settled, claim, "V302", f"this claim makes no sense here: {none.reason}", ""))
            continue
        steps = slice_of(plan, claim)
        verdicts.append(
            Verdict(
                line=claim.span.line,
                text=claim.text,
                way=claim.way,
                verdict=answer.verdict,
                scope="here",
                conditions=aims(plan, steps),
                finding=answer.finding,
                reason=answer.reason,
                choices=choices(plan, steps),
            )
        )
    if wrongs:
        raise Mistakes(tuple(wrongs))
    return tuple(verdicts)


def _not_there(settled: Settled, claim: PlannedClaim) -> str:
    """Return why a claim can not be looked at where something that it is about was not worked out; "" where all is there."""
    if not any(index in settled.missing for argument in claim.arguments for index in things_of(argument)):
        return ""
    lines = sorted({one.span.line for one in settled.beyond if one.span is not None})
    return say("verdict.too_deep", count=len(lines), lines=", ".join(map(str, lines)))


def _diagnostic(settled: Settled, claim: PlannedClaim, code: str, message: str, hint: str) -> Diagnostic:
    lines, line = settled.plan.lines, claim.span.line
    return Diagnostic(code, message, hint, claim.span, lines[line - 1] if 0 < line <= len(lines) else "")


def _with_chips(settled: Settled, carving: Carving | None) -> tuple[Any, ...]:
    """Return what each thing of the plan is, chips too."""
    chips = {} if carving is None else {chip.thing: chip for chip in carving.chips}
    return tuple(chips.get(index, value) for index, value in enumerate(settled.values))


def _answer(world: World, claim: PlannedClaim, values: tuple[Any, ...]) -> Answer:
    exact = world.numbers
    try:
        things = [argument_value(exact, argument, values) for argument in claim.arguments]
        statement = claim.phrase.make(world, *things)
        within = claim.within
        if isinstance(within, PlannedLength):
            within = within.value
            unit = "mm"
        else:
            unit = "deg" if isinstance(within, Angle) else "part"
        tolerance = within.turns * 360 if isinstance(within, Angle) else within
        return judge(exact, statement, tolerance, unit)
    except LimitMet as limit:
        return Answer("undecided", None, say("verdict.too_large", limit=limit.reason))


def judge(exact: Any, statement: Statement, tolerance: Fraction | None = None, unit: str = "mm") -> Answer:
    """Return what a statement comes to.

    tolerance: of `within`, None where there is none; unit: "mm", "deg" (degrees) or "part" (of the right side).
    """
    if statement.only_within and tolerance is None:
        raise Senseless(statement.only_within, "give it a tolerance, as in `within 0.5 %`")
    zeros_hold = all(sign(exact, number) == 0 for number in statement.zeros)
    signs_hold = all(sign(exact, number) > 0 for number in statement.positives) and all(
        sign(exact, number) >= 0 for number in statement.not_negatives
    )
    other = True
    if zeros_hold and signs_hold and statement.other is not None and not statement.only_within:
        told = statement.other()
        if told is None:
            return Answer("undecided", None, "nothing known here can settle it")
        other = told
    if zeros_hold and signs_hold and other and not statement.only_within:
        return Answer("proved")
    return _failed(exact, statement, tolerance, unit, zeros_hold)


def _failed(exact: Any, statement: Statement, tolerance: Fraction | None, unit: str, zeros_hold: bool) -> Answer:
    """Return the answer where the claim is not true as it stands."""
    assert statement.gap is not None
    try:
        gap = statement.gap()
        size = amount(exact, gap)
        if not zeros_hold and size.sign() == 0:
            raise RuntimeError("a claim fails by nothing: its zeros and its gap do not say the same")
        finding = size.finding()
    except NoGap as none:
        return Answer("refuted", None, none.reason)
    except LimitMet as limit:
        if tolerance is not None:
            raise
        return Answer("refuted", None, say("verdict.too_large", limit=limit.reason))
    if tolerance is None:
        return Answer("refuted", finding)
    if isinstance(gap, PiGap) and unit == "part":
        holds = within_of_pi(exact, gap, tolerance)
    elif isinstance(gap, BoundedGap) and gap.within is not None:
        told = gap.within(tolerance, unit)
        if told is None:
            raise LimitMet("it is too near the tolerance")
        holds = told
    else:
        holds = _within(exact, statement, size, tolerance, unit)
    return Answer("within" if holds else "refuted", finding)


def _within(
    exact: Any, statement: Statement, size: ExactAmount | BoundedAmount | AngleAmount, tolerance: Fraction, unit: str
) -> bool:
    """Tell whether the size is at most the tolerance, equality included: *exact*."""
    if unit == "part":
        assert statement.right is not None and isinstance(size, ExactAmount)
        bound = statement.right() * exact.rational(tolerance)
        return size.within(-bound if exact.sign(bound) < 0 else bound)
    if unit == size.unit:
        return size.sign(tolerance) <= 0 <= size.sign(-tolerance)
    if isinstance(size, AngleAmount) and size.gap.mm is not None:
        return bool(exact.sign(exact.rational(tolerance) - size.gap.mm) >= 0)
    # a distance where an angle was allowed for, or the other way round: the wrong part of it fails
    return False

