"""What the language's tests share: the phrases of `fixtures/phrases.txt`, in place of the tools' and the claims'."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields, is_dataclass
from pathlib import Path

import pytest

from construct.diagnostics import Span
from construct.language.parser import parse, parse_methods
from construct.language.syntax import Method, Name, Phrase, Recipe

FIXTURES = Path(__file__).parent / "fixtures"


def _never() -> None:
    raise AssertionError("the language must not make anything")


@dataclass(frozen=True)
class Language:
    """A parser with its phrases."""

    actions: tuple[Phrase, ...]
    claims: tuple[Phrase, ...]

    def parse(self, text: str, source: str = "") -> Recipe:
        return parse(text, actions=self.actions, claims=self.claims, source=source)

    def parse_methods(self, text: str) -> tuple[Method, ...]:
        return parse_methods(text, actions=self.actions, claims=self.claims)


@pytest.fixture(scope="session")
def language() -> Language:
    found: dict[str, list[Phrase]] = {"action": [], "claim": []}
    for line in (FIXTURES / "phrases.txt").read_text(encoding="utf-8").splitlines():
        if line.strip() and not line.startswith("#"):
            kind, _, text = line.partition(": ")
            found[kind].append(Phrase(text, make=_never, gives="thing" if kind == "action" else ""))
    return Language(tuple(found["action"]), tuple(found["claim"]))


@pytest.fixture(scope="session")
def read_fixture() -> Callable[[str], str]:
    return lambda name: (FIXTURES / name).read_text(encoding="utf-8")


@pytest.fixture(scope="session", name="bare")
def bare_fixture() -> Callable[..., object]:
    return bare


def bare(record: object, rename: dict[str, str] | None = None) -> object:
    """Return a record as plain tuples without its places, names renamed if asked: what two readings must share."""
    match record:
        case Span():
            return None
        case Phrase():
            return record.text
        case Name():
            return ("Name", ".".join((rename or {}).get(part, part) for part in record.text.split(".")))
        case tuple() | list():
            return tuple(bare(one, rename) for one in record)
        case _ if is_dataclass(record):
            parts = (getattr(record, one.name) for one in fields(record) if one.name not in ("lines", "source"))
            return (type(record).__name__, *(bare(part, rename) for part in parts))
    return record
