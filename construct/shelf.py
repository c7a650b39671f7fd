"""Where recipes come from: the shipped shelf by name, or a file; never anything else.

A recipe is data.  It may bring in methods with `use`, from files beside it and
from nowhere else.
"""

from __future__ import annotations

import difflib
from pathlib import Path

from construct.diagnostics import Mistakes, diagnostic
from construct.phrasebook import say

SUFFIX = ".recipe"
LARGEST = 10_000_000
"""The largest file that is read, in bytes."""


def shelf() -> Path:
    """Return the folder of the shipped recipes: inside the installed package, or beside it in a checkout."""
    package = Path(__file__).parent
    inside = package / "recipes"
    return inside if inside.is_dir() else package.parent / "recipes"


def shipped(group: str = "") -> tuple[str, ...]:
    """Return the names of the shipped recipes, sorted: those on the shelf itself, or in one of its `groups`."""
    return tuple(sorted(path.name.removesuffix(SUFFIX) for path in (shelf() / group).glob(f"*{SUFFIX}")))


def groups() -> tuple[str, ...]:
    """Return the folders on the shelf, sorted; a recipe in one is known by its name alone, too."""
    return tuple(sorted(path.name for path in shelf().iterdir() if path.is_dir() and shipped(path.name)))


def title(name: str) -> str:
    """Return the title of a shipped recipe, from its `recipe` line alone: quick where many are listed."""
    lines = find(name).read_text(encoding="utf-8").splitlines()
    return next((" ".join(line.split()[1:]) for line in lines if line.split()[:1] == ["recipe"]), "")


def find(name: str) -> Path:
    """Return the file that a command's RECIPE means: a path, or the name of a shipped recipe."""
    path = Path(name)
    try:
        there = path.is_file()
    except OSError as reason:  # a name too long, a folder that may not be entered
        raise Mistakes((diagnostic("C502.name", name=name[:80], why=_why(reason)),)) from None
    if there:
        return path
    if "/" not in name and "\\" not in name:
        for group in ("", *groups()):
            known = shelf() / group / f"{name.removesuffix(SUFFIX)}{SUFFIX}"
            if known.is_file():
                return known
    every = [one for group in ("", *groups()) for one in shipped(group)]
    near = difflib.get_close_matches(name.removesuffix(SUFFIX), every, n=1)
    key = "C501.folder" if path.is_dir() else "C501"
    raise Mistakes((diagnostic(key, name=name, hint=say("reason.near", name=near[0]) if near else say("reason.shelf")),))


def read(path: Path) -> bytes:
    """Return a file's bytes, a little more than `LARGEST` at most; a diagnostic where it can not be read."""
    try:
        with path.open("rb") as file:
            return file.read(LARGEST + 1)
    except OSError as reason:
        raise Mistakes((diagnostic("C502", name=path, why=_why(reason)),)) from None


def _why(reason: OSError) -> str:
    return (reason.strerror or say("reason.unknown")).lower()


def beside(path: Path, use: str) -> Path:
    """Return the file that `use` means beside a recipe; never one outside the recipe's folder."""
    folder = path.resolve().parent
    target = (folder / f"{use}{SUFFIX}").resolve()
    if not target.is_relative_to(folder) or Path(use).is_absolute():
        raise Mistakes((diagnostic("C503", use=use),))
    if not target.is_file():
        raise Mistakes((diagnostic("C504", use=use, suffix=SUFFIX),))
    return target
