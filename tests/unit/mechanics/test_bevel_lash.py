"""Lash: against the unit normals of both flanks, and through levers and radii."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casewright.errors import MissingError, RangeError
from casewright.mechanics.bevel import pitch_angles
from casewright.mechanics.bevel_lash import (
    LashGeometry,
    axial_move_for_lash,
    convert_lash,
    geometric_sensitivity,
    indicator_travel,
    lash_beside,
    lash_of_axial_moves,
)

ALPHA, BETA = math.radians(20), math.radians(35)
MESH = LashGeometry(
    mean_radius=0.040,
    lever_radius=0.100,
    outer_over_mean=1.175,
    pressure_angle=ALPHA,
    spiral_angle=BETA,
)


@settings(deadline=None, max_examples=50)
@given(st.floats(0.2, 1.3), st.floats(0.25, 0.45), st.floats(0.0, 0.7))
def test_both_flank_normals_summed_give_the_closed_formula(delta, alpha, beta):
    """Independent construction: normals of both flanks at the pitch point, dotted with the move."""
    move = np.array([math.cos(delta), 0.0, math.sin(delta)])  # along the element, square to it
    gaps = []
    for side in (1, -1):
        normal = np.array(
            [
                side * math.cos(alpha) * math.sin(beta),
                side * math.cos(alpha) * math.cos(beta),
                math.sin(alpha),
            ]
        )
        gaps.append(float(normal @ move))
    change = lash_of_axial_moves(1.0, 0.0, delta, 0.3, alpha, beta)
    assert change.normal == pytest.approx(sum(gaps))
    assert change.transverse == pytest.approx(sum(gaps) / (math.cos(alpha) * math.cos(beta)))


@settings(deadline=None, max_examples=50)
@given(st.floats(60, 100), st.integers(12, 20), st.integers(20, 40))
def test_a_gear_move_counts_by_the_tooth_ratio_more_than_a_pinion_move(degrees, z1, z2):
    d1, d2 = pitch_angles(z1, z2, math.radians(degrees))
    by_gear = lash_of_axial_moves(0.0, 1e-4, d1, d2, ALPHA, BETA).transverse
    by_pinion = lash_of_axial_moves(1e-4, 0.0, d1, d2, ALPHA, BETA).transverse
    assert by_gear / by_pinion == pytest.approx(z2 / z1)
    both = lash_of_axial_moves(1e-4, 1e-4, d1, d2, ALPHA, BETA).transverse
    assert both == pytest.approx(by_gear + by_pinion)


def test_the_pitch_angle_of_the_member_that_moves_counts():
    d1, d2 = pitch_angles(20, 40, math.pi / 2)
    right = lash_of_axial_moves(1e-4, 0.0, d1, d2, ALPHA).transverse
    swapped = lash_of_axial_moves(1e-4, 0.0, d2, d1, ALPHA).transverse
    assert swapped == pytest.approx(2 * right)


@settings(deadline=None, max_examples=50)
@given(st.floats(-1e-3, 1e-3), st.floats(0.2, 1.5))
def test_the_inverse_gives_the_move_back(move, delta):
    change = lash_of_axial_moves(0.0, move, 0.3, delta, ALPHA, BETA)
    assert axial_move_for_lash(change.transverse, delta, ALPHA, BETA) == pytest.approx(move)


def test_moving_out_always_loosens():
    assert lash_of_axial_moves(1e-4, 0, 0.4, 1.1, ALPHA).transverse > 0
    assert lash_of_axial_moves(0, -1e-4, 0.4, 1.1, ALPHA).transverse < 0


def test_reading_at_the_lever_becomes_the_arc_at_the_mesh():
    # lever 100 mm, reading 0.60, mean radius 40: 0.240 mm (hand computation)
    assert convert_lash(0.60e-3, "lever", "mean", MESH) == pytest.approx(0.240e-3)


def test_normal_at_the_heel_is_not_the_transverse_mean():
    # normal = transverse cos(20) cos(35) = 0.770, heel 1.175 of the mean (hand computation)
    assert convert_lash(1e-3, "mean", "normal", MESH) == pytest.approx(0.770e-3, abs=5e-7)
    assert convert_lash(1e-3, "mean", "outer", MESH) == pytest.approx(1.175e-3)
    heel = convert_lash(1e-3, "normal outer", "mean", MESH)
    assert heel == pytest.approx(1e-3 / (0.7698 * 1.175), rel=1e-3)


@settings(deadline=None, max_examples=50)
@given(
    st.floats(0, 1e-3),
    st.sampled_from(["lever", "mean", "outer", "normal", "normal outer"]),
    st.sampled_from(["lever", "mean", "outer", "normal", "normal outer", "angle"]),
)
def test_conversion_and_back_is_the_same_lash(value, given_at, wanted):
    there = convert_lash(value, given_at, wanted, MESH)
    assert convert_lash(there, wanted, given_at, MESH) == pytest.approx(value)


def test_the_same_arc_is_read_from_either_shaft():
    pinion = LashGeometry(mean_radius=0.020, lever_radius=0.080)
    gear = LashGeometry(mean_radius=0.040, lever_radius=0.080)
    arc = 0.2e-3
    on_pinion, on_gear = (convert_lash(arc, "mean", "angle", g) for g in (pinion, gear))
    assert on_pinion == pytest.approx(2 * on_gear)


def test_a_ratio_between_lever_and_gear_multiplies_the_reading():
    geared = LashGeometry(mean_radius=0.040, lever_radius=0.100, between=2.0)
    assert convert_lash(0.60e-3, "lever", "mean", geared) == pytest.approx(0.120e-3)


def test_lash_below_zero_is_refused():
    with pytest.raises(RangeError, match="lash"):
        convert_lash(-1e-5, "lever", "mean", MESH)


def test_a_lever_without_its_radius_is_asked_for():
    with pytest.raises(MissingError, match="indicator radius"):
        convert_lash(1e-4, "lever", "mean", LashGeometry(mean_radius=0.04))


def test_an_inclined_dial_over_reads_on_a_face_square_to_the_motion():
    tilt = math.radians(20)
    assert indicator_travel(1.0, tilt, "square to motion") == pytest.approx(math.cos(tilt))
    assert indicator_travel(1.0, tilt, "square to plunger") == pytest.approx(1 / math.cos(tilt))
    assert indicator_travel(1.0) == 1.0


def test_an_inclined_dial_asks_how_the_face_stands():
    with pytest.raises(MissingError, match="touched face"):
        indicator_travel(1.0, 0.2)


def test_inclined_dial_agrees_with_a_plane_moved_under_a_plunger():
    """Construction: a plane face moves by 1 along x; how far does it travel along the plunger."""
    tilt = 0.35
    plunger = np.array([math.cos(tilt), math.sin(tilt)])
    for face, normal in (
        ("square to motion", np.array([1.0, 0.0])),
        ("square to plunger", plunger),
    ):
        reading = (normal @ np.array([1.0, 0.0])) / (normal @ plunger)
        assert indicator_travel(reading, tilt, face) == pytest.approx(1.0)


def test_sensitivity_without_angles_spans_the_usual_factors():
    found = geometric_sensitivity(math.radians(60), "gear")
    sine = 2 * math.sin(math.radians(60))
    assert found.value == pytest.approx(sine * 0.435)
    assert found.low < sine * 0.36
    assert found.high > sine * 0.51
    assert found.standard_deviation >= sine * 0.15 / math.sqrt(12)
    assert found.working.estimate


@settings(deadline=None, max_examples=50)
@given(st.floats(0.2, 1.4), st.floats(20, 22.5), st.floats(0, 35))
def test_knowing_the_angles_narrows_the_sensitivity_and_stays_inside(delta, alpha, beta):
    blind = geometric_sensitivity(delta, "gear")
    known = geometric_sensitivity(delta, "gear", math.radians(alpha), math.radians(beta))
    half = geometric_sensitivity(delta, "gear", spiral_angle=math.radians(beta))
    assert known.standard_deviation <= half.standard_deviation <= blind.standard_deviation
    assert blind.low <= known.value <= blind.high


def test_lash_stands_beside_in_every_measure_that_can_be_had():
    full = lash_beside(0.2e-3, "lever", MESH)
    assert set(full) == {"lever", "mean", "outer", "normal", "normal outer", "angle"}
    assert full["mean"] == pytest.approx(0.08e-3)
    bare = lash_beside(0.2e-3, "mean", LashGeometry(mean_radius=0.04))
    assert set(bare) == {"mean", "angle"}
    with pytest.raises(MissingError, match="indicator radius"):
        lash_beside(0.2e-3, "lever", LashGeometry(mean_radius=0.04))
    with pytest.raises(RangeError, match="lash"):
        lash_beside(-1e-3, "mean", MESH)
