"""Which marks lie on which lines, and what touches what, by the way they were made.

Only what holds for every choice counts: a mark that happens to fall on a line
in the drawn example is not noted.
"""

from __future__ import annotations

from collections.abc import Sequence

from construct.language.syntax import Phrase
from construct.plan import Argument, Thing


class Incidence:
    """Notes kept while a plan grows; indices are those of the plan's things."""

    def __init__(self) -> None:
        self._lines_of: dict[int, set[int]] = {}
        self.touching: set[frozenset[int]] = set()

    def note(
        self, phrase: Phrase, arguments: tuple[Argument, ...], outputs: tuple[int, ...], things: Sequence[Thing]
    ) -> None:
        """Note what one step says about incidence."""
        named = [argument for argument in arguments if isinstance(argument, int)]
        if phrase.option("touches"):
            round_or_straight = [one for one in named if things[one].kind == "circle" or phrase.gives == "circle"]
            self.touching |= {frozenset((outputs[0], one)) for one in round_or_straight if things[one].kind != "mark"}
        if phrase.gives == "mark" and phrase.option("through", True):
            # of a free choice only the first thing is what the mark is on; the other is what its angle is seen from
            lines = {one for one in (named[:1] if phrase.option("free") else named) if things[one].kind == "line"}
            for mark in outputs:
                self._lines_of.setdefault(mark, set()).update(lines)
        elif phrase.gives == "line" and phrase.option("through", True):
            for line in outputs:
                for mark in named:
                    if things[mark].kind == "mark":
                        self._lines_of.setdefault(mark, set()).add(line)

    def first_line(self, mark: int) -> int | None:
        """Return the first drawn line that a mark lies on, or None."""
        return min(self._lines_of.get(mark, ()), default=None)

    def touch(self, first: int, second: int) -> bool:
        """Tell whether two things were made to touch."""
        return frozenset((first, second)) in self.touching
