"""`construct tools` and `construct recipes`: what they show can be written as it is shown."""

from __future__ import annotations

import json

import pytest

from construct import claims, cli, tools
from construct.language.parser import parse
from construct.reports import _catalogue, _frame

BLANK = "plate round, 200 mm across"


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    """Run a command in this process."""
    with pytest.raises(SystemExit) as left:
        cli.main(list(arguments))
    out, err = capsys.readouterr()
    return int(left.value.code or 0), out, err


def placed(section: str, text: str) -> str:
    """Return a whole recipe with one line of the catalogue in the place where it belongs."""
    if section == "head":
        blank = "" if text.startswith(("plate", "board", "paper")) else BLANK
        return f"{text if text.startswith('recipe') else 'recipe R'}\n{blank}\n{'' if text.startswith('recipe') else text}\n"
    if section == "carve":
        return f"recipe R\n{BLANK}\n{'' if text == 'carve' else 'carve'}\n{text}\n"
    return f"recipe R\n{BLANK}\n{text}\n"


@pytest.mark.parametrize("row", _frame.rows(), ids=lambda row: row["text"].split("\n")[0])
def test_every_line_that_is_shown_can_be_written(row: dict[str, str]) -> None:
    """An example that the parser refuses would teach a mistake."""
    actions = [phrase for tool in tools.tools().values() for phrase in tool.PHRASES]
    claimed = [phrase for claim in claims.claims().values() for phrase in claim.PHRASES]
    text = placed(row["section"], row["text"])
    recipe = parse(text, actions=actions, claims=claimed)
    # a line that was skipped would leave nothing behind
    bare = parse(f"recipe R\n{BLANK}\n", actions=actions, claims=claimed)
    assert row["text"] == BLANK or (recipe.title, recipe.blank, recipe.bench, recipe.given, recipe.methods, recipe.statements) != (
        bare.title, bare.blank, bare.bench, bare.given, bare.methods, bare.statements,
    )  # fmt: skip
    assert row["note"]


def test_the_frame_stands_before_the_tools(capsys: pytest.CaptureFixture[str]) -> None:
    """Rounds, `carve` and the words that are never names are told, on the screen and for machines."""
    code, out, _ = run(capsys, "tools")
    assert 0 == code
    assert out.index("  around p1 to p6 as p, q") < out.index("  carve\n") < out.index("centre finder:")
    assert " half " in " ".join(out.split()) and max(map(len, out.splitlines())) <= 96
    _, out, _ = run(capsys, "tools", "--json")
    assert {"head", "body", "carve"} == {row["section"] for row in json.loads(out)["lines"]}


def test_a_shipped_recipe_is_shown_as_it_is(capsys: pytest.CaptureFixture[str]) -> None:
    """`construct recipes NAME` is a recipe to begin from: it can be written to a file and read again."""
    code, out, _ = run(capsys, "recipes", "six-petals")
    assert 0 == code
    assert "recipe  Rosette of six split petals" in out and "carve" in out
    actions = [phrase for tool in tools.tools().values() for phrase in tool.PHRASES]
    claimed = [phrase for claim in claims.claims().values() for phrase in claim.PHRASES]
    assert "Rosette of six split petals" == parse(out, actions=actions, claims=claimed).title
    _, out, _ = run(capsys, "recipes", "six-petals", "--json")
    assert "carve" in json.loads(out)["text"]
    code, out, err = run(capsys, "recipes", "no-such-thing")
    assert (2, "") == (code, out) and "C501" in err


def test_the_list_says_how_to_see_one(capsys: pytest.CaptureFixture[str]) -> None:
    """A list that leads nowhere is no help: what it names can be shown and reported on."""
    assert "construct recipes six-petals" in run(capsys, "recipes")[1]
    assert "six-petals" in {row["name"] for row in _catalogue.recipes()["recipes"]}
