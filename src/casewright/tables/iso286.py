"""ISO 286 limits for shafts and holes up to 500 mm, and ISO 492 bearing outside diameters.

Deviations are kept in micrometres as printed, by size range ("over a, up to and including b").
ISO 286-1 table 1 (standard tolerances IT5 to IT11) and tables 2 and 3 (fundamental
deviations), as corrected in 2006. Typed from memory and confirmed by the standard's own
formulas and by printed tables; `docs/theory/fits-and-heat.md` says which part by which.
"""

from __future__ import annotations

import math
import re
from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import dataclass

from casewright.errors import RangeError

MICROMETRE = 1e-6
BOUND_TOLERANCE = 1e-12  # m; floating-point noise at a range bound, far below any gauge
LARGEST = 0.5  # m

# fmt: off
RANGES_MM = (3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500)
FINE_RANGES_MM = (
    3, 6, 10, 18, 30, 50, 65, 80, 100, 120, 140, 160, 180, 200, 225, 250, 280, 315, 355, 400,
    450, 500,
)
STANDARD_TOLERANCES = {
    5: (4, 5, 6, 8, 9, 11, 13, 15, 18, 20, 23, 25, 27),
    6: (6, 8, 9, 11, 13, 16, 19, 22, 25, 29, 32, 36, 40),
    7: (10, 12, 15, 18, 21, 25, 30, 35, 40, 46, 52, 57, 63),
    8: (14, 18, 22, 27, 33, 39, 46, 54, 63, 72, 81, 89, 97),
    9: (25, 30, 36, 43, 52, 62, 74, 87, 100, 115, 130, 140, 155),
    10: (40, 48, 58, 70, 84, 100, 120, 140, 160, 185, 210, 230, 250),
    11: (60, 75, 90, 110, 130, 160, 190, 220, 250, 290, 320, 360, 400),
}
# Upper deviation (es) of shafts d to g; h is zero.
SHAFT_UPPER = {
    "d": (-20, -30, -40, -50, -65, -80, -100, -120, -145, -170, -190, -210, -230),
    "e": (-14, -20, -25, -32, -40, -50, -60, -72, -85, -100, -110, -125, -135),
    "f": (-6, -10, -13, -16, -20, -25, -30, -36, -43, -50, -56, -62, -68),
    "g": (-2, -4, -5, -6, -7, -9, -10, -12, -14, -15, -17, -18, -20),
    "h": (0,) * 13,
}
# Lower deviation (ei) of shafts k to p; k holds for IT4 to IT7 and is zero otherwise.
SHAFT_LOWER = {
    "k": (0, 1, 1, 1, 2, 2, 2, 3, 3, 4, 4, 4, 5),
    "m": (2, 4, 6, 7, 8, 9, 11, 13, 15, 17, 20, 21, 23),
    "n": (4, 8, 10, 12, 15, 17, 20, 23, 27, 31, 34, 37, 40),
    "p": (6, 12, 15, 18, 22, 26, 32, 37, 43, 50, 56, 62, 68),
}
# Lower deviation (ei) of shafts r and s, in the finer ranges.
SHAFT_LOWER_FINE = {
    "r": (10, 15, 19, 23, 28, 34, 41, 43, 51, 54, 63, 65, 68, 77, 80, 84, 94, 98, 108, 114,
          126, 132),
    "s": (14, 19, 23, 28, 35, 43, 53, 59, 71, 79, 92, 100, 108, 122, 130, 140, 158, 170, 190,
          208, 232, 252),
}
# j: lower deviation of the shaft; J: upper deviation of the hole. No rule, the table only.
SHAFT_J = {
    5: (-2, -2, -2, -3, -4, -5, -7, -9, -11, -13, -16, -18, -20),
    6: (-2, -2, -2, -3, -4, -5, -7, -9, -11, -13, -16, -18, -20),
    7: (-4, -4, -5, -6, -8, -10, -12, -15, -18, -21, -26, -28, -32),
}
HOLE_J = {
    6: (2, 5, 5, 6, 8, 10, 13, 16, 18, 22, 25, 29, 33),
    7: (4, 6, 8, 10, 12, 14, 18, 22, 26, 30, 36, 39, 43),
    8: (6, 10, 12, 15, 20, 24, 28, 34, 41, 47, 55, 60, 66),
}
# Delta of the hole's own grade, by range.
DELTAS = {
    5: (0, 1, 2, 3, 3, 4, 5, 5, 6, 6, 7, 7, 7),
    6: (0, 3, 3, 3, 4, 5, 6, 7, 7, 9, 9, 11, 13),
    7: (0, 4, 6, 7, 8, 9, 11, 13, 15, 17, 20, 21, 23),
    8: (0, 6, 7, 9, 12, 14, 16, 19, 23, 26, 29, 32, 34),
}
# ISO 492, Normal class: lower deviation of a bearing's outside diameter (the upper is zero).
BEARING_OUTSIDE = {30: -9, 50: -11, 80: -13, 120: -15, 150: -18, 180: -25}
# fmt: on

C_UPPER = -120  # es of c over 30 to 40 mm, the one range known here


@dataclass(frozen=True, slots=True)
class Limits:
    """Limits of size of one feature: basic `size` and two deviations [m], with their code."""

    size: float
    code: str
    lower_deviation: float
    upper_deviation: float

    @property
    def smallest(self) -> float:
        """Smallest allowed size [m]."""
        return self.size + self.lower_deviation

    @property
    def largest(self) -> float:
        """Largest allowed size [m]."""
        return self.size + self.upper_deviation

    @property
    def width(self) -> float:
        """Tolerance [m]."""
        return self.upper_deviation - self.lower_deviation


def tolerance_unit(size: float) -> float:
    """Standard tolerance unit i = 0.45 D^(1/3) + 0.001 D, D the range's geometric mean in mm.

    Args:
        size: basic size [m].
    Returns:
        i [m].
    Valid: sizes up to 500 mm; ISO rounds its table by own rules, so IT values are not k times i.
    Raises: RangeError for a size outside the table.
    Source: ISO286-1 formula for grades 5 to 18.

    Example:
        >>> round(tolerance_unit(0.025) / 1e-6, 5)
        1.30738
    """
    index = _range_index(size, RANGES_MM)
    low = RANGES_MM[index - 1] if index else 1
    mean = math.sqrt(low * RANGES_MM[index])
    return (0.45 * math.cbrt(mean) + 0.001 * mean) * MICROMETRE


def standard_tolerance(size: float, grade: int) -> float:
    """Standard tolerance IT of a size and grade, from the table.

    Args:
        size: basic size [m].
        grade: 5 to 11 [-].
    Returns:
        tolerance [m].
    Valid: over 0 to 500 mm; the upper end of a range belongs to it.
    Raises: RangeError for a size or grade outside the table.
    Source: ISO286-1 table 1.

    Example:
        >>> round(standard_tolerance(0.030, 7) / 1e-6)
        21
    """
    if grade not in STANDARD_TOLERANCES:
        raise RangeError("grade", grade, "5 to 11", "Only IT5 to IT11 are tabled here.")
    return STANDARD_TOLERANCES[grade][_range_index(size, RANGES_MM)] * MICROMETRE


def limits(size: float, code: str) -> Limits:
    """Limits of a tolerance class such as H7 (hole, capital letter) or k6 (shaft).

    Args:
        size: basic size [m].
        code: letter and grade, e.g. "H7", "js6" [-].
    Returns:
        limits of size [m].
    Valid: over 0 to 500 mm, IT5 to IT11; d to h, j, js, k to s and the holes likewise, c and C
        over 30 to 40 mm only. A bound counts as reached within 1e-9 mm.
    Raises: RangeError naming the reason when the class is not defined or not tabled.
    Source: ISO286-1 tables 1 to 3 with the delta rule; ISO286-2 for the limits themselves.

    Example:
        >>> one = limits(0.040, "s6")
        >>> round(one.smallest * 1e3, 3), round(one.largest * 1e3, 3)
        (40.043, 40.059)
    """
    letter, grade = _split(code)
    width = standard_tolerance(size, grade) / MICROMETRE
    given = _hole_deviation if letter[0].isupper() else _shaft_deviation
    side, value = given(size, letter, grade, width)
    lower, upper = (value, value + width) if side == "lower" else (value - width, value)
    return Limits(size, code, lower * MICROMETRE, upper * MICROMETRE)


def bearing_outside_limits(size: float) -> Limits:
    """Limits of the outside diameter of a Normal class rolling bearing.

    Args:
        size: nominal outside diameter [m].
    Returns:
        limits of size [m].
    Valid: radial bearings of Normal class, over 18 to 180 mm; mean diameter in one plane.
    Raises: RangeError for another size.
    Source: ISO492 Normal class, deviation of the mean outside diameter.

    Example:
        >>> round(bearing_outside_limits(0.062).lower_deviation / 1e-6)
        -13
    """
    bounds = tuple(BEARING_OUTSIDE)
    _check_size(size)
    index = bisect_left(bounds, (size - BOUND_TOLERANCE) * 1e3)
    if size <= 0.018 + BOUND_TOLERANCE or index == len(bounds):
        raise RangeError(
            "size", size, "over 0.018 to 0.180 m", "Take the limits from the bearing maker."
        )
    lower = BEARING_OUTSIDE[bounds[index]] * MICROMETRE
    return Limits(size, "bearing outside, Normal class", lower, 0.0)


def _check_size(size: float) -> None:
    """A size is a number over 0 up to 0.5 m."""
    known = isinstance(size, (int, float)) and not isinstance(size, bool)
    if not known or not 0 < size <= LARGEST + BOUND_TOLERANCE:
        raise RangeError(
            "size",
            size,
            "a number over 0 and up to 0.5 m",
            "The tables end at 500 mm; a size typed in mm must be converted first.",
        )


def _range_index(size: float, bounds_mm: tuple[int, ...]) -> int:
    """Index of the range "over a, up to and including b" that holds the size."""
    _check_size(size)
    return min(bisect_left(bounds_mm, (size - BOUND_TOLERANCE) * 1e3), len(bounds_mm) - 1)


def _split(code: str) -> tuple[str, int]:
    """Letter and grade of a code, refused when it isn't one."""
    match = re.fullmatch(r"(js|JS|[c-hjkmnprsC-HJKMNPRS])(\d{1,2})", str(code))
    if match is None or match[1] in ("cd", "CD"):
        raise RangeError(
            "tolerance class",
            code,
            "a letter of c to h, j, js, k, m, n, p, r, s (capital for a hole) with its grade",
            "Write it like H7 or k6; other letters are not tabled here.",
        )
    return match[1], int(match[2])


def _shaft_deviation(size: float, letter: str, grade: int, width: float) -> tuple[str, float]:
    """Side and value (um) of the deviation that the standard gives for a shaft."""
    index = _range_index(size, RANGES_MM)
    if letter == "js":
        return "lower", -width / 2
    if letter == "j":
        return "lower", _by_grade(SHAFT_J, letter, grade)[index]
    if letter == "c":
        return "upper", _c_deviation(size)
    if letter in SHAFT_UPPER:
        return "upper", SHAFT_UPPER[letter][index]
    return "lower", _shaft_lower(size, letter) if letter != "k" or grade <= 7 else 0


def _shaft_lower(size: float, letter: str) -> int:
    """Lower deviation ei (um) of shafts k to s."""
    if letter in SHAFT_LOWER_FINE:
        return SHAFT_LOWER_FINE[letter][_range_index(size, FINE_RANGES_MM)]
    return SHAFT_LOWER[letter][_range_index(size, RANGES_MM)]


def _hole_deviation(size: float, letter: str, grade: int, width: float) -> tuple[str, float]:
    """Side and value (um) of the deviation that the standard gives for a hole."""
    index = _range_index(size, RANGES_MM)
    if letter == "JS":
        return "lower", -width / 2
    if letter == "J":
        return "upper", _by_grade(HOLE_J, letter, grade)[index]
    if letter == "C":
        return "lower", -_c_deviation(size)
    if letter.lower() in SHAFT_UPPER:
        return "lower", -SHAFT_UPPER[letter.lower()][index]
    return "upper", _hole_upper(size, letter, grade, index)


def _hole_upper(size: float, letter: str, grade: int, index: int) -> float:
    """Upper deviation ES (um) of holes K to S: minus the shaft's ei, plus delta where it counts."""
    small = index == 0
    if letter == "K" and grade > 8 and not small:
        raise RangeError(
            "tolerance class",
            f"K{grade}",
            "K5 to K8 over 3 mm",
            "K coarser than IT8 is defined only up to 3 mm.",
        )
    if letter == "M" and grade == 6 and RANGES_MM[index] == 315:
        return -9  # the standard's one exception; the rule would give -11
    if letter == "N" and grade > 8 and not small:
        return 0
    with_delta = grade <= (8 if letter in "KMN" else 7)
    return -_shaft_lower(size, letter.lower()) + (DELTAS[grade][index] if with_delta else 0)


def _by_grade(table: Mapping[int, tuple[int, ...]], letter: str, grade: int) -> tuple[int, ...]:
    """The column of a letter that exists in a few grades only."""
    if grade not in table:
        known = ", ".join(f"{letter}{one}" for one in table)
        raise RangeError(
            "tolerance class", f"{letter}{grade}", known, f"{letter} exists in these grades only."
        )
    return table[grade]


def _c_deviation(size: float) -> int:
    """es of c (um), known over 30 to 40 mm only."""
    if not 0.030 + BOUND_TOLERANCE < size <= 0.040 + BOUND_TOLERANCE:
        raise RangeError(
            "size", size, "over 0.030 to 0.040 m for c or C", "c is tabled in this range only."
        )
    return C_UPPER
