"""How far each seat's packs can go at all before some window's own chance falls under a floor.

A linear programme over all means at once gives each seat's least and greatest thickness: outside
it no combination, whatever the other seats hold, can reach the floor.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from casewright.reasoning.shim_moments import Moments

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

_ROUNDS = 3
_MICRON = 1e6


def allowed_means(
    law: Moments, low: Array, high: Array, reach: Array, floor: float
) -> tuple[Array, Array]:
    """Means outside which a window's own chance is surely under the floor.

    Args:
        law: from `shim_moments.moments`, one leg [-].
        low: lower limits [unit], [R].
        high: upper limits [unit], [R].
        reach: greatest distance of each pack from its reference [m], [seats].
        floor: chance that must be reached [-].
    Returns:
        least and greatest mean of each response [unit], [R].
    Valid: packs within `reach`; shims' own variance up to that of a tenth of the windows.
    Raises: nothing.
    Source: own: P(window) ≤ Φ((high − m)/s), and s ≤ s of each part, summed.
    """
    from scipy.special import ndtri

    if floor <= 0:
        return np.full(len(low), -np.inf), np.full(len(low), np.inf)
    size = len(reach)
    spread = np.sqrt(np.maximum(np.einsum("rfrf->rf", law.covariance), 0.0))
    parts = spread[:, 0] + spread[:, 1 : 1 + size] @ reach + spread[:, 1 + size :].sum(axis=1)
    shims = np.abs(law.rates).sum(axis=1) * 2.5e-5  # six shims of 10 µm each
    beyond = max(0.0, -float(ndtri(min(floor, 1.0)))) * (parts + shims + np.sqrt(law.extra))
    return low - beyond, high + beyond


def narrowed(
    law: Moments,
    low: Array,
    high: Array,
    thickness: Sequence[Array],
    subset: Sequence[Whole],
    floor: float,
) -> list[Whole]:
    """The classes of each seat that can still belong to a combination at or above the floor.

    Args:
        law: from `shim_moments.moments`, one leg [-].
        low: lower limits [unit], [R].
        high: upper limits [unit], [R].
        thickness: of every class of each seat [m].
        subset: the classes to look at [-].
        floor: chance that must be reached [-].
    Returns:
        what is left of each subset [-]; never less than one class a seat.
    Valid: exact for means linear in the packs: nothing at or above the floor is lost.
    Raises: nothing.
    Source: own: 2 linear programmes a seat, repeated as the reach shrinks.
    """
    size = len(subset)
    left = [np.asarray(choices) for choices in subset]
    kept = law.mean[:, 1 + size :]
    for _ in range(_ROUNDS):
        ends = _ends(thickness, left, law.reference)
        reach = np.abs(ends).max(axis=1)
        least, most = allowed_means(law, low, high, reach, floor)
        # A kept pack's learned deviation moves a mean by so much and no more.
        least, most = least - np.abs(kept).sum(axis=1), most + np.abs(kept).sum(axis=1)
        found = _ranges(law, least, most, ends)
        if found is None:
            return left
        now = [
            _inside(choices, thick[choices] - ref, *pair)
            for choices, thick, ref, pair in zip(left, thickness, law.reference, found, strict=True)
        ]
        if sum(map(len, now)) > 0.95 * sum(map(len, left)):
            return now
        left = now
    return left


def _ends(thickness: Sequence[Array], left: Sequence[Whole], reference: Array) -> Array:
    """Least and greatest change of each seat's pack from its reference [m], [seats, 2]."""
    return np.array(
        [
            (thick[choices].min() - ref, thick[choices].max() - ref)
            for thick, choices, ref in zip(thickness, left, reference, strict=True)
        ]
    )


def _inside(choices: Whole, change: Array, least: float, most: float) -> Whole:
    """Choices within the range; the nearest one where there is none."""
    near = choices[(change >= least - 1e-9) & (change <= most + 1e-9)]
    if len(near):
        return near
    return choices[[int(np.argmin(np.abs(change - (least + most) / 2)))]]


def _ranges(
    law: Moments, least: Array, most: Array, ends: Array
) -> list[tuple[float, float]] | None:
    """Least and greatest change of each seat with all means allowed [m]; None if none is."""
    from scipy.optimize import linprog

    size = len(ends)
    rates, start = law.mean[:, 1 : 1 + size], law.mean[:, 0]
    scale = 1 / np.maximum(np.abs(rates).max(axis=1), 1e-30)
    rows = np.vstack([rates, -rates]) * np.concatenate([scale, scale])[:, None]
    limits = np.concatenate([most - start, start - least]) * np.concatenate([scale, scale])
    used = np.isfinite(limits) & (np.abs(rows).max(axis=1) > 0)
    bounds = ends * _MICRON
    found = []
    for seat in range(size):
        pair = []
        for sign in (1.0, -1.0):
            cost = np.zeros(size)
            cost[seat] = sign
            told = linprog(
                cost, A_ub=rows[used], b_ub=limits[used] * _MICRON, bounds=bounds, method="highs"
            )
            if told.status != 0:
                return None
            pair.append(float(told.x[seat]) / _MICRON)
        found.append((pair[0], pair[1]))
    return found
