"""Each theorem with one hypothesis dropped or one step altered: refuted where drawn, or by another choice that is shown."""

from __future__ import annotations

import pytest

from construct.phrasebook import say
from construct.proofs import scope

from .conftest import NAMES, looked, text_of

ELSEWHERE = say(scope.ELSEWHERE)

Edit = tuple[str, str]

# theorem, what is altered, the claim that is lost.  True where drawn; another choice breaks it.
ELSE: tuple[tuple[str, tuple[Edit, ...], str], ...] = (
    (
        "halve-two-marks",  # the two arcs no longer at one opening
        (("b : arc about B, opening r", "q : opening, anything over half of A B, say 55 mm\n  b : arc about B, opening q"),),
        "M is halfway between A and B",
    ),
    (
        "centre-by-two-chords",
        (("v : arc about V, opening r", "q : opening, anything over half of U V, say 86 mm\n  v : arc about V, opening q"),),
        "C is the centre of the plate",
    ),
    (
        "centre-by-right-angle",  # the legs of a wrong square, which happens to be held at a right angle
        (
            (
                "leg, other_leg : legs of a square cornered at V, anyhow, say 75 deg to the grain",
                "leg : line anyhow through V, say 75 deg to the grain\n  other_leg : line anyhow through V, say 165 deg to the grain",
            ),
        ),
        "C is the centre of the plate",
    ),
    (
        "halve-an-angle",
        (("e : arc about E, opening s", "q : opening, anything over half of D E, say 35 mm\n  e : arc about E, opening q"),),
        "angle D O P equals angle P O E",
    ),
    (
        "square-at-a-mark",
        (("e : arc about E, opening t", "q : opening, anything over half of D E, say 45 mm\n  e : arc about E, opening q"),),
        "M is on k",
    ),
    (
        "square-from-a-mark",
        (("e : arc about E, opening t", "q : opening, anything over half of D E, say 50 mm\n  e : arc about E, opening q"),),
        "P is on k",
    ),
    (
        "parallel-by-compass",
        (
            ("e : circle about E, opening r", "q : opening, anything, say 58 mm\n  e : circle about E, opening q"),
            ("F : mark where c meets e, other than D", "F : mark where c meets e, farthest from D"),
        ),
        "k is parallel to s",
    ),
    (
        "tangents-from-a-mark",  # not about the middle, but about any mark between
        (("M : mark where m meets s", "M : mark anywhere on s, say 1/2 of O P"),),
        "g touches c",
    ),
    (
        "circle-in-a-triangle",
        (
            ("f : circle about F, opening r", "q : opening, anything, say 30 mm\n  f : circle about F, opening q"),
            ("G : mark where e meets f, other than A", "G : mark where e meets f, farthest from A"),
        ),
        "c touches da",
    ),
    (
        "circle-about-a-triangle",
        (("d : arc about D, opening s", "q : opening, anything over half of B D, say 55 mm\n  d : arc about D, opening q"),),
        "D is on c",
    ),
    (
        "quarters-of-a-plate",
        (("t : arc about T, opening reach", "q : opening, anything over half of B T, say 130 mm\n  t : arc about T, opening q"),),
        "g and k quarter rim",
    ),
    (
        "six-steps",  # another opening than the rim's own
        (("round rim, opening r", "round rim, opening q"), ("step Walk round", "step Walk round\n  q : opening, anything, say 90 mm")),
        "A7 is A",
    ),
    (
        "twelve-from-two-lines",  # two lines that happen to be square to each other
        (("h : line by centre finder, across the grain", "h : line by centre finder, anywhere, say 90 deg to the grain"),),
        "B, behind.L, ahead.B, L, behind.T, ahead.L, T, behind.R, ahead.T, R, behind.B and ahead.R are evenly spaced round rim",
    ),
    (
        "middles-of-four-sides",
        (("K : halving of A and B", "ab : line from A to B\n  K : mark anywhere on ab, say 1/2 of A B"),),
        "kl is parallel to nm",
    ),
    (
        "medians",
        (("M : halving of A and B", "ab : line from A to B\n  M : mark anywhere on ab, say 1/2 of A B"),),
        "k, l and m meet in one mark",
    ),
    (
        "heights",  # a line at any angle that happens to be square to the side
        (
            ("at (-45, -30), (50, -20), (10, 45)", "at (-40, -30), (50, -30), (10, 45)"),
            ("m : line square to ab, through D, by square", "m : line anyhow through D, say 180 deg to the grain"),
        ),
        "k, l and m meet in one mark",
    ),
    (
        "lines-that-halve-the-sides",
        (
            ("claim O A equals O B", "claim O A equals O B\n  claim O is on ab\n"),
            ("step Halve", "step One\n  ab : line through A and B\n\nstep Halve"),
            ("at (-45, -30), (50, -20), (10, 45)", "at (-50, 0), (50, 0), (14, 48)"),
        ),
        "O is on ab",  # Thales: of the triangle in a half circle alone
    ),
    (
        "line-of-three-middles",
        (("M : halving of A and B", "M : mark anywhere on ab, say 1/2 of A B"),),
        "H, S and O are in line",
    ),
    (
        "circle-of-nine-marks",
        (("UD : halving of H and D", "hd' : line from H to D\n  UD : mark anywhere on hd', say 1/2 of H D"),),
        "K, L, M, FA, FB, FD, UA, UB and UD are on one circle",
    ),
    (
        "feet-in-line",  # the mark no longer on the circle, though drawn there: 30, 40, 50
        (
            ("say at (0, 0), (30, -35) mm", "say at (0, 0), (30, -40) mm"),
            ("P : mark anywhere on c, say 40 deg to the grain", "P : mark anywhere, say at (40, 30) mm"),
        ),
        "X, Y and Z are in line",
    ),
    (
        "four-marks-on-a-circle",
        (
            ("r : opening, anything, say 45 mm", "r : opening, anything, say 50 mm"),
            ("E : mark anywhere on c, say 140 deg to the grain", "E : mark anywhere, say at (40, -30) mm"),
        ),
        "H X and H Y together equal H Z",
    ),
    (
        "angles-on-one-chord",
        (("W : mark anywhere on c, say 310 deg to the grain", "W : mark anywhere, say at (-36, 27) mm"),),
        "angle A V B equals angle A W B",
    ),
    (
        "two-chords-that-cross",  # the second chord in a circle of its own, drawn as large
        (
            ("say at (0, 0), (45, -5)", "say at (0, 0), (45, 0)"),
            (
                "R, S : marks where h meets c",
                "q : opening, anything, say 45 mm\n  d : circle about O, opening q\n  R, S : marks where h meets d",
            ),
        ),
        "X P times X Q equals X R times X S",
    ),
    (
        "two-rows-of-three",
        (("M : mark anywhere on g, say 40 mm", "M : mark anywhere, say at (0, 0) mm"),),
        "X, Y and Z are in line",
    ),
    (
        "two-triangles-in-view",
        (("A' : mark anywhere on a, say 75 mm", "A' : mark anywhere, say at (-70, 55) mm"),),
        "X, Y and Z are in line",
    ),
    (
        "six-marks-on-a-circle",
        (("E : mark anywhere on c, say 30 deg to the grain", "E : mark anywhere, say at (27, 36) mm"),),
        "X, Y and Z are in line",
    ),
)

# refuted where drawn, for nothing hides it there
DRAWN: tuple[tuple[str, tuple[Edit, ...], str], ...] = (
    ("centre-by-two-hooks", (("bench  ordinary", "bench  ordinary, finder blade off 1 mm"),), "C is the centre of the plate"),
    ("three-tents", (("Y, Y' : marks", "Y', Y : marks"),), "P, Q and R make a regular figure"),
    (
        "angle-in-a-half-circle",
        (("V : mark anywhere on c, say 110 deg to the grain", "V : mark anywhere on h, say 70 mm"),),
        "a is square to b",
    ),
    ("two-lines-from-outside", (("t : line through P, touching c, on the A side of O P", "z : circle about O, 33 mm by ruler\n"
                                "  t : line through P, touching z, on the A side of O P"),
                                ("T : mark where c touches t", "T : mark where z touches t")), "P Q times P R equals P T times P T"),
    ("tangents-from-a-mark", (("z : circle about M, through O", "z : circle about P, through O"),), "g touches c"),
    ("medians", (("M : halving of A and B", "M : halving of A and D"),), "k, l and m meet in one mark"),
    ("heights", (("m : line square to ab, through D", "m : line square to bd, through D"),), "k, l and m meet in one mark"),
    ("line-of-three-middles", (("om : line square to ab at M", "om : line parallel to bd, through M"),), "H, S and O are in line"),
    ("six-steps", (("A2, A3, A4, A5, A6, A7", "A2, A3, A4, A5, A6, B1, A7"),), "A7 is A"),
)  # fmt: skip


@pytest.mark.parametrize(("name", "edits", "words"), ELSE, ids=[one[0] for one in ELSE])
def test_true_only_where_drawn(name: str, edits: tuple[Edit, ...], words: str) -> None:
    """A hypothesis that only happens to hold in the picture: proved there, refuted by an allowed choice, which is shown."""
    text = text_of(name, *edits)
    assert "proved" == looked(text, over=False).claim(words).verdict
    outcome = looked(text)
    lost = outcome.claim(words)
    assert ("refuted", ELSEWHERE) == (lost.verdict, lost.reason)
    drawn = looked(text, over=False).claim(words)
    assert [one[0] for one in drawn.choices] == [one[0] for one in lost.choices]
    assert drawn.choices != lost.choices
    assert lost.finding is not None and lost.finding.value
    # the same again: nothing in the search is left to chance
    assert lost == looked(text).claim(words)


@pytest.mark.parametrize(("name", "edits", "words"), DRAWN, ids=[one[0] for one in DRAWN])
def test_refuted_where_drawn(name: str, edits: tuple[Edit, ...], words: str) -> None:
    """A step altered is seen at once: refuted for the numbers drawn."""
    lost = looked(text_of(name, *edits)).claim(words)
    assert ("refuted", "") == (lost.verdict, lost.reason)
    assert lost.finding is not None and lost.finding.value


def test_every_theorem_is_altered() -> None:
    """No theorem is without an alteration that loses it."""
    assert set(NAMES) == {one[0] for one in (*ELSE, *DRAWN)}
