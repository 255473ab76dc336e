"""Exact search over the product of the seats' packs for the best joint chance.

The joint chance of any windows bounds that of all from above. So seats are filled one by one, and a
half-filled combination is dropped as soon as the windows that it has settled hold together with
less than the best found. What is left is ranked with few nodes and settled with many. Where more
are left than a page has time for, the least likely are set aside and the greatest chance that one
of them could have is told: the answer is proven to that.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from casewright.reasoning.shim_fine import BIN, binned, least_doubt, most_of_any_thickness, near_to
from casewright.reasoning.shim_moments import pack_moments
from casewright.reasoning.shim_narrow import narrowed
from casewright.reasoning.shim_rectangle import ROUGH, ROUGH_ERROR, marginal_chance
from casewright.reasoning.shim_supply import Stock, Supplied
from casewright.reasoning.shim_tree import COARSE_ERROR, Search, survivors_of

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

TIE = 5e-4
_PIECE = 4096
_DIVE, _MOST = 200, 4_000
# Seats from which on linear programmes narrow the lists first: for fewer they cost more than they
# save.
_MANY_SEATS = 4
# More thicknesses than this at a seat are weighed by the hundredth of a millimetre first.
_FINE = 400
_SLACK = TIE + 2 * COARSE_ERROR
_PASSES, _ASKED, _SETTLED, _TRIED = 6, 1500, 200, 200
_RUNNERS, _WORTH_IT = 3, 100
# Nearer than this to what any thickness could give, nothing more is looked for.
_CLOSE = 2e-3


@dataclass(frozen=True, slots=True)
class Ranking:
    """Combinations that the stock gives, [N, seats], packs, chances, how many were weighed.

    `missed` is a bound: no combination that was set aside unseen has a greater chance (−1 where
    none was).
    """

    index: Whole
    packs: tuple[tuple[Whole, ...], ...]
    chance: Array
    weighed: int
    missed: float = -1.0


def ranked(search: Search, subset: Sequence[Whole], stock: Stock, wanted: int) -> Ranking:
    """All combinations that may be among the best `wanted` that the stock gives, or tied with them.

    Args:
        search: tensors, windows and classes of one leg [-].
        subset: the class with the fewest shims of each thickness, and the fitted one, a seat [-].
        stock: the shared shelf [-].
        wanted: how many of different thickness are sure to be found [-].
    Returns:
        the ranking, empty where the stock gives none [-].
    Valid: nothing above the last of them is missing, but for what `missed` bounds.
    Raises: nothing.
    Source: own: branch and bound, P(all windows) ≤ P(any of the windows together).
    """
    if len(subset) >= _MANY_SEATS and max(map(len, subset)) > _FINE:
        return _fine(search, subset, stock, wanted)
    index, coarse = _climb(search, subset)
    floor = _nth(search, index, coarse, wanted) - _SLACK
    left, most = list(subset), 1.0
    if len(subset) >= _MANY_SEATS:
        index, coarse, left = _dived(search, left, floor, index, coarse)
        floor = _nth(search, index, coarse, wanted) - _SLACK
        quick = _settled(search, _Weighed(index, coarse, floor, len(index), 1.0), stock, 0)
        most = _any_thickness(search, quick)
        if len(quick.chance) and most - float(quick.chance.max()) <= _CLOSE:
            return replace(quick, weighed=len(index), missed=most)
    floor = min(floor, _given(search, index, coarse, stock, wanted))
    weighed = 0
    for _ in range(_PASSES):
        found = _weighed(search, subset, stock, floor, wanted)
        weighed += found.weighed
        if found.floor >= floor or floor <= 0:
            break
        floor = found.floor if found.floor > 0 else _lower(floor)
    told = _settled(search, found, stock, weighed)
    return replace(told, missed=min(told.missed, most))


def _any_thickness(search: Search, quick: Ranking) -> float:
    """What no packs of whatever thickness could exceed, from the best found; 1 without one."""
    if not len(quick.chance):
        return 1.0
    thickness = search.columns(quick.index[int(np.argmax(quick.chance))][None])[0][0]
    doubt = np.array(
        [least_doubt(s, t) for s, t in zip(search.seats, thickness, strict=True)]
    )  # fmt: skip
    sizes = [np.unique(s.thickness) for s in search.seats]
    return most_of_any_thickness(
        lambda some, coarse: search.chance_at(some, doubt, coarse), list(thickness), sizes
    )


def _fine(search: Search, subset: Sequence[Whole], stock: Stock, wanted: int) -> Ranking:
    """Very many thicknesses: hundredths first, then all near the best; the rest is bounded."""
    pairs = list(zip(search.seats, subset, strict=True))
    some = [binned(seat, some) for seat, some in pairs]
    told = ranked(search, some, stock.coarser(BIN), wanted)
    if not len(told.chance):
        return told
    found = _polished(search, subset, stock, told.index[int(np.argmax(told.chance))])
    index = np.array([*(one.index for one in found), *told.index])
    packs = (*(one.packs for one in found), *told.packs)
    chance = np.concatenate([search.chance(index[: len(found)], coarse=0), told.chance])
    whole = Ranking(index, packs, chance, told.weighed)
    return replace(whole, missed=_any_thickness(search, whole))


def _polished(search: Search, subset: Sequence[Whole], stock: Stock, row: Whole) -> list[Supplied]:
    """Better packs near a combination, one seat after the other, as the stock gives them."""
    found: dict[tuple[int, ...], Supplied] = {}
    best = float(search.chance(row[None], coarse=1)[0])
    for seat in (*range(len(subset)), *range(len(subset))):
        near = near_to(search.seats[seat], subset[seat], int(row[seat]))
        index = np.repeat(row[None], len(near), axis=0)
        index[:, seat] = near
        chance = search.chance(index, coarse=1)
        for place in np.argsort(-chance, kind="stable")[:_TRIED]:
            if chance[place] <= best:
                break
            if (one := stock.supply(index[place])) is not None:
                found[one.index], best, row = one, float(chance[place]), index[place]
                break
    return list(found.values())


def _given(search: Search, index: Whole, coarse: Array, stock: Stock, wanted: int) -> float:
    """The floor by the best `wanted` of these that the stock gives; 1 where it gives fewer."""
    given: dict[tuple[int, ...], float] = {}
    for place in np.argsort(-coarse, kind="stable")[:_TRIED]:
        if (found := stock.supply(index[place])) is not None:
            key = _key(search, index[place])
            actual = float(search.chance(np.array([found.index]), coarse=1)[0])
            given[key] = max(given.get(key, -1.0), actual)
            if len(given) == wanted:
                return min(given.values()) - _SLACK
    return 1.0


def _lower(floor: float) -> float:
    """The next floor where the stock gave nothing above this one."""
    return floor / 2 if floor > 0.02 else -1.0


@dataclass(frozen=True, slots=True)
class _Weighed:
    """Combinations, coarse chances, the floor that the stock's best set, the rest's bound."""

    index: Whole
    coarse: Array
    floor: float
    weighed: int
    missed: float


def _weighed(
    search: Search, subset: Sequence[Whole], stock: Stock, floor: float, wanted: int
) -> _Weighed:
    """Everything at or above the floor; the floor rises with what the stock can give."""
    if len(subset) >= _MANY_SEATS:
        subset = _narrow(search, subset, floor)
    survivors, bound, missed = survivors_of(search, subset, floor, _MOST)
    order = np.argsort(-bound, kind="stable")
    kept, scores = [survivors[:0]], [bound[:0]]
    given: dict[tuple[int, ...], float] = {}
    asked, reached = 0, -1.0
    for start in range(0, len(order), _PIECE):
        piece = order[start : start + _PIECE]
        if bound[piece[0]] < max(floor, reached):
            break
        rows, chance = _coarse(search, survivors[piece], max(floor, reached))
        for place in np.argsort(-chance, kind="stable"):
            if asked >= _ASKED or chance[place] < max(floor, reached + _SLACK):
                break
            asked += 1
            if (found := stock.supply(rows[place])) is not None:
                actual = float(search.chance(np.array([found.index]), coarse=1)[0])
                key = _key(search, rows[place])
                given[key] = max(given.get(key, -1.0), actual)
                if len(given) >= wanted:
                    reached = sorted(given.values())[-wanted] - _SLACK
        kept.append(rows)
        scores.append(chance)
    best = max(given.values(), default=-1.0)
    risen = reached if len(given) >= wanted else best - _SLACK if given else -1.0
    index, coarse = np.concatenate(kept), np.concatenate(scores)
    near = coarse >= max(risen, floor)
    return _Weighed(index[near], coarse[near], risen, len(index), missed)


def _coarse(search: Search, rows: Whole, floor: float) -> tuple[Whole, Array]:
    """Those of the combinations that reach the floor, and their chances with few nodes."""
    if len(search.low) > 2 and len(rows) > _WORTH_IT:
        rows = rows[search.chance(rows, ROUGH) >= floor - ROUGH_ERROR]
    chance = search.chance(rows, coarse=1)
    return rows[chance >= floor], chance[chance >= floor]


def _key(search: Search, row: Whole) -> tuple[int, ...]:
    """A combination by its thicknesses."""
    return tuple(np.rint(search.columns(row[None])[0][0] * 1e7).astype(int).tolist())


def _settled(search: Search, found: _Weighed, stock: Stock, weighed: int) -> Ranking:
    """What is left, settled with many nodes, as the stock gives it."""
    order = np.argsort(-found.coarse, kind="stable")
    rows = found.index[order]
    missed = found.missed
    if len(rows) > _SETTLED:
        missed = max(missed, float(found.coarse[order[_SETTLED]]) + COARSE_ERROR)
        rows = rows[:_SETTLED]
    upper = search.chance(rows, coarse=0)
    supplied, short = _taken(search, rows, upper, stock)
    # A row whose packs have more shims than its thickness needs, or that took too long, might do
    # better with others: what it would have with the fewest bounds that.
    missed = max([missed, *short])
    if not supplied:
        return Ranking(rows[:0], (), np.zeros(0), weighed, missed)
    index = np.array([one.index for one in supplied])
    packs = tuple(one.packs for one in supplied)
    return Ranking(index, packs, search.chance(index, coarse=0), weighed, missed)


def _taken(
    search: Search, rows: Whole, upper: Array, stock: Stock
) -> tuple[list[Supplied], list[float]]:
    """What the stock gives, likeliest first, until the rest can neither win nor follow."""
    supplied: list[Supplied] = []
    short: list[float] = []
    reached: dict[tuple[int, ...], float] = {}
    for place in np.argsort(-upper, kind="stable"):
        chance = float(upper[place])
        if len(reached) >= _RUNNERS and chance < _enough(reached):
            break
        one = stock.supply(rows[place])
        if stock.unsure(rows[place]) if one is None else one.short:
            short.append(chance)
        if one is not None:
            supplied.append(one)
            reached.setdefault(_key(search, rows[place]), chance)
    return supplied, short


def _enough(reached: dict[tuple[int, ...], float]) -> float:
    """Under this chance a combination is neither tied with the best nor among the first three."""
    best = sorted(reached.values(), reverse=True)
    return min(best[0] - 2 * TIE, best[_RUNNERS - 1])


def _with(index: Whole, chance: Array, more: Whole, scores: Array) -> tuple[Whole, Array]:
    """Two lists of combinations as one, each combination once."""
    rows, first = np.unique(np.concatenate([more, index]), axis=0, return_index=True)
    return rows, np.concatenate([scores, chance])[first]


def _narrow(search: Search, subset: Sequence[Whole], floor: float) -> list[Whole]:
    thickness = [seat.thickness for seat in search.seats]
    return narrowed(search.law, search.low, search.high, thickness, subset, floor)


def _dived(
    search: Search, subset: Sequence[Whole], floor: float, index: Whole, coarse: Array
) -> tuple[Whole, Array, list[Whole]]:
    """Good combinations of many seats quickly: the likeliest few half-filled ones go on."""
    left = _narrow(search, subset, floor)
    found, _, _ = survivors_of(search, left, floor, _DIVE)
    if len(found):
        index, coarse = _with(index, coarse, found, search.chance(found, coarse=1))
    return index, coarse, left


def _nth(search: Search, index: Whole, chance: Array, wanted: int) -> float:
    """The `wanted`-th best chance among different thicknesses; −1 while there are fewer."""
    rank = np.argsort(-chance, kind="stable")[: 20 * wanted + 64]
    keys = np.rint(search.columns(index[rank])[0] * 1e7).astype(np.int64)
    _, first = np.unique(keys, axis=0, return_index=True)
    values = np.sort(chance[rank[first]])[::-1]
    return float(values[wanted - 1]) if len(values) >= wanted else -1.0


def _climb(search: Search, subset: Sequence[Whole]) -> tuple[Whole, Array]:
    """Good combinations to start from: one seat after the other at its best, three rounds."""
    point = _start(search, subset)
    seen, values = [], []
    for _ in range(3):
        for seat, choices in enumerate(subset):
            index = np.repeat(point[None], len(choices), axis=0)
            index[:, seat] = choices
            near = _plausible(search, index)
            chance = search.chance(index[near], coarse=1)
            seen.append(index[near])
            values.append(chance)
            point = index[near][int(np.argmax(chance))]
    rows, first = np.unique(np.concatenate(seen), axis=0, return_index=True)
    return rows, np.concatenate(values)[first]


def _plausible(search: Search, index: Whole) -> Whole:
    """The forty of a line of combinations with the best worst window (the best is there)."""
    mean, covariance = pack_moments(search.law, *search.columns(index))
    variance = np.einsum("nrr->nr", covariance)
    worst = marginal_chance(mean, variance, search.low, search.high).min(axis=1)
    half = search.margin(index)
    return np.asarray(np.lexsort((-half, -worst))[:40])


def _start(search: Search, subset: Sequence[Whole]) -> Whole:
    """Classes nearest the packs that put all means in the middle (least squares)."""
    middle = np.where(
        np.isfinite(search.low) & np.isfinite(search.high), (search.low + search.high) / 2, np.nan
    )
    size = len(search.seats)
    miss = middle - search.law.mean[:, 0]
    used = np.isfinite(miss)
    step: Array = np.zeros(size)
    if used.any():
        weight = 2.0 / (search.high - search.low)[used]
        rates = search.law.mean[used, 1 : 1 + size]
        solved = np.linalg.lstsq(rates * weight[:, None], miss[used] * weight, rcond=None)[0]
        step = np.asarray(solved, np.float64)
    wanted = search.law.reference + step
    rows = [
        choices[int(np.argmin(np.abs(seat.thickness[choices] - want)))]
        for seat, choices, want in zip(search.seats, subset, wanted, strict=True)
    ]
    return np.array(rows)
