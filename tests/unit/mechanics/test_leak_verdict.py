"""Leak, tight, not proven yet."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casewright.errors import RangeError
from casewright.mechanics.leak_columns import Gauge
from casewright.mechanics.leak_log import leak_log
from casewright.mechanics.leak_verdict import (
    LEAK,
    NOT_PROVEN,
    TIGHT,
    judge_leak,
    log_likelihood_ratio,
    wald_bounds,
)

VOLUME, AMBIENT = 0.0015, 101_325.0
LIMIT_SLOPE = 7000 / 600
LIMIT = VOLUME * LIMIT_SLOPE
FINE = Gauge(resolution=50.0, noise=20.0)


def log_of(slope, seconds=600.0, step=2.0, excess=70e3, resolution=50.0, gas=None):
    """A leak that starts at `slope` and follows the pressure across it, in steps of 0.05 s."""
    fine = np.arange(0, seconds + 0.1, 0.05)
    warm = np.full_like(fine, 293.15) if gas is None else gas(fine)
    amount, pressure = (AMBIENT + excess) / warm[0], np.empty_like(fine)
    for i, temperature in enumerate(warm):
        pressure[i] = amount * temperature
        amount -= 0.05 * slope / 293.15 * (pressure[i] - AMBIENT) / abs(excess)
    rows = np.arange(0, len(fine), round(step / 0.05))
    noisy = pressure[rows] + np.random.default_rng(3).normal(0, 0.4 * resolution, len(rows))
    stepped = np.round(noisy / resolution) * resolution
    return leak_log(fine[rows], stepped, warm[rows], None, "absolute")


@pytest.mark.parametrize("excess", [70e3, -40e3])
def test_a_tight_case_is_called_tight_sooner_than_ten_minutes(excess):
    verdict = judge_leak(log_of(0.1, excess=excess), VOLUME, FINE, LIMIT)
    assert verdict.word == TIGHT
    assert 60 <= verdict.seconds < 600


@pytest.mark.parametrize("excess", [70e3, -40e3])
def test_a_leaking_case_is_called_leaking(excess):
    verdict = judge_leak(log_of(2 * LIMIT_SLOPE, excess=excess), VOLUME, FINE, LIMIT)
    assert verdict.word == LEAK
    assert not verdict.gross


def test_a_gross_leak_is_called_within_seconds():
    # A plug left out: 70 kPa gone with a time constant of six seconds.
    verdict = judge_leak(log_of(70e3 / 6, seconds=30, step=0.5), VOLUME, FINE, LIMIT)
    assert verdict.word == LEAK
    assert verdict.gross
    assert verdict.seconds <= 5


def test_a_short_hold_is_not_proven_and_says_how_much_longer():
    verdict = judge_leak(log_of(0.0, seconds=30), VOLUME, FINE, LIMIT)
    assert verdict.word == NOT_PROVEN
    assert verdict.time_still_needed is not None
    assert verdict.seconds + verdict.time_still_needed >= 60


def test_the_time_said_to_be_needed_is_about_what_it_takes():
    dial = Gauge(resolution=500.0, noise=100.0)
    short = judge_leak(log_of(0.5, 120, 10, resolution=500.0), VOLUME, dial, LIMIT / 2)
    full = judge_leak(log_of(0.5, 3600, 10, resolution=500.0), VOLUME, dial, LIMIT / 2)
    assert (short.word, full.word) == (NOT_PROVEN, TIGHT)
    said = short.seconds + short.time_still_needed
    assert 1 / 4 < said / full.seconds < 4


def test_a_coarse_gauge_never_proves_a_fine_limit_before_it_could_step_twice():
    # 1 sccm in 1.5 L: one 500 Pa step takes 444 s.
    fine_limit = 1.68875e-3
    coarse = Gauge(resolution=500.0)
    log = log_of(0.0, 1200, 10, resolution=500.0)
    verdict = judge_leak(log, VOLUME, coarse, fine_limit)
    assert verdict.word == NOT_PROVEN or verdict.seconds >= 2 * 444


def test_a_leak_far_too_slow_for_the_cap_says_it_cannot_be_proven():
    verdict = judge_leak(
        log_of(0.0, 600, 10, resolution=500.0), VOLUME, Gauge(resolution=500.0), LIMIT / 500
    )
    assert verdict.word == NOT_PROVEN
    assert verdict.time_still_needed is None
    assert any("finer gauge" in reason for reason in verdict.reasons)


def test_a_cooling_case_that_would_fail_the_bare_gauge_is_called_tight():
    cooling = lambda t: 293.15 + 20 * np.exp(-t / 500)  # noqa: E731
    verdict = judge_leak(log_of(0.0, 1800, gas=cooling), VOLUME, FINE, LIMIT)
    assert verdict.word == TIGHT
    assert verdict.uncorrected_word == LEAK
    assert any("misled" in reason for reason in verdict.reasons)


def test_a_warming_case_that_hides_a_leak_is_called_leaking():
    warming = lambda t: 293.15 + 0.02 * t  # noqa: E731
    verdict = judge_leak(log_of(1.7 * LIMIT_SLOPE, 1800, gas=warming), VOLUME, FINE, LIMIT)
    assert verdict.word == LEAK
    assert verdict.uncorrected_rate < LIMIT


def test_walds_bounds_against_his_own_formula():
    low, high = wald_bounds(0.05, 0.05)
    assert (low, high) == pytest.approx((-math.log(19), math.log(19)))
    with pytest.raises(RangeError):
        wald_bounds(0.6, 0.01)


@settings(deadline=None, max_examples=40)
@given(st.floats(-5, 30), st.floats(0.05, 5))
def test_the_likelihood_ratio_is_that_of_the_likeliest_normal_densities(share, spread):
    ratio = log_likelihood_ratio(share, spread, 1.0)

    def best(rates):
        # Log density of the likeliest rate, by brute force over a grid; the constant cancels.
        return np.max(-((share - rates) ** 2) / (2 * spread**2))

    densities = best(np.linspace(1.5, 31.5, 12001)) - best(np.linspace(-10, 0.5, 4201))
    assert ratio == pytest.approx(densities, abs=2e-3 * (1 + abs(densities)))


def test_a_sequential_test_keeps_its_error_chances_on_independent_readings():
    # Brute force: the bounds on running means of independent normal readings, 4000 tests a side.
    rng = np.random.default_rng(8)
    low, high = wald_bounds(0.05, 0.05)
    for truth, wrong in ((0.5, high), (1.5, low)):
        means = np.cumsum(rng.normal(truth, 3.0, (4000, 400)), 1) / np.arange(1, 401)
        ratio = (means - 1.0) * np.arange(1, 401) / 9.0
        crossed = np.where((ratio <= low) | (ratio >= high), ratio, 0.0)
        first = crossed[np.arange(4000), np.argmax(crossed != 0, 1)]
        assert np.mean(first * np.sign(wrong) > 0) <= 0.05


def test_a_limit_not_above_zero_is_refused():
    with pytest.raises(RangeError, match="limit"):
        judge_leak(log_of(0.0), VOLUME, FINE, 0.0)


@pytest.mark.parametrize("slope", [0.0, 1.7 * LIMIT_SLOPE, 300.0])
def test_a_verdict_rests_only_on_the_readings_before_it(slope):
    whole = log_of(slope, 900)
    verdict = judge_leak(whole, VOLUME, FINE, LIMIT)
    upto = whole.time <= verdict.seconds
    cut = leak_log(
        whole.time[upto], whole.pressure[upto], whole.temperature[upto], None, "absolute"
    )
    again = judge_leak(cut, VOLUME, FINE, LIMIT)
    assert (again.word, again.seconds) == (verdict.word, verdict.seconds)
    assert again.leak_rate == pytest.approx(verdict.leak_rate, rel=1e-6)


def test_a_shaft_turned_for_the_whole_log_leaves_nothing_to_judge():
    log = log_of(0.0, 60)
    turned = leak_log(
        log.time, log.pressure, log.temperature, np.ones(len(log.time), bool), "absolute"
    )
    with pytest.raises(RangeError, match="no shaft turning"):
        judge_leak(turned, VOLUME, FINE, LIMIT)


def test_each_verdict_carries_its_working_and_drift_apart():
    verdict = judge_leak(log_of(0.1), VOLUME, FINE, LIMIT)
    steps = {term.name: term.value for term in verdict.working.steps}
    assert steps["drift from temperature"] == pytest.approx(
        verdict.uncorrected_rate - verdict.leak_rate
    )
    assert verdict.working.estimate
