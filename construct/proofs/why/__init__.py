"""The why: a proof for people, derived from what the bench actions say.

`study.why(study)` gives one `Why` for each claim; see `explain`.  A why is never
canned: facts come from the plan's steps alone (`drawn`), rules are applied until
the claim is reached or nothing new follows (`rules`, `search`), and every step
shown has been checked exactly on the drawn example first (`telling`).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from construct.claims import Verdict
from construct.phrasebook import say
from construct.proofs.why.reasons import Reason, Why
from construct.replay import Settled

if TYPE_CHECKING:
    from construct.proofs.why.derivation import Derivations

__all__ = ["Reason", "Why", "explain"]


def explain(settled: Settled, exact: Any, verdicts: Sequence[Verdict]) -> tuple[Why, ...]:
    """Return why each claim holds, in the order of the verdicts; a claim that is not proved has no why.

    exact: the number system that the settled values belong to.
    """
    # here: who asks for no reasons does not wait for the rules
    from construct.proofs.why.derivation import Derivations

    derivations = Derivations(settled, exact)
    return tuple(
        _why(derivations, place, verdict) if verdict.verdict == "proved" else Why(verdict.line, verdict.text, (), say("why.not_proved"))
        for place, verdict in enumerate(verdicts)
    )


def _why(derivations: Derivations, place: int, verdict: Verdict) -> Why:
    from construct.proofs.why.telling import Unchecked, check, tell

    plan = derivations.plan
    found = derivations.find(plan.claims[place])
    if found is None:
        return Why(verdict.line, verdict.text, (), say("why.none"))
    because, known = found
    try:
        check(because, derivations.exact)
    except Unchecked:
        return Why(verdict.line, verdict.text, (), say("why.unchecked"))
    return Why(verdict.line, verdict.text, tell(because, plan, known))
