"""The linear-Gaussian model of a set-up."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import InputError, MissingError
from casewright.reasoning.shim_model import (
    Gauge,
    Response,
    Sensitivity,
    SetUp,
    check_set_up,
    current_rates,
    first_state,
    forecast,
    refit,
    unmet_conditions,
    windows,
)

MM = 1e-3


def leg(deviation: float = 0.05) -> SetUp:
    """Pinion height and one lash, two seats, rates of one family."""
    rates = (
        Sensitivity("height", "pinion", 1.0, 0.0),
        Sensitivity("lash", "pinion", 0.4, deviation, "geometry", "angles"),
        Sensitivity("lash", "gear", -0.8, 2 * deviation, "geometry", "angles"),
    )
    responses = (
        Response("height", -0.05 * MM, 0.05 * MM),
        Response("lash", 0.1 * MM, 0.3 * MM, 0.02 * MM, 0.005 * MM, None, ("shaft pulled",)),
    )
    return SetUp(responses, ("pinion", "gear"), rates, (0.8 * MM, 0.6 * MM), (Gauge("dial", 1e-5),))


@given(
    st.lists(st.floats(-2e-4, 2e-4), min_size=2, max_size=2),
    st.lists(st.floats(-1e-4, 1e-4), min_size=2, max_size=2),
)
def test_mean_follows_offsets_and_rates(change: list[float], offset: list[float]) -> None:
    state = first_state(leg(), offset, np.eye(2) * 1e-10)
    packs = np.array(leg().reference) + change
    mean = forecast(leg(), state, packs).mean
    assert mean[0] == pytest.approx(offset[0] + change[0], abs=1e-12)
    assert mean[1] == pytest.approx(offset[1] + 0.4 * change[0] - 0.8 * change[1], abs=1e-12)


def test_rates_of_one_family_move_together() -> None:
    state = first_state(leg(), [0, 0], np.zeros((2, 2)))
    change = np.array([0.2, 0.1]) * MM
    # 0.4·0.2 − 0.8·0.1 = 0: a shared relative error leaves it at zero, with no spread at all
    spread = forecast(leg(), state, np.array(leg().reference) + change).covariance
    assert spread[1, 1] == pytest.approx(0.0, abs=1e-18)


def test_spread_equals_sampling_of_offsets_rates_and_packs() -> None:
    set_up = leg()
    cov = np.array([[4.0, 1.0], [1.0, 9.0]]) * 1e-10
    state = first_state(set_up, [0, 0], cov, {"pinion": 1e-10, "gear": 4e-10})
    packs = np.array([1.1, 0.5]) * MM
    draw = np.random.default_rng(3)
    n = 400_000
    offsets = draw.multivariate_normal([0, 0], cov, n)
    factor = draw.normal(0, 1, n)
    errors = draw.normal(0, [1e-5, 2e-5], (n, 2))
    pinion, gear = 0.4 + 0.05 * factor, -0.8 - 0.10 * factor
    move = packs - np.array(set_up.reference) + errors
    lash = offsets[:, 1] + pinion * move[:, 0] + gear * move[:, 1]
    height = offsets[:, 0] + move[:, 0]
    wanted = np.cov(np.stack([height, lash]))
    np.testing.assert_allclose(forecast(set_up, state, packs).covariance, wanted, rtol=0.02)


def test_one_state_serves_many_legs() -> None:
    set_up = leg()
    state = first_state(set_up, [0, 0], np.eye(2) * 1e-10)
    packs = np.array([[0.8, 0.6], [0.9, 0.5]]) * MM
    many = forecast(set_up, state, packs)
    for place in range(2):
        one = forecast(set_up, state, packs[place])
        np.testing.assert_allclose(many.covariance[place], one.covariance)


def test_kept_shims_keep_their_share_of_the_deviation() -> None:
    state = first_state(leg(), [0, 0], np.zeros((2, 2)), {"pinion": 9e-10})
    place = state.names.index("pack:pinion")
    changed = refit(state, "pinion", kept=6e-10, fitted=9e-10, renewed=2e-10)
    assert changed.covariance[place, place] == pytest.approx(8e-10)
    draw = np.random.default_rng(4)
    stay, out = draw.normal(0, 6e-10**0.5, 200_000), draw.normal(0, 3e-10**0.5, 200_000)
    slope = np.polyfit(stay + out, stay, 1)[0]
    told = first_state(leg(), [0, 0], np.zeros((2, 2)), {"pinion": 9e-10})
    told.mean[place] = 1e-5
    after = refit(told, "pinion", 6e-10, 9e-10)
    assert after.mean[place] == pytest.approx(slope * 1e-5, rel=0.02)


def test_windows_narrow_by_the_run_out() -> None:
    low, high, extra = windows(leg())
    assert low[1] == pytest.approx(0.12 * MM)
    assert high[1] == pytest.approx(0.28 * MM)
    assert extra[1] == pytest.approx((0.005 * MM) ** 2)


def test_swing_doubt_as_variance_equals_sampling_both_extremes() -> None:
    from casewright.reasoning.shim_rectangle import marginal_chance

    low, high, extra = windows(leg())
    draw = np.random.default_rng(8)
    mean = draw.normal(0.25 * MM, 0.02 * MM, 500_000)
    swing = draw.normal(0.02 * MM, 0.005 * MM, 500_000)
    sampled = np.mean((mean - swing >= 0.1 * MM) & (mean + swing <= 0.3 * MM))
    told = marginal_chance(0.25 * MM, (0.02 * MM) ** 2 + extra[1], low[1], high[1])
    assert told == pytest.approx(sampled, abs=0.003)


def test_a_response_counts_only_once_its_conditions_hold() -> None:
    assert unmet_conditions(leg().responses[1], []) == ("shaft pulled",)
    assert unmet_conditions(leg().responses[1], ["shaft pulled"]) == ()


def test_an_adjuster_that_moves_nothing_is_refused() -> None:
    set_up = SetUp(leg().responses, ("pinion", "idle"), leg().sensitivities[:1], (0.0, 0.0))
    with pytest.raises(MissingError, match="idle"):
        check_set_up(set_up)


def test_a_rate_that_points_nowhere_is_refused() -> None:
    rates = (*leg().sensitivities, Sensitivity("noise", "gear", 1.0, 0.0))
    with pytest.raises(InputError, match="noise"):
        check_set_up(SetUp(leg().responses, ("pinion", "gear"), rates, (0.0, 0.0)))


def test_a_window_with_low_above_high_is_refused() -> None:
    with pytest.raises(InputError, match="window of lash"):
        check_set_up(
            SetUp(
                (Response("height"), Response("lash", 2.0, 1.0)),
                ("pinion", "gear"),
                leg().sensitivities,
                (0.0, 0.0),
            )
        )


def test_current_rates_stand_in_response_and_adjuster_order() -> None:
    rates = current_rates(leg(), first_state(leg(), [0, 0], np.eye(2)))
    np.testing.assert_allclose(rates, [[1.0, 0.0], [0.4, -0.8]])
