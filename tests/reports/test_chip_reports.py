"""The report on chips: text, record and picture say the same, read by themselves, and never by colour alone."""

from __future__ import annotations

import json
import re
import xml.etree.ElementTree as ET
from itertools import pairwise
from typing import Any

import pytest

from construct.reports import View, _chip_record, _chip_table, _words, chip_figure, record, summary
from construct.study import Study, study, with_errors, with_survey

NAMES = ("demo", "board", "lens", "many")

LENS = """recipe A <lens> & {braces}
paper
given A, B, 100 mm apart
step Two arcs
  a : circle about A, through B
  b : circle about B, through A
  X, Y : marks where a meets b
carve
  knife 65 deg and 55 deg on a
  deepest 20 mm
  cut a inside b
  cut b inside a
"""

RING = "  m{n} : mark {at} mm from A toward B, by ruler\n  r{n} : circle about m{n}, {size} mm by ruler\n"
RINGS = "".join(RING.format(n=n, at=4 * n + 1, size=n % 3 + 1) for n in range(12))
CUTS = "".join(f"  cut r{n}\n" for n in range(0, 12, 2))
MANY = f"recipe Rings in rows\npaper\ngiven A, B, 50 mm apart\nstep Rings\n{RINGS}carve\n{CUTS}"


@pytest.fixture(scope="module")
def surveyed(studies: dict[str, Study]) -> dict[str, Study]:
    """The demo, the board, and two more, measured."""
    rows = {"demo": studies["demo"], "board": studies["board"], "lens": study(LENS), "many": study(MANY)}
    return {name: with_survey(one) for name, one in rows.items()}


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("name", NAMES)
def test_text_fits_and_names_every_kind(surveyed: dict[str, Study], name: str, units: str) -> None:
    """Every line fits the terminal but for the list of chips, no key is shown, and every kind has its row and its line."""
    one = surveyed[name]
    assert one.survey is not None
    text = _chip_table.text(one, View(units, "some.recipe"), whole=True)
    assert "chips." not in text.replace("construct chips.", "") and "{" not in text.replace("{braces}", "")
    for number in range(len(one.survey.groups)):
        assert re.search(rf"^  {chr(65 + number)}\*?  ", text, re.MULTILINE)
        assert re.search(rf"^  {chr(65 + number)}: ", text, re.MULTILINE)
    assert all(len(line) <= _words.WIDTH for line in text.splitlines())


@pytest.mark.parametrize("name", NAMES)
def test_record_and_text_agree(surveyed: dict[str, Study], name: str) -> None:
    """The record is JSON; its widths stand in the text, to the figures shown; its keys are those that are promised."""
    one = surveyed[name]
    made = json.loads(record.text(_chip_record.chips(one)))
    text = _chip_table.text(one, View("mm", "x"), whole=True)
    assert 1 == made["format"] and "chips" == made["command"]
    for chip in made["chips"]:
        assert {"name", "area", "widest_mm", "depth_mm", "alike"} <= chip.keys()
        assert {"exact", "value", "unit"} <= chip["area"].keys()
        assert f"{chip['widest_mm']:.2f}" in text
        assert chip["width"]["low_mm"] <= chip["widest_mm"] <= chip["width"]["high_mm"]
        assert sum(touch["weight"] for touch in chip["largest_circle"]["contacts"]) == pytest.approx(1)
    assert len(made["advice"]) == len(re.findall(r"^  +\d+\. ", text, re.MULTILINE))
    for told in made["advice"]:
        assert told["basis"] in ("judgement", "common practice, no source", "the recipe")
        assert told["text"].split(".")[0].split("`")[0] in " ".join(text.split()) or told["key"].startswith("divide")


def test_uneven_walls_say_where_the_floor_is(surveyed: dict[str, Study]) -> None:
    """A vesica 100 mm wide cut at 55 and 65 deg is deepest 100·tan 55/(tan 55 + tan 65) = 39.97 mm from the steep wall's edge."""
    text = " ".join(_chip_table.text(surveyed["lens"], View("mm", "x")).split())
    assert "39.97 mm from `b`" in text and "60.03 mm from `a`" in text


def test_the_whole_report_has_chips_in_short(surveyed: dict[str, Study]) -> None:
    """The whole report gives each kind's size and what to mind, and the command for more; the record holds the chips whole."""
    text = summary.report(surveyed["demo"], View("mm", "clock-dial"))
    assert "6.36 mm wide, 9.00 mm long, 6.82 mm deep" in " ".join(text.split())
    assert "`construct chips clock-dial`" in text
    assert _chip_record.chips(surveyed["demo"]) == record.report(surveyed["demo"])["chips"]


def test_not_measured_is_said(studies: dict[str, Study]) -> None:
    """Without a survey the report says so, and gives areas alone."""
    text = summary.report(studies["demo"], View("mm", "clock-dial"))
    assert "the chips were not measured" in " ".join(text.split())
    made = _chip_record.chips(studies["demo"])
    assert 24 == len(made["chips"]) and made["chips"][0]["widest_mm"] is None
    assert [] == _chip_record.chips(studies["paper"])["chips"]


# --- the picture --------------------------------------------------------------------------------


def grey(colour: str) -> float:
    """Return a colour's lightness L* (CIE 1976, from sRGB by IEC 61966-2-1)."""
    parts = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    luminance = 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
    return 116 * luminance ** (1 / 3) - 16


def test_tones_read_in_grey() -> None:
    """Printed in grey each tone is plainly darker than the one before: by 8 of 100 steps of lightness at least."""
    tones = [grey(tone) for tone in chip_figure.TONES]
    assert all(light - dark >= 8 for light, dark in pairwise(tones))


def test_deeper_is_darker(surveyed: dict[str, Study]) -> None:
    """A deeper chip never has a lighter tone, and a chip past the limit is hatched, whatever its tone."""
    for one in surveyed.values():
        assert one.survey is not None
        sheet = chip_figure.ChipSheet(one, "mm")
        rows = sorted((sheet._measure_of(chip), sheet._tone(chip)) for chip in one.survey.chips)
        assert [tone for _, tone in rows] == sorted(tone for _, tone in rows)
        hatched = [patch for patch in sheet.axes.artists + sheet.axes.patches if getattr(patch, "get_hatch", lambda: None)()]
        deep = sum(sheet._too_deep(chip) for chip in one.survey.chips)
        assert (deep > 0) == bool(hatched)
    assert any(chip_figure.ChipSheet(surveyed["lens"], "mm")._too_deep(chip) for chip in surveyed["lens"].survey.chips)  # type: ignore[union-attr]


@pytest.mark.parametrize("name", NAMES)
def test_numbers_and_words_of_the_picture(surveyed: dict[str, Study], name: str) -> None:
    """Every chip has its number or is counted as left out; the SVG describes itself and escapes what a title holds."""
    one = surveyed[name]
    assert one.survey is not None
    sheet = chip_figure.ChipSheet(one, "mm")
    shown = {text.get_text() for text in sheet.axes.texts if text.get_gid() == "name"}
    assert shown <= {str(chip.chip.number) for chip in one.survey.chips}
    assert len(shown) + sheet.said_left_out == len(one.survey.chips)
    made = chip_figure.files(one, View())
    assert {"chips.svg", "chips.png"} == set(made)
    root = ET.fromstring(made["chips.svg"])
    words = [node.text or "" for node in root.iter() if node.tag.endswith("desc")]
    assert any("wide" in text for text in words)


def test_no_picture_without_chips(studies: dict[str, Any]) -> None:
    """A study that was not measured has no picture of chips."""
    assert {} == chip_figure.files(studies["demo"], View())


@pytest.mark.parametrize(("thick", "said"), [(12, "BUT one chip goes right through the wood."), (40, "Yes: the claim holds. Chips:")])
def test_a_hole_is_told_in_the_first_lines(thick: int, said: str) -> None:
    """A round chip of radius 20 mm at 45 deg meets 20 mm deep: through 12 mm of wood, and "yes" alone would mislead."""
    text = (
        f"recipe Bowl\nplate round, 200 mm across, {thick} mm thick, basswood\ng : line by centre finder, along the grain\n"
        "h : line by centre finder, across the grain\nC : mark where g meets h\nclaim C is the centre of the plate\n"
        "c : circle about C, 20 mm by ruler\ncarve\nknife 45 deg\ncut c\n"
    )
    shown = " ".join(summary.report(with_errors(with_survey(study(text)), trials=0), View()).split())
    assert said in shown
    assert (thick == 12) == ("through the wood" in shown.split("How far off?")[0])
