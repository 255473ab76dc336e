"""What a sample of gear oil says: particle code, wear metals over jobs, and the used-oil class."""

from __future__ import annotations

import bisect
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from casewright.errors import RangeError
from casewright.mechanics.straight_line import straight_line
from casewright.tables.iso4406 import UPPER


def scale_number(per_millilitre: float) -> int | None:
    """ISO 4406 scale number of a particle concentration; "more than, up to and including".

    Args:
        per_millilitre: particles in a millilitre [1/mL].
    Returns:
        scale number [-], or none above 2.5 million (written ">28").
    Valid: the table's 0 to 28.
    Raises: RangeError for a concentration below zero.
    Source: ISO4406 Table 1.
    Example:
        >>> scale_number(640), scale_number(641)
        (16, 17)
    """
    if not per_millilitre >= 0:
        raise RangeError("particles", per_millilitre, "zero or more in a millilitre")
    number = bisect.bisect_left(UPPER, per_millilitre)
    return number if number < len(UPPER) else None


def scale_range(number: int) -> tuple[float, float]:
    """Concentrations that an ISO 4406 scale number stands for.

    Args:
        number: scale number, 0 to 28 [-].
    Returns:
        more than, up to and including [1/mL].
    Valid: the table's 0 to 28.
    Raises: RangeError for another number.
    Source: ISO4406 Table 1.
    """
    if not 0 <= number < len(UPPER):
        raise RangeError("scale number", number, "0 to 28")
    return (UPPER[number - 1] if number else 0.0), UPPER[number]


def particle_code(counts: Sequence[float], millilitres: float = 1.0) -> str:
    """The three-number code of ISO 4406 at 4, 6 and 14 µm(c); "≥" before a number of few counts.

    Args:
        counts: raw counts of particles of at least 4, 6 and 14 µm(c) [-], shape (3,).
        millilitres: oil that was counted [mL].
    Returns:
        code such as "18/16/13" [-].
    Valid: automatic counters calibrated for µm(c); fewer than 20 raw counts get "≥".
    Raises: RangeError for other than three counts, or counts that rise with size.
    Source: ISO4406 4.2 to 4.4.
    """
    if len(counts) != 3 or not millilitres > 0:
        raise RangeError("counts", len(counts), "three, at 4, 6 and 14 µm, and a volume")
    if not counts[0] >= counts[1] >= counts[2] >= 0:
        raise RangeError("counts", tuple(counts), "falling with size: each counts all larger too")
    parts = []
    for count in counts:
        number = scale_number(count / millilitres)
        few = "≥" if count < 20 else ""
        parts.append(">28" if number is None else f"{few}{number}")
    return "/".join(parts)


@dataclass(frozen=True, slots=True)
class WearTrend:
    """How a metal runs over the leg's hours: word, slope and its half width [1/s], level [-]."""

    word: str
    slope: float | None
    half_width: float | None
    readings: int
    hints: tuple[str, ...]


METAL_SOURCES = {
    "iron": "gears, bearings, shafts",
    "chromium": "bearings",
    "copper": "bronze bush, thrust ring or cage",
    "tin": "bronze bush",
    "lead": "bronze bush",
    "aluminium": "housing; with silicon about a quarter of it: dirt",
    "silicon": "dirt with aluminium, sealant without",
    "sodium": "sea water, with magnesium",
    "magnesium": "sea water with sodium, else additive",
    "zinc": "additive",
    "phosphorus": "additive",
    "calcium": "additive",
}
BLIND = "The laboratory sees particles under 5 to 10 µm only: a calm figure doesn't clear a gear."


def wear_trend(
    running_seconds: Sequence[float], contents: Sequence[float], metal: str = "iron"
) -> WearTrend:
    """A wear metal over running time by least squares: rising, steady, falling or not yet.

    Args:
        running_seconds: running time at each sample since the last oil change [s], shape (n,).
        contents: metal in the oil by mass [-], shape (n,).
        metal: name of the metal, for where it may come from [-].
    Returns:
        word, slope with its 95 % half width [1/s], readings [-], hints [-].
    Valid: three samples or more, same laboratory and method; below three "not yet".
    Raises: RangeError for lists of unlike length or contents below zero.
    Source: NIST-STRD for the line; METALS for where they come from.
    """
    if len(running_seconds) != len(contents):
        raise RangeError("contents", len(contents), f"{len(running_seconds)}, one for each time")
    if any(not content >= 0 for content in contents):
        raise RangeError("contents", tuple(contents), "zero or more")
    hints = (BLIND, *(() if metal not in METAL_SOURCES else (METAL_SOURCES[metal],)))
    if len(contents) < 3 or len(set(running_seconds)) < 2:
        return WearTrend("not yet", None, None, len(contents), hints)
    line = straight_line(running_seconds, contents)
    word = "steady or not told apart"
    if abs(line.slope) > line.slope_half_width:
        word = "rising" if line.slope > 0 else "falling"
    return WearTrend(word, line.slope, line.slope_half_width, len(contents), hints)


# Highest metal content of on-specification used oil, by mass, and lowest flash point [K].
USED_OIL_METALS = {"arsenic": 5e-6, "cadmium": 2e-6, "chromium": 10e-6, "lead": 100e-6}
USED_OIL_HALOGENS, HAZARDOUS_HALOGENS = 4000e-6, 1000e-6
USED_OIL_FLASH = (100 - 32) / 1.8 + 273.15


@dataclass(frozen=True, slots=True)
class UsedOil:
    """Class of a used oil for disposal, with the reasons."""

    word: str
    presumed_hazardous: bool
    reasons: tuple[str, ...]


def used_oil_class(
    halogens: float | None = None,
    flash_point: float | None = None,
    metals: Mapping[str, float] | None = None,
) -> UsedOil:
    """Used oil by the American specification: on, off, or presumed hazardous.

    Args:
        halogens: total halogens by mass [-], or none.
        flash_point: flash point [K], or none.
        metals: arsenic, cadmium, chromium, lead by mass [-], or none.
    Returns:
        word, whether it is presumed hazardous, and reasons [-].
    Valid: United States federal rule; state and local rules come first.
    Raises: RangeError for a metal that the rule doesn't name.
    Source: CFR279 279.11, Table 1, and 279.10(b)(1)(ii) for halogens above 1000 ppm.
    """
    reasons = []
    for metal, content in (metals or {}).items():
        if metal not in USED_OIL_METALS:
            raise RangeError("metal", metal, "one of " + ", ".join(USED_OIL_METALS))
        if content > USED_OIL_METALS[metal]:
            reasons.append(f"{metal} above {USED_OIL_METALS[metal] * 1e6:.0f} ppm")
    if flash_point is not None and flash_point < USED_OIL_FLASH:
        reasons.append("flash point under 100 °F")
    if halogens is not None and halogens > USED_OIL_HALOGENS:
        reasons.append("halogens above 4000 ppm")
    presumed = halogens is not None and halogens > HAZARDOUS_HALOGENS
    word = "off-specification" if reasons else "on-specification"
    if presumed and not reasons:
        word = "presumed hazardous"
    if presumed:
        reasons.append("halogens above 1000 ppm: hazardous unless shown otherwise")
    return UsedOil(word, presumed, tuple(reasons))
