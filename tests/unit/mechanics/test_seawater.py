"""Salinity and resistivity turn each other round; warm and salt water behave as they must."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casewright.errors import RangeError
from casewright.mechanics.seawater import practical_salinity, resistivity, seawater_density

TEMPERATURE, SALINITY = st.floats(272, 308), st.floats(2.5, 41)


@settings(max_examples=30, deadline=None)
@given(SALINITY, TEMPERATURE)
def test_resistivity_and_salinity_turn_each_other_round(salinity, temperature):
    ratio = 1 / resistivity(salinity, temperature) / 4.2914
    assert practical_salinity(ratio, temperature) == pytest.approx(salinity, abs=1e-5)


@settings(max_examples=30, deadline=None)
@given(st.floats(2.5, 40), TEMPERATURE)
def test_saltier_water_is_denser_and_conducts_better(salinity, temperature):
    assert seawater_density(salinity + 1, temperature) > seawater_density(salinity, temperature)
    assert resistivity(salinity + 1, temperature) < resistivity(salinity, temperature)


def test_pure_water_is_densest_near_four_degrees():
    # 999.975 kg/m3 at 3.98 degC (the kilogram's old definition).
    assert seawater_density(0.0, 277.13) == pytest.approx(999.975, abs=0.001)


def test_celsius_is_answered():
    with pytest.raises(RangeError, match="kelvin"):
        seawater_density(35.0, 15.0)
