"""The bench card as lines of words, before anybody knows whether they go on a screen or on paper."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from construct.phrasebook import say
from construct.plan import Plan
from construct.reports import _bench_needs as needs
from construct.reports import _error_words as figures
from construct.reports import _words as words
from construct.reports._chip_list import chip_lines
from construct.study import Study
from construct.teaching import Act, Bench, Measuring, Setting, Turn

MEND_SPACES = ("spaces_round", "spaces", "sides")
MEND_CENTRE = ("centre", "centre_of")
ARM_IN = 10
"""Directions are judged over 10 in where lengths are in inches; over 100 mm else."""


@dataclass(frozen=True, slots=True)
class Line:
    """One paragraph of a card.

    kind: "title", "size", "need", "stage", "act", "turn", "measure", "carve" or "caution".
    head: what stands before it in bold: an action's number, a word.  text: the rest.  depth: of rounds and methods.
    tail: what stands after it set apart: an action's settings.  mark: what is done with the knife, "" where it is construction.
    """

    kind: str
    text: str
    head: str = ""
    tail: str = ""
    depth: int = 0
    mark: str = ""


@dataclass(frozen=True, slots=True)
class Card:
    """A whole card. begin: what stands first, beside the picture.  stages: in order.  end: cautions, and what the figures mean."""

    begin: tuple[Line, ...]
    stages: tuple[tuple[Line, ...], ...]
    end: tuple[Line, ...]


def card(study: Study, bench: Bench, units: str) -> Card:
    """Return the card of a study, lengths in the user's units."""
    writer = _Writer(study, bench, units)
    return Card(tuple(writer.begin()), tuple(tuple(stage) for stage in writer.stages()), tuple(writer.end()))


class _Writer:
    def __init__(self, study: Study, bench: Bench, units: str) -> None:
        self.study, self.bench, self.units = study, bench, units
        acts = [row for stage in bench.stages for row in stage.rows if isinstance(row, Act)]
        self.numbers = {id(act): number for number, act in enumerate(acts, start=1)}
        self.by_line = {act.line: number for number, act in enumerate(acts, start=1) if act.line}

    # --- what stands first --------------------------------------------------------------------

    def begin(self) -> Iterator[Line]:
        plan = self.study.plan
        yield Line("title", words.plain(plan.title) or say("card.untitled"))
        yield Line("size", f"{_both_units(plan, self.units)}{say('card.way', way=self.study.way) if self.study.way else ''}")
        yield Line("need", "; ".join(self._needs(plan)), say("card.head.ready"))
        yield Line("need", self._ruler(), say("card.head.ruler"))
        failing = sum(not verdict.holds for verdict in self.study.verdicts)
        if failing:
            yield Line("need", say("card.failing", count=failing), say("card.head.mind"))
        yield from self._carving()
        yield Line("need", say("card.figures", level=self.bench.level), say("card.head.allow"))

    def _needs(self, plan: Plan) -> Iterator[str]:
        bench = self.bench
        for tool in needs.tools_needed(plan):
            if tool == "compass":
                count, _ = needs.left_set(plan)
                yield say("card.need.compass", count=max(1, count), length=self.about(bench.opens_mm))
            elif tool == "circle template":
                yield say("card.need.template", holes=words.listed(words.millimetres(hole) for hole in bench.holes))
            elif tool == "ruler":
                yield say("card.need.ruler", graduation=words.graduation(bench.graduation))
            else:
                yield words.tool(tool)
        if "ruler" not in needs.tools_needed(plan) and any(one.expected for stage in bench.stages for one in stage.measurings):
            yield say("card.need.ruler", graduation=words.graduation(bench.graduation))
        yield say("card.need.pencil", width=words.millimetres(plan.settings.pencil))
        if self.study.carving is not None:
            yield say("card.need.knife")

    def _ruler(self) -> str:
        said = say("card.ruler", graduation=words.graduation(self.bench.graduation))
        if not self.bench.own:
            own = words.graduation(self.study.plan.settings.graduation)
            said += " " + say("card.other_ruler", own=own)
        return said

    def _carving(self) -> Iterator[Line]:
        carving = self.study.carving
        if carving is None:
            return
        kinds = []
        for _, members in groupby(sorted(chip_lines(self.study), key=lambda one: (one.group, one.number)), key=lambda one: one.group):
            group = list(members)
            name = words.plain(group[0].name.split(".")[0])
            numbers = words.numbered([one.number for one in group])
            kinds.append(say("card.chips", count=len(group), name=f"{name} " if name else "", numbers=numbers))
        yield Line("carve", f"{'; '.join(kinds)}. {say('card.construction')}", say("card.head.carved"))

    # --- the stages ---------------------------------------------------------------------------

    def stages(self) -> Iterator[Iterator[Line]]:
        for stage in self.bench.stages:
            yield iter([
                Line("stage", words.plain(stage.title) or self._untitled()),
                *(self._row(row) for row in stage.rows),
                *(self._measure(one) for one in stage.measurings),
            ])  # fmt: skip

    def _untitled(self) -> str:
        """Return the heading of what stands before the first heading: the whole layout where there is none."""
        return say("card.given") if any(stage.title for stage in self.bench.stages) else say("card.whole")

    def _row(self, row: Act | Turn) -> Line:
        if isinstance(row, Turn):
            said = say(f"card.turn.{row.kind}", items=row.items, letters=row.letters, count=row.count)
            return Line("turn", words.plain(said), depth=row.depth)
        text = f"{row.names} : {row.words}" if not row.words.startswith("given") else row.words
        settings = [one for setting in row.settings if (one := self._setting(setting, row.words))]
        settings += [say(f"card.bound.{side}", length=self.exactly(bound)) for side, bound in row.bounds]
        mark = say(f"card.mark.{row.carved}") if row.carved else ""
        return Line("act", words.plain(text), str(self.numbers[id(row)]), "; ".join(settings), row.depth, mark)

    def _setting(self, setting: Setting, written: str) -> str:
        """Return what is said of a setting; nothing where the recipe's own words say it already."""
        nearest = self.on_ruler(setting)
        if setting.use in ("ruler", "hand", "template") and setting.on and _says(written, nearest.replace(words.FIXED, " ")):
            return ""
        return say(f"card.setting.{setting.use}", length=f"{nearest}{self._rounding(setting)}")

    def on_ruler(self, setting: Setting) -> str:
        """Return the graduation or the hole that a setting is taken to."""
        if setting.use == "template":
            return _whole(words.millimetres(setting.nearest))
        return _whole(words.length(setting.nearest, self.units))

    def _rounding(self, setting: Setting) -> str:
        """Return, in brackets, what has been rounded; nothing where nothing was."""
        if setting.on:
            return ""
        key = "tie" if setting.tie else "exactly" if self._is_written_out(setting) else "about"
        length = self.exactly(setting)
        # nearer than a figure shows: "opens to 71 mm (nearly 71 mm)" would only puzzle
        return "" if key == "about" and length == self.on_ruler(setting) else say(f"card.rounded.{key}", length=length)

    def exactly(self, setting: Setting) -> str:
        """Return a length as it is: exactly where it can be written so in the user's units, else about."""
        fraction = setting.fraction
        if fraction is not None and self._is_written_out(setting):
            return _whole(words.length(fraction, self.units))
        return self.about(setting.value_mm)

    def _is_written_out(self, setting: Setting) -> bool:
        """Tell whether a length can be written exactly: a decimal of a mm, or a fraction that an inch rule has."""
        if setting.fraction is None:
            return False
        return words.on_inch_rule(setting.fraction) if self.units == "in" else 10**6 % setting.fraction.denominator == 0

    def about(self, mm: float) -> str:
        """Return a length to a hundredth of a mm, or to a thousandth of an inch."""
        if self.units == "in":
            return _whole(f"{mm / float(words.MM_PER_INCH):.3f} in")
        return _whole(f"{f'{mm:.2f}'.rstrip('0').rstrip('.')} mm")

    # --- what to measure ----------------------------------------------------------------------

    def _measure(self, one: Measuring) -> Line:
        a, b, c, d, e, f = (*map(words.plain, one.things), *[""] * 6)[:6]
        reads = ""
        if one.expected is not None:
            reads = f"{self.on_ruler(one.expected)}{self._rounding(one.expected)}"
        said = [say(f"card.measure.{one.how}", a=a, b=b, c=c, d=d, e=e, f=f, count=one.count, reads=reads), self._allow(one)]
        if one.verdict not in ("proved", ""):
            said.append(self._method_off(one))
        said.append(self._mend(one))
        return Line("measure", " ".join(part for part in said if part), say("card.head.measure"))

    def _allow(self, one: Measuring) -> str:
        if not one.within:
            return say("card.no_figure")
        (_, own), (other, beside) = one.within
        key = f"{'allow' if one.unit == 'mm' else 'along'}{'' if other == 'careful' else '_careful'}"
        return say(f"card.{key}", own=self._off(own, one.unit), beside=self._off(beside, one.unit), arm=self._arm())

    def _arm(self) -> str:
        return _whole(f"{ARM_IN} in" if self.units == "in" else "100 mm")

    def _off(self, mm: float, unit: str) -> str:
        """Return how much something is off; of a direction, on the arm that it is judged over."""
        if unit == "mm":
            return _whole(figures.amount(mm, self.units))
        return _whole(f"{figures.two_figures(mm * ARM_IN / 100)} in" if self.units == "in" else f"{figures.two_figures(mm)} mm")

    def _method_off(self, one: Measuring) -> str:
        if one.verdict == "undecided":
            return say("card.method_open")
        if not one.off_mm:
            return say("card.method_fails")
        off = self._off(one.off_mm, one.unit)
        off = off if one.unit == "mm" else say("card.off_along", off=off, arm=self._arm())
        return say("card.method_off", off=off) if one.verdict == "refuted" else say("card.method_within", off=off)

    def _mend(self, one: Measuring) -> str:
        who = []
        for culprit in one.culprits:
            number = self.by_line.get(culprit.line)
            if number is not None:
                share = _whole(figures.whole_share(culprit.share))
                who.append(say("card.culprit", names=words.plain(culprit.names), number=number, share=share))
        said = say("card.mend.again", who=words.listed(who, last="then")) if who else say("card.mend.read")
        if one.how in MEND_CENTRE:
            said += " " + say("card.mend.centre")
        elif one.how in MEND_SPACES:
            said += " " + say("card.mend.spaces")
        return said

    # --- what stands last ---------------------------------------------------------------------

    def end(self) -> Iterator[Line]:
        for number, caution in enumerate(words.cautions()):
            yield Line("caution", caution, say("card.head.cautions") if number == 0 else "")


def _both_units(plan: Plan, units: str) -> str:
    """Return the blank with its size in inches, and in mm too unless somebody who thinks in inches wrote it in them."""
    said = words.blank(plan, units)
    width, height = plan.blank.width, plan.blank.height
    if units == "in" or width is None or height is None:
        return said
    written = words.inches(width.mm)
    if width.text != written and plan.blank.form == "round":
        return say("card.both", blank=said, inches=written)
    if plan.blank.form == "board":
        return say("card.both", blank=said, inches=f"{written} × {words.inches(height.mm)}")
    return said


def _whole(length: str) -> str:
    """Return a length that no line end comes into."""
    return length.replace(" ", words.FIXED)


def _says(written: str, length: str) -> bool:
    """Tell whether a recipe's words hold a length as it stands."""
    return f" {length} " in f" {written.replace(',', ' ')} "
