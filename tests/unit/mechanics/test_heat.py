"""Temperatures that put a fit together, take it apart, or loosen it."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import RangeError
from casewright.mechanics.heat import (
    assembly_temperature,
    expansion_integral,
    interference_at,
    removal_temperature,
    zero_grip_temperature,
)
from casewright.tables.materials import STEEL_EXPANSION_BY_TEMPERATURE, T20

AL, ST = 21.5e-6, 12.5e-6


@given(st.floats(1e-6, 1e-4), st.floats(0.01, 0.3), st.floats(1e-6, 20e-6), st.floats(1e-6, 1e-5))
def test_at_the_zero_grip_temperature_nothing_is_left(
    u: float, d: float, ring: float, more: float
) -> None:
    gone = zero_grip_temperature(u, d, ring + more, ring)
    assert interference_at(u, d, ring + more, ring, gone, gone) == pytest.approx(0, abs=1e-15)


@given(st.floats(1e-6, 1e-4), st.floats(0, 1e-4), st.floats(0.01, 0.3), st.floats(100, 293))
def test_at_the_assembly_temperature_the_clearance_is_the_wanted_one(
    u: float, c: float, d: float, shaft: float
) -> None:
    need = assembly_temperature(u, c, d, AL, 10.5e-6, shaft)
    if need > 210:
        left = interference_at(u, d, AL, 10.5e-6, need, shaft)
        assert left == pytest.approx(-c, abs=1e-14)


@given(st.floats(1e-6, 1e-4), st.floats(0, 5e-5), st.floats(0.01, 0.3))
def test_a_ring_that_follows_needs_more_heat_than_one_that_stays_cold(
    u: float, c: float, d: float
) -> None:
    both = removal_temperature(u, c, d, AL, ST)
    assert both.ring_follows > both.ring_cold > T20
    if both.ring_follows < 1000:
        freed = interference_at(u, d, AL, ST, both.ring_follows, both.ring_follows)
        assert freed == pytest.approx(-c, abs=1e-14)


def test_a_ring_that_grows_as_much_as_its_housing_is_never_freed_by_common_heat() -> None:
    assert zero_grip_temperature(39e-6, 0.062, ST, ST) == math.inf
    assert zero_grip_temperature(39e-6, 0.062, ST, AL) == math.inf
    assert removal_temperature(39e-6, 20e-6, 0.062, ST, ST).ring_follows == math.inf
    assert zero_grip_temperature(0.0, 0.062, ST, ST) == T20


def test_grip_does_not_count_the_wrong_sign_or_one_common_temperature() -> None:
    """Inner ring 70 °C on a shaft at 50 °C leaves 3.80 of 15 um; a wrong sign gives 26.2."""
    left = interference_at(15e-6, 0.040, 12.5e-6, 11.5e-6, 343.15, 323.15) * 1e6
    assert left == pytest.approx(3.80)
    assert abs(left - 26.2) > 20
    common = interference_at(15e-6, 0.040, 12.5e-6, 11.5e-6, 343.15, 343.15) * 1e6
    assert common > left + 8


def test_arrays_give_what_single_numbers_give() -> None:
    u, t = np.array([9e-6, 39e-6, 50e-6]), np.array([303.15, 323.15, 353.15])
    many = interference_at(u, 0.062, AL, ST, t, t)
    gone = zero_grip_temperature(u, 0.062, AL, ST)
    need = assembly_temperature(u, 62e-6, 0.062, AL)
    for i in range(3):
        assert many[i] == interference_at(float(u[i]), 0.062, AL, ST, float(t[i]), float(t[i]))
        assert gone[i] == zero_grip_temperature(float(u[i]), 0.062, AL, ST)
        assert need[i] == assembly_temperature(float(u[i]), 62e-6, 0.062, AL)


# Teaching case of a real bridge (read): trunnion 12.363 in, hub 12.358 in, 80 to -108 °F.
def test_a_dipped_trunnion_does_not_get_its_clearance_and_a_constant_coefficient_says_it_does() -> (
    None
):
    def kelvin(fahrenheit: float) -> float:
        return (fahrenheit + 459.67) / 1.8

    integral = expansion_integral(STEEL_EXPANSION_BY_TEMPERATURE, kelvin(80), kelvin(-108))
    contraction = -12.363 * integral
    constant = 12.363 * 6.47e-6 * 188
    interference, wanted = 12.363 - 12.358, 0.010
    assert constant == pytest.approx(0.01504, abs=0.00001)
    assert contraction == pytest.approx(0.01366, abs=0.00001)
    assert constant - interference > wanted
    assert contraction - interference == pytest.approx(0.0087, abs=0.0001)
    assert contraction - interference < wanted


@given(st.floats(80, 290), st.floats(80, 290), st.floats(80, 290))
def test_the_integral_adds_up_over_steps_and_turns_with_direction(
    a: float, b: float, c: float
) -> None:
    table = STEEL_EXPANSION_BY_TEMPERATURE
    whole = expansion_integral(table, a, c)
    steps = expansion_integral(table, a, b) + expansion_integral(table, b, c)
    assert whole == pytest.approx(steps, abs=1e-15)
    assert whole == -expansion_integral(table, c, a)


def test_what_is_not_kelvin_or_not_a_clearance_is_refused() -> None:
    with pytest.raises(RangeError, match="hub temperature"):
        interference_at(39e-6, 0.062, AL, ST, 80.0, 353.15)
    with pytest.raises(RangeError, match="shaft temperature"):
        assembly_temperature(39e-6, 62e-6, 0.062, AL, ST, 20.0)
    with pytest.raises(RangeError, match="clearance"):
        assembly_temperature(39e-6, -1e-6, 0.062, AL)
    with pytest.raises(RangeError, match="clearance"):
        removal_temperature(39e-6, -1e-6, 0.062, AL, ST)
    with pytest.raises(RangeError, match="K"):
        expansion_integral(STEEL_EXPANSION_BY_TEMPERATURE, 40.0, 280.0)
