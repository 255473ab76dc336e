"""Least time over all orders, by dynamic programming over down-sets and set-ups.

A down-set is what may be done at some moment. Layers of equal size are found forward; the least
time still to come is then found backward for every down-set and set-up, and the order is read off
forward, taking the first task in the given order among those that lose nothing.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from casewright.reasoning.sequence import Changes, Graph, Setup

Words = npt.NDArray[np.uint64]
Floats = npt.NDArray[np.float64]
Integers = npt.NDArray[np.int64]
BITS = 64
TIE = 1e-9
# Added to each task of a selective strip, so that of equal orders the one with fewest tasks wins.
PER_TASK = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Masks:
    """Tasks and precedence as bit masks of one or more 64-bit words."""

    bit: Words
    needs: Words
    ways: tuple[Words, ...]
    goal: Words

    @classmethod
    def of(cls, graph: Graph) -> Masks:
        """The masks of a graph."""
        words = max(1, -(-len(graph.tasks) // BITS))

        def packed(places: frozenset[int]) -> list[int]:
            number = sum(1 << place for place in places)
            return [number >> (BITS * w) & (2**BITS - 1) for w in range(words)]

        size = range(len(graph.tasks))
        return cls(
            np.array([packed(frozenset((i,))) for i in size], np.uint64).reshape(-1, words),
            np.array([packed(after) for after in graph.after], np.uint64).reshape(-1, words),
            tuple(
                np.array([packed(way) for way in ways], np.uint64).reshape(-1, words)
                for ways in graph.ways
            ),
            np.array(packed(graph.goal), np.uint64),
        )

    def may(self, sets: Words, task: int) -> npt.NDArray[np.bool_]:
        """Where a task may be done next."""
        open_: npt.NDArray[np.bool_] = ((sets & self.bit[task]) == 0).all(axis=1)
        open_ &= _holds(sets, self.needs[task])
        if len(self.ways[task]):
            clear = np.zeros(len(sets), dtype=bool)
            for way in self.ways[task]:
                clear |= _holds(sets, way)
            open_ &= clear
        return open_

    def reached(self, sets: Words) -> npt.NDArray[np.bool_]:
        """Where the goal is reached."""
        return _holds(sets, self.goal)


def _holds(sets: Words, needed: Words) -> npt.NDArray[np.bool_]:
    """Where all needed bits are set."""
    held: npt.NDArray[np.bool_] = ((sets & needed) == needed).all(axis=1)
    return held


def distinct(sets: Words) -> tuple[Words, Integers]:
    """Distinct rows of masks, and for each row the place of its like among them.

    Args:
        sets: bit masks [-], shape (n, words).
    Returns:
        the distinct rows [-], shape (m, words), and places [-], shape (n,).
    Valid: any.
    Raises: nothing.
    Source: own: plain sorting.
    """
    if sets.shape[1] == 1:
        found, place = np.unique(sets[:, 0], return_inverse=True)
        return found[:, None], place
    packed = np.ascontiguousarray(sets).view(np.dtype((np.void, sets.shape[1] * 8)))[:, 0]
    _, first, place = np.unique(packed, return_index=True, return_inverse=True)
    return sets[first], place


@dataclass(frozen=True, slots=True, eq=False)
class Layer:
    """Down-sets of one size; per task the rows where it may be done and where that leads."""

    sets: Words
    over: npt.NDArray[np.bool_]
    moves: tuple[tuple[int, Integers, Integers], ...]


def layers_of(masks: Masks, most: int) -> list[Layer] | None:
    """All down-sets up to the goal, layer by layer.

    Args:
        masks: the graph as masks [-].
        most: give up past this many down-sets [-].
    Returns:
        the layers [-], the empty set first; None past the limit.
    Valid: any number of tasks.
    Raises: nothing.
    Source: HELD1962 removed sets as states.
    """
    sets = np.zeros((1, masks.bit.shape[1]), np.uint64)
    layers: list[Layer] = []
    count = 1
    while True:
        over = masks.reached(sets)
        found = []
        for task in range(len(masks.bit)):
            rows = np.flatnonzero(masks.may(sets, task) & ~over)
            if len(rows):
                found.append((task, rows, sets[rows] | masks.bit[task]))
        if not found:
            layers.append(Layer(sets, over, ()))
            return layers
        following, place = distinct(np.concatenate([new for _, _, new in found]))
        ends = np.cumsum([len(rows) for _, rows, _ in found])
        targets = np.split(place, ends[:-1])
        moves = tuple((t, rows, to) for (t, rows, _), to in zip(found, targets, strict=True))
        layers.append(Layer(sets, over, moves))
        sets, count = following, count + len(following)
        if count > most:
            return None


@dataclass(frozen=True, slots=True, eq=False)
class SetupTable:
    """Set-ups as numbers: where each task leads from each set-up, and its minutes with changes."""

    setups: tuple[Setup, ...]
    to: Integers
    cost: Floats

    @classmethod
    def of(cls, graph: Graph, changes: Changes) -> SetupTable:
        """All set-ups that can occur, from the start."""
        crew_counts = changes.call > 0
        setups = [Setup(changes.start_tool, changes.start_posture, 1)]
        place = {setups[0]: 0}
        to: list[list[int]] = []
        for setup in setups:
            to.append([])
            for task in graph.tasks:
                then = setup.for_task(task, crew_counts)
                if then not in place:
                    place[then] = len(setups)
                    setups.append(then)
                to[-1].append(place[then])
        extra = 0.0 if len(graph.must) == len(graph.tasks) else PER_TASK
        cost = [
            [
                changes.minutes(setup, setups[then]) + task.minutes + extra
                for then, task in zip(row, graph.tasks, strict=True)
            ]
            for setup, row in zip(setups, to, strict=True)
        ]
        return cls(tuple(setups), np.array(to, dtype=np.int64), np.array(cost))


def time_to_go(layers: list[Layer], table: SetupTable) -> list[Floats]:
    """Least minutes still to come from every down-set and set-up, backward over the layers.

    Args:
        layers: down-sets [-].
        table: set-ups and what tasks cost from them [min].
    Returns:
        per layer, minutes [min], shape (down-sets, set-ups).
    Valid: graphs without dead ends; a way out once open stays open, so there are none.
    Raises: nothing.
    Source: HELD1962 the recursion, with set-ups beside removed sets.
    """
    togo: list[Floats] = []
    onward = np.zeros((0, len(table.setups)))
    for layer in reversed(layers):
        here = np.full((len(layer.sets), len(table.setups)), np.inf)
        here[layer.over] = 0.0
        for task, rows, to in layer.moves:
            _relax(here, rows, onward[to], table, task)
        togo.append(here)
        onward = here
    return togo[::-1]


def _relax(here: Floats, rows: Integers, after: Floats, table: SetupTable, task: int) -> None:
    """Take the task where it is better than what is known."""
    candidate = after[:, table.to[:, task]]
    candidate += table.cost[:, task]
    here[rows] = np.minimum(here[rows], candidate)


def best_order(layers: list[Layer], table: SetupTable) -> tuple[list[int], float]:
    """The order of least time; ties keep the given order of tasks.

    Args:
        layers: down-sets [-].
        table: set-ups and what tasks cost from them [min].
    Returns:
        task positions in order [-] and minutes in all [min].
    Valid: as `time_to_go`.
    Raises: nothing.
    Source: own: the lexicographically first of the best orders.
    """
    togo = time_to_go(layers, table)
    order: list[int] = []
    row, setup, total = 0, 0, float(togo[0][0, 0])
    for k, layer in enumerate(layers):
        if layer.over[row]:
            break
        for task, rows, to in layer.moves:
            at = int(np.searchsorted(rows, row))
            if at == len(rows) or rows[at] != row:
                continue
            then = int(table.to[setup, task])
            through = table.cost[setup, task] + togo[k + 1][to[at], then]
            if through <= togo[k][row, setup] + TIE * (1.0 + total):
                order.append(task)
                row, setup = int(to[at]), then
                break
    return order, total
