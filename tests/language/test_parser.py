"""What the parser makes of texts that are right."""

from __future__ import annotations

from fractions import Fraction

import pytest

from construct.diagnostics import Mistakes, Span
from construct.language.syntax import (
    Action,
    Alias,
    Angle,
    BenchLine,
    Carve,
    CarveLine,
    ClaimLine,
    Combined,
    Distance,
    Given,
    Heading,
    Measure,
    MethodUse,
    Name,
    NameRange,
    Names,
    Part,
    Ratio,
    Round,
    Say,
    Ways,
)  # fmt: skip


def _one(language, line: str):
    """Return the single statement of a recipe on paper."""
    (statement,) = language.parse(f"paper\n{line}\n").statements
    return statement


def _filling(language, line: str, number: int = 0):
    return _one(language, line).fillings[number]


def test_the_dial(language, read_fixture):
    """The worked example of the language reads as what it says, counted by hand."""
    recipe = language.parse(read_fixture("clock_dial.recipe"), "dial.recipe")
    assert "Clock dial with twelve leaves" == recipe.title
    # 9 1/2 in across: 9.5 × 25.4 mm = 241.3 mm (the inch is 25.4 mm exactly: international yard and pound, 1959).
    assert Fraction(2413, 10) == recipe.blank.width.mm
    assert ("round", "basswood", Fraction(15)) == (recipe.blank.form, recipe.blank.wood, recipe.blank.thickness.mm)
    assert [("level", "ordinary"), ("ruler graduated", Fraction(1, 2))] == [
        (line.key, line.value.mm if isinstance(line.value, Measure) else line.value) for line in recipe.bench
    ]
    kinds = [type(statement) for statement in recipe.statements]
    assert (6, 15, 8, 1, 4, 1, 3) == tuple(kinds.count(kind) for kind in (Heading, Action, ClaimLine, Ways, Round, Carve, CarveLine))
    ways = next(statement for statement in recipe.statements if isinstance(statement, Ways))
    assert [("compass", 5), ("ruler", 1)] == [(way.name.text, len(way.block)) for way in ways.ways]
    last = recipe.statements[-1]
    assert "leaf.B and leaf.T are alike" == last.text
    assert Span(69, 3, 33, "dial.recipe") == last.span
    assert 69 == len(recipe.lines)


def test_the_phrase_comes_back_itself(language):
    """A record holds the very phrase it was read with, and one filling for each slot, in order."""
    action = _one(language, "f : line by centre finder, anywhere")
    phrase = next(one for one in language.actions if one.text == "line by centre finder, anywhere<say>")
    assert action.phrase is phrase
    assert (None,) == action.fillings
    mark = _one(language, "M : mark where u meets v")
    assert (Name("u", Span(2, 16)), Name("v", Span(2, 24)), ()) == mark.fillings


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("12 mm", Fraction(12)),
        ("12mm", Fraction(12)),
        ("2.5 cm", Fraction(25)),
        ("0.1 mm", Fraction(1, 10)),
        ("1/2 in", Fraction(127, 10)),
        ("7 15/16 in", Fraction(127 * 127, 80)),  # 127/16 in at 127/5 mm
        ("7  15 / 16in", Fraction(127 * 127, 80)),
    ],
)
def test_lengths_are_exact(language, text, mm):
    """A written length is one word, exact, with an inch of 25.4 mm."""
    assert mm == _filling(language, f"o : opening, {text} by ruler").mm


@pytest.mark.parametrize(("text", "turns"), [("45 deg", "1/8"), ("7 1/2 deg", "1/48"), ("3/17 of a turn", "3/17"), ("0.36 deg", "1/1000")])
def test_angles_are_exact(language, text, turns):
    """A written angle is an exact part of a turn."""
    assert Fraction(turns) == _filling(language, f"f : line by centre finder, at {text} to the grain").turns


def test_lengths_are_put_together(language):
    """`half of` binds closer than `less` and `and`, which go from left to right."""
    length = _filling(language, "o : opening, half of w less 1/3 of 5 mm and r by ruler")
    match length:
        case Combined(Combined(Part(half, Name("w")), -1, Part(third, Measure())), 1, Name("r")):
            assert (Fraction(1, 2), Fraction(1, 3)) == (half, third)
        case _:
            pytest.fail(repr(length))
    match _filling(language, "o : opening, anything over 2/3 of A B less w, say P to g"):
        case object(side="over", length=Combined(Part(_, Distance()), -1, Name("w"))):
            pass
        case other:
            pytest.fail(repr(other))


def test_ratios_keep_their_order(language):
    """Ratios bind as usual: `*` and `/` before `+` and `-`, from left to right."""
    ratio = _filling(language, "claim A B is 1 - 2 - 3*sqrt(5)/-(1 + pi) of D E within 1 %", 2)
    match ratio:
        case Ratio("-", parts=(Ratio("-"), Ratio("/", parts=(Ratio("*"), Ratio("neg", parts=(Ratio("+"),)))))):
            pass
        case _:
            pytest.fail(repr(ratio))


@pytest.mark.parametrize(
    ("text", "within"),
    [("0.2 mm", Fraction(1, 5)), ("0.5 %", Fraction(1, 200)), ("0.36 deg", Fraction(1, 1000)), ("1/100", "/"), ("0", "number")],
)
def test_every_claim_may_have_a_tolerance(language, text, within):
    """Lengths in mm, percent as a fraction, angles in turns, and a plain ratio."""
    found = _one(language, f"claim A, B are alike within {text}").within
    match found:
        case Measure():
            assert within == found.mm
        case Angle():
            assert within == found.turns
        case Ratio():
            assert within == found.op
        case Fraction():
            assert within == found


def test_lists(language):
    """Lists with commas, with `and`, and with `p1 to p16` inside."""
    names = _filling(language, "dial : marks A, p1 to p16, B.x, and D")
    assert ["A", ("p1", "p16"), "B.x", "D"] == [
        (one.first.text, one.last.text) if isinstance(one, NameRange) else one.text for one in names.items
    ]
    assert isinstance(_one(language, "q1 to q4 : marks at the ticks of z, along k").names.items[0], NameRange)


def test_a_line_that_ends_in_a_comma_goes_on(language):
    """A comma at the end carries on to the next line that is not a comment; places are right in each."""
    action = _one(language, "dial : marks A,  # the first\n  # not the last\n\n  B,\n  D")
    assert [(2, 14), (5, 3), (6, 3)] == [(one.span.line, one.span.column) for one in action.fillings[0].items]


def test_names_that_are_words(language):
    """A recipe whose marks are called `line`, `mark`, `one`, `halfway`, `square`, `ruler` is read as it is meant."""
    recipe = language.parse(
        """paper
given line, mark anywhere
halfway : mark halfway from line to mark, by ruler
one : mark where line meets mark
ruler : length from one to mark, by ruler
square : line square to line, through mark, by square
claim one is halfway
claim halfway is halfway between one and mark
claim halfway is one
claim square is square to line
claim mark, one, line are on one circle
step : mark
"""
    )
    claims = [one for one in recipe.statements if isinstance(one, ClaimLine)]
    texts = [(one.phrase.text.split()[-1], tuple(item.text for item in one.fillings if isinstance(item, Name))) for one in claims]
    assert ("mark|line|circle>", ("one", "halfway")) == texts[0]
    assert ("mark>", ("halfway", "one", "mark")) == texts[1]
    assert ("mark|line|circle>", ("halfway", "one")) == texts[2]
    assert ("line>", ("square", "line")) == texts[3]
    assert isinstance(recipe.statements[-1], Alias)


def test_a_phrase_word_is_a_name_only_where_it_is_made(language):
    """`claim M is halfway` without a mark of that name is a sentence cut short, not a claim about `halfway`."""
    with pytest.raises(Mistakes) as caught:
        language.parse("paper\nclaim M is halfway\n")
    assert ["T107"] == [one.code for one in caught.value.diagnostics]


def test_claim_is_one(language):
    """`O is one` speaks of a mark called one."""
    claim = _one(language, "claim O is one")
    assert ["O", "one"] == [one.text for one in claim.fillings]


def test_methods(language):
    """What a method gives is said in its first line, or in a line of its own."""
    first = language.parse("paper\nmethod halving of A and B gives M, N\n  claim M is N\nend\n").methods
    second = language.parse("paper\nmethod halving of A and B, gives M, N\n  claim M is N\nend\n").methods
    third = language.parse_methods("# a file\nmethod halving of A and B\n  claim M is N\n  gives M, N\nend\n")
    assert (1, 1, 1) == (len(first), len(second), len(third))
    for (method,) in (first, second, third):
        assert ("halving", ["A", "B"], ["M", "N"], 1) == (
            method.name.text,
            [one.text for one in method.parameters.items],
            [one.text for one in method.gives.items],
            len(method.block),
        )
    use = _one(language, "M, N : halving of O and T")
    assert isinstance(use, MethodUse) and isinstance(use.arguments, Names)


def test_a_file_of_methods_holds_nothing_else(language):
    """Drawing, blanks and steps in a file of methods are told off."""
    with pytest.raises(Mistakes) as caught:
        language.parse_methods("paper\nk : line through P and Q\nstep One\nbench ordinary\nclaim A is B\naround A as p\nend\n")
    assert ["T120"] * 6 == [one.code for one in caught.value.diagnostics]


def test_rounds(language):
    """A round closes unless it is said to stand in a row."""
    closed = _one(language, "around A, B, D as p, q\n  claim p is q\nend")
    row = _one(language, "around A, B, D in a row as p, q and r\nend")
    assert isinstance(closed, Round) and isinstance(row, Round)
    assert (True, False) == (closed.closed, row.closed)
    assert ["p", "q", "r"] == [letter.text for letter in row.letters]


def test_bench_lines(language):
    """Each wish about the bench has a key in plain words and an exact value."""
    recipe = language.parse(
        "paper\n"
        "bench careful, compass set within 0.1 mm, class II, from my-bench.toml\n"
        "bench oval 0.8 mm across the grain, finder V 120 deg, finder blade off 1 mm, compass to 180 mm\n"
        'bench template from 1 mm to 40 mm by 1/2 mm, ruler to 300 mm, pencil 0.5 mm, from "of mine/b.toml"\n'
        "moisture 9 % when turned, 12.5 % now\n"
    )

    def plain(value):
        match value:
            case Measure():
                return value.mm
            case Angle():
                return value.turns
            case tuple():
                return tuple(plain(one) for one in value)
        return value

    assert [
        ("level", "careful"),
        ("compass set within", Fraction(1, 10)),
        ("ruler class", "II"),
        ("from", "my-bench.toml"),
        ("oval across the grain", Fraction(4, 5)),
        ("finder V", Fraction(1, 3)),
        ("finder blade off", Fraction(1)),
        ("compass to", Fraction(180)),
        ("template", (Fraction(1), Fraction(40), Fraction(1, 2))),
        ("ruler to", Fraction(300)),
        ("pencil", Fraction(1, 2)),
        ("from", "of mine/b.toml"),
        ("moisture", (Fraction(9, 100), Fraction(1, 8))),
    ] == [(line.key, plain(line.value)) for line in recipe.bench]
    assert all(isinstance(line, BenchLine) for line in recipe.bench)


def test_given(language):
    """Marks given apart, anywhere, and at places; a unit holds for the places before it."""
    recipe = language.parse(
        "paper\ngiven A, B, 100 mm apart\ngiven D, E anywhere, say at (0, 1/2), (3, 4) cm\n"
        "given F at (0, 0), G and H at (1/2, 3), (-2, 5) mm\n"
    )
    apart, anywhere, at = recipe.given
    assert (2, (), Fraction(100)) == (len(apart.names), apart.places, apart.spread.mm)
    assert (True, 2, "*") == (anywhere.free, len(anywhere.places), anywhere.places[0].x.op)
    assert (False, ["F", "G", "H"], "neg") == (at.free, [name.text for name in at.names], at.places[2].x.op)
    assert all(isinstance(one, Given) for one in recipe.given)


def test_carving(language):
    """Each carve line keeps its words and what it speaks of, in order."""
    recipe = language.parse(
        "paper\ncarve\ncut c.p inside c.q\ncut ring\ncut s from A to B\ncut z from X to Y, the long way\n"
        "groove rim, 1.5 mm wide\nleaf.p : chip inside c.p and c.q\nl : chip that holds n\nm : chip with corners O, A, B\n"
        "leave the chip that holds C\nknife 65 deg\nknife 65 deg and 55 deg on c.p\ndeepest 6 mm\nland at least 1 mm\n"
        "cut on the line\ncut inside\ncut outside\n"
    )
    found = [(line.how, line.words, len(line.parts)) for line in recipe.statements if isinstance(line, CarveLine)]
    assert [
        ("cut", ("inside",), 2),
        ("cut", (), 1),
        ("cut", ("from", "to"), 3),
        ("cut", ("from", "to", "the long way"), 3),
        ("groove", ("wide",), 2),
        ("chip", ("inside",), 1),
        ("chip", ("that holds",), 1),
        ("chip", ("with corners",), 1),
        ("leave", ("that holds",), 1),
        ("knife", (), 1),
        ("knife", ("and", "on"), 3),
        ("deepest", (), 1),
        ("land", (), 1),
        ("stand", ("on",), 0),
        ("stand", ("inside",), 0),
        ("stand", ("outside",), 0),
    ] == found


def test_say(language):
    """A picture's angle is measured from the grain, or from a line that is named."""
    grain = _filling(language, "V : mark anywhere on edge, say 40 deg from the grain", 1)
    line = _filling(language, "s : line anyhow through A, say 35 deg to g", 1)
    alone = _filling(language, "s : line anyhow through A, say 35 deg", 1)
    assert isinstance(grain, Say)
    assert (None, "g", None) == (grain.towards, line.towards.text, alone.towards)
    place = _filling(language, "M : mark anywhere, say at (30, 70) mm").value
    assert (30, 70) == (place.x.value, place.y.value)


def test_titles_are_free_text(language):
    """Titles may hold any words; a comment ends them; a mark may be called `step` all the same."""
    recipe = language.parse("recipe  To be, or: not  # really\npaper\nstep Halve a, then b: 9 1/2\nstep : line through A and B\n")
    assert "To be, or: not" == recipe.title
    assert [Heading, Action] == [type(one) for one in recipe.statements]
    assert "Halve a, then b: 9 1/2" == recipe.statements[0].title
