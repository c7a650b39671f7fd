"""The law of propagation of uncertainty (JCGM 100, 5; JCGM 102, 6): gradients in, covariances out. *First order*."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from construct.errors import Formula, InputQuantity
from construct.number_systems.first_order import FirstOrderSystem
from construct.number_systems.float import FloatSystem

Array = NDArray[np.float64]

TANGENT_SLACK = 1e-9
"""Radicands this little under 0 are rounding, mm² or 1: the exact replay has seen that there is a root."""


@dataclass(frozen=True, slots=True)
class Propagation:
    """A formula's values and sensitivity coefficients.

    inputs: the input quantities, n of them.  estimates: shape (m,), in mm.
    sensitivity: c, shape (m, n), per mm (per rad for angles).
    A measurand that the formula gives no value for has NaN in both.
    """

    inputs: tuple[InputQuantity, ...]
    estimates: Array
    sensitivity: Array

    @property
    def u(self) -> Array:
        """Standard uncertainties of the inputs, shape (n,)."""
        return np.array([one.source.u for one in self.inputs])

    @property
    def contributions(self) -> Array:
        """c·u, signed, shape (m, n), in mm."""
        return self.sensitivity * self.u

    def covariance(self) -> Array:
        """Covariance of the measurands, shape (m, m), in mm² (JCGM 102, 6.2.1.3)."""
        contributions = self.contributions
        return contributions @ contributions.T


def propagate(formula: Formula, *, system: type[FirstOrderSystem] = FirstOrderSystem) -> Propagation:
    """Return values and sensitivities of a formula; cost: two replays.

    system: how readings are taken; by itself a reading's rounding is an offset and no spread.
    Raises `NotANumber` where a measurand has no derivative (two things just touch), unless the
    formula itself knows and gives None.
    """
    noting = system(base=FloatSystem(tangent_slack=TANGENT_SLACK))
    formula(noting)
    keys = tuple(noting.noted)
    results = formula(system(base=FloatSystem(tangent_slack=TANGENT_SLACK), errors=keys))
    estimates = np.full(len(results), np.nan)
    sensitivity = np.zeros((len(results), len(keys)))
    for place, one in enumerate(results):
        if one is None:
            sensitivity[place] = np.nan
            continue
        estimates[place] = one.value
        if one.grad is not None:
            sensitivity[place] = one.grad
    return Propagation(tuple(InputQuantity(key, noting.noted[key]) for key in keys), estimates, sensitivity)
