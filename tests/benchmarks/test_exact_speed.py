"""Exact replay against a float replay through the same tools, and against sympy.geometry: ratios in one run.

Run with `python -m pytest tests/benchmarks -s`; the ordinary test command passes this folder by.
"""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from construct.claims._verdict import decide
from construct.number_systems.exact import ExactSystem
from construct.number_systems.float import FloatSystem
from construct.plan.planner import make_plan
from construct.replay import Settled, replay, settle
from construct.study import load
from tests.benchmarks.layouts import free_openings, pentagon, star
from tests.outside.test_regular_figures import SEVENTEEN

ROOT = Path(__file__).parents[2]
DEMO = str(ROOT / "recipes" / "clock-dial.recipe")


def best(work: Callable[[], object], rounds: int = 7) -> float:
    """Return the shortest of some timed runs, in seconds."""
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def settled_plan(text: str) -> Settled:
    recipe, methods = load(text)
    return settle(make_plan(recipe, methods=methods), ExactSystem())


def ratio(text: str, rounds: int = 7) -> float:
    """Return exact replay with all claims over float replay, both through the same tools."""
    settled = settled_plan(text)

    def exactly() -> None:
        exact = ExactSystem()
        values = replay(settled.plan, exact)
        decide(Settled(settled.plan, values, (), ()), exact)

    slack = FloatSystem(tangent_slack=1e-9)
    return best(exactly, rounds) / best(lambda: replay(settled.plan, slack), rounds)


CASES = {
    "demo": (None, 15.0),
    "pentagon": (pentagon(), 50.0),
    "8-fold": (star(8), 50.0),
    "16-fold": (star(16), 50.0),
    "24-fold": (star(24), 50.0),
    "17-gon (Richmond)": (SEVENTEEN + "  claim angle A O P3 is 3/17 of a turn\n", 350.0),
    "32-fold": (star(32), 350.0),
    "64-fold": (star(64), 350.0),
    "20 free openings": (free_openings(20), 30.0),
}


@pytest.mark.parametrize("name", CASES)
def test_exact_against_float(name: str, benchmark: object) -> None:
    """Exact replay and all claims stay within the target ratio to floats (shared/performance figures)."""
    text, limit = CASES[name]
    if text is None:
        text = Path(DEMO).read_text(encoding="utf-8").split("\ncarve")[0]
    found = benchmark.pedantic(ratio, args=(text,), rounds=1)  # type: ignore[attr-defined]
    print(f"\n{name}: exact / float = {found:.1f}, target {limit:g}")
    assert found <= limit


def test_free_openings_are_linear(benchmark: object) -> None:
    """Twice the independent openings cost about twice the time: the tower does not grow with them."""

    def growth() -> float:
        def seconds(count: int) -> float:
            settled = settled_plan(free_openings(count))
            return best(lambda: replay(settled.plan, ExactSystem()))

        return seconds(40) / seconds(20)

    found = benchmark.pedantic(growth, rounds=1)  # type: ignore[attr-defined]
    print(f"\n40 openings / 20 openings = {found:.2f}")
    assert found < 3.0


START = {
    "help": (["--help"], 0.15, ("sympy", "numpy", "matplotlib", "flint")),
    "prove": (["prove", DEMO], 0.5, ("sympy", "matplotlib")),
    "report": (["report", DEMO, "-o"], 3.0, ()),
}


@pytest.mark.parametrize("name", START)
def test_whole_process(name: str, benchmark: object, tmp_path: Path) -> None:
    """A command's whole process stays within its time, and loads only what it needs."""
    arguments, limit, absent = START[name]
    if name == "report":
        arguments = [*arguments, str(tmp_path / "out")]

    def run() -> float:
        def once() -> None:
            done = subprocess.run([sys.executable, "-m", "construct", *arguments], capture_output=True, text=True, cwd=ROOT, check=False)
            assert done.returncode == 0, done.stderr
            if name == "report":
                import shutil

                shutil.rmtree(arguments[-1])

        return best(once, rounds=3)

    found = benchmark.pedantic(run, rounds=1)  # type: ignore[attr-defined]
    print(f"\nconstruct {name}: {found:.2f} s, target {limit:g} s")
    assert found <= limit
    assert not absent or _loaded(arguments).isdisjoint(absent)


def _loaded(arguments: list[str]) -> set[str]:
    """Return the top-level modules that a command loads."""
    code = "import sys\nfrom construct.cli import main\ntry:\n    main()\nexcept SystemExit:\n    pass\nprint(*{name.split('.')[0] for name in sys.modules}, file=sys.stderr)"
    done = subprocess.run([sys.executable, "-c", code, *arguments], capture_output=True, text=True, cwd=ROOT, check=False)
    return set(done.stderr.split())
