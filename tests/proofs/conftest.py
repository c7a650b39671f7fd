"""Certificates for the tests: of every shipped recipe by every way, and of small recipes that lack something."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

from construct.study import Study, study

RECIPES = Path(__file__).parents[2] / "recipes"

PLATE = """\
recipe  A plate

plate   round, 200 mm across, 12 mm thick, basswood
bench   ordinary

step One
  g : line by centre finder, along the grain
  h : line by centre finder, across the grain
  C : mark where g meets h
  r : opening, anything, say 50 mm
  a : circle about C, opening r
  A, B : marks where a meets g
  e : circle about C, 20 mm inside the edge
  D, E : marks where e meets g
"""


TWO_MARKS = """\
recipe  Two marks anywhere

paper
given  A, B anywhere, say at (0, 0), (90, 0) mm

step One
  c : circle about A, through B
  k : line through A and B
  D, E : marks where k meets c
  claim D E is longer than A B
"""


def plate(*claims: str) -> Study:
    """Return the study of a small plate with these claims; its free opening `r` is half of A B, and D E is 160 mm whatever it is."""
    return study(PLATE + "".join(f"  claim {claim}\n" for claim in claims))


@cache
def shipped() -> tuple[dict[str, Any], ...]:
    """Return every certificate of every shipped layout and of some theorems, by every way, each once."""
    found: dict[str, None] = {}
    with_identities = [RECIPES / "theorems" / f"{name}.recipe" for name in ("heights", "angle-in-a-half-circle", "twelve-from-two-lines")]
    for path in (*sorted(RECIPES.glob("*.recipe")), *with_identities):
        first = study(path)
        studies = [first, *(study(path, way=other.way, others=False) for other in first.others)]
        for one in studies:
            found.update(dict.fromkeys(proof.certificate.text for proof in one.proofs if proof.certificate is not None))
    fixed = ("159.9 mm within 0.2 mm", "159.9 mm within 0.05 mm")
    free = ("100 mm", "90 mm", "longer than C A")
    found.update((proof.certificate.text, None) for proof in study(TWO_MARKS).proofs if proof.certificate is not None)
    small = plate(*(f"D E is {length}" for length in fixed), *(f"A B is {length}" for length in free))
    found.update(dict.fromkeys(proof.certificate.text for proof in small.proofs if proof.certificate is not None))
    return tuple(json.loads(text) for text in found)
