"""How long chips take: the dial with 24 cut arcs and 12 leaves, best of ten on a machine shared with others."""

from __future__ import annotations

import time
from pathlib import Path
from typing import Any

from construct.chips import Carving
from construct.chips.isometry import groups
from construct.chips.subdivision import carve

DIAL = Path(__file__).parents[1] / "language" / "fixtures" / "clock_dial.recipe"


def test_the_dial(carved: Any) -> None:
    """Twelve leaves, all alike, in under 30 ms."""
    told = carved(DIAL.read_text(encoding="utf-8"))
    spent = []
    for _ in range(10):
        start = time.perf_counter()
        carving = carve(told.settled, told.exact)
        spent.append(time.perf_counter() - start)
    assert isinstance(carving, Carving)
    assert 24 == len(carving.pieces)
    assert 12 == len(carving.chips)
    assert {f"leaf.{one}" for one in ("B", "L", "T", "R")} < {chip.name for chip in carving.chips}
    assert "leaf.T" == carving.chips[0].name  # T lies where the grain points
    assert (tuple(range(12)),) == groups(told.exact, carving.chips)
    assert min(spent) < 0.030
