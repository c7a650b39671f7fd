"""`construct audit`: certificates checked by the checker alone, or against a recipe traced afresh."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from construct.commands._answer import DONE, NOT_ALL_HOLD, Answer
from construct.commands._options import AS_JSON, PATH, WAIT, WAY, needs
from construct.commands._spoken import command, option
from construct.commands._study import study_of

CERTIFICATES = click.argument("certificates", metavar="CERTIFICATE...", type=PATH, nargs=-1, required=True)
OF = option("--recipe", metavar="RECIPE", help="help.audit.recipe")


@command(CERTIFICATES, OF, WAY, AS_JSON, WAIT)
def audit(certificates: tuple[Path, ...], recipe: str | None, way: str | None, as_json: bool, patience: float) -> Answer:
    """Tell which certificates are accepted."""
    from construct.reports import _certificates

    if recipe is None and way is not None:
        raise needs("--way", "--recipe", "audit")
    fresh = None if recipe is None else study_of(recipe, way, patience=patience)
    texts = [_certificates.read(file) for file in certificates]
    found = [_certificates.audit(text, fresh) for text in texts]
    accepted = all(good for good, _ in found)
    code = DONE if accepted else NOT_ALL_HOLD
    if not as_json:
        rows = (said if len(found) == 1 else f"{file}: {said}" for file, (_, said) in zip(certificates, found, strict=True))
        return Answer("".join(f"{row}\n" for row in rows), code)
    head: dict[str, Any] = {"format": 1, "command": "audit", "accepted": accepted}
    if len(found) == 1:
        return Answer({**head, "message": found[0][1]}, code)
    each = [{"file": str(file), "accepted": good, "message": said} for file, (good, said) in zip(certificates, found, strict=True)]
    return Answer({**head, "certificates": each}, code)
