"""`construct recipes`: what is shipped."""

from __future__ import annotations

from construct.commands._answer import Answer
from construct.commands._options import AS_JSON
from construct.commands._spoken import command


@command(AS_JSON)
def recipes(as_json: bool) -> Answer:
    """List the shelf."""
    from construct.reports import _catalogue

    return Answer(_catalogue.recipes() if as_json else _catalogue.recipes_text())
