"""Unloaded tooth contact of a bevel pair: path, transmission error, pattern and lash.

At each roll of the pinion the gear is turned until the smallest gap is zero. Where the gap
stays under the marking film at some roll, the compound is wiped: the pattern. All of it is an
estimate from a drawing's flanks; true flanks are the maker's, and the maker's limits rule.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from casewright.errors import InfeasibleError, RangeError
from casewright.mechanics.contact_flank import Array, ToothedPair
from casewright.mechanics.contact_gap import Misplacement, view
from casewright.mechanics.contact_path import (
    LIFTED,
    Layout,
    Path,
    Sweep,
    contact_path,
    gear_shares,
    layout,
    sweep,
)

MARKING_FILM = 6.35e-6  # m: common practice, no source


@dataclass(frozen=True, slots=True)
class Patch:
    """A pattern on one tooth, in shares: along 0 toe to 1 heel, up 0 active root to 1 tip."""

    along: float
    up: float
    along_from: float
    along_to: float
    up_from: float
    up_to: float
    area: float


@dataclass(frozen=True, slots=True)
class Pattern:
    """Smallest normal gap [m] at any roll on the pinion's grid, and the patches it wipes.

    `gear_along`, `gear_up` place each point of the (along, up) grid on the gear.
    """

    along: Array
    up: Array
    gear_along: Array
    gear_up: Array
    gap: Array
    film: float
    pinion: Patch
    gear: Patch


@dataclass(frozen=True, slots=True)
class FlankContact:
    """One flank over the mesh of one tooth pair; arrays (n,) over the rolls, angles in rad.

    `error` is the gear's turn beyond the nominal with the neighbouring pairs, `error_of_pair`
    of this pair alone; `carries` where this pair holds the gear. `opening` is how far the gear
    may turn on towards this flank, mean over a pitch; `ripple` its peak to peak.
    """

    side: int
    pinion_turn: Array
    error_of_pair: Array
    error: Array
    carries: NDArray[np.bool_]
    path: Path
    pattern: Pattern
    opening: float
    ripple: float


@dataclass(frozen=True, slots=True)
class TeethContact:
    """Both flanks of a set-up; lash as gear angle [rad] and arc at the gear's mean radius [m]."""

    drive: FlankContact
    coast: FlankContact
    lash_angle: float
    lash_arc: float
    estimate: bool = True


def analyse(
    pair: ToothedPair,
    off: Misplacement,
    design_lash: float = 0.0,
    *,
    positions: int = 41,
    grid: tuple[int, int] = (64, 32),
    film: float = MARKING_FILM,
    concave_drives: bool = True,
) -> TeethContact:
    """Contact of one set-up on both flanks: turn the gear until the smallest gap is zero.

    Args:
        pair: the pair [-].
        off: misplacement of its members [m, rad].
        design_lash: transverse lash at the mean radius when all stands as drawn [m].
        positions: roll positions over the mesh of one pair [-].
        grid: points along and up the flank [-].
        film: thickness of the marking compound [m].
        concave_drives: drive flank is the pinion's concave one (spiral) or side +1 [-].
    Returns:
        TeethContact: per flank path [-], error [rad], gap [m]; lash [rad, m], negative where
        the teeth would bind.
    Valid: unloaded; misplacement well under the working depth. Tooth ends are the pinion's.
    Raises: RangeError for a misplacement beyond a quarter of the depth, a negative design lash
        or an undercut flank, InfeasibleError where the flanks never meet, UnconvergedError
        if a flank can't be laid out.
    Source: own: definition of unloaded contact, checked in tests against point-by-point roots
    """
    _check(pair, off, positions, grid)
    if not design_lash >= 0:
        raise RangeError("design lash", design_lash, "zero or more")
    drive_side = (pair.lean if pair.form == "circular" else 1) * (1 if concave_drives else -1)
    drive, coast = (
        flank_contact(pair, off, side, positions, grid, film) for side in (drive_side, -drive_side)
    )
    mean_radius = pair.mean_cone_distance * math.sin(pair.angles[1])
    angle = design_lash / mean_radius + drive.opening + coast.opening
    return TeethContact(drive, coast, angle, angle * mean_radius)


def _check(pair: ToothedPair, off: Misplacement, positions: int, grid: tuple[int, int]) -> None:
    limit = 0.25 * pair.depth
    moves = {"pinion axial": off.pinion_axial, "gear axial": off.gear_axial, "offset": off.offset}
    for name, move in moves.items():
        if not abs(move) <= limit:
            raise RangeError(name, move, f"at most {limit:.2g} m, a quarter of the working depth")
    if not abs(off.shaft_angle) <= limit / pair.outer_cone_distance:
        raise RangeError("shaft angle error", off.shaft_angle, "a small angle in rad")
    if positions < 5 or min(grid) < 5:
        raise RangeError("grid", (positions, *grid), "at least 5 positions and 5 x 5 points")


def flank_contact(
    pair: ToothedPair,
    off: Misplacement,
    side: int,
    positions: int = 41,
    grid: tuple[int, int] = (64, 32),
    film: float = MARKING_FILM,
) -> FlankContact:
    """Contact of one flank: the largest push of any pinion point sets the gear at each roll.

    Args:
        pair: the pair [-].
        off: misplacement [m, rad].
        side: +1 or -1, the way the pinion pushes [-].
        positions: roll positions [-].
        grid: points along and up [-].
        film: marking film [m].
    Returns:
        FlankContact: errors [rad], path and pattern [-], gap [m].
    Valid: as for `analyse`.
    Raises: InfeasibleError where the flanks never meet, UnconvergedError.
    Source: own: as for `analyse`
    """
    laid = layout(pair, side, grid)
    roll = np.linspace(laid.points.roll.min(), laid.points.roll.max(), positions)
    seen = view(pair, off, roll)
    swept = sweep(laid, seen)
    alone, path = contact_path(laid, seen, swept.push)
    if not (alone > LIFTED).any():
        raise InfeasibleError("tooth contact", ("the flanks don't meet at any roll",))
    step = 2 * math.pi * math.sin(pair.angles[0]) / pair.pinion_teeth
    shared = _with_neighbours(roll, alone, step, roll)
    middle = 0.5 * (roll[0] + roll[-1]) + step * (np.arange(40) / 40 - 0.5)
    one_pitch = _with_neighbours(roll, alone, step, middle)
    return FlankContact(
        side=side,
        pinion_turn=-roll / math.sin(pair.angles[0]),
        error_of_pair=side * alone,
        error=side * shared,
        carries=alone >= shared - 1e-12,
        path=path,
        pattern=_pattern(laid, swept, shared, film),
        opening=-float(one_pitch.mean()),
        ripple=float(np.ptp(one_pitch)),
    )


def _with_neighbours(roll: Array, push: Array, step: float, wanted: Array) -> Array:
    """The largest push of this pair and of those up to three pitches before and behind."""
    shifted = [
        np.interp(wanted + j * step, roll, push, left=LIFTED, right=LIFTED) for j in range(-3, 4)
    ]
    return np.asarray(np.max(shifted, axis=0))


def _pattern(laid: Layout, swept: Sweep, shared: Array, film: float) -> Pattern:
    """Smallest gap of each point over the rolls, the gear held by whichever pair carries."""
    points = laid.points
    gaps = shared[:, None, None] - swept.push
    best = gaps.argmin(0)[None]
    gap, radius, cosine = (
        np.take_along_axis(values, best, 0)[0] for values in (gaps, swept.radius, swept.cosine)
    )
    gap = gap * points.arm
    gear_along, gear_up = gear_shares(laid, radius, cosine)
    along, up = np.meshgrid(points.share_along, points.share_up, indexing="ij")
    gear_at = np.clip(gear_along, 0, 1), np.clip(gear_up, 0, 1)
    return Pattern(
        along=points.share_along,
        up=points.share_up,
        gear_along=gear_along,
        gear_up=gear_up,
        gap=gap,
        film=film,
        pinion=_patch(along, up, gap <= film, np.ones_like(along)),
        gear=_patch(*gear_at, gap <= film, _spread(*gear_at, points.share_along, points.share_up)),
    )


def _spread(gear_along: Array, gear_up: Array, along: Array, up: Array) -> Array:
    """Area on the gear's flank for one on the pinion's at each point of the pinion's grid.

    A grid even on the pinion crowds towards the gear's root: unweighted, a patch would seem lower.
    """
    along_by, along_across = np.gradient(gear_along, along, up)
    up_by, up_across = np.gradient(gear_up, along, up)
    return np.asarray(np.abs(along_by * up_across - along_across * up_by), dtype=np.float64)


def _patch(along: Array, up: Array, wiped: NDArray[np.bool_], weight: Array) -> Patch:
    """Middle of area, edges and share of the flank of the wiped points."""
    if not wiped.any():
        nowhere = math.nan
        return Patch(nowhere, nowhere, nowhere, nowhere, nowhere, nowhere, 0.0)
    x, y, area = along[wiped], up[wiped], weight[wiped]
    if not area.sum() > 0:
        area = np.ones_like(area)
    return Patch(
        along=float(np.average(x, weights=area)),
        up=float(np.average(y, weights=area)),
        along_from=float(x.min()),
        along_to=float(x.max()),
        up_from=float(y.min()),
        up_to=float(y.max()),
        area=float(np.where(wiped, weight, 0.0).mean()),
    )
