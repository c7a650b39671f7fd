"""What a carving is held against: how deep, how near, and where the knife stands beside the drawn line."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from construct.chips import Carving
from construct.chips.rules import rules
from construct.plan import Plan


@dataclass(frozen=True, slots=True)
class Limits:
    """Limits in mm, and where each comes from.

    thickness_mm: of the wood; None where the recipe does not say it.
    deepest_mm: how deep a chip may go; deepest_basis: "said" in the recipe, or "part" of the thickness, a rule of thumb.
        None and "" where neither is known.
    land_mm: the least land wanted; None where the recipe does not say it.
    stand: where the knife stands: "on" the middle of the line, "inside" the chip, or "outside".
    line_mm: how wide a pencil line is.
    shift_mm: how far each edge is cut out of the chip beside the middle of its drawn line: half a line, or 0.
    """

    thickness_mm: Fraction | None
    deepest_mm: Fraction | None
    deepest_basis: str
    land_mm: Fraction | None
    stand: str
    line_mm: Fraction
    shift_mm: Fraction


def limits(plan: Plan, carving: Carving) -> Limits:
    """Return what the recipe says, and rules of thumb where it is silent."""
    thickness = None if plan.blank.thickness is None else plan.blank.thickness.mm
    deepest, basis = carving.deepest_mm, "said"
    if deepest is None:
        deepest, basis = (None, "") if thickness is None else (thickness * rules().deepest_part, "part")
    line = plan.settings.pencil
    shift = {"on": Fraction(0), "inside": -line / 2, "outside": line / 2}[carving.stand]
    return Limits(thickness, deepest, basis, carving.land_mm, carving.stand, line, shift)
