"""Ovality, taper, flatness and tilt."""

from __future__ import annotations

from math import cos, pi, sin, tan

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casewright.errors import InputError, RangeError
from casewright.mechanics.form import (
    feeler_angle,
    fit_cylinder,
    fit_plane,
    flange_tilt,
    sine_bar_angle,
)

HEIGHTS = [0.01] * 3 + [0.05] * 3
DIRECTIONS = [0.0, pi / 3, 2 * pi / 3] * 2


def diameters(heights, directions, size=0.040, taper=2e-4, oval=1e-5, axis=0.4):
    middle = np.mean(heights)
    return [
        size + taper * (z - middle) + 0.5 * oval * cos(2 * (t - axis))
        for z, t in zip(heights, directions, strict=True)
    ]


@settings(max_examples=40)
@given(st.floats(0.005, 0.2), st.floats(-1e-3, 1e-3), st.floats(1e-6, 1e-4), st.floats(0, pi))
def test_size_taper_and_ovality_are_found_again(size, taper, oval, axis):
    found = fit_cylinder(
        diameters(HEIGHTS, DIRECTIONS, size, taper, oval, axis), HEIGHTS, DIRECTIONS
    )
    assert found.size == pytest.approx(size, rel=1e-12)
    assert found.taper == pytest.approx(taper, abs=1e-11)
    assert found.ovality == pytest.approx(oval, abs=1e-12)
    assert found.out_of_round == pytest.approx(oval / 2, abs=1e-12)
    assert cos(2 * (found.major_axis - axis)) == pytest.approx(1, abs=1e-8)


@pytest.mark.parametrize("second", [pi / 2, pi / 3, pi])
def test_two_directions_leave_ovality_open_and_not_zero(second):
    heights, directions = [0.01, 0.01, 0.05, 0.05], [0.0, second] * 2
    found = fit_cylinder(diameters(heights, directions), heights, directions)
    assert found.ovality is None
    assert found.major_axis is None
    assert found.ovality_uncertainty is None
    assert any("ovality not determinable" in note for note in found.notes)
    assert found.taper == pytest.approx(2e-4)


def test_opposite_directions_are_one_diameter():
    heights, directions = [0.01] * 3, [0.0, pi, pi / 2]
    assert fit_cylinder(diameters(heights, directions), heights, directions).ovality is None


def test_three_directions_at_three_heights_mix_taper_and_ovality():
    heights, directions = [0.01, 0.03, 0.05], [0.0, pi / 3, 2 * pi / 3]
    found = fit_cylinder(diameters(heights, directions), heights, directions)
    assert found.ovality is None


def test_one_height_leaves_taper_open():
    directions = [0.0, pi / 4, pi / 2, 3 * pi / 4]
    found = fit_cylinder(diameters([0.01] * 4, directions), [0.01] * 4, directions)
    assert found.taper is None
    assert found.taper_uncertainty is None
    assert found.ovality == pytest.approx(1e-5)
    assert any("taper not determinable" in note for note in found.notes)


def test_one_reading_is_a_size_and_nothing_more():
    found = fit_cylinder([0.040], [0.01], [0.0])
    assert (found.size, found.taper, found.ovality, found.deviation) == (0.040, None, None, None)


def test_the_stated_uncertainties_are_those_of_repeated_trials():
    """Seeded simulation: spread of the estimates against the standard uncertainties given."""
    rng = np.random.default_rng(7)
    heights = HEIGHTS * 3
    directions = DIRECTIONS * 3
    truth = np.array(diameters(heights, directions, oval=4e-5))
    runs = [
        fit_cylinder((truth + rng.normal(0, 2e-6, truth.size)).tolist(), heights, directions)
        for _ in range(400)
    ]
    for value, stated in (
        ("size", "size_uncertainty"),
        ("ovality", "ovality_uncertainty"),
        ("taper", "taper_uncertainty"),
    ):
        spread = np.std([getattr(run, value) for run in runs])
        typical = np.sqrt(np.mean([getattr(run, stated) ** 2 for run in runs]))
        assert typical == pytest.approx(spread, rel=0.12)


def test_bad_readings_are_refused():
    with pytest.raises(InputError):
        fit_cylinder([0.04, 0.04], [0.01], [0.0])
    with pytest.raises(InputError):
        fit_cylinder([], [], [])
    with pytest.raises(InputError):
        fit_cylinder([float("nan")], [0.0], [0.0])
    with pytest.raises(RangeError):
        fit_cylinder([-0.04], [0.0], [0.0])


@given(st.floats(-0.01, 0.01), st.floats(-0.01, 0.01), st.floats(-1, 1))
def test_a_tilted_plane_is_flat(a, b, height):
    x, y = [0.0, 0.1, 0.0, 0.1, 0.05], [0.0, 0.0, 0.1, 0.1, 0.02]
    z = [height + a * p + b * q for p, q in zip(x, y, strict=True)]
    found = fit_plane(x, y, z)
    assert found.flatness == pytest.approx(0, abs=1e-12)
    assert tan(found.tilt) == pytest.approx(np.hypot(a, b), abs=1e-12)


def test_a_twisted_face_has_its_corners_up_and_down():
    """A square with opposite corners 0.02 up and down: the plane lies level, flatness 0.04."""
    found = fit_plane([0, 1, 1, 0], [0, 0, 1, 1], [0.02, -0.02, 0.02, -0.02])
    assert found.flatness == pytest.approx(0.04)
    assert found.tilt == pytest.approx(0, abs=1e-12)


def test_a_face_needs_four_points_not_on_a_line():
    with pytest.raises(RangeError, match="four"):
        fit_plane([0, 1, 0], [0, 0, 1], [0, 0, 0])
    with pytest.raises(RangeError, match="line"):
        fit_plane([0, 1, 2, 3], [0, 1, 2, 3], [0, 0, 0, 0])


@settings(max_examples=40)
@given(st.floats(0, 2 * pi), st.floats(0.01, 0.2), st.integers(4, 12))
def test_gaps_round_a_flange_give_its_tilt(toward, difference, places):
    angles = [2 * pi * i / places for i in range(places)]
    gaps = [1 + 0.5 * difference * cos(t - toward) for t in angles]
    found = flange_tilt(gaps, 120.0)
    assert found.difference == pytest.approx(difference)
    assert found.tilt == pytest.approx(difference / 120)
    assert cos(found.toward - toward) == pytest.approx(1)


def test_four_gaps_say_that_a_three_lobed_face_would_hide():
    assert any(
        "3-lobed" in warning for warning in flange_tilt([0.1, 0.16, 0.22, 0.16], 0.12).warnings
    )


def test_angles_of_feeler_and_sine_bar_agree_for_small_ones():
    assert feeler_angle(0.1, 100) == pytest.approx(sine_bar_angle(0.1, 100), rel=1e-5)
    assert sin(sine_bar_angle(50, 100)) == pytest.approx(0.5)


def test_impossible_faces_are_refused():
    with pytest.raises(RangeError):
        flange_tilt([0.1, 0.1, -0.1], 0.12)
    with pytest.raises(RangeError):
        flange_tilt([0.1, 0.1, 0.1], 0.0)
    with pytest.raises(RangeError):
        feeler_angle(0.1, 0.0)
    with pytest.raises(RangeError):
        sine_bar_angle(0.2, 0.1)
