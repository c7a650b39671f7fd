"""Attack: a claim proved of other marks than those that are named in it."""

from __future__ import annotations


def test_a_mark_that_has_the_name_of_an_inner_letter(on_paper) -> None:
    """Outside letter t stands for the mark q, inside letter q for A, then B: `t, q, D` are q, B and D, and those are not in line.

    The letter's mark was looked up as a letter again, so that B, B and D were "in line".
    """
    lines = "around q as t\n  around A, B as q\n    claim t, q, D are in line\n  end\nend"
    assert ["proved", "refuted"] == on_paper("q, A, B, D at (100, 0), (50, 0), (0, 50), (10, 0)", lines).verdicts


def test_a_row_whose_marks_have_the_name_of_a_letter(on_paper) -> None:
    """The row is p, q; inside the round p stands for A: the row stays what it is, and A, p, q are not in line."""
    lines = "r : marks p, q\naround A as p\n  claim r, A are in line\nend"
    assert ["refuted"] == on_paper("p, q, A at (0, 0), (100, 0), (50, 30)", lines).verdicts


METHOD = (
    "paper\nmethod m of A, B gives P\n  r : marks A, B\n  P : mark between A and B, by eye\n  Q : mark between A and P, by eye\n"
    "  around r as p\n    claim p is {}\n  end\nend\ngiven P, Q at (0, 0), (100, 0) mm\nR : m of P and Q"
)


def test_a_row_in_a_method_is_of_the_marks_that_were_given(outcome) -> None:
    """The method's own P and Q are others than the marks of that name outside: `p is P` was proved of the wrong P."""
    assert ["refuted", "refuted"] == outcome(METHOD.format("P")).verdicts
    assert ["proved", "refuted"] == outcome(METHOD.format("A")).verdicts


def test_one_letter_for_two_neighbours(on_paper) -> None:
    """`as p, p` quietly took the second."""
    assert ["P127"] == on_paper("A, B at (0, 0), (100, 0)", "around A, B as p, p\n  claim p is A\nend").codes
