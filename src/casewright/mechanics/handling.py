"""Hands and backs: lifting (revised NIOSH equation), disc speeds, and hot metal."""

from __future__ import annotations

import math
from dataclasses import dataclass

from casewright.errors import RangeError
from casewright.working import Term, Working

INCH, POUND = 0.0254, 0.45359237
FIRST_WORDS = "The maker's manual, local codes and licensed practice come first."


@dataclass(frozen=True, slots=True)
class _LiftForm:
    """Constants of the equation in one system of units, lengths turned to metres."""

    load: float
    reach: float
    height: float
    height_slope: float
    travel: float
    least_travel: float
    most_reach: float
    most_height: float


_FORMS = {
    "metric": _LiftForm(23.0, 0.25, 0.75, 0.3, 0.045, 0.25, 0.63, 1.75),
    "customary": _LiftForm(
        51 * POUND,
        10 * INCH,
        30 * INCH,
        0.0075 / INCH,
        1.8 * INCH,
        10 * INCH,
        25 * INCH,
        70 * INCH,
    ),
}


@dataclass(frozen=True, slots=True)
class Lift:
    """The weight that the equation recommends [kg], the index of the load, and its factors."""

    recommended: float
    index: float
    advice: str
    cautions: tuple[str, ...]
    working: Working


def _coupling(grip: str, height: float, knuckle: float) -> float:
    """Coupling multiplier: handles good, fair or poor, and where the hands are."""
    table = {"good": (1.0, 1.0), "fair": (0.95, 1.0), "poor": (0.90, 0.90)}
    if grip not in table:
        raise RangeError("grip", grip, "good, fair or poor")
    return table[grip][height >= knuckle]


def lift_index(
    weight: float,
    reach: float,
    height: float,
    travel: float,
    twist: float = 0.0,
    grip: str = "fair",
    frequency_multiplier: float = 1.0,
    form: str = "metric",
) -> Lift:
    """Recommended weight and lifting index; RWL = LC·HM·VM·DM·AM·FM·CM, LI = weight/RWL.

    Args:
        weight: weight of the load, as mass [kg].
        reach: hands ahead of the ankles [m].
        height: hands above the floor [m].
        travel: height through which the load is moved [m].
        twist: angle out of the middle plane [rad].
        grip: "good", "fair" or "poor" [-].
        frequency_multiplier: 1.0 for a lift now and then, less for repeated ones [-].
        form: "metric" or "customary" constants of the publication [-].
    Returns:
        recommended weight [kg], lifting index [-] and advice.
    Valid: two hands, standing, smooth, indoors, good footing; for one healthy adult.
    Raises: RangeError for a weight not above zero, a grip or form not known.
    Source: NIOSH94-110, equation of 1.1.
    """
    if form not in _FORMS:
        raise RangeError("form", form, "metric or customary")
    if not (weight > 0 and reach >= 0 and height >= 0 and travel >= 0 and twist >= 0):
        raise RangeError("lift", (weight, reach, height, travel, twist), "values above zero")
    f = _FORMS[form]
    factors = (
        ("horizontal", 0.0 if reach > f.most_reach else f.reach / max(reach, f.reach)),
        (
            "vertical",
            0.0 if height > f.most_height else 1 - f.height_slope * abs(height - f.height),
        ),
        ("distance", 0.82 + f.travel / max(travel, f.least_travel)),
        ("asymmetry", 0.0 if twist > math.radians(135) else 1 - 0.0032 * math.degrees(twist)),
        ("frequency", frequency_multiplier),
        ("coupling", _coupling(grip, height, f.height)),
    )
    recommended = f.load * math.prod(min(value, 1.0) for _, value in factors)
    index = weight / recommended if recommended > 0 else math.inf
    working = Working(
        method="revised NIOSH lifting equation",
        formula="RWL = LC·HM·VM·DM·AM·FM·CM; LI = L/RWL",
        inputs=(Term("load", weight, "kg", "L"), Term("reach", reach, "m", "H")),
        outputs=(Term("recommended", recommended, "kg", "RWL"), Term("index", index, "", "LI")),
        steps=tuple(Term(name, value) for name, value in factors),
        source="DHHS (NIOSH) 94-110",
        estimate=True,
    )
    return Lift(recommended, index, _lift_advice(index), (FIRST_WORDS,), working)


def _lift_advice(index: float) -> str:
    """What to do about a lifting index."""
    if index <= 1:
        return "One person, close to the body."
    if index <= 3:
        return "Two people or a hoist."
    return "Hoist: not by hand."


def disc_speed(diameter: float, rim_speed: float = 80.0) -> float:
    """Highest speed of a cutting or grinding disc; n = v/(π·D).

    Args:
        diameter: disc diameter [m].
        rim_speed: highest rim speed marked on the disc [m/s].
    Returns:
        speed [1/s]; the tool's no-load speed must not be above it.
    Valid: the speed marked on the disc wins.
    Raises: RangeError for anything not above zero.
    Source: own: geometry; the rim speed of 80 m/s is common practice for reinforced discs.
    Example:
        >>> round(60 * disc_speed(0.125))
        12223
    """
    if not (diameter > 0 and rim_speed > 0):
        raise RangeError("disc diameter and rim speed", (diameter, rim_speed), "above zero")
    return rim_speed / (math.pi * diameter)


# Longest touch [s] and bare-metal temperature [K] at which it does no harm, shortest touch first.
BARE_METAL = ((1.0, 338.15), (10.0, 328.15), (8 * 3600.0, 316.15))


@dataclass(frozen=True, slots=True)
class BurnClass:
    """How long bare metal of a temperature may be touched [s], and in words."""

    longest_touch: float
    words: str


def burn_class(surface_temperature: float) -> BurnClass:
    """How long bare metal may be touched; 43 °C for a shift, 55 °C ten seconds, 65 °C one second.

    Args:
        surface_temperature: temperature of the bare metal [K].
    Returns:
        longest touch [s], zero where any touch can burn, and words [-].
    Valid: bare metal, healthy adult skin; a limit of harm, not of comfort.
    Raises: RangeError for a temperature that isn't kelvin.
    Source: ECMA287, table of touch temperatures, as quoted.
    Example:
        >>> burn_class(328.15).longest_touch
        10.0
    """
    if not 200 < surface_temperature < 2000:
        raise RangeError("surface temperature", surface_temperature, "kelvin, 200 to 2000")
    words = ("a touch of a second", "a hold of ten seconds", "a hold of a shift")
    longest = BurnClass(0.0, "Gloves and tongs: any touch can burn.")
    for (seconds, limit), what in zip(BARE_METAL, words, strict=True):
        if surface_temperature <= limit + 1e-9:
            longest = BurnClass(seconds, f"No burn from {what}.")
    return longest
