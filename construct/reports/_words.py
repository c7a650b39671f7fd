"""How texts are set for people: paragraphs and lists, and lengths in the user's units.

Nothing here knows a verdict or a chip: callers pass in names and numbers.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Sequence
from fractions import Fraction

from construct.language.syntax import Measure
from construct.phrasebook import MM_PER_INCH as MM_PER_INCH
from construct.phrasebook import found, in_units, say
from construct.plan import Plan

WIDTH = 96
"""Columns of text in the terminal."""

FIXED = "\N{NO-BREAK SPACE}"

def wrapped(text: str, first: str = "", rest: str | None = None) -> list[str]:
    """Return a paragraph as lines of at most `WIDTH` columns; `first` and `rest` stand before them.

    What stands in backquotes is kept on one line where it fits: it is there to be typed.  A number keeps its unit.
    """
    text = re.sub(r"(?<=\d) (?=(?:mm|in|deg)\b)", FIXED, text)
    kept = re.sub("`[^`]*`", lambda found: found[0].replace(" ", FIXED), " ".join(text.split(" ")))
    rest = first if rest is None else rest
    lines = textwrap.wrap(kept, WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False)
    return [line.replace(FIXED, " ") for line in lines] or [first.rstrip()]


def listed(words: Iterable[str], last: str = "and") -> str:
    """Return words as a list in a sentence: "a, b and c"."""
    words = list(words)
    return " ".join([", ".join(words[:-1]), say(f"list.{last}"), words[-1]]) if len(words) > 1 else "".join(words)


def counted(number: int, noun: str) -> str:
    """Return a count with its noun, one of those under [count] in the phrasebook: "1 claim", "3 claims"."""
    return say(f"count.{noun}", count=number)


def told(sentence: str, units: str) -> str:
    """Return what a layer below the reports says, its lengths in the user's units."""
    return str(in_units(sentence, units))


def tool(name: str) -> str:
    """Return a bench tool's name, which the phrasebook has under [tool]; one that it does not know stays."""
    key = f"tool.{name}"
    return say(key) if found(key) is not None else name


def cautions() -> tuple[str, ...]:
    """Return what to mind in a workshop, a sentence each."""
    return tuple(say(f"caution.{one}") for one in ("posture", "dust", "rags", "labels"))


def plain(text: str) -> str:
    """Return text from a recipe with whatever a terminal or a picture can not show taken out."""
    return "".join(letter if letter.isprintable() else " " for letter in text)


def is_plain(name: str) -> bool:
    """Return True for a name that a person gave by itself, not one made in a round or inside a method."""
    return not any(sign in name for sign in ".: ")


def fraction_of(text: str) -> Fraction | None:
    """Return what "3/40", "−7" or "0.0750" stands for; None where it is no plain number."""
    try:
        return Fraction(text.strip().replace("−", "-").replace(" ", ""))
    except (ValueError, ZeroDivisionError):
        return None


def decimal(value: float | Fraction) -> str:
    """Return a number as people write it: up to 6 figures, no trailing zeros, a true minus sign."""
    return f"{float(value):.6g}".replace("-", "−")


def millimetres(mm: Fraction) -> str:
    """Return an exact length in mm: its decimals where they end soon, else a fraction."""
    short = f"{float(mm):.10g}"
    return f"{short if Fraction(short) == mm else mm} mm".replace("-", "−")


def inches(mm: Fraction) -> str:
    """Return an exact length in inches: "9 1/2 in" where a rule has it, else "about" and 4 figures."""
    inch = mm / MM_PER_INCH
    whole, part = divmod(abs(inch), 1)
    if not on_inch_rule(mm):
        return about(f"{float(inch):.4g} in".replace("-", "−"))
    said = f"{whole} {part}" if whole and part else f"{part or whole}"
    return f"{'−' if inch < 0 else ''}{said} in"


def on_inch_rule(mm: Fraction) -> bool:
    """Tell whether a length is a whole number of 64ths of an inch."""
    return (mm / MM_PER_INCH * 64).denominator == 1


def about(amount: str) -> str:
    """Return an amount said to be rounded: "about 1.414 mm"."""
    return say("length.about", amount=amount)


def length(mm: Fraction, units: str) -> str:
    """Return an exact length in the user's units."""
    return inches(mm) if units == "in" else millimetres(mm)


def blank(plan: Plan, units: str) -> str:
    """Return the blank in words: "Round plate, 241.3 mm (9 1/2 in) across, 15 mm thick, basswood"."""
    wood = plan.blank
    if wood.width is None or wood.height is None:
        return say("blank.paper")
    if wood.form == "round":
        said = say("blank.any" if wood.free else "blank.round", width=_measure(wood.width, units))
        oval = plan.settings.oval
        if oval:
            # the size written is the one across the grain before the wood moved; along the grain it keeps it
            said += say("blank.less" if oval > 0 else "blank.more", length=length(abs(oval), units))
    else:
        said = say("blank.board", width=_measure(wood.width, units), height=_measure(wood.height, units))
    if wood.thickness is not None:
        said += say("blank.thick", thickness=_measure(wood.thickness, units))
    return plain(f"{said}, {wood.wood}" if wood.wood else said)


def _measure(measure: Measure, units: str) -> str:
    """Return a written length in the user's units, with what was written beside it where that differs."""
    said = length(measure.mm, units)
    return said if said == measure.text else f"{said} ({measure.text})"


def graduation(mm: Fraction) -> str:
    """Return a ruler's graduation as its maker says it: "0.5 mm", "1/32 in"."""
    return millimetres(mm) if 100 % mm.denominator == 0 else inches(mm)


def units_of(plan: Plan) -> str:
    """Return the units that a recipe's own ruler is in: "in" for one graduated 1/32 in, else "mm"."""
    return "in" if graduation(plan.settings.graduation).endswith(" in") else "mm"


def numbered(numbers: Sequence[int]) -> str:
    """Return rising numbers with runs drawn together: "1 to 4, 7 and 9"."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    said = [one for run in runs for one in ([say("list.run", first=run[0], last=run[-1])] if len(run) > 2 else map(str, run))]
    return listed(said)


UNITS = {"mm": "mm", "mm2": "mm²", "in": "in", "in2": "in²", "deg": "deg", "1": ""}
"""How a finding's unit is written."""

INCHES = {"mm": ("in", float(MM_PER_INCH)), "mm2": ("in2", float(MM_PER_INCH) ** 2)}
"""What units become in inches, and by what they are divided."""


def with_unit(text: str, unit: str) -> str:
    """Return a number's text with its unit, once."""
    said = UNITS.get(unit, unit)
    return text if not said or text.endswith((said, unit)) else f"{text} {said}"


def gap(exact: str, figures: str, value: float, unit: str, units: str) -> str:
    """Return a gap in the user's units: "3/40 mm = 0.07500 mm", or "√2 mm, about 1.414 mm"; "√2/25.4 in, about 0.05568 in"."""
    figures = figures.replace("-", "−")
    exact, figures = (part.removesuffix(UNITS.get(unit, unit)).strip() if unit != "1" else part for part in (exact, figures))
    if units == "in" and unit in INCHES:
        exact, figures, unit = in_inches(exact, unit), f"{value / INCHES[unit][1]:.4g}".replace("-", "−"), INCHES[unit][0]
    short = with_unit(figures, unit)
    if not exact:
        return about(short)
    if exact == figures:
        return short
    same = fraction_of(exact) is not None and fraction_of(exact) == fraction_of(figures)
    return f"{with_unit(exact, unit)}{' = ' + short if same else ', ' + about(short)}"


def in_inches(exact: str, unit: str) -> str:
    """Return the closed form in inches of what has one in mm, or in square inches: divided out where it is a fraction."""
    if not exact:
        return ""
    fraction = fraction_of(exact)
    if fraction is not None:
        return str(fraction / (MM_PER_INCH if unit == "mm" else MM_PER_INCH**2)).replace("-", "−")
    sums = any(sign in exact for sign in " +−-/·")
    return f"{f'({exact})' if sums else exact}/25.4{'²' if unit == 'mm2' else ''}"


def area(exact: str, value: float, units: str) -> str:
    """Return an area in the user's units, its closed form before it where there is one."""
    if units == "in":
        return gap(exact, "", value, "mm2", units)
    return gap(exact, f"{value:.4g}" if value < 1e4 else f"{value:.0f}", value, "mm2", units)
