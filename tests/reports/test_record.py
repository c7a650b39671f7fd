"""The record for machines: valid JSON in a fixed shape, with what design promises in it."""

from __future__ import annotations

import json
import math
from typing import Any

import pytest

from construct.claims import Finding, Verdict
from construct.reports import record
from construct.study import Study

NAMES = ("demo", "demo by ruler", "paper", "board", "open", "oval")
CLAIM_KEYS = ["line", "text", "way", "verdict", "scope", "conditions", "gap", "reason", "choices"]


def refuse(constant: str) -> Any:
    """Refuse what RFC 8259 does not know: NaN and the infinities."""
    raise AssertionError(constant)


@pytest.mark.parametrize("name", NAMES)
def test_round_trip(studies: dict[str, Study], name: str) -> None:
    """The text read back by a JSON reader is the record, keys in the same order, no NaN (RFC 8259)."""
    made = record.report(studies[name])
    back = json.loads(record.text(made).decode("utf-8"), parse_constant=refuse)
    assert made == back
    assert list(made) == list(back)
    assert record.text(made) == record.text(back)


def test_shape_of_the_demo(studies: dict[str, Study]) -> None:
    """The record of the ruler's way says which claim fails, by how much, and how compass and chips fare."""
    made = record.report(studies["demo by ruler"])
    assert (1, "ruler", ["compass", "ruler"], False) == (made["format"], made["way"], made["ways"], made["holds"])
    assert all(list(claim) == [*CLAIM_KEYS, "certificate"] for claim in made["claims"])
    bare = [claim["text"] for claim in made["claims"] if claim["certificate"]["missing"]]
    assert bare and all("alike" in text for text in bare)  # chips have none, all others were checked
    (bad,) = (claim for claim in made["claims"] if claim["verdict"] != "proved")
    gap = bad["gap"]
    assert ("refuted", "here", "3/40 mm", 0.075, "mm", "exact") == (
        bad["verdict"], bad["scope"], gap["exact"], gap["value"], gap["unit"], gap["guarantee"])  # fmt: skip
    (other,) = made["other_ways"]
    assert ("compass", True) == (other["way"], other["holds"])
    assert pytest.approx(241.3) == made["plate"]["width_mm"]  # 9 1/2 in
    assert {"mark": "P", "came_out": "left"} in made["notes"]
    assert [] == made["errors"]["results"]  # not asked for, and that is said
    assert "not asked for" in made["errors"]["note"]


def test_chip_areas(studies: dict[str, Study]) -> None:
    """The lens of two circles of 60 mm through each other's middles: 2πr²/3 − r²√3/2 (vesica piscis, by hand)."""
    (chip,) = record.report(studies["board"])["chips"]["chips"]
    assert pytest.approx(2 * math.pi * 3600 / 3 - 3600 * math.sqrt(3) / 2, rel=1e-12) == chip["area"]["value"]
    assert "mm2" == chip["area"]["unit"]


def test_leaves_are_alike(studies: dict[str, Study]) -> None:
    """All twelve leaves of the demo fall in one group."""
    chips = record.report(studies["demo"])["chips"]["chips"]
    leaves = [chip for chip in chips if chip["name"].startswith("leaf.")]
    assert (12, 1) == (len(leaves), len({chip["alike"] for chip in leaves}))


def test_no_carving_says_so(studies: dict[str, Study]) -> None:
    """Without `carve` the chips are an empty list with a note."""
    chips = record.report(studies["paper"])["chips"]
    assert [] == chips["chips"]
    assert "carve" in chips["note"]


def test_a_number_that_is_none_becomes_null() -> None:
    """A value too large for a float is null, never NaN or Infinity."""
    verdict = Verdict(1, "A is B", None, "refuted", "here", (), Finding("", math.inf, "", "mm"))
    assert record._claim(verdict)["gap"]["value"] is None
    with pytest.raises(ValueError, match="JSON"):
        record.text({"value": math.nan})
