"""Grip at working temperature and the plan of one press fit."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import RangeError
from casewright.mechanics.press_fits import Joint
from casewright.mechanics.press_plans import Duty, Roughness, grip_at, press_plan
from casewright.tables.materials import Friction, material

ALUMINIUM = replace(material("aluminium"), modulus=72e9, poisson=0.33, expansion=21.5e-6)
RACE = replace(material("bearing-steel"), modulus=208e9, poisson=0.30, expansion=12.5e-6)
CUP = Joint(0.062, 0.018, 0.082, ALUMINIUM, RACE, shaft_bore=0.053)
MU = Friction(0.12, 0.16, "own numbers", "own")


def duty(celsius: float, torque: float = 0.0) -> Duty:
    return Duty(celsius + 273.15, celsius + 273.15, torque)


# Derived: race 62 (bore 53) in aluminium 82, U 39 um at 20 °C; um, MPa, N m.
@pytest.mark.parametrize(
    ("celsius", "left", "pressure", "torque"),
    [
        (-10, 55.74, 10.576, 137.93),
        (20, 39.00, 7.400, 96.51),
        (50, 22.26, 4.223, 55.08),
        (80, 5.52, 1.047, 13.66),
        (100, -5.64, 0, 0),
    ],
)
def test_grip_at_temperature_is_the_derived_one(
    celsius: float, left: float, pressure: float, torque: float
) -> None:
    grip = grip_at(CUP, 39e-6, 0.12, duty(celsius))
    assert grip.interference * 1e6 == pytest.approx(left, abs=0.005)
    assert grip.pressure / 1e6 == pytest.approx(pressure, abs=0.0006)
    assert grip.torque == pytest.approx(torque, abs=0.01)
    assert grip.gone_at - 273.15 == pytest.approx(89.89, abs=0.005)
    assert grip.would_spin == (celsius == 100)


def test_a_light_fit_is_loose_at_50_degrees_and_says_so() -> None:
    grip = grip_at(CUP, 9e-6, 0.12, duty(50))
    assert grip.gone_at - 273.15 == pytest.approx(36.13, abs=0.005)
    assert grip.would_spin
    assert "would spin" in grip.advice
    assert grip_at(CUP, 9e-6, 0.12, duty(20)).pressure / 1e6 == pytest.approx(1.7076, abs=1e-4)


def test_grip_less_than_the_torque_asked_spins_too() -> None:
    assert grip_at(CUP, 39e-6, 0.12, duty(80, torque=20)).would_spin
    assert not grip_at(CUP, 39e-6, 0.12, duty(80, torque=10)).would_spin


def test_steel_in_aluminium_gains_grip_and_stress_when_cold() -> None:
    warm, cold = grip_at(CUP, 39e-6, 0.12, duty(20)), grip_at(CUP, 39e-6, 0.12, duty(-20))
    assert cold.interference > warm.interference
    assert cold.stress.hub_von_mises > 1.5 * warm.stress.hub_von_mises


def test_one_material_keeps_its_grip_at_any_common_temperature() -> None:
    joint = Joint(0.04, 0.035, 0.08, RACE, RACE)
    grip = grip_at(joint, 30e-6, 0.12, duty(120))
    assert grip.interference == pytest.approx(30e-6)
    assert grip.gone_at == float("inf")
    assert "does not loosen" in grip.advice


@given(st.floats(1e-6, 8e-5), st.floats(-35, 150), st.floats(-35, 150))
def test_torque_is_never_negative_and_falls_with_warmth(u: float, one: float, two: float) -> None:
    cool, warm = sorted((one, two))
    first, second = (grip_at(CUP, u, 0.12, duty(c)) for c in (cool, warm))
    assert first.torque >= second.torque >= 0
    assert second.would_spin == (second.interference <= 0)


@pytest.mark.parametrize("kelvin", [20.0, 95.0, 900.0])
def test_a_working_temperature_in_celsius_is_refused(kelvin: float) -> None:
    with pytest.raises(RangeError, match=r"293\.15"):
        grip_at(CUP, 39e-6, 0.12, Duty(kelvin, 293.15))


def plan(**change: object) -> object:
    given_ = {
        "joint": CUP,
        "interference": 45e-6,
        "uncertainty": 3e-6,
        "friction": MU,
        "hub_yield": 165e6,
        "shaft_yield": 1500e6,
        "roughness": Roughness(4e-6, 10e-6),
        "duty": duty(60),
    }
    return press_plan(**{**given_, **change})  # type: ignore[arg-type]


def test_press_from_the_most_hold_from_the_least() -> None:
    one = plan()
    assert one.interference.least == pytest.approx(39e-6)
    assert one.interference.most == pytest.approx(51e-6)
    # Holding: 39 - 0.8 (4 + 10) = 27.8 um, less 62 x 9e-6 x 40 = 22.32 um warm, low friction.
    assert one.grip.interference * 1e6 == pytest.approx(27.8 - 22.32, abs=0.001)
    assert one.grip.torque == pytest.approx(96.51 * 5.48 / 39, rel=1e-3)
    # Pressing: 51 um and high friction, nothing smoothed; 7.3996 MPa goes with 39 um.
    assert one.force.most == pytest.approx(3113.2 * 51 / 39 * 0.16 / 0.12, rel=1e-4)
    assert not one.yields


# With Rz 4 and 10 um a 45 um fit has 8.538 MPa before and 6.413 MPa after smoothing (derived).
def test_smoothing_lowers_the_pressure_that_holds() -> None:
    rough = plan(uncertainty=0.0, duty=duty(20))
    smooth = plan(uncertainty=0.0, duty=duty(20), roughness=Roughness())
    assert rough.grip.pressure / 1e6 == pytest.approx(6.413, abs=0.0006)
    assert smooth.grip.pressure / 1e6 == pytest.approx(8.538, abs=0.0006)
    assert rough.force == smooth.force


def test_a_soft_seat_is_said_to_yield() -> None:
    assert plan(hub_yield=20e6).yields
    assert plan(shaft_yield=30e6).yields


def test_the_cold_case_is_in_the_stress() -> None:
    cold, warm = plan(duty=duty(-20)), plan(duty=duty(60))
    assert cold.stress.pressure > warm.stress.pressure
    assert warm.stress.pressure == pytest.approx(7.3996e6 * 51 / 39, rel=1e-4)


def test_the_plan_carries_its_working_and_cautions() -> None:
    one = plan()
    assert {term.name for term in one.working.outputs} >= {"most force"}
    assert any("come first" in line for line in one.cautions)
    assert one.working.source
