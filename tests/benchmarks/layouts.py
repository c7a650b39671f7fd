"""Recipes of rising weight for the speed figures, written out as a carver would write them."""

from __future__ import annotations

HEAD = """recipe {title}
plate round, 240 mm across
bench ordinary, compass to 1000 mm

step Centre and rim
  g : line by centre finder, along the grain
  h : line by centre finder, across the grain
  C : mark where g meets h
  rim : circle about C, 12 mm inside the edge
"""


def _halved(ring: list[str], turn: int) -> tuple[str, list[str]]:
    """Return the lines that halve every space of a ring, and the new ring."""
    row = ", ".join(ring)
    # six marks are a radius apart: arcs at that opening cross in the centre itself
    first = "opening from p to q" if len(ring) != 6 else "60 mm by ruler"
    text = f"""
step Halve the spaces, turn {turn}
  around {row} as p, q
    u{turn}.p : arc about p, {first}
    v{turn}.p : arc about q, same opening
    x{turn}.p : mark where u{turn}.p meets v{turn}.p, nearest C
    b{turn}.p : line through C and x{turn}.p
    m{turn}.p : mark where b{turn}.p meets rim, nearest q
  end
"""
    between = [f"m{turn}.{name}" for name in ring]
    return text, [name for pair in zip(ring, between, strict=True) for name in pair]


def star(fold: int) -> str:
    """Return a star of 4·2ᵏ or 6·2ᵏ points, each halved from the one before, with its last claim."""
    text = HEAD.format(title=f"A star of {fold} points")
    if fold % 3:
        text += "  B, T : marks where g meets rim\n  L, R : marks where h meets rim\n"
        ring = ["B", "L", "T", "R"]
    else:
        text += "  B, T : marks where g meets rim\n  s1 to s5 : marks stepped from B round rim, opening from C to B\n"
        ring = ["B", "s1", "s2", "s3", "s4", "s5"]
    turn = 0
    while len(ring) < fold:
        turn += 1
        more, ring = _halved(ring, turn)
        text += more
    return text + f"\n  claim {', '.join(ring)} are evenly spaced round rim\n"


def pentagon() -> str:
    """Return the half-radius pentagon (Ptolemy) with its claim."""
    return HEAD.format(title="Five points") + """
  B, T : marks where g meets rim
  L, R : marks where h meets rim
step Half the radius
  u : arc about C, opening from C to R
  v : arc about R, same opening
  X, Y : marks where u meets v
  w : line through X and Y
  M : mark where w meets h
step The side
  s : arc about M, through T
  F : mark where s meets h, nearest L
  side : opening, from T to F
  p1 to p4 : marks stepped from T round rim, opening side
  claim T, p1, p2, p3, p4 are evenly spaced round rim
"""


def free_openings(count: int) -> str:
    """Return a recipe with so many independent free openings on one line: each a bisector of its own."""
    text = HEAD.format(title=f"{count} free openings") + "  B, T : marks where g meets rim\n"
    for n in range(1, count + 1):
        text += f"""
step Bisector {n}
  r{n} : opening, anything over half of B T, say {110 + n} mm
  a{n} : arc about B, opening r{n}
  b{n} : arc about T, opening r{n}
  p{n}, q{n} : marks where a{n} meets b{n}
  k{n} : line through p{n} and q{n}
  M{n} : mark where k{n} meets g
  claim M{n} is C
"""
    return text
