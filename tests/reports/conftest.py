"""Studies that the report tests share: the demo once a session, and small layouts of each kind of blank; some with errors."""

from __future__ import annotations

import pytest

from construct.study import Study, study, with_errors

PAPER = """recipe An equal-sided triangle
paper
given A, B, 100 mm apart
step Two arcs
  a : arc about A, through B
  b : arc about B, through A
  D, E : marks where a meets b
  base : line through A and B
  k : line through D and E
  M : mark where k meets base
  claim A D equals B D
  claim A M is 49.9 mm
  claim A M is 49.9 mm within 0.2 mm
"""
BOARD = """recipe A lens on a board
board 300 mm by 200 mm, 20 mm thick
step Middle
  d : line through SW and NE
  e : line through SE and NW
  C : mark where d meets e
  big : circle about C, 60 mm by ruler
  P, Q : marks where d meets big
  pp : arc about P, opening from P to C
  U, V : marks where pp meets big
  uu : circle about U, opening from U to C
  s : line from C to U
  claim C is the centre of the plate
carve
  cut big inside uu
  cut uu inside big
  groove s, 2 mm wide
"""
OPEN = """recipe A right angle on any rim
plate round, anything across, say 180 mm
step Angle
  V : mark anywhere on edge, say 40 deg to the grain
  s, t : legs of a square cornered at V, anyhow
  A : mark where s meets edge, other than V
  B : mark where t meets edge, other than V
  k : line through A and B
  h : line by centre finder, anywhere
  claim k is parallel to h
"""
OVAL = """recipe A plate that has moved
plate round, 240 mm across, 15 mm thick, basswood
bench careful, oval 6 mm across the grain
step Find
  g : line by centre finder, along the grain
  h : line by centre finder, at 45 deg to the grain
  C : mark where g meets h
  rim : circle about C, 20 mm inside the edge
  N, S : marks where g meets rim
  claim C is the centre of the plate
"""
CROWDED = "recipe Many marks\npaper\ngiven A, B, 90 mm apart\nstep Marks\n" + "".join(
    f"  mark{n} : mark {n + 1} mm from A toward B, by ruler\n" for n in range(40)
)
TEXTS = {"paper": PAPER, "board": BOARD, "open": OPEN, "oval": OVAL, "crowded": CROWDED}


@pytest.fixture(scope="session")
def studies() -> dict[str, Study]:
    """The demo by both ways and the small layouts, by name."""
    small = {name: study(text) for name, text in TEXTS.items()}
    return {"demo": study("clock-dial"), "demo by ruler": study("clock-dial", way="ruler"), **small}


HARDLY = """recipe Two arcs that hardly meet
paper
given A, B, 100 mm apart
step Arcs
  a : arc about A, 50.5 mm by ruler
  b : arc about B, same opening
  D, E : marks where a meets b
  k : line through D and E
"""


@pytest.fixture(scope="session")
def measured(studies: dict[str, Study]) -> dict[str, Study]:
    """The same studies with errors, few trials each, and one that loses trials; by name."""
    some = {name: with_errors(one, trials=4000, seed=11, worst=True) for name, one in studies.items()}
    return {**some, "hardly": with_errors(study(HARDLY), trials=4000, seed=11)}
