"""Spacers, crush sleeves, nuts and threads."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import InputError, MissingError, RangeError
from casewright.reasoning.shim_adjusters import (
    TorqueRate,
    TorqueTrial,
    crush_further,
    learn_torque_rate,
    selective_spacers,
    setting_for_torque,
    turns_for_move,
)
from casewright.reasoning.shim_stock import all_packs

MM = 1e-3


def test_rate_equals_a_weighted_line_of_numpy() -> None:
    draw = np.random.default_rng(1)
    x = np.array([0.0, 0.02, 0.05, 0.09]) * MM
    y = 0.6 + 2e4 * x + draw.normal(0, 0.03, 4)
    sd = np.array([0.05, 0.1, 0.05, 0.02])
    trials = [TorqueTrial(*row) for row in zip(x, y, sd, strict=True)]
    got = learn_torque_rate(trials, drag=0.2)
    (slope, cut), cov = np.polyfit(x, y, 1, w=1 / sd, cov="unscaled")
    assert got.rate == pytest.approx(slope)
    assert got.deviation == pytest.approx(cov[0, 0] ** 0.5)
    assert got.torque == pytest.approx(cut + slope * x[-1])
    row = np.array([x[-1], 1.0])
    assert got.torque_deviation == pytest.approx((row @ cov @ row) ** 0.5)


@pytest.mark.parametrize(
    "trials",
    [
        [TorqueTrial(0.0, 0.8, 0.05)],
        [TorqueTrial(0.0, 0.8, 0.05), TorqueTrial(0.0, 0.9, 0.05)],
        [TorqueTrial(0.0, 0.30, 0.05), TorqueTrial(5e-5, 0.9, 0.05)],  # the first is only drag
    ],
)
def test_the_rate_is_never_told_from_one_trial(trials: list[TorqueTrial]) -> None:
    with pytest.raises(MissingError, match="two trials"):
        learn_torque_rate(trials, drag=0.3)


def test_torque_that_falls_while_tightening_is_questioned() -> None:
    with pytest.raises(RangeError, match="sense"):
        learn_torque_rate([TorqueTrial(0.0, 2.0, 0.05), TorqueTrial(5e-5, 1.0, 0.05)], 0.3)


@given(st.floats(0.3, 3.0), st.floats(1e3, 1e5))
def test_the_setting_lands_in_the_middle(torque: float, slope: float) -> None:
    step = setting_for_torque(TorqueRate(slope, 0.0, 0.0, torque, 0.0, 2), 4.0, 5.0)
    assert torque + slope * step.move == pytest.approx(4.5)
    assert step.least < step.move < step.most


def test_in_window_the_nut_is_left_alone() -> None:
    assert setting_for_torque(TorqueRate(2e4, 1e3, 0.0, 1.2, 0.05, 2), 1.0, 1.5).word == "stop"
    with pytest.raises(InputError, match="window"):
        setting_for_torque(TorqueRate(2e4, 1e3, 0.0, 1.2, 0.05, 2), 1.5, 1.0)


@given(st.floats(0.1, 0.9), st.floats(1e3, 2e4))
def test_a_crush_sleeve_never_goes_back_and_stops_short_when_unsure(
    torque: float, doubt: float
) -> None:
    rate = TorqueRate(2e4, doubt, 0.0, torque, 0.02, 2)
    step = crush_further(rate, 1.0, 1.5)
    assert 0 <= step.move <= setting_for_torque(rate, 1.0, 1.5).move
    draw = np.random.default_rng(0)
    torques = draw.normal(torque, 0.02, 20_000) + step.move * draw.normal(2e4, doubt, 20_000)
    assert np.mean(torques > 1.5) < 0.032


def test_a_sleeve_crushed_too_far_is_replaced() -> None:
    step = crush_further(TorqueRate(2e4, 1e3, 0.0, 1.8, 0.02, 2), 1.0, 1.5)
    assert (step.word, step.move) == ("new sleeve", 0.0)


def test_exactly_one_spacer_is_fitted() -> None:
    shelf, rules = selective_spacers([("A", 2.0 * MM, 1), ("B", 2.1 * MM, 3)], 2e-6)
    assert sorted(all_packs(shelf, rules).tolist()) == [[0, 1], [1, 0]]
    with pytest.raises(MissingError, match="spacers"):
        selective_spacers([], 1e-6)
    with pytest.raises(RangeError, match="spacer A"):
        selective_spacers([("A", 0.0, 1)], 1e-6)


@given(st.floats(-2e-3, 2e-3), st.integers(1, 48))
def test_notches_miss_by_half_a_notch_at_most(move: float, notches: int) -> None:
    turns, steps, missed = turns_for_move(move, 1.5 * MM, notches)
    assert abs(missed) <= 1.5 * MM / notches / 2 + 1e-12
    assert steps / notches * 1.5 * MM + missed == pytest.approx(turns * 1.5 * MM, abs=1e-12)


def test_a_thread_without_pitch_is_refused() -> None:
    with pytest.raises(RangeError, match="pitch"):
        turns_for_move(1e-3, 0.0)
    assert turns_for_move(1.5e-3, 1.5e-3) == (1.0, 0, 0.0)
