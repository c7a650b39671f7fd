"""Makes records of what the grammar has read: one method for each maker named in `grammar.py`.

A maker gets the parts of its wording in order: words as `Word`, rules as the
records made of them.  What can only be wrong with the numbers themselves is
said here, as `Wrong`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from construct.diagnostics import Span, Wrong
from construct.language import syntax as s
from construct.language.grammar import BENCH_WISHES, Reading
from construct.language.words import (
    LONGEST_NUMBER,
    UNITS,
    Word,
    hundredths,
    millimetres,
    number,
    per_unit,
    turns,
)
from construct.phrasebook import say

Parts = Sequence[Any]


@dataclass(frozen=True, slots=True)
class Told:
    """A line that only makes sense with its neighbours: `end`, `way A`, `around … as …`, `method …`, `gives …`."""

    how: str
    span: Span
    names: tuple[s.Names, ...] = ()
    closed: bool = True


@dataclass(frozen=True, slots=True)
class Filled:
    """A phrase with what fills its slots."""

    phrase: s.Phrase
    fillings: tuple[s.Filling, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class _Group:
    """The marks of a `given` line that share an end such as `at (0, 0) mm`."""

    names: tuple[s.Name, ...]
    end: Parts


class Makers:
    """The makers; `phrases` are the actions' and the claims' phrases, as given to the parser."""

    def __init__(self, actions: Sequence[s.Phrase], claims: Sequence[s.Phrase]) -> None:
        self._phrases = {"action": actions, "claim": claims}

    # --- lines ---

    def claimed(self, parts: Parts) -> s.ClaimLine:
        filled: Filled = parts[1]
        within = parts[3] if len(parts) > 2 else None
        return s.ClaimLine(filled.phrase, filled.fillings, within, "", _over(parts))

    def phrase(self, reading: Reading, parts: Parts) -> Filled:
        """Return a phrase with what fills its slots; left out picks are (), a left out `say` is None."""
        phrase = self._phrases[reading.kind][reading.index]
        given = iter([part for part in parts if not isinstance(part, Word)])
        fillings = tuple(next(given) if there else absent for there, absent in reading.slots)
        return Filled(phrase, fillings, _over(parts))

    def made(self, parts: Parts) -> s.Action:
        filled: Filled = parts[2]
        return s.Action(parts[0], filled.phrase, filled.fillings, _over(parts))

    def alias(self, parts: Parts) -> s.Alias:
        return s.Alias(parts[0], parts[2], _over(parts))

    def method_use(self, parts: Parts) -> s.MethodUse:
        return s.MethodUse(parts[0], parts[2], parts[4], _over(parts))

    def end(self, parts: Parts) -> Told:
        return Told("end", _over(parts))

    def way(self, parts: Parts) -> Told:
        return Told("way", _over(parts), (s.Names((parts[1],), parts[1].span),))

    def around(self, parts: Parts) -> Told:
        return Told("around", _over(parts), _names(parts), closed=len(parts) == 4)

    def method(self, parts: Parts) -> Told:
        name = s.Names((parts[1],), parts[1].span)
        return Told("method", _over(parts), (name, *_names(parts)))

    def gives(self, parts: Parts) -> Told:
        return Told("gives", _over(parts), _names(parts))

    # --- blank, bench, given ---

    def plate(self, parts: Parts) -> s.Blank:
        across, free = parts[3]
        thickness, wood = parts[4] if len(parts) > 4 else (None, "")
        return s.Blank("round", across, across, free, thickness, wood, _over(parts))

    def board(self, parts: Parts) -> s.Blank:
        thickness, wood = parts[4] if len(parts) > 4 else (None, "")
        return s.Blank("board", _measure(parts[1]), _measure(parts[3]), False, thickness, wood, _over(parts))

    def paper(self, parts: Parts) -> s.Blank:
        return s.Blank("paper", None, None, False, None, "", _over(parts))

    def across(self, parts: Parts) -> tuple[s.Measure | None, bool]:
        lengths = [_measure(part) for part in parts if part.kind == "length"]
        return (lengths[0] if lengths else None), parts[0].kind != "length"

    def blank_end(self, parts: Parts) -> tuple[s.Measure | None, str]:
        thickness = next((_measure(part) for part in parts if isinstance(part, Word) and part.kind == "length"), None)
        return thickness, next((part for part in parts if isinstance(part, str)), "")

    def wood(self, parts: Parts) -> str:
        return " ".join(str(part) for part in parts)

    def bench(self, parts: Parts) -> tuple[s.BenchLine, ...]:
        wishes: tuple[s.BenchLine, ...] = parts[1]
        return wishes

    def wishes(self, parts: Parts) -> tuple[s.BenchLine, ...]:
        return (parts[0],) if len(parts) == 1 else (*parts[0], parts[2])

    def wish(self, number_of_wish: int, parts: Parts) -> s.BenchLine:
        key = BENCH_WISHES[number_of_wish][1]
        values = [_value(part) for part in parts if part.kind != "word" and part.kind != "sign"]
        if key == "ruler class":
            values = [str(parts[-1])]
        elif key == "level":
            values = [str(parts[0])]
        return s.BenchLine(key, values[0] if len(values) == 1 else tuple(values), _over(parts))

    def moisture(self, parts: Parts) -> tuple[s.BenchLine, ...]:
        return (s.BenchLine("moisture", (_percent(parts[1]), _percent(parts[5])), _over(parts)),)

    def given_marks(self, parts: Parts) -> tuple[_Group, ...]:
        first, *rest = parts[-1]
        names = tuple(part for part in parts if isinstance(part, s.Name))
        return (_Group(names + first.names, first.end), *rest)

    def given_end(self, parts: Parts) -> tuple[_Group, ...]:
        if isinstance(parts[-1], tuple):
            return (_Group((), parts[:-1]), *parts[-1])
        return (_Group((), parts),)

    def given(self, parts: Parts) -> s.Given:
        """Return what is given; several `A at (0, 0) mm` become one list, the unit of a later one holding before it."""
        groups: tuple[_Group, ...] = parts[1]
        span = _over([parts[0], groups[-1].names[-1]])
        ways = {str(group.end[0]) for group in groups}
        if len(ways) > 1:
            raise Wrong("T116.ways", _over(groups[1].names))
        if "," in ways:
            (group,) = groups
            _expect(len(group.names) == 2, group, "T116.apart")
            return s.Given(group.names, (), False, _measure(group.end[1]), span)
        names: tuple[s.Name, ...] = ()
        places: tuple[s.Place, ...] = ()
        unit = ""
        for group in reversed(groups):
            unit = next((str(part) for part in group.end if isinstance(part, Word) and str(part) in UNITS), unit)
            here = next((part for part in group.end if isinstance(part, list)), [])
            if here:
                marks, at = say("count.marks", count=len(group.names)), say("count.places", count=len(here))
                _expect(len(here) == len(group.names), group, "T116.places", marks=marks, places=at)
            names, places = group.names + names, tuple(_in_millimetres(place, unit) for place in here) + places
        return s.Given(names, places, "anywhere" in ways, None, span)

    def places(self, parts: Parts) -> list[s.Place]:
        return [parts[0]] if len(parts) == 1 else [*parts[0], parts[2]]

    def place(self, parts: Parts) -> s.Place:
        return s.Place(parts[1], parts[3], _over(parts))

    def unit(self, parts: Parts) -> Word:
        return parts[0]

    # --- carving ---

    def carve(self, parts: Parts) -> s.Carve:
        return s.Carve(_over(parts))

    def cut(self, parts: Parts) -> s.CarveLine:
        names, words = _named(parts[1:])
        return s.CarveLine("cut", None, names, words, _over(parts))

    def stand(self, parts: Parts) -> s.CarveLine:
        return s.CarveLine("stand", None, (), (str(parts[-1]) if len(parts) == 2 else "on",), _over(parts))

    def from_to(self, parts: Parts) -> list[Any]:
        return list(parts)

    def groove(self, parts: Parts) -> s.CarveLine:
        names, words = _named(parts[1:])
        return s.CarveLine("groove", None, names, words, _over(parts))

    def which_chip(self, parts: Parts) -> list[Any]:
        return list(parts)

    def chip_place(self, parts: Parts) -> list[Any]:
        return list(parts)

    def chip_side(self, parts: Parts) -> list[Any]:
        return list(parts)

    def chip(self, parts: Parts) -> s.CarveLine:
        names, words = _named(parts[3:])
        return s.CarveLine("chip", parts[0], names, words, _over(parts))

    def leave(self, parts: Parts) -> s.CarveLine:
        names, words = _named(parts[3:])
        return s.CarveLine("leave", None, names, words, _over(parts))

    def knife(self, parts: Parts) -> s.CarveLine:
        names, words = _named(parts[1:])
        return s.CarveLine("knife", None, names, words, _over(parts))

    def deepest(self, parts: Parts) -> s.CarveLine:
        return s.CarveLine("deepest", None, (_measure(parts[1]),), (), _over(parts))

    def land(self, parts: Parts) -> s.CarveLine:
        return s.CarveLine("land", None, (_measure(parts[3]),), (), _over(parts))

    # --- what fills slots ---

    def name(self, parts: Parts) -> s.Name:
        return s.Name(str(parts[0]), parts[0].span)

    def names_one(self, parts: Parts) -> s.Names:
        rest = parts[1].items if len(parts) > 1 else ()
        return s.Names((parts[0], *rest), _over(parts))

    def names_range(self, parts: Parts) -> s.Names:
        rest = parts[3].items if len(parts) > 3 else ()
        return s.Names((s.NameRange(parts[0], parts[2]), *rest), _over(parts))

    def more(self, parts: Parts) -> s.Names:
        return parts[-1]

    def measure(self, parts: Parts) -> s.Measure:
        return _measure(parts[0])

    def angle(self, parts: Parts) -> s.Angle:
        return _angle(parts[0])

    def fraction(self, parts: Parts) -> tuple[Fraction, Span]:
        if str(parts[0]) == "half":
            return Fraction(1, 2), parts[0].span
        value = _number(parts[0])
        if len(parts) > 1:
            below = _number(parts[2])
            if below == 0:
                raise _nothing_below(parts[2].span)
            value /= below
        if value == 0:
            raise Wrong("T115", _over(parts))
        return value, _over(parts)

    def part(self, parts: Parts) -> s.Part:
        ratio, span = parts[0]
        return s.Part(ratio, parts[2], _join(span, parts[2].span))

    def combined(self, parts: Parts) -> s.Combined:
        return s.Combined(parts[0], -1 if str(parts[1]) == "less" else 1, parts[2], _over(parts))

    def distance(self, parts: Parts) -> s.Distance:
        return s.Distance(parts[0], parts[-1], _over(parts))

    def setting_named(self, parts: Parts) -> s.Setting:
        return s.Setting("named", (parts[1],), _over(parts))

    def setting_marks(self, parts: Parts) -> s.Setting:
        return s.Setting("marks", (parts[2], parts[4]), _over(parts))

    def setting_same(self, parts: Parts) -> s.Setting:
        return s.Setting("same", (), _over(parts))

    def setting_ruler(self, parts: Parts) -> s.Setting:
        return s.Setting("ruler", (parts[0],), _over(parts))

    def bound(self, parts: Parts) -> s.Bound:
        if len(parts) == 1:
            return s.Bound("", None, _over(parts))
        return s.Bound(str(parts[1]), parts[2], _over(parts))

    def say(self, parts: Parts) -> s.Say:
        last = parts[-1]
        return s.Say(parts[1], last if len(parts) == 4 and isinstance(last, s.Name) else None, _over(parts))

    def say_place(self, parts: Parts) -> s.Say:
        return s.Say(_in_millimetres(parts[2], str(parts[3])), None, _over(parts))

    def picks(self, parts: Parts) -> tuple[s.Pick, ...]:
        return (parts[0],) if len(parts) == 1 else (*parts[0], parts[1])

    def pick(self, parts: Parts) -> s.Pick:
        how = parts[0].text.removeprefix(",").strip()
        names = tuple(part for part in parts if isinstance(part, s.Name))
        return s.Pick("side" if how == "on" else how, names, _over(parts))

    # --- ratios ---

    def ratio_number(self, parts: Parts) -> s.Ratio:
        return s.Ratio("number", parts[0].span, _number(parts[0]))

    def ratio_half(self, parts: Parts) -> s.Ratio:
        return s.Ratio("number", parts[0].span, Fraction(1, 2))

    def ratio_pi(self, parts: Parts) -> s.Ratio:
        return s.Ratio("pi", parts[0].span)

    def ratio_sqrt(self, parts: Parts) -> s.Ratio:
        return s.Ratio("sqrt", _over(parts), None, (parts[2],))

    def ratio_brackets(self, parts: Parts) -> s.Ratio:
        inner = parts[1]
        return s.Ratio(inner.op, _over(parts), inner.value, inner.parts)

    def ratio_negative(self, parts: Parts) -> s.Ratio:
        return s.Ratio("neg", _over(parts), None, (parts[1],))

    def operation(self, parts: Parts) -> s.Ratio:
        sign = str(parts[1])
        if sign == "/" and parts[2].op == "number" and parts[2].value == 0:
            raise _nothing_below(parts[2].span)
        return s.Ratio(sign, _over(parts), None, (parts[0], parts[2]))

    def gap(self, parts: Parts) -> s.Measure | s.Angle | s.Ratio | Fraction:
        part = parts[0]
        if isinstance(part, s.Ratio):
            return part
        if part.kind == "percent":
            return _percent(part)
        return _angle(part) if part.kind == "angle" else _measure(part)


# --- numbers ----------------------------------------------------------------------------------


def _figures(word: Word) -> None:
    if len(word.text) > LONGEST_NUMBER:
        raise Wrong("T112", word.span)


def _nothing_below(span: Span) -> Wrong:
    return Wrong("T113", span)


def _read(word: Word, read: Any) -> Fraction:
    _figures(word)
    try:
        return read(word.text)
    except ZeroDivisionError:
        raise _nothing_below(word.span) from None


def _number(word: Word) -> Fraction:
    return _read(word, number)


def _percent(word: Word) -> Fraction:
    return _read(word, hundredths)


def _measure(word: Word) -> s.Measure:
    return s.Measure(_read(word, millimetres), word.text, word.span)


def _angle(word: Word) -> s.Angle:
    return s.Angle(_read(word, turns), word.text, word.span)


def _value(word: Word) -> s.Measure | s.Angle | Fraction | str:
    if word.kind == "length":
        return _measure(word)
    if word.kind == "angle":
        return _angle(word)
    return _percent(word) if word.kind == "percent" else word.text.strip('"')


def _in_millimetres(place: s.Place, unit: str) -> s.Place:
    if unit == "mm":
        return place
    x, y = (s.Ratio("*", one.span, None, (one, s.Ratio("number", one.span, per_unit(unit)))) for one in (place.x, place.y))
    return s.Place(x, y, place.span)


# --- places and lists -------------------------------------------------------------------------


def _names(parts: Parts) -> tuple[s.Names, ...]:
    return tuple(part for part in parts if isinstance(part, s.Names))


def _named(parts: Iterable[Any]) -> tuple[tuple[Any, ...], tuple[str, ...]]:
    """Return what a carve line speaks of, and its words: nested lists laid flat, signs left out."""
    speaks: list[Any] = []
    words: list[str] = []
    for part in parts:
        if isinstance(part, list):
            inner, inner_words = _named(part)
            speaks += inner
            words += inner_words
        elif not isinstance(part, Word):
            speaks.append(part)
        elif part.kind == "length":
            speaks.append(_measure(part))
        elif part.kind == "angle":
            speaks.append(_angle(part))
        elif part.kind == "word":
            words.append(part.text.removeprefix(",").strip())
    text = " ".join(words)
    for together in ("the long way", "that holds", "with corners", "on the side of"):
        text = text.replace(together, together.replace(" ", "_"))
    return tuple(speaks), tuple(word.replace("_", " ") for word in text.split())


def _expect(holds: bool, group: _Group, key: str, **values: object) -> None:
    if not holds:
        raise Wrong(key, _over(group.names), **values)


def _span(part: Any) -> Span | None:
    if isinstance(part, (list, tuple)):
        found = [span for span in map(_span, part) if span is not None]
        return _join(found[0], found[-1]) if found else None
    return getattr(part, "span", None)


def _over(parts: Iterable[Any]) -> Span:
    """Return the place from the first to the last of the parts, as far as the first's line."""
    found = [span for span in map(_span, parts) if span is not None]
    return _join(found[0], found[-1])


def _join(first: Span, last: Span) -> Span:
    if first.line != last.line:
        return first
    return Span(first.line, first.column, last.column + last.width - first.column, first.source)
