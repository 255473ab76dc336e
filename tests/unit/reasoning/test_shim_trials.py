"""From first guess through trials to advice."""

from __future__ import annotations

import numpy as np
import pytest

from casewright.errors import InputError
from casewright.reasoning.shim_model import (
    Gauge,
    Response,
    Sensitivity,
    SetUp,
    first_state,
    forecast,
)
from casewright.reasoning.shim_stock import PackRules, ShelfShim
from casewright.reasoning.shim_trials import Trial, advise, replay, thickness_of
from casewright.reasoning.shim_update import Reading

MM = 1e-3
LEG = SetUp(
    (Response("height", -0.05 * MM, 0.05 * MM), Response("lash", 0.1 * MM, 0.3 * MM, floor=0.0)),
    ("pinion", "gear"),
    (
        Sensitivity("height", "pinion", 1.0, 0.0),
        Sensitivity("lash", "pinion", 0.4, 0.05, "geometry", "angles"),
        Sensitivity("lash", "gear", -0.8, 0.10, "geometry", "angles"),
    ),
    (0.8 * MM, 0.6 * MM),
    (Gauge("block", 0.005 * MM),),
)
SHELF = [ShelfShim(f"{s:.2f}", s * MM, 6) for s in (0.05, 0.10, 0.13, 0.20, 0.30, 0.50)]
FIRST = first_state(LEG, [0.0, 0.2 * MM], np.diag([(0.05 * MM) ** 2, (0.04 * MM) ** 2]))
PACKS = ({"0.50": 1, "0.30": 1}, {"0.50": 1, "0.10": 1})


def trial(height: float, lash: float, times: int = 1, packs: tuple = PACKS) -> Trial:
    one = (
        Reading("height", height * MM, 0.01 * MM, "block"),
        Reading("lash", lash * MM, 0.01 * MM),
    )
    return Trial(packs, one * times)


def test_before_the_first_trial_there_are_packs_and_no_stop() -> None:
    advice = advise(LEG, FIRST, SHELF, [PackRules()] * 2, [])
    assert advice.stop is None
    assert advice.packs.best.thickness == pytest.approx((0.8 * MM, 0.6 * MM))


def test_in_the_middle_it_says_stop() -> None:
    advice = advise(LEG, FIRST, SHELF, [PackRules()] * 2, [trial(0.0, 0.2)])
    assert advice.stop is not None
    assert advice.stop.word == "stop"
    assert advice.stop.chance > 0.97


def test_far_out_it_changes_the_right_seat_in_the_right_direction() -> None:
    advice = advise(LEG, FIRST, SHELF, [PackRules()] * 2, [trial(0.11, 0.24, 3)])
    assert advice.stop is not None
    assert advice.stop.word == "change packs"
    pinion = advice.packs.best.thickness[0]
    assert pinion == pytest.approx(0.69 * MM, abs=0.015 * MM)


def test_a_misread_lash_is_asked_for_again_by_name() -> None:
    advice = advise(LEG, FIRST, SHELF, [PackRules()] * 2, [trial(0.0, 0.9)])
    assert advice.stop is not None
    assert (advice.stop.word, advice.stop.suspect) == ("read again", "lash")


def test_two_trials_teach_the_rates_and_reach_the_window() -> None:
    second = ({"0.50": 1, "0.20": 1}, {"0.50": 1, "0.20": 1})
    trials = [trial(0.10, 0.30, 2), trial(0.0, 0.16, 2, second)]
    state, updates = replay(LEG, FIRST, SHELF, trials)
    mean = forecast(LEG, state, [0.7 * MM, 0.7 * MM]).mean
    assert len(updates) == 2
    assert mean == pytest.approx([0.0, 0.16 * MM], abs=0.008 * MM)


def test_packs_are_as_thick_as_they_measure() -> None:
    shelf = [ShelfShim("a", 0.5 * MM, 2, measured=0.51 * MM)]
    assert thickness_of(shelf, {"a": 2}) == pytest.approx(1.02 * MM)
    with pytest.raises(InputError, match="b"):
        thickness_of(shelf, {"b": 1})


def test_a_trial_needs_a_pack_for_each_adjuster() -> None:
    with pytest.raises(InputError, match="one for each adjuster"):
        replay(LEG, FIRST, SHELF, [Trial(PACKS[:1], ())])
