"""Chance of a box under a normal vector, against a general library and closed forms."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import multivariate_normal, norm

from casewright.reasoning.shim_rectangle import marginal_chance, rectangle_chance


def random_box(draw: np.random.Generator, n: int) -> tuple[np.ndarray, ...]:
    """A random covariance with correlations of about 0.5 and a box around the mean."""
    root = draw.uniform(-1, 1, (n, n)) + 2.0 * np.eye(n)
    cov = root @ root.T
    sd = np.sqrt(np.diag(cov))
    mean = draw.normal(0, 0.7, n) * sd
    return mean, cov, -draw.uniform(0.5, 3, n) * sd, draw.uniform(0.5, 3, n) * sd


@pytest.mark.parametrize("n", [1, 2, 3, 4, 5, 6])
def test_equals_scipy(n: int) -> None:
    draw = np.random.default_rng(n)
    for _ in range(12 if n <= 3 else 3):
        mean, cov, low, high = random_box(draw, n)
        wanted = multivariate_normal(mean, cov, abseps=1e-6, maxpts=100_000 * n).cdf(
            high, lower_limit=low, rng=1
        )
        tolerance = 1e-4 if n <= 3 else 1e-3
        assert rectangle_chance(mean, cov, low, high) == pytest.approx(wanted, abs=tolerance)
        coarse = rectangle_chance(mean, cov, low, high, coarse=True)
        assert coarse == pytest.approx(wanted, abs=4e-3 if n <= 3 else 2e-2)


def test_orthant_with_correlation_has_its_closed_form() -> None:
    for rho in (-0.6, 0.0, 0.3, 0.8):
        wanted = 0.25 + np.arcsin(rho) / (2 * np.pi)
        got = rectangle_chance([0, 0], [[1, rho], [rho, 1]], [0, 0], [np.inf, np.inf])
        assert got == pytest.approx(wanted, abs=2e-5)


def test_independent_windows_multiply() -> None:
    cov = np.diag([1.0, 4.0, 9.0])
    got = rectangle_chance([0, 0, 0], cov, [-1, -2, -3], [1, 2, 3])
    assert got == pytest.approx((norm.cdf(1) - norm.cdf(-1)) ** 3, abs=1e-5)


@settings(max_examples=60)
@given(st.integers(0, 10_000))
def test_never_more_than_any_window_alone(seed: int) -> None:
    mean, cov, low, high = random_box(np.random.default_rng(seed), 3)
    alone = marginal_chance(mean, np.diag(cov), low, high).min()
    assert rectangle_chance(mean, cov, low, high) <= alone + 1e-5


def test_a_response_without_a_window_does_not_count() -> None:
    got = rectangle_chance([0, 5], [[1, 0.5], [0.5, 1]], [-1, -np.inf], [1, np.inf])
    assert got == pytest.approx(0.6826895, abs=1e-5)


def test_many_boxes_at_once_equal_one_by_one() -> None:
    draw = np.random.default_rng(0)
    boxes = [random_box(draw, 3) for _ in range(5)]
    many = rectangle_chance(*(np.stack(part) for part in zip(*boxes, strict=True)))
    np.testing.assert_allclose(many, [rectangle_chance(*box) for box in boxes], atol=1e-12)


def test_lengths_in_metres_beside_torques_are_no_trouble() -> None:
    cov = np.diag([1e-10, 4.0])
    got = rectangle_chance([0, 0], cov, [-1e-5, -2], [1e-5, 2])
    assert got == pytest.approx(0.6826895**2, abs=1e-5)
