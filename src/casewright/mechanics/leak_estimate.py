"""From a log to a leak rate with its uncertainty, the temperature's drift shown apart.

Each reading gives the gas in the circuit, y = p·T₀/T. A leak lowers y in proportion to the clock
s(t) = ∫ (p − p_a)/(p₀ − p_a) dt, so that a large loss, which decays exponentially, stays a straight
line. The gas is not where the temperature is read: its temperature is the reading passed through
a lag that is fitted with the leak, by averaging over a grid of lags and settling times weighted
by how well each explains the log. Where lags that explain the log equally well disagree about
the leak, the disagreement is part of the uncertainty: the correction is "not trustworthy yet".
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from casewright.errors import MissingError, RangeError
from casewright.mechanics.leak_columns import (
    Design,
    DriftModel,
    Gauge,
    design_columns,
    picks_of,
    prior_precision,
    spans_of,
    start_excess,
)
from casewright.mechanics.leak_log import LeakLog

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class History:
    """The estimate as it grew, one entry for each moment looked at (arrays of one length)."""

    seconds: Floats
    leak_rate: Floats
    uncertainty: Floats
    lag_uncertainty: Floats
    uncorrected_rate: Floats
    steps_seen: Floats
    lag: Floats
    working_readings: Floats


@dataclass(frozen=True, slots=True)
class LeakEstimate:
    """The leak rate at start pressure and reference temperature [Pa·m³/s], and what made it."""

    leak_rate: float
    uncertainty: float
    low: float
    high: float
    uncorrected_rate: float
    temperature_drift: float
    lag: float
    lag_uncertainty: float
    correction_trusted: bool
    seconds: float
    readings: int
    loss_share: float
    spans: int


def _moments(time: Floats, most: int, horizon: float) -> NDArray[np.intp]:
    """Rows at which the log is looked at: each of the first, then ever wider apart."""
    wanted = np.unique(
        np.concatenate([np.arange(1.0, 30.0, 2.0), np.geomspace(30.0, horizon, most)])
    )
    rows = np.searchsorted(time, wanted[wanted <= time[-1]], side="right") - 1
    rows = np.unique(np.append(rows, len(time) - 1))
    return rows[rows >= 2]


def _independent(time: Floats, values: Floats, rows: NDArray[np.intp], memory: float) -> Floats:
    """How many readings carry errors of their own: steps seen, and time over the gauge's memory."""
    changes = np.concatenate(([0], np.cumsum(np.diff(values) != 0)))[rows]
    by_time = (time[rows] - time[0]) / memory
    independent: Floats = np.minimum(np.minimum(rows + 1.0, changes + 2.0), by_time + 2.0)
    return independent


def _cumulated(columns: Floats, rows: NDArray[np.intp]) -> Floats:
    """Sums of outer products up to each row looked at, (rows, k, k)."""
    edges = np.concatenate(([0], rows + 1))
    blocks = [columns[a:b].T @ columns[a:b] for a, b in pairwise(edges)]
    return np.cumsum(blocks, axis=0)


def _posterior(
    gram: Floats, prior: Floats, centre: Floats, variance: Floats
) -> tuple[Floats, Floats, Floats, Floats]:
    """Means, variances of the clock's coefficient, evidence and squares left.

    `gram` (moments, combos, k+1, k+1) has y last; `prior` (moments, k), `centre` (k,),
    `variance` (moments,).
    """
    inner, cross, total = gram[..., :-1, :-1], gram[..., :-1, -1], gram[..., -1, -1]
    scale = 1 / variance[:, None, None]
    precision = inner * scale[..., None] + (np.eye(prior.shape[1]) * prior[:, :, None])[:, None]
    right = cross * scale + (prior * centre)[:, None]
    covariance = np.linalg.inv(precision)
    mean = np.einsum("mcij,mcj->mci", covariance, right)
    left = total - 2 * np.sum(mean * cross, -1) + np.einsum("mci,mcij,mcj->mc", mean, inner, mean)
    # Evidence up to what all combinations share.
    constant = np.sum(prior * centre**2, -1)[:, None]
    fit = total * scale[..., 0] + constant - np.sum(mean * right, -1)
    evidence = -0.5 * fit - 0.5 * np.linalg.slogdet(precision)[1]
    return np.asarray(mean), np.asarray(covariance, float), evidence, np.maximum(left, 0.0)


def _raw_slopes(raw: Floats, rows: NDArray[np.intp]) -> Floats:
    """Plain straight-line slope of the pressure against the clock at each moment [Pa/s]."""
    x, y = raw[:, 0], raw[:, 1]
    n = rows + 1.0
    sx, sy = np.cumsum(x)[rows], np.cumsum(y)[rows]
    sxx, sxy = np.cumsum(x * x)[rows], np.cumsum(x * y)[rows]
    spread = np.maximum(sxx - sx * sx / n, 1e-9)
    return (sxy - sx * sy / n) / spread


def _moved(log: LeakLog, kept: NDArray[np.bool_], rows: NDArray[np.intp]) -> Floats:
    """How far the temperature has moved at each moment [K]."""
    if log.temperature is None:
        return np.zeros(len(rows))
    values = log.temperature[kept]
    return (np.maximum.accumulate(values) - np.minimum.accumulate(values))[rows]


def leak_history(
    log: LeakLog,
    volume: float,
    gauge: Gauge,
    volume_uncertainty: float = 0.0,
    reference_temperature: float = 293.15,
    model: DriftModel | None = None,
    unlogged_drift: float | None = None,
    horizon: float = 3600.0,
    moments: int = 60,
) -> History:
    """Leak rate and its uncertainty as the log grew, looked at ever wider apart.

    Args:
        log: the readings [-].
        volume: volume of the circuit, hose and gauge included [m³].
        gauge: what the instruments can do [-].
        volume_uncertainty: standard uncertainty of the volume [m³].
        reference_temperature: temperature at which the throughput is counted [K].
        model: how the gas may follow the wall [-].
        unlogged_drift: where the log has no temperatures, how far the gas may have moved in
            temperature over the log, as a standard uncertainty [K].
        horizon: longest test [s].
        moments: how many looks after the first half minute [-].
    Returns:
        arrays by moment, rates positive for a leak, at start pressure [Pa·m³/s].
    Valid: gas well mixed; one leak path that passes gas in proportion to the pressure across it;
        rigid case (yielding lips and hoses are taken up by the settling term).
    Raises: RangeError for a volume or start pressure that can't be; MissingError for a log
        without temperatures and without `unlogged_drift`.
    Source: DANIELS2015, mass-point method; own: lag, settling and exponential loss fitted with it.
    """
    if not volume > 0:
        raise RangeError("volume", volume, "above zero")
    if log.temperature is None and unlogged_drift is None:
        raise MissingError(
            "temperature column",
            "the case's temperature beside each pressure",
            "Or say how many kelvin the gas may have drifted, and the verdict allows for it.",
        )
    model = model or DriftModel()
    kept, _ = spans_of(log)
    if int(np.sum(kept)) < 3:
        raise RangeError("readings", int(np.sum(kept)), "three or more with no shaft turning")
    excess = start_excess(log, kept, gauge)
    design = design_columns(log, model, reference_temperature, excess)
    rows = _moments(design.time, moments, horizon)
    return _summed(
        design,
        rows,
        _moved(log, kept, rows),
        gauge,
        model,
        volume,
        volume_uncertainty,
        log.pressure[kept],
        (unlogged_drift or 0.0) * reference_temperature**-1,
    )


def _summed(
    design: Design,
    rows: NDArray[np.intp],
    moved: Floats,
    gauge: Gauge,
    model: DriftModel,
    volume: float,
    volume_uncertainty: float,
    pressure: Floats,
    drift_share: float,
) -> History:
    """Average over lags and settling times at each moment, and add what the fit can't see."""
    picks, spans = picks_of(design), design.spans
    cumulated = _cumulated(design.columns, rows)
    gram = cumulated[:, picks[:, :, None], picks[:, None, :]]
    prior, centre = prior_precision(design, model, moved), np.zeros(spans + 5 + design.unseen)
    floor = gauge.resolution**2 / 12 + gauge.noise**2
    effective = _independent(design.time, pressure, rows, gauge.memory)
    share = (rows + 1.0) / effective
    _, _, _, left = _posterior(gram, prior, centre, np.full(len(rows), floor))
    freedom = np.maximum(rows + 1.0 - spans - 2, 1.0)
    variance = np.maximum(np.min(left, 1) / freedom, floor) * share
    mean, covariance, evidence, _ = _posterior(gram, prior, centre, variance)
    weight = np.exp(evidence - evidence.max(1, keepdims=True))
    weight /= weight.sum(1, keepdims=True)
    slope, spread = mean[..., spans], covariance[..., spans, spans]
    best = np.sum(weight * slope, 1)
    between = model.quarrel**2 * np.sum(weight * (slope - best[:, None]) ** 2, 1)
    raw = _raw_slopes(design.raw, rows)
    seconds = design.time[rows]
    unseen = (
        (model.correction_share * (raw - best)) ** 2
        + gauge.drift**2
        + (drift_share * pressure[0] / np.maximum(seconds, 1.0)) ** 2
    )
    rate = volume * best
    total = volume**2 * (np.sum(weight * spread, 1) + between + unseen)
    lag_of = np.repeat(np.asarray(model.lags), design.settlings - 1)
    return History(
        seconds=seconds,
        leak_rate=rate,
        uncertainty=np.sqrt(total + (best * volume_uncertainty) ** 2),
        lag_uncertainty=volume * np.sqrt(between),
        uncorrected_rate=volume * raw,
        steps_seen=np.abs(pressure[rows] - pressure[0]) / gauge.resolution,
        lag=weight @ lag_of,
        working_readings=effective,
    )


def estimate_leak(
    log: LeakLog,
    volume: float,
    gauge: Gauge,
    volume_uncertainty: float = 0.0,
    reference_temperature: float = 293.15,
    model: DriftModel | None = None,
    unlogged_drift: float | None = None,
) -> LeakEstimate:
    """Leak rate of the whole log with its uncertainty, drift apart; y = A − (Q/V)·s(t).

    Args:
        log: the readings [-].
        volume: volume of the circuit, hose and gauge included [m³].
        gauge: what the instruments can do [-].
        volume_uncertainty: standard uncertainty of the volume [m³].
        reference_temperature: temperature at which the throughput is counted [K].
        model: how the gas may follow the wall [-].
        unlogged_drift: as in `leak_history` [K].
    Returns:
        leak rate at the start pressure, standard uncertainty, 95 % limits, uncorrected rate and
        the temperature's part of it [Pa·m³/s]; whether the correction can be trusted [-].
    Valid: as `leak_history`.
    Raises: as `leak_history`.
    Source: DANIELS2015, mass-point method; own: as `leak_history`.
    """
    history = leak_history(
        log, volume, gauge, volume_uncertainty, reference_temperature, model, unlogged_drift,
        horizon=float(log.time[-1]) + 1.0, moments=2,
    )  # fmt: skip
    rate, deviation = float(history.leak_rate[-1]), float(history.uncertainty[-1])
    raw, lag_part = float(history.uncorrected_rate[-1]), float(history.lag_uncertainty[-1])
    kept, span = spans_of(log)
    pressure = log.pressure[kept]
    return LeakEstimate(
        leak_rate=rate,
        uncertainty=deviation,
        low=rate - 1.96 * deviation,
        high=rate + 1.96 * deviation,
        uncorrected_rate=raw,
        temperature_drift=raw - rate,
        lag=float(history.lag[-1]),
        lag_uncertainty=lag_part,
        # The lags' quarrel must stay well below what was corrected, else no correction is better.
        correction_trusted=log.temperature is not None
        and lag_part <= max(0.5 * abs(raw - rate), 0.5 * deviation),
        seconds=float(history.seconds[-1]),
        readings=len(pressure),
        loss_share=float(abs(pressure[-1] - pressure[0]) / abs(pressure[0] - log.atmosphere)),
        spans=int(span.max()) + 1,
    )
