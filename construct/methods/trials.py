"""A claim's miss by trials (JCGM 101): the whole layout drawn again and again, readings taken anew each time.  All figures are *estimates*.

What the method misses by itself is in every trial, so the figures hold the
systematic and the random part together, and nothing is corrected for.
"""

from __future__ import annotations

import math

import numpy as np

from construct.errors.propagation import Array
from construct.methods.contenders import TrialFigures
from construct.methods.misses import Miss
from construct.methods.reaches import COVERAGE
from construct.number_systems.samples import SampleSystem
from construct.plan import Plan
from construct.replay import asked_of_picks, replay_around

CHUNK = 4096


def run_trials(plan: Plan, miss: Miss, *, trials: int, seed: int) -> TrialFigures | None:
    """Return a miss's figures from trials of a settled plan; None where fewer than two trials could be finished."""
    chunks = []
    for number, start in enumerate(range(0, trials, CHUNK)):
        count = min(CHUNK, trials - start)
        system = SampleSystem(trials=count, seed=np.random.SeedSequence(seed, spawn_key=(number,)), errors=True)
        with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
            values, _ = replay_around(plan, system)
            rows = np.array([np.broadcast_to(row, (count,)) for row in miss.flat(system, values)])
            kept = np.isfinite(rows).all(axis=0)
            for _, _, asked, wanted in asked_of_picks(plan, system, values):
                kept &= np.sign(asked) != -wanted
        chunks.append(rows[:, kept])
    rows = np.concatenate(chunks, axis=1)
    if rows.shape[1] < 2:
        return None
    sizes, places = [], []
    start = 0
    for size in miss.sizes:
        places.append(slice(start, start + size))
        sizes.append(np.sqrt((rows[start : start + size] ** 2).sum(axis=0)))
        start += size
    reaches = [_not_exceeded(one) for one in sizes]
    part = int(np.argmax(reaches))
    mine = rows[places[part]]
    return TrialFigures(
        trials=trials,
        lost=trials - rows.shape[1],
        part=part,
        mean_mm=float(np.linalg.norm(mine.mean(axis=1))),
        u_mm=math.sqrt(float(mine.var(axis=1, ddof=1).sum())),
        reach_mm=reaches[part],
        all_mm=_not_exceeded(np.max(sizes, axis=0)),
    )


def _not_exceeded(sizes: Array) -> float:
    return float(np.quantile(sizes, COVERAGE))
