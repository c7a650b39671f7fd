"""Fitting: similar figures stay similar, what is the hand's stays, and what the ruler makes of it is told exactly."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from construct.diagnostics import Mistakes
from construct.language.words import millimetres
from construct.methods.graduations import INCH, coarse, nearest_hole, snapped, written
from construct.study import Fitted, fitted

RINGS = """recipe Rings
plate round, 160 mm across, 12 mm thick
bench ordinary, ruler graduated 0.5 mm
step Rings          # 5 mm of margin
  g : line by centre finder, along the grain
  h : line by centre finder, across the grain
  C : mark where g meets h
  S, N : marks where g meets edge
  border : circle about C, 5 mm inside the edge
  ring : circle about C, 30 mm inside the edge   # half-way, or so
  inner : circle about C, 25 mm by ruler
  r : opening, anything under 60 mm, say 40 mm
  a : arc about C, opening r
  B : mark where g meets ring, nearest N
  D : mark where g meets inner, nearest N
  claim C B is 50 mm
  claim C D is 25 mm
  claim C B is 2 of C D
  claim B is inside border
carve
  groove ring, 1.5 mm wide
  groove inner, 1.5 mm wide
  land at least 1 mm
"""


def rows(found: Fitted) -> dict[str, tuple[str, bool]]:
    """Return what each length became, by what was written."""
    return {f"{one.written.span.line}: {one.written.text}": (one.text, one.kept) for one in found.fit.lengths}


def test_the_margin_stays_and_the_rest_is_similar() -> None:
    """160 to 235 mm with 5 mm kept: the pattern is 112.5/75 = 3/2 as large, so insets of 30 mm become 117.5 − 75 = 42.5 mm."""
    found = fitted(RINGS, plate="235 mm across")
    assert Fraction(3, 2) == found.fit.factor
    assert Fraction(5) == found.fit.margin_mm
    assert {
        "9: 5 mm": ("5 mm", True), "10: 30 mm": ("42.5 mm", False), "11: 25 mm": ("37.5 mm", False), "12: 60 mm": ("90 mm", False),
        "12: 40 mm": ("60 mm", False), "16: 50 mm": ("75 mm", False), "17: 25 mm": ("37.5 mm", False), "21: 1.5 mm": ("1.5 mm", True),
        "22: 1.5 mm": ("1.5 mm", True), "23: 1 mm": ("1 mm", True),
    } == rows(found)  # fmt: skip
    assert all(one.off_mm == 0 for one in found.fit.lengths)
    assert found.before.holds and found.after.holds


def test_the_text_is_changed_where_lengths_stand_and_nowhere_else() -> None:
    """Comments, names and spacing are kept; the plate and the lengths are not."""
    found = fitted(RINGS, plate="235 mm across")
    for was, now in zip(RINGS.splitlines(), found.fit.text.splitlines(), strict=True):
        assert was.split("#")[1:] == now.split("#")[1:]
        assert [word for word in was.split() if word.isalpha()] == [word for word in now.split() if word.isalpha()]
    assert "plate round, 235 mm across, 12 mm thick" in found.fit.text
    assert found.fit.text == fitted(found.fit.text, plate="235 mm").fit.text


def test_what_the_ruler_breaks_is_told_exactly() -> None:
    """On a plate of 161 mm the scaled inset is 30 1/6 mm and the ruler has 30, and 25 1/6 becomes 25: 50.5 is not 2 times 25."""
    found = fitted(RINGS, plate="161 mm")
    assert Fraction(151, 150) == found.fit.factor
    exact = {one.written.text: one.scaled_mm for one in found.fit.lengths if one.written.role in ("inset", "pattern")}
    assert {"5 mm": Fraction(5), "30 mm": Fraction(161, 2) - 50 * Fraction(151, 150), "25 mm": 25 * Fraction(151, 150)} == exact
    after = {verdict.text: verdict for verdict in found.after.verdicts}
    assert after["C B is 2 of C D"].verdict == "refuted"
    finding = after["C B is 2 of C D"].finding
    # 161/2 − 30 = 50.5 against 2·25: exactly half a millimetre
    assert finding is not None and Fraction(1, 2) == Fraction(finding.exact.removesuffix(" mm"))
    assert after["C D is 25 mm"].holds and after["C B is 50.5 mm"].holds


def test_a_margin_that_grows() -> None:
    """With `--scale margin` everything grows alike: 160 to 240 mm takes 5 mm to 7.5 mm and 30 mm to 45 mm."""
    found = fitted(RINGS, plate="240 mm", scale=["margin"])
    assert Fraction(3, 2) == found.fit.factor
    assert found.fit.margin_mm is None
    assert ("7.5 mm", False) == rows(found)["9: 5 mm"]
    assert ("45 mm", False) == rows(found)["10: 30 mm"]
    assert found.after.holds


def test_what_is_said_to_stay_or_to_grow() -> None:
    """A line, the knife's lengths and the claims can be told otherwise."""
    found = fitted(RINGS, plate="235 mm", keep=["line 11", "claims"], scale=["knife"])
    told = rows(found)
    # 1.5 mm times 3/2 lies midway between 2 and 2.5 mm: the smaller is taken
    assert [("25 mm", True), ("50 mm", True), ("2 mm", False), ("1.5 mm", False)] == [
        told[key] for key in ("11: 25 mm", "16: 50 mm", "21: 1.5 mm", "23: 1 mm")
    ]


def test_another_ruler() -> None:
    """Lengths are written as the ruler in hand has them, and the bench line says that ruler."""
    found = fitted(RINGS, plate="9 in across", ruler="1/32 in")
    assert "ruler graduated 1/32 in" in found.fit.text
    for one in found.fit.lengths:
        if not one.kept:
            assert one.text.endswith(" in")
            assert 1 == (one.mm / (INCH / 32)).denominator
            assert one.mm == millimetres(one.text)
            assert abs(one.off_mm) <= INCH / 64
    assert Fraction(9) * INCH == found.after.plan.blank.width.mm  # type: ignore[union-attr]
    without = fitted(RINGS.replace(", ruler graduated 0.5 mm", ""), plate="9 in", ruler="1/16 in")
    assert "\nbench   ruler graduated 1/16 in\n" in without.fit.text
    assert INCH / 16 == without.after.plan.settings.graduation


def test_the_dial_on_another_plate() -> None:
    """The shipped dial keeps its claims and its chips from 8 in to 10 in; its template hole becomes the nearest there is."""
    found = fitted("clock-dial", plate="10 in across")
    assert found.before.holds and found.after.holds
    assert found.before.carving is not None and found.after.carving is not None
    assert len(found.before.carving.chips) == len(found.after.carving.chips)
    # (127 − 5)/(120.65 − 5)
    assert Fraction(12200, 11565) == found.fit.factor
    (hole,) = [one for one in found.fit.lengths if one.written.role == "template"]
    assert ("9 mm", Fraction(9) * Fraction(12200, 11565)) == (hole.text, hole.scaled_mm)


def test_an_open_size_is_closed() -> None:
    """A plate of any size, fitted, has the size it was fitted to."""
    open_plate = RINGS.replace("round, 160 mm across", "round, anything across, say 160 mm")
    found = fitted(open_plate, plate="235 mm")
    assert "plate round, 235 mm across, 12 mm thick" in found.fit.text
    assert found.fit.free and not found.after.plan.blank.free


def test_an_inset_in_parts_is_no_margin() -> None:
    """Of `30 mm less 5 mm inside the edge` neither length is a distance from the edge: both grow, and the margin is the border's."""
    parts = RINGS.replace("30 mm inside the edge", "30 mm less 4 mm inside the edge").replace("C B is 50 mm", "C B is 54 mm")
    found = fitted(parts, plate="235 mm")
    assert Fraction(5) == found.fit.margin_mm
    told = rows(found)
    assert [("45 mm", False), ("6 mm", False)] == [told["10: 30 mm"], told["10: 4 mm"]]


def test_nothing_to_do() -> None:
    """Fitted to its own plate with its own ruler, a recipe stays as it is."""
    assert RINGS == fitted(RINGS, plate="160 mm").fit.text


@pytest.mark.parametrize("plate", ["100 mm", "205 mm", "320 mm"])
def test_scaling_scales_what_is_drawn(plate: str) -> None:
    """Marks of the fitted recipe lie where the factor says, to within what the ruler rounds."""
    found = fitted(RINGS, plate=plate)
    for name in ("B", "D"):
        was, now = (one.drawn[one.plan.index(name)] for one in (found.before, found.after))
        assert float(found.fit.factor) * was.y == pytest.approx(now.y, abs=0.2501)


@pytest.mark.parametrize(
    ("text", "options", "code"),
    [
        (RINGS, {"plate": "235"}, "C710"),
        (RINGS, {"plate": "0 mm"}, "C710"),
        (RINGS, {"plate": "1/0 in"}, "C710"),
        (RINGS, {"plate": "6000 mm"}, "C710"),
        (RINGS, {"plate": "235 mm", "ruler": "fine"}, "C710"),
        ("recipe P\npaper\ngiven A, B, 100 mm apart\nk : line through A and B\n", {"plate": "235 mm"}, "C711"),
        (RINGS, {"plate": "10 mm"}, "C713"),
        (RINGS, {"plate": "235 mm", "keep": ["everything"]}, "C714"),
        (RINGS, {"plate": "235 mm", "scale": ["line 1"]}, "C714"),
        (RINGS, {"plate": "1000 mm"}, "R212"),
    ],
)
def test_mistakes(text: str, options: dict[str, object], code: str) -> None:
    """What can not be fitted is a diagnostic; what can not be laid out after fitting is one of the fitted recipe's own."""
    with pytest.raises(Mistakes) as wrong:
        fitted(text, **options)  # type: ignore[arg-type]
    assert code == wrong.value.diagnostics[0].code


# --- graduations ---------------------------------------------------------------------------------


@settings(max_examples=100, deadline=None)
@given(
    st.fractions(min_value=Fraction(1), max_value=Fraction(400), max_denominator=997),
    st.sampled_from([Fraction(1, 2), Fraction(1), INCH / 32, INCH / 64]),
)
def test_the_nearest_graduation(mm: Fraction, graduation: Fraction) -> None:
    """No graduation is nearer, and what is written reads back as the same length."""
    found = snapped(mm, graduation)
    assert 1 == (found / graduation).denominator
    assert abs(found - mm) <= graduation / 2 or found == graduation
    for unit in ("mm", "in"):
        assert found == millimetres(written(found, unit))


def test_graduations_by_hand() -> None:
    """Ties go down; a length never becomes nothing; the nearest hole by diameter."""
    assert [Fraction(5, 2), Fraction(3), Fraction(1, 2)] == [
        snapped(Fraction(11, 4), Fraction(1, 2)),
        snapped(Fraction(281, 100), Fraction(1, 2)),
        snapped(Fraction(1, 10), Fraction(1, 2)),
    ]
    assert 9 == nearest_hole(Fraction(19, 2), [Fraction(9), Fraction(10)])
    assert [Fraction(1), INCH / 16, INCH / 8, Fraction(2)] == [
        coarse(Fraction(1, 2), "mm"), coarse(Fraction(1, 2), "in"), coarse(INCH / 8, "in"), coarse(Fraction(2), "mm"),
    ]  # fmt: skip
    assert ["31.5 mm", "7 15/16 in", "1/32 in", "101 1/3 mm"] == [
        written(Fraction(63, 2), "mm"), written(INCH * 127 / 16, "in"), written(INCH / 32, "in"), written(Fraction(304, 3), "mm"),
    ]  # fmt: skip
