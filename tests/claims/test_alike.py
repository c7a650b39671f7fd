"""Claims about chips: congruent, mirrored or not; equal in area."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from construct.chips import Chip, ChipEdge
from construct.claims import Senseless
from construct.geometry import Circle, Point

ALIKE, AREA = "<M chips> are alike", "<M chips> are alike in area"


def straight(*marks: Point) -> Chip:
    """Return a chip with straight edges, its corners named counterclockwise."""
    edges = [ChipEdge(a, b, None, 0, 0, 0) for a, b in zip(marks, (*marks[1:], marks[0]), strict=True)]
    return Chip("", 1, tuple(edges))


def disc(sheet: Any, x: Any, radius: Any) -> Chip:
    """Return a round chip."""
    reach = sheet.number(radius)
    start = Point(sheet.number(x) + reach, sheet.number(0))
    return Chip("", 1, (ChipEdge(start, start, Circle(sheet.mark(x, 0), reach * reach), 1, 0, 0),))


def test_a_triangle_turned_and_mirrored_is_alike(sheet: Any) -> None:
    """3-4-5 triangles are congruent (Euclid I.8); one with 3, 4 and another angle is not."""
    mark = sheet.mark
    one = straight(mark(0, 0), mark(4, 0), mark(0, 3))
    turned = straight(mark(10, 0), mark(10, 4), mark(7, 0))
    mirrored = straight(mark(0, 0), mark(3, 0), mark(0, 4))
    sheet.proved(ALIKE, (one, turned, mirrored))
    sheet.proved(AREA, (one, turned))
    answer = sheet.refuted(ALIKE, (one, straight(mark(0, 0), mark(4, 0), mark(1, 3))))
    assert ("estimate", "mm") == (answer.finding.guarantee, answer.finding.unit)
    assert 0 < answer.finding.value < 1


def test_a_hair_is_not_alike(sheet: Any) -> None:
    """A corner moved by 10^-30 mm ends the likeness, in shape and in area."""
    mark = sheet.mark
    one = straight(mark(0, 0), mark(4, 0), mark(0, 3))
    other = straight(mark(0, 0), mark(4, 0), mark(0, f"3.{'0' * 29}1"))
    assert "refuted" == sheet.claim(ALIKE, (one, other)).verdict
    assert "refuted" == sheet.claim(AREA, (one, other)).verdict


def test_equal_areas_of_different_shapes(sheet: Any) -> None:
    """Triangles on one base and between the same parallels are equal in area (Euclid I.37), and not alike."""
    mark = sheet.mark
    one, other = straight(mark(0, 0), mark(4, 0), mark(0, 3)), straight(mark(0, 0), mark(4, 0), mark(9, 3))
    sheet.proved(AREA, (one, other))
    assert "refuted" == sheet.claim(ALIKE, (one, other)).verdict


def test_discs(sheet: Any) -> None:
    """Circles are to each other as the squares on their diameters (Euclid XII.2): 9π against 4π."""
    sheet.proved(ALIKE, (disc(sheet, 0, 3), disc(sheet, 20, 3)))
    answer = sheet.refuted(AREA, (disc(sheet, 0, 3), disc(sheet, 20, 2)), figures="15.71")
    assert ("mm2", "exact") == (answer.finding.unit, answer.finding.guarantee)
    assert answer.finding.exact in ("5·π mm²", "5π mm²")


@pytest.mark.parametrize(("share", "verdict"), [("1/20", "within"), ("0.04999999999999999999", "refuted"), ("0.06", "within")])
def test_a_share_of_an_area_counts_equality(sheet: Any, share: str, verdict: str) -> None:
    """π·21 is exactly a twentieth more than π·20."""
    one, other = disc(sheet, 0, sheet.root(21)), disc(sheet, 20, sheet.root(20))
    assert verdict == sheet.claim(AREA, (one, other), within=Fraction(share), unit="part").verdict


def test_chips_that_are_not_there(sheet: Any) -> None:
    """A claim about a chip that nothing has cut makes no sense."""
    with pytest.raises(Senseless):
        sheet.claim(ALIKE, (None, None))
