"""Samples: one entry a trial, in numpy arrays of shape (trials,).

For Monte Carlo work; every result is an *estimate*.  No Python loop runs over
trials.  A trial whose formula has no value keeps NaN from there on and is never
dropped here: whoever replays counts the lost ones.  numpy itself warns of a
division by zero, so a replay sets its own `numpy.errstate`.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

import numpy as np
from numpy.typing import NDArray

from construct.number_systems import Rational, Source

Sample = NDArray[np.float64]
"""Shape (trials,)."""


class SampleSystem:
    """Numbers are float arrays of shape (trials,) (*estimate*), without errors.

    trials: entries of every array.
    """

    name = "samples"
    has_errors = False

    def __init__(self, *, trials: int = 4096) -> None:
        if trials < 1:
            raise ValueError("samples need at least one trial")
        self.trials = trials

    def rational(self, value: Rational) -> Sample:
        """`value` in every trial: a read-only view of one float, so it costs no memory."""
        return np.broadcast_to(np.float64(float(value)), (self.trials,))

    def letter(self, name: str, drawn: Rational) -> Sample:
        """The drawn value of a free choice, in every trial."""
        return self.rational(drawn)

    def sqrt(self, value: Sample) -> Sample:
        """The roots; NaN in trials where `value` is negative."""
        with np.errstate(invalid="ignore"):
            return np.sqrt(value)

    def error(self, key: tuple[object, ...], source: Source) -> Sample:
        """Zero in every trial."""
        return self.rational(0)

    def reading(self, value: Sample, graduation: Rational) -> Sample:
        """The nearest multiple of `graduation`, in each trial; NaN stays."""
        step = float(Fraction(graduation))
        return np.rint(value / step) * step

    def hole(self, value: Sample, holes: Sequence[Rational]) -> Sample:
        """The nearest of `holes` (sorted, rising), in each trial; NaN stays."""
        if not holes:
            raise ValueError("a template needs at least one hole")
        sizes = np.array([float(hole) for hole in holes])
        nearest = sizes[np.searchsorted((sizes[1:] + sizes[:-1]) / 2, value)]
        return np.where(np.isnan(value), np.nan, nearest)

    def sign(self, value: Sample) -> int | None:
        """The sign that all trials share; None where they differ or one is lost."""
        for sign, shared in ((1, value > 0), (-1, value < 0), (0, value == 0)):
            if np.all(shared):
                return sign
        return None

    def to_float(self, value: Sample) -> Any:
        """The mean of the trials that are not lost; NaN where all are."""
        kept = value[~np.isnan(value)]
        return float(kept.mean()) if kept.size else float("nan")


SYSTEM = SampleSystem
