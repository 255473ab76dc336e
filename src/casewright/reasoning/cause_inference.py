"""Exact posterior over all root sets by enumeration, mechanisms summed out.

This answers what needs the root causes *together* (the likely stories). Chances one by one,
and the ranking of checks, come from the tree of cliques; the two are checked against each other.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from casewright.reasoning.cause_factors import (
    Floats,
    Table,
    multiply,
    places_in,
    product_over_sets,
    root_sets,
    sum_out,
)
from casewright.reasoning.cause_model import CauseModel


@dataclass(frozen=True, slots=True, eq=False)
class Folded:
    """Answers as weights of single variables, and tables that tie several together."""

    scale: float
    weights: Floats
    tables: tuple[Table, ...]


def fold(model: CauseModel, answers: Mapping[str, bool]) -> Folded:
    """Answers as factors: a noisy-OR finding that is absent becomes one weight per parent.

    Args:
        model: the model [-].
        answers: finding key → present [-].
    Returns:
        the factors [-].
    Valid: any answers.
    Raises: nothing.
    Source: HECKERMAN1989 (negative findings).
    """
    scale, weights = 1.0, np.ones(model.prior.size + len(model.mechanisms))
    tables = []
    for key, present in answers.items():
        child = model.findings[key]
        if present or child.passing is None:
            tables.append(child.table(present))
        else:
            scale *= child.keep_off
            weights[list(child.parents)] *= child.passing
    return Folded(scale, weights, tuple(tables))


def root_set_weights(model: CauseModel, answers: Mapping[str, bool]) -> Floats:
    """P(root set, findings) for every root set, every mechanism summed out.

    Args:
        model: the model [-].
        answers: finding key → present [-].
    Returns:
        shape (2**roots,), in the order of `root_sets` [-]; their sum is P(findings).
    Valid: exact; up to 16 roots.
    Raises: nothing.
    Source: KOLLER2009 section 9.3; HECKERMAN1989.
    """
    folded = fold(model, answers)
    count = model.prior.size
    on = model.prior * folded.weights[:count]
    weights = folded.scale * product_over_sets(on, 1 - model.prior)
    for tables in _groups(model, _factors(model, folded, answers)):
        scope = sorted({axis for table in tables for axis in table.axes if axis < count})
        sets = root_sets(len(scope))
        values = sum_out([_at_sets(table, scope, sets) for table in tables], ())
        weights *= np.broadcast_to(values, (len(sets),))[places_in(scope, count)]
    return weights


def above(model: CauseModel, answers: Mapping[str, bool]) -> list[int]:
    """Roots and mechanisms from which some answered finding can follow.

    Args:
        model: the model [-].
        answers: finding key → present [-].
    Returns:
        their numbers, ascending [-].
    Valid: all others keep their prior chances.
    Raises: nothing.
    Source: KOLLER2009 section 3.3 (d-separation).
    """
    count = model.prior.size
    found: set[int] = set()
    wanted = {parent for key in answers for parent in model.findings[key].parents}
    while wanted:
        found |= wanted
        families = (model.mechanisms[v - count].parents for v in wanted if v >= count)
        wanted = {parent for family in families for parent in family} - found
    return sorted(found)


def _factors(model: CauseModel, folded: Folded, answers: Mapping[str, bool]) -> list[Table]:
    """Tables of all mechanisms above an answered finding, and of the answers that tie."""
    count = model.prior.size
    tables = list(folded.tables)
    for variable in above(model, answers):
        if variable >= count:
            family = model.mechanisms[variable - count].family(variable)
            weight = np.array([1.0, folded.weights[variable]])
            values = family.values * weight.reshape(2, *(1,) * (family.values.ndim - 1))
            tables.append(Table(family.axes, values))
    return tables


def _groups(model: CauseModel, tables: Iterable[Table]) -> Iterator[list[Table]]:
    """Tables that hang together through mechanisms, once the root set is known."""
    count = model.prior.size
    groups: list[tuple[set[int], list[Table]]] = []
    for table in tables:
        inner, mine = {axis for axis in table.axes if axis >= count}, [table]
        apart = [group for group in groups if not group[0] & inner]
        for other_inner, other in (group for group in groups if group[0] & inner):
            inner, mine = inner | other_inner, mine + other
        groups = [*apart, (inner, mine)]
    return (group for _, group in groups)


def _at_sets(table: Table, scope: list[int], sets: NDArray[np.bool_]) -> Table:
    """The table with its root axes turned into columns, one for each root set of the scope."""
    roots = [k for k, axis in enumerate(table.axes) if axis in scope]
    inner = [k for k, axis in enumerate(table.axes) if axis not in scope]
    values = table.values[..., 0].transpose(*inner, *roots).reshape(*(2,) * len(inner), -1)
    column = np.zeros(len(sets), dtype=np.intp)
    for k in roots:
        column = 2 * column + sets[:, scope.index(table.axes[k])]
    if roots:
        values = values[..., column]
    return Table(tuple(table.axes[k] for k in inner), values)


def joint_given_set(model: CauseModel, answers: Mapping[str, bool], on: NDArray[np.bool_]) -> Table:
    """P(mechanisms above the answers, answers | one root set) as one table.

    Args:
        model: the model [-].
        answers: finding key → present [-].
        on: whether each root is on [-], shape (roots,).
    Returns:
        table over these mechanisms [-].
    Valid: up to 20 mechanisms (a million entries).
    Raises: nothing.
    Source: own: direct product of the factors.
    """
    count = model.prior.size
    axes = tuple(variable for variable in above(model, answers) if variable >= count)
    tables = [model.mechanisms[axis - count].family(axis) for axis in axes]
    tables += [model.findings[key].table(present) for key, present in answers.items()]
    return multiply([_at_sets(table, list(range(count)), on[None, :]) for table in tables], axes)
