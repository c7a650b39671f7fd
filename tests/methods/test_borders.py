"""Borders against chord tables, the theorem of Gauss and Wantzel, and walks worked out from first principles."""

from __future__ import annotations

import csv
import math
from fractions import Fraction
from pathlib import Path

import pytest
from mpmath import asin, mp, mpf, pi, sin

from construct.diagnostics import Mistakes
from construct.methods.borders import arc_mm, chord_mm, closing_gap_mm, is_constructible
from construct.methods.borders import border as make_border
from construct.study import border

SHARED = Path(__file__).parents[2] / "shared"
HALF = Fraction(1, 2)

GAUSS = "2 3 4 5 6 8 10 12 15 16 17 20 24 30 32 34 40 48 51 60 64 68 80 85 96 102 120 128 136 160 170 192 204 240 255 256 257 272"
"""The 38 counts under 300 that Gauss lists, Disquisitiones arithmeticae (1801), art. 366 (from memory)."""

OVERRUNS = {
    5: 0.618172847751, 6: 0.692935870106, 8: 0.866010880563, 12: 1.242417640070, 16: 1.631428645220, 24: 2.420789973960,
}  # fmt: skip
"""Overrun on the arc, mm, of a walk round R = 100 mm with the opening 0.1 mm too large: computed from first principles, 12 decimals."""

ARC_WALKS = {6: 33, 12: 7.4, 16: 4.1, 24: 1.8, 48: 0.45, 72: 0.2}
"""Overrun, mm at R = 100 mm, of dividers set to the arc instead of the chord: recomputed from the geometry, as printed there."""


def _rows() -> list[dict[str, str]]:
    lines = [line for line in (SHARED / "chords.csv").read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    return list(csv.DictReader(lines))


def test_chords_of_the_table() -> None:
    """c = D·sin(π/n): every chord of shared/chords.csv (its sources are named there), at diameter 1."""
    rows = _rows()
    assert list(range(3, 25)) == [int(row["n"]) for row in rows]
    for row in rows:
        low, high = chord_mm(Fraction(1), int(row["n"]))
        assert abs(float(row["computed"]) - float(low)) < 0.6e-12
        assert 0 <= high - low < Fraction(1, 10**30)


def test_an_enclosure_holds_the_value() -> None:
    """Chord, arc and gap lie in their enclosures, by a general multi-precision library at 60 digits."""
    mp.dps = 60
    for count, across, setting in ((7, 230, Fraction(100)), (72, 230, Fraction(10)), (13, 91, Fraction(87, 4))):
        chord, arc = across * sin(pi / count), across * pi / count
        gap = across * (count * asin(mpf(setting.numerator) / setting.denominator / across) - pi)
        for expected, (low, high) in (
            (chord, chord_mm(Fraction(across), count)),
            (arc, arc_mm(Fraction(across), count)),
            (gap, closing_gap_mm(Fraction(across), setting, count)),
        ):
            assert mpf(low.numerator) / low.denominator <= expected <= mpf(high.numerator) / high.denominator


@pytest.mark.parametrize(("count", "overrun"), OVERRUNS.items())
def test_a_walk_with_the_opening_too_large(count: int, overrun: float) -> None:
    """The exact overrun, not n·e/cos(π/n), which is what first order gives."""
    low, _ = chord_mm(Fraction(200), count)
    found = float(closing_gap_mm(Fraction(200), low + Fraction(1, 10), count)[0])
    assert overrun == pytest.approx(found, abs=0.6e-12 * 100)
    assert count * 0.1 / math.cos(math.pi / count) == pytest.approx(found, rel=1e-3)


def test_counts_that_can_be_constructed() -> None:
    """Gauss and Wantzel: powers of two times distinct Fermat primes, and no others."""
    assert [int(one) for one in GAUSS.split()] == [count for count in range(2, 300) if is_constructible(count)]


def test_dividers_are_never_set_to_the_arc() -> None:
    """Dividers set to the arc run over by so much (common practice warns of it; no source)."""
    for count, over in ARC_WALKS.items():
        found = make_border(Fraction(200), count=count, graduation=HALF).best.by_arc_mm
        assert found is not None
        assert over == pytest.approx(found, rel=0.03)


@pytest.mark.parametrize(
    ("across", "unit", "count", "each"),
    [("180", "9.4", 60, 9.4), ("180", "7.9", 72, 7.9), ("180", "11.8", 48, 11.8), ("230", "10", 72, 10.0)],
)
def test_a_unit_gives_a_count_and_back(across: str, unit: str, count: int, each: float) -> None:
    """Borders of 200 mm and 250 mm plates: the trade's own examples, recomputed (common practice, no source)."""
    found = border(across, unit=unit)
    assert count == found.best.count
    assert each == pytest.approx(found.best.unit_mm, abs=0.05)
    back = border(across, count=found.best.count)
    assert found.best.unit_mm == back.best.unit_mm
    assert math.pi * float(across) / count == pytest.approx(back.best.unit_mm, rel=1e-14)
    # the left-over, spread over all units, is the whole left-over
    assert found.best.spread_mm is not None
    assert math.pi * float(across) - count * float(unit) == pytest.approx(count * found.best.spread_mm, abs=1e-9)


def test_how_a_bench_divides_it() -> None:
    """72 is no construction: 24 is, and each of its spaces goes into 3 by trial; 17 can be constructed, at length; 7 by trial alone."""
    how = {count: make_border(Fraction(230), count=count, graduation=HALF).best for count in (72, 48, 17, 7, 15, 9, 34)}
    assert {
        72: "trial",
        48: "construction",
        17: "long construction",
        7: "trial",
        15: "construction",
        9: "trial",
        34: "long construction",
    } == {count: one.how for count, one in how.items()}
    assert [(24, 3), (48, 1), (1, 7), (3, 3)] == [how[count].stages for count in (72, 48, 7, 9)]


def test_setting_and_closing() -> None:
    """The setting is the nearest graduation; opening by minus gap over count closes the walk to second order; six radii close exactly."""
    found = border("230", unit="10").best
    assert Fraction(10) == found.setting_mm
    assert 10.03245909 == pytest.approx(found.chord_mm, abs=1e-8)  # 230·sin(2.5 deg)
    again = closing_gap_mm(Fraction(230), found.setting_mm + Fraction(found.correction_mm), 72)
    assert abs(float(again[0])) < 0.003 < abs(found.gap_mm)
    six = border("200", count=6).best
    assert Fraction(100) == six.setting_mm
    assert 0 == pytest.approx(six.gap_mm, abs=1e-12)


def test_inner_and_outer_units() -> None:
    """A border 10 mm wide between radii 90 and 100 changes its unit by 11 % (common practice, no source)."""
    found = border("190", unit="10", width="10")
    assert Fraction(100, 90) == found.ratio
    assert Fraction(90, 95) == found.inner
    assert Fraction(100, 95) == found.outer


def test_inches() -> None:
    """A bare number is in the user's units, and the ruler then shows 1/32 in."""
    found = border("9", unit="3/8", units="in")
    assert Fraction(9) * Fraction(254, 10) == found.across_mm
    assert 72 == found.best.count
    assert Fraction(13, 32) * Fraction(254, 10) == found.best.setting_mm  # 9·sin(2.5 deg) = 0.39258 in


@pytest.mark.parametrize(
    ("across", "options", "code"),
    [
        ("x", {"unit": "10"}, "C710"),
        ("0", {"unit": "10"}, "C710"),
        ("1/0", {"unit": "10"}, "C710"),
        ("230", {}, "C722"),
        ("230", {"unit": "10", "count": 72}, "C722"),
        ("230", {"count": 2}, "C723"),
        ("230", {"unit": "0.01"}, "C723"),
        ("230", {"unit": "300"}, "C723"),
        ("230", {"unit": "10", "width": "230"}, "C723"),
    ],
)
def test_mistakes(across: str, options: dict[str, object], code: str) -> None:
    """What makes no border is a diagnostic."""
    with pytest.raises(Mistakes) as wrong:
        border(across, **options)  # type: ignore[arg-type]
    assert [code] == [one.code for one in wrong.value.diagnostics]
