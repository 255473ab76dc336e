"""Axial spring of taper rollers, and what heat does to end play and preload.

Estimates: the maker's setting rules; the spring shows how much a hundredth matters.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from casewright.errors import RangeError, UnconvergedError
from casewright.working import Term, Working

Arrangement = Literal["X", "O"]
LINE_CONSTANT = 7.68e-5  # mm, N: roller contact between steel bodies
LINE_EXPONENT = 0.9
LIFT_OFF_LINE = 2 ** (1 / 0.9)
LIFT_OFF_POINT = 2**1.5


@dataclass(frozen=True, slots=True)
class RollerRow:
    """One taper row: contact angle [rad], number of rollers [-], effective roller length [m]."""

    contact_angle: float
    rollers: int
    roller_length: float


@dataclass(frozen=True, slots=True)
class Deflection:
    """Axial deflection [m], stiffness [N/m] and roller load [N] under an axial load."""

    deflection: float
    stiffness: float
    roller_load: float


def _compliance(row: RollerRow, constant: float) -> float:
    """Deflection [m] under one newton to the power 0.9."""
    sine = math.sin(row.contact_angle)
    length = (1e3 * row.roller_length) ** 0.8
    return 1e-3 * float(constant / (length * sine * (row.rollers * sine) ** LINE_EXPONENT))


def axial_deflection(load: float, row: RollerRow, constant: float = LINE_CONSTANT) -> Deflection:
    """Axial deflection of a taper row; da = 7.68e-5 Q^0.9/(l^0.8 sin a), Q = Fa/(Z sin a).

    Args:
        load: axial load shared by all rollers [N].
        row: the row [rad, -, m].
        constant: contact constant, 7.68e-5 or as one source prints 7.7e-5 [mm/N^0.9 mm^0.8].
    Returns:
        Deflection: [m], stiffness load/(0.9 deflection) [N/m], roller load [N].
    Valid: steel, stiff seats, load centred; a housing's give comes on top.
    Raises: RangeError for a load that isn't positive or a row that can't be.
    Source: PALMGREN line contact approach
    """
    if not load > 0:
        raise RangeError("axial load", load, "a positive load")
    if row.rollers < 3 or row.roller_length <= 0 or not 0 < row.contact_angle < math.pi / 2:
        raise RangeError("taper row", row, "rollers, length and contact angle of a bearing")
    deflection = _compliance(row, constant) * load**LINE_EXPONENT
    roller = load / (row.rollers * math.sin(row.contact_angle))
    return Deflection(deflection, load / (LINE_EXPONENT * deflection), roller)


def lift_off_load(preload: float, contact: Literal["line", "point"] = "line") -> float:
    """External thrust that unloads one row of an identical pair; 2^(1/0.9) or 2^1.5 preloads.

    Args:
        preload: preload of the pair [N].
        contact: line (rollers) or point (balls) [-].
    Returns:
        thrust at which one row just carries nothing [N].
    Valid: two equal rows, stiff housing.
    Raises: RangeError for a negative preload.
    Source: PALMGREN deflection exponents 0.9 and 2/3; own: both rows share one move
    """
    if preload < 0:
        raise RangeError("preload", preload, "zero or more")
    return preload * (LIFT_OFF_LINE if contact == "line" else LIFT_OFF_POINT)


@dataclass(frozen=True, slots=True)
class Seat:
    """A bearing's seats for heat: cup outer diameter [m], contact angle [rad]."""

    cup_diameter: float
    contact_angle: float


@dataclass(frozen=True, slots=True)
class Warming:
    """Materials and temperatures: expansion [1/K], rises from cold to working [K].

    `cup_follows` is the share of the housing's growth that the pressed cup follows: 1 is the
    most, a heavy fit or a steel sleeve leaves less.
    """

    housing_expansion: float
    shaft_expansion: float
    housing_rise: float
    shaft_rise: float
    cup_follows: float = 1.0


@dataclass(frozen=True, slots=True)
class PlayChange:
    """Change of end play [m], + looser: from the cups' growth and from the span."""

    total: float
    cups: float
    span: float


def radial_growth_as_axial(radial_growth: float, contact_angle: float) -> float:
    """Axial play from radial growth of a cup; growth / tan a.

    Args:
        radial_growth: growth of the raceway's radius [m].
        contact_angle: contact angle [rad].
    Returns:
        axial play [m].
    Valid: one row; growth in radius, not in diameter.
    Raises: RangeError for a flat contact angle.
    Source: CUP-GROWTH conversion of 10 µm radial growth
    """
    if not 0 < contact_angle < math.pi / 2:
        raise RangeError("contact angle", contact_angle, "between 0 and 90 degrees")
    return radial_growth / math.tan(contact_angle)


def thermal_play_change(
    arrangement: Arrangement, seats: Sequence[Seat], span: float, heat: Warming
) -> PlayChange:
    """Change of end play; sum(dr/tan a) ± (aH dTH - aS dTS) L, + for X, - for O.

    Args:
        arrangement: X (cones' backs apart, face to face) or O (back to back) [-].
        seats: both bearings [m, rad].
        span: axial distance between the cup seats [m].
        heat: expansions and temperature rises [1/K, K].
    Returns:
        PlayChange [m], positive loosens.
    Valid: uniform temperatures; cup growth is an upper bound unless `cup_follows` is known.
    Raises: RangeError for another number of bearings than two or a negative span.
    Source: own: kinematics of two cones; structure as makers' lateral-loss formula
    """
    if len(seats) != 2:
        raise RangeError("bearings", len(seats), "the two bearings of the pair")
    if span < 0 or not 0 <= heat.cup_follows <= 1:
        raise RangeError("span and cup share", (span, heat.cup_follows), "zero or more; 0 to 1")
    housing = heat.housing_expansion * heat.housing_rise
    shaft = heat.shaft_expansion * heat.shaft_rise
    growth = heat.cup_follows * (housing - shaft)
    cups = sum(
        radial_growth_as_axial(0.5 * growth * seat.cup_diameter, seat.contact_angle)
        for seat in seats
    )
    along = (housing - shaft) * span * (1 if arrangement == "X" else -1)
    return PlayChange(cups + along, cups, along)


@dataclass(frozen=True, slots=True)
class PreloadChange:
    """Cold and working preload [N] or end play [m], whichever there is; 0 for the other."""

    cold_preload: float
    warm_preload: float
    cold_play: float
    warm_play: float
    change: PlayChange
    stiffness: float
    working: Working


def preload_at_temperature(
    arrangement: Arrangement,
    rows: Sequence[RollerRow],
    cup_diameters: Sequence[float],
    span: float,
    heat: Warming,
    cold_preload: float = 0.0,
    cold_play: float = 0.0,
) -> PreloadChange:
    """Preload or end play at working temperature from the cold one and the play change.

    Preloaded rows are squeezed together by c F^0.9 each; the play change eats into that, and
    what is left over is play.

    Args:
        arrangement: X or O [-].
        rows: the two taper rows [rad, -, m].
        cup_diameters: outer diameters of the two cups [m].
        span: axial distance between the cup seats [m].
        heat: expansions and rises [1/K, K].
        cold_preload: preload cold, 0 with end play [N].
        cold_play: end play cold, 0 with preload [m].
    Returns:
        PreloadChange: preload [N], play [m], stiffness of the pair at the cold preload [N/m].
    Valid: an estimate; stiff housing makes the change look larger than it is.
    Raises: RangeError for negative values or preload together with play.
    Source: own: PALMGREN springs in line with the thermal play change
    """
    if min(cold_preload, cold_play) < 0 or (cold_preload > 0 and cold_play > 0):
        raise RangeError("cold setting", (cold_preload, cold_play), "preload or end play, not both")
    seats = [Seat(d, row.contact_angle) for d, row in zip(cup_diameters, rows, strict=True)]
    change = thermal_play_change(arrangement, seats, span, heat)
    compliance = sum(_compliance(row, LINE_CONSTANT) for row in rows)
    squeeze = compliance * cold_preload**LINE_EXPONENT - cold_play
    left = squeeze - change.total
    warm = (max(left, 0.0) / compliance) ** (1 / LINE_EXPONENT)
    stiffness = cold_preload / (LINE_EXPONENT * squeeze) if squeeze > 0 else 0.0
    working = Working(
        method="preload from cold to working temperature",
        formula="c F^0.9 = squeeze; squeeze falls by the play change",
        inputs=(
            Term("cold preload", cold_preload, "N"),
            Term("cold end play", cold_play, "m"),
            Term("span", span, "m"),
        ),
        outputs=(Term("warm preload", warm, "N"), Term("warm end play", max(-left, 0.0), "m")),
        source="line-contact spring and thermal growth",
        steps=(Term("play from cups", change.cups, "m"), Term("play from span", change.span, "m")),
        notes=("Upper bound of the cups' growth.", "The maker's setting rules."),
        estimate=True,
    )
    return PreloadChange(
        cold_preload, float(warm), cold_play, max(-left, 0.0), change, stiffness, working
    )


def preload_of_squeeze(rows: Sequence[RollerRow], squeeze: float) -> float:
    """Preload that squeezes two rows together by so much; F = (squeeze / sum c)^(1/0.9).

    Args:
        rows: the two taper rows [rad, -, m].
        squeeze: how far the rows are pressed together [m].
    Returns:
        preload [N].
    Valid: steel, stiff seats: a housing's give makes the true preload smaller.
    Raises: RangeError for a negative squeeze.
    Source: PALMGREN line contact approach, solved for the load
    """
    if squeeze < 0:
        raise RangeError("squeeze", squeeze, "zero or more")
    compliance = sum(_compliance(row, LINE_CONSTANT) for row in rows)
    return float((squeeze / compliance) ** (1 / LINE_EXPONENT))


@dataclass(frozen=True, slots=True)
class RollerLoads:
    """How a row shares its load: zone factor, integrals [-], heaviest roller [N]."""

    zone: float
    radial_integral: float
    axial_integral: float
    heaviest: float


@lru_cache(maxsize=1)
def _gauss_points() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    nodes, weights = np.polynomial.legendre.leggauss(96)
    return nodes, weights


def load_integrals(zone: float, exponent: float = 1 / LINE_EXPONENT) -> tuple[float, float]:
    """Load distribution integrals Jr and Ja; mean of (1 - (1 - cos psi)/(2 eps))^n (cos psi).

    Args:
        zone: load zone factor eps; 0.5 loads half of the row, 1 and more all of it [-].
        exponent: load over deflection exponent n, 10/9 line and 1.5 point contact [-].
    Returns:
        Jr and Ja [-].
    Valid: many rolling elements.
    Raises: RangeError for a zone that isn't positive.
    Source: SJOVALL integrals
    """
    if not zone > 0:
        raise RangeError("load zone", zone, "a positive factor")
    half = math.pi if zone >= 1 else math.acos(1 - 2 * zone)
    nodes, weights = _gauss_points()
    angle = 0.5 * half * (nodes + 1)
    load = np.maximum(1 - (1 - np.cos(angle)) / (2 * zone), 0.0) ** exponent
    share = 0.5 * half * weights / math.pi
    return float(share @ (load * np.cos(angle))), float(share @ load)


def roller_loads(radial: float, axial: float, row: RollerRow) -> RollerLoads:
    """Share of the load by Sjövall; Fr = Z Q cos a Jr(eps), Fa = Z Q sin a Ja(eps).

    Args:
        radial: radial load [N].
        axial: axial load of the row [N].
        row: the taper row [rad, -, m].
    Returns:
        RollerLoads: zone, integrals [-], heaviest roller [N].
    Valid: no misalignment, Fr tan a / Fa up to 0.97 (a zone of a roller or two beyond).
    Raises: RangeError outside that, UnconvergedError.
    Source: SJOVALL integrals with exponent 10/9
    """
    from scipy.optimize import brentq

    if not (radial >= 0 and axial > 0):
        raise RangeError("row loads", (radial, axial), "radial zero or more, axial positive")
    sine, cosine = math.sin(row.contact_angle), math.cos(row.contact_angle)
    wanted = radial * sine / (cosine * axial)
    if wanted > 0.97:
        raise RangeError("radial against axial load", wanted, "Fr tan a / Fa up to 0.97")
    if wanted < 1e-4:
        return RollerLoads(math.inf, 0.0, 1.0, axial / (row.rollers * sine))

    def miss(log_zone: float) -> float:
        jr, ja = load_integrals(math.exp(log_zone))
        return jr / ja - wanted

    root, report = brentq(miss, math.log(1e-3), math.log(1e5), full_output=True)
    if not report.converged:
        raise UnconvergedError("load zone of a taper row", iterations=report.iterations)
    zone = math.exp(root)
    jr, ja = load_integrals(zone)
    return RollerLoads(zone, jr, ja, axial / (row.rollers * sine * ja))
