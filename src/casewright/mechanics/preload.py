"""Tightening torque, preload and its range, combined stress (VDI 2230 form)."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan, cos, pi, sqrt, tan

from casewright.errors import InputError, RangeError
from casewright.mechanics.bolt_inputs import friction_coefficient, positive
from casewright.mechanics.bolting import scatter_of_factor
from casewright.mechanics.threads import ThreadGeometry, geometry
from casewright.working import Term, Working

HALF_ANGLE = pi / 6
# The guideline prints its equation with 0.16 for 1/2π and 0.58 for 1/(2 cos 30°); its tables are
# made with them, so ours are too. `TighteningTorque.exact` is free of the rounding.
PITCH_COEFFICIENT = 0.16
FRICTION_COEFFICIENT = 0.58
# Torsion factor of shear over tension: 1.5 fully plastic (since 2001), 2 elastic (1986).
TORSION_FACTOR = {"VDI 2230:2003": 1.5, "VDI 2230:1986": 2.0}


@dataclass(frozen=True, slots=True)
class TighteningTorque:
    """Torque for a preload [N m] and its three parts; `exact` without the small-angle form."""

    pitch: float
    thread: float
    head: float
    total: float
    exact: float
    nut_factor: float
    pitch_share: float
    thread_share: float
    head_share: float
    working: Working


@dataclass(frozen=True, slots=True)
class PreloadRange:
    """What a torque may have given: preload low to high [N], ratio and ± scatter about the mean."""

    low: float
    high: float
    ratio: float
    scatter: float
    working: Working


@dataclass(frozen=True, slots=True)
class AssemblyPreload:
    """Greatest assembly preload [N] and its torque [N m], with the edition it is after."""

    preload: float
    torque: float
    edition: str
    working: Working


@dataclass(frozen=True, slots=True)
class CombinedStress:
    """Stress while tightening [Pa]: tension, shear, reduced; share of yield."""

    tension: float
    shear: float
    reduced: float
    yield_share: float
    exceeded: bool


def _arms(
    size: ThreadGeometry, thread_friction: float, head_friction: float, friction_diameter: float
) -> tuple[float, float, float]:
    """Torque per preload [m] of pitch, thread friction and head friction."""
    friction_coefficient("thread friction", thread_friction)
    friction_coefficient("head friction", head_friction)
    positive("friction diameter", friction_diameter, "m")
    return (
        PITCH_COEFFICIENT * size.pitch,
        FRICTION_COEFFICIENT * size.pitch_diameter * thread_friction,
        0.5 * friction_diameter * head_friction,
    )


def tightening_torque(
    designation: str,
    preload: float,
    thread_friction: float,
    head_friction: float,
    friction_diameter: float,
) -> TighteningTorque:
    """Torque for a preload; MA = F (0.16 P + 0.58 d2 μG + DKm/2 μK).

    Args:
        designation: thread [-].
        preload: wanted bolt force [N].
        thread_friction: coefficient in the thread μG [-].
        head_friction: coefficient under the turned face μK [-].
        friction_diameter: mean diameter of that face, DKm [m].
    Returns:
        torque, its parts and shares, the exact-angle torque [N m], K = MA/(F d) [-].
    Valid: no prevailing torque (lock nuts add theirs); ring nuts with their own face and thread.
    Raises: RangeError for a preload of zero or less, or a friction outside 0 to 1.
    Source: VDI2230 tightening torque
    """
    size = geometry(designation)
    positive("preload", preload, "N")
    arms = _arms(size, thread_friction, head_friction, friction_diameter)
    arm = sum(arms)
    slope = atan(thread_friction / cos(HALF_ANGLE))
    exact = preload * (
        0.5 * size.pitch_diameter * tan(size.lead_angle + slope)
        + 0.5 * friction_diameter * head_friction
    )
    pitch, thread, head = (preload * part for part in arms)
    working = Working(
        method="tightening torque for a preload",
        formula="MA = F·(0.16·P + 0.58·d2·μG + DKm/2·μK)",
        inputs=(
            Term("preload", preload, "N", "F"),
            Term("pitch", size.pitch, "m", "P"),
            Term("pitch diameter", size.pitch_diameter, "m", "d2"),
            Term("thread friction", thread_friction, "", "μG"),
            Term("head friction", head_friction, "", "μK"),
            Term("friction diameter", friction_diameter, "m", "DKm"),
        ),
        steps=(
            Term("part of the pitch", pitch, "N m"),
            Term("part of thread friction", thread, "N m"),
            Term("part of head friction", head, "N m"),
        ),
        outputs=(Term("tightening torque", preload * arm, "N m", "MA"),),
        source="VDI 2230",
    )
    return TighteningTorque(
        pitch=pitch,
        thread=thread,
        head=head,
        total=preload * arm,
        exact=exact,
        nut_factor=arm / size.major,
        pitch_share=arms[0] / arm,
        thread_share=arms[1] / arm,
        head_share=arms[2] / arm,
        working=working,
    )


def loosening_torque(
    designation: str,
    preload: float,
    thread_friction: float,
    head_friction: float,
    friction_diameter: float,
) -> float:
    """Torque that starts to loosen; the pitch part with the other sign.

    Args:
        designation: thread [-].
        preload: bolt force [N].
        thread_friction: coefficient in the thread [-].
        head_friction: coefficient under the turned face [-].
        friction_diameter: mean diameter of that face [m].
    Returns:
        loosening torque [N m]; zero or less means that it comes loose by itself.
    Valid: clean thread with the friction it was tightened with; corrosion and compound add much.
    Raises: RangeError as `tightening_torque`.
    Source: VDI2230 loosening torque
    """
    positive("preload", preload, "N")
    pitch, thread, head = _arms(
        geometry(designation), thread_friction, head_friction, friction_diameter
    )
    return preload * (thread + head - pitch)


def preload_from_torque(
    designation: str,
    torque: float,
    thread_friction: float,
    head_friction: float,
    friction_diameter: float,
) -> float:
    """Preload that a torque gives; F = MA/(0.16 P + 0.58 d2 μG + DKm/2 μK).

    Args:
        designation: thread [-].
        torque: torque at the fastener [N m].
        thread_friction: coefficient in the thread [-].
        head_friction: coefficient under the turned face [-].
        friction_diameter: mean diameter of that face [m].
    Returns:
        preload [N].
    Valid: as `tightening_torque`; one number only where friction is known: else `preload_range`.
    Raises: RangeError as `tightening_torque`.
    Source: VDI2230 tightening torque, solved for the preload
    """
    positive("torque", torque, "N·m")
    return torque / sum(
        _arms(geometry(designation), thread_friction, head_friction, friction_diameter)
    )


def preload_range(
    designation: str,
    torque: float,
    friction: tuple[float, float],
    friction_diameter: float,
    tool_tolerance: float = 0.0,
) -> PreloadRange:
    """Preload that a torque may give; Fmin = MA(1 − t)/k(μmax), Fmax = MA(1 + t)/k(μmin).

    Args:
        designation: thread [-].
        torque: torque at the fastener [N m].
        friction: lowest and highest coefficient, thread and head alike [-], pair.
        friction_diameter: mean diameter of the turned face [m].
        tool_tolerance: deviation of the tool as a share [-].
    Returns:
        least and greatest preload [N], their ratio and the ± share about the mean [-].
    Valid: worst case of both causes together, not a standard deviation.
    Raises: InputError where the friction pair is upside down; RangeError for a tolerance of 1.
    Source: VDI2230 tightening factor
    """
    low_friction, high_friction = friction
    if low_friction > high_friction:
        raise InputError("friction", tuple(friction), "the lowest coefficient first")
    if not 0 <= tool_tolerance < 1:
        raise RangeError("tool tolerance", tool_tolerance, "a share from 0 to below 1")
    args = (low_friction, low_friction, friction_diameter)
    high = preload_from_torque(designation, torque * (1 + tool_tolerance), *args)
    args = (high_friction, high_friction, friction_diameter)
    low = preload_from_torque(designation, torque * (1 - tool_tolerance), *args)
    ratio = high / low
    working = Working(
        method="range of preload from friction and tool",
        formula="Fmin = MA·(1 − t)/k(μmax), Fmax = MA·(1 + t)/k(μmin)",
        inputs=(
            Term("torque", torque, "N m", "MA"),
            Term("lowest friction", low_friction, "", "μmin"),
            Term("highest friction", high_friction, "", "μmax"),
            Term("friction diameter", friction_diameter, "m", "DKm"),
            Term("tool tolerance", tool_tolerance, "", "t"),
        ),
        outputs=(Term("least preload", low, "N"), Term("greatest preload", high, "N")),
        source="VDI 2230",
        estimate=True,
    )
    return PreloadRange(low, high, ratio, scatter_of_factor(ratio), working)


def _torsion_ratio(size: ThreadGeometry, thread_friction: float, factor: float) -> float:
    """Shear over tension while tightening."""
    turning = tan(size.lead_angle) + thread_friction / cos(HALF_ANGLE)
    return factor * size.pitch_diameter / size.stress_diameter * turning


def assembly_preload(
    designation: str,
    yield_strength: float,
    thread_friction: float,
    head_friction: float,
    friction_diameter: float,
    utilisation: float = 0.9,
    edition: str = "VDI 2230:2003",
) -> AssemblyPreload:
    """Greatest assembly preload; FM = As ν Rp0.2 / √(1 + 3 [1.5 d2/d0 (P/(π d2) + 1.155 μG)]²).

    Args:
        designation: thread [-].
        yield_strength: 0.2 % proof strength, smallest [Pa].
        thread_friction: coefficient in the thread [-].
        head_friction: coefficient under the turned face [-].
        friction_diameter: mean diameter of that face [m].
        utilisation: share of the yield strength used while tightening [-].
        edition: "VDI 2230:2003" (plastic torsion, 1.5) or "VDI 2230:1986" (elastic, 2; lower) [-].
    Returns:
        preload [N] and the torque that gives it [N m].
    Valid: shank bolts; the *lowest* friction belongs in it. Never a replacement for the torque
        that the maker's sheet states.
    Raises: InputError for another edition; RangeError as `tightening_torque`.
    Source: VDI2230 assembly preload at 90 % of yield
    """
    if edition not in TORSION_FACTOR:
        raise InputError("edition", edition, " or ".join(TORSION_FACTOR))
    if not 0 < utilisation <= 1:
        raise RangeError("utilisation", utilisation, "a share above 0 up to 1")
    size = geometry(designation)
    ratio = _torsion_ratio(
        size, friction_coefficient("thread friction", thread_friction), TORSION_FACTOR[edition]
    )
    area = size.stress_area
    preload = area * utilisation * positive("yield strength", yield_strength, "Pa")
    preload /= sqrt(1 + 3 * ratio**2)
    torque = preload * sum(_arms(size, thread_friction, head_friction, friction_diameter))
    working = Working(
        method=f"greatest assembly preload, {edition} form",
        formula="FM = As·ν·Rp0.2 / √(1 + 3·[c·d2/d0·(P/(π·d2) + μG/cos 30°)]²)",
        inputs=(
            Term("stress area", area, "m²", "As"),
            Term("share of yield used", utilisation, "", "ν"),
            Term("yield strength", yield_strength, "Pa", "Rp0.2"),
            Term("thread friction", thread_friction, "", "μG"),
            Term("head friction", head_friction, "", "μK"),
            Term("torsion factor of the edition", TORSION_FACTOR[edition], "", "c"),
        ),
        steps=(Term("shear over tension", ratio),),
        outputs=(Term("preload", preload, "N", "FM"), Term("torque", torque, "N m", "MA")),
        source=edition,
    )
    return AssemblyPreload(preload, torque, edition, working)


def combined_stress(
    designation: str, preload: float, yield_strength: float, thread_friction: float
) -> CombinedStress:
    """Stress while tightening; σ = F/As, τ = 1.5 σ d2/d0 (P/(π d2) + 1.155 μG), σred = √(σ² + 3τ²).

    Args:
        designation: thread [-].
        preload: bolt force [N].
        yield_strength: 0.2 % proof strength, smallest [Pa].
        thread_friction: coefficient in the thread as it was [-].
    Returns:
        stresses [Pa], share of yield and whether it is exceeded [-].
    Valid: at the moment of tightening; half of the twist springs back afterwards.
    Raises: RangeError for a preload or strength of zero or less.
    Source: VDI2230 reduced stress
    """
    size = geometry(designation)
    tension = positive("preload", preload, "N") / size.stress_area
    friction = friction_coefficient("thread friction", thread_friction)
    shear = tension * _torsion_ratio(size, friction, TORSION_FACTOR["VDI 2230:2003"])
    reduced = sqrt(tension**2 + 3 * shear**2)
    share = reduced / positive("yield strength", yield_strength, "Pa")
    return CombinedStress(tension, shear, reduced, share, bool(share > 1))
