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
    from construct.reports import View
    from construct.study import Study

DONE, NOT_ALL_HOLD, WRONG, FAULT, STOPPED = 0, 1, 2, 3, 130
TRACEBACK = "CONSTRUCT_TRACEBACK"
STANDARD_INPUT = "-"

MOST_TRIALS = 10_000_000
"""Trials that are run at most: more tell nothing about a hand."""

PATIENCE = 60.0
"""Seconds after which a step or a claim is given up, and said to be."""

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
WAIT = click.option(
    "--patience", type=click.FloatRange(min=0.1, max=86_400), default=PATIENCE, show_default=True, metavar="SECONDS",
    help="Give up a step or claim that takes longer.",
)  # fmt: skip
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
@WAIT
@click.option("-o", "folder", metavar="DIR", type=click.Path(path_type=Path), help="Write pictures and records into a folder of this name.")
def report(recipe: str, way: str | None, units: str, as_json: bool, patience: float, folder: Path | None) -> int:
    """The whole report; with -o, pictures too."""
    from construct.reports import View, _folder, folder_files, record, summary
    from construct.study import with_indifferent

    view = View(units, "" if recipe == STANDARD_INPUT else recipe, str(folder or ""))
    if folder is not None:
        _folder.check(folder, _folder.NAMES)
    with _showing_where(folder, view):
        study = _with_errors(_with_survey(with_indifferent(_study(recipe, way, patience=patience))))
    if folder is not None:
        _folder.write(folder, folder_files(study, view))
    _show(record.report(study) if as_json else summary.report(study, view))
    return _outcome(study)


@cli.command()
@RECIPE
@WAY
@UNITS
@AS_JSON
@WAIT
@click.option("--certificates", "folder", metavar="DIR", type=click.Path(path_type=Path), help="Write certificates into this folder.")
def prove(recipe: str, way: str | None, units: str, as_json: bool, patience: float, folder: Path | None) -> int:
    """The claims of a recipe, each with its verdict."""
    from construct.reports import View, record, summary

    if folder is not None:
        from construct.reports import _certificates

        _certificates.check_folder(folder)
    study = _study(recipe, way, patience=patience)
    if folder is not None:
        written = _certificates.contents(study)
        _certificates.write(folder, written)
        click.echo(_certificates.missing(study) + _certificates.told(folder, written, recipe), nl=False, err=True)
    _show(record.prove(study) if as_json else summary.claims(study, View(units, "" if recipe == STANDARD_INPUT else recipe)))
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
@click.option("--at", metavar="NAME", help='Follow this step, by its heading or what it makes, or the distance of two marks ("A B").')
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
    with _showing_where(folder, view):
        study = _with_errors(_study(recipe, way, others=False), bench=bench, trials=count, seed=start, at=at)
        # the chips' trials are their own usual number: each costs many times one of the layout's
        study = _with_chip_errors(study, bench=bench, trials=0 if count == 0 else None, seed=start)
    if folder is not None:
        _folder.write(folder, error_files(study, view), _folder.ERROR_NAMES)
    _show(record.errors(study) if as_json else summary.errors(study, view, whole=whole))
    return DONE


@cli.command()
@RECIPE
@WAY
@click.option("--all", "whole", is_flag=True, help="Every chip, every land and the whole cutting plan, however many.")
@click.option("--hand", metavar="HAND", default="right", show_default=True, help="The hand that holds the knife: right or left.")
@click.option("--first", metavar="WHAT", default="hard", show_default=True, help="What is cut first: hard (chips) or rosette.")
@click.option("--bench", metavar="LEVEL", help="Another hand than the recipe's: careful, ordinary or beginner.")
@click.option("--trials", metavar="N", help="Trials beside first order; `stable` runs as many as it takes.")
@click.option("--seed", metavar="S", help="A whole number that draws the same trials again.")
@UNITS
@AS_JSON
@click.option("-o", "folder", metavar="DIR", type=click.Path(path_type=Path), help="Write picture and tables into a folder of this name.")
def chips(
    recipe: str, way: str | None, whole: bool, hand: str, first: str, bench: str | None, trials: str | None, seed: str | None, units: str,
    as_json: bool, folder: Path | None,
) -> int:  # fmt: skip
    """The chips: how wide, how deep, how sure, what stands between them, in which order they are cut."""
    from construct.reports import View, _chip_record, _chip_table, _folder, chip_files

    count, start = _numbers(trials, seed)
    view = View(units, "" if recipe == STANDARD_INPUT else recipe, str(folder or ""))
    if folder is not None:
        _folder.check(folder, _folder.CHIP_NAMES)
    with _showing_where(folder, view):
        study = _with_cutting_plan(_study(recipe, way, others=False), hand=hand, first=first)
    if study.carving is None:
        hint = "add `carve` after the steps, and cut lines under it"
        raise Mistakes((Diagnostic("C601", "this recipe carves nothing, so it has no chips", hint),))
    study = _with_chip_errors(study, bench=bench, trials=count, seed=start)
    if folder is not None:
        _folder.write(folder, chip_files(study, view), _folder.CHIP_NAMES)
    _show(_chip_record.chips(study) if as_json else _chip_table.text(study, view, whole=whole))
    return DONE


@cli.command()
@RECIPE
@WAY
@click.option("--at", "marks", metavar="NAME", multiple=True, help="A mark that matters; may be said again. All cut edges where none is named.")
@click.option("--bench", metavar="LEVEL", help="Another hand than the recipe's: careful, ordinary or beginner.")
@UNITS
@AS_JSON
@click.option("-o", "folder", metavar="DIR", type=click.Path(path_type=Path), help="Write a picture and tables into a folder of this name.")
def tune(recipe: str, way: str | None, marks: tuple[str, ...], bench: str | None, units: str, as_json: bool, folder: Path | None) -> int:
    """The best free choices: openings, hooks, which crossing."""
    from construct import study as studies
    from construct.reports import View, _folder, _tune_record, _tune_screen

    view = View(units, "" if recipe == STANDARD_INPUT else recipe, str(folder or ""))
    if folder is not None:
        _folder.check(folder, _folder.TUNE_NAMES)
    study = _study(recipe, way, others=False)
    tuning = studies.tuned(study, at=marks, bench=bench, units=units)
    if folder is not None:
        from construct.reports import tune_files

        _folder.write(folder, tune_files(study, tuning, view), _folder.TUNE_NAMES)
    _show(_tune_record.record(study, tuning) if as_json else _tune_screen.screen(study, tuning, view))
    return DONE


@cli.command()
@click.argument("recipes", metavar="RECIPE...", nargs=-1, required=True)
@click.option("--way", "ways", metavar="NAME", multiple=True, help="Only this way; say it once for each.")
@click.option("--claim", metavar="WORDS", help="Compare on this claim, where they share several.")
@click.option("--bench", metavar="LEVEL", help="Follow the order for this hand: careful, ordinary or beginner.")
@click.option("--trials", metavar="N", help="Trials for each way and hand.")
@click.option("--seed", metavar="S", help="A whole number that draws the same trials again.")
@UNITS
@AS_JSON
@click.option("-o", "folder", metavar="DIR", type=click.Path(path_type=Path), help="Write the picture and records into a folder of this name.")
def compare(
    recipes: tuple[str, ...], ways: tuple[str, ...], claim: str | None, bench: str | None, trials: str | None, seed: str | None, units: str,
    as_json: bool, folder: Path | None,
) -> int:  # fmt: skip
    """Ways side by side: all ways of a recipe, or recipes that claim the same."""
    from construct import study
    from construct.reports import View, _compare_record, _compare_screen, _folder, compare_files

    count, start = _numbers(trials, seed)
    if count == study.STABLE:
        raise Mistakes((Diagnostic("C532", f"`--trials {study.STABLE}` is for one way alone", "say how many trials each way and hand gets"),))
    view = View(units, "\n".join(recipes) if STANDARD_INPUT not in recipes else "", str(folder or ""))
    if folder is not None:
        _folder.check(folder, _folder.COMPARE_NAMES)
    found = study.compare(*(_source(one) for one in recipes), ways=ways, claim=claim, bench=bench, trials=count, seed=start)
    if folder is not None:
        _folder.write(folder, compare_files(found, view), _folder.COMPARE_NAMES)
    _show(_compare_record.comparison(found) if as_json else _compare_screen.screen(found, view))
    return DONE


@cli.command()
@click.argument("recipe", required=False)
@WAY
@click.option("--plate", metavar="SIZE", help="The plate to fit to, as in `10 in across`.")
@click.option("--ruler", metavar="STEP", help="Another ruler than the recipe's, by its graduation, as in `1/32 in`.")
@click.option("--keep", metavar="WHAT", multiple=True, help="What does not grow: template, claims, picture, or `line 12`.")
@click.option("--scale", metavar="WHAT", multiple=True, help="What grows too: margin, knife, allowances, or `line 12`.")
@click.option("--border", "border_too", is_flag=True, help="A border by itself, without a recipe: units round a circle.")
@click.option("--across", metavar="SIZE", help="With --border: the layout circle's diameter.")
@click.option("--unit", metavar="SIZE", help="With --border: about how long a unit is.")
@click.option("--count", metavar="N", help="With --border: how many units, in place of their size.")
@click.option("--width", metavar="SIZE", help="With --border: how wide it is, the layout circle at its middle.")
@UNITS
@AS_JSON
@click.option("-o", "folder", metavar="DIR", type=click.Path(path_type=Path), help="Write the new recipe and pictures into a folder of this name.")
def fit(
    recipe: str | None, way: str | None, plate: str | None, ruler: str | None, keep: tuple[str, ...], scale: tuple[str, ...],
    border_too: bool, across: str | None, unit: str | None, count: str | None, width: str | None, units: str, as_json: bool,
    folder: Path | None,
) -> int:  # fmt: skip
    """Fit a pattern to another plate, or a border to a circle."""
    from construct import study as studies
    from construct.reports import View, _border_screen, _fit_record, _fit_screen, _folder

    of_borders: dict[str, object] = {"--across": across, "--unit": unit, "--count": count, "--width": width}
    of_recipes: dict[str, object] = {
        "a recipe": recipe, "--plate": plate, "--way": way, "-o": folder, "--keep": keep or None, "--scale": scale or None,
    }  # fmt: skip
    _check_fit(border_too, of_recipes if border_too else of_borders, recipe is not None and plate is not None)
    if border_too:
        many = None if count is None else _whole(count)
        if count is not None and many is None:
            raise Mistakes((Diagnostic("C724", f"`--count {_shortened(count)}` is no count", "say a whole number of units, as in `--count 72`"),))
        found = studies.border(across or "", unit=unit, count=many, width=width, ruler=ruler, units=units)
        _show(_fit_record.border(found) if as_json else _border_screen.screen(found, units))
        return DONE
    assert recipe is not None and plate is not None
    view = View(units, "" if recipe == STANDARD_INPUT else recipe, str(folder or ""))
    if folder is not None:
        _folder.check(folder, _folder.FIT_NAMES)
    fitted = _readable(recipe, lambda source: studies.fitted(source, plate=plate, way=way, ruler=ruler, keep=keep, scale=scale))
    if folder is not None:
        from construct.reports import fit_files

        _folder.write(folder, fit_files(fitted, view), _folder.FIT_NAMES)
    _show(_fit_record.record(fitted) if as_json else _fit_screen.screen(fitted, view))
    return DONE


def _check_fit(border_too: bool, strangers: dict[str, object], whole: bool) -> None:
    """Raise `Mistakes` where what `construct fit` was given does not belong together."""
    strange = [name for name, value in strangers.items() if value is not None]
    hint = "`construct fit RECIPE --plate '10 in across'`, or `construct fit --border --across 230 --unit 10`"
    if strange:
        message = f"{', '.join(strange)} {'do' if len(strange) > 1 else 'does'} not go {'with' if border_too else 'without'} --border"
        raise Mistakes((Diagnostic("C720", message, hint),))
    if not border_too and not whole:
        raise Mistakes((Diagnostic("C721", "say which recipe to fit, and to what plate", hint),))


@cli.command()
@RECIPE
@WAY
@click.option("-o", "file", metavar="FILE", type=click.Path(path_type=Path), required=True, help="The PDF to write.")
@click.option("--paper", metavar="SIZE", default="A4", show_default=True, help="A4, A3, letter or ledger.")
@UNITS
def sheet(recipe: str, way: str | None, file: Path, paper: str, units: str) -> int:
    """The layout at true size, as a PDF to print; on several sheets where one is too small."""
    from construct.reports import View, _one_file
    from construct.reports import sheet as report

    report.check(file, paper)
    study = _study(recipe, way, others=False)
    _one_file.write(file, report.page(study, View(units, "" if recipe == STANDARD_INPUT else recipe), paper=paper))
    _show(report.told(study, file, paper))
    return DONE


@cli.command()
@RECIPE
@WAY
@click.option("-o", "file", metavar="FILE", type=click.Path(path_type=Path), help="Write the card: a PDF or a text by its ending.")
@click.option("--paper", metavar="SIZE", default="A4", show_default=True, help="A4, A3, letter or ledger.")
@click.option("--large", is_flag=True, help="Large print, 18 points, over several pages.")
@click.option("--ruler", metavar="MARKS", help="Your ruler's graduation, such as `0.5 mm` or `1/32 in`, instead of the recipe's.")
@click.option("--bench", metavar="LEVEL", help="Another hand than the recipe's: careful, ordinary or beginner.")
@UNITS
def card(
    recipe: str, way: str | None, file: Path | None, paper: str, large: bool, ruler: str | None, bench: str | None, units: str
) -> int:  # fmt: skip
    """The recipe for the bench: settings on your ruler, what to measure after each stage."""
    from construct.reports import View, _one_file
    from construct.reports import card as report
    from construct.study import at_the_bench

    report.check(file, paper)
    study = _study(recipe, way, others=False)
    graduation = report.graduation(ruler, units, study.plan.settings.graduation)
    made = at_the_bench(study, graduation=graduation, bench=bench)
    view = View(units, "" if recipe == STANDARD_INPUT else recipe)
    if file is None:
        _show(report.text(study, made, view))
        return DONE
    content = report.written(file, study, made, view, paper=paper, large=large)
    _one_file.write(file, content)
    _show(report.told(file, content))
    return DONE


@cli.command()
@RECIPE
@WAY
@click.option("--bench", metavar="LEVEL", default="careful", show_default=True, help="Whose hand: careful, ordinary or beginner.")
@UNITS
@click.option("-o", "file", metavar="FILE", type=click.Path(path_type=Path), required=True, help="The page to write, such as lesson.html.")
def lesson(recipe: str, way: str | None, bench: str, units: str, file: Path) -> int:
    """A page that teaches the layout, step by step."""
    from construct import study as studies
    from construct.reports import View, _lesson, _one_file

    view = View(units, "" if recipe == STANDARD_INPUT else recipe)
    _one_file.check(file, _lesson.SUFFIXES, (_lesson.GENERATOR.encode(),))
    study = _with_errors(_study(recipe, way, others=False), bench=bench, trials=0)
    _one_file.write(file, _lesson.page(study, view, studies.why(study)))
    _show(_lesson.told(study, view, file))
    return _outcome(study)


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
def _showing_where(folder: Path | None, view: View) -> Iterator[None]:
    """Write a picture of where the cuts go wrong into a command's folder, if they do; the mistakes go on their way."""
    from construct.study import MistakesInCuts

    try:
        yield
    except MistakesInCuts as wrong:
        if folder is not None:
            from construct.phrasebook import say
            from construct.reports import _folder, _where

            contents = _where.files(wrong.layout(), wrong.diagnostics, view)
            _folder.write(folder, contents, _folder.NAMES | _folder.ERROR_NAMES | _folder.CHIP_NAMES)
            if len(contents) > 1:
                click.echo(say("where.figure.written", folder=folder), err=True)
        raise


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


def _with_survey(found: Study) -> Study:
    from construct import study

    return study.with_survey(found)


def _with_cutting_plan(found: Study, *, hand: str, first: str) -> Study:
    from construct import study

    return study.with_cutting_plan(found, hand=hand, first=first)


def _with_chip_errors(
    found: Study, *, bench: str | None = None, trials: int | str | None = None, seed: int | None = None
) -> Study:  # fmt: skip
    from construct import study

    with _progress(trials) as progress:
        return study.with_chip_errors(found, bench=bench, trials=trials, seed=seed, progress=progress)


def _outcome(study: Study) -> int:
    return DONE if study.holds else NOT_ALL_HOLD


def _study(recipe: str, way: str | None, *, others: bool = True, patience: float = PATIENCE) -> Study:
    """Return the study of a command's RECIPE."""
    from construct import study

    return _readable(recipe, lambda source: study.study(source, way=way, others=others, patience=patience))


def _readable(recipe: str, use: Callable[[str | Path], Any]) -> Any:
    """Return what `use` makes of a command's RECIPE; `Mistakes` where it can not be read."""
    source = _source(recipe)
    try:
        return use(source)
    except OSError as reason:
        why = (reason.strerror or "unknown reason").lower()
        raise Mistakes((Diagnostic("C502", f"`{recipe}` can not be read: {why}", "check the name and who may read it"),)) from None


def _source(recipe: str) -> str | Path:
    """Return where a RECIPE is: standard input's text, or a path, so that no name is ever taken for a recipe's text."""
    from construct.language.parser import decode
    from construct.shelf import LARGEST

    if recipe != STANDARD_INPUT:
        return Path(recipe)
    data = sys.stdin.buffer.read(LARGEST + 1) if sys.stdin is not None else b""
    return decode(data, "standard input") + "\n"
