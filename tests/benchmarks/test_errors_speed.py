"""Ratios that errors may cost, against the barest loop of the same numpy operations and draws (own figures; no source)."""

from __future__ import annotations

import gc
import math
import subprocess
import sys
import time
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from construct.chips.subdivision import carve
from construct.errors import Formula
from construct.errors.measurands import LayoutFormula, make_formula
from construct.errors.monte_carlo import BINS, CHUNK, run
from construct.errors.propagation import propagate
from construct.number_systems import Source
from construct.number_systems.exact import ExactSystem
from construct.number_systems.float import FloatSystem
from construct.plan.planner import make_plan
from construct.replay import settle
from construct.study import load

ROUNDS = 7


class Noted:
    """A number that only notes what was done to it."""

    __array_ufunc__ = None

    def __init__(self, tape: Tape, place: int) -> None:
        self.tape = tape
        self.place = place

    def _with(self, how: Any, a: Any, b: Any) -> Noted:
        return self.tape.note(how, a, b)

    def __add__(self, other: Any) -> Noted:
        return self._with(np.add, self, other)

    def __radd__(self, other: Any) -> Noted:
        return self._with(np.add, other, self)

    def __sub__(self, other: Any) -> Noted:
        return self._with(np.subtract, self, other)

    def __rsub__(self, other: Any) -> Noted:
        return self._with(np.subtract, other, self)

    def __mul__(self, other: Any) -> Noted:
        return self._with(np.multiply, self, other)

    __rmul__ = __mul__

    def __truediv__(self, other: Any) -> Noted:
        return self._with(np.true_divide, self, other)

    def __rtruediv__(self, other: Any) -> Noted:
        return self._with(np.true_divide, other, self)

    def __neg__(self) -> Noted:
        return self.tape.note(np.negative, self)


class Tape:
    """Notes the operations of one replay; constants stay constants, as they do in samples."""

    name = "tape"
    has_errors = True

    def __init__(self) -> None:
        self.start: list[Any] = []
        self.draws: list[tuple[int, float]] = []
        self.done: list[tuple[Any, tuple[int, ...], int]] = []
        self.varies: list[bool] = []
        self._keys: dict[Any, Noted] = {}

    def _new(self, value: Any, varies: bool) -> Noted:
        self.start.append(value)
        self.varies.append(varies)
        return Noted(self, len(self.start) - 1)

    def note(self, how: Any, *parts: Any) -> Noted:
        places = [one if isinstance(one, Noted) else self._new(np.float64(one), False) for one in parts]
        varies = any(self.varies[one.place] for one in places)
        if not varies:
            return self._new(how(*(self.start[one.place] for one in places)), False)
        made = self._new(None, True)
        self.done.append((how, tuple(one.place for one in places), made.place))
        return made

    def rational(self, value: Any) -> Noted:
        return self._new(np.float64(value), False)

    def letter(self, name: str, drawn: Any) -> Noted:
        return self.rational(drawn)

    def sqrt(self, value: Noted) -> Noted:
        return self.note(np.sqrt, value)

    def error(self, key: Any, source: Source) -> Noted:
        if key not in self._keys:
            self._keys[key] = self._new(None, True)
            self.draws.append((self._keys[key].place, source.u))
        return self._keys[key]

    def reading(self, value: Noted, graduation: Any) -> Noted:
        step = float(graduation)
        return self.note(np.multiply, self.note(np.rint, self.note(np.true_divide, value, step)), step)

    def hole(self, value: Noted, holes: Any) -> Noted:
        sizes = np.array([float(hole) for hole in holes])
        return self.note(lambda one: sizes[np.searchsorted((sizes[1:] + sizes[:-1]) / 2, one)], value)

    def floor(self, trials: int, seed: int) -> None:
        """Draw and compute one chunk with nothing around it; an array is given back as soon as it was used last."""
        last = {place: number for number, (_, places, _) in enumerate(self.done) for place in places}
        slots: list[Any] = list(self.start)
        random = np.random.Generator(np.random.SFC64(seed))
        drawn = dict(self.draws)
        clock = 0.0
        for number, (how, places, made) in enumerate(self.done):
            begun = time.process_time()
            for place in places:
                if slots[place] is None:
                    slots[place] = random.standard_normal(trials) * drawn[place]
            slots[made] = how(*(slots[place] for place in places))
            clock += time.process_time() - begun
            for place in places:
                if last[place] == number:
                    slots[place] = None if self.varies[place] else slots[place]
        self.clock = clock


def best(work: Callable[[], Any]) -> float:
    """Return the shortest of several runs, in s."""
    times = []
    gc.disable()
    try:
        for _ in range(ROUNDS):
            begun = time.process_time()
            work()
            times.append(time.process_time() - begun)
    finally:
        gc.enable()
    return min(times)


@pytest.fixture(scope="module")
def demo() -> LayoutFormula:
    recipe, methods = load("clock-dial")
    exact = ExactSystem()
    settled = settle(make_plan(recipe, methods=methods), exact)
    return make_formula(settled, carve(settled, exact), exact)[0]
