"""Past the limit of the exact method: the best order found, and a bound below every order.

The order comes from a beam over down-sets. The bound is the exact best of a *part* of the
tasks: leaving tasks out of an order never adds changes (once changes are taken by their cheapest
detour), so minutes of all sure tasks plus the changes of the best order of any part of them is
below every order. The part is chosen as large as the exact method can hold.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import numpy.typing as npt

from casewright.reasoning.sequence import Changes, Graph, Task
from casewright.reasoning.sequence_exact import (
    Floats,
    Integers,
    Masks,
    SetupTable,
    Words,
    best_order,
    distinct,
    layers_of,
)


def beam_order(graph: Graph, table: SetupTable, width: int) -> tuple[list[int], float]:
    """A good order by keeping the `width` most promising (down-set, set-up) of each size.

    Args:
        graph: the precedence graph [-].
        table: set-ups and what tasks cost from them [min].
        width: how many are kept [-].
    Returns:
        task positions in order [-] and minutes in all [min].
    Valid: any number of tasks; found, not proven.
    Raises: nothing.
    Source: own: beam search ordered by minutes so far plus set-ups that must still be entered.
    """
    masks = Masks.of(graph)
    promise = _Promise(graph, table)
    sets = np.zeros((1, masks.bit.shape[1]), np.uint64)
    setup, cost = np.zeros(1, np.int64), np.zeros(1)
    history: list[tuple[Integers, Integers]] = []
    best: tuple[float, int, int] | None = None
    while len(sets):
        for row in np.flatnonzero(masks.reached(sets)):
            if best is None or cost[row] < best[0]:
                best = (float(cost[row]), len(history), int(row))
        grown = _grow(masks, table, sets, setup, cost)
        if grown is None:
            break
        sets, setup, cost, parent, task = _keep(promise, *grown, width)
        history.append((parent, task))
    assert best is not None, "the goal of a checked graph is always reached"
    return _read_back(history, best[1], best[2]), best[0]


class _Promise:
    """Minutes that are sure to come: tasks not done, and tools and postures not yet at hand."""

    def __init__(self, graph: Graph, table: SetupTable) -> None:
        self.must = sorted(graph.must)
        self.masks = Masks.of(graph)
        self.minutes = np.array([task.minutes for task in graph.tasks])
        kinds = {(task.tool, task.posture) for task in graph.tasks}
        self.kinds = [
            (
                np.bitwise_or.reduce(
                    self.masks.bit[[i for i in self.must if _kind(graph.tasks[i]) == kind]], axis=0
                ),
                np.array([_matches(setup.tool, setup.posture, kind) for setup in table.setups]),
                _cheapest_entry(graph, table, kind),
            )
            for kind in sorted(kinds)
            if any(_kind(graph.tasks[i]) == kind for i in self.must)
        ]

    def still(self, sets: Words, setup: Integers) -> Floats:
        """Minutes to come at least, by state."""
        total = np.zeros(len(sets))
        for i in self.must:
            total += np.where((sets & self.masks.bit[i]).any(axis=1), 0.0, self.minutes[i])
        for bits, at_hand, entry in self.kinds:
            left = ((sets & bits) != bits).any(axis=1) & ~at_hand[setup]
            total += np.where(left, entry, 0.0)
        return total


def _kind(task: Task) -> tuple[str, str]:
    return (task.tool, task.posture)


def _matches(tool: str, posture: str, kind: tuple[str, str]) -> bool:
    """Whether a set-up serves a kind of task without any change."""
    return kind[0] in ("", tool) and kind[1] in ("", posture)


def _cheapest_entry(graph: Graph, table: SetupTable, kind: tuple[str, str]) -> float:
    """Least change minutes to come to a kind of task from a set-up that doesn't serve it."""
    i = next(i for i, task in enumerate(graph.tasks) if _kind(task) == kind)
    away = [
        table.cost[s, i] - graph.tasks[i].minutes
        for s, setup in enumerate(table.setups)
        if not _matches(setup.tool, setup.posture, kind)
    ]
    return min(away, default=0.0)


Grown = tuple[Words, Integers, Floats, Integers, Integers]


def _grow(
    masks: Masks, table: SetupTable, sets: Words, setup: Integers, cost: Floats
) -> Grown | None:
    """All states one task further: sets, set-ups, costs, parents, tasks."""
    parts = []
    over = masks.reached(sets)
    for task in range(len(masks.bit)):
        rows = np.flatnonzero(masks.may(sets, task) & ~over)
        if len(rows):
            further = cost[rows] + table.cost[setup[rows], task]
            tasks = np.full(len(rows), task, dtype=np.int64)
            then = table.to[setup[rows], task]
            parts.append((sets[rows] | masks.bit[task], then, further, rows, tasks))
    if not parts:
        return None
    return tuple(np.concatenate(column) for column in zip(*parts, strict=True))  # type: ignore[return-value]


def _keep(
    promise: _Promise,
    sets: Words,
    setup: Integers,
    cost: Floats,
    parent: Integers,
    task: Integers,
    width: int,
) -> Grown:
    """The cheapest way to each (set, set-up), and of those the most promising `width`."""
    _, place = distinct(sets)
    key = place * (int(setup.max()) + 1) + setup
    by = np.lexsort((cost, key))
    first = np.ones(len(by), dtype=bool)
    first[1:] = key[by][1:] != key[by][:-1]
    chosen: npt.NDArray[np.int64] = by[first]
    if len(chosen) > width:
        rank = cost[chosen] + promise.still(sets[chosen], setup[chosen])
        chosen = chosen[np.argsort(rank, kind="stable")[:width]]
    return sets[chosen], setup[chosen], cost[chosen], parent[chosen], task[chosen]


def _read_back(history: list[tuple[Integers, Integers]], depth: int, row: int) -> list[int]:
    """The order that led to a state."""
    order: list[int] = []
    for parent, task in reversed(history[:depth]):
        order.append(int(task[row]))
        row = int(parent[row])
    return order[::-1]


def lower_bound(graph: Graph, changes: Changes, most: int) -> float:
    """Minutes below which no order can be: all sure tasks, plus the best changes of a part.

    Args:
        graph: the precedence graph [-].
        changes: what changes cost [min].
        most: down-sets that the exact method may hold for the part [-].
    Returns:
        the bound [min].
    Valid: any graph; alternatives that leave the part are dropped, which only lowers it.
    Raises: nothing.
    Source: own: leaving tasks out of an order adds no changes once detours are priced.
    """
    work = sum(graph.tasks[i].minutes for i in graph.must)
    detoured = _with_detours(graph, changes)
    kept, closure = sorted(graph.must), _closure_of(graph)
    for share in (1.0, 0.85, 0.7, 0.6, 0.5, 0.4, 0.3, 0.2):
        part = _part(kept, closure, round(share * len(kept)))
        small = _restricted(graph, closure, part)
        layers = layers_of(Masks.of(small), most)
        if layers is not None:
            _, total = best_order(layers, SetupTable.of(small, detoured))
            return work + max(total - sum(task.minutes for task in small.tasks), 0.0)
    return work


def _closure_of(graph: Graph) -> list[set[int]]:
    """All that surely comes before each task."""
    before = [set(after) for after in graph.after]
    for i, ways in enumerate(graph.ways):
        if ways:
            before[i] |= frozenset.intersection(*ways)
    changed = True
    while changed:
        changed = False
        for own in before:
            wider = own.union(*(before[j] for j in own)) if own else own
            if wider != own:
                own |= wider
                changed = True
    return before


def _part(kept: list[int], closure: list[set[int]], size: int) -> list[int]:
    """The tasks most tied by precedence: they make the fewest down-sets."""
    ties = {i: sum((j in closure[i]) + (i in closure[j]) for j in kept) for i in kept}
    return sorted(sorted(kept, key=lambda i: -ties[i])[:size])


def _restricted(graph: Graph, closure: list[set[int]], part: list[int]) -> Graph:
    """The graph of a part, with the precedence that passes through what was left out."""
    place = {i: k for k, i in enumerate(part)}
    after = tuple(frozenset(place[j] for j in closure[i] if j in place) for i in part)
    everything = frozenset(range(len(part)))
    tasks = tuple(graph.tasks[i] for i in part)
    return Graph(tasks, after, tuple(() for _ in part), everything, everything)


def _with_detours(graph: Graph, changes: Changes) -> Changes:
    """Changes priced by their cheapest detour, so that they obey the triangle inequality."""
    tools = {task.tool for task in graph.tasks if task.tool} | {changes.start_tool}
    postures = {task.posture for task in graph.tasks if task.posture} | {changes.start_posture}
    return replace(
        changes,
        tool_pairs=_detours(tools, changes.tool_pairs, changes.tool),
        posture_pairs=_detours(postures, changes.posture_pairs, changes.posture),
    )


def _detours(names: set[str], pairs: object, flat: float) -> dict[tuple[str, str], float]:
    """Cheapest way between every two names (Floyd and Warshall)."""
    assert isinstance(pairs, dict) or hasattr(pairs, "get")
    listed = sorted(names)
    cost = np.array(
        [[0.0 if a == b else pairs.get((a, b), flat) for b in listed] for a in listed]
    ).reshape(len(listed), len(listed))
    for k in range(len(listed)):
        cost = np.minimum(cost, cost[:, k, None] + cost[None, k, :])
    return {
        (a, b): float(cost[i, j])
        for i, a in enumerate(listed)
        for j, b in enumerate(listed)
        if i != j
    }
