"""Nut factor, scatter, joint under load."""

from __future__ import annotations

import statistics

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import RangeError
from casewright.mechanics.bolting import (
    REUSE_SHARE,
    joint_stress,
    least_preload,
    preload_scatter,
    scatter_of_factor,
    textbook_nut_factor,
    tightening_factor,
    torque_from_nut_factor,
)
from casewright.mechanics.threads import proof_load

POUND_FORCE = 4.4482216152605


@given(st.floats(0.0, 0.95))
def test_factor_and_scatter_are_inverse(scatter):
    assert scatter_of_factor(tightening_factor(scatter)) == pytest.approx(scatter, abs=1e-12)


@given(st.lists(st.floats(1e3, 1e5), min_size=2, max_size=30))
def test_the_deviation_is_the_samples_and_not_the_populations(forces):
    found = preload_scatter(forces)
    assert found.deviation == pytest.approx(statistics.stdev(forces), rel=1e-9, abs=1e-6)


def test_reused_bolts_get_three_quarters_of_proof():
    """1/2-13 grade 5: 9046 lbf (reprinted SAE clamp load table)."""
    clamp = REUSE_SHARE["reused"] * proof_load("1/2-13", "grade 5") / POUND_FORCE
    assert clamp == pytest.approx(9046, rel=0.001)


def test_the_bolts_share_rises_with_its_stiffness():
    soft = joint_stress(25e3, 6e3, 1e9, 9e9, 1e-4)
    stiff = joint_stress(25e3, 6e3, 9e9, 1e9, 1e-4)
    assert soft.bolt_share == pytest.approx(0.1)
    assert stiff.service_stress > soft.service_stress


def test_what_opens_the_joint_or_makes_no_sense_is_refused():
    with pytest.raises(RangeError, match="opens"):
        joint_stress(5e3, 60e3, 1e9, 9e9, 1e-4)
    with pytest.raises(RangeError):
        least_preload(1e4, 0.9)
    with pytest.raises(RangeError):
        preload_scatter([1e4])
    with pytest.raises(RangeError):
        textbook_nut_factor(0.010, 0.011, 0.0015, 0.1, 0.1)
    with pytest.raises(RangeError):
        torque_from_nut_factor(0.2, -0.01, 1e4)
