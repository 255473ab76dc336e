"""Columns of the leak regression: clock, settling, unseen relaxing, and the wall's lag.

Used by `leak_estimate`; kept apart so that each page can be read at one sitting.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from casewright.errors import RangeError
from casewright.mechanics.leak_log import Floats, LeakLog, gaps


@dataclass(frozen=True, slots=True)
class Gauge:
    """What the instruments can do: steps, noise and drift [Pa, Pa, Pa/s, K]."""

    resolution: float
    noise: float = 0.0
    drift: float = 0.0
    temperature_resolution: float = 0.1
    # Readings closer together than this share their error (sticking pointer, slow noise) [s].
    memory: float = 4.0


@dataclass(frozen=True, slots=True)
class DriftModel:
    """How the gas may follow the wall; own judgement, kept where it can be seen and changed."""

    # Negative: the sensor lags the gas.
    lags: tuple[float, ...] = (-40.0, -15.0, 0.0, 15.0, 40.0, 90.0, 200.0)
    # A lag between two of the grid is made of both; how far it may stray from the first.
    between_spread: float = 0.5
    # Time constants with which heat of pumping leaves the gas, and hoses and lips yield; two
    # neighbours are taken at once, so that what lies between them is met.
    settlings: tuple[float, ...] = (8.0, 16.0, 32.0, 64.0, 128.0)
    # How much gas may be warmer at the start [K].
    settling_spread: float = 8.0
    # Share of the wall's change that the gas may take more or less of.
    coupling_spread: float = 0.25
    # Relaxing that the sensor doesn't see (yielding hoses, gears inside the case): its times [s],
    # its spread in each [K], and more of it per kelvin that the sensor moved.
    unseen: tuple[float, ...] = (120.0, 400.0, 1200.0)
    unseen_spread: float = 0.45
    unseen_per_kelvin: float = 0.2
    # The grid's few lags show their quarrel too small; its spread is taken this many times.
    quarrel: float = 2.0
    # Share of the temperature correction that stays unsure whatever the log says.
    correction_share: float = 0.15


@dataclass(frozen=True, slots=True)
class Design:
    """Columns of the regression for all lags and settling times at once, rows in time order."""

    time: Floats
    columns: Floats  # spans | clock | settlings | unseen | coupling, between, y by lag
    spans: int
    lags: int
    settlings: int
    unseen: int
    raw: Floats


def _filtered(time: Floats, temperature: Floats, lags: Floats) -> Floats:
    """The readings through first-order lags (n, lags); a negative lag undoes the sensor's own."""
    base = np.where(lags < 0, 2.0 * np.abs(lags), np.maximum(lags, 1e-6))
    out = np.empty((len(time), len(lags)))
    state = np.full(len(lags), temperature[0])
    out[0] = state
    # Exact response of a first-order lag to readings joined by straight lines.
    for row, (step, before, after) in enumerate(
        zip(np.diff(time), temperature[:-1], temperature[1:], strict=True), 1
    ):
        slope, decay = (after - before) / step, np.exp(-step / base)
        state = after - slope * base + (state - before + slope * base) * decay
        out[row] = state
    lead = 1.0 + np.abs(lags) / base
    return np.where(lags < 0, out + (temperature[:, None] - out) * lead, out)


def spans_of(log: LeakLog) -> tuple[NDArray[np.bool_], NDArray[np.intp]]:
    """Rows kept, and the span of each: cut where a shaft was turned and at gaps.

    Args:
        log: the readings [-].
    Returns:
        rows kept [-], shape (n,), and the number of the span of each kept row [-], shape (m,).
    Valid: any log.
    Raises: nothing.
    Source: own: a turned shaft or a gap steps the pressure; each span gets its own offset.
    """
    before = np.concatenate(([False], log.turned[:-1]))
    starts = (before & ~log.turned) | (gaps(log.time) & ~log.turned)
    kept = ~log.turned
    number = np.cumsum(starts)[kept]
    return kept, number - (number[0] if len(number) else 0)


def start_excess(log: LeakLog, kept: NDArray[np.bool_], gauge: Gauge) -> float:
    """Pressure over ambient at the start, from the first three readings.

    Args:
        log: the readings [-].
        kept: rows with no shaft turning [-], shape (n,).
        gauge: what the instruments can do [-].
    Returns:
        pressure over ambient, negative for vacuum [Pa].
    Valid: a kilopascal and two gauge steps or more off ambient.
    Raises: RangeError for a circuit that holds nothing.
    Source: own: median of the first readings.
    """
    excess = float(np.median(log.pressure[kept][:3])) - log.atmosphere
    if abs(excess) < max(1000.0, 2 * gauge.resolution):
        raise RangeError(
            "start pressure",
            excess,
            "a kilopascal or more above or below ambient",
            "The circuit holds nothing: a wide open leak, or the supply never opened.",
        )
    return excess


def design_columns(log: LeakLog, model: DriftModel, reference: float, excess: float) -> Design:
    """Columns for all lags and settling times, in pascals a unit of each coefficient.

    Args:
        log: the readings [-].
        model: how the gas may follow the wall [-].
        reference: reference temperature [K].
        excess: pressure over ambient at the start [Pa].
    Returns:
        the columns [Pa or s].
    Valid: as `leak_estimate.leak_history`.
    Raises: nothing.
    Source: own: see docs/theory/leak.md.
    """
    kept, span = spans_of(log)
    time, pressure = log.time[kept], log.pressure[kept]
    drive = np.clip((log.pressure - log.atmosphere) / excess, 0.0, None)
    clock_all = np.concatenate(([0.0], np.cumsum(np.diff(log.time) * (drive[1:] + drive[:-1]) / 2)))
    lags = np.asarray(model.lags)
    if log.temperature is None:
        gas = np.full((len(time), len(lags)), reference)
    else:
        gas = _filtered(log.time, log.temperature, lags)[kept]
    level = float(pressure[0])
    one_hot = (span[:, None] == np.arange(span.max() + 1)).astype(float) * level
    settle = np.exp(-time[:, None] / np.asarray(model.settlings)) * level / gas[0, 0]
    unseen = (1 - np.exp(-time[:, None] / np.asarray(model.unseen))) * level / gas[0, 0]
    coupling = (gas - gas[0]) * level / gas[0, 0]
    y = pressure[:, None] * reference / gas
    sense = float(np.sign(excess))
    clock = -sense * clock_all[kept][:, None]
    between = np.diff(coupling, axis=1, append=coupling[:, -1:])
    columns = np.hstack([one_hot, clock, settle, unseen, coupling, between, y])
    raw = np.column_stack([clock[:, 0], pressure * reference / gas[0, 0]])
    return Design(
        time, columns, one_hot.shape[1], len(lags), len(model.settlings), len(model.unseen), raw
    )


def picks_of(design: Design) -> NDArray[np.intp]:
    """Column numbers of each combination of lag and settling times, the last being y.

    Args:
        design: the columns [-].
    Returns:
        column numbers [-], shape (combinations, coefficients + 1).
    Valid: two settling times or more.
    Raises: nothing.
    Source: own: see docs/theory/leak.md.
    """
    spans, settle = design.spans, design.settlings
    unseen = spans + 1 + settle
    coupling = unseen + design.unseen
    return np.array(
        [
            [
                *range(spans),
                spans,
                spans + 1 + s,
                spans + 2 + s,
                *range(unseen, coupling),
                coupling + lag,
                coupling + design.lags + lag,
                coupling + 2 * design.lags + lag,
            ]
            for lag in range(design.lags)
            for s in range(settle - 1)
        ]
    )


def prior_precision(design: Design, model: DriftModel, moved: Floats) -> Floats:
    """Prior precision of each coefficient at each moment; 1/spread².

    Args:
        design: the columns [-].
        model: the spreads [-].
        moved: how far the sensor has moved at each moment [K], shape (moments,).
    Returns:
        precisions [1/unit²], shape (moments, coefficients).
    Valid: spreads above zero.
    Raises: nothing.
    Source: own: see docs/theory/leak.md.
    """
    unseen = 1 / (model.unseen_spread + model.unseen_per_kelvin * moved) ** 2
    fixed = np.array([1e-2] * design.spans + [1e-12] + [model.settling_spread**-2] * 2)
    coupling = np.tile([model.coupling_spread**-2, model.between_spread**-2], (len(moved), 1))
    return np.hstack(
        [
            np.broadcast_to(fixed, (len(moved), len(fixed))),
            np.repeat(unseen[:, None], design.unseen, 1),
            coupling,
        ]
    )
