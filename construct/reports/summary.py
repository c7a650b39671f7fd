"""Text: what was laid out, which claims hold, how far off a hand will be, what to mind, what to do next.

For a carver who is no mathematician: no symbol without a word, no colour, at
most `_words.WIDTH` columns.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from construct.claims import Finding, Verdict
from construct.diagnostics import show
from construct.phrasebook import say
from construct.proofs.scope import ELSEWHERE
from construct.proofs.why import Why
from construct.reports import View, _chip_errors, _chip_short, _distance, _why
from construct.reports import _bench_needs as needs
from construct.reports import _error_screen as screen
from construct.reports import _words as words
from construct.study import OtherWay, Study

NAME = "summary"
NOTE = "the report as text"
MOST_CHOICES = 8
SEEN = {"line": ("first", "second"), "centre": ("left", "right")}
"""What the order of two crossings is about, and the words for it."""

INDENT = " " * 12


def files(study: Study, view: View) -> dict[str, bytes]:
    """Return the report as `report.txt`."""
    return {"report.txt": report(study, view).encode()}


def report(study: Study, view: View) -> str:
    """Return the whole summary: the short answers, the claims, bench, chips, cautions and what to do next."""
    blocks = [
        _head(study, view),
        _in_short(study, view),
        _claims(study.verdicts, view),
        _meaning(study, view),
        _indifferent(study),
        _beyond(study),
        _minded(study),
        _other_ways(study, view),
        _orders(study),
        _bench(study),
        _chip_short.lines(study, view),
        [say("summary.cautions"), *(line for caution in words.cautions() for line in words.wrapped(caution, "  - ", "    "))],
        _next(study, view, report_done=True),
    ]
    return _joined(blocks)


def claims(study: Study, view: View, whys: Sequence[Why] = ()) -> str:
    """Return the claims and verdicts alone, with what they rest on, and why they hold where that is given."""
    said = _claims(study.verdicts, view, whys)
    blocks = [_head(study, view), said, _meaning(study, view), _beyond(study), _minded(study), _other_ways(study, view)]
    return _joined([*blocks, _next(study, view, report_done=False)])


def errors(study: Study, view: View, *, whole: bool = True) -> str:
    """Return what the hand's errors do: one screen, then, if `whole`, every budget; for a study with errors."""
    assert study.errors is not None
    found = study.errors
    blocks = [
        _head(study, view),
        screen.short(study, view, right(study)),
        _distance.block(found, view),
        screen.ranking(found, view),
        screen.movement(found, view),
        _minded(study),
        _chip_errors.short(study, view),
        screen.sureness(study, view),
        _next_of_errors(view, whole=whole) if found.inputs else [],
    ]
    if whole:
        from construct.reports import _error_tables

        blocks += [*_error_tables.tables(found, view), _chip_errors.table(study, view)]
    return _joined(blocks)


def answer(verdicts: Sequence[Verdict]) -> str:
    """Return whether the method is right, in a sentence."""
    if not verdicts:
        return say("summary.answer.none")
    said = tally(verdicts)
    key = "summary.answer.yes" if all(verdict.holds for verdict in verdicts) else "summary.answer.no"
    return say(key, tally=said[0].lower() + said[1:])


def right(study: Study) -> str:
    """Return whether the method is right, and whether its chips call for care."""
    return f"{answer(study.verdicts)}{_chip_short.verdict(study)}"


def _in_short(study: Study, view: View) -> list[str]:
    if study.errors is None:
        return []
    lines = screen.short(study, view, right(study))
    found = study.errors
    lost = say("summary.short.lost", count=found.lost) if found.lost else ""
    beside = say("summary.short.beside", trials=found.trials, seed=found.seed, lost=lost) if found.trials else ""
    more = say("summary.short.more", recipe=view.again, beside=beside)
    return [*lines, *screen.warned(study.errors, view.units), *words.wrapped(more, "  ", "  ")]


def _next_of_errors(view: View, *, whole: bool) -> list[str]:
    recipe = view.again
    said = [say("next.budgets_follow") if whole else say("next.budgets", recipe=recipe)]
    said.append(say("next.error_pictures", folder=view.folder) if view.folder else say("next.error_folder", recipe=recipe))
    said.append(say("next.careful", recipe=recipe))
    return _as_next(said)


def _as_next(said: Sequence[str]) -> list[str]:
    return words.wrapped(say("next.head", said="; ".join(said)), rest="  ")


def _joined(blocks: Iterable[Sequence[str]]) -> str:
    return "\n\n".join("\n".join(block) for block in blocks if block) + "\n"


def _head(study: Study, view: View) -> list[str]:
    plan = study.plan
    lines = words.wrapped(words.plain(plan.title) or say("summary.untitled"))
    level = plan.settings.level if study.errors is None else study.errors.level
    ruler = words.graduation(plan.settings.graduation)
    lines += words.wrapped(say("summary.bench", blank=words.blank(plan, view.units), level=level, ruler=ruler))
    if study.way is not None:
        lines.append(say("summary.way", way=study.way, ways=", ".join(plan.ways)))
    return lines


# --- claims -------------------------------------------------------------------------------------


def _claims(verdicts: Sequence[Verdict], view: View, whys: Sequence[Why] = ()) -> list[str]:
    if not verdicts:
        return words.wrapped(say("summary.no_claims"))
    lines = [tally(verdicts)]
    told: dict[tuple[str, ...], int] = {}
    for place, verdict in enumerate(verdicts):
        said = say("summary.claim", line=verdict.line, claim=verdict.text) if verdict.line else verdict.text
        lines += words.wrapped(words.plain(said), f"  {say(f'summary.sign.{verdict.verdict}'):<10}", INDENT)
        lines += [line for text in _particulars(verdict, view, told) for line in words.wrapped(text, INDENT)]
        lines += _why.lines(whys[place], INDENT) if whys else []
    return lines


def _minded(study: Study) -> list[str]:
    """Return what is to be minded about the recipe as a whole."""
    told = [say("mind.recipe", message=one.message, hint=one.hint) for one in study.plan.warnings]
    return [line for text in told for line in words.wrapped(words.plain(text), rest="  ")]


def tally(verdicts: Sequence[Verdict]) -> str:
    """Return the outcome in one sentence: "All 8 claims hold." or "1 of 8 claims FAILS."."""
    count = len(verdicts)
    fails = sum(verdict.verdict == "refuted" for verdict in verdicts)
    open_ones = sum(verdict.verdict == "undecided" for verdict in verdicts)
    if not fails and not open_ones:
        return say({1: "summary.tally.one", 2: "summary.tally.both"}.get(count, "summary.tally.all"), count=count)
    said = []
    if fails:
        said.append(say("summary.tally.fail", count=fails, claims=words.counted(count, "claim")))
    if open_ones:
        said.append(say("summary.tally.undecided", count=open_ones, claims=words.counted(count, "claim")))
    return f"{'; '.join(said)}."


def _particulars(verdict: Verdict, view: View, told: dict[tuple[str, ...], int]) -> list[str]:
    """Return what is to be said under a claim; conditions once, after that by the line that `told` them."""
    said = []
    finding = verdict.finding
    if verdict.verdict == "refuted" and verdict.reason == say(ELSEWHERE):
        said.append(say("elsewhere.only_drawn", why=verdict.reason, off=elsewhere(verdict, view)))
    elif verdict.verdict == "refuted":
        said.append(say("summary.fails_by", gap=found(finding, view)) if finding is not None else say("summary.fails"))
    elif verdict.verdict == "within" and finding is not None:
        said.append(say("summary.within", gap=found(finding, view)))
    elif verdict.verdict == "undecided":
        reason = verdict.reason or say("summary.limit")
        said.append(say("summary.undecided", reason=reason))
    elif verdict.verdict == "proved" and verdict.reason:
        said.append(say("elsewhere.unsettled", why=verdict.reason))
    if verdict.conditions:
        conditions = tuple(dict.fromkeys(verdict.conditions))
        first = told.get(conditions)
        if first is None:
            told[conditions] = verdict.line
            said.append(say("summary.as_long_as", conditions=words.listed(words.told(one, view.units) for one in conditions)))
        else:
            said.append(say("summary.as_above") if first == verdict.line else say("summary.as_in_line", line=first))
    return said


def elsewhere(verdict: Verdict, view: View) -> str:
    """Return with which other choice a claim fails, and by how much: "With r 44 mm it fails by −4 mm."."""
    choices = words.listed(say("elsewhere.choice", name=words.plain(name), value=value) for name, value in verdict.choices)
    if verdict.finding is None:
        return say("elsewhere.fails", choices=choices)
    return say("elsewhere.off", choices=choices, gap=found(verdict.finding, view))


def found(finding: Finding, view: View) -> str:
    """Return how far off a claim is: "3/40 mm = 0.07500 mm"."""
    return words.gap(finding.exact, finding.figures, finding.value, finding.unit, view.units)


def _meaning(study: Study, view: View) -> list[str]:
    """Return what the verdicts are about."""
    if not study.verdicts:
        return []
    scopes = {verdict.scope for verdict in study.verdicts}
    here, all_choices = say("summary.meaning.here"), say("summary.meaning.every")
    if len(scopes) == 1:
        said = all_choices if scopes == {"every"} else here
    else:
        every = list(dict.fromkeys(str(verdict.line) for verdict in study.verdicts if verdict.scope == "every"))
        said = say("summary.meaning.mixed", here=here, count=len(every), lines=words.listed(every), every=all_choices)
    choices = needs.choices(study.plan, view.units)
    if choices and scopes != {"every"}:
        shown = ", ".join(f"{words.plain(name)}: {value}" for name, value in choices[:MOST_CHOICES])
        more = say("summary.meaning.more", count=len(choices) - MOST_CHOICES) if len(choices) > MOST_CHOICES else ""
        said += say("summary.meaning.choices", shown=f"{shown}{more}")
    bare = list(dict.fromkeys(str(proof.verdict.line) for proof in study.proofs if proof.missing and proof.verdict.holds))
    rest = f" {say('summary.meaning.uncertified', count=len(bare), lines=words.listed(bare))}" if bare else ""
    return words.wrapped(f"{say('summary.meaning.holds', what=said)}{rest} {say('summary.meaning.ideal')}")


def _beyond(study: Study) -> list[str]:
    """Return what could not be worked out, with its place."""
    if not study.settled.beyond:
        return []
    return [*words.wrapped(say("beyond.heading")), *(f"  {line}" for one in study.settled.beyond for line in show(one).splitlines())]


def _indifferent(study: Study) -> list[str]:
    """Return which written numbers the claims do without, each statement once with the lines it is about."""
    lines_by_said: dict[str, list[str]] = {}
    for verdict, sentence in zip(study.verdicts, study.indifferent, strict=False):
        if sentence:
            lines_by_said.setdefault(sentence, []).append(str(verdict.line))
    if not lines_by_said:
        return []
    said = words.wrapped(say("indifferent.heading"))
    for sentence, numbers in lines_by_said.items():
        lines = list(dict.fromkeys(numbers))
        said += words.wrapped(say("indifferent.claims", count=len(lines), lines=words.listed(lines), sentence=sentence), "  ", INDENT)
    return said


def _other_ways(study: Study, view: View) -> list[str]:
    return [line for other in study.others for line in words.wrapped(_other_way(other, view), rest="  ")]


def _other_way(other: OtherWay, view: View) -> str:
    if other.mistakes:
        return say("summary.other.mistake", way=other.way, said=show(other.mistakes[0]).splitlines()[0])
    if not other.verdicts:
        return say("summary.other.none", way=other.way)
    tallied = tally(other.verdicts)
    bad = [verdict for verdict in other.verdicts if not verdict.holds]
    if not bad:
        return say("summary.other.good", way=other.way, tally=tallied[0].lower() + tallied[1:])
    each = []
    for verdict in bad[:3]:
        finding = verdict.finding if verdict.verdict == "refuted" else None
        by = "" if finding is None else say("summary.other.by", gap=found(finding, view))
        each.append(f"{words.plain(verdict.text)}{by}{say('summary.other.open') if verdict.verdict == 'undecided' else ''}")
    more = say("summary.other.more", count=len(bad) - 3) if len(bad) > 3 else ""
    return say("summary.other.bad", way=other.way, tally=tallied[:-1], claims=f"{'; '.join(each)}{more}")


# --- the rest -----------------------------------------------------------------------------------


def _orders(study: Study) -> list[str]:
    """Return where each of two marks came out."""
    things = study.plan.things
    plain = [(things[index].name, word) for index, word in study.settled.notes if words.is_plain(things[index].name)]
    said = []
    for seen, kinds in SEEN.items():
        parts = [f"{name} {say(f'summary.order.{word}')}" for name, word in plain if word in kinds]
        if parts:
            said.append(f"{say(f'summary.seen.{seen}')}, {', '.join(parts)}")
    more = len(study.settled.notes) - len(plain)
    if said and more:
        said.append(say("summary.more_crossings", count=more))
    return words.wrapped(say("summary.crossings", said="; ".join(said)), rest="  ") if said else []


def _bench(study: Study) -> list[str]:
    tools = needs.tools_needed(study.plan)
    lines = []
    if tools:
        eye = say("summary.by_eye") if needs.by_eye(study.plan) else ""
        named = words.listed(words.tool(one) for one in (*tools, needs.PENCIL))
        lines += words.wrapped(say("summary.tools", tools=named, eye=eye), rest="  ")
    count, names = needs.left_set(study.plan)
    if count == 1:
        lines.append(say("summary.compass"))
    elif count > 1:
        kept = say("summary.kept", names=words.listed(names)) if names else ""
        lines += words.wrapped(say("summary.compasses", count=count, kept=kept), rest="  ")
    return lines


def _next(study: Study, view: View, *, report_done: bool) -> list[str]:
    recipe = view.again
    said = []
    better = [other.way for other in study.others if other.verdicts and all(verdict.holds for verdict in other.verdicts)]
    if not study.holds and better:
        said.append(say("next.other_way", way=better[0], recipe=replace(view, way="").again))
    elif not study.holds:
        said.append(say("next.look_above"))
    if not report_done:
        said.append(say("next.report", recipe=recipe))
    elif view.folder:
        pictures = ["picture.svg", *(["ellipses.svg", "budget.svg"] if study.errors is not None else [])]
        said.append(say("next.look_at", files=words.listed(f"`{view.folder}/{name}`" for name in pictures)))
    else:
        said.append(say("next.report_folder", recipe=recipe))
    return _as_next(said)
