"""Ratios that errors may cost, against the barest loop of the same numpy operations and draws (own targets; no source).

Run with `pytest tests/benchmarks --benchmark-enable`; the ordinary test command skips these.  Times are the
process's own, so that a busy machine disturbs them less.
"""

from __future__ import annotations

import gc
import subprocess
import sys
import time
import tracemalloc
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
import pytest

from construct.chips.subdivision import carve
from construct.errors.measurands import LayoutFormula, make_formula
from construct.errors.monte_carlo import CHUNK, run
from construct.errors.propagation import propagate
from construct.number_systems import Source
from construct.number_systems.exact import ExactSystem
from construct.number_systems.float import FloatSystem
from construct.plan.planner import make_plan
from construct.replay import replay, settle
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

    def floor(self, trials: int, seed: int, results: Sequence[Noted]) -> float:
        """Draw and compute one chunk with nothing around it, and return the time; an array is given back after its last use."""
        last = {place: number for number, (_, places, _) in enumerate(self.done) for place in places}
        wanted = {one.place for one in results}
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
                if last[place] == number and self.varies[place] and place not in wanted:
                    slots[place] = None
        self.slots = slots
        return clock


def tallied(rows: Sequence[Any]) -> float:
    """Return the time of the barest tally of the same measurands: sums, squares and a histogram each."""
    scales = [2400 / 12 / row.std() for row in rows]
    begun = time.process_time()
    for row, scale in zip(rows, scales, strict=True):
        scaled = row * scale
        scaled += 1200 - scaled[0]
        scaled.sum()
        scaled.dot(scaled)
        np.bincount(np.clip(scaled, 0, 2401).astype(np.intp), minlength=2402)
    return time.process_time() - begun


def best(*works: Callable[[], float | None]) -> list[float]:
    """Return the shortest of several rounds, in s, for works done in turn; one that gives a time is taken at its word."""
    times: list[list[float]] = [[] for _ in works]
    gc.disable()
    try:
        for _ in range(ROUNDS):
            for work, some in zip(works, times, strict=True):
                begun = time.process_time()
                own = work()
                some.append(time.process_time() - begun if own is None else own)
    finally:
        gc.enable()
    return [min(some) for some in times]


@pytest.fixture(scope="module")
def demo() -> LayoutFormula:
    recipe, methods = load("clock-dial")
    exact = ExactSystem()
    settled = settle(make_plan(recipe, methods=methods), exact)
    return make_formula(settled, carve(settled, exact), exact)[0]


def test_monte_carlo_over_its_floor(demo: LayoutFormula, benchmark: Any) -> None:
    """Trials with all their figures cost at most 1.3 times the same numpy operations, draws and tallies with nothing around them."""
    tape = Tape()
    results = [one for one in demo(tape) if one is not None]  # type: ignore[arg-type]
    tape.floor(CHUNK, 1, results)
    rows = [tape.slots[one.place] for one in results if tape.varies[one.place]]
    chunks = 8

    def trials() -> float:
        begun = time.process_time()
        run(demo, trials=CHUNK * chunks, seed=1, pairs=demo.pairs)
        return (time.process_time() - begun) / chunks

    operations, tally, all_of_it = best(lambda: tape.floor(CHUNK, 1, results), lambda: tallied(rows), trials)
    benchmark.extra_info["us_a_trial"] = all_of_it / CHUNK * 1e6
    benchmark.extra_info["ratio"] = all_of_it / (operations + tally)
    benchmark.pedantic(run, (demo,), {"trials": CHUNK * 2, "seed": 1, "pairs": demo.pairs}, rounds=2)
    assert all_of_it / (operations + tally) <= 1.3


def test_first_order_over_a_float_replay(demo: LayoutFormula, benchmark: Any) -> None:
    """The whole demo in first order with full covariance costs at most 30 float replays."""
    plain, first = best(
        lambda: replay(demo.plan, FloatSystem(tangent_slack=1e-9)) and None, lambda: propagate(demo).covariance().size and None
    )
    benchmark.extra_info["ratio"] = first / plain
    benchmark.pedantic(propagate, (demo,), rounds=2)
    assert first / plain <= 30


def test_two_processes(demo: LayoutFormula, benchmark: Any) -> None:
    """Two processes take at most 0.75 of the time of one; by the clock, so only a machine with two idle cores can pass."""

    def timed(processes: int) -> float:
        begun = time.perf_counter()
        run(demo, trials=CHUNK * 240, seed=1, pairs=demo.pairs, processes=processes)
        return time.perf_counter() - begun

    one, two = timed(1), timed(2)
    benchmark.extra_info["ratio"] = two / one
    benchmark.pedantic(lambda: None)
    assert two / one <= 0.75


MEMORY = """
from pathlib import Path
from construct.errors.monte_carlo import run
from construct.number_systems import Source

def formula(numbers):
    x, y = (numbers.error((name, name, ""), Source(name, 0.1)) for name in "xy")
    return [x + y, numbers.sqrt(x * x + y * y)]

def most():
    # not getrusage: a child starts with its parent's maximum there
    return int(Path("/proc/self/status").read_text().split("VmHWM:")[1].split()[0]) / 1024

base = most()
run(formula, trials=10**7, seed=1)
print(most() - base)
"""


def test_memory_does_not_grow(benchmark: Any) -> None:
    """Ten million trials take at most 64 MB over the base (a process of its own)."""
    done = benchmark.pedantic(lambda: subprocess.run([sys.executable, "-c", MEMORY], capture_output=True, text=True, check=True), rounds=1)
    benchmark.extra_info["mb"] = float(done.stdout)
    assert float(done.stdout) <= 64


def test_memory_of_the_demo(demo: LayoutFormula, benchmark: Any) -> None:
    """The demo's own chunk and tallies stay within 64 MB, and five times the trials change nothing."""
    peaks = []
    for chunks in (6, 30):
        tracemalloc.start()
        run(demo, trials=CHUNK * chunks, seed=1, pairs=demo.pairs)
        peaks.append(tracemalloc.get_traced_memory()[1] / 2**20)
        tracemalloc.stop()
    benchmark.extra_info["mb"] = peaks[1]
    benchmark.pedantic(lambda: None)
    assert peaks[1] <= 64
    assert peaks[1] - peaks[0] <= 1
