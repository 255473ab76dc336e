"""Throughput, its units, the manual's limit and the pressure ceiling."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import MissingError, RangeError
from casewright.mechanics import leak

UNITS = [*leak.THROUGHPUT_UNITS, "sccm"]


@given(st.floats(1e-9, 1e3), st.sampled_from(UNITS), st.sampled_from(UNITS), st.floats(250, 320))
def test_a_conversion_and_its_reverse_give_the_rate_back(value, unit, other, reference):
    there = leak.convert_leak_rate(value, unit, other, reference)
    assert leak.convert_leak_rate(there, other, unit, reference) == pytest.approx(value, rel=1e-12)


def test_a_standard_cubic_centimetre_stays_the_same_gas_at_another_reference_temperature():
    # The molar volume at 0 degC, 101 325 Pa is 22 413.969 cm3 (CODATA): 1 sccm = 44.615 umol/min.
    for reference in (273.15, 293.15):
        throughput = leak.convert_leak_rate(1.0, "sccm", "Pa m3/s", reference)
        moles = throughput / (leak.GAS_CONSTANT * reference) * 60
        assert moles == pytest.approx(1 / 22413.969, rel=1e-6)


def test_an_unknown_unit_is_named():
    with pytest.raises(RangeError, match="mbar L/s"):
        leak.convert_leak_rate(1.0, "bubbles", "sccm")


def test_cooling_alone_is_no_leak_when_the_temperature_is_used():
    # 3 K colder and exactly that much less pressure (Gay-Lussac).
    cooled = 171e3 * 293.15 / 296.15
    assert leak.two_point_leak(0.0015, 171e3, cooled, 296.15, 293.15, 600) == pytest.approx(
        0, abs=1e-12
    )


def test_a_drop_at_steady_temperature_is_the_printed_limit():
    limit = leak.drop_limit(7000, 600, 0.0015, 293.15)
    rate = leak.two_point_leak(0.0015, 171e3, 164e3, 293.15, 293.15, 600, 293.15)
    assert rate == pytest.approx(limit.leak_rate)
    assert limit.slope * limit.volume == pytest.approx(limit.leak_rate)


def test_throughput_at_another_temperature_is_the_same_gas():
    moved = leak.throughput_at(0.02, 293.15, 273.15)
    assert moved / 273.15 == pytest.approx(0.02 / 293.15)


def test_celsius_given_as_kelvin_is_answered():
    with pytest.raises(RangeError, match=r"add 273\.15"):
        leak.two_point_leak(0.0015, 171e3, 164e3, 20.0, 20.0, 600)


@pytest.mark.parametrize("seconds", [0.0, -60.0])
def test_no_time_or_backwards_time_is_refused(seconds):
    with pytest.raises(RangeError, match="seconds"):
        leak.molar_rise(0.0015, 171e3, 164e3, 293.0, 293.0, seconds)


def test_a_pressure_above_the_ceiling_is_refused_however_little():
    assert leak.checked_test_pressure(70e3, 70e3).gauge_pressure == 70e3
    with pytest.raises(RangeError, match="ceiling"):
        leak.checked_test_pressure(70_001, 70e3)
    with pytest.raises(RangeError, match="test pressure"):
        leak.checked_test_pressure(float("nan"), 70e3)


def test_without_a_ceiling_practice_is_the_most_and_it_says_so():
    assert leak.NO_CEILING in leak.checked_test_pressure(97e3, None).cautions
    with pytest.raises(MissingError, match="ceiling"):
        leak.checked_test_pressure(98e3, None)


def test_a_high_test_pressure_warns_of_lips_and_a_low_one_does_not():
    assert leak.LIPS in leak.checked_test_pressure(69e3, 100e3).cautions
    assert leak.LIPS not in leak.checked_test_pressure(34e3, 100e3).cautions
    assert leak.LOW_FIRST not in leak.checked_test_pressure(-40e3, 100e3).cautions


def test_more_than_full_vacuum_is_refused():
    with pytest.raises(RangeError, match="vacuum"):
        leak.checked_test_pressure(-102e3, None)
