"""Size and form of journals, bores and faces: ovality, taper, flatness, tilt."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import asin, atan, atan2, hypot, pi, sqrt
from typing import Any

import numpy as np
import numpy.typing as npt

from casewright.errors import InputError, RangeError
from casewright.mechanics.runout import fit_runout
from casewright.working import Term, Working

FloatArray = npt.NDArray[np.floating[Any]]
NOT_DETERMINABLE = "ovality not determinable"
SAME_DIRECTION = 1e-6


@dataclass(frozen=True, slots=True)
class CylinderForm:
    """Size at mid height [m], taper [m/m], ovality dmax − dmin [m] of a journal or bore.

    A part that the readings can't carry is None, never zero; `notes` says why. Uncertainties are
    standard ones from the residuals, None without degrees of freedom.
    """

    size: float
    mid_height: float
    taper: float | None
    taper_over_length: float | None
    ovality: float | None
    out_of_round: float | None
    major_axis: float | None
    largest: float
    smallest: float
    deviation: float | None
    degrees_of_freedom: int
    size_uncertainty: float | None
    ovality_uncertainty: float | None
    taper_uncertainty: float | None
    notes: tuple[str, ...]
    working: Working


@dataclass(frozen=True, slots=True)
class Flatness:
    """Least-squares plane: flatness peak to valley [m], tilt [rad] and the way it rises [rad]."""

    flatness: float
    tilt: float
    rises_toward: float
    residuals: tuple[float, ...]
    highest: int
    lowest: int


@dataclass(frozen=True, slots=True)
class FlangeTilt:
    """From gaps round a flange: difference across [m], direction of the wide gap [rad], tilt."""

    difference: float
    toward: float
    tilt: float
    warnings: tuple[str, ...]


def _directions_apart(directions: FloatArray) -> int:
    """Directions that differ as diameters: 0 and 180 degrees are one."""
    doubled = np.exp(2j * directions)
    apart: list[complex] = []
    for one in doubled.tolist():
        if all(abs(one - other) > SAME_DIRECTION for other in apart):
            apart.append(one)
    return len(apart)


def _columns(
    heights: FloatArray, directions: FloatArray
) -> tuple[FloatArray, bool, bool, list[str]]:
    """Design matrix with what the readings can carry, and words for what they can't."""
    columns, notes = [np.ones_like(heights)], []
    tapers = bool(np.ptp(heights) > 0)
    if tapers:
        columns.append(heights - heights.mean())
    else:
        notes.append("taper not determinable: one height only")
    oval = [*columns, np.cos(2 * directions), np.sin(2 * directions)]
    full = np.column_stack(oval)
    scale = np.linalg.norm(full, axis=0)
    apart = _directions_apart(directions)
    rank = np.linalg.matrix_rank(full / np.where(scale > 0, scale, 1), tol=1e-6)
    if apart >= 3 and rank == full.shape[1]:
        return full, tapers, True, notes
    notes.append(
        f"{NOT_DETERMINABLE}: {apart} direction(s); three or more, at one height, are needed"
    )
    if apart < 2:
        notes.append("size in one direction only: an oval would not show in it")
    return np.column_stack(columns), tapers, False, notes


def _check_readings(*arrays: FloatArray) -> None:
    if len({array.shape for array in arrays}) != 1 or arrays[0].ndim != 1 or arrays[0].size == 0:
        sizes = tuple(array.size for array in arrays)
        raise InputError("readings", sizes, "a height and a direction for each reading")
    if not all(np.isfinite(array).all() for array in arrays):
        raise InputError("readings", "not a number", "a number for each position")


def fit_cylinder(
    readings: Sequence[float], heights: Sequence[float], directions: Sequence[float]
) -> CylinderForm:
    """Size, taper, ovality of a journal or bore; d = D0 + k (z − zm) + A cos 2t + B sin 2t.

    Args:
        readings: diameters [m], shape (n,).
        heights: place along the axis of each [m], shape (n,).
        directions: direction of each in the plane square to the axis [rad], shape (n,).
    Returns:
        size at mid height [m], taper [m/m], ovality dmax − dmin = 2√(A² + B²) [m], major axis
        from 0 to π [rad], uncertainties.
    Valid: two-point diameters (odd lobes don't show). `ovality` is the difference of diameters,
        `out_of_round` half of it: standards use both.
    Raises: InputError for unequal lengths; RangeError for a diameter of zero or less.
    Source: GUM least squares (own model)
    """
    values, levels, turns = (
        np.asarray(item, dtype=float) for item in (readings, heights, directions)
    )
    _check_readings(values, levels, turns)
    if not (values > 0).all():
        raise RangeError("reading", float(values.min()), "a diameter above zero")
    matrix, tapers, ovals, notes = _columns(levels, turns)
    if values.size < matrix.shape[1]:
        raise RangeError("readings", values.size, f"{matrix.shape[1]} or more")
    solution = np.linalg.lstsq(matrix, values, rcond=None)[0]
    freedom = values.size - matrix.shape[1]
    residual = values - matrix @ solution
    deviation = sqrt(float(residual @ residual) / freedom) if freedom else None
    inverse = np.linalg.inv(matrix.T @ matrix)
    taper = float(solution[1]) if tapers else None
    pair = solution[-2:] if ovals else None
    ovality = None if pair is None else 2 * float(hypot(*pair))
    return CylinderForm(
        size=float(solution[0]),
        mid_height=float(levels.mean()),
        taper=taper,
        taper_over_length=None if taper is None else taper * float(np.ptp(levels)),
        ovality=ovality,
        out_of_round=None if ovality is None else ovality / 2,
        major_axis=None if pair is None else (0.5 * atan2(pair[1], pair[0])) % pi,
        largest=float(values.max()),
        smallest=float(values.min()),
        deviation=deviation,
        degrees_of_freedom=freedom,
        size_uncertainty=_standard(deviation, inverse, 0),
        ovality_uncertainty=_oval_standard(deviation, inverse, pair),
        taper_uncertainty=_standard(deviation, inverse, 1) if tapers else None,
        notes=tuple(notes),
        working=_cylinder_working(values, solution, taper, ovality, tuple(notes)),
    )


def _standard(deviation: float | None, inverse: FloatArray, index: int) -> float | None:
    return None if deviation is None else deviation * sqrt(float(inverse[index, index]))


def _oval_standard(
    deviation: float | None, inverse: FloatArray, pair: FloatArray | None
) -> float | None:
    if deviation is None or pair is None:
        return None
    length = float(np.hypot(*pair))
    unit = pair / length if length > 0 else np.array([sqrt(0.5), sqrt(0.5)])
    return 2 * deviation * sqrt(float(unit @ inverse[-2:, -2:] @ unit))


def _cylinder_working(
    values: FloatArray,
    solution: FloatArray,
    taper: float | None,
    ovality: float | None,
    notes: tuple[str, ...],
) -> Working:
    outputs = [Term("size at mid height", float(solution[0]), "m", "D0")]
    if taper is not None:
        outputs.append(Term("taper", taper, "", "k"))
    if ovality is not None:
        outputs.append(Term("ovality, largest less smallest diameter", ovality, "m"))
    return Working(
        method="size, taper and ovality by least squares",
        formula="d(z, t) = D0 + k·(z − zm) + A·cos 2t + B·sin 2t; ovality = 2·√(A² + B²)",
        inputs=(
            Term("readings", float(values.size)),
            Term("largest reading", float(values.max()), "m"),
            Term("smallest reading", float(values.min()), "m"),
        ),
        outputs=tuple(outputs),
        source="least squares (GUM, JCGM 100)",
        notes=notes,
    )


def fit_plane(x: Sequence[float], y: Sequence[float], z: Sequence[float]) -> Flatness:
    """Flatness of a flange; span of the residuals from the least-squares plane, and its tilt.

    Args:
        x: places [m], shape (n,).
        y: places [m], shape (n,).
        z: heights [m], shape (n,).
    Returns:
        flatness [m], tilt [rad], direction in which it rises [rad], residuals [m].
    Valid: four points or more (three always lie in a plane); the least-squares value is at or above
        the smallest-zone flatness.
    Raises: RangeError below four points or with all points on one line; InputError for lengths.
    Source: ISO12781 flatness, least-squares reference plane
    """
    across, along, height = (np.asarray(item, dtype=float) for item in (x, y, z))
    _check_readings(across, along, height)
    if height.size < 4:
        raise RangeError("points", height.size, "four or more: three always lie in a plane")
    across, along = across - across.mean(), along - along.mean()
    spread = np.linalg.svd(np.column_stack([across, along]), compute_uv=False)
    if spread[1] <= 1e-9 * spread[0]:
        raise RangeError("points", "on one line", "points spread over the face")
    matrix = np.column_stack([np.ones_like(across), across, along])
    solution = np.linalg.lstsq(matrix, height, rcond=None)[0]
    residual = height - matrix @ solution
    return Flatness(
        flatness=float(np.ptp(residual)),
        tilt=atan(float(hypot(solution[1], solution[2]))),
        rises_toward=atan2(solution[2], solution[1]) % (2 * pi),
        residuals=tuple(residual.tolist()),
        highest=int(residual.argmax()),
        lowest=int(residual.argmin()),
    )


def flange_tilt(
    gaps: Sequence[float], diameter: float, angles: Sequence[float] | None = None
) -> FlangeTilt:
    """Tilt of a flange from feeler gaps round it; 2e of the once-per-turn wave over the diameter.

    Args:
        gaps: feeler gaps [m], shape (n,).
        diameter: circle on which they were taken [m].
        angles: their positions [rad], shape (n,); equal steps from zero where not given.
    Returns:
        difference across [m], direction of the wide gap [rad], tilt [rad], warnings.
    Valid: small angles.
    Raises: RangeError for a diameter of zero or less, a negative gap, or too few places.
    Source: own: once-per-turn wave of a tilted plane
    """
    if not diameter > 0:
        raise RangeError("diameter", diameter, "more than zero")
    if len(gaps) and min(gaps) < 0:
        raise RangeError("gap", min(gaps), "zero or more")
    wave = fit_runout(gaps, angles)
    return FlangeTilt(
        wave.total_indicated, wave.high_spot, wave.total_indicated / diameter, wave.warnings
    )


def feeler_angle(gap: float, length: float) -> float:
    """Angle from square under a straight edge or square; atan(gap/length).

    Args:
        gap: feeler gap [m].
        length: from where it touches to the gap [m].
    Returns:
        angle [rad].
    Valid: gap zero or more.
    Raises: RangeError for a length of zero or less or a negative gap.
    Source: own: plane triangle
    """
    if not (length > 0 and gap >= 0):
        raise RangeError("gap and length", (gap, length), "a length above zero, a gap from zero")
    return atan(gap / length)


def sine_bar_angle(height: float, length: float) -> float:
    """Angle of a sine bar; asin(h/L).

    Args:
        height: gauge blocks under one roller [m].
        length: between the rollers' centres [m].
    Returns:
        angle [rad].
    Valid: h below L; beyond 45° it becomes rough.
    Raises: RangeError where the height is not below the length.
    Source: own: plane triangle
    """
    if not 0 <= height < length:
        raise RangeError("height", height, f"from zero to below the bar's length, {length:g} m")
    return asin(height / length)
