"""Blanks: what must hold between the members whatever the numbers."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casewright.errors import MissingError, RangeError
from casewright.mechanics.bevel_blank import (
    method_zero_blank,
    standard_straight_blank,
    unequal_addendum_spiral_blank,
    unequal_addendum_straight_blank,
)

SIZES = {"module": 3e-3, "face_width": 20e-3}


def test_unequal_addenda_share_the_working_depth():
    straight = unequal_addendum_straight_blank(20, 40, **SIZES)
    spiral = unequal_addendum_spiral_blank(20, 40, **SIZES, spiral_angle=math.radians(35))
    assert straight.pinion.addendum + straight.gear.addendum == pytest.approx(2.000 * 3e-3)
    assert spiral.pinion.addendum + spiral.gear.addendum == pytest.approx(1.700 * 3e-3)
    assert spiral.pinion.addendum + spiral.pinion.dedendum == pytest.approx(1.888 * 3e-3)


def test_equal_teeth_have_equal_addenda():
    pair = unequal_addendum_straight_blank(25, 25, **SIZES)
    assert pair.pinion.addendum == pytest.approx(pair.gear.addendum)


def test_clearance_is_uniform_where_the_system_says_so():
    pair = unequal_addendum_straight_blank(20, 40, **SIZES)
    assert pair.pinion.face_angle + pair.gear.root_angle == pytest.approx(math.pi / 2)


@settings(deadline=None, max_examples=50)
@given(st.integers(12, 30), st.integers(30, 60), st.floats(-0.4, 0.4))
def test_profile_shift_moves_depth_from_one_member_to_the_other(z1, z2, shift):
    args = (z1, z2, math.pi / 2, 0.17, 0.025, math.radians(35), math.radians(20))
    plain, shifted = method_zero_blank(*args), method_zero_blank(*args, profile_shift=shift)
    total = plain.pinion_addendum + plain.gear_addendum
    assert shifted.pinion_addendum + shifted.gear_addendum == pytest.approx(total)
    whole = shifted.pinion_addendum + shifted.pinion_dedendum
    assert whole == pytest.approx(shifted.gear_addendum + shifted.gear_dedendum)
    assert shifted.clearance == pytest.approx(plain.pinion_dedendum - plain.gear_addendum)


def test_constant_slot_width_takes_the_sum_from_the_cutter():
    # ISO 23509: 90 met/(Re tan a cos b) (1 - Rm sin b / rc0) degrees, computed by hand
    args = (14, 39, math.pi / 2, 0.176893, 0.0254, math.radians(35), math.radians(20))
    made = method_zero_blank(*args, taper="constant slot", cutter_radius=0.1143)
    met, outer, mean = 176.893 / 39, 93.973, 81.273
    slope = math.tan(math.radians(20)) * math.cos(math.radians(35))
    by_hand = 90 * met / (outer * slope) * (1 - mean * math.sin(math.radians(35)) / 114.3)
    total = made.pinion_dedendum_angle + made.gear_dedendum_angle
    assert math.degrees(total) == pytest.approx(by_hand, rel=1e-4)


def test_constant_slot_width_asks_for_the_cutter():
    with pytest.raises(MissingError, match="cutter radius"):
        method_zero_blank(14, 39, 1.57, 0.177, 0.0254, 0.61, 0.35, taper="constant slot")


def test_a_face_as_wide_as_the_cone_is_refused():
    with pytest.raises(RangeError, match="face width"):
        standard_straight_blank(20, 40, math.pi / 2, 3e-3, 70e-3)
