"""Forward chaining to a fixed point: every rule on everything known, round after round, with why.

Method: a deductive database (S.-C. Chou, X.-S. Gao, J.-Z. Zhang, J. Automated
Reasoning 25 (2000) 219-246), here with relations that are passed on kept as links.
Each fact keeps the first derivation found, and among those of one round the one
that takes the fewest steps to tell.  Floats steer: what looks false or cannot be
seen is not tried.  Nothing is believed for it; see `checked`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from typing import TypeVar

from construct.proofs.why.because import TURN, Because, Fact
from construct.proofs.why.drawing import Drawing, looks_true, seems
from construct.proofs.why.known import LINKED, Known, plain
from construct.proofs.why.patterns import Binding, Pattern, Rule, Seen, canonical

MOST_ROUNDS = 12
MOST_FACTS = 3000
"""Where a search stops that does not come to an end by itself: a limit on patience, not on truth."""
MOST_FOR_LATE = 1000
"""With more facts than this the late rules are left out."""
MOST_TRIED = 6
"""How many derivations of one fact in one round are weighed."""


T = TypeVar("T")

Part = Pattern | Seen | tuple[str, str]
"""A step of matching a rule: a pattern, something seen, or two letters of which the smaller comes first."""


class Search:
    """Facts closed under rules.

    false: derivations of what looks false, which no sound rule gives: the tests find none.
    """

    def __init__(self, floats: Drawing, rules: Sequence[Rule], *, products: bool = False, bits: dict[Fact, int] | None = None) -> None:
        """products: also look for equal products of lengths, which are many and seldom asked for.  bits: see `Known`."""
        self.floats = floats
        rules = [one for one in rules if products or one.then[0].relation != "product"]
        self._apart: dict[tuple[int, int], bool] = {}
        self.known = Known(self._are_apart, bits)
        self.false: list[Because] = []
        self._plans = [(rule, _schedule(rule)) for rule in rules]
        self._count = 0
        self._rounds = 0
        self._closed = False
        self._late = False
        self._tried: dict[str, tuple[int | None, ...]] = {}

    def _are_apart(self, a: int, b: int) -> bool:
        key = (a, b) if a < b else (b, a)
        if key not in self._apart:
            self._apart[key] = seems(self.floats, "apart", key)
        return self._apart[key]

    def draw(self, fact: Fact, line: int) -> None:
        """Enter what a bench action says."""
        self._enter(Because(canonical(fact), "drawn", line=line))

    def adopt(self, because: Because) -> None:
        """Enter what another search has shown."""
        self._enter(because)

    def run(self, reached: Callable[[], T | None]) -> T | None:
        """Close what is known under the rules, until `reached` finds something, nothing new follows, or a limit is met."""
        while not self._closed:
            found = reached()
            if found is not None:
                return found
            more = self._step() or self._turn_late()
            self._closed = not more or self._rounds >= MOST_ROUNDS or self._count > MOST_FACTS
        return reached()

    def _turn_late(self) -> bool:
        """Let the late rules in; False where they are in already, or would say too much."""
        turned, self._late = not self._late and self._count <= MOST_FOR_LATE, True
        return turned

    def _step(self) -> bool:
        """Go one round; False where it found nothing new."""
        self._rounds += 1
        found: dict[Fact, list[Because]] = {}
        for because in self._round():
            rows = found.setdefault(plain(because.fact), [])
            if len(rows) < MOST_TRIED:
                rows.append(because)
        for rows in sorted(found.values(), key=lambda rows: min(row.cost for row in rows)):
            best = min(rows, key=lambda row: row.cost)
            # what others of this round show by a detour is entered all the same where this way is shorter to tell
            if not self.known.has(best.fact) or (best.fact[0] in LINKED and best.cost < self.known.because(best.fact).cost):
                self._enter(best)
        joined = self.known.join_circles()
        return bool(found) or joined

    def _enter(self, because: Because) -> None:
        if because.rule != "drawn" and not looks_true(self.floats, because.fact):
            self.false.append(because)
            return
        self._count += not self.known.has(because.fact)
        self.known.enter(because)

    def _round(self) -> Iterator[Because]:
        for rule, plan in self._plans:
            if rule.late and not (self._late and self._count <= MOST_FOR_LATE):
                continue
            versions = tuple(self.known.versions.get(pattern.relation) for pattern in rule.given)
            if self._tried.get(rule.key) == versions:
                continue
            self._tried[rule.key] = versions
            tried: dict[Fact, int] = {}
            for bound in self._matches(plan, {}, 0):
                for then in rule.then:
                    fact = then.fact(bound)
                    if _says_nothing(fact) or self.known.has(fact):
                        continue
                    same = plain(fact)
                    tried[same] = tried.get(same, 0) + 1
                    if tried[same] <= MOST_TRIED:
                        yield self._because(rule, fact, bound)
        yield from self._same_rays()
        yield from self._turns()

    def _matches(self, plan: Sequence[Part], bound: Binding, at: int) -> Iterator[Binding]:
        if at == len(plan):
            yield bound
            return
        part = plan[at]
        if isinstance(part, tuple):
            if bound[part[0]] < bound[part[1]]:
                yield from self._matches(plan, bound, at + 1)
            return
        if isinstance(part, Seen):
            terms = part.terms(bound)
            if terms is not None and seems(self.floats, part.how, terms):
                yield from self._matches(plan, bound, at + 1)
            return
        for more in part.matches(bound, self.known):
            yield from self._matches(plan, more, at + 1)

    def _because(self, rule: Rule, fact: Fact, bound: Binding) -> Because:
        premises = tuple(self.known.because(pattern.fact(bound)) for pattern in rule.given)
        return self._told(rule.key, fact, premises, bound, quiet=rule.quiet)

    def _told(self, key: str, fact: Fact, premises: tuple[Because, ...], bound: Binding, *, quiet: bool) -> Because:
        mask = 0 if quiet else self.known.bit(plain(fact))
        for premise in premises:
            mask |= premise.mask
        return Because(fact, key, premises, bound, mask=mask, told=not quiet)

    def _same_rays(self) -> Iterator[Because]:
        """An angle is the same whichever marks of its two legs name it."""
        known, links = self.known, self.known.links["angle"]
        for members in list(links.classes()):
            for node in members:
                if node == TURN:
                    continue
                _, corner, *ends = node
                for end, other in (ends, ends[::-1]):
                    line = known.line(corner, end)
                    for mark in list(known.marks_on(line)):
                        if mark in (corner, end) or not self._are_apart(mark, corner):
                            continue
                        if not seems(self.floats, "beyond", (corner, end, mark)):
                            continue
                        same = "angle", corner, min(mark, other), max(mark, other)
                        if links.relation(node, same) is None and self._are_apart(mark, end):
                            premises = (known.because(("on", mark, line)),)
                            bound = {"O": corner, "A": end, "D": mark, "B": other}
                            yield self._told("same-ray", ("angle", node, same, Fraction(1)), premises, bound, quiet=True)

    def _turns(self) -> Iterator[Because]:
        """An angle that is a known part of a turn is a turn one way round or the other."""
        known = self.known
        for node in known.links["angle"].alike(TURN):
            if node == TURN:
                continue
            part = known.links["angle"].relation(node, TURN)
            _, corner, a, b = node
            if not part or part >= Fraction(1, 2):
                continue
            if not seems(self.floats, "left", (corner, a, b)):
                a, b = b, a
            fact = "turn", ("ray", corner, b), ("ray", corner, a), part
            if not known.has(fact):
                premises = (known.because(("angle", node, TURN, part)),)
                yield self._told("way-round", fact, premises, {"O": corner, "A": a, "B": b}, quiet=True)


def _schedule(rule: Rule) -> tuple[Part, ...]:
    """Return a rule's patterns in order, each thing that is seen as soon as its letters are bound."""
    plan: list[Part] = []
    letters: set[str] = set()
    waiting = list(rule.seen)
    swaps = list(rule.either)
    for pattern in rule.given:
        plan.append(pattern)
        for slot in pattern.slots:
            letters.update(slot.letters, slot.inner.letters if slot.inner else ())
        ready = [seen for seen in waiting if all(letter in letters for slot in seen.slots for letter in slot.letters)]
        plan += ready
        waiting = [seen for seen in waiting if seen not in ready]
        plan[len(plan) - len(ready) : len(plan) - len(ready)] = [two for two in swaps if letters.issuperset(two)]
        swaps = [two for two in swaps if not letters.issuperset(two)]
    return (*plan, *waiting)


def _says_nothing(fact: Fact) -> bool:
    match fact:
        case (name, one, other, *_) if name in LINKED:
            return bool(one == other)
        case ("is", one, other):
            return bool(one == other)
        case ("product", one, other, *rest):
            return sorted((one, other)) == sorted(rest)
    return False
