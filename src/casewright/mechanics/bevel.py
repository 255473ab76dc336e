"""Pitch cones of bevel gears for any shaft angle, and the spur gears they resemble.

Blanks are in `bevel_blank`, lash against axial moves in `bevel_lash`, forces in `bevel_forces`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from casewright.errors import RangeError


@dataclass(frozen=True, slots=True)
class PitchGeometry:
    """Pitch cones of a pair: lengths [m], angles [rad]; outer = heel, mean = middle of the face."""

    pinion_pitch_angle: float
    gear_pitch_angle: float
    outer_cone_distance: float
    mean_cone_distance: float
    pinion_outer_diameter: float
    gear_outer_diameter: float
    pinion_mean_diameter: float
    gear_mean_diameter: float
    mean_normal_module: float
    outer_transverse_module: float
    pinion_equivalent_teeth: float
    gear_equivalent_teeth: float

    @property
    def outer_over_mean(self) -> float:
        """Factor by which an arc at the heel is longer than at the mean radius."""
        return self.outer_cone_distance / self.mean_cone_distance


def pitch_angles(pinion_teeth: float, gear_teeth: float, shaft_angle: float) -> tuple[float, float]:
    """Pitch angles; d1 = atan(sin S / (z2/z1 + cos S)), d2 = S - d1.

    Args:
        pinion_teeth: number of pinion teeth [-].
        gear_teeth: number of gear teeth [-].
        shaft_angle: angle between the axes, both away from the apex [rad].
    Returns:
        pinion and gear pitch angle [rad].
    Valid: external bevel gears up to the crown gear (pitch angle 90 degrees).
    Raises: RangeError for tooth numbers or angles outside that.
    Source: ISO-23509 pitch angles; any shaft angle

    Example:
        >>> [round(math.degrees(a), 4) for a in pitch_angles(20, 40, math.radians(60))]
        [19.1066, 40.8934]
    """
    for name, teeth in (("pinion teeth", pinion_teeth), ("gear teeth", gear_teeth)):
        if not teeth >= 3:
            raise RangeError(name, teeth, "at least 3 teeth")
    if not 0 < shaft_angle < math.pi:
        raise RangeError("shaft angle", shaft_angle, "between 0 and 180 degrees")
    pinion = math.atan2(math.sin(shaft_angle), gear_teeth / pinion_teeth + math.cos(shaft_angle))
    gear = shaft_angle - pinion
    if max(pinion, gear) > 0.5 * math.pi + 1e-9:
        raise RangeError(
            "shaft angle", shaft_angle, "a pair whose pitch angles stay within 90 degrees"
        )
    return pinion, gear


def equivalent_teeth(teeth: float, pitch_angle: float, spiral_angle: float = 0.0) -> float:
    """Teeth of the spur gear that resembles a bevel gear; z / (cos d cos^3 b).

    Args:
        teeth: number of teeth [-].
        pitch_angle: pitch angle [rad].
        spiral_angle: mean spiral angle; 0 for straight teeth [rad].
    Returns:
        equivalent number of teeth, infinite for a crown gear [-].
    Valid: Tredgold's approximation.
    Raises: nothing.
    Source: KHK equivalent spur gear (Tredgold)
    """
    cosine = math.cos(pitch_angle)
    if cosine < 1e-9:
        return math.inf
    return teeth / (cosine * math.cos(spiral_angle) ** 3)


def pitch_geometry(
    pinion_teeth: float,
    gear_teeth: float,
    shaft_angle: float,
    gear_outer_diameter: float,
    face_width: float,
    spiral_angle: float = 0.0,
) -> PitchGeometry:
    """Pitch cones from the gear's outer pitch diameter; Re = de2 / (2 sin d2), Rm = Re - b/2.

    Args:
        pinion_teeth: number of pinion teeth [-].
        gear_teeth: number of gear teeth [-].
        shaft_angle: shaft angle [rad].
        gear_outer_diameter: outer pitch diameter of the gear [m].
        face_width: face width [m].
        spiral_angle: mean spiral angle [rad].
    Returns:
        PitchGeometry: lengths [m], angles [rad].
    Valid: face width factor 0.5 (mean point in the middle of the face).
    Raises: RangeError for sizes that make no gear.
    Source: ISO-23509 method 0
    """
    d1, d2 = pitch_angles(pinion_teeth, gear_teeth, shaft_angle)
    if not gear_outer_diameter > 0:
        raise RangeError("gear outer diameter", gear_outer_diameter, "a positive length")
    outer = gear_outer_diameter / (2 * math.sin(d2))
    if not 0 < face_width < outer:
        raise RangeError("face width", face_width, f"between 0 and the cone distance {outer:.4g} m")
    mean = outer - 0.5 * face_width
    gear_mean = 2 * mean * math.sin(d2)
    return PitchGeometry(
        pinion_pitch_angle=d1,
        gear_pitch_angle=d2,
        outer_cone_distance=outer,
        mean_cone_distance=mean,
        pinion_outer_diameter=2 * outer * math.sin(d1),
        gear_outer_diameter=gear_outer_diameter,
        pinion_mean_diameter=2 * mean * math.sin(d1),
        gear_mean_diameter=gear_mean,
        mean_normal_module=gear_mean * math.cos(spiral_angle) / gear_teeth,
        outer_transverse_module=gear_outer_diameter / gear_teeth,
        pinion_equivalent_teeth=equivalent_teeth(pinion_teeth, d1, spiral_angle),
        gear_equivalent_teeth=equivalent_teeth(gear_teeth, d2, spiral_angle),
    )


@dataclass(frozen=True, slots=True)
class InvoluteCones:
    """Base cones and working angles of a spherical involute pair [rad]."""

    pinion_base_angle: float
    gear_base_angle: float
    pinion_working_angle: float
    gear_working_angle: float
    working_pressure_angle: float
    sine_ratio: float


def involute_cones(
    pinion_teeth: float,
    gear_teeth: float,
    shaft_angle: float,
    pressure_angle: float,
    shaft_angle_error: float = 0.0,
) -> InvoluteCones:
    """Base cones sin db = sin d cos a; with a shaft-angle error only the working angles change.

    Args:
        pinion_teeth: number of pinion teeth [-].
        gear_teeth: number of gear teeth [-].
        shaft_angle: nominal shaft angle [rad].
        pressure_angle: nominal pressure angle [rad].
        shaft_angle_error: how much more the axes are apart, apexes together [rad].
    Returns:
        InvoluteCones: angles [rad], ratio of base cone sines [-].
    Valid: spherical involute flanks; not octoid ones.
    Raises: RangeError if the cones no longer reach each other.
    Source: own: bevel analogue of the involute's insensitivity to centre distance
    """
    bases = [
        math.asin(math.sin(d) * math.cos(pressure_angle))
        for d in pitch_angles(pinion_teeth, gear_teeth, shaft_angle)
    ]
    working = pitch_angles(pinion_teeth, gear_teeth, shaft_angle + shaft_angle_error)
    cosine = math.sin(bases[0]) / math.sin(working[0])
    if cosine >= 1:
        raise RangeError("shaft angle error", shaft_angle_error, "base cones that still mesh")
    ratio = math.sin(bases[1]) / math.sin(bases[0])
    return InvoluteCones(bases[0], bases[1], working[0], working[1], math.acos(cosine), ratio)
