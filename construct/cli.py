"""The command line: options in, the study called, reports written, an exit code out; no arithmetic.

Exit codes: 0 done, and every claim holds; 1 some claim is refuted or undecided;
2 the recipe or the command is wrong; 3 a fault of ours.  What a command needs
is imported inside it, so that `--help` starts at once.
"""

from __future__ import annotations

import os
import sys
import traceback
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import click

from construct import __version__
from construct.diagnostics import Diagnostic, Mistakes, show

if TYPE_CHECKING:
    from construct.proofs.why import Why
    from construct.study import Study

DONE, NOT_ALL_HOLD, WRONG, FAULT, STOPPED = 0, 1, 2, 3, 130
TRACEBACK = "CONSTRUCT_TRACEBACK"
STANDARD_INPUT = "-"

MOST_TRIALS = 10_000_000
"""Trials that are run at most: more tell nothing about a hand."""

LONG = 400_000
"""Trials from which on progress is shown: about four seconds of a full plate."""


def main(arguments: Sequence[str] | None = None) -> NoReturn:
    """Run a command and leave with its exit code; no exception ever reaches the user as a traceback."""
    words = list(sys.argv[1:] if arguments is None else arguments)
    _speak_any_script()
    try:
        code = cli.main(args=words, prog_name="construct", standalone_mode=False)
        sys.stdout.flush()
    except click.exceptions.Exit as done:
        code = done.exit_code
    except click.UsageError as wrong:
        code = _tell([_of_the_command(wrong)], as_json="--json" in words)
    except click.ClickException as wrong:
        code = _tell([Diagnostic("C520", wrong.format_message())], as_json="--json" in words)
    except Mistakes as wrong:
        code = _tell(wrong.diagnostics, as_json="--json" in words)
    except BrokenPipeError:
        # whoever read the output has seen enough; nothing more can be said to them
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        code = DONE
    except (KeyboardInterrupt, click.Abort):
        click.echo("stopped", err=True)
        code = STOPPED
    except Exception as fault:
        code = _confess(fault)
    sys.exit(code if isinstance(code, int) else DONE)


def _speak_any_script() -> None:
    """Let a terminal that knows few letters show `?` for the rest."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")


def _of_the_command(wrong: click.UsageError) -> Diagnostic:
    message = wrong.format_message().rstrip(".")
    path = wrong.ctx.command_path if wrong.ctx is not None else "construct"
    return Diagnostic("C520", message[:1].lower() + message[1:], f"`{path} --help` says what it takes")


def _tell(diagnostics: Sequence[Diagnostic], *, as_json: bool) -> int:
    """Show what is wrong: as text on standard error, or as JSON on standard output."""
    if as_json:
        from construct.reports import record

        click.echo(record.text(record.diagnostics(diagnostics)), nl=False)
    else:
        click.echo("\n\n".join(show(one) for one in diagnostics), err=True)
    return WRONG


def _confess(fault: Exception) -> int:
    if os.environ.get(TRACEBACK) == "1":
        traceback.print_exception(fault, file=sys.stderr)
    said = " ".join(str(fault).split())[:300]
    click.echo(
        f"This is a fault in construct, not in your recipe: {type(fault).__name__}: {said or 'no more is known'}\n"
        f"Please report it with the recipe and the command; {TRACEBACK}=1 before the command shows where it happened.",
        err=True,
    )
    return FAULT


# --- commands -----------------------------------------------------------------------------------

RECIPE = click.argument("recipe")
WAY = click.option("--way", metavar="NAME", help="The way to take, where the recipe has several.")
AS_JSON = click.option("--json", "as_json", is_flag=True, help="For machines: JSON on standard output, lengths in mm.")
UNITS = click.option("--units", type=click.Choice(["mm", "in"]), default="mm", show_default=True, help="Units for people.")
HELP = {"help_option_names": ["-h", "--help"], "max_content_width": 100}


@click.group(context_settings=HELP, no_args_is_help=False)
@click.version_option(__version__, message="construct %(version)s")
def cli() -> None:
    """Check a layout made by hand with compass, straightedge and ruler.

    RECIPE is a file, the name of a shipped recipe, or - for standard input.

    \b
    Exit code: 0 every claim holds, 1 some claim does not or is undecided,
    2 the recipe or the command is wrong, 3 a fault of ours.
    """


@cli.command()
@RECIPE
@WAY
@UNITS
@AS_JSON
@click.option("-o", "folder", metavar="DIR", type=click.Path(path_type=Path), help="Write pictures and records into a folder of this name.")
def report(recipe: str, way: str | None, units: str, as_json: bool, folder: Path | None) -> int:
    """The whole report; with -o, pictures too."""
    from construct.reports import View, _folder, folder_files, record, summary

    view = View(units, "" if recipe == STANDARD_INPUT else recipe, str(folder or ""))
    if folder is not None:
        _folder.check(folder, _folder.NAMES)
    study = _with_errors(_study(recipe, way))
    if folder is not None:
        _folder.write(folder, folder_files(study, view))
    _show(record.report(study) if as_json else summary.report(study, view))
    return _outcome(study)


@cli.command()
@RECIPE
@WAY
@UNITS
@AS_JSON
@click.option("--why", "reasons", is_flag=True, help="Why each claim holds, in numbered steps.")
@click.option("--certificates", "folder", metavar="DIR", type=click.Path(path_type=Path), help="Write certificates into this folder.")
def prove(recipe: str, way: str | None, units: str, as_json: bool, reasons: bool, folder: Path | None) -> int:
    """The claims of a recipe, each with its verdict."""
    from construct.reports import View, record, summary

    if folder is not None:
        from construct.reports import _certificates

        _certificates.check_folder(folder)
    study = _study(recipe, way)
    if folder is not None:
        written = _certificates.contents(study)
        _certificates.write(folder, written)
        click.echo(_certificates.missing(study) + _certificates.told(folder, written, recipe), nl=False, err=True)
    whys = _whys(study) if reasons else ()
    _show(record.prove(study, whys) if as_json else summary.claims(study, View(units, "" if recipe == STANDARD_INPUT else recipe), whys))
    return _outcome(study)


@cli.command()
@click.argument("certificates", metavar="CERTIFICATE...", type=click.Path(path_type=Path), nargs=-1, required=True)
@click.option("--recipe", metavar="RECIPE", help="The recipe they are said to be about: traced afresh and compared.")
@WAY
@AS_JSON
def audit(certificates: tuple[Path, ...], recipe: str | None, way: str | None, as_json: bool) -> int:
    """Check certificates, by the checker alone."""
    from construct.reports import _certificates

    fresh = None if recipe is None else _study(recipe, way)
    texts = [_certificates.read(file) for file in certificates]
    found = [_certificates.audit(text, fresh) for text in texts]
    accepted = all(good for good, _ in found)
    if not as_json:
        _show("".join(f"{said}\n" if len(found) == 1 else f"{file}: {said}\n" for file, (_, said) in zip(certificates, found, strict=True)))
    elif len(found) == 1:
        _show({"format": 1, "command": "audit", "accepted": accepted, "message": found[0][1]})
    else:
        each = [{"file": str(file), "accepted": good, "message": said} for file, (good, said) in zip(certificates, found, strict=True)]
        _show({"format": 1, "command": "audit", "accepted": accepted, "certificates": each})
    return DONE if accepted else NOT_ALL_HOLD


@cli.command()
@RECIPE
@WAY
@click.option("--bench", metavar="LEVEL", help="Another hand than the recipe's: careful, ordinary or beginner.")
@click.option("--trials", metavar="N", help="Trials beside first order; `stable` runs as many as it takes.")
@click.option("--seed", metavar="S", help="A whole number that draws the same trials again.")
@click.option("--at", metavar="NAME", help="Follow this step, by its heading or what it makes, instead of the first.")
@click.option("--all", "whole", is_flag=True, help="Every table after the first screen.")
@UNITS
@AS_JSON
@click.option("-o", "folder", metavar="DIR", type=click.Path(path_type=Path), help="Write pictures and tables into a folder of this name.")
def errors(
    recipe: str, way: str | None, bench: str | None, trials: str | None, seed: str | None, at: str | None, whole: bool, units: str,
    as_json: bool, folder: Path | None,
) -> int:  # fmt: skip
    """How far off a hand will be, and which step deserves the care."""
    from construct.reports import View, _folder, error_files, record, summary

    count, start = _numbers(trials, seed)
    view = View(units, "" if recipe == STANDARD_INPUT else recipe, str(folder or ""))
    if folder is not None:
        _folder.check(folder, _folder.ERROR_NAMES)
    study = _with_errors(_study(recipe, way, others=False), bench=bench, trials=count, seed=start, at=at)
    if folder is not None:
        _folder.write(folder, error_files(study, view), _folder.ERROR_NAMES)
    _show(record.errors(study) if as_json else summary.errors(study, view, whole=whole))
    return DONE


@cli.command()
@AS_JSON
def recipes(as_json: bool) -> int:
    """The recipes that are shipped."""
    from construct.reports import _catalogue

    _show(_catalogue.recipes() if as_json else _catalogue.recipes_text())
    return DONE


@cli.command()
@click.option("--claims", "claims_too", is_flag=True, help="What can be claimed, too.")
@UNITS
@AS_JSON
def tools(claims_too: bool, units: str, as_json: bool) -> int:
    """The phrases of each tool, its errors and its limits."""
    from construct.reports import _catalogue

    _show(_catalogue.bench_tools(claims_too=claims_too) if as_json else _catalogue.tools_text(units=units, claims_too=claims_too))
    return DONE


def _show(shown: str | dict[str, Any]) -> None:
    if isinstance(shown, str):
        click.echo(shown, nl=False)
        return
    from construct.reports import record

    click.echo(record.text(shown), nl=False)


def _numbers(trials: str | None, seed: str | None) -> tuple[int | str | None, int | None]:
    """Return the number of trials and the seed that a command asks for; `Mistakes` where they are none."""
    from construct.study import STABLE

    wrongs = []
    count: int | str | None = trials
    if trials is not None and trials != STABLE:
        count = _whole(trials)
        if count is None or not 2 <= count <= MOST_TRIALS:
            hint = f"say a whole number from 2 to {MOST_TRIALS}, or `{STABLE}` for as many as it takes"
            wrongs.append(Diagnostic("C532", f"`--trials {_shortened(trials)}` is no number of trials that can be run", hint))
    start = None if seed is None else _whole(seed)
    if seed is not None and (start is None or start < 0):
        wrongs.append(Diagnostic("C533", f"`--seed {_shortened(seed)}` is no seed", "say a whole number from 0 on, of at most 18 figures"))
    if wrongs:
        raise Mistakes(tuple(wrongs))
    return count, start


def _whole(text: str) -> int | None:
    """Return a whole number of at most 18 figures, None for anything else."""
    figures = text.strip()
    digits = figures.removeprefix("-")
    return int(figures) if digits.isascii() and digits.isdigit() and len(digits) <= 18 else None


def _shortened(text: str) -> str:
    return text if len(text) <= 40 else f"{text[:39]}…"


def _with_errors(
    found: Study, *, bench: str | None = None, trials: int | str | None = None, seed: int | None = None, at: str | None = None
) -> Study:
    """Return a study with its errors; long work shows its progress where somebody watches."""
    from construct import study

    with _progress(trials) as progress:
        return study.with_errors(found, bench=bench, trials=trials, seed=seed, at=at, progress=progress)


@contextmanager
def _progress(trials: int | str | None) -> Iterator[Callable[[int, int], None] | None]:
    """Yield what a long run of trials calls now and then; None where it is short or standard error is no terminal."""
    long = isinstance(trials, str) or (trials is not None and trials >= LONG)
    if not long or not sys.stderr.isatty():
        yield None
        return
    with click.progressbar(length=100, label="trials", file=sys.stderr) as bar:

        def told(done: int, total: int) -> None:
            bar.update(100 * done // total - bar.pos)

        yield told


def _whys(found: Study) -> tuple[Why, ...]:
    from construct import study

    return study.why(found)


def _outcome(study: Study) -> int:
    return DONE if study.holds else NOT_ALL_HOLD


def _study(recipe: str, way: str | None, *, others: bool = True) -> Study:
    """Return the study of a command's RECIPE."""
    from construct import study
    from construct.language.parser import decode
    from construct.shelf import LARGEST

    if recipe == STANDARD_INPUT:
        data = sys.stdin.buffer.read(LARGEST + 1) if sys.stdin is not None else b""
        return study.study(decode(data, "standard input") + "\n", way=way, others=others)
    try:
        # a path, so that no name is ever taken for a recipe's text
        return study.study(Path(recipe), way=way, others=others)
    except OSError as reason:
        why = (reason.strerror or "unknown reason").lower()
        raise Mistakes((Diagnostic("C502", f"`{recipe}` can not be read: {why}", "check the name and who may read it"),)) from None
