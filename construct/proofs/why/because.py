"""Terms, facts, and why a fact is known: the nodes that a derivation is made of.

Marks are whole numbers: a thing's index in the plan, or a negative one for a mark
that nobody drew (the plate's middle, the corner of the finder's V).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

Term = Any
"""A mark (int), or a tuple that begins with its kind:

lines ("line", thing), ("pair", A, B); circles ("circle", thing), ("across", A, B);
lengths ("between", A, B), ("radius", circle), ("setting", thing), ("mm", value), ("off", mark, line);
angles ("angle", corner, A, B), ("turn",); rays ("ray", corner, mark); the grain ("grain",).
"""

Fact = tuple[Any, ...]
"""A relation's name and its terms, such as ("on", 4, ("line", 1))."""

GRAIN = ("grain",)
TURN = ("turn",)


def between(a: int, b: int) -> Term:
    """Return the length from one mark to another."""
    return "between", min(a, b), max(a, b)


def pair(a: int, b: int) -> Term:
    """Return the line through two marks, drawn or not."""
    return "pair", min(a, b), max(a, b)


def angle(a: int, corner: int, b: int) -> Term:
    """Return the angle between two marks, seen from its corner."""
    return "angle", corner, min(a, b), max(a, b)


@dataclass(frozen=True, eq=False, slots=True)
class Because:
    """Why a fact is known.

    rule: the rule's key; "drawn" for what a bench action says, "chain" for things passed on.
    premises: what it follows from.  binding: what the rule's letters stand for.
    mask: one bit for each step that telling it would take.  told: True where it is such a step itself.
    line: of the bench action, 0 else.  links: the terms from one end to the other, for a chain.
    """

    fact: Fact
    rule: str
    premises: tuple[Because, ...] = ()
    binding: dict[str, Term] = field(default_factory=dict)
    mask: int = 0
    told: bool = False
    line: int = 0
    links: tuple[Term, ...] = ()

    @property
    def cost(self) -> int:
        """Return how many steps of proof it takes."""
        return self.mask.bit_count()
