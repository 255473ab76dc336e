"""A reading at the bench: its instrument, its repeats, the temperature at which it was taken."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from casewright.errors import MissingError, RangeError
from casewright.reasoning.uncertainty import (
    Budget,
    Component,
    budget,
    from_resolution,
    rectangular,
    summary,
)

REFERENCE_TEMPERATURE = 293.15


@dataclass(frozen=True, slots=True)
class Instrument:
    """What is known of an instrument, in the unit in which it reads.

    `calibration_uncertainty` is a standard uncertainty; `repeatability` the standard deviation
    of one reading, learned from earlier repeats, with its degrees of freedom (None: not known).
    `wear` is a half-width allowed since calibration (jaws, tip); `kinds` what it can measure.
    """

    name: str
    resolution: float
    calibration_uncertainty: float = 0.0
    repeatability: float | None = None
    repeatability_freedom: float = math.inf
    wear: float = 0.0
    overdue: bool = False
    kinds: tuple[str, ...] = ()
    minutes: float = 1.0


@dataclass(frozen=True, slots=True)
class Body:
    """Temperature and expansion of a part or a gauge, each with its standard uncertainty."""

    temperature: float
    expansion: float
    temperature_uncertainty: float = 0.0
    expansion_uncertainty: float = 0.0


@dataclass(frozen=True, slots=True)
class Correction:
    """Size at 20 °C, what was added to the reading, and what the correction makes uncertain."""

    value: float
    correction: float
    components: tuple[Component, ...]


def reading_components(values: Sequence[float], instrument: Instrument) -> tuple[Component, ...]:
    """Components of the mean of repeats with one instrument.

    Args:
        values: repeats, or one reading [unit of the instrument], shape (n,).
        instrument: what is known of it [unit of the instrument].
    Returns:
        scatter of the mean, resolution, calibration, wear: those above 0 [same unit].
    Valid: scatter is pooled with the instrument's repeatability by degrees of freedom; resolution
        is not reduced by repeats (all may round the same way).
    Raises: MissingError without a reading.
    Source: JCGM100 4.2.4 (pooled estimate), F.1.1.2, F.2.2.1.
    """
    if not values:
        raise MissingError("values", "at least one reading")
    scatter, freedom = _scatter(values, instrument)
    parts = (
        Component("scatter of the mean", scatter / math.sqrt(len(values)), freedom, "A"),
        Component("resolution", from_resolution(instrument.resolution)),
        Component("calibration", instrument.calibration_uncertainty),
        Component("wear since calibration", rectangular(instrument.wear)),
    )
    return tuple(part for part in parts if part.standard_uncertainty > 0)


def _scatter(values: Sequence[float], instrument: Instrument) -> tuple[float, float]:
    """Standard deviation of one reading and its freedom, own and learned scatter pooled."""
    own = summary(values) if len(values) > 1 else None
    known = instrument.repeatability
    if own is None:
        return (known, instrument.repeatability_freedom) if known is not None else (0.0, math.inf)
    own_freedom = float(own.count - 1)
    if known is None:
        return own.standard_deviation, own_freedom
    if math.isinf(instrument.repeatability_freedom):
        return known, math.inf
    freedom = own_freedom + instrument.repeatability_freedom
    squares = own_freedom * own.standard_deviation**2
    squares += instrument.repeatability_freedom * known**2
    return math.sqrt(squares / freedom), freedom


def reading_budget(
    values: Sequence[float],
    instrument: Instrument,
    extra: Sequence[Component] = (),
    level: float = 0.95,
) -> Budget:
    """Mean of repeats with one instrument and its uncertainty.

    Args:
        values: repeats [unit of the instrument], shape (n,).
        instrument: what is known of it [unit of the instrument].
        extra: further components, e.g. of a temperature correction [same unit].
        level: coverage probability [-].
    Returns:
        the budget; its working notes what is not known [same unit].
    Valid: independent components.
    Raises: MissingError without a reading or without any known uncertainty.
    Source: JCGM100 4 and 5.1.
    """
    components = [*reading_components(values, instrument), *extra]
    notes = []
    if len(values) == 1 and instrument.repeatability is None:
        notes.append("One reading and no learned repeatability: its scatter is not counted.")
    if instrument.overdue:
        notes.append("Calibration is overdue: the calibration uncertainty may be too small.")
    return budget(math.fsum(values) / len(values), components, level, "m", notes)


def temperature_corrected(length: float, part: Body, gauge: Body) -> Correction:
    """Length at 20 °C, L·(1 + α_g·(t_g - 20 °C))/(1 + α_p·(t_p - 20 °C)), with its components.

    Args:
        length: as read [m].
        part: the part when it was read [K, 1/K].
        gauge: the instrument then [K, 1/K].
    Returns:
        corrected length, correction [m], components of the four temperatures and expansions [m].
    Valid: even temperature through each body; expansion constant over the step.
    Raises: RangeError for a temperature not above 0 K.
    Source: ISO1 (reference temperature 20 °C); sensitivities by JCGM100 5.1.3.
    Example:
        >>> warm = temperature_corrected(0.1, Body(303.15, 23e-6), Body(293.15, 11.5e-6))
        >>> round(warm.correction * 1e6, 2)
        -22.99
    """
    if min(part.temperature, gauge.temperature) <= 0:
        raise RangeError("temperature", part.temperature, "kelvin above 0")
    warm = part.temperature - REFERENCE_TEMPERATURE
    gauge_warm = gauge.temperature - REFERENCE_TEMPERATURE
    grown, stretched = 1 + part.expansion * warm, 1 + gauge.expansion * gauge_warm
    value = length * stretched / grown
    sensitive = (
        ("part's temperature", part.temperature_uncertainty, -value * part.expansion / grown),
        ("part's expansion", part.expansion_uncertainty, -value * warm / grown),
        ("gauge's temperature", gauge.temperature_uncertainty, length * gauge.expansion / grown),
        ("gauge's expansion", gauge.expansion_uncertainty, length * gauge_warm / grown),
    )
    parts = tuple(Component(name, u, sensitivity=c) for name, u, c in sensitive if u > 0)
    return Correction(value, value - length, parts)
