"""What the documents show is what the program does: their recipes, their Python and the notebooks run."""

from __future__ import annotations

import doctest
import json
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from construct import cli
from construct.study import study

ROOT = Path(__file__).parent.parent
NOTEBOOKS = sorted((ROOT / "notebooks").glob("*.ipynb"))


def blocks(name: str, language: str) -> list[str]:
    """Return the fenced blocks of a document in one language ("" for none)."""
    found: list[str] = []
    inside: str | None = None
    for line in (ROOT / name).read_text(encoding="utf-8").splitlines(keepends=True):
        if line.startswith("```"):
            inside = line[3:].strip() if inside is None else None
            found += [""] if inside == language else []
        elif inside == language:
            found[-1] += line
    return found


def test_the_recipe_in_the_readme() -> None:
    """By compass every claim of the README's recipe holds; by ruler one fails, by 3/40 mm."""
    (text,) = [block for block in blocks("README.md", "") if block.startswith("recipe")]
    first = study(text)
    assert first.holds
    (ruler,) = first.others
    failing = [verdict for verdict in ruler.verdicts if not verdict.holds]
    assert [verdict.finding.exact for verdict in failing if verdict.finding] == ["3/40 mm"]


def test_the_python_in_developers() -> None:
    """Every `>>>` block of DEVELOPERS.md prints what it says."""
    text = "\n".join(blocks("DEVELOPERS.md", "pycon"))
    examples = doctest.DocTestParser().get_doctest(text, {}, "DEVELOPERS.md", "DEVELOPERS.md", 0)
    assert examples.examples, "no examples found"
    runner = doctest.DocTestRunner(verbose=False)
    runner.run(examples)
    assert runner.failures == 0


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_notebook(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A notebook's cells run from top to bottom, through the public API alone, and hold no stale output."""
    monkeypatch.chdir(path.parent)
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    sources = ["".join(cell["source"]) for cell in cells if cell["cell_type"] == "code"]
    assert sources
    space: dict[str, object] = {"__name__": "__main__"}
    for source in sources:
        assert not re.search(r"construct\.\w+\._|import _", source), "a notebook uses the public API"
        code = compile(source, str(path), "exec")
        exec(code, space)
    assert all(not cell.get("outputs") for cell in cells if cell["cell_type"] == "code")


def test_every_command_of_the_readme_is_there() -> None:
    """The README's table names the commands that the program has, no more and no fewer."""
    done = subprocess.run([sys.executable, "-m", "construct", "--help"], cwd=ROOT, capture_output=True, text=True, check=True)
    commands = re.findall(r"^  (\w+) ", done.stdout.split("Commands:")[1], re.MULTILINE)
    said = re.findall(r"^\| `construct (\w+)", (ROOT / "README.md").read_text(encoding="utf-8"), re.MULTILINE)
    assert sorted(said) == sorted(commands)


WRONG = """recipe Mine
plate round, 200 mm across
g : line by centre finder along the grain
"""


SHOWN = [one for block in blocks("README.md", "console") for one in re.split(r"^\$ ", block, flags=re.MULTILINE) if one]


@pytest.mark.parametrize("shown", SHOWN, ids=lambda shown: shown.split("\n")[0])
def test_what_the_readme_shows_is_said(shown: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """What stands under a command in the README is what it says today; … stands for what is left out."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "mine.recipe").write_text(WRONG, encoding="utf-8")
    command, *lines = shown.splitlines()
    with pytest.raises(SystemExit):
        cli.main(shlex.split(command)[1:])
    said = " ".join("".join(capsys.readouterr()).split())
    at = 0
    for piece in "\n".join(lines).split("…\n"):
        words = " ".join(piece.split())
        assert words in said[at:]
        at += said[at:].index(words) + len(words)


def test_the_picture_of_the_readme() -> None:
    """The picture is there, says in words what it shows, and is small enough for a repository."""
    ((name, told),) = re.findall(r'<img src="([^"]+)" width="\d+" alt="([^"]+)">', (ROOT / "README.md").read_text(encoding="utf-8"))
    assert (ROOT / name).stat().st_size < 150_000
    assert "leaves" in told
