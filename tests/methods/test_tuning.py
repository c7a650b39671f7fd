"""Tuning against formulas: where arcs cross square, hooks a quarter turn apart, and what must never be moved.

Source of the formulas: errors carried through a crossing of two arcs and of two lines, derived from first principles
(the law of propagation, JCGM 100, 5.1).  With both needles off by σ each way, centres d apart, one opening r and
h = √(r² − d²/4), the crossing is off by rσ√2/d along the line of centres and rσ/(√2·h) across it.
"""

from __future__ import annotations

import math
import random

import pytest

from construct.diagnostics import Mistakes
from construct.methods._descent import Stretch, descend, least_along, stretch
from construct.study import study, tuned

SIGMA = 0.12
"""u of the careful bench's needle in a mark, mm, in each direction (judgement; the laws below hold for any)."""

ARCS = """recipe Two arcs
paper
bench careful
given A, B, {d} mm apart
r : opening, anything over half of A B, say {say} mm
a : arc about A, opening r
b : arc about B, opening r
P, Q : marks where a meets b
k : line through A and B
m : line through P and Q
M : mark where m meets k
claim M is halfway between A and B
"""

HOOKS = """recipe Two hooks
plate round, 200 mm across
bench ordinary
g : line by centre finder, at 15 deg to the grain
h : line by centre finder, anywhere, say {say} deg to the grain
C : mark where g meets h
claim C is the centre of the plate
"""

CORNERS = """recipe Two right angles on the rim
plate round, 200 mm across
V : mark anywhere on edge, say 30 deg to the grain
a, b : legs of a square cornered at V, anyhow, say 75 deg to the grain
J : mark where a meets edge, other than V
K : mark where b meets edge, other than V
d : line through J and K
W : mark anywhere on edge, say 65 deg to the grain
e, f : legs of a square cornered at W, anyhow, say 110 deg to the grain
S : mark where e meets edge, other than W
T : mark where f meets edge, other than W
c : line through S and T
C : mark where d meets c
claim C is the centre of the plate
"""

EITHER = """recipe Two crossings to choose from
paper
given A at (-40, 0) mm, B at (40, 0) mm, O at (0, 50) mm
r : opening, 60 mm by ruler
a : arc about A, opening r
b : arc about B, opening r
X : mark where a meets b, nearest O
k : line through A and B
m : line through O and X
M : mark where m meets k
claim M is halfway between A and B
"""

LEAVES = """recipe An opening that makes the pattern
plate round, 200 mm across
g : line by centre finder, along the grain
h : line by centre finder, across the grain
C : mark where g meets h
r : opening, anything under 60 mm, say 40 mm
c : circle about C, opening r
P, Q : marks where g meets c
p : circle about P, opening r
carve
  cut c inside p
  cut p inside c
"""


def crossing_u(r: float, d: float) -> float:
    """Return u of the crossing, both directions together, by the formulas above."""
    h = math.sqrt(r * r - d * d / 4)
    return SIGMA * math.hypot(r * math.sqrt(2) / d, r / (math.sqrt(2) * h))


@pytest.mark.parametrize(("d", "say"), [(100, 60), (100, 95), (60, 40), (150, 80)])
def test_arcs_are_best_where_they_cross_square(d: int, say: int) -> None:
    """(rσ√2/d)² + (rσ/√2h)² is least at r = d/√2, where the arcs cross at 90 deg, and is then 2σ²."""
    found = tuned(study(ARCS.format(d=d, say=say)), at=["P"])
    (choice,) = found.choices
    assert d / math.sqrt(2) == pytest.approx(choice.best, rel=2e-3)
    assert choice.moves
    assert SIGMA * math.sqrt(2) == pytest.approx(found.u_best_mm, rel=1e-5)
    assert crossing_u(say, d) == pytest.approx(found.u_drawn_mm, rel=1e-9)
    assert crossing_u(choice.setting, d) == pytest.approx(found.u_mm, rel=1e-9)
    # rounded to a whole millimetre, the arcs cross square within 1 1/2 deg
    assert [90] == pytest.approx([one.after_deg for one in found.angles if one.name == "P and Q"], abs=1.5)


def test_how_flat_the_best_is() -> None:
    """The ends of what is as good are where the formula is 5 % over its least: 61.9 mm and 84.8 mm for d = 100 mm."""
    found = tuned(study(ARCS.format(d=100, say=60)), at=["P"])
    (choice,) = found.choices
    # u² = 1.05²·2σ² with s = h²: 2s/d² + 1 + d²/8s = 2·1.05², solved for s
    middle = (2 * 1.05**2 - 1) * 100**2 / 4
    root = math.sqrt(middle**2 - (100**2 / 4) ** 2)
    ends = [math.sqrt(100**2 / 4 + middle - root), math.sqrt(100**2 / 4 + middle + root)]
    assert ends == pytest.approx(choice.as_good, rel=1e-3)
    assert not choice.whole
    # the bench of this recipe opens its compass to 250 mm, and the recipe says: over half of A B
    assert [50, 250] == pytest.approx(choice.allowed, rel=1e-3)
    assert choice.low_stop is not None and choice.low_stop.own_bound and choice.low_stop.line == 5
    assert choice.high_stop is not None and not choice.high_stop.own_bound


def test_any_opening_halves_as_well() -> None:
    """Where m crosses midway between P and Q, the needles' errors and the straightedge's do not depend on the opening."""
    found = tuned(study(ARCS.format(d=100, say=60)))
    (choice,) = found.choices
    assert ("M",) == found.marks
    assert found.drawn_is_as_good and choice.whole and not choice.moves
    values = [u for value, u in choice.curve if 55 < value < 240]
    assert max(values) == pytest.approx(min(values), rel=0.02)


@pytest.mark.parametrize("say", [30, 50, 250])
def test_hooks_belong_a_quarter_turn_apart(say: int) -> None:
    """Two lines crossing at g, each off by σ sideways: u = σ√2/sin g, least at 90 deg."""
    found = tuned(study(HOOKS.format(say=say)))
    (choice,) = found.choices
    assert 90 == pytest.approx((choice.setting - 15) % 180, abs=1.5)
    sideways = 0.25
    assert sideways * math.sqrt(2) == pytest.approx(found.u_best_mm, rel=1e-4)
    # as good: sin g at least 1/1.05, that is 17.75 deg to each side
    aside = math.degrees(math.acos(1 / 1.05))
    assert 2 * aside == pytest.approx(choice.as_good[1] - choice.as_good[0], rel=0.01)


def test_a_second_corner_belongs_a_quarter_round() -> None:
    """Right angle on the rim, twice: the two diameters are best square to each other (common practice, no source)."""
    found = tuned(study(CORNERS))
    (angle,) = [one for one in found.angles if one.name == "C"]
    assert 35 == pytest.approx(angle.before_deg, abs=0.01)
    assert 90 == pytest.approx(angle.after_deg, abs=4)
    assert found.u_best_mm < 0.65 * found.u_drawn_mm
    assert {"V", "W", "a and b", "e and f"} == {one.coordinate.names for one in found.choices}


def test_no_random_setting_is_better() -> None:
    """Five choices at once: of 600 random allowed settings none gives less than the least that was found."""
    from construct.methods.tuning import _Tuner

    whole = study("find-the-centre", way="chords", others=False)
    tuner = _Tuner(whole.settled, whole.carving, whole.exact, (), 1.0)
    found = tuner.tune()
    dice = random.Random(20_250)
    start = [one.best for one in found.choices]
    tries = [tuner._u([value + dice.gauss(0, 8) for value in start]) for _ in range(600)]
    allowed = [u for u in tries if math.isfinite(u)]
    assert len(allowed) > 20
    assert min(allowed) > 0.998 * found.u_best_mm


def test_the_better_of_two_crossings() -> None:
    """A line through O is surer the farther its other mark: the crossing away from O is taken, and the claim holds with it."""
    found = tuned(study(EITHER))
    (one,) = found.crossings
    assert ("X", 7, True) == (one.name, one.line, one.taken)
    assert one.other_u_mm < one.u_mm
    assert one.other_u_mm == pytest.approx(found.u_mm)
    turned = tuned(study(EITHER.replace("nearest O", "farthest from O")))
    assert [False] == [other.taken for other in turned.crossings]
    assert turned.u_drawn_mm == pytest.approx(one.other_u_mm)


def test_what_is_found_stands_in_a_recipe() -> None:
    """Written into the recipe, the settings give the very u that was told, and every claim holds."""
    found = tuned(study(ARCS.format(d=100, say=60)), at=["P"])
    again = study(ARCS.format(d=100, say=f"{found.choices[0].setting:g}"))
    assert again.holds
    assert found.u_mm == pytest.approx(tuned(again, at=["P"]).u_drawn_mm, rel=1e-12)


def test_the_pattern_is_never_tuned_away() -> None:
    """An opening that the cut edges move with is a matter of taste: it stays, and tuning says so."""
    with pytest.raises(Mistakes) as wrong:
        tuned(study(LEAVES))
    (one,) = wrong.value.diagnostics
    assert "C702" == one.code
    assert "`r` is part of the pattern" in one.message


def test_what_does_not_reach_is_left() -> None:
    """The dial's third finder line is a check alone: it is no matter for the cuts; the opening is, and 130 mm will do."""
    found = tuned(study("clock-dial", others=False))
    assert [("f", "idle")] == [(one.names, one.why) for one in found.kept]
    (reach,) = found.choices
    assert found.drawn_is_as_good
    # half of B T = 108.65 mm; the mark P on the edge of the plate: r² = (B T / 2)² + (9 1/2 in / 2)²
    assert [108.65, math.hypot(108.65, 120.65)] == pytest.approx(reach.allowed, abs=0.02)
    assert reach.held is not None and "fall off the wood" in reach.held.why


def test_units_and_hand() -> None:
    """Settings are rounded to the ruler in hand; another hand changes u and not where the arcs cross best."""
    layout = study(ARCS.format(d=100, say=60))
    inches = tuned(layout, at=["P"], units="in")
    assert 0 == pytest.approx(inches.choices[0].setting / (25.4 / 16) % 1, abs=1e-9)
    beginner = tuned(layout, at=["P"], bench="beginner")
    assert 100 / math.sqrt(2) == pytest.approx(beginner.choices[0].best, rel=2e-3)
    assert beginner.u_mm > 2 * inches.u_mm


@pytest.mark.parametrize(
    ("text", "options", "code"),
    [
        (ARCS.format(d=100, say=60), {"at": ["Z"]}, "C700"),
        (ARCS.format(d=100, say=60), {"bench": "clumsy"}, "C530"),
        (EITHER.replace("X : mark where a meets b, nearest O", "X, Y : marks where a meets b"), {}, "C701"),
    ],
)
def test_mistakes(text: str, options: dict[str, object], code: str) -> None:
    """What can not be tuned is a diagnostic."""
    with pytest.raises(Mistakes) as wrong:
        tuned(study(text), **options)  # type: ignore[arg-type]
    assert [code] == [one.code for one in wrong.value.diagnostics]


# --- the search by itself ------------------------------------------------------------------------


def test_a_stretch_ends_where_it_is_no_longer_allowed() -> None:
    """The ends of an interval are found from inside it, to a ten-thousandth of it."""
    found = stretch(lambda value: 3.25 <= value <= 71.5, 10.0, 0.5, -1000.0, 1000.0)
    assert (3.25, 71.5) == pytest.approx((found.low, found.high), abs=0.01)
    assert Stretch(-5.0, 8.0) == stretch(lambda value: True, 1.0, 0.5, -5.0, 8.0)


@pytest.mark.parametrize("seed", range(5))
def test_the_least_of_a_bowl(seed: int) -> None:
    """A bowl aslant, cut off by a condition that couples its numbers: the least inside is found to 1 %."""
    dice = random.Random(seed)
    a, b, tilt = dice.uniform(5, 20), dice.uniform(5, 20), dice.uniform(-0.8, 0.8)

    def f(at: tuple[float, ...]) -> float:
        x, y = at
        return math.inf if x + y > 18 else 1 + (x - a) ** 2 + (y - b) ** 2 + 2 * tilt * (x - a) * (y - b)

    def reach(at: tuple[float, ...], place: int) -> Stretch:
        return Stretch(-50.0, 18 - at[1 - place])

    _, least = descend(f, reach, (0.0, 0.0))
    grid = min(f((x / 10, y / 10)) for x in range(-100, 300) for y in range(-100, 300))
    assert least <= grid * 1.01
    place, value = least_along(lambda x: (x - 3.3) ** 2, Stretch(-20, 20), 0.0)
    assert (3.3, 0) == pytest.approx((place, value), abs=0.01)


def test_a_claim_holds_a_choice_back() -> None:
    """Where a claim breaks beyond 65 mm, short of the best at 70.7 mm, the setting stops one step clear of it, and the claim is named."""
    text = ARCS.format(d=100, say=55).replace("M : mark", "disc : circle about A, 65 mm by ruler\nM : mark") + "claim P is inside disc\n"
    (choice,) = tuned(study(text), at=["P"]).choices
    assert 65 == pytest.approx(choice.allowed[1], abs=0.01)
    # 65 mm is no longer inside, so a millimetre must be left from 63 mm to the last that is
    assert 63 == choice.setting
    assert choice.held is not None and choice.held.line == 14
    assert "“P is inside disc” would no longer hold" == choice.held.why
    # without the claim nothing stops it there
    (free,) = tuned(study(text.replace("claim P is inside disc\n", "")), at=["P"]).choices
    assert 71 == free.setting and free.held is None
