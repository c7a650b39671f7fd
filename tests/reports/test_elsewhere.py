"""A claim that only the choice drawn makes true: the screen says with which other choice it fails, and a picture shows it."""

from __future__ import annotations

from pathlib import Path

from construct.reports import View, _folder, elsewhere, folder_files, record, summary
from construct.study import study, with_errors

LUCKY = """\
recipe  A lucky opening
plate  round, 200 mm across
step One
  g : line by centre finder, along the grain
  h : line by centre finder, across the grain
  C : mark where g meets h
  r : opening, anything, say 40 mm
  a : circle about C, opening r
  B, D : marks where a meets h
  claim B D is 80 mm
  claim C B equals C D
"""


def test_it_is_said_and_drawn() -> None:
    """B D is twice the free opening: 80 mm at the drawn 40 mm alone.  With r = 44 mm it is 88 mm, by hand."""
    found = study(LUCKY)
    (verdict,) = [one for one in found.verdicts if one.verdict == "refuted"]
    ((line, there),) = found.elsewhere
    assert verdict.line == line
    b, d = (there.drawn[there.plan.index(name)] for name in "BD")
    opening = float(dict(verdict.choices)["r"].removesuffix(" mm"))
    assert 40 != opening
    assert abs(abs(b.x - d.x) - 2 * opening) < 1e-9
    shown = summary.claims(found, View())
    assert f"true only for the choice drawn. With r {opening:g} mm it fails by" in " ".join(shown.split())
    made = elsewhere.files(found, View())
    assert {"elsewhere-1.svg", "elsewhere-1.png"} == set(made)
    assert f"r {opening:g} mm" in made["elsewhere-1.svg"].decode()
    assert set(made) <= set(folder_files(with_errors(found, trials=50), View())) <= _folder.NAMES


def test_the_drawing_is_not_called_off() -> None:
    """Where only another choice breaks a claim, nothing is wrong with what is drawn."""
    assert "the drawing itself is off" not in summary.report(with_errors(study(LUCKY), trials=50), View())


def test_nothing_is_drawn_where_all_hold(tmp_path: Path) -> None:
    """No other choice, no picture."""
    assert {} == elsewhere.files(study("clock-dial"), View())
    assert record.prove(study(LUCKY))["claims"][0]["gap"]["choices"]
