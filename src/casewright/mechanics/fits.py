"""Fits as drawn and as measured: clearance range, interference at 20 °C, bearing practice rules."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from casewright.errors import MissingError, RangeError
from casewright.mechanics.interference import Number, holds
from casewright.tables.iso286 import Limits, bearing_outside_limits, limits
from casewright.tables.materials import T20
from casewright.working import Term, Working

RING_SMOOTHING_MM = {"ground": 2.0, "turned": 3.0}


@dataclass(frozen=True, slots=True)
class Fit:
    """Limits of hole and shaft and what lies between them; clearance is positive [m]."""

    hole: Limits
    shaft: Limits
    least_clearance: float
    most_clearance: float
    probable_least: float
    probable_most: float
    character: str
    working: Working


@dataclass(frozen=True, slots=True)
class MeasuredInterference:
    """Interference at 20 °C from two measured diameters, with its standard uncertainty [m]."""

    interference: Number
    uncertainty: Number
    shaft: Number
    bore: Number


def fit(size: float, hole: str, shaft: str) -> Fit:
    """Clearance range of a fit such as 30 H7/k6; least = EI - es, most = ES - ei.

    Args:
        size: basic size [m].
        hole: tolerance class of the hole, e.g. "H7" [-].
        shaft: tolerance class of the shaft, e.g. "k6" [-].
    Returns:
        limits, clearances and character of the fit [m, -].
    Valid: sizes and classes of the ISO 286 table here.
    Raises: RangeError for a class that is not tabled, or hole and shaft exchanged.
    Source: ISO286-1 definitions of clearance and interference.

    Example:
        >>> round(fit(0.030, "H7", "k6").least_clearance / 1e-6)
        -15
    """
    if not hole[:1].isupper():
        raise RangeError("hole class", hole, "a capital letter", "Holes are written like H7.")
    if not shaft[:1].islower():
        raise RangeError("shaft class", shaft, "a small letter", "Shafts are written like k6.")
    return fit_of(limits(size, hole), limits(size, shaft))


def bearing_in_housing(outside: float, housing: str) -> Fit:
    """Theoretical fit of a Normal class bearing's outside diameter in a housing bore.

    Args:
        outside: nominal outside diameter of the bearing [m].
        housing: tolerance class of the bore, e.g. "P7" [-].
    Returns:
        limits, clearances and character of the fit [m, -].
    Valid: outside diameters over 18 to 180 mm, before the housing is warm.
    Raises: RangeError for a size or class that is not tabled.
    Source: ISO492 with ISO286-2.

    Example:
        >>> round(bearing_in_housing(0.072, "P7").least_clearance / 1e-6)
        -51
    """
    return fit_of(limits(outside, housing), bearing_outside_limits(outside))


def fit_of(hole: Limits, shaft: Limits) -> Fit:
    """Clearance range of two limits of size; probable = middle ± sqrt((T1/2)² + (T2/2)²).

    Args:
        hole: limits of the hole [m].
        shaft: limits of the shaft or ring [m].
    Returns:
        limits, clearances and character of the fit [m, -].
    Valid: the probable range takes both sizes as independent and centred; a maker's own rule
        differs by 1 to 2 um in larger sizes.
    Raises: nothing.
    Source: ISO286-1 definitions; probable range own, agrees with a bearing maker's table.
    """
    least, most = hole.smallest - shaft.largest, hole.largest - shaft.smallest
    half = math.hypot(hole.width / 2, shaft.width / 2)
    middle = (least + most) / 2
    character = (
        "clearance" if least >= -1e-12 else "interference" if most <= 1e-12 else "transition"
    )
    working = Working(
        method="ISO 286 fit",
        formula="least = EI - es, most = ES - ei",
        inputs=(
            Term(f"hole {hole.code} lower", hole.smallest, "m"),
            Term(f"hole {hole.code} upper", hole.largest, "m"),
            Term(f"shaft {shaft.code} lower", shaft.smallest, "m"),
            Term(f"shaft {shaft.code} upper", shaft.largest, "m"),
        ),
        outputs=(Term("least clearance", least, "m"), Term("most clearance", most, "m")),
        source="ISO 286-1, ISO 286-2; ISO 492 for bearings",
        notes=("Limits as drawn; measured sizes come first.",),
    )
    return Fit(hole, shaft, least, most, middle - half, middle + half, character, working)


def diameter_at_20(diameter: Number, temperature: Number, expansion: Number) -> Number:
    """A diameter measured warm or cold, brought to 20 °C: d20 = dT / (1 + a (T - 20 °C)).

    Args:
        diameter: measured diameter [m].
        temperature: temperature of the part while measured [K].
        expansion: mean coefficient of expansion [1/K].
    Returns:
        diameter at 20 °C [m].
    Valid: part and instrument each at one temperature, instrument corrected on its own.
    Raises: RangeError for a temperature below 200 K (Celsius given as kelvin).
    Source: ISO1 reference temperature; linear expansion.

    Example:
        >>> round(float(diameter_at_20(0.0800172, 303.15, 21.5e-6)), 6)
        0.08
    """
    if not holds(temperature > 200):
        raise RangeError("temperature", temperature, "kelvin, over 200", "20 °C is 293.15 K.")
    return diameter / (1 + expansion * (temperature - T20))


def measured_interference(
    shaft: Number,
    bore: Number,
    shaft_uncertainty: Number = 0.0,
    bore_uncertainty: Number = 0.0,
    shaft_temperature: Number = T20,
    bore_temperature: Number = T20,
    shaft_expansion: Number | None = None,
    bore_expansion: Number | None = None,
    temperature_uncertainty: float = 0.0,
) -> MeasuredInterference:
    """Interference from measured shaft and bore, each brought to 20 °C first; U = shaft - bore.

    Args:
        shaft: measured shaft diameter [m].
        bore: measured bore diameter [m].
        shaft_uncertainty: standard uncertainty of the shaft reading [m].
        bore_uncertainty: standard uncertainty of the bore reading [m].
        shaft_temperature: temperature of the shaft [K].
        bore_temperature: temperature of the bore's part [K].
        shaft_expansion: mean coefficient of the shaft, needed off 20 °C [1/K].
        bore_expansion: mean coefficient of the bore's part, needed off 20 °C [1/K].
        temperature_uncertainty: standard uncertainty of each temperature [K].
    Returns:
        interference at 20 °C, positive when the shaft is larger, and its uncertainty [m].
    Valid: readings independent of each other, roundness and taper within the uncertainty.
    Raises: MissingError when a part was not at 20 °C and no coefficient is given; RangeError.
    Source: own: first-order propagation of independent readings.

    Example:
        >>> round(measured_interference(0.040051, 0.040018).interference / 1e-6)
        33
    """
    sizes = []
    for field, diameter, temperature, expansion in (
        ("shaft", shaft, shaft_temperature, shaft_expansion),
        ("bore", bore, bore_temperature, bore_expansion),
    ):
        off = np.any(np.not_equal(temperature, T20)) or temperature_uncertainty > 0
        if expansion is None and off:
            raise MissingError(f"{field} expansion", "a coefficient, as the part was not at 20 °C")
        coefficient = 0.0 if expansion is None else expansion
        sizes.append((diameter_at_20(diameter, temperature, coefficient), coefficient))
    (shaft20, shaft_a), (bore20, bore_a) = sizes
    variance = (
        np.square(shaft_uncertainty)
        + np.square(bore_uncertainty)
        + np.square(shaft20 * shaft_a * temperature_uncertainty)
        + np.square(bore20 * bore_a * temperature_uncertainty)
    )
    return MeasuredInterference(shaft20 - bore20, np.sqrt(variance), shaft20, bore20)


def usable_interference(
    interference: Number, hub_rz: Number, shaft_rz: Number, factor: float = 0.8
) -> Number:
    """Interference left after the roughness is smoothed, U_w = U - factor (Rz_hub + Rz_shaft).

    Args:
        interference: measured interference [m].
        hub_rz: mean roughness depth Rz of the hub bore, not Ra [m].
        shaft_rz: mean roughness depth Rz of the shaft, not Ra [m].
        factor: share of Rz lost; 0.8 is safe for holding, 0 for the press; the 2017 edition is
            said to take 0.4, not settled here [-].
    Returns:
        usable interference [m].
    Valid: Rz; a value of Ra is about a quarter of it and hides most of the loss.
    Raises: RangeError for a negative roughness or a factor outside 0 to 1.
    Source: DIN7190 loss of interference by smoothing (from memory).

    Example:
        >>> round(float(usable_interference(45e-6, 4e-6, 10e-6)) * 1e6, 1)
        33.8
    """
    if not (holds(hub_rz >= 0) and holds(shaft_rz >= 0)):
        raise RangeError("roughness Rz", (hub_rz, shaft_rz), "zero or more [m]")
    if not 0 <= factor <= 1:
        raise RangeError("smoothing factor", factor, "0 to 1")
    return interference - factor * (hub_rz + shaft_rz)


def ring_smoothing(interference: Number, diameter: Number, finish: str = "ground") -> Number:
    """Bearing practice: interference left on a shaft, U d/(d + 2 mm) ground, d/(d + 3 mm) turned.

    Args:
        interference: measured interference of an inner ring [m].
        diameter: bore of the ring [m].
        finish: finish of the shaft, "ground" or "turned" [-].
    Returns:
        effective interference [m].
    Valid: rolling bearing inner rings on steel shafts.
    Raises: RangeError for another finish.
    Source: common practice, bearing handbooks (from memory).

    Example:
        >>> round(float(ring_smoothing(21e-6, 0.040)) * 1e6, 1)
        20.0
    """
    if finish not in RING_SMOOTHING_MM:
        raise RangeError("finish", finish, "ground or turned")
    return interference * diameter / (diameter + RING_SMOOTHING_MM[finish] * 1e-3)


def ring_warmth_loss(diameter: Number, rise: Number) -> Number:
    """Bearing practice: fit that a warm inner ring loses, about 0.12 a dT d with a 12.5e-6.

    Args:
        diameter: bore of the ring [m].
        rise: bearing temperature above its surroundings [K].
    Returns:
        loss of interference [m].
    Valid: inner ring warmer than its shaft in ordinary running.
    Raises: nothing.
    Source: common practice, bearing handbooks (from memory): 0.0015 dT d, um and mm.

    Example:
        >>> round(float(ring_warmth_loss(0.060, 40)) * 1e6, 1)
        3.6
    """
    return 0.0015e-3 * rise * diameter


def ring_load_loss(radial_load: Number, diameter: Number, width: Number) -> Number:
    """Bearing practice: fit that a loaded inner ring loses, 0.08 sqrt(F d/B) um with F in N.

    Args:
        radial_load: radial load F [N].
        diameter: bore d of the ring [m].
        width: width B of the ring [m].
    Returns:
        loss of interference [m].
    Valid: rotating inner ring, solid steel shaft, load up to a quarter of the static rating.
    Raises: RangeError for a width that is not positive or a negative load.
    Source: common practice, bearing handbooks (from memory).

    Example:
        >>> round(float(ring_load_loss(10000, 0.040, 0.016)) * 1e6, 1)
        12.6
    """
    if not holds(width > 0) or not holds(radial_load >= 0):
        raise RangeError("ring width or load", (width, radial_load), "width over 0, load 0 or more")
    return 0.08e-6 * np.sqrt(radial_load * diameter / width)


def internal_clearance(
    clearance: Number,
    inner_raceway: Number,
    outer_raceway: Number,
    inner_temperature: Number = T20,
    outer_temperature: Number = T20,
    inner_growth: Number = 0.0,
    outer_shrink: Number = 0.0,
    expansion: float = 12.5e-6,
) -> Number:
    """Radial internal clearance of a bearing once its rings are fitted and warm.

    c = c0 - growth - shrink + a ((To - 20) D_outer - (Ti - 20) D_inner).

    Args:
        clearance: clearance before fitting, at 20 °C [m].
        inner_raceway: raceway diameter of the inner ring [m].
        outer_raceway: raceway diameter of the outer ring [m].
        inner_temperature: temperature of the inner ring [K].
        outer_temperature: temperature of the outer ring [K].
        inner_growth: growth of the inner raceway by its fit [m].
        outer_shrink: shrink of the outer raceway by its fit, positive [m].
        expansion: mean coefficient of the rings [1/K].
    Returns:
        clearance left; negative is preload [m].
    Valid: deep groove and cylindrical bearings; rolling elements at the mean taken as neutral.
    Raises: RangeError for a temperature below 200 K.
    Source: own: linear expansion of both raceways.

    Example:
        >>> left = internal_clearance(20e-6, 0.042, 0.062, 383.15, 333.15)
        >>> round(float(left) * 1e6, 2)  # bore at 110 °C, outside at 60 °C
        3.75
    """
    for temperature in (inner_temperature, outer_temperature):
        if not holds(temperature > 200):
            raise RangeError("temperature", temperature, "kelvin, over 200", "20 °C is 293.15 K.")
    inner = expansion * (inner_temperature - T20) * inner_raceway
    outer = expansion * (outer_temperature - T20) * outer_raceway
    return clearance - inner_growth - outer_shrink + outer - inner
