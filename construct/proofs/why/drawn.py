"""What the bench actions say: each step of a plan turned into facts, with the line it stands on.

Only the action's own words count: which mark is on what, which opening was kept,
what was laid square.  No coordinate is looked at.  A ruler that rounds says
nothing about halves; a plate that is not round has no middle to speak of.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from typing import Any

from construct.geometry import Circle, Point, direction
from construct.plan import EDGE, Argument, Plan, PlannedLength, Step
from construct.proofs.why.because import GRAIN, Fact, Term, between, pair
from construct.replay import Settled

RIM = ("circle", EDGE)
MIDDLE = -1
"""The plate's middle: a mark that nobody drew."""

Say = Iterator[Fact]
_QUARTER = Fraction(1, 4)


def corner(step: int) -> int:
    """Return the hidden mark for the corner of the finder's V, in the step of this number; its contacts come after it."""
    return -(3 * step + 4)


def contacts(step: int) -> tuple[int, int]:
    """Return the hidden marks where the finder's legs touch the edge."""
    return -(3 * step + 2), -(3 * step + 3)


def facts(settled: Settled, steps: Sequence[Step]) -> Iterator[tuple[Fact, int]]:
    """Yield what each step says, and its line."""
    plan = settled.plan
    round_ = is_round(settled)
    if round_:
        yield ("middle", MIDDLE, RIM), 0
    for step in steps:
        says = _SAYS.get(step.phrase.text)
        if says is None:
            continue
        for fact in says(plan, step):
            if round_ or not (RIM in fact or any(_is_hidden(term) for term in fact)):
                yield fact, step.span.line


def _is_hidden(term: Term) -> bool:
    """Tell whether a term speaks of a mark that nobody drew, which only a round plate has."""
    if isinstance(term, tuple):
        return any(_is_hidden(part) for part in term)
    return type(term) is int and term < 0


def is_round(settled: Settled) -> bool:
    """Tell whether the blank is a round plate."""
    return isinstance(settled.values[EDGE], Circle)


def hidden_mark(mark: int, settled: Settled, exact: Any) -> Point:
    """Return where a mark is that nobody drew."""
    edge = settled.values[EDGE]
    if mark == MIDDLE:
        return Point(edge.centre.x, edge.centre.y)
    number, place = divmod(-mark - 2, 3)
    plan = settled.plan
    step = next(step for step in plan.steps if step.number == number)
    blade = settled.values[step.outputs[0]]
    cosine, sine = direction(exact, plan.settings.finder_angle / 2)
    reach, u = exact.sqrt(edge.square) if edge.radius is None else edge.radius, (blade.dx, blade.dy)
    if place == 2:
        return Point(edge.centre.x - u[0] * reach / sine, edge.centre.y - u[1] * reach / sine)
    side = 1 if place == 0 else -1
    normal = -u[1] * cosine * side - u[0] * sine, u[0] * cosine * side - u[1] * sine
    return Point(edge.centre.x + normal[0] * reach, edge.centre.y + normal[1] * reach)


def curve(plan: Plan, index: int) -> Term:
    """Return the term of a drawn line or circle."""
    return "line" if plan.things[index].kind == "line" else "circle", index


def length(argument: Argument) -> tuple[Term, Fraction] | None:
    """Return a length as a term and how many times it is taken; None where it is not so simple."""
    if not isinstance(argument, PlannedLength):
        return None
    match argument.op:
        case "mm":
            return ("mm", argument.value), Fraction(1)
        case "thing":
            return ("reading", argument.things[0]), Fraction(1)
        case "part":
            inner = length(argument.parts[0])
            return None if inner is None or argument.value <= 0 else (inner[0], inner[1] * argument.value)
    return None


def _on(plan: Plan, marks: Sequence[int], *curves: int) -> Say:
    for mark in marks:
        for one in curves:
            if plan.things[one].kind in ("line", "circle") or one == EDGE:
                yield "on", mark, curve(plan, one) if one != EDGE else RIM


def _finder(plan: Plan, step: Step) -> Say:
    line = "line", step.outputs[0]
    if plan.settings.finder_offset == 0:
        at, (one, other) = corner(step.number), contacts(step.number)
        for touch in (one, other):
            yield "touches", pair(at, touch), RIM, touch
            yield "on", touch, RIM
        yield "on", at, line
        yield "splits", line, min(one, other), at, max(one, other)
    grain = {"along": Fraction(0), "across": _QUARTER}.get(step.phrase.text.split(", ")[-1].split()[0])
    if grain is None and step.arguments and isinstance(step.arguments[0], Fraction):
        grain = -step.arguments[0] % Fraction(1, 2)
    if grain is not None:
        yield "direction", line, GRAIN, grain


def _meets(plan: Plan, step: Step) -> Say:
    yield from _on(plan, step.outputs, *step.arguments[:2])  # type: ignore[arg-type]


def _on_first(plan: Plan, step: Step) -> Say:
    yield from _on(plan, step.outputs, step.arguments[0])  # type: ignore[arg-type]


def _contact(plan: Plan, step: Step) -> Say:
    one, other = step.arguments
    mark = step.outputs[0]
    yield from _on(plan, (mark,), one, other)  # type: ignore[arg-type]
    yield from _touch(plan, one, other, mark)


def _touch(plan: Plan, one: Any, other: Any, *at: int) -> Say:
    first, second = (RIM if thing == EDGE else curve(plan, thing) for thing in (one, other))
    if first[0] == "circle" and (second[0] == "line" or repr(second) < repr(first)):
        first, second = second, first
    yield "touches", first, second, *at


def _line(plan: Plan, step: Step) -> Say:
    yield from _on(plan, [mark for mark in step.arguments if isinstance(mark, int)], step.outputs[0])


def _touching_line(plan: Plan, step: Step) -> Say:
    mark, circle = step.arguments
    yield from _on(plan, (mark,), step.outputs[0])  # type: ignore[arg-type]
    yield from _touch(plan, step.outputs[0], circle)


def _line_at(plan: Plan, step: Step) -> Say:
    yield from _on(plan, (step.arguments[0],), step.outputs[0])  # type: ignore[arg-type]


def _through(plan: Plan, step: Step) -> Say:
    centre, mark = step.arguments
    yield "middle", centre, ("circle", step.outputs[0])
    yield "on", mark, ("circle", step.outputs[0])


def _swung(plan: Plan, step: Step) -> Say:
    centre, setting = step.arguments
    circle = "circle", step.outputs[0]
    yield "middle", centre, circle
    if isinstance(setting, int):
        yield "equal", ("radius", circle), _setting(plan, setting), Fraction(1)


def _setting(plan: Plan, index: int) -> Term:
    return ("radius", ("circle", index)) if plan.things[index].kind == "circle" else ("setting", index)


def _about(plan: Plan, step: Step) -> Say:
    yield "middle", step.arguments[0], ("circle", step.outputs[0])


def _arc(plan: Plan, step: Step) -> Say:
    centre, start, _ = step.arguments
    yield "middle", centre, ("circle", step.outputs[0])
    yield "on", start, ("circle", step.outputs[0])


def _touching_circle(plan: Plan, step: Step) -> Say:
    centre, other = step.arguments
    yield "middle", centre, ("circle", step.outputs[0])
    yield from _touch(plan, other, step.outputs[0])


def _opened(plan: Plan, step: Step) -> Say:
    a, b = step.arguments
    if a != b:
        yield "equal", ("setting", step.outputs[0]), between(a, b), Fraction(1)  # type: ignore[arg-type]


def _ruled(plan: Plan, step: Step) -> Say:
    told = length(step.arguments[0])
    if told is not None:
        yield "equal", ("setting", step.outputs[0]), *told



def _ticks(plan: Plan, step: Step) -> Say:
    circle, line = step.arguments
    maker = next(one for one in plan.steps if circle in one.outputs)
    out, left, back, right = step.outputs
    yield from _on(plan, step.outputs, circle)  # type: ignore[arg-type]
    centre = maker.arguments[0]
    if maker.phrase.text.startswith(("circle about", "arc about", "circle by template about")) and isinstance(centre, int):
        for mark, turn in ((left, 1), (back, 2), (right, 3)):
            yield "turn", ("ray", centre, mark), ("ray", centre, out), Fraction(turn, 4)
        yield "on", centre, pair(out, back)
        yield "on", centre, pair(left, right)
    yield "direction", pair(out, back), curve(plan, line), Fraction(0)  # type: ignore[arg-type]
    yield "direction", pair(left, right), curve(plan, line), _QUARTER  # type: ignore[arg-type]


def _toward(plan: Plan, step: Step) -> Say:
    width, start, toward = step.arguments
    yield "on", step.outputs[0], pair(start, toward)  # type: ignore[arg-type]
    told = length(width)
    if told is not None:
        yield "equal", between(start, step.outputs[0]), *told  # type: ignore[arg-type]


def _along(plan: Plan, step: Step) -> Say:
    width, start, line = step.arguments
    yield from _on(plan, step.outputs, line)  # type: ignore[arg-type]
    told = length(width)
    if told is not None:
        yield "equal", between(start, step.outputs[0]), *told  # type: ignore[arg-type]


def _off_circle(plan: Plan, step: Step) -> Say:
    yield from _on(plan, step.outputs, step.arguments[2])  # type: ignore[arg-type]


def _between(plan: Plan, step: Step) -> Say:
    start, toward = (argument for argument in step.arguments if isinstance(argument, int))
    for mark in step.outputs:
        yield "on", mark, pair(start, toward)


def _every(plan: Plan, step: Step) -> Say:
    width, start, _ = step.arguments
    yield from _between(plan, step)
    told = length(width)
    for place, mark in enumerate(step.outputs, 1):
        if told is not None:
            yield "equal", between(start, mark), told[0], told[1] * place  # type: ignore[arg-type]


def _by_eye(plan: Plan, step: Step) -> Say:
    a, b = step.arguments
    yield "halves", step.outputs[0], min(a, b), max(a, b)  # type: ignore[type-var, operator]


def _square(plan: Plan, step: Step) -> Say:
    line, mark = step.arguments
    yield from _on(plan, (mark,), step.outputs[0])  # type: ignore[arg-type]
    yield "direction", ("line", step.outputs[0]), curve(plan, line), _QUARTER  # type: ignore[arg-type]


def _parallel(plan: Plan, step: Step) -> Say:
    line, mark = step.arguments
    yield from _on(plan, (mark,), step.outputs[0])  # type: ignore[arg-type]
    yield "direction", ("line", step.outputs[0]), curve(plan, line), Fraction(0)  # type: ignore[arg-type]


def _beside(plan: Plan, step: Step) -> Say:
    yield "direction", ("line", step.outputs[0]), curve(plan, step.arguments[0]), Fraction(0)  # type: ignore[arg-type]


def _legs(plan: Plan, step: Step) -> Say:
    one, other = step.outputs
    yield from _on(plan, (step.arguments[0],), one, other)  # type: ignore[arg-type]
    yield "direction", ("line", one), ("line", other), _QUARTER


def _stepped(plan: Plan, step: Step) -> Say:
    at, curve_, setting = step.arguments[0], step.arguments[1], step.arguments[-1]
    yield from _on(plan, step.outputs, curve_)  # type: ignore[arg-type]
    for mark in step.outputs:
        if isinstance(setting, int):
            yield "equal", between(at, mark), _setting(plan, setting), Fraction(1)  # type: ignore[arg-type]
        at = mark


def _divided(plan: Plan, step: Step) -> Say:
    a, b = step.arguments
    yield from _between(plan, step)
    count = len(step.outputs) + 1
    for place, mark in enumerate(step.outputs, 1):
        yield "equal", between(a, mark), between(a, b), Fraction(place, count)  # type: ignore[arg-type]


_SAYS: dict[str, Callable[[Plan, Step], Say]] = {
    "line by centre finder, along the grain": _finder,
    "line by centre finder, across the grain": _finder,
    "line by centre finder, at <a angle> to the grain": _finder,
    "line by centre finder, anywhere<say>": _finder,
    "mark where <u line|circle|edge> meets <v line|circle|edge><picks>": _meets,
    "marks where <u line|circle|edge> meets <v line|circle|edge>": _meets,
    "mark where <c line|circle> touches <a line|circle>": _contact,
    "mark anywhere on <g line|circle|edge><say>": _on_first,
    "line through <P mark> and <Q mark>": _line,
    "line from <P mark> to <Q mark>": _line,
    "line through <P mark>, touching <c circle><picks>": _touching_line,
    "line anyhow through <A mark><say>": _line_at,
    "circle about <O mark>, through <A mark>": _through,
    "arc about <O mark>, through <A mark>": _through,
    "circle about <O mark>, <setting>": _swung,
    "arc about <O mark>, <setting>": _swung,
    "circle about <O mark>, <w length> inside the edge": _about,
    "circle about <D mark>, touching <a line|circle>": _touching_circle,
    "circle about <D mark>, touching <a circle>, from outside": _touching_circle,
    "circle about <D mark>, touching <a circle>, from inside": _touching_circle,
    "arc about <B mark>, from <O mark> to <A mark>": _arc,
    "arc about <B mark>, from <O mark> to <A mark>, the long way": _arc,
    "opening, from <P mark> to <Q mark>": _opened,
    "opening, <w length> by ruler": _ruled,
    "circle by template about <D mark>, <w measure> across": _about,
    "marks at the ticks of <z circle>, along <k line>": _ticks,
    "mark halfway from <A mark> to <B mark>, by ruler": _between,
    "mark <w length> from <A mark> toward <B mark>, by ruler": _toward,
    "mark <w length> from <A mark> along <k line><picks>, by ruler": _along,
    "mark <w length> outside <c circle>, along <k line><picks>, by ruler": _off_circle,
    "mark <w length> inside <c circle>, along <k line><picks>, by ruler": _off_circle,
    "marks every <w length> from <A mark> toward <B mark>, by ruler": _every,
    "line parallel to <s line>, <w length> away on the <O mark> side, by ruler": _beside,
    "line parallel to <s line>, <w length> away, away from <O mark>, by ruler": _beside,
    "line parallel to <s line>, <w length> away on the <O mark> side, by eye": _beside,
    "line parallel to <s line>, <w length> away, away from <O mark>, by eye": _beside,
    "mark between <A mark> and <B mark>, by eye": _by_eye,
    "marks stepped from <A mark> round <rim circle>, <setting>": _stepped,
    "marks stepped from <A mark> round <rim circle>, <setting>, to the right": _stepped,
    "marks stepped from <A mark> along <t line>, toward <H mark>, <setting>": _stepped,
    "marks dividing <A mark> <B mark>, by dividers": _divided,
    "line square to <g line> at <M mark>, by square": _square,
    "line square to <g line>, through <P mark>, by square": _square,
    "line parallel to <k line>, through <P mark>, by square": _parallel,
    "legs of a square cornered at <V mark>, anyhow<say>": _legs,
}
"""What each phrase of the tools says; a phrase that says nothing here has no entry."""


def phrases() -> frozenset[str]:
    """Return the phrases that say something."""
    return frozenset(_SAYS)
