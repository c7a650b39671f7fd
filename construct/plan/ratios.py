"""Ratios as written: their exact value where it is rational."""

from __future__ import annotations

from fractions import Fraction

from construct.diagnostics import Wrong
from construct.language.syntax import Ratio


def fraction(ratio: Ratio) -> Fraction:
    """Return the value of a ratio without roots; `Wrong` for `sqrt`, `pi` and divisions by nothing."""
    parts = [fraction(part) for part in ratio.parts]
    match ratio.op:
        case "number":
            assert ratio.value is not None
            return ratio.value
        case "neg":
            return -parts[0]
        case "+":
            return parts[0] + parts[1]
        case "-":
            return parts[0] - parts[1]
        case "*":
            return parts[0] * parts[1]
        case "/":
            if parts[1] == 0:
                raise Wrong("P125", ratio.span)
            return parts[0] / parts[1]
    raise Wrong("P126", ratio.span)
