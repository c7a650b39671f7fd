"""An opening: the compass set once and kept, under a name.

One setting, one error, however late and however often it is used.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from construct.geometry import Opening, Point, square_distance
from construct.language.syntax import Phrase
from construct.number_systems import Number
from construct.tools import Bench, Limit, limit

NAME = "opening"
NOTE = "a compass set once and kept"
TO_MARKS = "compass set to two marks"
BY_RULER = "compass set by ruler"
CLASS = "ruler within its class"
ERRORS = (TO_MARKS, BY_RULER, CLASS)


def to_marks(bench: Bench, a: Point, b: Point) -> Opening:
    """Needle in one mark, pencil on the other."""
    return Opening(square_distance(a, bench.placed(b, TO_MARKS)))


def by_ruler(bench: Bench, length: Number) -> Opening:
    """Needle on one graduation, pencil on another."""
    reach = length + bench.error(BY_RULER) + bench.throughout(CLASS) if bench.number.has_errors else length
    return Opening(reach * reach, reach)


def free(bench: Bench, _towards: object = None) -> Opening:
    """Opened to about there: a free choice, and whatever it is, it is kept."""
    reach = bench.free_length()
    return Opening(reach * reach, reach)


def within_reach(bench: Bench, made: Opening, *_: object) -> Sequence[tuple[Number, Limit]]:
    """A compass opens only so far, and not less than nothing."""
    reach = bench.rational(bench.settings.compass_reach)
    limits = [(reach * reach - made.square, limit("compass", reach=bench.settings.compass_reach))]
    if made.radius is not None:
        limits.append((made.radius, limit("opening")))
    return limits


def is_open(bench: Bench, made: Opening, *_: object) -> Sequence[tuple[Number, Limit]]:
    """With both points in one hole a compass swings nothing, and dividers walk nowhere."""
    return [(made.square, limit("opening_nothing"))]


PHRASES = (
    Phrase(
        "opening, from <P mark> to <Q mark>",
        to_marks,
        "opening",
        note="needle in one mark, pencil on the other",
        extra=(("sets", "marks"), ("opens", True), ("limits", within_reach), ("apart", is_open)),
    ),
    Phrase(
        "opening, <w length> by ruler",
        by_ruler,
        "opening",
        note="set on the ruler's graduations",
        extra=(("sets", "ruler"), ("opens", True), ("limits", within_reach), ("apart", is_open)),
    ),
    Phrase(
        "opening, <bound><say>",
        free,
        "opening",
        note="to about there: a free choice, kept once made",
        extra=(("free", "length"), ("default", Fraction(50)), ("opens", True), ("limits", within_reach), ("apart", is_open)),
    ),
)
