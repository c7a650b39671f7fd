"""What a command comes to: what is to be shown, and the exit code."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from construct.study import Study

DONE, NOT_ALL_HOLD, WRONG, FAULT, STOPPED = 0, 1, 2, 3, 130
"""Exit codes: done and all holds; some claim does not hold; recipe or command wrong; a fault of ours; stopped by the user."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What a command shows.

    shown: for standard output: text as it stands, or a record that is written as JSON.
    code: the exit code.  aside: for standard error, beside what is shown; may be empty.
    """

    shown: str | dict[str, Any]
    code: int = DONE
    aside: str = ""


def outcome(study: Study) -> int:
    """Return the exit code of a command that says whether the claims hold."""
    return DONE if study.holds else NOT_ALL_HOLD
