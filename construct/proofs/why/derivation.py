"""A claim's derivation: the facts of its own steps, closed under the rules until the claim is among them.

Two things are settled apart, as lemmas, because what they are made of is of no
use to the rest: that a finder's line passes the middle, and what a method's own
marks show about the marks that it was given and gives.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any

from construct.claims._slice import slice_of
from construct.geometry import Point, to_floats
from construct.number_systems.float import FloatSystem
from construct.plan import EDGE, Plan, PlannedClaim, Step, things_of
from construct.proofs.why import drawn
from construct.proofs.why.because import Because, Fact, Term
from construct.proofs.why.drawing import Drawing
from construct.proofs.why.goals import Asked, goals, has_goals, reach
from construct.proofs.why.known import Known
from construct.proofs.why.rules import RULES
from construct.proofs.why.search import Search
from construct.replay import Settled

MOST_MARKS = 48
"""A claim that rests on more marks than this is not searched for a why: it would take too long."""
MOST_BEFORE = 24
"""Nor is everything done before it where that made more marks: few claims want it, and it takes longest."""
_PRODUCT = "times"


class Derivations:
    """Derivations of the claims of one settled plan; work that they share is done once.

    exact, floats: the drawn example, to decide by and to search by.
    """

    def __init__(self, settled: Settled, exact: Any) -> None:
        self.settled = settled
        self.plan: Plan = settled.plan
        self._hidden: dict[int, Point] = {}
        self._seen: dict[int, Any] = {}
        self.exact = Drawing(exact, lambda index: settled.values[index], self._hidden_mark)
        self.floats = Drawing(FloatSystem(), self._float, lambda mark: self._float(mark))
        self.false: list[Because] = []
        self._bits: dict[Fact, int] = {}
        self._searches: dict[tuple[tuple[int, ...], bool], Search] = {}
        self._lemmas: dict[tuple[int, ...], list[Because]] = {}

    def _hidden_mark(self, mark: int) -> Point:
        if mark not in self._hidden:
            self._hidden[mark] = drawn.hidden_mark(mark, self.settled, self.exact.numbers)
        return self._hidden[mark]

    def _float(self, index: int) -> Any:
        if index not in self._seen:
            value = self.settled.values[index] if index >= 0 else self._hidden_mark(index)
            self._seen[index] = to_floats(self.exact.numbers, value)
        return self._seen[index]

    def find(self, claim: PlannedClaim) -> tuple[Because, Known] | None:
        """Return why a claim holds, and what was known then; None where nothing was found.

        Its own steps are searched first, then everything done before it.
        """
        if claim.within is not None or not has_goals(claim):
            return None
        own = slice_of(self.plan, claim)
        before = tuple(step for step in self.plan.steps if step.number < claim.after)
        for steps in (own, before) if len(before) > len(own) else (own,):
            marks = sum(self.plan.things[index].kind == "mark" for step in steps for index in step.outputs)
            if marks > (MOST_MARKS if steps is own else MOST_BEFORE):
                return None
            found = self._search(steps, claim)
            if found is not None:
                return found
        return None

    def refused(self) -> list[Because]:
        """Return what was derived against something known; with sound rules there is nothing."""
        return [because for search in self._searches.values() for because in search.known.refused]

    def _search(self, steps: Sequence[Step], claim: PlannedClaim) -> tuple[Because, Known] | None:
        products = f" {_PRODUCT} " in claim.phrase.text
        key = tuple(step.number for step in steps), products
        if key not in self._searches:
            self._searches[key] = self._begun(steps, products=products)
        search = self._searches[key]
        asked = Asked(search.known, self.floats, lambda index: self.plan.things[index].kind)

        def reached() -> Because | None:
            ways = (reach(goal, search.known) for goal in goals(claim, asked))
            return min((way for way in ways if way is not None), key=lambda way: way.cost, default=None)

        found = search.run(reached)
        self.false += search.false
        return None if found is None else (found, search.known)

    def _begun(self, steps: Sequence[Step], *, products: bool) -> Search:
        search = Search(self.floats, RULES, products=products, bits=self._bits)
        for together in self._parts(steps):
            if len(together) == 1 and not self._by_finder(together[0]):
                self._draw(search, together)
                continue
            for because in self._lemma(together):
                search.adopt(because)
        return search

    def _draw(self, search: Search, steps: Sequence[Step]) -> None:
        for fact, line in drawn.facts(self.settled, steps):
            search.draw(fact, line)

    def _by_finder(self, step: Step) -> bool:
        return step.phrase.text.startswith("line by centre finder") and drawn.is_round(self.settled)

    def _parts(self, steps: Sequence[Step]) -> Iterator[tuple[Step, ...]]:
        """Yield steps one by one, but those of one use of a method that gives marks together."""
        for key, rows in groupby(steps, key=self._use):
            together = tuple(rows)
            given = [self.plan.things[index] for step in together for index in step.outputs if ": " not in self.plan.things[index].name]
            if key and given and all(thing.kind == "mark" for thing in given):
                yield together
            else:
                yield from ((step,) for step in together)

    def _use(self, step: Step) -> str:
        """Return which use of a method a step belongs to; "" for none."""
        return step.key.rpartition(": ")[0]

    def _lemma(self, steps: tuple[Step, ...]) -> list[Because]:
        key = tuple(step.number for step in steps)
        if key not in self._lemmas:
            search = Search(self.floats, RULES, bits=self._bits)
            self._draw(search, steps)
            if self._by_finder(steps[0]):
                (line,) = steps[0].outputs
                goal: Fact = "on", drawn.MIDDLE, ("line", line)
                found = search.run(lambda: search.known.because(goal) if search.known.has(goal) else None)
                kept = [("middle", drawn.MIDDLE, drawn.RIM)] if found is not None else []
                self._lemmas[key] = [*([found] if found else []), *_about(search, {line, EDGE}, kept)]
            else:
                search.run(lambda: None)
                inner = {index for step in steps for index in step.outputs if ": " in self.plan.things[index].name}
                used = {index for step in steps for argument in step.arguments for index in things_of(argument)}
                outer = used.union(*(step.outputs for step in steps)) - inner
                self._lemmas[key] = _about(search, outer, [])
            self.false += search.false
        return self._lemmas[key]


def _about(search: Search, things: set[int], kept: list[Fact]) -> list[Because]:
    """Return what a search knows about some things alone, and the facts `kept` besides."""
    known = search.known
    found = [known.because(fact) for fact in kept]

    def about(term: Term) -> bool:
        return term in things if isinstance(term, int) else all(about(part) for part in term[1:] if isinstance(part, (int, tuple)))

    for name, links in known.links.items():
        for members in links.classes():
            told = sorted((node for node in members if about(node)), key=repr)
            for node in told[1:]:
                relation = links.relation(told[0], node)
                if relation is not None:
                    found.append(known.because((name, told[0], node) if name == "same" else (name, told[0], node, relation)))
    for curve in known.on:
        if about(curve):
            found += [because for mark, because in known.on[curve].items() if mark in things and because.rule != "named"]
    for name in known.tables:
        found += [known.because((name, *row)) for row in known.rows(name) if all(about(term) for term in row)]
    return found
