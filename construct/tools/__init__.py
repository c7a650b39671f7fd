"""The contract of a bench tool: one file a tool, with its phrases, its construction and its errors.

A tool file holds `NAME`, `NOTE` (what the tool is, one line), `ERRORS` (the
bench errors it makes, by the names of `data/bench.toml`) and `PHRASES`.  Each
phrase's `make(bench, *things)` is a straight-line formula: no comparison, no
branch on a value, no float.  `things` come in the order of the phrase's slots;
the slots "picks" and "bound" are the plan's business and are not passed, a
"say" slot passes the thing that an angle is measured from, or None.

Extras that a phrase may carry:
  free     the kind of free choice it makes: "length", "direction", "part" or "place"
  default  what the picture shows where the recipe says nothing
  fits     (bench, made, *things, side=…) -> numbers that are all > 0 for the side that is meant
  limits   (bench, made, *things) -> pairs (number, limit); a number < 0 is a diagnostic
  apart    the same, but a number that is exactly 0 is the diagnostic
  starts   (bench, *things, side=…) -> the crossing of the last two things that a width is set off from
  through  False where a line does not pass the marks it is made from, or a mark does not lie on the lines
  sets     how a setting is made by this phrase: "marks" or "ruler" (the opening tool only)
  opens    True where the phrase leaves the compass set, so that "same opening" can follow
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from types import ModuleType

from construct.geometry import Edge, Point, direction
from construct.language.syntax import Phrase
from construct.number_systems import Number, NumberSystem, Source
from construct.phrasebook import Length
from construct.registry import plugins


@dataclass(frozen=True, slots=True)
class Limit:
    """What a bench does not allow.

    wording: which wording of R212 (or of R216, for `apart`) says so.  values: what that wording's names stand for.
    """

    wording: str
    values: Mapping[str, object]


def limit(wording: str, /, **values: object) -> Limit:
    """Return a limit by its wording; an exact number in it is a length, told in the reader's unit."""
    return Limit(wording, {name: Length(value) if isinstance(value, Fraction) else value for name, value in values.items()})


@dataclass(frozen=True, slots=True)
class Settings:
    """What is on the bench; lengths exact, in mm.

    graduation: of the ruler.  ruler_length, compass_reach: the longest they take.
    holes: diameters of the circle template, rising.
    finder_angle: of the finder's V, in turns.  finder_offset: how far its blade sits to the left of true.
    pencil: width of a pencil line.
    oval: how much longer the plate is along the grain than across it.
    sources: every bench error by name.
    """

    level: str
    graduation: Fraction
    ruler_length: Fraction
    compass_reach: Fraction
    holes: tuple[Fraction, ...]
    finder_angle: Fraction
    finder_offset: Fraction
    pencil: Fraction
    oval: Fraction
    sources: Mapping[str, Source] = field(default_factory=dict)


JOB = "the ruler"
"""The step that errors are of which one tool makes throughout a job: no step's key has a space in it."""


def length_letter(key: str) -> str:
    """Return what the letter of a free length is called: never as a place's (`P.x`), an angle's (`k.t`) or the plate's own."""
    return f"{key} long" if key == "plate" or key.endswith((".x", ".y", ".t")) else key


class Bench:
    """What a tool's formula sees while one step is replayed: numbers, settings, and this step's errors."""

    __slots__ = ("_drawn", "_key", "edge", "number", "settings")

    def __init__(
        self,
        number: NumberSystem,
        settings: Settings,
        edge: Edge,
        key: object,
        drawn: Fraction | tuple[Fraction, ...] | None = None,
    ) -> None:
        self.number = number
        self.settings = settings
        self.edge = edge
        self._key = key
        self._drawn = drawn

    def rational(self, value: int | Fraction) -> Number:
        """Return `value` as a number of the system at hand."""
        return self.number.rational(value)

    def sqrt(self, value: Number) -> Number:
        """Return the root of a number."""
        return self.number.sqrt(value)

    def error(self, name: str, part: object = "") -> Number:
        """Return this step's error called `name`, in mm (angles: in rad); `part` tells its places apart.

        An error that the bench does not have (its u is nothing) is no input quantity at all.
        """
        source = self.settings.sources[name]
        return self.number.error((self._key, name, part), source) if source.u else self.number.rational(0)

    def throughout(self, name: str) -> Number:
        """Return an error that is one and the same in every step of the job, in mm: that of a tool, not of a movement."""
        source = self.settings.sources[name]
        return self.number.error((JOB, name, ""), source) if source.u else self.number.rational(0)

    def shift(self, name: str, part: object = "") -> tuple[Number, Number]:
        """Return an error that is as likely in every direction, as a pair (dx, dy) in mm.

        A disturbance across a line of unknown direction needs that line's unit normal, hence a
        root; its two components along the axes give the same disturbance without one.
        """
        return self.error(name, (part, "x")), self.error(name, (part, "y"))

    def placed(self, point: Point, name: str, part: object = "") -> Point:
        """Return where a tool really lands that is put to `point` with the error called `name`."""
        if not self.number.has_errors:
            return point
        dx, dy = self.shift(name, part)
        return Point(point.x + dx, point.y + dy)

    def reading(self, value: Number) -> Number:
        """Return `value` as the ruler on the bench reads it, in mm."""
        return self.number.reading(value, self.settings.graduation)

    def hole(self, value: Number) -> Number:
        """Return the nearest hole of the circle template, as a diameter in mm."""
        return self.number.hole(value, self.settings.holes)

    def free_length(self) -> Number:
        """Return this step's free length, in mm (or, for a mark on a line, its free part)."""
        assert isinstance(self._drawn, Fraction)
        return self.number.letter(length_letter(str(self._key)), self._drawn)

    def free_place(self) -> Point:
        """Return this step's free place."""
        assert isinstance(self._drawn, tuple)
        x, y = self._drawn
        return Point(self.number.letter(f"{self._key}.x", x), self.number.letter(f"{self._key}.y", y))

    def free_direction(self) -> tuple[Number, Number]:
        """Return (cos, sin) of this step's free angle.

        A system with letters gets the tangent of half the angle as a letter, counted from the nearest
        quarter turn so that it stays small; it is drawn as a fraction within 10^-12 of the angle's own.
        """
        lettered = getattr(self.number, "has_letters", False)
        if isinstance(self._drawn, Fraction):
            if not lettered:
                return direction(self.number, self._drawn)
            quarters = round(self._drawn * 4)
            part = self._drawn - Fraction(quarters, 4)
            drawn = Fraction(math.tan(float(part) * math.pi)).limit_denominator(10**6)
        else:
            # an angle that no construction gives: a rational point of the unit circle beside it
            assert isinstance(self._drawn, tuple)
            (drawn,), quarters = self._drawn, 0
            if lettered and abs(drawn) > 1:
                drawn, quarters = -1 / drawn, 2
        t = self.number.letter(f"{self._key}.t", drawn)
        c, s = (1 - t * t) / (1 + t * t), t * 2 / (1 + t * t)
        return ((c, s), (-s, c), (-c, -s), (s, -c))[quarters % 4]


def clockwise(way: tuple[Number, Number], angle: tuple[Number, Number]) -> tuple[Number, Number]:
    """Return the direction `way` turned clockwise by an angle given as (cos, sin)."""
    c, s = angle
    return way[0] * c + way[1] * s, way[1] * c - way[0] * s


def tools() -> dict[str, ModuleType]:
    """Return the tool files by name."""
    return plugins(__name__)


def phrases() -> tuple[Phrase, ...]:
    """Return every phrase of every tool, in the tools' order."""
    return tuple(phrase for tool in tools().values() for phrase in tool.PHRASES)


def tool_of(phrase: Phrase) -> str:
    """Return the bench name of the tool that a phrase belongs to."""
    for tool in tools().values():
        if any(phrase is one for one in tool.PHRASES):
            return str(tool.NAME)
    return ""


Make = Callable[..., object]
