"""Strength classes of bolts."""

from __future__ import annotations

import pytest

from casewright.errors import InputError, RangeError
from casewright.tables.property_classes import CARBON_STEEL, property_class


@pytest.mark.parametrize("name", CARBON_STEEL)
def test_the_two_figures_of_a_class_say_its_strength(name):
    """ISO 898-1: first figure = tensile/100, second = yield over tensile in tenths (nominal)."""
    first, second = name.split(".")
    row = property_class(name, 0.012)
    assert row.tensile / 1e6 >= 100 * float(first)
    assert row.yielding / row.tensile == pytest.approx(float(second) / 10, abs=0.03)
    assert row.proof is not None
    assert row.proof < row.yielding < row.tensile


def test_class_8_8_steps_above_sixteen_millimetres():
    assert property_class("8.8", 0.016).proof == 580e6
    assert property_class("8.8", 0.018).proof == 600e6


def test_proof_is_not_tensile():
    assert property_class("8.8", 0.010).proof != property_class("8.8", 0.010).tensile


def test_stainless_has_its_own_yield_and_no_proof():
    row = property_class("A2-70", 0.010)
    assert row.proof is None
    assert row.yielding == 450e6


@pytest.mark.parametrize("name", ["", "11.9", "A2", "A2-60", "grade 4", "stainless"])
def test_an_unknown_class_is_never_filled_in(name):
    with pytest.raises(InputError):
        property_class(name, 0.010)


def test_an_inch_grade_outside_its_sizes_is_refused():
    with pytest.raises(RangeError):
        property_class("grade 5", 0.050)
