"""The command line: exit codes, what goes where, and that nothing a user does ends in a traceback."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from construct import __version__, cli, commands, study
from construct.commands import _study
from construct.diagnostics import Diagnostic, Mistakes
from construct.reports import _folder, record

GOOD = "recipe Fine\npaper\ngiven A, B, 100 mm apart\nstep S\n  k : line through A and B\n  claim A is on k\n"
FALSE = GOOD.replace("A is on k", "A B is 99 mm")
ROOT = Path(__file__).parent.parent
HEAVY = ("sympy", "numpy", "matplotlib", "flint", "lark")


class Ran:
    """One run in this process: exit code, standard output, standard error."""

    def __init__(self, capsys: pytest.CaptureFixture[str], *arguments: str) -> None:
        with pytest.raises(SystemExit) as left:
            cli.main(list(arguments))
        self.code = left.value.code
        self.out, self.err = capsys.readouterr()
        assert "Traceback" not in self.out + self.err

    @property
    def json(self) -> Any:
        """Standard output as JSON."""
        return json.loads(self.out)


def feed(monkeypatch: pytest.MonkeyPatch, data: bytes) -> None:
    """Put bytes on standard input."""
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(data)))


@pytest.fixture
def recipe(tmp_path: Path) -> Path:
    """A file with a recipe whose one claim holds."""
    path = tmp_path / "fine.recipe"
    path.write_text(GOOD, encoding="utf-8")
    return path


# --- exit codes ---------------------------------------------------------------------------------


@pytest.mark.parametrize("command", ["prove", "report"])
@pytest.mark.parametrize(("way", "code"), [("compass", 0), ("ruler", 1)])
def test_holding_is_0_and_failing_is_1(capsys: pytest.CaptureFixture[str], command: str, way: str, code: int) -> None:
    """By compass every claim of the demo holds; by ruler one does not, by 3/40 mm."""
    ran = Ran(capsys, command, "clock-dial", "--way", way)
    assert (code, "") == (ran.code, ran.err)
    assert "3/40 mm" in ran.out  # in both: the other way is told of too


def test_undecided_is_1(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """An undecided claim is no yes."""
    made = study.study(GOOD)
    open_one = made.verdicts[0].__class__(6, "A is on k", None, "undecided", "here", (), None, "a limit was met")
    known = study.Study(made.recipe, made.plan, made.settled, made.exact, made.drawn, (open_one,), None, None)
    monkeypatch.setattr(study, "study", lambda *_, **__: known)
    ran = Ran(capsys, "prove", "clock-dial")
    assert ran.code == 1
    assert "undecided" in ran.out


@pytest.mark.parametrize(
    ("arguments", "says"),
    [(["prove"], "RECIPE"), (["prove", "clock-dial", "--nonsense"], "--nonsense"), (["nonsense"], "nonsense"), ([], "--help"),
     (["prove", "clock-dial", "--units", "ell"], "ell"), (["report", "clock-dial", "-o"], "-o"), (["prove", "a", "b"], "b"),
     (["prove", "clock-dial", "--way", "magic"], "magic"), (["prove", "clok-dial"], "clock-dial"), (["prove", "/"], "folder"),
     (["prove", ""], "folder"), (["prove", "x" * 5000], "can not be read"), (["prove", "../nowhere"], "nowhere")],
)  # fmt: skip
def test_a_wrong_command_is_2(capsys: pytest.CaptureFixture[str], arguments: list[str], says: str) -> None:
    """What is wrong with a command is said in a line, on standard error."""
    ran = Ran(capsys, *arguments)
    assert ran.code == 2
    assert says in ran.err
    assert len(ran.err.splitlines()) == 2


@pytest.mark.parametrize(
    "arguments", [["prove"], ["report", "clok-dial"], ["prove", "clock-dial", "--way", "magic"], ["prove", "clock-dial", "--nonsense"]]
)
def test_wrong_commands_as_json(capsys: pytest.CaptureFixture[str], arguments: list[str]) -> None:
    """With --json the diagnostics are JSON on standard output, and standard error stays empty."""
    ran = Ran(capsys, *arguments, "--json")
    assert (2, "", 1) == (ran.code, ran.err, ran.json["format"])
    (one,) = ran.json["diagnostics"]
    assert {"code", "line", "column", "message", "hint", "warning", "spots"} == set(one)
    assert one["message"] and one["hint"]


FILES = {
    "empty": b"", "blank": b"\n\n", "binary": bytes(range(256)), "null bytes": b"recipe A\0B\n",
    "latin 1": "recipe Käse\n".encode("latin-1"),
    "utf-16": "recipe A\npaper\n".encode("utf-16"), "nonsense": b"do it\n", "10 MB": b"# long\n" * 1_500_000,
    "one long line": b"recipe " + b"x" * 1_000_000, "deep": b"recipe A\npaper\nstep S\n" + b"around A, B as p\n" * 3000,
}  # fmt: skip


@pytest.mark.parametrize("command", ["prove", "report"])
@pytest.mark.parametrize("content", FILES.values(), ids=FILES.keys())
def test_files_that_are_no_recipe(capsys: pytest.CaptureFixture[str], tmp_path: Path, command: str, content: bytes) -> None:
    """Whatever bytes a file holds, a diagnostic with a code comes out, and exit code 2."""
    path = tmp_path / "wrong.recipe"
    path.write_bytes(content)
    ran = Ran(capsys, command, str(path))
    assert (2, "") == (ran.code, ran.out)
    assert ": " in ran.err


def test_a_file_that_may_not_be_read(capsys: pytest.CaptureFixture[str], recipe: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file that the system will not open is a diagnostic with the system's reason."""
    monkeypatch.setattr(Path, "open", lambda *_, **__: (_ for _ in ()).throw(PermissionError(13, os.strerror(13))))
    ran = Ran(capsys, "prove", str(recipe))
    assert ran.code == 2
    assert "permission denied" in ran.err


@pytest.mark.parametrize("content", [GOOD.replace("\n", "\r\n").encode(), b"\xef\xbb\xbf" + GOOD.encode(), GOOD.rstrip().encode()])
def test_line_ends_and_marks_of_other_editors(capsys: pytest.CaptureFixture[str], tmp_path: Path, content: bytes) -> None:
    """CRLF line ends, a byte order mark and a missing last line end change nothing."""
    path = tmp_path / "other.recipe"
    path.write_bytes(content)
    assert 0 == Ran(capsys, "prove", str(path)).code


def test_diagnostics_point_into_the_file(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """The diagnostic begins with file, line and column; as JSON it has them as numbers."""
    path = tmp_path / "bad.recipe"
    path.write_text(GOOD.replace("A and B", "A and Z"), encoding="utf-8")
    assert Ran(capsys, "prove", str(path)).err.startswith(f"{path}:5:26: P103: ")
    (one,) = Ran(capsys, "prove", str(path), "--json").json["diagnostics"]
    assert ("P103", 5, 26) == (one["code"], one["line"], one["column"])


# --- faults of ours -----------------------------------------------------------------------------


def _break(monkeypatch: pytest.MonkeyPatch, fault: BaseException) -> None:
    def broken(*_: object, **__: object) -> None:
        raise fault

    monkeypatch.setattr(study, "study", broken)


@pytest.mark.parametrize("fault", [RuntimeError("gap is zero"), RecursionError(), KeyError("x\ny"), MemoryError()])
def test_a_fault_of_ours_is_3(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, fault: Exception) -> None:
    """A broken program asks to be reported, with the exception's type and text, and shows no traceback."""
    monkeypatch.delenv(cli.TRACEBACK, raising=False)
    _break(monkeypatch, fault)
    ran = Ran(capsys, "prove", "clock-dial")
    assert (3, "") == (ran.code, ran.out)
    assert f"{type(fault).__name__}: " in ran.err
    assert "report it" in ran.err
    assert 2 == len(ran.err.splitlines())


def test_a_traceback_for_those_who_ask(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """CONSTRUCT_TRACEBACK=1 shows where it happened."""
    monkeypatch.setenv(cli.TRACEBACK, "1")
    _break(monkeypatch, RuntimeError("gap is zero"))
    with pytest.raises(SystemExit) as left:
        cli.main(["prove", "clock-dial"])
    assert 3 == left.value.code
    assert "Traceback" in capsys.readouterr().err


def test_stopping_is_quiet(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """Control-C ends with 128 + SIGINT (common practice of shells), and no traceback."""
    _break(monkeypatch, KeyboardInterrupt())
    assert 130 == Ran(capsys, "prove", "clock-dial").code


# --- what comes out -----------------------------------------------------------------------------


def test_json_of_prove_and_report(capsys: pytest.CaptureFixture[str]) -> None:
    """--json writes one JSON document; the report holds all that prove holds, and errors and chips."""
    prove = Ran(capsys, "prove", "clock-dial", "--json")
    report = Ran(capsys, "report", "clock-dial", "--json")
    assert (0, 0) == (prove.code, report.code)
    assert set(prove.json) < set(report.json)
    assert {"errors", "chips", "indifferent", "tools", "compasses"} == set(report.json) - set(prove.json)
    assert prove.json["claims"] == report.json["claims"]


def test_standard_input(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """`-` reads standard input: the same verdicts as from a file, and the same care with what is no text."""
    feed(monkeypatch, FALSE.encode())
    ran = Ran(capsys, "prove", "-")
    assert 1 == ran.code
    assert "fails by 1 mm" in ran.out
    for wrong in (b"", b"\xff\xfe\x00", b"clock-dial", b"x" * 10_000_001):
        feed(monkeypatch, wrong)
        assert 2 == Ran(capsys, "prove", "-").code


def test_a_name_is_never_taken_for_a_recipe(capsys: pytest.CaptureFixture[str]) -> None:
    """A RECIPE with line ends in it is a file's name still."""
    assert 2 == Ran(capsys, "prove", GOOD).code


def test_inches(capsys: pytest.CaptureFixture[str], recipe: Path) -> None:
    """--units in shows lengths in inches: 9 1/2 in, as the recipe has it; the record for machines stays in mm."""
    assert "9 1/2 in across" in Ran(capsys, "prove", "clock-dial", "--units", "in").out
    assert pytest.approx(241.3) == Ran(capsys, "prove", "clock-dial", "--units", "in", "--json").json["plate"]["width_mm"]


def test_recipes(capsys: pytest.CaptureFixture[str]) -> None:
    """Every shipped recipe is listed with its title and ways, and none is broken."""
    rows = Ran(capsys, "recipes", "--json").json["recipes"]
    files = sorted(path.stem for path in (ROOT / "recipes").glob("*.recipe"))
    assert files == [row["name"] for row in rows]
    assert [] == [row["name"] for row in rows if row["wrong"] is not None or not row["title"]]
    (demo,) = (row for row in rows if row["name"] == "clock-dial")
    assert {"compass", "ruler"} <= set(demo["ways"])
    assert "Clock dial with twelve leaves" in Ran(capsys, "recipes").out


def test_tools(capsys: pytest.CaptureFixture[str]) -> None:
    """Every tool file's phrases are listed; errors have a figure for each level and say that they are judgement."""
    made = Ran(capsys, "tools", "--json").json
    folder = Path(cli.__file__).parent / "tools"
    assert len([path for path in folder.glob("*.py") if not path.name.startswith("_")]) == len(made["tools"])
    phrases = [phrase["text"] for tool in made["tools"] for phrase in tool["phrases"]]
    assert {"line through P and Q", "line by centre finder, along the grain", "mark halfway from A to B, by ruler"} <= set(phrases)
    assert not [text for text in phrases if "<" in text]
    for row in made["errors"]:
        if row["name"] == "ruler within its class":  # nothing until a recipe says the class
            assert {0.0} == set(row["u"].values())
            continue
        assert 0 < row["u"]["careful"] <= row["u"]["ordinary"] <= row["u"]["beginner"]
    text = Ran(capsys, "tools").out
    assert "judgement" in text
    assert [] == [line for line in text.splitlines() if len(line) > 100]


def test_what_can_be_claimed(capsys: pytest.CaptureFixture[str]) -> None:
    """--claims adds the claims' phrases, and only then."""
    assert "is halfway between" not in Ran(capsys, "tools").out
    assert "claim M is halfway between A and B" in Ran(capsys, "tools", "--claims").out


def test_version_and_help(capsys: pytest.CaptureFixture[str]) -> None:
    """--version and --help of every command end with 0; help names every command."""
    assert (0, f"construct {__version__}\n") == ((ran := Ran(capsys, "--version")).code, ran.out)
    text = Ran(capsys, "--help").out
    for command in commands.names():
        assert command in text
        assert 0 == Ran(capsys, command, "--help").code


# --- the report's folder ------------------------------------------------------------------------


def test_a_folder_is_written_whole(capsys: pytest.CaptureFixture[str], tmp_path: Path, recipe: Path) -> None:
    """-o writes record, text and pictures, twice in a row too; the record is what --json prints."""
    out = tmp_path / "out"
    for _ in range(2):
        ran = Ran(capsys, "report", str(recipe), "-o", str(out), "--json")
        assert 0 == ran.code
        there = {path.name for path in out.iterdir()}
        assert {"report.json", "report.txt", "picture.svg", "picture.png"} <= there <= _folder.NAMES
    assert ran.json == json.loads((out / "report.json").read_bytes())
    assert [out, recipe] == sorted(set(tmp_path.iterdir()), key=lambda path: path.name != "out")


def test_a_failing_claim_still_gets_its_folder(capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A refuted claim is a result: the folder is written and the exit code is 1."""
    feed(monkeypatch, FALSE.encode())
    assert 1 == Ran(capsys, "report", "-", "-o", str(tmp_path / "out")).code
    assert "FAILS" in (tmp_path / "out" / "report.txt").read_text(encoding="utf-8")


def test_a_wrong_recipe_leaves_no_folder(capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the recipe is wrong no folder is made."""
    feed(monkeypatch, b"nonsense\n")
    assert 2 == Ran(capsys, "report", "-", "-o", str(tmp_path / "out")).code
    assert [] == list(tmp_path.iterdir())


def test_a_fault_while_drawing_leaves_no_folder(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A fault of ours half-way leaves nothing behind, and nothing on standard output."""
    from construct.reports import figure

    def broken(*_: object, **__: object) -> None:
        raise RuntimeError("no ink")

    monkeypatch.setattr(figure, "figures", broken)
    ran = Ran(capsys, "report", "clock-dial", "-o", str(tmp_path / "out"))
    assert (3, "") == (ran.code, ran.out)
    assert [] == list(tmp_path.iterdir())


def test_a_strangers_folder_is_2(capsys: pytest.CaptureFixture[str], tmp_path: Path, recipe: Path) -> None:
    """A folder that is not ours is refused, as text and as JSON."""
    assert 2 == Ran(capsys, "report", str(recipe), "-o", str(tmp_path)).code
    (one,) = Ran(capsys, "report", str(recipe), "-o", str(tmp_path), "--json").json["diagnostics"]
    assert "C514" == one["code"]


# --- errors -------------------------------------------------------------------------------------


def test_errors_is_0_even_where_a_claim_fails(capsys: pytest.CaptureFixture[str]) -> None:
    """How far off a hand will be is an answer, not a verdict: exit code 0 by the ruler's way too."""
    ran = Ran(capsys, "errors", "clock-dial", "--way", "ruler", "--trials", "2000")
    assert (0, "") == (ran.code, ran.err)
    assert "1 of 15 claims FAILS" in ran.out


def test_errors_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    """--json is the object that a report's record holds under `errors`, and the worst case; seed and trials are told."""
    alone = Ran(capsys, "errors", "find-the-centre", "--json")
    assert (0, "", 1) == (alone.code, alone.err, alone.json["format"])
    # the worst case takes longest: a report leaves it out
    assert alone.json["worst_case"]["limits"]
    assert {**alone.json, "worst_case": None} == Ran(capsys, "report", "find-the-centre", "--json").json["errors"]
    small = Ran(capsys, "errors", "find-the-centre", "--json", "--trials", "5000", "--seed", "7").json
    assert (5000, 7) == (small["trials"], small["seed"])


def test_the_same_seed_gives_the_same_figures(capsys: pytest.CaptureFixture[str]) -> None:
    """One seed, one output, to the byte; another seed, other trials, and the same first order."""
    few = ("errors", "find-the-centre", "--json", "--trials", "4000", "--seed")
    once, again, other = (Ran(capsys, *few, seed) for seed in ("3", "3", "4"))
    assert once.out == again.out
    first, second = (ran.json["results"][0] for ran in (once, other))
    assert first["u_mm"] == second["u_mm"]
    assert first["monte_carlo"] != second["monte_carlo"]


def test_another_hand(capsys: pytest.CaptureFixture[str]) -> None:
    """A careful hand with the centre finder is 0.15 : 0.25 of an ordinary one's u at the centre (the bench's own table)."""
    careful, ordinary = (Ran(capsys, "errors", "find-the-centre", "--json", "--bench", level).json for level in ("careful", "ordinary"))
    assert ("careful", "ordinary") == (careful["bench"], ordinary["bench"])
    assert pytest.approx(0.15 / 0.25) == careful["results"][0]["u_mm"] / ordinary["results"][0]["u_mm"]


def test_another_step_is_followed(capsys: pytest.CaptureFixture[str]) -> None:
    """--at follows the step that is named: 1 mm on the leaf's opening puts a leaf's arc out by exactly 1 mm."""
    first = Ran(capsys, "errors", "clock-dial", "--json", "--trials", "2000", "--at", "leaf").json["first_step"]
    assert "leaf" == first["title"]
    assert {"1"} == {one["exact"] for one in first["edges"] if one["name"].startswith("c.")}
    assert {"1 mm"} == {"1 " + one["unit"].split()[0] for one in first["edges"]}


@pytest.mark.parametrize(
    ("options", "code"),
    [(["--bench", "magic"], "C530"), (["--bench", ""], "C530"), (["--at", "nowhere"], "C531"), (["--trials", "0"], "C532"),
     (["--trials", "1"], "C532"), (["--trials", "-5"], "C532"), (["--trials", "10000001"], "C532"), (["--trials", "9" * 6000], "C532"),
     (["--trials", "nan"], "C532"), (["--trials", "1e4"], "C532"), (["--seed", "x"], "C533"), (["--seed", "-1"], "C533"),
     (["--seed", "1.5"], "C533"), (["--seed", "9" * 30], "C533"), (["--way", "magic"], "P130"), (["--nonsense"], "C520")],
)  # fmt: skip
def test_wrong_options_of_errors(capsys: pytest.CaptureFixture[str], options: list[str], code: str) -> None:
    """What makes no sense is a diagnostic with a hint and exit code 2; nothing is worked out."""
    ran = Ran(capsys, "errors", "find-the-centre", *options, "--json")
    assert (2, "") == (ran.code, ran.err)
    (one,) = ran.json["diagnostics"]
    assert code == one["code"]
    assert one["hint"]
    assert len(one["message"]) < 200


def test_all_wrong_options_at_once(capsys: pytest.CaptureFixture[str]) -> None:
    """Two wrong options are told of together."""
    ran = Ran(capsys, "errors", "find-the-centre", "--trials", "0", "--seed", "x")
    assert 2 == ran.code
    assert "C532" in ran.err
    assert "C533" in ran.err


@pytest.mark.parametrize("bench", ["ordinary, compass set within -0.1 mm", "ordinary, compass set within nan mm", "clever",
                                   "ordinary, compass set within 0 mm"])  # fmt: skip
def test_wrong_benches(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, bench: str) -> None:
    """A bench whose figures are negative, none, no number or of an unknown hand is a diagnostic at its line."""
    text = f"recipe A\nplate round, 100 mm across\nbench {bench}\nstep S\n  g : line by centre finder, along the grain\n"
    feed(monkeypatch, text.encode())
    ran = Ran(capsys, "errors", "-", "--json")
    assert 2 == ran.code
    assert 3 == ran.json["diagnostics"][0]["line"]


def test_the_folder_of_errors(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """-o writes pictures, tables and the record, twice in a row too; a report is not overwritten by it, nor the other way round."""
    out = tmp_path / "out"
    for recipe in ("clock-dial", "find-the-centre"):  # the second has nothing cut, so no bands
        ran = Ran(capsys, "errors", recipe, "--trials", "2000", "--json", "-o", str(out))
        assert 0 == ran.code
    there = {path.name for path in out.iterdir()}
    assert {"errors.json", "errors.txt", "ellipses.svg", "ellipses.png", "budget.svg", "budget.png"} == there
    assert ran.json == json.loads((out / "errors.json").read_bytes())
    assert 2 == Ran(capsys, "report", "find-the-centre", "-o", str(out)).code
    assert (out / "errors.json").is_file()


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        """Say so."""
        return True


@pytest.mark.parametrize(("stream", "trials", "shown"), [(Terminal, 5_000_000, True), (Terminal, "stable", True), (Terminal, 5000, False),
                                                         (Terminal, None, False), (io.StringIO, 5_000_000, False)])  # fmt: skip
def test_progress(monkeypatch: pytest.MonkeyPatch, stream: type[io.StringIO], trials: int | str | None, shown: bool) -> None:
    """Long work shows how far it is, on standard error, and only where that is a terminal."""
    monkeypatch.setattr(sys, "stderr", stream())
    with _study.progress(trials) as progress:
        assert (progress is not None) is shown
        if progress is not None:
            progress(1_000_000, 5_000_000)
            progress(5_000_000, 5_000_000)
    said = sys.stderr.getvalue()  # type: ignore[attr-defined]
    assert shown is ("100%" in said)


# --- as its own process -------------------------------------------------------------------------


def run(*arguments: str, env: dict[str, str] | None = None) -> subprocess.CompletedProcess[bytes]:
    """Run the command line as users do."""
    command = [sys.executable, "-X", "importtime", "-m", "construct", *arguments]
    return subprocess.run(command, capture_output=True, check=False, timeout=60, env={**os.environ, **(env or {})}, cwd=ROOT)


def loaded(done: subprocess.CompletedProcess[bytes]) -> set[str]:
    """Return the packages that were imported, from the interpreter's own list."""
    lines = done.stderr.decode().splitlines()
    names = {line.rpartition("|")[2].strip().partition(".")[0] for line in lines if line.startswith("import time:")}
    assert "click" in names  # else the list was not read
    return names


@pytest.mark.parametrize("arguments", [["--help"], ["--version"], ["prove", "--help"], ["report"]])
def test_help_loads_nothing_heavy(arguments: list[str]) -> None:
    """Help, version and a wrong command load none of the mathematical libraries, nor the grammar's."""
    assert set() == loaded(run(*arguments)) & set(HEAVY)


def test_prove_loads_no_pictures() -> None:
    """`prove` needs the exact numbers and the grammar, and neither pictures, arrays nor symbolic algebra."""
    done = run("prove", "clock-dial")
    assert 0 == done.returncode
    assert {"flint"} == loaded(done) & {"flint", "sympy", "numpy", "matplotlib"}


def test_errors_load_no_pictures() -> None:
    """`errors` without a folder needs arrays and no drawing library."""
    done = run("errors", "find-the-centre")
    assert 0 == done.returncode
    assert {"flint", "numpy"} == loaded(done) & {"flint", "numpy", "matplotlib"}


def test_a_terminal_of_few_letters() -> None:
    """Where the terminal's letters have no root sign (Windows-1252) it becomes `?`, and the exit code stays."""
    done = run("prove", "halve-a-side", "--way", "ruler", env={"PYTHONIOENCODING": "cp1252", "PYTHONUTF8": "0"})
    assert 1 == done.returncode
    assert "453·?2" in done.stdout.decode("cp1252")


def test_records_are_utf_8_whatever_the_terminal_speaks() -> None:
    """JSON is UTF-8 (RFC 8259, 8.1), also where the terminal's letters are others."""
    done = run("prove", "halve-a-side", "--way", "ruler", "--json", env={"PYTHONIOENCODING": "cp1252", "PYTHONUTF8": "0"})
    assert "453·√2" in done.stdout.decode("utf-8")
    assert "prove" == json.loads(done.stdout)["command"]


def test_a_closed_pipe_is_quiet() -> None:
    """Where nobody reads any more (`| head -1`) no complaint is made."""
    command = f'"{sys.executable}" -m construct tools | head -1'
    done = subprocess.run(command, shell=True, capture_output=True, check=False, timeout=60, cwd=ROOT)
    assert b"" == done.stderr


def test_records_of_diagnostics_have_no_place_where_there_is_none() -> None:
    """A diagnostic without a place has null line and column."""
    (one,) = record.diagnostics(Mistakes((Diagnostic("C501", "no such file", "check"),)).diagnostics)["diagnostics"]
    assert (None, None) == (one["line"], one["column"])
