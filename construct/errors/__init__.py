"""Bench errors carried through a layout, in the terms of the GUM (JCGM 100, 101, 102).

Input quantities are the hand's errors, one a key; measurands are marks and cut
edges.  Every figure is *first order* or, where trials were run, an *estimate*.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from typing import Any

from construct.number_systems import Number, NumberSystem, Source

Formula = Callable[[NumberSystem], Sequence[Number | None]]
"""A measurement model: over any number system it gives the measurands, in order; None for one that has no value there."""

Key = Hashable


@dataclass(frozen=True, slots=True)
class InputQuantity:
    """One error of one hand movement.

    key: (step key, source name, place).  source: its standard uncertainty, shape and basis.
    """

    key: tuple[Any, ...]
    source: Source

    @property
    def step(self) -> str:
        """The key of the step that makes it."""
        return str(self.key[0])


@dataclass(frozen=True, slots=True)
class Place:
    """What a measurand is of.

    name: of a mark, or of the drawn thing that a cut edge follows.
    what: "x" or "y" of a mark; "start", "middle" or "finish" of an edge.  edge: the edge's number, None for a mark.
    """

    name: str
    what: str
    edge: int | None = None


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a budget: what one source in one step contributes.

    source: in bench words.  step: the name of what the step made.  line: in the recipe, 0 if unknown.
    u_mm: the contribution |c|·u in mm; over the rows these add in quadrature to the combined u.
    share: its part of the variance, 0…1.
    """

    source: str
    step: str
    line: int
    u_mm: float
    share: float


def effective_degrees(contributions: Sequence[tuple[float, float]]) -> float:
    """Return ν_eff by Welch-Satterthwaite (JCGM 100, G.4.1) from pairs (u_i, ν_i) of independent inputs.

    Infinite where every ν is.
    """
    combined = math.fsum(u * u for u, _ in contributions)
    below = math.fsum(u**4 / nu for u, nu in contributions if not math.isinf(nu))
    return math.inf if below == 0 else combined * combined / below


# last, because these are built from the records above
from construct.errors.analysis import Errors, analyse  # noqa: E402

__all__ = ["Errors", "Formula", "InputQuantity", "Key", "Place", "Row", "analyse", "effective_degrees"]
