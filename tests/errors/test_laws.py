"""Laws between number systems for errors: derivatives, a second library, trials, and what counts as one error."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import numpy as np
import pytest
from uncertainties import UFloat, covariance_matrix, ufloat, umath

from construct import tools
from construct.errors.monte_carlo import run
from construct.errors.propagation import propagate
from construct.number_systems import NumberSystem, Source
from construct.number_systems.first_order import FirstOrderSystem
from construct.number_systems.float import FloatSystem
from construct.number_systems.samples import SampleSystem
from construct.replay import replay

SHIPPED = (
    ("clock-dial", "compass"),
    ("clock-dial", "ruler"),
    ("find-the-centre", "finder"),
    ("find-the-centre", "chords"),
    ("find-the-centre", "square"),
    ("halve-a-side", "ruler"),
    ("halve-a-side", "compass"),
    ("halve-a-side", "eye"),
)


class SteadyReading(FloatSystem):
    """Floats whose readings keep the offset that they had without errors: what first order takes a reading for."""

    def __init__(self, errors: dict[Any, float], offsets: list[float], learn: bool) -> None:
        super().__init__(errors=errors)
        self.offsets = offsets
        self.learn = learn
        self.place = 0

    def reading(self, value: float, graduation: Any) -> float:
        if self.learn:
            self.offsets.append(super().reading(value, graduation) - value)
        self.place += 1
        return value + self.offsets[self.place - 1]


def differences(formula: Any) -> np.ndarray:
    """Return central difference quotients of a formula by each of its errors, shape (m, n)."""
    offsets: list[float] = []
    first = SteadyReading({}, offsets, True)
    formula(first)
    columns = []
    h = 1e-5
    for key in first.noted:
        ends = [np.array(formula(SteadyReading({key: step}, offsets, False))) for step in (h, -h)]
        columns.append((ends[0] - ends[1]) / (2 * h))
    return np.array(columns).T


@pytest.mark.parametrize(("name", "way"), SHIPPED)
def test_partials_equal_central_differences(lay_shipped: Any, name: str, way: str) -> None:
    """On every shipped recipe, for every mark and edge and every error: the derivative is the central difference's limit."""
    formula = lay_shipped(name, way).formula()
    found = propagate(formula)
    assert len(found.inputs) > 3
    np.testing.assert_allclose(found.sensitivity, differences(formula), rtol=1e-6, atol=1e-7)


def test_partials_for_every_phrase(every: Any) -> None:
    """The same where every phrase of every tool is used once (a hole's size depends on no error)."""
    formula = every.formula()
    np.testing.assert_allclose(propagate(formula).sensitivity, differences(formula), rtol=1e-6, atol=1e-6)


class SecondOpinion:
    """The same numbers in a general library for uncertainties."""

    name = "uncertainties"
    has_errors = True

    def __init__(self) -> None:
        self.inputs: dict[Any, UFloat] = {}

    def rational(self, value: Any) -> float:
        return float(value)

    def letter(self, name: str, drawn: Any) -> float:
        return float(drawn)

    def sqrt(self, value: Any) -> Any:
        return umath.sqrt(value)

    def error(self, key: Any, source: Source) -> UFloat:
        if key not in self.inputs:
            self.inputs[key] = ufloat(0.0, source.u)
        return self.inputs[key]

    def reading(self, value: Any, graduation: Any) -> Any:
        nominal = value.nominal_value
        return value + (round(nominal / float(graduation)) * float(graduation) - nominal)

    def hole(self, value: Any, holes: Any) -> float:
        raise AssertionError("no template in these recipes")


@pytest.mark.parametrize(("name", "way"), [one for one in SHIPPED if one[0] != "clock-dial"])
def test_second_opinion(lay_shipped: Any, name: str, way: str) -> None:
    """The `uncertainties` package (a general library, another algorithm) finds the same covariances on the small recipes."""
    formula = lay_shipped(name, way).formula()
    results = formula(SecondOpinion())  # type: ignore[arg-type]
    moving = [place for place, one in enumerate(results) if isinstance(one, UFloat)]
    other = np.array(covariance_matrix([results[place] for place in moving]))
    mine = propagate(formula).covariance()[np.ix_(moving, moving)]
    assert len(moving) > 1
    np.testing.assert_allclose(mine, other, rtol=1e-9, atol=1e-12)


@pytest.mark.parametrize(("name", "way"), SHIPPED)
def test_trials_agree_with_first_order_when_errors_are_small(lay_shipped: Any, name: str, way: str) -> None:
    """With every error a hundredth of the bench's, trials give first order's u: within five standard deviations of 20 000 trials.

    Readings are left out: what a ruler rounds does not get small with the hand's errors.
    """
    formula = lay_shipped(name, way).formula()

    def small(numbers: NumberSystem) -> Any:
        return formula(Hundredth(numbers))  # type: ignore[arg-type]

    found = propagate(small)
    drawn = run(small, trials=20_000, seed=12, pairs=())
    u = np.sqrt(np.diag(found.covariance()))
    assert 0 == drawn.lost
    np.testing.assert_allclose(drawn.u, u, rtol=5 / math.sqrt(40_000), atol=1e-12)
    np.testing.assert_allclose(drawn.estimates, found.estimates, atol=5 * u.max() / math.sqrt(20_000) + 1e-5)


class Hundredth:
    """Another system with every error a hundredth as large, and readings that keep their offset."""

    has_errors = True

    def __init__(self, inner: NumberSystem) -> None:
        self.inner = inner
        self.name = inner.name
        self.rational, self.letter, self.sqrt, self.hole = inner.rational, inner.letter, inner.sqrt, inner.hole

    def error(self, key: Any, source: Source) -> Any:
        return self.inner.error(key, Source(source.name, source.u / 100, source.shape, source.unit, source.basis))

    def reading(self, value: Any, graduation: Any) -> Any:
        return value


# --- what is one error -----------------------------------------------------------------------------


def test_a_kept_opening_is_one_error(lay: Any) -> None:
    """Two arcs swung at one named opening share one setting error: their radii differ by nothing; two settings made alike
    differ by √2 of one (two independent errors)."""
    text = """\
  A : mark anywhere, say at (0, 0) mm
  B : mark anywhere, say at (30, 0) mm
  r : opening, 40 mm by ruler
  s : opening, 40 mm by ruler
  a : circle about A, opening r
  b : circle about B, opening r
  c : circle about B, opening s
"""
    plan = lay(text).plan

    def radii(numbers: NumberSystem) -> list[Any]:
        values = replay(plan, numbers)
        a, b, c = (values[plan.index(name)].radius for name in "abc")
        return [b - a, c - a]

    u = plan.settings.sources["compass set by ruler"].u
    assert [0.0, math.sqrt(2) * u] == pytest.approx(np.sqrt(np.diag(propagate(radii).covariance())).tolist())
    drawn = run(radii, trials=20_000, seed=13)
    assert 0.0 == drawn.u[0]
    assert math.sqrt(2) * u == pytest.approx(drawn.u[1], rel=0.03)


def test_same_key_same_error() -> None:
    """Within one replay a key is one error: x + x has 2u, x + y has √2·u; by trials and by first order."""

    def formula(numbers: NumberSystem) -> list[Any]:
        source = Source("pencil", 0.1)
        x, y = (numbers.error((name, "pencil", ""), source) for name in "xy")
        again = numbers.error(("x", "pencil", ""), source)
        return [x + again, x + y]

    assert [0.2, math.sqrt(2) * 0.1] == pytest.approx(np.sqrt(np.diag(propagate(formula).covariance())).tolist())
    assert [0.2, math.sqrt(2) * 0.1] == pytest.approx(run(formula, trials=50_000, seed=14).u.tolist(), rel=0.02)


NONE: set[str] = set()
FINDER = {"centre finder sideways", "centre finder angle"}
COMPASS = {"compass point at a mark", "compass set to two marks"}
EDGE = {"straightedge at a mark", "pencil beside the straightedge"}
SQUARE = {"straightedge at a mark", "square laid to a line", "pencil beside the straightedge"}
CLASS = "ruler within its class"
RULED = {"mark by ruler", "pencil beside the straightedge"}
EXPECTED: dict[str, set[str]] = {
    **{key: FINDER for key in ("g", "h", "f", "f2")},
    "the ruler": {CLASS},
    "rim": COMPASS | {"mark by ruler"},
    **{key: NONE for key in ("C", "B", "L", "A", "D", "E", "K", "w", "o3", "trio")},
    "o1": {"compass set to two marks"},
    "o2": {"compass set by ruler"},
    **{key: COMPASS for key in ("c1", "c3", "c5", "c6", "c7", "a1", "a2")},
    **{key: {"compass point at a mark"} for key in ("c2", "c4")},
    **{key: {"mark by ruler"} for key in ("H", "m1", "m2", "m3", "m4", "e1")},
    **{key: RULED for key in ("p1", "p2")},
    **{key: {"splitting by eye"} for key in ("p3", "p4", "y1", "y2")},
    **{key: {"divider step"} for key in ("s1", "s3", "s5", "d1")},
    **{key: SQUARE for key in ("q1", "q2", "q3", "q4")},
    **{key: {"template centring"} for key in ("t1", "t2")},
    "k1": {"template cross laid to a line"},
    **{key: {"french curve between matched marks"} for key in ("v1", "v2", "v3", "v4", "v5")},
    **{key: EDGE for key in ("l1", "l2", "l3", "l4")},
}
"""What the hand can miss in each line of the layout that uses every phrase: common practice, no source."""


def test_no_source_is_missing(every: Any) -> None:
    """For every phrase of every tool, the errors that the hand makes there are asked for, and no others."""
    plan = every.plan
    assert {phrase.text for phrase in tools.phrases()} == {step.phrase.text for step in plan.steps}
    noting = FirstOrderSystem()
    replay(plan, noting)
    found: dict[str, set[str]] = {key: set() for key in (tools.JOB, *(step.key for step in plan.steps))}
    for (step, name, _), source in noting.noted.items():
        assert name == source.name
        found[step].add(name)
    assert EXPECTED == found


def test_every_error_of_a_tool_shows_up(every: Any) -> None:
    """Each name in a tool's ERRORS is asked for by some phrase of that tool, and each one asked for is in ERRORS."""
    noting = FirstOrderSystem()
    replay(every.plan, noting)
    asked: dict[str, set[str]] = {}
    owner = {phrase.text: name for name, tool in tools.tools().items() for phrase in tool.PHRASES}
    by_key = {step.key: owner[step.phrase.text] for step in every.plan.steps}
    for step, name, _ in noting.noted:
        if step != tools.JOB:
            asked.setdefault(by_key[step], set()).add(name)
    have = {name: set(tool.ERRORS) for name, tool in tools.tools().items() if tool.ERRORS}
    # the ruler's own error is one for the whole job, whichever tool the ruler serves
    assert {"compass", "opening", "ruler"} == {name for name, errors in have.items() if CLASS in errors}
    assert {name: errors - {CLASS} for name, errors in have.items()} == asked


def test_systems_ask_for_the_same_errors_in_the_same_order(every: Any) -> None:
    """First order, samples and floats with errors walk one formula: the same keys, in the same order."""
    first, plain = FirstOrderSystem(), FloatSystem(errors={})
    drawn = SampleSystem(trials=4, seed=1, errors=True)
    for system in (first, plain, drawn):
        replay(every.plan, system)
    assert list(first.noted) == list(plain.noted) == list(drawn.noted)


def test_samples_around_nothing_equal_floats(dial: Any) -> None:
    """Trials whose errors are all of size nothing equal the float replay to 1e-9 (laws of `samples`)."""
    formula = dial.formula()

    class Still(SampleSystem):
        def error(self, key: tuple[object, ...], source: Source) -> Any:
            return super().error(key, Source(source.name, 0.0))

    drawn = formula(Still(trials=3, seed=2, errors=True))
    for expected, actual in zip(formula(FloatSystem()), drawn, strict=True):
        np.testing.assert_allclose(actual, expected, atol=1e-9)


def test_named_errors_move_floats(lay: Any) -> None:
    """A finder 1 mm to the left of the grain line and nothing else: the middle comes out 1 mm to the left (by hand)."""
    text = "  g : line by centre finder, along the grain\n  h : line by centre finder, across the grain\n  C : mark where g meets h\n"
    plan = lay(text).plan
    values = replay(plan, FloatSystem(errors={("g", "centre finder sideways", ""): 1.0}))
    mark = values[plan.index("C")]
    assert (-1.0, 0.0) == pytest.approx((mark.x, mark.y))


def test_rectangular_draws() -> None:
    """JCGM 101 6.4.2: a rectangular error has half-width u·√3 and u as standard deviation."""
    system = SampleSystem(trials=100_000, seed=3, errors=True)
    drawn = system.error(("r", "setting", ""), Source("setting", 0.2, "rectangular"))
    assert 0.2 * math.sqrt(3) == pytest.approx(np.abs(drawn).max(), rel=1e-3)
    assert np.abs(drawn).max() <= 0.2 * math.sqrt(3)
    assert 0.2 == pytest.approx(drawn.std(), rel=0.01)
    with pytest.raises(ValueError, match="seed"):
        SampleSystem(trials=4, errors=True)


def test_constants_stay_small() -> None:
    """With errors a constant is one float, and a whole replay broadcasts it."""
    system = SampleSystem(trials=5, seed=1, errors=True)
    third = system.rational(Fraction(1, 3))
    assert () == third.shape
    assert (5,) == (third + system.error((1, "e", ""), Source("e", 1.0))).shape
    assert 1 / 3 == system.to_float(third)
