"""Reads a recipe: text in, a `Recipe` out, or every mistake of the text at once.

Lines are read one by one, so that a bad line hides no other.  What a name
stands for, and whether it has been made, is not asked here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from construct.diagnostics import Diagnostic, Mistakes, Span
from construct.language import syntax as s
from construct.language.complaints import complain
from construct.language.makers import Told, Unfit
from construct.language.phrases import plain_words
from construct.language.printer import print_claim
from construct.language.sentences import Reader, Stuck
from construct.language.words import Word, is_name, split

CODES = {
    "T101": "the file is not a text",
    "T102": "the text is empty, or far too long",
    "T103": "a line is too long",
    "T104": "a sign or word that the language does not have",
    "T105": "a reserved word used as a name",
    "T106": "a word does not fit where it stands",
    "T107": "a line ends too early",
    "T108": "no line or phrase begins so",
    "T109": "a length, an angle or another amount is not written as one",
    "T110": "an amount below nothing, or not a number",
    "T111": "`pi` where it may not stand",
    "T112": "a number of too many figures",
    "T113": "a division by 0",
    "T114": "too much reckoning in one line",
    "T115": "a part of nothing",
    "T116": "given marks and their places do not match",
    "T120": "a line out of its order",
    "T121": "a recipe without its blank",
    "T122": "a line that stands only once stands twice",
    "T123": "a block is not closed",
    "T124": "an `end` closes nothing",
    "T125": "a line in a block where it may not stand",
    "T126": "blocks too deep in one another",
    "T127": "a line that may not stand after `carve`",
    "T128": "a carving line before `carve`",
    "T129": "a method that gives nothing, or gives twice",
    "T130": "a title or file is missing",
}

LARGEST_BYTES = 10_000_000
MOST_LINES = 100_000
LONGEST_LINE = 2_000
MOST_WORDS = 5_000
MOST_RECKONING = 60
DEEPEST = 50

_TITLE = re.compile(r"[ \t\u00a0]*(recipe|step|use)(?![\w.'])(?![ \t\u00a0]*[,:])[ \t\u00a0]*([^#]*)")
_ORDER = ("the head", "the blank", "`bench`", "`use`", "methods", "`given`", "the steps", "`carve`")


def decode(data: bytes, source: str = "") -> str:
    """Return the text of a file; raise `Mistakes` if it is no text, empty, or far too large."""
    if len(data) > LARGEST_BYTES:
        raise _mistake("T102", "this file is over 10 MB: no recipe is", "a recipe is some dozens of lines", source)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as broken:
        line = data.count(b"\n", 0, broken.start) + 1
        message = f"this is not a text in UTF-8: a byte in line {line} can not be read"
        raise _mistake("T101", message, "save the recipe as plain text, UTF-8", source) from None
    if "\0" in text:
        raise _mistake("T101", "this is not a text: it has null bytes in it", "save the recipe as plain text", source)
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    if not text.strip():
        raise _mistake("T102", "this file is empty", "a recipe begins with `recipe` and a title", source)
    return text


def parse(text: str, *, actions: Sequence[s.Phrase], claims: Sequence[s.Phrase], source: str = "") -> s.Recipe:
    """Return what the text says; raise `Mistakes` with everything that is wrong with the text."""
    lines = _lines(text, source)
    some_actions, some_claims = _within(text, actions), _within(text, claims)
    try:
        return _Builder(Reader(some_actions, some_claims), lines, source).recipe()
    except Mistakes:
        # To say what would have been right takes all phrases.
        return _Builder(Reader(actions, claims), lines, source).recipe()


def parse_methods(
    text: str, *, actions: Sequence[s.Phrase], claims: Sequence[s.Phrase], source: str = ""
) -> tuple[s.Method, ...]:
    """Return the methods of a file that `use` brings; raise `Mistakes` with everything that is wrong with the text."""
    lines = _lines(text, source)
    some_actions, some_claims = _within(text, actions), _within(text, claims)
    try:
        return _Builder(Reader(some_actions, some_claims), lines, source, only_methods=True).methods()
    except Mistakes:
        return _Builder(Reader(actions, claims), lines, source, only_methods=True).methods()


def _within(text: str, phrases: Sequence[s.Phrase]) -> tuple[s.Phrase, ...]:
    """Return the phrases whose words all occur in the text.

    No other can be used in it, and the tables of a grammar take time to build.
    """
    words = set(re.findall(r"[A-Za-z]+", text))
    return tuple(phrase for phrase in phrases if plain_words(phrase.text) <= words)


def _mistake(code: str, message: str, hint: str, source: str) -> Mistakes:
    return Mistakes((Diagnostic(code, message, hint, Span(1, 1, 1, source)),))


def _lines(text: str, source: str) -> tuple[str, ...]:
    lines = tuple(text.replace("\r\n", "\n").removeprefix("\ufeff").split("\n"))
    if not text.strip():
        raise _mistake("T102", "this recipe is empty", "a recipe begins with `recipe` and a title", source)
    if len(lines) > MOST_LINES:
        raise _mistake("T102", f"over {MOST_LINES:,} lines: no recipe is so long", "split it", source)
    return lines[:-1] if lines[-1] == "" else lines


@dataclass(slots=True)
class _Line:
    """A logical line: its words; for `recipe`, `step` and `use` the word and the free text after it."""

    words: list[Word]
    title: str | None = None


@dataclass(slots=True)
class _Frame:
    """An open block: what opened it, what stands in it, and the finished ways before it."""

    told: Told
    block: list[s.Statement] = field(default_factory=list)
    ways: list[s.Way] = field(default_factory=list)
    gives: s.Names | None = None
    first: Span | None = None


class _Builder:
    """Puts lines together to a recipe, and collects what is wrong."""

    def __init__(self, reader: Reader, lines: tuple[str, ...], source: str, *, only_methods: bool = False) -> None:
        self._reader = reader
        self._lines = lines
        self._source = source
        self._only_methods = only_methods
        self._mistakes: list[Diagnostic] = []
        self._made: frozenset[str] = frozenset()
        self._phase = 0
        self._frames: list[_Frame] = []
        self._title: str | None = None
        self._blank: s.Blank | None = None
        self._bench: list[s.BenchLine] = []
        self._uses: list[s.Use] = []
        self._methods: list[s.Method] = []
        self._given: list[s.Given] = []
        self._statements: list[s.Statement] = []

    # --- results ---

    def recipe(self) -> s.Recipe:
        self._run()
        if self._blank is None and not any(one.code in ("T106", "T107", "T109") for one in self._mistakes):
            hint = "such as `plate round, 240 mm across`, `board 300 mm by 200 mm` or `paper`"
            self._complain("T121", "this recipe does not say what is laid out on", hint, Span(1, 1, 1, self._source))
        self._stop()
        assert self._blank is not None
        return s.Recipe(
            self._title or "",
            self._blank,
            tuple(self._bench),
            tuple(self._uses),
            tuple(self._methods),
            tuple(self._given),
            tuple(self._statements),
            self._lines,
            self._source,
        )

    def methods(self) -> tuple[s.Method, ...]:
        self._run()
        self._stop()
        return tuple(self._methods)

    def _stop(self) -> None:
        if self._mistakes:
            self._mistakes.sort(key=lambda one: (one.span.line, one.span.column) if one.span else (0, 0))
            raise Mistakes(tuple(self._mistakes))

    # --- lines ---

    def _run(self) -> None:
        lines = self._logical_lines()
        self._made = self._names_given(lines)
        for line in lines:
            if line.title is not None:
                self._titled(line.words[0], line.title)
            elif self._sound(line.words):
                self._read(line.words)
        for frame in self._frames:
            what = frame.told.how
            self._complain("T123", f"this `{what}` is not closed", "close it with `end`", frame.first or frame.told.span)

    def _logical_lines(self) -> list[_Line]:
        found: list[_Line] = []
        going_on = False
        for number, text in enumerate(self._lines, start=1):
            if len(text) > LONGEST_LINE:
                message = f"a line of {len(text):,} characters"
                hint = f"a line holds at most {LONGEST_LINE:,}; one that ends in a comma goes on in the next"
                self._complain("T103", message, hint, Span(number, LONGEST_LINE + 1, 1, self._source))
                going_on = False
                continue
            title = None if going_on else _TITLE.match(text)
            if title:
                span = Span(number, title.start(1) + 1, len(title[1]), self._source)
                found.append(_Line([Word("word", title[1], span)], title[2].strip()))
                continue
            words = split(text, number, self._source)
            if not words:
                continue
            if going_on:
                found[-1].words += words
            else:
                found.append(_Line(words))
            going_on = words[-1].text == ","
            if len(found[-1].words) > MOST_WORDS:
                span = found[-1].words[0].span
                self._complain("T103", f"a line of over {MOST_WORDS:,} words", "make two rows of it", span)
                found.pop()
                going_on = False
        return found

    def _names_given(self, lines: Iterable[_Line]) -> frozenset[str]:
        """Return the phrase words that the recipe gives as names."""
        phrase_words = self._reader.grammar.words
        found: set[str] = set()
        for line in lines:
            texts = [word.text for word in line.words]
            if ":" in texts:
                texts = texts[: texts.index(":")]
            elif texts[0] == "around" and "as" in texts:
                texts = texts[texts.index("as") :]
            elif texts[0] not in ("given", "method", "gives"):
                continue
            found.update(text for text in texts if text in phrase_words and is_name(text))
        return frozenset(found)

    def _sound(self, words: Sequence[Word]) -> bool:
        """Say whether the words of a line can be read at all; complain if not."""
        for word in words:
            if word.kind == "bad":
                self._strange(word)
                return False
            if word.kind == "word" and "." in word.text and not is_name(word.text):
                part = next(part for part in word.text.split(".") if not is_name(part))
                message = f"`{part}` is never a name, nor a part of a dotted name"
                self._complain("T105", message, "give it another name", word.span)
                return False
        reckoning = sum(word.kind == "sign" and word.text in "+-*/(" for word in words)
        reckoning += sum(word.text in ("half", "less", "sqrt") for word in words)
        of = sum(word.kind == "number" for word in words)
        if reckoning + of > MOST_RECKONING:
            self._complain("T114", "too much reckoning in one line", "make it simpler", words[0].span)
            return False
        pi = next((word for word in words if word.text == "pi"), None)
        if pi is not None and (words[0].text != "claim" or all(word.text != "within" for word in words)):
            message = "`pi` can not be reached with compass and ruler: it stands only in claims with `within`"
            self._complain("T111", message, "such as `claim A B is pi/3 of D E within 0.5 %`", pi.span)
            return False
        return True

    def _strange(self, word: Word) -> None:
        text = word.text
        hint = ""
        if text[0].isdigit():
            message = f"`{text}` is neither a number nor a name"
            hint = "numbers are written `12`, `0.5` or `1/2`; names begin with a letter"
        elif text.startswith("."):
            message, hint = f"`{text}` is no number and no name", "write `0.5`, not `.5`"
        elif text.endswith("."):
            message, hint = f"`{text}` ends in a dot", "a dot joins the parts of a name, as in `a.p`"
        elif text[0] == "_" or any(c.isalnum() for c in text):
            message, hint = f"`{text}` is not a word of the language", "names: a letter, then letters, digits, _ and '"
        else:
            shown = text if text.isprintable() else f"U+{ord(text[0]):04X}"
            message, hint = f"the sign `{shown}` means nothing here", "a comment begins with #"
        self._complain("T104", message, hint, word.span)

    def _read(self, words: list[Word]) -> None:
        try:
            record = self._reader.read(words, self._made)
        except Unfit as unfit:
            self._complain(unfit.code, unfit.message, unfit.hint, unfit.span)
            record = None
        except Stuck as stuck:
            code, message, hint, span = complain(words, stuck)
            self._complain(code, message, hint, span)
            record = None
        if record is None:
            if words[0].text in ("way", "around", "method") and all(word.text != ":" for word in words):
                # The block is there all the same: its `end` must not be reported as well.
                self._open(Told(words[0].text, words[0].span), checked=False)
            return
        self._place(record)

    # --- order ---

    def _titled(self, word: Word, title: str) -> None:
        what = word.text
        if not title and what != "recipe":
            missing = "a title" if what == "step" else "a file of methods"
            hint = "such as `step Find the centre`" if what == "step" else "such as `use methods/halving`"
            self._complain("T130", f"after `{what}` comes {missing}", hint, word.span)
            return
        if self._only_methods:
            self._complain("T120", f"a file of methods holds only methods: `{what}` has no place in it", "", word.span)
        elif what == "recipe":
            if self._title is not None:
                self._complain("T122", "`recipe` stands only once", "", word.span)
            else:
                self._title = title
                self._in_order(0, word.span, "`recipe`")
        elif what == "use":
            if self._outside(word.span, "`use`") and self._in_order(3, word.span, "`use`"):
                self._uses.append(s.Use(title, word.span))
        elif self._phase == 7:
            self._complain("T127", "no step stands after `carve`", "after it come only cut lines and chips", word.span)
        elif self._frames or self._in_order(6, word.span, "a step"):
            self._add(s.Heading(title, word.span))

    def _in_order(self, phase: int, span: Span, what: str) -> bool:
        if phase < self._phase:
            here = _ORDER[self._phase]
            hint = "the order: recipe, blank, bench, use, methods, given, steps, carve"
            self._complain("T120", f"{what} comes before {here}", hint, span)
            return False
        self._phase = phase
        return True

    def _outside(self, span: Span, what: str) -> bool:
        if self._frames:
            opened = self._frames[-1].told
            message = f"{what} can not stand inside the `{opened.how}` of line {opened.span.line}"
            self._complain("T125", message, "is an `end` missing above?", span)
            return False
        return True

    def _place(self, record: object) -> None:
        """Give one record its place in the recipe."""
        match record:
            case Told():
                self._told(record)
            case s.ClaimLine():
                claim = replace(record, text=print_claim(record))
                if self._frames or not self._only_methods:
                    self._add(claim)
                else:
                    self._complain("T120", "a file of methods holds only methods", "", record.span)
            case s.Blank() if self._outside(record.span, "the blank") and self._may(record.span):
                if self._blank is not None:
                    self._complain("T122", "a recipe has only one blank", "", record.span)
                elif self._in_order(1, record.span, "the blank"):
                    self._blank = record
            case s.Given() if self._outside(record.span, "`given`") and self._may(record.span):
                if self._in_order(5, record.span, "`given`"):
                    self._given.append(record)
            case tuple():
                span = record[0].span
                if self._outside(span, "the bench") and self._may(span) and self._in_order(2, span, "the bench"):
                    self._bench += record
            case s.Carve() if self._outside(record.span, "`carve`") and self._may(record.span):
                if self._phase == 7:
                    self._complain("T122", "`carve` stands only once", "", record.span)
                else:
                    self._phase = 7
                    self._statements.append(record)
            case s.CarveLine():
                if self._phase == 7:
                    self._add(record)
                else:
                    self._complain("T128", "this line stands after `carve`", "write `carve` above it", record.span)
            case s.Action() | s.Alias() | s.MethodUse():
                self._action(record)

    def _may(self, span: Span) -> bool:
        if self._only_methods:
            self._complain("T120", "a file of methods holds only methods", "", span)
        return not self._only_methods

    def _action(self, record: s.Action | s.Alias | s.MethodUse) -> None:
        if self._phase == 7:
            hint = "after it come only cut lines, chips, rounds and claims; draw before `carve`"
            self._complain("T127", "nothing is drawn after `carve`", hint, record.span)
            return
        for item in record.names.items:
            for name in (item,) if isinstance(item, s.Name) else (item.first, item.last):
                if name.text == "edge":
                    message = "`edge` is the blank's own edge and can not be made"
                    self._complain("T105", message, "give it another name", name.span)
        if self._frames or (self._may(record.span) and self._in_order(6, record.span, "this line")):
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

    def _open(self, told: Told, *, checked: bool = True) -> None:
        top = self._frames[-1] if self._frames else None
        if told.how == "way" and top is not None and top.told.how == "way":
            top.ways += _way(top)
            top.told, top.block = told, []
            return
        if checked:
            if told.how == "method":
                if self._outside(told.span, "a method"):
                    self._in_order(4, told.span, "a method")
            elif not self._frames and self._may(told.span) and self._phase < 7:
                self._in_order(6, told.span, f"`{told.how}`")
            elif told.how == "way" and self._phase == 7:
                self._complain("T127", "no ways stand after `carve`", "put them into the steps", told.span)
        self._frames.append(_Frame(told, first=told.span))
        if len(self._frames) == DEEPEST + 1:
            self._complain("T126", f"blocks stand at most {DEEPEST} deep in one another", "make it simpler", told.span)

    def _gives(self, told: Told) -> None:
        frame = self._frames[-1] if self._frames else None
        if frame is None or frame.told.how != "method":
            self._complain("T125", "`gives` stands in a method", "such as `gives M`", told.span)
        elif frame.gives is not None or len(frame.told.names) > 2:
            self._complain("T129", "this method says twice what it gives", "say it once", told.span)
        else:
            frame.gives = told.names[0]

    def _close(self, told: Told) -> None:
        if not self._frames:
            hint = "`end` closes a `way`, an `around` or a `method`"
            self._complain("T124", "this `end` closes nothing", hint, told.span)
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
                    message = "the letters of a round are named one by one"
                    self._complain("T106", message, "such as `as p, q`", item.first.span)
            plain = tuple(item for item in letters.items if isinstance(item, s.Name))
            self._add(s.Round(items, plain, frame.told.closed, tuple(frame.block), frame.told.span))
        else:
            gives = frame.gives if len(names) < 3 else names[2]
            if gives is None:
                hint = "say it in the method, such as `gives M`"
                self._complain("T129", "this method does not say what it gives", hint, frame.told.span)
                return
            (name,) = names[0].items
            assert isinstance(name, s.Name)
            self._methods.append(s.Method(name, names[1], gives, tuple(frame.block), frame.told.span))

    def _complain(self, code: str, message: str, hint: str, span: Span) -> None:
        text = self._lines[span.line - 1] if span.line <= len(self._lines) else ""
        self._mistakes.append(Diagnostic(code, message, hint, replace(span, source=self._source), text))


def _way(frame: _Frame) -> list[s.Way]:
    """Return the way a frame holds; none where its first line could not be read."""
    if not frame.told.names:
        return []
    (name,) = frame.told.names[0].items
    assert isinstance(name, s.Name)
    return [s.Way(name, tuple(frame.block), frame.told.span)]
