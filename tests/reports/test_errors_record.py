"""The hand's errors for machines: design's keys, figures that add up, and nothing that JSON does not know."""

from __future__ import annotations

import json
import math
from typing import Any

import pytest

from construct.reports import record
from construct.study import Study, with_errors

NAMES = ("demo", "paper", "board", "open", "oval", "crowded", "hardly")


def refuse(constant: str) -> Any:
    """Refuse what RFC 8259 does not know: NaN and the infinities."""
    raise AssertionError(constant)


@pytest.mark.parametrize("name", NAMES)
def test_round_trip(measured: dict[str, Study], name: str) -> None:
    """The text read back by a JSON reader is the record; a report holds the same object under `errors`."""
    made = record.errors(measured[name])
    assert made == json.loads(record.text(made).decode("utf-8"), parse_constant=refuse)
    assert made == record.report(measured[name])["errors"]


def test_the_keys_that_are_promised(measured: dict[str, Study]) -> None:
    """format, results with name, u_mm and rows of source, step, line, u_mm; seed and trials."""
    made = record.errors(measured["demo"])
    assert (1, 11, 4000) == (made["format"], made["seed"], made["trials"])
    (centre,) = (one for one in made["results"] if one["name"] == "C")
    assert {"name", "u_mm", "rows"} <= set(centre)
    assert {("centre finder sideways", "g", 11), ("centre finder sideways", "h", 12)} == {
        (row["source"], row["step"], row["line"]) for row in centre["rows"]
    }


def test_the_centre_of_two_finder_lines(measured: dict[str, Study]) -> None:
    """Lines along and across, each 0.25 mm sideways: u = 0.25·√2 mm, a round ellipse of 0.25·√5.991 mm (χ², 2 degrees, 95 %, any table)."""
    (centre,) = (one for one in record.errors(measured["demo"])["results"] if one["name"] == "C")
    assert pytest.approx(0.25 * math.sqrt(2)) == centre["u_mm"]
    assert pytest.approx([[0.0625, 0.0], [0.0, 0.0625]][0]) == centre["covariance_mm2"][0]
    assert pytest.approx([0.25 * math.sqrt(5.991)] * 2, abs=5e-4) == [centre["ellipse"]["longer_mm"], centre["ellipse"]["shorter_mm"]]
    assert pytest.approx(0.25 * math.sqrt(2), rel=0.05) == centre["monte_carlo"]["u_mm"]
    assert "infinite" == centre["nu"]


@pytest.mark.parametrize("name", ["demo", "board", "paper"])
def test_rows_add_in_quadrature(measured: dict[str, Study], name: str) -> None:
    """Rows, sources and steps each add in quadrature to u (JCGM 100, 5.1.2), at every mark and every station."""
    made = record.errors(measured[name])
    for one in [*made["results"], *(station for edge in made["edges"] for station in edge["stations"])]:
        for rows in (one["rows"], one.get("by_source"), one.get("by_step")):
            if rows is not None and one["u_mm"] is not None:
                assert pytest.approx(one["u_mm"], abs=1e-12) == math.sqrt(math.fsum(row["u_mm"] ** 2 for row in rows))


def test_knife_and_u_are_kept_apart(measured: dict[str, Study]) -> None:
    """u with the knife is the root of the squares; U is 1.96 u and has a name of its own."""
    made = record.errors(measured["demo"])
    for edge in made["edges"]:
        for one in edge["stations"]:
            assert pytest.approx(math.hypot(one["u_mm"], made["knife_u_mm"])) == one["u_with_knife_mm"]
            assert pytest.approx(1.96 * one["u_mm"], rel=1e-4) == one["expanded_mm"]
            assert pytest.approx(1.96 * one["u_with_knife_mm"], rel=1e-4) == one["expanded_with_knife_mm"]
            assert 1.96 == one["k"]


def test_shares_are_of_one_total(measured: dict[str, Study]) -> None:
    """The knife's entry is a row of its own: the parts of all rows add up to the whole, each its u² over the sum of all u²."""
    made = record.errors(measured["demo"])
    whole = math.fsum(one["rms_mm"] ** 2 for one in made["steps"])
    assert pytest.approx(1.0) == math.fsum(one["share"] for one in made["steps"])
    assert [made["knife_u_mm"]] == [one["rms_mm"] for one in made["steps"] if one["line"] is None]
    for one in made["steps"]:
        assert pytest.approx(one["rms_mm"] ** 2 / whole) == one["share"]


def test_the_first_step_in_closed_form(measured: dict[str, Study]) -> None:
    """1 mm sideways at the line along the grain moves C by exactly 1 mm across it; every closed form is marked exact and has a float."""
    first = record.errors(measured["demo"])["first_step"]
    assert "Find the centre" == first["title"]
    assert [("−1", -1.0)] == [(one["exact"], one["value"]) for one in first["marks"] if (one["name"], one["step"]) == ("C", "g")]
    for one in first["edges"]:
        assert ("exact" if one["exact"] else "first order") == one["guarantee"]
    assert {"mm per mm", "mm per deg"} == {one["unit"] for one in first["edges"]}


def test_the_split_adds_up(measured: dict[str, Study]) -> None:
    """The mean square over the edges is the sum of shift and turn, size and the rest; so it is for each step."""
    movement = record.errors(measured["demo"])["movement"]
    for one in (movement["total"], *movement["steps"], *movement["headings"]):
        parts = math.fsum(one[key] ** 2 for key in ("rigid_mm", "scale_mm", "rest_mm"))
        assert pytest.approx(one["all_mm"] ** 2, abs=1e-12) == parts
    assert {12} == {len(group["chips"]) for group in movement["alike"]}


def test_inputs_say_where_they_come_from(measured: dict[str, Study]) -> None:
    """Each input has a figure in one unit and a basis; angles are in degrees (the bench's 0.20 deg for an ordinary hand)."""
    inputs = record.errors(measured["demo"])["inputs"]
    for one in inputs:
        assert (one["u_mm"] is None) != (one["u_deg"] is None)
        assert "judgement" == one["basis"]
    assert {0.20} == {round(one["u_deg"], 9) for one in inputs if one["source"] == "centre finder angle"}


def test_lost_trials_and_warnings(measured: dict[str, Study]) -> None:
    """Lost trials are counted with their reasons, and there is a warning about them."""
    made = record.errors(measured["hardly"])
    assert made["lost"] == sum(one["count"] for one in made["lost_where"]) > 0
    assert "R303" in {one["code"] for one in made["warnings"]}


def test_first_order_alone(studies: dict[str, Study]) -> None:
    """Without trials the Monte Carlo column is null, and first order is the same."""
    made = record.errors(with_errors(studies["paper"], trials=0))
    assert 0 == made["trials"]
    assert made["results"]
    assert all(one["monte_carlo"] is None for one in made["results"])


def test_the_worst_case_within_limits(measured: dict[str, Study]) -> None:
    """The limits are named and judged; a centre by two finder lines of u 0.25 mm is at most 2.5·0.25·√2 mm off, and a little for their turning."""
    made = record.errors(measured["demo"])["worst_case"]
    assert {"most_mm": "enclosure", "corner_mm": "estimate"} == made["guarantee"]
    assert {"source": "centre finder sideways", "limit_mm": 0.625} in made["limits"]
    assert pytest.approx(0.5) == made["knife_mm"]
    (centre,) = (one for one in made["marks"] if one["name"] == "C")
    assert 0.625 * math.sqrt(2) == pytest.approx(centre["corner_mm"], rel=0.01)
    assert centre["corner_mm"] <= centre["most_mm"] <= 1.02 * 0.625 * math.sqrt(2)
    assert "judgement" in made["basis"]
