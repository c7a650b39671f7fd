"""Chips: the closed regions that the knife's cuts bound, as frozen records; their contract.

`subdivision.carve` makes a `Carving` out of a settled recipe with exact
decisions alone; `measures` and `isometry` read it, and so may later files
(widest place, depth, advice, cutting plan).  Nothing is computed here.

Lengths are in mm; numbers are values of the exact system unless said otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from construct.diagnostics import Diagnostic, Mistakes
from construct.geometry import Circle, Curve, Line, Point


class BeyondReach(Mistakes):
    """The chips are too deep to work out exactly: nobody's mistake, and all else may still be known."""


@dataclass(frozen=True, slots=True)
class Piece:
    """What one cut follows, from end to end.

    thing: the drawn thing's index in the plan.  line: the cut line's index in `plan.carving`.
    geometry: the thing it is a part of: straight for a `Line`, round for a `Circle`, else a `Curve`.
    start, finish: exact end points; a round piece runs counterclockwise from `start` to `finish`,
        and has None for both where it is the whole circle.
    """

    thing: int
    line: int
    geometry: Line | Circle | Curve
    start: Point | None
    finish: Point | None


@dataclass(frozen=True, slots=True)
class ChipEdge:
    """A directed piece of a boundary; the region lies to its left.

    circle: what it is an arc of, None where it is straight.
    sense: +1 counterclockwise about the circle's centre, -1 clockwise, 0 where straight.
    piece: index of the piece it is a part of.  thing: the drawn thing's index in the plan.
    curved: True for a chord that stands in for a part of a french curve.
    """

    start: Point
    finish: Point
    circle: Circle | None
    sense: int
    piece: int
    thing: int
    curved: bool = False

    @property
    def whole(self) -> bool:
        """True for a whole circle: it ends where it starts."""
        return self.start is self.finish


Outline = tuple[ChipEdge, ...]
"""A closed walk of edges, each starting where the one before ends."""


@dataclass(frozen=True, slots=True)
class Chip:
    """A closed region of the wood.

    name: as the recipe calls it, "" where it does not.
    number: from 1 on, counted clockwise from the way the grain points, then outwards; 0 for a region that is left.
    outline: counterclockwise, one walk; it may come to one mark twice.
    holes: clockwise walks round what is cut out of its inside.
    thing: index of its name among the plan's things, None where it has none.
    """

    name: str
    number: int
    outline: Outline
    holes: tuple[Outline, ...] = ()
    thing: int | None = None

    @property
    def walks(self) -> tuple[Outline, ...]:
        """The outline and the holes."""
        return (self.outline, *self.holes)


@dataclass(frozen=True, slots=True)
class Groove:
    """A line that is cut by itself and is no edge of a chip; `width_mm` is None where it is not said."""

    piece: Piece
    width_mm: Fraction | None


@dataclass(frozen=True, slots=True)
class KnifeAngle:
    """The knife's angle as a part of a full turn: for cuts along `thing`, or for all others where it is None.

    others_upright: the other walls of a chip with a cut along `thing` stand upright, as in the straight-walled school.
    """

    turns: Fraction
    thing: int | None = None
    others_upright: bool = False


@dataclass(frozen=True, slots=True)
class Carving:
    """What the `carve` part of a recipe comes to.

    knife: the angles said; the one without a thing comes first.  Empty where the recipe says none.
    land_mm: the least land wanted between chips.  deepest_mm: how deep a chip may go.  None where not said.
    stand: where the knife stands: "on" the line, "inside" the chip, or "outside".
    pieces: all cut pieces.  grooves: lines that are cut by themselves.
    chips: the regions to be carved, by number.  left: the closed regions that are left standing.
    warnings: diagnostics that the recipe survives.
    """

    knife: tuple[KnifeAngle, ...]
    land_mm: Fraction | None
    deepest_mm: Fraction | None
    stand: str
    pieces: tuple[Piece, ...]
    grooves: tuple[Groove, ...]
    chips: tuple[Chip, ...]
    left: tuple[Chip, ...]
    warnings: tuple[Diagnostic, ...] = ()

    def chip(self, thing: int) -> Chip:
        """Return the chip whose name is the plan's thing `thing`; `KeyError` if there is none."""
        for chip in self.chips:
            if chip.thing == thing:
                return chip
        raise KeyError(thing)
