"""Taper pairs and static safety against a worked pair, and friction that isn't for setting."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casewright.errors import RangeError
from casewright.mechanics.bearings import (
    TaperRow,
    friction_torque,
    static_safety,
    taper_equivalent_load,
    taper_factors,
    taper_pair_loads,
    taper_static_load,
)


def row(radial, **more):
    return TaperRow(radial=radial, limit=0.37, thrust=1.6, capacity=50.1e3, **more)


def test_worked_pair():
    """FrA 6000, FrB 3000, Ka 2500 onto A, Y 1.6, e 0.37, C 50.1 kN; ISO 281, hand check."""
    pair = taper_pair_loads(row(6000), row(3000), 2500)
    assert (pair.first.induced, pair.second.induced) == (1875.0, 937.5)
    assert (pair.first.axial, pair.second.axial) == (3437.5, 937.5)
    assert pair.first.equivalent == pytest.approx(7900)
    assert pair.second.equivalent == pytest.approx(3000)
    assert pair.first.life == pytest.approx(472.1e6, rel=1e-3)
    assert pair.second.life == pytest.approx(11905e6, rel=1e-3)
    assert pair.first.life / 3000 / 60 == pytest.approx(2623, rel=1e-3)  # hours at 3000 rpm


def test_turning_the_thrust_round_swaps_the_loaded_row():
    """Reverse gear: the same pair with the thrust the other way."""
    ahead = taper_pair_loads(row(3000), row(3000), 2500)
    astern = taper_pair_loads(row(3000), row(3000), -2500)
    assert ahead.first.axial == astern.second.axial
    assert ahead.second.axial == astern.first.axial
    assert ahead.first.axial > ahead.second.axial


@settings(deadline=None, max_examples=50)
@given(st.floats(0, 9000), st.floats(0, 9000), st.floats(-9000, 9000))
def test_axial_loads_balance_the_thrust_and_reach_the_induced_ones(first, second, thrust):
    pair = taper_pair_loads(row(first), row(second), thrust)
    assert pair.first.axial - pair.second.axial == pytest.approx(thrust, abs=1e-6)
    assert pair.first.axial >= pair.first.induced - 1e-6
    assert pair.second.axial >= pair.second.induced - 1e-6


@settings(deadline=None, max_examples=50)
@given(st.floats(0, 9000), st.floats(0, 9000), st.floats(8, 30))
def test_equivalent_load_is_never_under_the_radial_one(radial, axial, degrees):
    f = taper_factors(math.radians(degrees))
    assert taper_equivalent_load(radial, axial, f.limit, f.thrust) >= radial
    assert taper_static_load(radial, axial, f.static_thrust) >= radial


@settings(deadline=None, max_examples=50)
@given(st.floats(8, 30), st.floats(100, 9000))
def test_equivalent_load_is_continuous_at_the_limit(degrees, radial):
    f = taper_factors(math.radians(degrees))
    at = f.limit * radial
    below, above = (
        taper_equivalent_load(radial, at * (1 + s), f.limit, f.thrust) for s in (-1e-9, 1e-9)
    )
    assert below == pytest.approx(above, rel=1e-6)


def test_static_safety_where_the_sheet_holds_the_rating():
    pair = taper_pair_loads(row(6000, static_thrust=0.88, static_capacity=60e3), row(3000), 2500)
    assert pair.first.static_safety == pytest.approx(60e3 / max(3000 + 0.88 * 3437.5, 6000))
    assert pair.second.static_safety is None
    with pytest.raises(RangeError):
        static_safety(60e3, 0)


def test_friction_is_an_estimate_of_half_to_one_and_a_half():
    found = friction_torque(2000, 0.06, 100e-6, 2 * math.pi)
    assert found.low == pytest.approx(0.5 * found.value)
    assert found.high == pytest.approx(1.5 * found.value)
    assert "never set preload" in found.note


def test_load_part_of_friction_by_hand():
    # f1 P dm = 0.0004 * 5000 N * 0.06 m = 0.12 N·m with a dry, still bearing
    assert friction_torque(5000, 0.06, 0.0, 0.0).value == pytest.approx(0.12)


def test_bad_loads_are_refused():
    with pytest.raises(RangeError):
        taper_equivalent_load(-1, 0, 0.37, 1.6)
    with pytest.raises(RangeError):
        taper_static_load(1, -1, 0.9)
    with pytest.raises(RangeError):
        taper_factors(math.radians(2))
    with pytest.raises(RangeError):
        taper_pair_loads(row(-1), row(1), 0)
    with pytest.raises(RangeError):
        friction_torque(-1, 0.06, 0, 0)
