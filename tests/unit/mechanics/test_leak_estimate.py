"""Leak rate from a log, against what was put in and against plain least squares."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casewright.errors import MissingError, RangeError
from casewright.mechanics.leak_columns import DriftModel, Gauge
from casewright.mechanics.leak_estimate import estimate_leak, leak_history
from casewright.mechanics.leak_log import leak_log
from casewright.mechanics.straight_line import straight_line

VOLUME, AMBIENT = 0.0015, 101_325.0
FINE = Gauge(resolution=10.0, noise=10.0)


def course(slope=11.7, hours=0.25, step=5.0, gas=None, excess=70e3, noise=10.0, seed=1, wall=None):
    """A log of steady proportional leak with gas and wall temperatures as functions of time."""
    time = np.arange(0, hours * 3600 + 1, step)
    gas = np.full_like(time, 293.15) if gas is None else gas(time)
    wall = gas if wall is None else wall(time)
    start = AMBIENT + excess
    # dm/dt in proportion to the excess of p at steady temperature: p - pa decays exponentially.
    p20 = AMBIENT + excess * np.exp(-slope * time / abs(excess))
    pressure = p20 * gas / 293.15 + np.random.default_rng(seed).normal(0, noise, len(time))
    assert start > 0
    return leak_log(time, np.round(pressure / 10) * 10, wall, None, "absolute")


def test_a_steady_leak_is_found_within_its_own_uncertainty():
    found = estimate_leak(course(), VOLUME, FINE)
    assert abs(found.leak_rate - 11.7 * VOLUME) < 3 * found.uncertainty
    assert found.uncertainty < 0.1 * 11.7 * VOLUME


def test_without_drift_it_agrees_with_plain_least_squares_on_p_over_t():
    log = course(slope=2.0)
    line = straight_line(log.time, log.pressure * 293.15 / log.temperature)
    found = estimate_leak(log, VOLUME, FINE)
    assert abs(found.leak_rate + line.slope * VOLUME) < 3 * found.uncertainty


def test_a_large_loss_decays_and_its_start_rate_is_still_found():
    log = course(slope=150.0, hours=0.25)
    found = estimate_leak(log, VOLUME, FINE)
    assert found.loss_share > 0.8
    assert found.leak_rate == pytest.approx(150.0 * VOLUME, rel=0.03)
    # A plain straight line is far off.
    line = straight_line(log.time, log.pressure)
    assert -line.slope < 0.6 * 150.0


def test_a_vacuum_that_rises_is_a_positive_leak():
    found = estimate_leak(course(slope=5.0, excess=-45e3), VOLUME, FINE)
    assert abs(found.leak_rate - 5.0 * VOLUME) < 3 * found.uncertainty


def test_cooling_is_shown_as_drift_and_not_as_leak():
    warm = lambda t: 293.15 + 6 * np.exp(-t / 1800)  # noqa: E731
    found = estimate_leak(course(slope=0.0, gas=warm, hours=0.5), VOLUME, FINE)
    assert abs(found.leak_rate) < 3 * found.uncertainty
    assert found.temperature_drift > 10 * found.uncertainty / 3
    assert found.uncorrected_rate == pytest.approx(found.leak_rate + found.temperature_drift)


def test_a_lag_between_wall_and_gas_is_met_where_a_naive_correction_is_worse_than_none():
    # The wall swings, the gas follows two minutes late and smaller (exact first-order answer).
    swing, tau, omega = 3.0, 200.0, 2 * np.pi / 1200
    amplitude, phase = swing / np.hypot(1, omega * tau), np.arctan(omega * tau)

    def wall(t):
        return 293.15 + swing * np.sin(omega * t)

    def gas(t):
        return 293.15 + amplitude * np.sin(omega * t - phase)

    log = course(slope=0.0, gas=gas, wall=wall, hours=0.25)
    naive = -straight_line(log.time, log.pressure * 293.15 / log.temperature).slope * VOLUME
    raw = -straight_line(log.time, log.pressure).slope * VOLUME
    found = estimate_leak(log, VOLUME, FINE)
    assert abs(naive) > abs(raw)
    assert abs(found.leak_rate) < 3 * found.uncertainty
    assert abs(found.leak_rate) < 0.5 * abs(naive)


def test_steps_where_a_shaft_was_turned_are_cut():
    log = course(slope=3.0, hours=0.4)
    late, turned = log.time > 600, (log.time >= 590) & (log.time <= 610)
    stepped = leak_log(
        log.time, log.pressure - 1500 * late, log.temperature, turned, pressure_kind="absolute"
    )
    found = estimate_leak(stepped, VOLUME, FINE)
    assert found.spans == 2
    assert abs(found.leak_rate - 3.0 * VOLUME) < 3 * found.uncertainty
    blind = estimate_leak(
        leak_log(log.time, log.pressure - 1500 * late, log.temperature, None, "absolute"),
        VOLUME,
        FINE,
    )
    assert abs(blind.leak_rate - 3.0 * VOLUME) > 3 * abs(found.leak_rate - 3.0 * VOLUME)


def test_a_still_gauge_is_no_proof_until_a_step_could_have_shown():
    time = np.arange(0, 61.0, 5.0)
    log = leak_log(time, np.full(13, 171e3), np.full(13, 293.15), None, "absolute")
    dial = leak_history(log, VOLUME, Gauge(resolution=500.0))
    # A slope that stays inside one step for the whole minute can't be ruled out.
    assert dial.uncertainty[-1] > 0.4 * VOLUME * 500 / 60


def test_volume_uncertainty_is_part_of_a_large_leaks_uncertainty():
    log = course(slope=50.0)
    sure = estimate_leak(log, VOLUME, FINE)
    unsure = estimate_leak(log, VOLUME, FINE, volume_uncertainty=0.1 * VOLUME)
    added = np.sqrt(unsure.uncertainty**2 - sure.uncertainty**2)
    assert added == pytest.approx(0.1 * sure.leak_rate, rel=1e-6)


def test_a_drifting_gauge_is_part_of_the_uncertainty():
    log = course()
    steady = estimate_leak(log, VOLUME, FINE)
    drifting = estimate_leak(log, VOLUME, Gauge(10.0, 10.0, drift=0.5))
    added = np.sqrt(drifting.uncertainty**2 - steady.uncertainty**2)
    assert added == pytest.approx(0.5 * VOLUME, rel=1e-6)


def test_without_temperatures_the_drift_must_be_allowed_for():
    log = course()
    bare = leak_log(log.time, log.pressure, None, None, "absolute")
    with pytest.raises(MissingError, match="temperature column"):
        estimate_leak(bare, VOLUME, FINE)
    found = estimate_leak(bare, VOLUME, FINE, unlogged_drift=2.0)
    assert not found.correction_trusted
    # 2 K of 171 kPa at 293 K over 900 s.
    assert found.uncertainty >= VOLUME * 171e3 * 2 / 293.15 / 900


def test_a_circuit_that_holds_nothing_is_answered():
    log = leak_log([0, 5, 10], [101_400.0] * 3, [293.0] * 3, None, "absolute")
    with pytest.raises(RangeError, match="holds nothing"):
        estimate_leak(log, VOLUME, FINE)


def test_a_volume_not_above_zero_is_refused():
    with pytest.raises(RangeError, match="volume"):
        estimate_leak(course(), 0.0, FINE)


@settings(max_examples=15, deadline=None)
@given(
    st.floats(0, 20), st.floats(-8, 8), st.floats(600, 4000), st.floats(0, 80), st.integers(0, 999)
)
def test_any_cooling_wall_with_any_lag_is_within_four_uncertainties(slope, offset, tau, lag, seed):
    # Exact response of a lag to an exponential wall, started in balance with it.
    def wall(t):
        return 293.15 + offset * np.exp(-t / tau)

    def gas(t):
        gain = 1 / (1 - lag / tau)
        fast = np.exp(-t / lag) if lag > 0.01 else 0.0
        return 293.15 + offset * (gain * np.exp(-t / tau) + (1 - gain) * fast)

    found = estimate_leak(
        course(slope=slope, gas=gas, wall=wall, hours=0.3, seed=seed), VOLUME, FINE
    )
    assert abs(found.leak_rate - slope * VOLUME) < 4 * found.uncertainty


def test_a_wider_prior_never_makes_the_answer_surer():
    log = course(hours=0.05)
    narrow = estimate_leak(log, VOLUME, FINE, model=DriftModel(settling_spread=1.0))
    wide = estimate_leak(log, VOLUME, FINE, model=DriftModel(settling_spread=20.0))
    assert wide.uncertainty > narrow.uncertainty
