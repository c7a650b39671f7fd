"""The command line: what is asked for goes to a command, and its answer out; nothing else prints.

Exit codes: 0 done, and every claim holds; 1 some claim is refuted or undecided;
2 the recipe or the command is wrong; 3 a fault of ours.  A command's file is
loaded only when it is called, so that `--help` starts at once.
"""

from __future__ import annotations

import os
import sys
import traceback
from collections.abc import Sequence
from contextlib import ExitStack
from typing import NoReturn

import click

from construct import __version__
from construct.commands._answer import DONE, FAULT, STOPPED, WRONG, Answer
from construct.commands._spoken import SETTINGS, Commands, Option, shortened
from construct.diagnostics import Diagnostic, Mistakes, show
from construct.phrasebook import ENGLISH, language, languages, say, speaking

TRACEBACK = "CONSTRUCT_TRACEBACK"
LANGUAGE = "CONSTRUCT_LANGUAGE"


def main(arguments: Sequence[str] | None = None) -> NoReturn:
    """Run a command and leave with its exit code; no exception ever reaches the user as a traceback."""
    words = list(sys.argv[1:] if arguments is None else arguments)
    as_json = "--json" in words
    _speak_any_script()
    # a language that is chosen is spoken to the end, so that mistakes are told in it too
    with ExitStack() as spoken:
        try:
            code = cli.main(args=words, prog_name="construct", standalone_mode=False, obj=spoken)
            sys.stdout.flush()
        except click.exceptions.Exit as done:
            code = done.exit_code
        except click.ClickException as wrong:
            code = _tell([_of_the_command(wrong)], as_json=as_json)
        except Mistakes as wrong:
            for note in getattr(wrong, "__notes__", ()):
                click.echo(note, err=True)
            code = _tell(wrong.diagnostics, as_json=as_json)
        except BrokenPipeError:
            # whoever read the output has seen enough; nothing more can be said to them
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            code = DONE
        except (KeyboardInterrupt, click.Abort):
            click.echo(say("command.stopped"), err=True)
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


def _of_the_command(wrong: click.ClickException) -> Diagnostic:
    """Return what is wrong with a command: in our words where click says what it is, else in click's."""
    context = wrong.ctx if isinstance(wrong, click.UsageError) else None
    hint = say("command.help", path=context.command_path if context is not None else "construct")
    if isinstance(wrong, click.NoSuchOption):
        if wrong.option_name == "--language":
            return Diagnostic("C520", say("command.language_first"), say("command.language_so"))
        near = say("command.near", near=next(iter(wrong.possibilities))) if wrong.possibilities else hint
        return Diagnostic("C520", say("command.no_option", name=shortened(wrong.option_name)), near)
    if isinstance(wrong, click.MissingParameter) and wrong.param is not None and context is not None:
        name = wrong.param.opts[:1] if isinstance(wrong.param, click.Option) else []
        return Diagnostic("C520", say("command.missing", name=" ".join([*name, wrong.param.make_metavar(context)])), hint)
    if isinstance(wrong, click.BadOptionUsage) and context is not None:
        option = next((one for one in context.command.params if wrong.option_name in one.opts), None)
        if isinstance(option, click.Option):
            key = "command.takes_none" if option.is_flag else "command.wants_one"
            return Diagnostic("C520", say(key, name=wrong.option_name, value=option.make_metavar(context)), hint)
    message = wrong.format_message().rstrip(".")
    return Diagnostic("C520", message[:1].lower() + message[1:], hint)


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
    click.echo(say("command.fault", kind=type(fault).__name__, said=said or say("command.no_more"), variable=TRACEBACK), err=True)
    return FAULT


def _speak(context: click.Context, _: click.Parameter, chosen: str) -> None:
    """Speak the language that is asked for from now on."""
    if chosen not in languages():
        message = say("command.no_language", name=chosen[:40])
        raise Mistakes((Diagnostic("C540", message, say("command.languages", languages=", ".join(languages()), variable=LANGUAGE)),))
    if chosen != language():
        context.ensure_object(ExitStack).enter_context(speaking(chosen))


@click.group("construct", cls=Commands, context_settings=SETTINGS, invoke_without_command=True, subcommand_metavar="COMMAND …")
@click.option(
    "--language", cls=Option, metavar="NAME", envvar=LANGUAGE, default=ENGLISH, show_default=True, is_eager=True, expose_value=False,
    callback=_speak, help="help.language",
)  # fmt: skip
@click.version_option(__version__, message="construct %(version)s", cls=Option, help="help.version")
@click.pass_context
def cli(context: click.Context) -> None:
    """Check a layout made by hand."""
    if context.invoked_subcommand is None:
        raise Mistakes((Diagnostic("C520", say("command.none"), say("command.help", path="construct")),))


@cli.result_callback()
def _show(answer: Answer) -> int:
    """Show what a command answers, and return its exit code."""
    if answer.aside:
        click.echo(answer.aside, nl=False, err=True)
    if isinstance(answer.shown, str):
        click.echo(answer.shown, nl=False)
    else:
        from construct.reports import record

        # bytes, since JSON is UTF-8 whatever the terminal speaks
        click.echo(record.text(answer.shown), nl=False)
    return answer.code
