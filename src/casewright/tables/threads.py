"""Screw threads as tabled: pitches, stress areas, limits of size, hexagon faces and holes.

ISO 68-1, ISO 724, ISO 965-1 (6g/6H), ISO 898-1 (areas), ISO 4014/4017, ISO 273, ASME B1.1
(2A/2B). Tables are typed in the unit of their standard and given out in SI; limits that are not
tabled here come from the standard's own formula and say so.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import sqrt
from types import MappingProxyType

from casewright.errors import InputError, RangeError

INCH = 0.0254
MILLIMETRE = 1e-3
MICROMETRE = 1e-6

# ISO 261/262, coarse series: nominal diameter to pitch, mm.
COARSE_PITCH = MappingProxyType(
    {2.0: 0.4, 2.5: 0.45, 3.0: 0.5, 3.5: 0.6, 4.0: 0.7, 5.0: 0.8, 6.0: 1.0, 7.0: 1.0, 8.0: 1.25}
    | {10.0: 1.5, 12.0: 1.75, 14.0: 2.0, 16.0: 2.0, 18.0: 2.5, 20.0: 2.5, 22.0: 2.5, 24.0: 3.0}
    | {27.0: 3.0, 30.0: 3.5, 33.0: 3.5, 36.0: 4.0, 39.0: 4.0, 42.0: 4.5, 45.0: 4.5, 48.0: 5.0}
)

# ISO 898-1, nominal stress areas as the load tables use them, mm²: (diameter, pitch) to area.
METRIC_STRESS_AREA = MappingProxyType(
    {(3.0, 0.5): 5.03, (4.0, 0.7): 8.78, (5.0, 0.8): 14.2, (6.0, 1.0): 20.1, (7.0, 1.0): 28.9}
    | {(8.0, 1.25): 36.6, (10.0, 1.5): 58.0, (12.0, 1.75): 84.3, (14.0, 2.0): 115.0}
    | {(16.0, 2.0): 157.0, (18.0, 2.5): 192.0, (20.0, 2.5): 245.0, (22.0, 2.5): 303.0}
    | {(24.0, 3.0): 353.0, (27.0, 3.0): 459.0, (30.0, 3.5): 561.0, (33.0, 3.5): 694.0}
    | {(36.0, 4.0): 817.0, (39.0, 4.0): 976.0}
    | {(8.0, 1.0): 39.2, (10.0, 1.25): 61.2, (10.0, 1.0): 64.5, (12.0, 1.5): 88.1}
    | {(12.0, 1.25): 92.1, (14.0, 1.5): 125.0, (16.0, 1.5): 167.0, (18.0, 1.5): 216.0}
    | {(20.0, 1.5): 272.0, (22.0, 1.5): 333.0, (24.0, 2.0): 384.0, (27.0, 2.0): 496.0}
    | {(30.0, 2.0): 621.0}
)

# Handbook stress areas of UNC and UNF, in²: (diameter, threads per inch) to area.
INCH_STRESS_AREA = MappingProxyType(
    {(0.25, 20): 0.0318, (0.3125, 18): 0.0524, (0.375, 16): 0.0775, (0.4375, 14): 0.1063}
    | {(0.5, 13): 0.1419, (0.5625, 12): 0.182, (0.625, 11): 0.226, (0.75, 10): 0.334}
    | {(0.25, 28): 0.0364, (0.3125, 24): 0.0580, (0.375, 24): 0.0878, (0.4375, 20): 0.1187}
    | {(0.5, 20): 0.1599, (0.5625, 18): 0.203, (0.625, 18): 0.256, (0.75, 16): 0.373}
    | {(0.875, 9): 0.462, (1.0, 8): 0.606, (0.875, 14): 0.509, (1.0, 12): 0.663}
)

# Smallest washer-face diameter of hexagon heads (ISO 4014/4017) and medium clearance holes
# (ISO 273), mm, by nominal diameter.
HEXAGON_FACE = MappingProxyType(
    {5.0: 6.88, 6.0: 8.88, 8.0: 11.63, 10.0: 14.63, 12.0: 16.63, 14.0: 19.64, 16.0: 22.49}
    | {18.0: 25.34, 20.0: 28.19, 22.0: 31.71, 24.0: 33.61, 30.0: 42.75}
)
MEDIUM_HOLE = MappingProxyType(
    {5.0: 5.5, 6.0: 6.6, 8.0: 9.0, 10.0: 11.0, 12.0: 13.5, 14.0: 15.5, 16.0: 17.5}
    | {18.0: 20.0, 20.0: 22.0, 22.0: 24.0, 24.0: 26.0, 30.0: 33.0}
)

# Hexagon cap screws by nominal inch size: basic width across flats (ASME B18.2.1), and normal
# clearance hole (ASME B18.2.8), inches. Holes over 7/16 and the face's share are from memory: a
# washer face is the width across flats less up to a tenth, taken in the middle.
INCH_FLATS = MappingProxyType(
    {0.25: 0.4375, 0.3125: 0.5, 0.375: 0.5625, 0.4375: 0.625, 0.5: 0.75, 0.625: 0.9375}
    | {0.75: 1.125, 0.875: 1.3125, 1.0: 1.5}
)
INCH_HOLE = MappingProxyType(
    {0.25: 9 / 32, 0.3125: 11 / 32, 0.375: 13 / 32, 0.4375: 15 / 32, 0.5: 9 / 16, 0.625: 11 / 16}
    | {0.75: 13 / 16, 0.875: 15 / 16, 1.0: 1 + 3 / 32}
)
INCH_FACE_SHARE = 0.95

# Limits as printed: smallest major and pitch diameter of the bolt, largest minor and pitch
# diameter of the nut. Metric 6g/6H in mm, inch 2A/2B in inches.
PRINTED_LIMITS = MappingProxyType(
    {
        "M6": (5.794, 5.212, 5.153, 5.500),
        "M8": (7.760, 7.042, 6.912, 7.348),
        "M10": (9.732, 8.862, 8.676, 9.206),
        "M12": (11.701, 10.679, 10.441, 11.063),
        "M16": (15.682, 14.503, 14.210, 14.913),
        "1/4-20": (0.2408, 0.2127, 0.207, 0.2224),
        "5/16-18": (0.3026, 0.2712, 0.265, 0.2817),
        "3/8-16": (0.3643, 0.3287, 0.321, 0.3401),
        "1/2-13": (0.4876, 0.4435, 0.434, 0.4565),
        "3/4-10": (0.7353, 0.6773, 0.663, 0.6927),
        "1-8": (0.9830, 0.9101, 0.890, 0.9276),
        "1/4-28": (0.2425, 0.2225, 0.220, 0.2311),
        "1/2-20": (0.4906, 0.4619, 0.457, 0.4731),
        "3/4-16": (0.7391, 0.7029, 0.696, 0.7159),
        "1-12": (0.9868, 0.9382, 0.928, 0.9535),
    }
)

# Diameter steps of ISO 965-1, mm; the tolerance takes the geometric mean of the step's ends.
DIAMETER_STEPS = (0.99, 1.4, 2.8, 5.6, 11.2, 22.4, 45.0, 90.0, 180.0, 355.0)

# Friction classes of VDI 2230: lowest and highest coefficient.
FRICTION_CLASSES = MappingProxyType(
    {"A": (0.04, 0.10), "B": (0.08, 0.16), "C": (0.14, 0.24), "D": (0.20, 0.35)}
)

METRIC = re.compile(r"^M\s*(\d+(?:\.\d+)?)(?:\s*[x×*-]\s*(\d+(?:\.\d+)?))?$", re.IGNORECASE)
UNIFIED = re.compile(
    r"^(?:(\d+)[ -](?=\d+/))?(?:(\d+)/(\d+)|((?:#|no\.?)?\s*\d*\.?\d+))\s*(?:in|\")?"
    r"\s*-\s*(\d+(?:\.\d+)?)"
    r"\s*(?:UNC|UNF|UNEF|UN|UNS)?$",
    re.IGNORECASE,
)
LEFT_HAND = re.compile(r"[\s-]*(LH|left(?:[ -]hand)?)$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Thread:
    """A 60 degree thread: system "metric" or "inch", major diameter and pitch [m], hand."""

    designation: str
    system: str
    major: float
    pitch: float
    hand: str = "right"


@dataclass(frozen=True, slots=True)
class ThreadLimits:
    """Least-material limits [m]: bolt smallest, nut largest; basis "table" or "formula"."""

    bolt_major: float
    bolt_pitch: float
    nut_minor: float
    nut_pitch: float
    basis: str


@lru_cache(maxsize=512)
def thread(designation: str) -> Thread:
    """A thread from its designation: `M10`, `M10x1.25`, `1/2-13`, `1 1/2-6`, with `LH` for left.

    Args:
        designation: as written on the sheet; a metric thread without pitch is the coarse one [-].
    Returns:
        Thread with system, major diameter [m], pitch [m] and hand [-].
    Valid: 60 degree threads of one start (ISO metric and unified).
    Raises: InputError when it can't be read; RangeError for a diameter without coarse pitch.
    Source: ISO68-1 profile; coarse pitches of ISO 261.
    Example:
        >>> thread("M10").pitch, thread("M10x1.25 LH").hand
        (0.0015, 'left')
    """
    text = designation.strip()
    hand = "left" if LEFT_HAND.search(text) else "right"
    text = LEFT_HAND.sub("", text)
    if match := METRIC.match(text):
        return _metric(match, hand)
    if match := UNIFIED.match(text):
        return _unified(match, hand)
    raise InputError("thread", designation, "a designation like M10, M10x1.25 or 1/2-13")


def _metric(match: re.Match[str], hand: str) -> Thread:
    major = float(match[1])
    pitch = float(match[2]) if match[2] else COARSE_PITCH.get(major)
    if pitch is None:
        raise RangeError("thread", match[0], "a coarse-series diameter", "Write the pitch too.")
    if not 0 < pitch < major / 2:
        raise RangeError("thread", match[0], "a pitch well below half the diameter")
    coarse = COARSE_PITCH.get(major) == pitch
    name = f"M{major:g}" if coarse else f"M{major:g}x{pitch:g}"
    # Division by 1000 gives the nearest double to the decimal; times 1e-3 does not.
    return Thread(name, "metric", major / 1000, pitch / 1000, hand)


def _unified(match: re.Match[str], hand: str) -> Thread:
    whole, top, bottom, decimal, count = match.groups()
    major = float(whole or 0) + (float(top) / float(bottom) if top else _decimal_size(decimal))
    per_inch = float(count)
    if not (per_inch > 0 and major * per_inch > 2):
        raise RangeError("thread", match[0], "more than two threads in one diameter")
    size = f"{whole} " if whole else ""
    size += f"{top}/{bottom}" if top else f"{decimal}"
    return Thread(f"{size}-{per_inch:g}", "inch", major * INCH, INCH / per_inch, hand)


def _decimal_size(text: str) -> float:
    """Inches of a decimal or numbered size; `10-24` could be either and is asked back."""
    digits = text.lower().lstrip("#no. ")
    if text[0] in "#nN":
        return 0.060 + 0.013 * float(digits)
    if float(text) >= 2 and "." not in text:
        raise InputError("thread", text, "a numbered size with # (#10-24) or inches (2.0-6)")
    return float(text)


def tabled_stress_area(designation: str) -> float | None:
    """The stress area as the standard's load tables print it (three figures).

    Args:
        designation: thread [-].
    Returns:
        area [m²], or None where no table here holds it.
    Valid: ISO 898-1 coarse and fine to M39; UNC and UNF 1/4 to 1 inch.
    Raises: InputError when the designation can't be read.
    Source: ISO898-1 load tables; MH unified stress areas
    """
    this = thread(designation)
    if this.system == "metric":
        key = (round(this.major / MILLIMETRE, 6), round(this.pitch / MILLIMETRE, 6))
        area = METRIC_STRESS_AREA.get(key)
        return None if area is None else area * MILLIMETRE**2
    inches = INCH_STRESS_AREA.get((round(this.major / INCH, 6), round(INCH / this.pitch)))
    return None if inches is None else inches * INCH**2


def hexagon_friction_diameter(designation: str) -> float:
    """Mean friction diameter under a hexagon head over a medium hole; DKm = (dW + dh)/2.

    Args:
        designation: metric thread M5 to M30, or inch thread 1/4 to 1 inch [-].
    Returns:
        friction diameter (a diameter, not a radius) [m].
    Valid: plain hexagon heads and nuts over a medium (inch: normal) hole; smallest metric face,
        middle inch face (within 5 % of either limit). Ring nuts bear on faces of their own.
    Raises: RangeError where the tables hold no such size.
    Source: ISO4014 washer face; ISO 273 medium series; ASME B18.2.1 and B18.2.8 (partly memory)
    """
    this = thread(designation)
    size, inches = round(this.major / MILLIMETRE, 6), round(this.major / INCH, 6)
    if this.system == "metric" and size in HEXAGON_FACE:
        return 0.5 * (HEXAGON_FACE[size] + MEDIUM_HOLE[size]) * MILLIMETRE
    if this.system == "inch" and inches in INCH_FLATS:
        return 0.5 * (INCH_FACE_SHARE * INCH_FLATS[inches] + INCH_HOLE[inches]) * INCH
    raise RangeError(
        "thread",
        designation,
        "a size of the hexagon tables (M5 to M30, 1/4 to 1 inch)",
        "Give the friction diameter of its own face instead.",
    )


def limits_by_formula(designation: str) -> ThreadLimits:
    """Least-material limits from the standard's formulas: ISO 965-1 6g/6H, ASME B1.1 2A/2B.

    Args:
        designation: thread [-].
    Returns:
        limits [m], basis "formula".
    Valid: metric pitch 0.2 mm and more, within 9 µm of the printed tables (they round);
        inch sizes from 1/4 inch, engagement of one diameter.
    Raises: RangeError outside these.
    Source: ISO965-1 formulas of clauses 13; ASMEB1.1 section 5
    """
    this = thread(designation)
    return _metric_limits(this) if this.system == "metric" else _unified_limits(this)


def _metric_limits(this: Thread) -> ThreadLimits:
    pitch, major = this.pitch / MILLIMETRE, this.major / MILLIMETRE
    step = next(
        ((low, high) for low, high in pairwise(DIAMETER_STEPS) if low < major <= high),
        None,
    )
    if pitch < 0.2 or step is None:
        raise RangeError("thread", this.designation, "pitch from 0.2 mm, diameter 1 to 355 mm")
    upper = -(15 + 11 * pitch)
    major_width = 180 * pitch ** (2 / 3) - 3.15 / sqrt(pitch)
    pitch_width = 90 * pitch**0.4 * sqrt(step[0] * step[1]) ** 0.1
    minor_width = 230 * pitch**0.7 if pitch >= 1 else 433 * pitch - 190 * pitch**1.22
    basic_pitch = this.major - 3 * sqrt(3) / 8 * this.pitch
    basic_minor = this.major - 5 * sqrt(3) / 8 * this.pitch
    return ThreadLimits(
        this.major + (upper - major_width) * MICROMETRE,
        basic_pitch + (upper - pitch_width) * MICROMETRE,
        basic_minor + minor_width * MICROMETRE,
        basic_pitch + 1.32 * pitch_width * MICROMETRE,
        "formula",
    )


def _unified_limits(this: Thread) -> ThreadLimits:
    pitch, major = this.pitch / INCH, this.major / INCH
    if major < 0.25:
        raise RangeError("thread", this.designation, "an inch thread of 1/4 inch or more")
    width = 0.0015 * major ** (1 / 3) + 0.0015 * sqrt(major) + 0.015 * pitch ** (2 / 3)
    allowance = 0.3 * width
    minor_width = 0.25 * pitch - 0.4 * pitch**2
    basic_pitch = major - 3 * sqrt(3) / 8 * pitch
    basic_minor = major - 5 * sqrt(3) / 8 * pitch
    return ThreadLimits(
        (major - allowance - 0.06 * pitch ** (2 / 3)) * INCH,
        (basic_pitch - allowance - width) * INCH,
        (basic_minor + minor_width) * INCH,
        (basic_pitch + 1.3 * width) * INCH,
        "formula",
    )


def limits(designation: str) -> ThreadLimits:
    """Least-material limits 6g/6H or 2A/2B: as printed where tabled here, else by formula.

    Args:
        designation: thread [-].
    Returns:
        smallest bolt major and pitch, largest nut minor and pitch diameter [m], and the basis [-].
    Valid: as `limits_by_formula`; a worn or re-tapped thread is not within its limits.
    Raises: RangeError outside these.
    Source: ISO965-1 limits of 6g and 6H; ASME B1.1 limits of 2A and 2B
    """
    this = thread(designation)
    printed = PRINTED_LIMITS.get(this.designation)
    if printed is None:
        return limits_by_formula(designation)
    unit = MILLIMETRE if this.system == "metric" else INCH
    bolt_major, bolt_pitch, nut_minor, nut_pitch = (value * unit for value in printed)
    return ThreadLimits(bolt_major, bolt_pitch, nut_minor, nut_pitch, "table")
