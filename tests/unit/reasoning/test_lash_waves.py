"""Lash round the turn and at a lever."""

from __future__ import annotations

from math import cos, pi, radians

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import curve_fit

from casewright.errors import InputError, MissingError, RangeError
from casewright.reasoning.lash_waves import (
    common_factor,
    extremes_in_window,
    fit_waves,
    lash_from_lever,
    lever_window,
    wave_positions,
)

MM = 1e-3
TEETH = (27, 13)


def lash(x: np.ndarray, mean: float, a: float, b: float, c: float, d: float) -> np.ndarray:
    y = x * TEETH[0] / TEETH[1]
    return mean + a * np.cos(x) + b * np.sin(x) + c * np.cos(y) + d * np.sin(y)


@given(st.lists(st.floats(-0.02, 0.02), min_size=4, max_size=4))
def test_exact_waves_come_back(parts: list[float]) -> None:
    x = np.array(wave_positions(*TEETH, 8))
    waves = fit_waves(x, lash(x, 0.2, *parts) * MM, *TEETH, 1e-12)
    gear, pinion = np.hypot(*parts[:2]), np.hypot(*parts[2:])
    assert waves.mean == pytest.approx(0.2 * MM, rel=1e-9)
    assert waves.gear_swing == pytest.approx(gear * MM, abs=1e-9)
    assert waves.pinion_swing == pytest.approx(pinion * MM, abs=1e-9)
    assert waves.high == pytest.approx((0.2 + gear + pinion) * MM, abs=1e-8)


def test_extremes_are_those_of_the_whole_hunting_cycle() -> None:
    x = np.array(wave_positions(*TEETH, 8))
    parts = (0.2 * MM, 0.010 * MM, 0.004 * MM, -0.006 * MM, 0.003 * MM)
    waves = fit_waves(x, lash(x, *parts), *TEETH, 1e-12)
    all_turns = lash(np.linspace(0, 2 * pi * TEETH[1], 200_001), *parts)
    assert waves.high == pytest.approx(all_turns.max(), rel=1e-3)
    assert waves.low == pytest.approx(all_turns.min(), rel=1e-3)


def test_fit_equals_a_general_solver() -> None:
    draw = np.random.default_rng(1)
    x = np.array(wave_positions(*TEETH, 10))
    y = lash(x, 0.2, 0.01, 0, 0.005, 0.002) * MM + draw.normal(0, 0.01 * MM, 10)
    found, cov = curve_fit(lash, x, y / MM, sigma=np.full(10, 0.01), absolute_sigma=True)
    waves = fit_waves(x, y, *TEETH, 0.01 * MM)
    assert waves.mean == pytest.approx(found[0] * MM, rel=1e-5)
    assert waves.mean_deviation == pytest.approx(cov[0, 0] ** 0.5 * MM, rel=1e-4)


@pytest.mark.parametrize("count", [4, 5])
def test_four_or_five_positions_give_a_mean_only(count: int) -> None:
    waves = fit_waves(np.arange(count) * pi / 2, np.full(count, 0.2 * MM), *TEETH, 0.01 * MM)
    assert waves.mean == pytest.approx(0.2 * MM)
    assert waves.swing is None
    with pytest.raises(MissingError, match="mean only"):
        extremes_in_window([waves], 0.1 * MM, 0.3 * MM)


def test_fewer_than_four_positions_are_too_few() -> None:
    with pytest.raises(MissingError, match="four positions"):
        fit_waves([0, 1, 2], [1e-4] * 3, *TEETH, 1e-5)


def test_positions_that_cannot_tell_the_waves_apart_are_refused() -> None:
    x = np.arange(6) * pi / 3  # with a ratio of 3 the pinion stands at 0 or half a turn only
    with pytest.raises(InputError, match="apart"):
        fit_waves(x, np.full(6, 1e-4), 39, 13, 1e-5)


@given(st.integers(8, 40), st.integers(8, 40))
def test_advised_positions_always_tell_the_waves_apart(gear: int, pinion: int) -> None:
    if gear == pinion:
        with pytest.raises(InputError, match="equal"):
            wave_positions(gear, pinion)
        return
    x = np.array(wave_positions(gear, pinion))
    assert fit_waves(x, np.full(len(x), 1e-4), gear, pinion, 1e-6).swing == pytest.approx(
        0, abs=1e-9
    )


def test_lash_below_zero_is_refused() -> None:
    with pytest.raises(RangeError, match="lash"):
        fit_waves([0, 1, 2, 3], [1e-4, 1e-4, -1e-4, 1e-4], *TEETH, 1e-5)


def test_noise_alone_makes_no_large_swing() -> None:
    draw = np.random.default_rng(2)
    x = np.array(wave_positions(*TEETH, 6))
    swings = [
        fit_waves(x, 0.2 * MM + draw.normal(0, 0.01 * MM, 6), *TEETH, 0.01 * MM).gear_swing
        for _ in range(400)
    ]
    assert np.mean(np.array(swings) ** 2) < (0.01 * MM) ** 2 * 0.35


def test_common_factor_means_marks_must_meet_again() -> None:
    assert common_factor(26, 13) == 13
    assert common_factor(27, 13) == 1
    with pytest.raises(RangeError, match="teeth"):
        common_factor(0, 13)


def test_either_shaft_gives_the_same_arc() -> None:
    """The same 0.24 mm at the mesh turns the pinion's lever further than the wheel's."""
    wheel, pinion = 0.040, 0.020
    arc = 0.24 * MM
    for radius in (wheel, pinion):
        reading = arc / radius * 0.1
        assert lash_from_lever(reading, 0.1, radius).at_mesh == pytest.approx(arc)


def test_in_gear_the_dog_and_spline_play_come_off() -> None:
    reading = (0.24 * MM / 0.04 + 0.002) * 0.1
    assert lash_from_lever(reading, 0.1, 0.04, other_play=0.002).at_mesh == pytest.approx(0.24 * MM)
    with pytest.raises(RangeError, match="neutral"):
        lash_from_lever(0.1 * MM, 0.1, 0.04, other_play=0.01)


def test_a_tilted_plunger_over_or_under_reads_by_its_face() -> None:
    tilt = radians(20)
    flat = lash_from_lever(0.6 * MM, 0.1, 0.04, tilt=tilt)
    dimple = lash_from_lever(0.6 * MM, 0.1, 0.04, tilt=tilt, face="square to the plunger")
    assert flat.at_mesh == pytest.approx(0.24 * MM * cos(tilt))
    assert dimple.at_mesh == pytest.approx(0.24 * MM / cos(tilt))
    with pytest.raises(InputError, match="face"):
        lash_from_lever(0.6 * MM, 0.1, 0.04, face="askew")


def test_a_missing_lever_radius_is_named() -> None:
    with pytest.raises(MissingError, match="lever"):
        lash_from_lever(0.6 * MM, 0.0, 0.04)


def test_windows_stay_printed_and_are_converted_beside() -> None:
    low, high = lever_window(0.38 * MM, 0.69 * MM, 0.1, 0.04, ratio=0.5)
    assert (low, high) == pytest.approx((0.076 * MM, 0.138 * MM))
