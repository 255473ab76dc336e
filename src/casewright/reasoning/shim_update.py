"""What trial readings say: conditioning of the state, and a reading that does not fit named.

The update is exact for the linear-Gaussian model. The one nonlinearity, play below zero
preload and spring above it, enters through readings at a response's floor ("no play felt",
"turns freely"): they say only on which side the response lies, and the state takes the exact
first two moments of that. A reading that is far from what all others say is named, with its
chance of being wrong, instead of being averaged in.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from casewright.errors import InputError, RangeError
from casewright.reasoning.shim_model import (
    Response,
    SetUp,
    State,
    response_rows,
    unmet_conditions,
)

Array = NDArray[np.float64]

MISREAD_CHANCE = 0.05
MISREAD_SPREAD = 10.0


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading of a response [m or N·m] with its standard deviation, and with which gauge.

    Mean of several positions where lash is read round the turn.
    """

    response: str
    value: float
    deviation: float
    gauge: str = ""


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """One way to take the readings: all sound, or one of them wrong (its index)."""

    chance: float
    suspect: int | None
    state: State


@dataclass(frozen=True, slots=True)
class Update:
    """The state after the readings under the likeliest hypothesis, and all hypotheses.

    `surprise` is each reading's distance from what the others and the first guess forecast,
    in standard deviations. `suspect` names a reading that is likelier wrong than right.
    """

    state: State
    hypotheses: tuple[Hypothesis, ...]
    surprise: tuple[float, ...]
    suspect: int | None


def condition(state: State, rows: ArrayLike, values: ArrayLike, variances: ArrayLike) -> State:
    """State given that rows · unknowns + noise = values (Gaussian conditioning).

    Args:
        state: the unknowns [-].
        rows: what is read, as weights of the unknowns [-], [..., k, n].
        values: readings [unit], [..., k].
        variances: noise of each reading [unit squared], [k] or [..., k].
    Returns:
        the state after the readings [-].
    Valid: linear readings with independent normal noise.
    Raises: nothing.
    Source: own: textbook conditioning of a multivariate normal (checked by Monte Carlo).
    """
    h = np.asarray(rows, float)
    cross = h @ state.covariance
    spread = cross @ np.swapaxes(h, -1, -2) + _diagonal(variances, h.shape[-2])
    gain = np.swapaxes(_solve(spread, cross), -1, -2)
    miss = np.asarray(values, float) - np.einsum("...kn,...n->...k", h, state.mean)
    mean = state.mean + np.einsum("...nk,...k->...n", gain, miss)
    covariance = state.covariance - gain @ cross
    return replace(
        state, mean=mean, covariance=0.5 * (covariance + np.swapaxes(covariance, -1, -2))
    )


def _diagonal(variances: ArrayLike, size: int) -> Array:
    """Diagonal matrices from variances [..., k]."""
    spread = np.broadcast_to(np.asarray(variances, float), (*np.shape(variances)[:-1], size))
    return spread[..., None] * np.eye(size)


def _solve(spread: Array, right: Array) -> Array:
    """spread⁻¹ · right with rows and columns brought to one scale first (m beside N·m)."""
    scale = np.sqrt(np.maximum(np.einsum("...kk->...k", spread), 1e-300))
    scaled = spread / scale[..., :, None] / scale[..., None, :]
    return np.asarray(np.linalg.solve(scaled, right / scale[..., :, None]) / scale[..., :, None])


def observe_side(
    state: State, row: ArrayLike, threshold: float, deviation: float, above: bool
) -> State:
    """State given only that row · unknowns lies above (or below) a threshold, read with noise.

    The result has the exact mean and variance along the row (truncated normal, softened by
    the noise) and is taken as normal again.

    Args:
        state: the unknowns, one leg [-].
        row: what is read, as weights of the unknowns [-], [n].
        threshold: where the reading stops showing anything [unit].
        deviation: how sharply the side is felt, standard deviation [unit].
        above: True when it lies above the threshold [-].
    Returns:
        the state [-].
    Valid: one leg; the moments are exact, the shape is approximated as normal.
    Raises: RangeError when the side contradicts everything known (beyond 8 deviations).
    Source: own: moments of a normal given a probit observation (checked by quadrature).
    """
    from scipy.special import log_ndtr

    h = np.asarray(row, float)
    cross = state.covariance @ h
    spread = float(np.sqrt(h @ cross + deviation**2))
    sign = 1.0 if above else -1.0
    z = sign * (float(h @ state.mean) - threshold) / spread
    if z < -8:
        raise RangeError("side of the floor", "above" if above else "below", "the other side")
    ratio = float(np.exp(-0.5 * z * z - 0.5 * np.log(2 * np.pi) - log_ndtr(z)))
    mean = state.mean + sign * cross * ratio / spread
    shrink = ratio * (z + ratio) / spread**2
    return replace(state, mean=mean, covariance=state.covariance - shrink * np.outer(cross, cross))


def reading_rows(
    set_up: SetUp, state: State, packs: ArrayLike, readings: Sequence[Reading]
) -> Array:
    """Rows of the readings: the response's own, and one for its gauge's constant.

    Args:
        set_up: the leg's responses, adjusters and rates [-].
        state: the unknowns [-].
        packs: packs fitted at the trial [m], [..., adjusters].
        readings: what was read [-].
    Returns:
        rows [-], [..., readings, unknowns].
    Valid: as `shim_model.response_rows`.
    Raises: InputError for a response or a gauge that the leg doesn't have.
    Source: own: reading = response + gauge constant's error + noise.
    """
    rows = response_rows(set_up, state, packs)
    known = [one.name for one in set_up.responses]
    for reading in readings:
        if reading.response not in known:
            raise InputError("reading", reading.response, f"one of: {', '.join(known)}")
        if reading.gauge and f"gauge:{reading.gauge}" not in state.names:
            names = ", ".join(gauge.name for gauge in set_up.gauges)
            raise InputError("gauge", reading.gauge, f"one of: {names}")
    picked: Array = rows[..., [known.index(one.response) for one in readings], :].copy()
    for place, reading in enumerate(readings):
        if reading.gauge:
            picked[..., place, state.names.index(f"gauge:{reading.gauge}")] = 1.0
    return picked


def take_readings(
    set_up: SetUp,
    state: State,
    packs: ArrayLike,
    readings: Sequence[Reading],
    held: Sequence[str] | None = None,
) -> Update:
    """The state after a trial's readings; a reading that does not fit is named and left out.

    Args:
        set_up: the leg's responses, adjusters and rates [-].
        state: the unknowns before [-].
        packs: packs fitted at the trial [m], [adjusters].
        readings: what was read [-].
        held: conditions that hold; None leaves them unasked [-].
    Returns:
        state, hypotheses with their chances, surprises, and the suspect if there is one [-].
    Valid: at most one reading in a trial is wrong; misreadings 10 times as wide as the
        forecast, one in twenty (assumed).
    Raises: InputError for an unknown response, a negative lash or a condition not met.
    Source: own: Bayes over "all sound" and "this one wrong".
    """
    _check_readings(set_up, readings, held)
    plain = [one for one in readings if not _at_floor(set_up, one)]
    for reading in readings:
        if _at_floor(set_up, reading):
            state = _observe_floor(set_up, state, packs, reading)
    order = [readings.index(one) for one in plain]
    if not plain:
        return Update(state, (Hypothesis(1.0, None, state),), (), None)
    rows = reading_rows(set_up, state, packs, plain)
    values = np.array([one.value for one in plain])
    noise = np.array([one.deviation**2 for one in plain])
    chances, spreads = misread_chances(state, rows, values, noise)
    best = int(np.argmax(chances))
    hypotheses = tuple(
        Hypothesis(
            float(chance),
            None if place == 0 else order[place - 1],
            condition(state, rows, values, spreads[place]),
        )
        for place, chance in enumerate(chances)
    )
    surprise = tuple(float(s) for s in leave_one_out(state, rows, values, noise))
    return Update(hypotheses[best].state, hypotheses, surprise, hypotheses[best].suspect)


def _check_readings(set_up: SetUp, readings: Sequence[Reading], held: Sequence[str] | None) -> None:
    """Refuse readings below zero where a floor forbids it, and unmet conditions."""
    by_name = {one.name: one for one in set_up.responses}
    for reading in readings:
        response = by_name.get(reading.response)
        if response is None:
            continue
        if response.floor is not None and reading.value < response.floor - 4 * reading.deviation:
            expected = f"not below {response.floor:g}"
            raise RangeError(response.name, reading.value, expected, "Read it again.")
        missing = unmet_conditions(response, held) if held is not None else ()
        if missing:
            needed = "its conditions: " + ", ".join(missing)
            raise InputError(response.name, "read too early", needed, "Keep it as a note.")


def _floor_of(set_up: SetUp, name: str) -> float | None:
    """Floor of the response with that name."""
    return next((one.floor for one in set_up.responses if one.name == name), None)


def _at_floor(set_up: SetUp, reading: Reading) -> bool:
    """Whether a reading shows no more than "nothing there"."""
    floor = _floor_of(set_up, reading.response)
    return floor is not None and reading.value <= floor + 0.5 * reading.deviation


def _observe_floor(set_up: SetUp, state: State, packs: ArrayLike, reading: Reading) -> State:
    """A reading at the floor: the response is at or below it."""
    row = reading_rows(set_up, state, packs, [reading])[..., 0, :]
    floor = _floor_of(set_up, reading.response)
    return observe_side(state, row, float(floor or 0.0), reading.deviation, above=False)


def misread_chances(
    state: State, rows: ArrayLike, values: ArrayLike, variances: ArrayLike
) -> tuple[Array, Array]:
    """Chances that all readings are sound (first) or that one of them is wrong.

    Args:
        state: the unknowns before [-].
        rows: what is read [-], [..., k, n].
        values: readings [unit], [..., k].
        variances: noise variances when sound [unit squared], [k].
    Returns:
        chances [-], [..., k + 1], and the noise variances of each hypothesis
        [unit squared], [k + 1, k] or [..., k + 1, k].
    Valid: a wrong reading has a spread 10 times that of its noise or forecast, whichever
        is more; chance of one in twenty beforehand (assumed, no source).
    Raises: nothing.
    Source: own: Bayes with normal likelihoods.
    """
    h = np.asarray(rows, float)
    k = h.shape[-2]
    noise = np.broadcast_to(np.asarray(variances, float), (*h.shape[:-2], k))
    prior = h @ state.covariance @ np.swapaxes(h, -1, -2)
    forecast = np.einsum("...kk->...k", prior)
    wide = MISREAD_SPREAD**2 * np.maximum(noise, 0.25 * forecast)
    spreads = np.stack([noise] + [_replace(noise, i, wide) for i in range(k)], axis=-2)
    miss = np.asarray(values, float) - np.einsum("...kn,...n->...k", h, state.mean)
    scores = [_log_likelihood(prior, spreads[..., i, :], miss) for i in range(k + 1)]
    odds = np.stack(scores, axis=-1)
    odds[..., 1:] += np.log(MISREAD_CHANCE / (1 - MISREAD_CHANCE))
    weight = np.exp(odds - odds.max(axis=-1, keepdims=True))
    return weight / weight.sum(axis=-1, keepdims=True), spreads


def _replace(noise: Array, place: int, wide: Array) -> Array:
    """Noise with one reading's variance put to `wide`."""
    changed = np.array(noise)
    changed[..., place] = wide[..., place]
    return changed


def _log_likelihood(prior: Array, noise: Array, miss: Array) -> Array:
    """Log density of the misses under normal doubts, without the constant."""
    spread = prior + noise[..., None] * np.eye(noise.shape[-1])
    scale = np.sqrt(np.einsum("...kk->...k", spread))
    scaled = spread / scale[..., :, None] / scale[..., None, :]
    unit = miss / scale
    root = np.linalg.solve(scaled, unit[..., None])[..., 0]
    log_volume = 0.5 * np.linalg.slogdet(scaled)[1] + np.log(scale).sum(axis=-1)
    return np.asarray(-0.5 * (unit * root).sum(axis=-1) - log_volume)


def leave_one_out(state: State, rows: ArrayLike, values: ArrayLike, variances: ArrayLike) -> Array:
    """Distance of each reading from what all others forecast, in standard deviations.

    Args:
        state: the unknowns before [-].
        rows: what is read [-], [k, n].
        values: readings [unit], [k].
        variances: noise variances [unit squared], [k].
    Returns:
        surprises [-], [k].
    Valid: one leg.
    Raises: nothing.
    Source: own: (S⁻¹ miss)ᵢ / √(S⁻¹)ᵢᵢ, the leave-one-out residual of a normal vector.
    """
    h = np.asarray(rows, float)
    spread = h @ state.covariance @ h.T + np.diag(np.asarray(variances, float))
    inverse = _solve(spread, np.eye(len(h)))
    miss = np.asarray(values, float) - h @ state.mean
    return np.asarray((inverse @ miss) / np.sqrt(np.diag(inverse)))


def rate_sources(set_up: SetUp, before: State, after: State) -> dict[str, str]:
    """Where each rate now comes from: "trials" once they have halved its doubt.

    Args:
        set_up: the leg's responses, adjusters and rates [-].
        before: first state [-].
        after: state now [-].
    Returns:
        name of the rate ("lash|seat") to "sheet", "geometry" or "trials" [-].
    Valid: always.
    Raises: nothing.
    Source: own: a label, half the standard deviation as the turning point.
    """
    labels = {}
    for rate in set_up.sensitivities:
        name = f"rate:{rate.response}|{rate.adjuster}"
        if name in before.names:
            place = before.names.index(name)
            was, now = before.covariance[place, place], after.covariance[place, place]
            learned = was > 0 and now < 0.25 * was
            labels[name.removeprefix("rate:")] = "trials" if learned else rate.source
    return labels


def swing(response: Response, half_range: float, deviation: float) -> Response:
    """The response with its run-out as measured round the turn.

    Args:
        response: what is read [-].
        half_range: swing of single readings about the mean [unit].
        deviation: its standard deviation [unit].
    Returns:
        the response with the measured swing [-].
    Valid: always.
    Raises: nothing.
    Source: own: replaces the assumed swing by the measured one.
    """
    return replace(response, half_range=half_range, half_range_deviation=deviation)
