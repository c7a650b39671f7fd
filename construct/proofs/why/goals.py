"""What a claim asks for, as facts; how its parts are put together is said by the sentence of its kind.

A claim of a kind that is not here, or that only orders or bounds things, has no
why: the certificate stands for it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Any

from construct.claims import Senseless, ratio_value
from construct.geometry import dot, towards
from construct.number_systems.exact import ExactSystem
from construct.plan import PlannedClaim, PlannedLength
from construct.proofs.why.because import TURN, Because, Fact, Term, angle, between, pair
from construct.proofs.why.drawing import Drawing
from construct.proofs.why.drawn import MIDDLE
from construct.proofs.why.known import Known
from construct.proofs.why.patterns import canonical

_QUARTER = Fraction(1, 4)


@dataclass(frozen=True, slots=True)
class Goal:
    """What a claim comes to.

    parts: facts that together are the claim.  key: of the sentence that puts several together, "" for one alone.
    slots: what that sentence speaks of.
    """

    parts: tuple[Fact, ...]
    key: str = ""
    slots: tuple[tuple[str, Any], ...] = ()


class Asked:
    """A claim's arguments, with what is known and drawn."""

    def __init__(self, known: Known, drawing: Drawing, kinds: Callable[[int], str]) -> None:
        self.known = known
        self.drawing = drawing
        self.kinds = kinds

    def curve(self, index: int) -> Term:
        """Return the term of a line or circle that the claim names."""
        curve = ("line" if self.kinds(index) == "line" else "circle", index)
        self.known.meet(curve)
        return curve

    def middles(self, circle: Term) -> list[int]:
        """Return the marks known to be a circle's middle."""
        return [mark for mark, one in self.known.rows("middle") if one == circle]


def goals(claim: PlannedClaim, asked: Asked) -> Iterator[Goal]:
    """Yield every way to reach a claim, the plainest first."""
    yield from _GOALS[claim.phrase.text](asked, *claim.arguments)


def has_goals(claim: PlannedClaim) -> bool:
    """Tell whether claims of this kind can have a why at all."""
    return claim.phrase.text in _GOALS


def _on(asked: Asked, mark: int, thing: int) -> Iterator[Goal]:
    yield Goal((("on", mark, asked.curve(thing)),))


def _centre_of_plate(asked: Asked, mark: int) -> Iterator[Goal]:
    yield Goal((("is", *sorted((mark, MIDDLE))),))


def _centre_of(asked: Asked, mark: int, circle: int) -> Iterator[Goal]:
    yield Goal((("middle", mark, asked.curve(circle)),))
    for middle in asked.middles(asked.curve(circle)):
        yield Goal((("is", *sorted((mark, middle))),))


def _direction(part: Fraction) -> Callable[..., Iterator[Goal]]:
    def make(asked: Asked, one: int, other: int) -> Iterator[Goal]:
        yield Goal((("direction", asked.curve(one), asked.curve(other), part),))

    return make


def _equal(asked: Asked, a: int, b: int, d: int, e: int) -> Iterator[Goal]:
    yield Goal((("equal", between(a, b), between(d, e), Fraction(1)),))


def _part(asked: Asked, a: int, b: int, ratio: Any, d: int, e: int) -> Iterator[Goal]:
    part = _ratio(ratio)
    if part is not None and part > 0:
        yield Goal((("equal", between(a, b), between(d, e), part),))


def _ratio(ratio: Any) -> Fraction | None:
    exact = ExactSystem()
    try:
        return exact.is_rational(ratio_value(exact, ratio))
    except Senseless:
        return None


def _long(asked: Asked, a: int, b: int, length: Any) -> Iterator[Goal]:
    if isinstance(length, PlannedLength) and length.op == "mm" and length.value > 0:
        for members in asked.known.links["equal"].classes():
            for node in members:
                if node[0] == "mm" and asked.known.links["equal"].relation(between(a, b), node) is not None:
                    part = asked.known.links["equal"].relation(between(a, b), node)
                    if part is not None and part * node[1] == length.value:
                        yield Goal((("equal", between(a, b), node, part),))


def _products(asked: Asked, *marks: int) -> Iterator[Goal]:
    lengths = [between(*marks[at : at + 2]) for at in range(0, 8, 2)]
    yield Goal((("product", *lengths),))


def _halfway(asked: Asked, mark: int, a: int, b: int) -> Iterator[Goal]:
    yield Goal((("halves", mark, *sorted((a, b))),))


def _angles(asked: Asked, a: int, o: int, b: int, d: int, p: int, e: int) -> Iterator[Goal]:
    yield Goal((("angle", angle(a, o, b), angle(d, p, e), Fraction(1)),))
    right = [("direction", pair(*one), pair(*other), _QUARTER) for one, other in (((o, a), (o, b)), ((p, d), (p, e)))]
    yield Goal(tuple(right), "right-angles", (("A", a), ("O", o), ("B", b), ("D", d), ("P", p), ("E", e)))


def _part_of_angle(asked: Asked, a: int, o: int, b: int, ratio: Any, d: int, p: int, e: int) -> Iterator[Goal]:
    part = _ratio(ratio)
    if part is not None and part > 0:
        yield Goal((("angle", angle(a, o, b), angle(d, p, e), part),))


def _angle(asked: Asked, a: int, o: int, b: int, turns: Fraction) -> Iterator[Goal]:
    yield Goal((("angle", angle(a, o, b), TURN, turns),))
    slots = (("A", a), ("O", o), ("B", b), ("degrees", turns * 360))
    if turns == _QUARTER:
        yield Goal((("direction", pair(o, a), pair(o, b), _QUARTER),), "right-angle", slots)
    relation = asked.known.links["turn"].relation(("ray", o, b), ("ray", o, a))
    if relation is not None and min(relation, 1 - relation) == turns:
        yield Goal((("turn", ("ray", o, b), ("ray", o, a), relation),), "angle-of-turn", slots)


def _between_lines(asked: Asked, one: int, other: int, turns: Fraction) -> Iterator[Goal]:
    first, second = asked.curve(one), asked.curve(other)
    relation = asked.known.links["direction"].relation(first, second)
    if relation is not None and turns in (relation, Fraction(1, 2) - relation):
        slots = (("g", first), ("k", second), ("degrees", turns * 360))
        yield Goal((("direction", first, second, relation),), "angle-of-lines", slots)


def _in_line(asked: Asked, marks: tuple[int, ...]) -> Iterator[Goal]:
    line = asked.known.line(marks[0], marks[1])
    yield Goal(tuple(("on", mark, line) for mark in marks[2:]), "in-line", (("marks", marks),))


def _on_one_circle(asked: Asked, marks: tuple[int, ...]) -> Iterator[Goal]:
    for circle in asked.known.curves(round_=True):
        if set(marks) <= asked.known.marks_on(circle).keys():
            yield Goal(tuple(("on", mark, circle) for mark in marks), "one-circle", (("marks", marks), ("c", circle)))


def _meet(asked: Asked, lines: tuple[int, ...]) -> Iterator[Goal]:
    drawn = [asked.curve(line) for line in lines]
    for mark in sorted(set.intersection(*(set(asked.known.marks_on(line)) for line in drawn))):
        yield Goal(tuple(("on", mark, line) for line in drawn), "one-mark", (("lines", tuple(drawn)), ("X", mark)))


def _touches(asked: Asked, one: int, other: int) -> Iterator[Goal]:
    first, second = asked.curve(one), asked.curve(other)
    alike = {*asked.known.links["same"].alike(first), *asked.known.links["same"].alike(second)}
    for row in asked.known.rows("touches"):
        if set(row[:2]) <= alike and len(set(row[:2])) == 2:
            yield Goal((("touches", *row),))


def _quarter(asked: Asked, g: int, k: int, rim: int) -> Iterator[Goal]:
    first, second, circle = asked.curve(g), asked.curve(k), asked.curve(rim)
    for middle in asked.middles(circle):
        parts = ("on", middle, first), ("on", middle, second), ("direction", second, first, _QUARTER)
        yield Goal(parts, "quarters", (("g", first), ("k", second), ("c", circle), ("O", middle)))


def _same(asked: Asked, one: int, other: int) -> Iterator[Goal]:
    if asked.kinds(one) == "mark":
        yield Goal((("is", *sorted((one, other))),))
        return
    first, second = asked.curve(one), asked.curve(other)
    yield Goal((("same", first, second),))


def _round_rim(asked: Asked, marks: tuple[int, ...], rim: int) -> Iterator[Goal]:
    circle = asked.curve(rim)
    for middle in asked.middles(circle):
        even = _even(asked, marks, middle)
        if even:
            on = tuple(("on", mark, circle) for mark in marks)
            yield Goal((*on, *even), "even-round", (("marks", marks), ("O", middle), ("c", circle), ("degrees", Fraction(360, len(marks)))))


def _even(asked: Asked, marks: Sequence[int], middle: int) -> tuple[Fact, ...]:
    """Return the turns from each mark to the next, where they are known to be even; () else."""
    turns = asked.known.links["turn"]
    first = turns.relation(("ray", middle, marks[1]), ("ray", middle, marks[0]))
    if first is None or first not in (Fraction(1, len(marks)), Fraction(-1, len(marks)) % 1):
        return ()
    rays = [("ray", middle, mark) for mark in marks]
    if any(turns.relation(other, one) != first for one, other in pairwise(rays)):
        return ()
    return tuple(("turn", other, one, first) for one, other in pairwise(rays))


def _regular(asked: Asked, marks: tuple[int, ...]) -> Iterator[Goal]:
    shared = set.intersection(*({one for _, one in _middles_round(asked, mark)} for mark in marks))
    for middle in sorted(shared):
        even = _even(asked, marks, middle)
        lengths = asked.known.links["equal"]
        if even and all(lengths.relation(between(middle, mark), between(middle, marks[0])) == 1 for mark in marks):
            equal = tuple(("equal", between(middle, marks[0]), between(middle, mark), Fraction(1)) for mark in marks[1:])
            yield Goal((*equal, *even), "even-figure", (("marks", marks), ("O", middle), ("degrees", Fraction(360, len(marks)))))


def _middles_round(asked: Asked, mark: int) -> Iterator[tuple[int, int]]:
    for members in asked.known.links["turn"].classes():
        for node in members:
            if node[2] == mark:
                yield mark, node[1]


def _square(asked: Asked, marks: tuple[int, ...]) -> Iterator[Goal]:
    if len(marks) != 4:
        return
    yield from _regular(asked, marks)
    a, b, d, e = marks
    sides = between(a, b), between(b, d), between(d, e), between(e, a)
    equal = tuple(("equal", sides[0], side, Fraction(1)) for side in sides[1:])
    yield Goal((*equal, ("direction", pair(a, b), pair(b, d), _QUARTER)), "square", (("marks", marks), ("A", a), ("B", b), ("D", d)))


def _along_line(asked: Asked, marks: tuple[int, ...], line: int) -> Iterator[Goal]:
    drawn = asked.curve(line)
    steps = [between(one, other) for one, other in pairwise(marks)]
    ahead = [towards(asked.drawing.mark(one), asked.drawing.mark(other)) for one, other in pairwise(marks)]
    if all(dot(one, other) > 0 for one, other in pairwise(ahead)):
        on = tuple(("on", mark, drawn) for mark in marks)
        equal = tuple(("equal", steps[0], step, Fraction(1)) for step in steps[1:])
        yield Goal((*on, *equal), "even-row", (("marks", marks), ("g", drawn)))


_MARKS = "angle <A mark> <O mark> <B mark>"
_GOALS: dict[str, Callable[..., Iterator[Goal]]] = {
    "<X mark> is on <k line|circle|edge>": _on,
    "<O mark> is the centre of the plate": _centre_of_plate,
    "<O mark> is the centre of <rim circle>": _centre_of,
    "<k line> is square to <g line>": _direction(_QUARTER),
    "<k line> is parallel to <g line>": _direction(Fraction(0)),
    "<A mark> <B mark> equals <D mark> <E mark>": _equal,
    "<A mark> <B mark> is <r ratio> of <D mark> <E mark>": _part,
    "<A mark> <B mark> is <w measure>": _long,
    "<A mark> <B mark> times <D mark> <E mark> equals <F mark> <G mark> times <H mark> <I mark>": _products,
    "<M mark> is halfway between <A mark> and <B mark>": _halfway,
    f"{_MARKS} equals angle <D mark> <P mark> <E mark>": _angles,
    f"{_MARKS} is <r ratio> of angle <D mark> <P mark> <E mark>": _part_of_angle,
    f"{_MARKS} is <a angle>": _angle,
    "angle between <g line> and <k line> is <a angle>": _between_lines,
    "<M marks> are in line": _in_line,
    "<M marks> are on one circle": _on_one_circle,
    "<M lines> meet in one mark": _meet,
    "<c line|circle> touches <k line|circle>": _touches,
    "<g line> and <k line> quarter <rim circle>": _quarter,
    "<X mark|line|circle> is <Y mark|line|circle>": _same,
    "<M marks> are evenly spaced round <rim circle>": _round_rim,
    "<M marks> make a regular figure": _regular,
    "<M marks> make a square": _square,
    "<M marks> are evenly spaced along <g line>": _along_line,
}
"""How each kind of claim is reached; kinds that are not here have no why."""


def reach(goal: Goal, known: Known) -> Because | None:
    """Return why a goal holds, its parts put together; None where one of them is not known."""
    parts = [canonical(part) for part in goal.parts]
    if not all(known.has(part) for part in parts):
        return None
    premises = tuple(known.because(part) for part in parts)
    if not goal.key:
        return premises[0]
    fact: Fact = ("claim", *parts)
    mask = known.bit(fact)
    for premise in premises:
        mask |= premise.mask
    return Because(fact, goal.key, premises, dict(goal.slots), mask=mask, told=True)
