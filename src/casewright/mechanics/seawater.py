"""Sea water: salinity from conductivity, density, and the resistivity that an anode meets."""

from __future__ import annotations

import math

from casewright.errors import RangeError, UnconvergedError
from casewright.tables import seawater as table


def _polynomial(coefficients: tuple[float, ...], x: float) -> float:
    """Σ cᵢ·xⁱ."""
    return math.fsum(c * x**i for i, c in enumerate(coefficients))


def _celsius68(temperature: float) -> float:
    """Celsius on the scale of 1968 from kelvin on that of 1990, in range for the equations."""
    celsius = (temperature - 273.15) * table.SCALE_1968
    if not -2.1 <= celsius <= 40.1:
        raise RangeError("water temperature", temperature, "kelvin, from −2 to 40 °C")
    return celsius


def practical_salinity(conductivity_ratio: float, temperature: float) -> float:
    """Practical salinity from conductivity against that of S = 35 at 15 °C; PSS-78 at the surface.

    Args:
        conductivity_ratio: conductivity over that of S = 35 at 15 °C [-].
        temperature: of the water, scale of 1990 [K].
    Returns:
        practical salinity [-].
    Valid: 2 to 42, −2 to 35 °C, atmospheric pressure.
    Raises: RangeError for a temperature or ratio out of range.
    Source: UNESCO44, PSS-78.
    """
    t = _celsius68(temperature)
    if not 0 < conductivity_ratio < 2.5:
        raise RangeError("conductivity ratio", conductivity_ratio, "between 0 and 2.5")
    root = math.sqrt(conductivity_ratio / _polynomial(table.RATIO_C, t))
    shift = (t - 15) / (1 + table.SALINITY_K * (t - 15))
    return _polynomial(table.SALINITY_A, root) + shift * _polynomial(table.SALINITY_B, root)


def resistivity(salinity: float, temperature: float) -> float:
    """Resistivity of sea water; PSS-78 turned round by bisection.

    Args:
        salinity: practical salinity [-].
        temperature: of the water [K].
    Returns:
        resistivity [ohm·m].
    Valid: 2 to 42, −2 to 35 °C, atmospheric pressure.
    Raises: RangeError out of that range; UnconvergedError where bisection fails.
    Source: UNESCO44, PSS-78.
    """
    if not 2 <= salinity <= 42:
        raise RangeError("salinity", salinity, "between 2 and 42")
    low, high = 0.01, 2.4
    for _ in range(60):
        middle = (low + high) / 2
        if practical_salinity(middle, temperature) < salinity:
            low = middle
        else:
            high = middle
    left = practical_salinity(middle, temperature) - salinity
    if abs(left) > 1e-6:
        raise UnconvergedError("resistivity of sea water", ratio=middle, residual=left)
    return 1 / (middle * table.CONDUCTIVITY_35_15)


def seawater_density(salinity: float, temperature: float) -> float:
    """Density of sea water at the surface; EOS-80.

    Args:
        salinity: practical salinity [-].
        temperature: of the water [K].
    Returns:
        density [kg/m³].
    Valid: 0 to 42, −2 to 40 °C, atmospheric pressure.
    Raises: RangeError out of that range.
    Source: UNESCO44, EOS-80.
    """
    if not 0 <= salinity <= 42:
        raise RangeError("salinity", salinity, "between 0 and 42")
    t = _celsius68(temperature)
    return float(
        _polynomial(table.PURE, t)
        + _polynomial(table.SALT, t) * salinity
        + _polynomial(table.SALT_THREE_HALVES, t) * salinity**1.5
        + table.SALT_SQUARE * salinity**2
    )
