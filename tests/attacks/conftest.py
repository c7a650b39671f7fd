"""Lays out a recipe on paper or a plate, for the numbers written, and says what comes of it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from construct.claims._verdict import decide
from construct.diagnostics import Mistakes
from construct.number_systems.exact import ExactSystem
from construct.plan.planner import make_plan
from construct.replay import settle
from construct.study import load


class Outcome:
    """Verdicts, places and diagnostics of a recipe whose first line is given."""

    def __init__(self, text: str) -> None:
        self.exact = ExactSystem()
        self.codes: list[str] = []
        self.verdicts: list[str] = []
        try:
            recipe, methods = load(f"recipe Attack\n{text}\n")
            self.settled = settle(make_plan(recipe, methods=methods), self.exact)
            self.verdicts = [one.verdict for one in decide(self.settled, self.exact)]
        except Mistakes as wrong:
            self.codes = [one.code for one in wrong.diagnostics]

    def __getitem__(self, name: str) -> Any:
        return self.settled.values[self.settled.plan.index(name)]

    def number(self, value: Any) -> float:
        """Return an exact number as a float."""
        return self.exact.to_float(value)


@pytest.fixture
def on_paper() -> Callable[[str, str], Outcome]:
    """Lay out on paper with marks at places in mm: `on_paper("A, B at (0, 0), (90, 0)", lines)`."""
    return lambda given, lines: Outcome(f"paper\ngiven {given} mm\n{lines}")


@pytest.fixture
def on_plate() -> Callable[[str], Outcome]:
    """Lay out on a round plate 200 mm across with lines g, h and their crossing C."""
    head = "plate round, 200 mm across\ng : line by centre finder, along the grain\nh : line by centre finder, across the grain\nC : mark where g meets h\n"
    return lambda lines: Outcome(head + lines)


@pytest.fixture
def outcome() -> Callable[[str], Outcome]:
    """Lay out a whole recipe, its title left out."""
    return Outcome
