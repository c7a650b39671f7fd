"""Propagation of distributions by trials (JCGM 101; several measurands together: JCGM 102, 7).  All figures are *estimates*.

Streamed in chunks: memory does not grow with the number of trials, and no Python
loop runs over them.  A chunk's draws depend on seed and chunk number alone, so
the result is the same however many processes share the work.  A trial in which
any measurand has no value, or a formula gives up, is lost as a whole: counted,
told, and kept out of every figure.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from multiprocessing import get_context
from typing import Any

import numpy as np
from numpy.typing import NDArray

from construct.errors import Formula
from construct.number_systems.samples import SampleSystem
from construct.phrasebook import say

Array = NDArray[np.float64]

CHUNK = 4096
"""Trials at a time: arrays of this length stay in a processor's cache."""

BATCH = 4
"""Chunks between two looks at whether the results are stable: at least 10⁴ trials (JCGM 101, 7.9.4)."""

PILOT = 1024
"""Trials drawn beforehand to place the histograms; they count for nothing else."""

REACH = 6
"""Histograms reach this many standard uncertainties to both sides of the pilot's mean."""

BINS = 2400
"""Bins in a histogram: each is 0.005 u wide, which is the finest numerical tolerance for two digits of u."""

COVERAGE = 0.95

NOWHERE = "hand.lost.nowhere"


@dataclass(frozen=True, slots=True)
class MonteCarlo:
    """What the trials gave.

    trials: how many were run, lost ones among them.  seed: draws them again.
    lost: how many were lost in all; lost_where: how many by what happened first, most frequent first.
    estimates, u: means and standard uncertainties, shape (m,), in the measurands' unit, usually mm.
    covariance: shape (m, m); NaN where it was not asked for, and u² on the diagonal.
    low, high: ends of the 95 % coverage interval with equal tails, shape (m,); NaN where not asked for.
    top: what is not exceeded in 95 % of the trials, with no tail on the other side, shape (m,): for what is only ever
        too large, such as a range; NaN where no interval was asked for.
    stable: for an adaptive run, whether the results came to rest within the numerical tolerance
        (JCGM 101, 7.9.4); None where the number of trials was given.
    """

    trials: int
    seed: int
    lost: int
    lost_where: tuple[tuple[str, int], ...]
    estimates: Array
    u: Array
    covariance: Array
    low: Array
    high: Array
    top: Array
    stable: bool | None = None

    @property
    def kept(self) -> int:
        """Trials that count."""
        return self.trials - self.lost


def tolerance(u: float, digits: int = 2) -> float:
    """Return the numerical tolerance δ for so many significant digits of u (JCGM 101, 7.9.2)."""
    if not u > 0 or math.isinf(u):
        return math.nan
    return 0.5 * 10.0 ** (math.floor(math.log10(u) + 1e-12) - digits + 1)


def run(
    formula: Formula,
    *,
    trials: int | None,
    seed: int,
    chunk: int = CHUNK,
    processes: int = 1,
    progress: Callable[[int, int], None] | None = None,
    pairs: Sequence[tuple[int, int]] | None = None,
    intervals: Sequence[int] | None = None,
    most: int = 10**7,
    digits: int = 2,
) -> MonteCarlo:
    """Run trials of a formula.

    trials: how many; None runs until the results are stable (JCGM 101, 7.9), `most` trials at most.
    chunk: trials at a time.  processes: how many share the work; the formula must then be picklable.
    progress: called with (trials done, trials in all or `most`).
    pairs: measurands whose covariance is wanted; all where None.  intervals: measurands whose coverage interval is
        wanted; all where None.  digits: significant digits of u that an adaptive run must settle.
    """
    total = most if trials is None else trials
    if total < 2:
        raise ValueError("a standard uncertainty needs at least two trials")
    _hold_memory()
    wanted = None if pairs is None else tuple(pairs)
    task = _Task(formula, seed, chunk, total, None, wanted, None if intervals is None else tuple(intervals)).framed()
    tally, blocks = task.empty(np.int64), []
    done = 0
    stable = None if trials is not None else False
    for part in _parts(task, processes):
        tally.add(part)
        done += part.trials
        if progress is not None:
            progress(done, total)
        if trials is None:
            blocks.append(part.figures(task))
            if len(blocks) > 1 and _at_rest(blocks, tally.figures(task), digits):
                stable = True
                break
        # not kept while the next one is made
        del part
    return tally.result(task, seed, done, stable)


def _parts(task: _Task, processes: int) -> Iterator[_Tally]:
    """Yield the tallies of the batches in order."""
    batches = range(0, task.chunks, BATCH)
    if processes <= 1 or len(batches) < 2:
        yield from map(task.batch, batches)
        return
    with ProcessPoolExecutor(processes, mp_context=get_context("spawn"), initializer=_start, initargs=(task,)) as pool:
        # a few batches ahead and no more, so that memory stays bounded and an adaptive run can end
        waiting = []
        for first in batches:
            waiting.append(pool.submit(_work, first))
            if len(waiting) > 2 * processes:
                yield waiting.pop(0).result()
        try:
            while waiting:
                yield waiting.pop(0).result()
        finally:
            for one in waiting:
                one.cancel()


_here: list[_Task] = []
"""A worker process's task; filled once by its initializer."""


def _start(task: _Task) -> None:
    _hold_memory()
    _here.append(task)


def _work(first: int) -> _Tally:
    return _here[0].batch(first)


def _hold_memory() -> None:
    """Have the C library keep freed memory instead of giving it back and fetching it anew for every chunk (a sixth of the time).

    glibc raises its thresholds to the largest block that it saw freed (mallopt(3), M_MMAP_THRESHOLD), up to 32 MB;
    the block is never written to, so it takes up no memory.  Elsewhere this does nothing.
    """
    np.empty(30 * 2**20, dtype=np.int8)


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where the histograms lie, from the pilot: middles and bin widths, shape (m,).

    fixed: measurands that did not vary in it; they have no histogram, and their bin width is 1.
    """

    middle: Array
    width: Array
    fixed: NDArray[np.bool_]

    @property
    def scale(self) -> Array:
        """Bins for each unit."""
        return 1 / self.width

    @property
    def zero(self) -> Array:
        """Where the middle comes to lie: in the middle of the bins; at 0 without a histogram."""
        return np.where(self.fixed, 0.0, BINS / 2 + 1)

    @property
    def shift(self) -> Array:
        """What puts the middle there."""
        return self.zero - self.middle / self.width


@dataclass(frozen=True, slots=True)
class _Task:
    """What a worker needs to know."""

    formula: Formula
    seed: int
    chunk: int
    total: int
    frame: _Frame | None
    pairs: tuple[tuple[int, int], ...] | None
    intervals: tuple[int, ...] | None

    @property
    def chunks(self) -> int:
        return -(-self.total // self.chunk)

    def framed(self) -> _Task:
        """Return the task with its frame, found from the pilot."""
        with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
            rows, _, _ = self.without_lost(*self.rows(None))
        middle, width = np.zeros(len(rows)), np.zeros(len(rows))
        for place, row in enumerate(rows):
            middle[place] = row.mean() if row.size else 0.0
            spread = row.std() if row.ndim and row.size else 0.0
            # rounding noise is no spread
            width[place] = 2 * REACH * spread / BINS if spread > 1e-12 * (1 + abs(middle[place])) else 0.0
        fixed = width == 0
        width[fixed] = 1.0
        intervals = tuple(range(len(rows))) if self.intervals is None else self.intervals
        return _Task(self.formula, self.seed, self.chunk, self.total, _Frame(middle, width, fixed), self.pairs, intervals)

    def rows(self, number: int | None) -> tuple[list[Any], SampleSystem]:
        """Return a chunk's measurands, each an array over its trials or one number, lost trials among them; None: the pilot."""
        trials = PILOT if number is None else min(self.chunk, self.total - number * self.chunk)
        key = (0, 0) if number is None else (number,)
        system = SampleSystem(trials=trials, seed=np.random.SeedSequence(self.seed, spawn_key=key), errors=True)
        return [np.asarray(np.nan if one is None else one) for one in self.formula(system)], system

    def without_lost(self, rows: list[Any], system: SampleSystem) -> tuple[list[Any], int, Counter[str]]:
        """Return the rows without their lost trials, how many those are, and what happened in them first."""
        trials = system.trials
        kept = np.ones(trials, dtype=bool)
        for row in rows:
            # one number that is none has no value in any trial: that is no loss of trials
            if row.ndim or np.isfinite(row):
                kept &= np.isfinite(row)
        causes = [*(system.explain() if system.explain is not None else ()), *system.lost]
        where: Counter[str] = Counter()
        told = np.zeros(trials, dtype=bool)
        for label, mask in causes:
            new = mask & ~told
            if new.any():
                where[label] += int(new.sum())
                told |= new
        nowhere = ~kept & ~told
        if nowhere.any():
            where[say(NOWHERE)] += int(nowhere.sum())
        kept &= ~told
        return [row if row.ndim == 0 else row[kept] for row in rows], int(trials - kept.sum()), where

    def empty(self, kind: type[np.integer[Any]]) -> _Tally:
        """Return a tally of nothing; a batch's counts fit into a smaller kind of integer than those of all trials."""
        assert self.frame is not None and self.intervals is not None
        size = len(self.frame.middle)
        products = np.zeros((size, size)) if self.pairs is None else np.zeros(len(self.pairs))
        bins = np.zeros((len(self.intervals), BINS + 2), dtype=kind)
        return _Tally(0, 0, Counter(), np.zeros(size), np.zeros(size), products, bins)

    def batch(self, first: int) -> _Tally:
        """Return the tally of a batch of chunks."""
        assert self.frame is not None and self.intervals is not None
        tally = self.empty(np.int32)
        for number in range(first, min(first + BATCH, self.chunks)):
            with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
                rows, system = self.rows(number)
                tally.trials += system.trials
                if system.lost or not np.isfinite(sum(row.sum() for row in rows if row.ndim)):
                    rows, lost, where = self.without_lost(rows, system)
                    tally.lost += lost
                    tally.where.update(where)
            # the replay's values are given back before the tally, to keep memory small
            del system
            tally.take(rows, self)
        return tally


def _counted(scaled: Array, square: float) -> NDArray[np.int64]:
    """Return how many entries fall into each bin, the two end bins open; square: the sum of their squares."""
    if square > 1e18:
        # an entry might be too large for an integer
        scaled = np.clip(scaled, 0.0, BINS + 1.0)
    bins = scaled.astype(np.int32)
    np.maximum(bins, 0, out=bins)
    np.minimum(bins, BINS + 1, out=bins)
    return np.bincount(bins, minlength=BINS + 2)


@dataclass(slots=True)
class _Tally:
    """Running sums of some chunks, in units of the frame's bins; tallies add up."""

    trials: int
    lost: int
    where: Counter[str]
    sums: Array
    squares: Array
    products: Array
    bins: NDArray[np.integer[Any]] = field(repr=False)

    def take(self, rows: list[Any], task: _Task) -> None:
        """Add a chunk's kept trials; the rows are used up one by one."""
        assert task.frame is not None and task.intervals is not None
        scale, shift = task.frame.scale, task.frame.shift
        wanted = {place: number for number, place in enumerate(task.intervals) if not task.frame.fixed[place]}
        kept = next((row.size for row in rows if row.ndim), 0)
        scaled: list[Any] = []
        for place in range(len(rows)):
            row, rows[place] = rows[place], None
            if row.ndim == 0 or not kept:
                scaled.append(np.zeros(()))
                continue
            # in units of a bin, from the histogram's lower end: one scaling serves sums and histograms
            one = row * scale[place]
            one += shift[place]
            scaled.append(one)
            square = one.dot(one)
            self.sums[place] += one.sum()
            self.squares[place] += square
            if place in wanted:
                self.bins[wanted[place]] += _counted(one, square)
        if task.pairs is None:
            full = np.array([np.zeros(kept) if one.ndim == 0 else one for one in scaled])
            self.products += full @ full.T
        else:
            for place, (i, j) in enumerate(task.pairs):
                if scaled[i].ndim and scaled[j].ndim:
                    self.products[place] += scaled[i].dot(scaled[j])

    def add(self, other: _Tally) -> None:
        self.trials += other.trials
        self.lost += other.lost
        self.where.update(other.where)
        self.sums += other.sums
        self.squares += other.squares
        self.products += other.products
        self.bins += other.bins

    def figures(self, task: _Task) -> Array:
        """Return estimate, u, low and high of every measurand, shape (4, m)."""
        assert task.frame is not None and task.intervals is not None
        size = len(self.sums)
        kept = self.trials - self.lost
        low, high = np.full(size, np.nan), np.full(size, np.nan)
        if kept < 2:
            return np.full((4, size), np.nan)
        frame = task.frame
        mean = self.sums / kept
        spread = np.sqrt(np.maximum(self.squares - kept * mean * mean, 0.0) / (kept - 1)) * frame.width
        varies = self.squares != 0
        estimates = np.where(varies, frame.middle + (mean - frame.zero) * frame.width, frame.middle)
        for number, place in enumerate(task.intervals):
            if frame.fixed[place]:
                # without a histogram: known only where it never varied
                low[place] = high[place] = estimates[place] if spread[place] < 1e-9 * (1 + abs(estimates[place])) else math.nan
                continue
            low[place], high[place] = (self._end(task, number, share) for share in ((1 - COVERAGE) / 2, (1 + COVERAGE) / 2))
        return np.array([estimates, spread, low, high])

    def _end(self, task: _Task, number: int, share: float) -> float:
        """Return a quantile of the measurand that has this histogram."""
        assert task.frame is not None and task.intervals is not None
        place = task.intervals[number]
        return float(task.frame.middle[place] + _quantile(self.bins[number], share) * task.frame.width[place])

    def result(self, task: _Task, seed: int, trials: int, stable: bool | None) -> MonteCarlo:
        assert task.frame is not None
        estimates, u, low, high = self.figures(task)
        kept = self.trials - self.lost
        size = len(self.sums)
        covariance = np.full((size, size), np.nan)
        if kept >= 2:
            mean, width = self.sums / kept, task.frame.width
            if task.pairs is None:
                covariance = (self.products - kept * np.outer(mean, mean)) / (kept - 1) * np.outer(width, width)
            else:
                for place, (i, j) in enumerate(task.pairs):
                    product = (self.products[place] - kept * mean[i] * mean[j]) / (kept - 1)
                    covariance[i, j] = covariance[j, i] = product * width[i] * width[j]
        np.fill_diagonal(covariance, u * u)
        top = high.copy()
        for number, place in enumerate(task.intervals or ()):
            if kept >= 2 and not task.frame.fixed[place]:
                top[place] = self._end(task, number, COVERAGE)
        return MonteCarlo(trials, seed, self.lost, tuple(self.where.most_common()), estimates, u, covariance, low, high, top, stable)


def _quantile(bins: NDArray[np.integer[Any]], share: float) -> float:
    """Return a quantile in bins from the frame's middle, straight within its bin; NaN in an open end bin."""
    rising = np.cumsum(bins)
    wanted = share * rising[-1]
    place = int(np.searchsorted(rising, wanted))
    if not 0 < place < BINS + 1:
        return math.nan
    return float(place - BINS / 2 - 1 + (wanted - rising[place - 1]) / bins[place])


def _at_rest(blocks: Sequence[Array], now: Array, digits: int) -> bool:
    """Tell whether twice the standard deviation of each figure's mean over blocks is inside the tolerance (JCGM 101, 7.9.4)."""
    figures = np.array(blocks)
    spread = 2 * figures.std(axis=0, ddof=1) / math.sqrt(len(blocks))
    allowed = np.array([tolerance(u, digits) for u in now[1]])
    asked = np.isfinite(allowed)
    return bool(np.all(np.nan_to_num(spread[:, asked]) <= allowed[asked]))
