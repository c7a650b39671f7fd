"""One file to print or to hand out: written whole or not at all, and never over a file that is none of ours."""

from __future__ import annotations

import secrets
from collections.abc import Collection
from pathlib import Path

from construct.diagnostics import Diagnostic, Mistakes

LOOKED_AT = 10_000_000
"""How much of a file that is there already is looked at, in bytes."""


def check(file: Path, suffixes: Collection[str], ours: Collection[bytes]) -> None:
    """Raise `Mistakes` where a file may not be written under this name.

    suffixes: what its name may end in.  ours: any of these is in a file that we made and may replace.
    """
    if file.suffix.lower() not in suffixes:
        said = " or ".join(f"`{suffix}`" for suffix in suffixes)
        raise _wrong("C803", f"`{file}` does not end in {said}", f"name it so, as in `-o {file.stem or 'page'}{min(suffixes)}`")
    try:
        target = file.resolve()
        if not target.parent.is_dir():
            raise _wrong("C804", f"there is no folder `{file.parent}` to put it in", "make it first, or name another")
        if target.is_dir():
            raise _wrong("C805", f"`{file}` is a folder", "name a file in it")
        if target.exists() and not _is_ours(target, ours):
            raise _wrong("C806", f"`{file}` is there already, and was not made by this command", "name a new file, or move that one away")
    except (OSError, RuntimeError, ValueError) as reason:  # a loop of links is a RuntimeError up to Python 3.12
        raise _unwritable(file, reason) from None


def _is_ours(file: Path, ours: Collection[bytes]) -> bool:
    with file.open("rb") as there:
        begin = there.read(LOOKED_AT)
    return not begin or any(mark in begin for mark in ours)


def write(file: Path, content: bytes) -> None:
    """Put a file's content in its place in one move; `Mistakes` where that fails, and then nothing has changed."""
    try:
        target = file.resolve()
        new = target.with_name(f".{target.name[:100]}-new-{secrets.token_hex(4)}")
        try:
            new.write_bytes(content)
            new.replace(target)
        finally:
            new.unlink(missing_ok=True)
    except (OSError, RuntimeError, ValueError) as reason:
        raise _unwritable(file, reason) from None


def _unwritable(file: Path, reason: Exception) -> Mistakes:
    why = ((reason.strerror if isinstance(reason, OSError) else "") or "its name leads nowhere").lower()
    return _wrong("C807", f"`{file}` can not be written: {why}", "name a file that you may write")


def _wrong(code: str, message: str, hint: str) -> Mistakes:
    return Mistakes((Diagnostic(code, message, hint),))
