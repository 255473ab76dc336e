"""When no pack reaches the window."""

from __future__ import annotations

import numpy as np
import pytest

from casewright.errors import InputError, MissingError
from casewright.reasoning.shim_choice import choose
from casewright.reasoning.shim_diagnosis import (
    Explanation,
    missed_windows,
    rank_explanations,
    usual_explanations,
)
from casewright.reasoning.shim_model import Gauge, Response, Sensitivity, SetUp, first_state
from casewright.reasoning.shim_stock import PackRules, ShelfShim
from casewright.reasoning.shim_update import Reading

MM = 1e-3
RATES = (
    Sensitivity("height", "pinion", 1.0, 0.0),
    Sensitivity("ahead lash", "pinion", 0.4, 0.02),
    Sensitivity("ahead lash", "ahead", -0.8, 0.02),
)
LEG = SetUp(
    (Response("height", -0.05 * MM, 0.05 * MM), Response("ahead lash", 0.1 * MM, 0.3 * MM)),
    ("pinion", "ahead"),
    RATES,
    (0.5 * MM, 0.5 * MM),
    (Gauge("block", 0.005 * MM), Gauge("dial", 0.005 * MM)),
)
STATE = first_state(LEG, [0.0, 0.2 * MM], np.diag([(0.02 * MM) ** 2, (0.02 * MM) ** 2]))
USUAL = usual_explanations(RATES, {"block": ["height"], "dial": ["ahead lash"]})


def read(height: float, lash: float) -> list[Reading]:
    return [
        Reading("height", height * MM, 0.01 * MM, "block"),
        Reading("ahead lash", lash * MM, 0.01 * MM, "dial"),
    ]


def rank(height: float, lash: float) -> list[str]:
    ranked = rank_explanations(LEG, STATE, [0.5 * MM] * 2, read(height, lash), USUAL)
    assert sum(one.chance for one in ranked) == pytest.approx(1.0)
    return [one.name for one in ranked]


def test_readings_as_forecast_need_no_explanation() -> None:
    assert rank(0.0, 0.2)[0] == "the spread that was assumed"


def test_dirt_under_the_pinion_cup_moves_height_and_lash_together() -> None:
    assert "pinion" in rank(0.15, 0.26)[0]


def test_a_cup_far_out_is_not_dirt() -> None:
    ranked = rank_explanations(LEG, STATE, [0.5 * MM] * 2, read(0.45, 0.38), USUAL)
    assert ranked[0].name == "pinion cup not seated"
    assert ranked[0].size == pytest.approx(1.1, abs=0.1)


def test_height_off_alone_speaks_for_its_gauge() -> None:
    assert rank(0.18, 0.2)[0] == "block off"


def test_tight_lash_alone_speaks_for_its_own_seat() -> None:
    """Dirt at the ahead seat only closes the lash; it cannot open it."""
    names = rank(0.0, 0.10)
    assert names.index("dirt under the ahead cup") < names.index("dirt under the pinion cup")
    opened = rank(0.0, 0.32)
    assert opened.index("dirt under the ahead cup") > opened.index("dial off")


def test_ranks_equal_bayes_by_sampling() -> None:
    two = [
        Explanation("none", 0.5, {}, 0.0),
        Explanation("dirt", 0.5, {"height": 1e-4, "ahead lash": 4e-5}, 0.5),
    ]
    ranked = rank_explanations(LEG, STATE, [0.5 * MM] * 2, read(0.07, 0.22), two)
    draw = np.random.default_rng(2)
    n = 400_000
    size = draw.normal(1.0, 0.5, n)
    noise = (0.02**2 + 0.01**2 + 0.005**2) ** 0.5 * MM

    def density(shift: np.ndarray) -> float:
        misses = np.array([0.07, 0.02]) * MM - shift
        return float(np.exp(-0.5 * ((misses / noise) ** 2).sum(axis=-1)).mean())

    none, dirt = density(np.zeros((1, 2))), density(size[:, None] * np.array([1e-4, 4e-5]))
    chance = {one.name: one.chance for one in ranked}
    assert chance["dirt"] == pytest.approx(dirt / (none + dirt), abs=0.01)


def test_the_window_that_is_missed_is_named_with_its_distance() -> None:
    shelf = [ShelfShim("0.50", 0.5 * MM, 2)]
    state = first_state(LEG, [0.2 * MM, 0.2 * MM], np.eye(2) * (0.01 * MM) ** 2)
    advice = choose(LEG, state, shelf, [PackRules(fewest=1, most=1)] * 2)
    gaps = missed_windows(LEG, advice)
    assert [gap.response for gap in gaps] == ["height"]
    assert gaps[0].side == "above"
    assert gaps[0].beyond == pytest.approx(0.15 * MM)


def test_nothing_to_weigh_is_refused() -> None:
    with pytest.raises(InputError, match="weigh"):
        rank_explanations(LEG, STATE, [0.5 * MM] * 2, [], USUAL)
    with pytest.raises(MissingError, match="sensitivities"):
        usual_explanations([], {})


def test_a_torque_wrench_is_off_by_newton_metres_not_by_millimetres() -> None:
    """A tenth of a millimetre as torque is nothing: a wrench 0.5 N·m off would never be blamed."""
    rates = (Sensitivity("torque", "cover", -9000.0, 4000.0),)
    wrench = {"wrench": ["torque"]}
    plain = usual_explanations(rates, wrench, {"torque": 0.5})
    found = next(one for one in plain if one.name == "wrench off")
    assert found.shifts == {"torque": 0.5}
    assert next(one for one in USUAL if one.name == "dial off").shifts == {"ahead lash": 0.1 * MM}
