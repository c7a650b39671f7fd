"""The circle template: holes of fixed sizes, each with four ticks at its quarters.

Holes come in steps, so a wanted size becomes the nearest hole; that miss is in
the exact replay too.  Its errors: the hole is set a little off centre, and its
cross is laid a little askew.
"""

from __future__ import annotations

from collections.abc import Sequence

from construct.geometry import Circle, Line, Point, along, distance, middle
from construct.language.syntax import Phrase
from construct.number_systems import Number
from construct.tools import Bench, Limit, limit

NAME = "circle template"
NOTE = "a sheet with holes of fixed sizes, ticks at their quarters"
CENTRING = "template centring"
CROSS = "template cross laid to a line"
ERRORS = (CENTRING, CROSS)


def about(bench: Bench, centre: Point, across: Number) -> Circle:
    """Set the ticks of a hole round a mark and run the pencil inside the hole."""
    return _hole(bench, centre, across)


def across(bench: Bench, a: Point, b: Point) -> Circle:
    """Take the hole nearest to the distance of two marks, set midway: it misses each by half the difference."""
    return _hole(bench, middle(a, b), distance(bench.number, a, b))


def _hole(bench: Bench, centre: Point, wanted: Number) -> Circle:
    reach = bench.hole(wanted) / 2
    return Circle(bench.placed(centre, CENTRING), reach * reach, reach)


def ticks(bench: Bench, circle: Circle, line: Line) -> tuple[Point, ...]:
    """Mark the four ticks with the template's cross laid along a line: forward, left, back, right."""
    way = line.dx, line.dy
    if bench.number.has_errors:
        askew = bench.error(CROSS)
        way = way[0] - way[1] * askew, way[1] + way[0] * askew
    part = bench.sqrt(circle.square / (way[0] * way[0] + way[1] * way[1]))
    ways = (way, (-way[1], way[0]), (-way[0], -way[1]), (way[1], -way[0]))
    return tuple(along(circle.centre, one, part) for one in ways)


def _in_range(bench: Bench, wanted: Number) -> Sequence[tuple[Number, Limit]]:
    holes = bench.settings.holes
    range_of_holes = limit("template", low=holes[0], high=holes[-1])
    step = holes[-1] - holes[-2]
    return [(bench.rational(holes[-1] + step / 2) - wanted, range_of_holes), (wanted - bench.rational(holes[0] / 2), range_of_holes)]


def about_in_range(bench: Bench, made: Circle, centre: Point, wanted: Number) -> Sequence[tuple[Number, Limit]]:
    """The size that is asked for must be on the template."""
    return _in_range(bench, wanted)


def across_in_range(bench: Bench, made: Circle, a: Point, b: Point) -> Sequence[tuple[Number, Limit]]:
    """The distance of the marks must be on the template."""
    return _in_range(bench, distance(bench.number, a, b))


PHRASES = (
    Phrase("circle by template about <D mark>, <w measure> across", about, "circle",
           note="the hole nearest that size, its ticks set round the mark", extra=(("limits", about_in_range),)),
    Phrase("circle by template across <A mark> <B mark>", across, "circle",
           note="the hole nearest their distance, set midway", extra=(("limits", across_in_range),)),
    Phrase("marks at the ticks of <z circle>, along <k line>", ticks, "mark", many=4,
           note="forward along the line, left, back, right", extra=(("through", False),)),
)  # fmt: skip
