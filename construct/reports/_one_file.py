"""One file to print or to hand out: written whole or not at all, and never over a file that is none of ours."""

from __future__ import annotations

import secrets
from collections.abc import Collection
from pathlib import Path

from construct.diagnostics import Mistakes, diagnostic
from construct.phrasebook import say

LOOKED_AT = 10_000_000
"""How much of a file that is there already is looked at, in bytes."""


def check(file: Path, suffixes: Collection[str], ours: Collection[bytes]) -> None:
    """Raise `Mistakes` where a file may not be written under this name.

    suffixes: what its name may end in.  ours: any of these is in a file that we made and may replace.
    """
    if file.suffix.lower() not in suffixes:
        said = f" {say('list.or')} ".join(f"`{suffix}`" for suffix in suffixes)
        raise _wrong("C803", file=file, said=said, stem=file.stem or "page", suffix=min(suffixes))
    try:
        target = file.resolve()
        if not target.parent.is_dir():
            raise _wrong("C804", parent=file.parent)
        if target.is_dir():
            raise _wrong("C805", file=file)
        if target.exists() and not _is_ours(target, ours):
            raise _wrong("C806", file=file)
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
    why = ((reason.strerror if isinstance(reason, OSError) else "") or say("reason.nowhere")).lower()
    return _wrong("C807", file=file, why=why)


def _wrong(key: str, /, **values: object) -> Mistakes:
    return Mistakes((diagnostic(key, **values),))
