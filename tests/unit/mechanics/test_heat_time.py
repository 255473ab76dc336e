"""Lumped heating and cooling against the exact series, scipy's integrator and its own inverse."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from casewright.errors import RangeError
from casewright.mechanics.heat_time import (
    clearance_time,
    heating_time,
    lumped_body,
    temperature_after,
    time_to_reach,
    working_time,
)
from casewright.tables.heat_sources import HEAT_SOURCES
from casewright.tables.materials import material


def wall(biot: float, fourier: float) -> tuple[float, float]:
    """Plane wall: dimensionless centre and mean temperature by the exact series."""
    centre = mean = 0.0
    for n in range(30):
        low, high = n * math.pi + 1e-9, n * math.pi + math.pi / 2 - 1e-9
        zeta = brentq(lambda z: z * math.tan(z) - biot, low, high)
        factor = 4 * math.sin(zeta) / (2 * zeta + math.sin(2 * zeta))
        term = factor * math.exp(-(zeta**2) * fourier)
        centre, mean = centre + term, mean + term * math.sin(zeta) / zeta
    return centre, mean


# Derived series values: Bi 0.1 at Fo 5 and 10, Bi 1 at Fo 1; t/tau = Bi Fo.
@pytest.mark.parametrize(
    ("biot", "fourier", "centre", "mean", "lumped"),
    [
        (0.1, 5, 0.62638, 0.61632, 0.60653),
        (0.1, 10, 0.38613, 0.37994, 0.36788),
        (1.0, 1, 0.53386, 0.47040, 0.36788),
    ],
)
def test_lumping_against_the_exact_wall(
    biot: float, fourier: float, centre: float, mean: float, lumped: float
) -> None:
    exact = wall(biot, fourier)
    ours = temperature_after(1.0, 0.0, biot * fourier, 1.0)
    assert exact == pytest.approx((centre, mean), abs=1e-5)
    assert ours == pytest.approx(lumped, abs=1e-5)


def test_at_the_biot_limit_lumping_is_3_per_cent_under_the_mean_and_5_under_the_middle() -> None:
    centre, mean = wall(0.1, 10)
    ours = temperature_after(1.0, 0.0, 1.0, 1.0)
    assert 1 - ours / mean == pytest.approx(0.03, abs=0.005)
    assert 1 - ours / centre == pytest.approx(0.05, abs=0.005)


def test_a_high_biot_number_is_warned_of_not_silent() -> None:
    body = lumped_body(np.array([0.09, 0.11]), 1.0, 1.0, 1.0, 1.0)
    assert list(body.lumping_holds) == [True, False]
    thick = heating_time(
        200.0, 0.2, material("stainless"), HEAT_SOURCES["fan-oven"], 293.15, 350.0, 400.0
    )
    assert "lags" in thick.biot_warning


@given(st.floats(10, 5000), st.floats(0, 500), st.floats(1, 20), st.floats(250, 1200))
def test_time_to_reach_is_the_inverse_of_the_temperature_reached(
    tau: float, power: float, loss: float, end: float
) -> None:
    ambient = 293.15
    reached = temperature_after(ambient, ambient + power / loss, 0.5 * tau, tau)
    if power > 1:
        got = time_to_reach(ambient, reached, ambient, tau, loss, power)
        assert got == pytest.approx(0.5 * tau, rel=1e-6)


def test_heating_agrees_with_the_integrated_heat_balance() -> None:
    """Second way: m c dT/dt = P - h A (T - Ta), by scipy."""
    capacity, loss, power = 6.0 * 900, 3.0, 1500.0
    time = float(time_to_reach(293.15, 393.15, 293.15, capacity / loss, loss, power))
    got = solve_ivp(
        lambda _, t: (power - loss * (t - 293.15)) / capacity, (0, time), [293.15], rtol=1e-10
    )
    assert got.y[0, -1] == pytest.approx(393.15, abs=1e-5)
    assert time == pytest.approx(401.7, abs=0.05)
    without_losses = capacity * 100 / power
    assert without_losses == pytest.approx(360)
    assert time > without_losses


@pytest.mark.parametrize(
    ("start", "target", "surroundings"),
    [(293.15, 393.15, 353.15), (293.15, 393.15, 393.15), (293.15, 250.0, 353.15)],
)
def test_what_is_never_reached_is_never_and_no_exception(
    start: float, target: float, surroundings: float
) -> None:
    assert time_to_reach(start, target, surroundings, 100.0) == math.inf


def test_what_is_reached_already_takes_no_time() -> None:
    assert time_to_reach(300.0, 300.0, 350.0, 100.0) == 0
    assert time_to_reach(300.0, 300.0, 300.0, 100.0) == 0


# Film 5 to 15, casting 6 kg of 0.25 m², 20 to 120 °C: own numbers by the formula of the source.
def casting(source: str, target: float, surroundings: float) -> object:
    return heating_time(
        6.0, 0.25, material("aluminium"), HEAT_SOURCES[source], 293.15, target, surroundings
    )


def test_an_oven_gives_a_range_and_more_air_is_quicker() -> None:
    one, fan = casting("oven", 393.15, 423.15), casting("fan-oven", 393.15, 423.15)
    # tau = m c/(h A) = 5400/(0.25 h); t = tau ln(130/30).
    assert one.quickest == pytest.approx(5400 / (0.25 * 15) * math.log(130 / 30))
    assert one.slowest == pytest.approx(5400 / (0.25 * 5) * math.log(130 / 30))
    assert one.outcome == "gets there"
    assert fan.quickest < one.quickest
    assert fan.slowest == pytest.approx(one.quickest)
    assert not one.biot_warning


def test_a_weak_source_may_never_get_there_and_a_cool_oven_never_does() -> None:
    gun = casting("hot-air-gun", 293.15 + 130, 293.15)
    # End rise P/(h A): 400/(15 x 0.25) = 107 K at worst, 1000/(5 x 0.25) = 800 K at best.
    assert gun.outcome == "may never get there"
    assert gun.slowest == math.inf
    assert gun.quickest < math.inf
    cool = casting("oven", 393.15, 380.0)
    assert cool.outcome == "never"
    assert cool.quickest == math.inf


def test_flame_and_gun_carry_their_cautions() -> None:
    for key in ("torch", "hot-air-gun"):
        text = " ".join(HEAT_SOURCES[key].cautions)
        assert "Penetrant" in text
        assert "hydrogen fluoride" in text
        assert "catch fire" in text
    assert "come first" in casting("oven", 393.15, 423.15).cautions[0]


def test_working_time_ends_when_the_clearance_is_used_up() -> None:
    """A hot hub that may lose 15 K: the temperature then is 15 K lower."""
    clearance = 0.062 * 21.5e-6 * 15
    time = clearance_time(clearance, 0.062, 21.5e-6, 380.0, 293.15, 1800.0)
    assert temperature_after(380.0, 293.15, time, 1800.0) == pytest.approx(365.0)
    assert clearance_time(1e-3, 0.062, 21.5e-6, 380.0, 293.15, 1800.0) == math.inf


def test_arrays_give_what_single_numbers_give() -> None:
    power = np.array([250.0, 1500.0, 3000.0])
    many = time_to_reach(293.15, 393.15, 293.15, 1800.0, 3.0, power)
    for one, value in zip(many, power, strict=True):
        assert one == time_to_reach(293.15, 393.15, 293.15, 1800.0, 3.0, float(value))


@pytest.mark.parametrize(
    ("start", "target", "surroundings", "field"),
    [
        (20.0, 120.0, 150.0, "start"),
        (293.15, 120.0, 423.15, "target"),
        (293.15, 393.15, 150.0, "surroundings"),
        (393.15, 293.15, 423.15, "target"),
    ],
)
def test_celsius_and_cooling_down_are_refused_by_field(
    start: float, target: float, surroundings: float, field: str
) -> None:
    with pytest.raises(RangeError, match=field):
        heating_time(
            6.0, 0.25, material("aluminium"), HEAT_SOURCES["oven"], start, target, surroundings
        )


def test_sizes_that_are_not_positive_are_refused_by_name() -> None:
    with pytest.raises(RangeError, match="area"):
        heating_time(6.0, 0.0, material("aluminium"), HEAT_SOURCES["oven"], 293.15, 393.15, 423.15)
    with pytest.raises(RangeError, match="time constant"):
        time_to_reach(293.15, 393.15, 423.15, 0.0)
    with pytest.raises(RangeError, match="film"):
        lumped_body(0.01, 2700, 900, -5.0, 150)


# Film 5 to 15; a chilled race 0.35 kg, 0.02 m²: tau = m c/(h A) = 805 s at h 10 (derived).
def test_working_time_is_a_range_around_the_derived_one() -> None:
    race = material("bearing-steel")
    one = working_time(10e-6, 0.062, race, 10.5e-6, 0.35, 0.02, 194.65, 293.15)
    assert one.quickest == pytest.approx(136.5 / 1.5, abs=0.1)
    assert one.slowest == pytest.approx(136.5 * 2, abs=0.2)
    assert one.outcome == "the clearance goes"
    assert "seconds" in one.working.notes[0]
    lasting = working_time(1e-3, 0.062, race, 10.5e-6, 0.35, 0.02, 194.65, 293.15)
    assert lasting.outcome == "the clearance lasts"
    with pytest.raises(RangeError, match="start"):
        working_time(10e-6, 0.062, race, 10.5e-6, 0.35, 0.02, -78.5, 293.15)


def test_a_part_at_shop_temperature_keeps_its_clearance_and_none_left_is_said() -> None:
    assert clearance_time(10e-6, 0.062, 21.5e-6, 293.15, 293.15, 1800.0) == math.inf
    assert clearance_time(0.0, 0.062, 21.5e-6, 380.0, 293.15, 1800.0) == 0
    with pytest.raises(RangeError, match="gone already"):
        clearance_time(-10e-6, 0.062, 21.5e-6, 380.0, 293.15, 1800.0)
