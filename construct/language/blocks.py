"""Puts the records of lines together to a recipe: the order of its parts, and its blocks.

Blocks are kept on a list, not in calls, so that no depth of them can break the
parser.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

from construct.diagnostics import Span
from construct.language import syntax as s
from construct.language.makers import Told
from construct.language.printer import print_claim
from construct.language.words import Word
from construct.phrasebook import say

DEEPEST = 50

_ORDER = ("head", "blank", "`bench`", "`use`", "methods", "`given`", "steps", "`carve`")


@dataclass(slots=True)
class _Frame:
    """An open block: what opened it, what stands in it, and the finished ways before it."""

    told: Told
    block: list[s.Statement] = field(default_factory=list)
    ways: list[s.Way] = field(default_factory=list)
    gives: s.Names | None = None
    first: Span | None = None


class Arrangement:
    """A recipe as far as it has been read.

    complain: takes the key of a mistake, its place, and what its wording names.
    only_methods: True for a file of methods, which holds nothing else.
    """

    def __init__(self, complain: Callable[..., None]) -> None:
        self._complain = complain
        self.only_methods = False
        self.methods: list[s.Method] = []
        self._phase = 0
        self._frames: list[_Frame] = []
        self._title: str | None = None
        self._blank: s.Blank | None = None
        self._bench: list[s.BenchLine] = []
        self._uses: list[s.Use] = []
        self._given: list[s.Given] = []
        self._statements: list[s.Statement] = []

    def finish(self) -> s.Blank | None:
        """Complain of blocks still open; return the blank if there is one."""
        for frame in self._frames:
            what = frame.told.how
            self._complain("T123", frame.first or frame.told.span, what=what)
        return self._blank

    def recipe(self, blank: s.Blank, lines: tuple[str, ...], source: str) -> s.Recipe:
        """Return what has been read."""
        return s.Recipe(
            self._title or "",
            blank,
            tuple(self._bench),
            tuple(self._uses),
            tuple(self.methods),
            tuple(self._given),
            tuple(self._statements),
            lines,
            source,
        )

    def titled(self, word: Word, title: str) -> None:
        """Give `recipe`, `step` or `use`, with the free text after it, its place."""
        what = word.text
        if not title and what != "recipe":
            self._complain("T130.step" if what == "step" else "T130.use", word.span)
            return
        if self.only_methods:
            self._complain("T120.methods_title", word.span, what=what)
        elif what == "recipe":
            if self._title is not None:
                self._complain("T122.recipe", word.span)
            else:
                self._title = title
                self._in_order(0, word.span, "`recipe`")
        elif what == "use":
            if self._outside(word.span, "`use`") and self._in_order(3, word.span, "`use`"):
                self._uses.append(s.Use(title, word.span))
        elif self._phase == 7:
            self._complain("T127.step", word.span)
        elif self._frames or self._in_order(6, word.span, "step"):
            self._add(s.Heading(title, word.span))

    def _in_order(self, phase: int, span: Span, what: str) -> bool:
        if phase < self._phase:
            here = _part(_ORDER[self._phase])
            self._complain("T120.order", span, what=_part(what), here=here)
            return False
        self._phase = phase
        return True

    def _outside(self, span: Span, what: str) -> bool:
        if self._frames:
            opened = self._frames[-1].told
            self._complain("T125.inside", span, what=_part(what), block=opened.how, line=opened.span.line)
            return False
        return True

    def place(self, record: object, span: Span) -> None:
        """Give one line's record its place in the recipe; `span` is the line's first word."""
        match record:
            case Told():
                self._told(record)
            case s.ClaimLine():
                claim = replace(record, text=print_claim(record))
                if self._frames or not self.only_methods:
                    self._add(claim)
                else:
                    self._complain("T120.methods", record.span)
            case s.Blank() if self._outside(record.span, "blank") and self._may(record.span):
                if self._blank is not None:
                    self._complain("T122.blank", record.span)
                elif self._in_order(1, record.span, "blank"):
                    self._blank = record
            case s.Given() if self._outside(record.span, "`given`") and self._may(record.span):
                if self._in_order(5, record.span, "`given`"):
                    self._given.append(record)
            case tuple():
                if self._outside(span, "bench") and self._may(span) and self._in_order(2, span, "bench"):
                    self._bench += record
            case s.Carve() if self._outside(record.span, "`carve`") and self._may(record.span):
                if self._phase == 7:
                    self._complain("T122.carve", record.span)
                else:
                    self._phase = 7
                    self._statements.append(record)
            case s.CarveLine():
                if self._phase == 7:
                    self._add(record)
                else:
                    self._complain("T128", record.span)
            case s.Action() | s.Alias() | s.MethodUse():
                self._action(record)

    def _may(self, span: Span) -> bool:
        if self.only_methods:
            self._complain("T120.methods", span)
        return not self.only_methods

    def _action(self, record: s.Action | s.Alias | s.MethodUse) -> None:
        if self._phase == 7:
            self._complain("T127.drawn", record.span)
            return
        for item in record.names.items:
            for name in (item,) if isinstance(item, s.Name) else (item.first, item.last):
                if name.text == "edge":
                    self._complain("T105.edge", name.span)
        if self._frames or (self._may(record.span) and self._in_order(6, record.span, "line")):
            self._add(record)

    def _add(self, statement: s.Statement) -> None:
        (self._frames[-1].block if self._frames else self._statements).append(statement)

    # --- blocks ---

    def _told(self, told: Told) -> None:
        match told.how:
            case "end":
                self._close(told)
            case "gives":
                self._gives(told)
            case _:
                self._open(told)

    def opened(self, told: Told) -> None:
        """Take note of a block whose first line could not be read, so that its `end` finds it."""
        self._open(told, checked=False)

    def _open(self, told: Told, *, checked: bool = True) -> None:
        top = self._frames[-1] if self._frames else None
        if told.how == "way" and top is not None and top.told.how == "way":
            top.ways += _way(top)
            top.told, top.block = told, []
            return
        if checked:
            if told.how == "method":
                if self._outside(told.span, "method"):
                    self._in_order(4, told.span, "method")
            elif not self._frames and self._may(told.span) and self._phase < 7:
                self._in_order(6, told.span, f"`{told.how}`")
            elif told.how == "way" and self._phase == 7:
                self._complain("T127.ways", told.span)
        self._frames.append(_Frame(told, first=told.span))
        if len(self._frames) == DEEPEST + 1:
            self._complain("T126", told.span, most=DEEPEST)

    def _gives(self, told: Told) -> None:
        frame = self._frames[-1] if self._frames else None
        if frame is None or frame.told.how != "method":
            self._complain("T125.gives", told.span)
        elif frame.gives is not None or len(frame.told.names) > 2:
            self._complain("T129.twice", told.span)
        else:
            frame.gives = told.names[0]

    def _close(self, told: Told) -> None:
        if not self._frames:
            self._complain("T124", told.span)
            return
        frame = self._frames.pop()
        names = frame.told.names
        if frame.told.how == "way":
            self._add(s.Ways((*frame.ways, *_way(frame)), frame.first or frame.told.span))
        elif not names:
            return  # its first line could not be read, and has been reported
        elif frame.told.how == "around":
            items, letters = names
            for item in letters.items:
                if not isinstance(item, s.Name):
                    self._complain("T106.letters", item.first.span)
            plain = tuple(item for item in letters.items if isinstance(item, s.Name))
            self._add(s.Round(items, plain, frame.told.closed, tuple(frame.block), frame.told.span))
        else:
            gives = frame.gives if len(names) < 3 else names[2]
            if gives is None:
                self._complain("T129.missing", frame.told.span)
                return
            (name,) = names[0].items
            assert isinstance(name, s.Name)
            self.methods.append(s.Method(name, names[1], gives, tuple(frame.block), frame.told.span))


def _part(what: str) -> str:
    """Return the words for a part of a recipe; a word of the language in backquotes stays as it is."""
    return what if what.startswith("`") else say(f"part.{what}")


def _way(frame: _Frame) -> list[s.Way]:
    """Return the way a frame holds; none where its first line could not be read."""
    if not frame.told.names:
        return []
    (name,) = frame.told.names[0].items
    assert isinstance(name, s.Name)
    return [s.Way(name, tuple(frame.block), frame.told.span)]
