"""Which packs to fit: the best joint chance that every window holds, over all shelf packs.

Ties (within `TIE`) go to the fewest shims, then to the packs whose means lie farthest from
the windows' edges. Thickness is only ever made of more shims than needed when the stock,
shared between the seats, stands in the way.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from casewright.errors import InfeasibleError, MissingError
from casewright.reasoning.shim_model import SetUp, State, windows
from casewright.reasoning.shim_moments import moments, pack_moments
from casewright.reasoning.shim_rectangle import marginal_chance, rectangle_chance
from casewright.reasoning.shim_search import TIE, Ranking, ranked
from casewright.reasoning.shim_stock import (
    PackChange,
    PackClasses,
    PackRules,
    ShelfShim,
    pack_change,
    pack_classes,
    recipe,
    thinned,
)
from casewright.reasoning.shim_supply import Stock
from casewright.reasoning.shim_tree import Search

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

_WIDTH_95 = 1.959964


@dataclass(frozen=True, slots=True)
class ResponseForecast:
    """One response forecast: mean, standard deviation, 95 % interval, its window's chance."""

    name: str
    mean: float
    deviation: float
    low: float
    high: float
    chance: float


@dataclass(frozen=True, slots=True)
class Choice:
    """Packs to fit, number of shims by name for each adjuster, and what they promise.

    `margin` is the least distance of a mean from its window's edge, as a share of the half
    window (1 in the middle, negative outside).
    """

    packs: tuple[Mapping[str, int], ...]
    thickness: tuple[float, ...]
    chance: float
    margin: float
    shims: int
    forecasts: tuple[ResponseForecast, ...]
    changes: tuple[PackChange, ...]


@dataclass(frozen=True, slots=True)
class Advice:
    """The best packs, two runners-up that differ in thickness, and the packs fitted now.

    `gap` is how much more chance any packs of the shelf that were not weighed could have: 0 means
    that the best is proven to be the best, to `TIE`.
    """

    best: Choice
    runners_up: tuple[Choice, ...]
    present: Choice | None
    looked_at: int
    gap: float = 0.0

    @property
    def proven(self) -> bool:
        """Whether no packs of the shelf can be better, to `TIE`."""
        return self.gap == 0.0


def choose(
    set_up: SetUp,
    state: State,
    shelf: Sequence[ShelfShim],
    rules: Sequence[PackRules],
    present: Sequence[Mapping[str, int]] | None = None,
) -> Advice:
    """The packs with the best joint chance that all windows hold, and two runners-up.

    Args:
        set_up: the leg's responses, adjusters and rates [-].
        state: the unknowns [-].
        shelf: shims at hand, shared by all seats, those now fitted included [-].
        rules: what the sheet allows at each adjuster [-].
        present: the packs fitted now, name to number for each adjuster [-].
    Returns:
        best choice, runners-up, present packs [-].
    Valid: one leg; the optimum over all packs of the shelf, to `TIE`, or to the `gap` told.
    Raises: InfeasibleError when rules or stock leave no packs; MissingError without windows.
    Source: own: branch and bound, bounded by the joint chance of the windows settled so far.
    """
    low, high, _ = windows(set_up)
    if not (np.isfinite(low) | np.isfinite(high)).any():
        raise MissingError("windows", "at least one window in the sheet")
    fitted = [None] * len(rules) if present is None else list(present)
    seats = _classes(shelf, rules, fitted)
    search = Search(moments(set_up, state), low, high, seats)
    stock = np.array([shim.count for shim in shelf])
    now = [None if pack is None else recipe(shelf, pack) for pack in fitted]
    told, places = _supplied(search, stock, now)
    chosen = [
        _choice(set_up, search, shelf, told.index[place], told.packs[place], now)
        for place in places
    ]
    gap = told.missed - float(told.chance.max())
    here = _present(set_up, search, shelf, now)
    return Advice(chosen[0], tuple(chosen[1:]), here, told.weighed, gap if gap > TIE else 0.0)


def _classes(
    shelf: Sequence[ShelfShim],
    rules: Sequence[PackRules],
    fitted: Sequence[Mapping[str, int] | None],
) -> tuple[PackClasses, ...]:
    """The packs of each seat; seats alike in rules and fitted pack share one list."""
    made: dict[object, PackClasses] = {}
    keys = [
        (rule, None if pack is None else frozenset(pack.items()))
        for rule, pack in zip(rules, fitted, strict=True)
    ]
    for key, rule, pack in zip(keys, rules, fitted, strict=True):
        if key not in made:
            made[key] = pack_classes(shelf, rule, pack)
    return tuple(made[key] for key in keys)


def _supplied(
    search: Search, stock: Whole, now: Sequence[Whole | None]
) -> tuple[Ranking, tuple[int, ...]]:
    """The ranking of what the stock can give, and the places of the best three in it."""
    subset = [thinned(seat, 1) for seat in search.seats]
    told = ranked(search, subset, Stock(search.seats, stock, now), 3)
    if not len(told.chance) and all(pack is not None for pack in now):
        told = _as_fitted(search, now)
    if not len(told.chance):
        raise InfeasibleError("packs for all seats", ["the shelf holds too few shims for all"])
    places: dict[tuple[int, ...], int] = {}
    for place in order(search, told.index, told.chance, float(told.chance.max())):
        thick = search.columns(told.index[place][None])[0][0]
        places.setdefault(tuple(np.rint(thick * 1e7).astype(int).tolist()), int(place))
    return told, tuple(places.values())[:3]


def _as_fitted(search: Search, now: Sequence[Whole | None]) -> Ranking:
    """The packs that are in, where the search found no others: what they lack stays open."""
    index = np.array([[len(seat.thickness) - 1 for seat in search.seats]])
    packs = (tuple(pack for pack in now if pack is not None),)
    return Ranking(index, packs, search.chance(index, coarse=0), 1, 1.0)


def order(search: Search, index: Whole, chance: Array, best: float) -> Whole:
    """Ranking: those within a tie of the best by fewest shims, then margin; others by chance.

    Args:
        search: tensors, windows and classes of one leg [-].
        index: combinations [-], [N, seats].
        chance: their chances [-], [N].
        best: the best chance that the stock can give [-].
    Returns:
        places in the list, best first [-].
    Valid: always.
    Raises: nothing.
    Source: own: ties go to the fewest shims, then farthest from the edges.
    """
    tied = chance >= best - TIE
    shims = np.where(tied, search.shims(index), 0)
    margin = np.where(tied, search.margin(index), 0.0)
    return np.asarray(np.lexsort((-chance, -margin.round(6), shims, ~tied)))


def _choice(
    set_up: SetUp,
    search: Search,
    shelf: Sequence[ShelfShim],
    index: Whole,
    packs: Sequence[Whole],
    now: Sequence[Whole | None],
) -> Choice:
    """A combination with its forecasts and the change that leads to it."""
    row = index[None]
    thickness = search.columns(row)[0][0]
    changes = [
        line
        for name, pack, fitted in zip(set_up.adjusters, packs, now, strict=True)
        for line in pack_change(
            name, shelf, np.zeros_like(pack) if fitted is None else fitted, pack
        )
    ]
    return Choice(
        tuple({s.name: int(n) for s, n in zip(shelf, p, strict=True) if n} for p in packs),
        tuple(float(t) for t in thickness),
        float(search.chance(row, coarse=0)[0]),
        float(search.margin(row)[0]),
        int(search.shims(row)[0]),
        _forecasts(set_up, search, row),
        tuple(changes),
    )


def _forecasts(set_up: SetUp, search: Search, row: Whole) -> tuple[ResponseForecast, ...]:
    """Each response's forecast; the chance counts the run-out's extremes."""
    columns = search.columns(row)
    mean, covariance = pack_moments(search.law, *columns, swing=False)
    deviation = np.sqrt(np.maximum(np.diagonal(covariance[0]), 0))
    _, wide = pack_moments(search.law, *columns)
    chance = marginal_chance(mean[0], np.diagonal(wide[0]), search.low, search.high)
    return tuple(
        ResponseForecast(
            one.name,
            float(m),
            float(s),
            float(m - _WIDTH_95 * s),
            float(m + _WIDTH_95 * s),
            float(p),
        )
        for one, m, s, p in zip(set_up.responses, mean[0], deviation, chance, strict=True)
    )


def _present(
    set_up: SetUp, search: Search, shelf: Sequence[ShelfShim], now: Sequence[Whole | None]
) -> Choice | None:
    """The packs that are fitted now, as a choice without changes."""
    if any(pack is None for pack in now):
        return None
    index = np.array([len(seat.thickness) - 1 for seat in search.seats])
    return _choice(set_up, search, shelf, index, [p for p in now if p is not None], now)


def present_chance(set_up: SetUp, state: State, packs: Sequence[float]) -> float:
    """Joint chance that the packs now fitted hold every window.

    Args:
        set_up: the leg's responses, adjusters and rates [-].
        state: the unknowns after the trial's readings [-].
        packs: thickness of the packs fitted [m], [adjusters].
    Returns:
        joint chance [-].
    Valid: one leg.
    Raises: nothing.
    Source: own: `rectangle_chance` of the forecast.
    """
    law = moments(set_up, state)
    thickness = np.asarray(packs, float)[None]
    mean, covariance = pack_moments(
        law, thickness, np.zeros_like(thickness), np.ones_like(thickness)
    )
    low, high, _ = windows(set_up)
    return float(rectangle_chance(mean, covariance, low, high)[0])
