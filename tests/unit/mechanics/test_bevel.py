"""Pitch cones: sums, limits and refusals."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casewright.errors import RangeError
from casewright.mechanics.bevel import (
    equivalent_teeth,
    involute_cones,
    pitch_angles,
    pitch_geometry,
)


@settings(deadline=None, max_examples=50)
@given(st.integers(8, 60), st.integers(8, 60), st.floats(40, 95))
def test_pitch_angles_add_to_the_shaft_angle_and_sines_stand_as_the_teeth(z1, z2, degrees):
    shaft = math.radians(degrees)
    try:
        d1, d2 = pitch_angles(z1, z2, shaft)
    except RangeError:
        return
    assert d1 + d2 == pytest.approx(shaft)
    assert math.sin(d2) / math.sin(d1) == pytest.approx(z2 / z1)


def test_a_gear_of_no_teeth_is_refused():
    with pytest.raises(RangeError, match="gear teeth"):
        pitch_angles(20, 0, 1.5)


def test_mean_and_outer_radius_differ_by_the_cone_distances():
    # z 20/40, module 3, face 20: Re 67.08, Rm 57.08, factor 1.175 (hand computation)
    pitch = pitch_geometry(20, 40, math.pi / 2, 0.120, 0.020)
    assert pitch.outer_over_mean == pytest.approx(1.175, abs=5e-4)
    ratio = pitch.gear_outer_diameter / pitch.gear_mean_diameter
    assert ratio == pytest.approx(pitch.outer_over_mean)


def test_a_face_wider_than_the_cone_is_refused():
    with pytest.raises(RangeError, match="face width"):
        pitch_geometry(20, 40, math.pi / 2, 0.120, 0.070)


def test_equivalent_teeth_of_a_crown_gear_are_a_rack():
    assert equivalent_teeth(40, math.pi / 2) == math.inf


def test_equivalent_teeth_grow_with_the_spiral_by_the_cube_of_its_cosine():
    straight, spiral = equivalent_teeth(20, 0.46), equivalent_teeth(20, 0.46, math.radians(35))
    assert straight / spiral == pytest.approx(math.cos(math.radians(35)) ** 3)


@settings(deadline=None, max_examples=50)
@given(st.floats(-0.02, 0.02))
def test_a_shaft_angle_error_leaves_the_base_cones_and_the_ratio(error):
    nominal = involute_cones(20, 40, math.pi / 2, math.radians(20))
    off = involute_cones(20, 40, math.pi / 2, math.radians(20), error)
    assert off.pinion_base_angle == nominal.pinion_base_angle
    sines = math.sin(off.gear_working_angle) / math.sin(off.pinion_working_angle)
    assert sines == pytest.approx(off.sine_ratio) == pytest.approx(2)
    assert (off.working_pressure_angle > nominal.working_pressure_angle) == (error > 0) or (
        abs(error) < 1e-12
    )


def test_axes_too_close_for_their_base_cones_are_refused():
    with pytest.raises(RangeError, match="shaft angle error"):
        involute_cones(20, 40, math.pi / 2, math.radians(20), -0.2)
