"""Run-out: the once-per-turn wave by least squares, bent shafts, face tilt."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, hypot, pi, sqrt
from typing import Any

import numpy as np
import numpy.typing as npt

from casewright.errors import InputError, RangeError
from casewright.working import Term, Working

FloatArray = npt.NDArray[np.floating[Any]]
TURN = 2 * pi
# Form waves looked for behind the fitted ones, and the share of one that may leak in unnamed.
HIGHEST_WAVE = 6
LEAK_SHARE = 0.3
FORM_RATIO = 1.25


@dataclass(frozen=True, slots=True)
class Wave:
    """One harmonic of the reading: order, amplitude [m], angle of its first crest [rad]."""

    order: int
    amplitude: float
    phase: float


@dataclass(frozen=True, slots=True)
class RunOut:
    """Once-per-turn fit: eccentricity [m], high spot [rad], total indicated run-out 2e [m].

    `deviation`, `covariance` (of mean, cosine, sine …) and `uncertainty` (of the eccentricity) are
    None where the readings are just enough for the fit and leave nothing to judge it by.
    """

    mean: float
    cosine: float
    sine: float
    eccentricity: float
    high_spot: float
    total_indicated: float
    raw_span: float
    waves: tuple[Wave, ...]
    deviation: float | None
    degrees_of_freedom: int
    covariance: tuple[tuple[float, ...], ...] | None
    uncertainty: float | None
    warnings: tuple[str, ...]
    working: Working


@dataclass(frozen=True, slots=True)
class BentShaft:
    """Offsets [m] and their angles [rad] against the line through the two supports."""

    offsets: tuple[float, ...]
    phases: tuple[float, ...]
    bow: float
    bow_at: float
    bow_phase: float
    bend_angle: float


def _design(angles: FloatArray, orders: range) -> FloatArray:
    columns = [np.ones_like(angles)]
    for order in orders:
        columns += [np.cos(order * angles), np.sin(order * angles)]
    return np.column_stack(columns)


def _checked(readings: Sequence[float], angles: Sequence[float] | None) -> tuple[FloatArray, ...]:
    values = np.asarray(readings, dtype=float)
    if angles is None:
        places = np.arange(len(values)) * TURN / max(len(values), 1)
    else:
        places = np.asarray(angles, dtype=float)
    if values.ndim != 1 or values.shape != places.shape:
        raise InputError("angles", places.size, f"one angle for each of the {values.size} readings")
    if not (np.isfinite(values).all() and np.isfinite(places).all()):
        raise InputError("readings", "not a number", "a number for each position")
    return values, places


def leaking_waves(
    angles: Sequence[float], harmonics: int = 1, highest: int = HIGHEST_WAVE
) -> dict[int, float]:
    """Form waves that these positions can't tell from eccentricity, with the share that leaks in.

    Args:
        angles: positions [rad], shape (n,).
        harmonics: waves in the fit [-].
        highest: highest wave looked at [-].
    Returns:
        order to greatest share of its amplitude read as eccentricity [-].
    Valid: n equal positions alias order n − 1 and n + 1 wholly into the first.
    Raises: RangeError where the positions can't carry the fit.
    Source: own: projection of each wave on the fit
    """
    places = np.asarray(angles, dtype=float)
    inverse = np.linalg.pinv(_fit_matrix(places, harmonics))[1:3]
    found = {}
    for order in range(harmonics + 1, highest + 1):
        pair = np.column_stack([np.cos(order * places), np.sin(order * places)])
        # The largest singular value is the worst phase of that wave.
        found[order] = float(np.linalg.norm(inverse @ pair, 2))
    return found


def _fit_matrix(places: FloatArray, harmonics: int) -> FloatArray:
    if harmonics < 1:
        raise RangeError("harmonics", harmonics, "1 or more")
    need = 2 * harmonics + 1
    if places.size < need:
        raise RangeError(
            "readings", places.size, f"{need} or more positions for {harmonics} wave(s)"
        )
    matrix = _design(places, range(1, harmonics + 1))
    if np.linalg.matrix_rank(matrix, tol=1e-8 * places.size) < need:
        raise RangeError(
            "angles",
            tuple(round(float(a), 4) for a in places),
            "positions spread round the turn",
            "Turn the shaft to other marks; repeats at one mark don't count as positions.",
        )
    return matrix


def fit_runout(
    readings: Sequence[float], angles: Sequence[float] | None = None, harmonics: int = 1
) -> RunOut:
    """Eccentricity from readings round a turn; r = m + Σ (a_k cos kθ + b_k sin kθ), e = √(a²+b²).

    Args:
        readings: dial readings [m], shape (n,).
        angles: positions [rad], shape (n,); equal steps from zero where not given.
        harmonics: waves fitted, 1 for eccentricity alone, 2 for ovality too [-].
    Returns:
        mean, eccentricity, 2e, raw span [m], high spot and phases [rad], covariance [m²], the
        waves that may hide in the result [-].
    Valid: n > 2 × harmonics. Eccentricity is half of the total indicated run-out. On V-blocks
        under the journal itself its own eccentricity can't be seen.
    Raises: RangeError for too few or badly spread positions; InputError for unequal lengths.
    Source: GUM least squares; WHITEHOUSE harmonic analysis of roundness
    Example:
        >>> run = fit_runout([0.0, 0.05, 0.08, 0.03])
        >>> round(run.eccentricity, 6), round(run.total_indicated, 6)
        (0.041231, 0.082462)
    """
    values, places = _checked(readings, angles)
    matrix = _fit_matrix(places, harmonics)
    solution = np.linalg.lstsq(matrix, values, rcond=None)[0]
    freedom = values.size - matrix.shape[1]
    residual = values - matrix @ solution
    waves = tuple(
        Wave(k, float(hypot(*solution[2 * k - 1 : 2 * k + 1])), _crest(solution, k))
        for k in range(1, harmonics + 1)
    )
    eccentricity = waves[0].amplitude
    span = float(np.ptp(values))
    deviation, covariance = _spread(matrix, residual, freedom)
    return RunOut(
        mean=float(solution[0]),
        cosine=float(solution[1]),
        sine=float(solution[2]),
        eccentricity=eccentricity,
        high_spot=waves[0].phase,
        total_indicated=2 * eccentricity,
        raw_span=span,
        waves=waves,
        deviation=deviation,
        degrees_of_freedom=freedom,
        covariance=None if covariance is None else tuple(map(tuple, covariance.tolist())),
        uncertainty=_amplitude_uncertainty(solution, covariance),
        warnings=_warnings(places, harmonics, freedom, span, eccentricity),
        working=_runout_working(values, solution, eccentricity, waves[0].phase),
    )


def _crest(solution: FloatArray, order: int) -> float:
    angle = atan2(solution[2 * order], solution[2 * order - 1]) % TURN
    return angle / order


def _spread(
    matrix: FloatArray, residual: FloatArray, freedom: int
) -> tuple[float | None, FloatArray | None]:
    if freedom == 0:
        return None, None
    variance = float(residual @ residual) / freedom
    return sqrt(variance), variance * np.linalg.inv(matrix.T @ matrix)


def _amplitude_uncertainty(solution: FloatArray, covariance: FloatArray | None) -> float | None:
    if covariance is None:
        return None
    pair, block = solution[1:3], covariance[1:3, 1:3]
    length = float(np.hypot(*pair))
    if length == 0:
        return float(np.sqrt(np.trace(block) / 2))
    unit = pair / length
    return float(np.sqrt(unit @ block @ unit))


def _warnings(
    places: FloatArray, harmonics: int, freedom: int, span: float, eccentricity: float
) -> tuple[str, ...]:
    leaks = leaking_waves(places.tolist(), harmonics)
    found = [
        f"These positions can't tell a {order}-lobed form from eccentricity "
        f"({100 * share:.0f} % of it reads as such)."
        for order, share in leaks.items()
        if share > LEAK_SHARE
    ]
    if freedom == 0:
        found.append("Just enough positions: nothing is left to judge the fit by. Take more.")
    if span > FORM_RATIO * 2 * eccentricity and span > 0:
        found.append(
            "The dial moved more than eccentricity explains: ovality, lobes, a flat or dirt."
        )
    return tuple(found)


def _runout_working(
    values: FloatArray, solution: FloatArray, eccentricity: float, phase: float
) -> Working:
    return Working(
        method="once-per-turn wave by least squares",
        formula="r(θ) = m + a·cos θ + b·sin θ; e = √(a² + b²); run-out = 2e",
        inputs=(Term("readings", float(values.size)), Term("raw span", float(np.ptp(values)), "m")),
        steps=(
            Term("mean", float(solution[0]), "m", "m"),
            Term("cosine part", float(solution[1]), "m", "a"),
            Term("sine part", float(solution[2]), "m", "b"),
        ),
        outputs=(
            Term("eccentricity", eccentricity, "m", "e"),
            Term("total indicated run-out", 2 * eccentricity, "m", "2e"),
            Term("high spot", phase, "rad"),
        ),
        source="least squares on a harmonic series",
    )


def bent_shaft(
    positions: Sequence[float],
    eccentricities: Sequence[float],
    phases: Sequence[float],
    supports: tuple[int, int] = (0, -1),
) -> BentShaft:
    """Bow off the line through two supports; e(z) − e_a − (e_b − e_a)(z − z_a)/(z_b − z_a).

    Args:
        positions: places along the shaft z [m], shape (n,).
        eccentricities: fitted eccentricity at each [m], shape (n,).
        phases: high spot at each [rad], shape (n,).
        supports: indices of the two supporting places [-], pair.
    Returns:
        offsets [m] and phases [rad], the largest between the supports as bow [m], where [m], and
        the bend angle there if it is one sharp bend [rad].
    Valid: vectors, never plain differences; eccentricity, not total indicated run-out.
    Raises: InputError for unequal lengths; RangeError where no place lies between the supports.
    Source: own: vectors in the plane square to the shaft
    """
    if not len(positions) == len(eccentricities) == len(phases):
        raise InputError("positions", len(positions), "one eccentricity and phase for each place")
    places = np.asarray(positions, dtype=float)
    vector = np.asarray(eccentricities, dtype=float) * np.exp(1j * np.asarray(phases, dtype=float))
    first, last = supports
    span = places[last] - places[first]
    if span == 0:
        raise RangeError("supports", float(places[first]), "two places apart")
    share = (places - places[first]) / span
    relative = vector - vector[first] - (vector[last] - vector[first]) * share
    between = (share > 1e-9) & (share < 1 - 1e-9)
    if not between.any():
        raise RangeError("positions", len(positions), "a reading between the supports")
    size = np.abs(relative)
    at = int(np.argmax(np.where(between, size, -1.0)))
    arms = abs(places[at] - places[first]), abs(places[last] - places[at])
    return BentShaft(
        offsets=tuple(size.tolist()),
        phases=tuple((np.angle(relative) % TURN).tolist()),
        bow=float(size[at]),
        bow_at=float(places[at]),
        bow_phase=float(np.angle(relative[at]) % TURN),
        bend_angle=bend_angle(2 * float(size[at]), float(arms[0]), float(arms[1])),
    )


def bend_angle(total_indicated: float, before: float, after: float) -> float:
    """Angle of one sharp bend between supports; (TIR/2)(1/a + 1/b).

    Args:
        total_indicated: total indicated run-out at the bend [m].
        before: distance to one support [m].
        after: distance to the other [m].
    Returns:
        bend angle [rad].
    Valid: small angles, straight outside the bend.
    Raises: RangeError for a distance of zero or less.
    Source: own: small angles of two straight lines
    """
    if not (before > 0 and after > 0):
        raise RangeError("distance to support", min(before, after), "more than zero")
    return 0.5 * total_indicated * (1 / before + 1 / after)


def face_tilt(face_runout: float, diameter: float) -> float:
    """Tilt of a face from its axial run-out; F/D.

    Args:
        face_runout: total indicated axial run-out [m].
        diameter: circle on which the dial stood [m].
    Returns:
        tilt from square [rad].
    Valid: small angles; the shaft held against axial play.
    Raises: RangeError for a diameter of zero or less.
    Source: own: small angle
    """
    if not diameter > 0:
        raise RangeError("diameter", diameter, "more than zero")
    return face_runout / diameter
