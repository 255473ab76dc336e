"""Press force, press adequacy, removal, Monte Carlo."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import RangeError
from casewright.mechanics.press_fits import (
    Joint,
    Spread,
    force_range,
    interference_after_removal,
    judge_press,
    press_in,
    simulate_fits,
)
from casewright.tables.materials import Friction, material

STEEL = replace(material("steel"), modulus=207e9, poisson=0.3)
GEAR = Joint(0.040, 0.035, 0.080, STEEL, STEEL)
MU = Friction(0.10, 0.16, "own numbers", "own")


# Derived: joint 40 x 35, hub 80, E 207 000, U 33 ± 5 (1 s), mu 0.10 to 0.16, in kN.
def test_force_range_is_the_derived_one() -> None:
    force = force_range(33e-6, 5e-6, GEAR, MU)
    assert force.least / 1e3 == pytest.approx(19.63, abs=0.01)
    assert force.likely / 1e3 == pytest.approx(36.62, abs=0.01)
    assert force.most / 1e3 == pytest.approx(58.72, abs=0.01)


@given(st.floats(0, 1e-4), st.floats(0, 2e-5), st.floats(0.01, 0.2), st.floats(0, 0.2))
def test_least_likely_and_most_force_are_in_order(u: float, s: float, mu: float, d: float) -> None:
    force = force_range(u, s, GEAR, Friction(mu, mu + d, "", ""))
    assert 0 <= force.least <= force.likely <= force.most


# A ten-tonne press is 98 kN.
@pytest.mark.parametrize(
    ("capacity", "verdict"),
    [
        (98e3, "enough"),
        (73.4e3, "enough"),
        (73.3e3, "perhaps"),
        (40e3, "perhaps"),
        (30e3, "too small"),
    ],
)
def test_a_press_is_judged_by_the_most_force_with_reserve(capacity: float, verdict: str) -> None:
    one = judge_press(capacity, Spread(19.63e3, 36.62e3, 58.72e3))
    assert one.verdict == verdict
    assert one.reason


def test_a_press_without_capacity_or_reserve_is_refused() -> None:
    with pytest.raises(RangeError):
        judge_press(0.0, Spread(1, 2, 3))
    with pytest.raises(RangeError):
        judge_press(1e5, Spread(1, 2, 3), reserve=0.9)
    with pytest.raises(RangeError, match="uncertainty"):
        force_range(33e-6, -5e-6, GEAR, MU)


def test_a_million_fits_at_once_are_the_same_as_one_by_one() -> None:
    random = np.random.default_rng(2)
    shaft, bore = random.normal(0.040033, 5e-6, 500), random.normal(0.04, 5e-6, 500)
    mu = random.uniform(0.1, 0.16, 500)
    together = press_in(shaft, bore, GEAR, mu)
    for i in range(0, 500, 25):
        alone = press_in(float(shaft[i]), float(bore[i]), GEAR, float(mu[i]))
        for name in ("interference", "pressure", "force", "torque"):
            assert getattr(together, name)[i] == pytest.approx(getattr(alone, name), rel=1e-13)
            assert isinstance(getattr(alone, name), float)


def test_simulated_interference_has_the_points_of_the_normal_law() -> None:
    one = simulate_fits(GEAR, 0.040033, 0.040, 3e-6, 4e-6, MU, count=200_000, seed=7)
    assert one.interference.likely * 1e6 == pytest.approx(33, abs=0.1)
    assert one.interference.least * 1e6 == pytest.approx(33 - 1.645 * 5, abs=0.15)
    assert one.interference.most * 1e6 == pytest.approx(33 + 1.645 * 5, abs=0.15)
    assert one.force.least < one.force.likely < one.force.most


def test_share_without_grip_is_the_tail_of_the_normal_law() -> None:
    one = simulate_fits(GEAR, 0.040005, 0.040, 3e-6, 4e-6, MU, count=200_000, seed=7)
    assert one.loose_share == pytest.approx(0.5 * math.erfc(1 / math.sqrt(2)), abs=0.003)


def test_the_same_seed_gives_the_same_draws_and_few_draws_are_refused() -> None:
    first, again = (
        simulate_fits(GEAR, 0.040033, 0.040, 3e-6, 4e-6, MU, count=1000, seed=3) for _ in range(2)
    )
    assert first.force == again.force
    with pytest.raises(RangeError):
        simulate_fits(GEAR, 0.040033, 0.040, 3e-6, 4e-6, MU, count=5)


def test_a_removal_leaves_what_was_not_lost() -> None:
    left = interference_after_removal(40e-6, (0.0, 0.25))
    assert left.most == 40e-6
    assert left.least == pytest.approx(30e-6)
    for bad in ((0.3, 0.1), (-0.1, 0.2), (0.1, 1.2)):
        with pytest.raises(RangeError):
            interference_after_removal(40e-6, bad)
