"""Work that may never end, done in a process of its own that can be stopped.

A call into a C library can not be interrupted from within; a process can be
killed.  The work says what it is about to begin, each time anew, and whoever
waits gives up when it has heard nothing for too long.  Where processes can not
be forked the work is simply done.
"""

from __future__ import annotations

import os
import pickle
import select
import signal
import struct
import sys
from collections.abc import Callable, Hashable
from dataclasses import dataclass
from typing import Any

_SIZE = struct.Struct("!Q")


@dataclass(frozen=True, slots=True)
class GivenUp:
    """What was being worked on when patience ended: as the work called it, None if it had said nothing."""

    at: Hashable


def watched(work: Callable[[Callable[[Hashable], None]], Any], seconds: float) -> Any:
    """Return what `work` returns, or `GivenUp` where it began nothing new for so many seconds.

    work: gets a function to call with what it is about to begin; what it returns and begins must be picklable.
    Whatever it raises is raised here: the work is then done again, in this process.
    """
    if not hasattr(os, "fork"):
        return work(lambda _: None)
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        _work(work, writing)
    os.close(writing)
    last: Hashable = None
    with os.fdopen(reading, "rb", buffering=0) as stream:
        try:
            while select.select([stream], [], [], seconds)[0]:
                message = _read(stream)
                if message is None:
                    return work(lambda _: None)
                kind, value = message
                if kind == "done":
                    return value
                last = value
            return GivenUp(last)
        finally:
            os.kill(child, signal.SIGKILL)
            os.waitpid(child, 0)


def _work(work: Callable[[Callable[[Hashable], None]], Any], writing: int) -> None:
    """Do the work, tell of it, and end this process whatever happens."""
    try:
        # what is written here would appear twice
        sys.stdout = sys.stderr = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115
        with os.fdopen(writing, "wb", buffering=0) as stream:
            done = work(lambda begun: _write(stream, ("begun", begun)))
            _write(stream, ("done", done))
    finally:
        os._exit(0)


def _write(stream: Any, message: tuple[str, Any]) -> None:
    data = pickle.dumps(message)
    view = memoryview(_SIZE.pack(len(data)) + data)
    while view:
        view = view[stream.write(view) :]


def _read(stream: Any) -> tuple[str, Any] | None:
    """Return the next message, None where the other process has ended without one."""
    size = _exactly(stream, _SIZE.size)
    data = b"" if size is None else _exactly(stream, _SIZE.unpack(size)[0])
    return pickle.loads(data) if data else None


def _exactly(stream: Any, count: int) -> bytes | None:
    data = b""
    while len(data) < count:
        more = stream.read(count - len(data))
        if not more:
            return None
        data += more
    return data
