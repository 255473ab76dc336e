"""Lifting, discs and hot metal."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import RangeError
from casewright.mechanics.handling import burn_class, disc_speed, lift_index


def test_the_best_lift_of_all_recommends_the_load_constant():
    ideal = lift_index(23.0, 0.25, 0.75, 0.25, grip="good")
    assert ideal.recommended == pytest.approx(23.0)
    assert ideal.index == pytest.approx(1.0)


@given(
    st.floats(0, 0.63), st.floats(0, 1.75), st.floats(0, 1.75), st.floats(0, 2.3),
    st.sampled_from(["good", "fair", "poor"]),
)  # fmt: skip
def test_no_lift_recommends_more_than_the_load_constant(reach, height, travel, twist, grip):
    assert lift_index(20.0, reach, height, travel, twist, grip).recommended <= 23.0 + 1e-9


@given(st.floats(0.25, 0.6), st.floats(0.1, 1.7), st.floats(0.25, 1.5))
def test_the_two_systems_of_units_agree_within_a_few_per_cent(reach, height, travel):
    metric = lift_index(20.0, reach, height, travel, grip="good")
    customary = lift_index(20.0, reach, height, travel, grip="good", form="customary")
    assert metric.recommended == pytest.approx(customary.recommended, rel=0.04)


@pytest.mark.parametrize(
    "lift",
    [
        {"reach": 0.64, "height": 0.8, "twist": 0.0},
        {"reach": 0.3, "height": 1.76, "twist": 0.0},
        {"reach": 0.3, "height": 0.8, "twist": math.radians(136)},
    ],
)
def test_out_of_reach_is_not_lifted_by_hand(lift):
    found = lift_index(5.0, travel=0.5, **lift)
    assert found.index == math.inf
    assert "not by hand" in found.advice


def test_a_leg_of_forty_kilograms_is_not_for_one():
    assert "hoist" in lift_index(40.0, 0.35, 0.4, 0.6).advice.lower()


@pytest.mark.parametrize(("millimetres", "turns"), [(115, 13286), (180, 8488), (230, 6643)])
def test_disc_speeds_by_hand(millimetres, turns):
    # 60 v/(pi D) at 80 m/s; discs of these sizes are marked 13 300, 8 500, 6 600 (memory).
    assert 60 * disc_speed(millimetres / 1000) == pytest.approx(turns, abs=0.5)


@given(st.floats(250, 500), st.floats(0, 100))
def test_hotter_metal_is_never_safe_for_longer(temperature, more):
    assert burn_class(temperature + more).longest_touch <= burn_class(temperature).longest_touch


def test_metal_warmed_for_a_fit_burns_at_a_touch():
    assert burn_class(353.15).longest_touch == 0
    assert "any touch" in burn_class(353.15).words


def test_celsius_is_answered():
    with pytest.raises(RangeError, match="kelvin"):
        burn_class(55.0)


def test_an_unknown_grip_is_answered():
    with pytest.raises(RangeError, match="fair"):
        lift_index(10.0, 0.3, 0.8, 0.5, grip="slippery")
