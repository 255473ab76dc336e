"""Axial springs, heat and load sharing of taper rollers."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq

from casewright.errors import RangeError
from casewright.mechanics.bearing_preload import (
    RollerRow,
    Seat,
    Warming,
    axial_deflection,
    lift_off_load,
    load_integrals,
    preload_at_temperature,
    radial_growth_as_axial,
    roller_loads,
    thermal_play_change,
)

ROW = RollerRow(contact_angle=math.radians(14.036), rollers=17, roller_length=12e-3)
ALUMINIUM_STEEL = Warming(23e-6, 11.5e-6, housing_rise=50, shaft_rise=50)


@pytest.mark.parametrize(
    ("load", "micrometres", "stiffness"),
    [(500, 3.256, 170.6), (1000, 6.075, 182.9), (2000, 11.337, 196.0), (5000, 25.860, 214.8)],
)
def test_line_contact_deflection(load, micrometres, stiffness):
    """Taper 14.036 degrees, 17 rollers of 12 mm; formula read (acadlore.com, CMEM 5-5), derived."""
    found = axial_deflection(load, ROW)
    assert found.deflection * 1e6 == pytest.approx(micrometres, rel=1e-3)
    assert found.stiffness * 1e-6 == pytest.approx(stiffness, rel=1e-3)


def test_the_other_printed_constant_differs_by_a_quarter_per_cent():
    ratio = axial_deflection(1000, ROW, 7.7e-5).deflection / axial_deflection(1000, ROW).deflection
    assert ratio == pytest.approx(7.7 / 7.68)


@settings(deadline=None, max_examples=50)
@given(st.floats(100, 20000))
def test_stiffness_is_the_slope_of_the_load(load):
    step = 1e-4 * load
    more, less = (axial_deflection(load + s, ROW).deflection for s in (step, -step))
    assert axial_deflection(load, ROW).stiffness == pytest.approx(
        2 * step / (more - less), rel=1e-6
    )


def test_lift_off_by_solving_the_pair():
    """2.160 preloads for rollers, 2.828 for balls; both rows share the shaft's move."""
    assert lift_off_load(1000) == pytest.approx(2160, abs=0.5)
    assert lift_off_load(1000, "point") == pytest.approx(2828, abs=0.5)
    squeeze = axial_deflection(1000, ROW).deflection
    # the unloaded row has given back all of its squeeze: the other carries twice the deflection
    loaded = brentq(lambda f: axial_deflection(f, ROW).deflection - 2 * squeeze, 1, 1e5)
    assert lift_off_load(1000) == pytest.approx(loaded)


SEATS = [Seat(0.062, math.radians(14)), Seat(0.052, math.radians(14))]


def test_x_and_o_differ_in_the_sign_of_the_span():
    x = thermal_play_change("X", SEATS, 0.060, ALUMINIUM_STEEL)
    o = thermal_play_change("O", SEATS, 0.060, ALUMINIUM_STEEL)
    assert x.cups == o.cups > 0
    assert x.span == -o.span > 0
    assert x.total > o.total


def test_end_play_change_by_hand():
    # dr = 11.5e-6 * 50 * 31 and 26 mm; / tan 14 = 132.2 um; span 11.5e-6 * 50 * 60 mm = 34.5 um
    x = thermal_play_change("X", SEATS, 0.060, ALUMINIUM_STEEL)
    assert x.cups * 1e6 == pytest.approx(11.5e-6 * 50 * 57e3 / 0.24933, rel=1e-3)
    assert x.span * 1e6 == pytest.approx(34.5, rel=1e-3)


@settings(deadline=None, max_examples=50)
@given(st.floats(0.02, 0.08), st.floats(8, 25))
def test_play_change_by_moving_the_raceways_along_their_normals(span, degrees):
    """Construction in the (z, r) plane: a cup presses the shaft along a line that leans to the
    middle (X) or to the ends (O); the shaft's free travel is the gap along that line over its
    axial share, both ends added."""
    lean, growth, radius = math.radians(degrees), 11.5e-6 * 50, 0.030
    seats = [Seat(2 * radius, lean)] * 2
    for arrangement, towards in (("X", -1), ("O", 1)):
        play = 0.0
        for end in (-1, 1):
            cup_moves = np.array([growth * end * span / 2, growth * radius])
            presses = np.array([towards * end * math.sin(lean), -math.cos(lean)])
            play += float(-cup_moves @ presses) / math.sin(lean)
        found = thermal_play_change(arrangement, seats, span, ALUMINIUM_STEEL)
        assert found.total == pytest.approx(play)


def test_a_cup_that_does_not_follow_leaves_only_the_span():
    held = replace(ALUMINIUM_STEEL, cup_follows=0.0)
    assert thermal_play_change("X", SEATS, 0.06, held).cups == 0


def test_a_colder_housing_than_shaft_tightens_an_x_pair():
    warm_shaft = Warming(23e-6, 11.5e-6, housing_rise=10, shaft_rise=60)
    assert thermal_play_change("X", SEATS, 0.06, warm_shaft).total < 0


def preloaded(arrangement, preload, play=0.0, heat=ALUMINIUM_STEEL):
    return preload_at_temperature(
        arrangement, [ROW, ROW], [0.062, 0.062], 0.06, heat, preload, play
    )


def test_preload_is_lost_into_play_when_the_housing_grows():
    found = preloaded("X", 1000)
    squeeze = 2 * axial_deflection(1000, ROW).deflection
    assert found.warm_preload == 0
    assert found.warm_play == pytest.approx(found.change.total - squeeze)


@settings(deadline=None, max_examples=50)
@given(st.floats(200, 5000), st.floats(-60, 60))
def test_warm_preload_solves_the_spring_equation(preload, rise):
    heat = Warming(23e-6, 11.5e-6, rise, rise, cup_follows=0.02)
    found = preloaded("O", preload, heat=heat)
    squeeze = 2 * axial_deflection(preload, ROW).deflection
    left = squeeze - found.change.total
    if left <= 0:
        assert found.warm_play == pytest.approx(-left)
    else:
        solved = brentq(lambda f: 2 * axial_deflection(f, ROW).deflection - left, 1e-6, 1e6)
        assert found.warm_preload == pytest.approx(solved, rel=1e-6)
        assert found.warm_play == 0


def test_play_and_preload_at_once_are_refused():
    with pytest.raises(RangeError, match="not both"):
        preloaded("X", 1000, 1e-5)


def test_no_change_of_temperature_changes_nothing():
    still = Warming(23e-6, 11.5e-6, 0, 0)
    assert preloaded("X", 1000, heat=still).warm_preload == pytest.approx(1000)
    assert preloaded("X", 0, 3e-5, still).warm_play == pytest.approx(3e-5)


def test_stribeck_numbers_of_half_a_row():
    """1/Jr(0.5): 4.37 for balls, 4.08 for rollers without clearance (handbooks, from memory)."""
    assert 1 / load_integrals(0.5, 1.5)[0] == pytest.approx(4.37, abs=0.005)
    assert 1 / load_integrals(0.5)[0] == pytest.approx(4.08, abs=0.005)


@settings(deadline=None, max_examples=50)
@given(st.floats(0.02, 20))
def test_load_integrals_against_quadrature(zone):
    half = math.pi if zone >= 1 else math.acos(1 - 2 * zone)

    def load(angle):
        return max(1 - (1 - math.cos(angle)) / (2 * zone), 0.0) ** (10 / 9)

    radial = quad(lambda a: load(a) * math.cos(a), 0, half)[0] / math.pi
    axial = quad(load, 0, half)[0] / math.pi
    assert load_integrals(zone) == pytest.approx((radial, axial), rel=1e-4)


def test_half_a_row_loaded_induces_the_thrust_of_the_standard_within_two_per_cent():
    """ISO 281: S = Fr/(2Y) = 1.25 Fr tan a; Sjövall at half a row gives 1.26."""
    jr, ja = load_integrals(0.5)
    assert ja / jr == pytest.approx(1.25, rel=0.02)


@settings(deadline=None, max_examples=50)
@given(st.floats(100, 3000), st.floats(0.05, 0.9))
def test_rollers_add_up_to_both_loads(radial, share):
    axial = radial * math.tan(ROW.contact_angle) / share
    found = roller_loads(radial, axial, ROW)
    angles = np.linspace(0, 2 * math.pi, 3000, endpoint=False)
    each = np.maximum(1 - (1 - np.cos(angles)) / (2 * found.zone), 0) ** (10 / 9) * found.heaviest
    mean_radial = (each * np.cos(angles)).mean() * ROW.rollers * math.cos(ROW.contact_angle)
    mean_axial = each.mean() * ROW.rollers * math.sin(ROW.contact_angle)
    assert mean_radial == pytest.approx(radial, rel=1e-3)
    assert mean_axial == pytest.approx(axial, rel=1e-3)


def test_pure_thrust_loads_all_rollers_alike():
    found = roller_loads(0.0, 1000, ROW)
    assert found.heaviest == pytest.approx(axial_deflection(1000, ROW).roller_load)


def test_bad_rows_and_loads_are_refused():
    with pytest.raises(RangeError):
        axial_deflection(0, ROW)
    with pytest.raises(RangeError):
        axial_deflection(10, replace(ROW, rollers=0))
    with pytest.raises(RangeError):
        roller_loads(1000, 100, ROW)
    with pytest.raises(RangeError):
        thermal_play_change("X", SEATS[:1], 0.06, ALUMINIUM_STEEL)
    with pytest.raises(RangeError):
        radial_growth_as_axial(1e-5, 0)
    with pytest.raises(RangeError):
        lift_off_load(-1)
    with pytest.raises(RangeError):
        load_integrals(0)
