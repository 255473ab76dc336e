"""Leaving findings out all at once against leaving them out one by one."""

from __future__ import annotations

import tomllib
from importlib import resources

import numpy as np
import pytest

from casewright.reasoning.cause_leave_out import leave_each_out, surprises
from casewright.reasoning.cause_model import CauseModel, infer
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
    found = leave_each_out(model, answers)
    kept = found.answers
    whole = infer(model, kept)
    assert found.whole_chance == pytest.approx(float(whole.chance[0]), rel=1e-9)
    assert np.allclose(found.whole, whole.now, atol=1e-12)
    for key in kept:
        rest = infer(model, {other: kept[other] for other in kept if other != key})
        assert np.allclose(found.without[key], rest.now, atol=1e-12)
        assert found.without_chance[key] == pytest.approx(float(rest.chance[0]), rel=1e-9)
    for one in surprises(model, found, 0.5):
        alone = infer(model, {one.finding: one.present})
        assert one.chance_before == pytest.approx(float(alone.chance[0]))
        given_rest = float(whole.chance[0]) / found.without_chance[one.finding]
        assert one.chance_given_rest == pytest.approx(given_rest)
        assert one.chance_given_rest < min(one.chance_before, 0.5)


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
    found = leave_each_out(model_of(family, "any"), {"either": False, "like-a": True})
    # By hand: P(like-a | a) = 1 - 0.9*0.2 = 0.82, without a 0.1.
    assert found.without["either"][0] == pytest.approx(0.3 * 0.82 / (0.3 * 0.82 + 0.7 * 0.1))
    both, none = 0.3 * 0.2, 0.7 * 0.8
    assert found.without["like-a"][0] == pytest.approx(both / (both + none))
    assert found.whole[0] == pytest.approx(both * 0.82 / (both * 0.82 + none * 0.1))
