"""`settle`: the only place where a construction's branches are decided.

It replays the drawn example exactly, tries both answers of every two-way
choice, keeps the one that fits the recipe's words, and checks what a bench
would not allow: marks off the wood, openings beyond the compass, meetings that
do not happen.  Every sign that it relied on is kept as a `Condition`: they are
what a proof over all choices stands on.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from construct.diagnostics import Diagnostic, Mistakes, Wrong, once_each
from construct.geometry import (
    Board,
    Circle,
    Line,
    Point,
    ahead,
    beyond_ends,
    board_side,
    inside,
    is_constructible,
    left_of,
    meet,
    meeting_sides,
    nearer,
    on_blank,
    square_distance,
)
from construct.language.syntax import Angle
from construct.number_systems import LimitMet, NotANumber, Number, NumberSystem, Tie
from construct.phrasebook import say, tell
from construct.plan import EDGE, Plan, PlannedLength, PlannedPick, Step
from construct.replay.walk import argument_value, blank_edge, length_value, make, needs_to_settle
from construct.replay.wording import reach_hint, said_of, sentence_of
from construct.tools import Bench, Limit, length_letter


@dataclass(frozen=True, slots=True)
class Condition:
    """A sign that the drawn example relied on.

    step: the step's number.  number: the number asked about.  sign: its sign at the drawn example, -1, 0 or +1.
    words: what it means at the bench, to be read after "as long as".
    """

    step: int
    number: Number
    sign: int
    words: str


@dataclass(frozen=True, slots=True)
class Settled:
    """A plan with every side and every free choice filled in, and its exact values.

    values: what each thing is, by index, over the exact system.
    conditions: the signs relied on.  notes: where each of two marks came out ("P: left").
    beyond: steps that could not be worked out, as diagnostics; they, and what needs them, are not in the plan's steps.
    missing: the things that these would have made; their values are None.
    """

    plan: Plan
    values: tuple[Any, ...]
    conditions: tuple[Condition, ...]
    notes: tuple[tuple[int, str], ...]
    beyond: tuple[Diagnostic, ...] = ()
    missing: frozenset[int] = frozenset()


Drawn = Fraction | tuple[Fraction, ...]
"""The drawn example of a free choice: a length, a part or an angle; a place; or (t,) for an angle by its half's tangent."""


def settle(
    plan: Plan,
    exact: NumberSystem,
    *,
    choices: Mapping[str, Drawn] | None = None,
    watch: Callable[[Step], None] | None = None,
    partial: bool = False,
    given_up: Mapping[int, str] | None = None,
    turned: Collection[int] = (),
) -> Settled:
    """Return the plan with its sides filled in by the exact replay of the drawn example.

    exact: the exact system, or one that is exact over letters; it must know signs.
    choices: other drawn examples of free choices than the recipe says, by the key of their step.
    watch: called before each step that is done.
    partial: leave out what is too deep to work out and go on without it, instead of raising.
    given_up: steps that are not even tried, by number, with the reason.
    turned: numbers of steps whose words pick one of two crossings, where the other one is taken instead.

    Raises `Mistakes` with every step that can not be done; steps that need what a faulty step
    would have made are passed over in silence.
    """
    settler = _Settler(plan, exact, choices or {}, watch, turned)
    settler.partial = partial
    settler.given_up = given_up or {}
    return settler.settle()


class _Settler:
    def __init__(
        self,
        plan: Plan,
        exact: NumberSystem,
        choices: Mapping[str, Drawn],
        watch: Callable[[Step], None] | None = None,
        turned: Collection[int] = (),
    ) -> None:
        self.plan = plan
        self.exact = exact
        self.choices = choices
        self.watch = watch
        self.turned = turned
        self.at = 0  # the number of the step at hand
        self.values: list[Any] = [None] * len(plan.things)
        self.values[EDGE] = blank_edge(exact, plan)
        self.steps: list[Step] = []
        self.conditions: list[Condition] = []
        self.notes: list[tuple[int, str]] = []
        self.wrongs: list[Diagnostic] = []
        self.beyond: list[Diagnostic] = []
        self.missing: set[int] = set()
        self.partial = False
        self.given_up: Mapping[int, str] = {}

    def settle(self) -> Settled:
        for step in self.plan.steps:
            if self.missing.intersection(needs_to_settle(step)):
                self.missing.update(step.outputs)
                continue
            self.at = step.number
            if self.watch is not None:
                self.watch(step)
            try:
                if step.number in self.given_up:
                    raise LimitMet(self.given_up[step.number])
                self.steps.append(self._step(step))
            except Wrong as stop:
                self._note(step, stop)
            except Tie as tie:
                low, high = float(tie.lower), float(tie.upper)
                self._note(step, Wrong("R208", low=low, high=high))
            except NotANumber as none:
                self._note(step, Wrong("R201", reason=sentence_of(none)))
            except LimitMet as limit:
                stop = Wrong("R209", reason=limit.reason)
                self._note(step, stop, self.beyond)
        if self.wrongs or (self.beyond and not self.partial):
            raise Mistakes(once_each([*self.wrongs, *self.beyond]))
        plan = replace(self.plan, steps=tuple(self.steps))
        beyond = tuple(once_each(self.beyond))
        return Settled(plan, tuple(self.values), tuple(self.conditions), tuple(self.notes), beyond, frozenset(self.missing))

    def _note(self, step: Step, stop: Wrong, into: list[Diagnostic] | None = None) -> None:
        self.missing.update(step.outputs)
        span = stop.span or step.span
        lines = self.plan.lines
        text = lines[span.line - 1] if 0 < span.line <= len(lines) else ""
        (self.wrongs if into is None else into).append(Diagnostic(stop.code, stop.message, stop.hint, span, text))

    # --- one step --------------------------------------------------------------------------------

    def _step(self, step: Step) -> Step:
        phrase = step.phrase
        if phrase.option("free"):
            step = replace(step, drawn=self._drawn(step))
        things = [argument_value(self.exact, argument, self.values) for argument in step.arguments]
        bench = Bench(self.exact, self.plan.settings, self.values[EDGE], step.key, step.drawn)
        if phrase.option("on") and self._sign(left_of(things[1], things[0])) != 0:
            raise Wrong("R210")
        if phrase.sides:
            step = self._choose(step, bench, things)
        elif phrase.option("meets") and any(isinstance(thing, Board) for thing in things):
            step = replace(step, side=self._board_sides(things))
        try:
            made = make(step, self.plan, self.exact, self.values, step.side)
        except NotANumber as none:
            if phrase.option("meets"):
                raise Wrong("R201.reach", reason=sentence_of(none), hint=reach_hint(self.exact, things)) from none
            raise
        self._check_ends(step, made, things)
        self._check_limits(step, bench, made, things)
        outputs = made if len(step.outputs) > 1 or phrase.many == 0 else (made,)
        if phrase.gives == "row":
            outputs = (made,)
        for index, one in zip(step.outputs, outputs, strict=True):
            self._check_made(step, index, one)
            self.values[index] = one
        self._tell_order(step)
        return step

    def _sign(self, number: Number, words: str = "") -> int:
        """Return a sign, and keep that it was relied on; `words` say what it means at the bench."""
        sign = self.exact.sign(number)
        if sign is None:
            raise LimitMet(say("limit.example"))
        self.conditions.append(Condition(self.at, number, sign, words))
        return sign

    def _drawn(self, step: Step) -> Fraction | tuple[Fraction, ...]:
        """Return the drawn example of a free choice, checked against its own bound."""
        kind = step.phrase.option("free")
        say = step.say
        chosen = self.choices.get(step.key)
        if chosen is not None:
            return self._free_length(step, self.exact.rational(chosen)) if kind == "length" else chosen  # type: ignore[arg-type]
        if kind == "on":
            kind = "part" if isinstance(self.values[step.arguments[0]], Line) else "direction"  # type: ignore[index]
        if kind == "direction":
            if say is not None and not isinstance(say.value, Angle):
                raise Wrong("R220", say.span)
            turns = Fraction(step.phrase.option("default")) if say is None else say.value.turns  # type: ignore[union-attr]
            if is_constructible(turns):
                return turns
            # a rational point of the circle beside it: t = tan(angle / 2), to a thousandth
            return (Fraction(math.tan(float(turns % 1) * math.pi)).limit_denominator(1000),)
        if kind == "place":
            if say is None:
                raise Wrong("R221")
            if not isinstance(say.value, tuple):
                raise Wrong("R222", say.span)
            return say.value
        if say is not None and not isinstance(say.value, PlannedLength):
            raise Wrong("R223", say.span)
        said = None if say is None else length_value(self.exact, say.value, self.values)  # type: ignore[arg-type]
        if kind == "part":
            line = self.values[step.arguments[0]]  # type: ignore[index]
            if said is None:
                return Fraction(step.phrase.option("default"))
            whole = self.exact.sqrt(line.dx * line.dx + line.dy * line.dy)
            return self._rounded(said / whole, 10_000)
        return self._free_length(step, said)

    def _free_length(self, step: Step, said: Number | None) -> Fraction:
        bound = step.bound
        limit = None if bound is None or bound.length is None else length_value(self.exact, bound.length, self.values)
        if said is None:
            if limit is None:
                return Fraction(step.phrase.option("default"))
            assert bound is not None
            said = self._more_than(limit) if bound.side == "over" else limit * 2 / 3
        length = self._rounded(said, 100)
        if limit is not None:
            assert bound is not None
            over = self.exact.letter(length_letter(step.key), length) - limit
            over = over if bound.side == "over" else -over
            if self._sign(over, say(f"condition.opening.{bound.side}", name=step.key, line=step.span.line)) <= 0:
                span = step.say.span if step.say else step.span
                raise Wrong("R224.over" if bound.side == "over" else "R224.under", span, limit=self._mm(limit), length=f"{float(length):g} mm")
        if length <= 0:
            raise Wrong("R225")
        return length

    def _more_than(self, limit: Number) -> Number:
        """Return what is drawn for "over": where that is half of A B, two arcs cross all but square, no farther out than A and B."""
        said, reach = limit * 7 / 5, self.exact.rational(self.plan.settings.compass_reach)
        too_far = self.exact.sign(reach - said) == -1 and self.exact.sign(reach - limit) == 1
        return (limit + reach) / 2 if too_far else said

    def _rounded(self, value: Number, parts: int) -> Fraction:
        """Return a drawn example as a fraction: itself where it is one, else to the nearest 1/`parts` mm.

        It is only where the picture shows a free choice, so any near value will do.
        """
        number = self.exact
        low = Fraction(self.exact.to_float(value)).limit_denominator(10**9)
        if self.exact.sign(value - number.rational(low)) == 0:
            return low
        return Fraction(round(low * parts), parts)

    def _mm(self, value: Number) -> str:
        return f"{self.exact.to_float(value):.4g} mm"

    # --- choosing --------------------------------------------------------------------------------

    def _choose(self, step: Step, bench: Bench, things: list[Any]) -> Step:
        """Return the step with its side: the one that fits the recipe's words."""
        phrase = step.phrase
        sides = meeting_sides(things[0], things[1]) if phrase.option("meets") else (-1, 1)
        candidates: list[tuple[int, Any, Point]] = []
        lost: NotANumber | None = None
        beyond = False
        for side in sides:
            try:
                made = make(step, self.plan, self.exact, self.values, side)
            except NotANumber as none:
                lost = none
                continue
            fits = phrase.option("fits")
            if fits is not None:
                counted = {"count": len(step.outputs)} if phrase.many == 0 else {}
                if any(self._sign(number, say("condition.side", line=step.span.line)) <= 0 for number in fits(bench, made, *things, side=side, **counted)):
                    continue
            starts = phrase.option("starts")
            if starts is not None and not self._within(starts(bench, *things, side=side), things[1:], side):
                beyond = True
                continue
            if phrase.option("meets") and not self._within(made, things, side):
                beyond = True
                continue
            shows = phrase.option("shows")
            point = shows(bench, made, *things) if shows else made
            if isinstance(point, Point) and any(self._same(point, other) for _, _, other in candidates if isinstance(other, Point)):
                continue  # touching: one mark
            candidates.append((side, made, point))
        if not candidates:
            if beyond:
                raise Wrong("R202")
            if lost is not None:
                raise Wrong("R201.reach", reason=sentence_of(lost), hint=reach_hint(self.exact, things))
            raise Wrong("R203")
        both = candidates
        idle = []
        for pick in sorted(step.picks, key=lambda one: one.how in ("nearest", "farthest")):
            asked = candidates if pick.how in ("nearest", "farthest") else both
            if len(asked) < 2 and pick.how in ("nearest", "farthest", "away", "other"):
                idle.append(pick.how)
            kept = self._picked(step, pick, asked)
            candidates = [one for one in candidates if one in kept]
            if not candidates:
                raise Wrong("R204", pick.span, asked=said_of(self.plan, pick))
        if len(candidates) > 1:
            if step.picks:
                raise Wrong("R205", step.picks[-1].span)
            raise Wrong("R206")
        if step.number in self.turned:
            candidates = [one for one in both if one[0] != candidates[0][0]]
            if not candidates:
                raise Wrong("R207")
        return replace(step, side=candidates[0][0], idle=tuple(idle))

    def _board_sides(self, things: list[Any]) -> int:
        """Return the two sides of a board that a line meets, in the line's order, as one number: 1 + 4·first + second."""
        line = next((thing for thing in things[:2] if isinstance(thing, Line)), None)
        found: list[tuple[int, Point]] = []
        for side in meeting_sides(*things[:2]) if line is not None else ():
            try:
                point = meet(self.exact, things[0], things[1], side)
            except NotANumber:
                continue  # it runs side by side with this one
            if self._within(point, things, side) and not any(self._same(point, other) for _, other in found):
                found.append((side, point))
        if line is None or len(found) != 2:
            raise Wrong("R202.board")
        if self._sign(ahead(found[0][1], line, found[1][1])) > 0:
            found.reverse()
        return 1 + 4 * found[0][0] + found[1][0]

    def _within(self, made: Any, things: list[Any], side: int) -> bool:
        if not isinstance(made, Point):
            return True
        for thing in things[:2]:
            on = board_side(thing, side) if isinstance(thing, Board) else thing
            if any(self._sign(number, say("condition.before_ends")) < 0 for number in beyond_ends(made, on)):
                return False
        return True

    def _same(self, a: Point, b: Point) -> bool:
        return self._sign(a.x - b.x) == 0 and self._sign(a.y - b.y) == 0

    def _picked(self, step: Step, pick: PlannedPick, candidates: list[tuple[int, Any, Point]]) -> list[tuple[int, Any, Point]]:
        things = [self.values[index] for index in pick.things]
        if pick.how in ("nearest", "farthest"):
            if len(candidates) < 2:
                return candidates
            first, second = candidates
            number = nearer(first[2], second[2], things[0])
            sign = self._sign(number, say("condition.marked", which=pick.how, line=step.span.line))
            if sign == 0:
                raise Wrong("R205.equally_far", pick.span, mark=self.plan.things[pick.things[0]].name)
            return [first if (sign > 0) == (pick.how == "nearest") else second]
        if pick.how == "other" and not any(self._same(point, things[0]) for _, _, point in candidates):
            name = self.plan.things[pick.things[0]].name
            raise Wrong("R207.no_crossing", pick.span, name=name)
        kept = []
        for candidate in candidates:
            number, wanted = self._asked(pick, things, candidate[2], candidates)
            sign = self._sign(number, say("condition.marked", which=said_of(self.plan, pick), line=step.span.line))
            if pick.how == "away" and sign == 0 and len(candidates) > 1:
                raise Wrong("R205.equally_far", pick.span, mark=self.plan.things[pick.things[0]].name)
            if pick.how == "other":
                if not self._same(candidate[2], things[0]):
                    kept.append(candidate)
            elif sign == wanted:
                kept.append(candidate)
        return kept

    def _asked(self, pick: PlannedPick, things: list[Any], point: Point, candidates: list[Any]) -> tuple[Number, int]:
        """Return the number that a pick asks about, and the sign it must have."""
        if pick.how == "side":
            line = things[1] if len(things) == 2 else Line(things[1].x, things[1].y, things[2].x - things[1].x, things[2].y - things[1].y)
            return left_of(point, line) * left_of(things[0], line), 1
        if pick.how == "inside":
            if isinstance(things[0], Circle):
                return inside(point, things[0]), 1
            return self._smallest(on_blank(point, things[0])), 1
        if pick.how == "outside":
            return inside(point, things[0]), -1
        if pick.how == "away":
            others = [other for _, _, other in candidates if other is not point]
            # with both candidates there: the farther one; with one left it stands
            return (nearer(point, others[0], things[0]), -1) if others else (self.exact.rational(1), 1)
        return square_distance(point, things[0]), 1

    def _smallest(self, numbers: Sequence[Number]) -> Number:
        """Return the smallest of some numbers, by their exact differences."""
        least = numbers[0]
        for number in numbers[1:]:
            if self._sign(number - least, say("condition.nearest_side")) < 0:
                least = number
        return least

    # --- checks ----------------------------------------------------------------------------------

    def _check_ends(self, step: Step, made: Any, things: list[Any]) -> None:
        if not step.phrase.option("meets") or step.phrase.many != 2:
            return
        if self._same(*made):
            raise Wrong("R211")
        if step.side:
            return  # the two sides of a board were chosen by their ends
        for one, side in zip(made, (-1, 1), strict=True):
            if not self._within(one, things, side):
                raise Wrong("R202.one_of_two")

    def _check_limits(self, step: Step, bench: Bench, made: Any, things: list[Any]) -> None:
        limits: Callable[..., Sequence[tuple[Number, Limit]]] | None = step.phrase.option("limits")
        for number, limit in limits(bench, made, *things) if limits else ():
            if self._sign(number, _not_stopped(step, "R212", limit)) < 0:
                raise Wrong(f"R212.{limit.wording}", **limit.values)
        apart: Callable[..., Sequence[tuple[Number, Limit]]] | None = step.phrase.option("apart")
        for number, limit in apart(bench, made, *things) if apart else ():
            if self._sign(number, _not_stopped(step, "R216", limit)) == 0:
                raise Wrong(f"R216.{limit.wording}", **limit.values)

    def _check_made(self, step: Step, index: int, made: Any) -> None:
        name = self.plan.things[index].name
        if isinstance(made, Point):
            if any(self._sign(number, say("condition.on_wood", name=name)) < 0 for number in on_blank(made, self.values[EDGE])):
                free = self._unsaid(step)
                if free is None:
                    raise Wrong("R213", name=name)
                raise Wrong("R213.unsaid", name=name, opening=free.key, line=free.span.line, length=f"{float(free.drawn):.4g} mm")  # type: ignore[arg-type]
        elif isinstance(made, Line):
            if self._sign(made.dx * made.dx + made.dy * made.dy, say("condition.two_marks", name=name)) == 0:
                raise Wrong("R214", name=name)
        elif isinstance(made, Circle) and self._sign(made.square, say("condition.keeps_opening", name=name)) <= 0:
            raise Wrong("R215", name=name)

    def _unsaid(self, step: Step) -> Step | None:
        """Return the last free opening behind a step whose drawn example the recipe does not say."""
        behind = set(needs_to_settle(step))
        for one in reversed(self.steps):
            if behind.intersection(one.outputs):
                if one.phrase.option("free") == "length" and one.say is None:
                    return one
                behind.update(needs_to_settle(one))
        return None

    def _tell_order(self, step: Step) -> None:
        """Note where each of two crossings came out, for the report."""
        if not step.phrase.option("meets"):
            return
        first, second = (self.values[index] for index in step.arguments[:2])  # type: ignore[index]
        words = ("left", "right") if isinstance(first, Circle) and isinstance(second, Circle) else ("first", "second")
        if len(step.outputs) == 2:
            self.notes += [(step.outputs[0], words[0]), (step.outputs[1], words[1])]
        elif step.side:
            self.notes.append((step.outputs[0], words[0] if step.side < 0 else words[1]))


def _not_stopped(step: Step, code: str, limit: Limit) -> str:
    """Return the condition that a bench's limit is not met, its lengths in the reader's unit."""
    return tell("condition.not_stopped", line=step.span.line, limit=tell(f"diagnostic.{code}.{limit.wording}.message", **limit.values))
