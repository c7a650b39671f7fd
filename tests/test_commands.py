"""Laws of every command, found through its folder: help, wrong input, shared options, and the language all of it is said in."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import click
import pytest

from construct import cli, commands, phrasebook, shelf, study
from construct.patience import GivenUp
from construct.replay.settle import _Settler

ROOT = Path(__file__).parent.parent
WRITES = {"sheet": ["-o", "made.pdf"], "lesson": ["-o", "made.html"], "fit": ["--plate", "200 mm"]}
"""What a command wants besides a recipe."""

WITHOUT_RECIPE = {"audit", "recipes", "tools"}
OF_A_RECIPE = [name for name in commands.names() if name not in WITHOUT_RECIPE]

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """Run the command line in an empty folder; give exit code, standard output, standard error."""
    monkeypatch.chdir(tmp_path)

    def ran(*arguments: str) -> tuple[int, str, str]:
        with pytest.raises(SystemExit) as left:
            cli.main(arguments)
        out, err = capsys.readouterr()
        assert "Traceback" not in out + err
        assert isinstance(left.value.code, int)
        return left.value.code, out, err

    return ran


def _command(name: str) -> click.Command:
    with cli.cli.make_context("construct", [name]) as context:
        found = cli.cli.get_command(context, name)
    assert found is not None
    return found


def _options(name: str) -> set[str]:
    return {spelt for param in _command(name).params if isinstance(param, click.Option) for spelt in param.opts}


# --- each command -------------------------------------------------------------------------------


@pytest.mark.parametrize("name", commands.names())
@pytest.mark.parametrize(
    ("words", "code", "says"),
    [(["--help"], 0, "--help"),
     (["--nonsense"], 2, "`--nonsense`"), (["nowhere", "--no"], 2, "`--no`"), (["a", "b", "c", "--json=1"], 2, "`--json`")],
)  # fmt: skip
def test_help_and_wrong_options(run: Run, name: str, words: list[str], code: int, says: str) -> None:
    """Help ends with 0 and names each option; an option that is none, or is used wrongly, is named, with exit code 2 and a next step."""
    ended, out, err = run(name, *words)
    assert code == ended
    assert says in out + err
    if code == 0:
        assert [] == [option for option in _options(name) if option not in out]
        assert out.startswith(f"Usage: construct {name} ")
    else:
        assert ("", 2) == (out, len(err.splitlines()))
        assert f"`construct {name} --help`" in err or "did you mean" in err


@pytest.mark.parametrize("name", OF_A_RECIPE)
@pytest.mark.parametrize("as_json", [False, True])
def test_a_recipe_that_is_none(run: Run, tmp_path: Path, name: str, as_json: bool) -> None:
    """A name that is no recipe, and a file that holds none, are diagnostics with a hint; nothing is written."""
    (tmp_path / "wrong.recipe").write_text("recipe Wrong\npaper\ndo it\n", encoding="utf-8")
    for recipe, code in (("clok-dial", "C501"), ("wrong.recipe", "T1")):
        ended, out, err = run(name, recipe, *WRITES.get(name, []), *(["--json"] if as_json else []))
        assert 2 == ended
        if as_json:
            assert "" == err
            one = json.loads(out)["diagnostics"][0]
            assert one["code"].startswith(code) and one["hint"]
        else:
            assert "" == out
            assert code in err
    assert ["wrong.recipe"] == [path.name for path in tmp_path.iterdir()]


@pytest.mark.parametrize("name", OF_A_RECIPE)
def test_shared_options(name: str) -> None:
    """Every command that takes a recipe takes a way, units and patience, and speaks to machines."""
    assert {"--way", "--units", "--json", "--patience"} <= _options(name)


@pytest.mark.parametrize("name", OF_A_RECIPE)
@pytest.mark.parametrize(
    ("words", "code"),
    [(["--units", "ell"], "C535"), (["--patience", "0"], "C534"), (["--patience", "nan"], "C534"), (["--patience", "x"], "C534")]
)  # fmt: skip
def test_shared_options_that_are_none(run: Run, name: str, words: list[str], code: str) -> None:
    """Units that are none and times that can not be waited are told before anything is worked out."""
    ended, out, err = run(name, "clock-dial", *WRITES.get(name, []), *words)
    assert (2, "") == (ended, out)
    assert err.startswith(f"{code}: ") and words[1] in err


@pytest.mark.parametrize(
    ("words", "code"),
    [(["card", "swirl", "--large"], "C537"), (["audit", "x.json", "--way", "ruler"], "C537"), (["fit", "swirl"], "C721"),
     (["fit"], "C721"), (["fit", "--border"], "C721"), (["reprot", "swirl"], "C520"), (["report"], "C520"), (["sheet", "swirl"], "C520"),
     (["recipes", "swirl", "twice"], "C520"), (["report", "swirl", "-o"], "C520"), ([], "C520"),
     (["report", f"--{'x' * 5000}"], "C520"), (["report", "swirl", "--language", "en"], "C520")],
)  # fmt: skip
def test_words_that_do_not_fit(run: Run, words: list[str], code: str) -> None:
    """What is missing, too many or without effect is said in two lines: what, and what would be right."""
    ended, out, err = run(*words)
    assert (2, "") == (ended, out)
    first, second = err.splitlines()
    assert first.startswith(f"{code}: ")
    assert "`construct " in second
    assert len(first) < 200


# --- records for machines -----------------------------------------------------------------------


def test_records_of_what_is_printed(run: Run, tmp_path: Path) -> None:
    """Sheet, card and lesson say which file they wrote and of how many pages; a card without a file holds its settings."""
    for words, pages in ((["sheet", "halve-a-side", "-o", "s.pdf"], 2), (["card", "halve-a-side", "-o", "c.pdf"], 1),
                         (["lesson", "halve-a-side", "-o", "l.html"], 1), (["card", "halve-a-side", "-o", "c.txt"], None)):  # fmt: skip
        ended, out, err = run(*words, "--way", "compass", "--units", "in", "--json")
        record = json.loads(out)
        assert (0, "") == (ended, err)
        assert (1, words[0], words[-1], pages, "compass") == tuple(record[key] for key in ("format", "command", "file", "pages", "way"))
        assert (tmp_path / words[-1]).is_file()
    halved = json.loads(run("card", "halve-a-length", "--way", "ruler", "--json")[1])
    assert (None, None) == (halved["file"], halved["pages"])
    settings = [one for stage in halved["stages"] for row in stage["rows"] for one in row.get("settings", [])]
    # 108.65 mm on a ruler of half millimetres is read as 108.5, and half of that is 54.25 (by hand)
    assert ("2173/20", 108.5) == (settings[0]["exact_mm"], settings[0]["on_ruler_mm"])
    assert "217/4" == settings[1]["exact_mm"]


# --- the shelf ----------------------------------------------------------------------------------


def test_theorems_by_name(run: Run) -> None:
    """A recipe in a folder of the shelf is found by its name, listed with its title, and no name is there twice."""
    files = sorted(path.stem for path in (ROOT / "recipes").rglob("*.recipe"))
    assert len(set(files)) == len(files)
    rows = json.loads(run("recipes", "--json")[1])["groups"]["theorems"]
    assert sorted(path.stem for path in (ROOT / "recipes" / "theorems").glob("*.recipe")) == [row["name"] for row in rows]
    assert [] == [row["name"] for row in rows if not row["title"]]
    ended, out, _ = run("prove", "heights")
    assert 0 == ended
    assert "k, l and m meet in one mark" in out
    assert "`heights`" in run("prove", "hights")[2]
    assert ROOT / "recipes" / "theorems" / "heights.recipe" == shelf.find("heights")


# --- what was not worked out --------------------------------------------------------------------


@pytest.mark.parametrize("name", OF_A_RECIPE)
def test_a_layout_that_is_not_whole(run: Run, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, name: str) -> None:
    """Where a step is given up, what can go without it says what is left out; what can not is not made, and nothing is written."""
    step = study.study("clock-dial", others=False).plan.steps[20]
    real = _Settler._step

    def given_up(self: Any, one: Any) -> Any:
        if one.number == step.number:
            raise _Stuck
        return real(self, one)

    monkeypatch.setattr(study, "watched", _impatient)
    monkeypatch.setattr(_Settler, "_step", given_up)
    ended, out, err = run(name, "clock-dial", *WRITES.get(name, []))
    told = " ".join((out + err).split())
    assert f":{step.span.line}:" in told or f"line {step.span.line} " in told
    if name in {"chips", "sheet", "card", "lesson", "tune"}:
        assert (2, "") == (ended, out)
        assert "C536" in err
        assert [] == list(tmp_path.iterdir())


class _Stuck(Exception):
    """Stands for work that would go on for ever."""


def _impatient(work: Callable[[Callable[[Any], None]], Any], seconds: float) -> Any:
    """Give up at once what is stuck, as `patience.watched` gives up after a while."""
    begun: list[Any] = [None]
    try:
        return work(lambda at: begun.__setitem__(0, at))
    except _Stuck:
        return GivenUp(begun[0])


# --- language -----------------------------------------------------------------------------------


@pytest.fixture
def marked(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    """A made-up language beside English: every sentence of commands and help stands between marks."""
    folder = tmp_path_factory.mktemp("words")
    english = (Path(phrasebook.__file__).parent / "data" / "words" / "en.toml").read_text(encoding="utf-8")
    (folder / "en.toml").write_text(english, encoding="utf-8")
    rows = []
    for key, said in phrasebook.sentences("en").items():
        if key.startswith(("help.", "command.")):
            forms = {f"{key}.{form}": one for form, one in said.items()} if isinstance(said, dict) else {key: str(said)}
            rows += [f"{one} = {json.dumps('¿' + text + '?', ensure_ascii=False)}" for one, text in forms.items()]
    (folder / "xx.toml").write_text("\n".join(rows), encoding="utf-8")
    monkeypatch.setattr(phrasebook, "_folder", lambda: folder)
    phrasebook.sentences.cache_clear()
    yield "xx"
    phrasebook.sentences.cache_clear()


@pytest.mark.parametrize("words", [[], *([name] for name in commands.names())])
def test_help_in_another_language(run: Run, marked: str, words: list[str]) -> None:
    """Every sentence of help is the language's own: what is left of it without them is names, defaults and capitals."""
    ended, out, err = run("--language", marked, *words, "--help")
    assert (0, "") == (ended, err)
    said = " ".join(out.split())
    assert said.startswith("¿Usage:? construct ")
    rest = said
    while "¿" in rest:
        before, _, after = rest.partition("¿")
        rest = before + after.partition("?")[2]
    left = {word.strip("[];:,…") for word in rest.split()} - {"construct", "mm|in", *commands.names()}
    assert [] == [word for word in left if word and not word.startswith("-") and not word.isupper()]


@pytest.mark.parametrize("words", [["report"], ["reprot"], ["report", "--x"], ["report", "a", "b"], [], ["report", "--units", "ell"]])
def test_mistakes_in_another_language(run: Run, marked: str, monkeypatch: pytest.MonkeyPatch, words: list[str]) -> None:
    """What is wrong with a command is told in the language that the option or the variable names; the option counts first."""
    for before in (["--language", marked], []):
        monkeypatch.setenv(cli.LANGUAGE, "no such" if before else marked)
        ended, _, err = run(*before, *words)
        first, second = err.splitlines()
        assert 2 == ended
        assert first.partition(": ")[2].startswith("¿") and second.strip().startswith("¿")
    assert "en" == phrasebook.language()


def test_a_language_that_is_none(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    """A language without words is told, by option and by variable; an empty variable is none."""
    assert "C540" in run("--language", "xyz", "recipes")[2]
    monkeypatch.setenv(cli.LANGUAGE, "../en")
    assert "C540" in run("recipes")[2]
    monkeypatch.setenv(cli.LANGUAGE, "")
    assert 0 == run("--help")[0]


# --- start --------------------------------------------------------------------------------------


def test_help_loads_no_command() -> None:
    """`construct --help` loads no command's file, and `construct report` no other's."""
    code = """import sys
from construct.cli import main
try:
    main()
except SystemExit:
    print(*sys.modules, file=sys.stderr)
"""
    for words, wanted in (["--help"], set()), (["report", "--help"], {"report"}):
        done = subprocess.run([sys.executable, "-c", code, *words], capture_output=True, text=True, check=True, timeout=60)
        loaded = {name.removeprefix("construct.commands.") for name in done.stderr.split() if name.startswith("construct.commands.")}
        assert wanted == {name for name in loaded if not name.startswith("_")}
        assert "construct.study" not in done.stderr.split()


def test_only_the_command_line_prints() -> None:
    """No command's file prints: it returns an `Answer`."""
    for file in Path(commands.__file__).parent.glob("*.py"):
        text = file.read_text(encoding="utf-8")
        assert "click.echo" not in text and "print(" not in text, file.name
