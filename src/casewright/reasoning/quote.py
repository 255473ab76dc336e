"""What a job may cost and when it may be ready: choices side by side, from the same draws.

A choice is money lines and tasks; each is an amount times the unknowns that it hangs on, so that
cost and date move together, and a part condemned in one choice is condemned in all.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from functools import reduce

import numpy as np

from casewright.errors import FormErrors, InputError, MissingError, RangeError
from casewright.reasoning import quote_draws
from casewright.reasoning.quote_draws import (
    Draws,
    Floats,
    Unknowns,
    count_out,
    draw_blocks,
    quantiles,
    weighted_mean,
)
from casewright.reasoning.quote_network import added, longest_path, network, product
from casewright.reasoning.schedule import working_order

ZERO = Decimal(0)
ROUNDING = 1e-6  # a sum that meets the ceiling to this share of it doesn't pass it


@dataclass(frozen=True, slots=True)
class Line:
    """Money: `amount` times every unknown in `times`; income is negative."""

    name: str
    amount: Decimal
    times: tuple[str, ...] = ()
    group: str = "parts"


@dataclass(frozen=True, slots=True)
class Term:
    """Days: `amount` times every unknown in `times`."""

    amount: float
    times: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Task:
    """A step of the job or a delivery: the sum of its terms [day], after others."""

    name: str
    days: tuple[Term, ...]
    after: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Choice:
    """One way to go. `contingency` is a share of the mean for what is *not* in the lines."""

    name: str
    lines: tuple[Line, ...]
    tasks: tuple[Task, ...] = ()
    contingency: Decimal = ZERO


@dataclass(frozen=True, slots=True)
class QuoteQuestion:
    """Unknowns common to all choices, the owner's ceiling and the day it should be ready."""

    unknowns: Unknowns
    choices: tuple[Choice, ...]
    ceiling: Decimal | None = None
    due_days: float | None = None


@dataclass(frozen=True, slots=True)
class Range:
    """A range in words: mean, even chance, one in ten below and above; chance to pass a limit."""

    mean: float
    even_chance: float
    one_in_ten_below: float
    one_in_ten_above: float
    standard_deviation: float
    chance_over: float | None
    exact: bool

    @property
    def width(self) -> float:
        """From one in ten below to one in ten above."""
        return self.one_in_ten_above - self.one_in_ten_below


@dataclass(frozen=True, slots=True)
class Quoted:
    """One choice: range of its cost, range of its day, where the mean goes, contingency apart."""

    choice: str
    cost: Range
    ready: Range | None
    groups: Mapping[str, float]
    contingency: float
    cheapest_share: float


@dataclass(frozen=True, slots=True)
class Quote:
    """All choices side by side; `costs` in every draw, the rows of `sample` with the same seed."""

    choices: tuple[Quoted, ...]
    costs: Mapping[str, Floats] = field(repr=False)

    def __getitem__(self, name: str) -> Quoted:
        return next(each for each in self.choices if each.choice == name)


def digest_seed(question: QuoteQuestion) -> int:
    """A seed from the digest of the inputs, so that page, terminal and book agree.

    Args:
        question: the whole question [-].
    Returns:
        a number from 0 to 2^63 - 1 [-].
    Valid: equal inputs give equal seeds on every machine, in whatever order unknowns come.
    Raises: nothing.
    Source: own: SHA-256 of the written-out inputs.
    """
    unknowns = sorted(question.unknowns.items())
    text = repr((unknowns, question.choices, question.ceiling, question.due_days))
    return int.from_bytes(hashlib.sha256(text.encode()).digest()[:8], "big") >> 1


def check_question(question: QuoteQuestion) -> None:
    """Raise all mistakes of a quote's question at once.

    Args:
        question: the whole question [-].
    Returns:
        nothing [-].
    Valid: any question.
    Raises: FormErrors for unknown names, doubled choices, a contingency or ceiling below zero,
        a line that takes the same unknown twice; circles among tasks.
    Source: own: the rules that the ranges rely on.
    """
    quote_draws.check_unknowns(question.unknowns)
    found: list[InputError] = []
    names = [choice.name for choice in question.choices]
    found += [
        RangeError(f"choice {name}", "named twice", "one choice of this name")
        for name in sorted({name for name in names if names.count(name) > 1})
    ]
    if question.ceiling is not None and question.ceiling < 0:
        found.append(RangeError("ceiling", str(question.ceiling), "zero or more"))
    for choice in question.choices:
        if choice.contingency < 0:
            found.append(
                RangeError(f"{choice.name}, contingency", str(choice.contingency), "zero or more")
            )
        parts: list[tuple[str, tuple[str, ...]]] = [
            (line.name, line.times) for line in choice.lines
        ]
        parts += [(task.name, term.times) for task in choice.tasks for term in task.days]
        for name, times in parts:
            found += [
                MissingError(f"{choice.name}, {name}: {each}", "an unknown of this name")
                for each in times
                if each not in question.unknowns
            ]
            if len(set(times)) < len(times):
                found.append(RangeError(f"{choice.name}, {name}", times, "each unknown once"))
    if found:
        raise FormErrors("quote", found)
    for choice in question.choices:
        working_order({task.name: task.after for task in choice.tasks})


def cost_of(choice: Choice, draws: Draws) -> Floats:
    """Cost of a choice in every draw: sum of amount times unknowns.

    Args:
        choice: lines to add up [currency].
        draws: the unknowns [-].
    Returns:
        costs [currency], one for each draw.
    Valid: amounts as floats, for a simulation only; money at the door stays decimal.
    Raises: nothing.
    Source: own: a sum of products, lines with the same unknowns added first.
    """
    return added([(float(line.amount), line.times) for line in choice.lines], draws)


def ready_of(choice: Choice, draws: Draws) -> Floats | None:
    """Day on which all tasks are done in every draw: longest path through the network.

    Args:
        choice: tasks [day].
        draws: the unknowns [-].
    Returns:
        days [day], one for each draw; None where the choice has no tasks.
    Valid: people and tools free when wanted.
    Raises: FormErrors for circles and unknown tasks.
    Source: KEL59: the forward pass, on all draws at once.
    """
    if not choice.tasks:
        return None
    steps = tuple(
        (task.name, tuple((term.amount, term.times) for term in task.days), task.after)
        for task in choice.tasks
    )
    return longest_path(network(steps), draws)


def range_of(values: Floats, weights: Floats | None = None, limit: float | None = None) -> Range:
    """Mean, even chance, one in ten below and above, and the chance to pass a limit.

    Args:
        values: cost or day in every draw [any unit].
        weights: chance of each draw [-], None where all are alike.
        limit: ceiling or date [same unit], or None.
    Returns:
        the range [same unit].
    Valid: exact where the draws are counted out, else good to the number of draws.
    Raises: nothing.
    Source: JCG101 clause 7: mean, standard deviation and quantiles of ordered draws.
    """
    mean = weighted_mean(values, weights)
    below, even, above = quantiles(values, (0.1, 0.5, 0.9), weights)
    away = values - mean
    return Range(
        mean=mean,
        even_chance=even,
        one_in_ten_below=below,
        one_in_ten_above=above,
        standard_deviation=weighted_mean(np.multiply(away, away, out=away), weights) ** 0.5,
        chance_over=None if limit is None else weighted_mean(values > _edge(limit), weights),
        exact=weights is not None,
    )


def _edge(limit: float) -> float:
    """A limit with room for the rounding of sums."""
    return limit + ROUNDING * (1 + abs(limit))


def draw_quote(question: QuoteQuestion, seed: int, samples: int = 100_000) -> Quote:
    """All choices side by side from common random draws.

    Args:
        question: unknowns, choices, ceiling, due day [-].
        seed: from `digest_seed`, or any [-].
        samples: number of draws [-].
    Returns:
        the quote [currency, day].
    Valid: unknowns independent but for `Given`; it holds as far as the chances put in hold.
    Raises: FormErrors for mistakes.
    Source: JCG101 clause 7; common random numbers as in LAW15 ch. 11.
    """
    check_question(question)
    return _quoted(question, draw_blocks(question.unknowns, seed, samples), samples)


def exact_quote(question: QuoteQuestion) -> Quote:
    """All choices side by side with every combination counted out: no chance in the answer.

    Args:
        question: unknowns (discrete only), choices, ceiling, due day [-].
    Returns:
        the quote [currency, day].
    Valid: up to 2^16 combinations.
    Raises: FormErrors for mistakes; RangeError for smooth spreads or too many combinations.
    Source: own: enumeration, the check of `draw_quote` on small jobs.
    """
    check_question(question)
    cases = count_out(question.unknowns)
    return _quoted(question, [cases], cases.size, cases.weights)


def _quoted(
    question: QuoteQuestion, blocks: Iterable[Draws], size: int, weights: Floats | None = None
) -> Quote:
    """Ranges of all choices from blocks of draws, each used while it is in the cache."""
    drawn = weights is None
    costs = {choice.name: _empty(size, drawn) for choice in question.choices}
    days = {choice.name: _empty(size, drawn) for choice in question.choices if choice.tasks}
    sums = {line.times: 0.0 for choice in question.choices for line in choice.lines}
    start = 0
    for block in blocks:
        place = slice(start, start + block.size)
        start += block.size
        for choice in question.choices:
            costs[choice.name][place] = cost_of(choice, block)
            if (ready := ready_of(choice, block)) is not None:
                days[choice.name][place] = ready
        for times in sums:
            sums[times] += _sum_ofproduct(times, block)
    least = reduce(np.minimum, list(costs.values()))
    limit = None if question.ceiling is None else float(question.ceiling)
    found = []
    for choice in question.choices:
        name = choice.name
        found.append(
            Quoted(
                choice=name,
                cost=(cost := range_of(costs[name], weights, limit)),
                ready=range_of(days[name], weights, question.due_days) if name in days else None,
                groups=_means_of_groups(choice, sums, 1 if weights is not None else size),
                contingency=float(choice.contingency) * cost.mean,
                cheapest_share=weighted_mean(costs[name] <= least, weights),
            )
        )
    return Quote(tuple(found), costs)


def _empty(size: int, drawn: bool) -> Floats:
    """Room for one figure of each draw, or of each case counted out."""
    return np.empty(size, np.float32) if drawn else np.empty(size)


def _sum_ofproduct(times: tuple[str, ...], draws: Draws) -> float:
    """Weighted sum over the draws of a product of unknowns."""
    if not times:
        return 1.0 if draws.exact else float(draws.size)
    *others, last = (draws.values[name] for name in times)
    if draws.weights is not None:
        others.append(draws.weights)
    if not others:
        return float(np.add.reduce(last))
    return float(np.add.reduce(product(1.0, [*others, last], draws.blank())))


def _means_of_groups(
    choice: Choice, sums: Mapping[tuple[str, ...], float], size: int
) -> dict[str, float]:
    """Mean of the lines of each group."""
    groups = dict.fromkeys((line.group for line in choice.lines), 0.0)
    for line in choice.lines:
        groups[line.group] += float(line.amount) * sums[line.times] / size
    return groups
