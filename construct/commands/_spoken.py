"""click's commands and options with their help taken from the phrasebook, in the language spoken when it is shown.

Words in capitals (RECIPE, NAME) stand for what is filled in and are the same in every language.
"""

from __future__ import annotations

from collections.abc import Callable
from copy import copy
from importlib import import_module
from typing import Any

import click

from construct import commands
from construct.diagnostics import Diagnostic, Mistakes
from construct.phrasebook import say

SETTINGS = {"help_option_names": ["-h", "--help"], "max_content_width": 100}

LEAST_PATIENCE, MOST_PATIENCE = 0.1, 86_400


class Option(click.Option):
    """An option whose `help` is a key of the phrasebook."""

    def get_help_record(self, ctx: click.Context) -> tuple[str, str] | None:
        """Return the option's line of help."""
        spoken = copy(self)
        notes = [say("help.required")] if self.required else [say("help.default", default=self.default)] if self.show_default else []
        spoken.help = "  ".join([say(self.help or ""), *notes])
        # said already, and not in click's English
        spoken.show_default = spoken.required = False
        return click.Option.get_help_record(spoken, ctx)


class Command(click.Command):
    """A command whose help stands under `help.command` and its name."""

    def get_short_help_str(self, limit: int = 45) -> str:
        """Return the command's line in a list of commands, whole."""
        return say(f"help.command.{self.name}")

    def get_help_option(self, ctx: click.Context) -> click.Option | None:
        """Return `--help` in our words; options that are eager, as the language is, come before it."""
        option = super().get_help_option(ctx)
        if option is not None:
            option.help = say("help.help")
            option.is_eager = False
        return option

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Read the command's words; whatever is wrong with them knows the command."""
        try:
            return super().parse_args(ctx, args)
        except click.UsageError as wrong:
            wrong.ctx = wrong.ctx or ctx
            raise

    def invoke(self, ctx: click.Context) -> Any:
        """Do what the command does; `Mistakes` where words are left over."""
        if ctx.args and not self.allow_extra_args:
            said = say("command.extra", given=shortened(ctx.args[0]))
            raise Mistakes((Diagnostic("C520", said, say("command.help", path=ctx.command_path)),))
        return super().invoke(ctx)

    def format_usage(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write how the command is called."""
        formatter.write_usage(ctx.command_path, " ".join(self.collect_usage_pieces(ctx)), say("help.usage") + " ")

    def format_help_text(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write what the command does."""
        for paragraph in say(f"help.command.{self.name}").split("\n"):
            formatter.write_paragraph()
            with formatter.indentation():
                formatter.write_text(paragraph)

    def format_options(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the options."""
        records = [param.get_help_record(ctx) for param in self.get_params(ctx) if isinstance(param, click.Option)]
        with formatter.section(say("help.options")):
            formatter.write_dl([record for record in records if record is not None])


class Commands(Command, click.Group):
    """All commands: help names each by its words alone, and a command's file is loaded only when it is called."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the commands' names."""
        return list(commands.names())

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Return a command, its file loaded; None where there is none of this name."""
        if cmd_name not in commands.names():
            return None
        found: click.Command = getattr(import_module(f"{commands.__name__}.{cmd_name}"), cmd_name)
        return found

    def resolve_command(self, ctx: click.Context, args: list[str]) -> tuple[str | None, click.Command | None, list[str]]:
        """Return the command that is called; `Mistakes` where there is none of this name."""
        name = args[0]
        if name in commands.names() or name.startswith("-") or ctx.resilient_parsing:
            return super().resolve_command(ctx, args)
        # here, since only a mistake needs it
        from difflib import get_close_matches

        near = get_close_matches(name, commands.names(), n=1)
        hint = say("command.near", near=f"construct {near[0]}") if near else say("command.help", path="construct")
        raise Mistakes((Diagnostic("C520", say("command.unknown", name=shortened(name)), hint),))

    def format_options(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the options, then the commands, each by its line."""
        super().format_options(ctx, formatter)
        with formatter.section(say("help.commands")):
            formatter.write_dl([(name, say(f"help.command.{name}")) for name in commands.names()])


class Units(click.ParamType):
    """Millimetres or inches."""

    name = "units"

    def get_metavar(self, param: click.Parameter, ctx: click.Context) -> str:
        """Return what stands for it in help."""
        return "mm|in"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Return "mm" or "in"; `Mistakes` for anything else."""
        if value not in ("mm", "in"):
            raise Mistakes((Diagnostic("C535", say("command.no_units", given=shortened(value)), say("command.units_so")),))
        return value


class Seconds(click.ParamType):
    """A time to wait, over 0 and of a day at most."""

    name = "seconds"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Return the seconds; `Mistakes` for what is no such time."""
        try:
            seconds = float(value)
        except ValueError:
            seconds = 0.0
        if not LEAST_PATIENCE <= seconds <= MOST_PATIENCE:
            hint = say("command.patience_so", least=f"{LEAST_PATIENCE:g}", most=MOST_PATIENCE)
            raise Mistakes((Diagnostic("C534", say("command.no_patience", given=shortened(str(value))), hint),))
        return seconds


def shortened(text: str) -> str:
    """Return what a user wrote, cut where it is long."""
    return text if len(text) <= 40 else f"{text[:39]}…"


def option(*names: str, **settings: Any) -> Callable[[Any], Any]:
    """Return a decorator that adds an option, its `help` a key of the phrasebook."""
    return click.option(*names, cls=Option, **settings)


def command(*parts: Callable[[Any], Any]) -> Callable[[Callable[..., Any]], Command]:
    """Return a decorator that makes a command of a function, with these arguments and options in this order."""

    def made(function: Callable[..., Any]) -> Command:
        for part in reversed(parts):
            function = part(function)
        return click.command(cls=Command, context_settings={**SETTINGS, "allow_extra_args": True})(function)

    return made
