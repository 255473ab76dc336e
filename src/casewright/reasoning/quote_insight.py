"""Which unknown moves a range most, and which inspection would narrow it most."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from casewright.errors import FormErrors, InputError, MissingError, RangeError
from casewright.reasoning.quote_draws import (
    Count,
    Draws,
    Floats,
    Smooth,
    Spread,
    Unknowns,
)

BINS = 40
Places = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class Mover:
    """One unknown: its share of the variance, and the mean cost at its low and its high end.

    Ends are the least and greatest value of a discrete unknown, the lowest and highest tenth of
    a smooth one.
    """

    unknown: str
    variance_share: float
    mean_at_low: float
    mean_at_high: float

    @property
    def swing(self) -> float:
        """How far the mean moves from end to end."""
        return abs(self.mean_at_high - self.mean_at_low)


@dataclass(frozen=True, slots=True)
class Inspection:
    """A look at one unknown. `outcomes`: what may be seen, with its chance for each value.

    Chances are in the order of the unknown's values, for yes-or-no unknowns (no, yes). Without
    outcomes the look tells the true value, a smooth one to within its fortieth part.
    """

    name: str
    unknown: str
    outcomes: Mapping[str, tuple[float, ...]] | None = None
    minutes: float = 0.0
    cost: float = 0.0


@dataclass(frozen=True, slots=True)
class Insight:
    """What an inspection is expected to do: to the spread, to the width, to the decision.

    `deviation_*` is the standard deviation, which no look can widen on average; `width_*` is
    from one in ten below to one in ten above, which a look can. `worth` is what knowing the
    outcome before choosing saves on average, `worth_net` less its cost.
    """

    inspection: str
    deviation_before: float
    deviation_after: float
    width_before: float
    width_after: float
    worth: float
    worth_net: float
    minutes: float

    @property
    def narrows(self) -> float:
        """Expected drop of the standard deviation."""
        return self.deviation_before - self.deviation_after

    @property
    def narrows_per_minute(self) -> float:
        """Expected drop per minute of work."""
        return self.narrows / self.minutes if self.minutes else float("inf")


def movers(unknowns: Unknowns, draws: Draws, values: Floats) -> tuple[Mover, ...]:
    """Unknowns by their share of the variance: Var(E[cost | unknown]) / Var(cost).

    Args:
        unknowns: name to spread [-].
        draws: their draws [-].
        values: cost or day in every draw [any unit].
    Returns:
        movers, the greatest first [unit of the values].
    Valid: main effects; shares of independent unknowns add up to 1 less their interactions,
        those of a `Given` and its parent overlap. Drawn shares are good to about BINS / draws.
    Raises: nothing.
    Source: SAL08 ch. 4 (first-order sensitivity index), by conditional means.
    """
    mean = draws.mean(values)
    variance = draws.mean((values - mean) ** 2)
    found = []
    for name, spread in unknowns.items():
        cells = _cells(draws.values[name], spread)
        weight, means = _cell_means(cells, values, draws)
        between = float(weight @ (means - mean) ** 2)
        if not draws.exact:  # scatter of the cell means themselves, told off
            between -= (len(means) - 1) / draws.size * max(variance - between, 0.0)
        share = max(between, 0.0) / variance if variance > 1e-18 * (1 + mean * mean) else 0.0
        ends = max(1, len(means) // 10) if isinstance(spread, Smooth) else 1
        low = float(np.average(means[:ends], weights=weight[:ends]))
        high = float(np.average(means[-ends:], weights=weight[-ends:]))
        found.append(Mover(name, share, low, high))
    return tuple(sorted(found, key=lambda each: -each.variance_share))


def _cells(values: Floats, spread: Spread) -> Places:
    """The cell of each draw: its value where discrete, its fortieth part where smooth."""
    if not isinstance(spread, Smooth):
        return np.unique(values, return_inverse=True)[1]
    edges = np.quantile(values, np.linspace(0, 1, BINS + 1)[1:-1])
    return np.searchsorted(edges, values, side="right")


def _cell_means(cells: Places, values: Floats, draws: Draws) -> tuple[Floats, Floats]:
    """Weight and mean of each cell that occurs."""
    even = np.full(draws.size, 1 / draws.size)
    chances = even if draws.weights is None else draws.weights
    weight: Floats = np.asarray(np.bincount(cells, chances), dtype=float)
    summed: Floats = np.asarray(np.bincount(cells, chances * values), dtype=float)
    there = weight > 0
    return weight[there], summed[there] / weight[there]


def inspections_by_worth(
    inspections: Sequence[Inspection],
    unknowns: Unknowns,
    draws: Draws,
    costs: Mapping[str, Floats],
    choice: str,
) -> tuple[Insight, ...]:
    """What each inspection is expected to do to one choice's range and to the choosing.

    Draws are weighed anew by the chance of each outcome (Bayes); worth is
    min over choices of E[cost] - Σ P(outcome) min over choices of E[cost | outcome].

    Args:
        inspections: what could be looked at [-].
        unknowns: name to spread [-].
        draws: their draws [-].
        costs: choice to cost in every draw [currency].
        choice: whose range is to be narrowed [-].
    Returns:
        insights, the one that narrows most first [currency].
    Valid: one inspection at a time; two together may tell more than the sum.
    Raises: FormErrors for unknown names and chances that don't fit the unknown's values.
    Source: RAI68 ch. 1-2 (value of sample information); own: reweighed draws.
    """
    _check(inspections, unknowns, costs, choice)
    found = []
    base = np.full(draws.size, 1 / draws.size) if draws.weights is None else draws.weights
    values = costs[choice]
    order = np.argsort(values, kind="stable")
    before = _spread_of(values, base, order)
    least = min(float(base @ each) for each in costs.values())
    for inspection in inspections:
        deviation = width = after = 0.0
        for weights in _outcomes(inspection, unknowns, draws, base):
            chance = float(weights.sum())
            if chance <= 0:
                continue
            there = _spread_of(values, weights / chance, order)
            deviation += chance * there[0]
            width += chance * there[1]
            after += min(float(weights @ each) for each in costs.values())
        worth = max(0.0, least - after)
        found.append(
            Insight(
                inspection=inspection.name,
                deviation_before=before[0],
                deviation_after=min(deviation, before[0]),
                width_before=before[1],
                width_after=width,
                worth=worth,
                worth_net=worth - inspection.cost,
                minutes=inspection.minutes,
            )
        )
    return tuple(sorted(found, key=lambda each: -each.narrows))


def _spread_of(values: Floats, weights: Floats, order: Places) -> tuple[float, float]:
    """Standard deviation and width of weighted values, given their sorting once for all."""
    mean = float(weights @ values)
    deviation = max(0.0, float(weights @ (values - mean) ** 2)) ** 0.5
    reached = np.cumsum(weights[order])
    low, high = np.searchsorted(reached, np.array([0.1, 0.9]) * reached[-1] - 1e-12)
    last = values.size - 1
    return deviation, float(values[order[min(high, last)]] - values[order[min(low, last)]])


def _outcomes(
    inspection: Inspection, unknowns: Unknowns, draws: Draws, base: Floats
) -> list[Floats]:
    """For each outcome, the weight of every draw times the chance to see that outcome."""
    cells = _cells(draws.values[inspection.unknown], unknowns[inspection.unknown])
    if inspection.outcomes is None:
        return [base * (cells == cell) for cell in range(int(cells.max()) + 1)]
    levels = np.array(_levels(unknowns[inspection.unknown]))
    place = np.searchsorted(levels, draws.values[inspection.unknown])
    return [base * np.asarray(chances)[place] for chances in inspection.outcomes.values()]


def _levels(spread: Spread) -> tuple[float, ...]:
    """Values of a discrete unknown in rising order; none for a smooth one."""
    if isinstance(spread, Count):
        return tuple(sorted(spread.values))
    return () if isinstance(spread, Smooth) else (0.0, 1.0)


def _check(
    inspections: Sequence[Inspection],
    unknowns: Unknowns,
    costs: Mapping[str, Floats],
    choice: str,
) -> None:
    """All mistakes of a list of inspections at once."""
    found: list[InputError] = []
    if choice not in costs:
        found.append(MissingError(f"choice {choice}", "one of " + ", ".join(costs)))
    for each in inspections:
        if each.unknown not in unknowns:
            found.append(MissingError(f"{each.name}: {each.unknown}", "an unknown of this name"))
            continue
        levels = _levels(unknowns[each.unknown])
        outcomes = list((each.outcomes or {}).values())
        if any(len(chances) != len(levels) for chances in outcomes):
            wanted = f"{len(levels)} chances for each outcome" if levels else "no outcomes"
            found.append(RangeError(each.name, each.outcomes, wanted))
        elif outcomes and (
            any(not 0 <= chance <= 1 for chances in outcomes for chance in chances)
            or any(abs(sum(column) - 1) > 1e-9 for column in zip(*outcomes, strict=True))
        ):
            found.append(RangeError(each.name, each.outcomes, "chances that add up to 1 per value"))
    if found:
        raise FormErrors("inspections", found)
