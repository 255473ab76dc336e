"""Monte Carlo against the exact values of the examples of JCGM 101."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from casewright.errors import InputError, RangeError, UnconvergedError
from casewright.reasoning.montecarlo import (
    Distribution,
    Draw,
    correlated_normals,
    describe,
    generator,
    numerical_tolerance,
    sample,
    simulate,
    simulate_until,
    validate,
)


def add(*parts: Any) -> Any:
    return sum(parts)


@pytest.mark.parametrize(
    ("inputs", "uncertainty", "half"),
    [
        ([Draw(0, 1)] * 4, 2.0, 3.91993),
        ([Draw(0, 1, "rectangular")] * 4, 2.0, 3.87941),
        ([Draw(0, 1, "rectangular")] * 3 + [Draw(0, 10, "rectangular")], 10.1489, 17.0158),
    ],
)
def test_additive_model(inputs: list[Draw], uncertainty: float, half: float) -> None:
    """JCGM 101:2008, 9.2: exact half-widths of the 95 % interval, printed 3.92, 3.88, 17.0."""
    found = simulate(add, inputs, "additive", 300_000)
    assert found.mean == pytest.approx(0, abs=0.06)
    assert found.standard_uncertainty == pytest.approx(uncertainty, rel=0.005)
    assert found.high == pytest.approx(half, abs=0.05)
    assert found.low == pytest.approx(-half, abs=0.05)


def test_first_order_is_not_validated_where_one_rectangle_rules() -> None:
    """JCGM 101:2008, 9.2.4: first order says 19.9 where 17.0 is right."""
    inputs = [Draw(0, 1, "rectangular")] * 3 + [Draw(0, 10, "rectangular")]
    found = simulate(add, inputs, "one rules", 200_000)
    assert not validate(0.0, 1.96 * math.sqrt(103), found).agrees


def test_first_order_is_validated_for_normals() -> None:
    found = simulate(add, [Draw(0, 1)] * 4, "normals", 400_000)
    assert validate(0.0, 3.91993, found).agrees


@pytest.mark.parametrize("shape", ["normal", "rectangular", "triangular", "arcsine"])
def test_every_shape_has_its_centre_and_standard_deviation(shape: str) -> None:
    drawn = sample(Draw(3.0, 0.5, shape), 200_000, generator(shape))
    assert drawn.mean() == pytest.approx(3.0, abs=0.01)
    assert drawn.std() == pytest.approx(0.5, rel=0.01)


def test_t_has_heavier_tails() -> None:
    drawn = sample(Draw(0.0, 1.0, "t", 10), 400_000, generator("t"))
    assert drawn.std() == pytest.approx(math.sqrt(10 / 8), rel=0.01)


def test_the_same_digest_gives_the_same_figures() -> None:
    one = simulate(add, [Draw(0, 1)], "abc", 10_000)
    assert one == simulate(add, [Draw(0, 1)], "abc", 10_000)
    assert one != simulate(add, [Draw(0, 1)], "abd", 10_000)


def test_correlated_normals_carry_their_covariance() -> None:
    covariance = np.array([[4.0, -1.5], [-1.5, 1.0]])
    drawn = correlated_normals([1.0, 2.0], covariance, 200_000, generator("pair"))
    assert np.cov(drawn) == pytest.approx(covariance, abs=0.05)
    with pytest.raises(RangeError, match="covariance"):
        correlated_normals([0, 0], np.array([[1.0, 2.0], [2.0, 1.0]]), 10, generator("x"))


def test_shortest_interval_of_a_skewed_result() -> None:
    """Exponential: the shortest 95 % interval starts at 0 and ends at -ln 0.05 = 2.996."""
    found = describe(generator("skew").exponential(1.0, 400_000))
    assert found.shortest_low == pytest.approx(0, abs=0.01)
    assert found.shortest_high == pytest.approx(-math.log(0.05), abs=0.05)
    assert found.high == pytest.approx(-math.log(0.025), abs=0.06)


def test_repair_or_replace_has_its_closed_form() -> None:
    """Own closed form: mean 987.93, even chance 722.18, one in ten dearer 2061.35."""

    def cost(z: Any, luck: Any) -> Any:
        fails = luck > math.sqrt(3) * 0.6
        return 300 + 90 * np.exp(math.log(4) + 0.5 * z) + 1400 * fails

    found = simulate(cost, [Draw(0, 1), Draw(0, 1, "rectangular")], "repair", 400_000, 0.8)
    assert found.mean == pytest.approx(987.93, abs=5)
    assert found.high == pytest.approx(2061.35, abs=8)


def test_adaptive_run_stops_when_steady() -> None:
    found = simulate_until(add, [Draw(0, 1, "rectangular")] * 4, "steady", digits=1)
    assert found.high == pytest.approx(3.87941, abs=0.05)
    with pytest.raises(UnconvergedError, match="Monte Carlo"):
        simulate_until(add, [Draw(0, 1)] * 4, "steady", digits=4, most_blocks=3)


@pytest.mark.parametrize(
    ("u", "digits", "wanted"),
    [(0.00032, 2, 5e-6), (10.5, 2, 0.5), (0.35, 1, 0.05), (0.996, 2, 0.05)],
)
def test_numerical_tolerance(u: float, digits: int, wanted: float) -> None:
    """JCGM 101:2008, 7.9.2, examples (0.000 32 with two digits: ½·10⁻⁵)."""
    assert numerical_tolerance(u, digits) == pytest.approx(wanted)


def test_what_cannot_be_is_refused_by_name() -> None:
    with pytest.raises(InputError, match="shape"):
        sample(Draw(0, 1, "square"), 10, generator("x"))
    with pytest.raises(RangeError, match="draws"):
        simulate(add, [Draw(0, 1)], "few", 100)
    with pytest.raises(RangeError, match="level"):
        describe(np.arange(10.0), 1.0)
    with pytest.raises(RangeError, match="uncertainty"):
        numerical_tolerance(0.0)


def test_an_interval_off_by_more_than_the_tolerance_is_not_validated() -> None:
    found = Distribution(0.0, 1.0, -1.96, 1.96, -1.96, 1.96, 0.95, 10_000)
    assert validate(0.0, 2.0, found).agrees
    assert not validate(0.2, 1.96, found).agrees
