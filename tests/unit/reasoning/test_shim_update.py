"""Readings into the state, against brute force."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import norm

from casewright.errors import InputError, RangeError
from casewright.reasoning.shim_model import (
    Gauge,
    Response,
    Sensitivity,
    SetUp,
    State,
    first_state,
    forecast,
)
from casewright.reasoning.shim_update import (
    Reading,
    condition,
    leave_one_out,
    misread_chances,
    observe_side,
    rate_sources,
    reading_rows,
    swing,
    take_readings,
)

MM = 1e-3
REFERENCE = (0.8 * MM, 0.6 * MM)


def leg() -> SetUp:
    rates = (
        Sensitivity("height", "pinion", 1.0, 0.0),
        Sensitivity("lash", "pinion", 0.4, 0.10, "geometry", "angles"),
        Sensitivity("lash", "gear", -0.8, 0.20, "geometry", "angles"),
    )
    responses = (
        Response("height", -0.05 * MM, 0.05 * MM),
        Response("lash", 0.1 * MM, 0.3 * MM, floor=0.0, conditions=("shaft pulled",)),
    )
    gauges = (Gauge("block", 0.01 * MM), Gauge("dial", 0.0))
    return SetUp(responses, ("pinion", "gear"), rates, REFERENCE, gauges)


def first() -> State:
    cov = np.array([[16.0, 6.0], [6.0, 25.0]]) * 1e-10
    return first_state(leg(), [0.0, 0.2 * MM], cov, {"pinion": 1e-10, "gear": 1e-10})


def test_conditioning_equals_brute_force_sampling() -> None:
    draw = np.random.default_rng(1)
    root = draw.normal(0, 1, (4, 4))
    state = State(tuple("abcd"), draw.normal(0, 1, 4), root @ root.T)
    rows, values, noise = draw.normal(0, 1, (2, 4)), np.array([0.4, -0.3]), np.array([0.3, 0.5])
    sample = draw.multivariate_normal(state.mean, state.covariance, 1_000_000)
    miss = values - sample @ rows.T
    weight = np.exp(-0.5 * (miss**2 / noise).sum(axis=1))
    mean = (weight[:, None] * sample).sum(axis=0) / weight.sum()
    centred = sample - mean
    cov = (weight[:, None, None] * (centred[:, :, None] * centred[:, None, :])).sum(
        0
    ) / weight.sum()
    after = condition(state, rows, values, noise)
    scale = np.sqrt(np.diag(cov))
    np.testing.assert_allclose(after.mean / scale, mean / scale, atol=0.02)
    np.testing.assert_allclose(
        after.covariance / np.outer(scale, scale), cov / np.outer(scale, scale), atol=0.03
    )


def test_trials_update_rates_as_well_as_offsets_equal_to_sampling() -> None:
    set_up, state = leg(), first()
    packs = np.array([1.0, 0.4]) * MM
    readings = [
        Reading("height", 0.23 * MM, 0.01 * MM, "block"),
        Reading("lash", 0.5 * MM, 0.01 * MM),
    ]
    rows = reading_rows(set_up, state, packs, readings)
    after = condition(state, rows, [r.value for r in readings], [r.deviation**2 for r in readings])
    draw = np.random.default_rng(2)
    n = 1_000_000
    sample = draw.multivariate_normal(state.mean, state.covariance, n, method="svd")
    miss = np.array([r.value for r in readings]) - sample @ rows.T
    weight = np.exp(-0.5 * ((miss / (0.01 * MM)) ** 2).sum(axis=1))
    mean = (weight[:, None] * sample).sum(axis=0) / weight.sum()
    deviation = np.sqrt((weight[:, None] * (sample - mean) ** 2).sum(axis=0) / weight.sum())
    own = np.sqrt(np.diag(after.covariance))
    used = own > 1e-12
    np.testing.assert_allclose((after.mean - mean)[used] / own[used], 0, atol=0.03)
    np.testing.assert_allclose(own[used], deviation[used], rtol=0.03)
    rate = state.names.index("rate:lash|gear")
    assert own[rate] < 0.9 * np.sqrt(state.covariance[rate, rate])
    assert rate_sources(set_up, state, after)["height|pinion"] == "sheet"


def test_two_readings_with_one_gauge_keep_its_doubt() -> None:
    set_up, state = leg(), first()
    one = [Reading("height", 0.0, 1e-9, "block")] * 50
    after = take_readings(set_up, state, REFERENCE, one).state
    left = np.sqrt(forecast(set_up, after, REFERENCE).covariance[0, 0])
    doubt, prior = 1e-5, np.sqrt(17e-10)
    assert left == pytest.approx(doubt * prior / np.hypot(doubt, prior), rel=1e-3)


def test_side_observation_has_the_moments_of_quadrature() -> None:
    state = State(("x", "y"), np.array([0.3, -0.2]), np.array([[1.0, 0.4], [0.4, 2.0]]))
    after = observe_side(state, [1.0, 0.5], 1.0, 0.3, above=False)
    mean, var = 0.3 - 0.1, 1.0 + 0.4 + 0.5

    def likely(u: float) -> float:
        return norm.pdf(u, mean, var**0.5) * norm.cdf((1.0 - u) / 0.3)

    mass = quad(likely, -12, 12, epsabs=1e-12)[0]
    first_moment = quad(lambda u: u * likely(u), -12, 12, epsabs=1e-12)[0] / mass
    second = quad(lambda u: u * u * likely(u), -12, 12, epsabs=1e-12)[0] / mass
    row = np.array([1.0, 0.5])
    assert row @ after.mean == pytest.approx(first_moment, abs=1e-9)
    assert row @ after.covariance @ row == pytest.approx(second - first_moment**2, abs=1e-9)


def test_no_play_felt_only_says_that_there_is_none() -> None:
    set_up = SetUp(
        (Response("end play", 0.0, 5e-5, floor=0.0),),
        ("seat",),
        (Sensitivity("end play", "seat", 1.0, 0.0),),
        (0.0,),
    )
    state = first_state(set_up, [2e-5], [[1e-8]])
    after = take_readings(set_up, state, [0.0], [Reading("end play", 0.0, 5e-6)]).state
    assert after.mean[0] < 0
    assert after.covariance[0, 0] < state.covariance[0, 0]
    # half of a normal centred a little above zero: its mean lies about 0.7 deviations below
    assert after.mean[0] == pytest.approx(2e-5 - 1e-4 * norm.pdf(0.2) / norm.cdf(-0.2), rel=0.01)


def test_a_side_against_everything_known_is_refused() -> None:
    with pytest.raises(RangeError, match="side"):
        observe_side(State(("x",), np.array([0.0]), np.eye(1)), [1.0], 20.0, 0.1, above=True)


def test_an_outlier_is_named_and_left_out() -> None:
    set_up, state = leg(), first()
    sound = [Reading("height", 0.01 * MM, 0.01 * MM, "block"), Reading("lash", 0.2 * MM, 0.01 * MM)]
    update = take_readings(
        set_up, state, REFERENCE, [*sound, Reading("lash", 0.55 * MM, 0.01 * MM)]
    )
    assert update.suspect == 2
    assert abs(update.surprise[2]) > 10
    without = take_readings(set_up, state, REFERENCE, sound).state
    mean = forecast(set_up, update.state, REFERENCE).mean
    np.testing.assert_allclose(mean, forecast(set_up, without, REFERENCE).mean, atol=0.004 * MM)
    assert sum(one.chance for one in update.hypotheses) == pytest.approx(1.0)


def test_a_far_reading_that_repeats_is_believed() -> None:
    set_up, state = leg(), first()
    once = take_readings(set_up, state, REFERENCE, [Reading("lash", 0.48 * MM, 0.01 * MM)])
    twice = take_readings(set_up, state, REFERENCE, [Reading("lash", 0.48 * MM, 0.01 * MM)] * 2)
    assert once.suspect == 0
    assert twice.suspect is None
    assert forecast(set_up, twice.state, REFERENCE).mean[1] > 0.4 * MM


def test_surprise_equals_leaving_the_reading_out_and_forecasting_it() -> None:
    draw = np.random.default_rng(5)
    root = draw.normal(0, 1, (3, 3))
    state = State(tuple("abc"), np.zeros(3), root @ root.T)
    rows, values, noise = draw.normal(0, 1, (4, 3)), draw.normal(0, 1, 4), np.full(4, 0.2)
    got = leave_one_out(state, rows, values, noise)
    for i in range(4):
        rest = [j for j in range(4) if j != i]
        known = condition(state, rows[rest], values[rest], noise[rest])
        spread = rows[i] @ known.covariance @ rows[i] + noise[i]
        assert got[i] == pytest.approx((values[i] - rows[i] @ known.mean) / spread**0.5)


def test_sound_readings_are_seldom_called_wrong() -> None:
    set_up, state = leg(), first()
    draw = np.random.default_rng(6)
    readings = [Reading("height", 0, 1e-5, "block"), Reading("lash", 0, 1e-5)]
    rows = reading_rows(set_up, state, REFERENCE, readings)
    spread = rows @ state.covariance @ rows.T + np.eye(2) * 1e-10
    values = draw.multivariate_normal(rows @ state.mean, spread, 2000)
    odds, _ = misread_chances(
        State(state.names, np.tile(state.mean, (2000, 1)), np.tile(state.covariance, (2000, 1, 1))),
        np.tile(rows, (2000, 1, 1)),
        values,
        np.full(2, 1e-10),
    )
    assert np.mean(odds.argmax(axis=1) > 0) < 0.02


def test_lash_below_zero_is_refused() -> None:
    with pytest.raises(RangeError, match="lash"):
        take_readings(leg(), first(), REFERENCE, [Reading("lash", -0.1 * MM, 0.01 * MM)])


def test_a_reading_whose_conditions_are_not_met_is_refused() -> None:
    reading = [Reading("lash", 0.2 * MM, 0.01 * MM)]
    with pytest.raises(InputError, match="shaft pulled"):
        take_readings(leg(), first(), REFERENCE, reading, held=[])
    assert take_readings(leg(), first(), REFERENCE, reading, held=["shaft pulled"]).suspect is None


@pytest.mark.parametrize(
    "reading", [Reading("colour", 0.0, 1e-5), Reading("height", 0.0, 1e-5, "ruler")]
)
def test_unknown_responses_and_gauges_are_named(reading: Reading) -> None:
    with pytest.raises(InputError, match=r"colour|ruler"):
        take_readings(leg(), first(), REFERENCE, [reading])


def test_measured_swing_replaces_the_assumed() -> None:
    assert swing(leg().responses[1], 3e-5, 1e-6).half_range == 3e-5
