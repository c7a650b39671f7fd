"""What people write by habit where this language says it otherwise, and what it says instead.

Each rule knows the words of one line and where they stopped making sense.  It
answers only where it can name the right words; all else is left to the general
complaints.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from construct.diagnostics import Wrong
from construct.language.sentences import Stuck
from construct.language.words import Word

Plain = Callable[[Sequence[Word]], str]

_OTHER_WORDS = {
    "perpendicular": "perpendicular",
    "tangent": "tangent",
    "radius": "radius",
    "diameter": "diameter",
    "twice": "twice",
    "double": "twice",
}
"""Wordings of T106, by the word of habit that they answer."""

METHODS = {
    "centre": "centre",
    "center": "centre",
    "middle": "centre",
    "midpoint": "midpoint",
    "intersection": "crossing",
    "crossing": "crossing",
}
"""Wordings of P120, by what is asked for as if there were a method of that name."""


def look(words: Sequence[Word], stuck: Stuck, plain: Plain) -> Wrong | None:
    """Return what is wrong where a habit is known to be behind it; `plain` joins words as they were written."""
    texts = [word.text for word in words]
    made = texts.index(":") + 1 if ":" in texts else 0
    return _centre(words, texts, made, stuck) or _setting(words, texts, made, stuck, plain) or _other_word(words, stuck)


def _centre(words: Sequence[Word], texts: Sequence[str], made: int, stuck: Stuck) -> Wrong | None:
    """`C : centre of the board`: no tool finds it in one go."""
    place = next((place for place, text in enumerate(texts[made : made + 4], made) if METHODS.get(text) == "centre"), None)
    if not made or place is None or stuck.place > place + 3 or texts[place + 1 : place + 2] != ["of"]:
        return None
    return Wrong("T106.centre", words[place].span, word=texts[place])


def _setting(words: Sequence[Word], texts: Sequence[str], made: int, stuck: Stuck, plain: Plain) -> Wrong | None:
    """A compass set inside a phrase as only a line of its own can set it, or by a bare name."""
    begins = texts[made : made + 2]
    if not made or (begins[:1] not in (["circle"], ["arc"]) and begins != ["marks", "stepped"]) or "," not in texts:
        return None
    comma = texts.index(",")
    before, asked = plain(words[made:comma]), texts[comma + 1 :]
    if asked[:1] == ["opening"]:
        comma, asked = comma + 1, asked[1:]
    if comma + 1 >= len(words) or stuck.place <= comma:
        return None
    first = words[comma + 1]
    if first.text == "anything":
        return Wrong("T106.free", first.span, word=first.text, bound=plain(words[comma + 1 :]), before=before)
    if first.kind in ("length", "number") and texts[comma] == "opening":
        end = texts.index("by", comma) if "by" in asked else len(words)
        return Wrong("T106.by_ruler", first.span, word=first.text, right=f"{before}, {plain(words[comma + 1 : end])} by ruler")
    if len(asked) == 1 and first.kind == "word" and "by" in stuck.expected:
        return Wrong("T106.named", first.span, word=first.text, before=before)
    return None


def _other_word(words: Sequence[Word], stuck: Stuck) -> Wrong | None:
    for place in (stuck.place, stuck.place - 1):
        if not 0 <= place < len(words) or words[place].kind != "word":
            continue
        wording = _OTHER_WORDS.get(words[place].text.lower())
        if wording and not (place == stuck.place and words[place].text in stuck.expected):
            claimed = "_claimed" if words[0].text == "claim" and wording == "perpendicular" else ""
            return Wrong(f"T106.{wording}{claimed}", words[place].span, word=words[place].text)
    return None
