"""Reads a recipe: text in, a `Recipe` out, or every mistake of the text at once.

Lines are read one by one, so that a bad line hides no other.  What a name
stands for, and whether it has been made, is not asked here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from construct.diagnostics import Diagnostic, Mistakes, Span, Wrong, diagnostic
from construct.language import syntax as s
from construct.language.blocks import Arrangement
from construct.language.complaints import complain
from construct.language.makers import Told
from construct.language.phrases import plain_words
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

_BLANK = re.compile(r"\s*(plate|board|paper)\b")
_TITLE = re.compile(r"[ \t\u00a0]*(recipe|step|use)(?![\w.'])(?![ \t\u00a0]*[,:])[ \t\u00a0]*([^#]*)")


def decode(data: bytes, source: str = "") -> str:
    """Return the text of a file; raise `Mistakes` if it is no text, empty, or far too large."""
    if len(data) > LARGEST_BYTES:
        raise _mistake("T102.large", source)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as broken:
        line = data.count(b"\n", 0, broken.start) + 1
        raise _mistake("T101", source, line=line) from None
    if "\0" in text:
        raise _mistake("T101.null", source)
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    if not text.strip():
        raise _mistake("T102.file", source)
    return text


def parse(text: str, *, actions: Sequence[s.Phrase], claims: Sequence[s.Phrase], source: str = "") -> s.Recipe:
    """Return what the text says; raise `Mistakes` with everything that is wrong with the text."""
    lines = _lines(text, source)
    try:
        return _Parser(_quick_reader(text, actions, claims), lines, source).recipe()
    except Mistakes:
        pass  # to say what would have been right takes all phrases
    return _Parser(Reader(actions, claims), lines, source).recipe()


def parse_methods(text: str, *, actions: Sequence[s.Phrase], claims: Sequence[s.Phrase], source: str = "") -> tuple[s.Method, ...]:
    """Return the methods of a file that `use` brings; raise `Mistakes` with everything that is wrong with the text."""
    lines = _lines(text, source)
    try:
        return _Parser(_quick_reader(text, actions, claims), lines, source).methods()
    except Mistakes:
        pass  # as in `parse`
    return _Parser(Reader(actions, claims), lines, source).methods()


def _quick_reader(text: str, actions: Sequence[s.Phrase], claims: Sequence[s.Phrase]) -> Reader:
    """Return a reader with those phrases only whose words all occur in the text.

    No other can be used in it, and the tables of a grammar take time to build.
    Words of the phrases left out are withheld, so that none is taken for a name
    which with all phrases would not be.
    """
    words = set(re.findall(r"[A-Za-z]+", text))
    some_actions, some_claims = (tuple(one for one in phrases if plain_words(one.text) <= words) for phrases in (actions, claims))
    withheld = {word for one in (*actions, *claims) for word in plain_words(one.text)}
    return Reader(some_actions, some_claims, withheld=withheld & words)


def _mistake(key: str, source: str, /, **values: object) -> Mistakes:
    return Mistakes((diagnostic(key, Span(1, 1, 1, source), **values),))


def _lines(text: str, source: str) -> tuple[str, ...]:
    lines = tuple(text.replace("\r\n", "\n").removeprefix("\ufeff").split("\n"))
    if not text.strip():
        raise _mistake("T102.recipe", source)
    if len(lines) > MOST_LINES:
        raise _mistake("T102.lines", source, most=MOST_LINES)
    return lines[:-1] if lines[-1] == "" else lines


@dataclass(slots=True)
class _Line:
    """A logical line: its words; for `recipe`, `step` and `use` the word and the free text after it."""

    words: list[Word]
    title: str | None = None


class _Parser:
    """Reads the lines of a text one by one, and collects what is wrong with them."""

    def __init__(self, reader: Reader, lines: tuple[str, ...], source: str) -> None:
        self._reader = reader
        self._lines = lines
        self._source = source
        self._mistakes: list[Diagnostic] = []
        self._made: frozenset[str] = frozenset()
        self._arrangement = Arrangement(self._complain)

    def recipe(self) -> s.Recipe:
        """Return the recipe, or raise `Mistakes`."""
        self._run()
        blank = self._arrangement.finish()
        if blank is None and not any(_BLANK.match(one.text) for one in self._mistakes):
            self._complain("T121", Span(1, 1))
        self._stop()
        assert blank is not None  # else there was a mistake
        return self._arrangement.recipe(blank, self._lines, self._source)

    def methods(self) -> tuple[s.Method, ...]:
        """Return the methods of a file that holds nothing else, or raise `Mistakes`."""
        self._arrangement.only_methods = True
        self._run()
        self._arrangement.finish()
        self._stop()
        return tuple(self._arrangement.methods)

    def _stop(self) -> None:
        if self._mistakes:
            self._mistakes.sort(key=lambda one: (one.span.line, one.span.column) if one.span else (0, 0))
            raise Mistakes(tuple(self._mistakes))

    def _run(self) -> None:
        lines = self._logical_lines()
        self._made = self._names_given(lines)
        for line in lines:
            if line.title is not None:
                self._arrangement.titled(line.words[0], line.title)
            elif self._sound(line.words):
                self._read(line.words)

    def _logical_lines(self) -> list[_Line]:
        found: list[_Line] = []
        going_on = False
        for number, text in enumerate(self._lines, start=1):
            if len(text) > LONGEST_LINE:
                self._complain("T103.characters", Span(number, LONGEST_LINE + 1, 1, self._source), count=len(text), most=LONGEST_LINE)
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
        for line in found:
            if len(line.words) > MOST_WORDS:
                self._complain("T103.words", line.words[0].span, most=MOST_WORDS)
        return [line for line in found if len(line.words) <= MOST_WORDS]

    def _names_given(self, lines: Iterable[_Line]) -> frozenset[str]:
        """Return the words that the recipe gives as names, and perhaps a few that only stand beside them."""
        found: set[str] = set()
        for line in lines:
            texts = [word.text for word in line.words]
            if ":" in texts:
                texts = texts[: texts.index(":")]
            elif texts[0] == "around" and "as" in texts:
                texts = texts[texts.index("as") :]
            elif texts[0] not in ("given", "method", "gives", "way"):
                continue
            found.update(texts)
        return frozenset(found)

    def _sound(self, words: Sequence[Word]) -> bool:
        """Say whether the words of a line can be read at all; complain if not."""
        for word in words:
            if word.kind == "bad":
                self._strange(word)
                return False
            if word.kind == "word" and "." in word.text and not is_name(word.text):
                part = next(part for part in word.text.split(".") if not is_name(part))
                self._complain("T105.name", word.span, part=part)
                return False
        reckoning = sum(word.kind == "sign" and word.text in "+-*/(" for word in words)
        reckoning += sum(word.text in ("half", "less", "sqrt") for word in words)
        of = sum(word.kind == "number" for word in words)
        if reckoning + of > MOST_RECKONING:
            self._complain("T114", words[0].span)
            return False
        pi = next((word for word in words if word.text == "pi"), None)
        if pi is not None and (words[0].text != "claim" or all(word.text != "within" for word in words)):
            self._complain("T111", pi.span)
            return False
        return True

    def _strange(self, word: Word) -> None:
        text = word.text
        if text[0].isdigit():
            key = "T104.number"
        elif text.startswith("."):
            key = "T104.point"
        elif text.endswith("."):
            key = "T104.dot"
        elif text[0] == "_" or any(c.isalnum() for c in text):
            key = "T104.word"
        else:
            key = "T104.equals" if text == "=" else "T104"
        self._complain(key, word.span, text=text if text.isprintable() else f"U+{ord(text[0]):04X}")

    def _read(self, words: list[Word]) -> None:
        try:
            record = self._reader.read(words, self._made)
        except Wrong as wrong:
            self._note(wrong)
            record = None
        except Stuck as stuck:
            self._note(complain(words, stuck))
            record = None
        if record is None:
            if words[0].text in ("way", "around", "method") and all(word.text != ":" for word in words):
                # The block is there all the same: its `end` must not be reported as well.
                self._arrangement.opened(Told(words[0].text, words[0].span))
            return
        self._arrangement.place(record, words[0].span)

    def _complain(self, key: str, span: Span, /, **values: object) -> None:
        self._note(Wrong(key, span, **values))

    def _note(self, wrong: Wrong) -> None:
        span = wrong.span
        assert span is not None
        text = self._lines[span.line - 1] if span.line <= len(self._lines) else ""
        self._mistakes.append(Diagnostic(wrong.code, wrong.message, wrong.hint, replace(span, source=self._source), text))
