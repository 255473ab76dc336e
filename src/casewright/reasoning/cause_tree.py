"""A tree of cliques: exact marginals of all variables in two sweeps, for many columns at once.

Evidence is multiplied in, sums go inwards to the first clique and outwards again; afterwards
each clique holds the joint of its variables with the evidence. The last axis of every table
carries *columns*: what-if cases (each check supposed to find nothing), answered together.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from casewright.reasoning.cause_factors import Floats, Table


@dataclass(frozen=True, slots=True, eq=False)
class CliqueTree:
    """Cliques in an order in which each stands after the one it hangs on."""

    cliques: tuple[tuple[int, ...], ...]
    members: tuple[frozenset[int], ...]
    hangs_on: tuple[int, ...]

    def home(self, variables: Iterable[int]) -> int:
        """The smallest clique that holds all these variables."""
        wanted = frozenset(variables)
        holding = [k for k, members in enumerate(self.members) if wanted <= members]
        return min(holding, key=lambda k: len(self.cliques[k]))


@dataclass(frozen=True, slots=True, eq=False)
class Calibrated:
    """Each clique's joint with the evidence; `chance` is P(evidence) for each column."""

    tree: CliqueTree
    beliefs: tuple[Floats, ...]
    chance: Floats

    def joint(self, variables: Sequence[int]) -> Floats:
        """P(variables, evidence) on axes in the given order, the columns last."""
        place = self.tree.home(variables)
        clique = self.tree.cliques[place]
        left = [axis for axis in clique if axis in variables]
        summed = self.beliefs[place].sum(
            axis=tuple(k for k, axis in enumerate(clique) if axis not in variables)
        )
        return np.asarray(summed).transpose(*(left.index(axis) for axis in variables), len(left))


def build_tree(groups: Iterable[Sequence[int]], count: int) -> CliqueTree:
    """Cliques by least-neighbours elimination, ties by least fill, joined by largest overlap.

    Args:
        groups: variables that stand together in a factor, group by group [-].
        count: number of variables [-].
    Returns:
        the tree [-].
    Valid: work and memory of a sweep grow with 2 to the size of the largest clique.
    Raises: nothing.
    Source: LAURITZEN1988; KOLLER2009 section 10.4.
    """
    cliques = _maximal(_eliminate(groups, count))
    order, hangs_on = _join(cliques)
    members = tuple(frozenset(cliques[k]) for k in order)
    return CliqueTree(tuple(tuple(sorted(clique)) for clique in members), members, hangs_on)


def _eliminate(groups: Iterable[Sequence[int]], count: int) -> list[set[int]]:
    """The clique met at each step when the variable with fewest neighbours goes first."""
    beside: dict[int, set[int]] = {v: set() for v in range(count)}
    for group in groups:
        for variable in group:
            beside[variable] |= set(group) - {variable}
    cliques = []
    while beside:
        degree = min(map(len, beside.values()))
        few = [v for v, around in beside.items() if len(around) == degree]
        variable = min(few, key=lambda v: _fill(beside, v)) if degree > 1 else few[0]
        around = beside.pop(variable)
        for other in around:
            beside[other] |= around - {other}
            beside[other].discard(variable)
        cliques.append(around | {variable})
    return cliques


def _fill(beside: Mapping[int, set[int]], variable: int) -> int:
    around = beside[variable]
    return sum(len(around - beside[other]) - 1 for other in around)


def _maximal(cliques: list[set[int]]) -> list[set[int]]:
    kept: list[set[int]] = []
    for clique in sorted(cliques, key=len, reverse=True):
        if not any(clique <= other for other in kept):
            kept.append(clique)
    return kept


def _join(cliques: list[set[int]]) -> tuple[list[int], tuple[int, ...]]:
    """A spanning tree of largest overlaps, as an order and the place each clique hangs on."""
    order, hangs_on = [0], [-1]
    nearest = {k: (len(cliques[k] & cliques[0]), 0) for k in range(1, len(cliques))}
    while nearest:
        chosen = max(nearest, key=lambda k: nearest[k][0])
        hangs_on.append(nearest.pop(chosen)[1])
        order.append(chosen)
        for k, (overlap, _) in nearest.items():
            if (closer := len(cliques[k] & cliques[chosen])) > overlap:
                nearest[k] = (closer, len(order) - 1)
    return order, tuple(hangs_on)


def calibrate(tree: CliqueTree, tables: Iterable[Table]) -> Calibrated:
    """Two sweeps over the tree.

    Args:
        tree: a tree that holds each table's variables in one clique [-].
        tables: all factors: priors, families, evidence, columns [-].
    Returns:
        the joint of each clique with the evidence, for each column [-].
    Valid: exact; a column of chance 0 has beliefs of 0.
    Raises: nothing.
    Source: LAURITZEN1988; KOLLER2009 section 10.3.
    """
    beliefs: list[Floats] = [np.ones((2,) * len(c) + (1,)) for c in tree.cliques]
    for table in sorted(tables, key=lambda table: table.values.shape[-1]):
        home = tree.home(table.axes)
        beliefs[home] = beliefs[home] * _spread(table.axes, table.values, tree.cliques[home])
    inwards: list[Floats] = [np.ones(1)] * len(beliefs)
    shared = [_shared(tree, k) for k in range(len(beliefs))]
    for k in range(len(beliefs) - 1, 0, -1):
        on = tree.hangs_on[k]
        inwards[k] = _sum_to(tree.cliques[k], beliefs[k], shared[k])
        beliefs[on] = beliefs[on] * _spread(shared[k], inwards[k], tree.cliques[on])
    for k in range(1, len(beliefs)):
        on = tree.hangs_on[k]
        outwards = _divide(_sum_to(tree.cliques[on], beliefs[on], shared[k]), inwards[k])
        beliefs[k] = beliefs[k] * _spread(shared[k], outwards, tree.cliques[k])
    chance = beliefs[0].sum(axis=tuple(range(len(tree.cliques[0]))))
    return Calibrated(tree, tuple(beliefs), chance)


def _shared(tree: CliqueTree, place: int) -> tuple[int, ...]:
    if place == 0:
        return ()
    return tuple(sorted(tree.members[place] & tree.members[tree.hangs_on[place]]))


def _sum_to(clique: tuple[int, ...], values: Floats, keep: Sequence[int]) -> Floats:
    gone = tuple(k for k, axis in enumerate(clique) if axis not in keep)
    return np.asarray(values.sum(axis=gone))


def _spread(axes: tuple[int, ...], values: Floats, clique: tuple[int, ...]) -> Floats:
    """Values brought to the axes of a clique, length 1 where they don't depend on one."""
    order = sorted(range(len(axes)), key=lambda k: axes[k])
    shape = [2 if axis in axes else 1 for axis in clique]
    return values.transpose(*order, len(axes)).reshape(*shape, -1)


def _divide(whole: Floats, part: Floats) -> Floats:
    """whole / part with 0/0 = 0: where the inward sum is 0 the joint is 0 too."""
    shape = np.broadcast_shapes(whole.shape, part.shape)
    return np.divide(whole, part, out=np.zeros(shape), where=np.broadcast_to(part > 0, shape))
