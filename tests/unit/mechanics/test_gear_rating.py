"""Textbook rating of bevel gears against the worked problem."""

import math
from dataclasses import replace

import pytest

from casewright.errors import RangeError
from casewright.mechanics.gear_rating import (
    INCH,
    POUND,
    RatedPair,
    bending_cycle_factor,
    bending_rating,
    dynamic_factor,
    rating_factors,
    rating_reliability,
    wear_cycle_factor,
    wear_rating,
)

HORSEPOWER = 550 * 0.3048 * POUND
PAIR = RatedPair(
    pinion_teeth=20,
    gear_teeth=60,
    module=INCH / 6,
    face_width=1.25 * INCH,
    pinion_speed=900 * math.pi / 30,
    hardness=300,
)


@pytest.mark.parametrize(
    ("gear", "factor", "pounds", "power"), [(False, 0.249, 690, 16.4), (True, 0.216, 620, 14.8)]
)
def test_bending_problem(gear, factor, pounds, power):
    """Shigley 8th ed., solution of problem 15-1 (0.3 %)."""
    found = bending_rating(PAIR, factor, gear=gear)
    assert found.load / POUND == pytest.approx(pounds, rel=3e-3)
    assert found.power / HORSEPOWER == pytest.approx(power, rel=4e-3)


def test_wear_problem():
    """Shigley 8th ed., solution of problem 15-2, pinion: 464 lbf, 11.0 hp (from memory)."""
    found = wear_rating(PAIR, 0.083, crowned=False, gear=False)
    assert found.load / POUND == pytest.approx(464, rel=3e-3)
    assert found.power / HORSEPOWER == pytest.approx(11.0, abs=0.06)


def test_pitch_speed_of_the_problem():
    assert bending_rating(PAIR, 0.249).pitch_speed / 0.00508 == pytest.approx(785.4, abs=0.1)


def test_better_mounting_and_quality_carry_more():
    plain = bending_rating(PAIR, 0.249).load
    assert bending_rating(replace(PAIR, mounting="both straddle"), 0.249).load > plain
    assert bending_rating(replace(PAIR, quality=9.0), 0.249).load > plain
    assert bending_rating(replace(PAIR, overload=1.5), 0.249).load == pytest.approx(plain / 1.5)


def test_crowned_teeth_carry_more_wear_load():
    crowned = wear_rating(PAIR, 0.083, crowned=True, gear=False).load
    assert crowned == pytest.approx(wear_rating(PAIR, 0.083, False, gear=False).load * 2 / 1.5)


def test_it_says_that_it_is_an_estimate():
    working = bending_rating(PAIR, 0.249).working
    assert working.estimate
    assert "maker's limits" in working.notes[0]


def test_values_outside_the_textbook_are_refused():
    for call in (
        lambda: dynamic_factor(4, 1),
        lambda: dynamic_factor(6, 1000),
        lambda: bending_cycle_factor(1e5),
        lambda: wear_cycle_factor(1e2),
        lambda: rating_reliability(0.9),
        lambda: rating_factors(1e-3, 0.03, 6, 4, 1e9, 0.99, "one straddle"),
        lambda: bending_rating(replace(PAIR, hardness=600), 0.249),
    ):
        with pytest.raises(RangeError):
            call()
