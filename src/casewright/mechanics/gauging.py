"""Gauging of threads, teeth and arcs: over wires, chordal tooth thickness, circle by points."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import acos, asin, atan2, cos, hypot, isinf, pi, sin, sqrt, tan
from typing import Any

import numpy as np
import numpy.typing as npt

from casewright.errors import InputError, RangeError, UnconvergedError
from casewright.mechanics.threads import geometry

FloatArray = npt.NDArray[np.floating[Any]]
SHORT_ARC = pi / 2
# Wires between these shares of the pitch touch the flanks: smaller ones sink below the crest line,
# larger ones ride on the crests.
WIRE_SHARES = (0.505, 1.01)


@dataclass(frozen=True, slots=True)
class Circle:
    """Circle through points [m]; rms residual, standard uncertainty of radius, arc seen [rad]."""

    x: float
    y: float
    radius: float
    residual: float
    radius_uncertainty: float | None
    arc: float
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ChordalTooth:
    """Chordal tooth thickness and the height at which the calliper is set [m]."""

    thickness: float
    height: float
    half_angle: float


def _points(x: Sequence[float], y: Sequence[float]) -> tuple[FloatArray, FloatArray]:
    across, along = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
    if across.ndim != 1 or across.shape != along.shape:
        raise InputError("points", (across.size, along.size), "as many x as y")
    if not (np.isfinite(across).all() and np.isfinite(along).all()):
        raise InputError("points", "not a number", "a number for each place")
    if across.size < 3:
        raise RangeError("points", across.size, "three or more")
    spread = np.linalg.svd(
        np.column_stack([across - across.mean(), along - along.mean()]), compute_uv=False
    )
    if spread[1] <= 1e-9 * spread[0]:
        raise RangeError("points", "on one line", "points on an arc")
    return across, along


def linear_circle(x: Sequence[float], y: Sequence[float]) -> tuple[float, float, float]:
    """Circle by the linear fit of x² + y²; biased to small radii on short arcs.

    Args:
        x: places [m], shape (n,).
        y: places [m], shape (n,).
    Returns:
        centre and radius [m].
    Valid: a start for `fit_circle`, not a result to act on.
    Raises: RangeError below three points or all on one line.
    Source: GANDER94 linear and algebraic fits
    """
    across, along = _points(x, y)
    cx, cy = across.mean(), along.mean()
    u, v = across - cx, along - cy
    matrix = np.column_stack([2 * u, 2 * v, np.ones_like(u)])
    a, b, c = np.linalg.lstsq(matrix, u * u + v * v, rcond=None)[0]
    return float(a + cx), float(b + cy), sqrt(float(c + a * a + b * b))


def fit_circle(x: Sequence[float], y: Sequence[float]) -> Circle:
    """Circle through points by geometric least squares; min Σ (√((x−a)² + (y−b)²) − R)².

    Args:
        x: places [m], shape (n,).
        y: places [m], shape (n,).
    Returns:
        centre, radius, rms residual, uncertainty of the radius [m], arc that the points span [rad].
    Valid: three points give their circle exactly; on less than a quarter turn the radius is weak.
    Raises: RangeError below three points or all on one line; UnconvergedError.
    Source: GANDER94 geometric fit
    """
    from scipy.optimize import least_squares

    across, along = _points(x, y)
    # Centred and scaled, so that the tolerances mean the same for a bore and for a flange.
    cx, cy = float(across.mean()), float(along.mean())
    scale = float(np.hypot(across - cx, along - cy).max())
    u, v = (across - cx) / scale, (along - cy) / scale

    def gaps(circle: FloatArray) -> FloatArray:
        return np.asarray(np.hypot(u - circle[0], v - circle[1]) - circle[2], dtype=float)

    start = linear_circle(u.tolist(), v.tolist())
    found = least_squares(gaps, start, method="lm", xtol=1e-13, ftol=1e-13, gtol=1e-13)
    a, b, radius = (float(value) for value in found.x)
    if not found.success or radius > 1e6:
        raise UnconvergedError("circle through points", cost=float(found.cost), radius=radius)
    arc = _arc(np.arctan2(v - b, u - a))
    notes = ("short arc: the radius is weak, see its uncertainty",) if arc < SHORT_ARC else ()
    return Circle(
        x=cx + a * scale,
        y=cy + b * scale,
        radius=abs(radius) * scale,
        residual=scale * sqrt(2 * float(found.cost) / u.size),
        radius_uncertainty=_radius_uncertainty(found.jac, float(found.cost), scale),
        arc=arc,
        notes=notes,
    )


def _arc(angles: FloatArray) -> float:
    """The turn less the widest gap between neighbours."""
    places = np.sort(angles)
    return float(2 * pi - np.diff(places, append=places[0] + 2 * pi).max())


def _radius_uncertainty(jacobian: FloatArray, cost: float, scale: float) -> float | None:
    freedom = jacobian.shape[0] - 3
    if freedom == 0:
        return None
    inverse = np.linalg.inv(jacobian.T @ jacobian)
    return scale * sqrt(2 * cost / freedom * float(inverse[2, 2]))


def best_wire(pitch: float) -> float:
    """Wire that touches a 60° thread at its pitch diameter; P/(2 cos 30°) = 0.57735 P.

    Args:
        pitch: pitch [m].
    Returns:
        wire diameter [m].
    Valid: 60 degree threads.
    Raises: RangeError for a pitch of zero or less.
    Source: WIRES measurement over wires
    """
    if not pitch > 0:
        raise RangeError("pitch", pitch, "more than zero")
    return pitch / sqrt(3)


def _wire_fits(wire: float, pitch: float) -> None:
    low, high = (share * pitch for share in WIRE_SHARES)
    if not low <= wire <= high:
        raise RangeError(
            "wire", wire, f"{low:.4g} to {high:.4g} m for this pitch", "Best is 0.577 of the pitch."
        )


def over_wires(designation: str, wire: float, pitch_diameter: float | None = None) -> float:
    """Measure over three wires; M = d2 + 3 w − 0.866025 P.

    Args:
        designation: thread [-].
        wire: wire diameter [m].
        pitch_diameter: d2; the basic one where not given [m].
    Returns:
        measure over the wires [m].
    Valid: 60 degree threads, lead angle below about 5°.
    Raises: RangeError for a wire that doesn't touch the flanks.
    Source: WIRES measurement over wires
    """
    size = geometry(designation)
    _wire_fits(wire, size.pitch)
    basic = size.pitch_diameter if pitch_diameter is None else pitch_diameter
    return basic + 3 * wire - sqrt(3) / 2 * size.pitch


def pitch_diameter_over_wires(measure: float, wire: float, pitch: float) -> float:
    """Pitch diameter from the measure over three wires; d2 = M − 3 w + 0.866025 P.

    Args:
        measure: over the wires [m].
        wire: wire diameter [m].
        pitch: pitch [m].
    Returns:
        pitch diameter [m].
    Valid: as `over_wires`.
    Raises: RangeError for a wire that doesn't touch the flanks.
    Source: WIRES measurement over wires
    """
    _wire_fits(wire, pitch)
    return measure - 3 * wire + sqrt(3) / 2 * pitch


def wire_angle_slope(wire: float, pitch: float) -> float:
    """Pitch diameter over wires by the flanks' half angle; ∂d2/∂a = 4 (√3/2 w − P/2).

    Args:
        wire: wire diameter [m].
        pitch: pitch [m].
    Returns:
        change of the pitch diameter for one radian of half angle; nothing for the best wire [m].
    Valid: as `over_wires`, both flanks off by the same angle.
    Raises: RangeError for a wire that doesn't touch the flanks.
    Source: own: derivative of d2 = M − w (1 + 1/sin a) + P/2 cot a at a = 30°
    """
    _wire_fits(wire, pitch)
    return 4 * (sqrt(3) / 2 * wire - pitch / 2)


def chordal_tooth(
    module: float,
    teeth: float,
    pressure_angle: float = pi / 9,
    shift: float = 0.0,
    addendum: float | None = None,
) -> ChordalTooth:
    """Chordal thickness; q = π/2z + 2x tan α/z, s = m z sin q, h = ha + m z/2 (1 − cos q).

    Args:
        module: module m [m].
        teeth: number of teeth z (a bevel gear's virtual number) [-].
        pressure_angle: α [rad].
        shift: profile shift x [-].
        addendum: tip to pitch circle; m (1 + x) where not given [m].
    Returns:
        chord and height over it [m], half angle [rad].
    Valid: external teeth without backlash allowance: the sheet's allowance comes off it.
    Raises: RangeError below 5 teeth or for a module of zero or less.
    Source: MH gear tooth chordal thickness
    """
    if teeth < 5:
        raise RangeError("teeth", teeth, "5 or more")
    if not module > 0:
        raise RangeError("module", module, "more than zero")
    half = pi / (2 * teeth) + 2 * shift * tan(pressure_angle) / teeth
    top = module * (1 + shift) if addendum is None else addendum
    return ChordalTooth(
        module * teeth * sin(half), top + 0.5 * module * teeth * (1 - cos(half)), half
    )


def _involute(angle: float) -> float:
    return tan(angle) - angle


def chord_at_pitch_line(
    chord: float, deeper: float, pitch_radius: float, pressure_angle: float = pi / 9
) -> float:
    """Chord at the pitch line from one read deeper; q = θ + inv α_R − inv α, t = 2 r sin q.

    The blade touches at half the chord from the middle of the tooth, at R and θ; the involute
    through that point is followed to the pitch circle, where it stands q from the middle.

    Args:
        chord: as read [m].
        deeper: how much deeper than the pitch line's chord it was read; less is negative [m].
        pitch_radius: r of the gear (a bevel gear's virtual one); infinite for a rack [m].
        pressure_angle: α [rad].
    Returns:
        chord at the pitch line [m].
    Valid: involute flanks, both alike; the height for which a chord is printed is the pitch line's.
    Raises: RangeError where the blade lies deeper than the involute goes, or for no tooth at all.
    Source: own: involute of the base circle r cos α through the point that the blade touches
    """
    if not 0 < chord < 2 * pitch_radius:
        raise RangeError("chord", chord, "more than zero, less than the gear")
    if isinf(pitch_radius):
        return chord - 2 * tan(pressure_angle) * deeper
    base, half = pitch_radius * cos(pressure_angle), asin(chord / (2 * pitch_radius))
    for _ in range(100):
        across, along = chord / 2, pitch_radius * cos(half) - deeper
        radius = hypot(across, along)
        if along <= 0 or radius <= base:
            raise RangeError("deeper", deeper, "a height at which the blade lies on the involute")
        turned = atan2(across, along) + _involute(acos(base / radius)) - _involute(pressure_angle)
        if abs(turned - half) < 1e-15:
            return 2 * pitch_radius * sin(turned)
        half = turned
    raise UnconvergedError("chord at the pitch line", half_angle=half, deeper=deeper)


def flank_slope(pressure_angle: float, half_angle: float = 0.0) -> float:
    """How much a chord grows for one deeper at the pitch line; dt/dh = 2 tan(α − q).

    Args:
        pressure_angle: α [rad].
        half_angle: q, half the tooth's angle; none for a rack [rad].
    Returns:
        slope, more the deeper [-].
    Valid: at the pitch line; a rack's 2 tan α is too steep for few teeth (a third at 20).
    Raises: nothing.
    Source: own: tangent of the involute at the pitch point, α off the radius, that q off the middle
    """
    return 2 * tan(pressure_angle - half_angle)
