"""What moves and what distorts: disturbances split into shifts and turn, scale, and the rest.

Orthogonal projection, weighted by length, of what each input does to a set of
marks or cut edges; the mean squares of the parts add up exactly.  A second
question is what makes chips unequal: for chips that are alike, each one's own
shift and turn is taken out, then what all have in common.  *First order*.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from construct.chips import Carving, Chip
from construct.errors.budget import edge_weights
from construct.errors.measurands import SIMPSON, CutEdge, LayoutFormula, step_name
from construct.errors.propagation import Propagation
from construct.phrasebook import Length, Said, say, tell

Array = NDArray[np.float64]

FEWEST = 3
"""Marks that a set must have at least: two always move as one piece, but for their distance."""

MOSTLY = 0.9
"""A step "moves" the layout where at least this part of its mean square is shift and turn: judgement."""

UNSEEN_MM = 0.05
"""Inequality under this cannot be seen or measured at a bench (a fifth of the smallest band that shows): judgement."""

NOTHING_MM = 0.005
"""Inequality under this is as good as none: a twentieth of a sharp pencil line's half width: judgement."""

PARTLY = 0.05
"""A part of a mean square under this is not worth a word: judgement."""


@dataclass(frozen=True, slots=True)
class Split:
    """A mean square displacement, split; each figure is a root mean square in mm.

    all_mm² = rigid_mm² + scale_mm² + rest_mm²: shifts and turn of the whole, its scale, what is left.
    shift_mm: the shifts alone, which a margin shows; a turn of a round pattern shows nowhere.
    """

    all_mm: float
    rigid_mm: float
    scale_mm: float
    rest_mm: float
    shift_mm: float = 0.0

    @property
    def rigid_share(self) -> float:
        """Shift and turn's part of the mean square."""
        return self.rigid_mm**2 / self.all_mm**2 if self.all_mm else 0.0


@dataclass(frozen=True, slots=True)
class Unequal:
    """What happens to chips that are alike; root mean squares over their edges, in mm.

    all_mm² = own_mm² + common_mm² + unequal_mm²: each chip's own shift and turn, a change that all chips
    share, what is left and makes them unequal.
    """

    all_mm: float
    own_mm: float
    common_mm: float
    unequal_mm: float


@dataclass(frozen=True, slots=True)
class StepMovement:
    """One step's part in it; `unequal` has one entry a group of alike chips, in `Movement.groups`' order."""

    step: str
    heading: str
    line: int
    split: Split
    unequal: tuple[Unequal, ...]


@dataclass(frozen=True, slots=True)
class AlikeGroup:
    """Chips that are alike: their numbers, their names or "", and how they fare in all."""

    chips: tuple[int, ...]
    names: tuple[str, ...]
    total: Unequal


@dataclass(frozen=True, slots=True)
class Movement:
    """The split over a set.

    of: "cut edges" or "marks".  total: all steps together.  steps: by step, the largest first.
    headings: the same gathered by the recipe's headings, in its order.
    groups: chips that are alike, two at least.  sentences: what a carver should know from it.
    """

    of: str
    total: Split
    steps: tuple[StepMovement, ...]
    headings: tuple[StepMovement, ...]
    groups: tuple[AlikeGroup, ...]
    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Observations:
    """Displacements along given directions at given places, weighted.

    places, directions: shape (k, 2), mm and unit vectors.  weights: shape (k,), summing to one.
    disturbance: what each input does at one standard uncertainty, shape (k, n), in mm.
    """

    places: Array
    directions: Array
    weights: Array
    disturbance: Array


def split_inputs(seen: Observations) -> Array:
    """Return mean squares by input of the whole, the rigid part, the scale and the rest, shape (4, n), in mm².

    Directions that are seen at a place are all that counts: a circle's own turn is seen nowhere.
    """
    centre = seen.weights @ seen.places / seen.weights.sum()
    out = seen.places - centre
    x, y = seen.directions.T
    rigid = np.stack([x, y, y * out[:, 0] - x * out[:, 1]], axis=1)
    scale = (seen.directions * out).sum(axis=1)[:, None]
    root = np.sqrt(seen.weights)[:, None]
    whole = root * seen.disturbance
    moved, rest = _projected(_basis(root * rigid), whole)
    scaled, rest = _projected(_basis(root * scale, _basis(root * rigid)), rest)
    return np.array([(part**2).sum(axis=0) for part in (whole, moved, scaled, rest)])


def shift_inputs(seen: Observations) -> Array:
    """Return mean squares by input of the shifts alone, shape (n,), in mm²."""
    root = np.sqrt(seen.weights)[:, None]
    moved, _ = _projected(_basis(root * seen.directions), root * seen.disturbance)
    return np.asarray((moved**2).sum(axis=0))


def _basis(columns: Array, besides: Array | None = None) -> Array:
    """Return an orthonormal basis of the columns' span, square to `besides`; columns of no effect fall out."""
    lengths = np.linalg.norm(columns, axis=0)
    columns = columns[:, lengths > 0] / lengths[lengths > 0]
    if besides is not None and besides.shape[1]:
        columns = columns - besides @ (besides.T @ columns)
    if not columns.size:
        return np.zeros((len(columns), 0))
    left, sizes, _ = np.linalg.svd(columns, full_matrices=False)
    return left[:, sizes > 1e-9]


def _projected(basis: Array, what: Array) -> tuple[Array, Array]:
    inside = basis @ (basis.T @ what)
    return inside, what - inside


def observe_marks(formula: LayoutFormula, propagation: Propagation, marks: Sequence[int]) -> Observations:
    """Return the displacements of marks, each seen in both directions and weighted alike."""
    contributions = propagation.contributions
    places, directions, rows = [], [], []
    for index in marks:
        at = formula.of_mark(index)
        place = propagation.estimates[at]
        if np.isnan(place).any():
            continue
        places += [place, place]
        directions += [(1.0, 0.0), (0.0, 1.0)]
        rows.append(contributions[at])
    count = len(places)
    # the mean square is that of the distance, so each mark's two directions share one weight
    weights = np.full(count, 2 / count) if count else np.zeros(0)
    disturbance = np.concatenate(rows) if rows else np.zeros((0, len(propagation.inputs)))
    return Observations(np.array(places).reshape(count, 2), np.array(directions).reshape(count, 2), weights, disturbance)


def observe_edges(formula: LayoutFormula, propagation: Propagation) -> Observations:
    """Return the displacements of all cut edges, weighted by length; three stations an edge, Simpson's weights."""
    wanted, weights = edge_weights(formula, propagation)
    stations = [station for edge in formula.edges for station in edge.stations]
    first = 2 * len(formula.marks)
    some = [stations[place - first] for place in wanted]
    places = np.array([(float(one.x), float(one.y)) for one in some]).reshape(-1, 2)
    directions = np.array([one.normal for one in some]).reshape(-1, 2)
    return Observations(places, directions, weights, propagation.contributions[wanted])


# --- chips that are alike ------------------------------------------------------------------------


def unequal_inputs(chips: Sequence[Observations]) -> Array:
    """Return mean squares by input of the whole, each chip's own motion, the common change and the inequality, shape (4, n).

    chips: the alike chips, seen outwards from each, their stations in matching order; one list of weights for all.
    """
    whole, own, left = [], [], []
    for seen in chips:
        centre = seen.weights @ seen.places / seen.weights.sum()
        out = seen.places - centre
        x, y = seen.directions.T
        root = np.sqrt(seen.weights)[:, None]
        basis = _basis(root * np.stack([x, y, y * out[:, 0] - x * out[:, 1]], axis=1))
        moved, rest = _projected(basis, root * seen.disturbance)
        whole.append(root * seen.disturbance)
        own.append(moved)
        left.append(rest)
    rest = np.array(left)
    common = rest.mean(axis=0)
    count = len(chips)
    parts = np.array(whole), np.array(own), np.broadcast_to(common, rest.shape), rest - common
    return np.array([(part**2).sum(axis=(0, 1)) / count for part in parts])


def observe_alike(
    formula: LayoutFormula, propagation: Propagation, chips: Sequence[Chip], spot: Any
) -> list[Observations] | None:
    """Return alike chips' displacements outwards, stations in matching order; None where an edge has no budget.

    `spot(point)` gives an exact point's place as floats.  A chip's stations are laid on the first one's by
    the isometry that takes one outline to the other; where several do (a leaf can be turned end for end), the
    one that leaves the two least unequal is taken.
    """
    contributions = propagation.contributions
    rounds = [_round(formula, contributions, chip, spot) for chip in chips]
    if any(one is None or len(one.weights) != len(rounds[0].weights) for one in rounds):  # type: ignore[union-attr]
        return None
    first = rounds[0]
    assert first is not None
    matched = [first]
    for other in rounds[1:]:
        assert other is not None
        fits = _fits(first, other)
        if not fits:
            return None
        matched.append(min(fits, key=lambda one: float(unequal_inputs([first, one])[3].sum())))
    return matched


def _round(formula: LayoutFormula, contributions: Array, chip: Chip, spot: Any) -> Observations | None:
    """Return a chip's stations in the order of its outline and holes, seen outwards from it."""
    mine = [(edge, sign) for edge in formula.edges for number, sign in edge.sides if number == chip.number]
    places, directions, weights, rows = [], [], [], []
    for walk in chip.walks:
        for step in walk:
            found = _edges_along(formula, mine, step.thing, spot(step.start), spot(step.finish), step.whole)
            if not found:
                return None
            for edge, sign, backwards in found:
                order = range(2, -1, -1) if backwards else range(3)
                for place in order:
                    station = edge.stations[place]
                    places.append((float(station.x), float(station.y)))
                    directions.append((station.normal[0] * sign, station.normal[1] * sign))
                    weights.append(SIMPSON[place] * edge.length_mm)
                    rows.append(contributions[formula.of_edge(edge.number)][place] * sign)
    disturbance = np.array(rows)
    if np.isnan(disturbance).any():
        return None
    share = np.array(weights)
    return Observations(np.array(places), np.array(directions), share / share.sum(), disturbance)


def _edges_along(
    formula: LayoutFormula, mine: Sequence[tuple[CutEdge, int]], thing: int, start: Any, finish: Any, whole: bool
) -> list[tuple[CutEdge, int, bool]]:
    if whole:
        return [(edge, sign, False) for edge, sign in mine if edge.thing == thing]
    for edge, sign in mine:
        ends = [(float(one.x), float(one.y)) for one in (edge.stations[0], edge.stations[2])]
        if edge.thing == thing:
            for backwards in (False, True):
                a, b = reversed(ends) if backwards else ends
                if math.dist(a, start) < 1e-6 and math.dist(b, finish) < 1e-6:
                    return [(edge, sign, backwards)]
    return []


def _fits(first: Observations, other: Observations) -> list[Observations]:
    """Return the orders of the other's stations in which an isometry lays it on the first (floats only match what is proved alike)."""
    count = len(first.weights)
    found = []
    for flipped in (False, True):
        for shift in range(0, count, 3):
            order = np.roll(np.arange(count), -shift)
            if flipped:
                order = order[::-1]
            one = Observations(other.places[order], other.directions[order], other.weights[order], other.disturbance[order])
            if np.allclose(one.weights, first.weights, atol=1e-6) and _isometric(first, one, flipped):
                found.append(one)
    return found


def _isometric(a: Observations, b: Observations, flipped: bool) -> bool:
    p = a.places - a.weights @ a.places
    q = b.places - b.weights @ b.places
    if flipped:
        q = q * (-1.0, 1.0)
    # best turn between two sets of places, in complex numbers
    turn = np.vdot(q[:, 0] + 1j * q[:, 1], p[:, 0] + 1j * p[:, 1])
    if abs(turn) == 0:
        return False
    laid = (q[:, 0] + 1j * q[:, 1]) * turn / abs(turn)
    return bool(np.max(np.abs(laid - (p[:, 0] + 1j * p[:, 1]))) < 1e-6)


# --- the record ----------------------------------------------------------------------------------


def find_movement(
    formula: LayoutFormula, propagation: Propagation, carving: Carving | None, alike: Sequence[Sequence[Chip]], spot: Any
) -> Movement | None:
    """Return the split over all cut edges, or over all marks where nothing is cut; None for fewer than three.

    alike: groups of chips that are exactly alike.  spot: an exact point's place as floats.
    """
    seen = observe_edges(formula, propagation)
    of = "cut edges"
    if len(seen.weights) < FEWEST:
        seen = observe_marks(formula, propagation, formula.marks)
        of = "marks"
        if len(seen.weights) < 2 * FEWEST:
            return None
    parts = np.vstack([split_inputs(seen), shift_inputs(seen)])
    groups: list[tuple[tuple[Chip, ...], Array]] = []
    for chips in alike if carving is not None else ():
        matched = observe_alike(formula, propagation, chips, spot) if len(chips) > 1 else None
        if matched is not None:
            groups.append((tuple(chips), unequal_inputs(matched)))
    plan = formula.plan
    steps = {step.key: step for step in plan.steps}
    members: dict[str, list[int]] = {}
    under: dict[str, list[int]] = {}
    for place, one in enumerate(propagation.inputs):
        members.setdefault(one.step, []).append(place)
        # what a tool does throughout the job is no step's, and under no heading
        under.setdefault(steps[one.step].heading if one.step in steps else "", []).append(place)

    def part(name: str, heading: str, line: int, some: list[int]) -> StepMovement:
        split = Split(*_roots(parts[:, some]))
        return StepMovement(name, heading, line, split, tuple(Unequal(*_roots(one[:, some])) for _, one in groups))

    by_step = [
        part(step_name(plan, steps[key]), steps[key].heading, steps[key].span.line, some) if key in steps else part(key, "", 0, some)
        for key, some in members.items()
    ]
    lines = {heading: min((step.span.line for step in plan.steps if step.heading == heading), default=0) for heading in under}
    by_heading = tuple(part(heading, heading, lines[heading], some) for heading, some in under.items())
    alike_groups = tuple(
        AlikeGroup(tuple(chip.number for chip in chips), tuple(chip.name for chip in chips), Unequal(*_roots(one))) for chips, one in groups
    )
    total = Split(*_roots(parts))
    return Movement(
        of, total, tuple(sorted(by_step, key=lambda one: -one.split.all_mm)), by_heading, alike_groups,
        _sentences(of, total, by_heading, alike_groups),
    )  # fmt: skip


def _roots(squares: Array) -> list[float]:
    return [math.sqrt(float(one)) for one in squares.sum(axis=1)]


def _sentences(of: str, total: Split, headings: Sequence[StepMovement], groups: Sequence[AlikeGroup]) -> tuple[str, ...]:
    """Say it for a carver, each sentence only where the figures carry it."""
    said = []
    cuts = of == "cut edges"
    for one in headings:
        if one.split.all_mm == 0 or not one.heading:
            continue
        share = one.split.rigid_share
        if share >= MOSTLY:
            text = tell("movement.moves_pattern" if cuts else "movement.moves_marks", heading=one.heading, by=_about(one.split.rigid_mm))
        else:
            text = tell("movement.off_cuts" if cuts else "movement.off_marks", heading=one.heading, by=_about(one.split.all_mm))
        partly = say("movement.partly", share=f"{share * 100:.0f} %") if PARTLY <= share < MOSTLY else ""
        equal: Said | str = ""
        if groups:
            worst = max(part.unequal_mm for part in one.unequal)
            name = _called(groups)
            if worst < NOTHING_MM:
                equal = say("movement.equal", chips=name)
            elif worst < UNSEEN_MM:
                equal = tell("movement.unseen", chips=name, by=Length(worst, figures=1))
            else:
                equal = tell("movement.unequal", chips=name, by=_about(worst))
        said.append(tell("movement.sentence", said=text, partly=partly, equal=equal))
    return tuple(said)


def _about(mm: float) -> Length:
    return Length(mm, figures=2)


def _called(groups: Sequence[AlikeGroup]) -> str:
    """Return what the chips are called: "the leaf chips" where all names begin alike, else "the chips"."""
    heads = {name.split(".")[0] for group in groups for name in group.names}
    return say("movement.named", name=heads.pop()) if len(heads) == 1 and "" not in heads else say("movement.chips")
