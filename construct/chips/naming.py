"""Which face a recipe means: inside circles, holding a mark, with given corners; exact.

A face lies inside a circle where all of it does, and outside where it shares no
inner mark with it; a face that the circle runs through is neither.
"""

from __future__ import annotations

from collections.abc import Sequence
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
    walk_within,
)
from construct.geometry import Circle, Point
from construct.plan import Argument
from construct.replay import Settled


def face_meant(settled: Settled, exact: Any, faces: Sequence[Face], words: tuple[str, ...], parts: Sequence[Argument]) -> int:
    """Return the number of the one face that a chip's words mean; `Wrong` where there is none, or two."""
    if words[0] == "that holds":
        return _holding(settled, exact, faces, parts[0])
    if words[0] == "with corners":
        return _with_corners(settled, exact, faces, parts[0])
    return _between(settled, exact, faces, words, parts)


def _name(settled: Settled, index: int) -> str:
    return settled.plan.things[index].name


def _names(settled: Settled, part: Argument, between: str) -> str:
    return between.join(f"`{_name(settled, index)}`" for index in _list(part))


def _mark(settled: Settled, index: Argument) -> Point:
    assert isinstance(index, int)
    mark = settled.values[index]
    if not isinstance(mark, Point):
        raise Wrong("C425", f"`{_name(settled, index)}` is no mark", "a chip is told by a mark in it, by its corners, or by circles")
    return mark


def _list(part: Argument) -> tuple[int, ...]:
    return part if isinstance(part, tuple) else (part,)  # type: ignore[return-value]


def _holding(settled: Settled, exact: Any, faces: Sequence[Face], index: Argument) -> int:
    mark = _mark(settled, index)
    name = _name(settled, index)  # type: ignore[arg-type]
    spot = _spot(exact, mark)
    near = [number for number, face in enumerate(faces) if not apart(face.box, spot)]
    for number in near:
        if on_walks(exact, faces[number].walks, mark):
            raise Wrong("C422", f"the mark `{name}` lies on the edge of a chip, not in one", "name a mark inside it, or its corners")
    for number in near:
        if in_walks(exact, faces[number].walks, mark):
            return number
    raise Wrong("C420", f"no cuts go round the mark `{name}`", "is a cut missing, or does one end too early?")


def _with_corners(settled: Settled, exact: Any, faces: Sequence[Face], part: Argument) -> int:
    """A face fits where every mark named is on its boundary as an end of edges, and every true corner is named."""
    marks = {index: _mark(settled, index) for index in _list(part)}
    spots = {index: _spot(exact, mark) for index, mark in marks.items()}
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
    if not found:
        raise Wrong("C420", f"no chip has the corners {names}", "every corner must be named, and each must be one")
    if len(found) > 1:
        raise Wrong("C421", f"{len(found)} chips have the corners {names}", "say it by a mark in it, or by circles")
    return found[0]


def _between(settled: Settled, exact: Any, faces: Sequence[Face], words: tuple[str, ...], parts: Sequence[Argument]) -> int:
    rings: dict[str, list[Circle]] = {"inside": [], "outside": []}
    for word, part in zip(words, parts, strict=True):
        for index in _list(part):
            thing = settled.values[index]
            if not isinstance(thing, Circle):
                hint = "say it by a mark in it, or by its corners"
                raise Wrong("C425", f"`{_name(settled, index)}` is no circle: it has no inside", hint)
            rings[word].append(thing)
    boxes = [arc_box(exact, circle, None, None) for circle in rings["inside"]]
    found = [
        number
        for number, face in enumerate(faces)
        if all(_encloses(box, face.box) for box in boxes)
        and all(walk_within(exact, face.outline, circle) for circle in rings["inside"])
        and all(_is_outside(exact, face, circle) for circle in rings["outside"])
    ]
    told = ", ".join(f"{word} {_names(settled, part, ' and ')}" for word, part in zip(words, parts, strict=True))
    if not found:
        raise Wrong("C420", f"no chip lies {told}", "is a cut missing, or does one end too early?")
    if len(found) > 1:
        raise Wrong("C421", f"{len(found)} chips lie {told}", "add `outside` another circle, or say it by a mark in it")
    return found[0]


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


def _spot(exact: Any, point: Point) -> Box:
    x, y = estimate(exact, point)
    extra = shade(abs(x) + abs(y))
    return x - extra, y - extra, x + extra, y + extra
