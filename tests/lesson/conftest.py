"""Lessons that several tests read, a parsed page, and a real browser to open them in."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from construct.reports import View, _lesson
from construct.study import Study, study, why, with_errors

BROWSERS = ("chromium", "chromium-browser", "google-chrome")
NEEDED = "CONSTRUCT_NEEDS_BROWSER"

HOSTILE = """recipe </title><script>window.owned=1</script><img src=x onerror="window.owned=2"> {{ 7*7 }} `{% raw %}
plate round, 240 mm across, 15 mm thick, basswood
step "><svg onload="window.owned=3"> ' onmouseover='window.owned=4' & <b>
  g : line by centre finder, along the grain   # </code><script>window.owned=5</script>
  h : line by centre finder, across the grain
  C : mark where g meets h
  claim C is the centre of the plate
step javascript:window.owned=6
  rim : circle about C, 12 mm inside the edge
  B, T : marks where g meets rim
  claim B T is 100 mm
"""


@dataclass
class Parsed(HTMLParser):
    """A page taken apart by the standard library: elements with their attributes, and the text of style and script."""

    elements: list[tuple[str, dict[str, str]]] = field(default_factory=list)
    inside: dict[str, str] = field(default_factory=dict)
    text: list[str] = field(default_factory=list)
    _open: str = ""

    def __post_init__(self) -> None:
        super().__init__(convert_charrefs=True)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note an element."""
        self.elements.append((tag, {name: value or "" for name, value in attrs}))
        self._open = tag

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note an element that closes at once."""
        self.handle_starttag(tag, attrs)
        self._open = ""

    def handle_endtag(self, tag: str) -> None:
        """Note that an element has closed."""
        self._open = ""

    def handle_data(self, data: str) -> None:
        """Note text, that of style and script by itself."""
        if self._open in ("style", "script"):
            self.inside[self._open] = self.inside.get(self._open, "") + data
        else:
            self.text.append(data)

    def named(self, tag: str) -> list[dict[str, str]]:
        """Return the attributes of every element of a name."""
        return [attrs for name, attrs in self.elements if name == tag]


def parsed(page: bytes) -> Parsed:
    """Return a page taken apart."""
    found = Parsed()
    found.feed(page.decode())
    return found


@pytest.fixture(scope="session")
def taught() -> dict[str, Study]:
    """Studies with the errors of a careful hand, by name."""
    some = {"dial": study("clock-dial"), "half": study("halve-a-side"), "hostile": study(HOSTILE)}
    return {name: with_errors(one, bench="careful", trials=0) for name, one in some.items()}


@pytest.fixture(scope="session")
def pages(taught: dict[str, Study]) -> dict[str, bytes]:
    """Their lessons."""
    return {name: _lesson.page(one, View(), why(one)) for name, one in taught.items()}


@pytest.fixture(scope="session")
def files(pages: dict[str, bytes], tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Their lessons as files."""
    folder = tmp_path_factory.mktemp("lessons")
    for name, page in pages.items():
        (folder / f"{name}.html").write_bytes(page)
    return {name: folder / f"{name}.html" for name in pages}


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """A headless browser; without one its tests are skipped, or fail where `CONSTRUCT_NEEDS_BROWSER` says that there must be one."""
    from playwright.sync_api import sync_playwright

    program = next((found for name in BROWSERS if (found := shutil.which(name))), None)
    if program is None:
        reason = f"no browser here: none of {', '.join(BROWSERS)}"
        if os.environ.get(NEEDED) == "1":
            pytest.fail(reason)
        pytest.skip(f"{reason} (Debian: apt-get install chromium)")
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=program)
        yield started
        started.close()
