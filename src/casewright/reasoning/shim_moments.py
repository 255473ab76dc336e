"""Forecasts of many pack combinations at once: the model's rows as tensors."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from casewright.reasoning.shim_model import SetUp, State, current_rates, windows

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Moments:
    """Mean and covariance of all responses as functions of features 1, change, kept pack."""

    mean: Array
    covariance: Array
    rates: Array
    reference: Array
    extra: Array


def moments(set_up: SetUp, state: State) -> Moments:
    """Tensors from which any packs' forecast follows: y = Σ_f G[r, f]·φ_f, φ = (1, τ, kept).

    Args:
        set_up: the leg's responses, adjusters and rates [-].
        state: the unknowns, one leg or many [-].
    Returns:
        the tensors [-]: mean [..., R, F], covariance [..., R, F, R, F].
    Valid: as `shim_model.response_rows`.
    Raises: nothing.
    Source: own: the model's rows sorted by what they multiply.
    """
    count, size = len(set_up.responses), len(set_up.adjusters)
    rates = current_rates(set_up, state)
    weights = np.zeros((*state.mean.shape[:-1], count, 1 + 2 * size, len(state.names)))
    names = [one.name for one in set_up.responses]
    for column, name in enumerate(state.names):
        kind, _, label = name.partition(":")
        if kind == "offset":
            weights[..., names.index(label), 0, column] = 1.0
        elif kind == "rate":
            response, adjuster = label.split("|")
            seat = set_up.adjusters.index(adjuster)
            weights[..., names.index(response), 1 + seat, column] = 1.0
        elif kind == "pack":
            seat = set_up.adjusters.index(label)
            weights[..., :, 1 + size + seat, column] = rates[..., :, seat]
    flat = weights.reshape(*weights.shape[:-3], count * (1 + 2 * size), len(state.names))
    spread = flat @ state.covariance @ np.swapaxes(flat, -1, -2)
    return Moments(
        np.einsum("...rfn,...n->...rf", weights, state.mean),
        spread.reshape(*spread.shape[:-2], count, 1 + 2 * size, count, 1 + 2 * size),
        rates,
        np.asarray(set_up.reference),
        windows(set_up)[2],
    )


def pack_moments(
    law: Moments, thickness: Array, variance: Array, kept: Array, swing: bool = True
) -> tuple[Array, Array]:
    """Forecast of many pack combinations at once: φᵀ·C·φ + Σ rate² · fresh variance.

    Args:
        law: from `moments`, one leg or many [-].
        thickness: of each pack [m], [..., N, adjusters].
        variance: fresh variance of each pack [m²], [..., N, adjusters].
        kept: 1 where the fitted pack stays, else 0 [-], [..., N, adjusters].
        swing: add the doubt of the run-out's extremes [-].
    Returns:
        means [unit], [..., N, R], and covariances [unit squared], [..., N, R, R].
    Valid: as `shim_model.response_rows`.
    Raises: nothing.
    Source: own: moments of a linear map.
    """
    ones = np.ones((*thickness.shape[:-1], 1))
    features = np.concatenate([ones, thickness - law.reference, kept], axis=-1)
    count, size = law.mean.shape[-2:]
    lead = law.mean.shape[:-2]
    mean = features @ np.swapaxes(law.mean, -1, -2)
    squares = (features[..., :, None] * features[..., None, :]).reshape(
        *features.shape[:-1], size * size
    )
    table = _by_pairs(law.covariance).reshape(*lead, size * size, count * count)
    pairs = law.rates[..., :, None, :] * law.rates[..., None, :, :]
    pairs = pairs.reshape(*lead, count * count, law.rates.shape[-1])
    flat = squares @ table + variance @ np.swapaxes(pairs, -1, -2)
    covariance = flat.reshape(*flat.shape[:-1], count, count)
    return mean, covariance + np.diag(law.extra) if swing else covariance


def _by_pairs(covariance: Array) -> Array:
    """[..., R, F, R, F] as [..., F, F, R, R]."""
    return np.asarray(np.moveaxis(covariance, (-3, -1), (-4, -3)))
