"""Verdicts on recipes: choices and aims that a claim rests on, claims without sense, limits, faults of ours."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from construct import claims, tools
from construct.claims import Gap, NoGap, Senseless, Statement, Verdict
from construct.claims._verdict import decide, judge
from construct.diagnostics import Mistakes
from construct.language.parser import parse
from construct.number_systems import LimitMet
from construct.number_systems.exact import ExactSystem
from construct.plan.planner import make_plan
from construct.replay import settle


def verdicts(text: str, way: str | None = None) -> tuple[Verdict, ...]:
    """Return the verdicts on the claims of a recipe."""
    exact = ExactSystem()
    recipe = parse(text, actions=tools.phrases(), claims=claims.phrases(), source="trial")
    return decide(settle(make_plan(recipe, way=way), exact), exact)


HALVING = """recipe Halving
plate round, 240 mm across
g : line by centre finder, along the grain
h : line by centre finder, across the grain
C : mark where g meets h
rim : circle about C, 20 mm inside the edge
B, T : marks where g meets rim
reach : opening, anything over half of B T, say 130 mm
b : arc about B, opening reach
t : arc about T, opening reach
P, Q : marks where b meets t
k : line through P and Q
E : mark between C and T, by eye
L, R : marks where k meets rim
claim C is on k
claim E is halfway between C and T
claim C is the centre of the plate
claim C T is 100 mm
claim C E is 49 mm within 1 mm
claim C E is 49 mm within 0.99 mm
claim angle L C B is 91 deg within 1 deg
"""


def test_a_claim_names_the_choices_and_aims_it_rests_on() -> None:
    """Each claim lists the free choices behind it with what is drawn, and what an eye must hit; no more."""
    on, half, centre, size, near, far, square = verdicts(HALVING)
    assert (("reach", "130 mm"),) == on.choices
    assert () == on.conditions == centre.conditions == centre.choices == half.choices
    assert ("the eye hits what it aims at (line 13, E)",) == half.conditions == near.conditions
    assert ["proved"] * 4 == [one.verdict for one in (on, half, centre, size)]
    assert ("within", "refuted", "within") == (near.verdict, far.verdict, square.verdict)
    assert near.finding is not None and ("1 mm", "1.000") == (near.finding.exact, near.finding.figures)
    assert square.finding is not None and "−1°" == square.finding.exact
    assert [15, 16, 17, 18, 19, 20, 21] == [one.line for one in verdicts(HALVING)]
    assert "C E is 49 mm within 1 mm" == near.text
    assert [True] * 5 + [False, True] == [one.holds for one in verdicts(HALVING)]
    assert {"here"} == {one.scope for one in verdicts(HALVING)}


def test_a_round_fills_its_names_in() -> None:
    """A claim in a round is one claim a turn, its names written out."""
    text = HALVING.split("claim")[0] + "around B, T as p\nclaim C p is 100 mm\nend\n"
    assert ["C B is 100 mm", "C T is 100 mm"] == [one.text for one in verdicts(text)]


def test_an_open_size_is_a_choice() -> None:
    """On a plate of any size every claim rests on the size that is drawn."""
    text = HALVING.replace("240 mm across", "anything across, say 240 mm")
    assert ("plate", "240 mm") in verdicts(text)[0].choices


def test_a_place_and_an_angle_are_choices() -> None:
    """Places and angles are told as they are said."""
    text = """recipe Free marks
paper
given A, B, D anywhere, say at (0, 0), (90, 0), (30, 70.5) mm
k : line through A and B
s : line anyhow through D, say 40 deg to k
claim D is on s
"""
    assert (("D", "(30, 70.5) mm"), ("s", "40 deg")) == tuple(one for one in verdicts(text)[0].choices if one[0] in "Ds")


def test_marks_on_the_edge_and_on_a_line_are_choices() -> None:
    """A mark anywhere on the edge is told by its angle, one on a line by its length; both are on it."""
    text = """recipe On things
plate round, 240 mm across
g : line by centre finder, along the grain
V : mark anywhere on edge, say 45 deg from the grain
W : mark anywhere on g, say 30 mm
claim V is on edge
claim W is on g
claim W is on edge
"""
    edge, line, neither = verdicts(text)
    assert ("proved", (("V", "45 deg"),)) == (edge.verdict, edge.choices)
    assert ("proved", (("W", "30 mm"),)) == (line.verdict, line.choices)
    assert "refuted" == neither.verdict


def test_a_way_has_its_own_verdict() -> None:
    """The ruler on 108.65 mm reads 108.5 and marks 54.25: 3/40 mm off (language, section 1)."""
    text = """recipe Two ways
plate round, 241.3 mm across
bench ordinary, ruler graduated 0.5 mm
g : line by centre finder, along the grain
h : line by centre finder, across the grain
C : mark where g meets h
rim : circle about C, 12 mm inside the edge
B, T : marks where g meets rim
way compass
  u : arc about C, opening from C to T
  v : arc about T, same opening
  X, Y : marks where u meets v
  m : line through X and Y
  M : mark where m meets g
way ruler
  M : mark halfway from C to T, by ruler
end
claim M is halfway between C and T
"""
    assert "proved" == verdicts(text)[0].verdict
    (by_ruler,) = verdicts(text, "ruler")
    assert by_ruler.finding is not None
    assert ("refuted", "3/40 mm", 0.075, "0.07500") == (
        by_ruler.verdict, by_ruler.finding.exact, by_ruler.finding.value, by_ruler.finding.figures)  # fmt: skip


@pytest.mark.parametrize(
    ("claim", "words"),
    [
        ("C is the centre of the plate", "paper has no centre"),
        ("A is k", "two kinds"),
        ("k touches k", "two lines"),
        ("A, B, D make a square", "four corners"),
        ("angle A A B is 45 deg", "no angle"),
        ("angle A B D is 200 deg", "180 deg"),
        ("D is on the A side of k", "on the line itself"),
        ("A B is pi/4 of D A", "`pi`"),
    ],
)
def test_claims_without_sense_are_diagnostics(claim: str, words: str) -> None:
    """Each comes back with its place and a hint, and so do two at once."""
    text = f"""recipe Paper
paper
given A, B, D anywhere, say at (0, 0), (90, 0), (30, 70) mm
C : mark between A and B, by eye
k : line through A and B
claim {claim}
"""
    with pytest.raises(Mistakes) as mistakes:
        verdicts(text)
    (one,) = mistakes.value.diagnostics
    assert words in one.message + one.hint
    assert one.span is not None and 6 == one.span.line
    assert one.hint
    assert claim in one.text
    if one.code.startswith("V"):
        with pytest.raises(Mistakes) as mistakes:
            verdicts(text + f"claim {claim}\n")
        assert 2 == len(mistakes.value.diagnostics)


def test_a_limit_is_undecided_and_hides_no_other_claim() -> None:
    """Where the numbers grow too large the claim is undecided, with the reason; never proved, never refuted."""
    exact = ExactSystem(max_roots=1)
    text = "recipe Deep\npaper\ngiven A at (0, 0) mm, B at (1, 1) mm, D at (1, 2) mm, E at (2, 3) mm\n" + (
        "claim A B and A D together equal A E within 5 mm\nclaim A B is shorter than A D\n"
    )
    recipe = parse(text, actions=tools.phrases(), claims=claims.phrases(), source="trial")
    deep, other = decide(settle(make_plan(recipe), exact), exact)
    assert ("undecided", None) == (deep.verdict, deep.finding)
    assert "roots" in deep.reason
    assert not deep.holds
    assert "proved" == other.verdict


def test_what_can_not_be_told_is_undecided() -> None:
    """A test that answers None gives no verdict."""
    exact = ExactSystem()
    assert "undecided" == judge(exact, Statement(other=lambda: None)).verdict


def test_a_gap_of_nothing_behind_a_failed_zero_is_a_fault_of_ours() -> None:
    """A claim file whose zeros and gap disagree stops the program; it never proves."""
    exact = ExactSystem()
    one = exact.rational(1)
    with pytest.raises(RuntimeError):
        judge(exact, Statement(zeros=(one,), gap=lambda: Gap(one - one)))


def test_a_failure_without_a_size_is_refuted_with_a_reason() -> None:
    """No gap, no tolerance: refuted either way."""

    def none() -> Any:
        raise NoGap("they never meet")

    exact = ExactSystem()
    for tolerance in (None, Fraction(10**6)):
        answer = judge(exact, Statement(positives=(exact.rational(0),), gap=none), tolerance)
        assert ("refuted", None, "they never meet") == (answer.verdict, answer.finding, answer.reason)


def test_a_sign_that_stays_open_is_a_limit() -> None:
    """A system that can not tell a sign gives no proof."""

    class Blind(ExactSystem):
        def sign(self, value: Any) -> Any:
            return None

    exact = Blind()
    with pytest.raises(LimitMet):
        judge(exact, Statement(zeros=(exact.rational(0),)))


def test_only_within() -> None:
    """A statement that has a sense only within a tolerance says so."""
    with pytest.raises(Senseless):
        judge(ExactSystem(), Statement(only_within="only_within"))
