"""Reads one line at a time: words in, a record out, or the place where it no longer fits.

A word of a phrase is the phrase's word wherever the phrase may have it.  Where
the line then does not come out, and the recipe has given that word as a name,
it is read as the name.  The reader looks at no other line.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence, Set
from dataclasses import dataclass, replace
from functools import lru_cache, partial
from operator import attrgetter
from typing import Any

from lark.common import ParserConf
from lark.exceptions import UnexpectedToken
from lark.grammar import NonTerminal, Rule, Terminal
from lark.lexer import Token
from lark.parsers.lalr_parser import LALR_Parser
from lark.parsers.lalr_parser_state import ParseConf, ParserState

from construct.language.grammar import Grammar, assemble
from construct.language.makers import Makers
from construct.language.syntax import Phrase
from construct.language.words import Word, is_name

# A line may be tried again for every name that is also a phrase's word; honest lines need three or four.
MOST_TRIES = 64

_SIGNS = {",": "COMMA", ":": "COLON", "(": "OPEN", ")": "CLOSE", "+": "PLUS", "-": "MINUS", "*": "STAR", "/": "SLASH"}
_START = "start"
_END = Token("$END", "")


class Stuck(Exception):
    """A line that can not be read.

    place: the index of the first word that does not fit, as far as the best try got; the number of words at the end.
    expected: the texts of what would have fit there, as `Grammar.terminals` has them.
    before: for each word read up to there, what else would have fit in its place.
    """

    def __init__(self, place: int, expected: frozenset[str], before: tuple[frozenset[str], ...]) -> None:
        super().__init__()
        self.place, self.expected, self.before = place, expected, before


@dataclass(frozen=True, slots=True)
class _Try:
    """A way of reading a line that is still open: what has been read, and how to go on."""

    read: tuple[tuple[str, int], ...]
    state: ParserState[int]
    step: tuple[str, int] | None


@lru_cache(maxsize=64)
def _tables(actions: tuple[str, ...], claims: tuple[str, ...]) -> tuple[Grammar, Any, tuple[Rule, ...]]:
    """Build the LALR(1) tables once for a set of phrases; a conflict in them is a fault of ours and raises."""
    grammar = assemble(actions, claims)
    rules = tuple(
        Rule(
            NonTerminal(wording.origin),
            [Terminal(symbol) if symbol.isupper() else NonTerminal(symbol) for symbol in wording.symbols],
            order,
        )
        for order, wording in enumerate(grammar.wordings)
    )
    parser = LALR_Parser(ParserConf(list(rules), {}, [_START]), strict=True)
    return grammar, parser.parser.parse_table, rules


class Reader:
    """Reads lines with the phrases it is given."""

    def __init__(self, actions: Sequence[Phrase], claims: Sequence[Phrase], withheld: Set[str] = frozenset()) -> None:
        """Build the tables, or find them built.

        withheld: words of phrases that are not here; they are names only where the recipe gives them.
        """
        self._withheld = withheld
        grammar, table, rules = _tables(tuple(phrase.text for phrase in actions), tuple(phrase.text for phrase in claims))
        self.grammar = grammar
        makers = Makers(actions, claims)
        callbacks: dict[Any, Any] = {}
        for rule, wording in zip(rules, grammar.wordings, strict=True):
            callbacks[rule] = _maker(makers, grammar, wording.maker)
        for terminal in grammar.terminals:
            callbacks[terminal] = attrgetter("value")
        self._conf = ParseConf(table, callbacks, _START)
        self._rows = table.states

    def read(self, words: Sequence[Word], made: Set[str]) -> Any:
        """Return the record of a line; raise `Stuck` or `makers.Unfit`.

        made: the words that this recipe gives as names.
        """
        tries = [_Try((), ParserState(self._conf, None), None)]  # type: ignore[arg-type]
        best: tuple[tuple[str, int], ...] = ()
        for _ in range(MOST_TRIES):
            if not tries:
                break
            one = tries.pop()
            read, state, step = list(one.read), one.state, one.step
            place = sum(width for _, width in read)
            while True:
                row = self._rows[state.position]
                if step is None:
                    steps = list(self._steps(words, place, row, made))
                    if not steps:
                        break
                    step, *others = steps
                    for other in reversed(others):
                        tries.append(_Try(tuple(read), state.copy(deepcopy_values=False), other))
                terminal, width = step
                try:
                    if terminal == "$END":
                        return state.feed_token(_END, is_end=True)
                    state.feed_token(Token(terminal, _together(words[place : place + width])))
                except UnexpectedToken:
                    break
                read.append(step)
                place += width
                step = None
            if sum(width for _, width in read) > sum(width for _, width in best):
                best = tuple(read)
        raise self._stuck(best)

    def _steps(self, words: Sequence[Word], place: int, row: Any, made: Set[str]) -> Iterator[tuple[str, int]]:
        """Yield the terminals that the next word may be, the likeliest first, each with how many words it takes."""
        if place == len(words):
            if "$END" in row:
                yield "$END", 0
            return
        word = words[place]
        kind, text = word.kind, word.text
        if kind == "word":
            terminal = self.grammar.words.get(text)
            as_word = terminal is not None and terminal in row
            if as_word:
                yield terminal or "", 1
            free = text in made or not (as_word or text in self._withheld)
            if "NAME" in row and (text == "edge" or (free and is_name(text))):
                yield "NAME", 1
        elif kind == "sign":
            if text == "," and place + 1 < len(words):
                terminal = self.grammar.after_comma.get(words[place + 1].text)
                if terminal is not None and terminal in row:
                    yield terminal, 2
            if _SIGNS[text] in row:
                yield _SIGNS[text], 1
        elif kind.upper() in row:
            yield kind.upper(), 1

    def _stuck(self, read: Sequence[tuple[str, int]]) -> Stuck:
        """Say what would have fit after what has been read, and before that."""
        silent = ParseConf(self._conf.parse_table, {}, _START)
        state: ParserState[int] = ParserState(silent, None)  # type: ignore[arg-type]
        fits = []
        for terminal, _ in read:
            fits.append(self._fitting(state))
            state.feed_token(Token(terminal, ""))
        before = [fit for fit, (_, width) in zip(fits, read, strict=True) for _ in range(width)]
        return Stuck(len(before), self._fitting(state), tuple(before))

    def _fitting(self, state: ParserState[int]) -> frozenset[str]:
        found = set()
        for terminal in self._rows[state.position]:
            if terminal not in self.grammar.terminals:
                continue
            trial = state.copy(deepcopy_values=False)
            try:
                trial.feed_token(Token(terminal, ""), is_end=terminal == "$END")
            except UnexpectedToken:
                continue
            found.add(self.grammar.terminals[terminal])
        return frozenset(found)


def _maker(makers: Makers, grammar: Grammar, name: str) -> Any:
    if not name:
        return _single
    if name in grammar.readings:
        return partial(makers.phrase, grammar.readings[name])
    if name.startswith("wish_"):
        return partial(makers.wish, int(name.removeprefix("wish_")))
    return getattr(makers, name)


def _single(parts: Sequence[Any]) -> Any:
    return parts[0]


def _together(words: Sequence[Word]) -> Word:
    """Return the word itself, or a comma and a word as one."""
    if len(words) == 1:
        return words[0]
    comma, word = words
    span = comma.span
    if word.span.line == span.line:
        span = replace(span, width=word.span.column + word.span.width - span.column)
    return Word("word", f", {word.text}", span)
