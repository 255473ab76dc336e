"""Lash of a bevel mesh: against axial moves, and as an indicator at a lever shows it.

Axial moves are positive away from the apex. All of this is an estimate beside the sheet's own
sensitivities and windows.
"""

from __future__ import annotations

import math
from contextlib import suppress
from dataclasses import dataclass
from typing import Literal

from casewright.errors import MissingError, RangeError
from casewright.working import Term, Working

FACTOR_RANGE = (0.36, 0.51)  # tan(alpha)/cos(beta) over usual angles: common practice
USUAL_PRESSURE = (math.radians(20.0), math.radians(22.5))
USUAL_SPIRAL = math.radians(35.0)
MODEL_HALF_WIDTH = {"gear": 0.02, "pinion": 0.10}  # closed formula against solved contact

Where = Literal["lever", "mean", "outer", "normal", "normal outer", "angle"]
EVERYWHERE: tuple[Where, ...] = ("lever", "mean", "outer", "normal", "normal outer", "angle")
Face = Literal["square to motion", "square to plunger"]


@dataclass(frozen=True, slots=True)
class LashChange:
    """Change of lash by axial moves: normal and transverse at the mean radius [m], angles [rad]."""

    normal: float
    transverse: float
    angle: float
    working: Working


def lash_of_axial_moves(
    pinion_move: float,
    gear_move: float,
    pinion_pitch_angle: float,
    gear_pitch_angle: float,
    pressure_angle: float,
    spiral_angle: float = 0.0,
    radius: float = math.inf,
) -> LashChange:
    """Change of lash; djt = 2 tan an / cos b (D1 sin d1 + D2 sin d2), djn = djt cos an cos b.

    Args:
        pinion_move: axial move of the pinion away from the apex [m].
        gear_move: axial move of the gear away from the apex [m].
        pinion_pitch_angle: pitch angle of the pinion [rad].
        gear_pitch_angle: pitch angle of the gear [rad].
        pressure_angle: normal pressure angle [rad].
        spiral_angle: mean spiral angle; drops out of the normal lash [rad].
        radius: pitch radius at which the angle is wanted [m].
    Returns:
        LashChange: normal, transverse [m], angle [rad].
    Valid: small moves, contact near the middle of the face; against solved contact within
        2 % for a gear's move and 10 % for a pinion's.
    Raises: nothing.
    Source: KHK axial play jx = jt / (2 tan a sin d); own: both flanks' normals summed

    Example:
        >>> change = lash_of_axial_moves(0, 1e-4, math.pi / 4, math.pi / 4, math.radians(20))
        >>> round(change.transverse * 1e3, 5)
        0.05147
    """
    push = pinion_move * math.sin(pinion_pitch_angle) + gear_move * math.sin(gear_pitch_angle)
    normal = 2 * push * math.sin(pressure_angle)
    transverse = normal / (math.cos(pressure_angle) * math.cos(spiral_angle))
    working = Working(
        method="lash against axial moves",
        formula="2 tan(alpha)/cos(beta) (D1 sin(delta1) + D2 sin(delta2))",
        inputs=(Term("pinion out", pinion_move, "m"), Term("gear out", gear_move, "m")),
        outputs=(Term("transverse lash change", transverse, "m"),),
        source="axial play of bevel gears, gear handbooks",
        notes=("At the mean pitch circle; the member that moves gives the pitch angle.",),
        estimate=True,
    )
    return LashChange(normal, transverse, transverse / radius, working)


def axial_move_for_lash(
    transverse: float, pitch_angle: float, pressure_angle: float, spiral_angle: float = 0.0
) -> float:
    """Axial move of one member for a change of lash; D = djt cos b / (2 tan an sin d).

    Args:
        transverse: wanted change of transverse lash at the mean radius [m].
        pitch_angle: pitch angle of the member that moves [rad].
        pressure_angle: normal pressure angle [rad].
        spiral_angle: mean spiral angle [rad].
    Returns:
        move away from the apex [m].
    Valid: as `lash_of_axial_moves`.
    Raises: nothing.
    Source: KHK axial play jx = jt / (2 tan a sin d)
    """
    factor = 2 * math.tan(pressure_angle) / math.cos(spiral_angle)
    return transverse / (factor * math.sin(pitch_angle))


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """Lash change for one of axial move, with its standard deviation and extremes [-]."""

    value: float
    standard_deviation: float
    low: float
    high: float
    working: Working


def geometric_sensitivity(
    pitch_angle: float,
    member: Literal["pinion", "gear"],
    pressure_angle: float | None = None,
    spiral_angle: float | None = None,
) -> Sensitivity:
    """Transverse lash for one of axial move, with the spread of angles nobody printed.

    The factor tan a / cos b is taken as evenly likely between its bounds; what the closed
    formula misses against solved contact is added. A fallback: the sheet's value or one
    learned from trials comes first.

    Args:
        pitch_angle: pitch angle of the member that moves [rad].
        member: pinion or gear [-].
        pressure_angle: normal pressure angle if known [rad].
        spiral_angle: mean spiral angle if known, 0 for straight teeth [rad].
    Returns:
        Sensitivity: value ± standard deviation, low, high [m/m].
    Valid: usual angles (20 to 22.5 degrees, spiral up to 35); unknown: 0.36 to 0.51.
    Raises: nothing.
    Source: common practice for the range; own: rectangular spread, GUM type B
    """
    low, high = _factor_range(pressure_angle, spiral_angle)
    sine = 2 * math.sin(pitch_angle)
    value = sine * 0.5 * (low + high)
    misfit = MODEL_HALF_WIDTH[member] * value
    spread = math.hypot(0.5 * sine * (high - low), misfit) / math.sqrt(3)
    working = Working(
        method="geometric sensitivity of lash",
        formula="2 sin(delta) tan(alpha)/cos(beta)",
        inputs=(
            Term("pitch angle", pitch_angle, "rad"),
            Term("least tan(alpha)/cos(beta)", low),
            Term("most tan(alpha)/cos(beta)", high),
        ),
        outputs=(Term("lash for one of move", value), Term("standard deviation", spread)),
        source="geometry, as a fallback",
        notes=("The sheet's own sensitivity, or one learned from trials, comes first.",),
        estimate=True,
    )
    return Sensitivity(value, spread, sine * low - misfit, sine * high + misfit, working)


def _factor_range(pressure_angle: float | None, spiral_angle: float | None) -> tuple[float, float]:
    if pressure_angle is None and spiral_angle is None:
        return FACTOR_RANGE
    pressures = USUAL_PRESSURE if pressure_angle is None else (pressure_angle, pressure_angle)
    spirals = (0.0, USUAL_SPIRAL) if spiral_angle is None else (spiral_angle, spiral_angle)
    bounds = [math.tan(a) / math.cos(b) for a, b in zip(pressures, spirals, strict=True)]
    return bounds[0], bounds[1]


def indicator_travel(reading: float, inclination: float = 0.0, face: Face | None = None) -> float:
    """True travel of the mark from an indicator inclined to it.

    Touched face square to the motion (flat on a lever): reading x cos e, the dial over-reads.
    Face square to the plunger, or the tip in a dimple: reading / cos e.

    Args:
        reading: what the indicator shows [m].
        inclination: angle between plunger and motion [rad].
        face: how the touched face stands; needed when inclined [-].
    Returns:
        travel along the motion [m].
    Valid: inclination under 60 degrees.
    Raises: MissingError when inclined without saying how the face stands, RangeError.
    Source: own: plane geometry of a wedge
    """
    if not abs(inclination) < math.radians(60):
        raise RangeError("plunger inclination", inclination, "less than 60 degrees")
    if inclination == 0:
        return reading
    if face is None:
        raise MissingError(
            "touched face", "square to the motion, or square to the plunger (or a dimple)"
        )
    cosine = math.cos(inclination)
    return reading * cosine if face == "square to motion" else reading / cosine


@dataclass(frozen=True, slots=True)
class LashGeometry:
    """Where lash is read: radii [m], angles [rad].

    `mean_radius` belongs to the gear on the lever's shaft; `between` is the lever's angle for
    one of that gear's angle when another ratio lies between; `outer_over_mean` = Re / Rm.
    """

    mean_radius: float
    lever_radius: float | None = None
    outer_over_mean: float | None = None
    pressure_angle: float | None = None
    spiral_angle: float | None = None
    between: float = 1.0


def convert_lash(value: float, given: Where, wanted: Where, geometry: LashGeometry) -> float:
    """One lash in another place: lever mark, mean or outer pitch circle, normal, or angle.

    The arc at the mean radius is the same whichever member is held; the angle isn't.

    Args:
        value: the lash [m], or [rad] for "angle".
        given: where `value` was read or printed [-].
        wanted: where it is wanted [-].
        geometry: radii and angles of the mesh and the lever [m, rad].
    Returns:
        the lash there [m], or [rad] for "angle" (of the gear on the lever's shaft).
    Valid: small angles; shaft twist, spline and bearing play taken off before. "normal outer"
        uses the mean spiral angle.
    Raises: RangeError for negative lash, MissingError for a radius or angle it needs.
    Source: own: arcs on one angle; normal = transverse cos(alpha) cos(beta)

    Example:
        >>> at = LashGeometry(mean_radius=0.040, lever_radius=0.100)
        >>> round(convert_lash(0.60e-3, "lever", "mean", at) * 1e3, 4)
        0.24
    """
    if not value >= 0:
        raise RangeError("lash", value, "zero or more", "Read it again; zero lash is binding.")
    return value * _arm(wanted, geometry) / _arm(given, geometry)


def lash_beside(value: float, given: Where, geometry: LashGeometry) -> dict[Where, float]:
    """The same lash in every measure that the geometry allows, to stand beside the printed one.

    Args:
        value: the lash as read or printed [m], or [rad] for "angle".
        given: where it was read or printed [-].
        geometry: radii and angles, as far as known [m, rad].
    Returns:
        measure to lash [m], "angle" in [rad]; measures that lack a radius or angle are left out.
    Valid: as `convert_lash`.
    Raises: RangeError for negative lash, MissingError if even `given` lacks what it needs.
    Source: own: `convert_lash` for each measure
    """
    beside: dict[Where, float] = {given: convert_lash(value, given, given, geometry)}
    for wanted in EVERYWHERE:
        with suppress(MissingError):
            beside[wanted] = convert_lash(value, given, wanted, geometry)
    return beside


def _arm(where: Where, geometry: LashGeometry) -> float:
    """Length that one radian of the gear sweeps in the measure `where` [m]."""
    if where == "angle":
        return 1.0
    if where == "lever":
        radius = _needed(geometry.lever_radius, "indicator radius", "the lever mark's radius")
        return radius * geometry.between
    arm = geometry.mean_radius
    if not arm > 0:
        raise RangeError("mean radius", arm, "a positive length")
    if where in ("outer", "normal outer"):
        arm *= _needed(geometry.outer_over_mean, "outer over mean", "Re / Rm of the gear")
    if where in ("normal", "normal outer"):
        alpha = _needed(geometry.pressure_angle, "pressure angle", "the normal pressure angle")
        beta = _needed(geometry.spiral_angle, "spiral angle", "0 for straight teeth")
        arm *= math.cos(alpha) * math.cos(beta)
    return arm


def _needed(value: float | None, name: str, expected: str) -> float:
    if value is None:
        raise MissingError(name, expected)
    if value < 0 or (value == 0 and "radius" in name):
        raise RangeError(name, value, "a positive length")
    return value
