"""By eye: no tool but the hand.

The eye aims at the true middle or width, so the exact replay has it there; what
the eye misses is a bench error, and larger than any tool's.
"""

from __future__ import annotations

from construct.geometry import Curve, Line, Point, along, middle, towards
from construct.language.syntax import Phrase
from construct.number_systems import Number
from construct.tools import Bench
from construct.tools._parallel import beside, on_other_side, on_that_side, some_width

NAME = "eye"
NOTE = "no tool: the hand judges"
EYE = "splitting by eye"
ERRORS = (EYE,)


def between(bench: Bench, a: Point, b: Point) -> Point:
    """Judge the middle of two marks."""
    return bench.placed(middle(a, b), EYE)


def parallel(bench: Bench, line: Line, width: Number, of: Point, side: int) -> Line:
    """Judge a parallel at a width, on the side that is said."""
    return beside(bench, line, width, side, EYE)


def curve(bench: Bench, x: Point, y: Point) -> Curve:
    """Draw a fair curve from mark to mark: straight in the ideal, and as far off as the eye is."""
    way = towards(x, y)
    second = bench.placed(along(x, way, bench.rational(1) / 3), EYE, 1)
    third = bench.placed(along(x, way, bench.rational(2) / 3), EYE, 2)
    return Curve((x, second, third, y))


AIMS = ("aims", "aims.eye")
PHRASES = (
    Phrase("mark between <A mark> and <B mark>, by eye", between, "mark", note="the middle as the eye sees it", extra=(AIMS,)),
    Phrase("line parallel to <s line>, <w length> away on the <O mark> side, by eye", parallel, "line", sides=1,
           note="a width judged by eye, on the side of a mark", extra=(("through", False), ("fits", on_that_side), ("limits", some_width), AIMS)),
    Phrase("line parallel to <s line>, <w length> away, away from <O mark>, by eye", parallel, "line", sides=1,
           note="a width judged by eye, on the other side from a mark", extra=(("through", False), ("fits", on_other_side), ("limits", some_width), AIMS)),
    Phrase("curve from <X mark> to <Y mark>, by eye", curve, "curve", note="a fair curve without a template", extra=(AIMS,)),
)  # fmt: skip
