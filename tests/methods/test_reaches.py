"""The 95 % reach of a miss: known quantiles, and an independent integral where a systematic part is kept in."""

from __future__ import annotations

import math

import mpmath
import numpy as np
import pytest

from construct.methods.reaches import reach, worst


def test_one_direction_without_offset() -> None:
    """1.96·u (JCGM 100, table G.1: 1.960)."""
    assert 1.959964 * 0.3 == pytest.approx(reach([0.0], np.array([[0.09]])), rel=1e-6)


def test_two_equal_directions_without_offset() -> None:
    """√(−2 ln 0.05)·u, the 95 % quantile of Rayleigh's distribution (JCGM 102, 6.5.2: k = 2.45)."""
    assert math.sqrt(-2 * math.log(0.05)) * 0.2 == pytest.approx(reach([0.0, 0.0], np.eye(2) * 0.04), rel=1e-6)


@pytest.mark.parametrize("offset", [0.1, 0.5, 2.0])
def test_two_equal_directions_about_an_offset(offset: float) -> None:
    """Rice's distribution: ∫ x·exp(−(x² + b²)/2)·I₀(b·x) dx from 0 to R is 0.95, by another library's Bessel function."""
    found = reach([offset * 0.6, offset * 0.8], np.eye(2))
    inside = mpmath.quad(lambda x: x * mpmath.exp(-(x * x + offset * offset) / 2) * mpmath.besseli(0, offset * x), [0, found])
    assert 0.95 == pytest.approx(float(inside), abs=1e-6)


def test_an_offset_many_u_away_widens_one_sided() -> None:
    """Far from no miss only one tail can exceed: |b| + 1.6449·u, less than the ceiling |b| + 1.96·u."""
    found = reach([3.0], np.array([[0.01]]))
    assert 3.0 + 1.644854 * 0.1 == pytest.approx(found, rel=1e-6)
    assert found < 3.0 + 1.96 * 0.1


@pytest.mark.parametrize(("offset", "covariance"), [
    ([0.3, 0.1], [[0.04, 0.01], [0.01, 0.09]]), ([0.0, 0.2], [[1.0, 0.0], [0.0, 1e-4]]), ([0.05, 0.0], [[0.04, 0.039], [0.039, 0.04]]),
])  # fmt: skip
def test_any_covariance_against_drawn_numbers(offset: list[float], covariance: list[list[float]]) -> None:
    """A million draws of numpy's normal distribution lie within the reach 95 times in 100, to four standard deviations."""
    draws = np.random.default_rng(7).multivariate_normal(offset, covariance, size=1_000_000)
    share = float(np.mean(np.hypot(*draws.T) <= reach(offset, np.array(covariance))))
    assert abs(share - 0.95) < 4 * math.sqrt(0.95 * 0.05 / 1e6)


def test_without_spread_the_offset_is_all() -> None:
    """A perfect hand misses by what the method misses."""
    assert 0.5 == reach([0.3, 0.4], np.zeros((2, 2)))
    assert 0.075 == reach([-0.075], np.zeros((1, 1)))
    assert math.hypot(0.3, 1.959964) == pytest.approx(reach([0.3, 0.0], np.diag([0.0, 1.0])), rel=1e-6)


def test_the_worst_part_is_found_without_working_out_all() -> None:
    """Whatever the parts, the farthest reach is the largest of all of them."""
    random = np.random.default_rng(5)
    for _ in range(20):
        offsets = random.normal(size=(6, 2)) * random.choice([0.0, 0.3])
        factors = random.normal(size=(6, 2, 2))
        covariances = [factor @ factor.T for factor in factors]
        every = [reach(offset, covariance) for offset, covariance in zip(offsets, covariances, strict=True)]
        assert (int(np.argmax(every)), max(every)) == worst(offsets.tolist(), covariances)
