"""Tabled engagement lengths, and the computed ones beside them."""

from __future__ import annotations

import pytest

from casewright.errors import InputError
from casewright.mechanics.stripping import stripping
from casewright.tables.engagement import practical_engagement, stud_engagement


# Practical table read at mastik.pt/wa_files/files/basic-html/page677.html.
@pytest.mark.parametrize(
    ("name", "parent", "printed", "thread", "bolt", "strength", "shear"),
    [
        ("8.8", "steel over 360 MPa", 1.0, "M8", 800e6, 360e6, 0.6),
        ("8.8", "steel over 360 MPa", 1.0, "M10", 800e6, 360e6, 0.6),
        ("8.8", "steel over 500 MPa", 0.9, "M10", 800e6, 500e6, 0.6),
        ("10.9", "steel over 360 MPa", 1.25, "M10", 1040e6, 360e6, 0.6),
        ("8.8", "aluminium over 180 MPa", 2.0, "M10", 800e6, 180e6, 0.7),
    ],
)
def test_the_practical_table_lies_just_above_the_computed_length(
    name, parent, printed, thread, bolt, strength, shear
):
    assert practical_engagement(name, parent) == printed
    diameter = float(thread[1:]) / 1000
    net = stripping(thread, diameter, bolt, strength, shear).balanced_length / diameter
    assert 0.8 * printed < net < printed


def test_a_pair_that_the_table_does_not_hold_is_refused():
    with pytest.raises(InputError, match="one of"):
        practical_engagement("12.9", "aluminium over 180 MPa")
    with pytest.raises(InputError, match="one of"):
        stud_engagement("zinc", 0.010)
