"""The shipped recipes with chips: their claims, their areas by formula, Euler's formula, and shapely's opinion."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import shapely
import sympy

from construct.chips import Chip, ChipEdge
from construct.chips.arrangement import arrange
from construct.chips.isometry import groups
from construct.chips.measures import Area, area, area_enclosure, area_text
from construct.study import Study, study

RECIPES = Path(__file__).parents[2] / "recipes"
CARVED = ("clock-dial", "interlaced", "rim-of-triangles", "six-petals", "square-in-a-circle", "swirl")
ONLY_LOOKS_IT = {"rim-of-triangles": ["top.N and low.N are alike in area"]}
"""What a recipe claims on purpose, to be refuted."""


@cache
def studied(name: str) -> Study:
    return study(name, others=False)


def regions(outcome: Study) -> tuple[Chip, ...]:
    assert outcome.carving is not None
    return outcome.carving.chips + outcome.carving.left


def total(outcome: Study, chips: Any) -> Area:
    """Return areas as one sum."""
    algebraic = outcome.exact.rational(0)
    arcs: tuple[Any, ...] = ()
    for chip in chips:
        measured = area(outcome.exact, chip)
        algebraic, arcs = algebraic + measured.algebraic, arcs + measured.arcs
    return Area(algebraic, arcs)


def value(outcome: Study, chip: Chip) -> float:
    low, high = area_enclosure(outcome.exact, area(outcome.exact, chip), 12)
    return float((low + high) / 2)


def named(outcome: Study, name: str) -> Chip:
    assert outcome.carving is not None
    return outcome.carving.chip(outcome.plan.index(name))


def test_every_recipe_with_chips_is_here() -> None:
    """No recipe with a `carve` part escapes these tests."""
    carved = {path.stem for path in RECIPES.glob("*.recipe") if "\ncarve\n" in path.read_text(encoding="utf-8")}
    assert set(CARVED) == carved


@pytest.mark.parametrize("name", CARVED)
def test_claims(name: str) -> None:
    """Every claim is proved, but for those that are there to be refuted; no cut runs on beyond the chips."""
    outcome = studied(name)
    refuted = [one.text for one in outcome.verdicts if one.verdict != "proved"]
    assert ONLY_LOOKS_IT.get(name, []) == refuted
    assert outcome.carving is not None
    assert () == outcome.carving.warnings


@pytest.mark.parametrize("name", CARVED)
def test_euler(name: str) -> None:
    """V − E + F = 1 + C, the outside counted among the faces (Euler 1758; Cauchy for C parts; from memory)."""
    outcome = studied(name)
    assert outcome.carving is not None
    found = arrange(outcome.exact, outcome.carving.pieces)
    assert 1 + found.components == found.vertices - found.edges + len(found.faces) + 1
    assert len(regions(outcome)) == len(found.faces)


# --- shapely's opinion --------------------------------------------------------------------------


def polygon(outcome: Study, chip: Chip) -> shapely.Polygon:
    """Return a chip as a fine polygon."""
    outline, *holes = ([spot for edge in walk for spot in spots(outcome, edge)] for walk in chip.walks)
    return shapely.Polygon(outline, holes)


def spots(outcome: Study, edge: ChipEdge) -> list[tuple[float, float]]:
    exact = outcome.exact
    (ax, ay), (bx, by) = ((exact.to_float(end.x), exact.to_float(end.y)) for end in (edge.start, edge.finish))
    if edge.circle is None:
        return [(ax, ay)]
    cx, cy = exact.to_float(edge.circle.centre.x), exact.to_float(edge.circle.centre.y)
    start = math.atan2(ay - cy, ax - cx)
    swept = math.tau if edge.whole else (edge.sense * (math.atan2(by - cy, bx - cx) - start)) % math.tau
    reach = math.hypot(ax - cx, ay - cy)
    turns = (start + edge.sense * swept * n / 400 for n in range(1, 400))
    return [(ax, ay), *((cx + reach * math.cos(turn), cy + reach * math.sin(turn)) for turn in turns)]


@pytest.mark.parametrize("name", CARVED)
def test_shapely_agrees(name: str) -> None:
    """shapely finds each region's area (to 10⁻⁴ of it), and that no two regions overlap (to 10⁻³ mm²)."""
    outcome = studied(name)
    shapes = [polygon(outcome, chip) for chip in regions(outcome)]
    for shape, chip in zip(shapes, regions(outcome), strict=True):
        assert value(outcome, chip) == pytest.approx(shape.area, rel=1e-4)
    tree = shapely.STRtree(shapes)
    for i, j in zip(*tree.query(shapes, predicate="intersects"), strict=True):
        if i < j:
            assert shapes[i].buffer(0).intersection(shapes[j].buffer(0)).area < 2e-3 * max(1.0, shapes[i].length)
    # and together they cover what their union covers
    union = shapely.unary_union([shape.buffer(1e-6) for shape in shapes])
    assert union.area == pytest.approx(sum(value(outcome, chip) for chip in regions(outcome)), rel=1e-3)


# --- areas by formula ---------------------------------------------------------------------------


def test_half_petals_and_darts() -> None:
    """A petal of radius 50 is r²(π/3 − √3/2) (classical), its halves half of that, all twelve alike."""
    outcome = studied("six-petals")
    assert "1250·π/3 − 625·√3" == area_text(outcome.exact, area(outcome.exact, named(outcome, "left.p1")))
    assert outcome.carving is not None
    assert [6, 12] == sorted(len(group) for group in groups(outcome.exact, outcome.carving.chips))


def test_the_square_is_tiled() -> None:
    """Petals, bays and the segments that stay fill the circle, π·24²; petals and bays the square, 2·24² (Euclid IV.6)."""
    outcome = studied("square-in-a-circle")
    assert outcome.carving is not None
    square = [named(outcome, f"{kind}.{p}") for kind in ("left", "right", "bay") for p in "TRBL"]
    assert "1152" == area_text(outcome.exact, total(outcome, square))
    assert "576·π" == area_text(outcome.exact, total(outcome, [*square, *outcome.carving.left]))


def test_the_moon_is_a_quarter_of_the_square() -> None:
    """Hippocrates: the lune over a side is r²/2 = 288 mm², and with petals and bays that is what the recipe claims."""
    outcome = studied("square-in-a-circle")
    assert "288" == area_text(outcome.exact, area(outcome.exact, named(outcome, "moon.T")))
    # petal: a²(π/8 − 1/4) with a = 24·√2, halved
    half = sympy.Rational(1152) * (sympy.pi / 8 - sympy.Rational(1, 4)) / 2
    assert float(half) == pytest.approx(value(outcome, named(outcome, "left.T")), rel=1e-12)


def test_the_swirl_fills_its_ring() -> None:
    """Sixteen arms, each a sixteenth of π·40²: what a half-circle cuts off on one side it gives on the other."""
    outcome = studied("swirl")
    assert outcome.carving is not None
    assert ((*range(16),),) == groups(outcome.exact, outcome.carving.chips)
    assert "100·π" == area_text(outcome.exact, area(outcome.exact, named(outcome, "arm.N")))
    assert "1600·π" == area_text(outcome.exact, total(outcome, outcome.carving.chips))


def test_the_rim_of_triangles_is_tiled() -> None:
    """Triangles, kites and the middle fill the outer circle, π·(331/5)², and the kites are 24 alike."""
    outcome = studied("rim-of-triangles")
    assert outcome.carving is not None
    assert "109561·π/25" == area_text(outcome.exact, total(outcome, regions(outcome)))
    assert [24, 24] == sorted(len(group) for group in groups(outcome.exact, outcome.carving.chips))
    assert [1, 24] == sorted(len(group) for group in groups(outcome.exact, outcome.carving.left))


def test_the_gap_of_the_two_triangles() -> None:
    """Outer and inner triangle of a cell, by sectors and triangles worked out apart from the code, in sympy."""
    outcome = studied("rim-of-triangles")
    (verdict,) = [one for one in outcome.verdicts if one.verdict == "refuted"]
    big, small, half = sympy.Rational("66.2"), sympy.Rational("54.2"), sympy.pi / 24
    # the diagonals cross on the ray half way, where both lines have the same distance from the centre
    meet = 2 * big * small * sympy.cos(half) / (big + small)
    outer = big**2 * half - big * meet * sympy.sin(half)
    inner = small * meet * sympy.sin(half) - small**2 * half
    assert float(outer - inner) == pytest.approx(verdict.finding.value, rel=1e-9)
    assert float(outer) == pytest.approx(value(outcome, named(outcome, "top.N")), rel=1e-9)


def test_the_lens_between_two_rings() -> None:
    """Two circles of radius 18, 128·sin 15° apart: 2r²·arccos(d/2r) − (d/2)·√(4r² − d²); buttons are 8 mm across."""
    outcome = studied("interlaced")
    r, d = 18, 128 * math.sin(math.radians(15))
    lens = 2 * r * r * math.acos(d / (2 * r)) - d / 2 * math.sqrt(4 * r * r - d * d)
    assert lens == pytest.approx(value(outcome, named(outcome, "lens.N")), rel=1e-12)
    assert "16·π" == area_text(outcome.exact, area(outcome.exact, named(outcome, "button.N")))
    assert outcome.carving is not None
    assert [12, 12, 12, 12] == [len(group) for group in groups(outcome.exact, outcome.carving.chips)]


@pytest.mark.parametrize(
    ("name", "old", "new", "lost"),
    [
        ("six-petals", "stepped from p4 round ring, opening r", "stepped from p4 round ring, 49 mm by ruler",
         "p1 to p6 are evenly spaced round ring"),
        ("square-in-a-circle", "dome.p : circle about m.p, through p", "dome.p : circle about m.p, 16 mm by ruler", "C is on dome.T"),
        ("swirl", "dd.p : arc about q, same opening", "dd.p : arc about q, 19 mm by ruler", "all are evenly spaced round ring"),
    ],
)  # fmt: skip
def test_one_step_altered_loses_its_claim(name: str, old: str, new: str, lost: str) -> None:
    """A step drawn otherwise takes the claim that rests on it away; carving is left out, as it would not close."""
    text = (RECIPES / f"{name}.recipe").read_text(encoding="utf-8")
    assert old in text
    outcome = study(text[: text.index("\ncarve\n") + 1].replace(old, new), others=False)
    (verdict,) = [one for one in outcome.verdicts if one.text == lost]
    assert "refuted" == verdict.verdict
