"""Words that people see, by key: one file a language in `data/words/`, so that a translation is one file.

`say("sheet.scale", plate="240 mm")` fills in a sentence.  Nothing that is filled
in is ever read as a pattern, so a hostile name in a recipe stays a name.  `tell` does
the same and keeps the lengths in the sentence, for whoever reads it in inches.
Only those tables of a file are parsed whose sentences are asked for, because the
start of a short command would otherwise wait for all the others.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

ENGLISH = "en"
MM_PER_INCH = Fraction(254, 10)
DECIMALS = {"mm": 2, "in": 3}
"""How finely a length inside a told sentence is said; both are finer than a ruler."""

_WORDS = Path(__file__).parent / "data" / "words"
_spoken: ContextVar[str] = ContextVar("spoken", default=ENGLISH)


def say(key: str, /, **values: object) -> str:
    """Return the sentence for a key, its {names} filled in; what a translation lacks is said in English.

    A key with `one` and `many` under it needs the value `count`, which picks between them.
    Raises `KeyError` for a key that English does not have, or for a name that is not given.
    """
    said = found(key)
    if said is None:
        raise KeyError(key)
    if isinstance(said, Mapping):
        said = said["one" if values["count"] == 1 else "many"]
    return str(said).format_map(values)


def found(key: str) -> str | Mapping[str, str] | None:
    """Return the sentence for a key as it is written, in English where a translation lacks it; None where there is none."""
    return _found(_folder(), _spoken.get(), key) or _found(_folder(), ENGLISH, key)


@dataclass(frozen=True, slots=True)
class Length:
    """A length inside a sentence that is told below the reports, where nobody knows the reader's unit.

    mm: the length, written in full, or to `figures` significant figures.  rounds: 1 to round up, −1 down, 0 to leave it.
    """

    mm: Fraction | float
    rounds: int = 0
    figures: int = 6

    def text(self, units: str) -> str:
        """Return it in a unit: "108.66 mm", "4.278 in"."""
        value = self.mm if units == "mm" else self.mm / (MM_PER_INCH if isinstance(self.mm, Fraction) else float(MM_PER_INCH))
        if self.rounds:
            scale = 10 ** DECIMALS[units]
            value = Fraction(-(-value * scale // 1) if self.rounds > 0 else value * scale // 1) / scale
        return f"{float(value):.{self.figures}g} {units}"


class Said(str):
    """A sentence with its lengths in mm, as records hold it, that can be said in another unit too."""

    __slots__ = ("key", "values")
    key: str
    values: Mapping[str, object]

    def __reduce__(self) -> tuple[Any, ...]:
        return _said, (str(self), self.key, self.values)


def tell(key: str, /, **values: object) -> Said:
    """Return the sentence for a key like `say`, lengths in mm; values may be `Length`s and told sentences."""
    return _said(say(key, **{name: in_units(value, "mm") for name, value in values.items()}), key, values)


def in_units(value: object, units: str) -> object:
    """Return a told sentence or a length as text in the reader's unit, "mm" or "in"; anything else as it is."""
    if isinstance(value, Length):
        return value.text(units)
    if isinstance(value, Said):
        return str(value) if units == "mm" else say(value.key, **{name: in_units(one, units) for name, one in value.values.items()})
    return value


def _said(text: str, key: str, values: Mapping[str, object]) -> Said:
    said = Said(text)
    said.key, said.values = key, values
    return said


def language() -> str:
    """Return the language spoken just now, such as "en"."""
    return _spoken.get()


def languages() -> tuple[str, ...]:
    """Return the languages that there is a file for."""
    return tuple(sorted(file.name.removesuffix(".toml") for file in _folder().iterdir() if file.name.endswith(".toml")))


@contextmanager
def speaking(spoken: str) -> Iterator[None]:
    """Speak another language inside a `with`; `KeyError` where there is no file for it."""
    if spoken not in languages():
        raise KeyError(spoken)
    token = _spoken.set(spoken)
    try:
        yield
    finally:
        _spoken.reset(token)


@cache
def sentences(spoken: str) -> Mapping[str, str | Mapping[str, str]]:
    """Return every sentence of a language by its dotted key; a count's two forms stay together."""
    if spoken not in languages():
        raise KeyError(spoken)
    return dict(_flat(tomllib.loads((_folder() / f"{spoken}.toml").read_text(encoding="utf-8")), ""))


@cache
def _found(folder: Path, spoken: str, key: str) -> str | Mapping[str, str] | None:
    """Return a language's own sentence for a key: it stands in the table with the longest name that the key begins with."""
    parts, tables = key.split("."), _tables(folder, spoken)
    names = [".".join(parts[:count]) for count in range(len(parts), -1, -1)]
    return next((said for said in (_table(folder, spoken, name).get(key) for name in names if name in tables) if said is not None), None)


@cache
def _table(folder: Path, spoken: str, name: str) -> Mapping[str, str | Mapping[str, str]]:
    """Return the sentences of one table of a language, each by its whole key."""
    return dict(_flat(tomllib.loads(_tables(folder, spoken)[name]), ""))


@cache
def _tables(folder: Path, spoken: str) -> Mapping[str, str]:
    """Return the text of each table of a language by its name; "" for what stands in none.

    A table begins where a line begins with `[`.  A file that names its tables otherwise than plainly is one text.
    """
    whole = (folder / f"{spoken}.toml").read_text(encoding="utf-8")
    first, *texts = f"\n{whole}".split("\n[")
    names = [re.match(r"[\w.-]+(?=\])", text) for text in texts]
    if not all(names):
        return {"": whole}
    return {"": first} | {name[0]: f"[{text}\n" for name, text in zip(names, texts, strict=True) if name}


def _flat(table: Mapping[str, Any], before: str) -> Iterator[tuple[str, str | Mapping[str, str]]]:
    for key, value in table.items():
        if isinstance(value, Mapping) and set(value) != {"one", "many"}:
            yield from _flat(value, f"{before}{key}.")
        else:
            yield f"{before}{key}", value


def _folder() -> Path:
    return _WORDS
