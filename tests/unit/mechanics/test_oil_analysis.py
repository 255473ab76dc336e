"""Particle codes, wear over jobs, used oil."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import RangeError
from casewright.mechanics.oil_analysis import (
    particle_code,
    scale_number,
    scale_range,
    used_oil_class,
    wear_trend,
)


@given(st.floats(0.001, 2.5e6))
def test_a_concentration_lies_in_the_range_of_its_number(count):
    low, high = scale_range(scale_number(count))
    assert low < count <= high


def test_above_the_table_is_said_so():
    assert scale_number(2.6e6) is None
    assert particle_code([3e6, 2e6, 1e3]) == ">28/28/17"


def test_few_counts_are_marked_by_raw_counts_not_by_concentration():
    # 19 counted in 10 mL: 1.9 in a millilitre is number 8, of fewer than 20 counts.
    assert particle_code([4000, 500, 19], 10.0) == "16/13/≥8"


def test_counts_that_rise_with_size_are_refused():
    with pytest.raises(RangeError, match="falling"):
        particle_code([10, 20, 5])


def test_two_samples_are_not_yet_a_trend():
    assert wear_trend([0, 3.6e5], [5e-6, 50e-6]).word == "not yet"
    assert wear_trend([3.6e5] * 3, [5e-6, 6e-6, 7e-6]).word == "not yet"


def test_a_clear_rise_is_rising_and_noise_is_not():
    hours = np.arange(6) * 3.6e5
    assert wear_trend(hours, np.array([5, 9, 14, 20, 24, 30]) * 1e-6).word == "rising"
    noisy = wear_trend(hours, np.array([12, 9, 14, 10, 13, 11]) * 1e-6)
    assert noisy.word == "steady or not told apart"


def test_a_calm_figure_never_clears_a_gear():
    assert any("clear a gear" in hint for hint in wear_trend([0, 1], [1e-6, 1e-6]).hints)


def test_false_alarms_of_the_trend_are_one_in_twenty():
    rng = np.random.default_rng(5)
    words = [wear_trend(np.arange(5.0), 10 + rng.normal(size=5)).word for _ in range(600)]
    share = np.mean([word in ("rising", "falling") for word in words])
    # Five per cent, within four standard deviations of a binomial.
    assert abs(share - 0.05) < 4 * np.sqrt(0.05 * 0.95 / 600)


def test_lists_of_unlike_length_are_refused():
    with pytest.raises(RangeError):
        wear_trend([0, 1, 2], [1e-6, 2e-6])


def test_limits_themselves_are_still_on_specification():
    found = used_oil_class(1000e-6, (100 - 32) / 1.8 + 273.15, {"lead": 100e-6, "arsenic": 5e-6})
    assert found.word == "on-specification"


def test_a_metal_that_the_rule_does_not_name_is_answered():
    with pytest.raises(RangeError, match="cadmium"):
        used_oil_class(metals={"zinc": 1e-3})
