"""The record of a why: what reports and lessons read."""

from __future__ import annotations

from dataclasses import dataclass

AS_DRAWN = "as drawn"
"""The rule of a step that only says what the bench action itself says."""


@dataclass(frozen=True, slots=True)
class Reason:
    """One numbered step of a why.

    number: from 1 on.  sentence: plain words, with the things it speaks of by name.
    things: the names of the drawn things it points at, in the order spoken of ("edge" is the plate's edge).
    rule: the rule's short name, "as drawn" where the bench action itself says it.
    proposition: where the rule is from ("Euclid I.8"), "" for what was drawn.
    uses: the numbers of the earlier steps it rests on.  lines: the recipe's lines it rests on.
    seen: what it reads off the drawing besides (which side, which order), in words; () where nothing.
    """

    number: int
    sentence: str
    things: tuple[str, ...]
    rule: str
    proposition: str
    uses: tuple[int, ...] = ()
    lines: tuple[int, ...] = ()
    seen: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Why:
    """Why one claim holds.

    line, claim: the claim's line and text, as in its verdict.
    steps: the derivation, the claim itself last; () where there is none.
    missing: why there is none, as a sentence; "" where there is one.
    """

    line: int
    claim: str
    steps: tuple[Reason, ...]
    missing: str = ""
