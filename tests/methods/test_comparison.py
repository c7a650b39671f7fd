"""Ways side by side: figures that can be worked out by hand, turnovers in closed form, and the laws of scale."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from construct.diagnostics import Mistakes
from construct.methods.contenders import Comparison, HandFigures, Scan
from construct.methods.scaling import scaled
from construct.number_systems.exact import ExactSystem
from construct.number_systems.samples import SampleSystem
from construct.replay import replay, settle
from construct.study import compare, study

HALVING = """recipe Ruler or compass
paper
bench {level}, ruler graduated {graduation} mm
given L, T, {length} mm apart
step Draw
  side : line from L to T
step Halve
  way ruler
    M : mark halfway from L to T, by ruler
  way compass
    reach : opening, anything over half of L T, say 80 mm
    l : arc about L, opening reach
    t : arc about T, opening reach
    X, Y : marks where l meets t
    m : line through X and Y
    M : mark where m meets side
  end
  claim L M equals M T
"""
FEW = 2048
MARK, COARSE, POINT, EDGE, PENCIL = 0.10, 0.15, 0.12, 0.10, 0.10
"""A careful hand's u in mm as `data/bench.toml` has them (judgement): by ruler (1 mm and coarser), needle, straightedge, pencil."""


def halving(level: str = "careful", graduation: str = "0.5", length: str = "108.65") -> str:
    return HALVING.format(level=level, graduation=graduation, length=length)


@pytest.fixture(scope="module")
def careful() -> Comparison:
    return compare(halving(), trials=40_960, seed=3)


def hand(found: Comparison, way: str, level: str) -> HandFigures:
    return next(one for one in found.methods if one.label == way).hand(level)  # type: ignore[return-value]


def scan(found: Comparison, by: str) -> Scan:
    one = found.scan(by)
    assert one is not None
    return one


# --- figures by hand ------------------------------------------------------------------------------


def test_the_ruler_by_hand(careful: Comparison) -> None:
    """L M − M T is twice M's miss along the line: u = 2·0.10; rounding to 0.5 mm, halved, doubled: 0.5/√12 (JCGM 100, F.2.2.1); off by 2·3/40."""
    one = hand(careful, "ruler", "careful")
    assert 2 * MARK == pytest.approx(one.u_mm, rel=1e-9)
    assert 0.5 / math.sqrt(12) == pytest.approx(one.rounding_mm, rel=1e-9)
    assert 0.15 == pytest.approx(one.offset_mm, rel=1e-9)
    verdicts = {method.label: method.verdict.verdict for method in careful.methods}
    assert {"ruler": "refuted", "compass": "proved"} == verdicts


def compass_along(point: float, edge: float, pencil: float) -> float:
    """Return u of M along the line: the middle of two needles, of two placings of the edge, and one pencil (first principles).

    Each crossing moves along L T by r·(e₁ − e₂)/d; of a needle's shift its share along the arc's radius counts, and over the
    two crossings the shares add up to half of each needle's shift along the line, whatever the opening.
    """
    return math.sqrt(point**2 / 2 + edge**2 / 2 + pencil**2)


def test_the_compass_by_hand(careful: Comparison) -> None:
    """The opening drops out; needles and straightedge are halved, as for the midpoint of two marks: σ/√2."""
    assert 2 * compass_along(POINT, EDGE, PENCIL) == pytest.approx(hand(careful, "compass", "careful").u_mm, rel=1e-9)


@pytest.mark.parametrize("way", ["ruler", "compass"])
@pytest.mark.parametrize("level", ["careful", "ordinary", "beginner"])
def test_trials_and_first_order_agree(careful: Comparison, way: str, level: str) -> None:
    """Given marks do not move, so the rounding is one and the same in each trial; 40 960 trials know a 95 % quantile to about 1 %."""
    one = hand(careful, way, level)
    assert one.trials is not None
    assert 0 == one.trials.lost
    assert one.u_mm == pytest.approx(one.trials.u_mm, rel=0.02)
    assert one.reach_mm == pytest.approx(one.trials.reach_mm, rel=0.025)


def test_a_line_carried_far_beyond_its_marks() -> None:
    """From marks 50 mm apart out to 125 mm the edge's errors grow by √((1 − 2.5)² + 2.5²); the pencil's is added (first principles)."""
    text = (
        "recipe Carried\npaper\nbench ordinary\ngiven A at (0, 0) mm, B at (50, 0) mm, P at (125, 0) mm\nstep S\n"
        "  way far\n    l : line through A and B\n  way near\n    l : line from A to P\n  end\n  claim P is on l\n"
    )
    far, near = compare(text, trials=FEW).methods
    expected = 0.15 * math.sqrt((1 - 2.5) ** 2 + 2.5**2 + 1)
    assert expected == pytest.approx(far.hand("ordinary").u_mm, rel=1e-9)  # type: ignore[union-attr]
    # the edge put to P itself: its own placing and the pencil
    assert 0.15 * math.sqrt(2) == pytest.approx(near.hand("ordinary").u_mm, rel=1e-9)  # type: ignore[union-attr]


@pytest.mark.parametrize(("count", "overrun"), [(6, 0.692935870106), (8, 0.866010880563), (12, 1.242417640070)])
def test_a_setting_too_wide_is_the_methods_own_miss(count: int, overrun: float) -> None:
    """Chords 0.1 mm too wide stepped round a radius of 100 mm: the published overrun on the arc, here as its chord."""
    chord = Fraction(round(200 * math.sin(math.pi / count) * 10**9), 10**9) + Fraction(1, 10)
    steps = f"p2 to p{count + 1} : marks stepped from p1 round rim, {float(chord):.9f} mm by ruler"
    text = (
        "recipe Overrun\npaper\nbench ordinary\ngiven C at (0, 0) mm, p1 at (0, 100) mm\nstep S\n  rim : circle about C, through p1\n"
        f"  way once\n    {steps}\n  way again\n    {steps}, to the right\n  end\n  claim p{count + 1} is p1\n"
    )
    for one in compare(text, trials=FEW).methods:
        assert 200 * math.sin(overrun / 200) == pytest.approx(one.hand("ordinary").offset_mm, abs=1e-8)  # type: ignore[union-attr]


# --- where the order turns ------------------------------------------------------------------------


def test_by_hand_the_order_turns_where_the_closed_form_says(careful: Comparison) -> None:
    """The ruler's rounding does not shrink with the hand: f²·u_compass² = f²·u_ruler² + rounding² (no offset over any length)."""
    (turn,) = scan(careful, "hand").turnovers
    rounding = 0.5 / math.sqrt(12) / 2
    factor = rounding / math.sqrt(compass_along(POINT, EDGE, PENCIL) ** 2 - MARK**2)
    assert factor == pytest.approx(turn.at, rel=2e-4)
    assert ("compass", "ruler", "") == (careful.methods[turn.under].label, careful.methods[turn.over].label, turn.ends)


def test_by_graduation_the_order_turns_where_the_closed_form_says(careful: Comparison) -> None:
    """(g/(2√12))² = u_compass² − u_ruler², which lies under 1 mm, where the finer figure of the ruler holds."""
    (turn,) = scan(careful, "graduation").turnovers
    graduation = 2 * math.sqrt(12) * math.sqrt(compass_along(POINT, EDGE, PENCIL) ** 2 - MARK**2)
    assert graduation < 1
    assert graduation == pytest.approx(turn.at, rel=2e-4)
    assert ("ruler", "compass") == (careful.methods[turn.under].label, careful.methods[turn.over].label)


def test_at_its_place_neither_is_better(careful: Comparison) -> None:
    """Beside a turnover the two reaches differ by less than a thousandth, and their order is the one told."""
    for one in careful.scans:
        for turn in one.turnovers:
            place = int(np.searchsorted(one.at, turn.at))
            under, over = one.reaches[turn.under], one.reaches[turn.over]
            assert under[place] == pytest.approx(over[place], rel=1e-3)
            assert under[place - 1] <= over[place - 1] * (1 + 1e-6)
            assert over[place] <= under[place] * (1 + 1e-6)


def test_by_length_nothing_turns_but_the_bench_ends(careful: Comparison) -> None:
    """Errors in mm do not grow with the length; the compass opens to 250 mm, which is reached at 250/80 of the length, the ruler at 600 mm."""
    one = scan(careful, "length")
    assert () == one.turnovers
    ruler, compass = one.reaches
    ends = [max(at for at, reach in zip(one.at, row, strict=True) if math.isfinite(reach)) for row in (ruler, compass)]
    assert [600, 108.65 * 250 / 80] == pytest.approx(ends, rel=2e-4)
    finite = [reach for reach in compass if math.isfinite(reach)]
    assert finite[0] == pytest.approx(finite[-1], rel=1e-6)


def test_where_the_first_can_not_be_done_the_other_takes_over() -> None:
    """With a ruler of 120 mm the ruler's way ends there, and the compass is first from there on."""
    found = compare(halving().replace("graduated 0.5 mm", "graduated 0.5 mm, ruler to 120 mm"), trials=FEW)
    (turn,) = scan(found, "length").turnovers
    assert 120 == pytest.approx(turn.at, rel=2e-4)
    assert "under" == turn.ends


def test_a_rule_that_is_off_by_a_part_of_the_radius_loses_on_large_rims() -> None:
    """Seven round a rim: the triangle's half side is the worst of the three by itself, and still first on small rims."""
    found = compare("seven-round-a-rim", trials=FEW)
    turns = scan(found, "length").turnovers
    assert [("triangle", "thirteen"), ("thirteen", "table")] == [(found.methods[one.under].label, found.methods[one.over].label) for one in turns]
    assert turns[0].at < turns[1].at
    # short by 0.78 deg in all seven steps on a radius of 100 mm (chord of the triangle's half side), six sevenths of it at the last mark
    triangle = found.methods[0].hand("ordinary")
    assert triangle is not None
    short = 6 * (math.tau / 7 - 2 * math.asin(math.sqrt(3) / 4))
    assert 200 * math.sin(short / 2) == pytest.approx(triangle.offset_mm, rel=1e-9)


# --- laws -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["seven-round-a-rim", "halve-a-side", "find-the-centre"])
def test_another_size_is_the_same_drawing(name: str) -> None:
    """Every mark of a layout at 11/10 of its size lies 11/10 as far out, where no ruler or template rounds."""
    one = study(name, way="compass" if name == "halve-a-side" else None, others=False)
    factor = Fraction(11, 10)
    larger, choices = scaled(one.plan, factor)
    exact = ExactSystem()
    found = settle(larger, exact, choices=choices)
    for thing, small, large in zip(one.plan.things, one.values, found.values, strict=True):
        if thing.kind == "mark":
            assert exact.to_float(large.x) == pytest.approx(1.1 * one.exact.to_float(small.x), abs=1e-9)
            assert exact.to_float(large.y) == pytest.approx(1.1 * one.exact.to_float(small.y), abs=1e-9)


def test_the_same_seed_gives_the_same_comparison(careful: Comparison) -> None:
    """Trials are drawn again by their seed; another seed gives others."""
    again, other = compare(halving(), trials=40_960, seed=3), compare(halving(), trials=40_960, seed=4)
    assert hand(careful, "ruler", "careful") == hand(again, "ruler", "careful")
    assert hand(careful, "ruler", "careful") != hand(other, "ruler", "careful")


def test_two_recipes_are_one_comparison(tmp_path) -> None:  # type: ignore[no-untyped-def]
    """The ways of one recipe, each as a recipe of its own, come out as they did."""
    lines = halving().splitlines()
    starts = [place for place, line in enumerate(lines) if line.strip() in ("way ruler", "way compass", "end")]
    files = []
    for number, name in enumerate(("ruler", "compass")):
        mine = [line[2:] for line in lines[starts[number] + 1 : starts[number + 1]]]
        file = tmp_path / f"{name}.recipe"
        file.write_text("\n".join([*lines[: starts[0]], *mine, *lines[starts[2] + 1 :]]) + "\n", encoding="utf-8")
        files.append(file)
    one, two = compare(halving(), trials=FEW), compare(*files, trials=FEW)
    assert ["ruler", "compass"] == [method.label for method in two.methods]
    for before, after in zip(one.methods, two.methods, strict=True):
        assert (before.hands, before.moves, before.lemoine) == (after.hands, after.moves, after.lemoine)
    assert [one_.turnovers for one_ in one.scans] == [two_.turnovers for two_ in two.scans]


def test_the_claim_that_rests_on_what_differs_is_compared() -> None:
    """Of the shared claims the first one behind which the ways differ is taken; another can be asked for by its words."""
    assert "M is halfway between L and T" == compare("halve-a-side", trials=FEW).claim.text
    assert "B, R, T and L make a square" == compare("halve-a-side", claim="a SQUARE", trials=FEW).claim.text


def test_a_claim_of_angles_is_compared_on_paper_and_by_moves() -> None:
    """Where nothing is missed by a length there are no reaches and no turnovers, but verdicts and moves."""
    found = compare("clock-dial", claim="k is square to g", trials=FEW)
    assert () == found.scans
    assert all(method.hands == () and method.all_moves > 0 for method in found.methods)


# --- the trade's own figures ----------------------------------------------------------------------


def test_walking_both_ways_from_the_start_beats_walking_round() -> None:
    """Twelve steps, placing 0.15 mm, setting 0.1 mm (1 s): the worst space is 0.82 mm off walked round, 0.46 mm with six steps each way.

    Medians, the far mark set midway between the two ends.  The figures were computed for trade use (common practice, no
    source in print); 6 % is allowed for how a placing's error is taken there.
    """
    chord = 200 * math.sin(math.pi / 12)
    text = (
        "recipe Twelve\npaper\nbench ordinary\ngiven C at (0, 0) mm, p0 at (0, 100) mm\nstep S\n  rim : circle about C, through p0\n"
        f"  r : opening, {chord:.9f} mm by ruler\n  p1 to p11 : marks stepped from p0 round rim, opening r\n"
        "  m1 to m6 : marks stepped from p0 round rim, opening r, to the right\n"
    )
    plan = study(text).plan
    only = {"divider step": 0.15, "compass set by ruler": 0.1}
    sources = {name: replace(source, u=only.get(name, 0.0)) for name, source in plan.settings.sources.items()}
    plan = replace(plan, settings=replace(plan.settings, sources=sources))
    values = replay(plan, SampleSystem(trials=40_000, seed=11, errors=True))

    def turned(name: str) -> np.ndarray:
        """How far round a mark lies, in mm on the rim, from where it should."""
        mark = values[plan.index(name)]
        side = -1 if name[0] == "m" else 1
        true = side * int(name[1:]) * math.tau / 12
        angle = np.arctan2(mark.x, mark.y) - true
        return 100 * np.angle(np.exp(1j * angle)) * np.ones(40_000)

    start = np.zeros(40_000)
    once = [start, *(turned(f"p{k}") for k in range(1, 12)), start]
    opposite = (turned("p6") + turned("m6")) / 2
    both = [start, *(turned(f"p{k}") for k in range(1, 6)), opposite, *(turned(f"m{k}") for k in range(5, 0, -1)), start]
    worst = [float(np.median(np.max(np.abs(np.diff(np.array(one), axis=0)), axis=0))) for one in (once, both)]
    assert [0.82, 0.46] == pytest.approx(worst, rel=0.06)


# --- mistakes -------------------------------------------------------------------------------------


@pytest.mark.parametrize(("sources", "options", "code"), [
    (("seven-round-a-rim",), {"ways": ("table",)}, "C701"),
    (("halve-a-length",), {"ways": ("saw",)}, "C704"),
    (("halve-a-length", "seven-round-a-rim"), {}, "C702"),
    (("halve-a-side",), {"claim": "round"}, "C703"),
    (("halve-a-side",), {"claim": "is"}, "C703"),
    (("halve-a-side",), {"claim": ""}, "C703"),
    (("halve-a-side",), {"bench": "sloppy"}, "C530"),
    (("halve-a-side",), {"trials": 3}, "C532"),
    (("halve-a-side",), {"seed": -1}, "C533"),
    (("no-such-recipe",), {}, "C501"),
])  # fmt: skip
def test_what_can_not_be_compared_is_said(sources: tuple[str, ...], options: dict[str, object], code: str) -> None:
    """Each mistake ends in its own diagnostic."""
    with pytest.raises(Mistakes) as wrong:
        compare(*sources, **options)  # type: ignore[arg-type]
    assert [code] == [one.code for one in wrong.value.diagnostics]


def test_a_way_that_can_not_be_done_is_left_out() -> None:
    """An opening beyond the compass leaves two ways to compare, and the third is told with why."""
    text = halving().replace("  way compass", "  way eye\n    M : mark between L and T, by eye\n  way compass").replace("say 80 mm", "say 300 mm")
    found = compare(text, trials=FEW)
    assert ["ruler", "eye"] == [method.label for method in found.methods]
    assert [("compass", ["R212"])] == [(way, [one.code for one in wrong]) for way, wrong in found.left_out]
