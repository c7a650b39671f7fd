"""Things joined by what is known of two at a time, and the shortest chain of reasons between any two.

One `Links` serves for every relation that can be passed on: equal lengths and
their ratios, lines that run alike or square, angles, turns round a mark.  Each
join carries a label from a group (a ratio, a part of a turn), so that what holds
between the ends of a chain is the product of its labels (Euclid's first common
notion, and V.22).
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from construct.proofs.why.because import Because


Node = Any
"""Anything that can be joined: a term, as a rule."""


@dataclass(frozen=True, slots=True)
class Group:
    """How labels are put together: `combine(one, other)`, `inverse(one)`, and the label `none` of a thing with itself."""

    none: Fraction
    combine: Callable[[Fraction, Fraction], Fraction]
    inverse: Callable[[Fraction], Fraction]


RATIOS = Group(Fraction(1), lambda one, other: one * other, lambda one: 1 / one)
TURNS = Group(Fraction(0), lambda one, other: (one + other) % 1, lambda one: -one % 1)
HALF_TURNS = Group(Fraction(0), lambda one, other: (one + other) % Fraction(1, 2), lambda one: -one % Fraction(1, 2))


class Links:
    """Nodes, and joins between them; `one` is `label` times (or plus) `other` for every join (one, other, label)."""

    def __init__(self, group: Group) -> None:
        self.group = group
        self._joins: dict[Node, list[tuple[Node, Fraction, Because]]] = {}
        self._root: dict[Node, tuple[Node, Fraction]] = {}
        self._members: dict[Node, list[Node]] = {}

    def __contains__(self, node: Node) -> bool:
        return node in self._root

    def add(self, node: Node) -> None:
        """Make a node known."""
        if node not in self._root:
            self._root[node] = node, self.group.none
            self._members[node] = [node]
            self._joins[node] = []

    def join(self, one: Node, other: Node, label: Fraction, because: Because) -> bool:
        """Join two nodes; False where what is known already says otherwise."""
        known = self.relation(one, other)
        if known is not None and known != label:
            return False
        self.add(one)
        self.add(other)
        group = self.group
        self._joins[one].append((other, label, because))
        self._joins[other].append((one, group.inverse(label), because))
        if known is None:
            (root, first), (kept, second) = self._root[one], self._root[other]
            # one = first·root and one = label·second·kept, so root = first⁻¹·label·second·kept
            shift = group.combine(group.inverse(first), group.combine(label, second))
            for node in self._members.pop(root):
                self._root[node] = kept, group.combine(self._root[node][1], shift)
                self._members[kept].append(node)
        return True

    def relation(self, one: Node, other: Node) -> Fraction | None:
        """Return the label between two nodes; None where nothing joins them."""
        if one == other:
            return self.group.none
        if one not in self._root or other not in self._root:
            return None
        (root, first), (same, second) = self._root[one], self._root[other]
        if root != same:
            return None
        # most things that are joined are joined by likeness
        return self.group.none if first == second else self.group.combine(first, self.group.inverse(second))

    def alike(self, node: Node) -> list[Node]:
        """Return every node joined to this one, itself too."""
        return list(self._members[self._root[node][0]]) if node in self._root else []

    def classes(self) -> Iterator[list[Node]]:
        """Yield the sets of nodes that are joined."""
        for members in list(self._members.values()):
            yield list(members)

    def chain(self, one: Node, other: Node) -> list[tuple[Node, Node, Because]]:
        """Return the joins from one node to another that need the fewest steps of proof, then the fewest joins."""
        waiting: list[tuple[int, int, int, Node]] = [(0, 0, 0, one)]
        came: dict[Node, tuple[Node, Because]] = {}
        best: dict[Node, tuple[int, int]] = {one: (0, 0)}
        order = 0
        while waiting:
            cost, length, _, node = heapq.heappop(waiting)
            if node == other:
                break
            if best[node] < (cost, length):
                continue
            for near, _, because in self._joins.get(node, ()):
                reached = cost + because.cost, length + 1
                if near not in best or reached < best[near]:
                    best[near] = reached
                    came[near] = node, because
                    order += 1
                    heapq.heappush(waiting, (*reached, order, near))
        joins: list[tuple[Node, Node, Because]] = []
        node = other
        while node != one:
            before, because = came[node]
            joins.append((before, node, because))
            node = before
        return joins[::-1]
