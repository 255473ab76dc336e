"""Viscosity, water and fill."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import RangeError
from casewright.mechanics import oil
from casewright.tables.viscosity_grades import GRADES
from casewright.tables.viscosity_index import SEGMENTS


@given(st.floats(20e-6, 1000e-6), st.floats(3e-6, 15e-6))
def test_a_viscosity_line_gives_its_own_points_back(thick, thin):
    line = oil.walther_constants(thick, 313.15, thin, 373.15)
    assert oil.viscosity_at(line, 313.15) == pytest.approx(thick, rel=2e-4)
    assert oil.viscosity_at(line, 373.15) == pytest.approx(thin, rel=2e-3)


def test_the_order_of_the_two_points_does_not_matter():
    one = oil.walther_constants(32e-6, 313.15, 5.4e-6, 373.15)
    other = oil.walther_constants(5.4e-6, 373.15, 32e-6, 313.15)
    assert (one.a, one.b) == pytest.approx((other.a, other.b))


def test_the_worksheets_oil_at_eighty_degrees():
    # Public D341 worksheet: 8.5 cSt at 80 degC (8.533 recomputed).
    line = oil.walther_constants(32e-6, 313.15, 5.4e-6, 373.15)
    assert oil.viscosity_at(line, 353.15) == pytest.approx(8.533e-6, abs=0.001e-6)


def test_celsius_and_rising_viscosity_are_answered():
    with pytest.raises(RangeError):
        oil.walther_constants(32e-6, 40.0, 5.4e-6, 100.0)
    with pytest.raises(RangeError):
        oil.walther_constants(5.4e-6, 313.15, 32e-6, 373.15)


@pytest.mark.parametrize("grade", GRADES)
def test_each_grade_holds_its_own_limits_and_leaves_gaps(grade):
    limits = oil.grade_limits(grade)
    for edge in (limits.least, limits.middle, limits.most):
        assert oil.viscosity_grade(edge) == grade
    assert oil.viscosity_grade(limits.most * 1.02) is None


def test_the_index_parabolas_meet_at_their_ends():
    # The standard's table is smooth; its segments may part by no more than 0.2 %.
    for (lower, upper, *first), (start, _, *second) in itertools.pairwise(SEGMENTS):
        assert start == upper > lower
        for a, b in zip(first, second, strict=True):
            ends = [c[0] * upper**2 + c[1] * upper + c[2] for c in (a, b)]
            assert ends[0] == pytest.approx(ends[1], rel=2e-3)


def test_an_oil_that_is_its_own_reference_has_index_nought_or_a_hundred():
    for y in (3e-6, 8.86e-6, 15e-6, 30e-6, 80e-6):
        low, high = oil.index_references(y)
        assert oil.viscosity_index(low, y) == pytest.approx(0, abs=1e-6)
        assert oil.viscosity_index(high, y) == pytest.approx(100, abs=1e-6)


def test_the_two_procedures_meet_at_a_hundred():
    _, high = oil.index_references(10e-6)
    above, below = oil.viscosity_index(high * 0.9999, 10e-6), oil.viscosity_index(high, 10e-6)
    assert above == pytest.approx(below, abs=0.05)


def test_water_outside_the_tests_carries_its_caution():
    assert oil.water_life_factor(400e-6).cautions == ()
    assert "say nothing" in oil.water_life_factor(401e-6).cautions[0]
    assert not oil.water_life_factor(100e-6, base=20e-6).within_tests


def test_crackle_ranges_join_without_gaps_and_carry_a_caution():
    found = [oil.crackle_class(seen) for seen in oil.CRACKLE]
    assert [a.most for a in found[:-1]] == [b.least for b in found[1:]]
    assert all("eye protection" in one.cautions[0] for one in found)


def test_no_appearance_is_turned_into_a_figure_beyond_its_source():
    assert "not cleared" in oil.appearance_class("bright")
    with pytest.raises(RangeError):
        oil.appearance_class("purple")


@pytest.mark.parametrize(("filled", "word"), [(1.0, "full"), (0.96, "full"), (0.9, "air trapped")])
def test_a_fill_short_of_the_capacity_is_trapped_air(filled, word):
    found = oil.check_fill(filled * 1e-3, 1e-3)
    assert found.word == word
    assert found.missing == pytest.approx((1 - filled) * 1e-3)


def test_the_upper_plug_goes_in_before_the_pump_comes_off():
    assert any("Upper plug in before the pump" in text for text in oil.check_fill(1, 1).advice)


def test_more_oil_than_it_holds_is_said():
    assert oil.check_fill(1.2e-3, 1e-3).word == "more than it holds"
