"""The figures behind advice on chips, from `data/chips.toml`; each is judgement or common practice, as that file says."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from importlib.resources import files


@dataclass(frozen=True, slots=True)
class Rules:
    """What a knife takes and what wood bears; see `data/chips.toml` for each figure's basis."""

    comfortable_mm: Fraction
    relieve_to_mm: Fraction
    deepest_part: Fraction
    long_point_deg: Fraction
    frail_point_deg: Fraction
    frail_land_mm: Fraction
    neighbour_mm: Fraction


@cache
def rules() -> Rules:
    """Return the shipped figures."""
    said = tomllib.loads(files("construct.data").joinpath("chips.toml").read_text(encoding="utf-8"))
    return Rules(**{name: Fraction(value) for name, value in said.items()})
