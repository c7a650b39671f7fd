"""Laws of the phrasebook: every key that the program says is in the English file, and every one there is said."""

from __future__ import annotations

import ast
import re
import string
from collections.abc import Collection, Iterator
from pathlib import Path

import pytest

import construct
from construct.phrasebook import ENGLISH, found, languages, say, sentences, speaking

PACKAGE = Path(construct.__file__).parent


MAKERS = {"diagnostic", "Wrong", "_complain", "_mistake", "_wrong", "_warning", "_expect", "wrong", "Senseless", "limit"}
"""Functions that make a diagnostic by its key."""


def _calls(names: Collection[str] = ("say", "tell")) -> Iterator[tuple[str, ast.Call]]:
    for file in sorted(PACKAGE.rglob("*.py")):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", getattr(node.func, "attr", "")) in names:
                yield f"{file.relative_to(PACKAGE)}:{node.lineno}", node


def _keys(call: ast.Call) -> list[str]:
    """Return the wordings that a call of `MAKERS` writes out; a claim's are under V301, a tool's under R212 or R216."""
    function = getattr(call.func, "id", "")
    written = [node.value for arg in call.args[:3] for node in ast.walk(arg) if isinstance(node, ast.Constant) and isinstance(node.value, str)]
    if function == "Senseless":
        return [f"V301.{key}" for key in written]
    if function == "limit":
        return [one for key in written for one in (f"R212.{key}", f"R216.{key}") if one in _wordings()]
    return [key for key in written if re.fullmatch(r"[A-Z]\d{3}(\.\w+)?", key)]


def _wordings() -> frozenset[str]:
    """Return the codes and wordings of all diagnostics: "P103", "P103.round"."""
    return frozenset(key.split(".", 1)[1].rpartition(".")[0] for key in sentences(ENGLISH) if key.startswith("diagnostic."))


def _made(wording: str, text: str) -> bool:
    code, _, which = wording.partition(".")
    if code == "V301":
        return f'Senseless("{which}"' in text or f'only_within="{which}"' in text
    return f'"{wording}"' in text or f'"{code}.{{' in text or (code in ("R212", "R216") and f'limit("{which}"' in text)


def _text() -> str:
    """Return all code; inside f-strings keys stand in single quotes."""
    return "\n".join(file.read_text(encoding="utf-8") for file in PACKAGE.rglob("*.py")).replace("'", '"')


def _names(said: object) -> set[str]:
    forms = said.values() if isinstance(said, dict) else [said]
    return {name for form in forms for _, name, _, _ in string.Formatter().parse(str(form)) if name}


def test_every_key_said_is_there_with_its_names():
    """A key written in the code is in the English file, and the values given there fill its names."""
    english = sentences(ENGLISH)
    for place, call in _calls():
        key = call.args[0]
        if not isinstance(key, ast.Constant):
            continue
        assert key.value in english, place
        if all(keyword.arg for keyword in call.keywords):
            assert _names(english[key.value]) <= {keyword.arg for keyword in call.keywords}, place


def test_every_sentence_is_said():
    """No sentence of the English file is for nobody: its key, or the key's beginning of a computed one, stands in the code."""
    text = _text()
    plain = [key for key in sentences(ENGLISH) if not key.startswith("diagnostic.")]
    assert [] == [key for key in plain if f'"{key}"' not in text and f'"{key.rsplit(".", 1)[0]}.{{' not in text]


def test_every_diagnostic_is_made():
    """The same of diagnostics, by code and wording; a code's own sentence serves those of its wordings that have none."""
    text = _text()
    wordings = _wordings()
    made = {wording for wording in wordings if _made(wording, text)}
    assert set() == {one for one in wordings if one not in made and not any(made_one.startswith(f"{one}.") for made_one in made)}


def test_every_diagnostic_made_is_there_with_its_names():
    """Each diagnostic that the code makes by a written key has a message, and the values given there fill the wording's names."""
    english = sentences(ENGLISH)
    seen = 0
    for place, call in _calls(MAKERS):
        for wording in _keys(call):
            message = f"diagnostic.{wording}.message"
            message = message if message in english else f"diagnostic.{wording.partition('.')[0]}.message"
            assert message in english, (place, wording)
            asked = _names(english[message]) | _names(english.get(f"diagnostic.{wording}.hint", ""))
            assert asked <= {keyword.arg for keyword in call.keywords}, (place, wording)
            seen += 1
    assert 150 < seen


@pytest.mark.parametrize("spoken", languages())
def test_a_translation_has_no_other_keys_or_names(spoken: str):
    """Every language has keys of the English file alone, and fills the same names."""
    english = sentences(ENGLISH)
    for key, said in sentences(spoken).items():
        assert _names(said) <= _names(english[key]), key


@pytest.mark.parametrize("spoken", languages())
def test_a_table_read_by_itself_says_the_same(spoken: str):
    """Sentences are read table by table, as they are asked for; each is what the whole file, read at once, has for its key."""
    with speaking(spoken):
        assert dict(sentences(spoken)) == {key: found(key) for key in sentences(spoken)}
        assert found("no such key") is None and found("list.no such key") is None


def test_what_is_filled_in_is_no_pattern():
    """Braces in a value stay braces."""
    assert "{count}" in say("list.and") + "{count}"
    with pytest.raises(KeyError), speaking("none such"):
        pass
