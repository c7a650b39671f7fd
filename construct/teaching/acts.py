"""The recipe's actions in its own order, rounds and methods not written out, each with its settings on the user's ruler."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any

from construct.chips import Carving
from construct.geometry import Circle, Opening, Point, square_distance
from construct.language import syntax as s
from construct.language.phrases import slots
from construct.language.printer import fill, write
from construct.number_systems import LimitMet, NotANumber
from construct.plan import Plan, PlannedLength, Step
from construct.replay import Settled, length_value
from construct.teaching import Act, Setting, Turn
from construct.teaching.rounding import drawn_only, hole, read, settled

Place = tuple[str, int, int]
"""Where a statement stands: source, line, column."""


class Acts:
    """Actions of one way through a recipe, by what stands where in its text."""

    def __init__(
        self, recipe: s.Recipe, methods: Sequence[s.Method], found: Settled, carving: Carving | None, exact: Any, drawn: Sequence[Any],
        graduation: Fraction,
    ) -> None:  # fmt: skip
        self.recipe = recipe
        self.methods: Mapping[str, s.Method] = {method.name.text: method for method in (*recipe.methods, *methods)}
        self.found, self.exact, self.drawn, self.graduation = found, exact, drawn, graduation
        self.plan: Plan = found.plan
        self.carved = _carved(carving)
        self.steps: dict[Place, list[list[Step]]] = {}
        waiting: list[Step] = []
        for step in self.plan.steps:
            waiting.append(step)
            if not step.hidden:
                # a setting said inside an action is a step of its own just before it
                self.steps.setdefault(_place(step.span), []).append(waiting)
                waiting = []

    def stages(self) -> list[tuple[str, int, float, list[Act | Turn]]]:
        """Return each heading, the line it stands in, the line where the next begins, and its rows; "" before the first heading."""
        begun: list[tuple[str, int, list[Act | Turn]]] = [("", 0, list(self._given()))]
        last = math.inf
        for statement in self.recipe.statements:
            if isinstance(statement, s.Carve):
                last = statement.span.line
                break
            if isinstance(statement, s.Heading):
                begun.append((statement.title, statement.span.line, []))
            else:
                begun[-1][2].extend(self._rows(statement, 0))
        ends = [*(line for _, line, _ in begun[1:]), last]
        return [(title, line, end, rows) for (title, line, rows), end in zip(begun, ends, strict=True) if title or rows]

    def _given(self) -> Iterator[Act]:
        for given in self.recipe.given:
            names = ", ".join(name.text for name in given.names)
            line = given.span.line
            words = " ".join(self.recipe.lines[line - 1].split("#")[0].split()) if 0 < line <= len(self.recipe.lines) else ""
            yield Act(line, 0, names, words, 1, (), (), "")

    def _rows(self, statement: s.Statement, depth: int) -> Iterator[Act | Turn]:
        match statement:
            case s.Action():
                yield self._act(statement, depth)
            case s.Ways():
                chosen = next((one for one in statement.ways if one.name.text == self.plan.way), statement.ways[0])
                for inner in chosen.block:
                    yield from self._rows(inner, depth)
            case s.Round():
                kind, letters = "around" if statement.closed else "row", ", ".join(letter.text for letter in statement.letters)
                yield from self._turn(Turn(kind, depth, write(statement.items), letters, 0), statement.block)
            case s.MethodUse():
                method = self.methods.get(statement.method.text)
                of = f"{statement.method.text} of {write(statement.arguments)}"
                yield from self._turn(Turn("method", depth, of, write(statement.names), 0), method.block if method is not None else ())

    def _turn(self, turn: Turn, block: Sequence[s.Statement]) -> Iterator[Act | Turn]:
        """Yield a round's rows, its head first; the head says how often its first action is done in all."""
        rows = [row for inner in block for row in self._rows(inner, turn.depth + 1)]
        yield replace(turn, count=next((row.count for row in rows if isinstance(row, Act)), 0))
        yield from rows

    def _act(self, action: s.Action, depth: int) -> Act:
        uses = self.steps.get(_place(action.span), [])
        made: dict[tuple[object, ...], Setting] = {}
        bounds: dict[tuple[object, ...], tuple[str, Setting]] = {}
        carved: set[str] = set()
        for steps in uses:
            for step in steps:
                for setting in self._settings(step, kept=_is_kept(action)):
                    # what the compass has just been set to by ruler is not said again
                    if setting.use != "compass" or ("ruler", *_shown(setting)[1:]) not in made:
                        made.setdefault(_shown(setting), setting)
                if step.bound is not None and step.bound.length is not None:
                    bound = self._length(step.bound.length, "hand")
                    bounds.setdefault(_shown(bound), (step.bound.side, bound))
                carved.update(self.carved[index] for index in step.outputs if index in self.carved)
        return Act(action.span.line, depth, write(action.names), fill(action.phrase, action.fillings), len(uses),
                   tuple(made.values()), tuple(bounds.values()), min(carved, default=""))  # fmt: skip

    # --- settings -----------------------------------------------------------------------------

    def _settings(self, step: Step, *, kept: bool) -> Iterator[Setting]:
        """Yield what a step sets; kept: the compass is as an action before has set it, which has said so."""
        text, made = step.phrase.text, self.found.values[step.outputs[0]]
        use = "template" if "by template" in text else "eye" if "by eye" in text else "ruler"
        readings = [slot for slot in slots(step.phrase) if slot.reads not in ("picks", "bound")]
        for slot, argument in zip(readings, step.arguments, strict=False):
            if isinstance(argument, PlannedLength) and slot.reads in ("length", "measure"):
                yield self._length(argument, use)
        ends = [self.found.values[one] for one in step.arguments if isinstance(one, int)]
        if text.startswith(("length from", "mark halfway")) and len(ends) == 2:
            yield from self._reading(*ends, halved=text.startswith("mark halfway"))
        elif text.startswith("circle by template across"):
            yield self._hole(square_distance(*ends))
        elif isinstance(made, Opening) and step.phrase.option("free"):
            value = Fraction(step.drawn) if isinstance(step.drawn, Fraction) else Fraction(0)
            yield read(self.exact, self.exact.rational(value), self.graduation, "hand")
        elif kept:
            return
        elif (isinstance(made, Circle) and use != "template") or (isinstance(made, Opening) and step.phrase.option("sets") != "ruler"):
            yield self._reach(step.outputs[0], made)

    def _length(self, length: PlannedLength, use: str) -> Setting:
        try:
            value = length_value(self.exact, length, self.found.values)
            if use == "template":
                return hole(self.exact, value, self.plan.settings.holes)
            return read(self.exact, value, self.graduation, use)
        except (LimitMet, NotANumber):
            return drawn_only(float(length.value), self.graduation, use)

    def _reading(self, a: Point, b: Point, *, halved: bool) -> Iterator[Setting]:
        square = square_distance(a, b)
        whole = settled(self.exact, square, self.exact.to_float(square) ** 0.5, self.graduation, "reading")
        yield whole
        if halved:
            yield read(self.exact, self.exact.rational(whole.nearest / 2), self.graduation, "ruler")

    def _hole(self, square: Any) -> Setting:
        return hole(self.exact, self.exact.sqrt(square), self.plan.settings.holes)

    def _reach(self, index: int, made: Circle | Opening) -> Setting:
        try:
            if made.radius is not None:
                return read(self.exact, made.radius, self.graduation, "compass")
        except LimitMet:
            pass
        return settled(self.exact, made.square, self.drawn[index].square ** 0.5, self.graduation, "compass")


def _carved(carving: Carving | None) -> dict[int, str]:
    """Return "cut" or "groove" for what the knife follows, by its index."""
    if carving is None:
        return {}
    return {groove.piece.thing: "groove" for groove in carving.grooves} | {piece.thing: "cut" for piece in carving.pieces}


def _is_kept(action: s.Action) -> bool:
    return any(isinstance(filling, s.Setting) and filling.how in ("named", "same") for filling in action.fillings)


def _place(span: Any) -> Place:
    return span.source, span.line, span.column


def _shown(setting: Setting) -> tuple[object, ...]:
    """Return what is equal for settings that read alike, to a micrometre."""
    return setting.use, setting.nearest, setting.tie, setting.on, round(setting.value_mm, 3)


def names_by_line(rows: Sequence[Act | Turn]) -> dict[int, str]:
    """Return what the actions are called that stand in each line."""
    return {row.line: row.names for row in rows if isinstance(row, Act) and row.line}


