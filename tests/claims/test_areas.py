"""Claims on chips' areas as parts and sums of others: proved by exact relations, refuted with their gap."""

from __future__ import annotations

import math
from typing import Any

import pytest

from construct.diagnostics import Mistakes
from construct.study import study

# Two quarters of a circle of radius 8 and a half of one of radius 4, on one line; a square of side 8 on it, halved.
TEXT = """recipe Parts
paper
given O at (0, 0) mm, A at (8, 0) mm, B at (0, 8) mm, D at (-8, 0) mm, K at (20, 0) mm, L at (28, 0) mm, M at (28, 8) mm, N at (20, 8) mm,
      P at (50, 0) mm, Q at (46, 0) mm
step S
  c : circle about O, through A
  k : line from D to A
  h : line from O to B
  small : circle about P, through Q
  around K, L, M, N as p, q
    s.p : line from p to q
  end
  x : line from K to M
carve
  cut c from A to B
  cut c from B to D
  cut k
  cut h
  cut small
  around K, L, M, N as p
    cut s.p
  end
  cut x
  right : chip with corners O, A, B
  left : chip with corners O, B, D
  disc : chip inside small
  low : chip with corners K, L, M
  high : chip with corners K, M, N
"""


def verdict(words: str) -> Any:
    (found,) = study(f"{TEXT}  claim {words}\n").verdicts
    return found


@pytest.mark.parametrize(
    "words",
    [
        "right is 1 of left in area",
        "right is 1/1 of disc in area",  # 64π/4 and 16π
        "right, left together equal left, disc in area",
        "low and high together equal high, low in area",
    ],
)
def test_what_holds(words: str) -> None:
    """Quarters of radius 8 and a disc of radius 4 are all 16π mm², half the square is 32 mm² (Euclid XII.2)."""
    assert "proved" == verdict(words).verdict


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("right is 3/2 of low in area within 5 %", "within"),  # 16π against 48: 4.7 % over
        ("low is 3/4 of high in area within 100/3 %", "within"),  # 32 against 24: a third of it, the bound itself
        ("low is 3/4 of high in area within 33 %", "refuted"),
        ("low is half of high in area within 99 %", "refuted"),
    ],
)
def test_what_holds_within(words: str, expected: str) -> None:
    """The gap is a share of the right side, its bound included."""
    assert expected == verdict(words).verdict


@pytest.mark.parametrize(
    ("words", "gap"),
    [
        ("right is 1/2 of disc in area", 8 * math.pi),
        ("disc is 1/2 of low in area", 16 * math.pi - 16),
        ("low, high together equal right in area", 64 - 16 * math.pi),
        ("low is sqrt(2) of high in area", 32 - 32 * math.sqrt(2)),
        ("right is 3/2 of low in area within 4 %", 16 * math.pi - 48),
        ("low is 99999/100000 of high in area", 32 / 100000),
    ],
)
def test_what_fails_and_by_how_much(words: str, gap: float) -> None:
    """The gap is left less right, in mm²."""
    found = verdict(words)
    assert "refuted" == found.verdict
    assert gap == pytest.approx(found.finding.value, rel=1e-12)
    assert "mm2" == found.finding.unit


@pytest.mark.parametrize(
    ("words", "message"),
    [
        ("low is 0 of high in area", "more than nothing"),
        ("low is 1 - 2 of high in area", "more than nothing"),
        ("low, low together equal high in area", "twice"),
        ("low is 2/pi of disc in area within 1 %", "without pi"),
        ("A is 1/2 of high in area", "mark"),
    ],
)
def test_what_makes_no_sense(words: str, message: str) -> None:
    """No part of nothing, no chip twice in a sum, no pi, no mark for a chip: diagnostics, not verdicts."""
    with pytest.raises(Mistakes, match=message):
        verdict(words)


def test_a_chip_that_is_not_cut_out() -> None:
    """A claim above `carve` knows no chips."""
    with pytest.raises(Mistakes):
        study(TEXT.replace("carve\n", "  claim low is 1/2 of high in area\ncarve\n"))
