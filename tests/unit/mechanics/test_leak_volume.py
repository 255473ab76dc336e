"""Volume of a circuit by vessel, bleed and oil."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import RangeError
from casewright.mechanics.leak_volume import volume_by_bleed, volume_by_oil, volume_by_vessel


@given(
    st.floats(1e-4, 1e-2), st.floats(1e-5, 1e-2), st.floats(110e3, 200e3), st.floats(20e3, 100e3)
)
def test_a_vessel_gives_the_volume_that_boyles_law_was_run_with(volume, vessel, p1, pk):
    p2 = (p1 * volume + pk * vessel) / (volume + vessel)
    assert volume_by_vessel(vessel, p1, p2, pk).volume == pytest.approx(volume, rel=1e-6)


def test_a_vacuum_filled_from_ambient_air_works_the_same():
    p2 = (55e3 * 0.0015 + 101_325 * 0.0005) / 0.002
    assert volume_by_vessel(0.0005, 55e3, p2).volume == pytest.approx(0.0015)


def test_the_vessels_uncertainty_agrees_with_a_monte_carlo():
    rng = np.random.default_rng(4)
    said = volume_by_vessel(0.0005, 180e3, 160e3, 100e3, 5e-6, 200.0)
    p1, p2 = 180e3 + rng.normal(0, 200, 200_000), 160e3 + rng.normal(0, 200, 200_000)
    drawn = (0.0005 + rng.normal(0, 5e-6, 200_000)) * (p2 - 100e3) / (p1 - p2)
    assert said.uncertainty == pytest.approx(drawn.std(), rel=0.02)


def test_a_pressure_that_cannot_be_is_refused():
    with pytest.raises(RangeError, match="pressure after"):
        volume_by_vessel(0.0005, 180e3, 190e3, 100e3)


def test_a_bleed_and_its_own_leak_are_both_counted():
    assert volume_by_bleed(0.02, 8000, 600, leak_rate=0.004).volume == pytest.approx(0.0018)


def test_oil_gives_an_estimate_with_the_hose_added():
    found = volume_by_oil(0.0014, 0.0001)
    assert found.volume == pytest.approx(0.0015)
    assert found.working.estimate
