"""Text: what was laid out, which claims hold, how far off a hand will be, what to mind, what to do next.

For a carver who is no mathematician: no symbol without a word, no colour, at
most `_words.WIDTH` columns.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from construct.claims import Finding, Verdict
from construct.diagnostics import show
from construct.proofs.why import Why
from construct.reports import View
from construct.reports import _bench_needs as needs
from construct.reports import _error_screen as screen
from construct.reports import _why
from construct.reports import _words as words
from construct.reports._chip_list import ChipLine, chip_lines
from construct.study import OtherWay, Study

NAME = "summary"
NOTE = "the report as text"
MOST_CHOICES = 8
MOST_CHIPS = 12
INDENT = " " * 11


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
        _other_ways(study, view),
        _orders(study),
        _bench(study),
        _chips(study, view),
        ["Cautions:", *(line for caution in words.CAUTIONS for line in words.wrapped(caution, "  - ", "    "))],
        _next(study, view, report_done=True),
    ]
    return _joined(blocks)


def claims(study: Study, view: View, whys: Sequence[Why] = ()) -> str:
    """Return the claims and verdicts alone, with what they rest on, and why they hold where that is given."""
    blocks = [_head(study, view), _claims(study.verdicts, view, whys), _meaning(study, view), _other_ways(study, view)]
    return _joined([*blocks, _next(study, view, report_done=False)])


def errors(study: Study, view: View, *, whole: bool = True) -> str:
    """Return what the hand's errors do: one screen, then, if `whole`, every budget; for a study with errors."""
    assert study.errors is not None
    found = study.errors
    blocks = [
        _head(study, view),
        screen.short(study, view, right(study)),
        screen.ranking(found, view),
        screen.movement(found, view),
        screen.sureness(found),
        _next_of_errors(view, whole=whole) if found.inputs else [],
    ]
    if whole:
        from construct.reports import _error_tables

        blocks += _error_tables.tables(found, view)
    return _joined(blocks)


def answer(verdicts: Sequence[Verdict]) -> str:
    """Return whether the method is right, in a sentence."""
    if not verdicts:
        return "Nothing is claimed, so nothing was proved."
    return f"{'Yes' if all(verdict.holds for verdict in verdicts) else 'Not all'}: {tally(verdicts)[0].lower()}{tally(verdicts)[1:]}"


def right(study: Study) -> str:
    """Return whether the method is right, and what of its chips nobody has looked at."""
    unseen = " NOT checked yet: depth against thickness, land, widest place." if study.carving is not None else ""
    return f"{answer(study.verdicts)}{unseen}"


def _in_short(study: Study, view: View) -> list[str]:
    if study.errors is None:
        return []
    lines = screen.short(study, view, right(study))
    found = study.errors
    lost = f", {found.lost} LOST" if found.lost else ""
    beside = f", {found.trials} trials (seed {found.seed}{lost}) beside" if found.trials else ""
    more = f"`construct errors {view.recipe or 'RECIPE'}` has every figure{beside}."
    return [*lines, *screen.warned(study.errors), *words.wrapped(more, "  ", "  ")]


def _next_of_errors(view: View, *, whole: bool) -> list[str]:
    recipe = view.recipe or "RECIPE"
    said = ["all budgets follow" if whole else f"`construct errors {recipe} --all` lists every budget"]
    pictures = f"look at `{view.folder}/ellipses.svg` and `{view.folder}/budget.svg`; `{view.folder}/errors.txt` holds every table"
    said.append(pictures if view.folder else f"`construct errors {recipe} -o FOLDER` draws it")
    said.append(f"`construct errors {recipe} --bench careful` shows what care is worth")
    return words.wrapped(f"Next: {'; '.join(said)}.", rest="  ")


def _joined(blocks: Iterable[Sequence[str]]) -> str:
    return "\n\n".join("\n".join(block) for block in blocks if block) + "\n"


def _head(study: Study, view: View) -> list[str]:
    plan = study.plan
    lines = words.wrapped(words.plain(plan.title) or "A layout without a title")
    level = plan.settings.level if study.errors is None else study.errors.level
    ruler = words.graduation(plan.settings.graduation)
    lines += words.wrapped(f"{words.blank(plan, view.units)}. Bench: {level}, ruler graduated {ruler}.")
    if study.way is not None:
        lines.append(f"Done by the way `{study.way}`; ways in this recipe: {', '.join(plan.ways)}.")
    return lines


# --- claims -------------------------------------------------------------------------------------


def _claims(verdicts: Sequence[Verdict], view: View, whys: Sequence[Why] = ()) -> list[str]:
    if not verdicts:
        return words.wrapped("This recipe claims nothing: add a line such as `claim C is the centre of the plate`.")
    lines = [tally(verdicts)]
    told: dict[tuple[str, ...], int] = {}
    for place, verdict in enumerate(verdicts):
        where = f"line {verdict.line}: " if verdict.line else ""
        lines += words.wrapped(words.plain(f"{where}{verdict.text}"), f"  {words.SIGNS[verdict.verdict]:<9}", INDENT)
        lines += [line for text in _particulars(verdict, view, told) for line in words.wrapped(text, INDENT)]
        lines += _why.lines(whys[place], INDENT) if whys else []
    return lines


def tally(verdicts: Sequence[Verdict]) -> str:
    """Return the outcome in one sentence: "All 8 claims hold." or "1 of 8 claims FAILS."."""
    count = len(verdicts)
    fails = sum(verdict.verdict == "refuted" for verdict in verdicts)
    open_ones = sum(verdict.verdict == "undecided" for verdict in verdicts)
    if not fails and not open_ones:
        return {1: "The claim holds.", 2: "Both claims hold."}.get(count, f"All {count} claims hold.")
    said = []
    if fails:
        said.append(f"{fails} of {words.counted(count, 'claim')} {'FAILS' if fails == 1 else 'FAIL'}")
    if open_ones:
        said.append(f"{open_ones} of {words.counted(count, 'claim')} {'is' if open_ones == 1 else 'are'} undecided")
    return f"{'; '.join(said)}."


def _particulars(verdict: Verdict, view: View, told: dict[tuple[str, ...], int]) -> list[str]:
    """Return what is to be said under a claim; conditions once, after that by the line that `told` them."""
    said = []
    finding = verdict.finding
    if verdict.verdict == "refuted":
        said.append(f"fails by {found(finding, view)}" if finding is not None else "fails")
    elif verdict.verdict == "within" and finding is not None:
        said.append(f"off by {found(finding, view)}, which the claim allows")
    elif verdict.verdict == "undecided":
        said.append(f"undecided: {verdict.reason or 'a limit was met'}; this is neither a yes nor a no")
    if verdict.conditions:
        conditions = tuple(dict.fromkeys(verdict.conditions))
        first = told.get(conditions)
        if first is None:
            told[conditions] = verdict.line
            said.append(f"as long as {words.listed(conditions)}")
        else:
            said.append("as long as above" if first == verdict.line else f"as long as in line {first}")
    return said


def found(finding: Finding, view: View) -> str:
    """Return how far off a claim is: "3/40 mm = 0.07500 mm"."""
    return words.gap(finding.exact, finding.figures, finding.value, finding.unit, view.units)


def _meaning(study: Study, view: View) -> list[str]:
    """Return what the verdicts are about."""
    if not study.verdicts:
        return []
    scopes = {verdict.scope for verdict in study.verdicts}
    said = {frozenset(["every"]): words.EVERY, frozenset(["here"]): words.HERE}.get(frozenset(scopes), "")
    if not said:
        every = list(dict.fromkeys(str(verdict.line) for verdict in study.verdicts if verdict.scope == "every"))
        said = f"{words.HERE}; in {'line' if len(every) == 1 else 'lines'} {words.listed(every)} {words.EVERY}"
    choices = needs.choices(study.plan, view.units)
    if choices and scopes != {"every"}:
        shown = ", ".join(f"{words.plain(name)}: {value}" for name, value in choices[:MOST_CHOICES])
        more = f", and {len(choices) - MOST_CHOICES} more" if len(choices) > MOST_CHOICES else ""
        said += f"; free choices as drawn: {shown}{more}"
    bare = list(dict.fromkeys(str(proof.verdict.line) for proof in study.proofs if proof.missing and proof.verdict.holds))
    rest = f" In {'line' if len(bare) == 1 else 'lines'} {words.listed(bare)} {words.UNCERTIFIED}." if bare else ""
    return words.wrapped(f'"Holds" means proved exactly, {said}.{rest} {words.IDEAL}')


def _other_ways(study: Study, view: View) -> list[str]:
    return [line for other in study.others for line in words.wrapped(_other_way(other, view), rest="  ")]


def _other_way(other: OtherWay, view: View) -> str:
    head = f"By the way `{other.way}`:"
    if other.mistakes:
        first = show(other.mistakes[0]).splitlines()[0]
        return f"{head} can not be done: {first}"
    bad = [verdict for verdict in other.verdicts if not verdict.holds]
    if not bad:
        return f"{head} {tally(other.verdicts)[0].lower()}{tally(other.verdicts)[1:]}" if other.verdicts else f"{head} nothing is claimed."
    each = []
    for verdict in bad[:3]:
        by = f", by {found(verdict.finding, view)}" if verdict.verdict == "refuted" and verdict.finding is not None else ""
        each.append(f"{words.plain(verdict.text)}{by}{' (undecided)' if verdict.verdict == 'undecided' else ''}")
    more = f"; and {len(bad) - 3} more" if len(bad) > 3 else ""
    return f"{head} {tally(other.verdicts)[:-1]}: {'; '.join(each)}{more}."


# --- the rest -----------------------------------------------------------------------------------


def _orders(study: Study) -> list[str]:
    """Return where each of two marks came out."""
    things = study.plan.things
    plain = [(things[index].name, word) for index, word in study.settled.notes if words.is_plain(things[index].name)]
    said = []
    for kinds, seen in words.SEEN:
        parts = [f"{name} {word}" for name, word in plain if word in kinds]
        if parts:
            said.append(f"{seen}, {', '.join(parts)}")
    more = len(study.settled.notes) - len(plain)
    if said and more:
        said.append(f"{more} more, made in rounds or methods, are in the record")
    return words.wrapped(f"Of two crossings: {'; '.join(said)}.", rest="  ") if said else []


def _bench(study: Study) -> list[str]:
    tools = needs.tools_needed(study.plan)
    lines = []
    if tools:
        eye = "; some of it by eye" if needs.by_eye(study.plan) else ""
        lines += words.wrapped(f"Tools: {words.listed((*tools, 'pencil'))}{eye}.", rest="  ")
    count, names = needs.left_set(study.plan)
    if count == 1:
        lines.append("Compasses: one is enough, set anew as the steps ask.")
    elif count > 1:
        kept = f" (among them {words.listed(names)})" if names else ""
        said = f"Compasses: {count} settings must be kept at once{kept}: have {count} compasses, or note the settings."
        lines += words.wrapped(said, rest="  ")
    return lines


def _chips(study: Study, view: View) -> list[str]:
    if study.carving is None:
        return words.wrapped(f"{words.CHIPS_NONE}.", "Chips: ", "  ")
    lines = chip_lines(study)
    head = f"Chips: {words.counted(len(lines), 'chip')}, {words.counted(len(study.carving.grooves), 'groove')}; {words.CHIPS_LATER}."
    said = words.wrapped(head, rest="  ")
    same = _in_groups(lines)
    for members in same[:MOST_CHIPS]:
        numbers = [line.number for line in members]
        one = f"chip {numbers[0]}" + (f" ({words.plain(members[0].name)})" if members[0].name else "")
        who = one if len(members) == 1 else f"{len(members)} alike, chips {words.numbered(numbers)}"
        area = words.area(members[0].exact, members[0].value, view.units)
        if members[0].guarantee == "estimate":
            area += f" ({words.CHORDS})"
        said += words.wrapped(f"{who}: {area}{'' if len(members) == 1 else ' each'}", "  ", INDENT)
    if len(same) > MOST_CHIPS:
        said.append(f"  and {len(same) - MOST_CHIPS} more kinds; the record has them all")
    for warning in study.carving.warnings:
        said += words.wrapped(f"Mind: {warning.message}. {warning.hint}", "  ", INDENT)
    return said


def _in_groups(lines: Sequence[ChipLine]) -> list[list[ChipLine]]:
    groups: dict[object, list[ChipLine]] = {}
    for line in lines:
        groups.setdefault(line.group, []).append(line)
    return list(groups.values())


def _next(study: Study, view: View, *, report_done: bool) -> list[str]:
    recipe = view.recipe or "RECIPE"
    said = []
    better = [other.way for other in study.others if other.verdicts and all(verdict.holds for verdict in other.verdicts)]
    if not study.holds and better:
        said.append(f"by the way `{better[0]}` every claim holds: `construct prove {recipe} --way {better[0]}`")
    elif not study.holds:
        said.append("look at the lines above the first claim that fails, or allow a gap with `within …`")
    if not report_done:
        said.append(f"`construct report {recipe}` says more")
    elif view.folder:
        pictures = ["picture.svg", *(["ellipses.svg", "budget.svg"] if study.errors is not None else [])]
        said.append(f"look at {words.listed(f'`{view.folder}/{name}`' for name in pictures)}")
    else:
        said.append(f"`construct report {recipe} -o FOLDER` writes pictures and a record")
    return words.wrapped(f"Next: {'; '.join(said)}.", rest="  ")
