"""Sums over draws, and the longest path through a network of tasks in every draw."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from casewright.reasoning.quote_draws import Draws, Floats
from casewright.reasoning.schedule import working_order

Terms = tuple[tuple[float, tuple[str, ...]], ...]
Step = tuple[str, tuple[Terms, ...], tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Network:
    """Steps in working order: name, terms of each task in it, steps before; and the last ones."""

    steps: tuple[Step, ...]
    last: tuple[str, ...]


def added(terms: Sequence[tuple[float, tuple[str, ...]]], draws: Draws) -> Floats:
    """Sum of amount times unknowns in every draw; terms with the same unknowns are added first.

    Args:
        terms: amounts [any unit] with the names of unknowns.
        draws: the unknowns [-].
    Returns:
        sums [unit of the amounts], one for each draw.
    Valid: each unknown once in a term.
    Raises: nothing.
    Source: own: a sum of products.
    """
    alike: dict[tuple[str, ...], float] = {}
    for amount, times in terms:
        alike[times] = alike.get(times, 0.0) + amount
    constant = alike.pop((), 0.0)
    total, spare = draws.blank(), draws.blank()
    if not alike:
        total.fill(constant)
        return total
    for place, (times, amount) in enumerate(alike.items()):
        into = spare if place else total
        found = product(amount, [draws.values[name] for name in times], into)
        if place:
            np.add(total, found, out=total)
        elif found is not total:
            np.copyto(total, found)
    return np.add(total, constant, out=total) if constant else total


def product(amount: float, factors: Sequence[Floats], into: Floats) -> Floats:
    """Amount times all factors, in as few passes as there are; one factor alone is itself.

    Args:
        amount: a number [any unit].
        factors: one array or more, one value for each draw [any unit].
        into: where products are written [-].
    Returns:
        products [unit of all together], one for each draw.
    Valid: one factor at least.
    Raises: nothing.
    Source: own: a product.
    """
    first, *others = factors
    if amount != 1:
        first = np.multiply(first, amount, out=into)
    for factor in others:
        first = np.multiply(first, factor, out=into)
    return first


@lru_cache(maxsize=64)
def network(tasks: tuple[tuple[str, Terms, tuple[str, ...]], ...]) -> Network:
    """Tasks as steps in working order.

    Tasks that start after the same and that the same wait for, like the deliveries of one order,
    are one step: it lasts as long as the longest of them, so their common start is added once.

    Args:
        tasks: name, terms [day], names of the tasks before it.
    Returns:
        the steps [day].
    Valid: any network without circles; the longest path stays the same.
    Raises: FormErrors for circles and unknown tasks.
    Source: own: max(s + a, s + b) = s + max(a, b).
    """
    befores = {name: after for name, _, after in tasks}
    terms = {name: days for name, days, _ in tasks}
    waiting: dict[str, list[str]] = {name: [] for name in befores}
    order = working_order(befores)
    for name, after in befores.items():
        for before in after:
            waiting[before].append(name)
    alike: dict[tuple[frozenset[str], frozenset[str]], list[str]] = {}
    for name in order:
        alike.setdefault((frozenset(befores[name]), frozenset(waiting[name])), []).append(name)
    first = {name: names[0] for names in alike.values() for name in names}
    steps = tuple(
        (
            names[0],
            tuple(terms[each] for each in names),
            tuple(dict.fromkeys(first[before] for before in befores[names[0]])),
        )
        for names in alike.values()
    )
    return Network(steps, tuple({first[name]: 0 for name in befores if not waiting[name]}))


def longest_path(through: Network, draws: Draws) -> Floats:
    """The day on which all is done in every draw: the forward pass, on all draws at once.

    Args:
        through: steps in working order [day].
        draws: the unknowns [-].
    Returns:
        days [day], one for each draw.
    Valid: people and tools free when wanted.
    Raises: nothing.
    Source: KEL59: the forward pass, on all draws at once.
    """
    finish: dict[str, Floats] = {}
    for name, terms, after in through.steps:
        done = _longest(terms, draws)
        if after:
            start = _latest([finish[before] for before in after], draws)
            done = np.add(done, start, out=draws.blank())
        finish[name] = done
    return _latest([finish[name] for name in through.last], draws)


def _longest(each: Sequence[Terms], draws: Draws) -> Floats:
    """The greatest of several sums in every draw; the arrays between are used again."""
    first, *others = each
    longest = added(first, draws)
    for terms in others:
        mark = draws.room.mark if draws.room else 0
        np.maximum(longest, added(terms, draws), out=longest)
        if draws.room:
            draws.room.clear(mark)
    return longest


def _latest(days: Sequence[Floats], draws: Draws) -> Floats:
    """The greatest of several in every draw."""
    first, *others = days
    if not others:
        return first
    latest = np.maximum(first, others[0], out=draws.blank())
    for each in others[1:]:
        np.maximum(latest, each, out=latest)
    return latest
