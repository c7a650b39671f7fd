"""The best free choices of a layout: the openings, hooks and marks for which the hand's errors do the least.

Only choices that leave the pattern where it is are moved; the rest are part of
the pattern.  What is allowed is decided exactly, u is *first order*, and the
least is the least that was found by moving one choice at a time (*estimate*).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import cache

from construct.chips import Carving
from construct.claims._verdict import decide
from construct.diagnostics import Mistakes, diagnostic
from construct.errors.analysis import unknown_level
from construct.errors.measurands import LayoutFormula, make_formula, touching_steps
from construct.methods._crossing_angles import changed_angles
from construct.methods._descent import Stretch, as_good, descend, stretch
from construct.methods.choices import ANGLE, LENGTH, Coordinate, coordinates, drawn_choices, moved
from construct.methods.trial import (
    Stopped,
    Trials,
    crossing_steps,
    cut_things,
    downstream,
    spread,
    unmoved,
    upstream,
)
from construct.methods.tuned_choices import AS_GOOD, CUTS, MARKS, CrossingAngle, KeptChoice, OtherCrossing, TunedChoice, Tuning
from construct.number_systems.exact import ExactSystem
from construct.phrasebook import say
from construct.plan import Plan, Step, things_of
from construct.replay import Settled
from construct.replay.settle import Drawn
from construct.tools._settings import at_level

LOOKS = 61
"""Places of a choice that the curve of a figure goes through."""

FIRST_MM, FIRST_DEG = 0.5, 0.5
"""The first step of looking how far a choice can be moved."""

NEAR_END = 0.004
"""A best setting this near an end of what is allowed, as a part of the whole, is held back by that end."""


def tune(
    settled: Settled,
    carving: Carving | None,
    exact: ExactSystem,
    *,
    at: Sequence[str] = (),
    bench: str | None = None,
    ruler: Fraction = Fraction(1),
) -> Tuning:
    """Return the best settings of a settled plan's free choices.

    at: the marks that matter; where none are named, all cut edges, or without any the marks that the claims are about.
    bench: another level of hand.  ruler: what settings are rounded to, in mm.
    Raises `Mistakes` where names or bench make no sense, or where nothing is free that could be tuned.
    Cost: some thousand exact replays of what the choices reach, a few seconds for a full plate.
    """
    _check(settled.plan, at, bench)
    if bench is not None:
        settled = replace(settled, plan=replace(settled.plan, settings=at_level(settled.plan.settings, bench)))
    return _Tuner(settled, carving, exact, at, float(ruler)).tune()


def _check(plan: Plan, at: Sequence[str], bench: str | None) -> None:
    wrongs = []
    wrong = unknown_level(bench)
    if wrong is not None:
        wrongs.append(wrong)
    marks = [thing.name for thing in plan.things if thing.kind == "mark"]
    for name in at:
        if name not in marks:
            shown = ", ".join(marks[:12]) + (", …" if len(marks) > 12 else "")
            wrongs.append(diagnostic("C700.marks" if marks else "C700.no_marks", name=name, marks=shown))
    if wrongs:
        raise Mistakes(tuple(wrongs))


class _Tuner:
    def __init__(self, settled: Settled, carving: Carving | None, exact: ExactSystem, at: Sequence[str], ruler: float) -> None:
        self.base, self.carving, self.exact, self.at, self.ruler = settled, carving, exact, tuple(at), ruler
        self.plan = settled.plan
        # what holds as drawn must hold as tuned, whether or not it holds for every choice
        self.verdicts = decide(settled, exact, carving)
        self.drawn: dict[str, Drawn] = drawn_choices(self.plan)
        self.turned: set[int] = set()
        self.kept: list[KeptChoice] = []

    def tune(self) -> Tuning:
        every = coordinates(self.base, self.exact.to_float)
        if not every and not self._picking():
            raise Mistakes((diagnostic("C701.nothing_free"),))
        about, watched = self._measured(every)
        self.formula = self._formula(about, watched)
        self.trials = Trials(self.base, self.formula, self.verdicts, {one.number for one in every}, watched)
        self.u_drawn = spread(self.formula)
        if not math.isfinite(self.u_drawn):
            raise Mistakes((diagnostic("C703.no_budget"),))
        moving = self._sorted_out(every, watched)
        crossings = self._crossings(watched)
        if not moving and not crossings:
            why = "; ".join(dict.fromkeys(_why_kept(one) for one in self.kept)) or say("tune.kept_why.none")
            raise Mistakes((diagnostic("C702.nothing", why=why),))
        self.every = [one for one, _ in moving]
        # coordinates of choices that stay keep what the recipe draws, exactly
        start = tuple(one.value for one in self.every)
        values, best = descend(self._u, self._reach, start) if moving else ((), self._u(()))
        if self._u(start) <= best * 1.0005:
            values = start
        settings = self._rounded(values)
        after = self._u(settings)
        best = min(best, after)
        choices = tuple(self._told(place, values, settings, best, moves) for place, (_, moves) in enumerate(moving))
        return Tuning(
            about=about,
            marks=tuple(self.plan.things[index].name for index in self.formula.marks),
            asked=bool(self.at),
            level=self.plan.settings.level,
            u_drawn_mm=self.u_drawn,
            u_best_mm=best,
            u_mm=after,
            choices=choices,
            crossings=crossings,
            angles=self._angles(settings),
            kept=tuple(self.kept),
            tried=self.trials.tried,
        )

    # --- what is measured ------------------------------------------------------------------------

    def _measured(self, every: Sequence[Coordinate]) -> tuple[str, set[int]]:
        """Return what u is taken of, and the things that must stay where they are."""
        plan = self.plan
        if self.at:
            return MARKS, {plan.index(name) for name in self.at}
        if self.carving is not None and any(edge for chip in self.carving.chips for walk in chip.walks for edge in walk):
            return CUTS, cut_things(plan)
        named = {index for claim in plan.claims for argument in claim.arguments for index in things_of(argument)}
        named = {index for index in named if plan.things[index].kind == "mark"}
        named = named or {index for index, thing in enumerate(plan.things) if thing.kind == "mark" and thing.step >= 0}
        reached = {index for index in named if upstream(plan, [index]) & {one.number for one in every}}
        for one in every:
            stay = self._stay(one, named)
            reached -= named - stay if stay is not None else set()
        # none that is reached and stays: then those that just stay, for the crossings' sake
        return MARKS, reached or named

    def _formula(self, about: str, watched: set[int]) -> LayoutFormula:
        whole, _ = make_formula(self.base, self.carving if about == CUTS else None, self.exact)
        without = frozenset(touching_steps(self.base, self.exact))
        marks = tuple(index for index in whole.marks if index in watched) if about == MARKS else ()
        edges = tuple(replace(edge, number=number) for number, edge in enumerate(edge for edge in whole.edges if not edge.groove))
        return replace(whole, marks=marks, edges=edges, without=without)

    def _stay(self, one: Coordinate, things: set[int]) -> set[int] | None:
        """Return which things stay exactly where they are when a choice is moved; None where no other is allowed."""
        stay: set[int] | None = None
        steps = upstream(self.plan, things) | {one.number}
        plan = replace(
            self.plan, steps=tuple(step for step in self.plan.steps if step.number in steps | upstream(self.plan, self._outputs(steps)))
        )
        near = (7.0, -7.0, 3.0, -3.0, 1.0, -1.0) if one.kind == ANGLE else (5.0, -5.0, 2.0, -2.0, 0.5, -0.5)
        found = 0
        for off in near:
            same = unmoved(plan, self.drawn, moved(self.drawn, [one], 0, one.value + off), things)
            if same is not None:
                stay = same if stay is None else stay & same
                found += 1
            if found == 2:
                break
        return stay

    def _outputs(self, numbers: set[int]) -> list[int]:
        return [index for step in self.plan.steps if step.number in numbers for index in step.outputs]

    def _sorted_out(self, every: Sequence[Coordinate], watched: set[int]) -> list[tuple[Coordinate, bool]]:
        """Return the coordinates to move, each with whether what is measured moves with it; the others are kept, with the reason."""
        numbers = upstream(self.plan, watched)
        moving = []
        for one in every:
            if one.number not in numbers:
                self._keep(one, "idle")
                continue
            stay = self._stay(one, watched)
            moves = stay is not None and stay != watched
            if stay is None:
                self._keep(one, "pinned")
            elif moves and not self.at:
                self._keep(one, "pattern")
            else:
                moving.append((one, moves))
        return moving

    def _keep(self, one: Coordinate, why: str) -> None:
        kept = KeptChoice(one.names, one.line, why)
        if kept not in self.kept:
            self.kept.append(kept)

    # --- which of two crossings ------------------------------------------------------------------

    def _picking(self) -> list[Step]:
        """Return the steps whose words pick one of two crossings."""
        return [step for step in crossing_steps(self.plan, {step.number for step in self.plan.steps}) if step.phrase.sides and step.picks]

    def _crossings(self, watched: set[int]) -> tuple[OtherCrossing, ...]:
        """Look at the other crossing wherever the claims hold with it and what is measured stays; keep to the better one."""
        numbers = upstream(self.plan, watched)
        found = []
        for step in self._picking():
            if step.number not in numbers or watched.intersection(step.outputs):
                continue
            reached = downstream(self.plan, {step.number})
            trials = Trials(self.base, self.formula, self.verdicts, reached, watched)
            other = trials.u_mm(self.drawn, {*self.turned, step.number})
            if (
                not math.isfinite(other)
                or unmoved(trials.plan, self.drawn, self.drawn, watched, turned={*self.turned, step.number}) != watched
            ):
                continue
            u = trials.u_mm(self.drawn, self.turned)
            taken = other < u * 0.995
            if taken:
                self.turned.add(step.number)
            words = " and ".join(pick.text for pick in step.picks)
            found.append(OtherCrossing(self.plan.things[step.outputs[0]].name, step.span.line, words, u, other, taken))
        if self.turned:
            steps = {one.number for one in coordinates(self.base, self.exact.to_float)} | self.turned
            self.trials = Trials(self.base, self.formula, self.verdicts, steps, watched)
        return tuple(found)

    # --- trying ----------------------------------------------------------------------------------

    def _at(self, values: Sequence[float]) -> dict[str, Drawn]:
        drawn: Mapping[str, Drawn] = self.drawn
        for place, value in enumerate(values):
            if value != self.every[place].value:
                drawn = moved(drawn, self.every, place, value)
        return dict(drawn)

    def _u(self, values: Sequence[float]) -> float:
        return self.trials.u_mm(self._at(values), self.turned)

    def _stop(self, values: Sequence[float]) -> Stopped | None:
        there = self.trials.settled(self._at(values), self.turned)
        return there if isinstance(there, Stopped) else None

    def _reach(self, values: Sequence[float], place: int) -> Stretch:
        one, at = self.every[place], values[place]

        @cache
        def allowed(value: float) -> bool:
            return self._stop((*values[:place], value, *values[place + 1 :])) is None

        if one.kind == ANGLE:
            return stretch(allowed, at, FIRST_DEG, at - 180, at + 180)
        most = self._longest()
        return stretch(allowed, at, FIRST_MM, 0.0 if one.kind == LENGTH else -most, most)

    def _longest(self) -> float:
        """Return a length that no choice on this bench exceeds, in mm."""
        blank = self.plan.blank
        sizes = [float(one.mm) for one in (blank.width, blank.height) if one is not None]
        return 1.01 * max(float(self.plan.settings.compass_reach), *sizes, 0.0)

    # --- what a hand sets ------------------------------------------------------------------------

    def _rounded(self, values: Sequence[float]) -> tuple[float, ...]:
        """Return the values rounded to the ruler or to whole degrees, one by one, the nearest that is allowed."""
        settings = tuple(values)
        for place, one in enumerate(self.every):
            if settings[place] == one.value:
                continue
            step = 1.0 if one.kind == ANGLE else self.ruler
            near = round(settings[place] / step) * step
            steps = [
                value for _, value in sorted((abs(near + step * off - settings[place]), near + step * off) for off in (-2, -1, 0, 1, 2))
            ]
            # one step clear of what forbids more, so that the hand does not set it right there
            for clear in (step, 0.0):
                fitting = [
                    value for value in steps
                    if all(self._stop((*settings[:place], value + off, *settings[place + 1 :])) is None for off in {-clear, 0.0, clear})
                ]  # fmt: skip
                if fitting:
                    settings = (*settings[:place], fitting[0], *settings[place + 1 :])
                    break
        return settings

    def _told(self, place: int, values: Sequence[float], settings: Sequence[float], best: float, moves: bool) -> TunedChoice:
        one = self.every[place]
        ends = self._reach(settings, place)
        whole = ends.high - ends.low
        around = one.kind == ANGLE and whole >= 359.9

        @cache
        def u(value: float) -> float:
            return self._u((*settings[:place], value, *settings[place + 1 :]))

        good = (
            as_good(u, ends, settings[place], float(AS_GOOD) * best)
            if math.isfinite(u(settings[place]))
            else Stretch(settings[place], settings[place])
        )
        stops = [None if around else self._beyond(settings, place, end, way) for end, way in ((ends.low, -1), (ends.high, 1))]
        near = NEAR_END * whole
        held = stops[0] if values[place] - ends.low <= near else stops[1] if ends.high - values[place] <= near else None
        looks = [ends.low + whole * number / (LOOKS - 1) for number in range(LOOKS)]
        return TunedChoice(one, values[place], settings[place], (good.low, good.high), (ends.low, ends.high), stops[0], stops[1], held, moves,
                           tuple((value, u(value)) for value in looks))  # fmt: skip

    def _beyond(self, settings: Sequence[float], place: int, end: float, way: int) -> Stopped | None:
        """Return what forbids going a little beyond an end."""
        off = 0.02 if self.every[place].kind == ANGLE else 0.005
        return self._stop((*settings[:place], end + way * off, *settings[place + 1 :]))

    # --- how things cross ------------------------------------------------------------------------

    def _angles(self, settings: Sequence[float]) -> tuple[CrossingAngle, ...]:
        """Return the crossings behind what is measured whose angle the new settings change."""
        before = self.trials.settled(self.drawn)
        after = self.trials.settled(self._at(settings), self.turned)
        if isinstance(before, Stopped) or isinstance(after, Stopped):
            return ()
        changed = downstream(self.plan, {one.number for one in self.every})
        return changed_angles(
            before, after, upstream(self.plan, {*self.formula.marks, *(edge.thing for edge in self.formula.edges)}) & changed
        )


def _why_kept(one: KeptChoice) -> str:
    return say(f"tune.kept_why.{one.why}", names=one.names)
