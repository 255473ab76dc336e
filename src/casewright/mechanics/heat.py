"""Temperatures of fits: interference when warm or cold, heat to put in and to take out.

Every function takes floats or numpy arrays. Temperatures are absolute [K].
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from casewright.errors import RangeError
from casewright.mechanics.interference import Number, holds
from casewright.tables.materials import T20


@dataclass(frozen=True, slots=True)
class RemovalTemperature:
    """Casting temperature [K] that frees a ring: while the ring is cold, and once it followed.

    `ring_follows` is infinite where the ring grows as much as the casting.
    """

    ring_cold: Number
    ring_follows: Number


def interference_at(
    interference: Number,
    diameter: Number,
    hub_expansion: Number,
    shaft_expansion: Number,
    hub_temperature: Number,
    shaft_temperature: Number,
) -> Number:
    """Interference at temperature, U = U20 + d (a_shaft (Ts - 20) - a_hub (Th - 20)).

    Args:
        interference: interference U20 at 20 °C [m].
        diameter: joint diameter [m].
        hub_expansion: mean coefficient of the hub [1/K].
        shaft_expansion: mean coefficient of the shaft or ring [1/K].
        hub_temperature: temperature of the hub [K].
        shaft_temperature: temperature of the shaft [K].
    Returns:
        interference; negative is clearance [m].
    Valid: each part at one temperature; below about -40 °C take the cold mean coefficient.
    Raises: RangeError for a temperature that looks like Celsius.
    Source: own: linear expansion, both parts from 20 °C.

    Example:
        >>> u = interference_at(39e-6, 0.062, 21.5e-6, 12.5e-6, 353.15, 353.15)
        >>> round(float(u) * 1e6, 2)
        5.52
    """
    _check_kelvin("hub temperature", hub_temperature, 200)
    _check_kelvin("shaft temperature", shaft_temperature, 70)
    shaft = shaft_expansion * (shaft_temperature - T20)
    return interference + diameter * (shaft - hub_expansion * (hub_temperature - T20))


def zero_grip_temperature(
    interference: Number, diameter: Number, hub_expansion: Number, shaft_expansion: Number
) -> Number:
    """Temperature of both parts at which the grip is gone, T0 = 20 °C + U20/(d (a_hub - a_shaft)).

    Args:
        interference: interference at 20 °C, zero or more [m].
        diameter: joint diameter [m].
        hub_expansion: mean coefficient of the hub [1/K].
        shaft_expansion: mean coefficient of the shaft or ring [1/K].
    Returns:
        temperature, infinite where warmth never loosens the fit [K].
    Valid: hub and shaft at the same temperature, warmer than 20 °C.
    Raises: nothing.
    Source: own: interference_at set to zero.

    Example:
        >>> round(float(zero_grip_temperature(39e-6, 0.062, 21.5e-6, 12.5e-6)) - 273.15, 2)
        89.89
    """
    return _rise(
        np.maximum(interference, 0.0), diameter, np.subtract(hub_expansion, shaft_expansion)
    )


def assembly_temperature(
    interference: Number,
    clearance: Number,
    diameter: Number,
    hub_expansion: Number,
    shaft_expansion: Number = 0.0,
    shaft_temperature: Number = T20,
) -> Number:
    """Hub temperature that gives a clearance: 20 °C + ((U + c) - d a_s (20 - Ts)) / (a_h d).

    Args:
        interference: largest interference at 20 °C [m].
        clearance: clearance wanted while putting together [m].
        diameter: joint diameter [m].
        hub_expansion: mean coefficient of the hub [1/K].
        shaft_expansion: mean coefficient of the shaft from 20 °C to its temperature, the
            smaller cold one for a chilled shaft [1/K].
        shaft_temperature: temperature of the shaft [K].
    Returns:
        hub temperature [K].
    Valid: clearance of d/1000 or half of U are usual in practice.
    Raises: RangeError for a negative clearance or a shaft temperature below 70 K.
    Source: own: linear expansion of both parts.

    Example:
        >>> need = assembly_temperature(39e-6, 62e-6, 0.062, 21.5e-6)
        >>> round(float(need) - 273.15, 2)
        95.77
    """
    _check_kelvin("shaft temperature", shaft_temperature, 70)
    if not holds(clearance >= 0):
        raise RangeError("clearance", clearance, "zero or more [m]")
    shrink = diameter * shaft_expansion * (T20 - shaft_temperature)
    return T20 + (interference + clearance - shrink) / (hub_expansion * diameter)


def removal_temperature(
    interference: Number,
    clearance: Number,
    diameter: Number,
    hub_expansion: Number,
    ring_expansion: Number,
) -> RemovalTemperature:
    """Casting temperature that frees a ring: ring still at 20 °C, and ring as hot as the casting.

    Args:
        interference: interference at 20 °C [m].
        clearance: clearance wanted [m].
        diameter: joint diameter [m].
        hub_expansion: mean coefficient of the casting [1/K].
        ring_expansion: mean coefficient of the ring [1/K].
    Returns:
        both temperatures; infinite where the ring grows as fast as the casting [K].
    Valid: the truth lies between; a ring follows within minutes, so heat fast and pull at once.
    Raises: RangeError for a negative clearance.
    Source: own: linear expansion; once the ring followed only the difference counts.

    Example:
        >>> both = removal_temperature(39e-6, 20e-6, 0.062, 21.5e-6, 12.5e-6)
        >>> round(float(both.ring_cold) - 273.15, 1), round(float(both.ring_follows) - 273.15, 1)
        (64.3, 125.7)
    """
    if not holds(clearance >= 0):
        raise RangeError("clearance", clearance, "zero or more [m]")
    wanted = np.maximum(np.add(interference, clearance), 0.0)
    return RemovalTemperature(
        ring_cold=_rise(wanted, diameter, hub_expansion),
        ring_follows=_rise(wanted, diameter, np.subtract(hub_expansion, ring_expansion)),
    )


def expansion_integral(table: Sequence[Sequence[float]], start: float, end: float) -> float:
    """Relative change of length from one temperature to another, the integral of a(T) dT.

    Args:
        table: temperatures, coldest first, each with its coefficient [K, 1/K], shape (n, 2).
        start: first temperature [K].
        end: last temperature [K].
    Returns:
        relative change of length, negative on cooling [-].
    Valid: within the table; a(T) straight between its points.
    Raises: RangeError outside the table.
    Source: TRUNNION for the case that needs it; trapezoidal rule, exact for straight pieces.
    """
    temperatures = np.array([float(row[0]) for row in table])
    values = np.array([float(row[1]) for row in table])
    low, high = min(start, end), max(start, end)
    if low < temperatures[0] - 1e-9 or high > temperatures[-1] + 1e-9:
        raise RangeError(
            "temperature", (start, end), f"{temperatures[0]:.1f} to {temperatures[-1]:.1f} K"
        )
    inside = temperatures[(temperatures > low) & (temperatures < high)]
    knots = np.concatenate(([low], inside, [high]))
    change = float(np.trapezoid(np.interp(knots, temperatures, values), knots))
    return change if end >= start else -change


def _check_kelvin(field: str, temperature: Number, least: float) -> None:
    """Refuse a temperature that can't be one in kelvin here."""
    if not holds(temperature >= least):
        raise RangeError(
            field, temperature, f"kelvin, at least {least:g}", "20 °C is 293.15 K; convert first."
        )


def _rise(wanted: Number, diameter: Number, expansion: Number) -> Number:
    """20 °C plus wanted/(d a), infinite where a is not positive and something is wanted."""
    growth = np.multiply(diameter, np.maximum(expansion, 0.0))
    with np.errstate(divide="ignore", invalid="ignore"):
        rise = np.where(np.equal(wanted, 0), 0.0, np.divide(wanted, growth))
    result: Number = (T20 + rise)[()]
    return result
