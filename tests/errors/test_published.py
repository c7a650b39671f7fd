"""Published examples of uncertainty propagation, and layout steps worked out from first principles.

Sources: JCGM 100:2008 (GUM) annex H; JCGM 101:2008 (GUM-S1) clause 9; JCGM 102:2011 (GUM-S2)
clause 9 and 6.5.  The layout steps are worked by hand from similar triangles (no source).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import Any

import numpy as np
import pytest

from construct.errors import effective_degrees
from construct.errors.budget import ELLIPSE_K, correlation, ellipse
from construct.errors.monte_carlo import run, tolerance
from construct.errors.propagation import Propagation, propagate
from construct.geometry import Circle, Line, Opening, Point, meet, middle, square_to, towards
from construct.number_systems import Number, NumberSystem, Source
from construct.number_systems.float import FloatSystem
from construct.tools import Bench
from construct.tools.dividers import round_left

SIGMA = 0.1


def normal(u: float) -> Source:
    return Source("input", u)


def pricked(numbers: NumberSystem, name: str, x: Any, y: Any) -> Point:
    """A mark with σ on each coordinate."""
    source = Source("prick", SIGMA)
    dx, dy = (numbers.error((name, "prick", axis), source) for axis in "xy")
    return Point(numbers.rational(Fraction(x)) + dx, numbers.rational(Fraction(y)) + dy)


def firm(numbers: NumberSystem, x: Any, y: Any) -> Point:
    return Point(numbers.rational(Fraction(x)), numbers.rational(Fraction(y)))


def u_of(formula: Callable[[NumberSystem], Sequence[Number]]) -> list[float]:
    return np.sqrt(np.diag(propagate(formula).covariance())).tolist()


# --- JCGM 100 ---------------------------------------------------------------------------------


def end_gauge(numbers: NumberSystem) -> list[Number]:
    """l = l_S + d − l_S(δα·θ + α_S·δθ), equation H.3, in mm and °C."""

    def given(name: str, value: str, u: float) -> Number:
        return numbers.rational(Fraction(value)) + numbers.error((name, name, ""), Source(name, u))

    standard, d = given("l_S", "50.000623", 25e-6), given("d", "0.000215", 9.7e-6)
    alpha, theta = given("alpha", "0.0000115", 2e-6 / math.sqrt(3)), given("theta", "-0.1", 0.41)
    d_alpha, d_theta = given("d_alpha", "0", 0.58e-6), given("d_theta", "0", 0.029)
    return [standard + d - standard * (d_alpha * theta + alpha * d_theta)]


def test_end_gauge() -> None:
    """GUM H.1: l = 50.000 838 mm, contributions 25, 9.7, 2.9 and 16.6 nm, u_c = 32 nm, ν_eff = 16.7."""
    found = propagate(end_gauge)
    assert 50.000838 == pytest.approx(found.estimates[0], abs=5e-7)
    nm = {one.source.name: abs(c) * 1e6 for one, c in zip(found.inputs, found.contributions[0], strict=True)}
    assert 25 == pytest.approx(nm["l_S"], abs=0.5)
    assert 9.7 == pytest.approx(nm["d"], abs=0.05)
    assert 2.9 == pytest.approx(nm["d_alpha"], abs=0.05)
    assert 16.6 == pytest.approx(nm["d_theta"], abs=0.1)
    assert {"alpha": 0.0, "theta": 0.0} == {name: nm[name] for name in ("alpha", "theta")}
    assert 32 == pytest.approx(math.sqrt(found.covariance()[0, 0]) * 1e6, abs=0.5)
    nu = effective_degrees([(nm["l_S"], 18), (nm["d"], 25.6), (nm["d_alpha"], 50), (nm["d_theta"], 2)])
    assert 16.7 == pytest.approx(nu, abs=0.1)


def test_degrees_of_freedom_of_judgement() -> None:
    """GUM G.4.3: an input known by judgement has infinite ν, and so has what is made of such inputs alone."""
    assert math.inf == effective_degrees([(1.0, math.inf), (2.0, math.inf)])
    # one measured input beside a judged one of the same size: ν·(1 + 1)²/1 (G.2b by hand)
    assert 4 * 9 == pytest.approx(effective_degrees([(1.0, 9), (1.0, math.inf)]))


V = ("5.007", "4.994", "5.005", "4.990", "4.999")
I_MA = ("19.663", "19.639", "19.640", "19.685", "19.678")
PHI = ("1.0456", "1.0438", "1.0468", "1.0428", "1.0433")


def resistance(numbers: NumberSystem) -> list[Number]:
    """R, X and Z of GUM H.2 out of five simultaneous observations of V, I and φ.

    A mean's deviation is the sum of the observations' deviations, each times one standard normal
    draw, over √(n(n−1)): that gives the means their published covariance.  The cosine and sine of
    the mean phase are given to 20 digits by their series and their derivatives.
    """

    def mean_of(column: tuple[str, ...]) -> tuple[Fraction, Number]:
        values = [Fraction(one) for one in column]
        mean = sum(values, Fraction(0)) / 5
        off = numbers.rational(0)
        for k, value in enumerate(values):
            weight = Fraction(float(value - mean) / math.sqrt(20))
            off = off + numbers.error((f"k{k}", "observation", ""), Source("observation", 1.0)) * numbers.rational(weight)
        return mean, off

    (v, dv), (i, di), (phi, dphi) = mean_of(V), mean_of(I_MA), mean_of(PHI)
    cosine, sine = numbers.rational(Fraction(math.cos(phi))), numbers.rational(Fraction(math.sin(phi)))
    z = (numbers.rational(v) + dv) / (numbers.rational(i) + di) * 1000
    return [z * (cosine - sine * dphi), z * (sine + cosine * dphi), z]


def test_correlated_inputs() -> None:
    """GUM H.2, table H.4: R = 127.732, u 0.071; X = 219.847, u 0.295; Z = 254.260, u 0.236; r = −0.588, −0.485, 0.993.

    The print's u(X) comes from rounded means; unrounded it is 0.2956, so its last digit is given one unit.
    """
    found = propagate(resistance)
    covariance = found.covariance()
    u = np.sqrt(np.diag(covariance))
    for expected, actual in zip((127.732, 219.847, 254.260), found.estimates, strict=True):
        assert expected == pytest.approx(actual, abs=6e-4)
    for expected, actual, unit in zip((0.071, 0.295, 0.236), u, (5e-4, 1e-3, 5e-4), strict=True):
        assert expected == pytest.approx(actual, abs=unit)
    for (a, b), expected in {(0, 1): -0.588, (0, 2): -0.485, (1, 2): 0.993}.items():
        assert expected == pytest.approx(covariance[a, b] / u[a] / u[b], abs=6e-4)


# --- JCGM 101 ---------------------------------------------------------------------------------


def sum_of_four(shape: str) -> Callable[[NumberSystem], list[Number]]:
    def formula(numbers: NumberSystem) -> list[Number]:
        total = numbers.rational(0)
        for k in range(4):
            total = total + numbers.error((k, "X", ""), Source("X", 1.0, shape))
        return [total]

    return formula


@pytest.mark.parametrize(("shape", "end"), [("normal", 3.92), ("rectangular", 3.88)])
def test_additive_model(shape: str, end: float) -> None:
    """GUM-S1 9.2.2 and 9.2.3, tables 2 and 3: y = 0, u = 2.0 and 95 % ends ±3.92, ±3.88, within four standard deviations
    of what 10⁶ trials scatter by (0.005 for an end)."""
    found = run(sum_of_four(shape), trials=1_000_000, seed=5)
    assert 0 == found.lost
    assert 0.0 == pytest.approx(found.estimates[0], abs=4 * 2.0 / 1000)
    assert 2.0 == pytest.approx(found.u[0], abs=0.006)
    assert -end == pytest.approx(found.low[0], abs=0.022)
    assert end == pytest.approx(found.high[0], abs=0.022)


def test_numerical_tolerance() -> None:
    """GUM-S1 7.9.2, its own examples: u = 0.000 35 g, two digits: δ = 0.000 005; u = 2 K, one digit: δ = 0.5 (0.5·10⁰)."""
    assert 5e-6 == pytest.approx(tolerance(0.00035))
    assert 0.5 == pytest.approx(tolerance(2.0, digits=1))
    assert math.isnan(tolerance(0.0))


def test_adaptive_run() -> None:
    """GUM-S1 7.9.4: an adaptive run ends with every figure at rest within δ: here two digits of u = 2.0, δ = 0.05."""
    found = run(sum_of_four("normal"), trials=None, seed=6)
    assert found.stable is True
    assert found.trials < 10**7
    assert 2.0 == pytest.approx(found.u[0], abs=0.05)
    assert 3.919927969080 == pytest.approx(found.high[0], abs=0.05)
    hasty = run(sum_of_four("normal"), trials=None, seed=6, most=20_000, digits=4)
    assert hasty.stable is False
    assert 20_000 == hasty.trials


# --- JCGM 102 ---------------------------------------------------------------------------------


def additive_pair(u_common: float) -> Callable[[NumberSystem], list[Number]]:
    def formula(numbers: NumberSystem) -> list[Number]:
        one, two = (numbers.error((k, "X", ""), normal(1.0)) for k in (1, 2))
        common = numbers.error((3, "X", ""), normal(u_common))
        return [one + common, two + common]

    return formula


@pytest.mark.parametrize(("u_common", "covariance", "r"), [(1.0, [[2, 1], [1, 2]], 0.5), (3.0, [[10, 9], [9, 10]], 0.9)])
def test_bivariate_additive_model(u_common: float, covariance: list[list[int]], r: float) -> None:
    """GUM-S2 9.2: cov [[2,1],[1,2]], r = 0.5; 9.2.4 with u(X₃) = 3: [[10,9],[9,10]], r = 0.9; by formula and by trials."""
    assert covariance == propagate(additive_pair(u_common)).covariance().tolist()
    found = run(additive_pair(u_common), trials=400_000, seed=7)
    np.testing.assert_allclose(found.covariance, covariance, rtol=0.02)
    assert r == pytest.approx(correlation(found.covariance), abs=0.005)


def test_ellipse_factor() -> None:
    """GUM-S2 6.5.2: k_p = 2.45 for 95 % in two dimensions; unrounded √χ²₀.₉₅(2) = 2.447746830681 (standard tables)."""
    assert 2.447746830681 == pytest.approx(ELLIPSE_K, abs=1e-12)
    assert 2.45 == pytest.approx(ELLIPSE_K, abs=0.005)


def test_ellipse_holds_95_of_100() -> None:
    """GUM-S2 6.5.2.2: the ellipse of a bivariate normal holds 95 % of its draws (10⁵ draws scatter by 0.07 %)."""
    covariance = np.array([[2.0, 1.0], [1.0, 2.0]])
    shape = ellipse(covariance)
    assert shape is not None
    assert 45.0 == pytest.approx(shape.direction_deg)
    draws = np.random.default_rng(8).multivariate_normal((0, 0), covariance, 100_000)
    along = math.radians(shape.direction_deg)
    longer = draws @ (math.sin(along), math.cos(along))
    shorter = draws @ (math.cos(along), -math.sin(along))
    assert 0.95 == pytest.approx(np.mean((longer / shape.longer_mm) ** 2 + (shorter / shape.shorter_mm) ** 2 <= 1), abs=0.0028)


# --- layout steps from first principles ----------------------------------------------------------


def test_midpoint_of_two_marks() -> None:
    """Half of two independent errors: u_x = u_y = σ/√2."""

    def formula(numbers: NumberSystem) -> list[Number]:
        mark = middle(pricked(numbers, "A", 0, 0), pricked(numbers, "B", 60, 25))
        return [mark.x, mark.y]

    assert [0.0707106781] * 2 == pytest.approx(u_of(formula), abs=5e-11)


ARCS = [
    (100, 0.141421356237, 0.0816496580928),
    (60, 0.0848528137424, 0.127920429813),
    (51, 0.072124891681, 0.358834747812),
    (Fraction(100 / math.sqrt(2)), 0.1, 0.1),
]


@pytest.mark.parametrize("of", ["openings", "centres"])
@pytest.mark.parametrize(("opening", "along", "across"), ARCS)
def test_crossing_of_two_arcs(opening: Fraction, along: float, across: float, of: str) -> None:
    """Centres 100 apart, equal openings r, height h: rσ√2/d along, rσ/(√2·h) across, by openings or by centres alike."""

    def formula(numbers: NumberSystem) -> list[Number]:
        arcs = []
        for name, x in (("A", 0), ("B", 100)):
            reach = numbers.rational(opening)
            centre = firm(numbers, x, 0)
            if of == "openings":
                reach = reach + numbers.error((name, "opening", ""), normal(SIGMA))
            else:
                centre = pricked(numbers, name, x, 0)
            arcs.append(Circle(centre, reach * reach, reach))
        mark = meet(numbers, *arcs, -1)
        return [mark.x, mark.y]

    assert [along, across] == pytest.approx(u_of(formula), rel=1e-9)


RIM = [(120, 0.0816496580928, 0.0816496580928), (90, 0.122474487139, 0.0707106781187), (30, 0.914162017269, 0.141421356237)]


@pytest.mark.parametrize(("alpha", "toward", "across"), RIM)
@pytest.mark.parametrize("rim", [40.0, 125.0])
def test_centre_from_three_rim_marks(alpha: int, toward: float, across: float, rim: float) -> None:
    """Marks at 0 and ±α on a rim of any size: σ√1.5/(1 − cos α) toward the first, σ/(√2 sin α) across."""

    def formula(numbers: NumberSystem) -> list[Number]:
        angles = [math.radians(one) for one in (0, alpha, -alpha)]
        marks = [pricked(numbers, str(k), rim * math.cos(a), rim * math.sin(a)) for k, a in enumerate(angles)]
        halves = []
        for other in marks[1:]:
            way = towards(marks[0], other)
            between = middle(marks[0], other)
            halves.append(square_to(Line(between.x, between.y, *way), between))
        centre = meet(numbers, *halves, 0)
        return [centre.x, centre.y]

    assert [toward, across] == pytest.approx(u_of(formula), rel=1e-9)


def test_carried_line() -> None:
    """A line through marks 50 mm apart carried to 125 mm: σ√((1 − 2.5)² + 2.5²)."""

    def formula(numbers: NumberSystem) -> list[Number]:
        a, b = pricked(numbers, "A", 0, 0), pricked(numbers, "B", 50, 0)
        line = Line(a.x, a.y, *towards(a, b))
        upright = Line(numbers.rational(125), numbers.rational(0), numbers.rational(0), numbers.rational(1))
        return [meet(numbers, line, upright, 0).y]

    assert [0.291547594742] == pytest.approx(u_of(formula), rel=1e-11)


def test_two_lines_crossing() -> None:
    """Two lines crossing at g = 30°, each off sideways by σ: semi-axes σ/(√2 sin(g/2)) and σ/(√2 cos(g/2)), longer along the bisector."""

    def formula(numbers: NumberSystem) -> list[Number]:
        lines = []
        for name, angle in (("a", math.radians(15)), ("b", math.radians(-15))):
            c, s = (numbers.rational(Fraction(one)) for one in (math.cos(angle), math.sin(angle)))
            off = numbers.error((name, "sideways", ""), normal(SIGMA))
            lines.append(Line(-s * off, c * off, c, s))
        mark = meet(numbers, *lines, 0)
        return [mark.x, mark.y]

    shape = ellipse(propagate(formula).covariance())
    assert shape is not None
    assert 0.273205080757 == pytest.approx(shape.longer_mm / ELLIPSE_K, rel=1e-10)
    assert 0.0732050807569 == pytest.approx(shape.shorter_mm / ELLIPSE_K, rel=1e-10)
    # the bisector runs along x, a quarter turn from the grain
    assert 90.0 == pytest.approx(shape.direction_deg)


STEPS = [
    (5, 0.618172847751, 0.618033988750),
    (6, 0.692935870106, 0.692820323028),
    (8, 0.866010880563, 0.865913760234),
    (12, 1.242417640070, 1.242331416490),
    (16, 1.631428645220, 1.631345853130),
    (24, 2.420789973960, 2.420709505390),
]


def stepped(settings: Any, count: int) -> Callable[[NumberSystem], list[Number]]:
    """The last of `count` steps round 100 mm with the dividers' own tool, from the top, at the chord and its error."""

    def formula(numbers: NumberSystem) -> list[Number]:
        zero, rim = numbers.rational(0), numbers.rational(100)
        reach = numbers.rational(Fraction(200 * math.sin(math.pi / count))) + numbers.error(("set", "setting", ""), normal(SIGMA))
        bench = Bench(numbers, settings, None, "walk")
        circle = Circle(Point(zero, zero), rim * rim, rim)
        last = round_left(bench, Point(zero, rim), circle, Opening(reach * reach, reach), count=count)[-1]
        return [last.x, last.y]

    return formula


@pytest.mark.parametrize(("count", "overrun", "first_order"), STEPS)
def test_stepping_overrun(every: Any, count: int, overrun: float, first_order: float) -> None:
    """An opening 0.1 mm too large, walked n times: the overrun on the arc, exactly and to first order n·e/cos(π/n)."""
    formula = stepped(every.plan.settings, count)
    x, y = formula(FloatSystem(errors={("set", "setting", ""): 0.1}))
    assert overrun == pytest.approx(100 * abs(math.atan2(x, y)), rel=1e-10)
    found: Propagation = propagate(formula)
    setting = [one.key[1] for one in found.inputs].index("setting")
    assert first_order == pytest.approx(abs(found.contributions[0, setting]), rel=1e-10)
