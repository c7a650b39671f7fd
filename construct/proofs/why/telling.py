"""From a derivation to numbered steps: checked exactly first, then told in order, like steps together.

Nothing is told that has not been decided over exact numbers: every fact of the
derivation, and everything that a rule read off the drawing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache
from string import Formatter
from typing import Any

from construct.number_systems import LimitMet
from construct.phrasebook import ENGLISH, say, sentences
from construct.plan import Plan
from construct.proofs.why.because import Because, Term, angle, pair
from construct.proofs.why.drawing import Drawing, holds, shows
from construct.proofs.why.drawn import MIDDLE, RIM
from construct.proofs.why.known import Known, plain
from construct.proofs.why.reasons import AS_DRAWN, Reason
from construct.proofs.why.rules import BY_KEY
from construct.proofs.why.wording import Wording, listed

_OWN_SEEN = {
    "same-ray": (("beyond", "OAD"),),
    "way-round": (("left", "OAB"),),
    "two marks": (("apart", "AB"),),
    "three-marks": (("apart", "AB"), ("apart", "BD"), ("apart", "AD")),
}
"""What the steps read off the drawing that are no rules of the base; see `search` and `known`."""

_PASSED_ON = {"equal": "Euclid I, common notion 1", "angle": "Euclid I, common notion 1", "turn": "Euclid I, common notion 2"}
RADII = "radii"


class Unchecked(Exception):
    """A step that exact numbers do not bear out, or can not settle: nothing of the derivation is told."""


def check(goal: Because, drawing: Drawing) -> None:
    """Decide every fact of a derivation, and all that it reads off the drawing, over exact numbers; `Unchecked` where one fails."""
    named: set[Term] = set()
    try:
        for because in everything(goal):
            # a line or circle named by two marks needs two different ones
            for term in set(_by_marks(because.fact)) - named:
                named.add(term)
                if not shows(drawing, "apart", term[1:]):
                    raise Unchecked(f"{because.rule}: {term}")
            if because.fact[0] != "claim" and not holds(drawing, because.fact):
                raise Unchecked(f"{because.rule}: {because.fact}")
            for how, terms in _read_off(because):
                if not shows(drawing, how, terms):
                    raise Unchecked(f"{because.rule}: {how} {terms}")
    except LimitMet as limit:
        raise Unchecked(limit.reason) from limit


def _by_marks(term: Any) -> Iterator[Term]:
    """Yield the lines and circles that a fact names by two marks."""
    if isinstance(term, tuple):
        if term and term[0] in ("pair", "across"):
            yield term
            return
        for part in term:
            yield from _by_marks(part)


def everything(goal: Because) -> list[Because]:
    """Return every fact that a derivation rests on, itself last, premises before what follows from them."""
    order: list[Because] = []
    seen: set[int] = set()
    waiting: list[tuple[Because, bool]] = [(goal, False)]
    while waiting:
        because, done = waiting.pop()
        if done:
            order.append(because)
            continue
        if id(because) in seen:
            continue
        seen.add(id(because))
        waiting.append((because, True))
        waiting += [(premise, False) for premise in reversed(because.premises)]
    return order


def _read_off(because: Because) -> Iterator[tuple[str, tuple[Term, ...]]]:
    rule = BY_KEY.get(because.rule)
    if rule is not None:
        for seen in rule.seen:
            terms = seen.terms(because.binding)
            assert terms is not None
            yield seen.how, terms
    for how, letters in _OWN_SEEN.get(because.rule, ()):
        yield how, tuple(because.binding[letter] for letter in letters)


@dataclass(slots=True)
class _Step:
    """A step while it is put together: like steps are told as one."""

    key: str
    rows: list[Because]
    uses: set[int] = field(default_factory=set)
    lines: set[int] = field(default_factory=set)


def tell(goal: Because, plan: Plan, known: Known) -> tuple[Reason, ...]:
    """Return a derivation as numbered steps, the claim last; `check` it first."""
    words = Wording(plan, known)
    renamed = goal
    # the same fact under other names of a line needs no step of its own
    while not goal.told and goal.rule in ("chain", "same line"):
        links = [premise for premise in goal.premises if premise.fact[0] != "same"]
        if len(links) != 1:
            break
        (goal,) = links
    steps: list[_Step] = []
    at: dict[Any, int] = {}
    for because in everything(goal):
        if not (because.told or because is goal) or plain(because.fact) in at:
            continue
        uses, lines = _rests_on(because, at)
        key = _key(because)
        like = [place for place, step in enumerate(steps) if step.key == key and _are_alike(step.rows[0], because)]
        place = next((place for place in reversed(like) if because is not goal and all(use < place for use in uses)), None)
        if place is None:
            place = len(steps)
            steps.append(_Step(key, []))
        steps[place].rows.append(because)
        steps[place].uses |= uses
        steps[place].lines |= lines
        at[plain(because.fact)] = place
    if renamed is not goal:
        steps[-1].lines |= _rests_on(renamed, at)[1]
    opening = list(_introduced(everything(goal), plan, words))
    shift = len(opening)
    told = [_reason(step, number, shift, words, plan) for number, step in enumerate(steps, shift + 1)]
    return (*opening, *told)


def _are_alike(one: Because, other: Because) -> bool:
    """Tell whether two steps of one key may be told as one: what is passed on, only where it is passed on by the same notion."""
    return one.rule != "chain" or (one.fact[0] == other.fact[0] and _source(one, "") == _source(other, ""))


def _rests_on(because: Because, at: dict[Any, int]) -> tuple[set[int], set[int]]:
    """Return the places of the steps that a fact rests on, and the lines of the bench actions between."""
    uses: set[int] = set()
    lines: set[int] = set()
    waiting = [*because.premises] or [because]
    while waiting:
        premise = waiting.pop()
        place = at.get(plain(premise.fact))
        if premise.told and place is not None:
            uses.add(place)
            continue
        if premise.line:
            lines.add(premise.line)
        waiting += premise.premises
    return uses, lines


def _key(because: Because) -> str:
    """Return the key of a step's sentence."""
    if because.rule in ("drawn", "named", "same line", "two marks"):
        return "so"
    if because.rule != "chain":
        return because.rule
    if because.fact[0] == "equal":
        ends = [node[0] for node in because.links]
        if ends == ["between", "radius", "between"]:
            return RADII
        if ends[0] == ends[-1] == "between" and ends.count("radius") == 2 and set(ends[1:-1]) <= {"radius", "setting"}:
            return "same-opening"
    return "chain-equal" if _is_row(because) else "chain-since"


def _reason(step: _Step, number: int, shift: int, words: Wording, plan: Plan) -> Reason:
    first, *rest = step.rows
    sentence = say(f"why.{step.key}", **_slots(first, step.key, words))
    # one use of a rule may say two things, and its own sentence says both
    told = {frozenset(first.binding.values())} if first.binding else set()
    rest = [because for because in rest if not because.binding or frozenset(because.binding.values()) not in told]
    if rest:
        sentence = f"{sentence} {say('why.likewise', facts=listed(words.fact(because.fact) for because in rest))}"
    if sentence.split(" ")[0].rstrip(",") not in words.names:
        sentence = sentence[:1].upper() + sentence[1:]
    rule = BY_KEY.get(step.key)
    source = rule.source if rule is not None else _source(first, step.key)
    seen = _seen(step.rows, words)
    return Reason(
        number, sentence, _things(step.rows, words, plan), step.key, source,
        tuple(sorted(use + shift + 1 for use in step.uses)), tuple(sorted(step.lines)), seen,
    )  # fmt: skip


def _seen(rows: Sequence[Because], words: Wording) -> tuple[str, ...]:
    """Return what steps read off the drawing, in words; marks that only have to be different ones are named together."""
    found: dict[str, None] = {}
    different: dict[str, None] = {}
    for because in rows:
        for how, terms in _read_off(because):
            names = [words.slot(term) for term in terms]
            if how == "apart":
                different |= dict.fromkeys(names)
            else:
                found[say(f"why.seen.{how}", **{f"x{place}": name for place, name in enumerate(names, 1)})] = None
    return (*found, *([say("why.seen.apart", marks=listed(different))] if different else []))


def _source(because: Because, key: str) -> str:
    match key, because.fact:
        case ("radii" | "same-opening", _):
            return "Euclid I, definition 15"
        case ("three-marks", _):
            return "Euclid III.10"
        case ("so", _):
            return ""
        case (_, ("direction", _, _, part)):
            return "Euclid I.29" if part == Fraction(1, 4) else "Euclid I.28 and I.30"
        case (_, (name, *_)) if because.rule == "chain":
            return _PASSED_ON.get(name, "Euclid I, postulate 1")
    return ""


def _slots(because: Because, key: str, words: Wording) -> dict[str, str]:
    """Return what fills the sentence of a step."""
    slots = {"fact": words.fact(because.fact), "given": listed(words.fact(premise.fact) for premise in because.premises)}
    if because.rule == "chain":
        slots["links"] = _along(because, words)
        if key == RADII:
            circle, ends = because.links[1][1], because.links[:: len(because.links) - 1]
            middle = next(iter(set(ends[0][1:]) & set(ends[1][1:])), ends[0][1])
            slots |= {"c": words.curve(circle), "o": words.mark(middle)}
        if key == "same-opening":
            first, second = (node[1] for node in because.links if node[0] == "radius")
            slots |= {"c": words.curve(first), "d": words.curve(second)}
        if because.fact[0] == "equal":
            slots |= {"one": words.length(because.links[0]), "other": words.length(because.links[-1])}
        return slots
    slots |= {letter: words.slot(value) for letter, value in because.binding.items()}
    for name in _asked(f"why.{key}") - slots.keys():
        marks = [because.binding[letter] for letter in name.removeprefix("angle")]
        slots[name] = words.angle(angle(*marks)) if len(marks) == 3 else words.curve(pair(*marks))
    return slots


def _along(because: Because, words: Wording) -> str:
    """Return what a chain passes on: as one row of equals where nothing but equals is in it, else link by link."""
    links = [premise for premise in because.premises if premise.fact[0] != "same"]
    if _is_row(because):
        called = words.length if because.fact[0] == "equal" else words.angle
        return " = ".join(called(node) for node in because.links)
    return listed(words.fact(link.fact) for link in links)


def _is_row(because: Because) -> bool:
    """Tell whether a chain is one row of equal lengths or angles."""
    return because.fact[0] in ("equal", "angle") and all(link.fact[3] == 1 for link in because.premises)


@cache
def _asked(key: str) -> frozenset[str]:
    """Return the places of a sentence: a letter, `AB` for a line through two marks, `angleAOB` for an angle."""
    return frozenset(name for _, name, _, _ in Formatter().parse(str(sentences(ENGLISH)[key])) if name)


def _things(rows: Sequence[Because], words: Wording, plan: Plan) -> tuple[str, ...]:
    """Return the names of the drawn things that steps speak of."""
    found: dict[str, None] = {}
    for because in rows:
        terms = [*because.binding.values(), *because.fact[1:], *because.links]
        for term in terms:
            for index in words.things(term):
                if plan.things[index].kind in ("mark", "line", "circle") or index == 0:
                    found[plan.things[index].name] = None
    return tuple(found)


def _introduced(order: Sequence[Because], plan: Plan, words: Wording) -> Iterator[Reason]:
    """Yield a step for each mark that a derivation speaks of and nobody drew."""
    hidden = sorted({mark for because in order for mark in _hidden(because.fact)}, reverse=True)
    number = 0
    if MIDDLE in hidden:
        number += 1
        yield Reason(number, say("why.call_middle", o=words.mark(MIDDLE)), ("edge",), AS_DRAWN, "")
    for step in plan.steps:
        marks = [-(3 * step.number + place) for place in (2, 3, 4)]
        if set(marks) & set(hidden):
            number += 1
            line = plan.things[step.outputs[0]].name
            one, other, corner = (words.mark(mark) for mark in marks)
            sentence = say("why.call_finder", k=line, v=corner, e=one, f=other)
            yield Reason(number, sentence, (line, "edge"), AS_DRAWN, "", (), (step.span.line,))


def _hidden(term: Any) -> Iterator[int]:
    if isinstance(term, int) and not isinstance(term, bool):
        if term < 0:
            yield term
    elif isinstance(term, tuple) and term != RIM:
        for part in term:
            if isinstance(part, (int, tuple)):
                yield from _hidden(part)
