"""A tool's formula is straight-line arithmetic: nothing in it may ask a number a question."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import construct.tools

FOLDER = Path(construct.tools.__file__).parent
# settings are made from text before any number system is there
FILES = sorted(path for path in FOLDER.glob("*.py") if path.name not in ("__init__.py", "_settings.py"))


def faults(source: str) -> list[str]:
    """Return what a tool's source has that no formula may have."""
    tree = ast.parse(source)
    # text for people is no number: `float(…)` inside an f-string only prints
    printing = {id(part) for text in ast.walk(tree) if isinstance(text, ast.JoinedStr) for part in ast.walk(text)}
    asked = set()
    found = []
    for node in ast.walk(tree):
        if id(node) in printing:
            continue
        if isinstance(node, ast.If | ast.IfExp):
            asked |= {id(part) for part in ast.walk(node.test)}
            if not _allowed(node.test):
                found.append(f"line {node.lineno}: branches on {ast.unparse(node.test)}")
        if isinstance(node, ast.Assert):
            asked |= {id(part) for part in ast.walk(node.test)}
    for node in ast.walk(tree):
        if id(node) in printing:
            continue
        if isinstance(node, ast.While):
            found.append(f"line {node.lineno}: a while loop")
        if isinstance(node, ast.Compare) and id(node) not in asked:
            found.append(f"line {node.lineno}: compares {ast.unparse(node)}")
        if isinstance(node, ast.BoolOp) and id(node) not in asked:
            found.append(f"line {node.lineno}: takes a truth value of {ast.unparse(node)}")
        if isinstance(node, ast.Constant) and isinstance(node.value, float):
            found.append(f"line {node.lineno}: the float {node.value}")
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in ("float", "abs", "min", "max", "sorted"):
            found.append(f"line {node.lineno}: {node.func.id}() asks for order or leaves the number system")
    return found


def _allowed(test: ast.expr) -> bool:
    """Only what kind of thing stands there may be asked, whether errors count, and whether something is there at all."""
    if isinstance(test, ast.UnaryOp) and isinstance(test.op, ast.Not):
        return _allowed(test.operand)
    if isinstance(test, ast.BoolOp):
        return all(_allowed(part) for part in test.values)
    if isinstance(test, ast.Call):
        return isinstance(test.func, ast.Name) and test.func.id == "isinstance"
    if isinstance(test, ast.Attribute):
        return ast.unparse(test) in ("bench.number.has_errors", "self.number.has_errors")
    if isinstance(test, ast.Compare):
        nothing = all(isinstance(one, ast.Constant) and one.value is None for one in test.comparators)
        return nothing and all(isinstance(op, ast.Is | ast.IsNot) for op in test.ops)
    return False


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_tool_never_asks_a_number_a_question(path: Path) -> None:
    """Each tool's syntax tree has no comparison, no while, no float, and no branch but on kinds, on errors and on absence."""
    assert [] == faults(path.read_text(encoding="utf-8"))


@pytest.mark.parametrize(
    "source",
    [
        "def make(bench, a):\n    return a if a.x > 0 else -a",
        "def make(bench, a):\n    while bench.more:\n        a = a + 1",
        "def make(bench, a):\n    return a * 0.5",
        "def make(bench, a):\n    if a:\n        return a",
        "def make(bench, a):\n    return a == 1",
        "def make(bench, a):\n    return a and 1",
        "def make(bench, a, b):\n    return max(a, b)",
        "def make(bench, a):\n    return float(a)",
        "def make(bench, a):\n    if bench.number.sign(a):\n        return a",
    ],
)
def test_the_walk_finds_what_it_looks_for(source: str) -> None:
    """Each kind of question, planted, is found."""
    assert faults(source)


def test_there_is_a_file_for_every_tool() -> None:
    """Ten tools stand in the language's table, by eye and pencil included; the walk sees each."""
    names = {path.stem for path in FILES}
    table = {
        "by_eye", "centre_finder", "circle_template", "compass", "dividers", "french_curve", "opening", "pencil", "ruler", "square",
        "straightedge",
    }  # fmt: skip
    assert set() == table - names
