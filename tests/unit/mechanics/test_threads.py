"""Thread geometry, stress areas, loads."""

from __future__ import annotations

from math import pi, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from screw_thread_lib import Assembly

from casewright.errors import RangeError
from casewright.mechanics.threads import (
    breaking_load,
    geometry,
    high_strength_stress_area,
    nominal_stress_area,
    proof_load,
    proof_margin,
)
from casewright.tables.threads import COARSE_PITCH, INCH

INCH_THREADS = ("1/4-20", "1/4-28", "1/2-13", "1/2-20", "3/4-10", "3/4-16", "1-8", "1-12")


@pytest.mark.parametrize("name", INCH_THREADS)
def test_inch_areas_agree_with_an_open_library(name):
    other = Assembly.from_ASME_B11_UN_2A2B(name, UTSs=200_000, UTSn=42_000)
    assert geometry(name).stress_area / INCH**2 == pytest.approx(other.As_FEDSTD_1b(), rel=1e-12)
    assert high_strength_stress_area(name) / INCH**2 == pytest.approx(other.As_MH_2b(), rel=1e-9)


@pytest.mark.parametrize("name", ["M8", "M12", "M20", "M24"])
def test_metric_areas_agree_with_an_open_library(name):
    # Its four metric threads carry an inch pitch (25.4/pitch threads per inch, rounded).
    other = Assembly.from_database("ASME_M_6g6H", f"{name}-{COARSE_PITCH[float(name[1:])]:g}")
    assert geometry(name).stress_area / INCH**2 == pytest.approx(other.As_ISO(), rel=1e-4)


def test_the_stress_area_is_neither_nominal_nor_root():
    """M10: 78.5 by the nominal, 52.3 by the root diameter, 58.0 by the standard."""
    size = geometry("M10")
    assert pi / 4 * size.major**2 * 1e6 == pytest.approx(78.5, abs=0.05)
    assert pi / 4 * size.root_diameter**2 * 1e6 == pytest.approx(52.3, abs=0.05)
    assert size.stress_area * 1e6 == pytest.approx(58.0, abs=0.05)


def test_the_inch_constant_is_not_used_on_metric_threads():
    size = geometry("M10")
    wrong = pi / 4 * (size.major - 9 * sqrt(3) / 16 * size.pitch) ** 2
    assert wrong / size.stress_area - 1 == pytest.approx(-0.013, abs=0.002)
    quarter = geometry("1/4-20")
    other = pi / 4 * ((quarter.pitch_diameter + quarter.root_diameter) / 2) ** 2
    assert other / quarter.stress_area - 1 == pytest.approx(0.018, abs=0.003)


@given(st.sampled_from(sorted(COARSE_PITCH)))
def test_the_diameters_lie_in_order(diameter):
    size = geometry(f"M{diameter:g}")
    assert size.root_diameter < size.minor_diameter < size.pitch_diameter < size.major
    assert size.root_diameter < size.stress_diameter < size.pitch_diameter


def test_a_printed_load_that_is_ten_times_off_is_a_misprint():
    """A public table prints M4 10.9 as 91130 N; the load is 9130 N."""
    assert breaking_load("M4", "10.9") == pytest.approx(9130, rel=0.006)


def test_proof_and_tensile_are_not_mixed_up():
    assert proof_load("M10", "8.8") / breaking_load("M10", "8.8") == pytest.approx(580 / 800)


def test_the_proof_margin_says_when_it_is_passed():
    inside = proof_margin("M10", "8.8", 29_600.0)
    assert not inside.exceeded
    assert inside.share == pytest.approx(29_600 / 33_640)
    assert proof_margin("M10", "8.8", 34_000.0).exceeded


def test_stainless_is_held_to_its_yield_and_not_to_a_carbon_steels():
    """0.9 × 640 MPa of an 8.8 bolt would be 2.7 times the yield of A2-50."""
    margin = proof_margin("M12", "A2-50", 20_000.0)
    assert margin.limit_name == "0.2 % yield load"
    assert margin.limit_load == pytest.approx(84.3e-6 * 210e6)
    assert margin.exceeded


def test_a_size_without_tabled_area_uses_the_formula():
    assert nominal_stress_area("M90x2") == geometry("M90x2").stress_area


def test_nonsense_is_refused():
    with pytest.raises(RangeError):
        proof_margin("M10", "8.8", float("nan"))
    with pytest.raises(RangeError):
        high_strength_stress_area("M10")
