"""The checker: what it says no to, line by line, and that it needs nothing else."""

from __future__ import annotations

import ast
import json
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from construct.proofs import checker
from construct.proofs.checker import Rejected, TooLarge, check, digest, main

ROOT = Path(__file__).parents[2]


def body(**parts: Any) -> dict[str, Any]:
    """Return a certificate that √2·√2 - 2 is zero, with other parts, and its digest."""
    made: dict[str, Any] = {
        "format": 2,
        "claim": "√2·√2 is 2",
        "verdict": "proved",
        "scope": "here",
        "letters": [],
        "roots": [[["2"]]],
        "lines": [number("2"), root(0), operation("mul", 1, 1), operation("sub", 2, 0), number("1/2"), operation("div", 1, 0, halved())],
        "sides": [[1, 1], [3, 0]],
        "zeros": [3],
        "positives": [1],
        "not_negatives": [3, 1],
        "conditions": [],
        **parts,
    }
    return {**made, "digest": digest(made)} if "digest" not in parts else made


def number(text: Any) -> dict[str, Any]:
    return {"op": "number", "of": [], "with": text}


def root(of: int, value: Any = None) -> dict[str, Any]:
    return {"op": "sqrt", "of": [of], "is": value or [[["1", [0, 1]]], [["1"]]]}


def halved() -> list[Any]:
    return [[["1", [0, 1]]], [["2"]]]


def whole(text: str) -> list[Any]:
    return [[[text]], [["1"]]]


def operation(op: str, *of: Any) -> dict[str, Any]:
    operands, value = [one for one in of if not isinstance(one, list)], [one for one in of if isinstance(one, list)]
    return {"op": op, "of": operands} | ({"is": value[0]} if value else {})


def measured(op: str, with_: Any, value: list[Any], read: str = "13/10") -> dict[str, Any]:
    lines = [number(read), {"op": op, "of": [0], "with": with_, "is": value}]
    return body(roots=[], lines=lines, sides=[], zeros=[], positives=[1], not_negatives=[])


def lettered(drawn: str = "3", **parts: Any) -> dict[str, Any]:
    """Return a certificate that u - u is zero, for every u."""
    lines = [{"op": "letter", "of": [], "with": "u"}, operation("sub", 0, 0)]
    plain = {"letters": [["u", drawn]], "scope": "every", "roots": [], "lines": lines, "sides": [[0, 1]], "conditions": [["side", 0]]}
    return body(**{**plain, "zeros": [1], "positives": [], "not_negatives": [], **parts})


U = {"op": "letter", "of": [], "with": "u"}


def squared(**parts: Any) -> dict[str, Any]:
    """Return a certificate that (u - 1)² is positive as long as u - 1 is not zero."""
    lines = [U, number("1"), operation("sub", 0, 1), operation("mul", 2, 2)]
    shown = {"lines": lines, "sides": [[2, 1]], "conditions": [["side", 2]], "zeros": [], "positives": [3]}
    return lettered(**{**shown, "kept": [[3, [["1"]], [["1"]], [0, 0]]], **parts})


POWER = [U, operation("mul", 0, 0), *(operation("mul", k, k) for k in range(1, 20))]
SQUARES = [number("7"), *(operation("mul", k, k) for k in range(20))]
MANY = [[["2"]] for _ in range(14)]

BAD: list[tuple[str, dict[str, Any]]] = [
    ("not a fraction in quotes", body(lines=[number("x")])),
    ("a number of more than", body(lines=[number("1" * 5000)])),
    ("not a fraction in quotes", body(lines=[number("1/0")])),
    ("too many roots and letters", body(roots=MANY * 20)),
    ("its words are no line of print", body(claim=["C is the centre"])),
    ("its words are no line of print", body(claim="C is the centre\nother.json: accepted: proved: D is the centre")),
    ("its words are no line of print", body(claim="C is the centre\x1b[2K")),
    ("it takes too long to check", lettered(lines=[
        U, {"op": "number", "of": [], "with": "1"}, operation("add", 0, 1), *(operation("mul", k, k) for k in range(2, 14))])),
    ("a letter's power grows too high", lettered(lines=POWER)),
    ("it takes too long to check", body(lines=SQUARES)),
    ("a letter or root that is not there yet, or out of order", body(roots=[[["2", [0, 1]]]])),
    ("a letter that is not declared", lettered(lines=[{"op": "letter", "of": [], "with": "v"}])),
    ("a letter or root that is not there yet, or out of order", lettered(roots=[[["2", [1, 1]]]])),
    ("not a power", lettered(roots=[[["2", [0, 1 << 20]]]])),
    ("not a power", body(lines=[number("2"), root(0, [[["1", [0, 2]]], [["1"]]])])),
    ("a letter or root that is not there yet, or out of order", lettered(roots=[[["2", [0, 1], [0, 1]]]])),
    ("a term is nothing, or no whole number, or is written twice", body(roots=[[["2"], ["3"]]])),
    ("a term is nothing, or no whole number, or is written twice", body(roots=[[["1/2"]]])),
    ("it works on a line that has not come", body(lines=[root(-1)])),
    ("it works on a line that has not come", body(lines=[number("2"), operation("mul", True, 0)])),
    ("no such operation, or not so many operands", body(lines=[number("2"), operation("pow", 0, 0)])),
    ("no such operation, or not so many operands", body(lines=[number("2"), operation("mul", 0)])),
    ("a denominator is nothing, or holds a root", body(lines=[number("2"), root(0, [[["1", [0, 1]]], []])])),
    ("a denominator is nothing, or holds a root", body(lines=[number("2"), root(0, [[["2"]], [["1", [0, 1]]]])])),
    ("its value must be given", body(lines=[number("2"), {"op": "sqrt", "of": [0]}])),
    ("no enclosure keeps the divisor off zero", body(lines=[number("0"), operation("div", 0, 0, whole("1"))])),
    ("the quotient is not that", body(lines=[number("2"), operation("div", 0, 0, whole("2"))])),
    ("squared, it is not what is under the root", body(lines=[number("2"), root(0, whole("1"))])),
    ("no enclosure shows that the root is positive", body(lines=[number("2"), root(0, [[["-1", [0, 1]]], [["1"]]])])),
    ("its value is not that", body(lines=[number("2"), operation("add", 0, 0, whole("5"))])),
    ("what is read must be a number", {}),
    ("it is not on a graduation", measured("reading", "1/2", [[["4"]], [["3"]]])),
    ("the template has no such hole", measured("hole", ["1", "2"], whole("3"))),
    ("another graduation or hole is as near", measured("hole", ["1", "2"], whole("2"))),
    ("another graduation or hole is as near", measured("reading", "1", whole("1"), "3/2")),
    ("this checker reads format 2", body(format=True)),
    ("the text was altered after it was made", body(digest="0" * 64)),
    ("two of one name, or no name", lettered(letters=[["u", "3"], ["u", "4"]])),
    ("`every` is for letters, and letters for `every`", body(scope="every")),
    ("no enclosure shows that what is under it is positive", body(roots=[[["-2"]]])),
    ("has not the sign that a branch rests on", body(sides=[[3, 1]])),
    ("has not the sign that a branch rests on", body(sides=[[1, 0]])),
    ("has not the sign that a branch rests on", body(sides=[[1, True]])),
    ("the list is not the one that the lines give", lettered(conditions=[])),
    ("it claims nothing", body(zeros=[], positives=[], not_negatives=[])),
    ("a refutation is for one choice, without letters", lettered(verdict="refuted")),
    ("no enclosure shows that it fails", body(verdict="refuted")),
    ("a certificate says `proved`, `within` or `refuted`", body(verdict="true")),
    ("a number that should be zero, or positive, is not", body(zeros=[1])),
    ("a number that should be zero, or positive, is not", body(positives=[3])),
    ("a positive number may change its sign for other choices", lettered(sides=[], conditions=[], positives=[0])),
    ("a positive number may change its sign for other choices", squared(kept=[[2, [["1"]], [["1"]], [0]]])),
    ("its terms have not one sign", squared(kept=[[3, [["1"]], [["1", [0, 1]]], []]])),
    ("its terms have not one sign", squared(kept=[[3, [["1"]], [["1", [0, 2]]], []]])),
    ("its terms have not one sign", squared(kept=[[3, [["1"]], [["1"], ["-1", [0, 2]]], []]])),
    ("no such condition", squared(kept=[[3, [["1"]], [["1"]], [1]]])),
    ("no such condition", squared(kept=[[3, [["1"]], [["1"]], [-1]]])),
    ("the two sides are not equal", squared(kept=[[3, [["1"]], [["1"]], [0]]])),
    ("this is not a certificate", {"format": 2}),
]  # fmt: skip


def test_the_pattern_is_good() -> None:
    """The certificates that the bad ones are made from are accepted."""
    assert "proved for the numbers written: √2·√2 is 2" == check(json.dumps(body()))
    assert "proved for every choice that the conditions allow: √2·√2 is 2" == check(json.dumps(lettered()))
    assert check(json.dumps(squared()))
    # (u - 1)²·(1 + u²) = (1 + u²)·(u - 1)·(u - 1): one plus a square has one sign
    even = [["1"], ["1", [0, 2]]]
    assert check(json.dumps(squared(kept=[[3, even, even, [0, 0]]])))
    assert check(json.dumps(measured("reading", "1/2", [[["3"]], [["2"]]])))
    assert check(json.dumps(measured("hole", ["1", "2", "5"], whole("1"))))


@pytest.mark.parametrize("message, bad", BAD, ids=[f"{place}-{message[:30]}" for place, (message, _) in enumerate(BAD)])
def test_every_rejection(message: str, bad: dict[str, Any]) -> None:
    """Each line that rejects is reached, and says why."""
    if message == "what is read must be a number":
        bad = body(lines=[number("2"), root(0), {"op": "reading", "of": [1], "with": "1", "is": [[["1", [0, 1]]], [["1"]]]}])
    with pytest.raises(Rejected, match=re.escape(message)):
        check(json.dumps(bad))


def test_no_rejection_is_left_untried() -> None:
    """Every sentence that the checker can reject with stands in the table above, or in the tests of whole texts below."""
    tree = ast.parse(Path(checker.__file__).read_text(encoding="utf-8"))
    sentences = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "must":
            sentence = node.args[2]
            parts = sentence.values if isinstance(sentence, ast.JoinedStr) else [sentence]
            sentences.add(max((part.value for part in parts if isinstance(part, ast.Constant)), key=len).strip())
    tried = " ".join([*(message for message, _ in BAD), "one key twice", "it is over", "digits"])
    assert set() == {sentence for sentence in sentences if sentence not in tried}
    assert len(sentences) > 30


@pytest.mark.parametrize(
    "text, message",
    [
        ('{"format": 1, "format": 1}', "one key twice"),
        ('{"format": NaN}', "not a certificate"),
        ('{"format": 1e999999}', "not a certificate"),
        (json.dumps(body(format=2.0)), "this checker reads format 2"),
        (json.dumps(body(lines=[number(2.0)])), "not a fraction in quotes"),
        (json.dumps(body(sides=[[1, 1.0]])), "has not the sign"),
        (json.dumps(body(positives=[1.0])), "a line that has not come"),
        (json.dumps(body(roots=[[["2"]], [["1", [0.0, 1]]]])), "a letter or root that is not there yet"),
        ("[" * 100_000, "not a certificate"),
        ("9" * 10_000, "not a certificate"),
        ("[]", "not a certificate"),
        ("nothing", "not a certificate"),
        (" " * (checker.CHARACTERS + 1), "it is over"),
    ],
    ids=["twice", "nan", "huge", "format", "number", "sign", "line", "root", "deep", "digits", "list", "word", "long"],
)
def test_hostile_texts(text: str, message: str) -> None:
    """Whatever a text is, it ends in a rejection, never in another exception."""
    with pytest.raises(Rejected, match=message):
        check(text)


SEVENS = [[name, "7" * 95] for name in (f"u{k}" for k in range(60))]
SUMS = [U, number("1"), *(operation("add" if k % 2 else "mul", k - 1, 0) for k in range(2, 60))]
LONG = [number("7"), *(operation("mul", k, k) for k in range(13)), number("1/3")]


@pytest.mark.parametrize(
    "slow",
    [
        lettered(letters=SEVENS, roots=[[["1", *([place, 4000] for place in range(60))]]]),
        body(roots=[], lines=[*LONG, *[operation("add", 13, 14)] * 20_000]),
        lettered(lines=[*SUMS, *[operation("add", 59, 59)] * 20_000]),
        body(roots=[], lines=LONG[:-1], sides=[[13, 1]] * 20_000),
    ],
    ids=["powers", "long numbers", "long sums", "signs"],
)
def test_a_short_text_can_not_keep_it_busy(monkeypatch: pytest.MonkeyPatch, slow: dict[str, Any]) -> None:
    """High powers of long numbers, sums that are added again and again, signs of long numbers: all is paid from one budget."""
    monkeypatch.setattr(checker, "WORK", 200_000)
    with pytest.raises(TooLarge, match="it takes too long"):
        check(json.dumps(slow))


def test_a_side_of_zero_keeps_nothing_off_zero() -> None:
    """A branch that rests on a zero is no condition, or an identity with nothing on either side would show anything."""
    zero = {"op": "sub", "of": [0, 0], "is": [[], [["1"], ["1", [0, 2]]]]}
    nothing = {"lines": [U, zero], "sides": [[0, 1], [1, 0]], "zeros": [1], "positives": [0]}
    assert check(json.dumps(lettered(**nothing, conditions=[["side", 0]])))
    with pytest.raises(Rejected, match="the list is not the one"):
        check(json.dumps(lettered(**nothing, conditions=[["side", 0], ["side", 1]])))


def test_a_reading_is_no_condition_on_the_number_read() -> None:
    """What is read keeps off its ties, not off zero: a number read as 0 may be negative for another choice."""
    lines = [U, {"op": "reading", "of": [0], "with": "1", "is": [[], [["1"]]]}]
    good = lettered("1/5", lines=lines, sides=[], zeros=[1], positives=[], conditions=[["reading", 1]])
    assert check(json.dumps(good))
    with pytest.raises(Rejected, match="may change its sign"):
        check(json.dumps(lettered("1/5", lines=lines, sides=[], zeros=[1], positives=[0], conditions=[["reading", 1]])))


def test_a_root_of_a_square_is_bound_to_its_side() -> None:
    """√(u²) is u only as long as u keeps off zero: the radicand is listed."""
    lines = [U, operation("mul", 0, 0), {"op": "sqrt", "of": [1], "is": [[["1", [0, 1]]], [["1"]]]}, operation("sub", 2, 0)]
    with pytest.raises(Rejected, match="the list is not the one"):
        check(json.dumps(lettered(lines=lines, sides=[], conditions=[], zeros=[3])))
    assert check(json.dumps(lettered(lines=lines, sides=[], conditions=[["radicand", 2]], zeros=[3], positives=[0])))
    with pytest.raises(Rejected, match="root is positive"):
        check(json.dumps(lettered("-3", lines=lines, sides=[], conditions=[["radicand", 2]], zeros=[3])))


def test_it_stands_alone(tmp_path: Path) -> None:
    """`python -I -S` runs it with the standard library alone, and it loads nothing else of the package."""
    good, bad = tmp_path / "good.json", tmp_path / "bad.json"
    good.write_text(json.dumps(body()), encoding="utf-8")
    bad.write_text(json.dumps(body(zeros=[1])), encoding="utf-8")
    program = (
        f"import sys; sys.path.insert(0, {str(ROOT)!r}); from construct.proofs.checker import main; code = main(sys.argv[1:]);"
        "print(sorted(name for name in sys.modules if name.split('.')[0] not in sys.stdlib_module_names and name != '__main__'));"
        "sys.exit(code)"
    )
    ran = subprocess.run([sys.executable, "-I", "-S", "-c", program, str(good), str(bad)], capture_output=True, text=True, check=False)
    assert 1 == ran.returncode, ran.stderr
    assert "accepted: proved" in ran.stdout
    assert "REJECTED: claim: a number that should be zero, or positive, is not" in ran.stdout
    assert "['construct', 'construct.proofs', 'construct.proofs.checker']" in ran.stdout


def test_the_command_line_says_what_it_found(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """0 accepted, 1 rejected, 2 unreadable or nothing to do."""
    good = tmp_path / "good.json"
    good.write_text(json.dumps(body()), encoding="utf-8")
    assert 0 == main([str(good)])
    assert 2 == main([str(tmp_path / "none.json")])
    assert 2 == main([])
    assert "can not be read" in capsys.readouterr().out
