"""One press fit as a whole: force to press, grip left at work, stress against yield, working.

The press is judged from the largest interference and friction with nothing smoothed; the grip
from the least, smoothed, and at working temperature.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from casewright.errors import RangeError
from casewright.mechanics.fits import usable_interference
from casewright.mechanics.heat import interference_at, zero_grip_temperature
from casewright.mechanics.interference import (
    ElasticLimits,
    PressedStress,
    elastic_limits,
    joint_compliance,
    slip_torque,
)
from casewright.mechanics.press_fits import COVERAGE, Joint, Spread, force_range, spread_about
from casewright.tables.materials import T20, Friction
from casewright.tables.temperature_ceilings import CAUTIONS
from casewright.working import Term, Working


@dataclass(frozen=True, slots=True)
class Roughness:
    """Rz of both faces [m] and the share of it that pressing in smooths away."""

    hub_rz: float = 0.0
    shaft_rz: float = 0.0
    factor: float = 0.8


@dataclass(frozen=True, slots=True)
class Duty:
    """What the joint must do at work: temperatures [K] and the torque it must hold [N m]."""

    hub_temperature: float = T20
    shaft_temperature: float = T20
    torque: float = 0.0


@dataclass(frozen=True, slots=True)
class Grip:
    """What is left at temperature; `would_spin` when it can't hold the torque asked."""

    interference: float
    pressure: float
    force: float
    torque: float
    gone_at: float
    would_spin: bool
    stress: PressedStress
    advice: str


@dataclass(frozen=True, slots=True)
class PressPlan:
    """Force to press, grip that holds at worst, stress at most, elastic limits, working."""

    interference: Spread
    force: Spread
    grip: Grip
    stress: PressedStress
    limits: ElasticLimits
    yields: bool
    working: Working
    cautions: tuple[str, ...]


def grip_at(joint: Joint, interference: float, friction: float, duty: Duty) -> Grip:
    """What a fit holds at working temperature, and whether its ring would spin.

    Args:
        joint: sizes and materials [m, -].
        interference: interference at 20 °C after smoothing [m].
        friction: least coefficient of friction [-].
        duty: temperatures and torque at work [K, N m].
    Returns:
        interference, pressure, force, torque left, and the temperature of no grip [m, Pa, N, K].
    Valid: -40 to 330 °C with the coefficients from 20 °C; elastic.
    Raises: RangeError for temperatures outside, in Celsius, or impossible rings.
    Source: own: linear expansion, then SHIGLEY-8 eq. 7-39.
    """
    for field, value in (("hub", duty.hub_temperature), ("shaft", duty.shaft_temperature)):
        if not 233 <= value <= 603:
            raise RangeError(f"{field} temperature", value, "233 to 603 K", "20 °C is 293.15 K.")
    hub, shaft = joint.hub.expansion, joint.shaft.expansion
    left = float(
        interference_at(
            interference,
            joint.diameter,
            hub,
            shaft,
            duty.hub_temperature,
            duty.shaft_temperature,
        )
    )
    pressure = float(joint.pressure(left))
    force = float(joint.force(pressure, friction))
    torque = float(slip_torque(force, joint.diameter))
    gone_at = float(zero_grip_temperature(interference, joint.diameter, hub, shaft))
    spins = left <= 0 or torque < duty.torque
    advice = _grip_advice(left, spins, gone_at)
    return Grip(left, pressure, force, torque, gone_at, spins, joint.stress(pressure), advice)


def press_plan(
    joint: Joint,
    interference: float,
    uncertainty: float,
    friction: Friction,
    hub_yield: float,
    shaft_yield: float,
    roughness: Roughness = Roughness(),
    duty: Duty = Duty(),
    coverage: float = COVERAGE,
) -> PressPlan:
    """Everything about one press fit: force range, worst grip at work, stress against yield.

    Args:
        joint: sizes and materials [m, -].
        interference: measured interference at 20 °C [m].
        uncertainty: its standard uncertainty [m].
        friction: span of the coefficient of friction [-].
        hub_yield: yield strength of the hub [Pa].
        shaft_yield: yield strength of the shaft [Pa].
        roughness: Rz of both faces and the smoothing factor [m, -].
        duty: temperatures and torque at work [K, N m].
        coverage: standard uncertainties on each side [-].
    Returns:
        forces, grip, stresses, limits and working [N, Pa, m].
    Valid: elastic; where `yields` is true the true pressure is lower and the seat is damaged.
    Raises: RangeError as the functions it joins.
    Source: SHIGLEY-8 eq. 7-39; DIN7190 for smoothing and elastic limits (from memory).
    """
    spread = spread_about(interference, coverage * uncertainty)
    force = force_range(interference, uncertainty, joint, friction, coverage)
    usable = float(
        usable_interference(spread.least, roughness.hub_rz, roughness.shaft_rz, roughness.factor)
    )
    grip = grip_at(joint, usable, friction.low, duty)
    cold_or_20 = grip_at(joint, spread.most, friction.low, duty).pressure
    stress = joint.stress(max(float(joint.pressure(spread.most)), cold_or_20))
    rings = (joint.diameter, joint.hub_outside)
    limits = elastic_limits(*rings, hub_yield, shaft_yield, joint.shaft_bore)
    yields = bool(stress.pressure > min(limits.hub, limits.shaft))
    cautions = tuple(CAUTIONS[key] for key in ("standing", "press"))
    working = _plan_working(joint, spread, friction, force, grip, stress, limits)
    return PressPlan(spread, force, grip, stress, limits, yields, working, cautions)


def _grip_advice(left: float, spins: bool, gone_at: float) -> str:
    """One line: holds, slips under the torque, or loose; and where the grip ends."""
    if left <= 0:
        return "loose at working temperature: the ring would spin"
    end = (
        "warmth does not loosen it" if math.isinf(gone_at) else f"gone at {gone_at - 273.15:.0f} °C"
    )
    return ("grip left, less than the torque asked: it would spin; " if spins else "holds; ") + end


def _plan_working(
    joint: Joint,
    spread: Spread,
    friction: Friction,
    force: Spread,
    grip: Grip,
    stress: PressedStress,
    limits: ElasticLimits,
) -> Working:
    """The working of a press plan."""
    compliance = joint_compliance(joint.diameter, joint.hub_outside, *joint.elastic())
    return Working(
        method="press fit (Lamé) with smoothing and temperature",
        formula="p = U/(d C), F = π d L p μ, T = F d/2",
        inputs=_plan_inputs(joint, spread, friction),
        steps=(
            Term("compliance", float(compliance), "1/Pa", "C"),
            Term("most pressure", float(stress.pressure), "Pa"),
            Term("hub von Mises stress", float(stress.hub_von_mises), "Pa"),
            Term("elastic limit of the hub as pressure", float(limits.hub), "Pa"),
            Term("elastic limit of the shaft as pressure", float(limits.shaft), "Pa"),
            Term("interference left at work", grip.interference, "m"),
        ),
        outputs=(
            Term("least force", force.least, "N"),
            Term("likely force", force.likely, "N"),
            Term("most force", force.most, "N"),
            Term("least torque held at work", grip.torque, "N m"),
        ),
        source=f"Shigley 8th ed. eq. 7-39; DIN 7190; friction: {friction.known}",
        notes=(CAUTIONS["standing"], "Press from the most, hold from the least."),
        estimate=True,
    )


def _plan_inputs(joint: Joint, spread: Spread, friction: Friction) -> tuple[Term, ...]:
    """What a press plan was given."""
    return (
        Term("joint diameter", joint.diameter, "m", "d"),
        Term("joint length", joint.length, "m", "L"),
        Term("hub outside diameter", joint.hub_outside, "m"),
        Term("shaft bore", joint.shaft_bore, "m"),
        Term("least interference", spread.least, "m"),
        Term("most interference", spread.most, "m"),
        Term("least friction", friction.low, "", "μ"),
        Term("most friction", friction.high, "", "μ"),
    )
