"""What is shipped: the recipes on the shelf, and the language's phrases from the tools' and claims' own files.

Not about one study: `construct recipes` and `construct tools` show it.  Nothing
is listed by hand here.
"""

from __future__ import annotations

import math
from typing import Any

from construct import claims, shelf, study, tools
from construct.diagnostics import Mistakes, Span
from construct.language.parser import decode
from construct.language.phrases import pieces
from construct.language.syntax import BenchLine, Blank, Phrase
from construct.phrasebook import say
from construct.plan.planner import way_groups
from construct.reports import _error_words as hand
from construct.reports import _frame
from construct.reports import _words as words
from construct.tools import Settings
from construct.tools._settings import LEVELS, make_settings

FORMAT = 1
SHOWN = {
    "setting": "opening r",
    "bound": "anything over w",
    "say": ", say …",
    "picks": ", WHICH",
}
"""What stands for a slot without a name of its own."""


EASY = "six-petals"
"""The recipe to begin with: what everybody draws first."""


def recipes() -> dict[str, Any]:
    """Return the shipped recipes: name, title, ways; a recipe that can not be read says why. Those of groups have a title alone."""
    rows: list[dict[str, Any]] = []
    for name in shelf.shipped():
        try:
            recipe, _ = study.load(name)
        except Mistakes as wrong:
            rows.append({"name": name, "title": "", "ways": [], "wrong": wrong.diagnostics[0].message})
            continue
        ways = list(dict.fromkeys(way for group in way_groups(recipe.statements) for way in group))
        rows.append({"name": name, "title": words.plain(recipe.title), "ways": ways, "wrong": None})
    groups = {group: [{"name": name, "title": words.plain(shelf.title(name))} for name in shelf.shipped(group)] for group in shelf.groups()}
    return {"format": FORMAT, "command": "recipes", "recipes": rows, "groups": groups}


def recipe(name: str) -> dict[str, Any]:
    """Return a shipped recipe as it stands, to begin one's own from; `Mistakes` where nothing has that name."""
    return {"format": FORMAT, "command": "recipes", "name": name, "text": decode(shelf.read(shelf.find(name)), name)}


def recipes_text() -> str:
    """Return the shipped recipes as text."""
    listed = recipes()
    rows = listed["recipes"]
    if not rows:
        return say("recipes.none") + "\n"
    wide = max(len(row["name"]) for row in (*rows, *(row for group in listed["groups"].values() for row in group))) + 2
    lines = []
    for row in rows:
        ways = f"  {say('recipes.ways', ways=', '.join(row['ways']))}" if row["ways"] else ""
        said = row["title"] + ways if row["wrong"] is None else say("recipes.wrong", why=row["wrong"])
        lines += words.wrapped(said, row["name"].ljust(wide), " " * wide)
    for group, held in listed["groups"].items():
        lines += ["", say("recipes.group", group=group)]
        for row in held:
            lines += words.wrapped(row["title"], row["name"].ljust(wide), " " * wide)
    first = EASY if EASY in shelf.shipped() else rows[0]["name"]
    return "\n".join([*lines, "", *words.wrapped(say("recipes.next", recipe=first), rest="  "), ""])


# --- tools --------------------------------------------------------------------------------------


def bench_tools(*, claims_too: bool = False) -> dict[str, Any]:
    """Return every tool's phrases, limits, and bench errors by level; with the claims' phrases where asked for."""
    levels = {level: _settings(level) for level in LEVELS}
    settings = levels["ordinary"]
    result: dict[str, Any] = {
        "format": FORMAT,
        "lines": _frame.rows(),
        "tools": [
            {
                "name": tool.NAME,
                "note": tool.NOTE,
                "phrases": [{"text": spoken(phrase), "makes": phrase.gives, "note": phrase.note} for phrase in tool.PHRASES],
                "errors": list(tool.ERRORS),
            }
            for tool in tools.tools().values()
        ],
        "errors": [_error(name, levels) for name in settings.sources],
        "limits": {
            "compass_reach_mm": float(settings.compass_reach),
            "ruler_length_mm": float(settings.ruler_length),
            "graduation_mm": float(settings.graduation),
            "template_holes_mm": [float(settings.holes[0]), float(settings.holes[-1])],
            "finder_v_deg": float(settings.finder_angle * 360),
            "pencil_mm": float(settings.pencil),
        },
    }
    if claims_too:
        result["claims"] = [
            {"note": claim.NOTE, "phrases": [{"text": spoken(phrase), "note": phrase.note} for phrase in claim.PHRASES]}
            for claim in claims.claims().values()
        ]
    return result


def _settings(level: str) -> Settings:
    nowhere = Span(0, 0)
    blank = Blank("paper", None, None, False, None, "", nowhere)
    return make_settings((BenchLine("level", level, nowhere),), blank, lambda *_: None)


def _error(name: str, levels: dict[str, Settings]) -> dict[str, Any]:
    source = levels["ordinary"].sources[name]
    angle = source.unit == "rad"
    figures = {level: settings.sources[name].u for level, settings in levels.items()}
    return {
        "name": name,
        "unit": "deg" if angle else "mm",
        "u": {level: round(math.degrees(u), 9) if angle else u for level, u in figures.items()},
        "basis": source.basis,
    }


def spoken(phrase: Phrase) -> str:
    """Return a phrase as a person would write it: slots by their letters."""
    said = ""
    for piece in pieces(phrase.text):
        if isinstance(piece, str):
            said += piece if piece == "," else f" {piece}"
        elif piece.reads in SHOWN:
            shown = SHOWN[piece.reads]
            said += shown if shown.startswith(",") else f" {shown}"
        elif piece.reads == "names":
            said += f" {piece.name}, …"
        else:
            said += f" {piece.name}"
    return said.strip()


def tools_text(*, units: str = "mm", claims_too: bool = False) -> str:
    """Return the tools, their phrases and their errors as text."""
    shown = bench_tools(claims_too=claims_too)
    keys = [say(f"tools.key.{key}") for key in ("line", "opening", "say")]
    lines = [line for said in (*keys, say("frame.names"), _frame.never_names()) for line in words.wrapped(said, rest="  ")]
    section = ""
    for row in shown["lines"]:
        if row["section"] != section:
            section = row["section"]
            lines += ["", *words.wrapped(say(f"frame.section.{section}"))]
        lines += [f"  {line}" for line in row["text"].split("\n")]
        lines += words.wrapped(row["note"], "      ")
    for tool in shown["tools"]:
        lines += ["", *words.wrapped(f"{words.tool(tool['name'])}: {tool['note']}")]
        for phrase in tool["phrases"]:
            lines += _phrase(phrase["text"], phrase["note"])
        if tool["errors"]:
            lines += words.wrapped(say("tools.errors", names=", ".join(map(hand.source, tool["errors"]))), "    ", "      ")
    for claim in shown.get("claims", ()):
        lines += ["", *words.wrapped(say("tools.claim", note=claim["note"]))]
        for phrase in claim["phrases"]:
            lines += _phrase(f"claim {phrase['text']}", phrase["note"])
    lines += ["", *_limits(shown["limits"], units), "", *_errors(shown["errors"], units)]
    if not claims_too:
        lines += ["", say("tools.next")]
    return "\n".join([*lines, ""])


def _phrase(text: str, note: str) -> list[str]:
    lines = words.wrapped(text, "  ", "      ")
    return lines + (words.wrapped(note, "      ") if note else [])


def _limits(limits: dict[str, Any], units: str) -> list[str]:
    def said(mm: float) -> str:
        return f"{mm / float(words.MM_PER_INCH):.4g} in" if units == "in" else f"{mm:g} mm"

    low, high = limits["template_holes_mm"]
    return words.wrapped(
        say("tools.limits", compass=said(limits["compass_reach_mm"]), ruler=said(limits["ruler_length_mm"]),
            graduation=said(limits["graduation_mm"]), low=said(low), high=said(high), finder=f"{limits['finder_v_deg']:g}",
            pencil=said(limits["pencil_mm"])),
        rest="  ",
    )


def _errors(errors: list[dict[str, Any]], units: str) -> list[str]:
    lines = words.wrapped(say("tools.bench"), rest="  ")
    names = {row["name"]: hand.source(row["name"]) for row in errors}
    wide = max(map(len, names.values())) + 4
    lines.append(" " * wide + "".join(f"{level:>12}" for level in LEVELS))
    for row in errors:
        inches = units == "in" and row["unit"] == "mm"
        scale, unit, form = (1 / float(words.MM_PER_INCH), "in", ".4f") if inches else (1.0, row["unit"], ".2f")
        basis = "" if row["basis"] == "judgement" else f"  ({row['basis']})"
        figures = "".join(f"{row['u'][level] * scale:>12{form}}" for level in LEVELS)
        lines.append(f"  {names[row['name']]}".ljust(wide) + f"{figures} {unit}{basis}")
    return lines
