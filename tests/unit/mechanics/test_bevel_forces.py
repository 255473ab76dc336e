"""Tooth forces: against vectors, action and reaction, and the sign rules."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casewright.errors import MissingError, RangeError
from casewright.mechanics.bearings import TaperRow, taper_pair_loads
from casewright.mechanics.bevel import pitch_angles
from casewright.mechanics.bevel_forces import (
    mesh_load,
    shaft_reactions,
    tooth_forces,
    torque_from_power,
)

ALPHA, BETA = math.radians(20), math.radians(35)


@settings(deadline=None, max_examples=50)
@given(
    st.floats(0.2, 1.3),
    st.floats(0.3, 0.4),
    st.floats(0.01, 0.7),
    st.sampled_from(["left", "right"]),
    st.sampled_from(["clockwise", "counter-clockwise"]),
)
def test_forces_are_the_flank_normal_resolved_along_the_axes(delta, alpha, beta, hand, way):
    """Independent construction in axes: e outward along the element, y tangential, p inward.

    Seen facing the teeth from the apex side (e up the page... outward, looking along +p), a
    right-hand tooth leans clockwise outward. The reaction opposes the driver's motion.
    """
    # Frame: axis a away from apex, r from axis to the mesh, t = a x r.
    axis, radial = np.array([0.0, 0.0, 1.0]), np.array([1.0, 0.0, 0.0])
    around = np.cross(axis, radial)
    element = math.cos(delta) * axis + math.sin(delta) * radial
    outward = -math.sin(delta) * axis + math.cos(delta) * radial  # out of the pitch cone
    # Facing the teeth: look along -outward. With element up, right is element x outward.
    right = np.cross(element, outward)
    lean = 1.0 if hand == "right" else -1.0
    trace = math.cos(beta) * element + lean * math.sin(beta) * right
    # Seen from the heel towards the apex (looking along -axis): counter-clockwise is +axis.
    motion = around if way == "counter-clockwise" else -around
    across = np.cross(trace, outward)
    across = across if across @ motion < 0 else -across  # the mate pushes against the motion
    force = math.cos(alpha) * across - math.sin(alpha) * outward
    force = force / -(force @ motion)
    found = tooth_forces(1.0, 1.0, delta, alpha, beta, hand, way, driving=True)
    assert found.axial == pytest.approx(float(force @ axis), abs=1e-12)
    assert found.radial == pytest.approx(-float(force @ radial), abs=1e-12)


@settings(deadline=None, max_examples=50)
@given(st.integers(12, 20), st.integers(20, 40), st.floats(0.0, 0.7))
def test_action_and_reaction_at_right_angles(z1, z2, beta):
    d1, d2 = pitch_angles(z1, z2, math.pi / 2)
    spiral = (beta, "left", "clockwise")
    pinion = tooth_forces(10.0, 0.02, d1, ALPHA, *spiral, driving=True)
    gear = tooth_forces(
        10.0 * z2 / z1, 0.02 * z2 / z1, d2, ALPHA, beta, "right", "counter-clockwise", False
    )
    assert gear.tangential == pytest.approx(pinion.tangential)
    assert gear.radial == pytest.approx(pinion.axial)
    assert gear.axial == pytest.approx(pinion.radial)


def test_a_left_hand_driving_pinion_turning_clockwise_is_pushed_out_of_mesh():
    forces = tooth_forces(10, 0.02, 0.4, ALPHA, BETA, "left", "clockwise")
    assert forces.thrust == "away from the apex"


def test_thrust_turns_round_with_the_rotation():
    ahead = tooth_forces(10, 0.02, 0.4, ALPHA, BETA, "left", "clockwise")
    astern = tooth_forces(10, 0.02, 0.4, ALPHA, BETA, "left", "counter-clockwise")
    assert ahead.axial > 0 > astern.axial
    assert astern.thrust == "towards the apex"


def test_the_misprinted_formula_is_not_ours():
    """One page prints Wt cos(b) where it must be Wt / cos(b)."""
    forces = tooth_forces(1.0, 1.0, 0.4, ALPHA, BETA, "left", "clockwise")
    bracket = math.tan(ALPHA) * math.sin(0.4) + math.sin(BETA) * math.cos(0.4)
    assert forces.axial == pytest.approx(bracket / math.cos(BETA))
    assert forces.axial != pytest.approx(bracket * math.cos(BETA), rel=0.1)


def test_straight_teeth_always_push_out():
    for way in (None, "clockwise", "counter-clockwise"):
        assert tooth_forces(10, 0.02, 0.4, ALPHA, rotation=way).axial > 0


def test_spiral_teeth_need_hand_and_rotation():
    with pytest.raises(MissingError, match="hand"):
        tooth_forces(10, 0.02, 0.4, ALPHA, BETA, rotation="clockwise")
    with pytest.raises(MissingError, match="rotation"):
        tooth_forces(10, 0.02, 0.4, ALPHA, BETA, "left")


def test_impossible_inputs_are_refused():
    with pytest.raises(RangeError):
        torque_from_power(1000, 0)
    with pytest.raises(RangeError):
        tooth_forces(10, 0, 0.4, ALPHA)
    with pytest.raises(RangeError):
        shaft_reactions([(0, 0, 0)], [(1, 0, 0)], (0, 0, 0), (0, 0, 0))


VECTORS = st.tuples(*[st.floats(-1000, 1000)] * 3)


@settings(deadline=None, max_examples=50)
@given(st.lists(st.tuples(VECTORS, VECTORS), min_size=1, max_size=4), st.booleans())
def test_forces_and_moments_balance(loads, on_first):
    points, forces = [p for p, _ in loads], [f for _, f in loads]
    first, second = np.array([1.0, 2.0, 3.0]), np.array([1.0, -4.0, 7.0])
    found = shaft_reactions(points, forces, first, second, on_first)
    total = np.sum(forces, 0) + found.first + found.second
    axis = (second - first) / np.linalg.norm(second - first)
    moment = np.cross(points, forces).sum(0)
    moment = moment + np.cross(first, found.first) + np.cross(second, found.second)
    moment = moment + found.torque * axis
    assert np.abs(total).max() < 1e-6
    assert np.abs(moment).max() < 1e-3
    loose = found.second if on_first else found.first
    assert abs(np.dot(loose, axis)) < 1e-6


def gear_of_the_example(thrust_on_first=True):
    """Gear shaft of the textbook's bevel example in inches and pounds, thrust along the shaft."""
    forces = tooth_forces(1576.0, 3.88, math.atan(3), ALPHA, driving=False)
    load = mesh_load(forces, 3.88, math.atan(3), -2.5, -1, 0.0, "counter-clockwise", False)
    first, second = (0.0, 0.0, 0.0), (0.0, 0.0, -6.125)
    return load, shaft_reactions([load.point], [load.force], first, second, thrust_on_first)


def test_mesh_load_sits_on_the_pitch_cone_and_pushes_away_from_the_apex():
    load, _ = gear_of_the_example()
    assert load.point == pytest.approx((3.88, 0, -3.793), abs=1e-3)
    assert load.force[2] == pytest.approx(-140, abs=0.5)
    assert load.force[0] == pytest.approx(-46.7, abs=0.2)
    assert abs(load.force[1]) == pytest.approx(406, abs=0.5)


def test_reactions_of_the_example_by_hand_with_the_thrust_along_the_shaft():
    # moments about the first bearing: (3.88 * 140.2 + 3.793 * 46.7) / 6.125 = 117.7 across,
    # 3.793 * 406.2 / 6.125 = 251.5 along the motion
    _, found = gear_of_the_example()
    assert found.second_radial == pytest.approx(math.hypot(117.7, 251.5), abs=0.3)
    assert found.first_radial == pytest.approx(math.hypot(117.7 - 46.7, 406.2 - 251.5), abs=0.3)
    assert found.thrust == pytest.approx(140.2, abs=0.2)
    assert abs(found.torque) == pytest.approx(1576)


@given(st.booleans(), st.sampled_from(["clockwise", "counter-clockwise"]), st.sampled_from([1, -1]))
def test_a_driver_is_braked_and_a_driven_gear_is_turned_on(driving, way, heel):
    forces = tooth_forces(10.0, 0.03, 0.5, ALPHA, driving=driving)
    load = mesh_load(forces, 0.03, 0.5, 0.0, heel, 1.0, way, driving)
    about = float(np.cross(load.point, load.force)[2])
    turns = heel * (1 if way == "counter-clockwise" else -1)
    assert about * turns == pytest.approx(-10.0 if driving else 10.0)


def test_from_gear_forces_to_the_life_of_a_pair():
    _, found = gear_of_the_example()
    rows = [
        TaperRow(radial, limit=0.37, thrust=1.6, capacity=50e3)
        for radial in (found.second_radial, found.first_radial)
    ]
    pair = taper_pair_loads(*rows, found.thrust)
    assert pair.first.axial - pair.second.axial == pytest.approx(found.thrust)
    assert pair.first.life < pair.second.life
