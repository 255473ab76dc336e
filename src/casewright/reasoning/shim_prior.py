"""The first guess: what the old packs, the kept pieces and dry readings say before a trial.

Each dimension (a seat's depth, a bearing's stand height, a gear's mounting distance) is an
unknown deviation from its nominal. A replaced piece has two: the old one's and the new one's,
independent; a kept piece has one. That the old packs were right in the old housing when it
was built is a reading of the old ones, and reaches the new only through what was kept.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import pi, sqrt

import numpy as np
from numpy.typing import ArrayLike, NDArray

from casewright.errors import InputError, RangeError
from casewright.reasoning.shim_model import State
from casewright.reasoning.shim_update import condition

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Dimension:
    """One dimension in the chain: standard deviation [m], and what it moves.

    `effects` is the change of each response for one metre more. `replaced` is True where its
    piece is new, so that only then its variance is renewed.
    """

    name: str
    deviation: float
    effects: Mapping[str, float]
    replaced: bool = False


@dataclass(frozen=True, slots=True)
class DryReading:
    """A reading before the first assembly: Σ weight · dimension, with noise [m], in minutes.

    Names are "old:seat" and "new:seat" for replaced pieces, "seat" for kept ones. The same
    shoulder in old and new housing with the same gauge is {new: 1, old: −1}: its bias cancels.
    """

    name: str
    weights: Mapping[str, float]
    deviation: float
    minutes: float


@dataclass(frozen=True, slots=True)
class DryAdvice:
    """One dry reading in its place: how much it narrows (in half windows) and per minute."""

    name: str
    minutes: float
    narrowing: float
    per_minute: float
    spread_after: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Share:
    """One source of a response's spread: its share of the variance, and alone [unit]."""

    source: str
    share: float
    deviation: float


@dataclass(frozen=True, slots=True)
class StackUp:
    """A chain of dimensions: gap, worst case, root sum of squares, and for even tolerances."""

    gap: float
    worst: float
    root_sum_square: float
    rectangular: float


def first_dimensions(dimensions: Sequence[Dimension]) -> State:
    """The dimensions before anything is known: kept ones once, replaced ones old and new.

    Args:
        dimensions: the chain [-].
    Returns:
        a state of deviations from nominal [m].
    Valid: independent pieces.
    Raises: RangeError for a deviation below zero; InputError for a name given twice.
    Source: own: only what was replaced gets its variance renewed.
    """
    names: list[str] = []
    variances: list[float] = []
    for one in dimensions:
        if one.deviation < 0:
            raise RangeError(one.name, one.deviation, "a standard deviation of 0 or more")
        own = [f"old:{one.name}", f"new:{one.name}"] if one.replaced else [one.name]
        names += own
        variances += [one.deviation**2] * len(own)
    if len(set(names)) < len(names):
        raise InputError("dimensions", names, "each name once")
    return State(tuple(names), np.zeros(len(names)), np.diag(variances))


def build_rows(
    dimensions: Sequence[Dimension], responses: Sequence[str], names: Sequence[str], old: bool
) -> Array:
    """Rows: each response's deviation in the old build (or in the new one).

    Args:
        dimensions: the chain [-].
        responses: names of the responses [-].
        names: names of the state's unknowns [-].
        old: True for the build as it was [-].
    Returns:
        rows [response unit per m], [responses, unknowns].
    Valid: small deviations.
    Raises: nothing.
    Source: own: response = nominal + Σ effect · deviation.
    """
    rows = np.zeros((len(responses), len(names)))
    for one in dimensions:
        prefix = ("old:" if old else "new:") if one.replaced else ""
        for response, effect in one.effects.items():
            rows[list(responses).index(response), list(names).index(prefix + one.name)] = effect
    return rows


def was_right(
    state: State,
    rows: ArrayLike,
    nominal: ArrayLike,
    low: ArrayLike,
    high: ArrayLike,
    aim: float = 1 / 3,
) -> State:
    """Given that the old build was in its windows: middle ± `aim` · half window.

    Args:
        state: dimensions [-].
        rows: old build's rows [-], [R, n].
        nominal: response at the old packs with all deviations zero [unit], [R].
        low: lower limits [unit], [R].
        high: upper limits [unit], [R].
        aim: standard deviation as a share of the half window [-]; 0.577 for an even spread.
    Returns:
        the state [-].
    Valid: windows with two limits; others say nothing and are passed over. A builder aims at
        the middle, so the edges are taken as three standard deviations away (assumed).
    Raises: RangeError for an aim that is not above 0.
    Source: common practice, no source: the old packs were right in the old housing when built.
    """
    if aim <= 0:
        raise RangeError("aim", aim, "a share of the half window above 0")
    lows, highs = np.asarray(low, float), np.asarray(high, float)
    used = np.isfinite(lows) & np.isfinite(highs)
    middle = (lows[used] + highs[used]) / 2 - np.asarray(nominal, float)[used]
    variances = (aim * (highs - lows)[used] / 2) ** 2
    return condition(state, np.asarray(rows)[used], middle, variances)


def as_found(
    state: State, row: ArrayLike, change: float, deviation: float, wear: float | None
) -> State:
    """Given a reading of the leg as it came in: right, worn one way, or not used at all.

    Wear only adds (lash, end play): half-normal with scale `wear`, so the reading is expected
    wear·√(2/π) too high with variance wear²·(1 − 2/π) more. None (cracked, spun, collapsed)
    leaves the reading out.

    Args:
        state: dimensions [-].
        row: old build's row of that response [-], [n].
        change: reading less nominal [unit].
        deviation: reading's standard deviation [unit].
        wear: scale of the wear [unit]; None: not used [-].
    Returns:
        the state [-].
    Valid: wear that only increases the reading; its skew is taken as normal.
    Raises: RangeError for wear below zero.
    Source: own: moments of the half-normal distribution.
    """
    if wear is None:
        return state
    if wear < 0:
        raise RangeError("wear", wear, "0 or more")
    extra = wear**2 * (1 - 2 / pi)
    expected = change - wear * sqrt(2 / pi)
    return condition(state, np.asarray(row)[None], [expected], [deviation**2 + extra])


def dry_row(names: Sequence[str], reading: DryReading) -> Array:
    """The row of a dry reading.

    Args:
        names: names of the state's unknowns [-].
        reading: what is read [-].
    Returns:
        weights of the unknowns [-], [n].
    Valid: always.
    Raises: InputError for a dimension that the chain doesn't have.
    Source: own: differences of dimensions.
    """
    row = np.zeros(len(names))
    for name, weight in reading.weights.items():
        if name not in names:
            raise InputError(reading.name, name, f"one of: {', '.join(names)}")
        row[list(names).index(name)] = weight
    return row


def take_dry(state: State, reading: DryReading, value: float) -> State:
    """The dimensions after a dry reading (or an etched deviation).

    Args:
        state: dimensions [-].
        reading: what was read [-].
        value: the reading as a deviation from nominal [m].
    Returns:
        the state [-].
    Valid: normal noise.
    Raises: as `dry_row`.
    Source: own: Gaussian conditioning.
    """
    row = dry_row(state.names, reading)
    return condition(state, row[None], [value], [reading.deviation**2])


def rank_dry_readings(
    state: State, rows: ArrayLike, half_windows: ArrayLike, readings: Sequence[DryReading]
) -> tuple[DryAdvice, ...]:
    """Dry readings in the order worth taking: narrowing of the forecast per minute, greedily.

    Narrowing is the drop of each response's standard deviation in half windows, summed.

    Args:
        state: dimensions [-].
        rows: new build's rows [-], [R, n].
        half_windows: half of each window [unit], inf where there is none, [R].
        readings: what could be read [-].
    Returns:
        advice in order [-], each with the spread left after it.
    Valid: what a reading narrows does not depend on what it will say (linear model).
    Raises: RangeError for a reading that takes no time.
    Source: own: greedy value of information per minute.
    """
    h, half = np.asarray(rows, float), np.asarray(half_windows, float)
    for reading in readings:
        if reading.minutes <= 0:
            raise RangeError(reading.name, reading.minutes, "minutes above 0")
    left, advice = list(readings), []
    while left:
        now = _spread(state, h)
        after = [take_dry(state, reading, 0.0) for reading in left]
        gains = [float(((now - _spread(s, h)) / half).sum()) for s in after]
        best = int(np.argmax([g / r.minutes for g, r in zip(gains, left, strict=True)]))
        reading, state = left.pop(best), after[best]
        spread = tuple(float(s) for s in _spread(state, h))
        rate = gains[best] / reading.minutes
        advice.append(DryAdvice(reading.name, reading.minutes, gains[best], rate, spread))
    return tuple(advice)


def _spread(state: State, rows: Array) -> Array:
    """Standard deviation of each row."""
    square = np.einsum("rn,nm,rm->r", rows, state.covariance, rows)
    return np.asarray(np.sqrt(np.maximum(square, 0.0)))


def offsets(state: State, rows: ArrayLike, nominal: ArrayLike) -> tuple[Array, Array]:
    """Forecast of the new build at the old packs, for `shim_model.first_state`.

    Args:
        state: dimensions [-].
        rows: new build's rows [-], [R, n].
        nominal: response at the reference packs with all deviations zero [unit], [R].
    Returns:
        means [unit], [R], and covariance [unit squared], [R, R].
    Valid: small deviations.
    Raises: nothing.
    Source: own: moments of a linear map.
    """
    h = np.asarray(rows, float)
    return np.asarray(nominal, float) + h @ state.mean, h @ state.covariance @ h.T


def variance_shares(state: State, row: ArrayLike) -> tuple[Share, ...]:
    """Which part of a response's spread comes from what, largest first.

    share = h·(P·h)/(hᵀ·P·h) for each unknown; shares sum to 1, and one that offsets another
    after a common reading may be negative.

    Args:
        state: the unknowns [-].
        row: the response's weights [-], [n].
    Returns:
        shares [-] and each unknown's own contribution [unit].
    Valid: one leg.
    Raises: nothing.
    Source: own: covariance shares of a linear sum.
    """
    h = np.asarray(row, float)
    parts = h * (state.covariance @ h)
    total = float(parts.sum())
    alone = np.abs(h) * np.sqrt(np.diag(state.covariance))
    found = [
        Share(name, float(part) / total if total > 0 else 0.0, float(own))
        for name, part, own in zip(state.names, parts, alone, strict=True)
        if own > 0
    ]
    return tuple(sorted(found, key=lambda one: -one.share))


def stack_up(
    sizes: Sequence[float], tolerances: Sequence[float], signs: Sequence[float]
) -> StackUp:
    """A dimension chain: gap Σ c·x; worst Σ|c|·T; √Σ(c·T)²; even spread √Σ(c·T)²/3.

    Args:
        sizes: nominal dimensions [m].
        tolerances: half tolerances T [m].
        signs: +1 or −1 (or any factor c) for each [-].
    Returns:
        gap, worst case, root sum of squares, standard deviation of even tolerances [m].
    Valid: independent dimensions, symmetric tolerances.
    Raises: InputError for lists of different length.
    Source: own: sums of independent quantities.
    """
    if not len(sizes) == len(tolerances) == len(signs):
        given = f"{len(sizes)}, {len(tolerances)}, {len(signs)}"
        raise InputError("chain", given, "as many tolerances and signs as sizes")
    parts = np.abs(np.asarray(signs, float)) * np.asarray(tolerances, float)
    square = float((parts**2).sum())
    gap = float(np.dot(signs, sizes))
    return StackUp(gap, float(parts.sum()), sqrt(square), sqrt(square / 3))
