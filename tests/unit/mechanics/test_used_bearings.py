"""What is left in a bearing that has run, against scipy's Weibull distribution."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import weibull_min

from casewright.errors import RangeError
from casewright.mechanics.used_bearings import service_left

LIFE = 4000 * 3600.0
# Shigley ch. 11: x0 = 0.02, theta = 4.459, b = 1.483 in multiples of the rating life.
MODEL = weibull_min(1.483, loc=0.02, scale=4.459 - 0.02)


def test_nine_in_ten_new_ones_reach_about_the_rating_life() -> None:
    assert service_left(0.0, LIFE, 0.9) == pytest.approx(LIFE, rel=0.02)


@given(st.floats(0, 8), st.floats(0.05, 0.99))
def test_it_is_the_weibull_life_given_that_it_got_so_far(run: float, chance: float) -> None:
    more = service_left(run * LIFE, LIFE, chance) / LIFE
    assert MODEL.sf(run + more) / MODEL.sf(run) == pytest.approx(chance, rel=1e-6)


@given(st.floats(0, 5), st.floats(0.1, 3))
def test_a_bearing_that_ran_longer_has_less_left(run: float, more: float) -> None:
    # The first 2 % of the life are sure in this model, so a new one is never the worse.
    assert service_left((run + more) * LIFE, LIFE, 0.9) <= service_left(run * LIFE, LIFE, 0.9) + 1


def test_what_is_not_possible_is_refused() -> None:
    with pytest.raises(RangeError):
        service_left(1.0, 0.0, 0.9)
    with pytest.raises(RangeError):
        service_left(1.0, LIFE, 1.0)
    with pytest.raises(RangeError):
        service_left(-1.0, LIFE, 0.9)
