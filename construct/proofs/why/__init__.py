"""The why: a proof for people, derived from what the bench actions say.

`study.why(study)` gives one `Why` for each claim; see `explain`.  A why is never
canned: facts come from the plan's steps alone, rules are applied until nothing
new follows, and every step shown has been checked exactly on the drawn example.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from construct.claims import Verdict
from construct.phrasebook import say
from construct.plan import PlannedClaim
from construct.replay import Settled


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


def explain(settled: Settled, claims: Sequence[PlannedClaim], verdicts: Sequence[Verdict]) -> tuple[Why, ...]:
    """Return why each claim holds, in the order of the claims; a claim that is not proved has no why."""
    return tuple(
        Why(verdict.line, verdict.text, (), say("why.none") if verdict.verdict == "proved" else say("why.not_proved"))
        for _, verdict in zip(claims, verdicts, strict=True)
    )
