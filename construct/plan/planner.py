"""The walk from a recipe to a plan: every name looked up, every round written out, every mistake noted.

A mistake in one statement does not hide those in the next; what a faulty
statement would have made is remembered as "spoilt", so that one mistake is
said once.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction

from construct.diagnostics import Diagnostic, Mistakes, Span, Wrong, diagnostic, once_each
from construct.geometry import is_constructible
from construct.language import habits
from construct.language.phrases import slots
from construct.language.syntax import (
    Action,
    Alias,
    Angle,
    Bound,
    Carve,
    CarveLine,
    ClaimLine,
    Combined,
    Distance,
    Filling,
    Given,
    Heading,
    Length,
    Measure,
    Method,
    MethodUse,
    Name,
    Names,
    Part,
    Phrase,
    Pick,
    Place,
    Ratio,
    Recipe,
    Round,
    Say,
    Setting,
    Slot,
    Statement,
    Ways,
)
from construct.phrasebook import say
from construct.plan import (
    EDGE,
    Argument,
    Plan,
    PlannedBound,
    PlannedCarving,
    PlannedClaim,
    PlannedLength,
    PlannedPick,
    PlannedSay,
    Step,
    Thing,
)
from construct.plan.given import CORNERS, corner_phrase, fixed_phrase, free_phrase
from construct.plan.incidence import Incidence
from construct.plan.names import Scope, written_out
from construct.plan.ratios import fraction
from construct.tools import phrases
from construct.tools._settings import make_settings, unknown_wood

MOST_STEPS = 20_000
DEEPEST_METHODS = 20


def make_plan(recipe: Recipe, *, way: str | None = None, methods: Sequence[Method] = ()) -> Plan:
    """Return the plan of a recipe for one way; raise `Mistakes` with all that is wrong.

    methods: those that `use` lines brought in.
    """
    return _Planner(recipe, way, methods).plan()


def way_groups(statements: Iterable[Statement]) -> list[tuple[str, ...]]:
    """Return the names of the ways of each group, outermost groups only, in order."""
    groups = []
    for statement in statements:
        if isinstance(statement, Ways):
            groups.append(tuple(one.name.text for one in statement.ways))
        elif isinstance(statement, Round):
            groups += way_groups(statement.block)
    return groups


class _Planner:
    def __init__(self, recipe: Recipe, way: str | None, methods: Sequence[Method]) -> None:
        self.recipe = recipe
        self.way = way
        self.ways = tuple(dict.fromkeys(name for group in way_groups(recipe.statements) for name in group))
        self.wrongs: list[Diagnostic] = []
        self.things: list[Thing] = [Thing("edge", "edge", -1)]
        self.rows: dict[int, tuple[int, ...]] = {}
        self.steps: list[Step] = []
        self.claims: list[PlannedClaim] = []
        self.carving: list[PlannedCarving] = []
        self.headings: list[str] = []
        self.heading = ""
        self.incidence = Incidence()
        self.opened: int | None = None  # what last left the compass set
        self.opened_in_ways = False
        self.in_way: str | None = None
        self.spoilt: set[str] = set()
        self.used_methods = 0
        self.methods = {method.name.text: method for method in methods}
        self.settings_by = {phrase.option("sets"): phrase for phrase in phrases() if phrase.option("sets")}

    # --- the whole -----------------------------------------------------------------------------

    def plan(self) -> Plan:
        recipe = self.recipe
        if self.way is not None and self.way not in self.ways:
            self._note(Wrong("P130" if self.ways else "P130.none", way=self.way, known=", ".join(self.ways)))
        settings = make_settings(recipe.bench, recipe.blank, lambda key, span, **values: self._note(Wrong(key, span, **values)))
        for method in recipe.methods:
            if method.name.text in self.methods:
                self._note(Wrong("P131", method.name.span, method=method.name.text))
            self.methods[method.name.text] = method
        scope = Scope()
        if recipe.blank.form == "paper":
            del scope.known["edge"]
        self._blank(scope)
        for given in recipe.given:
            self._try(scope, given)
        self._block(scope, recipe.statements, depth=0)
        if not self.steps and not self.wrongs and not self.claims:
            self._note(Wrong("P100"))
        if self.wrongs:
            raise Mistakes(once_each(self.wrongs))
        return Plan(
            title=recipe.title,
            blank=recipe.blank,
            settings=settings,
            things=tuple(self.things),
            steps=tuple(self.steps),
            claims=tuple(self.claims),
            carving=tuple(self.carving),
            touching=frozenset(self.incidence.touching),
            ways=self.ways,
            way=self.way if self.way else (self.ways[0] if self.ways else None),
            headings=tuple(self.headings),
            lines=recipe.lines,
            source=recipe.source,
            warnings=self._warnings(),
        )

    def _warnings(self) -> tuple[Diagnostic, ...]:
        blank = self.recipe.blank
        known = unknown_wood(blank)
        return (diagnostic("P148", blank.span, self._source(blank.span), warning=True, wood=blank.wood, known=known),) if known else ()

    def _source(self, span: Span | None) -> str:
        """Return the whole source line of a place."""
        return self.recipe.lines[span.line - 1] if span and 0 < span.line <= len(self.recipe.lines) else ""

    def _note(self, wrong: Wrong) -> None:
        self.wrongs.append(Diagnostic(wrong.code, wrong.message, wrong.hint, wrong.span, self._source(wrong.span)))

    def _try(self, scope: Scope, statement: Statement | Given, depth: int = 0) -> None:
        try:
            self._statement(scope, statement, depth)
        except Wrong as wrong:
            # what follows from a mistake noted already is not a second one
            if not (wrong.code == "P103" and any(f"`{name}`" in wrong.message for name in self.spoilt)):
                self._note(wrong)
            names = getattr(statement, "names", None)
            if isinstance(statement, Given):
                self.spoilt |= {name.text for name in statement.names}
            if isinstance(names, Names):
                try:
                    self.spoilt |= {scope.spelt(name) for name in written_out(scope, names, {}, self.things)}
                except Wrong:
                    pass

    def _block(self, scope: Scope, statements: Iterable[Statement], depth: int) -> None:
        for statement in statements:
            if len(self.steps) > MOST_STEPS:
                raise Mistakes((diagnostic("P132", statement.span, most=MOST_STEPS),))
            self._try(scope, statement, depth)

    def _statement(self, scope: Scope, statement: Statement | Given, depth: int) -> None:
        match statement:
            case Heading():
                self.heading = scope.spell_sentence(statement.title)
                self.headings.append(self.heading)
            case Action():
                self._action(scope, statement)
            case Alias():
                self._alias(scope, statement)
            case Given():
                self._given(scope, statement)
            case ClaimLine():
                self._claim(scope, statement)
            case Ways():
                self._ways(scope, statement, depth)
            case Round():
                self._round(scope, statement, depth)
            case MethodUse():
                self._method_use(scope, statement, depth)
            case CarveLine():
                self._carve(scope, statement)
            case Carve():
                pass
            case Method():
                raise Wrong("P133", statement.span)

    # --- things --------------------------------------------------------------------------------

    def _add(self, scope: Scope, name: Name, kind: str, step: int) -> int:
        text = scope.spelt(name)
        if text == "edge" or text in scope.known:
            raise Wrong("P101", name.span, text=text)
        index = len(self.things)
        self.things.append(Thing(scope.prefix + text, kind, step))
        scope.known[text] = index
        return index

    def _blank(self, scope: Scope) -> None:
        if self.recipe.blank.form != "board":
            return
        for name in CORNERS:
            self._step(scope, corner_phrase(name), (EDGE,), [Name(name, self.recipe.blank.span)], self.recipe.blank.span, f"{name} : corner of the board")

    def _given(self, scope: Scope, given: Given) -> None:
        paper = self.recipe.blank.form == "paper"
        if not paper and not given.free:
            raise Wrong("P134", given.span)
        places = [(fraction(place.x), fraction(place.y)) for place in given.places]
        if given.spread is not None:
            half = given.spread.mm / 2
            places = [(-half, Fraction(0)), (half, Fraction(0))]
        if given.free and not places:
            raise Wrong("P135", given.span)
        if len(places) != len(given.names):
            raise Wrong("P136", given.span, names=len(given.names), places=len(places))
        for name, place in zip(given.names, places, strict=True):
            phrase = free_phrase() if given.free else fixed_phrase(*place)
            says = f"{name.text} : given{' anywhere' if given.free else ''}, at ({place[0]}, {place[1]}) mm"
            say = PlannedSay(place, None, given.span) if given.free else None
            self._step(scope, phrase, (None,) if given.free else (), [name], name.span, says, say=say)

    def _step(
        self,
        scope: Scope,
        phrase: Phrase,
        arguments: tuple[Argument, ...],
        names: list[Name],
        span: Span,
        text: str,
        *,
        picks: tuple[PlannedPick, ...] = (),
        bound: PlannedBound | None = None,
        say: PlannedSay | None = None,
        hidden: bool = False,
    ) -> tuple[int, ...]:
        number = len(self.steps)
        if hidden:
            outputs: tuple[int, ...] = (len(self.things),)
            key = f"setting in line {span.line}, {number}"
            self.things.append(Thing(key, phrase.gives, number))
        else:
            outputs = tuple(self._add(scope, name, phrase.gives, number) for name in names)
            key = self.things[outputs[0]].name
        self.steps.append(
            Step(number, phrase, arguments, outputs, key, self.heading, text, span,
                 picks=picks, bound=bound, say=say, hidden=hidden)
        )  # fmt: skip
        self.incidence.note(phrase, arguments, outputs, self.things)
        if phrase.option("opens"):
            self.opened, self.opened_in_ways = outputs[0], False
        return outputs

    def _action(self, scope: Scope, action: Action) -> None:
        phrase = action.phrase
        names = written_out(scope, action.names, {}, self.things)
        if phrase.many and len(names) != phrase.many and phrase.gives != "row":
            key = "P107.one" if phrase.many == 1 else "P107"
            raise Wrong(key, action.names.span, count=len(names), needed=phrase.many, phrase=phrase.text)
        taken = [scope.spelt(name) for name in names]
        for position, name in enumerate(names):
            if taken[position] in taken[:position] or taken[position] in scope.known:
                raise Wrong("P101", name.span, text=taken[position])
        arguments: list[Argument] = []
        picks: tuple[PlannedPick, ...] = ()
        bound, say = None, None
        for slot, filling in zip(slots(phrase), action.fillings, strict=True):
            if slot.reads == "picks":
                picks = tuple(self._pick(scope, pick) for pick in filling or ())  # type: ignore[union-attr]
            elif slot.reads == "bound":
                assert isinstance(filling, Bound)
                bound = PlannedBound(filling.side, None if filling.length is None else self._length(scope, filling.length, marks=True))
            elif slot.reads == "say":
                assert filling is None or isinstance(filling, Say)
                say = self._say(scope, filling)
                arguments.append(say.towards if say else None)
            else:
                arguments.append(self._argument(scope, slot, filling, action))
        text = scope.spell_sentence(self._line(action.span))
        if phrase.option("line") == "first through the centre":
            arguments.append(self._first_line(arguments[0], action.span))
        self._check_meeting(phrase, arguments, action.span)
        if phrase.gives == "row":
            marks = arguments[0]
            assert isinstance(marks, tuple)
            self.rows[self._step(scope, phrase, tuple(arguments), names, action.span, text)[0]] = marks
            return
        self._step(scope, phrase, tuple(arguments), names, action.span, text, picks=picks, bound=bound, say=say)

    def _line(self, span: Span) -> str:
        """Return the source line of a statement as one sentence, without its comment."""
        lines = self.recipe.lines
        if not 0 < span.line <= len(lines):
            return ""
        text = lines[span.line - 1].split("#")[0].strip()
        following = span.line
        while text.endswith(",") and following < len(lines):
            text += " " + lines[following].split("#")[0].strip()
            following += 1
        return " ".join(text.split())

    def _argument(self, scope: Scope, slot: Slot, filling: Filling, action: Action | ClaimLine) -> Argument:
        match filling:
            case Setting():
                return self._setting(scope, filling)
            case Names():
                return self._names(scope, filling, slot.kinds)
            case Angle():
                self._check_angle(filling)
                return filling.turns
            case Ratio():
                return filling
            case Name() if slot.reads == "name":
                return scope.find(filling, self.things, slot.kinds)
            case Measure() | Name() | Part() | Combined() | Distance():
                return self._length(scope, filling)
        raise Wrong("P108", action.span)

    def _names(self, scope: Scope, names: Names, kinds: tuple[str, ...]) -> tuple[int, ...]:
        return tuple(scope.find(name, self.things, kinds) for name in written_out(scope, names, self.rows, self.things))

    def _check_angle(self, angle: Angle) -> None:
        if not is_constructible(angle.turns):
            raise Wrong("P109", angle.span, angle=angle.text)

    def _setting(self, scope: Scope, setting: Setting) -> int:
        if setting.how == "named":
            name = setting.parts[0]
            assert isinstance(name, Name)
            # a compass taken up again is the last one above whatever follows, whichever was set last
            self.opened, self.opened_in_ways = scope.find(name, self.things, ("opening",)), False
            return self.opened
        if setting.how == "same":
            if self.opened_in_ways:
                raise Wrong("P110", setting.span)
            if self.opened is None:
                raise Wrong("P111", setting.span)
            return self.opened
        phrase = self.settings_by[setting.how]
        if setting.how == "marks":
            arguments: tuple[Argument, ...] = tuple(scope.find(part, self.things, ("mark",)) for part in setting.parts if isinstance(part, Name))
        else:
            arguments = tuple(self._length(scope, part) for part in setting.parts)
        return self._step(scope, phrase, arguments, [], setting.span, self._line(setting.span), hidden=True)[0]

    def _length(self, scope: Scope, length: Length, *, marks: bool = False) -> PlannedLength:
        match length:
            case Measure():
                return PlannedLength("mm", length.mm)
            case Name():
                return PlannedLength("thing", things=(scope.find(length, self.things, ("reading",)),))
            case Part():
                return PlannedLength("part", length.ratio, parts=(self._length(scope, length.of, marks=marks),))
            case Combined():
                parts = self._length(scope, length.first, marks=marks), self._length(scope, length.second, marks=marks)
                return PlannedLength("sum", Fraction(length.sign), parts=parts)
            case Distance():
                if not marks:
                    raise Wrong("P112", length.span)
                start = scope.find(length.start, self.things, ("mark",))
                finish = scope.find(length.finish, self.things, ("mark", "line"))
                return PlannedLength("distance", things=(start, finish))

    def _pick(self, scope: Scope, pick: Pick) -> PlannedPick:
        kinds: tuple[tuple[str, ...], ...] = {
            "side": (("mark",), ("line",)) if len(pick.names) == 2 else (("mark",),) * 3,
            "inside": (("circle", "edge"),),
            "outside": (("circle",),),
        }.get(pick.how, (("mark",),))
        things = tuple(scope.find(name, self.things, kind) for name, kind in zip(pick.names, kinds, strict=True))
        names = " ".join(scope.spelt(name) for name in pick.names)
        return PlannedPick(pick.how, things, f"{pick.how} {names}", pick.span)

    def _say(self, scope: Scope, say: Say | None) -> PlannedSay | None:
        if say is None:
            return None
        towards = scope.find(say.towards, self.things, ("line",)) if say.towards else None
        if isinstance(say.value, Place):
            return PlannedSay((fraction(say.value.x), fraction(say.value.y)), towards, say.span)
        if isinstance(say.value, Angle):
            return PlannedSay(say.value, towards, say.span)
        return PlannedSay(self._length(scope, say.value, marks=True), towards, say.span)

    def _first_line(self, centre: Argument, span: Span) -> int:
        assert isinstance(centre, int)
        if self.recipe.blank.form == "paper":
            raise Wrong("P102.ruler", span)
        line = self.incidence.first_line(centre)
        if line is None:
            name = self.things[centre].name
            raise Wrong("P113", span, name=name)
        return line

    def _check_meeting(self, phrase: Phrase, arguments: list[Argument], span: Span) -> None:
        if not (phrase.option("meets") or phrase.option("contact")):
            return
        pair = [argument for argument in arguments if isinstance(argument, int)][:2]
        names = [self.things[index].name for index in pair]
        made = self.incidence.touch(*pair)
        if pair[0] == pair[1]:
            raise Wrong("P114", span, first=names[0])
        if phrase.option("meets") and made:
            raise Wrong("P115", span, first=names[0], second=names[1])
        if phrase.option("contact") and not made:
            raise Wrong("P116", span, first=names[0], second=names[1])

    def _alias(self, scope: Scope, alias: Alias) -> None:
        names = written_out(scope, alias.names, {}, self.things)
        if len(names) != 1:
            raise Wrong("P107.alias", alias.names.span, count=len(names))
        index = scope.find(alias.of, self.things)
        text = scope.spelt(names[0])
        if text in scope.known:
            raise Wrong("P101", names[0].span, text=text)
        scope.known[text] = index

    # --- claims --------------------------------------------------------------------------------

    def _claim(self, scope: Scope, claim: ClaimLine) -> None:
        arguments = []
        for slot, filling in zip(slots(claim.phrase), claim.fillings, strict=True):
            if isinstance(filling, Angle):
                arguments.append(filling.turns)
            else:
                arguments.append(self._argument(scope, slot, filling, claim))
        least = claim.phrase.option("least", 0)
        for argument in arguments:
            if isinstance(argument, tuple) and len(argument) < least:
                raise Wrong("P117", claim.span, least=least)
        within: Fraction | Angle | PlannedLength | None = None
        match claim.within:
            case Measure():
                within = PlannedLength("mm", claim.within.mm)
            case Ratio():
                # a bare number could be meant in mm, in per cent or in degrees
                raise Wrong("P118", self._within_span(claim))
            case other:
                within = other
        if within is not None:
            self._check_within(claim, within)
        text = scope.spell_sentence(claim.text)
        within_text = text.rsplit(" within ", 1)[1] if within is not None and " within " in text else ""
        self.claims.append(
            PlannedClaim(claim.phrase, tuple(arguments), within, within_text, text, claim.span, len(self.steps), self.in_way)
        )

    def _check_within(self, claim: ClaimLine, within: Fraction | Angle | PlannedLength) -> None:
        allowed = claim.phrase.option("within", ("mm",))
        kind = "deg" if isinstance(within, Angle) else "mm" if isinstance(within, PlannedLength) else "part"
        if kind not in allowed:
            takes = f" {say('list.or')} ".join(say(f"within.takes.{one}") for one in allowed)
            raise Wrong("P118.takes" if takes else "P118.never", self._within_span(claim), what=say(f"within.kind.{kind}"), takes=takes)

    def _within_span(self, claim: ClaimLine) -> Span:
        """Return the place of a claim's `within` and what follows; the claim's own where it stands in another line."""
        span, line = claim.span, self._source(claim.span).split("#")[0].rstrip()
        at = line.find("within ", span.column - 1)
        return span if at < 0 else replace(span, column=at + 1, width=len(line) - at)

    # --- blocks --------------------------------------------------------------------------------

    def _ways(self, scope: Scope, group: Ways, depth: int) -> None:
        named = {one.name.text: one for one in group.ways}
        if len(named) != len(group.ways):
            raise Wrong("P137", group.span)
        if self.in_way is not None:
            raise Wrong("P138", group.span)
        chosen = named.get(self.way or "", group.ways[0])
        self.in_way = chosen.name.text
        self._block(scope, chosen.block, depth + 1)
        self.in_way = None
        self.opened_in_ways = True

    def _round(self, scope: Scope, block: Round, depth: int) -> None:
        items = []
        for name in written_out(scope, block.items, self.rows, self.things):
            index = scope.find(name, self.things)
            items.append(scope.spelt(name))
            if scope.known.get(items[-1]) != index:
                raise Wrong("P103.round", block.items.span, name=items[-1])
        width = len(block.letters)
        if len({letter.text for letter in block.letters}) < width:
            raise Wrong("P127", block.span)
        if len(items) < width:
            raise Wrong("P139", block.span, marks=len(items), width=width)
        last = len(items) if block.closed else len(items) - width + 1
        outer = scope.letters
        for start in range(last):
            turn = [items[(start + offset) % len(items)] for offset in range(width)]
            scope.letters = {**outer, **{letter.text: item for letter, item in zip(block.letters, turn, strict=True)}}
            self._block(scope, block.block, depth + 1)
        scope.letters = outer

    def _method_use(self, scope: Scope, use: MethodUse, depth: int) -> None:
        method = self.methods.get(use.method.text)
        if method is None:
            habit = habits.METHODS.get(use.method.text)
            key = f"P120.{habit}" if habit else "P120" if self.methods else "P120.none"
            raise Wrong(key, use.method.span, method=use.method.text, known=", ".join(self.methods))
        if depth > DEEPEST_METHODS:
            raise Wrong("P121", use.span, method=use.method.text)
        given = written_out(scope, use.arguments, self.rows, self.things)
        wanted = written_out(Scope(), method.parameters, {}, self.things)
        if len(given) != len(wanted):
            raise Wrong("P122", use.arguments.span, method=method.name.text, given=len(given), needed=len(wanted), names=", ".join(name.text for name in wanted))
        names = written_out(scope, use.names, {}, self.things)
        gives = written_out(Scope(), method.gives, {}, self.things)
        if len(names) != len(gives):
            raise Wrong("P123", use.names.span, method=method.name.text, gives=len(gives), count=len(names))
        found = [scope.find(name, self.things) for name in given]
        self.used_methods += 1
        inner = Scope(prefix=f"{scope.prefix}{scope.spelt(names[0])}: ")
        if "edge" not in scope.known:
            del inner.known["edge"]
        inner.known.update({name.text: index for name, index in zip(wanted, found, strict=True)})
        mistakes, first = len(self.wrongs), len(self.things)
        self._block(inner, method.block, depth + 1)
        if len(self.wrongs) > mistakes:
            self.spoilt |= {scope.spelt(name) for name in names}
            return
        for name, gift in zip(names, gives, strict=True):
            text = scope.spelt(name)
            if text in scope.known:
                raise Wrong("P101", name.span, text=text)
            index = inner.find(gift, self.things)
            scope.known[text] = index
            if index >= first:
                self.things[index] = replace(self.things[index], name=scope.prefix + text)

    # --- carving -------------------------------------------------------------------------------

    def _carve(self, scope: Scope, line: CarveLine) -> None:
        arguments: list[Argument] = []
        for part in line.parts:
            match part:
                case Names():
                    arguments.append(self._names(scope, part, ()))
                case Name():
                    arguments.append(scope.find(part, self.things))
                case Measure():
                    arguments.append(PlannedLength("mm", part.mm))
                case Angle():
                    arguments.append(part.turns)
                case _:
                    raise Wrong("P124", line.span)
        name = ""
        if line.names is not None:
            names = written_out(scope, line.names, {}, self.things)
            if len(names) != 1:
                raise Wrong("P107.chip", line.span)
            index = self._add(scope, names[0], "chip", -1)
            name = self.things[index].name
            arguments.insert(0, index)
        text = scope.spell_sentence(self._line(line.span))
        self.carving.append(PlannedCarving(line.how, name, tuple(arguments), line.words, text, line.span))
