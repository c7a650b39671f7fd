"""What people and machines read of the chips' errors and of the cutting plan."""

from __future__ import annotations

import json
import math

import pytest

from construct.reports import View, _chip_errors, _chip_record, _cutting_plan, record, summary
from construct.reports import _error_words as say
from construct.study import Study, study, with_chip_errors, with_cutting_plan, with_errors

SMALL = """recipe Three rings and a <b>hostile</b> name
plate round, 120 mm across, 9 mm thick
bench ordinary
step Lay it out
  g : line by centre finder, along the grain
  h : line by centre finder, across the grain
  C : mark where g meets h
  ring : circle about C, 20 mm by ruler
  T, B : marks where g meets ring
  k : circle about T, 4 mm by ruler
  m : circle about B, 4 mm by ruler
  n : circle about C, 15 mm by ruler
carve
  knife 65 deg
  land at least 1 mm
  cut k
  cut m
  cut n
  groove ring, 1 mm wide
"""


def one(lines: list[str]) -> str:
    """Lines as one line."""
    return " ".join(" ".join(lines).split())


@pytest.fixture(scope="module")
def found() -> Study:
    return with_chip_errors(with_cutting_plan(study(SMALL)), trials=4000, seed=3)


@pytest.mark.parametrize("units", ["mm", "in"])
def test_no_line_is_too_wide(found: Study, units: str) -> None:
    """No line of the tables has over 100 columns, and none ends in a space."""
    view = View(units, "small")
    for lines in (part(found, view) for report in (_chip_errors, _cutting_plan) for part in (report.table, report.short)):
        assert lines
        assert [] == [line for line in lines if len(line) > 100 or line != line.rstrip()]


def test_how_the_knife_counts_is_said(found: Study) -> None:
    """Entry anew at each cut, angle anew at each chip, why, that it is judgement, seed and trials."""
    text = one(_chip_errors.table(found, View()))
    for said in ("its entry (u 0.20 mm) anew at each cut", "its angle (u 4 deg) anew at each chip", "judgement", "4000 trials, seed 3",
                 "19 times in 20", "first order"):  # fmt: skip
        assert said in text


def test_the_record_has_every_figure(found: Study) -> None:
    """Each chip's width, depth and area have u, interval, rows with source, step and line, and the trials; it is plain JSON."""
    told = json.loads(record.text(_chip_record.chips(found)))
    errors = told["errors"]
    assert [1, 2, 3] == [chip["number"] for chip in errors["chips"]]
    for chip in errors["chips"]:
        for name, unit in (("width", "mm"), ("depth", "mm"), ("area", "mm2")):
            figure = chip[name]
            assert figure[f"u_{unit}"] == pytest.approx(math.sqrt(sum(row[f"u_{unit}"] ** 2 for row in figure["rows"])))
            assert {"source", "step", "line", "share", f"u_{unit}"} == set(figure["rows"][0])
            assert ("first order", 0.95) == (figure["guarantee"], figure["interval"]["coverage"])
            assert figure["monte_carlo"]["interval"][f"low_{unit}"] < figure[f"value_{unit}"]
        assert "estimate" == chip["closes"]["guarantee"]
    assert {"1 and 2", "1 and 3", "2 and 3"} >= {f"{land['chips'][0]} and {land['chips'][1]}" for land in errors["lands"]}
    # two rings of 4 mm at 20 mm from the middle and one of 15 mm: 1 mm of land each, as likely under 1 mm as over
    assert 2 == len(errors["lands"])
    for land in errors["lands"]:
        assert 1 == pytest.approx(land["land"]["value_mm"], abs=1e-6)
        assert 0.5 == pytest.approx(land["under_limit"]["share"], abs=0.05)


def test_the_plan_is_in_the_record(found: Study) -> None:
    """Every stroke says chip, line, ends, hours, grain, grip and rules; every rule its words and its basis."""
    plan = json.loads(record.text(_chip_record.chips(found)))["cutting_plan"]
    assert ("right", "hard", "judgement", 1) == (plan["hand"], plan["first"], plan["guarantee"], plan["grooves"])
    assert list(range(1, len(plan["strokes"]) + 1)) == [one["number"] for one in plan["strokes"]]
    assert {"k", "m", "n"} == {one["along"] for one in plan["strokes"]}
    # a round chip is cut in quarters, from square across the grain to along it
    assert 12 == len(plan["strokes"])
    assert {("across", "with")} == {(one["from"]["kind"], one["to"]["kind"]) for one in plan["strokes"]}
    used = {rule for one in plan["strokes"] for rule in one["rules"]} | {"hard"}
    assert used == {one["rule"] for one in plan["rules"]}
    assert {"common practice, no source", "judgement"} >= {one["basis"] for one in plan["rules"]}


def test_the_plan_as_a_table(found: Study) -> None:
    """The table has a row a stroke; the letters of its last column are those that are explained below."""
    lines = _cutting_plan.table(found, View())
    plan = found.cutting
    assert plan is not None
    rows = [line.split() for line in lines if line.startswith(" " * 3) and line.split()[0].isdigit()]
    assert len(plan.strokes) == len(rows)
    letters = {letter for row in rows for letter in row[-1]}
    explained = {line.strip()[0] for line in lines if line.startswith("  ") and line[3:5] == "  " and line.strip()[0].isalpha()}
    assert letters <= explained
    text = one(lines)
    assert "12 is the way the grain points" in text
    assert "Thumb locked on the handle" in text
    assert "`--hand left` is the plan for the other hand" in text


def test_what_was_not_asked_for_says_so() -> None:
    """Without chip errors and plan, nothing is shown, and the record says why."""
    bare = study(SMALL)
    assert [] == _chip_errors.table(bare, View()) + _chip_errors.short(bare, View()) + _cutting_plan.table(bare, View())
    assert ("the chips' errors were not asked for", []) == (_chip_errors.record(bare)["note"], _chip_errors.record(bare)["chips"])
    assert "the knife's angle" in say.not_counted(bare)


def test_the_errors_report_counts_the_knifes_angle(found: Study) -> None:
    """`errors` with the chips no longer lists the knife's angle among what is not counted, and shows the chips' figures."""
    both = with_errors(found, trials=2000, seed=3)
    text = summary.errors(both, View(), whole=False)
    assert "knife's angle" not in text
    assert "wide, from" in text
    told = record.errors(both)
    assert "the knife's angle" not in told["not_counted"]
    assert 3 == len(told["chips"]["chips"])


def test_a_chip_without_an_angle(found: Study) -> None:
    """Where the recipe says no knife angle there is no depth, and the table says what to add."""
    some = with_chip_errors(study(SMALL.replace("  knife 65 deg\n", "")), trials=0)
    assert some.chip_errors is not None
    assert {None} == {chip.depth for chip in some.chip_errors.chips}
    text = one(_chip_errors.table(some, View()))
    assert "add for instance `knife 65 deg`" in text
    assert "No trials were run" in text
