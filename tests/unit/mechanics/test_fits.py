"""Fits as drawn and as measured."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import MissingError, RangeError
from casewright.mechanics.fits import (
    diameter_at_20,
    fit,
    internal_clearance,
    measured_interference,
    ring_load_loss,
    ring_smoothing,
    ring_warmth_loss,
    usable_interference,
)
from casewright.tables.materials import T20


@pytest.mark.parametrize(
    ("shaft", "character"),
    [("g6", "clearance"), ("h6", "clearance"), ("k6", "transition"), ("s6", "interference")],
)
def test_a_fit_says_its_character(shaft: str, character: str) -> None:
    one = fit(0.040, "H7", shaft)
    assert one.character == character
    assert one.working.outputs[0].value == one.least_clearance


@given(st.floats(0.004, 0.5), st.sampled_from(["g6", "h7", "k6", "m6", "p6", "s7"]))
def test_probable_clearance_lies_inside_the_theoretical(size: float, shaft: str) -> None:
    one = fit(size, "H7", shaft)
    assert one.least_clearance < one.probable_least < one.probable_most < one.most_clearance


def test_hole_and_shaft_exchanged_is_said() -> None:
    with pytest.raises(RangeError, match="hole class"):
        fit(0.04, "s6", "H7")
    with pytest.raises(RangeError, match="shaft class"):
        fit(0.04, "H7", "H7")


@given(st.floats(0.01, 0.4), st.floats(263, 323), st.floats(9e-6, 24e-6))
def test_a_diameter_grown_to_a_temperature_comes_back_to_20(
    diameter: float, temperature: float, expansion: float
) -> None:
    grown = diameter * (1 + expansion * (temperature - T20))
    assert diameter_at_20(grown, temperature, expansion) == pytest.approx(diameter, rel=1e-15)


def test_a_warm_housing_and_a_cold_race_are_compared_at_20() -> None:
    """Aluminium bore at 30 °C reads 0.0133 mm large on 62: worth a third of a 39 um fit."""
    raw = measured_interference(0.062051, 0.0620253)
    right = measured_interference(
        0.062051, 0.0620253, 0, 0, T20, 303.15, shaft_expansion=12.5e-6, bore_expansion=21.5e-6
    )
    assert (right.interference - raw.interference) * 1e6 == pytest.approx(13.33, abs=0.01)


def test_uncertainty_adds_in_squares_and_takes_the_thermometer_in() -> None:
    one = measured_interference(0.04, 0.03997, 3e-6, 4e-6)
    assert one.uncertainty == pytest.approx(5e-6)
    warm = measured_interference(
        0.04, 0.03997, 3e-6, 4e-6, T20, T20, 12e-6, 21.5e-6, temperature_uncertainty=2.0
    )
    by_hand = (25 + (0.04e6 * 12e-6 * 2) ** 2 + (0.03997e6 * 21.5e-6 * 2) ** 2) ** 0.5
    assert warm.uncertainty * 1e6 == pytest.approx(by_hand, rel=1e-9)


def test_monte_carlo_confirms_the_uncertainty() -> None:
    random = np.random.default_rng(5)
    shaft = random.normal(0.04, 3e-6, 200_000)
    bore = random.normal(0.03997, 4e-6, 200_000)
    drawn = measured_interference(shaft, bore).interference
    assert np.std(drawn) == pytest.approx(5e-6, rel=0.01)


def test_off_20_degrees_a_coefficient_is_asked_for() -> None:
    with pytest.raises(MissingError, match="bore expansion"):
        measured_interference(0.04, 0.0399, bore_temperature=303.15)
    with pytest.raises(RangeError, match=r"293\.15"):
        diameter_at_20(0.04, 20.0, 12e-6)


def test_ra_taken_for_rz_hides_most_of_the_smoothing() -> None:
    right = usable_interference(45e-6, 4e-6, 10e-6)
    wrong = usable_interference(45e-6, 1e-6, 2.5e-6)
    assert right * 1e6 == pytest.approx(33.8)
    assert wrong * 1e6 == pytest.approx(42.2)


@given(st.floats(0, 1e-4), st.floats(0, 2e-5), st.floats(0, 2e-5), st.floats(0, 1))
def test_smoothing_only_takes(u: float, hub: float, shaft: float, factor: float) -> None:
    assert usable_interference(u, hub, shaft, factor) <= u


def test_smoothing_refuses_nonsense() -> None:
    with pytest.raises(RangeError, match="Rz"):
        usable_interference(45e-6, -1e-6, 0)
    with pytest.raises(RangeError, match="factor"):
        usable_interference(45e-6, 1e-6, 0, 8)


# Bearing handbooks, from memory: 0.0015 dT d, d/(d+2), d/(d+3), 0.08 sqrt(F d/B), um mm N.
def test_bearing_practice_rules_in_their_own_units() -> None:
    assert ring_warmth_loss(0.060, 40) * 1e6 == pytest.approx(0.0015 * 40 * 60)
    assert ring_warmth_loss(0.060, 40) == pytest.approx(0.12 * 12.5e-6 * 40 * 0.060)
    assert ring_smoothing(42e-6, 0.040) * 1e6 == pytest.approx(42 * 40 / 42)
    assert ring_smoothing(43e-6, 0.040, "turned") * 1e6 == pytest.approx(43 * 40 / 43)
    assert ring_load_loss(2500, 0.040, 0.010) * 1e6 == pytest.approx(0.08 * 100)
    with pytest.raises(RangeError, match="turned"):
        ring_smoothing(42e-6, 0.040, "forged")
    with pytest.raises(RangeError):
        ring_load_loss(2500, 0.040, 0)


def test_a_bearing_warmed_as_a_whole_keeps_its_clearance_but_a_hot_bore_eats_it() -> None:
    cold = internal_clearance(20e-6, 0.042, 0.062)
    whole = internal_clearance(20e-6, 0.042, 0.062, 363.15, 363.15)
    bore_only = internal_clearance(20e-6, 0.042, 0.062, 383.15, 333.15)
    assert cold == 20e-6
    assert whole > cold > bore_only
    fitted = internal_clearance(20e-6, 0.042, 0.062, inner_growth=14.97e-6)
    assert fitted * 1e6 == pytest.approx(5.03)
    with pytest.raises(RangeError):
        internal_clearance(20e-6, 0.042, 0.062, 110.0, 60.0)
