"""The volume of a circuit that no sheet gives: by a known vessel, a bleed, or the oil fill."""

from __future__ import annotations

import math
from dataclasses import dataclass

from casewright.errors import RangeError
from casewright.working import Term, Working


@dataclass(frozen=True, slots=True)
class CircuitVolume:
    """A volume with its standard uncertainty [m³] and how it was found."""

    volume: float
    uncertainty: float
    working: Working


def volume_by_vessel(
    vessel_volume: float,
    pressure_before: float,
    pressure_after: float,
    vessel_pressure: float = 101_325.0,
    vessel_uncertainty: float = 0.0,
    pressure_uncertainty: float = 0.0,
) -> CircuitVolume:
    """Volume from opening a known vessel to the circuit; V = V_k(p₂ − p_k)/(p₁ − p₂).

    Args:
        vessel_volume: volume of the vessel V_k [m³].
        pressure_before: absolute pressure in the circuit before the valve opens, p₁ [Pa].
        pressure_after: absolute pressure of both when it has come to rest, p₂ [Pa].
        vessel_pressure: absolute pressure in the vessel before, p_k [Pa].
        vessel_uncertainty: standard uncertainty of the vessel's volume [m³].
        pressure_uncertainty: standard uncertainty of each pressure reading [Pa].
    Returns:
        volume of the circuit with its uncertainty [m³].
    Valid: all at one temperature after the rest; a leak too small to matter meanwhile.
    Raises: RangeError where p₂ doesn't lie between p_k and p₁.
    Source: own: Boyle's law.
    Example:
        >>> round(volume_by_vessel(0.0005, 180e3, 160e3, 100e3).volume, 6)
        0.0015
    """
    if not vessel_volume > 0:
        raise RangeError("vessel volume", vessel_volume, "above zero")
    before, after = pressure_before - pressure_after, pressure_after - vessel_pressure
    if not before * after > 0:
        raise RangeError(
            "pressure after",
            pressure_after,
            f"between the vessel's {vessel_pressure:.0f} Pa and the circuit's "
            f"{pressure_before:.0f} Pa",
            "Absolute pressures are wanted; let it rest before reading.",
        )
    ratio = after / before
    # d(ratio) from p1 and p2; the vessel's own pressure is taken as known.
    part = pressure_uncertainty / before * math.hypot(1 + ratio, ratio)
    return _volume(
        vessel_volume * ratio,
        math.hypot(vessel_uncertainty * ratio, vessel_volume * part),
        "volume by a known vessel",
        "V = V_k·(p₂ − p_k)/(p₁ − p₂)",
        (
            Term("vessel volume", vessel_volume, "m³", "V_k"),
            Term("pressure before", pressure_before, "Pa", "p₁"),
            Term("pressure after", pressure_after, "Pa", "p₂"),
            Term("vessel pressure", vessel_pressure, "Pa", "p_k"),
        ),
    )


def volume_by_bleed(
    bleed_rate: float,
    pressure_drop: float,
    seconds: float,
    leak_rate: float = 0.0,
    bleed_uncertainty: float = 0.0,
    pressure_uncertainty: float = 0.0,
) -> CircuitVolume:
    """Volume from a known bleed; V = (Q_bleed + Q_leak)·Δt/Δp.

    Args:
        bleed_rate: throughput of the bleed at the gas's temperature [Pa·m³/s].
        pressure_drop: pressure lost while it was open [Pa].
        seconds: time for which it was open [s].
        leak_rate: the circuit's own leak meanwhile [Pa·m³/s].
        bleed_uncertainty: standard uncertainty of the bleed [Pa·m³/s].
        pressure_uncertainty: standard uncertainty of the drop [Pa].
    Returns:
        volume of the circuit with its uncertainty [m³].
    Valid: steady temperature; a drop small enough for the bleed to stay as it was calibrated.
    Raises: RangeError for anything not above zero.
    Source: own: definition of throughput.
    Example:
        >>> round(volume_by_bleed(0.02, 8000.0, 600.0).volume, 6)
        0.0015
    """
    for name, value in (("bleed rate", bleed_rate), ("pressure drop", pressure_drop)):
        if not value > 0:
            raise RangeError(name, value, "above zero")
    if not seconds > 0:
        raise RangeError("time", seconds, "above zero")
    volume = (bleed_rate + leak_rate) * seconds / pressure_drop
    spread = math.hypot(
        bleed_uncertainty * seconds / pressure_drop, volume * pressure_uncertainty / pressure_drop
    )
    return _volume(
        volume,
        spread,
        "volume by a known bleed",
        "V = (Q_bleed + Q_leak)·Δt/Δp",
        (
            Term("bleed", bleed_rate, "Pa·m³/s"),
            Term("own leak", leak_rate, "Pa·m³/s"),
            Term("pressure drop", pressure_drop, "Pa", "Δp"),
            Term("time", seconds, "s", "Δt"),
        ),
    )


def volume_by_air_let_out(
    flow: float,
    seconds: float,
    pressure_drop: float,
    own_drop: float = 0.0,
    flow_uncertainty: float = 0.0,
    gauge_step: float = 0.0,
    atmosphere: float = 101_325.0,
) -> CircuitVolume:
    """Volume from air let out, measured at open air; V = p_a·q·Δt/(Δp − Δp_own).

    Args:
        flow: air that the bleed lets out, as volume at open air and room temperature [m³/s].
        seconds: time for which it was open [s].
        pressure_drop: pressure lost in that time [Pa].
        own_drop: pressure that the circuit loses by itself in the same time [Pa].
        flow_uncertainty: standard uncertainty of the flow [m³/s].
        gauge_step: smallest step that the gauge shows [Pa].
        atmosphere: pressure of the open air [Pa].
    Returns:
        volume of the circuit with its uncertainty [m³].
    Valid: steady temperature; gas in the case as warm as where the flow was measured.
    Raises: RangeError where nothing, or less than its own drop, was lost.
    Source: own: Boyle's law.
    Example:
        >>> round(volume_by_air_let_out(0.0015 / 60, 60.0, 101_325.0).volume, 6)
        0.0015
    """
    drop = pressure_drop - own_drop
    if not drop > 0:
        raise RangeError("own drop", own_drop, "less than the whole drop")
    return volume_by_bleed(
        flow * atmosphere, drop, seconds,
        bleed_uncertainty=flow_uncertainty * atmosphere,
        pressure_uncertainty=gauge_step / math.sqrt(6),
    )  # fmt: skip


def volume_by_oil(
    oil_fill: float, hose_volume: float = 0.0, relative_uncertainty: float = 0.05
) -> CircuitVolume:
    """Volume of the drained circuit from the oil that fills it, hose and gauge added.

    Args:
        oil_fill: oil that the circuit takes when filled to the upper plug [m³].
        hose_volume: volume of test hose and gauge [m³].
        relative_uncertainty: standard uncertainty of the fill as a share of it [-].
    Returns:
        volume of the circuit with its uncertainty [m³].
    Valid: estimate; air space above the oil level and oil left in the case pull either way.
    Raises: RangeError for a fill not above zero or a hose below zero.
    Source: common practice, no source; the share is own judgement.
    """
    if not (oil_fill > 0 and hose_volume >= 0):
        raise RangeError("oil fill and hose volume", (oil_fill, hose_volume), "above zero")
    return _volume(
        oil_fill + hose_volume,
        oil_fill * relative_uncertainty,
        "volume by the oil fill",
        "V = oil fill + hose",
        (Term("oil fill", oil_fill, "m³"), Term("hose and gauge", hose_volume, "m³")),
    )


def _volume(
    volume: float, uncertainty: float, method: str, formula: str, inputs: tuple[Term, ...]
) -> CircuitVolume:
    """The result with its working."""
    outputs = (Term("volume", volume, "m³", "V"), Term("standard uncertainty", uncertainty, "m³"))
    working = Working(method, formula, inputs, outputs, "gas law; own", estimate=True)
    return CircuitVolume(volume, uncertainty, working)
