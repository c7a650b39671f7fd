"""The shipped recipes of the centre and of the halved side: what they prove, and what they refute and by how much."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
import sympy

from construct.study import Study, study

RECIPES = Path(__file__).parents[2] / "recipes"
WAYS = ("finder", "chords", "square")


def text(name: str, *lines: str) -> str:
    """Return a shipped recipe's text with more bench lines."""
    source = (RECIPES / f"{name}.recipe").read_text(encoding="utf-8")
    at = source.index("\nbench ") + 1
    return source[:at] + "".join(f"{line}\n" for line in lines) + source[at:]


def verdicts(outcome: Study) -> dict[str, str]:
    return {one.text: one.verdict for one in outcome.verdicts}


CENTRE = "C is the centre of the plate"
HALF = "M is halfway between L and T"


@pytest.mark.parametrize("way", WAYS)
def test_each_way_finds_the_centre(way: str) -> None:
    """Finder, chords and square all lead to the middle of a round plate, exactly: (0, 0)."""
    outcome = study("find-the-centre", way=way, others=False)
    assert "proved" == verdicts(outcome)[CENTRE]
    centre = outcome.values[outcome.plan.index("C")]
    assert outcome.exact.equal(0, centre.x)
    assert outcome.exact.equal(0, centre.y)
    assert outcome.holds


def test_the_ways_are_compared() -> None:
    """Asked without a way, the first is taken and the two others are looked at too."""
    outcome = study("find-the-centre")
    assert ("finder", ["chords", "square"]) == (outcome.way, [one.way for one in outcome.others])
    assert all(one.verdicts and all(verdict.holds for verdict in one.verdicts) for one in outcome.others)


@pytest.mark.parametrize("way", WAYS)
def test_a_plate_of_any_size(way: str) -> None:
    """Nothing in the three ways depends on 200 mm: with the size left open the claim still holds."""
    source = text("find-the-centre").replace("round, 200 mm across", "round, anything across, say 200 mm")
    assert "proved" == verdicts(study(source, way=way, others=False))[CENTRE]


def test_a_finder_whose_blade_is_off_loses_its_claim() -> None:
    """A blade 1 mm off: two lines square to each other each pass the middle at 1 mm, so they cross √2 mm from it."""
    source = text("find-the-centre", "bench finder blade off 1 mm")
    outcome = study(source)
    (centre,) = [one for one in outcome.verdicts if one.text == CENTRE]
    assert "refuted" == centre.verdict
    assert ("√2 mm", "1.414", "mm") == (centre.finding.exact, centre.finding.figures, centre.finding.unit)
    assert math.sqrt(2) == pytest.approx(centre.finding.value, rel=1e-15)
    # the third line passes the middle at 1 mm too, on its own left: it misses the crossing as well
    assert "refuted" == verdicts(outcome)["C is on f"]
    # and the ways that use no finder are none the worse
    assert all(one.verdicts and all(verdict.verdict == "proved" for verdict in one.verdicts) for one in outcome.others)


def test_an_oval_plate_is_betrayed_by_the_third_line() -> None:
    """0.8 mm oval: along and across the finder is right by symmetry, at 35 deg it misses by (a − b)·sin 70°/√2 to first order."""
    outcome = study(text("find-the-centre", "bench oval 0.8 mm across the grain"), others=False)
    centre = verdicts(outcome)[CENTRE]
    (third,) = [one for one in outcome.verdicts if one.text == "C is on f"]
    assert ("proved", "refuted") == (centre, third.verdict)
    # half-lengths differ by 0.4 mm; the picture's angle is near 35 deg, within the thousandth of its half-angle's tangent
    assert 0.4 * math.sin(math.radians(70)) / math.sqrt(2) == pytest.approx(third.finding.value, rel=2e-3)


@pytest.mark.parametrize("way", ("chords", "square"))
def test_an_oval_plate_has_no_centre_for_the_other_ways(way: str) -> None:
    """On an oval plate neither the halved chords nor the square's corners lead to the middle."""
    outcome = study(text("find-the-centre", "bench oval 0.8 mm across the grain"), way=way, others=False)
    assert "refuted" == verdicts(outcome)[CENTRE]


def test_two_corners_side_by_side_still_find_the_centre() -> None:
    """The second corner 6 deg beside the first: both lines across are nearly one, a poor layout, but a true claim."""
    source = text("find-the-centre").replace("V2 : mark anywhere on edge, say 120 deg", "V2 : mark anywhere on edge, say 36 deg")
    source = source.replace("cornered at V2, anyhow, say 165 deg", "cornered at V2, anyhow, say 81 deg")
    assert "proved" == verdicts(study(source, way="square", others=False))[CENTRE]


def test_a_chord_that_is_not_halved_finds_nothing() -> None:
    """One step altered: one arc swung at another opening, and the claim is lost."""
    source = text("find-the-centre").replace("w : arc about W, opening s", "w : arc about W, 96 mm by ruler")
    assert "refuted" == verdicts(study(source, way="chords", others=False))[CENTRE]


# --- halving a side -----------------------------------------------------------------------------


def test_the_ruler_is_six_hundredths_short() -> None:
    """Radius 90.6 mm, side 90.6·√2 mm, reading 128, half 64: the gap is 45.3·√2 − 64 mm (common practice, no source)."""
    outcome = study("halve-a-side", way="ruler", others=False)
    (half,) = [one for one in outcome.verdicts if one.text == HALF]
    assert "refuted" == half.verdict
    exact = sympy.Rational(453, 10) * sympy.sqrt(2) - 64
    assert float(exact) == pytest.approx(half.finding.value, rel=1e-12)
    assert "0.06387" == half.finding.figures
    assert ("proved", "proved") == tuple(one.verdict for one in outcome.verdicts[:2])


@pytest.mark.parametrize(("graduated", "reading"), [("0.5 mm", "128"), ("0.1 mm", "128.1"), ("1/32 in", "127.79375"), ("2 mm", "128")])
def test_another_ruler_is_not_right_either(graduated: str, reading: str) -> None:
    """The nearest graduation to 128.1277… mm is halved; 1/32 in is 0.79375 mm, and 161.4 of them are read as 161."""
    source = text("halve-a-side").replace("ruler graduated 1 mm", f"ruler graduated {graduated}")
    outcome = study(source, way="ruler", others=False)
    (half,) = [one for one in outcome.verdicts if one.text == HALF]
    gap = sympy.Abs(sympy.Rational("90.6") * sympy.sqrt(2) - sympy.Rational(reading)) / 2
    assert "refuted" == half.verdict
    assert float(gap) == pytest.approx(half.finding.value, rel=1e-10)


@pytest.mark.parametrize("way", ("compass", "eye"))
def test_compass_and_eye_mean_the_true_middle(way: str) -> None:
    """The compass halves exactly; so does what the eye aims at."""
    outcome = study("halve-a-side", way=way, others=False)
    assert "proved" == verdicts(outcome)[HALF]
    assert outcome.holds


@pytest.mark.parametrize("margin", ["1.6 mm", "21.6 mm", "37.6 mm"])
def test_no_whole_radius_makes_the_ruler_right(margin: str) -> None:
    """Radii of 100, 80 and 64 mm: side and radius of a square have no common measure (Euclid X.9), so no ruler halves it exactly."""
    source = text("halve-a-side").replace("11 mm inside", f"{margin} inside").replace("say 70 mm", "say 2/3 of L T")
    assert "refuted" == verdicts(study(source, way="ruler", others=False))[HALF]


def test_the_ruler_is_right_by_luck() -> None:
    """Marks 128 mm apart on a millimetre ruler: 64 mm is the middle, and the claim is proved here."""
    outcome = study(
        "recipe Luck\n"
        "paper\n"
        "given L, T, 128 mm apart\n"
        "step S\n"
        "  M : mark halfway from L to T, by ruler\n"
        "  claim M is halfway between L and T\n"
    )
    assert ["proved"] == [one.verdict for one in outcome.verdicts]
