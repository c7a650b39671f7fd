"""Says in bench words why a line can not be read, and what would be right.

It knows the words of the line, what would have fit at each of them, and
nothing of the grammar behind that; so nothing of the grammar shows.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from difflib import get_close_matches
from itertools import takewhile

from construct.diagnostics import Wrong
from construct.language import habits
from construct.language.grammar import SHAPES
from construct.language.sentences import Stuck
from construct.language.words import UNITS, Word, is_name
from construct.phrasebook import say

# What the recipe may say in place of an amount, by the kind of word it is.
_AMOUNTS = {kind: SHAPES[kind.upper()] for kind in ("length", "angle", "percent", "number")}
_NOT_NUMBERS = ("nan", "inf", "infinity")
_MOST_SHOWN = 8
_KINDS = {shape: kind.lower() for kind, shape in SHAPES.items()}
_NAME = SHAPES["NAME"]
_END = SHAPES["$END"]


def complain(words: Sequence[Word], stuck: Stuck) -> Wrong:
    """Return what is wrong with a line that is stuck."""
    habit = habits.look(words, stuck, _plain)
    if habit is not None:
        return habit
    for look in (_amount, _beginning, _name_before, _comma, _reserved, _misspelt):
        found = look(words, stuck)
        if found is not None:
            return found
    if stuck.place == len(words):
        return Wrong("T107", words[-1].span, should=_should(words, stuck))
    word = words[stuck.place]
    return Wrong("T106.should", word.span, word=word.text, should=_should(words, stuck))


def _amount(words: Sequence[Word], stuck: Stuck) -> Wrong | None:
    """Look for a number without its unit, a wrong unit, and what is no number at all."""
    place, expected = stuck.place, stuck.expected
    word = words[place] if place < len(words) else None
    number = _number_before(words, place)
    if word is not None and number is None and word.kind == "number":
        number = place
    if number is not None:
        wanted = expected if number == place else stuck.before[number]
        text = _plain(takewhile(lambda one: one.kind == "number" or one.text == "/", words[number:]))
        span = words[number].span
        after = word is not None and number < place and word.kind == "word"
        if word is not None and after and _close(word.text, expected):
            return None
        if word is not None and after and is_name(word.text) and _AMOUNTS["length"] in wanted:
            return Wrong("T109.no_unit", word.span, word=word.text)
        for kind in ("length", "angle", "percent"):
            if _AMOUNTS[kind] in wanted:
                return Wrong("T109.missing", span, amount=_shape(_AMOUNTS[kind]), units=say(f"shape.units.{kind}", number=text))
    if word is None:
        return None
    amounts = [kind for kind in _AMOUNTS if _AMOUNTS[kind] in expected]
    if word.text == "-" and amounts:
        return Wrong("T110.sign", word.span, amount=_shape(_AMOUNTS[amounts[0]]))
    if word.text.lower() in _NOT_NUMBERS and amounts:
        return Wrong("T110.should", word.span, word=word.text, should=_should(words, stuck))
    if word.text in (*UNITS, "deg") and place and words[place - 1].kind == "word":
        before = words[place - 1]
        return Wrong("T110.figures", before.span, word=before.text, unit=word.text)
    if word.kind in _AMOUNTS and amounts:
        kinds = _shape(_AMOUNTS[word.kind]), _shape(_AMOUNTS[amounts[0]])
        return Wrong("T109.other", word.span, word=word.text, amount=kinds[0], wanted=kinds[1], should=_should(words, stuck))
    return None


def _number_before(words: Sequence[Word], place: int) -> int | None:
    """Return where the bare number, or the fraction, that ends just before `place` begins."""
    if place == 0 or words[place - 1].kind != "number":
        return None
    if place >= 3 and words[place - 2].text == "/" and words[place - 3].kind == "number":
        return place - 3
    return place - 1


def _beginning(words: Sequence[Word], stuck: Stuck) -> Wrong | None:
    """Look for a line, or a thing after the colon, whose first word begins nothing."""
    texts = [word.text for word in words]
    colon = texts.index(":") if ":" in texts else None
    first = 0 if colon is None else colon + 1
    if stuck.place != first + 1 or words[first].kind != "word" or words[first].text in _words(stuck.before[first]):
        return None
    if stuck.place < len(words) and _close(words[stuck.place].text, stuck.expected):
        return None
    text, span = words[first].text, words[first].span
    begin = _words(stuck.before[first])
    close = _close(text, begin)
    if colon is not None:
        if close:
            return Wrong("T108.phrase_close", span, word=text, close=close)
        return Wrong("T108.phrase", span, word=text, begin=_either(begin))
    if close:
        return Wrong("T108.line_close", span, word=text, close=close)
    return Wrong("T108.line", span, word=text)


def _name_before(words: Sequence[Word], stuck: Stuck) -> Wrong | None:
    """Look for a word that was taken as a name just before, and is nearly a word of the phrase."""
    place = stuck.place - 1
    if place < 0 or words[place].kind != "word" or words[place].text in _words(stuck.before[place]):
        return None
    if stuck.place < len(words) and _close(words[stuck.place].text, stuck.expected):
        return None
    close = _close(words[place].text, stuck.before[place])
    if not close:
        return None
    right = f"{_said(words, place)} {close}".strip()
    return Wrong("T106.mean", words[place].span, word=words[place].text, right=right)


def _comma(words: Sequence[Word], stuck: Stuck) -> Wrong | None:
    """Look for a missing comma, and for a word after a comma that does not fit there."""
    if stuck.place == len(words):
        return None
    word = words[stuck.place]
    after = {one.removeprefix(", ") for one in stuck.expected if one.startswith(", ")}
    if word.text in after and word.text not in stuck.expected:
        right = f"{_said(words, stuck.place)}, {word.text}"
        return Wrong("T106.comma", word.span, word=word.text, right=right)
    if word.text != "," or not after:
        return None
    said = _said(words, stuck.place + 1)
    should = say("should.after", said=said, expected=_either(after))
    if stuck.place + 1 == len(words):
        return Wrong("T107", word.span, should=should)
    bad = words[stuck.place + 1]
    close = _close(bad.text, after)
    if close:
        return Wrong("T106.mean", bad.span, word=bad.text, right=f"{said} {close}")
    return Wrong("T106.should", bad.span, word=bad.text, should=should)


def _reserved(words: Sequence[Word], stuck: Stuck) -> Wrong | None:
    """Look for a reserved word where a name is wanted."""
    if stuck.place == len(words) or _NAME not in stuck.expected:
        return None
    word = words[stuck.place]
    if word.kind != "word" or is_name(word.text):
        return None
    return Wrong("T105.reserved", word.span, word=word.text, should=_should(words, stuck))


def _misspelt(words: Sequence[Word], stuck: Stuck) -> Wrong | None:
    """Look for a word run together with the next, or nearly right."""
    if stuck.place == len(words):
        return None
    word = words[stuck.place]
    if word.kind != "word":
        return None
    before = _said(words, stuck.place)
    wanted = _words(stuck.expected)
    for one in sorted(wanted, key=len, reverse=True):
        rest = word.text[len(one) :]
        # `aboutA` is `about A`, but `off` is rather `of`.
        if word.text.startswith(one) and rest and is_name(rest) and (rest[0].isupper() or len(one) > 3):
            apart = " ".join(part for part in (before, one, rest) if part)
            return Wrong("T106.mean", word.span, word=word.text, right=apart)
    close = _close(word.text, wanted)
    if close:
        right = f"{before} {close}".strip()
        return Wrong("T106.mean", word.span, word=word.text, right=right)
    return None


# --- wording ----------------------------------------------------------------------------------


def _should(words: Sequence[Word], stuck: Stuck) -> str:
    """Return the sentence that says what should come."""
    said = _said(words, stuck.place)
    expected = _either(stuck.expected)
    return say("should.after", said=said, expected=expected) if said else say("should.begin", expected=expected)


def _said(words: Sequence[Word], place: int) -> str:
    """Return what has been said of the phrase up to `place`: what stands before the colon is left out."""
    begin = 0
    for index, word in enumerate(words[:place]):
        if word.text == ":":
            begin = index + 1
    if begin == place:
        begin = max(0, place - 2)
    said = _plain(words[max(begin, place - 8) : place])
    return said if place - 8 <= begin else f"… {said}"


def _plain(words: Iterable[Word]) -> str:
    text = ""
    for word in words:
        glued = word.text in ",)/" or text.endswith(("(", "/")) or not text
        text += word.text if glued else f" {word.text}"
    return text


def _word_of(expected: str) -> str:
    return expected.removeprefix(", ")


def _words(expected: Iterable[str]) -> list[str]:
    """Return the plain words among what would have fit, those after a comma left out."""
    return sorted(one for one in expected if one.isalpha())


def _close(text: str, wanted: Iterable[str]) -> str:
    """Return the wanted word that is nearly `text`, or ""."""
    plain = {one.lower(): one for one in _words(wanted)}
    found = get_close_matches(text.lower(), plain, n=1, cutoff=0.7)
    return plain[found[0]] if found else ""


def _either(expected: Iterable[str]) -> str:
    """Return `a`, `b` or a name: shapes first, then words, then signs."""
    shapes = [_shape(shape) for shape in SHAPES.values() if shape in expected and shape != _END]
    quoted = [one for one in sorted(expected, key=_rank) if one not in SHAPES.values()]
    shown = shapes + [f"`{one}`" for one in quoted]
    if _END in expected:
        shown.append(say("shape.nothing"))
    if len(shown) > _MOST_SHOWN:
        return ", ".join(shown[:_MOST_SHOWN]) + " …"
    *most, end = shown
    return f"{', '.join(most)} {say('list.or')} {end}" if most else end


def _shape(shape: str) -> str:
    """Return the words for what is no word of the language itself: a name, a length."""
    return say(f"shape.{_KINDS[shape]}")


def _rank(expected: str) -> tuple[int, str]:
    return (0 if expected.isalpha() else 1 if len(expected) > 1 else 2, expected)
