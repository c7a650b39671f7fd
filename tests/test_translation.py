"""A made-up language whose every sentence is marked: whatever a person reads and is not marked is no word of the phrasebook.

Only what the recipe itself says, signs, and diagnostics (which have places of their own) may stand outside the marks.
"""

from __future__ import annotations

import html
import json
import re
import string
import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest

import construct
from construct import phrasebook
from construct.phrasebook import speaking
from construct.reports import View, _catalogue, _chip_table, _compare_screen, _lesson, _tune_screen, card, error_figures, figure, summary
from construct.reports._budget_chart import chart
from construct.shelf import find
from construct.study import (
    Study,
    at_the_bench,
    compare,
    study,
    tuned,
    why,
    with_chip_errors,
    with_cutting_plan,
    with_errors,
    with_indifferent,
)

MARKED = "marked"
SIGNS = {"mm", "mm²", "in", "in²", "deg", "arccos", "rosette"}
"""Units and functions, and an option's value, as in any language."""

VIEW = View(recipe="RECIPE", folder="FOLDER")


def _with_marks(said: str) -> str:
    """Return a sentence with marks round each of its pieces, and none round what is filled in."""
    pieces = []
    for text, name, _, _ in string.Formatter().parse(said):
        pieces.append(f"«{text}»" if text else "")
        pieces.append("" if name is None else f"{{{name}}}")
    return "".join(pieces)


def _lines(table: Mapping[str, Any], path: tuple[str, ...] = ()) -> Iterator[str]:
    for key, value in table.items():
        if isinstance(value, Mapping):
            yield from _lines(value, (*path, key))
        else:
            keys = ".".join(json.dumps(one, ensure_ascii=False) for one in (*path, key))
            yield f"{keys} = {json.dumps(_with_marks(value), ensure_ascii=False)}"


@pytest.fixture(scope="module", autouse=True)
def marked(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Lay the marked language beside English, and speak it."""
    folder = tmp_path_factory.mktemp("words")
    english = (Path(construct.__file__).parent / "data" / "words" / "en.toml").read_text(encoding="utf-8")
    (folder / "en.toml").write_text(english, encoding="utf-8")
    (folder / f"{MARKED}.toml").write_text("\n".join(_lines(tomllib.loads(english))), encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(phrasebook, "_folder", lambda: folder)
        phrasebook.sentences.cache_clear()
        with speaking(MARKED):
            yield
    phrasebook.sentences.cache_clear()


def _whole(name: str) -> Study:
    found = with_errors(with_indifferent(study(name, others=True)), trials=60, seed=3)
    return with_cutting_plan(with_chip_errors(found, trials=20, seed=3), hand="right", first="hard")


@pytest.fixture(scope="module")
def dial(marked: None) -> Study:
    """A recipe with free choices, ways, chips, grooves and a claim that fails by one way."""
    return _whole("clock-dial")


@pytest.fixture(scope="module")
def side(marked: None) -> Study:
    """A recipe whose first way fails, on paper as by hand, with nothing cut."""
    return _whole("halve-a-side")


def unmarked(text: str, found: Study) -> list[str]:
    """Return the words of two letters and more that stand outside the marks and are not the recipe's own."""
    text = " ".join(re.sub(r"  [a-n]{1,4}$", "", text, flags=re.MULTILINE).split())  # the plan's last column is letters
    text = re.sub(r"`FOLDER/[a-z.]+`", "", text)
    text = re.sub(r"(Euclid )?\b[IVX]+(\.\d+|, (definition|postulate|common notion) \d+)", "", text)  # a citation, the same in every language
    for one in found.errors.warnings if found.errors is not None else ():
        text = text.replace(one.message, "").replace(one.hint, "")
    own = set(re.findall(r"[^\W\d_]+", find(found.plan.source).read_text(encoding="utf-8")))
    own |= {word.upper() for word in own} | {"RECIPE", "FOLDER"}
    return [word for word in re.findall(r"[^\W\d_₀-₉]{2,}", re.sub("«[^»]*»", " ", text)) if word not in own | SIGNS]


def test_an_unmarked_sentence_is_seen(side: Study) -> None:
    """The search itself: English beside marked words is found, what is filled in from the recipe is not."""
    assert ["Nothing", "certain"] == unmarked("«Fails by »3 mm«.» Nothing certain. halfway", side)


@pytest.mark.parametrize("name", ["dial", "side"])
def test_what_a_report_says_is_in_the_phrasebook(name: str, request: pytest.FixtureRequest) -> None:
    """Report, claims and errors with every table, in mm and in inches."""
    found = request.getfixturevalue(name)
    for units in ("mm", "in"):
        view = View(units, VIEW.recipe, VIEW.folder if units == "mm" else "")
        for text in (summary.report(found, view), summary.claims(found, view), summary.errors(found, view)):
            assert "«" in text
            assert [] == unmarked(text, found)


def test_what_is_said_of_chips_is_in_the_phrasebook(dial: Study) -> None:
    """Every chip, land, caution, error and cut."""
    assert [] == unmarked(_chip_table.text(dial, VIEW, whole=True), dial)


def test_what_a_card_says_is_in_the_phrasebook(side: Study, dial: Study) -> None:
    """The bench card is the recipe's own lines and marked sentences."""
    for found in (side, dial):
        text = card.text(found, at_the_bench(found), VIEW)
        assert [] == unmarked(text.replace("Card made by construct.", ""), found)


def test_what_a_lesson_says_is_in_the_phrasebook(side: Study) -> None:
    """The page without its script and styles, with what is only read out."""
    page = _lesson.page(side, VIEW, why(side)).decode()
    page = re.sub(r"<(style|script|title)\b.*?</\1>", " ", page, flags=re.DOTALL)
    read_out = " ".join(re.findall(r'(?:aria-label|title|alt)="([^"]*)"', page))
    assert [] == unmarked(html.unescape(f"{re.sub('<[^>]*>', ' ', page)} {read_out}"), side)


def test_what_a_comparison_says_is_in_the_phrasebook(dial: Study) -> None:
    """Two ways side by side, and where the order turns over."""
    assert [] == unmarked(_compare_screen.screen(compare("clock-dial", trials=100), VIEW), dial)


def test_what_tuning_says_is_in_the_phrasebook(side: Study) -> None:
    """Free choices, how flat, which crossing."""
    found = study("halve-a-side", way="compass", others=False)
    text = _tune_screen.screen(found, tuned(found, at=("M",)), VIEW)
    assert "«" in text
    assert [] == unmarked(text, side)


def test_what_pictures_say_is_in_the_phrasebook(dial: Study) -> None:
    """Titles, legends, notes and the pictures in words."""
    budget = chart(dial, "mm")
    assert budget is not None
    sheets = [figure.Sheet(dial, "mm"), error_figures.EllipseSheet(dial, "mm"), error_figures.BandSheet(dial, "in")]
    texts = [text.get_text() for drawn in (*(sheet.figure for sheet in sheets), budget) for text in drawn.axes[0].texts]
    texts += [figure.description(dial), *(sheet.in_words() for sheet in sheets[1:])]  # type: ignore[attr-defined]
    assert [] == [text for text in texts if unmarked(text, dial)]


def test_what_is_shipped_is_told_in_the_phrasebook_s_words(side: Study) -> None:
    """The list of recipes: names and titles are the recipes' own."""
    shipped = _catalogue.recipes()
    rows = [*shipped["recipes"], *(row for held in shipped["groups"].values() for row in held)]
    own = {*shipped["groups"], *(str(row[key]) for row in rows for key in ("name", "title"))} | {way for row in rows for way in row.get("ways", ())}
    text = " ".join(re.sub("«[^»]*»", " ", _catalogue.recipes_text()).split())
    for said in sorted(own, key=len, reverse=True):
        text = text.replace(said, "")
    assert [] == re.findall(r"[^\W\d_]{2,}", text)
