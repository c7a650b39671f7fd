"""Samples: one entry a trial, in numpy arrays of shape (trials,).

For Monte Carlo work; every result is an *estimate*.  No Python loop runs over
trials.  A trial whose formula has no value keeps NaN from there on and is never
dropped here: whoever replays counts the lost ones.  numpy itself warns of a
division by zero, so a replay sets its own `numpy.errstate`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import Any

import numpy as np
from numpy.typing import NDArray

from construct.number_systems import Rational, Source

Sample = NDArray[np.float64]
"""Shape (trials,)."""


class SampleSystem:
    """Numbers are float arrays of shape (trials,) (*estimate*), with or without errors.

    trials: entries of every array.
    errors: draw every error anew in each trial.  Constants are then numpy scalars, which broadcast; the caller
        sets `numpy.errstate` once for the whole replay.
    seed: an int or a `SeedSequence`; the draws of a replay depend on it and on the order of its errors alone.
    noted: every error that was drawn, by key.
    lost: trials that a formula gives up although its numbers exist: (what happened, mask of shape (trials,)).
    explain: set by a formula: called where trials are lost, it says where they were, as such pairs.
    """

    name = "samples"

    def __init__(self, *, trials: int = 4096, seed: int | np.random.SeedSequence | None = None, errors: bool = False) -> None:
        if trials < 1:
            raise ValueError("samples need at least one trial")
        if errors and seed is None:
            raise ValueError("samples with errors need a seed, so that they can be drawn again")
        self.trials = trials
        self.has_errors = errors
        self.noted: dict[tuple[object, ...], Source] = {}
        self.lost: list[tuple[str, NDArray[np.bool_]]] = []
        self.explain: Callable[[], Sequence[tuple[str, NDArray[np.bool_]]]] | None = None
        self._drawn: dict[tuple[object, ...], Sample] = {}
        self._random = np.random.Generator(np.random.SFC64(seed)) if errors else None

    def rational(self, value: Rational) -> Any:
        """`value` in every trial: one float, or without errors a read-only view of one, so it costs no memory."""
        if self._random is not None:
            return np.float64(value)
        return np.broadcast_to(np.float64(float(value)), (self.trials,))

    def letter(self, name: str, drawn: Rational) -> Any:
        """The drawn value of a free choice, in every trial."""
        return self.rational(drawn)

    def sqrt(self, value: Sample) -> Sample:
        """The roots; NaN in trials where `value` is negative."""
        if self._random is not None:
            return np.sqrt(value)
        with np.errstate(invalid="ignore"):
            return np.sqrt(value)

    def error(self, key: tuple[object, ...], source: Source) -> Any:
        """Zero in every trial; with errors a draw a trial, normal or rectangular (JCGM 101, 6.4), once for each key."""
        if self._random is None:
            return self.rational(0)
        drawn = self._drawn.get(key)
        if drawn is None:
            if source.shape == "rectangular":
                drawn = self._random.random(self.trials)
                drawn -= 0.5
                drawn *= 2 * math.sqrt(3) * source.u
            else:
                drawn = self._random.standard_normal(self.trials)
                drawn *= source.u
            self._drawn[key] = drawn
            self.noted[key] = source
        return drawn

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
        value = np.atleast_1d(value)
        kept = value[~np.isnan(value)]
        return float(kept.mean()) if kept.size else float("nan")


SYSTEM = SampleSystem
