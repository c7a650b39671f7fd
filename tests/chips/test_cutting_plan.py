"""The order of cuts: each rule of the trade as a law on small carvings.

The rules are common practice, no source; a chip's inside is judged by shapely, not by the code under test.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable
from typing import Any

import pytest
from shapely.geometry import Point as Dot
from shapely.geometry import Polygon

from construct.chips.cutting_plan import RULES, CuttingPlan, End, Stroke, make_cutting_plan
from construct.diagnostics import Mistakes

HEAD = "plate round, 200 mm across\nbench ordinary, ruler graduated 0.5 mm\n"

ROSETTE = HEAD + """\
step Lay it out
  g : line by centre finder, along the grain
  h : line by centre finder, across the grain
  C : mark where g meets h
  r : opening, 50 mm by ruler
  ring : circle about C, opening r
  p1, p4 : marks where g meets ring
  p2, p3 : marks stepped from p1 round ring, opening r
  p5, p6 : marks stepped from p4 round ring, opening r
  around p1 to p6 as p
    a.p : circle about p, opening r
    mid.p : line from C to p
  end
carve
  around p1 to p6 as o, p, q
    cut a.o from C to p
    cut a.q from C to p
"""
WHOLE = ROSETTE + "  end\n"
SPLIT = ROSETTE + "    cut mid.p from C to p\n  end\n"

ROW = HEAD + """\
step Lay it out
  g : line by centre finder, along the grain
  h : line by centre finder, across the grain
  C : mark where g meets h
  in : circle about C, 60 mm by ruler
  ring : circle about C, 80 mm by ruler
  p1, p4 : marks where g meets inner
  r : opening, 60 mm by ruler
  p2, p3 : marks stepped from p1 round inner, opening r
  p5, p6 : marks stepped from p4 round inner, opening r
  around p1 to p6 as p
    ray.p : line from C to p
    s.p : circle about p, 40 mm by ruler
    t.p, u.p : marks where s.p meets ring
    e.p : line from p to t.p
    f.p : line from p to u.p
  end
carve
  around p1 to p6 as p
    cut e.p
    cut f.p
    cut ring from u.p to t.p
  end
""".replace("  in :", "  inner :")


def paper(marks: dict[str, tuple[str, str]], lines: str, mirrored: bool = False) -> str:
    """A carving on paper from marks by coordinates; mirrored: with every x turned round."""
    said = []
    for name, (x, y) in marks.items():
        x = x.removeprefix("-") if mirrored and x.startswith("-") else f"-{x}" if mirrored and x != "0" else x
        said.append(f"given {name} at ({x}, {y}) mm\n")
    return f"paper\n{''.join(said)}step Lay it out\n{lines}"


# a square quartered by a line and an arc, with nothing even about it
MARKS = {"A": ("-40", "-31"), "B": ("37", "-29"), "D": ("52", "33"), "E": ("-23", "41"), "H": ("-8", "2")}
LINES = """\
  ab : line from A to B
  bd : line from B to D
  de : line from D to E
  ea : line from E to A
  hb : line from H to B
  hd : line from H to D
  k : circle about H, 9 mm by ruler
carve
  cut ab
  cut bd
  cut de
  cut ea
  cut hb outside k
  cut hd outside k
  cut k
"""


@pytest.fixture
def planned(carved: Callable[[str], Any]) -> Callable[..., tuple[CuttingPlan, Any]]:
    """Makes a carving's plan."""

    def one(text: str, **options: str) -> tuple[CuttingPlan, Any]:
        some = carved(text)
        return make_cutting_plan(some.settled, some.carving, some.exact, **options), some

    return one


def outline(some: Any, number: int) -> Polygon:
    """A chip as shapely sees it, its arcs as chords of a degree."""
    chip = next(one for one in some.carving.chips if one.number == number)
    walks = []
    for walk in chip.walks:
        places = []
        for edge in walk:
            (ax, ay), (bx, by) = ((some.exact.to_float(p.x), some.exact.to_float(p.y)) for p in (edge.start, edge.finish))
            if edge.circle is None:
                places.append((ax, ay))
                continue
            cx, cy = some.exact.to_float(edge.circle.centre.x), some.exact.to_float(edge.circle.centre.y)
            reach, first = math.hypot(ax - cx, ay - cy), math.atan2(ay - cy, ax - cx)
            turn = math.tau if edge.whole else (math.atan2(by - cy, bx - cx) - first) * edge.sense % math.tau
            angles = [first + edge.sense * turn * k / 360 for k in range(360)]
            places += [(cx + reach * math.cos(angle), cy + reach * math.sin(angle)) for angle in angles]
        walks.append(places)
    return Polygon(walks[0], walks[1:])


def place(end: End) -> tuple[float, float]:
    return round(end.x, 4) + 0.0, round(end.y, 4) + 0.0


@pytest.mark.parametrize("text", [WHOLE, SPLIT, ROW, paper(MARKS, LINES)])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_every_wall_of_every_chip_is_cut_once(planned: Any, text: str, hand: str) -> None:
    """Every chip appears; round each chip, the strokes make closed walks: each end is the end of exactly two strokes a visit."""
    plan, some = planned(text, hand=hand)
    numbers = [chip.number for chip in some.carving.chips]
    assert sorted(numbers) == sorted(number for one in plan.rounds for number in one.chips)
    assert set(numbers) == {stroke.chip for stroke in plan.strokes}
    for number in numbers:
        mine = [stroke for stroke in plan.strokes if stroke.chip == number]
        visits = Counter(place(end) for stroke in mine for end in (stroke.start, stroke.finish))
        assert {2} == set(visits.values())
        assert len(mine) == len({frozenset((place(one.start), place(one.finish), one.thing)) for one in mine})


def test_the_wall_next_to_a_carved_chip_comes_first(planned: Any) -> None:
    """Once a neighbour is carved, the wall shared with it is cut before every other wall of a chip."""
    plan, _ = planned(SPLIT)
    left = Counter(stroke.chip for stroke in plan.strokes)
    carved: set[int] = set()
    seen = 0
    shared = {  # by drawn line: the ridge of a petal belongs to its two halves
        stroke.number: {other.chip for other in plan.strokes if other.thing == stroke.thing and other.chip != stroke.chip
                        and {place(other.start), place(other.finish)} == {place(stroke.start), place(stroke.finish)}}
        for stroke in plan.strokes
    }  # fmt: skip
    begun: dict[int, list[Stroke]] = {}
    for stroke in plan.strokes:
        before = begun.setdefault(stroke.chip, [])
        if shared[stroke.number] & carved:
            seen += 1
            assert all(shared[one.number] & carved for one in before)
        before.append(stroke)
        left[stroke.chip] -= 1
        if not left[stroke.chip]:
            carved.add(stroke.chip)
    # six ridges, each when its second half comes: two of them run with the grain and take two strokes
    assert 8 == seen


def test_the_other_hand_is_the_mirrored_plates_plan(planned: Any) -> None:
    """A left hand's plan of the mirrored plate is the right hand's plan, mirrored."""
    right, some = planned(paper(MARKS, LINES))
    left, other = planned(paper(MARKS, LINES, mirrored=True), hand="left")
    names = [thing.name for thing in some.settled.plan.things]
    assert names == [thing.name for thing in other.settled.plan.things]

    def told(stroke: Stroke, sign: int) -> tuple[Any, ...]:
        ends = [(end.kind, round(sign * end.x, 4) + 0.0, round(end.y, 4) + 0.0) for end in (stroke.start, stroke.finish)]
        hours = [round((sign * hour) % 12, 4) % 12 for hour in stroke.clock]
        return names[stroke.thing], *ends, *hours, stroke.grip, stroke.grain, stroke.lifted, stroke.rules

    assert [told(one, 1) for one in right.strokes] == [told(one, -1) for one in left.strokes]
    assert right != planned(paper(MARKS, LINES), hand="left")[0]


@pytest.mark.parametrize("text", [WHOLE, SPLIT, ROW, paper(MARKS, LINES)])
def test_a_stroke_presses_the_fibres_into_the_chip(planned: Any, text: str) -> None:
    """On the slant, a fibre that runs on ahead of the knife runs into the chip; the chip's side is shapely's answer."""
    plan, some = planned(text)
    looked = 0
    for stroke in plan.strokes:
        way = stroke.finish.x - stroke.start.x, stroke.finish.y - stroke.start.y
        straight = stroke.clock[0] == stroke.clock[2]
        if straight:
            # hours by the compass rose: 12 along the grain, clockwise
            assert math.degrees(math.atan2(*way)) % 360 / 30 == pytest.approx(stroke.clock[0] % 12, abs=1e-4)
            assert math.degrees(math.atan2(abs(way[0]), abs(way[1]))) == pytest.approx(stroke.grain_deg[1], abs=1e-3)
        if not straight or min(abs(way[0]), abs(way[1])) < 0.1 * math.hypot(*way):
            continue
        fibre = math.copysign(1.0, way[1])
        middle = (stroke.start.x + stroke.finish.x) / 2, (stroke.start.y + stroke.finish.y) / 2
        assert outline(some, stroke.chip).contains(Dot(middle[0], middle[1] + 0.05 * fibre))
        looked += 1
    assert looked >= (0 if text == WHOLE else 4)


def test_a_petal_along_the_grain_is_cut_in_from_both_ends(planned: Any) -> None:
    """Where a wall's belly runs with the grain, two strokes start at the points and meet where it runs so."""
    plan, _ = planned(WHOLE)
    mine = [one for one in plan.strokes if {one.start.kind, one.finish.kind} == {"mark", "with"} and abs(one.start.x) < 1e-6]
    assert 8 == len(mine)  # two petals, two walls each, two strokes a wall
    assert {"with"} == {one.finish.kind for one in mine}
    assert {6.0, 12.0} == {one.clock[2] for one in mine}
    assert all("both_ends" in one.rules for one in mine)


def test_the_round_ends_with_the_grain(planned: Any) -> None:
    """A rosette is begun so that its last cut runs with the grain, and that cut says so."""
    plan, _ = planned(SPLIT)
    assert ["rosette"] == [one.kind for one in plan.rounds]
    last = plan.strokes[-1]
    assert "with" == last.grain
    assert "round" in last.rules


def test_one_point_goes_to_the_centre(planned: Any) -> None:
    """Of the points in one mark, one that runs with the grain goes right to it; the others are held back, every second more."""
    plan, some = planned(WHOLE)
    centre = some.settled.plan.index("C")
    rules = {stroke.chip: set(stroke.rules) & {"centre", "hold_back", "stagger"} for stroke in plan.strokes
             if centre in (*stroke.start.things, *stroke.finish.things)}  # fmt: skip
    assert 6 == len(rules)
    assert 1 == sum("centre" in one for one in rules.values())
    assert 5 == sum("hold_back" in one for one in rules.values())
    assert 3 == sum("stagger" in one for one in rules.values())
    first = next(chip for chip, one in rules.items() if "centre" in one)
    assert 0.0 == pytest.approx(outline(some, first).centroid.x, abs=1e-6)


def test_a_crescent_is_cut_inside_curve_first(planned: Any) -> None:
    """Of two arcs that bend the same way the hollow one, which the chip lies outside of, is cut first."""
    marks = {"O": ("0", "0"), "P": ("13", "-4")}
    lines = "  k : circle about O, 40 mm by ruler\n  m : circle about P, 40 mm by ruler\ncarve\n  cut k outside m\n  cut m inside k\n"
    plan, some = planned(paper(marks, lines))
    assert 1 == len(some.carving.chips)
    things = [some.settled.plan.things[stroke.thing].name for stroke in plan.strokes]
    assert "m" == things[0]
    assert things == sorted(things, key=lambda name: name != "m")
    assert "crescent" in plan.strokes[0].rules


def test_a_row_is_cut_wall_by_wall(planned: Any) -> None:
    """All first cuts of a row, then all second, then all third: each chip once in each turn."""
    plan, some = planned(ROW)
    assert ["row"] == [one.kind for one in plan.rounds]
    walls = [(stroke.chip, some.settled.plan.things[stroke.thing].name.split(".")[0]) for stroke in plan.strokes]
    turns = list(dict.fromkeys(name for _, name in walls))
    assert 3 == len(turns)
    assert [name for _, name in walls] == sorted((name for _, name in walls), key=turns.index)
    assert all({chip for chip, other in walls if other == name} == {1, 2, 3, 4, 5, 6} for name in turns)


def test_across_the_grain_comes_before_along_it(planned: Any) -> None:
    """In a square of two walls along and two across, nothing carved beside it, both across come first."""
    marks = {"A": ("0", "0"), "B": ("9", "0"), "D": ("9", "9"), "E": ("0", "9")}
    lines = "".join(f"  {a.lower()}{b.lower()} : line from {a} to {b}\n" for a, b in ("AB", "BD", "DE", "EA"))
    plan, some = planned(paper(marks, f"{lines}carve\n  cut ab\n  cut bd\n  cut de\n  cut ea\n"))
    names = [some.settled.plan.things[stroke.thing].name for stroke in plan.strokes]
    assert {"ab", "de"} == set(names[:2])
    # along the fibres: in from both ends, to the middle
    assert ["across", "across", "with", "with", "with", "with"] == [stroke.grain for stroke in plan.strokes]
    assert all("middle" == stroke.finish.kind for stroke in plan.strokes[2:])
    assert all("pull" == stroke.grip for stroke in plan.strokes[:2])


def test_hard_first_or_the_rosette(planned: Any) -> None:
    """What comes first is a setting: the widest chips, or the rosette before what lies round it."""
    rings = "  k : circle about C, 90 mm by ruler\n  m : circle about C, 70 mm by ruler\n"
    both = WHOLE.replace("carve\n", f"{rings}carve\n  cut k\n  cut m\n")
    hard, some = planned(both)
    soft, _ = planned(both, first="rosette")
    kinds = [[one.kind for one in plan.rounds] for plan in (hard, soft)]
    assert "rosette" == kinds[1][0]
    widest = hard.rounds[0].chips[0]
    shape = {chip.number: outline(some, chip.number) for chip in some.carving.chips}
    assert widest == max(shape, key=lambda number: shape[number].area / shape[number].length)
    assert ("hard", "rosette") == (hard.first, soft.first)


def test_every_rule_says_where_it_comes_from(planned: Any) -> None:
    """No rule goes without a basis, and a plan lists just the rules that its strokes heed."""
    assert {"common practice, no source", "judgement"} == set(RULES.values())
    plan, _ = planned(SPLIT)
    assert {rule for stroke in plan.strokes for rule in stroke.rules} | {"hard"} == set(plan.rules)


@pytest.mark.parametrize(("options", "codes"), [({"hand": "both"}, ["C660"]), ({"first": "last", "hand": ""}, ["C660", "C661"])])
def test_a_wrong_setting_is_a_diagnostic(planned: Any, options: dict[str, str], codes: list[str]) -> None:
    """A hand or a beginning that is none is told, all at once."""
    with pytest.raises(Mistakes) as wrong:
        planned(WHOLE, **options)
    assert codes == [one.code for one in wrong.value.diagnostics]
