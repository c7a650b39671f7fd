"""`construct compare` as text: the sentence first, then what stands behind it."""

from __future__ import annotations

import math
import shlex
from collections.abc import Iterator

from construct.methods.contenders import Comparison, HandFigures, Method
from construct.methods.lemoine import LemoineCount
from construct.phrasebook import say
from construct.reports import View
from construct.reports import _compare_words as told
from construct.reports import _error_words as figures
from construct.reports import _words as words
from construct.tools._settings import LEVELS

NAME = 22
PAPER = 25


def screen(found: Comparison, view: View) -> str:
    """Return the comparison as lines of text."""
    blocks = [_head(found, view.units), words.wrapped(say("compare.answer", sentence=told.sentence(found, view.units)))]
    blocks.append(_reaches(found, view.units))
    if found.scans:
        blocks.append(_turns(found, view.units))
    blocks += [_costs(found), _notes(found, view.units), _next(found, view)]
    return "\n\n".join("\n".join(block) for block in blocks if block) + "\n"


def _head(found: Comparison, units: str) -> list[str]:
    count = len(found.methods)
    title = words.plain(found.titles[0]) if len(found.titles) == 1 else ""
    first = say("compare.title", title=title, count=count) if title else say("compare.titles", count=count)
    about = say("compare.about", claim=f"“{words.plain(found.claim.text)}”", size=told.size(found, units))
    lines = [*words.wrapped(first), *words.wrapped(about)]
    lines += words.wrapped(say("compare.figures", level=found.level, graduation=words.graduation(found.graduation), units=units))
    if not found.same_plate:
        lines += words.wrapped(say("compare.not_same"))
    for way, wrong in found.left_out:
        lines += words.wrapped(say("compare.left_out", way=words.plain(way), message=words.plain(wrong[0].message)))
    return lines


# --- how far off ----------------------------------------------------------------------------------


def _reaches(found: Comparison, units: str) -> list[str]:
    levels = (say("compare.row_careful"), say("compare.row_ordinary"), say("compare.row_beginner"))
    head = "  " + say("compare.row_way").ljust(NAME) + say("compare.row_itself").ljust(PAPER)
    lines = []
    if found.methods[0].hands:
        head += say("compare.row_u").rjust(8) + "  " + "".join(level.rjust(11) for level in levels)
        lines = words.wrapped(say("compare.head_reach"), rest="  ")
    lines.append(head.rstrip())
    for method in found.methods:
        row = f"{_paper(method, units):<{PAPER}}"
        if method.hands:
            one = method.hand(found.level)
            assert one is not None
            row += f"{figures.cell(one.u_mm, units):>8}  " + "".join(_cell(found, method, level, units) for level in LEVELS)
        lines += _named(method, row)
    for method in found.methods:
        if method.verdict.holds and method.aims:
            lines += words.wrapped(say("compare.star", way=told.named(method), condition=words.listed(method.aims)), "  ", "    ")
    return lines


def _cell(found: Comparison, method: Method, level: str, units: str) -> str:
    best = found.best(level)
    mine = told.reach(method, level)
    leads = best is not None and told.alike(told.reach(found.methods[best], level), mine)
    return f"{'<' if leads else ''}{figures.cell(mine, units):}".rjust(11)


def _named(method: Method, row: str) -> list[str]:
    name = told.named(method)
    if len(name) < NAME:
        return [f"  {name:<{NAME}}{row}".rstrip()]
    return [f"  {name}", f"  {'':<{NAME}}{row}".rstrip()]


def _paper(method: Method, units: str) -> str:
    """Return what a way misses by itself, shortly: its figures, where the closed form is long."""
    verdict, found = method.verdict, method.verdict.finding
    if verdict.verdict == "proved":
        return say("compare.as_long") if method.aims else say("compare.exact")
    if found is None:
        return say("compare.unknown")
    exact = found.exact if 0 < len(found.exact) <= PAPER - 4 else f"≈ {words.with_unit(found.figures, found.unit)}"
    return f"≈ {figures.amount(found.value, units)}" if units == "in" and found.unit == "mm" else exact


# --- where it turns, what it costs ----------------------------------------------------------------


def _turns(found: Comparison, units: str) -> list[str]:
    lines = words.wrapped(say("compare.head_turns", hand=told.hand(found.level)))
    for scan in found.scans:
        lines += words.wrapped(told.scan_told(found, scan, units), "  - ", "    ")
    return lines


def _costs(found: Comparison) -> list[str]:
    whole = words.listed(say("compare.whole_each", moves=one.all_moves, way=told.named(one)) for one in found.methods)
    lines = words.wrapped(say("compare.head_cost", whole=whole), rest="  ")
    head = "  " + say("compare.row_way").ljust(NAME) + say("compare.row_moves").rjust(6) + "  " + say("compare.row_placed").ljust(22)
    lines.append(head + say("compare.row_compasses").rjust(9) + "  " + say("compare.row_lemoine"))
    for method in found.methods:
        parts = [sum(part) for part in zip(*((one.placings, one.settings, one.strokes) for one in method.moves), strict=True)] or [0, 0, 0]
        row = f"{method.own_moves:>6}  {' + '.join(map(str, parts)):<22}{method.compasses:>9}  {lemoine(method)}"
        lines += _named(method, row)
    lines += words.wrapped(say("compare.tools", tools=_tools(found)), "  ", "    ")
    return lines


def lemoine(method: Method) -> str:
    """Return Lemoine's count in words, or why there is none."""
    count = method.lemoine
    if isinstance(count, LemoineCount):
        if not count.simplicity:
            return say("compare.nothing_own")
        return say("compare.count", simplicity=count.simplicity, exactitude=count.exactitude, symbol=count.symbol)
    return say("compare.no_lemoine_eye") if count.tool == "eye" else say("compare.no_lemoine", tool=count.tool)


def _tools(found: Comparison) -> str:
    sets = {method.tools for method in found.methods}
    if len(sets) == 1:
        return (words.listed(map(words.tool, sets.pop())) or say("compare.tools_none")) + "."
    none = say("compare.tools_none")
    each = (say("compare.tools_each", way=told.named(one), tools=words.listed(map(words.tool, one.tools)) or none) for one in found.methods)
    return "; ".join(each) + "."


# --- what to know ---------------------------------------------------------------------------------


def _notes(found: Comparison, units: str) -> list[str]:
    return [line for note in _said(found, units) for line in words.wrapped(note, "  - ", "    ")]


def _said(found: Comparison, units: str) -> Iterator[str]:
    hands = [(method, one) for method in found.methods if (one := method.hand(found.level)) is not None]
    if hands:
        yield say("compare.note_u", hand=told.hand(found.level))
        yield say("compare.note_both")
    read = [(method, one) for method, one in hands if one.rounding_mm > 0]
    for method, one in read:
        yield say("compare.note_rounding", amount=figures.amount(one.rounding_mm, units), way=told.named(method))
    placed = [(method, one) for method, one in hands if math.isfinite(one.place_u_mm)]
    if placed:
        each = _each([(method, one.place_u_mm) for method, one in placed], units)
        yield say("compare.note_place", name=words.plain(placed[0][1].part or found.claim.text.split()[0]), each=each)
    yield from _worst(found, hands, units)
    for method, one in hands:
        if one.trials is None:
            yield say("compare.no_trials", way=told.named(method))
        elif one.trials.lost:
            yield say("compare.lost", way=told.named(method), lost=one.trials.lost, trials=one.trials.trials, hand=told.hand(found.level))
    yield say("compare.note_trials", trials=found.trials, seed=found.seed)
    yield say("compare.note_moves")
    if any(isinstance(method.lemoine, LemoineCount) for method in found.methods):
        yield say("compare.note_lemoine")
    if found.judged:
        yield say("hand.figures") + "."
    if found.others:
        yield say("compare.others", claims=words.listed(f"“{words.plain(text)}”" for text in found.others))


def _worst(found: Comparison, hands: list[tuple[Method, HandFigures]], units: str) -> Iterator[str]:
    several = [(method, one.trials) for method, one in hands if one.trials is not None and one.trials.all_mm > one.trials.reach_mm]
    if several:
        each = _each([(method, trials.all_mm) for method, trials in several], units)
        yield say("compare.note_worst", each=each, hand=told.hand(found.level))


def _each(amounts: list[tuple[Method, float]], units: str) -> str:
    """Return a length for each way, said once where they are all the same."""
    said = [(method, figures.amount(mm, units)) for method, mm in amounts]
    if len({text for _, text in said}) == 1:
        return said[0][1]
    return words.listed(f"{text} (`{told.named(method)}`)" for method, text in said)


def _next(found: Comparison, view: View) -> list[str]:
    if view.folder:
        return words.wrapped(say("compare.next_look", picture=f"`{view.folder}/compare.svg`"), rest="  ")
    if not found.scans or not view.recipe:
        return []
    names = " ".join(shlex.quote(words.plain(name)) for name in view.recipe.split("\n"))
    return words.wrapped(say("compare.next_figure", command=f"`construct compare {names} -o FOLDER`"), rest="  ")
