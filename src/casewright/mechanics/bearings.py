"""Loads on rolling bearings: taper roller geometry, equivalent loads, pairs, static safety."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from casewright.errors import RangeError
from casewright.mechanics.bearing_life import basic_life
from casewright.tables.bearing_life import BALL_RADIAL, BALL_THRUST
from casewright.working import Term, Working


@dataclass(frozen=True, slots=True)
class TaperFactors:
    """Factors that follow from a taper row's contact angle [-]."""

    limit: float  # e
    thrust: float  # Y
    static_thrust: float  # Y0


def taper_factors(contact_angle: float) -> TaperFactors:
    """Load factors; e = 1.5 tan a, Y = 0.4 cot a, Y0 = 0.22 cot a.

    Args:
        contact_angle: contact angle of the cup [rad].
    Returns:
        TaperFactors: e, Y, Y0 [-].
    Valid: single-row taper roller bearings.
    Raises: RangeError for an angle outside 5 to 45 degrees.
    Source: ISO-281 and ISO-76, radial roller bearings
    """
    if not math.radians(5) <= contact_angle <= math.radians(45):
        raise RangeError("contact angle", contact_angle, "5 to 45 degrees")
    slope = math.tan(contact_angle)
    return TaperFactors(1.5 * slope, 0.4 / slope, 0.22 / slope)


def taper_equivalent_load(radial: float, axial: float, limit: float, thrust: float) -> float:
    """Equivalent dynamic load; P = Fr if Fa/Fr <= e, else 0.4 Fr + Y Fa.

    Args:
        radial: radial load Fr [N].
        axial: axial load Fa, its size [N].
        limit: e [-].
        thrust: Y [-].
    Returns:
        P, never less than the radial load [N].
    Valid: single row. Printed e and Y are rounded, so Fr is kept as the floor.
    Raises: RangeError for negative loads.
    Source: ISO-281 Table of factors X and Y
    """
    if radial < 0 or axial < 0:
        raise RangeError("bearing loads", (radial, axial), "sizes, zero or more")
    if axial <= limit * radial:
        return radial
    return max(0.4 * radial + thrust * axial, radial)


def taper_static_load(radial: float, axial: float, static_thrust: float) -> float:
    """Equivalent static load; P0 = 0.5 Fr + Y0 Fa, at least Fr.

    Args:
        radial: radial load [N].
        axial: axial load, its size [N].
        static_thrust: Y0 [-].
    Returns:
        P0 [N].
    Valid: single row.
    Raises: RangeError for negative loads.
    Source: ISO-76 clause on radial roller bearings
    """
    if radial < 0 or axial < 0:
        raise RangeError("bearing loads", (radial, axial), "sizes, zero or more")
    return max(0.5 * radial + static_thrust * axial, radial)


def ball_equivalent_load(radial: float, axial: float, static_capacity: float) -> float:
    """Equivalent dynamic load of a deep-groove ball bearing; P = Fr, or 0.56 Fr + Y Fa over e.

    Args:
        radial: radial load Fr [N].
        axial: axial load Fa, its size [N].
        static_capacity: basic static load rating C0, by which e and Y are found [N].
    Returns:
        P, never less than the radial load [N].
    Valid: single row, usual clearance; Fa/C0 from 0.014 to 0.56, the ends are kept beyond.
    Raises: RangeError for negative loads or a rating that isn't positive.
    Source: SHIGLEY table 11-1, after ISO-281
    Example:
        >>> round(ball_equivalent_load(500.0, 400.0, 4450.0))
        891
    """
    if radial < 0 or axial < 0 or static_capacity <= 0:
        raise RangeError("bearing loads", (radial, axial), "sizes, zero or more; C0 above 0")
    shares, limits, thrusts = zip(*BALL_THRUST, strict=True)
    share = axial / static_capacity
    limit = float(np.interp(share, shares, limits))
    if axial <= limit * radial:
        return radial
    thrust = float(np.interp(share, shares, thrusts))
    return max(BALL_RADIAL * radial + thrust * axial, radial)


def ball_static_load(radial: float, axial: float) -> float:
    """Equivalent static load of a deep-groove ball bearing; P0 = 0.6 Fr + 0.5 Fa, at least Fr.

    Args:
        radial: radial load [N].
        axial: axial load, its size [N].
    Returns:
        P0 [N].
    Valid: single row.
    Raises: RangeError for negative loads.
    Source: ISO-76 table of factors X0 and Y0
    """
    if radial < 0 or axial < 0:
        raise RangeError("bearing loads", (radial, axial), "sizes, zero or more")
    return max(0.6 * radial + 0.5 * axial, radial)


def static_safety(static_capacity: float, static_load: float) -> float:
    """Static safety; s0 = C0 / P0.

    Args:
        static_capacity: basic static load rating C0 [N].
        static_load: equivalent static load P0 [N].
    Returns:
        s0 [-].
    Valid: 1 is the mark of slight permanent dents; shock loads want more.
    Raises: RangeError for a load that isn't positive.
    Source: ISO-76 clause on static safety
    """
    if not static_load > 0:
        raise RangeError("static load", static_load, "a positive load")
    return static_capacity / static_load


@dataclass(frozen=True, slots=True)
class PairRow:
    """One bearing of a pair: induced thrust, axial and equivalent load [N], life [revolutions]."""

    induced: float
    axial: float
    equivalent: float
    life: float
    static_safety: float | None


@dataclass(frozen=True, slots=True)
class PairLoads:
    """Both bearings of a taper pair."""

    first: PairRow
    second: PairRow
    working: Working


@dataclass(frozen=True, slots=True)
class TaperRow:
    """What the sheet says of one taper bearing, and its radial load: factors [-], loads [N]."""

    radial: float
    limit: float
    thrust: float
    capacity: float
    static_thrust: float | None = None
    static_capacity: float | None = None


def taper_pair_loads(first: TaperRow, second: TaperRow, external: float) -> PairLoads:
    """Axial loads of a pair; S = Fr/(2Y), and the external thrust decides which row yields.

    Args:
        first: the row onto which a positive external thrust pushes the shaft [N, -].
        second: the other row [N, -].
        external: external thrust Ka onto the first row, negative onto the second [N].
    Returns:
        PairLoads: loads [N], life [revolutions], static safety [-].
    Valid: no preload, X or O arrangement; which row a thrust loads depends on it.
    Raises: RangeError for negative radial loads or factors.
    Source: ISO-281 with the catalogue load cases of taper pairs
    """
    if min(first.radial, second.radial) < 0 or min(first.thrust, second.thrust) <= 0:
        raise RangeError("pair loads", (first.radial, second.radial), "sizes, zero or more")
    induced = [row.radial / (2 * row.thrust) for row in (first, second)]
    if induced[1] + external >= induced[0]:
        axial = [induced[1] + external, induced[1]]
    else:
        axial = [induced[0], induced[0] - external]
    rows = [
        _pair_row(row, s, fa) for row, s, fa in zip((first, second), induced, axial, strict=True)
    ]
    working = Working(
        method="taper roller pair under thrust",
        formula="S = Fr/(2Y); the row that the thrust meets carries the balance",
        inputs=(
            Term("radial on first", first.radial, "N"),
            Term("radial on second", second.radial, "N"),
            Term("thrust onto first", external, "N"),
        ),
        outputs=tuple(Term("axial", fa, "N") for fa in axial),
        source="ISO 281 factors; catalogue load cases",
        notes=("In astern the thrust turns round and the rows change places.",),
        estimate=True,
    )
    return PairLoads(rows[0], rows[1], working)


def _pair_row(row: TaperRow, induced: float, axial: float) -> PairRow:
    load = taper_equivalent_load(row.radial, axial, row.limit, row.thrust)
    life = basic_life(row.capacity, load, "roller") if load > 0 else math.inf
    safety = None
    if row.static_thrust is not None and row.static_capacity is not None and load > 0:
        static = taper_static_load(row.radial, axial, row.static_thrust)
        safety = static_safety(row.static_capacity, static)
    return PairRow(induced, axial, load, life, safety)


@dataclass(frozen=True, slots=True)
class FrictionTorque:
    """Running torque [N·m] with a low and high that hand speed and grease allow."""

    value: float
    low: float
    high: float
    note: str


def friction_torque(
    load: float,
    mean_diameter: float,
    viscosity: float,
    speed: float,
    speed_factor: float = 4.0,
    load_factor: float = 0.0004,
) -> FrictionTorque:
    """Friction torque; M = f0 1e-7 (nu n)^(2/3) dm^3 + f1 P dm, ±50 %.

    Not for setting preload: a sheet's turning torque is an acceptance reading, and newton
    metres for a hundredth of a millimetre are learned from trials.

    Args:
        load: equivalent load [N].
        mean_diameter: mean diameter [m].
        viscosity: kinematic viscosity [m²/s].
        speed: angular speed [rad/s].
        speed_factor: f0, 3 to 6 for taper rollers [-].
        load_factor: f1 [-].
    Returns:
        FrictionTorque [N·m].
    Valid: running bearings; at hand speed no better than half to one and a half.
    Raises: RangeError for negative inputs.
    Source: PALMGREN friction formula (factors from memory)
    """
    if min(load, mean_diameter, viscosity, speed) < 0:
        raise RangeError("friction inputs", load, "values of zero or more")
    product = viscosity * 1e6 * speed * 30 / math.pi
    drag = product ** (2 / 3) if product >= 2000 else 160.0 if product > 0 else 0.0
    value = speed_factor * 1e-7 * drag * (1e3 * mean_diameter) ** 3 * 1e-3
    value = float(value + load_factor * load * mean_diameter)
    return FrictionTorque(
        value, 0.5 * value, 1.5 * value, "estimate; never set preload by a computed torque"
    )
