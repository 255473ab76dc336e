"""Unloaded contact of a spiral bevel set-up against point-by-point root finding.

One set-up: both flanks, 41 roll positions, 64 x 32 points on the flank, misplaced in all four
ways. Ours lays the flanks out and analyses them with numpy (nothing kept from before).

Two references, written as lean as we could, plain floats and `math` inside scipy's root finder:

* the field: at every roll, for every point of the grid that faces the gear's flank, the place
  on the gear's true surface with the same cone distance and cone angle (two unknowns, warm
  start from the neighbour), hence its gap; then the smallest. This is the same work as ours
  (path, error, pattern, lash) and gives `speed_ratio`. With --quick every eighth point along
  the face is solved and the time is scaled by the number of points.
* the path alone: at every roll the five equations of touching surfaces (places equal, normals
  in line), each started from the roll before. No pattern comes from it. It is exact, so
  `path_gap` (largest distance between the paths, as a share of the face width, where the
  contact lies inside the flank) is measured against it; `path_speed_ratio` is its time over
  ours, though it does less.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable

import numpy as np
from scipy.optimize import fsolve

from casewright.mechanics import contact_path
from casewright.mechanics.contact import TeethContact, analyse
from casewright.mechanics.contact_flank import ToothedPair, axis_of, meeting
from casewright.mechanics.contact_gap import Misplacement, pinion_grid, view

Vector = tuple[float, float, float]
PAIR = ToothedPair(
    pinion_teeth=14,
    gear_teeth=25,
    shaft_angle=math.pi / 2,
    outer_cone_distance=60e-3,
    face_width=18e-3,
    pressure_angle=math.radians(20),
    pinion_addendum=3.0e-3,
    gear_addendum=1.8e-3,
    form="circular",
    spiral_angle=math.radians(35),
    pinion_hand="left",
    cutter_radius=57e-3,
    pinion_addendum_angle=math.radians(2.5),
    gear_addendum_angle=math.radians(1.5),
    lengthwise_crowning=15e-6,
    profile_crowning=8e-6,
)
OFF = Misplacement(pinion_axial=3e-5, gear_axial=-4e-5, offset=2e-5, shaft_angle=math.radians(0.02))
POSITIONS, GRID = 41, (64, 32)


def flank_function(pair: ToothedPair, side: int, member: int) -> Callable[[float, float], Vector]:
    """Body point of a generated flank from its two coordinates, in plain floats."""
    lean, cutter, mean = pair.lean, pair.cutter_radius, pair.mean_cone_distance
    assert cutter is not None
    inward, across = math.sin(pair.spiral_angle), lean * math.cos(pair.spiral_angle)
    start, slope = math.atan2(-across, inward), side * lean * math.tan(pair.pressure_angle)
    sine, cosine = math.sin(pair.pressure_angle), math.cos(pair.pressure_angle)
    centre_x, centre_y = mean - cutter * inward, cutter * across
    pitch = pair.angles[0 if member < 0 else 1]
    ax, _, az = (float(v) for v in axis_of(pair, member))
    turning = -member / math.sin(pitch)
    middle = 0.5 * (pair.pinion_addendum - pair.gear_addendum)

    def point(arc: float, height: float) -> Vector:
        angle = start + lean * arc / cutter
        radius = cutter + slope * height
        c, s = math.cos(angle), math.sin(angle)
        x, y, z = centre_x + radius * c, centre_y + radius * s, height
        nx, ny, nz = -side * lean * cosine * c, -side * lean * cosine * s, sine
        roll = math.atan((y * nz - z * ny) / (z * nx - x * nz))
        if member < 0:
            along = (math.sqrt(x * x + y * y + z * z) - mean) / (0.5 * pair.face_width)
            up = (height - middle) / (0.5 * pair.depth)
            depth = pair.lengthwise_crowning * along**2 + pair.profile_crowning * up**2
            x, y, z = x - depth * nx, y - depth * ny, z - depth * nz
        c, s = math.cos(roll), math.sin(roll)
        x, y = x * c - y * s, x * s + y * c
        turn = turning * roll
        c, s = math.cos(turn), math.sin(turn)
        on_axis = (1 - c) * (ax * x + az * z)
        return (
            x * c - az * y * s + ax * on_axis,
            y * c + (az * x - ax * z) * s,
            z * c + ax * y * s + az * on_axis,
        )

    return point


def gear_cylinder(pair: ToothedPair, side: int) -> Callable[[float, float], Vector]:
    """Gear flank point as cone distance, cone angle and angle about the gear's axis."""
    point, (ax, _, az) = flank_function(pair, side, 1), axis_of(pair, 1)
    ax, az = float(ax), float(az)

    def polar(arc: float, height: float) -> Vector:
        x, y, z = point(arc, height)
        radius = math.sqrt(x * x + y * y + z * z)
        cone = math.acos((ax * x + az * z) / radius)
        return radius, cone, math.atan2(y, az * x - ax * z)

    return polar


def field_by_roots(
    pair: ToothedPair, off: Misplacement, side: int, stride: int = 1
) -> tuple[np.ndarray, float]:
    """Push [rad] of grid points at all rolls by scipy roots, and the seconds it took.

    With a stride only every so many columns are solved (others -1); seconds are as measured.
    """
    grid = pinion_grid(pair, side, GRID)
    rolls = np.linspace(grid.roll.min(), grid.roll.max(), POSITIONS)
    seen, polar = view(pair, off, rolls), gear_cylinder(pair, side)
    faces = contact_path.sweep(contact_path.layout(pair, side, GRID), seen).push > -1
    push = np.full((POSITIONS, *GRID), -1.0)
    start = time.perf_counter()
    for k in range(POSITIONS):
        placed = grid.body @ seen.turn[k].T + seen.shift[k]
        radius = np.linalg.norm(placed, axis=-1)
        cosine = placed[..., 2] / radius
        cone, turn = np.arccos(cosine), np.arctan2(placed[..., 1], placed[..., 0])
        for i in range(0, GRID[0], stride):
            guess = (float(grid.lengthwise[i, 0]), float(grid.height[i, 0]))
            for j in np.flatnonzero(faces[k, i]):
                wanted = float(radius[i, j]), float(cone[i, j])
                guess = place_on_gear(polar, wanted, guess)
                push[k, i, j] = side * (turn[i, j] - polar(*guess)[2])
    return push, time.perf_counter() - start


def place_on_gear(
    polar: Callable[[float, float], Vector],
    wanted: tuple[float, float],
    guess: tuple[float, float],
) -> tuple[float, float]:
    """Surface coordinates of the gear flank at a cone distance [m] and cone angle [rad]."""

    def miss(at: np.ndarray) -> tuple[float, float]:
        radius, cone, _ = polar(at[0], at[1])
        return radius - wanted[0], (cone - wanted[1]) * wanted[0]

    found, _, flag, words = fsolve(miss, guess, xtol=1e-9, full_output=True)
    if flag not in (1, 4, 5):
        raise ArithmeticError(words)
    return float(found[0]), float(found[1])


def path_by_roots(
    pair: ToothedPair, off: Misplacement, side: int
) -> tuple[np.ndarray, np.ndarray, float]:
    """Pinion surface coordinates (n, 2) and push (n,) of the touching points, and seconds."""
    grid = pinion_grid(pair, side, GRID)
    rolls = np.linspace(grid.roll.min(), grid.roll.max(), POSITIONS)
    seen = view(pair, off, rolls)
    ax, _, az = (float(v) for v in axis_of(pair, 1))
    pinion, gear = flank_function(pair, side, -1), flank_function(pair, side, 1)
    touching, push = np.full((POSITIONS, 2), np.nan), np.full(POSITIONS, np.nan)
    start = time.perf_counter()
    middle = POSITIONS // 2
    first = np.zeros(5)
    for order in (range(middle, POSITIONS), range(middle - 1, -1, -1)):
        guess = first
        for k in order:
            residual = touching_equations(pinion, gear, seen.turn[k], seen.shift[k], (ax, az))
            found, _, flag, _ = fsolve(residual, guess, xtol=1e-10, full_output=True)
            if k == middle:
                first = found
            if flag in (1, 4, 5) and np.abs(residual(found)).max() < 1e-8:
                guess = found
                touching[k] = found[:2] * 1e-3
                push[k] = side * found[4] * 1e-3
    return touching, push, time.perf_counter() - start


def minus(one: list[float], other: list[float]) -> list[float]:
    """Difference of two places."""
    return [x - y for x, y in zip(one, other, strict=True)]


def touching_equations(
    pinion: Callable[[float, float], Vector],
    gear: Callable[[float, float], Vector],
    turn: np.ndarray,
    shift: np.ndarray,
    axis: tuple[float, float],
) -> Callable[[np.ndarray], list[float]]:
    """Five equations: points equal [mm], gear's tangents square to the pinion's normal.

    Unknowns: two coordinates on each flank [mm] and the gear's turn [mrad].
    """
    rows, moved, (ax, az), h = turn.tolist(), shift.tolist(), axis, 1e-6

    def seen(arc: float, height: float) -> list[float]:
        x, y, z = pinion(arc, height)
        return [r[0] * x + r[1] * y + r[2] * z + m for r, m in zip(rows, moved, strict=True)]

    def turned(arc: float, height: float, angle: float) -> list[float]:
        x, y, z = gear(arc, height)
        u, c, s = az * x - ax * z, math.cos(angle), math.sin(angle)
        return [u * c - y * s, u * s + y * c, ax * x + az * z]

    def residual(at: np.ndarray) -> list[float]:
        a, b, c, d, angle = (float(v) * 1e-3 for v in at)
        p, g = seen(a, b), turned(c, d, angle)
        s, t = minus(seen(a + h, b), seen(a - h, b)), minus(seen(a, b + h), seen(a, b - h))
        u = minus(turned(c + h, d, angle), turned(c - h, d, angle))
        v = minus(turned(c, d + h, angle), turned(c, d - h, angle))
        nx, ny, nz = s[1] * t[2] - s[2] * t[1], s[2] * t[0] - s[0] * t[2], s[0] * t[1] - s[1] * t[0]
        size = 2 * h * math.sqrt(nx * nx + ny * ny + nz * nz)
        lean = [(nx * q[0] + ny * q[1] + nz * q[2]) / size for q in (u, v)]
        return [1e3 * x for x in minus(p, g)] + lean

    return residual


def path_distance(
    pair: ToothedPair, found: TeethContact, off: Misplacement
) -> tuple[float, int, float]:
    """Largest distance between our path and the exact one [share of face], count, seconds."""
    worst, count, seconds = 0.0, 0, 0.0
    for flank in (found.drive, found.coast):
        touching, _, took = path_by_roots(pair, off, flank.side)
        seconds += took
        laid = contact_path.layout(pair, flank.side, GRID)
        along, up = exact_shares(laid, touching)
        inside = ~flank.path.edge & np.isfinite(along)
        apart = np.hypot(
            flank.path.pinion_along - along,
            (flank.path.pinion_up - up) * pair.depth / pair.face_width,
        )[inside]
        worst, count = max(worst, float(apart.max())), count + int(inside.sum())
    return worst, count, seconds


def exact_shares(laid: contact_path.Layout, touching: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Shares along and up of points given by surface coordinates on the pinion."""
    points = meeting(laid.pair, laid.side, touching[:, 0], touching[:, 1]).points
    radius = np.linalg.norm(points, axis=-1)
    cone = np.arccos(points @ axis_of(laid.pair, -1) / radius)
    return laid.along(radius), laid.borders.up(-1, radius, cone)


def ours(repeats: int) -> tuple[TeethContact, float]:
    """Our analysis and its best time, flanks laid out anew each time."""
    best = math.inf
    for _ in range(repeats):
        contact_path._layout.cache_clear()
        start = time.perf_counter()
        found = analyse(PAIR, OFF, positions=POSITIONS, grid=GRID)
        best = min(best, time.perf_counter() - start)
    return found, best


def run(quick: bool) -> dict[str, float]:
    """Run the comparison, print a table, return the figures."""
    found, seconds = ours(5 if quick else 15)
    stride = 8 if quick else 1
    field_seconds, solved, worst_push = 0.0, 0, 0.0
    for flank in (found.drive, found.coast):
        push, took = field_by_roots(PAIR, OFF, flank.side, stride)
        field_seconds += took * GRID[0] / len(range(0, GRID[0], stride))
        solved += int((push > -1).sum())
        laid = contact_path.layout(PAIR, flank.side, GRID)
        rolls = np.linspace(laid.points.roll.min(), laid.points.roll.max(), POSITIONS)
        mine = contact_path.sweep(laid, view(PAIR, OFF, rolls)).push
        worst_push = max(worst_push, float(np.abs(mine - push)[push > -1].max()))
    path_gap, compared, path_seconds = path_distance(PAIR, found, OFF)
    figures = {
        "speed_ratio": field_seconds / seconds,
        "seconds": seconds,
        "path_gap": path_gap,
        "path_speed_ratio": path_seconds / seconds,
        "field_gap_rad": worst_push,
    }
    print(f"ours, both flanks, flanks laid out anew     {seconds * 1e3:10.1f} ms")
    print(f"field by roots ({solved} points solved)     {field_seconds:10.2f} s")
    print(f"path alone by roots                         {path_seconds * 1e3:10.1f} ms")
    print(f"field against ours                          {figures['speed_ratio']:10.0f} times")
    print(f"largest path distance, {compared} rolls         {path_gap:10.2e} of the face width")
    print(f"largest difference of a point's push        {worst_push:10.1e} rad")
    return figures
