"""Names: scopes of rounds and methods, and finding what a name in a recipe means."""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass, field

from construct.diagnostics import Wrong
from construct.language.syntax import Name, NameRange, Names
from construct.phrasebook import say
from construct.plan import EDGE, Thing

MOST_IN_A_RANGE = 1000
"""How many names `p1 to p16` may stand for."""


@dataclass(frozen=True, slots=True)
class Spelt(Name):
    """A name whose letters have been replaced already: it is not replaced again.

    index: the thing it means, where that is settled; a row's marks keep theirs, whatever else has their name.
    """

    index: int | None = None


@dataclass(slots=True)
class Scope:
    """What names mean in one place: the recipe itself, or one use of a method.

    letters: what the letters of the rounds around this place stand for.
    prefix: put before a name to make it the only one of its kind in the plan.
    """

    prefix: str = ""
    known: dict[str, int] = field(default_factory=lambda: {"edge": EDGE})
    letters: dict[str, str] = field(default_factory=dict)

    def spell(self, text: str) -> str:
        """Return a name with the letters of the rounds replaced, whole parts only."""
        if not self.letters:
            return text
        return ".".join(self.letters.get(part, part) for part in text.split("."))

    def spelt(self, name: Name) -> str:
        """Return a name's text with the letters of the rounds replaced, once."""
        return name.text if isinstance(name, Spelt) else self.spell(name.text)

    def called(self, index: int, things: list[Thing]) -> str:
        """Return what a thing is called here: inside a method a thing that was given has the method's name for it."""
        own = things[index].name.removeprefix(self.prefix)
        if self.known.get(own) == index:
            return own
        return next((name for name, known in self.known.items() if known == index), own)

    def spell_sentence(self, text: str) -> str:
        """Return a sentence with the letters of the rounds replaced in every name."""
        if not self.letters:
            return text
        return re.sub(r"[^\W\d_][\w']*(?:\.[^\W\d_][\w']*)*", lambda found: self.spell(found[0]), text)

    def find(self, name: Name, things: list[Thing], kinds: tuple[str, ...] = ()) -> int:
        """Return the index of what a name means; `Wrong` where nothing fits."""
        text = self.spelt(name)
        index = name.index if isinstance(name, Spelt) and name.index is not None else self.known.get(text)
        if index is None and text == "edge":
            raise Wrong("P102", name.span)
        if index is None:
            raise Wrong("P103", name.span, kinds=_either(kinds), text=text, known=self._so_far(text, things, kinds))
        if kinds and things[index].kind not in kinds:
            what = say(f"kind.a.{things[index].kind}")
            raise Wrong("P104", name.span, text=text, what=what, kinds=_either(kinds, "a."), known=self._so_far(text, things, kinds))
        return index

    def _so_far(self, text: str, things: list[Thing], kinds: tuple[str, ...]) -> str:
        fitting = [name for name, index in self.known.items() if not kinds or things[index].kind in kinds]
        if not fitting:
            return say("so_far.none", kinds=_either(kinds))
        near = difflib.get_close_matches(text, fitting, n=1)
        shown = ", ".join(fitting[:12]) + (", …" if len(fitting) > 12 else "")
        return say("so_far.near", names=shown, near=near[0]) if near else say("so_far.names", names=shown)


def _either(kinds: tuple[str, ...], article: str = "") -> str:
    return f" {say('list.or')} ".join(say(f"kind.{article}{kind}") for kind in kinds or ("thing",))


def written_out(scope: Scope, names: Names, rows: dict[int, tuple[int, ...]], things: list[Thing]) -> list[Name]:
    """Return the names of a list with ranges counted out and rows replaced by their marks."""
    result: list[Name] = []
    for item in names.items:
        if isinstance(item, NameRange):
            result += counted(item)
            continue
        index = scope.known.get(scope.spelt(item))
        if index is not None and index in rows:
            result += [Spelt(scope.called(member, things), item.span, member) for member in rows[index]]
        else:
            result.append(Spelt(scope.spelt(item), item.span))
    return result


def counted(item: NameRange) -> list[Name]:
    """Return `p1 to p16` counted out."""
    first, last = (re.fullmatch(r"(.*?)(\d+)", end.text) for end in (item.first, item.last))
    if first is None or last is None or first[1] != last[1]:
        raise Wrong("P105", item.first.span, first=item.first.text, last=item.last.text)
    low, high = int(first[2]), int(last[2])
    if not low < high or high - low >= MOST_IN_A_RANGE:
        raise Wrong("P106", item.last.span)
    return [Name(f"{first[1]}{number}", item.first.span) for number in range(low, high + 1)]
