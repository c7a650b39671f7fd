"""Which face a recipe means: inside circles, holding a mark, with given corners, on one side of a line; exact.

A face lies inside a circle where all of it does, and outside where it shares no
inner mark with it; a face that the circle runs through is neither.  The same
holds for the sides of a line.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from construct.chips.arrangement import Face
from construct.chips.boxes import arc_box, estimate, shade
from construct.chips.cut_lines import Wrong
from construct.chips.predicates import (
    Box,
    apart,
    in_walks,
    on_walks,
    same,
    true_corners,
    walk_clear_of,
    walk_on_side,
    walk_within,
)
from construct.chips.spots import spot_in, spot_of
from construct.geometry import Circle, Line, Point, left_of, towards
from construct.phrasebook import say
from construct.plan import Argument
from construct.replay import Settled

SIDE = "on the side of"


@dataclass(frozen=True, slots=True)
class _Meant:
    """What the words of a chip fit.

    faces: numbers of the faces.  how: which wording of C420 and C421 speaks of them: "holds", "corners", "between".
    told: what that wording names.  marks: what the words speak of, to show where nothing was found.
    side: the wording's ending where a side of a line is asked for, "" else.
    """

    faces: tuple[int, ...]
    how: str
    told: str
    marks: tuple[Point, ...] = ()
    side: str = ""


def face_meant(settled: Settled, exact: Any, faces: Sequence[Face], words: tuple[str, ...], parts: Sequence[Argument]) -> int:
    """Return the number of the one face that a chip's words mean; `Wrong` where there is none, or two."""
    places = words[:-1] if words[-1] == SIDE else words
    if places[0] == "that holds":
        meant = _holding(settled, exact, faces, parts[0])
    elif places[0] == "with corners":
        meant = _with_corners(settled, exact, faces, parts[0])
    else:
        meant = _between(settled, exact, faces, places, parts)
    if places is not words and meant.faces:
        meant = _on_side(settled, exact, faces, meant, parts[len(places) :])
    if not meant.faces:
        there = tuple(spot_of(exact, settled.plan, mark, "looked_for") for mark in meant.marks)
        raise Wrong(f"C420.{'side_' if meant.side else ''}{meant.how}", *there, told=meant.told, side=meant.side)
    if len(meant.faces) > 1:
        fits = tuple(spot_in(exact, settled.plan, faces[number].walks, "fits") for number in meant.faces)
        raise Wrong(f"C421.{meant.how}", *fits, count=len(meant.faces), told=meant.told, side=meant.side)
    return meant.faces[0]


def _name(settled: Settled, index: int) -> str:
    return settled.plan.things[index].name


def _names(settled: Settled, part: Argument, between: str) -> str:
    return between.join(f"`{_name(settled, index)}`" for index in _list(part))


def _mark(settled: Settled, index: Argument) -> Point:
    assert isinstance(index, int)
    mark = settled.values[index]
    if not isinstance(mark, Point):
        raise Wrong("C425.mark", name=_name(settled, index))
    return mark


def _list(part: Argument) -> tuple[int, ...]:
    return part if isinstance(part, tuple) else (part,)  # type: ignore[return-value]


def _holding(settled: Settled, exact: Any, faces: Sequence[Face], index: Argument) -> _Meant:
    mark = _mark(settled, index)
    name = _names(settled, index, "")
    spot = _box_of(exact, mark)
    near = [number for number, face in enumerate(faces) if not apart(face.box, spot)]
    for number in near:
        if on_walks(exact, faces[number].walks, mark):
            there = (spot_of(exact, settled.plan, mark, "on_an_edge"),)
            raise Wrong("C422", *there, name=name)
    found = tuple(number for number in near if in_walks(exact, faces[number].walks, mark))
    return _Meant(found, "holds", name, (mark,))


def _with_corners(settled: Settled, exact: Any, faces: Sequence[Face], part: Argument) -> _Meant:
    """A face fits where every mark named is on its boundary as an end of edges, and every true corner is named."""
    marks = {index: _mark(settled, index) for index in _list(part)}
    spots = {index: _box_of(exact, mark) for index, mark in marks.items()}
    found = []
    for number, face in enumerate(faces):
        if any(apart(face.box, spot) for spot in spots.values()):
            continue
        vertices = [edge.start for walk in face.walks for edge in walk]
        if not all(any(same(exact, mark, vertex) for vertex in vertices) for mark in marks.values()):
            continue
        corners = true_corners(exact, face.outline)
        if all(any(same(exact, mark, corner) for mark in marks.values()) for corner in corners):
            found.append(number)
    names = _names(settled, part, ", ")
    return _Meant(tuple(found), "corners", names, tuple(marks.values()))


def _between(settled: Settled, exact: Any, faces: Sequence[Face], words: tuple[str, ...], parts: Sequence[Argument]) -> _Meant:
    rings: dict[str, list[Circle]] = {"inside": [], "outside": []}
    for word, part in zip(words, parts, strict=False):  # a side of a line may follow
        for index in _list(part):
            thing = settled.values[index]
            if not isinstance(thing, Circle):
                raise Wrong("C425.circle", name=_name(settled, index))
            rings[word].append(thing)
    boxes = [arc_box(exact, circle, None, None) for circle in rings["inside"]]
    found = [
        number
        for number, face in enumerate(faces)
        if all(_encloses(box, face.box) for box in boxes)
        and all(walk_within(exact, face.outline, circle) for circle in rings["inside"])
        and all(_is_outside(exact, face, circle) for circle in rings["outside"])
    ]
    both = f" {say('list.and')} "
    told = ", ".join(say(f"chips.place.{word}", names=_names(settled, part, both)) for word, part in zip(words, parts, strict=False))
    return _Meant(tuple(found), "between", told, tuple(circle.centre for circle in rings["inside"]))


def _on_side(settled: Settled, exact: Any, faces: Sequence[Face], meant: _Meant, parts: Sequence[Argument]) -> _Meant:
    """Keep the faces that lie on a mark's side of a line, or of the line through two marks."""
    mark = _mark(settled, parts[0])
    names = " ".join(_names(settled, part, "") for part in parts[1:])
    if len(parts) == 2:
        line = settled.values[parts[1]]  # type: ignore[index]
        if not isinstance(line, Line):
            raise Wrong("C425.line", names=names)
    else:
        a, b = (_mark(settled, part) for part in parts[1:])
        if same(exact, a, b):
            raise Wrong("C425.one_mark", names=names)
        line = Line(a.x, a.y, *towards(a, b))
    sign = exact.sign(left_of(mark, line))
    if sign == 0:
        there = (spot_of(exact, settled.plan, mark, "on_the_line"),)
        raise Wrong("C425.no_side", *there, mark=_names(settled, parts[0], ""), names=names)
    kept = tuple(number for number in meant.faces if all(walk_on_side(exact, walk, line, sign) for walk in faces[number].walks))
    return replace(meant, faces=kept, side=say("chips.place.side", mark=_names(settled, parts[0], ""), line=names))


def _encloses(outer: Box, inner: Box) -> bool:
    """Tell whether a face's box leaves it open that the face lies in a circle's box; both are a shade too wide."""
    extra = 4 * shade(max(map(abs, inner)))
    low = inner[0] + extra >= outer[0] and inner[1] + extra >= outer[1]
    return low and inner[2] - extra <= outer[2] and inner[3] - extra <= outer[3]


def _is_outside(exact: Any, face: Face, circle: Circle) -> bool:
    if not all(walk_clear_of(exact, walk, circle) for walk in face.walks):
        return False
    # no edge enters the disc: it lies in the face as a whole, or not at all
    return not in_walks(exact, face.walks, circle.centre)


def _box_of(exact: Any, point: Point) -> Box:
    x, y = estimate(exact, point)
    extra = shade(abs(x) + abs(y))
    return x - extra, y - extra, x + extra, y + extra
