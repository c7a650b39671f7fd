"""The contract of a command: one file, loaded only when it is called, so that `construct --help` starts at once.

A command file `report.py` holds `report`, a click command made by `_spoken.command`.  It takes
options, calls the study, has a report written and returns an `Answer`; it prints nothing, `cli.py`
does.  What it needs is imported inside it.  Its help stands in the words, under `[help.command]`.
"""

from __future__ import annotations

from construct import registry


def names() -> tuple[str, ...]:
    """Return the commands' names, sorted; none is loaded."""
    return registry.names(__name__)
