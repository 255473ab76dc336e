"""The gap between pinion and gear flank over the whole tooth, as a turn of the gear.

A point of the pinion flank, seen from the gear at some roll, has a cone distance, an angle
from the gear's axis and an angle about it. The gear flank, as a smooth function of the first
two, gives the angle about the axis at which it would touch that point: the difference is the
gap, exact for any misplacement. The function is a Chebyshev interpolant, so that one roll
position of a whole tooth is a few array operations.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.polynomial import chebyshev

from casewright.errors import UnconvergedError
from casewright.mechanics.contact_flank import (
    Array,
    ToothedPair,
    active_root_angle,
    axis_of,
    body_points,
    locate,
    meeting,
    rotation,
    tip_angle,
)

GEAR, PINION = 1, -1
FIT_LIMIT = 2e-7  # rad: 0.02 µm at 100 mm, far under the marking film


@dataclass(frozen=True, slots=True)
class Misplacement:
    """How a pair stands off its drawing: axial moves away from the apex, offset [m], angle [rad].

    Offset: the pinion axis shifted the way the pinion pushes on side +1. Shaft angle: how
    much more than nominal.
    """

    pinion_axial: float = 0.0
    gear_axial: float = 0.0
    offset: float = 0.0
    shaft_angle: float = 0.0


@dataclass(frozen=True, slots=True)
class GearFlank:
    """Angle about the gear axis over cone distance and angle from the axis, interpolated.

    `powers[j, i]` belongs to y^j x^i with x the scaled cone distance and y the scaled sine of
    the involute roll arc over a base cone (smooth where the angle itself isn't).
    """

    powers: Array
    radius_middle: float
    radius_half: float
    base_cosine: float
    roll_middle: float
    roll_half: float

    def angle(self, radius: Array, cosine: Array) -> Array:
        """Angle about the axis [rad] from cone distance [m] and cosine of the cone angle."""
        y = np.asarray(cosine / self.base_cosine)
        y = np.sqrt(np.maximum(1.0 - y * y, 0.0))
        y -= self.roll_middle
        y /= self.roll_half
        rows = self._rows(radius)
        value = rows[-1] * y
        for row in rows[-2:0:-1]:
            value += row
            value *= y
        return np.asarray(value + rows[0])

    def _rows(self, radius: Array) -> Array:
        """Coefficients of each power of y at these cone distances."""
        count = self.powers.shape[1]
        if count == 1:
            return self.powers[:, 0]
        x = (radius.ravel() - self.radius_middle) / self.radius_half
        return np.asarray((self.powers @ _powers(x, count)).reshape(-1, *radius.shape))


def _powers(x: Array, count: int) -> Array:
    powers = np.empty((count, x.size))
    powers[0] = 1.0
    for i in range(1, count):
        np.multiply(powers[i - 1], x, out=powers[i])
    return powers


def gear_flank(pair: ToothedPair, side: int, degrees: tuple[int, int] = (7, 9)) -> GearFlank:
    """Interpolate the gear flank's angle about its axis on Chebyshev nodes.

    Args:
        pair: the pair [-].
        side: +1 or -1 [-].
        degrees: polynomial degrees along the tooth (spiral only) and up the profile [-].
    Returns:
        the interpolant (GearFlank) [-].
    Valid: over the active flank with 3 % margin.
    Raises: UnconvergedError if the interpolant misses the flank by more than 0.2 µrad, or the
        flank is undercut where the mate works.
    Source: own: tensor Chebyshev interpolation, checked between its nodes
    """
    low, high = _profile_range(pair, side)
    margin = 0.03 * (high - low)
    base = math.asin(
        math.sin(pair.angles[1])
        * math.cos(math.atan(math.tan(pair.pressure_angle) / math.cos(pair.spiral_angle)))
    )
    base_cosine = math.cos(min(base, low - 2 * margin))
    rolls = [math.sqrt(1 - (math.cos(a) / base_cosine) ** 2) for a in (low - margin, high + margin)]
    blank = GearFlank(
        np.zeros((1, 1)),
        pair.mean_cone_distance,
        0.53 * pair.face_width,
        base_cosine,
        0.5 * (rolls[0] + rolls[1]),
        0.5 * (rolls[1] - rolls[0]),
    )
    along = degrees[0] if pair.form == "circular" else 0
    sampled = _sample(pair, side, blank, along, degrees[1])
    fitted = replace(blank, powers=_to_powers(sampled, along, degrees[1]))
    _check_fit(pair, side, fitted)
    return fitted


def _profile_range(pair: ToothedPair, side: int) -> tuple[float, float]:
    radius = pair.inner_cone_distance + pair.face_width * np.linspace(0.0, 1.0, 5)
    roots = active_root_angle(pair, side, GEAR, radius)
    return float(roots.min()), float(tip_angle(pair, GEAR, radius).max())


def _flank_angle(pair: ToothedPair, side: int, flank: GearFlank, x: Array, y: Array) -> Array:
    """True angle about the axis at scaled coordinates x, y (solved, not interpolated)."""
    radius = flank.radius_middle + flank.radius_half * x
    roll = flank.roll_middle + flank.roll_half * y
    cone = np.arccos(flank.base_cosine * np.sqrt(1 - roll**2))
    lengthwise, height = locate(pair, side, GEAR, radius, cone)
    body = body_points(pair, GEAR, meeting(pair, side, lengthwise, height))
    turned = body @ _gear_basis(pair).T
    return np.asarray(np.arctan2(turned[..., 1], turned[..., 0]))


def _sample(pair: ToothedPair, side: int, flank: GearFlank, along: int, up: int) -> Array:
    nodes_x = chebyshev.chebpts1(along + 1) if along else np.zeros(1)
    y, x = np.meshgrid(chebyshev.chebpts1(up + 1), nodes_x, indexing="ij")
    return _flank_angle(pair, side, flank, x, y)


def _to_powers(sampled: Array, along: int, up: int) -> Array:
    """Values at Chebyshev nodes (up + 1, along + 1) to coefficients of plain powers."""

    def transform(degree: int) -> Array:
        if degree == 0:
            return np.ones((1, 1))
        nodes = np.linalg.inv(chebyshev.chebvander(chebyshev.chebpts1(degree + 1), degree))
        plain = np.zeros((degree + 1, degree + 1))
        for j in range(degree + 1):
            plain[: j + 1, j] = chebyshev.cheb2poly(np.eye(degree + 1)[j])[: j + 1]
        return np.asarray(plain @ nodes)

    return np.asarray(transform(up) @ sampled @ transform(along).T)


def _check_fit(pair: ToothedPair, side: int, flank: GearFlank) -> None:
    y, x = np.meshgrid(np.linspace(-0.95, 0.95, 5), np.array([-0.9, 0.1, 0.9]), indexing="ij")
    radius = flank.radius_middle + flank.radius_half * x
    cosine = flank.base_cosine * np.sqrt(1 - (flank.roll_middle + flank.roll_half * y) ** 2)
    miss = np.abs(_flank_angle(pair, side, flank, x, y) - flank.angle(radius, cosine)).max()
    if miss > FIT_LIMIT:
        raise UnconvergedError("interpolation of the gear flank", miss=float(miss))


def _gear_basis(pair: ToothedPair) -> Array:
    """Rows: towards the mesh, the way the teeth move, the axis."""
    axis = axis_of(pair, GEAR)
    across = np.array([0.0, 1.0, 0.0])
    return np.array([np.cross(across, axis), across, axis])


@dataclass(frozen=True, slots=True)
class View:
    """Pinion seen from the gear at each roll: `turn` (k,3,3) and `shift` (k,3) [m]."""

    turn: Array
    shift: Array


def view(pair: ToothedPair, off: Misplacement, roll: Array) -> View:
    """The map from the pinion's frame into the gear's at its nominal turn, for each roll.

    Args:
        pair: the pair [-].
        off: how the pair stands off its drawing [m, rad].
        roll: crown-gear roll angles, shape (k,) [rad].
    Returns:
        View: rotations (k,3,3) [-] and shifts (k,3) [m].
    Valid: any misplacement.
    Raises: nothing.
    Source: own: rigid motions in the frame of contact_flank
    """
    pinion, gear = pair.angles
    across, axis = np.array([0.0, 1.0, 0.0]), axis_of(pair, PINION)
    tilt = rotation(across, np.array([off.shaft_angle]))[0]
    spin = rotation(axis, -roll / math.sin(pinion))
    back = rotation(np.array([0.0, 0.0, 1.0]), -roll / math.sin(gear))
    to_gear = back @ _gear_basis(pair)
    moved = tilt @ axis * off.pinion_axial + across * off.offset
    moved = moved - axis_of(pair, GEAR) * off.gear_axial
    return View(to_gear @ tilt @ spin, to_gear @ moved)


@dataclass(frozen=True, slots=True)
class Reach:
    """How far pinion points push the gear [rad], and where on the gear (NaN-free, masked)."""

    push: Array
    radius: Array
    cosine: Array


def reach(side: int, flank: GearFlank, seen: Array) -> Reach:
    """Turn of the gear that would just clear each pinion point, from the nominal turn.

    Args:
        side: +1 or -1 [-].
        flank: the gear flank [-].
        seen: pinion points in the gear's frame, shape (3, ...) [m].
    Returns:
        Reach: push [rad], cone distance [m] and cosine of the cone angle [-] on the gear.
    Valid: where the point lies on the interpolated flank; mask the rest.
    Raises: nothing.
    Source: own: the difference of the angles about the gear's axis
    """
    x, y, z = seen
    flat = x * x
    flat += y * y
    radius = np.sqrt(flat + z * z)
    cosine = z / radius
    push = np.arctan2(y, x)
    push -= flank.angle(radius, cosine)
    return Reach(side * push, radius, cosine)


@dataclass(frozen=True, slots=True)
class PinionGrid:
    """Points of the active pinion flank: (lengthwise, profile) grid, toe to heel, root to tip."""

    share_along: Array
    share_up: Array
    lengthwise: Array
    height: Array
    radius: Array
    roll: Array
    body: Array
    arm: Array


def relief(pair: ToothedPair, radius: Array, height: Array) -> Array:
    """Depth eased off the pinion flank: parabolas along the face and up the profile.

    Args:
        pair: the pair; its crownings are the relief at the ends and at tip and root [m].
        radius: cone distance [m].
        height: height over the pitch plane [m].
    Returns:
        depth along the normal [m].
    Valid: crowning of micrometres; all of the pair's mismatch is put on the pinion.
    Raises: nothing.
    Source: own: parabolic crowning centred on the active flank
    """
    along = (radius - pair.mean_cone_distance) / (0.5 * pair.face_width)
    middle = 0.5 * (pair.pinion_addendum - pair.gear_addendum)
    up = (height - middle) / (0.5 * pair.depth)
    return pair.lengthwise_crowning * along**2 + pair.profile_crowning * up**2


def pinion_grid(pair: ToothedPair, side: int, count: tuple[int, int]) -> PinionGrid:
    """The active pinion flank on a grid of `count` points along and up.

    Args:
        pair: the pair [-].
        side: +1 or -1 [-].
        count: points along the face and up the profile [-].
    Returns:
        PinionGrid: arrays of shape `count`; lengths [m], roll [rad], `arm` [m] is the normal
        gap for one radian of the gear.
    Valid: no undercut.
    Raises: UnconvergedError where the tooth can't be laid out.
    Source: own: from the active root (where the mate's tip works) to the tip
    """
    along, up = np.linspace(0, 1, count[0]), np.linspace(0, 1, count[1])
    radius = pair.inner_cone_distance + pair.face_width * along
    root = active_root_angle(pair, side, PINION, radius)
    tip = tip_angle(pair, PINION, radius)
    cone = root[:, None] + (tip - root)[:, None] * up
    radius = np.broadcast_to(radius[:, None], cone.shape).copy()
    lengthwise, height = locate(pair, side, PINION, radius, cone)
    met = meeting(pair, side, lengthwise, height)
    body = body_points(pair, PINION, met, relief(pair, radius, height))
    arm = np.abs(np.cross(axis_of(pair, GEAR), met.points) * met.normals @ np.ones(3))
    return PinionGrid(along, up, lengthwise, height, radius, met.roll, body, arm)
