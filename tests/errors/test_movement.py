"""What moves and what distorts: mean squares split exactly, and made-up disturbances land where they belong."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from construct.errors import Errors
from construct.errors.movement import Observations, split_inputs, unequal_inputs

PARTS = ("all", "rigid", "scale", "rest")


def marks(places: np.ndarray, moved: np.ndarray) -> Observations:
    """See marks in both directions; moved: shape (k, 2)."""
    k = len(places)
    return Observations(np.repeat(places, 2, axis=0), np.tile(np.eye(2), (k, 1)), np.full(2 * k, 1 / k), moved.reshape(2 * k, 1))


PLACES = np.array([(10.0, 0.0), (0.0, 25.0), (-30.0, 5.0), (4.0, -18.0)])


def split(moved: np.ndarray) -> dict[str, float]:
    return dict(zip(PARTS, split_inputs(marks(PLACES, moved))[:, 0].tolist(), strict=True))


def test_pure_movements() -> None:
    """A shift and a small turn are rigid, a stretch from the middle is scale, and neither leaves a rest."""
    middle = PLACES.mean(axis=0)
    out = PLACES - middle
    shift = split(np.tile((0.3, -0.4), (4, 1)))
    assert {"all": 0.25, "rigid": 0.25, "scale": 0.0, "rest": 0.0} == pytest.approx(shift, abs=1e-15)
    turn = split(0.01 * np.stack([-out[:, 1], out[:, 0]], axis=1))
    assert [turn["all"], 0.0, 0.0] == pytest.approx([turn["rigid"], turn["scale"], turn["rest"]], abs=1e-15)
    stretch = split(0.01 * out)
    assert [stretch["all"], 0.0, 0.0] == pytest.approx([stretch["scale"], stretch["rigid"], stretch["rest"]], abs=1e-15)
    # one of three corners of a regular triangle pulled out by e: 1/3 shift, 1/3 scale, 1/3 rest of e²/3 (by hand, by symmetry)
    corners = np.array([(math.cos(a), math.sin(a)) for a in (0, math.tau / 3, -math.tau / 3)])
    pulled = split_inputs(marks(corners, np.array([(1.0, 0.0), (0, 0), (0, 0)])))[:, 0]
    assert [1 / 3, 1 / 9, 1 / 9, 1 / 9] == pytest.approx(pulled.tolist())


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(*[st.floats(-100, 100)] * 4), min_size=3, max_size=9))
def test_mean_square_splits_exactly(rows: list[tuple[float, float, float, float]]) -> None:
    """For any marks and any disturbance rigid, scale and rest add up to the whole, also where marks fall together."""
    data = np.array(rows)
    parts = split_inputs(marks(data[:, :2], data[:, 2:]))[:, 0]
    assert parts[0] == pytest.approx(parts[1:].sum(), rel=1e-9, abs=1e-12)
    assert parts[0] == pytest.approx((data[:, 2:] ** 2).sum() / len(rows), rel=1e-9, abs=1e-12)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.floats(-1, 1), min_size=12, max_size=12))
def test_inequality_splits_exactly(values: list[float]) -> None:
    """Own motion, common change and inequality add up to the whole; chips disturbed alike are not unequal."""
    angles = np.linspace(0, math.tau, 6, endpoint=False)
    ring = np.stack([np.cos(angles) * 5, np.sin(angles) * 8], axis=1)
    normals = np.stack([np.cos(angles), np.sin(angles)], axis=1)
    weights = np.full(6, 1 / 6)
    rows = np.array(values).reshape(2, 6, 1)
    chips = [Observations(ring + 20 * k, normals, weights, rows[k]) for k in (0, 1)]
    parts = unequal_inputs(chips)[:, 0]
    assert parts[0] == pytest.approx(parts[1:].sum(), rel=1e-9, abs=1e-15)
    same = unequal_inputs([chips[0], Observations(ring + 20, normals, weights, rows[0])])[:, 0]
    assert 0.0 == pytest.approx(same[3], abs=1e-18)


def test_dial_splits_exactly(dial_errors: Errors) -> None:
    """On the dial: over all steps and in all the parts' mean squares add up, for the whole and for each group of alike chips."""
    movement = dial_errors.movement
    assert movement is not None and "cut edges" == movement.of
    for one in (movement.total, *(step.split for step in movement.steps)):
        assert one.all_mm**2 == pytest.approx(one.rigid_mm**2 + one.scale_mm**2 + one.rest_mm**2, rel=1e-9, abs=1e-24)
    assert [12, 12] == [len(group.chips) for group in movement.groups]
    for number, group in enumerate(movement.groups):
        some = [step.unequal[number] for step in movement.steps]
        for one in (group.total, *some):
            assert one.all_mm**2 == pytest.approx(one.own_mm**2 + one.common_mm**2 + one.unequal_mm**2, rel=1e-9, abs=1e-24)
        assert group.total.unequal_mm**2 == pytest.approx(sum(one.unequal_mm**2 for one in some), rel=1e-9)


def test_finder_moves_and_does_not_distort(dial_errors: Errors) -> None:
    """A centre that is off shifts the whole dial: the chips stay equal (all later steps start from that centre and that line)."""
    movement = dial_errors.movement
    assert movement is not None
    finding = next(one for one in movement.headings if one.heading == "Find the centre")
    assert finding.split.rigid_share > 0.9
    assert all(one.unequal_mm < 1e-9 for one in finding.unequal)
    # two finder lines off by 0.25 mm each put the middle 0.35 mm off; the blade's turn adds to it
    assert 0.35 < finding.split.rigid_mm < 0.45
    (sentence,) = (one for one in movement.sentences if "Find the centre" in one)
    assert "move the whole pattern" in sentence and "do not make" in sentence
    (other,) = (one for one in movement.sentences if "The twelve hours" in one)
    assert "make the chips unequal by about" in other


def test_common_change_is_not_inequality(dial_errors: Errors) -> None:
    """One leaf setting for all twelve leaves: wrong, it makes all leaves larger alike, and none unequal."""
    movement = dial_errors.movement
    assert movement is not None
    leaves = next(number for number, group in enumerate(movement.groups) if group.names[0].startswith("leaf"))
    step = next(one for one in movement.steps if one.step == "leaf").unequal[leaves]
    # 0.20 mm by the ruler goes straight outward all round: nothing of it is a motion of a leaf
    assert [0.2, 0.0, 0.2, 0.0] == pytest.approx([step.all_mm, step.own_mm, step.common_mm, step.unequal_mm], abs=1e-12)


def test_marks_alone(lay: Any) -> None:
    """Without cut edges the split is over the marks; with fewer than three there is none."""
    head = "  g : line by centre finder, along the grain\n  h : line by centre finder, across the grain\n  C : mark where g meets h\n"
    assert lay(head).analyse(trials=0).movement is None
    found = lay(head + "  c : circle about C, 40 mm inside the edge\n  B, T : marks where g meets c\n").analyse(trials=0)
    assert found.movement is not None and "marks" == found.movement.of
    assert ((), 0) == (found.costs, len(found.movement.groups))


def test_outwards_from_each_chip(dial: Any) -> None:
    """Leaves and diamonds are convex: what makes one larger points away from its middle at every station of its edges."""
    formula = dial.formula()
    middles: dict[int, list[tuple[float, float]]] = {}
    for edge in formula.edges:
        for chip, _ in edge.sides:
            middles.setdefault(chip, []).extend((float(one.x), float(one.y)) for one in edge.stations)
    assert 24 == len(middles)
    for edge in formula.edges:
        for chip, sign in edge.sides:
            x, y = np.mean(middles[chip], axis=0)
            for one in edge.stations:
                assert sign * ((float(one.x) - x) * one.normal[0] + (float(one.y) - y) * one.normal[1]) > 0
