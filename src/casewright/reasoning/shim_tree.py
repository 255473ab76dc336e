"""One leg's question, and the tree of its half-filled combinations, pruned as windows settle."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from casewright.reasoning.shim_moments import Moments, pack_moments
from casewright.reasoning.shim_rectangle import (
    ROUGH,
    ROUGH_ERROR,
    marginal_chance,
    rectangle_chance,
)
from casewright.reasoning.shim_stock import PackClasses

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

COARSE_ERROR = 2e-3
_EXPANDED = 100_000
_WORTH_IT = 500
# So many times as many go on to be weighed together as go on to the next seat.
_WIDE = 3
# Many windows are weighed with the fewest nodes first; what may still reach the floor, with more.
_STAGES = ((ROUGH, ROUGH_ERROR), (1, 0.0))


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

    def chance(self, index: Whole, coarse: int) -> Array:
        """Joint chance of combinations [N, seats]."""
        mean, covariance = pack_moments(self.law, *self.columns(index))
        return rectangle_chance(mean, covariance, self.low, self.high, coarse)

    def chance_at(self, thickness: Array, variance: Array, coarse: int) -> Array:
        """Joint chance of any thicknesses [N, seats] with so much doubt of each pack's shims."""
        doubt = np.broadcast_to(variance, thickness.shape)
        mean, covariance = pack_moments(self.law, thickness, doubt, np.zeros_like(thickness))
        return rectangle_chance(mean, covariance, self.low, self.high, coarse)

    def chance_of(self, index: Whole, some: Sequence[int], coarse: int = 1) -> Array:
        """Joint chance of some windows alone: those that the seats filled so far settle."""
        mean, covariance = pack_moments(self.law, *self.columns(index))
        pick = list(some)
        return rectangle_chance(
            mean[:, pick], covariance[:, pick][:, :, pick], self.low[pick], self.high[pick], coarse
        )

    def shims(self, index: Whole) -> Whole:
        """Number of shims of combinations."""
        return np.asarray(sum(s.count[i] for s, i in self._pairs(index)))

    def margin(self, index: Whole) -> Array:
        """Least distance from an edge as a share of the half window."""
        mean, _ = pack_moments(self.law, *self.columns(index))
        half = np.where(np.isfinite(self.high - self.low), (self.high - self.low) / 2, 1.0)
        return np.asarray(np.min(np.minimum(mean - self.low, self.high - mean) / half, axis=1))


def survivors_of(
    search: Search, subset: Sequence[Whole], floor: float, most: int
) -> tuple[Whole, Array, float]:
    """Combinations whose settled windows reach the floor, their bounds, and the bound of the rest.

    Args:
        search: tensors, windows and classes of one leg [-].
        subset: which classes of each seat to look at [-].
        floor: chance that must be reached [-].
        most: half-filled combinations that go on from seat to seat, the likeliest [-].
    Returns:
        combinations [-], [N, seats]; a bound of each one's chance [-], [N]; the bound of what was
        set aside, −1 where nothing was [-].
    Valid: no combination at or above the floor is lost but for what the last bound covers.
    Raises: nothing.
    Source: own: P(all windows) ≤ P(any of them together).
    """
    size = len(search.seats)
    touches = _touches(search)
    order = _seat_order(touches, subset)
    index, bound, missed = np.zeros((1, size), np.int64), np.ones(1), -1.0
    settled: set[int] = set()
    for depth, seat in enumerate(order):
        done = set(order[: depth + 1])
        ready = [r for r, seats in enumerate(touches) if seats <= done and r not in settled]
        settled.update(ready)
        level = _Level(seat, subset[seat], done, ready, sorted(settled), floor, most)
        index, bound, lost = _filled(search, index, bound, level)
        index, bound, cut = _likeliest(index, bound, most)
        missed = max(missed, lost, cut)
    return index, bound, missed


def _likeliest(index: Whole, bound: Array, most: int) -> tuple[Whole, Array, float]:
    """At most so many, the likeliest, and the bound of those set aside (−1 where none is)."""
    if len(index) <= most:
        return index, bound, -1.0
    best = np.argsort(-bound, kind="stable")
    return index[best[:most]], bound[best[:most]], float(bound[best[most]]) + COARSE_ERROR


@dataclass(frozen=True, slots=True)
class _Level:
    """One seat to fill: its choices, seats done, windows settled by it and so far, the floor."""

    seat: int
    choices: Whole
    done: set[int]
    ready: list[int]
    settled: list[int]
    floor: float
    most: int


def _filled(
    search: Search, index: Whole, bound: Array, level: _Level
) -> tuple[Whole, Array, float]:
    """Every combination with every choice of the next seat, less those under the floor."""
    step = max(1, _EXPANDED // max(1, len(level.choices)))
    parts = [
        _pruned(search, index[i : i + step], bound[i : i + step], level)
        for i in range(0, len(index), step)
    ]
    if not parts:
        return index, bound, -1.0
    rows, bounds, missed = zip(*parts, strict=True)
    return np.concatenate(rows), np.concatenate(bounds), max(missed)


def _pruned(
    search: Search, index: Whole, bound: Array, level: _Level
) -> tuple[Whole, Array, float]:
    """One piece of it: each window alone first, then all that are settled together."""
    count = len(level.choices)
    index = np.repeat(index, count, axis=0)
    index[:, level.seat] = np.tile(level.choices, len(index) // max(count, 1))
    bound = np.repeat(bound, count)
    for response in level.ready:
        bound = np.minimum(bound, _own_chance(search, index, response, level.done))
        index, bound = index[bound >= level.floor], bound[bound >= level.floor]
    index, bound, missed = _likeliest(index, bound, _WIDE * level.most)
    known = [r for r in level.settled if np.isfinite(search.low[r]) or np.isfinite(search.high[r])]
    whole = len(level.done) == len(search.seats)
    if level.ready and len(known) > 1 and len(index) > _WORTH_IT and not whole:
        for nodes, error in _STAGES if len(known) > 2 else _STAGES[1:]:
            bound = np.minimum(bound, search.chance_of(index, known, nodes) + error)
            index, bound = index[bound >= level.floor], bound[bound >= level.floor]
    return index, bound, missed


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
