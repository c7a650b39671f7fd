"""A pattern fitted to another plate: scaled, its lengths set to what ruler and template have, the plain margin kept.

With the margin m kept, a plate of radius R taken to R′ scales the pattern by
(R′ − m)/(R − m) about its centre, and an inset i becomes R′ − (R − i)·that: all
circles stay in proportion.  Then each length is snapped to the ruler, and what
that does to the claims is for the exact replay to say.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from construct.diagnostics import Mistakes, Span, diagnostic
from construct.language import syntax as s
from construct.language.words import millimetres, split
from construct.methods.graduations import IN, MM, nearest_hole, snapped, written
from construct.methods.rescaling import (
    ALLOWANCE,
    CLAIM,
    GROWS,
    INSET,
    KNIFE,
    PICTURE,
    TEMPLATE,
    WrittenLength,
    lengths,
    places,
    replaced,
)
from construct.tools import Settings

MARGIN = "margin"
KINDS = {MARGIN: MARGIN, "template": TEMPLATE, "knife": KNIFE, "claims": CLAIM, "allowances": ALLOWANCE, "picture": PICTURE}
"""What a user calls the kinds of length that can be kept or scaled."""

LARGEST_MM = Fraction(5000)


@dataclass(frozen=True, slots=True)
class FittedLength:
    """One written length and what became of it.

    written: as it was.  scaled_mm: what it would be exactly; as it was where it is kept.  mm, text: what is written now.
    kept: True where it does not grow.  on_ruler: False where what is kept is no graduation of the ruler.
    """

    written: WrittenLength
    scaled_mm: Fraction
    mm: Fraction
    text: str
    kept: bool
    on_ruler: bool

    @property
    def off_mm(self) -> Fraction:
        """How much snapping added, exactly."""
        return self.mm - self.scaled_mm


@dataclass(frozen=True, slots=True)
class Fit:
    """A recipe fitted to a plate.

    text: the new recipe.  plate_mm, was_mm: across, exactly.  free: True where the old plate's size was left open.
    factor: of the pattern, exactly.  margin_mm: the plain margin that is kept, None where it grows or there is none.
    graduation_mm, unit: of the ruler that lengths are snapped to.  lengths: one for each that is written.
    outside: methods from other files that hold lengths of their own, which stay.
    """

    text: str
    plate_mm: Fraction
    was_mm: Fraction
    free: bool
    factor: Fraction
    margin_mm: Fraction | None
    graduation_mm: Fraction
    unit: str
    lengths: tuple[FittedLength, ...]
    outside: tuple[str, ...]


def read_length(text: str, *, option: str, unit: str | None = None) -> tuple[Fraction, str]:
    """Return a length that a command was given, exactly in mm, and its text; `Mistakes` where it is none.

    unit: of a bare number; None where a unit must be said.
    """
    said = re.sub(r"^\s*round\s*,?|across\s*$", " ", text).strip()
    if unit is not None and re.fullmatch(r"[0-9./\s]+", said):
        said = f"{said} {unit}"
    try:
        found = split(said, 1)
        if len(found) == 1 and found[0].kind == "length":
            mm = millimetres(found[0].text)
            if 0 < mm <= LARGEST_MM:
                return mm, found[0].text
    except (ZeroDivisionError, ValueError):
        pass
    shown = text if len(text) <= 40 else f"{text[:39]}…"
    raise Mistakes((diagnostic("C710", option=option, shown=shown),))


def fit(
    recipe: s.Recipe,
    methods: Sequence[s.Method],
    settings: Settings,
    *,
    plate: str,
    ruler: str | None = None,
    keep: Sequence[str] = (),
    scale: Sequence[str] = (),
) -> Fit:
    """Return a recipe fitted to another plate.

    plate: "10 in across".  ruler: another graduation than the bench's, such as "1/32 in".
    keep, scale: what stays or grows otherwise than by rule: "margin", "template", "knife", "claims", "allowances", "picture", "line 12".
    Raises `Mistakes` where the blank is no round plate, or a length or a name makes no sense.
    """
    blank = recipe.blank
    if blank.form != "round":
        raise Mistakes((diagnostic("C711.paper" if blank.form == "paper" else "C711.board", blank.span),))
    plate_mm, plate_text = read_length(plate, option="--plate")
    if blank.width is None:
        raise Mistakes((diagnostic("C712", blank.span),))
    own = next((line.value for line in recipe.bench if line.key == "ruler graduated" and isinstance(line.value, s.Measure)), None)
    graduation, unit = settings.graduation, IN if own is not None and own.text.endswith(IN) else MM
    if ruler is not None:
        graduation, text = read_length(ruler, option="--ruler")
        unit = IN if text.endswith(IN) else MM
    every = lengths(recipe)
    grows = _Rules(every, keep, scale)
    radius, new = blank.width.mm / 2, plate_mm / 2
    insets = [one.mm for one in every if one.role == INSET]
    margin = min(insets) if insets and not grows.margin else None
    if margin is not None and new <= margin:
        raise Mistakes((diagnostic("C713", plate_text=plate_text, margin=float(margin)),))
    factor = (new - margin) / (radius - margin) if margin is not None else new / radius

    def fitted(one: WrittenLength) -> FittedLength:
        if not grows(one) or (margin is not None and one.role == INSET and one.mm == margin):
            return FittedLength(one, one.mm, one.mm, one.text, True, (one.mm / graduation).denominator == 1)
        exact = new - (radius - one.mm) * factor if one.role == INSET else one.mm * factor
        mm = nearest_hole(exact, settings.holes) if one.role == TEMPLATE else snapped(exact, graduation)
        # a template keeps its own unit
        return FittedLength(
            one, exact, mm, written(mm, MM if one.role == TEMPLATE and (mm * 10_000).denominator == 1 else unit), False, True
        )

    table = tuple(fitted(one) for one in every)
    changes = [(one.written.span, one.text) for one in table if not one.kept]
    for place in places(recipe):
        at = ", ".join(written(Fraction(round(part * factor * 100), 100), MM).removesuffix(" mm") for part in (place.x, place.y))
        changes.append((place.span, f"({at})"))
    changes.append((_width_span(recipe, blank), plate_text if not blank.free else f"{plate_text} across"))
    lines = list(recipe.lines)
    if ruler is not None:
        written_ruler = written(graduation, unit)
        if own is not None:
            changes.append((own.span, written_ruler))
    text = replaced(lines, changes)
    if ruler is not None and own is None:
        after = max([blank.span.line, *(line.span.line for line in recipe.bench)])
        rows = text.splitlines()
        text = "\n".join([*rows[:after], f"bench   ruler graduated {written(graduation, unit)}", *rows[after:]]) + "\n"
    return Fit(
        text=text,
        plate_mm=plate_mm,
        was_mm=blank.width.mm,
        free=blank.free,
        factor=factor,
        margin_mm=margin,
        graduation_mm=graduation,
        unit=unit,
        lengths=table,
        outside=tuple(one.name.text for one in methods if lengths(replace(recipe, methods=(one,), statements=()))),
    )


class _Rules:
    """What grows: by role, and by line where the user says so."""

    def __init__(self, every: Sequence[WrittenLength], keep: Sequence[str], scale: Sequence[str]) -> None:
        self.margin = False
        self.roles = set(GROWS)
        self.lines: dict[int, bool] = {}
        lines = {one.span.line for one in every}
        wrongs = []
        for option, names, grows in (("--keep", keep, False), ("--scale", scale, True)):
            for name in names:
                number = re.fullmatch(r"line\s+(\d{1,6})", name.strip())
                if number is not None and int(number[1]) in lines:
                    self.lines[int(number[1])] = grows
                elif number is not None:
                    known = ", ".join(map(str, sorted(lines)))
                    wrongs.append(diagnostic("C714.line" if lines else "C714.no_lengths", line=number[1], lines=known))
                elif name == MARGIN:
                    self.margin = grows
                elif name in KINDS:
                    (self.roles.add if grows else self.roles.discard)(KINDS[name])
                else:
                    shown = name if len(name) <= 40 else f"{name[:39]}…"
                    wrongs.append(diagnostic("C714.kind", option=option, shown=shown, kinds=", ".join(KINDS)))
        if wrongs:
            raise Mistakes(tuple(wrongs))

    def __call__(self, one: WrittenLength) -> bool:
        return self.lines.get(one.span.line, one.role in self.roles)



def _width_span(recipe: s.Recipe, blank: s.Blank) -> Span:
    """Return where the plate's width is written; of a plate of open size everything from `anything` on."""
    assert blank.width is not None
    span = blank.width.span
    if not blank.free:
        return span
    start = recipe.lines[span.line - 1].index("anything") + 1
    return replace(span, column=start, width=span.column + span.width - start)
