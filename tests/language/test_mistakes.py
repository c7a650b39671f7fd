"""What is said about texts that can not be read: `fixtures/mistakes.txt`, and texts meant to do harm."""

from __future__ import annotations

import re
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from construct.diagnostics import Mistakes
from construct.language.parser import CODES, decode
from construct.language.words import RESERVED


def _cases(text: str) -> list[tuple[str, str, list[str]]]:
    cases = []
    for part in re.split(r"(?m)^=== ", text)[1:]:
        title, _, rest = part.partition("\n")
        lines = rest.rstrip("\n").split("\n")
        expected = [line[2:] for line in lines if line.startswith("> ")]
        cases.append((title, "\n".join(line for line in lines if not line.startswith("> ")), expected))
    return cases


def _mistakes(language, text: str) -> Mistakes:
    with pytest.raises(Mistakes) as caught:
        language.parse(text)
    return caught.value


def test_fixture(language, read_fixture):
    """Every case of the fixture is told all its mistakes, where they are, and nothing else."""
    cases = _cases(read_fixture("mistakes.txt"))
    assert len(cases) > 20
    for title, text, expected in cases:
        found = _mistakes(language, text).diagnostics
        places = [" ".join(line.split()[:2]) for line in expected]
        assert (title, places) == (title, [f"{one.span.line}:{one.span.column} {one.code}" for one in found])
        for line, one in zip(expected, found, strict=True):
            words = line.split(" ", 2)[2]
            assert words in f"{one.message}\n{one.hint}", title
            assert text.split("\n")[one.span.line - 1] == one.text


def test_every_code_is_in_the_table(language, read_fixture):
    """A code that is used is in the table, and the fixture meets most of the table."""
    found = {one.code for _, text, _ in _cases(read_fixture("mistakes.txt")) for one in _mistakes(language, text).diagnostics}
    assert found <= set(CODES)
    assert set(CODES) - found <= {"T101", "T102", "T103", "T114", "T115", "T126", "T130"}


def _said(mistakes: Mistakes, text: str) -> None:
    """Check that nothing of the grammar shows in what is said, beyond the user's own words."""
    own = set(re.findall(r"[\w']+", text))
    for one in mistakes.diagnostics:
        assert one.code in CODES
        assert one.span is not None
        assert 1 <= one.span.line <= text.count("\n") + 1
        for word in re.findall(r"[\w']+", f"{one.message} {one.hint}"):
            plain = word in own or any(word in part or part in word for part in own)
            assert plain or not re.search(r"_|[A-Z]{2}", word), f"{word!r} in {one.message!r} {one.hint!r}"


@settings(max_examples=150, deadline=None, derandomize=True)
@given(seed=st.integers(0, 2**32))
def test_broken_lines_are_explained_in_bench_words(language, read_fixture, seed):
    """A good recipe with a word lost, doubled, swapped or misspelt is read, or told off in words of the bench."""
    random = Random(seed)
    lines = read_fixture("clock_dial.recipe").split("\n")
    for _ in range(3):
        number = random.randrange(len(lines))
        words = lines[number].split(" ")
        place = random.randrange(len(words))
        match random.randrange(5):
            case 0:
                del words[place]
            case 1:
                words.insert(place, random.choice(words))
            case 2:
                words[place] = words[place][1:] + "x"
            case 3:
                words[place] = random.choice(("to", "of", "12", "mm", ",", ":", "(", "%", "-", "pi", "edge", "halfway"))
            case 4:
                words = words[: place + 1]
        lines[number] = " ".join(words)
    text = "\n".join(lines)
    try:
        language.parse(text)
    except Mistakes as mistakes:
        _said(mistakes, text)


@settings(max_examples=150, deadline=None, derandomize=True)
@given(text=st.one_of(st.text(max_size=200), st.lists(st.sampled_from(
    [*sorted(RESERVED), "line", "mark", "circle", "claim", "A", "a.b", "1", "12 mm", "45 deg", ",", ":", "\n", "(", ")", "/",
     "step", "around", "way", "method", "carve", "cut", "given", "plate", "bench", "paper", "recipe", "use", "9 %", "."]),
    max_size=40).map(" ".join)))  # fmt: skip
def test_any_text_is_read_or_told_off(language, text):
    """No text at all makes the parser fail in another way than by `Mistakes`."""
    try:
        language.parse(text)
    except Mistakes as mistakes:
        assert mistakes.diagnostics
        assert all(one.code in CODES for one in mistakes.diagnostics)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(data=st.binary(max_size=100))
def test_any_bytes_are_decoded_or_told_off(data):
    """No bytes make `decode` fail in another way than by `Mistakes`; a byte order mark and CRLF do not show."""
    try:
        text = decode(data)
    except Mistakes as mistakes:
        assert mistakes.diagnostics[0].code in ("T101", "T102")
    else:
        assert "\r" not in text and text.strip()


@pytest.mark.parametrize(
    ("code", "data"),
    [
        ("T102", b""),
        ("T102", b" \n\r\n"),
        ("T102", b"x" * 10_000_001),
        ("T101", b"\xff\xfe\x00r"),
        ("T101", b"recipe a\n\x00"),
        ("T101", "naïve".encode("latin-1")),
    ],
)
def test_files_that_are_no_recipes(code, data):
    """Binary, empty and huge files are told off at once."""
    with pytest.raises(Mistakes) as caught:
        decode(data, "dial.recipe")
    assert [code] == [one.code for one in caught.value.diagnostics]
    assert "dial.recipe" == caught.value.diagnostics[0].span.source


def test_mark_and_line_ends_are_taken_off():
    """A byte order mark and CRLF or CR line ends make no difference."""
    assert "recipe é\npaper\n" == decode("\ufeffrecipe é\r\npaper\r".encode())


def _codes(language, text: str) -> list[str]:
    return [one.code for one in _mistakes(language, text).diagnostics]


def test_attacks(language):
    """Texts meant to exhaust the parser end in a diagnostic."""
    rounds = "".join(f"around A as p{n}\n" for n in range(1000))
    assert ["T126"] == _codes(language, f"paper\n{rounds}" + "end\n" * 1000)
    assert ["T103"] == _codes(language, "paper\nclaim " + "a" * 2001)
    assert ["T102"] == _codes(language, "\n" * 100_001 + "paper")
    assert ["T114"] == _codes(language, "paper\nclaim A B is " + "(" * 900 + "1" + ")" * 900 + " of D E")
    assert ["T114"] == _codes(language, "paper\nclaim A B is 1" + "+1" * 900 + " of D E")
    assert ["T114"] == _codes(language, "paper\no : opening, " + "half of " * 200 + "w by ruler")
    assert ["T103"] == _codes(language, "paper\nd : marks " + "a, b,\n" * 10_000 + "c")
    assert ["T106"] == _codes(language, "paper\nline : " + "line " * 390)
    assert ["T130"] == _codes(language, "paper\nstep  # nothing")


def test_fifty_deep_is_read(language):
    """Fifty blocks in one another are read; it is the fifty-first that is too deep."""
    text = "paper\n" + "around A as p\n" * 50 + "claim p is A\n" + "end\n" * 50
    assert 1 == len(language.parse(text).statements)
    assert ["T126"] == _codes(language, text.replace("paper\n", "paper\naround A as q\n") + "end\n")


def test_a_mistake_hides_no_other(language):
    """Lines are read one by one: each bad line is told off."""
    text = "paper\n" + "\n".join("k : lin through P and Q" for _ in range(20))
    assert list(range(2, 22)) == [one.span.line for one in _mistakes(language, text).diagnostics]
