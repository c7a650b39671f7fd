"""Words that people see, by key: one file a language in `data/words/`, so that a translation is one file.

`say("sheet.scale", plate="240 mm")` fills in a sentence.  Nothing that is filled
in is ever read as a pattern, so a hostile name in a recipe stays a name.
Only those tables of a file are parsed whose sentences are asked for, because the
start of a short command would otherwise wait for all the others.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache
from pathlib import Path
from typing import Any

ENGLISH = "en"
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
    return _found(_spoken.get(), key) or _found(ENGLISH, key)


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


def sentences(spoken: str) -> Mapping[str, str | Mapping[str, str]]:
    """Return every sentence of a language by its dotted key; a count's two forms stay together."""
    if spoken not in languages():
        raise KeyError(spoken)
    return dict(_flat(tomllib.loads(_text(spoken)), ""))


@cache
def _found(spoken: str, key: str) -> str | Mapping[str, str] | None:
    """Return a language's own sentence for a key: it stands in the table with the longest name that the key begins with."""
    parts = key.split(".")
    names = [".".join(parts[:count]) for count in range(len(parts), 0, -1)]
    return next((said for said in (_table(spoken, name).get(key) for name in names if name in _tables(spoken)) if said is not None), None)


@cache
def _table(spoken: str, name: str) -> Mapping[str, str | Mapping[str, str]]:
    """Return the sentences of one table of a language, each by its whole key."""
    return dict(_flat(tomllib.loads(_tables(spoken)[name]), ""))


@cache
def _tables(spoken: str) -> Mapping[str, str]:
    """Return the text of each table of a language, by its name; a table begins where a line begins with `[`."""
    found = {}
    for text in f"\n{_text(spoken)}".split("\n["):
        name = re.match(r"[\w.-]+(?=\])", text)
        if name:
            found[name[0]] = f"[{text}\n"
    return found


def _text(spoken: str) -> str:
    return (_folder() / f"{spoken}.toml").read_text(encoding="utf-8")


def _flat(table: Mapping[str, Any], before: str) -> Iterator[tuple[str, str | Mapping[str, str]]]:
    for key, value in table.items():
        if isinstance(value, Mapping) and set(value) != {"one", "many"}:
            yield from _flat(value, f"{before}{key}.")
        else:
            yield f"{before}{key}", value


def _folder() -> Path:
    return Path(__file__).parent / "data" / "words"
