"""Conformance probability, guard bands and global risks."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from casewright.errors import MissingError, RangeError
from casewright.reasoning.conformity import (
    Outcome,
    Size,
    chances,
    conformance,
    global_risks,
    guard_band,
    with_prior,
    zones,
)


@given(st.floats(-3, 5), st.floats(0.05, 2), st.floats(-1, 1), st.floats(0.2, 3))
def test_inside_below_and_above_add_to_one(y: float, u: float, low: float, width: float) -> None:
    found = conformance(y, u, low, low + width)
    assert found.inside + found.outside == pytest.approx(1, abs=1e-12)
    assert 0 <= found.inside <= 1


@given(st.floats(0.01, 2), st.floats(0.3, 3), st.floats(-0.5, 1.5))
def test_zones_and_probability_say_the_same(u: float, width: float, place: float) -> None:
    reading = place * width
    zone, found = zones(u, 0.0, width), conformance(reading, u, 0.0, width)
    edges = (zone.accept_low, zone.accept_high, zone.reject_below, zone.reject_above)
    assume(all(edge is None or abs(edge - reading) > 1e-6 for edge in edges))
    accepted = zone.accept_low is not None and zone.accept_low <= reading <= zone.accept_high
    rejected = reading < zone.reject_below or reading > zone.reject_above
    assert accepted == (found.outcome is Outcome.CONFORMING)
    assert rejected == (found.outcome is Outcome.NON_CONFORMING)


def test_a_tolerance_narrow_against_the_uncertainty_can_never_be_proven() -> None:
    zone = zones(0.01, 25.0, 25.021)
    assert zone.accept_low is None
    assert zone.accept_high is None
    assert conformance(25.0105, 0.01, 25.0, 25.021).outcome is Outcome.NOT_PROVEN


def test_one_sided_guard_band_is_1_645_u() -> None:
    """ISO 14253-1: factor 1.65 (rounded) for one limit at 95 %."""
    assert guard_band(1.0) == pytest.approx(1.65, abs=0.006)
    zone = zones(0.002, None, 25.021)
    assert zone.accept_low is None
    assert zone.accept_high == pytest.approx(25.021 - 1.6449 * 0.002, abs=1e-6)
    assert zone.reject_above == pytest.approx(25.021 + 1.6449 * 0.002, abs=1e-6)
    assert zone.reject_below == -math.inf


def test_both_tails_count_where_limits_are_close() -> None:
    alone = conformance(0.5, 0.3, 0.0, None).inside
    assert conformance(0.5, 0.3, 0.0, 1.0).inside == pytest.approx(2 * alone - 1)


def test_few_degrees_of_freedom_prove_less() -> None:
    normal = conformance(1.0, 0.5, 0.0)
    assert normal.outcome is Outcome.CONFORMING
    few = conformance(1.0, 0.5, 0.0, freedom=2)
    assert few.outcome is Outcome.NOT_PROVEN
    assert few.below == pytest.approx(0.0918, abs=1e-4)  # t table: P(t_2 > 2) = 0.0918


def test_prior_and_reading_weigh_by_their_squares() -> None:
    """JCGM 106:2012, A.4.4: normal prior and normal reading."""
    found = with_prior(Size(10.0, 3.0), Size(14.0, 4.0))
    assert found.value == pytest.approx((10 / 9 + 14 / 16) / (1 / 9 + 1 / 16))
    assert found.uncertainty == pytest.approx(12 / 5)
    with pytest.raises(RangeError, match="uncertainty"):
        with_prior(Size(1, 0), Size(1, 1))


def test_vectorised_chances_equal_one_by_one() -> None:
    values = np.linspace(-1, 2, 7)
    below, above = chances(values, 0.3, 0.0, 1.0)
    for k, value in enumerate(values):
        one = conformance(float(value), 0.3, 0.0, 1.0)
        assert (below[k], above[k]) == pytest.approx((one.below, one.above))


def test_risks_agree_with_simulation() -> None:
    random = np.random.default_rng(4)
    true = random.normal(1.0, 0.5, 400_000)
    read = true + random.normal(0, 0.2, true.size)
    found = global_risks(1.0, 0.5, 0.2, (0.2, 1.6), (0.3, 1.5))
    good, kept = (true > 0.2) & (true < 1.6), (read > 0.3) & (read < 1.5)
    assert found.consumer == pytest.approx((~good & kept).mean(), abs=0.001)
    assert found.producer == pytest.approx((good & ~kept).mean(), abs=0.001)
    assert found.accepted == pytest.approx(kept.mean(), abs=0.002)


def test_risks_agree_with_adaptive_quadrature() -> None:
    from scipy.integrate import quad
    from scipy.stats import norm

    def bad(x: float) -> float:
        return float(norm.pdf(x) * (norm.cdf((1.5 - x) / 0.3) - norm.cdf((-1.5 - x) / 0.3)))

    wanted = 2 * quad(bad, 1.8, 12, epsabs=1e-13)[0]
    found = global_risks(0.0, 1.0, 0.3, (-1.8, 1.8), (-1.5, 1.5))
    assert found.consumer == pytest.approx(wanted, abs=1e-11)


def test_a_guard_band_lowers_the_consumers_risk_and_raises_the_producers() -> None:
    plain = global_risks(0.0, 0.12, 0.04, (-0.2, 0.2), (-0.2, 0.2))
    guarded = global_risks(0.0, 0.12, 0.04, (-0.2, 0.2), (-0.15, 0.15))
    assert guarded.consumer < plain.consumer
    assert guarded.producer > plain.producer


def test_one_sided_limits_may_be_infinite() -> None:
    found = global_risks(0.0, 1.0, 0.2, (-math.inf, 2.0), (-math.inf, 2.0))
    assert 0 < found.consumer < 0.01


def test_what_cannot_be_is_refused_by_name() -> None:
    with pytest.raises(MissingError, match="not in the sheet"):
        conformance(1.0, 0.1)
    with pytest.raises(RangeError, match="limits"):
        conformance(1.0, 0.1, 2.0, 1.0)
    with pytest.raises(RangeError, match="uncertainty"):
        conformance(1.0, 0.0, 0.0)
    with pytest.raises(RangeError, match="level"):
        conformance(1.0, 0.1, 0.0, level=0.4)
    with pytest.raises(RangeError, match="uncertainty"):
        global_risks(0.0, 1.0, 0.0, (0, 1), (0, 1))
