"""A lesson's pictures in words, for those who do not see them: what is new, where it lies, how much is there already."""

from __future__ import annotations

import math
from collections.abc import Sequence

from construct.phrasebook import say
from construct.reports import _words as words
from construct.reports._lesson_steps import LessonStep
from construct.reports._pen import Place, Run
from construct.reports._shapes import Shapes
from construct.study import Study

MOST_DESCRIBED = 14


def step_words(study: Study, shapes: Shapes, steps: Sequence[LessonStep], at: int) -> str:
    """Return a step's picture in words."""
    step = steps[at]
    new = _carved(study) if step.carves else _new(study, shapes, step)
    said = say("lesson.picture.new", things=words.listed(new)) if new else say("lesson.picture.new_none")
    return " ".join([_blank(study), said, *_counts(study, steps[:at], "before")])


def finished_words(study: Study, steps: Sequence[LessonStep]) -> str:
    """Return the finished layout in words."""
    carved = _carved(study)
    said = [say("lesson.picture.cut", things=words.listed(carved))] if carved else []
    return " ".join([_blank(study), *_counts(study, steps, "drawn"), *said])


def _blank(study: Study) -> str:
    return say(f"lesson.picture.blank_{study.plan.blank.form}")


def _counts(study: Study, steps: Sequence[LessonStep], key: str) -> list[str]:
    things = [study.plan.things[index] for step in steps for index in step.things]
    marks = sum(thing.kind == "mark" for thing in things)
    if not things:
        return []
    lines = say("lesson.picture.lines", count=len(things) - marks)
    return [say(f"lesson.picture.{key}", lines=lines, marks=say("lesson.picture.marks", count=marks))]


def _new(study: Study, shapes: Shapes, step: LessonStep) -> list[str]:
    said = [_thing(study, shapes, index) for index in step.named[:MOST_DESCRIBED]]
    more = len(step.things) - len(said)
    return [*said, say("lesson.picture.more", count=more)] if more else said


def _thing(study: Study, shapes: Shapes, index: int) -> str:
    name = words.plain(study.plan.things[index].name)
    kind = study.plan.things[index].kind
    if kind == "mark":
        spot = next(spot for spot in shapes.spots if index in spot.of)
        return say("lesson.picture.mark", name=name, place=_where(shapes, spot.at))
    mine = [stroke for stroke in shapes.strokes if stroke.of == index and stroke.kind not in ("cut", "groove")]
    if mine and mine[0].kind in ("line", "finder"):
        return say(f"lesson.picture.{_slope(mine[0].run)}", name=name)
    if mine and mine[0].kind == "circle" and mine[0].sweep is not None:
        percent = round(100 * 2 * mine[0].sweep.reach / (shapes.frame[2] - shapes.frame[0]))
        return say("lesson.picture.circle", name=name, percent=percent)
    return say("lesson.picture.curve" if kind == "curve" else "lesson.picture.arc", name=name)


def _where(shapes: Shapes, at: Place) -> str:
    """Return where a mark lies as on a clock face: its hour, and how far out."""
    left, bottom, right, top = shapes.frame
    x, y = (at[0] - (left + right) / 2) / (right - left) * 2, (at[1] - (bottom + top) / 2) / (top - bottom) * 2
    hour = round(math.atan2(x, y) / math.tau * 12) % 12 or 12
    out = math.hypot(x, y)
    if out < 0.02:
        return say("lesson.picture.middle")
    far = "inner" if out < 0.35 else "half" if out < 0.7 else "outer"
    return say(f"lesson.picture.{far}", hour=hour)


def _slope(run: Run) -> str:
    """Return how a line runs, to the eye: within three degrees it is upright or level."""
    (ax, ay), (bx, by) = run[0], run[-1]
    angle = math.degrees(math.atan2(by - ay, bx - ax)) % 180
    if min(angle, 180 - angle) < 3:
        return "level"
    return "up" if abs(angle - 90) < 3 else "rising" if angle < 90 else "falling"


def _carved(study: Study) -> list[str]:
    carving = study.carving
    if carving is None:
        return []
    said = [say("lesson.picture.cuts", count=len(carving.pieces))] if carving.pieces else []
    said += [say("lesson.picture.grooves", count=len(carving.grooves))] if carving.grooves else []
    return [*said, say("lesson.picture.chips", count=len(carving.chips))] if carving.chips else said
