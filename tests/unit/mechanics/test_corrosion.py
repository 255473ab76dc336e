"""Potentials, couples and bonds."""

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import RangeError
from casewright.mechanics import corrosion
from casewright.tables.anodes import METALS
from casewright.tables.electrodes import SAME_METAL
from casewright.tables.galvanic import SERIES

ELECTRODES = st.sampled_from(sorted(SAME_METAL))


@given(st.floats(-1.5, 0.2), ELECTRODES, ELECTRODES, ELECTRODES)
def test_converting_by_way_of_a_third_electrode_changes_nothing(volts, a, b, c):
    direct = corrosion.convert_potential(volts, a, c)
    assert corrosion.convert_potential(
        corrosion.convert_potential(volts, a, b), b, c
    ) == pytest.approx(direct)


def test_consumption_times_capacity_is_one_and_iron_is_as_derived():
    capacity = corrosion.theoretical_capacity(*METALS["iron"])
    # 959.9 Ah/kg and 9.126 kg/(A yr), derived from Faraday's constant.
    assert capacity / 3600 == pytest.approx(959.9, rel=1e-4)
    assert corrosion.consumption(capacity) * corrosion.YEAR == pytest.approx(9.126, rel=1e-4)


def test_one_elements_equivalent_weight_is_its_mass_over_its_valence():
    assert corrosion.equivalent_weight([55.845e-3], [2], [1.0]) == pytest.approx(27.9225e-3)


def test_the_rate_follows_from_faraday_by_counting_atoms():
    # Iron, 1 A/m2 for a year: moles of electrons over two, times molar mass, over density.
    rate = corrosion.corrosion_rate(1.0, 55.845e-3 / 2, 7870.0)
    moles = 1.0 * 3600 * 24 * 365 / 96485.33212 / 2
    depth = moles * 55.845e-3 / 7870.0
    assert rate.penetration * 3600 * 24 * 365 == pytest.approx(depth)


@pytest.mark.parametrize(("first", "second"), list(itertools.combinations(SERIES, 2)))
def test_a_couple_is_the_same_from_either_side_and_its_gap_is_ordered(first, second):
    if SERIES[first] == SERIES[second]:
        return
    one, other = corrosion.galvanic_couple(first, second), corrosion.galvanic_couple(second, first)
    assert (one.gap_least, one.gap_most) == (other.gap_least, other.gap_most)
    assert 0 <= one.gap_least <= one.gap_most
    assert {one.anode, one.cathode} == {first, second}
    assert one.anode == other.anode or SERIES[first].middle == SERIES[second].middle


def test_the_series_runs_from_anodic_to_cathodic():
    # Order printed in the association's table.
    middles = [potential.middle for potential in SERIES.values()]
    assert all(low <= high + 0.06 for low, high in itertools.pairwise(middles)), (
        "neighbours may overlap, the order may not"
    )
    assert next(iter(SERIES)) == "magnesium"
    assert list(SERIES)[-1] == "graphite"


def test_metals_close_together_need_no_anode():
    couple = corrosion.galvanic_couple("silicon bronze", "copper nickel 90/10")
    assert not couple.needs_protection


def test_passive_stainless_and_bad_areas_carry_cautions():
    couple = corrosion.galvanic_couple("aluminium alloy", "stainless 316 passive", 20.0)
    assert any("active" in text for text in couple.cautions)
    assert any("concentrated" in text for text in couple.cautions)


def test_over_protection_of_aluminium_says_what_it_does():
    judged = corrosion.judge_potential(-1.15)
    assert any("harmed" in text for text in judged.findings)
    assert any("disconnect" in text for text in judged.findings)


def test_a_zinc_electrodes_reading_is_judged_in_the_same_window():
    # +0.08 V against zinc is -0.95 V against silver chloride (both from the one printed row).
    judged = corrosion.judge_potential(0.08, "zinc")
    assert judged.potential == pytest.approx(-0.95)
    assert judged.word == "protected"


def test_a_swapped_lead_is_answered():
    with pytest.raises(RangeError, match="Leads swapped"):
        corrosion.judge_potential(0.95)


@pytest.mark.parametrize(
    ("ohms", "word"), [(0.0, "good"), (0.1, "good"), (0.5, "doubtful"), (math.inf, "open")]
)
def test_a_bond_is_judged_by_its_resistance(ohms, word):
    assert corrosion.judge_bond(ohms) == word


def test_a_negative_resistance_is_answered():
    with pytest.raises(RangeError):
        corrosion.judge_bond(-0.01)


def test_unknown_metals_and_electrodes_are_named():
    with pytest.raises(RangeError, match="titanium"):
        corrosion.galvanic_couple("unobtainium", "titanium")
    with pytest.raises(RangeError, match="saturated calomel"):
        corrosion.convert_potential(-0.9, "hydrogen", "zinc")
