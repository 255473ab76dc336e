"""The galvanic series as printed."""

import pytest

from casewright.errors import RangeError
from casewright.tables.galvanic import SERIES, series_potential


@pytest.mark.parametrize("material", SERIES)
def test_each_range_is_in_order(material):
    assert series_potential(material).low <= series_potential(material).high


def test_aluminium_stands_as_printed():
    # Al alloys -0.76 to -1.00 V against SCE (ACA table).
    assert (SERIES["aluminium alloy"].low, SERIES["aluminium alloy"].high) == (-1.00, -0.76)


def test_an_unknown_material_is_answered_with_the_list():
    with pytest.raises(RangeError, match="graphite"):
        series_potential("wood")
