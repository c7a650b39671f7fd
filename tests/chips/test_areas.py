"""Areas of figures that are known in closed form.

The closed forms are classical; where a test says "from memory" no page was open
when it was written.  Decimals are those of the closed forms, worked out apart
from the code.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import mpmath
import pytest

from construct.chips.angles import angle_sum_sign, part_of_turn
from construct.chips.isometry import alike_in_area, groups
from construct.chips.measures import area, area_enclosure, area_text, perimeter_enclosure

DIGITS = 25


def holds(expected: str, exact: Any, chip: Any, digits: int = DIGITS) -> bool:
    """Tell whether the enclosure of a chip's area holds a value worked out by mpmath, and is as narrow as asked."""
    low, high = area_enclosure(exact, area(exact, chip), digits)
    slack = Fraction(1, 10**40)  # the expected value has 50 figures
    return low - slack <= Fraction(expected) <= high + slack and high - low <= Fraction(1, 10**digits)


def value(formula: Any) -> str:
    with mpmath.workdps(60):
        return mpmath.nstr(formula(), 50)


def test_a_square(wood: Any) -> None:
    """A square of side 7 mm has 49 mm², exactly, and 28 mm round it (Euclid I.46)."""
    wood.loop(wood.mark(0, 0), wood.mark(7, 0), wood.mark(7, 7), wood.mark(0, 7))
    (chip,) = wood.chips()
    assert "49" == area_text(wood.exact, area(wood.exact, chip))
    low, high = perimeter_enclosure(wood.exact, chip, 10)
    assert low <= 28 <= high


def test_a_disc(wood: Any) -> None:
    """A disc of radius 3 mm has 9π mm² and 6π mm round it."""
    wood.ring(wood.circle(Fraction(1, 3), 2, 3))
    (chip,) = wood.chips()
    assert "9·π" == area_text(wood.exact, area(wood.exact, chip))
    low, high = perimeter_enclosure(wood.exact, chip, 12)
    assert low <= Fraction(value(lambda: 6 * mpmath.pi)) <= high


def test_petals_of_semicircles_on_a_square(wood: Any) -> None:
    """Semicircles on the sides of a square of side a: each of four petals is a²(π/8 − 1/4) (values.md 7; classical)."""
    o = wood.mark(2, 2)
    for x, y, a, b in ((2, 0, (4, 0), (0, 0)), (4, 2, (4, 4), (4, 0)), (2, 4, (0, 4), (4, 4)), (0, 2, (0, 0), (0, 4))):
        wood.arc(wood.through(x, y, o), wood.mark(*a), wood.mark(*b))
    chips = wood.chips()
    assert 4 == len(chips)
    for chip in chips:
        assert holds(value(lambda: 16 * (mpmath.pi / 8 - mpmath.mpf(1) / 4)), wood.exact, chip)
        assert "2·π − 4" == area_text(wood.exact, area(wood.exact, chip))
    assert ((0, 1, 2, 3),) == groups(wood.exact, chips)


def test_lens_of_two_quarter_circles(wood: Any) -> None:
    """Quarter circles of radius a about opposite corners of a square share a²(π/2 − 1)."""
    b, d = wood.mark(1, 0), wood.mark(0, 1)
    wood.arc(wood.circle(0, 0, 1), b, d)
    wood.arc(wood.circle(1, 1, 1), d, b)
    (chip,) = wood.chips()
    assert holds("0.57079632679489661923132169163975144209858469968755", wood.exact, chip)
    assert "π/2 − 1" == area_text(wood.exact, area(wood.exact, chip))


def test_centre_of_four_quarter_circles(wood: Any) -> None:
    """Four quarter circles in a square of side a share a²(1 − √3 + π/3); nine regions in three kinds (classical)."""
    corners = [(0, 0), (1, 0), (1, 1), (0, 1)]
    for i, (x, y) in enumerate(corners):
        wood.arc(wood.circle(x, y, 1), wood.mark(*corners[(i + 1) % 4]), wood.mark(*corners[i - 1]))
    wood.loop(*(wood.mark(*one) for one in corners))
    chips = wood.chips()
    assert [1, 4, 4] == sorted(len(group) for group in groups(wood.exact, chips))
    (middle,) = (chips[group[0]] for group in groups(wood.exact, chips) if len(group) == 1)
    assert holds(value(lambda: 1 - mpmath.sqrt(3) + mpmath.pi / 3), wood.exact, middle)
    assert "π/3 + 1 − √3" == area_text(wood.exact, area(wood.exact, middle))


def test_vesica(wood: Any) -> None:
    """Two circles of radius r through each other's centres share r²(2π/3 − √3/2) (Euclid I.1's figure)."""
    wood.ring(wood.circle(0, 0, 2))
    wood.ring(wood.circle(2, 0, 2))
    chips = wood.chips()
    sizes = [area_text(wood.exact, area(wood.exact, chip)) for chip in chips]
    assert ["4·π/3 + 2·√3", "4·π/3 + 2·√3", "8·π/3 − 2·√3"] == sorted(sizes)
    assert [1, 2] == sorted(len(group) for group in groups(wood.exact, chips))


def test_rosette_petals(wood: Any) -> None:
    """Six petals of radius r have r²(π/3 − √3/2) each and touch each other in the middle, all twelve arcs through one mark."""
    half, root = Fraction(1, 2), wood.root(3) / 2
    spots = ((1, 0), (half, root), (-half, root), (-1, 0), (-half, -root), (half, -root))
    rim = [wood.mark(*spot) for spot in spots]
    o = wood.mark(0, 0)
    for i in range(6):
        about = rim[i]
        circle = wood.through(about.x, about.y, o)
        wood.arc(circle, rim[(i + 1) % 6], o)
        wood.arc(circle, o, rim[i - 1])
    found = wood.arrangement()
    assert (7, 12, 1, 6) == (found.vertices, found.edges, found.components, len(found.faces))
    chips = wood.chips()
    for chip in chips:
        assert holds(value(lambda: mpmath.pi / 3 - mpmath.sqrt(3) / 2), wood.exact, chip)
        assert "π/3 − √3/2" == area_text(wood.exact, area(wood.exact, chip))
    assert ((0, 1, 2, 3, 4, 5),) == groups(wood.exact, chips)


def test_lune_of_hippocrates(wood: Any) -> None:
    """The lune on a side of the inscribed square has r²/2, as the triangle under it (Hippocrates; from memory)."""
    a, b, o = wood.mark(2, 0), wood.mark(0, 2), wood.mark(0, 0)
    wood.arc(wood.circle(0, 0, 2), a, b)
    wood.arc(wood.through(1, 1, a), a, b)
    wood.straight(a, b)
    wood.straight(a, o)
    wood.straight(b, o)
    chips = wood.chips()
    texts = [area_text(wood.exact, area(wood.exact, chip)) for chip in chips]
    assert ["2", "2", "π − 2"] == sorted(texts)
    lune, triangle = (chip for chip, text in zip(chips, texts, strict=True) if text == "2")
    assert alike_in_area(wood.exact, lune, triangle) is True
    assert 2 == len(groups(wood.exact, [lune, triangle]))


def test_arbelos(wood: Any) -> None:
    """Between semicircles over a + b, a and b (radii) lie πab (Book of Lemmas, prop. 4; from memory)."""
    o, m, e = wood.mark(-5, 0), wood.mark(-1, 0), wood.mark(5, 0)
    wood.arc(wood.circle(0, 0, 5), e, o)
    wood.arc(wood.circle(-3, 0, 2), m, o)
    wood.arc(wood.circle(2, 0, 3), e, m)
    (chip,) = wood.chips()
    assert "6·π" == area_text(wood.exact, area(wood.exact, chip))


def test_an_angle_that_is_no_part_of_a_turn(wood: Any) -> None:
    """The segment of a circle of radius 5 over a chord at distance 3 has 25·arccos(3/5) − 12, by any handbook's segment formula."""
    a, b = wood.mark(4, 3), wood.mark(-4, 3)
    wood.arc(wood.circle(0, 0, 5), a, b)
    wood.straight(a, b)
    (chip,) = wood.chips()
    assert holds(value(lambda: 25 * mpmath.acos(mpmath.mpf(3) / 5) - 12), wood.exact, chip)
    # the whole arc has cosine 2·(3/5)² − 1
    assert "25·arccos(−7/25)/2 − 12" == area_text(wood.exact, area(wood.exact, chip))


def test_almost_a_part_of_a_turn_is_none(wood: Any) -> None:
    """An angle is called π/6 only if it is: one that differs by less than 10⁻⁴⁸ is not (tan π/12 = 2 − √3)."""
    exact = wood.exact
    true = wood.root(3) / 2, exact.rational(Fraction(1, 2))
    assert Fraction(1, 12) == part_of_turn(exact, *true)
    half = 2 - Fraction(value(lambda: mpmath.sqrt(3)))
    near = (1 - half * half) / (1 + half * half), 2 * half / (1 + half * half)
    assert part_of_turn(exact, *map(exact.rational, near)) is None


@pytest.mark.parametrize(("dx", "expected"), [(0, True), (Fraction(1, 10**30), False)])
def test_areas_agree_by_angles_that_add_up(wood: Any, dx: Any, expected: bool) -> None:
    """arctan 1/2 + arctan 1/3 = π/4 (Euler; from memory): two unlike sectors together equal one of an eighth of a turn."""
    o, r = wood.mark(0, 0), 10
    one = [wood.mark(r, 0), wood.mark(8, 6)]  # 2·arctan 1/3
    two = [wood.mark(r, 0), wood.mark(6, 8)]  # 2·arctan 1/2
    quarter = [wood.mark(r, 0), wood.mark(0, r)]
    chips = []
    for x, (a, b) in ((0, one), (50, two), (100, quarter)):
        lay = type(wood)()
        lay.exact = wood.exact
        a, b, c = (lay.mark(mark.x + x, mark.y) for mark in (a, b, o))
        lay.arc(lay.circle(x, 0, r), a, b)
        lay.straight(a, c)
        lay.straight(b, c)
        chips += lay.chips()
    sectors = [area(wood.exact, chip) for chip in chips]
    terms = [(arc.square * sign, arc.cosine, arc.sine) for sign, sector in zip((1, 1, -1), sectors, strict=True) for arc in sector.arcs]
    free = (sectors[0].algebraic + sectors[1].algebraic - sectors[2].algebraic) * 2 + wood.number(dx)
    assert (0 if expected else 1) == angle_sum_sign(wood.exact, free, terms)
