"""True drawings moved by a hair: a claim that holds must be lost, whatever the drawing and the hair."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

from hypothesis import given, seed, settings
from hypothesis import strategies as st

from construct.claims import World, claims, phrases
from construct.claims._verdict import judge
from construct.diagnostics import Span
from construct.geometry import Circle, Line, Point, towards
from construct.language.syntax import Ratio
from construct.number_systems.exact import ExactSystem

HAIR = Fraction(1, 10**30)

fractions = st.fractions(min_value=-50, max_value=50, max_denominator=12)
positive = st.fractions(min_value=Fraction(1, 2), max_value=50, max_denominator=12)
part = st.integers(min_value=1, max_value=9)


class Drawing:
    def __init__(self) -> None:
        self.exact = ExactSystem()
        self.said = {phrase.text: phrase for phrase in phrases()}

    def mark(self, x: Any, y: Any) -> Point:
        number = self.exact.rational
        return Point(*(number(Fraction(one)) if isinstance(one, int | Fraction) else one for one in (x, y)))

    def circle(self, centre: Point, radius: Any) -> Circle:
        reach = self.exact.rational(Fraction(radius))
        return Circle(centre, reach * reach)

    def line(self, a: Point, b: Point) -> Line:
        return Line(a.x, a.y, *towards(a, b))

    def holds(self, text: str, *things: Any) -> bool:
        answer = judge(self.exact, self.said[text].make(World(self.exact, None), *things))
        assert answer.verdict in ("proved", "refuted")
        return answer.verdict == "proved"


def rational_point(t: Fraction) -> tuple[Fraction, Fraction]:
    """Return a point of the unit circle."""
    return (1 - t * t) / (1 + t * t), 2 * t / (1 + t * t)


@seed(2719)
@settings(max_examples=60, deadline=None)
@given(fractions, fractions, fractions, fractions, st.booleans())
def test_a_middle_moved_by_a_hair_is_no_middle(ax: Fraction, ay: Fraction, bx: Fraction, by: Fraction, across: bool) -> None:
    """Halfway, in line, equal lengths and the same mark: all lost by 10^-30 mm."""
    drawing = Drawing()
    a, b = drawing.mark(ax, ay), drawing.mark(bx, by)
    m = drawing.mark((ax + bx) / 2, (ay + by) / 2)
    moved = drawing.mark((ax + bx) / 2 + (HAIR if across else 0), (ay + by) / 2 + (0 if across else HAIR))
    halfway = "<M mark> is halfway between <A mark> and <B mark>"
    assert drawing.holds(halfway, m, a, b)
    assert not drawing.holds(halfway, moved, a, b)
    assert not drawing.holds("<X mark|line|circle> is <Y mark|line|circle>", m, moved)
    assert drawing.holds("<M marks> are in line", (a, m, b))
    off_line = (bx - ax if not across else by - ay) != 0
    assert drawing.holds("<M marks> are in line", (a, moved, b)) is not off_line
    along = (bx - ax if across else by - ay) != 0
    equals = "<A mark> <B mark> equals <D mark> <E mark>"
    assert drawing.holds(equals, a, m, m, b)
    assert drawing.holds(equals, a, moved, moved, b) is not along


@seed(2720)
@settings(max_examples=60, deadline=None)
@given(fractions, fractions, positive, st.fractions(min_value=-4, max_value=4, max_denominator=9))
def test_a_tangent_moved_by_a_hair_is_no_tangent(x: Fraction, y: Fraction, radius: Fraction, t: Fraction) -> None:
    """On the circle, touching it, square to its radius: all lost by 10^-30 mm."""
    drawing = Drawing()
    c, s = rational_point(t)
    o = drawing.mark(x, y)
    circle = drawing.circle(o, radius)
    contact = drawing.mark(x + radius * c, y + radius * s)
    tangent = drawing.line(contact, drawing.mark(x + radius * c - s, y + radius * s + c))
    touches, on = "<c line|circle> touches <k line|circle>", "<X mark> is on <k line|circle|edge>"
    square = "<k line> is square to <g line>"
    assert drawing.holds(touches, circle, tangent)
    assert drawing.holds(on, contact, circle)
    assert drawing.holds(square, tangent, drawing.line(o, contact))
    wider = drawing.circle(o, radius + HAIR)
    assert not drawing.holds(touches, wider, tangent)
    assert not drawing.holds(on, contact, wider)
    tilted = drawing.line(contact, drawing.mark(x + radius * c - s + HAIR * c, y + radius * s + c + HAIR * s))
    assert not drawing.holds(square, tilted, drawing.line(o, contact))
    assert not drawing.holds(touches, circle, tilted)


@seed(2721)
@settings(max_examples=40, deadline=None)
@given(st.integers(min_value=0, max_value=3), positive, st.fractions(min_value=-4, max_value=4, max_denominator=9), st.booleans())
def test_a_square_with_a_corner_moved_is_no_square(which: int, radius: Fraction, t: Fraction, across: bool) -> None:
    """Square, even spacing, one circle: lost by 10^-30 mm at any corner (along the circle at least for the last)."""
    drawing = Drawing()
    c, s = rational_point(t)
    places = [(radius * a, radius * b) for a, b in ((c, s), (-s, c), (-c, -s), (s, -c))]
    o = drawing.mark(0, 0)
    rim = drawing.circle(o, radius)
    marks = [drawing.mark(*place) for place in places]
    assert drawing.holds("<M marks> make a square", tuple(marks))
    assert drawing.holds("<M marks> are evenly spaced round <rim circle>", tuple(marks), rim)
    x, y = places[which]
    moved = list(marks)
    moved[which] = drawing.mark(x + (HAIR if across else 0), y + (0 if across else HAIR))
    assert not drawing.holds("<M marks> make a square", tuple(moved))
    assert not drawing.holds("<M marks> make a regular figure", tuple(moved))
    assert not drawing.holds("<M marks> are evenly spaced round <rim circle>", tuple(moved), rim)


@seed(2722)
@settings(max_examples=40, deadline=None)
@given(st.fractions(min_value=Fraction(1, 9), max_value=9, max_denominator=9), part, st.booleans())
def test_angles_and_their_multiples_are_lost_by_a_hair(t: Fraction, times: int, wider: bool) -> None:
    """A whole multiple of an angle is one only as long as it stays under 180 deg, and never a hair off."""
    drawing = Drawing()
    c, s = rational_point(t)
    x, y = Fraction(1), Fraction(0)
    for _ in range(times):
        x, y = x * c - y * s, x * s + y * c
    turned = math.atan2(s, c) * times
    o, a, b, d = drawing.mark(0, 0), drawing.mark(1, 0), drawing.mark(c, s), drawing.mark(x, y)
    text = "angle <A mark> <O mark> <B mark> is <r ratio> of angle <D mark> <P mark> <E mark>"
    ratio = Ratio("number", Span(1, 1), Fraction(times))
    assert drawing.holds(text, a, o, d, ratio, a, o, b) is (turned <= math.pi)
    off = drawing.mark(x - y * HAIR * (1 if wider else -1), y + x * HAIR * (1 if wider else -1))
    assert not drawing.holds(text, a, o, off, ratio, a, o, b)


def test_every_kind_of_claim_says_what_it_is() -> None:
    """Each claim file has its name, a note, and phrases with one line of help each."""
    for name, kind in claims().items():
        assert name == kind.NAME
        assert kind.NOTE
        for phrase in kind.PHRASES:
            assert phrase.note.startswith(("gap:", "congruent"))
            assert set(phrase.option("within", ("mm",))) <= {"mm", "deg", "part"}
