"""Where a pinion flank pushes the gear hardest at each roll: the whole grid, then the top.

A grid alone is too coarse for the narrow, slanting ridge of the push, so its best point is
climbed from by Newton's method, all rolls at once.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from casewright.mechanics.contact_flank import (
    Array,
    ToothedPair,
    active_root_angle,
    body_points,
    meeting,
    tip_angle,
)
from casewright.mechanics.contact_gap import (
    GEAR,
    PINION,
    GearFlank,
    PinionGrid,
    View,
    gear_flank,
    pinion_grid,
    reach,
    relief,
)

LIFTED = -1.0  # rad: stands for "this pair doesn't touch"
STEP = 0.1  # of the grid, for differences: the ridge is narrow and slanting
SETTLED = 0.05  # of such a step
CHUNK = 3  # rolls at a time: the arrays stay in the cache
Indices = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class Borders:
    """Active root and tip of both members over the cone distance: [m], [rad]."""

    radius: Array
    pinion_root: Array
    pinion_tip: Array
    gear_root: Array
    gear_tip: Array

    def up(self, member: int, radius: Array, cone: Array) -> Array:
        """Share up the active flank, 0 root to 1 tip [-]."""
        lower = self.pinion_root if member == PINION else self.gear_root
        upper = self.pinion_tip if member == PINION else self.gear_tip
        root = np.interp(radius, self.radius, lower)
        return np.asarray((cone - root) / (np.interp(radius, self.radius, upper) - root))


@dataclass(frozen=True, slots=True)
class Layout:
    """One flank of a pair laid out once for all set-ups."""

    pair: ToothedPair
    side: int
    flank: GearFlank
    points: PinionGrid
    borders: Borders

    def along(self, radius: Array) -> Array:
        """Share along the face, 0 toe to 1 heel [-]."""
        return (radius - self.pair.inner_cone_distance) / self.pair.face_width


@lru_cache(maxsize=32)
def _layout(pair: ToothedPair, side: int, count: tuple[int, int]) -> Layout:
    radius = np.linspace(pair.inner_cone_distance, pair.outer_cone_distance, 9)
    borders = Borders(
        radius,
        active_root_angle(pair, side, PINION, radius),
        tip_angle(pair, PINION, radius),
        active_root_angle(pair, side, GEAR, radius),
        tip_angle(pair, GEAR, radius),
    )
    return Layout(pair, side, gear_flank(pair, side), pinion_grid(pair, side, count), borders)


def layout(pair: ToothedPair, side: int, count: tuple[int, int]) -> Layout:
    """Lay out one flank of a pair; kept, since many set-ups ask for the same one.

    Args:
        pair: the pair [-].
        side: +1 or -1 [-].
        count: grid points along and up [-].
    Returns:
        Layout [-].
    Valid: no undercut on the active flank.
    Raises: UnconvergedError where a flank can't be laid out.
    Source: own: see contact_gap
    """
    return _layout(pair, side, count)


@dataclass(frozen=True, slots=True)
class Sweep:
    """All grid points at all rolls: push [rad], gear cone distance [m] and cosine [-]."""

    push: Array
    radius: Array
    cosine: Array


def sweep(laid: Layout, seen: View) -> Sweep:
    """Push of every grid point at every roll; points off the gear's flank are lifted.

    Args:
        laid: the flank [-].
        seen: views at k rolls [-, m].
    Returns:
        Sweep: arrays (k, along, up) [rad, m, -].
    Valid: misplacement well under the working depth.
    Raises: nothing.
    Source: own: contact_gap.reach on the whole grid
    """
    body = laid.points.body.reshape(-1, 3).T
    out = np.empty((3, len(seen.turn), body.shape[1]))
    for first in range(0, len(seen.turn), CHUNK):
        part = slice(first, first + CHUNK)
        placed = np.moveaxis(seen.turn[part] @ body + seen.shift[part, :, None], 1, 0)
        found = reach(laid.side, laid.flank, placed)
        facing = _on_flank(laid, found.radius, found.cosine)
        out[0, part] = np.where(facing, found.push, LIFTED)
        out[1, part], out[2, part] = found.radius, found.cosine
    push, radius, cosine = out.reshape(3, -1, *laid.points.radius.shape)
    return Sweep(push, radius, cosine)


def _on_flank(laid: Layout, radius: Array, cosine: Array) -> NDArray[np.bool_]:
    """Where points lie between the gear's tip and the foot of its interpolated flank."""
    flank, tips = laid.flank, np.cos(laid.borders.gear_tip[[0, -1]])
    slope = (tips[1] - tips[0]) / laid.pair.face_width
    tip = slope * radius
    tip += tips[0] - slope * laid.pair.inner_cone_distance - 1e-9
    foot = flank.base_cosine * math.sqrt(1 - (flank.roll_middle - flank.roll_half) ** 2)
    return np.asarray((cosine >= tip) & (cosine <= foot))


def gear_shares(laid: Layout, radius: Array, cosine: Array) -> tuple[Array, Array]:
    """Shares along and up the gear's active flank.

    Args:
        laid: the flank [-].
        radius: cone distance on the gear [m].
        cosine: cosine of the cone angle on the gear [-].
    Returns:
        shares along and up [-], 0 to 1 on the active flank.
    Valid: straight interpolation between nine stations of the borders.
    Raises: nothing.
    Source: own: the active flank as unit square
    """
    return laid.along(radius), laid.borders.up(GEAR, radius, np.arccos(cosine))


@dataclass(frozen=True, slots=True)
class Path:
    """Contact points at each roll, in shares of the active flanks; `edge` at a border."""

    pinion_along: Array
    pinion_up: Array
    gear_along: Array
    gear_up: Array
    edge: NDArray[np.bool_]


def contact_path(laid: Layout, seen: View, push: Array) -> tuple[Array, Path]:
    """Contact point and push at each roll: the grid's best, climbed from where it lies inside.

    Args:
        laid: the flank [-].
        seen: views at k rolls [-, m].
        push: push on the grid, shape (k, along, up) [rad].
    Returns:
        push at the contact, shape (k,) [rad], and the Path [-].
    Valid: at a border the grid's own place is kept, with a parabola along the border.
    Raises: nothing.
    Source: own: Newton's method on the push
    """
    points, last = laid.points, np.array(laid.points.radius.shape) - 1
    i, j = np.unravel_index(push.reshape(len(push), -1).argmax(1), points.radius.shape)
    along, up, value = _refined_on_grid(push, i, j)
    top = _climb(laid, seen, points.lengthwise[i, j], points.height[i, j])
    rolls = np.arange(len(push))
    inside = top.inside & (top.found.push >= push[rolls, i, j] - 1e-9)
    placed = np.einsum("kij,kj->ik", seen.turn, points.body[i, j]) + seen.shift.T
    at_grid = reach(laid.side, laid.flank, placed)
    gear_along, gear_up = gear_shares(
        laid,
        np.where(inside, top.found.radius, at_grid.radius),
        np.where(inside, top.found.cosine, at_grid.cosine),
    )
    touched = push[rolls, i, j] > LIFTED
    value = np.where(touched, np.where(inside, top.found.push, value), LIFTED)
    pinion_along = np.where(inside, top.along, along / last[0])
    pinion_up = np.where(inside, top.up, up / last[1])
    return value, Path(pinion_along, pinion_up, gear_along, gear_up, ~inside)


def _refined_on_grid(push: Array, i: Indices, j: Indices) -> tuple[Array, Array, Array]:
    """Best grid place and value, with a parabola across the direction that isn't at a border."""
    rolls, last = np.arange(len(push)), (push.shape[1] - 1, push.shape[2] - 1)
    at = push[rolls, i, j]
    places: list[Array] = []
    value = at
    for axis, (index, end) in enumerate(((i, last[0]), (j, last[1]))):
        ahead, behind = np.minimum(index + 1, end), np.maximum(index - 1, 0)
        after = push[rolls, ahead, j] if axis == 0 else push[rolls, i, ahead]
        before = push[rolls, behind, j] if axis == 0 else push[rolls, i, behind]
        curve = after + before - 2 * at
        fits = (ahead - behind == 2) & (np.minimum(after, before) > LIFTED) & (curve < 0)
        shift = np.where(fits, 0.5 * (before - after) / np.where(fits, -curve, 1.0), 0.0)
        places.append(np.asarray(index - shift, dtype=float))
        value = np.maximum(value, at - np.where(fits, 0.5 * curve * shift**2, 0.0))
    return places[0], places[1], value


@dataclass(frozen=True, slots=True)
class _Found:
    push: Array
    radius: Array
    cosine: Array
    pinion_radius: Array
    pinion_cone: Array


@dataclass(frozen=True, slots=True)
class _Top:
    found: _Found
    along: Array
    up: Array
    inside: NDArray[np.bool_]


STENCIL = np.array([(a, b) for a in (-1.0, 0.0, 1.0) for b in (-1.0, 0.0, 1.0)])


def _climb(laid: Layout, seen: View, lengthwise: Array, height: Array) -> _Top:
    """Newton's method from grid points to the top of the push, all rolls at once."""
    count, pair = laid.points.radius.shape, laid.pair
    step_l = STEP * pair.face_width / (count[0] - 1)
    step_h = STEP * pair.depth / (count[1] - 1)
    settled = np.zeros(lengthwise.shape, dtype=bool)
    for _ in range(8):
        around_l, around_h = step_l * STENCIL[:, :1], step_h * STENCIL[:, 1:]
        around = _found_at(laid, seen, lengthwise + around_l, height + around_h).push
        move_l, move_h = _newton_move(around.reshape(3, 3, -1))
        lengthwise, height = lengthwise + step_l * move_l, height + step_h * move_h
        settled = np.hypot(move_l, move_h) < SETTLED
        if settled.all():
            break
    found = _found_at(laid, seen, lengthwise, height)
    along = laid.along(found.pinion_radius)
    up = laid.borders.up(PINION, found.pinion_radius, found.pinion_cone)
    inside = settled & (along >= 0) & (along <= 1) & (up >= 0) & (up <= 1)
    return _Top(found, along, up, inside & _on_flank(laid, found.radius, found.cosine))


def _newton_move(f: Array) -> tuple[Array, Array]:
    """Damped Newton step in stencil steps, at most forty, from a (3, 3, n) stencil of values."""
    gradient = 0.5 * (f[2, 1] - f[0, 1]), 0.5 * (f[1, 2] - f[1, 0])
    ll, hh = f[2, 1] + f[0, 1] - 2 * f[1, 1], f[1, 2] + f[1, 0] - 2 * f[1, 1]
    lh = 0.25 * (f[2, 2] + f[0, 0] - f[2, 0] - f[0, 2])
    damping = 1e-5 * (np.abs(ll) + np.abs(hh)) + 1e-300
    ll, hh = ll - damping, hh - damping
    determinant = ll * hh - lh**2
    sound = (determinant > 0) & (ll + hh < 0)
    safe = np.where(sound, determinant, 1.0)
    move_l = np.where(
        sound, -(hh * gradient[0] - lh * gradient[1]) / safe, 10 * np.sign(gradient[0])
    )
    move_h = np.where(
        sound, -(ll * gradient[1] - lh * gradient[0]) / safe, 10 * np.sign(gradient[1])
    )
    return np.clip(move_l, -40, 40), np.clip(move_h, -40, 40)


def _found_at(laid: Layout, seen: View, lengthwise: Array, height: Array) -> _Found:
    """Push of pinion points given by their surface coordinates; the last axis is the roll."""
    pair = laid.pair
    met = meeting(pair, laid.side, lengthwise, height)
    pinion_radius = np.sqrt(np.einsum("...i,...i", met.points, met.points))
    body = body_points(pair, PINION, met, relief(pair, pinion_radius, height))
    placed = np.einsum("kij,...kj->i...k", seen.turn, body)
    placed += seen.shift.T.reshape(3, *([1] * (lengthwise.ndim - 1)), -1)
    found = reach(laid.side, laid.flank, placed)
    along = met.points[..., 0] * math.cos(pair.angles[0])
    along = along - met.points[..., 2] * math.sin(pair.angles[0])
    cone = np.arccos(along / pinion_radius)
    return _Found(found.push, found.radius, found.cosine, pinion_radius, cone)
