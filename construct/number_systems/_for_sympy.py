"""An exact value handed to sympy, for notebooks and second opinions: nothing is decided here."""

from __future__ import annotations

from typing import Any

from construct.number_systems._surds import Raw, Surd


def to_sympy(tree: Raw) -> Any:
    """Return a tower element over the rationals as a sympy expression, root by root."""
    import sympy  # its home, and loaded only where it is asked for: it takes a fifth of a second

    if tree.__class__ is Surd:
        return to_sympy(tree.free) + to_sympy(tree.factor) * sympy.sqrt(to_sympy(tree.root.radicand))
    return sympy.Rational(int(tree.p), int(tree.q)) if hasattr(tree, "p") else sympy.Integer(int(tree))
