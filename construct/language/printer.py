"""Writes a recipe's records as text again, in the one tidy way; reading that text gives the same records.

Comments and the user's own spacing are not in the records and are not printed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Any

from construct.language import syntax as s
from construct.language.phrases import pieces

_INDENT = "  "
ON_THE_SIDE = "on the side of"
"""How the words of a chip on one side of a line are kept together in its record."""
_ORDER = {"+": 1, "-": 1, "*": 2, "/": 2, "neg": 3}


def print_recipe(recipe: s.Recipe) -> str:
    """Return the recipe as tidy text."""
    head = [f"recipe  {recipe.title}"] if recipe.title else []
    paragraphs = [head, [_blank(recipe.blank), *_bench(recipe.bench)], [f"use {use.path}" for use in recipe.uses]]
    paragraphs += [list(_block((method,))) for method in recipe.methods]
    paragraphs.append([_given(given) for given in recipe.given])
    paragraph: list[str] = []
    for statement in recipe.statements:
        if isinstance(statement, (s.Heading, s.Carve)):
            paragraphs.append(paragraph)
            paragraph = list(_block((statement,)))
        else:
            under = bool(paragraph) and (paragraph[0].startswith("step ") or paragraph[0] == "carve")
            paragraph += (_INDENT + line if under else line for line in _block((statement,)))
    paragraphs.append(paragraph)
    return "\n\n".join("\n".join(lines) for lines in paragraphs if lines) + "\n"


def print_methods(methods: Sequence[s.Method]) -> str:
    """Return a file of methods as tidy text."""
    return "\n\n".join("\n".join(_block((method,))) for method in methods) + "\n"


def print_claim(claim: s.ClaimLine) -> str:
    """Return a claim without the word `claim`, in the one tidy way."""
    text = fill(claim.phrase, claim.fillings)
    return text if claim.within is None else f"{text} within {_gap(claim.within)}"


def fill(phrase: s.Phrase, fillings: Sequence[s.Filling]) -> str:
    """Return a phrase with its slots filled."""
    words: list[str] = []
    left = iter(fillings)
    for piece in pieces(phrase.text):
        if piece == ",":
            words[-1] += ","
        elif isinstance(piece, str):
            words.append(piece)
        else:
            filling = next(left)
            text = _row(filling) if isinstance(filling, s.Names) and not phrase.gives else write(filling)
            if text.startswith(","):
                words[-1] += text
            elif text:
                words.append(text)
    return " ".join(words)


def write(filling: Any) -> str:
    """Return what fills a slot as text; picks and `say` begin with their comma."""
    match filling:
        case None:
            return ""
        case s.Name(text=text) | s.Measure(text=text) | s.Angle(text=text):
            return text
        case s.Names(items=items):
            return ", ".join(_item(item) for item in items)
        case s.Distance(start=start, finish=finish):
            return f"{start.text} {finish.text}"
        case s.Part(ratio=ratio, of=of):
            return f"{'half' if ratio == Fraction(1, 2) else ratio} of {write(of)}"
        case s.Combined(first=first, sign=sign, second=second):
            return f"{write(first)} {'less' if sign < 0 else 'and'} {write(second)}"
        case s.Ratio():
            return "half" if filling.op == "number" and filling.value == Fraction(1, 2) else _ratio(filling)
        case s.Setting():
            return _setting(filling)
        case s.Bound(side=side, length=length):
            return f"anything {side} {write(length)}" if side else "anything"
        case s.Say():
            return _say(filling)
        case tuple():
            return "".join(_pick(pick) for pick in filling)
    raise TypeError(f"{filling!r} fills no slot")


def _row(names: s.Names) -> str:
    """Return a list as prose has it, with `and` before the last."""
    *most, last = (_item(item) for item in names.items)
    return f"{', '.join(most)} and {last}" if most else last


def _item(item: s.Name | s.NameRange) -> str:
    return item.text if isinstance(item, s.Name) else f"{item.first.text} to {item.last.text}"


def _setting(setting: s.Setting) -> str:
    parts = [write(part) for part in setting.parts]
    match setting.how:
        case "named":
            return f"opening {parts[0]}"
        case "marks":
            return f"opening from {parts[0]} to {parts[1]}"
        case "same":
            return "same opening"
        case _:
            return f"{parts[0]} by ruler"


def _pick(pick: s.Pick) -> str:
    names = " ".join(name.text for name in pick.names)
    match pick.how:
        case "side":
            return f", on the {pick.names[0].text} side of " + " ".join(name.text for name in pick.names[1:])
        case "farthest" | "away":
            return f", {pick.how} from {names}"
        case "other":
            return f", other than {names}"
        case _:
            return f", {pick.how} {names}"


def _say(say: s.Say) -> str:
    if isinstance(say.value, s.Place):
        return f", say at {_place(say.value)} mm"
    if isinstance(say.value, s.Angle):
        towards = "the grain" if say.towards is None else say.towards.text
        return f", say {write(say.value)} to {towards}"
    return f", say {write(say.value)}"


def _place(place: s.Place) -> str:
    return f"({_ratio(place.x)}, {_ratio(place.y)})"


def _ratio(ratio: s.Ratio, within: int = 0) -> str:
    """Return a ratio; brackets where it binds weaker than what is around it."""
    match ratio.op:
        case "number":
            return _decimal(ratio.value or Fraction(0))
        case "pi":
            return "pi"
        case "sqrt":
            return f"sqrt({_ratio(ratio.parts[0])})"
        case "neg":
            text = f"-{_ratio(ratio.parts[0], 3)}"
        case op:
            space = "" if op == "/" else " "
            order = _ORDER[op]
            text = space.join((_ratio(ratio.parts[0], order), op, _ratio(ratio.parts[1], order + 1)))
    return f"({text})" if _ORDER[ratio.op] < within else text


def _decimal(value: Fraction) -> str:
    """Return an exact decimal; a number was written as one."""
    places = 0
    while (value * 10**places).denominator > 1:
        places += 1
    digits = str((value * 10**places).numerator).rjust(places + 1, "0")
    return f"{digits[:-places]}.{digits[-places:]}" if places else digits


def _percent(value: Fraction) -> str:
    value *= 100
    rest = value.denominator
    for prime in (2, 5):
        while rest % prime == 0:
            rest //= prime
    return f"{_decimal(value) if rest == 1 else value} %"


def _gap(within: s.Measure | s.Angle | s.Ratio | Fraction) -> str:
    if isinstance(within, Fraction):
        return _percent(within)
    return _ratio(within) if isinstance(within, s.Ratio) else within.text


# --- lines ------------------------------------------------------------------------------------


def _blank(blank: s.Blank) -> str:
    if blank.form == "paper":
        return "paper"
    if blank.form == "board":
        words = [f"board   {write(blank.width)} by {write(blank.height)}"]
    elif blank.free:
        words = ["plate   round, anything across"] + ([f"say {blank.width.text}"] if blank.width else [])
    else:
        words = [f"plate   round, {write(blank.width)} across"]
    if blank.thickness is not None:
        words.append(f"{blank.thickness.text} thick")
    return ", ".join(words + ([blank.wood] if blank.wood else []))


def _bench(lines: Sequence[s.BenchLine]) -> Iterator[str]:
    for line in lines:
        yield f"bench   {_wish(line)}"


def _wish(line: s.BenchLine) -> str:
    values = line.value if isinstance(line.value, tuple) else (line.value,)
    texts = [_percent(one) if isinstance(one, Fraction) else one if isinstance(one, str) else one.text for one in values]
    match line.key:
        case "level":
            return texts[0]
        case "from":
            return f"from {texts[0]}" if " " not in texts[0] and texts[0].endswith(".toml") else f'from "{texts[0]}"'
        case "oval across the grain":
            return f"oval {texts[0]} across the grain"
        case "template":
            return f"template from {texts[0]} to {texts[1]} by {texts[2]}"
        case "moisture":
            return f"moisture {texts[0]} when turned, {texts[1]} now"
        case key:
            return f"{key} {texts[0]}"


def _given(given: s.Given) -> str:
    names = ", ".join(name.text for name in given.names)
    if given.spread is not None:
        return f"given {names}, {given.spread.text} apart"
    places = ", ".join(_place(place) for place in given.places)
    if given.free:
        return f"given {names} anywhere" + (f", say at {places} mm" if places else "")
    return f"given {names} at {places} mm"


def _block(statements: Sequence[s.Statement]) -> Iterator[str]:
    for statement in statements:
        match statement:
            case s.Heading(title=title):
                yield f"step {title}"
            case s.Action():
                yield f"{write(statement.names)} : {fill(statement.phrase, statement.fillings)}"
            case s.Alias(names=names, of=of):
                yield f"{write(names)} : {of.text}"
            case s.MethodUse(names=names, method=method, arguments=arguments):
                yield f"{write(names)} : {method.text} of {_row(arguments)}"
            case s.ClaimLine():
                yield f"claim {print_claim(statement)}"
            case s.Ways(ways=ways):
                for way in ways:
                    yield f"way {way.name.text}"
                    yield from _indented(way.block)
                yield "end"
            case s.Round():
                letters = ", ".join(letter.text for letter in statement.letters)
                row = "" if statement.closed else " in a row"
                yield f"around {write(statement.items)}{row} as {letters}"
                yield from _indented(statement.block)
                yield "end"
            case s.Method():
                head = f"method {statement.name.text} of {_row(statement.parameters)}"
                yield f"{head} gives {_row(statement.gives)}"
                yield from _indented(statement.block)
                yield "end"
            case s.Carve():
                yield "carve"
            case s.CarveLine():
                yield _carve_line(statement)


def _indented(block: Sequence[s.Statement]) -> Iterator[str]:
    for line in _block(block):
        yield _INDENT + line


def _carve_line(line: s.CarveLine) -> str:
    parts = [_row(part) if isinstance(part, s.Names) else write(part) for part in line.parts]
    match line.how:
        case "stand":
            return "cut on the line" if line.words == ("on",) else f"cut {line.words[0]}"
        case "deepest":
            return f"deepest {parts[0]}"
        case "land":
            return f"land at least {parts[0]}"
        case "knife":
            if "upright" in line.words:
                return f"knife {parts[0]} on {parts[1]}, other walls upright"
            return f"knife {parts[0]}" + (f" and {parts[1]} on {parts[2]}" if len(parts) > 1 else "")
        case "chip":
            return f"{write(line.names)} : chip {_which(line.words, parts)}"
        case "leave":
            return f"leave the chip {_which(line.words, parts)}"
    text = f"{line.how} {parts[0]}"
    joints = [word for word in line.words if word in ("inside", "outside", "from", "to")]
    for word, part in zip(joints, parts[1 : len(joints) + 1], strict=True):
        text += f" {word} {part}"
    if "the long way" in line.words:
        text += ", the long way"
    return text + (f", {parts[-1]} wide" if "wide" in line.words else "")


def _which(words: tuple[str, ...], parts: Sequence[str]) -> str:
    places = words[:-1] if words[-1:] == (ON_THE_SIDE,) else words
    told = [f"{word} {part}" for word, part in zip(places, parts, strict=False)]
    if places is not words:
        mark, *line = parts[len(places) :]
        told.append(f"on the {mark} side of {' '.join(line)}")
    return ", ".join(told)
