"""How a comparison is said: the one sentence that answers the argument, and where the order turns over."""

from __future__ import annotations

import math
from collections.abc import Callable

from construct.methods.contenders import GRADUATION, HAND, Comparison, Method, Scan, Turnover
from construct.phrasebook import say
from construct.reports import _error_words as figures
from construct.reports import _words as words

ALIKE = 0.1
"""Reaches that differ by less than this part of the smaller are as good as each other.  Judgement."""

LONGEST = 14

_LEVELS: dict[str, Callable[[], str]] = {
    "careful": lambda: say("compare.hand_careful"),
    "ordinary": lambda: say("compare.hand_ordinary"),
    "beginner": lambda: say("compare.hand_beginner"),
}


def named(method: Method) -> str:
    """Return a way's name, safe to print."""
    return words.plain(method.label)


def gap(method: Method, units: str) -> str:
    """Return by how much a way misses on paper; a long closed form stands in the table, not in a sentence."""
    found = method.verdict.finding
    if found is None:
        return ""
    exact = found.exact if len(found.exact) <= LONGEST else ""
    return words.gap(exact, found.figures, found.value, found.unit, units)


def sentence(found: Comparison, units: str) -> str:
    """Return the one sentence that answers the argument."""
    said = [_on_paper(found, units), _by_hand(found, units)]
    if found.scans:
        turn = nearest_turn(found)
        said.append(say("compare.never") if turn is None else told(found, *turn, units))
    text = "; ".join(said) + "."
    return text[:1].upper() + text[1:]


def _on_paper(found: Comparison, units: str) -> str:
    right = [one for one in found.methods if one.verdict.verdict == "proved"]
    wrong = words.listed(_wrong(one, units) for one in found.methods if one not in right)
    if not wrong:
        return say("compare.all_exact")
    if not right:
        # "none is" would be more than is known where one could not be settled
        unsettled = any(one.verdict.verdict == "undecided" for one in found.methods)
        return say("compare.none_shown", each=wrong) if unsettled else say("compare.none_exact", each=wrong)
    return say("compare.some_exact", exact=words.listed(f"`{named(one)}`" for one in right), each=wrong)


def _wrong(method: Method, units: str) -> str:
    if method.verdict.verdict == "undecided":
        return say("compare.unsettled", way=named(method))
    by = gap(method, units)
    return say("compare.off_by", way=named(method), gap=by) if by else say("compare.off_somehow", way=named(method))


def hand(level: str) -> str:
    """Return "an ordinary hand"."""
    return _LEVELS[level]()


def reach(method: Method, level: str) -> float:
    """Return what a method does not exceed 19 times in 20 with a hand, in mm; NaN where that is not known."""
    one = method.hand(level)
    return math.nan if one is None else one.best_mm


def _by_hand(found: Comparison, units: str) -> str:
    known = sorted((one for one in found.methods if math.isfinite(reach(one, found.level))), key=lambda one: reach(one, found.level))
    if len(known) < 2:
        return say("compare.no_figures")
    best, other = known[:2]
    near, far = (figures.amount(reach(one, found.level), units) for one in (best, other))
    if alike(reach(best, found.level), reach(other, found.level)):
        return say("compare.level", hand=hand(found.level), best=named(best), other=named(other), reach=near, other_reach=far)
    return say("compare.nearest", hand=hand(found.level), best=named(best), other=named(other), reach=near, other_reach=far)


def alike(least: float, other: float) -> bool:
    """Tell whether two reaches are as good as each other."""
    return other <= least * (1 + ALIKE)


def nearest_turn(found: Comparison) -> tuple[Scan, Turnover] | None:
    """Return the turnover nearest to where the recipe stands, by ratio; None where the order never turns."""
    every = [(scan, turn) for scan in found.scans for turn in scan.turnovers]
    return min(every, key=lambda pair: abs(math.log(pair[1].at / pair[0].here)), default=None)


def told(found: Comparison, scan: Scan, turn: Turnover, units: str) -> str:
    """Return one turnover in words."""
    under, over = (named(found.methods[number]) for number in (turn.under, turn.over))
    if scan.by == HAND:
        times = figures.two_figures(turn.at)
        if turn.at >= 1:
            return say("compare.turn_hand_over", under=under, over=over, times=times)
        return say("compare.turn_hand_under", under=under, over=over, times=times)
    at = figures.amount(turn.at, units)
    if scan.by == GRADUATION:
        return say("compare.turn_graduation", under=under, over=over, at=at)
    of = measured(found)
    if turn.ends == "under":
        return say("compare.turn_length_ends", under=under, over=over, at=at, of=of)
    if turn.ends == "over":
        return say("compare.turn_length_begins", under=under, over=over, at=at, of=of)
    return say("compare.turn_length", under=under, over=over, at=at, of=of)


def scan_told(found: Comparison, scan: Scan, units: str) -> str:
    """Return one scan in words: each turnover, or who is first all the way."""
    low, high = allowed(scan)
    if scan.turnovers:
        said = "; ".join(told(found, scan, turn, units) for turn in scan.turnovers)
    else:
        said = say("compare.stays", best=named(found.methods[leader(scan, scan.at.index(low))]))
    if scan.by == HAND:
        return say("compare.turns_hand", low=figures.two_figures(low), high=figures.two_figures(high), said=said)
    ends = figures.amount(low, units), figures.amount(high, units)
    if scan.by == GRADUATION:
        return say("compare.turns_graduation", low=ends[0], high=ends[1], said=said)
    if high < scan.at[-1]:
        said += say("compare.beyond", at=ends[1])
    return say("compare.turns_length", low=ends[0], high=ends[1], said=said)


def allowed(scan: Scan) -> tuple[float, float]:
    """Return the first and last place looked at where some way can be done."""
    some = [at for place, at in enumerate(scan.at) if any(math.isfinite(row[place]) for row in scan.reaches)]
    return some[0], some[-1]


def leader(scan: Scan, place: int) -> int:
    """Return the number of the way that is first at a place of the grid."""
    column = [row[place] for row in scan.reaches]
    return column.index(min(column))


def measured(found: Comparison) -> str:
    """Return what the length that the claim is about is measured of: "from L to T"."""
    names = [words.plain(name) for name in found.size.names]
    if found.size.kind == "between":
        return say("compare.of_between", first=names[0], second=names[1])
    return say("compare.of_across", name=names[0]) if found.size.kind == "across" else say("compare.of_plate")


def size(found: Comparison, units: str) -> str:
    """Return the length that the claim is about, in a sentence."""
    length = f"{words.decimal(round(figures._in(found.size.mm, units), 2))} {units}"
    if found.size.kind == "between":
        first, second = map(words.plain, found.size.names)
        return say("compare.between", first=first, second=second, length=length)
    if found.size.kind == "across":
        return say("compare.across", name=words.plain(found.size.names[0]), length=length)
    return say("compare.plate", length=length)
