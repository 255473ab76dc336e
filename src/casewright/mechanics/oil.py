"""Gear oil as a liquid: viscosity at temperature, its index and grade, water, and the fill."""

from __future__ import annotations

import math
from dataclasses import dataclass

from casewright.errors import RangeError
from casewright.tables.viscosity_grades import GRADES
from casewright.tables.viscosity_index import SEGMENTS
from casewright.working import Term, Working

CENTISTOKE = 1e-6
PPM = 1e-6
WATER_LIFE_RANGE = (25 * PPM, 400 * PPM)


@dataclass(frozen=True, slots=True)
class GradeLimits:
    """Kinematic viscosities of a grade at 40 °C [m²/s]."""

    least: float
    middle: float
    most: float


def grade_limits(grade: int) -> GradeLimits:
    """Limits of an ISO viscosity grade at 40 °C; mid-point ± 10 %.

    Args:
        grade: the number of the grade, as 100 [-].
    Returns:
        least, middle and most kinematic viscosity [m²/s].
    Valid: the twenty grades.
    Raises: RangeError for another number.
    Source: ISO3448 Table 1.
    Example:
        >>> round(grade_limits(46).most * 1e6, 1)
        50.6
    """
    if grade not in GRADES:
        raise RangeError("viscosity grade", grade, "one of " + ", ".join(map(str, GRADES)))
    middle = GRADES[int(grade)] * CENTISTOKE
    return GradeLimits(0.9 * middle, middle, 1.1 * middle)


def viscosity_grade(viscosity: float) -> int | None:
    """The ISO viscosity grade that a viscosity at 40 °C falls in.

    Args:
        viscosity: kinematic viscosity at 40 °C [m²/s].
    Returns:
        number of the grade [-], or none between two grades.
    Valid: the twenty grades.
    Raises: RangeError for a viscosity not above zero.
    Source: ISO3448 Table 1.
    """
    if not viscosity > 0:
        raise RangeError("viscosity", viscosity, "above zero")
    for grade in GRADES:
        limits = grade_limits(grade)
        if limits.least * (1 - 1e-12) <= viscosity <= limits.most * (1 + 1e-12):
            return grade
    return None


@dataclass(frozen=True, slots=True)
class Walther:
    """Constants A and B of log₁₀ log₁₀ Z = A − B·log₁₀ T."""

    a: float
    b: float


def _to_z(viscosity: float) -> float:
    """Z of a kinematic viscosity in mm²/s; the exponential counts below 2 mm²/s only."""
    return viscosity + 0.7 + math.exp(-1.47 - 1.84 * viscosity - 0.51 * viscosity**2)


def _from_z(z: float) -> float:
    """Kinematic viscosity in mm²/s of Z."""
    v = z - 0.7
    return v - math.exp(-0.7487 - 3.295 * v + 0.6119 * v**2 - 0.3193 * v**3)


def walther_constants(
    viscosity_1: float, temperature_1: float, viscosity_2: float, temperature_2: float
) -> Walther:
    """Constants of an oil's viscosity line from two points; log₁₀ log₁₀ Z = A − B·log₁₀ T.

    Args:
        viscosity_1: kinematic viscosity at the first temperature [m²/s].
        temperature_1: first temperature [K].
        viscosity_2: kinematic viscosity at the second [m²/s].
        temperature_2: second temperature [K].
    Returns:
        A and B for viscosities in mm²/s and kelvin [-].
    Valid: mineral and most synthetic oils well above their pour point; 0.21 mm²/s and more.
    Raises: RangeError for one temperature given twice, or viscosities not falling with it.
    Source: D341 Eq. 1 and annex.
    """
    first, second = (temperature_1, viscosity_1), (temperature_2, viscosity_2)
    (cold, thick), (warm, thin) = sorted((first, second))
    if not (150 < cold < warm < 700 and thick > thin >= 0.21 * CENTISTOKE):
        raise RangeError("viscosities", (thick, thin), "falling with temperature, in kelvin")
    outer = [math.log10(math.log10(_to_z(v / CENTISTOKE))) for v in (thick, thin)]
    b = (outer[0] - outer[1]) / (math.log10(warm) - math.log10(cold))
    return Walther(outer[0] + b * math.log10(cold), b)


def viscosity_at(constants: Walther, temperature: float) -> float:
    """Kinematic viscosity of an oil at a temperature; from A − B·log₁₀ T.

    Args:
        constants: A and B of the oil [-].
        temperature: temperature [K].
    Returns:
        kinematic viscosity [m²/s].
    Valid: between and a little beyond the two points of the constants; not near the pour point.
    Raises: RangeError for a temperature that isn't kelvin.
    Source: D341 Eq. 1 and annex.
    """
    if not 150 < temperature < 700:
        raise RangeError("temperature", temperature, "kelvin, 150 to 700")
    z = 10 ** (10 ** (constants.a - constants.b * math.log10(temperature)))
    return _from_z(z) * CENTISTOKE


def index_references(viscosity_100: float) -> tuple[float, float]:
    """L and H: viscosities at 40 °C of the reference oils of index 0 and 100.

    Args:
        viscosity_100: kinematic viscosity at 100 °C [m²/s].
    Returns:
        L and H [m²/s].
    Valid: 2 mm²/s and more at 100 °C; within 0.2 % of the standard's table.
    Raises: RangeError below 2 mm²/s.
    Source: D2270 Table 1 by its parabolas, and the equations above 70 mm²/s.
    """
    y = viscosity_100 / CENTISTOKE
    if not 2 * (1 - 1e-9) <= y < 1e4:
        raise RangeError("viscosity at 100 °C", viscosity_100, "2 mm²/s or more")
    low, high = next((low, high) for _, upper, low, high in SEGMENTS if y <= upper)
    return (
        (low[0] * y**2 + low[1] * y + low[2]) * CENTISTOKE,
        (high[0] * y**2 + high[1] * y + high[2]) * CENTISTOKE,
    )


def viscosity_index(viscosity_40: float, viscosity_100: float) -> float:
    """Viscosity index; 100(L−U)/(L−H), or (10ᴺ−1)/0.00715 + 100 with N = lg(H/U)/lg Y from 100 up.

    Args:
        viscosity_40: kinematic viscosity at 40 °C, U [m²/s].
        viscosity_100: kinematic viscosity at 100 °C, Y [m²/s].
    Returns:
        index, unrounded [-]; reports give it as a whole number.
    Valid: 2 mm²/s and more at 100 °C.
    Raises: RangeError for a viscosity at 40 °C not above that at 100 °C.
    Source: D2270 procedures A and B.
    """
    if not viscosity_40 > viscosity_100:
        raise RangeError("viscosity at 40 °C", viscosity_40, f"above {viscosity_100} at 100 °C")
    low, high = index_references(viscosity_100)
    if viscosity_40 >= high:
        return 100 * (low - viscosity_40) / (low - high)
    power = math.log10(high / viscosity_40) / math.log10(viscosity_100 / CENTISTOKE)
    return (10**power - 1) / 0.00715 + 100


@dataclass(frozen=True, slots=True)
class WaterLife:
    """Bearing life against that at a base water content [-], and whether the tests reach so far."""

    factor: float
    within_tests: bool
    cautions: tuple[str, ...]


def water_life_factor(water: float, base: float = 100 * PPM) -> WaterLife:
    """Rolling bearing life at a water content against that at a base; (base/water)^0.6.

    Args:
        water: water in the oil, by mass [-].
        base: water content to compare with, by mass [-].
    Returns:
        life factor [-], whether both contents lie within the tests, and cautions [-].
    Valid: 25 to 400 ppm; one bearing type, one mineral oil; outside, a caution says so.
    Raises: RangeError for contents not above zero or above one.
    Source: CANTLEY1977, (100/x)^0.6; test points 25, 100 and 400 ppm only.
    Example:
        >>> round(water_life_factor(400e-6).factor, 3)
        0.435
    """
    if not (0 < water < 1 and 0 < base < 1):
        raise RangeError("water content", water, "a mass share above zero, as 100 ppm = 0.0001")
    low, high = WATER_LIFE_RANGE
    inside = all(low * (1 - 1e-9) <= x <= high * (1 + 1e-9) for x in (water, base))
    cautions = () if inside else ("Outside 25 to 400 ppm: the tests say nothing there.",)
    return WaterLife((base / water) ** 0.6, inside, cautions)


# What a drop does on a plate at 160 °C: least and most water by mass, none where open.
CRACKLE = {
    "no change": (None, 500 * PPM, "No free or emulsified water; under about 500 ppm."),
    "small bubbles": (500 * PPM, 1000 * PPM, "Bubbles of half a millimetre, soon gone."),
    "growing bubbles": (1000 * PPM, 2000 * PPM, "Bubbles of two millimetres, growing to four."),
    "crackling": (2000 * PPM, None, "Bubbles again and again, crackling: over 2000 ppm."),
}
CRACKLE_CAUTION = "Hot plate and spitting oil: eye protection, no flame, one drop only."


@dataclass(frozen=True, slots=True)
class WaterRange:
    """Water content by mass, least and most [-], none where open, with words."""

    least: float | None
    most: float | None
    words: str
    cautions: tuple[str, ...]


def crackle_class(seen: str) -> WaterRange:
    """Water content from what a drop of oil does on a plate at 160 °C.

    Args:
        seen: "no change", "small bubbles", "growing bubbles" or "crackling" [-].
    Returns:
        range of the water content by mass [-], none where open.
    Valid: plate at 160 °C; coarse; nothing under about 500 ppm shows.
    Raises: RangeError for another word.
    Source: CRACKLE, table of bubbles.
    """
    if seen not in CRACKLE:
        raise RangeError("crackle test", seen, "one of " + ", ".join(CRACKLE))
    least, most, words = CRACKLE[seen]
    return WaterRange(least, most, words, (CRACKLE_CAUTION,))


APPEARANCE = {
    "bright": "No free water to be seen; up to 0.1 % can still look bright: not cleared by eye.",
    "hazy": "Water in emulsion, or air: let it stand warm; if it stays hazy, it is water.",
    "caramel": "Water in emulsion.",
    "milky": "Much water in emulsion: find the way in before refilling.",
    "dark": "Heat, age or soot; water can't be seen.",
    "glitter": "Metal: look at the magnet, filter a sample, find the part.",
}


def appearance_class(seen: str) -> str:
    """What an oil's look tells; no figure, since no calibrated scale of colour exists.

    Args:
        seen: "bright", "hazy", "caramel", "milky", "dark" or "glitter" [-].
    Returns:
        a sentence [-].
    Valid: by eye in a clear glass; a hint, not a measurement.
    Raises: RangeError for another word.
    Source: CLOUDY-OIL, classes by look.
    """
    if seen not in APPEARANCE:
        raise RangeError("appearance", seen, "one of " + ", ".join(APPEARANCE))
    return APPEARANCE[seen]


@dataclass(frozen=True, slots=True)
class Fill:
    """Oil taken against the capacity [m³]: trapped air or too much, with what to do."""

    word: str
    missing: float
    share: float
    advice: tuple[str, ...]
    working: Working


PROCEDURE = (
    "Fill from the bottom plug until it runs from the upper without bubbles.",
    "Upper plug in before the pump comes off below; then the lower plug, new gaskets on both.",
    "Rest upright, check the level again at the upper plug, top up.",
)


def check_fill(filled: float, capacity: float, tolerance: float = 0.05) -> Fill:
    """Oil taken against the capacity: what is missing is trapped air.

    Args:
        filled: oil that went in, spill subtracted [m³].
        capacity: the sheet's capacity [m³].
        tolerance: share by which they may differ [-].
    Returns:
        "full", "air trapped" or "more than it holds", volume missing [m³], advice [-].
    Valid: a drained case; oil left in it counts as missing.
    Raises: RangeError for volumes not above zero.
    Source: common practice, no source.
    """
    if not (filled > 0 and capacity > 0):
        raise RangeError("oil filled and capacity", (filled, capacity), "above zero")
    missing = capacity - filled
    share = missing / capacity
    word = "air trapped" if share > tolerance else "full"
    advice: tuple[str, ...] = PROCEDURE
    if word == "air trapped":
        advice = ("Air is trapped, or oil was left in: turn the shafts, rest, top up.", *PROCEDURE)
    if share < -tolerance:
        word = "more than it holds"
        advice = ("More went in than it holds: spill, wrong capacity, or it left the case.",)
    working = Working(
        method="fill against capacity",
        formula="missing = capacity − filled",
        inputs=(Term("filled", filled, "m³"), Term("capacity", capacity, "m³")),
        outputs=(Term("missing", missing, "m³"), Term("share", share)),
        source="common practice",
    )
    return Fill(word, missing, share, advice, working)
