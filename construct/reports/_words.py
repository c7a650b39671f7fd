"""Sentences that people read in reports, in one place, and how lengths are said in the user's units.

Nothing here knows a verdict or a chip: callers pass in names and numbers.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Sequence
from fractions import Fraction

from construct.language.syntax import Measure
from construct.phrasebook import say
from construct.plan import Plan

WIDTH = 96
"""Columns of text in the terminal."""

FIXED = "\N{NO-BREAK SPACE}"

MM_PER_INCH = Fraction(254, 10)

SIGNS = {"proved": "holds", "within": "within", "refuted": "FAILS", "undecided": "undecided"}
"""The word that stands before each claim; never a colour alone."""

IDEAL = "A claim is about the ideal drawing: the method, not how steady the hand is."
EVERY = "for every choice that the drawn one can be moved to with its “as long as” kept all the way"
UNCERTIFIED = "no certificate shows the whole: that rests on the program's own reasoning"
HERE = "for the numbers written in this recipe"

CHIPS_NONE = "this recipe has no `carve` part"
CHORDS = "an estimate: chords stand in for its curve"

SEEN = ((("first", "second"), "along the line"), (("left", "right"), "seen from the first circle's centre"))
"""What the order of two crossings is about, by the words for it."""

CAUTIONS = (
    "Work on a lap board or table, the other hand out of the knife's path, and stop when tired.",
    "Sand little, with extraction or a snug mask; vacuum dust, do not blow it.",
    "Rags wet with drying oil can heat up and catch fire by themselves: spread them flat to dry.",
    "Product labels, local rules and a qualified person come before anything said here.",
)

JUDGEMENT = "judgement: no measured figures for hand tools on wood were found in print"


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


def counted(number: int, one: str, many: str = "") -> str:
    """Return a count with its noun: "1 claim", "3 claims"."""
    return f"{number} {one if number == 1 else many or one + 's'}"


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
    if part.denominator > 64 or part.denominator & (part.denominator - 1):
        return f"about {float(inch):.4g} in".replace("-", "−")
    said = f"{whole} {part}" if whole and part else f"{part or whole}"
    return f"{'−' if inch < 0 else ''}{said} in"


def length(mm: Fraction, units: str) -> str:
    """Return an exact length in the user's units."""
    return inches(mm) if units == "in" else millimetres(mm)


def blank(plan: Plan, units: str) -> str:
    """Return the blank in words: "Round plate, 241.3 mm (9 1/2 in) across, 15 mm thick, basswood"."""
    wood = plan.blank
    if wood.width is None or wood.height is None:
        return "Paper, no edge and no grain"
    if wood.form == "round":
        said = f"Round plate, {'any size, drawn ' if wood.free else ''}{_measure(wood.width, units)} across"
        oval = plan.settings.oval
        if oval:
            # the size written is the one across the grain before the wood moved; along the grain it keeps it
            said += f", oval: {length(abs(oval), units)} {'less' if oval > 0 else 'more'} across the grain than along it"
    else:
        said = f"Board, {_measure(wood.width, units)} by {_measure(wood.height, units)}"
    if wood.thickness is not None:
        said += f", {_measure(wood.thickness, units)} thick"
    return plain(f"{said}, {wood.wood}" if wood.wood else said)


def _measure(measure: Measure, units: str) -> str:
    """Return a written length in the user's units, with what was written beside it where that differs."""
    said = length(measure.mm, units)
    return said if said == measure.text else f"{said} ({measure.text})"


def graduation(mm: Fraction) -> str:
    """Return a ruler's graduation as its maker says it: "0.5 mm", "1/32 in"."""
    return millimetres(mm) if 100 % mm.denominator == 0 else inches(mm)


def numbered(numbers: Sequence[int]) -> str:
    """Return rising numbers with runs drawn together: "1 to 4, 7 and 9"."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    said = [f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs]
    return listed(said)


UNITS = {"mm": "mm", "mm2": "mm²", "deg": "deg", "1": ""}
"""How a finding's unit is written."""


def with_unit(text: str, unit: str) -> str:
    """Return a number's text with its unit, once."""
    said = UNITS.get(unit, unit)
    return text if not said or text.endswith((said, unit)) else f"{text} {said}"


def gap(exact: str, figures: str, value: float, unit: str, units: str) -> str:
    """Return a gap in words: "3/40 mm = 0.07500 mm", or "√2 mm, about 1.414 mm"; inches beside it where asked."""
    figures = figures.replace("-", "−")
    exact, figures = (part.removesuffix(UNITS.get(unit, unit)).strip() if unit != "1" else part for part in (exact, figures))
    short = with_unit(figures, unit)
    if exact and exact != figures:
        same = fraction_of(exact) is not None and fraction_of(exact) == fraction_of(figures)
        short = f"{with_unit(exact, unit)}{' = ' if same else ', about '}{short}"
    elif not exact:
        short = f"about {short}"
    if units == "in" and unit in ("mm", "mm2"):
        scale = float(MM_PER_INCH) ** (2 if unit == "mm2" else 1)
        short += f", about {value / scale:.4g} {'in²' if unit == 'mm2' else 'in'}".replace("-", "−")
    return short


def area(exact: str, value: float, units: str) -> str:
    """Return an area in the user's units, its closed form before it where there is one."""
    figures = f"{value:.4g}" if value < 1e4 else f"{value:.0f}"
    said = f"about {figures} mm²"
    if exact:
        same = fraction_of(exact) is not None and fraction_of(exact) == fraction_of(figures)
        said = f"{with_unit(exact, 'mm2')}{f' = {figures} mm²' if same else f', {said}'}"
    return f"{said}, about {value / float(MM_PER_INCH) ** 2:.4g} in²" if units == "in" else said
