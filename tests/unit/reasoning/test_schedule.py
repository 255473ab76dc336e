"""Critical paths equal networkx's longest path; three-point estimates and their bias."""

from __future__ import annotations

import math

import networkx as nx
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import FormErrors
from casewright.reasoning.schedule import (
    ThreePoint,
    chance_by,
    critical_path,
    finish_times,
    pert,
    simulate,
    working_order,
)


@st.composite
def networks(draw: st.DrawFn) -> tuple[dict[str, float], dict[str, list[str]]]:
    """Up to eight activities, each after some of the earlier ones."""
    size = draw(st.integers(1, 8))
    names = [f"a{i}" for i in range(size)]
    after = {
        name: draw(st.lists(st.sampled_from(names[:i]), unique=True)) if i else []
        for i, name in enumerate(names)
    }
    return {name: float(draw(st.integers(0, 20))) for name in names}, after


@given(networks())
def test_duration_is_the_longest_path_of_networkx(case: tuple[dict[str, float], dict]) -> None:
    durations, after = case
    graph = nx.DiGraph()
    for name, befores in after.items():
        graph.add_edge("start", name, weight=durations[name])
        for before in befores:
            graph.add_edge(before, name, weight=durations[name])
    times = critical_path(durations, after)
    assert times.duration == nx.dag_longest_path_length(graph)
    assert sum(durations[name] for name in times.critical) >= times.duration


@given(networks())
def test_slack_is_what_an_activity_may_grow_without_delay(case: tuple[dict, dict]) -> None:
    durations, after = case
    times = critical_path(durations, after)
    for name in durations:
        longer = critical_path(durations | {name: durations[name] + times.slack[name]}, after)
        assert longer.duration == times.duration
        worse = critical_path(durations | {name: durations[name] + times.slack[name] + 1}, after)
        assert worse.duration == times.duration + 1


def test_arrays_of_draws_pass_through_like_single_networks() -> None:
    rng = np.random.default_rng(3)
    after = {"a": [], "b": ["a"], "c": ["a"], "d": ["b", "c"]}
    draws = {name: rng.random(50) for name in after}
    together = finish_times(draws, after)["d"]
    for index in range(50):
        one = critical_path({name: float(values[index]) for name, values in draws.items()}, after)
        assert together[index] == pytest.approx(one.duration)


def test_parallel_equal_paths_are_later_than_pert_says() -> None:
    """Two paths of equal length: the greater of two is later than either (merge bias)."""
    network = [ThreePoint(name, 2, 5, 8) for name in "ab"]
    estimate = pert(network)
    assert chance_by(estimate, 5) == 0.5
    assert simulate(network, 1, 50_000).chance_by(5) == pytest.approx(0.25, abs=0.01)


def test_beta_draws_have_the_three_point_mean_and_the_beta_variance() -> None:
    drawn = simulate([ThreePoint("a", 1, 2, 9)], 4, 200_000).finish
    assert drawn.mean() == pytest.approx(18 / 6, abs=0.02)
    alpha, beta = 1 + 4 / 8, 1 + 28 / 8
    variance = 64 * alpha * beta / ((alpha + beta) ** 2 * (alpha + beta + 1))
    assert drawn.var() == pytest.approx(variance, rel=0.02)
    assert drawn.min() >= 1
    assert drawn.max() <= 9


def test_the_same_seed_gives_the_same_draws_whatever_else_is_planned() -> None:
    one = simulate([ThreePoint("a", 1, 2, 9)], 4, 100).finish
    two = simulate([ThreePoint("b", 0, 0, 0), ThreePoint("a", 1, 2, 9)], 4, 100).finish
    assert np.array_equal(one, two)


def test_a_certain_network_has_a_certain_date() -> None:
    estimate = pert([ThreePoint("a", 3, 3, 3)])
    assert chance_by(estimate, 3) == 1
    assert chance_by(estimate, math.nextafter(3, 0)) == 0


def test_circles_unknown_names_and_bad_points_are_told_together() -> None:
    with pytest.raises(FormErrors, match="a, b"):
        working_order({"a": ["b"], "b": ["a"], "c": []})
    with pytest.raises(FormErrors) as unknown:
        working_order({"a": ["x"], "b": ["y"]})
    assert len(unknown.value.mistakes) == 2
    bad = [ThreePoint("a", 3, 2, 1), ThreePoint("b", -1, 0, 1), ThreePoint("b", 0, 0, 1)]
    with pytest.raises(FormErrors) as points:
        pert(bad)
    assert len(points.value.mistakes) == 4
    with pytest.raises(FormErrors, match="duration of a"):
        critical_path({"a": math.nan}, {"a": []})
