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

MARKER = "report.json"
NAMES = frozenset({MARKER, "report.txt", "picture.svg", "picture.png"})
"""What a report's folder holds."""

LARGEST = 100_000_000
"""The largest marker that is looked into, in bytes."""


def check(folder: Path, names: Collection[str]) -> None:
    """Raise `Mistakes` where a report of these file names may not be written into `folder`."""
    try:
        _check(folder, _target(folder), names)
    except (OSError, RuntimeError) as reason:  # a loop of links is a RuntimeError up to Python 3.12
        raise _unwritable(folder, reason) from None


def _check(folder: Path, target: Path, names: Collection[str]) -> None:
    if not target.parent.is_dir():
        raise _wrong("C511", f"there is no folder `{folder.parent}` to put the report in", "make it first, or name another")
    if not target.exists():
        return
    if not target.is_dir():
        raise _wrong("C512", f"`{folder}` is a file, not a folder", "name a new folder for the report")
    if Path.cwd().is_relative_to(target):
        message = f"`{folder}` is where you stand now, and a report's folder is replaced whole"
        raise _wrong("C513", message, "name a folder inside it, as in `-o report`")
    there = {path.name for path in target.iterdir()}
    if there and not _is_ours(target):
        raise _wrong("C514", f"`{folder}` holds other files, and no report of ours", "name a new folder, or an empty one")
    strangers = sorted(name for name in there if name not in names or not (target / name).is_file())
    if strangers:
        raise _wrong("C515", f"`{folder}` holds `{strangers[0]}` beside an earlier report", "move it elsewhere first, or name a new folder")


def write(folder: Path, contents: Mapping[str, bytes]) -> None:
    """Write a report's files; after it, either all are there or nothing has changed."""
    check(folder, contents)
    try:
        _exchange(_target(folder), contents)
    except OSError as reason:
        raise _unwritable(folder, reason) from None


def _target(folder: Path) -> Path:
    """Return the folder with links followed, so that a link stays a link."""
    return folder.resolve()


def _exchange(target: Path, contents: Mapping[str, bytes]) -> None:
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
    marker = folder / MARKER
    try:
        if not marker.is_file() or marker.stat().st_size > LARGEST:
            return False
        record = json.loads(marker.read_bytes())
    except (OSError, ValueError, RecursionError):
        return False
    return isinstance(record, dict) and record.get("command") == "report" and isinstance(record.get("format"), int)


def _unwritable(folder: Path, reason: OSError | RuntimeError) -> Mistakes:
    why = (reason.strerror if isinstance(reason, OSError) else "") or "its links lead round in a circle"
    return _wrong("C516", f"the report can not be written to `{folder}`: {why.lower()}", "name a folder that you may write to")


def _wrong(code: str, message: str, hint: str) -> Mistakes:
    return Mistakes((Diagnostic(code, message, hint),))
