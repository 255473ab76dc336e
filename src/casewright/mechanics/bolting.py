"""Nut factor K, scatter of tightening, joint under load: the textbook's side of bolting."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, pi

import numpy as np

from casewright.errors import RangeError
from casewright.mechanics.bolt_inputs import friction_coefficient, positive

HALF_ANGLE = pi / 6
# Share of the proof load that the textbooks take for a joint to be opened again, and for good.
REUSE_SHARE = {"reused": 0.75, "permanent": 0.90}


@dataclass(frozen=True, slots=True)
class Scatter:
    """Mean [N], standard deviation with n − 1 [N], and their ratio."""

    mean: float
    deviation: float
    relative: float


@dataclass(frozen=True, slots=True)
class JointStress:
    """Bolt's share of an outer load, and its stress [Pa] by preload and by service load."""

    bolt_share: float
    preload_stress: float
    service_stress: float


def torque_from_nut_factor(nut_factor: float, diameter: float, preload: float) -> float:
    """Torque by the simple form; T = K d F.

    Args:
        nut_factor: K, about 0.2 for dry bolts but 0.14 for a large fine ring nut [-].
        diameter: nominal thread diameter [m].
        preload: bolt force [N].
    Returns:
        torque [N m].
    Valid: only for the size, face and friction for which K is known.
    Raises: RangeError for a value of zero or less.
    Source: SHIGLEY equation 8-27
    """
    for name, value in (("K", nut_factor), ("diameter", diameter), ("preload", preload)):
        positive(name, value, "")
    return nut_factor * diameter * preload


def textbook_nut_factor(
    major: float,
    root: float,
    pitch: float,
    thread_friction: float,
    collar_friction: float,
    collar_ratio: float = 1.25,
) -> float:
    """K of the textbook; (dm/2d)(tan λ + f sec α)/(1 − f tan λ sec α) + collar_ratio/2 fc.

    Args:
        major: nominal diameter [m].
        root: root diameter [m].
        pitch: lead of the thread [m].
        thread_friction: coefficient in the thread f [-].
        collar_friction: coefficient under the head fc [-].
        collar_ratio: mean collar diameter over nominal diameter [-].
    Returns:
        K [-].
    Valid: 60 degree threads; dm is the mean of major and root diameter.
    Raises: RangeError where the root is not inside the major diameter, or the thread locks.
    Source: SHIGLEY equation 8-26
    """
    if not 0 < root < major:
        raise RangeError("root diameter", root, f"between 0 and {major:g}")
    mean = 0.5 * (major + root)
    lead = positive("pitch", pitch, "m") / (pi * mean)
    friction = friction_coefficient("thread friction", thread_friction) / cos(HALF_ANGLE)
    if friction * lead >= 1:
        raise RangeError("thread friction", thread_friction, "less than the thread locks at")
    collar = friction_coefficient("collar friction", collar_friction)
    thread_part = mean / (2 * major) * (lead + friction) / (1 - friction * lead)
    return thread_part + 0.5 * collar_ratio * collar


def tightening_factor(scatter: float) -> float:
    """Tightening factor of a ± scatter; αA = Fmax/Fmin = (1 + s)/(1 − s).

    Args:
        scatter: ± share about the mean [-].
    Returns:
        αA [-].
    Valid: 0 ≤ s < 1. Torque wrench 1.4 to 1.6, power driver 1.7 to 2.5, impact 2.5 to 4.
    Raises: RangeError outside.
    Source: VDI2230 tightening factor
    """
    if not 0 <= scatter < 1:
        raise RangeError("scatter", scatter, "a share from 0 to below 1")
    return (1 + scatter) / (1 - scatter)


def scatter_of_factor(factor: float) -> float:
    """± scatter of a tightening factor; s = (αA − 1)/(αA + 1).

    Args:
        factor: αA = Fmax/Fmin [-].
    Returns:
        ± share about the mean [-].
    Valid: αA ≥ 1.
    Raises: RangeError below 1.
    Source: VDI2230 tightening factor
    """
    if not factor >= 1:
        raise RangeError("tightening factor", factor, "1 or more")
    return (factor - 1) / (factor + 1)


def least_preload(greatest: float, factor: float) -> float:
    """Least preload that a tightening method leaves; Fmin = Fmax/αA.

    Args:
        greatest: greatest preload, as `assembly_preload` gives [N].
        factor: tightening factor αA [-].
    Returns:
        least preload [N].
    Valid: αA ≥ 1; settling of the joint comes off it still.
    Raises: RangeError below 1.
    Source: VDI2230 tightening factor
    """
    scatter_of_factor(factor)
    return greatest / factor


def preload_scatter(preloads: Sequence[float]) -> Scatter:
    """Mean and standard deviation of measured preloads; s with n − 1.

    Args:
        preloads: measured bolt forces [N], shape (n,).
    Returns:
        mean and standard deviation [N], relative deviation [-].
    Valid: two readings or more; ten say little about the tails.
    Raises: RangeError for fewer than two.
    Source: SHIGLEY table 8-14
    """
    if len(preloads) < 2:
        raise RangeError("preloads", len(preloads), "two readings or more")
    values = np.asarray(preloads, dtype=float)
    mean, deviation = float(values.mean()), float(values.std(ddof=1))
    return Scatter(mean, deviation, deviation / mean)


def joint_stress(
    preload: float, load: float, bolt_stiffness: float, member_stiffness: float, area: float
) -> JointStress:
    """Bolt stress under an outer load; C = kb/(kb + km), σ = (C P + F)/At.

    Args:
        preload: bolt force without load [N].
        load: outer load on this bolt [N].
        bolt_stiffness: kb [N/m].
        member_stiffness: km of the clamped parts [N/m].
        area: stress area [m²].
    Returns:
        bolt's share [-], stress by preload and in service [Pa].
    Valid: while the joint stays closed (load below F/(1 − C)).
    Raises: RangeError where the load opens the joint.
    Source: SHIGLEY equation 8-24 and example 8-3
    """
    share = bolt_stiffness / (bolt_stiffness + member_stiffness)
    if load * (1 - share) > preload:
        raise RangeError("load", load, f"at most {preload / (1 - share):.4g} N, else it opens")
    return JointStress(share, preload / area, (share * load + preload) / area)
