"""Laws between the number systems, for every tool's phrases and every shipped recipe; and laws of the text.

The systems are found in the registry, so a new one is held to these laws by being there.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from fractions import Fraction
from functools import cache
from typing import Any

import numpy as np
import pytest

from construct import claims, shelf, tools
from construct.geometry import Circle, Curve, Line, Opening, Point
from construct.language.parser import parse
from construct.number_systems.exact import ExactSystem
from construct.number_systems.first_order import FirstOrderSystem
from construct.number_systems.float import FloatSystem
from construct.number_systems.trace import evaluate
from construct.plan import Plan
from construct.plan.planner import make_plan
from construct.registry import plugins
from construct.replay import Settled, replay, settle

SYSTEMS = {name: module.SYSTEM for name, module in plugins("construct.number_systems").items()}

# Together these use every phrase of every tool.
MARKS = "given A, B, D at {A}, {B}, {D}\n"
PAPER = {
    "compass": MARKS + """step S
  g : line through A and B
  r : opening, from A to D
  a : circle about A, through B
  b : arc about B, opening r
  c : arc about D, through B
  d : circle about D, same opening
  e : circle about D, touching g
  f : circle about B, touching e, from outside
  i : circle about B, touching e, from inside
  j : circle about B, touching e
  P, Q : marks where a meets c
  X : mark where f touches e
  Y : mark where e touches g
  z : arc about A, from P to Q
  y : arc about A, from P to Q, the long way
  s : opening, anything over D to g, say {37}
  u : circle about D, opening s
  U, V : marks where g meets u
  t : opening, {21} by ruler
  w : arc about U, opening t
""",
    "straightedge": MARKS + """step S
  g : line through A and B
  h : line from A to D
  c : circle about D, {20} by ruler
  u : line through A, touching c, on the B side of h
  v : line through B, touching c, nearest A
  s : line anyhow through A, say 45 deg to g
  M : mark where u meets v
  N : mark where u touches c
  P : mark anywhere on g, say 1/3 of A B
  Q : mark anywhere on c, say 60 deg to g
  R : mark anywhere outside c, say at {R}
  O : mark anywhere, say at {O}
""",
    "ruler": MARKS + """step S
  g : line through A and B
  c : circle about A, {30} by ruler
  w : length from A to D, by ruler
  M : mark halfway from A to D, by ruler
  N : mark w from A toward B, by ruler
  O : mark w less {5} from B along g, away from A, by ruler
  P : mark {7} outside c, along g, nearest B, by ruler
  Q : mark half of w inside c, along g, nearest B, by ruler
  p1 to p3 : marks every {8} from A toward D, by ruler
  s : line parallel to g, {4} away on the D side, by ruler
  t : line parallel to g, w away, away from D, by ruler
  trio : marks p1 to p3
""",
    "dividers, square": MARKS + """step S
  g : line through A and B
  c : circle about A, through B
  r : opening, from A to B
  p1, p2 : marks stepped from B round c, opening r
  q1, q2 : marks stepped from B round c, {25} by ruler, to the right
  s1, s2 : marks stepped from A along g, toward B, {25} by ruler
  d1 to d3 : marks dividing A D, by dividers
  h : line square to g at B, by square
  i : line square to g, through D, by square
  j : line parallel to g, through D, by square
  k, l : legs of a square cornered at D, anyhow, say 30 deg to g
  M : mark where k meets g
""",
    "template, curve, eye": MARKS + """step S
  g : line through A and B
  h : line through A and D
  z : circle by template about D, {16} across
  m : mark between A and B, by eye
  n : mark between A and m, by eye
  y : circle by template across n m
  q1 to q4 : marks at the ticks of z, along g
  e : curve by french curve from A to D, leaving along g, arriving toward B
  f : curve by french curve from A to D, leaving along g, arriving along h
  i : curve by french curve from A to D, leaving toward B, arriving toward B
  j : curve by french curve from A to D, leaving toward B, arriving along h
  k : e flipped over h, by french curve
  s : line parallel to g, {4} away on the D side, by eye
  t : line parallel to g, {4} away, away from D, by eye
  v : curve from A to D, by eye
""",
}  # fmt: skip

PLATE = """step S
  g : line by centre finder, along the grain
  h : line by centre finder, across the grain
  f : line by centre finder, at {30} deg to the grain
  i : line by centre finder, anywhere, say {75} deg to the grain
  C : mark where g meets h
  rim : circle about C, 12 mm inside the edge
  B, T : marks where g meets rim
  E : mark where f meets edge, nearest T
  V : mark anywhere on edge, say {135} deg to the grain
  k : line from C to V
"""

# No two sides of this triangle meet squarely, nor is any of its lengths a whole number.
BENCH = "bench ruler graduated {1}, template from {1} to {40} by {1}, compass to {250}, ruler to {600}\n"
PLACES = {"A": (-30, 7), "B": (51, 2), "D": (11, 40), "R": (70, 66), "O": (3, -9)}

Move = Callable[[Fraction, Fraction], tuple[Fraction, Fraction]]


def written(body: str, *, scale: Fraction = Fraction(1), move: Move = lambda x, y: (x, y)) -> str:
    """Return a recipe on paper, its places moved and all its lengths scaled."""

    def fill(found: re.Match[str]) -> str:
        word = found[1]
        if word in PLACES:
            x, y = move(*(Fraction(part) * scale for part in PLACES[word]))
            return f"({x}, {y}) mm"
        return f"{Fraction(word) * scale} mm"

    text = re.sub(r"\{(\w+)\}", fill, "recipe Law\npaper\n" + BENCH + body)
    # marks of one `given` line share their unit
    return re.sub(r"^given .*$", lambda line: line[0].replace(" mm,", ",") if " mm" in line[0] else line[0], text, flags=re.MULTILINE)


def turned(degrees: int, body: str = PLATE) -> str:
    """Return the plate's recipe with every angle to the grain enlarged."""
    return "recipe Law\nplate round, 200 mm across\n" + re.sub(r"\{(\d+)\}", lambda found: str((int(found[1]) + degrees) % 360), body)


OVAL = ("recipe Law\nplate round, 199 mm across\nbench oval 2 mm across the grain, finder blade off 0.3 mm, finder V 120 deg\n") + re.sub(
    r"[{}]", "", PLATE
)
BOARD = (
    "recipe Law\n"
    "board 300 mm by 200 mm\n"
    "step S\n"
    "  d : line through SW and NE\n"
    "  e : line through SE and NW\n"
    "  C : mark where d meets e\n"
    "  g : line through SW and NW\n"
    "  u : line parallel to g, through C, by square\n"
    "  P, Q : marks where u meets edge\n"
    "  T : mark where u meets edge, nearest NE\n"
)

TEXTS = {name: written(body) for name, body in PAPER.items()} | {"finder": turned(0), "oval": OVAL, "board": BOARD}


@cache
def phrases() -> tuple[Any, Any]:
    return tools.phrases(), claims.phrases()


def settled(text: str, exact: ExactSystem, way: str | None = None) -> Settled:
    actions, said = phrases()
    return settle(make_plan(parse(text, actions=actions, claims=said, source="law"), way=way), exact)


def recipes() -> Iterator[tuple[str, str | None]]:
    """Yield every text and every shipped recipe, each way of it apart."""
    yield from ((name, None) for name in TEXTS)
    actions, said = phrases()
    for name in shelf.shipped():
        plan = make_plan(parse(shelf.find(name).read_text(encoding="utf-8"), actions=actions, claims=said, source=name))
        yield from ((name, way) for way in plan.ways or (None,))


def text_of(name: str) -> str:
    return TEXTS.get(name) or shelf.find(name).read_text(encoding="utf-8")


def numbers_of(value: Any, place: str) -> Iterator[tuple[str, Any, int]]:
    """Yield every number in a thing, with its place and its power of length."""
    if value is None:
        return
    if isinstance(value, tuple):
        for number, part in enumerate(value):
            yield from numbers_of(part, f"{place}[{number}]")
    elif isinstance(value, Point):
        yield f"{place}.x", value.x, 1
        yield f"{place}.y", value.y, 1
    elif isinstance(value, Line):
        for part in ("x", "y", "dx", "dy"):
            yield f"{place}.{part}", getattr(value, part), 1
    elif isinstance(value, Circle):
        yield from numbers_of(value.centre, f"{place}.centre")
        yield f"{place}.square", value.square, 2
        if value.radius is not None:
            yield f"{place}.radius", value.radius, 1
    elif isinstance(value, Opening):
        yield f"{place}.square", value.square, 2
        if value.radius is not None:
            yield f"{place}.radius", value.radius, 1
    elif isinstance(value, Curve):
        yield from numbers_of(value.controls, place)
    elif hasattr(value, "across"):
        yield f"{place}.across", value.across, 1
        yield f"{place}.along", value.along, 1
    else:
        yield place, value, 1


def all_numbers(plan: Plan, values: tuple[Any, ...]) -> list[tuple[str, Any, int]]:
    return [entry for thing, value in zip(plan.things, values, strict=True) for entry in numbers_of(value, thing.name)]


ALL = list(recipes())


def test_every_phrase_of_every_tool_is_used() -> None:
    """The recipes below use every phrase that there is; a new one must be added to them."""
    used = set()
    for name in TEXTS:
        used |= {step.phrase.text for step in settled(TEXTS[name], ExactSystem()).plan.steps}
    assert set() == {phrase.text for phrase in tools.phrases()} - used


@pytest.mark.parametrize("system", sorted(SYSTEMS))
@pytest.mark.parametrize(("name", "way"), ALL, ids=[f"{name}-{way}" if way else name for name, way in ALL])
def test_every_system_agrees_with_the_exact_one(name: str, way: str | None, system: str) -> None:
    """Enclosures hold the exact number; a trace evaluated exactly is it; floats and samples without errors are within 1e-9 of it."""
    exact = ExactSystem()
    ideal = settled(text_of(name), exact, way)
    numbers = SYSTEMS[system]()
    with np.errstate(all="raise"):
        values = all_numbers(ideal.plan, replay(ideal.plan, numbers))
    wanted = all_numbers(ideal.plan, ideal.values)
    if numbers.has_errors:
        # hands draw a parallel by two widths and set a radius by its length: other parts, the same things
        assert [] == _drawn_apart(ideal, exact, values, numbers)
        return
    assert [place for place, _, _ in wanted] == [place for place, _, _ in values]
    evaluated = evaluate(numbers.lines, exact) if system == "trace" else []
    wrong = []
    for (place, expected, _), (_, actual, _) in zip(wanted, values, strict=True):
        if system == "trace":
            good = exact.equal(expected, evaluated[actual.index])
        elif system == "interval":
            lower, upper = numbers.bounds(actual)
            low, high = exact.enclosure(expected, 60)
            # 128 bits leave more than 25 digits after a few dozen steps
            good = lower <= high and low <= upper and upper - lower < Fraction(1, 10**25)
        elif system == "exact":
            good = math.isclose(exact.to_float(expected), numbers.to_float(actual), rel_tol=1e-15, abs_tol=1e-15)
        else:
            middle = exact.to_float(expected)
            entries = np.atleast_1d(actual) if isinstance(actual, np.ndarray) else np.array([numbers.to_float(actual)])
            good = bool(np.all(np.abs(entries - middle) <= 1e-9 * max(1.0, abs(middle))))
        if not good:
            wrong.append(place)
    assert [] == wrong


def _drawn_apart(ideal: Settled, exact: ExactSystem, values: list[tuple[str, Any, int]], numbers: Any) -> list[str]:
    """Return the places where the values over a system with errors, all of them zero, differ from the exact ones."""
    wanted = {place: exact.to_float(number) for place, number, _ in all_numbers(ideal.plan, ideal.values)}
    found = {place: numbers.to_float(number) for place, number, _ in values}
    wrong = []
    for place, expected in wanted.items():
        if place not in found:
            assert place.endswith(".radius"), place
            continue
        actual = found[place]
        name, _, part = place.rpartition(".")
        if f"{name}.dx" in wanted:
            if part != "x":
                continue
            expected_line, actual_line = _line(wanted, name), _line(found, name)
            close = all(abs(one - other) <= 1e-9 * max(1.0, abs(one)) for one, other in zip(expected_line, actual_line, strict=True))
        else:
            close = abs(actual - expected) <= 1e-9 * max(1.0, abs(expected))
        if not close:
            wrong.append(place)
    return wrong


def _line(numbers: dict[str, float], name: str) -> tuple[float, float, float]:
    """Return a line's unit direction and how far it passes the blank's middle."""
    x, y, dx, dy = (numbers[f"{name}.{part}"] for part in ("x", "y", "dx", "dy"))
    length = math.hypot(dx, dy)
    return dx / length, dy / length, (x * dy - y * dx) / length


class Disturbed(FloatSystem):
    """Floats with one error that is not zero; readings keep the offset that they have in the undisturbed replay."""

    def __init__(self, errors: dict[tuple[object, ...], float], offsets: list[float]) -> None:
        super().__init__(errors=errors)
        self.undisturbed, self.offsets, self.asked = not errors, offsets, 0

    def reading(self, value: float, graduation: Any) -> float:
        if self.undisturbed:
            self.offsets.append(super().reading(value, graduation) - value)
        self.asked += 1
        return value + self.offsets[self.asked - 1]


@pytest.mark.parametrize("name", sorted(TEXTS))
def test_partials_are_central_differences(name: str) -> None:
    """Each sensitivity coefficient is the slope found by moving its one error a little to either side (JCGM 100, 5.1.3, note 2)."""
    plan = settled(TEXTS[name], ExactSystem()).plan
    first = FirstOrderSystem()
    replay(plan, first)
    keys = list(first.noted)
    assert keys or name == "board"
    values = all_numbers(plan, replay(plan, FirstOrderSystem(errors=keys)))
    offsets: list[float] = []
    replay(plan, Disturbed({}, offsets))
    wrong = []
    for number, key in enumerate(keys):
        step = 1e-4 if first.noted[key].unit == "mm" else 1e-5
        up = all_numbers(plan, replay(plan, Disturbed({key: step}, offsets)))
        down = all_numbers(plan, replay(plan, Disturbed({key: -step}, offsets)))
        for (place, value, _), (_, high, _), (_, low, _) in zip(values, up, down, strict=True):
            partial = 0.0 if value.grad is None else float(value.grad[number])
            if abs((high - low) / (2 * step) - partial) > 1e-5 * max(1.0, abs(partial)):
                wrong.append((place, key))
    assert [] == wrong


# --- laws of the text -----------------------------------------------------------------------------


@pytest.mark.parametrize("scale", [Fraction(3, 2), Fraction(1, 7)], ids=str)
@pytest.mark.parametrize("name", sorted(PAPER))
def test_scaling_every_length_scales_every_result(name: str, scale: Fraction) -> None:
    """All written lengths, places, graduations and limits times k: all lengths times k, all squares times k², exactly."""
    exact = ExactSystem()
    one = settled(written(PAPER[name]), exact)
    other = settled(written(PAPER[name], scale=scale), exact)
    assert [step.side for step in one.plan.steps] == [step.side for step in other.plan.steps]
    for thing, small, large in zip(one.plan.things, one.values, other.values, strict=True):
        if isinstance(small, Line):
            # a line's direction may have any length: what scales is where it runs
            assert exact.equal(0, small.dx * large.dy - small.dy * large.dx), thing.name
            x, y = large.x - small.x * scale, large.y - small.y * scale
            assert exact.equal(0, x * large.dy - y * large.dx), thing.name
            continue
        for (place, before, power), (_, after, _) in zip(numbers_of(small, thing.name), numbers_of(large, thing.name), strict=True):
            assert exact.equal(before * scale**power, after), place


@pytest.mark.parametrize("turn", [(Fraction(3, 5), Fraction(4, 5)), (Fraction(-5, 13), Fraction(-12, 13))], ids=["53deg", "247deg"])
@pytest.mark.parametrize("name", sorted(PAPER))
def test_turning_the_given_marks_turns_everything(name: str, turn: tuple[Fraction, Fraction]) -> None:
    """All given places turned by one angle (with rational sine and cosine): everything made is turned by it, exactly."""
    c, s = turn

    def move(x: Any, y: Any) -> tuple[Any, Any]:
        return x * c - y * s, x * s + y * c

    exact = ExactSystem()
    one = settled(written(PAPER[name]), exact)
    other = settled(written(PAPER[name], move=move), exact)
    for thing, before, after in zip(one.plan.things, one.values, other.values, strict=True):
        _compare_turned(exact, move, before, after, thing.name)


def _compare_turned(exact: ExactSystem, move: Callable[..., tuple[Any, Any]], before: Any, after: Any, name: str) -> None:
    if isinstance(before, tuple):
        for one, other in zip(before, after, strict=True):
            _compare_turned(exact, move, one, other, name)
    elif isinstance(before, Curve):
        _compare_turned(exact, move, before.controls, after.controls, name)
    elif isinstance(before, Point):
        x, y = move(before.x, before.y)
        assert exact.equal(x, after.x), name
        assert exact.equal(y, after.y), name
    elif isinstance(before, Line):
        dx, dy = move(before.dx, before.dy)
        assert exact.equal(0, dx * after.dy - dy * after.dx), name
        assert exact.sign(dx * after.dx + dy * after.dy) == 1, name
        x, y = move(before.x, before.y)
        assert exact.equal(0, (after.x - x) * dy - (after.y - y) * dx), name
    elif isinstance(before, Circle):
        _compare_turned(exact, move, before.centre, after.centre, name)
        assert exact.equal(before.square, after.square), name
    elif isinstance(before, Opening):
        assert exact.equal(before.square, after.square), name
    elif before is not None:
        assert exact.equal(before, after), name


@pytest.mark.parametrize("degrees", [36, 120, 270])
def test_turning_every_angle_to_the_grain_turns_the_plate(degrees: int) -> None:
    """Clockwise by 36 deg or more: lines by the centre finder and marks on the edge turn about the middle; along and across stay."""
    exact = ExactSystem()
    one = settled(turned(0), exact)
    other = settled(turned(degrees), exact)
    root = exact.sqrt(exact.rational(5))
    cosine, sine = {
        36: ((root + 1) / 4, exact.sqrt(exact.rational(10) - root * 2) / 4),
        120: (exact.rational(Fraction(-1, 2)), exact.sqrt(exact.rational(3)) / 2),
        270: (exact.rational(0), exact.rational(-1)),
    }[degrees]

    def move(x: Any, y: Any) -> tuple[Any, Any]:
        return x * cosine + y * sine, y * cosine - x * sine

    for name in ("f", "i", "V"):
        index = one.plan.index(name)
        _compare_turned(exact, move, one.values[index], other.values[index], name)
    for name in ("g", "h", "T"):
        index = one.plan.index(name)
        _compare_turned(exact, lambda x, y: (x, y), one.values[index], other.values[index], name)
