"""A report's folder: written whole or not at all, and nothing beside it touched.

Everything goes into a new folder beside the one that is asked for; only then
do the two change names.  An earlier report of ours is replaced whole; a folder
that holds anything else is left alone.
"""

from __future__ import annotations

import json
import secrets
import shutil
from collections.abc import Collection, Mapping
from pathlib import Path

from construct.diagnostics import Diagnostic, Mistakes

MARKERS = {
    f"{command}.json": command for command in ("report", "errors", "chips", "compare", "tune", "fit", "mistakes")
}
"""The record that a folder of ours holds, and the command that wrote it."""

ERROR_PICTURES = frozenset(f"{name}.{kind}" for name in ("budget", "ellipses", "bands") for kind in ("svg", "png"))
"""Not every one in every folder: without a cut there are no bands."""

WHERE_NAMES = frozenset({"mistakes.json", "where.svg", "where.png"})
"""What is written in place of a report where the cuts hold mistakes."""

ELSEWHERE = frozenset(f"elsewhere-{number}.{kind}" for number in (1, 2, 3) for kind in ("svg", "png"))
"""Where no choice breaks a claim there are none."""

NAMES = frozenset({"report.json", "report.txt", "picture.svg", "picture.png", "chips.svg", "chips.png"}) | ERROR_PICTURES | WHERE_NAMES | ELSEWHERE
"""What a report's folder may hold."""

ERROR_NAMES = frozenset({"errors.json", "errors.txt"}) | ERROR_PICTURES | WHERE_NAMES
"""What the folder of `construct errors` may hold."""

CHIP_NAMES = frozenset({"chips.json", "chips.txt", "chips.svg", "chips.png"}) | WHERE_NAMES
"""What the folder of `construct chips` may hold."""

COMPARE_NAMES = frozenset({"compare.json", "compare.txt", "compare.svg", "compare.png"})
"""What the folder of `construct compare` may hold."""

TUNE_NAMES = frozenset({"tune.json", "tune.txt", "tune.svg", "tune.png"})
"""What the folder of `construct tune` may hold."""

FIT_NAMES = frozenset({"fit.json", "fit.txt", "fitted.recipe"}) | {f"{name}.{kind}" for name in ("before", "after") for kind in ("svg", "png")}
"""What the folder of `construct fit` may hold."""

LARGEST = 100_000_000
"""The largest marker that is looked into, in bytes."""


def check(folder: Path, names: Collection[str]) -> None:
    """Raise `Mistakes` where a report of these file names may not be written into `folder`."""
    try:
        _check(folder, target(folder), names)
    except (OSError, RuntimeError) as reason:  # a loop of links is a RuntimeError up to Python 3.12
        raise unwritable(folder, reason) from None


def _check(folder: Path, place: Path, names: Collection[str]) -> None:
    if not place.parent.is_dir():
        raise _wrong("C511", f"there is no folder `{folder.parent}` to put the report in", "make it first, or name another")
    if not place.exists():
        return
    if not place.is_dir():
        raise _wrong("C512", f"`{folder}` is a file, not a folder", "name a new folder for the report")
    if Path.cwd().is_relative_to(place):
        message = f"`{folder}` is where you stand now, and a report's folder is replaced whole"
        raise _wrong("C513", message, "name a folder inside it, as in `-o report`")
    there = {path.name for path in place.iterdir()}
    if there and not _is_ours(place):
        raise _wrong("C514", f"`{folder}` holds other files, and no report of ours", "name a new folder, or an empty one")
    strangers = sorted(name for name in there if name not in names or not (place / name).is_file())
    if strangers:
        raise _wrong("C515", f"`{folder}` holds `{strangers[0]}` beside an earlier report", "move it elsewhere first, or name a new folder")


def write(folder: Path, contents: Mapping[str, bytes], names: Collection[str] = NAMES) -> None:
    """Write a report's files; after it, either all are there or nothing has changed.

    names: what an earlier report may have left there; it need not be written again.
    """
    check(folder, {*contents, *names})
    try:
        exchange(target(folder), contents)
    except OSError as reason:
        raise unwritable(folder, reason) from None


def target(folder: Path) -> Path:
    """Return the folder with links followed, so that a link stays a link."""
    return folder.resolve()


def exchange(target: Path, contents: Mapping[str, bytes]) -> None:
    """Put a folder with these files in a place, in one move; `OSError` where that fails, and then nothing has changed."""
    mark = secrets.token_hex(4)
    new, old = (target.with_name(f".{target.name}-{word}-{mark}") for word in ("new", "old"))
    try:
        new.mkdir()
        for name, content in contents.items():
            (new / name).write_bytes(content)
        if not target.exists():
            new.rename(target)
            return
        target.rename(old)
        try:
            new.rename(target)
        except BaseException:
            old.rename(target)
            raise
    finally:
        # only ever folders that were made or moved just now
        for path in (new, *([old] if target.exists() else [])):
            if path.exists():
                shutil.rmtree(path, ignore_errors=True)


def _is_ours(folder: Path) -> bool:
    return any(_wrote(folder / name, command) for name, command in MARKERS.items())


def _wrote(marker: Path, command: str) -> bool:
    try:
        if not marker.is_file() or marker.stat().st_size > LARGEST:
            return False
        record = json.loads(marker.read_bytes())
    except (OSError, ValueError, RecursionError):
        return False
    return isinstance(record, dict) and record.get("command") == command and isinstance(record.get("format"), int)


def unwritable(folder: Path, reason: OSError | RuntimeError) -> Mistakes:
    """Return the diagnostic for a folder that can not be written."""
    why = (reason.strerror if isinstance(reason, OSError) else "") or "its links lead round in a circle"
    return _wrong("C516", f"the report can not be written to `{folder}`: {why.lower()}", "name a folder that you may write to")


def _wrong(code: str, message: str, hint: str) -> Mistakes:
    return Mistakes((Diagnostic(code, message, hint),))
