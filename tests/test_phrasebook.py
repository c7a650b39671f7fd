"""Laws of the phrasebook: every key that the program says is in the English file, and every one there is said."""

from __future__ import annotations

import ast
import string
from collections.abc import Iterator
from pathlib import Path

import pytest

import construct
from construct.phrasebook import ENGLISH, languages, say, sentences, speaking

PACKAGE = Path(construct.__file__).parent


def _calls() -> Iterator[tuple[str, ast.Call]]:
    for file in sorted(PACKAGE.rglob("*.py")):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in ("say", "tell"):
                yield f"{file.relative_to(PACKAGE)}:{node.lineno}", node


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
    text = "\n".join(file.read_text(encoding="utf-8") for file in PACKAGE.rglob("*.py"))
    text = text.replace("'", '"')  # inside f-strings keys stand in single quotes
    unsaid = [key for key in sentences(ENGLISH) if f'"{key}"' not in text and f'"{key.rsplit(".", 1)[0]}.{{' not in text]
    assert [] == unsaid


@pytest.mark.parametrize("spoken", languages())
def test_a_translation_has_no_other_keys_or_names(spoken: str):
    """Every language has keys of the English file alone, and fills the same names."""
    english = sentences(ENGLISH)
    for key, said in sentences(spoken).items():
        assert _names(said) <= _names(english[key]), key


def test_what_is_filled_in_is_no_pattern():
    """Braces in a value stay braces."""
    assert "{count}" in say("list.and") + "{count}"
    with pytest.raises(KeyError), speaking("none such"):
        pass
