"""Laws of patience: what takes too long is given up by name, all else is kept; work that ends is as if done here."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from flint import fmpz

from construct import patience, study
from construct.chips import subdivision
from construct.claims import _verdict
from construct.diagnostics import Mistakes
from construct.patience import GivenUp, watched
from construct.replay.settle import _Settler
from construct.reports import View, record, summary

RECIPES = Path(__file__).parents[1] / "recipes"


def _endless() -> None:
    """Work in a C library that no signal interrupts for a long time: the factors of a number of 260 bits, none small."""
    (fmpz(2) ** 127 - 1).factor()
    ((fmpz(2) ** 131 + 9) * (fmpz(2) ** 129 + 121) * (fmpz(2) ** 137 + 15)).factor()


def test_work_that_ends_gives_what_it_returns():
    """What is returned comes back, and what is raised is raised."""
    assert [1, "two"] == watched(lambda begin: [begin("a"), [1, "two"]][1], 5)
    with pytest.raises(Mistakes):
        watched(lambda begin: (_ for _ in ()).throw(Mistakes(())), 5)


def test_code_of_a_c_library_is_stopped():
    """A call that nothing interrupts ends with its process, and what had begun is told."""
    def work(begin):
        begin("first")
        begin(("second", 2))
        _endless()

    before = time.monotonic()
    assert GivenUp(("second", 2)) == watched(work, 0.5)
    assert time.monotonic() - before < 5


def test_each_thing_begun_has_the_whole_time():
    """Patience is for one step or claim, not for them all."""
    def work(begin):
        for turn in range(6):
            begin(turn)
            time.sleep(0.15)
        return "done"

    assert "done" == watched(work, 0.6)


def test_a_claim_that_takes_too_long_is_undecided(monkeypatch: pytest.MonkeyPatch):
    """The claim is undecided with its reason, neither yes nor no; the others are as without it."""
    real = _verdict._answer

    whole = study.study(RECIPES / "halve-a-side.recipe", others=False)
    line = whole.verdicts[1].line
    monkeypatch.setattr(_verdict, "_answer", lambda world, claim, values: _endless() if claim.span.line == line else real(world, claim, values))
    found = study.study(RECIPES / "halve-a-side.recipe", others=False, patience=1.0)
    assert ("undecided", "it takes longer than 1 s") == (found.verdicts[1].verdict, found.verdicts[1].reason)
    assert [one for one in whole.verdicts if one.line != line] == [one for one in found.verdicts if one.line != line]
    assert not found.holds


def test_a_step_that_takes_too_long_is_left_out(monkeypatch: pytest.MonkeyPatch):
    """What needs the step is undecided and names its line; what does not is proved; figures and records are made of the rest."""
    whole = study.study(RECIPES / "halve-a-side.recipe", others=False)
    step = whole.plan.step(whole.plan.things[whole.plan.index("M")].step)
    real = _Settler._step
    monkeypatch.setattr(_Settler, "_step", lambda self, one: _endless() if one.number == step.number else real(self, one))
    found = study.study(RECIPES / "halve-a-side.recipe", others=False, patience=1.0)
    about_m = [one for one in found.verdicts if "M" in one.text]
    assert about_m and {"undecided"} == {one.verdict for one in about_m}
    assert all(f"line {step.span.line} " in one.reason for one in about_m)
    assert [one for one in whole.verdicts if "M" not in one.text] == [one for one in found.verdicts if "M" not in one.text]
    (beyond,) = found.settled.beyond
    assert (step.span.line, True) == (beyond.span.line, "longer than 1 s" in beyond.message)
    followed = study.with_errors(study.with_indifferent(found), trials=100)
    shown = summary.report(followed, View())
    assert "NOT worked out" in shown and f":{step.span.line}:" in shown
    assert [step.span.line] == [one["line"] for one in record.report(followed)["not_worked_out"]]


def test_chips_that_take_too_long_leave_the_claims_about_marks(monkeypatch: pytest.MonkeyPatch):
    """Without its chips a recipe's other claims are still proved."""
    monkeypatch.setattr(subdivision, "arrange", lambda *_: _endless())
    found = study.study(RECIPES / "clock-dial.recipe", others=False, patience=2.0)
    assert found.carving is None
    undecided = {one.text for one in found.verdicts if one.verdict == "undecided"}
    assert undecided and all("alike" in text for text in undecided)
    assert {"proved"} == {one.verdict for one in found.verdicts if one.text not in undecided}
    assert "NOT worked out" in summary.report(study.with_errors(found, trials=100), View())


def test_without_forks_the_work_is_simply_done(monkeypatch: pytest.MonkeyPatch):
    """Where processes can not be forked nothing is given up."""
    monkeypatch.delattr(patience.os, "fork")
    assert 5 == watched(lambda begin: 5, 0.1)
