"""Laws of samples: the same formula for every trial, lost trials kept as NaN."""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest

from construct.number_systems import Source
from construct.number_systems.exact import ExactSystem
from construct.number_systems.float import FloatSystem
from construct.number_systems.samples import SampleSystem

TRIALS = 64


def spread(seed: int = 20) -> np.ndarray:
    return np.random.default_rng(seed).normal(2.0, 1.5, TRIALS)


def test_shapes() -> None:
    """Every value has one entry a trial, and a constant costs no memory for them."""
    samples = SampleSystem(trials=TRIALS)
    for value in (samples.rational(Fraction(1, 3)), samples.letter("reach", 140), samples.error((1,), Source("pencil", 0.1))):
        assert (TRIALS,) == value.shape
        assert np.float64 == value.dtype
    assert (0,) == samples.rational(7).strides
    assert not samples.has_errors
    with pytest.raises(ValueError, match="at least one trial"):
        SampleSystem(trials=0)


def test_roots_keep_lost_trials() -> None:
    """The root of a negative entry is NaN without a warning; the others are the standard library's."""
    samples = SampleSystem(trials=TRIALS)
    values = spread()
    roots = samples.sqrt(values)
    assert 0 < np.isnan(roots).sum() < TRIALS
    for value, root in zip(values, roots, strict=True):
        assert math.isnan(root) if value < 0 else math.isclose(math.sqrt(value), root, rel_tol=1e-15)


def test_readings_and_holes_are_taken_in_each_trial() -> None:
    """Entry by entry the same as the float system; NaN stays."""
    samples, plain = SampleSystem(trials=TRIALS), FloatSystem()
    values = spread()
    holes = [Fraction(1), Fraction(2), Fraction(7, 2)]
    readings, nearest = samples.reading(values, Fraction(1, 2)), samples.hole(values, holes)
    assert [plain.reading(value, Fraction(1, 2)) for value in values] == readings.tolist()
    assert [plain.hole(value, holes) for value in values] == nearest.tolist()
    assert 1 < len(set(nearest.tolist()))
    lost = np.where(values < 1.0, np.nan, values)
    assert np.array_equal(np.isnan(lost), np.isnan(samples.hole(lost, holes)))
    assert np.array_equal(np.isnan(lost), np.isnan(samples.reading(lost, 1)))
    with pytest.raises(ValueError, match="at least one hole"):
        samples.hole(values, [])


def test_signs_are_common_or_none() -> None:
    """A sign is told only where all trials share it and none is lost."""
    samples = SampleSystem(trials=3)
    assert 1 == samples.sign(np.array([1.0, 2.0, 0.1]))
    assert -1 == samples.sign(np.array([-1.0, -2.0, -0.1]))
    assert 0 == samples.sign(samples.rational(0))
    assert None is samples.sign(np.array([1.0, -2.0, 0.1]))
    assert None is samples.sign(np.array([1.0, 0.0, 0.1]))
    assert None is samples.sign(np.array([1.0, np.nan, 0.1]))


def test_floats_are_means() -> None:
    """The mean leaves lost trials out; with none left it is NaN."""
    samples = SampleSystem(trials=3)
    assert 2.0 == samples.to_float(np.array([1.0, np.nan, 3.0]))
    assert math.isnan(samples.to_float(np.full(3, np.nan)))


def test_without_errors_samples_are_the_exact_value() -> None:
    """The same formula over exact numbers gives the same value to 1e-12, in every trial."""
    results = []
    for system in (SampleSystem(trials=TRIALS), ExactSystem()):
        radius = system.letter("radius", Fraction(453, 5))
        side = radius * system.sqrt((5 - system.sqrt(system.rational(5))) / 2)
        results.append((system, side - radius / 3))
    (_, many), (exact, value) = results
    assert np.allclose(exact.to_float(value), many, rtol=1e-12, atol=0.0)
