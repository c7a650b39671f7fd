"""How long reading may take: bounds wide enough for a slow machine, tight enough to see a wrong algorithm."""

from __future__ import annotations

import subprocess
import sys
from time import perf_counter

import pytest

from construct.diagnostics import Mistakes


def test_long_recipes(language, read_fixture):
    """Ten thousand lines are read in under five seconds, and time grows as the lines do."""
    lines = read_fixture("clock_dial.recipe").split("\n")
    start = next(number for number, line in enumerate(lines) if line.startswith("step"))
    stop = lines.index("carve")
    steps = lines[start:stop] * (10_000 // (stop - start) + 1)
    text = "\n".join(lines[:start] + steps)
    began = perf_counter()
    recipe = language.parse(text)
    taken = perf_counter() - began
    assert len(recipe.lines) >= 10_000
    assert taken < 5


def test_every_line_wrong(language):
    """Two thousand bad lines are told off in a few seconds."""
    began = perf_counter()
    with pytest.raises(Mistakes) as caught:
        language.parse("paper\n" + "M : mark where a meets b, nearst Z\n" * 2000)
    assert perf_counter() - began < 10
    assert 2000 == len(caught.value.diagnostics)


def test_names_that_are_words_cost_little(language):
    """A line made of nothing but names that are phrase words is given up, or read, at once."""
    text = "paper\nline, mark, one : marks line, mark\n" + "line : line through mark and one mark line\n" * 50
    began = perf_counter()
    with pytest.raises(Mistakes) as caught:
        language.parse(text)
    assert perf_counter() - began < 2
    assert 50 == len(caught.value.diagnostics)


def test_start(tmp_path):
    """A fresh process loads the parser, builds the tables and reads the dial in well under half a second."""
    program = (
        "import sys, time; began = time.perf_counter()\n"
        "from construct.language.parser import parse\n"
        "from construct.language.syntax import Phrase\n"
        "lines = [line.partition(': ') for line in open(sys.argv[1]) if ': ' in line and line[0] in 'ac']\n"
        "phrases = {kind: [Phrase(text.strip(), make=print) for one, _, text in lines if one == kind] for kind in ('action', 'claim')}\n"
        "parse(open(sys.argv[2]).read(), actions=phrases['action'], claims=phrases['claim'])\n"
        "print(time.perf_counter() - began)\n"
    )
    fixtures = __file__.rsplit("/", 1)[0] + "/fixtures"
    command = [sys.executable, "-c", program, f"{fixtures}/phrases.txt", f"{fixtures}/clock_dial.recipe"]
    environment = {"PYTHONPYCACHEPREFIX": str(tmp_path), "PYTHONPATH": ":".join(path for path in sys.path if path)}
    times = [float(subprocess.run(command, env=environment, capture_output=True, check=True, text=True).stdout) for _ in range(3)]
    assert min(times) < 0.4
