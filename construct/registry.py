"""Plug-in folders: a file in the folder is a plug-in, and the file's name is its name.

Files whose names begin with an underscore are parts of their neighbours, not plug-ins.
"""

from __future__ import annotations

import pkgutil
from importlib import import_module
from types import ModuleType


def plugins(package: str) -> dict[str, ModuleType]:
    """Return the modules of `package` by file name, sorted by name."""
    folder = import_module(package)
    names = sorted(entry.name for entry in pkgutil.iter_modules(folder.__path__) if not entry.name.startswith("_"))
    return {name: import_module(f"{package}.{name}") for name in names}
