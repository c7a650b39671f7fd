"""The best free choices on one screen: leave it or change it, each setting, how far it may be off, what holds it back."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import TYPE_CHECKING

from construct.methods.graduations import coarse
from construct.phrasebook import say
from construct.reports import View
from construct.reports import _error_words as figures
from construct.reports import _words as words
from construct.study import Study

if TYPE_CHECKING:
    from construct.methods.trial import Stopped
    from construct.methods.tuned_choices import TunedChoice, Tuning

MOST_ANGLES = 6
FULL_TURN = 360.0


def screen(study: Study, tuning: Tuning, view: View) -> str:
    """Return what was found, as text."""
    title = words.plain(study.plan.title) or say("figure.untitled")
    head = [say("tune.head", title=title), *words.wrapped(words.blank(study.plan, view.units) + ".")]
    if study.way:
        head += words.wrapped(say("tune.way", way=study.way))
    blocks = [head, _answer(tuning, view)]
    blocks += [_choice(study, choice, tuning, view) for choice in tuning.choices]
    blocks += [_crossings(tuning, view), _angles(tuning), _kept(tuning), _foot(study, tuning, view)]
    return "\n\n".join("\n".join(lines) for lines in blocks if lines) + "\n"


def amount(mm: float, units: str) -> str:
    """Return a u to three figures in the user's units: two would hide what is compared here."""
    return f"{mm / (float(words.MM_PER_INCH) if units == 'in' else 1.0):.3g} {units}"


def about(tuning: Tuning) -> str:
    """Return what u is taken of, in words."""
    if not tuning.marks:
        return say("tune.about.cuts")
    names = words.listed(f"`{words.plain(name)}`" for name in tuning.marks)
    return say("tune.about.marks", count=len(tuning.marks), names=names)


def _answer(tuning: Tuning, view: View) -> list[str]:
    values = {
        "about": about(tuning), "level": tuning.level, "before": amount(tuning.u_drawn_mm, view.units),
        "after": amount(min(tuning.u_mm, tuning.u_drawn_mm), view.units), "best": amount(tuning.u_best_mm, view.units),
        "less": figures.whole_share(max(0.0, 1 - tuning.u_mm / tuning.u_drawn_mm)) if tuning.u_drawn_mm else "0 %",
    }  # fmt: skip
    lines = words.wrapped(say("tune.answer.leave" if tuning.drawn_is_as_good else "tune.answer.change", **values))
    if not tuning.asked and tuning.marks:
        lines += words.wrapped(say("tune.answer.unasked"))
    return lines


# --- one choice -----------------------------------------------------------------------------------


def _choice(study: Study, choice: TunedChoice, tuning: Tuning, view: View) -> list[str]:
    one = choice.coordinate
    kept = tuning.drawn_is_as_good
    said = [say(
        "tune.choice.leave" if kept or _as_drawn(choice) else "tune.choice.set",
        name=words.plain(one.names), line=one.line, setting=setting(study, choice, choice.setting, view.units),
        drawn=setting(study, choice, one.value, view.units), does=say(f"tune.does.{one.kind}"),
    )]  # fmt: skip
    if kept and not _as_drawn(choice):
        said.append(say("tune.choice.best", setting=setting(study, choice, choice.setting, view.units)))
    said.append(good_range(study, choice, view.units))
    if choice.held is not None:
        said.append(say("tune.choice.held", why=_stop(choice.held)))
    elif not choice.whole and choice.coordinate.unit == "mm":
        said += [
            say(key, end=setting(study, choice, end, view.units, inward=way), why=_stop(stop))
            for key, end, way, stop in (
                ("tune.choice.least", choice.allowed[0], 1, choice.low_stop), ("tune.choice.most", choice.allowed[1], -1, choice.high_stop),
            ) if stop is not None
        ]  # fmt: skip
    if choice.moves:
        said.append(say("tune.choice.moves", name=words.plain(one.names), marks=words.listed(map(words.plain, tuning.marks))))
    first, *rest = said
    return [*words.wrapped(first), *(line for text in rest for line in words.wrapped(text, "  "))]


def _as_drawn(choice: TunedChoice) -> bool:
    return abs(choice.setting - choice.coordinate.value) < 1e-6


def good_range(study: Study, choice: TunedChoice, units: str) -> str:
    """Return how flat the best is, in a sentence."""
    low, high = choice.as_good
    around = choice.coordinate.unit == "deg" and high - low > FULL_TURN - 1
    if around:
        return say("tune.good.around")
    if choice.coordinate.unit == "deg":
        ends = {"low": f"{_to(low, 1.0, 1) % FULL_TURN:g}", "high": say("tune.deg", value=f"{_to(high, 1.0, -1) % FULL_TURN:g}")}
    else:
        ends = {"low": setting(study, choice, low, units, inward=1), "high": setting(study, choice, high, units, inward=-1)}
    if _to(high, _step(study, choice, units), -1) <= _to(low, _step(study, choice, units), 1):
        return say("tune.good.sharp")
    return say("tune.good.all" if choice.whole else "tune.good.range", **ends)


def setting(study: Study, choice: TunedChoice, value: float, units: str, *, inward: int = 0) -> str:
    """Return a value of a choice in bench words, rounded to the ruler; inward: +1 up, -1 down, 0 to the nearest."""
    one = choice.coordinate
    if one.unit == "deg":
        whole = _to(value, 1.0, inward) % FULL_TURN
        return say("tune.angle", value=f"{whole:g}", towards=f"`{words.plain(one.towards)}`" if one.towards else say("tune.grain"))
    step = coarse(study.plan.settings.graduation, units)
    if value == one.value and not inward:
        # as drawn: said as it stands, be it ever so fine
        return f"{words.decimal(value if units == 'mm' else value / float(words.MM_PER_INCH))} {units}"
    return words.length(Fraction(round(_to(value, float(step), inward) / float(step))) * step, units)


def _step(study: Study, choice: TunedChoice, units: str) -> float:
    return 1.0 if choice.coordinate.unit == "deg" else float(coarse(study.plan.settings.graduation, units))


def _to(value: float, step: float, inward: int) -> float:
    steps = value / step
    # what lies on a graduation but for rounding stays there
    number = round(steps) if not inward or abs(steps - round(steps)) < 1e-6 else math.ceil(steps) if inward > 0 else math.floor(steps)
    return number * step


def _stop(stop: Stopped) -> str:
    if stop.own_bound:
        return say("tune.bound", line=stop.line)
    return say("tune.stop", why=words.plain(stop.why), line=stop.line) if stop.line else words.plain(stop.why)


# --- the rest -------------------------------------------------------------------------------------


def _crossings(tuning: Tuning, view: View) -> list[str]:
    lines: list[str] = []
    for one in tuning.crossings:
        lines += words.wrapped(say(
            "tune.crossing.better" if one.taken else "tune.crossing.same" if one.other_u_mm <= one.u_mm * 1.005 else "tune.crossing.worse",
            name=words.plain(one.name), line=one.line, words=words.plain(one.words),
            u=amount(one.u_mm, view.units), other=amount(one.other_u_mm, view.units),
        ))  # fmt: skip
    return lines


def _angles(tuning: Tuning) -> list[str]:
    if tuning.drawn_is_as_good:
        return []
    said = [say("tune.cross", name=words.plain(one.name), line=one.line, before=f"{one.before_deg:.0f}", after=f"{one.after_deg:.0f}")
            for one in tuning.angles[:MOST_ANGLES]]  # fmt: skip
    return [line for text in said for line in words.wrapped(text)] + (words.wrapped(say("tune.square")) if said else [])


def _kept(tuning: Tuning) -> list[str]:
    by: dict[str, list[str]] = {}
    for one in tuning.kept:
        by.setdefault(one.why, []).append(say("tune.named", name=words.plain(one.names), line=one.line))
    return [line for why, names in by.items() for line in words.wrapped(say(f"tune.kept.{why}", names=words.listed(names)))]


def _foot(study: Study, tuning: Tuning, view: View) -> list[str]:
    lines = words.wrapped(say("tune.foot.tried", tried=tuning.tried))
    if len(tuning.choices) > 1:
        lines += words.wrapped(say("tune.foot.several"))
    if not tuning.drawn_is_as_good and view.recipe:
        lines += words.wrapped(say("tune.foot.next", recipe=view.again))
    if view.folder:
        lines += ["", *words.wrapped(say("tune.foot.look", picture=f"`{view.folder}/tune.svg`"), rest="  ")]
    elif view.recipe:
        lines += ["", *words.wrapped(say("tune.foot.draw", recipe=view.again), rest="  ")]
    return lines
