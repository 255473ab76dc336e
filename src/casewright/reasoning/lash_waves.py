"""Lash round the turn and at a lever: mean, waves of gear and pinion, extremes, and lengths.

    lash(x) = mean + a cos x + b sin x + c cos(i·x) + d sin(i·x),  x the gear's angle, i = z₂/z₁

Five unknowns: four positions give a mean only, six or more the waves and the extremes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, cos, gcd, hypot, pi, sqrt

import numpy as np
from numpy.typing import ArrayLike, NDArray

from casewright.errors import InputError, MissingError, RangeError
from casewright.working import Term, Working

Array = NDArray[np.float64]

FEWEST_FOR_WAVES = 6
_WORST_CONDITION = 20.0


@dataclass(frozen=True, slots=True)
class LashWaves:
    """Lash round the turn [m]: mean, half swings, extremes, each with a standard deviation.

    With fewer than six positions only the mean is told and the rest is None.
    `scatter` is what the readings differ from the fit by (None without spare readings).
    """

    mean: float
    mean_deviation: float
    gear_swing: float | None
    pinion_swing: float | None
    swing: float | None
    swing_deviation: float | None
    low: float | None
    high: float | None
    gear_high_at: float | None
    scatter: float | None


@dataclass(frozen=True, slots=True)
class LeverLash:
    """Lash read at a lever, brought to the mesh: arc [m], angle of its shaft [rad], factor."""

    at_mesh: float
    angle: float
    factor: float
    working: Working


def fit_waves(
    gear_angles: ArrayLike,
    readings: ArrayLike,
    gear_teeth: int,
    pinion_teeth: int,
    deviation: float,
) -> LashWaves:
    """Mean and once-per-turn waves of lash by least squares.

    Args:
        gear_angles: angle of the gear at each position, over several turns if need be [rad], [n].
        readings: lash at each [m], [n].
        gear_teeth: teeth of the gear [-].
        pinion_teeth: teeth of the pinion [-].
        deviation: standard deviation of one reading [m].
    Returns:
        the waves [m]; only the mean with four or five positions.
    Valid: run-out small against the lash; positions that tell the two waves apart.
    Raises: MissingError under four positions; RangeError for a lash below zero; InputError
        when the positions cannot tell the waves apart.
    Source: own: least squares on five unknowns (checked against a general solver).
    """
    angles, values = np.asarray(gear_angles, float), np.asarray(readings, float)
    _check_waves(angles, values, gear_teeth, pinion_teeth, deviation)
    if len(values) < FEWEST_FOR_WAVES:
        doubt = max(deviation, float(values.std(ddof=1))) / sqrt(len(values))
        nothing = (None,) * 8
        return LashWaves(float(values.mean()), doubt, *nothing)
    table = _wave_table(angles, gear_teeth / pinion_teeth)
    found, *_ = np.linalg.lstsq(table, values, rcond=None)
    spread: Array = np.asarray(deviation**2 * np.linalg.inv(table.T @ table), np.float64)
    spare = len(values) - 5
    rest = float(np.sum((values - table @ found) ** 2))
    return _waves(np.asarray(found, np.float64), spread, sqrt(rest / spare) if spare else None)


def _check_waves(
    angles: Array, values: Array, gear_teeth: int, pinion_teeth: int, deviation: float
) -> None:
    """Refuse too few positions, lash below zero, senseless teeth or deviation."""
    if len(angles) != len(values):
        raise InputError("positions", len(angles), f"{len(values)}, one for each reading")
    if len(values) < 4:
        remedy = "Turn the gear a quarter each time."
        raise MissingError("lash readings", f"four positions or more, got {len(values)}", remedy)
    if (values < 0).any():
        raise RangeError("lash", float(values.min()), "0 or more", "Read it again.")
    if gear_teeth < 1 or pinion_teeth < 1:
        raise RangeError("teeth", min(gear_teeth, pinion_teeth), "1 or more")
    if deviation <= 0:
        raise RangeError("deviation of a reading", deviation, "more than 0")


def _wave_table(angles: Array, ratio: float) -> Array:
    """Columns 1, cos x, sin x, cos ix, sin ix; refused when they look alike."""
    if abs(ratio - 1) < 1e-9:
        raise InputError("tooth numbers", "equal", "different ones", "The two waves are one.")
    pinion = ratio * angles
    columns = [np.ones_like(angles), np.cos(angles), np.sin(angles), np.cos(pinion), np.sin(pinion)]
    table = np.column_stack(columns)
    if np.linalg.cond(table) > _WORST_CONDITION:
        raise InputError(
            "positions",
            len(angles),
            "positions that tell gear and pinion apart",
            "Space them unevenly, or go on into a second turn.",
        )
    return table


def _waves(found: Array, spread: Array, scatter: float | None) -> LashWaves:
    """Swings and extremes from the five numbers; noise makes a swing look larger, so it is
    taken off."""
    gear, gear_doubt = _swing(found[1:3], spread[1:3, 1:3])
    pinion, pinion_doubt = _swing(found[3:5], spread[3:5, 3:5])
    mean, swing = float(found[0]), gear + pinion
    return LashWaves(
        mean,
        sqrt(float(spread[0, 0])),
        gear,
        pinion,
        swing,
        hypot(gear_doubt, pinion_doubt),
        mean - swing,
        mean + swing,
        atan2(found[2], found[1]) % (2 * pi),
        scatter,
    )


def _swing(pair: Array, spread: Array) -> tuple[float, float]:
    """Amplitude with its noise taken off, and its standard deviation."""
    noise = float(np.trace(spread))
    return sqrt(max(float(pair @ pair) - noise, 0.0)), sqrt(noise / 2)


def wave_positions(gear_teeth: int, pinion_teeth: int, count: int = 6) -> tuple[float, ...]:
    """Gear angles at which to read so that both waves can be told: even over whole turns.

    Args:
        gear_teeth: teeth of the gear [-].
        pinion_teeth: teeth of the pinion [-].
        count: how many positions [-].
    Returns:
        gear angles [rad], the first zero, over the fewest turns that tell the waves best.
    Valid: six positions or more.
    Raises: RangeError under six positions; InputError for equal tooth numbers.
    Source: own: least condition number over one to five turns.
    """
    if count < FEWEST_FOR_WAVES:
        raise RangeError("positions", count, f"{FEWEST_FOR_WAVES} or more")
    if gear_teeth == pinion_teeth:
        raise InputError("tooth numbers", "equal", "different ones", "The two waves are one.")
    best: tuple[float, Array] | None = None
    for turns in (1, 2, 3, 4, 5):
        angles = np.arange(count) * 2 * pi * turns / count
        pinion = angles * gear_teeth / pinion_teeth
        table = np.column_stack(
            [np.ones(count), np.cos(angles), np.sin(angles), np.cos(pinion), np.sin(pinion)]
        )
        bad = float(np.linalg.cond(table))
        if best is None or bad < 0.8 * best[0]:
            best = (bad, angles)
    assert best is not None
    if best[0] > _WORST_CONDITION:
        return wave_positions(gear_teeth, pinion_teeth, count + 1)
    return tuple(float(angle) for angle in best[1])


def common_factor(gear_teeth: int, pinion_teeth: int) -> int:
    """Greatest common factor of the tooth numbers: above 1, marks must meet as before.

    Args:
        gear_teeth: teeth of the gear [-].
        pinion_teeth: teeth of the pinion [-].
    Returns:
        the factor [-]; with 1 every tooth meets every other.
    Valid: whole numbers.
    Raises: RangeError for tooth numbers under 1.
    Source: own: Euclid's algorithm.
    Example:
        >>> common_factor(26, 13), common_factor(27, 13)
        (13, 1)
    """
    if gear_teeth < 1 or pinion_teeth < 1:
        raise RangeError("teeth", min(gear_teeth, pinion_teeth), "1 or more")
    return gcd(gear_teeth, pinion_teeth)


def lash_from_lever(
    reading: float,
    lever: float,
    mesh_radius: float,
    ratio: float = 1.0,
    tilt: float = 0.0,
    face: str = "square to the motion",
    other_play: float = 0.0,
) -> LeverLash:
    """Lash at the mesh from a dial on a lever: j = (s·c/L · i − play)·r.

    `ratio` is turns of the mesh's shaft for one turn of the lever's shaft (1 when the lever
    sits on it). `tilt` is the plunger's angle to the motion: with the touched face square to
    the motion the dial over-reads (c = cos), with the face square to the plunger it
    under-reads (c = 1/cos).

    Args:
        reading: dial reading [m].
        lever: radius of the mark on the lever [m].
        mesh_radius: pitch radius of the member on the mesh's shaft, at the place meant [m].
        ratio: turns of the mesh's shaft per turn of the lever's [-].
        tilt: angle between plunger and motion [rad].
        face: "square to the motion" or "square to the plunger" [-].
        other_play: dog clearance and spline play in gear, as angle of the mesh's shaft [rad].
    Returns:
        arc at the mesh [m], angle of the mesh's shaft [rad], factor reading to arc [-].
    Valid: small angles; the other member held. In gear the other play must be known.
    Raises: MissingError for a lever radius of zero; RangeError for a lash below zero.
    Source: own: arc = angle · radius; the same arc from either shaft.
    Example:
        >>> round(lash_from_lever(0.60e-3, 0.100, 0.040).at_mesh * 1e3, 6)
        0.24
    """
    if lever <= 0 or mesh_radius <= 0:
        raise MissingError("lever and mesh radius", "both above 0", "Measure to the lever's mark.")
    if reading < 0:
        raise RangeError("lash", reading, "0 or more", "Read it again.")
    factor = _tilt_factor(tilt, face) / lever * ratio * mesh_radius
    at_mesh = reading * factor - other_play * mesh_radius
    if at_mesh < 0:
        raise RangeError("lash", at_mesh, "more than the dog and spline play", "Read in neutral.")
    working = Working(
        "lash from a dial on a lever",
        "j = (s · c / L · i − play) · r",
        (
            Term("reading", reading, "m", "s"),
            Term("radius of the mark", lever, "m", "L"),
            Term("radius at the mesh", mesh_radius, "m", "r"),
            Term("ratio", ratio, "", "i"),
        ),
        (Term("lash at the mesh", at_mesh, "m", "j"),),
        "own: arc = angle · radius",
    )
    return LeverLash(at_mesh, at_mesh / mesh_radius, factor, working)


def _tilt_factor(tilt: float, face: str) -> float:
    """True motion over dial reading."""
    if face == "square to the motion":
        return cos(tilt)
    if face == "square to the plunger":
        return 1 / cos(tilt)
    expected = "'square to the motion' or 'square to the plunger'"
    raise InputError("face", face, expected)


def lever_window(
    low: float, high: float, lever: float, mesh_radius: float, ratio: float = 1.0
) -> tuple[float, float]:
    """A window printed at the lever's mark, beside it as arc at the mesh.

    Args:
        low: lower limit at the mark [m].
        high: upper limit at the mark [m].
        lever: radius of the mark [m].
        mesh_radius: pitch radius at the mesh [m].
        ratio: turns of the mesh's shaft per turn of the lever's [-].
    Returns:
        low and high at the mesh [m]; the printed window stays as it is.
    Valid: as `lash_from_lever`, square plunger.
    Raises: MissingError for a radius of zero.
    Source: own: arc = angle · radius.
    """
    both = [lash_from_lever(value, lever, mesh_radius, ratio).at_mesh for value in (low, high)]
    return both[0], both[1]


def extremes_in_window(waves: Sequence[LashWaves], low: float, high: float) -> bool:
    """Whether all extremes that were measured lie inside a window for every reading.

    Args:
        waves: one for each mesh read [m].
        low: lower limit [m].
        high: upper limit [m].
    Returns:
        True when all do [-].
    Valid: six positions or more for each.
    Raises: MissingError when only a mean is known.
    Source: own: comparison.
    """
    for one in waves:
        if one.low is None or one.high is None:
            expected = f"{FEWEST_FOR_WAVES} positions: fewer give a mean only"
            raise MissingError("lash readings", expected)
    return all(low <= (one.low or 0.0) and (one.high or 0.0) <= high for one in waves)
