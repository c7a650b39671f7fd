"""`construct card`: the recipe for the bench."""

from __future__ import annotations

from pathlib import Path

from construct.commands._answer import Answer
from construct.commands._options import AS_JSON, BENCH, OWN_UNITS, PAPER, PATH, RECIPE, WAIT, WAY, needs
from construct.commands._spoken import command, option
from construct.commands._study import study_of, view_of, whole

FILE = option("-o", "file", metavar="FILE", type=PATH, help="help.card.file")
LARGE = option("--large", is_flag=True, help="help.card.large")
RULER = option("--ruler", metavar="MARKS", help="help.card.ruler")


@command(RECIPE, WAY, FILE, PAPER, LARGE, RULER, BENCH, OWN_UNITS, AS_JSON, WAIT)
def card(
    recipe: str, way: str | None, file: Path | None, paper: str, large: bool, ruler: str | None, bench: str | None, units: str | None,
    as_json: bool, patience: float,
) -> Answer:  # fmt: skip
    """Write or show the card."""
    from construct.reports import _one_file, _print_record
    from construct.reports import card as report
    from construct.study import at_the_bench

    if file is None and large:
        raise needs("--large", "-o", "card")
    report.check(file, paper)
    study = whole(study_of(recipe, way, patience=patience))
    units = units or report.units(ruler, study)
    graduation = report.graduation(ruler, units, study.plan.settings.graduation)
    made = at_the_bench(study, graduation=graduation, bench=bench)
    view = view_of(recipe, units)
    if file is None:
        return Answer(_print_record.card(study, made, None, None) if as_json else report.text(study, made, view))
    content = report.written(file, study, made, view, paper=paper, large=large)
    _one_file.write(file, content)
    return Answer(_print_record.card(study, made, file, report.pages(content)) if as_json else report.told(file, content))
