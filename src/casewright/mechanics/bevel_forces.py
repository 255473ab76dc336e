"""Tooth forces of bevel gears, and what the two bearings of a shaft carry.

Hand: right-hand teeth have their outer half inclined clockwise seen facing the teeth from the
apex side. Rotation: seen from the heel towards the apex.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from casewright.errors import MissingError, RangeError

Hand = Literal["left", "right", "straight"]
Rotation = Literal["clockwise", "counter-clockwise"]


@dataclass(frozen=True, slots=True)
class ToothForces:
    """Forces on one member at the mean radius [N]; axial + away from the apex, radial + inward."""

    tangential: float
    radial: float
    axial: float

    @property
    def thrust(self) -> str:
        """Which way the member is pushed along its axis."""
        if self.axial == 0:
            return "no thrust"
        return "away from the apex" if self.axial > 0 else "towards the apex"


def torque_from_power(power: float, speed: float) -> float:
    """Torque; T = P / omega.

    Args:
        power: power [W].
        speed: angular speed [rad/s].
    Returns:
        torque [N·m].
    Valid: steady running.
    Raises: RangeError for a speed that isn't positive.
    Source: own: definition of power
    """
    if not speed > 0:
        raise RangeError("speed", speed, "a positive speed")
    return power / speed


def tooth_forces(
    torque: float,
    mean_radius: float,
    pitch_angle: float,
    pressure_angle: float,
    spiral_angle: float = 0.0,
    hand: Hand = "straight",
    rotation: Rotation | None = None,
    driving: bool = True,
) -> ToothForces:
    """Tooth forces; Fa = Ft/cos b (tan an sin d ± sin b cos d), Fr = Ft/cos b (tan an cos d ∓ …).

    The upper sign for a driver that is right-hand and turns counter-clockwise, or left-hand
    and clockwise, seen from the heel towards the apex; the driven member has the other sign.

    Args:
        torque: torque on this member's shaft [N·m].
        mean_radius: mean pitch radius of this member [m].
        pitch_angle: pitch angle of this member [rad].
        pressure_angle: normal pressure angle [rad].
        spiral_angle: mean spiral angle [rad].
        hand: hand of this member's teeth [-].
        rotation: way it turns, seen from the heel towards the apex; spiral teeth need it [-].
        driving: it drives, or is driven [-].
    Returns:
        ToothForces on this member [N].
    Valid: at the mean radius, no friction.
    Raises: RangeError, MissingError for spiral teeth without hand or rotation.
    Source: SHIGLEY ch. 13 bevel force analysis; own: hand and rotation by vectors

    Example:
        >>> tooth_forces(100, 0.05, 0.5, 0.35).thrust
        'away from the apex'
    """
    if not mean_radius > 0:
        raise RangeError("mean radius", mean_radius, "a positive length")
    tangential = torque / mean_radius
    sign = _spiral_sign(spiral_angle, hand, rotation, driving)
    over = tangential / math.cos(spiral_angle)
    slope, lean = math.tan(pressure_angle), sign * math.sin(spiral_angle)
    sine, cosine = math.sin(pitch_angle), math.cos(pitch_angle)
    return ToothForces(
        tangential, over * (slope * cosine - lean * sine), over * (slope * sine + lean * cosine)
    )


def _spiral_sign(
    spiral_angle: float, hand: Hand, rotation: Rotation | None, driving: bool
) -> float:
    if spiral_angle == 0:
        return 0.0
    if hand == "straight":
        raise MissingError("hand of spiral", "left or right for spiral teeth")
    if rotation is None:
        raise MissingError("rotation", "clockwise or counter-clockwise, seen from the heel")
    upper = (hand == "right") == (rotation == "counter-clockwise")
    return 1.0 if upper == driving else -1.0


@dataclass(frozen=True, slots=True)
class MeshLoad:
    """Where a mesh loads its shaft, and how: (x, y, z), the shaft along z [m], [N]."""

    point: tuple[float, float, float]
    force: tuple[float, float, float]


def mesh_load(
    forces: ToothForces,
    mean_radius: float,
    pitch_angle: float,
    apex: float,
    heel: Literal[1, -1],
    mesh_angle: float,
    rotation: Rotation,
    driving: bool,
) -> MeshLoad:
    """Tooth forces as a force at a point of a shaft along z, for `shaft_reactions`.

    Args:
        forces: tooth forces on this member [N].
        mean_radius: mean pitch radius [m].
        pitch_angle: pitch angle [rad].
        apex: place of the apex along z [m].
        heel: +1 if the body lies towards +z from the apex, else -1 [-].
        mesh_angle: where the mesh is around the shaft, from x towards y [rad].
        rotation: way the member turns, seen from its heel towards the apex [-].
        driving: it drives, or is driven [-].
    Returns:
        MeshLoad: point [m] and force [N].
    Valid: force at the mean point of the pitch element.
    Raises: RangeError for a mean radius that isn't positive.
    Source: own: the three forces along axis, radius and motion
    """
    if not mean_radius > 0:
        raise RangeError("mean radius", mean_radius, "a positive length")
    out = np.array([math.cos(mesh_angle), math.sin(mesh_angle), 0.0])
    axis = np.array([0.0, 0.0, float(heel)])
    motion = np.cross(axis, out) * (1.0 if rotation == "counter-clockwise" else -1.0)
    push = forces.tangential * (-1.0 if driving else 1.0)
    force = forces.axial * axis - forces.radial * out + push * motion
    point = mean_radius * out + (apex + heel * mean_radius / math.tan(pitch_angle)) * np.array(
        [0.0, 0.0, 1.0]
    )
    return MeshLoad(_triple(point), _triple(force))


@dataclass(frozen=True, slots=True)
class ShaftReactions:
    """Forces of the two bearings on the shaft [N] as (x, y, z), and the torque taken off [N·m]."""

    first: tuple[float, float, float]
    second: tuple[float, float, float]
    torque: float
    first_radial: float
    second_radial: float
    thrust: float


def shaft_reactions(
    points: Sequence[Sequence[float]],
    forces: Sequence[Sequence[float]],
    first: Sequence[float],
    second: Sequence[float],
    thrust_on_first: bool = True,
) -> ShaftReactions:
    """Bearing reactions of a shaft on two supports: forces and moments sum to zero.

    Args:
        points: where the forces act, shape (n, 3) [m].
        forces: the forces, shape (n, 3) [N].
        first: place of the first bearing's load centre [m].
        second: place of the second bearing's load centre [m].
        thrust_on_first: the first bearing takes the thrust, else the second [-].
    Returns:
        ShaftReactions: forces on the shaft [N]; torque about the axis that balances [N·m];
        `thrust` is what the loads push along the axis, + from first to second [N].
    Valid: stiff shaft, bearings that carry no moment.
    Raises: RangeError if the bearings sit at one place.
    Source: own: statics
    """
    place, load = np.asarray(points, dtype=float), np.asarray(forces, dtype=float)
    start = np.asarray(first, dtype=float)
    span = np.asarray(second, dtype=float) - start
    length = float(np.linalg.norm(span))
    if length == 0:
        raise RangeError("bearing places", list(first), "two bearings apart from each other")
    axis = span / length
    moment = np.cross(place - start, load).sum(0)
    total = load.sum(0)
    thrust = float(total @ axis)
    second_force = np.cross(axis, moment) / length
    second_radial = float(np.linalg.norm(second_force))
    if not thrust_on_first:
        second_force = second_force - thrust * axis
    first_force = -total - second_force
    first_radial = float(np.linalg.norm(first_force - (first_force @ axis) * axis))
    return ShaftReactions(
        _triple(first_force),
        _triple(second_force),
        float(-moment @ axis),
        first_radial,
        second_radial,
        thrust,
    )


def _triple(
    vector: np.ndarray[tuple[int, ...], np.dtype[np.float64]],
) -> tuple[float, float, float]:
    return float(vector[0]), float(vector[1]), float(vector[2])
