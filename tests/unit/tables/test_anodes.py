"""Anode alloys."""

import pytest

from casewright.errors import RangeError
from casewright.tables.anodes import UTILISATION, anode_alloy


def test_magnesium_is_the_most_negative_and_for_fresh_water_only():
    assert anode_alloy("magnesium").potential < anode_alloy("aluminium").potential
    assert anode_alloy("magnesium").waters == ("fresh",)


def test_aluminium_is_as_read():
    # 2000 Ah/kg and -1.05 V in sea water (worked tables of B401).
    alloy = anode_alloy("aluminium")
    assert (alloy.capacity / 3600, alloy.potential) == (2000, -1.05)


def test_slender_anodes_are_used_up_further_than_compact_ones():
    assert UTILISATION["long slender"] > UTILISATION["short flush"]


def test_an_unknown_alloy_is_answered():
    with pytest.raises(RangeError, match="zinc"):
        anode_alloy("tin")
