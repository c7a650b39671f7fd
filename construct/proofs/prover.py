"""From verdicts to certificates: each claim's own steps written as a program, and its proof checked.

A verdict whose certificate the checker rejects is a fault of ours, and raises.
Where a claim's truth is no matter of zeros and signs of constructible numbers,
there is no certificate, and `Proof.missing` says why.  Over letters first; what
can not be shown for every choice is shown for the drawn one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import islice
from typing import Any

from construct.claims import AnyGap, Farthest, Gap, NoGap, Senseless, Statement, Verdict, World
from construct.claims._slice import choices, slice_of
from construct.diagnostics import Mistakes
from construct.language.syntax import Angle
from construct.number_systems import LimitMet, NotANumber, Tie
from construct.number_systems.exact import ExactSystem
from construct.number_systems.letters import LettersSystem
from construct.number_systems.trace import TraceSystem
from construct.phrasebook import say
from construct.plan import EDGE, Plan, PlannedClaim, PlannedLength, Step, things_of
from construct.proofs.certificate import Certificate, Heading, Numbers, Unwritable, certify
from construct.proofs.checker import Rejected, TooLarge
from construct.proofs.scope import ELSEWHERE, MOST_TRIES, other_choices, unsettled
from construct.replay import Settled, argument_value, replay_around, settle
from construct.replay.settle import Drawn

NO_KIND, TOO_LARGE, UNDECIDED = "prover.no_kind", "prover.too_large", "prover.undecided"
"""Why there is no certificate, by keys in the phrasebook."""


@dataclass(frozen=True, slots=True)
class Proof:
    """A verdict with what shows it.

    verdict: as given; for every choice where that was open and the certificate shows it, and for the drawn one alone
        where it could not be certified for every choice.
    certificate: None where there is none; then `missing` says why.
    """

    verdict: Verdict
    certificate: Certificate | None
    missing: str = ""


class _Program:
    """Some steps of a plan over a trace.

    made_by: the step that each line of a step's own construction comes from, where it was to be explained.
    """

    def __init__(
        self, plan: Plan, steps: Sequence[Step], twin: Any, others: Mapping[str, Drawn] | None = None, *, explain: bool = False
    ) -> None:
        self.trace = TraceSystem(twin=twin)
        self.made_by: dict[int, Step] = {}
        part = replace(plan, steps=tuple(steps))
        drawn = {step.key: step.drawn for step in steps if step.drawn is not None} | dict(others or {})

        def watch(step: Step, _: Sequence[Any]) -> None:
            for index in range(len(self.made_by), len(self.trace.lines)):
                self.made_by[index] = step

        if explain:
            replay_around(part, self.trace, watch=watch)
        self.settled = settle(part, self.trace, choices=drawn)
        self.by_step: dict[int, list[int]] = {}
        self.words: dict[int, tuple[int, str]] = {}
        for condition in self.settled.conditions:
            index = condition.number.index
            self.by_step.setdefault(condition.step, []).append(index)
            if condition.words:
                self.words.setdefault(index, (condition.step, condition.words))

    def numbers(self, claim: PlannedClaim, verdict: str, steps: Sequence[Step]) -> Numbers | None:
        """Return what a claim comes to; None where that is no matter of signs."""
        self.trace.asked.clear()
        things = [argument_value(self.trace, argument, self.settled.values) for argument in claim.arguments]
        statement = claim.phrase.make(World(self.trace, self.settled.values[EDGE]), *things)
        if claim.within is not None and verdict != "proved":
            found = self._within(claim, statement)
            if found is None:
                return None
            lists: tuple[Sequence[Any], ...] = ((), (), found)
        else:
            if statement.only_within or (statement.other is not None and verdict == "proved"):
                return None
            lists = (statement.zeros, statement.positives, statement.not_negatives)
        if not any(lists):
            return None
        asked = dict.fromkeys([index for step in steps for index in self.by_step.get(step.number, ())] + self.trace.asked)
        zeros, positives, rest = (tuple(dict.fromkeys(number.index for number in numbers)) for numbers in lists)
        return Numbers(zeros, positives, rest, tuple(asked))

    def _within(self, claim: PlannedClaim, statement: Statement) -> list[Any] | None:
        """Return what must not be negative for the gap to be at most the tolerance; None for gaps of other kinds."""
        if isinstance(claim.within, Angle) or statement.gap is None:
            return None
        gaps = list(_plain(statement.gap()))
        if isinstance(claim.within, PlannedLength):
            bound, unit = self.trace.rational(claim.within.value), "mm"
        else:
            assert statement.right is not None and isinstance(claim.within, Fraction)
            bound, unit = statement.right() * self.trace.rational(claim.within), ""
            if self.trace.sign(bound) == -1:
                bound = -bound
        found: list[Any] = []
        for gap in gaps:
            if gap is None or (unit and gap.unit != unit):
                return None
            found += [bound * bound - gap.value] if gap.squared else [bound - gap.value, bound + gap.value]
        return found

    def shows(self, numbers: Numbers, verdict: str) -> bool:
        """Tell whether the twin says of these numbers what a verdict says."""
        sign = self.trace.twin.sign  # type: ignore[union-attr]
        value = self.trace.values
        holds = (
            all(sign(value[index]) == 0 for index in numbers.zeros)
            and all(sign(value[index]) == 1 for index in numbers.positives)
            and all(sign(value[index]) in (0, 1) for index in numbers.not_negatives)
        )
        return holds == (verdict != "refuted")

    def conditions(self, certificate: Certificate) -> tuple[str, ...]:
        """Return a certificate's conditions in bench words, to be read after "as long as"."""
        found: dict[str, None] = {}
        for kind, index in certificate.conditions:
            if kind == "side" and index in self.words:
                found[self.words[index][1]] = None
            elif index in self.made_by:
                step = self.made_by[index]
                names = ", ".join(self.settled.plan.things[output].name for output in step.outputs)
                found[say("prover.side" if kind == "side" else "prover.made", names=names, line=step.span.line)] = None
        return tuple(found)


def _plain(gap: AnyGap) -> Iterator[Gap | None]:
    if isinstance(gap, Farthest):
        for one in gap.gaps:
            yield from _plain(one)
    else:
        yield gap if isinstance(gap, Gap) else None


class _Prover:
    """Certificates for the claims of one settled plan; programs are made when first needed."""

    def __init__(self, settled: Settled, verdicts: Sequence[Verdict], here: Sequence[Verdict]) -> None:
        self.plan = settled.plan
        self.missing = settled.missing
        self.here = here
        # whoever widened the others has said their conditions
        self.explain = any(verdict.verdict == "proved" and verdict.scope == "here" and verdict.choices for verdict in verdicts)
        self.slices = [slice_of(self.plan, claim) if self._can(claim) else None for claim in self.plan.claims]
        union = {step.number for steps in self.slices if steps for step in steps}
        self.union = [step for step in self.plan.steps if step.number in union]
        self._kept: dict[str, _Program | None] = {}

    def _can(self, claim: PlannedClaim) -> bool:
        about = {index for argument in claim.arguments for index in things_of(argument)}
        return not about & self.missing and not any(self.plan.things[index].kind == "chip" for index in about)

    def prove(self, place: int, verdict: Verdict) -> Proof:
        """Return a verdict with its certificate, over letters where that can be."""
        claim, steps = self.plan.claims[place], self.slices[place]
        if verdict.verdict == "undecided":
            return Proof(verdict, None, UNDECIDED)
        if steps is None:
            return Proof(verdict, None, NO_KIND)
        if verdict.reason == say(ELSEWHERE):
            return self._elsewhere(claim, steps, verdict)
        free = self._is_free(steps)
        missing = NO_KIND
        for kind in (["letters"] if free and verdict.verdict == "proved" else []) + ["exact"]:
            program = self._program(kind, steps)
            if program is None:
                continue
            try:
                numbers = program.numbers(claim, verdict.verdict, steps)
                if numbers is None:
                    return Proof(verdict, None, NO_KIND)
                if not program.shows(numbers, verdict.verdict):
                    if kind == "exact":
                        raise RuntimeError(f"line {verdict.line}: the program that is traced does not say what its verdict says")
                    continue
                certificate = self._certified(program, numbers, verdict, kind)
            except (TooLarge, LimitMet):
                missing = TOO_LARGE
                continue
            except (Senseless, NotANumber, NoGap, Unwritable):
                missing = NO_KIND
                continue
            if certificate is None:
                continue
            if kind == "letters" and verdict.scope == "here":
                verdict = replace(verdict, scope="every", reason="", conditions=(*verdict.conditions, *program.conditions(certificate)))
            if kind == "exact" and verdict.scope == "every":
                # only what the checker has seen for every choice is called so
                verdict = unsettled(self.here[place], not numbers.zeros)
                if verdict.verdict == "undecided":
                    return Proof(verdict, None, UNDECIDED)
            return Proof(verdict, certificate)
        return Proof(verdict, None, missing)

    def _elsewhere(self, claim: PlannedClaim, steps: Sequence[Step], verdict: Verdict) -> Proof:
        """Return the certificate of a refutation at another choice than the drawn one, found again by what it is called."""
        free = [step for step in steps if step.drawn is not None]
        for changed, others in islice(other_choices(self.plan, free), MOST_TRIES):
            try:
                program = _Program(changed, steps, ExactSystem(), others)
                if choices(program.settled.plan, program.settled.plan.steps) != verdict.choices:
                    continue
                numbers = program.numbers(claim, verdict.verdict, steps)
                if numbers is None:
                    return Proof(verdict, None, NO_KIND)
                return Proof(verdict, self._certified(program, numbers, verdict, "exact"))
            except (Mistakes, Tie, NotANumber, Senseless, NoGap, Unwritable):
                continue
            except (TooLarge, LimitMet):
                return Proof(verdict, None, TOO_LARGE)
        return Proof(verdict, None, NO_KIND)

    def _certified(self, program: _Program, numbers: Numbers, verdict: Verdict, kind: str) -> Certificate | None:
        heading = Heading(self.plan.title, verdict.text, verdict.line, verdict.way, () if kind == "letters" else verdict.choices)
        try:
            return certify(program.trace, numbers, verdict.verdict, heading)
        except TooLarge:
            raise
        except Rejected as reason:
            if kind == "letters" and "for other choices" in str(reason):
                return None  # a sign that no condition keeps: shown for the drawn choice alone
            if not program.trace.twin.tower.independent:  # type: ignore[union-attr]
                raise LimitMet(say("limit.dependent")) from None
            raise RuntimeError(f"line {verdict.line}: the checker rejects what was proved: {reason}") from None

    def _is_free(self, steps: Sequence[Step]) -> bool:
        return (self.plan.blank.free and bool(steps)) or any(step.drawn is not None for step in steps)

    def _program(self, kind: str, steps: Sequence[Step]) -> _Program | None:
        """Return all steps over one trace, or where that fails these alone; None where that fails too."""
        if kind not in self._kept:
            self._kept[kind] = self._made(kind, self.union)
        return self._kept[kind] or self._made(kind, steps)

    def _made(self, kind: str, steps: Sequence[Step]) -> _Program | None:
        try:
            if kind == "letters":
                return _Program(self.plan, steps, LettersSystem(), explain=self.explain)
            return _Program(self.plan, steps, ExactSystem())
        except (Mistakes, LimitMet, NotANumber, Tie):
            return None


def prove(
    settled: Settled, verdicts: Sequence[Verdict], here: Sequence[Verdict], *, watch: Callable[[int], None] | None = None
) -> tuple[Proof, ...]:
    """Return every verdict of a settled plan with its certificate.

    here: the verdicts at the drawn example, before their scope was looked at.
    watch: called with the place of each claim before it is proved.
    Raises `RuntimeError` where the checker rejects what was proved.
    """
    prover = _Prover(settled, verdicts, here)
    proofs = []
    for place, verdict in enumerate(verdicts):
        if watch is not None:
            watch(place)
        proof = prover.prove(place, verdict)
        proofs.append(replace(proof, missing=say(proof.missing)) if proof.missing else proof)
    return tuple(proofs)
