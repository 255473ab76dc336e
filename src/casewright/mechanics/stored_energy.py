"""Energy stored in compressed air, so that a test pressure is seen for what it can throw."""

from __future__ import annotations

import math
from dataclasses import dataclass

from casewright.errors import RangeError
from casewright.working import Term, Working

# ASME PCC-2 takes air at 101 kPa with k = 1.4 (exponent 0.286) and TNT at 4.266 920 MJ/kg.
PCC2_ATMOSPHERE = 101_000.0
PCC2_EXPONENT = 0.286
TNT = 4_266_920.0
STANDARD_GRAVITY = 9.80665
CAUTIONS = (
    "Plugs and seals become projectiles: stand out of line, eye protection on.",
    "Regulator and relief valve set at the ceiling; never shop air straight in.",
    "Let the pressure down before any plug, hose or seal is touched.",
    "The maker's manual, local codes and licensed practice come first.",
)


@dataclass(frozen=True, slots=True)
class StoredEnergy:
    """Three measures of the energy [J], and two pictures of it."""

    expansion: float
    isothermal: float
    constant_volume: float
    tnt: float
    drop_of_one_kilogram: float
    cautions: tuple[str, ...]
    working: Working


def stored_energy(
    volume: float, gauge_pressure: float, atmosphere: float = PCC2_ATMOSPHERE
) -> StoredEnergy:
    """Energy of compressed air; E = 2.5·p·V·[1 − (p_a/p)^0.286], with an upper bound each side.

    Args:
        volume: volume of gas [m³].
        gauge_pressure: pressure over the atmosphere [Pa].
        atmosphere: pressure around [Pa].
    Returns:
        adiabatic expansion, isothermal bound p·V·ln(p/p_a), constant-volume (p−p_a)·V/0.4 [J]; TNT
        [kg]; the height from which one kilogram falls with the same energy [m].
    Valid: ideal diatomic gas, pressure above the atmosphere; no safe distance is computed, since
        editions of the code disagree on it.
    Raises: RangeError for a volume not above zero or a pressure not above the atmosphere.
    Source: PCC2 Article 501, Appendix II, II-2.
    Example:
        >>> round(stored_energy(0.002, 100e3).expansion, 1)
        179.6
    """
    if not volume > 0:
        raise RangeError("volume", volume, "above zero")
    if not gauge_pressure > 0:
        raise RangeError("gauge pressure", gauge_pressure, "above the atmosphere")
    pressure = gauge_pressure + atmosphere
    expansion = 2.5 * pressure * volume * (1 - (atmosphere / pressure) ** PCC2_EXPONENT)
    isothermal = pressure * volume * math.log(pressure / atmosphere)
    constant_volume = gauge_pressure * volume / 0.4
    working = Working(
        method="stored energy of air",
        formula="E = 2.5·p·V·[1 − (p_a/p)^0.286]",
        inputs=(
            Term("volume", volume, "m³", "V"),
            Term("absolute pressure", pressure, "Pa", "p"),
            Term("atmosphere", atmosphere, "Pa", "p_a"),
        ),
        outputs=(Term("energy", expansion, "J", "E"),),
        steps=(
            Term("isothermal bound", isothermal, "J"),
            Term("constant-volume measure", constant_volume, "J"),
        ),
        source="ASME PCC-2, Article 501, Appendix II",
    )
    return StoredEnergy(
        expansion,
        isothermal,
        constant_volume,
        expansion / TNT,
        expansion / STANDARD_GRAVITY,
        CAUTIONS,
        working,
    )
