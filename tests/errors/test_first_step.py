"""Closed forms of what the first step's error does, against hand derivations and the float budget."""

from __future__ import annotations

import math
from typing import Any

import pytest
import sympy

from construct.errors import Errors
from construct.errors.first_step import Sensitivity
from construct.errors.measurands import step_name
from construct.errors.propagation import propagate
from construct.study import study


def evaluated(one: Sensitivity) -> float:
    """Return a closed form's value by a general algebra library."""
    assert one.exact is not None
    text = one.exact.replace("−", "-").replace("·", "*").replace("π", "pi")
    while "√" in text:
        at = text.rindex("√")
        end = at + 1
        if text[end] == "(":
            depth = 0
            while True:
                depth += {"(": 1, ")": -1}.get(text[end], 0)
                end += 1
                if depth == 0:
                    break
        else:
            while end < len(text) and text[end].isdigit():
                end += 1
        text = f"{text[:at]}sqrt({text[at + 1 : end]}){text[end:]}"
    return float(sympy.sympify(text))


def test_closed_forms_equal_the_float_budget(dial: Any, dial_errors: Errors) -> None:
    """Every closed form, read by sympy, is the float derivative of the same measurand; angles per degree."""
    formula = dial.formula()
    found = propagate(formula)
    column = {(one.step, one.source.name): place for place, one in enumerate(found.inputs)}
    first = dial_errors.first_step
    assert "Find the centre" == first.title
    assert len(first.marks) > 100 and len(first.edges) > 200
    where = {"x": 0, "y": 1, "start": 0, "middle": 1, "finish": 2}
    for number, one in enumerate((*first.marks, *first.edges)):
        at = formula.of_edge(one.edge) if one.edge is not None else formula.of_mark(dial.plan.index(one.name))
        slope = found.sensitivity[at][where[one.what], column[one.step, one.source]]
        expected = math.radians(slope) if one.unit == "mm per deg" else slope
        assert "exact" == one.guarantee
        assert expected == pytest.approx(one.value, rel=1e-8, abs=1e-10)
        if number % 9 == 0:
            assert one.value == pytest.approx(evaluated(one), rel=1e-12)


def test_centre_off_along_the_grain(dial_errors: Errors) -> None:
    """1 mm of the finder across the grain moves the middle 1 mm along it, and the mark halfway to the rim 1/2 mm: by hand, the
    rim's top stands on the plate's edge and does not move, so the half-way mark moves half as far."""
    told = {(one.name, one.what, one.step, one.source): one for one in dial_errors.first_step.marks}
    assert "1" == told["C", "y", "h", "centre finder sideways"].exact
    assert "1/2" == told["M", "y", "h", "centre finder sideways"].exact
    assert "−1" == told["C", "x", "g", "centre finder sideways"].exact
    assert ("T", "y", "h", "centre finder sideways") not in told
    assert dial_errors.first_step.unmoved > 0


def test_one_over_root_two(lay: Any) -> None:
    """The corner of a square halfway round a quarter: a circle about C through a fixed mark, met at 45°: 1 mm along the grain moves
    a straight edge at 45° by 1/√2 mm, square to itself (by hand: cos 45°)."""
    text = """\
  g : line by centre finder, along the grain
  h : line by centre finder, across the grain
  C : mark where g meets h
  r : opening, 50 mm by ruler
  c : circle about C, opening r
  B, T : marks where g meets c
  L, R : marks where h meets c
  s : line from T to R
  t : line from R to B
  u : line from B to L
  v : line from L to T
carve
  cut s from T to R
  cut t from R to B
  cut u from B to L
  cut v from L to T
"""
    first = lay(text).analyse(trials=0).first_step
    moved = [one for one in first.at("s") if one.source == "centre finder sideways" and one.step == "h"]
    assert ["start", "middle", "finish"] == [one.what for one in moved]
    assert {"√2/2"} == {one.exact for one in moved}
    assert [1 / math.sqrt(2)] * 3 == pytest.approx([one.value for one in moved])


def test_a_named_step(dial: Any) -> None:
    """`at` takes a thing's name or a heading; a setting said inside the action belongs to it."""
    leaf = dial.analyse(trials=0, at="leaf").first_step
    assert {("leaf", "compass set by ruler")} == {(one.step, one.source) for one in leaf.edges}
    # leaf circles keep their centres: their edges go out by the whole of the error, and no diamond moves
    assert {"1"} == {one.exact for one in leaf.edges}
    assert all(one.name.startswith("c.") for one in leaf.edges)
    rim = dial.analyse(trials=0, at="Swing the rim").first_step
    assert {"rim"} == {one.step for one in rim.marks}
    arc = dial.analyse(trials=0, at="a.B").first_step
    assert {"a.B", "setting for a.B"} == {one.step for one in arc.marks}


def test_a_step_without_errors(dial: Any) -> None:
    """A crossing makes no error of its own, and it is said."""
    found = dial.analyse(trials=0, at="C").first_step
    assert ((), ()) == (found.marks, found.edges)
    assert ("this step makes no error of its own",) == found.notes


LUNES = """\
  g : line by centre finder, along the grain
  h : line by centre finder, across the grain
  C : mark where g meets h
  r : opening, 40 mm by ruler
  c : circle about C, opening r
  D : mark where g meets c, on the T side of h
  d : circle about D, opening r
  N : mark halfway from C to D, by ruler
carve
  cut c
  cut d
  leave the chip that holds N
"""


def test_long_and_clockwise_arcs(lay: Any) -> None:
    """Two circles through each other make a lens, which is left, and two lunes, with long and clockwise arcs: at every station the
    closed form is the float derivative there, so its exact place is the float's."""
    laid = lay("  T : mark anywhere, say at (0, 90) mm\n" + LUNES)
    formula = laid.formula()
    found = propagate(formula)
    # a disturbance's place is ("", "x") or ("", "y"), or "" where it has one only
    column = {(one.step, one.source.name, one.key[2][-1] if one.key[2] else ""): place for place, one in enumerate(found.inputs)}
    edges = laid.analyse(trials=0).first_step.edges
    assert len({one.edge for one in edges}) == len(formula.edges) == 4
    lengths = sorted(edge.length_mm for edge in formula.edges)
    # short arcs a third of a turn, long ones two thirds (Euclid I.1's figure)
    assert [80 * math.pi / 3] * 2 + [160 * math.pi / 3] * 2 == pytest.approx(lengths)
    where = {"start": 0, "middle": 1, "finish": 2}
    for one in edges:
        assert one.edge is not None
        slope = found.sensitivity[formula.of_edge(one.edge)][where[one.what], column[one.step, one.source, one.part]]
        assert one.value == pytest.approx(math.radians(slope) if one.unit == "mm per deg" else slope, rel=1e-8, abs=1e-10)


def test_a_long_walk_has_a_short_name() -> None:
    """A step that makes two dozen marks is called by the first and the last, so that its name can be read."""
    text = (
        "recipe Walk\nplate round, 240 mm across\ng : line by centre finder, along the grain\n"
        "h : line by centre finder, across the grain\nC : mark where g meets h\nring : circle about C, 100 mm by ruler\n"
        "p1, q : marks where g meets ring\np2 to p24 : marks stepped from p1 round ring, 26 mm by ruler\n"
    )
    plan = study(text).plan
    assert "setting for p2 to p24" in {step_name(plan, step) for step in plan.steps}
    assert "p1, q" in {step_name(plan, step) for step in plan.steps}
