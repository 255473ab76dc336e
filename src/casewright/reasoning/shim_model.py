"""The set-up as one linear-Gaussian model: what each reading says about unknown offsets.

A response (pinion height, a lash, an end play, a turning torque) is

    response = offset + Σ over adjusters (rate · (pack − reference pack))

where offsets and rates are both uncertain. For packs that are known this is linear in the
unknowns, so trials update offsets and rates together. The state also holds how far each
fitted pack is from its marked thickness and how far each gauge's constant is off: readings
taken with one gauge share its doubt. Arrays may carry leading axes (many legs at once).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import inf

import numpy as np
from numpy.typing import ArrayLike, NDArray

from casewright.errors import InputError, MissingError

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Response:
    """One thing that is read: its window as SI [m or N·m], and what its readings can't show.

    `half_range` is how far single readings swing about the mean once per turn (run-out): the
    window then holds for the extremes. Nothing is read below `floor` (end play: 0; turning
    torque: the drag of the loose shaft); the linear law goes on below it.
    """

    name: str
    low: float = -inf
    high: float = inf
    half_range: float = 0.0
    half_range_deviation: float = 0.0
    floor: float | None = None
    conditions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """Change of a response for each metre more in an adjuster, with its standard deviation.

    `source` is "sheet", "geometry" or "trials". Rates with the same `family` share one doubt
    (the same unprinted pressure and spiral angle): their errors move together.
    """

    response: str
    adjuster: str
    value: float
    deviation: float
    source: str = "sheet"
    family: str = ""


@dataclass(frozen=True, slots=True)
class Gauge:
    """A gauge whose constant is right within a standard deviation `doubt` [m or N·m]."""

    name: str
    doubt: float


@dataclass(frozen=True, slots=True)
class SetUp:
    """Responses, adjusters and rates of one leg; offsets belong to the `reference` packs [m]."""

    responses: tuple[Response, ...]
    adjusters: tuple[str, ...]
    sensitivities: tuple[Sensitivity, ...]
    reference: tuple[float, ...]
    gauges: tuple[Gauge, ...] = ()


@dataclass(frozen=True, slots=True)
class State:
    """Named unknowns with mean [..., n] and covariance [..., n, n]."""

    names: tuple[str, ...]
    mean: Array
    covariance: Array


@dataclass(frozen=True, slots=True)
class Forecast:
    """Mean [..., responses] and covariance [..., responses, responses] of the responses."""

    mean: Array
    covariance: Array


def check_set_up(set_up: SetUp) -> None:
    """Refuse a set-up in which something points nowhere or an adjuster moves nothing.

    Args:
        set_up: the leg's responses, adjusters and rates [-].
    Returns:
        nothing [-].
    Valid: any number of responses and adjusters.
    Raises: InputError naming the first thing that does not fit.
    Source: own: consistency rules of this model.
    """
    names = {response.name for response in set_up.responses}
    for rate in set_up.sensitivities:
        if rate.response not in names or rate.adjuster not in set_up.adjusters:
            where = f"{rate.response} / {rate.adjuster}"
            raise InputError("sensitivity", where, "a response and an adjuster of this leg")
    for adjuster in set_up.adjusters:
        if not any(rate.adjuster == adjuster and rate.value for rate in set_up.sensitivities):
            raise MissingError(f"sensitivities of {adjuster}", "at least one that is not zero")
    if len(set_up.reference) != len(set_up.adjusters):
        raise InputError("reference packs", len(set_up.reference), "one for each adjuster")
    for response in set_up.responses:
        if response.low >= response.high:
            given = f"{response.low:g} to {response.high:g}"
            raise InputError(f"window of {response.name}", given, "low below high")


def first_state(
    set_up: SetUp,
    offsets: ArrayLike,
    covariance: ArrayLike,
    pack_variance: Mapping[str, float] | None = None,
) -> State:
    """The unknowns before any trial: offsets, rates, pack deviations, gauge constants.

    Args:
        set_up: the leg's responses, adjusters and rates [-].
        offsets: forecast of each response at the reference packs [m or N·m], [responses].
        covariance: covariance of the offsets [unit squared], [responses, responses].
        pack_variance: variance of each fitted pack about its marked thickness [m²].
    Returns:
        the state [-]: offsets first, then rates, packs, gauges.
    Valid: normal doubts; rates of one family move together entirely.
    Raises: InputError, MissingError for a set-up that does not fit together.
    Source: own: linear-Gaussian state of this project.
    """
    check_set_up(set_up)
    rates = [rate for rate in set_up.sensitivities if rate.value or rate.deviation]
    packs = [(pack_variance or {}).get(name, 0.0) for name in set_up.adjusters]
    names = (
        *(f"offset:{response.name}" for response in set_up.responses),
        *(f"rate:{rate.response}|{rate.adjuster}" for rate in rates),
        *(f"pack:{name}" for name in set_up.adjusters),
        *(f"gauge:{gauge.name}" for gauge in set_up.gauges),
    )
    tail = len(packs) + len(set_up.gauges)
    means = [np.asarray(offsets, float), np.array([r.value for r in rates]), np.zeros(tail)]
    doubts = np.array([*packs, *(gauge.doubt**2 for gauge in set_up.gauges)])
    blocks = [np.asarray(covariance, float), _rate_covariance(rates), np.diag(doubts)]
    return State(names, np.concatenate(means), _block_diagonal(blocks))


def _rate_covariance(rates: Sequence[Sensitivity]) -> Array:
    """Covariance of the rates: one family shares its relative error, others stand alone."""
    covariance = np.diag([rate.deviation**2 for rate in rates])
    for i, one in enumerate(rates):
        for j, other in enumerate(rates):
            if i != j and one.family and one.family == other.family:
                sign = np.sign(one.value * other.value)
                covariance[i, j] = sign * one.deviation * other.deviation
    return covariance.reshape(len(rates), len(rates))


def _block_diagonal(blocks: Sequence[Array]) -> Array:
    """Square blocks along the diagonal of one matrix."""
    sizes = [len(block) for block in blocks]
    whole = np.zeros((sum(sizes), sum(sizes)))
    start = 0
    for block, size in zip(blocks, sizes, strict=True):
        whole[start : start + size, start : start + size] = block.reshape(size, size)
        start += size
    return whole


def current_rates(set_up: SetUp, state: State) -> Array:
    """Mean rates as they stand now, zero where an adjuster does not move a response.

    Args:
        set_up: the leg's responses, adjusters and rates [-].
        state: the unknowns [-].
    Returns:
        rates [response unit per m], [..., responses, adjusters].
    Valid: always.
    Raises: nothing.
    Source: own: read from the state.
    """
    shape = (*state.mean.shape[:-1], len(set_up.responses), len(set_up.adjusters))
    rates = np.zeros(shape)
    for column, name in enumerate(state.names):
        if name.startswith("rate:"):
            row, adjuster = _rate_place(set_up, name)
            rates[..., row, adjuster] = state.mean[..., column]
    return rates


def _rate_place(set_up: SetUp, name: str) -> tuple[int, int]:
    """Response and adjuster index of a rate's name."""
    response, adjuster = name.removeprefix("rate:").split("|")
    row = [one.name for one in set_up.responses].index(response)
    return row, set_up.adjusters.index(adjuster)


def response_rows(set_up: SetUp, state: State, packs: ArrayLike) -> Array:
    """Rows H with response = H · unknowns for given packs (offset, rate · change, pack error).

    Args:
        set_up: the leg's responses, adjusters and rates [-].
        state: the unknowns [-]; its mean rates weigh the deviations of the packs.
        packs: thickness of each pack as marked or measured [m], [..., adjusters].
    Returns:
        rows [-, or m for rates], [..., responses, unknowns].
    Valid: pack deviations small against the packs, so that rate · deviation is first order.
    Raises: nothing.
    Source: own: response = offset + Σ rate · (pack − reference).
    """
    change = np.asarray(packs, float) - np.asarray(set_up.reference)
    rates = current_rates(set_up, state)
    lead = np.broadcast_shapes(change.shape[:-1], state.mean.shape[:-1])
    rows = np.zeros((*lead, len(set_up.responses), len(state.names)))
    for column, name in enumerate(state.names):
        kind, _, label = name.partition(":")
        if kind == "offset":
            rows[..., [one.name for one in set_up.responses].index(label), column] = 1.0
        elif kind == "rate":
            row, adjuster = _rate_place(set_up, name)
            rows[..., row, column] = change[..., adjuster]
        elif kind == "pack":
            rows[..., :, column] = rates[..., :, set_up.adjusters.index(label)]
    return rows


def forecast(set_up: SetUp, state: State, packs: ArrayLike) -> Forecast:
    """What the responses will be with the packs now fitted: mean H·m, covariance H·P·Hᵀ.

    Args:
        set_up: the leg's responses, adjusters and rates [-].
        state: the unknowns [-].
        packs: thickness of each pack [m], [..., adjusters].
    Returns:
        the forecast [m or N·m], true responses without gauge or reading error.
    Valid: as `response_rows`.
    Raises: nothing.
    Source: own: moments of a linear map of a normal vector.
    """
    rows = response_rows(set_up, state, packs)
    mean = np.einsum("...rn,...n->...r", rows, state.mean)
    return Forecast(mean, rows @ state.covariance @ np.swapaxes(rows, -1, -2))


def refit(state: State, adjuster: str, kept: float, fitted: float, renewed: float = 0.0) -> State:
    """A pack taken apart: the part of its deviation that stays, and the new shims' own.

    Args:
        state: the unknowns [-].
        adjuster: whose pack is changed [-].
        kept: variance of the shims that stay in [m²].
        fitted: variance of the pack as it was [m²].
        renewed: variance of the shims put in [m²].
    Returns:
        the state after the change [-].
    Valid: shims with independent deviations.
    Raises: nothing.
    Source: own: regression of the kept shims' error on the whole pack's.
    """
    place = state.names.index(f"pack:{adjuster}")
    share = kept / fitted if fitted > 0 else 0.0
    mean, covariance = state.mean.copy(), state.covariance.copy()
    mean[..., place] *= share
    covariance[..., place, :] *= share
    covariance[..., :, place] *= share
    covariance[..., place, place] += kept * (1 - share) + renewed
    return replace(state, mean=mean, covariance=covariance)


def windows(set_up: SetUp) -> tuple[Array, Array, Array]:
    """Limits for the mean of each response, and the variance that its run-out's doubt adds.

    With extremes at mean ± A the window narrows by A at both ends; the doubt of A adds its
    variance to each side, which is exact while not both ends can be out at once.

    Args:
        set_up: the leg's responses, adjusters and rates [-].
    Returns:
        low, high [m or N·m], and variance [unit squared], each [responses].
    Valid: extremes symmetric about the mean.
    Raises: nothing.
    Source: own: P(low ≤ m − A, m + A ≤ high) = 1 − P(m − A < low) − P(m + A > high).
    """
    low = np.array([one.low + one.half_range for one in set_up.responses])
    high = np.array([one.high - one.half_range for one in set_up.responses])
    return low, high, np.array([one.half_range_deviation**2 for one in set_up.responses])


def unmet_conditions(response: Response, held: Sequence[str]) -> tuple[str, ...]:
    """Conditions of a response that do not hold (bearings seated, stated pull, seals out).

    Args:
        response: what is read [-].
        held: the conditions that hold now [-].
    Returns:
        those that are missing, in the sheet's order [-].
    Valid: conditions are compared as words.
    Raises: nothing.
    Source: own: a response counts only once its conditions hold.
    """
    return tuple(condition for condition in response.conditions if condition not in held)
