"""Which written numbers do not matter: what is said is true for other numbers at random, and nothing is said of numbers that matter."""

from __future__ import annotations

import random
import re
import time
from pathlib import Path

import pytest

from construct.diagnostics import Mistakes
from construct.proofs.indifferent import indifferent
from construct.reports import View, record, summary
from construct.study import study, with_indifferent

from .conftest import looked

RECIPES = Path(__file__).parents[2] / "recipes"

LAYOUT = """\
recipe  Two circles and a margin
plate  round, 200 mm across
bench  ordinary
step One
  g : line by centre finder, along the grain
  h : line by centre finder, across the grain
  C : mark where g meets h
  rim : circle about C, 12 mm inside the edge
  B, T : marks where g meets rim
  b : circle about B, 100 mm by ruler
  t : circle about T, 100 mm by ruler
  P, Q : marks where b meets t
  k : line through P and Q
"""

SAME_WAY = ", as long as it can be laid out in the same way"


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("C is the centre of the plate", "true for any plate"),
        ("C B equals C T", "true for any plate and any length in line 8"),
        # square to the line of the two needles whatever the openings; on the middle only where the two are the same
        ("k is square to g", "true for any plate, any length in line 8, any length in line 10 and any length in line 11"),
        ("C is on k", "true for any plate and any length in line 8"),
        ("B P is 100 mm", "true for any plate, any length in line 8 and any length in line 11"),
        ("B T is 176 mm", ""),
    ],
)
def test_what_is_said(words: str, expected: str) -> None:
    """As many numbers together as still prove the claim, the plate first, then from the top down; the claim's own number stays."""
    outcome = looked(LAYOUT + f"  claim {words}\n")
    assert "proved" == outcome.verdicts[0].verdict
    assert (expected + SAME_WAY if expected else "",) == indifferent(outcome.settled, outcome.verdicts)


def test_nothing_is_said_of_what_is_not_proved() -> None:
    """A refuted claim, and one that is true only where drawn, have no numbers that do not matter."""
    drawing = "  q : opening, anything, say 88 mm\n  c : circle about C, opening q\n"
    text = LAYOUT + drawing + "  claim B is on c\n  claim P is on g\n"
    outcome = looked(text)
    assert ["refuted", "refuted"] == [one.verdict for one in outcome.verdicts]
    assert ("", "") == indifferent(outcome.settled, outcome.verdicts)


def test_one_number_written_in_a_round() -> None:
    """In a round a length is written once and used four times: it is one number, and any other does as well."""
    text = LAYOUT.split("  b :")[0] + (
        "  L, R : marks where h meets rim\n"
        "  around B, L, T, R as p\n    a.p : circle about p, 20 mm by ruler\n    ray.p : line from C to p\n"
        "    n.p : mark where a.p meets ray.p\n  end\n"
        "  claim n.B, n.L, n.T, n.R make a square\n"
    )
    outcome = looked(text)
    assert ("true for any plate, any length in line 8 and any length in line 12" + SAME_WAY,) == indifferent(
        outcome.settled, outcome.verdicts
    )


def test_a_reading_stays() -> None:
    """What the ruler reads stays as drawn, and the sentence says so."""
    text = LAYOUT.split("  b :")[0] + "  M : mark halfway from C to T, by ruler\n  claim C M is 44 mm\n"
    outcome = looked(text)
    assert "proved" == outcome.verdicts[0].verdict
    (said,) = indifferent(outcome.settled, outcome.verdicts)
    assert f"true for any plate and any length in line 8{SAME_WAY} and the ruler still reads the same" == said


def changed(text: str, said: str, source: random.Random) -> str:
    """Return a recipe with the numbers that a sentence names replaced by others near them."""
    lines = text.splitlines()
    places = [int(number) for number in re.findall(r"in line (\d+)", said)]
    if "any plate" in said:
        places.append(next(number for number, line in enumerate(lines, 1) if line.startswith("plate")))
    for number in places:
        other = source.choice(("0.97", "0.99", "1.02", "1.03"))
        lines[number - 1] = re.sub(
            r"(?:(\d+) )?(\d+)(?:/(\d+))?(?= (?:mm|in)\b)(?! (?:mm|in) thick)",
            lambda found, other=other: f"{(int(found[1] or 0) + int(found[2]) / int(found[3] or 1)) * float(other):.2f}",
            lines[number - 1],
        )
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize("name", ("clock-dial", "find-the-centre", "halve-a-side"))
def test_it_is_true_of_other_numbers(name: str) -> None:
    """Laid out again with other numbers where a sentence says that they do not matter, the claim is proved again."""
    text = (RECIPES / f"{name}.recipe").read_text(encoding="utf-8")
    outcome = looked(text)
    source = random.Random(f"numbers for {name}")
    done = 0
    for one, said in zip(outcome.verdicts, indifferent(outcome.settled, outcome.verdicts), strict=True):
        if not said:
            continue
        other = changed(text, said, source)
        assert other != text
        try:
            again = looked(other, over=False)
        except Mistakes:
            continue  # it can not be laid out in the same way
        assert "proved" == again.claim(one.text).verdict
        done += 1
    assert done


def test_it_costs_little() -> None:
    """The demo's sentences take less than a second: they can stand in every report."""
    outcome = looked((RECIPES / "clock-dial.recipe").read_text(encoding="utf-8"))
    before = time.process_time()
    assert any(indifferent(outcome.settled, outcome.verdicts))
    assert time.process_time() - before < 1


def test_it_is_shown() -> None:
    """The report's text and record say it, each statement once with its lines; a study that was not asked says nothing."""
    plain = study(LAYOUT + "  claim C is the centre of the plate\n  claim C is on h\n  claim B T is 176 mm\n")
    assert "do not matter" not in summary.report(plain, View())
    told = with_indifferent(plain)
    assert "lines 14 and 15: true for any plate, as long as" in summary.report(told, View())
    assert [14, 15] == [one["line"] for one in record.report(told)["indifferent"]]
