"""The `carve` part of a settled recipe → its chips, every decision exact.

Mistakes in it become diagnostics (codes C4…), all of them at once: first those
of single cut lines, then cuts that lie on each other or close nothing, then
names that fit no chip or two.
"""

from __future__ import annotations

import math
from contextlib import suppress
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from construct.chips import BeyondReach, Carving, Chip, Groove, KnifeAngle, Piece
from construct.chips.arrangement import Arrangement, Face, arrange
from construct.chips.boxes import estimate
from construct.chips.cut_lines import Wrong, pieces_of
from construct.chips.naming import face_meant
from construct.chips.on_the_wood import leaves
from construct.chips.spots import spot_along, spot_at, spot_of_end, spot_shared
from construct.diagnostics import Diagnostic, Mistakes, Span, Spot
from construct.number_systems import LimitMet
from construct.phrasebook import say
from construct.plan import EDGE, PlannedCarving, PlannedLength
from construct.replay import Settled


def carve(settled: Settled, exact: Any) -> Carving | None:
    """Return the chips of a settled recipe; None where it has no `carve` part.

    exact: the exact system that it was settled in.  Raises `Mistakes`.
    """
    if not settled.plan.carving:
        return None
    return _Carver(settled, exact).carve()


def carve_so_far(settled: Settled, exact: Any) -> Carving | None:
    """Return what stands of a `carve` part with mistakes in it: cuts, grooves, and regions without names; None without one.

    For the picture that shows where the mistakes are.
    """
    if not settled.plan.carving:
        return None
    carver = _Carver(settled, exact)
    with suppress(Mistakes):
        return carver.carve()
    return carver.so_far()


@dataclass(slots=True)
class _Wishes:
    """What the lines other than cuts and names say."""

    knife: list[KnifeAngle] = field(default_factory=list)
    land_mm: Fraction | None = None
    deepest_mm: Fraction | None = None
    stand: str | None = None


_TOO_DEEP = "C440"


class _Carver:
    def __init__(self, settled: Settled, exact: Any) -> None:
        self.settled = settled
        self.exact = exact
        self.plan = settled.plan
        self.lines = settled.plan.carving
        self.pieces: list[Piece] = []
        self.grooves: list[Groove] = []
        self.faces: tuple[Face, ...] = ()
        self.wrongs: list[tuple[PlannedCarving, Wrong]] = []
        self.warnings: list[tuple[PlannedCarving, Wrong]] = []

    def carve(self) -> Carving:
        wishes = _Wishes()
        pieces, grooves = self.pieces, self.grooves
        for number, line in enumerate(self.lines):
            try:
                if line.how == "cut":
                    pieces += self._on_the_wood(pieces_of(self.settled, self.exact, number))
                elif line.how == "groove":
                    width = self._width(line)
                    grooves += [Groove(piece, width) for piece in self._on_the_wood(pieces_of(self.settled, self.exact, number))]
                elif line.how not in ("chip", "leave"):
                    self._wish(line, wishes)
            except Wrong as wrong:
                self._note(line, wrong)
            except LimitMet as limit:
                self._note(line, _too_deep(limit))
        self._stop_if_wrong()
        try:
            arrangement = arrange(self.exact, pieces)
        except LimitMet as limit:
            self._note(next(line for line in self.lines if line.how == "cut"), _too_deep(limit))
            self._stop_if_wrong()
            raise
        self.faces = arrangement.faces
        self._judge(arrangement)
        self._stop_if_wrong()
        self._judge_knives(pieces)
        named, left = self._named(arrangement.faces)
        self._stop_if_wrong()
        chips = self._numbered(arrangement.faces, named, left)
        stays = tuple(Chip("", 0, arrangement.faces[one].outline, arrangement.faces[one].holes) for one in left)
        wishes.knife.sort(key=lambda angle: angle.thing is not None)
        return Carving(
            knife=tuple(wishes.knife),
            land_mm=wishes.land_mm,
            deepest_mm=wishes.deepest_mm,
            stand=wishes.stand or "on",
            pieces=tuple(pieces),
            grooves=tuple(grooves),
            chips=chips,
            left=stays,
            warnings=self._told(self.warnings, warning=True),
        )

    def so_far(self) -> Carving:
        """Return what was found before the mistakes stopped it."""
        regions = tuple(Chip("", number, face.outline, face.holes) for number, face in enumerate(self.faces, start=1))
        return Carving((), None, None, "on", tuple(self.pieces), tuple(self.grooves), regions, ())

    # --- mistakes ------------------------------------------------------------------------------

    def _note(self, line: PlannedCarving, wrong: Wrong) -> None:
        self.wrongs.append((line, wrong))

    def _stop_if_wrong(self) -> None:
        if self.wrongs:
            only_deep = all(wrong.code == _TOO_DEEP for _, wrong in self.wrongs)
            raise (BeyondReach if only_deep else Mistakes)(self._told(self.wrongs))

    def _told(self, noted: list[tuple[PlannedCarving, Wrong]], *, warning: bool = False) -> tuple[Diagnostic, ...]:
        """Return mistakes as diagnostics: the same one in several turns of a round is one, with all its spots."""
        alike: dict[tuple[str, Span], list[tuple[PlannedCarving, Wrong]]] = {}
        for line, wrong in noted:
            alike.setdefault((wrong.code, line.span), []).append((line, wrong))
        lines = self.plan.lines
        found = []
        for (code, span), same_ones in alike.items():
            first = same_ones[0][1]
            turns = len({id(line) for line, _ in same_ones})
            message = first.message if turns == 1 else say("where.turns", message=first.message, count=turns - 1)
            text = lines[span.line - 1] if 0 < span.line <= len(lines) else ""
            spots = tuple(spot for _, wrong in same_ones for spot in wrong.spots)
            found.append(Diagnostic(code, message, first.hint, span, text, warning, spots))
        return tuple(found)

    # --- wishes --------------------------------------------------------------------------------

    def _width(self, line: PlannedCarving) -> Fraction | None:
        width = line.arguments[-1] if "wide" in line.words else None
        if width is None:
            return None
        return _some_mm(width, "groove")

    def _wish(self, line: PlannedCarving, wishes: _Wishes) -> None:
        twice = Wrong("C431")
        if line.how == "knife":
            upright = "upright" in line.words
            things = [line.arguments[1]] if upright else [None, line.arguments[2]] if len(line.arguments) > 2 else [None]
            for turns, thing in zip((one for one in line.arguments if isinstance(one, Fraction)), things, strict=True):
                if not 0 < turns < Fraction(1, 4):
                    raise Wrong("C430")
                angle = KnifeAngle(turns, thing, upright)  # type: ignore[arg-type]
                said = [one for one in wishes.knife if one.thing == thing]
                if said and said[0] != angle:
                    raise twice
                if not said:
                    wishes.knife.append(angle)
        elif line.how == "stand":
            if wishes.stand not in (None, line.words[0]):
                raise twice
            wishes.stand = line.words[0]
        elif line.how == "deepest":
            depth = _some_mm(line.arguments[0], "deepest")
            if wishes.deepest_mm not in (None, depth):
                raise twice
            wishes.deepest_mm = depth
        elif line.how == "land":
            width = _some_mm(line.arguments[0], "land")
            if wishes.land_mm not in (None, width):
                raise twice
            wishes.land_mm = width

    # --- cuts ----------------------------------------------------------------------------------

    def _on_the_wood(self, pieces: list[Piece]) -> list[Piece]:
        """Return the pieces; `Wrong` where one leaves the wood."""
        for piece in pieces:
            off = leaves(self.exact, self.settled.values[EDGE], piece)
            if off is None:
                continue
            name = self.plan.things[piece.thing].name
            spots = (spot_at(self.plan, off, "off_the_wood"),)
            raise Wrong("C413", *spots, name=name)
        return pieces

    def _judge(self, arrangement: Arrangement) -> None:
        pieces = self.pieces
        for first, second in arrangement.overlaps:
            one, two = pieces[first], pieces[second]
            other = self.lines[one.line]
            key = "C410" if one.line == two.line else "C410.elsewhere"
            spots = (spot_shared(self.exact, self.plan, one, two, "lie_on_each_other"),)
            self._note(self.lines[two.line], Wrong(key, *spots, text=other.text.strip(), line=other.span.line))
        for number, piece in enumerate(pieces if not arrangement.overlaps else ()):
            name = self.plan.things[piece.thing].name
            line = self.lines[piece.line]
            if not arrangement.uses[number]:
                self._note(line, Wrong("C411", *self._loose(arrangement, number), name=name))
            elif arrangement.idle[number]:
                beyond = Wrong("C412", *self._loose(arrangement, number), name=name)
                self.warnings.append((line, beyond))

    def _loose(self, arrangement: Arrangement, number: int) -> tuple[Spot, ...]:
        """Return the ends of a cut that meet nothing, each with the nearest other cut; the middle of a cut without such ends."""
        piece = self.pieces[number]
        ends = [mark for at, mark in arrangement.loose if at == number]
        if not ends:
            return (spot_along(self.exact, self.plan, piece, "closes_nothing"),)
        others = [other for at, other in enumerate(self.pieces) if at != number]
        return tuple(spot_of_end(self.exact, self.plan, mark, others) for mark in ends)

    def _judge_knives(self, pieces: list[Piece]) -> None:
        """Warn of an angle for a line that no cut follows."""
        cut = {piece.thing for piece in pieces}
        for line in self.lines:
            thing = line.arguments[-1] if line.how == "knife" else None
            if isinstance(thing, int) and thing not in cut:
                name = self.settled.plan.things[thing].name
                wrong = Wrong("C434", name=name)
                self.warnings.append((line, wrong))

    # --- names ---------------------------------------------------------------------------------

    def _named(self, faces: tuple[Face, ...]) -> tuple[dict[int, tuple[str, int]], list[int]]:
        """Return the names by face, and the faces that are left."""
        named: dict[int, tuple[str, int]] = {}
        left: list[int] = []
        for line in self.lines:
            if line.how not in ("chip", "leave"):
                continue
            parts = line.arguments[1:] if line.how == "chip" else line.arguments
            try:
                face = face_meant(self.settled, self.exact, faces, line.words, parts)
                if line.how == "leave":
                    if face in named:
                        raise Wrong("C424.named", name=named[face][0])
                    if face not in left:
                        left.append(face)
                    continue
                if face in named:
                    raise Wrong("C423", name=named[face][0])
                if face in left:
                    raise Wrong("C424.left")
                assert isinstance(line.arguments[0], int)
                named[face] = line.name, line.arguments[0]
            except Wrong as wrong:
                self._note(line, wrong)
            except LimitMet as limit:
                self._note(line, _too_deep(limit))
        return named, left

    def _numbered(self, faces: tuple[Face, ...], named: dict[int, tuple[str, int]], left: list[int]) -> tuple[Chip, ...]:
        """Return the chips in the order of a clock with its 12 where the grain points, then outwards; floats only set the order."""
        carved = [number for number in range(len(faces)) if number not in left]
        spots = {number: _middle(self.exact, faces[number]) for number in carved}
        x = y = 0.0
        if self.plan.blank.form == "paper" and spots:
            x, y = (sum(spot[i] for spot in spots.values()) / len(spots) for i in (0, 1))

        def place(number: int) -> tuple[float, float]:
            dx, dy = spots[number][0] - x, spots[number][1] - y
            out = math.hypot(dx, dy)
            angle = math.atan2(dx, dy) % math.tau if out > 1e-6 else 0.0
            return (round(angle, 6) if angle < math.tau - 1e-6 else 0.0), round(out, 6)

        chips = []
        for count, number in enumerate(sorted(carved, key=place), start=1):
            name, thing = named.get(number, ("", None))
            chips.append(Chip(name, count, faces[number].outline, faces[number].holes, thing))
        return tuple(chips)


def _middle(exact: Any, face: Face) -> tuple[float, float]:
    """Return about where a face is: the mean of its corners (*estimate*)."""
    marks = [estimate(exact, edge.start) for edge in face.outline]
    if len(marks) == 1:
        return (face.box[0] + face.box[2]) / 2, (face.box[1] + face.box[3]) / 2
    return sum(x for x, _ in marks) / len(marks), sum(y for _, y in marks) / len(marks)


def _some_mm(length: Any, what: str) -> Fraction:
    assert isinstance(length, PlannedLength)
    if length.value <= 0:
        raise Wrong(f"C432.{what}")
    return length.value


def _too_deep(limit: LimitMet) -> Wrong:
    return Wrong(_TOO_DEEP, reason=limit.reason)
