"""Bearing life: joins of the formulas, caps, monotony."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casewright.errors import RangeError
from casewright.mechanics.bearing_life import (
    basic_life,
    capacity_needed,
    contamination_factor,
    fatigue_load_limit,
    life_modification,
    modified_life,
    reference_viscosity,
    reliability_factor,
)
from casewright.tables.bearing_life import RELIABILITY, RELIABILITY_1990


@pytest.mark.parametrize("kind", ["ball", "roller"])
@pytest.mark.parametrize("join", [0.4, 1.0])
def test_life_modification_is_continuous_where_its_ranges_join(kind, join):
    """4e-4 or better at eC Cu/P up to 0.1: this confirms the constants, which are from memory."""
    for ratio in (0.05, 0.1):
        below, above = (life_modification(join + e, ratio, kind) for e in (-1e-9, 1e-9))
        assert below == pytest.approx(above, rel=4e-4)


def test_roller_joins_agree_to_a_hundred_thousandth_at_a_tenth():
    for join in (0.4, 1.0):
        below, above = (life_modification(join + e, 0.1, "roller") for e in (-1e-9, 1e-9))
        assert below == pytest.approx(above, abs=1e-5)


def test_kappa_above_four_counts_as_four():
    assert life_modification(9.0, 0.3, "roller") == life_modification(4.0, 0.3, "roller")


def test_life_modification_is_capped_at_fifty():
    assert life_modification(4.0, 5.0, "roller") == 50.0
    assert life_modification(4.0, 1.2, "ball") <= 50.0


@settings(deadline=None, max_examples=50)
@given(st.floats(0.1, 4.5), st.floats(0, 5), st.sampled_from(["ball", "roller"]))
def test_life_modification_stays_between_a_tenth_and_fifty(kappa, ratio, kind):
    assert 0.1 <= life_modification(kappa, ratio, kind) <= 50


@settings(deadline=None, max_examples=50)
@given(st.floats(0.1, 4), st.floats(0.0, 3), st.floats(1.01, 1.5))
def test_cleaner_or_lighter_loaded_never_lives_shorter(kappa, ratio, factor):
    more = life_modification(kappa, ratio * factor, "roller")
    assert more >= life_modification(kappa, ratio, "roller")


def test_the_1990_reliability_factors_are_another_set():
    for share in (0.95, 0.96, 0.97, 0.98, 0.99):
        assert reliability_factor(share) == RELIABILITY[share] > RELIABILITY_1990[share]


def test_reliability_outside_the_standard_is_refused():
    with pytest.raises(RangeError, match="reliability"):
        reliability_factor(0.5)


@settings(deadline=None, max_examples=50)
@given(st.floats(1e3, 1e5), st.floats(100, 1e4), st.sampled_from(["ball", "roller"]))
def test_capacity_needed_gives_the_life_back(capacity, load, kind):
    speed = 150.0
    seconds = basic_life(capacity, load, kind) * 2 * math.pi / speed
    assert capacity_needed(seconds, speed, load, kind) == pytest.approx(capacity)


def test_halving_the_load_multiplies_life_by_eight_or_ten():
    assert basic_life(2, 0.5, "ball") / basic_life(2, 1, "ball") == pytest.approx(8)
    ratio = basic_life(2, 0.5, "roller") / basic_life(2, 1, "roller")
    assert ratio == pytest.approx(10.079, abs=1e-3)  # 2^(10/3)


def test_reference_viscosity_steps_by_what_the_standard_steps():
    slow, fast = (reference_viscosity(n * math.pi / 30, 0.05) for n in (999.999, 1000.001))
    assert abs(slow / fast - 1) == pytest.approx(0.023, abs=0.002)


def test_reference_viscosity_by_hand():
    # 500 rpm, 50 mm: 45000 * 500^-0.83 / sqrt(50) = 36.6 mm2/s (hand computation)
    assert reference_viscosity(500 * math.pi / 30, 0.05) == pytest.approx(36.6e-6, rel=2e-3)


def test_dirt_orders_by_its_class():
    codes = ["-/13/10", "-/15/12", "-/17/14", "-/19/16", "-/21/18"]
    found = [contamination_factor(1.0, 0.06, code) for code in codes]
    assert found == sorted(found, reverse=True)
    assert all(0 <= f <= 1 for f in found)
    assert contamination_factor(1.0, 0.06, "normal cleanliness", grease=True) > 0


def test_unknown_cleanliness_names_the_known_ones():
    with pytest.raises(RangeError, match="-/17/14"):
        contamination_factor(1.0, 0.06, "filthy")


def test_modified_life_is_the_product_of_its_factors():
    life = modified_life(
        60e3, 70e3, 5e3, "roller", speed=150, pitch_diameter=0.06, viscosity=60e-6, reliability=0.95
    )
    assert life.reliability_factor == 0.64
    product = 0.64 * life.modification_factor * life.basic_revolutions
    assert life.revolutions == pytest.approx(product)
    assert life.seconds == pytest.approx(product * 2 * math.pi / 150)
    assert life.working.estimate


def test_fatigue_limit_of_balls_is_lower_than_of_rollers():
    assert fatigue_load_limit(22e3, "ball") == pytest.approx(1e3)
    assert fatigue_load_limit(8.2e3, "roller") == pytest.approx(1e3)


def test_no_load_has_no_life():
    with pytest.raises(RangeError):
        basic_life(1000, 0, "ball")
