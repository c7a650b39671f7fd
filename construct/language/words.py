"""Splits a text into logical lines, and a line into words with their places.

Numbers with a unit are one word: `9 1/2 in`, `12 mm`, `3/17 of a turn`, `9 %`.
Nothing is read here but the shape of words; what they mean is the grammar's.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from construct.diagnostics import Span

RESERVED = frozenset(
    "at of on in to from by as is are and or with about through along across round toward away between inside"
    " outside over under nearest farthest other than same opening half angle the edge within say times"
    " mm cm in deg sqrt pi end".split()
)

# Longer numbers are no workshop's: they only cost time.
LONGEST_NUMBER = 60

_NUMBER = r"(?:[0-9]+[ \t]+)?[0-9]+[ \t]*/[ \t]*[0-9]+|[0-9]+(?:\.[0-9]+)?"
_WORD = re.compile(
    rf"""
    (?P<space>[ \t\u00a0]+)
  | (?P<comment>\#.*)
  | (?P<path>"[^"]*"|[\w./~-]*\.toml(?![\w.]))
  | (?P<length>(?:{_NUMBER})[ \t]*(?:mm|cm|in)(?!\w))
  | (?P<angle>(?:{_NUMBER})[ \t]*(?:deg(?!\w)|of[ \t]+a[ \t]+turn(?!\w)))
  | (?P<percent>(?:{_NUMBER})[ \t]*%)
  | (?P<number>(?>[0-9]+(?:\.[0-9]+)?)(?![\w.']))
  | (?P<word>(?>[^\W\d_][\w']*(?:\.[^\W\d_][\w']*)*)(?!\.))
  | (?P<sign>[,:()+*/-])
  | (?P<bad>[\w.'][^\s,:()+*/]*|.)
    """,
    re.VERBOSE,
)

_INCH = Fraction(254, 10)
UNITS = {"mm": Fraction(1), "cm": Fraction(10), "in": _INCH}


@dataclass(frozen=True, slots=True)
class Word:
    """One word of a line.

    kind: "word", "number", "length", "angle", "percent", "path", "sign" or "bad".
    text: as written, its blanks made single.
    """

    kind: str
    text: str
    span: Span

    def __str__(self) -> str:
        return self.text


def split(text: str, line: int, source: str = "") -> list[Word]:
    """Return the words of one line of text, comments and blanks left out."""
    found = []
    for match in _WORD.finditer(text):
        kind = match.lastgroup or ""
        if kind == "space" or kind == "comment":
            continue
        start = match.start()
        span = Span(line, start + 1, match.end() - start, source)
        if kind in ("length", "angle", "percent"):
            found.append(Word(kind, _tidy(match[0]), span))
        else:
            found.append(Word(kind, match[0], span))
    return found


def number(text: str) -> Fraction:
    """Return what `9`, `0.1`, `1/2` or `9 1/2` is, exactly; the form is already known to be right.

    `ZeroDivisionError` where a part is over nothing.
    """
    whole, _, part = text.rpartition(" ")
    if not whole:
        return Fraction(text)
    return Fraction(whole) + Fraction(part)


def millimetres(text: str) -> Fraction:
    """Return a written length such as `7 15/16 in` in millimetres, exactly."""
    amount, _, unit = text.rpartition(" ")
    return number(amount) * UNITS[unit]


def per_unit(unit: str) -> Fraction:
    """Return how many millimetres a unit of length is."""
    return UNITS[unit]


def turns(text: str) -> Fraction:
    """Return a written angle such as `45 deg` or `3/17 of a turn` as a part of a full turn, exactly."""
    if text.endswith(" of a turn"):
        return number(text.removesuffix(" of a turn"))
    return number(text.removesuffix(" deg")) / 360


def hundredths(text: str) -> Fraction:
    """Return a written percentage such as `0.5 %` as a fraction, exactly."""
    return number(text.removesuffix(" %")) / 100


def is_name(text: str) -> bool:
    """Say whether a word may be a name: no part of it is a reserved word."""
    return all(part not in RESERVED for part in text.split("."))


_TIDY = re.compile(r"[ \t]*/[ \t]*")
_UNIT = re.compile(r"(?<=\d)[ \t]*(mm|cm|in|deg|of a turn|%)$")


def _tidy(text: str) -> str:
    """Write a number with its unit in the one way the printer does: `12mm` as `12 mm`."""
    text = " ".join(text.split())
    return _UNIT.sub(r" \1", _TIDY.sub("/", text))
