"""Plug-in folders: a file in the folder is a plug-in, and the file's name is its name.

Files whose names begin with an underscore are parts of their neighbours, not plug-ins.
"""

from __future__ import annotations

import pkgutil
from importlib import import_module
from types import ModuleType


def names(package: str) -> tuple[str, ...]:
    """Return the plug-ins' names, sorted; none is loaded."""
    return tuple(sorted(entry.name for entry in pkgutil.iter_modules(import_module(package).__path__) if not entry.name.startswith("_")))


def plugins(package: str) -> dict[str, ModuleType]:
    """Return the modules of `package` by file name, sorted by name."""
    return {name: import_module(f"{package}.{name}") for name in names(package)}
