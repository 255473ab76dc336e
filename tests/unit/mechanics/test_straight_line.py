"""The weighted straight line, against numpy, scipy and its own limits."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casewright.errors import RangeError
from casewright.mechanics.straight_line import straight_line


@settings(deadline=None)
@given(st.integers(3, 40), st.integers(0, 10_000))
def test_it_agrees_with_numpys_weighted_fit(count, seed):
    rng = np.random.default_rng(seed)
    x, y, w = rng.normal(size=count), rng.normal(size=count), rng.uniform(0.1, 3, count)
    slope, intercept = np.polyfit(x, y, 1, w=np.sqrt(w))
    line = straight_line(x, y, w)
    assert (line.slope, line.intercept) == pytest.approx((slope, intercept), rel=1e-7, abs=1e-9)


def test_its_half_width_is_students_from_the_table():
    # Two-sided 95 % quantile of Student's t with 10 degrees of freedom: 2.228 (any table).
    x, y = np.arange(12.0), np.array([0, 1.2, 1.9, 3.3, 3.8, 5.1, 6.2, 6.8, 8.4, 9.0, 9.7, 11.4])
    line = straight_line(x, y)
    assert line.slope_half_width == pytest.approx(2.228 * line.slope_deviation, rel=3e-4)
    _, covariance = np.polyfit(x, y, 1, cov=True)
    assert line.slope_deviation == pytest.approx(np.sqrt(covariance[0, 0]))
    assert line.intercept_deviation == pytest.approx(np.sqrt(covariance[1, 1]))


def test_the_scale_of_the_weights_does_not_matter():
    x, y, w = [0, 1, 2, 4], [0, 1, 3, 4], np.array([1, 2, 1, 2.0])
    assert straight_line(x, y, w).slope_deviation == pytest.approx(
        straight_line(x, y, 10 * w).slope_deviation
    )


@pytest.mark.parametrize(
    ("x", "y", "weights"),
    [([0, 1], [0, 1], None), ([2, 2, 2], [0, 1, 2], None), ([0, 1, 2], [0, 1, 2], [1, 0, 1])],
)
def test_what_makes_no_line_is_refused(x, y, weights):
    with pytest.raises(RangeError):
        straight_line(x, y, weights)
