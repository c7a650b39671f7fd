"""Where names and numbers stand on a sheet at true size; they are placed once for the whole drawing, before it is cut into sheets."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from construct.reports import _words as words
from construct.reports._ink import ASCENT, BOLD, DESCENT, FONT, MM, width_mm
from construct.reports._labels import Box, Place, Wish, place
from construct.reports._pen import dotted, inner_places
from construct.reports._shapes import Shapes, Stroke, Tag
from construct.study import Study

STRONG = ("edge", "cut", "groove")
MARK_MM = 0.6
"""Radius of the ring round a mark."""

PLAIN, DOTTED, NUMBER = 8.0, 6.5, 7.0
"""Sizes in points: of names that a person gave, of names made in rounds, of chips' numbers."""

RINGS = (3.2, 6.0, 9.0, 13.0, 18.0, 24.0, 32.0)
SLACK_MM = 1.0
LONGEST = 24
MOST_DOTTED = 150
"""More marks made in rounds than this crowd any plate: only plain names are written then."""


@dataclass(frozen=True, slots=True)
class Written:
    """A name with its place in mm on the wood, and the leader line where it stands away from what it names."""

    text: str
    at: Place
    size: float
    font: str
    leader: tuple[Place, Place] | None


def names(study: Study, shown: Shapes, free: Sequence[Box]) -> tuple[tuple[Written, ...], int]:
    """Return every name that has a place, and how many have none; free: boxes in mm on the wood that no name may cover."""
    rows = list(_wishes(study, shown))
    left, bottom, right, top = shown.frame
    frame = tuple(side * MM for side in (left - SLACK_MM, bottom - SLACK_MM, right + SLACK_MM, top + SLACK_MM))
    strong = [point for stroke in shown.strokes if stroke.kind in STRONG for point in _dots(stroke)]
    light = [point for stroke in shown.strokes if stroke.kind not in STRONG for point in _dots(stroke)]
    radius = (MARK_MM + 0.15) * MM
    taken: list[Box] = [(x * MM - radius, y * MM - radius, x * MM + radius, y * MM + radius) for x, y in (spot.at for spot in shown.spots)]
    taken += [(left * MM, bottom * MM, right * MM, top * MM) for left, bottom, right, top in free]
    written = []
    for put in place([wish for wish, _, _ in rows], frame, strong, light, taken):  # type: ignore[arg-type]
        wish, size, font = rows[put.wish]
        leader = None if put.leader is None else (_mm(put.leader[0]), _mm(put.leader[1]))
        written.append(Written(wish.text, _mm((put.box[0], put.box[1] + DESCENT * size)), size, font, leader))
    return tuple(written), len(rows) - len(written)


def _wishes(study: Study, shown: Shapes) -> Iterator[tuple[Wish, float, str]]:
    """Yield what wants a place, by rank, with its size and font."""
    dotted = [spot for spot in shown.spots if not any(map(words.is_plain, spot.names))]
    for spot in shown.spots:
        plain = [name for name in spot.names if words.is_plain(name)]
        if plain:
            yield _wish(", ".join(plain), PLAIN, BOLD, (spot.at,), RINGS), PLAIN, BOLD
    yield from _chips(study, shown)
    for tag in shown.tags:
        if words.is_plain(tag.name):
            yield _wish(tag.name, PLAIN, FONT, _thinned(tag), (1.6, 3.0, 5.0, 8.0), leads=False), PLAIN, FONT
    for spot in dotted if len(dotted) <= MOST_DOTTED else ():
        yield _wish(", ".join(spot.names), DOTTED, FONT, (spot.at,), RINGS), DOTTED, FONT


def _chips(study: Study, shown: Shapes) -> Iterator[tuple[Wish, float, str]]:
    carving = study.carving
    for chip, region in zip(carving.chips if carving is not None else (), shown.regions, strict=True):
        yield _wish(str(chip.number), NUMBER, FONT, inner_places(region[0]), (0.0, 2.0, 4.0, 9.0), leads=False), NUMBER, FONT


def _thinned(tag: Tag) -> tuple[Place, ...]:
    return tag.anchors[:: max(1, len(tag.anchors) // 16)]


def _wish(text: str, size: float, font: str, anchors: Sequence[Place], rings: tuple[float, ...], *, leads: bool = True) -> Wish:
    text = words.plain(text)
    text = text if len(text) <= LONGEST else f"{text[: LONGEST - 1]}…"
    points = tuple((x * MM, y * MM) for x, y in anchors)
    return Wish(text, width_mm(text, size, font) * MM, (ASCENT + DESCENT) * size, points, rings, leads)


def _mm(at: Place) -> Place:
    return at[0] / MM, at[1] / MM


def _dots(stroke: Stroke) -> list[Place]:
    """Return points along a stroke in points of paper, one apart at most."""
    return dotted([(x * MM, y * MM) for x, y in stroke.run])
