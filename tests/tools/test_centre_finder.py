"""The centre finder: through the middle of anything round, past the middle of anything else."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction

import pytest

from construct.geometry import Oval
from construct.number_systems.float import FloatSystem
from construct.plan.planner import make_plan
from construct.replay import blank_edge
from construct.study import load
from construct.tools import Bench, centre_finder
from construct.tools._settings import make_settings

PLATE = "recipe Trial\nplate round, 200 mm across\n"
OVAL = "recipe Trial\nplate round, 199 mm across\nbench oval 2 mm across the grain\n"


def test_a_line_along_the_grain_runs_up_through_the_middle(lay) -> None:
    """On a round plate the blade passes the middle (common practice, no source); along the grain it runs upward."""
    laid = lay(PLATE + "step S\n  g : line by centre finder, along the grain\n")
    laid.directed("g", (0, 1))
    laid.passes("g", (0, 0))


def test_a_line_across_the_grain_runs_from_left_to_right(lay) -> None:
    """Across the grain runs left to right."""
    laid = lay(PLATE + "step S\n  h : line by centre finder, across the grain\n")
    laid.directed("h", (1, 0))
    laid.passes("h", (0, 0))


def test_an_angle_is_turned_clockwise_from_the_grain(lay) -> None:
    """At 30 deg to the grain: up, turned to the right by 30 deg, is (1, √3)/2."""
    laid = lay(PLATE + "step S\n  f : line by centre finder, at 30 deg to the grain\n")
    laid.directed("f", lambda sqrt: (1, sqrt(3)))
    laid.passes("f", (0, 0))


def test_three_seventeenths_of_a_turn(lay) -> None:
    """sin and cos of 6π/17 to 20 digits: Gauss, Disquisitiones arithmeticae (1801), art. 365; digits recomputed from the formula."""
    laid = lay(PLATE + "step S\n  f : line by centre finder, at 3/17 of a turn to the grain\n")
    f = laid["f"]
    length = laid.root(f.dx * f.dx + f.dy * f.dy)
    for expected, actual in (("0.89516329135506232207", f.dx / length), ("0.44573835577653826740", f.dy / length)):
        assert Decimal(expected) == Decimal(laid.exact.decimal(actual, 20))


def test_a_free_angle_that_no_construction_gives_still_finds_the_middle(lay) -> None:
    """Wherever the V is hooked on, a round plate's middle is on the blade; the picture is near what was said."""
    laid = lay(PLATE + "step S\n  f : line by centre finder, anywhere, say 40 deg to the grain\n")
    laid.passes("f", (0, 0))
    f = laid["f"]
    shown = math.degrees(math.atan2(laid.exact.to_float(f.dx), laid.exact.to_float(f.dy)))
    assert 40 == pytest.approx(shown, abs=0.1)


def test_a_free_angle_may_be_said_from_another_line(lay) -> None:
    """`say 90 deg to g` with g across the grain: a quarter clockwise from rightward is downward."""
    laid = lay(PLATE + "step S\n  g : line by centre finder, across the grain\n  f : line by centre finder, anywhere, say 90 deg to g\n")
    laid.directed("f", (0, -1))


def test_any_v_finds_the_middle_of_a_round_plate(lay) -> None:
    """The opening of the V does not matter on a round plate."""
    laid = lay(PLATE + "bench finder V 120 deg\nstep S\n  f : line by centre finder, at 15 deg to the grain\n")
    laid.passes("f", (0, 0))


def test_a_blade_off_by_one_millimetre_misses_by_the_root_of_two(lay) -> None:
    """Two lines square to each other, each 1 mm to the left of the middle: they cross √2 mm from it."""
    laid = lay(
        PLATE + "bench finder blade off 1 mm\nstep S\n  g : line by centre finder, along the grain\n"
        "  h : line by centre finder, across the grain\n  C : mark where g meets h\n"
    )
    laid.at("C", (-1, 1))
    laid.equal(2, laid["C"].x * laid["C"].x + laid["C"].y * laid["C"].y)


@pytest.mark.parametrize("words", ["along the grain", "across the grain"])
def test_an_oval_is_found_along_and_across(lay, words: str) -> None:
    """Along either axis of an oval plate the miss is nothing."""
    laid = lay(OVAL + f"step S\n  g : line by centre finder, {words}\n")
    laid.passes("g", (0, 0))


def test_an_oval_at_45_deg_is_missed_by_the_difference_over_root_two(lay) -> None:
    """Half-lengths 100.5 and 99.5 mm at 45 deg: the miss is (a − b)/√2 exactly (two tangents of an ellipse)."""
    laid = lay(OVAL + "step S\n  f : line by centre finder, at 45 deg to the grain\n")
    f = laid["f"]
    off = f.x * f.dy - f.y * f.dx
    laid.equal(Fraction(1, 2), off * off / (f.dx * f.dx + f.dy * f.dy))


def test_an_oval_at_15_deg_is_missed_by_the_closed_form(lay) -> None:
    """d² = m − √(m² − q² sin² 2φ) with m = (a² + b²)/2, q = (a² − b²)/2; here φ = 75 deg from the long axis, sin 2φ = 1/2."""
    laid = lay(OVAL + "step S\n  f : line by centre finder, at 15 deg to the grain\n")
    f = laid["f"]
    off = f.x * f.dy - f.y * f.dx
    # a² = 10100.25, b² = 9900.25: m = 10000.25, q = 100
    m = Fraction("10000.25")
    laid.equal(lambda sqrt: m - sqrt(m * m - Fraction(2500)), off * off / (f.dx * f.dx + f.dy * f.dy))


def test_another_v_misses_an_oval_by_another_amount(lay) -> None:
    """d = |h(φ + θ + 90°) − h(φ − θ − 90°)| / (2 cos θ); φ = 45°, θ = 60°: d² = 2m − 2√(m² − 3q²/4), m = 10000.25, q = 100."""
    laid = lay(OVAL.replace("grain\n", "grain, finder V 120 deg\n") + "step S\n  f : line by centre finder, at 45 deg to the grain\n")
    f = laid["f"]
    off = f.x * f.dy - f.y * f.dx
    m = Fraction("10000.25")
    laid.equal(lambda sqrt: m * 2 - sqrt(m * m - Fraction(3 * 100 * 100, 4)) * 2, off * off / (f.dx * f.dx + f.dy * f.dy))


def test_an_oval_at_10_deg_is_missed_as_tabulated() -> None:
    """0.2418420932556203 mm at 10 deg to the long axis, half-lengths 100.5 and 99.5 mm, 90-deg V.

    Computed from first principles, by building both tangents, their contacts and the bisector.
    """
    numbers = FloatSystem()
    settings = make_settings((), None, lambda *wrong: None)  # type: ignore[arg-type]
    # 10 deg to the long axis lies 80 deg from the grain: t = tan 40 deg
    t = Fraction(math.tan(math.radians(40)))
    f = centre_finder.anywhere(Bench(numbers, settings, Oval(100.5, 99.5), "f", (t,)))
    assert math.tan(math.radians(10)) == pytest.approx(f.dy / f.dx, rel=1e-12)
    miss = abs(f.x * f.dy - f.y * f.dx) / math.hypot(f.dx, f.dy)
    # the support function's two values near 100 leave an error of a few 1e-14
    assert 0.2418420932556203 == pytest.approx(miss, abs=1e-12)


def test_a_board_has_no_edge_for_a_v(mistakes) -> None:
    """A V touches an edge that curves toward it; a board has none."""
    (wrong,) = mistakes("recipe Trial\nboard 300 mm by 200 mm\nstep S\n  g : line by centre finder, along the grain\n")
    assert ("R201", 4) == (wrong.code, wrong.span.line)
    assert "round plate" in wrong.message


def test_an_angle_that_no_construction_gives_is_refused(mistakes) -> None:
    """40 deg is a ninth of a turn: no compass reaches it (Gauss, Wantzel), and `anywhere, say` is offered."""
    (wrong,) = mistakes(PLATE + "step S\n  g : line by centre finder, at 40 deg to the grain\n")
    assert ("P109", 4, 33) == (wrong.code, wrong.span.line, wrong.span.column)
    assert "say 40 deg" in wrong.hint


def test_a_plate_that_took_up_moisture_is_oval() -> None:
    """250 mm of flat-sawn basswood from 8 % to 11 %: 2.4750 mm wider across the grain.

    USDA Forest Products Laboratory, Wood Handbook FPL-GTR-190, eq. 13-2 with Table 13-5; the figure
    follows from them (computed), and lies in the range that the handbook gives for the coefficient.
    """
    recipe, _ = load(
        "recipe Trial\nplate round, 250 mm across, basswood\nmoisture 8 % when turned, 11 % now\nstep S\n  g : line by centre finder, along the grain\n"
    )
    settings = make_settings(recipe.bench, recipe.blank, lambda *wrong: pytest.fail(str(wrong)))
    assert Fraction("-2.4750") == settings.oval
    edge = blank_edge(FloatSystem(), make_plan(recipe))
    assert (126.2375, 125.0) == (edge.across, edge.along)


def test_a_dry_plate_is_long_along_the_grain() -> None:
    """It gets narrower across the grain as it dries (common practice, no source)."""
    recipe, _ = load(
        "recipe Trial\nplate round, 250 mm across, basswood\nmoisture 12 % when turned, 8 % now\nstep S\n  g : line by centre finder, along the grain\n"
    )
    edge = blank_edge(FloatSystem(), make_plan(recipe))
    assert edge.across < edge.along
