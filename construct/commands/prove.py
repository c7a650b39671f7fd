"""`construct prove`: the claims and their verdicts, and the certificates that show them."""

from __future__ import annotations

from pathlib import Path

from construct.commands._answer import Answer, outcome
from construct.commands._options import AS_JSON, RECIPE, UNITS, WAIT, WAY, folder, option
from construct.commands._spoken import command
from construct.commands._study import study_of, view_of

REASONS = option("--why", "reasons", is_flag=True, help="help.prove.why")


@command(RECIPE, WAY, UNITS, AS_JSON, WAIT, REASONS, folder("help.prove.certificates", "--certificates"))
def prove(recipe: str, way: str | None, units: str, as_json: bool, patience: float, reasons: bool, folder: Path | None) -> Answer:
    """Tell what holds."""
    from construct.study import why

    if folder is not None:
        from construct.reports import _certificates

        _certificates.check_folder(folder)
    study = study_of(recipe, way, patience=patience, others=True)
    aside = ""
    if folder is not None:
        written = _certificates.contents(study)
        _certificates.write(folder, written)
        aside = _certificates.missing(study) + _certificates.told(folder, written, view_of(recipe, units, way=way).again)
    whys = why(study) if reasons else ()
    if as_json:
        from construct.reports import record

        return Answer(record.prove(study, whys), outcome(study), aside)
    from construct.reports import summary

    return Answer(summary.claims(study, view_of(recipe, units, way=way), whys), outcome(study), aside)
