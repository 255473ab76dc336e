"""Bearing life constants against the formula and order they come from."""

import pytest

from casewright.mechanics.bearing_life import reliability_formula
from casewright.tables.bearing_life import (
    GREASE,
    OIL_BATH,
    RADIAL_BALL,
    RADIAL_ROLLER,
    RELIABILITY,
    RELIABILITY_1990,
)


def test_printed_reliability_factors_are_their_formula_within_a_unit_of_the_last_digit():
    for share, factor in RELIABILITY.items():
        assert reliability_formula(share) == pytest.approx(factor, abs=0.0055)


def test_the_1990_values_lack_the_constant_term():
    for share, factor in RELIABILITY_1990.items():
        weibull = (reliability_formula(share) - 0.05) / 0.95
        assert weibull == pytest.approx(factor, abs=0.006)


def test_ranges_of_kappa_run_up_to_four():
    for constants in (RADIAL_BALL, RADIAL_ROLLER):
        assert [upper for upper, _, _ in constants.ranges] == [0.4, 1.0, 4.0]


def test_dirtier_classes_have_smaller_factors():
    for table in (OIL_BATH, GREASE):
        factors = [c for c, _ in table.values()]
        thresholds = [b for _, b in table.values()]
        assert factors == sorted(factors, reverse=True)
        assert thresholds == sorted(thresholds)
