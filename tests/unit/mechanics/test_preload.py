"""Torque and preload: traps of the trade, inverses, limits."""

from __future__ import annotations

from math import cos, pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casewright.errors import InputError, RangeError
from casewright.mechanics.preload import (
    assembly_preload,
    combined_stress,
    loosening_torque,
    preload_from_torque,
    preload_range,
    tightening_torque,
)
from casewright.mechanics.threads import geometry
from casewright.tables.threads import hexagon_friction_diameter

M10_FACE = 12.815e-3
sizes = st.sampled_from(["M6", "M8", "M10", "M12x1.25", "M16", "M20", "M30"])
frictions = st.floats(0.04, 0.3)


@given(sizes, st.floats(1e3, 2e5), frictions, frictions)
def test_torque_and_preload_are_inverse(size, preload, in_thread, at_head):
    face = hexagon_friction_diameter(size)
    torque = tightening_torque(size, preload, in_thread, at_head, face).total
    back = preload_from_torque(size, torque, in_thread, at_head, face)
    assert back == pytest.approx(preload, rel=1e-12)


@given(sizes, st.floats(1e3, 2e5), frictions, frictions)
def test_the_short_form_is_near_the_exact_one(size, preload, in_thread, at_head):
    torque = tightening_torque(size, preload, in_thread, at_head, hexagon_friction_diameter(size))
    assert torque.total == pytest.approx(torque.exact, rel=0.015)
    assert torque.pitch_share + torque.thread_share + torque.head_share == pytest.approx(1)


@given(sizes, frictions)
def test_tightening_less_loosening_is_twice_the_pitch_part(size, friction):
    face = hexagon_friction_diameter(size)
    tight = tightening_torque(size, 1e4, friction, friction, face)
    loose = loosening_torque(size, 1e4, friction, friction, face)
    assert tight.total - loose == pytest.approx(2 * tight.pitch, rel=1e-12)


def test_the_parts_of_the_torque_are_the_printed_equation_summed_by_hand():
    """29.6 kN on M10: 7.10, 18.60 and 22.76 N·m by hand from 0.16 P, 0.58 d2 μ, DKm/2 μ."""
    torque = tightening_torque("M10", 29_600.0, 0.12, 0.12, M10_FACE)
    assert torque.pitch == pytest.approx(7.104, abs=0.002)
    assert torque.thread == pytest.approx(18.595, abs=0.002)
    assert torque.head == pytest.approx(22.760, abs=0.002)


def test_a_missing_flank_angle_would_read_five_per_cent_low():
    torque = tightening_torque("M10", 29_600.0, 0.12, 0.12, M10_FACE)
    flat = 29_600 * 0.12 * 0.5 * geometry("M10").pitch_diameter
    assert (torque.thread - flat) / torque.total == pytest.approx(0.05, abs=0.01)
    assert flat / cos(pi / 6) == pytest.approx(torque.thread, rel=0.006)


def test_the_friction_diameter_is_not_a_radius():
    right = tightening_torque("M10", 29_600.0, 0.12, 0.12, M10_FACE).total
    wrong = tightening_torque("M10", 29_600.0, 0.12, 0.12, 2 * M10_FACE).total
    assert wrong / right - 1 == pytest.approx(0.47, abs=0.005)


def test_thread_and_head_friction_are_not_swapped():
    """The swapped value 214.72 N·m was derived by hand beside 221.78 N·m."""
    right = tightening_torque("M16", 80e3, 0.10, 0.16, 19.995e-3).total
    wrong = tightening_torque("M16", 80e3, 0.16, 0.10, 19.995e-3).total
    assert right == pytest.approx(221.78, abs=0.01)
    assert wrong == pytest.approx(214.72, abs=0.01)


def test_the_older_edition_is_seven_per_cent_lower_and_says_so():
    args = ("M10", 640e6, 0.12, 0.12, M10_FACE)
    new, old = assembly_preload(*args), assembly_preload(*args, edition="VDI 2230:1986")
    assert 1 - old.preload / new.preload == pytest.approx(0.074, abs=0.001)
    assert old.edition == "VDI 2230:1986"
    assert "1986" in old.working.method
    with pytest.raises(InputError, match="edition"):
        assembly_preload(*args, edition="1977")


@settings(max_examples=40)
@given(sizes, st.floats(0.06, 0.2), st.floats(0.5, 1.0))
def test_the_assembly_preload_uses_the_stated_share_of_yield(size, friction, share):
    """Two ways: the reduced stress at that preload is the share of yield again."""
    face = hexagon_friction_diameter(size)
    preload = assembly_preload(size, 640e6, friction, friction, face, share).preload
    stress = combined_stress(size, preload, 640e6, friction)
    assert stress.yield_share == pytest.approx(share, rel=1e-9)


def test_a_slippery_bolt_at_the_usual_torque_is_past_its_yield():
    force = preload_from_torque("M10", 48.0, 0.08, 0.08, M10_FACE)
    assert combined_stress("M10", force, 640e6, 0.08).exceeded


def test_oil_at_the_dry_torque_is_about_half_again_the_preload():
    """μ 0.16 to 0.10 and 0.14 to 0.08: +40 to +60 %."""
    for dry, oiled in ((0.16, 0.10), (0.14, 0.08)):
        ratio = preload_from_torque("M10", 48.0, oiled, oiled, M10_FACE) / preload_from_torque(
            "M10", 48.0, dry, dry, M10_FACE
        )
        assert 1.4 <= ratio <= 1.61


@settings(max_examples=40)
@given(st.floats(0.05, 0.2), st.floats(0.0, 0.1), st.floats(0.0, 0.1))
def test_the_range_holds_every_case_inside_it(low, more, tool):
    found = preload_range("M10", 48.0, (low, low + more), M10_FACE, tool)
    for friction in (low, low + 0.5 * more, low + more):
        for share in (1 - tool, 1.0, 1 + tool):
            force = preload_from_torque("M10", 48.0 * share, friction, friction, M10_FACE)
            assert found.low * (1 - 1e-9) <= force <= found.high * (1 + 1e-9)


@pytest.mark.parametrize(
    ("friction", "tolerance"), [((0.2, 0.1), 0.0), ((0.1, 1.2), 0.0), ((0.1, 0.2), 1.0)]
)
def test_impossible_ranges_are_refused(friction, tolerance):
    with pytest.raises(InputError):
        preload_range("M10", 48.0, friction, M10_FACE, tolerance)


@pytest.mark.parametrize("value", [0.0, -1.0, float("nan")])
def test_a_torque_or_force_of_nothing_is_refused(value):
    with pytest.raises(RangeError):
        preload_from_torque("M10", value, 0.1, 0.1, M10_FACE)
    with pytest.raises(RangeError):
        tightening_torque("M10", value, 0.1, 0.1, M10_FACE)
    with pytest.raises(RangeError):
        tightening_torque("M10", 1e4, 0.1, 0.1, value)
