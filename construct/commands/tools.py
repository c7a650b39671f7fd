"""`construct tools`: the language, from the tools' and claims' own files."""

from __future__ import annotations

from construct.commands._answer import Answer
from construct.commands._options import AS_JSON, UNITS
from construct.commands._spoken import command, option

CLAIMS = option("--claims", "claims_too", is_flag=True, help="help.tools.claims")


@command(CLAIMS, UNITS, AS_JSON)
def tools(claims_too: bool, units: str, as_json: bool) -> Answer:
    """List the phrases."""
    from construct.reports import _catalogue

    return Answer(_catalogue.bench_tools(claims_too=claims_too) if as_json else _catalogue.tools_text(units=units, claims_too=claims_too))
