"""Leaving findings out all at once against leaving them out one by one."""

from __future__ import annotations

import tomllib
from importlib import resources

import numpy as np
import pytest

from casewright.reasoning.cause_evidence import leave_each_out, surprises
from casewright.reasoning.cause_leave_out import leave_each_out_at_once, surprises_at_once
from casewright.reasoning.cause_model import CauseModel
from casewright.reasoning.cause_query import model_of

TEXT = (
    resources.files("casewright.tables.data").joinpath("causes-drive-leg.toml").read_text("utf-8")
)
FAMILY = tomllib.loads(TEXT)


@pytest.fixture(scope="module")
def model() -> CauseModel:
    return model_of(FAMILY, "oyster boat")


@pytest.mark.parametrize("seed", range(6))
def test_it_says_what_leaving_out_one_by_one_says(model: CauseModel, seed: int) -> None:
    draw = np.random.default_rng(seed)
    keys = draw.choice(list(model.findings), size=int(draw.integers(1, 9)), replace=False)
    answers = {str(key): bool(draw.random() < 0.35) for key in keys}
    slow, quick = leave_each_out(model, answers), leave_each_out_at_once(model, answers)
    assert quick.answers == slow.answers
    assert quick.whole_chance == pytest.approx(slow.whole_chance, rel=1e-9)
    assert np.allclose(quick.whole, slow.whole, atol=1e-12)
    for key in slow.without:
        assert np.allclose(quick.without[key], slow.without[key], atol=1e-12)
        assert quick.without_chance[key] == pytest.approx(slow.without_chance[key], rel=1e-9)
    named, found = surprises(model, slow, 0.5), surprises_at_once(model, quick, 0.5)
    assert [one.finding for one in found] == [one.finding for one in named]
    assert [one.chance_before for one in found] == pytest.approx(
        [one.chance_before for one in named]
    )


def test_a_child_with_a_whole_table_is_left_out_too() -> None:
    family = {
        "title": "two dice",
        "duties": ["any"],
        "cause": {
            "a": {"label": "a", "prior": {"any": 0.3}, "remedy": "r"},
            "b": {"label": "b", "prior": {"any": 0.2}, "remedy": "r"},
        },
        "finding": {
            "either": {
                "label": "exactly one", "minutes": 1, "table": [0.0, 1.0, 1.0, 0.0],
                "links": {"a": [1.0, "x"], "b": [1.0, "x"]},
            },
            "like-a": {"label": "a's", "minutes": 1, "leak": 0.1, "links": {"a": [0.8, "x"]}},
        },
    }  # fmt: skip
    found = leave_each_out_at_once(model_of(family, "any"), {"either": False, "like-a": True})
    # By hand: P(like-a | a) = 1 - 0.9*0.2 = 0.82, without a 0.1.
    assert found.without["either"][0] == pytest.approx(0.3 * 0.82 / (0.3 * 0.82 + 0.7 * 0.1))
    both, none = 0.3 * 0.2, 0.7 * 0.8
    assert found.without["like-a"][0] == pytest.approx(both / (both + none))
    assert found.whole[0] == pytest.approx(both * 0.82 / (both * 0.82 + none * 0.1))
