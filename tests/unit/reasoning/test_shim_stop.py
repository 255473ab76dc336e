"""When to stop."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import RangeError
from casewright.reasoning.shim_model import Response, Sensitivity, SetUp, first_state
from casewright.reasoning.shim_stop import Prices, chance_in_window, sceptic, stop_advice
from casewright.reasoning.shim_update import Reading, take_readings

MM = 1e-3
LEG = SetUp(
    (Response("height", -0.05 * MM, 0.05 * MM),),
    ("pinion",),
    (Sensitivity("height", "pinion", 1.0, 0.0),),
    (0.5 * MM,),
)


def test_in_window_says_stop() -> None:
    advice = stop_advice(0.97, 0.98, Prices())
    assert advice.word == "stop"
    assert advice.chance == 0.97
    assert advice.worth == pytest.approx(0.01 * 20 - 1)


def test_readings_are_repeated_before_a_leg_is_taken_apart() -> None:
    words = [stop_advice(0.7, 0.97, Prices(), readings=n).word for n in (1, 2, 3)]
    assert words == ["read again", "read again", "change packs"]
    assert stop_advice(0.1, 0.97, Prices(), readings=1).word == "change packs"


def test_where_packs_cannot_help_the_gauge_must() -> None:
    advice = stop_advice(0.80, 0.82, Prices(), readings=3)
    assert advice.word == "read again"
    assert "better reading" in advice.reasons[0]


def test_a_reading_that_does_not_fit_bars_stop() -> None:
    assert stop_advice(0.99, 0.99, Prices(), suspect="ahead lash").word == "read again"


def test_the_pattern_can_veto_stop() -> None:
    advice = stop_advice(0.99, 0.99, Prices(), vetoes=["the seen pattern"])
    assert advice.word == "read again"
    assert advice.reasons == ("the seen pattern disagrees",)


@given(st.floats(0, 1), st.floats(0, 1), st.integers(1, 5))
def test_stop_is_never_said_under_the_asked_chance(now: float, after: float, readings: int) -> None:
    advice = stop_advice(now, after, Prices(), readings)
    assert advice.word != "stop" or now >= Prices().ask
    assert advice.helps >= 0


def test_a_chance_outside_its_range_is_refused() -> None:
    with pytest.raises(RangeError, match="chance"):
        stop_advice(1.2, 0.5, Prices())


def test_one_lucky_misreading_does_not_make_the_chance() -> None:
    """First guess far out, one reading in the middle: the hypothesis of a misreading counts."""
    state = first_state(LEG, [0.12 * MM], [[(0.02 * MM) ** 2]])
    update = take_readings(LEG, state, [0.5 * MM], [Reading("height", 0.0, 0.01 * MM)])
    told = chance_in_window(LEG, update, [0.5 * MM])
    sound = update.hypotheses[0]
    assert told < 0.6
    assert sound.chance < 0.5
    assert sum(one.chance for one in update.hypotheses) == pytest.approx(1.0)


def test_chance_equals_sampling_the_mixture() -> None:
    state = first_state(LEG, [0.03 * MM], [[(0.04 * MM) ** 2]])
    update = take_readings(LEG, state, [0.5 * MM], [Reading("height", 0.04 * MM, 0.01 * MM)])
    draw = np.random.default_rng(1)
    sampled = sum(
        one.chance
        * np.mean(
            np.abs(draw.normal(one.state.mean[0], one.state.covariance[0, 0] ** 0.5, 400_000))
            <= 0.05 * MM
        )
        for one in update.hypotheses
    )
    assert chance_in_window(LEG, update, [0.5 * MM]) == pytest.approx(sampled, abs=0.003)


def test_the_sceptic_only_widens_the_first_guess() -> None:
    state = first_state(LEG, [0.0], [[1e-10]], {"pinion": 1e-11})
    wide = sceptic(state)
    assert wide.covariance[0, 0] == pytest.approx(4e-10)
    assert wide.covariance[-1, -1] == state.covariance[-1, -1]
    with pytest.raises(RangeError, match="factor"):
        sceptic(state, 0.5)
