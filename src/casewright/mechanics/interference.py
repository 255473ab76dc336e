"""Interference of a ring on a shaft: pressure, stresses, size changes, force and torque (Lamé).

Plane stress, free ends, equal length, both parts elastic. Interference and clearance are
diametral; a positive interference means the shaft is larger. Every function takes floats or
numpy arrays of one shape and gives the same back. A solid shaft has a bore of zero, a ring in
a big block has an outside diameter of `math.inf`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from casewright.errors import RangeError

Number = float | NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class PressedStress:
    """What a joint pressure does: stresses [Pa] and changes of diameter [m].

    Tension and growth are positive. `shaft_bore_hoop` governs a hollow shaft; for a solid one
    the three shaft stresses are those of the joint.
    """

    pressure: Number
    hub_hoop: Number
    hub_von_mises: Number
    hub_tresca: Number
    hub_outside_hoop: Number
    shaft_hoop: Number
    shaft_bore_hoop: Number
    shaft_von_mises: Number
    shaft_tresca: Number
    hub_outside_growth: Number
    shaft_bore_growth: Number
    hub_joint_growth: Number
    shaft_joint_growth: Number


@dataclass(frozen=True, slots=True)
class ElasticLimits:
    """Highest joint pressure [Pa] at which each part stays fully elastic."""

    hub: Number
    hub_tresca: Number
    shaft: Number


def holds(condition: Any) -> bool:
    """Whether a comparison of numbers or arrays is true throughout; quick for plain numbers.

    Args:
        condition: truth value or array of them [-].
    Returns:
        one truth value [-].
    Valid: any.
    Raises: nothing.
    Source: own: a helper.
    """
    return condition if isinstance(condition, bool) else bool(np.all(condition))


def check_rings(diameter: Number, hub_outside: Number, shaft_bore: Number) -> None:
    """Refuse rings that can't be: shaft larger than the hub's outside, bore larger than joint.

    Args:
        diameter: joint diameter [m].
        hub_outside: outside diameter of the hub, infinite for a big block [m].
        shaft_bore: bore of the shaft, zero when solid [m].
    Returns:
        nothing [-].
    Valid: any.
    Raises: RangeError naming the diameter.
    Source: own: geometry.
    """
    if not holds(diameter > 0):
        raise RangeError("joint diameter", diameter, "more than 0 m")
    if not holds(hub_outside > diameter):
        raise RangeError(
            "hub outside diameter",
            hub_outside,
            f"more than the joint diameter {diameter} m",
            "Check that hub and shaft are not exchanged.",
        )
    if not holds((shaft_bore < diameter) & (shaft_bore >= 0)):
        raise RangeError(
            "shaft bore", shaft_bore, f"0 m to less than the joint diameter {diameter} m"
        )


def joint_compliance(
    diameter: Number,
    hub_outside: Number,
    hub_modulus: Number,
    hub_poisson: Number,
    shaft_modulus: Number,
    shaft_poisson: Number,
    shaft_bore: Number = 0.0,
) -> Number:
    """Interference per joint diameter and pressure, C = Co + Ci.

    Co = ((1+Qo²)/(1-Qo²) + nu_o)/Eo, Ci = ((1+Qi²)/(1-Qi²) - nu_i)/Ei, Qo = d/Do, Qi = di/d.

    Args:
        diameter: joint diameter d [m].
        hub_outside: outside diameter Do of the hub, infinite for a big block [m].
        hub_modulus: Young's modulus of the hub [Pa].
        hub_poisson: Poisson's ratio of the hub [-].
        shaft_modulus: Young's modulus of the shaft [Pa].
        shaft_poisson: Poisson's ratio of the shaft [-].
        shaft_bore: bore di of the shaft, zero when solid [m].
    Returns:
        compliance [1/Pa].
    Valid: elastic, plane stress, equal length, free ends.
    Raises: RangeError for impossible rings or constants.
    Source: SHIGLEY-8 eq. 7-39.
    """
    check_rings(diameter, hub_outside, shaft_bore)
    parts: tuple[tuple[str, Number, Number], ...] = (
        ("hub", hub_modulus, hub_poisson),
        ("shaft", shaft_modulus, shaft_poisson),
    )
    for field, modulus, poisson in parts:
        if not holds(modulus > 1e6):
            raise RangeError(f"{field} modulus", modulus, "more than 1e6 Pa", "Give it in Pa.")
        if not holds((poisson >= 0) & (poisson <= 0.5)):
            raise RangeError(f"{field} Poisson's ratio", poisson, "0 to 0.5")
    outer, inner = (diameter / hub_outside) ** 2, (shaft_bore / diameter) ** 2
    hub = ((1 + outer) / (1 - outer) + hub_poisson) / hub_modulus
    shaft = ((1 + inner) / (1 - inner) - shaft_poisson) / shaft_modulus
    return hub + shaft


def joint_pressure(
    interference: Number,
    diameter: Number,
    hub_outside: Number,
    hub_modulus: Number,
    hub_poisson: Number,
    shaft_modulus: Number,
    shaft_poisson: Number,
    shaft_bore: Number = 0.0,
) -> Number:
    """Pressure of a press fit, p = U / (d C), zero for a clearance.

    Args:
        interference: diametral interference U, negative for clearance [m].
        diameter: joint diameter d [m].
        hub_outside: outside diameter of the hub, infinite for a big block [m].
        hub_modulus: Young's modulus of the hub [Pa].
        hub_poisson: Poisson's ratio of the hub [-].
        shaft_modulus: Young's modulus of the shaft [Pa].
        shaft_poisson: Poisson's ratio of the shaft [-].
        shaft_bore: bore of the shaft, zero when solid [m].
    Returns:
        pressure [Pa].
    Valid: elastic, plane stress; U must be diametral, a radial one halves the answer.
    Raises: RangeError for impossible rings, or an interference over 1 % of the diameter.
    Source: SHIGLEY-8 eq. 7-39.

    Example:
        >>> p = joint_pressure(59e-6, 0.04, 0.08, 207e9, 0.3, 207e9, 0.3)
        >>> round(float(p) / 1e6, 1)
        114.5
    """
    largest = 0.01 * diameter
    if not holds((interference <= largest) & (interference >= -largest)):
        raise RangeError(
            "interference",
            interference,
            "at most 1 % of the joint diameter",
            "Check the unit, and that shaft and bore belong together.",
        )
    compliance = joint_compliance(
        diameter, hub_outside, hub_modulus, hub_poisson, shaft_modulus, shaft_poisson, shaft_bore
    )
    gripping = (
        max(interference, 0.0) if isinstance(interference, float) else np.maximum(interference, 0.0)
    )
    return gripping / (diameter * compliance)


def pressed_stress(
    pressure: Number,
    diameter: Number,
    hub_outside: Number,
    hub_modulus: Number,
    hub_poisson: Number,
    shaft_modulus: Number,
    shaft_poisson: Number,
    shaft_bore: Number = 0.0,
) -> PressedStress:
    """Stresses and size changes of hub and shaft under a joint pressure.

    Hub bore: hoop p(1+Q²)/(1-Q²), von Mises p sqrt(3+Q⁴)/(1-Q²), Tresca 2p/(1-Q²).

    Args:
        pressure: joint pressure p [Pa].
        diameter: joint diameter d [m].
        hub_outside: outside diameter of the hub, infinite for a big block [m].
        hub_modulus: Young's modulus of the hub [Pa].
        hub_poisson: Poisson's ratio of the hub [-].
        shaft_modulus: Young's modulus of the shaft [Pa].
        shaft_poisson: Poisson's ratio of the shaft [-].
        shaft_bore: bore of the shaft, zero when solid [m].
    Returns:
        stresses and changes of diameter [Pa, m].
    Valid: elastic, plane stress; a hollow shaft's bore governs, not the joint.
    Raises: RangeError for impossible rings.
    Source: SHIGLEY-8 chapter 3 (thick cylinders, press and shrink fits; Lamé).
    """
    check_rings(diameter, hub_outside, shaft_bore)
    outer, inner = (diameter / hub_outside) ** 2, (shaft_bore / diameter) ** 2
    hub_hoop = pressure * (1 + outer) / (1 - outer)
    shaft_hoop = -pressure * (1 + inner) / (1 - inner)
    solid = np.equal(shaft_bore, 0)
    bore_hoop = _where(solid, -pressure * np.ones_like(inner), -2 * pressure / (1 - inner))
    finite_outside = np.where(np.isfinite(hub_outside), hub_outside, 0.0)
    return PressedStress(
        pressure=pressure,
        hub_hoop=hub_hoop,
        hub_von_mises=pressure * np.sqrt(3 + outer**2) / (1 - outer),
        hub_tresca=2 * pressure / (1 - outer),
        hub_outside_hoop=2 * pressure * outer / (1 - outer),
        shaft_hoop=shaft_hoop,
        shaft_bore_hoop=bore_hoop,
        shaft_von_mises=-bore_hoop,
        shaft_tresca=-bore_hoop,
        hub_outside_growth=2 * pressure * outer / (1 - outer) * finite_outside / hub_modulus,
        shaft_bore_growth=-2 * pressure * shaft_bore / ((1 - inner) * shaft_modulus),
        hub_joint_growth=diameter * (hub_hoop + hub_poisson * pressure) / hub_modulus,
        shaft_joint_growth=diameter * (shaft_hoop + shaft_poisson * pressure) / shaft_modulus,
    )


def elastic_limits(
    diameter: Number,
    hub_outside: Number,
    hub_yield: Number,
    shaft_yield: Number,
    shaft_bore: Number = 0.0,
) -> ElasticLimits:
    """Highest joint pressures with both parts fully elastic (modified shear hypothesis).

    Hub Re (1-Qo²)/sqrt(3), hollow shaft Re (1-Qi²)/sqrt(3), solid shaft 2 Re/sqrt(3).

    Args:
        diameter: joint diameter [m].
        hub_outside: outside diameter of the hub, infinite for a big block [m].
        hub_yield: yield strength Re of the hub, of the hot hub where it is hot [Pa].
        shaft_yield: yield strength of the shaft [Pa].
        shaft_bore: bore of the shaft, zero when solid [m].
    Returns:
        limits of hub and shaft [Pa]; the hub's by Tresca, Re (1-Qo²)/2, beside it.
    Valid: ductile materials; no safety factor is in it.
    Raises: RangeError for impossible rings.
    Source: DIN7190 elastic design (from memory).
    """
    check_rings(diameter, hub_outside, shaft_bore)
    outer, inner = (diameter / hub_outside) ** 2, (shaft_bore / diameter) ** 2
    share = _where(np.equal(shaft_bore, 0), 2.0 * np.ones_like(inner), 1 - inner)
    return ElasticLimits(
        hub=hub_yield * (1 - outer) / math.sqrt(3),
        hub_tresca=hub_yield * (1 - outer) / 2,
        shaft=shaft_yield * share / math.sqrt(3),
    )


def sliding_force(pressure: Number, diameter: Number, length: Number, friction: Number) -> Number:
    """Axial force at which a joint slides, F = pi d L p mu; grows linearly while pressing in.

    Args:
        pressure: joint pressure [Pa].
        diameter: joint diameter [m].
        length: joint length engaged [m].
        friction: coefficient of friction [-].
    Returns:
        force [N].
    Valid: uniform pressure; press from largest, hold from least pressure and friction.
    Raises: RangeError for a length that is not positive or a friction outside 0 to 1.
    Source: SHIGLEY-8 section 7-8 (tolerances of press fits, friction on the joint).

    Example:
        >>> round(float(sliding_force(7.1295e6, 0.080, 0.022, 0.12)), 0)
        4730.0
    """
    if not holds(length > 0):
        raise RangeError("joint length", length, "more than 0 m")
    if not holds((friction >= 0) & (friction < 1)):
        raise RangeError("friction", friction, "0 to less than 1")
    return math.pi * diameter * length * pressure * friction


def slip_torque(force: Number, diameter: Number) -> Number:
    """Torque at which a joint turns, T = F d / 2.

    Args:
        force: sliding force of the whole joint [N].
        diameter: joint diameter [m].
    Returns:
        torque [N m].
    Valid: uniform pressure and the same friction along and around.
    Raises: nothing.
    Source: SHIGLEY-8 section 7-8 (torque capacity of a press fit).
    """
    return force * diameter / 2


def _where(condition: Any, one: Any, other: Any) -> Any:
    """`numpy.where` that gives a scalar back for scalars."""
    return np.where(condition, one, other)[()]
