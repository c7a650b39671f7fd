"""Certificates as files: one for each claim that has one, in a folder written whole or not at all."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

from construct.diagnostics import Mistakes, diagnostic
from construct.phrasebook import say
from construct.proofs.checker import CHARACTERS, Rejected, check
from construct.reports._folder import exchange, target, unwritable

if TYPE_CHECKING:
    from construct.study import Study

_OURS = re.compile(r"line-[0-9]{3,}(-[0-9]+)?\.json")
_COMPARED = ("letters", "sides", "zeros", "positives", "not_negatives", "verdict")
"""What of a certificate a fresh trace must say too, besides the operations of its lines."""


def contents(study: Study) -> dict[str, bytes]:
    """Return the certificates of a study by file name."""
    found: dict[str, bytes] = {}
    for proof in study.proofs:
        if proof.certificate is not None:
            name, turn = f"line-{proof.verdict.line:03}", 1
            while f"{name}{'' if turn == 1 else f'-{turn}'}.json" in found:
                turn += 1
            found[f"{name}{'' if turn == 1 else f'-{turn}'}.json"] = proof.certificate.text.encode() + b"\n"
    return found


def check_folder(folder: Path) -> None:
    """Raise `Mistakes` where certificates may not be written into `folder`."""
    try:
        place = target(folder)
        if not place.parent.is_dir():
            raise _wrong("C521", parent=folder.parent)
        if not place.exists():
            return
        if not place.is_dir() or Path.cwd().is_relative_to(place):
            raise _wrong("C522", folder=folder)
        strangers = sorted(path.name for path in place.iterdir() if not _OURS.fullmatch(path.name) or not path.is_file())
        if strangers:
            raise _wrong("C523", folder=folder, stranger=strangers[0])
    except (OSError, RuntimeError) as reason:
        raise unwritable(folder, reason) from None


def write(folder: Path, files: dict[str, bytes]) -> None:
    """Write the files; after it, either all are there or nothing has changed."""
    check_folder(folder)
    try:
        exchange(target(folder), files)
    except OSError as reason:
        raise unwritable(folder, reason) from None


def missing(study: Study) -> str:
    """Say which claims have no certificate, or one that shows less, and why; "" where all have theirs."""
    said = [f"  {say('certificates.missing', line=proof.verdict.line, why=proof.missing)}" for proof in study.proofs if proof.missing]
    return "\n".join(["", *said, ""]) if said else ""


def told(folder: Path, written: dict[str, bytes], recipe: str) -> str:
    """Say how many certificates were written, and what can be done with them."""
    if not written:
        return say("certificates.none", folder=folder) + "\n"
    return say("certificates.written", count=len(written), folder=folder, first=folder / min(written), recipe=recipe) + "\n"


def read(file: Path) -> str:
    """Return a certificate's text as it stands in a file; `Mistakes` where it can not be read, or is no certificate at all."""
    try:
        with file.open(encoding="utf-8") as opened:
            text = opened.read(CHARACTERS + 1)
    except (OSError, ValueError) as reason:
        why = reason.strerror if isinstance(reason, OSError) and reason.strerror else say("reason.no_text")
        raise _wrong("C524", file=file, why=why.lower()) from None
    if not _like_one(text):
        raise _wrong("C525", file=file)
    return text


def _like_one(text: str) -> bool:
    """Tell a certificate, good or bad, from another kind of file; what is too long is left to the checker."""
    if len(text) > CHARACTERS:
        return text.lstrip().startswith("{")
    try:
        found = json.loads(text)
    except (ValueError, RecursionError):
        return False
    return isinstance(found, dict) and {"claim", "lines", "verdict"} <= set(found)


def audit(text: str, fresh: Study | None) -> tuple[bool, str]:
    """Return whether a certificate is accepted, and in words what it shows or why it does not.

    fresh: the study of the recipe that it is said to be about, traced afresh; None to run the checker alone.
    """
    try:
        shown = check(text)
    except Rejected as reason:
        return False, say("certificates.rejected", reason=reason)
    if fresh is None:
        return True, say("certificates.accepted", shown=shown)
    told = json.loads(text)
    same = [
        json.loads(proof.certificate.text)
        for proof in fresh.proofs
        if proof.certificate is not None and (proof.verdict.line, proof.verdict.text) == (told["line"], told["claim"])
    ]
    if not same:
        return False, say("certificates.no_claim")
    wrong = {_difference(told, one) for one in same}
    if "" in wrong:
        return True, say("certificates.same", shown=shown)
    return False, say(f"certificates.other.{min(wrong)}")


def _difference(told: dict[str, Any], fresh: dict[str, Any]) -> str:
    """Return the first part in which two certificates state different things, "" where there is none."""
    if _operations(told) != _operations(fresh):
        return "lines"
    return next((part for part in _COMPARED if told[part] != fresh[part]), "")


def _operations(certificate: dict[str, Any]) -> list[tuple[Any, ...]]:
    return [(line["op"], line["of"], line.get("with")) for line in certificate["lines"]]


def _wrong(key: str, /, **values: object) -> Mistakes:
    return Mistakes((diagnostic(key, **values),))
