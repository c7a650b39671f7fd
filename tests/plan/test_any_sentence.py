"""Sentences put together at random: whatever reads well is laid out, decided, or answered with a diagnostic; it never breaks."""

from __future__ import annotations

import random

import pytest

from construct import claims, tools
from construct.diagnostics import Mistakes
from construct.language.phrases import pieces
from construct.language.syntax import Phrase, Slot
from construct.study import study

BLANKS = {
    "paper": ("paper\ngiven A, B, D at (0, 0), (60, 0), (20, 30) mm", ["A", "B", "D"]),
    "round": ("plate round, 200 mm across", []),
    "open": ("plate round, anything across, say 150 mm", []),
    "oval": ("plate round, 200 mm across\nbench oval 1 mm across the grain", []),
    "board": ("board 300 mm by 200 mm", ["SW", "SE", "NE", "NW"]),
}


class Hand:
    """Writes sentences with names that fit, from a seed."""

    def __init__(self, seed: int, marks: list[str]) -> None:
        self.random = random.Random(seed)
        self.made = {kind: [] for kind in ("mark", "line", "circle", "opening", "reading", "curve", "row", "chip")}
        self.made["mark"] = list(marks)
        self.made["edge"] = ["edge"]
        self.count = 0

    def action(self, phrase: Phrase) -> str | None:
        """Return an action; what it makes counts as made, even where it can not be done."""
        said = self._sentence(phrase)
        if said is None:
            return None
        many = 1 if phrase.gives == "row" else phrase.many or self.random.choice([1, 2, 3])
        names = [f"x{self.count + number}" for number in range(many)]
        self.count += many
        self.made[phrase.gives] += names
        return f"  {', '.join(names)} : {said}\n"

    def claim(self, phrase: Phrase) -> str | None:
        """Return a claim."""
        said = self._sentence(phrase)
        return None if said is None else f"  claim {said}{self.random.choice(['', '', ' within 0.2 mm', ' within 1 %', ' within 1 deg'])}\n"

    def _sentence(self, phrase: Phrase) -> str | None:
        text = ""
        for piece in pieces(phrase.text):
            part = self._filling(piece) if isinstance(piece, Slot) else piece
            if part is None:
                return None
            text += part if part.startswith(",") or not part else f" {part}"
        return text.strip()

    def _filling(self, slot: Slot) -> str | None:
        pick = self.random.choice
        fitting = [name for kind in slot.kinds or self.made for name in self.made[kind]]
        marks, lines, circles = self.made["mark"], self.made["line"], self.made["circle"]
        match slot.reads:
            case "name":
                return pick(fitting) if fitting else None
            case "names":
                return ", ".join(pick(fitting) for _ in range(pick([2, 3, 4, 5]))) if fitting else None
            case "length":
                readings = self.made["reading"]
                return pick(
                    ["5 mm", "40 mm", "0 mm", "70 mm", "1/2 in", "half of 9 mm", *readings, *(f"{one} less 3 mm" for one in readings)]
                )
            case "measure":
                return pick(["16 mm", "0.5 mm", "7.5 mm", "90 mm"])
            case "angle":
                return pick(["30 deg", "45 deg", "72 deg", "0 deg", "1/17 of a turn", "40 deg", "180 deg", "400 deg"])
            case "ratio":
                return pick(["1/2", "sqrt(2)", "3/4", "(1 + sqrt(5))/2", "sqrt(1 - 2)", "pi", "0"])
            case "setting":
                named = [f"opening {one}" for one in self.made["opening"]]
                between = [f"opening from {pick(marks)} to {pick(marks)}"] if marks else []
                return pick(["40 mm by ruler", "0 mm by ruler", "same opening", *named, *between])
            case "picks":
                words = [""]
                if marks:
                    words += [
                        f", nearest {pick(marks)}",
                        f", farthest from {pick(marks)}",
                        f", away from {pick(marks)}",
                        f", other than {pick(marks)}",
                    ]
                    words += [f", on the {pick(marks)} side of {pick(marks)} {pick(marks)}"]
                    words += [f", on the {pick(marks)} side of {pick(lines)}"] if lines else []
                words += [f", {pick(['inside', 'outside'])} {pick(circles)}"] if circles else []
                return pick([*words, ", inside edge"])
            case "say":
                words = ["", ", say 30 deg", ", say 40 deg to the grain", ", say 25 mm", ", say at (10, 20) mm"]
                words += [f", say 50 deg to {pick(lines)}"] if lines else []
                return pick([*words, f", say 1/3 of {pick(marks)} {pick(marks)}"] if marks else words)
            case "bound":
                words = ["anything"]
                words += (
                    [f"anything over half of {pick(marks)} {pick(marks)}", f"anything under {pick(marks)} {pick(marks)}"] if marks else []
                )
                return pick(words)
        raise AssertionError(slot.reads)


@pytest.mark.parametrize("blank", sorted(BLANKS))
def test_a_random_recipe_never_breaks(blank: str) -> None:
    """Each seed's recipe ends in verdicts or in diagnostics with codes and words, whatever it says."""
    actions, said = tools.phrases(), claims.phrases()
    head, marks = BLANKS[blank]
    answered = laid_out = 0
    for seed in range(40):
        hand = Hand(seed, marks)
        lines = [f"recipe Random\n{head}\nstep S\n"]
        for _ in range(hand.random.randint(1, 9)):
            line = hand.action(hand.random.choice(actions))
            lines += [line] if line else []
        for _ in range(2):
            line = hand.claim(hand.random.choice(said))
            lines += [line] if line and hand.random.random() < 0.5 else []
        text = "".join(lines)
        try:
            study(text, others=False)
            laid_out += 1
        except Mistakes as wrong:
            answered += 1
            for one in wrong.diagnostics:
                assert one.code[0] in "TPRV" and one.code[1:].isdigit(), text
                assert one.message, text
    # both happen, else the hand writes nothing worth reading
    assert answered > 0
    assert laid_out > 0
