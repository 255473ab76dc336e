"""Energy of compressed air and what bounds it."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import RangeError
from casewright.mechanics.stored_energy import CAUTIONS, stored_energy


@given(st.floats(1e-4, 0.1), st.floats(1e3, 1e6))
def test_expansion_lies_under_the_isothermal_bound_and_that_under_constant_volume(volume, gauge):
    found = stored_energy(volume, gauge)
    assert (
        0
        < found.expansion
        < found.isothermal
        < found.constant_volume * 0.4 * (1 + 1e-3) * (1 + gauge / 101e3)
    )


def test_expansion_agrees_with_the_adiabatic_work_integral():
    # Numeric integral of p dV along p V^1.4 from 2 L at 201 kPa down to 101 kPa.
    v1, p1, pa = 0.002, 201e3, 101e3
    v2 = v1 * (p1 / pa) ** (1 / 1.4)
    v = np.linspace(v1, v2, 20_001)
    work = np.trapezoid(p1 * (v1 / v) ** 1.4, v)
    assert stored_energy(v1, 100e3).expansion == pytest.approx(work, rel=2e-3)


def test_it_is_shown_as_a_falling_weight_with_its_cautions():
    # About a kilogram from 18 m for 2 L at 100 kPa.
    found = stored_energy(0.002, 100e3)
    assert round(found.drop_of_one_kilogram) == 18
    assert found.cautions == CAUTIONS


@pytest.mark.parametrize(("volume", "gauge"), [(0.0, 1e5), (0.002, 0.0), (0.002, -4e4)])
def test_what_stores_nothing_is_refused(volume, gauge):
    with pytest.raises(RangeError):
        stored_energy(volume, gauge)
