"""The summary: one screen in plain words, nothing hidden, nothing too wide."""

from __future__ import annotations

from fractions import Fraction

import pytest

from construct.claims import Finding, Verdict
from construct.reports import View, summary
from construct.reports import _bench_needs as needs
from construct.reports import _words as words
from construct.study import Study, study

NAMES = ("demo", "demo by ruler", "paper", "board", "open", "oval", "crowded")


def one(text: str) -> str:
    """Return text on one line."""
    return " ".join(text.split())


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("name", NAMES)
def test_no_line_is_too_wide(studies: dict[str, Study], name: str, units: str) -> None:
    """No line has over 100 columns, and none ends in a space."""
    for text in (summary.report(studies[name], View(units, name)), summary.claims(studies[name], View(units, name))):
        assert [line for line in text.splitlines() if len(line) > 100 or line != line.rstrip()] == []


def test_the_demo_holds(studies: dict[str, Study]) -> None:
    """By compass all claims of the demo hold; the other way's one failure stands in a line of its own."""
    text = one(summary.report(studies["demo"], View(recipe="clock-dial")))
    assert "claims hold." in text
    assert "M is halfway between C and T, by 3/40 mm = 0.07500 mm" in text
    assert "reach: 130 mm" in text
    assert "P left, Q right" in text
    assert "construct report clock-dial -o FOLDER" in text


def test_a_failure_is_plain(studies: dict[str, Study]) -> None:
    """By the ruler C T = 108.65 mm reads 108.5, its half is 54.25, and 54.325 was wanted: 3/40 mm off (by hand)."""
    text = summary.report(studies["demo by ruler"], View(recipe="clock-dial"))
    (line,) = (number for number, row in enumerate(text.splitlines()) if row.lstrip().startswith("FAILS"))
    assert "M is halfway between C and T" in text.splitlines()[line]
    assert "fails by 3/40 mm = 0.07500 mm" == text.splitlines()[line + 1].strip()
    assert "--way compass" in one(text)


def test_each_verdict_has_its_word(studies: dict[str, Study]) -> None:
    """Proved, refuted and within are told apart by words at the start of the line."""
    starts = [row.split()[0] for row in summary.claims(studies["paper"], View()).splitlines() if "  line " in row]
    assert ["holds", "FAILS", "within"] == starts


def test_undecided_is_never_shown_as_fine() -> None:
    """An undecided claim is counted, named, and given its reason."""
    verdict = Verdict(7, "k is square to g", None, "undecided", "here", ("the eye hits what it aims at",), None, "too many digits")
    text = "\n".join(summary._claims((verdict,), View()))
    assert "1 of 1 claim is undecided." in text
    assert "undecided line 7: " in text
    assert "undecided: too many digits; this is neither a yes nor a no" in text
    assert "as long as the eye hits what it aims at" in text
    assert "hold" not in text


@pytest.mark.parametrize(
    ("finding", "units", "said"),
    [(Finding("√2 mm", 2**0.5, "1.414", "mm"), "mm", "√2 mm, about 1.414 mm"),
     (Finding("3/40 mm", 0.075, "0.07500", "mm"), "mm", "3/40 mm = 0.07500 mm"),
     (Finding("127/5 mm", 25.4, "25.40", "mm"), "in", "1 in"),
         (Finding("3/40 mm", 0.075, "0.07500", "mm"), "in", "3/1016 in, about 0.002953 in"),
         (Finding("√2 mm", 2**0.5, "1.414", "mm"), "in", "√2/25.4 in, about 0.05568 in"),
         (Finding("1 + √2 mm", 1 + 2**0.5, "2.414", "mm"), "in", "(1 + √2)/25.4 in, about 0.09505 in"),
     (Finding("", 0.5, "0.5000", "deg", "enclosure"), "mm", "about 0.5000 deg"),
     (Finding("1/3", 1 / 3, "0.3333", "1"), "mm", "1/3, about 0.3333")],
)  # fmt: skip
def test_gaps_in_words(finding: Finding, units: str, said: str) -> None:
    """A gap has its closed form, `=` only where the decimals are exact, and inches where asked (1 in = 25.4 mm)."""
    assert said == summary.found(finding, View(units))


@pytest.mark.parametrize(
    ("mm", "units", "said"),
    [("241.3", "in", "9 1/2 in"), ("6.35", "in", "1/4 in"), ("50.8", "in", "2 in"), ("100", "in", "about 3.937 in"),
     ("0.1", "mm", "0.1 mm"), ("-2.5", "mm", "−2.5 mm")],
)  # fmt: skip
def test_lengths_in_words(mm: str, units: str, said: str) -> None:
    """Inches are written as a rule has them where they fall on 1/64 in, and said to be rounded elsewhere."""
    assert said == words.length(Fraction(mm), units)


@pytest.mark.parametrize(
    ("exact", "value", "units", "said"),
    [("81/2", 40.5, "mm", "81/2 mm² = 40.5 mm²"), ("100·π", 314.159265, "mm", "100·π mm², about 314.2 mm²"),
     ("14450", 14450.0, "mm", "14450 mm²"), ("", 1290.32, "in", "about 2 in²"), ("100·π", 314.159265, "in", "(100·π)/25.4² in², about 0.4869 in²")],
)  # fmt: skip
def test_areas_in_words(exact: str, value: float, units: str, said: str) -> None:
    """An area has `=` only where its decimals are exact (1 in² = 645.16 mm², from 1 in = 25.4 mm)."""
    assert said == words.area(exact, value, units)


def test_a_number_keeps_its_unit() -> None:
    """No line ends between a number and its unit, nor inside what is there to be typed."""
    text = "word " * 17 + "7 15/16 in and then `construct report clock-dial -o FOLDER` and 0.5 mm"
    for cut in range(40):
        for line in words.wrapped(text[5 * (cut % 8) :] + " x" * cut + " 30 deg"):
            assert line.count("`") in (0, 2)
            assert not line.endswith(tuple("0123456789"))


def test_runs_of_numbers() -> None:
    """Three numbers on end or more are drawn together."""
    assert "1 to 3, 5, 6 and 9" == words.numbered([1, 2, 3, 5, 6, 9])
    assert "1, 2, 4 and 5" == words.numbered([1, 2, 4, 5])


def test_tools_needed(studies: dict[str, Study]) -> None:
    """The tools come in the order of first use; a 60 mm opening and a margin from the edge need a ruler."""
    assert ("straightedge", "compass", "ruler") == needs.tools_needed(studies["board"].plan)
    assert ("centre finder", "compass", "ruler") == needs.tools_needed(studies["oval"].plan)


KEPT = """recipe Two settings kept
paper
given A, B, 100 mm apart
step S
  r : opening, from A to B
{}  c : circle about A, opening r
  d : circle about B, opening q
  e : circle about B, opening r
"""


@pytest.mark.parametrize(
    ("text", "count", "names"),
    [(KEPT.format("  q : opening, 30 mm by ruler\n"), 2, ("r", "q")),
     (KEPT.replace("opening q", "opening 30 mm by ruler").replace("30 mm by ruler", "from B to A").format(""), 2, ("r",)),
     (KEPT.replace("  e : circle about B, opening r\n", "").replace("opening q", "same opening").format(""), 1, ("r",)),
     (KEPT.replace("  e : circle about B, opening r\n", "").format("").replace(
         "  d :", "  q : opening, 30 mm by ruler\n  d :"), 1, ("r",))],
)  # fmt: skip
def test_compasses_needed_at_once(text: str, count: int, names: tuple[str, ...]) -> None:
    """A setting is kept from where it is made to its last use; those kept at one moment are counted (by hand)."""
    assert (count, names) == needs.left_set(study(text).plan)


def test_cautions_defer(studies: dict[str, Study]) -> None:
    """The report warns of knife, dust and oily rags, and defers to labels, local rules and a qualified person."""
    text = one(summary.report(studies["board"], View())).lower()
    for word in ("knife", "dust", "rags", "labels", "local rules", "qualified person"):
        assert word in text


WAYS = """recipe One way that can not be done
paper
given A, B, 100 mm apart
step S
  way near
    M : mark halfway from A to B, by ruler
  way far
    a : arc about A, 30 mm by ruler
    b : arc about B, same opening
    M : mark where a meets b, nearest A
  end
  claim M is halfway between A and B
"""


def test_a_way_that_can_not_be_done(studies: dict[str, Study]) -> None:
    """Two arcs of 30 mm, 100 mm apart, miss: the other way's line gives the reason and its place; it is no failed claim."""
    text = one(summary.report(study(WAYS), View()))
    assert "The claim holds." in text
    assert "By the way `far`: can not be done: 10:" in text


CURVED = """recipe A curved chip
plate round, 200 mm across
step S
  g : line by centre finder, along the grain
  h : line by centre finder, across the grain
  C : mark where g meets h
  rim : circle about C, 20 mm inside the edge
  N, S : marks where g meets rim
  W, E : marks where h meets rim
  e1 : curve by french curve from W to N, leaving along g, arriving along h
  e2 : e1 flipped over h, by french curve
carve
  cut e1
  cut e2
  cut g from S to N
"""


def test_a_curve_is_never_called_exact() -> None:
    """Where chords stand in for a french curve the area has no closed form, and is said to be an estimate."""
    text = one(summary.report(study(CURVED), View()))
    assert "estimate" in text
    assert "π" not in text


def test_a_title_can_not_steer_a_terminal() -> None:
    """Control characters in a recipe's title reach no terminal."""
    text = "recipe Red\x1b[31m title\npaper\ngiven A, B, 9 mm apart\nstep S\n  k : line through A and B\n"
    try:
        shown = summary.report(study(text), View())
    except Exception as wrong:  # a diagnostic is as good, if it is clean itself
        shown = str(wrong)
    assert "\x1b" not in shown


def test_what_to_type_next() -> None:
    """The next command is about the same way, and a name with spaces is one word to the shell."""
    assert "six-petals" == View(recipe="six-petals").again
    assert "'my plate.recipe' --way ruler" == View(recipe="my plate.recipe", way="ruler").again
    assert "RECIPE --way ruler" == View(way="ruler").again
