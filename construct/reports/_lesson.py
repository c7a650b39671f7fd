"""A lesson: one HTML file that works without a network, walks step by step, and prints as a handout.

The page's policy lets nothing load and no script run but the one written here,
known by its hash; the template engine escapes whatever comes from a recipe.
Without a script every step is simply shown.
"""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any

from jinja2 import Environment, StrictUndefined
from markupsafe import Markup, escape

from construct import __version__
from construct.phrasebook import ENGLISH, language, say, sentences
from construct.reports import View
from construct.reports import _bench_needs as needs
from construct.reports import _words as words
from construct.reports._lesson_picture import pictures
from construct.reports._lesson_steps import Check, LessonStep, lesson_steps
from construct.study import Study

if TYPE_CHECKING:
    from construct.proofs.why import Reason, Why

SUFFIXES = (".html",)
GENERATOR = "construct lesson"
"""How a page of ours is known again: another file is never written over."""


@dataclass(frozen=True, slots=True)
class ShownAct:
    """An action as the page shows it: `Act`'s words, and what the walk says of it."""

    number: int
    bench: str
    hand: str
    more: str
    setting: str
    cautions: tuple[str, ...]
    progress: str
    said: str


@dataclass(frozen=True, slots=True)
class ShownReason:
    """One step of a why: its sentence, what it rests on, what it reads off the drawing."""

    sentence: str
    rests: str
    seen: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ShownCheck:
    """A claim as the page shows it. reasons: the why, step by step; without: why there is none; both empty where nobody asked."""

    claim: str
    how: str
    verdict: str
    sign: str
    said: str
    reasons: tuple[ShownReason, ...]
    without: str


@dataclass(frozen=True, slots=True)
class ShownStep:
    """A step as the page shows it."""

    number: int
    title: str
    head: str
    progress: str
    acts: tuple[ShownAct, ...]
    checks: tuple[ShownCheck, ...]
    far: tuple[str, ...]
    cautions: tuple[str, ...]
    carves: bool


@dataclass(frozen=True, slots=True)
class Lesson:
    """All that the page says, but for the pictures. needs: what to lay ready, each with its term. outcome: how the claims fare."""

    title: str
    blank: str
    way: str
    steps: tuple[ShownStep, ...]
    needs: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]
    legend: str
    outcome: tuple[str, ...]
    judgement: bool
    carved: bool
    has_why: bool
    made_by: str


def page(study: Study, view: View, whys: Sequence[Why] = ()) -> bytes:
    """Return the lesson as an HTML file; whys: one for each verdict, or none at all."""
    steps = lesson_steps(study, view.units, whys)
    style, script = _shipped("page.css"), _shipped("page.js")
    text = _template().render(
        words=_page_words(),
        language=language(),
        lesson=_lesson(study, view, steps),
        pictures=pictures(study, steps),
        policy=_policy(style, script),
        generator=f"{GENERATOR} {__version__}",
        style=Markup(style),  # ours, and no recipe's word is in it
        script=Markup(script),
    )
    return text.encode()


def told(study: Study, view: View, file: Path) -> str:
    """Return what was written, in a sentence."""
    steps = lesson_steps(study, view.units)
    actions = say("lesson.actions", count=sum(len(step.acts) for step in steps))
    said = say("lesson.written", file=words.plain(str(file)), steps=say("lesson.steps", count=len(steps)), actions=actions)
    return "".join(f"{line}\n" for line in words.wrapped(said))


# --- what is said -------------------------------------------------------------------------------


def _lesson(study: Study, view: View, steps: Sequence[LessonStep]) -> Lesson:
    plan = study.plan
    others = words.listed(f"`{words.plain(way)}`" for way in plan.ways if way != study.way)
    return Lesson(
        title=words.plain(plan.title) or say("lesson.untitled"),
        blank=say("lesson.begin.plain", said=words.blank(plan, view.units)),
        way=say("lesson.way", way=study.way, others=others) if others else "",
        steps=tuple(_step(step, len(steps)) for step in steps),
        needs=tuple(_needs(study, view)),
        cautions=words.cautions(),
        legend=" ".join([say("lesson.legend.lines"), *([say("lesson.legend.cuts")] if plan.carving else [])]),
        outcome=_outcome(study),
        judgement=study.errors is not None,
        carved=bool(plan.carving),
        has_why=any(check.why is not None and check.why.steps for step in steps for check in step.checks),
        made_by=say("lesson.made_by", version=__version__),
    )


def _step(step: LessonStep, count: int) -> ShownStep:
    head = say("lesson.head", number=step.number, count=count, title=words.plain(step.title))
    acts = tuple(
        ShownAct(
            act.number, words.plain(act.bench), act.hand, act.more, act.setting, act.cautions,
            say("lesson.progress_act", number=step.number, count=count, act=act.number, acts=len(step.acts)),
            _spoken(" ".join(part for part in (head + "." if act.number == 1 else "", act.hand, act.more, act.setting) if part)),
        )
        for act in step.acts
    )  # fmt: skip
    cautions = (say("lesson.caution.knife"),) if step.carves else ()
    progress = say("lesson.progress", number=step.number, count=count)
    checks = tuple(map(_check, step.checks))
    return ShownStep(step.number, words.plain(step.title), head, progress, acts, checks, step.far, cautions, step.carves)


def _check(check: Check) -> ShownCheck:
    why = check.why
    return ShownCheck(
        words.plain(check.claim), check.how, check.verdict, say(f"lesson.sign.{check.verdict}"), words.plain(check.said),
        tuple(map(_reason, why.steps)) if why is not None else (), why.missing if why is not None else "",
    )  # fmt: skip


def _reason(reason: Reason) -> ShownReason:
    steps = words.listed(map(str, reason.uses))
    key = "rests" if reason.proposition and steps else "steps" if steps else "proposition"
    rests = say(f"lesson.why.{key}", proposition=reason.proposition, steps=steps)
    return ShownReason(words.plain(reason.sentence), rests, tuple(map(words.plain, reason.seen)))


def _needs(study: Study, view: View) -> list[tuple[str, str]]:
    """Return what to lay ready: wood in both units, tools, compasses, the ruler, and whose hand the figures are for."""
    plan = study.plan
    said = words.blank(plan, view.units)
    size = plan.blank.width
    wood = say("lesson.begin.plain", said=said)
    if size is not None and words.length(size.mm, view.units) == size.text:  # else both units are said already
        other = words.length(size.mm, "mm" if view.units == "in" else "in")
        wood = say("lesson.begin.both", said=said, size=size.text, other=other)
    tools = words.listed(map(words.tool, (*needs.tools_needed(plan), needs.PENCIL)))
    key = "tool_list_eye" if needs.by_eye(plan) else "tool_list"
    rows = [(say("lesson.begin.wood"), wood), (say("lesson.begin.tools"), say(f"lesson.begin.{key}", tools=tools))]
    count, _ = needs.left_set(plan)
    if count:
        compasses = say("lesson.begin.one_compass") if count == 1 else say("lesson.begin.compass_count", count=count)
        rows.append((say("lesson.begin.compasses"), compasses))
    if "ruler" in needs.tools_needed(plan):
        rows.append((say("lesson.begin.ruler"), say("lesson.begin.graduated", graduation=words.graduation(plan.settings.graduation))))
    if study.errors is not None:
        rows.append((say("lesson.begin.hand"), say("lesson.begin.level", level=study.errors.level)))
    return rows


def _outcome(study: Study) -> tuple[str, ...]:
    count = len(study.verdicts)
    failed = [f"“{words.plain(verdict.text)}”" for verdict in study.verdicts if not verdict.holds]
    if not count:
        return (say("lesson.end.nothing"),)
    if failed:
        return (say("lesson.end.some", held=count - len(failed), count=count, failed=words.listed(failed)),)
    return (say("lesson.end.every", count=count),)


# --- the file -----------------------------------------------------------------------------------


@cache
def _shipped(name: str) -> str:
    return files("construct.data").joinpath("lesson", name).read_text(encoding="utf-8")


@cache
def _template() -> Any:
    kitchen = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True, auto_reload=False)
    kitchen.filters["named"] = _named
    return kitchen.from_string(_shipped("page.html"))


def _page_words() -> SimpleNamespace:
    """Return the words of the page itself by their names."""
    names = [key.rpartition(".")[2] for key in sentences(ENGLISH) if key.startswith("lesson.page.")]
    return SimpleNamespace(**{name: say(f"lesson.page.{name}") for name in names})


def _named(text: str) -> Markup:
    """Return a sentence with the names between its backquotes set apart; everything escaped first."""
    return Markup(re.sub("`([^`]*)`", r'<b class="name">\1</b>', str(escape(text))))


def _spoken(text: str) -> str:
    """Return a sentence as it is read aloud, without its backquotes."""
    return text.replace("`", "")


def _policy(style: str, script: str) -> str:
    """Return what the page may do: use its own style and script, known by their hashes, and nothing else."""
    return (f"default-src 'none'; style-src {_hash(style)}; script-src {_hash(script)}; img-src data:; "
            "base-uri 'none'; form-action 'none'")  # fmt: skip


def _hash(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"
