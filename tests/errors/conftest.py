"""Lays recipes out for the error tests; claims are left out, they make no error."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest

from construct import tools
from construct.chips import Carving
from construct.chips.subdivision import carve
from construct.errors import Errors, analyse
from construct.errors.measurands import LayoutFormula, make_formula
from construct.language.parser import parse
from construct.number_systems.exact import ExactSystem
from construct.plan import Plan
from construct.plan.planner import make_plan
from construct.replay import Settled, settle
from construct.shelf import shelf

HEAD = "plate round, 200 mm across\nbench ordinary\nstep Do it\n"

EVERY_PHRASE = HEAD.replace("ordinary", "ordinary, class II") + """\
  g : line by centre finder, along the grain
  h : line by centre finder, across the grain
  f : line by centre finder, at 30 deg to the grain
  f2 : line by centre finder, anywhere, say 50 deg to the grain
  C : mark where g meets h
  rim : circle about C, 20 mm inside the edge
  B, T : marks where g meets rim
  L, R : marks where h meets rim
  A : mark anywhere, say at (30, 20) mm
  D : mark anywhere outside rim, say at (60, 70) mm
  E : mark anywhere on rim, say 40 deg to the grain
  w : length from L to T, by ruler
  o1 : opening, from C to A
  o2 : opening, 28 mm by ruler
  o3 : opening, anything over half of B T, say 90 mm
  c1 : circle about C, through A
  c2 : circle about A, opening o2
  c3 : arc about C, through A
  c4 : arc about A, opening o3
  c5 : circle about A, touching g
  c6 : circle about D, touching rim, from outside
  c7 : circle about A, touching rim, from inside
  K : mark where c6 touches rim
  a1 : arc about C, from L to T
  a2 : arc about C, from L to T, the long way
  H : mark halfway from C to T, by ruler
  m1 : mark 30 mm from C toward R, by ruler
  m2 : mark 20 mm from C along g, nearest T, by ruler
  m3 : mark 5 mm outside rim, along g, nearest T, by ruler
  m4 : mark 5 mm inside rim, along g, nearest T, by ruler
  e1, e2 : marks every 10 mm from C toward R, by ruler
  p1 : line parallel to g, 10 mm away on the R side, by ruler
  p2 : line parallel to g, 10 mm away, away from R, by ruler
  p3 : line parallel to g, 10 mm away on the R side, by eye
  p4 : line parallel to g, 10 mm away, away from R, by eye
  y1 : mark between L and T, by eye
  y2 : curve from L to T, by eye
  s1, s2 : marks stepped from T round rim, opening o2
  s3, s4 : marks stepped from T round rim, opening o2, to the right
  s5, s6 : marks stepped from C along g, toward T, opening o2
  d1, d2 : marks dividing L R, by dividers
  q1 : line square to g at C, by square
  q2 : line square to g, through A, by square
  q3 : line parallel to g, through A, by square
  q4, q5 : legs of a square cornered at A, anyhow, say 40 deg to the grain
  t1 : circle by template about A, 20 mm across
  t2 : circle by template across C m1
  k1, k2, k3, k4 : marks at the ticks of t1, along g
  v1 : curve by french curve from L to T, leaving along h, arriving toward R
  v2 : curve by french curve from L to T, leaving along h, arriving along g
  v3 : curve by french curve from L to T, leaving toward B, arriving toward R
  v4 : curve by french curve from L to T, leaving toward B, arriving along g
  v5 : v1 flipped over g, by french curve
  l1 : line through L and A
  l2 : line from C to A
  l3 : line through D, touching rim, nearest T
  l4 : line anyhow through A, say 20 deg to the grain
  trio : marks L, T, R
"""


@dataclass(frozen=True)
class Laid:
    """A settled recipe with its chips and its formula."""

    settled: Settled
    carving: Carving | None
    exact: Any

    @property
    def plan(self) -> Plan:
        return self.settled.plan

    def formula(self) -> LayoutFormula:
        return make_formula(self.settled, self.carving, self.exact)[0]

    def analyse(self, **options: Any) -> Errors:
        return analyse(self.settled, self.carving, self.exact, **options)


def _lay(text: str, way: str | None = None) -> Laid:
    """Lay a recipe out."""
    text = "\n".join("" if line.strip().startswith("claim ") else line for line in text.splitlines()) + "\n"
    exact = ExactSystem()
    settled = settle(make_plan(parse(text, actions=tools.phrases(), claims=(), source="trial"), way=way), exact)
    return Laid(settled, carve(settled, exact), exact)


def _lay_shipped(name: str, way: str) -> Laid:
    return _lay((shelf() / f"{name}.recipe").read_text(encoding="utf-8"), way)


@pytest.fixture(scope="session")
def lay() -> Callable[..., Laid]:
    """Lays a recipe's steps out on a round plate of 200 mm; `head` stands in for the plate and bench lines."""

    def one(steps: str, head: str = HEAD, way: str | None = None) -> Laid:
        return _lay(head + steps, way)

    return one


@pytest.fixture(scope="session")
def lay_shipped() -> Callable[[str, str], Laid]:
    """Lays a shipped recipe out by one of its ways."""
    return _lay_shipped


@pytest.fixture(scope="session")
def dial() -> Laid:
    """The shipped clock dial."""
    return _lay_shipped("clock-dial", "compass")


@pytest.fixture(scope="session")
def dial_errors(dial: Laid) -> Errors:
    """Its errors, with few trials."""
    return dial.analyse(trials=8192, seed=11)


@pytest.fixture(scope="session")
def every() -> Laid:
    """A layout that uses every phrase of every tool."""
    return _lay(EVERY_PHRASE)
