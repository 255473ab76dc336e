"""Gauge studies, disagreeing repeats, choice of instrument, wear."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.stats import f_oneway, norm, studentized_range

from casewright.errors import MissingError, RangeError
from casewright.reasoning import gauge_study as study
from casewright.reasoning.instrument_choice import suggest, suitability
from casewright.reasoning.readings import Instrument
from casewright.reasoning.repeats import check_repeats, critical_range_factor, grubbs
from casewright.reasoning.wear import hours_to_limit


@pytest.mark.parametrize("size", range(2, 11))
def test_range_constants_follow_from_their_integrals(size: int) -> None:
    """d2 = ∫ (1 - Φⁿ - (1-Φ)ⁿ) dx; d3 by the second moment of the range's distribution."""
    mean = quad(lambda x: 1 - norm.cdf(x) ** size - norm.sf(x) ** size, -9, 9)[0]
    grid = np.linspace(0, 14, 1401)
    upper = studentized_range.sf(grid, size, np.inf)
    second = np.trapezoid(2 * grid * upper, grid)
    assert study.MEAN_RANGE[size - 2] == pytest.approx(mean, abs=2e-5)
    assert study.SPREAD_OF_RANGE[size - 2] == pytest.approx(math.sqrt(second - mean**2), abs=1e-4)


def test_gauge_study_finds_the_spreads_it_was_made_with() -> None:
    random = np.random.default_rng(3)
    found = []
    for _ in range(60):
        hands, parts = random.normal(0, 0.3, 5), random.normal(0, 2.0, 10)
        both = random.normal(0, 0.4, (5, 10))
        noise = random.normal(0, 0.2, (5, 4, 10))
        found.append(study.by_variance(hands[:, None, None] + both[:, None] + parts + noise))
    assert np.mean([one.repeatability**2 for one in found]) == pytest.approx(0.04, rel=0.1)
    assert np.mean([one.interaction**2 for one in found]) == pytest.approx(0.16, rel=0.15)
    assert np.mean([one.parts**2 for one in found]) == pytest.approx(4.0, rel=0.25)
    assert all(one.share < 0.6 for one in found)


def test_one_way_analysis_agrees_with_an_independent_library() -> None:
    random = np.random.default_rng(5)
    groups = [random.normal(k, 1.0, 6 + k).tolist() for k in range(4)]
    assert study.one_way(groups).ratio == pytest.approx(f_oneway(*groups).statistic, rel=1e-10)


def test_wrong_shapes_are_refused() -> None:
    with pytest.raises(RangeError, match="readings"):
        study.average_range([[1.0, 2.0], [3.0, 4.0]])
    with pytest.raises(RangeError, match="groups"):
        study.one_way([[1.0], [2.0]])
    with pytest.raises(RangeError, match="size"):
        study.range_constant(11, 1)


def test_a_slip_of_one_repeat_is_named() -> None:
    found = check_repeats([25.012, 25.010, 25.110, 25.011], 0.002)
    assert not found.agree
    assert found.outlier == 2
    assert found.spread > found.allowed


def test_of_two_that_disagree_none_is_named() -> None:
    found = check_repeats([25.01, 25.11], 0.002)
    assert not found.agree
    assert found.outlier is None


def test_two_against_two_names_nobody() -> None:
    assert check_repeats([1.0, 1.0, 2.0, 2.0], 0.01).outlier is None


def test_honest_repeats_disagree_as_seldom_as_stated() -> None:
    random = np.random.default_rng(7)
    rows = random.normal(0, 1, (20_000, 4))
    apart = np.ptp(rows, axis=1) > critical_range_factor(4)
    assert apart.mean() == pytest.approx(0.05, abs=0.006)


@pytest.mark.parametrize(("count", "freedom"), [(2, 10.0), (4, 6.0), (3, math.inf)])
def test_critical_range_is_the_studentised_range(count: int, freedom: float) -> None:
    wanted = studentized_range.ppf(0.95, count, freedom)
    assert critical_range_factor(count, freedom) == pytest.approx(wanted, abs=1e-4)


def test_a_coarse_display_explains_its_own_step() -> None:
    assert check_repeats([25.01, 25.02], 0.0, resolution=0.01).agree
    with pytest.raises(RangeError, match="repeatability"):
        check_repeats([1.0, 2.0], 0.0)
    with pytest.raises(MissingError, match="values"):
        check_repeats([1.0], 0.1)
    with pytest.raises(MissingError, match="values"):
        grubbs([1.0, 2.0])


def test_equal_repeats_hold_no_outlier() -> None:
    assert not grubbs([2.0, 2.0, 2.0]).stands_apart


CALIPER = Instrument("caliper", 1e-5, 1e-5, 1e-5, kinds=("journal", "length"), minutes=1)
MICROMETER = Instrument("micrometer", 1e-6, 1e-6, 1e-6, kinds=("journal",), minutes=3)
RULE = Instrument("steel rule", 5e-4, 1e-4, 2e-4, kinds=("length",), minutes=0.5)


def test_the_quickest_that_is_good_enough_is_suggested() -> None:
    wide = suggest([MICROMETER, CALIPER], 24.8e-3, 25.1e-3, kind="journal")
    assert wide[0].instrument == "caliper"
    narrow = suggest([CALIPER, MICROMETER], 24.98e-3, 25.01e-3, kind="journal")
    assert narrow[0].instrument == "micrometer"
    assert not narrow[0].warning


def test_an_instrument_that_cannot_decide_says_so() -> None:
    found = suitability(CALIPER, 25.000e-3, 25.021e-3)
    assert not found.can_decide
    assert "can't prove" in found.warning
    assert found.undecided == 1


def test_capability_is_tolerance_over_four_u() -> None:
    """JCGM 106:2012, 7.6.3: C_m = T/(4 u_m)."""
    found = suitability(MICROMETER, 25.000e-3, 25.021e-3)
    assert found.capability == pytest.approx(21e-6 / (4 * found.uncertainty))


def test_overdue_and_unfit_instruments_come_last() -> None:
    late = Instrument("late micrometer", 1e-6, 1e-6, 1e-6, overdue=True, kinds=("journal",))
    found = suggest([late, RULE, CALIPER], 24.8e-3, 25.1e-3, kind="journal")
    assert [one.instrument for one in found] == ["caliper", "late micrometer", "steel rule"]
    assert "overdue" in found[1].warning
    assert "does not measure" in found[2].warning


def test_a_single_limit_needs_the_size_as_new() -> None:
    assert suitability(MICROMETER, 24.98e-3, None, 25.0e-3).can_decide
    with pytest.raises(MissingError, match="nominal"):
        suitability(MICROMETER, 24.98e-3, None)
    with pytest.raises(MissingError, match="instruments"):
        suggest([], 0.0, 1.0)


HOUR = 3600.0


def test_hours_left_by_a_straight_line() -> None:
    found = hours_to_limit(24.99e-3, 2e-6, 24.98e-3, 2e-6, 500 * HOUR, 24.96e-3)
    assert found.rate == pytest.approx(-1e-5 / (500 * HOUR))
    assert found.even_chance == pytest.approx(1000 * HOUR)
    assert found.cautious < found.even_chance < found.hopeful
    assert found.working.estimate


def test_percentiles_agree_with_simulation() -> None:
    random = np.random.default_rng(6)
    first = random.normal(24.99e-3, 2e-6, 400_000)
    second = random.normal(24.98e-3, 2e-6, 400_000)
    left = (second - 24.96e-3) / (first - second) * 500
    left[first <= second] = np.inf
    found = hours_to_limit(24.99e-3, 2e-6, 24.98e-3, 2e-6, 500 * HOUR, 24.96e-3)
    for share, time in ((10, found.cautious), (50, found.even_chance), (90, found.hopeful)):
        assert time / HOUR == pytest.approx(np.percentile(left, share), rel=0.01)


def test_a_shared_calibration_cancels_in_the_rate() -> None:
    apart = hours_to_limit(24.99e-3, 4e-6, 24.98e-3, 4e-6, 500 * HOUR, 24.96e-3)
    shared = hours_to_limit(24.99e-3, 4e-6, 24.98e-3, 4e-6, 500 * HOUR, 24.96e-3, 0.9)
    assert shared.rate_uncertainty < apart.rate_uncertainty


def test_readings_that_prove_no_wear_leave_the_hopeful_end_open() -> None:
    found = hours_to_limit(24.990e-3, 5e-6, 24.988e-3, 5e-6, 500 * HOUR, 24.96e-3)
    assert found.cautious is not None
    assert found.hopeful is None
    assert found.wearing_chance == pytest.approx(norm.cdf(2 / math.hypot(5, 5)), abs=1e-9)


def test_growth_towards_an_upper_limit_counts_too() -> None:
    found = hours_to_limit(30.00e-3, 1e-6, 30.01e-3, 1e-6, 100 * HOUR, 30.03e-3)
    assert found.rate > 0
    assert found.even_chance == pytest.approx(200 * HOUR)


def test_a_piece_past_its_limit_has_no_hours_left() -> None:
    found = hours_to_limit(24.99e-3, 1e-6, 24.95e-3, 1e-6, 500 * HOUR, 24.96e-3)
    assert found.even_chance == 0.0
    assert found.past_now > 0.99


@given(st.floats(1e-6, 2e-5), st.floats(0, 0.5))
@settings(max_examples=40, deadline=None)
def test_more_uncertainty_never_lengthens_the_cautious_time(u: float, spread: float) -> None:
    sure = hours_to_limit(24.99e-3, u, 24.98e-3, u, HOUR, 24.96e-3)
    unsure = hours_to_limit(24.99e-3, 1.5 * u, 24.98e-3, 1.5 * u, HOUR, 24.96e-3, 0.0, spread)
    assert unsure.cautious <= sure.cautious * (1 + 1e-9)


def test_impossible_wear_inputs_are_refused() -> None:
    with pytest.raises(RangeError, match="hours_between"):
        hours_to_limit(1.0, 0.1, 0.9, 0.1, 0.0, 0.5)
    with pytest.raises(RangeError, match="uncertainty"):
        hours_to_limit(1.0, 0.0, 0.9, 0.1, 1.0, 0.5)
    with pytest.raises(RangeError, match="correlation"):
        hours_to_limit(1.0, 0.1, 0.9, 0.1, 1.0, 0.5, 1.0)


def test_rounding_alone_never_makes_repeats_disagree() -> None:
    random = np.random.default_rng(9)
    for true in random.uniform(0, 1, 200):
        rounded = np.round(true + random.uniform(-0.004, 0.004, 3), 2).tolist()
        assert check_repeats(rounded, 0.0, resolution=0.01).agree


def test_old_constants_that_carry_5_15_are_not_used() -> None:
    """Trap: K1 of old editions is 3.05 for three trials, 5.15 times the one in use."""
    assert study.range_factor(3, 30) == pytest.approx(3.05 / 5.15, abs=0.002)
    assert study.range_factor(2, 30) == pytest.approx(4.56 / 5.15, abs=0.002)
    assert study.range_factor(3, 1) == pytest.approx(2.70 / 5.15, abs=0.002)
    assert study.range_factor(10, 1) == pytest.approx(1.62 / 5.15, abs=0.002)


def test_where_two_removals_would_each_cure_it_nobody_is_named() -> None:
    found = check_repeats([1.000, 1.025, 1.050], 0.01)
    assert not found.agree
    assert found.outlier is None
