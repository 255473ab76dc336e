"""Lamé: compatibility, equilibrium, known wrong sums, limits, arrays."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_bvp

from casewright.errors import RangeError
from casewright.mechanics.interference import (
    elastic_limits,
    joint_pressure,
    pressed_stress,
    sliding_force,
    slip_torque,
)

PSI = 6894.757293
IRON = {"hub_modulus": 14.5e6 * PSI, "hub_poisson": 0.211}
STEEL = {"shaft_modulus": 30e6 * PSI, "shaft_poisson": 0.292}
RACE = {
    "diameter": 0.080,
    "hub_outside": 0.110,
    "hub_modulus": 71e9,
    "hub_poisson": 0.33,
    "shaft_modulus": 207e9,
    "shaft_poisson": 0.30,
    "shaft_bore": 0.068,
}


@st.composite
def joints(draw: st.DrawFn) -> dict[str, float]:
    d = draw(st.floats(0.005, 0.5))
    return {
        "diameter": d,
        "hub_outside": d * draw(st.floats(1.02, 20)),
        "hub_modulus": draw(st.floats(50e9, 220e9)),
        "hub_poisson": draw(st.floats(0.2, 0.36)),
        "shaft_modulus": draw(st.floats(50e9, 220e9)),
        "shaft_poisson": draw(st.floats(0.2, 0.36)),
        "shaft_bore": d * draw(st.one_of(st.just(0.0), st.floats(0.05, 0.97))),
    }


@given(joints(), st.floats(1e-7, 0.001))
def test_growth_of_hub_and_shrink_of_shaft_make_up_the_interference(
    joint: dict[str, float], share: float
) -> None:
    wanted = share * joint["diameter"]
    stress = pressed_stress(joint_pressure(wanted, **joint), **joint)
    got = stress.hub_joint_growth - stress.shaft_joint_growth
    assert got == pytest.approx(wanted, rel=1e-12)


@given(joints(), st.floats(1e5, 5e8))
def test_mean_hoop_stress_of_each_ring_balances_the_pressure(
    joint: dict[str, float], p: float
) -> None:
    """Equilibrium of half a ring: the integral of hoop over the wall is p d / 2."""
    one = pressed_stress(p, **joint)
    # Lamé hoop A + B/r² from its two ends, integrated over the wall.
    a, b = joint["diameter"] / 2, joint["hub_outside"] / 2
    big = (one.hub_hoop - one.hub_outside_hoop) / (1 / a**2 - 1 / b**2)
    flat = one.hub_hoop - big / a**2
    assert flat * (b - a) + big * (1 / a - 1 / b) == pytest.approx(p * a, rel=1e-7)


@given(joints(), st.floats(1e5, 5e8))
def test_equivalent_stresses_are_those_of_the_principal_stresses(
    joint: dict[str, float], p: float
) -> None:
    one = pressed_stress(p, **joint)
    mises = math.sqrt(one.hub_hoop**2 + p**2 + one.hub_hoop * p)
    assert one.hub_von_mises == pytest.approx(mises, rel=1e-9)
    assert one.hub_tresca == pytest.approx(one.hub_hoop + p, rel=1e-9)
    assert abs(one.shaft_bore_hoop) >= abs(one.shaft_hoop) * (1 - 1e-12)


def test_hub_stress_and_growth_agree_with_a_numerical_solution_of_the_ring() -> None:
    """Second way: Navier's equation u'' + u'/r - u/r² = 0 by scipy's collocation."""
    p, e, nu, a, b = 7.1295e6, 71e9, 0.33, 0.040, 0.055
    plane = e / (1 - nu**2)

    def ends(left: np.ndarray, right: np.ndarray) -> np.ndarray:
        radial = [plane * (s[1] + nu * s[0] / r) for s, r in ((left, a), (right, b))]
        return np.array([(radial[0] + p) / 1e6, radial[1] / 1e6])

    mesh = np.linspace(a, b, 60)
    start = np.array([np.full(60, 1e-5), np.full(60, -1e-5)])
    got = solve_bvp(lambda r, u: np.array([u[1], u[0] / r**2 - u[1] / r]), ends, mesh, start)
    u, slope = got.sol(a)
    one = pressed_stress(p, **RACE)
    assert got.success
    assert 2 * u == pytest.approx(one.hub_joint_growth, rel=1e-4)
    assert plane * (u / a + nu * slope) == pytest.approx(one.hub_hoop, rel=1e-4)
    assert 2 * got.sol(b)[0] == pytest.approx(one.hub_outside_growth, rel=1e-4)


# Shigley 8th ed. solutions manual, problem 3-69: 13 064 psi is right, these are slips.
@pytest.mark.parametrize("wrong", [10875, 22500, 13941, 26128])
def test_unlike_materials_are_not_mixed_up(wrong: float) -> None:
    p = joint_pressure(0.002 * 0.0254, 0.0254, 0.0508, **IRON, **STEEL) / PSI
    assert p == pytest.approx(13064, rel=1e-3)
    assert abs(p - wrong) > 500


@pytest.mark.parametrize("wrong", [14.26, 4.23, 12.32, 10.47, 7.76])
def test_a_race_in_aluminium_is_hollow_and_of_its_own_material(wrong: float) -> None:
    p = joint_pressure(45e-6, **RACE) / 1e6
    assert p == pytest.approx(7.1295, rel=1e-4)
    assert abs(p - wrong) > 0.3


def test_plane_strain_and_a_doubled_hub_term_are_not_what_we_do() -> None:
    p = joint_pressure(30e-6, 0.06, 0.1, 210e9, 0.3, 210e9, 0.3) / 1e6
    assert p == pytest.approx(33.6, abs=0.001)
    assert abs(p - 36.73) > 2


def test_a_hollow_shafts_bore_governs_not_the_joint() -> None:
    one = pressed_stress(7.1295e6, **RACE)
    assert one.shaft_bore_hoop / 1e6 == pytest.approx(-51.383, rel=1e-4)
    assert one.shaft_von_mises > abs(one.shaft_hoop)


def test_a_solid_shaft_has_minus_p_everywhere() -> None:
    one = pressed_stress(10e6, 0.06, 0.1, 210e9, 0.3, 210e9, 0.3)
    assert one.shaft_hoop == one.shaft_bore_hoop == -10e6
    assert one.shaft_bore_growth == 0


@given(st.floats(0.0, 0.9))
def test_poisson_cancels_in_one_material_on_a_solid_shaft(nu: float) -> None:
    got = joint_pressure(59e-6, 0.04, 0.08, 207e9, nu / 2, 207e9, nu / 2)
    assert got == pytest.approx(207e9 * 59e-6 * 0.75 / (2 * 0.04), rel=1e-12)


def test_a_huge_ring_is_the_limit_of_a_big_block() -> None:
    block = {**RACE, "hub_outside": math.inf}
    huge = {**RACE, "hub_outside": 1e5}
    assert joint_pressure(45e-6, **block) == pytest.approx(joint_pressure(45e-6, **huge), rel=1e-9)
    assert pressed_stress(1e6, **block).hub_outside_growth == 0
    assert pressed_stress(1e6, **block).hub_hoop == pytest.approx(1e6)


def test_a_bearing_raceway_grows_by_83_per_cent_of_the_interference() -> None:
    steel = (208e9, 0.30, 207e9, 0.29)
    p = joint_pressure(18e-6, 0.035, 0.042, *steel)
    growth = pressed_stress(p, 0.035, 0.042, *steel).hub_outside_growth * 1e6
    assert growth == pytest.approx(14.97, abs=0.005)
    assert growth / 18 == pytest.approx(0.83, abs=0.005)
    assert growth < 18
    assert abs(growth - 18 * 35 / 42) > 0.02


@given(joints(), st.floats(1e-6, 0.001))
def test_clearance_gives_no_pressure(joint: dict[str, float], share: float) -> None:
    assert joint_pressure(-share * joint["diameter"], **joint) == 0


def test_arrays_give_what_single_numbers_give() -> None:
    u = np.array([-10e-6, 0.0, 20e-6, 45e-6])
    bores = np.array([0.0, 0.068, 0.02, 0.075])
    joint = {**RACE, "shaft_bore": bores}
    p = joint_pressure(u, **joint)
    stress = pressed_stress(p, **joint)
    for i, bore in enumerate(bores):
        one = {**RACE, "shaft_bore": float(bore)}
        alone = joint_pressure(float(u[i]), **one)
        assert p[i] == pytest.approx(alone, rel=1e-14)
        assert stress.shaft_bore_hoop[i] == pytest.approx(
            pressed_stress(alone, **one).shaft_bore_hoop, rel=1e-14
        )
    assert isinstance(joint_pressure(45e-6, **RACE), float)


def test_force_grows_in_proportion_to_depth_and_torque_to_force() -> None:
    half, full = (sliding_force(7.1295e6, 0.08, length, 0.12) for length in (0.011, 0.022))
    assert full == pytest.approx(2 * half)
    assert slip_torque(full, 0.08) == pytest.approx(full * 0.04)


def test_at_the_tresca_limit_the_bore_is_just_at_yield() -> None:
    limit = elastic_limits(0.07, 0.1, 165e6, 600e6)
    assert limit.hub > limit.hub_tresca
    stress = pressed_stress(limit.hub_tresca, 0.07, 0.1, 71e9, 0.33, 207e9, 0.3)
    assert stress.hub_tresca == pytest.approx(165e6)


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"hub_outside": 0.079}, "hub outside diameter"),
        ({"hub_outside": 0.080}, "hub outside diameter"),
        ({"shaft_bore": 0.081}, "shaft bore"),
        ({"shaft_bore": -0.01}, "shaft bore"),
        ({"diameter": 0.0}, "joint diameter"),
        ({"diameter": math.nan}, "joint diameter"),
        ({"hub_modulus": 71}, "hub modulus"),
        ({"shaft_poisson": 0.7}, "shaft Poisson"),
        ({"interference": 0.045}, "interference"),
        ({"interference": math.nan}, "interference"),
    ],
)
def test_impossible_joints_are_refused_by_field(change: dict[str, float], field: str) -> None:
    with pytest.raises(RangeError, match=field):
        joint_pressure(**{"interference": 45e-6, **RACE, **change})


@pytest.mark.parametrize(("length", "friction"), [(0.0, 0.1), (0.02, -0.1), (0.02, 12.0)])
def test_impossible_lengths_and_frictions_are_refused(length: float, friction: float) -> None:
    with pytest.raises(RangeError):
        sliding_force(1e6, 0.08, length, friction)
