"""Exact search over the product of the seats' packs for the best joint chance.

A window's own chance bounds the joint chance from above, so a combination is dropped as soon
as one settled window has less than the best found. What is left is ranked with few nodes and
settled with many.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from casewright.reasoning.shim_moments import Moments, pack_moments
from casewright.reasoning.shim_rectangle import marginal_chance, rectangle_chance
from casewright.reasoning.shim_stock import PackClasses

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

TIE = 5e-4
_COARSE_ERROR = 2e-3
_PIECE = 4096


@dataclass(frozen=True, slots=True)
class Search:
    """One leg's question: tensors, windows for the means, and the classes of each seat."""

    law: Moments
    low: Array
    high: Array
    seats: tuple[PackClasses, ...]

    def columns(self, index: Whole) -> tuple[Array, Array, Array]:
        """Thickness, variance and kept flags of combinations [N, seats]."""
        picked = [(s.thickness[i], s.variance[i], s.kept[i]) for s, i in self._pairs(index)]
        thickness, variance, kept = (np.stack(part, axis=1) for part in zip(*picked, strict=True))
        return thickness, variance, kept

    def _pairs(self, index: Whole) -> list[tuple[PackClasses, Whole]]:
        return list(zip(self.seats, index.T, strict=True))

    def chance(self, index: Whole, coarse: bool) -> Array:
        """Joint chance of combinations [N, seats]."""
        mean, covariance = pack_moments(self.law, *self.columns(index))
        return rectangle_chance(mean, covariance, self.low, self.high, coarse)

    def shims(self, index: Whole) -> Whole:
        """Number of shims of combinations."""
        return np.asarray(sum(s.count[i] for s, i in self._pairs(index)))

    def margin(self, index: Whole) -> Array:
        """Least distance from an edge as a share of the half window."""
        mean, _ = pack_moments(self.law, *self.columns(index))
        half = np.where(np.isfinite(self.high - self.low), (self.high - self.low) / 2, 1.0)
        return np.asarray(np.min(np.minimum(mean - self.low, self.high - mean) / half, axis=1))


def ranked(search: Search, subset: Sequence[Whole], wanted: int) -> tuple[Whole, Array, int]:
    """All combinations of the subset that may be among the best `wanted`, or tied with them.

    Args:
        search: tensors, windows and classes of one leg [-].
        subset: which classes of each seat to look at [-].
        wanted: how many of different thickness are sure to be found [-].
    Returns:
        combinations [-], [N, seats]; their chances [-], [N]; how many were evaluated [-].
    Valid: exact: nothing above the last of them is missing.
    Raises: nothing.
    Source: own: branch and bound, P(all windows) ≤ P(each window).
    """
    index, coarse = _climb(search, subset)
    slack = TIE + 2 * _COARSE_ERROR
    floor = _nth(search, index, coarse, wanted) - slack
    survivors, bound = _survivors(search, subset, floor)
    order = np.argsort(-bound, kind="stable")
    kept: list[Whole] = []
    scores: list[Array] = []
    for start in range(0, len(order), _PIECE):
        piece = order[start : start + _PIECE]
        if bound[piece[0]] < floor:
            break
        kept.append(survivors[piece])
        scores.append(search.chance(survivors[piece], coarse=True))
        so_far = np.concatenate(scores)
        floor = max(floor, _nth(search, np.concatenate(kept), so_far, wanted) - slack)
    index = np.concatenate(kept) if kept else index
    coarse = np.concatenate(scores) if scores else coarse
    near = index[coarse >= floor]
    return near, search.chance(near, coarse=False), sum(len(part) for part in scores)


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
            chance = search.chance(index[near], coarse=True)
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


def _survivors(search: Search, subset: Sequence[Whole], floor: float) -> tuple[Whole, Array]:
    """Combinations in which no window's own chance is under the floor, with that bound."""
    size = len(search.seats)
    touches = _touches(search)
    order = _seat_order(touches, subset)
    index = np.zeros((1, size), np.int64)
    bound = np.ones(1)
    settled: set[int] = set()
    for depth, seat in enumerate(order):
        choices = subset[seat]
        index = np.repeat(index, len(choices), axis=0)
        index[:, seat] = np.tile(choices, len(index) // len(choices))
        bound = np.repeat(bound, len(choices))
        done = set(order[: depth + 1])
        ready = [r for r, seats in enumerate(touches) if seats <= done and r not in settled]
        for response in ready:
            bound = np.minimum(bound, _own_chance(search, index, response, done))
            index, bound = index[bound >= floor], bound[bound >= floor]
        settled.update(ready)
    return index, bound


def _touches(search: Search) -> list[set[int]]:
    """Seats on which each response depends."""
    size = len(search.seats)
    spread = np.einsum("rfrf->rf", search.law.covariance)
    moved = (search.law.mean != 0) | (spread != 0)
    return [{s for s in range(size) if row[1 + s] or row[1 + size + s]} for row in moved]


def _seat_order(touches: Sequence[set[int]], subset: Sequence[Whole]) -> list[int]:
    """Seats so that windows settle as early as can be."""
    order: list[int] = []
    while len(order) < len(subset):
        left = [s for s in range(len(subset)) if s not in order]
        settled = {s: sum(t <= {*order, s} and not t <= set(order) for t in touches) for s in left}
        order.append(max(left, key=lambda s: (settled[s], -len(subset[s]))))
    return order


def _own_chance(search: Search, index: Whole, response: int, done: set[int]) -> Array:
    """One window's chance for combinations whose other seats don't touch it."""
    thickness, variance, kept = search.columns(index)
    size = len(search.seats)
    seats = sorted(done)
    features = np.ones((len(index), 1 + 2 * len(seats)))
    features[:, 1 : 1 + len(seats)] = (thickness - search.law.reference)[:, seats]
    features[:, 1 + len(seats) :] = kept[:, seats]
    pick = [0, *(1 + s for s in seats), *(1 + size + s for s in seats)]
    mean = features @ search.law.mean[response, pick]
    block = search.law.covariance[response][:, response][np.ix_(pick, pick)]
    spread = np.einsum("nf,fg,ng->n", features, block, features, optimize=True)
    spread = spread + variance @ search.law.rates[response] ** 2 + search.law.extra[response]
    return marginal_chance(mean, spread, search.low[response], search.high[response])
