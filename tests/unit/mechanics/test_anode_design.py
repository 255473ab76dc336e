"""Anode mass, life, resistance and looks."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import RangeError
from casewright.mechanics import anode_design as anodes
from casewright.tables.anodes import ALLOYS, METALS


@given(st.floats(0.001, 10), st.floats(1e5, 1e9), st.floats(1e6, 1e7), st.floats(0.1, 1.0))
def test_life_of_the_mass_that_a_life_needs_is_that_life(current, seconds, capacity, share):
    mass = anodes.anode_mass(current, seconds, capacity, share)
    assert anodes.anode_life(mass, current, capacity, share) == pytest.approx(seconds)


def test_no_alloy_gives_more_than_faraday_allows():
    from casewright.mechanics.corrosion import theoretical_capacity

    for name, alloy in ALLOYS.items():
        assert alloy.capacity < theoretical_capacity(*METALS[name])


def test_the_slender_form_gives_the_handbooks_shape_factor():
    # K = 0.0234 at L/d = 30 in the table of MIL-HDBK-1004/10 (ohm cm and feet).
    slender = anodes.resistance_slender(1.0, 30.0, 0.5)
    assert slender == pytest.approx(anodes.resistance_by_shape(1.0, 30.0, 0.0234), rel=3e-3)


def test_the_slender_forms_meet_within_a_few_per_cent():
    long, short = (anodes.resistance_slender(0.25, x, 0.1) for x in (0.4, 0.3999))
    assert short == pytest.approx(long, rel=0.2)


def test_a_long_flush_anode_is_its_mean_side():
    assert anodes.resistance_flush(0.25, 0.8, 0.2, 0.05) == pytest.approx(0.25 / (2 * 0.5))


def test_a_short_flush_anode_is_taken_by_its_area():
    area = 0.15 * 0.1 + 2 * 0.02 * 0.25
    expected = 0.315 * 0.25 / math.sqrt(area)
    assert anodes.resistance_flush(0.25, 0.15, 0.1, 0.02) == pytest.approx(expected)


def test_output_is_ohms_law_and_the_driving_voltage_must_be_there():
    found = anodes.anode_output(2.0, -1.05, -0.80, 0.5, 7.2e6)
    assert found.current == pytest.approx(0.125)
    assert found.life == pytest.approx(0.5 * 0.8 * 7.2e6 / 0.125)
    with pytest.raises(RangeError, match="anode potential"):
        anodes.anode_output(2.0, -0.75, -0.80, 0.5, 7.2e6)


def test_a_painted_anode_is_renewed_whatever_is_left():
    look = anodes.look_at_anode(0.98, 1.0, painted=True)
    assert look.renew
    assert any("Never paint" in text for text in look.findings)


def test_half_gone_is_renewed_and_untouched_is_suspect():
    assert anodes.look_at_anode(0.5, 1.0, painted=False).renew
    look = anodes.look_at_anode(0.99, 1.0, painted=False)
    assert not look.renew
    assert any("connected" in text for text in look.findings)


def test_magnesium_in_salt_water_is_warned_of():
    look = anodes.look_at_anode(None, None, False, alloy="magnesium", water="salt")
    assert any("over-protects" in text for text in look.findings)


def test_a_poor_contact_is_named():
    look = anodes.look_at_anode(None, None, False, contact_resistance=3.0)
    assert any("contact" in text for text in look.findings)


@pytest.mark.parametrize("share", [0.0, -1.0, 1.2])
def test_a_share_used_that_cannot_be_is_refused(share):
    with pytest.raises(RangeError, match="utilisation"):
        anodes.anode_mass(0.1, 1e7, 7.2e6, share)
