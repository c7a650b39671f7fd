"""Laws of the trials: reproducible, streamed, the same on any number of processes, and no lost trial hidden."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from construct.errors.monte_carlo import CHUNK, NOWHERE, MonteCarlo, run
from construct.number_systems import NumberSystem, Source
from construct.phrasebook import say


def root_of_a_draw(numbers: NumberSystem) -> list[Any]:
    """√(1 + x) and x for a standard normal x: lost where x < −1."""
    x = numbers.error(("x", "draw", ""), Source("draw", 1.0))
    return [numbers.sqrt(x + 1), x]


def same(a: MonteCarlo, b: MonteCarlo) -> bool:
    pairs = ((a.estimates, b.estimates), (a.u, b.u), (a.covariance, b.covariance), (a.low, b.low), (a.high, b.high))
    return (a.trials, a.lost, a.lost_where) == (b.trials, b.lost, b.lost_where) and all(np.array_equal(x, y) for x, y in pairs)


def test_seeds_draw_the_same_again() -> None:
    """One seed, one result, to the last bit; another seed, another."""
    first, again, other = (run(root_of_a_draw, trials=10_000, seed=seed) for seed in (1, 1, 2))
    assert same(first, again)
    assert not same(first, other)


def test_processes_change_nothing() -> None:
    """Two processes give what one gives, bit by bit."""
    one = run(root_of_a_draw, trials=CHUNK * 13 + 7, seed=3)
    assert CHUNK * 13 + 7 == one.trials
    assert same(one, run(root_of_a_draw, trials=CHUNK * 13 + 7, seed=3, processes=2))


def test_lost_trials_are_counted() -> None:
    """P(x < −1) = 15.8655 % for a standard normal (standard tables): so many are lost, told, and kept out of every figure."""
    trials = 100_000
    found = run(root_of_a_draw, trials=trials, seed=4)
    assert 0.158655 == pytest.approx(found.lost / trials, abs=4 * math.sqrt(0.1587 * 0.8413 / trials))
    assert found.lost_where == ((say(NOWHERE), found.lost),)
    assert trials - found.lost == found.kept
    # what is left of x is cut off at −1: mean φ(1)/Φ(1) = 0.241971/0.841345 (standard tables)
    assert 0.241971 / 0.841345 == pytest.approx(found.estimates[1], abs=0.012)
    assert found.low[1] > -1


def test_all_lost() -> None:
    """Where no trial has a value there is no figure, and the count says so."""

    def formula(numbers: NumberSystem) -> list[Any]:
        return [numbers.sqrt(numbers.error(("x", "draw", ""), Source("draw", 0.001)) - 1)]

    found = run(formula, trials=1000, seed=5)
    assert 1000 == found.lost
    assert np.isnan(found.u).all() and np.isnan(found.estimates).all()


def test_mean_and_interval_of_a_skew_result() -> None:
    """x² for a standard normal x is χ² with one degree: mean 1, u √2, 95 % equal-tailed 0.000982 to 5.02389 (standard tables)."""

    def formula(numbers: NumberSystem) -> list[Any]:
        x = numbers.error(("x", "draw", ""), Source("draw", 1.0))
        return [x * x]

    found = run(formula, trials=400_000, seed=6)
    assert 1.0 == pytest.approx(found.estimates[0], abs=0.01)
    assert math.sqrt(2) == pytest.approx(found.u[0], abs=0.02)
    # the lower end is known to a bin of 0.005 u
    assert 0.000982 == pytest.approx(found.low[0], abs=0.005 * math.sqrt(2))
    assert 5.02389 == pytest.approx(found.high[0], abs=0.06)
    # one-sided: 95 % of χ² with one degree is 3.84146 (the same tables)
    assert 3.84146 == pytest.approx(found.top[0], abs=0.05)


def test_figures_equal_plain_statistics() -> None:
    """Streamed sums over chunks give numpy's own mean, standard deviation, covariance and quantiles of the same draws."""
    kept: list[np.ndarray] = []

    def formula(numbers: NumberSystem) -> list[Any]:
        x, y = (numbers.error((name, "draw", ""), Source("draw", 0.3)) for name in "xy")
        results = [x + 100, x - y * y]
        kept.append(np.array(results))
        return results

    found = run(formula, trials=CHUNK * 3 + 100, seed=7)
    # the first call is the pilot, which only places the histograms
    draws = np.concatenate(kept[1:], axis=1)
    assert CHUNK * 3 + 100 == draws.shape[1]
    np.testing.assert_allclose(found.estimates, draws.mean(axis=1), rtol=1e-12)
    np.testing.assert_allclose(found.covariance, np.cov(draws), rtol=1e-9)
    np.testing.assert_allclose(found.u, draws.std(axis=1, ddof=1), rtol=1e-9)
    for place in (0, 1):
        low, high = np.quantile(draws[place], [0.025, 0.975])
        assert [low, high] == pytest.approx([found.low[place], found.high[place]], abs=0.005 * found.u[place])


def test_wanted_pairs_and_intervals_alone() -> None:
    """Covariances and intervals that were not asked for are NaN, the others are as in a full run."""
    full = run(root_of_a_draw, trials=9000, seed=8)
    some = run(root_of_a_draw, trials=9000, seed=8, pairs=(), intervals=(1,))
    assert np.isnan(some.covariance[0, 1])
    assert full.covariance[1, 1] == some.covariance[1, 1]
    assert np.isnan(some.low[0])
    assert (full.low[1], full.high[1]) == (some.low[1], some.high[1])


def test_progress_is_told() -> None:
    """Progress rises to the number of trials asked for."""
    told: list[tuple[int, int]] = []
    run(root_of_a_draw, trials=50_000, seed=9, progress=lambda done, total: told.append((done, total)))
    assert (50_000, 50_000) == told[-1]
    assert sorted(told) == told and len(told) > 1


def test_too_few_trials() -> None:
    """One trial has no spread."""
    with pytest.raises(ValueError, match="two trials"):
        run(root_of_a_draw, trials=1, seed=1)


def test_arcs_that_may_miss(lay: Any) -> None:
    """Two arcs 100 mm apart at openings of 50.1 mm: u of their gap is √(2·0.20² + 2·0.20²) = 0.40 mm, so they miss in
    P(z > 0.2/0.40) = 30.9 % of trials; the step and its line are told."""
    text = """\
  A : mark anywhere, say at (-50, 0) mm
  B : mark anywhere, say at (50, 0) mm
  r : opening, 50.1 mm by ruler
  s : opening, 50.1 mm by ruler
  a : arc about A, opening r
  b : arc about B, opening s
  P, Q : marks where a meets b
"""
    head = "plate round, 240 mm across\nbench ordinary\nstep Do it\n"
    found = run(lay(text, head).formula(), trials=40_000, seed=10)
    share = 0.5 * math.erfc(0.2 / math.sqrt(2 * 0.2**2 + 2 * 0.20**2) / math.sqrt(2))
    assert 0.309 == pytest.approx(share, abs=0.001)
    assert share == pytest.approx(found.lost / 40_000, abs=0.01)
    assert [("line 10: `P, Q` could not be made", found.lost)] == list(found.lost_where)


@pytest.mark.parametrize("words", ["on the R side of g, nearest L", "on the R side of g, farthest from R", "nearest L, on the R side of g"])
def test_words_with_nothing_to_decide_are_not_asked(lay: Any, words: str) -> None:
    """A side leaves one crossing; that it is not the nearest of the two loses no trial: the hand has only that one to take."""
    text = f"""\
  g : line by centre finder, along the grain
  h : line by centre finder, across the grain
  C : mark where g meets h
  rim : circle about C, 20 mm inside the edge
  B, T : marks where g meets rim
  L, R : marks where h meets rim
  M : mark 30 mm from C toward T, by ruler
  k : line square to g at M, by square
  X : mark where k meets rim, {words}
"""
    found = run(lay(text).formula(), trials=2000, seed=12)
    assert 0 == found.lost


def test_words_that_no_longer_fit(lay: Any) -> None:
    """`nearest B` of two crossings almost equally far from B: in about half of the trials it is the other one, and those are lost."""
    text = """\
  A : mark anywhere, say at (0, 0) mm
  B : mark anywhere, say at (60, 0.001) mm
  D : mark anywhere, say at (-40, 0) mm
  k : line through A and B
  r : opening, 30 mm by ruler
  a : circle about A, opening r
  d : circle about D, opening r
  P : mark where a meets d, nearest B
"""
    found = run(lay(text).formula(), trials=20_000, seed=11)
    ((what, count),) = found.lost_where
    assert "line 11: `P` is no longer nearest B" == what
    assert found.lost == count
    assert 0.5 == pytest.approx(count / 20_000, abs=0.02)


def test_what_varies_seldom() -> None:
    """A result that stood still in the pilot and jumps in few trials still has its u: √(p(1 − p))·jump for a share p
    (a two-point distribution, by hand), and no interval is made up for it."""

    def formula(numbers: NumberSystem) -> list[Any]:
        x = numbers.error(("x", "draw", ""), Source("draw", 1.0))
        # −2 for x up to 3.5, 9 beyond: P(x > 3.5) = 0.000232629 (standard tables)
        return [numbers.hole(x, [-2, 9])]

    trials = 200_000
    found = run(formula, trials=trials, seed=2)
    p = (found.estimates[0] + 2) / 11
    assert 0.000232629 == pytest.approx(p, abs=4 * math.sqrt(0.000232629 / trials))
    assert 11 * math.sqrt(p * (1 - p)) == pytest.approx(found.u[0], rel=1e-4)
    assert math.isnan(found.low[0])
