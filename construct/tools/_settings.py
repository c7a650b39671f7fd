"""Bench lines → `Settings`: a level's errors from `data/bench.toml`, and what the recipe says otherwise."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import cache
from importlib.resources import files
from typing import Any

from construct.geometry import is_constructible
from construct.language.syntax import Angle, BenchLine, Blank, Measure
from construct.number_systems import Source
from construct.tools import Settings

LEVELS = ("careful", "ordinary", "beginner")
COMPASS = ("compass set by ruler", "compass set to two marks")
RULER_CLASS = "ruler within its class"
AS_SAID = "as the recipe says"
"""The basis of an error whose figure is written in the recipe."""


@cache
def _data(name: str) -> dict[str, Any]:
    return tomllib.loads(files("construct.data").joinpath(f"{name}.toml").read_text(encoding="utf-8"))


def _sources(level: str, graduation: Fraction) -> dict[str, Source]:
    """Return every bench error of a level; a ruler with graduations of 1 mm and more is read less finely."""
    sources = {}
    for name, row in _data("bench")["sources"].items():
        angle = row.get("unit") == "deg"
        figures = row["coarse"] if graduation >= 1 and "coarse" in row else row
        u = math.radians(figures[level]) if angle else float(figures[level])
        sources[name] = Source(name, u, unit="rad" if angle else "mm", basis=row.get("basis", "judgement"))
    return sources


def make_settings(lines: Sequence[BenchLine], blank: Blank, wrong: Callable[..., None]) -> Settings:
    """Return the bench that the lines ask for; mistakes go to `wrong(key, span, …)`."""
    limits = _data("bench")["limits"]
    level = next((str(line.value) for line in lines if line.key == "level"), "ordinary")
    settings = Settings(
        level=level,
        graduation=Fraction(limits["graduation_mm"]),
        ruler_length=Fraction(limits["ruler_length_mm"]),
        compass_reach=Fraction(limits["compass_reach_mm"]),
        holes=_holes(*(Fraction(text) for text in limits["template_mm"])),
        finder_angle=Fraction(limits["finder_v_deg"]) / 360,
        finder_offset=Fraction(0),
        pencil=Fraction(limits["pencil_mm"]),
        oval=Fraction(0),
    )
    graduation = next((line.value.mm for line in lines if line.key == "ruler graduated" and isinstance(line.value, Measure)), settings.graduation)
    settings = replace(settings, sources=_sources(level, graduation))
    for line in lines:
        settings = _with(settings, line, blank, wrong)
    return settings


def at_level(settings: Settings, level: str) -> Settings:
    """Return the settings at another level of hand; errors that the recipe sets itself stay as they are."""
    own = {name: source for name, source in settings.sources.items() if source.basis.startswith(AS_SAID)}
    return replace(settings, level=level, sources={**_sources(level, settings.graduation), **own})


def _holes(first: Fraction, last: Fraction, by: Fraction) -> tuple[Fraction, ...]:
    return tuple(first + by * n for n in range(int((last - first) / by) + 1))


def _with(settings: Settings, line: BenchLine, blank: Blank, wrong: Callable[..., None]) -> Settings:
    """Return the settings with one bench line added."""
    value = line.value
    mm = value.mm if isinstance(value, Measure) else Fraction(0)
    match line.key:
        case "ruler graduated" if mm > 0:
            return replace(settings, graduation=mm)
        case "ruler to" if mm > 0:
            return replace(settings, ruler_length=mm)
        case "compass to" if mm > 0:
            return replace(settings, compass_reach=mm)
        case "pencil" if mm > 0:
            return replace(settings, pencil=mm)
        case "oval across the grain":
            # "0.8 mm across the grain": so much wider across than along
            return replace(settings, oval=settings.oval - mm)
        case "finder blade off":
            return replace(settings, finder_offset=mm)
        case "finder V" if isinstance(value, Angle):
            if not 0 < value.turns < Fraction(1, 2):
                wrong("P140", line.span)
                return settings
            if is_constructible(value.turns / 2):
                return replace(settings, finder_angle=value.turns)
            wrong("P140.no_angle", line.span)
            return settings
        case "compass set within" if mm > 0:
            # read as a half-width with every value in it equally likely (JCGM 101, 6.4.2)
            spread = {name: replace(settings.sources[name], u=float(mm) / math.sqrt(3), shape="rectangular",
                                    basis=AS_SAID) for name in COMPASS}  # fmt: skip
            return replace(settings, sources={**settings.sources, **spread})
        case "template" if isinstance(value, tuple):
            first, last, by = (part.mm for part in value)
            if 0 < first < last and 0 < by <= last - first and (last - first) / by <= 1000:
                return replace(settings, holes=_holes(first, last, by))
            wrong("P141", line.span)
            return settings
        case "moisture" if isinstance(value, tuple):
            return _moved(settings, line, blank, wrong)
        case "from":
            wrong("P142", line.span, value=value)
            return settings
        case "ruler class":
            return _classed(settings, line, wrong)
        case "level":
            return settings
    wrong("P143", line.span, what=line.key)
    return settings


def unknown_wood(blank: Blank) -> str:
    """Return the woods whose movement is known, as text, where the blank's own is said and is none of them; "" else."""
    known = _data("wood")
    return "" if not blank.wood or blank.wood.lower() in known else ", ".join(sorted(known))


def _classed(settings: Settings, line: BenchLine, wrong: Callable[..., None]) -> Settings:
    """Return the settings with a ruler that is only known to be within its legal class."""
    limits = _data("bench")["ruler_classes"]
    limit = limits.get(str(line.value))
    if limit is None:
        wrong("P147", line.span, name=line.value, known=", ".join(limits))
        return settings
    source = Source(RULER_CLASS, float(limit) / math.sqrt(3), shape="rectangular", basis=f"{AS_SAID}: class {line.value}, limit of MI-008")
    return replace(settings, sources={**settings.sources, RULER_CLASS: source})


def _moved(settings: Settings, line: BenchLine, blank: Blank, wrong: Callable[..., None]) -> Settings:
    """Return the settings of a plate that took up or gave off moisture since it was turned true.

    USDA Forest Products Laboratory, Wood Handbook (FPL-GTR-190), eq. 13-2: ΔD = D·C_T·(M_F − M_I), for
    6 % to 14 %; along the grain wood hardly moves, and it is taken as nothing.
    """
    wood = _data("wood").get(blank.wood.lower())
    # a percentage comes as a fraction; the handbook's coefficients are per 1 %
    before, after = (Fraction(part) * 100 for part in line.value)  # type: ignore[union-attr]
    if wood is None:
        known = ", ".join(sorted(_data("wood")))
        wrong("P144" if blank.wood else "P144.none", line.span, wood=blank.wood, known=known)
        return settings
    if blank.form != "round" or blank.width is None:
        wrong("P145", line.span)
        return settings
    if not all(6 <= part <= 14 for part in (before, after)):
        wrong("P146", line.span)
        return settings
    return replace(settings, oval=settings.oval - blank.width.mm * Fraction(wood["tangential"]) * (after - before))
