"""Run-out: the wave, what hides in it, bent shafts."""

from __future__ import annotations

from math import cos, pi, sin

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import curve_fit

from casewright.errors import InputError, RangeError
from casewright.mechanics.dial import plunger_second_wave, raw_span_range
from casewright.mechanics.runout import bent_shaft, face_tilt, fit_runout, leaking_waves

EIGHT = [0.0, 0.021, 0.050, 0.081, 0.090, 0.072, 0.041, 0.009]


def equal(n):
    return [2 * pi * i / n for i in range(n)]


@settings(max_examples=40)
@given(
    st.integers(3, 24),
    st.floats(-1, 1),
    st.floats(0.001, 1),
    st.floats(0, 2 * pi),
)
def test_a_pure_eccentricity_is_found_again(n, mean, size, phase):
    readings = [mean + size * cos(t - phase) for t in equal(n)]
    found = fit_runout(readings)
    assert found.mean == pytest.approx(mean, abs=1e-9)
    assert found.eccentricity == pytest.approx(size, abs=1e-9)
    assert cos(found.high_spot - phase) == pytest.approx(1, abs=1e-9)
    low, high = raw_span_range(size, n)
    assert low - 1e-9 <= found.raw_span <= high + 1e-9


@settings(max_examples=40)
@given(st.lists(st.integers(0, 35), min_size=5, max_size=12, unique=True), st.data())
def test_the_fit_and_its_covariance_agree_with_scipy(tens, data):
    angles = [ten * pi / 18 for ten in sorted(tens)]
    assume(max(np.diff([*angles, angles[0] + 2 * pi])) < 4)
    readings = data.draw(st.lists(st.floats(-1, 1), min_size=len(angles), max_size=len(angles)))
    assume(np.ptp(readings) > 1e-3)
    found = fit_runout(readings, angles)

    def wave(t, m, a, b):
        return m + a * np.cos(t) + b * np.sin(t)

    best, spread = curve_fit(wave, angles, readings)
    assert (found.mean, found.cosine, found.sine) == pytest.approx(tuple(best), abs=1e-6)
    if found.deviation and found.deviation > 1e-6:
        assert np.allclose(found.covariance, spread, rtol=1e-3, atol=1e-9)


def test_equal_positions_have_the_textbook_uncertainty():
    """u(a) = s √(2/N), residual with N − 3 degrees of freedom."""
    found = fit_runout(EIGHT)
    assert found.degrees_of_freedom == 5
    assert found.covariance[1][1] ** 0.5 == pytest.approx(found.deviation * 0.5)
    assert found.uncertainty == pytest.approx(found.deviation * 0.5)


def test_run_out_is_twice_the_eccentricity_and_not_the_same():
    found = fit_runout(EIGHT)
    assert found.total_indicated == 2 * found.eccentricity


def test_four_positions_let_three_lobes_pass_as_eccentricity():
    """A three-lobed round shaft, not eccentric at all, reads e = 0.01 with four positions."""
    lobed = [0.01 * cos(3 * t) for t in equal(4)]
    four = fit_runout(lobed)
    assert four.eccentricity == pytest.approx(0.01)
    assert any("3-lobed" in warning for warning in four.warnings)
    eight = fit_runout([0.01 * cos(3 * t) for t in equal(8)])
    assert eight.eccentricity == pytest.approx(0, abs=1e-12)
    assert not any("lobed form from" in warning for warning in eight.warnings)


@pytest.mark.parametrize("n", [4, 5, 6, 7])
def test_equal_positions_alias_the_waves_next_to_their_number(n):
    leaks = leaking_waves(equal(n), highest=n + 1)
    for order, share in leaks.items():
        if order in (n - 1, n + 1):
            assert share == pytest.approx(1)
        elif order % n:
            assert share == pytest.approx(0, abs=1e-9)


@settings(max_examples=40)
@given(st.floats(0, 2 * pi), st.integers(2, 5))
def test_no_phase_of_a_wave_leaks_more_than_is_said(phase, order):
    angles = [0.0, 0.8, 1.7, 2.6, 3.9, 5.0]
    share = leaking_waves(angles)[order]
    found = fit_runout([cos(order * t - phase) for t in angles], angles)
    assert found.eccentricity <= share + 1e-9


def test_just_enough_positions_say_that_nothing_is_left_to_judge_by():
    found = fit_runout([0.02, 0.09, 0.04])
    assert found.deviation is None
    assert found.covariance is None
    assert found.uncertainty is None
    assert any("Just enough" in warning for warning in found.warnings)


def test_an_oval_shaft_says_that_the_dial_moved_more():
    readings = [0.01 * cos(t) + 0.02 * cos(2 * t) for t in equal(12)]
    assert any("ovality" in warning for warning in fit_runout(readings).warnings)
    both = fit_runout(readings, harmonics=2)
    assert both.waves[1].amplitude == pytest.approx(0.02)


def test_a_still_dial_is_a_true_shaft():
    found = fit_runout([0.5] * 8)
    assert found.eccentricity == pytest.approx(0, abs=1e-12)
    assert not any("moved more" in warning for warning in found.warnings)


def test_a_fixed_plunger_adds_a_small_second_wave():
    """The circle read exactly: centre offset e, radius R, plunger on a fixed line."""
    e, radius = 0.5, 20.0
    trace = [e * cos(t) + (radius**2 - (e * sin(t)) ** 2) ** 0.5 for t in equal(64)]
    second = fit_runout(trace, harmonics=2).waves[1].amplitude
    assert second == pytest.approx(plunger_second_wave(e, radius), rel=1e-3)


@pytest.mark.parametrize(
    ("readings", "angles"),
    [([0.1, 0.2], None), ([0.1, 0.2, 0.3], [0.0, 0.0, 3.0]), ([], None)],
)
def test_too_few_positions_are_refused(readings, angles):
    with pytest.raises(RangeError):
        fit_runout(readings, angles)


def test_unequal_lengths_and_gaps_are_refused():
    with pytest.raises(InputError, match="angle"):
        fit_runout([0.1, 0.2, 0.3], [0.0, 1.0])
    with pytest.raises(InputError, match="number"):
        fit_runout([0.1, float("nan"), 0.3])
    with pytest.raises(RangeError):
        fit_runout([0.1, 0.2, 0.3], harmonics=0)


@given(st.floats(0.001, 1), st.floats(0, 6), st.floats(0, 1), st.floats(0, 6), st.floats(50, 350))
def test_a_straight_shaft_is_straight_however_it_is_held(one, first, other, second, place):
    """Offsets that vary in proportion along the shaft leave no bow."""
    ends = one * np.exp(1j * first), other * np.exp(1j * second)
    middle = ends[0] + (ends[1] - ends[0]) * place / 400
    vectors = [ends[0], middle, ends[1]]
    found = bent_shaft(
        [0.0, place, 400.0], [abs(v) for v in vectors], [float(np.angle(v)) for v in vectors]
    )
    assert found.bow == pytest.approx(0, abs=1e-9)


def test_offsets_are_subtracted_as_vectors():
    """Plain differences give 0.035; vectors 0.0425."""
    found = bent_shaft([50.0, 200.0, 350.0], [0.02, 0.06, 0.03], [0.0, pi / 4, pi / 2])
    assert found.bow == pytest.approx(0.04247, abs=1e-5)
    scalars = 0.06 - 0.5 * (0.02 + 0.03)
    assert abs(found.bow - scalars) > 0.007


def test_the_bow_may_lie_between_supports_that_are_not_the_ends():
    found = bent_shaft([0, 100, 200, 300], [0.5, 0, 0.05, 0], [0, 0, 0, 0], supports=(1, 3))
    assert found.bow == pytest.approx(0.05)
    assert found.bow_at == 200
    # The overhung end, 100 outside the support, is reported too.
    assert found.offsets[0] == pytest.approx(0.5)


def test_supports_in_one_place_or_nothing_between_are_refused():
    with pytest.raises(RangeError):
        bent_shaft([100.0, 200.0, 100.0], [0, 0.1, 0], [0, 0, 0])
    with pytest.raises(RangeError):
        bent_shaft([100.0, 200.0], [0, 0.1], [0, 0])
    with pytest.raises(InputError):
        bent_shaft([100.0, 200.0], [0, 0.1], [0])
    with pytest.raises(RangeError):
        face_tilt(0.1, 0.0)
