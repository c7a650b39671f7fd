"""Parsing what is printed gives the same records, and printing again gives the same text."""

from __future__ import annotations

import re
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from construct.language.printer import fill, print_claim, print_methods, print_recipe
from construct.language.syntax import Action, ClaimLine

# Names, lengths and the like that a random recipe is filled with.
NAMES = ("A", "B", "leaf.B", "a.m.p", "halfway", "line", "one", "x_1'", "edge")
RATIOS = ("1", "0.25", "3/4", "half", "sqrt(2)", "(1 + sqrt(5))/2", "-(1 - 2)/3", "1 - (2 - 3)", "2/(3*4)", "2*(3/4)", "--1",
          "-sqrt(2)*3", "(1 + 2)*(3 - -4)", "-(2*3)")  # fmt: skip
LENGTHS = ("12 mm", "7 15/16 in", "w", "half of w", "1/3 of half of w", "w less 5 mm", "half of w and 2.5 cm less r")
REACHES = (*LENGTHS, "A B", "P to g", "2/3 of A B less w", "A B and D E")
ANGLES = ("45 deg", "7 1/2 deg", "3/17 of a turn")
SAYS = ("", ", say {reach}", ", say {angle} to {name}", ", say {angle} to the grain", ", say {angle} from the grain",
        ", say at ({ratio}, {ratio}) mm", ", say at ({ratio}, {ratio}) in")  # fmt: skip
PICKS = ("", ", nearest {name}", ", on the {name} side of {name}", ", on the {name} side of {name} {name}, away from {name}",
         ", farthest from {name}, inside {name}", ", outside {name}, other than {name}")  # fmt: skip
LISTS = ("{name}", "{name}, {name}", "{name} and {name}", "{name}, p1 to p9 and {name}", "p1 to p16")
SETTINGS = ("opening {name}", "opening from {name} to {name}", "same opening", "{length} by ruler")
BOUNDS = ("anything", "anything over {reach}", "anything under {reach}")
WITHIN = ("", " within 0.2 mm", " within 0.5 %", " within 1/3 %", " within 0.1 deg", " within 1/100", " within 3/17 of a turn")
CHOICES = {
    "ratio": [one for one in RATIOS if one != "half"], "length": LENGTHS, "reach": REACHES, "angle": ANGLES, "say": SAYS,
    "picks": PICKS, "names": LISTS, "setting": SETTINGS, "bound": BOUNDS, "name": NAMES, "measure": ("12 mm", "7 15/16 in"),
}  # fmt: skip
CARVING = ("cut {name} inside {name}", "cut {name} outside {name}", "cut {name}", "cut {name} from {name} to {name}",
           "cut {name} from {name} to {name}, the long way", "groove {name}, {measure} wide", "groove {name}",
           "groove {name} from {name} to {name}, the long way, {measure} wide", "b : chip inside {names}",
           "b : chip inside {names}, outside {names}", "b : chip that holds {name}", "b : chip with corners {names}",
           "leave the chip that holds {name}", "b : chip with corners {names}, on the {name} side of {name}",
           "leave the chip inside {names}, outside {names}, on the {name} side of {name} {name}", "groove {name} inside {name}",
           "groove {name} outside {name}, {measure} wide", "knife 65 deg", "knife 65 deg and {angle} on {name}",
           "knife {angle} on {name}, other walls upright", "deepest {measure}",
           "land at least {measure}", "cut on the line", "cut inside", "cut outside")  # fmt: skip
BLANKS = ("paper", "plate round, {measure} across", "plate round, anything across, say {measure}", "plate round, anything across",
          "plate round, {measure} across, {measure} thick, black walnut", "board {measure} by {measure}, lime",
          "board {measure} by {measure}, {measure} thick")  # fmt: skip
BENCHES = ("bench careful, ruler graduated 0.5 mm, class II", "moisture 9 % when turned, 12.25 % now", "bench finder blade off 1 mm",
           "bench from my-bench.toml, template from 1 mm to 40 mm by 1/2 mm", "bench oval 0.8 mm across the grain, finder V 120 deg",
           'bench from "of mine/b.toml"')  # fmt: skip
GIVEN = ("given A, B, {measure} apart", "given A, B anywhere", "given A, B anywhere, say at ({ratio}, {ratio}), ({ratio}, 0) mm",
         "given A at ({ratio}, {ratio}) cm, B at (-1, 1/2) mm")  # fmt: skip


def _fill(random: Random, text: str) -> str:
    text = re.sub(r"<(?:\w+ )?([\w|]+)>", lambda match: "{" + _reading(match[1]) + "}", text)
    while "{" in text:
        text = re.sub(r"\{(\w+)\}", lambda match: random.choice(CHOICES[match[1]]), text)
    return text.replace(" ,", ",")


def _reading(what: str) -> str:
    if what in CHOICES:
        return what
    return "names" if all(kind.endswith("s") for kind in what.split("|")) else "name"


def _claim(random: Random, language) -> str:
    text = random.choice(language.claims).text.replace("<r ratio> of", f"{random.choice(RATIOS)} of")
    return f"claim {_fill(random, text)}{random.choice(WITHIN)}"


def _lines(random: Random, language, depth: int, *, in_way: bool = False) -> list[str]:
    lines = []
    for _ in range(random.randrange(1, 5)):
        match random.randrange(8):
            case 0 if depth < 4:
                names = random.choice(("A, B, D", "dial", "p1 to p4 and A"))
                row = random.choice((" in a row", ""))
                lines += [f"around {names}{row} as {random.choice(('p', 'p, q', 'p and q'))}", *_lines(random, language, depth + 1), "end"]
            case 1 if depth < 4 and not in_way:  # a `way` in a way is the next way
                ways = [["way " + name, *_lines(random, language, depth + 1, in_way=True)] for name in ("compass", "ruler", "one")]
                lines += [line for way in ways for line in way] + ["end"]
            case 2:
                lines.append(_claim(random, language))
            case 3:
                lines.append("line : one")
            case 4:
                lines.append("M, N : halving of O and p1 to p3")
            case _:
                names = random.choice(("M", "halfway", "A, B", "p1 to p4", "a.p"))
                lines.append(f"{names} : {_fill(random, random.choice(language.actions).text)}")
    return lines


def _recipe(random: Random, language) -> str:
    lines = [random.choice(("recipe  Leaves: one, two", "# no title")), _fill(random, random.choice(BLANKS))]
    lines += random.sample(BENCHES, random.randrange(3)) + random.choice(([], ["use methods/halving"]))
    if random.random() < 0.5:
        lines += ["method halving of A and B gives M", *_lines(random, language, 1), "end"]
    lines.append("given line, halfway, one anywhere")  # names that are also words of phrases must be made
    if random.random() < 0.5:
        lines.append(_fill(random, random.choice(GIVEN)))
    for title in random.choice(((), ("Find, the centre",), ("One", "Two : three"))):
        lines += [f"step {title}", *_lines(random, language, 0)]
    if random.random() < 0.5:
        lines += ["carve"] + [_fill(random, random.choice(CARVING)) for _ in range(4)]
        lines += ["around dial as p, q", "  cut c.p inside c.q", "end", _claim(random, language)]
    return "\n".join(lines) + "\n"


@settings(max_examples=200, deadline=None, derandomize=True)
@given(seed=st.integers(0, 2**32))
def test_parse_and_print_are_inverse(language, bare, seed):
    """parse ∘ print = identity on records, places aside; print ∘ parse = identity on printed text."""
    recipe = language.parse(_recipe(Random(seed), language))
    printed = print_recipe(recipe)
    again = language.parse(printed)
    assert bare(recipe) == bare(again)
    assert printed == print_recipe(again)


def test_the_dial_is_printed_as_written(language, read_fixture):
    """A recipe in the tidy way is printed as it stands, but for the bench, which gets a line a wish."""
    text = read_fixture("clock_dial.recipe")
    expected = text.replace("bench   ordinary, ruler graduated 0.5 mm", "bench   ordinary\nbench   ruler graduated 0.5 mm")
    assert expected == print_recipe(language.parse(text))


@pytest.mark.parametrize(
    ("written", "tidy"),
    [
        ("claim  A   B is half of D E", "A B is half of D E"),
        ("claim A B is 12mm within 0.50 %", "A B is 12 mm within 0.5 %"),
        ("claim A, B, D are in line", "A, B and D are in line"),
        ("claim leaf.B and leaf.T are alike", "leaf.B and leaf.T are alike"),
        ("claim A B is ((1)+(2))*3 of D E", "A B is (1 + 2) * 3 of D E"),
    ],
)
def test_claims_in_the_tidy_way(language, written, tidy):
    """A claim's own text is the tidy one, whatever the spacing it was written with."""
    (claim,) = language.parse(f"paper\n{written}\n").statements
    assert isinstance(claim, ClaimLine)
    assert (tidy, tidy) == (claim.text, print_claim(claim))


def test_an_action_in_the_tidy_way(language):
    """Picks and `say` are printed with their commas."""
    (action,) = language.parse("paper\nM:mark where u meets v,nearest B ,on the D side of A B\n").statements
    assert isinstance(action, Action)
    assert "mark where u meets v, nearest B, on the D side of A B" == fill(action.phrase, action.fillings)


def test_methods_are_printed(language, bare):
    """A file of methods is read again as it was."""
    methods = language.parse_methods("method halving of A and B\n claim A is B\n gives M\nend\nmethod m of a to c gives N\nend\n")
    printed = print_methods(methods)
    assert bare(methods) == bare(language.parse_methods(printed))
    assert "method halving of A and B gives M\n  claim A is B\nend\n\nmethod m of a to c gives N\nend\n" == printed
