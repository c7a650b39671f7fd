"""From "for the choice drawn" to "for every choice", or to a choice that breaks the claim.

A claim proved at the drawn example is looked at again over letters, one for
each free choice in its slice of the recipe:

- where none of the claim's things has a letter left in it, the claim is the same for every choice;
- where its zeros vanish identically and its positive numbers can not vanish
  within the conditions, it is proved for every choice that the conditions allow;
- otherwise other choices are tried, the simplest first: one that the recipe
  allows and that breaks the claim refutes it;
- what then is left is proved for the choice drawn, and the verdict says so.

The conditions are the signs that the drawn example relied on (`Condition`,
`Relied`); with one letter they are solved into a range.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from fractions import Fraction
from itertools import islice
from typing import Any

from construct.chips import Carving
from construct.chips.subdivision import carve
from construct.claims import Senseless, Statement, Verdict, World
from construct.claims._slice import choices, slice_of
from construct.claims._verdict import decide
from construct.diagnostics import Mistakes
from construct.language.syntax import Measure
from construct.number_systems import LimitMet, NotANumber, Tie
from construct.number_systems._letter_zeros import factors, has_roots, zeros
from construct.number_systems.exact import ExactSystem
from construct.number_systems.letters import Lettered, LettersSystem, Relied
from construct.phrasebook import Length, say, tell
from construct.plan import EDGE, Plan, PlannedClaim, Step, things_of
from construct.proofs.kept_signs import KeptSigns, is_definite
from construct.replay import Settled, argument_value, settle
from construct.replay.settle import Drawn
from construct.tools import length_letter

UNSETTLED, OPEN, ELSEWHERE = "scope.unsettled", "scope.open", "scope.elsewhere"
"""Reasons, by their keys in the phrasebook."""

PLATE = "plate"
"""The letter of a plate of open size: half its width."""

TURNS = 7
"""How many other examples are tried of each choice, and then of all together."""

MOST_TRIES = 100
"""How many other choices are tried for a counterexample."""

FEWER_TRIES = 6
"""How many where the plate must be carved again for each."""

_Stopped = (LimitMet, NotANumber, Tie, Mistakes, Senseless)


def widen(
    settled: Settled,
    exact: Any,
    carving: Carving | None,
    verdicts: Sequence[Verdict],
    *,
    watch: Callable[[int], None] | None = None,
) -> tuple[Verdict, ...]:
    """Return the verdicts with their scope looked at over every free choice that they touch.

    watch: called with the place of each claim before it is looked at.
    """
    known: dict[tuple[int, ...], Over | None] = {}
    found = []
    for place, (claim, verdict) in enumerate(zip(settled.plan.claims, verdicts, strict=True)):
        if watch is not None:
            watch(place)
        if verdict.holds and verdict.choices:
            steps = slice_of(settled.plan, claim)
            key = tuple(step.number for step in steps)
            if key not in known:
                known[key] = settle_over(settled.plan, steps, AskedLetters())
            verdict = _look(settled, exact, carving, claim, verdict, steps, known[key])
        found.append(verdict)
    return tuple(found)


@dataclass(frozen=True, slots=True)
class Over:
    """A slice of a recipe settled over letters.

    relied: what its values stand on, each with the step that first did.  kept: what its conditions keep off zero.
    """

    system: AskedLetters
    settled: Settled
    relied: tuple[tuple[Relied, Step], ...]
    kept: KeptSigns


class AskedLetters(LettersSystem):
    """Letters that remember each sign they were asked for."""

    def __init__(self) -> None:
        super().__init__()
        self.asked: list[Lettered] = []

    def sign(self, value: Any) -> int | None:
        """The sign, remembered."""
        if isinstance(value, Lettered):
            self.asked.append(value)
        return super().sign(value)


def settle_over(plan: Plan, steps: Sequence[Step], system: AskedLetters) -> Over | None:
    """Return some steps of a plan settled over letters; None where that is too much."""
    drawn = {step.key: step.drawn for step in steps if step.drawn is not None}
    begun: list[tuple[int, Step]] = []
    try:
        settled = settle(
            replace(plan, steps=tuple(steps)), system, choices=drawn, watch=lambda step: begun.append((len(system.relied), step))
        )
    except _Stopped:
        return None
    relied = [
        (one, step)
        for (first, step), (last, _) in zip(begun, [*begun[1:], (len(system.relied), None)], strict=True)
        for one in system.relied[first:last]
    ]
    # a sign that no words tell of is no condition
    numbers = [condition.number for condition in settled.conditions if condition.sign and condition.words]
    return Over(system, settled, tuple(relied), KeptSigns(system, [*numbers, *(one.value for one, _ in relied)]))


def _look(
    settled: Settled, exact: Any, carving: Carving | None, claim: PlannedClaim, verdict: Verdict, steps: Sequence[Step], over: Over | None
) -> Verdict:
    """Return one verdict with its scope."""
    about_chips = any(settled.plan.things[index].kind == "chip" for argument in claim.arguments for index in things_of(argument))
    if over is not None:
        if not _lettered(settled.plan, claim, carving, over):
            return _for_every(verdict, over)
        if verdict.verdict == "proved" and not about_chips:
            senses = _prove(claim, over)
            if senses is not None:
                return _for_every(verdict, over, senses)
    broken = _counterexample(settled.plan, claim, steps, with_chips=about_chips)
    if broken is not None:
        return broken
    return unsettled(verdict, is_inequality(settled, exact, claim))


def unsettled(verdict: Verdict, inequality: bool) -> Verdict:
    """Return a verdict at the drawn choice whose truth at others is not settled.

    An inequality that holds at one choice says little of its neighbours' far side: it is undecided.
    """
    if inequality and verdict.verdict == "proved":
        return replace(verdict, verdict="undecided", reason=say(OPEN), conditions=())
    return replace(verdict, reason=say(UNSETTLED))


def is_inequality(settled: Settled, exact: Any, claim: PlannedClaim) -> bool:
    """Tell whether a claim says no more than that numbers are positive."""
    if any(settled.plan.things[index].kind == "chip" for argument in claim.arguments for index in things_of(argument)):
        return False
    things = [argument_value(exact, argument, settled.values) for argument in claim.arguments]
    statement = claim.phrase.make(World(exact, settled.values[EDGE]), *things)
    return not statement.zeros and statement.other is None and bool(statement.positives or statement.not_negatives)


def holds_over(plan: Plan, claim: PlannedClaim, over: Over) -> bool:
    """Tell whether a claim that is no matter of chips is shown for every choice."""
    return not _lettered(plan, claim, None, over) or _prove(claim, over) is not None


def _for_every(verdict: Verdict, over: Over, senses: tuple[str, ...] = ()) -> Verdict:
    conditions = (*verdict.conditions, *conditions_in_words(over.system, over.settled, over.relied), *senses)
    return replace(verdict, scope="every", conditions=tuple(dict.fromkeys(conditions)))


def _lettered(plan: Plan, claim: PlannedClaim, carving: Carving | None, over: Over) -> bool:
    """Tell whether a letter is left in anything that the claim is about, the edge and the cut lines included."""
    values = over.settled.values
    about: list[Any] = [values[EDGE], *(values[index] for argument in claim.arguments for index in things_of(argument) if plan.things[index].kind != "chip")]
    if any(plan.things[index].kind == "chip" for argument in claim.arguments for index in things_of(argument)):
        if carving is None:
            return True
        about += [values[piece.thing] for piece in carving.pieces]
        indices = [index for line in plan.carving for argument in line.arguments for index in things_of(argument)]
        about += [values[index] for index in indices if values[index] is not None]
    return any(over.system.letters_of(number) for number in _numbers(about))


def _numbers(thing: Any) -> Iterator[Lettered]:
    """Yield every number in a thing, or in things in a row."""
    if isinstance(thing, Lettered):
        yield thing
    elif isinstance(thing, tuple | list):
        for one in thing:
            yield from _numbers(one)
    elif is_dataclass(thing):
        for field in fields(thing):
            if field.name != "chord":
                yield from _numbers(getattr(thing, field.name))


def _prove(claim: PlannedClaim, over: Over) -> tuple[str, ...] | None:
    """Return what keeps the sense of a claim that holds for every choice, in bench words; None where that is not shown.

    The signs that the claim asks for to make its statement join the conditions; those that it states must be shown.
    """
    system, values = over.system, over.settled.values
    before = len(system.asked)
    try:
        things = [argument_value(system, argument, values) for argument in claim.arguments]
        statement: Statement = claim.phrase.make(World(system, values[EDGE]), *things)
        asked = [number for number in system.asked[before:] if not system.equal(number, 0)]
        if statement.other is not None or statement.only_within:
            return None
        if any(system.sign(zero) != 0 for zero in statement.zeros):
            return None
        if any(system.sign(number) != 1 for number in statement.positives):
            return None
        left = [number for number in statement.not_negatives if not system.equal(number, 0)]
        if any(system.sign(number) != 1 for number in left):
            return None
        unkept = [number for number in asked if not over.kept.plainly_keeps(number)]
        kept = over.kept.and_also(unkept)
        if not all(kept.keeps(number) for number in (*statement.positives, *left)):
            return None
    except _Stopped:
        return None
    return (say(f"scope.sense.{claim.phrase.option('sense', 'plain')}", line=claim.span.line),) if unkept else ()


# --- conditions in bench words --------------------------------------------------------------------


def conditions_in_words(system: LettersSystem, settled: Settled, relied: Sequence[tuple[Relied, Step]]) -> tuple[str, ...]:
    """Return the conditions, each to be read after "as long as"; those in one letter alone as a range of it."""
    said = [(condition.number, condition.words) for condition in settled.conditions if condition.sign and condition.words]
    said += [(one.value, _can_be_done(settled.plan, one, step)) for one, step in relied]
    alone: dict[str, list[tuple[Any, str]]] = {}
    others: dict[str, None] = {}
    for number, words in said:
        letters = system.letters_of(number) if isinstance(number, Lettered) else ()
        if len(letters) == 1:
            alone.setdefault(letters[0], []).append((number, words))
        elif letters and not _never_zero(number):
            others.setdefault(words)
    lengths = {length_letter(step.key) for step in settled.plan.steps if step.phrase.option("free") == "length"}
    found: list[str] = []
    for letter, numbers in alone.items():
        if letter == PLATE or letter in lengths:
            found += _range(system, letter, numbers)
        else:
            # a place, an angle's half tangent, a part of a line: nobody measures these, the conditions are said themselves
            others.update(dict.fromkeys(words for number, words in numbers if not _never_zero(number)))
    return tuple(dict.fromkeys((*found, *others)))


def _never_zero(number: Lettered) -> bool:
    """Tell whether a number without roots is plainly never zero: it is no condition on anything."""
    own = None if has_roots(number) else factors(number.tree)
    return own is not None and all(is_definite(factor) for factor in own)


def _can_be_done(plan: Plan, one: Relied, step: Step) -> str:
    """Return what it means at the bench that a step's values can be had."""
    line = step.span.line
    names = f" {say('list.and')} ".join(plan.things[index].name for index in step.outputs)
    if one.kind == "reading":
        return say("scope.reading", line=line)
    if one.kind == "hole":
        return say("scope.hole", line=line)
    if step.phrase.option("meets"):
        first, second = (say("scope.edge") if index == EDGE else plan.things[index].name for index in step.arguments[:2])  # type: ignore[index]
        return say("scope.meet", first=first, second=second, line=line)
    return say("scope.set" if step.phrase.gives == "opening" else "scope.drawn", names=names, line=line)


def _range(system: LettersSystem, letter: str, numbers: Sequence[tuple[Any, str]]) -> list[str]:
    """Return one letter's range, with what sets each end, or the plain conditions where it can not be solved."""
    drawn = system.drawn_choices()[letter]
    below: tuple[Fraction, str] | None = None
    above: tuple[Fraction, str] | None = None
    plain: dict[str, None] = {}
    for number, words in numbers:
        places = zeros(system, number)
        if places is None:
            plain.setdefault(words)
            continue
        for lower, upper in places:
            if upper < drawn and (below is None or upper > below[0]):
                below = (upper, words)
            elif lower > drawn and (above is None or lower < above[0]):
                above = (lower, words)
    name = say("scope.half_plate") if letter == PLATE else letter
    lines: list[str] = []
    if below is not None and below[0] > 0:
        lines.append(tell("scope.over", name=name, length=Length(below[0], 1), why=below[1]))
    if above is not None:
        lines.append(tell("scope.under", name=name, length=Length(above[0], -1), why=above[1]))
    return [*lines, *plain]


# --- counterexamples ------------------------------------------------------------------------------


def _counterexample(plan: Plan, claim: PlannedClaim, steps: Sequence[Step], *, with_chips: bool = False) -> Verdict | None:
    """Return the verdict for the simplest other choice that the recipe allows and that breaks the claim."""
    free = [step for step in steps if step.drawn is not None]
    numbers = {step.number for step in steps}
    for number, (changed, other) in enumerate(other_choices(plan, free)):
        if number >= (FEWER_TRIES if with_chips else MOST_TRIES):
            return None
        exact = ExactSystem()
        asked = replace(changed, claims=(claim,))
        if not with_chips:
            asked = replace(asked, steps=tuple(steps), carving=())
        try:
            there = settle(asked, exact, choices=other)
            (verdict,) = decide(there, exact, carve(there, exact) if with_chips else None)
        except _Stopped:
            continue
        if verdict.verdict == "refuted":
            own = tuple(step for step in there.plan.steps if step.number in numbers)
            return replace(verdict, reason=say(ELSEWHERE), choices=choices(there.plan, own))
    return None


def laid_out_elsewhere(plan: Plan, claim: PlannedClaim, verdict: Verdict) -> tuple[Settled, ExactSystem] | None:
    """Return the layout at the choices that refute a claim, found again by what they are called; None where it is not.

    Steps that can not be done there, and that the claim does without, are left out.
    """
    own = slice_of(plan, claim)
    numbers = {step.number for step in own}
    free = [step for step in own if step.drawn is not None]
    for changed, other in islice(other_choices(plan, free), MOST_TRIES):
        for steps in (plan.steps, own):
            exact = ExactSystem()
            try:
                there = settle(replace(changed, steps=tuple(steps), claims=(claim,), carving=()), exact, choices=other)
            except _Stopped:
                continue
            if choices(there.plan, tuple(step for step in there.plan.steps if step.number in numbers)) == verdict.choices:
                return there, exact
            break
    return None


def other_choices(plan: Plan, free: Sequence[Step]) -> Iterator[tuple[Plan, Mapping[str, Drawn]]]:
    """Yield other drawn examples, one choice changed at a time, then all at once."""
    drawn: dict[str, Drawn] = {step.key: step.drawn for step in free if step.drawn is not None}
    if plan.blank.free:
        for part in (Fraction(9, 10), Fraction(11, 10)):
            yield _resized(plan, part), drawn
    for turn in range(TURNS):
        for step in free:
            yield plan, {**drawn, step.key: _moved(step, turn)}
    for turn in range(TURNS):
        yield plan, {step.key: _moved(step, turn) for step in free}


def _resized(plan: Plan, part: Fraction) -> Plan:
    width = plan.blank.width
    assert width is not None
    larger = Measure(width.mm * part, f"{float(width.mm * part):g} mm", width.span)
    return replace(plan, blank=replace(plan.blank, width=larger, height=larger))


def _moved(step: Step, turn: int) -> Drawn:
    """Return another drawn example of a step's choice: a simple one near it, then some farther off."""
    drawn = step.drawn
    assert drawn is not None
    free = step.phrase.option("free")
    if isinstance(drawn, tuple):
        if len(drawn) == 1:
            (t,) = drawn
            return ((t + Fraction(1, 5), t - Fraction(1, 5), t + Fraction(1, 20), -t, t + 1, t - 1, t / 2)[turn],)
        x, y = drawn
        return ((x + 10, y), (x, y + 10), (x - 7, y + 5), (-x, y), (x, -y), (x + 50, y), (x, y + 50))[turn]
    if free == "direction" or (free == "on" and drawn.denominator in (1, 2, 3, 4, 5, 6, 8, 9, 10, 12, 24)):
        turns = (Fraction(1, 24), Fraction(-1, 24), Fraction(1, 60), Fraction(1, 2), Fraction(1, 4), Fraction(3, 4), Fraction(1, 8))
        return drawn + turns[turn]
    parts = (Fraction(11, 10), Fraction(9, 10), Fraction(21, 20), Fraction(3, 4), Fraction(2), Fraction(1, 4), Fraction(1, 2))
    return drawn * (-parts[turn] if free == "on" and turn == TURNS - 1 else parts[turn])
