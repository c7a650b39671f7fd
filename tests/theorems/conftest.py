"""The bank of theorems: recipes looked at over every free choice, as shipped or with lines altered."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from construct.chips.subdivision import carve
from construct.claims import Verdict
from construct.claims._verdict import decide
from construct.number_systems.exact import ExactSystem
from construct.plan.planner import make_plan
from construct.proofs.scope import widen
from construct.replay import Settled, settle
from construct.study import load

BANK = Path(__file__).parents[2] / "recipes" / "theorems"
NAMES = tuple(sorted(path.stem for path in BANK.glob("*.recipe")))


@dataclass(frozen=True, slots=True)
class Looked:
    """A recipe settled, decided, and looked at over its free choices; no certificates."""

    settled: Settled
    exact: ExactSystem
    verdicts: tuple[Verdict, ...]

    def __getitem__(self, name: str) -> Any:
        return self.settled.values[self.settled.plan.index(name)]

    def at(self, name: str) -> tuple[float, float]:
        """Return where a mark lies, in floats."""
        mark = self[name]
        return self.exact.to_float(mark.x), self.exact.to_float(mark.y)

    def claim(self, words: str) -> Verdict:
        """Return the verdict on the claim with these words."""
        (found,) = [one for one in self.verdicts if one.text == words]
        return found


def looked(text: str, *, over: bool = True) -> Looked:
    """Look at a recipe's text; `over` is False to leave it at the drawn example."""
    recipe, methods = load(text)
    exact = ExactSystem()
    settled = settle(make_plan(recipe, methods=methods), exact)
    carving = carve(settled, exact)
    verdicts = decide(settled, exact, carving)
    return Looked(settled, exact, widen(settled, exact, carving, verdicts) if over else verdicts)


def text_of(name: str, *edits: tuple[str, str]) -> str:
    """Return a theorem's recipe with lines altered; each old text must be there, once."""
    text = (BANK / f"{name}.recipe").read_text(encoding="utf-8")
    for old, new in edits:
        assert text.count(old) == 1, f"{name}: {old!r} stands there {text.count(old)} times"
        text = text.replace(old, new)
    return text
