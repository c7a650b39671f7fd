"""`construct recipes`: what is shipped, and how it is written."""

from __future__ import annotations

import click

from construct.commands._answer import Answer
from construct.commands._options import AS_JSON
from construct.commands._spoken import command

NAME = click.argument("name", required=False)


@command(NAME, AS_JSON)
def recipes(name: str | None, as_json: bool) -> Answer:
    """List the shelf, or show one recipe from it as it is written."""
    from construct.reports import _catalogue

    if name is not None:
        found = _catalogue.recipe(name)
        return Answer(found if as_json else found["text"])
    return Answer(_catalogue.recipes() if as_json else _catalogue.recipes_text())
